"""What a split air conditioner should deliver, what it does deliver, and the proof.

    import offnominal as on

    system = on.load("tables/demo/alder.yaml")
    expected = system.expect(units="IP", ...)
    delivered = on.deliver(units="IP", ...)
    proof = system.prove("tables/demo/library-visit.yaml")

It estimates; it never controls or certifies.
"""

from offnominal import air
from offnominal._core import __version__
from offnominal.errors import Error, InputError, Refused
from offnominal.field import deliver
from offnominal.grid import Grid
from offnominal.system import load, parse

__all__ = ["Error", "Grid", "InputError", "Refused", "__version__", "air", "deliver", "load", "parse"]
