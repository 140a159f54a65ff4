"""What is told: single answers and answers to arrays of questions, both by the lists of the compiled module."""

import functools
import json
import math

import numpy as np

from offnominal import _arrays, _core, _display, _tables, _units
from offnominal._value import Value, content, plain, read_only
from offnominal.errors import ARGUMENTS

_ABOUT = np.array([ARGUMENTS.get(name, name) for name in _core.about_names])
_ABOUT_UNITS = np.array(_core.about_units)


class Told(Value):
    """A value that tells numbers, each by a line of a list: name, kind, the modes it belongs to, meaning."""

    _told = ()
    _words = ()  # what else is told, by name

    @property
    def fields(self):
        """dict of str to str: the numbers that are told, each with its unit."""
        mode = getattr(self, "mode", None)
        told = [(name, kind) for name, kind, modes, _ in self._told if mode is None or mode in modes]
        return {name: _units.unit_of(self.units, kind) for name, kind in told}

    def to_dict(self):
        """Everything that is told, by name.

        Returns
        -------
        dict
            Numbers and words; of a batch arrays of one shape, such as ``pandas.DataFrame`` takes.
        """
        return {name: getattr(self, name) for name in (*self.fields, *self._words)}

    def to_json(self):
        """Everything that is told as JSON, with the units of the numbers.

        Returns
        -------
        str
            NaN and what is not there stand as null.
        """
        return json.dumps(plain(self._telling()), ensure_ascii=False, allow_nan=False)

    def _telling(self):
        """dict: `to_dict` with what it is, the ``units``, and the ``fields``."""
        return {"told": type(self).__name__, "units": self.units, "fields": self.fields, **self.to_dict()}

    def _content(self):
        return content((self.units, self.to_dict()))

    def _told_table(self):
        return _display.table(("told", self.units), _display.told(self))


class Many:
    """What many answers have in common. A class says with `_one` and `_some` what an index picks."""

    def __len__(self):
        if not self.shape:
            raise TypeError(f"a single {type(self).__name__} has no length")
        return self.shape[0]

    def __getitem__(self, key):
        """One answer for one position; for a mask, a slice or positions, the answers there."""
        if type(key) is int and len(self.shape) == 1:
            return self._one(range(len(self))[key])
        if self._labels is None:
            rows, labels = np.arange(math.prod(self.shape)).reshape(self.shape)[key], None
        else:
            rows, labels = self._labels.pick(key)
        return self._some(rows, labels) if np.ndim(rows) else self._one(int(rows))


