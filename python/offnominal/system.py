"""A matched system: what it should deliver, and whether it does."""

import functools
import json
import os
from collections.abc import Mapping

import numpy as np

from offnominal import _core, _units
from offnominal.proof import Proof

_NAN = float("nan")
_make_call = functools.lru_cache(maxsize=256)(_core.Call)


def load(path):
    """Read a system file.

    Parameters
    ----------
    path : str or os.PathLike
        A YAML system file (``offnominal: system/1``). Tables it names are looked for beside it.

    Returns
    -------
    System

    Raises
    ------
    InputError
        With file, line, column, the text, and what would be accepted.
    """
    return System(_core.load_system(os.fspath(path)), os.path.abspath(path))


def parse(text, name="<text>", folder="."):
    """Read a system from YAML text.

    Parameters
    ----------
    text : str
        The contents of a system file.
    name : str
        What to call the text in error messages.
    folder : str or os.PathLike
        Where to look for tables the text names.

    Returns
    -------
    System

    Raises
    ------
    InputError
        With file, line, column, the text, and what would be accepted.
    """
    return System(_core.parse_system(text, name, os.fspath(folder)), None, (text, name, os.fspath(folder)))


class System:
    """A checked, immutable system: pages by stage and match, line-set and altitude tables.

    Made by `load` or `parse`.

    Attributes
    ----------
    name, nominal, refrigerant : str
        As the file says. No answer comes from them.
    source : dict
        Document, revision and page of the printed ratings.
    stages, matches : list of str
        The keys that `expect` takes.
    """

    def __init__(self, core, path=None, text=None):
        self._core = core
        self._path = path
        self._text = text

    name = property(lambda self: self._core.name)
    nominal = property(lambda self: self._core.nominal)
    refrigerant = property(lambda self: self._core.refrigerant)
    source = property(lambda self: self._core.source)
    stages = property(lambda self: self._core.stages)
    matches = property(lambda self: self._core.matches)

    def envelope(self, *, units):
        """The published region, for forms that limit entries.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        list of dict
            One for each page, with ``stage``, ``match`` (empty for the system's own pages), ``axes`` (name to breakpoints),
            ``nodes`` and ``blanks``.
        """
        return self._core.envelope(units)

    def expect(
        self,
        *,
        units,
        stage,
        outdoor_dry_bulb,
        entering_dry_bulb,
        airflow,
        boundary,
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
        outdoor_dry_bulb, entering_dry_bulb : float or array
            Entering air is what enters at the boundary: the coil's for ``"coil"``, the return air for ``"coil+fan"``.
        entering_wet_bulb, entering_relative_humidity, entering_humidity_ratio, entering_dew_point : float or array
            Exactly one. Relative humidity is a fraction.
        airflow : float or array
            With exactly one of `airflow_basis` and `airflow_at`.
        airflow_basis : {"standard", "dry_mass"}
            Standard airflow (0.075 lb of dry air per cubic foot), or mass flow of dry air (lb/h, kg/s).
        airflow_at : {"return", "supply", "fan"}
            Actual airflow, at the density of that place.
        elevation, pressure : float or array
            Exactly one: elevation of the site, or station pressure.
        line_set : "reference" or dict
            A dict has ``length`` (equivalent), ``suction`` and ``lift`` (0 if left out). Needed for a system with a line-set
            table.
        boundary : {"coil", "coil+fan"}
            Gross, or net of the indoor fan's heat.
        fan_power : float or array
            Indoor fan, W. Needed for ``"coil+fan"``.
        mode : {"cooling"}
        outside : {"refuse", "hold", "extend"}
            What to do past the edge of the page: ``"extend"`` reaches 2 % of an axis' span.
        infer : bool
            Allow inferred values below the reference dry bulb next to nodes that are dry on the page.

        Returns
        -------
        Expected
            For numbers. With ``total_capacity``, ``sensible_capacity``, ``latent_capacity``, ``power``, ``leaving_dry_bulb``,
            ``leaving_wet_bulb``, ``leaving_relative_humidity``, ``split``, ``uncertainty`` (standard, of the page and its
            factors), ``footing``, ``notes``, ``ledger``, and ``explain()``.
        ExpectedBatch
            If anything is an array: the same names as arrays, NaN exactly where ``reason`` is not ``"none"``.

        Raises
        ------
        Refused
            For numbers, where there is no answer; where one of the alternatives above is missing or given twice.
        """
        if mode != "cooling":
            raise ValueError(f"mode: {mode!r}; accepted: 'cooling'")
        humidity, wet = _units.exactly_one(
            "entering humidity",
            "entering_wet_bulb",
            entering_wet_bulb=entering_wet_bulb,
            entering_relative_humidity=entering_relative_humidity,
            entering_humidity_ratio=entering_humidity_ratio,
            entering_dew_point=entering_dew_point,
        )
        flow, _ = _units.exactly_one("meaning of the airflow", "airflow", airflow_basis=airflow_basis, airflow_at=airflow_at)
        meaning = airflow_basis if flow == "airflow_basis" else airflow_at
        if meaning not in (("standard", "dry_mass") if flow == "airflow_basis" else ("return", "supply", "fan")):
            accepted = "'standard' or 'dry_mass'" if flow == "airflow_basis" else "'return', 'supply' or 'fan'"
            raise ValueError(f"{flow}: {meaning!r}; accepted: {accepted}")
        site, place = _units.exactly_one("site", "elevation", elevation=elevation, pressure=pressure)
        for name, word in (("boundary", boundary), ("outside", outside)):
            if not isinstance(word, str):
                raise ValueError(f"{name}: {word!r}; accepted: one word for the whole call, such as {'coil' if name == 'boundary' else 'refuse'!r}")
        length = suction = lift = _NAN
        line = "" if line_set is None else "reference"
        if isinstance(line_set, Mapping):
            unknown, missing = set(line_set) - {"length", "suction", "lift"}, {"length", "suction"} - set(line_set)
            if unknown or missing:
                problem = f"unknown {', '.join(sorted(unknown))}" if unknown else f"{', '.join(sorted(missing))} missing"
                raise ValueError(f"line_set: {problem} in {dict(line_set)!r}; accepted: length, suction and lift")
            line, length, suction, lift = "given", line_set["length"], line_set["suction"], line_set.get("lift", 0.0)
        elif line_set is not None and not (isinstance(line_set, str) and line_set == "reference"):
            raise ValueError(f"line_set: {line_set!r}; accepted: 'reference', or a dict of length, suction and lift")
        call = _make_call(units, humidity[len("entering_") :], meaning, site, line, boundary, outside, infer)
        if fan_power is None:
            fan_power = _NAN
        numbers = (outdoor_dry_bulb, entering_dry_bulb, wet, airflow, place, fan_power, length, suction, lift)
        if type(stage) is str and type(match) is str:
            try:
                return self._core.expect_one(call, stage, match, *numbers)
            except TypeError:  # not plain numbers: arrays or quantities
                pass
        kinds = (
            "temperature",
            "temperature",
            "temperature" if humidity in ("entering_wet_bulb", "entering_dew_point") else "ratio",
            "mass_flow" if meaning == "dry_mass" else "airflow",
            "length" if site == "elevation" else "pressure",
            "electric_power",
            "length",
            "tubing",
            "length",
        )
        numbers = tuple(_units.magnitude(units, kind, x) for kind, x in zip(kinds, numbers))
        if all(np.ndim(x) == 0 for x in (stage, match, *numbers)):
            return self._core.expect_one(call, str(stage), str(match), *(float(x) for x in numbers))
        return ExpectedBatch(self, call, stage, match, numbers)

    def prove(self, visit, *, units=None):
        """Whether the machine delivers what it should.

        Parameters
        ----------
        visit : str, os.PathLike or dict
            A visit file (``offnominal: visit/1``), or a dict with the same keys; quantities in it are text with a unit, such
            as ``"76.0 degF"``.
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
        if units is not None:
            _units.unit_of(units, "capacity")  # a known system of units
        if isinstance(visit, Mapping):
            core = _core.parse_visit(json.dumps(visit, default=str, ensure_ascii=False), "<visit>")
        else:
            core = _core.load_visit(os.fspath(visit))
        return Proof(_core.prove(self._core, core), units)

    def __repr__(self):
        return f"<System {self.name!r}: stages {', '.join(self.stages)}; matches {', '.join(self.matches) or 'none'}>"

    def __reduce__(self):
        return (load, (self._path,)) if self._text is None else (parse, self._text)


class ExpectedBatch:
    """What a system should deliver, for arrays of conditions.

    The attributes of `Expected` as arrays of one shape, in the caller's units. Where ``reason`` is not ``"none"`` there is no
    answer and the numbers are NaN; a page that prints no sensible or power leaves NaN in those alone.

    Attributes
    ----------
    total_capacity, sensible_capacity, latent_capacity, power, system_power : ndarray
    leaving_dry_bulb, leaving_wet_bulb, leaving_relative_humidity, split : ndarray
    uncertainty, standard_airflow, mass_flow, bypass : ndarray
    reason, about : ndarray of str
        Why there is no answer, and what it is about.
    footing : ndarray of str
    notes : ndarray of lists of str
    """

    def __init__(self, system, call, stage, match, numbers):
        shape = np.broadcast_shapes(*(np.shape(x) for x in (stage, match, *numbers)))
        self._system, self._call, self._shape = system, call, shape
        rows = int(np.prod(shape))

        def column(x, dtype):
            x = np.asarray(x, dtype)
            return x.reshape(1) if x.size == 1 else np.ascontiguousarray(np.broadcast_to(x, shape)).reshape(-1)

        def keys(x):
            names, codes = np.unique(np.asarray(x, str), return_inverse=True)
            return [str(n) for n in names], column(codes.reshape(np.shape(x)), np.int32)

        self._stage, self._match = keys(stage), keys(match)
        self._numbers = tuple(column(x, np.float64) for x in numbers)
        columns = system._core.expect_many(call, rows, *self._stage, *self._match, self._numbers)
        self._codes = {key: columns.pop(key).reshape(shape) for key in ("why", "about", "footing", "notes")}
        for key, values in columns.items():
            setattr(self, key, values.reshape(shape))

    @property
    def reason(self):
        return np.asarray(_core.why_names)[self._codes["why"]]

    @property
    def about(self):
        return np.asarray(_core.about_names)[self._codes["about"]]

    @property
    def footing(self):
        return _units.worded(self._codes["footing"], _core.describe_footing)

    @property
    def notes(self):
        return _units.worded(self._codes["notes"], _core.describe_notes)

    @property
    def shape(self):
        return self._shape

    def at(self, *index):
        """One point of the batch as an `Expected`, recomputed: the bits agree.

        Parameters
        ----------
        *index : int
            Position in the array.

        Returns
        -------
        Expected

        Raises
        ------
        Refused
            Where there is no answer.
        """
        i = int(np.ravel_multi_index(index, self._shape))

        def pick(x):
            return x[i if x.size > 1 else 0]

        stage, match = (names[pick(codes)] for names, codes in (self._stage, self._match))
        return self._system._core.expect_one(self._call, stage, match, *(float(pick(x)) for x in self._numbers))

    def ledger(self, *index):
        """The ledger of one point. See `at`."""
        return self.at(*index).ledger

    def __repr__(self):
        refused = int(np.count_nonzero(self._codes["why"]))
        return f"<ExpectedBatch of shape {self._shape}, {refused} without an answer>"

