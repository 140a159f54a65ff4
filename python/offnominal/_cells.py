"""Lines of cells: of a text, of a sheet, of a data frame. Nothing here knows what a cell means."""

import datetime
import errno
import os
import re

from offnominal import _texts
from offnominal._texts import error_at
from offnominal._write import MOST_BYTES
from offnominal.errors import InputError

# Characters of print that stand for others, one for one: columns of the text stay where they are.
_PLAIN = str.maketrans({"\xa0": " ", "\u2007": " ", "\u3000": " ", "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u00ba": "\u00b0",
                        "\u02da": "\u00b0", "\u00d7": "x", "\f": " "})  # fmt: skip
_NO_LETTER = re.compile(r"[\W\d_]*").fullmatch
SHEETS = (".xlsx", ".xlsm")
_MOST_LINE = 20_000  # characters of one line, likewise
_MOST_TEXT = 1 << 20  # characters: many times the longest page there is
_MOST_TOLD = 40  # problems whose text an error gives: whose page has more mends these first
_MOST_LINES, _MOST_CELLS = 30_000, 100_000  # empty ones too, which take as long to look at
_MOST_WORDS, _MOST_NAMES = 30_000, 4_000  # of them those with a letter, which are tried as headings: it is they that take time


class Cell(str):
    """A cell with the place it stands at: `line`, and `column` in characters, both from 1. Of a sheet columns are its columns.

    `also` are other cells that say the same: a value that heads several columns.
    """

    line: int
    column: int
    also: tuple

    def __new__(cls, text, line, column, also=()):
        cell = super().__new__(cls, text)
        cell.line, cell.column, cell.also = line, column, also
        return cell

    @property
    def end(self):
        """The column after the last character."""
        return self.column + len(self)


class Line:
    """One line: its cells, its comment, and whether cells are set apart by blanks alone.

    Attributes
    ----------
    cells : list of Cell
        Set apart by a separator; or, in a line of blanks, each word.
    pieces : list of Cell
        In a line of blanks, what two blanks or more set apart; otherwise the cells that are not empty.
    """

    def __init__(self, number, text, cells, pieces, comment=""):
        self.number, self.text, self.cells, self.pieces, self.comment = number, text, cells, pieces, comment
        self.above, self.below, self.kind = [], [], None
        self.merged = {}  # number of a cell -> its text, of cells merged with one to the left or above

    @property
    def words(self):
        """The cells that are not empty."""
        return [cell for cell in self.cells if cell]

    def key(self):
        """What a repeated line has in common with the first."""
        return tuple(" ".join(cell.split()).lower() for cell in self.pieces)


class Problems(list):
    """All that is wrong, told at once."""

    def add(self, file, cell, problem, accepted, text=None):
        """One more, at a cell."""
        where = (cell.line, cell.column) if isinstance(cell, Cell) else cell
        self.append(error_at(file, *where, problem, str(cell) if text is None else text, accepted))

    def tell(self):
        """Raise what there is.

        Raises
        ------
        InputError
            Of the first, with the text of the first forty and how many more there are; all of them as `problems`.
        """
        unique = list({str(error): error for error in self}.values())
        if not unique:
            return
        unique.sort(key=lambda error: (error.line == 0, error.line, error.column))
        first = unique[0]
        told = [str(error) for error in unique[:_MOST_TOLD]]
        if len(unique) > len(told):
            told.append(f"and {len(unique) - len(told)} more")
        error = InputError("\n".join(told), first.file, first.line, first.column, first.problem, first.text, first.accepted)
        error.problems = tuple(unique)
        raise error


def lines_of(page):
    """The lines of a page and the name of where it stands.

    Parameters
    ----------
    page : str, os.PathLike or pandas.DataFrame
        Text of several lines, a file of text, a spreadsheet, or a frame.

    Returns
    -------
    tuple of (str, list of Line, str or None)
        Name, lines, and the separator: None for blanks, ``"cell"`` for a sheet or a frame.

    Raises
    ------
    InputError
        For a file that is no text, or a sheet that is not there.
    """
    if hasattr(page, "columns") and hasattr(page, "itertuples"):
        lines = _of_frame(page)
        for line in lines:
            for cell in line.cells:
                _texts.check(cell, "<frame>", cell.line, cell.column)
        return "<frame>", lines, "cell"
    if isinstance(page, str) and "\n" in page:
        _texts.check(page, "<pasted>")
        return "<pasted>", *_of_text(page, "<pasted>")
    _texts.path_of(page)  # is one
    path = os.fsdecode(page)
    name = _texts.visible(path)
    file, sheet = re.fullmatch(r"(.*?)(?:\[([^\]]*)\])?", path, re.S).groups()
    if file.lower().endswith(SHEETS):
        return name, _of_sheet(file, sheet), "cell"
    try:
        with open(path, encoding="utf-8") as opened:
            text = opened.read(_MOST_TEXT + 1)
    except OSError as error:
        if error.errno != errno.ENAMETOOLONG:
            raise
        accepted = "the path of a file, or a text of several lines"
        raise error_at("", 0, 0, "a name longer than any of a file", path, accepted) from None
    except UnicodeDecodeError:
        raise error_at(path, 0, 0, "not valid UTF-8", "", "plain text, saved as UTF-8") from None
    return name, *_of_text(text, name)


