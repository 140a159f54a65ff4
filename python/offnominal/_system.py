"""A matched system: what it should deliver, and whether it does."""

from __future__ import annotations

import functools
import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, overload

import offnominal  # for what only some methods need: imported when it is first used
from offnominal import _arrays, _core, _display, _fleet, _tables, _texts, _units, _write
from offnominal._answers import ExpectedBatch
from offnominal._pages import Page
from offnominal._proof import Proof
from offnominal._value import Value
from offnominal._visit import Visit
from offnominal.errors import InputError, Refused

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any, Literal, TypeVar

    from offnominal import airflow as _airflow
    from offnominal._audit import PageAudit
    from offnominal._card import TargetCard
    from offnominal._core import Expected
    from offnominal._plan import Plan
    from offnominal._solve import Members, Solutions
    from offnominal._what_if import WhatIf
    from offnominal._year import Year

    _Table = TypeVar("_Table")  # a DataFrame of pandas or Polars, a Table of Arrow, or a dict of arrays

_NAN = float("nan")


def _checked_call(units, mode, humidity, airflow, line_set, fittings, boundary, outside, infer, airflow_effect, frost, *hold):
    """What the questions of one call have in common, each of its words checked; and the units of its numbers."""
    _units.check_word("units", units)
    _units.check_word("mode", mode)
    _units.check_word("boundary", boundary, optional=True)
    _units.check_word("outside", outside)
    frost = "" if frost is None else frost
    _units.check_word("frost", frost, optional=True)
    _units.check_flag("infer", infer)
    _units.check_flag("airflow_effect", airflow_effect)
    humidity = humidity[len("entering_") :]
    flags = bool(infer), bool(airflow_effect)
    call = _core.Call(units, mode, humidity, airflow, line_set, fittings, boundary, outside, frost, *flags, *hold)
    return call, [None if kind == "speed" else _units.unit_of(units, kind) for kind in call.kinds]


def _told_columns(columns, mode):
    """The names of columns, checked."""
    if columns is None:
        return ()
    told = [name for name, _, modes, _ in _core.told_of_expected if mode in modes]
    columns = (columns,) if isinstance(columns, str) else tuple(columns)
    for name in columns:
        if name not in told:
            raise ValueError(f"columns: {_arrays.in_words(name)}; accepted in {mode}: {', '.join(told)}")
    return columns


# What may be done past the edge of one axis, and what is far.
PAST: dict[str, tuple[str, str]] = {
    "outdoor_dry_bulb": ("hold", "temperature_difference"),
    "line_length": ("hold", "length"),
    "entering_wet_bulb": ("extend", "temperature_difference"),
}


def _outside_of(units, outside):
    """What holds past every edge (a word), and how far past that of each axis of `PAST` there is an answer, SI."""
    if not isinstance(outside, Mapping):
        return outside, *[0.0] * len(PAST)
    accepted = "accepted: refuse, hold, extend, or by axis how far: " + ", ".join(
        f"{{'{axis}': ('{how}', 3)}}" for axis, (how, _) in PAST.items()
    )
    hold = dict.fromkeys(PAST, 0.0)
    for axis, how in outside.items():
        if axis not in hold or not (isinstance(how, (tuple, list)) and len(how) == 2 and how[0] == PAST[axis][0]):
            raise ValueError(f"outside: {_arrays.in_words(axis)}: {_arrays.in_words(how)}; {accepted}")
        _units.check_word("units", units)
        kind = PAST[axis][1]
        far = _arrays.number("outside", _units.unit_of(units, kind), how[1])
        if not (isinstance(far, float) and 0.0 <= far < float("inf")):
            raise ValueError(f"outside: {axis}: {_arrays.in_words(how[1])}; accepted: one number, 0 or more")
        hold[axis] = _units.to_si(units, kind, far)
    return "refuse", *hold.values()


HUMIDITIES: tuple[str, ...] = ("entering_wet_bulb", "entering_relative_humidity", "entering_humidity_ratio", "entering_dew_point")
_ASKED = ("outdoor_dry_bulb", "entering_dry_bulb", "airflow", "boundary")  # what `expect` has no default for
_call_of = functools.lru_cache(maxsize=256, typed=True)(_checked_call)


def _line_of(line_set):
    """What a line set and its fittings mean (words), and the line's numbers: length, suction, lift, liquid."""
    if line_set is None:
        return "", "", None, None, None, None
    if isinstance(line_set, str) and line_set == "reference":
        return "reference", "", None, None, None, None
    accepted = "length (or tubing and fittings), suction, lift, liquid and beyond"
    if not isinstance(line_set, Mapping):
        raise ValueError(f"line_set: {_arrays.in_words(line_set)}; accepted: 'reference', or a dict of {accepted}")
    unknown = set(line_set) - {"length", "tubing", "fittings", "suction", "lift", "liquid", "beyond"}
    length = "tubing" if "tubing" in line_set else "length"
    missing = {length, "suction"} - set(line_set)
    if unknown or missing:
        problem = f"unknown {', '.join(sorted(map(str, unknown)))}" if unknown else f"{', '.join(sorted(missing))} missing"
        raise ValueError(f"line_set: {problem} in {dict(line_set)!r}; accepted: {accepted}")
    if "length" in line_set and ("tubing" in line_set or "fittings" in line_set):
        raise ValueError(
            f"line_set: a length, which has the fittings in it, beside others in {dict(line_set)!r}; accepted: {accepted}"
        )
    beyond = line_set.get("beyond", "refuse")
    if not (isinstance(beyond, str) and beyond in ("refuse", "model")):
        raise ValueError(f"line_set: beyond: {_arrays.in_words(beyond)}; accepted: refuse, model")
    numbers = (line_set.get(name) for name in (length, "suction", "lift", "liquid"))
    fittings = _fittings_of(line_set.get("fittings", "unknown")) if length == "tubing" else ""
    return "modelled" if beyond == "model" else "given", fittings, *numbers


