from typing import Any, NamedTuple

class LikelyCause(NamedTuple):
    cause: str
    text: str
    probability: float
    severity: float
    severity_low: float
    severity_high: float
    input: str | None
    stage: str | None
    match: str | None
    total: float
    sensible: float
    power: float
    fit: float
    support: str

class NextCheck(NamedTuple):
    check: str
    text: str
    minutes: float
    gain: float
    first: float

class Causes:
    likely: tuple[LikelyCause, ...]
    checks: tuple[NextCheck, ...]
    others: float
    first: float
    two_at_once: bool
    reason: str
    def __init__(self, told: dict[str, Any]) -> None: ...
    def to_dict(self) -> dict[str, Any]: ...
    def to_pandas(self) -> Any: ...
