"""Readings over time: logs, the steady window, means, probes side by side and across a duct."""

from __future__ import annotations

from typing import TYPE_CHECKING

import math
import os
import sys
from dataclasses import dataclass, field, fields, replace

import numpy as np

from offnominal import _arrays, _core, _display, _results, _texts, _units
from offnominal.errors import InputError

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable
    from typing import Any, Literal, TypeAlias
    from numpy.typing import NDArray
    from offnominal._results import Result

    _Argument: TypeAlias = Any

# The readings of a steady window, and their kinds.
_READINGS = {name: kind for name, kind, *_ in _core.asked_of_deliver if name.startswith(("return_", "supply_"))} | {
    "outdoor_dry_bulb": "temperature",
    "external_static": "static_pressure",
    "power": "electric_power",
}

# The columns of words that it takes.
_WORDS = ("stage", "defrost")

# What a cooling run is judged by beside its dry bulbs, each with the sides whose humidity that takes.
_JUDGED_BY_HUMIDITY = {
    "return_wet_bulb": ("return",),
    "supply_humidity_ratio": ("supply",),
    "enthalpy_difference": ("return", "supply"),
}

# Kinds of a log's columns, by what their units measure.
_KINDS = {
    "temperature": "temperature",
    "temperature_difference": "temperature_difference",
    "power": "electric_power",
    "airflow": "airflow",
    "mass_flow": "mass_flow",
    "pressure": "pressure",
    "length": "length",
    "humidity_ratio": "humidity_ratio",
    "specific_enthalpy": "enthalpy_difference",
    "specific_volume": "volume",
    "efficiency": "efficiency",
    "ratio": "ratio",
}


@dataclass(frozen=True)
class SignalSpan:
    """One signal over a window, in the caller's units.

    Attributes
    ----------
    mean, drift, range : float
        Drift is the slope of a straight line times the window's span, range is greatest less least.
    greatest_drift, greatest_range : float
        The limits; infinite where there is none.
    """

    mean: float
    drift: float
    range: float
    greatest_drift: float
    greatest_range: float

    def told(self) -> tuple[tuple[str, float, float], ...]:
        """Drift and range by name, each with its limit."""
        return ("drift", self.drift, self.greatest_drift), ("range", self.range, self.greatest_range)


@dataclass(frozen=True)
class SteadyWindow:
    """A window of readings, and whether it is steady. Made by `steady_window` and `SteadyWatch`.

    Attributes
    ----------
    steady : bool
    why : {"none", "running", "window", "drift", "range"}
        What stands against it.
    signal : str
        Which drifts or ranges too far, the first in order; else empty.
    text : str
        In words.
    begin, end : float or numpy.datetime64
        As the times were given.
    samples : int
    wait : float
        How many seconds longer at least, as far as the window can tell; 0 if it is steady.
    signals : dict
        A `SignalSpan` for each signal that was watched.
    notes : tuple of str
        Columns of a log that were not read, and what the window was not judged by for want of a humidity.
    """

    steady: bool
    why: str
    signal: str
    text: str
    begin: "float | np.datetime64"
    end: "float | np.datetime64"
    samples: int
    wait: float
    signals: dict[str, SignalSpan] = field(repr=False)
    notes: tuple[str, ...] = field(default=(), repr=False)

    def report(self, units: Literal["IP", "SI"]) -> str:
        """In words, with each signal in the units it was asked in."""
        if self.steady:
            lines = [f"steady from {_moment(self.begin)} to {_moment(self.end)}, {self.samples} readings"]
        else:
            lines = [f"not steady: {self.text}; wait at least {np.ceil(self.wait / 60):.0f} min"]
        for name, of in self.signals.items():
            kind = _core.signal_kinds[name]
            limits = [
                f"{what} {_brief(x)}" + (f" (at most {_brief(most)})" if most < float("inf") else "")
                for what, x, most in of.told()
            ]
            lines.append(f"  {name}: mean {_brief(of.mean)} {_units.unit_of(units, kind)}, {', '.join(limits)}")
        lines += [f"  - {note}" for note in self.notes]
        return "\n".join(lines) + "\n"


