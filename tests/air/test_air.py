"""Moist air against two references of its own kind, and the face of `offnominal.air`."""

import copy
import pickle

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import offnominal
from offnominal import _arrays, _core, _units, air


def random_states(seed, count, t=(-60.0, 90.0), p=(50e3, 110e3), rh=(0.0, 1.0)):
    random = np.random.default_rng(seed)
    t, p, rh = (random.uniform(low, high, count) for low, high in (t, p, rh))
    return t, rh, p, air.state(units="SI", dry_bulb=t, relative_humidity=rh, pressure=p)


def one_root(t, rh, p):
    """Where water and ice on the wick agree on the wet bulb."""
    by_wick = [
        air.state(units="SI", dry_bulb=t, relative_humidity=rh, pressure=p, wick=wick).wet_bulb for wick in ("wet", "frozen")
    ]
    return by_wick[0] == by_wick[1]


# PsychroLib 2.5 (the same Handbook equations, by bisection to its own tolerance of 0.001 K; it raises humidity ratios to 1e-7).


def test_ten_thousand_states_against_psychrolib():
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    t, rh, p, s = random_states(1, 12_000)
    checked = past_boiling = 0
    columns = zip(
        t, rh, p, s.humidity_ratio, s.wet_bulb, s.dew_point, s.enthalpy, s.volume, (s.reason == "none"), one_root(t, rh, p)
    )
    for t, rh, p, W, wet_bulb, dew_point, enthalpy, volume, made, one in columns:
        if not made or not one or W <= 1e-7:
            continue
        assert W == pytest.approx(psychrolib.GetHumRatioFromRelHum(t, rh, p), rel=1e-6, abs=0)
        assert enthalpy == pytest.approx(psychrolib.GetMoistAirEnthalpy(t, W), rel=1e-12, abs=1e-9)
        assert volume == pytest.approx(psychrolib.GetMoistAirVolume(t, W, p), rel=1e-6)
        assert dew_point == pytest.approx(psychrolib.GetTDewPointFromHumRatio(t, W, p), rel=0, abs=0.001)
        if psychrolib.GetSatVapPres(t) < p:
            theirs = psychrolib.GetTWetBulbFromHumRatio(t, W, p)
            assert wet_bulb == pytest.approx(theirs, rel=0, abs=0.001)
            checked += 1
        else:
            # Its bisection walks over the pole where water boils; its equation still tells a root.
            assert W == pytest.approx(psychrolib.GetHumRatioFromTWetBulb(t, wet_bulb, p), rel=1e-9)
            past_boiling += 1
    assert checked >= 10_000
    assert past_boiling >= 100


def test_in_the_band_of_two_roots_psychrolib_lands_on_one_of_ours():
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    landed = {"wet": 0, "frozen": 0}
    for rh in np.linspace(0.335, 0.365, 61):
        roots = {
            wick: air.state(units="SI", dry_bulb=5.0, relative_humidity=rh, pressure=101325.0, wick=wick).wet_bulb
            for wick in landed
        }
        W = psychrolib.GetHumRatioFromRelHum(5.0, rh, 101325.0)
        theirs = psychrolib.GetTWetBulbFromHumRatio(5.0, W, 101325.0)
        nearest = min(landed, key=lambda wick: abs(roots[wick] - theirs))
        landed[nearest] += 1
        if abs(roots[nearest] - theirs) > 0.001:
            # Its bisection may also end on the step between the two curves, which is a root of neither.
            assert abs(theirs) <= 0.001
    assert sum(landed.values()) == 61


