"""What a split air conditioner should deliver, what it does deliver, and the proof.

    import offnominal as on

    system = on.load("tables/demo/alder.yaml")
    expected = system.expect(units="IP", ...)
    delivered = on.deliver(units="IP", ...)
    proof = system.prove("tables/demo/library-visit.yaml")

It estimates; it never controls or certifies.
"""

from offnominal import air, airflow, errors, second_capacity, standard205
from offnominal._audit import PageAudit, audit_file
from offnominal._answers import DeliveredBatch, ExpectedBatch
from offnominal._card import TargetCard
from offnominal._between import Flip, Revised, Season, revised, seasons
from offnominal._causes import Causes, LikelyCause, NextCheck
from offnominal._choose import Choice, Choices, choose
from offnominal._collation import Collation, collate
from offnominal._core import Delivered, Expected, __version__
from offnominal._demo import demo_file
from offnominal._field import deliver
from offnominal._fleet import prove_in_duckdb, prove_many
from offnominal._grid import Grid
from offnominal._logs import (
    DuctMean,
    Log,
    LogFlaw,
    ProbeComparison,
    SeriesMean,
    SignalSpan,
    SteadyWatch,
    SteadyWindow,
    align_logs,
    calibration_note,
    compare_probes,
    coverage_factor,
    duct_mean,
    read_log,
    series_mean,
    steady_window,
    valve_swing,
)
from offnominal._pages import Page
from offnominal._plan import Plan, PlannedChance
from offnominal._proof import Change, Proof, Settling
from offnominal._record import Record, RecordChange, read_record
from offnominal._solve import Members, Solutions
from offnominal._system import System, load, parse
from offnominal._survey import Survey, survey
from offnominal._transcription import Transcription, transcribe
from offnominal._visit import Visit
from offnominal._what_if import WhatIf
from offnominal._year import Year
from offnominal.errors import Error, InputError, MissingFile, Refused

__all__ = [
    "Causes",
    "Change",
    "Choice",
    "Choices",
    "Collation",
    "Delivered",
    "DeliveredBatch",
    "DuctMean",
    "Error",
    "Expected",
    "ExpectedBatch",
    "Flip",
    "Grid",
    "InputError",
    "LikelyCause",
    "Log",
    "LogFlaw",
    "Members",
    "MissingFile",
    "NextCheck",
    "Page",
    "PageAudit",
    "Plan",
    "PlannedChance",
    "ProbeComparison",
    "Proof",
    "Record",
    "RecordChange",
    "Refused",
    "Revised",
    "Season",
    "SeriesMean",
    "Settling",
    "SignalSpan",
    "Solutions",
    "SteadyWatch",
    "SteadyWindow",
    "Survey",
    "System",
    "TargetCard",
    "Transcription",
    "Visit",
    "WhatIf",
    "Year",
    "__version__",
    "air",
    "airflow",
    "align_logs",
    "audit_file",
    "calibration_note",
    "choose",
    "collate",
    "compare_probes",
    "coverage_factor",
    "deliver",
    "demo_file",
    "duct_mean",
    "errors",
    "load",
    "parse",
    "prove_in_duckdb",
    "prove_many",
    "read_log",
    "read_record",
    "revised",
    "seasons",
    "second_capacity",
    "series_mean",
    "standard205",
    "steady_window",
    "survey",
    "transcribe",
    "valve_swing",
]
