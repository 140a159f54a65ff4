from typing import Any, Literal, TypeAlias

_Argument: TypeAlias = Any  # a number, an array, or a Pint quantity

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
    mode: Literal["cooling", "heating"] = "cooling",
    auxiliary_heat: _Argument | None = None,
) -> Any: ...  # Delivered, or DeliveredBatch if any argument is an array