# CoolProp's humid air: a real gas after ASHRAE RP-1485, where the Handbook's equations are of ideal gases. The differences,
# ours less theirs, by region of dry bulb (degC) and pressure (kPa), relative humidity 0.05 to 0.98, humidity ratio below 0.5;
# measured on these very points (CoolProp 8.0.0), rounded outwards. Humidity ratio is compared at equal relative humidity, the
# others at equal humidity ratio.
# fmt: off
DIFFERENCES = ("humidity_ratio", "wet_bulb", "dew_point", "enthalpy", "volume")
REAL_GAS = {
    # degC, degC, kPa, kPa  humidity ratio, % wet bulb, K       dew point, K      enthalpy, kJ/kg   volume, %
    (-60, -20, 50, 80):  ((-0.52, -0.21),   (7.5e-05, 0.0086), (0.021, 0.04),    (-0.24, -0.083),  (0.047, 0.15)),
    (-60, -20, 80, 110): ((-0.73, -0.35),   (7.3e-05, 0.0073), (0.035, 0.056),   (-0.11, 0.018),   (0.074, 0.21)),
    (-20, 0, 50, 80):    ((-0.35, -0.21),   (0.0063, 0.024),  (0.022, 0.04),    (-0.17, -0.06),   (0.031, 0.071)),
    (-20, 0, 80, 110):   ((-0.48, -0.33),   (0.0067, 0.023),  (0.036, 0.053),   (-0.074, 0.024),  (0.05, 0.098)),
    (0, 30, 50, 80):     ((-0.4, -0.23),    (0.019, 0.053),   (0.023, 0.064),   (-0.14, -0.0094), (0.017, 0.048)),
    (0, 30, 80, 110):    ((-0.49, -0.33),   (0.022, 0.061),   (0.037, 0.079),   (-0.054, 0.049),  (0.026, 0.065)),
    (30, 60, 50, 80):    ((-0.65, -0.33),   (0.028, 0.098),   (0.029, 0.11),    (-0.12, 1.2),     (0.0078, 0.2)),
    (30, 60, 80, 110):   ((-0.72, -0.41),   (0.032, 0.12),    (0.042, 0.13),    (-0.056, 0.65),   (0.01, 0.15)),
    (60, 90, 50, 80):    ((-0.85, -0.004),  (0.032, 0.12),    (0.045, 0.12),    (-0.2, 2.5),      (0.002, 0.35)),
    (60, 90, 80, 110):   ((-1.1, -0.32),    (0.038, 0.15),    (0.059, 0.16),    (-0.14, 3.1),     (-0.00051, 0.42)),
}
# fmt: on


@pytest.mark.parametrize("region", REAL_GAS)
def test_against_coolprop_the_difference_of_real_air_is_bounded_by_region(region):
    humid_air = pytest.importorskip("CoolProp.HumidAirProp").HAPropsSI
    least, most = real_gas_differences(region, humid_air)
    for name, (low, high) in zip(DIFFERENCES, REAL_GAS[region]):
        assert low <= least[name], name
        assert most[name] <= high, name


def real_gas_differences(region, humid_air):
    t_low, t_high, p_low, p_high = region
    t, rh, p, s = random_states(7, 400, (t_low, t_high), (p_low * 1e3, p_high * 1e3), (0.05, 0.98))
    differences = {name: [] for name in DIFFERENCES}
    for i in np.flatnonzero((s.reason == "none") & (s.humidity_ratio < 0.5) & one_root(t, rh, p)):
        W = s.humidity_ratio[i]
        at = ("T", t[i] + 273.15, "P", p[i])
        differences["humidity_ratio"].append(100.0 * (W / humid_air("W", *at, "R", rh[i]) - 1.0))
        if abs(s.wet_bulb[i]) > 1.1:  # nearer to 0 degC the two may stand on either side of the band of two roots
            differences["wet_bulb"].append(s.wet_bulb[i] + 273.15 - humid_air("B", *at, "W", W))
        differences["dew_point"].append(s.dew_point[i] + 273.15 - humid_air("D", *at, "W", W))
        differences["enthalpy"].append((s.enthalpy[i] - humid_air("H", *at, "W", W)) / 1000.0)
        differences["volume"].append(100.0 * (s.volume[i] / humid_air("V", *at, "W", W) - 1.0))
    assert min(map(len, differences.values())) > 250
    return ({name: min(x) for name, x in differences.items()}, {name: max(x) for name, x in differences.items()})


# Properties.

temperatures = st.floats(-60.0, 90.0)
pressures = st.floats(50e3, 110e3)
fractions = st.floats(0.001, 1.0)


def made(t, rh, p, **how):
    """A state, or nothing where water would boil (or nearly: there the humidity ratio outgrows every other measure)."""
    try:
        s = air.state(units="SI", dry_bulb=t, relative_humidity=rh, pressure=p, **how)
    except offnominal.Refused as refused:
        assert refused.why == "boiling"
        assume(False)
    assume(s.humidity_ratio < 10.0)
    return s


