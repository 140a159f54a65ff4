import argparse
import dataclasses
import os
from typing import Any

from offnominal._system import System
from offnominal._results import Result

@dataclasses.dataclass(frozen=True)
class Difference:
    kind: str
    page: str
    where: str
    column: str
    first: str
    second: str
    percent: float | None = ...
    first_place: str = ...
    second_place: str = ...

class Collation:
    differences: list[Difference]
    nodes: int
    nodes_same: int
    only_first: int
    only_second: int
    notes: list[str]
    def __init__(self, first: System, second: System) -> None: ...
    @property
    def same(self) -> bool: ...
    @property
    def worst(self) -> Difference | None: ...
    def report(self) -> str: ...

def collate(first: str | os.PathLike[str] | System, second: str | os.PathLike[str] | System) -> Collation: ...
def add_command(commands: Any) -> None: ...
def run_command(options: argparse.Namespace) -> Result: ...
