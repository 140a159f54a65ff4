from collections.abc import Mapping, Sequence
from typing import Any, Literal, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from offnominal._answers import Many
from offnominal._value import Value
from offnominal.errors import Refused

_Policy: TypeAlias = Literal["refuse", "hold"] | tuple[Literal["extend"], float]
_Points: TypeAlias = Any  # an array of shape (..., N), or a tuple of N columns that broadcast

class Cell(NamedTuple):
    lower: tuple[int, ...]
    t: tuple[float, ...]
    nodes: NDArray[np.intp]
    weights: NDArray[np.float64]
    footing: tuple[str, ...]

class Gradient(NamedTuple):
    value: Any
    slope: NDArray[np.float64]
    side: tuple[str, ...]

class Crossings(NamedTuple):
    intervals: list[tuple[float, float]]
    hidden_cells: int

class Evaluated(Many, Value):
    reasons: NDArray[np.void]
    def __init__(self, grid: Grid, values: Any, reasons: Any, footing: Any, labels: Any = None) -> None: ...
    @property
    def shape(self) -> tuple[int, ...]: ...
    @property
    def values(self) -> NDArray[np.float64]: ...
    @property
    def why(self) -> NDArray[np.str_]: ...
    @property
    def answered(self) -> NDArray[np.bool_]: ...
    @property
    def refused(self) -> NDArray[np.bool_]: ...
    @property
    def held(self) -> NDArray[np.bool_]: ...
    @property
    def extended(self) -> NDArray[np.bool_]: ...
    @property
    def inferred(self) -> NDArray[np.bool_]: ...
    @property
    def footing(self) -> NDArray[np.str_]: ...
    def reason(self, *index: int) -> Refused | None: ...

class Grid(Value):
    def __init__(
        self,
        axes: Sequence[ArrayLike] | Mapping[str, ArrayLike],
        values: ArrayLike,
        outside: _Policy | Mapping[str, _Policy] = "refuse",
        names: Sequence[str] | None = None,
        marks: ArrayLike | None = None,
    ) -> None: ...
    def __call__(self, points: _Points, out: NDArray[np.float64] | None = None, threads: int = 1) -> Any: ...
    def evaluate(self, points: _Points, threads: int = 1) -> Evaluated: ...
    def gradient(self, point: ArrayLike, side: Literal["upper", "lower"] = "upper") -> Gradient: ...
    def cell(self, point: ArrayLike) -> Cell: ...
    def sweep(self, *coordinates: ArrayLike, out: NDArray[np.float64] | None = None, threads: int = 1) -> NDArray[np.float64]: ...
    def solve(self, point: ArrayLike, axis: int | str, target: float, output: int = 0) -> Crossings: ...
    @property
    def names(self) -> tuple[str, ...]: ...
    @property
    def axes(self) -> dict[str, NDArray[np.float64]]: ...
    @property
    def values(self) -> NDArray[np.float64]: ...
    @property
    def marks(self) -> NDArray[np.str_]: ...
    @property
    def outside(self) -> dict[str, _Policy]: ...
