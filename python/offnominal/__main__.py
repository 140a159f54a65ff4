"""The command: ``offnominal expect SYSTEM ...`` and ``offnominal prove VISIT ...``."""

import argparse
import dataclasses
import functools
import inspect
import itertools
import math
import os
import re
import sys
from fractions import Fraction

import offnominal as on
from offnominal import (
    _audit,
    _between,
    _choose,
    _collation,
    _core,
    _demo,
    _display,
    _logs,
    _new,
    _progress,
    _results,
    _survey,
    _system,
    _tables,
    _texts,
    _transcription,
    _units,
    _write,
    _year,
)

_EXIT = "exit status\n" + "\n".join(f"  {status:<5}{words}" for status, words in _results.STATUSES.items())

_WORDS = _core.words


def _number(text):
    """A number, with what to type instead where it is not one."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if math.isfinite(number):
        return number
    meant = [text.replace(",", "")] if _GROUPED.fullmatch(text.strip()) else []
    meant += [text.replace(",", ".")] if text.count(",") == 1 else []
    hint = (
        f"; use a point: {meant[-1]}" if len(meant) == 1 and "." in meant[0] else f"; type {', or '.join(meant)}" if meant else ""
    )
    raise argparse.ArgumentTypeError(f"{text!r} is not a number{hint}")


_GROUPED = re.compile(r"\d{1,3}(,\d{3})+")  # 1,000: a thousand, or 1 with three decimals


def _share(text):
    """A fraction or a percentage, never mistaken for one another."""
    if text.rstrip().endswith("%"):
        return _number(text.rstrip()[:-1]) / 100.0
    if _number(text) > 1.0:
        percent = text.strip()
        raise argparse.ArgumentTypeError(f"{text!r} is more than 1: type {percent}%, or the fraction {float(percent) / 100.0:g}")
    return _number(text)


def _fraction(text):
    """The same, of what is hardly ever below 2 %: a fraction may have been meant."""
    share = _share(text)
    if "%" in text and 0.0 <= share < 0.02:
        meant = f"{10000.0 * share:g}%, or " if 0.0 < share <= 0.01 else ""
        raise argparse.ArgumentTypeError(f"{text!r} is less than 2 %: type {meant}the fraction {share:g}")
    return share


def _line_set(text, varied=()):
    """A line set as `System.expect` takes it; without the parts that are a word of `varied`."""
    if text == "reference":
        return text
    parts = text.split(",")
    try:
        modelled = parts[-1].strip() == "model"
        parts = [part.strip() for part in parts[: len(parts) - modelled]]
        numbers = [None if part in varied else float(Fraction(part)) for part in parts]  # 3/4 as well as 0.75
        if not 2 <= len(numbers) <= 4:
            raise ValueError
    except (ValueError, ZeroDivisionError):
        accepted = (
            "reference, or LENGTH,SUCTION[,LIFT[,LIQUID]][,model] in ft,in,ft,in (all m for SI), such as 50,3/4,0 or "
            "110,7/8,10,3/8,model"
        )
        raise argparse.ArgumentTypeError(f"{text!r} is not a line set; accepted: {accepted}") from None
    line = {name: x for name, x in zip(("length", "suction", "lift", "liquid"), numbers) if x is not None}
    return {**line, "beyond": "model"} if modelled else line


def _outside(text):
    """What to do past an edge, as `System.expect` takes it."""
    if text in _WORDS["outside"]:
        return text
    out = {}
    for part in text.split(","):
        axis, equals, far = part.partition("=")
        if not equals:
            accepted = ", ".join(_WORDS["outside"])
            raise argparse.ArgumentTypeError(f"{text!r}; accepted: {accepted}, or how far past an edge: outdoor_dry_bulb=20")
        axis = axis.strip()
        out[axis] = _system.PAST.get(axis, ("hold",))[0], _number(far)
    return out


def _fittings(text):
    """Fittings as `System.expect` takes them."""
    if text == "unknown":
        return text
    try:
        counts = {name.strip(): int(count) for name, count in (part.split(":") for part in text.split(",") if part.strip())}
    except ValueError:
        counts = {}
    if not counts or not counts.keys() <= set(_WORDS["fitting"]):
        accepted = f"unknown, or such as elbow:4,tee_run:1, of {', '.join(_WORDS['fitting'])}"
        raise argparse.ArgumentTypeError(f"{text!r} are no fittings; accepted: {accepted}")
    return counts


_MOST_ROWS = 1_000_000  # of a sweep by the command, which holds all of them


def _many(read, read_step):
    """Reads a list of what `read` reads, or a range of numbers, both ends included."""

    def of(text):
        if ":" not in text:
            parts = text.split(",")
            if _is_one_number(parts):
                _number(text)  # which says so
            return [read(part) for part in parts]
        accepted = f"{text!r} is no range; accepted: FROM:TO:STEP, such as 75:115:5"
        if text.count(":") != 2:
            raise argparse.ArgumentTypeError(accepted)
        typed = text.split(":")
        start, stop, step = read(typed[0]), read(typed[1]), read_step(typed[2])
        if not step > 0.0 or stop < start:
            raise argparse.ArgumentTypeError(accepted)
        steps = (stop - start) / step
        if steps >= _MOST_ROWS:
            raise argparse.ArgumentTypeError(f"{text!r} has {steps + 1:,.0f} values; accepted: at most {_MOST_ROWS:,} rows")
        if abs(steps - round(steps)) > 1e-6:
            times, unit = (100.0, "%") if "%" in typed[1] else (1.0, "")
            ends = [f"{typed[0]}:{times * (start + step * k):.10g}{unit}:{typed[2]}" for k in (int(steps), int(steps) + 1)]
            raise argparse.ArgumentTypeError(f"{text!r} does not end on a step; accepted: {' or '.join(ends)}")
        return [start + step * k for k in range(round(steps) + 1)]

    return of


def _is_one_number(parts):
    """Whether a list looks like one number with its thousands apart: 1,000 and 1,200, but neither 95,105 nor "1, 200"."""
    if not _GROUPED.fullmatch(",".join(parts)) or parts[0] == "0":
        return False
    return any(part[0] == "0" for part in parts[1:]) or int(parts[1]) >= 10 * int(parts[0])


def _add_number(where, name, kind, more="", plain=_number, fraction=_fraction, **how):
    """An option that is a number of a kind, in the caller's unit."""
    unit = " or ".join(dict.fromkeys(_units.UNITS[kind])) if kind != "ratio" else "fraction, or a percentage such as 55%%"
    read = fraction if kind == "ratio" else plain
    where.add_argument("--" + name.replace("_", "-"), type=read, help=unit + more, **how)


