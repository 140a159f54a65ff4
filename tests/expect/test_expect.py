"""What a system should deliver, from Python: numbers, arrays, units, refusals by text and by field."""

import copy
import pickle
import sys
import threading
from pathlib import Path

import numpy as np
import offnominal as on
import pytest
from hypothesis import given
from hypothesis import strategies as st
from questions import COOLING

ALDER = Path(__file__).parents[2] / "tables/demo/alder.yaml"
SYSTEM = on.load(ALDER)
QUESTION = dict(
    units="IP",
    mode="cooling",
    stage="high",
    outdoor_dry_bulb=91,
    entering_dry_bulb=80,
    entering_wet_bulb=65,
    airflow=1000,
    airflow_basis="standard",
    elevation=0,
    match="indoor A",
    line_set="reference",
    boundary="coil+fan",
    fan_power=420,
)


def ask(**changes):
    return SYSTEM.expect(**{**QUESTION, **changes})


def refusal(**changes):
    with pytest.raises(on.Error) as caught:
        ask(**changes)
    return caught.value


def test_the_page_comes_back_at_its_nodes():
    e = ask(outdoor_dry_bulb=85, entering_wet_bulb=63, airflow=1000, boundary="coil")
    assert (e.total_capacity, e.sensible_capacity, e.power, e.bypass) == pytest.approx((33500, 29800, 2190, 0.10), rel=1e-12)
    dry = ask(outdoor_dry_bulb=95, entering_wet_bulb=59, boundary="coil")
    assert dry.total_capacity == pytest.approx(30800, rel=1e-10)
    assert dry.sensible_capacity == dry.total_capacity
    assert "dry" in dry.footing
    low = ask(stage="low", outdoor_dry_bulb=95, entering_wet_bulb=67, airflow=800, boundary="coil")
    assert (low.total_capacity, low.sensible_capacity, low.power, low.bypass) == pytest.approx(
        (26200, 19800, 1590, 0.08), rel=1e-12
    )


def test_si_and_ip_say_the_same():
    ip = ask()
    si = ask(
        units="SI",
        outdoor_dry_bulb=(91 - 32) / 1.8,
        entering_dry_bulb=(80 - 32) / 1.8,
        entering_wet_bulb=(65 - 32) / 1.8,
        airflow=1000 * 0.3048**3 / 60,
    )
    assert si.total_capacity * 3.412141633127942 == pytest.approx(ip.total_capacity, rel=1e-12)
    assert si.leaving_dry_bulb * 1.8 + 32 == pytest.approx(ip.leaving_dry_bulb, rel=1e-12)
    assert si.power == pytest.approx(ip.power, rel=1e-12)
    assert si.split * 1.8 == pytest.approx(ip.split, rel=1e-12)


def test_a_pint_quantity_stands_for_any_number():
    pint = pytest.importorskip("pint")
    q = pint.UnitRegistry(autoconvert_offset_to_baseunit=True).Quantity
    e = ask(outdoor_dry_bulb=q((91 - 32) / 1.8, "degC"), airflow=q(1000, "ft**3/min"), elevation=q(0, "m"))
    assert e.total_capacity == pytest.approx(ask().total_capacity, rel=1e-12)
    with pytest.raises(ValueError, match="airflow"):
        ask(airflow=q(3, "kg"))


def test_arrays_and_arrays_of_keys_broadcast():
    odb = np.linspace(80, 110, 7)
    batch = ask(
        outdoor_dry_bulb=odb[:, None],
        stage=np.array(["high", "low"]),
        airflow=np.array([1000.0, 800.0]),
        entering_wet_bulb=67,
    )
    assert batch.shape == (7, 2)
    for i, t in enumerate(odb):
        for j, (stage, airflow) in enumerate((("high", 1000), ("low", 800))):
            one = ask(outdoor_dry_bulb=t, stage=stage, airflow=airflow, entering_wet_bulb=67)
            assert batch.total_capacity[i, j] == one.total_capacity
            assert batch.leaving_wet_bulb[i, j] == one.leaving_wet_bulb
            assert batch.footing[i, j] == one.footing
            assert batch.notes[i, j] == one.notes
            assert batch.at(i, j).ledger == one.ledger
    assert (batch.reason == "none").all()


