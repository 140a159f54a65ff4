"""Likely causes from Python, the command, in reports and records; causes.cpp holds what they are."""

import json
import pathlib
import shutil

import pytest

import offnominal as on
from offnominal.__main__ import main

DEMO = pathlib.Path(__file__).parents[2] / "tables" / "demo"
VISIT = DEMO / "library-visit.yaml"
SYSTEM = on.load(DEMO / "alder.yaml")


def weak(units):
    """The demo's visit, with supply air so warm and an electric power so low that the machine falls short."""
    text = VISIT.read_text(encoding="utf-8").replace("dry_bulb: 58.4 degF", "dry_bulb: 62.4 degF")
    return SYSTEM.prove(on.Visit.parse(text), units=units)


def test_they_are_named_tuples_a_table_and_a_text():
    causes = weak("IP").causes()
    assert sum(one.probability for one in causes.likely) + causes.others == pytest.approx(1, abs=1e-12)
    assert list(causes.likely) == sorted(causes.likely, key=lambda one: -one.probability)
    assert causes.first == causes.likely[0].probability and causes.reason == "none"
    assert list(causes.to_pandas()["cause"]) == [one.cause for one in causes.likely]
    assert str(causes).startswith("likely causes: hypotheses, no verdict\n")
    assert causes.likely[0].text in str(causes) and causes.checks[0].text in causes._repr_html_()
    for check in causes.checks:
        assert check.first >= causes.first - 1e-6


def test_what_was_seen_counts_in_the_proofs_units():
    in_degF, in_K = weak("IP").causes(seen={"subcooling": -9}), weak("SI").causes(seen={"subcooling": -5})
    assert in_degF.first == pytest.approx(in_K.first, rel=1e-12)
    assert in_degF.likely[0].cause == "charge_low"
    dirty = weak("IP").causes(seen={"outdoor_unit": True})
    assert {one.check for one in dirty.checks}.isdisjoint({"outdoor_unit"})


def test_two_at_once_are_a_hypothesis_of_its_own():
    seen = {"subcooling": -11, "superheat": 13, "condensing": 8, "outdoor_unit": True}
    causes = weak("IP").causes(seen=seen)
    pairs = [one for one in causes.likely if one.also]
    assert ("charge_low", "outdoor_airflow") in {(one.cause, one.also) for one in pairs}
    for one in pairs:
        assert one.text.startswith("both ") and ", and " in one.text
        assert one.also_low <= one.also_severity <= one.also_high
        assert (one.input is not None) == (one.also == "reading")
    assert all(one.also_severity is None for one in causes.likely if not one.also)
    assert all(one.severity_low <= one.severity <= one.severity_high for one in causes.likely)
    never = weak("IP").causes(seen=seen, priors={"two_at_once": 0})
    assert not any(one.also for one in never.likely)


def test_priors_may_be_replaced():
    never = weak("IP").causes(priors={"charge_low": 0})
    assert "charge_low" not in {one.cause for one in never.likely}
    by_airflow = {one.input: one.probability for one in weak("IP").causes(priors={"airflow": 20}).likely if not one.also}
    as_stated = {one.input: one.probability for one in weak("IP").causes().likely if not one.also}
    assert by_airflow["airflow"] > 1.5 * as_stated["airflow"]
    with pytest.raises(on.InputError, match="prior of charge_low.*zero or more"):
        weak("IP").causes(priors={"charge_low": -1})
    with pytest.raises(ValueError, match="priors: 'bad_luck'.*'charge_low'"):
        weak("IP").causes(priors={"bad_luck": 1})
    with pytest.raises(ValueError, match="seen: 'smell'.*'subcooling'"):
        weak("IP").causes(seen={"smell": 1})
    with pytest.raises(AttributeError, match="units are needed"):
        SYSTEM.prove(on.Visit(VISIT)).causes()


def test_the_report_and_the_record_tell_them_where_something_is_to_be_explained():
    proof = weak("IP")
    assert proof.outcome == "falls_short"
    lines = proof.report(units="IP").splitlines()
    assert "likely causes: hypotheses, no verdict" in lines
    assert "likely causes" not in SYSTEM.prove(on.Visit(VISIT), units="IP").report(units="IP")
    pytest.importorskip("jinja2")
    page = proof.record().html()
    assert "Likely causes: hypotheses, no verdict" in page and proof.causes().likely[0].text in page


