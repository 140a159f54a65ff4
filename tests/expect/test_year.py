"""A year of weather against the same sums one hour at a time. The year is made here of sinusoids and is no place's."""

from pathlib import Path

import numpy as np
import pytest

import offnominal as on

SYSTEM = on.load(Path(__file__).resolve().parents[2] / "tables/demo/alder.yaml")
STAGES = {"low": (800, 200.0), "high": (1100, 400.0)}
FIXED = dict(
    units="IP", match="indoor A", line_set="reference", boundary="coil+fan", elevation=0, airflow_basis="standard",
    airflow={stage: airflow for stage, (airflow, _) in STAGES.items()}, fan_power={stage: fan for stage, (_, fan) in STAGES.items()},
)  # fmt: skip
COOLING = {"entering_dry_bulb": 76, "entering_wet_bulb": 64, "load": {"balance": 65, "design": 92, "load": 34000}}
HEATING = {"entering_dry_bulb": 70, "stage": "high", "frost": "integrated", "load": {"balance": 60, "design": 17, "load": 32000}}
HELD = {"outdoor_dry_bulb": ("hold", 20)}
KWH = 0.29307107017222 / 1000  # of a Btu/h in an hour


def weather():
    hour = np.arange(8760)
    year, day = 2 * np.pi * hour / 8760, 2 * np.pi * hour / 24
    return {"outdoor_dry_bulb": 55 - 30 * np.cos(year) - 11 * np.cos(day - 0.6) - 4 * np.cos(7 * year)}


def at(stage, mode, outdoor):
    airflow, fan = STAGES[stage]
    own = {"cooling": COOLING, "heating": HEATING}[mode]
    own = {name: value for name, value in own.items() if name not in ("load", "stage")}
    rest = {**FIXED, "airflow": airflow, "fan_power": fan, **own, **({"auxiliary_heat": 0} if mode == "heating" else {})}
    return SYSTEM.expect(**rest, mode=mode, stage=stage, outdoor_dry_bulb=outdoor, outside=HELD)


def test_hours_are_what_one_hour_at_a_time_gives():
    year = SYSTEM.year(weather(), cooling=COOLING, heating=HEATING, outside=HELD, **FIXED)
    frame = year.frame
    assert len(frame["load"]) == 8760
    np.testing.assert_allclose(frame["delivered"] + frame["unmet_load"], frame["load"], rtol=1e-12, atol=1e-9)
    seen = set()
    for row in range(0, 8760, 37):
        outdoor, load, mode = frame["outdoor_dry_bulb"][row], frame["load"][row], frame["mode"][row]
        if mode is None:
            assert load == 0 and frame["energy"][row] == 0 and frame["stage"][row] is None
            continue
        assert mode == ("cooling" if outdoor > 65 else "heating")
        if mode == "heating":
            high = at("high", "heating", outdoor)
            part = min(load / high.total_capacity, 1)
            watts = part / (1 - 0.25 * (1 - part)) * high.system_power
            short = max(load - high.total_capacity, 0)
            assert frame["auxiliary_energy"][row] == pytest.approx(short * KWH, abs=1e-12)
            seen.add(("heating", short > 0))
        else:
            low, high = at("low", "cooling", outdoor), at("high", "cooling", outdoor)
            if load <= low.total_capacity:
                part = load / low.total_capacity
                watts = part / (1 - 0.25 * (1 - part)) * low.system_power
                expected = "low"
            else:
                part = min((load - low.total_capacity) / (high.total_capacity - low.total_capacity), 1)
                watts = part * high.system_power + (1 - part) * low.system_power
                expected = "high"
            assert frame["stage"][row] == expected
            seen.add(("cooling", expected, part == 1))
            footing = {one.footing for one in (low, high)[: 1 + (expected == "high")]}
            assert frame["footing"][row] == max(footing, key=len)
        assert frame["energy"][row] == pytest.approx(watts / 1000, rel=1e-12)
    assert seen == {
        ("heating", False),
        ("heating", True),
        ("cooling", "low", False),
        ("cooling", "high", False),
        ("cooling", "high", True),
    }

    for mode, told in year.summary.items():
        mine = frame["mode"] == mode
        assert told["hours"] == mine.sum() == sum(told["stages"].values()) == sum(told["footing"].values())
        assert told["energy"] == pytest.approx(frame["energy"][mine].sum(), rel=1e-12)
        assert told["load"] == pytest.approx(frame["load"][mine].sum() * KWH, rel=1e-9)
        assert told["delivered"] + told["unmet_load"] == pytest.approx(told["load"], rel=1e-12)
        assert told["cop"] == told["delivered"] / told["energy"] and told["reasons"] == {}
        assert told["footing"].get("held", 0) == sum(frame["footing"][mine] == "held")
    assert year.summary["cooling"]["footing"]["held"] > 500 and any(
        "edge was held" in note for note in year.summary["cooling"]["notes"]
    )
    report = year.report()
    assert "left out" in report and "auxiliary heat" in report and "held" in report


