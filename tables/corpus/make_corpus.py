"""Makes the corpus beside this script: nine machines, each as a system file and as pages copied out of print.

    python3 make_corpus.py [FOLDER]      # writes into FOLDER, or beside this script

Everything here is INVENTED: no such machine or maker exists, and no maker's layout is imitated; the shapes are those that are
common in print. `pages.json` lists the pasted pages: the file, the system that it must become, the stages and modes that it
holds, and what has to be said beside it. Tests read them all.

Four models make the numbers, unlike on purpose:

- `Contact`: the share 1 - BF of the air leaves saturated at the coil's surface; the compressor is quadratic in evaporating and
  condensing temperature (the demo's form, other numbers).
- `Transfer`: the coil exchanges enthalpy with effectiveness 1 - exp(-NTU) against air saturated at the evaporating temperature,
  and temperature with its fins' effectiveness; the compressor's capacity and power are polynomials of ten coefficients.
- `Curves`: factors on a rated point, biquadratic in entering wet bulb and outdoor temperature, quadratic in airflow; sensible by
  a bypass factor.
- `Rough`: `Transfer` with a control that changes its mind at 100 degF outdoors (a kink) and a scatter of 1 % at every node, as of
  a page that was measured.

All in degF, MBh, scfm, at sea level, gross, with the power of the outdoor unit.
"""

import json
import math
import random
import sys
from functools import lru_cache
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "demo"))
from make_alder import (  # noqa: E402
    BTU_H_PER_W,
    SEA_LEVEL,
    bisect,
    enthalpy,
    ratio_from_wet_bulb,
    saturation_ratio,
)

NOTE = "INVENTED for tests: no such machine exists. Made by make_corpus.py, which states the model."

# ------------------------------------------------------------------------------------------------------ the models


def moist(dry, wet):
    return ratio_from_wet_bulb(dry, wet, SEA_LEVEL)


def saturated(t):
    return enthalpy(t, saturation_ratio(t, SEA_LEVEL))


class Machine:
    """Total and sensible (MBh), power (kW), bypass factor and condensing temperature at a point."""

    def __init__(self, size, fan=0.2):
        self.size, self.fan = size, fan

    @lru_cache(maxsize=None)
    def cooling(self, outdoor, airflow, dry, wet):
        point = self.wet_coil(outdoor, airflow, dry, wet)
        if point["sensible"] >= point["total"]:  # dry: enter at the wet bulb at which both are one
            knee = bisect(lambda t: self._spare(outdoor, airflow, dry, t), wet, dry - 0.1)
            point = self.wet_coil(outdoor, airflow, dry, knee)
            point["sensible"] = point["total"]
        return point

    def _spare(self, outdoor, airflow, dry, wet):
        point = self.wet_coil(outdoor, airflow, dry, wet)
        return point["sensible"] - point["total"]


class Contact(Machine):
    def bypass(self, airflow):
        return math.exp(-2.2 * (airflow / 1000 / self.size) ** -0.5)

    def compressor(self, evaporating, outdoor, total):
        x, kw = evaporating - 45, 2.0
        for _ in range(40):
            y = outdoor + 0.55 * (total + BTU_H_PER_W * kw) / self.size - 115
            kw = self.size * 2.2 * (1 + 0.0140 * y + 0.00007 * y * y + 0.0004 * x)
        return self.size * 33.0 * (1 + 0.020 * x + 0.00012 * x * x - 0.0075 * y), kw, y + 115

    def wet_coil(self, outdoor, airflow, dry, wet):
        ratio, bypass = moist(dry, wet), self.bypass(airflow)
        through = 4.5 * airflow * (1 - bypass) / 1000

        def total(surface):
            return through * (enthalpy(dry, ratio) - saturated(surface))

        surface = bisect(
            lambda t: total(t) - self.compressor(t - 0.22 * total(t) / self.size, outdoor, total(t))[0], 33.0, wet - 0.5
        )
        _, kw, condensing = self.compressor(surface - 0.22 * total(surface) / self.size, outdoor, total(surface))
        sensible = through * (0.240 + 0.444 * saturation_ratio(surface, SEA_LEVEL)) * (dry - surface)
        return {
            "total": total(surface),
            "sensible": sensible,
            "power": kw + self.fan,
            "bypass": bypass,
            "condensing": condensing,
            "evaporating": surface - 6,
        }

    @lru_cache(maxsize=None)
    def heating(self, outdoor, airflow, dry):
        through = 4.5 * airflow * 0.90 / 1000

        def at(condensing):
            y, lifted = condensing - 115, 20.0 * self.size
            for _ in range(40):
                x = outdoor - 5 - 0.30 * lifted / self.size - 45
                lifted = self.size * 33.0 * (1 + 0.020 * x + 0.00012 * x * x - 0.0075 * y)
            kw = self.size * 2.2 * (1 + 0.0140 * y + 0.00007 * y * y + 0.0004 * x)
            return lifted + BTU_H_PER_W * kw, kw

        condensing = bisect(lambda t: at(t)[0] - through * 0.240 * (t - dry), dry, 200.0)
        capacity, kw = at(condensing)
        return {"capacity": capacity, "power": kw + self.fan}


