"""Writes the conformance set: python tests/conformance/make.py, with the package whose answers are taken. The same every time.

Made again, a set whose answers have changed is a change of the library's answers: it belongs into the README's list of versions.
"""

import json
import os
import random
from pathlib import Path

import yaml

import offnominal as on
import ours
import run

HERE = Path(__file__).resolve().parent
TABLES = HERE.parents[1] / "tables"
# Sums and differences of these (latent, split, system power, net of gross) are left out: they would be a third of the set.
NUMBERS = {
    "expect": "total_capacity sensible_capacity power cop leaving_dry_bulb leaving_wet_bulb uncertainty standard_airflow bypass knee "
    "defrost_time_fraction value lower upper",
    "deliver": "total_capacity sensible_capacity latent_capacity mass_flow sensible_ratio condensate_flow return_wet_bulb "
    "supply_wet_bulb value lower upper",
    "air": "wet_bulb dew_point relative_humidity humidity_ratio enthalpy volume value lower upper",
    "prove": "ratio ratio_u ratio_low ratio_high probability other_probability expected_u sensible_ratio sensible_ratio_u split_ratio "
    "power_ratio power_ratio_u efficiency_ratio guard_band risk bend frost",
}
WORDS = {
    "expect": "reason about footing notes",
    "deliver": "reason about notes",
    "air": "reason about",
    "prove": "outcome reason about suspect other_outcome method notes",
}
PROMISED = 1e-12  # between machines, of what is compiled; what stands in headers has the same bits
TOLD = {
    ask: {
        **dict.fromkeys(WORDS[ask].split(), "word"),
        **dict.fromkeys(NUMBERS[ask].split(), PROMISED if ask == "prove" else "bits"),
    }
    for ask in NUMBERS
}


class Writer:
    """One file of the set, group by group."""

    def __init__(self, name):
        self.name, self.systems, self.groups = name, {}, []
        self.random = random.Random(name)
        self.python = ours.Python()

    def between(self, low, high, digits=1):
        """A number as one would type it. random() alone gives the same numbers in every version of Python."""
        return round(low + (high - low) * self.random.random(), digits)

    def group(self, name, ask, same, questions, system=None):
        """Questions as columns: a list, or one value that all rows have."""
        group = {"name": name, "ask": ask}
        if system is not None:
            self.systems[system.stem] = system
            group["system"] = system.stem
        count = max(len(column) for column in questions.values() if isinstance(column, list))
        group.update(rows=count, same=same, questions=questions)
        answers = []
        for row in range(count):
            question = {"ask": ask, "system": str(system), **json.loads(json.dumps(same))}
            for column, values in questions.items():
                run.put(question, column, run.of_row(values, row))
            if system is None:
                del question["system"]
            answers.append(self.python(question))
        group["answers"] = {told: folded([answer.get(told) for answer in answers]) for told in TOLD[ask]}
        group["answers"] = {told: column for told, column in group["answers"].items() if column is not None}
        self.groups.append(group)

    def write(self, folder, beside=HERE):
        """Into a folder, with systems as they are found from the folder where it will stand."""
        asked = {group["ask"] for group in self.groups}
        head = {
            "offnominal": run.FORMAT,
            "version": on.__version__,
            "told": {ask: TOLD[ask] for ask in TOLD if ask in asked},
            "systems": {
                name: {"file": path_from(beside, path), "sha256": run.sha256(path)} for name, path in sorted(self.systems.items())
            },
        }
        lines = [f" {json.dumps(key)}: {json.dumps(value)},\n" for key, value in head.items()]
        groups = ",\n".join("  " + grouped(group) for group in self.groups)
        text = "{\n" + "".join(lines) + f' "groups": [\n{groups}\n ]\n}}\n'
        path = folder / f"{self.name}.json"
        path.write_text(text, encoding="utf-8")
        print(f"{path.name}: {sum(group['rows'] for group in self.groups)} questions, {len(text.encode()) / 1e3:.0f} kB")


def path_from(folder, path):
    return Path(os.path.relpath(path, folder)).as_posix()


