"""Questions asked backwards: where, along one argument of `System.expect`, something told has a value."""

from __future__ import annotations

from typing import TYPE_CHECKING

import functools
import inspect
import math

import numpy as np

from offnominal import _arrays, _core, _tables, _texts, _units
from offnominal._answers import flat
from offnominal._value import Value

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

    from numpy.typing import NDArray

    from offnominal._system import System

_KINDS = {name: kind for name, kind, *_ in _core.told_of_expected}


class _Found(Value):
    """What both kinds of answer have in common."""

    vary: str
    of: str | tuple[str, str]
    units: str
    unit: str

    @property
    def _of_in_words(self):
        return self.of if isinstance(self.of, str) else " over ".join(self.of)

    @property
    def _unit_behind(self):
        return "" if self.unit in ("", "1") else " " + self.unit

    def to_rows(self) -> list[dict[str, Any]]:
        """Of one question a row for each place or member."""
        raise NotImplementedError

    def to_pandas(self) -> Any:
        """The rows of one question; ``attrs["units"]`` holds the units of its columns.

        Returns
        -------
        pandas.DataFrame
        """
        units = {self.vary: self.unit, "reached": self.unit_of, "off": self.unit_of}
        return _tables.of_rows(self.to_rows(), {name: unit for name, unit in units.items() if unit})

    @property
    def unit_of(self) -> str:
        """str: the unit of what is told; of a ratio none."""
        return _units.unit_of(self.units, _KINDS[self.of]) if isinstance(self.of, str) else ""


def _check_single(dimensions):
    if dimensions:
        raise ValueError("rows: of many questions; accepted: one")


class Solutions(_Found):
    """Where along one argument something told has a value. Made by `System.solve`.

    Attributes
    ----------
    vary, of, units : str
        As asked; ``unit`` is that of `vary`.
    solutions : ndarray
        Every place, rising, along the last axis, which is as long as the most solutions of any question; NaN where there are fewer.
        Of a stretch that has the value (a dry coil's ratio of sensible is 1) its two ends.
    best : ndarray
        Of each question the place that comes nearest, a solution where there is one; NaN where nothing is answered.
    reached : ndarray
        What is reached there.
    off : ndarray
        How much that is more than what was asked for; below 0 where it is less.
    reason : ndarray of str
        ``"none"`` where anything was answered, else why the middle of the range was not.
    """

    solutions: NDArray[np.float64]
    best: NDArray[np.float64]
    reached: NDArray[np.float64]
    off: NDArray[np.float64]
    reason: NDArray[Any]

    def __init__(
        self,
        asked: Mapping[str, Any],
        solutions: NDArray[np.float64],
        best: NDArray[np.float64],
        reached: NDArray[np.float64],
        off: NDArray[np.float64],
        reason: NDArray[Any],
    ) -> None:
        vars(self).update(asked, solutions=solutions, best=best, reached=reached, off=off, reason=reason)

    @property
    def count(self) -> NDArray[np.int64]:
        """ndarray of int: how many solutions each question has."""
        return np.sum(~np.isnan(self.solutions), axis=-1)

    def report(self) -> str:
        """The solutions of one question in words; of several, how many have how many.

        Returns
        -------
        str
        """
        of, unit = self._of_in_words, self._unit_behind
        if self.best.ndim:
            counts = ", ".join(f"{np.sum(self.count == n)} with {n}" for n in np.unique(self.count))
            return f"{self.best.size} questions: {counts} solutions\n"
        if self.count:
            found = " and ".join(f"{x:.6g}" for x in self.solutions)
            return f"{of} is {self.reached:.6g} at {self.vary} {found}{unit}\n"
        if math.isnan(self.best):
            return f"none: no answer anywhere ({self.reason})\n"
        then = (
            ("", ": it cycles", ": it falls short")[int(np.sign(self.off))] if self.vary == "speed" and "capacity" in of else ""
        )
        return f"none; best reachable is {of} {self.reached:.6g} at {self.vary} {self.best:.6g}{unit}{then}\n"

    def to_rows(self) -> list[dict[str, Any]]:
        """Of one question a row for each solution; where there is none the place that comes nearest, ``solution`` False.

        Returns
        -------
        list of dict
            `vary`'s own name, ``solution``, ``reached``, ``off``.
        """
        _check_single(self.best.ndim)
        places = self.solutions if self.count else self.best[None]
        told = {"solution": bool(self.count), "reached": float(self.reached), "off": float(self.off)}
        return [{self.vary: float(x), **told} for x in places]

    def _made_of(self):
        asked = {name: getattr(self, name) for name in ("vary", "of", "units", "unit")}
        return Solutions, (asked, self.solutions, self.best, self.reached, self.off, self.reason)

    def __repr__(self):
        return f"<Solutions: {self.report().strip()}>"


