"""The command: its options are the arguments of the library, what it tells is what the library tells."""

import csv
import inspect
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
import questions

import offnominal as on
from offnominal import _progress, _results
from offnominal.__main__ import _COMMANDS, main

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
        if name not in ("self", "columns", "out", "threads"):  # of batches, which `sweep` asks
            assert f"--{name.replace('_', '-')} " in told, name


@pytest.mark.parametrize("command", [[], *([name] for name in _COMMANDS)], ids=" ".join)
def test_help_lists_the_exit_statuses(command, capsys):
    with pytest.raises(SystemExit):
        main([*command, "--help"])
    listed = capsys.readouterr().out.partition("exit status\n")[2]
    assert dict(re.findall(r"^  (\d+) +(.*)$", listed, re.M)) == {str(x): words for x, words in _results.STATUSES.items()}


def test_readme_has_the_exit_statuses():
    text = (DEMO.parents[1] / "README.md").read_text(encoding="utf-8")
    assert dict(re.findall(r"^\| (\d+) \| (.*) \|$", text, re.M)) == {str(x): words for x, words in _results.STATUSES.items()}


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
        ("nan", "'nan' is not a number"),
        ("0.55%", "'0.55%' is less than 2 %: type 55%, or the fraction 0.0055"),
    ],
)
def test_a_bare_percentage_is_refused_with_what_to_type(typed, words, capsys):
    for option in ("entering-relative-humidity", "outdoor-relative-humidity"):
        with pytest.raises(SystemExit) as caught:
            run(ALDER, COOLING, {option: typed}, STANDARD, stage="high")
        assert caught.value.code == 2
        assert words in " ".join(capsys.readouterr().err.split())


def test_elevation_and_barometer(capsys):
    """Either, both (then the barometer counts), or a refusal that names what is wanted."""
    said = {}
    for name, site in {"both": {"pressure": "12.0"}, "alone": {"pressure": "12.0", "elevation": None}, "map": {}}.items():
        place = {k: v for k, v in {**COOLING, "elevation": "5000", "stage": "high", **site}.items() if v is not None}
        assert run(ALDER, HUMID, STANDARD, place) == 0
        said[name] = number(capsys)
    assert said["both"] == said["alone"] != said["map"]
    nowhere = {k: v for k, v in COOLING.items() if k != "elevation"}
    assert run(ALDER, HUMID, STANDARD, nowhere, stage="high") == 2
    assert "give elevation, pressure or both" in capsys.readouterr().err


@pytest.mark.parametrize(
    "option, typed", [("outdoor-dry-bulb", "1e99999999"), ("line-set", "50,1e99999999/3"), ("line-set", "50,3/1e99999999")]
)
def test_a_number_with_too_many_digits_is_refused_at_once(option, typed, capsys):
    """As a whole number or a fraction it would be worked out for hours."""
    with pytest.raises(SystemExit) as caught:
        main([*QUESTION, f"--{option}", typed])
    assert caught.value.code == 2
    assert f"--{option}: '{typed}' is not a " in capsys.readouterr().err


def test_a_comma_between_thousands_is_no_point(capsys):
    for command in (main, sweep_of):
        with pytest.raises(SystemExit) as caught:
            command([*QUESTION, "--airflow", "1,000"])
        assert caught.value.code == 2
        assert "--airflow: '1,000' is not a number; type 1000, or 1.000; see offnominal " in capsys.readouterr().err
    assert sweep(outdoor_dry_bulb="95,105", columns="split") == 0 and sweep(elevation="1, 200", columns="split") == 0
    assert len(capsys.readouterr().out.splitlines()) == 6


def test_what_is_wrong_with_the_options_is_one_line(capsys):
    with pytest.raises(SystemExit) as caught:
        main([*PROVE, "--unit"])
    assert caught.value.code == 2 and len(capsys.readouterr().err.splitlines()) == 1


def test_a_negative_fan_power_is_refused_even_where_none_is_asked(capsys):
    assert main([*QUESTION, "--fan-power", "-4"]) == 2
    assert "--fan-power: -4; accepted: 0 or more" in capsys.readouterr().err


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
    for table in DEMO.glob("*.csv"):
        shutil.copy(table, tmp_path)
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


def sweep_of(question):
    return main(["sweep", *question[1:]])


