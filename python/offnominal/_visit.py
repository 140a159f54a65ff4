"""Visits: one set of readings with everything that a proof needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import json
from collections.abc import Mapping

from offnominal import _core, _texts, _write
from offnominal._value import PlainValue

if TYPE_CHECKING:
    import os
    from typing import Any


class Visit(PlainValue, _core.Visit):
    """One set of readings with everything needed to recompute its proof.

    Parameters
    ----------
    visit : str, os.PathLike or dict
        A visit file (``offnominal: visit/1``), or a dict with the same keys; quantities in it are text with a unit, such as
        ``"76.0 degF"``.
    forecast : bool
        For `System.plan`: of the supply air only the instrument need be said.

    Attributes
    ----------
    name, date : str
        As the visit says.
    mode : {"cooling", "heating"}
    stage : str
        The one that ran; empty where the visit says a speed alone.
    system_file : str
        As written; relative to the visit's own file.

    Raises
    ------
    InputError
        Where the visit is not what it should be.
    """

    def __init__(self, visit: str | os.PathLike[str] | Mapping[str, Any] | Visit, *, forecast: bool = False) -> None:
        if isinstance(visit, Mapping):
            try:
                text = json.dumps(visit, default=str, ensure_ascii=False)
            except ValueError:  # a dict within itself, or a number of more digits than Python writes
                raise _texts.error_at(
                    "<visit>", 0, 0, "no JSON can be made of this dict", "", "what a visit file holds"
                ) from None
            _texts.check_named(text, "<visit>")
            visit = _core.visit_of_json(text, "<visit>", forecast)
        elif not isinstance(visit, _core.Visit):
            visit = _core.load_visit(_texts.path_of(visit), forecast)
        super().__init__(visit)

    @classmethod
    def parse(cls, text: str, name: str = "<text>") -> Visit:
        """A visit from the text of a file.

        Parameters
        ----------
        text : str
        name : str
            What to call the text in error messages.

        Returns
        -------
        Visit
        """
        _texts.check_named(text, name)
        return cls(_core.parse_visit(text, name))

    def write(self, path: str | os.PathLike[str] | None = None, *, force: bool = False) -> str:
        """The visit as the text of a file, in the form that people type.

        Reading it gives the same visit back, every number bit for bit; what an instrument is good for is written in the words
        that are shortest.

        Parameters
        ----------
        path : str or os.PathLike, optional
            Where to write it too.
        force : bool
            Replace a file that is there already.

        Returns
        -------
        str

        Raises
        ------
        FileExistsError
            If the file is there and `force` is not true.
        """
        text = _core.write_visit(self)
        if path is not None:
            _write.write_new(path, text, force)
        return text

    @property
    def fields(self) -> tuple[str, ...]:
        """tuple of str: the keys of what the visit says, in the order of its file."""
        return tuple(self.to_dict())

    def to_dict(self) -> dict[str, Any]:
        """What the visit says, by the keys of its file, each value as it was typed: text, with its unit where it has one.

        Returns
        -------
        dict
            ``Visit`` of it is this visit again; `to_json` is a visit file too.
        """
        return _core.visit_tree(self)

    def _made_of(self):
        return Visit.parse, (self.write(), "<visit>")

    def _content(self):  # equal in every number, however each was typed
        return _core.visit_content(self)

    def __repr__(self):
        return f"<Visit {self.name!r}{f' of {self.date}' if self.date else ''}>"