class Transfer(Machine):
    def __init__(self, size, fan=0.2, units=1.35):
        super().__init__(size, fan)
        self.units = units

    def polynomial(self, te, tc):
        """Ten coefficients each, in evaporating and condensing temperature."""
        terms = (1, te, tc, te * te, te * tc, tc * tc, te**3, te * te * tc, te * tc * tc, tc**3)
        capacity = (27.6, 0.62, -0.085, 4.1e-3, -1.6e-3, -4.0e-4, 1.1e-5, -1.2e-5, -3.0e-6, 1.0e-7)
        power = (0.62, -4.0e-3, 7.2e-3, -3.0e-5, 6.0e-5, 6.4e-5, -1.0e-7, 2.0e-7, 1.0e-7, 2.0e-8)
        return [self.size * sum(c * t for c, t in zip(of, terms)) for of in (capacity, power)]

    def wet_coil(self, outdoor, airflow, dry, wet):
        ratio = moist(dry, wet)
        mass = 4.5 * airflow / 1000
        share = 1 - math.exp(-self.units * (airflow / 1000 / self.size) ** -0.35)
        entering = enthalpy(dry, ratio)
        condensing = outdoor + 20.0

        def total(te):
            return mass * share * (entering - saturated(te))

        for _ in range(8):
            te = bisect(lambda t: total(t) - self.polynomial(t, condensing)[0], 30.0, wet - 0.5)
            capacity, kw = self.polynomial(te, condensing)
            condensing = outdoor + 0.48 * (capacity + BTU_H_PER_W * kw) / self.size
        # The fins' part of it: air leaves on the line to a saturated surface that takes all of the enthalpy.
        bypass = math.exp(-1.95 * (airflow / 1000 / self.size) ** -0.35)
        surface = bisect(lambda t: entering - capacity / (mass * (1 - bypass)) - saturated(t), 20.0, wet)
        sensible = mass * (1 - bypass) * (0.240 + 0.444 * saturation_ratio(surface, SEA_LEVEL)) * (dry - surface)
        return {
            "total": capacity,
            "sensible": sensible,
            "power": kw + self.fan,
            "bypass": bypass,
            "condensing": condensing,
            "evaporating": te,
        }


class Curves(Machine):
    rated = {"total": 33.0, "power": 2.45, "airflow": 1100.0}

    def wet_coil(self, outdoor, airflow, dry, wet):
        w, o, v = wet - 67, outdoor - 95, airflow / self.size / self.rated["airflow"] - 1
        total = (
            self.size * self.rated["total"] * (1 + 0.0172 * w + 0.00009 * w * w - 0.0058 * o - 0.000012 * o * o - 0.00006 * w * o)
        )
        total *= 1 + 0.17 * v - 0.12 * v * v
        power = (
            self.size * self.rated["power"] * (1 + 0.0031 * w + 0.0112 * o + 0.00005 * o * o + 0.00002 * w * o) * (1 + 0.03 * v)
        )
        bypass = 0.085 + 0.05 * v
        mass = 4.5 * airflow / 1000
        ratio = moist(dry, wet)
        least = enthalpy(dry, ratio) - total / (mass * (1 - bypass))
        surface = bisect(lambda t: least - saturated(t), 20.0, dry)
        sensible = mass * (1 - bypass) * (0.240 + 0.444 * saturation_ratio(surface, SEA_LEVEL)) * (dry - surface)
        return {
            "total": total,
            "sensible": sensible,
            "power": power,
            "bypass": bypass,
            "condensing": outdoor + 22,
            "evaporating": surface - 5,
        }


class Rough(Transfer):
    def __init__(self, size, seed, scatter=0.01, **more):
        super().__init__(size, **more)
        self.seed, self.scatter = seed, scatter

    @lru_cache(maxsize=None)
    def cooling(self, outdoor, airflow, dry, wet):
        point = dict(super().cooling(outdoor, airflow, dry, wet))
        dice = random.Random(f"{self.seed} {outdoor} {airflow} {wet}")
        kink = 1 - 0.0012 * max(outdoor - 100, 0)
        by = kink * (1 + self.scatter * dice.gauss(0, 1))
        is_dry = point["sensible"] == point["total"]
        point["total"] *= by
        point["sensible"] = (
            point["total"]
            if is_dry
            else min(point["sensible"] * by * (1 + 0.3 * self.scatter * dice.gauss(0, 1)), point["total"])
        )
        point["power"] *= 1 + 0.6 * self.scatter * dice.gauss(0, 1)
        return point


# -------------------------------------------------------------------------------------------------------- a page


def stepped(value, step):
    """`value` printed in steps of `step`: 0.1, 0.05, 100."""
    number = round(value / step) * step
    return f"{number:.{max(0, -math.floor(math.log10(step) + 1e-9))}f}"


class Page:
    """A page in long form: axes in order, each a list of texts; `cells[point][role]` texts.

    A role may stand at several values of one axis that the others do not have (`sensible@75`).
    """

    def __init__(self, axes, units, roles, value, at=None, **key):
        self.axes, self.units, self.roles, self.at, self.key = axes, units, roles, at or {}, key
        self.cells = {}
        for point in self.points():
            for role in roles:
                for edb in self.at.get(role, (None,)):
                    self.cells[point, role, edb] = value(dict(zip(axes, point)), role, edb)

    def points(self, but=()):
        def of(names):
            if not names:
                yield ()
                return
            for text in self.axes[names[0]]:
                for rest in of(names[1:]):
                    yield (text, *rest)

        return of([name for name in self.axes if name not in but])

    def columns(self):
        return [(role, edb) for role in self.roles for edb in self.at.get(role, (None,))]

    def names_of(self, name):
        return ("edb", "ewb") if name == "pair" else (name,)

    def texts_of(self, name, text):
        return text.split("/") if name == "pair" else [text]

    def long(self):
        """Names, units and rows."""
        heads = [n for name in self.axes for n in self.names_of(name)]
        names = heads + [role + (f"@{edb}" if edb else "") for role, edb in self.columns()]
        units = [self.units[n] for n in heads] + [self.units[role] for role, _ in self.columns()]
        rows = []
        for point in self.points():
            head = [t for name, text in zip(self.axes, point) for t in self.texts_of(name, text)]
            rows.append(head + [self.cells[point, role, edb] for role, edb in self.columns()])
        return [names, units, *rows]


