"""What a split air conditioner should deliver, what it does deliver, and the proof.

    import offnominal as on

    system = on.load("tables/demo/alder.yaml")
    expected = system.expect(units="IP", ...)
    delivered = on.deliver(units="IP", ...)
    proof = system.prove("tables/demo/library-visit.yaml")

It estimates; it never controls or certifies.
"""

import importlib

from offnominal._core import __version__

# Where each name stands. A module is imported when a name in it, or the module itself, is first asked of the package; for type checkers
# _stubs.py writes it into __init__.pyi.
_HOMES = {
    "_answers": "DeliveredBatch ExpectedBatch",
    "_audit": "PageAudit audit_file",
    "_between": "Flip Revised Season Seasons revised seasons",
    "_card": "TargetCard",
    "_causes": "Causes LikelyCause NextCheck",
    "_choose": "Choice Choices choose",
    "_collation": "Collation collate",
    "_core": "Delivered Expected",
    "_demo": "demo_file",
    "_field": "deliver",
    "_fleet": "prove_in_duckdb prove_many",
    "_grid": "Grid",
    "_logs": (
        "DuctMean Log LogFlaw ProbeComparison SeriesMean SignalSpan SteadyWatch SteadyWindow align_logs "
        "calibration_note compare_probes coverage_factor duct_mean read_log series_mean steady_window valve_swing"
    ),
    "_pages": "Page",
    "_plan": "Plan PlannedChance",
    "_proof": "Change Proof Settling",
    "_record": "Record RecordChange read_record",
    "_solve": "Members Solutions",
    "_survey": "Survey survey",
    "_system": "System load parse",
    "_transcription": "Transcription transcribe",
    "_visit": "Visit",
    "_what_if": "WhatIf",
    "_year": "Year",
    "errors": "Error InputError MissingFile Refused",
}
_MODULES = ("air", "airflow", "errors", "pictures", "second_capacity", "standard205")
_HOME = {name: home for home, names in _HOMES.items() for name in names.split()}

__all__ = sorted(["__version__", *_MODULES, *_HOME])


def __getattr__(name):
    if name in _HOME:
        found = getattr(importlib.import_module(f"offnominal.{_HOME[name]}"), name)
    elif name in _MODULES or name in _HOMES:
        found = importlib.import_module(f"offnominal.{name}")
    else:
        raise AttributeError(f"module 'offnominal' has no attribute {name!r}")
    globals()[name] = found
    return found


def __dir__():
    return sorted({*globals(), *__all__})
