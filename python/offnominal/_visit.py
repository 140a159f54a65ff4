"""Visits as files."""

import json
import os
from collections.abc import Mapping

from offnominal import _core, _write


def write_visit(visit, path=None, *, force=False):
    """A visit as the text of a file, in the form that people type.

    Reading it gives the same visit back, every number bit for bit; what an instrument is good for is written in the words that
    are shortest.

    Parameters
    ----------
    visit : str, os.PathLike or dict
        A visit file, or a dict with the same keys; see `System.prove`.
    path : str or os.PathLike, optional
        Where to write it too.
    force : bool
        Replace a file that is there already.

    Returns
    -------
    str

    Raises
    ------
    InputError
        Where the visit is not what it should be.
    FileExistsError
        If the file is there and `force` is not true.
    """
    if isinstance(visit, Mapping):
        core = _core.parse_visit(json.dumps(visit, default=str, ensure_ascii=False), "<visit>")
    else:
        core = _core.load_visit(os.fspath(visit))
    text = _core.write_visit(core)
    if path is not None:
        _write.write_new(path, text, force)
    return text
