"""The proof, from Python: a visit file, a visit as a dict, and the command."""

import json
import math
import subprocess
import sys
from pathlib import Path

import pytest

import offnominal as on
from offnominal import second_capacity
from offnominal.__main__ import main

DEMO = Path(__file__).parents[2] / "tables/demo"
SYSTEM = on.load(DEMO / "alder.yaml")
VISIT = {
    "offnominal": "visit/1",
    "name": "an invented visit",
    "system": "alder.yaml",
    "site": {"elevation": "4690 ft"},
    "stage": "high",
    "match": "indoor A",
    "line_set": {"length": "50 ft", "suction": "3/4 in", "lift": "0 ft"},
    "boundary": "coil+fan",
    "fan_power": {"value": "420 W", "instrument": "clamp meter"},
    "steady": True,
    "limit": 0.90,
    "readings": {
        "outdoor": {"dry_bulb": "91.0 degF", "instrument": "outdoor probe"},
        "return": {"dry_bulb": "76.6 degF", "relative_humidity": "55.0 %", "instrument": "return probe"},
        "supply": {"dry_bulb": "58.4 degF", "relative_humidity": "86.4 %", "instrument": "supply probe"},
        "airflow": {"value": "1190 cfm", "at": "return", "instrument": "flow grid"},
    },
    "instruments": {
        "outdoor probe": {"dry_bulb": {"limits": "1.0 delta_degF"}},
        "return probe": {"dry_bulb": {"limits": "0.4 delta_degF"}, "relative_humidity": {"limits": "2 %"}},
        "supply probe": {"dry_bulb": {"limits": "0.4 delta_degF"}, "relative_humidity": {"limits": "2 %"}},
        "flow grid": {"airflow": {"expanded": "7 %"}},
        "clamp meter": {"power": {"limits": "3 %"}},
    },
}


def changed(path, value):
    """A copy of the visit with one entry changed; None removes it."""

    def at(node, keys):
        node = dict(node)
        if len(keys) == 1:
            node.pop(keys[0], None) if value is None else node.update({keys[0]: value})
        else:
            node[keys[0]] = at(node[keys[0]], keys[1:])
        return node

    return at(VISIT, path.split("/"))


def test_a_file_and_the_same_visit_as_a_dict_prove_the_same():
    a, b = SYSTEM.prove(DEMO / "library-visit.yaml", units="IP"), SYSTEM.prove(VISIT, units="IP")
    assert a.ratio == b.ratio
    assert a.ratio_u95 == b.ratio_u95
    assert a.probability == b.probability
    assert a.expected.total_capacity == b.expected.total_capacity


def test_the_proof_is_the_ratio_of_its_own_two_sides():
    p = SYSTEM.prove(VISIT, units="SI")
    assert p.ratio == pytest.approx(p.delivered.total_capacity / p.expected.total_capacity, rel=0.005)  # a mean
    assert p.method == "first_order"
    assert p.ratio_low < p.ratio < p.ratio_high
    assert p.outcome == "undecided"
    assert 0.05 < p.probability < 0.95
    assert p.ratio_u95 == 2 * p.ratio_u
    shares = sum(line["share"] for line in p.budget) + p.expected_share
    assert shares == pytest.approx(1)
    assert [line["share"] for line in p.budget] == sorted((line["share"] for line in p.budget), reverse=True)
    # expect and deliver, asked on their own, say what the proof says
    d = on.deliver(
        units="SI",
        return_dry_bulb=(76.6 - 32) / 1.8,
        return_relative_humidity=0.55,
        supply_dry_bulb=(58.4 - 32) / 1.8,
        supply_relative_humidity=0.864,
        airflow=1190 * 0.3048**3 / 60,
        airflow_at="return",
        elevation=4690 * 0.3048,
    )
    assert p.delivered.total_capacity == pytest.approx(d.total_capacity, rel=1e-12)
    e = SYSTEM.expect(
        units="SI",
        stage="high",
        match="indoor A",
        line_set={"length": 50 * 0.3048, "suction": 0.75 * 0.0254},
        outdoor_dry_bulb=(91 - 32) / 1.8,
        entering_dry_bulb=(76.6 - 32) / 1.8,
        entering_relative_humidity=0.55,
        airflow=1190 * 0.3048**3 / 60,
        airflow_at="return",
        elevation=4690 * 0.3048,
        boundary="coil+fan",
        fan_power=420,
    )
    assert p.expected.total_capacity == pytest.approx(e.total_capacity, rel=1e-12)


