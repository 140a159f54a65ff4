"""The grid against what a Python user would pick instead, and against the floors: same points, one process.

Usage: python grid.py BUILD_FOLDER    (or with offnominal installed, and the folder that holds the floor library)

Every row is the median of at least seven repetitions, nanoseconds a point. Ratios are to the grid's row on one thread.
"""

import ctypes
import importlib.metadata
import pathlib
import platform
import statistics
import sys
import time

import numpy as np

BUILD = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".build/benchmarks")
sys.path.insert(0, str(BUILD / "python"))

import scipy  # noqa: E402
from scipy.interpolate import RegularGridInterpolator  # noqa: E402
from scipy.ndimage import map_coordinates  # noqa: E402

import offnominal as on  # noqa: E402
from offnominal import _core  # noqa: E402

try:
    import interpn
except ImportError:
    interpn = None

REPETITIONS = 9
SHAPE = (5, 4, 3, 3, 2, 3)


def load_floor():
    found = sorted(BUILD.rglob("liboffnominal_floor.*"))
    if not found:
        return None
    library = ctypes.CDLL(str(found[0]))
    library.phase_floor_new.restype = ctypes.c_void_p
    library.clock_rate.restype = ctypes.c_double
    return library


FLOOR = load_floor()


def median(call, points, threads=1, least=0.02):
    """Median time of a call, in ns a point; calls that are too short to time are repeated.

    One thread is timed by the processor time of the process, which other work on the machine disturbs least; several are timed
    by the clock on the wall.
    """
    clock = time.process_time if threads == 1 else time.perf_counter
    call()
    start = clock()
    call()
    times = max(1, int(least / max(clock() - start, 1e-7)))
    taken = []
    for _ in range(REPETITIONS if points < 1_000_000 else 7):
        start = clock()
        for _ in range(times):
            call()
        taken.append((clock() - start) / times)
    return statistics.median(taken) / points * 1e9


class Table(ctypes.Structure):
    _fields_ = [
        ("rank", ctypes.c_int),
        ("outputs", ctypes.c_int),
        ("sizes", ctypes.c_void_p),
        ("breakpoints", ctypes.c_void_p),
        ("values", ctypes.c_void_p),
    ]


def address(array):
    return ctypes.c_void_p(array.ctypes.data)


def floors(axes, values, points):
    """Rows of the floor library: the plain way, the phase floor, the bandwidth floor."""
    if FLOOR is None:
        return []
    count, rank = points.shape
    outputs = values.shape[-1]
    sizes = np.array([len(a) for a in axes], dtype=np.int64)
    breakpoints = np.concatenate(axes)
    table = Table(rank, outputs, sizes.ctypes.data, breakpoints.ctypes.data, values.ctypes.data)
    columns = np.ascontiguousarray(points.T)
    out = np.empty(count * outputs + 8)
    n = ctypes.c_long(count)
    handle = ctypes.c_void_p(FLOOR.phase_floor_new(ctypes.byref(table)))
    rows = [
        ("plain C++", median(lambda: FLOOR.floor_naive(ctypes.byref(table), address(points), n, address(out)), count)),
        ("phase floor", median(lambda: FLOOR.phase_floor(handle, address(columns), n, address(out)), count)),
        ("bandwidth floor", median(lambda: FLOOR.bandwidth_floor(address(points), n, rank, outputs, address(out)), count)),
    ]
    FLOOR.phase_floor_delete(handle)
    return rows


def corners(axes, values, points):
    """Plain NumPy: searchsorted, and a sum over corners."""
    lower, t = [], []
    for k, axis in enumerate(axes):
        i = np.clip(np.searchsorted(axis, points[:, k], side="right") - 1, 0, len(axis) - 2)
        lower.append(i)
        t.append((points[:, k] - axis[i]) / (axis[i + 1] - axis[i]))
    out = np.zeros((len(points), values.shape[-1]))
    for corner in range(1 << len(axes)):
        weight, index = np.ones(len(points)), []
        for k in range(len(axes)):
            upper = corner >> k & 1
            weight = weight * (t[k] if upper else 1.0 - t[k])
            index.append(lower[k] + upper)
        out += weight[:, None] * values[tuple(index)]
    return out


def peers(axes, values, points):
    """Name, call and answer of each way to do it."""
    outputs = values.shape[-1]
    regular = RegularGridInterpolator(axes, values)
    yield "SciPy RegularGridInterpolator", lambda: regular(points)

    numbers = [np.arange(len(a)) for a in axes]

    def mapped():
        at = np.stack([np.interp(points[:, k], axes[k], numbers[k]) for k in range(len(axes))])
        return np.stack([map_coordinates(values[..., j], at, order=1) for j in range(outputs)], axis=-1)

    yield "SciPy map_coordinates", mapped
    if len(points) <= 10_000:
        yield "NumPy, sum over corners", lambda: corners(axes, values, points)
    if interpn is not None:
        columns = [np.ascontiguousarray(c) for c in points.T]
        planes = [np.ascontiguousarray(values[..., j]).ravel() for j in range(outputs)]
        outs = [np.empty(len(points)) for _ in planes]

        def rust():
            for plane, out in zip(planes, outs):
                interpn.interpn(columns, axes, plane, method="linear", grid_kind="rectilinear", out=out, max_threads=1)
            return np.stack(outs, axis=-1)

        yield "interpn (Rust), a call an output", rust


