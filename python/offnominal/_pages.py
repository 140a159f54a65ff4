"""Printed pages as data."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from offnominal import _display

if TYPE_CHECKING:
    from typing import Any, Literal
    from numpy.typing import NDArray


class Page:
    """One printed page of a system, as typed and in the caller's units. Made by `System.pages`.

    Arrays have the shape of the page: one axis after the other, the last the fastest.

    Attributes
    ----------
    mode : {"cooling", "heating"}
    frost : {"instantaneous", "integrated", "unknown"} or None
        What a heating page is.
    stage, match : str
        `match` is empty for the system's own pages.
    speed : float or None
        Of a variable-speed stage: 1/s for Hz and rpm, a fraction for %.
    infer, multiplied : bool
        Whether inferred values are allowed; whether part of the page comes from a multiplier row.
    axes : dict of str to ndarray
        Breakpoints by axis, in the order of the nodes. ``indoor_pair`` has rows of dry and wet bulb.
    shape : tuple of int
    columns : dict of str to ndarray
        Numbers by role (``total``, ``sensible``, ``power``, ...), NaN where the page has none.
    units : dict of str to str
        The unit of each axis and column.
    steps : dict of str to float
        One unit in the last printed place of each column; 0 where it was never printed.
    typed : dict of str to ndarray of str
        The texts of each typed column, axes included; empty where the page has none. Empty for a page built in code.
    typed_units : dict of str to str
        The units they were typed in.
    marks : ndarray of str
        ``"printed"``, ``"dry"``, ``"blank"`` or ``"beyond_limit"``.
    places : list of (str, int, int)
        File, line and column of each node, flat; empty for a page built in code.
    basis : dict
        What the page says of itself; None or ``"unknown"`` where it does not.
    notes : list of str
        What follows from what it does not say, in every answer.
    """

    mode: Literal["cooling", "heating"]
    frost: str | None
    stage: str
    match: str
    speed: float | None
    infer: bool
    multiplied: bool
    axes: dict[str, NDArray[np.float64]]
    shape: tuple[int, ...]
    columns: dict[str, NDArray[np.float64]]
    units: dict[str, str]
    steps: dict[str, float]
    typed: dict[str, NDArray[np.str_]]
    typed_units: dict[str, str]
    marks: NDArray[np.str_]
    places: list[tuple[str, int, int]]
    basis: dict[str, Any]
    notes: list[str]

    def __init__(self, data: dict[str, Any]) -> None:
        for name in ("mode", "frost", "stage", "match", "speed", "infer", "multiplied", "places", "basis", "notes"):
            setattr(self, name, data[name])
        self.axes = {name: np.asarray(values, np.float64) for name, values, _ in data["axes"]}
        self.shape = tuple(len(values) for values in self.axes.values())
        self.columns = {role: values.reshape(self.shape) for role, (values, _, _) in data["columns"].items()}
        self.units = {name: unit for name, _, unit in data["axes"]}
        self.units |= {role: unit for role, (_, unit, _) in data["columns"].items()}
        self.steps = {role: step for role, (_, _, step) in data["columns"].items()}
        self.typed = {role: np.array(texts, str).reshape(self.shape) for role, (texts, _) in data["typed"].items()}
        self.typed_units = {role: unit for role, (_, unit) in data["typed"].items()}
        self.marks = np.array(data["marks"], str).reshape(self.shape)

    def table(self) -> dict[str, NDArray[Any]]:
        """The page in long form, for a DataFrame: ``pandas.DataFrame(page.table())``.

        Returns
        -------
        dict of str to ndarray
            The axes, the columns and ``mark``, one value for each node.
        """
        out = {}
        index = np.indices(self.shape).reshape(len(self.shape), -1)
        for number, (name, values) in enumerate(self.axes.items()):
            if name == "indoor_pair":
                out["entering_dry_bulb"], out["entering_wet_bulb"] = values[index[number]].T
            else:
                out[name] = values[index[number]]
        out |= {role: values.reshape(-1) for role, values in self.columns.items()}
        out["mark"] = self.marks.reshape(-1)
        return out

    @property
    def label(self) -> str:
        """How the page is called in messages: ``high``, ``indoor B: high``, ``heating, integrated: high``."""
        parts = [f"heating, {self.frost}"] if self.mode == "heating" else []
        return ": ".join(part for part in (*parts, self.match, self.stage) if part)

    def _repr_html_(self):
        shown = 12
        told = self.table()
        headings = [
            f"{_display.words(name)} [{self.units[name]}]" if name in self.units else _display.words(name) for name in told
        ]
        rows = [
            [f"{x:.5g}" if isinstance(x, float) else x for x in row] for row in zip(*(x[:shown].tolist() for x in told.values()))
        ]
        more = f"and {self.marks.size - shown} more nodes" if self.marks.size > shown else ""
        return _display.block(repr(self).strip("<>"), _display.table(headings, rows), _display.line(more))

    def __repr__(self):
        return f"<Page {self.label!r}: {self.marks.size} nodes over {', '.join(self.axes)}; {', '.join(self.columns)}>"
