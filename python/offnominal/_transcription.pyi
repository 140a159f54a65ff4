import argparse
import os
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from offnominal._system import System

SOURCE: tuple[str, ...]
BASIS: dict[str, str]

class Transcription:
    text: str
    system: System
    notes: list[str]
    def __init__(self, text: str, system: System, filled: dict[str, dict[str, int]], notes: Sequence[str] = ()) -> None: ...
    def write(self, path: str | os.PathLike[str], *, force: bool = False) -> None: ...
    def report(self) -> str: ...

def transcribe(
    pages: Any,
    *,
    name: str,
    source: Mapping[str, str] | None = None,
    basis: Mapping[str, Any] | None = None,
    nominal: str = "",
    refrigerant: str = "",
    units: Mapping[str, str] | None = None,
    columns: Mapping[str, str] | None = None,
    values: Mapping[str, str] | None = None,
    fill_down: Sequence[str] = (),
    indoor: Literal["path", "points"] | None = None,
    infer: bool = False,
    frost: Literal["instantaneous", "integrated", "unknown"] | None = None,
    modulation: Literal["staged", "variable", "continuous"] | None = None,
    across: Literal["odb", "airflow", "ewb", "rh", "edb", "pressure"] | None = None,
    decimal: Literal[".", ","] | None = None,
    marks: Mapping[str, Literal["dry", "blank", "limit", "ignore"]] | None = None,
    blanks: bool = False,
) -> Transcription: ...
def add_command(commands: Any) -> None: ...
def run_command(options: argparse.Namespace) -> Any: ...
