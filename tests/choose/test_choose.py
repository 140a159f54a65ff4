"""Choosing from Python and the command; choose.cpp holds what is compared."""

import csv
import io
import json
import pathlib
import pickle

import numpy as np
import pytest
import yaml

import offnominal as on
from offnominal import _core
from offnominal.__main__ import main

DEMO = pathlib.Path(__file__).parents[2] / "tables" / "demo"
SYSTEM = on.load(DEMO / "alder.yaml")
DESIGN = {"outdoor_dry_bulb": 95, "entering_dry_bulb": 75, "entering_wet_bulb": 63, "elevation": 1000}
LOADS = {"total_load": 31000, "sensible_load": 23000}
WORDS = [f"--{name.replace('_', '-')}={value}" for name, value in {**DESIGN, **LOADS}.items()]


def test_figures_are_those_of_expect_in_the_callers_units():
    for units, airflow, scale in (("IP", 900, 1.0), ("SI", 0.42, None)):
        design = DESIGN if units == "IP" else {**DESIGN, "outdoor_dry_bulb": 35, "entering_dry_bulb": 24, "entering_wet_bulb": 17}
        loads = LOADS if units == "IP" else {"total_load": 9000, "sensible_load": 6800}
        if units == "SI":
            design["elevation"] = 300
        one = on.choose(SYSTEM, units=units, airflow=airflow, **design, **loads)[0]
        expected = SYSTEM.expect(
            units=units,
            stage=one.stage,
            match=one.match,
            line_set="reference",
            airflow=airflow,
            airflow_basis="standard",
            boundary="coil+fan",
            fan_power=one.fan_power,
            **design,
        )
        assert one.total == pytest.approx(expected.total_capacity, rel=1e-12)
        assert one.sensible == pytest.approx(expected.sensible_capacity, rel=1e-12)
        assert one.total_over == pytest.approx(one.total / loads["total_load"], rel=1e-12)


def test_a_list_a_table_a_text():
    choices = on.choose([SYSTEM, on.load(DEMO / "birch.yaml")], units="IP", **DESIGN, **LOADS)
    assert choices.fitting and choices[0] == choices.fitting[0] and choices[-1] == list(choices)[-1]
    frame = choices.to_pandas()
    assert len(frame) == len(choices) and frame.attrs["units"]["total"] == "Btu/h"
    assert str(choices).startswith(f"{len(choices.fitting)} of {len(choices)} combinations fit; limits: ANSI/ACCA 2 Manual S")
    assert "indoor A" in choices._repr_html_()
    assert pickle.loads(pickle.dumps(choices)) == choices
    assert choices[0].heating is None and hash(choices) == hash(choices)


def test_heat_pumps_tell_their_balance_point_and_what_is_missing():
    one = on.choose(SYSTEM, units="IP", heating_load=40000, heating_outdoor_dry_bulb=17, **DESIGN, **LOADS)[0]
    assert 17 < one.balance_point < 65
    assert one.auxiliary == pytest.approx(40000 - one.heating)
    # By a scan: the load is a straight line from none at 65 degF to that at design, met by whichever stage gives most, frost counted where the page does.
    places = np.arange(17, 65, 0.02)
    question = dict(
        units="IP", mode="heating", entering_dry_bulb=70, airflow=one.airflow, airflow_basis="standard", match=one.match
    )
    question |= dict(boundary="coil+fan", fan_power=one.fan_power, auxiliary_heat=0, line_set="reference", elevation=1000)
    most = np.full(places.size, -np.inf)
    for stage in SYSTEM.heating_stages:
        integrated, steady = (
            SYSTEM.expect(**question, stage=stage, frost=frost, outdoor_dry_bulb=places).total_capacity
            for frost in ("integrated", "instantaneous")
        )
        most = np.fmax(most, np.where(np.isnan(integrated), steady, integrated))
    meets = places[most >= 40000 * (65 - places) / (65 - 17)]
    assert one.balance_point == pytest.approx(meets[0], abs=0.05)


def test_the_line_set_of_the_site_is_in_every_figure():
    line = {"length": 75, "suction": 3 / 4, "lift": 0}
    by_site = on.choose(SYSTEM, units="IP", airflow=1000, line_set=line, **DESIGN, **LOADS)
    rated = {one.match: one for one in on.choose(SYSTEM, units="IP", airflow=1000, **DESIGN, **LOADS)}
    for one in by_site:
        if one.misfit == "no_answer":
            continue
        expected = SYSTEM.expect(
            units="IP", stage=one.stage, match=one.match, line_set=line, airflow=1000, airflow_basis="standard", boundary="coil+fan",
            fan_power=one.fan_power, **DESIGN,
        )  # fmt: skip
        assert one.total == pytest.approx(expected.total_capacity, rel=1e-12) and one.total < rated[one.match].total
    far = on.choose(SYSTEM, units="IP", line_set={**line, "length": 900}, **DESIGN, **LOADS)
    assert {one.misfit for one in far} == {"no_answer"}


