"""What results, systems and grids have in common: they are values."""

from __future__ import annotations

from typing import TYPE_CHECKING

import json
import math
from collections.abc import Mapping

import numpy as np

if TYPE_CHECKING:
    from typing import Any

    from typing_extensions import Self


class Value:
    """Immutable; compared, hashed, copied and pickled by content.

    A class says with `_made_of` what makes an equal object: a function and its arguments.
    """

    def __reduce__(self):
        return self._made_of()

    def _content(self):
        return content(self._made_of()[1])

    def __eq__(self, other: object) -> bool:
        return content(self) == content(other) if type(self) is type(other) else NotImplemented

    def __hash__(self) -> int:
        return hash(content(self))

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: Any) -> Self:
        return self

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"{name}: a {type(self).__name__} does not change")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"{name}: a {type(self).__name__} does not change")


class PlainValue(Value):
    """A value that tells all of itself as plain values, by `to_dict`."""

    def to_dict(self) -> dict[str, Any]:
        """All of it as plain values."""
        raise NotImplementedError

    def to_json(self) -> str:
        """All of it as JSON.

        Returns
        -------
        str
            NaN and what is not there stand as null.
        """
        return json.dumps(plain(self.to_dict()), ensure_ascii=False, allow_nan=False)


def content(x: Any) -> Any:
    """What can be compared and hashed in place of a value, an array, or what holds such; NaN is like NaN."""
    if hasattr(type(x), "_content"):  # the compiled classes are values too
        return type(x), x._content()
    if isinstance(x, np.ndarray):
        if x.dtype.names:  # between the fields of a record there may be anything
            return tuple((name, content(x[name])) for name in x.dtype.names)
        return x.shape, x.dtype.str, content(x.tolist()) if x.dtype.kind == "O" else x.tobytes()
    if isinstance(x, Mapping):
        return tuple((key, content(value)) for key, value in x.items())
    if isinstance(x, (list, tuple)):
        return tuple(map(content, x))
    return "nan" if isinstance(x, float) and x != x else x


def read_only(array: Any) -> Any:
    """An array, which can no longer be written to; anything else as it is."""
    if isinstance(array, np.ndarray):
        array.flags.writeable = False
    return array


def plain(x: Any) -> Any:
    """What JSON can hold: arrays as lists, times as text, what is not finite as None."""
    if isinstance(x, dict):
        return {name: plain(value) for name, value in x.items()}
    if isinstance(x, (list, tuple)):
        return [plain(value) for value in x]
    if hasattr(x, "dtype"):
        return str(x) if x.dtype.kind == "M" else plain(np.asarray(x).tolist())
    return None if isinstance(x, float) and not math.isfinite(x) else x
