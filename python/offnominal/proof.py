"""The proof of one visit."""

from offnominal.field import Delivered

_NEED_UNITS = ("expected", "delivered", "efficiency", "expected_efficiency")


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
    """

    def __init__(self, core, units):
        self._core = core
        self._units = units

    def __getattr__(self, name):
        if name.startswith("_") or name in _NEED_UNITS:
            raise AttributeError(f"{name}: units are needed for capacities and efficiencies: prove(visit, units='IP') or units='SI'")
        return getattr(self._core, name)

    def __dir__(self):
        return sorted({*super().__dir__(), *(n for n in dir(self._core) if not n.startswith("_"))})

    def _needs_units(self):
        if self._units is None:
            raise AttributeError("units are not given")  # told by __getattr__, which Python asks next
        return self._units

    @property
    def expected(self):
        """What the machine should deliver: an `Expected`, or None where the page has no answer."""
        return self._core.expected(self._needs_units())

    @property
    def delivered(self):
        """What the machine delivers: a `Delivered`."""
        return Delivered(self._needs_units(), self._core.delivered())

    @property
    def efficiency(self):
        """Delivered total over measured power: Btu/Wh (EER) in IP, W/W (COP) in SI. None where powers are not compared."""
        return self._core.efficiency(self._needs_units())

    @property
    def expected_efficiency(self):
        """Expected total over expected power, as `efficiency`."""
        return self._core.expected_efficiency(self._needs_units())

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
