"""Questions asked backwards, against scans by brute force of the same answers."""

import json
import pickle
import re
import signal
import threading
from pathlib import Path

import numpy as np
import pytest

import offnominal as on
from offnominal.__main__ import main

TABLES = Path(__file__).resolve().parents[2] / "tables"
ALDER = on.load(TABLES / "demo/alder.yaml")
BIRCH = on.load(TABLES / "demo/birch.yaml")
COOLING = dict(
    units="IP", outdoor_dry_bulb=95, entering_dry_bulb=80, entering_wet_bulb=67, airflow=1000, airflow_basis="standard",
    elevation=0, match="indoor A", line_set="reference", boundary="coil", stage="high",
)  # fmt: skip
HEATING = dict(
    units="IP", mode="heating", frost="integrated", auxiliary_heat=0, outdoor_dry_bulb=40, entering_dry_bulb=70, airflow=1200,
    airflow_basis="standard", elevation=0, match="indoor A", line_set="reference", boundary="coil", stage="high",
)  # fmt: skip
LINE = {"suction": 3 / 4, "lift": 0}

# system, question, what is varied and between which
CASES = {
    "outdoor": (ALDER, {**COOLING, "elevation": 5000}, "outdoor_dry_bulb", (60, 125)),
    "airflow": (ALDER, COOLING, "airflow", (700, 1300)),
    "airflow of the match": (
        ALDER,
        {**COOLING, "match": "indoor B", "boundary": "coil+fan", "fan_power": 400},
        "airflow",
        (700, 1300),
    ),
    "wet bulb": (ALDER, {**COOLING, "airflow": 1200}, "entering_wet_bulb", (55, 75)),
    "dry bulb": (ALDER, COOLING, "entering_dry_bulb", (68, 95)),
    "elevation": (ALDER, COOLING, "elevation", (0, 9000)),
    "line": (ALDER, {**COOLING, "line_set": LINE}, "line_length", (10, 100)),
    "speed": (BIRCH, {**COOLING, "stage": "", "airflow": 850, "outdoor_dry_bulb": 90, "line_set": None}, "speed", (20, 95)),
    "heating": (ALDER, HEATING, "outdoor_dry_bulb", (0, 70)),
    "return of heating": (ALDER, HEATING, "entering_dry_bulb", (55, 85)),
}
# What moves that is told; a little, so that a step from one cell's line to the next counts too.
TOLD = (
    "total_capacity",
    "sensible_capacity",
    "latent_capacity",
    "power",
    ("sensible_capacity", "total_capacity"),
    "leaving_dry_bulb",
)


def told(system, question, vary, places, of):
    """What is told at places, by whole answers; nothing of a solution."""
    line = question["line_set"]
    rest = {name: value for name, value in question.items() if name not in (vary, "line_set")}
    asked = {"line_set": {**line, "length": places}} if vary == "line_length" else {"line_set": line, vary: places}
    answers = system.expect(**rest, **asked)
    first, *over = (getattr(answers, name) for name in ((of,) if isinstance(of, str) else of))
    return first / over[0] if over else first


@pytest.mark.parametrize("case", CASES)
def test_every_crossing_of_a_scan_is_found_and_nothing_else(case):
    system, question, vary, between = CASES[case]
    fixed = {name: value for name, value in question.items() if name != vary}
    places = np.linspace(*between, 6001)
    rng = np.random.default_rng(12)
    for of in TOLD:
        if question.get("mode") == "heating" and ("sensible_capacity" in of or of in ("latent_capacity", "leaving_dry_bulb")):
            continue  # not told, or not without a humidity
        scan = told(system, question, vary, places, of)
        least, most = np.nanmin(scan), np.nanmax(scan)
        if most - least <= 1e-9 * abs(most):  # nothing to find: it does not move
            continue
        wanted = rng.uniform(least - 0.1 * (most - least), most + 0.1 * (most - least), 25)
        found = system.solve(vary=vary, between=between, of=of, equals=wanted, **fixed)
        for one, solutions, best, reached in zip(wanted, found.solutions, found.best, found.reached):
            solutions = solutions[~np.isnan(solutions)]
            off = scan - one
            with np.errstate(invalid="ignore"):
                crossings = places[:-1][off[:-1] * off[1:] < 0]
            step = places[1] - places[0]
            for place in crossings:
                assert np.min(np.abs(solutions - (place + 0.5 * step)), initial=np.inf) <= step
            for place in solutions:
                assert told(system, question, vary, np.array([place]), of)[0] == pytest.approx(one, rel=1e-10)
            assert np.all(np.diff(solutions) > 0)
            if not solutions.size:
                nearest = np.nanmin(np.abs(off))
                assert abs(reached - one) <= nearest * (1 + 1e-6)
                assert told(system, question, vary, np.array([best]), of)[0] == reached


