"""Data frames, Arrow tables and Datasets in and out."""

import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import offnominal as on

pd = pytest.importorskip("pandas")
xr = pytest.importorskip("xarray")
pa = pytest.importorskip("pyarrow")
pl = pytest.importorskip("polars")

CHECKOUT = Path(__file__).resolve().parents[2]
FIXED = dict(
    units="IP",
    match="indoor A",
    line_set="reference",
    airflow_basis="standard",
    elevation=0,
    boundary="coil+fan",
    fan_power=420,
)


@pytest.fixture(scope="module")
def system():
    return on.load(CHECKOUT / "tables/demo/alder.yaml")


@pytest.fixture
def rows():
    return pd.DataFrame(
        {
            "site": ["north", "south", "east", "west"],
            "stage": ["high", "low", "high", "high"],
            "outdoor_dry_bulb": [91.0, 85.0, 140.0, 95.0],
            "entering_dry_bulb": [76, 78, 76, 80],
            "entering_wet_bulb": [65.0, 66.0, 65.0, 67.0],
            "airflow": [1100.0, 800.0, 1100.0, np.nan],
        },
        index=["a", "b", "c", "d"],
    )


def one_by_one(system, rows):
    for _, row in rows.iterrows():
        yield system.expect(**FIXED, **{name: row[name] for name in rows.columns if name != "site"})


def test_a_frame_is_answered_row_by_row(system, rows):
    """Labels in, labels out; what asks nothing goes along; rows without an answer say why, the rest is answered."""
    got = system.expect_frame(rows, **FIXED)
    assert list(got.index) == list("abcd")
    assert list(got["site"]) == ["north", "south", "east", "west"]
    assert "outdoor_dry_bulb" not in got
    assert list(got["reason"]) == ["none", "none", "outside", "not_given"]
    assert list(got["footing"])[:2] == ["inside", "inside"] and list(got["footing"])[2:] == ["", ""]
    for label, expected in zip("ab", one_by_one(system, rows.loc[["a", "b"]])):
        assert got.loc[label, "total_capacity"] == expected.total_capacity
        assert got.loc[label, "split"] == expected.split
    assert np.isnan(got["total_capacity"].to_numpy()[2:]).all()
    assert got.attrs["units"]["total_capacity"] == "Btu/h"
    assert got.attrs["meanings"]["power"].startswith("electric power")


def test_polars_and_arrow_go_through_the_same_door(system, rows):
    expected = system.expect_frame(rows, **FIXED)
    polars = system.expect_frame(pl.DataFrame(rows.to_dict("list")), **FIXED)
    assert isinstance(polars, pl.DataFrame) and polars["site"].to_list() == list(rows["site"])
    arrow = system.expect_frame(pa.Table.from_pandas(rows, preserve_index=False), **FIXED)
    assert isinstance(arrow, pa.Table)
    assert arrow.schema.field("total_capacity").metadata[b"unit"] == b"Btu/h"
    for name in ("total_capacity", "sensible_capacity", "uncertainty"):
        np.testing.assert_array_equal(polars[name].to_numpy(), expected[name])
        np.testing.assert_array_equal(arrow[name].to_numpy(), expected[name])
    assert polars["reason"].to_list() == arrow["reason"].to_pylist() == list(expected["reason"])


def test_categoricals_and_line_set_columns(system, rows):
    plain = system.expect_frame(rows, **FIXED)
    as_categories = system.expect_frame(rows.astype({"stage": "category"}), **FIXED)
    pd.testing.assert_frame_equal(plain, as_categories)
    lines = rows.assign(line_length=[25.0, 50, 50, 80], line_suction=0.75)
    fixed = {name: value for name, value in FIXED.items() if name != "line_set"}
    got = system.expect_frame(lines, **fixed)
    alone = system.expect(
        **fixed,
        line_set={"length": 50, "suction": 0.75},
        **{name: lines.loc["b", name] for name in rows.columns if name != "site"},
    )
    assert got.loc["b", "total_capacity"] == alone.total_capacity
    with pytest.raises(ValueError, match="line_set: 'reference' for all, and line_length by a column of the frame"):
        system.expect_frame(lines, **FIXED)


