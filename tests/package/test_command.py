"""The command ``offnominal expect``: its options are the arguments of `System.expect`."""

import inspect
import re
import shutil
from pathlib import Path

import pytest
import questions

import offnominal as on
from offnominal.__main__ import main

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"
ALDER, BIRCH = str(DEMO / "alder.yaml"), str(DEMO / "birch.yaml")
COOLING = {
    "units": "IP",
    "match": "indoor A",
    "outdoor-dry-bulb": "91",
    "entering-dry-bulb": "80",
    "airflow": "1000",
    "elevation": "0",
    "line-set": "reference",
    "boundary": "coil",
}
HUMID = {"entering-wet-bulb": "67"}
STANDARD = {"airflow-basis": "standard"}


def run(file, *several, **one):
    options = [f"--{name}={value}" for more in (*several, one) for name, value in more.items()]
    return main(["expect", file, *options])


def number(capsys, start="total"):
    return float(re.search(start + r" ([\d.]+)", capsys.readouterr().out)[1])


def help_text(capsys, *arguments):
    with pytest.raises(SystemExit) as caught:
        main([*arguments, "--help"])
    assert caught.value.code == 0
    return " ".join(capsys.readouterr().out.split())


def test_the_options_are_the_arguments(capsys):
    told = help_text(capsys, "expect")
    for name in inspect.signature(type(on.load(ALDER)).expect).parameters:
        if name not in ("self", "columns", "threads"):  # of batches, which `sweep` asks
            assert f"--{name.replace('_', '-')} " in told, name


@pytest.mark.parametrize("command", [[], ["expect"], ["sweep"], ["prove"], ["recompute"], ["audit"], ["transcribe"], ["collate"]])
def test_help_lists_the_exit_status(command, capsys):
    told = help_text(capsys, *command)
    exit_status = "0: there is an answer, whatever it says; 1: collate or recompute found differences; 2: no answer, and why not."
    if command == ["prove"]:
        exit_status = "0: meets, 3: falls_short, 4: undecided, 5: implausible, 6: not_comparable; 2: no proof, and why not."
    assert f"exit status: {exit_status}" in told


def test_a_speed_instead_of_a_stage(capsys):
    question = {**COOLING, "airflow": "800"}
    del question["line-set"]
    assert run(BIRCH, question, HUMID, STANDARD, speed="45") == 0
    at_45 = number(capsys)
    assert run(BIRCH, question, HUMID, STANDARD, speed="46") == 0
    assert number(capsys) > at_45
    with pytest.raises(SystemExit):
        run(BIRCH, question, HUMID, STANDARD, speed="45", stage="minimum")
    assert "not allowed with argument --speed" in capsys.readouterr().err


def test_every_measure_of_humidity(capsys):
    assert run(ALDER, COOLING, HUMID, STANDARD, stage="high") == 0
    total = number(capsys)
    air = on.air.state(units="IP", dry_bulb=80, wet_bulb=67, elevation=0)
    for measure in ("relative_humidity", "humidity_ratio", "dew_point"):
        value = {f"entering-{measure.replace('_', '-')}": repr(getattr(air, measure))}
        assert run(ALDER, COOLING, value, STANDARD, stage="high") == 0
        assert number(capsys) == pytest.approx(total, abs=1.0)


@pytest.mark.parametrize("typed", ["51%", "51 %", " 51.0 %", "0.51"])
def test_relative_humidity_is_a_percentage_or_a_fraction(typed, capsys):
    assert run(ALDER, COOLING, {"entering-relative-humidity": typed}, STANDARD, stage="high") == 0
    got = capsys.readouterr().out
    assert run(ALDER, COOLING, {"entering-relative-humidity": "0.51"}, STANDARD, stage="high") == 0
    assert got == capsys.readouterr().out


@pytest.mark.parametrize(
    "typed, words",
    [
        ("55", "'55' is more than 1: type 55%, or the fraction 0.55"),
        ("55,5 %", "'55,5 ' is not a number; use a point: 55.5"),
        ("%", "'' is not a number"),
        ("damp", "'damp' is not a number"),
    ],
)
def test_a_bare_percentage_is_refused_with_what_to_type(typed, words, capsys):
    for option in ("entering-relative-humidity", "outdoor-relative-humidity"):
        with pytest.raises(SystemExit) as caught:
            run(ALDER, COOLING, {option: typed}, STANDARD, stage="high")
        assert caught.value.code == 2
        assert words in " ".join(capsys.readouterr().err.split())