def aligned(rows, indent=0, gap=2, right=False):
    widths = [max(len(row[i]) for row in rows if i < len(row)) for i in range(max(map(len, rows)))]
    make = str.rjust if right else str.ljust
    return [(" " * indent + (" " * gap).join(make(cell, w) for cell, w in zip(row, widths))).rstrip() for row in rows]


def page_of(machine, axes, units, roles, steps, *, at=None, edb=80, airflow=None, outdoor=None, blank=None, extra=None, **key):
    """A page of a cooling machine. `blank(point values, point)` says where print is blank or past the limit."""

    def value(point, role, at_edb):
        def number(name, other=None):
            return float(point[name]) if name in point else other

        dry, wet = number("edb", float(at_edb or edb)), number("ewb")
        if "pair" in point:
            dry, wet = map(float, point["pair"].split("/"))
        out, flow = number("odb", outdoor), number("airflow", airflow)
        if units.get("odb", units.get("ewb")) == "degC":
            out, dry, wet = (t * 1.8 + 32 for t in (out, dry, wet))
        found = machine.cooling(out, flow, dry, wet)
        mark = blank(found, out, dry, wet) if blank else None
        if mark and (mark != "at" or at_edb):
            return "-" if mark == "at" else mark
        result = {**found, **(extra(found, out, flow, dry) if extra else {})}
        scale = {"kW": 1 / BTU_H_PER_W, "Btu/h": 1000.0}.get(units[role], 1.0) if role in ("total", "sensible") else 1.0
        if role == "power" and units[role] == "W":
            scale = 1000.0
        text = stepped(result[role] * scale, steps[role])
        if role == "sensible" and units[role] != "1" and found["sensible"] == found["total"]:
            return stepped(result["total"] * scale, steps["total"]) + "d"
        if role == "sensible" and text == stepped(result["total"] * scale, steps["total"]):
            return text + "d"
        return text

    return Page(axes, units, roles, value, at, **key)


def heating_page_of(machine, axes, units, steps, *, airflow=None, edb=70, **key):
    def value(point, role, _):
        found = machine.heating(float(point["odb"]), float(point.get("airflow", airflow or 0)), float(point.get("edb", edb)))
        return stepped(found[role], steps[role])

    return Page(axes, units, ("capacity", "power"), value, **key)


# ----------------------------------------------------------------------------------------------------- system files


def system_file(name, comment, basis, stages, *, modulation=None, heating=None, rated=None):
    lines = [
        f"# {name}, {comment} {NOTE}",
        "offnominal: system/1",
        f"name: {name}, invented",
        "source: {document: invented for tests}",
    ]
    lines += ["cooling:"] + ([f"  modulation: {modulation}"] if modulation else []) + ["  basis:"]
    lines += [f"    {key}: {value}" for key, value in basis.items()]
    lines += ["  stages:"] + stage_lines(stages, 4)
    if heating:
        of, more, of_stages = heating
        lines += ["heating:", "  basis:"] + [f"    {key}: {value}" for key, value in more.items()]
        lines += [f"  {of}:", "    stages:"] + stage_lines(of_stages, 6)
    return "\n".join(lines) + "\n"


def stage_lines(stages, indent):
    lines = []
    for stage, (page, more) in stages.items():
        lines.append(" " * indent + f"{stage}:")
        for key, value in more.items():
            if isinstance(value, list):
                lines += [" " * (indent + 2) + f"{key}: |", *aligned(value, indent + 4)]
            else:
                lines.append(" " * (indent + 2) + f"{key}: {value}")
        lines += [" " * (indent + 2) + "table: |", *aligned(page.long(), indent + 4)]
    return lines


GROSS = {"capacity": "gross", "airflow": "standard", "standard_pound": "dry", "power": "outdoor unit", "elevation": "0 ft",
         "tolerance": "5 %"}  # fmt: skip
AT_80 = {"sensible_at": "80 degF", "sensible_slope": "1.10 Btu/h/cfm/degF"}

# ------------------------------------------------------------------------------------- pages as somebody copies them


def thousands(text):
    digits = text.rstrip("d")
    return f"{int(digits):,}" + text[len(digits) :] if digits.isdigit() and len(digits) > 3 else text


def across(page, name, wording, *, label=None, show=lambda t: t):
    """Rows with the values of one axis across. `wording`: role -> heading.

    Gives the values, the headings of the columns at one value, and the rows with their labels in front.
    """
    rest = [n for n in page.axes if n != name]
    rows = []
    for point in page.points(but=(name,)):
        row = [t for n, text in zip(rest, point) for t in page.texts_of(n, text)]
        for text in page.axes[name]:
            by_name = dict(zip(rest, point)) | {name: text}
            whole = tuple(by_name[n] for n in page.axes)
            row += [show(page.cells[whole, role, edb]) for role, edb in page.columns()]
        rows.append(row)
    heads = [wording[role] + (f" @ {edb}" if edb else "") for role, edb in page.columns()]
    return page.axes[name], heads, rows


