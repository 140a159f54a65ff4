"""Settings of every Python test: the same examples on every run, and no clock. What a run may skip. And what several folders need."""

import os

import numpy as np
import pytest
from hypothesis import settings

settings.register_profile("same", derandomize=True, database=None, deadline=None)
settings.load_profile("same")


def pytest_collection_modifyitems(items):
    """First the file that takes longest, so that no processor waits for it at the end (run.sh keeps this order)."""
    items.sort(key=lambda item: item.path.parent.name != "web")


# How the reasons begin for which the whole run (tests/run.sh) may skip a test, each with why that is so. What skips for any other fails
# there: a program or a library that is missing, which the run was to install.
MAY_BE_SKIPPED = {
    "this processor does not run ": "an instruction set, such as AVX-512, comes with the machine",
    "this processor has no ": "likewise",
    "not an x86-64 machine": "asks for instruction sets of that one",
    "a minute of a processor": "asked for by hand: OFFNOMINAL_EVERY_PLATFORM",
    "no sources of yaml-cpp": "not every archive has sources; the run says then what goes without",
}


def _unless_it_may(report):
    if "OFFNOMINAL_HOLD_SKIPS" in os.environ and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2].removeprefix("Skipped: ")
        if not reason.startswith(tuple(MAY_BE_SKIPPED)):
            report.outcome = "failed"
            report.longrepr = f"skipped: {reason}; the whole run skips nothing but what MAY_BE_SKIPPED lists (tests/conftest.py)"


@pytest.hookimpl(hookwrapper=True, tryfirst=True)
def pytest_runtest_makereport():
    _unless_it_may((yield).get_result())


@pytest.hookimpl(hookwrapper=True, tryfirst=True)
def pytest_make_collect_report():
    """A file that is skipped as a whole, of which a run on several processors says nothing."""
    _unless_it_may((yield).get_result())


@pytest.fixture
def watched():
    """A way to view an array, and a list that grows whenever such a view is put into words."""
    words = []

    class Watched(np.ndarray):
        def __repr__(self):
            words.append("an array")
            return ""

        __str__ = __repr__

    return lambda array: array.view(Watched), words