def test_a_line_that_turns_has_two_places_or_none():
    """Against a parabola about 95 degF the way between neighbours turns back."""
    fixed = {name: value for name, value in COOLING.items() if name != "outdoor_dry_bulb"}
    top = ALDER.expect(**COOLING).total_capacity

    def ask(above):
        return ALDER.solve(vary="outdoor_dry_bulb", between=(80, 110), of="total_capacity", equals=lambda t: top + above + 60 * (t - 95) ** 2, **fixed)  # fmt: skip

    two = ask(-20)
    assert two.count == 2
    for place in two.solutions:
        assert ALDER.expect(**fixed, outdoor_dry_bulb=place).total_capacity == pytest.approx(top - 20 + 60 * (place - 95) ** 2)
    none = ask(1000)
    assert none.count == 0 and "best reachable" in none.report()
    scan = np.linspace(80, 110, 3001)
    off = np.abs(ALDER.expect(**fixed, outdoor_dry_bulb=scan).total_capacity - top - 1000 - 60 * (scan - 95) ** 2)
    assert none.best == pytest.approx(scan[np.argmin(off)], abs=0.02)


def test_a_balance_point_is_where_a_heat_pump_meets_its_load():
    fixed = {name: value for name, value in HEATING.items() if name != "outdoor_dry_bulb"}
    found = ALDER.solve(
        vary="outdoor_dry_bulb", between=(5, 60), of="total_capacity", equals=lambda t: 40000 * (65 - t) / 60, **fixed
    )
    (place,) = found.solutions
    assert ALDER.expect(**fixed, outdoor_dry_bulb=place).total_capacity == pytest.approx(40000 * (65 - place) / 60, rel=1e-12)
    assert "total_capacity is" in found.report() and found.unit == "degF"
    frame = found.to_pandas()
    assert frame["outdoor_dry_bulb"].tolist() == [place] and frame["solution"].all()
    assert frame.attrs["units"] == {"outdoor_dry_bulb": "degF", "reached": "Btu/h", "off": "Btu/h"}


def test_many_at_once_are_those_one_by_one():
    fixed = {name: value for name, value in COOLING.items() if name not in ("airflow", "outdoor_dry_bulb", "stage")}
    airflow, stage = np.array([[800.0], [1000.0]]), np.array(["high", "low", "high"])
    wanted = np.array([32000.0, 22000.0, 60000.0])
    many = ALDER.solve(
        vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=wanted, airflow=airflow, stage=stage, **fixed
    )
    assert many.best.shape == (2, 3) and many.solutions.shape[:2] == (2, 3)
    for i in range(2):
        for k in range(3):
            one = ALDER.solve(
                vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=wanted[k], airflow=airflow[i, 0],
                stage=stage[k], **fixed,
            )  # fmt: skip
            assert one.solutions.tolist() == many.solutions[i, k][: one.count].tolist() and one.count == many.count[i, k]
            assert (one.best, one.reached) == (many.best[i, k], many.reached[i, k])
    assert pickle.loads(pickle.dumps(many)) == many
    assert "6 questions" in many.report()


def test_a_long_question_hears_an_interrupt():
    """A part of it at a time, and no more after the interrupt: what is left is not worked out."""
    fixed = {name: value for name, value in COOLING.items() if name != "entering_wet_bulb"}
    rows = 4_000_000  # minutes of work
    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a run in the background ignores interrupts
    timer = threading.Timer(0.5, signal.raise_signal, (signal.SIGINT,))
    try:
        timer.start()
        with pytest.raises(KeyboardInterrupt):
            ALDER.solve(
                vary="entering_wet_bulb", between=(59, 72), of=("sensible_capacity", "total_capacity"), equals=np.full(rows, 0.75), **fixed
            )  # fmt: skip
    finally:
        timer.cancel()
        signal.signal(signal.SIGINT, before)


QUESTION = [
    "solve", str(TABLES / "demo/alder.yaml"), "--units=IP", "--stage=high", "--entering-dry-bulb=80", "--entering-wet-bulb=67",
    "--airflow-basis=standard", "--elevation=0", "--boundary=coil",
]  # fmt: skip
AT_95 = [*QUESTION, "--outdoor-dry-bulb=95", "--airflow=1000"]


