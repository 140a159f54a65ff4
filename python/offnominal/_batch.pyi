from typing import Any

import numpy as np
from numpy.typing import NDArray

from offnominal._core import Expected

def column(x: Any, shape: tuple[int, ...], dtype: Any = ...) -> NDArray[Any]: ...

class Batch:
    fields: tuple[str, ...]
    def __init__(self, columns: dict[str, NDArray[Any]], shape: tuple[int, ...], labels: Any) -> None: ...
    @property
    def reason(self) -> NDArray[np.str_]: ...
    @property
    def about(self) -> NDArray[np.str_]: ...
    @property
    def notes(self) -> NDArray[np.object_]: ...
    @property
    def shape(self) -> tuple[int, ...]: ...

class ExpectedBatch(Batch):
    # what is told, by _stubs.py
    total_capacity: NDArray[np.float64]
    sensible_capacity: NDArray[np.float64]
    latent_capacity: NDArray[np.float64]
    power: NDArray[np.float64]
    system_power: NDArray[np.float64]
    cop: NDArray[np.float64]
    leaving_dry_bulb: NDArray[np.float64]
    leaving_wet_bulb: NDArray[np.float64]
    leaving_relative_humidity: NDArray[np.float64]
    split: NDArray[np.float64]
    rise: NDArray[np.float64]
    gross_total: NDArray[np.float64]
    uncertainty: NDArray[np.float64]
    standard_airflow: NDArray[np.float64]
    mass_flow: NDArray[np.float64]
    bypass: NDArray[np.float64]
    knee: NDArray[np.float64]
    defrost_time_fraction: NDArray[np.float64]
    auxiliary_heat: NDArray[np.float64]
    # end of what is told
    def __init__(self, system: Any, call: Any, shape: Any, labels: Any, stage: Any, match: Any, numbers: Any) -> None: ...
    @property
    def footing(self) -> NDArray[np.object_]: ...
    def at(self, *index: int) -> Expected: ...
    def ledger(self, *index: int) -> list[dict[str, Any]]: ...

class DeliveredBatch(Batch):
    # what is told, by _stubs.py
    total_capacity: NDArray[np.float64]
    sensible_capacity: NDArray[np.float64]
    latent_capacity: NDArray[np.float64]
    mass_flow: NDArray[np.float64]
    standard_airflow: NDArray[np.float64]
    split: NDArray[np.float64]
    sensible_ratio: NDArray[np.float64]
    condensate_flow: NDArray[np.float64]
    return_wet_bulb: NDArray[np.float64]
    supply_wet_bulb: NDArray[np.float64]
    # end of what is told
