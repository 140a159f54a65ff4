"""What a system should deliver in heating, from Python: SciPy on the page, kinds, arrays, refusals, the command."""

import pickle
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

import offnominal as on
from offnominal.__main__ import main

ALDER = Path(__file__).parents[2] / "tables/demo/alder.yaml"
SYSTEM = on.load(ALDER)
QUESTION = dict(
    units="IP",
    mode="heating",
    frost="instantaneous",
    stage="high",
    match="indoor A",
    outdoor_dry_bulb=32,
    entering_dry_bulb=68,
    entering_relative_humidity=0.4,
    airflow=1100,
    airflow_basis="standard",
    elevation=0,
    boundary="coil+fan",
    fan_power=420,
    auxiliary_heat=0,
)
FAN = 420 * 3.412141633127942


def ask(**changes):
    return SYSTEM.expect(**{**QUESTION, **changes})


def typed(kind):
    """The printed numbers of a kind, read from the file by a way of our own: rows, and factors by key."""
    text = ALDER.read_text(encoding="utf-8")
    part = text[text.index(f"  {kind}:") :]

    def rows(key):
        lines = part[part.index(f"        {key}: |") :].splitlines()[3:]
        out = []
        for line in lines:
            if not line.startswith(" " * 10) or not line.strip()[0].isdigit():
                break
            out.append([float(x) for x in line.split()])
        return np.array(out)

    return rows


def test_scipy_on_the_instantaneous_page():
    rows = typed("instantaneous")
    page, factors = rows("table"), rows("edb_factors")
    odb, flow, edb = np.unique(page[:, 0]), np.unique(page[:, 1]), factors[:, 0]
    numbers = page[:, 2:].reshape(len(odb), len(flow), 1, 2) * factors[None, None, :, 1:]
    scipy = RegularGridInterpolator((odb, flow, edb), numbers)
    rng = np.random.default_rng(205)
    points = np.column_stack([rng.uniform(a[0], a[-1], 500) for a in (odb, flow, edb)])
    batch = ask(outdoor_dry_bulb=points[:, 0], airflow=points[:, 1], entering_dry_bulb=points[:, 2], boundary="coil")
    assert (batch.reason == "none").all()
    expected = scipy(points)
    np.testing.assert_allclose(batch.total_capacity, 1000 * expected[:, 0], rtol=1e-12)
    np.testing.assert_allclose(batch.power, 1000 * expected[:, 1], rtol=1e-12)
    nodes = np.array(np.meshgrid(odb, flow, [70.0], indexing="ij")).reshape(3, -1)
    at_nodes = ask(outdoor_dry_bulb=nodes[0], airflow=nodes[1], entering_dry_bulb=70, boundary="coil")
    np.testing.assert_allclose(at_nodes.total_capacity, 1000 * page[:, 2], rtol=4e-16)


def test_the_integrated_page_by_both_multiplier_rows():
    rows = typed("integrated")
    page, by_airflow, by_dry_bulb = rows("table"), rows("airflow_factors"), rows("edb_factors")
    for t, capacity, power in page:
        e = ask(frost="integrated", outdoor_dry_bulb=t, airflow=1000, entering_dry_bulb=80, boundary="coil")
        assert e.total_capacity == pytest.approx(1000 * capacity * by_airflow[1, 1] * by_dry_bulb[4, 1], rel=1e-13)
        assert e.power == pytest.approx(1000 * power * by_airflow[1, 2] * by_dry_bulb[4, 2], rel=1e-13)
    assert any("frost and defrost are in it" in note for note in e.notes)
    assert sum("multiplier row" in note for note in e.notes) == 2


@given(
    odb=st.floats(5, 65),
    edb=st.floats(60, 80),
    airflow=st.floats(800, 1200),
    elevation=st.floats(0, 8000),
    frost=st.sampled_from(["instantaneous", "integrated"]),
    match=st.sampled_from(["indoor A", "indoor B"]),
    boundary=st.sampled_from(["coil", "coil+fan"]),
)
def test_capacity_fan_leaving_air_and_cop_close(odb, edb, airflow, elevation, frost, match, boundary):
    changes = dict(
        outdoor_dry_bulb=odb,
        entering_dry_bulb=edb,
        airflow=airflow,
        elevation=elevation,
        frost=frost,
        match=match,
        boundary=boundary,
    )
    try:
        e = ask(**changes)
    except on.Refused as error:
        assert (match, error.why, error.about) == ("indoor B", "outside", "airflow")
        return
    fan = FAN if boundary == "coil+fan" else 0
    assert e.total_capacity - e.gross_total == pytest.approx(fan, abs=1e-6)
    ratio = on.air.state(units="IP", dry_bulb=edb, relative_humidity=0.4, elevation=elevation).humidity_ratio
    # 1006 and 1860 J/kg/K are the library's heat capacities of dry air and of vapour.
    heat = e.mass_flow * (1006 + 1860 * ratio) / 4186.8 * e.rise
    assert heat == pytest.approx(e.total_capacity, rel=1e-9)
    power = e.power if boundary == "coil" else e.system_power
    assert e.cop == pytest.approx(e.total_capacity / 3.412141633127942 / power, rel=1e-12)
    assert 0 < e.uncertainty < 0.2 * e.total_capacity
    assert e.uncertainty == pytest.approx(np.linalg.norm(list(e.uncertainty_parts.values())), rel=1e-12)
    assert e.footing == "inside" and e.frost == frost