def _fittings_of(fittings):
    """Fittings as the core takes them: `unknown`, or their numbers in its order."""
    if isinstance(fittings, str) and fittings == "unknown":
        return "unknown"
    names = _core.words["fitting"]
    counts = fittings if isinstance(fittings, Mapping) else {None: 0}
    if not (counts.keys() <= set(names) and all(type(n) is int and 0 <= n <= 1000 for n in counts.values())):
        accepted = f"'unknown', or how many there are of each: {{'elbow': 4}}, of {', '.join(names)}"
        raise ValueError(f"line_set: fittings: {_arrays.in_words(fittings)}; accepted: {accepted}")
    return ",".join(str(counts.get(name, 0)) for name in names)


def _asked_by(
    units, outdoor_dry_bulb, entering_dry_bulb, airflow, boundary, speed=None, entering_wet_bulb=None, entering_relative_humidity=None,
    entering_humidity_ratio=None, entering_dew_point=None, airflow_basis=None, airflow_at=None, elevation=None, pressure=None,
    line_set=None, fan_power=None, mode="cooling", outside="refuse", infer=False, airflow_effect=False, frost=None,
    auxiliary_heat=None, outdoor_relative_humidity=None,
):  # fmt: skip
    """What `System.expect` is asked but for stage and match: its call, which humidity that is, units and numbers."""
    if airflow is None:
        raise Refused("airflow is not given, and there is no default", why="not_given", about="airflow")
    heats = isinstance(mode, str) and mode == "heating"
    others = (speed,) if heats else (frost, auxiliary_heat, outdoor_relative_humidity)
    if any(value is not None for value in others):
        names = ("speed",) if heats else ("frost", "auxiliary_heat", "outdoor_relative_humidity")
        name, value = next((name, value) for name, value in zip(names, others) if value is not None)
        raise ValueError(f"{name}: {_arrays.in_words(value)}; accepted: nothing in {'heating' if heats else 'cooling'}")
    humidity, moisture = "entering_wet_bulb", entering_wet_bulb
    if moisture is None or not (entering_relative_humidity is entering_humidity_ratio is entering_dew_point is None):
        humidities = {
            "entering_relative_humidity": entering_relative_humidity,
            "entering_humidity_ratio": entering_humidity_ratio,
            "entering_dew_point": entering_dew_point,
        }
        if heats and moisture is None and all(x is None for x in humidities.values()):
            humidity = "entering_relative_humidity"  # needed for some questions alone, as the library says
        else:
            humidity, moisture = _units.exactly_one("entering humidity", entering_wet_bulb=moisture, **humidities)
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    site = _units.site(elevation, pressure)
    line, fittings, length, suction, lift, liquid = _line_of(line_set)
    outside, *hold = _outside_of(units, outside)
    meanings = units, mode, humidity, meaning, line, fittings, boundary, outside, infer, airflow_effect, frost, *hold
    try:
        call, units_of = _call_of(*meanings)
    except TypeError:  # an array where a word is due
        call, units_of = _checked_call(*meanings)
    numbers = (
        outdoor_dry_bulb,
        entering_dry_bulb,
        moisture,
        airflow,
        *site,
        fan_power,
        length,
        suction,
        lift,
        liquid,
        speed,
        outdoor_relative_humidity,
        auxiliary_heat,
    )
    return call, humidity, units_of, tuple([_NAN if x is None else x for x in numbers])


def _arguments_of(system, stage, match, humidity, units_of, numbers):
    """The same with their names, for `_arrays.take`."""
    line = ("length of line_set", "suction of line_set", "lift of line_set", "liquid of line_set")
    last = ("speed", "outdoor_relative_humidity", "auxiliary_heat")
    names = ("outdoor_dry_bulb", "entering_dry_bulb", humidity, "airflow", "elevation", "pressure", "fan_power", *line, *last)
    out = [("stage", _arrays.WORDS, stage), ("match", _arrays.WORDS, match)]
    for name, unit, value in zip(names, units_of, numbers):
        out.append((name, unit or system.speed_unit, value))
    return out


def load(path: str | os.PathLike[str]) -> System:
    """Read a system file.

    Parameters
    ----------
    path : str or os.PathLike
        A YAML system file (``offnominal: system/1``), whose tables are looked for beside it; or a Standard 205 representation,
        whose departures `offnominal.standard205.read` tells.

    Returns
    -------
    System

    Raises
    ------
    InputError
        With file, line, column, the text, and what would be accepted.
    TypeError
        For what is no path.
    """
    return System(_core.load_system(_texts.path_of(path)), os.path.abspath(os.fsdecode(path)))


def load_named_by(visit: Visit, path: str | os.PathLike[str]) -> System:
    """The system that a visit names, whose file stands at `path`."""
    if not visit.system_file:
        raise InputError(f"{path}: system is missing; accepted: system: FILE in the visit, or --system FILE")
    return load(_core.file_beside(_texts.path_of(path), visit.system_file))


def parse(text: str, name: str = "<text>", folder: str | os.PathLike[str] | None = ".") -> System:
    """Read a system from YAML text.

    Parameters
    ----------
    text : str
        The contents of a system file.
    name : str
        What to call the text in error messages.
    folder : str, os.PathLike or None
        Where to look for tables the text names; None: nowhere, and no file is opened.

    Returns
    -------
    System

    Raises
    ------
    InputError
        With file, line, column, the text, and what would be accepted.
    """
    _texts.check_named(text, name)
    return System(_core.parse_system(text, name, "" if folder is None else _texts.path_of(folder)))


@functools.lru_cache(maxsize=8)
def _written(text):
    """A system from its own text: what a process is sent with many answers is read once."""
    return parse(text, "<system>")


def _of_visit(visit, units, forecast=False):
    if units is not None:
        _units.check_word("units", units)
    return visit if isinstance(visit, Visit) else Visit(visit, forecast=forecast), units