def test_better_instruments_decide():
    visit = VISIT
    exact = {
        name: {key: {"standard": "0.01 delta_degF" if key == "dry_bulb" else "0.2 %"} for key in spec}
        for name, spec in VISIT["instruments"].items()
    }
    p = SYSTEM.prove({**visit, "instruments": exact, "limit": 0.80})
    assert p.outcome == "meets"
    assert SYSTEM.prove({**visit, "instruments": exact, "limit": 1.06}).outcome == "falls_short"


@pytest.mark.parametrize(
    ("path", "value", "text"),
    [
        ("limit", None, "limit"),
        ("boundary", None, "boundary"),
        ("site", {}, "elevation"),
        ("readings/airflow", {"value": "1190 cfm", "instrument": "flow grid"}, "airflow"),
        ("readings/return/relative_humidity", 55, "55"),
        ("readings/return/dry_bulb", "76,6 degF", "point"),
        ("readings/return/dry_bulb", "76.6 K", "degF"),
        ("readings/return/instrument", "no such probe", "no such probe"),
        ("stages", "high", "stages"),
    ],
)
def test_a_tired_persons_visit_is_refused_saying_what(path, value, text):
    with pytest.raises(on.Error) as caught:
        SYSTEM.prove(changed(path, value))
    assert text in str(caught.value)
    if isinstance(caught.value, on.InputError):
        assert (caught.value.file, caught.value.line) == ("<visit>", 0)  # a dict has keys, and no lines
        assert caught.value.accepted or caught.value.problem


def test_unknown_keys_of_the_system_are_refused_with_what_there_is():
    with pytest.raises(on.InputError, match="it has high, low"):
        SYSTEM.prove(changed("stage", "medium"))
    with pytest.raises(on.InputError, match="it lists indoor A, indoor B"):
        SYSTEM.prove(changed("match", "indoor C"))


def test_unknown_keys_of_a_visit_file_are_refused_at_their_place(tmp_path):
    text = (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    file = tmp_path / "visit.yaml"
    file.write_text(text.replace("stage: high", "stage: hihg"), encoding="utf-8")
    with pytest.raises(on.InputError) as caught:
        SYSTEM.prove(file)
    line = next(n for n, words in enumerate(text.splitlines(), 1) if words.startswith("stage:"))
    assert (caught.value.file, caught.value.line, caught.value.column) == (str(file), line, 8)


def test_quantities_are_read_as_the_trade_types_them():
    typed = changed("readings/return/dry_bulb", "76.6 F")
    typed = {**typed, "readings": {**typed["readings"], "airflow": {**VISIT["readings"]["airflow"], "value": "1,190 CFM"}}}
    assert SYSTEM.prove(typed).ratio == SYSTEM.prove(VISIT).ratio


def test_a_date_is_a_day():
    with pytest.raises(on.InputError, match="date: not a day: 'tomorrow'; accepted: year, month and day, such as 2026-06-01"):
        SYSTEM.prove(changed("date", "tomorrow"))


def test_open_places_are_told_at_once():
    typed = {
        **VISIT,
        "limit": None,
        "readings": {**VISIT["readings"], "outdoor": {"dry_bulb": None, "instrument": "outdoor probe"}},
    }
    with pytest.raises(on.InputError, match=r"limit has no value; .* Open too: dry_bulb: fill them in"):
        SYSTEM.prove(typed)


def test_a_misspelt_stage_or_match_is_told_its_nearest():
    with pytest.raises(on.InputError, match=r"it has high, low; nearest: high"):
        SYSTEM.prove(changed("stage", "hgih"))
    with pytest.raises(on.InputError, match=r"nearest: indoor A"):
        SYSTEM.prove(changed("match", "indor A"))


def test_outside_the_page_is_not_comparable_and_not_steady_neither():
    p = SYSTEM.prove(changed("readings/outdoor/dry_bulb", "60 degF"))
    assert (p.outcome, p.reason, p.ratio, p.probability) == ("not_comparable", "outside", None, None)
    assert "no ratio: outdoor dry bulb 60 degF is outside 75 degF to 115 degF" in p.report(units="IP")
    assert SYSTEM.prove(changed("steady", False)).reason == "not_steady"


def test_capacities_need_units():
    p = SYSTEM.prove(VISIT)
    for name in ("expected", "delivered", "efficiency", "expected_efficiency"):
        assert not hasattr(p, name)
        with pytest.raises(AttributeError, match=f"^{name}: units are needed"):
            getattr(p, name)
    assert "undecided" in repr(p)


def test_the_report_names_everything_and_cautions():
    report = SYSTEM.prove(VISIT).report(units="IP")
    for part in (
        "expected at coil+fan",
        "page: high stage",
        "delivered",
        "proof: undecided",
        "what moves the ratio",
        "next: ",
        "Pass needs 95 %, fail 5 %.",
        "cautions",
    ):
        assert part in report
    assert "W" in SYSTEM.prove(VISIT).report(units="SI")


def test_the_command_proves_and_expects(capsys):
    assert main(["prove", str(DEMO / "library-visit.yaml"), "--units", "IP"]) == 4  # undecided
    assert capsys.readouterr().out.startswith("proof: undecided\n")
    question = [
        "expect",
        str(DEMO / "alder.yaml"),
        "--units",
        "IP",
        "--stage",
        "high",
        "--match",
        "indoor A",
        "--line-set",
        "50,0.75",
        "--outdoor-dry-bulb",
        "91",
        "--entering-dry-bulb",
        "77",
        "--entering-wet-bulb",
        "65",
        "--airflow",
        "1190",
        "--airflow-at",
        "return",
        "--elevation",
        "4690",
        "--boundary",
        "coil+fan",
        "--fan-power",
        "420",
    ]
    assert main(question) == 0
    out = capsys.readouterr().out
    assert "expected at coil+fan" in out and "cautions" in out


def test_the_command_says_what_is_wrong_and_exits_with_2(capsys, tmp_path):
    assert main(["prove", str(tmp_path / "none.yaml"), "--units", "IP"]) == 2
    assert "none.yaml" in capsys.readouterr().err
    with pytest.raises(SystemExit) as caught:
        main(["prove", str(DEMO / "library-visit.yaml")])
    assert caught.value.code == 2
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "offnominal",
            "expect",
            str(DEMO / "alder.yaml"),
            "--units",
            "IP",
            "--stage",
            "high",
            "--outdoor-dry-bulb",
            "91,5",
        ],
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2
    assert "use a point: 91.5" in done.stderr