def centred(spans, columns, first):
    """A line with each text in the middle above its run of columns. `columns`: (start, end) of all."""
    line = ""
    at = first
    for text, count in spans:
        left, right = columns[at][0], columns[at + count - 1][1]
        middle = (left + right - len(text)) // 2
        line = line.ljust(middle) + text
        at += count
    return line


def extents(rows, gap=2):
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    out, at = [], 0
    for width in widths:
        out.append((at, at + width))
        at += width + gap
    return out


def csv(rows, separator=","):
    return "\n".join(separator.join(f'"{c}"' if separator in c else c for c in row) for row in rows) + "\n"


def text(lines):
    return "\n".join(lines) + "\n"


# ---------------------------------------------------------------------------------------------------- the machines


class Corpus:
    def __init__(self):
        self.files, self.pages = {}, []

    def system(self, file, content):
        self.files[file] = content
        self.of = file

    def pasted(self, file, content, **said):
        """A pasted page of the system made last, and what is said beside it."""
        self.files[file] = content
        self.pages.append({"page": file, "system": self.of, **said})


def cedar(corpus):
    """Shape A: outdoor x airflow x wet bulb, sensible at one entering dry bulb; steps 0.1. Model Contact."""
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "MBh", "sensible": "MBh", "power": "kW", "bypass": "1"}
    axes = {"odb": ["75", "85", "95", "105", "115"], "airflow": ["900", "1100", "1300"], "ewb": ["59", "63", "67", "71"]}
    page = page_of(Contact(1.0), axes, units, ("total", "sensible", "power"), {"total": 0.1, "sensible": 0.1, "power": 0.01})
    basis = {**GROSS, **AT_80}
    corpus.system("cedar.yaml", system_file("Cedar", "shape A.", basis, {"full": (page, {"bypass": "0.10"})}))
    said = {"basis": basis, "values": {"bypass": "0.10"}}

    # a block for each outdoor temperature, headings repeated, page breaks
    lines = ["CEDAR, COOLING (invented, no such machine)", ""]
    for number, odb in enumerate(axes["odb"]):
        rows = [["Airflow", "EWB", "Total", "Sens.", "Power"], ["scfm", "°F", "MBH", "MBH", "kW"]]
        rows += [
            [a, w, *(page.cells[(odb, a, w), role, None] for role in page.roles)] for a in axes["airflow"] for w in axes["ewb"]
        ]
        lines += [f"Outdoor Temperature {odb} °F", *aligned(rows, right=True)]
        if number % 2:
            lines += [f"- {number} -", "\fCEDAR, COOLING (invented, no such machine)"]
    corpus.pasted("cedar-blocks.txt", text(lines), **said)

    # the commonest print: outdoor temperatures across in the headings, set apart by one blank
    values, heads, rows = across(page, "odb", {"total": "TC", "sensible": "SC", "power": "kW"})
    head = ["CFM", "EWB", *(f"{v} {h}" for v in values for h in heads)]
    corpus.pasted("cedar-across.txt", text([" ".join(head), *map(" ".join, rows)]), **said,
                  units={"airflow": "SCFM", "odb": "°F", "ewb": "°F", "total": "MBH", "sensible": "MBH"})  # fmt: skip

    # headings of three lines, units in brackets
    rows = [["SCFM", "°F", *["(MBH)", "(MBH)", "(kW)"] * len(values)], *rows]
    rows = [["Airflow", "WB", *["Total", "Sens.", "Input"] * len(values)], *rows]
    columns = extents(rows)
    lines = [" " * columns[4][0] + "Outdoor Air Temperature, °F"]
    lines += ["Indoor".ljust(columns[1][0]) + "Ent." + centred([(v, 3) for v in values], columns, 2)[columns[1][0] + 4 :]]
    corpus.pasted("cedar-headings.txt", text([*lines, *aligned(rows)]), **said)

    # a spreadsheet saved as text, merged headings blank but for their first cell
    rows = [["", "", "Outdoor °F"] + [""] * 14, ["", ""] + [t for v in values for t in (v, "", "")],
            ["SCFM", "EWB °F", *["Total (MBh)", "Sensible (MBh)", "kW"] * len(values)], *rows[2:]]  # fmt: skip
    corpus.pasted("cedar-merged.csv", csv(rows), **said)
    corpus.pasted("cedar-long.tsv", csv(page.long(), "\t"), **said)


