"""Questions asked backwards: where, along one argument of `System.expect`, something told has a value."""

from __future__ import annotations

from typing import TYPE_CHECKING

import math

import numpy as np

from offnominal import _arrays, _core, _tables, _units
from offnominal._value import Value

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

    from numpy.typing import NDArray

    from offnominal._system import System

_SAMPLES = 13  # evenly over the range; besides them every breakpoint of the pages
_MOST_STEPS = 60  # of one bracket; halving alone takes 52 from any range to the last bit
_MOST_ROWS = 1 << 20  # asked at once


class Solutions(Value):
    """Where along one argument something told has a value. Made by `System.solve`.

    Attributes
    ----------
    vary, of, units : str
        As asked; ``unit`` is that of `vary`.
    solutions : ndarray
        Every place, rising, along the last axis, which is as long as the most solutions of any question; NaN where there are fewer.
    best : ndarray
        Of each question the place that comes nearest, a solution where there is one; NaN where nothing is answered.
    reached : ndarray
        What is reached there.
    reason : ndarray of str
        ``"none"`` where anything was answered, else why the middle of the range was not.
    """

    vary: str
    of: str | tuple[str, str]
    units: str
    unit: str
    solutions: NDArray[np.float64]
    best: NDArray[np.float64]
    reached: NDArray[np.float64]
    reason: NDArray[Any]

    def __init__(
        self,
        asked: Mapping[str, Any],
        solutions: NDArray[np.float64],
        best: NDArray[np.float64],
        reached: NDArray[np.float64],
        reason: NDArray[Any],
    ) -> None:
        vars(self).update(asked, solutions=solutions, best=best, reached=reached, reason=reason)

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
        of = self.of if isinstance(self.of, str) else " over ".join(self.of)
        unit = "" if self.unit in ("", "1") else " " + self.unit
        if self.best.ndim:
            counts = ", ".join(f"{np.sum(self.count == n)} with {n}" for n in np.unique(self.count))
            return f"{self.best.size} questions: {counts} solutions\n"
        if self.count:
            found = " and ".join(f"{x:.6g}" for x in self.solutions)
            return f"{of} is {self.reached:.6g} at {self.vary} {found}{unit}\n"
        if math.isnan(self.best):
            return f"none: no answer anywhere ({self.reason})\n"
        return f"none; best reachable is {of} {self.reached:.6g} at {self.vary} {self.best:.6g}{unit}\n"

    def _made_of(self):
        asked = {name: getattr(self, name) for name in ("vary", "of", "units", "unit")}
        return Solutions, (asked, self.solutions, self.best, self.reached, self.reason)

    def __repr__(self):
        return f"<Solutions: {self.report().strip()}>"


