"""What would settle a proof, and plans, from Python, the command and in reports; settle.cpp holds the figures."""

import pathlib
import pickle

import pytest

import offnominal as on
from offnominal.__main__ import main

DEMO = pathlib.Path(__file__).parents[2] / "tables" / "demo"
VISIT = DEMO / "library-visit.yaml"
SYSTEM = on.load(DEMO / "alder.yaml")


def changed(*pairs):
    """The demo's visit with some of its text changed."""
    text = VISIT.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return on.Visit.parse(text)


@pytest.mark.parametrize("limit", ["0.87", "0.90", "0.95", "1.00"])
def test_the_next_thing_to_do_is_the_best_remedy(limit):
    proof = SYSTEM.prove(changed(("limit: 0.90", f"limit: {limit}")))
    assert proof.outcome == "undecided"
    *singles, everything = proof.settle()
    assert singles == sorted(singles, key=lambda one: -one.decided)
    assert everything.remedy == "everything"
    for one in (*singles, everything):
        assert 0 <= one.meets <= 1 and 0 <= one.falls_short <= 1
        assert everything.ratio_u <= one.ratio_u < proof.ratio_u
    lines = proof.report(units="IP").splitlines()
    assert lines[4] == f"  next: {singles[0].text}: that settles it with a chance of {100 * singles[0].decided:.0f} %"
    at = lines.index("what would settle it, best first")
    for line, one in zip(lines[at + 1 :], proof.settle(), strict=False):
        assert line.startswith(f"  {one.text}: passes ") and line.endswith(f", ratio +- {2 * one.ratio_u:.3f}")


def test_where_readings_settle_nothing_the_page_is_asked_about():
    text = (DEMO / "alder.yaml").read_text(encoding="utf-8").replace("tolerance: 5 %", "tolerance: 20 %")
    system = on.parse(text, folder=DEMO)
    good = ("limits: 2 %", "limits: 0.5 %"), ("limits: 0.4 degF", "limits: 0.1 degF"), ("expanded: 7 %", "expanded: 3 %")
    proof = system.prove(changed(*good))
    assert proof.outcome == "undecided"
    assert all(one.decided < 0.05 for one in proof.settle())
    assert "next: no better reading is likely to settle it: ask the maker for a closer tolerance" in proof.report(units="IP")


def test_a_longer_window_where_readings_scatter():
    proof = SYSTEM.prove(VISIT)
    whole = {line["input"]: line["standard_uncertainty_si"] for line in proof.budget}["airflow"]
    assert "longer_window" not in {one.remedy for one in proof.settle()}
    assert "longer_window" in {one.remedy for one in proof.settle(type_a={"airflow": 0.8 * whole})}
    with pytest.raises(on.InputError, match="type A part of airflow"):
        proof.settle(type_a={"airflow": 1.1 * whole})
    with pytest.raises(ValueError, match="supply_humidity"):
        proof.settle(type_a={"air": 0.1})


def test_nothing_to_settle():
    proof = SYSTEM.prove(changed(("steady: true", "steady: false")))
    assert proof.outcome == "not_comparable"
    assert proof.settle() == []
    assert "what would settle it" not in proof.report(units="SI")


def test_plan():
    plan = SYSTEM.plan(VISIT, units="IP")
    assert plan == pickle.loads(pickle.dumps(plan))
    assert plan.reason == "none"
    assert plan.proof.expected.total_capacity == pytest.approx(SYSTEM.prove(VISIT, units="IP").expected.total_capacity, rel=1e-9)
    sound, at_limit, short = plan.chances
    assert (sound.true_ratio, at_limit.true_ratio, short.true_ratio) == (1.0, 0.9, 0.85)
    assert at_limit.meets == pytest.approx(0.05, abs=1e-9) and at_limit.falls_short == pytest.approx(0.05, abs=1e-9)
    assert sound.meets > short.meets and short.falls_short > sound.falls_short
    # What the supply reads is no part of a plan, nor is the power.
    other = changed(("58.4 degF, relative_humidity: 86.4 %", "50 degF, relative_humidity: 40 %"), ("2370 W", "3000 W"))
    assert SYSTEM.plan(other).chances == plan.chances
    assert repr(plan).startswith("<Plan: ratio +- 0.1")


def test_a_plan_needs_no_reading_of_the_supply(tmp_path, capsys):
    path = tmp_path / "forecast.yaml"
    text = VISIT.read_text(encoding="utf-8")
    path.write_text(text.replace("dry_bulb: 58.4 degF, relative_humidity: 86.4 %, ", ""), encoding="utf-8")
    assert SYSTEM.plan(path).chances == SYSTEM.plan(VISIT).chances
    system = str(VISIT.parent / "alder.yaml")
    assert main(["plan", str(path), "--system", system, "--units", "IP"]) == 0
    capsys.readouterr()
    assert main(["prove", str(path), "--system", system, "--units", "IP"]) == 2  # a proof does
    assert "readings: supply: dry_bulb is missing" in capsys.readouterr().err


def test_plan_outside_the_page():
    plan = SYSTEM.plan(changed(("91.0 degF", "140 degF")))
    assert (plan.reason, plan.proof.about) == ("outside", "outdoor_dry_bulb")
    assert plan.chances == () and plan.remedies == ()
    assert plan.report(units="IP").startswith("plan: no ratio: outdoor dry bulb 140 degF is outside")
    assert repr(plan) == "<Plan: no ratio, outside>"


def test_plan_command(capsys):
    assert main(["plan", str(VISIT), "--units", "IP"]) == 0
    out = capsys.readouterr().out
    assert out == SYSTEM.plan(VISIT).report(units="IP")
    lines = out.splitlines()
    assert lines[0].startswith("plan: the ratio will be read to +- 0.")
    assert lines[2] == "  a machine that truly delivers 90 %: passes 5 %, fails 5 %, is left undecided 90 %"
    assert main(["plan", str(VISIT)[:-5], "--units", "IP"]) == 2
    assert "offnominal: " in capsys.readouterr().err
