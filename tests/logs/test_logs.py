"""Readings over time from Python: arrays, pandas, logs, second by second."""

import datetime
import csv
import io
import json

import numpy as np
import pandas as pd
import pytest

import offnominal as on
from offnominal.__main__ import main


def run(until=3600, step=5.0, pace=60.0, seed=None):
    """A machine that settles: readings in IP."""
    times = np.arange(0.0, until + step, step)
    left = np.exp(-times / pace)
    noise = 0.0 if seed is None else np.random.default_rng(seed).normal(0.0, 0.05, times.size)
    return times, {
        "return_dry_bulb": np.full(times.size, 76.0),
        "return_relative_humidity": np.full(times.size, 0.55),
        "supply_dry_bulb": 57.2 + 8 * left + noise,
        "supply_relative_humidity": np.full(times.size, 0.92),
    }


def log_text(times, readings, stage=lambda t: "high"):
    names = {
        "return_dry_bulb": ("return dry bulb (degF)", 1),
        "return_relative_humidity": ("return relative humidity (%)", 100),
        "supply_dry_bulb": ("supply dry bulb (degF)", 1),
        "supply_relative_humidity": ("supply relative humidity (%)", 100),
    }
    lines = ["time (s)," + ",".join(names[name][0] for name in readings) + ",stage"]
    for row, t in enumerate(times):
        lines.append(
            ",".join([f"{t:g}", *(f"{values[row] * names[name][1]:.3f}" for name, values in readings.items()), stage(t)])
        )
    return "\n".join(lines) + "\n"


def test_earliest_steady_window():
    times, readings = run()
    w = on.steady_window(times, units="IP", elevation=0, **readings)
    assert w.steady and w.why == "none" and w.wait == 0
    assert (w.begin, w.end, w.samples) == (900, 1500, 121)
    assert w.signals["split"].mean == pytest.approx(18.8, abs=1e-4)
    assert w.signals["split"].greatest_drift == pytest.approx(0.3)
    assert w.signals["return_dry_bulb"].mean == pytest.approx(76)
    assert set(w.signals) == {"split", "enthalpy_difference", "supply_humidity_ratio", "return_dry_bulb", "return_wet_bulb"}


def test_units_and_clocks_find_one_window():
    times, readings = run(pace=300)
    si = {n: v if "humidity" in n else (v - 32) / 1.8 for n, v in readings.items()}
    ip = on.steady_window(times, units="IP", elevation=0, **readings)
    assert on.steady_window(times, units="SI", elevation=0, **si).begin == ip.begin
    assert on.steady_window(times, units="SI", pressure=101325, **si).end == ip.end
    assert on.steady_window(times, units="SI", pressure=101325, elevation=100, **si).end == ip.end
    start = pd.Timestamp("2026-07-14 15:00")
    frame = pd.DataFrame(readings, index=start + pd.to_timedelta(times, "s"))
    w = on.steady_window(frame.index, units="IP", elevation=0, **frame)
    assert pd.Timestamp(w.begin) - start == pd.Timedelta(ip.begin, "s")
    listed = [moment.to_pydatetime() for moment in frame.index]
    assert on.steady_window(listed, units="IP", elevation=0, **readings).begin == w.begin


def test_changes_defrost_and_stage_start_the_count_again():
    times, readings = run()

    def begin(**more):
        return on.steady_window(times, units="IP", elevation=0, **readings, **more).begin

    assert begin(changes=[600.0]) == 1500
    assert begin(stage=np.where(times < 700, "low", "high")) == 1600
    assert begin(defrost=(times > 400) & (times <= 500)) == 1400
    assert 0 < begin(running=900) < 300  # where the supply has come down
    assert begin(valve_swing=300, least_running=1000) == 1000


def test_not_steady_says_why_and_how_long_to_wait():
    times, readings = run(until=700, pace=500)
    w = on.steady_window(times, units="IP", elevation=0, least_running=0, **readings)
    assert not w.steady and w.why == "drift" and w.signal == "split"
    assert w.text == "split drifts too far over the window"
    assert 600 < w.wait < 7200
    early = on.steady_window(times, units="IP", elevation=0, **readings)
    assert early.why == "running" and early.wait == w.wait > 900 + 600 - 700


