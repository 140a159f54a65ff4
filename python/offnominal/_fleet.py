"""Many visits at once: a table proved row by row."""

from __future__ import annotations

from typing import TYPE_CHECKING

import functools
import inspect
from collections.abc import Mapping

import numpy as np

from offnominal import _arrays, _core, _tables, _units
from offnominal._visit import Visit
from offnominal.errors import ARGUMENTS

if TYPE_CHECKING:
    import os
    from collections.abc import Sequence
    from typing import Any, Literal, TypeVar
    from offnominal._system import System

    _Table = TypeVar("_Table")  # a DataFrame of pandas or Polars, a Table of Arrow, or a dict of arrays

_SHARES = {f"share_of_{name}": f"share of {name} in the ratio's variance" for name in _core.inputs}
_TOLD = {name: (kind, meaning) for name, kind, _, meaning in _core.told_of_proof}
_TOLD |= {name: ("ratio", meaning) for name, meaning in _SHARES.items()}
_WORDS = {"outcome": _core.outcomes, "suspect": _core.about_names, "method": _core.methods, "next": _core.remedies}
# The columns that reasons are about, and of each subject its column's number: several subjects are of one.
_ABOUT = list(dict.fromkeys(ARGUMENTS.get(name, name) for name in _core.about_names))
_COLUMN_OF = np.array([_ABOUT.index(ARGUMENTS.get(name, name)) for name in _core.about_names], np.int32)
_ASKED = {name for name, *_ in _core.asked_of_prove}
_TOLD_IN_WORDS = ("outcome", "reason", "about", "suspect", "method", "next")
USUAL: tuple[str, ...] = ("ratio", "ratio_u", "probability")


def _checked_columns(columns):
    names = (columns,) if isinstance(columns, str) else tuple(columns)
    for name in names:
        if name not in _TOLD:
            raise ValueError(f"columns: {_arrays.in_words(name)}; accepted: {', '.join(_TOLD)}")
    return list(dict.fromkeys(names))


def _code(words):
    """The words of a column and their codes, or nothing."""
    return (None, []) if words is None else (np.ascontiguousarray(words[1], np.int32), words[0])


def proved(system, visit, units, rows, numbers, words, columns, draws, threads):
    """The columns of a batch that is of one system."""
    (stage, stages), (match, matches) = (_code(words.get(name)) for name in _tables.WORDED)
    return _core.prove_many(system, visit, units, rows, numbers, stages, stage, matches, match, columns, draws, threads)


def asked_of(frame, units, strict):
    """What of a table asks for something: numbers and words by name; and the names of its other columns."""
    if not frame.rows:
        raise ValueError("frame: no rows")
    asked, others = _tables.split_columns(frame, _ASKED | set(_tables.WORDED))
    due = {name: None if kind == "speed" else _units.unit_of(units, kind) for name, kind, *_ in _core.asked_of_prove}
    numbers = {name: _tables.numbers_of(frame, name, strict, due[name]) for name in asked if name not in _tables.WORDED}
    numbers = {name: np.ascontiguousarray(column, np.float64) for name, column in numbers.items()}
    words = {name: _arrays.words(name, frame.words(name)) for name in asked if name in _tables.WORDED}
    return numbers, words, others


def check_how(units, draws, threads):
    """Refuse what `prove_many` takes for no unit system, flag or number of threads."""
    _units.check_word("units", units)
    _units.check_flag("draws", draws)
    _units.check_threads(threads)


class _Told:
    """Columns of what is told; what stands where no system proves a row."""

    def __init__(self, rows, columns):
        self.numbers = {name: np.full(rows, np.nan) for name in columns}
        self.words = {name: np.full(rows, -1, np.int16) for name in _WORDS}
        self.why = np.zeros(rows, np.int32)
        self.about = np.zeros(rows, np.int32)

    def put(self, rows, told):
        """The answers of some rows in their places."""
        for name, column in self.numbers.items():
            column[rows] = told[name]
        for name, column in self.words.items():
            column[rows] = told[name]
        self.why[rows], self.about[rows] = told["reasons"]["why"], _COLUMN_OF[told["reasons"]["about"]]


