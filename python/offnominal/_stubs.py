"""Writes into the stubs what is told, from the one list in the compiled module: ``python -m offnominal._stubs python/offnominal``.

And the stub of the package, from its list of names. A test holds the stubs against the lists.
"""

import pathlib
import sys

import offnominal
from offnominal import _core

START, END = "    # what is told, by _stubs.py", "    # end of what is told"
EXPECTED, DELIVERED, PROOF = _core.told_of_expected, _core.told_of_delivered, _core.told_of_proof


def _properties(told, kind="float | None"):
    lines = []
    for name, _, modes, meaning in told:
        of_mode = "" if len(modes) > 1 else f" ({modes[0]})"
        lines += ["    @property", f"    def {name}(self) -> {kind}:", f'        """{meaning}{of_mode}"""']
    return lines


def _attributes(told, kind):
    return [f"    {name}: {kind}" for name, *_ in told]


COLUMN = "NDArray[np.float64]"
PACKAGE = "__init__.pyi"
STUBS = {  # by file: what is told in each of its classes
    "_core.pyi": {"Expected": _properties(EXPECTED), "Delivered": _properties(DELIVERED)},
    "_answers.pyi": {"ExpectedBatch": _properties(EXPECTED, COLUMN), "DeliveredBatch": _properties(DELIVERED, COLUMN)},
    "_proof.py": {"Proof": _attributes(PROOF, "float | None")},
}


def _package():
    """The text of the package's stub: each name, imported where `offnominal.__getattr__` finds it."""
    homes = [".", "._core", *(f".{home}" for home in offnominal._HOMES)]
    names = [offnominal._MODULES, ["__version__"], *(names.split() for names in offnominal._HOMES.values())]
    lines = ['"""Written by _stubs.py, from the list in __init__.py."""', ""]
    lines += [f"from {home} import {name} as {name}" for home, of in zip(homes, names) for name in of]
    return "\n".join([*lines, "", "__all__ = [", *(f'    "{name}",' for name in offnominal.__all__), "]", ""])


def updated(file, text):
    """The text of a stub file with what is told in it."""
    if file == PACKAGE:
        return _package()
    for of, lines in STUBS[file].items():
        head, found, rest = text.partition(f"class {of}(") if f"class {of}(" in text else text.partition(f"class {of}:")
        before, _, after = rest.partition(START)
        _, _, after = after.partition(END)
        text = head + found + before + "\n".join([START, *lines, END]) + after
    return text


def main(folder):
    """Update every stub file in a folder."""
    for file in (PACKAGE, *STUBS):
        path = pathlib.Path(folder) / file
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        path.write_text(updated(file, text), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