def folded(column):
    return column[0] if all(value == column[0] for value in column) else column


def grouped(group):
    """A column on a line."""
    parts = []
    for key, value in group.items():
        if key in ("questions", "answers"):
            rows = ",\n".join(f"    {json.dumps(name)}: {json.dumps(column)}" for name, column in value.items())
            parts.append(f"{json.dumps(key)}: {{\n{rows}}}")
        else:
            parts.append(f"{json.dumps(key)}: {json.dumps(value)}")
    return "{" + ",\n   ".join(parts) + "}"


# Questions to expect.

# How a question may be put. Each page is asked in some of these ways, in turn.
COOLING_WAYS = [
    dict(units="IP", humidity="entering_wet_bulb", airflow_basis="standard", elevation=0, boundary="coil"),
    dict(units="IP", humidity="entering_relative_humidity", airflow_at="return", elevation=4690, boundary="coil+fan"),
    dict(units="SI", humidity="entering_wet_bulb", airflow_at="fan", elevation=300, boundary="coil+fan", outside="extend"),
    dict(units="IP", humidity="entering_humidity_ratio", airflow_basis="dry_mass", pressure=13.9, boundary="coil"),
    dict(units="SI", humidity="entering_dew_point", airflow_at="supply", elevation=900, pressure=91500, boundary="coil+fan", outside="hold"),
    dict(units="IP", humidity="entering_wet_bulb", airflow_basis="standard", elevation=1200, boundary="coil+fan", infer=True, airflow_effect=True),
    dict(units="SI", humidity="entering_relative_humidity", airflow_basis="standard", elevation=0, boundary="coil", infer=True),
    dict(units="IP", humidity="entering_wet_bulb", airflow_basis="standard", elevation=7000, boundary="coil+fan",
         outside={"outdoor_dry_bulb": ["hold", 20]}),
]  # fmt: skip
HEATING_WAYS = [
    dict(units="IP", humidity=None, airflow_basis="standard", elevation=0, boundary="coil"),
    dict(units="IP", humidity="entering_relative_humidity", airflow_at="return", elevation=4690, boundary="coil+fan"),
    dict(units="SI", humidity="entering_dew_point", airflow_at="supply", elevation=150, boundary="coil+fan", outside="hold"),
    dict(units="IP", humidity="entering_wet_bulb", airflow_basis="dry_mass", pressure=14.1, boundary="coil+fan", outside="extend"),
    dict(units="SI", humidity="entering_relative_humidity", airflow_at="fan", elevation=1500, boundary="coil+fan", infer=True, airflow_effect=True),
]  # fmt: skip
PAIRS = {
    "juniper": [(71.6, 60.8), (75.2, 62.6), (78.8, 66.2), (80.6, 66.2), (86.0, 71.6)],
    "points": [(75, 63), (80, 67), (85, 71)],
}


def si(value, of):
    """From IP as it is typed to SI as it is typed."""
    if of == "temperature":
        return round((value - 32) / 1.8, 2)
    return round(value * 0.0004719474432, 4)


def place(writer, breakpoints, digits=1, beyond=0.04):
    """A number on an axis: a node, between nodes, at times past an end."""
    low, high = breakpoints[0], breakpoints[-1]
    kind, span = writer.random.random(), (high - low) or 0.1 * high
    past = writer.between(0.0, beyond, 3) * span
    if kind < 0.025:
        return round(low - past, digits)
    if kind < 0.05:
        return round(high + past, digits)
    if kind < 0.25 or low == high:
        return round(breakpoints[int(writer.random.random() * len(breakpoints))], 10)
    return writer.between(low, high, digits)


