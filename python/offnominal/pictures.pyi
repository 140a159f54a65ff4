from typing import Any, Literal

from offnominal._core import Expected
from offnominal._proof import Proof
from offnominal._survey import Survey
from offnominal._system import System

__all__ = ["air", "audit", "budget", "capacity", "fleet", "ledger", "verdict"]

def ledger(expected: Expected, *, of: Literal["total", "sensible", "power"] = "total", ax: Any = None) -> Any: ...
def verdict(proof: Proof, *, ax: Any = None) -> Any: ...
def budget(proof: Proof, *, ax: Any = None) -> Any: ...
def fleet(survey: Survey, *, limit: float | None = None, by: str | None = None, ax: Any = None) -> Any: ...
def capacity(
    system: System,
    *,
    units: Literal["IP", "SI"],
    x: tuple[str, float, float],
    y: tuple[str, float, float],
    what: str = "total_capacity",
    at: tuple[float, float] | None = None,
    ax: Any = None,
    **fixed: Any,
) -> Any: ...
def air(proof: Proof, *, ax: Any = None) -> Any: ...
def audit(
    system: System,
    *,
    units: Literal["IP", "SI"],
    stage: str,
    match: str = "",
    column: str = "total",
    mode: Literal["cooling", "heating"] = "cooling",
    frost: str | None = None,
    ax: Any = None,
) -> Any: ...
