"""Questions of an engineer before a visit and of a technician at it, each asked once as it would be asked.

Each is named by its number in the project's trade notes. Numbers that a test elsewhere holds against a scan are not scanned again here:
what is looked at is that the question can be asked, and that the answer is the one that `expect` or `prove` gives the long way.
"""

import itertools
from pathlib import Path

import numpy as np
import pytest
import yaml

import offnominal as on

DEMO = Path(__file__).resolve().parents[2] / "tables" / "demo"
ALDER, BIRCH = on.load(DEMO / "alder.yaml"), on.load(DEMO / "birch.yaml")
DAY = dict(
    units="IP", stage="high", match="indoor A", line_set="reference", outdoor_dry_bulb=95, entering_dry_bulb=78, entering_wet_bulb=65,
    airflow=1100, airflow_basis="standard", elevation=0, boundary="coil+fan", fan_power=420,
)  # fmt: skip
DESIGN = {"outdoor_dry_bulb": 95, "entering_dry_bulb": 75, "entering_wet_bulb": 63, "elevation": 1000}
LOADS = {"total_load": 31000, "sensible_load": 23000}


def without(*names, **changed):
    return {name: value for name, value in DAY.items() if name not in names} | changed


def test_e1_what_airflow_gives_a_sensible_capacity_and_can_the_blower_move_it():
    found = ALDER.solve(vary="airflow", between=(800, 1200), of="sensible_capacity", equals=24000, **without("airflow"))
    (flow,) = found.solutions
    assert ALDER.expect(**without(airflow=flow)).sensible_capacity == pytest.approx(24000, rel=1e-9)
    chosen = on.choose(ALDER, units="IP", external_static=0.5, **DESIGN, **LOADS)
    assert {one.tap for one in chosen if one.misfit != "no_answer"} <= set(ALDER.taps)
    assert all(one.airflow > 0 and one.fan_power > 0 for one in chosen if one.misfit != "no_answer")


def test_e2_the_balance_point_and_the_heat_missing_below_it():
    heating = dict(heating_load=40000, heating_outdoor_dry_bulb=17)
    chosen = on.choose(ALDER, units="IP", **DESIGN, **LOADS, **heating)
    one = next(one for one in chosen if one.balance_point is not None)
    assert one.auxiliary == pytest.approx(max(0.0, 40000 - one.heating)) and 17 < one.balance_point < 65


def test_e3_above_which_outdoor_temperature_total_then_sensible_then_latent_stop_meeting_their_loads():
    asked = without("outdoor_dry_bulb")
    for of, load in (("total_capacity", 33000), ("sensible_capacity", 24500), ("latent_capacity", 8500)):
        found = ALDER.solve(vary="outdoor_dry_bulb", between=(75, 115), of=of, equals=load, **asked)
        (place,) = found.solutions
        less, more = (getattr(ALDER.expect(**{**asked, "outdoor_dry_bulb": place + step}), of) for step in (-1, 1))
        assert less > load > more


def test_e4_which_match_keeps_a_latent_capacity():
    each = {match: ALDER.expect(**without(match=match, airflow=1000)).latent_capacity for match in ALDER.matches}
    least = sum(each.values()) / len(each)
    found = ALDER.solve(vary="match", of="latent_capacity", equals=least, **without("match", airflow=1000))
    assert {name for name, meets in zip(found.among, found.meets) if meets} == {
        name for name, got in each.items() if got >= least
    }


def test_e5_what_a_long_line_costs_by_its_size():
    line = {"length": 120, "lift": 0, "liquid": 3 / 8, "beyond": "model"}
    thin, wide = (ALDER.expect(**without(line_set={**line, "suction": size})).total_capacity for size in (3 / 4, 7 / 8))
    assert thin < wide < ALDER.expect(**DAY).total_capacity


def test_e6_the_same_unit_at_5000_ft():
    answer = ALDER.what_if(changes={"5,000 ft": {"elevation": 5000}}, **DAY)
    change = answer.rows[1]["total_capacity_change"]
    assert change == ALDER.expect(**without(elevation=5000)).total_capacity - answer.base.total_capacity < 0


def test_e7_the_wet_bulb_at_which_the_coil_goes_dry():
    asked = without("entering_wet_bulb", entering_dry_bulb=85, boundary="coil", airflow=1200)
    found = ALDER.solve(vary="entering_wet_bulb", between=(59, 71), of=("sensible_capacity", "total_capacity"), equals=1, **asked)
    assert ALDER.expect(**asked, entering_wet_bulb=found.solutions[-1] + 0.1).latent_capacity > 0
    assert ALDER.expect(**asked, entering_wet_bulb=found.solutions[-1] - 0.1).latent_capacity == pytest.approx(0, abs=1e-6)


