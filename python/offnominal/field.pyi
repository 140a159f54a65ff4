from typing import Any, Literal, TypeAlias

_Values: TypeAlias = Any  # a float, or an array if any argument was one
_Argument: TypeAlias = Any  # a number, an array, or a Pint quantity

class Delivered:
    total_capacity: _Values
    sensible_capacity: _Values
    latent_capacity: _Values
    mass_flow: _Values
    standard_airflow: _Values
    split: _Values
    sensible_ratio: _Values
    condensate_flow: _Values
    return_wet_bulb: _Values
    supply_wet_bulb: _Values
    notes: Any
    reason: Any
    def __init__(self, units: Literal["IP", "SI"], columns: dict[str, Any], labels: Any = None) -> None: ...

def deliver(
    *,
    units: Literal["IP", "SI"],
    return_dry_bulb: _Argument,
    supply_dry_bulb: _Argument,
    airflow: _Argument,
    return_wet_bulb: _Argument = None,
    return_relative_humidity: _Argument = None,
    return_humidity_ratio: _Argument = None,
    return_dew_point: _Argument = None,
    supply_wet_bulb: _Argument = None,
    supply_relative_humidity: _Argument = None,
    supply_humidity_ratio: _Argument = None,
    supply_dew_point: _Argument = None,
    airflow_at: Literal["return", "supply", "fan"] | None = None,
    airflow_basis: Literal["standard", "dry_mass"] | None = None,
    elevation: _Argument = None,
    pressure: _Argument = None,
    split: Literal["enthalpy", "ashrae37"] = "enthalpy",
    condensate: bool = False,
    fan: Literal["draw-through", "blow-through"] | None = None,
    fan_power: _Argument | None = None,
) -> Delivered: ...