class Batch(Many, Told):
    """Answers of one shape, as arrays in the caller's units: an attribute for each number that is told of one answer.

    Where ``answered`` is false the numbers are NaN; what a page does not print is NaN alone. ``len``, masks and slices are those of
    an array: ``batch[batch.answered]``.

    Attributes
    ----------
    units : {"IP", "SI"}
    shape : tuple of int
        Of every array.
    """

    _words = ("answered", "reason", "about", "value", "lower", "upper", "notes")

    def __init__(self, call, shape, labels, numbers, columns):
        vars(self).update(units=call.units, shape=shape, _call=call, _labels=labels, _numbers=numbers, _columns=columns)

    @property
    def fields(self):
        """dict of str to str: the numbers that are told, each with its unit."""
        return {name: _units.unit_of(self.units, kind) for name, kind, *_ in self._told if name in self._columns}

    def _shown(self, values, name):
        return _arrays.shown(values.reshape(self.shape), self._labels, name)

    def _column(self, name):
        try:
            return self._shown(self._columns[name], name)
        except KeyError:
            raise AttributeError(f"{name} is not told in {self.mode}") from None

    @property
    def answered(self):
        """ndarray of bool: where there is an answer."""
        return self._shown(self._columns["reasons"]["why"] == 0, "answered")

    @property
    def reason(self):
        """ndarray of str: why there is no answer, ``"none"`` where there is one."""
        return self._shown(np.asarray(_core.why_names)[self._columns["reasons"]["why"]], "reason")

    @property
    def about(self):
        """ndarray of str: which argument the reason is about."""
        return self._shown(_ABOUT[self._columns["reasons"]["about"]], "about")

    @property
    def value(self):
        """ndarray: the offending value, NaN where there is an answer."""
        return self._bound("value")

    @property
    def lower(self):
        """ndarray: the least value that would be accepted."""
        return self._bound("lower")

    @property
    def upper(self):
        """ndarray: the greatest value that would be accepted."""
        return self._bound("upper")

    def _bound(self, name):
        reasons = self._columns["reasons"]
        numbers = np.where(reasons["why"] == 0, np.nan, reasons[name])
        if self.units == "IP":
            times, over, offset = _ABOUT_UNITS[reasons["about"]].T
            numbers = numbers * over / times + offset
        return self._shown(numbers, name)

    @property
    def notes(self):
        """ndarray of lists of str: consequences of what is unknown or assumed."""
        return self._shown(_units.worded(self._packed_notes, lambda packed: _core.describe_notes(*packed)), "notes")

    @property
    def _packed_notes(self):
        return self._columns["notes"]

    def at(self, *index):
        """One point of the batch as a single answer, recomputed: the bits agree.

        Parameters
        ----------
        *index : int
            Position in the array.

        Returns
        -------
        Expected or Delivered

        Raises
        ------
        Refused
            Where there is no answer.
        """
        return self._one(int(np.ravel_multi_index(index, self.shape)))

    def to_pandas(self):
        """A ``pandas.DataFrame``: a row for each answer, under the labels of the question if it had any.

        Numbers, ``reason`` and ``footing``; ``frame.attrs`` has the ``units`` and ``meanings`` of the numbers, by name.
        """
        return _tables.to_pandas(self)

    def to_xarray(self):
        """An ``xarray.Dataset`` under the labels of the question; each number has the attributes ``units`` and ``long_name``."""
        return _tables.to_xarray(self)

    def to_arrow(self):
        """A ``pyarrow.Table``: a row for each answer; the metadata of a field has its ``unit`` and ``meaning``."""
        return _tables.Answers.of(self).to_arrow()

    def _picked(self, rows):
        """Numbers and columns of some rows."""
        flat = rows.reshape(-1)
        numbers = tuple(_pick(x, flat) for x in self._numbers)
        return numbers, {name: column[flat] for name, column in self._columns.items()}

    def _content(self):
        return content((self.units, self.shape, self._labels, self._columns))

    def __dir__(self):
        return sorted(set(super().__dir__()) - {name for name, *_ in self._told if name not in self._columns})

    def _repr_html_(self):
        why = self._columns["reasons"]["why"]
        rows = []
        for name, unit in self.fields.items():
            column = self._columns[name][why == 0]
            column = column[column == column]
            three = (column.min(), column.mean(), column.max()) if column.size else (None, None, None)
            rows.append((_display.words(name), *(_display.number(x, unit) for x in three)))
        counts = [(_core.why_names[kind], count) for kind, count in enumerate(np.bincount(why)) if kind and count]
        reasons = _display.table(("no answer", "how many"), counts)
        return _display.block(repr(self).strip("<>"), _display.table(("told", "least", "mean", "greatest"), rows), reasons)

    def __repr__(self):
        refused = int(np.count_nonzero(self._columns["reasons"]["why"]))
        return f"<{type(self).__name__} of shape {self.shape}, {refused} without an answer>"


