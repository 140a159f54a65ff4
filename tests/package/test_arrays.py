"""What may stand in place of a number or a word: arrays of NumPy, pandas and xarray, Pint quantities in any of them."""

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import numpy as np
import pandas as pd
import pint
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st

import offnominal as on
from questions import COOLING, READINGS
from offnominal import _arrays

TABLES = Path(__file__).resolve().parents[2] / "tables/demo"
SYSTEM = on.load(TABLES / "alder.yaml")
Q = pint.UnitRegistry().Quantity

HEATING = dict(
    units="IP",
    mode="heating",
    stage="heat",
    match="coil",
    frost="integrated",
    outdoor_dry_bulb=35.0,
    entering_dry_bulb=70.0,
    airflow=1000.0,
    airflow_basis="standard",
    elevation=0.0,
    boundary="coil",
    auxiliary_heat=0.0,
)
AIR = dict(units="IP", dry_bulb=76.0, wet_bulb=63.0, elevation=0.0)


def expected(**changes):
    return SYSTEM.expect(**{**COOLING, **changes})


def delivered(**changes):
    return on.deliver(**{**READINGS, **changes})


def state(**changes):
    return on.air.state(**{**AIR, **changes})


def gridded(x=1.0, y=15.0):
    grid = on.Grid({"x": [0, 100], "y": [0, 100]}, [[1, 2], [3, 5]])
    return grid((x, y))


# Each face with two of its arguments, a plain pair for them, the unit of the first and what to look at.
FACES = {
    "expect": (expected, "outdoor_dry_bulb", "entering_dry_bulb", (91.0, 80.0), "degF", "total_capacity"),
    "deliver": (delivered, "return_dry_bulb", "supply_dry_bulb", (76.0, 57.0), "degF", "total_capacity"),
    "air": (state, "dry_bulb", "wet_bulb", (76.0, 63.0), "degF", "humidity_ratio"),
    "grid": (gridded, "x", "y", (50.0, 15.0), None, None),
}


@pytest.fixture(params=FACES)
def face(request):
    """A face as a function of two arguments, their names, plain numbers for them, and the unit of the first."""
    ask, one, other, numbers, unit, look = FACES[request.param]

    def answer(a, b):
        found = ask(**{one: a, other: b})
        return found if look is None else getattr(found, look)

    return answer, (one, other), numbers, unit


def heights(number):
    return number + np.array([0.0, 0.25, 0.5])


def test_every_kind_of_plain_array_gives_the_same_bits(face):
    ask, _, (a, b), _ = face
    a = heights(a)
    want = ask(a, b)
    assert want.shape == (3,) and np.isfinite(want).all()
    for other in (
        a.tolist(),
        tuple(a.tolist()),
        list(a),
        a.astype(np.float32),
        a.astype(object),
        np.ma.array(a, mask=False),
        pd.array(a),
        memoryview(a),
        [Fraction(x) for x in a.tolist()],
        [np.float32(x) for x in a],
        np.repeat(a, 2)[::2],
    ):
        assert np.asarray(ask(other, b)).tobytes() == want.tobytes(), type(other)
        assert np.asarray(ask(other, [b])).tobytes() == want.tobytes(), type(other)
    nested = np.asarray(ask([a.tolist(), a], b))
    assert nested.shape == (2, 3) and nested[1].tobytes() == want.tobytes()


def test_none_nan_and_masks_are_not_given(face):
    ask, _, (a, b), _ = face
    for holes in (
        [a, None, float("nan")],
        np.array([a, None, np.nan], object),
        pd.array([a, None, pd.NA], "Float64"),
        [a, pd.NA, None],
        np.ma.array([a, 1.0, 2.0], mask=[False, True, True]),
        np.ma.array([a, "x", 2.0], mask=[False, True, True], dtype=object),
    ):
        values = ask(holes, b)
        assert values[0] == ask([a], b)[0] and np.isnan(values[1:]).all()


