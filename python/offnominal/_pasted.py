"""A pasted page as words: what its columns are called, and where its numbers stand."""

import os
import re

from offnominal import _core
from offnominal.errors import InputError

COOLING = ("odb", "airflow", "ewb", "rh", "edb", "pressure", "total", "sensible", "power", "bypass")
HEATING = ("odb", "airflow", "edb", "capacity", "power")
COOLING_EXTRAS = ("split", "latent", "suction_pressure", "liquid_pressure", "amps", "eer", "cop")
HEATING_EXTRAS = ("rise", "cop", "suction_pressure", "liquid_pressure", "amps")

# Headings in print that can mean one role only, and the unit where they name it. Common practice, no source.
_WORDING = {
    "odb": "odb|outdoor db|outdoor dry bulb|outdoor temp|outdoor temperature|outdoor air temp|outdoor air temperature|"
    "outdoor ambient|od db|oat|ambient|ambient temp|ambient temperature|condenser entering air|condenser air",
    "airflow": "airflow|air flow|indoor airflow|cfm|scfm|indoor cfm|evaporator cfm|evap cfm|supply cfm|supply airflow",
    "ewb": "ewb|iwb|entering wb|entering wet bulb|ent wb|indoor wb|indoor wet bulb|id wb|evaporator wb|return wb|"
    "return wet bulb|entering indoor wet bulb",
    "edb": "edb|idb|entering db|entering dry bulb|ent db|indoor db|indoor dry bulb|id db|return db|return dry bulb|"
    "entering indoor dry bulb",
    "rh": "rh|indoor rh|relative humidity|entering rh",
    "total": "total|tc|thc|total cap|total capacity|total cooling|total cooling capacity|tot cap|total heat",
    "sensible": "sensible|sc|shc|sens|sens cap|sensible cap|sensible capacity|sensible cooling|sensible heat|"
    "s/t|shr|sensible heat ratio|sensible ratio|s/t ratio",
    "power": "power|kw|input kw|kw input|power input|input power|input",
    "bypass": "bypass|bf|bypass factor|coil bypass factor",
    "split": "split|delta t|temp split|temperature split",
    "suction_pressure": "suction pressure|suction press|suct press|suction psig|suct psig",
    "liquid_pressure": "liquid pressure|liquid press|liq press|liquid psig|liq psig",
    "amps": "amps|unit amps|outdoor amps|od amps|outdoor unit amps",
    "eer": "eer",
    "cop": "cop",
    "capacity": "heating capacity|heating cap|htg cap|heat capacity",
    "rise": "temperature rise|temp rise",
}
_ROLE_OF = {wording: role for role, wordings in _WORDING.items() for wording in wordings.split("|")}
_UNIT_IN = {
    "cfm": "cfm", "scfm": "scfm", "kw": "kW", "input kw": "kW", "kw input": "kW", "suction psig": "psig", "suct psig": "psig",
    "liquid psig": "psig", "liq psig": "psig", "s/t": "1", "shr": "1", "sensible heat ratio": "1", "sensible ratio": "1",
    "s/t ratio": "1", "amps": "A", "unit amps": "A", "outdoor amps": "A", "od amps": "A", "outdoor unit amps": "A", "bf": "1",
    "bypass": "1", "bypass factor": "1", "coil bypass factor": "1",
}  # fmt: skip
_RATIOS_OF_TOTAL = ("s/t", "shr", "sensible heat ratio", "s/t ratio")
_AMBIGUOUS = {
    "db": "odb or edb", "dry bulb": "odb or edb", "wb": "ewb, or the outdoor wet bulb, which is no role",
    "wet bulb": "ewb, or the outdoor wet bulb, which is no role", "temp": "odb or edb", "temperature": "odb or edb",
    "cap": "total or sensible", "capacity": "total or sensible", "mbh": "total or sensible", "btuh": "total or sensible",
    "cooling capacity": "total or sensible", "cooling": "total or sensible", "suction": "suction_pressure, or a temperature",
    "comp kw": "power, of the compressor: --power compressor", "compressor kw": "power, of the compressor: --power compressor",
    "compressor power": "power, of the compressor: --power compressor", "total kw": "total capacity, or total power",
    "system kw": "power, of the system: --power system", "unit kw": "power; say of what: --power 'outdoor unit'",
}  # fmt: skip
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?d?", re.I)


class _Cell(str):
    """A cell of a pasted page with the place it stands at: `column` counts characters from 1."""

    def __new__(cls, text, column):
        cell = super().__new__(cls, text)
        cell.column = column
        return cell


class _Line:
    """One line of a pasted page: its cells, and its comment."""

    def __init__(self, number, text, separator, file):
        def refuse(column, text):
            return error_at(
                file, number, column, "text behind a closing quote", text, "quotes around the whole of a value, or none"
            )

        self.number, self.text, self.above, self.below = number, text, [], []
        body, mark, comment = text.partition("#")
        self.comment = (mark + comment).rstrip()
        if separator is None:
            self.cells = [_Cell(m.group(), m.start() + 1) for m in re.finditer(r"\S+", body)]
        else:
            self.cells = _separated(body, separator, refuse) if body.strip() else []
        if not any(self.cells):
            self.cells = []


