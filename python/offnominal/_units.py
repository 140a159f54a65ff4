"""The caller's units: named kinds of numbers in "IP" or "SI", Pint quantities in place of any number, alternatives.

The factors are those of the C++ table of units; the arithmetic is its two formulas, written once more because a Python float
multiplies faster than it crosses into C++. A test holds the bits of both together.
"""

import numpy as np

from offnominal import _core
from offnominal.errors import Refused

SYSTEMS = ("IP", "SI")

# kind: (unit in IP, unit in SI), names of the C++ table.
UNITS = {
    "temperature": ("degF", "degC"),
    "temperature_difference": ("delta_degF", "delta_degC"),
    "airflow": ("cfm", "m3/s"),
    "capacity": ("Btu/h", "W"),
    "electric_power": ("W", "W"),
    "length": ("ft", "m"),
    "tubing": ("in", "m"),
    "pressure": ("psia", "Pa"),
    "static_pressure": ("in_wc", "Pa"),
    "mass_flow": ("lb/h", "kg/s"),
    "enthalpy": ("Btu/lb", "J/kg"),  # of moist air: in IP from dry air at 0 degF, in SI from dry air at 0 degC
    "enthalpy_difference": ("Btu/lb", "J/kg"),
    "humidity_ratio": ("lb/lb", "kg/kg"),
    "volume": ("ft3/lb", "m3/kg"),
    "ratio": ("1", "1"),
}

# Units of the table as Pint spells them. Pint's plain "Btu" is another one than ours, the International Table Btu.
_PINT = {
    "degF": "degF",
    "degC": "degC",
    "delta_degF": "delta_degF",
    "delta_degC": "delta_degC",
    "cfm": "foot**3/minute",
    "m3/s": "meter**3/second",
    "Btu/h": "Btu_it/hour",
    "W": "watt",
    "ft": "foot",
    "in": "inch",
    "m": "meter",
    "psia": "psi",
    "in_wc": "inH2O",
    "Pa": "pascal",
    "lb/h": "pound/hour",
    "kg/s": "kilogram/second",
    "Btu/lb": "Btu_it/pound",
    "J/kg": "joule/kilogram",
    "lb/lb": "dimensionless",
    "kg/kg": "dimensionless",
    "ft3/lb": "foot**3/pound",
    "m3/kg": "meter**3/kilogram",
    "1": "dimensionless",
}

# (system, kind): (times, over, offset); None where the unit is SI itself.
_FACTORS = {}
for _kind, _names in UNITS.items():
    for _system, _name in zip(SYSTEMS, _names):
        _row = _core.enthalpy_of_air_ip if (_kind, _system) == ("enthalpy", "IP") else _core.units[_name]
        _FACTORS[_system, _kind] = None if _row[1:] == (1.0, 1.0, 0.0) else _row[1:]


def check_system(units):
    """Refuse anything but ``"IP"`` and ``"SI"``: there is no default."""
    if units not in SYSTEMS:
        raise ValueError(f"units: {units!r}; accepted: 'IP' or 'SI'")


def unit_of(units, kind):
    """The unit of a kind of number: ``unit_of("IP", "airflow")`` is ``"cfm"``."""
    check_system(units)
    return UNITS[kind][SYSTEMS.index(units)]


_PLAIN = {float, int, np.float64}


def all_plain(numbers):
    """Whether all are plain numbers. Asked first: a compiled function that is given an array writes all of it into its TypeError."""
    return _PLAIN.issuperset(map(type, numbers))


