"""The one door for what may be an array: sequences, arrays of NumPy, pandas and xarray, and Pint quantities in any of them.

pandas, xarray and Pint are never imported here: their objects are known only where the caller has imported them.
"""

import sys
from numbers import Real

import numpy as np

from offnominal import _core, _texts
from offnominal._texts import in_words
from offnominal._value import Value, content

# Units of the table as Pint spells them. Pint's plain "Btu" is another one than ours, the International Table Btu.
_PINT = {
    "degF": "degF",
    "degC": "degC",
    "delta_degF": "delta_degF",
    "delta_degC": "delta_degC",
    "cfm": "foot**3/minute",
    "m3/s": "meter**3/second",
    "Btu/h": "Btu_it/hour",
    "W": "watt",
    "ft": "foot",
    "in": "inch",
    "m": "meter",
    "psia": "psi",
    "in_wc": "inH2O",
    "Pa": "pascal",
    "lb/h": "pound/hour",
    "kg/s": "kilogram/second",
    "Btu/lb": "Btu_it/pound",
    "J/kg": "joule/kilogram",
    "lb/lb": "dimensionless",
    "kg/kg": "dimensionless",
    "ft3/lb": "foot**3/pound",
    "m3/kg": "meter**3/kilogram",
    "1": "dimensionless",
    "%": "percent",
    "Hz": "turn/second",
    "rpm": "turn/minute",
}
_PLAIN = {float, int, np.float64}
_UNLABELLED = {*_PLAIN, str, list, np.ndarray, type(None)}
WORDS = object()  # in place of a unit


def all_plain(numbers):
    """Whether all are plain numbers. Asked first: a compiled function that is given an array writes all of it into its TypeError."""
    return _PLAIN.issuperset(map(type, numbers))


def all_doubles(numbers):
    """Whether a double holds each of these plain numbers."""
    try:
        for x in numbers:
            float(x)
    except OverflowError:
        return False
    return True


def take(arguments):
    """The arguments of one question, brought together by their labels.

    Parameters
    ----------
    arguments : sequence of (str, object, object)
        Name, unit and value of each; see `number`. For an argument of words the unit is `WORDS`.

    Returns
    -------
    values : list
        Of each argument what `number` or `words` makes of it; arrays broadcast together.
    shape : tuple of int
        Of the answers.
    labels : Rows, Dimensions or None
        Of the answers.

    Raises
    ------
    TypeError
        For what is not a number.
    ValueError
        Where labels or shapes do not agree, naming the arguments.
    """
    may_have_labels = [(name, value) for name, _, value in arguments if type(value) not in _UNLABELLED]
    series = {name: value for name, value in may_have_labels if is_a(value, "pandas", "Series")}
    arrays = {name: value for name, value in may_have_labels if is_data_array(value) and value.ndim > 0}
    if series and arrays:
        raise ValueError(f"{next(iter(series))} is a Series and {next(iter(arrays))} a DataArray; give labels of one kind")
    labels = Rows.of(series) if series else Dimensions.of(arrays) if arrays else None
    values, shapes = [], {}
    for name, unit, value in arguments:
        if type(value) is float:  # most of them are, and each step costs a tenth of a microsecond
            values.append(value)
            continue
        if name in arrays:
            told, value = value.attrs.get("units"), labels.lay_out(value)
        else:
            told = None
        value = words(name, value) if unit is WORDS else in_unit(name, told, unit, number(name, unit, value))
        values.append(value)
        shape = getattr(value[1] if unit is WORDS else value, "shape", ())
        if shape:
            shapes[name] = shape
            if (
                labels
                and name not in series
                and name not in arrays
                and shape != (1,)
                and (shape != labels.shape or len(shape) > 1)
            ):
                raise ValueError(f"{name} has shape {shape} and no labels; what stands beside {labels} needs its labels")
    return values, labels.shape if labels else _shape_of(shapes), labels


def number(name, unit, value):
    """One argument as a float, or as a float64 array without labels.

    Parameters
    ----------
    name : str
        Of the argument, for errors.
    unit : str or None
        A unit of the table, which Pint quantities are converted to; None where there is none.
    value : number, array_like or pint.Quantity
        What is masked, and None and NaN in sequences and columns of objects, is not given: NaN.

    Raises
    ------
    TypeError
        For what is not a number.
    ValueError
        For a quantity of another dimension, and for rows of unlike length.
    """
    kind = type(value)
    if kind is float:
        return value
    if kind is not np.ndarray:
        if isinstance(value, (list, tuple)) and not all_plain(value):
            return _stacked(name, [_element(name, unit, x) for x in value])
        if hasattr(value, "magnitude") and hasattr(value, "to"):
            value = _pint_magnitude(name, unit, value)
        elif is_data_array(value):  # with Pint inside, perhaps
            return in_unit(name, value.attrs.get("units"), unit, number(name, unit, value.data))
        elif is_a(value, "pandas", "DataFrame") or is_a(value, "xarray", "Dataset"):
            raise TypeError(f"{name}: a whole {kind.__name__}; give one of its columns")
        elif hasattr(value, "to") and hasattr(value, "value"):
            raise TypeError(f"{name}: {in_words(value)} has a unit that is not Pint's; give a Pint quantity or a number")
        elif hasattr(value, "to_numpy") and getattr(value.dtype, "kind", "O") in "fiu":
            value = value.to_numpy(np.float64, na_value=np.nan)
        value = without_mask(value)
    array = np.asarray(value)
    if array.dtype.kind == "O" and array.ndim > 0:
        return _stacked(name, [_element(name, unit, x) for x in array.flat]).reshape(array.shape)
    if array.dtype.kind not in "fiu" and not (array.dtype.kind == "O" and isinstance(value, Real)):
        raise TypeError(f"{name}: {in_words(value)} is not a number" + (f" ({unit})" if unit else ""))
    return _float(name, value) if array.ndim == 0 else array.astype(np.float64, copy=False)


