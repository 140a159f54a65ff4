from collections.abc import Sequence
from typing import Any, Literal

import numpy as np

from offnominal._plan import PlannedChance
from offnominal._system import System
from offnominal._visit import Visit

COLUMNS: tuple[str, ...]

class TargetCard:
    system: System
    units: Literal["IP", "SI"]
    outdoor_dry_bulb: tuple[float, ...]
    entering_wet_bulb: tuple[float, ...]
    numbers: dict[str, np.ndarray[Any, Any]]
    footing: np.ndarray[Any, Any]
    reason: np.ndarray[Any, Any]
    question: dict[str, Any]
    bring: tuple[str, ...]
    chances: tuple[PlannedChance, ...]
    def __init__(
        self,
        system: System,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Sequence[float],
        entering_wet_bulb: Sequence[float],
        question: dict[str, Any],
        forecast: Visit | str | None,
    ) -> None: ...
    def to_rows(self) -> list[dict[str, Any]]: ...
    def to_pandas(self) -> Any: ...
    @property
    def units_of_columns(self) -> dict[str, str]: ...
    def html(self) -> str: ...

def target_card(
    system: System,
    units: Literal["IP", "SI"],
    outdoor_dry_bulb: Sequence[float] | None,
    entering_wet_bulb: Sequence[float] | None,
    question: dict[str, Any],
    forecast: Visit | str | None,
) -> TargetCard: ...
