from collections.abc import Mapping, Sequence
from typing import Any, Literal, NamedTuple

from offnominal._causes import Causes
from offnominal._record import Record
from offnominal._answers import Told
from offnominal._core import Delivered, Expected
from offnominal._system import System
from offnominal._visit import Visit

class Settling(NamedTuple):
    remedy: str
    text: str
    ratio_u: float
    meets: float
    falls_short: float
    @property
    def decided(self) -> float: ...

class Change(NamedTuple):
    ratio: float
    ratio_u: float
    apart_u: float
    less: float

class Proof(Told):
    # what is told, by _stubs.py
    ratio: float | None
    ratio_u: float | None
    ratio_u95: float | None
    ratio_low: float | None
    ratio_high: float | None
    joint_ratio: float | None
    joint_u: float | None
    probability: float | None
    other_probability: float | None
    limit: float | None
    sensible_limit: float | None
    confidence: float | None
    expected_u: float | None
    expected_share: float | None
    sensible_ratio: float | None
    sensible_ratio_u: float | None
    sensible_ratio_u95: float | None
    split_ratio: float | None
    split_ratio_u: float | None
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
    airflow_found: float | None
    airflow_found_u: float | None
    guard_band: float | None
    risk: float | None
    consumer_risk: float | None
    producer_risk: float | None
    bend: float | None
    frost: float | None
    # end of what is told
    outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    reason: str
    about: str
    suspect: str
    uncapped: str | None
    other_outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    method: Literal["first_order", "draws"]
    judge: Literal["total", "sensible", "both"]
    yardstick: Literal["make", "page"]
    budget: list[dict[str, Any]]
    no_power: str
    second_capacity: dict[str, Any] | None
    nearest: list[dict[str, Any]]
    notes: list[str]
    expected: Expected | None
    delivered: Delivered
    system: System
    visit: Visit
    units: Literal["IP", "SI"] | None  # type: ignore[assignment]
    def __init__(self, system: System, visit: Visit, units: Literal["IP", "SI"] | None) -> None: ...
    def __dir__(self) -> list[str]: ...
    def causes(self, *, seen: Mapping[str, float | bool] | None = None, priors: Mapping[str, float] | None = None) -> Causes: ...
    def settle(self, *, type_a: dict[str, float] | None = None) -> list[Settling]: ...
    def change_from(self, earlier: Proof) -> Change: ...
    def record(self, *, earlier: Sequence[Proof] = ()) -> Record: ...
    def verdict(self, *, units: Literal["IP", "SI"]) -> str: ...
    def report(self, *, units: Literal["IP", "SI"]) -> str: ...
