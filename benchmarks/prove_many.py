"""A table of visits proved: processor time a visit, by first order and with draws where they are needed.

Usage: python prove_many.py [BUILD_FOLDER] [ROWS]    (or with offnominal installed)
"""

import pathlib
import sys
import time

import numpy as np

BUILD = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".build/benchmarks")
ROWS = int(sys.argv[2]) if len(sys.argv) > 2 else 20_000
sys.path.insert(0, str(BUILD / "python"))

import offnominal as on  # noqa: E402

TABLES = pathlib.Path(__file__).parents[1] / "tables/demo"


def fleet(rows):
    """Invented readings about those of the demo visit."""
    random = np.random.default_rng(7)

    def about(middle, spread):
        return middle + spread * random.standard_normal(rows)

    return {
        "outdoor_dry_bulb": about(91.0, 3.0),
        "return_dry_bulb": about(76.6, 1.0),
        "return_relative_humidity": about(0.55, 0.03),
        "supply_dry_bulb": about(58.4, 0.5),
        "supply_relative_humidity": about(0.80, 0.02),
        "airflow": about(1190.0, 60.0),
        "power": about(2370.0, 120.0),
        "elevation": about(4690.0, 500.0),
    }


def measure(what, rows, threads, **how):
    table = fleet(rows)
    wall, processor = time.perf_counter(), time.process_time()
    got = on.load(TABLES / "alder.yaml").prove_many(table, TABLES / "library-visit.yaml", units="IP", threads=threads, **how)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    methods = {word: int((got["method"] == word).sum()) for word in ("first_order", "draws")}
    print(f"{what:40s} {processor / rows * 1e6:10.1f} us of processor, {wall / rows * 1e6:10.1f} us of time a visit; {methods}")


def main():
    measure("first order, one thread", ROWS, 1, draws=False)
    measure("first order, two threads", ROWS, 2, draws=False)
    measure("draws where needed, one thread", max(1, ROWS // 100), 1)


if __name__ == "__main__":
    main()