def test_limits_of_ones_own_stand_in_place_of_published_ones():
    named = on.choose(SYSTEM, units="IP", **DESIGN, **LOADS)
    # The same numbers, of a machine of two speeds.
    own = {"source": "ours, edition 3", "total": (0.9, 1.2), "sensible": 0.9, "latent": (1.0, 1.5)}
    same = on.choose(SYSTEM, units="IP", limits=own, **DESIGN, **LOADS)
    assert [one.misfit for one in same] == [one.misfit for one in named]
    strict = on.choose(SYSTEM, units="IP", limits={**own, "total": 5}, **DESIGN, **LOADS)
    assert not strict.fitting and {one.misfit for one in strict} <= {"total_low", "no_answer"}
    assert list(on.choose(SYSTEM, units="IP", limits=json.dumps(own), **DESIGN, **LOADS)) == list(same)
    numpy = {**own, "sensible": np.float32(0.5), "total": [np.int64(0), 1.2]}
    assert on.choose(SYSTEM, units="IP", limits=numpy, **DESIGN, **LOADS).fitting
    assert str(on.choose(SYSTEM, units="IP", limits=json.dumps(own), **DESIGN, **LOADS)) == str(same)
    assert "limits: ours, edition 3" in str(same) and pickle.loads(pickle.dumps(same)) == same


def test_a_design_point_outside_every_page_and_a_static_that_no_setting_meets_are_said_of_each():
    hot = on.choose(SYSTEM, units="IP", **{**DESIGN, "outdoor_dry_bulb": 140}, **LOADS)
    assert not hot.fitting and {one.misfit for one in hot} == {"no_answer"}
    assert {one.why for one in hot} == {"outdoor dry bulb 140 degF is outside 75 degF to 115 degF"}  # in the caller's units alone
    duct = on.choose(SYSTEM, units="IP", external_static=5, **DESIGN, **LOADS)
    assert {one.misfit for one in duct} == {"no_answer"} and all(one.why for one in duct)


@pytest.mark.parametrize(
    "changed, error, said",
    [
        ({"sensible_load": 33000}, on.InputError, "do not add up.*31000 Btu/h"),
        ({"sensible_load": None}, on.InputError, "two of total, sensible and latent"),
        ({"limits": "rule_of_thumb"}, on.InputError, "limits: .*rule_of_thumb.*accepted: manual_s_2014, "),
        (
            {"limits": {"source": "ours", "total": (1.2, 0.9), "sensible": 0.9, "latent": 1}},
            on.InputError,
            r"limits: total: no range: .*\[1.2, ?0.9\].*the least and the most",
        ),
        ({"limits": {"total": 1}}, on.InputError, "limits: source: missing; accepted: source, total"),
        ({"limits": {"total": 1j}}, ValueError, "limits: .*accepted: a dict of texts and finite numbers"),
        ({"limits": {"total": float("nan")}}, ValueError, "accepted: a dict of texts and finite numbers"),
        ({"limits": None}, on.InputError, "accepted: manual_s_2014"),
        ({"line_set": {"length": 60}}, ValueError, "line_set: suction missing"),
        ({"line_set": None}, ValueError, "line_set: None; accepted: 'reference'"),
        ({"entering_wet_bulb": None}, on.Refused, "entering humidity"),
        ({"elevation": None}, on.Refused, "elevation"),
        ({"units": "imperial"}, ValueError, "units: 'imperial'"),
        ({"airflow": -5}, on.InputError, "airflow"),
        ({"external_static": float("nan")}, ValueError, "external_static: nan; accepted: a finite number"),
        ({"heating_load": float("nan")}, ValueError, "heating_load: nan; accepted"),
        ({"entering_wet_bulb": float("nan")}, ValueError, "entering_wet_bulb: nan; accepted"),
        ({"heating_load": float("inf"), "heating_outdoor_dry_bulb": 17}, on.InputError, "heating load"),
        ({"airflow": 900, "external_static": 0.5}, on.InputError, "airflow beside an external static.*one of the two"),
        ({"heating_outdoor_dry_bulb": 17}, ValueError, "heating_outdoor_dry_bulb: 17; accepted: only beside heating_load"),
        ({"no_heating_load": 60}, ValueError, "no_heating_load: 60; accepted: only beside"),
        ({"frost": "integrated"}, ValueError, "frost: 'integrated'; accepted: only beside"),
        ({"frost": "some", "heating_load": 3e4, "heating_outdoor_dry_bulb": 17}, ValueError, "frost: 'some'; accepted: 'inst"),
        ({"entering_wet_bulb": 80}, on.Refused, "entering air at design: .*80 degF"),
        ({"systems": []}, on.InputError, "systems: none is given; accepted: one or more"),
        ({"systems": "x"}, TypeError, "systems: 'x'; accepted: a System, as offnominal.load reads it"),
        ({"systems": 7}, TypeError, "systems: 7; accepted: a System"),
        ({"systems": ["alder.yaml"]}, TypeError, "systems: 'alder.yaml' at place 0; accepted: a System"),
    ],
)
def test_what_is_refused(changed, error, said):
    with pytest.raises(error, match=said) as caught:
        on.choose(**{"systems": SYSTEM, "units": "IP", **DESIGN, **LOADS, **changed})
    assert " W" not in str(caught.value) and "degC" not in str(caught.value)  # the caller's units alone


