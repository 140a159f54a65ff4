"""Choosing among 1,000 systems by 200 combinations: `python benchmarks/choose.py`. The median and the least of five, of this process' own time."""

import statistics
import time
from pathlib import Path

import numpy as np

import offnominal as on

ALDER = on.load(Path(__file__).resolve().parents[1] / "tables/demo/alder.yaml")
DESIGN = dict(
    units="IP", outdoor_dry_bulb=95, entering_dry_bulb=77, entering_wet_bulb=65, elevation=0, total_load=30000, sensible_load=23000,
)  # fmt: skip
SYSTEMS, COMBINATIONS = 1000, 200


def main():
    """Times the choosing, and the making of a row of each choice."""
    airflows = np.linspace(900, 1150, COMBINATIONS // len(ALDER.matches))
    systems = [ALDER] * SYSTEMS
    times, rows = [], []
    for _ in range(5):
        start = time.process_time()
        choices = on.choose(systems, airflow=airflows, **DESIGN)
        times.append(time.process_time() - start)
        assert len(choices) == SYSTEMS * len(airflows) * len(ALDER.matches)
        start = time.process_time()
        list(choices)
        rows.append(time.process_time() - start)
    print(f"{len(choices)} combinations, {len(choices.fitting)} fit: {statistics.median(times):.2f} s (least {min(times):.2f})")
    print(f"a row of each: {statistics.median(rows):.2f} s")


if __name__ == "__main__":
    main()