def hazel(corpus):
    """Shape B: ratios of sensible to total at four entering dry bulbs, blank where the air would be saturated. Model Transfer."""
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "MBh", "sensible": "1", "power": "kW"}
    axes = {"odb": ["85", "95", "105"], "airflow": ["700", "875", "1050"], "ewb": ["63", "67", "71"]}
    machine = Transfer(0.8)
    edbs = ("75", "80", "85")

    def value(point, role, edb):
        o, a, w = (float(point[n]) for n in ("odb", "airflow", "ewb"))
        at = machine.cooling(o, a, 80.0, w)
        if role == "sensible":
            if float(edb) - w < 5:
                return "-"
            here = machine.cooling(o, a, float(edb), w)
            share = min(here["sensible"] / at["total"], 1.0)
            return stepped(share, 0.01) + ("d" if stepped(share, 0.01) == "1.00" else "")
        return stepped(at[role], {"total": 0.1, "power": 0.01}[role])

    page = Page(axes, units, ("total", "sensible", "power"), value, {"sensible": edbs})
    basis = {**GROSS, "sensible_ratio_of": "total"}
    corpus.system("hazel.yaml", system_file("Hazel", "shape B.", basis, {"full": (page, {})}))

    # three lines of headings; entering dry bulbs below the ratio, outdoor temperatures above
    values, _, rows = across(page, "odb", {"total": "TC", "sensible": "S/T", "power": "kW"}, show=lambda t: t.rstrip("d"))
    rows = [["scfm", "°F", *["MBh", *edbs, "kW"] * len(values)], *rows]
    columns = extents(rows, gap=3)
    one = [("TC", 1), ("S/T at EDB", 3), ("Power", 1)]
    lines = [centred([(f"{v} °F Outdoor", 5) for v in values], columns, 2),
             "CFM".ljust(columns[1][0]) + "EWB" + centred(one * len(values), columns, 2)[columns[1][0] + 3 :]]  # fmt: skip
    corpus.pasted("hazel-headings.txt", text([*lines, *aligned(rows, gap=3)]), basis=basis, units={"edb": "°F"})

    # a block for each airflow, long form, dry by a footnote
    lines = []
    for airflow in axes["airflow"]:
        lines += [f"AIRFLOW: {airflow} SCFM", "\t".join(["ODB", "EWB", "TC", *(f"S/T @ {e}" for e in edbs), "kW"]),
                  "\t".join(["°F", "°F", "MBh", "1", "1", "1", "kW"])]  # fmt: skip
        for o in axes["odb"]:
            for w in axes["ewb"]:
                texts = [page.cells[(o, airflow, w), role, edb] for role, edb in page.columns()]
                lines.append("\t".join([o, w, *(t.replace("d", "*") for t in texts)]))
    lines.append("* dry coil: total is sensible")
    corpus.pasted("hazel-blocks.tsv", text(lines), basis=basis, marks={"*": "dry"})


def juniper(corpus):
    """Shape C: pairs of entering dry and wet bulb, one airflow; SI, steps 0.05 kW. Model Curves."""
    units = {"odb": "degC", "edb": "degC", "ewb": "degC", "total": "kW", "sensible": "kW", "power": "kW"}
    axes = {"odb": ["25", "30", "35", "40"], "pair": ["22/16", "24/17", "26/19", "27/19", "30/22"]}
    page = page_of(
        Curves(0.75), axes, units, ("total", "sensible", "power"), {"total": 0.05, "sensible": 0.05, "power": 0.01}, airflow=830.0
    )
    basis = {key: value for key, value in GROSS.items() if key != "sensible_at"}
    more = {"airflow": "830 scfm", "indoor": "path"}
    corpus.system("juniper.yaml", system_file("Juniper", "shape C.", basis, {"full": (page, more)}))
    said = {"basis": basis, "values": {"airflow": "830 scfm"}, "indoor": "path"}

    comma = lambda t: t.replace(".", ",")  # noqa: E731
    rows = [["Outdoor DB (°C)", "EDB/EWB (°C)", "Total (kW)", "Sensible (kW)", "Input (kW)"]]
    rows += [[o, p, *(comma(page.cells[(o, p), role, None]) for role in page.roles)] for o in axes["odb"] for p in axes["pair"]]
    corpus.pasted("juniper-commas.csv", csv(rows, ";"), **said)

    values, heads, rows = across(page, "pair", {"total": "Total", "sensible": "Sensible", "power": "Input"})
    rows = [["°C", *["kW"] * (3 * len(values))], *rows]
    rows = [["Outdoor", *heads * len(values)], *rows]
    columns = extents(rows)
    lines = [centred([(f"{v}", 3) for v in values], columns, 1)]
    corpus.pasted("juniper-pairs-across.txt", text([*lines, *aligned(rows)]), **said, units={"edb": "°C", "ewb": "°C"})


def larch(corpus):
    """Shape D: everything a ratio to the rated point; steps 0.01. Model Transfer, of another size."""
    machine = Transfer(1.6, fan=0.35, units=1.6)
    rated = machine.cooling(95.0, 1750.0, 80.0, 67.0)
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "1", "sensible": "1", "power": "1"}
    axes = {"odb": ["75", "85", "95", "105", "115"], "airflow": ["1400", "1750", "2100"], "ewb": ["62", "67", "72"]}

    def value(point, role, _):
        found = machine.cooling(float(point["odb"]), float(point["airflow"]), 80.0, float(point["ewb"]))
        text = stepped(found[role] / rated["total" if role == "sensible" else role], 0.001)
        return text + ("d" if role == "sensible" and found["sensible"] == found["total"] else "")

    page = Page(axes, units, ("total", "sensible", "power"), value)
    basis = {
        **GROSS,
        **AT_80,
        "rated": f"{{total: {rated['total']:.1f} MBh, power: {rated['power']:.2f} kW}}",
        "sensible_ratio_of": "rated total",
    }
    corpus.system("larch.yaml", system_file("Larch", "shape D.", basis, {"full": (page, {"bypass": "0.15"})}))
    said = {
        "basis": {**basis, "rated": {"total": f"{rated['total']:.1f} MBh", "power": f"{rated['power']:.2f} kW"}},
        "values": {"bypass": "0.15"},
    }

    corpus.pasted(
        "larch-long.csv",
        csv(
            [
                ["Outdoor Ambient", "SCFM", "EWB", "Total Capacity", "Sensible Capacity", "Power Input"],
                ["°F", "SCFM", "°F", "ratio", "ratio", "ratio"],
                *page.long()[2:],
            ]
        ),
        **said,
    )
    values, heads, rows = across(page, "ewb", {"total": "TC", "sensible": "SC", "power": "kW"})
    rows = [
        ["ODB", "Airflow", *(f"{h} @ {v} EWB" for v in values for h in ("TC", "SC", "Power"))],
        ["F", "scfm", *["1"] * 9],
        *rows,
    ]
    corpus.pasted("larch-wet-bulbs-across.tsv", csv(rows, "\t"), **said, units={"ewb": "F"})


