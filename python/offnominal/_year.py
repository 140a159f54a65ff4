"""A year of weather: what runs in each hour, what it takes, what it leaves unmet, and what the answers lean on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import dataclasses
import os

import numpy as np

from offnominal import _arrays, _core, _tables, _units

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any

    from offnominal._system import System

MODES = ("cooling", "heating")
DEGRADATION = 0.25  # 10 CFR 430, subpart B, appendix M: the default in cooling and heating (M1: 0.20 in single-stage cooling)
_TOLD = ("total_capacity", "sensible_capacity", "power", "system_power")
_OWN = ("stage", "load", "degradation", "meets", "auxiliary")  # of a mode, beside arguments of `expect`
_MEANINGS = {
    "load": "load of the hour",
    "delivered": "of the load, by the machine, mean over the hour",
    "unmet_load": "the rest",
    "latent": "latent heat that the machine removed, mean over the hour",
    "unmet_latent": "of the latent load, the rest",
    "running": "part of the hour that the machine ran",
    "energy": "electric energy of the machine",
    "auxiliary_energy": "electric energy of auxiliary heat",
}


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Year:
    """A year of weather. Made by `System.year`.

    Attributes
    ----------
    frame : pandas.DataFrame, polars.DataFrame, pyarrow.Table or dict of arrays
        Of the kind that was given (of a file a dict of arrays), a row for each hour: its columns that ask nothing; ``mode`` (none
        where there is no load), the highest ``stage`` that ran, ``load``, ``delivered`` and ``unmet_load`` in the unit of
        capacities, as ``latent``, what the machine removed of latent heat while it met that load (NaN without a sensible capacity), and
        ``unmet_latent``, what that is short of ``latent_load`` (NaN where none is said); ``running`` (part of the hour), ``energy`` and
        ``auxiliary_energy`` in kWh, ``footing``, and ``reason`` where an hour has no answer (its numbers but ``load`` are then NaN).
    summary : dict of str to dict
        By mode: ``hours`` with a load; ``load``, ``delivered``, ``unmet_load``, ``energy`` and ``auxiliary_energy`` in kWh;
        ``hours_short``, with any load unmet by the machine; ``worst``, the largest load unmet, in the unit of capacities; in cooling
        ``latent``, and where a latent load is said ``latent_load``, ``unmet_latent`` (kWh) and ``hours_short_of_latent``, also of hours
        in which nothing runs (NaN where one is not known); ``cop``,
        delivered over energy; ``stages``, ``footing``, ``reasons`` and ``notes``: each word with its hours (`reasons` are those of hours
        without an answer, which no sum holds).
    units : {"IP", "SI"}
    """

    frame: Any
    summary: dict[str, dict[str, Any]]
    units: str

    def report(self) -> str:
        """The year in words, with what it leaves out.

        Returns
        -------
        str
        """
        unit, lines = _units.unit_of(self.units, "capacity"), []
        for mode, told in self.summary.items():
            unanswered = sum(told["reasons"].values())
            lines.append(f"{mode}: {told['hours']:,.0f} h with a load of {told['load']:,.0f} kWh together")
            lines.append(
                f"  delivered {told['delivered']:,.0f} kWh with {told['energy']:,.0f} kWh electric"
                + (f" (COP {told['cop']:.2f})" if told["energy"] > 0 else "")
                + (f", auxiliary heat {told['auxiliary_energy']:,.0f} kWh" if mode == "heating" else "")
            )
            short = f"in {told['hours_short']:,.0f} h, at most {told['worst']:,.0f} {unit}"
            lines.append(f"  unmet by the machine {told['unmet_load']:,.0f} kWh" + (f" {short}" if told["hours_short"] else ""))
            if not np.isnan(told.get("latent", np.nan)):
                lines.append(f"  latent heat removed {told['latent']:,.0f} kWh")
                if "latent_load" in told:
                    lines[-1] += f", {told['unmet_latent']:,.0f} kWh short of its load in {told['hours_short_of_latent']:,.0f} h"
            for what in ("stages", "footing", "reasons"):
                if told[what]:
                    listed = ", ".join(f"{word} {hours:,.0f} h" for word, hours in told[what].items())
                    lines.append(f"  {what if what != 'reasons' else f'no answer in {unanswered:,.0f} h'}: {listed}")
        lines.append(
            "left out: standby and crankcase heat, thermostat and building mass, wet coils in off cycles, weather but outdoor air"
        )
        return "\n".join(lines) + "\n"

    def __repr__(self):
        hours = ", ".join(f"{mode} {told['hours']:,.0f} h" for mode, told in self.summary.items())
        return f"<Year: {hours}>"


def _number(name, value):
    value = _arrays.number(name, None, value)
    if not isinstance(value, float) or not np.isfinite(value):
        raise ValueError(f"{name}: {_arrays.in_words(value)}; accepted: one number")
    return value


def _loads(mode, given, weather, outdoor):
    """The load of each hour: a column of the weather, or the line from no load at the balance temperature to that of the design day."""
    column, line = f"{mode}_load", given.get("load")
    if (line is None) == (column not in weather):
        raise ValueError(f"{mode}: load: {'given, and by a column' if line else 'not given'}; accepted: a column {column!r}, or "
                         "{'balance': 65, 'design': 95, 'load': 30000}: no load at the one outdoor temperature, that load at the other")  # fmt: skip
    if line is None:
        loads = weather[column]
    else:
        if not isinstance(line, dict) or set(line) != {"balance", "design", "load"}:
            raise ValueError(f"{mode}: load: {_arrays.in_words(line)}; accepted: {{'balance': 65, 'design': 95, 'load': 30000}}")
        balance, design, load = (_number(f"{mode}: load: {name}", line[name]) for name in ("balance", "design", "load"))
        if not (load > 0 and (design > balance if mode == "cooling" else design < balance)):
            raise ValueError(
                f"{mode}: load: {_arrays.in_words(line)}; accepted: a load above 0, at a design temperature that needs it"
            )
        loads = np.maximum(0.0, load * (outdoor - balance) / (design - balance))
    return _check_loads(column, loads)


def _check_loads(name, loads):
    if (wrong := np.flatnonzero(~(loads >= 0))).size:
        raise ValueError(f"{name}: row {wrong[0]}: {loads[wrong[0]]}; accepted: 0 or more in every hour")
    return loads


def _of_stage(mode, name, value, stage):
    """An argument that may differ by stage: a dict of stage to value."""
    if not isinstance(value, dict) or name in ("line_set", "outside"):
        return value
    if stage not in value:
        raise ValueError(f"{mode}: {name}: none for stage {stage!r}; given for {', '.join(map(str, value))}")
    return value[stage]


class _Mode:
    """The hours of one mode: what each stage would do in them, then which of them run."""

    def __init__(self, system, mode, given, rows, load, asked, fixed, threads):
        stages = given.get("stage")
        known = system.stages if mode == "cooling" else list(system.heating_stages)
        self.stages = [stages] if isinstance(stages, str) else list(known if stages is None else stages)
        if not self.stages or (unknown := [stage for stage in self.stages if stage not in known]):
            raise ValueError(
                f"{mode}: stage: {_arrays.in_words(unknown[0] if self.stages else stages)}; it has {', '.join(known) or 'none'}"
            )
        self.degradation = _number(f"{mode}: degradation", given.get("degradation", DEGRADATION))
        if not 0 <= self.degradation < 1:
            raise ValueError(f"{mode}: degradation: {self.degradation}; accepted: from 0 to below 1")
        meets = given.get("meets", "total_capacity")
        accepted = _TOLD[: 2 if mode == "cooling" else 1]
        if meets not in accepted:
            raise ValueError(f"{mode}: meets: {_arrays.in_words(meets)}; accepted: {' or '.join(accepted)}")
        told = [name for name in _TOLD if mode == "cooling" or name != "sensible_capacity"]
        self.mode, self.rows, self.load = mode, rows, load
        answers = []
        for stage in self.stages:
            own = {name: value for name, value in given.items() if name not in _OWN}
            rest = {name: _of_stage(mode, name, value, stage) for name, value in {**fixed, **own}.items()}
            question = _tables.question_of(
                {name: column[rows] for name, column in asked.items()}, rest, "by a column of the weather"
            )
            answers.append(system.expect(**question, stage=stage, mode=mode, columns=told, threads=threads))
        columns = [one._columns for one in answers]
        # From the least to the most, by what they give in the hours that all answer.
        capacity = np.array([one[meets] for one in columns])
        shared = ~np.isnan(capacity).any(axis=0)
        order = np.argsort(capacity[:, shared].mean(axis=1), kind="stable") if shared.any() else np.arange(len(answers))
        self.stages = [self.stages[k] for k in order]
        columns = [columns[k] for k in order]
        self.capacity = capacity[order]
        with_fan = not all(np.isnan(one["system_power"]).all() for one in columns)
        self.power = np.array([one["system_power" if with_fan else "power"] for one in columns])
        self.latent_capacity = np.array(
            [one["total_capacity"] - one.get("sensible_capacity", np.nan) for one in columns]
        )  # of heating none
        self.why = np.array([one["reasons"]["why"] for one in columns])
        self.why[np.isnan(self.capacity) & (self.why == 0)] = _core.why_names.index("no_output")
        self.footings = np.array([one["footing"] for one in columns], np.int32)
        self.notes = [answers[k]._packed_notes for k in order]
        self.per_watt = _units.to_si(fixed["units"], "capacity", 1.0)  # W in the unit of loads
        self._run()

    def _run(self):
        """Which stages run, and for how long: the lowest that meets the load and the one below it share the hour; alone the lowest cycles,
        at a cost; the highest falls short."""
        count, rows = self.capacity.shape
        at = np.arange(rows)
        answered = self.why == 0
        meets = self.capacity >= self.load
        # The lowest that meets it, else the highest; stages above are not asked, and one below without an answer leaves the hour open.
        upper = np.where((meets & answered).any(axis=0), np.argmax(meets & answered, axis=0), count - 1)
        needed = np.arange(count)[:, None] <= upper
        self.open = (needed & ~answered).any(axis=0)
        first_missing = np.argmax(needed & ~answered, axis=0)
        self.reason = np.where(self.open, self.why[first_missing, at], 0)
        top, lower = self.capacity[upper, at], np.maximum(upper - 1, 0)
        below = self.capacity[lower, at]
        power, power_below = self.power[upper, at], self.power[lower, at]
        alone = upper == 0
        with np.errstate(divide="ignore", invalid="ignore"):
            part = np.minimum(
                np.where(alone, self.load / top, np.where(top > below, (self.load - below) / (top - below), 1.0)), 1.0
            )
            on = np.where(alone, part / (1.0 - self.degradation * (1.0 - part)), part)
        self.part, self.upper, self.lower = part, upper, np.where(alone | (part == 1.0), upper, lower)
        self.delivered = np.minimum(self.load, top)
        self.running = np.where(alone, on, 1.0)
        self.watts = np.where(alone, on * power, part * power + (1.0 - part) * power_below)
        self.watts = np.where(~alone & (part == 1.0), power, self.watts)
        self.unmet = self.load - self.delivered
        # Of each stage in the part that it gives of the load: what a coil evaporates again while it is off is left out.
        self.latent = part * self.latent_capacity[upper, at] + np.where(
            alone, 0.0, (1.0 - part) * self.latent_capacity[lower, at]
        )
        self.footing = self.footings[self.upper, at] | self.footings[self.lower, at]
        for array in (self.delivered, self.running, self.watts, self.unmet, self.latent):
            array[self.open] = np.nan


def year(
    system: System,
    weather: Any,
    cooling: Mapping[str, Any] | None,
    heating: Mapping[str, Any] | None,
    threads: int,
    fixed: Mapping[str, Any],
) -> Year:
    """See `System.year`."""
    units = fixed["units"]
    _units.check_word("units", units)
    loads_by_hour = ("latent_load", *(f"{mode}_load" for mode in MODES))
    own = {"bin_hours", *loads_by_hour}
    if isinstance(weather, (str, os.PathLike)):
        weather = _tables.read_csv(weather, _tables.NUMBERS | own)
    frame = _tables.Frame.of(weather)
    if not frame.rows:
        raise ValueError("weather: no rows")
    names, others = _tables.split_columns(frame, _tables.NUMBERS | own)
    due = _tables.units_due(system, units) | dict.fromkeys(loads_by_hour, _units.unit_of(units, "capacity"))
    columns = {name: _tables.numbers_of(frame, name, True, due.get(name)) for name in names}
    if "outdoor_dry_bulb" not in columns:
        raise ValueError(f"weather: no column 'outdoor_dry_bulb'; it has {', '.join(map(str, frame.names))}")
    hours = columns.get("bin_hours", np.ones(frame.rows))
    if (wrong := np.flatnonzero(~(hours >= 0))).size:
        raise ValueError(f"bin_hours: row {wrong[0]}: {hours[wrong[0]]}; accepted: 0 or more")
    if (missing := np.flatnonzero(~np.isfinite(columns["outdoor_dry_bulb"]))).size:
        raise ValueError(
            f"outdoor_dry_bulb: row {missing[0]}: {columns['outdoor_dry_bulb'][missing[0]]}; accepted: a number in every hour"
        )
    asked = {name: column for name, column in columns.items() if name not in own}
    given = {mode: dict(one) for mode, one in zip(MODES, (cooling, heating)) if one is not None}
    if not given:
        raise ValueError("neither cooling nor heating is given; accepted: cooling={...}, heating={...} or both")
    loads = {mode: _loads(mode, one, columns, columns["outdoor_dry_bulb"]) for mode, one in given.items()}
    latent_load = columns.get("latent_load")
    if latent_load is not None:
        if "cooling" not in given:
            raise ValueError("latent_load: given, without cooling; accepted: both")
        _check_loads("latent_load", latent_load)
    if len(loads) == 2 and (both := np.flatnonzero((loads["cooling"] > 0) & (loads["heating"] > 0))).size:
        raise ValueError(f"row {both[0]}: a load of cooling and of heating at once; one machine does one of them in an hour")

    numbers = {name: np.full(frame.rows, np.nan) for name in _MEANINGS}
    numbers["load"][:] = sum(loads.values())
    for name in ("delivered", "unmet_load", "latent", "running", "energy", "auxiliary_energy"):
        numbers[name][numbers["load"] == 0] = 0.0
    all_stages = [*dict.fromkeys((*system.stages, *system.heating_stages))]
    mode_of, stage_of, why = np.full(frame.rows, -1, np.int32), np.full(frame.rows, -1, np.int32), np.zeros(frame.rows, np.int32)
    footing, summary = np.full(frame.rows, -1, np.int32), {}
    for mode, one in given.items():
        rows = np.flatnonzero(loads[mode] > 0)
        summary[mode] = dict.fromkeys(
            ("hours", "load", "delivered", "unmet_load", "energy", "auxiliary_energy", "hours_short", "worst"), 0.0
        )
        summary[mode] |= {"cop": float("nan"), "stages": {}, "footing": {}, "reasons": {}, "notes": {}}
        if not rows.size:
            continue
        fixed_here = {**fixed, **({"auxiliary_heat": 0} if mode == "heating" and "auxiliary_heat" not in fixed else {})}
        if mode == "cooling":
            mine = {name: column for name, column in asked.items() if name != "outdoor_relative_humidity"}
        else:
            mine = asked
        ran = _Mode(system, mode, one, rows, loads[mode][rows], mine, fixed_here, threads)
        auxiliary = np.zeros(rows.size)
        if mode == "heating":
            most = _number("heating: auxiliary", one["auxiliary"]) if "auxiliary" in one else np.inf
            auxiliary = np.minimum(ran.unmet * ran.per_watt, most)
        time = hours[rows] / 1000.0
        here = {"delivered": ran.delivered, "unmet_load": ran.unmet, "latent": ran.latent if mode == "cooling" else 0.0 * ran.unmet,
                "running": ran.running, "energy": ran.watts * time, "auxiliary_energy": auxiliary * time}  # fmt: skip
        for name, column in here.items():
            numbers[name][rows] = column
        mode_of[rows] = MODES.index(mode)
        places = np.array([all_stages.index(stage) for stage in ran.stages])
        stage_of[rows] = np.where(ran.open, -1, places[ran.upper])
        why[rows], footing[rows] = ran.reason, np.where(ran.open, -1, ran.footing)
        summary[mode] |= _summed(ran, hours[rows], here, all_stages, stage_of[rows])
    if "cooling" in given:
        summary["cooling"] |= _latent(numbers, latent_load, why, hours, _units.to_si(units, "capacity", 1.0))
    kinds = dict.fromkeys(("load", "delivered", "unmet_load", "latent", "unmet_latent"), "capacity")
    told = {}
    for name, column in numbers.items():
        unit = _units.unit_of(units, kinds[name]) if name in kinds else "1" if name == "running" else "kWh"
        told[name] = column, unit, _MEANINGS[name]
    kinds = sorted(set(footing.tolist()) - {-1})
    codes = np.searchsorted(kinds, footing).astype(np.int32)
    worded = {
        "mode": _tables.in_use(list(MODES), mode_of),
        "stage": _tables.in_use(all_stages, stage_of),
        "footing": ([_core.describe_footing(kind) for kind in kinds], np.where(footing < 0, -1, codes).astype(np.int32)),
        "reason": _tables.in_use(list(_core.why_names), why),
    }
    others = [*others, *(name for name in names if name == "outdoor_dry_bulb")]
    return Year(_tables.beside(frame, others, _tables.Answers(told, worded)), summary, units)


def _latent(numbers, load, why, hours, watts):
    """What becomes of latent loads in all hours with an answer, also where nothing runs; the column of what is unmet is filled."""
    kwh = hours * watts / 1000.0
    done = why == 0
    told = {"latent": float(np.sum((numbers["latent"] * kwh)[done]))}
    if load is None:
        return told
    unmet = numbers["unmet_latent"] = np.maximum(0.0, load - numbers["latent"])
    known = not np.isnan(unmet[done]).any()
    return told | {
        "latent_load": float(np.sum((load * kwh)[done])),
        "unmet_latent": float(np.sum((unmet * kwh)[done])),
        "hours_short_of_latent": float(np.sum(hours[done & (unmet > 0)])) if known else float("nan"),
    }


def _summed(ran, hours, here, stages, stage_of):
    """What a mode comes to over the hours with an answer."""
    done = ~ran.open
    time = hours / 1000.0
    kwh = {name: float(np.sum((here[name] * ran.per_watt * time)[done])) for name in ("delivered", "unmet_load")}
    energy, auxiliary = (float(np.sum(here[name][done])) for name in ("energy", "auxiliary_energy"))
    short = done & (ran.unmet > 0)

    def by(codes, words):
        return {words(code): float(np.sum(hours[done & (codes == code)])) for code in np.unique(codes[done]).tolist()}

    notes = {}
    for k, packed in enumerate(ran.notes):
        used = done & ((ran.upper == k) | (ran.lower == k))
        for one in np.unique(packed[used]):
            for note in _core.describe_notes(*one):
                notes[note] = notes.get(note, 0.0) + float(np.sum(hours[used & (packed == one)]))
    return {
        "hours": float(np.sum(hours)),
        "load": float(np.sum((ran.load * ran.per_watt * time)[done])),
        **kwh,
        "energy": energy,
        "auxiliary_energy": auxiliary,
        "hours_short": float(np.sum(hours[short])),
        "worst": float(np.max(ran.unmet[short], initial=0.0)),
        "cop": kwh["delivered"] / energy if energy > 0 else float("nan"),
        "stages": by(stage_of, lambda code: stages[code]),
        "footing": by(ran.footing, _core.describe_footing),
        "reasons": {
            _core.why_names[why]: float(np.sum(hours[ran.open & (ran.reason == why)])) for why in np.unique(ran.reason[ran.open])
        },
        "notes": notes,
    }


def add_command(commands):
    """Add ``offnominal year`` to the command's parsers."""
    command = commands.add_parser(
        "year",
        help="a year of weather: which stages run, what that takes, and what is left unmet",
        description="STUDY.json has the arguments of System.year by name, as it is told by help(offnominal.System.year): "
        '{"units": "IP", "match": "...", "cooling": {"load": {...}, "airflow": {...}, ...}, "outside": {"outdoor_dry_bulb": ["hold", 20]}}.',
    )
    command.add_argument("system", help="system file (YAML)")
    command.add_argument(
        "weather", help="CSV file with a heading and a row for each hour: outdoor_dry_bulb, and whatever else is asked"
    )
    command.add_argument("study", metavar="STUDY.json", help="what holds in all hours")
    command.add_argument("--rows", metavar="FILE.csv", help="write what is told of each hour too")


def run_command(options):
    """Run ``offnominal year``; returns its result."""
    from offnominal import _results, _write
    from offnominal._system import load

    study = _write.read_json(options.study)
    if not isinstance(study, dict) or "units" not in study:
        raise ValueError(f'{options.study}: no "units"; accepted: the arguments of System.year by name, such as "units": "IP"')
    found = load(options.system).year(options.weather, **study)
    if options.rows:
        _write.write_new(options.rows, _results.as_csv(found.frame))
    modes = [
        {"mode": mode} | {name: x for name, x in told.items() if not isinstance(x, dict)} for mode, told in found.summary.items()
    ]
    told = {"told": "Year", "units": found.units, "modes": found.summary}
    return _results.Result(found.report, lambda: told, lambda: _results.records(modes))
