"""Tables in and out: data frames of pandas and Polars, tables of Arrow, Datasets of xarray.

Each of these libraries is an extra, and imported only where it is used.
"""

import importlib
import itertools
import math
import os
import re
import sys
from collections.abc import Mapping

import numpy as np

from offnominal import _arrays, _core, _texts, _units

LINE = {"line_length": "length", "line_suction": "suction", "line_lift": "lift", "line_liquid": "liquid"}
WORDED = ("stage", "match")  # may differ from row to row; other words are one for all
NUMBERS = {line[0] for line in _core.asked_of_expect} - set(LINE.values()) | set(LINE)


def library(name, what):
    """A library that is an extra."""
    try:
        return importlib.import_module(name)
    except ModuleNotFoundError:
        package = name.partition(".")[0]
        raise ModuleNotFoundError(f"{what} needs {package}: pip install {package}", name=package) from None


def of_rows(rows, units=None):
    """A DataFrame of rows, or of columns by name; ``attrs["units"]`` holds the units of its columns."""
    frame = library("pandas", "to_pandas").DataFrame(rows)
    if units is not None:
        frame.attrs["units"] = dict(units)
    return frame


def _meanings(batch):
    """What each number of a batch means, by name."""
    return {name: meaning for name, _, _, meaning in batch._told}


def _worded(batch):
    """Reason and footing of each answer, as the different words and, for each place, the number of its word."""
    why = np.ascontiguousarray(batch._columns["reasons"]["why"])
    out = {"reason": _coded(why, _core.why_names.__getitem__)}
    if "footing" in batch._columns:
        none = 255  # of no answer
        footing = np.where(why == 0, batch._columns["footing"], np.uint8(none))
        out["footing"] = _coded(footing, lambda kind: "" if kind == none else _core.describe_footing(kind))
    return out


def _coded(kinds, describe):
    """Small numbers as the words of those there are, and for each place the number of its word."""
    if kinds.size and kinds.min() == kinds.max():
        return [describe(int(kinds.flat[0]))], np.zeros(kinds.shape, np.int8)
    used = np.flatnonzero(np.bincount(kinds.reshape(-1), minlength=1))
    places = np.zeros(256, np.int8)
    places[used] = np.arange(used.size)
    return [describe(int(kind)) for kind in used], places[kinds]


def in_use(words, codes):
    """The same without words that no place has; a code of -1 is of none."""
    used = np.flatnonzero(np.bincount(codes.reshape(-1) + 1, minlength=len(words) + 1)[1:])
    places = np.full(len(words) + 1, -1, np.int32)
    places[used] = np.arange(used.size)
    return [words[k] for k in used], places[codes]


class Answers:
    """Columns of answers: numbers by name, each with its unit and meaning; and words by name, each as the different words and for each
    row the number of its word, below 0 where it has none."""

    def __init__(self, numbers, worded):
        self.numbers, self.worded = numbers, worded

    @classmethod
    def of(cls, batch):
        """Of a batch."""
        meanings = _meanings(batch)
        numbers = {name: (batch._columns[name], unit, meanings[name]) for name, unit in batch.fields.items()}
        return cls(numbers, _worded(batch))

    def to_dict(self):
        """Arrays by name."""
        words = {name: np.array([*words, None], object)[codes] for name, (words, codes) in self.worded.items()}
        return {name: column for name, (column, *_) in self.numbers.items()} | words

    def to_pandas(self, index):
        """A DataFrame under an index."""
        pandas = library("pandas", "to_pandas")
        columns = {name: column for name, (column, *_) in self.numbers.items()}
        for name, (words, codes) in self.worded.items():
            columns[name] = pandas.Categorical.from_codes(codes, words)
        frame = pandas.DataFrame(columns, index, copy=False)
        frame.attrs.update(
            units={name: unit for name, (_, unit, _) in self.numbers.items()},
            meanings={name: meaning for name, (*_, meaning) in self.numbers.items()},
        )
        return frame

    def to_arrow(self):
        """A table of Arrow; a field's metadata has its unit and its meaning."""
        arrow = library("pyarrow", "to_arrow")
        fields, arrays = [], []
        for name, (column, unit, meaning) in self.numbers.items():
            arrays.append(arrow.array(column.reshape(-1)))
            fields.append(arrow.field(name, arrays[-1].type, metadata={"unit": unit, "meaning": meaning}))
        for name, (words, codes) in self.worded.items():
            codes = codes.reshape(-1).astype(np.int32, copy=False)
            places = arrow.array(codes, mask=codes < 0)
            arrays.append(arrow.DictionaryArray.from_arrays(places, arrow.array(words, arrow.string())))
            fields.append(arrow.field(name, arrays[-1].type))
        return arrow.Table.from_arrays(arrays, schema=arrow.schema(fields))


