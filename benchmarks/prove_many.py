"""Tables of visits proved: time a visit, by first order and with draws where they are needed; and many out of a Parquet file, in bounded memory.

Usage: python prove_many.py [BUILD_FOLDER] [ROWS] [ROWS_IN_PARQUET [surveyed] [in_duckdb] [by_dask]]    (or with offnominal installed; what
comes out of a Parquet file needs pyarrow, and DuckDB or Dask; 0 ROWS: nothing else)
"""

import os
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

import numpy as np

BUILD = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".build/benchmarks").resolve()
ROWS = int(sys.argv[2]) if len(sys.argv) > 2 else 20_000
ROWS_IN_PARQUET = int(sys.argv[3]) if len(sys.argv) > 3 else 0
sys.path.insert(0, str(BUILD / "python"))

import offnominal as on  # noqa: E402

TABLES = pathlib.Path(__file__).parents[1] / "tables/demo"
SYSTEM, VISIT = on.load(TABLES / "alder.yaml"), on.Visit(TABLES / "library-visit.yaml")


def fleet(rows, supply_humidity=(0.80, 0.02), seed=7):
    """Invented readings about those of the demo visit."""
    random = np.random.default_rng(seed)

    def about(middle, spread):
        return middle + spread * random.standard_normal(rows)

    return {
        "outdoor_dry_bulb": about(91.0, 3.0),
        "return_dry_bulb": about(76.6, 1.0),
        "return_relative_humidity": about(0.55, 0.03),
        "supply_dry_bulb": about(58.4, 0.5),
        "supply_relative_humidity": np.minimum(about(*supply_humidity), 0.995),
        "airflow": about(1190.0, 60.0),
        "power": about(2370.0, 120.0),
        "elevation": about(4690.0, 500.0),
    }


def measure(what, rows, threads, supply_humidity=(0.80, 0.02), **how):
    table = fleet(rows, supply_humidity)
    wall, processor = time.perf_counter(), time.process_time()
    got = SYSTEM.prove_many(table, VISIT, units="IP", threads=threads, **how)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    methods = {word: int((got["method"] == word).sum()) for word in ("first_order", "draws")}
    print(f"{what:44s} {processor / rows * 1e6:8.1f} us of processor, {wall / rows * 1e6:8.1f} us of time a visit; {methods}")


def write_parquet(path, rows, at_once=100_000):
    import pyarrow as pa
    import pyarrow.parquet as pq

    writer = None
    for first in range(0, rows, at_once):
        size = min(at_once, rows - first)
        columns = fleet(size, seed=first)
        words = {"match": ("indoor A", "indoor B"), "installer": tuple("north south east west".split())}
        words["date"] = tuple(f"2026-{month:02d}-14" for month in range(5, 10))
        columns |= {name: np.resize(np.array(some), size) for name, some in words.items()}
        part = pa.table(columns)
        writer = writer or pq.ParquetWriter(path, part.schema)
        writer.write_table(part)
    writer.close()


def surveyed(path):
    import pyarrow.parquet as pq

    with pq.ParquetFile(path, pre_buffer=False) as file:  # or Arrow keeps what was read
        parts = file.iter_batches(batch_size=50_000)
        print(on.survey(SYSTEM, parts, VISIT, units="IP", threads=2, by=("match", "installer", "month")).report())


def in_duckdb(path):
    import duckdb

    asked = [*fleet(1), "match"]
    with duckdb.connect() as connection:
        on.prove_in_duckdb(connection, SYSTEM, VISIT, asked=asked, units="IP", threads=2)
        proofs = f"SELECT match, installer, date, prove({', '.join(asked)}) AS proof FROM '{path}'"
        by = "match, installer, month(date::DATE)"
        query = f"SELECT {by}, count(*), avg(proof.ratio), count_if(proof.outcome = 'meets') FROM ({proofs}) GROUP BY {by}"
        print(len(connection.execute(query).fetchall()), "groups")


def by_dask(path):
    import dask.dataframe as dd
    import distributed

    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
    ):
        table = dd.read_parquet(path, split_row_groups=True)
        print(on.survey(SYSTEM, table, VISIT, units="IP", by=("match", "installer")))
        most = max(client.run(lambda: resource.getrusage(resource.RUSAGE_SELF).ru_maxrss).values())
    print(f"a worker: {most / 1024:.0f} MiB at most")


def measure_parquet(rows, ways):
    """Each in a process of its own, whose most memory is told."""
    with tempfile.TemporaryDirectory() as folder:
        path = f"{folder}/visits.parquet"
        write_parquet(path, rows)
        for way in ways:
            code = f"import sys; sys.argv = ['', {str(BUILD)!r}]; import prove_many; prove_many.{way}({path!r})"
            started = time.perf_counter()
            done = subprocess.Popen(
                [sys.executable, "-c", code],
                cwd=pathlib.Path(__file__).parent,
                env={**os.environ, "PYTHONPATH": str(BUILD / "python")},
            )
            _, status, used = os.wait4(done.pid, 0)
            processor = used.ru_utime + used.ru_stime
            print(
                f"{way:12s} {rows} visits: {time.perf_counter() - started:.1f} s, {processor:.1f} s of processor, {used.ru_maxrss / 1024:.0f} MiB at most",
                flush=True,
            )
            assert status == 0


def main():
    if ROWS:
        measure_table()
    if ROWS_IN_PARQUET:
        measure_parquet(ROWS_IN_PARQUET, sys.argv[4:] or ("surveyed", "in_duckdb", "by_dask"))


def measure_table():
    measure("first order alone, one thread", ROWS, 1, draws=False)
    measure("first order alone, two threads", ROWS, 2, draws=False)
    measure("draws where needed, one thread", ROWS, 1)
    measure("draws where needed, two threads", ROWS, 2)
    measure("the same, supply air from 85 to 99 % humid", ROWS // 10, 2, supply_humidity=(0.93, 0.03))


if __name__ == "__main__":
    main()