def _add_question(
    command, plain, fraction, required=("stage", "outdoor_dry_bulb", "entering_dry_bulb", "airflow"), line_set=_line_set
):
    """The options of a question: `System.expect` by the names of its arguments."""
    number = functools.partial(_add_number, plain=plain, fraction=fraction)

    command.add_argument("system", help="system file (YAML)")
    command.add_argument("--units", choices=_WORDS["units"], required=True)
    stage = command.add_mutually_exclusive_group(required="stage" in required)
    stage.add_argument("--stage", default="", help="which page of the system")
    stage.add_argument("--speed", type=plain, help="of a variable-speed compressor, in the unit of the system's file")
    command.add_argument("--match", default="", help="the indoor unit, where the system lists any")
    for name in ("outdoor_dry_bulb", "entering_dry_bulb"):
        number(command, name, "temperature", required=name in required)
    humidity = command.add_mutually_exclusive_group()  # needed in cooling, as the library says
    number(humidity, "entering_wet_bulb", "temperature")
    number(humidity, "entering_relative_humidity", "ratio")
    number(humidity, "entering_humidity_ratio", "humidity_ratio")
    number(humidity, "entering_dew_point", "temperature")
    _add_airflow_and_site(command, number, "airflow" in required)
    command.add_argument(
        "--line-set",
        type=line_set,
        metavar="reference|LENGTH,SUCTION[,LIFT[,LIQUID]][,model]",
        help="ft,in,ft,in or all m; model: answer beyond the maker's table",
    )
    command.add_argument(
        "--fittings",
        type=_fittings,
        metavar="unknown|NAME:COUNT,...",
        help=f"of the line set, whose LENGTH is then the tubing's alone, such as elbow:4,tee_run:1; of {', '.join(_WORDS['fitting'])}",
    )
    command.add_argument("--boundary", choices=_WORDS["boundary"], required=True, help="gross, or net of the indoor fan")
    number(command, "fan_power", "electric_power", ", indoor fan")
    command.add_argument(
        "--outside",
        type=_outside,
        default="refuse",
        metavar="|".join((*_WORDS["outside"], "AXIS=FAR[,AXIS=FAR]")),
        help="what to do past the page's edge; outdoor_dry_bulb=20,line_length=30 holds the edge of that axis as far as that, "
        "entering_wet_bulb=4 continues the page",
    )
    command.add_argument("--infer", action="store_true", help="allow values inferred where the page is blank")
    command.add_argument(
        "--airflow-effect", action="store_true", help="allow another airflow than the page's only one, by published curves"
    )
    command.add_argument("--mode", choices=_WORDS["mode"], default="cooling")
    command.add_argument("--frost", choices=_WORDS["frost"], help="heating: the kind of capacity")
    number(command, "auxiliary_heat", "electric_power", ", heating: beside the machine, 0 where it is off")
    number(command, "outdoor_relative_humidity", "ratio", "; heating: for a defrost table")


