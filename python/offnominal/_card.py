"""The target card of a test day: what a machine should deliver over outdoor dry bulb and entering wet bulb, to take along."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from offnominal import _arrays, _core, _display, _tables, _units
from offnominal._plan import PlannedChance
from offnominal._value import PlainValue, read_only

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any, Literal

    from numpy.typing import NDArray

    from offnominal._system import System
    from offnominal._visit import Visit

_MARK = "*"
_KINDS = {name: kind for name, kind, *_ in _core.told_of_expected}
_NOTES = "notes"
_CHANCES = "what such a visit would decide"
_BRING = "what would make it surer, best first"
_CAUTION = (
    "An estimate, which certifies nothing. Electricity, rotating parts and refrigerant (some burns) hurt: licensed work only; local code and "
    "the maker's instructions come first."
)


class TargetCard(PlainValue):
    """What a machine should deliver on a test day. Made by `System.target_card`.

    Attributes
    ----------
    system : System
    units : {"IP", "SI"}
    outdoor_dry_bulb, entering_wet_bulb : tuple of float
        Rows and columns.
    numbers : dict of str to numpy.ndarray
        By what is told, outdoor dry bulb by entering wet bulb; NaN where there is no answer.
    footing : numpy.ndarray of str
        What each cell leans on: ``"inside"`` on what is printed alone.
    reason : numpy.ndarray of str
        Why there is no answer; ``"none"`` where there is one.
    question : dict
        What holds for all cells.
    notes : tuple of str
        What was unknown or assumed in any cell.
    bring : tuple of str
        With a forecast: better measurements and what each would bring, best first.
    chances : tuple of PlannedChance
        With a forecast: how often such a visit would decide; ``decides`` has the same in words.
    """

    system: System
    units: Literal["IP", "SI"]
    outdoor_dry_bulb: tuple[float, ...]
    entering_wet_bulb: tuple[float, ...]
    numbers: dict[str, NDArray[np.float64]]
    footing: NDArray[Any]
    reason: NDArray[Any]
    question: dict[str, Any]
    notes: tuple[str, ...]
    bring: tuple[str, ...]
    chances: tuple[PlannedChance, ...]
    decides: tuple[str, ...]

    def __init__(
        self,
        system: System,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Sequence[float] | None,
        entering_wet_bulb: Sequence[float] | None,
        question: dict[str, Any],
        forecast: Visit | str | None,
    ) -> None:
        from offnominal import _system  # which imports this

        given = {"outdoor_dry_bulb": outdoor_dry_bulb, "entering_wet_bulb": entering_wet_bulb}
        _units.check_word("units", units)
        degrees = _units.unit_of(units, "temperature")
        given = {name: () if values is None else _values(values, name, degrees) for name, values in given.items()}
        visit = None if forecast is None else _system._of_visit(forecast, units, forecast=True)[0]
        card = _core.target_card(system, *_asked(system, units, question), *given.values(), visit)
        axes = {name: values or tuple(card[name]) for name, values in given.items()}
        shape = tuple(map(len, axes.values()))
        numbers = {name: read_only(np.reshape(values, shape)) for name, values in card["numbers"].items()}
        words = {name: read_only(np.reshape(np.array(card[name], object), shape)) for name in ("footing", "reason")}
        chances, decides, bring = map(tuple, card["plan"] or ((), (), ()))
        told = {"notes": tuple(card["notes"]), "decides": decides, "bring": bring}
        vars(self).update(
            axes, system=system, units=units, question=dict(question), numbers=numbers, **words, **told,
            chances=tuple(PlannedChance(*row) for row in chances),
        )  # fmt: skip

    def _unit(self, name):
        return _units.spoken(_units.unit_of(self.units, _KINDS[name]))

    def _tables(self):
        """Of each number a heading, the columns' headings and the rows of cells."""
        degrees = _units.unit_of(self.units, "temperature")
        for name, values in self.numbers.items():
            if np.isnan(values).all():
                continue
            rows = [
                [f"{outdoor:g}"]
                + [
                    _display.number(x, self._unit(name)).removesuffix(self._unit(name)).strip("\u202f ")
                    + ("" if x != x or footing == "inside" else _MARK)
                    for x, footing in zip(cells, footings)
                ]
                for outdoor, cells, footings in zip(self.outdoor_dry_bulb, values, self.footing)
            ]
            yield (
                f"{_display.words(name)}, {self._unit(name)}",
                [f"outdoor, wet bulb {degrees}", *(f"{x:g}" for x in self.entering_wet_bulb)],
                rows,
            )

    def _legend(self):
        leans = sorted({word for one in self.footing.ravel() for word in str(one).split(", ")} - {"inside"})
        none = sorted({str(one) for one in self.reason.ravel()} - {"none"})
        if leans:
            yield f"{_MARK} leans on more than what is printed there: {', '.join(map(_display.words, leans))}"
        if none:
            yield f"– no answer: {', '.join(map(_display.words, none))}"

    def _lists(self):
        lists = (_NOTES, self.notes), (_CHANCES, self.decides), (_BRING, self.bring)
        return [(heading, lines) for heading, lines in lists if lines]

    def _of(self):
        unsaid = None, False, "refuse", "cooling", ""
        return ", ".join(
            f"{_display.words(name)} {f'{value:g}' if isinstance(value, (int, float)) else value}"
            for name, value in self.question.items()
            if not any(value is one for one in unsaid[:2]) and value not in unsaid[2:]
        )

    def to_rows(self) -> list[dict[str, Any]]:
        """One row a cell.

        Returns
        -------
        list of dict
        """
        return [
            {
                "outdoor_dry_bulb": outdoor,
                "entering_wet_bulb": wet,
                **{name: None if values[i, j] != values[i, j] else float(values[i, j]) for name, values in self.numbers.items()},
                "footing": str(self.footing[i, j]),
                "reason": str(self.reason[i, j]),
            }
            for i, outdoor in enumerate(self.outdoor_dry_bulb)
            for j, wet in enumerate(self.entering_wet_bulb)
        ]

    def to_dict(self) -> dict[str, Any]:
        """All of it as plain values.

        Returns
        -------
        dict
        """
        return {
            "told": "TargetCard",
            "units": self.units,
            "fields": self.units_of_columns,
            "cells": self.to_rows(),
            "notes": list(self.notes),
            "decides": list(self.decides),
            "bring": list(self.bring),
        }

    def _made_of(self):  # not asked again: of a forecast without supply air there is no file
        return _restored, (dict(vars(self)),)

    def __repr__(self):
        rows, columns = self.reason.shape
        return f"<TargetCard of {self.system.name!r}: {rows} by {columns}>"

    def to_pandas(self) -> Any:
        """One row a cell; ``attrs["units"]`` holds the units of its columns.

        Returns
        -------
        pandas.DataFrame
        """
        return _tables.of_rows(self.to_rows(), self.units_of_columns)

    @property
    def units_of_columns(self) -> dict[str, str]:
        """dict of str to str: the units of the numbers."""
        degrees = _units.unit_of(self.units, "temperature")
        numbers = {name: _units.unit_of(self.units, _KINDS[name]) for name in self.numbers}
        return {"outdoor_dry_bulb": degrees, "entering_wet_bulb": degrees, **numbers}

    def __str__(self):
        parts = [f"target card: {self.system.name}", f"  {self._of()}"]
        for heading, columns, rows in self._tables():
            parts += ["", heading, _display.text_table(columns, rows)]
        parts += ["", *self._legend()]
        for heading, lines in self._lists():
            parts += [heading, *(f"  {one}" for one in lines)]
        return "\n".join([*parts, _CAUTION]) + "\n"

    def _body(self):
        parts = [f"<p>{_display.escaped(self._of())}</p>"]
        tables = "".join(f"<div>{_display.table(columns, rows, heading)}</div>" for heading, columns, rows in self._tables())
        parts.append(f'<div style="display: grid; grid-template-columns: repeat(auto-fit, minmax(19rem, 1fr))">{tables}</div>')
        parts += [_display.line(one) for one in self._legend()]
        lists = [_display.listed(heading, lines) for heading, lines in self._lists()]
        return "".join([*parts, *lists, _display.line(_CAUTION)])

    def _repr_html_(self):
        return _display.block(f"target card: {self.system.name}", self._body())

    def html(self) -> str:
        """One page that needs nothing else, to print and take along.

        Returns
        -------
        str
        """
        title = _display.escaped(f"Target card: {self.system.name}")
        return (
            f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, '
            f'initial-scale=1"><title>{title}</title><style>{_display.style()} body {{ margin: 0 auto; padding: 1rem; max-width: '
            f"50rem; font: 14px/1.4 system-ui, sans-serif; }} @media print {{ @page {{ margin: 12mm; }} body {{ font-size: 9pt; }} }}"
            f'</style></head><body class="offnominal"><h1>{title}</h1>{self._body()}</body></html>\n'
        )


def _restored(told):
    """A card that was pickled."""
    for values in (*told["numbers"].values(), told["footing"], told["reason"]):
        read_only(values)
    card = object.__new__(TargetCard)
    vars(card).update(told)
    return card


def _values(values, name, unit):
    out = np.atleast_1d(_arrays.number(name, unit, values))
    if out.ndim > 1 or not out.size:
        raise ValueError(f"{name}: {_arrays.in_words(values)}; accepted: one number or more")
    return tuple(out.tolist())


def _asked(system, units, question):
    """What holds for all cells, as the core takes it."""
    from offnominal import _system

    nothing = float("nan")
    _tables.check_arguments(system, question)
    named = {"entering_dry_bulb": None, "airflow": None, "boundary": "", **question}
    stage, match = named.pop("stage", ""), named.pop("match", "")
    call, humidity, units_of, numbers = _system._asked_by(units, nothing, entering_wet_bulb=nothing, **named)
    arguments = _system._arguments_of(system, stage, match, humidity, units_of, numbers)
    (stage, match, *numbers), shape, _ = _arrays.take(arguments)
    if shape:
        raise ValueError("target card: an array; accepted: one value of all but outdoor_dry_bulb and entering_wet_bulb")
    return call, stage[0][0], match[0][0], numbers
