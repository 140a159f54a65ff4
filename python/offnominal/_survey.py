"""A survey of a fleet: what a table of visits says together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import contextlib
import json
import os

import numpy as np

from offnominal import _arrays, _core, _fleet, _tables
from offnominal._system import load, load_named_by
from offnominal._value import Value
from offnominal._visit import Visit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Any, Literal
    from offnominal._system import System

_SHARES = [f"share_of_{name}" for name in _core.inputs]
_TOLD = ("ratio", "ratio_u", "probability", *_SHARES, "expected_share")
_NUMBERS = {name for name, *_ in _core.asked_of_prove}
_NONE = "no answer"  # of a row that is no visit
_OUTCOMES = [*_core.outcomes, _NONE]


class Survey(Value):
    """What a table of visits says together. Made by `survey`.

    Attributes
    ----------
    table : pandas.DataFrame, polars.DataFrame, pyarrow.Table, dict of arrays or None
        What `prove_many` gives: a row for each visit. None where the visits came in parts.
    by : tuple of str
        The columns it is told by.
    groups : list of dict
        The whole fleet, then a group for each value of each column of `by`: ``by`` and ``value`` (empty for the whole); ``visits``;
        how many have each outcome, by its word, and ``no answer``; ``ratio``, ``ratio_low`` and ``ratio_high``: the mean of their
        ratios, and what a tenth lies below and above, or None without any.
    shares : dict of str to float
        The part of the ratio's variance that is due to each instrument, by its name, and to the ``page``: the mean of all visits
        that have a ratio, largest first. What no instrument is named for goes by the reading.
    problems : list of tuple of (int, str, str)
        Rows without a ratio, counted from 0: the row, the column or what else it is about, and the reason.
    """

    table: Any
    by: tuple[str, ...]
    groups: list[dict[str, Any]]
    shares: dict[str, float]
    problems: list[tuple[int, str, str]]

    def __init__(
        self,
        table: Any,
        by: tuple[str, ...],
        groups: list[dict[str, Any]],
        shares: dict[str, float],
        problems: list[tuple[int, str, str]],
    ) -> None:
        vars(self).update(table=table, by=by, groups=groups, shares=shares, problems=problems)

    def to_dict(self) -> dict[str, Any]:
        """All but the table.

        Returns
        -------
        dict
        """
        problems = [dict(zip(("row", "about", "reason"), problem)) for problem in self.problems]
        return {"groups": self.groups, "shares": self.shares, "problems": problems}

    def csv(self) -> str:
        """The groups as the text of a CSV file.

        Returns
        -------
        str
        """
        from offnominal import _results

        return _results.as_csv(_results.records(self.groups))

    def report(self) -> str:
        """The survey as a text.

        Returns
        -------
        str
        """
        whole, *groups = self.groups
        lines = [f"{whole['visits']} visits: " + _counted(whole)]
        if whole["ratio"] is not None:
            lines.append(
                f"ratio of delivered to expected total: mean {whole['ratio']:.3f}, "
                f"eight tenths from {whole['ratio_low']:.3f} to {whole['ratio_high']:.3f}"
            )
        for column in self.by:
            some = [group for group in groups if group["by"] == column]
            wide = max(len(group["value"]) for group in some)
            lines.append(f"by {column}:")
            for group in some:
                ratio = "" if group["ratio"] is None else f"ratio {group['ratio']:.3f}; "
                lines.append(f"  {group['value']:{wide}}  {group['visits']} visits, {ratio}{_counted(group)}")
        if self.shares:
            lines.append("what makes the ratios uncertain (part of the variance, mean of all with a ratio):")
            lines += [f"  {100 * share:3.0f} %  {name}" for name, share in self.shares.items() if share >= 0.005]
        reasons = {}
        for row, about, reason in self.problems:
            reasons.setdefault((about, reason), []).append(row)
        if reasons:
            lines.append("without a ratio (rows counted from 0, without a heading):")
        for (about, reason), rows in sorted(reasons.items(), key=lambda one: -len(one[1])):
            shown = ", ".join(map(str, rows[:5])) + (", ..." if len(rows) > 5 else "")
            what = reason if about == "nothing" else f"{about}: {reason}"
            lines.append(f"  {len(rows)} {what.replace('_', ' ')} (row{'s' if len(rows) > 1 else ''} {shown})")
        return "\n".join(lines) + "\n"

    def _made_of(self):
        return Survey, (self.table, self.by, self.groups, self.shares, self.problems)

    def _content(self):
        return self.by, json.dumps(self.to_dict())

    def __repr__(self):
        return f"<Survey of {self.groups[0]['visits']} visits>"


def _counted(group):
    return ", ".join(f"{group[word]} {word.replace('_', ' ')}" for word in _OUTCOMES if group[word])


class _Tally:
    """What is counted of some visits. Those of the parts of a table add up."""

    def __init__(self):
        self.visits, self.groups, self.problems = 0, {}, []  # groups: (column, value) to the numbers of outcomes
        self.ratios, self.members = [], {}  # of all visits with a ratio; and which value of each column those have, as codes
        self.shares, self.with_ratio = np.zeros(len(_SHARES) + 1), 0

    def add(self, other):
        """What comes after."""
        for key, counts in other.groups.items():
            self.groups[key] = self.groups.get(key, 0) + counts
        self.ratios += other.ratios
        for name, parts in other.members.items():
            self.members.setdefault(name, []).extend(parts)
        self.problems += [(self.visits + row, about, reason) for row, about, reason in other.problems]
        self.visits += other.visits
        self.shares += other.shares
        self.with_ratio += other.with_ratio
        return self

    def told(self, table, by, visit):
        """The survey."""
        groups = []
        for name in dict.fromkeys(("", *by)):
            ratios = self._ratios(name)
            for value in sorted(value for column, value in self.groups if column == name):
                counts, ratio = self.groups[name, value], ratios[value]
                figures = [float(ratio.mean()), *map(float, np.quantile(ratio, [0.1, 0.9]))] if ratio.size else [None] * 3
                group = {"by": name, "value": value, "visits": int(counts.sum())}
                group |= {word: int(count) for word, count in zip(_OUTCOMES, counts)}
                groups.append(group | dict(zip(("ratio", "ratio_low", "ratio_high"), figures)))
        return Survey(table, by, groups, self._shares_by_instrument(visit), self.problems)

    def _ratios(self, name):
        """The ratios by the values of a column, in the order of the visits."""
        ratio = np.concatenate(self.ratios)
        if not name:
            return {"": ratio}
        places = {}
        parts = ([places.setdefault(value, len(places)) for value in values] for values, _ in self.members[name])
        codes = np.concatenate([np.array(part)[codes] for part, (_, codes) in zip(parts, self.members[name])])
        ends = np.cumsum(np.bincount(codes, minlength=len(places)))
        return dict(zip(places, np.split(ratio[np.argsort(codes, kind="stable")], ends[:-1])))

    def _shares_by_instrument(self, visit):
        """The mean share of each instrument, largest first."""
        out = {}
        instruments = _core.instruments_of(visit)
        for name, share in zip((*_core.inputs, "page"), self.shares / max(1, self.with_ratio)):
            if share > 0.0:
                what = instruments.get(name) or name
                out[what] = out.get(what, 0.0) + float(share)
        return dict(sorted(out.items(), key=lambda one: -one[1]))


def _keys(frame, by):
    """The values of each column that is counted by: the different ones, and for each row which of them it has."""
    keys = {}
    for name in by:
        of = "date" if name == "month" and name not in frame.names and "date" in frame.names else name
        if of not in frame.names:
            raise ValueError(f"by: no column {name!r}; the frame has {', '.join(map(str, frame.names))}")
        words, codes = _arrays.words(name, frame.words(of))
        words = [word[:7] for word in words] if of != name else words
        places = {}
        keys[name] = places, np.array([places.setdefault(word, len(places)) for word in words])[codes]
    return keys


def _tallied(systems, table, visit, by, how):
    """A table's proofs, and what is counted of them."""
    keys = _keys(_tables.Frame.of(table), by)
    proved = _fleet.prove_many(systems, table, visit, columns=_TOLD, **how)
    told = _tables.Frame.of(proved)
    words, codes = _arrays.words("outcome", told.words("outcome"))
    outcome = np.array([_OUTCOMES.index(word or _NONE) for word in words])[codes]
    ratio = told.numbers("ratio")
    known = ~np.isnan(ratio)
    out = _Tally()
    out.visits, out.with_ratio = told.rows, int(known.sum())
    out.groups["", ""] = np.bincount(outcome, minlength=len(_OUTCOMES))
    out.ratios = [ratio[known]]
    for name, (values, codes) in keys.items():
        size = len(_OUTCOMES)
        counts = np.bincount(size * codes + outcome, minlength=size * len(values)).reshape(-1, size)
        out.groups.update({(name, value): row for value, row in zip(values, counts) if row.any()})
        out.members[name] = [(list(values), codes[known].astype(np.min_scalar_type(len(values))))]
    out.shares = np.array([told.numbers(name)[known].sum() for name in (*_SHARES, "expected_share")])
    about, reason = (told.words(name) for name in ("about", "reason"))
    out.problems = [(int(row), str(about[row]), str(reason[row])) for row in np.flatnonzero(~known)]
    return proved, out