@dataclass(frozen=True)
class SeriesMean:
    """The mean of readings that follow each other. Made by `series_mean`.

    Attributes
    ----------
    value : float
    standard, degrees_of_freedom : float
        Standard uncertainty of the mean and its effective degrees of freedom, with the instrument's own part where given.
    u95 : float
        Half of the 95 % interval, by Student's t.
    type_a : float
        The part of the standard uncertainty that the readings tell.
    effective_samples : float
        As many independent readings would tell as much.
    deviation : float
        Experimental standard deviation of one reading.
    samples : int
    """

    value: float
    standard: float
    degrees_of_freedom: float
    u95: float
    type_a: float
    effective_samples: float
    deviation: float
    samples: int


@dataclass(frozen=True)
class ProbeComparison:
    """Two probes side by side, in the caller's units. Made by `compare_probes`.

    Attributes
    ----------
    offset, standard, degrees_of_freedom, u95 : float
        Second less first, with its uncertainty.
    drift, drift_standard : float
        Of the difference, over the whole comparison.
    log_correlation : float
        Whether both saw the same air move; NaN where one never moves.
    own : float
        Standard uncertainty left between the two once the advice is followed.
    correlation : float
        The shared part of their errors, as ``side_by_side: {with: ..., correlation: ...}`` of a visit takes it; NaN where the
        standard uncertainty of the first is not given, or the advice is to replace.
    advice : {"accept", "apply", "replace"}
    finding : {"agree", "apart", "too_short", "drifts", "out_of_tolerance"}
    text : str
        In words.
    """

    offset: float
    standard: float
    degrees_of_freedom: float
    u95: float
    drift: float
    drift_standard: float
    log_correlation: float
    own: float
    correlation: float
    advice: str
    finding: str
    text: str


@dataclass(frozen=True)
class DuctMean:
    """The mean over a stratified duct. Made by `duct_mean`.

    Attributes
    ----------
    value, spread : float
        Spread is greatest less least.
    standard, degrees_of_freedom, u95 : float
    probes : int
    few : bool
        Fewer than the five that a stratified duct takes (common practice, no source).
    """

    value: float
    spread: float
    standard: float
    degrees_of_freedom: float
    u95: float
    probes: int
    few: bool


@dataclass(frozen=True)
class LogFlaw:
    """A reading that is missing or was left out, with its place in the file."""

    line: int
    column: int
    text: str
    problem: str

    def __str__(self) -> str:
        return f"line {self.line}, column {self.column}: {self.problem}" + (f": '{self.text}'" if self.text else "")


