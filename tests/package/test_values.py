"""Results are values: immutable, and compared, hashed, copied and pickled by content."""

import copy
import json
import pickle
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import xarray as xr

import offnominal as on
from offnominal import _core
from questions import COOLING, READINGS

GRID = dict(
    axes={"x": [0, 1, 3], "y": [10, 20]},
    values=[[1, 2], [np.nan, 4], [5, 8]],
    outside={"y": "hold"},
    marks=[["printed", "printed"], ["blank", "printed"], ["inferred", "beyond_limit"]],
)
SERIES = pd.Series([20.0, np.nan], ["a", "b"])
TABLES = Path(__file__).resolve().parents[2] / "tables/demo"
ALDER = on.load(TABLES / "alder.yaml")
HEATING = dict(
    units="IP",
    mode="heating",
    stage="high",
    match="indoor A",
    frost="integrated",
    outdoor_dry_bulb=35.0,
    entering_dry_bulb=70.0,
    airflow=1000.0,
    airflow_basis="standard",
    elevation=0.0,
    boundary="coil",
    auxiliary_heat=0.0,
)
VISIT = TABLES / "library-visit.yaml"
ODB = np.array([85.0, 91.0, 130.0, 95.0])  # the third is past the page
ARRAY = xr.DataArray([20.0, np.nan], dims="t", coords={"t": [1, 2], "place": "roof"})


def air(dry_bulb=20.0, **more):
    return on.air.state(units="SI", dry_bulb=dry_bulb, relative_humidity=0.5, elevation=0.0, **more)


def expected(**more):
    return ALDER.expect(**{**COOLING, **more})


def heats(**more):
    return ALDER.expect(**{**HEATING, **more})


def delivered(**more):
    return on.deliver(**{**READINGS, **more})


def proof(units=None):
    return ALDER.prove(VISIT, units=units)


def other_system():
    return on.parse(ALDER.write().replace("three-ton", "four-ton"))


def card(**more):
    """That of the visit's machine."""
    asked = {name: value for name, value in COOLING.items() if name not in ("outdoor_dry_bulb", "entering_wet_bulb")}
    asked.update(elevation=4690.0, boundary="coil+fan", fan_power=420.0, line_set={"length": 50, "suction": 0.75, "lift": 0})
    return ALDER.target_card(**{**asked, **more})


def choices(**more):
    design = dict(outdoor_dry_bulb=95, entering_dry_bulb=76, entering_wet_bulb=63, total_load=30000, sensible_load=23000)
    return on.choose(ALDER, **{**design, "units": "IP", "elevation": 0, **more})


