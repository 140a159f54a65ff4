import os
from dataclasses import dataclass
from typing import Any, Literal

@dataclass(frozen=True)
class Suspect:
    column: str
    file: str
    line: int
    place_column: int
    typed: str
    printed: float
    implied: float | None
    unit: str
    checks: tuple[str, ...]
    slip: str
    guess: str
    score: float
    node: int | None
    block: tuple[int, ...]
    other: str
    cell: str
    why: str
    text: str
    _edits: tuple[tuple[int, str, str, str, bool], ...]
    def apply(self, text: str | None = None) -> str: ...

@dataclass(frozen=True)
class Question:
    about: str
    stated: str
    hypotheses: dict[str, float]
    decisive: bool
    nodes: int
    text: str

@dataclass(frozen=True)
class LeaveOneOut:
    axis: str
    column: str
    rms: float
    worst: float
    nodes: int

@dataclass(frozen=True)
class PageAudit:
    stage: str
    match: str
    mode: str
    frost: str
    nodes: int
    suspects: tuple[Suspect, ...]
    questions: tuple[Question, ...]
    leave_one_out: tuple[LeaveOneOut, ...]
    _text: str
    def report(self) -> str: ...

def pages(found: list[dict[str, Any]]) -> list[PageAudit]: ...
def audit_file(path: str | os.PathLike[str], *, units: Literal["IP", "SI"]) -> list[PageAudit]: ...