class Log:
    """What loggers kept. Made by `read_log` and `align_logs`.

    Attributes
    ----------
    name : str
        Of the file, or of the files.
    units : {"IP", "SI"}
    times : numpy.ndarray
        Of datetime64 where the log has dates, else seconds from midnight or from its own start.
    columns : dict
        An array for each column of numbers, such as ``"return_dry_bulb"``, in the caller's units; NaN where a reading is missing.
    words : dict
        A list for each column of words, such as ``"stage"``.
    flaws : tuple of LogFlaw
    preamble : str
        What stood above the heading.
    """

    name: str
    units: Literal["IP", "SI"]
    times: NDArray[Any]
    columns: dict[str, NDArray[np.float64]]
    words: dict[str, list[str]]
    flaws: tuple[LogFlaw, ...]
    preamble: str

    def __init__(self, data: Any, units: Literal["IP", "SI"]) -> None:
        told = data.told()
        self._data = data
        self.units = units
        self.name, self.preamble = told["name"], told["preamble"]
        self.times = (told["times"] * 1e6).round().astype("datetime64[us]") if told["dated"] else told["times"]
        self.columns = {name: self._in_units(name, *column) for name, column in told["series"].items()}
        self.words = told["words"]
        self.flaws = tuple(LogFlaw(*flaw) for flaw in told["flaws"])

    def _in_units(self, name, values, unit, dimension):
        kind = "static_pressure" if name == "external_static" else _KINDS.get(dimension)
        return values if kind is None else _units.from_si(self.units, kind, values)

    def steady_window(self, **question: _Argument) -> SteadyWindow:
        """As `offnominal.steady_window`, with the columns of this log as its readings, `stage` and `defrost`.

        Other columns are named in the window's notes.

        Parameters
        ----------
        **question
            The other arguments of `offnominal.steady_window`.

        Returns
        -------
        SteadyWindow

        Raises
        ------
        InputError
            For a log without a return or a supply dry bulb.
        """
        words = {name: self.words[name] for name in _WORDS if name in self.words}
        known = {name: values for name, values in self.columns.items() if name in _READINGS}
        if missing := [_display.words(name) for name in ("return_dry_bulb", "supply_dry_bulb") if name not in known]:
            found = ", ".join(map(_display.words, (*self.columns, *self.words))) or "none"
            accepted = ", ".join(map(_display.words, (*_READINGS, *_WORDS)))
            raise InputError(
                f"{self.name}: no column {' and no '.join(missing)}; it has: {found}; accepted: {accepted}, with units"
            )
        window = steady_window(self.times, units=self.units, **known, **words, **question)
        return replace(window, notes=(*self.not_read(), *self._left_out(), *window.notes))

    def _left_out(self) -> list[str]:
        told, count = 10, len(self.flaws)
        notes = [f"missing or left out: {flaw}" for flaw in self.flaws[:told]]
        return notes + (
            [f"missing or left out: {count} readings or rows, {count - told} of them not told here"] if count > told else []
        )

    def not_read(self) -> list[str]:
        """The columns that `steady_window` does not read, in words, each with the heading that may have been meant.

        Returns
        -------
        list of str
        """
        notes = []
        for name in (*self.columns, *self.words):
            if name not in (_WORDS if name in self.words else _READINGS):
                near = _texts.nearest(name.replace(" ", "_"), [*_READINGS, *_WORDS], surely=True)
                meant = f"; is '{_display.words(near)}' meant{', with its unit' if near in _READINGS else ''}?" if near else ""
                notes.append(f"column '{_display.words(name)}' was not read{meant}")
        return notes

    def mean(self, column: str, window: SteadyWindow | tuple[Any, Any], *, instrument: float = 0.0) -> SeriesMean:
        """The mean of a column over a window, as `series_mean` has it, without what is missing.

        Parameters
        ----------
        column : str
        window : SteadyWindow or (begin, end)
            Both ends count.
        instrument : float
            Standard uncertainty of the instrument itself (type B), in the unit of the column, or of a difference of it.

        Returns
        -------
        SeriesMean
        """
        if column not in self.columns:
            raise KeyError(f"{column} is no column of {self.name}; accepted: {', '.join(self.columns)}")
        begin, end = (window.begin, window.end) if isinstance(window, SteadyWindow) else window
        values = self.columns[column]
        return series_mean(values[(self.times >= begin) & (self.times <= end) & ~np.isnan(values)], instrument=instrument)

    def __repr__(self):
        return f"<Log: {self.name}, {len(self.times)} rows: {', '.join([*self.columns, *self.words])}>"


def read_log(
    path: str | os.PathLike[str],
    *,
    units: Literal["IP", "SI"],
    date_order: Literal["month first", "day first"] | None = None,
    flaws: Literal["refuse", "leave out"] = "refuse",
    clock_ahead: float = 0.0,
) -> Log:
    """A logger's CSV file.

    The heading names each column with its unit, ``return dry bulb (degF)``; a column without one is kept as words. Times stand in a
    column ``time``, ``timestamp`` or ``date time``, or in ``date`` and ``time``, as ISO 8601 and clock times, or as numbers under
    ``time (s)``.

    Parameters
    ----------
    path : str or os.PathLike
    units : {"IP", "SI"}
        Of the columns that are given back.
    date_order : {"month first", "day first"}, optional
        Of dates such as ``7/14/2026``; without it they are refused.
    flaws : {"refuse", "leave out"}
        What to do with times that do not rise and readings that cannot be.
    clock_ahead : float
        Seconds by which the logger's clock is ahead of that of the others.

    Returns
    -------
    Log

    Raises
    ------
    InputError
        With line and column.
    """
    _units.check_word("units", units)
    date_order = "" if date_order is None else date_order
    _units.check_word("date_order", date_order, optional=True)
    _units.check_word("flaws", flaws)
    path = _texts.path_of(path)
    try:
        return Log(_core.load_log(path, date_order, flaws, _arrays.one("clock_ahead", None, clock_ahead)), units)
    except InputError as error:
        if error.problem != "the file is empty":  # the one reader of files knows YAML's first line only
            raise
        accepted = "a heading such as: time (s),return dry bulb (degF),..."
        raise InputError(f"{path}: {error.problem}; accepted: {accepted}", path, 0, 0, error.problem, "", accepted) from None


