"""Airflow from Python and by the command: the figures of each way are held in determine.cpp and blower.cpp."""

import csv
import math
import pathlib

import numpy as np
import offnominal as on
import pytest
import scipy.interpolate
import scipy.stats
import yaml
from hypothesis import given
from hypothesis import strategies as st
from offnominal import airflow
from offnominal.__main__ import main

TESTS = pathlib.Path(__file__).resolve().parents[1]
DEMO = TESTS.parent / "tables" / "demo"
PUBLISHED = yaml.safe_load((TESTS / "published/duct_traverse.yaml").read_text(encoding="utf-8"))
SYSTEM = on.load(DEMO / "alder.yaml")
AIR = {"dry_bulb": 76, "relative_humidity": 0.55, "elevation": 5000}
# Dry air of 0.075 lb/ft3: standard and actual airflow are one.
PRESSURE = 14.7 * 0.075 * on.air.state(units="IP", dry_bulb=70, humidity_ratio=0.0, pressure=14.7).volume
STANDARD = {"dry_bulb": 70, "humidity_ratio": 0.0, "pressure": PRESSURE, "density_u": 0.01}
ASKED = {"units": "IP", "tap": "4", "static": 0.52, "static_u": 0.01, "includes": "wet coil, no filter"}


def test_the_demo_blower_is_scipys_curve():
    """SciPy's PchipInterpolator over the printed pressures of each tap, in standard air."""
    rows = [row for row in csv.reader((DEMO / "alder-blower.csv").open(encoding="utf-8")) if not row[0].startswith("#")][2:]
    for tap in SYSTEM.taps:
        static, flow, power = np.array([row[1:] for row in rows if row[0] == tap and row[2] != "-"], dtype=float).T
        for at in np.linspace(static[0], static[-1], 37)[1:-1]:
            found = SYSTEM.blower(units="IP", tap=tap, static=at, **STANDARD)
            assert found.actual == pytest.approx(scipy.interpolate.PchipInterpolator(static, flow)(at), rel=1e-9)
            watts = scipy.interpolate.PchipInterpolator(static, power)(at)
            assert found.power == pytest.approx(watts, rel=1e-9)


def test_elevation_and_barometer_together():
    by_barometer = SYSTEM.blower(**ASKED, **{**AIR, "elevation": None, "pressure": 12.0})
    assert SYSTEM.blower(**ASKED, **AIR, pressure=12.0).airflow == by_barometer.airflow
    with pytest.raises(on.Refused, match="pressure"):
        SYSTEM.blower(**ASKED, **AIR, pressure=14.7)


def test_blower_in_both_unit_systems():
    ip = SYSTEM.blower(**ASKED, **AIR)
    si = SYSTEM.blower(
        units="SI",
        tap="4",
        static=0.52 * 249.08891,
        static_u=2.4908891,
        includes="wet coil, no filter",
        dry_bulb=(76 - 32) / 1.8,
        relative_humidity=0.55,
        elevation=1524,
    )
    assert si.airflow == pytest.approx(ip.airflow * 0.3048**3 / 60, rel=1e-12)
    assert si.airflow_u == pytest.approx(ip.airflow_u * 0.3048**3 / 60, rel=1e-9)
    assert si.power == pytest.approx(ip.power, rel=1e-12)
    assert ip.actual > ip.airflow  # thin air
    assert any("does not keep to the fan law" in note for note in ip.notes)
    assert math.hypot(*(term.effect for term in ip.terms)) * ip.airflow == pytest.approx(ip.airflow_u, rel=1e-9)


def test_blower_refusals():
    with pytest.raises(on.Refused, match="no such tap: '9'; accepted: 1, 2, 3, 4, 5") as refused:
        SYSTEM.blower(**{**ASKED, "tap": "9"}, **AIR)
    assert refused.value.why == "unknown_tap"
    with pytest.raises(on.InputError, match="tap: half a character"):
        SYSTEM.blower(**{**ASKED, "tap": "\udcff"}, **AIR)
    with pytest.raises(on.Refused, match="external static pressure 0.95 in_wc"):
        SYSTEM.blower(**{**ASKED, "static": 0.95}, **AIR)
    with pytest.raises(on.InputError, match="across another boundary than the table's: with the filter"):
        SYSTEM.blower(**{**ASKED, "includes": "wet coil, filter"}, **AIR)
    with pytest.raises(on.InputError, match="heater"):
        SYSTEM.blower(**{**ASKED, "includes": "heater"}, **AIR)
    with pytest.raises(ValueError, match="drops: 'wheel'; accepted: 'filter'"):
        SYSTEM.blower(**ASKED, drops={"wheel": 0.1}, **AIR)
    with pytest.raises(on.Refused, match="give elevation, pressure or both"):
        SYSTEM.blower(**ASKED, dry_bulb=76, relative_humidity=0.55)
    with pytest.raises(ValueError, match="by: 'statics'; accepted: static"):
        SYSTEM.blower(**ASKED, by={"statics": "manometer"}, **AIR)