def to_pandas(batch):
    """A DataFrame, a row for each answer."""
    pandas = library("pandas", "to_pandas")
    labels = batch._labels
    if isinstance(labels, _arrays.Dimensions):
        return to_xarray(batch).to_dataframe()
    if isinstance(labels, _arrays.Rows):
        index = labels.index
    elif len(batch.shape) == 1:
        index = pandas.RangeIndex(batch.shape[0])
    else:
        index = pandas.MultiIndex.from_product([range(size) for size in batch.shape])
    return Answers.of(batch).to_pandas(index)


def to_xarray(batch):
    """A Dataset under the labels of the question, with units and meanings."""
    xarray = library("xarray", "to_xarray")
    labels, shape = batch._labels, batch.shape
    if isinstance(labels, _arrays.Dimensions):
        dims, coords = labels.dims, labels.coords
    elif isinstance(labels, _arrays.Rows):
        dims = (labels.index.name or "row",)
        coords = {dims[0]: labels.index}
    else:
        dims, coords = tuple(f"dim_{k}" for k in range(len(shape))), {}
    meanings, variables = _meanings(batch), {}
    for name, unit in batch.fields.items():
        attrs = {"units": unit, "long_name": meanings[name]}
        variables[name] = (dims, batch._columns[name].reshape(shape), attrs)
    for name, (words, codes) in _worded(batch).items():
        variables[name] = (dims, np.asarray(words)[codes].reshape(shape))
    return xarray.Dataset(variables, coords)


_ROWS_AT_ONCE = 10_000
_MOST_COLUMNS = 1_000  # of a CSV file, as of a log


# A cell of CSV with what stands around it, and a row of them: quotes stand around the whole of a cell, or are a part of its text.
_CELL = r"""(?: *"[^"]*(?:""[^"]*)*"[ \t]*|(?! *")[^,\r\n]*)"""
_ROW = re.compile(rf"{_CELL}(?:,{_CELL})*[\r\n]*")


def _misquoted(text):
    """Of a row that is none, which cell is at fault, and that cell."""
    column, at = 0, 0
    while (cell := re.compile(_CELL).match(text, at)) and text[cell.end() : cell.end() + 1] == ",":
        column, at = column + 1, cell.end() + 1
    return column, text[at:]


def _csv_rows(file, path, accepted):
    """The heading of a CSV file, and its rows that are not blank."""
    import csv

    def refuse(column, problem, cell):
        where = f"row {k}" if names else "heading"
        name = names[column] if column < len(names) else f"column {column + 1}"
        raise ValueError(
            f"{path}: {where}: {name}: {problem}: {_texts.in_words(cell.strip())}; accepted: quotes around the whole of a value, or none"
        )

    names, lines, k = [], [], 0

    def read():
        for line in file:
            lines.append(line)
            yield line

    rows = csv.reader(read(), skipinitialspace=True)
    try:
        for row in rows:
            text = "".join(lines)
            lines.clear()
            if '"' in text:
                if not _ROW.fullmatch(text):
                    column, cell = _misquoted(text)
                    closed = re.match(r' *"[^"]*(?:""[^"]*)*"', cell)
                    refuse(column, "text behind a closing quote" if closed else "a quote that is not closed", cell)
                for column, (name, cell) in enumerate(zip(names, row)):
                    if name in accepted and re.search(r'["\r\n]', cell):
                        refuse(column, "a quote or a new line within a number", cell)
            if not names:
                names = [name.strip() for name in row]
                yield names
            elif any(row):
                yield row
                k += 1
    except csv.Error as error:
        raise ValueError(f"{path}: line {rows.line_num}: {error}; accepted: a CSV file") from None