# Each value made twice, and one that is unlike it.
VALUES = {
    "grid": (lambda: on.Grid(**GRID), lambda: on.Grid(**{**GRID, "outside": "hold"})),
    "evaluated": (lambda: on.Grid(**GRID).evaluate([[0, 15], [5, 5]]), lambda: on.Grid(**GRID).evaluate([[0, 15], [6, 5]])),
    "labelled evaluated": (lambda: on.Grid(**GRID).evaluate((SERIES, 15)), lambda: on.Grid(**GRID).evaluate((SERIES.array, 15))),
    "air": (air, lambda: air(over="water")),
    "airs": (lambda: air([20.0, np.nan, 95.0]), lambda: air([20.0, np.nan])),
    "labelled airs": (lambda: air(SERIES), lambda: air(SERIES.rename({"b": "c"}))),
    "system": (lambda: on.load(TABLES / "alder.yaml"), other_system),
    "visit": (lambda: on.Visit(VISIT), lambda: on.Visit.parse(on.Visit(VISIT).write().replace("0.9", "0.8", 1))),
    "expected": (expected, lambda: expected(airflow=1001.0)),
    "expected of another system": (expected, lambda: other_system().expect(**COOLING)),
    "expected heating": (heats, lambda: heats(frost="instantaneous")),
    "expected batch": (lambda: expected(outdoor_dry_bulb=ODB), lambda: expected(outdoor_dry_bulb=ODB[:3])),
    "expected heating batch": (lambda: heats(outdoor_dry_bulb=[17.0, 35.0]), lambda: heats(outdoor_dry_bulb=[17.0, 36.0])),
    "labelled batch": (
        lambda: expected(outdoor_dry_bulb=SERIES + 70, stage=SERIES.map(lambda x: "low")),
        lambda: expected(outdoor_dry_bulb=SERIES.array + 70, stage="low"),
    ),
    "batch over dimensions": (lambda: expected(outdoor_dry_bulb=ARRAY + 70), lambda: expected(outdoor_dry_bulb=ARRAY + 71)),
    "delivered": (delivered, lambda: delivered(airflow=1001.0)),
    "delivered batch": (lambda: delivered(supply_dry_bulb=[57.0, 90.0]), lambda: delivered(supply_dry_bulb=[57.0, np.nan])),
    "proof": (proof, lambda: proof("IP")),
    "proof in units": (lambda: proof("IP"), lambda: proof("SI")),
    "expected of a proof": (lambda: proof("IP").expected, lambda: proof("SI").expected),
    "delivered of a proof": (lambda: proof("IP").delivered, lambda: proof("SI").delivered),
    "target card": (card, lambda: card(airflow=1001.0)),
    "target card of a forecast": (lambda: card(forecast=VISIT), card),
    "choices": (choices, lambda: choices(total_load=31000)),
    "causes": (lambda: proof("IP").causes(), lambda: proof("IP").causes(seen={"outdoor_unit": True})),
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


@pytest.mark.parametrize(
    "again", [copy.copy, copy.deepcopy, lambda x: pickle.loads(pickle.dumps(x))], ids=["copy", "deepcopy", "pickle"]
)
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
        found = None if name.startswith("__") else getattr(one, name, None)
        if isinstance(found, (np.ndarray, pd.Series, xr.DataArray)) and found.size:
            try:
                np.asarray(found)[...] = np.asarray(found).flat[-1]
            except ValueError:
                pass
    assert one == same


def test_an_object_that_was_never_made_has_no_methods():
    kinds = [kind for kind in vars(_core).values() if isinstance(kind, type)]
    assert len(kinds) > 10
    for kind in kinds:
        unmade = kind.__new__(kind)
        for name, member in vars(kind).items():
            if isinstance(member, property):
                with pytest.raises(TypeError, match="never called"):
                    getattr(unmade, name)
    for ask in (lambda grid: grid([1.0]), lambda grid: grid.values, lambda grid: grid._sweep([[1.0]])):
        with pytest.raises(TypeError, match="never called"):
            ask(on.Grid.__new__(on.Grid))


def test_values_keep_no_view_of_what_they_were_made_from():
    axis, numbers, points = np.array([0.0, 1.0, 3.0]), np.array([1.0, 2.0, 3.0]), np.array([[0.5], [2.0]])
    grid = on.Grid([axis], numbers)
    told = grid.evaluate(points)
    dry_bulb = np.array([20.0, 25.0])
    state = air(dry_bulb)
    before = grid([0.5]), told.values.tolist(), state.enthalpy.tolist()
    axis[:], numbers[:], points[:], dry_bulb[:] = 7.0, 7.0, 7.0, 7.0
    assert (grid([0.5]), told.values.tolist(), state.enthalpy.tolist()) == before


def test_a_pickle_needs_no_file(tmp_path):
    """A copy answers as the original, whatever has become of the file, in any other process."""
    for name in ("alder.yaml", "alder-low.csv", "alder-blower.csv"):
        shutil.copy(TABLES / name, tmp_path)
    system = on.load(tmp_path / "alder.yaml")
    answers = {
        "system": system,
        "one": system.expect(**COOLING),
        "many": system.expect(**{**COOLING, "outdoor_dry_bulb": ODB}),
        "proof": system.prove(VISIT, units="IP"),
        "low": system.expect(**{**COOLING, "stage": "low"}),
    }
    (tmp_path / "answers").write_bytes(pickle.dumps(answers))
    for path in tmp_path.glob("alder*"):
        path.unlink()
    code = (
        "import pickle, sys\na = pickle.load(open(sys.argv[1], 'rb'))\n"
        "print(a['one'].total_capacity.hex(), a['many'].total_capacity[0].hex(), a['proof'].ratio.hex(), a['low'].report() == "
        "a['system'].expect(**eval(sys.argv[2])).report())"
    )
    run = [sys.executable, "-c", code, str(tmp_path / "answers"), repr({**COOLING, "stage": "low"})]
    told = subprocess.run(run, check=True, capture_output=True, text=True).stdout.split()
    wanted = answers["one"].total_capacity.hex(), answers["many"].total_capacity[0].hex(), answers["proof"].ratio.hex(), "True"
    assert told == list(wanted)


def test_many_answers_share_one_system_in_a_pickle():
    rows = [expected(outdoor_dry_bulb=float(x)) for x in range(80, 110)]
    assert len(pickle.dumps(rows)) < 2 * len(pickle.dumps(rows[:1]))
    back = pickle.loads(pickle.dumps(rows))
    assert back == rows and len({id(e.system) for e in back}) == 1


# What is told, as data.

ONES = {"expected": expected, "heats": heats, "delivered": delivered, "air": air}


@pytest.mark.parametrize("ask", ONES.values(), ids=ONES)
def test_fields_are_what_is_told_with_units(ask):
    one = ask()
    fields = one.fields
    assert set(fields) <= set(one.to_dict())
    assert all(one.to_dict()[name] == getattr(one, name) for name in fields)
    many = ask(airflow=[1000.0, 1000.0]) if ask is not air else air([20.0, 20.0])
    assert many.fields == fields
    for name in fields:
        value = getattr(one, name)
        assert np.array_equal(getattr(many, name), [np.nan if value is None else value] * 2, equal_nan=True), name


def test_units_of_fields():
    fields = expected().fields
    assert (fields["total_capacity"], fields["power"], fields["split"], fields["bypass"]) == ("Btu/h", "W", "delta_degF", "1")
    assert "cop" not in fields and "cop" in heats().fields and "bypass" not in heats().fields
    assert air().fields["volume"] == "m3/kg" and delivered().fields["condensate_flow"] == "lb/h"
    assert (
        "efficiency" not in proof().fields
        and proof("IP").fields["efficiency"] == "Btu/Wh"
        and proof("SI").fields["efficiency"] == "W/W"
    )


# Those that have no numbers with a unit each.
PLAIN = ("visit", "target card", "target card of a forecast", "choices", "causes")


@pytest.mark.parametrize("name", PLAIN)
def test_what_is_plain_is_told_whole(name):
    one = VALUES[name][0]()
    told = json.loads(one.to_json())
    assert told == json.loads(json.dumps(one.to_dict()).replace("NaN", "null"))
    assert "told" not in told or told["told"] == type(one).__name__
    assert type(one).__name__ in repr(one) and len(repr(one)) < 120 and "object at" not in repr(one)


@pytest.mark.parametrize(
    "name", [name for name in VALUES if name not in ("grid", "evaluated", "labelled evaluated", "system", *PLAIN)]
)
def test_json_tells_the_same(name):
    one = VALUES[name][0]()
    told = json.loads(one.to_json())
    assert told["units"] == one.units and told["fields"] == one.fields
    for key, value in one.to_dict().items():
        shown = told[key]
        if isinstance(value, (np.ndarray, pd.Series, xr.DataArray)):
            value = [None if x != x else x for x in np.asarray(value).tolist()]
        assert shown == value or isinstance(value, (dict, list)), key


def test_a_batch_is_a_data_frame():
    frame = pd.DataFrame(expected(outdoor_dry_bulb=ODB).to_dict())
    assert frame.total_capacity.notna().tolist() == frame.answered.tolist() == [True, True, False, True]
    assert frame.reason.tolist()[2] == "outside" and frame.footing.tolist()[2] == ""
    single = pd.DataFrame([expected(outdoor_dry_bulb=float(x)).to_dict() for x in ODB[[0, 1, 3]]])
    assert single.total_capacity.tolist() == frame.total_capacity.dropna().tolist()
    indexed = pd.DataFrame(expected(outdoor_dry_bulb=pd.Series(ODB, list("abcd"))).to_dict())
    assert indexed.index.tolist() == list("abcd") and indexed.loc["a", "total_capacity"] == frame.total_capacity[0]


# Many answers.


def test_why_there_is_no_answer_stands_beside_it():
    batch = expected(outdoor_dry_bulb=ODB)
    assert batch.answered.tolist() == [True, True, False, True] and batch.answered.dtype == bool
    with pytest.raises(on.Refused) as caught:
        batch.at(2)
    refused = caught.value
    assert (batch.reason[2], batch.about[2]) == (refused.why, refused.about)
    assert (
        (batch.value[2], batch.lower[2], batch.upper[2])
        == (refused.value, refused.lower, refused.upper)
        == pytest.approx((130, 75, 115))
    )
    assert np.isnan(batch.value[[0, 1, 3]]).all() and np.isnan(batch.lower[0]) and np.isnan(batch.upper[0])
    si = ALDER.expect(
        **{
            **COOLING,
            "units": "SI",
            "outdoor_dry_bulb": [55.0],
            "entering_dry_bulb": 26.0,
            "entering_wet_bulb": 19.0,
            "airflow": 0.47,
        }
    )
    assert (si.value[0], si.upper[0]) == pytest.approx((55.0, (115 - 32) / 1.8))
    wrong = delivered(supply_wet_bulb=[55.0, 60.0])
    assert (
        wrong.answered.tolist() == [True, False]
        and wrong.value[1] == pytest.approx(60.0)
        and wrong.upper[1] == pytest.approx(57.0)
    )


MANY = {
    "expected": lambda x: expected(outdoor_dry_bulb=x),
    "heats": lambda x: heats(outdoor_dry_bulb=x, stage="high"),
    "delivered": lambda x: delivered(return_dry_bulb=x),
    "air": lambda x: on.air.state(units="IP", dry_bulb=x, wet_bulb=75.0, elevation=0.0),
    "grid": lambda x: on.Grid([[80.0, 100.0]], [[1.0, 2.0], [3.0, 5.0]]).evaluate((x,)),
}
KEYS = [
    slice(1, 3),
    slice(None, None, -2),
    [2, 0],
    np.array([True, False, True, True]),
    np.array([], int),
    [True] * 4,
    np.array([3, 3]),
]


@pytest.mark.parametrize("ask", MANY.values(), ids=MANY)
def test_masks_slices_and_lengths_are_those_of_an_array(ask):
    many = ask(ODB)
    assert len(many) == 4 and many.shape == (4,)
    for key in KEYS:
        assert many[key] == ask(ODB)[key] and many[key].shape == ODB[key].shape
        rest = ODB[key]
        if rest.size > 1:
            assert many[key].answered.tolist() == ask(rest).answered.tolist()
            assert many[key] == ask(rest) or ask in (MANY["expected"], MANY["heats"])
    assert many[many.answered].answered.all()
    square = ask(ODB.reshape(2, 2))
    assert len(square) == 2 and square[0].shape == (2,) and square[:, 1] == many[[1, 3]]
    assert square[square.answered].shape == (int(square.answered.sum()),)
    with pytest.raises(IndexError):
        many[4]
    with pytest.raises(TypeError):
        len(air())


def test_one_of_many_is_a_single_answer():
    assert expected(outdoor_dry_bulb=ODB)[1] == expected(outdoor_dry_bulb=91.0) == expected(outdoor_dry_bulb=ODB)[-3]
    assert delivered(return_dry_bulb=ODB)[0] == delivered(return_dry_bulb=85.0)
    assert on.air.state(units="SI", dry_bulb=[20.0, 99.0], relative_humidity=0.5, elevation=0)[0] == air()
    for many, row in (
        (expected(outdoor_dry_bulb=ODB), 2),
        (delivered(supply_wet_bulb=[55.0, 60.0]), 1),
        (air([20.0, 99.0]), 1),
        (on.Grid([[0, 1]], [0, 1]).evaluate([[0.5], [2.0]]), 1),
    ):
        with pytest.raises(on.Refused) as caught:
            many[row]
        assert caught.value.why == (many.why if hasattr(many, "why") else many.reason)[row]
    assert [e.total_capacity for e in expected(outdoor_dry_bulb=ODB[:2])] == expected(
        outdoor_dry_bulb=ODB[:2]
    ).total_capacity.tolist()


def test_masks_keep_labels():
    series = pd.Series(ODB, list("abcd"))
    batch = expected(outdoor_dry_bulb=series)
    some = batch[batch.answered]
    assert some.total_capacity.index.tolist() == ["a", "b", "d"] and some.answered.all()
    assert batch[1:3].reason.to_dict() == {"b": "none", "c": "outside"}
    with pytest.raises(ValueError, match="the answers and the mask are Series with unlike labels"):
        batch[batch.answered.rename({"a": "z"})]
    grid = xr.DataArray(ODB, dims="t", coords={"t": [1, 2, 3, 4]}) + xr.DataArray([0.0, 1.0], dims="x", coords={"x": ["p", "q"]})
    batch = expected(outdoor_dry_bulb=grid)
    assert batch[:, 1].total_capacity.dims == ("t",) and batch[:, 1].total_capacity.x.item() == "q"
    assert batch[batch.answered].total_capacity.shape == (6,)
    assert batch[batch.answered.transpose("x", "t")] == batch[batch.answered]
    one = expected(outdoor_dry_bulb=grid[:, 0])
    assert one[one.answered].total_capacity.t.values.tolist() == [1, 2, 4]


def test_a_batch_keeps_no_view_of_the_arrays_of_the_caller():
    odb, stage = ODB.copy(), np.array(["high", "low", "high", "low"])
    supply = np.array([57.0, 58.0])
    batch, readings = expected(outdoor_dry_bulb=odb, stage=stage), delivered(supply_dry_bulb=supply)
    before = batch.at(3), readings.at(1)
    odb[:], stage[:], supply[:] = 100.0, "high", 50.0
    assert (batch.at(3), readings.at(1)) == before


# Visits.


def test_a_visit_from_file_dict_and_text():
    visit = on.Visit(VISIT)
    assert visit.name and visit.system_file == "alder.yaml" and visit.name in repr(visit)
    text = visit.write()
    assert on.Visit.parse(text) == visit == on.Visit(visit)
    import yaml

    assert on.Visit(yaml.safe_load(text)) == visit
    told = visit.to_dict()
    assert visit.fields == tuple(told) and told["readings"]["supply"]["dry_bulb"] == "58.4 degF" and told["limit"] == "0.90"
    assert on.Visit(told) == on.Visit.parse(visit.to_json()) == visit and on.Visit(told).write() == text
    assert visit.stage == told["stage"] == "high"
    assert ALDER.prove(visit) == ALDER.prove(VISIT) == ALDER.prove(yaml.safe_load(text))
    with pytest.raises(on.InputError, match="typed:3"):
        on.Visit.parse("offnominal: visit/1\nname: A\nnmae: B\n", "typed")


def test_an_unknown_name_is_no_attribute():
    for one in (
        expected(),
        expected(outdoor_dry_bulb=ODB),
        heats(outdoor_dry_bulb=[35.0]),
        delivered(),
        proof("IP"),
        air(),
        on.Visit(VISIT),
        ALDER,
    ):
        assert not hasattr(one, "no_such_thing")
    assert not hasattr(expected(outdoor_dry_bulb=ODB), "cop") and not hasattr(heats(outdoor_dry_bulb=[35.0]), "bypass")