@pytest.mark.parametrize(
    "nonsense",
    [
        "76",
        ["76"],
        True,
        [True],
        np.array([True]),
        76 + 0j,
        {},
        [{}],
        object(),
        np.array(["76"]),
        np.array(["2026-01-01"], "M8[D]"),
        pd.Series(["76"]),
        pd.Series([True]),
        xr.DataArray(["76"], dims="t"),
    ],
)
def test_what_is_not_a_number_is_refused_by_the_name_of_its_argument(face, nonsense):
    ask, (one, _), (a, b), _ = face
    with pytest.raises(TypeError, match=f"^{one}: .* is not a number"):
        ask(nonsense, b)


def test_tables_and_ragged_rows_are_refused_by_name(face):
    ask, (one, other), (a, b), _ = face
    with pytest.raises(TypeError, match=f"^{one}: a whole DataFrame; give one of its columns"):
        ask(pd.DataFrame({"x": [a]}), b)
    with pytest.raises(TypeError, match=f"^{one}: a whole Dataset; give one of its columns"):
        ask(xr.Dataset({"x": ("t", [a])}), b)
    with pytest.raises(ValueError, match=f"^{one}: rows of unlike length"):
        ask([[a, None], [a]], b)


def test_shapes_that_do_not_go_together_are_named():
    for ask, one, other, (a, b), *_ in list(FACES.values())[:3]:
        with pytest.raises(ValueError, match=rf"these shapes do not go together: {one} \(3,\), {other} \(2,\)"):
            ask(**{one: [a] * 3, other: [b] * 2})


# Units.


@pytest.mark.parametrize(
    "wrap",
    [
        lambda q: Q(q, "degC"),
        lambda q: [Q(x, "degC") for x in q],
        lambda q: np.array([Q(x, "degC") for x in q], object),
        lambda q: pd.Series([Q(x, "degC") for x in q], dtype=object),
        lambda q: xr.DataArray(Q(q, "degC"), dims="t"),
        lambda q: xr.DataArray(np.array([Q(x, "degC") for x in q], object), dims="t"),
        lambda q: [[Q(x, "degC")] for x in q],
        lambda q: Q(np.ma.array(q, mask=False), "degC"),
        lambda q: [Q(q[0], "degC"), Q(q[1] + 273.15, "kelvin"), q[2] * 1.8 + 32.0],
    ],
    ids=["array", "list", "objects", "Series", "DataArray", "DataArray of objects", "nested", "masked", "mixed"],
)
@pytest.mark.parametrize("name", ["expect", "deliver", "air"])
def test_units_are_never_dropped(name, wrap):
    ask, one, _, (a, _), _, look = FACES[name]
    celsius = (heights(a) - 32.0) / 1.8
    want = getattr(ask(**{one: heights(a)}), look)
    found = np.asarray(getattr(ask(**{one: wrap(celsius)}), look))
    assert found.reshape(-1) == pytest.approx(want, rel=1e-9)
    with pytest.raises(ValueError, match=f"^{one}: .* where degF is due"):
        ask(**{one: [a, Q(3.0, "meter")]})


def test_a_grid_has_no_units_and_takes_none():
    grid = on.Grid({"odb": [60, 100], "t": [0, 100]}, [[1, 2], [3, 5]])
    ninety = grid([90.0, 50.0])
    for points in (
        (Q(90, "degF"), 50),
        [Q(90, "degF"), 50],
        [[Q(90, "degF"), 50]],
        Q([90.0, 50.0], "degF"),
        (Q([90.0], "degF"), [50]),
        (xr.DataArray(Q([90.0], "degF"), dims="t"), 50),
        xr.DataArray(Q([90.0, 50.0], "degF"), dims="t"),
    ):
        for ask in (grid, grid.evaluate):
            with pytest.raises(ValueError, match="where a number without a unit is due"):
                ask(points)
    assert grid((Q(90.0, ""), Q(5000, "percent"))) == ninety
    for build in (lambda: on.Grid([Q([60.0, 100.0], "degF")], [1, 2]), lambda: on.Grid([[60, 100]], Q([1.0, 2.0], "W"))):
        with pytest.raises(ValueError, match="where a number without a unit is due"):
            build()


def test_units_of_other_packages_are_refused():
    class Foreign(np.ndarray):  # as those of Astropy and unyt are made
        value = property(lambda self: self.view(np.ndarray))

        def to(self, unit):
            raise NotImplementedError

    with pytest.raises(TypeError, match="^outdoor_dry_bulb: .* has a unit that is not Pint's"):
        expected(outdoor_dry_bulb=np.array([30.0]).view(Foreign))