def test_e8_a_year_tells_unmet_hours_and_latent_heat():
    weather = {"outdoor_dry_bulb": [80.0, 95.0, 105.0], "cooling_load": [15000.0, 30000.0, 60000.0], "latent_load": [3000.0] * 3}
    told = ALDER.year(
        weather, units="IP", match="indoor A", line_set="reference", airflow_basis="standard", elevation=0, boundary="coil+fan",
        cooling={}, entering_dry_bulb=76, entering_wet_bulb=64,
        airflow={"low": 800, "high": 1100}, fan_power={"low": 200, "high": 420},
    )  # fmt: skip
    hours = told.frame
    assert [bool(one > 0) for one in hours["unmet_load"]] == [False, False, True]
    assert told.summary["cooling"]["latent_load"] > told.summary["cooling"]["unmet_latent"] >= 0


def test_e9_what_more_fan_watts_cost_sensible_and_efficiency():
    """0.35 and 0.65 W/cfm: all of it is heat into the air, and power drawn."""
    frugal, wasteful = (ALDER.expect(**without(fan_power=1100 * each)) for each in (0.35, 0.65))
    heat = 3.412141633 * 1100 * (0.65 - 0.35)
    for of in ("total_capacity", "sensible_capacity"):
        assert getattr(frugal, of) - getattr(wasteful, of) == pytest.approx(heat, rel=1e-6)
    assert frugal.latent_capacity == pytest.approx(wasteful.latent_capacity, rel=1e-9)
    by_fan = ALDER.sensitivities(by={"fan_power": 1100 * 0.30}, **without(fan_power=1100 * 0.35))
    assert any(row["sensible_capacity_change"] == pytest.approx(-heat, rel=1e-6) for row in by_fan.rows[1:])
    ratios = [one.total_capacity / (one.power + 1100 * each) for one, each in ((frugal, 0.35), (wasteful, 0.65))]
    assert ratios[0] > 1.05 * ratios[1]


def test_e10_slopes_at_a_point_and_on_each_side_of_a_printed_one():
    """Between two printed outdoor temperatures the page is straight: a step's slope is the slope. At a printed one there are two."""
    slope = {}
    for name, step in itertools.product(("outdoor_dry_bulb", "airflow"), (-1, 1)):
        rows = ALDER.sensitivities(by={name: 1}, **DAY).rows[1:]
        change = {row["case"]: row["total_capacity_change"] for row in rows}
        below, above = ALDER.expect(**without(**{name: DAY[name] - 1})), ALDER.expect(**without(**{name: DAY[name] + 1}))
        base = ALDER.expect(**DAY).total_capacity
        assert sorted(change.values()) == pytest.approx(sorted((below.total_capacity - base, above.total_capacity - base)))
        slope[name, step] = step * ((above if step > 0 else below).total_capacity - base)
    assert (
        slope["outdoor_dry_bulb", -1] < 0 > slope["outdoor_dry_bulb", 1]
        and slope["outdoor_dry_bulb", -1] != slope["outdoor_dry_bulb", 1]
    )
    assert slope["airflow", -1] > 0 < slope["airflow", 1]


def test_e11_at_which_speed_a_load_is_met_within_its_airflow():
    asked = without("stage", "airflow", line_set=None, outdoor_dry_bulb=90, stage="", airflow=850, match=BIRCH.matches[0])
    least, most = (BIRCH.expect(**asked, speed=speed).total_capacity for speed in (30, 55))
    found = BIRCH.solve(vary="speed", between=(30, 55), of="total_capacity", equals=(least + most) / 2, **asked)
    assert BIRCH.expect(**asked, speed=found.solutions[0]).total_capacity == pytest.approx((least + most) / 2, rel=1e-9)
    with pytest.raises(on.Refused, match="standard airflow 1000 scfm is outside 400 scfm to 850 scfm"):
        BIRCH.expect(**{**asked, "airflow": 1000}, speed=found.solutions[0])


