"""A matched system: what it should deliver, and whether it does."""

import functools
import json
import os
from collections.abc import Mapping

import numpy as np

from offnominal import _arrays, _core, _units, _write, audit, heating
from offnominal._batch import Batch
from offnominal.pages import Page
from offnominal.proof import Proof

_NAN = float("nan")
_make_call = functools.lru_cache(maxsize=256)(_core.Call)


def load(path):
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
        Document, revision and page of the printed ratings, their transcriber and checker.
    stages, matches : list of str
        The keys that `expect` takes.
    heating_stages : dict
        The stages that print heating, each with the kinds it prints: ``{"high": ["instantaneous", "integrated"]}``.
    speeds : dict of str to float
        Stage to compressor speed, in `speed_unit` (``"Hz"``, ``"rpm"``, ``"%"`` or ``"1"``); empty for a system of stages.
    speed_unit : str
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
    heating_stages = property(lambda self: _core.heating_stages(self._core))
    speeds = property(lambda self: self._core.speeds)
    speed_unit = property(lambda self: self._core.speed_unit)

    def envelope(self, *, units):
        """The published region, for forms that limit entries.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        list of dict
            One for each page, with ``mode``, ``frost`` (of a heating page), ``stage``, ``match`` (empty for the system's own pages), ``axes`` (name to breakpoints),
            ``nodes`` and ``blanks``.
        """
        return self._core.envelope(units)

    def audit(self, *, units):
        """Hold every cooling page against its own neighbours and against physics: what a typist may have got wrong.

        It never corrects. A file that `load` refuses is audited by `offnominal.audit.audit_file`.

        Parameters
        ----------
        units : {"IP", "SI"}
            Of the numbers in the result.

        Returns
        -------
        list of offnominal.audit.PageAudit
            One for each page, with ranked suspects, questions and leave-one-out errors.
        """
        _units.check_word("units", units, "IP", "SI")
        return audit.pages(_core.audit_system(self._core, units))

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
        frost=None,
        auxiliary_heat=None,
        outdoor_relative_humidity=None,
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
            Exactly one: elevation of the site, or station pressure.
        line_set : "reference" or dict
            A dict has ``length`` (equivalent), ``suction`` and ``lift`` (0 if left out). Needed for a system with a line-set
            table; cooling only.
        boundary : {"coil", "coil+fan"}
            Gross, or net of the indoor fan's heat.
        fan_power : float or array
            Indoor fan, W. Needed for ``"coil+fan"``.
        mode : {"cooling", "heating"}
        outside : {"refuse", "hold", "extend"}
            What to do past the edge of the page: ``"extend"`` reaches 2 % of an axis' span.
        infer : bool
            Allow inferred values below the reference dry bulb next to nodes that are dry on the page; cooling only.
        frost : {"instantaneous", "integrated"}
            Heating only, and needed there: a running machine, or averaged over frost and defrost. One is never turned into the
            other, but for a system with a defrost table.
        auxiliary_heat : float or array
            Heating only, and needed there: W of electric or fuel heat beside the machine, 0 where it is off. Never part of the
            capacity or of the leaving air.
        outdoor_relative_humidity : float or array
            Heating only: fraction, needed for a defrost table.

        Returns
        -------
        Expected
            For numbers. With ``total_capacity``, ``sensible_capacity``, ``latent_capacity``, ``power``, ``leaving_dry_bulb``,
            ``leaving_wet_bulb``, ``leaving_relative_humidity``, ``split``, ``uncertainty`` (standard, of the page and its
            factors), ``footing``, ``notes``, ``ledger``, ``extras`` (other columns of the page: name to value, printed unit
            and reason), and ``explain()``.
        ExpectedHeating
            In heating, for numbers. With ``capacity``, ``power``, ``system_power``, ``cop``, ``leaving_dry_bulb``, ``rise``, and
            the rest as above.
        ExpectedBatch, ExpectedHeatingBatch
            If anything is an array: the same names as arrays, NaN exactly where ``reason`` is not ``"none"``.

        Raises
        ------
        Refused
            For numbers, where there is no answer; where one of the alternatives above is missing or given twice.
        """
        _units.check_word("units", units, "IP", "SI")
        _units.check_word("mode", mode, "cooling", "heating")
        of_other_mode = (
            {"line_set": line_set, "infer": infer or None, "speed": speed}
            if mode == "heating"
            else {"frost": frost, "auxiliary_heat": auxiliary_heat, "outdoor_relative_humidity": outdoor_relative_humidity}
        )
        for name, value in of_other_mode.items():
            if value is not None:
                raise ValueError(f"{name}: {_arrays.in_words(value)}; accepted: nothing in {mode}")
        if mode == "heating":
            return heating.expect(
                self,
                units=units,
                stage=stage,
                match=match,
                frost=frost,
                outdoor_dry_bulb=outdoor_dry_bulb,
                outdoor_relative_humidity=outdoor_relative_humidity,
                entering_dry_bulb=entering_dry_bulb,
                entering_wet_bulb=entering_wet_bulb,
                entering_relative_humidity=entering_relative_humidity,
                entering_humidity_ratio=entering_humidity_ratio,
                entering_dew_point=entering_dew_point,
                airflow=airflow,
                airflow_basis=airflow_basis,
                airflow_at=airflow_at,
                elevation=elevation,
                pressure=pressure,
                boundary=boundary,
                fan_power=fan_power,
                auxiliary_heat=auxiliary_heat,
                outside=outside,
            )
        humidity, wet = _units.exactly_one(
            "entering humidity",
            entering_wet_bulb=entering_wet_bulb,
            entering_relative_humidity=entering_relative_humidity,
            entering_humidity_ratio=entering_humidity_ratio,
            entering_dew_point=entering_dew_point,
        )
        meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
        site, place = _units.exactly_one("site", elevation=elevation, pressure=pressure)
        _units.check_word("boundary", boundary, "coil", "coil+fan", "")
        _units.check_word("outside", outside, "refuse", "hold", "extend")
        if not isinstance(infer, (bool, np.bool_)):
            raise ValueError(f"infer: {_arrays.in_words(infer)}; accepted: True or False for the whole call")
        length = suction = lift = _NAN
        line = "" if line_set is None else "reference"
        if isinstance(line_set, Mapping):
            unknown, missing = set(line_set) - {"length", "suction", "lift"}, {"length", "suction"} - set(line_set)
            if unknown or missing:
                problem = f"unknown {', '.join(sorted(unknown))}" if unknown else f"{', '.join(sorted(missing))} missing"
                raise ValueError(f"line_set: {problem} in {dict(line_set)!r}; accepted: length, suction and lift")
            line, length, suction, lift = "given", line_set["length"], line_set["suction"], line_set.get("lift", 0.0)
        elif line_set is not None and not (isinstance(line_set, str) and line_set == "reference"):
            raise ValueError(f"line_set: {_arrays.in_words(line_set)}; accepted: 'reference', or a dict of length, suction and lift")
        call = _make_call(units, humidity[len("entering_") :], meaning, site, line, boundary, outside, infer)
        if fan_power is None:
            fan_power = _NAN
        if speed is None:
            speed = _NAN
        numbers = (outdoor_dry_bulb, entering_dry_bulb, wet, airflow, place, fan_power, length, suction, lift, speed)
        if type(stage) is str and type(match) is str and _arrays.all_plain(numbers):
            return self._core.expect_one(call, stage, match, *numbers)
        kinds = {
            "outdoor_dry_bulb": "temperature",
            "entering_dry_bulb": "temperature",
            humidity: "temperature" if humidity in ("entering_wet_bulb", "entering_dew_point") else "ratio",
            "airflow": "mass_flow" if meaning == "dry_mass" else "airflow",
            site: "length" if site == "elevation" else "pressure",
            "fan_power": "electric_power",
            "length of line_set": "length",
            "suction of line_set": "tubing",
            "lift of line_set": "length",
            "speed": None,
        }
        arguments = [("stage", _arrays.WORDS, stage), ("match", _arrays.WORDS, match)]
        for (name, kind), value in zip(kinds.items(), numbers):
            arguments.append((name, _units.unit_of(units, kind) if kind else self.speed_unit, value))
        (stage, match, *numbers), shape, labels = _arrays.take(arguments)
        if not shape:
            return self._core.expect_one(call, stage[0][0], match[0][0], *numbers)
        return ExpectedBatch(self, call, shape, labels, stage, match, numbers)

    def pages(self, *, units):
        """The printed pages as data: numbers, marks, typed texts and where they stand.

        Parameters
        ----------
        units : {"IP", "SI"}

        Returns
        -------
        list of Page
        """
        return [Page(data) for data in _core.pages(self._core, units)]

    def write(self, path=None, *, force=False):
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
        text = _core.write_system(self._core)
        if path is not None:
            _write.write_new(path, text, force)
        return text

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
            _units.check_word("units", units, "IP", "SI")
        if isinstance(visit, Mapping):
            core = _core.parse_visit(json.dumps(visit, default=str, ensure_ascii=False), "<visit>")
        else:
            core = _core.load_visit(os.fspath(visit))
        return Proof(_core.prove(self._core, core), units)

    def __repr__(self):
        return f"<System {self.name!r}: stages {', '.join(self.stages)}; matches {', '.join(self.matches) or 'none'}>"

    def __reduce__(self):
        return (load, (self._path,)) if self._text is None else (parse, self._text)


class ExpectedBatch(Batch):
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

    _many = staticmethod(_core.System.expect_many)
    _one = staticmethod(_core.System.expect_one)
