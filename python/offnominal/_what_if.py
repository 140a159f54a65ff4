"""What if: a base case and named changes of it, and the steps of the ledger that moved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from collections.abc import Mapping

from offnominal import _arrays, _tables
from offnominal._value import Value
from offnominal.errors import Refused

if TYPE_CHECKING:
    from typing import Any

    from offnominal._core import Expected
    from offnominal._system import System

_TOLD = ("total_capacity", "sensible_capacity", "power", "leaving_dry_bulb", "uncertainty")


class WhatIf(Value):
    """A base case and named changes of it. Made by `System.what_if`.

    Attributes
    ----------
    base : Expected
    cases : dict of str to (Expected or Refused)
        By the name of each change: what is expected then, or why nothing is.
    units : dict of str to str
        Of the numbers in `rows`.
    """

    base: Expected
    cases: dict[str, Expected | Refused]
    units: dict[str, str]

    def __init__(self, base: Expected, cases: dict[str, Expected | Refused]) -> None:
        vars(self).update(base=base, cases=cases, units={name: base.fields[name] for name in _TOLD})

    @property
    def rows(self) -> list[dict[str, Any]]:
        """list of dict: the base case (``case`` is empty) and each change: ``case``; total and sensible capacity, power, leaving dry
        bulb and standard uncertainty, each beside its difference from the base case (``total_capacity_change``), None where there
        is none; ``footing``; ``moved``, as of `moved`; ``reason``, ``"none"`` where there is an answer."""
        return [self._row("", self.base), *(self._row(name, case) for name, case in self.cases.items())]

    def _row(self, name, case):
        refused = isinstance(case, Refused)
        row = {"case": name}
        for number in _TOLD:
            value, base = None if refused else getattr(case, number), getattr(self.base, number)
            row[number] = value
            row[f"{number}_change"] = None if value is None or base is None else value - base
        moved = [] if refused else self.moved(name) if name else []
        return row | {
            "footing": "" if refused else case.footing,
            "moved": moved,
            "reason": case.why if refused else "none",
        }

    def moved(self, name: str) -> list[tuple[str, str, float]]:
        """The steps of the ledger that a change moved, largest first.

        Parameters
        ----------
        name : str
            One of `cases`, which has an answer.

        Returns
        -------
        list of tuple of (str, str, float)
            What the step is of (``"total"``, ``"sensible"``, ``"power"``), the step, and by how much more it adds than in the
            base case, in the unit of that capacity or power. What the page prints counts whole. Steps that add the same are left out.
        """
        adds, added = _added(self.cases[name]), _added(self.base)
        out = []
        for key in dict.fromkeys((*added, *adds)):
            change = adds.get(key, 0.0) - added.get(key, 0.0)
            if abs(change) > 1e-9 * max(abs(adds.get(key, 0.0)), abs(added.get(key, 0.0))):
                out.append((*key, change))
        return sorted(out, key=lambda step: -abs(step[2]))

    def report(self) -> str:
        """The differences as a text.

        Returns
        -------
        str
        """
        unit = self.units["total_capacity"]
        wide = max(4, *map(len, self.cases))
        lines = [f"{'base':{wide}}  total {self.base.total_capacity:,.0f} {unit}"]
        for row in self.rows[1:]:
            if row["reason"] != "none":
                lines.append(f"{row['case']:{wide}}  no answer: {self.cases[row['case']]}")
                continue
            change, share = row["total_capacity_change"], row["total_capacity_change"] / self.base.total_capacity
            moved = ", ".join(f"{step} {by:+,.0f}" for of, step, by in row["moved"] if of == "total")
            lines.append(
                f"{row['case']:{wide}}  total {change:+,.0f} {unit} ({100 * share:+.1f} %)" + (f": {moved}" if moved else "")
            )
        return "\n".join(lines) + "\n"

    def to_pandas(self) -> Any:
        """`rows` as a DataFrame, by the name of the change; without `moved`.

        Returns
        -------
        pandas.DataFrame
        """
        rows = [{name: value for name, value in row.items() if name != "moved"} for row in self.rows]
        return _tables.of_rows(rows, self.units).set_index("case")

    def _made_of(self):
        return WhatIf, (self.base, self.cases)

    def __repr__(self):
        return f"<WhatIf: {', '.join(self.cases)}>"


def _added(expected):
    """What each step of a ledger adds, by what it is of and its name; what the page prints is added to nothing."""
    out = {}
    for step in expected.ledger:
        if step["of"] in ("total", "sensible", "power"):
            key = step["of"], step["step"]
            out[key] = out.get(key, 0.0) + (step["after"] if step["step"] == "page" else step["after"] - step["before"])
    return out


def what_if(system: System, base: Mapping[str, Any], changes: Mapping[str, Mapping[str, Any]]) -> WhatIf:
    """See `System.what_if`."""
    cases = {}
    for name, change in changes.items():
        # One of several alternatives given anew stands for the one of the base case.
        kept = {key: value for key, value in base.items() if not any(_instead(new, key) for new in change)}
        try:
            cases[name] = system.expect(**{**kept, **change})
        except Refused as refused:
            cases[name] = refused
    return WhatIf(system.expect(**base), cases)


def sensitivities(system: System, base: Mapping[str, Any], by: Mapping[str, float]) -> WhatIf:
    """See `System.sensitivities`."""
    cases = {}
    for name, step in by.items():
        line = _tables.LINE.get(name)
        given = base.get("line_set") if line else base
        at = given.get(line or name) if isinstance(given, Mapping) else None
        known = isinstance(at, (int, float)) and not isinstance(at, bool)
        if not known or not isinstance(step, (int, float)) or not step > 0:
            problem = f"{_arrays.in_words(step)}; accepted: a number above 0" if known else "no number in the base case"
            raise ValueError(f"by: {name}: {problem}")
        at, step = (_arrays.one(f"{argument}: {name}", None, x) for argument, x in (("base", at), ("by", step)))
        for moved in (at - step, at + step):
            cases[f"{name} {moved:g}"] = {"line_set": {**given, line: moved}} if line else {name: moved}
    found = what_if(system, base, cases)
    unit = found.base.total_capacity

    def moves(name):
        """How far either side of a case's argument moves total; what has no answer last."""
        own = [case for other, case in found.cases.items() if other.rpartition(" ")[0] == name.rpartition(" ")[0]]
        return max((abs(case.total_capacity - unit) for case in own if not isinstance(case, Refused)), default=-1.0)

    return WhatIf(found.base, {name: found.cases[name] for name in sorted(cases, key=moves, reverse=True)})


_ALTERNATIVES = (
    ("entering_wet_bulb", "entering_relative_humidity", "entering_humidity_ratio", "entering_dew_point"),
    ("airflow_basis", "airflow_at"),
    ("elevation", "pressure"),
    ("stage", "speed"),
)


def _instead(new, old):
    return new != old and any(new in ways and old in ways for ways in _ALTERNATIVES)