def ask_page(writer, path, page, way, rows, more, name, heats=False):
    """A group of questions to one page, about as it is printed."""
    way, axes = dict(way), page["axes"]
    humidity = way.pop("humidity")
    if len(axes["standard_airflow"]) == 1 and (way["units"], way.get("airflow_basis")) != ("IP", "standard"):
        way["airflow_effect"] = True  # what is converted is hardly ever just the page's own
    columns = {"outdoor_dry_bulb": [], "entering_dry_bulb": [], "airflow": []}
    if humidity:
        columns[humidity] = []
    for _ in range(rows):
        far = 0.3 if isinstance(way.get("outside"), dict) else 0.04
        odb, airflow = place(writer, axes["outdoor_dry_bulb"], beyond=far), place(writer, axes["standard_airflow"], digits=0)
        edb, ewb = dry_and_wet(writer, path.stem, axes, heats)
        values = as_asked(way, humidity, odb, edb, ewb, airflow, (1.04 if heats else 0.965), writer)
        for column, value in zip(columns.values(), values):
            column.append(value)
    same = {**way, **more}
    if way["boundary"] == "coil+fan":
        same["fan_power"] = round(0.36 * axes["standard_airflow"][-1])
    writer.group(name, "expect", same, columns, path)


def as_asked(way, humidity, odb, edb, ewb, airflow, supply_volume, writer):
    """A question in the words of a way: its measure of humidity, its airflow, its units."""
    units = way["units"]
    site = {"pressure": way["pressure"]} if "pressure" in way else {"elevation": way["elevation"]}
    if units == "SI":
        odb, edb, ewb, airflow = si(odb, "temperature"), si(edb, "temperature"), si(ewb, "temperature"), si(airflow, "airflow")
    if ewb > edb:
        return odb, edb, airflow, ewb
    air = on.air.state(units=units, dry_bulb=edb, wet_bulb=ewb, **site)
    digits = {"entering_wet_bulb": 2, "entering_relative_humidity": 3, "entering_humidity_ratio": 5, "entering_dew_point": 1}
    moisture = round(getattr(air, humidity[len("entering_") :]), digits[humidity]) if humidity else None
    density = 0.075 if units == "IP" else 1.2014  # of standard air
    if "airflow_at" in way:
        airflow *= density * air.volume * (1.0 if way["airflow_at"] == "return" else supply_volume)
        airflow = round(airflow, 0 if units == "IP" else 3)
    elif way["airflow_basis"] == "dry_mass":
        airflow = round(airflow * density * (60 if units == "IP" else 1), 0 if units == "IP" else 3)
    return odb, edb, airflow, moisture


def dry_and_wet(writer, stem, axes, heats):
    """Entering dry and wet bulb, degF, that one might meet at this page."""
    if heats:
        edb = place(writer, axes["entering_dry_bulb"])
        return edb, round(edb - writer.between(11, 17), 1)
    if stem in PAIRS:
        pairs, at = PAIRS[stem], writer.random.random() * (len(PAIRS[stem]) - 1)
        k, t = int(at), round(at - int(at), 1)
        if stem == "points" or writer.random.random() < 0.4:
            t = float(at > k + 0.5)
        edb, ewb = (round(a + t * (b - a), 1) for a, b in zip(pairs[k], pairs[k + 1]))
        return round(edb + (writer.random.random() < 0.25) * writer.between(-2, 2), 1), ewb
    edb = place(writer, axes["entering_dry_bulb"]) if "entering_dry_bulb" in axes else writer.between(73, 84)
    if "entering_relative_humidity" in axes:
        rh = place(writer, axes["entering_relative_humidity"], 2)
        return edb, round(on.air.state(units="IP", dry_bulb=edb, relative_humidity=rh, elevation=0).wet_bulb, 1)
    ewb = place(writer, axes["entering_wet_bulb"])
    return (edb if writer.random.random() < 0.03 else max(edb, round(ewb + 1, 1))), ewb


