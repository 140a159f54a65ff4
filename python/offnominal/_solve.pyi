from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from offnominal._system import System
from offnominal._value import Value

class Solutions(Value):
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
    ) -> None: ...
    @property
    def count(self) -> NDArray[np.int64]: ...
    def report(self) -> str: ...

def solve(
    system: System,
    vary: str,
    between: tuple[float, float],
    of: str | tuple[str, str],
    equals: float | NDArray[np.float64] | Callable[[NDArray[np.float64]], Any],
    fixed: Mapping[str, Any],
    threads: int,
) -> Solutions: ...