def test_sweep_writes_every_combination_as_csv(capsys):
    assert sweep(outdoor_dry_bulb="85:105:10", airflow="1000,1100", columns="total_capacity,split") == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "outdoor_dry_bulb [degF],airflow [cfm],total_capacity [Btu/h],split [degF],reason"
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
        ({"stage": "high,hihg"}, "the system has no such stage: 'hihg'; it has high, low"),
        (
            {"outdoor_dry_bulb": "75:115:0.01", "airflow": "800:1200:0.5"},
            "3,204,801 rows (4001 x 801); accepted: at most 1,000,000",
        ),
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


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("75:115:15", "'75:115:15' does not end on a step; accepted: 75:105:15 or 75:120:15"),
        ("0:1e9:0.1", "'0:1e9:0.1' has 10,000,000,001 values; accepted: at most 1,000,000 rows"),
    ],
)
def test_a_range_ends_on_a_step_and_can_be_held(capsys, typed, message):
    with pytest.raises(SystemExit):
        sweep(outdoor_dry_bulb=typed)
    assert message in capsys.readouterr().err


@pytest.mark.parametrize("typed", ["75:115", "75:", "75:85:5:1"])
def test_a_range_without_a_step_is_told_what_is_accepted(capsys, typed):
    with pytest.raises(SystemExit):
        sweep(outdoor_dry_bulb=typed)
    assert f"'{typed}' is no range; accepted: FROM:TO:STEP, such as 75:115:5" in capsys.readouterr().err


VISIT = str(DEMO / "library-visit.yaml")
QUESTION = ["expect", ALDER, *(f"--{name}={value}" for name, value in {**COOLING, **HUMID, **STANDARD, "stage": "high"}.items())]
PROVE, PLAN = (["prove", VISIT, "--units", "IP"], ["plan", VISIT, "--units", "IP"])
AIRFLOW = ["airflow", ALDER, "--units", "IP", "--tap", "4", "--static", "0.5", "--dry-bulb", "75", "--relative-humidity", "50%",
           "--elevation", "0"]  # fmt: skip


def told_as_data(capsys, *arguments):
    """What a command tells as JSON, and the rows of its CSV."""
    main([*arguments, "--json"])
    data = json.loads(capsys.readouterr().out)
    main([*arguments, "--csv"])
    return data, list(csv.DictReader(io.StringIO(capsys.readouterr().out)))


def test_expect_tells_by_the_library_s_names(capsys):
    data, (row,) = told_as_data(capsys, *QUESTION)
    alone = on.load(ALDER).expect(**{**questions.COOLING, "outdoor_dry_bulb": 91})
    assert data == json.loads(alone.to_json())
    assert float(row["total_capacity [Btu/h]"]) == pytest.approx(alone.total_capacity, rel=1e-6)
    assert row["footing"] == "inside" and row["boundary"] == "coil"


def test_deliver_tells_by_the_library_s_names(capsys):
    readings = {"units": "IP", "return_dry_bulb": 76, "return_relative_humidity": 0.55, "supply_dry_bulb": 57.2,
                "supply_relative_humidity": 0.92, "airflow": 1120, "airflow_at": "return", "elevation": 0}  # fmt: skip
    typed = ["deliver", *(f"--{name.replace('_', '-')}={value}" for name, value in readings.items())]
    alone = on.deliver(**readings)
    data, (row,) = told_as_data(capsys, *typed)
    assert data == json.loads(alone.to_json())
    assert float(row["split [degF]"]) == pytest.approx(alone.split, rel=1e-6)
    assert main(typed) == 0
    text = capsys.readouterr().out
    assert f"  total capacity  {alone.total_capacity:.0f} Btu/h\n" in re.sub("  +", "  ", text)
    assert text.startswith("delivered\n") and text.isascii() and "certifies nothing" in text
    assert main(["deliver", *typed[1:3], *typed[4:]]) == 2
    assert "give exactly one of --return-wet-bulb, --return-relative-humidity," in capsys.readouterr().err
    for name in inspect.signature(on.deliver).parameters:
        assert f"--{name.replace('_', '-')}" in help_text(capsys, "deliver"), name