@pytest.mark.parametrize(
    ("change", "error", "message"),
    [
        (lambda f: f.rename(columns={"outdoor_dry_bulb": "outdor_dry_bulb"}), ValueError, "is 'outdoor_dry_bulb' meant"),
        (
            lambda f: f.drop(columns=["airflow", "outdoor_dry_bulb"]),
            TypeError,
            "no column outdoor_dry_bulb and no airflow; it has site, stage,",
        ),
        (lambda f: pd.concat([f, f[["airflow"]]], axis=1), ValueError, "two columns are named 'airflow'"),
        (lambda f: f.assign(boundary="coil"), ValueError, "boundary: given for all, and by a column"),
        (lambda f: f.assign(mode=["cooling"] * 3 + ["heating"]), ValueError, "mode: 'cooling', and in row 3 .'d'. 'heating'"),
        (
            lambda f: f.astype({"airflow": object}).replace({"airflow": {800.0: "fast"}}),
            TypeError,
            "airflow, row 1 .'b'.: 'fast'",
        ),
        (
            lambda f: f.assign(airflow=["1100", "fast", "", "9"]),
            TypeError,
            "airflow, row 0 .'a'.: '1100' is not a number; airflow, row 1",
        ),
        (lambda f: f.astype({"airflow": str}), TypeError, "airflow, row 0 .'a'.: '1100.0' is not a number"),
        (lambda f: f.astype({"airflow": "string"}), TypeError, "airflow, row 0 .'a'.: '1100.0' is not a number"),
        (lambda f: f.assign(total_capacity=1.0), ValueError, "a column 'total_capacity', which is what an answer is called"),
        (lambda f: f.iloc[:0], ValueError, "no rows"),
        (lambda f: f["airflow"], TypeError, "no DataFrame"),
    ],
)
def test_what_is_wrong_is_named(system, rows, change, error, message):
    with pytest.raises(error, match=message):
        system.expect_frame(change(rows), **FIXED)


def test_a_table_that_tells_its_units_is_converted(system, rows):
    """As tables of answers tell them; without, numbers are in those of the call."""
    wanted = system.expect_frame(rows, **FIXED)
    metric = rows.assign(outdoor_dry_bulb=(rows["outdoor_dry_bulb"] - 32) / 1.8, airflow=rows["airflow"] * 0.47194745)
    metric.attrs["units"] = {"outdoor_dry_bulb": "°C", "airflow": "L/s"}
    np.testing.assert_allclose(system.expect_frame(metric, **FIXED)["total_capacity"], wanted["total_capacity"], rtol=1e-7)
    fields = [
        pa.field(name, pa.from_numpy_dtype(rows[name].dtype), metadata={"unit": metric.attrs["units"].get(name, "degF")})
        for name in metric.columns[2:]
    ]
    table = pa.table([metric[name] for name in metric.columns[2:]], pa.schema(fields))
    np.testing.assert_allclose(
        system.expect_frame(table, **FIXED, stage="high")["total_capacity"][0].as_py(),
        wanted["total_capacity"].iloc[0],
        rtol=1e-7,
    )
    many = system.prove_many(metric[["outdoor_dry_bulb"]], CHECKOUT / "tables/demo/library-visit.yaml", units="IP")
    by_hand = system.prove_many(rows[["outdoor_dry_bulb"]], CHECKOUT / "tables/demo/library-visit.yaml", units="IP")
    np.testing.assert_allclose(many["ratio"], by_hand["ratio"], rtol=1e-9)
    outdoors = xr.DataArray(metric["outdoor_dry_bulb"], dims="site", attrs={"units": "degC"})
    how = dict(FIXED, stage="high", entering_dry_bulb=76, entering_wet_bulb=65, airflow=1100)
    got = system.expect(**how, outdoor_dry_bulb=outdoors).total_capacity
    np.testing.assert_allclose(got, system.expect(**how, outdoor_dry_bulb=rows["outdoor_dry_bulb"]).total_capacity, rtol=1e-12)
    for wrong, message in (("furlong", "says that it is in 'furlong', where degF is due"), ("cfm", "accepted: degC, degF")):
        rows.attrs["units"] = {"outdoor_dry_bulb": wrong}
        with pytest.raises(ValueError, match=f"outdoor_dry_bulb: .*{message}"):
            system.expect_frame(rows, **FIXED)