@pytest.mark.parametrize("seed", range(4))
def test_second_by_second_is_all_at_once(seed):
    times, readings = run(pace=500, step=7.0, seed=seed)
    whole = on.steady_window(times, units="IP", elevation=500, **readings)
    watch = on.SteadyWatch(units="IP", elevation=500)
    for row, time in enumerate(times):
        if watch.add(time, **{name: values[row] for name, values in readings.items()}):
            break
    assert watch.window == whole
    assert whole.steady


def test_watch():
    watch = on.SteadyWatch(units="IP", elevation=0, running=3600)
    assert watch.window.wait == 600
    for time in range(0, 601, 10):
        steady = watch.add(time, return_dry_bulb=76, supply_dry_bulb=57, supply_relative_humidity=0.92, power=2400)
    assert steady and "power" in watch.window.signals
    watch.change(600)
    assert watch.window.why == "running" and watch.window.wait == 1500
    with pytest.raises(TypeError, match="room is no reading; accepted: return_dry_bulb"):
        watch.add(610, room=75)
    with pytest.raises(ValueError, match="each reading has what the first had; a missing one is NaN"):
        watch.add(610, return_dry_bulb=76, supply_dry_bulb=57)
    with pytest.raises(on.InputError, match="not after the one before"):
        watch.add(600, return_dry_bulb=76, supply_dry_bulb=57, supply_relative_humidity=0.92, power=2400)


def test_mean_of_readings_that_remember():
    rng = np.random.default_rng(1)
    noise = rng.normal(size=600)
    readings = np.empty(600)
    readings[0] = noise[0]
    for i in range(1, 600):
        readings[i] = 0.9 * readings[i - 1] + noise[i]
    m = on.series_mean(76 + readings)
    assert m.samples == 600 and 10 < m.effective_samples < 80
    assert m.type_a == m.standard > readings.std() / 600**0.5 * 2
    assert m.u95 == pytest.approx(m.standard * on.coverage_factor(m.degrees_of_freedom))
    whole = on.series_mean(76 + readings, instrument=0.5)
    assert whole.standard == pytest.approx(np.hypot(m.standard, 0.5))
    assert whole.degrees_of_freedom > m.degrees_of_freedom
    assert on.coverage_factor(19) == pytest.approx(2.09, abs=0.005)  # JCGM 100:2008, table G.2
    with pytest.raises(on.InputError, match="readings 2: not a number"):
        on.series_mean([76, np.nan, 77])


def test_probes_side_by_side():
    rng = np.random.default_rng(2)
    times = np.arange(150) * 2.0
    air = 76 + np.cumsum(rng.normal(0, 0.03, 150))
    first, second = air + rng.normal(0, 0.05, 150), air + 0.6 + rng.normal(0, 0.05, 150)
    c = on.compare_probes(times, first, second, units="IP", first_standard=0.3, second_standard=0.3)
    assert (c.advice, c.finding) == ("apply", "apart")
    assert c.offset == pytest.approx(0.6, abs=0.03) and c.u95 < 0.05
    assert 0.98 < c.correlation < 1 and c.log_correlation > 0.3
    si = on.compare_probes(
        times, (first - 32) / 1.8, (second - 32) / 1.8, units="SI", first_standard=0.3 / 1.8, second_standard=0.3 / 1.8
    )
    assert si.offset == pytest.approx(c.offset / 1.8) and si.correlation == pytest.approx(c.correlation)
    humid = on.compare_probes(times, 0.5 + first / 1e4, 0.515 + first / 1e4, units="SI", kind="ratio")
    assert humid.advice == "apply" and np.isnan(humid.correlation)
    with pytest.raises(on.InputError, match="no agreement is usual"):
        on.compare_probes(times, first, second, units="IP", kind="electric_power")
    assert on.compare_probes(times, first, second, units="IP", kind="electric_power", agreement=5).advice == "accept"


def test_probes_across_a_duct():
    d = on.duct_mean([55.1, 56.0, 57.2, 55.4, 56.3], [400, 520, 610, 380, 450], shared=0.3)
    assert d.value == pytest.approx(np.average([55.1, 56.0, 57.2, 55.4, 56.3], weights=[400, 520, 610, 380, 450]))
    assert d.spread == pytest.approx(2.1) and not d.few and d.u95 > 2 * 0.3
    with pytest.raises(on.InputError, match="at least 2"):
        on.duct_mean([55.1])


def test_calibration():
    note = on.calibration_note("probe 1", calibrated="2025-06-01", months=12, on=datetime.date(2026, 7, 28))
    assert note.startswith("probe 1: calibration expired on 2026-06-01, 57 days before the visit")
    assert on.calibration_note("probe 1", calibrated="2026-06-01", months=12, on="2026-07-28") == ""