def align_logs(logs: Iterable[Log], *, longest_gap: float = 180.0) -> Log:
    """Logs of several loggers as one: the rows of the one that reads least often, while all of them ran.

    Parameters
    ----------
    logs : sequence of Log
    longest_gap : float
        Seconds; numbers are not interpolated across a longer gap.

    Returns
    -------
    Log
        In the units of the first.

    Raises
    ------
    InputError
        For logs without a time in common, and for a column that two of them have.
    """
    logs = list(logs)
    data = _core.aligned([log._data for log in logs], _arrays.one("longest_gap", None, longest_gap))
    return Log(data, logs[0].units)


def series_mean(readings: _Argument, *, instrument: float = 0.0) -> SeriesMean:
    """The mean of readings that follow each other evenly in time, with what their memory leaves of their number.

    Parameters
    ----------
    readings : array_like
    instrument : float
        Standard uncertainty of the instrument itself (type B), in the unit of the readings.

    Returns
    -------
    SeriesMean

    Raises
    ------
    InputError
        For fewer than two readings, and one that is not finite.
    """
    told = _core.series_mean(_flat("readings", None, readings))
    type_a = told["standard"]
    standard, degrees = _core.combined(
        [(type_a, told["degrees_of_freedom"]), (_arrays.one("instrument", None, instrument), float("inf"))]
    )
    del told["standard"], told["degrees_of_freedom"]
    u95 = _core.coverage_factor(degrees, 0.95) * standard
    return SeriesMean(standard=standard, degrees_of_freedom=degrees, u95=u95, type_a=type_a, **told)


def coverage_factor(degrees_of_freedom: float, probability: float = 0.95) -> float:
    """The factor by which a standard uncertainty covers a probability: Student's t.

    Parameters
    ----------
    degrees_of_freedom : float
    probability : float

    Returns
    -------
    float
    """
    return _core.coverage_factor(*_arrays.ones(degrees_of_freedom=degrees_of_freedom, probability=probability))


def steady_window(
    times: _Argument,
    *,
    units: Literal["IP", "SI"],
    return_dry_bulb: _Argument,
    supply_dry_bulb: _Argument,
    return_wet_bulb: _Argument = None,
    return_relative_humidity: _Argument = None,
    return_humidity_ratio: _Argument = None,
    return_dew_point: _Argument = None,
    supply_wet_bulb: _Argument = None,
    supply_relative_humidity: _Argument = None,
    supply_humidity_ratio: _Argument = None,
    supply_dew_point: _Argument = None,
    outdoor_dry_bulb: _Argument = None,
    external_static: _Argument = None,
    power: _Argument = None,
    stage: _Argument = None,
    defrost: _Argument = None,
    changes: _Argument = (),
    elevation: _Argument = None,
    pressure: _Argument = None,
    mode: Literal["cooling", "heating"] = "cooling",
    window: float = 600.0,
    valve_swing: float = 0.0,
    least_running: float = 900.0,
    longest_gap: float = 180.0,
    running: float = 0.0,
) -> SteadyWindow:
    """The earliest steady window of a run, or the last window and how long to wait.

    Split, enthalpy difference and supply humidity ratio, and whatever else is given, may drift and range no further than their
    limits over the window, which begins at least `least_running` after the last start or change. What is not given is not judged.

    Parameters
    ----------
    times : array_like
        Seconds, or datetimes; rising.
    units : {"IP", "SI"}
    return_dry_bulb, supply_dry_bulb : array_like
    return_wet_bulb, return_relative_humidity, return_humidity_ratio, return_dew_point : array_like
        At most one. Relative humidity is a fraction.
    supply_wet_bulb, supply_relative_humidity, supply_humidity_ratio, supply_dew_point : array_like
        Likewise.
    outdoor_dry_bulb, external_static, power : array_like
    stage : array_like of str
        Another word is a change.
    defrost : array_like of bool
    changes : array_like
        Times at which the machine started or was changed.
    elevation, pressure : float
        One or both: elevation of the site, and station pressure, which then counts and which the elevation checks.
    mode : {"cooling", "heating"}
    window, valve_swing, least_running, longest_gap : float
        Seconds: least span; the period in which the metering valve swings (three swings lengthen the window; see `valve_swing`);
        running before the window; the longest pause that is no gap.
    running : float
        Seconds that the machine had run unchanged before the first reading.

    Returns
    -------
    SteadyWindow

    Raises
    ------
    InputError
        For times that do not rise, and a state of air that cannot be, by its row.
    """
    given = {name: value for name, value in locals().items() if name in _READINGS and value is not None}
    question = _question(units, elevation, pressure, mode, window, valve_swing, least_running, longest_gap, running)
    seconds, back = _seconds("times", times)
    series = [(name, _row_each(name, _to_si(units, name, value), seconds)) for name, value in given.items()]
    words = []
    if stage is not None:
        words.append(("stage", [str(word) for word in np.asarray(stage).ravel()]))
    if defrost is not None:
        words.append(("defrost", [_flag_word(flag) for flag in np.asarray(defrost).ravel()]))
    for name, column in words:
        _row_each(name, column, seconds)
    told = _core.steady_window(_core.LogData(seconds, series, words), *question, _seconds("changes", changes)[0])
    return replace(_window(units, told, back), notes=_not_judged(given) if mode == "cooling" else ())


