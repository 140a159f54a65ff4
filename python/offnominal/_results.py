"""What a command tells, and the one place where that is written: as text, as JSON, or as CSV."""

import csv
import dataclasses
import io
import json
import os
import re
from collections.abc import Callable

from offnominal import _progress, _units
from offnominal._value import plain

# Exit statuses of the command, each with what it says. Those of a proof are its outcomes.
STATUSES = {
    0: "there is an answer, whatever it says; of prove: meets",
    1: "collate or recompute found differences",
    2: "no answer, and why not",
    3: "prove: falls_short",
    4: "prove: undecided",
    5: "prove: implausible",
    6: "prove: not_comparable",
    70: "a fault of offnominal itself",
    130: "interrupted",
    141: "nobody reads the output any more",
}
# What a proof tells in words beside its numbers, in a table.
WORDS_OF_A_PROOF = ("outcome", "reason", "suspect", "judge", "yardstick", "method", "notes")
OUTCOMES = {"meets": 0, **{words.removeprefix("prove: "): status for status, words in STATUSES.items() if words[:5] == "prove"}}


@dataclasses.dataclass(frozen=True)
class Result:
    """What a command tells. Only the form that is asked for is worked out.

    Attributes
    ----------
    text : callable
        Gives the words.
    data : callable
        Gives a dict for JSON, its numbers under the names that the library tells them by.
    table : callable
        Gives for CSV a dict of columns, name to list; a name that has a unit ends in it: ``power [W]``.
    status : int
        One of `STATUSES`.
    """

    text: Callable[[], str]
    data: Callable[[], dict]
    table: Callable[[], dict]
    status: int = 0

    def written(self, form):
        """As ``"json"``, ``"csv"``, or in words."""
        if form == "json":
            return as_json(self.data())
        return as_csv(self.table()) if form == "csv" else self.text()


def add_forms(command, numbers=True):
    """Add ``--json`` to a command, and ``--csv`` if it tells numbers."""
    forms = command.add_mutually_exclusive_group()
    words_of = {"json": "everything that is told, as JSON", "csv": "the numbers as CSV, each with its unit"}
    for form, words in list(words_of.items())[: 2 if numbers else 1]:
        forms.add_argument(f"--{form}", dest="form", action="store_const", const=form, help=words)


def of_text(said, data):
    """The result of what gives a text: what is said of it, and all of it."""
    return Result(lambda: said, lambda: data, dict)


def of_told(told, text, words, status=0, axes=None, units=None):
    """The result of what tells numbers by name: one row, or a row for each answer of a batch.

    Parameters
    ----------
    told : Told
    text : callable or None
        The words; None where they are the CSV.
    words : tuple of str
        What of it stands in the table beside its numbers.
    status : int
    axes, units : dict of str, optional
        Columns that stand before, such as what a sweep varies; and their units.
    """

    def table():
        numbers = {heading(name, unit): getattr(told, name) for name, unit in told.fields.items()}
        columns = {**numbers, **{name: getattr(told, name) for name in words}}
        before = {heading(name, (units or {}).get(name)): values for name, values in (axes or {}).items()}
        return {**before, **columns} if axes else {name: [value] for name, value in columns.items()}

    def data():
        out = told._telling()
        return {**out, "fields": {**(units or {}), **out["fields"]}, **(axes or {})}

    return Result(text or (lambda: as_csv(table())), data, table, status)


def heading(name, unit):
    """How a column is headed."""
    return f"{name} [{_units.spoken(unit)}]" if unit else name


def records(rows, units=None, of=()):
    """A table of rows that are dicts alike, or dataclasses or named tuples.

    Where there may be none, `of` says what would have been told: their class, or names.
    """
    rows = [row if isinstance(row, dict) else fields_of(row) for row in rows]
    names = rows[0] if rows else names_of(of) if isinstance(of, type) else of
    return {heading(name, (units or {}).get(name)): [row[name] for row in rows] for name in names}


def names_of(kind):
    """What a dataclass or a named tuple would tell, by its class."""
    names = getattr(kind, "_fields", None) or [one.name for one in dataclasses.fields(kind)]
    return [name for name in names if not name.startswith("_")]


def fields_of(record):
    """What a dataclass or a named tuple tells, by name."""
    return {name: getattr(record, name) for name in names_of(type(record))}


def as_json(data):
    """JSON that moves no cursor."""
    return _escaped(
        json.dumps(plain(data), ensure_ascii=False, allow_nan=False, indent=1) + "\n", lambda one: f"\\u{ord(one):04x}"
    )


_ROWS_AT_ONCE = 10_000  # a fraction of a second


def as_csv(columns):
    """Columns as CSV: numbers with seven digits, what is not there empty."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    rows = min(map(len, columns.values()), default=0)
    with _progress.Progress("writing") as progress:
        for first in range(0, rows, _ROWS_AT_ONCE):
            parts = (column[first : first + _ROWS_AT_ONCE] for column in columns.values())
            writer.writerows([_cell(x) for x in row] for row in zip(*parts))
            progress(min(1.0, (first + _ROWS_AT_ONCE) / rows))
    return printable(text.getvalue())


def _cell(x):
    if x is None or x != x:
        return ""
    if isinstance(x, float):
        return f"{x:.7g}"
    return "; ".join(map(str, x)) if isinstance(x, (list, tuple)) else str(x)


_UNSAFE = "[\x00-\x08\x0b-\x1f\x7f-\x9f\ufeff\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"


def _escaped(text, escape):
    return re.sub(_UNSAFE, lambda one: escape(one[0]), text)


def printable(text):
    """Without what could move a terminal's cursor, hide text or reverse it: such characters are shown as escapes."""
    return _escaped(text, lambda one: one.encode("unicode_escape").decode())


def emphasized(text, stream):
    """The first line in bold, where a person reads it at a terminal that can show it and NO_COLOR does not forbid it."""
    if not text or stream is None or not stream.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return text
    first, end, rest = text.partition("\n")
    return f"\x1b[1m{first}\x1b[0m{end}{rest}"


def of_error(error):
    """Why there is no answer, as JSON."""
    told = {name: value for name, value in vars(error).items() if name != "problems" and not name.startswith("_")}
    return as_json({"told": type(error).__name__, "message": str(error), **told})
