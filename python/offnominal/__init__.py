"""What a split air conditioner should deliver, what it does deliver, and the proof.

    import offnominal as on

    system = on.load("tables/demo/alder.yaml")
    expected = system.expect(units="IP", ...)
    delivered = on.deliver(units="IP", ...)
    proof = system.prove("tables/demo/library-visit.yaml")

It estimates; it never controls or certifies.
"""

from offnominal import air, errors, standard205
from offnominal._audit import PageAudit, audit_file
from offnominal._answers import DeliveredBatch, ExpectedBatch
from offnominal._collation import Collation, collate
from offnominal._core import Delivered, Expected, __version__
from offnominal._field import deliver
from offnominal._grid import Grid
from offnominal._pages import Page
from offnominal._proof import Proof
from offnominal._system import System, load, parse
from offnominal._transcription import Transcription, transcribe
from offnominal._visit import Visit
from offnominal.errors import Error, InputError, MissingFile, Refused

__all__ = [
    "Collation",
    "Delivered",
    "DeliveredBatch",
    "Error",
    "Expected",
    "ExpectedBatch",
    "Grid",
    "InputError",
    "MissingFile",
    "Page",
    "PageAudit",
    "Proof",
    "Refused",
    "System",
    "Transcription",
    "Visit",
    "__version__",
    "air",
    "audit_file",
    "collate",
    "deliver",
    "errors",
    "load",
    "parse",
    "standard205",
    "transcribe",
]