def expect(name, paths, rows, ways):
    """A file of questions to every page of some systems."""
    writer = Writer(name)
    turn = 0
    for path in paths:
        system = on.load(path)
        for page in system.envelope(units="IP"):
            heats = page["mode"] == "heating"
            for k in range(ways):
                way = dict((HEATING_WAYS if heats else COOLING_WAYS)[turn % (5 if heats else 8)])
                turn += 1
                if way.get("airflow_at") == "fan" and not system.matches:
                    way["airflow_at"] = "supply"  # nobody says where the fan stands
                match = page["match"] or (system.matches[k % min(2, len(system.matches))] if system.matches else "")
                more = {"stage": page["stage"]}
                if match:
                    more["match"] = match
                if path.stem in ("alder", "net") and not heats or path.stem == "net":
                    more["line_set"] = LINES[way["units"]][k % 3]
                if heats:
                    more.update(mode="heating", frost=page["frost"], auxiliary_heat=0)
                    if path.stem == "net":
                        more["outdoor_relative_humidity"] = 0.8
                title = [path.stem, page["stage"], page["mode"], page["frost"], match, f"way {turn}"]
                ask_page(writer, path, page, way, rows, more, ", ".join(filter(None, title)), heats)
    return writer


LINES = {
    "IP": ["reference", {"length": 40, "suction": 0.75, "lift": 0}, {"length": 30, "suction": 0.875, "lift": 12}],
    "SI": ["reference", {"length": 13, "suction": 0.01905, "lift": 0}, {"length": 9, "suction": 0.022225, "lift": -3}],
}
ALDER = TABLES / "demo/alder.yaml"
PLAIN = dict(units="IP", stage="high", match="indoor A", entering_wet_bulb=66, entering_dry_bulb=77, airflow=1000,
             airflow_basis="standard", elevation=0, boundary="coil")  # fmt: skip