def _units_by_name(units, airflow_basis, speed_unit):
    """The units of the numbers of a question, by the name they are varied by."""
    out = _units.units_of_question(units, speed_unit)
    if airflow_basis == "dry_mass":
        out["airflow"] = _units.unit_of(units, "mass_flow")
    lines = {name: out[short] for name, short in _tables.LINE.items()}
    return {name: unit for name, unit in out.items() if name not in _tables.LINE.values()} | lines


class Members(_Found):
    """Which of a few, matches or sizes of a line, give something told enough. Made by `System.solve`.

    Attributes
    ----------
    vary, of, units : str
        As asked; ``unit`` is that of `vary`, empty for words.
    among : list
        What was tried, in the order that `reached` has along its last axis.
    reached : ndarray
        What each gives; NaN where it has no answer.
    wanted : ndarray
        What it should be, and ``limit``, ``"at_least"`` or ``"at_most"`` that.
    meets : ndarray of bool
        Whether it does.
    reason : ndarray of str
        Why there is no answer; ``"none"`` where there is one.
    """

    limit: str
    among: list[Any]
    reached: NDArray[np.float64]
    wanted: NDArray[np.float64]
    meets: NDArray[np.bool_]
    reason: NDArray[Any]

    def __init__(
        self,
        asked: Mapping[str, Any],
        among: list[Any],
        reached: NDArray[np.float64],
        wanted: NDArray[np.float64],
        reason: NDArray[Any],
    ) -> None:
        with np.errstate(invalid="ignore"):
            meets = reached >= wanted[..., None] if asked["limit"] == "at_least" else reached <= wanted[..., None]
        vars(self).update(asked, among=among, reached=reached, wanted=wanted, meets=meets, reason=reason)

    @property
    def ranked(self) -> NDArray[np.int64]:
        """ndarray of int: places in `among`, along the last axis: those that do, the nearest to what is wanted (the smallest that
        fits) first; then those that do not, the nearest first; then those without an answer."""
        off = np.abs(self.reached - self.wanted[..., None])
        return np.lexsort((off, ~self.meets, np.isnan(off)))

    def report(self) -> str:
        """Of one question what each gives, those that do first; of several, how many each does for.

        Returns
        -------
        str
        """
        of, unit = self._of_in_words, self._unit_behind
        names = [f"{x}{unit}" if isinstance(x, str) else f"{x:.6g}{unit}" for x in self.among]
        if self.wanted.ndim:
            counts = [f"{name} for {np.sum(self.meets[..., k])}" for k, name in enumerate(names)]
            return f"{self.wanted.size} questions: {', '.join(counts)}\n"
        lines = [] if self.meets.any() else ["none"]
        for k in self.ranked:
            lost = math.isnan(self.reached[k])
            told = f"no answer ({self.reason[k]})" if lost else f"{of} {self.reached[k]:.6g}"
            lines.append(f"{self.vary} {names[k]}: {told}{'' if lost or self.meets[k] else ', which is not enough'}")
        if self.limit == "at_most":
            lines = [line.replace("not enough", "too much") for line in lines]
        return "\n".join(lines) + "\n"

    def to_rows(self) -> list[dict[str, Any]]:
        """Of one question a row for each that was tried, as `ranked`.

        Returns
        -------
        list of dict
            `vary`'s own name, ``meets``, ``reached``, ``off``, ``reason``.
        """
        _check_single(self.wanted.ndim)
        return [
            {
                self.vary: self.among[k],
                "meets": bool(self.meets[k]),
                "reached": float(self.reached[k]),
                "off": float(self.reached[k] - self.wanted),
                "reason": str(self.reason[k]),
            }
            for k in self.ranked
        ]

    def _made_of(self):
        asked = {name: getattr(self, name) for name in ("vary", "of", "units", "unit", "limit")}
        return Members, (asked, self.among, self.reached, self.wanted, self.reason)

    def __repr__(self):
        return f"<Members: {'; '.join(self.report().splitlines())}>"


