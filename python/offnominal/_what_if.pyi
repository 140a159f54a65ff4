from collections.abc import Mapping
from typing import Any

from offnominal._core import Expected
from offnominal._system import System
from offnominal._value import Value
from offnominal.errors import Refused

class WhatIf(Value):
    base: Expected
    cases: dict[str, Expected | Refused]
    units: dict[str, str]
    def __init__(self, base: Expected, cases: dict[str, Expected | Refused]) -> None: ...
    @property
    def rows(self) -> list[dict[str, Any]]: ...
    def moved(self, name: str) -> list[tuple[str, str, float]]: ...
    def report(self) -> str: ...
    def to_pandas(self) -> Any: ...

def what_if(system: System, base: Mapping[str, Any], changes: Mapping[str, Mapping[str, Any]]) -> WhatIf: ...
