"""A second capacity, by a method that does not share the air's errors, and whether the two agree within 6 %.

    from offnominal import second_capacity

    second = second_capacity.refrigerant(units="IP", flow=375, flow_u=4, ...)
    second.compare(total_capacity=delivered.total_capacity, total_capacity_u=900, boundary="coil+fan", fan_power=420)

The 6 % are ANSI/ASHRAE 37's (from memory). Each ``_u`` is a standard uncertainty: stated limits over the square root of 3.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from typing import NamedTuple

from offnominal import _core, _units

if TYPE_CHECKING:
    from typing import Any, Literal

__all__ = ["SecondCapacity", "TwoMethods", "condensate", "condenser", "refrigerant"]


class TwoMethods(NamedTuple):
    """A second capacity beside the air's.

    Attributes
    ----------
    agreement : {"agrees", "unclear", "contradicts"}
        Within 6 %; further apart, but by no more than twice the standard uncertainty of the difference; further than that.
    difference : float
        Second less first, over the first.
    difference_u : float
        Its standard uncertainty.
    probability : float
        That the true capacities are within 6 %, from the two readings alone.
    """

    agreement: str
    difference: float
    difference_u: float
    probability: float


class SecondCapacity(NamedTuple):
    """A capacity by a second method.

    Attributes
    ----------
    method : {"refrigerant", "condenser", "condensate"}
    boundary : {"coil", "coil+fan"}
        What it is the capacity of.
    total_capacity, total_capacity_u : float
        Btu/h or W, and its standard uncertainty; by condensate that of the water alone.
    units : {"IP", "SI"}
    """

    method: str
    boundary: str
    total_capacity: float
    total_capacity_u: float
    units: str

    def compare(
        self, *, total_capacity: Any, total_capacity_u: Any, boundary: Literal["coil", "coil+fan"], fan_power: Any = float("nan")
    ) -> TwoMethods:
        """Holds it against the air's total capacity.

        Parameters
        ----------
        total_capacity, total_capacity_u : float
            Of the air, in this capacity's units, and its standard uncertainty; beside condensate that of its latent alone, since
            both share the sensible.
        boundary : {"coil", "coil+fan"}
            Of the air's.
        fan_power : float, optional
            W, indoor fan: where the two boundaries are not alike.

        Returns
        -------
        TwoMethods

        Raises
        ------
        InputError
            Where a number is missing or cannot be.
        """
        _units.check_word("boundary", boundary)
        of = _units.si_of(self.units)
        air = [of("capacity", "total_capacity", total_capacity), of("capacity", "total_capacity_u", total_capacity_u)]
        fan = of("electric_power", "fan_power", fan_power)
        own = [_units.to_si(self.units, "capacity", x) for x in (self.total_capacity, self.total_capacity_u)]
        return TwoMethods(*_core.compare_second([*air, fan, *own], boundary, self.boundary))


def _answer(units, told):
    method, boundary, *numbers = told
    return SecondCapacity(method, boundary, *(_units.from_si(units, "capacity", x) for x in numbers), units)


def refrigerant(
    *,
    units: Literal["IP", "SI"],
    flow: Any,
    flow_u: Any,
    liquid_enthalpy: Any,
    liquid_enthalpy_u: Any,
    vapour_enthalpy: Any,
    vapour_enthalpy_u: Any,
) -> SecondCapacity:
    """Refrigerant flow times its rise in enthalpy: the capacity of the coil.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: lb/h, Btu/lb. SI: kg/s, J/kg.
    flow, flow_u : float
    liquid_enthalpy, liquid_enthalpy_u : float
        Before the expansion valve, counted from the same zero as the vapour's.
    vapour_enthalpy, vapour_enthalpy_u : float
        Leaving the indoor coil.

    Returns
    -------
    SecondCapacity

    Raises
    ------
    InputError
        Where a number is missing or cannot be.
    """
    of = _units.si_of(units)
    numbers = [of("mass_flow", "flow", flow), of("mass_flow", "flow_u", flow_u)]
    for name, value in (
        ("liquid_enthalpy", liquid_enthalpy),
        ("liquid_enthalpy_u", liquid_enthalpy_u),
        ("vapour_enthalpy", vapour_enthalpy),
        ("vapour_enthalpy_u", vapour_enthalpy_u),
    ):
        numbers.append(of("enthalpy_difference", name, value))
    return _answer(units, _core.second_by_refrigerant(numbers))


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
    elevation: Any = None,
    pressure: Any = None,
) -> SecondCapacity:
    """The heat that the outdoor air takes away, less the power.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: degF, delta_degF, cfm, W, ft, psia. SI: degC, K, m3/s, W, m, Pa.
    entering_dry_bulb, entering_dry_bulb_u, leaving_dry_bulb, leaving_dry_bulb_u : float
        Of the outdoor air.
    relative_humidity : float
        Of the entering air, a fraction, taken as exact: ten points of it move the capacity by 0.3 %.
    airflow, airflow_u : float
        Actual, through the outdoor unit.
    airflow_at : {"entering", "leaving"}
        At whose density; a fan after the coil moves leaving air.
    power, power_u : float
    power_of : {"outdoor unit", "system"}
        Of the outdoor unit for the coil's capacity, of the system for that of coil and fan.
    elevation, pressure : float
        One or both; then the pressure counts.

    Returns
    -------
    SecondCapacity

    Raises
    ------
    InputError
        Where a number is missing or cannot be.
    Refused
        Where the air cannot be.
    """
    of = _units.si_of(units)
    places = {"entering": "return", "leaving": "supply"}
    if airflow_at not in places:
        raise ValueError(f"airflow_at: {airflow_at!r}; accepted: 'entering', 'leaving'")
    elevation, pressure = _units.site(elevation, pressure)
    numbers = [
        of("temperature", "entering_dry_bulb", entering_dry_bulb),
        of("temperature_difference", "entering_dry_bulb_u", entering_dry_bulb_u),
        of("temperature", "leaving_dry_bulb", leaving_dry_bulb),
        of("temperature_difference", "leaving_dry_bulb_u", leaving_dry_bulb_u),
        of("airflow", "airflow", airflow),
        of("airflow", "airflow_u", airflow_u),
        of("electric_power", "power", power),
        of("electric_power", "power_u", power_u),
    ]
    site = of("length", "elevation", elevation), of("pressure", "pressure", pressure)
    humidity = of("ratio", "relative_humidity", relative_humidity)
    told = _core.second_by_condenser(numbers, "relative_humidity", humidity, places[airflow_at], power_of, *site)
    return _answer(units, told)


def condensate(
    *,
    units: Literal["IP", "SI"],
    flow: Any,
    flow_u: Any,
    sensible_capacity: Any,
    return_dry_bulb: Any,
    boundary: Literal["coil", "coil+fan"],
) -> SecondCapacity:
    """The air's own sensible capacity, and the latent capacity of the water that left the coil.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: lb/h, Btu/h, degF. SI: kg/s, W, degC.
    flow, flow_u : float
        Of the condensate, weighed over a time. The coil must have been wet and steady from long before.
    sensible_capacity, return_dry_bulb : float
        As delivered.
    boundary : {"coil", "coil+fan"}
        Of the sensible capacity.

    Returns
    -------
    SecondCapacity

    Raises
    ------
    InputError
        Where a number is missing or cannot be, or the coil was dry.
    """
    of = _units.si_of(units)
    _units.check_word("boundary", boundary)
    numbers = [
        of("mass_flow", "flow", flow),
        of("mass_flow", "flow_u", flow_u),
        of("capacity", "sensible_capacity", sensible_capacity),
        of("temperature", "return_dry_bulb", return_dry_bulb),
    ]
    return _answer(units, _core.second_by_condensate(numbers, boundary))