def special(writer):
    """What no page asks for by itself: line sets, elevations, speeds, what is missing."""
    r = writer
    odb = lambda n: [r.between(76, 114) for _ in range(n)]  # noqa: E731
    lines = dict(PLAIN, line_set={"lift": 0, "suction": 0.75})
    lengths = {"outdoor_dry_bulb": odb(40), "line_set.length": [r.between(10, 84, 0) for _ in range(40)]}
    r.group("a printed line set", "expect", lines, lengths, ALDER)
    sizes = [(0.625, 0.75, 0.875, 1.125)[k % 4] for k in range(36)]
    lifts = [(None, 0, 20, -35, 50, 58)[k % 6] for k in range(36)]
    r.group("sizes and lifts", "expect", dict(PLAIN, line_set={"length": 35}),
            {"outdoor_dry_bulb": odb(36), "line_set.suction": sizes, "line_set.lift": lifts}, ALDER)  # fmt: skip
    model = dict(PLAIN, line_set={"suction": 0.75, "liquid": 0.375, "beyond": "model"})
    r.group("a modelled line set", "expect", model,
            {"outdoor_dry_bulb": odb(40), "line_set.length": [r.between(60, 220, 0) for _ in range(40)],
             "line_set.lift": [(0, 15, -20, 40)[k % 4] for k in range(40)]}, ALDER)  # fmt: skip
    fitted = dict(PLAIN, line_set={"suction": 0.75, "lift": 0})
    kinds = [
        "unknown",
        {"elbow": 2},
        {"elbow": 4, "tee_branch": 1},
        {"long_elbow": 3, "elbow_45": 2, "return_bend": 1, "tee_run": 1},
    ]
    r.group("tubing and fittings", "expect", fitted,
            {"outdoor_dry_bulb": odb(32), "line_set.tubing": [r.between(18, 60, 0) for _ in range(32)],
             "line_set.fittings": [kinds[k % 4] for k in range(32)]}, ALDER)  # fmt: skip
    far = dict(PLAIN, line_set={"suction": 0.75, "lift": 0}, outside={"line_length": ["hold", 30]})
    r.group("a line held past the table", "expect", far,
            {"outdoor_dry_bulb": odb(24), "line_set.length": [r.between(70, 118, 0) for _ in range(24)]}, ALDER)  # fmt: skip
    reference = dict(PLAIN, line_set="reference")
    for system, more in ((ALDER, {}), (HERE / "systems/net.yaml", {"stage": "full", "match": "coil 36"})):
        same = {k: v for k, v in {**reference, **more, "airflow": 1050}.items() if k != "elevation"}
        r.group(f"elevations, {system.stem}", "expect", same,
                {"outdoor_dry_bulb": [r.between(86, 104) for _ in range(40)], "elevation": [r.between(-100, 9800, 0) for _ in range(40)]},
                system)  # fmt: skip
    speeds = dict(
        units="IP",
        entering_wet_bulb=66,
        entering_dry_bulb=77,
        airflow_basis="standard",
        elevation=0,
        boundary="coil+fan",
        fan_power=250,
    )
    blocks = [(25, 60, 800, 850), (60, 90, 900, 1200), (23, 26, 500, 800), (85, 93, 1000, 1300)]
    at = [blocks[k % 4] for k in range(60)]
    r.group("between compressor speeds", "expect", dict(speeds, match="indoor A"),
            {"speed": [low if k % 5 == 0 else r.between(low, high, 1) for k, (low, high, *_) in enumerate(at)],
             "outdoor_dry_bulb": [r.between(86, 94) for _ in at], "airflow": [r.between(low, high, 0) for *_, low, high in at]},
            TABLES / "demo/birch.yaml")  # fmt: skip
    blocks = [(30, 500), (60, 800), (90, 1100), (45, 700), (95, 1100)]
    at = [blocks[k % 5] for k in range(30)]
    r.group("compressor speeds that may not be read between", "expect", speeds,
            {"speed": [hertz for hertz, _ in at], "outdoor_dry_bulb": [r.between(76, 104) for _ in at], "airflow": [cfm for _, cfm in at]},
            TABLES / "corpus/olive.yaml")  # fmt: skip
    # One thing missing or wrong at a time.
    whole = dict(reference, outdoor_dry_bulb=93, boundary="coil+fan", fan_power=380)
    changes = [
        ("stage", ["", "turbo"]), ("match", ["", "indoor Z"]), ("line_set", [None]), ("fan_power", [None, 0, 9e4]),
        ("outdoor_dry_bulb", [74.9, 75.0, 75.0000000001, 115.0, 115.1, -40]), ("entering_dry_bulb", [60, 66, 200]),
        ("entering_wet_bulb", [58.9, 59.0, 71.0, 71.5, 77.1, 78]), ("airflow", [0, -1, 799, 800.0, 1200.0, 1200.5, 1e7]),
        ("elevation", [-3000, 40000]), ("outside", ["hold", "extend"]),
    ]  # fmt: skip
    for key, values in changes:
        same = {k: v for k, v in whole.items() if k != key}
        r.group(f"one thing otherwise: {key}", "expect", same, {key: values}, ALDER)
    edge = dict(reference)
    for key, low, high in (("outdoor_dry_bulb", 75, 115), ("airflow", 800, 1200), ("entering_wet_bulb", 59, 71)):
        for outside in ("hold", "extend"):
            past = [low - f * (high - low) for f in (1e-12, 0.005, 0.02, 0.021)] + [
                high + f * (high - low) for f in (1e-12, 0.005, 0.02, 0.021)
            ]
            same = {k: v for k, v in dict(edge, outside=outside, outdoor_dry_bulb=93).items() if k != key}
            r.group(f"{outside} at the edge: {key}", "expect", same, {key: past}, ALDER)
    heats = dict(mode="heating", units="IP", stage="high", match="indoor A", entering_dry_bulb=70, airflow=1100, airflow_basis="standard",
                 elevation=0, boundary="coil+fan", fan_power=420)  # fmt: skip
    r.group("heating: what is missing", "expect", heats,
            {"outdoor_dry_bulb": 40, "frost": [None, "integrated", "instantaneous", "instantaneous"], "auxiliary_heat": [0, None, 0, 4800]}, ALDER)  # fmt: skip
    frost = {k: v for k, v in heats.items() if k != "elevation"}
    r.group("heating: outdoors and elevation", "expect", dict(frost, auxiliary_heat=0, frost="instantaneous"),
            {"outdoor_dry_bulb": [r.between(3, 66) for _ in range(40)], "elevation": [r.between(0, 8000, 0) for _ in range(40)]}, ALDER)  # fmt: skip