def _add_readings(command):
    """The options of `deliver`, by the names of its arguments."""
    command.add_argument("--units", choices=_WORDS["units"], required=True)
    for side, more in (("return", ""), ("supply", "; in heating none")):
        _add_number(command, f"{side}_dry_bulb", "temperature", required=True)
        humidity = command.add_mutually_exclusive_group()
        _add_number(humidity, f"{side}_wet_bulb", "temperature", more)
        _add_number(humidity, f"{side}_relative_humidity", "ratio", more)
        _add_number(humidity, f"{side}_humidity_ratio", "humidity_ratio", more)
        _add_number(humidity, f"{side}_dew_point", "temperature", more)
    _add_airflow_and_site(command, _add_number)
    command.add_argument("--split", choices=_WORDS["split"], default="enthalpy", help="how sensible and latent are told apart")
    command.add_argument("--condensate", action="store_true", help="subtract the condensate's enthalpy")
    command.add_argument("--fan", choices=_WORDS["fan"], help="where it stands; for an airflow at the fan")
    _add_number(command, "fan_power", "electric_power", ", indoor fan")
    command.add_argument("--mode", choices=_WORDS["mode"], default="cooling")
    _add_number(command, "auxiliary_heat", "electric_power", ", heating: between the probes, 0 where it is off")


def _add_airflow_and_site(command, number, required=True):
    """What an airflow means, and where the machine stands."""
    number(command, "airflow", "airflow", "; of dry mass lb/h or kg/s; with --airflow-basis or --airflow-at", required=required)
    meaning = command.add_mutually_exclusive_group(required=True)
    meaning.add_argument("--airflow-basis", choices=_WORDS["airflow_basis"])
    meaning.add_argument("--airflow-at", choices=_WORDS["airflow_at"], help="actual airflow, at the density of that place")
    number(command, "elevation", "length", "; of the site")
    number(command, "pressure", "pressure", ", station pressure; with the elevation or without")


def _add_solve(command):
    """The options of `System.solve`: a question without what is varied, and what it is to give."""
    _add_question(command, _number, _fraction, (), functools.partial(_line_set, varied=("?",)))
    command.add_argument(
        "--vary",
        required=True,
        metavar="NAME",
        help="what is looked for: a number of the question (outdoor_dry_bulb, airflow, speed, ...), line_length or another part of the "
        "line set, which is then a ? there (--line-set ?,3/4,0), or match or stage",
    )
    command.add_argument(
        "--of",
        required=True,
        metavar="NAME[/NAME]",
        help="what is told, by its name in `expect --json`; of two, the first over the second",
    )
    command.add_argument("--equals", type=_share_or_number, required=True, help="what it should be, in its unit")
    where = command.add_mutually_exclusive_group()
    where.add_argument("--between", type=_number, nargs=2, metavar=("LOW", "HIGH"), help="the range of what is varied")
    where.add_argument(
        "--among", metavar="A,B,...", help="instead the few that are tried; all matches or stages of the system if left out"
    )
    command.add_argument(
        "--limit", choices=("at_least", "at_most"), default="at_least", help="of a few: whether more or less than that will do"
    )


def _share_or_number(text):
    """A number; a percentage only where it says so."""
    return _share(text) if "%" in text else _number(text)


def _drop(text):
    """A component and its drop, `filter=0.12`."""
    component, equals, drop = text.partition("=")
    if not equals:
        raise argparse.ArgumentTypeError(f"{text!r} is not a drop; accepted: COMPONENT=DROP, such as filter=0.12")
    return component, _number(drop)