def maple(corpus):
    """Shape E: a full service sheet, with split, pressures, amps and EER; steps 0.1. Model Contact, of another size."""
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "MBh", "sensible": "MBh", "power": "kW", "split": "delta_degF",
             "suction_pressure": "psig", "liquid_pressure": "psig", "amps": "A", "eer": "Btu/Wh"}  # fmt: skip
    axes = {"odb": ["80", "90", "100", "110"], "airflow": ["1200", "1600"], "ewb": ["59", "63", "67", "71"]}

    def extra(found, outdoor, airflow, dry):
        shown = round(found["total"], 1)
        return {
            "split": found["sensible"] * 1000 / 1.10 / airflow,
            "suction_pressure": 118 + 2.4 * (found["evaporating"] - 40),
            "liquid_pressure": 2.05 * found["condensing"] * (1 + 0.0045 * (found["condensing"] - 110)) + 90,
            "amps": 1.1 + 4.35 * found["power"],
            "eer": shown / round(found["power"], 2),
        }

    roles = ("total", "sensible", "power", "split", "suction_pressure", "liquid_pressure", "amps", "eer")
    steps = {
        "total": 0.1,
        "sensible": 0.1,
        "power": 0.01,
        "split": 0.1,
        "suction_pressure": 1,
        "liquid_pressure": 1,
        "amps": 0.1,
        "eer": 0.1,
    }
    page = page_of(Contact(1.35, fan=0.3), axes, units, roles, steps, extra=extra)
    basis = {**GROSS, **AT_80}
    corpus.system("maple.yaml", system_file("Maple", "shape E.", basis, {"full": (page, {"bypass": "0.12"})}))
    said = {"basis": basis, "values": {"bypass": "0.12"}}

    # text out of a document: no-break blanks, minus signs, soft hyphens, footnote marks, a label for each block of rows
    rows = [["ODB", "Air Flow", "EWB", "Total", "Sens.", "Power", "Split", "Suct. psig", "Liq. psig", "Amps", "EER"],
            ["°F", "SCFM", "°F", "MBH", "MBH", "kW", "°F", "psig", "psig", "A", "Btuh/W"]]  # fmt: skip
    for o, a, w in page.points():
        texts = [page.cells[(o, a, w), role, None].replace("d", "\u00b9") for role in roles]
        first = w == axes["ewb"][0]
        rows.append([o if first and a == axes["airflow"][0] else "", f"{int(a):,}" if first else "", w, *texts])
    lines = aligned(rows, gap=3)
    lines = [line.replace("   ", "\u00a0\u00a0 ").replace("Suct", "Suc\u00adt") for line in lines]
    lines += ["", "\u00b9 coil dry", "Page 7 of 12"]
    corpus.pasted("maple-document.txt", text(lines), **said, fill_down=["odb", "airflow"], marks={"\u00b9": "dry"})

    # airflow across, and the units behind the numbers of the labels
    values, heads, rows = across(
        page,
        "airflow",
        dict(
            zip(
                roles,
                ("Total Capacity", "Sensible Capacity", "kW", "Temp Split", "Suction Pressure", "Liquid Pressure", "Amps", "EER"),
            )
        ),
    )
    rows = [[f"{row[0]} °F", f"{row[1]}°F", *row[2:]] for row in rows]
    top = ["Outdoor DB", "Entering WB", *(t for v in values for t in (f"{v} SCFM", *[""] * 7))]
    names = ["", "", *heads * len(values)]
    spelled = ["MBH", "MBH", "", "F", "psig", "psig", "", "Btu/Wh"]
    rows = [top, names, ["", "", *spelled * len(values)], *rows]
    corpus.pasted("maple-airflow-across.tsv", csv(rows, "\t"), **said)


