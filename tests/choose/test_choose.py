"""Choosing from Python and the command; choose.cpp holds what is compared."""

import csv
import io
import json
import pathlib
import pickle

import numpy as np
import pytest

import offnominal as on
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
    assert all("is outside" in one.why for one in hot)
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
    ],
)
def test_what_is_refused(changed, error, said):
    with pytest.raises(error, match=said):
        on.choose(SYSTEM, **{"units": "IP", **DESIGN, **LOADS, **changed})


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