def test_a_column_of_quantities_is_converted(system, rows):
    pint = pytest.importorskip("pint")
    wanted = system.expect_frame(rows, **FIXED)
    degrees = pint.UnitRegistry().Quantity
    rows["outdoor_dry_bulb"] = [degrees((x - 32) / 1.8, "degC") for x in rows["outdoor_dry_bulb"]]
    np.testing.assert_allclose(system.expect_frame(rows, **FIXED)["total_capacity"], wanted["total_capacity"], rtol=1e-9)
    rows.loc["b", "outdoor_dry_bulb"] = degrees(85, "degF")  # each cell by its own unit
    np.testing.assert_allclose(system.expect_frame(rows, **FIXED)["total_capacity"], wanted["total_capacity"], rtol=1e-9)
    rows.loc["d", "outdoor_dry_bulb"] = degrees(1, "bar")
    with pytest.raises(TypeError, match=r"outdoor_dry_bulb, row 3 \('d'\): <Quantity\(1, 'bar'\)> where degF is due"):
        system.expect_frame(rows, **FIXED)


def test_columns_by_name_keep_their_units(system, rows):
    pint = pytest.importorskip("pint")
    wanted = system.expect_frame(rows, **FIXED)["total_capacity"]
    columns, degrees = rows.to_dict("list"), (rows["outdoor_dry_bulb"].to_numpy() - 32) / 1.8
    quantities, cells = pint.UnitRegistry().Quantity(degrees, "degC"), np.ma.array(degrees, mask=[True, False, False, False])
    for column in (quantities, xr.DataArray(degrees, attrs={"units": "degC"})):
        told = system.expect_frame(columns | {"outdoor_dry_bulb": column}, **FIXED)["total_capacity"]
        np.testing.assert_allclose(told, wanted, rtol=1e-9)
    told = system.expect_frame(columns | {"outdoor_dry_bulb": pint.UnitRegistry().Quantity(cells, "degC")}, **FIXED)[
        "total_capacity"
    ]
    np.testing.assert_allclose(told, [np.nan, *wanted[1:]], rtol=1e-9)


def test_a_column_of_its_own_goes_along_and_one_that_is_mistyped_does_not(system, rows):
    """`model` and `note` are nearly `mode`, but words of their own."""
    assert {"site", "model", "note"} <= set(system.expect_frame(rows.assign(model="A3", note=""), **FIXED))
    for mistyped in ("air_flow", "Airflow", "outdoor_drybulb", "entring_dry_bulb"):
        with pytest.raises(ValueError, match=f"a column {mistyped!r}; is '.*' meant"):
            system.expect_frame(rows.assign(**{mistyped: 1.0}), **FIXED)


def test_what_is_fixed_is_an_argument(system, rows):
    with pytest.raises(TypeError, match="outsde: no argument of expect; is outside meant?"):
        system.expect_frame(rows, **FIXED, outsde="hold")


def test_not_strict_a_word_for_a_number_is_not_given(system, rows):
    wrong = rows.astype({"airflow": object})
    wrong.loc["b", "airflow"] = "fast"
    got = system.expect_frame(wrong, strict=False, **FIXED)
    assert list(got["reason"]) == ["none", "not_given", "outside", "not_given"]


