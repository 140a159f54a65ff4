"""Two transcriptions of one page held against each other, node by node."""

import dataclasses
import math
import os

import numpy as np

from offnominal import _core
from offnominal._system import System, load

# Roles of typed columns by the name of the axis they make.
_AXIS_ROLES = {
    "outdoor_dry_bulb": "odb",
    "standard_airflow": "airflow",
    "entering_wet_bulb": "ewb",
    "entering_relative_humidity": "rh",
    "entering_dry_bulb": "edb",
    "station_pressure": "pressure",
}
# How the rows of the other tables are told, and the units of what is not a ratio.
_ROWS = {
    "line_set": ("length {} m", "suction {} m"),
    "altitude": ("elevation {} m",),
    "blower": ("tap {}", "static {} Pa"),
    "defrost": ("stage {}", "odb {} degC", "rh {}"),
}
_FACT_UNITS = {
    ("matches", "least_airflow"): "m3/s",
    ("matches", "greatest_airflow"): "m3/s",
    ("line_set", "reference length"): "m",
    ("line_set", "reference suction"): "m",
    ("line_set", "least lift"): "m",
    ("line_set", "greatest lift"): "m",
    ("blower", "airflow"): "m3/s",
    ("blower", "power"): "W",
}
_STANDARD_DENSITY = 0.075 * 0.45359237 / 0.3048**3  # kg/m3: a mass flow is a standard airflow by another name


@dataclasses.dataclass(frozen=True)
class Difference:
    """One thing that two transcriptions say differently. Made by `collate`.

    Attributes
    ----------
    kind : {"value", "digits", "mark", "node", "column", "page", "metadata"}
        ``"digits"``: the same number with another last printed place. ``"node"``, ``"column"``, ``"page"``: only in one.
    page : str
        The page, such as ``"high"``; empty for what is not of one page.
    where : str
        The node, such as ``"odb 95 degF, airflow 1000 scfm, ewb 63 degF"``, or the key of metadata.
    column : str
        The role of the column; empty if about no single one.
    first, second : str
        What each says, with its unit; empty where it says nothing.
    percent : float or None
        How far the second value is from the first, in percent of the first.
    first_place, second_place : str
        File, line and column; empty if unknown.
    """

    kind: str
    page: str
    where: str
    column: str
    first: str
    second: str
    percent: float | None = None
    first_place: str = ""
    second_place: str = ""

    def __str__(self):
        place = " | ".join(part for part in (self.first_place, self.second_place) if part)
        subject = ": ".join(part for part in (self.page, self.where) if part)
        words = " ".join(part for part in (self.column, self._change()) if part)
        return ": ".join(part for part in (place, subject, words) if part)

    def _change(self):
        if self.kind in ("node", "page", "column"):
            return f"only in the {'first' if self.first else 'second'}"
        change = f"{self.first or 'nothing'} | {self.second or 'nothing'}"
        if self.kind == "digits":
            return change + " (another last printed place)"
        return change if self.percent is None else f"{change} ({self.percent:+.2g} %)"


class Collation:
    """What two transcriptions agree on, and what not. Made by `collate`.

    Attributes
    ----------
    differences : list of Difference
        Largest first; those without a size before them.
    nodes : int
        Nodes that both have.
    nodes_same : int
        Of these, the nodes without any difference.
    only_first, only_second : int
        Nodes that only one has.
    notes : list of str
        How numbers in different units were compared.
    """

    def __init__(self, first, second):
        self.differences = []
        self.nodes = self.nodes_same = self.only_first = self.only_second = 0
        self.notes = []
        self._names = [_name(first, "first"), _name(second, "second")]
        self._metadata(_facts(first), _facts(second))
        pages = [{(p.mode, p.frost, p.match, p.stage): p for p in system.pages(units="SI")} for system in (first, second)]
        for key in [*pages[0], *(key for key in pages[1] if key not in pages[0])]:
            a, b = pages[0].get(key), pages[1].get(key)
            if a is None or b is None:
                page = a or b
                self._add("page", page.label, "", "", "" if a is None else page.label, "" if b is None else page.label)
                self.only_first += 0 if a is None else a.marks.size
                self.only_second += 0 if b is None else b.marks.size
            else:
                _PagePair(self, a, b).collate()
        self.differences.sort(key=lambda d: -math.inf if d.percent is None else -abs(d.percent))

    @property
    def same(self):
        """Whether nothing differs."""
        return not self.differences

    @property
    def worst(self):
        """The difference in a number that is largest in percent, or None."""
        sized = [d for d in self.differences if d.percent is not None]
        return max(sized, key=lambda d: abs(d.percent), default=None)

    def report(self):
        """Agreement and differences as a text.

        Returns
        -------
        str
        """
        lines = [f"first:  {self._names[0]}", f"second: {self._names[1]}"]
        lines.append(f"{_counted(self.nodes, 'node')} in both, {self.nodes_same} of them the same")
        for count, which in ((self.only_first, "first"), (self.only_second, "second")):
            if count:
                lines.append(f"{_counted(count, 'node')} only in the {which}")
        if self.worst is not None:
            lines.append(f"largest difference: {self.worst.percent:+.2g} % ({self.worst.page}: {self.worst.where})")
        lines += [f"  - {note}" for note in self.notes]
        lines.append("the two are the same" if self.same else _counted(len(self.differences), "difference"))
        lines += [f"  {difference}" for difference in self.differences]
        return "\n".join(lines) + "\n"

    def __repr__(self):
        return f"<Collation of {self.nodes} nodes: {_counted(len(self.differences), 'difference')}>"

    def _add(self, *words, **more):
        self.differences.append(Difference(*words, **more))

    def _note(self, text):
        if text not in self.notes:
            self.notes.append(text)

    def _metadata(self, first, second):
        for key in [*first, *(key for key in second if key not in first)]:
            a, b = first.get(key), second.get(key)
            if _equal(a, b):
                continue
            percent = 100.0 * (b - a) / a if _is_number(a) and _is_number(b) and a else None
            self._add("metadata", "", key, "", _worded(a), _worded(b), percent)