def test_a_saturated_humidity_probe_condemns_nothing():
    p = SYSTEM.prove(changed("readings/supply/relative_humidity", "100 %"))
    assert p.outcome == "undecided"
    assert any("a wet bulb or dew point in the supply" in note for note in p.notes)


def test_swapped_probes_are_named_as_such_though_they_fall_off_the_page():
    visit = changed("readings/return", VISIT["readings"]["supply"])
    visit["readings"]["supply"] = VISIT["readings"]["return"]
    assert SYSTEM.prove(visit).reason == "wrong_mode"


def test_a_pressure_alone_is_noted_and_held_answers_stay_honest():
    visit = changed("site", {"pressure": "12.36 psia"})
    assert any("without an elevation" in note for note in SYSTEM.prove(visit).notes)
    inside = SYSTEM.prove(changed("readings/outdoor/dry_bulb", "75 degF"))
    held = SYSTEM.prove({**changed("readings/outdoor/dry_bulb", "74.5 degF"), "outside": "hold"})
    assert held.expected_u > inside.expected_u
    far = SYSTEM.prove({**changed("readings/outdoor/dry_bulb", "120 degF"), "outside": "hold"})
    assert (far.outcome, far.reason) == ("not_comparable", "outside")


def test_the_command_says_what_a_line_set_is(capsys):
    with pytest.raises(SystemExit):
        main(["expect", "x", "--line-set", "50ft,3/4"])
    assert "such as 50,3/4,0" in capsys.readouterr().err


POWER = {"value": "2370 W", "of": "outdoor unit", "instrument": "clamp meter"}


def test_power_and_efficiency_are_compared_where_they_are_alike():
    visit = changed("readings/power", POWER)
    p, si = SYSTEM.prove(visit, units="IP"), SYSTEM.prove(visit, units="SI")
    assert (p.no_power, p.power, p.expected_power) == ("none", 2370, pytest.approx(p.expected.power))
    assert p.power_ratio == pytest.approx(2370 / p.expected.power)
    assert p.power_ratio_u95 == 2 * p.power_ratio_u > 2 * 0.03 / 3**0.5 * p.power_ratio
    assert p.efficiency == pytest.approx(p.delivered.total_capacity / 2370)
    assert p.expected_efficiency == pytest.approx(p.expected.total_capacity / p.expected.power)
    assert si.efficiency == pytest.approx(si.delivered.total_capacity / 2370)
    assert p.efficiency_ratio == pytest.approx(p.delivered.total_capacity / p.expected.total_capacity / p.power_ratio)
    assert p.efficiency_ratio_u95 == 2 * p.efficiency_ratio_u
    assert p.nearest == []
    assert {line["input"]: line["power_ratio"] for line in p.budget}["power"] == pytest.approx(0.03 / 3**0.5)
    assert "efficiency" in p.report(units="IP")


