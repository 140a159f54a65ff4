"""Written by _stubs.py, from the list in __init__.py."""

from . import air as air
from . import airflow as airflow
from . import errors as errors
from . import pictures as pictures
from . import second_capacity as second_capacity
from . import standard205 as standard205
from ._core import __version__ as __version__
from ._answers import DeliveredBatch as DeliveredBatch
from ._answers import ExpectedBatch as ExpectedBatch
from ._audit import PageAudit as PageAudit
from ._audit import audit_file as audit_file
from ._between import Flip as Flip
from ._between import Revised as Revised
from ._between import Season as Season
from ._between import Seasons as Seasons
from ._between import revised as revised
from ._between import seasons as seasons
from ._card import TargetCard as TargetCard
from ._causes import Causes as Causes
from ._causes import LikelyCause as LikelyCause
from ._causes import NextCheck as NextCheck
from ._choose import Choice as Choice
from ._choose import Choices as Choices
from ._choose import choose as choose
from ._collation import Collation as Collation
from ._collation import collate as collate
from ._core import Delivered as Delivered
from ._core import Expected as Expected
from ._demo import demo_file as demo_file
from ._field import deliver as deliver
from ._fleet import prove_in_duckdb as prove_in_duckdb
from ._fleet import prove_many as prove_many
from ._grid import Grid as Grid
from ._logs import DuctMean as DuctMean
from ._logs import Log as Log
from ._logs import LogFlaw as LogFlaw
from ._logs import ProbeComparison as ProbeComparison
from ._logs import SeriesMean as SeriesMean
from ._logs import SignalSpan as SignalSpan
from ._logs import SteadyWatch as SteadyWatch
from ._logs import SteadyWindow as SteadyWindow
from ._logs import align_logs as align_logs
from ._logs import calibration_note as calibration_note
from ._logs import compare_probes as compare_probes
from ._logs import coverage_factor as coverage_factor
from ._logs import duct_mean as duct_mean
from ._logs import read_log as read_log
from ._logs import series_mean as series_mean
from ._logs import steady_window as steady_window
from ._logs import valve_swing as valve_swing
from ._pages import Page as Page
from ._plan import Plan as Plan
from ._plan import PlannedChance as PlannedChance
from ._proof import Change as Change
from ._proof import Proof as Proof
from ._proof import Settling as Settling
from ._record import Record as Record
from ._record import RecordChange as RecordChange
from ._record import read_record as read_record
from ._solve import Members as Members
from ._solve import Solutions as Solutions
from ._survey import Survey as Survey
from ._survey import survey as survey
from ._system import System as System
from ._system import load as load
from ._system import parse as parse
from ._transcription import Transcription as Transcription
from ._transcription import transcribe as transcribe
from ._visit import Visit as Visit
from ._what_if import WhatIf as WhatIf
from ._year import Year as Year
from .errors import Error as Error
from .errors import InputError as InputError
from .errors import MissingFile as MissingFile
from .errors import Refused as Refused

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
    "Seasons",
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
    "pictures",
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