def _separated(text, separator, refuse):
    """The cells of a line, without blanks and quotes around them. `refuse(column, text)` makes the error of what follows a quote."""
    cells, at = [], 0
    while True:
        start = at + len(text[at:]) - len(text[at:].lstrip(" \xa0"))
        quoted = separator != "\t" and text[start : start + 1] == '"'
        close = text.find('"', start + 1) if quoted else -1
        end = text.find(separator, close if close > 0 else at)
        end = len(text) if end < 0 else end
        if close > 0 and text[close + 1 : end].strip(" \xa0"):
            raise refuse(close + 2, text[start:end].strip())
        inner = text[start + 1 : close] if close > 0 else text[at:end]
        cells.append(_Cell(inner.strip(), (start + 1 if close > 0 else start) + 1))
        if end == len(text):
            return cells
        at = end + 1


class Pasted:
    """A pasted page: lines of cells, their names, units and roles."""

    def __init__(self, text, file, options):
        self.file, self.options = file, options
        raw = text.lstrip("\ufeff").splitlines()
        first = next((line for line in raw if line.partition("#")[0].strip()), "")
        self.separator = next((s for s in "\t;," if s in first.partition("#")[0]), None)
        lines = [_Line(number, line, self.separator, file) for number, line in enumerate(raw, 1)]
        lines = self._with_comments(lines)
        if len(lines) < 2:
            raise error_at(file, 0, 0, "no rows", "", "a line of names, a line of units, the rows")
        self.head, rows = lines[0], lines[1:]
        self._name_columns(rows)
        self.rows = self._read_units(rows)
        self._fill_down()
        self._check_rows()

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

    # Names

    def _name_columns(self, rows):
        cells = self.head.cells
        width = max((len(row.cells) for row in rows), default=0)
        if self.separator is None and len(cells) != width:  # names of several words, set apart by two blanks or more
            wide = [_Cell(m.group(), m.start() + 1) for m in re.finditer(r"\S+(?: \S+)*", self.head.text.partition("#")[0])]
            cells = wide if len(wide) == width else cells
        self.ratio_of_total = False
        self.head.cells = cells
        self.names, self.units, self._usual = map(list, zip(*map(self._role, cells)))

    def _role(self, cell):
        """The role of a heading, with its `@75`; the unit it states; and the unit that the wording has where none is stated."""
        accepted = self.options.roles
        given = self.options.columns.get(str(cell))
        if given is not None:
            return given, None, None
        if cell.partition("@")[0] in accepted:
            return str(cell), None, None
        match = re.fullmatch(r"(.*?)(?:\s*[(\[]\s*([^)\]]*?)\s*[)\]])?", cell)
        name, unit = match[1], match[2]
        name, at, value = (part.strip() for part in name.partition("@"))
        word = re.sub(r"[\s_.]+", " ", name.lower()).strip()
        last = name.split()[-1] if name.split() else ""
        if word not in _ROLE_OF and word not in _AMBIGUOUS and unit is None and last in _core.units:
            word, unit = word[: -len(last)].strip(), last  # `Total MBh`
        role = _ROLE_OF.get(word)
        if role is None or role not in accepted or (at and not _NUMBER.fullmatch(value)):
            if word in _AMBIGUOUS:
                problem = f"a heading that may mean more than one thing ({_AMBIGUOUS[word]})"
            else:
                problem = "a heading without a known meaning"
            raise self.error(self.head, cell, problem, f"{', '.join(accepted)}; or say which: --column {str(cell)!r}=ROLE")
        self.ratio_of_total |= word in _RATIOS_OF_TOTAL
        return role + (f"@{value}" if at else ""), unit, _UNIT_IN.get(word)

    # Units

    def _read_units(self, rows):
        line = rows[0] if any(_is_word(cell) for cell in rows[0].cells) else None
        if line is not None and len(line.cells) != len(self.names):
            raise self.error(line, line.cells[0], f"{counted(len(line.cells), 'unit')} under {counted(len(self.names), 'column')}",
                             "one unit under each column; 1 for a ratio", line.text.strip())  # fmt: skip
        self.unit_line = line
        for number, name in enumerate(self.names):
            role = name.partition("@")[0]
            said = {"the line of units": str(line.cells[number])} if line is not None else {}
            said |= {f"--unit {key}": unit for key, unit in self.options.units.items() if key in (name, role)}
            if self.units[number] is not None:
                said["the heading"] = self.units[number]
            if not said and self._usual[number] is not None:
                said[""] = self._usual[number]
            if len({*said.values()}) != 1:
                problem = f"no unit for column '{name}'"
                if said:
                    problem = f"column '{name}' has two units: " + ", ".join(f"{unit} by {where}" for where, unit in said.items())
                accepted = "one of them" if said else f"a line of units under the names, or --unit {role}=UNIT"
                raise self.error(self.head, self.head.cells[number], problem, accepted)
            self.units[number] = next(iter(said.values()))
        return rows[1:] if line is not None else rows

    # Rows

    def _fill_down(self):
        self.filled = {}
        asked = self.options.fill_down
        for role in asked:
            if role not in self.names:
                raise InputError(f"{self.file}: --fill-down {role}: there is no such column; accepted: {', '.join(self.names)}")
        above, full = {}, None
        for row in self.rows:
            missing = len(self.names) - len(row.cells)
            if self.separator is None and missing == 0:
                full = row
            elif self.separator is None and 0 < missing <= len(asked) and full is not None:
                # Labels left out: the row starts where the one above has its next cell, not where it starts.
                first = sorted(map(self.names.index, asked))[:missing] == list(range(missing))
                if first and row.cells[0].column >= full.cells[missing - 1].column + len(full.cells[missing - 1]):
                    row.cells = [_Cell("", 1)] * missing + row.cells
            for role in asked:
                number = self.names.index(role)
                if number >= len(row.cells):
                    continue
                if row.cells[number]:
                    above[role] = row.cells[number]
                elif role in above:
                    row.cells[number] = above[role]
                    self.filled[role] = self.filled.get(role, 0) + 1

    def _check_rows(self):
        for row in self.rows:
            cells = row.cells
            while len(cells) > len(self.names) and not cells[-1] and self.separator == "\t":
                cells.pop()  # tabs that a spreadsheet leaves behind
            if len(cells) != len(self.names):
                comma = self.separator == "," and len(cells) > len(self.names)
                accepted = "one value for each column; - for a printed blank"
                if comma:
                    accepted = "one value for each column, with a point before decimals and nothing between thousands"
                elif len(cells) < len(self.names) and self.separator is None:
                    accepted += f"; --fill-down {self.names[0]} for a label that is given once for a block of rows"
                raise self.error(row, cells[0], f"{counted(len(cells), 'value')} under {counted(len(self.names), 'column')}",
                                 accepted, row.text.strip())  # fmt: skip
            for name, cell in zip(self.names, cells):
                if not cell:
                    raise self.error(row, cell, f"column '{name}': an empty cell",
                                     f"a number, - for a printed blank, or --fill-down {name} for a label given once")  # fmt: skip
                if re.search(r"\s", cell):
                    raise self.error(row, cell, f"column '{name}': a blank inside a cell", "one number a cell")

    def error(self, line, cell, problem, accepted, text=None):
        return error_at(self.file, line.number, cell.column, problem, str(cell) if text is None else text, accepted)

    def block(self, indent):
        """The lines of the table, each with the line of the page that it comes from and where its cells stand in both."""
        lines = [(None, [*self.names]), (self.unit_line, [*self.units])] + [(row, row.cells) for row in self.rows]
        lines[0] = (self.head, lines[0][1])
        widths = [max(len(cells[i]) for _, cells in lines) for i in range(len(self.names))]
        for source, cells in lines:
            text, starts = " " * indent, []
            for cell, width in zip(cells, widths):
                starts.append(len(text) + 1)
                text += cell.ljust(width + 2)
            comment = source.comment if source is not None else ""
            if source is self.head or source is None:
                columns = [cell.column for cell in self.head.cells]
                columns += columns[-1:] * (len(cells) - len(columns))
            else:
                columns = [cell.column for cell in source.cells]
            if source is not self.head and source is not None:
                yield from ((" " * indent + above, None) for above in source.above)
            yield (text + comment).rstrip(), (self.file, (source or self.head).number, list(zip(starts, columns)))
        yield from ((" " * indent + below, None) for below in lines[-1][0].below)