def test_hours_without_an_answer_say_so_and_are_in_no_sum():
    year = SYSTEM.year(weather(), cooling=COOLING, **FIXED)
    told, frame = year.summary["cooling"], year.frame
    open_ = np.isnan(frame["energy"])
    assert told["reasons"] == {"outside": float(open_.sum())} and open_.sum() > 500
    assert set(frame["footing"][open_]) == set(frame["stage"][open_]) == {None}
    assert set(frame["reason"][open_]) == {"outside"} and set(frame["outdoor_dry_bulb"][open_] < 75) == {True}
    assert told["load"] == pytest.approx(frame["load"][~open_].sum() * KWH, rel=1e-9)
    assert told["hours"] == (frame["load"] > 0).sum()
    assert "no answer in" in year.report()


def test_bins_and_files_and_frames_and_loads_by_the_hour_are_taken(tmp_path):
    pandas = pytest.importorskip("pandas")
    bins = {"outdoor_dry_bulb": np.array([70.0, 80.0, 90.0, 100.0]), "bin_hours": np.array([600.0, 500.0, 200.0, 10.0]), "name": np.array(["a", "b", "c", "d"])}  # fmt: skip
    ask = dict(cooling=COOLING, outside=HELD, **FIXED)
    of_bins = SYSTEM.year(bins, **ask)
    repeated = {"outdoor_dry_bulb": np.repeat(bins["outdoor_dry_bulb"], bins["bin_hours"].astype(int))}
    of_hours = SYSTEM.year(repeated, **ask)
    assert of_bins.summary["cooling"]["energy"] == pytest.approx(of_hours.summary["cooling"]["energy"], rel=1e-12)
    assert of_bins.summary["cooling"]["stages"] == of_hours.summary["cooling"]["stages"]
    assert of_bins.frame["name"].tolist() == ["a", "b", "c", "d"]
    path = tmp_path / "weather.csv"
    pandas.DataFrame(bins).to_csv(path, index=False)
    assert SYSTEM.year(path, **ask).summary == of_bins.summary
    frame = pandas.DataFrame({**bins, "cooling_load": of_bins.frame["load"]}, index=list("wxyz"))
    answered = SYSTEM.year(
        frame, cooling={name: value for name, value in COOLING.items() if name != "load"}, outside=HELD, **FIXED
    )
    assert answered.summary == of_bins.summary
    assert answered.frame.index.tolist() == list("wxyz") and answered.frame.attrs["units"]["energy"] == "kWh"


def test_latent_heat_follows_and_what_is_short_of_its_load_is_told():
    """A thermostat knows of no moisture: it is removed while the sensible load is met, and not in hours in which nothing runs."""
    hours = weather()
    latent_load = 3000 + 2500 * np.sin(np.arange(8760))
    cooling = {**COOLING, "meets": "sensible_capacity", "load": {"balance": 65, "design": 92, "load": 24000}}
    ask = dict(cooling=cooling, outside=HELD, **FIXED)
    year = SYSTEM.year({**hours, "latent_load": latent_load}, **ask)
    frame, told = year.frame, year.summary["cooling"]
    seen = set()
    for row in range(0, 8760, 61):
        outdoor, load, expected = frame["outdoor_dry_bulb"][row], frame["load"][row], 0.0
        if load > 0:
            low, high = (at(stage, "cooling", outdoor) for stage in ("low", "high"))
            latent = [one.total_capacity - one.sensible_capacity for one in (low, high)]
            if load <= low.sensible_capacity:
                expected = load / low.sensible_capacity * latent[0]
            else:
                part = min((load - low.sensible_capacity) / (high.sensible_capacity - low.sensible_capacity), 1)
                expected = part * latent[1] + (1 - part) * latent[0]
        assert frame["latent"][row] == pytest.approx(expected, rel=1e-12)
        short = max(latent_load[row] - expected, 0)
        assert frame["unmet_latent"][row] == pytest.approx(short, rel=1e-9, abs=1e-9)
        seen.add((load > 0, short > 0))
    assert seen >= {(False, True), (True, True), (True, False)}
    assert told["latent"] == pytest.approx(frame["latent"].sum() * KWH, rel=1e-9)
    assert told["latent_load"] == pytest.approx(latent_load.sum() * KWH, rel=1e-9)
    assert told["unmet_latent"] == pytest.approx(frame["unmet_latent"].sum() * KWH, rel=1e-9)
    assert told["hours_short_of_latent"] == (frame["unmet_latent"] > 0).sum()
    assert f"{told['unmet_latent']:,.0f} kWh short of its load" in year.report()
    without = SYSTEM.year(hours, **ask)
    assert np.isnan(without.frame["unmet_latent"]).all() and "unmet_latent" not in without.summary["cooling"]
    assert without.summary["cooling"]["latent"] == told["latent"] and "its load" not in without.report()
    heated = SYSTEM.year(hours, heating=HEATING, outside=HELD, **FIXED)
    assert "latent" not in heated.summary["heating"] and (heated.frame["latent"] == 0).all()
    with pytest.raises(ValueError, match="latent_load: given, without cooling"):
        SYSTEM.year({**hours, "latent_load": latent_load}, heating=HEATING, outside=HELD, **FIXED)
    with pytest.raises(ValueError, match="latent_load: row 0: -1.0; accepted: 0 or more"):
        SYSTEM.year({**hours, "latent_load": latent_load * 0 - 1}, **ask)