def survey(
    systems: System | Mapping[str, System],
    table: Any,
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    units: Literal["IP", "SI"],
    by: str | Sequence[str] = (),
    system_column: str = "system",
    draws: bool = True,
    threads: int = 1,
    strict: bool = False,
) -> Survey:
    """Proves a table of visits, and counts what comes out.

    Parameters
    ----------
    systems : System, or dict of str to System
    table : pandas.DataFrame, polars.DataFrame, pyarrow.Table, dask.dataframe.DataFrame or dict of arrays
        Or an iterable of such tables, one part of the fleet after another. Of a table that comes in parts no more than one is held for
        each that works on it, and the survey has no `table`.
    visit : Visit, str, os.PathLike or dict
    units : {"IP", "SI"}
        All as of `prove_many`.
    by : str or sequence of str
        Columns of the table to count by: ``"match"``, ``"installer"``, ...; ``"month"``, where there is no such column, is taken
        from ``date``, the first seven letters of ``2026-07-14``.
    system_column : str
    draws : bool
    threads : int
    strict : bool
        As of `prove_many`.

    Returns
    -------
    Survey

    Raises
    ------
    ValueError
        For a column that is not there; and as `prove_many`.
    """
    by = (by,) if isinstance(by, str) else tuple(by)
    visit = visit if isinstance(visit, Visit) else Visit(visit)
    how = dict(units=units, system_column=system_column, draws=draws, threads=threads, strict=strict)
    if _tables.is_of_dask(table):
        return _sum(_tables.of_partitions(_count_part, table, systems, visit, by, how)).told(None, by, visit)
    if _tables.is_in_parts(table):
        return _sum(_count_part(part, systems, visit, by, how) for part in table).told(None, by, visit)
    proved, tally = _tallied(systems, table, visit, by, how)
    return tally.told(proved, by, visit)


