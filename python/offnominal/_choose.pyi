from collections.abc import Iterable, Sequence
from typing import Any, Literal, NamedTuple, overload

from offnominal._system import System

LIMITS: tuple[str, ...]
ASKED: dict[str, str]
HUMIDITIES: dict[str, str]
KINDS: dict[str, str]

class Choice(NamedTuple):
    system: str
    match: str
    stage: str
    tap: str
    airflow: float | None
    fan_power: float | None
    misfit: str
    why: str
    total: float | None
    sensible: float | None
    latent: float | None
    credited: float | None
    total_u: float
    total_over: float
    sensible_over: float
    latent_over: float
    fits: float
    heating: float | None
    balance_point: float | None
    auxiliary: float | None

class Choices(Sequence[Choice]):
    units: str
    limits: str
    def __init__(self, rows: Iterable[Choice], units: str, limits: str) -> None: ...
    @overload
    def __getitem__(self, at: int) -> Choice: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Choice, ...]: ...
    def __len__(self) -> int: ...
    def __eq__(self, other: object) -> bool: ...
    def __hash__(self) -> int: ...
    @property
    def fitting(self) -> tuple[Choice, ...]: ...
    @property
    def units_of_columns(self) -> dict[str, str]: ...
    def to_pandas(self) -> Any: ...

def choose(
    systems: System | Sequence[System],
    *,
    units: Literal["IP", "SI"],
    outdoor_dry_bulb: float,
    entering_dry_bulb: float,
    entering_wet_bulb: float | None = None,
    entering_relative_humidity: float | None = None,
    entering_dew_point: float | None = None,
    entering_humidity_ratio: float | None = None,
    total_load: float | None = None,
    sensible_load: float | None = None,
    latent_load: float | None = None,
    heating_load: float | None = None,
    heating_outdoor_dry_bulb: float | None = None,
    heating_entering_dry_bulb: float | None = None,
    no_heating_load: float | None = None,
    elevation: float | None = None,
    pressure: float | None = None,
    airflow: float | Sequence[float] | None = None,
    external_static: float | None = None,
    limits: Literal["manual_s_2014", "manual_s_2004", "energy_star_v3"] = "manual_s_2014",
    spare_latent: bool = True,
) -> Choices: ...