def test_quantities_everywhere_in_a_question():
    plain = expected(
        boundary="coil+fan", fan_power=420.0, elevation=328.0, line_set={"length": 50.0, "suction": 0.75, "lift": 0.0}
    )
    dressed = expected(
        boundary="coil+fan",
        fan_power=Q(0.42, "kW"),
        elevation=Q(328 * 0.3048, "m"),
        airflow=Q(1000.0, "ft^3/min"),
        line_set={"length": Q(50.0, "ft"), "suction": Q(19.05, "mm"), "lift": Q(0, "m")},
    )
    assert dressed.total_capacity == pytest.approx(plain.total_capacity, rel=1e-12)
    assert dressed.system_power == pytest.approx(plain.system_power, rel=1e-12)
    with pytest.raises(ValueError, match="^suction of line_set: .* where in is due"):
        expected(line_set={"length": 50.0, "suction": Q(1, "degC"), "lift": 0.0})


# Labels.


def test_a_series_in_is_a_series_out():
    index = pd.Index(["mon", "tue", "wed"], name="day")
    odb = pd.Series([85.0, 90.0, 95.0], index, name="odb")
    batch = expected(
        outdoor_dry_bulb=odb,
        entering_dry_bulb=pd.Series([80.0, 81.0, 82.0], index),
        stage=pd.Series(["high", "low", "low"], index),
    )
    plain = expected(outdoor_dry_bulb=odb.array, entering_dry_bulb=[80.0, 81.0, 82.0], stage=["high", "low", "low"])
    for name in ("total_capacity", "leaving_wet_bulb", "reason", "about", "footing", "notes"):
        found = getattr(batch, name)
        assert isinstance(found, pd.Series) and found.index.equals(index) and found.index.name == "day" and found.name == name
        assert found.tolist() == np.asarray(getattr(plain, name)).tolist()
    assert state(dry_bulb=odb).enthalpy.loc["tue"] == state(dry_bulb=90.0).enthalpy
    assert state(dry_bulb=odb).reason.tolist() == ["none"] * 3
    one = delivered(return_dry_bulb=odb, airflow=pd.Series([900.0, 1000.0, 1100.0], index))
    assert one.total_capacity.loc["wed"] == delivered(return_dry_bulb=95.0, airflow=1100.0).total_capacity
    assert one.notes.index.equals(index) and one.reason.index.equals(index)
    assert on.air.pressure(units="IP", elevation=pd.Series([0.0], ["sea"])).loc["sea"] == on.air.pressure(
        units="IP", elevation=0.0
    )
    mixed = on.air.mix(state(dry_bulb=odb), 200.0, state(dry_bulb=76.0), pd.Series([800.0] * 3, index))
    assert mixed.dry_bulb.loc["tue"] == on.air.mix(state(dry_bulb=90.0), 200.0, state(dry_bulb=76.0), 800.0).dry_bulb


def test_series_go_by_label_never_by_position(face):
    ask, (one, other), (a, b), _ = face
    first = pd.Series(heights(a), [0, 1, 2])
    assert ask(first, pd.Series([b] * 3, [0, 1, 2])).tolist() == ask(heights(a), b).tolist()
    for second in (
        pd.Series([b] * 3, [2, 1, 0]),
        pd.Series([b] * 3, [1, 2, 3]),
        pd.Series([b], [0]),
        pd.Series([b] * 3, list("abc")),
    ):
        with pytest.raises(ValueError, match=f"{one} and {other} are Series with unlike labels"):
            ask(first, second)
    for unlabelled in ([b] * 3, [b], b, np.array(b)):
        assert ask(first, unlabelled).tolist() == ask(heights(a), b).tolist()
    for unlabelled in ([[b] * 3], [b] * 2):
        with pytest.raises(ValueError, match=f"{other} has shape .* and no labels; what stands beside a Series"):
            ask(first, unlabelled)
    with pytest.raises(ValueError, match=f"{one} is a Series and {other} a DataArray"):
        ask(first, xr.DataArray([b] * 3, dims="t"))


