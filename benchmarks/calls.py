"""What one call and one row cost from Python, beside `air.state` in the same minute: processor time, median and least of fifteen.

python benchmarks/calls.py    # with the package on the path
"""

import statistics
import sys
import time
from pathlib import Path

import numpy as np

import offnominal as on

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests/support"))

from questions import COOLING, READINGS  # noqa: E402

SYSTEM = on.load(ROOT / "tables/demo/alder.yaml")
ROWS = 100_000
AIR = {"units": "IP", "dry_bulb": 76.0, "relative_humidity": 0.5, "elevation": 0.0}
random = np.random.default_rng(1)
many = {"return_dry_bulb": random.uniform(74, 78, ROWS), "supply_dry_bulb": random.uniform(54, 60, ROWS)}
humidities = {name: value for name, value in READINGS.items() if "wet_bulb" not in name}
humidities |= {"return_relative_humidity": 0.55, "supply_relative_humidity": 0.9}
one = np.array([57.0])

# Each with how often it is asked, and how many rows it has.
CASES = {
    "air.state, a row of many": (lambda: on.air.state(**{**AIR, "dry_bulb": many["supply_dry_bulb"]}), 1, ROWS),
    "deliver by relative humidity, a row of many": (lambda: on.deliver(**{**humidities, **many}), 1, ROWS),
    "deliver by wet bulb, a row of many": (lambda: on.deliver(**{**READINGS, **many}), 1, ROWS),
    "air.state, one call": (lambda: on.air.state(**AIR), 1000, 1),
    "deliver, one call": (lambda: on.deliver(**READINGS), 1000, 1),
    "expect, one call": (lambda: SYSTEM.expect(**COOLING), 1000, 1),
    "air.state of one row": (lambda: on.air.state(**{**AIR, "dry_bulb": one}), 500, 1),
    "deliver of one row": (lambda: on.deliver(**{**READINGS, "supply_dry_bulb": one}), 500, 1),
    "expect of one row": (lambda: SYSTEM.expect(**{**COOLING, "outdoor_dry_bulb": one + 34}), 500, 1),
}

took = {name: [] for name in CASES}
for _ in range(15):
    for name, (ask, times, rows) in CASES.items():
        begun = time.process_time()
        for _ in range(times):
            ask()
        took[name].append((time.process_time() - begun) / times / rows)
for name, times in took.items():
    print(f"{name:44} median {1e6 * statistics.median(times):8.3f} us, least {1e6 * min(times):8.3f} us")
