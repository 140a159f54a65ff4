"""Standard 205 representations against the standard's data model, key by key, and against independent JSON and CBOR.

The model: tests/published/std205_rs0004_schema.yaml (names, units, ranges). Every representation here is invented.
"""

import copy
import itertools
import json
import math
import pickle
from pathlib import Path

import cbor2
import numpy as np
import pytest
import yaml
from scipy.interpolate import RegularGridInterpolator

import offnominal as on

MODEL = yaml.safe_load((Path(__file__).parents[1] / "published/std205_rs0004_schema.yaml").read_text(encoding="utf-8"))
MAPS = [name for name in MODEL if name.startswith("performance_map_")]


def about(kind, entry):
    """Unit and range of a variable; the model shortens some to one word."""
    if isinstance(entry, dict):
        return entry.get("unit"), entry.get("range"), "values" in entry
    unit, span = (None, entry) if entry[:1] in "0>" else (entry, None)
    return unit, span, unit == "-" and kind == "lookup_variables"


GRID_VALUES = {"K": [265.15, 281.15, 299.15], "kg/s": [0.5, 0.75], "Pa": [84000.0, 101325.0], "-": [1, 2], None: [0.25, 0.75]}


def invented():
    """A representation with every key of the model."""
    texts = {key: f"invented {key}" for key in MODEL["document_keys"]["metadata"]}
    texts |= {"data_model": "ASHRAE_205", "schema": "RS0004", "schema_version": "2.0.0", "data_version": 1}
    product = {key: f"invented {key}" for key in MODEL["document_keys"]["description"]["product_information"]}
    performance = {
        "performance_capabilities": MODEL["performance"]["performance_capabilities"],
        "compressor_speed_control_type": MODEL["performance"]["compressor_speed_control_type"][0],
        "cooling_cycling_degradation_coefficient": 0.1,
        "heating_cycling_degradation_coefficient": 0.25,
        "scaling": {"minimum": 0.9, "maximum": 1.2},
    }
    for name in MAPS:
        grid = {}
        for key, entry in MODEL[name]["grid_variables"].items():
            unit, span, _ = about("grid_variables", entry)
            grid[key] = list(GRID_VALUES[unit if span != "0..1" else None])
        points = list(itertools.product(*grid.values()))
        lookup = {}
        for k, (key, entry) in enumerate(MODEL[name]["lookup_variables"].items()):
            unit, _, is_word = about("lookup_variables", entry)
            if is_word:
                lookup[key] = ["NORMAL"] * len(points)
            elif unit == "W":
                lookup[key] = [9000.0 / (k + 1) + 0.1 * i for i in range(len(points))]
            else:
                lookup[key] = [0.9 + 0.0001 * i for i in range(len(points))]
        performance[name] = {"grid_variables": grid, "lookup_variables": lookup}
    return {"metadata": texts, "description": {"product_information": product}, "performance": performance}


WHOLE = invented()
VARIABLES = [(name, kind, key) for name in MAPS for kind in ("grid_variables", "lookup_variables") for key in MODEL[name][kind]]
NUMBERS = [v for v in VARIABLES if v[2] != "operation_state"]


def holder(document, name, kind):
    return document["performance"][name][kind]


def departures(document):
    return [d.key for d in on.standard205.parse(document).departures]


def refused(document):
    with pytest.raises(on.InputError) as error:
        on.standard205.parse(document, "unit.json")
    assert error.value.file == "unit.json"
    return str(error.value)


def test_the_model_s_keys_are_all_accepted():
    assert len(VARIABLES) == 25
    r = on.standard205.parse(WHOLE)
    assert r.departures == []
    assert r.to_dict() == WHOLE
    assert list(r.to_dict()["performance"]) == list(WHOLE["performance"])
    assert set(WHOLE["performance"]) - {"heating_cycling_degradation_coefficient", "scaling"} == set(
        MODEL["document_keys"]["performance"]
    )


