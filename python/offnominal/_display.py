"""How values show themselves: as HTML in a notebook, in the style of the record's page, and as text at the prompt."""

import re

from offnominal import _units

_DECIMALS = {
    "Btu/h": 0,
    "W": 0,
    "cfm": 0,
    "lb/h": 0,
    "1": 3,
    "m3/s": 4,
    "kg/s": 4,
    "lb/lb": 5,
    "kg/kg": 5,
    "psia": 2,
    "Pa": 0,
    "J/kg": 0,
}


def style():
    """str: the rules that pages and all displays share."""
    return file_of_package("style.css")


def page_style():
    """str: the rules of a page of its own, such as a record's."""
    return file_of_package("style.css") + file_of_package("page.css")


def file_of_package(name):
    """str: a file that comes with the package."""
    from importlib.resources import files  # with what it imports, a fifth of `import offnominal`

    return files("offnominal").joinpath(name).read_text(encoding="utf-8")


def escaped(text):
    """Text as it stands in HTML, where nothing in it is markup."""
    from html import escape

    return escape(text)


def number(x, unit="", digits=None):
    """A number as a reader likes it, with the decimals of its unit and its thousands set apart; a dash where there is none."""
    if x is None or x != x:
        return "–"
    unit = "" if unit == "1" else _units.spoken(unit)
    if digits is None:
        digits = _DECIMALS.get(unit or "1", 1)
        digits += digits == 0 and abs(x) < 100
    return f"{x:,.{digits}f}{' ' if unit else ''}{unit}".replace(",", "\u202f")


def percent(x, digits=1):
    """A share."""
    return f"{100 * x:.{digits}f} %"


def words(name):
    """A name as it is read aloud."""
    return name.replace("_", " ")


def block(title, *parts):
    """A display of its own."""
    return f'<div class="offnominal"><style>{style()}</style><p class="title">{escaped(title)}</p>{"".join(parts)}</div>'


def line(text):
    """A small line."""
    return f'<p class="small">{escaped(text)}</p>' if text else ""


def verdict(first, *more):
    """What is to be read first."""
    rest = "".join(f"<p>{escaped(text)}</p>" for text in more)
    return f'<div class="verdict"><strong>{escaped(first)}</strong>{rest}</div>'


def table(headings, rows, caption=""):
    """Rows of texts under headings; nothing where there are no rows."""
    if not rows:
        return ""
    left = [' class="words"' if is_words else "" for is_words in _of_words(headings, rows)]
    head = "".join(f'<th scope="col"{side}>{escaped(one)}</th>' for one, side in zip(headings, left))
    body = "".join(
        "<tr>" + "".join(f"<td{side}>{escaped(str(cell))}</td>" for cell, side in zip(row, left)) + "</tr>" for row in rows
    )
    above = f"<caption>{escaped(caption)}</caption>" if caption else ""
    return f"<table>{above}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def listed(heading, items):
    """A list under a heading; nothing where it is empty."""
    return f"<p>{escaped(heading)}</p><ul>{''.join(f'<li>{escaped(x)}</li>' for x in items)}</ul>" if items else ""


def _of_words(headings, rows):
    """Whether each column holds words, not numbers."""
    return [any(re.match("[A-Za-z]", str(row[k])) for row in rows) for k in range(len(headings))]


def told(answer):
    """Rows of what an answer tells: name, and number with its unit."""
    numbers = [(name, getattr(answer, name), unit) for name, unit in answer.fields.items()]
    return [(words(name), number(value, unit)) for name, value, unit in numbers if value is not None]


def text_of(answer):
    """What an answer tells, as text, with its notes."""
    rows = [
        (name, value.replace("\u202f", "")) for name, value in told(answer)
    ]  # without what sets thousands apart: to be pasted
    widest = max(len(name) for name, _ in rows)
    notes = ["notes", *(f"  - {note}" for note in answer.notes)] if answer.notes else []
    caution = "(an estimate, which certifies nothing and must never control equipment)"
    return "\n".join(["delivered", *(f"  {name:<{widest}}  {value}" for name, value in rows), *notes, caution]) + "\n"