def test_valve_swing():
    times = np.arange(0, 1800, 2.0)
    assert on.valve_swing(times, 55 + 0.5 * np.sin(2 * np.pi * times / 170), 0.3) == pytest.approx(170, rel=0.02)


def test_logs(tmp_path):
    times, readings = run()
    path = tmp_path / "air.csv"
    path.write_text(log_text(times, readings, lambda t: "low" if t < 300 else "high"))
    log = on.read_log(path, units="IP")
    assert log.columns["supply_dry_bulb"] == pytest.approx(readings["supply_dry_bulb"], abs=1e-3)
    assert log.words["stage"][0] == "low" and log.flaws == ()
    assert log.steady_window(elevation=0).begin == 1200
    other = tmp_path / "outdoors.csv"
    other.write_text("time (min),outdoor dry bulb (degC)\n" + "".join(f"{m},33.{m % 10}\n" for m in range(5, 70)))
    both = on.align_logs([log, on.read_log(other, units="IP", clock_ahead=60)])
    assert len(both.times) == 57 and both.times[1] - both.times[0] == 60
    w = both.steady_window(elevation=0)
    assert w.steady and w.signals["outdoor_dry_bulb"].range == pytest.approx(0.9 * 1.8)
    assert repr(both).startswith("<Log: ")
    m = both.mean("supply_dry_bulb", w, instrument=0.35)
    assert m.value == pytest.approx(57.2, abs=1e-3) and m.standard == pytest.approx(0.35, abs=1e-3)
    assert both.mean("outdoor_dry_bulb", (1200, 1800)).samples == 11
    with pytest.raises(KeyError, match="room is no column"):
        both.mean("room", w)


def test_log_with_dates(tmp_path):
    times, readings = run()
    text = log_text(times, readings).splitlines()
    start = pd.Timestamp("2026-07-14 15:00")
    rows = [f"{start + pd.Timedelta(t, 's')},{line.split(',', 1)[1]}" for t, line in zip(times, text[1:])]
    path = tmp_path / "dated.csv"
    path.write_text("\n".join([text[0].replace("time (s)", "time"), *rows]))
    log = on.read_log(path, units="SI")
    assert log.times[0] == start
    w = log.steady_window(elevation=0)
    assert w.begin == start + pd.Timedelta(900, "s")
    assert w.report("SI").startswith("steady from 2026-07-14T15:15:00 to 2026-07-14T15:25:00, 121 readings")
    assert log.mean("supply_dry_bulb", w).samples == 121


def test_log_errors(tmp_path):
    path = tmp_path / "bad.csv"
    path.write_text("time (s),return dry bulb (degF)\n1,76\n2,761\n2,\n")
    with pytest.raises(on.InputError, match=r"bad\.csv:3:3: return_dry_bulb: a reading that cannot be: '761'"):
        on.read_log(path, units="IP")
    log = on.read_log(path, units="IP", flaws="leave out")
    assert [(flaw.line, flaw.column) for flaw in log.flaws] == [(3, 3), (4, 1)]
    with pytest.raises(ValueError, match="flaws: 'ignore'; accepted: 'refuse' or 'leave out'"):
        on.read_log(path, units="IP", flaws="ignore")
    with pytest.raises(on.MissingFile):
        on.read_log(tmp_path / "none.csv", units="IP")


def test_what_was_left_out_is_told_by_row_and_column(tmp_path, capsys):
    times, readings = run()
    readings["return_dry_bulb"][3] = 761
    path = tmp_path / "air.csv"
    path.write_text(log_text(times, readings).replace("\n50,76.000", "\n50,"))
    command = ["steady", str(path), "--units", "IP", "--elevation", "0", "--flaws", "leave out"]
    assert main(command) == 0
    text = capsys.readouterr().out
    assert "  - missing or left out: line 5, column 4: return_dry_bulb: a reading that cannot be: '761.000'\n" in text
    assert "  - missing or left out: line 12, column 4: " in text
    assert main([*command, "--json"]) == 0
    notes = json.loads(capsys.readouterr().out)["notes"]
    assert [note.split(":")[1] for note in notes] == [" line 5, column 4", " line 12, column 4"]
    readings["return_dry_bulb"][20:40] = 761
    path.write_text(log_text(times, readings))
    notes = on.read_log(path, units="IP", flaws="leave out").steady_window(elevation=0).notes
    assert len(notes) == 11
    assert notes[-1] == "missing or left out: 21 readings or rows, 11 of them not told here"