def _count_part(table, systems, visit, by, how):
    """What is counted of one part, which may have no rows."""
    return _tallied(systems, table, visit, by, how)[1] if _tables.Frame.of(table).rows else _Tally()


def _sum(tallies):
    out = _Tally()
    for tally in tallies:
        out.add(tally)
    if not out.visits:
        raise ValueError("frame: no rows")
    return out


def _system(text):
    """NAME=FILE, or a file for all rows."""
    name, equals, path = text.partition("=")
    return (name, path) if equals else (None, text)


def add_command(commands: Any) -> None:
    """Add ``offnominal survey`` to the command's parsers."""
    command = commands.add_parser(
        "survey",
        help="a fleet: a CSV table of visits proved row by row, and counted",
        description="Columns named as the readings of a visit replace those of the visit file: "
        + ", ".join(name for name, *_ in _core.asked_of_prove)
        + "; stage, match; system names each row's system, where there are several. Other columns can be counted by.",
    )
    command.add_argument("table", help="CSV file with a heading")
    command.add_argument(
        "--visit", required=True, help="visit file (YAML) that all are like: instruments, limit, what no column says"
    )
    command.add_argument("--units", choices=_core.words["units"], required=True, help="of the table")
    command.add_argument(
        "--system",
        action="append",
        metavar="FILE|NAME=FILE",
        help="system file, instead of the one the visit names; or one for each name",
    )
    command.add_argument(
        "--by", action="append", default=[], metavar="COLUMN", help="count by a column too; month is taken from date"
    )
    command.add_argument("--first-order", action="store_true", help="take no draws: quick, for a look and not for a verdict")
    command.add_argument("--threads", type=int, default=os.cpu_count() or 1)
    command.add_argument("--rows", metavar="FILE.csv", help="write what is told of each row too")


def run_command(options: Any) -> Any:
    """Run ``offnominal survey``; returns its result."""
    from offnominal import _progress, _results, _write

    visit = Visit(options.visit)
    named = dict(map(_system, options.system or ()))
    systems = {name: load(path) for name, path in named.items()} or {None: load_named_by(visit, options.visit)}
    if None in systems:
        if len(systems) > 1:
            raise ValueError("--system: a file for all rows beside one for a name; accepted: one file, or NAME=FILE for each")
        systems = systems[None]
    how = dict(draws=not options.first_order, threads=options.threads, units=options.units)
    tally = _Tally()
    parts = _tables.read_csv_parts(options.table, _NUMBERS)
    with _write.new_file(options.rows) if options.rows else contextlib.nullcontext() as out:
        for table in _progress.told(parts, "proving"):
            proved, some = _tallied(systems, table, visit, tuple(options.by), how)
            if out is not None:
                text = _results.as_csv(proved)
                out.write((text.partition("\n")[2] if tally.visits else text).encode())
            tally.add(some)
    if not tally.visits:
        raise ValueError(f"{options.table}: no rows")
    found = tally.told(None, tuple(options.by), visit)
    told = {"told": "Survey", "units": options.units}
    return _results.Result(found.report, lambda: told | found.to_dict(), lambda: _results.records(found.groups))
