"""Moist air: states from dry bulb, one measure of humidity and the station pressure.

After ASHRAE Handbook - Fundamentals (2017), chapter 1, over -60 to 90 degC and 50 to 110 kPa.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from offnominal import _arrays, _core, _units
from offnominal._answers import Many, Told
from offnominal._value import content, read_only
from offnominal.errors import Refused

if TYPE_CHECKING:
    from typing import Any, Literal, TypeAlias

    _Values: TypeAlias = Any  # a float, or an array if any argument was one
    _Argument: TypeAlias = Any  # a number, an array, or a Pint quantity

__all__ = ["State", "mix", "pressure", "state"]

_TOLD = {
    "dry_bulb": "temperature",
    "wet_bulb": "temperature",
    "dew_point": "temperature",
    "relative_humidity": "ratio",
    "humidity_ratio": "humidity_ratio",
    "enthalpy": "enthalpy",
    "volume": "volume",
    "pressure": "pressure",
}


def state(
    *,
    units: Literal["IP", "SI"],
    dry_bulb: _Argument,
    wet_bulb: _Argument = None,
    relative_humidity: _Argument = None,
    humidity_ratio: _Argument = None,
    dew_point: _Argument = None,
    enthalpy: _Argument = None,
    pressure: _Argument = None,
    elevation: _Argument = None,
    wick: Literal["wet", "frozen"] = "wet",
    over: Literal["ashrae", "water"] = "ashrae",
) -> State:
    """A state of moist air.

    Every number may be an array; they are broadcast together. A Pint quantity is accepted in place of any number.

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: degF, lb/lb, Btu/lb, ft3/lb, psia, ft. SI: degC, kg/kg, J/kg, m3/kg, Pa, m. There is no default.
    dry_bulb : float or array
        -60 to 90 degC.
    wet_bulb, relative_humidity, humidity_ratio, dew_point, enthalpy : float or array
        Exactly one. Relative humidity is a fraction. Enthalpy is counted from dry air at 0 degF in IP and at 0 degC in SI, as
        the tables of each system do. A wet bulb above the dry bulb by no more than 0.2 delta_degF is taken as saturated.
    pressure, elevation : float or array
        One or both: station pressure (50 to 110 kPa; not the weather service's figure reduced to sea level), or the elevation
        whose standard atmosphere has it. Of both the pressure counts, and may be 5 % from the elevation's.
    wick : {"wet", "frozen"}
        Which `wet_bulb` to answer with where the published equations allow two: for the same air, water at or above the
        freezing point and ice below it.
    over : {"ashrae", "water"}
        What relative humidity is relative to below the triple point of water: ice, as ASHRAE has it, or supercooled water, as
        sensors have it. For the argument as for the answer.

    Returns
    -------
    State

    Raises
    ------
    Refused
        For numbers, where there is no such air: outside the domain, past saturation, boiling. Arrays carry ``reason`` instead.
        For both, where the measure of humidity is missing or given twice, or the site is missing.
    TypeError
        For what is not a number.

    Examples
    --------
    >>> from offnominal import air
    >>> s = air.state(units="SI", dry_bulb=25, relative_humidity=0.5, pressure=101325)
    >>> round(s.wet_bulb, 3), round(s.dew_point, 3)
    (17.889, 13.864)
    """
    _units.check_word("units", units)
    _units.check_word("wick", wick, ("wet", "frozen"))
    _units.check_word("over", over, ("ashrae", "water"))
    measure, value = _units.exactly_one(
        "humidity",
        wet_bulb=wet_bulb,
        relative_humidity=relative_humidity,
        humidity_ratio=humidity_ratio,
        dew_point=dew_point,
        enthalpy=enthalpy,
    )
    names = ("dry_bulb", measure, "elevation", "pressure")
    kinds = ("temperature", _TOLD[measure], "length", "pressure")
    numbers, labels = (dry_bulb, value, *_units.site(elevation, pressure)), None
    if not (_arrays.all_plain(numbers) and _arrays.all_doubles(numbers)):
        arguments = [(name, _units.unit_of(units, kind), x) for name, kind, x in zip(names, kinds, numbers)]
        numbers, _, labels = _arrays.take(arguments)
    numbers = [_units.to_si(units, kind, x) for kind, x in zip(kinds, numbers)]
    if _arrays.all_plain(numbers):
        return State(units, wick, over, *_core.air_state_one(measure, over == "water", units, *numbers))
    many = _core.air_state_many(measure, over == "water", *_broadcast(numbers))
    return State(units, wick, over, *many, labels)


def mix(first: State, first_mass: _Argument, second: State, second_mass: _Argument) -> State:
    """Two streams mixed at one pressure, without heat or water added.

    Parameters
    ----------
    first, second : State
    first_mass, second_mass : float or array
        Masses or mass flows of dry air, both in one unit.

    Returns
    -------
    State
        In the units of `first`.

    Raises
    ------
    Refused
        For numbers: unlike pressures, a mass that is not above zero, a mixture that would be fog.
    """
    arguments = []
    for name, air, mass in (("first", first, first_mass), ("second", second, second_mass)):
        arguments.append((f"{name}_mass", "kg/s", mass))
        arguments += [(name, None, _arrays.shown(x, air._labels)) for x in (air._t, air._W, air._p)]
    numbers, _, labels = _arrays.take(arguments)
    if _arrays.all_plain(numbers):
        return State(first.units, first._wick, first._over, *_core.air_mix_one(numbers, first.units))
    return State(first.units, first._wick, first._over, *_core.air_mix_many(_broadcast(numbers)), labels)


def pressure(*, units: Literal["IP", "SI"], elevation: _Argument) -> _Values:
    """Pressure of the standard atmosphere (ASHRAE Fundamentals 2017, ch. 1, eq. 3).

    Parameters
    ----------
    units : {"IP", "SI"}
        IP: ft to psia. SI: m to Pa.
    elevation : float or array
        -5000 to 11000 m.

    Returns
    -------
    float or ndarray
        NaN in an array where the elevation is outside or not finite.

    Raises
    ------
    Refused
        For a number that is outside or not finite.
    """
    _units.check_word("units", units)
    (z,), _, labels = _arrays.take([("elevation", _units.unit_of(units, "length"), elevation)])
    z = _units.to_si(units, "length", z)
    p = _core.air_pressure_one(z, units) if type(z) is float else _core.air_pressure_many(z)
    return _arrays.shown(_units.from_si(units, "pressure", p), labels, "pressure")


class State(Many, Told):
    """A state of moist air, or an array of them. Made by `state` and `mix`.

    In arrays NaN stands where ``answered`` is false, and in ``dew_point`` also where the air is too dry to have one
    (below -100 degC); a single state raises `Refused` there. ``len``, masks and slices are those of an array.

    Attributes
    ----------
    units : {"IP", "SI"}
        Of all numbers below.
    dry_bulb, wet_bulb, dew_point : float or ndarray
    relative_humidity, humidity_ratio : float or ndarray
    enthalpy, volume : float or ndarray
        Per mass of dry air.
    pressure : float or ndarray
    saturated_within_tolerance : bool or ndarray of bool
        The wet bulb given was above the dry bulb, by no more than 0.2 delta_degF: taken as saturated.
    answered : bool or ndarray of bool
    reason, about : str or ndarray of str
        Why there is no such air, and which argument says so.
    """

    _told = tuple((name, kind, (), "") for name, kind in _TOLD.items())
    _words = ("saturated_within_tolerance", "answered", "reason", "about")

    def __init__(
        self,
        units: Literal["IP", "SI"],
        wick: str,
        over: str,
        dry_bulb: _Values,
        humidity_ratio: _Values,
        pressure: _Values,
        saturated: _Values,
        why: Any = None,
        about: Any = None,
        labels: Any = None,
    ) -> None:
        vars(self).update(units=units, _wick=wick, _over=over, _labels=labels)
        arrays = dict(_t=dry_bulb, _W=humidity_ratio, _p=pressure, _saturated=saturated, _why=why, _about=about)
        vars(self).update((name, read_only(x)) for name, x in arrays.items())

    def _made_of(self):
        arrays = self._t, self._W, self._p, self._saturated, self._why, self._about
        return State, (self.units, self._wick, self._over, *arrays, self._labels)

    def _content(self):
        return content(self._made_of()[1])

    def _some(self, rows, labels):
        arrays = self._t, self._W, self._p, self._saturated, self._why, self._about
        return State(self.units, self._wick, self._over, *(x.reshape(-1)[rows] for x in arrays), labels)

    def _one(self, row):
        arrays = self._t, self._W, self._p, self._saturated, self._why, self._about
        *numbers, why, about = (x.flat[row].item() for x in arrays)
        if why:
            raise Refused(f"there is no such air: {_core.why_names[why]}", _core.why_names[why], _core.about_names[about])
        return State(self.units, self._wick, self._over, *numbers)

    def to_dict(self) -> dict[str, Any]:
        """Everything that is told, by name.

        Returns
        -------
        dict
            Of a single state without a dew point that is None.
        """
        told = {}
        for name in (*self.fields, *self._words):
            try:
                told[name] = getattr(self, name)
            except Refused:
                told[name] = None
        return told

    def _shown(self, name, kind, si):
        values = si if kind is None else _units.from_si(self.units, kind, si)
        return _arrays.shown(values, self._labels, name)

    @property
    def dry_bulb(self) -> _Values:
        return self._shown("dry_bulb", "temperature", self._t)

    @property
    def wet_bulb(self) -> _Values:
        wet_bulb = _core.air_wet_bulb_frozen if self._wick == "frozen" else _core.air_wet_bulb
        return self._shown("wet_bulb", "temperature", wet_bulb(self._t, self._W, self._p))

    @property
    def dew_point(self) -> _Values:
        if self._why is None:
            dew_point = _core.air_dew_point_one(self._t, self._W, self._p, self.units)
        else:
            dew_point = _core.air_dew_point(self._t, self._W, self._p)
        return self._shown("dew_point", "temperature", dew_point)

    @property
    def relative_humidity(self) -> _Values:
        water = self._over == "water"
        relative_humidity = _core.air_relative_humidity_over_water if water else _core.air_relative_humidity
        return self._shown("relative_humidity", "ratio", relative_humidity(self._t, self._W, self._p))

    @property
    def humidity_ratio(self) -> _Values:
        return self._shown("humidity_ratio", "humidity_ratio", self._W)

    @property
    def enthalpy(self) -> _Values:
        return self._shown("enthalpy", "enthalpy", _core.air_enthalpy(self._t, self._W, self._p))

    @property
    def volume(self) -> _Values:
        return self._shown("volume", "volume", _core.air_volume(self._t, self._W, self._p))

    @property
    def pressure(self) -> _Values:
        return self._shown("pressure", "pressure", self._p)

    @property
    def saturated_within_tolerance(self) -> _Values:
        return self._shown("saturated_within_tolerance", None, self._saturated)

    @property
    def answered(self) -> Any:
        return True if self._why is None else self._shown("answered", None, self._why == 0)

    @property
    def reason(self) -> Any:
        return "none" if self._why is None else self._shown("reason", None, np.asarray(_core.why_names)[self._why])

    @property
    def about(self) -> Any:
        return "nothing" if self._about is None else self._shown("about", None, np.asarray(_core.about_names)[self._about])

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the arrays; ``()`` for a single state."""
        return np.shape(self._t)

    def __repr__(self):
        if self._why is not None:
            return f"<air.State of shape {self.shape}, {np.count_nonzero(self._why)} without an answer>"
        shown = []
        for name in _TOLD:
            try:
                value = f"{getattr(self, name):.6g}"
            except ValueError:  # Refused: no dew point
                value = "none"
            shown.append(f"{name}={value}")
        return f"air.State(units={self.units!r}, {', '.join(shown)})"


def _broadcast(numbers):
    """Arrays of one shape, or of one value."""
    shape = np.broadcast_shapes(*(np.shape(x) for x in numbers))
    return [x if np.size(x) == 1 else np.ascontiguousarray(np.broadcast_to(x, shape)) for x in map(np.asarray, numbers)]