def test_arrays_are_the_same_one_by_one_and_nan_stands_where_a_reason_is():
    odb = np.array([[20.0], [35.0], [70.0], [np.nan]])
    batch = ask(outdoor_dry_bulb=odb, match=np.array(["indoor A", "indoor B", "no"]), auxiliary_heat=[0.0, 5000.0, 0.0])
    assert batch.shape == (4, 3)
    assert batch.reason[:, 0].tolist() == ["none", "none", "outside", "not_given"]
    assert (batch.reason[:, 2] == "unknown_match").all()
    assert batch.about[2, 0] == "outdoor_dry_bulb"
    for i in range(2):
        for j, match in enumerate(["indoor A", "indoor B"]):
            one = ask(outdoor_dry_bulb=odb[i, 0], match=match)
            for name in (
                "total_capacity",
                "power",
                "cop",
                "leaving_dry_bulb",
                "leaving_wet_bulb",
                "rise",
                "uncertainty",
                "mass_flow",
            ):
                assert getattr(batch, name)[i, j] == getattr(one, name)
            assert batch.notes[i, j] == one.notes
            assert batch.at(i, j).ledger == one.ledger == batch.ledger(i, j)
    assert np.array_equal(np.isnan(batch.total_capacity), batch.reason != "none")
    assert repr(batch) == "<ExpectedBatch of shape (4, 3), 8 without an answer>"
    assert np.isnan(ask(entering_relative_humidity=None, outdoor_dry_bulb=[20.0, 30.0]).rise).all()
    assert ask(entering_relative_humidity=None).leaving_dry_bulb is None


def test_arrays_are_never_put_into_words(watched):
    airflow = np.linspace(1000, 1200, 5)
    view, words = watched
    assert np.array_equal(ask(airflow=view(airflow)).total_capacity, ask(airflow=airflow).total_capacity)
    assert words == []


def test_si_and_ip_say_the_same():
    ip = ask()
    si = ask(units="SI", outdoor_dry_bulb=0.0, entering_dry_bulb=20.0, airflow=1100 * 0.3048**3 / 60)
    assert si.total_capacity * 3.412141633127942 == pytest.approx(ip.total_capacity, rel=1e-12)
    assert si.rise * 1.8 == pytest.approx(ip.rise, rel=1e-12)
    assert (si.power, si.cop) == pytest.approx((ip.power, ip.cop), rel=1e-12)
    by_wet_bulb = ask(
        entering_relative_humidity=None, entering_wet_bulb=55, airflow_basis=None, airflow_at="return", elevation=3000
    )
    assert by_wet_bulb.standard_airflow < 1000


@pytest.mark.parametrize(
    ("changes", "text", "fields"),
    [
        (
            dict(frost=None),
            "the kind of heating, instantaneous or integrated, is not given, and there is no default",
            ("not_given", "frost"),
        ),
        (
            dict(auxiliary_heat=None),
            "auxiliary heat is not given, and there is no default: 0 W says that it is off",
            ("not_given", "auxiliary_heat"),
        ),
        (dict(stage="low"), "the system has no such stage: 'low'; in heating it has high", ("unknown_stage", "stage")),
        (dict(outdoor_dry_bulb=0), "outdoor dry bulb 0 degF is outside 5 degF to 65 degF", ("outside", "outdoor_dry_bulb")),
        (dict(entering_dry_bulb=55), "entering dry bulb 55 degF is outside 60 degF to 80 degF", ("outside", "entering_dry_bulb")),
        (
            dict(outdoor_relative_humidity=80),
            "outdoor relative humidity 80 is above 1: it is a fraction (0.55, not 55)",
            ("outside", "outdoor_relative_humidity"),
        ),
        (
            dict(entering_relative_humidity=None, airflow_basis=None, airflow_at="return"),
            "entering humidity is not given; an actual airflow, or a page by the moist pound, needs it",
            ("not_given", "entering_relative_humidity"),
        ),
        (
            dict(match=""),
            "match is not given, and there is no default; the system lists indoor A, indoor B",
            ("not_given", "match"),
        ),
    ],
)
def test_refusals_by_text_and_field(changes, text, fields):
    with pytest.raises(on.Refused) as caught:
        ask(**changes)
    assert str(caught.value) == text
    assert (caught.value.why, caught.value.about) == fields