def test_another_degradation_sensible_loads_and_a_weak_heater():
    ask = dict(outside=HELD, **FIXED)
    ideal = SYSTEM.year(weather(), cooling={**COOLING, "degradation": 0}, **ask).summary["cooling"]
    usual = SYSTEM.year(weather(), cooling=COOLING, **ask).summary["cooling"]
    assert ideal["energy"] < usual["energy"] and ideal["delivered"] == usual["delivered"]
    sensible = SYSTEM.year(weather(), cooling={**COOLING, "meets": "sensible_capacity"}, **ask).summary["cooling"]
    assert sensible["hours_short"] > usual["hours_short"]
    unlimited = SYSTEM.year(weather(), heating=HEATING, **ask).summary["heating"]
    weak = SYSTEM.year(weather(), heating={**HEATING, "auxiliary": 500}, **ask).summary["heating"]
    assert unlimited["auxiliary_energy"] == pytest.approx(unlimited["unmet_load"], rel=1e-9)
    assert 0 < weak["auxiliary_energy"] < unlimited["auxiliary_energy"]


@pytest.mark.parametrize(
    "changes, said",
    [
        ({"weather": {"temperature": [70.0]}}, "no column 'outdoor_dry_bulb'"),
        ({"weather": {"outdoor_dry_bulb": [70.0], "cooling_load": [1.0]}}, "given, and by a column"),
        ({"cooling": {**COOLING, "load": None}}, "load: not given"),
        ({"cooling": {**COOLING, "load": {"balance": 65, "design": 60, "load": 1}}}, "accepted"),
        ({"cooling": {**COOLING, "load": {"balance": 65, "load": 1}}}, "accepted"),
        ({"cooling": {**COOLING, "degradation": 1}}, "degradation"),
        ({"cooling": {**COOLING, "meets": "power"}}, "meets"),
        ({"cooling": {**COOLING, "stage": ["low", "middle"]}}, "middle"),
        ({"cooling": None}, "neither cooling nor heating"),
        ({"airflow": {"high": 1100}}, "airflow: none for stage 'low'"),
        ({"weather": {"outdoor_dry_bulb": [70.0], "bin_hours": [-1.0]}}, "bin_hours"),
        ({"weather": {"outdoor_dry_bulb": [70.0, None]}}, "outdoor_dry_bulb: row 1"),
        ({"weather": {"outdoor_dry_bulb": [62.0]}, "heating": {**HEATING, "load": {"balance": 68, "design": 17, "load": 1}},
          "cooling": {**COOLING, "load": {"balance": 60, "design": 92, "load": 1}}}, "at once"),
    ],
)  # fmt: skip
def test_what_is_not_said_or_cannot_be_is_refused(changes, said):
    asked = {"weather": {"outdoor_dry_bulb": np.array([70.0])}, "cooling": COOLING, **FIXED, **changes}
    with pytest.raises(ValueError, match=said):
        SYSTEM.year(**asked)


def test_the_command_takes_a_file_of_weather_and_one_of_arguments(tmp_path, capsys):
    import json

    from offnominal.__main__ import main

    weather_file, study_file, rows = (str(tmp_path / name) for name in ("weather.csv", "study.json", "rows.csv"))
    Path(weather_file).write_text("hour,outdoor_dry_bulb\n" + "\n".join(f"{k},{60 + 2 * k}" for k in range(20)), encoding="utf-8")
    study = {**FIXED, "cooling": COOLING, "outside": {"outdoor_dry_bulb": ["hold", 20]}}
    Path(study_file).write_text(json.dumps(study), encoding="utf-8")
    system = str(Path(__file__).resolve().parents[2] / "tables/demo/alder.yaml")
    assert main(["year", system, weather_file, study_file, "--rows", rows]) == 0
    found = SYSTEM.year(weather_file, **study)
    assert capsys.readouterr().out == found.report()
    assert len(Path(rows).read_text(encoding="utf-8").splitlines()) == 21
    assert main(["year", system, weather_file, study_file, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["modes"]["cooling"]["energy"] == pytest.approx(found.summary["cooling"]["energy"])
    assert main(["year", system, weather_file, study_file, "--csv"]) == 0
    assert capsys.readouterr().out.startswith("mode,hours,load")
    Path(weather_file).write_text('hour,outdoor_dry_bulb\n0,60\n1,"6"5\n', encoding="utf-8")
    assert main(["year", system, weather_file, study_file]) == 2
    assert "row 1: outdoor_dry_bulb: text behind a closing quote" in capsys.readouterr().err
    for wrong in ("[]", "{", "{}"):
        Path(study_file).write_text(wrong, encoding="utf-8")
        assert main(["year", system, weather_file, study_file]) == 2
        assert "study.json" in capsys.readouterr().err
