"""What the heads of printed columns mean: words, units and values of the lines above a column, read together.

A head of several lines is laid out in one of a few ways (a heading stands over one column, or spans several; it stands in the
middle or at the left of what it spans). Each way is tried, and the one that leaves every column with a meaning of its own is the
page's. Where two ways do that with different meanings the page is not read but asked about.
"""

import dataclasses
import heapq
import itertools
import re

from offnominal import _core
from offnominal import _wording as words

NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?d?", re.I)
_GROUPED = re.compile(r"\d{1,3}(?:[,' ]\d{3})+")
_OUTPUTS = {*words.OF_MODE[None]} - {*words.AXES}


def unit_of(text):
    """The unit that a text spells, by its own name or as the trade writes it; None if it spells none."""
    text = " ".join(text.split())
    if text in _core.units and text != "min":
        return text
    return words.UNITS.get(text.lower().rstrip(".").replace("\u00b3", "3").replace("^", ""))


@dataclasses.dataclass(frozen=True)
class Item:
    """One meaning in a heading: `kind` is number, pair, role, unit, stage, mode, vague, ambiguous, says, factors or unknown."""

    kind: str
    value: str
    text: str = ""
    unit: str | None = None


def _tokens(text):
    """Words and numbers of a heading, with whether each stands in brackets."""
    inside = False
    for part in re.split(r"([()\[\]])", text):
        if part in "()[]":
            inside = part in "(["
            continue
        for token in part.split():
            while token and token[0] in "@=:," and len(token) > 1:
                yield token[0], inside
                token = token[1:]
            token = token.rstrip(".:;,=") or token
            pair = re.fullmatch(r"(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)(\s*[\u00b0a-z].*)?", token, re.I)
            glued = re.fullmatch(r"([-+]?\d[\d,']*(?:\.\d+)?)(\u00b0.*|[a-z%\u2103\u2109][a-z/%0-9\u00b3]*)", token, re.I)
            at = re.fullmatch(r"(.+?)@(.+)", token)
            if at:
                yield from ((t, inside) for part in (at[1], "@", at[2]) for t in _split_word(part))
            elif pair:
                yield token, inside
            elif glued and unit_of(glued[2]) is not None:
                yield glued[1], inside
                yield glued[2], inside
            else:
                yield from ((t, inside) for t in _split_word(token))


def _split_word(word):
    if not word or NUMBER.fullmatch(word) or _GROUPED.fullmatch(word) or unit_of(word) is not None:
        return [word] if word else []
    if re.fullmatch(r"(?:[a-z]\.)+[a-z]?", word, re.I):
        return [word.replace(".", "")]  # E.W.B.
    if "/" in word:
        return [word]
    return [part for part in re.split(r"[._\-]+", word) if part] or [word]


def _phrases():
    out = {}
    for kind, table in (("vague", words.VAGUE), ("mode", words.MODES), ("says", words.SAYS), ("stage", words.STAGES),
                        ("unit", words.UNITS), ("role", words.ROLES), ("ambiguous", words.AMBIGUOUS)):  # fmt: skip
        out |= {spelling: (kind, value) for spelling, value in table.items()}
    out |= {spelling: ("factors", "") for spelling in words.FACTORS}
    for role in words.OF_MODE[None]:
        out[role.replace("_", " ")] = ("role", role)
    out |= {spelling: ("filler", "") for spelling in words.FILLERS}
    return out


_PHRASES = _phrases()
_LONGEST = max(len(phrase.split()) for phrase in _PHRASES)


