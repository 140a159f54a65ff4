"""The caller's units: named kinds of numbers in "IP" or "SI"; and what is asked of arguments that are words or alternatives.

The factors are those of the C++ table of units; the arithmetic is its two formulas, written once more because a Python float
multiplies faster than it crosses into C++. A test holds the bits of both together.
"""

import numpy as np

from offnominal import _arrays, _core
from offnominal.errors import Refused

SYSTEMS = _core.words["units"]
_NAN = float("nan")

# kind: (unit in IP, unit in SI).
UNITS = {kind: tuple(row[0] for row in rows) for kind, rows in _core.kinds.items()}

# (system, kind): (times, over, offset); None where the unit is SI itself.
_FACTORS = {
    (system, kind): None if factors == [1.0, 1.0, 0.0] else factors
    for kind, rows in _core.kinds.items()
    for system, (_, *factors) in zip(SYSTEMS, rows)
}


def unit_of(units, kind):
    """The unit of a kind of number: ``unit_of("IP", "airflow")`` is ``"cfm"``."""
    return UNITS[kind][SYSTEMS.index(units)]


def spoken(unit):
    """A unit as people write it: nobody says delta on a roof. Programs are told its own name, since a difference has no offset."""
    return unit.replace("delta_", "")


def units_of_question(units, speed_unit):
    """The units of the numbers that a question to a system is asked in, by argument."""
    return {name: speed_unit if kind == "speed" else unit_of(units, kind) for name, kind, *_ in _core.asked_of_expect}


def to_si(units, kind, number):
    """A float or array in the caller's unit, in SI."""
    factors = _FACTORS[units, kind]
    if factors is None:
        return number
    times, over, offset = factors
    return (number - offset) * times / over


def from_si(units, kind, si):
    """A float or array in SI, in the caller's unit."""
    factors = _FACTORS[units, kind]
    if factors is None:
        return si
    times, over, offset = factors
    return si * over / times + offset


def si_of(units):
    """What makes an argument a float in SI, NaN where it is not given: a function of its kind, its name and its value."""
    check_word("units", units)

    def number(kind, name, value):
        return _NAN if value is None else to_si(units, kind, _arrays.one(name, unit_of(units, kind), value))

    return number


def exactly_one(what, /, **alternatives):
    """The one alternative that is not None, as (name, value).

    Parameters
    ----------
    what : str
        What they are alternatives for, to word an error.
    **alternatives
        Arguments by name.

    Raises
    ------
    Refused
        Where none (``why`` is ``"not_given"``) or several (``"contradictory"``) are given, naming what is accepted; about the first
        that could be given, or the first that is.
    """
    found = None
    for name, value in alternatives.items():
        if value is not None:
            if found:
                break
            found = name, value
    else:
        if found:
            return found
    given = [name for name, value in alternatives.items() if value is not None]
    problem = f"is given by {' and '.join(given)}" if given else "is not given"
    text = f"{what} {problem}; give exactly one of {', '.join(alternatives)}"
    raise Refused(text, why="contradictory" if given else "not_given", about=given[0] if given else next(iter(alternatives)))


def site(elevation, pressure):
    """Elevation and station pressure as they were given: one of them or both, and NaN for what is not.

    Where both are given the pressure counts, and the elevation checks it and looks up a table of elevations.

    Raises
    ------
    Refused
        Where neither is given.
    """
    if elevation is None and pressure is None:
        raise Refused("site is not given; give elevation, pressure or both", why="not_given", about="elevation")
    return _NAN if elevation is None else elevation, _NAN if pressure is None else pressure


def meaning_of_airflow(airflow_basis, airflow_at):
    """Which of "standard", "dry_mass", "return", "supply" and "fan" an airflow is.

    Raises
    ------
    Refused
        Where neither or both are given.
    ValueError
        For another word.
    """
    which, meaning = exactly_one("meaning of the airflow", airflow_basis=airflow_basis, airflow_at=airflow_at)
    check_word(which, meaning)
    return meaning


def check_word(name, word, accepted=None, *, optional=False):
    """Refuse what is not one of a few words, or an array of words, where one is due for the whole call.

    The words are those of `name`, unless others are `accepted`. The empty word means that none is given, where that is `optional`.
    """
    accepted = accepted or _core.words[name]
    if not isinstance(word, str) or word not in accepted and not (optional and word == ""):
        *others, last = map(repr, accepted)
        whole = "" if isinstance(word, str) else " for the whole call"
        raise ValueError(f"{name}: {_arrays.in_words(word)}; accepted: {', '.join(others)} or {last}{whole}")


def check_flag(name, flag):
    """Refuse what is not true or false for the whole call."""
    if not isinstance(flag, (bool, np.bool_)):
        raise ValueError(f"{name}: {_arrays.in_words(flag)}; accepted: True or False for the whole call")


_MOST_THREADS = 1 << 16  # more than any machine runs at once


def check_threads(threads):
    """Refuse what is no number of threads. `Grid` asks this too, where it is not given the 1 that holds without one."""
    check_whole("threads", threads, 1, _MOST_THREADS)


def check_whole(name, number, least, most):
    """Refuse what is no whole number between these two, whatever its size."""
    if not isinstance(number, (int, np.integer)) or isinstance(number, bool) or not least <= number <= most:
        raise ValueError(f"{name}: {_arrays.in_words(number)}; accepted: a whole number from {least:,} to {most:,}")


def worded(codes, describe):
    """An object array of `describe(code)` for each code, each code described once.

    Records are told apart by their fields, one after another: to sort them as records takes thirty times as long.
    """
    flat = codes.reshape(-1)
    kind = np.zeros(flat.shape, np.intp)
    for field in [flat[name] for name in flat.dtype.names or ()] or [flat]:
        unique, inverse = np.unique(field, return_inverse=True)
        kind = kind * len(unique) + inverse.reshape(-1)
    _, kind = np.unique(kind, return_inverse=True)
    one_of = np.zeros(kind.max(initial=-1) + 1, np.intp)
    one_of[kind] = np.arange(kind.size)
    words = np.empty(one_of.size, object)
    words[:] = [describe(code) for code in flat[one_of].tolist()]
    return words[kind].reshape(codes.shape)