@given(temperatures, fractions, pressures)
def test_any_one_measure_of_humidity_gives_the_others_back(t, rh, p):
    s = made(t, rh, p)
    assert s.relative_humidity == pytest.approx(rh, rel=1e-12)
    for measure, rel in (("humidity_ratio", 0.0), ("dew_point", 1e-9), ("enthalpy", 1e-9)):
        again = air.state(units="SI", dry_bulb=t, pressure=p, **{measure: getattr(s, measure)})
        assert again.humidity_ratio == pytest.approx(s.humidity_ratio, rel=rel, abs=1e-15)
    again = air.state(units="SI", dry_bulb=t, pressure=p, wet_bulb=s.wet_bulb)
    assert again.wet_bulb == pytest.approx(s.wet_bulb, abs=1e-9)


@given(temperatures, fractions, pressures)
def test_ip_and_si_are_one_state(t, rh, p):
    si = made(t, rh, p)
    ip = air.state(units="IP", dry_bulb=t * 1.8 + 32.0, relative_humidity=rh, pressure=p / 6894.757293168361)
    assert ip.wet_bulb == pytest.approx(si.wet_bulb * 1.8 + 32.0, abs=1e-9)
    assert ip.humidity_ratio == pytest.approx(si.humidity_ratio, rel=1e-12)
    assert ip.volume == pytest.approx(si.volume * 0.45359237 / 0.3048**3, rel=1e-12)
    # IP counts from dry air at 0 degF: 17.78 K x 1006 J/kg/K below the SI datum.
    assert ip.enthalpy == pytest.approx((si.enthalpy + 1006.0 * 32.0 / 1.8) / 2326.0, rel=1e-12, abs=1e-12)


@given(temperatures, fractions, fractions, pressures)
def test_more_vapour_is_more_of_everything(t, one, other, p):
    assume(abs(one - other) > 1e-6)
    dry, wet = made(t, min(one, other), p), made(t, max(one, other), p)
    for name in ("humidity_ratio", "dew_point", "enthalpy", "volume"):
        assert getattr(dry, name) < getattr(wet, name)
    assert dry.wet_bulb <= wet.wet_bulb
    assert wet.dew_point <= wet.wet_bulb + 1e-9
    assert wet.wet_bulb <= t


@given(temperatures, fractions, temperatures, fractions, pressures, st.floats(0.01, 100.0), st.floats(0.01, 100.0))
def test_mixing_conserves_vapour_and_enthalpy(t1, rh1, t2, rh2, p, m1, m2):
    one, two = made(t1, rh1, p), made(t2, rh2, p)
    try:
        mixed = air.mix(one, m1, two, m2)
    except offnominal.Refused as refused:
        assert refused.why == "supersaturated"  # fog
        return
    for name in ("humidity_ratio", "enthalpy"):
        total = m1 * getattr(one, name) + m2 * getattr(two, name)
        assert (m1 + m2) * getattr(mixed, name) == pytest.approx(total, rel=1e-9, abs=1e-9 * (m1 + m2))
    assert min(t1, t2) - 1e-9 <= mixed.dry_bulb <= max(t1, t2) + 1e-9


@given(st.floats(-500.0, 5000.0))
def test_elevation_and_the_pressure_it_stands_for_are_one_site(z):
    by_elevation = air.state(units="SI", dry_bulb=25.0, wet_bulb=18.0, elevation=z)
    p = air.pressure(units="SI", elevation=z)
    assert by_elevation.pressure == p
    assert by_elevation.humidity_ratio == air.state(units="SI", dry_bulb=25.0, wet_bulb=18.0, pressure=p).humidity_ratio
    weather = air.state(units="SI", dry_bulb=25.0, wet_bulb=18.0, elevation=z, pressure=1.02 * p)
    assert weather == air.state(units="SI", dry_bulb=25.0, wet_bulb=18.0, pressure=1.02 * p)


# Arrays.


def test_arrays_hold_the_bits_of_one_call_each():
    t, rh, p, s = random_states(11, 300)
    names = ("dry_bulb", "wet_bulb", "dew_point", "relative_humidity", "humidity_ratio", "enthalpy", "volume", "pressure")
    columns = {name: getattr(s, name) for name in names}
    reasons, abouts = s.reason, s.about
    for i in range(len(t)):
        try:
            one = air.state(units="SI", dry_bulb=t[i], relative_humidity=rh[i], pressure=p[i])
        except offnominal.Refused as refused:
            assert (reasons[i], abouts[i]) == (refused.why, refused.about)
            assert all(np.isnan(column[i]) for column in columns.values())
        else:
            assert reasons[i] == "none"
            assert all(getattr(one, name) == column[i] for name, column in columns.items())


