"""A pasted page as tables in long form: a row for each node, every cell with the place it was pasted at.

A page is sections, each a head and its rows. What is printed across, or once for a block, becomes a column; nothing is filled in
that the page or its reader did not say.
"""

import collections
import itertools

from offnominal import _wording as words
from offnominal._cells import Cell, Problems, lines_of
from offnominal._heading import lex, meaning, stacks, unit_of
from offnominal._numbers import MARKS, PAIR, Numbers
from offnominal._sections import Sections
from offnominal._long import Table, at_line
from offnominal._texts import counted
from offnominal._wording import AXES
from offnominal.errors import InputError

_OF_TOTAL = ("sensible", "split", "latent")  # may stand at several entering dry bulbs beside one total
_CAPACITIES = ("total", "sensible", "latent", "capacity")


class _Typo(Exception):
    """A cell of an output that is no number."""


class Options:
    """What is said of a page beside it."""

    def __init__(
        self, frost, units, columns, fill_down, *, values=None, across=None, decimal=None, marks=None, blanks=False, indoor=None
    ):
        self.heating, self.units, self.columns, self.fill_down = frost is not None, dict(units), dict(columns), tuple(fill_down)
        self.values, self.across, self.decimal, self.blanks = dict(values or {}), across, decimal, blanks
        self.marks, self.indoor = dict(marks or {}), indoor
        self.begin()
        self.roles = words.OF_MODE["heating" if self.heating else "cooling"]
        for what, keys in (("column", self.columns.values()), ("unit", self.units), ("fill-down", self.fill_down)):
            for key in keys:
                if key.partition("@")[0] not in words.OF_MODE[None] and not (
                    what == "column" and key in ("ignore", "edb/ewb", "ewb/edb")
                ):
                    raise InputError(f"--{what} {key}: not a role; accepted: {', '.join(self.roles)}")
        if across is not None and across not in AXES:
            raise InputError(f"--across {across}: not an axis; accepted: {', '.join(AXES)}")
        if decimal not in (None, ".", ","):
            raise InputError(f"--decimal {decimal}: accepted: . or ,")
        for mark, meant in self.marks.items():
            if meant not in words.MARK_WORDS:
                raise InputError(f"--mark {mark}={meant}: accepted: {', '.join(words.MARK_WORDS)}")

    def begin(self):
        """A page begins: nothing of it has said yet whether it is of cooling or heating."""
        self.mode = "heating" if self.heating else None