# deliver and moist air.


def deliver(writer):
    r = writer
    ways = [
        dict(units="IP", airflow_at="return"), dict(units="SI", airflow_at="supply"), dict(units="IP", airflow_basis="standard", split="ashrae37"),
        dict(units="SI", airflow_basis="dry_mass", condensate=True), dict(units="IP", airflow_at="fan", fan="draw-through", fan_power=420, condensate=True),
        dict(units="SI", airflow_at="fan", fan="blow-through"), dict(units="IP", airflow_at="fan"), dict(units="IP", airflow_at="return", split="ashrae37"),
    ]  # fmt: skip
    measures = ("relative_humidity", "wet_bulb", "humidity_ratio", "dew_point")
    for k, way in enumerate(ways):
        for j in range(2):
            back, supply = measures[(k + j) % 4], measures[(k + 3 * j) % 4]
            columns = {}

            def add(name, value):
                columns.setdefault(name, []).append(value)

            for _ in range(10 if way == dict(units="IP", airflow_at="fan") else 42):
                t1, t2 = r.between(68, 86), r.between(48, 66)
                convert = (lambda t: si(t, "temperature")) if way["units"] == "SI" else (lambda t: t)
                wet = {
                    "return": {"relative_humidity": r.between(0.25, 0.75, 3), "wet_bulb": convert(round(t1 - r.between(4, 14), 1)),
                               "humidity_ratio": r.between(0.005, 0.014, 5), "dew_point": convert(round(t1 - r.between(8, 26), 1))},
                    "supply": {"relative_humidity": r.between(0.7, 1.02, 3), "wet_bulb": convert(round(t2 - r.between(-0.4, 3), 1)),
                               "humidity_ratio": r.between(0.005, 0.0105, 5), "dew_point": convert(round(t2 - r.between(-0.5, 5), 1))},
                }  # fmt: skip
                add("return_dry_bulb", convert(t1))
                add(f"return_{back}", wet["return"][back])
                add("supply_dry_bulb", convert(t2))
                add(f"supply_{supply}", wet["supply"][supply])
                flow = r.between(500, 1900, 0)
                if way.get("airflow_basis") == "dry_mass":
                    add("airflow", r.between(0.25, 1.1, 3))
                else:
                    add("airflow", si(flow, "airflow") if way["units"] == "SI" else flow)
                if j == 0:
                    add("elevation", r.between(0, 2400, 0))
                else:
                    add("pressure", r.between(80000, 103000, 0) if way["units"] == "SI" else r.between(11.6, 14.9, 2))
            words = ", ".join(f"{key} {value}" for key, value in way.items())
            r.group(f"cooling, {words}; {back}, {supply}", "deliver", way, columns)
    for way in (
        dict(units="IP", airflow_at="return"),
        dict(units="SI", airflow_basis="standard"),
        dict(units="IP", airflow_at="supply"),
    ):
        columns = {
            "return_dry_bulb": [],
            "supply_dry_bulb": [],
            "airflow": [],
            "return_relative_humidity": [],
            "auxiliary_heat": [],
        }
        for k in range(30):
            t1, t2, flow = r.between(62, 74), r.between(82, 112), r.between(700, 1500, 0)
            t1, t2, flow = (
                (si(t1, "temperature"), si(t2, "temperature"), si(flow, "airflow")) if way["units"] == "SI" else (t1, t2, flow)
            )
            for column, value in zip(columns.values(), (t1, t2, flow, r.between(0.1, 0.5, 2), (0, 0, 2400, None)[k % 4])):
                column.append(value)
        r.group(f"heating, {json.dumps(way)}", "deliver", dict(way, mode="heating", elevation=600), columns)


