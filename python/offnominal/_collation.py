"""Two transcriptions of one page held against each other, node by node."""

from __future__ import annotations

from typing import TYPE_CHECKING

import dataclasses
import math
import os

from offnominal import _core, _results
from offnominal._system import System, load
from offnominal._texts import counted

if TYPE_CHECKING:
    import argparse
    from typing import Any
    from offnominal._results import Result


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

    differences: list[Difference]
    nodes: int
    nodes_same: int
    only_first: int
    only_second: int
    notes: list[str]

    def __init__(self, first: System, second: System) -> None:
        found, self.nodes, self.nodes_same, self.only_first, self.only_second, units = _core.collate(first, second)
        self._names = [_name(first, "first"), _name(second, "second")]
        self.differences = [Difference(*words, _place(a), _place(b)) for *words, a, b in found]
        self.differences.sort(key=lambda d: -math.inf if d.percent is None else -abs(d.percent))
        self.notes = [
            f"{role}: {a} held against {b}, to half the last printed place of the {'first' if first_is_coarser else 'second'}"
            for role, a, b, first_is_coarser in units
        ]

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return not self.differences

    @property
    def worst(self) -> Difference | None:
        """The difference in a number that is largest in percent, or None."""
        sized = [d for d in self.differences if d.percent is not None]
        return max(sized, key=lambda d: abs(d.percent), default=None)

    def report(self) -> str:
        """Agreement and differences as a text.

        Returns
        -------
        str
        """
        lines = [f"first:  {self._names[0]}", f"second: {self._names[1]}"]
        lines.append(f"{counted(self.nodes, 'node')} in both, {self.nodes_same} of them the same")
        for count, which in ((self.only_first, "first"), (self.only_second, "second")):
            if count:
                lines.append(f"{counted(count, 'node')} only in the {which}")
        if self.worst is not None:
            lines.append(f"largest difference: {self.worst.percent:+.2g} % ({self.worst.page}: {self.worst.where})")
        lines += [f"  - {note}" for note in self.notes]
        lines.append("the two are the same" if self.same else counted(len(self.differences), "difference"))
        lines += [f"  {difference}" for difference in self.differences]
        return "\n".join(lines) + "\n"

    def __repr__(self):
        return f"<Collation of {self.nodes} nodes: {counted(len(self.differences), 'difference')}>"


def collate(first: str | os.PathLike[str] | System, second: str | os.PathLike[str] | System) -> Collation:
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


def _place(place):
    file, line, column = place
    return f"{_shown(file)}:{line}:{column}" if line else ""


def _shown(path):
    """A path as short as can be told from here."""
    near = os.path.relpath(path)
    return path if near.startswith(os.pardir) else near


def add_command(commands: Any) -> None:
    """Add ``offnominal collate`` to the command's parsers."""
    command = commands.add_parser("collate", help="hold a second transcription of a page, or a revision, against the first")
    command.add_argument("first", help="system file")
    command.add_argument("second", help="system file")


def run_command(options: argparse.Namespace) -> Result:
    """Run ``offnominal collate``; its status is 1 where the two differ."""
    collation = collate(options.first, options.second)
    counts = {name: getattr(collation, name) for name in ("nodes", "nodes_same", "only_first", "only_second", "notes")}
    return _results.Result(
        collation.report,
        lambda: {"told": "Collation", **counts, "differences": [_results.fields_of(one) for one in collation.differences]},
        lambda: _results.records(collation.differences, of=Difference),
        0 if collation.same else 1,
    )
