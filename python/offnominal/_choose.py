"""Choosing: which machine, indoor unit, airflow and blower setting meets design loads at design conditions."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, overload

import numpy as np

from offnominal import _arrays, _core, _display, _system, _tables, _units, _value

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import Any, Literal

    from offnominal._system import System

LIMITS: tuple[str, ...] = tuple(_core.sizing_limits)

# Of each number that is asked: its kind.
ASKED: dict[str, str] = {
    "total_load": "capacity",
    "sensible_load": "capacity",
    "latent_load": "capacity",
    "outdoor_dry_bulb": "temperature",
    "entering_dry_bulb": "temperature",
    "heating_load": "capacity",
    "heating_outdoor_dry_bulb": "temperature",
    "heating_entering_dry_bulb": "temperature",
    "no_heating_load": "temperature",
    "elevation": "length",
    "pressure": "pressure",
    "external_static": "static_pressure",
}
_OF_EXPECT = {name: kind for name, kind, *_ in _core.asked_of_expect}
HUMIDITIES: dict[str, str] = {name: _OF_EXPECT[name] for name in _system.HUMIDITIES}
# Of a line set's sizes, by their names in `line_set`.
LINE: dict[str, str] = {name: _OF_EXPECT[name] for name in _tables.LINE.values()}


class Choice(NamedTuple):
    """One combination at the design point.

    Attributes
    ----------
    system, match, stage, tap : str
        Names; `stage` is the top one, with the greatest total, `tap` of the blower where a table was asked.
    airflow, fan_power : float or None
        Standard air, and the indoor fan's power, W; None where no blower tells them.
    misfit : str
        ``"none"``, ``"total_low"``, ``"sensible_low"``, ``"latent_low"``, ``"total_high"``, ``"latent_high"``,
        ``"sensible_high"``, ``"no_answer"``.
    why : str
        Of ``"no_answer"`` the reason in words.
    total, sensible, latent : float or None
        Capacity at the design point, with the fan; None without an answer.
    credited : float or None
        Sensible with half of the latent capacity to spare.
    total_u : float
        Relative standard uncertainty of total.
    total_over, sensible_over, latent_over : float
        Over their loads; sensible as credited.
    fits : float
        Chance that total, sensible and latent all lie within their limits.
    heating, balance_point, auxiliary : float or None
        Capacity at the heating design point, the outdoor temperature where capacity meets load, and the heat missing at design; None
        where they were not asked for or have no answer.
    sensible_u, latent_u : float or None
        Relative standard uncertainties. Sensible is as uncertain as total, and 2 % besides (common practice, no source); latent is
        what is left; None of a dry coil.
    footing : str
        What the capacities lean on; ``"inside"`` where on what is printed alone.
    airflow_from, airflow_to : float or None
        The airflows, standard air, between which this system and match fit: the widest such way; None where none fits.
    frost : str
        The kind of heating capacity, ``"integrated"`` or ``"instantaneous"``; empty where there is none.
    frost_by_model : bool
        Whether it is integrated by the frost model of the US regulation.
    no_heating : str
        Why there is no heating, or no balance point, where a load was given.
    """

    system: str
    match: str
    stage: str
    tap: str
    airflow: float | None
    fan_power: float | None
    misfit: str
    why: str
    total: float | None
    sensible: float | None
    latent: float | None
    credited: float | None
    total_u: float
    total_over: float
    sensible_over: float
    latent_over: float
    fits: float
    heating: float | None
    balance_point: float | None
    auxiliary: float | None
    sensible_u: float | None
    latent_u: float | None
    footing: str
    airflow_from: float | None
    airflow_to: float | None
    frost: str
    frost_by_model: bool
    no_heating: str


KINDS: dict[str, str] = {
    "airflow": "airflow",
    "fan_power": "electric_power",
    "total": "capacity",
    "sensible": "capacity",
    "latent": "capacity",
    "credited": "capacity",
    "heating": "capacity",
    "balance_point": "temperature",
    "auxiliary": "capacity",
    "airflow_from": "airflow",
    "airflow_to": "airflow",
}


class Choices(_value.PlainValue, Sequence[Choice]):
    """Combinations, those that fit first: a sequence of `Choice`. Made by `choose`.

    Attributes
    ----------
    units : {"IP", "SI"}
    limits : str or dict
        As given to `choose`.
    """

    units: str
    limits: str | Mapping[str, Any]

    def __init__(self, columns: Mapping[str, Any], units: str, limits: str | Mapping[str, Any]) -> None:
        vars(self).update(_columns=columns, units=units, limits=limits)

    @overload
    def __getitem__(self, at: int) -> Choice: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Choice, ...]: ...
    def __getitem__(self, at: Any) -> Any:
        if isinstance(at, slice):
            return tuple(_rows({name: column[at] for name, column in self._columns.items()}))
        at = range(len(self))[at]
        return next(_rows({name: column[at : at + 1] for name, column in self._columns.items()}))

    def __iter__(self) -> Iterator[Choice]:
        return _rows(self._columns)

    def __len__(self) -> int:
        return len(self._columns["misfit"])

    def _made_of(self):
        return Choices, (self._columns, self.units, self.limits)

    def __repr__(self):
        return f"<Choices: {self._fitting} of {len(self)} fit>"

    def to_dict(self) -> dict[str, Any]:
        """All of it as plain values.

        Returns
        -------
        dict
        """
        return {
            "told": "Choices",
            "limits": self.limits,
            "units": self.units,
            "choices": [one._asdict() for one in self],
        }

    @property
    def fitting(self) -> tuple[Choice, ...]:
        """tuple of Choice: those within all limits."""
        return self[: self._fitting]

    @property
    def _fitting(self):
        return self._columns["misfit"].count("none")  # they stand first

    @property
    def units_of_columns(self) -> dict[str, str]:
        """dict of str to str: the units of the numbers that have one."""
        return {name: _units.unit_of(self.units, kind) for name, kind in KINDS.items()}

    def to_pandas(self) -> Any:
        """A table, one combination a row; ``attrs["units"]`` holds the units of its columns.

        Returns
        -------
        pandas.DataFrame
        """
        return _tables.of_rows(self._columns, self.units_of_columns)

    def _shown(self, most):
        def of(one, name):
            return _display.number(getattr(one, name), _units.unit_of(self.units, KINDS[name]))

        for one in self[:most]:
            surely = "over 99 %" if one.fits > 0.995 else f"{100 * one.fits:.0f} %"  # nothing is sure
            fits = f"fits, {surely}" if one.misfit == "none" else one.why or _display.words(one.misfit)
            if one.footing != "inside":
                fits += f", leans on {one.footing}"
            if one.misfit != "none" and one.airflow_from is not None:
                fits += f"; fits from {of(one, 'airflow_from')} to {of(one, 'airflow_to')}"
            elif one.misfit not in ("none", "no_answer"):
                fits += "; no airflow fits"
            what = ", ".join(x for x in (one.system, one.match, one.tap and f"tap {one.tap}") if x)
            shares = "" if one.misfit == "no_answer" else f"{one.total_over:.2f}, {one.sensible_over:.2f}, {one.latent_over:.2f}"
            row = what, of(one, "airflow"), of(one, "total"), of(one, "sensible"), of(one, "latent"), shares, fits
            yield (*row, self._heating_of(one, of)) if self._heats else row

    @property
    def _heats(self):
        return any(self._columns["frost"]) or any(self._columns["no_heating"])

    @staticmethod
    def _heating_of(one, of):
        """The heating of a choice in words: how much, of which kind, and what is missing."""
        if one.heating is None:
            return one.no_heating
        kind = one.frost + (", by the regulation's model of frost" if one.frost_by_model else "")
        told = f"{of(one, 'heating')} {kind}"
        if not one.auxiliary:
            return told + ", which is enough"
        met = one.no_heating if one.balance_point is None else f"balance point {of(one, 'balance_point')}"
        return f"{told}, {of(one, 'auxiliary')} missing at design; {met or 'no balance point'}"

    @property
    def _headings(self):
        return ("combination", "airflow", "total", "sensible", "latent", "over loads", "", *(("heating",) if self._heats else ()))

    def __str__(self):
        first = f"{self._fitting} of {len(self)} combinations fit; limits: {_source_of(self.limits)}"
        return first + "\n" + _display.text_table(self._headings, list(self._shown(20)))

    def _repr_html_(self):
        return _display.block(str(self).partition("\n")[0], _display.table(self._headings, list(self._shown(20))))


def choose(
    systems: System | Sequence[System],
    *,
    units: Literal["IP", "SI"],
    outdoor_dry_bulb: float,
    entering_dry_bulb: float,
    entering_wet_bulb: float | None = None,
    entering_relative_humidity: float | None = None,
    entering_dew_point: float | None = None,
    entering_humidity_ratio: float | None = None,
    total_load: float | None = None,
    sensible_load: float | None = None,
    latent_load: float | None = None,
    heating_load: float | None = None,
    heating_outdoor_dry_bulb: float | None = None,
    heating_entering_dry_bulb: float | None = None,
    no_heating_load: float | None = None,
    elevation: float | None = None,
    pressure: float | None = None,
    airflow: float | Sequence[float] | None = None,
    external_static: float | None = None,
    limits: Literal["manual_s_2014", "manual_s_2014_condition_b", "manual_s_2004", "energy_star_v3"]
    | Mapping[str, Any] = "manual_s_2014",
    spare_latent: bool = True,
    line_set: Literal["reference"] | Mapping[str, Any] = "reference",
    frost: Literal["instantaneous", "integrated"] | None = None,
) -> Choices:
    """Which machine, indoor unit, airflow and blower setting meets design loads at design conditions.

    Compared is what each combination delivers *at the design point*, fan included, never its nominal size. The top stage counts, the
    one with the greatest total: a lower stage that meets a load makes no small machine of a large one.

    Parameters
    ----------
    systems : System or sequence of System
    units : {"IP", "SI"}
    outdoor_dry_bulb, entering_dry_bulb : float
        Of the design point; with one of `entering_wet_bulb`, `entering_relative_humidity`, `entering_dew_point`,
        `entering_humidity_ratio`.
    total_load, sensible_load, latent_load : float
        Two of them, or three that add up.
    heating_load, heating_outdoor_dry_bulb : float, optional
        Then balance point and missing heat are told. The load falls in a straight line to none at `no_heating_load` (65 degF if left
        out; common practice, no source); the air that enters is `heating_entering_dry_bulb` (70 degF).
    elevation, pressure : float
        Of the site; one of them, or both.
    airflow : float or sequence of float, optional
        Standard air. Left out: seven across what page and match allow, and the middle of those that fit. Not beside
        `external_static`.
    external_static : float, optional
        What the ducts take: airflow and watts come from the blower table then, a tap each. Otherwise the fan counts as 365 W for
        1000 cfm of standard air.
    limits : {"manual_s_2014", "manual_s_2014_condition_b", "manual_s_2004", "energy_star_v3"} or dict
        Published limits of capacity over load; or others in their place: `source`, a text, and of `total`, `heat_pump` (as `total`
        where it is left out), `sensible` and `latent` the least, or the least and the most: ``{"source": "our own", "total": (0.95, 1.2),
        "sensible": 0.9, "latent": (1, 1.5)}``, or the same as JSON.
    spare_latent : bool
        Half of the latent capacity to spare counts as sensible (ACCA Manual S, from memory).
    line_set : {"reference"} or dict
        The one that the pages are rated with, or that of the site: `length`, `suction`, `lift`, `liquid`, `beyond`, as `System.expect`
        takes them. A system whose table does not reach it has no answer.
    frost : {"instantaneous", "integrated"}, optional
        Of the heating capacity that counts. Left out: integrated where the page has it, else instantaneous, and `Choice.frost` tells
        which. Integrated where neither page nor defrost table has it: by the frost model of the US regulation (10 CFR 430, from
        memory), from what the page has at 17 and 47 degF.

    Returns
    -------
    Choices
        Every combination, those that fit first, then by how near total is to its load.

    Raises
    ------
    InputError
        For no system, loads that are missing or do not add up, a condition that is none, `airflow` beside `external_static`.
    Refused
        Where no humidity or no site is given, or several, and for entering air that cannot be.
    ValueError
        For limits or a line set that are none, a number that is NaN, and what goes with a heating load where none is given.
    TypeError
        For what is no system.
    """
    given = dict(locals())
    si = _units.si_of(units)
    systems = _systems_of(systems)
    humidity, value = _units.exactly_one("entering humidity", **{name: given[name] for name in HUMIDITIES})
    numbers = {name: si(kind, name, given[name]) for name, kind in ASKED.items()}
    numbers["humidity"] = si(HUMIDITIES[humidity], humidity, value)
    for name in (*ASKED, humidity):
        if given[name] is not None and math.isnan(numbers.get(name, numbers["humidity"])):
            raise ValueError(f"{name}: nan; accepted: a finite number, or nothing where it is not known")
    if heating_load is None:
        for name in ("heating_outdoor_dry_bulb", "heating_entering_dry_bulb", "no_heating_load", "frost"):
            if given[name] is not None:
                raise ValueError(f"{name}: {_arrays.in_words(given[name])}; accepted: only beside heating_load")
    if frost is not None:
        _units.check_word("frost", frost, ("instantaneous", "integrated"))
    flows = [] if airflow is None else airflow if isinstance(airflow, (list, tuple)) or hasattr(airflow, "__len__") else [airflow]
    line, fittings, *sizes = _system._line_of(line_set)
    if not line or fittings:
        raise ValueError(f"line_set: {line_set!r}; accepted: 'reference', or a dict of length, suction, lift, liquid and beyond")
    numbers |= {f"line_{name}": si(kind, f"line_set: {name}", x) for (name, kind), x in zip(LINE.items(), sizes)}
    columns = _core.choose(
        systems,
        numbers,
        humidity.removeprefix("entering_"),
        [si("airflow", "airflow", one) for one in flows],
        _limits_text(limits),
        spare_latent,
        line,
        frost or "",
        units,
    )
    told = ((name, columns[name]) for name in Choice._fields)
    return Choices({name: _units.from_si(units, KINDS[name], x) if name in KINDS else x for name, x in told}, units, limits)


def _systems_of(systems):
    """What is chosen among, a list."""
    if isinstance(systems, _core.System):
        return [systems]
    accepted = "accepted: a System, as offnominal.load reads it from a file, or a list of them"
    if isinstance(systems, (str, bytes)) or not isinstance(systems, Iterable):
        raise TypeError(f"systems: {_arrays.in_words(systems)}; {accepted}")
    systems = list(systems)
    for k, one in enumerate(systems):
        if not isinstance(one, _core.System):
            raise TypeError(f"systems: {_arrays.in_words(one)} at place {k}; {accepted}")
    return systems


def _source_of(limits):
    """Where limits are from."""
    if isinstance(limits, str):
        return _core.sizing_limits.get(limits) or json.loads(limits)["source"]
    return limits["source"]


def _limits_text(limits):
    """Limits as the core reads them: a name, or JSON."""
    if not isinstance(limits, Mapping):
        return str(limits)
    try:
        return json.dumps(dict(limits), default=lambda one: _arrays.one("limits", None, one), allow_nan=False)
    except (TypeError, ValueError):  # what is no number, or no finite one
        raise ValueError(f"limits: {_arrays.in_words(limits)}; accepted: a dict of texts and finite numbers") from None


def _rows(columns):
    """A row for each place of columns; what has no number there is None."""

    def listed(column):
        column = column.tolist() if isinstance(column, np.ndarray) else column
        return [None if x != x else x for x in column]

    return map(Choice, *map(listed, columns.values()))
