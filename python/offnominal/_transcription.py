"""A pasted page made into a system file.

Python looks at words alone: what a column is called, where its numbers stand. What the numbers mean is read by the one reader
of files, from the text that is made here; its complaints are led back to the line that was pasted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import dataclasses
import json
import os
import re
import sys
from collections.abc import Mapping

from offnominal import _core, _texts, _write
from offnominal._audit import PageAudit, Suspect
from offnominal._cells import SHEETS, Problems
from offnominal._pasted import Options, Pasted
from offnominal._texts import counted, error_at
from offnominal._wording import AXES, OF_MODE
from offnominal.errors import InputError
from offnominal._system import System

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from typing import Any, Literal

SOURCE: tuple[str, ...] = ("document", "revision", "page", "transcriber", "checker")
BASIS: dict[str, str] = {
    "capacity": "gross, net or unknown",
    "fan": "in a net capacity: 365 W per 1000 scfm, or 420 W; may be given twice",
    "airflow": "standard or unknown",
    "standard_pound": "dry, moist or unknown",
    "power": "compressor, outdoor unit, system or unknown",
    "sensible_at": "entering dry bulb of the sensible column: 80 degF",
    "sensible_slope": "1.10 Btu/h/cfm/degF",
    "sensible_correction": "form of the entering-dry-bulb footnote: 1 - bypass",
    "sensible_ratio_of": "total, rated total or rated sensible",
    "printed_at": "heating: entering dry bulb of the page, 70 degF",
    "outdoor_humidity": "heating: 75 %",
    "elevation": "0 ft",
    "tolerance": "the maker's, 5 %",
}
_STATED = ("capacity", "airflow", "standard_pound", "power")  # unknown unless given, and the file says so
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._()/%+-]*(?<! )")


class Transcription:
    """A pasted page as a system file, checked by reading it back. Made by `transcribe`.

    Attributes
    ----------
    text : str
        The file.
    system : System
        What it says.
    notes : list of str
        What was done to read the page: footnote marks left out, lines kept as comments.
    """

    text: str
    system: System
    notes: list[str]

    def __init__(
        self,
        text: str,
        system: System,
        filled: dict[str, dict[str, int]],
        notes: Sequence[str] = (),
        origins: Sequence[Any] = (),
    ) -> None:
        self.text, self.system, self.notes, self._filled, self._origins = text, system, list(notes), filled, origins

    def write(self, path: str | os.PathLike[str], *, force: bool = False) -> None:
        """Write the file, as a whole or not at all.

        Parameters
        ----------
        path : str or os.PathLike
        force : bool
            Replace a file that is there already.

        Raises
        ------
        FileExistsError
            If the file is there and `force` is not true.
        """
        _write.write_new(path, self.text, force)

    def audit(self, *, units: Literal["IP", "SI"]) -> list[PageAudit]:
        """What a typist may have got wrong, as `System.audit` finds it, with each suspect where it was pasted.

        Their `apply` changes the pasted text: a label that stands in a heading is changed there, once.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        list of PageAudit
        """
        lines = self.text.split("\n")
        return [
            dataclasses.replace(page, suspects=tuple(self._led_back(suspect, lines) for suspect in page.suspects))
            for page in self.system.audit(units=units)
        ]

    def _led_back(self, suspect, lines):
        edits = {}  # each place once: a heading speaks for many rows
        for line, column, typed, meant, is_unit in suspect._edits:
            at = _head_above(lines, line - 1, column) + 1 if is_unit else line - 1
            edits |= {(*place, typed, meant): None for place in self._pasted_at(lines, at, column)}
        told = {field.name: getattr(suspect, field.name) for field in dataclasses.fields(suspect)}
        where = next(iter(edits), None)
        if where is None and suspect.line:
            (where,) = self._pasted_at(lines, suspect.line - 1, None)
        if where is not None:
            told["file"], told["line"], told["place_column"] = where[:3]
        return PastedSuspect(**{**told, "_edits": tuple(edits)})

    def _pasted_at(self, lines, line, column):
        """File, line and column that a word of the made text was pasted at, and wherever else it stands; of a row without a column
        its first number."""
        file, cells, first, _, also = self._origins[line]
        more = ()
        if column is not None:
            number = lines[_head_above(lines, line, column)].split().index(column)
            first, more = cells[number], also.get(number, ())
        return [(file, *first[1:]), *((file, *place) for place in more)]

    def report(self) -> str:
        """What was read back: nodes, blanks, and what follows from what the file says is unknown.

        Returns
        -------
        str
        """
        lines, notes = [self.system.name], []
        for page in self.system.pages(units="SI"):
            marks = {mark: int((page.marks == mark).sum()) for mark in ("blank", "beyond_limit", "dry")}
            words = {"blank": "blank", "beyond_limit": "past the operating limit", "dry": "dry"}
            counts = "".join(f", {count} {words[mark]}" for mark, count in marks.items() if count)
            axes = ", ".join(f"{len(values)} {name.replace('_', ' ')}" for name, values in page.axes.items())
            lines.append(f"{page.label}: {counted(page.marks.size, 'node')}{counts}")
            lines.append(f"  {axes}; {', '.join(page.columns)}")
            lines += [f"  {role} filled down in {counted(n, 'row')}" for role, n in self._filled.get(page.stage, {}).items()]
            notes += [note for note in page.notes if note not in notes]
        if self.notes:
            lines += ["how it was read", *(f"  - {note}" for note in self.notes)]
        if notes:
            lines += ["what follows from what the page does not say", *(f"  - {note}" for note in notes)]
        return "\n".join(lines) + "\n"

    def __repr__(self):
        return f"<Transcription of {self.system.name!r}: {', '.join(self.system.stages)}>"


def _head_above(lines, line, column):
    """The number of the line above a row that names its columns."""
    return next(n for n in range(line - 1, -1, -1) if column in lines[n].split())


class PastedSuspect(Suspect):
    """A suspect of a pasted page: `file`, `line` and `place_column` are where it was pasted."""

    def apply(self, text: str | None = None) -> str:
        """The pasted text with this put right, and nothing else changed: for whoever has looked at the print.

        Nothing is written; a label is changed wherever it stands, which may be a heading; exchanged blocks exchange labels.

        Parameters
        ----------
        text : str, optional
            As it was when it was transcribed; read from `file` unless given.

        Returns
        -------
        str

        Raises
        ------
        InputError
            If nobody can say what was meant, or the text is not the one that was transcribed.
        """
        if not self._edits:
            raise error_at(self.file, self.line, 0, "nobody can say what was meant", self.typed, "the number in print")
        if text is None:
            if not os.path.isfile(self.file) or self.file.lower().endswith(SHEETS):
                raise ValueError("the page was not read from a file of text; accepted: its text")
            with open(self.file, encoding="utf-8", newline="") as file:
                text = file.read()
        lines = text.split("\n")
        for file, line, column, typed, meant in sorted(self._edits, reverse=True):
            spelled = "[,' \u2009\u202f]?".join(re.escape(c).replace(r"\.", "[.,]") for c in typed)  # as print groups it
            found = None
            if 0 < line <= len(lines):
                found = re.compile(rf"(?<![\d.,]){spelled}(?![\d]|[.,]\d)").search(lines[line - 1], max(column - 1, 0))
            if found is None:
                problem = f"not the text that was transcribed: no {self.column} {typed} here"
                raise error_at(file, line, column, problem, "", "the text as it was when it was transcribed")
            if "," in found[0] and "." not in typed and meant.isdigit():
                meant = f"{int(meant):,}"
            lines[line - 1] = lines[line - 1][: found.start()] + meant + lines[line - 1][found.end() :]
        return "\n".join(lines)


def transcribe(
    pages: Any,
    *,
    name: str,
    source: Mapping[str, str] | None = None,
    basis: Mapping[str, Any] | None = None,
    nominal: str = "",
    refrigerant: str = "",
    units: Mapping[str, str] | None = None,
    columns: Mapping[str, str] | None = None,
    values: Mapping[str, str] | None = None,
    fill_down: Sequence[str] = (),
    indoor: Literal["path", "points"] | None = None,
    infer: bool = False,
    frost: Literal["instantaneous", "integrated", "unknown"] | None = None,
    modulation: Literal["staged", "variable", "continuous"] | None = None,
    across: Literal["odb", "airflow", "ewb", "rh", "edb", "pressure"] | None = None,
    decimal: Literal[".", ","] | None = None,
    marks: Mapping[str, Literal["dry", "blank", "limit", "ignore"]] | None = None,
    blanks: bool = False,
) -> Transcription:
    """Make a system file from pasted pages, keeping every number's text as typed.

    A page is headings and rows: cells set apart by tabs, commas, semicolons, or runs of blanks as a document gives them. It is in
    long form (a row for each node) or as printed: outdoor temperature, airflow or wet bulb across (``75 TC  75 SC  85 TC ...``),
    headings of several lines that span columns, blocks with the value of an axis, a speed or a mode in their heading, repeated
    headings, multiplier rows below. Names are roles, or headings in print that can mean one role only; units stand in a line of
    their own, in brackets, behind numbers. Where two readings are possible neither is taken: the error names both. All that is
    wrong is told at once.

    Parameters
    ----------
    pages : str, os.PathLike, pandas.DataFrame or dict
        A file of text, a spreadsheet (``.xlsx``, or ``book.xlsx[sheet]``; needs openpyxl), text of several lines, or a frame; of one
        stage called ``full``, or by stage.
    name : str
        What to call the system.
    source : dict, optional
        ``document``, ``revision``, ``page``, ``transcriber``, ``checker``.
    basis : dict, optional
        Keys and values as in a file: ``{"capacity": "gross", "sensible_at": "80 degF"}``. What is not given is unknown, and the
        file says so.
    nominal, refrigerant : str
    units : dict, optional
        Unit of a role, where neither a line of units nor the heading has it.
    columns : dict, optional
        Role of a heading: ``{"Comp KW": "power"}``; ``ignore`` leaves the column out.
    values : dict, optional
        One value for all of the page, by role: ``{"airflow": "1000 scfm"}``.
    fill_down : sequence of str
        Roles whose label is given once for a block of rows, blank below.
    indoor : {"path", "points"}, optional
        The columns ``edb`` and ``ewb`` are pairs.
    infer : bool
        Inferred values are allowed where sensible is blank at an entering dry bulb.
    frost : {"instantaneous", "integrated", "unknown"}, optional
        The page is of heating, and of that kind. A page that says itself that it is of heating, or is of both, needs no word; its
        kind is unknown unless given.
    modulation : {"staged", "variable", "continuous"}, optional
        Of stages; ``variable``, which nobody reads between, where the page prints speeds and nothing is said.
    across : {"odb", "airflow", "ewb", "rh", "edb", "pressure"}, optional
        The axis of values across that name none.
    decimal : {".", ","}, optional
        What stands before decimals. Not needed where the page's numbers can be read in one way only.
    marks : dict, optional
        What a footnote mark means: ``dry``, ``blank``, ``limit`` or ``ignore``, as in ``{"*": "dry"}``. Others are left out and noted.
    blanks : bool
        Empty cells are printed blanks.

    Returns
    -------
    Transcription

    Raises
    ------
    InputError
        With the place in the page, what stands there, and what would be accepted, of all that is wrong (`InputError.problems`).
    """
    options = Options(
        frost, units or {}, columns or {}, fill_down,
        values=values, across=across, decimal=decimal, marks=marks, blanks=blanks, indoor=indoor,
    )  # fmt: skip
    tables, above, notes, typos = _read_all(pages if isinstance(pages, Mapping) else {"full": pages}, options)
    lines = [(comment, None) for comment in above]  # (text, where it comes from)

    def add(indent, key, value=None):
        lines.append((" " * indent + _scalar(key) + ":" + (" " + _flow(value) if value is not None else ""), None))

    add(0, "offnominal", "system/1")
    for key, value in (("name", name), ("nominal", nominal), ("refrigerant", refrigerant)):
        if value or key == "name":
            add(0, key, value)
    source = {key: value for key, value in (source or {}).items() if value}
    if source:
        add(0, "source", source)
    both = {table.mode for table in tables.values()} == {"cooling", "heating"}
    for mode in ("cooling", "heating"):
        of_mode = {stage: table for (m, stage), table in tables.items() if m == mode}
        if not of_mode:
            continue
        add(0, mode)
        _add_basis(lines, add, basis or {}, of_mode, mode, both)
        if mode == "cooling" and (modulation or any(table.speed for table in of_mode.values())):
            add(2, "modulation", modulation or "variable")  # speeds that nobody said one may read between
        indent = 2
        if mode == "heating":
            add(2, frost or "unknown")
            indent = 4
        add(indent, "stages")
        for stage, table in of_mode.items():
            roles = OF_MODE[mode]
            own = {role: value for role, value in (values or {}).items() if role in roles or not both}
            _add_stage(lines, add, indent, stage, table, indoor, infer, own)
    system, text = _checked(lines, typos)
    filled = {stage: dict(table.filled) for (_, stage), table in tables.items()}
    return Transcription(text, system, filled, notes, [origin for _, origin in lines])


def _read_all(pages, options):
    """The tables of all pages by mode and stage, the comments above them, and what was done to read them."""
    problems, tables, above, notes, typos = Problems(), {}, [], [], Problems()
    for stage, page in pages.items():
        try:
            pasted = Pasted(page, options)
        except InputError as error:
            problems += error.problems or (error,)
            continue
        above += pasted.above
        typos += pasted.typos
        notes += pasted.notes
        for table in pasted.tables:
            key = (table.mode, table.stage or stage)
            if key in tables:
                problems.add(
                    table.file, table.head.words[0], f"a second page of {table.mode} for stage {key[1]!r}", "a name for each"
                )
            tables[key] = table
    if problems:
        problems += typos
    problems.tell()
    for table in tables.values():
        _say_dry_bulb(table)
    return tables, above, notes, typos


def _say_dry_bulb(table):
    """One entering dry bulb in all rows is no axis, but where sensible is printed: from there it is moved to any other."""
    rows = [cells["edb"] for cells, _ in table.rows if "edb" in cells] if "ewb" in table.names else []
    if (
        table.mode == "cooling"
        and "edb" in table.names
        and not table.pairs
        and len(set(rows)) == 1
        and len(rows) == len(table.rows)
    ):
        table.says["sensible_at"] = f"{rows[0]} {table.units['edb']}"
        table.names.remove("edb")


_OF_COOLING = ("sensible_at", "sensible_slope", "sensible_correction", "sensible_ratio_of")
_OF_HEATING = ("printed_at", "outdoor_humidity")


def _add_basis(lines, add, given, tables, mode, both):
    """What the page says of itself, by the headings and by its reader; of a page of both modes each takes what is its own."""
    add(2, "basis")
    foreign = () if not both else _OF_HEATING if mode == "cooling" else (*_OF_COOLING, "rated")
    given = {key: value for key, value in given.items() if key not in foreign}
    said = {}
    for table in tables.values():
        for key, value in table.says.items():
            if said.setdefault(key, value) != value or given.get(key, value) != value:
                cell = table.head.words[0]
                raise error_at(
                    table.file, cell.line, cell.column, f"{key} {value} by the heading", given.get(key, said[key]), "one of them"
                )
    basis = {**dict.fromkeys(_STATED, "unknown"), **said, **given}
    if mode == "cooling" and any(table.ratio_of_total for table in tables.values()):
        basis.setdefault("sensible_ratio_of", "total")  # the heading says so
    for key, value in basis.items():
        if value is not None:
            add(4, key, value)
    unstated = [key for key in ("elevation", "tolerance") if not basis.get(key)]
    if unstated:
        lines.append((f"    # not stated: {', '.join(unstated)}", None))


def _add_stage(lines, add, indent, stage, table, indoor, infer, values):
    add(indent + 2, stage)
    if table.speed is not None:
        add(indent + 4, "speed", f"{table.speed.text} {table.speed.unit or 'Hz'}")
    if table.mode == "cooling":
        for key, value in (("indoor", indoor), ("infer", "true" if infer else None)):
            if value is not None:
                add(indent + 4, key, value)
    for role, value in values.items():
        add(indent + 4, role, value)
    for role in table.filled:
        lines.append((" " * (indent + 4) + f"# {role} is printed once for a block of rows", None))
    lines.append((" " * (indent + 4) + "table: |", None))
    lines += table.block(indent + 6)
    for axis in table.factors:
        lines.append((" " * (indent + 4) + f"{axis}_factors: |", None))
        lines += table.factor_block(axis, indent + 6)


def _checked(lines, problems):
    """The system that the lines say, and their text; or the `problems` and all that the reader finds wrong, each thing once.

    The reader stops at what it finds first. A row that it finds wrong is taken out, and the rest read again.
    """
    left = [text for text, _ in lines]
    for _ in range(50):
        text = "".join(line + "\n" for line in left)
        try:
            _texts.check_named(text, "<transcription>")
            core = _core.parse_system(text, "<transcription>", ".")
        except InputError as error:
            problems.append(_led_back(error, lines))
            row = _blanked(left, lines, error)
            if row is None:
                break
            left[error.line - 1] = row
            continue
        if problems:
            break
        return System(core), text
    problems.tell()
    raise AssertionError("unreachable")


def _blanked(left, lines, error):
    """The row that the reader finds wrong with its outputs blank; None if it is no row, or is blank already."""
    origin = lines[error.line - 1][1] if 0 < error.line <= len(lines) else None
    if origin is None or not origin[3]:
        return None
    cells = re.findall(r"\S+", left[error.line - 1].partition("#")[0])
    made = " ".join([*cells[: origin[3]], *["-"] * (len(cells) - origin[3])])
    made = " " * (len(lines[error.line - 1][0]) - len(lines[error.line - 1][0].lstrip())) + made
    return made if made.split() != cells else None


_BESIDE = {"odb": "'odb=95 degF'", "airflow": "'airflow=1200 scfm'", "ewb": "'ewb=67 degF'"}


def _led_back(error, lines):
    """The reader's complaint about the made text, as one about the page that it comes from; of what was said beside the page by
    its key, as the file has it."""
    origin = lines[error.line - 1][1] if 0 < error.line <= len(lines) else None
    if origin is None:
        return error_at("", 0, 0, error.problem, error.text, error.accepted)
    file, cells, first, *_ = origin
    line, column = max(((start, line, at) for start, line, at in cells if start <= error.column), default=(0, *cells[0][1:]))[1:]
    if " " in error.text.strip() and (line, column) != (first[1], first[2]) and line != first[1]:
        line, column = first[1:]  # of a whole row, whose axes stand in the headings: where its numbers are
    problem = re.sub(r"^(cooling|heating): (?:\w+: )?stages: [^:]*: ", "", error.problem)
    missing = re.fullmatch(r"no column '(\w+)'", problem)
    beside = f"; or one value for all of the page: --value {_BESIDE[missing[1]]}" if missing and missing[1] in _BESIDE else ""
    return error_at(file, line, column, problem, error.text, error.accepted + beside)


def _scalar(value):
    plain = _PLAIN.fullmatch(str(value)) and str(value).lower() != "null"
    return str(value) if plain else json.dumps(str(value), ensure_ascii=False)


def _flow(value):
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_scalar(key)}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_flow, value)) + "]"
    return _scalar(value)


def add_command(commands: Any) -> None:
    """Add ``offnominal transcribe`` to the command's parsers."""
    command = commands.add_parser("transcribe", help="make a system file from a pasted page (CSV, tabs, or blanks)")
    command.add_argument(
        "page",
        nargs="+",
        metavar="PAGE",
        help="FILE of text or .xlsx, .xlsx[SHEET], or - for standard input; STAGE=FILE for several stages",
    )
    command.add_argument("-o", "--output", metavar="FILE", help="where to write the system file; without it, standard output")
    command.add_argument("--force", action="store_true", help="replace an output file that is there already")
    command.add_argument("--name", required=True, help="what to call the system")
    for option in ("nominal", "refrigerant"):
        command.add_argument(f"--{option}", default="")
    command.add_argument("--stage", default="full", help="name of the stage of a single page")
    for option in SOURCE:
        words = (
            "of the printed ratings" if option in SOURCE[:3] else "who typed it" if option == "transcriber" else "who checked it"
        )
        command.add_argument(f"--{option}", dest=f"source_{option}", default="", metavar="TEXT", help=words)
    said = command.add_argument_group("what the page says of itself (unknown unless given)")
    for option, example in BASIS.items():
        more = {"action": "append"} if option == "fan" else {}
        said.add_argument(f"--{option.replace('_', '-')}", metavar="WORDS", help=example.replace("%", "%%"), **more)
    said.add_argument("--rated", action="append", type=_pair, default=[], metavar="OUTPUT=VALUE", help="total='36.0 MBh'")
    shape = command.add_argument_group("how it is printed")
    shape.add_argument("--unit", action="append", type=_pair, default=[], metavar="ROLE=UNIT", help="total=MBh")
    shape.add_argument("--column", action="append", type=_pair, default=[], metavar="HEADING=ROLE", help="'Comp KW'=power")
    shape.add_argument("--value", action="append", type=_pair, default=[], metavar="ROLE=VALUE", help="airflow='1000 scfm'")
    shape.add_argument(
        "--fill-down", action="append", default=[], metavar="ROLE", help="its label is given once for a block of rows"
    )
    shape.add_argument("--indoor", choices=("path", "points"), help="edb and ewb are pairs")
    shape.add_argument("--infer", action="store_true", help="allow inferred values where sensible is blank")
    shape.add_argument("--modulation", choices=("staged", "variable", "continuous"), help="of stages with speeds")
    shape.add_argument("--across", choices=AXES, help="the axis of values across that name none (75 TC, 75 SC, 85 TC)")
    shape.add_argument("--decimal", choices=(".", ","), help="what stands before decimals, where the numbers do not tell")
    shape.add_argument("--mark", action="append", type=_pair, default=[], metavar="MARK=MEANING", help="of a footnote: '*'=dry")
    shape.add_argument("--blanks", action="store_true", help="empty cells are printed blanks")
    shape.add_argument("--frost", choices=(*_core.words["frost"], "unknown"), help="a heating page, and its kind")


