from typing import Any, Literal, NamedTuple

__all__ = ["SecondCapacity", "TwoMethods", "condensate", "condenser", "refrigerant"]

class TwoMethods(NamedTuple):
    agreement: str
    difference: float
    difference_u: float
    probability: float

class SecondCapacity(NamedTuple):
    method: str
    boundary: str
    total_capacity: float
    total_capacity_u: float
    units: str
    def compare(
        self,
        *,
        total_capacity: Any,
        total_capacity_u: Any,
        boundary: Literal["coil", "coil+fan"],
        fan_power: Any = ...,
    ) -> TwoMethods: ...

def refrigerant(
    *,
    units: Literal["IP", "SI"],
    flow: Any,
    flow_u: Any,
    liquid_enthalpy: Any,
    liquid_enthalpy_u: Any,
    vapour_enthalpy: Any,
    vapour_enthalpy_u: Any,
) -> SecondCapacity: ...
def condenser(
    *,
    units: Literal["IP", "SI"],
    entering_dry_bulb: Any,
    entering_dry_bulb_u: Any,
    leaving_dry_bulb: Any,
    leaving_dry_bulb_u: Any,
    relative_humidity: Any,
    airflow: Any,
    airflow_u: Any,
    airflow_at: Literal["entering", "leaving"],
    power: Any,
    power_u: Any,
    power_of: Literal["outdoor unit", "system"],
    elevation: Any = ...,
    pressure: Any = ...,
) -> SecondCapacity: ...
def condensate(
    *,
    units: Literal["IP", "SI"],
    flow: Any,
    flow_u: Any,
    sensible_capacity: Any,
    return_dry_bulb: Any,
    boundary: Literal["coil", "coil+fan"],
) -> SecondCapacity: ...