def test_a_sweep_tells_the_same_as_csv_and_json(capsys):
    swept = ["sweep", *QUESTION[1:], "--columns", "split", "--outdoor-dry-bulb", "95,140"]
    data, rows = told_as_data(capsys, *swept)
    assert data["outdoor_dry_bulb"] == [95.0, 140.0] and data["reason"] == ["none", "outside"] and data["split"][1] is None
    assert data["fields"] == {"outdoor_dry_bulb": "degF", "split": "delta_degF"}
    assert [row["reason"] for row in rows] == data["reason"] and list(rows[0])[:2] == [
        "outdoor_dry_bulb [degF]",
        "split [degF]",
    ]


def test_a_proof_is_told_in_five_lines_or_in_full(capsys):
    proof = on.load(ALDER).prove(VISIT, units="IP")
    assert main(PROVE) == main([*PROVE, "--full"]) == _results.OUTCOMES["undecided"]
    brief, full = capsys.readouterr().out.split("\nproof: ")
    assert brief.splitlines()[:5] == proof.verdict(units="IP").splitlines() and len(brief.splitlines()) == 6
    assert "proof: " + full == proof.report(units="IP")
    data, (row,) = told_as_data(capsys, *PROVE)
    about = {name: data.pop(name) for name in ("visit", "date", "system", "why", "next", "settling")}
    assert data == json.loads(proof.to_json())
    assert (about["visit"], about["date"], about["system"]) == (proof.visit.name, proof.visit.date, proof.system.name)
    assert f"  why: {about['why']}\n  next: {about['next']}\n" in proof.verdict(units="IP")
    assert [one["remedy"] for one in about["settling"]] == [one.remedy for one in proof.settle()]
    assert float(row["ratio [1]"]) == pytest.approx(proof.ratio, rel=1e-6) and row["outcome"] == "undecided"
    data, rows = told_as_data(capsys, *PLAN)
    assert [float(row["meets"]) for row in rows] == pytest.approx([one["meets"] for one in data["chances"]], rel=1e-6)


def test_other_commands_tell_numbers_too(capsys, tmp_path):
    data, (row,) = told_as_data(capsys, *AIRFLOW)
    assert data["fields"]["airflow"] == "cfm" and float(row["airflow [cfm]"]) == pytest.approx(data["airflow"], rel=1e-6)
    slip = tmp_path / "slip.yaml"
    for table in DEMO.glob("*.csv"):
        shutil.copy(table, tmp_path)
    slip.write_text(Path(ALDER).read_text(encoding="utf-8").replace("33.5 ", "35.3 ", 1), encoding="utf-8")
    data, rows = told_as_data(capsys, "audit", str(slip))
    assert rows[0]["typed"] == data["pages"][0]["suspects"][0]["typed"] == "35.3"
    data, rows = told_as_data(capsys, "collate", ALDER, str(slip))
    assert len(rows) == len(data["differences"]) == 1 and rows[0]["second"] == "35.3 MBh"
    for nothing_found, heading in (
        (["collate", ALDER, ALDER], "kind,page,where,"),
        (["audit", ALDER], "mode,frost,stage,match,"),
    ):
        main([*nothing_found, "--csv"])
        assert capsys.readouterr().out.startswith(heading)


def test_a_reason_is_told_as_json_too(capsys):
    assert main([*QUESTION, "--outdoor-dry-bulb", "140", "--json"]) == 2
    out, err = capsys.readouterr()
    data = json.loads(out)
    assert (data["told"], data["why"], data["about"], data["value"]) == ("Refused", "outside", "outdoor_dry_bulb", 140.0)
    assert data["message"] in err


def test_json_moves_no_cursor(capsys):
    nasty = "red\x1b[31m\x7f\u202e\x85"
    assert main([*QUESTION, f"--stage={nasty}", "--json"]) == 2
    out = capsys.readouterr().out
    assert not re.search(r"[^\n -~]", out) and nasty in json.loads(out)["message"]


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_bold_is_for_terminals_alone(monkeypatch, capsys):
    main(PROVE)
    plain = capsys.readouterr().out
    assert "\x1b" not in plain
    for name, value, bold in (("TERM", "xterm", True), ("TERM", "dumb", False), ("NO_COLOR", "1", False)):
        monkeypatch.setenv("TERM", "xterm")
        monkeypatch.delenv("NO_COLOR", raising=False)
        monkeypatch.setenv(name, value)
        monkeypatch.setattr(sys, "stdout", Terminal())
        main(PROVE)
        shown = sys.stdout.getvalue()
        assert ("\x1b[1mproof: undecided\x1b[0m\n" in shown) == bold and re.sub("\x1b\\[[01]m", "", shown) == plain