def _not_judged(given):
    """What a cooling run is not judged by, for want of a humidity among the readings, in words."""
    humid = {name.partition("_")[0] for name in given if not name.endswith("dry_bulb")}
    lacks = {name: [side for side in sides if side not in humid] for name, sides in _JUDGED_BY_HUMIDITY.items()}
    return tuple(
        f"not judged by {_display.words(name)}: no humidity of the {' or the '.join(sides)} air"
        for name, sides in lacks.items()
        if sides
    )


class SteadyWatch:
    """Asks "steady yet?" of a run as it happens: what `steady_window` says, reading by reading, at the same cost for each.

    Parameters
    ----------
    units : {"IP", "SI"}
    elevation, pressure, mode, window, valve_swing, least_running, longest_gap, running
        As for `steady_window`.

    Examples
    --------
    >>> watch = SteadyWatch(units="IP", elevation=0, running=1800)
    >>> watch.add(0.0, return_dry_bulb=76, supply_dry_bulb=57, supply_relative_humidity=0.92)
    False
    """

    def __init__(
        self,
        *,
        units: Literal["IP", "SI"],
        elevation: _Argument = None,
        pressure: _Argument = None,
        mode: Literal["cooling", "heating"] = "cooling",
        window: float = 600.0,
        valve_swing: float = 0.0,
        least_running: float = 900.0,
        longest_gap: float = 180.0,
        running: float = 0.0,
    ) -> None:
        question = _question(units, elevation, pressure, mode, window, valve_swing, least_running, longest_gap, running)
        self._units = units
        self._watch = _core.Watch(*question)

    def add(self, time: float, **readings: _Argument) -> bool:
        """Take a reading; whether the window that ends with it is steady.

        Parameters
        ----------
        time : float
            Seconds, after the reading before.
        **readings : float
            Those of `steady_window`. The first reading says what is watched; later NaN stands for what is missing.
        """
        unknown = set(readings) - set(_READINGS)
        if unknown:
            raise TypeError(f"{sorted(unknown)[0]} is no reading; accepted: {', '.join(_READINGS)}")
        units = self._units
        return self._watch.add(
            _arrays.one("time", None, time),
            [(name, [_to_si(units, name, value, _arrays.one)]) for name, value in readings.items()],
        )

    def change(self, time: float) -> None:
        """The machine started or was changed at this time, or is defrosting."""
        self._watch.change(_arrays.one("time", None, time))

    @property
    def window(self) -> SteadyWindow:
        """The `SteadyWindow` that ends at the latest reading, with how long to wait."""
        return _window(self._units, self._watch.window(), float)


def valve_swing(times: _Argument, readings: _Argument, least: float) -> float:
    """The period in seconds in which a metering valve swings, from crest to crest of readings; 0 with fewer than three crests.

    Parameters
    ----------
    times : array_like
        Seconds, or datetimes; rising.
    readings : array_like
        Of supply dry bulb, superheat or the like.
    least : float
        How far a crest stands above the troughs on both sides, in the unit of the readings.
    """
    return _core.valve_swing(_seconds("times", times)[0], _flat("readings", None, readings), _arrays.one("least", None, least))


