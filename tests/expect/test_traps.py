"""Traps of the trade, each by what happens when one steps into it from Python: those that no other test names."""

from pathlib import Path

import numpy as np
import pytest
from questions import COOLING, READINGS

import offnominal as on

TABLES = Path(__file__).resolve().parents[2] / "tables"
ALDER = on.load(TABLES / "demo/alder.yaml")
DEMO = (TABLES / "demo/alder.yaml").read_text(encoding="utf-8")
FOLDER = TABLES / "demo"
SIMPLE = """\
offnominal: system/1
name: A small page, invented
cooling:
  basis: {capacity: gross, airflow: standard, standard_pound: dry, power: outdoor unit, sensible_at: 80 degF, elevation: 0 ft}
  stages:
    high:
      table: |
        odb  airflow ewb total sensible power
        degF scfm degF MBh MBh kW
        85  800 63 31.0 25.0 2.2
        85  800 67 33.0 22.0 2.2
        85 1200 63 33.0 29.0 2.3
        85 1200 67 35.0 26.0 2.3
        95  800 63 29.0 24.0 2.5
        95  800 67 31.0 21.0 2.5
        95 1200 63 31.0 28.0 2.6
        95 1200 67 33.0 25.0 2.6
"""
WRONG = (on.InputError, on.Refused, ValueError)
QUESTION = {**COOLING, "match": "", "line_set": None, "entering_wet_bulb": 65.0}


def ask(system=ALDER, **changes):
    question = {**(COOLING if system is ALDER else QUESTION), **changes}
    return system.expect(**{name: value for name, value in question.items() if value is not None})


def refusal(system=ALDER, **changes):
    with pytest.raises(on.Refused) as caught:
        ask(system, **changes)
    return caught.value


def test_trap_4_a_percent_is_no_fraction():
    with pytest.raises(WRONG, match=r"55.*0\.55"):
        ask(entering_wet_bulb=None, entering_relative_humidity=55.0)
    assert ask(entering_wet_bulb=None, entering_relative_humidity=0.55).total_capacity > 0


def test_trap_5_an_elevation_that_nobody_gave_is_not_sea_level():
    error = refusal(elevation=None)
    assert error.why == "not_given" and {"elevation", "pressure"} & {error.about}
    assert ask(elevation=0).total_capacity != ask(elevation=5000).total_capacity
    # Forgotten, 5,000 ft make what is delivered look 14 % more (domain knowledge).
    readings = {k: v for k, v in READINGS.items() if k not in ("airflow_basis", "elevation") and "wet_bulb" not in k}
    readings |= {"airflow_at": "return", "return_relative_humidity": 0.50, "supply_relative_humidity": 0.85}
    delivered = [on.deliver(**readings, elevation=feet).total_capacity for feet in (0, 5000)]
    assert delivered[0] / delivered[1] == pytest.approx(1.14, abs=0.02)


def test_trap_7_an_airflow_says_what_it_is_and_where():
    with pytest.raises(WRONG, match="airflow_basis"):
        ask(airflow_basis=None)
    at = {
        place: on.deliver(**{**{k: v for k, v in READINGS.items() if k != "airflow_basis"}, "airflow_at": place}
        ).total_capacity
        for place in ("return", "supply")
    }  # fmt: skip
    assert at["supply"] / at["return"] == pytest.approx(1.039, abs=0.006)


def test_trap_8_a_standard_pound_with_its_moisture_or_without():
    moist = on.parse(SIMPLE.replace("standard_pound: dry", "standard_pound: moist"))
    dry = on.parse(SIMPLE)
    # The page rises 2 MBh over 400 scfm: what the two totals are apart tells what the airflows are.
    apart = (
        (ask(moist, entering_wet_bulb=67.0).total_capacity - ask(dry, entering_wet_bulb=67.0).total_capacity) / 2000 * 400 / 1000
    )
    assert apart == pytest.approx(0.0115, abs=0.0015)
    assert any("standard" in note for note in ask(on.parse(SIMPLE.replace("standard_pound: dry, ", ""))).notes)


def test_trap_15_no_airflow_is_assumed():
    with pytest.raises(TypeError, match="airflow"):
        ask(airflow=None)


def test_trap_16_an_airflow_past_the_page_is_refused_with_the_nearest_bound():
    flow = dict(
        airflow=1120.0, airflow_basis=None, airflow_at="return", elevation=5000.0, entering_dry_bulb=76.0, entering_wet_bulb=63.0
    )
    error = refusal(on.parse(SIMPLE.replace(" 800 ", "1000 ")), **flow)
    assert (error.why, error.about) == ("outside", "airflow")
    assert error.lower == pytest.approx(1000, rel=1e-9) and error.value == pytest.approx(902, abs=2)


