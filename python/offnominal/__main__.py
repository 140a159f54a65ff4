"""The command: ``offnominal expect SYSTEM ...`` and ``offnominal prove VISIT ...``."""

import argparse
import os
import sys
from fractions import Fraction

import offnominal as on
from offnominal import _core, collation, transcription
from offnominal.audit import audit_file


def _number(text):
    """A number, with what to type instead where it is not one."""
    try:
        return float(text)
    except ValueError:
        hint = "; use a point: " + text.replace(",", ".") if "," in text else ""
        raise argparse.ArgumentTypeError(f"{text!r} is not a number{hint}") from None


def _line_set(text):
    """A line set as `System.expect` takes it."""
    if text == "reference":
        return text
    parts = text.split(",")
    try:
        if len(parts) not in (2, 3):
            raise ValueError
        numbers = [float(Fraction(part.strip())) for part in parts]  # 3/4 as well as 0.75
    except (ValueError, ZeroDivisionError):
        accepted = "reference, or LENGTH,SUCTION[,LIFT] in ft,in,ft (m,m,m for SI), such as 50,3/4,0"
        raise argparse.ArgumentTypeError(f"{text!r} is not a line set; accepted: {accepted}") from None
    return dict(zip(("length", "suction", "lift"), numbers))


def _parser():
    parser = argparse.ArgumentParser(
        prog="offnominal",
        description="What a split air conditioner should deliver, what it does deliver, and the proof. It estimates; it never "
        "controls or certifies.",
    )
    parser.add_argument("--version", action="version", version=f"offnominal {on.__version__}")
    commands = parser.add_subparsers(dest="command", required=True)

    expect = commands.add_parser("expect", help="what a system should deliver under given conditions")
    expect.add_argument("system", help="system file (YAML)")
    expect.add_argument("--units", choices=("IP", "SI"), required=True)
    expect.add_argument("--stage", required=True)
    expect.add_argument("--match", default="")
    for name, what in (
        ("outdoor-dry-bulb", "degF or degC"),
        ("entering-dry-bulb", "degF or degC"),
        ("airflow", "cfm or m3/s; with --airflow-basis or --airflow-at"),
    ):
        expect.add_argument(f"--{name}", type=_number, required=True, help=what)
    humidity = expect.add_mutually_exclusive_group()  # needed in cooling, as the library says
    humidity.add_argument("--entering-wet-bulb", type=_number, help="degF or degC")
    humidity.add_argument("--entering-relative-humidity", type=_number, help="fraction")
    humidity.add_argument("--entering-dew-point", type=_number, help="degF or degC")
    meaning = expect.add_mutually_exclusive_group(required=True)
    meaning.add_argument("--airflow-basis", choices=("standard",))
    meaning.add_argument("--airflow-at", choices=("return", "supply", "fan"))
    site = expect.add_mutually_exclusive_group(required=True)
    site.add_argument("--elevation", type=_number, help="ft or m")
    site.add_argument("--pressure", type=_number, help="station pressure, psia or Pa")
    expect.add_argument("--line-set", type=_line_set, metavar="reference|LENGTH,SUCTION[,LIFT]", help="ft,in,ft or m,m,m")
    expect.add_argument("--boundary", choices=("coil", "coil+fan"), required=True, help="gross, or net of the indoor fan")
    expect.add_argument("--fan-power", type=_number, help="indoor fan, W")
    expect.add_argument("--outside", choices=("refuse", "hold", "extend"), default="refuse")
    expect.add_argument("--mode", choices=("cooling", "heating"), default="cooling")
    expect.add_argument("--frost", choices=("instantaneous", "integrated"), help="heating: the kind of capacity")
    expect.add_argument("--auxiliary-heat", type=_number, help="heating: W beside the machine, 0 where it is off")
    expect.add_argument("--outdoor-relative-humidity", type=_number, help="heating: fraction, for a defrost table")
    expect.add_argument("--infer", action="store_true", help="allow inferred values next to dry nodes")

    prove = commands.add_parser("prove", help="whether a machine delivers what it should")
    prove.add_argument("visit", help="visit file (YAML); it names its system file")
    prove.add_argument("--units", choices=("IP", "SI"), required=True)
    prove.add_argument("--system", help="system file, instead of the one the visit names")

    audit = commands.add_parser("audit", help="what a typist may have got wrong in the pages of a system file")
    audit.add_argument("system", help="system file (YAML); one that contradicts itself is audited too")

    transcription.add_command(commands)
    collation.add_command(commands)
    return parser


def _expect(options):
    system = on.load(options.system)
    question = {
        name: value
        for name, value in vars(options).items()
        if name not in ("command", "system") and value is not None
    }
    return system.expect(**question).report()


def _prove(options):
    path = options.system
    if path is None:
        named = _core.load_visit(options.visit).system_file
        if not named:
            raise on.InputError(f"{options.visit}: system is missing; accepted: system: FILE in the visit, or --system FILE")
        path = os.path.join(os.path.dirname(options.visit), named)
    return on.load(path).prove(options.visit).report(units=options.units)


def _audit(options):
    return "\n".join(page.report() for page in audit_file(options.system, units="IP"))


_COMMANDS = {
    "expect": _expect,
    "prove": _prove,
    "audit": _audit,
    "transcribe": transcription.run_command,
    "collate": collation.run_command,
}


def main(arguments=None):
    """Run the command; returns its exit status: 0; 1 where `collate` finds differences; 2 where the input has no answer.

    An audit that finds suspects is 0.
    """
    options = _parser().parse_args(arguments)
    try:
        result = _COMMANDS[options.command](options)
    except (on.Error, OSError, ValueError, TypeError) as error:
        about_file = isinstance(error, OSError) and not isinstance(error, on.Error) and error.filename
        print(f"offnominal: {f'{error.filename}: {error.strerror}' if about_file else error}", file=sys.stderr)
        return 2
    text, status = result if isinstance(result, tuple) else (result, 0)
    print(text, end="")
    return status


if __name__ == "__main__":
    sys.exit(main())
