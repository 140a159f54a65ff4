"""What a machine delivers, from Python."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

import offnominal as on

READINGS = dict(
    units="IP",
    return_dry_bulb=76,
    return_relative_humidity=0.55,
    supply_dry_bulb=57.2,
    supply_relative_humidity=0.92,
    airflow=1120,
    airflow_at="return",
    elevation=0,
)


def measure(**changes):
    return on.deliver(**{**READINGS, **changes})


def test_worked_example_2():
    # The project's own worked example (invented readings); IP equations there, SI here: within 0.15 %.
    d = measure()
    assert d.total_capacity == pytest.approx(29760, rel=0.0015)
    assert d.latent_capacity == pytest.approx(7308, rel=0.0015)
    assert d.sensible_capacity == pytest.approx(22450, rel=0.0015)
    assert d.mass_flow == pytest.approx(4893, rel=0.0015)
    assert d.split == pytest.approx(18.8)
    assert d.return_wet_bulb == pytest.approx(64.80, rel=0.0015)
    assert d.notes == []


@pytest.mark.parametrize("name", [name for name in READINGS if name not in ("units", "airflow_at")])
def test_what_is_nan_is_not_given_whatever_it_is(name):
    batch = measure(**{name: np.array([READINGS[name], np.nan])})
    assert batch.reason.tolist() == ["none", "not_given"] and batch.about.tolist() == ["nothing", name]


def test_elevation_and_barometer_together():
    assert measure(elevation=5000, pressure=12.0).total_capacity == measure(elevation=None, pressure=12.0).total_capacity
    batch = measure(elevation=[5000, 5000, 0], pressure=[12.0, np.nan, 12.0])
    assert list(batch.reason) == ["none", "none", "contradictory"]
    assert batch.total_capacity[0] == measure(pressure=12.0, elevation=5000).total_capacity
    assert batch.total_capacity[1] == measure(elevation=5000).total_capacity


def test_against_psychrolib():
    # PsychroLib 2.5 (SI), the same handbook equations: enthalpy and volume agree to rounding of its constants.
    psychrolib.SetUnitSystem(psychrolib.SI)
    rng = np.random.default_rng(11)
    for _ in range(200):
        p = rng.uniform(75e3, 103e3)
        t1, r1, t2, r2, flow = (
            rng.uniform(20, 30),
            rng.uniform(0.3, 0.7),
            rng.uniform(8, 16),
            rng.uniform(0.7, 0.95),
            rng.uniform(0.3, 1),
        )
        w1, w2 = (psychrolib.GetHumRatioFromRelHum(t, r, p) for t, r in ((t1, r1), (t2, r2)))
        m = flow / psychrolib.GetMoistAirVolume(t1, w1, p)
        total = m * (psychrolib.GetMoistAirEnthalpy(t1, w1) - psychrolib.GetMoistAirEnthalpy(t2, w2))
        d = on.deliver(
            units="SI",
            return_dry_bulb=t1,
            return_relative_humidity=r1,
            supply_dry_bulb=t2,
            supply_relative_humidity=r2,
            airflow=flow,
            airflow_at="return",
            pressure=p,
        )
        assert d.total_capacity == pytest.approx(total, rel=2e-4)
        assert d.mass_flow == pytest.approx(m, rel=2e-4)


@pytest.mark.parametrize(
    ("changes", "text"),
    [
        (dict(return_relative_humidity=55), "return relative humidity 55 is above 1: it is a fraction (0.55, not 55)"),
        (dict(airflow_at=None), "meaning of the airflow is not given; give exactly one of airflow_basis, airflow_at"),
        (dict(elevation=None), "site is not given; give elevation, pressure or both"),
        (dict(airflow=0), "airflow 0 cfm must be above zero"),
        (
            dict(supply_relative_humidity=None),
            "supply humidity is not given; give exactly one of supply_wet_bulb, supply_relative_humidity, supply_humidity_ratio, supply_dew_point",
        ),
        (
            dict(supply_relative_humidity=None, supply_wet_bulb=58),
            "supply wet bulb 58 degF is past saturation; at most 57.2 degF",
        ),
        (dict(airflow_at="fan"), "fan position is not given, and there is no default"),
        (dict(airflow_at="fan", fan="draw-through"), "fan power is not given, and there is no default"),
        (dict(airflow_at="fan", fan="draw-through", fan_power=-5.0), "fan power -5 W is below the least accepted, 0 W"),
        # absurd, yet finite: no number comes of them, and no infinity
        (dict(airflow=1e308), "airflow 1e+308 cfm is outside 0 cfm to 2.11888e+09 cfm"),
        (dict(airflow_at="fan", fan="draw-through", fan_power=1e9), "fan power 1e+09 W is outside 0 W to 48478.3 W"),
        (dict(airflow_at="fan", fan="draw-through", fan_power=1e308), "fan power 1e+308 W is outside 0 W to 48478.3 W"),
        (dict(return_dry_bulb=float("nan")), "return dry bulb is not given, and there is no default"),
        (dict(supply_relative_humidity=float("nan")), "supply relative humidity is not given, and there is no default"),
    ],
)
def test_refusals(changes, text):
    with pytest.raises(on.Refused) as caught:
        measure(**changes)
    assert str(caught.value) == text


def test_dry_mass_is_the_standard_airflow_that_weighs_as_much():
    flow = measure(airflow_at=None, airflow_basis="standard")
    for mass in (flow.mass_flow, [flow.mass_flow]):
        again = measure(airflow_at=None, airflow_basis="dry_mass", airflow=mass)
        assert np.ravel(again.total_capacity)[0] == pytest.approx(flow.total_capacity, rel=1e-12)
    with pytest.raises(ValueError, match="airflow_basis: 'return'; accepted: 'standard' or 'dry_mass'"):
        measure(airflow_at=None, airflow_basis="return")


def test_arrays_carry_reasons_and_notes():
    d = measure(supply_relative_humidity=np.array([0.92, 1.2, 0.99]), supply_dry_bulb=np.array([57.2, 57.2, 62.0]))
    assert d.reason.tolist() == ["none", "outside", "none"]
    assert d.about.tolist() == ["nothing", "supply_relative_humidity", "nothing"]
    assert np.isnan(d.total_capacity).tolist() == [False, True, False]
    assert d.total_capacity[0] == measure().total_capacity
    assert any("wetter than return" in note for note in d.notes[2])


def test_ashrae37_split_keeps_the_total():
    a, b = measure(), measure(split="ashrae37")
    assert a.total_capacity == b.total_capacity
    assert b.sensible_capacity + b.latent_capacity < a.total_capacity
    with pytest.raises(ValueError, match="accepted: 'enthalpy' or 'ashrae37'"):
        measure(split="both")


@given(
    t1=st.floats(70, 90),
    r1=st.floats(0.3, 0.7),
    t2=st.floats(45, 65),
    r2=st.floats(0.6, 1.0),
    cfm=st.floats(300, 2000),
    elevation=st.floats(0, 9000),
)
def test_sensible_and_latent_close_with_total(t1, r1, t2, r2, cfm, elevation):
    d = measure(
        return_dry_bulb=t1,
        return_relative_humidity=r1,
        supply_dry_bulb=t2,
        supply_relative_humidity=r2,
        airflow=cfm,
        elevation=elevation,
    )
    scale = abs(d.sensible_capacity) + abs(d.latent_capacity)
    assert d.sensible_capacity + d.latent_capacity == pytest.approx(d.total_capacity, abs=1e-12 * scale + 1e-9)
    twice = measure(
        return_dry_bulb=t1,
        return_relative_humidity=r1,
        supply_dry_bulb=t2,
        supply_relative_humidity=r2,
        airflow=2 * cfm,
        elevation=elevation,
    )
    assert twice.total_capacity == pytest.approx(2 * d.total_capacity, rel=1e-12)
