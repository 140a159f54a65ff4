from typing import Any, Literal

from offnominal._core import Expected
from offnominal.field import Delivered

class Proof:
    outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    ratio: float | None
    ratio_u: float | None
    ratio_u95: float | None
    probability: float | None
    limit: float
    confidence: float
    reason: str
    budget: list[dict[str, Any]]
    expected_u: float
    expected_share: float
    power: float | None
    expected_power: float | None
    power_ratio: float | None
    power_ratio_u: float | None
    power_ratio_u95: float | None
    efficiency_ratio: float | None
    efficiency_ratio_u: float | None
    efficiency_ratio_u95: float | None
    no_power: str
    nearest: list[dict[str, Any]]
    notes: list[str]
    def __init__(self, core: Any, units: Literal["IP", "SI"] | None) -> None: ...
    def __dir__(self) -> list[str]: ...
    @property
    def expected(self) -> Expected | None: ...
    @property
    def delivered(self) -> Delivered: ...
    @property
    def efficiency(self) -> float | None: ...
    @property
    def expected_efficiency(self) -> float | None: ...
    def report(self, *, units: Literal["IP", "SI"]) -> str: ...