def olive(corpus):
    """Shape F: blocks by compressor speed, each with its own airflow; whole hundreds of Btu/h and tens of W. Model Transfer, by size."""
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "Btu/h", "sensible": "Btu/h", "power": "W"}
    speeds = {
        "minimum": ("30", 0.40, ["450", "550"], 0.06),
        "rated": ("60", 0.80, ["750", "900"], 0.12),
        "maximum": ("90", 1.10, ["1000", "1150"], 0.2),
    }
    outdoor = ["75", "85", "95", "105", "115"]
    stages = {}
    for name, (speed, size, airflow, fan) in speeds.items():
        axes = {"odb": outdoor, "airflow": airflow, "ewb": ["63", "67", "71"]}
        limit = lambda found, out, *_: "-" if name == "maximum" and out > 110 else None  # noqa: E731, B023
        page = page_of(
            Transfer(size, fan=fan),
            axes,
            units,
            ("total", "sensible", "power"),
            {"total": 100, "sensible": 100, "power": 10},
            blank=limit,
        )
        stages[name] = (page, {"speed": f"{speed} Hz", "bypass": "0.15"})
    basis = {**GROSS, **AT_80}
    corpus.system("olive.yaml", system_file("Olive", "shape F.", basis, stages, modulation="variable"))
    said = {"basis": basis, "values": {"bypass": "0.15"}}

    lines = ["OLIVE (invented), VARIABLE SPEED", ""]
    for name, (page, more) in stages.items():
        rows = [["ODB °F", "CFM", "EWB °F", "Total Btuh", "Sensible Btuh", "Watts"]]
        for o, a, w in page.points():
            rows.append([o, thousands(a), w, *(thousands(page.cells[(o, a, w), r, None]) for r in page.roles)])
        lines += [f"{name.title()} speed, {more['speed']}", *aligned(rows, right=True), ""]
    corpus.pasted("olive-speeds.txt", text(lines), **said, units={"airflow": "scfm"}, columns={"CFM": "airflow"})

    # the speeds side by side, each with its own airflow
    names = list(stages)
    head = [["", ""], ["Outdoor (°F)", "EWB (°F)"]]
    for name in names:
        head[0] += [f"{name.title()} Speed {stages[name][1]['speed']}", "", "", ""]
        head[1] += ["Airflow (scfm)", "Total (Btuh)", "Sensible (Btuh)", "Power (W)"]
    rows = []
    for o in outdoor:
        for n in (0, 1):
            for w in ("63", "67", "71"):
                row = [o, w]
                for name in names:
                    page = stages[name][0]
                    a = page.axes["airflow"][n]
                    row += [a, *(page.cells[(o, a, w), r, None] for r in page.roles)]
                rows.append(row)
    corpus.pasted("olive-side-by-side.csv", csv([*head, *rows]), **said)


def pine(corpus):
    """Shape G: one line for each outdoor temperature, wet bulbs across, and a row of multipliers; whole hundreds. Model Curves."""
    machine = Curves(1.2)
    units = {"odb": "degF", "ewb": "degF", "total": "Btu/h", "sensible": "Btu/h", "power": "kW"}
    axes = {"odb": ["75", "85", "95", "105", "115"], "ewb": ["63", "67", "71"]}
    page = page_of(
        machine, axes, units, ("total", "sensible", "power"), {"total": 100, "sensible": 100, "power": 0.01}, airflow=1320.0
    )
    reference = machine.cooling(95.0, 1320.0, 80.0, 67.0)
    flows = ["1120", "1320", "1520"]
    factors = [
        [f, *(stepped(machine.cooling(95.0, float(f), 80.0, 67.0)[r] / reference[r], 0.01) for r in page.roles)] for f in flows
    ]
    more = {
        "bypass": "0.09",
        "airflow": "1320 scfm",
        "airflow_factors": [["airflow", *page.roles], ["scfm", "1", "1", "1"], *factors],
    }
    del more["airflow"]
    basis = {**GROSS, **AT_80}
    corpus.system("pine.yaml", system_file("Pine", "shape G.", basis, {"full": (page, more)}))
    said = {"basis": basis, "values": {"bypass": "0.09"}}

    wording = {"total": "Total", "sensible": "Sensible", "power": "kW"}
    values, heads, rows = across(page, "ewb", wording, show=thousands)
    rows = [["(°F)", *["(Btuh)", "(Btuh)", "(kW)"] * len(values)], *rows]
    rows = [["ODB", *["Total", "Sensible", "Power"] * len(values)], *rows]
    columns = extents(rows)
    lines = [
        "PINE (invented), DESIGN TABLE",
        centred([(f"Entering Wet Bulb {v} °F", 3) for v in values], columns, 1),
        *aligned(rows),
    ]
    turned = [["SCFM", *flows], *([wording[r], *(f[n + 1] for f in factors)] for n, r in enumerate(page.roles))]
    lines += ["", "Airflow multipliers", *aligned(turned)]
    corpus.pasted("pine-design.txt", text(lines), **said)
    corpus.pasted("pine-ours.txt", text([*aligned([["odb", *(f"{r}@{v}" for v in values for r in page.roles)], ["degF", *["Btu/h", "Btu/h", "kW"] * 3], *[[c.replace(",", "") for c in row] for row in rows[2:]]]),
                  "Correction factors", *aligned(more["airflow_factors"])]), **said, units={"ewb": "degF"})  # fmt: skip