class _Function:
    """What is told, less what it should be, of many questions at once."""

    def __init__(self, system, vary, of, equals, fixed, units, threads):
        self.system, self.vary, self.of, self.threads = system, vary, of, threads
        fixed = {name: value for name, value in fixed.items() if value is not None}
        flat = {name: value for name, value in fixed.items() if name not in ("line_set", "outside")}
        for name, short in _tables.LINE.items():
            if isinstance(fixed.get("line_set"), dict) and short in fixed["line_set"]:
                flat[name] = fixed["line_set"][short]
        self.rest = {name: value for name, value in fixed.items() if name not in flat}
        if isinstance(self.rest.get("line_set"), dict):
            self.rest["line_set"] = {k: v for k, v in fixed["line_set"].items() if k not in _tables.LINE.values()}
        flat = {name: _arrays.number(name, units[name], value) if name in units else value for name, value in flat.items()}
        arrays = {name: np.asarray(value) for name, value in flat.items() if np.ndim(value)}
        if not callable(equals):
            kinds = {name: kind for name, kind, *_ in _core.told_of_expected}
            due = _units.unit_of(fixed["units"], kinds[of[0]]) if len(of) == 1 else None
            arrays["equals"] = np.asarray(_arrays.number("equals", due, equals))
        self.shape = np.broadcast_shapes(*(array.shape for array in arrays.values()))
        self.arrays = {name: np.broadcast_to(array, self.shape).reshape(-1) for name, array in arrays.items() if array.ndim}
        self.equals = equals if callable(equals) else self.arrays.pop("equals", None)
        if self.equals is None:
            self.equals = float(arrays["equals"])
        self.same = {name: value for name, value in flat.items() if name not in self.arrays}
        self.questions = math.prod(self.shape)

    def batch(self, question, x, columns):
        """The answers to questions by number, each at a place."""
        picked = {name: array[question] for name, array in self.arrays.items()}
        line = {n: v for n, v in {**self.same, **picked}.items() if n in _tables.LINE}
        rest = {n: v for n, v in {**self.same, **picked}.items() if n not in _tables.LINE}
        asked = _tables.question_of({**line, self.vary: x}, {**rest, **self.rest}, "to be varied")
        return self.system.expect(**asked, columns=columns, threads=self.threads)

    def told(self, question, x):
        """What is told, NaN where nothing is."""
        out = np.empty(x.size)
        for at in range(0, x.size, _MOST_ROWS):
            part = slice(at, at + _MOST_ROWS)
            answers = self.batch(question[part], x[part], self.of)
            first, *over = (answers._columns[name] for name in self.of)
            out[part] = first / over[0] if over else first
        return out

    def due(self, question, x):
        if callable(self.equals):
            return np.broadcast_to(np.asarray(self.equals(x), float), x.shape)
        return self.equals[question] if isinstance(self.equals, np.ndarray) else np.full(x.shape, self.equals)

    def __call__(self, question, x):
        return self.told(question, x) - self.due(question, x)


def _edges(f, question, good, bad):
    """The last places that are answered, between answered and refused ones."""
    for _ in range(_MOST_STEPS):
        middle = 0.5 * (good + bad)
        answered = ~np.isnan(f(question, middle))
        good, bad = np.where(answered, middle, good), np.where(answered, bad, middle)
        if np.all(np.abs(bad - good) <= 4e-16 * np.abs(good)):
            break
    return good


def _zeros(f, question, a, b, fa, fb):
    """Where a function of unlike signs at both ends is zero: Chandrupatla's steps (inverse quadratic, or halves). NaN where it jumps."""
    x, least, out = a.copy(), np.minimum(np.abs(fa), np.abs(fb)), np.where(np.abs(fa) < np.abs(fb), a, b)
    size = np.maximum(np.abs(fa), np.abs(fb))
    c, fc, t = a.copy(), fa.copy(), np.full(a.shape, 0.5)
    open_ = np.arange(a.size)
    for _ in range(_MOST_STEPS):
        if not open_.size:
            break
        i = open_
        x = a[i] + t[i] * (b[i] - a[i])
        fx = f(question[i], x)
        same = np.sign(fx) == np.sign(fa[i])
        c[i], fc[i] = np.where(same, a[i], b[i]), np.where(same, fa[i], fb[i])
        b[i], fb[i] = np.where(same, b[i], a[i]), np.where(same, fb[i], fa[i])
        a[i], fa[i] = x, fx
        better = np.abs(fx) < least[i]
        least[i], out[i] = np.where(better, np.abs(fx), least[i]), np.where(better, x, out[i])
        with np.errstate(divide="ignore", invalid="ignore"):
            xi, phi = (a[i] - b[i]) / (c[i] - b[i]), (fa[i] - fb[i]) / (fc[i] - fb[i])
            inverse = (phi**2 < xi) & ((1 - phi) ** 2 < 1 - xi)
            step = fa[i] / (fb[i] - fa[i]) * fc[i] / (fb[i] - fc[i]) + (c[i] - a[i]) / (b[i] - a[i]) * fa[i] / (
                fc[i] - fa[i]
            ) * fb[i] / (fc[i] - fb[i])
        small = 2e-16 * np.abs(x) / np.abs(b[i] - a[i])
        t[i] = np.clip(np.where(inverse & np.isfinite(step), step, 0.5), small, 1 - small)
        done = (fx == 0.0) | (np.abs(b[i] - a[i]) <= 4e-16 * np.abs(x)) | ~np.isfinite(fx)
        open_ = i[~done]
    return np.where(least <= 1e-9 * size + 1e-12 * np.abs(f.due(question, out)), out, np.nan)  # else it jumps over zero


