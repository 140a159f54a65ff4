"""What a machine delivers: the air-enthalpy method."""

from __future__ import annotations

from typing import TYPE_CHECKING

import functools

from offnominal import _arrays, _core, _units
from offnominal._answers import DeliveredBatch
from offnominal.errors import Refused

if TYPE_CHECKING:
    from typing import Any, Literal, TypeAlias

    _Argument: TypeAlias = Any

_NAN = float("nan")


def _checked_call(units, return_humidity, supply_humidity, airflow, split, fan, mode, condensate):
    """What the readings of one call have in common, each of its words checked; and the units of its numbers."""
    _units.check_word("units", units)
    _units.check_word("split", split)
    _units.check_word("mode", mode)
    fan = "" if fan is None else fan
    _units.check_word("fan", fan, optional=True)
    _units.check_flag("condensate", condensate)
    humidities = return_humidity[len("return_") :], supply_humidity[len("supply_") :]
    call = _core.DeliverCall(units, *humidities, airflow, split, fan, mode, bool(condensate))
    return call, [_units.unit_of(units, kind) for kind in call.kinds]


def _supply_humidity(mode, **measures):
    """The supply's measure of humidity and its number; in heating there is none."""
    given = [name for name, value in measures.items() if value is not None]
    if mode != "heating":
        return _units.exactly_one("supply humidity", **measures)
    if given:
        text = f"{given[0]} is given, but heated air keeps the return's moisture: heating is asked for no humidity in the supply"
        raise Refused(text, why="contradictory", about=given[0])
    return "supply_wet_bulb", _NAN


_call_of = functools.lru_cache(maxsize=256, typed=True)(_checked_call)


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
) -> Any:
    """What a machine delivers, from readings on both sides of it.

    Total is mass flow of dry air times enthalpy difference. Heated air keeps its moisture: heating is asked for no humidity in the
    supply, its capacity counts as positive, and auxiliary heat between the probes is subtracted from it. Every number may be an array; a Pint quantity is accepted in place
    of any number.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: degF, cfm, psia, ft. SI: degC, m3/s, Pa, m.
    return_dry_bulb, supply_dry_bulb : float or array
    return_wet_bulb, return_relative_humidity, return_humidity_ratio, return_dew_point : float or array
        Exactly one. Relative humidity is a fraction.
    supply_wet_bulb, supply_relative_humidity, supply_humidity_ratio, supply_dew_point : float or array
        Likewise, in cooling.
    airflow : float or array
        With exactly one of `airflow_at` and `airflow_basis`.
    airflow_at : {"return", "supply", "fan"}
        Actual airflow, at the density of that place. ``"fan"`` needs `fan` and, in draw-through, `fan_power`.
    airflow_basis : {"standard", "dry_mass"}
        Standard airflow (0.075 lb of dry air per cubic foot), or mass flow of dry air (lb/h, kg/s).
    elevation, pressure : float or array
        One or both: elevation of the site, and station pressure, which then counts and which the elevation checks.
    split : {"enthalpy", "ashrae37"}
        How sensible and latent are told apart: closing exactly with total, or as ANSI/ASHRAE 37-2009, 7.3.3 (moist heat
        capacity of the entering air; 1060 Btu/lb for latent).
        Cooling.
    condensate : bool
        Cooling: subtract the condensate's enthalpy; rating standards leave it in.
    fan : {"draw-through", "blow-through"}, optional
    fan_power : float or array
        W.
    mode : {"cooling", "heating"}
    auxiliary_heat : float or array
        Heating: electric or fuel, between the probes, W; 0 says that it is off. There is no default.

    Returns
    -------
    Delivered, DeliveredBatch
        For numbers, and if any of them is an array.

    Raises
    ------
    Refused
        For numbers, where a state cannot be; where one of the alternatives above is missing or given twice.
    """
    ret, ret_value = _units.exactly_one(
        "return humidity",
        return_wet_bulb=return_wet_bulb,
        return_relative_humidity=return_relative_humidity,
        return_humidity_ratio=return_humidity_ratio,
        return_dew_point=return_dew_point,
    )
    sup, sup_value = _supply_humidity(
        mode,
        supply_wet_bulb=supply_wet_bulb,
        supply_relative_humidity=supply_relative_humidity,
        supply_humidity_ratio=supply_humidity_ratio,
        supply_dew_point=supply_dew_point,
    )
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    site = _units.site(elevation, pressure)

    meanings = units, ret, sup, meaning, split, fan, mode, condensate
    try:
        call, units_of = _call_of(*meanings)
    except TypeError:  # an array where a word is due
        call, units_of = _checked_call(*meanings)
    powers = (_NAN if power is None else power for power in (fan_power, auxiliary_heat))
    numbers = (return_dry_bulb, ret_value, supply_dry_bulb, sup_value, airflow, *site, *powers)
    if _arrays.all_plain(numbers):
        try:
            return _core.deliver_one(call, *numbers)
        except TypeError:  # what the core cannot take is told below
            pass
    names = ("return_dry_bulb", ret, "supply_dry_bulb", sup, "airflow", "elevation", "pressure", "fan_power", "auxiliary_heat")
    numbers, shape, labels = _arrays.take(list(zip(names, units_of, numbers)))
    if not shape:
        return _core.deliver_one(call, *numbers)
    return DeliveredBatch(call, shape, labels, numbers)