def test_a_misspelt_column_is_named_and_what_was_not_judged_for_want_of_it(tmp_path, capsys):
    times, readings = run()
    path = tmp_path / "air.csv"
    path.write_text(log_text(times, readings).replace("supply relative humidity", "supply relative humidty"))
    w = on.read_log(path, units="IP").steady_window(elevation=0)
    assert w.notes == (
        "column 'supply relative humidty' was not read; is 'supply relative humidity' meant, with its unit?",
        "not judged by supply humidity ratio: no humidity of the supply air",
        "not judged by enthalpy difference: no humidity of the supply air",
    )
    assert all(f"  - {note}\n" in w.report("IP") for note in w.notes)
    command = ["steady", str(path), "--units", "IP", "--elevation", "0"]
    for form in ("--csv", "--json"):
        assert main([*command, form]) == 0
        out, err = capsys.readouterr()
        assert w.notes[0] in out and w.notes[0] in err
    assert on.steady_window(times, units="IP", elevation=0, **readings).notes == ()
    heats = {name: values for name, values in readings.items() if not name.startswith("supply_r")}
    assert on.steady_window(times, units="IP", elevation=0, mode="heating", **heats).notes == ()


def test_a_log_of_other_headings_is_told_which_are_accepted(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("time (s),room (degF),stage\n0,76,high\n5,76,high\n")
    with pytest.raises(
        on.InputError,
        match="a.csv: no column return dry bulb and no supply dry bulb; it has: room, stage; accepted: return dry bulb, ",
    ):
        on.read_log(path, units="IP").steady_window(elevation=0)


def test_an_empty_log_is_a_log(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(" \n")
    with pytest.raises(on.InputError, match="a.csv: the file is empty; accepted: a heading such as"):
        on.read_log(path, units="IP")


def test_arguments_that_do_not_fit():
    times, readings = run(until=100)
    with pytest.raises(ValueError, match="supply_dry_bulb has 2 readings, times 21; one at each time"):
        on.steady_window(times, units="IP", elevation=0, return_dry_bulb=readings["return_dry_bulb"], supply_dry_bulb=[57, 57])
    with pytest.raises(on.Refused, match="site is not given"):
        on.steady_window(times, units="IP", **readings)
    with pytest.raises(on.InputError, match="times 3: before the one before"):
        on.steady_window([0, 2, 1], units="IP", elevation=0, return_dry_bulb=[76] * 3, supply_dry_bulb=[57] * 3)
    with pytest.raises(ValueError, match="times: a time is missing at row 2"):
        on.steady_window(
            np.array(["2026-07-14", "NaT"], "datetime64[s]"),
            units="IP",
            elevation=0,
            return_dry_bulb=[76, 76],
            supply_dry_bulb=[57, 57],
        )


def test_command(tmp_path, capsys):
    times, readings = run()
    path = tmp_path / "air.csv"
    path.write_text(log_text(times, readings))
    assert main(["steady", str(path), "--units", "IP", "--elevation", "0"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("steady from 900 s to 1500 s, 121 readings\n")
    assert "split" in text
    assert main(["steady", str(path), "--units", "IP", "--elevation", "0", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["steady"] and told["signals"]["split"]["mean"] == pytest.approx(19.0, abs=1.0)
    assert main(["steady", str(path), "--units", "IP", "--elevation", "0", "--csv"]) == 0
    rows = {row["signal"]: row for row in csv.DictReader(io.StringIO(capsys.readouterr().out))}
    assert (rows["split"]["steady"], rows["split"]["begin"], rows["split"]["unit"]) == ("True", "900 s", "delta_degF")
    assert rows["split"]["greatest_drift"] and not any("inf" in row.values() for row in rows.values())
    for option in ("--elevation", "--pressure", "--valve-swing", "--running"):  # nan is not "not given"
        with pytest.raises(SystemExit):
            main(["steady", str(path), "--units", "IP", "--elevation", "0", option, "nan"])
        assert "'nan' is not a number" in capsys.readouterr().err
    path.write_text(log_text(times[:100], {name: values[:100] for name, values in readings.items()}))
    assert main(["steady", str(path), "--units", "SI", "--elevation", "0"]) == 0
    assert capsys.readouterr().out.startswith("not steady: too soon after a start or a change; wait at least 17 min\n")