@pytest.mark.parametrize(
    "changes",
    [
        dict(frost="defrosted"),
        dict(mode="drying"),
        dict(line_set="rated"),
        dict(boundary="net"),
        dict(frost=1),
        dict(mode="cooling", auxiliary_heat=None),
    ],
)
def test_words_that_do_not_belong_are_refused_with_the_list(changes):
    with pytest.raises(ValueError, match="accepted: "):
        ask(**changes)


def test_a_mode_the_system_has_no_page_of():
    text = ALDER.read_text(encoding="utf-8")
    cooling_only = on.parse(text[: text.index("heating:")] + text[text.index("matches:") :], "cooling", ALDER.parent)
    assert cooling_only.heating_stages == {}
    with pytest.raises(on.Refused, match="the system has no heating page"):
        cooling_only.expect(**QUESTION)
    start = text.index("cooling:")
    heating_only = on.parse(text[:start] + text[text.index("heating:") : text.index("matches:")], "heating", ALDER.parent)
    assert heating_only.expect(**{**QUESTION, "match": ""}).total_capacity == ask().total_capacity
    assert pickle.loads(pickle.dumps(heating_only)).heating_stages == {"high": ["instantaneous", "integrated"]}
    with pytest.raises(on.Refused, match="the system has no cooling page"):
        heating_only.expect(
            units="IP",
            stage="high",
            outdoor_dry_bulb=95,
            entering_dry_bulb=80,
            entering_wet_bulb=67,
            airflow=1000,
            airflow_basis="standard",
            elevation=0,
            boundary="coil",
        )


def test_a_defrost_table_answers_for_integrated():
    text = ALDER.read_text(encoding="utf-8")
    head, tail = text[: text.index("  integrated:")], text[text.index("matches:") :]
    defrost = "  defrost: |\n    odb rh capacity power time\n    degF % 1 1 %\n    5 60 0.99 1 1\n    5 90 0.97 0.99 3\n    65 60 0.93 0.98 4\n    65 90 0.91 0.97 9\n"
    system = on.parse(head + defrost + tail, "defrost", ALDER.parent)
    corner = dict(frost="integrated", outdoor_dry_bulb=5, outdoor_relative_humidity=0.9, boundary="coil")
    e = system.expect(**{**QUESTION, **corner})
    steady = ask(outdoor_dry_bulb=5, boundary="coil")
    assert e.total_capacity == pytest.approx(0.97 * steady.total_capacity, rel=1e-13)
    assert e.defrost_time_fraction == pytest.approx(0.03)
    assert [step["step"] for step in e.ledger] == ["page", "page", "frost", "frost"]
    with pytest.raises(
        on.Refused, match="outdoor relative humidity is not given, and there is no default: the defrost table needs it"
    ):
        system.expect(**{**QUESTION, **corner, "outdoor_relative_humidity": None})


def test_envelope_and_words():
    pages = {(p["mode"], p["frost"]): p for p in SYSTEM.envelope(units="IP") if p["mode"] == "heating"}
    assert list(pages) == [("heating", "instantaneous"), ("heating", "integrated")]
    assert pages["heating", "integrated"]["axes"]["entering_dry_bulb"] == pytest.approx([60, 65, 70, 75, 80])
    assert SYSTEM.heating_stages == {"high": ["instantaneous", "integrated"]}
    e = ask(match="indoor B")
    assert e.uncertainty_parts["match"] > 0.02 * e.gross_total
    assert any("printed for cooling" in note for note in e.notes)
    assert e.explain().startswith("page: high stage, instantaneous heating, indoor B (invented for demonstration, page 4)\n")
    assert "cautions" in e.report()
    assert repr(e).startswith("<Expected at coil+fan: ")


def test_the_command_in_heating(capsys):
    question = "--units IP --stage high --outdoor-dry-bulb 17 --entering-dry-bulb 70 --airflow 1000 --airflow-basis standard --elevation 0 --boundary coil"
    arguments = ["expect", str(ALDER), *question.split(), "--match", "indoor A"]
    assert main([*arguments, "--mode", "heating", "--frost", "instantaneous", "--auxiliary-heat", "0"]) == 0
    assert "expected at coil: 23200 Btu/h of instantaneous heating" in capsys.readouterr().out
    assert main([*arguments, "--mode", "heating", "--auxiliary-heat", "0"]) == 2
    assert "instantaneous or integrated" in capsys.readouterr().err
