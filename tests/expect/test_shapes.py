"""Pages of every regular shape against SciPy's RegularGridInterpolator, and what each shape refuses.

All pages are invented: random, smooth enough to pass for a page, wet everywhere (sensible well below total), so that what
comes back is what stands between the nodes.
"""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from scipy.interpolate import RegularGridInterpolator

import offnominal as on

AXES = {
    "odb": ("degF", [75.0, 85.0, 95.0, 110.0]),
    "airflow": ("scfm", [800.0, 1000.0, 1250.0]),
    "ewb": ("degF", [61.0, 64.0, 67.0, 71.0]),
    "rh": ("1", [0.42, 0.5, 0.55, 0.63]),
    "edb": ("degF", [75.0, 80.0, 83.0]),
    "pressure": ("psia", [12.5, 13.5, 14.696]),
}
SHAPES = {
    "A: wet bulbs at one dry bulb": ["odb", "airflow", "ewb"],
    "B: sensible by dry bulb": ["odb", "airflow", "ewb", "edb"],
    "relative humidity and dry bulb": ["odb", "airflow", "rh", "edb"],
    "with station pressures": ["odb", "airflow", "rh", "edb", "pressure"],
    "wet bulb and station pressures": ["odb", "airflow", "ewb", "edb", "pressure"],
}


def page(axes, seed):
    """Total and sensible (MBh) at every node, and the table as it would be typed."""
    random = np.random.default_rng(seed)
    shape = [len(AXES[axis][1]) for axis in axes]
    total = np.round(random.uniform(33.0, 37.0, shape), 2)
    sensible = random.uniform(22.0, 24.0, shape)
    if "edb" in axes:  # at one wet bulb sensible rises with dry bulb, or the page is refused
        sensible += np.expand_dims(3.0 * np.arange(3), tuple(k for k, axis in enumerate(axes) if axis != "edb"))
    sensible = np.round(sensible, 2)
    rows = [
        " ".join([*axes, "total", "sensible", "power", "bypass"]),
        " ".join([*(AXES[axis][0] for axis in axes), "MBh", "MBh", "kW", "1"]),
    ]
    for node in itertools.product(*(range(n) for n in shape)):
        rows.append(
            " ".join(
                [*(str(AXES[axis][1][i]) for axis, i in zip(axes, node)), str(total[node]), str(sensible[node]), "2.5", "0.1"]
            )
        )
    return total, sensible, "\n        ".join(rows)


def system(axes, seed=1):
    total, sensible, table = page(axes, seed)
    at = "" if "edb" in axes else "sensible_at: 80 degF, "
    return (
        total,
        sensible,
        on.parse(f"""\
offnominal: system/1
name: a shape, invented
cooling:
  basis: {{capacity: gross, airflow: standard, standard_pound: dry, power: outdoor unit, {at}elevation: 0 ft}}
  stages:
    only:
      table: |
        {table}
"""),
    )


def ask(s, **at):
    question = {"outdoor_dry_bulb": 90.0, "airflow": 1000.0, "entering_dry_bulb": 80.0, "elevation": 0.0, **at}
    if "pressure" in at:
        del question["elevation"]
    return s.expect(units="IP", stage="only", airflow_basis="standard", boundary="coil", **question)


@pytest.mark.parametrize("name", SHAPES)
def test_against_scipy(name):
    axes = SHAPES[name]
    total, sensible, s = system(axes)
    random = np.random.default_rng(2)
    grid = [np.array(AXES[axis][1]) for axis in axes]
    points = np.stack([random.uniform(x[0], x[-1], 400) for x in grid], axis=1)
    names = {
        "odb": "outdoor_dry_bulb",
        "airflow": "airflow",
        "ewb": "entering_wet_bulb",
        "rh": "entering_relative_humidity",
        "edb": "entering_dry_bulb",
        "pressure": "pressure",
    }
    got = ask(s, **{names[axis]: points[:, k] for k, axis in enumerate(axes)})
    assert set(got.reason) == {"none"}
    expected = RegularGridInterpolator(grid, total)(points)
    np.testing.assert_allclose(got.total_capacity / 1000, expected, rtol=1e-12)
    np.testing.assert_allclose(got.sensible_capacity / 1000, RegularGridInterpolator(grid, sensible)(points), rtol=1e-12)
    if "pressure" in axes:
        assert not any("altitude" in note for note in got.notes[0])


