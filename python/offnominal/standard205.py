"""Standard 205 representations (ANSI/ASHRAE Standard 205, RS0004) as JSON or CBOR: read, check, convert, write.

A file is read, looked at, made a system, and written again without loss::

    r = on.standard205.read("unit.json")
    r.departures                  # where the file is not what the standard asks for
    system = r.system()           # as on.load("unit.json") gives it
    r.write("unit.cbor")

A unitary system (RS0002), which is made of one and of a fan, is read by `offnominal.load`: its indoor unit is the one match, with the
fan where it stands, and the fan's map is the blower table.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import json
import os
from collections.abc import Mapping
from typing import NamedTuple

from offnominal import _core, _texts, _write
from offnominal._system import System
from offnominal._value import Value

if TYPE_CHECKING:
    from typing import Any, Literal

__all__ = ["Departure", "Representation", "from_system", "parse", "read"]


class Departure(NamedTuple):
    """One way in which a file is not what the standard asks for, though its numbers can be used."""

    key: str
    problem: str
    asked: str


class Representation(Value):
    """A Standard 205 representation of an air-to-air direct-expansion system. Made by `read`, `parse` or `from_system`.

    Attributes
    ----------
    name : str
        The file, or what it was called.
    departures : list of Departure
        ``key`` (its path, such as ``"performance.performance_map_cooling.lookup_variables.operation_state"``), ``problem``
        and ``asked`` (what the standard asks for).
    """

    if TYPE_CHECKING:

        @property
        def name(self) -> str: ...
        @property
        def departures(self) -> list[Departure]: ...

    def __init__(self, core: Any) -> None:
        vars(self).update(_core=core)

    name = property(lambda self: self._core.name)
    departures = property(lambda self: [Departure(*d) for d in self._core.departures])

    def to_dict(self) -> dict[str, Any]:
        """The whole document, unknown keys and all, in the order of the file.

        Returns
        -------
        dict
            In the standard's own units: temperatures in kelvin. A changed one goes back through `parse`.
        """
        return json.loads(self._core.json())

    def system(self) -> System:
        """The representation as a system.

        Each compressor sequence number is a stage (``"1"``, ``"2"``, ...). Points in another operation state than NORMAL are
        past the operating limit: no answer leans on them.

        Returns
        -------
        System

        Raises
        ------
        InputError
            Without a cooling and a heating map, or where its numbers are no machine's.
        """
        return System(self._core.system())

    def to_bytes(self, format: Literal["json", "cbor"]) -> bytes:
        """The representation as a file would hold it.

        Parameters
        ----------
        format : {"json", "cbor"}

        Returns
        -------
        bytes
            The numbers bit for bit, and the keys in the order they were read with.
        """
        if format == "json":
            return self._core.json().encode()
        if format == "cbor":
            return self._core.cbor()
        raise ValueError(f"format: {format!r}; accepted: 'json' or 'cbor'")

    def write(self, path: str | os.PathLike[str], format: Literal["json", "cbor"] | None = None, *, force: bool = False) -> None:
        """Write a file, as a whole or not at all.

        Parameters
        ----------
        path : str or os.PathLike
        format : {"json", "cbor"}, optional
            Taken from the end of the path (``.json``, ``.cbor``) if not given.
        force : bool
            Replace a file that is there already.

        Raises
        ------
        FileExistsError
            If the file is there and `force` is not true.
        """
        data = self.to_bytes(format or os.path.splitext(os.fsdecode(path))[1].removeprefix(".").lower())  # type: ignore
        _write.write_new(path, data, force)

    def __repr__(self):
        return f"<Representation {self.name!r}: {len(self.departures)} departures>"

    def _made_of(self):
        return parse, (self._core.cbor(), self.name)


def read(path: str | os.PathLike[str]) -> Representation:
    """Read a representation; JSON and CBOR are told apart by content.

    Parameters
    ----------
    path : str or os.PathLike

    Returns
    -------
    Representation

    Raises
    ------
    InputError
        Where numbers are impossible or would mean something else than they should: with the key, the value, and what would be
        right.
    """
    return Representation(_core.read_representation(_texts.path_of(path)))


def parse(data: bytes | str | Mapping[str, Any], name: str = "<data>") -> Representation:
    """Read a representation from memory.

    Parameters
    ----------
    data : bytes, str or dict
        CBOR, JSON text, or a document as `Representation.to_dict` gives it.
    name : str
        What to call it in error messages.

    Returns
    -------
    Representation

    Raises
    ------
    InputError
    """
    if isinstance(data, Mapping):
        data = json.dumps(data)
    _texts.check_named(data, name)
    return Representation(_core.parse_representation(data.encode() if isinstance(data, str) else data, name))


def from_system(system: System) -> Representation:
    """A system as a representation: what its pages and the standard have in common.

    Parameters
    ----------
    system : System
        With gross pages of total, sensible and the outdoor unit's power, all stages over the same axes, without blanks. Humidity
        as relative humidity, or as wet bulb with sensible at one entering dry bulb; a pressure axis or a known elevation.

    Returns
    -------
    Representation
        Its `departures` name what the standard asks for beyond that, such as ``metadata.id``. What was left out stands in the
        document's ``metadata.notes``.

    Raises
    ------
    InputError
        Naming what is missing.
    """
    return Representation(_core.representation_of(system))
