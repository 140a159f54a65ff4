"""Results are values: immutable, and compared, hashed, copied and pickled by content."""

import copy
import json
import pathlib
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


DEMO = pathlib.Path(__file__).parents[2] / "tables/demo"
SYSTEM, VISIT = on.load(DEMO / "alder.yaml"), on.Visit(DEMO / "library-visit.yaml")
QUESTION = dict(units="IP", stage="high", match="indoor A", line_set="reference", outdoor_dry_bulb=91, entering_dry_bulb=76,
                entering_wet_bulb=65, airflow=1100, airflow_basis="standard", elevation=0, boundary="coil+fan", fan_power=420)
READINGS = dict(units="SI", return_dry_bulb=24.5, return_wet_bulb=18.2, supply_dry_bulb=13.6, supply_wet_bulb=12.9, airflow=0.52,
                airflow_at="return", elevation=0)


def expected(**more):
    return SYSTEM.expect(**{**QUESTION, **more})


def delivered(**more):
    return on.deliver(**{**READINGS, **more})


# Each value made twice, and one that is unlike it.
VALUES = {
    "system": (lambda: on.load(DEMO / "alder.yaml"), lambda: on.load(DEMO / "birch.yaml")),
    "visit": (lambda: on.Visit(DEMO / "library-visit.yaml"),
              lambda: on.Visit.parse(VISIT.write().replace("limit: 0.9", "limit: 0.8"))),
    "expected": (expected, lambda: expected(outdoor_dry_bulb=92)),
    "expected batch": (lambda: expected(outdoor_dry_bulb=[91.0, 140.0]), lambda: expected(outdoor_dry_bulb=[91.0, 141.0])),
    "delivered": (delivered, lambda: delivered(airflow=0.53)),
    "delivered batch": (lambda: delivered(airflow=[0.52, -1.0]), lambda: delivered(airflow=[0.52, 0.6])),
    "proof": (lambda: SYSTEM.prove(VISIT, units="IP"), lambda: SYSTEM.prove(VISIT, units="SI")),
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


def test_a_pickled_system_is_its_content_not_its_path(tmp_path):
    """Edited or deleted, the file has no say in what a worker answers."""
    file = tmp_path / "alder.yaml"
    file.write_text((DEMO / "alder.yaml").read_text())
    for table in DEMO.glob("*.csv"):
        (tmp_path / table.name).write_text(table.read_text())
    data = pickle.dumps(on.load(file))
    for path in tmp_path.iterdir():
        path.unlink()
    assert pickle.loads(data) == SYSTEM
    assert pickle.loads(data).expect(**QUESTION) == expected()


def test_what_is_told_goes_into_dicts_and_json():
    one, many = expected(), expected(outdoor_dry_bulb=[91.0, 140.0])
    assert one.fields["total_capacity"] == "Btu/h" and "cop" not in one.fields
    assert one.to_dict()["total_capacity"] == one.total_capacity
    told = json.loads(many.to_json())
    assert told["units"] == "IP" and told["total_capacity"] == [one.total_capacity, None]
    assert told["reason"] == ["none", "outside"] and told["upper"][1] == pytest.approx(115, rel=1e-12)
    assert list(json.loads(delivered().to_json())["fields"]) == list(delivered().fields)


def test_a_batch_has_a_length_masks_and_answered():
    batch = expected(outdoor_dry_bulb=[91.0, 140.0, 95.0])
    assert len(batch) == 3 and batch.answered.tolist() == [True, False, True]
    answered = batch[batch.answered]
    assert len(answered) == 2 and answered.total_capacity.tolist() == batch.total_capacity[[0, 2]].tolist()
    assert answered.at(1) == batch.at(2) == expected(outdoor_dry_bulb=95.0)
    assert np.isnan(batch.value[0]) and batch.value[1] == pytest.approx(140, rel=1e-12)