def lex(text):
    """The meanings in a heading, in its order.

    Returns
    -------
    tuple of Item
    """
    tokens = list(_tokens(text))
    out, at = [], 0
    while at < len(tokens):
        token, inside = tokens[at]
        if _GROUPED.fullmatch(token) or NUMBER.fullmatch(token) and not token.lower().endswith(("d", "e")):
            joined = next((n for n in (3, 2) if _phrase(tokens, at, n) in words.UNITS), 0)  # 1000 btu/h
            if not joined:
                out.append(Item("number", re.sub(r"[,' ]", "", token), token))
                at += 1
                continue
        pair = re.fullmatch(r"(\d+(?:\.\d+)?)/(\d+(?:\.\d+)?)(.*)", token)
        if pair and (not pair[3] or unit_of(pair[3])):
            out.append(Item("pair", f"{pair[1]}/{pair[2]}", token, unit_of(pair[3]) if pair[3] else None))
            at += 1
            continue
        for length in range(min(_LONGEST, len(tokens) - at), 0, -1):
            phrase = _phrase(tokens, at, length)
            if len({within for _, within in tokens[at : at + length]}) > 1:
                continue  # what stands in brackets goes with nothing outside
            exact = phrase in _PHRASES or length == 1 and token in _core.units
            if exact:
                out += _meant(phrase, " ".join(t for t, _ in tokens[at : at + length]), inside, out)
                at += length
                break
        else:
            out.append(Item("unknown", token, token))
            at += 1
    return tuple(out)


def _phrase(tokens, at, length):
    return " ".join(token.lower().replace("\u00b3", "3") for token, _ in tokens[at : at + length])


def _meant(phrase, text, inside, before):
    """What a phrase means behind what stands `before` it: `kW` and `CFM` are columns, or units of what was named."""
    kind, value = _PHRASES.get(phrase, ("unit", text))
    unit = unit_of(text)
    if kind == "filler":
        return []
    if kind == "role" and unit is not None:
        last = before[-1] if before else None
        role = next((item.value for item in reversed(before) if item.kind == "role"), None)
        named = role in _OUTPUTS if unit in ("kW", "W") else role == value
        number = last is not None and last.kind == "number" and unit not in ("kW", "W", "A")
        if inside or named or number:
            kind, value = "unit", unit
    if kind == "unit" and unit is not None:
        value = unit
    return [Item(kind, value, text, words.UNIT_OF_WORDING.get(phrase) if kind == "role" else None)]


@dataclasses.dataclass
class Value:
    """A value of an axis that stands in a heading."""

    text: str
    unit: str | None
    cell: object
    axes: tuple = ()  # what it may be of; empty: of any
    second: str | None = None  # the wet bulb of a pair


@dataclasses.dataclass
class Meaning:
    """What the headings above one column say together."""

    role: str | None = None
    unit: str | None = None
    usual: str | None = None  # the unit that the wording has where none is stated
    axes: dict = dataclasses.field(default_factory=dict)  # role -> Value
    loose: list = dataclasses.field(default_factory=list)  # values of no named axis
    stage: str | None = None
    speed: Value | None = None
    mode: str | None = None
    says: dict = dataclasses.field(default_factory=dict)
    ratio_of_total: bool = False
    factors: bool = False
    wrong: tuple | None = None  # problem and what would be accepted
    cell: object = None
    ignored: bool = False
    units: tuple = ()

    def runs_at(self):
        """The stage or the speed that its numbers hold at; None where its headings say neither."""
        return (self.stage, self.speed and (self.speed.text, self.speed.unit)) if self.stage or self.speed else None

    def key(self):
        """What tells it from another column."""
        return (self.role, self.mode, self.runs_at(),
                tuple(sorted((axis, v.text, v.second) for axis, v in self.axes.items())),
                tuple((v.text, v.second) for v in self.loose))  # fmt: skip

    def is_axis(self):
        """Whether its cells are values of an axis."""
        return self.role in words.AXES or self.role in ("edb/ewb", "ewb/edb", "speed")


