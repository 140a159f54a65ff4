import os
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from offnominal._system import System
from offnominal._value import Value
from offnominal._visit import Visit

class Survey(Value):
    table: Any
    by: tuple[str, ...]
    groups: list[dict[str, Any]]
    shares: dict[str, float]
    problems: list[tuple[int, str, str]]
    def __init__(
        self,
        table: Any,
        by: tuple[str, ...],
        groups: list[dict[str, Any]],
        shares: dict[str, float],
        problems: list[tuple[int, str, str]],
    ) -> None: ...
    def to_dict(self) -> dict[str, Any]: ...
    def csv(self) -> str: ...
    def report(self) -> str: ...

def survey(
    systems: System | Mapping[str, System],
    table: Any,
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    units: Literal["IP", "SI"],
    by: str | Sequence[str] = (),
    system_column: str = "system",
    draws: bool = True,
    threads: int = 1,
    strict: bool = False,
) -> Survey: ...
def add_command(commands: Any) -> None: ...
def run_command(options: Any) -> Any: ...
