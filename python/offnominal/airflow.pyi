from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

__all__ = [
    "Combination",
    "Determination",
    "OperatingPoint",
    "Term",
    "combine",
    "condensate",
    "drop",
    "flow_grid",
    "hood",
    "reading",
    "temperature_rise",
    "traverse",
    "traverse_points",
]

class Term(NamedTuple):
    what: str
    effect: float
    source: str
    shared: float

class Determination(NamedTuple):
    method: str
    by: str
    airflow: float
    airflow_u: float
    actual: float
    mass_flow: float
    power: float | None
    terms: tuple[Term, ...]
    notes: tuple[str, ...]
    units: str

class OperatingPoint(NamedTuple):
    external_static: float
    actual: float
    airflow: float
    power: float
    notes: tuple[str, ...]

class Combination(NamedTuple):
    airflow: float
    airflow_u: float
    mass_flow: float
    chi_squared: float
    degrees: int
    chance: float
    agree: bool
    farthest: int
    weights: tuple[float, ...]
    notes: tuple[str, ...]
    units: str

def reading(
    *,
    units: Literal["IP", "SI"],
    airflow: Any,
    airflow_basis: Literal["standard"] | None = ...,
    airflow_at: Literal["return", "supply", "fan"] | None = ...,
    airflow_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def temperature_rise(
    *,
    units: Literal["IP", "SI"],
    entering: Any,
    leaving: Any,
    power: Any = ...,
    input: Any = ...,
    efficiency: Any = ...,
    entering_u: Any = ...,
    leaving_u: Any = ...,
    power_u: Any = ...,
    input_u: Any = ...,
    efficiency_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def traverse(
    *,
    units: Literal["IP", "SI"],
    velocity_pressures: Any,
    width: Any = ...,
    height: Any = ...,
    diameter: Any = ...,
    velocity_pressures_u: Any = ...,
    width_u: Any = ...,
    height_u: Any = ...,
    diameter_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def traverse_points(*, rule: Literal["equal_area", "log_tchebycheff"], points: int, round: bool = ...) -> list[float]: ...
def flow_grid(
    *,
    units: Literal["IP", "SI"],
    rated: Any,
    rated_drop: Any,
    drop: Any,
    static_without: Any = ...,
    static_with: Any = ...,
    rated_u: Any = ...,
    rated_drop_u: Any = ...,
    drop_u: Any = ...,
    static_without_u: Any = ...,
    static_with_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def drop(
    *,
    units: Literal["IP", "SI"],
    known: Any,
    known_drop: Any,
    drop: Any,
    exponent: Any = ...,
    known_u: Any = ...,
    known_drop_u: Any = ...,
    drop_u: Any = ...,
    exponent_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def hood(
    *, units: Literal["IP", "SI"], registers: Any, registers_u: Any = ..., by: str | dict[str, str] | None = ..., **air: Any
) -> Determination: ...
def condensate(
    *,
    units: Literal["IP", "SI"],
    water: Any,
    entering_humidity_ratio: Any,
    leaving_humidity_ratio: Any,
    water_u: Any = ...,
    entering_humidity_ratio_u: Any = ...,
    leaving_humidity_ratio_u: Any = ...,
    by: str | dict[str, str] | None = ...,
    **air: Any,
) -> Determination: ...
def combine(determinations: Iterable[Determination]) -> Combination: ...