def read_csv_parts(path, accepted):
    """Parts of a CSV file with a heading, each as its columns and how much of the file is read.

    Of those columns that are `accepted` as numbers each cell is one where it can be.
    """
    size = max(1, os.path.getsize(path))
    with open(path, newline="", encoding="utf-8-sig") as file:
        rows = _csv_rows(file, path, accepted)
        names = next(rows, ())
        if not any(names):
            raise ValueError(f"{path}: no heading; accepted: a line of column names")
        if len(names) > _MOST_COLUMNS:
            raise ValueError(f"{path}: {len(names):,} columns; accepted: at most {_MOST_COLUMNS:,}")
        twice = _twice(names)
        if twice:
            raise ValueError(f"{path}: two columns are named {twice[0]!r}")
        rows = enumerate(rows)
        while some := list(itertools.islice(rows, _ROWS_AT_ONCE)):
            for k, row in some:
                if len(row) != len(names):
                    raise ValueError(f"{path}: row {k} has {len(row)} cells, where the heading has {len(names)}")
            columns = zip(names, zip(*(row for _, row in some)))
            yield (
                {name: np.array([_cell(x) for x in column] if name in accepted else column, object) for name, column in columns},
                file.buffer.tell() / size,
            )


def read_csv(path, accepted):
    """All of such a file; no columns where it has no rows."""
    parts = [part for part, _ in read_csv_parts(path, accepted)]
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]} if parts else {}


def _twice(names):
    """Names that stood before."""
    before = set()
    return [name for name in names if name in before or before.add(name)]


def _cell(text):
    try:
        return float(text)
    except ValueError:
        return text.strip() or None


class Frame:
    """A table of any library: its columns by name, as arrays without labels, and tables like it."""

    @staticmethod
    def of(table):
        if isinstance(table, Mapping):
            return _Columns(table)
        if _arrays.is_a(table, "pyarrow", "RecordBatch"):
            table = sys.modules["pyarrow"].Table.from_batches([table])
        for (module, name), frame in _FRAMES.items():
            if _arrays.is_a(table, module, name):
                return frame(table)
        raise TypeError(
            f"frame: {_arrays.in_words(table)} is no DataFrame of pandas or Polars, no Table of Arrow, and no dict of columns"
        )

    def __init__(self, table):
        self.table = table
        self.rows = len(table)
        twice = _twice(self.names)
        if twice:
            raise ValueError(f"frame: two columns are named {twice[0]!r}")

    def place(self, row):
        """How an error names a row."""
        return f"row {row}"

    def unit(self, name):
        """The unit that a column says it is in, as tables of answers do; None where it does not say."""
        return None


class _Columns(Frame):
    """Columns by name."""

    def __init__(self, table):
        super().__init__({name: _bare(column) for name, column in table.items()})
        self._told = {name: column.attrs.get("units") for name, column in table.items() if _arrays.is_data_array(column)}
        sizes = {name: column.shape for name, column in self.table.items()}
        unlike = [name for name, shape in sizes.items() if len(shape) != 1 or shape != next(iter(sizes.values()))]
        if unlike:
            raise ValueError(f"frame: column {unlike[0]!r} has shape {sizes[unlike[0]]}; accepted: columns of one length")
        self.rows = next(iter(sizes.values()))[0] if sizes else 0

    @property
    def names(self):
        return list(self.table)

    def numbers(self, name):
        column = _arrays.without_mask(self.table[name])
        return column.astype(np.float64) if column.dtype.kind in "fiu" else column.astype(object)

    def words(self, name):
        return self.table[name].astype(object)

    def unit(self, name):
        return self._told.get(name)

    def answered(self, answers, others):
        return {name: self.table[name] for name in others} | answers.to_dict()


def _bare(column):
    """A column without labels. What is masked stays so, and each of several quantities keeps its unit."""
    if not (hasattr(column, "magnitude") and np.ndim(column.magnitude) == 1):
        return np.asanyarray(column)
    cells = np.empty(len(column.magnitude), object)
    for row, cell in enumerate(column):
        cells[row] = cell
    return cells


class _Pandas(Frame):
    @property
    def names(self):
        return list(self.table.columns)

    def numbers(self, name):
        column = self.table[name]
        return column.to_numpy(np.float64, na_value=np.nan) if column.dtype.kind in "fiu" else column.to_numpy(object)

    def words(self, name):
        column = self.table[name]
        return column.array if hasattr(column, "cat") else column.to_numpy(object)

    def place(self, row):
        return f"row {row} ({self.table.index[row]!r})"

    def unit(self, name):
        units = self.table.attrs.get("units")
        return units.get(name) if isinstance(units, Mapping) else None

    def answered(self, answers, others):
        frame = answers.to_pandas(self.table.index)
        for k, name in enumerate(others):
            frame.insert(k, name, self.table[name])
        return frame


