from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

class Page:
    mode: Literal["cooling", "heating"]
    frost: str | None
    stage: str
    match: str
    speed: float | None
    infer: bool
    multiplied: bool
    axes: dict[str, NDArray[np.float64]]
    shape: tuple[int, ...]
    columns: dict[str, NDArray[np.float64]]
    units: dict[str, str]
    steps: dict[str, float]
    typed: dict[str, NDArray[np.str_]]
    typed_units: dict[str, str]
    marks: NDArray[np.str_]
    places: list[tuple[str, int, int]]
    basis: dict[str, Any]
    notes: list[str]
    def __init__(self, data: dict[str, Any]) -> None: ...
    def table(self) -> dict[str, NDArray[Any]]: ...
    @property
    def label(self) -> str: ...