def test_arrays_broadcast_and_nan_stands_exactly_where_there_is_a_reason():
    s = air.state(
        units="IP", dry_bulb=np.array([76.0, 80.0, np.nan]), relative_humidity=[[0.5], [1.2]], pressure=np.float32(14.5)
    )
    assert s.shape == s.wet_bulb.shape == (2, 3)
    assert s.reason.tolist() == [["none", "none", "not_finite"], ["outside", "outside", "not_finite"]]
    assert s.about.tolist() == [["nothing", "nothing", "dry_bulb"], ["relative_humidity"] * 2 + ["dry_bulb"]]
    for name in ("dry_bulb", "wet_bulb", "dew_point", "relative_humidity", "humidity_ratio", "enthalpy", "volume", "pressure"):
        assert np.array_equal(np.isnan(getattr(s, name)), s.reason != "none"), name
    assert "4 without an answer" in repr(s)


def test_strided_integer_masked_and_empty_arrays():
    t = np.arange(10, 30)[::2]
    s = air.state(units="SI", dry_bulb=t, relative_humidity=0.5, elevation=0)
    assert np.array_equal(s.dry_bulb, t)
    masked = np.ma.array([20.0, 25.0], mask=[False, True])
    assert air.state(units="SI", dry_bulb=masked, relative_humidity=0.5, elevation=0).reason.tolist() == ["none", "not_finite"]
    empty = air.state(units="SI", dry_bulb=np.array([]), relative_humidity=0.5, elevation=0)
    assert empty.shape == empty.wet_bulb.shape == (0,)


def test_pressure_of_arrays():
    p = air.pressure(units="IP", elevation=[[0.0, 5000.0, 1e6]])
    assert p.shape == (1, 3)
    assert p[0, 0] == air.pressure(units="IP", elevation=0)
    assert p[0, 1] == pytest.approx(12.23, abs=0.005)
    assert np.isnan(p[0, 2])


def test_mixing_arrays():
    warm = air.state(units="IP", dry_bulb=[95.0, 85.0], relative_humidity=0.4, elevation=0)
    cool = air.state(units="IP", dry_bulb=75.0, relative_humidity=0.5, elevation=0)
    mixed = air.mix(warm, 200, cool, np.array([800.0, 0.0]))
    assert mixed.units == "IP"
    assert mixed.reason.tolist() == ["none", "no_flow"]
    assert (
        mixed.dry_bulb[0]
        == air.mix(air.state(units="IP", dry_bulb=95, relative_humidity=0.4, elevation=0), 200, cool, 800).dry_bulb
    )


# Refusals and errors.


@pytest.mark.parametrize(
    "measure, value, why, lower, upper, words",
    [
        ("relative_humidity", 55, "outside", 0.0, 1.0, "0.55, not 55"),
        ("relative_humidity", 1.03, "outside", 0.0, 1.0, "0.55, not 55"),
        ("wet_bulb", 80.0, "supersaturated", 46.42, 76.0, "wet bulb 80 degF is past saturation; at most 76 degF"),
        ("wet_bulb", 40.0, "outside", 46.42, 76.0, "wet bulb 40 degF is outside 46.4"),
        ("dew_point", 77.0, "supersaturated", -148.0, 76.0, "dew point 77 degF"),
        ("humidity_ratio", -0.001, "outside", 0.0, 0.019405, "humidity ratio -0.001"),
        ("humidity_ratio", 0.02, "supersaturated", 0.0, 0.019405, "humidity ratio 0.02"),
        ("enthalpy", 60.0, "supersaturated", 18.261, 39.506, "enthalpy 60 Btu/lb is past saturation; at most 39.5"),
    ],
)
def test_refusals_speak_the_callers_units(measure, value, why, lower, upper, words):
    with pytest.raises(offnominal.Refused) as caught:
        air.state(units="IP", dry_bulb=76, elevation=0, **{measure: value})
    refused = caught.value
    assert (refused.why, refused.about) == (why, measure)
    assert refused.value == pytest.approx(value)
    assert refused.lower == pytest.approx(lower, abs=0.005)
    assert refused.upper == pytest.approx(upper, abs=0.005)
    assert words in str(refused)