def text_table(headings, rows):
    """Rows of texts under headings, as text: columns of numbers to the right, of words to the left.

    Thousands stand together: what is set apart by a thin space cannot be pasted as a number.
    """
    cells = [list(headings), *([str(cell).replace("\u202f", "") for cell in row] for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells)]
    pad = [str.ljust if is_words else str.rjust for is_words in _of_words(headings, cells[1:])]
    return "\n".join("  ".join(pad[k](row[k], widths[k]) for k in range(len(row))).rstrip() for row in cells)


def evidence(proof, mode):
    """Rows of everything that a proof compares: of what, measured over expected, its expanded uncertainty.

    Parameters
    ----------
    proof : dict
        As `Proof.to_dict`.
    mode : {"cooling", "heating"}
    """
    if proof["ratio"] is None:
        return []
    split = "rise" if mode == "heating" else "split"
    rows = [(name, proof[f"{of}ratio"], proof[f"{of}ratio_u"]) for name, of in (("total", ""), ("sensible", "sensible_"))]
    rows.append((f"{split}, over the airflow's uncertainty", proof["split_ratio"], proof["split_ratio_u"]))
    rows += [(name, proof[f"{name}_ratio"], proof[f"{name}_ratio_u"]) for name in ("power", "efficiency")]
    return [(name, f"{ratio:.3f}", f"{2 * u:.3f}") for name, ratio, u in rows if ratio is not None]


def shares(proof):
    """What a ratio's uncertainty is made of, largest first, from half a percent up: each the cells of its row, and the length of
    its bar in percent."""
    if proof["ratio"] is None:
        return []
    rows = [(words(line["input"]), line["ratio"], line["share"]) for line in proof["budget"]]
    rows.append(("page, factors, altitude, tolerance", proof["expected_u"], proof["expected_share"]))
    rows.sort(key=lambda row: -row[2])
    return [
        {"cells": (name, percent(moves, 2), percent(share, 0)), "bar": f"{100 * share:.1f}"}
        for name, moves, share in rows
        if share >= 0.005
    ]


class _Shown(list[dict]):
    """A list that shows itself as a table: its ``NAME``, ``HEADINGS`` and ``rows()``."""

    def __repr__(self):
        return text_table(self.HEADINGS, self.rows())

    def _repr_html_(self):
        return block(self.NAME, table(self.HEADINGS, self.rows()))


class Ledger(_Shown):
    """The steps behind an expected number, in their order: a list of dicts, which shows itself as a table.

    Each has ``step`` (its word), ``of`` (what it changes: ``"total"``, ``"sensible"``, ``"power"``, ...), ``factor``, ``before`` and
    ``after``.
    """

    NAME, HEADINGS = "ledger", ("step", "factor", "total", "sensible", "power")

    def rows(self):
        """The cells of a table, under ``HEADINGS``: a row for each step, empty where it touches nothing."""
        rows, kinds = [], []
        for step in self:
            if step["of"] not in self.HEADINGS:
                continue
            at = self.HEADINGS.index(step["of"])
            if not rows or kinds[-1] != step["step"] or rows[-1][at]:
                rows.append([words(step["step"]), "", "", "", ""])
                kinds.append(step["step"])
            rows[-1][at] = number(step["after"], digits=0)
            if step["factor"] != 1.0 and step["of"] == "total":
                rows[-1][1] = f"{step['factor']:.4f}"
        return rows


class Envelope(_Shown):
    """The published region of a system: a list with a dict for each page, which shows itself as a table."""

    NAME, HEADINGS = "envelope", ("page", "match", "axes", "nodes", "blank")

    def rows(self):
        """The cells of a table, under ``HEADINGS``."""
        rows = []
        for page in self:
            axes = ", ".join(f"{words(name)} {x[0]:g} to {x[-1]:g}" for name, x in page["axes"].items())
            rows.append((*page_of(page), axes, page["nodes"], page["blanks"]))
        return rows


def page_of(page):
    """How a page of an envelope is called, and its match."""
    heating = f", {page['frost']} heating" if page["mode"] == "heating" else ""
    return f"{page['stage']}{heating}", page["match"]
