"""Multilinear tables of several outputs over named axes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from offnominal import _arrays, _core
from offnominal._answers import Many
from offnominal._value import Value, read_only
from offnominal.errors import InputError, Refused

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any, Literal, TypeAlias

    from numpy.typing import ArrayLike, NDArray

    _Policy: TypeAlias = Literal["refuse", "hold"] | tuple[Literal["extend"], float]
    _Points: TypeAlias = Any  # an array of shape (..., N), or a tuple of N columns that broadcast

_MARKS = ("printed", "dry", "inferred", "blank", "beyond_limit")
# The names of the reasons a grid has, by their number.
_WHY = ("none", "not_finite", "outside", "blank", "beyond_limit")
_HELD, _EXTENDED, _INFERRED = 1, 2, 4


class Cell(NamedTuple):
    """The cell behind an answer.

    Attributes
    ----------
    lower : tuple of int
        Index of the lower node, for each axis.
    t : tuple of float
        Position from the lower node (0) towards the next one (1), for each axis.
    nodes : ndarray, shape (corners, axes)
        Indices of the nodes that have weight.
    weights : ndarray, shape (corners,)
        Their weights; they add up to 1.
    footing : tuple of str
        ``"held"``, ``"extended"``, or nothing.
    """

    lower: tuple[int, ...]
    t: tuple[float, ...]
    nodes: NDArray[np.intp]
    weights: NDArray[np.float64]
    footing: tuple[str, ...]


class Gradient(NamedTuple):
    """The outputs at a point and their derivatives along each axis.

    Attributes
    ----------
    value : float or ndarray, shape (outputs,)
    slope : ndarray, shape (axes,) or (axes, outputs)
        Zero along an axis that is held, or that has one breakpoint only.
    side : tuple of str
        ``"lower"`` or ``"upper"``: on which side of a breakpoint the slope was taken, for each axis.
    """

    value: Any
    slope: NDArray[np.float64]
    side: tuple[str, ...]


class Crossings(NamedTuple):
    """Where an output reaches a target along one axis.

    Attributes
    ----------
    intervals : list of (float, float)
        In ascending order; a single place has equal ends, a flat run has not.
    hidden_cells : int
        Cells that could not be searched because they lean on a blank node.
    """

    intervals: list[tuple[float, float]]
    hidden_cells: int


class Evaluated(Many, Value):
    """What a grid answers for many points.

    Attributes
    ----------
    reasons : ndarray
        Structured: ``why`` and ``about`` (numbers; see `why` for names), ``axis``, ``node``, ``value``, ``lower``, ``upper``.
    """

    reasons: NDArray[np.void]

    def __init__(self, grid: Grid, values: Any, reasons: Any, footing: Any, labels: Any = None) -> None:
        for array in (values, reasons, footing):
            read_only(array)
        vars(self).update(reasons=reasons, _grid=grid, _values=values, _footing=footing, _labels=labels)

    @property
    def shape(self) -> tuple[int, ...]:
        """tuple of int: of the points."""
        return self._footing.shape

    def _some(self, rows, labels):
        values = self._values.reshape(-1, *self._values.shape[len(self.shape) :])
        return Evaluated(self._grid, values[rows], self.reasons.reshape(-1)[rows], self._footing.reshape(-1)[rows], labels)

    def _one(self, row):
        index = np.unravel_index(row, self.shape)
        if self.reasons[index]["why"]:
            raise self.reason(*index)
        return self._values[index]

    def _made_of(self):
        return Evaluated, (self._grid, self._values, self.reasons, self._footing, self._labels)

    @property
    def values(self) -> NDArray[np.float64]:
        """ndarray: the outputs, NaN in all of them exactly where there is no answer."""
        return _arrays.shown(self._values, self._labels)

    @property
    def why(self) -> NDArray[np.str_]:
        """ndarray of str: the kind of each reason, ``"none"`` where there is an answer."""
        return _arrays.shown(np.asarray(_WHY)[self.reasons["why"]], self._labels)

    @property
    def answered(self) -> NDArray[np.bool_]:
        """ndarray of bool: where there is an answer."""
        return _arrays.shown(self.reasons["why"] == 0, self._labels)

    @property
    def refused(self) -> NDArray[np.bool_]:
        """ndarray of bool: where there is no answer."""
        return _arrays.shown(self.reasons["why"] != 0, self._labels)

    @property
    def held(self) -> NDArray[np.bool_]:
        """ndarray of bool: where a value past an edge was held at the edge."""
        return _arrays.shown((self._footing & _HELD) != 0, self._labels)

    @property
    def extended(self) -> NDArray[np.bool_]:
        """ndarray of bool: where the edge cell was extended."""
        return _arrays.shown((self._footing & _EXTENDED) != 0, self._labels)

    @property
    def inferred(self) -> NDArray[np.bool_]:
        """ndarray of bool: where an inferred node has weight."""
        return _arrays.shown((self._footing & _INFERRED) != 0, self._labels)

    @property
    def footing(self) -> NDArray[np.str_]:
        """ndarray of str: ``"inside"``, or what holds of ``held``, ``extended``, ``inferred``, joined by ``"+"``."""
        names = ["+".join(_footing_names(bits)) or "inside" for bits in range(8)]
        return _arrays.shown(np.asarray(names)[self._footing], self._labels)

    def reason(self, *index: int) -> Refused | None:
        """The reason at an index as an exception object, or None where there is an answer."""
        r = self.reasons[index]
        if r["why"] == 0:
            return None
        axis, node = int(r["axis"]), int(r["node"])
        numbers = float(r["value"]), float(r["lower"]), float(r["upper"])
        text = self._grid._explain(int(r["why"]), axis, node, *numbers)
        about = "nothing" if axis < 0 else "axis"
        return Refused(text, _WHY[r["why"]], about, axis if axis >= 0 else None, node if node >= 0 else None, *numbers)

    def __repr__(self):
        return f"Evaluated({self._footing.size} points, {np.count_nonzero(self.reasons['why'])} refused)"


class Grid(Value, _core._Grid):
    """Several outputs over one to six axes, multilinear between nodes.

    At a node the answer is the stored number, bit for bit. A node without weight never matters, so a blank neighbour does
    not spoil a node. Immutable; safe to use from any number of threads.

    Parameters
    ----------
    axes : sequence of array_like, or mapping of str to array_like
        Breakpoints of each axis, strictly increasing.
    values : array_like, shape (n1, ..., nN) or (n1, ..., nN, M)
        One number, or up to eight outputs, per node.
    outside : {"refuse", "hold"} or ("extend", limit)
        What happens past the ends of an axis: no answer, the answer at the end, or the end cell continued by up to ``limit``
        in units of the axis. A mapping from axis names gives each axis its own; axes it leaves out refuse.
    names : sequence of str, optional
        Names of the axes, if `axes` is not a mapping.
    marks : array_like of str, shape (n1, ..., nN), optional
        What is known of each node: ``"printed"`` (default), ``"dry"``, ``"inferred"``, ``"blank"``, ``"beyond_limit"``. A
        point that leans on one of the last two has no answer; their values may be NaN.

    Raises
    ------
    InputError
        If the axes, values or marks are not as described.

    Examples
    --------
    >>> import numpy as np, offnominal as on
    >>> grid = on.Grid({"x": [0, 1, 3], "y": [10, 20]}, [[1, 2], [3, 4], [5, 8]])
    >>> grid([0.5, 10])
    2.0
    >>> grid([[0.5, 10], [3, 20]])
    array([2., 8.])
    >>> grid((np.array([0.5, 3]), 20))
    array([3., 8.])
    """

    def __init__(
        self,
        axes: Sequence[ArrayLike] | Mapping[str, ArrayLike],
        values: ArrayLike,
        outside: _Policy | Mapping[str, _Policy] = "refuse",
        names: Sequence[str] | None = None,
        marks: ArrayLike | None = None,
    ) -> None:
        if isinstance(axes, Mapping):
            if names is not None:
                raise _input_error("names are given twice", "", "a mapping as axes, or names")
            names, axes = list(axes), list(axes.values())
        axes = list(axes)
        names = [f"axis {k}" for k in range(len(axes))] if names is None else [str(name) for name in names]
        if len(names) != len(axes):
            raise _input_error("the names do not fit the axes", str(len(names)), str(len(axes)))
        breakpoints = [_breakpoints(name, axis) for name, axis in zip(names, axes)]
        edges = _edges(outside, names)
        codes = None
        if marks is not None:
            marks = np.asarray(marks)
            shape = tuple(len(axis) for axis in breakpoints)
            if marks.shape != shape:
                raise _input_error("the marks do not fit the axes", str(marks.shape), str(shape))
            unknown = sorted(set(map(str, marks.flat)) - set(_MARKS))
            if unknown:
                raise _input_error("there is no such mark", unknown[0], ", ".join(_MARKS))
            codes = [_MARKS.index(str(mark)) for mark in marks.flat]
        super().__init__(names, breakpoints, edges, _arrays.number("values", None, values), codes)
        breakpoints = tuple(read_only(np.array(axis)) for axis in breakpoints)
        vars(self).update(_names=tuple(names), _breakpoints=breakpoints, _edges=tuple(edges), _codes=codes)

    def evaluate(self, points: _Points, threads: int = 1) -> Evaluated:
        """Values with reasons and footing.

        Parameters
        ----------
        points : array_like, shape (..., N), or tuple of N columns that broadcast
        threads : int
            Threads to use; worth it from about 100,000 points.

        Returns
        -------
        Evaluated
        """
        points, labels = self._points(points)
        return Evaluated(self, *self._evaluate(points, threads), labels)

    def gradient(self, point: ArrayLike, side: Literal["upper", "lower"] = "upper") -> Gradient:
        """The outputs at a point and their derivatives along each axis.

        Parameters
        ----------
        point : array_like, shape (N,)
        side : {"upper", "lower"}
            On which side of a breakpoint.

        Returns
        -------
        Gradient

        Raises
        ------
        Refused
            If there is no answer, or a slope needs a blank node.
        """
        if side not in ("upper", "lower"):
            raise _input_error("there is no such side", str(side), "upper or lower")
        return Gradient(*self._gradient(self._points(point)[0], side == "upper"))

    def cell(self, point: ArrayLike) -> Cell:
        """The cell behind an answer: indices, positions, nodes and weights.

        Parameters
        ----------
        point : array_like, shape (N,)

        Returns
        -------
        Cell

        Raises
        ------
        Refused
            If the point is outside.
        """
        lower, t, nodes, weights, footing = self._cell(self._points(point)[0])
        return Cell(lower, t, nodes, weights, _footing_names(footing))

    def sweep(self, *coordinates: ArrayLike, out: NDArray[np.float64] | None = None, threads: int = 1) -> NDArray[np.float64]:
        """The values at all combinations of axis values.

        Parameters
        ----------
        *coordinates : array_like, shape (q,)
            Values of each axis, in the order of the axes.
        out : ndarray, shape (q1, ..., qN) or (q1, ..., qN, M), optional
            Where to put the values.
        threads : int
            Threads to use.

        Returns
        -------
        ndarray, shape (q1, ..., qN) or (q1, ..., qN, M)
            NaN where there is no answer.
        """
        names = (*self._names, *map(str, range(len(self._names), len(coordinates))))
        coordinates = [_arrays.number(name, None, values) for name, values in zip(names, coordinates)]
        return self._sweep(coordinates, out, threads)

    def solve(self, point: ArrayLike, axis: int | str, target: float, output: int = 0) -> Crossings:
        """Where an output reaches a target along one axis, the other coordinates being those of a point.

        Parameters
        ----------
        point : array_like, shape (N,)
            The coordinate along `axis` is not used.
        axis : int or str
        target : float
        output : int

        Returns
        -------
        Crossings
        """
        if isinstance(axis, str):
            if axis not in self._names:
                raise _input_error("there is no such axis", axis, ", ".join(self._names))
            axis = self._names.index(axis)
        return Crossings(*self._solve(self._points(point)[0], axis, output, _arrays.number("target", None, target)))

    def _points(self, points):
        """Points without labels and units, and their labels."""
        if hasattr(points, "keys"):  # a dict, a DataFrame, a Dataset
            unlike = set(points.keys()) ^ set(self._names)
            if unlike:
                raise _input_error("columns are not the axes", ", ".join(map(str, points.keys())), ", ".join(self._names))
            points = tuple(points[name] for name in self._names)
        if isinstance(points, tuple) and len(points) == len(self._names):
            columns, _, labels = _arrays.take([(name, None, column) for name, column in zip(self._names, points)])
            return tuple(columns), labels
        return points if isinstance(points, tuple) else _arrays.number("points", None, points), None

    def _call_dressed(self, points, out, threads):
        points, labels = self._points(points)
        values = self._call(points, out, threads)
        return values if labels is None else labels.dress(values)

    @property
    def names(self) -> tuple[str, ...]:
        """tuple of str: the names of the axes."""
        return self._names

    @property
    def axes(self) -> dict[str, NDArray[np.float64]]:
        """dict of str to ndarray: the breakpoints of each axis."""
        return dict(zip(self._names, self._breakpoints))

    @property
    def values(self) -> NDArray[np.float64]:
        """ndarray: the stored numbers, read-only; NaN at nodes without one."""
        return self._values

    @property
    def marks(self) -> NDArray[np.str_]:
        """ndarray of str: the mark of each node."""
        shape = tuple(len(axis) for axis in self._breakpoints)
        if self._codes is None:
            return np.full(shape, _MARKS[0])
        return np.asarray(_MARKS)[np.asarray(self._codes)].reshape(shape)

    @property
    def outside(self) -> dict[str, _Policy]:
        """dict of str to policy: what happens past the ends of each axis."""
        return {name: (kind, limit) if kind == "extend" else kind for name, (kind, limit) in zip(self._names, self._edges)}

    def _made_of(self):
        marks = None if self._codes is None else self.marks
        return Grid, (self._breakpoints, self.values, self.outside, self._names, marks)

    def __repr__(self):
        axes = ", ".join(
            f"{name} {axis[0]:g}" + (f" to {axis[-1]:g} ({len(axis)})" if len(axis) > 1 else "")
            for name, axis in zip(self._names, self._breakpoints)
        )
        rank = len(self._names)
        outputs = self.values.shape[rank] if self.values.ndim > rank else 1
        policies = list(dict.fromkeys(_policy_text(*edge) for edge in self._edges))
        outside = policies[0] if len(policies) == 1 else "by axis"
        return f"Grid({axes}; {outputs} output{'s' if outputs > 1 else ''}; outside: {outside})"


def _footing_names(bits):
    return tuple(name for bit, name in ((_HELD, "held"), (_EXTENDED, "extended"), (_INFERRED, "inferred")) if bits & bit)


def _policy_text(kind, limit):
    return f"extend by {limit:g}" if kind == "extend" else kind


def _breakpoints(name, axis):
    found = _arrays.number(name, None, axis)
    if np.ndim(found) != 1:
        raise _input_error("an axis is not a row of numbers", str(axis), "numbers")
    return found


def _edges(outside, names):
    if not isinstance(outside, Mapping):
        return [_edge(outside)] * len(names)
    for name in outside:
        if name not in names:
            raise _input_error("there is no such axis", str(name), ", ".join(names))
    return [_edge(outside.get(name, "refuse")) for name in names]


def _edge(policy):
    if isinstance(policy, str) and policy in ("refuse", "hold"):
        return policy, 0.0
    if isinstance(policy, (tuple, list)) and len(policy) == 2 and policy[0] == "extend":
        try:
            return "extend", _arrays.one("limit", None, policy[1])
        except (TypeError, ValueError):
            pass
    raise _input_error(
        "there is no such policy",
        policy if isinstance(policy, str) else _arrays.in_words(policy),
        '"refuse", "hold" or ("extend", limit)',
    )


def _input_error(problem, text, accepted):
    message = problem + (f": '{text}'" if text else "") + (f"; accepted: {accepted}" if accepted else "")
    return InputError(message, problem=problem, text=text, accepted=accepted)