class _Polars(Frame):
    @property
    def names(self):
        return self.table.columns

    def numbers(self, name):
        column = self.table[name]
        return column.cast(float).to_numpy() if column.dtype.is_numeric() else self.words(name)

    def words(self, name):
        return np.asarray(self.table[name].to_list(), object)

    def answered(self, answers, others):
        polars = library("polars", "expect_frame")
        return self.table.select(others).hstack(polars.from_arrow(answers.to_arrow()).get_columns())


class _Arrow(Frame):
    @property
    def names(self):
        return self.table.column_names

    def numbers(self, name):
        arrow = library("pyarrow", "expect_frame")
        column = self.table.column(name)
        kind = column.type
        if arrow.types.is_floating(kind) or arrow.types.is_integer(kind):
            return column.cast(arrow.float64()).to_numpy()
        return self.words(name)

    def words(self, name):
        return np.asarray(self.table.column(name).to_pylist(), object)

    def unit(self, name):
        unit = (self.table.schema.field(name).metadata or {}).get(b"unit")
        return None if unit is None else unit.decode()

    def answered(self, answers, others):
        out = self.table.select(others)
        told = answers.to_arrow()
        for field, column in zip(told.schema, told.columns):
            out = out.append_column(field, column)
        return out


_FRAMES = {("pandas", "DataFrame"): _Pandas, ("polars", "DataFrame"): _Polars, ("pyarrow", "Table"): _Arrow}


def is_of_dask(table):
    """Whether a table is a DataFrame of Dask, whose rows are worked on part by part."""
    return _arrays.is_a(table, "dask.dataframe", "DataFrame")


def is_in_parts(table):
    """Whether it is no table, but one after another."""
    return not isinstance(table, (Mapping, str)) and not hasattr(table, "columns") and hasattr(table, "__iter__")


def of_partitions(work, table, *more):
    """What `work` makes of each partition of a DataFrame of Dask, and of what is the same for all of them."""
    import dask

    delayed = dask.delayed(work, pure=False)
    return dask.compute(*(delayed(part, *more) for part in table.to_delayed()))


def by_partition(work, table):
    """What `work` makes of each partition of a DataFrame of Dask, which is worked out when that asks for it."""
    from dask.dataframe.utils import clear_known_categories

    # Which words a column has differs from one partition to another.
    like = clear_known_categories(work(table._meta_nonempty)).iloc[:0]
    return table.map_partitions(lambda part: work(part) if len(part) else like, meta=like)


def split_columns(frame, accepted):
    """The columns of a table that are `accepted`, and the others, which ask nothing."""
    asked, others = [], []
    for name in frame.names:
        if name in accepted:
            asked.append(name)
            continue
        near = _texts.nearest(str(name), sorted(accepted), surely=True)
        if near:
            raise ValueError(f"frame: a column {name!r}; is {near!r} meant? Columns that ask nothing need another name")
        others.append(name)
    return asked, others


def numbers_of(frame, name, strict, due=None):
    """A column of numbers in the unit that is due. Cells that hold none are named all together; or, not strict, count as not given."""
    column = frame.numbers(name)
    if column.dtype == object:
        column = _numbers_of_cells(frame, name, strict, due, column)
    return _arrays.in_unit(name, frame.unit(name), due, column)


def _numbers_of_cells(frame, name, strict, due, column):
    out, wrong = np.full(len(column), np.nan), []
    for row, x in enumerate(column):
        if x is None or (isinstance(x, str) and not x.strip()):
            continue
        try:
            out[row] = _arrays.number(name, due, x)
        except TypeError:
            wrong.append(f"{name}, {frame.place(row)}: {_arrays.in_words(x)} is not a number")
        except ValueError as error:  # a quantity of another measure
            wrong.append(f"{name}, {frame.place(row)}: {str(error).removeprefix(f'{name}: ')}")
    if wrong and strict:
        raise TypeError("; ".join(wrong[:5]) + (f"; and {len(wrong) - 5} more" if len(wrong) > 5 else ""))
    return out


def units_due(system, units):
    """The units of what a table asks a system, by column."""
    _units.check_word("units", units)
    due = _units.units_of_question(units, system.speed_unit)
    return due | {name: due[short] for name, short in LINE.items()}


def _one_word(frame, name):
    """The one word that a column has in every row."""
    words, codes = _arrays.words(name, frame.words(name))
    unlike = np.flatnonzero(codes != codes[:1])
    if unlike.size:
        first, other = words[codes[0]], words[codes[unlike[0]]]
        place = frame.place(int(unlike[0]))
        raise ValueError(f"{name}: {first!r}, and in {place} {other!r}; it is one for all rows: split the frame")
    return words[codes[0]]


