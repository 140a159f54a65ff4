"""Numbers that no double and no machine word holds, as every public call with numbers takes them: told in our words, by the name of the
argument, never in those of the binding or of Python."""

import inspect
import pathlib

import numpy as np
import pytest

import offnominal as on
from offnominal import air, airflow, second_capacity

DEMO = pathlib.Path(__file__).parents[2] / "tables" / "demo"
ALDER = on.load(DEMO / "alder.yaml")
VISIT = on.Visit(DEMO / "library-visit.yaml")
PROOF = ALDER.prove(VISIT, units="IP")
GRID = on.Grid({"x": [0, 1, 3], "y": [10, 20]}, [[1, 2], [3, 4], [5, 8]])
MOIST = air.state(units="SI", dry_bulb=25, relative_humidity=0.5, pressure=101325)
AIR = dict(units="IP", dry_bulb=76, relative_humidity=0.55, elevation=4690)
ASKED = dict(
    units="IP", stage="high", match="indoor A", outdoor_dry_bulb=95, entering_dry_bulb=80, entering_wet_bulb=67, airflow=1000
)
ASKED |= dict(airflow_basis="standard", elevation=0, line_set="reference", boundary="coil", fan_power=400)
SI = {**ASKED, "units": "SI", "outdoor_dry_bulb": 35, "entering_dry_bulb": 27, "entering_wet_bulb": 19, "airflow": 0.5}
MANY = {**ASKED, "airflow": [1000.0]}
READ = dict(units="IP", return_dry_bulb=75, return_wet_bulb=63, supply_dry_bulb=55, supply_wet_bulb=53, airflow=1000, elevation=0)
READ |= dict(airflow_basis="standard", fan_power=400)
BACKWARDS = {name: x for name, x in ASKED.items() if name != "outdoor_dry_bulb"}
BACKWARDS |= dict(vary="outdoor_dry_bulb", between=(85, 105), of="power", equals=2500)
LOADS = dict(
    outdoor_dry_bulb=95, entering_dry_bulb=75, entering_wet_bulb=63, elevation=1000, total_load=31000, sensible_load=23000
)
LOADS |= dict(units="IP", systems=ALDER, heating_load=40000, heating_outdoor_dry_bulb=17, airflow=1000, external_static=0.5)
TIMES = np.arange(0.0, 1505.0, 5.0)
RAN = dict(
    times=TIMES, units="IP", return_dry_bulb=np.full(301, 76.0), supply_dry_bulb=np.full(301, 57.0), elevation=0, window=600.0
)
RAN |= dict(
    return_relative_humidity=np.full(301, 0.55),
    supply_relative_humidity=np.full(301, 0.92),
    valve_swing=0.0,
    least_running=900.0,
    longest_gap=180.0,
)
RAN |= dict(running=0.0)
REFRIGERANT = dict(units="SI", flow=0.045, flow_u=0.0004, liquid_enthalpy=260e3, liquid_enthalpy_u=1e3)
REFRIGERANT |= dict(vapour_enthalpy=420e3, vapour_enthalpy_u=1e3)
CONDENSER = dict(units="SI", entering_dry_bulb=35, entering_dry_bulb_u=0.2, leaving_dry_bulb=44, leaving_dry_bulb_u=0.2)
CONDENSER |= dict(relative_humidity=0.4, airflow=1.1, airflow_u=0.03, airflow_at="leaving", power=2500, power_u=50, elevation=0)
CONDENSER |= dict(power_of="outdoor unit")
WATER = dict(units="IP", flow=6.676, flow_u=0.2, sensible_capacity=22450, return_dry_bulb=76, boundary="coil+fan")
POINT = dict(airflow=1200, airflow_basis="standard", airflow_u=20)
LINE = {"length": 50, "suction": 0.75, "lift": 0, "liquid": 0.375}


def watched(time, **readings):
    on.SteadyWatch(units="IP", elevation=0).add(time, **readings)