def test_what_is_masked_in_a_column_is_not_given(system, rows):
    columns = rows.iloc[:2].to_dict("list")
    masked = {
        "outdoor_dry_bulb": np.ma.array([91.0, 85.0], mask=[True, False]),
        "entering_dry_bulb": np.ma.array([76, "x"], object, mask=[False, True]),
    }
    for name, column in masked.items():
        assert list(system.expect_frame(columns | {name: column}, **FIXED)["reason"] == "none") == column.mask.tolist()[::-1]
    with pytest.raises(TypeError, match="True is not a number"):
        system.expect_frame(columns | {"airflow": np.ma.array([True, True], mask=[False, True])}, **FIXED)
    stages = np.ma.array(["high", "low"], mask=[True, False])
    assert list(system.expect_frame(columns | {"stage": stages}, **FIXED)["reason"]) == ["not_given", "none"]


def test_a_frame_of_like_rows_is_a_frame(system, rows):
    one = system.expect_frame(rows.iloc[:1], **FIXED)
    assert len(one) == 1 and list(one.index) == ["a"]
    assert len(system.expect_frame(pd.concat([rows.iloc[:1]] * 3), **FIXED)) == 3


def test_a_sweep_spans_all_combinations(system):
    axes = {"outdoor_dry_bulb": [85, 95, 105], "stage": ["high", "low"], "line_length": [25.0, 60.0]}
    fixed = {name: value for name, value in FIXED.items() if name != "line_set"}
    fixed.update(entering_dry_bulb=76, entering_wet_bulb=65, airflow=900, line_set={"suction": 0.75, "lift": 0})
    got = system.sweep(axes=axes, **fixed)
    assert isinstance(got, xr.Dataset)
    assert got["total_capacity"].dims == ("outdoor_dry_bulb", "stage", "line_length")
    assert got["total_capacity"].attrs == {"units": "Btu/h", "long_name": got["total_capacity"].attrs["long_name"]}
    assert got["outdoor_dry_bulb"].attrs["units"] == "degF" and got["line_length"].attrs["units"] == "ft"
    alone = system.expect(**{**fixed, "line_set": {"length": 60.0, "suction": 0.75}}, outdoor_dry_bulb=95, stage="low")
    assert float(got["total_capacity"].sel(outdoor_dry_bulb=95, stage="low", line_length=60)) == alone.total_capacity
    with pytest.raises(ValueError, match="fan_power: given for all, and as an axis"):
        system.sweep(axes={"fan_power": [300, 400]}, **fixed, outdoor_dry_bulb=95, stage="low")
    with pytest.raises(TypeError, match="outdor_dry_bulb: no argument of expect; is outdoor_dry_bulb meant?"):
        system.sweep(axes={"outdor_dry_bulb": [95]}, **fixed)
    with pytest.raises(TypeError, match="airflwo: no argument of expect; is airflow meant?"):
        system.sweep(axes={"outdoor_dry_bulb": [95]}, **fixed, airflwo=900)
    many = dict.fromkeys(("outdoor_dry_bulb", "fan_power"), np.zeros(20_000))
    with pytest.raises(ValueError, match="400,000,000 rows .20000 x 20000.; accepted: at most 100,000,000"):
        system.sweep(axes=many, **{name: value for name, value in fixed.items() if name != "fan_power"})
    with pytest.raises(ValueError, match="axes: stage is 'high'; accepted: a list"):
        system.sweep(axes={"stage": "high"}, **fixed, outdoor_dry_bulb=95)


def test_batches_of_any_labels_become_tables(system):
    question = dict(FIXED, stage="high", entering_dry_bulb=76, entering_wet_bulb=65, airflow=1100)
    plain = system.expect(**question, outdoor_dry_bulb=[85.0, 95.0])
    frame = plain.to_pandas()
    assert list(frame.index) == [0, 1] and list(frame["total_capacity"]) == list(plain.total_capacity)
    assert plain.to_xarray()["power"].dims == ("dim_0",)
    table = system.expect(**question, outdoor_dry_bulb=np.array([[85.0, 95.0], [100.0, 105.0]])).to_pandas()
    assert table.index.nlevels == 2 and len(table) == 4
    labelled = xr.DataArray([85.0, 95.0], {"hour": [14, 15]}, ("hour",))
    assert list(system.expect(**question, outdoor_dry_bulb=labelled).to_xarray()["hour"]) == [14, 15]
    assert system.expect(**question, outdoor_dry_bulb=labelled).to_pandas().index.name == "hour"
    delivered = on.deliver(
        units="IP",
        return_dry_bulb=[76.0, 77.0],
        return_wet_bulb=65.0,
        supply_dry_bulb=57.0,
        supply_wet_bulb=55.0,
        airflow=1100,
        airflow_at="return",
        elevation=0,
    )
    assert list(delivered.to_pandas()["total_capacity"]) == list(delivered.total_capacity)


