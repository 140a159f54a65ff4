"""A page as sections, each a head and its rows; what stands between them is a heading of a block, or prose."""

import re

from offnominal._cells import Problems
from offnominal._heading import lex, meaning, unit_of
from offnominal._wording import AXES

_FURNITURE = re.compile(
    r"(?:page\s+)?-?\s*\d+\s*-?|page\s+\d+\s*(?:of|/)\s*\d+|\(?\s*cont(?:inue)?d?\.?(?:'d)?\s*\)?|\(continued\)", re.I
)


class Sections:
    """The sections of a page.

    Attributes
    ----------
    found : list of (list of Line, list of Line)
        Heads and rows, in their order.
    kept : list of Line
        Lines of prose, kept as comments.
    notes : list of str
    problems : Problems
    """

    def __init__(self, file, lines, exact, numbers, options):
        self.lines, self.exact, self.numbers, self.options = lines, exact, numbers, options
        self.kept, self.notes, self.problems, self._file = [], [], Problems(), file
        self._place = {id(line): number for number, line in enumerate(lines)}
        self.found = self._sections()

    def is_row(self, line):
        """Whether a line is numbers, but for what is mistyped."""
        cells = line.words
        others = [cell for cell in cells if not self.numbers.is_value(cell)]
        if len(cells) < 2 or 2 * len(others) >= len(cells):
            return False
        return all(
            any(item.kind == "unknown" for item in lex(cell)) or all(item.kind == "number" for item in lex(cell))
            for cell in others
        )

    def _sections(self):
        """Head, rows and whether the head is one that stood before."""
        heads, head, rows, at = [], [], [], 0
        lines, sections = self.lines, []

        def close():
            nonlocal head, rows
            if rows:
                sections.append((head, rows))
                if head and [line.key() for line in head] not in heads:
                    heads.append([line.key() for line in head])
                head, rows = [], []

        comments = []
        while at < len(lines):
            line = lines[at]
            again = next((known for known in heads if [l.key() for l in lines[at : at + len(known)]] == known), None)
            if again is not None:
                close()
                head = head + lines[at : at + len(again)]
                at += len(again)
                continue
            if _FURNITURE.fullmatch(" ".join(line.words)) and not (rows and len(line.words) == len(rows[-1].words)):
                self.notes.append(f"line {line.number} taken for what stands at the edge of a page: {' '.join(line.words)}")
                at += 1
                continue
            if self.is_row(line):
                if head and not rows and self._belongs_to_head(head, at):
                    head.append(line)
                elif not rows and not head and self._heads_next(at):
                    head.append(line)
                elif rows and self._heads_next(at) and len(line.words) < min(len(row.words) for row in rows):
                    close()
                    head.append(line)
                else:
                    rows.append(line)
            elif (kind := self.kind(line)) == "prose":
                comments.append(line)
                (lines[at + 1] if at + 1 < len(lines) else line).above[:0] = ["# " + line.text.strip()]
                self.kept.append(line)
            elif kind == "factors":
                close()
                taken = self._factor_lines(at)
                sections.append((head + [line], taken))
                head = []
                at += len(taken)
            else:
                close()
                head.append(line)
            at += 1
        close()
        if head and not self.problems and any(self.kind(line) == "head" for line in head):
            self.problems.add(
                self._file, head[0].words[0], "headings without rows", "rows of numbers below them", head[0].text.strip()
            )
        if sections and self.kept:
            below = [line for line in self.kept if line is lines[-1]]
            rows = sections[-1][1]
            for line in below:
                if rows and line is not rows[-1]:
                    rows[-1].below = [*line.above, *line.below]
        return sections

    def _run(self, at):
        """How many words the lines of numbers from here on have, most of them."""
        counts = []
        for line in self.lines[at:]:
            if not self.is_row(line):
                break
            counts.append(len(line.words))
        return max(set(counts), key=lambda n: (counts.count(n), n)), len(counts)

    def _belongs_to_head(self, head, at):
        """Whether a line of numbers under headings is one more heading: values across, fewer than the columns."""
        count, (usual, length) = len(self.lines[at].words), self._run(at)
        if length == 1 and at + 1 < len(self.lines):
            return self._heads_next(at)
        if self.exact:
            return count < usual and (not self.lines[at].cells[0] or 2 * count <= usual)
        rows = [line for line in self.lines[at + 1 : at + length] if len(line.words) == usual]
        return count < usual and all(self.lines[at].words[0].column >= row.words[0].end for row in rows[:1])

    def _heads_next(self, at):
        """Whether a line of numbers stands over a line of more headings."""
        if at + 1 >= len(self.lines) or self.is_row(self.lines[at + 1]):
            return False
        following = self.lines[at + 1]
        return self.kind(following) == "head" and len(following.words) > len(self.lines[at].words)

    def kind(self, line):
        """Whether a line of words is a head, a heading of a block, of multiplier rows, or prose."""
        if line.kind is None:
            line.kind = self._kind_of(line, self._place[id(line)])
        return line.kind

    def _kind_of(self, line, at):
        pieces = line.pieces
        width = next((len(row.words) for row in self.lines[at + 1 : at + 4] if self.is_row(row)), 0)
        if len(line.words) == width > 1 and all(unit_of(cell) is not None or cell == "1" for cell in line.words):
            return "head"  # units
        items = [lex(piece) for piece in pieces]
        flat = [item for piece in items for item in piece]
        if len({item.value for item in flat if item.kind == "mode"}) > 1 and len(pieces) == 1:
            return "prose"  # of both
        if flat and any(item.kind == "factors" for item in flat) and all(item.kind != "unknown" for item in flat):
            return "factors"
        if len(pieces) == 1 and str(pieces[0]) in self.options.columns:
            return "head"
        known = [bool(piece) and all(item.kind != "unknown" for item in piece) for piece in items]
        telling = [item for item in flat if item.kind not in ("unknown", "vague", "says")]
        given = [piece for piece in (*pieces, *line.cells) if str(piece) in self.options.columns]
        if len(pieces) > 1 and (given or 2 * sum(known) >= len(pieces)) and (telling or given):
            return "block" if self._is_block(pieces) else "head"
        if all(known) and (telling or any(item.kind == "says" for item in flat)):
            return "block" if self._is_block(pieces) else "head"
        # Headings set apart by one blank, some of them not known: as many as the row below has cells.
        tokens = [lex(cell) for cell in line.cells]
        known = [bool(piece) and all(item.kind not in ("unknown", "vague") for item in piece) for piece in tokens]
        if len(line.cells) == width > 1 and 2 * sum(known) >= width:
            return "head"
        return "prose"

    def _is_block(self, pieces):
        """Whether each piece states something of all that follows, and no two state the same thing."""
        seen = []
        for piece in pieces:
            m = meaning([piece], self.options)
            if sum(item.kind in ("number", "pair") for item in lex(piece)) > len(m.axes) + len(m.loose) + (m.speed is not None):
                return False  # values of one axis: they stand across
            roles = [item for item in lex(piece) if item.kind == "role"]
            if m.wrong is not None and (roles or m.loose or len(pieces) > 1 or not m.units):
                if not (m.axes or m.stage or m.speed or m.mode or m.says):
                    return False
            if m.role is not None and m.role not in AXES and not (m.role == "speed" and m.speed):
                if not (m.role == "capacity" and m.mode and len(pieces) == 1 and not m.axes):
                    return False
            if m.role in AXES and m.role not in m.axes:
                return False
            stated = [*m.axes, *(["stage"] if m.stage else []), *(["speed"] if m.speed else []), *(["mode"] if m.mode else [])]
            stated += ["loose"] * len([v for v in m.loose if v.unit])
            if len(m.loose) > len([v for v in m.loose if v.unit]) or not (stated or m.says or m.units):
                return False
            seen += stated
        return len(set(seen)) == len(seen)

    def _factor_lines(self, at):
        """The lines of multiplier rows below their heading."""
        out = []
        for line in self.lines[at + 1 :]:
            numbers = [cell for cell in line.words if self.numbers.is_value(cell)]
            first = not out and self.kind(line) == "head"
            if not first and (
                len(numbers) < 2
                or len(out) > 1
                and len(numbers) != sum(map(self.numbers.is_value, out[-1].words))
                and not self.is_row(line)
            ):
                if not (len(out) == 1 and not self.is_row(line) and all(unit_of(c) or c == "1" for c in line.words)):
                    break
            out.append(line)
        return out