@pytest.mark.parametrize(("name", "kind", "key"), VARIABLES)
def test_a_missing_variable_is_refused_or_reported(name, kind, key):
    document = copy.deepcopy(WHOLE)
    values = holder(document, name, kind).pop(key)
    if kind == "grid_variables" and len(values) > 1:
        assert "so that some would shift" in refused(document)  # the arrays no longer fit
        for lookup in holder(document, name, "lookup_variables").values():
            del lookup[len(lookup) // len(values) :]
    assert departures(document) == [f"performance.{name}.{kind}.{key}"]


@pytest.mark.parametrize("key", MODEL["performance"]["required"])
def test_a_missing_key_of_performance_is_reported(key):
    document = copy.deepcopy(WHOLE)
    del document["performance"][key]
    assert f"performance.{key}" in departures(document)


@pytest.mark.parametrize("mode", ["cooling", "heating"])
def test_degradation_coefficients(mode):
    key = f"{mode}_cycling_degradation_coefficient"
    assert MODEL["performance"][key] == {"unit": "-", "range": "[0, 1)", "required_if": mode.upper()}
    document = copy.deepcopy(WHOLE)
    performance = document["performance"]
    for bad in (-0.01, 1, 1.0, 25, "0.25", None, [0.25]):
        performance[key] = bad
        assert f"performance.{key}: not a cycling degradation coefficient" in refused(document)
    for good in (0, 0.0, 0.25, math.nextafter(1, 0)):
        performance[key] = good
        assert departures(document) == []
    del performance[key]
    assert departures(document) == [f"performance.{key}"]
    performance["performance_capabilities"] = [c for c in ("COOLING", "HEATING") if c != mode.upper()]
    assert departures(document) == ["performance.performance_capabilities"]  # a map of what it cannot do
    del performance[f"performance_map_{mode}"]
    assert departures(document) == []


@pytest.mark.parametrize(("name", "kind", "key"), NUMBERS)
def test_a_number_past_its_range_is_refused_by_key_value_and_what_would_be_right(name, kind, key):
    unit, span, _ = about(kind, MODEL[name][kind][key])
    if span == "0..1":
        bad, right = [-0.01, 1.01, 55], "a fraction from 0 to 1"
    elif unit == "K":
        bad, right = [-1, 26.7, 95], "a temperature in K"
    elif unit == "Pa":
        bad, right = [-1, 81.273, 101.325, 1013.25, 14.696, 29.92], "a station pressure in Pa"
    elif key == "compressor_sequence_number":
        bad, right = [0, -1, 1.5], "a whole number from 1"
    else:
        bad, right = [-1, -1e-300], "0 or more"
    for value in bad:
        document = copy.deepcopy(WHOLE)
        holder(document, name, kind)[key][0] = value
        said = refused(document)
        assert f"performance.{name}.{kind}.{key}[0]: " in said and right in said
        assert f"'{json.dumps(value)}'" in said
    for value in ("1", None, True, [1], float("nan"), float("inf")):
        document = copy.deepcopy(WHOLE)
        holder(document, name, kind)[key][0] = value
        said = refused(document)
        assert f"{key}[0]: not a number" in said or "not JSON" in said
        data = cbor2.dumps(document)  # which has NaN and infinity
        with pytest.raises(on.InputError, match=rf"{key}\[0\]: not a (finite )?number"):
            on.standard205.parse(data)


@pytest.mark.parametrize("value", [81.273, 101.325])
def test_kilopascals_are_named(value):
    document = copy.deepcopy(WHOLE)
    holder(document, "performance_map_cooling", "grid_variables")["ambient_absolute_air_pressure"] = [value]
    assert refused(document).endswith(f"if these are kPa: {value * 1000:.1f} Pa")


@pytest.mark.parametrize(("name", "kind", "key"), VARIABLES)
def test_arrays_of_another_length_or_order(name, kind, key):
    document = copy.deepcopy(WHOLE)
    values = holder(document, name, kind)[key]
    if kind == "grid_variables":
        for bad in ([], values[::-1], [values[0], *values]):
            holder(document, name, kind)[key] = bad
            said = refused(document)
            assert key in said and ("no values" in said or "not above the value before" in said)
        return
    values.pop()
    if key != "operation_state":
        assert f"{key}: {len(values)} values, so that some would shift" in refused(document)
        return
    assert departures(document) == [f"performance.{name}.{kind}.{key}"]
    values[0] = "STANDBY"
    assert f"{key}: {len(values)} values, so that some would shift" in refused(document)


@pytest.mark.parametrize("section", ["metadata", "product_information"])
def test_unknown_and_strange_texts_are_reported_and_kept(section):
    document = copy.deepcopy(WHOLE)
    where = document["metadata"] if section == "metadata" else document["description"]["product_information"]
    for key in where:
        if key != "data_version":
            where[key] = 7
    where["colour"] = {"of": ["case", None, 2.5, False]}
    r = on.standard205.parse(document)
    assert {d.key.rsplit(".", 1)[1] for d in r.departures} == {"colour", *(k for k in where if where[k] == 7)}
    assert r.to_dict() == document


def awkward():
    """Numbers whose last bits matter, keys out of order, keys of nobody's."""
    document = copy.deepcopy(WHOLE)
    values = holder(document, "performance_map_cooling", "lookup_variables")["gross_power"]
    rng = np.random.default_rng(205)
    values[:] = (rng.uniform(500, 5000, len(values)) * (1 + 2.0**-52)).tolist()
    values[0], values[1], values[2] = 5e-324, 1.7976931348623157e308, 0.1 + 0.2
    holder(document, "performance_map_heating", "lookup_variables")["sound_power"] = [60.5, None, {"dB": -1}]
    document["performance"] = dict(reversed(document["performance"].items()))
    document["\u00e4\u6f22\U0001f600"] = {"": "", "big": 2**60, "deep": [[[]]]}
    return document


def test_json_and_cbor_agree_with_independent_readers_and_writers():
    document = awkward()
    r = on.standard205.parse(json.dumps(document))
    bits = [x.hex() for x in holder(document, "performance_map_cooling", "lookup_variables")["gross_power"]]
    for data, load in ((r.to_bytes("json"), json.loads), (r.to_bytes("cbor"), cbor2.loads)):
        back = load(data)
        assert back == document
        assert [x.hex() for x in holder(back, "performance_map_cooling", "lookup_variables")["gross_power"]] == bits

        def keys(value):
            return [(k, keys(v)) for k, v in value.items()] if isinstance(value, dict) else None

        assert keys(back) == keys(document)
        again = on.standard205.parse(data)
        assert again.to_bytes("json") == r.to_bytes("json") and again.to_bytes("cbor") == r.to_bytes("cbor")
        assert again.departures == r.departures
    assert on.standard205.parse(cbor2.dumps(document)).to_dict() == document
    assert on.standard205.parse(cbor2.dumps(cbor2.CBORTag(55799, document))).to_dict() == document


def test_files(tmp_path):
    r = on.standard205.parse(WHOLE)
    for name in ("unit.json", "unit.cbor"):
        r.write(tmp_path / name)
        assert on.standard205.read(tmp_path / name).to_dict() == WHOLE
    r.write(tmp_path / "unit.dat", "cbor")
    assert (tmp_path / "unit.dat").read_bytes() == (tmp_path / "unit.cbor").read_bytes()
    with pytest.raises(ValueError, match="accepted: 'json' or 'cbor'"):
        r.write(tmp_path / "unit.txt")
    assert pickle.loads(pickle.dumps(r)).to_dict() == WHOLE
    assert repr(r) == "<Representation '<data>': 0 departures>"


# A cooling map that an air conditioner could have: capacities are no polynomials of the axes, some points are dry.
GRID = {
    "outdoor_coil_entering_dry_bulb_temperature": [298.15, 308.15, 318.15],
    "indoor_coil_entering_relative_humidity": [0.2, 0.5, 0.65, 0.8],
    "indoor_coil_entering_dry_bulb_temperature": [294.15, 297.15, 300.15],
    "indoor_coil_air_mass_flow_rate": [0.5, 0.6],
    "compressor_sequence_number": [1, 2],
    "ambient_absolute_air_pressure": [84000.0, 101325.0],
}


def plausible():
    document = {"metadata": WHOLE["metadata"], "performance": {"performance_capabilities": ["COOLING"]}}
    odb, rh, edb, flow, stage, p = np.meshgrid(*GRID.values(), indexing="ij")
    size = 0.4 + 0.3 * stage
    total = size * 9000 * np.exp(-0.007 * (odb - 308.15)) * (flow / 0.6) ** 0.15 * np.exp(0.3 * (rh - 0.5) + 0.01 * (edb - 299))
    sensible = size * 6400 * (1 - 1.4 * (rh - 0.5) + 0.06 * (edb - 299)) * (flow / 0.6) ** 0.5 * (p / 101325) ** 0.02
    power = size * 2600 * np.exp(0.014 * (odb - 308.15))
    columns = {"gross_total_capacity": total, "gross_sensible_capacity": np.minimum(total, sensible), "gross_power": power}
    document["performance"]["performance_map_cooling"] = {
        "grid_variables": GRID,
        "lookup_variables": {name: values.ravel().tolist() for name, values in columns.items()},
    }
    return document, columns


def ask(system, stage, odb, rh, edb, flow, pressure, **more):
    return system.expect(
        units="SI",
        stage=stage,
        outdoor_dry_bulb=odb - 273.15,
        entering_dry_bulb=edb - 273.15,
        entering_relative_humidity=rh,
        airflow=flow,
        airflow_basis="dry_mass",
        pressure=pressure,
        boundary="coil",
        **more,
    )


def test_a_wet_region_is_read_as_scipy_reads_it():
    """RegularGridInterpolator over the map's own axes: total, sensible and power, multilinear."""
    document, columns = plausible()
    system = on.standard205.parse(document).system()
    assert system.stages == ["1", "2"] and system.matches == []
    assert (columns["gross_sensible_capacity"][:, 1:] < columns["gross_total_capacity"][:, 1:]).all()
    rng = np.random.default_rng(1)
    spans = [(x[0], x[-1]) for name, x in GRID.items() if name != "compressor_sequence_number"]
    spans[1] = (0.5, 0.8)  # the wet part
    points = np.column_stack([rng.uniform(*span, 200) for span in spans])
    for k, stage in enumerate(system.stages):
        e = ask(system, stage, *points.T)
        assert set(e.reason) == {"none"}
        for name, got in (("total", e.total_capacity), ("sensible", e.sensible_capacity), ("power", e.power)):
            column = columns["gross_power" if name == "power" else f"gross_{name}_capacity"]
            axes = [np.array(x, float) for n, x in GRID.items() if n != "compressor_sequence_number"]
            peer = RegularGridInterpolator(axes, column[:, :, :, :, k, :])(points)
            np.testing.assert_allclose(got, peer, rtol=1e-10)


def test_every_node_gives_its_own_number_back():
    document, columns = plausible()
    system = on.standard205.parse(document).system()
    nodes = np.array(list(itertools.product(*GRID.values())))
    e = ask(system, nodes[:, 4].astype(int).astype(str), *nodes[:, [0, 1, 2, 3, 5]].T)
    assert set(e.reason) == {"none"}
    dry = columns["gross_sensible_capacity"].ravel() == columns["gross_total_capacity"].ravel()
    assert 20 < dry.sum() < dry.size / 2
    np.testing.assert_allclose(e.total_capacity, columns["gross_total_capacity"].ravel(), rtol=1e-9)
    np.testing.assert_allclose(e.sensible_capacity, columns["gross_sensible_capacity"].ravel(), rtol=1e-9)
    assert any("standard pound" in note for note in e.at(0).notes)


def test_load_reads_a_representation(tmp_path):
    document, _ = plausible()
    r = on.standard205.parse(document)
    one = dict(stage="2", odb=305.0, rh=0.6, edb=298.0, flow=0.55, pressure=95000.0)
    expected = ask(r.system(), **one).total_capacity
    for name in ("unit.json", "unit.cbor"):
        r.write(tmp_path / name)
        system = on.load(tmp_path / name)
        assert ask(system, **one).total_capacity == expected
        assert ask(pickle.loads(pickle.dumps(system)), **one).total_capacity == expected
    assert ask(pickle.loads(pickle.dumps(r.system())), **one).total_capacity == expected
    again = on.standard205.from_system(system)
    assert (
        again.to_dict()["performance"]["performance_map_cooling"]["lookup_variables"]["gross_power"]
        == (document["performance"]["performance_map_cooling"]["lookup_variables"]["gross_power"])
    )
    assert "metadata.id" in [d.key for d in again.departures]


def test_points_not_in_normal_operation_carry_no_answer():
    document, _ = plausible()
    lookup = holder(document, "performance_map_cooling", "lookup_variables")
    lookup["operation_state"] = ["NORMAL"] * len(lookup["gross_power"])
    lookup["operation_state"][-1] = "STANDBY"
    system = on.standard205.parse(document).system()
    corner = [x[-1] for name, x in GRID.items() if name != "compressor_sequence_number"]
    assert ask(system, "1", *corner).total_capacity > 0
    with pytest.raises(on.Refused) as error:
        ask(system, "2", *corner)
    assert error.value.why == "beyond_limit"
    assert ask(system, "2", 308.15, *corner[1:]).total_capacity > 0


def test_heating_and_defrost_are_read_as_scipy_reads_them():
    """Frost-free capacity and power, and both times the map's own correction factors where integrated is asked for."""
    grid = {
        "outdoor_coil_entering_dry_bulb_temperature": [258.15, 270.15, 281.15],
        "indoor_coil_entering_dry_bulb_temperature": [291.15, 295.15],
        "indoor_coil_air_mass_flow_rate": [0.5, 0.6],
        "compressor_sequence_number": [1, 2],
    }
    odb, edb, flow, stage = np.meshgrid(*grid.values(), indexing="ij")
    capacity = (0.4 + 0.3 * stage) * 9000 * np.exp(0.02 * (odb - 281.15) - 0.003 * (edb - 293)) * (flow / 0.6) ** 0.1
    power = (0.4 + 0.3 * stage) * 2500 * np.exp(0.005 * (odb - 281.15) + 0.01 * (edb - 293))
    frost_grid = {
        "outdoor_coil_entering_dry_bulb_temperature": [255.15, 273.15, 283.15],
        "outdoor_coil_entering_relative_humidity": [0.4, 0.9],
        "compressor_sequence_number": [1, 2],
    }
    t, rh, stage = np.meshgrid(*frost_grid.values(), indexing="ij")
    factors = {
        "capacity_correction_factor": 1 - 0.12 * rh * np.exp(-(((t - 273.15) / 8) ** 2)) - 0.01 * stage,
        "power_correction_factor": 1 - 0.02 * rh,
        "defrost_time_fraction": 0.05 * rh,
    }

    def map_of(axes, columns):
        return {"grid_variables": axes, "lookup_variables": {name: x.ravel().tolist() for name, x in columns.items()}}

    document = {
        "performance": {
            "performance_map_heating": map_of(grid, {"gross_frost_free_capacity": capacity, "gross_frost_free_power": power}),
            "performance_map_defrost_correction": map_of(frost_grid, factors),
        }
    }
    r = on.standard205.parse(document)
    system = r.system()
    assert system.stages == [] and system.heating_stages == {"1": ["instantaneous"], "2": ["instantaneous"]}
    rng = np.random.default_rng(2)
    x = rng.uniform([258.15, 291.15, 0.5, 0.4], [281.15, 295.15, 0.6, 0.9], (50, 4))
    for k in range(2):

        def peer(axes, column, at):
            return RegularGridInterpolator([np.array(a, float) for a in axes][:-1], column[..., k])(at)

        ask_heating = dict(
            units="SI",
            mode="heating",
            stage=str(k + 1),
            outdoor_dry_bulb=x[:, 0] - 273.15,
            entering_dry_bulb=x[:, 1] - 273.15,
            airflow=x[:, 2],
            airflow_basis="dry_mass",
            elevation=0,
            boundary="coil",
            auxiliary_heat=0,
        )
        e = system.expect(**ask_heating, frost="instantaneous")
        steady = [peer(grid.values(), column, x[:, :3]) for column in (capacity, power)]
        np.testing.assert_allclose([e.total_capacity, e.power], steady, rtol=1e-10)
        e = system.expect(**ask_heating, frost="integrated", outdoor_relative_humidity=x[:, 3])
        frosted = [
            peer(frost_grid.values(), factors[f"{name}_correction_factor"], x[:, [0, 3]]) for name in ("capacity", "power")
        ]
        np.testing.assert_allclose([e.total_capacity, e.power], np.multiply(steady, frosted), rtol=1e-10)
    again = on.standard205.from_system(system).to_dict()["performance"]
    for name in ("performance_map_heating", "performance_map_defrost_correction"):
        assert again[name]["grid_variables"] == document["performance"][name]["grid_variables"]
        lookup = again[name]["lookup_variables"]
        lookup.pop("operation_state", None)
        assert lookup == document["performance"][name]["lookup_variables"]


def test_a_unitary_system_is_loaded_with_its_fan(tmp_path):
    """RS0002 about an RS0004: what the page says stays, the fan's map becomes a blower table, out of JSON and CBOR."""
    inner, _ = plausible()
    motor = {"grid_variables": {"shaft_power": [0, 500]}, "lookup_variables": {"efficiency": [0.8, 0.8]}}
    fan = {
        "motor_representation": {"performance": {"performance_map": motor}},
        "performance_map": {
            "grid_variables": {"speed_number": [1], "static_pressure_difference": [0, 100, 200]},
            "lookup_variables": {"standard_air_volumetric_flow_rate": [0.6, 0.5, 0.3], "shaft_power": [200, 220, 230]},
        },
    }
    unit = {
        "metadata": {"schema": "RS0002"},
        "performance": {
            "indoor_fan_representation": {"performance": fan},
            "fan_position": "DRAW_THROUGH",
            "dx_system_representation": inner,
        },
    }
    alone = on.standard205.parse(inner).system()
    (tmp_path / "unit.cbor").write_bytes(cbor2.dumps(unit))
    for system in (on.parse(json.dumps(unit), "unit.json"), on.load(tmp_path / "unit.cbor")):
        assert system.matches == ["indoor unit"] and system.taps == ["1"]
        question = "1", 308.15, 0.6, 299.0, 0.55, 101325
        assert ask(system, *question, match="indoor unit").total_capacity == ask(alone, *question).total_capacity
        # 21 degC dry is within 0.1 % of standard air.
        found = system.blower(units="SI", tap="1", static=100, static_u=1, dry_bulb=21, humidity_ratio=0, pressure=101325)
        assert found.power == pytest.approx(220 / 0.8, rel=0.01) and found.actual == pytest.approx(0.5, rel=1e-3)
    with pytest.raises(on.InputError, match="load.. reads the whole"):
        on.standard205.parse(json.dumps(unit))