def rowan(corpus):
    """Shape H: wet bulbs and bypass factors across, compressor power, dashes at the hot end. Model Rough: measured, 1 %."""
    machine = Rough(3.0, seed="rowan", fan=0.0, units=1.45)
    units = {"odb": "degF", "airflow": "scfm", "ewb": "degF", "total": "MBh", "sensible": "MBh", "power": "kW", "bypass": "1"}
    axes = {"odb": ["85", "95", "105", "115", "125"], "airflow": ["2500", "3000", "3500"], "ewb": ["57", "62", "67", "72"]}
    hot = lambda found, out, dry, wet: "-" if wet > 70 and out > 120 else None  # noqa: E731
    page = page_of(
        machine,
        axes,
        units,
        ("total", "sensible", "power", "bypass"),
        {"total": 0.1, "sensible": 0.1, "power": 0.01, "bypass": 0.01},
        blank=hot,
    )
    basis = {**GROSS, **AT_80, "power": "compressor"}
    corpus.system("rowan.yaml", system_file("Rowan", "shape H.", basis, {"full": (page, {})}))
    said = {"basis": basis, "columns": {"Comp kW": "power", "Compressor kW": "power"}}

    dash = lambda t: "\u2013" if t == "-" else t  # noqa: E731
    values, heads, rows = across(page, "ewb", {"total": "TC", "sensible": "SC", "power": "Comp kW", "bypass": "BF"}, show=dash)
    names = [
        ["ODB", "CFM", *["TC", "SC", "Comp kW", "BF"] * len(values)],
        ["°F", "SCFM", *["MBH", "MBH", "kW", "1"] * len(values)],
    ]
    columns = extents([*names, *rows])
    lines = [centred([(f"EWB {v}", 4) for v in values], columns, 2), *aligned([*names, *rows])]
    corpus.pasted("rowan-wet-bulbs-across.txt", text(lines), **said)

    # a block for each airflow, outdoor temperatures across, the bypass factor in the labels' side
    lines = []
    for airflow in axes["airflow"]:
        rows = []
        for w in axes["ewb"]:
            row = [w]
            for role in page.roles:
                row += [dash(page.cells[(o, airflow, w), role, None]) for o in axes["odb"]]
            rows.append(row)
        head = [[f"Airflow {int(airflow):,} scfm", *[""] * 20],
                ["EWB", *(t for h in ("Total Capacity, MBH", "Sensible Capacity, MBH", "Compressor kW", "Bypass Factor") for t in (h, "", "", "", ""))],
                ["°F", *axes["odb"] * 4]]  # fmt: skip
        lines += [*head, *rows]
    corpus.pasted("rowan-outputs-across.tsv", csv(lines, "\t"), **said, units={"odb": "°F"})


def spruce(corpus):
    """Cooling and heating on one page; heating across airflow with a row of factors. Model Contact."""
    machine = Contact(0.9)
    units = {
        "odb": "degF",
        "airflow": "scfm",
        "ewb": "degF",
        "total": "MBh",
        "sensible": "MBh",
        "power": "kW",
        "capacity": "MBh",
        "edb": "degF",
    }
    cool = page_of(
        machine,
        {"odb": ["75", "85", "95", "105", "115"], "ewb": ["63", "67", "71"]},
        units,
        ("total", "sensible", "power"),
        {"total": 0.1, "sensible": 0.1, "power": 0.01},
        airflow=1000.0,
    )
    heat = heating_page_of(
        machine, {"odb": ["5", "17", "27", "37", "47", "57"]}, units, {"capacity": 0.1, "power": 0.01}, airflow=1000.0
    )
    reference = machine.heating(47.0, 1000.0, 70.0)
    factors = [
        [e, *(stepped(machine.heating(47.0, 1000.0, float(e))[r] / reference[r], 0.001) for r in ("capacity", "power"))]
        for e in ("60", "65", "70", "75")
    ]
    basis = {**GROSS, **AT_80}
    warm = {**GROSS, "printed_at": "70 degF"}
    more = {"airflow": "1000 scfm"}
    edb_factors = [["edb", "capacity", "power"], ["degF", "1", "1"], *factors]
    corpus.system("spruce.yaml", system_file("Spruce", "a heat pump.", basis, {"full": (cool, {**more, "bypass": "0.10"})},
                                             heating=("instantaneous", warm, {"full": (heat, {**more, "edb_factors": edb_factors})})))  # fmt: skip
    said = {
        "basis": {**basis, "printed_at": "70 degF"},
        "values": {"airflow": "1000 scfm", "bypass": "0.10"},
        "frost": "instantaneous",
    }

    # side by side; heating is shorter, and has a row of factors in a paste of its own
    left, right = cool.long(), heat.long()
    rows = [["COOLING", "", "", "", "", "HEATING", "", ""], ["ODB", "EWB", "TC", "SC", "kW", "ODB", "Capacity", "kW"],
            ["°F", "°F", "MBH", "MBH", "kW", "°F", "MBH", "kW"]]  # fmt: skip
    for n in range(2, max(len(left), len(right))):
        rows.append([*(left[n] if n < len(left) else [""] * 5), *(right[n] if n < len(right) else [""] * 3)])
    corpus.pasted("spruce-side-by-side.tsv", csv(rows, "\t"), **said, holds=["cooling", "heating"])

    # one below the other, each under its title
    lines = ["COOLING", *aligned([["ODB", "EWB", "Total", "Sensible", "Power"], ["°F", "°F", "MBH", "MBH", "kW"], *left[2:]]), "",
             "HEATING", *aligned([["Outdoor Temp", "Heating Capacity", "Power"], ["°F", "MBH", "kW"], *right[2:]]),
             "Entering air multipliers", *aligned([["EDB", "Capacity", "Power"], ["°F", "1", "1"], *factors])]  # fmt: skip
    corpus.pasted("spruce-below.txt", text(lines), **said)
    corpus.pasted(
        "spruce-heating.csv",
        csv([["Outdoor DB (°F)", "Htg Capacity (MBh)", "kW"], *right[2:]]),
        **{**said, "basis": warm, "values": more},
        holds=["heating"],
    )


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    corpus = Corpus()
    for machine in (cedar, hazel, juniper, larch, maple, olive, pine, rowan, spruce):
        machine(corpus)
    corpus.files["pages.json"] = json.dumps(corpus.pages, indent=1, ensure_ascii=False) + "\n"
    for name, content in corpus.files.items():
        (folder / name).write_text(content, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
