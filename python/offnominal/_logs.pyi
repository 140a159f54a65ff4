import argparse
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, Literal, TypeAlias
import os

import numpy as np
from numpy.typing import NDArray
from offnominal._results import Result

_Argument: TypeAlias = Any  # a number, an array, or a Pint quantity

@dataclass(frozen=True)
class SignalSpan:
    mean: float
    drift: float
    range: float
    greatest_drift: float
    greatest_range: float
    def told(self) -> tuple[tuple[str, float, float], ...]: ...

@dataclass(frozen=True)
class SteadyWindow:
    steady: bool
    why: str
    signal: str
    text: str
    begin: float | np.datetime64
    end: float | np.datetime64
    samples: int
    wait: float
    signals: dict[str, SignalSpan] = field(repr=False)
    notes: tuple[str, ...] = field(default=(), repr=False)
    def report(self, units: Literal["IP", "SI"]) -> str: ...

@dataclass(frozen=True)
class SeriesMean:
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
    value: float
    spread: float
    standard: float
    degrees_of_freedom: float
    u95: float
    probes: int
    few: bool

@dataclass(frozen=True)
class LogFlaw:
    line: int
    column: int
    text: str
    problem: str

class Log:
    name: str
    units: Literal["IP", "SI"]
    times: NDArray[Any]
    columns: dict[str, NDArray[np.float64]]
    words: dict[str, list[str]]
    flaws: tuple[LogFlaw, ...]
    preamble: str
    def __init__(self, data: Any, units: Literal["IP", "SI"]) -> None: ...
    def mean(self, column: str, window: SteadyWindow | tuple[Any, Any], *, instrument: float = 0.0) -> SeriesMean: ...
    def steady_window(self, **question: _Argument) -> SteadyWindow: ...
    def not_read(self) -> list[str]: ...

def read_log(
    path: str | os.PathLike[str],
    *,
    units: Literal["IP", "SI"],
    date_order: Literal["month first", "day first"] | None = None,
    flaws: Literal["refuse", "leave out"] = "refuse",
    clock_ahead: float = 0.0,
) -> Log: ...
def align_logs(logs: Iterable[Log], *, longest_gap: float = 180.0) -> Log: ...
def series_mean(readings: _Argument, *, instrument: float = 0.0) -> SeriesMean: ...
def coverage_factor(degrees_of_freedom: float, probability: float = 0.95) -> float: ...
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
) -> SteadyWindow: ...

class SteadyWatch:
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
    ) -> None: ...
    def add(self, time: float, **readings: _Argument) -> bool: ...
    def change(self, time: float) -> None: ...
    @property
    def window(self) -> SteadyWindow: ...

def valve_swing(times: _Argument, readings: _Argument, least: float) -> float: ...
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
) -> ProbeComparison: ...
def duct_mean(
    readings: _Argument, velocities: _Argument = None, *, velocity_uncertainty: float = 0.0, shared: float = 0.0
) -> DuctMean: ...
def calibration_note(instrument: str, *, calibrated: Any, months: int, on: Any) -> str: ...
def add_command(commands: Any, number: Any) -> None: ...
def run_command(options: argparse.Namespace) -> Result: ...