class ExpectedBatch(Batch):
    """What a system should deliver, for arrays of conditions: the numbers of `Expected` as arrays; see `Batch`."""

    _told = _core.told_of_expected
    _words = (*Batch._words, "footing")

    def __init__(self, system, call, shape, labels, stage, match, numbers, columns=None, told=(), out=None, threads=1):
        stage, match = ((names, read_only(flat(codes, shape, np.int32))) for names, codes in (stage, match))
        numbers = tuple([x if type(x) is float else flat(x, shape) for x in numbers])
        if columns is not None:
            columns = {name: read_only(column) for name, column in columns.items()}
        else:
            given = _given_columns(out or {}, shape)
            # Notes follow from the uncertainty: where some numbers are told, and not that, they wait until somebody asks.
            how = given, not told or "uncertainty" in told, threads
            columns = _core.expect_many(system, call, math.prod(shape), *stage, *match, numbers, told, *how)
        vars(self).update(system=system, _stage=stage, _match=match)
        super().__init__(call, shape, labels, numbers, columns)

    @property
    def mode(self):
        """str: "cooling" or "heating"."""
        return self._call.made_of[1]

    @property
    def footing(self):
        """ndarray of str: what each answer stands on; empty where there is none."""
        words = _units.worded(self._columns["footing"], _core.describe_footing)
        return self._shown(np.where(self._columns["reasons"]["why"] == 0, words, ""), "footing")

    def ledger(self, *index):
        """The ledger of one point; `index` as of `at`."""
        return self.at(*index).ledger

    @property
    def uncertainty_parts(self):
        """dict of str to ndarray: what the uncertainty is made of, standard uncertainties of the total, in its unit."""
        return {name: self._shown(column, name) for name, column in self._parts["uncertainty_parts"].items()}

    @property
    def extras(self):
        """dict of str to dict: the page's further columns, each with ``value`` (ndarray, NaN where there is none) and ``unit``."""
        extras = self._parts["extras"].items()
        return {name: {"value": self._shown(one["value"], name), "unit": one["unit"]} for name, one in extras}

    @property
    def ledger_parts(self):
        """dict of tuple to ndarray: what stands after each step of the ledgers, by step and by what it is of.

        ``("page", "total")`` and so on, as `Expected.ledger` names them, in the unit of what it is of; NaN where an answer has no
        such step.
        """
        return {key: self._shown(column, key[1]) for key, column in self._parts["ledger"].items()}

    @functools.cached_property
    def _packed_notes(self):
        if "notes" in self._columns:
            return self._columns["notes"]
        rows = math.prod(self.shape)
        how = ("gross_total",), {}, True, 1
        return _core.expect_many(self.system, self._call, rows, *self._stage, *self._match, self._numbers, *how)["notes"]

    @functools.cached_property
    def _parts(self):
        """What single answers say besides their numbers: worked out when it is asked for, a row at a time."""
        return _core.expect_parts(self.system, self._call, math.prod(self.shape), *self._stage, *self._match, self._numbers)

    def _one(self, row):
        stage, match = (names[_at(codes, row)] for names, codes in (self._stage, self._match))
        return _core.expect_one(self.system, self._call, stage, match, *(float(_at(x, row)) for x in self._numbers))

    def _some(self, rows, labels):
        stage, match = ((names, _pick(codes, rows.reshape(-1))) for names, codes in (self._stage, self._match))
        return ExpectedBatch(self.system, self._call, rows.shape, labels, stage, match, *self._picked(rows))

    def _made_of(self):
        question = self._call, self.shape, self._labels, self._stage, self._match, self._numbers
        return ExpectedBatch, (self.system, *question, self._columns)

    def _content(self):
        return super()._content(), content(self.system)


def _given_columns(out, shape):
    """The caller's arrays that answers go into, by name: rows of them, nothing copied."""
    given = {}
    for name, array in out.items():
        if not (
            isinstance(array, np.ndarray) and array.dtype == np.float64 and array.shape == shape and array.flags.c_contiguous
        ):
            what = f"{array.dtype} of shape {array.shape}" if isinstance(array, np.ndarray) else _arrays.in_words(array)
            raise ValueError(f"out: {name}: {what}; accepted: a contiguous array of float64 of shape {shape}")
        if not array.flags.writeable:
            raise ValueError(f"out: {name}: an array that cannot be written to")
        if any(np.may_share_memory(array, other) for other in given.values()):
            raise ValueError(f"out: {name}: shares memory with another array of out")
        given[name] = array.reshape(-1)
    return given


class DeliveredBatch(Batch):
    """What machines deliver, for arrays of readings: the numbers of `Delivered` as arrays; see `Batch`."""

    _told = _core.told_of_delivered

    def __init__(self, call, shape, labels, numbers, columns=None):
        numbers = tuple([x if type(x) is float else flat(x, shape) for x in numbers])
        if columns is not None:
            columns = {name: read_only(column) for name, column in columns.items()}
        else:
            columns = _core.deliver_many(call, math.prod(shape), numbers)
        super().__init__(call, shape, labels, numbers, columns)

    @property
    def mode(self):
        """str: "cooling" or "heating"."""
        return self._call.made_of[6]

    def _one(self, row):
        return _core.deliver_one(self._call, *(float(_at(x, row)) for x in self._numbers))

    def _some(self, rows, labels):
        return DeliveredBatch(self._call, rows.shape, labels, *self._picked(rows))

    def _made_of(self):
        return DeliveredBatch, (self._call, self.shape, self._labels, self._numbers, self._columns)


