"""Likely causes of what a proof found: hypotheses, never a verdict."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from offnominal import _display, _tables
from offnominal._value import PlainValue

if TYPE_CHECKING:
    from typing import Any


class LikelyCause(NamedTuple):
    """One hypothesis, after all that was read.

    Attributes
    ----------
    cause : str
        ``"nothing_wrong"``, ``"charge_low"``, ``"stage"``, ``"reading"``, ...
    text : str
        What it is, and how severe it would be.
    probability : float
        Among all hypotheses.
    severity, severity_low, severity_high : float
        Best estimate and an interval that holds it with 95 %, if this is the cause: a share of what it takes, or how far a reading
        stands above the truth (SI); 0 where there is none.
    input, stage, match : str or None
        Which reading is off, which stage ran, which match is installed, where that is the hypothesis.
    total, sensible, power : float
        Measured over expected that it predicts at that severity.
    fit : float
        Probability of readings at least as far from that: small fits badly.
    support : {"published", "page", "physics", "practice"}
        What stands behind its predictions; of two at once the weaker.
    also : str or None
        A second cause at the same time, where two at once are the hypothesis; `input` is its reading if it is ``"reading"``.
    also_severity, also_low, also_high : float or None
        Its severity, likewise.
    or_input : str or None
        Another reading that would explain it too: which of the probes' dry bulbs is off, nothing here tells. `probability` is of both.
    """

    cause: str
    text: str
    probability: float
    severity: float
    severity_low: float
    severity_high: float
    input: str | None
    stage: str | None
    match: str | None
    total: float
    sensible: float
    power: float
    fit: float
    support: str
    also: str | None
    also_severity: float | None
    also_low: float | None
    also_high: float | None
    or_input: str | None


class NextCheck(NamedTuple):
    """What a check would bring.

    Attributes
    ----------
    check : str
        ``"subcooling"``, ``"second_airflow"``, ``"outdoor_unit"``, ...
    text : str
        What to do.
    minutes : float
        What it takes.
    gain : float
        Expected information about the cause, bits.
    first : float
        Chance that the cause then ranked first is the true one.
    """

    check: str
    text: str
    minutes: float
    gain: float
    first: float


class Causes(PlainValue):
    """Likely causes of one proof. Made by `Proof.causes`; its text is the report's part of it.

    Attributes
    ----------
    likely : tuple of LikelyCause
        Most probable first; those below 0.1 % are left out.
    others : float
        What those have together.
    first : float
        Chance that the first is the true one, as things stand.
    two_at_once : bool
        No single cause fits: two at once are likelier, or one that is not listed.
    checks : tuple of NextCheck
        What to do next: first those that bring at least four fifths of what the best one does, the quickest of them first.
    reason : str
        Why the proof has no ratio: then `likely` ranks only what that reason names, such as swapped probes; ``"none"`` where there is one.
    """

    likely: tuple[LikelyCause, ...]
    checks: tuple[NextCheck, ...]
    others: float
    first: float
    two_at_once: bool
    reason: str

    def __init__(self, told: dict[str, Any]) -> None:
        vars(self).update(
            {name: told[name] for name in ("others", "first", "two_at_once", "reason")}, _text=told["text"], _told=told
        )
        vars(self).update(likely=tuple(LikelyCause(*row) for row in told["likely"]))
        vars(self).update(checks=tuple(NextCheck(*row) for row in told["checks"]))

    def _made_of(self):
        return Causes, (self._told,)

    def __str__(self):
        return self._text

    def __repr__(self):
        if not self.likely:
            return f"<Causes: none, {self.reason}>"
        return f"<Causes: {self.likely[0].cause} {self.likely[0].probability:.2f}, {len(self.likely)} in all>"

    def to_dict(self) -> dict[str, Any]:
        """All of it as plain values.

        Returns
        -------
        dict
        """
        return {
            "told": "Causes",
            "reason": self.reason,
            "first": self.first,
            "others": self.others,
            "two_at_once": self.two_at_once,
            "likely": [one._asdict() for one in self.likely],
            "checks": [one._asdict() for one in self.checks],
        }

    def to_pandas(self) -> Any:
        """A table of the hypotheses, one a row.

        Returns
        -------
        pandas.DataFrame
        """
        return _tables.library("pandas", "to_pandas").DataFrame(self.likely, columns=LikelyCause._fields)

    def _repr_html_(self):
        return _display.block(
            "likely causes: hypotheses, no verdict",
            _display.table(("chance", "cause"), [(f"{100 * one.probability:.0f} %", one.text) for one in self.likely[:5]]),
            _display.listed("to tell them apart, next", [one.text for one in self.checks[:3]]),
        )