def meaning(pieces, options):
    """What the pieces above a column mean, from the uppermost to the lowest.

    Parameters
    ----------
    pieces : sequence of Cell
    options : Options

    Returns
    -------
    Meaning
    """
    out = Meaning(cell=pieces[-1] if pieces else None)
    given = _given(pieces, options)
    if given is not None:
        piece, role = given
        if role == "ignore":
            out.ignored, out.role = True, f"ignored {piece.line}:{piece.column}"
            return out
        unit = unit_of(piece.split()[-1])  # `Comp kW`
        pieces, items = [p for p in pieces if p is not piece], [(Item("role", role.partition("@")[0], str(piece), unit), piece)]
        if "@" in role:
            items.append((Item("number", role.partition("@")[2]), piece))
    else:
        items = []
    text = " ".join(pieces)
    items += [(item, _cell_of(item, pieces)) for item in lex(text)]
    _read(items, out, options)
    return out


def _given(pieces, options):
    """The piece whose role is said beside the page, with that role; or the whole head of the column."""
    for piece in reversed(pieces):
        if str(piece) in options.columns:
            return piece, options.columns[str(piece)]
    whole = " ".join(pieces)
    return (pieces[-1], options.columns[whole]) if whole in options.columns and pieces else None


def _cell_of(item, pieces):
    first = item.text.split()[0] if item.text else ""
    return next((piece for piece in reversed(pieces) if first and first in piece), pieces[-1] if pieces else None)


def _read(items, out, options):
    pending = None  # an axis that has no value yet
    loose, vague, units, last = [], [], [], None
    roles = []
    for item, cell in items:
        if item.kind in ("number", "pair"):
            first, _, second = item.value.partition("/")
            value = Value(first, item.unit, cell, (), second or None)
            if pending is not None and (item.kind == "number" or "/" in pending):
                value.axes, pending = (pending,), None
            loose.append(value)
        elif item.kind == "unit":
            if (
                last is not None
                and last.kind in ("number", "pair")
                and item.value in words.UNITS_OF_AXIS
                and loose[-1].unit is None
            ):
                loose[-1].unit = item.value
            else:
                units.append((item.value, cell))
        elif item.kind == "role" and (item.value in words.AXES or "/" in item.value or item.value == "speed"):
            roles.append((item, cell))
            fits = loose and item.value in words.UNITS_OF_AXIS.get(loose[-1].unit, (item.value,))
            if last is not None and fits and not loose[-1].axes and last.kind in ("number", "unit", "pair"):
                loose[-1].axes = (item.value,)
            elif pending != item.value:
                pending = item.value
        elif item.kind == "role":
            roles.append((item, cell))
        elif item.kind == "stage":
            out.stage = item.value
        elif item.kind == "mode":
            out.mode = item.value
        elif item.kind == "says":
            out.says[item.value[0]] = item.value[1]
        elif item.kind == "factors":
            out.factors = True
        elif item.kind == "vague":
            vague.append((item, cell))
        elif out.wrong is None:
            out.cell = cell
            problem = f"a heading that may mean more than one thing ({item.value})" if item.kind == "ambiguous" else "a heading without a known meaning"  # fmt: skip
            out.wrong = (problem, cell)
        last = item
    _conclude(out, roles, loose, vague, units, options)