def test_other_refusals():
    def why(**how):
        with pytest.raises(offnominal.Refused) as caught:
            air.state(units="SI", **how)
        return caught.value.why, caught.value.about

    assert why(dry_bulb=89, relative_humidity=0.99, pressure=55e3) == ("boiling", "relative_humidity")
    assert why(dry_bulb=20, relative_humidity=0.5, pressure=40e3) == ("outside", "pressure")
    assert why(dry_bulb=20, relative_humidity=0.5, elevation=9000) == ("outside", "elevation")
    assert why(dry_bulb=float("nan"), relative_humidity=0.5, elevation=0) == ("not_finite", "dry_bulb")
    assert why(dry_bulb=20, relative_humidity=0.5) == ("not_given", "elevation")
    assert why(dry_bulb=20, relative_humidity=0.5, elevation=1500, pressure=101325) == ("contradictory", "pressure")
    assert why(dry_bulb=20, elevation=0)[0] == "not_given"
    assert why(dry_bulb=20, relative_humidity=0.5, wet_bulb=14, elevation=0)[0] == "contradictory"
    with pytest.raises(offnominal.Refused, match="no dew point"):
        air.state(units="SI", dry_bulb=20, relative_humidity=0, elevation=0).dew_point


def test_errors_of_use():
    with pytest.raises(ValueError, match="accepted: 'IP' or 'SI'"):
        air.state(units="ip", dry_bulb=76, wet_bulb=65, elevation=0)
    with pytest.raises(TypeError, match="units"):
        air.state(dry_bulb=76, wet_bulb=65, elevation=0)
    with pytest.raises(ValueError, match="'wet' or 'frozen'"):
        air.state(units="IP", dry_bulb=76, wet_bulb=65, elevation=0, wick="dry")
    with pytest.raises(ValueError, match="'ashrae' or 'water'"):
        air.state(units="IP", dry_bulb=76, wet_bulb=65, elevation=0, over="ice")
    for nonsense in ("76", None, ["76"], True, [True], 76 + 0j, {}, np.array("76")):
        with pytest.raises(TypeError, match=r"^dry_bulb: .* is not a number \(degF\)$"):
            air.state(units="IP", dry_bulb=nonsense, wet_bulb=65, elevation=0)


def test_a_wet_bulb_a_little_above_the_dry_bulb_is_taken_as_saturated_and_says_so():
    s = air.state(units="IP", dry_bulb=57.0, wet_bulb=[56.9, 57.1, 57.3], elevation=0)
    assert s.saturated_within_tolerance.tolist() == [False, True, False]
    assert s.reason.tolist() == ["none", "none", "supersaturated"]
    assert s.relative_humidity[1] == 1.0


def test_wick_and_over_choose_between_conventions():
    how = dict(units="SI", dry_bulb=5.0, relative_humidity=0.35, pressure=101325.0)
    wet, frozen = air.state(**how).wet_bulb, air.state(**how, wick="frozen").wet_bulb
    assert wet > 0.0 > frozen
    assert 0.3 < wet - frozen < 0.8
    sensor = air.state(units="SI", dry_bulb=-10.0, relative_humidity=0.8, pressure=101325.0, over="water")
    assert sensor.relative_humidity == pytest.approx(0.8, rel=1e-12)
    handbook = air.state(units="SI", dry_bulb=-10.0, humidity_ratio=sensor.humidity_ratio, pressure=101325.0)
    assert handbook.relative_humidity == pytest.approx(0.8 * 286.5 / 259.9, rel=4e-4)  # saturation over water and ice, Pa


def test_states_print_copy_and_pickle():
    s = air.state(units="IP", dry_bulb=76, relative_humidity=0.55, elevation=0)
    assert repr(s).startswith("air.State(units='IP', dry_bulb=76, wet_bulb=64.8006, dew_point=58.6824, relative_humidity=0.55")
    assert repr(copy.deepcopy(s)) == repr(pickle.loads(pickle.dumps(s))) == repr(s)
    assert "dew_point=none" in repr(air.state(units="SI", dry_bulb=20, relative_humidity=0, elevation=0))
    assert all(type(getattr(s, name)) is float for name in ("dry_bulb", "wet_bulb", "dew_point", "enthalpy", "pressure"))