def _add_choose(command):
    """The options of `choose`, by the names of its arguments."""
    command.add_argument("systems", nargs="+", metavar="SYSTEM", help="system files (YAML)")
    command.add_argument("--units", choices=_WORDS["units"], required=True)
    for name, kind in _choose.ASKED.items():
        _add_number(command, name, kind, required=name in ("outdoor_dry_bulb", "entering_dry_bulb"))
    humidity = command.add_mutually_exclusive_group(required=True)
    for name, kind in _choose.HUMIDITIES.items():
        _add_number(humidity, name, kind)
    _add_number(command, "airflow", "airflow", ", standard air; may be given several times", action="append")
    command.add_argument(
        "--limits",
        default=_choose.LIMITS[0],
        metavar="|".join([*_choose.LIMITS, "FILE.json"]),
        help="published limits of size, or those of a file: source, total, heat_pump, sensible, latent",
    )
    command.add_argument(
        "--frost",
        choices=("instantaneous", "integrated"),
        help="the kind of heating capacity; else integrated where the page has it",
    )
    command.add_argument(
        "--line-set",
        type=_line_set,
        default="reference",
        metavar="reference|LENGTH,SUCTION[,LIFT[,LIQUID]][,model]",
        help="of the site: ft,in,ft,in or all m",
    )
    command.add_argument(
        "--no-spare-latent", dest="spare_latent", action="store_false", help="no latent capacity counts as sensible"
    )