def _prove_part(systems, visit, how, table):
    """One partition of a table, for whichever process works on it."""
    return prove_many(systems, table, visit, **how)


def prove_many(
    systems: System | Mapping[str, System],
    table: _Table,
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    units: Literal["IP", "SI"],
    system_column: str = "system",
    columns: Sequence[str] = USUAL,
    draws: bool = True,
    threads: int = 1,
    strict: bool = False,
) -> _Table:
    """Whether many machines deliver what they should: a table of visits, a row each.

    Parameters
    ----------
    systems : System, or dict of str to System
        A dict where a column of the table names each row's system.
    table : pandas.DataFrame, polars.DataFrame, pyarrow.Table, dask.dataframe.DataFrame or dict of arrays
        Columns named as the readings of a visit replace those of `visit`, row by row: ``outdoor_dry_bulb``, ``return_dry_bulb``,
        ``return_relative_humidity`` (in the measure that `visit` reads), ``supply_dry_bulb``, ..., ``airflow``, ``power``,
        ``fan_power``, ``auxiliary_heat``, ``elevation``, ``pressure``, ``speed``, ``line_length``, ``line_suction``, ``line_lift``,
        ``line_liquid``, ``stage`` and ``match``. Other columns go along.
    visit : Visit, str, os.PathLike or dict
        The one visit that all are like: its instruments, limit and judgement, and whatever no column says.
    units : {"IP", "SI"}
        Of all columns, as `System.expect` has them.
    system_column : str
        The column that names the system.
    columns : sequence of str
        The numbers to be told, by the names that `Proof` has for them; ``share_of_airflow`` and so on is the share of an input in
        the ratio's variance, ``expected_share`` that of the page.
    draws : bool
        Whether draws are taken where first order does not hold, as `System.prove` does. Without them ``probability`` and
        ``outcome`` of such rows are first order's: for a look at many, not for a verdict.
    threads : int
        How many work on it. The bits do not depend on it.
    strict : bool
        Whether a cell that should hold a number and does not is an error (which names its row and column). If not, it counts as
        not given, and its row says so.

    Returns
    -------
    pandas.DataFrame, polars.DataFrame, pyarrow.Table, dask.dataframe.DataFrame or dict of arrays
        Of the kind that was given, with its labels (of Dask: worked out partition by partition, when it is asked for): the columns that ask nothing; the numbers, each with the very digits that
        `System.prove` tells of that visit, NaN where there is no ratio; and words: ``outcome``, ``reason`` why there is no ratio
        and ``about`` which column, ``suspect``, ``method``, and ``next``: of an undecided row the remedy most likely to settle it.
        Where `System.prove` would refuse a visit its row has no outcome, and the reason is what it would say.

    Raises
    ------
    InputError
        For what is wrong with all rows: what `visit` says, or a column for what it does not have.
    ValueError
        For two columns of one name, a column whose name is nearly one that asks, another measure of humidity than the visit's.
    TypeError
        For cells that are no numbers, if `strict`.
    """
    check_how(units, draws, threads)
    columns = _checked_columns(columns)
    visit = visit if isinstance(visit, Visit) else Visit(visit)
    if _tables.is_of_dask(table):
        how = dict(units=units, system_column=system_column, columns=columns, draws=draws, threads=threads, strict=strict)
        return _tables.by_partition(functools.partial(_prove_part, systems, visit, how), table)
    frame = _tables.Frame.of(table)
    several = isinstance(systems, Mapping)
    if several and system_column not in frame.names:
        raise ValueError(
            f"frame: no column {system_column!r}, which names the system of each row; the frame has {', '.join(frame.names)}"
        )
    numbers, words, others = asked_of(frame, units, strict)
    whys, abouts = list(_core.why_names), list(_ABOUT)
    out = _Told(frame.rows, columns)
    if several:
        names, codes = _arrays.words(system_column, frame.words(system_column))
        unknown = len(whys), len(abouts)
        whys.append("unknown_system")
        abouts.append(system_column)
        for code, name in enumerate(names):
            rows = np.flatnonzero(codes == code)
            if not rows.size:
                continue
            if name not in systems:
                out.why[rows], out.about[rows] = unknown
                continue
            some = {name: np.ascontiguousarray(column[rows]) for name, column in numbers.items()}
            some_words = {name: (given, column[rows]) for name, (given, column) in words.items()}
            told = proved(systems[name], visit, units, rows.size, some, some_words, columns, draws, threads)
            out.put(rows, told)
    else:
        out.put(slice(None), proved(systems, visit, units, frame.rows, numbers, words, columns, draws, threads))
    told = {name: (out.numbers[name], _units.unit_of(units, _TOLD[name][0]), _TOLD[name][1]) for name in columns}
    worded = {name: _tables.in_use(_WORDS[name], codes) for name, codes in out.words.items()}
    reasons = {"reason": _tables.in_use(whys, out.why), "about": _tables.in_use(abouts, out.about)}
    answers = _tables.Answers(told, {name: {**worded, **reasons}[name] for name in _TOLD_IN_WORDS})
    return _tables.beside(frame, others, answers)


