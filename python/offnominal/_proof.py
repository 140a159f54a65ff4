"""The proof of one visit, and what would settle it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from offnominal import _arrays, _core, _display, _record, _units
from offnominal._answers import Told
from offnominal._causes import Causes
from offnominal._value import content

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Any, Literal

    from offnominal._core import Delivered, Expected
    from offnominal._record import Record
    from offnominal._system import System
    from offnominal._visit import Visit

_KINDS = {name: kind for name, kind, *_ in _core.told_of_proof}
_NEED_UNITS = ("expected", "delivered", *(name for name, kind in _KINDS.items() if len(set(_units.UNITS[kind])) > 1))


class Settling(NamedTuple):
    """What one remedy promises.

    Attributes
    ----------
    remedy : str
        ``"side_by_side"``, ``"second_airflow"``, ...; ``"everything"``.
    text : str
        What to do.
    ratio_u : float
        Standard uncertainty of the ratio of total with it.
    meets, falls_short : float
        Chances that the proof then meets its limit, or falls short of it.
    """

    remedy: str
    text: str
    ratio_u: float
    meets: float
    falls_short: float

    @property
    def decided(self) -> float:
        """float: chance of either."""
        return self.meets + self.falls_short


class Change(NamedTuple):
    """What changed between two visits to one machine.

    Attributes
    ----------
    ratio : float
        The later ratio of total over the earlier one.
    ratio_u : float
        Its standard uncertainty: what is off in both alike, an instrument or the maker's tolerance, is left out.
    apart_u : float
        What that would be if the two shared nothing.
    less : float
        Probability that the machine delivers less than it did.
    """

    ratio: float
    ratio_u: float
    apart_u: float
    less: float


class Proof(Told):
    """Whether a machine delivers what it should. Made by `System.prove`.

    Attributes
    ----------
    system : System
    visit : Visit
    units : {"IP", "SI"} or None
        As given to `System.prove`.
    outcome : {"meets", "falls_short", "undecided", "implausible", "not_comparable"}
    suspect : str
        What to look at where something that was read contradicts the rest or another stage fits: ``"stage"``, ``"airflow"``,
        ``"supply_relative_humidity"``, ...; ``"nothing"``.
    uncapped : str or None
        What the outcome would be but for the suspect; None where it is that anyway.
    ratio : float or None
        Delivered total over expected total, at the visit's boundary: the mean of its distribution.
    ratio_u, ratio_u95 : float or None
        Its standard uncertainty, and the expanded one (coverage factor 2, about 95 %).
    ratio_low, ratio_high : float or None
        The interval that holds the true ratio with 95 %.
    joint_ratio, joint_u : float or None
        The same, where sensible is used beside total, tied to it by the coil's bypass factor.
    probability : float or None
        That what is judged reaches its limit; of total and sensible, the lesser.
    other_outcome : str
        The outcome by the other yardstick, with `other_probability`.
    method : {"first_order", "draws"}
        What the probability was taken from: first order with its skew (JCGM 100), or draws (JCGM 101) where the two may differ.
    judge : {"total", "sensible", "both"}
    yardstick : {"make", "page"}
        As the visit says.
    acceptance : {"guarded", "simple"}
        How a ratio is accepted: with a guard band about the limit, or what is more likely than not (JCGM 106).
    limit, sensible_limit, confidence : float
    guard_band : float or None
        How far past its limit the ratio of total must be read, about; 0 for simple acceptance.
    risk : float or None
        Specific risk: the chance that this verdict is wrong. None where there is none.
    consumer_risk, producer_risk : float or None
        Global risks, where the visit says its `population`: of all such machines, read like this, the share that falls short and
        is passed, and the share that reaches the limit and is failed.
    bend : float or None
        What straight reading between the page's nodes leaves out of expected total, as a share of it: the ratio is held against
        expected total and this.
    frost : float or None
        What frost on the outdoor coil is taken to hold back of expected total, in the mean, as a share of it; 0 in cooling.
    airflow_found, airflow_found_u : float or None
        Standard airflow that the ways of the visit find together, and its relative standard uncertainty. None where it was read;
        the airflow needs the units of `System.prove`.
    reason : str
        Why there is no ratio; ``"none"`` where there is one.
    budget : list of dict
        One for each input of the mode, largest share first; empty without a ratio: ``input``, ``standard_uncertainty_si``;
        ``delivered``, ``expected`` and ``ratio`` (relative change for one standard uncertainty), ``sensible`` likewise of the ratio
        of sensible, ``power_ratio`` where powers are compared; ``share`` of the ratio's variance.
    expected_u, expected_share : float
        Relative standard uncertainty of the expected side's own terms, and their share.
    sensible_ratio, sensible_ratio_u, sensible_ratio_u95 : float or None
        Delivered over expected sensible.
    split_ratio, split_ratio_u : float or None
        Delivered split over the one expected at the airflow that was read, or in heating of the rise by the machine itself; its
        uncertainty holds the airflow's.
    power, expected_power : float or None
        W: measured, and the page's; only where the two include the same things.
    power_ratio, power_ratio_u, power_ratio_u95 : float or None
        Measured over expected power, its standard uncertainty and the expanded one.
    efficiency_ratio, efficiency_ratio_u, efficiency_ratio_u95 : float or None
        The same of total capacity over power, both at the visit's boundary.
    no_power : str
        Why power and efficiency are not compared: ``"not_given"`` where none was measured, ``"unlike_basis"`` where the meter
        was around other things than the page's power is of, ``"basis_unknown"`` where the page does not say; ``"none"`` where
        they are.
    second_capacity : dict or None
        Of a visit with one, beside the air's total, as `second_capacity.TwoMethods` says it: ``agreement`` (``"agrees"`` within 6 %,
        ``"unclear"``, ``"contradicts"``), ``difference``, ``difference_u``, ``probability``. None without a ratio too.
    nearest : list of dict
        The system's stages, best fit first, where it is in doubt which one ran or at which speed: ``stage``; ``ratio`` and
        ``power_ratio`` against that stage, or None; ``reason`` why it has no ratio. A hint, not a proof: power is told
        past the edge of a page too.
    notes : list of str
    expected : Expected or None
        What the machine should deliver; None where the page has no answer. Needs the units of `System.prove`, as what follows.
    delivered : Delivered
    efficiency, expected_efficiency : float or None
        Total over power, delivered and expected: Btu/Wh (EER) in IP, W/W (COP) in SI. None where powers are not compared.
    """

    # what is told, by _stubs.py
    ratio: float | None
    ratio_u: float | None
    ratio_u95: float | None
    ratio_low: float | None
    ratio_high: float | None
    joint_ratio: float | None
    joint_u: float | None
    probability: float | None
    other_probability: float | None
    limit: float | None
    sensible_limit: float | None
    confidence: float | None
    expected_u: float | None
    expected_share: float | None
    sensible_ratio: float | None
    sensible_ratio_u: float | None
    sensible_ratio_u95: float | None
    split_ratio: float | None
    split_ratio_u: float | None
    power: float | None
    expected_power: float | None
    power_ratio: float | None
    power_ratio_u: float | None
    power_ratio_u95: float | None
    efficiency: float | None
    expected_efficiency: float | None
    efficiency_ratio: float | None
    efficiency_ratio_u: float | None
    efficiency_ratio_u95: float | None
    airflow_found: float | None
    airflow_found_u: float | None
    guard_band: float | None
    risk: float | None
    consumer_risk: float | None
    producer_risk: float | None
    bend: float | None
    frost: float | None
    # end of what is told
    outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    reason: str
    about: str
    suspect: str
    uncapped: str | None
    other_outcome: Literal["meets", "falls_short", "undecided", "implausible", "not_comparable"]
    method: Literal["first_order", "draws"]
    judge: Literal["total", "sensible", "both"]
    yardstick: Literal["make", "page"]
    acceptance: Literal["guarded", "simple"]
    budget: list[dict[str, Any]]
    no_power: str
    second_capacity: dict[str, Any] | None
    nearest: list[dict[str, Any]]
    notes: list[str]
    expected: Expected | None
    delivered: Delivered
    system: System
    visit: Visit
    units: Literal["IP", "SI"] | None  # type: ignore[assignment]

    _told = _core.told_of_proof
    _words = (
        "outcome",
        "reason",
        "about",
        "suspect",
        "uncapped",
        "other_outcome",
        "method",
        "judge",
        "yardstick",
        "acceptance",
        "no_power",
        "second_capacity",
        "notes",
        "nearest",
        "budget",
    )

    def __init__(self, system: System, visit: Visit, units: Literal["IP", "SI"] | None) -> None:
        vars(self).update(system=system, visit=visit, units=units, _core=_core.prove(system, visit))

    if not TYPE_CHECKING:  # to a type checker there is no name but those above

        def __getattr__(self, name):
            if name.startswith("_"):
                raise AttributeError(name)
            if name in _NEED_UNITS and self.units is None:
                raise AttributeError(
                    f"{name}: units are needed for capacities and efficiencies: prove(visit, units='IP') or units='SI'"
                )
            if name in _KINDS:
                return self._core.told(name, self.units or "SI")
            return getattr(self._core, name)(self) if name in _NEED_UNITS else getattr(self._core, name)

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *_KINDS, *_NEED_UNITS, *(n for n in dir(self._core) if not n.startswith("_"))})

    @property
    def fields(self) -> dict[str, str]:
        """dict of str to str: the numbers that are told, each with its unit."""
        told = [name for name in _KINDS if self.units or name not in _NEED_UNITS]
        return {name: _units.unit_of(self.units or "SI", _KINDS[name]) for name in told}

    def to_dict(self) -> dict[str, Any]:
        """Everything that is told, by name: with units also what is expected and delivered.

        Returns
        -------
        dict
        """
        if self.units is None:
            return super().to_dict()
        sides = {"expected": self.expected and self.expected.to_dict(), "delivered": self.delivered.to_dict()}
        return {**super().to_dict(), **sides}

    def _made_of(self):
        return Proof, (self.system, self.visit, self.units)

    def _content(self):
        return content(self._made_of()[1])

    def settle(self, *, type_a: dict[str, float] | None = None) -> list[Settling]:
        """What would settle an undecided proof.

        Parameters
        ----------
        type_a : dict of str to float, optional
            By input, as the budget names them: of its standard uncertainty (SI) the part that comes from the readings' own scatter
            over the window, `SeriesMean.type_a`. A longer window makes less of that.

        Returns
        -------
        list of Settling
            Single remedies first, those most likely to, then all of them together; what makes what is judged no surer is left
            out. Empty where there is nothing to settle: the proof is decided, has no ratio, or something contradicts itself.

        Raises
        ------
        InputError
            For a part that is below 0, or greater than the whole.
        """
        return [Settling(*row) for row in self._core.settle(_numbers("type_a", type_a))]

    def causes(self, *, seen: Mapping[str, float | bool] | None = None, priors: Mapping[str, float] | None = None) -> Causes:
        """Likely causes of what was found: hypotheses, never a verdict. Needs the units of `System.prove`.

        Parameters
        ----------
        seen : dict of str to float or bool, optional
            What checks told since, by `NextCheck.check`, in the proof's units. ``stage``, ``match``, ``outdoor_unit``,
            ``return_duct``: whether something is wrong. ``subcooling``, ``superheat``, ``condensing``: above the maker's target, all read
            with the same gauges. Of readings how far the visit's stands above the better one: ``second_airflow`` as a share of it, ``outdoor``, ``barometer``; ``dry_bulbs_compared`` and
            ``humidities_compared`` how far the supply probe stands above the return probe in the same air. Power that was measured
            since belongs into the visit.
        priors : dict of str to float, optional
            By cause, in place of the stated ones: how probable each is before anything was read; ``two_at_once`` of all pairs together,
            as a share of the others' sum; by reading (``airflow``, ``supply_dry_bulb``, ...) which one it is, of a reading that is off.
            Only what they are to one another counts.

        Returns
        -------
        Causes

        Raises
        ------
        InputError
            For a prior that is none, or a check whose value is none.
        AttributeError
            Without units.
        """
        if self.units is None:
            raise AttributeError("causes: units are needed: prove(visit, units='IP') or units='SI'")
        return Causes(self._core.causes(_numbers("seen", seen), _numbers("priors", priors), self.units))

    def verdict(self, *, units: Literal["IP", "SI"]) -> str:
        """The first lines of the report: outcome, ratio, chance, why, and what to do next.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        str
        """
        return self._core.texts(units)["verdict"]

    def change_from(self, earlier: Proof) -> Change:
        """What changed since an earlier visit to the same machine, what is off in both alike left out.

        Instruments are told apart by their names in the two visits: errors of one go together as the visit says of it
        (``correlation``), by half where it does not. Two machines of one system are no one machine: other matches, line sets or sites tell
        them apart, names do not, and two in one place nobody can tell apart here.

        Parameters
        ----------
        earlier : Proof
            Of the same system, in the same mode.

        Returns
        -------
        Change

        Raises
        ------
        Refused
            Where one of the two has no ratio.
        InputError
            For unlike modes, and visits that cannot be to one machine.
        ValueError
            For another system.
        """
        if earlier.system != self.system:
            raise ValueError(f"earlier: a proof of {earlier.system.name!r}, where this one is of {self.system.name!r}")
        return Change(*self._core.change_from(earlier._core))

    def report(self, *, units: Literal["IP", "SI"]) -> str:
        """The whole proof as a text.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        str
        """
        return self._core.report(units)

    def record(self, *, earlier: Sequence[Proof] = ()) -> Record:
        """What is kept of this proof: a page to read and print, and everything to compute it again. Needs units.

        Parameters
        ----------
        earlier : sequence of Proof
            Of earlier visits to the machine: then what changed since is kept too, as `seasons` tells it, and those visits, to compute it again.

        Returns
        -------
        Record
            ``proof.record().write("library.html")`` writes the page, and ``library.json`` beside it.
        """
        if self.units is None:
            raise AttributeError("record: units are needed: prove(visit, units='IP') or units='SI'")
        return _record.record_of(self, earlier)

    def _repr_html_(self):
        texts, told = self._core.texts(self.units or "SI"), Told.to_dict(self)
        first, *more = texts["verdict"].splitlines()
        title = ", ".join(part for part in (self.visit.name or "visit", self.visit.date, self.system.name) if part)
        return _display.block(
            title,
            _display.verdict(first, *(line.strip() for line in more)),
            _display.table(
                ("evidence", "measured over expected", "± (coverage factor 2)"), _display.evidence(told, self.visit.mode)
            ),
            _display.table(("doubt from", "moves the ratio", "share"), [one["cells"] for one in _display.shares(told)]),
            _display.listed("what would settle it, best first", texts["settling"]),
            _display.listed("notes", texts["notes"]),
        )

    def __repr__(self):
        if self.ratio is None:
            return f"<Proof {self.outcome}: {self.reason}>"
        return (
            f"<Proof {self.outcome}: ratio {self.ratio:.3f} +- {self.ratio_u95:.3f}, P(>= {self.limit}) = {self.probability:.3f}>"
        )


def _numbers(what, given):
    """Numbers, or whether something is so, by name."""
    return {name: x if isinstance(x, bool) else _arrays.one(f"{what}: {name}", None, x) for name, x in (given or {}).items()}
