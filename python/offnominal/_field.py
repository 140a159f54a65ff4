"""What a machine delivers: the air-enthalpy method."""

import functools

from offnominal import _arrays, _core, _units
from offnominal._answers import DeliveredBatch

_NAN = float("nan")


def _checked_call(units, return_humidity, supply_humidity, airflow, site, split, fan, condensate):
    """What the readings of one call have in common, each of its words checked; and the units of its numbers."""
    _units.check_word("units", units)
    _units.check_word("split", split)
    fan = "" if fan is None else fan
    _units.check_word("fan", fan, optional=True)
    _units.check_flag("condensate", condensate)
    humidities = return_humidity[len("return_") :], supply_humidity[len("supply_") :]
    call = _core.DeliverCall(units, *humidities, airflow, site, split, fan, bool(condensate))
    return call, [_units.unit_of(units, kind) for kind in call.kinds]


_call_of = functools.lru_cache(maxsize=256, typed=True)(_checked_call)


def deliver(
    *,
    units,
    return_dry_bulb,
    supply_dry_bulb,
    airflow,
    return_wet_bulb=None,
    return_relative_humidity=None,
    return_humidity_ratio=None,
    return_dew_point=None,
    supply_wet_bulb=None,
    supply_relative_humidity=None,
    supply_humidity_ratio=None,
    supply_dew_point=None,
    airflow_at=None,
    airflow_basis=None,
    elevation=None,
    pressure=None,
    split="enthalpy",
    condensate=False,
    fan=None,
    fan_power=None,
):
    """What a machine delivers, from readings on both sides of it.

    Total is mass flow of dry air times enthalpy difference. Every number may be an array; a Pint quantity is accepted in place
    of any number.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: degF, cfm, psia, ft. SI: degC, m3/s, Pa, m.
    return_dry_bulb, supply_dry_bulb : float or array
    return_wet_bulb, return_relative_humidity, return_humidity_ratio, return_dew_point : float or array
        Exactly one; likewise for ``supply_``. Relative humidity is a fraction.
    airflow : float or array
        With exactly one of `airflow_at` and `airflow_basis`.
    airflow_at : {"return", "supply", "fan"}
        Actual airflow, at the density of that place. ``"fan"`` needs `fan` and, in draw-through, `fan_power`.
    airflow_basis : {"standard", "dry_mass"}
        Standard airflow (0.075 lb of dry air per cubic foot), or mass flow of dry air (lb/h, kg/s).
    elevation, pressure : float or array
        Exactly one: elevation of the site, or station pressure.
    split : {"enthalpy", "ashrae37"}
        How sensible and latent are told apart: closing exactly with total, or as ANSI/ASHRAE 37-2009, 7.3.3 (moist heat
        capacity of the entering air; 1060 Btu/lb for latent).
    condensate : bool
        Subtract the condensate's enthalpy; rating standards leave it in.
    fan : {"draw-through", "blow-through"}, optional
    fan_power : float or array
        W.

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
    sup, sup_value = _units.exactly_one(
        "supply humidity",
        supply_wet_bulb=supply_wet_bulb,
        supply_relative_humidity=supply_relative_humidity,
        supply_humidity_ratio=supply_humidity_ratio,
        supply_dew_point=supply_dew_point,
    )
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    site, place = _units.exactly_one("site", elevation=elevation, pressure=pressure)

    meanings = units, ret, sup, meaning, site, split, fan, condensate
    try:
        call, units_of = _call_of(*meanings)
    except TypeError:  # an array where a word is due
        call, units_of = _checked_call(*meanings)
    numbers = (return_dry_bulb, ret_value, supply_dry_bulb, sup_value, airflow, place, _NAN if fan_power is None else fan_power)
    if _arrays.all_plain(numbers):
        return _core.deliver_one(call, *numbers)
    names = ("return_dry_bulb", ret, "supply_dry_bulb", sup, "airflow", site, "fan_power")
    numbers, shape, labels = _arrays.take(list(zip(names, units_of, numbers)))
    if not shape:
        return _core.deliver_one(call, *numbers)
    return DeliveredBatch(call, shape, labels, numbers)
