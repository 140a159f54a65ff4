"""Questions backwards, one at a time and 20,000 together: `python benchmarks/solve.py`. Medians and the least of nine, of this process' own time."""

import statistics
import time
from pathlib import Path

import numpy as np

import offnominal as on

ALDER = on.load(Path(__file__).resolve().parents[1] / "tables/demo/alder.yaml")
ASKED = dict(
    units="IP", outdoor_dry_bulb=95, entering_dry_bulb=80, entering_wet_bulb=67, airflow=1000, airflow_basis="standard", match="indoor A",
    line_set="reference", boundary="coil", stage="high",
)  # fmt: skip
MANY = 20000
RATIO = ("sensible_capacity", "total_capacity")
CASES = {
    "outdoor temperature, total": (0, "outdoor_dry_bulb", (65, 115), "total_capacity", 33000),
    "the same at 5,000 ft": (5000, "outdoor_dry_bulb", (65, 115), "total_capacity", 31000),
    "airflow, sensible": (0, "airflow", (800, 1200), "sensible_capacity", 24500),
    "wet bulb, ratio, 5,000 ft": (5000, "entering_wet_bulb", (59, 72), RATIO, 0.75),
}


def timed(work, of):
    """Microseconds of one: the median, and the least."""
    times = []
    for _ in range(9):
        start = time.process_time()
        work()
        times.append(1e6 * (time.process_time() - start) / of)
    return f"{statistics.median(times):.1f} us (least {min(times):.1f})"


def main():
    """Times each case."""
    rng = np.random.default_rng(1)
    for name, (elevation, vary, between, of, equals) in CASES.items():
        fixed = {**ASKED, "elevation": elevation}
        del fixed[vary]
        what = dict(vary=vary, between=between, of=of)
        other = "airflow" if vary == "outdoor_dry_bulb" else "outdoor_dry_bulb"
        rows = {**fixed, other: rng.uniform(*((800, 1200) if other == "airflow" else (80, 105)), MANY)}
        wanted = equals * rng.uniform(0.97, 1.03, MANY)
        one = timed(lambda: [ALDER.solve(**what, equals=equals, **fixed) for _ in range(200)], 200)
        many = timed(lambda: ALDER.solve(**what, equals=wanted, **rows), MANY)
        print(f"{name}: one {one}, of {MANY} {many}")


if __name__ == "__main__":
    main()