@pytest.mark.parametrize(
    "name, about",
    [
        ("outdoor_dry_bulb", "outdoor_dry_bulb"),
        ("entering_dry_bulb", "entering_dry_bulb"),
        ("entering_wet_bulb", "entering_wet_bulb"),
        ("airflow", "airflow"),
        ("elevation", "elevation"),
        ("fan_power", "fan_power"),
        ("length", "line_length"),
        ("suction", "line_suction"),
    ],
)
def test_what_is_nan_is_not_given_whatever_it_is(name, about):
    line = {"length": 50, "suction": 3 / 4, "lift": 0}

    def asked(value):
        return {"line_set": {**line, name: value}} if name in line else {"line_set": line, name: value}

    there = ask(line_set=line)
    value = line.get(name, QUESTION.get(name))
    batch = ask(**asked(np.array([value, np.nan])))
    assert batch.total_capacity[0] == there.total_capacity and np.isnan(batch.total_capacity[1])
    assert batch.reason.tolist() == ["none", "not_given"] and batch.about.tolist()[1] == about
    alone = refusal(**asked(np.nan))
    assert (alone.why, alone.about) == ("not_given", about) and str(alone).endswith("is not given, and there is no default")


def test_nan_stands_exactly_where_there_is_a_reason():
    batch = ask(
        outdoor_dry_bulb=np.array([70.0, 90.0, np.nan, 120.0]), match=np.array(["indoor A", "indoor A", "indoor A", "no"])
    )
    assert batch.reason.tolist() == ["outside", "none", "not_given", "unknown_match"]
    assert batch.about.tolist()[0] == "outdoor_dry_bulb"
    for name in ("total_capacity", "sensible_capacity", "power", "leaving_dry_bulb", "uncertainty"):
        assert np.isnan(getattr(batch, name)).tolist() == [True, False, True, True]
    with pytest.raises(on.Refused, match="outdoor dry bulb 70 degF is outside 75 degF to 115 degF"):
        batch.at(0)


def test_elevation_and_barometer_together():
    """The barometer counts, the elevation checks it; in arrays, what is NaN is not given."""
    assert ask(elevation=5000, pressure=12.0).total_capacity == ask(elevation=None, pressure=12.0).total_capacity
    wrong = refusal(elevation=5000, pressure=14.7)
    assert (wrong.why, wrong.about) == ("contradictory", "pressure")
    batch = ask(elevation=np.array([5000, 5000, np.nan, 0, np.nan]), pressure=np.array([12.0, np.nan, 12.0, 12.0, np.nan]))
    both, elevation, barometer, *_ = batch.total_capacity
    assert both == barometer == ask(elevation=5000, pressure=12.0).total_capacity
    assert elevation == ask(elevation=5000).total_capacity != both
    assert list(batch.reason) == ["none", "none", "none", "contradictory", "not_given"]
    swept = SYSTEM.sweep(axes={"pressure": [12.0, 12.3]}, **{**QUESTION, "elevation": 5000})
    assert swept.total_capacity[0] == both


