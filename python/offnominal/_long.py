"""A table in long form, with the place that each of its cells was pasted at."""

from offnominal._cells import Cell
from offnominal._wording import AXES


class Table:
    """The nodes of one stage in one mode.

    Attributes
    ----------
    rows : list of (dict of str to Cell, Line)
        By name of column, and the line that the row was pasted in.
    units : dict of str to Cell
    factors : dict of str to (list of str, list of str, list of list of Cell, Line)
        Multiplier rows by axis: names, units, rows.
    """

    def __init__(self, file, mode, stage, speed, head):
        self.file, self.mode, self.stage, self.speed, self.head = file, mode, stage, speed, head
        self.names, self.places, self.units, self.rows, self.factors = [], {}, {}, [], {}
        self.filled, self.says, self.ratio_of_total, self.unit_line = {}, {}, False, None
        self.pairs, self.unfolded = False, False

    def block(self, indent):
        """The lines of the table, each with the places its cells come from."""
        names = {name: at_line(name, self.places[name]) for name in self.names}
        lines = [(self.head, names, self.head), (self.unit_line, self.units, self.unit_line)]
        lines += [(line, cells, line) for cells, line in self.rows]
        yield from _aligned(self.file, self.names, lines, indent)

    def factor_block(self, axis, indent):
        """The same of the multiplier rows along an axis."""
        names, units, rows, head = self.factors[axis]
        keyed = [(None, dict(zip(names, (Cell(n, head.number, 1) for n in names))), head)]
        keyed += [(None, dict(zip(names, (Cell(u, head.number, 1) for u in units))), head)]
        yield from _aligned(self.file, names, keyed + [(None, dict(zip(names, row)), head) for row in rows], indent)


def at_line(text, cell):
    """A text that comes from where a cell stands."""
    return Cell(text, cell.line, cell.column, cell.also)


def _aligned(file, names, lines, indent):
    widths = {name: max(len(cells[name]) for _, cells, _ in lines) for name in names}
    told = set()
    for number, (source, cells, _) in enumerate(lines):
        text, origin, also = " " * indent, [], {}
        for name in names:
            origin.append((len(text) + 1, cells[name].line, cells[name].column))
            if cells[name].also:
                also[len(origin) - 1] = [(cell.line, cell.column) for cell in cells[name].also]
            text += cells[name].ljust(widths[name] + 2)
        first = source is not None and id(source) not in told
        told.add(id(source))
        if first and number > 0:
            yield from ((" " * indent + above, None) for above in source.above)
        before = next((n for n, name in enumerate(names) if name.partition("@")[0] not in AXES), 0)
        # Of a row: how many axes stand before its outputs, if they all do.
        axes = before if number > 1 and not any(name in AXES for name in names[before:]) else 0
        yield (text + (source.comment if first else "")).rstrip(), (file, origin, origin[before], axes, also)
    last = lines[-1][0]
    yield from ((" " * indent + below, None) for below in (last.below if last is not None else ()))
