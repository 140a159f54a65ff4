"""Answers to arrays of questions."""

import numpy as np

from offnominal import _arrays, _core, _units


def column(x, shape, dtype=np.float64):
    """One argument for compiled code: a number, or a flat column of one for each answer."""
    if type(x) is float or type(x) is int:
        return x
    x = np.asarray(x, dtype)
    return x.reshape(1) if x.size == 1 else np.array(np.broadcast_to(x, shape), order="C").reshape(-1)


class Batch:
    """Answers of one shape, as arrays in the caller's units: an attribute for each number that is told of one answer.

    Where ``reason`` is not ``"none"`` there is no answer and the numbers are NaN; what a page does not print is NaN alone.

    Attributes
    ----------
    fields : tuple of str
        The numbers that are told.
    reason, about : ndarray of str
        Why there is no answer, and what it is about.
    notes : ndarray of lists of str
        Consequences of what is unknown or assumed.
    """

    def __init__(self, columns, shape, labels):
        self._shape, self._labels = shape, labels
        self._codes = {key: columns.pop(key).reshape(shape) for key in ("reasons", "notes", "footing") if key in columns}
        self.fields = tuple(columns)
        self._columns = columns

    def __getattr__(self, name):
        columns = self.__dict__.get("_columns", {})
        if name not in columns:
            raise AttributeError(f"{type(self).__name__!r} object has no attribute {name!r}")
        return self._shown(columns[name].reshape(self._shape), name)

    def __dir__(self):
        return sorted({*super().__dir__(), *self.fields})

    def _shown(self, values, name):
        return _arrays.shown(values, self._labels, name)

    def _worded(self, key, describe):
        return self._shown(_units.worded(self._codes[key], describe), key)

    @property
    def reason(self):
        return self._shown(np.asarray(_core.why_names)[self._codes["reasons"]["why"]], "reason")

    @property
    def about(self):
        return self._shown(np.asarray(_core.about_names)[self._codes["reasons"]["about"]], "about")

    @property
    def notes(self):
        return self._worded("notes", _core.describe_notes)

    @property
    def shape(self):
        """The shape of every array."""
        return self._shape

    def __repr__(self):
        refused = int(np.count_nonzero(self._codes["reasons"]["why"]))
        return f"<{type(self).__name__} of shape {self._shape}, {refused} without an answer>"


class ExpectedBatch(Batch):
    """What a system should deliver, for arrays of conditions: the numbers of `Expected` as arrays; see `Batch`.

    Attributes
    ----------
    footing : ndarray of str
        What each answer stands on; empty where there is none.
    """

    def __init__(self, system, call, shape, labels, stage, match, numbers):
        self._system, self._call = system, call
        self._stage, self._match = ((names, column(codes, shape, np.int32)) for names, codes in (stage, match))
        self._numbers = tuple(column(x, shape) for x in numbers)
        rows = int(np.prod(shape))
        super().__init__(_core.expect_many(system._core, call, rows, *self._stage, *self._match, self._numbers), shape, labels)

    @property
    def footing(self):
        words = _units.worded(self._codes["footing"], _core.describe_footing)
        return self._shown(np.where(self._codes["reasons"]["why"] == 0, words, ""), "footing")

    def at(self, *index):
        """One point of the batch as a single answer, recomputed: the bits agree.

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
            return x if isinstance(x, (int, float)) else x[i if x.size > 1 else 0]

        stage, match = (names[pick(codes)] for names, codes in (self._stage, self._match))
        return _core.expect_one(self._system._core, self._call, stage, match, *(float(pick(x)) for x in self._numbers))

    def ledger(self, *index):
        """The ledger of one point. See `at`."""
        return self.at(*index).ledger


class DeliveredBatch(Batch):
    """What machines deliver, for arrays of readings: the numbers of `Delivered` as arrays; see `Batch`."""
