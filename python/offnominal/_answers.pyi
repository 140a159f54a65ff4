from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from offnominal._core import Delivered, Expected
from offnominal._system import System
from offnominal._value import Value

# What is told of many is an array; under the labels of a Series or a DataArray where such were given.

class Told(Value):
    units: Literal["IP", "SI"]
    @property
    def fields(self) -> dict[str, str]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def to_json(self) -> str: ...

class Many:
    def __len__(self) -> int: ...
    def __getitem__(self, key: Any) -> Any: ...

class Batch(Many, Told):
    shape: tuple[int, ...]
    def __init__(self, call: Any, shape: Any, labels: Any, numbers: Any, columns: Any) -> None: ...
    @property
    def fields(self) -> dict[str, str]: ...
    @property
    def answered(self) -> NDArray[np.bool_]: ...
    @property
    def reason(self) -> NDArray[np.str_]: ...
    @property
    def about(self) -> NDArray[np.str_]: ...
    @property
    def value(self) -> NDArray[np.float64]: ...
    @property
    def lower(self) -> NDArray[np.float64]: ...
    @property
    def upper(self) -> NDArray[np.float64]: ...
    @property
    def notes(self) -> NDArray[np.object_]: ...
    def at(self, *index: int) -> Any: ...
    def to_pandas(self) -> Any: ...
    def to_xarray(self) -> Any: ...
    def to_arrow(self) -> Any: ...

class ExpectedBatch(Batch):
    # what is told, by _stubs.py
    @property
    def total_capacity(self) -> NDArray[np.float64]:
        """total capacity at the boundary; in heating all of it is sensible"""
    @property
    def sensible_capacity(self) -> NDArray[np.float64]:
        """sensible capacity at the boundary (cooling)"""
    @property
    def latent_capacity(self) -> NDArray[np.float64]:
        """total less sensible (cooling)"""
    @property
    def power(self) -> NDArray[np.float64]:
        """electric power as the page prints it (power_basis)"""
    @property
    def system_power(self) -> NDArray[np.float64]:
        """outdoor unit and indoor fan"""
    @property
    def cop(self) -> NDArray[np.float64]:
        """capacity over power, where both stand at one boundary (heating)"""
    @property
    def leaving_dry_bulb(self) -> NDArray[np.float64]:
        """dry bulb leaving the boundary"""
    @property
    def leaving_wet_bulb(self) -> NDArray[np.float64]:
        """wet bulb leaving the boundary"""
    @property
    def leaving_relative_humidity(self) -> NDArray[np.float64]:
        """fraction"""
    @property
    def split(self) -> NDArray[np.float64]:
        """entering less leaving dry bulb (cooling)"""
    @property
    def rise(self) -> NDArray[np.float64]:
        """leaving less entering dry bulb (heating)"""
    @property
    def gross_total(self) -> NDArray[np.float64]:
        """total capacity at the coil"""
    @property
    def uncertainty(self) -> NDArray[np.float64]:
        """standard uncertainty of the total by page and factors alone"""
    @property
    def standard_airflow(self) -> NDArray[np.float64]:
        """by the page's own pound"""
    @property
    def mass_flow(self) -> NDArray[np.float64]:
        """dry air"""
    @property
    def bypass(self) -> NDArray[np.float64]:
        """bypass factor of the matched coil (cooling)"""
    @property
    def knee(self) -> NDArray[np.float64]:
        """on a dry coil: the wet bulb at which it would turn wet (cooling)"""
    @property
    def defrost_time_fraction(self) -> NDArray[np.float64]:
        """share of the time spent defrosting, by the defrost table (heating)"""
    @property
    def auxiliary_heat(self) -> NDArray[np.float64]:
        """as given; never part of the capacity (heating)"""
    # end of what is told
    system: System
    def __init__(
        self,
        system: Any,
        call: Any,
        shape: Any,
        labels: Any,
        stage: Any,
        match: Any,
        numbers: Any,
        columns: Any = None,
        told: Sequence[str] = (),
        out: Mapping[str, Any] | None = None,
        threads: int = 1,
    ) -> None: ...
    @property
    def mode(self) -> Literal["cooling", "heating"]: ...
    @property
    def footing(self) -> NDArray[np.object_]: ...
    def at(self, *index: int) -> Expected: ...
    def ledger(self, *index: int) -> list[dict[str, Any]]: ...
    @property
    def uncertainty_parts(self) -> dict[str, NDArray[np.float64]]: ...
    @property
    def extras(self) -> dict[str, dict[str, Any]]: ...
    @property
    def ledger_parts(self) -> dict[tuple[str, str], NDArray[np.float64]]: ...

class DeliveredBatch(Batch):
    # what is told, by _stubs.py
    @property
    def total_capacity(self) -> NDArray[np.float64]:
        """mass flow times enthalpy difference; in heating less any auxiliary heat"""
    @property
    def sensible_capacity(self) -> NDArray[np.float64]:
        """of the dry-bulb difference (cooling)"""
    @property
    def latent_capacity(self) -> NDArray[np.float64]:
        """of the humidity difference (cooling)"""
    @property
    def mass_flow(self) -> NDArray[np.float64]:
        """dry air"""
    @property
    def standard_airflow(self) -> NDArray[np.float64]:
        """at 0.075 lb of dry air per cubic foot"""
    @property
    def split(self) -> NDArray[np.float64]:
        """return less supply dry bulb (cooling)"""
    @property
    def rise(self) -> NDArray[np.float64]:
        """supply less return dry bulb, auxiliary heat's part included (heating)"""
    @property
    def sensible_ratio(self) -> NDArray[np.float64]:
        """sensible over total; none where total is too small for a ratio (cooling)"""
    @property
    def condensate_flow(self) -> NDArray[np.float64]:
        """water leaving the air (cooling)"""
    @property
    def return_wet_bulb(self) -> NDArray[np.float64]:
        """of the return air"""
    @property
    def supply_wet_bulb(self) -> NDArray[np.float64]:
        """of the supply air"""
    @property
    def auxiliary_heat(self) -> NDArray[np.float64]:
        """as given; not in the capacity (heating)"""
    # end of what is told
    def __init__(self, call: Any, shape: Any, labels: Any, numbers: Any, columns: Any = None) -> None: ...
    @property
    def mode(self) -> Literal["cooling", "heating"]: ...
    def at(self, *index: int) -> Delivered: ...

def flat(x: Any, shape: tuple[int, ...], dtype: Any = ...) -> Any: ...