def _nearest(f, question, a, b, c, fb):
    """The place between a and c where a function comes nearest to zero without, at b, having reached it; and its value."""
    shrink = 0.5 * (5**0.5 - 1)
    sign = np.sign(fb)
    low, high = c - shrink * (c - a), a + shrink * (c - a)
    f_low, f_high = sign * f(question, low), sign * f(question, high)
    for _ in range(50):
        left = f_low < f_high
        a, c = np.where(left, a, low), np.where(left, high, c)
        new = np.where(left, c - shrink * (c - a), a + shrink * (c - a))
        f_new = sign * f(question, new)
        low, high, f_low, f_high = (
            np.where(left, new, high), np.where(left, low, new), np.where(left, f_new, f_high), np.where(left, f_low, f_new),
        )  # fmt: skip
        if np.all((f_low <= 0) | (f_high <= 0) | (c - a <= 1e-9 * np.abs(c))):
            break
    left = f_low < f_high
    return np.where(left, low, high), sign * np.where(left, f_low, f_high)


def _axis_of(vary):
    return {"airflow": "standard_airflow"}.get(vary, vary)


def _units_of(system, fixed):
    """The units of the numbers of a question, by the name they are varied by."""
    out = _units.units_of_question(fixed["units"], system.speed_unit)
    if fixed.get("airflow_basis") == "dry_mass":
        out["airflow"] = _units.unit_of(fixed["units"], "mass_flow")
    lines = {name: out[short] for name, short in _tables.LINE.items()}
    return {name: unit for name, unit in out.items() if name not in _tables.LINE.values()} | lines


def _checked_of(of, mode):
    """What is told of, as one name or two."""
    names = (of,) if isinstance(of, str) else tuple(of)
    told = [name for name, _, modes, _ in _core.told_of_expected if mode in modes]
    if len(names) not in (1, 2) or not set(names) <= set(told):
        raise ValueError(
            f"of: {_arrays.in_words(of)}; accepted: one of these, or two, the first over the second: {', '.join(told)}"
        )
    return names


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
    units = fixed["units"]
    _units.check_word("units", units)
    names = _checked_of(of, fixed.get("mode", "cooling"))
    units_by_name = _units_of(system, fixed)
    if vary not in units_by_name:
        raise ValueError(f"vary: {_arrays.in_words(vary)}; accepted: {', '.join(units_by_name)}")
    unit = units_by_name[vary]
    try:
        low, high = (_arrays.number("between", unit, x) for x in between)
        if not (-math.inf < low < high < math.inf):
            raise TypeError
    except (TypeError, ValueError):
        raise ValueError(f"between: {_arrays.in_words(between)}; accepted: two numbers, the lower first") from None
    f = _Function(system, vary, names, equals, fixed, units_by_name, threads)

    x = np.linspace(low, high, _SAMPLES)
    printed = [b for page in system.envelope(units=units) for b in page["axes"].get(_axis_of(vary), ()) if low < b < high]
    x = np.unique(np.concatenate([x, printed]))
    n, m = f.questions, x.size
    every = np.repeat(np.arange(n), m)
    if f.arrays:
        told = f.told(every, np.tile(x, n)).reshape(n, m)
    else:  # questions that differ in what is asked for alone
        told = np.tile(f.told(np.zeros(m, int), x), (n, 1))
    value = told - f.due(every, np.tile(x, n)).reshape(n, m)
    if n == 1 and np.isnan(value).all() and not f.shape:
        f.system.expect(**_tables.question_of({vary: float(0.5 * (low + high))}, fixed, "to be varied"))  # which says why
    missing = np.isnan(value)

    # Intervals with an answer at both ends: between neighbours, and up to where answers end.
    q, k = np.nonzero(~missing[:, :-1] & ~missing[:, 1:])
    parts = [(q, x[k], x[k + 1], value[q, k], value[q, k + 1])]
    for good, bad in ((0, 1), (1, 0)):
        q, k = np.nonzero(~missing[:, good : m - bad] & missing[:, bad : m - good])
        if q.size:
            edge = _edges(f, q, x[k + good], x[k + bad])
            ends = (q, x[k + good], edge, value[q, k + good], f(q, edge))
            parts.append(ends if good == 0 else (q, ends[2], ends[1], ends[4], ends[3]))
    # Where neighbours of one sign turn back, the way between may touch zero, or come nearest.
    size = np.abs(value)
    q, k = np.nonzero(
        (size[:, 1:-1] <= size[:, :-2]) & (size[:, 1:-1] <= size[:, 2:]) & ~missing[:, :-2] & ~missing[:, 2:] & (value[:, 1:-1] != 0)
        & (np.sign(value[:, :-2]) == np.sign(value[:, 1:-1])) & (np.sign(value[:, 2:]) == np.sign(value[:, 1:-1]))
        & (size[:, 1:-1] < np.maximum(size[:, :-2], size[:, 2:]))
    )  # fmt: skip
    if q.size:
        k = k + 1
        turn, at_turn = _nearest(f, q, x[k - 1], x[k], x[k + 1], value[q, k])
        parts += [(q, x[k - 1], turn, value[q, k - 1], at_turn), (q, turn, x[k + 1], at_turn, value[q, k + 1])]
    ended = parts[1:]  # with ends that are none of the places looked at
    q, a, b, fa, fb = (np.concatenate(column) for column in zip(*parts))

    crossing = np.sign(fa) * np.sign(fb) < 0
    zeros = _zeros(f, q[crossing], a[crossing].copy(), b[crossing].copy(), fa[crossing].copy(), fb[crossing].copy())
    places = [zeros, a[fa == 0], b[fb == 0], np.tile(x, n)[value.reshape(-1) == 0]]
    of_places = [q[crossing], q[fa == 0], q[fb == 0], every[value.reshape(-1) == 0]]
    return _told(f, {"vary": vary, "of": of, "units": units, "unit": unit}, places, of_places, ended, x, value)