def test_unlike_powers_give_a_reason_and_no_number():
    p = SYSTEM.prove(changed("readings/power", POWER | {"of": "compressor"}), units="IP")
    assert p.no_power == "unlike_basis"
    assert p.power is p.power_ratio is p.power_ratio_u95 is p.efficiency is p.expected_efficiency is p.efficiency_ratio is None
    assert "not compared" in p.report(units="SI")
    assert SYSTEM.prove(VISIT).no_power == "not_given"


def test_a_second_capacity_beside_the_air_s():
    alone = SYSTEM.prove(VISIT, units="SI")
    assert alone.second_capacity is None and alone.to_dict()["second_capacity"] is None
    coil = second_capacity.refrigerant(
        units="SI",
        flow=0.045,
        flow_u=0.0004,
        liquid_enthalpy=260e3,
        liquid_enthalpy_u=1e3,
        vapour_enthalpy=420e3,
        vapour_enthalpy_u=1e3,
    )
    share = coil.total_capacity_u / coil.total_capacity
    visit = {
        **VISIT,
        "second_capacity": {
            "by": coil.method,
            "total": f"{coil.total_capacity!r} W",
            "boundary": coil.boundary,
            "standard": share,
        },
    }
    proof = SYSTEM.prove(visit, units="SI")
    total = proof.delivered.total_capacity
    two = coil.compare(
        total_capacity=total,
        total_capacity_u=total * math.sqrt(sum(line["delivered"] ** 2 for line in proof.budget)),
        boundary="coil+fan",
        fan_power=420,
    )
    told = proof.second_capacity
    assert told["agreement"] == two.agreement == "contradicts"
    assert told["difference"] == pytest.approx(two.difference, rel=1e-12)
    # The fan's meter, 3 % of 420 W over the square root of 3, is in the visit's alone.
    assert told["difference_u"] == pytest.approx(math.hypot(two.difference_u, 0.03 * 420 / 3**0.5 / total), rel=1e-9)
    assert told["probability"] == pytest.approx(two.probability, rel=1e-3)
    assert (proof.suspect, proof.outcome, proof.ratio) == ("total_capacity", "undecided", alone.ratio)
    assert "further apart than 6 %" in proof.verdict(units="SI")
    assert on.Visit.parse(proof.visit.write()) == proof.visit
    with pytest.raises(on.InputError, match="second_capacity: standard is missing"):
        SYSTEM.prove({**visit, "second_capacity": {"by": "refrigerant", "total": "7 kW", "boundary": "coil"}})


def test_a_low_stage_s_power_under_a_high_stage_s_name_is_noticed():
    p = SYSTEM.prove(changed("readings/power", POWER | {"value": "1560 W"}))
    assert any("which one ran?" in note for note in p.notes)
    assert [fit["stage"] for fit in p.nearest] == ["low", "high"]
    assert p.nearest[1]["ratio"] == pytest.approx(p.ratio, rel=0.005)
    assert p.suspect == "stage"
    assert p.nearest[0]["power_ratio"] == pytest.approx(1, abs=0.05)


def test_the_weather_is_in_the_pressure_unless_a_barometer_says_otherwise():
    def line(visit):
        return next(line for line in SYSTEM.prove(visit).budget if line["input"] == "pressure")

    assert line(VISIT)["standard_uncertainty_si"] == pytest.approx(0.01 * 85290, abs=0.005)
    visit = changed("site", {"elevation": "4690 ft", "pressure": "85.4 kPa", "instrument": "barometer"})
    visit["instruments"] = VISIT["instruments"] | {"barometer": {"pressure": {"standard": "50 Pa"}}}
    assert line(visit)["standard_uncertainty_si"] == 50


def test_probes_side_by_side_share_their_error():
    visit = changed("instruments/supply probe/side_by_side", {"with": "return probe", "correlation": 0.9})
    assert SYSTEM.prove(visit).ratio_u < SYSTEM.prove(VISIT).ratio_u


@pytest.mark.parametrize("limit", [0.5, 0.8, 0.9, 0.93, 1.0, 1.1])
def test_the_probability_is_scipy_s(limit):
    from scipy.stats import norm

    p = SYSTEM.prove(changed("limit", limit))
    assert p.probability == pytest.approx(norm.sf((limit - p.ratio) / p.ratio_u), abs=0.03)  # the draws lean a little