def test_e12_sizing_limits_are_held_against_expanded_data_not_the_nominal_size():
    """The same unit, the same loads: at a hotter design point it has less over its load, whatever it is called."""
    mild, hot = (
        on.choose(ALDER, units="IP", airflow=1000, **{**DESIGN, "outdoor_dry_bulb": outdoor}, **LOADS) for outdoor in (85, 112)
    )
    for one in mild:
        other = next(each for each in hot if (each.match, each.airflow) == (one.match, one.airflow))
        assert other.total < one.total and other.total_over < one.total_over
        expected = ALDER.expect(
            units="IP", stage=one.stage, match=one.match, line_set="reference", airflow=one.airflow, airflow_basis="standard",
            boundary="coil+fan", fan_power=one.fan_power, **{**DESIGN, "outdoor_dry_bulb": 85},
        )  # fmt: skip
        assert one.total_over == pytest.approx(expected.total_capacity / LOADS["total_load"], rel=1e-9)
    assert {one.misfit for one in mild} != {one.misfit for one in hot}


def visit(**readings):
    """The demo's visit, with some of its readings in place of others."""
    out = yaml.safe_load((DEMO / "library-visit.yaml").read_text(encoding="utf-8"))
    for name, value in readings.items():
        where, what = name.split("__")
        out["readings"][where][what] = value
    return out


def test_f6_which_of_two_airflow_numbers_is_believable():
    """Of a reading a fifth too high capacity and power disagree: what it is off by is the likeliest reading, and no fault is."""
    chance = {}
    for flow in (1190, 1430):
        causes = ALDER.prove(on.Visit(visit(airflow__value=f"{flow} cfm")), units="IP").causes()
        chance[flow] = sum(one.probability for one in causes.likely if one.input == "airflow")
    assert chance[1430] > 3 * chance[1190]
    second = ALDER.prove(on.Visit(visit(airflow__value="1430 cfm")), units="IP").causes(seen={"second_airflow": 0.20})
    assert (second.likely[0].cause, second.likely[0].input) == ("reading", "airflow")


def test_f7_of_one_that_fails_the_causes_are_ranked_and_the_next_cheapest_check_told():
    proof = ALDER.prove(on.Visit(visit(supply__dry_bulb="63 degF")), units="IP")
    assert proof.outcome == "falls_short"
    causes = proof.causes()
    chances = [one.probability for one in causes.likely]
    assert chances == sorted(chances, reverse=True) and causes.likely[0].cause != "nothing_wrong"
    assert causes.checks[0].minutes <= min(one.minutes for one in causes.checks if one.first >= causes.checks[0].first)
    assert "likely causes" in proof.report(units="IP") and causes.checks[0].text in proof.report(units="IP")


def test_f8_on_a_day_of_68_degF_no_test_is_valid_and_the_page_says_from_where_one_is():
    proof = ALDER.prove(on.Visit(visit(outdoor__dry_bulb="68 degF")), units="IP")
    assert (proof.outcome, proof.reason, proof.ratio) == ("not_comparable", "outside", None)
    assert "outdoor dry bulb 68 degF is outside 75 degF to 115 degF" in proof.report(units="IP")
    assert "next: prove it on a day" in proof.report(units="IP")


def test_f9_of_a_heat_pump_at_28_degF_frost_is_counted_whichever_way_the_page_is_printed():
    out = yaml.safe_load((DEMO / "library-heating-visit.yaml").read_text(encoding="utf-8"))
    out["readings"]["outdoor"]["dry_bulb"] = "28 degF"
    proof = ALDER.prove(on.Visit(out), units="IP")
    assert proof.ratio is not None and "below the page, for frost on the outdoor coil" in proof.report(units="IP")


def test_f11_whether_it_has_changed_since_the_last_visit():
    before, after = (ALDER.prove(on.Visit(visit(supply__dry_bulb=f"{t} degF")), units="IP") for t in (58.4, 61.4))
    assert after.change_from(before).less > 0.9 > 0.6 > before.change_from(before).less


def test_l4_which_past_passes_flip_after_a_revised_page():
    """The same page flips none; one that asks more at the node beside them flips what passed by little, and says which node it is."""
    import pandas as pd

    fleet = pd.DataFrame({"supply_dry_bulb": [57 + k / 10 for k in range(11)]})
    same = on.revised(ALDER, ALDER, fleet, DEMO / "library-visit.yaml", units="IP")
    assert (same.visits, same.moved, list(same.flips)) == (11, 0, [])
    text = (DEMO / "alder.yaml").read_text(encoding="utf-8").replace("95    1000     67    34.0", "95    1000     67    36.0")
    more = on.revised(ALDER, on.parse(text, folder=DEMO), fleet, DEMO / "library-visit.yaml", units="IP")
    flipped = more.to_pandas()
    assert more.moved == 11 and set(flipped["before"]) == {"meets"} and (flipped["expected"] > 1).all()
    assert any("ewb 67 degF: total 34.0 MBh | 36.0 MBh" in str(one) for one in more.changed)