def test_data_arrays_broadcast_by_the_names_of_their_dimensions(face):
    ask, _, (a, b), _ = face
    t = xr.DataArray(heights(a), dims="t", coords={"t": [10, 20, 30], "day": ("t", list("mtw")), "place": "roof"})
    x = xr.DataArray([b, b - 1, b - 2], dims="x", coords={"x": list("pqr")})
    found = ask(t, x)
    assert found.dims == ("t", "x") and found.shape == (3, 3)
    assert found.values.tolist() == ask(heights(a)[:, None], np.array([b, b - 1, b - 2])).tolist()
    assert found.sel(t=20, x="r").item() == ask([heights(a)[1]], b - 2)[0]
    assert found.day.values.tolist() == list("mtw") and found.place.item() == "roof"
    turned = ask(found.t * 0.0 + t, (x + t * 0.0))
    assert turned.dims == ("t", "x") and turned.values.tolist() == found.values.tolist()
    assert ask(t, b).dims == ("t",) and ask(t, [b] * 3).values.tolist() == ask(heights(a), b).tolist()
    assert type(ask(xr.DataArray(a), xr.DataArray(b))) is float


def test_data_arrays_with_unlike_labels_are_refused(face):
    ask, (one, other), (a, b), _ = face
    t = xr.DataArray(heights(a), dims="t", coords={"t": [10, 20, 30]})
    for second in (xr.DataArray([b] * 3, dims="t", coords={"t": [10, 20, 31]}), xr.DataArray([b] * 2, dims="t")):
        with pytest.raises(ValueError, match=f"{one} and {other} are DataArrays with unlike labels along 't'"):
            ask(t, second)
    with pytest.raises(ValueError, match=f"{other} has shape .* and no labels; what stands beside a DataArray"):
        ask(t + xr.DataArray([0.0, 1.0], dims="x"), [[b, b]] * 3)


def test_keys_by_dimension_and_by_category():
    stages = xr.DataArray(["high", "low"], dims="stage", coords={"stage": ["high", "low"]})
    odb = xr.DataArray([85.0, 95.0], dims="t")
    total = expected(stage=stages, outdoor_dry_bulb=odb).total_capacity
    assert total.dims == ("stage", "t")
    assert total.sel(stage="low").values.tolist() == [
        expected(stage="low", outdoor_dry_bulb=x).total_capacity for x in (85.0, 95.0)
    ]
    want = expected(stage=["low", "high", "low"])
    for keys in (
        pd.Categorical(["low", "high", "low"]),
        pd.Series(["low", "high", "low"], dtype="category"),
        pd.Categorical(["low", "high", "low"], ["none of these", "low", "high"]),
        np.array(["low", "high", "low"], object),
        pd.Series(["low", "high", "low"]),
        pd.array(["low", "high", "low"], "string"),
        ("low", "high", "low"),
    ):
        found = expected(stage=keys)
        assert np.asarray(found.total_capacity).tolist() == want.total_capacity.tolist()
        assert found.at(1).total_capacity == want.total_capacity[1]
    for keys in (
        [None, "low"],
        np.array([np.nan, "low"], object),
        pd.Categorical([None, "low"]),
        pd.Series([None, "low"]),
        [pd.NA, "low"],
        np.ma.array(["high", "low"], mask=[True, False]),
    ):
        assert np.asarray(expected(stage=keys).reason).tolist() == ["not_given", "none"], type(keys)
    with pytest.raises(TypeError, match="^stage: a whole DataFrame"):
        expected(stage=pd.DataFrame({"stage": ["low"]}))


def test_points_of_a_grid_by_name():
    grid = on.Grid({"x": [0, 1], "y": [0, 1]}, [[[1, 2], [3, 4]], [[5, 6], [7, 8]]])
    frame = pd.DataFrame({"y": [0.25, 0.75], "x": [0.0, 0.5]}, ["a", "b"])
    found = grid(frame)
    assert isinstance(found, pd.DataFrame) and found.index.tolist() == ["a", "b"]
    assert found.to_numpy().tolist() == grid([[0.0, 0.25], [0.5, 0.75]]).tolist()
    assert grid({"y": 0.25, "x": 0.0}).tolist() == grid([0.0, 0.25]).tolist()
    swept = grid({"x": xr.DataArray([0.0, 0.5], dims="u"), "y": xr.DataArray([0.25, 2.0], dims="v")})
    assert swept.dims == ("u", "v", "output") and np.isnan(swept[:, 1]).all()
    told = grid.evaluate({"x": xr.DataArray([0.0, 0.5], dims="u"), "y": xr.DataArray([0.25, 2.0], dims="v")})
    assert told.refused.dims == told.why.dims == told.footing.dims == told.held.dims == ("u", "v")
    assert told.values.dims == ("u", "v", "output") and told.reason(0, 1).axis == 1
    with pytest.raises(on.InputError, match="columns are not the axes: 'x, z'; accepted: x, y"):
        grid({"x": 1.0, "z": 2.0})