def one(name, unit, value):
    """One argument as a float where arrays have no place; see `number`."""
    found = number(name, unit, value)
    if type(found) is not float:
        raise ValueError(f"{name}: an array; accepted: one number")
    return found


def ones(**given):
    """Several arguments without units as floats, by their names; see `one`."""
    return [one(name, None, value) for name, value in given.items()]


def without_mask(value):
    """An array of numbers in which what is masked is not given: NaN. Anything else as it is."""
    if not isinstance(value, np.ma.MaskedArray):
        return value
    return value.astype(np.float64 if value.dtype.kind in "fiu" else object).filled(np.nan)


def words(name, value):
    """One argument of words as the different words, and for each place the number of its word: ``(["high"], 0)``.

    What is masked, and None and NaN, is not given: the empty word. The categories of a pandas column are taken as they are.
    """
    given, codes = _different_words(name, value)
    for word in given:
        _texts.check(word, name)
    return given, codes


def _different_words(name, value):
    if isinstance(value, str):
        return [value], 0
    if is_a(value, "pandas", "DataFrame"):
        raise TypeError(f"{name}: a whole DataFrame; give one of its columns")
    value = getattr(value, "values", value)  # a Series or DataArray without its labels
    if hasattr(value, "categories") and hasattr(value, "codes"):
        given, codes = [_word(word) for word in value.categories], np.asarray(value.codes)
        return [*given, ""], np.where(codes < 0, len(given), codes)
    if isinstance(value, np.ma.MaskedArray):
        value = value.astype(object).filled("")
    array = np.asarray(value, object if isinstance(value, (list, tuple)) else None)
    try:
        given, codes = _coded(array.ravel())
    except TypeError:  # what has no hash
        raise TypeError(f"{name}: {in_words(value)} is not a word") from None
    return given, codes.reshape(array.shape)


class Rows(Value):
    """Labels of answers to pandas Series: their index."""

    def __init__(self, index):
        vars(self).update(index=index, shape=(len(index),))

    def _made_of(self):
        return Rows, (self.index,)

    def _content(self):
        return content((self.index.names, self.index.tolist()))

    @classmethod
    def of(cls, series):
        """The one index that Series, by name of argument, have."""
        (first, one), *others = series.items()
        for name, other in others:
            if other.index is not one.index and not other.index.equals(one.index):
                raise ValueError(
                    f"{first} and {name} are Series with unlike labels; align them first, as columns of one DataFrame"
                )
        return cls(one.index)

    def pick(self, key):
        """The rows that an index of an array picks, and their labels."""
        if is_a(key, "pandas", "Series"):
            Rows.of({"the answers": sys.modules["pandas"].Series(0, self.index), "the mask": key})
            key = key.to_numpy()
        rows = np.arange(*self.shape)[key]
        return rows, Rows(self.index[rows]) if rows.ndim == 1 else None

    def dress(self, values, name=None):
        """An array of answers under these labels."""
        pandas = sys.modules["pandas"]
        return pandas.Series(values, self.index, name=name) if values.ndim == 1 else pandas.DataFrame(values, self.index)

    def __str__(self):
        return "a Series"