# Text


def _of_text(text, file):
    if len(text) > _MOST_TEXT:
        raise error_at(file, 0, 0, "larger than a page is", "", f"{_MOST_TEXT} characters at most; one page at a time")
    raw = re.split(r"\r\n|\r|\n", text.lstrip("\ufeff"))
    if len(raw) > _MOST_LINES:
        most = f"{_MOST_LINES} at most, empty ones too; one page at a time"
        raise error_at(file, _MOST_LINES + 1, 0, "more lines than a page has", "", most)
    for number, line in enumerate(raw, 1):
        if len(line) > _MOST_LINE:
            raise error_at(file, number, 0, "a line longer than any of a page", "", f"{_MOST_LINE} characters at most")
    _check_words(raw, file)
    bodies = [line.partition("#")[0] for line in raw]
    separator = _separator(bodies)
    if separator and len(bodies) + sum(body.count(separator) for body in bodies) > _MOST_CELLS:
        raise error_at(file, 0, 0, "more cells than a page has", "", f"{_MOST_CELLS} at most, empty ones too; one page at a time")
    problems, lines = Problems(), []
    for number, (line, body) in enumerate(zip(raw, bodies), 1):
        comment = line[len(body) :].rstrip()
        plain = body.translate(_PLAIN)
        if separator is None:
            cells = [_clean(m.group(), number, m.start() + 1) for m in re.finditer(r"\S+", plain)]
            pieces = [_clean(m.group(), number, m.start() + 1) for m in re.finditer(r"\S+(?: \S+)*", plain)]
        else:
            cells = _separated(plain, separator, number, file, problems) if plain.strip() else []
            pieces = [cell for cell in cells if cell]
        if not any(cells):
            cells = pieces = []
        lines.append(Line(number, line, cells, pieces, comment))
    problems.tell()
    return lines, separator


_APART = str.maketrans(",;", "  ")


def _check_words(lines, file):
    words = names = 0
    for number, line in enumerate(lines, 1):
        found = line.translate(_APART).split()
        words += len(found)
        names += sum(not _NO_LETTER(word) for word in found)
        if words > _MOST_WORDS or names > _MOST_NAMES:
            most = f"{_MOST_WORDS} at most, of them {_MOST_NAMES} that are no numbers; one page at a time"
            raise error_at(file, number, 0, "more words than a page has", "", most)


def _clean(text, line, column):
    """A cell without the soft hyphens that a document leaves where it might have broken a word."""
    return Cell(text.replace("\xad", "").replace("\u200b", ""), line, column)


def _separator(bodies):
    """What sets the cells of a page apart: the separator with which the cells of most lines of numbers have no blank inside."""
    numbers = [body for body in bodies if len(re.findall(r"\d+", body)) > 1]
    if not numbers:
        numbers = [body for body in bodies if body.strip()]
    for separator in "\t;,":
        having = [body for body in numbers if separator in body]
        if 2 * len(having) < len(numbers) or not having:
            continue
        if separator == "\t":
            return separator
        whole = [b for b in having if '"' in b or all(len(cell.split()) < 2 for cell in b.split(separator))]
        if 2 * len(whole) >= len(having):
            return separator
    return None


def _separated(text, separator, number, file, problems):
    """The cells of a line, without blanks and quotes around them."""
    cells, at = [], 0
    while True:
        start = at + len(text[at:]) - len(text[at:].lstrip(" "))
        quoted = separator != "\t" and text[start : start + 1] == '"'
        close = text.find('"', start + 1) if quoted else -1
        end = text.find(separator, close if close > 0 else at)
        end = len(text) if end < 0 else end
        if close > 0 and text[close + 1 : end].strip():
            problems.add(file, (number, close + 2), "text behind a closing quote", "quotes around the whole of a value, or none",
                         text[start:end].strip())  # fmt: skip
        inner = text[start + 1 : close] if close > 0 else text[at:end]
        cells.append(_clean(inner.strip(), number, (start + 1 if close > 0 else start) + 1))
        if end == len(text):
            return cells
        at = end + 1


# Sheets and frames


def _line_of_values(number, values):
    cells = [Cell(text, number, column) for column, text in enumerate(values, 1)]
    return Line(number, " ".join(values), cells if any(cells) else [], [cell for cell in cells if cell])