@given(
    st.lists(st.tuples(st.floats(75, 115), st.none() | st.sampled_from(["high", "low"])), min_size=1, max_size=20), st.randoms()
)
def test_rows_of_a_frame_may_come_in_any_order(rows, random):
    frame = pd.DataFrame(rows, columns=["odb", "stage"])
    shuffled = frame.sample(frac=1.0, random_state=random.randrange(2**31))
    one = expected(outdoor_dry_bulb=frame.odb, stage=frame.stage).total_capacity
    other = expected(outdoor_dry_bulb=shuffled.odb, stage=shuffled.stage).total_capacity
    pd.testing.assert_series_equal(one, other.loc[one.index], check_exact=True)


def test_nothing_is_imported_for_those_who_do_not_use_it():
    code = (
        "import sys, offnominal as on\non.air.state(units='SI', dry_bulb=[20, None], relative_humidity=0.5, elevation=0)\n"
        "assert not {'pandas', 'xarray', 'pint'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_words_of_one_call_may_not_be_arrays():
    for ask, name in (
        (expected, "units"),
        (expected, "mode"),
        (expected, "boundary"),
        (expected, "outside"),
        (expected, "airflow_basis"),
        (expected, "infer"),
        (delivered, "units"),
        (delivered, "split"),
        (delivered, "fan"),
        (delivered, "condensate"),
        (delivered, "airflow_basis"),
        (state, "units"),
        (state, "wick"),
        (state, "over"),
    ):
        for words in (np.array(["coil", "coil"]), ["coil"], pd.Series(["coil"]), 3):
            with pytest.raises(ValueError, match=f"^{name}: .*; accepted: .* for the whole call"):
                ask(**{name: words})
    with pytest.raises(ValueError, match="^airflow_at: .*; accepted: 'return', 'supply' or 'fan' for the whole call"):
        delivered(airflow_basis=None, airflow_at=["return"])
    for line in (np.array(["reference"]), ["reference"], 25.0):
        with pytest.raises(ValueError, match="^line_set: .*; accepted: 'reference', or a dict"):
            expected(line_set=line)


def test_a_speed_in_hertz_or_turns():
    birch = on.load(TABLES / "birch.yaml")
    question = {**COOLING, "stage": "", "airflow": 800.0, "line_set": None}
    plain = birch.expect(**question, speed=45.0).total_capacity
    assert birch.expect(**question, speed=Q(45, "Hz")).total_capacity == pytest.approx(plain, rel=1e-12)
    assert birch.expect(**question, speed=Q(2700, "rpm")).total_capacity == pytest.approx(plain, rel=1e-12)
    assert birch.expect(**question, speed=[45.0, Q(45, "turn/s")]).total_capacity == pytest.approx([plain] * 2, rel=1e-12)
    assert _arrays.number("speed", "Hz", Q(60, "Hz")) == pytest.approx(60.0)
    assert _arrays.number("speed", "rpm", Q(60, "Hz")) == pytest.approx(3600.0)
    assert _arrays.number("speed", "Hz", Q(3600, "rpm")) == pytest.approx(60.0)
    assert _arrays.number("speed", "rpm", [Q(3600, "rpm"), Q(60, "turn/s"), 3600.0]).tolist() == pytest.approx([3600.0] * 3)
    assert _arrays.number("speed", "%", Q(0.5, "")) == pytest.approx(50.0)
    assert _arrays.number("speed", "1", Q(50, "percent")) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="^speed: .* where Hz is due"):
        _arrays.number("speed", "Hz", Q(60, "percent"))
