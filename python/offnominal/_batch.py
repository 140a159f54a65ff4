"""Answers to arrays of questions: what those of cooling and of heating have in common."""

import numpy as np

from offnominal import _arrays, _core, _units


class Batch:
    """Answers of one shape, as arrays in the caller's units.

    Where ``reason`` is not ``"none"`` there is no answer and the numbers are NaN. A subclass says with `_many` and `_one` which
    questions of the compiled module it asks.
    """

    def __init__(self, system, call, shape, labels, stage, match, numbers):
        self._system, self._call, self._shape, self._labels = system, call, shape, labels
        rows = int(np.prod(shape))

        def column(x, dtype):
            x = np.asarray(x, dtype)
            return x.reshape(1) if x.size == 1 else np.ascontiguousarray(np.broadcast_to(x, shape)).reshape(-1)

        self._stage, self._match = ((names, column(codes, np.int32)) for names, codes in (stage, match))
        self._numbers = tuple(column(x, np.float64) for x in numbers)
        columns = self._many(system._core, call, rows, *self._stage, *self._match, self._numbers)
        self._codes = {key: columns.pop(key).reshape(shape) for key in ("why", "about", "footing", "notes")}
        for key, values in columns.items():
            setattr(self, key, self._shown(values.reshape(shape), key))

    def _shown(self, values, name):
        return _arrays.shown(values, self._labels, name)

    @property
    def reason(self):
        """Why there is no answer: ``"none"`` where there is one."""
        return self._shown(np.asarray(_core.why_names)[self._codes["why"]], "reason")

    @property
    def about(self):
        """What the reason is about."""
        return self._shown(np.asarray(_core.about_names)[self._codes["about"]], "about")

    @property
    def footing(self):
        """What each answer stands on."""
        return self._shown(_units.worded(self._codes["footing"], _core.describe_footing), "footing")

    @property
    def notes(self):
        """Consequences of what is unknown or assumed, a list for each answer."""
        return self._shown(_units.worded(self._codes["notes"], _core.describe_notes), "notes")

    @property
    def shape(self):
        """The shape of every array."""
        return self._shape

    def at(self, *index):
        """One point of the batch as a single answer, recomputed: the bits agree.

        Parameters
        ----------
        *index : int
            Position in the array.

        Returns
        -------
        Expected or ExpectedHeating

        Raises
        ------
        Refused
            Where there is no answer.
        """
        i = int(np.ravel_multi_index(index, self._shape))

        def pick(x):
            return x[i if x.size > 1 else 0]

        stage, match = (names[pick(codes)] for names, codes in (self._stage, self._match))
        return self._one(self._system._core, self._call, stage, match, *(float(pick(x)) for x in self._numbers))

    def ledger(self, *index):
        """The ledger of one point. See `at`."""
        return self.at(*index).ledger

    def __repr__(self):
        refused = int(np.count_nonzero(self._codes["why"]))
        return f"<{type(self).__name__} of shape {self._shape}, {refused} without an answer>"