CALLS = {
    "state, SI": (air.state, dict(units="SI", dry_bulb=25, relative_humidity=0.5, pressure=101325, elevation=0)),
    "state, IP": (air.state, dict(units="IP", dry_bulb=77, wet_bulb=65, pressure=14.696, elevation=0)),
    "mix": (lambda a, b: air.mix(MOIST, a, MOIST, b), dict(a=1, b=2)),
    "pressure": (air.pressure, dict(units="SI", elevation=100)),
    "reading": (airflow.reading, {**AIR, **POINT, "density_u": 0.01}),
    "rise": (
        airflow.temperature_rise,
        dict(units="IP", entering=70, leaving=98, power=9800, power_u=100, relative_humidity=0.3, elevation=0),
    ),
    "fuel": (
        airflow.temperature_rise,
        dict(units="IP", entering=70, leaving=98, input=40000, input_u=9, efficiency=0.8, relative_humidity=0.3, elevation=0),
    ),
    "traverse": (
        lambda pressure, **x: airflow.traverse(velocity_pressures=[0.01, pressure], **x),
        dict(AIR, pressure=0.01, width=20, height=12, width_u=0.1),
    ),
    "traverse_points": (airflow.traverse_points, dict(rule="equal_area", points=4)),
    "flow_grid": (
        airflow.flow_grid,
        dict(AIR, rated=1000, rated_drop=0.1, drop=0.1, drop_u=0.01, static_without=0.3, static_with=0.2),
    ),
    "drop": (airflow.drop, dict(AIR, known=1000, known_drop=0.2, drop=0.2, exponent=0.55, known_u=10)),
    "hood": (lambda register, **x: airflow.hood(registers=[200, register], **x), dict(AIR, register=200, registers_u=5)),
    "condensate": (
        airflow.condensate,
        dict(units="IP", water=5, entering_humidity_ratio=0.011, leaving_humidity_ratio=0.008, dry_bulb=76, elevation=0),
    ),
    "blower": (ALDER.blower, dict(AIR, tap="4", static=0.52, static_u=0.01, drops={"filter": 0.1})),
    "operating_point": (ALDER.operating_point, dict(AIR, tap="4", duct_airflow=1200, duct_static=0.5, duct_exponent=2.0)),
    "expect, IP": (ALDER.expect, ASKED),
    "expect, SI": (ALDER.expect, SI),
    "expect, many": (ALDER.expect, {**MANY, "threads": 1}),
    "expect, a line": (lambda **line: ALDER.expect(**{**ASKED, "line_set": line}), LINE),
    "expect, outside": (lambda far: ALDER.expect(**{**ASKED, "outside": {"outdoor_dry_bulb": ("extend", far)}}), dict(far=3)),
    "missing": (ALDER.missing, ASKED),
    "solve": (ALDER.solve, {**BACKWARDS, "threads": 1}),
    "solve, between": (lambda low, high: ALDER.solve(**{**BACKWARDS, "between": (low, high)}), dict(low=85, high=105)),
    "solve, among": (
        lambda size: ALDER.solve(**{**BACKWARDS, "vary": "fan_power", "among": [300, size], "between": None, "fan_power": None}),
        dict(size=400),
    ),
    "target_card": (
        lambda odb, **x: ALDER.target_card(outdoor_dry_bulb=[85, odb], entering_wet_bulb=[63, 67], **x),
        {**{name: x for name, x in ASKED.items() if name not in ("outdoor_dry_bulb", "entering_wet_bulb")}, "odb": 95},
    ),
    "what_if": (
        lambda airflow: ALDER.what_if(**ASKED, changes={"more": {"airflow": airflow}} if airflow else {}),
        dict(airflow=1100),
    ),
    "sensitivities": (lambda step: ALDER.sensitivities(**ASKED, by={"airflow": step}), dict(step=50)),
    "year": (
        lambda load, degradation, threads: ALDER.year(
            {"outdoor_dry_bulb": [90.0, 95.0], "cooling_load": [load, 20000]},
            cooling={"degradation": degradation, "stage": ["high"]},
            threads=threads,
            **{name: x for name, x in ASKED.items() if name not in ("outdoor_dry_bulb", "stage")},
        ),
        dict(load=20000, degradation=0.25, threads=1),
    ),
    "deliver": (on.deliver, READ),
    "choose": (on.choose, LOADS),
    "choose, limits": (
        lambda least, most: on.choose(**LOADS, limits=dict(source="own", total=(least, most), sensible=0.9, latent=1)),
        dict(least=0.9, most=1.2),
    ),
    "choose, a line": (lambda **line: on.choose(**LOADS, line_set=line), LINE),
    "settle": (lambda a: PROOF.settle(type_a={"return_dry_bulb": a}), dict(a=0.1)),
    "causes": (lambda a, b: PROOF.causes(seen={"superheat": a}, priors={"restriction": b}), dict(a=10, b=0.1)),
    "monte_carlo": (lambda n: ALDER.monte_carlo(VISIT, n), dict(n=10)),
    "prove_many": (lambda threads: ALDER.prove_many({"fan_power": [400.0]}, VISIT, units="IP", threads=threads), dict(threads=1)),
    "survey": (lambda threads: on.survey(ALDER, {"fan_power": [400.0]}, VISIT, units="IP", threads=threads), dict(threads=1)),
    "steady_window": (on.steady_window, RAN),
    "SteadyWatch": (
        on.SteadyWatch,
        dict(units="IP", elevation=0, window=600, valve_swing=0, least_running=900, longest_gap=180, running=0),
    ),
    "add": (watched, dict(time=1, return_dry_bulb=76, supply_dry_bulb=57, supply_relative_humidity=0.9)),
    "change": (lambda time: on.SteadyWatch(units="IP", elevation=0).change(time), dict(time=1)),
    "series_mean": (lambda **x: on.series_mean(np.sin(TIMES), **x), dict(instrument=0.1)),
    "coverage_factor": (on.coverage_factor, dict(degrees_of_freedom=9, probability=0.95)),
    "valve_swing": (lambda least: on.valve_swing(TIMES, np.sin(TIMES), least), dict(least=0.1)),
    "compare_probes": (
        lambda **x: on.compare_probes(TIMES, np.sin(TIMES), np.cos(TIMES), units="IP", **x),
        dict(agreement=0.3, first_standard=0.1, second_standard=0.1),
    ),
    "duct_mean": (lambda one, **x: on.duct_mean([55, one], [400, 410], **x), dict(one=56, velocity_uncertainty=0.1, shared=0.1)),
    "calibration_note": (
        lambda months: on.calibration_note("a", calibrated="2026-06-01", months=months, on="2026-07-01"),
        dict(months=9),
    ),
    "align_logs": (lambda gap: on.align_logs([], longest_gap=gap), dict(gap=100)),
    "refrigerant": (second_capacity.refrigerant, REFRIGERANT),
    "condenser": (second_capacity.condenser, CONDENSER),
    "water": (second_capacity.condensate, WATER),
    "Grid": (lambda b, v, e: on.Grid([[0, b]], [1, v], ("extend", e)), dict(b=1, v=2, e=1)),
    "at": (lambda x, threads: GRID([x, 10], threads=threads), dict(x=0.5, threads=1)),
    "at, columns": (lambda x, threads: GRID(([0.5, 1], x), threads=threads), dict(x=10, threads=1)),
    "evaluate": (lambda x, threads: GRID.evaluate([x, 10], threads=threads), dict(x=0.5, threads=1)),
    "sweep": (lambda x, threads: GRID.sweep([0.5, 1], x, threads=threads), dict(x=10, threads=1)),
    "gradient": (lambda x: GRID.gradient([x, 10]), dict(x=0.5)),
    "cell": (lambda x: GRID.cell([x, 10]), dict(x=0.5)),
    "backwards": (lambda x, **y: GRID.solve([x, 10], **y), dict(x=0.5, axis=0, target=3, output=0)),
    "Visit": (lambda limit: on.Visit({"offnominal": "visit/1", "limit": limit}), dict(limit=0.9)),
}


