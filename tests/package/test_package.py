"""The Python package as a package: version, exceptions, type stubs, docstrings."""

import ast
import copy
import inspect
import pickle
import re
from pathlib import Path

import pytest

import offnominal
from offnominal import _core

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = Path(offnominal.__file__).parent


def test_version_is_the_header_s():
    header = (CHECKOUT / "include/offnominal/version.hpp").read_text(encoding="utf-8")
    assert offnominal.__version__ == ".".join(re.findall(r"#define OFFNOMINAL_VERSION_\w+ (\d+)", header))


REFUSED = offnominal.Refused("outdoor dry bulb 130 degF is outside 65..115 degF", why="outside",
                             about="outdoor_dry_bulb", axis=0, value=54.4, lower=18.3, upper=46.1)
INPUT_ERROR = offnominal.InputError("alder.yaml:3:9: unknown unit", file="alder.yaml", line=3, column=9,
                                    problem="unknown unit", text="tons", accepted="ton")


@pytest.mark.parametrize("error", [REFUSED, INPUT_ERROR], ids=lambda error: type(error).__name__)
@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda e: pickle.loads(pickle.dumps(e))])
def test_exceptions_travel_with_their_fields(error, again):
    other = again(error)
    assert type(other) is type(error) and str(other) == str(error) and vars(other) == vars(error)
    assert isinstance(other, offnominal.Error) and isinstance(other, ValueError)


def public(namespace):
    """Name and object of everything public in a module or class, and in what that holds."""
    for name, value in vars(namespace).items():
        if not name.startswith("_"):
            yield f"{namespace.__name__}.{name}", value
            if inspect.isclass(value) or inspect.ismodule(value):
                yield from public(value)