def test_airflows_that_fit_are_told_beside_those_that_do_not():
    hazel = on.load(DEMO.parent / "corpus/hazel.yaml")
    choices = on.choose(hazel, units="IP", **DESIGN, **LOADS)
    assert len(choices) == 8 and len(choices.fitting) == 1
    first = choices[0]
    assert first.airflow_from < 940 < first.airflow < 970 < first.airflow_to
    at = [first.airflow_from + 0.1, first.airflow_to - 0.1, first.airflow_from - 0.1, first.airflow_to + 0.1]
    found = {one.airflow: one.misfit for one in on.choose(hazel, units="IP", airflow=at, **DESIGN, **LOADS)}
    assert [found[next(x for x in found if abs(x - flow) < 1e-6)] == "none" for flow in at] == [True, True, False, False]
    assert f"latent low; fits from {first.airflow_from:.0f} cfm to {first.airflow_to:.0f} cfm" in str(choices)
    assert "no airflow fits" in str(on.choose(hazel, units="IP", **DESIGN, total_load=31000, sensible_load=30000))


def test_a_large_machine_is_not_a_small_one_at_its_low_stage():
    choices = on.choose(SYSTEM, units="IP", **DESIGN, total_load=22500, sensible_load=16000)
    assert not choices.fitting and {one.stage for one in choices} == {"high"}
    (one,) = [each for each in on.choose(SYSTEM, units="IP", airflow=600, **DESIGN, **LOADS) if each.match == "indoor A"]
    assert (one.misfit, one.stage) == ("no_answer", "high") and one.why.startswith(
        "standard airflow 600 scfm is outside 800 scfm"
    )


def test_what_a_choice_leans_on_and_how_sure_it_is():
    for one in on.choose(SYSTEM, units="IP", **DESIGN, **LOADS):
        assert one.sensible_u == pytest.approx(np.hypot(one.total_u, 0.02))
        assert one.latent_u == pytest.approx(np.hypot(one.total_u, 0.02 * one.sensible / one.latent))
        expected = SYSTEM.expect(
            units="IP", stage=one.stage, match=one.match, line_set="reference", airflow=one.airflow, airflow_basis="standard",
            boundary="coil+fan", fan_power=one.fan_power, **DESIGN,
        )  # fmt: skip
        assert one.footing == str(expected.footing)
        if one.misfit == "latent_low":
            assert one.fits < 0.5
    leans = [
        one for one in on.choose(SYSTEM, units="IP", **{**DESIGN, "entering_wet_bulb": 59.5}, **LOADS) if one.footing != "inside"
    ]
    assert leans
    assert "leans on " in str(on.choose(SYSTEM, units="IP", **{**DESIGN, "entering_wet_bulb": 59.5}, **LOADS))


def test_the_kind_of_heating_and_why_there_is_none():
    asked = dict(units="IP", heating_load=40000, heating_outdoor_dry_bulb=17, **DESIGN, **LOADS)
    kinds = {frost: on.choose(SYSTEM, **asked, frost=frost)[0] for frost in (None, "integrated", "instantaneous")}
    assert kinds["instantaneous"].frost == "instantaneous" and kinds["integrated"].frost == "integrated"
    assert kinds["instantaneous"].balance_point < kinds["integrated"].balance_point
    assert kinds[None].balance_point == kinds["integrated"].balance_point and kinds[None].no_heating == ""
    assert f"{kinds[None].balance_point:.1f}" in str(on.choose(SYSTEM, **asked)) and "integrated" in str(
        on.choose(SYSTEM, **asked)
    )
    cold = on.choose(SYSTEM, **{**asked, "heating_outdoor_dry_bulb": -40})
    assert {one.heating for one in cold} == {None} and {one.frost for one in cold} == {""}
    assert all("outdoor dry bulb -40 degF is outside" in one.no_heating for one in cold) and "-40 degF" in str(cold)
    birch = on.choose(on.load(DEMO / "birch.yaml"), **asked)[0]
    assert birch.heating is None and birch.no_heating