class Options:
    """What is said of a page beside it."""

    def __init__(self, frost, units, columns, fill_down):
        self.roles = (*HEATING, *HEATING_EXTRAS) if frost else (*COOLING, *COOLING_EXTRAS)
        self.units, self.columns, self.fill_down = dict(units), dict(columns), tuple(fill_down)
        for what, keys in (("column", self.columns.values()), ("unit", self.units), ("fill-down", self.fill_down)):
            for key in keys:
                if key.partition("@")[0] not in self.roles:
                    raise InputError(f"--{what} {key}: not a role; accepted: {', '.join(self.roles)}")


def read(page, options):
    """The page of a file, or of a text of several lines."""
    if isinstance(page, str) and "\n" in page:
        return Pasted(page, "<pasted>", options)
    path = os.fspath(page)
    try:
        with open(path, encoding="utf-8") as file:
            return Pasted(file.read(), path, options)
    except UnicodeDecodeError:
        raise error_at(path, 0, 0, "not valid UTF-8", "", "plain text, saved as UTF-8") from None


def error_at(file, line, column, problem, text, accepted):
    """The error of the reader's making, at another place."""
    message = _core.error_text(file, line, column, problem, text, accepted)
    return InputError(message, file, line, column, problem, text, accepted)


def _is_word(cell):
    """Whether a cell stands for no number: then its line is one of units."""
    return bool(re.search(r"[^\W\d_]|%|°", cell)) and not _NUMBER.fullmatch(cell) and cell != "x"


def counted(number, what):
    """`1 row`, `2 rows`."""
    return f"{number} {what}{'' if number == 1 else 's'}"