_steps_of = _core.Expected.ledger.fget


class _Expected(Told):
    """What a system should deliver under one set of conditions, in the units it was asked in. Made by `System.expect`.

    Attributes
    ----------
    system : System
    units : {"IP", "SI"}
    mode : {"cooling", "heating"}
    boundary : {"coil", "coil+fan"}
        Gross, or net of the indoor fan's heat.
    frost : {"instantaneous", "integrated", "unknown"} or None
        What kind of capacity that is; of heating.
    power_basis : str
        What `power` includes, as the page says: ``"outdoor unit"``, ...
    footing : str
        What the answer stands on: ``"inside"`` the printed page, or on what else.
    notes : list of str
        Consequences of what is unknown or assumed.
    uncertainty_parts : dict of str to float
        What `uncertainty` is made of: standard uncertainties of the total, in its unit.
    extras : dict of str to dict
        The page's further columns: ``value`` (None without one), ``unit`` as printed, and ``reason``.
    """

    _told = _core.told_of_expected
    _words = ("mode", "boundary", "frost", "power_basis", "footing", "notes", "uncertainty_parts", "extras", "ledger")

    @property
    def ledger(self):
        """Ledger: every step from the printed page, in order."""
        return _display.Ledger(_steps_of(self))

    def _repr_html_(self):
        ledger = _display.table(self.ledger.HEADINGS, self.ledger.rows(), "from the printed page")
        heading = f"expected at {self.boundary}: {self.footing}"
        return _display.block(heading, self._told_table(), ledger, _display.listed("notes", self.notes))

    def _made_of(self):
        origin, stage, match, numbers = self._origin
        if not isinstance(origin, _core.Call):
            return getattr, (origin, "expected")  # of a proof
        return _core.expect_one, (self.system, origin, stage, match, *numbers)

    def _content(self):
        return Told._content(self), content(self.system)  # no super: it stands in the compiled class


class _Delivered(Told):
    """What a machine delivers, raw: nothing is clamped; in the units it was asked in. Made by `deliver`.

    Attributes
    ----------
    units : {"IP", "SI"}
    mode : {"cooling", "heating"}
    notes : list of str
        Consequences of what is unknown or assumed.
    """

    _told = _core.told_of_delivered
    _words = ("mode", "notes")

    def _repr_html_(self):
        return _display.block("delivered", self._told_table(), _display.listed("notes", self.notes))

    def _made_of(self):
        origin, _, _, numbers = self._origin
        if not isinstance(origin, _core.DeliverCall):
            return getattr, (origin, "delivered")  # of a proof
        return _core.deliver_one, (origin, *numbers)


def _complete():
    """Gives the compiled classes what is written in Python, and batches an attribute for each number that is told."""
    for compiled, written in ((_core.Expected, _Expected), (_core.Delivered, _Delivered)):
        compiled.__doc__ = written.__doc__
        for one in (Value, Told, written):
            for name, what in vars(one).items():
                if name not in ("__module__", "__dict__", "__weakref__", "__doc__"):
                    setattr(compiled, name, what)
    for batch in (ExpectedBatch, DeliveredBatch):
        for name, _, _, meaning in batch._told:
            setattr(batch, name, property(functools.partial(Batch._column, name=name), doc=meaning))


_complete()


def flat(x, shape, dtype=np.float64):
    """One argument for compiled code: a number, or a copy as a flat column of one for each answer."""
    if type(x) is float or type(x) is int:
        return x
    x = np.array(x, dtype)
    return x.reshape(1) if x.size == 1 else np.ascontiguousarray(np.broadcast_to(x, shape)).reshape(-1)


def _at(column, row):
    return column[row if column.size > 1 else 0] if isinstance(column, np.ndarray) else column


def _pick(column, rows):
    return column if np.size(column) == 1 else column[rows]
