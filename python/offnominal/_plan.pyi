from typing import Literal, NamedTuple

from offnominal._proof import Proof, Settling
from offnominal._system import System
from offnominal._value import Value
from offnominal._visit import Visit

class PlannedChance(NamedTuple):
    true_ratio: float
    ratio_u: float
    meets: float
    falls_short: float
    @property
    def decided(self) -> float: ...

class Plan(Value):
    system: System
    visit: Visit
    units: Literal["IP", "SI"] | None
    reason: str
    proof: Proof
    chances: tuple[PlannedChance, ...]
    remedies: tuple[Settling, ...]
    def __init__(self, system: System, visit: Visit, units: Literal["IP", "SI"] | None) -> None: ...
    def report(self, *, units: Literal["IP", "SI"]) -> str: ...