_units_of = functools.lru_cache(maxsize=64)(_units_by_name)


def _checked_of(of, mode):
    """What is told of, as one name or two."""
    names = (of,) if isinstance(of, str) else tuple(of)
    told = [name for name, _, modes, _ in _core.told_of_expected if mode in modes]
    if len(names) not in (1, 2) or not set(names) <= set(told):
        raise ValueError(
            f"of: {_arrays.in_words(of)}; accepted: one of these, or two, the first over the second: {', '.join(told)}"
        )
    return names


@functools.lru_cache(maxsize=1)
def _fixed_names():
    """The arguments that may hold, in order: the keys of a dict."""
    from offnominal import _system  # which imports this

    return dict.fromkeys(("stage", "match", *inspect.signature(_system._asked_by).parameters, *_tables.LINE))


def _check_fixed(fixed):
    if fixed.keys() <= _fixed_names().keys():
        return
    for name in fixed:
        if name not in _fixed_names():
            accepted = ", ".join(_fixed_names())
            raise TypeError(f"solve() got an unexpected keyword argument {name!r}; accepted beside its own: {accepted}")


_EQUALS = "accepted: a finite number, an array of numbers, or a function of an array of places that returns numbers"


def members(
    system: System,
    vary: str,
    among: Any,
    of: str | tuple[str, str],
    equals: Any,
    limit: str,
    fixed: Mapping[str, Any],
    threads: int,
) -> Members:
    """See `System.solve`."""
    units = fixed["units"]
    _units.check_word("units", units)
    _check_fixed(fixed)
    _units.check_word("limit", limit, ("at_least", "at_most"))
    mode = fixed.get("mode", "cooling")
    names = _checked_of(of, mode)
    unit = {**_units_of(units, fixed.get("airflow_basis"), system.speed_unit), "match": "", "stage": ""}.get(vary)
    if unit is None:
        raise ValueError(f"vary: {_arrays.in_words(vary)}; accepted: match, stage, or a number that expect asks for")
    if among is None and vary in ("match", "stage"):
        among = system.matches if vary == "match" else system.heating_stages if mode == "heating" else system.stages
    if among is None or isinstance(among, str) or np.ndim(among) != 1 or not len(among):
        raise ValueError(f"among: {_arrays.in_words(among)}; accepted: a list of one {vary} or more")
    tried = np.array(among, object) if vary in ("match", "stage") else _arrays.number("among", None, list(among))
    if callable(equals):
        raise ValueError("equals: a function; accepted of a list: a number or an array")
    fixed = {name: np.asarray(x)[..., None] if np.ndim(x) else x for name, x in fixed.items() if x is not None}
    line = fixed.get("line_set")
    if isinstance(line, dict):
        fixed["line_set"] = {name: np.asarray(x)[..., None] if np.ndim(x) else x for name, x in line.items()}
    own = {name: fixed.pop(name) for name in _tables.LINE if name in fixed and name != vary}
    due = _units.unit_of(units, _KINDS[names[0]]) if len(names) == 1 else None
    wanted = np.asarray(_arrays.number("equals", due, equals))
    if not wanted.ndim and not np.isfinite(wanted):
        raise ValueError(f"equals: {_arrays.in_words(equals)}; accepted: a finite number, or an array of numbers")
    question = _tables.question_of({**own, vary: tried}, fixed, "to be varied")
    answers = system.expect(**question, columns=names, threads=threads)
    first, *over = (np.asarray(getattr(answers, name)) for name in names)
    reached = first / over[0] if over else first
    shape = np.broadcast_shapes(reached.shape[:-1], wanted.shape)
    reached, reason = (np.broadcast_to(x, (*shape, tried.size)) for x in (reached, np.asarray(answers.reason, object)))
    asked = {"vary": vary, "of": of, "units": units, "unit": unit, "limit": limit}
    return Members(asked, list(among), reached, np.broadcast_to(wanted, shape), reason)