class Dimensions(Value):
    """Labels of answers to xarray DataArrays: their dimensions and coordinates."""

    def __init__(self, dims, shape, coords):
        vars(self).update(dims=dims, shape=shape, coords=coords)

    def _made_of(self):
        return Dimensions, (self.dims, self.shape, self.coords)

    def _content(self):
        return content((self.dims, self.shape, {name: (coord.dims, coord.values) for name, coord in self.coords.items()}))

    @classmethod
    def of(cls, arrays):
        """The dimensions that DataArrays, by name of argument, have together."""
        seen = {}
        for name, array in arrays.items():
            for dim, size in array.sizes.items():
                index = array.indexes.get(dim)
                for first, other_size, other in seen.setdefault(dim, []):
                    if size != other_size or (index is not None and other is not None and not index.equals(other)):
                        raise ValueError(f"{first} and {name} are DataArrays with unlike labels along {dim!r}; align them first")
                seen[dim].append((name, size, index))
        xarray = sys.modules["xarray"]

        def together(*data):
            return np.broadcast_to(False, np.broadcast_shapes(*(x.shape for x in data)))

        # xarray's own rules for the order of dimensions and for coordinates that disagree.
        template = xarray.apply_ufunc(together, *arrays.values(), join="exact", dask="allowed")
        return cls(template.dims, template.shape, xarray.Dataset(coords=template.coords).coords)

    def lay_out(self, array):
        """What stands in one of the DataArrays, in the order of all dimensions, with a 1 where it has none."""
        data = array.transpose(*(dim for dim in self.dims if dim in array.dims)).data
        return data.reshape([array.sizes.get(dim, 1) for dim in self.dims])

    def pick(self, key):
        """The rows that an index of an array picks, and their labels."""
        rows = np.arange(int(np.prod(self.shape))).reshape(self.shape)
        if is_a(key, "xarray", "DataArray") and key.ndim > 1:
            key = Dimensions.of({"the answers": self.dress(rows), "the mask": key}).lay_out(key)
            return rows[np.broadcast_to(key, self.shape)], None
        picked = self.dress(rows)[key]
        return picked.values, Dimensions.of({"the answers": picked}) if picked.ndim else None

    def dress(self, values, name=None):
        """An array of answers under these labels."""
        more = ("output",) * (values.ndim - len(self.dims))
        return sys.modules["xarray"].DataArray(values, self.coords, (*self.dims, *more), name)

    def __str__(self):
        return "a DataArray"


def shown(values, labels, name=None):
    """An array of answers, under its labels if there are any."""
    return values if labels is None else labels.dress(values, name)


def is_data_array(value):
    """Whether it is one of xarray's, whose ``attrs["units"]`` may tell its unit."""
    return is_a(value, "xarray", "DataArray")


def is_a(value, module, name):
    """Whether it is of a class of a library, which need not be imported."""
    return isinstance(value, getattr(sys.modules.get(module), name, ()))


def in_unit(name, told, due, values):
    """Numbers in the unit that is due, where a table or an array tells theirs, as those of answers do.

    Raises
    ------
    ValueError
        For a unit that is not known, or of another measure.
    """
    if told is None or due is None or told == due:
        return values
    spelled = str(told).strip().lower()
    unit = next((one for one, spellings, _ in _core.unit_spellings if spelled in spellings.split("|")), told)
    dimension = _core.units[due][0]
    accepted = [one for one, (measures, *_) in _core.units.items() if measures == dimension]
    if unit not in accepted:
        raise ValueError(f"{name}: says that it is in {in_words(told)}, where {due} is due; accepted: {', '.join(accepted)}")
    return values if unit == due else _core.unit_from_si(due, _core.unit_to_si(unit, values))


def _not_given(x):
    return x is None or x is getattr(sys.modules.get("pandas"), "NA", None)


def _element(name, unit, x):
    if _not_given(x):
        return np.nan
    return _float(name, x) if isinstance(x, Real) and not isinstance(x, bool) else number(name, unit, x)


def _float(name, x):
    try:
        return float(x)
    except OverflowError:  # such as of 10**400, whose repr may be too long to be made
        raise ValueError(f"{name}: a number too large for a float; accepted: at most 1.8e308") from None


def _word(x):
    return "" if _not_given(x) or x != x else str(x)


def _coded(array):
    given, codes = {}, np.full(array.size, -1, np.int32)
    while array.dtype.kind == "U" and len(given) < 8:  # a look at all rows for each word costs less than an object for each row
        first = int(codes.argmin()) if codes.size else -1
        if first < 0 or codes[first] >= 0:
            return list(given), codes
        codes[array == array[first]] = given.setdefault(str(array[first]), len(given))
    rows = array.tolist()
    numbers = {x: given.setdefault(_word(x), len(given)) for x in dict.fromkeys(rows)}
    return list(given), np.fromiter(map(numbers.__getitem__, rows), np.int32, len(rows))


def _stacked(name, elements):
    try:
        return np.array(elements, np.float64)
    except ValueError:
        raise ValueError(f"{name}: rows of unlike length") from None


def _shape_of(shapes):
    different = set(shapes.values())
    if len(different) < 2:
        return different.pop() if different else ()
    try:
        return np.broadcast_shapes(*different)
    except ValueError:
        unlike = ", ".join(f"{name} {shape}" for name, shape in shapes.items() if shape != (1,))
        raise ValueError(f"these shapes do not go together: {unlike}") from None


def _pint_magnitude(name, unit, quantity):
    if unit in ("Hz", "rpm") and "radian" not in str(quantity.to_root_units().units):
        quantity = quantity * quantity.units._REGISTRY.turn  # a hertz of a compressor is a turn a second; to Pint it is a number
    try:
        return quantity.to(_PINT[unit] if unit else "dimensionless").magnitude
    except TypeError as error:  # pint.DimensionalityError; to Pint a temperature is no difference either
        due = f"{unit} is due" if unit else "a number without a unit is due"
        raise ValueError(f"{name}: {in_words(quantity)} where {due}: {error}") from error