def ours(grid, points):
    out = np.empty((len(points), grid.values.shape[-1]))
    columns = tuple(np.ascontiguousarray(c) for c in points.T)
    yield "grid", lambda: grid(points)
    yield "grid, out=", lambda: grid(points, out=out)
    yield "grid, columns, out=", lambda: grid(columns, out=out)
    if len(points) >= 10_000:
        yield "grid, two threads, out= (wall)", lambda: grid(points, out=out, threads=2)


def show(title, rows, base):
    print(f"\n{title}")
    for name, value in rows:
        print(f"  {name:<36}{value:>14,.2f} ns{value / base:>12.2f} x")


def compare(rank, outputs, count):
    rng = np.random.default_rng(rank * 10 + outputs)
    axes = [np.cumsum(0.5 + rng.random(n)) for n in SHAPE[:rank]]
    values = 1.0 + rng.random(SHAPE[:rank] + (outputs,))
    points = np.column_stack([rng.uniform(a[0], a[-1], count) for a in axes])
    grid = on.Grid(axes, values)
    expected = grid(points)
    rows = [(name, median(call, count, 2 if "two" in name else 1)) for name, call in ours(grid, points)]
    base = dict(rows)["grid, out="]
    for name, call in peers(axes, values, points):
        assert np.allclose(call(), expected, rtol=1e-12), name
        rows.append((name, median(call, count)))
    for kernels in _core.available_kernels():
        rows.append((f"grid, {kernels} kernels, reasons", median(lambda k=kernels: grid._evaluate(points, 1, k), count)))
    rows += floors(axes, values, points)
    show(f"rank {rank}, {outputs} outputs, {count:,} random points", rows, base)


def one_point():
    rng = np.random.default_rng(1)
    axes = [np.cumsum(0.5 + rng.random(n)) for n in SHAPE[:5]]
    values = 1.0 + rng.random(SHAPE[:5] + (3,))
    grid = on.Grid(axes, values)
    point = np.array([rng.uniform(a[0], a[-1]) for a in axes])
    rows = [("grid(array)", median(lambda: grid(point), 1)), ("grid(tuple)", median(lambda: grid(tuple(point)), 1))]
    regular = RegularGridInterpolator(axes, values)
    rows.append(("SciPy RegularGridInterpolator", median(lambda: regular(point), 1)))
    show("one point, rank 5, 3 outputs (a call)", rows, rows[0][1])


def outer_product():
    rng = np.random.default_rng(2)
    axes = [np.cumsum(0.5 + rng.random(n)) for n in SHAPE[:5]]
    values = 1.0 + rng.random(SHAPE[:5] + (3,))
    grid = on.Grid(axes, values)
    at = [np.linspace(a[0], a[-1], n) for a, n in zip(axes, (20, 20, 10, 25, 10))]
    count = 1_000_000
    out = np.empty((20, 20, 10, 25, 10, 3))

    def matrix(axis, x):
        i = np.clip(np.searchsorted(axis, x, side="right") - 1, 0, len(axis) - 2)
        t = (x - axis[i]) / (axis[i + 1] - axis[i])
        m = np.zeros((len(x), len(axis)))
        m[np.arange(len(x)), i] = 1.0 - t
        m[np.arange(len(x)), i + 1] += t
        return m

    def tensordot():
        found = values
        for axis, x in zip(axes, at):
            found = np.tensordot(found, matrix(axis, x), axes=(0, 1))  # takes the first axis away, puts the new one last
        return np.moveaxis(found, 0, -1)

    assert np.allclose(tensordot(), grid.sweep(*at), rtol=1e-12)
    rows = [
        ("sweep, out=", median(lambda: grid.sweep(*at, out=out), count)),
        ("sweep, out=, two threads (wall)", median(lambda: grid.sweep(*at, out=out, threads=2), count, 2)),
        ("sweep, new array", median(lambda: grid.sweep(*at), count)),
        ("NumPy tensordot by axis", median(tensordot, count)),
    ]
    if FLOOR is not None:
        rows.append(("write floor", median(lambda: FLOOR.write_floor(address(out), ctypes.c_long(out.size)), count)))
    show("sweep 20 x 20 x 10 x 25 x 10, 3 outputs", rows, rows[0][1])


def processor():
    try:
        lines = pathlib.Path("/proc/cpuinfo").read_text().splitlines()
    except OSError:
        return platform.processor()
    return next((line.split(":")[1].strip() for line in lines if line.startswith("model name")), platform.processor())


def main():
    clock = f", clock {FLOOR.clock_rate():.2f} GHz" if FLOOR is not None else ""
    model = processor()
    print(f"{model}{clock}; kernels {', '.join(_core.available_kernels())}")
    versions = f"Python {platform.python_version()}, NumPy {np.__version__}, SciPy {scipy.__version__}"
    print(versions + (f", interpn {importlib.metadata.version('interpn')}" if interpn else ""))
    one_point()
    for count in (128, 10_000, 100_000, 1_000_000):
        compare(5, 3, count)
    for rank, outputs in ((4, 3), (5, 1), (6, 4)):
        compare(rank, outputs, 10_000)
    outer_product()


if __name__ == "__main__":
    main()
