"""What a system should deliver in heating: asked through `System.expect`."""

import functools

from offnominal import _arrays, _core, _units
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
        humidity, moisture = _units.exactly_one("entering humidity", **humidities)
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    site, place = _units.exactly_one("site", elevation=elevation, pressure=pressure)
    _units.check_word("boundary", boundary, "coil", "coil+fan", "")
    _units.check_word("outside", outside, "refuse", "hold", "extend")
    frost = "" if frost is None else frost
    _units.check_word("frost", frost, "instantaneous", "integrated", "")
    call = _make_call(units, humidity[len("entering_") :], meaning, site, boundary, outside, frost)
    numbers = (
        outdoor_dry_bulb, entering_dry_bulb, moisture, airflow, place, fan_power, auxiliary_heat, outdoor_relative_humidity,
    )
    numbers = tuple(_NAN if x is None else x for x in numbers)
    if type(stage) is str and type(match) is str and _arrays.all_plain(numbers):
        return _core.expect_heating_one(system._core, call, stage, match, *numbers)
    kinds = {
        "outdoor_dry_bulb": "temperature",
        "entering_dry_bulb": "temperature",
        humidity: "temperature" if humidity in ("entering_wet_bulb", "entering_dew_point") else "ratio",
        "airflow": "mass_flow" if meaning == "dry_mass" else "airflow",
        site: "length" if site == "elevation" else "pressure",
        "fan_power": "electric_power",
        "auxiliary_heat": "electric_power",
        "outdoor_relative_humidity": "ratio",
    }
    arguments = [("stage", _arrays.WORDS, stage), ("match", _arrays.WORDS, match)]
    arguments += [(name, _units.unit_of(units, kind), value) for (name, kind), value in zip(kinds.items(), numbers)]
    (stage, match, *numbers), shape, labels = _arrays.take(arguments)
    if not shape:
        return _core.expect_heating_one(system._core, call, stage[0][0], match[0][0], *numbers)
    return ExpectedHeatingBatch(system, call, shape, labels, stage, match, numbers)


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