def moist_air(writer):
    r = writer
    for measure, low, high, digits in (
        ("relative_humidity", 0.0, 1.03, 3), ("wet_bulb", -25, 1, 2), ("humidity_ratio", 0.0, 0.02, 5), ("dew_point", -40, 1, 2), ("enthalpy", 0, 90000, 0),
    ):  # fmt: skip
        for k, more in enumerate((dict(units="SI"), dict(units="SI", over="water", wick="frozen"), dict(units="IP"))):
            columns = {"dry_bulb": [], measure: []}
            site = "pressure" if k != 1 else "elevation"
            columns[site] = []
            for _ in range(45):
                t = r.between(-58, 88, 1) if r.random.random() < 0.25 else r.between(-12, 48, 1)
                value = r.between(low, high, digits)
                if measure in ("wet_bulb", "dew_point"):
                    value = round(t + value * min(1.0, 0.03 * abs(t) + 0.2), digits)
                if measure == "enthalpy":
                    value = round(1006 * t + value * max(0.02, min(1.0, 0.03 * (t + 10))), 0)
                pressure = r.between(62000, 104000, 0) if site == "pressure" else r.between(-200, 3400, 0)
                if more["units"] == "IP":
                    t, pressure = round(1.8 * t + 32, 1), round(pressure / 6894.757, 3)
                    value = round(1.8 * value + 32, 1) if measure in ("wet_bulb", "dew_point") else value
                    value = round(value / 2326 + 7.7, 2) if measure == "enthalpy" else value
                for column, one in zip(columns.values(), (t, value, pressure)):
                    column.append(one)
            words = ", ".join(str(value) for value in more.values())
            r.group(f"by {measure}: {words}", "air", more, columns)
    r.group("triple point and freezing", "air", dict(units="SI", pressure=101325),
            {"dry_bulb": [-0.01, 0.0, 0.005, 0.01, 0.02, 100.0, -60, 90, 90.1, -60.1], "relative_humidity": 0.5})  # fmt: skip


# Proofs.


def visit_of(name):
    text = (TABLES / f"demo/{name}.yaml").read_text(encoding="utf-8")
    visit = yaml.load(text, yaml.BaseLoader)
    del visit["system"], visit["remarks"]
    return visit


def changed(visit, **changes):
    """A copy with some keys otherwise; `a__b` is the key b of a; None takes one away."""
    out = json.loads(json.dumps(visit))
    for key, value in changes.items():
        *into, last = key.split("__")
        at = out
        for part in into:
            at = at[part]
        if value is None:
            del at[last]
        else:
            at[last] = value
    return out