def expect_frame(system, table, fixed, strict):
    """The answers to a frame's rows, beside the columns that ask nothing. See `System.expect_frame`."""
    import inspect

    frame = Frame.of(table)
    if not frame.rows:
        raise ValueError("frame: no rows")
    parameters = inspect.signature(system.expect).parameters
    accepted = set(parameters) - {"line_set", "columns", "out", "threads", "units"} | set(LINE)
    names, others = split_columns(frame, accepted)
    check_arguments(system, fixed)
    due = units_due(system, fixed["units"])
    asked = {}
    for name in names:
        if name in WORDED:
            asked[name] = frame.words(name)
        else:
            asked[name] = numbers_of(frame, name, strict, due[name]) if name in NUMBERS else _one_word(frame, name)
    question = question_of(asked, fixed, "by a column of the frame")
    missing = [name for name, one in parameters.items() if one.default is one.empty and name not in question]
    if missing:
        has = ", ".join(map(str, frame.names))
        raise TypeError(
            f"frame: no column {' and no '.join(missing)}; it has {has}; accepted: a column of that name, or one value for all rows"
        )
    # A frame whose rows are all alike is a frame still.
    question["outdoor_dry_bulb"] = np.broadcast_to(question["outdoor_dry_bulb"], (frame.rows,))
    return beside(frame, others, Answers.of(system.expect(**question)))


def beside(frame, others, answers):
    """A table like the one given: the columns that ask nothing, then answers, under names that are not taken."""
    if twice := [name for name in others if name in answers.numbers or name in answers.worded]:
        raise ValueError(
            f"frame: a column {twice[0]!r}, which is what an answer is called; columns that ask nothing need another name"
        )
    return frame.answered(answers, others)


_MOST_ROWS = 100_000_000  # of a sweep: some 15 GB with every number told


def check_rows(sizes, most):
    """Refuse combinations of so many values each that nobody can hold the answers."""
    sizes = list(sizes)
    rows = math.prod(sizes)
    if rows > most:
        spelled = " x ".join(map(str, sizes))
        raise ValueError(f"{rows:,} rows ({spelled}); accepted: at most {most:,}")


def check_arguments(system, names):
    """Refuse what is no argument of `System.expect`, with the one that may be meant."""
    import inspect

    accepted = [*inspect.signature(system.expect).parameters, *LINE]
    for name in names:
        if name not in accepted:
            near = _texts.nearest(str(name), accepted)
            raise TypeError(f"{name}: no argument of expect" + (f"; is {near} meant?" if near else ""))


def question_of(asked, fixed, how):
    """A question of some arguments by name, line-set ones put where `System.expect` takes them, and of what is fixed."""
    twice = [name for name in asked if name in fixed]
    if twice:
        raise ValueError(f"{twice[0]}: given for all, and {how}")
    line = {short: asked[name] for name, short in LINE.items() if name in asked}
    question = {**fixed, **{name: value for name, value in asked.items() if name not in LINE}}
    if line:
        given = question.get("line_set")
        if given is not None and not isinstance(given, Mapping):
            raise ValueError(f"line_set: {given!r} for all, and {next(iter(LINE))} {how}")
        if "length" in line and "tubing" in (given or {}):  # whose length that is
            line["tubing"] = line.pop("length")
        question["line_set"] = {**(given or {}), **line}
    return question


def sweep(system, axes, fixed):
    """All combinations of some arguments' values. See `System.sweep`."""
    xarray = library("xarray", "sweep")
    if not isinstance(axes, Mapping) or not axes:
        raise ValueError(f"axes: {_arrays.in_words(axes)}; accepted: a dict of arguments' names to their values")
    check_arguments(system, (*axes, *fixed))
    laid_out = {}
    for name, values in axes.items():
        given, values = values, np.asarray(values)
        if values.ndim != 1 or not values.size:
            what = f"is {_arrays.in_words(given)}" if values.ndim == 0 else f"has shape {values.shape}"
            raise ValueError(f"axes: {name} {what}; accepted: a list of one value or more")
        laid_out[name] = xarray.DataArray(values, {name: values}, (name,))
    check_rows((values.size for values in laid_out.values()), _MOST_ROWS)
    out = to_xarray(system.expect(**question_of(laid_out, fixed, "as an axis"))).transpose(*laid_out)
    units = _units.units_of_question(fixed["units"], system.speed_unit)
    for axis in laid_out:
        if LINE.get(axis, axis) in units:
            out[axis].attrs["units"] = units[LINE.get(axis, axis)]
    return out
