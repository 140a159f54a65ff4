"""What a visit can decide, before anybody drives there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from typing import NamedTuple

from offnominal import _core
from offnominal._proof import Proof, Settling
from offnominal._value import Value
from offnominal._visit import Visit

if TYPE_CHECKING:
    from typing import Literal
    from offnominal._system import System


class PlannedChance(NamedTuple):
    """What a visit would say of a machine that truly delivers `true_ratio` of what it should.

    Attributes
    ----------
    true_ratio : float
        Of total and of sensible.
    ratio_u : float
        Standard uncertainty of the ratio of total that will be read.
    meets, falls_short : float
        Chances of both outcomes; what is left is undecided.
    """

    true_ratio: float
    ratio_u: float
    meets: float
    falls_short: float

    @property
    def decided(self) -> float:
        """float: chance of either."""
        return self.meets + self.falls_short


class Plan(Value):
    """What a visit can decide. Made by `System.plan`.

    Attributes
    ----------
    system : System
    visit : Visit
        The forecast.
    units : {"IP", "SI"} or None
        As given to `System.plan`.
    proof : Proof
        Of a sound machine under the forecast: `Proof.expected`, `Proof.budget`.
    reason : str
        Why there will be no ratio; ``"none"`` where there will be one.
    chances : tuple of PlannedChance
        Of a sound machine, of one at the limit, and of one 15 % short; empty where there will be no ratio.
    remedies : tuple of Settling
        What would make a visit to a sound machine surer, best first.
    """

    system: System
    visit: Visit
    units: Literal["IP", "SI"] | None
    reason: str
    proof: Proof
    chances: tuple[PlannedChance, ...]
    remedies: tuple[Settling, ...]

    def __init__(self, system: System, visit: Visit, units: Literal["IP", "SI"] | None) -> None:
        core = _core.plan(system, visit)
        vars(self).update(
            system=system,
            visit=visit,
            units=units,
            reason=core.reason,
            proof=Proof(system, Visit(core.visit), units),
            chances=tuple(PlannedChance(*row) for row in core.chances),
            remedies=tuple(Settling(*row) for row in core.remedies),
            _core=core,
        )

    def report(self, *, units: Literal["IP", "SI"]) -> str:
        """The plan as a text.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        str
        """
        return self._core.report(units)

    def _made_of(self):
        return Plan, (self.system, self.visit, self.units)

    def __repr__(self):
        if not self.chances:
            return f"<Plan: no ratio, {self.reason}>"
        sound = self.chances[0]
        return f"<Plan: ratio +- {2 * sound.ratio_u:.3f}, a sound machine meets its limit with {sound.meets:.2f}>"