def solve(
    system: System,
    vary: str,
    between: tuple[float, float],
    of: str | tuple[str, str],
    equals: float | NDArray[np.float64] | Callable[[NDArray[np.float64]], Any],
    fixed: Mapping[str, Any],
    threads: int,
) -> Solutions:
    """See `System.solve`."""
    from offnominal import _system  # which imports this

    units = fixed["units"]
    _units.check_word("units", units)
    _check_fixed(fixed)
    names = _checked_of(of, fixed.get("mode", "cooling"))
    units_by_name = _units_of(units, fixed.get("airflow_basis"), system.speed_unit)
    if vary not in units_by_name:
        raise ValueError(f"vary: {_arrays.in_words(vary)}; accepted: {', '.join(units_by_name)}")
    unit = units_by_name[vary]
    try:
        low, high = (_arrays.number("between", unit, x) for x in between)
        if not (-math.inf < low < high < math.inf):
            raise TypeError
    except (TypeError, ValueError):
        raise ValueError(f"between: {_arrays.in_words(between)}; accepted: two numbers, the lower first") from None
    middle = 0.5 * (low + high)
    fixed = {name: value for name, value in fixed.items() if value is not None}
    own = {name: fixed.pop(name) for name in _tables.LINE if name in fixed and name != vary}
    question = _tables.question_of({**own, vary: middle}, fixed, "to be varied")
    stage, match = question.pop("stage", ""), question.pop("match", "")
    call, humidity, units_of, numbers = _system._asked_by(**question)
    line = callable(equals)
    plain = numbers if line else (*numbers, equals)
    if type(stage) is str and type(match) is str and _arrays.all_plain(plain) and _arrays.all_doubles(plain):
        _texts.check(stage, "stage")
        _texts.check(match, "match")
        stage, match, shape = ([stage], 0), ([match], 0), ()
    else:
        arguments = _system._arguments_of(system, stage, match, humidity, units_of, numbers)
        if not line:
            due = _units.unit_of(units, _KINDS[names[0]]) if len(names) == 1 else None
            arguments.append(("equals", due, equals))
        (stage, match, *numbers), shape, _ = _arrays.take(arguments)
        if not line:
            *numbers, equals = numbers
    if not shape and not line and not math.isfinite(equals):
        raise ValueError(f"equals: {_arrays.in_words(equals)}; {_EQUALS}")
    _units.check_threads(threads)
    stage, match = ((given, flat(codes, shape, np.int32)) for given, codes in (stage, match))
    solutions, best, reached, off, why = _core.solve_many(
        system, call, math.prod(shape), *stage, *match, tuple(flat(x, shape) for x in numbers), _tables.LINE.get(vary, vary),
        low, high, names[0], names[-1], equals if line else flat(equals, shape), threads,
    )  # fmt: skip
    if not shape and math.isnan(best[0]):
        system.expect(**question, stage=stage[0][0], match=match[0][0])  # which says why; or what is asked for is no number
        raise ValueError(f"equals: no number at any place of {vary} between {low:g} and {high:g}; {_EQUALS}")
    told = {"vary": vary, "of": of, "units": units, "unit": unit}
    reason = np.array(_core.why_names, object)[np.where(np.isnan(best), why, 0)]
    reason[np.isnan(best) & (why == 0)] = "not_given"  # `equals` is none there
    return Solutions(
        told, solutions.reshape(*shape, solutions.shape[1]), *(x.reshape(shape) for x in (best, reached, off, reason))
    )