def prove_in_duckdb(
    connection: Any,
    systems: System | Mapping[str, System],
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    asked: Sequence[str],
    units: Literal["IP", "SI"],
    columns: Sequence[str] = USUAL,
    name: str = "prove",
    system_column: str = "system",
    draws: bool = True,
    threads: int = 1,
) -> None:
    """Adds a function to a DuckDB connection that proves visits in SQL, some two thousand rows at a time.

    It takes the columns that are `asked`, and gives a struct: ``SELECT match, avg(p.ratio) FROM (SELECT match, prove(airflow, ...) AS p
    FROM 'visits.parquet') GROUP BY match``.

    Parameters
    ----------
    connection : duckdb.DuckDBPyConnection
    systems : System, or dict of str to System
    visit : Visit, str, os.PathLike or dict
    asked : sequence of str
        The function's arguments in their order, by the names of the columns that `prove_many` asks by; numbers, but for ``stage``,
        ``match`` and the column that names the system.
    units : {"IP", "SI"}
    columns : sequence of str
        The numbers to be told, beside ``outcome``, ``reason``, ``about``, ``suspect``, ``method`` and ``next``.
    name : str
        What the function is called in SQL.
    system_column : str
    draws : bool
    threads : int
        As of `prove_many`.

    Raises
    ------
    ValueError
        For an argument by a name that nothing is asked by; and as `prove_many`.
    """
    arrow = _tables.library("pyarrow", "prove_in_duckdb")
    columns = _checked_columns(columns)
    worded = {*_tables.WORDED, system_column}
    for one in asked:
        if one not in _ASKED | worded:
            raise ValueError(f"asked: {_arrays.in_words(one)}; accepted: {', '.join(sorted(_ASKED | worded))}")
    visit = visit if isinstance(visit, Visit) else Visit(visit)

    how = dict(units=units, system_column=system_column, columns=columns, draws=draws, threads=threads)

    def prove(*given):
        told = prove_many(systems, arrow.table(list(given), list(asked)), visit, **how)
        numbers = [arrow.array(told.column(one).to_numpy(), from_pandas=True) for one in columns]  # NULL where there is none
        words = [told.column(one).cast(arrow.string()).combine_chunks() for one in _TOLD_IN_WORDS]
        return arrow.StructArray.from_arrays(numbers + words, [*columns, *_TOLD_IN_WORDS])

    # DuckDB counts a function's arguments.
    prove.__signature__ = inspect.Signature([inspect.Parameter(one, inspect.Parameter.POSITIONAL_ONLY) for one in asked])
    kinds = ["VARCHAR" if one in worded else "DOUBLE" for one in asked]
    told = ", ".join([*(f"{one} DOUBLE" for one in columns), *(f'"{one}" VARCHAR' for one in _TOLD_IN_WORDS)])
    connection.create_function(name, prove, kinds, f"STRUCT({told})", type="arrow", null_handling="special")
