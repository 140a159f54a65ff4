import dataclasses
from collections.abc import Mapping
from typing import Any

from offnominal._system import System

MODES: tuple[str, ...]
DEGRADATION: float

@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Year:
    frame: Any
    summary: dict[str, dict[str, Any]]
    units: str
    def report(self) -> str: ...

def year(
    system: System,
    weather: Any,
    cooling: Mapping[str, Any] | None,
    heating: Mapping[str, Any] | None,
    threads: int,
    fixed: Mapping[str, Any],
) -> Year: ...
def add_command(commands: Any) -> None: ...
def run_command(options: Any) -> Any: ...
