"""What a system should deliver in heating: asked through `System.expect`."""

import functools

import numpy as np

from offnominal import _core, _units
from offnominal._batch import Batch

_NAN = float("nan")
_make_call = functools.lru_cache(maxsize=256)(_core.HeatingCall)


def expect(
    system,
    *,
    units,
    stage,
    match,
    frost,
    outdoor_dry_bulb,
    outdoor_relative_humidity,
    entering_dry_bulb,
    airflow,
    airflow_basis,
    airflow_at,
    elevation,
    pressure,
    boundary,
    fan_power,
    auxiliary_heat,
    outside,
    **humidities,
):
    """The heating half of `System.expect`, which says what the arguments mean."""
    given = {name: value for name, value in humidities.items() if value is not None}
    humidity, moisture = ("entering_relative_humidity", _NAN)
    if given:
        humidity, moisture = _units.exactly_one("entering humidity", "relative_humidity", **humidities)
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    site, place = _units.exactly_one("site", "elevation", elevation=elevation, pressure=pressure)
    frost = "" if frost is None else frost
    _units.check_words(boundary=(boundary, "coil"), outside=(outside, "refuse"), frost=(frost, "instantaneous"))
    call = _make_call(units, humidity[len("entering_") :], meaning, site, boundary, outside, frost)
    numbers = (
        outdoor_dry_bulb, entering_dry_bulb, moisture, airflow, place, fan_power, auxiliary_heat, outdoor_relative_humidity,
    )
    numbers = tuple(_NAN if x is None else x for x in numbers)
    if type(stage) is str and type(match) is str and _units.all_plain(numbers):
        return _core.expect_heating_one(system._core, call, stage, match, *numbers)
    kinds = (
        "temperature",
        "temperature",
        "temperature" if humidity in ("entering_wet_bulb", "entering_dew_point") else "ratio",
        "mass_flow" if meaning == "dry_mass" else "airflow",
        "length" if site == "elevation" else "pressure",
        "electric_power",
        "electric_power",
        "ratio",
    )
    numbers = tuple(_units.magnitude(units, kind, x) for kind, x in zip(kinds, numbers))
    if all(np.ndim(x) == 0 for x in (stage, match, *numbers)):
        return _core.expect_heating_one(system._core, call, str(stage), str(match), *(float(x) for x in numbers))
    return ExpectedHeatingBatch(system, call, stage, match, numbers)


class ExpectedHeatingBatch(Batch):
    """What a system should deliver in heating, for arrays of conditions: one look-up a row, in a loop of compiled code.

    The attributes of `ExpectedHeating` as arrays of one shape, in the caller's units. Where ``reason`` is not ``"none"`` there
    is no answer and the numbers are NaN; what the page does not print, or leaving air without a humidity, is NaN alone.

    Attributes
    ----------
    capacity, gross_capacity, power, system_power, cop : ndarray
    leaving_dry_bulb, leaving_wet_bulb, leaving_relative_humidity, rise : ndarray
    uncertainty, standard_airflow, mass_flow : ndarray
    reason, about : ndarray of str
        Why there is no answer, and what it is about.
    footing : ndarray of str
    notes : ndarray of lists of str
    """

    _many = staticmethod(_core.expect_heating_many)
    _one = staticmethod(_core.expect_heating_one)