class System(Value, _core.System):
    """A checked system: pages by stage and match, line-set and altitude tables. Made by `load` or `parse`.

    A value: systems are equal where they would be written alike, and copied and pickled by what would be written.

    Attributes
    ----------
    name, nominal, refrigerant : str
        As the file says. No answer comes from them.
    source : dict
        Document, revision and page of the printed ratings, their transcriber and checker.
    stages, matches : list of str
        The keys that `expect` takes.
    heating_stages : dict
        The stages that print heating, each with the kinds it prints: ``{"high": ["instantaneous", "integrated"]}``.
    speeds : dict of str to float
        Stage to compressor speed, in `speed_unit` (``"Hz"``, ``"rpm"``, ``"%"`` or ``"1"``); empty for a system of stages.
    speed_unit : str
    taps : list of str
        Of the blower table, for `blower`.
    """

    def __init__(self, core: Any, path: str | None = None) -> None:
        super().__init__(core)
        vars(self).update(_path=path)  # of no consequence but in messages

    def envelope(self, *, units: Literal["IP", "SI"]) -> _display.Envelope:
        """The published region, for forms that limit entries.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        Envelope
            A list with a dict for each page: ``mode``, ``frost`` (of a heating page), ``stage``, ``match`` (empty for the system's
            own pages), ``axes`` (name to breakpoints), ``nodes`` and ``blanks``.
        """
        return _display.Envelope(super().envelope(units))

    def to_bytes(self) -> bytes:
        """The system as bytes, for an app that reads no files: `system_from_bytes` of C++, ``offnominal_system_from_bytes`` of C.

        They hold all of it but where in which file a number stood, with a version and a checksum.

        Returns
        -------
        bytes
        """
        return _core.system_to_bytes(self)

    @classmethod
    def from_bytes(cls, data: bytes) -> System:
        """The system of such bytes, checked as one read from a file is.

        Parameters
        ----------
        data : bytes

        Returns
        -------
        System

        Raises
        ------
        InputError
            For bytes that are none, damaged, or of a later version.
        """
        return cls(_core.system_from_bytes(bytes(data)))

    def coverage(self, *, units: Literal["IP", "SI"]) -> dict[str, Any]:
        """What the system covers beside its pages, for forms that limit entries.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        dict
            ``lines``, a list with ``mode``, ``suction`` and the ``lengths`` that are allowed; ``lift``, least and greatest, None where
            no limit is printed; ``airflow``, for each match the least and the greatest standard airflow in cooling; ``elevation``, the
            least and the greatest of the altitude table, or None.
        """
        _units.check_word("units", units)
        return super().coverage(units)

    def missing(self, *, units: Literal["IP", "SI"], **question: Any) -> list[dict[str, Any]]:
        """Everything that keeps a question from an answer, at once, for forms.

        Parameters
        ----------
        units : {"IP", "SI"}
        **question
            What is known so far, as `expect` takes it; None is what is not given.

        Returns
        -------
        list of dict
            Empty where `expect` answers. Each has ``about`` and ``why`` (the words of `Refused`), the ``value`` that was given, if
            any, what would be accepted (``lower`` and ``upper`` in ``unit``, None where there is no bound; ``words`` of a choice)
            and ``text``. Where a stage or a match is open, the bounds are of all that it may be.
        """
        given = {name: value for name, value in question.items() if value is not None}
        taken = self.expect.__kwdefaults__
        for name in given:
            if name not in _ASKED and name not in taken or name in ("columns", "out", "threads"):
                raise ValueError(f"{name}: not asked; accepted: the arguments of expect")
        get = given.get
        humidities = [name for name in given if name in HUMIDITIES]
        if len(humidities) > 1:
            _units.exactly_one("entering humidity", **{name: given[name] for name in humidities})
        humidity = humidities[0] if humidities else HUMIDITIES[0]
        meaning = ""
        if "airflow_basis" in given or "airflow_at" in given:
            meaning = _units.meaning_of_airflow(get("airflow_basis"), get("airflow_at"))
        line, fittings, length, suction, lift, liquid = _line_of(get("line_set"))
        outside, *hold = _outside_of(units, get("outside", "refuse"))
        call, units_of = _checked_call(
            units,
            get("mode", "cooling"),
            humidity,
            meaning,
            line,
            fittings,
            get("boundary", ""),
            outside,
            get("infer", False),
            get("airflow_effect", False),
            get("frost"),
            *hold,
        )
        before = ("outdoor_dry_bulb", "entering_dry_bulb", humidity, "airflow", "elevation", "pressure", "fan_power")
        after = ("speed", "outdoor_relative_humidity", "auxiliary_heat")
        numbers = (*map(get, before), length, suction, lift, liquid, *map(get, after))
        numbers = [_NAN if x is None else x for x in numbers]
        arguments = _arguments_of(self, get("stage", ""), get("match", ""), humidity, units_of, numbers)
        (stage, match, *numbers), shape, _ = _arrays.take(arguments)
        if shape:
            raise ValueError("missing: an array; accepted: one question")
        return _core.missing(self, call, stage[0][0], match[0][0], numbers)

    def audit(self, *, units: Literal["IP", "SI"]) -> list[PageAudit]:
        """Hold every cooling page against its own neighbours and against physics: what a typist may have got wrong.

        It never corrects. A file that `load` refuses is audited by `offnominal.audit_file`.

        Parameters
        ----------
        units : {"IP", "SI"}
            Of the numbers in the result.

        Returns
        -------
        list of PageAudit
            One for each page, with ranked suspects, questions and leave-one-out errors.
        """
        _units.check_word("units", units)
        return offnominal._audit.pages(_core.audit_system(self, units))

    @overload
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: float,
        entering_dry_bulb: float,
        airflow: float,
        boundary: Literal["coil", "coil+fan"],
        stage: str = "",
        speed: float | None = None,
        entering_wet_bulb: float | None = None,
        entering_relative_humidity: float | None = None,
        entering_humidity_ratio: float | None = None,
        entering_dew_point: float | None = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: float | None = None,
        pressure: float | None = None,
        match: str = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: float | None = None,
        mode: Literal["cooling"] = "cooling",
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        infer: bool = False,
        airflow_effect: bool = False,
        frost: None = None,
        auxiliary_heat: None = None,
        outdoor_relative_humidity: None = None,
    ) -> Expected: ...
    @overload
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: float,
        entering_dry_bulb: float,
        airflow: float,
        boundary: Literal["coil", "coil+fan"],
        mode: Literal["heating"],
        frost: Literal["instantaneous", "integrated"] | None = None,
        auxiliary_heat: float | None = None,
        stage: str = "",
        entering_wet_bulb: float | None = None,
        entering_relative_humidity: float | None = None,
        entering_humidity_ratio: float | None = None,
        entering_dew_point: float | None = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: float | None = None,
        pressure: float | None = None,
        match: str = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: float | None = None,
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        outdoor_relative_humidity: float | None = None,
    ) -> Expected: ...
    @overload  # arrays give a batch, a Pint quantity of one number one answer
    def expect(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Any,
        entering_dry_bulb: Any,
        airflow: Any,
        boundary: Literal["coil", "coil+fan"],
        stage: Any = "",
        speed: Any = None,
        entering_wet_bulb: Any = None,
        entering_relative_humidity: Any = None,
        entering_humidity_ratio: Any = None,
        entering_dew_point: Any = None,
        airflow_basis: Literal["standard", "dry_mass"] | None = None,
        airflow_at: Literal["return", "supply", "fan"] | None = None,
        elevation: Any = None,
        pressure: Any = None,
        match: Any = "",
        line_set: Literal["reference"] | Mapping[str, Any] | None = None,
        fan_power: Any = None,
        mode: Literal["cooling", "heating"] = "cooling",
        outside: Literal["refuse", "hold", "extend"] | Mapping[str, tuple[str, Any]] = "refuse",
        infer: bool = False,
        airflow_effect: bool = False,
        frost: Literal["instantaneous", "integrated"] | None = None,
        auxiliary_heat: Any = None,
        outdoor_relative_humidity: Any = None,
        columns: Sequence[str] | None = None,
        out: Mapping[str, Any] | None = None,
        threads: int = 1,
    ) -> Any: ...
    def expect(
        self,
        *,
        units,
        outdoor_dry_bulb,
        entering_dry_bulb,
        airflow,
        boundary,
        stage="",
        speed=None,
        entering_wet_bulb=None,
        entering_relative_humidity=None,
        entering_humidity_ratio=None,
        entering_dew_point=None,
        airflow_basis=None,
        airflow_at=None,
        elevation=None,
        pressure=None,
        match="",
        line_set=None,
        fan_power=None,
        mode="cooling",
        outside="refuse",
        infer=False,
        airflow_effect=False,
        frost=None,
        auxiliary_heat=None,
        outdoor_relative_humidity=None,
        columns=None,
        out=None,
        threads=1,
    ):
        """What the system should deliver.

        Every number may be an array, and every key an array of strings: all are broadcast together. A Pint quantity is
        accepted in place of any number.

        Parameters
        ----------
        units : {"IP", "SI"}
            IP: degF, cfm, Btu/h (capacity), W (electric power), ft, in (tubing), psia. SI: degC, m3/s, W, m, Pa.
        stage, match : str or array of str
            Keys of the system. `match` may be left out only if the system lists none.
        speed : float or array
            Of a variable-speed compressor, instead of `stage`, in `speed_unit` (NaN where a stage is given). Between two
            stages there is an answer only if the system's maker declares its modulation continuous.
        outdoor_dry_bulb, entering_dry_bulb : float or array
            Entering air is what enters at the boundary: the coil's for ``"coil"``, the return air for ``"coil+fan"``.
        entering_wet_bulb, entering_relative_humidity, entering_humidity_ratio, entering_dew_point : float or array
            Exactly one. Relative humidity is a fraction. In heating at most one: it is needed for an actual airflow and for
            the leaving air only.
        airflow : float or array
            With exactly one of `airflow_basis` and `airflow_at`.
        airflow_basis : {"standard", "dry_mass"}
            Standard airflow (0.075 lb of dry air per cubic foot), or mass flow of dry air (lb/h, kg/s).
        airflow_at : {"return", "supply", "fan"}
            Actual airflow, at the density of that place.
        elevation, pressure : float or array
            One or both: elevation of the site, and station pressure, which then counts and which the elevation checks.
        line_set : "reference" or dict
            A dict has ``length`` (equivalent, with the fittings), ``suction``, and ``lift``, the outdoor unit above (+) or below
            (-): left out it is unknown, not 0. In place of ``length`` it may have ``tubing``, the tubing's alone, and
            ``fittings``, how many of each the gas line has (``elbow``, ``long_elbow``, ``elbow_45``, ``return_bend``, ``tee_run``,
            ``tee_branch``): left out they are ``"unknown"``, not none, and cost uncertainty. Needed for a system with a line-set
            table for the mode. ``"beyond": "model"`` lets a model answer where there is no table or it does not hold the line; then
            ``liquid``, the size of the liquid line, judges whether liquid reaches the valve.
        boundary : {"coil", "coil+fan"}
            Gross, or net of the indoor fan's heat.
        fan_power : float or array
            Indoor fan, W. Needed for ``"coil+fan"``.
        mode : {"cooling", "heating"}
        outside : {"refuse", "hold", "extend"} or dict
            What to do past the edge of the page: ``"hold"`` and ``"extend"`` reach 2 % of an axis' span. For a year's weather or a
            long line ``{"outdoor_dry_bulb": ("hold", 20), "line_length": ("hold", 30)}`` holds these edges as far as is said past
            the page and the line-set table (in IP degF and ft, in SI K and m; at most 25 K and 30 m): such answers stand on
            ``"held"``, say so, and are the less sure the farther, by how far the last step of the page leads when it is continued.
            ``{"entering_wet_bulb": ("extend", 4)}`` continues the page past its wet bulbs (at most 3 K), where many a coil turns
            dry; it costs as much certainty.
        infer : bool
            Allow values inferred where the page leaves an entering dry bulb blank; in heating instantaneous ones from an integrated
            page, by taking its frost out again.
        airflow_effect : bool
            Where the page is printed at one airflow, allow 0.6 to 1.2 of it, by published curves of residential machines
            (NREL/TP-5500-56354), with their uncertainty.
        frost : {"instantaneous", "integrated"}
            Heating only, and needed there: a running machine, or averaged over frost and defrost. One is never turned into the
            other, but for a system with a defrost table, or as `infer` allows.
        auxiliary_heat : float or array
            Heating only, and needed there: W of electric or fuel heat beside the machine, 0 where it is off. Never part of the
            capacity or of the leaving air.
        outdoor_relative_humidity : float or array
            Heating only: fraction, needed for a defrost table.
        columns : sequence of str, optional
            Of a batch: the numbers to be told, by name; all of them if left out. Reasons, footing and notes are always told.
        out : dict of str to ndarray, optional
            Of a batch: arrays of float64 of the answers' shape, contiguous, that are filled with the numbers of these names; nothing is
            copied. Other columns are told only where `columns` names them.
        threads : int
            Of a batch: how many work on it. The bits do not depend on it.

        Returns
        -------
        Expected
            For numbers. With ``total_capacity``, ``sensible_capacity``, ``latent_capacity``, ``power``, ``leaving_dry_bulb``,
            ``leaving_wet_bulb``, ``leaving_relative_humidity``, ``split``, ``uncertainty`` (standard, of the page and its
            factors), ``footing``, ``notes``, ``ledger``, ``extras`` (other columns of the page: name to value, printed unit
            and reason), and ``explain()``.
            In heating ``total_capacity`` is all of it, and ``cop`` and ``rise`` stand beside it; what belongs to the other
            mode is None.
        ExpectedBatch
            If anything is an array: the same names as arrays, NaN exactly where ``reason`` is not ``"none"``.

        Raises
        ------
        Refused
            For numbers, where there is no answer; where one of the alternatives above is missing or given twice.
        """
        call, humidity, units_of, numbers = _asked_by(
            units, outdoor_dry_bulb, entering_dry_bulb, airflow, boundary, speed, entering_wet_bulb, entering_relative_humidity,
            entering_humidity_ratio, entering_dew_point, airflow_basis, airflow_at, elevation, pressure, line_set, fan_power, mode, outside,
            infer, airflow_effect, frost, auxiliary_heat, outdoor_relative_humidity,
        )  # fmt: skip
        if type(stage) is str and type(match) is str and out is None and _arrays.all_plain(numbers):
            try:
                return _core.expect_one(self, call, stage, match, *numbers)
            except TypeError:  # what the core cannot take is told below
                pass
        arguments = _arguments_of(self, stage, match, humidity, units_of, numbers)
        (stage, match, *numbers), shape, labels = _arrays.take(arguments)
        if not shape:
            if out is not None:
                raise ValueError(f"out: {_arrays.in_words(out)}; accepted: nothing where no argument is an array")
            return _core.expect_one(self, call, stage[0][0], match[0][0], *numbers)
        told = _told_columns(columns, mode)
        if out is not None:
            if not isinstance(out, Mapping):
                raise ValueError(f"out: {_arrays.in_words(out)}; accepted: a dict of arrays by name")
            told = tuple(dict.fromkeys((*told, *_told_columns(tuple(out), mode))))
        _units.check_threads(threads)
        return ExpectedBatch(self, call, shape, labels, stage, match, numbers, told=told, out=out, threads=threads)

    def expect_frame(self, frame: _Table, *, units: Literal["IP", "SI"], strict: bool = True, **fixed: Any) -> _Table:
        """`expect` for the rows of a table whose columns are named as its arguments.

        Parameters
        ----------
        frame : pandas.DataFrame, polars.DataFrame or pyarrow.Table
            Columns named as arguments of `expect` (and ``line_length``, ``line_suction``, ``line_lift``, ``line_liquid``) are asked by. A column
            of words other than ``stage`` and ``match`` has one word in all rows. Other columns go along.
        units : {"IP", "SI"}
            Of all columns, but for those whose table tells their unit as answers do (``attrs["units"]`` of pandas, the metadata of
            an Arrow field) and for cells that are Pint quantities: they are converted.
        strict : bool
            Whether a cell that should hold a number and does not is an error (which names its row and column). If not, it
            counts as NaN, and its row says so.
        **fixed
            Arguments of `expect` that hold for all rows.

        Returns
        -------
        pandas.DataFrame, polars.DataFrame or pyarrow.Table
            Of the kind that was given, with its labels: the columns that ask nothing, then the numbers told of each row,
            ``reason`` and ``footing``. Where there is no answer the numbers are NaN.

        Raises
        ------
        ValueError
            For two columns of one name, a column whose name is nearly an argument's, words that differ between rows, for
            what is given twice, and for a unit of another measure.
        TypeError
            For cells that are no numbers.
        """
        return _tables.expect_frame(self, frame, {"units": units, **fixed}, strict)

    def sweep(self, *, units: Literal["IP", "SI"], axes: Mapping[str, Sequence[Any]], **fixed: Any) -> Any:
        """`expect` for all combinations of some arguments' values. Needs xarray.

        Parameters
        ----------
        units : {"IP", "SI"}
        axes : dict of str to sequence
            Arguments of `expect` (and ``line_length``, ``line_suction``, ``line_lift``, ``line_liquid``), each with the values it takes.
        **fixed
            Arguments of `expect` that hold for all.

        Returns
        -------
        xarray.Dataset
            With a dimension for each axis, in their order; each number has the attributes ``units`` and ``long_name``.
            ``reason`` and ``footing`` stand beside the numbers, which are NaN where there is no answer.
        """
        return _tables.sweep(self, axes, {"units": units, **fixed})

    def target_card(
        self,
        *,
        units: Literal["IP", "SI"],
        outdoor_dry_bulb: Sequence[float] | None = None,
        entering_wet_bulb: Sequence[float] | None = None,
        forecast: Visit | str | None = None,
        **question: Any,
    ) -> TargetCard:
        """What the machine should deliver on a test day, over outdoor dry bulb and entering wet bulb, to print and take along.

        Parameters
        ----------
        units : {"IP", "SI"}
        outdoor_dry_bulb, entering_wet_bulb : sequence of float, optional
            Rows and columns; what the page prints if left out.
        forecast : Visit or str, optional
            A visit, or its file, with the instruments that will be brought, of the same stage, boundary and installation: then what
            it would decide and what would make it surer stands on the card.
        **question
            What holds for all cells: the other arguments of `expect`, for this installation (stage, match, line set, airflow, site, ...).

        Returns
        -------
        TargetCard
            Total, sensible, split, leaving wet bulb and power, cells marked that lean on more than what is printed there; as text
            (``print``), table (`to_pandas`) and page (`html`).

        Raises
        ------
        InputError
            For more than 400 cells, a temperature that is none, an axis that is neither given nor on the page, in heating, and for
            a forecast of another test than the card's.
        Refused
            As `expect`, where no cell has an answer: with the reason of the first.
        """
        return offnominal.TargetCard(self, units, outdoor_dry_bulb, entering_wet_bulb, question, forecast)

    def what_if(self, *, units: Literal["IP", "SI"], changes: Mapping[str, Mapping[str, Any]], **base: Any) -> WhatIf:
        """A base case and named changes of it: what each makes of the answer, and which steps of the ledger it moves.

        Parameters
        ----------
        units : {"IP", "SI"}
        changes : dict of str to dict
            By a name, the arguments of `expect` that differ from the base case: ``{"120 ft of line": {"line_set": {...}}}``. One of
            several alternatives stands for another: `pressure` for `elevation`.
        **base
            Arguments of `expect`, numbers.

        Returns
        -------
        WhatIf

        Raises
        ------
        Refused
            Where the base case has no answer; a change that has none says so in its place.
        """
        return offnominal._what_if.what_if(self, {"units": units, **base}, changes)

    def sensitivities(self, *, units: Literal["IP", "SI"], by: Mapping[str, float], **base: Any) -> WhatIf:
        """`what_if` for one argument at a time, a step to either side: a tornado, what moves total capacity most first.

        Parameters
        ----------
        units : {"IP", "SI"}
        by : dict of str to float
            By the name of an argument of `expect` that is a number (and ``line_length``, ``line_suction``, ``line_lift``), the step: ``{"airflow": 50}``.
        **base
            Arguments of `expect`, numbers.

        Returns
        -------
        WhatIf
            With a case for either side, named by where the argument then stands: ``"airflow 950"``, ``"airflow 1050"``.
        """
        return offnominal._what_if.sensitivities(self, {"units": units, **base}, by)

    @overload
    def solve(
        self,
        *,
        units: Literal["IP", "SI"],
        vary: str,
        between: tuple[float, float],
        of: str | tuple[str, str],
        equals: Any,
        among: None = None,
        limit: Literal["at_least", "at_most"] = "at_least",
        threads: int = 1,
        **fixed: Any,
    ) -> Solutions: ...
    @overload
    def solve(
        self,
        *,
        units: Literal["IP", "SI"],
        vary: str,
        of: str | tuple[str, str],
        equals: Any,
        between: None = None,
        among: Any = None,
        limit: Literal["at_least", "at_most"] = "at_least",
        threads: int = 1,
        **fixed: Any,
    ) -> Members: ...
    def solve(self, *, units, vary, of, equals, between=None, among=None, limit="at_least", threads=1, **fixed):
        """Questions asked backwards: where one argument must stand for something told to have a value. All places, or the nearest.

        Whole answers of `expect` are asked, so every derate, the dry-coil rule and the page's edges count. Looked for in brackets
        between 13 places evenly over the range and every breakpoint of the pages: two places closer together than those neighbours
        are found where the way between them turns back at a place that was looked at.

        Matches, stages and sizes of tubing are a few: of these it says which give enough.

        Parameters
        ----------
        units : {"IP", "SI"}
        vary : str
            An argument of `expect` that is a number (or ``line_length``, ``line_suction``, ``line_lift``, ``line_liquid``), or ``"match"`` or
            ``"stage"``.
        of : str or tuple of (str, str)
            What is told: ``"sensible_capacity"``, ``"power"``; of two names the first over the second.
        equals : float, array or callable
            What it should be; as a function of an array of places it is a line, such as a load that goes with outdoor temperature.
        between : tuple of (float, float)
            The range of `vary`, the lower first.
        among : sequence, optional
            Instead of `between`: the few that are tried, such as sizes of a suction line; all matches or stages if left out.
        limit : {"at_least", "at_most"}
            Of these: whether they should give `equals` or more, or no more.
        threads : int
            As of `expect`.
        **fixed
            Arguments of `expect` that hold; each may be an array, which makes many questions, broadcast together with `equals`: for
            the greatest length by size of a line, ``vary="line_length"`` and an array as ``line_suction``.

        Returns
        -------
        Solutions or Members
            `Members` of a few.

        Raises
        ------
        Refused
            Of one question, where nothing in the range is answered.
        """
        fixed = {"units": units, **fixed}
        if between is None and (among is not None or vary in ("match", "stage")):
            return offnominal._solve.members(self, vary, among, of, equals, limit, fixed, threads)
        if among is not None:
            raise ValueError(f"among: {_arrays.in_words(among)}; accepted: nothing beside a range")
        return offnominal._solve.solve(self, vary, between, of, equals, fixed, threads)

    def year(
        self,
        weather: Any,
        *,
        units: Literal["IP", "SI"],
        cooling: Mapping[str, Any] | None = None,
        heating: Mapping[str, Any] | None = None,
        threads: int = 1,
        **fixed: Any,
    ) -> Year:
        """A year of weather, hour by hour: which stage runs, what it takes, what it leaves unmet, and what the answers lean on.

        In each hour the lowest stage that meets the load and the one below it share the hour. The lowest, alone, cycles: a part
        load of X costs 1 / (1 - C (1 - X)) more, by AHRI 210/240 and 10 CFR 430 (M) with C = 0.25. The highest falls short, and in
        heating auxiliary heat by electric resistance takes the rest. Between stages of a compressor whose speed may stand anywhere
        that is the answer between its speeds. Nothing else is modelled: no standby or crankcase heat, no thermostat, no building.

        Parameters
        ----------
        weather : pandas.DataFrame, polars.DataFrame, pyarrow.Table, dict of arrays, str or os.PathLike
            A row for each hour, or a CSV file with one line of headings: ``outdoor_dry_bulb``; if wanted ``cooling_load`` and ``heating_load``,
            ``latent_load`` (which no stage is chosen by: what is removed of it follows), ``bin_hours`` (how many a row stands for), and whatever number `expect` asks by its name, such as ``outdoor_relative_humidity``,
            ``pressure`` or ``entering_wet_bulb``. Other columns go along.
        units : {"IP", "SI"}
        cooling, heating : dict, optional
            What holds in that mode: arguments of `expect`, each for all stages or as a dict by stage (``{"low": 800, "high": 1200}``);
            ``stage``, those that may run (all of the mode's); ``load``, where no column says it: ``{"balance": 65, "design": 95, "load": 30000}``,
            a straight line from none at one outdoor temperature to that at the other; ``meets`` (``"total_capacity"`` or
            ``"sensible_capacity"``), what the load is held against; ``degradation``, C; in heating ``auxiliary``, the most that auxiliary
            heat gives, W (unlimited).
        threads : int
            As of `expect`.
        **fixed
            Arguments of `expect` that hold in both modes.

        Returns
        -------
        Year

        Raises
        ------
        ValueError
            For loads that are not said or below zero, for one hour with both, for unknown stages.
        """
        return offnominal._year.year(self, weather, cooling, heating, threads, {"units": units, **fixed})

    @property
    def taps(self) -> list[str]:
        """The taps, or profiles, of the blower table; empty without one."""
        return _core.blower_taps(self)

    def blower(
        self,
        *,
        units: Literal["IP", "SI"],
        tap: str,
        static: Any,
        static_u: Any = None,
        includes: str = "",
        drops: Mapping[str, Any] | None = None,
        by: str | Mapping[str, str] | None = None,
        **air: Any,
    ) -> _airflow.Determination:
        """Airflow and fan power by the system's blower table.

        Between printed pressures on a monotone curve. In thin air the page is entered at static over sigma, airflow is read as it
        stands, power is times sigma (fan laws); for a motor that is not at fixed speed that is noted, and uncertain by what such a
        motor may do otherwise.

        Parameters
        ----------
        units : {"IP", "SI"}
            IP: in. w.c., cfm, lb/h. SI: Pa, m3/s, kg/s.
        tap : str
            One of `taps`.
        static : float
            External static pressure as measured.
        static_u : float, optional
            Its standard uncertainty.
        includes : str
            What stood between the two static taps beside the fan, in the words of the table's own ``includes``:
            ``"wet coil, no filter"``. Left out, it is taken as the table's, at a cost and with a note.
        drops : dict, optional
            Drop of each component in which the two differ, ``{"filter": 0.12}`` or ``{"filter": (0.12, 0.01)}`` with its standard
            uncertainty: ``filter``, ``wet coil``, ``dry coil``, ``heater``. It is added where the table leaves the component out,
            and subtracted where it has it in.
        by : str or dict, optional
            The manometer.
        **air
            The air the fan breathes (return air in blow-through, air leaving the coil in draw-through): `dry_bulb`, a humidity,
            `elevation` or `pressure`, as in `offnominal.airflow`.

        Returns
        -------
        offnominal.airflow.Determination

        Raises
        ------
        Refused
            For an unknown tap, a static pressure past the table or past the greatest it allows.
        InputError
            For a static pressure across another boundary than the table's, without the drop that is between.
        """
        given = offnominal.airflow._blower(units, tap, static, static_u, includes, drops, by)
        return offnominal.airflow._determine(units, "blower", given, offnominal.airflow._air(units, **air), self)

    def blower_report(
        self,
        *,
        units: Literal["IP", "SI"],
        tap: str,
        static: Any,
        static_u: Any = None,
        includes: str = "",
        drops: Mapping[str, Any] | None = None,
        by: str | Mapping[str, str] | None = None,
        **air: Any,
    ) -> str:
        """As `blower`, in words.

        Parameters
        ----------
        units, tap, static, static_u, includes, drops, by, **air
            As of `blower`.

        Returns
        -------
        str
        """
        given = offnominal.airflow._blower(units, tap, static, static_u, includes, drops, by)
        return _core.airflow_report(self, "blower", given, offnominal.airflow._air(units, **air), units)

    def operating_point(
        self, *, units: Literal["IP", "SI"], tap: str, duct_airflow: Any, duct_static: Any, duct_exponent: Any = 2.0, **air: Any
    ) -> _airflow.OperatingPoint:
        """Where a tap of the blower meets a duct system.

        Parameters
        ----------
        units : {"IP", "SI"}
        tap : str
        duct_airflow, duct_static : float
            One point of the duct's curve, in the air that flows: actual cfm or m3/s, in. w.c. or Pa.
        duct_exponent : float
            Static pressure goes with this power of the airflow: 2 where fittings rule, less in smooth straight duct.
        **air
            The air the fan breathes, as for `blower`.

        Returns
        -------
        offnominal.airflow.OperatingPoint

        Raises
        ------
        Refused
            Where they meet past the printed pressures, with the pressure that the duct would take there.
        """
        of = _units.si_of(units)
        flow, static = of("airflow", "duct_airflow", duct_airflow), of("static_pressure", "duct_static", duct_static)
        exponent = of("ratio", "duct_exponent", duct_exponent)
        _texts.check(tap, "tap")
        static, *flows, power, notes = _core.operating_point(
            self, tap, flow, static, exponent, offnominal.airflow._air(units, **air)
        )
        flows = [_units.from_si(units, "airflow", x) for x in flows]
        return offnominal.airflow.OperatingPoint(_units.from_si(units, "static_pressure", static), *flows, power, tuple(notes))

    def pages(self, *, units: Literal["IP", "SI"]) -> list[Page]:
        """The printed pages as data: numbers, marks, typed texts and where they stand.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        list of Page
        """
        return [Page(data) for data in _core.pages(self, units)]

    def write(self, path: str | os.PathLike[str] | None = None, *, force: bool = False) -> str:
        """The system as the text of a file, in the form that people type.

        Reading it gives the same system back, every number bit for bit. Pages that were typed keep their texts; all tables
        stand in the one file. Comments are not kept.

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
        InputError
            For what no file can say.
        FileExistsError
            If the file is there and `force` is not true.
        """
        text = vars(self).get("_text") or vars(self).setdefault("_text", _core.write_system(self))
        if path is not None:
            _write.write_new(path, text, force)
        return text

    def prove(
        self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], *, units: Literal["IP", "SI"] | None = None
    ) -> Proof:
        """Whether the machine delivers what it should.

        Parameters
        ----------
        visit : Visit, str, os.PathLike or dict
            A visit, or what `Visit` makes one of.
        units : {"IP", "SI"}, optional
            Of the expected and delivered capacities that hang on the proof; the ratio needs none.

        Returns
        -------
        Proof

        Raises
        ------
        Refused
            Where something needed is not given (limit and boundary have no default) or a reading cannot be.
        InputError
            Where the visit is not what it should be.
        """
        return Proof(self, *_of_visit(visit, units))

    def monte_carlo(self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], n: int) -> Any:
        """Draws of the true ratio of delivered to expected total (JCGM 101:2008), whatever method the proof decides by.

        Every input is drawn by what its instrument states, with what two of them share, and so is the page. The same visit gives the
        same digits; the first 4096 draws are those of a proof whose ``method`` is ``"draws"``.

        Parameters
        ----------
        visit : Visit, str, os.PathLike or dict
            As of `prove`.
        n : int
            How many, from 1 to 10 million.

        Returns
        -------
        ndarray
            Fewer than `n` only where most draws are of air that cannot be.

        Raises
        ------
        Refused, InputError
            As `prove`; Refused too where the proof has no ratio.
        """
        _units.check_whole("n", n, 1, 10_000_000)
        return _core.monte_carlo(self, visit if isinstance(visit, Visit) else Visit(visit), n)

    def prove_many(
        self,
        table: _Table,
        visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
        *,
        units: Literal["IP", "SI"],
        columns: Sequence[str] = _fleet.USUAL,
        draws: bool = True,
        threads: int = 1,
        strict: bool = False,
    ) -> _Table:
        """`prove` for the rows of a table of visits; `offnominal.prove_many` does the same for machines of several systems.

        Parameters
        ----------
        table : pandas.DataFrame, polars.DataFrame, pyarrow.Table or dict of arrays
        visit : Visit, str, os.PathLike or dict
        units : {"IP", "SI"}
        columns : sequence of str
        draws : bool
        threads : int
        strict : bool
            All as of `offnominal.prove_many`.

        Returns
        -------
        pandas.DataFrame, polars.DataFrame, pyarrow.Table or dict of arrays
        """
        how = dict(units=units, columns=columns, draws=draws, threads=threads, strict=strict)
        return _fleet.prove_many(self, table, visit, **how)

    def plan(
        self, visit: Visit | str | os.PathLike[str] | Mapping[str, Any], *, units: Literal["IP", "SI"] | None = None
    ) -> Plan:
        """What a visit can decide, before anybody drives there.

        Parameters
        ----------
        visit : Visit, str, os.PathLike or dict
            With what is forecast for outdoor and return air, the airflow it will be, and the instruments. Of the supply only the
            measure of humidity and the instruments count and need be said (``{"instrument": "supply probe"}``: the measure is
            then the return air's); power does not count.
        units : {"IP", "SI"}, optional
            As of `prove`.

        Returns
        -------
        Plan

        Raises
        ------
        Refused, InputError
            As `prove`.
        """
        return offnominal.Plan(self, *_of_visit(visit, units, forecast=True))

    def _made_of(self):
        return _written, (self.write(),)

    def _repr_html_(self):
        source = ", ".join(f"{name} {value}" for name, value in self.source.items() if value)
        about = ", ".join(part for part in (self.nominal, self.refrigerant, source) if part)
        pages = self.envelope(units="SI")  # how many breakpoints an axis has does not depend on it
        rows = [
            (
                *_display.page_of(page),
                " × ".join(f"{len(x)} {_display.words(axis)}" for axis, x in page["axes"].items()),
                page["blanks"],
            )
            for page in pages
        ]
        return _display.block(self.name, _display.line(about), _display.table(("page", "match", "nodes", "blank"), rows))

    def __repr__(self):
        return f"<System {self.name!r}: stages {', '.join(self.stages)}; matches {', '.join(self.matches) or 'none'}>"
