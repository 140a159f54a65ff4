"""HVAC BESTEST volume 1, the dry-coil cases E100 to E120, asked from Python (NREL/TP-550-30152; tests/published says how the map
and the full-load points of three solvers were had). tests/expect/bestest_dry.cpp follows the map past its edge, as a proof would."""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

import offnominal as on

PUBLISHED = Path(__file__).resolve().parents[1] / "published"
BYPASS, PRESSURE, EDB = 0.049, 101325.0, 22.2  # the bypass factor from memory, see hvac_bestest_v1_equipment.yaml


def state(**more):
    return on.air.state(units="SI", pressure=PRESSURE, **more)


def sensible(total, ewb, mass):
    """What a coil of that bypass factor makes of a total: the apparatus dew point lies on the saturation curve."""
    entering = state(dry_bulb=EDB, wet_bulb=ewb)
    wanted = entering.enthalpy - total / (mass * (1.0 - BYPASS))
    apparatus = brentq(lambda t: state(dry_bulb=t, relative_humidity=1.0).enthalpy - wanted, -5.0, ewb)
    leaving_moisture = (
        BYPASS * entering.humidity_ratio + (1.0 - BYPASS) * state(dry_bulb=apparatus, relative_humidity=1.0).humidity_ratio
    )
    return mass * (1.0 - BYPASS) * (1006.0 + 1860.0 * leaving_moisture) * (EDB - apparatus)


@pytest.fixture(scope="module")
def system():
    (page,) = on.load(PUBLISHED / "hvac_bestest_v1.yaml").pages(units="SI")
    table, flow = page.table(), page.axes["standard_airflow"][0]
    mass = flow * 1.20138  # 0.075 lb/ft3
    rows = [
        f"        {odb:.1f} {flow:.6f} {ewb:.1f} {total:.0f} {sensible(total, ewb, mass):.0f} {power:.0f} {BYPASS}"
        for odb, ewb, total, power in zip(table["outdoor_dry_bulb"], table["entering_wet_bulb"], table["total"], table["power"])
    ]
    head = "offnominal: system/1\nname: BESTEST\ncooling:\n  basis: {capacity: gross, airflow: standard, standard_pound: dry, "
    head += f"power: compressor, sensible_at: {EDB} degC, elevation: 0 m}}\n  stages:\n    full:\n      table: |\n"
    head += "        odb airflow ewb total sensible power bypass\n        degC m3/s degC W W W 1\n"
    return on.parse(head + "\n".join(rows) + "\n"), flow


def cases():
    with open(PUBLISHED / "hvac_bestest_v1_steady_points_derived.csv", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(line for line in file if not line.startswith("#"))]
    return [row for row in rows if row["case"] in ("E100", "E110", "E120")]


@pytest.mark.parametrize("case", cases(), ids=lambda row: f"{row['case']} {row['solver']}")
def test_a_dry_coil_is_answered_where_it_would_turn_wet_off_the_page_too_if_asked(system, case):
    machine, flow = system
    question = dict(
        units="SI", stage="full", outdoor_dry_bulb=float(case["ODB_C"]), entering_dry_bulb=float(case["EDB_C"]),
        entering_wet_bulb=float(case["EWB_C"]) - 1.0, airflow=flow, airflow_basis="standard", elevation=0, boundary="coil",
    )  # fmt: skip
    if case["case"] == "E120":
        dry = machine.expect(**question)
        assert "dry" in dry.footing and dry.sensible_capacity == dry.total_capacity
        assert dry.total_capacity == pytest.approx(float(case["gross_total_W"]), rel=0.01)
        assert dry.power == pytest.approx(float(case["compressor_W"]), rel=0.01)
        return
    # Their coils turn wet 0.2 to 1.2 K below the page's lowest wet bulb: as far as the page is continued when asked for.
    dry = machine.expect(**question, outside={"entering_wet_bulb": ("extend", 2.5)})
    assert "dry" in dry.footing and "extended" in dry.footing and dry.sensible_capacity == dry.total_capacity
    assert dry.total_capacity == pytest.approx(float(case["gross_total_W"]), rel=0.01)
    assert dry.power == pytest.approx(float(case["compressor_W"]), rel=0.01)
    # Otherwise an answer reaches 2 % of the axis, 0.13 K.
    for outside in ("refuse", "hold", "extend"):
        with pytest.raises(on.Refused) as caught:
            machine.expect(**question, outside=outside)
        assert caught.value.why in ("no_knee", "outside")
    many = machine.expect(**{**question, "entering_wet_bulb": np.array([10.0, 12.0])}, outside="extend")
    assert np.isnan(many.total_capacity).all()
