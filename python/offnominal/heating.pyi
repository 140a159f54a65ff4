from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from offnominal._batch import Batch
from offnominal._core import ExpectedHeating

def expect(
    system: Any,
    *,
    units: Literal["IP", "SI"],
    stage: Any,
    match: Any,
    frost: Literal["instantaneous", "integrated"] | None,
    outdoor_dry_bulb: Any,
    outdoor_relative_humidity: Any,
    entering_dry_bulb: Any,
    airflow: Any,
    airflow_basis: Literal["standard", "dry_mass"] | None,
    airflow_at: Literal["return", "supply", "fan"] | None,
    elevation: Any,
    pressure: Any,
    boundary: Literal["coil", "coil+fan"],
    fan_power: Any,
    auxiliary_heat: Any,
    outside: Literal["refuse", "hold", "extend"],
    **humidities: Any,
) -> ExpectedHeating | ExpectedHeatingBatch: ...

class ExpectedHeatingBatch(Batch[ExpectedHeating]):
    capacity: NDArray[np.float64]
    gross_capacity: NDArray[np.float64]
    power: NDArray[np.float64]
    system_power: NDArray[np.float64]
    cop: NDArray[np.float64]
    leaving_dry_bulb: NDArray[np.float64]
    leaving_wet_bulb: NDArray[np.float64]
    leaving_relative_humidity: NDArray[np.float64]
    rise: NDArray[np.float64]
    uncertainty: NDArray[np.float64]
    standard_airflow: NDArray[np.float64]
    mass_flow: NDArray[np.float64]