def test_drop_between_the_boundaries():
    """A filter of 0.1 in. w.c. inside the taps that the table leaves out."""
    with_filter = {**ASKED, "static": 0.42, "includes": "wet coil, filter", "drops": {"filter": (0.10, 0.0)}}
    assert SYSTEM.blower(**with_filter, **AIR).airflow == pytest.approx(SYSTEM.blower(**ASKED, **AIR).airflow, rel=1e-12)


def test_operating_point():
    met = SYSTEM.operating_point(units="IP", tap="4", duct_airflow=1200, duct_static=0.5, **AIR)
    assert met.external_static == pytest.approx(0.5 * (met.actual / 1200) ** 2, rel=1e-9)
    again = SYSTEM.blower(units="IP", tap="4", static=met.external_static, **AIR)
    assert (met.actual, met.airflow, met.power) == pytest.approx((again.actual, again.airflow, again.power), rel=1e-9)
    with pytest.raises(on.Refused, match="external static pressure .* is outside"):
        SYSTEM.operating_point(units="IP", tap="4", duct_airflow=600, duct_static=0.9, **AIR)


def test_published_traverse():
    example = PUBLISHED["averaging_example"]
    found = airflow.traverse(
        units="IP", velocity_pressures=example["VP_inH2O"], velocity_pressures_u=0.0, width=20, height=12, **STANDARD
    )
    # 0.1 %: the trade's 4005 fpm is of an inch of water at 68 degF.
    assert found.actual / (240 / 144) == pytest.approx(example["mean_velocity_fpm"], rel=1e-3)
    for points, places in PUBLISHED["log_tchebycheff_rectangular"].items():
        if isinstance(points, int):
            assert airflow.traverse_points(rule="log_tchebycheff", points=points) == pytest.approx(places, abs=1e-12)
    for points, places in PUBLISHED["log_tchebycheff_round"].items():
        assert airflow.traverse_points(rule="log_tchebycheff", points=points, round=True) == pytest.approx(places, abs=1e-12)


def test_every_way_from_python():
    air = {**STANDARD, "density_u": 0.0}
    heat = airflow.temperature_rise(
        units="IP", power=9800, power_u=98, entering=70, entering_u=0.3, leaving=100, leaving_u=0.5, **{**air, "dry_bulb": 70}
    )
    assert heat.airflow == pytest.approx(3.412142 * 9800 / (1.08 * 30), rel=2e-3)  # 1.08: common practice, no source
    fuel = airflow.temperature_rise(units="IP", input=60000, efficiency=0.8, entering=68, leaving=113, **{**air, "dry_bulb": 68})
    assert fuel.airflow == pytest.approx(48000 / (1.08 * 45), rel=2e-3)
    assert any("without a stated uncertainty" in note for note in fuel.notes)
    plate = airflow.flow_grid(units="IP", rated=1000, rated_drop=0.16, drop=0.2, static_without=0.3, static_with=0.26, **air)
    assert plate.actual == pytest.approx(1000 * math.sqrt(0.2 / 0.16 * 0.3 / 0.26), rel=1e-4)
    coil = airflow.drop(units="IP", known=1200, known_drop=0.25, drop=0.21, **air)
    assert coil.actual == pytest.approx(1200 * 0.84**0.55, rel=1e-4)
    hood = airflow.hood(units="IP", registers=[120, 95, 210], registers_u=4, **air)
    assert hood.actual == pytest.approx(425, rel=1e-12)
    # domain.md, example 2
    water = {"water": 6.676, "entering_humidity_ratio": 0.01053, "leaving_humidity_ratio": 0.009161}
    wet = airflow.condensate(units="IP", **water, dry_bulb=76, elevation=0)
    assert wet.mass_flow == pytest.approx(4893, rel=5e-3)
    shown = airflow.reading(units="IP", airflow=1050, airflow_u=35, airflow_basis="standard", **AIR)
    assert (shown.airflow, shown.airflow_u) == pytest.approx((1050, 35), rel=1e-9)
    shown = airflow.reading(units="IP", airflow=1050, airflow_u=35, airflow_at="return", by="grid", **AIR)
    assert shown.airflow == pytest.approx(845.3, abs=0.3) and shown.terms[0].source == "grid: airflow"
    with pytest.raises(on.InputError, match="no warmer than it entered"):
        airflow.temperature_rise(units="IP", power=9800, entering=70, leaving=70, relative_humidity=0.3, elevation=0)