def test_a_choice_of_columns_and_threads_have_the_same_bits(system):
    question = dict(FIXED, stage="high", entering_dry_bulb=76, entering_wet_bulb=65, airflow=1100)
    outdoor = np.linspace(75, 115, 20_001)
    whole = system.expect(**question, outdoor_dry_bulb=outdoor)
    some = system.expect(**question, outdoor_dry_bulb=outdoor, columns=["split", "power"], threads=3)
    assert set(some.fields) == {"split", "power"}
    np.testing.assert_array_equal(some.split, whole.split)
    np.testing.assert_array_equal(some.power, whole.power)
    assert (some.reason == "none").all()
    with pytest.raises(AttributeError, match="total_capacity is not told"):
        some.total_capacity
    with pytest.raises(ValueError, match="columns: 'splt'; accepted in cooling: total_capacity"):
        system.expect(**question, outdoor_dry_bulb=outdoor, columns=["splt"])
    with pytest.raises(ValueError, match="threads: 0"):
        system.expect(**question, outdoor_dry_bulb=outdoor, threads=0)


def imported(code):
    """The modules that it brings, beyond NumPy's."""
    code = f"import sys, numpy\nbefore = set(sys.modules)\n{code}\nprint(*sorted(set(sys.modules) - before))"
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()


def test_nothing_is_imported_until_it_is_used():
    assert imported("import offnominal") == ["offnominal", "offnominal._core"]
    ours = {
        "_answers",
        "_arrays",
        "_causes",
        "_core",
        "_display",
        "_fleet",
        "_pages",
        "_proof",
        "_record",
        "_system",
        "_tables",
        "_texts",
    }
    ours |= {"_units", "_value", "_visit", "_write", "errors"}
    load = {name for name in imported("from offnominal import load") if not name.startswith("json")}
    assert load <= {"offnominal", *(f"offnominal.{name}" for name in ours), "__future__", "_json", "errno"}
    assert "offnominal._year" in imported("import offnominal\noffnominal.Year")


def test_a_library_that_is_not_there_is_named(system, monkeypatch):
    card = system.target_card(stage="high", entering_dry_bulb=76, airflow=1000, **FIXED)
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ModuleNotFoundError, match="^to_pandas needs pandas: pip install pandas$"):
        card.to_pandas()


def test_notes_wait_until_they_are_asked_for(system):
    """They follow from the uncertainty: the same, wherever some other numbers are told."""
    how = dict(
        FIXED,
        stage="high",
        entering_dry_bulb=76,
        entering_wet_bulb=65,
        airflow=1100,
        outdoor_dry_bulb=np.linspace(70.0, 118.0, 200),
        outside="hold",
    )
    how["elevation"] = np.linspace(0, 5000, 200)
    whole, some = system.expect(**how), system.expect(**how, columns=["power", "leaving_dry_bulb", "split"])
    assert "notes" not in some._columns and some.notes.tolist() == whole.notes.tolist()
    assert len({tuple(notes) for notes in whole.notes}) > 1
    assert some[150:].notes.tolist() == whole[150:].notes.tolist() and pickle.loads(pickle.dumps(some)) == some
    for name in ("leaving_wet_bulb", "leaving_relative_humidity", "uncertainty"):
        np.testing.assert_array_equal(getattr(system.expect(**how, columns=[name]), name), getattr(whole, name))
