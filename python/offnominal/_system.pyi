import os
from collections.abc import Mapping, Sequence
from typing import Any, Literal, TypeVar, overload

from offnominal import airflow as _airflow
from offnominal._core import Expected
from offnominal._audit import PageAudit
from offnominal._card import TargetCard
from offnominal._pages import Page
from offnominal._plan import Plan
from offnominal._proof import Proof
from offnominal._solve import Members, Solutions
from offnominal._value import Value
from offnominal._what_if import WhatIf
from offnominal._visit import Visit
from offnominal._year import Year

_Table = TypeVar("_Table")  # a DataFrame of pandas or Polars, a Table of Arrow, or a dict of arrays

PAST: dict[str, tuple[str, str]]
HUMIDITIES: tuple[str, ...]

def load(path: str | os.PathLike[str]) -> System: ...
def load_named_by(visit: Visit, path: str | os.PathLike[str]) -> System: ...
def parse(text: str, name: str = "<text>", folder: str | os.PathLike[str] | None = ".") -> System: ...

class System(Value):
    def __init__(self, core: Any, path: str | None = None) -> None: ...
    @property
    def name(self) -> str: ...
    @property
    def nominal(self) -> str: ...
    @property
    def refrigerant(self) -> str: ...
    @property
    def source(self) -> dict[str, str]: ...
    @property
    def stages(self) -> list[str]: ...
    @property
    def matches(self) -> list[str]: ...
    @property
    def heating_stages(self) -> dict[str, list[str]]: ...
    @property
    def speeds(self) -> dict[str, float]: ...
    @property
    def speed_unit(self) -> str: ...
    @property
    def taps(self) -> list[str]: ...
    def blower(
        self,
        *,
        units: Literal["IP", "SI"],
        tap: str,
        static: Any,
        static_u: Any = ...,
        includes: str = ...,
        drops: Mapping[str, Any] | None = ...,
        by: str | None = ...,
        **air: Any,
    ) -> _airflow.Determination: ...
    def blower_report(
        self,
        *,
        units: Literal["IP", "SI"],
        tap: str,
        static: Any,
        static_u: Any = ...,
        includes: str = ...,
        drops: Mapping[str, Any] | None = ...,
        by: str | None = ...,
        **air: Any,
    ) -> str: ...
    def operating_point(
        self,
        *,
        units: Literal["IP", "SI"],
        tap: str,
        duct_airflow: Any,
        duct_static: Any,
        duct_exponent: Any = ...,
        **air: Any,
    ) -> _airflow.OperatingPoint: ...
    def envelope(self, *, units: Literal["IP", "SI"]) -> list[dict[str, Any]]: ...
    def to_bytes(self) -> bytes: ...
    @classmethod
    def from_bytes(cls, data: bytes) -> System: ...
    def coverage(self, *, units: Literal["IP", "SI"]) -> dict[str, Any]: ...
    def missing(self, *, units: Literal["IP", "SI"], **question: Any) -> list[dict[str, Any]]: ...
    def audit(self, *, units: Literal["IP", "SI"]) -> list[PageAudit]: ...
    @overload
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: float,
        entering_dry_bulb: float,
        airflow: float,
        boundary: Literal["coil", "coil+fan"],
        stage: str = "",
        speed: float | None = None,
        entering_wet_bulb: float | None = None,
        entering_relative_humidity: float | None = None,
        entering_humidity_ratio: float | None = None,
        entering_dew_point: float | None = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: float | None = None,
        pressure: float | None = None,
        match: str = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: float | None = None,
        mode: Literal["cooling"] = "cooling",
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        infer: bool = False,
        airflow_effect: bool = False,
        frost: None = None,
        auxiliary_heat: None = None,
        outdoor_relative_humidity: None = None,
    ) -> Expected: ...
    @overload
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: float,
        entering_dry_bulb: float,
        airflow: float,
        boundary: Literal["coil", "coil+fan"],
        mode: Literal["heating"],
        frost: Literal["instantaneous", "integrated"] | None = None,
        auxiliary_heat: float | None = None,
        stage: str = "",
        entering_wet_bulb: float | None = None,
        entering_relative_humidity: float | None = None,
        entering_humidity_ratio: float | None = None,
        entering_dew_point: float | None = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: float | None = None,
        pressure: float | None = None,
        match: str = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: float | None = None,
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        outdoor_relative_humidity: float | None = None,
    ) -> Expected: ...
    @overload  # arrays give a batch, a Pint quantity of one number one answer
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Any,
        entering_dry_bulb: Any,
        airflow: Any,
        boundary: Literal["coil", "coil+fan"],
        stage: Any = "",
        speed: Any = None,
        entering_wet_bulb: Any = None,
        entering_relative_humidity: Any = None,
        entering_humidity_ratio: Any = None,
        entering_dew_point: Any = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: Any = None,
        pressure: Any = None,
        match: Any = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: Any = None,
        mode: Literal["cooling", "heating"] = "cooling",
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        infer: bool = False,
        airflow_effect: bool = False,
        frost: Literal["instantaneous", "integrated"] | None = None,
        auxiliary_heat: Any = None,
        outdoor_relative_humidity: Any = None,
        columns: Sequence[str] | None = None,
        out: Mapping[str, Any] | None = None,
        threads: int = 1,
    ) -> Any: ...
    def expect_frame(self, frame: _Table, *, units: Literal["IP", "SI"], strict: bool = True, **fixed: Any) -> _Table: ...
    def sweep(self, *, units: Literal["IP", "SI"], axes: Mapping[str, Sequence[Any]], **fixed: Any) -> Any: ...
    def target_card(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Sequence[float] | None = None,
        entering_wet_bulb: Sequence[float] | None = None,
        forecast: Visit | str | None = None,
        **question: Any,
    ) -> TargetCard: ...
    def what_if(self, *, units: Literal["IP", "SI"], changes: Mapping[str, Mapping[str, Any]], **base: Any) -> WhatIf: ...
    def sensitivities(self, *, units: Literal["IP", "SI"], by: Mapping[str, float], **base: Any) -> WhatIf: ...
    @overload
    def solve(
        self,
        *,
        units: Literal["IP", "SI"],
        vary: str,
        between: tuple[float, float],
        of: str | tuple[str, str],
        equals: Any,
        among: None = None,
        limit: Literal["at_least", "at_most"] = "at_least",
        threads: int = 1,
        **fixed: Any,
    ) -> Solutions: ...
    @overload
    def solve(
        self,
        *,
        units: Literal["IP", "SI"],
        vary: str,
        of: str | tuple[str, str],
        equals: Any,
        between: None = None,
        among: Any = None,
        limit: Literal["at_least", "at_most"] = "at_least",
        threads: int = 1,
        **fixed: Any,
    ) -> Members: ...
    def year(
        self,
        weather: Any,
        *,
        units: Literal["IP", "SI"],
        cooling: Mapping[str, Any] | None = None,
        heating: Mapping[str, Any] | None = None,
        threads: int = 1,
        **fixed: Any,
    ) -> Year: ...
    def pages(self, *, units: Literal["IP", "SI"]) -> list[Page]: ...
    def write(self, path: str | os.PathLike[str] | None = None, *, force: bool = False) -> str: ...
    def prove(
        self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], *, units: Literal["IP", "SI"] | None = None
    ) -> Proof: ...
    def monte_carlo(self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], n: int) -> Any: ...
    def prove_many(
        self,
        table: _Table,
        visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
        *,
        units: Literal["IP", "SI"],
        columns: Sequence[str] = ...,
        draws: bool = True,
        threads: int = 1,
        strict: bool = False,
    ) -> _Table: ...
    def plan(
        self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], *, units: Literal["IP", "SI"] | None = None
    ) -> Plan: ...