def test_combine():
    first = airflow.reading(units="IP", airflow=1000, airflow_u=30, airflow_basis="standard", **AIR)
    second = airflow.reading(units="IP", airflow=1050, airflow_u=63, airflow_basis="standard", **AIR)
    both = airflow.combine([first, second])
    assert both.agree and both.airflow == pytest.approx(1000 * 1.05**0.2, rel=1e-9)
    assert both.weights == pytest.approx((0.8, 0.2), rel=1e-9)
    assert both.airflow_u / both.airflow == pytest.approx((1 / 0.03**2 + 1 / 0.06**2) ** -0.5, rel=1e-9)
    far = airflow.reading(units="IP", airflow=1400, airflow_u=40, airflow_basis="standard", **AIR)
    apart = airflow.combine([first, second, far])
    assert not apart.agree and apart.chance < 0.001 and any("disagree" in note for note in apart.notes)
    assert apart.airflow_u > 2 * both.airflow_u
    with pytest.raises(on.InputError, match="no airflow to combine"):
        airflow.combine([])


def test_the_command(capsys):
    words = ["airflow", str(DEMO / "alder.yaml"), "--units", "IP", "--tap", "4", "--static", "0.52", "--static-u", "0.01"]
    words += ["--dry-bulb", "76", "--relative-humidity", "55%", "--elevation", "5000", "--includes", "wet coil, no filter"]
    assert main(words) == 0
    out = capsys.readouterr().out
    found = SYSTEM.blower(**ASKED, **AIR)
    assert out.startswith(f"airflow by the blower table, tap 4: {found.airflow:.0f} cfm standard air +- ")
    assert f"fan power {found.power:.0f} W" in out and "motor in thin air" in out
    words[-1] = "wet coil, filter"
    assert main(words) == 2
    assert "across another boundary" in capsys.readouterr().err
    assert main([*words, "--drop", "filter=0.1"]) == 0
    words[words.index("4")] = "9"
    assert main(words) == 2
    assert "accepted: 1, 2, 3, 4, 5" in capsys.readouterr().err


def test_a_visit_names_the_way():
    visit = yaml.safe_load((DEMO / "library-visit.yaml").read_text(encoding="utf-8"))
    visit["instruments"]["manometer"] = {"pressure": {"limits": "0.01 in_wc"}}
    visit["readings"]["airflow"] = [
        {"blower": {"tap": "4", "static": "0.35 in_wc", "includes": "wet coil, no filter", "instrument": "manometer"}},
        {"value": "1190 cfm", "at": "return", "instrument": "flow grid"},
    ]
    proof = SYSTEM.prove(visit, units="IP")
    assert proof.ratio is not None
    report = proof.report(units="IP")
    assert "by the blower table, tap 4" in report and "by an instrument's reading" in report and "they agree" in report
    read = on.Visit(visit)
    assert on.Visit.parse(read.write()) == read


@given(st.sampled_from(SYSTEM.taps), st.floats(0.1, 0.69), st.floats(0.0, 0.1), st.floats(0.85, 1.0))
def test_more_static_never_moves_more_air(tap, static, more, sigma):
    """The demo prints falling airflow for every tap, so every curve falls; whatever the density."""
    asked = {"units": "IP", "tap": tap, "static_u": 0.0, **STANDARD, "pressure": PRESSURE * sigma}
    low, high = max(static, 0.1) * sigma, min(static + more, 0.7) * sigma
    # A hair inside: sigma is not exact.
    low, high = low + 1e-9, max(high - 1e-9, low + 1e-9)
    assert SYSTEM.blower(**asked, static=high).airflow <= SYSTEM.blower(**asked, static=low).airflow * (1 + 1e-12)


@given(st.floats(0.0, 0.02), st.sampled_from(["", "wet coil, no filter"]))
def test_what_is_left_out_makes_no_airflow_surer(u, includes):
    """A manometer of which nothing is said is a poor one; a boundary of which nothing is said costs."""
    said = SYSTEM.blower(**{**ASKED, "static_u": u, "includes": includes}, **AIR)
    unsaid = SYSTEM.blower(**{**ASKED, "static_u": None, "includes": includes}, **AIR)
    assert unsaid.airflow_u >= said.airflow_u * (1 - 1e-12)
    assert SYSTEM.blower(**{**ASKED, "includes": ""}, **AIR).airflow_u > SYSTEM.blower(**ASKED, **AIR).airflow_u


@given(st.lists(st.tuples(st.floats(800, 1300), st.floats(0.01, 0.2)), min_size=2, max_size=5))
def test_a_combination_lies_among_its_ways(ways):
    shown = [
        airflow.reading(units="IP", airflow=flow, airflow_u=share * flow, airflow_basis="standard", **AIR) for flow, share in ways
    ]
    both = airflow.combine(shown)
    assert min(flow for flow, _ in ways) * (1 - 1e-9) <= both.airflow <= max(flow for flow, _ in ways) * (1 + 1e-9)
    assert sum(both.weights) == pytest.approx(1, abs=1e-9)
    if both.agree:
        assert both.airflow_u / both.airflow <= min(share for _, share in ways) * (1 + 1e-9)
    assert both.agree == (both.chance >= 0.05)
    # SciPy's chi-squared.
    assert both.chance == pytest.approx(scipy.stats.chi2.sf(both.chi_squared, len(ways) - 1), rel=1e-9, abs=1e-300)