def _told(f, asked, places, of_places, ended, x, value):
    """What was found, by question."""
    n = f.questions
    place, question = np.concatenate(places), np.concatenate(of_places)
    kept = ~np.isnan(place)
    order = np.lexsort((place[kept], question[kept]))
    place, question = place[kept][order], question[kept][order]
    again = np.zeros(place.size, bool)  # an end of two intervals, or found from both sides
    again[1:] = (np.diff(question) == 0) & (np.diff(place) <= 1e-9 * (x[-1] - x[0]))
    place, question = place[~again], question[~again]
    number = np.arange(place.size) - np.searchsorted(question, question)
    solutions = np.full((n, int(number.max(initial=-1)) + 1), np.nan)
    solutions[question, number] = place

    off = np.where(np.isnan(value), np.inf, np.abs(value))
    nearest = np.argmin(off, axis=1)
    least = off[np.arange(n), nearest]
    best = np.where(np.isinf(least), np.nan, x[nearest])
    for q, *ends, fa, fb in ended:
        for place, at_place in zip(ends, (np.abs(fa), np.abs(fb))):
            order = np.argsort(-at_place, kind="stable")  # the nearest of a question last, which then stands
            better = order[at_place[order] < least[q[order]]]
            best[q[better]], least[q[better]] = place[better], at_place[better]
    if solutions.shape[1]:
        best = np.where(np.isnan(solutions[:, 0]), best, solutions[:, 0])
    reached, reason = np.full(n, np.nan), np.full(n, "none", object)
    some = np.flatnonzero(~np.isnan(best))
    if some.size:
        reached[some] = f.told(some, best[some])
    nothing = np.flatnonzero(np.isnan(best))
    if nothing.size:
        reason[nothing] = f.batch(nothing, np.full(nothing.size, 0.5 * (x[0] + x[-1])), f.of).reason
    shape = f.shape
    whole = [array.reshape(shape)[()] if not shape else array.reshape(shape) for array in (best, reached, reason)]
    solutions = solutions.reshape(*shape, solutions.shape[1])
    return Solutions(asked, solutions, *(np.asarray(array) for array in whole))