def magnitude(units, kind, value):
    """A number, array or Pint quantity as a float or a float64 array in the caller's unit.

    Parameters
    ----------
    units : {"IP", "SI"}
    kind : str
        A key of `UNITS`.
    value : number, array_like or pint.Quantity
        Masked entries of a masked array become NaN.

    Returns
    -------
    float or ndarray

    Raises
    ------
    TypeError
        For what is not a number.
    ValueError
        For unknown `units`, or a quantity of another dimension.
    """
    if type(value) is float:
        return value
    if hasattr(value, "magnitude") and hasattr(value, "to"):
        value = _pint_magnitude(units, kind, value)
    if isinstance(value, np.ma.MaskedArray):
        value = value.astype(np.float64).filled(np.nan)
    array = np.asarray(value)
    if array.dtype.kind not in "fiu" and not _holds_numbers(array):
        raise TypeError(f"{_shown(value)} is not a number ({kind.replace('_', ' ')} in {unit_of(units, kind)})")
    array = array.astype(np.float64, copy=False)
    return float(array) if array.ndim == 0 else array


def to_si(units, kind, value):
    """A number, array or Pint quantity in SI, as a float or a float64 array; see `magnitude`."""
    number = magnitude(units, kind, value)
    factors = _factors(units, kind)
    if factors is None:
        return number
    times, over, offset = factors
    return (number - offset) * times / over


def from_si(units, kind, si):
    """A float or array in SI, in the caller's unit."""
    factors = _factors(units, kind)
    if factors is None:
        return si
    times, over, offset = factors
    return si * over / times + offset


def exactly_one(what, about, /, **alternatives):
    """The one alternative that is not None, as (name, value).

    Parameters
    ----------
    what : str
        What they are alternatives for, to word an error.
    about : str
        The same as a field of the error.
    **alternatives
        Arguments by name.

    Raises
    ------
    Refused
        Where none (``why`` is ``"not_given"``) or several (``"contradictory"``) are given, naming what is accepted.
    """
    given = [(name, value) for name, value in alternatives.items() if value is not None]
    if len(given) != 1:
        problem = "is given by " + " and ".join(name for name, _ in given) if given else "is not given"
        text = f"{what} {problem}; give exactly one of {', '.join(alternatives)}"
        raise Refused(text, why="contradictory" if given else "not_given", about=about)
    return given[0]


def meaning_of_airflow(airflow_basis, airflow_at):
    """Which of "standard", "dry_mass", "return", "supply" and "fan" an airflow is.

    Raises
    ------
    Refused
        Where neither or both are given.
    ValueError
        For another word.
    """
    which, meaning = exactly_one("meaning of the airflow", "airflow", airflow_basis=airflow_basis, airflow_at=airflow_at)
    if meaning not in (("standard", "dry_mass") if which == "airflow_basis" else ("return", "supply", "fan")):
        accepted = "'standard' or 'dry_mass'" if which == "airflow_basis" else "'return', 'supply' or 'fan'"
        raise ValueError(f"{which}: {meaning!r}; accepted: {accepted}")
    return meaning


def check_words(**words):
    """Refuse what is not one word for the whole call; each name has its word and an example of one."""
    for name, (word, example) in words.items():
        if not isinstance(word, str):
            raise ValueError(f"{name}: {word!r}; accepted: one word for the whole call, such as {example!r}")


def worded(codes, describe):
    """An object array of `describe(code)` for each code, each code described once."""
    unique, inverse = np.unique(codes, return_inverse=True)
    words = np.empty(len(unique), object)
    words[:] = [describe(int(code)) for code in unique]
    return words[inverse].reshape(np.shape(codes))


def _factors(units, kind):
    try:
        return _FACTORS[units, kind]
    except (KeyError, TypeError):
        check_system(units)
        raise


def _holds_numbers(array):
    """Whether an array of objects, as a table's column may be, holds numbers alone."""
    number = (int, float, np.integer, np.floating)
    return array.dtype.kind == "O" and array.size > 0 and all(
        isinstance(x, number) and not isinstance(x, bool) for x in array.flat
    )


def _shown(value):
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _pint_magnitude(units, kind, quantity):
    name = unit_of(units, kind)
    try:
        return quantity.to(_PINT[name]).magnitude
    except TypeError as error:  # pint.DimensionalityError; to Pint a temperature is no difference either
        raise ValueError(f"{_shown(quantity)} where a {kind.replace('_', ' ')} is due, such as {name}: {error}") from error