def _conclude(out, roles, loose, vague, units, options):
    outputs = [(item, cell) for item, cell in roles if item.value in _OUTPUTS]
    bound = {axis for value in loose for axis in value.axes}
    axes = [(item, cell) for item, cell in roles if item.value not in _OUTPUTS and item.value not in bound]
    for value in loose:
        if not value.axes:
            value.axes = _may_be(value, vague)
    named = {item.value for item, _ in outputs} or {item.value for item, _ in axes}
    if not outputs and len(axes) > 1:  # a span over an axis' own column
        named = {axes[-1][0].value}
    if len(named) == 1:
        chosen, cell = (outputs or axes)[-1]
        out.role = chosen.value
        out.cell = cell
        out.usual = next((item.unit for item, _ in reversed(outputs or axes) if item.unit), None)
        out.ratio_of_total = any(item.text.lower() in words.RATIOS_OF_TOTAL for item, _ in outputs)
    elif len(named) > 1 and out.wrong is None:
        out.wrong = (f"a heading of {' and '.join(sorted(named))}", (outputs or axes)[-1][1])
    elif not named and (out.mode or options.mode) == "heating" and any(item.text.lower() in words.CAPACITY for item, _ in vague):
        out.role, out.cell = "capacity", vague[-1][1]
    elif (
        not named
        and not loose
        and not vague
        and len({words.UNITS_OF_AXIS.get(unit) for unit, _ in units}) == 1
        and (units[0][0] in words.UNITS_OF_AIRFLOW)
    ):
        out.role, out.cell = "airflow", units[-1][1]  # nothing else is told in L/s
    elif not named and out.wrong is None and (vague or units):
        item, cell = vague[-1] if vague else (None, units[-1][1])
        out.cell = cell
        out.wrong = (f"a heading that may mean more than one thing ({item.value if item else 'total or sensible'})", cell)
    for value in loose:
        if len(value.axes) == 1 and value.axes[0] == "speed":
            out.speed = value
        elif len(value.axes) == 1:
            out.axes[value.axes[0]] = value
        else:
            out.loose.append(value)
    # A span that names an axis gives its unit to the value below it.
    spare = []
    for unit, cell in units:
        axis = words.UNITS_OF_AXIS.get(unit, ())
        fits = [v for v in loose if v.unit is None and (not v.axes or set(v.axes) & set(axis))] if axis else []
        if fits and out.role in _OUTPUTS and not (out.role in ("split", "rise") and unit in words.DIFFERENCES):
            for value in fits:
                value.unit = unit
        else:
            spare.append((unit, cell))
    out.units = tuple(spare)
    if spare:
        out.unit = spare[-1][0]
    if out.role == "capacity" or out.role == "rise":
        out.mode = out.mode or "heating"
    if (out.mode or options.mode) == "heating" and out.role == "total":
        out.role = "capacity"


_SAID = (
    (("odb", "edb"), ("db", "dry bulb")),
    (("ewb",), ("wb", "wet bulb")),
    (("edb", "ewb"), tuple(phrase for phrase in words.VAGUE if re.match("entering|indoor|return", phrase))),
)


def _may_be(value, vague):
    """The axes a value without a name may be of, by its unit, its size and the vague words beside it."""
    if value.second is not None:
        return ("edb/ewb",) if float(value.text) >= float(value.second) else ("ewb/edb",)  # no wet bulb is above its dry bulb
    axes = words.UNITS_OF_AXIS.get(value.unit, ("odb", "airflow", "ewb", "edb", "rh"))
    number = float(value.text) if NUMBER.fullmatch(value.text) else 0.0
    if value.unit is None:
        axes = ("airflow",) if number > 150 else tuple(a for a in axes if a != "airflow" or number >= 100)
    texts = {item.text.lower() for item, _ in vague}
    for meant, of in _SAID:
        if texts & set(of):
            axes = tuple(axis for axis in axes if axis in meant)
    return axes


# Which heading stands over which columns


