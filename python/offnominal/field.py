"""What a machine delivers: the air-enthalpy method."""

import numpy as np

from offnominal import _arrays, _core, _units

_KINDS = {
    "total_capacity": "capacity",
    "sensible_capacity": "capacity",
    "latent_capacity": "capacity",
    "mass_flow": "mass_flow",
    "standard_airflow": "airflow",
    "split": "temperature_difference",
    "sensible_ratio": "ratio",
    "condensate_flow": "mass_flow",
    "return_wet_bulb": "temperature",
    "supply_wet_bulb": "temperature",
}


class Delivered:
    """What a machine delivers, raw: nothing is clamped. Made by `deliver`.

    Numbers, or arrays of one shape, in the caller's units. In arrays NaN stands exactly where ``reason`` is not ``"none"``,
    except in ``sensible_ratio``, which is NaN (None for a single answer) where total is too small for a ratio.

    Attributes
    ----------
    total_capacity, sensible_capacity, latent_capacity : float or ndarray
    mass_flow : float or ndarray
        Dry air.
    standard_airflow : float or ndarray
        At 0.075 lb of dry air per cubic foot.
    split : float or ndarray
        Return less supply dry bulb.
    sensible_ratio : float, None or ndarray
    condensate_flow : float or ndarray
        Water leaving the air.
    return_wet_bulb, supply_wet_bulb : float or ndarray
    notes : list of str, or ndarray of such lists
    reason : str or ndarray of str
    """

    def __init__(self, units, columns, labels=None):
        self._shape = np.shape(columns["total_capacity"])
        for name, kind in _KINDS.items():
            value = _units.from_si(units, kind, columns[name])
            setattr(self, name, _arrays.shown(value, labels, name) if self._shape else float(value))
        if not self._shape:
            if np.isnan(self.sensible_ratio):
                self.sensible_ratio = None
            self.notes = _core.describe_notes(int(columns["notes"]))
            self.reason = "none"
        else:
            self.notes = _arrays.shown(_units.worded(columns["notes"], _core.describe_notes), labels, "notes")
            self.reason = _arrays.shown(np.asarray(_core.why_names)[columns["why"]], labels, "reason")

    def __repr__(self):
        if self._shape:
            return f"<Delivered of shape {self._shape}, {np.count_nonzero(self.reason != 'none')} without an answer>"
        return "<Delivered: " + ", ".join(f"{name} {getattr(self, name):.6g}" for name in list(_KINDS)[:6]) + ">"


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
    Delivered

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

    _units.check_word("units", units, "IP", "SI")
    _units.check_word("split", split, "enthalpy", "ashrae37")
    if fan is not None:
        _units.check_word("fan", fan, "draw-through", "blow-through")
    if not isinstance(condensate, (bool, np.bool_)):
        raise ValueError(f"condensate: {_arrays.in_words(condensate)}; accepted: True or False for the whole call")

    def humidity_kind(name):
        return "temperature" if name.endswith(("wet_bulb", "dew_point")) else "ratio"

    readings = {
        "return_dry_bulb": ("temperature", return_dry_bulb),
        ret: (humidity_kind(ret), ret_value),
        "supply_dry_bulb": ("temperature", supply_dry_bulb),
        sup: (humidity_kind(sup), sup_value),
        "airflow": ("mass_flow" if meaning == "dry_mass" else "airflow", airflow),
        site: ("length" if site == "elevation" else "pressure", place),
        "fan_power": ("electric_power", float("nan") if fan_power is None else fan_power),
    }
    values, shape, labels = _arrays.take([(name, _units.unit_of(units, kind), x) for name, (kind, x) in readings.items()])
    values = [np.asarray(_units.to_si(units, kind, x)) for (kind, _), x in zip(readings.values(), values)]
    columns = [v.reshape(1) if v.size == 1 else np.broadcast_to(v, shape).reshape(-1) for v in values]
    rows = int(np.prod(shape))
    ret, sup = ret[len("return_") :], sup[len("supply_") :]
    out = _core.deliver_many(rows, ret, sup, meaning, site == "pressure", split, condensate, fan or "", columns)
    raise_first = out.pop("raise")
    if not shape:
        raise_first(units)
        return Delivered(units, {name: column[0] for name, column in out.items()})
    return Delivered(units, {name: column.reshape(shape) for name, column in out.items()}, labels)