@pytest.mark.parametrize("name", SHAPES)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_nodes_come_back(name, data):
    axes = SHAPES[name]
    total, sensible, s = system(axes)
    node = tuple(data.draw(st.integers(0, len(AXES[axis][1]) - 1)) for axis in axes)
    at = {axis: AXES[axis][1][i] for axis, i in zip(axes, node)}
    question = {"outdoor_dry_bulb": at["odb"], "airflow": at["airflow"], "entering_dry_bulb": at.get("edb", 80.0)}
    question["entering_wet_bulb" if "ewb" in axes else "entering_relative_humidity"] = at.get("ewb", at.get("rh"))
    if "pressure" in axes:
        question["pressure"] = at["pressure"]
    e = ask(s, **question)
    assert e.total_capacity == pytest.approx(1000 * total[node], rel=1e-15)
    assert e.sensible_capacity == pytest.approx(1000 * sensible[node], rel=1e-15)


def test_stage_and_speed():
    """Blocks of a variable-speed page: between them only where the page and the question say so."""
    rows = "odb ewb total sensible power bypass\n        degF degF MBh MBh kW 1"
    blocks = "".join(
        f"""
    {name}:
      speed: {speed} Hz
      airflow: {flow} scfm
      table: |
        {rows}
        85 63 {33.3 * k:.2f} {29.0 * k:.2f} {2.2 * k:.2f} 0.1
        85 67 {35.8 * k:.2f} {25.0 * k:.2f} {2.2 * k:.2f} 0.1
        95 63 {31.5 * k:.2f} {28.0 * k:.2f} {2.5 * k:.2f} 0.1
        95 67 {33.9 * k:.2f} {24.0 * k:.2f} {2.5 * k:.2f} 0.1"""
        for name, speed, flow, k in [("minimum", 20, 500, 0.5), ("rated", 60, 1000, 1.0)]
    )
    text = f"""\
offnominal: system/1
name: speeds, invented
cooling:
  basis: {{capacity: gross, sensible_at: 80 degF}}
  modulation: continuous
  stages:{blocks}
"""
    s = on.parse(text)
    assert s.speeds == {"minimum": 20.0, "rated": 60.0} and s.speed_unit == "Hz"
    question = dict(
        units="IP",
        outdoor_dry_bulb=90,
        entering_dry_bulb=80,
        entering_wet_bulb=65,
        airflow_basis="standard",
        elevation=0,
        boundary="coil",
    )
    low = s.expect(stage="minimum", airflow=500, **question)
    high = s.expect(stage="rated", airflow=1000, **question)
    middle = s.expect(speed=40, airflow=750, **question)
    assert middle.total_capacity == pytest.approx((low.total_capacity + high.total_capacity) / 2, rel=1e-12)
    assert any("speeds" in note for note in middle.notes)
    batch = s.expect(speed=np.array([20.0, 40.0, 60.0, 70.0]), airflow=np.array([500.0, 750.0, 1000.0, 1000.0]), **question)
    assert list(batch.reason) == ["none", "none", "none", "outside"]
    assert batch.total_capacity[1] == middle.total_capacity and batch.split[1] == middle.split
    assert batch.at(1).total_capacity == middle.total_capacity
    steps = s.expect(speed=[40.0], airflow=[750.0], **question).ledger_parts
    assert steps["speed", "total"][0] == middle.total_capacity and len(steps) == len(middle.ledger)
    with pytest.raises(on.Refused, match="not_continuous|may be interpolated"):
        on.parse(text.replace("continuous", "variable")).expect(speed=40, airflow=750, **question)
    with pytest.raises(on.Refused):
        s.expect(stage="rated", speed=40, airflow=750, **question)


def test_extra_columns():
    table = """odb airflow ewb total sensible power split suction_pressure amps
        degF scfm degF MBh MBh kW delta_degF psig A
        85 1000 63 33.3 29.9 2.19 27.2 118 8.1
        85 1000 67 35.8 25.7 2.23 23.4 124 -
        95 1000 63 31.5 29.1 2.48 26.5 121 9.3
        95 1000 67 33.9 24.9 2.52 22.6 127 9.5"""
    s = on.parse(
        "offnominal: system/1\nname: a service sheet, invented\ncooling:\n  basis: {capacity: gross, sensible_at: 80 degF}\n"
        "  stages:\n    only:\n      table: |\n        " + table + "\n"
    )
    e = ask(s, entering_wet_bulb=65.0)
    assert e.extras["split"]["value"] == pytest.approx((27.2 + 23.4 + 26.5 + 22.6) / 4, rel=1e-12)
    assert e.extras["suction_pressure"] == {"value": pytest.approx(122.5), "unit": "psig", "reason": "none"}
    assert e.extras["amps"]["value"] is None and e.extras["amps"]["reason"] == "blank"
    assert ask(s, outdoor_dry_bulb=95.0, entering_wet_bulb=65.0).extras["amps"]["value"] == pytest.approx(9.4)