@pytest.mark.parametrize("what", CALLS)
def test_a_number_past_those_of_the_machine_is_told_in_our_words(what):
    call, given = CALLS[what]
    numbers = [name for name, x in given.items() if isinstance(x, (int, float))]
    assert numbers
    for name in numbers:
        for large in (2**70, -(2**70), 2**2000, -(10**5000)):
            try:
                call(**{**given, name: large})
            except (on.Error, ValueError, TypeError) as error:
                said = str(error)
                assert "incompatible function arguments" not in said and "too large to convert" not in said, said
                assert len(said) < 500 and "digits) for integer" not in said, said
                if abs(large) > 2**1024:
                    assert "number too large for a float" in said or "accepted: " in said, (name, said)


def test_whole_numbers_that_are_none_say_what_is_accepted():
    def threads(n):
        return [
            lambda: GRID([0.5, 10], threads=n),
            lambda: GRID(([0.5], [10]), threads=n),
            lambda: GRID.evaluate([0.5, 10], threads=n),
            lambda: GRID.sweep([0.5], [10], threads=n),
            lambda: ALDER.expect(**MANY, threads=n),
            lambda: ALDER.solve(**BACKWARDS, threads=n),
            lambda: ALDER.prove_many({"fan_power": [400.0]}, VISIT, units="IP", threads=n),
        ]

    for n in (2**70, 2**2000, 10**5000, 65537, 0, -1, 1.5, True, "2", None, np.array([1, 2])):
        for call in threads(n):
            with pytest.raises(ValueError, match=r"^threads: .*; accepted: a whole number from 1 to 65,536$"):
                call()
    for call in threads(np.int64(2)):
        call()
    for n in (2**70, 0, 1.5, True):
        with pytest.raises(ValueError, match=r"^n: .*; accepted: a whole number from 1 to 10,000,000$"):
            ALDER.monte_carlo(VISIT, n)
        with pytest.raises(ValueError, match=r"^points: .*; accepted: a whole number from 2 to 20$"):
            airflow.traverse_points(rule="equal_area", points=n)
        with pytest.raises(ValueError, match=r"^months: .*; accepted: a whole number from 1 to 120$"):
            on.calibration_note("a", calibrated="2026-06-01", months=n, on="2026-07-01")
    for n in (2**70, -(2**70), 2, -1, 0.5, "0", [0]):
        with pytest.raises(on.InputError, match=r"^there is no such output: '.*'; accepted: 0 to 0$"):
            GRID.solve([0.5, 10], 0, 3.0, output=n)
    with pytest.raises(on.InputError, match=r"^there is no such axis: '1180591620717411303424'; accepted: 0 to 1$"):
        GRID.solve([0.5, 10], 2**70, 3.0)


def test_no_public_call_with_a_number_of_threads_is_forgotten():
    named = {"evaluate", "sweep", "expect", "solve", "year", "prove_many", "survey", "prove_in_duckdb", "revised"}
    found = set()
    for of in (on, on.Grid, on.System, air, airflow, second_capacity):
        for name in dir(of):
            one = getattr(of, name)
            if not name.startswith("_") and callable(one) and not inspect.isclass(one):
                try:
                    found |= {name} if "threads" in inspect.signature(one).parameters else set()
                except ValueError:  # of the compiled module
                    pass
    assert found == named
