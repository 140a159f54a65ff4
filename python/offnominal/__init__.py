"""What a split air conditioner should deliver, what it does deliver, and the proof.

    import offnominal as on

    system = on.load("tables/demo/alder.yaml")
    expected = system.expect(units="IP", ...)
    delivered = on.deliver(units="IP", ...)
    proof = system.prove("tables/demo/library-visit.yaml")

It estimates; it never controls or certifies.
"""

from offnominal import air, standard205
from offnominal._core import __version__
from offnominal.collation import collate
from offnominal.errors import Error, InputError, MissingFile, Refused
from offnominal.field import deliver
from offnominal.grid import Grid
from offnominal.system import load, parse
from offnominal.transcription import transcribe
from offnominal.visit import write_visit

__all__ = ["Error", "Grid", "InputError", "MissingFile", "Refused", "__version__", "air", "collate", "deliver", "load", "parse", "standard205",
           "transcribe", "write_visit"]