def test_dry_mass(capsys):
    assert run(ALDER, COOLING, HUMID, STANDARD, stage="high") == 0
    total = number(capsys)
    assert (
        run(ALDER, COOLING, HUMID, {"airflow": "4500", "airflow-basis": "dry_mass"}, stage="high") == 0
    )  # 1000 scfm of 0.075 lb/ft3
    assert number(capsys) == pytest.approx(total, abs=1.0)


def test_errors_name_the_options(capsys):
    assert run(ALDER, COOLING, STANDARD, stage="high") == 2
    err = capsys.readouterr().err
    assert (
        "give exactly one of --entering-wet-bulb, --entering-relative-humidity, --entering-humidity-ratio, --entering-dew-point"
        in err
    )
    assert run(ALDER, COOLING, HUMID, STANDARD, {"auxiliary-heat": "0"}, stage="high") == 2
    assert "--auxiliary-heat: 0.0; accepted: nothing in cooling" in capsys.readouterr().err


def test_text_moves_no_cursor(capsys, tmp_path):
    """What a file or an argument says cannot colour, hide or reverse what the terminal shows."""
    nasty = "red\x1b[31m\x07\u202e\x85"
    text = Path(ALDER).read_text(encoding="utf-8").replace("name: Alder three-ton, invented", 'name: "red\\e[31m\\a\\u202e\\x85"')
    for csv in DEMO.glob("*.csv"):
        shutil.copy(csv, tmp_path)
    file = tmp_path / "system.yaml"
    file.write_text(text, encoding="utf-8")
    run(str(file), COOLING, HUMID, STANDARD, stage="high")
    run(ALDER, COOLING, HUMID, STANDARD, stage=nasty)
    run(nasty, COOLING, HUMID, STANDARD, stage="high")
    shown = "".join(capsys.readouterr())
    assert shown and not re.search(r"[^\n\t -~\u00a1-\u167f]", shown), ascii(shown)


def sweep(**several):
    options = {**COOLING, **HUMID, **STANDARD, "stage": "high", **{name.replace("_", "-"): x for name, x in several.items()}}
    return main(["sweep", ALDER, *(f"--{name}={value}" for name, value in options.items())])


def test_sweep_writes_every_combination_as_csv(capsys):
    assert sweep(outdoor_dry_bulb="85:105:10", airflow="1000,1100", columns="total_capacity,split") == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "outdoor_dry_bulb [degF],airflow [cfm],total_capacity [Btu/h],split [delta_degF],reason"
    assert [line.split(",")[:2] for line in lines[1:]] == [[t, flow] for t in ("85", "95", "105") for flow in ("1000", "1100")]
    alone = on.load(ALDER).expect(**{**questions.COOLING, "outdoor_dry_bulb": 95, "airflow": 1100})
    assert lines[4] == f"95,1100,{alone.total_capacity:.7g},{alone.split:.7g},none"


def test_sweep_goes_over_stages_and_says_why_there_is_no_answer(capsys):
    assert sweep(stage="high,low", outdoor_dry_bulb="95,140", airflow="800") == 0
    lines = [line.split(",") for line in capsys.readouterr().out.splitlines()]
    assert [(line[0], line[1], line[-1]) for line in lines[1:]] == [
        (stage, t, why) for stage in ("high", "low") for t, why in (("95", "none"), ("140", "outside"))
    ]
    assert lines[2][2] == ""


@pytest.mark.parametrize(
    ("several", "message"),
    [
        ({}, "nothing to sweep: every option has one value"),
        ({"outdoor_dry_bulb": "85,95", "columns": "splt"}, "columns: 'splt'; accepted in cooling: total_capacity"),
    ],
)
def test_sweep_says_what_is_wrong(capsys, several, message):
    assert sweep(**several) == 2
    assert message in capsys.readouterr().err


def test_a_range_that_goes_nowhere_is_refused(capsys):
    with pytest.raises(SystemExit):
        sweep(outdoor_dry_bulb="95:85:5")
    assert "is no range; accepted: FROM:TO:STEP, such as 75:115:5" in capsys.readouterr().err