class Pasted:
    """A pasted page: of a file, of a text of several lines, of a spreadsheet or of a frame.

    Attributes
    ----------
    tables : list of Table
    notes : list of str
        What was done to read it that its reader should know.
    above : list of str
        Comments above the page.
    """

    def __init__(self, page, options):
        self.options, self.problems, self.notes, self.tables = options, Problems(), [], []
        options.begin()
        # What the last headings of a block say.
        self._block = {"axes": {}, "stage": None, "speed": None, "mode": None, "units": ()}
        self._columns = None  # of the section before
        self._says = {}  # of the basis
        self.typos = Problems()  # cells that are no numbers: what else is wrong is still looked for
        self.file, lines, separator = lines_of(page)
        self.exact, self.separator = separator is not None, separator
        self.lines = self._with_comments(lines)
        if len(self.lines) < 2:
            self.problems.add(self.file, (0, 0), "no rows", "a line of names, a line of units, the rows", "")
            self.problems.tell()
        self.marks = collections.Counter()
        self.above = self.lines[0].above
        self.numbers = Numbers(self.lines, self.exact, options.decimal)
        self.sections = Sections(self.file, self.lines, self.exact, self.numbers, options)
        self.notes += self.sections.notes
        self.problems += self.sections.problems
        for section in self.sections.found:
            self._read_section(*section)
        if not self.tables and not self.problems:
            self.problems.add(self.file, self.lines[0].words[0], "no rows under headings that are known", "a line of names, a line of units, the rows")  # fmt: skip
        self.problems.tell()
        self._finish()
        if self.problems:
            self.problems += self.typos
        self.problems.tell()

    def complain(self, cell, problem, accepted, text=None):
        """One more problem."""
        self.problems.add(self.file, cell, problem, accepted, text)

    @staticmethod
    def _with_comments(lines):
        """The lines that have cells, each with the comments above it."""
        out, comments = [], []
        for line in lines:
            if line.cells:
                line.above, comments = comments, []
                out.append(line)
            elif line.comment:
                comments.append(line.comment)
        if out:
            out[-1].below = comments
        return out

    # One section

    def _read_section(self, head, rows):
        if any(item.kind == "factors" for line in head for piece in line.pieces for item in lex(piece)):
            return self._read_factors(head, rows)
        blocks = [line for line in head if self.sections.kind(line) == "block"]
        own = [line for line in head if line not in blocks]
        for line in blocks:
            self._state(line)
        if not own:
            if self._columns is None:
                if self.problems:  # of the head, told already
                    return None
                self.complain(rows[0].words[0], "rows without headings above them", "a line of names, a line of units, the rows", rows[0].text.strip())  # fmt: skip
                return None
            meanings, unit_line, first = self._columns
        else:
            width, columns = self._columns_of(own, rows)
            unit_line = self._unit_line(own, width)
            own = [line for line in own if line is not unit_line]
            if not own:
                self.complain(
                    rows[0].words[0], "no names of columns", "a line of names, a line of units, the rows", rows[0].text.strip()
                )
                return None
            meanings, readings = stacks(own, columns, self.exact, self.options)
            first = own[-1]
            if readings:
                self.complain(own[0].words[0], "a head that may be read in two ways", readings + "; set the columns apart by tabs", own[0].text.strip())  # fmt: skip
            if self._refused(meanings, own, columns, unit_line):
                self._columns = None
                self._check_plain(meanings, unit_line, rows)
                return None
            self._columns = meanings, unit_line, first
        return self._unfold(meanings, unit_line, first, rows)

    def _state(self, line):
        """What the heading of a block says of all rows below it, until another says otherwise."""
        for piece in line.pieces:
            m = meaning([piece], self.options)
            for axis, value in m.axes.items():
                self._block["axes"][axis] = value
            for value in m.loose:
                self._block["axes"]["?"] = value
            if m.mode:
                self._block["mode"] = self.options.mode = m.mode
            if m.stage or m.speed:
                self._block["stage"], self._block["speed"] = m.stage, m.speed
            if m.units:
                self._block["units"] = (*self._block["units"], *m.units)
            self._says |= m.says

    def _columns_of(self, head, rows):
        """How many columns there are, and where they stand."""
        counts = [len(row.words) if not self.exact else len(_trimmed(row.cells)) for row in rows]
        width = max(counts) if self.options.fill_down else max(set(counts), key=lambda n: (counts.count(n), n))
        if self.exact:
            width = max(width, *(len(_trimmed(line.cells)) for line in head))
            return width, [None] * width
        full = [row.words for row in rows if len(row.words) == width]
        spans = [(min(row[n].column for row in full), max(row[n].end for row in full)) for n in range(width)]
        apart = all(a[1] < b[0] + 1 for a, b in zip(spans, spans[1:]))
        return width, spans if apart else [None] * width

    def _unit_line(self, head, width):
        """The line of a head that is units alone, one a column."""
        for line in head[1:]:
            for cells in (_trimmed(line.cells), line.pieces):
                spelled = [unit_of(cell) is not None or cell == "1" for cell in cells if cell]
                known = sum(spelled) == len(spelled) if len(spelled) != width else 2 * sum(spelled) >= width and sum(spelled) > 1
                others = any(item.kind in ("role", "number") and unit_of(cell) is None and cell != "1" for cell in cells for item in lex(cell))  # fmt: skip
                if len(cells) == width and known and not others and (line is head[-1] or all(spelled)):
                    line.pieces = cells
                    return line
        return None

    def _refused(self, meanings, head, columns, unit_line):
        before = len(self.problems)
        named = {}
        modes = len({m.mode for m in meanings if m.mode})
        for number, m in enumerate(meanings):
            if m.ignored:
                continue
            if m.cell is None:
                self.complain(head[-1].words[0], f"no heading over column {number + 1} of {len(meanings)}",
                              "a name for each column; columns set apart by tabs, or by two blanks or more", head[-1].text.strip())  # fmt: skip
                continue
            mode = m.mode or (None if modes > 1 else self.options.mode)
            roles = words.OF_MODE[mode or "cooling"]
            if m.wrong is not None or m.role is None:
                problem, cell = m.wrong or ("a heading without a known meaning", m.cell)
                self.complain(cell, problem, f"{', '.join(roles)}; or say which: --column {str(cell)!r}=ROLE")
            elif m.role not in (*roles, "edb/ewb", "ewb/edb", "speed"):
                self.complain(m.cell, "a heading of no column of such a page", ", ".join(roles))
            elif m.key() in named:
                self.complain(
                    m.cell, "a column given twice", "a value for each in the heading, as in 75 TC, 85 TC; or a heading over both"
                )
            named.setdefault(m.key(), m)
        return len(self.problems) > before

    def _check_plain(self, meanings, unit_line, rows):
        """What is wrong below a head that is not understood."""
        for cell in unit_line.pieces if unit_line is not None else ():
            if unit_of(cell) is None and cell != "1":
                self.complain(cell, "not a unit", "degF, degC, scfm, cfm, MBh, kW, ...; 1 for a ratio")
        self._check_counts(meanings, rows)
        for cell in (cell for row in rows for cell in row.words):
            if not self.numbers.is_value(cell):
                self.complain(cell, "not a number", "a number; - for a printed blank; x past the operating limit")

    def _unfold(self, meanings, unit_line, head, rows):
        modes = list(dict.fromkeys(m.mode for m in meanings if m.mode)) or [None]
        stages = list(dict.fromkeys(m.runs_at() for m in meanings if m.runs_at())) or [None]
        of_heating = (*words.OF_MODE["heating"], "speed")
        self._fill_down(meanings, rows)
        before = len(self.problems)
        self._check_counts(meanings, rows)
        if len(self.problems) > before:
            rows = [row for row in rows if len(row.cells) == len(meanings)]
        for mode, stage in itertools.product(modes, stages):
            chosen = [
                (n, m)
                for n, m in enumerate(meanings)
                if not m.ignored
                and m.mode in (None, mode)
                and (mode != "heating" or m.role in of_heating)
                and (stage is None or m.runs_at() in (None, stage))
            ]
            self._one_table(mode or self._block["mode"], stage, chosen, unit_line, head, rows, len(modes) * len(stages) > 1)

    def _check_counts(self, meanings, rows):
        names = len(meanings)
        for row in rows:
            cells = row.cells
            while len(cells) > names and not cells[-1] and self.separator in ("\t", "cell"):
                cells.pop()  # tabs that a spreadsheet leaves behind
            if self.separator == "cell":
                cells += [Cell("", row.number, len(cells) + n + 1) for n in range(names - len(cells))]
            if len(cells) == names:
                continue
            accepted = "one value for each column; - for a printed blank"
            if self.separator == "," and len(cells) > names:
                accepted = (
                    "one value for each column, with a point before decimals and nothing between thousands, or quotes around it"
                )
            elif len(cells) < names and self.separator is None:
                role = next((m.role for m in meanings if m.is_axis()), "odb")
                accepted += f"; --fill-down {role} for a label that is given once for a block of rows"
            self.complain(
                cells[0], f"{counted(len(cells), 'value')} under {counted(names, 'column')}", accepted, row.text.strip()
            )

    def _fill_down(self, meanings, rows):
        """Labels given once for a block of rows, where its reader says so, or where their cells are merged with the first."""
        asked = self.options.fill_down
        numbers = {m.role: n for n, m in enumerate(meanings) if m.is_axis()}
        self._filled = collections.Counter()
        for role in asked:
            if role not in numbers:
                raise InputError(
                    f"{self.file}: --fill-down {role}: there is no such column; accepted: {', '.join(m.role or '?' for m in meanings)}"
                )
        above, full = {}, None
        for row in rows:
            for number, text in row.merged.items():
                if number < len(row.cells) and not row.cells[number] and text:
                    row.cells[number] = Cell(text, row.number, number + 1)
            missing = len(meanings) - len(row.cells)
            if self.separator is None and missing == 0:
                full = row
            elif self.separator is None and 0 < missing <= len(asked) and full is not None:
                # Labels left out: the row starts where the one above has its next cell, not where it starts.
                first = sorted(numbers[role] for role in asked)[:missing] == list(range(missing))
                if first and row.cells[0].column >= full.cells[missing - 1].end:
                    row.cells = [Cell("", row.number, 1)] * missing + row.cells
            for role in asked:
                number = numbers[role]
                if number >= len(row.cells):
                    continue
                if row.cells[number]:
                    above[role] = row.cells[number]
                elif role in above:
                    row.cells[number] = at_line(above[role], Cell("", row.number, row.cells[number].column))
                    self._filled[role] += 1

    def _one_table(self, mode, stage, chosen, unit_line, head, rows, is_part):
        heating = mode == "heating" or (mode is None and self.options.heating)
        axes = dict(self._block["axes"])
        stage_name, speed = (stage[0], next(m.speed for _, m in chosen if m.speed) if stage[1] else None) if stage else (self._block["stage"], self._block["speed"])  # fmt: skip
        given = {m.role for _, m in chosen if m.is_axis()} | set(axes) | set(self.options.values)
        for pair in ("edb/ewb", "ewb/edb"):
            given |= {"edb", "ewb"} if pair in given else set()
        before = len(self.problems)
        self._bind(chosen, given, axes, heating)
        across, along = self._across(chosen)
        if len(self.problems) > before:
            return
        table = self._table(heating, stage_name, speed, head)
        self._units_of(table, chosen, unit_line, across, axes, heating, rows)
        names = self._names(chosen, axes, across)
        if not table.names:
            table.names, table.unit_line = list(names), unit_line
            table.places = {name: _place_of(name, chosen, axes, across) or head.words[0] for name in names}
        elif set(names) != set(table.names):
            self.complain(head.words[0], "a block with other columns than the first", ", ".join(table.names), ", ".join(names))
            return
        table.says |= self._says
        for _, m in chosen:
            table.says |= m.says
            table.ratio_of_total |= m.ratio_of_total
        for role, number in self._filled.items():
            table.filled[role] = table.filled.get(role, 0) + number
        table.unfolded |= bool(across)
        for point in itertools.product(*along.values()):
            at = dict(zip(along, point))
            for row in rows:
                made = self._row(table, chosen, axes, at, row, is_part)
                if made is not None:
                    table.rows.append((made, row))

    def _table(self, heating, stage, speed, head):
        mode = "heating" if heating else "cooling"
        if stage is None and speed is not None:
            stage = f"{speed.text} {speed.unit or 'Hz'}"
        for table in self.tables:
            if (table.mode, table.stage) == (mode, stage):
                return table
        self.tables.append(Table(self.file, mode, stage, speed, head))
        return self.tables[-1]

    # Values in headings

    def _bind(self, chosen, given, axes, heating):
        """Give the values across that name no axis the one that the page still lacks."""
        needed = ("odb", "airflow") if heating else ("odb", "airflow", "ewb")
        bound = {axis for _, m in chosen for axis in m.axes}
        if "?" in axes:
            value = axes.pop("?")
            may = [a for a in needed if a in value.axes and a not in given | bound]
            if len(may) == 1:
                axes[may[0]] = value
            else:
                self.complain(value.cell, "a value of an axis that is not named", " or ".join(may or value.axes))
        loose = [m for _, m in chosen if m.loose]
        if not loose:
            return
        roles = {m.role for m in loose}
        if roles <= {*_OF_TOTAL} and not heating and all("edb" in v.axes and len(m.loose) == 1 for m in loose for v in m.loose):
            candidates = [["edb"]]
            if self.options.across not in (None, "edb") or "edb" in given | bound:
                candidates = [[]]
        else:
            candidates = []
            for slot in range(len(loose[0].loose)):
                values = [m.loose[slot] for m in loose if slot < len(m.loose)]
                may = [a for a in (*AXES, "edb/ewb", "ewb/edb") if all(a in v.axes for v in values)]
                lacking = [a for a in may if a in needed and a not in given | bound]
                if self.options.across in may:
                    lacking = [self.options.across]
                if any(v.second for v in values):
                    lacking = [a for a in may if "/" in a]
                if not lacking:
                    lacking = [a for a in may if a == "edb" and a not in given | bound]
                candidates.append(lacking)
        for slot, may in enumerate(candidates):
            cell = loose[0].loose[slot].cell
            if len(may) != 1:
                told = " or ".join(may) if may else "values of an axis that the page does not give already"
                problem = "values across that may be of more than one axis" if may else "values across of no axis that is missing"
                self.complain(
                    cell, problem, f"{told}; say which: --across {may[0] if may else 'odb'}, or in a heading above them"
                )
                return
        for m in loose:
            if len(m.loose) < len(candidates):
                self.complain(m.loose[0].cell, "fewer values across than over another column", "as many over each")
                return
            for slot, (axis,) in enumerate(candidates):
                m.axes[axis] = m.loose[slot]
        for _, m in chosen:
            m.loose = []

    def _across(self, chosen):
        """Axes across, with their values; entering dry bulbs of sensible alone stay in its name."""
        along = {}
        for _, m in chosen:
            for axis, value in m.axes.items():
                first = along.setdefault(axis, {}).setdefault((value.text, value.second), value)
                if first.cell is not value.cell:
                    first.cell.also += (value.cell,)
        with_edb = {m.role for _, m in chosen if "edb" in m.axes}
        if with_edb and with_edb <= {*_OF_TOTAL}:
            along.pop("edb")
        for axis in along:
            if any(m.role == axis for _, m in chosen):
                value = next(iter(along[axis].values()))
                self.complain(value.cell, f"{axis} across, beside a column of that name", "one of them")
        return list(along), {axis: list(values.values()) for axis, values in along.items()}

    def _names(self, chosen, axes, across):
        names = []
        own = [m.role for _, m in chosen if m.is_axis()]
        for axis in (*across, *axes):
            names += [a for a in axis.split("/")] if axis not in own else []
        for _, m in chosen:
            if m.role == "speed":
                continue
            value = m.axes.get("edb") if "edb" not in across else None
            names += (
                m.role.split("/") if m.is_axis() and "/" in m.role else [m.role + (f"@{self._plain(value)}" if value else "")]
            )
        order = {axis: n for n, axis in enumerate(AXES)}
        names = list(dict.fromkeys(names))
        added = [n for n in names if n in order and n not in own]
        return sorted(added, key=order.get) + [n for n in names if n not in added]

    def _plain(self, value):
        return self.numbers.value(value.text, "cfm")[0]

    # Units

    def _units_of(self, table, chosen, unit_line, across, axes, heating, rows):
        """The unit of each column, said once: in its heading, in the line of units, behind the numbers or beside the page."""
        found = {}
        for number, m in chosen:
            for role in m.role.split("/") if m.is_axis() and "/" in m.role else [m.role]:
                said = found.setdefault(role, {})
                if unit_line is not None and number < len(unit_line.pieces) and unit_line.pieces[number]:
                    typed = unit_line.pieces[number]
                    said.setdefault("the line of units", at_line(unit_of(typed) or str(typed), typed))
                for unit, cell in m.units:
                    said.setdefault("the heading", at_line(unit, cell))
                for row in rows:
                    if number < len(row.cells) and (unit := self.numbers.unit_in(row.cells[number])):
                        said.setdefault("the cells", at_line(unit, row.cells[number]))
                        break
                if m.usual is not None:
                    said.setdefault("", at_line(m.usual, m.cell))
                said.setdefault("?", m.cell)
        values = {axis: [m.axes[axis] for _, m in chosen if axis in m.axes] for axis in (*across, "edb")}
        for axis in (*across, *axes):
            for role in axis.split("/"):
                said = found.setdefault(role, {})
                for value in values.get(axis) or [axes[axis]]:
                    if value.unit is not None:
                        said.setdefault("the heading", at_line(value.unit, value.cell))
                    said.setdefault("?", value.cell)
        if values["edb"] and "edb" not in across:  # of `sensible@75 °F`
            units = {v.unit for v in values["edb"] if v.unit}
            found.setdefault(
                "edb", {"?": values["edb"][0].cell, **({"the heading": at_line(u, values["edb"][0].cell) for u in units})}
            )
        for unit, cell in self._block["units"]:
            for role in _CAPACITIES:
                if role in found and unit in ("MBh", "Btu/h", "ton", "kW") and set(found[role]) == {"?"}:
                    found[role]["the heading of the block"] = at_line(unit, cell)
        temperatures = {
            str(u) for role in ("odb", "ewb", "edb") for u in [*found.get(role, {}).values(), self.options.units.get(role)] if u in ("degF", "degC")
        }  # fmt: skip
        for role, said in found.items():
            if role == "speed":
                continue
            cell = said.pop("?")
            by_name = {key: unit for key, unit in self.options.units.items() if key.partition("@")[0] == role}
            said |= {f"--unit {key}": at_line(unit_of(unit) or unit, cell) for key, unit in by_name.items()}
            if len(said) > 1:
                said.pop("", None)
            if not said and role in ("odb", "ewb", "edb") and len(temperatures) == 1:
                said["the other temperatures"] = at_line(next(iter(temperatures)), cell)
            if role in ("split", "rise"):
                said = {where: at_line(words.DIFFERENCES.get(unit, unit), unit) for where, unit in said.items()}
            name = next((_named(m, role) for _, m in chosen if m.role == role), role)
            if len({str(unit) for unit in said.values()}) != 1:
                problem = f"no unit for column '{name}'"
                if said:
                    problem = f"column '{name}' has two units: " + ", ".join(f"{unit} by {where}" for where, unit in said.items())
                accepted = "one of them" if said else f"a line of units under the names, or --unit {role}=UNIT"
                self.complain(cell, problem, accepted)
                continue
            unit = next(iter(said.values()))
            if role in table.units and str(table.units[role]) != str(unit):
                self.complain(
                    unit, f"column '{name}' in {unit}, in a block before in {table.units[role]}", "one unit for all blocks"
                )
            table.units.setdefault(role, unit)

    # Rows

    def _row(self, table, chosen, axes, at, row, is_part):
        cells = {number: row.cells[number] for number, _ in chosen if number < len(row.cells)}
        if is_part and not any(cells[n] for n, m in chosen if n in cells and (m.mode or m.stage or m.speed or not m.is_axis())):
            return None  # the other half is longer
        out = {}
        for axis, value in (*axes.items(), *at.items()):
            texts = [value.text] if value.second is None else [value.text, value.second]
            for role, text in zip(axis.split("/"), texts):
                out[role] = at_line(self._number(text, value.cell, role, table), value.cell)
        shared, typo = [], False
        for number, m in chosen:
            if m.role == "speed" or any(
                m.axes.get(axis) and (m.axes[axis].text, m.axes[axis].second) != (v.text, v.second) for axis, v in at.items()
            ):
                continue
            cell, edb = row.cells[number], m.axes.get("edb") if "edb" not in at else None
            if m.is_axis() and "/" in m.role:
                pair = PAIR.fullmatch(MARKS.sub("", cell))
                if not pair:
                    self.complain(cell, "not a pair of dry and wet bulb", "75/63")
                    return None
                for role, text in zip(m.role.split("/"), pair.groups()):
                    out[role] = at_line(text, cell)
                table.pairs = True
                continue
            name = m.role + (f"@{self._plain(edb)}" if edb else "")
            try:
                out[name] = self._cell(cell, name, m, table)
            except _Typo:
                out[name], typo = at_line("-", cell), True
            if at and not m.is_axis() and not set(at) <= set(m.axes):
                shared.append(name)
        table.pairs |= any(v.second for v in (*axes.values(), *at.values()))
        main = out.get("total", out.get("capacity"))
        if main is not None and main in ("-", "x"):
            for name in shared:  # printed once for all values across, one of which is blank
                out[name] = at_line(main, out[name])
        if typo:  # the row is blank to the reader, who looks for what else is wrong
            out |= {name: at_line("-", cell) for name, cell in out.items() if name not in AXES}
        return out if set(out) == set(table.names) else self._lacking(out, table, row)

    def _lacking(self, out, table, row):
        lacking = [name for name in table.names if name not in out]
        self.complain(
            row.words[0], f"nothing for {', '.join(lacking)}", "the same columns at each value across", row.text.strip()
        )

    def _number(self, text, cell, role, table):
        made, _ = self.numbers.value(text, str(table.units.get(role, "")))
        self._check_number(made, cell, role, True)
        return made

    def _cell(self, cell, name, m, table):
        if not cell:
            if self.options.blanks and not m.is_axis():
                return at_line("-", cell)
            self.complain(cell, f"column '{name}': an empty cell",
                          f"a number, - for a printed blank, or --fill-down {name} for a label given once")  # fmt: skip
            return cell
        text, mark = self.numbers.value(cell, str(table.units.get(m.role, "")))
        if mark:
            meant = self.options.marks.get(mark)
            if meant is None:
                self.marks[mark, name] += 1
            elif meant == "dry" and m.role == "sensible" and not text.endswith("d"):
                text += "d"
            elif meant in ("blank", "limit") and not m.is_axis():
                text = "-" if meant == "blank" else "x"
        self._check_number(text, cell, name, m.is_axis(), m.role == "sensible")
        return at_line(text, cell)

    def _check_number(self, text, cell, name, is_axis, may_be_dry=False):
        """Complains of what is no number. Raises _Typo for one of an output: the rest of the page is read on."""
        complaint = self.numbers.complaint(text, name, is_axis, may_be_dry)
        if complaint is None:
            return
        if is_axis:
            self.complain(cell, *complaint)
        else:
            self.typos.add(self.file, cell, *complaint)
            raise _Typo

    # Multiplier rows

    def _read_factors(self, head, lines):
        if not self.tables or not lines:
            self.complain(head[-1].words[0], "multiplier rows that follow no page", "the page first", head[-1].text.strip())
            return
        table = self.tables[-1]
        rows, at = [], 0
        transposed = not (
            len(lines) > 1 and self.sections.kind(lines[0]) == "head" and not any(map(self.numbers.is_value, lines[0].words))
        )
        if transposed:
            for line in lines:
                split = next((n for n, cell in enumerate(line.words) if self.numbers.is_value(cell)), len(line.words))
                rows.append((line.words[:split], line.words[split:]))
        else:
            width = len(lines[-1].words)
            names = lines[0].cells if len(lines[0].words) == width else lines[0].pieces
            units = lines[1].words if len(lines) > 1 and not self.sections.is_row(lines[1]) else None
            at = 2 if units else 1
            if units and len(units) < min(width, len(names)):
                self.complain(lines[1].words[0], "fewer units than names of multiplier rows", "a unit for each, 1 for a factor", lines[1].text.strip())  # fmt: skip
                return
            for number in range(min(width, len(names))):
                label = [names[number]] + ([units[number]] if units and units[number] != "1" else [])
                rows.append((label, [line.words[number] for line in lines[at:] if number < len(line.words)]))
        made = []
        for label, values in rows:
            m = meaning([Cell(" ".join(label), label[0].line, label[0].column)] if label else [], self.options)
            if m.role is None or m.wrong:
                cell = label[0] if label else values[0]
                self.complain(cell, "a multiplier row without a known meaning", "airflow (or edb), total, sensible, power")
                return
            made.append((m, [at_line(self.numbers.value(cell, m.unit or "cfm")[0], cell) for cell in values]))
        axis = next((m for m, _ in made if m.role in ("airflow", "edb")), None)
        outputs = [m for m, _ in made if m.role in ("total", "sensible", "power", "capacity")]
        if axis is None or len(outputs) != len(made) - 1 or len({len(values) for _, values in made}) != 1:
            self.complain(head[-1].words[0], "multiplier rows that are not read", "a row (or column) of airflow or edb, and as long ones of total, sensible, power", head[-1].text.strip())  # fmt: skip
            return
        made.sort(key=lambda pair: pair[0] is not axis)
        unit = axis.unit or axis.usual or self.options.units.get(axis.role) or str(table.units.get(axis.role, ""))
        if not unit and axis.role == "edb":
            unit = str(table.units.get("odb", ""))
        if not unit:
            self.complain(axis.cell, f"no unit for column '{axis.role}'", f"--unit {axis.role}=UNIT")
            return
        names = [("capacity" if table.mode == "heating" and m.role == "total" else m.role) for m, _ in made]
        table.factors[axis.role] = (
            names,
            [unit_of(unit) or unit] + ["1"] * len(outputs),
            [list(row) for row in zip(*(v for _, v in made))],
            head[-1],
        )

    # The whole page

    def _finish(self):
        for table in self.tables:
            if not table.rows:
                continue
            known = {name: table.units[name.partition("@")[0]] for name in table.names}
            table.units = known
            if table.pairs and self.options.indoor is None:
                cell = table.places["edb"]
                self.complain(
                    cell,
                    "pairs of dry and wet bulb",
                    "--indoor path, if one may read between two neighbouring pairs, or --indoor points",
                )
        for (mark, name), number in self.marks.items():
            self.notes.append(
                f"footnote mark {mark} on {counted(number, 'number')} of {name} left out; say what it means: --mark '{mark}=dry', blank, limit or ignore"
            )
        if self.numbers.decimal == ",":
            self.notes.append("commas read as before decimals")
        for line in self.sections.kept:
            self.notes.append(f"line {line.number} kept as a comment: {' '.join(line.text.split())[:60]}")


def _place_of(name, chosen, axes, across):
    role = name.partition("@")[0]
    for _, m in chosen:
        if role in m.role.split("/") and ("@" not in name or m.axes.get("edb") and name.endswith("@" + m.axes["edb"].text)):
            return m.cell
    for axis in (*across, *axes):
        if role in axis.split("/"):
            return next((m.axes[axis].cell for _, m in chosen if axis in m.axes), None) or axes[axis].cell
    return None


def _named(m, role):
    return role + (f"@{m.axes['edb'].text}" if "edb" in m.axes else "")


def _trimmed(cells):
    end = len(cells)
    while end and not cells[end - 1]:
        end -= 1
    return cells[:end]