def compare_probes(
    times: _Argument,
    first: _Argument,
    second: _Argument,
    *,
    units: Literal["IP", "SI"],
    kind: str = "temperature",
    agreement: float | None = None,
    first_standard: float | None = None,
    second_standard: float | None = None,
) -> ProbeComparison:
    """Two probes held side by side in one air stream: how far they are apart, and what to do about it.

    Parameters
    ----------
    times : array_like
        Seconds, or datetimes; rising.
    first, second : array_like
    units : {"IP", "SI"}
    kind : str
        ``"temperature"``, ``"ratio"`` (relative humidity as a fraction), or another kind of number together with `agreement`.
    agreement : float, optional
        Greatest offset of two that agree. If left out 0.3 delta_degF, or 1 point of relative humidity (common practice, no source).
    first_standard, second_standard : float, optional
        Standard uncertainty of each probe, as a difference. Where both are given, an offset beyond both is out of tolerance.

    Returns
    -------
    ProbeComparison

    Raises
    ------
    InputError
        For fewer than ten readings, lists of unlike length, times that do not rise.
    """
    si = _units.si_of(units)
    _units.check_word("kind", kind, tuple(_units.UNITS))
    change = {"temperature": "temperature_difference", "enthalpy": "enthalpy_difference"}.get(kind, kind)

    def column(name, values):
        return _units.to_si(units, kind, _flat(name, _units.unit_of(units, kind), values))

    told = _core.compare_probes(
        _seconds("times", times)[0],
        column("first", first),
        column("second", second),
        si(change, "agreement", agreement),
        kind if kind in ("temperature", "ratio") else "power",
        si(change, "first_standard", first_standard),
        si(change, "second_standard", second_standard),
    )

    for name in ("offset", "standard", "drift", "drift_standard", "own"):
        told[name] = _units.from_si(units, change, told[name])
    told["u95"] = _core.coverage_factor(told["degrees_of_freedom"], 0.95) * told["standard"]
    return ProbeComparison(**{one.name: told[one.name] for one in fields(ProbeComparison)})


def duct_mean(
    readings: _Argument, velocities: _Argument = None, *, velocity_uncertainty: float = 0.0, shared: float = 0.0
) -> DuctMean:
    """The mean of what probes at different places of one cross-section read.

    Parameters
    ----------
    readings : array_like
    velocities : array_like, optional
        Of the air at each probe, in any unit: each reading counts by its share.
    velocity_uncertainty : float
        Standard uncertainty of each velocity beside the others, as a share of it.
    shared : float
        Standard uncertainty that all probes share, in the unit of the readings.

    Returns
    -------
    DuctMean

    Raises
    ------
    InputError
        For fewer than two probes, and velocities that are not above 0.
    """
    weights = [] if velocities is None else _flat("velocities", None, velocities)
    doubts = _arrays.ones(velocity_uncertainty=velocity_uncertainty, shared=shared)
    told = _core.duct_mean(_flat("readings", None, readings), weights, *doubts)
    return DuctMean(u95=_core.coverage_factor(told["degrees_of_freedom"], 0.95) * told["standard"], **told)


def calibration_note(instrument: str, *, calibrated: Any, months: int, on: Any) -> str:
    """What a report says of a calibration that has expired or soon will; empty where it holds for the next 30 days.

    Parameters
    ----------
    instrument : str
    calibrated, on : str or datetime.date
        Days of the calibration and of the visit, ``"2026-06-01"``.
    months : int
        How long it holds, 1 to 120.
    """
    _units.check_whole("months", months, 1, 120)
    return _core.calibration_note(str(on), str(calibrated), months, str(instrument))


def _question(units, elevation, pressure, mode, window, valve_swing, least_running, longest_gap, running):
    _units.check_word("mode", mode)
    si, (elevation, pressure) = _units.si_of(units), _units.site(elevation, pressure)
    site = si("length", "elevation", elevation), si("pressure", "pressure", pressure)
    *times, running = _arrays.ones(
        window=window, valve_swing=valve_swing, least_running=least_running, longest_gap=longest_gap, running=running
    )
    return *site, _core.SteadyCriteria(mode, *times), running


def _to_si(units, name, value, take=_arrays.number):
    kind = _READINGS[name]
    return _units.to_si(units, kind, take(name, _units.unit_of(units, kind), value))


def _flat(name, unit, values):
    return np.atleast_1d(np.asarray(_arrays.number(name, unit, values), np.float64)).ravel()