def test_the_command_tells_places_in_every_form(capsys):
    asked = [
        *QUESTION,
        "--match=indoor A",
        "--line-set=reference",
        "--airflow=1000",
        "--vary=outdoor_dry_bulb",
        "--of=total_capacity",
    ]
    fixed = {name: value for name, value in COOLING.items() if name != "outdoor_dry_bulb"}
    found = ALDER.solve(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=33000, **fixed)
    assert main([*asked, "--equals=33000", "--between", "75", "115"]) == 0
    assert capsys.readouterr().out == found.report()
    assert main([*asked, "--equals=33000", "--between", "75", "115", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["told"] == "Solutions" and told["fields"] == {"outdoor_dry_bulb": "degF", "reached": "Btu/h", "off": "Btu/h"}
    assert told["places"] == found.to_rows() and told["places"][0]["outdoor_dry_bulb"] == found.solutions[0]
    assert main([*asked, "--equals=60000", "--between", "75", "115", "--csv"]) == 0
    heading, row = capsys.readouterr().out.splitlines()
    assert heading == "outdoor_dry_bulb [degF],solution,reached [Btu/h],off [Btu/h]" and row.startswith("75,False,")
    ratio = ["--vary=entering_wet_bulb", "--of=sensible_capacity/total_capacity", "--equals=75%", "--between", "60", "71"]
    wet_bulb = [word for word in AT_95 if "wet-bulb" not in word]
    assert main([*wet_bulb, "--match=indoor A", "--line-set=reference", *ratio]) == 0
    assert capsys.readouterr().out.startswith("sensible_capacity over total_capacity is 0.75 at entering_wet_bulb ")


def test_the_command_varies_a_line_and_tries_a_few(capsys):
    length = ["--match=indoor A", "--vary=line_length", "--of=total_capacity", "--between", "10", "100"]
    reference = ALDER.expect(**COOLING).total_capacity
    assert main([*AT_95, *length, f"--equals={0.97 * reference}", "--line-set=?,3/4,0"]) == 0
    assert " at line_length " in capsys.readouterr().out
    assert main([*AT_95, "--vary=match", "--of=latent_capacity", "--equals=9000", "--line-set=reference"]) == 0
    assert capsys.readouterr().out.startswith("match indoor A: latent_capacity ")
    sizes = [
        "--match=indoor A",
        "--vary=line_suction",
        "--of=total_capacity",
        "--equals=33000",
        "--among=3/4,7/8",
        "--line-set=50,?,0",
    ]
    assert main([*AT_95, *sizes, "--csv"]) == 0
    assert capsys.readouterr().out.splitlines()[1].startswith("0.75,True,")


@pytest.mark.parametrize(
    "words, said",
    [
        (["--vary=speeed", "--between", "1", "2"], "vary: 'speeed'; accepted: .*outdoor_dry_bulb"),
        (["--vary=airflow", "--between", "800", "1200"], "airflow: given, and to be varied"),
        (["--vary=line_length", "--between", "90", "10", "--line-set=?,3/4,0"], "between: .*the lower first"),
        (["--vary=line_length", "--between", "10", "90", "--line-set=?,?,0"], "its suction is a [?]"),
        (["--vary=match", "--among=indoor Z"], "no such match: 'indoor Z'"),
    ],
)
def test_the_command_refuses_by_name(words, said, capsys):
    assert main([*AT_95, "--of=total_capacity", "--equals=33000", *words]) == 2
    assert re.search(said, capsys.readouterr().err)


def test_where_nothing_is_answered_it_says_why():
    fixed = {name: value for name, value in COOLING.items() if name not in ("airflow", "outdoor_dry_bulb")}
    range_ = dict(vary="outdoor_dry_bulb", between=(120, 140), of="total_capacity", equals=30000)
    with pytest.raises(on.Refused) as caught:
        ALDER.solve(**range_, airflow=1000, **fixed)
    assert caught.value.about == "outdoor_dry_bulb"
    several = ALDER.solve(**range_, airflow=[900, 1000], **fixed)
    assert several.reason.tolist() == ["outside", "outside"] and np.isnan(several.best).all()


def test_what_cannot_be_asked_is_refused():
    fixed = {name: value for name, value in COOLING.items() if name != "outdoor_dry_bulb"}
    right = dict(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=30000)
    for wrong in ({"vary": "stage"}, {"between": (115, 75)}, {"between": 75}, {"of": "capacity"}, {"of": ("power",) * 3}):
        with pytest.raises(ValueError, match="accepted"):
            ALDER.solve(**{**right, **wrong}, **fixed)
    with pytest.raises(ValueError, match="to be varied"):
        ALDER.solve(**right, outdoor_dry_bulb=95, **fixed)


def test_a_jump_over_a_value_is_no_solution_and_a_node_is_one():
    """The model that takes frost out of an integrated page jumps at 45 degF (10 CFR 430, appendix M1)."""
    spruce = on.parse(
        (TABLES / "corpus/spruce.yaml").read_text().replace("  instantaneous:", "  integrated:"), folder=TABLES / "corpus"
    )
    fixed = dict(
        units="IP", mode="heating", frost="instantaneous", infer=True, auxiliary_heat=0, entering_dry_bulb=70, airflow=1000,
        airflow_basis="standard", elevation=0, boundary="coil", stage="full",
    )  # fmt: skip
    below, above = (spruce.expect(**fixed, outdoor_dry_bulb=t).total_capacity for t in (44.999999, 45.000001))
    assert below > above * 1.02
    found = spruce.solve(
        vary="outdoor_dry_bulb", between=(40, 46), of="total_capacity", equals=[0.5 * (below + above), 1.1 * below], **fixed
    )
    for place in found.solutions[~np.isnan(found.solutions)]:
        assert abs(place - 45) > 1e-6
    assert found.count[1] == 0
    node = ALDER.expect(**COOLING).total_capacity
    fixed = {name: value for name, value in COOLING.items() if name != "outdoor_dry_bulb"}
    at_node = ALDER.solve(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=node, **fixed)
    assert at_node.solutions.tolist() == [95.0]


def test_the_wet_bulb_at_which_a_coil_turns_dry_ends_a_stretch():
    """A dry coil's ratio of sensible is 1 all along: told are the ends of the stretch, of which one is the knee."""
    fixed = {name: value for name, value in COOLING.items() if name != "entering_wet_bulb"}
    for airflow in (1000, 1200):
        question = {**fixed, "airflow": airflow, "entering_dry_bulb": 85}
        found = ALDER.solve(
            vary="entering_wet_bulb", between=(59, 71), of=("sensible_capacity", "total_capacity"), equals=1, **question
        )
        low, knee = found.solutions
        scan = np.linspace(59, 71, 12001)
        answers = ALDER.expect(**question, entering_wet_bulb=scan)
        dry = scan[answers.sensible_capacity == answers.total_capacity]
        assert low == pytest.approx(dry[0], abs=1e-9) and 0 <= knee - dry[-1] <= 0.001
        assert ALDER.expect(**question, entering_wet_bulb=low).knee == pytest.approx(knee, abs=1e-6)
        assert (found.off, found.reached) == (0, 1)


def test_a_speed_that_meets_a_load_or_cycles_or_falls_short():
    fixed = {**COOLING, "stage": "", "airflow": 850, "outdoor_dry_bulb": 90, "line_set": None}
    scan = np.linspace(20, 95, 7501)
    total = told(BIRCH, fixed, "speed", scan, "total_capacity")
    least, most = np.nanmin(total), np.nanmax(total)
    meets, cycles, short = (
        BIRCH.solve(vary="speed", between=(20, 95), of="total_capacity", equals=load, **fixed)
        for load in (0.5 * (least + most), 0.9 * least, 1.1 * most)
    )
    assert meets.count == 1 and abs(np.interp(meets.solutions[0], scan, total) - 0.5 * (least + most)) < 1e-3 * most
    assert cycles.report().endswith(": it cycles\n") and cycles.off == pytest.approx(0.1 * least)
    assert short.report().endswith(": it falls short\n") and short.off == pytest.approx(-0.1 * most)


def test_a_function_of_the_place_that_fails_is_heard():
    fixed = {name: value for name, value in COOLING.items() if name != "outdoor_dry_bulb"}
    right = dict(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity")
    with pytest.raises(ZeroDivisionError):
        ALDER.solve(**right, equals=lambda t: 1 // 0, **fixed)
    with pytest.raises(ValueError, match="one number for each"):
        ALDER.solve(**right, equals=lambda t: t[:2], **fixed)


def test_which_matches_and_sizes_of_a_line_give_enough():
    fixed = {name: value for name, value in COOLING.items() if name != "match"} | {"airflow": 1000}
    each = {match: ALDER.expect(**fixed, match=match).latent_capacity for match in ALDER.matches}
    between = sum(each.values()) / 2
    found = ALDER.solve(vary="match", of="latent_capacity", equals=[between, 0, 1e6], **fixed)
    assert found.among == list(ALDER.matches) and found.reached[0].tolist() == list(each.values())
    assert found.meets.tolist() == [[value >= between for value in each.values()], [True, True], [False, False]]
    nearest = min(each, key=each.get)
    assert [found.among[k] for k in found.ranked[1]][0] == nearest  # the smallest that fits
    one = ALDER.solve(vary="match", of="latent_capacity", equals=1e6, **fixed)
    assert one.report().startswith("none\n") and one.report().count("not enough") == 2
    assert pickle.loads(pickle.dumps(found)) == found and "3 questions" in found.report()
    assert set(one.to_pandas()["match"]) == set(ALDER.matches) and one.to_pandas().attrs["units"]["reached"] == "Btu/h"

    rated = ALDER.expect(**COOLING).total_capacity
    line = {**{name: value for name, value in COOLING.items() if name != "line_set"}, "line_set": {"length": 50, "lift": 0}}
    sizes = [5 / 8, 3 / 4, 7 / 8, 2]
    found = ALDER.solve(vary="line_suction", among=sizes, of="total_capacity", equals=0.96 * rated, **line)
    for size, reached, meets, reason in zip(sizes, found.reached, found.meets, found.reason):
        answer = ALDER.expect(**{**line, "line_set": {"length": [50], "lift": 0, "suction": size}})
        assert reason == answer.reason[0] and bool(meets) == bool(answer.total_capacity[0] >= 0.96 * rated)
        assert reason != "none" or reached == answer.total_capacity[0]
    assert found.meets.any() and not found.meets.all() and "no answer (" in found.report()
    # And of each size how long it may be: by brute force along each.
    lengths = np.linspace(15, 100, 1701)
    del line["line_set"]
    longest = ALDER.solve(
        vary="line_length", between=(15, 100), of="total_capacity", equals=0.96 * rated, line_set={"lift": 0},
        line_suction=np.array([3 / 4, 7 / 8]), **line,
    )  # fmt: skip
    for k, size in enumerate((3 / 4, 7 / 8)):
        scan = ALDER.expect(**line, line_set={"length": lengths, "suction": size, "lift": 0}).total_capacity
        crossings = lengths[:-1][(scan[:-1] - 0.96 * rated) * (scan[1:] - 0.96 * rated) < 0]
        places = longest.solutions[k][~np.isnan(longest.solutions[k])]
        assert len(places) == len(crossings) and np.all(np.abs(places - crossings - 0.025) <= 0.05)
    for wrong in ({"among": "high"}, {"among": []}, {"vary": "mode"}, {"equals": abs}, {"limit": "about"}):
        right = dict(vary="line_suction", among=sizes, of="total_capacity", equals=3e4)
        with pytest.raises(ValueError, match="accepted"):
            ALDER.solve(**{**right, **wrong}, line_set={"length": 50, "lift": 0}, **line)


def test_what_is_no_question_backwards_is_refused_by_name():
    fixed = dict(
        units="IP", stage="high", match="indoor A", entering_dry_bulb=80, entering_wet_bulb=67, airflow=1000, airflow_basis="standard",
        elevation=0, boundary="coil", line_set="reference",
    )  # fmt: skip
    asked = dict(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", **fixed)
    alder = on.load(Path(__file__).parents[2] / "tables/demo/alder.yaml")
    with pytest.raises(
        TypeError, match=r"solve\(\) got an unexpected keyword argument 'colour'; accepted beside its own: stage, match"
    ):
        alder.solve(**asked, equals=33000, colour=3)
    with pytest.raises(TypeError, match="unexpected keyword argument 'colour'"):
        alder.solve(**{**fixed, "match": None}, outdoor_dry_bulb=95, vary="match", of="total_capacity", equals=33000, colour=3)
    for none in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match=f"equals: {none}; accepted: a finite number, an array of numbers, or a function"):
            alder.solve(**asked, equals=none)
    with pytest.raises(ValueError, match="equals: no number at any place of outdoor_dry_bulb between 75 and 115; accepted"):
        alder.solve(**asked, equals=lambda places: places * np.nan)
    with pytest.raises(ValueError, match="equals: nan; accepted: a finite number, or an array"):
        alder.solve(**{**fixed, "match": None}, outdoor_dry_bulb=95, vary="match", of="total_capacity", equals=float("nan"))
    some = alder.solve(**asked, equals=[33000, np.nan])
    assert list(some.reason) == ["none", "not_given"] and np.isnan(some.best[1]) and some.count[0] == 1