class _PagePair:
    """The same page in both."""

    def __init__(self, collation, first, second):
        self.out, self.pages = collation, (first, second)

    def collate(self):
        a, b = self.pages
        if list(a.axes) != list(b.axes):
            self.out._add("metadata", a.label, "axes", "", ", ".join(a.axes), ", ".join(b.axes))
            self.out.only_first += a.marks.size
            self.out.only_second += b.marks.size
            return
        for key in a.basis:
            if not _equal(a.basis[key], b.basis[key]):
                self.out._add("metadata", a.label, f"basis: {key}", "", _worded(a.basis[key]), _worded(b.basis[key]))
        for key in ("speed", "infer"):
            if not _equal(getattr(a, key), getattr(b, key)):
                self.out._add("metadata", a.label, key, "", _worded(getattr(a, key)), _worded(getattr(b, key)))
        for role in a.columns.keys() ^ b.columns.keys():
            self.out._add("column", a.label, "", role, role if role in a.columns else "", role if role in b.columns else "")
        maps = [self._matched(name) for name in a.axes]
        in_second = set()
        for index in np.ndindex(a.shape):
            other = tuple(of[i] for of, i in zip(maps, index))
            if None in other:
                self.out.only_first += 1
                self._lonely(0, index)
                continue
            in_second.add(other)
            before = len(self.out.differences)
            self._node(index, other)
            self.out.nodes += 1
            self.out.nodes_same += len(self.out.differences) == before
        for index in np.ndindex(b.shape):
            if index not in in_second:
                self.out.only_second += 1
                self._lonely(1, index)

    def _matched(self, axis):
        """For each breakpoint of the first page the number of the same one of the second, or None."""
        a, b = (page.axes[axis] for page in self.pages)
        pairs = [("edb", 0), ("ewb", 1)] if axis == "indoor_pair" else [(_AXIS_ROLES[axis], None)]
        near = np.ones((len(a), len(b)), bool)
        for role, part in pairs:
            x, y = (a, b) if part is None else (a[:, part], b[:, part])
            near &= np.abs(x[:, None] - y[None, :]) <= self._axis_tolerance(role, x)
        return [int(np.flatnonzero(row)[0]) if row.any() else None for row in near]

    def _axis_tolerance(self, role, values):
        least = 1e-9 * max(1e-3, float(np.abs(values).max(initial=0.0)))
        steps = [_typed_step(page, role) for page in self.pages]
        units = [page.typed_units.get(role) for page in self.pages]
        if units[0] == units[1] or None in steps:
            return least
        step = max(steps)
        self._note_units(role, units, steps)
        return 0.5 * step * (1.0 + 1e-9) + least

    def _node(self, index, other):
        a, b = self.pages
        if a.marks[index] != b.marks[other]:
            self._differ("mark", index, other, "", str(a.marks[index]), str(b.marks[other]))
        for role in a.columns:
            if role in b.columns:
                self._cell(role, index, other)

    def _cell(self, role, index, other):
        a, b = self.pages
        x, y = float(a.columns[role][index]), float(b.columns[role][other])
        texts = [_text(page, role, at) for page, at in zip(self.pages, (index, other))]
        units = [page.typed_units.get(role, page.units[role]) for page in self.pages]
        worded = [_with_unit(text or number, unit) for text, number, unit in zip(texts, (_worded(x), _worded(y)), units)]
        if math.isnan(x) and math.isnan(y):  # blank in both, but a total may be typed where sensible is blank
            if not {"", "-", "x"} & set(texts) and units[0] == units[1] and texts[0] != texts[1]:
                self._differ("value", index, other, role, *worded)
        elif math.isnan(x) or math.isnan(y):
            if a.marks[index] == b.marks[other]:
                self._differ("value", index, other, role, *("" if math.isnan(v) else w for v, w in zip((x, y), worded)))
        elif units[0] != units[1] and abs(x - y) <= 0.5 * max(a.steps[role], b.steps[role]) * (1.0 + 1e-9) + 1e-9 * abs(x):
            self._note_units(role, units, (a.steps[role], b.steps[role]))
        elif units[0] == units[1] and x == y:
            if "" not in texts and texts[0] != texts[1]:
                self._differ("digits", index, other, role, *worded)
        elif "" not in texts or abs(x - y) > 1e-9 * abs(x):  # rounded differently where one was never typed
            self._differ("value", index, other, role, *worded, percent=100.0 * (y - x) / x if x else None)

    def _note_units(self, role, units, steps):
        which = "first" if steps[0] >= steps[1] else "second"
        self.out._note(f"{role}: {units[0]} held against {units[1]}, to half the last printed place of the {which}")

    def _differ(self, kind, index, other, column, first, second, percent=None):
        a, b = self.pages
        self.out._add(kind, a.label, self._where(0, index), column, first, second, percent, _place(a, index), _place(b, other))

    def _lonely(self, which, index):
        page, where = self.pages[which], self._where(which, index)
        places = [_place(page, index) if which == i else "" for i in (0, 1)]
        self.out._add("node", page.label, where, "", *(where if which == i else "" for i in (0, 1)), None, *places)

    def _where(self, which, index):
        page, parts = self.pages[which], []
        for number, (axis, values) in enumerate(page.axes.items()):
            roles = ("edb", "ewb") if axis == "indoor_pair" else (_AXIS_ROLES[axis],)
            for part, role in enumerate(roles):
                value = values[index[number]] if axis != "indoor_pair" else values[index[number]][part]
                text = str(page.typed[role][index]) if role in page.typed else _worded(float(value))
                parts.append(f"{role} {_with_unit(text, page.typed_units.get(role, page.units[axis]))}")
        return ", ".join(parts)