def test_swapped_probes_are_named_where_there_is_no_ratio(tmp_path, capsys):
    text = VISIT.read_text(encoding="utf-8")
    swapped = text.replace("return:", "other:").replace("supply:", "return:").replace("other:", "supply:")
    proof = SYSTEM.prove(on.Visit.parse(swapped), units="IP")
    assert proof.outcome == "not_comparable" and proof.reason == "wrong_mode"
    causes, right = proof.causes(), SYSTEM.prove(on.Visit(VISIT), units="IP")
    first = causes.likely[0]
    assert causes.reason == "wrong_mode" and first.cause == "swapped" and causes.checks[0].check == "probes"
    assert (first.severity, first.severity_low, first.severity_high) == pytest.approx(
        (right.ratio, right.ratio_low, right.ratio_high), rel=1e-12
    )
    assert "There is no ratio: supply is warmer than return" in str(causes)
    assert str(causes) in proof.report(units="IP")
    assert proof.causes(seen={"probes": False}).likely[0].probability < first.probability
    pytest.importorskip("jinja2")
    assert "return and supply are swapped: about " in proof.record().html()
    visit = shutil.copytree(DEMO, tmp_path / "demo") / "swapped.yaml"
    visit.write_text(swapped, encoding="utf-8")
    assert main(["causes", str(visit), "--units", "IP"]) == 0
    assert "return and supply are swapped" in capsys.readouterr().out


def test_humidities_alone_that_were_swapped_are_a_hypothesis_where_there_is_a_ratio():
    text = VISIT.read_text(encoding="utf-8")
    right, swapped = (
        SYSTEM.prove(on.Visit.parse(text.replace("55.0 %", f"{a} %").replace("86.4 %", f"{b} %")), units="IP")
        for a, b in ((45, 73), (73, 45))
    )
    assert swapped.outcome == "implausible" and swapped.causes().likely[0].cause == "swapped"
    assert "swapped" not in {one.cause for one in right.causes().likely}


def test_an_airflow_that_was_found_stands_off_by_so_much_air():
    """There is no reading of which it would be a share."""
    text = (
        VISIT.read_text(encoding="utf-8")
        .replace("58.4 degF", "63 degF")
        .replace("  flow grid:", "  manometer:")
        .replace("{airflow:", "{pressure:")
    )
    found = text.replace(
        "{value: 1190 cfm, at: return, instrument: flow grid}", "{blower: {tap: 4, static: 0.35 in_wc, instrument: manometer}}"
    )
    causes = SYSTEM.prove(on.Visit.parse(found), units="IP").causes(priors={"charge_low": 0, "return_leak": 0, "compressor": 0})
    (one,) = (one for one in causes.likely if one.input == "airflow" and one.also is None)
    assert one.text.endswith("truth") and f"airflow stands about {abs(one.severity) / 0.3048**3 * 60:.0f} cfm below" in one.text


def test_the_command(capsys):
    assert main(["causes", str(VISIT), "--units", "IP", "--saw", "subcooling=-9", "--saw", "outdoor_unit=no"]) == 0
    out = capsys.readouterr().out
    assert "too little refrigerant" in out and "licensed" in out
    assert main(["causes", str(VISIT), "--units", "IP", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["likely"][0]["cause"] == "nothing_wrong"
    assert main(["causes", str(VISIT), "--units", "IP", "--csv"]) == 0
    assert capsys.readouterr().out.startswith("cause,text,probability,")
    for wrong in ("subcooling", "outdoor_unit=perhaps", "smell=1"):
        assert main(["causes", str(VISIT), "--units", "IP", "--saw", wrong]) == 2
        assert "accepted: " in capsys.readouterr().err
    assert main(["causes", str(VISIT), "--units", "IP", "--saw", "outdoor_unit=yes", "--saw", "outdoor_unit=no"]) == 2
    assert "contradicts what outdoor_unit told before" in capsys.readouterr().err