# Units.


def test_python_and_cpp_convert_with_the_same_bits():
    values = np.random.default_rng(5).uniform(-100.0, 1000.0, 200)
    for kind, names in _units.UNITS.items():
        for system, name in zip(("IP", "SI"), names):
            if (kind, system) == ("enthalpy", "IP"):
                continue  # Btu/lb of moist air has a datum of its own
            assert np.array_equal(_units.to_si(system, kind, values), _core.unit_to_si(name, values)), name
            assert np.array_equal(_units.from_si(system, kind, values), _core.unit_from_si(name, values)), name
            one = float(values[0])
            assert _units.to_si(system, kind, one) == _core.unit_to_si(name, one) == _units.to_si(system, kind, values)[0]


def test_enthalpy_of_air_counts_from_the_datum_of_each_system():
    assert _units.to_si("SI", "enthalpy", 50e3) == 50e3
    # Dry air at 0 degF is 0 Btu/lb; ASHRAE Table 2 gives 18.498 Btu/lb at 77 degF (within 0.1 %, the IP and SI sets differ).
    assert _units.from_si("IP", "enthalpy", 1006.0 * (0.0 - 32.0) / 1.8) == pytest.approx(0.0, abs=1e-12)
    assert _units.from_si("IP", "enthalpy", 1006.0 * 25.0) == pytest.approx(18.498, rel=0.001)
    assert _units.to_si("IP", "enthalpy_difference", 1.0) == 2326.0


def test_an_unknown_unit_is_named_with_what_is_accepted():
    with pytest.raises(ValueError, match="unknown unit 'farenheit'; accepted: .*degF"):
        _core.unit_to_si("farenheit", 76.0)


def test_pint_quantities_in_place_of_numbers():
    pint = pytest.importorskip("pint")
    registry = pint.UnitRegistry()
    Q = registry.Quantity
    plain = air.state(units="IP", dry_bulb=76.0, wet_bulb=64.4, pressure=14.696)
    assert air.state(units="IP", dry_bulb=Q(76.0, "degF"), wet_bulb=Q(64.4, "degF"), pressure=14.696).enthalpy == plain.enthalpy
    other = air.state(
        units="IP", dry_bulb=Q(76.0, "degF"), wet_bulb=Q(18.0, "degC"), pressure=Q(14.696 * 6894.757293168361, "Pa")
    )
    assert other.humidity_ratio == pytest.approx(plain.humidity_ratio, rel=1e-12)
    percent = air.state(units="SI", dry_bulb=Q([20.0, 25.0], "degC"), relative_humidity=Q(55, "percent"), elevation=Q(4690, "ft"))
    assert percent.relative_humidity == pytest.approx([0.55, 0.55], rel=1e-12)
    assert percent.pressure[0] == pytest.approx(air.pressure(units="SI", elevation=4690 * 0.3048), rel=1e-12)
    for wrong in (Q(76.0, "meter"), Q(10.0, "delta_degF")):
        with pytest.raises(ValueError, match="^dry_bulb: .* where degF is due"):
            air.state(units="IP", dry_bulb=wrong, wet_bulb=60, elevation=0)

    def si(kind, quantity):
        return _units.to_si("IP", kind, _arrays.number("it", _units.unit_of("IP", kind), quantity))

    with pytest.raises(ValueError, match="where delta_degF is due"):
        si("temperature_difference", Q(10.0, "degF"))
    assert si("temperature_difference", Q(5.0, "kelvin")) == pytest.approx(5.0)
    for kind, value, unit, expected in (
        ("airflow", 1000.0, "foot**3/minute", 0.4719474432),
        ("capacity", 3.5, "kilowatt", 3500.0),
        ("mass_flow", 0.6, "kg/s", 0.6),
        ("static_pressure", 124.5, "pascal", 124.5),
        ("tubing", 22.225, "millimeter", 0.022225),
        ("humidity_ratio", 70.0, "grain/pound", 0.01),
        ("volume", 0.85, "m**3/kg", 0.85),
        ("enthalpy_difference", 2.326, "kilojoule/kilogram", 2326.0),
        ("electric_power", 0.42, "kilowatt", 420.0),
    ):
        assert si(kind, Q(value, unit)) == pytest.approx(expected, rel=1e-12), kind