def test_an_interrupt_and_a_fault_have_no_traceback(monkeypatch, capsys):
    def interrupted(options):
        raise KeyboardInterrupt

    monkeypatch.setitem(main.__globals__["_COMMANDS"], "prove", interrupted)
    assert main(PROVE) == 130 and capsys.readouterr().err == "offnominal: interrupted\n"
    monkeypatch.setitem(main.__globals__["_COMMANDS"], "prove", lambda options: {}["missing"])
    assert main(PROVE) == 70
    assert "a fault of its own, KeyError: 'missing'; python -X dev -m offnominal shows where" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["--help"], PROVE], ids=["help", "prove"])
def test_a_closed_pipe_ends_it_quietly(arguments):
    read, write = os.pipe()
    os.close(read)
    try:
        done = subprocess.run([sys.executable, "-m", "offnominal", *arguments], stdout=write, stderr=subprocess.PIPE, text=True)
    finally:
        os.close(write)
    # argparse of Python 3.13 keeps to itself that nobody read its help.
    unread = (0, 128 + signal.SIGPIPE) if arguments == ["--help"] else (128 + signal.SIGPIPE,)
    assert done.returncode in unread and done.stderr == ""


def test_a_pipe_closed_on_the_way_ends_it_quietly():
    swept = ["sweep", *QUESTION[1:], "--outdoor-dry-bulb", "75:115:0.05"]
    with subprocess.Popen(
        [sys.executable, "-m", "offnominal", *swept], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as running:
        running.stdout.read(10)
        running.stdout.close()
        assert (running.wait(), running.stderr.read()) == (128 + signal.SIGPIPE, b"")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="a disk that is always full is Linux's")
@pytest.mark.parametrize("arguments", [["--help"], PROVE, ["audit", "none.yaml", "--json"]], ids=["help", "prove", "error"])
def test_a_full_disk_is_no_fault_of_its_own(arguments):
    with open("/dev/full", "w") as full:
        done = subprocess.run([sys.executable, "-m", "offnominal", *arguments], stdout=full, stderr=subprocess.PIPE, text=True)
    assert (done.returncode, done.stderr) == (2, "offnominal: the output cannot be written: No space left on device\n")


@pytest.mark.skipif(os.name == "nt", reason="asks a shell of POSIX")
def test_what_is_closed_is_read_by_nobody():
    def run_by_shell(arguments, closed):
        command = ["sh", "-c", f'exec "$0" -m offnominal "$@" {closed}', sys.executable, *arguments]
        done = subprocess.run(command, capture_output=True, text=True)
        return done.returncode, done.stdout, done.stderr

    assert run_by_shell(PROVE, ">&-") == (141, "", "")
    assert run_by_shell(["audit", "none.yaml"], "2>&-") == (2, "", "")


def test_the_demo_proves_and_hands_out_its_files(capsys, tmp_path):
    assert main(["demo"]) == 0
    told = capsys.readouterr().out
    assert told.startswith(on.load(ALDER).prove(VISIT).verdict(units="IP"))
    data, (row,) = told_as_data(capsys, "demo")
    assert f"{data['ratio']:.3f}" in told and row["outcome"] == data["outcome"] == "undecided"
    data, rows = told_as_data(capsys, "demo", "--force", "--copy", str(tmp_path / "own"))
    assert data["file"] == [row["file"] for row in rows] and all(map(os.path.exists, data["file"]))
    assert main(["prove", str(tmp_path / "own/library-visit.yaml"), "--units", "IP"]) == 4
    assert main(["demo", "--copy", str(tmp_path / "own")]) == 2
    assert "is there already; --force replaces it" in capsys.readouterr().err
    assert on.load(on.demo_file("birch.yaml")) == on.load(BIRCH)
    with pytest.raises(FileNotFoundError, match="'oak.yaml' is no file of the demo; accepted: alder-blower.csv"):
        on.demo_file("oak.yaml")