@pytest.mark.parametrize(
    ("changes", "text", "fields"),
    [
        (dict(outdoor_dry_bulb=130), "outdoor dry bulb 130 degF is outside 75 degF to 115 degF", ("outside", "outdoor_dry_bulb")),
        (
            dict(entering_wet_bulb=81),
            "entering wet bulb 81 degF is past saturation; at most 80 degF",
            ("supersaturated", "entering_wet_bulb"),
        ),
        (
            dict(entering_wet_bulb=None, entering_relative_humidity=55),
            "entering relative humidity 55 is above 1: it is a fraction (0.55, not 55)",
            ("outside", "entering_relative_humidity"),
        ),
        (dict(elevation=None), "site is not given; give elevation, pressure or both", ("not_given", "elevation")),
        (dict(airflow=None), "airflow is not given, and there is no default", ("not_given", "airflow")),
        (
            dict(airflow=None, outdoor_dry_bulb=[91.0, 95.0]),
            "airflow is not given, and there is no default",
            ("not_given", "airflow"),
        ),
        (
            dict(airflow_basis=None),
            "meaning of the airflow is not given; give exactly one of airflow_basis, airflow_at",
            ("not_given", "airflow_basis"),
        ),
        (
            dict(entering_dew_point=50),
            "entering humidity is given by entering_wet_bulb and entering_dew_point; give exactly one of entering_wet_bulb, "
            "entering_relative_humidity, entering_humidity_ratio, entering_dew_point",
            ("contradictory", "entering_wet_bulb"),
        ),
        (dict(stage="turbo"), "the system has no such stage: 'turbo'; it has high, low", ("unknown_stage", "stage")),
        (
            dict(match="indoor Z"),
            "the system lists no such match: 'indoor Z'; it lists indoor A, indoor B; nearest: indoor A",
            ("unknown_match", "match"),
        ),
        (
            dict(boundary=""),
            "boundary is not given, and there is no default: coil (gross), or coil+fan (net)",
            ("not_given", "boundary"),
        ),
        (dict(fan_power=None), "fan power is not given, and there is no default", ("not_given", "fan_power")),
        (
            dict(line_set=None),
            "line set is not given, and there is no default: reference, or equivalent length, suction size and lift",
            ("not_given", "line_set"),
        ),
        (dict(airflow=1250), "standard airflow 1250 scfm is outside 800 scfm to 1200 scfm", ("outside", "airflow")),
        (
            dict(outdoor_dry_bulb=115, airflow=1200, entering_wet_bulb=71),
            "the page is blank in a node this answer needs (outdoor dry bulb 115 degF, standard airflow 1200 cfm, entering wet bulb 71 degF)",
            ("blank", "nothing"),
        ),
    ],
)
def test_refusals_by_text_and_field(changes, text, fields):
    error = refusal(**changes)
    assert isinstance(error, on.Refused)
    assert str(error) == text
    assert (error.why, error.about) == fields


def test_a_refusal_names_the_argument_whatever_its_sentence_speaks_of():
    """An airflow in standard air is the argument `airflow` too; the sentence keeps its own subject."""
    for value, subject in ((5000, "standard_airflow"), (-1, "airflow")):
        error = refusal(airflow=value)
        assert (error.about, error.subject) == ("airflow", subject) and ask(airflow=[value]).about.tolist() == ["airflow"]
        again = pickle.loads(pickle.dumps(error))
        assert (again.about, again.subject, again.template) == (error.about, error.subject, error.template)


def test_fields_of_a_refusal_are_in_the_callers_units():
    error = refusal(outdoor_dry_bulb=130)
    assert (error.value, error.lower, error.upper) == pytest.approx((130, 75, 115))
    error = refusal(units="SI", outdoor_dry_bulb=60, entering_dry_bulb=26, entering_wet_bulb=18, airflow=0.5)
    assert error.value == 60
    assert str(error).startswith("outdoor dry bulb 60 degC is outside 23.8889 degC to 46.1111 degC")


@pytest.mark.parametrize(
    "changes",
    [
        dict(units="ip"),
        dict(boundary="net"),
        dict(airflow_basis="scfm"),
        dict(outside="clip"),
        dict(mode="drying"),
        dict(line_set={"length": 50}),
        dict(line_set="50 ft"),
        dict(line_set="given"),
        dict(boundary=None),
    ],
)
def test_words_that_are_not_in_the_list_are_refused_with_the_list(changes):
    with pytest.raises(ValueError, match="accepted: "):
        ask(**changes)


