"""Results are values: immutable, and compared, hashed, copied and pickled by content."""

import copy
import pickle

import numpy as np
import pandas as pd
import pytest
import xarray as xr

import offnominal as on

GRID = dict(axes={"x": [0, 1, 3], "y": [10, 20]}, values=[[1, 2], [np.nan, 4], [5, 8]], outside={"y": "hold"},
            marks=[["printed", "printed"], ["blank", "printed"], ["inferred", "beyond_limit"]])
SERIES = pd.Series([20.0, np.nan], ["a", "b"])
ARRAY = xr.DataArray([20.0, np.nan], dims="t", coords={"t": [1, 2], "place": "roof"})


def air(dry_bulb=20.0, **more):
    return on.air.state(units="SI", dry_bulb=dry_bulb, relative_humidity=0.5, elevation=0.0, **more)


# Each value made twice, and one that is unlike it.
VALUES = {
    "grid": (lambda: on.Grid(**GRID), lambda: on.Grid(**{**GRID, "outside": "hold"})),
    "evaluated": (lambda: on.Grid(**GRID).evaluate([[0, 15], [5, 5]]), lambda: on.Grid(**GRID).evaluate([[0, 15], [6, 5]])),
    "labelled evaluated": (lambda: on.Grid(**GRID).evaluate((SERIES, 15)), lambda: on.Grid(**GRID).evaluate((SERIES.array, 15))),
    "air": (air, lambda: air(over="water")),
    "airs": (lambda: air([20.0, np.nan, 95.0]), lambda: air([20.0, np.nan])),
    "labelled airs": (lambda: air(SERIES), lambda: air(SERIES.rename({"b": "c"}))),
    "airs over dimensions": (lambda: air(ARRAY), lambda: air(ARRAY.assign_coords(t=[1, 3]))),
}


@pytest.fixture(params=VALUES)
def value(request):
    """A value, an equal one, and an unlike one."""
    make, other = VALUES[request.param]
    return make(), make(), other()


def test_values_compare_and_hash_by_content(value):
    one, same, other = value
    assert one == same and hash(one) == hash(same) and len({one, same}) == 1
    assert one != other and len({one, other}) == 2
    assert one != 1 and one != "value" and one is not None


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda x: pickle.loads(pickle.dumps(x))], ids=["copy", "deepcopy", "pickle"])
def test_copies_are_equal(value, again):
    one, same, other = value
    assert again(one) == same and again(one) != other
    assert repr(again(one)) == repr(same)


def test_values_do_not_change(value):
    one, same, _ = value
    with pytest.raises(AttributeError, match="does not change"):
        one.units = "IP"
    with pytest.raises(AttributeError, match="does not change"):
        one.anything = 1
    with pytest.raises(AttributeError, match="does not change"):
        del one.units
    for name in dir(one):
        found = None if name.startswith("__") else getattr(one, name)
        if isinstance(found, (np.ndarray, pd.Series, xr.DataArray)) and found.size:
            try:
                np.asarray(found)[...] = np.asarray(found).flat[-1]
            except ValueError:
                pass
    assert one == same


def test_values_keep_no_view_of_what_they_were_made_from():
    axis, numbers, points = np.array([0.0, 1.0, 3.0]), np.array([1.0, 2.0, 3.0]), np.array([[0.5], [2.0]])
    grid = on.Grid([axis], numbers)
    told = grid.evaluate(points)
    dry_bulb = np.array([20.0, 25.0])
    state = air(dry_bulb)
    before = grid([0.5]), told.values.tolist(), state.enthalpy.tolist()
    axis[:], numbers[:], points[:], dry_bulb[:] = 7.0, 7.0, 7.0, 7.0
    assert (grid([0.5]), told.values.tolist(), state.enthalpy.tolist()) == before