def proofs(writer):
    base, heat = visit_of("library-visit"), visit_of("library-heating-visit")
    # Any machine without matches and tables of lines, at the sea.
    bare = changed(base, match=None, line_set=None, stage="full", site={"elevation": "200 ft"}, readings__power=None)
    cool = ["57.0 degF", "58.4 degF", "59.4 degF", "60.6 degF", "62.0 degF", "63.5 degF"]
    tables = {
        "as it is": base,
        "in a wet bulb": changed(base, readings__supply={"dry_bulb": "58 degF", "wet_bulb": "55.9 degF", "instrument": "wick"},
                                 instruments__wick={"dry_bulb": {"limits": "0.4 degF"}, "wet_bulb": {"limits": "0.5 degF"}}),
        "standard airflow, well known": changed(base, readings__airflow={"value": "1000 scfm", "instrument": "hood"},
                                                instruments__hood={"airflow": {"expanded": "3 %"}}),
        "side by side": changed(base, **{"instruments__return probe__side_by_side": {"with": "supply probe", "correlation": "0.8"}}),
        "the page's yardstick": changed(base, yardstick="page", limit="0.95"),
        "both judged": changed(base, judge="both", sensible_limit="0.85"),
        "sensible judged, simple": changed(base, judge="sensible", sensible_limit="0.9", acceptance="simple"),
        "of a population": changed(base, acceptance="simple", population={"mean": "0.93", "standard": "0.08"}),
        "near saturation": changed(base, **{"readings__supply__relative_humidity": "96.5 %"}),
        "a barometer": changed(base, site={"elevation": "4690 ft", "pressure": "12.31 psia"}),
        "low stage": changed(base, stage="low", readings__airflow__value="900 cfm", readings__power=None),
        "indoor B": changed(base, match="indoor B"),
        "a modelled line": changed(base, line_set={"length": "120 ft", "suction": "7/8 in", "lift": "10 ft", "liquid": "3/8 in", "beyond": "model"}),
        "not steady": changed(base, steady="false"),
        "at the coil": changed(base, boundary="coil", fan_power=None),
        "no power": changed(base, readings__power=None),
        "outdoors past the page": changed(base, readings__outdoor__dry_bulb="118 degF"),
        "a second capacity": changed(base, second_capacity={"by": "refrigerant", "total": "30 MBh", "boundary": "coil", "standard": "2 %"}),
        "condensate weighed": changed(base, second_capacity={"by": "condensate", "water": "9.0 lb/h", "standard": "3 %"}),
        "ashrae37 and condensate": changed(base, split="ashrae37", condensate="true"),
    }  # fmt: skip
    for name, visit in tables.items():
        for units in ("IP", "SI") if name == "as it is" else ("IP",):
            writer.group(f"cooling, {name}, {units}", "prove", {"units": units, "visit": visit},
                         {"visit.readings.supply.dry_bulb": cool}, ALDER)  # fmt: skip
    airflow = {"cedar": 1150, "hazel": 900, "larch": 1800, "maple": 1400, "pine": 1320, "rowan": 3000, "spruce": 1000, "net": 1120,
               "humidity": 1100, "pressure": 1000}  # fmt: skip
    for stem, cfm in airflow.items():
        path = next(p for p in (TABLES / f"corpus/{stem}.yaml", HERE / f"systems/{stem}.yaml") if p.exists())
        visit = changed(bare, readings__airflow__value=f"{cfm} scfm", readings__airflow__at=None, fan_power="400 W")
        if stem == "net":
            visit.update(match="coil 42", line_set="reference")
        writer.group(f"cooling, {stem}", "prove", {"units": "IP", "visit": visit},
                     {"visit.readings.supply.dry_bulb": cool[:5]}, path)  # fmt: skip
    birch = changed(
        base,
        stage=None,
        line_set=None,
        speed="45 Hz",
        speed_held="true",
        readings__airflow={"value": "825 scfm", "instrument": "flow grid"},
        readings__power=None,
    )
    writer.group(
        "cooling, birch at a speed",
        "prove",
        {"units": "IP", "visit": birch},
        {"visit.readings.supply.dry_bulb": cool},
        TABLES / "demo/birch.yaml",
    )
    warm = ["95.0 degF", "97.0 degF", "98.6 degF", "100.6 degF", "103.0 degF"]
    tables = {
        "as it is": heat,
        "no frost outdoors": changed(heat, readings__outdoor__dry_bulb="50 degF"),
        "auxiliary heat unknown": changed(heat, auxiliary_heat="unknown"),
        "auxiliary heat metered": changed(heat, auxiliary_heat={"value": "1200 W", "instrument": "clamp meter"}),
        "humidity not read": changed(heat, readings__return__relative_humidity=None),
        "soon after a defrost": changed(heat, since_defrost="8 min"),
        "standard airflow": changed(heat, readings__airflow={"value": "1010 scfm", "instrument": "flow grid"}),
    }
    for name, visit in tables.items():
        writer.group(
            f"heating, {name}", "prove", {"units": "IP", "visit": visit}, {"visit.readings.supply.dry_bulb": warm}, ALDER
        )


def main(folder=HERE):
    demo = [TABLES / f"demo/{name}.yaml" for name in ("alder", "birch")]
    corpus = sorted((TABLES / "corpus").glob("*.yaml"))
    expect("expect_demo", demo, 34, 4).write(folder)
    expect("expect_corpus", corpus, 30, 4).write(folder)
    expect("expect_shapes", sorted((HERE / "systems").glob("*.yaml")), 32, 5).write(folder)
    for name, fill in (("expect_special", special), ("deliver", deliver), ("air", moist_air), ("prove", proofs)):
        writer = Writer(name)
        fill(writer)
        writer.write(folder)


if __name__ == "__main__":
    main()