def _row_each(name, values, times):
    rows = np.ravel(values) if isinstance(values, np.ndarray) else np.atleast_1d(values)
    if len(rows) != len(times):
        raise ValueError(f"{name} has {len(rows)} readings, times {len(times)}; one at each time")
    return rows


def _seconds(name, times):
    """Times as seconds, and how to give one back as it was given."""
    array = np.asarray(getattr(times, "values", times))
    if array.dtype.kind == "O" and array.size and hasattr(array.flat[0], "isoformat"):
        array = array.astype("datetime64[us]")
    if array.dtype.kind != "M":
        return _flat(name, None, times if len(array.ravel()) else []), float
    nanoseconds = array.astype("datetime64[ns]").ravel()
    if np.isnat(nanoseconds).any():
        raise ValueError(f"{name}: a time is missing at row {int(np.isnat(nanoseconds).argmax()) + 1}")
    return nanoseconds.astype(np.int64) / 1e9, lambda seconds: np.datetime64(round(seconds * 1e6), "us")


def _moment(time):
    return f"{time:g} s" if isinstance(time, float) else str(time).removesuffix(".000000")


def _brief(number):
    return f"{number:.4g}" if abs(number) < 1000 else f"{number:.0f}"


def _flag_word(flag):
    return {True: "1", False: "0"}.get(flag, str(flag)) if isinstance(flag, (bool, np.bool_, int, np.integer)) else str(flag)


def _window(units, told, back):
    signals = {}
    for name, (kind, change, mean, *changes) in told.pop("signals").items():
        signals[name] = SignalSpan(_units.from_si(units, kind, mean), *(_units.from_si(units, change, x) for x in changes))
    begin, end = back(told.pop("begin")), back(told.pop("end"))
    return SteadyWindow(steady=told["why"] == "none", begin=begin, end=end, signals=signals, **told)


def add_command(commands: Any, number: Any) -> None:
    """Add ``offnominal steady`` to the command; `number` reads one."""
    steady = commands.add_parser("steady", help="the earliest steady window of a log, or how long to wait")
    steady.add_argument("log", nargs="+", help="CSV files of loggers, on one clock")
    steady.add_argument("--units", choices=_core.words["units"], required=True)
    steady.add_argument("--elevation", type=number, help="ft or m")
    steady.add_argument("--pressure", type=number, help="psia or Pa, station pressure; one of the two or both")
    steady.add_argument("--mode", choices=_core.words["mode"], default="cooling")
    steady.add_argument("--date-order", choices=_core.words["date_order"], help="of dates such as 7/14/2026")
    steady.add_argument("--flaws", choices=_core.words["flaws"], default="refuse", help="what to do with readings that cannot be")
    steady.add_argument("--valve-swing", type=number, default=0.0, help="period of the metering valve's swings, in s")
    steady.add_argument("--running", type=number, default=0.0, help="s that the machine had run before the log begins")


def run_command(options: argparse.Namespace) -> Result:
    """Answer ``offnominal steady``."""
    logs = [read_log(path, units=options.units, date_order=options.date_order, flaws=options.flaws) for path in options.log]
    log = logs[0] if len(logs) == 1 else align_logs(logs)
    question = {name: getattr(options, name) for name in ("elevation", "pressure", "mode", "valve_swing", "running")}
    window = log.steady_window(**question)
    for note in log.not_read() if options.form else ():  # in words the report says it
        print(f"offnominal: {log.name}: {note}", file=sys.stderr)
    signals = {name: {"signal": name, **_results.fields_of(of)} for name, of in window.signals.items()}

    def table():
        about = {"steady": window.steady, "why": window.why, "begin": _moment(window.begin), "end": _moment(window.end)}
        rows = []
        for name, row in signals.items():
            kind = _core.signal_kinds[name]
            limits = {name: x for name, x in row.items() if name.startswith("greatest_") and math.isinf(x)}
            of = {"unit": _units.unit_of(options.units, kind), **dict.fromkeys(limits)}  # without a limit: empty
            rows.append({**about, **row, **of, "notes": window.notes})
        return _results.records(rows)

    return _results.Result(
        lambda: window.report(options.units),
        lambda: {"told": "SteadyWindow", "units": options.units, **_results.fields_of(window), "signals": signals},
        table,
    )