# What a person types into a template, by what its reader complains of.
TYPED = {
    "system": {
        "name": "Larch, invented",
        "sensible_at": "80 degF",
        "line_set: reference: length": "25 ft",
        "line_set: reference: suction": "7/8 in",
    },
    "visit": {
        "boundary": "coil+fan",
        "stage": "high",
        "limit": "0.9",
        "site: elevation": "4690 ft",
        "line_set: length": "50 ft",
        "line_set: suction": "3/4 in",
        "fan_power: value": "420 W",
        "readings: outdoor: dry_bulb": "91 degF",
        "readings: return: dry_bulb": "76.6 degF",
        "readings: return: relative_humidity": "55 %",
        "readings: supply: dry_bulb": "58.4 degF",
        "readings: supply: relative_humidity": "86.4 %",
        "readings: airflow: value": "1190 cfm",
        "readings: airflow: at": "return",
        "readings: power: value": "2370 W",
        "readings: power: of": "outdoor unit",
        "instruments: outdoor probe: dry_bulb: limits": "1.0 degF",
        "instruments: return probe: dry_bulb: limits": "0.4 degF",
        "instruments: return probe: relative_humidity: limits": "2 %",
        "instruments: supply probe: dry_bulb: limits": "0.4 degF",
        "instruments: supply probe: relative_humidity: limits": "2 %",
        "instruments: flow grid: airflow: limits": "7 %",
        "instruments: clamp meter: power: limits": "3 %",
    },
}


# The template of a heating visit asks for other things.
_COOLING_ONLY = {"line_set: length", "line_set: suction", "instruments: supply probe: relative_humidity: limits"}
_COOLING_ONLY |= {"readings: return: relative_humidity", "readings: supply: relative_humidity"}
TYPED["visit --heating"] = {key: typed for key, typed in TYPED["visit"].items() if key not in _COOLING_ONLY}
TYPED["visit --heating"]["auxiliary_heat"] = "off"


@pytest.mark.parametrize("kind", TYPED)
def test_a_template_says_what_is_left_to_fill_and_loads_when_it_is(kind, capsys):
    assert main(["new", *kind.split()]) == 0
    lines, left = capsys.readouterr().out.splitlines(), dict(TYPED[kind])
    read = on.parse if kind == "system" else on.Visit.parse
    while True:
        try:
            made = read("\n".join(lines) + "\n")
            break
        except on.InputError as error:
            line = lines[error.line - 1]
            if "no value" in error.problem:
                typed = left.pop(error.problem.removesuffix(" has no value"))
                at = line.index(":", error.column - 1) + 1
                lines[error.line - 1] = line[:at] + " " + typed + line[at:]
            elif "sensible_at" in error.accepted:
                at = next(k for k, line in enumerate(lines) if "sensible_at:" in line)
                lines[at] = lines[at].replace("sensible_at:", "sensible_at: " + left.pop("sensible_at"))
            else:  # the page's rows
                assert "no rows" in error.problem, error
                units = next(k for k, line in enumerate(lines) if "degF  scfm" in line)
                lines.insert(units + 1, "        95    1000     67    35.2   26.1      2.51")
    assert not left
    assert made.write()


def test_a_template_for_a_known_system_names_its_stages(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["new", "visit", "--system", BIRCH, "-o", "visit.yaml"]) == 0
    text = Path("visit.yaml").read_text(encoding="utf-8")
    assert f"system: '{BIRCH}'" in text and re.search("^stage: +# one of: minimum, ", text, re.M)
    assert main(["new", "visit", "-o", "visit.yaml"]) == main(["new", "system", "--system", BIRCH]) == 2
    assert main(["new", "system", "--heating"]) == 2
    assert "is there already" in capsys.readouterr().err