def collate(first, second):
    """Hold a second transcription against a first, node by node.

    For two people's transcriptions of one page, or for two revisions of a table. Nodes are matched by where they lie on the
    axes. Numbers in one unit must be typed alike; numbers in different units must agree within half the coarser of the two last
    printed places. The file's own name, its transcriber and its checker may differ.

    Parameters
    ----------
    first, second : str, os.PathLike or System
        System files, or systems.

    Returns
    -------
    Collation

    Raises
    ------
    InputError
        For a file that cannot be read.
    """
    return Collation(*(system if isinstance(system, System) else load(system) for system in (first, second)))


def _name(system, which):
    return _shown(system._path) if system._path else f"{which} ({system.name})"


def _facts(system):
    """What a system holds beside its pages, flat and in SI: key to value."""
    out = {f"source: {key}": system.source[key] for key in ("document", "revision", "page")}

    def walk(path, value):
        if isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(key, tuple):
                    parts = (k if isinstance(k, str) else f"{k:.6g}" for k in key)
                    key = ", ".join(form.format(part) for form, part in zip(_ROWS[path[0]], parts))
                walk((*path, key), inner)
        else:
            unit = _FACT_UNITS.get((path[0], path[-1]))
            out[": ".join(path) + (f", {unit}" if unit else "")] = value

    walk((), _core.metadata(system._core))
    return out


def _is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _equal(a, b):
    if _is_number(a) and _is_number(b):
        return a == b or (math.isnan(a) and math.isnan(b)) or abs(a - b) <= 1e-9 * max(abs(a), abs(b))
    return a == b


def _worded(value):
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.7g}"
    return "" if value is None else str(value)


def _with_unit(text, unit):
    return text if unit == "1" or not text else f"{text} {unit}"


def _counted(number, what):
    return f"{number} {what}{'' if number == 1 else 's'}"


def _text(page, role, index):
    """The text of a cell without the mark of a dry coil, which is not part of its number."""
    return str(page.typed[role][index]).removesuffix("d") if role in page.typed else ""


def _typed_step(page, role):
    """One unit in the last printed place of a typed axis, SI; None where it was not typed."""
    texts = {str(text) for text in page.typed.get(role, np.array([])).flat}
    if not texts:
        return None
    decimals = max(len(text.partition(".")[2]) for text in texts)
    dimension, times, over, _ = _core.units[page.typed_units[role]]
    return times / over / 10.0**decimals / (_STANDARD_DENSITY if dimension == "mass_flow" else 1.0)


def _place(page, index):
    if not page.places:
        return ""
    file, line, column = page.places[np.ravel_multi_index(index, page.shape)]
    return f"{_shown(file)}:{line}:{column}"


def _shown(path):
    """A path as short as can be told from here."""
    near = os.path.relpath(path)
    return path if near.startswith(os.pardir) else near


def add_command(commands):
    """Add ``offnominal collate`` to the command's parsers."""
    command = commands.add_parser("collate", help="hold a second transcription of a page, or a revision, against the first")
    command.add_argument("first", help="system file")
    command.add_argument("second", help="system file")


def run_command(options):
    """Run ``offnominal collate``; returns what to print and the exit status: 0, or 1 where the two differ."""
    collation = collate(options.first, options.second)
    return collation.report(), 0 if collation.same else 1
