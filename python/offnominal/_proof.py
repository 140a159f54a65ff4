"""The proof of one visit."""

from offnominal import _core, _units

_KINDS = {name: kind for name, kind, *_ in _core.told_of_proof}
_NEED_UNITS = ("expected", "delivered", *(name for name, kind in _KINDS.items() if len(set(_units.UNITS[kind])) > 1))


class Proof:
    """Whether a machine delivers what it should. Made by `System.prove`.

    Attributes
    ----------
    outcome : {"meets", "falls_short", "undecided", "implausible", "not_comparable"}
    ratio : float or None
        Delivered total over expected total, at the visit's boundary.
    ratio_u, ratio_u95 : float or None
        Its standard uncertainty, and the expanded one (coverage factor 2, about 95 %).
    probability : float or None
        That the true ratio is at least the limit.
    limit, confidence : float
    reason : str
        Why there is no ratio; ``"none"`` where there is one.
    budget : list of dict
        One for each input, largest share first: ``input``, ``standard_uncertainty_si``; ``delivered``, ``expected`` and ``ratio``
        (relative change for one standard uncertainty), ``power_ratio`` likewise where powers are compared; ``share`` of the
        ratio's variance.
    expected_u, expected_share : float
        Relative standard uncertainty of the expected side's own terms, and their share.
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

    def __init__(self, core, units):
        self._core = core
        self._units = units

    def __getattr__(self, name):
        if name.startswith("_"):
            raise AttributeError(name)
        if name in _NEED_UNITS and self._units is None:
            raise AttributeError(f"{name}: units are needed for capacities and efficiencies: prove(visit, units='IP') or units='SI'")
        if name in _KINDS:
            return self._core.told(name, self._units or "SI")
        if name in _NEED_UNITS:
            return getattr(self._core, name)(self._units)
        return getattr(self._core, name)

    def __dir__(self):
        return sorted({*super().__dir__(), *_KINDS, *_NEED_UNITS, *(n for n in dir(self._core) if not n.startswith("_"))})

    def report(self, *, units):
        """The whole proof as a text.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        str
        """
        return self._core.report(units)

    def __repr__(self):
        if self.ratio is None:
            return f"<Proof {self.outcome}: {self.reason}>"
        return f"<Proof {self.outcome}: ratio {self.ratio:.3f} +- {self.ratio_u95:.3f}, P(>= {self.limit}) = {self.probability:.3f}>"
