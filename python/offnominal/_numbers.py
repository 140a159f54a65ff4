"""How the numbers of a page are printed: marks, blanks, what stands between thousands and before decimals."""

import re

from offnominal import _wording as words
from offnominal._cells import Cell
from offnominal._heading import NUMBER, unit_of

PAIR = re.compile(r"(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)")
MARKS = re.compile(r"(?<=[\d.d])\s*((?:[*\u2020\u2021\u00a7^\u00b9\u00b2\u00b3\u2070-\u2079\u1d43\u1d47]+|\(\d\)|\([a-z]\))+)$")
_ONLY_MARK = re.compile(r"[*\u2020\u2021\u00a7^\u00b9\u00b2\u00b3\u2070-\u2079]+|\(\d\)|\([a-z]\)")
_GROUPED = re.compile(r"[-+]?\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_SPACED = re.compile(r"[-+]?\d{1,3}(?:[ '\u2009\u202f]\d{3})+(?:[.,]\d+)?")
_COMMA = re.compile(r"[-+]?\d+,\d+")


class Numbers:
    """How the numbers of one page are read.

    Attributes
    ----------
    decimal : {".", ","} or None
        What stands before decimals, as far as the page's own numbers say.
    """

    def __init__(self, lines, exact, decimal):
        if not exact:
            self._join_marks(lines)
        self.decimal = decimal or self._decimal_mark(lines)

    @staticmethod
    def _join_marks(lines):
        """A footnote mark set apart by a blank belongs to the number before it."""
        for line in lines:
            for number in range(len(line.cells) - 1, 0, -1):
                before, cell = line.cells[number - 1 : number + 1]
                if _ONLY_MARK.fullmatch(cell) and cell.column == before.end + 1 and re.search(r"\d", before):
                    line.cells[number - 1 : number + 1] = [Cell(f"{before} {cell}", before.line, before.column)]

    @staticmethod
    def _decimal_mark(lines):
        """What stands before decimals, as far as the page's own numbers say: a point, a comma, or None."""
        texts = [cell for line in lines for cell in line.cells if re.search(r"\d", cell)]
        texts = [MARKS.sub("", text) for text in texts]
        points = any(re.search(r"\d\.\d|^\.\d", text) and _is_plain(text) for text in texts)
        commas = [text for text in texts if _COMMA.fullmatch(text)]
        fractions = [text for text in commas if not _GROUPED.fullmatch(text)]
        if points:
            return "."
        return "," if fractions and len(fractions) == len(commas) else None

    def value(self, cell, unit=None):
        """The text of a cell as a file has it and what its footnote mark is; the text as it is where it is no number."""
        text, mark = str(cell), ""
        if (found := MARKS.search(text)) and text not in words.BLANKS:
            text, mark = text[: found.start()].rstrip(), found[1]
        if text.lower() in words.BLANKS:
            return "-", mark
        if re.fullmatch(r"[\d,.' ]+\dd", text):  # dry on the page
            return self.value(Cell(text[:-1], 0, 0), unit)[0] + "d", mark
        if text.startswith(("\u2013", "\u2014")) and text[1:2].isdigit():
            text = "-" + text[1:]
        glued = re.fullmatch(r"([-+]?[\d.,' ]*\d)\s*([^\d\s.,].*)", text)
        if glued and unit_of(glued[2]) is not None and not NUMBER.fullmatch(text):
            text = glued[1]
        if _SPACED.fullmatch(text):
            text = re.sub(r"[ '\u2009\u202f]", "", text)
        if self.decimal == "," and re.fullmatch(r"[-+]?[\d.]*\d,\d+", text):
            if re.fullmatch(r"[-+]?(\d{1,3}(\.\d{3})+|\d+),\d+", text):
                text = text.replace(".", "").replace(",", ".")
        elif self.decimal == "," and re.fullmatch(r"[-+]?\d{1,3}(\.\d{3})+", text):
            text = text.replace(".", "")
        elif _GROUPED.fullmatch(text) and (self.decimal == "." or unit in words.WHOLE):
            text = text.replace(",", "")
        return text, mark

    def unit_in(self, cell):
        """The unit behind the number of a cell, if one stands there."""
        glued = re.fullmatch(r"[-+]?[\d.,' ]*\d\s*([^\d\s.,].*)", MARKS.sub("", cell))
        return unit_of(glued[1]) if glued and not NUMBER.fullmatch(cell) else None

    def is_value(self, text):
        """Whether a cell stands for a number, or for none that is printed."""
        plain = MARKS.sub("", text)
        if plain.lower() in words.BLANKS or plain == "x" or _is_plain(plain) or PAIR.fullmatch(plain):
            return True
        return bool(_COMMA.fullmatch(plain) or _GROUPED.fullmatch(plain) or _SPACED.fullmatch(plain) or self.unit_in(plain))

    def complaint(self, text, name, is_axis, may_be_dry=False):
        """What is wrong with the text of a number, and what would be right; None if nothing is."""
        if text in ("-", "x") and not is_axis:
            return None
        if re.search(r"\s", text):
            return f"column '{name}': a blank inside a cell", "one number a cell"
        if _GROUPED.fullmatch(text) and self.decimal is None:
            return f"column '{name}': a comma that may stand before decimals or between thousands", "--decimal . or --decimal ,"
        if "," in text and re.fullmatch(r"[-+]?[\d,.]+", text):
            return f"column '{name}': a comma in a number", "a point before the decimals; or --decimal , for all of the page"
        if not NUMBER.fullmatch(text) or text[-1:] in "dD" and not may_be_dry:
            return (
                f"column '{name}': not a number",
                "a number" if is_axis else "a number; - for a printed blank; x past the operating limit",
            )
        return None


def _is_plain(text):
    return bool(NUMBER.fullmatch(text))