def test_acceptance_and_the_risks_it_leaves():
    guarded = SYSTEM.prove(VISIT)
    assert (guarded.acceptance, guarded.outcome, guarded.risk) == ("guarded", "undecided", None)
    assert guarded.guard_band == pytest.approx(1.6448536 * guarded.ratio_u)
    assert guarded.consumer_risk is guarded.producer_risk is None
    simple = SYSTEM.prove({**VISIT, "acceptance": "simple", "population": {"mean": 0.93, "standard": 0.08}})
    assert (simple.acceptance, simple.outcome, simple.guard_band) == ("simple", "meets", 0.0)
    assert simple.risk == 1 - simple.probability
    assert 0 < simple.consumer_risk < 0.2 and 0 < simple.producer_risk < 0.2
    assert "global risk, of all machines that the visit says it is one of" in simple.report(units="IP")


def test_an_expired_calibration_is_named_and_costs():
    visit = changed("instruments/return probe/calibrated", "2025-06-01")
    visit["instruments"]["return probe"]["calibration_valid"] = "12 months"
    fresh, expired = SYSTEM.prove({**visit, "date": "2026-05-31"}), SYSTEM.prove({**visit, "date": "2027-06-01"})
    assert [any("calibration has expired" in note for note in proof.notes) for proof in (fresh, expired)] == [False, True]
    assert expired.ratio_u > fresh.ratio_u == SYSTEM.prove(VISIT).ratio_u
    told = (
        "return probe: calibration expired on 2026-06-01, 365 days before the visit: its stated accuracy is no longer vouched for"
    )
    assert f"{told}; widened 1.41 times" in expired.report(units="IP")
    assert "return probe: calibration expires on 2026-06-01" in fresh.report(units="IP")


def test_readings_come_from_a_log_beside_the_visit(tmp_path):
    rows = [f"{30 * i},{58.4 + 0.4 * math.sin(0.2 * math.pi * i):.2f},86.4,76.6,55.0" for i in range(81)]  # a valve swings
    head = "time (s),supply dry bulb (degF),supply relative humidity (%),return dry bulb (degF),return relative humidity (%)"
    (tmp_path / "run.csv").write_text("\n".join([head, *rows]) + "\n")
    readings = {**VISIT["readings"], "log": "run.csv"}
    readings["supply"] = {"dry_bulb": "log", "relative_humidity": "log", "instrument": "supply probe"}
    visit = {name: value for name, value in VISIT.items() if name != "steady"} | {"readings": readings}
    path = tmp_path / "visit.yaml"
    path.write_text(json.dumps(visit))
    proof, typed = SYSTEM.prove(path), SYSTEM.prove(VISIT)
    assert proof.ratio == pytest.approx(typed.ratio, rel=0.01)
    assert proof.ratio_u > typed.ratio_u  # what it scatters by counts
    assert "longer_window" in [one.remedy for one in proof.settle()]
    assert "means over a window of run.csv" in proof.report(units="SI")
    # What is written stands alone: the log is a name, and nobody reads it.
    alone = on.Visit.parse(proof.visit.write())
    assert alone == proof.visit
    assert SYSTEM.prove(alone).ratio == proof.ratio


@pytest.mark.parametrize("match", ("indoor A", "indoor B"))
@pytest.mark.parametrize("limits", ("100 delta_degF", "1409 delta_degF", "1e6 delta_degF"))
def test_a_probe_that_says_nothing_ends_no_program(match, limits):
    """Found by a fuzzer: of a coil that no air explains, an answer that is none was used, inside what may not throw."""
    air = {"dry_bulb": "57 degF", "dew_point": "54 degF", "instrument": "p"}
    accuracy = {"limits": "1 delta_degF"}
    visit = {**VISIT, "match": match, "boundary": "coil", "line_set": "reference", "site": {"pressure": "84 kPa"}}
    del visit["fan_power"]
    visit["readings"] = {
        "outdoor": {"dry_bulb": "91 degF", "instrument": "p"},
        "return": {"dry_bulb": "76 degF", "wet_bulb": "64 degF", "instrument": "p"},
        "supply": air,
        "airflow": {"value": "1100 scfm", "instrument": "p"},
    }
    visit["instruments"] = {
        "p": {"dry_bulb": {"limits": limits}, "wet_bulb": accuracy, "dew_point": accuracy, "airflow": {"expanded": "7 %"}}
    }
    proof = SYSTEM.prove(visit)
    assert proof.outcome in ("undecided", "not_comparable", "implausible")