def test_trap_21_a_sensible_that_the_page_caps_is_a_lower_bound():
    pairs = SIMPLE.replace("sensible_at: 80 degF, ", "").replace(
        "high:\n", "high:\n      indoor: path\n      airflow: 1000 scfm\n"
    )
    rows = ["        odb edb ewb total sensible power", "        degF degF degF MBh MBh kW"]
    rows += [f"        {o} {d} {w} {t} {s} 2.5" for o in (85, 95) for d, w, t, s in ((75, 57, 26.0, 26.0), (75, 63, 28.0, 22.0))]
    capped = on.parse(pairs.split("        odb")[0] + "\n".join(rows) + "\n")
    near = ask(capped, entering_dry_bulb=75.0, entering_wet_bulb=59.0)
    assert any("lower bound" in note for note in near.notes)
    assert near.uncertainty > ask(capped, entering_dry_bulb=75.0, entering_wet_bulb=63.0).uncertainty


def test_trap_22_what_a_footnote_says_is_a_column_and_what_it_leaves_out_is_found_and_marked():
    with pytest.raises(on.InputError, match="bypass"):
        on.parse(SIMPLE.replace("high:\n", "high:\n      bypass: 1.14\n"))  # 1 + BF for 1 - BF
    found = ask(on.parse(SIMPLE), entering_dry_bulb=78.0)
    assert any("bypass" in note for note in found.notes)
    stored = [
        ask(
            on.parse(SIMPLE.replace("elevation: 0 ft}", f"elevation: 0 ft, sensible_slope: {k} Btu/h/cfm/degF}}")),
            entering_dry_bulb=78.0,
        )
        for k in (1.08, 1.10)
    ]
    assert stored[0].sensible_capacity - stored[1].sensible_capacity == pytest.approx(
        0.02 * 1000 * 2 * (1 - stored[0].bypass), rel=0.02
    )


def test_trap_36_what_the_static_pressure_holds_is_said():
    asked = dict(units="IP", tap=ALDER.taps[0], static=0.5, dry_bulb=76, wet_bulb=63, elevation=0)
    with pytest.raises(WRONG, match="includes|filter"):
        ALDER.blower(**asked, includes="wheel")
    with pytest.raises(on.InputError, match="with the filter"):
        ALDER.blower(**asked, includes="wet coil, filter")  # the table's pressure is without one
    clean = ALDER.blower(**asked, includes="wet coil, no filter")
    loaded = ALDER.blower(**asked, includes="wet coil, filter", drops={"filter": 0.1})
    assert loaded.airflow != clean.airflow


def test_trap_37_a_blower_table_at_altitude():
    asked = dict(units="IP", tap=ALDER.taps[0], static=0.5, dry_bulb=70, relative_humidity=0.0)
    low = ALDER.blower(**asked, elevation=0)
    high = ALDER.blower(**{**asked, "static": 0.5 * 0.832}, elevation=5000)  # the same static over the density ratio
    assert high.actual == pytest.approx(low.actual, rel=0.002)


def test_trap_38_a_match_that_is_not_listed():
    assert refusal(match="indoor C").why == "unknown_match"
    own = on.parse(SIMPLE)
    assert refusal(own, match="indoor A").why == "unknown_match"


def test_trap_39_an_altitude_factor_beside_a_standard_airflow_is_not_counted_twice():
    for meaning in ("volume", "density"):
        with pytest.raises(on.InputError, match="altitude"):
            on.parse(
                SIMPLE
                + f"altitude:\n  at_equal: {meaning}\n  cooling: |\n    elevation total power\n    ft 1 1\n    0 1 1\n    5000 0.83 1\n"
            )


@pytest.mark.parametrize(
    ("file", "typed", "meant", "likely"),
    [("corpus/cedar.yaml", "        105 ", "        150 ", 105), ("corpus/cedar.yaml", " 900 ", " 990 ", 900)],
)
def test_trap_49_a_label_mistyped_is_one_suspect_with_the_likely_value(file, typed, meant, likely):
    text = (TABLES / file).read_text(encoding="utf-8")
    assert text.count(typed) > 3
    (audit,) = on.parse(text.replace(typed, meant)).audit(units="IP")
    first = audit.suspects[0]
    assert likely == pytest.approx(float(first.guess)), first