def _add_airflow(command):
    """The options of `System.blower`."""
    command.add_argument("system", help="system file (YAML) with a blower table")
    command.add_argument("--units", choices=_WORDS["units"], required=True)
    command.add_argument("--tap", required=True, help="tap or profile of the blower")
    _add_number(command, "static", "static_pressure", ", external, as measured", required=True)
    _add_number(command, "static_u", "static_pressure", ", its standard uncertainty")
    command.add_argument(
        "--includes", default="", help="what stood between the two static taps beside the fan: 'wet coil, no filter'"
    )
    command.add_argument(
        "--drop", type=_drop, action="append", help="COMPONENT=DROP, where that differs from the table's", dest="drops"
    )
    _add_number(command, "dry_bulb", "temperature", ", of the air the fan breathes", required=True)
    breathed = command.add_mutually_exclusive_group(required=True)
    _add_number(breathed, "relative_humidity", "ratio")
    _add_number(breathed, "wet_bulb", "temperature")
    _add_number(command, "elevation", "length", "; of the site")
    _add_number(command, "pressure", "pressure", ", station pressure; with the elevation or without")


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with its options in one line."""

    def error(self, message):
        self.exit(2, _results.printable(f"{self.prog}: {message}; see {self.prog} --help\n"))


class _Help(argparse.HelpFormatter):
    """Keeps the lines of what has lines."""

    def _fill_text(self, text, width, indent):
        return text if "\n" in text else super()._fill_text(text, width, indent)


def _parser():
    parser = _Parser(
        prog="offnominal",
        description="What a split air conditioner should deliver, what it does deliver, and the proof. It estimates; it never "
        "controls or certifies.",
    )
    parser.add_argument("--version", action="version", version=f"offnominal {on.__version__}")
    commands = parser.add_subparsers(dest="command", required=True)

    _demo.add_command(commands)
    _new.add_command(commands)
    expect = commands.add_parser("expect", help="what a system should deliver under given conditions")
    _add_question(expect, _number, _fraction)
    sweep = commands.add_parser(
        "sweep",
        help="the same for all combinations of several values, as CSV",
        description="Numbers may be lists (85,95,105) or ranges (75:115:5, both ends included); stages and matches lists of words; "
        f"at most {_MOST_ROWS:,} rows.",
    )
    _add_question(sweep, _many(_number, _number), _many(_fraction, _share))
    sweep.add_argument("--columns", type=lambda text: text.split(","), help="the numbers to be told, by name; all if left out")

    _add_solve(
        commands.add_parser(
            "solve",
            help="where along one number of a question something told has a value, or which of a few give it",
            description="A question backwards: all places, or the one that comes nearest. --airflow-basis or --airflow-at is given even "
            "where the airflow is what varies.",
        )
    )
    card = commands.add_parser(
        "card",
        help="the target card of a test day: expected over outdoor dry bulb and entering wet bulb",
        description="Outdoor dry bulb and entering wet bulb may be lists (85,95,105) or ranges (75:115:5), and are what the page prints if "
        "left out; the rest are single values.",
    )
    _add_question(card, _many(_number, _number), _many(_fraction, _share), ("stage", "entering_dry_bulb", "airflow"))
    card.add_argument(
        "--forecast", metavar="VISIT", help="a visit with the instruments that will be brought: what would make it surer"
    )
    card.add_argument("--page", metavar="FILE.html", help="write the card as a page to print")
    card.add_argument("--force", action="store_true", help="replace that page if it is there already")

    _add_readings(commands.add_parser("deliver", help="what a machine delivers, from readings on both sides of it"))

    prove = commands.add_parser("prove", help="whether a machine delivers what it should")
    plan = commands.add_parser("plan", help="what a visit can decide, before anybody drives there")
    causes = commands.add_parser(
        "causes",
        help="likely causes of what a proof found, and what tells them apart",
        description="Hypotheses, never a verdict: each with its chance, by all that was read.",
    )
    forecast = "; with what is forecast: of its supply only the measure of humidity and the instruments count"
    for one, more in ((prove, ""), (plan, forecast), (causes, "")):
        one.add_argument("visit", help=f"visit file (YAML); it names its system file{more}")
        one.add_argument("--units", choices=_WORDS["units"], required=True)
        one.add_argument("--system", help="system file, instead of the one the visit names")
    causes.add_argument(
        "--saw",
        metavar="CHECK=VALUE",
        action="append",
        help="what a check told since: subcooling=-9 (above the maker's target), outdoor_unit=yes (something is wrong there), "
        "second_airflow=0.12 (the visit's stands 12 %% above it); may be given several times",
    )
    prove.add_argument("--full", action="store_true", help="the whole report, not its verdict alone")
    prove.add_argument("--record", metavar="FILE.html", help="keep the proof: a page, and beside it the JSON to recompute it")
    prove.add_argument(
        "--earlier",
        nargs="+",
        default=(),
        metavar="VISIT",
        help="earlier visits to the machine: the record tells what changed since",
    )
    prove.add_argument("--force", action="store_true", help="replace the files of a record that are there already")

    _add_choose(commands.add_parser("choose", help="which combinations meet design loads at design conditions"))

    recompute = commands.add_parser("recompute", help="a kept proof once more: the same digits, or what changed")
    recompute.add_argument("record", help="the JSON of a record")

    audit = commands.add_parser("audit", help="what a typist may have got wrong in the pages of a system file")
    audit.add_argument("system", help="system file (YAML); one that contradicts itself is audited too")

    _add_airflow(commands.add_parser("airflow", help="what the blower moves, by the blower table of a system file"))

    _survey.add_command(commands)
    _between.add_commands(commands)
    _year.add_command(commands)
    _transcription.add_command(commands)
    _collation.add_command(commands)
    _logs.add_command(commands, _number)
    for name, one in commands.choices.items():
        _results.add_forms(one, numbers=name not in _GIVE_A_TEXT)
    for one in (parser, *commands.choices.values()):
        one.epilog, one.formatter_class = _EXIT, _Help
    return parser


def _question(options, of=on.System.expect):
    """The arguments of a function that were given."""
    arguments = inspect.signature(of).parameters
    question = {name: value for name, value in vars(options).items() if name in arguments and value is not None}
    powers = question.get("fan_power", 0.0)
    for power in powers if isinstance(powers, list) else [powers]:
        if power < 0.0:  # said even where the boundary asks for none
            raise ValueError(f"fan_power: {power:g}; accepted: 0 or more")
    if getattr(options, "fittings", None) is not None:
        line = question.get("line_set")
        if not isinstance(line, dict):
            raise ValueError("fittings: of no line; accepted: beside --line-set TUBING,SUCTION")
        question["line_set"] = {"tubing": line["length"], "fittings": options.fittings, **line}
        del question["line_set"]["length"]
    return question


def _expect(options):
    answer = on.load(options.system).expect(**_question(options))
    return _results.of_told(answer, answer.report, ("mode", "boundary", "frost", "power_basis", "footing", "notes"))


def _sweep(options):
    """What varies, then what is told; in words too it is CSV."""
    system = on.load(options.system)
    question = _question(options)
    columns = question.pop("columns", None)
    for name in ("stage", "match"):
        question[name] = [_known(name, word.strip(), system) for word in question[name].split(",")]
    several = {name: value for name, value in question.items() if isinstance(value, list)}
    question.update((name, value[0]) for name, value in several.items())
    axes = {name: value for name, value in several.items() if len(value) > 1}
    if not axes:
        raise ValueError("nothing to sweep: every option has one value; accepted: lists (85,95) and ranges (75:115:5)")
    _tables.check_rows(map(len, axes.values()), _MOST_ROWS)
    rows = itertools.product(*axes.values())
    axes = dict(zip(axes, map(list, zip(*rows))))
    answers = system.expect(**{**question, **axes}, columns=columns)
    units = _units.units_of_question(options.units, system.speed_unit)
    return _results.of_told(answers, None, ("reason",), axes=axes, units={name: units[name] for name in axes if name in units})


def _solve(options):
    system = on.load(options.system)
    question = _question(options)
    if options.vary in question and (options.vary not in ("match", "stage") or question[options.vary]):
        raise ValueError(f"{options.vary}: given, and to be varied")
    question.pop(options.vary, None)
    for part in ("length", "suction"):
        if part not in _line_of(question) and options.vary != f"line_{part}":
            raise ValueError(f"line_set: its {part} is a ?; accepted: --vary line_{part}")
    among = options.among
    if among is not None:
        among = [part.strip() for part in among.split(",")]
        among = [
            _known(options.vary, one, system) if options.vary in ("match", "stage") else float(Fraction(one)) for one in among
        ]
    of = tuple(options.of.split("/"))
    found = system.solve(
        vary=options.vary, of=of if len(of) > 1 else of[0], equals=options.equals, between=options.between, among=among,
        limit=options.limit, **question,
    )  # fmt: skip
    rows = found.to_rows()
    units = {options.vary: found.unit, **dict.fromkeys(("reached", "off"), found.unit_of)}
    asked = {name: getattr(found, name) for name in ("vary", "of", "units")}
    return _results.Result(
        found.report,
        lambda: {
            "told": type(found).__name__,
            **asked,
            "equals": options.equals,
            "fields": {name: unit for name, unit in units.items() if unit},
            "places": rows,
        },
        lambda: _results.records(rows, units),
    )


def _line_of(question):
    """The parts of a line set, all of one that is named."""
    line = question.get("line_set")
    return line if isinstance(line, dict) else ("length", "suction")


def _card(options):
    system = on.load(options.system)
    question = _question(options)
    rows = {
        "outdoor_dry_bulb": question.pop("outdoor_dry_bulb", None),
        "entering_wet_bulb": question.pop("entering_wet_bulb", None),
    }
    for name, value in question.items():
        if isinstance(value, list):
            if len(value) > 1:
                raise ValueError(f"{name}: several values; accepted: one, but of outdoor dry bulb and entering wet bulb")
            question[name] = value[0]
    card = system.target_card(**rows, **question, forecast=options.forecast)
    if options.page:
        _write.write_new(options.page, card.html(), options.force)
    return _results.Result(
        lambda: str(card),
        card.to_dict,
        lambda: _results.records(card.to_rows(), card.units_of_columns),
    )


def _known(name, word, system):
    """A stage or a match that the system has; the empty word stands for none."""
    known = system.stages if name == "stage" else system.matches
    if word and word not in known:
        near = _texts.nearest(word, known)
        text = f"the system has no such {name}: {word!r}; it has {', '.join(known) or 'none'}"
        raise on.Refused(text + (f"; nearest: {near}" if near else ""), f"unknown_{name}", name)
    return word


def _deliver(options):
    delivered = on.deliver(**_question(options, on.deliver))
    return _results.of_told(delivered, lambda: _display.text_of(delivered), ("mode", "notes"))


def _of_visit(options):
    """The system and the visit."""
    visit = on.Visit(options.visit, forecast=options.command == "plan")
    return on.load(options.system) if options.system is not None else _system.load_named_by(visit, options.visit), visit


def _prove(options):
    system, visit = _of_visit(options)
    proof = system.prove(visit, units=options.units)
    if options.earlier and not options.record:
        raise ValueError("--earlier: without --record; accepted: both, or `offnominal seasons`")
    if options.record:
        earlier = [system.prove(on.Visit(one), units=options.units) for one in options.earlier]
        proof.record(earlier=earlier).write(options.record, force=options.force)
    status = _results.OUTCOMES[proof.outcome]
    result = _results.of_told(proof, lambda: _proof_text(proof, options), _results.WORDS_OF_A_PROOF, status)
    return dataclasses.replace(result, data=lambda: {**_about(proof), **result.data()})


def _about(proof):
    """What a proof is of, and what its verdict says in words."""
    lines = [line.strip().partition(": ") for line in proof.verdict(units=proof.units).splitlines()]
    said = {name: words for name, _, words in lines if name in ("why", "next")}
    return {
        "visit": proof.visit.name,
        "date": proof.visit.date,
        "system": proof.system.name,
        "why": said.get("why"),
        "next": said.get("next"),
        "settling": [one._asdict() for one in proof.settle()],
    }


def _proof_text(proof, options):
    if options.full:
        return proof.report(units=options.units)
    return proof.verdict(units=options.units) + "(an estimate, which certifies nothing; --full tells all of it, with cautions)\n"


def _plan(options):
    system, visit = _of_visit(options)
    plan = system.plan(visit, units=options.units)
    return _results.Result(
        lambda: plan.report(units=options.units),
        lambda: {
            "told": "Plan",
            "reason": plan.reason,
            "chances": [one._asdict() for one in plan.chances],
            "remedies": [one._asdict() for one in plan.remedies],
        },
        lambda: _results.records(plan.chances),
    )


_ON_CAUSES = (
    "(an estimate, which certifies nothing: only people licensed for it open the machine or handle refrigerant, some of which burns;\n"
    "lock out electricity, and fans start without warning; local code and the maker's instructions come first)\n"
)


def _seen(words):
    """What checks told, such as ``subcooling=-9`` or ``outdoor_unit=yes``."""
    seen = {}
    for word in words or ():
        check, equals, value = word.partition("=")
        try:
            told = {"yes": 1.0, "no": 0.0}.get(value)
            if told is None:
                told = float(value)
        except ValueError:
            equals = ""
        if not equals:
            raise on.InputError(f"--saw {word}: not what a check told; accepted: CHECK=NUMBER, or CHECK=yes or CHECK=no")
        if seen.setdefault(check, told) != told:
            raise on.InputError(f"--saw {word}: contradicts what {check} told before; accepted: one result of each check")
    return seen


def _causes(options):
    system, visit = _of_visit(options)
    proof = system.prove(visit, units=options.units)
    causes = proof.causes(seen=_seen(options.saw))
    return _results.Result(
        lambda: f"{proof.verdict(units=options.units)}{causes}{_ON_CAUSES}",
        causes.to_dict,
        lambda: _results.records(causes.likely, of=on.LikelyCause),
    )


def _choose_systems(options):
    question = _question(options, on.choose)
    if question["limits"].endswith(".json"):
        question["limits"] = _write.read_json(question["limits"])
    line = "as rated" if question["line_set"] == "reference" else "of the site"
    choices = on.choose([on.load(path) for path in question.pop("systems")], **question)
    return _results.Result(
        lambda: f"{choices}\n{_ON_CHOICES.format(line=line)}",
        choices.to_dict,
        lambda: _results.records(choices, choices.units_of_columns, on.Choice),
    )


_ON_CHOICES = (
    "(an estimate at the design point, the line set {line}; over loads: total, sensible with half of the spare latent, latent.\n"
    "Who may choose and install equipment, local code and the maker's instructions decide)\n"
)


def _recompute(options):
    record = on.read_record(options.record)
    differences = record.recompute()
    made = record.data
    name, outcome = made["visit"]["name"] or "visit", made["proof"]["outcome"]

    def text():
        now = f"{len(differences)} differ" if differences else "the same digits"
        first = f"{name}: {outcome}, by offnominal {made['version']}; by {on.__version__} {now}"
        return "\n".join([first, *(f"  {one}" for one in differences)]) + "\n"

    return _results.Result(
        text,
        lambda: {
            "told": "Recomputation",
            "visit": made["visit"]["name"],
            "outcome": outcome,
            "made_by": made["version"],
            "version": on.__version__,
            "differences": [one._asdict() for one in differences],
        },
        lambda: _results.records(differences, of=on.RecordChange),
        1 if differences else 0,
    )


def _airflow(options):
    left_out = ("command", "system", "form")
    given = {name: value for name, value in vars(options).items() if name not in left_out and value is not None}
    given["drops"] = dict(given.get("drops", ()))
    system = on.load(options.system)
    found = system.blower(**given)
    kinds = dict.fromkeys(("airflow", "airflow_u", "actual"), "airflow") | {"mass_flow": "mass_flow", "power": "electric_power"}
    fields = {name: _units.unit_of(options.units, kind) for name, kind in kinds.items()}
    told = {**found._asdict(), "terms": [term._asdict() for term in found.terms]}
    one = {name: value for name, value in told.items() if name not in ("terms", "units")}
    return _results.Result(
        lambda: system.blower_report(**given),
        lambda: {"told": "Determination", "fields": fields, **told},
        lambda: _results.records([one], fields),
    )


def _audited(options):
    with _progress.Progress("auditing") as progress:
        pages = _audit.pages(_core.audit_file(_texts.path_of(options.system), "IP", progress))
    about = ("mode", "frost", "stage", "match")

    def told(page):
        parts = {
            name: [_results.fields_of(x) for x in getattr(page, name)] for name in ("suspects", "questions", "leave_one_out")
        }
        return {**_results.fields_of(page), **parts}

    def table():
        rows = [{**{name: page[name] for name in about}, **one} for page in map(told, pages) for one in page["suspects"]]
        return _results.records(rows, of=(*about, *_results.names_of(_audit.Suspect)))

    return _results.Result(
        lambda: "\n".join(page.report() for page in pages),
        lambda: {"told": "Audit", "units": "IP", "pages": [told(page) for page in pages]},
        table,
    )


_COMMANDS = {
    "demo": _demo.run_command,
    "new": _new.run_command,
    "expect": _expect,
    "sweep": _sweep,
    "solve": _solve,
    "deliver": _deliver,
    "prove": _prove,
    "plan": _plan,
    "card": _card,
    "causes": _causes,
    "choose": _choose_systems,
    "recompute": _recompute,
    "audit": _audited,
    "airflow": _airflow,
    "survey": _survey.run_command,
    "seasons": _between.run_seasons,
    "revised": _between.run_revised,
    "year": _year.run_command,
    "transcribe": _transcription.run_command,
    "collate": _collation.run_command,
    "steady": _logs.run_command,
}
_GIVE_A_TEXT = ("new", "transcribe")


def _in_words(error, options):
    """An error as the command tells it: arguments of the library by the names of their options."""
    if isinstance(error, OSError) and not isinstance(error, on.Error) and error.filename:
        return f"{error.filename}: {error.strerror}"
    if isinstance(error, FileExistsError):
        return str(error).replace("; force replaces it", "; --force replaces it")
    if options.command == "transcribe":
        return str(error).replace("accepted: sensible_at: 80 degF", "accepted: --sensible-at '80 degF'")
    if options.command not in ("expect", "sweep", "deliver"):
        return str(error)
    names = "|".join(name for name in vars(options) if "_" in name)
    return re.sub(rf"\b({names})\b", lambda name: "--" + name[0].replace("_", "-"), str(error))


def _say(text, stream):
    """Prints at once, so that a closed pipe is noticed here; what the stream cannot encode is shown as escapes. A closed one hears nothing."""
    if stream is None:
        return
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors="backslashreplace")
    for at in range(0, len(text), 1 << 14):  # of one long write Python does not always say that its reader is gone
        stream.write(text[at : at + (1 << 14)])
        stream.flush()


def _answer(options):
    """Runs a command, and says what comes of it; returns the exit status."""
    form = getattr(options, "form", None)
    try:
        result = _COMMANDS[options.command](options)
        status, written = result.status, result.written(form)
    except BrokenPipeError:
        raise
    except (on.Error, OSError, ValueError, TypeError, ImportError) as error:
        if form == "json":
            _say(_results.of_error(error), sys.stdout)
        _say(_results.emphasized(_results.printable(f"offnominal: {_in_words(error, options)}\n"), sys.stderr), sys.stderr)
        return 2
    if form is None:
        written = _results.emphasized(_results.printable(written), sys.stdout)
    _say(written, sys.stdout)
    return _UNREAD if sys.stdout is None else status


_UNREAD = 141


def _drop_output():
    """What is still to be written at exit goes nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def main(arguments=None):
    """Run the command; returns its exit status, one of those that ``offnominal --help`` lists."""
    try:
        try:
            options = _parser().parse_args(arguments)
        finally:
            if sys.stdout is not None:
                sys.stdout.flush()  # of --help
        return _answer(options)
    except KeyboardInterrupt:
        _say("offnominal: interrupted\n", sys.stderr)
        return 130
    except BrokenPipeError:  # such as `| head`
        _drop_output()
        return _UNREAD
    except OSError as error:  # such as a full disk
        _drop_output()
        _say(f"offnominal: the output cannot be written: {error.strerror}\n", sys.stderr)
        return 2
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        fault = f"offnominal: a fault of its own, {type(error).__name__}: {error}; python -X dev -m offnominal shows where\n"
        _say(_results.printable(fault), sys.stderr)
        return 70


if __name__ == "__main__":
    sys.exit(main())
