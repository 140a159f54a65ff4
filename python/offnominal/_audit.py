"""The audit of printed pages: what a tired typist got wrong, and what a page leaves open. It asks; it never corrects."""

from __future__ import annotations

from typing import TYPE_CHECKING

import os
from dataclasses import dataclass, field

from offnominal import _core, _texts, _units

if TYPE_CHECKING:
    from typing import Any, Literal


@dataclass(frozen=True)
class Suspect:
    """A cell, a row, a label of an axis or a column that does not agree with the rest of its page. It may be right all the same.

    Attributes
    ----------
    column : str
        ``"total"``, ``"sensible"``, ``"power"``, ``"bypass"``, an extra column, or ``"row"`` for all outputs of a node; of a label
        its axis: ``"odb"``, ``"airflow"``, ``"ewb"``, ``"edb"``, ``"rh"``, ``"pressure"``.
    file, line, place_column : str, int, int
        Where it was typed; the column is that of the row's first cell. Empty and 0 where unknown.
    typed : str
        As typed, in the unit of the page.
    printed, implied : float
        In `unit`, a unit of the system asked for. Of a row its total. `implied` is what the rest of the page says, or None.
    unit : str
    checks : tuple of str
        What it does not agree with: ``"neighbours"``, ``"trend"``, ``"sensible_ratio"``, ``"dryness"``, ``"leaving_air"``,
        ``"bypass"``, ``"checksum"``, ``"row"``, ``"positive"``, ``"unit"``, ``"axis"``.
    slip : str
        What a typist may have done: ``"swapped_digits"``, ``"dropped_digit"``, ``"neighbour"``, ...; ``"none"``.
    guess : str
        What may have been meant, in the unit of the page; empty where nothing single explains it.
    score : float
        How many times its spread the printed value is off what is implied. Suspects are ranked by it.
    node : int or None
        The number of the node in the page; None for a whole column, and for a label.
    block : tuple of int
        Of a label: the nodes that stand under it. One suspect speaks for all of them.
    other : str
        Of blocks exchanged or repeated: the other label, as typed.
    cell : str
        Where it stands in print: ``"odb 95 degF, airflow 1000 scfm, ewb 67 degF"``. Empty for labels and columns.
    why, text : str
        In words.
    """

    column: str
    file: str
    line: int
    place_column: int
    typed: str
    printed: float
    implied: float | None
    unit: str
    checks: tuple[str, ...]
    slip: str
    guess: str
    score: float
    node: int | None
    block: tuple[int, ...]
    other: str
    cell: str
    why: str = field(repr=False)
    text: str = field(repr=False)
    _edits: tuple[tuple[int, str, str, str, bool], ...] = field(repr=False)

    def apply(self, text: str | None = None) -> str:
        """The text of the file with this put right, and nothing else changed: for whoever has looked at the print.

        Nothing is written; a label is changed in every row it stands in, and exchanged blocks exchange their labels.

        Parameters
        ----------
        text : str, optional
            As it was when it was audited; read from `file` unless given.

        Returns
        -------
        str

        Raises
        ------
        InputError
            If nobody can say what was meant, or the text is not the one that was audited.
        """
        if text is None:
            if not self.file:
                raise ValueError("the page was not read from a file; accepted: its text")
            with open(self.file, encoding="utf-8", newline="") as file:
                text = file.read()
        return _core.audit_apply(list(self._edits), self.file, self.line, self.typed, text)


@dataclass(frozen=True)
class Question:
    """What the page leaves open: which reading of it closes best. Asked, never assumed.

    Attributes
    ----------
    about : {"capacity", "power", "sensible_at", "certified"}
    stated : str
        What the page says; empty if it does not.
    hypotheses : dict
        Name to how far it is off (root mean square, relative; of a certified rating the signed difference), best first.
    decisive : bool
        Whether the best closes at least three times as well as the next.
    nodes : int
        How many nodes could be used.
    text : str
    """

    about: str
    stated: str
    hypotheses: dict[str, float]
    decisive: bool
    nodes: int
    text: str = field(repr=False)


@dataclass(frozen=True)
class LeaveOneOut:
    """How far straight lines between neighbours along an axis miss the wet node between them.

    Attributes
    ----------
    axis, column : str
    rms, worst : float
        Relative to the value; `worst` is signed, interpolated less printed.
    nodes : int
    """

    axis: str
    column: str
    rms: float
    worst: float
    nodes: int


@dataclass(frozen=True)
class PageAudit:
    """What the audit of one page found.

    Attributes
    ----------
    stage, match : str
        Which page; `match` is empty for the system's own.
    mode : {"cooling", "heating"}
    frost : str
        Of a heating page: ``"instantaneous"``, ``"integrated"`` or ``"unknown"``; else empty.
    nodes : int
        How many nodes print numbers.
    suspects : tuple of Suspect
        Labels of axes first, each kind the most suspect first: cells are judged with the labels put right.
    questions : tuple of Question
    leave_one_out : tuple of LeaveOneOut
    """

    stage: str
    match: str
    mode: str
    frost: str
    nodes: int
    suspects: tuple[Suspect, ...]
    questions: tuple[Question, ...]
    leave_one_out: tuple[LeaveOneOut, ...]
    _text: str = field(repr=False)

    def report(self) -> str:
        """The findings as a text, in the units of the page.

        Returns
        -------
        str
        """
        heating = f"{self.mode}, {self.frost}: " if self.mode == "heating" else ""
        name = f"{heating}{self.stage} stage" + (f", {self.match}" if self.match else "")
        return f"{name}: {self._text}"


def pages(found: list[dict[str, Any]]) -> list[PageAudit]:
    """The dictionaries of the compiled module as a list of `PageAudit`."""
    return [
        PageAudit(
            page["stage"],
            page["match"],
            page["mode"],
            page["frost"],
            page["nodes"],
            tuple(Suspect(**{**s, "checks": tuple(s["checks"]), "block": tuple(s["block"])}) for s in page["suspects"]),
            tuple(Question(**q) for q in page["questions"]),
            tuple(LeaveOneOut(**one) for one in page["leave_one_out"]),
            page["text"],
        )
        for page in found
    ]


def audit_file(path: str | os.PathLike[str], *, units: Literal["IP", "SI"]) -> list[PageAudit]:
    """Audit the pages of a system file, those included that `load` refuses because they contradict themselves.

    Parameters
    ----------
    path : str or os.PathLike
    units : {"IP", "SI"}
        Of `Suspect.printed` and `Suspect.implied`.

    Returns
    -------
    list of PageAudit
        One for each page.

    Raises
    ------
    InputError
        For what cannot be read at all.
    """
    _units.check_word("units", units)
    return pages(_core.audit_file(_texts.path_of(path), units))