def test_published_limits_are_those_of_the_file_they_are_from():
    text = (pathlib.Path(__file__).parents[1] / "published/installation_limits.yaml").read_text(encoding="utf-8")
    published = yaml.safe_load(text)
    newer, older, star = (published[name] for name in ("manual_s_2014", "manual_s_2004", "energy_star_v3_hvac_rater_checklist"))
    share = star["total_cooling_capacity_pct_of_total_gain"]
    percent = older["max_pct"]

    def total_of(limits, heats=False):
        return [[limits["heat_pump" if heats else "total"][kind][end] for end in (0, 1)] for kind in range(3)]

    told = {name: _core.limits_of(name) for name in _core.sizing_limits}
    kinds = ("single_speed", "two_speed", "variable_speed")
    for name in ("manual_s_2014", "manual_s_2014_condition_b"):
        assert total_of(told[name]) == [newer["total_capacity_over_total_load"][kind] for kind in kinds]
        assert list(told[name]["latent"]) == newer["latent_over_latent_load"]
        assert told[name]["sensible"][0] == newer["sensible_over_sensible_load_min"]
    assert total_of(told["manual_s_2014"], True) == total_of(told["manual_s_2014"])
    above = told["manual_s_2014_condition_b"]["heat_pump_above"] / 0.29307107017222
    assert newer["heat_pump_condition_B_total_capacity_max"].startswith(f"total load + {above:.0f} Btu/h")
    assert {most for _, most in total_of(told["manual_s_2004"])} == {percent["air_conditioner_total_of_heat_gain"] / 100}
    assert {most for _, most in total_of(told["manual_s_2004"], True)} == {percent["heat_pump_of_heat_gain"] / 100}
    assert set(percent) == {
        "air_conditioner_total_of_heat_gain",
        "heat_pump_of_heat_gain",
        "furnace_or_boiler_output_of_heat_loss",
    }
    assert "that the least is the load is common practice, no source" in _core.sizing_limits["manual_s_2004"]
    for heats, kind in ((False, "air_conditioner"), (True, "heat_pump_climate_zones_4_to_8")):
        assert total_of(told["energy_star_v3"], heats) == [[x / 100 for x in share[kind]]] * 3
    assert all(
        star[each].startswith("listed") and told["energy_star_v3"][each] == (1.0, np.inf) for each in ("sensible", "latent")
    )


def test_the_command(capsys):
    system = str(DEMO / "alder.yaml")
    assert main(["choose", system, "--units=IP", *WORDS]) == 0
    assert "combinations fit" in capsys.readouterr().out
    assert main(["choose", system, "--units=IP", *WORDS, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["choices"][0]["misfit"] == "none"
    assert main(["choose", system, "--units=IP", *WORDS, "--external-static=0.5", "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert rows[0]["tap"] == "2" and float(rows[0]["airflow [cfm]"]) == pytest.approx(882, abs=1)
    assert any(row["why"].startswith("there is no blower table of this indoor unit") for row in rows)
    assert main(["choose", system, "--units=IP", *WORDS, "--line-set=75,3/4", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["choices"][0]["total"] < told["choices"][0]["total"]
    assert main(["choose", system, "--units=IP", *WORDS, "--line-set=75,3/4"]) == 0
    assert "line set of the site" in capsys.readouterr().out
    assert main(["choose", system, "--units=IP", *WORDS, "--latent-load=100"]) == 2
    assert "do not add up" in capsys.readouterr().err


def test_the_command_takes_limits_from_a_file(capsys, tmp_path):
    command = ["choose", str(DEMO / "alder.yaml"), "--units=IP", *WORDS]
    own = tmp_path / "own.json"
    own.write_text('{"source": "ours, edition 3", "total": 5, "sensible": 0.9, "latent": [1, 1.5]}')
    assert main([*command, f"--limits={own}"]) == 0
    assert "0 of 14 combinations fit; limits: ours, edition 3" in capsys.readouterr().out
    for text, accepted in (('{"source": ', "accepted: JSON"), ('{"source": "ours"}', "total: missing; accepted: source")):
        own.write_text(text)
        assert main([*command, f"--limits={own}"]) == 2
        assert accepted in capsys.readouterr().err
    assert main([*command, "--limits=manual_s"]) == 2
    assert "accepted: manual_s_2014" in capsys.readouterr().err
