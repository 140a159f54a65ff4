"""Writes into the stubs what is told, from the one list in the compiled module: ``python -m offnominal._stubs python/offnominal``.

A test holds the stubs against the list.
"""

import pathlib
import sys

from offnominal import _core

START, END = "    # what is told, by _stubs.py", "    # end of what is told"
EXPECTED, DELIVERED, PROOF = _core.told_of_expected, _core.told_of_delivered, _core.told_of_proof


def _properties(told, kind="float | None"):
    lines = []
    for name, _, modes, meaning in told:
        of_mode = "" if len(modes) > 1 else f" ({modes[0]})"
        lines += ["    @property", f"    def {name}(self) -> {kind}:", f'        """{meaning}{of_mode}"""', "        ..."]
    return lines


def _attributes(told, kind):
    return [f"    {name}: {kind}" for name, *_ in told]


COLUMN = "NDArray[np.float64]"
STUBS = {  # by file: what is told in each of its classes
    "_core.pyi": {"Expected": _properties(EXPECTED), "Delivered": _properties(DELIVERED)},
    "_answers.pyi": {"ExpectedBatch": _properties(EXPECTED, COLUMN), "DeliveredBatch": _properties(DELIVERED, COLUMN)},
    "_proof.pyi": {"Proof": _attributes(PROOF, "float | None")},
}


def updated(file, text):
    """The text of a stub file with what is told in it."""
    for of, lines in STUBS[file].items():
        head, found, rest = text.partition(f"class {of}(") if f"class {of}(" in text else text.partition(f"class {of}:")
        before, _, after = rest.partition(START)
        _, _, after = after.partition(END)
        text = head + found + before + "\n".join([START, *lines, END]) + after
    return text


def main(folder):
    """Update every stub file in a folder."""
    for file in STUBS:
        path = pathlib.Path(folder) / file
        path.write_text(updated(file, path.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
