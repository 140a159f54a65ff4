"""Templates of system and visit files, to be filled in by hand."""

from offnominal import _core, _display, _write
from offnominal._system import load

TEMPLATES = {"system": "new-system.yaml", "visit": "new-visit.yaml"}


def template(kind, mode="cooling"):
    """The text of a template. A line that stands in one mode only begins with its word: ``heating| ``."""
    out = []
    for line in _display.file_of_package(TEMPLATES[kind]).splitlines():
        only, _, rest = line.partition("| ")
        if only not in _core.words["mode"]:
            out.append(line)
        elif only == mode:
            out.append(rest)
    return "\n".join(out) + "\n"


def add_command(commands):
    """Add ``offnominal new`` to the command's parsers."""
    command = commands.add_parser(
        "new",
        help="a system or visit file to fill in, with comments",
        description="What stands open after a colon is to be filled in; until then the file is refused, with the line that is "
        "still open. A line that says `may go` may be left out.",
    )
    command.add_argument("kind", choices=TEMPLATES)
    command.add_argument("--heating", action="store_true", help="of a visit: to a machine that heats")
    command.add_argument("--system", metavar="FILE", help="of a visit: the system's file; its stages and indoor units are named")
    command.add_argument("-o", "--output", metavar="FILE", help="where to write it; without it, standard output")
    command.add_argument("--force", action="store_true", help="replace an output file that is there already")


def run_command(options):
    """Run ``offnominal new``; returns its result."""
    from offnominal import _results

    for option in ("system", "heating"):
        if getattr(options, option) and options.kind != "visit":
            raise ValueError(f"--{option}: for a visit only")
    text = template(options.kind, "heating" if options.heating else "cooling")
    if options.system is not None:
        text = _of_system(text, options.system)
    said = text
    if options.output is not None:
        _write.write_new(options.output, text, options.force)
        said = f"written to {options.output}: fill in what stands open after a colon\n"
    return _results.of_text(said, {"told": "Template", "kind": options.kind, "file": options.output, "text": text})


def _of_system(text, path):
    """The template of a visit to a known system: its file, and what its stages and indoor units are called."""
    system = load(path)
    known = {"system": path, "stage": ", ".join(system.stages), "match": ", ".join(system.matches)}
    lines = []
    for line in text.splitlines():
        key = line.partition(":")[0]
        if key == "match" and not system.matches:
            continue
        if key == "system":
            line = f"system: {_quoted(path)}"
        elif key in known:
            line = f"{line.partition('#')[0]}# one of: {known[key]}"
        lines.append(line)
    return "\n".join(lines) + "\n"


def _quoted(text):
    return "'" + text.replace("'", "''") + "'"