def _shown(value, form=""):
    """The text of a value: as its number format shows it, if that says how many decimals."""
    if value is None or value != value:
        return ""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        if isinstance(value, (datetime.date, datetime.time)):
            return str(value)  # a sheet took 75/63 or 1-2 for a date: no number, and refused as what it is
        return " ".join(str(value).translate(_PLAIN).replace("\xad", "").split())
    places = re.fullmatch(r"[#,]*0(?:\.(0+))?(?:_\))?(%?)", form.partition(";")[0])
    if places:
        return f"{value * (100 if places[2] else 1):.{len(places[1] or '')}f}{places[2]}"
    return f"{value:.15g}"


_FEWER = f"{_MOST_CELLS:,} cells at most, from the first to the last that is filled"


def _check_book(opened, file):
    """That a book is none of a few bytes which fill the memory: unpacked, or where an area is merged."""
    import xml.etree.ElementTree
    import zipfile

    import openpyxl.utils  # type: ignore

    merged = 0
    with zipfile.ZipFile(opened) as book:
        if sum(part.file_size for part in book.infolist()) > MOST_BYTES:
            raise error_at(file, 0, 0, "a book that is larger than a page is", "", f"{MOST_BYTES:,} bytes at most, unpacked")
        for part in book.namelist():
            if not part.endswith(".xml"):
                continue
            with book.open(part) as text:
                for _, element in xml.etree.ElementTree.iterparse(text):
                    if element.tag.endswith("mergeCell"):
                        left, top, right, bottom = openpyxl.utils.range_boundaries(element.get("ref"))
                        merged += (abs(right - left) + 1) * (abs(bottom - top) + 1)
                    element.clear()
    if merged > _MOST_CELLS:
        raise error_at(file, 0, 0, "merged areas of too many cells", f"{merged:,}", _FEWER)
    opened.seek(0)


def _of_sheet(file, sheet):
    try:
        import openpyxl  # type: ignore
    except ImportError:
        raise error_at(file, 0, 0, "a spreadsheet is read by openpyxl, which is not installed", "", "pip install openpyxl, or the sheet saved as CSV") from None  # fmt: skip
    with open(file, "rb") as opened:
        try:
            _check_book(opened, file)
            book = openpyxl.load_workbook(opened, data_only=True)
        except (InputError, MemoryError):
            raise
        except Exception:
            raise error_at(file, 0, 0, "not a spreadsheet that openpyxl can read", "", "an .xlsx file") from None
    names = [found.title for found in book.worksheets]
    if sheet is None and len(names) > 1:
        raise error_at(file, 0, 0, "a book of several sheets", "", " or ".join(f"{file}[{name}]" for name in names))
    if sheet is not None and sheet not in names:
        raise error_at(file, 0, 0, "no such sheet", sheet, ", ".join(names))
    page = book[sheet] if sheet is not None else book.worksheets[0]
    if page.max_row * page.max_column > _MOST_CELLS:
        raise error_at(file, 0, 0, "a sheet of too many cells", f"{page.max_row} by {page.max_column}", _FEWER)
    lines = []
    for number, row in enumerate(page.iter_rows(), 1):
        lines.append(_line_of_values(number, [_shown(cell.value, cell.number_format) for cell in row]))
    _check_words((line.text for line in lines), file)
    for area in page.merged_cells.ranges:
        text = _shown(page.cell(area.min_row, area.min_col).value)
        for row in range(area.min_row, area.max_row + 1):
            for column in range(area.min_col, area.max_col + 1):
                lines[row - 1].merged[column - 1] = text
    return lines


def _of_frame(frame):
    """Headings, a line for each of their levels; then the rows, with whatever the index names in front."""
    if any(name is not None for name in frame.index.names):
        frame = frame.reset_index()
    labels = [label if isinstance(label, tuple) else (label,) for label in frame.columns]
    depth = max(map(len, labels), default=1)
    lines = [
        _line_of_values(level + 1, [_shown(label[level]) if level < len(label) else "" for label in labels])
        for level in range(depth)
    ]
    columns = [
        _in_one_step([_shown(v.item() if hasattr(v, "item") else v) for v in frame.iloc[:, n]]) for n in range(len(labels))
    ]
    for number, row in enumerate(zip(*columns), depth + 1):
        lines.append(_line_of_values(number, row))
    return lines


def _in_one_step(texts):
    """Numbers of a column with as many decimals as that of them which has most: a number forgets the zeros it was printed with."""
    plain = [re.fullmatch(r"-?\d+(?:\.(\d+))?", text) for text in texts]
    places = max((len(found[1] or "") for found in plain if found), default=0)
    return [f"{float(text):.{places}f}" if found else text for text, found in zip(texts, plain)]