def test_arrays_are_never_put_into_words(watched):  # that took 10 us a row, up to where NumPy abbreviates
    airflow = np.linspace(900, 1100, 5)
    view, words = watched
    assert np.array_equal(ask(airflow=view(airflow)).total_capacity, ask(airflow=airflow).total_capacity)
    assert words == []


def test_what_is_not_a_number_says_so():
    with pytest.raises(TypeError, match="'1,000' is not a number"):
        ask(airflow="1,000")
    with pytest.raises(TypeError, match="True is not a number"):
        ask(airflow=True)


@given(
    odb=st.floats(75, 115),
    ewb=st.floats(59, 71),
    edb=st.floats(72, 90),
    airflow=st.floats(800, 1200),
    elevation=st.floats(0, 8000),
    stage=st.sampled_from(["high", "low"]),
    match=st.sampled_from(["indoor A", "indoor B"]),
    boundary=st.sampled_from(["coil", "coil+fan"]),
)
def test_finite_questions_get_finite_answers_or_a_reason(odb, ewb, edb, airflow, elevation, stage, match, boundary):
    try:
        e = ask(
            outdoor_dry_bulb=odb,
            entering_wet_bulb=ewb,
            entering_dry_bulb=edb,
            airflow=airflow,
            elevation=elevation,
            stage=stage,
            match=match,
            boundary=boundary,
            infer=True,
        )
    except on.Refused as error:
        assert error.why != "none"
        return
    numbers = [e.total_capacity, e.sensible_capacity, e.latent_capacity, e.power, e.uncertainty, e.gross_total, e.mass_flow]
    assert np.isfinite(numbers).all()
    assert e.sensible_capacity <= e.total_capacity * (1 + 1e-12)
    assert e.latent_capacity == pytest.approx(e.total_capacity - e.sensible_capacity, abs=1e-6)
    fan = 420 * 3.412141633127942 if boundary == "coil+fan" else 0
    assert e.gross_total - e.total_capacity == pytest.approx(fan, abs=1e-6)
    assert 0 < e.uncertainty < 0.2 * e.total_capacity


@given(odb=st.floats(75, 114), step=st.floats(0.01, 1), ewb=st.floats(63, 70))
def test_total_falls_with_outdoor_dry_bulb_and_rises_with_wet_bulb(odb, step, ewb):
    low, high = (ask(outdoor_dry_bulb=t, entering_wet_bulb=ewb, airflow=900) for t in (odb, odb + step))
    assert high.total_capacity < low.total_capacity
    assert high.power > low.power
    assert ask(outdoor_dry_bulb=odb, entering_wet_bulb=ewb + step, airflow=900).total_capacity > low.total_capacity


