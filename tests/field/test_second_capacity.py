"""Second capacities from Python: the figures are held in second_capacity.cpp."""

import math

import offnominal as on
import pytest
from offnominal import second_capacity

REFRIGERANT = {"units": "SI", "flow": 0.05, "flow_u": 0.0005, "liquid_enthalpy": 260e3, "liquid_enthalpy_u": 1e3}
CONDENSER = {
    "units": "SI",
    "entering_dry_bulb": 35,
    "entering_dry_bulb_u": 0.3,
    "leaving_dry_bulb": 44,
    "leaving_dry_bulb_u": 0.3,
    "relative_humidity": 0.4,
    "airflow": 1.1,
    "airflow_u": 0.04,
    "airflow_at": "leaving",
    "power": 2500,
    "power_u": 25,
    "power_of": "outdoor unit",
    "elevation": 0,
}


def test_refrigerant():
    second = second_capacity.refrigerant(**REFRIGERANT, vapour_enthalpy=420e3, vapour_enthalpy_u=2e3)
    assert second.total_capacity == pytest.approx(8000, rel=1e-12) and second.boundary == "coil"
    assert second.total_capacity_u == pytest.approx(math.sqrt(80**2 + 50**2 + 100**2), rel=1e-12)
    two = second.compare(total_capacity=7600, total_capacity_u=150, boundary="coil+fan", fan_power=420)
    assert two.agreement == "agrees" and two.difference == pytest.approx((8000 - 420) / 7600 - 1, rel=1e-12)
    with pytest.raises(on.InputError, match="indoor fan power: not given"):
        second.compare(total_capacity=7600, total_capacity_u=150, boundary="coil+fan")
    with pytest.raises(on.InputError, match="no more heat than the liquid"):
        second_capacity.refrigerant(**REFRIGERANT, vapour_enthalpy=200e3, vapour_enthalpy_u=2e3)
    with pytest.raises(ValueError, match="^vapour_enthalpy: an array; accepted: one number$"):
        second_capacity.refrigerant(**REFRIGERANT, vapour_enthalpy=[420e3, 430e3], vapour_enthalpy_u=2e3)
    with pytest.raises(on.InputError, match="^enthalpy of the vapour: not given"):
        second_capacity.refrigerant(**REFRIGERANT, vapour_enthalpy=None, vapour_enthalpy_u=2e3)


def test_condenser_by_hand():
    """Density and heat capacity of the air at 35 degC, 40 %, by `air.state`."""
    second = second_capacity.condenser(**CONDENSER)
    entering = on.air.state(units="SI", dry_bulb=35, relative_humidity=0.4, elevation=0)
    leaving = on.air.state(units="SI", dry_bulb=44, humidity_ratio=entering.humidity_ratio, elevation=0)
    heat = 1.1 / leaving.volume * (leaving.enthalpy - entering.enthalpy)
    assert second.total_capacity == pytest.approx(heat - 2500, rel=1e-12)
    with pytest.raises(on.InputError, match="power of compressor does not close the balance"):
        second_capacity.condenser(**{**CONDENSER, "power_of": "compressor"})
    with pytest.raises(ValueError, match="'entering', 'leaving'"):
        second_capacity.condenser(**{**CONDENSER, "airflow_at": "return"})
    with pytest.raises(on.Refused):
        second_capacity.condenser(**{**CONDENSER, "relative_humidity": 40})


def test_condensate_of_worked_example_2():
    """domain.md, example 2: 6.676 lb/h of condensate, 29.76 MBh, of which 22.45 sensible."""
    second = second_capacity.condensate(
        units="IP", flow=6.676, flow_u=0.2, sensible_capacity=22450, return_dry_bulb=76, boundary="coil+fan"
    )
    assert second.total_capacity == pytest.approx(29760, rel=1e-3)
    two = second.compare(total_capacity=29760, total_capacity_u=700, boundary="coil+fan")
    assert two.agreement == "agrees" and two.probability > 0.95
    with pytest.raises(on.InputError, match="condensate"):
        second_capacity.condensate(
            units="IP", flow=0, flow_u=0.2, sensible_capacity=22450, return_dry_bulb=76, boundary="coil+fan"
        )