def _pair(text):
    key, mark, value = text.rpartition("=")
    if not (mark and key and value):
        import argparse

        raise argparse.ArgumentTypeError(f"{text!r} is not a pair; accepted: NAME=VALUE")
    return key.strip(), value.strip()


def run_command(options: argparse.Namespace) -> Any:
    """Run ``offnominal transcribe``; returns its result."""
    from offnominal import _results

    pages, pasted = {}, None
    for given in options.page:
        stage, mark, file = given.partition("=")
        stage, file = (stage, file) if mark and not os.path.exists(given) else (options.stage, given)
        if stage in pages:
            raise InputError(f"two pages for stage {stage!r}; accepted: STAGE=FILE, a name for each")
        if file == "-":
            pasted = _pasted_text()
        pages[stage] = pasted + "\n" if file == "-" else file
        source = re.sub(r"\[[^\]]*\]$", "", file)
        if options.output and all(map(os.path.exists, (source, options.output))) and os.path.samefile(source, options.output):
            raise InputError(f"{options.output}: the page itself; accepted: another file for the system")
    basis = {key: getattr(options, key) for key in BASIS if getattr(options, key)}
    if len(basis.get("fan", ())) == 1:
        basis["fan"] = basis["fan"][0]
    if options.rated:
        basis["rated"] = dict(options.rated)
    try:
        if options.output and os.path.exists(options.output) and not options.force:
            raise FileExistsError(f"{options.output} is there already; --force replaces it")
        made = transcribe(
            pages,
            name=options.name,
            source={key: getattr(options, f"source_{key}") for key in SOURCE},
            basis=basis,
            nominal=options.nominal,
            refrigerant=options.refrigerant,
            units=dict(options.unit),
            columns=dict(options.column),
            values=dict(options.value),
            fill_down=options.fill_down,
            indoor=options.indoor,
            infer=options.infer,
            frost=options.frost,
            modulation=options.modulation,
            across=options.across,
            decimal=options.decimal,
            marks=dict(options.mark),
            blanks=options.blanks,
        )
        if options.output:
            made.write(options.output, force=options.force)
    except (InputError, OSError):
        if pasted is not None:
            _keep(pasted)
        raise
    said = made.report() + f"written to {options.output}\n"
    if not options.output:
        said = made.text
        if options.form is None:
            print(made.report(), file=sys.stderr, end="")
    told = {"told": "Transcription", "file": options.output, "text": made.text, "notes": made.notes, "report": made.report()}
    return _results.of_text(said, told)


def _pasted_text():
    """Standard input, which is no page if it is larger than any file that is read."""
    text = sys.stdin.read(_write.MOST_BYTES + 1)
    if len(text) > _write.MOST_BYTES:
        raise InputError(f"<pasted>: more than {_write.MOST_BYTES:,} characters; accepted: one page at a time")
    return text


def _keep(pasted):
    """What was pasted is nowhere else: keep it, here or at least among the temporary files."""
    import tempfile

    for folder in (".", tempfile.gettempdir()):
        path = os.path.join(folder, f"pasted-{os.urandom(4).hex()}.txt")
        try:
            _write.write_new(path, pasted.encode(errors="surrogateescape"))
        except OSError as error:
            print(f"offnominal: what was pasted could not be kept in {folder}: {error.strerror}", file=sys.stderr)
        else:
            print(f"offnominal: what was pasted is kept in {os.path.normpath(path)}", file=sys.stderr)
            return