def test_what_gives_a_text_gives_it_as_json_too(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["new", "visit"]) == 0
    text = capsys.readouterr().out
    assert main(["new", "visit", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"told": "Template", "kind": "visit", "file": None, "text": text}
    page = ["transcribe", str(DEMO / "alder-low.csv"), "--name", "Alder, invented", "--sensible-at", "80 degF"]
    assert main(page) == 0
    text, report = capsys.readouterr()
    assert main([*page, "--json", "-o", "made.yaml"]) == 0
    data, err = capsys.readouterr()
    data = json.loads(data)
    assert (data["told"], data["file"], data["text"], data["report"], err) == ("Transcription", "made.yaml", text, report, "")
    assert Path("made.yaml").read_text(encoding="utf-8") == text


def test_long_work_tells_a_terminal_how_far_it_has_come(monkeypatch):
    clock = iter([0.0, 0.5, 10.0, 20.0, 300.0, 0.0])
    monkeypatch.setattr(_progress.time, "monotonic", lambda: next(clock))
    terminal, file = io.StringIO(), io.StringIO()
    terminal.isatty = lambda: True
    parts = [("a", 0.1), ("b", 0.25), ("c", 0.5), ("d", 0.5)]
    assert list(_progress.told(parts, "proving", terminal)) == ["a", "b", "c", "d"]
    said = [one.replace("\x1b[K", "") for one in terminal.getvalue().split("\r")]
    assert said == ["", "proving:  25 %, 30 s left ", "proving:  50 %, 20 s left ", "proving:  50 %, 5 min left ", ""]
    assert list(_progress.told(parts[:0], "proving", file)) == [] and file.getvalue() == ""


def test_a_sweep_and_an_audit_tell_how_far_they_have_come(monkeypatch, capsys):
    heard = {}
    monkeypatch.setattr(_progress.Progress, "__call__", lambda self, done: heard.setdefault(self._what, []).append(done))
    monkeypatch.setattr(_results, "_ROWS_AT_ONCE", 2)
    assert sweep(outdoor_dry_bulb="85,90,95", columns="power") == 0
    assert capsys.readouterr().out.count("\n") == 4
    assert main(["audit", ALDER]) == 0
    assert heard == {"writing": [2 / 3, 1.0], "auditing": [0.25, 0.5, 0.75, 1.0]}


def test_an_interrupt_ends_an_audit(monkeypatch, capsys):
    def interrupted(self, done):
        raise KeyboardInterrupt

    monkeypatch.setattr(_progress.Progress, "__call__", interrupted)
    assert main(["audit", ALDER]) == 130 and capsys.readouterr() == ("", "offnominal: interrupted\n")


# A question to each command; FOLDER holds the demo, a log, a table of visits, a year of weather, a revised system and a record.
_ASKED = ["--units=IP", "--stage=high", "--match=indoor A", "--line-set=reference", "--boundary=coil", "--elevation=0", "--entering-dry-bulb=80",
          "--entering-wet-bulb=67", "--airflow-basis=standard"]  # fmt: skip
_DESIGN = ["--units=IP", "--outdoor-dry-bulb=95", "--entering-dry-bulb=75", "--entering-wet-bulb=63", "--elevation=0",
           "--total-load=31000", "--sensible-load=23000"]  # fmt: skip
_VARIED = ["--vary=outdoor_dry_bulb", "--between", "75", "115", "--of=total_capacity", "--equals=32000"]
EVERY = {
    "demo": [],
    "expect": ["FOLDER/alder.yaml", *_ASKED, "--airflow=1000", "--outdoor-dry-bulb=91"],
    "sweep": ["FOLDER/alder.yaml", *_ASKED, "--airflow=1000", "--outdoor-dry-bulb=85,95"],
    "solve": ["FOLDER/alder.yaml", *_ASKED, "--airflow=1000", *_VARIED],
    "card": ["FOLDER/alder.yaml", *_ASKED[:-2], *_ASKED[-1:], "--airflow=1000"],
    "deliver": ["--units=IP", "--return-dry-bulb=76", "--return-relative-humidity=55%", "--supply-dry-bulb=57",
                "--supply-relative-humidity=92%", "--airflow=1120", "--airflow-at=return", "--elevation=0"],
    "prove": ["FOLDER/library-visit.yaml", "--units=IP"],
    "plan": ["FOLDER/library-visit.yaml", "--units=IP"],
    "causes": ["FOLDER/library-visit.yaml", "--units=IP"],
    "choose": ["FOLDER/alder.yaml", *_DESIGN, "--airflow=1000"],
    "recompute": ["FOLDER/out.json"],
    "audit": ["FOLDER/alder.yaml"],
    "airflow": ["FOLDER/alder.yaml", *AIRFLOW[2:]],
    "survey": ["FOLDER/fleet.csv", "--visit=FOLDER/library-visit.yaml", "--units=IP", "--threads=1"],
    "seasons": ["FOLDER/library-visit.yaml", "FOLDER/library-visit.yaml"],
    "revised": ["FOLDER/alder.yaml", "FOLDER/revised.yaml", "FOLDER/fleet.csv", "--visit=FOLDER/library-visit.yaml", "--units=IP"],
    "year": ["FOLDER/alder.yaml", "FOLDER/weather.csv", "FOLDER/study.json"],
    "collate": ["FOLDER/alder.yaml", "FOLDER/revised.yaml"],
    "steady": ["FOLDER/log.csv", "--units=IP", "--elevation=0"],
    "new": ["visit"],
    "transcribe": ["FOLDER/alder-low.csv", "--name=Alder, invented", "--sensible-at=80 degF"],
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("every")
    shutil.copytree(DEMO, folder, dirs_exist_ok=True)
    text = Path(ALDER).read_text(encoding="utf-8")
    (folder / "revised.yaml").write_text(text.replace("95    1000     67    34.0", "95    1000     67    34.4"), encoding="utf-8")
    (folder / "fleet.csv").write_text("supply_dry_bulb,airflow\n58.4,1190\n57.1,1205\n")
    (folder / "weather.csv").write_text("outdoor_dry_bulb\n85\n95\n")
    indoors = {
        "entering_dry_bulb": 76,
        "entering_wet_bulb": 64,
        "airflow": {"low": 800, "high": 1100},
        "airflow_basis": "standard",
    }
    load = {"cooling": {"load": {"balance": 65, "design": 95, "load": 30000}}}
    site = {"units": "IP", "match": "indoor A", "line_set": "reference", "elevation": 0, "boundary": "coil"}
    (folder / "study.json").write_text(json.dumps({**site, **indoors, **load}))
    rows = "".join(f"2026-07-14 10:{k:02}:00,{76 + 0.02 * (k % 3):.2f},{57 + 0.02 * (k % 2):.2f}\n" for k in range(40))
    (folder / "log.csv").write_text("time,return dry bulb [degF],supply dry bulb [degF]\n" + rows)
    pytest.importorskip("jinja2")
    on.load(ALDER).prove(VISIT, units="IP").record().write(folder / "out.html")
    return folder


def test_every_command_is_asked_here():
    assert set(EVERY) == set(_COMMANDS)


@pytest.mark.parametrize("command", EVERY)
def test_every_command_tells_json_and_csv_and_of_what_is_not_there_one_line(command, folder, capsys):
    """`new` and `transcribe` give the text of a file: that is no table, and of it there is JSON alone."""
    arguments = [command, *(word.replace("FOLDER", str(folder)) for word in EVERY[command])]
    assert main([*arguments, "--json"]) in (0, 1, 4)
    assert json.loads(capsys.readouterr().out)["told"]
    if command in ("new", "transcribe"):
        with pytest.raises(SystemExit):
            main([*arguments, "--csv"])
    else:
        assert main([*arguments, "--csv"]) in (0, 1, 4)
        heading, *rows = csv.reader(io.StringIO(capsys.readouterr().out))
        assert all(heading) and all(len(row) == len(heading) for row in rows)
        assert rows or command in ("audit", "recompute", "revised")  # which may find nothing
    capsys.readouterr()
    for k, word in enumerate(EVERY[command]):
        if "FOLDER" in word:
            wrong = arguments.copy()
            wrong[k + 1] = re.sub(r"[^/]+$", "nowhere.yaml", wrong[k + 1])
            assert main(wrong) == 2
            out, err = capsys.readouterr()
            assert out == "" and "nowhere.yaml" in err and len(err.splitlines()) == 1 and "Traceback" not in err


def test_a_visit_that_names_no_system_is_told_by_every_command(tmp_path, capsys):
    visit, table = tmp_path / "visit.yaml", tmp_path / "visits.csv"
    visit.write_text((DEMO / "library-visit.yaml").read_text().replace("system: alder.yaml\n", ""))
    table.write_text("airflow\n1000\n")
    commands = [[one, str(visit), "--units", "IP"] for one in ("prove", "plan", "causes")]
    commands += [["seasons", str(visit)], ["survey", str(table), "--visit", str(visit), "--units", "IP"]]
    for command in commands:
        assert main(command) == 2
        said = f"{visit}: system is missing; accepted: system: FILE in the visit, or --system FILE"
        assert capsys.readouterr().err == f"offnominal: {said}\n"
        assert main([*command, "--system", ALDER]) in (0, 4)
        capsys.readouterr()