def test_ten_million_look_ups_of_one_system_on_eight_threads_have_the_bits_of_one():
    rows, rng = 1_250_000, np.random.default_rng(3)
    odb, flow = rng.uniform(75, 115, rows), rng.uniform(800, 1200, rows)
    columns = ("total_capacity", "sensible_capacity")

    def work(part=slice(None)):
        told = ask(outdoor_dry_bulb=odb[part], airflow=flow[part], columns=columns)
        return told.total_capacity, told.sensible_capacity

    alone, parts = work(), [None] * 8

    def on_thread(k):
        cut = k * rows // 8  # each begins elsewhere: none waits for what another has just looked up
        parts[k] = [np.concatenate(two) for two in zip(work(slice(cut, None)), work(slice(0, cut)))]

    threads = [threading.Thread(target=on_thread, args=(k,)) for k in range(8)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    for k, part in enumerate(parts):
        for found, due in zip(part, alone):
            assert found.tobytes() == np.roll(due, -(k * rows // 8)).tobytes()


def test_inputs_of_other_layouts_are_taken():
    odb = np.linspace(80, 100, 20)
    plain = ask(outdoor_dry_bulb=odb[::2].copy()).total_capacity
    assert (ask(outdoor_dry_bulb=odb[::2]).total_capacity == plain).all()
    assert (ask(outdoor_dry_bulb=list(odb[::2])).total_capacity == plain).all()
    assert ask(outdoor_dry_bulb=odb.astype(np.float32)).total_capacity == pytest.approx(
        ask(outdoor_dry_bulb=odb).total_capacity, rel=1e-6
    )
    assert ask(outdoor_dry_bulb=np.empty(0)).total_capacity.shape == (0,)


def test_envelope_and_labels():
    pages = SYSTEM.envelope(units="IP")
    assert [p["stage"] for p in pages if p["mode"] == "cooling"] == ["high", "low"]
    assert pages[0]["axes"]["outdoor_dry_bulb"] == pytest.approx([75, 85, 95, 105, 115])
    assert pages[0]["blanks"] == 1
    assert SYSTEM.stages == ["high", "low"]
    assert "invented" in SYSTEM.name
    assert "Alder" in repr(SYSTEM)


def test_bytes_for_an_app():
    data = SYSTEM.to_bytes()
    assert on.System.from_bytes(data) == SYSTEM
    with pytest.raises(on.InputError, match="damaged"):
        on.System.from_bytes(data[:-1] + b"!")
    with pytest.raises(on.InputError, match="no embedded system"):
        on.System.from_bytes(b"offnominal: system/1")


def test_a_refusal_can_be_translated():
    refused = refusal(outdoor_dry_bulb=120)
    assert refused.template == "{what} {value} is outside {lower} to {upper}"
    assert refusal(stage="").template == "{what} is not given, and there is no default"
    assert refusal(entering_wet_bulb=None, entering_relative_humidity=55).template.endswith("it is a fraction (0.55, not 55)")


def test_what_the_system_covers():
    covered = SYSTEM.coverage(units="IP")
    assert [line["suction"] for line in covered["lines"]] == pytest.approx([0.625, 0.75, 0.875])
    assert covered["lines"][0]["lengths"] == pytest.approx([15, 25])  # the others are blank: not allowed
    assert covered["lift"] == pytest.approx((-50, 50))
    assert covered["airflow"]["indoor B"] == pytest.approx((800, 1150))
    assert covered["elevation"] is None


def test_everything_missing_at_once():
    assert SYSTEM.missing(**QUESTION) == []
    lacks = {one["about"]: one for one in SYSTEM.missing(units="IP")}
    assert list(lacks) == [
        "elevation",
        "boundary",
        "match",
        "stage",
        "line_set",
        "outdoor_dry_bulb",
        "entering_dry_bulb",
        "entering_wet_bulb",
        "airflow",
    ]
    assert lacks["match"]["words"] == ["indoor A", "indoor B"]
    assert (lacks["outdoor_dry_bulb"]["lower"], lacks["outdoor_dry_bulb"]["upper"]) == pytest.approx((75, 115))
    wrong = SYSTEM.missing(**{**QUESTION, "outdoor_dry_bulb": 120, "fan_power": None, "stage": "hihg"})
    assert [(one["about"], one["why"]) for one in wrong] == [
        ("stage", "unknown_stage"),
        ("fan_power", "not_given"),
        ("outdoor_dry_bulb", "outside"),
    ]
    assert wrong[2]["value"] == pytest.approx(120) and "is outside 75 degF to 115 degF" in wrong[2]["text"]
    with pytest.raises(ValueError, match="colour: not asked"):
        SYSTEM.missing(units="IP", colour=3)


@given(st.sets(st.sampled_from(sorted(set(QUESTION) - {"units", "mode"}))))
def test_nothing_is_missing_exactly_where_there_is_an_answer(left_out):
    question = {name: value for name, value in QUESTION.items() if name not in left_out}
    if left_out & {"airflow_basis"}:
        question["airflow"] = None
    fan = "fan_power" in left_out and "boundary" not in left_out
    needed = left_out - {"fan_power"} - ({"airflow_basis"} if "airflow" in left_out else set())
    assert len(SYSTEM.missing(**question)) == len(needed) + fan


def test_systems_pickle_and_copy():
    for other in (pickle.loads(pickle.dumps(SYSTEM)), copy.deepcopy(SYSTEM)):
        assert other.expect(**QUESTION).total_capacity == ask().total_capacity
    text = on.parse(ALDER.read_text(encoding="utf-8"), "alder", ALDER.parent)
    assert pickle.loads(pickle.dumps(text)).expect(**QUESTION).total_capacity == ask().total_capacity


def test_the_ledger_adds_up_to_the_answer():
    e = ask(line_set={"length": 50, "suction": 0.75}, match="indoor B", entering_dry_bulb=82)
    totals = [step for step in e.ledger if step["of"] == "total"]
    assert [step["step"] for step in totals][:3] == ["page", "match", "line set"]
    for before, after in zip(totals, totals[1:]):
        assert after["before"] == before["after"]
    assert totals[-1]["after"] == e.total_capacity
    assert "indoor B" in e.explain()
    assert "cautions" in e.report()
    assert repr(e).startswith("<Expected at coil+fan: total ")
    assert sys.getrefcount(e) < 10


def test_past_the_edge_costs_certainty_and_has_a_limit():
    inside = ask(outdoor_dry_bulb=75)
    for outside in ("hold", "extend"):
        past = ask(outdoor_dry_bulb=74.5, outside=outside)
        assert past.footing == {"hold": "held", "extend": "extended"}[outside]
        assert past.uncertainty_parts["outside"] > 0
        assert past.uncertainty > inside.uncertainty
        assert refusal(outdoor_dry_bulb=74, outside=outside).why == "outside"  # more than 2 % of 40 degF
    assert inside.uncertainty_parts["outside"] == 0


def test_inferred_values_cost_certainty():
    e = ask(outdoor_dry_bulb=95, entering_dry_bulb=76, entering_wet_bulb=62)
    assert e.footing == "wet line"
    # A quarter of the weight is on the dry node at 59 degF.
    assert e.uncertainty_parts["inferred"] == pytest.approx(0.006 * 0.25**0.5 * e.gross_total)


def test_a_fan_that_takes_all_capacity_is_refused():
    error = refusal(fan_power=12000)
    assert (error.why, error.about) == ("no_expected", "fan_power")
    assert refusal(fan_power=float("inf")).why == "outside"


def test_what_if_tells_the_difference_and_the_steps_that_moved():
    base = {name: value for name, value in QUESTION.items() if name != "units"}
    changes = {
        "50 ft of line": {"line_set": {"length": 50, "suction": 0.75, "lift": 0}},
        "4,690 ft": {"pressure": 12.37},
        "hotter": {"outdoor_dry_bulb": 101},
        "too hot": {"outdoor_dry_bulb": 140},
    }
    found = SYSTEM.what_if(units="IP", changes=changes, **base)
    first, line, altitude, hotter, too_hot = found.rows
    assert first["total_capacity"] == ask().total_capacity and first["total_capacity_change"] == 0 and first["moved"] == []
    assert line["total_capacity"] == ask(**changes["50 ft of line"]).total_capacity
    assert line["total_capacity_change"] == line["total_capacity"] - first["total_capacity"]
    # The steps of total that moved add up to its change.
    for row in (line, altitude, hotter):
        assert sum(by for of, _, by in row["moved"] if of == "total") == pytest.approx(row["total_capacity_change"], abs=1e-6)
    assert [step for of, step, _ in line["moved"] if of == "total"] == ["line set"]
    assert "page" in [step for of, step, _ in hotter["moved"] if of == "power"]
    assert too_hot["total_capacity"] is None and too_hot["reason"] == "outside"
    assert "too hot" in found.report() and "line set" in found.report()
    assert found.to_pandas().loc["hotter", "power_change"] == hotter["power"] - first["power"]
    assert pickle.loads(pickle.dumps(found)).rows == found.rows


def test_answers_go_into_the_callers_own_arrays():
    outdoor = np.array([[80.0, 91.0, 130.0], [85.0, 95.0, 115.0]])
    whole = ask(outdoor_dry_bulb=outdoor)
    total, split = np.zeros((2, 3)), np.zeros((2, 3))
    got = ask(outdoor_dry_bulb=outdoor, out={"total_capacity": total, "split": split})
    for name, array in (("total_capacity", total), ("split", split)):
        np.testing.assert_array_equal(array, getattr(whole, name))
        assert array.flags.writeable and np.shares_memory(getattr(got, name), array)
    assert set(got.fields) == {"total_capacity", "split"} and got.reason.tolist() == whole.reason.tolist()
    more = ask(outdoor_dry_bulb=outdoor, columns=("power",), out={"split": split})
    assert set(more.fields) == {"power", "split"}
    np.testing.assert_array_equal(more.power, whole.power)


@pytest.mark.parametrize(
    "array",
    [
        np.zeros(3),
        np.zeros((3, 2)),
        np.zeros((2, 3), np.float32),
        np.zeros((2, 6))[:, ::2],
        np.zeros((3, 2)).T,
        [[0.0] * 3] * 2,
        np.broadcast_to(0.0, (2, 3)),
    ],
)
def test_arrays_that_answers_do_not_fit_are_refused(array):
    with pytest.raises(ValueError, match="out: total_capacity: "):
        ask(outdoor_dry_bulb=np.full((2, 3), 91.0), out={"total_capacity": array})


def test_out_is_of_batches_and_of_arrays_apart():
    outdoor = np.array([80.0, 91.0])
    whole = ask(outdoor_dry_bulb=outdoor).total_capacity
    own = outdoor.copy()
    ask(outdoor_dry_bulb=own, out={"total_capacity": own})  # what is asked was taken before
    np.testing.assert_array_equal(own, whole)
    one = np.zeros(2)
    with pytest.raises(ValueError, match="shares memory"):
        ask(outdoor_dry_bulb=outdoor, out={"total_capacity": one, "power": one})
    for wrong in ({"capacity": one}, [one]):
        with pytest.raises(ValueError, match="accepted"):
            ask(outdoor_dry_bulb=outdoor, out=wrong)
    with pytest.raises(ValueError, match="no argument is an array"):
        ask(out={})


def test_a_batch_tells_parts_extras_and_ledgers_as_single_answers_do():
    """Row by row the same digits, NaN where a row has no answer or no such step; of a page with further columns, and between speeds."""
    maple = on.load(ALDER.parents[1] / "corpus/maple.yaml")
    question = {name: value for name, value in COOLING.items() if name not in ("match", "line_set")} | {
        "stage": "full",
        "airflow": 1600.0,
    }
    for system, more in (
        (maple, {**question, "outdoor_dry_bulb": np.array([[90.0, 95.0], [30.0, 101.0]])}),
        (SYSTEM, {**COOLING, "outdoor_dry_bulb": np.array([[85.0, 95.0], [30.0, 99.0]]), "elevation": 5000.0}),
    ):
        batch = system.expect(**more)
        assert batch.answered.sum() == 3
        for at in np.ndindex(2, 2):
            parts = {name: column[at] for name, column in batch.uncertainty_parts.items()}
            steps = {key: column[at] for key, column in batch.ledger_parts.items() if not np.isnan(column[at])}
            extras = {name: one["value"][at] for name, one in batch.extras.items()}
            if not batch.answered[at]:
                assert np.isnan([*parts.values(), *extras.values()]).all() and not steps
                continue
            one = batch.at(*at)
            assert parts == one.uncertainty_parts
            assert steps == {(step["step"], step["of"]): step["after"] for step in one.ledger}
            assert extras == {name: extra["value"] for name, extra in one.extras.items()}
            assert {name: extra["unit"] for name, extra in one.extras.items()} == {n: e["unit"] for n, e in batch.extras.items()}
    assert set(maple.expect(**{**question, "outdoor_dry_bulb": np.array([95.0])}).extras) >= {"amps", "eer"}