class Layouts:
    """The ways in which one line of a head may lie over the columns."""

    def __init__(self, line, columns, exact):
        """`columns` are where the columns stand, as (start, end), or None where that is not known; `exact`: cells are columns."""
        self.line, self.columns, self.exact = line, columns, exact

    def ways(self, body):
        """Pairs of cost and a list with a piece or None for each column. `body`: numbers of the columns that may be spanned."""
        line, width = self.line, len(self.columns)
        if self.exact:
            cells = [cell or None for cell in (*line.cells, *[None] * (width - len(line.cells)))][:width]
            for number in line.merged:
                if number < width and not cells[number]:
                    first = max((n for n in range(number + 1) if n < len(line.cells) and line.cells[n]), default=None)
                    if first is not None and line.merged.get(first) == line.merged[number]:
                        cells[number] = line.cells[first]
            yield 0, cells
            if None in cells:
                yield 2, _filled_right(cells, body)
                yield from self._even(body)
            return
        for pieces in ([*line.cells], [*line.pieces]):
            if len(pieces) == width:
                yield 0, pieces
        if len(line.pieces) != width and len(line.cells) != width:
            for pieces in segmentations(tuple(line.cells), width):
                yield 1, pieces
        even = list(self._even(body))
        for pieces in (
            {tuple(line.pieces), tuple(line.cells)} if all(_is_number(cell) for cell in line.cells) else {tuple(line.pieces)}
        ):
            if len(pieces) > width:
                continue
            if all(self.columns):
                over = self.overlapping(pieces)
                yield 1, over
                # Headings of the axes' own columns stand over them; the others share what is left.
                own = {id(cell) for n, cell in enumerate(over) if n not in body} - {id(over[n]) for n in body}
                alone = [cell if n not in body and id(cell) in own else None for n, cell in enumerate(over)]
                spans = [piece for piece in pieces if id(piece) not in own]
                for shared, kept in [(spans, alone)] + ([(list(pieces), [None] * width)] if own else []):
                    if shared and body:
                        yield 2, self._nearest(shared, body, kept)
                        yield 2, self._from_left(shared, body, kept)
                        yield from even
                        for cells in self._runs(shared, body, kept):
                            yield 3, cells
        yield from even

    def _even(self, body):
        """Each heading over as many columns as every other: where they stand is lost, as in text that was squeezed."""
        width, tokens = len(self.columns), self.line.words
        own = [number for number in range(width) if number not in body]
        lists = [(self.line.pieces, 0)]
        if not self.exact:
            lists += [(tokens, 0)] if all(map(_is_number, tokens)) else [(_repeated(tokens), 0)]
            if 0 < len(own) < len(tokens):  # the labels' own headings in front
                rest = tokens[len(own) :]
                lists.append((rest if all(map(_is_number, rest)) else _repeated(rest), len(own)))
        for pieces, before in lists:
            if (
                not pieces
                or not body
                or len(body) % len(pieces)
                or len(pieces) == 1
                and before == 0
                and (self.exact or all(self.columns))
            ):
                continue
            cells, share = [None] * width, len(body) // len(pieces)
            for number, column in enumerate(body):
                cells[column] = pieces[number // share]
            for number, cell in zip(own, tokens[:before]):
                cells[number] = cell
            yield 3, cells

    def overlapping(self, pieces):
        """Each heading over the columns that it overlaps."""
        cells = [None] * len(self.columns)
        for piece in pieces:
            for number, (start, end) in enumerate(self.columns):
                shared = min(end, piece.end) - max(start, piece.column)
                if 2 * shared >= min(end - start, len(piece)) and shared > 0:
                    cells[number] = piece
        return cells

    def _nearest(self, pieces, body, alone):
        cells = [*alone]
        for number in body:
            start, end = self.columns[number]
            cells[number] = min(pieces, key=lambda p: (abs((p.column + p.end) - (start + end)), p.column))
        return cells

    def _from_left(self, pieces, body, alone):
        cells = [*alone]
        for number in body:
            end = self.columns[number][1]
            cells[number] = max((p for p in pieces if p.column < end), key=lambda p: p.column, default=None)
        return cells

    def _runs(self, pieces, body, alone):
        """Each heading over a run of neighbouring columns, somewhere above which it stands; the first few ways."""

        dead = set()  # where nothing fits, which is found out once

        def following(number, start):
            if number == len(pieces):
                if start == len(body):
                    yield []
                return
            if (number, start) in dead:
                return
            dead.add((number, start))
            for end in range(start + 1, len(body) - (len(pieces) - number) + 2):
                first, last = self.columns[body[start]], self.columns[body[end - 1]]
                if pieces[number].end <= first[0]:
                    return
                if pieces[number].column < last[1]:
                    for rest in following(number + 1, end):
                        dead.discard((number, start))
                        yield [(number, start, end), *rest]

        for runs in itertools.islice(following(0, 0), 60):
            cells = [*alone]
            for number, start, end in runs:
                for column in body[start:end]:
                    cells[column] = pieces[number]
            yield cells


def _repeated(tokens):
    """Words that say the same again and again but for their numbers, joined: `EWB 63 °F  EWB 67 °F`."""
    masked = ["#" if _is_number(token) else token.lower() for token in tokens]
    for length in range(1, len(tokens) // 2 + 1):
        if len(tokens) % length == 0 and masked == masked[:length] * (len(tokens) // length) and "#" in masked[:length]:
            runs = [tokens[at : at + length] for at in range(0, len(tokens), length)]
            return [type(run[0])(" ".join(run), run[0].line, run[0].column) for run in runs]
    return []


def _filled_right(cells, body):
    out, last = [*cells], None
    for number, cell in enumerate(cells):
        last = cell if cell is not None else last
        if cell is None and number in body:
            out[number] = last
    return out


def _is_number(text):
    return bool(NUMBER.fullmatch(text) or _GROUPED.fullmatch(text) or re.fullmatch(r"\d+(?:\.\d+)?/\d+(?:\.\d+)?", text))


def segmentations(tokens, width):
    """The ways to join neighbouring words to `width` headings, each with a meaning of its own and none that falls apart in two.

    Returns
    -------
    list of list of Cell
    """
    from offnominal._cells import Cell

    if not width < len(tokens) <= 4 * width:
        return []
    whole = {}
    for first, last in itertools.combinations(range(len(tokens) + 1), 2):
        if last - first > _LONGEST + 2:
            continue
        items = lex(" ".join(tokens[first:last]))
        roles = [item for item in items if item.kind == "role"]
        numbers = [item for item in items if item.kind in ("number", "pair")]
        if (
            len(roles) == 1
            and len(numbers) < 2
            and items[0].kind != "unit"
            and all(item.kind in ("role", "number", "pair", "unit", "vague") for item in items)
        ):
            whole[first, last] = True
    ways = {0: {0: [[]]}}  # tokens used -> headings made -> ways
    for last in range(1, len(tokens) + 1):
        ways[last] = {}
        for first in range(max(0, last - _LONGEST - 2), last):
            if (first, last) not in whole:
                continue
            for made, so_far in ways[first].items():
                if made < width:
                    ways[last].setdefault(made + 1, []).extend([*way, (first, last)] for way in so_far[:8])
                    del ways[last][made + 1][8:]
    return [
        [Cell(" ".join(tokens[a:b]), tokens[a].line, tokens[a].column) for a, b in way]
        for way in ways[len(tokens)].get(width, [])
    ]


# Trying how a head is meant ends where no page comes: after so many pieces laid over columns, and so many read.
_MOST_LAID, _MOST_READ = 3_000_000, 100_000


def stacks(head, columns, exact, options):
    """What stands over each column, read in the cheapest way that gives every column a meaning of its own.

    Parameters
    ----------
    head : list of Line
    columns : list of (int, int) or None
        Where the columns stand.
    exact : bool
        The cells of a line are columns.
    options : Options

    Returns
    -------
    tuple of (list of Meaning, str)
        The meanings, and what is wrong with the whole: ``""`` if nothing is.
    """
    layouts = [Layouts(line, columns, exact) for line in head]
    own = _own_axes(layouts, columns, options)
    body = [n for n in range(len(columns)) if n not in own]
    ways = []
    for layout in layouts:
        found = {}
        for way in sorted(layout.ways(body), key=lambda way: way[0]):
            found.setdefault(tuple(map(id, way[1])), way)
        ways.append(list(found.values()) or [(0, [None] * len(columns))])
    best, found, first = None, [], None
    known, read = {}, 0

    def meant(pieces):
        nonlocal read
        key = tuple(map(id, pieces))
        if key not in known:
            read += len(pieces)
            known[key] = meaning(pieces, options)
        return known[key]

    most = max(1, min(3000, _MOST_LAID // (len(columns) * max(len(head), 1))))
    for cost, chosen in itertools.islice(_by_cost(ways), most):
        if best is not None and cost > best or read > _MOST_READ:
            break
        meanings = [meant([line[n] for line in chosen if line[n] is not None]) for n in range(len(columns))]
        if first is None:
            first = meanings
        if _is_whole(meanings):
            best = cost
            if not any([m.key() for m in meanings] == [m.key() for m in other] for other in found):
                found.append(meanings)
    if len(found) > 1:
        told = " | ".join(", ".join(_told(m) for m in meanings) for meanings in found[:2])
        return found[0], told
    return (found[0] if found else first), ""


def _told(m):
    values = [*(f"{axis} {v.text}" for axis, v in m.axes.items()), *(v.text for v in m.loose)]
    return (m.role or "?") + ("@" + ",".join(values) if values else "")


def _own_axes(layouts, columns, options):
    """Columns that are axes by the headings right over them, and the only ones: nothing spans them."""
    out = {}
    firsts = []
    for layout in layouts:
        if not layout.exact and len(layout.line.pieces) == 1 and len(layout.line.cells) == len(columns):
            firsts.append([*layout.line.cells])  # one blank between all of its words
        elif not layout.exact and all(columns):
            firsts.append(layout.overlapping(layout.line.pieces))
            if layout.line.pieces and sum(cell is not None for cell in firsts[-1]) < len(layout.line.pieces):
                firsts[-1] = next(iter(layout.ways([])), (0, firsts[-1]))[1]
        else:
            firsts.append(next(iter(layout.ways([])), (0, [None] * len(columns)))[1])
    for number in range(len(columns)):
        pieces = [cells[number] for cells in firsts if cells[number] is not None]
        for above in range(max(0, len(pieces) - 12), len(pieces)):  # what stands above may have slipped there
            m = meaning(pieces[above:], options)
            if m.is_axis() and not m.axes and not m.loose and m.wrong is None:
                out.setdefault(m.role, []).append(number)
                break
    return {numbers[0] for numbers in out.values() if len(numbers) == 1}


def _by_cost(ways):
    """Choices of one way for each line, the cheapest first."""
    start = (0,) * len(ways)
    queue, seen = [(sum(way[0][0] for way in ways), start)], {start}
    while queue:
        cost, choice = heapq.heappop(queue)
        yield cost, [ways[n][c][1] for n, c in enumerate(choice)]
        for n, c in enumerate(choice):
            if c + 1 < len(ways[n]):
                following = (*choice[:n], c + 1, *choice[n + 1 :])
                if following not in seen:
                    seen.add(following)
                    heapq.heappush(queue, (cost - ways[n][c][0] + ways[n][c + 1][0], following))


def _is_whole(meanings):
    """Whether every column has a meaning, no two the same, and what stands at one value of an axis stands at all of them."""
    kept = [m for m in meanings if not m.ignored]
    if any(m.role is None or m.wrong is not None for m in kept):
        return False
    if len({m.key() for m in kept}) < len(kept):
        return False
    at = {}
    for m in kept:
        if m.is_axis() and (m.axes or m.loose or m.mode and any(o.role == m.role and not o.mode for o in kept)):
            return False
        if m.role not in words.OF_MODE[m.mode] and not m.is_axis():
            return False
        place = (m.mode, m.stage, m.speed and m.speed.text)
        at.setdefault((place, m.role), set()).add(m.key()[3:])
    by_shape = {}
    for (place, _), values in at.items():
        shapes = {(tuple(axis for axis, *_ in axes), len(loose)) for axes, loose in values}
        if len(shapes) > 1 or not _is_grid(values):
            return False
        by_shape.setdefault((place, *shapes), set()).add(frozenset(values))
    return all(len(of_shape) == 1 for of_shape in by_shape.values())  # outputs across the same axes stand at the same values


def _is_grid(values):
    """Whether values across two axes are all their combinations."""
    axes = [dict.fromkeys(tuple(a[n] for a, _ in values)) for n in range(len(next(iter(values))[0]))]
    loose = [dict.fromkeys(tuple(b[n] for _, b in values)) for n in range(len(next(iter(values))[1]))]
    size = 1
    for along in (*axes, *loose):
        size *= len(along)
    return size == len(values)
