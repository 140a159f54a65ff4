from typing import Any, Literal

from offnominal._answers import Told
from offnominal._core import Delivered, Expected
from offnominal._system import System
from offnominal._visit import Visit

class Proof(Told):
    # what is told, by _stubs.py
    ratio: float | None
    ratio_u: float | None
    ratio_u95: float | None
    probability: float | None
    limit: float | None
    confidence: float | None
    expected_u: float | None
    expected_share: float | None
    power: float | None
    expected_power: float | None
    power_ratio: float | None
    power_ratio_u: float | None
    power_ratio_u95: float | None
    efficiency: float | None
    expected_efficiency: float | None
    efficiency_ratio: float | None
    efficiency_ratio_u: float | None
    efficiency_ratio_u95: float | None
    # end of what is told
    outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    reason: str
    about: str
    budget: list[dict[str, Any]]
    no_power: str
    nearest: list[dict[str, Any]]
    notes: list[str]
    expected: Expected | None
    delivered: Delivered
    system: System
    visit: Visit
    units: Literal["IP", "SI"] | None  # type: ignore[assignment]
    def __init__(self, system: System, visit: Visit, units: Literal["IP", "SI"] | None) -> None: ...
    def __dir__(self) -> list[str]: ...
    def report(self, *, units: Literal["IP", "SI"]) -> str: ...
