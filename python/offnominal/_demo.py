"""The demo: invented systems and visits that come with the package, and the main job done with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import os
from pathlib import Path

from offnominal import _visit
from offnominal._system import load
from offnominal._write import write_new

if TYPE_CHECKING:
    from argparse import Namespace
    from typing import Any
    from offnominal import _results

_FOLDER = Path(__file__).parent / "demo"


def demo_file(name: str) -> Path:
    """The path of a file of the demo, which comes with the package. All of it is invented.

    Parameters
    ----------
    name : str
        ``"alder.yaml"`` (a two-stage heat pump), ``"birch.yaml"`` (one of variable speed), ``"library-visit.yaml"``,
        ``"library-heating-visit.yaml"``.

    Returns
    -------
    pathlib.Path

    Raises
    ------
    FileNotFoundError
        Where the demo has no such file.
    """
    if name not in _names():
        raise FileNotFoundError(f"{name!r} is no file of the demo; accepted: {', '.join(_names())}")
    return _FOLDER / name


def _names():
    return sorted(path.name for path in _FOLDER.iterdir() if path.suffix in (".yaml", ".csv"))


def add_command(commands: Any) -> None:
    """Add ``offnominal demo`` to the command's parsers."""
    command = commands.add_parser(
        "demo",
        help="a proof of an invented machine, from files that come with the package",
        description="Proves an invented machine from an invented visit, which come with the package. Start there: copy the files, "
        "change a reading, and prove again.",
    )
    command.add_argument("--copy", metavar="FOLDER", help="copy the demo's files there instead")
    command.add_argument("--force", action="store_true", help="replace files that are there already")


def run_command(options: Namespace) -> _results.Result:
    """Run ``offnominal demo``."""
    from offnominal import _results

    if options.copy is not None:
        return _copy(options.copy, options.force)
    visit = _visit.Visit(demo_file("library-visit.yaml"))
    proof = load(demo_file(visit.system_file)).prove(visit, units="IP")
    invented = "(machine, library and readings are invented; --copy FOLDER gives the files to try)\n"
    return _results.of_told(proof, lambda: proof.verdict(units="IP") + invented, _results.WORDS_OF_A_PROOF)


def _copy(folder, force):
    there = [name for name in _names() if os.path.exists(os.path.join(folder, name))]
    if there and not force:
        raise FileExistsError(f"{os.path.join(folder, there[0])} is there already; --force replaces it")
    os.makedirs(folder, exist_ok=True)
    for name in _names():
        write_new(os.path.join(folder, name), demo_file(name).read_bytes(), force)
    visit = os.path.join(folder, "library-visit.yaml")
    from offnominal import _results

    said = f"{len(_names())} files, all invented, are in {folder}; now:\n  offnominal prove {visit} --units IP\n"
    files = {"file": [os.path.join(folder, name) for name in _names()]}
    return _results.Result(lambda: said, lambda: {"told": "Files", **files}, lambda: files)
