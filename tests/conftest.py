"""Settings of every Python test: the same examples on every run, and no clock. And what several folders need."""

import numpy as np
import pytest
from hypothesis import settings

settings.register_profile("same", derandomize=True, database=None, deadline=None)
settings.load_profile("same")


def pytest_collection_modifyitems(items):
    """First the file that takes longest, so that no processor waits for it at the end (run.sh keeps this order)."""
    items.sort(key=lambda item: item.path.parent.name != "web")


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
