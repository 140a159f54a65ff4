"""Moist air against PsychroLib and CoolProp, and whole expected capacities, from Python: one process, medians, ratios.

Usage: python air.py [BUILD_FOLDER]    (or with offnominal installed)
"""

import pathlib
import statistics
import sys
import time

import numpy as np

BUILD = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".build/benchmarks")
sys.path.insert(0, str(BUILD / "python"))

import psychrolib  # noqa: E402
from CoolProp.HumidAirProp import HAPropsSI  # noqa: E402

import offnominal as on  # noqa: E402

REPETITIONS = 9
TABLES = pathlib.Path(__file__).parents[1] / "tables/demo"


def median(call, points):
    """Median processor time of a call, microseconds a point."""
    times = []
    for _ in range(REPETITIONS):
        start = time.process_time()
        call()
        times.append((time.process_time() - start) / points * 1e6)
    return statistics.median(times)


def row(what, us, ours):
    print(f"{what:58s} {us:12.4f} us {us / ours:12.1f} x")


def main():
    rng = np.random.default_rng(5)
    n, few = 100_000, 300
    t, r, p = rng.uniform(-10, 50, n), rng.uniform(0.02, 1, n), rng.uniform(75e3, 105e3, n)
    psychrolib.SetUnitSystem(psychrolib.SI)

    print("wet bulb from dry bulb and relative humidity, a point")
    state = on.air.state(units="SI", dry_bulb=t, relative_humidity=r, pressure=p)
    ours = median(lambda: on.air.state(units="SI", dry_bulb=t, relative_humidity=r, pressure=p).wet_bulb, n)
    row("offnominal.air.state on arrays", ours, ours)
    one = median(
        lambda: [
            on.air.state(units="SI", dry_bulb=float(a), relative_humidity=float(b), pressure=float(c)).wet_bulb
            for a, b, c in zip(t[:few], r[:few], p[:few])
        ],
        few,
    )
    row("offnominal.air.state, one by one", one, ours)
    row(
        "PsychroLib, one by one",
        median(lambda: [psychrolib.GetTWetBulbFromRelHum(a, b, c) for a, b, c in zip(t[:few], r[:few], p[:few])], few),
        ours,
    )
    row(
        "CoolProp HAPropsSI (real gas), on arrays",
        median(lambda: HAPropsSI("Twb", "T", t[:few] + 273.15, "R", r[:few], "P", p[:few]), few),
        ours,
    )
    assert np.isfinite(state.wet_bulb).all()

    print("a whole expected capacity, a point")
    system = on.load(TABLES / "alder.yaml")
    question = dict(
        units="IP",
        stage="high",
        match="indoor A",
        line_set="reference",
        entering_dry_bulb=80,
        boundary="coil+fan",
        airflow_basis="standard",
        fan_power=420,
    )
    for elevation in (0, 4690):
        arrays = dict(
            question,
            outdoor_dry_bulb=rng.uniform(75, 115, n),
            entering_wet_bulb=rng.uniform(67, 71, n),
            airflow=rng.uniform(800, 1000, n),
            elevation=elevation,
        )
        batch = median(lambda: system.expect(**arrays), n)
        row(f"system.expect on arrays, {elevation} ft", batch, batch)
        scalars = dict(question, outdoor_dry_bulb=91.0, entering_wet_bulb=68.0, airflow=900.0, elevation=elevation)
        row(
            f"system.expect, one by one, {elevation} ft",
            median(lambda: [system.expect(**scalars) for _ in range(2000)], 2000),
            batch,
        )


if __name__ == "__main__":
    main()
