"""What of the compiled module reaches a caller; the rest of it serves the Python files beside it."""

from typing import Any, Literal

from typing_extensions import Self

from offnominal import _system

__version__: str

def sentence(why: str, about: str, value: float, lower: float, upper: float) -> str: ...
def __getattr__(name: str) -> Any: ...

class System:
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

class Visit:
    @property
    def name(self) -> str: ...
    @property
    def mode(self) -> Literal["cooling", "heating"]: ...
    @property
    def system_file(self) -> str: ...
    @property
    def date(self) -> str: ...
    @property
    def stage(self) -> str: ...

class _Grid:
    def __call__(self, points: Any, out: Any = None, threads: int = 1) -> Any: ...

class Expected:
    """What a system should deliver. Made by `System.expect`."""

    # what is told, by _stubs.py
    @property
    def total_capacity(self) -> float | None:
        """total capacity at the boundary; in heating all of it is sensible"""
    @property
    def sensible_capacity(self) -> float | None:
        """sensible capacity at the boundary (cooling)"""
    @property
    def latent_capacity(self) -> float | None:
        """total less sensible (cooling)"""
    @property
    def power(self) -> float | None:
        """electric power as the page prints it (power_basis)"""
    @property
    def system_power(self) -> float | None:
        """outdoor unit and indoor fan"""
    @property
    def cop(self) -> float | None:
        """capacity over power, where both stand at one boundary (heating)"""
    @property
    def leaving_dry_bulb(self) -> float | None:
        """dry bulb leaving the boundary"""
    @property
    def leaving_wet_bulb(self) -> float | None:
        """wet bulb leaving the boundary"""
    @property
    def leaving_relative_humidity(self) -> float | None:
        """fraction"""
    @property
    def split(self) -> float | None:
        """entering less leaving dry bulb (cooling)"""
    @property
    def rise(self) -> float | None:
        """leaving less entering dry bulb (heating)"""
    @property
    def gross_total(self) -> float | None:
        """total capacity at the coil"""
    @property
    def uncertainty(self) -> float | None:
        """standard uncertainty of the total by page and factors alone"""
    @property
    def standard_airflow(self) -> float | None:
        """by the page's own pound"""
    @property
    def mass_flow(self) -> float | None:
        """dry air"""
    @property
    def bypass(self) -> float | None:
        """bypass factor of the matched coil (cooling)"""
    @property
    def knee(self) -> float | None:
        """on a dry coil: the wet bulb at which it would turn wet (cooling)"""
    @property
    def defrost_time_fraction(self) -> float | None:
        """share of the time spent defrosting, by the defrost table (heating)"""
    @property
    def auxiliary_heat(self) -> float | None:
        """as given; never part of the capacity (heating)"""
    # end of what is told
    @property
    def mode(self) -> str: ...
    @property
    def fields(self) -> dict[str, str]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def to_json(self) -> str: ...
    def __copy__(self) -> Self: ...
    def __deepcopy__(self, memo: Any) -> Self: ...
    @property
    def units(self) -> Literal["IP", "SI"]: ...
    @property
    def boundary(self) -> str: ...
    @property
    def power_basis(self) -> str: ...
    @property
    def frost(self) -> str | None: ...
    @property
    def uncertainty_parts(self) -> dict[str, float]: ...
    @property
    def footing(self) -> str: ...
    @property
    def notes(self) -> list[str]: ...
    @property
    def ledger(self) -> list[dict[str, Any]]: ...
    @property
    def system(self) -> _system.System: ...
    @property
    def extras(self) -> dict[str, dict[str, Any]]: ...
    def explain(self) -> str: ...
    def report(self) -> str: ...

class Delivered:
    """What a machine delivers. Made by `deliver`."""

    # what is told, by _stubs.py
    @property
    def total_capacity(self) -> float | None:
        """mass flow times enthalpy difference; in heating less any auxiliary heat"""
    @property
    def sensible_capacity(self) -> float | None:
        """of the dry-bulb difference (cooling)"""
    @property
    def latent_capacity(self) -> float | None:
        """of the humidity difference (cooling)"""
    @property
    def mass_flow(self) -> float | None:
        """dry air"""
    @property
    def standard_airflow(self) -> float | None:
        """at 0.075 lb of dry air per cubic foot"""
    @property
    def split(self) -> float | None:
        """return less supply dry bulb (cooling)"""
    @property
    def rise(self) -> float | None:
        """supply less return dry bulb, auxiliary heat's part included (heating)"""
    @property
    def sensible_ratio(self) -> float | None:
        """sensible over total; none where total is too small for a ratio (cooling)"""
    @property
    def condensate_flow(self) -> float | None:
        """water leaving the air (cooling)"""
    @property
    def return_wet_bulb(self) -> float | None:
        """of the return air"""
    @property
    def supply_wet_bulb(self) -> float | None:
        """of the supply air"""
    @property
    def auxiliary_heat(self) -> float | None:
        """as given; not in the capacity (heating)"""
    # end of what is told
    @property
    def fields(self) -> dict[str, str]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def to_json(self) -> str: ...
    def __copy__(self) -> Self: ...
    def __deepcopy__(self, memo: Any) -> Self: ...
    @property
    def units(self) -> Literal["IP", "SI"]: ...
    @property
    def mode(self) -> Literal["cooling", "heating"]: ...
    @property
    def notes(self) -> list[str]: ...
