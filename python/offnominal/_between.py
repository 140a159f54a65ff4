"""Between visits: season to season at one machine, and what a revised page makes of decisions that were taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import os

import numpy as np

from offnominal import _collation, _core, _fleet, _results, _tables, _texts
from offnominal._proof import Change, Proof
from offnominal._system import System, load, load_named_by
from offnominal._value import PlainValue
from offnominal._visit import Visit

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Any, Literal
    from offnominal._collation import Difference


class Season(NamedTuple):
    """One visit among those before it in its mode. Made by `seasons`.

    Attributes
    ----------
    mode : {"cooling", "heating"}
    date, name : str
        Of the visit.
    outcome : str
    ratio, ratio_u : float or None
        Of the proof; None where it has no ratio.
    since_last, since_first : Change or None
        What changed since the visit before that has a ratio, and since the first one, in this mode; what is off in both alike is
        left out. None where there is none to compare.
    stage : str
        The one that ran, which may be another from visit to visit; empty where a visit says a speed alone.
    """

    mode: str
    date: str
    name: str
    outcome: str
    ratio: float | None
    ratio_u: float | None
    since_last: Change | None
    since_first: Change | None
    stage: str


class Seasons(list[Season]):
    """Visits to one machine, cooling first, by date: a list of `Season`. Made by `seasons`."""

    def to_rows(self) -> list[dict[str, Any]]:
        """One row a visit, what changed in columns of its own: ``since_last_ratio``, ``since_first_less``, ...

        Returns
        -------
        list of dict
        """
        out = []
        for one in self:
            row = {name: getattr(one, name) for name in (*Season._fields[:6], "stage")}
            for name in ("since_last", "since_first"):
                change = getattr(one, name)
                row |= {f"{name}_{of}": None if change is None else getattr(change, of) for of in Change._fields}
            out.append(row)
        return out

    def to_pandas(self) -> Any:
        """The rows as a table; NaN where there is nothing to tell.

        Returns
        -------
        pandas.DataFrame
        """
        frame = _tables.library("pandas", "to_pandas").DataFrame(self.to_rows())
        numbers = [name for name in frame if name.startswith(("ratio", "since_"))]
        return frame.astype(dict.fromkeys(numbers, float))

    def report(self) -> str:
        """All of it as a text.

        Returns
        -------
        str
        """
        lines = []
        for mode in dict.fromkeys(one.mode for one in self):
            here = [one for one in self if one.mode == mode]
            unlike = [name for name in ("stage", "name") if len({getattr(one, name) for one in here}) > 1]
            lines += [f"{mode}:", *(_told_of_season(one, unlike) for one in here)]
        return "\n".join(lines) + "\n"


def seasons(proofs: Sequence[Proof]) -> Seasons:
    """Season to season at one machine: its visits by mode and date, and what changed between them.

    Cooling is compared with cooling and heating with heating. See `Proof.change_from` for what a change leaves out.

    Parameters
    ----------
    proofs : sequence of Proof
        Of one system, each visit with its date.

    Returns
    -------
    Seasons
        A list of `Season`, cooling first, by date; as a table too (`Seasons.to_pandas`).

    Raises
    ------
    InputError
        For a visit without a date, no proofs, and visits that cannot be to one machine: other matches, line sets or sites.
    TypeError
        For what is no proof.
    ValueError
        For proofs of several systems.
    """
    proofs = list(proofs) if np.iterable(proofs) else [proofs]
    for one in proofs:
        if not isinstance(one, Proof):
            raise TypeError(f"proofs: {_texts.in_words(one)} is no proof; accepted: what System.prove gives")
    if any(proof.system != proofs[0].system for proof in proofs):
        raise ValueError("proofs: of several systems; accepted: of one")
    out = Seasons()
    for k, *changes in _core.seasons([proof._core for proof in proofs]):
        one = proofs[k]
        since = (None if change is None else Change(*change) for change in changes)
        out.append(
            Season(one.visit.mode, one.visit.date, one.visit.name, one.outcome, one.ratio, one.ratio_u, *since, one.visit.stage)
        )
    return out


def _told_of_season(one, unlike):
    """A line; of what is not the same in all visits it says which."""
    ratio = "no ratio" if one.ratio is None else f"ratio {one.ratio:.3f} +- {2 * one.ratio_u:.3f}"
    here = "".join(f"{'stage ' if name == 'stage' else ''}{getattr(one, name)}, " for name in unlike if getattr(one, name))
    line = f"  {one.date}  {here}{one.outcome.replace('_', ' ')}, {ratio}"
    changes = (("the last", one.since_last), ("the first", one.since_first))
    if one.since_last == one.since_first:  # the second visit
        changes = changes[:1]
    for since, change in changes:
        if change is not None:
            percent = 100 * (change.ratio - 1)
            line += f"; since {since} {percent:+.1f} +- {200 * change.ratio_u:.1f} %, less with {100 * change.less:.0f} %"
    return line


class Flip(NamedTuple):
    """A visit whose decision is another by a revised page. Made by `revised`.

    Attributes
    ----------
    row : int
        Of the table, from 0.
    before, after : str
        Outcomes; ``"no answer"`` where the visit has none.
    ratio_before, ratio_after : float or None
    expected : float or None
        What the page expects of this visit's day, the revision over the first, about: a ratio falls as much as that rises.
    reason_before, reason_after : str
        Why there is no ratio; ``"none"`` where there is one.
    """

    row: int
    before: str
    after: str
    ratio_before: float | None
    ratio_after: float | None
    expected: float | None
    reason_before: str
    reason_after: str


class Revised(PlainValue):
    """Which decisions flip by a revision of a page. Made by `revised`.

    Attributes
    ----------
    visits : int
    moved : int
        Visits whose ratio, outcome or reason is another one: those that read a place that changed.
    flips : list of Flip
    changed : list of Difference
        What differs between the two systems, largest first, as `collate` tells it.
    """

    visits: int
    moved: int
    flips: list[Flip]
    changed: list[Difference]

    def __init__(self, visits: int, moved: int, flips: list[Flip], changed: list[Difference]) -> None:
        vars(self).update(visits=visits, moved=moved, flips=flips, changed=changed)

    def report(self) -> str:
        """All of it as a text.

        Returns
        -------
        str
        """
        lines = [
            f"{_texts.counted(self.visits, 'visit')}: {self.moved} read otherwise by the revision, {len(self.flips)} with another outcome"
        ]
        for one in self.flips:
            why = [reason.replace("_", " ") for reason in (one.reason_before, one.reason_after) if reason not in ("none", "")]
            if one.expected is not None:
                why = [f"ratio {one.ratio_before:.3f}, then {one.ratio_after:.3f}: {100 * (one.expected - 1):+.1f} % is expected"]
            line = f"  row {one.row}: {one.before}, then {one.after} ({'; '.join(why)})"
            lines.append(line.replace("_", " "))
        differ = _texts.counted(len(self.changed), "difference")
        lines.append(f"{differ} between the two{':' if self.changed else ''}")
        lines += [f"  {difference}" for difference in self.changed]
        return "\n".join(lines) + "\n"

    def to_pandas(self) -> Any:
        """The flips as a table, one a row, by the row of the visits' table.

        Returns
        -------
        pandas.DataFrame
        """
        frame = _tables.library("pandas", "to_pandas").DataFrame(self.flips, columns=Flip._fields).set_index("row")
        return frame.astype(dict.fromkeys(("ratio_before", "ratio_after", "expected"), float))

    def to_dict(self) -> dict[str, Any]:
        """All of it as plain values.

        Returns
        -------
        dict
        """
        return {
            "told": "Revised",
            "visits": self.visits,
            "moved": self.moved,
            "flips": [one._asdict() for one in self.flips],
            "changed": [_results.fields_of(one) for one in self.changed],
        }

    def _made_of(self):
        return Revised, (self.visits, self.moved, self.flips, self.changed)

    def __repr__(self):
        return f"<Revised: {len(self.flips)} of {self.visits} visits with another outcome>"


def revised(
    before: System | str | os.PathLike[str],
    after: System | str | os.PathLike[str],
    table: Any,
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    units: Literal["IP", "SI"],
    draws: bool = True,
    threads: int = 1,
    strict: bool = False,
) -> Revised:
    """Which past decisions flip by a revision of a page: a table of visits proved by both, and what differs between the two.

    Parameters
    ----------
    before, after : System, str or os.PathLike
        Two revisions of one system, or their files.
    table : pandas.DataFrame, polars.DataFrame, pyarrow.Table, dask.dataframe.DataFrame or dict of arrays
        Of Dask no more than one partition is held for each that works on it.
    visit : Visit, str, os.PathLike or dict
    units : {"IP", "SI"}
    draws : bool
    threads : int
    strict : bool
        All as of `prove_many`.

    Returns
    -------
    Revised

    Raises
    ------
    InputError, ValueError, TypeError
        As `prove_many`.
    """
    pair = [one if isinstance(one, System) else load(one) for one in (before, after)]
    visit = visit if isinstance(visit, Visit) else Visit(visit)
    _fleet.check_how(units, draws, threads)
    how = pair, visit, units, draws, threads, strict
    parts = _tables.of_partitions(_flipped, table, *how) if _tables.is_of_dask(table) else [_flipped(table, *how)]
    visits, moved, flips = 0, 0, []
    for rows, moved_here, found in parts:
        flips += [Flip(visits + row, *told) for row, *told in found]
        visits += rows
        moved += moved_here
    if not visits:
        raise ValueError("frame: no rows")
    return Revised(visits, moved, flips, _collation.collate(*pair).differences)


def _flipped(table, pair, visit, units, draws, threads, strict):
    """Visits, how many moved, and flips of a table or a part of one, which may have no rows."""
    frame = _tables.Frame.of(table)
    if not frame.rows:
        return 0, 0, []
    numbers, words, _ = _fleet.asked_of(frame, units, strict)
    columns = ["ratio", "probability"]
    told = [_fleet.proved(system, visit, units, frame.rows, numbers, words, columns, draws, threads) for system in pair]
    return _core.revised(*told)


def add_commands(commands: Any) -> None:
    """Add ``offnominal seasons`` and ``offnominal revised`` to the command's parsers."""
    command = commands.add_parser("seasons", help="visits to one machine by mode and date, and what changed between them")
    command.add_argument("visits", nargs="+", metavar="VISIT", help="visit files (YAML), each with its date")
    command.add_argument("--system", metavar="FILE", help="system file, instead of the one that the first visit names")
    command = commands.add_parser("revised", help="which past decisions flip by a revision of a page, and what changed in it")
    command.add_argument("before", help="system file")
    command.add_argument("after", help="system file: the revision")
    command.add_argument("table", help="CSV file with a heading: visits, as survey takes them")
    command.add_argument("--visit", required=True, help="visit file (YAML) that all are like")
    command.add_argument("--units", choices=_core.words["units"], required=True, help="of the table")
    command.add_argument("--threads", type=int, default=os.cpu_count() or 1)


def run_seasons(options: Any) -> Any:
    """Run ``offnominal seasons``; returns its result."""
    visits = [Visit(path) for path in options.visits]
    system = load(options.system) if options.system else load_named_by(visits[0], options.visits[0])
    rows = seasons([system.prove(visit) for visit in visits])

    def told(one):
        changes = {name: getattr(one, name) for name in ("since_last", "since_first")}
        return one._asdict() | {name: None if change is None else change._asdict() for name, change in changes.items()}

    return _results.Result(
        rows.report,
        lambda: {"told": "Seasons", "seasons": [told(one) for one in rows]},
        lambda: _results.records(rows.to_rows()),
    )


def run_revised(options: Any) -> Any:
    """Run ``offnominal revised``; returns its result."""
    table = _tables.read_csv(options.table, {name for name, *_ in _core.asked_of_prove})
    if not table:
        raise ValueError(f"{options.table}: no rows")
    found = revised(options.before, options.after, table, options.visit, units=options.units, threads=options.threads)
    return _results.Result(
        found.report,
        found.to_dict,
        lambda: _results.records(found.flips, of=Flip),
    )
