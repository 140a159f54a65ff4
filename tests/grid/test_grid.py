"""Grid from Python: against SciPy, and the promises of the face itself."""

import copy
import pickle
import signal
import threading
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

import offnominal as on
from offnominal import _core


def random_axes(rng, rank):
    return [np.cumsum(0.1 + rng.random(rng.integers(2, 7 if rank < 5 else 5))) for _ in range(rank)]


def random_points(rng, axes, count):
    points = np.column_stack([rng.uniform(a[0], a[-1], count) for a in axes])
    on_node = rng.random(points.shape) < 0.2
    nodes = np.column_stack([rng.choice(a, count) for a in axes])
    return np.where(on_node, nodes, points)


@pytest.fixture
def small():
    return on.Grid({"x": [0, 1, 3], "y": [10, 20]}, [[1, 2], [3, 4], [5, 8]])


@pytest.fixture
def five():
    rng = np.random.default_rng(5)
    axes = random_axes(rng, 5)
    values = rng.normal(size=[len(a) for a in axes] + [3])
    return on.Grid(axes, values), random_points(rng, axes, 5000)


# scipy.interpolate.RegularGridInterpolator(method="linear") is the same multilinear rule in another order of operations.
@pytest.mark.parametrize("outputs", [1, 2, 3, 4])
@pytest.mark.parametrize("rank", [1, 2, 3, 4, 5, 6])
def test_agrees_with_scipy(rank, outputs):
    rng = np.random.default_rng(100 * rank + outputs)
    for _ in range(3):
        axes = random_axes(rng, rank)
        values = 1.0 + rng.random([len(a) for a in axes] + [outputs])  # one sign: relative difference has a meaning
        points = random_points(rng, axes, 2000)
        expected = RegularGridInterpolator(axes, values, method="linear")(points)
        found = on.Grid(axes, values)(points)
        assert np.max(np.abs(found / expected - 1.0)) <= 1e-12


@pytest.mark.parametrize("rank", [1, 2, 3, 4, 5, 6])
def test_nodes_come_back_bit_for_bit(rank):
    rng = np.random.default_rng(rank)
    axes = random_axes(rng, rank)
    values = rng.normal(size=[len(a) for a in axes] + [2])
    nodes = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    assert on.Grid(axes, values)(nodes).tobytes() == values.tobytes()


def test_every_kernel_thread_count_and_way_in_gives_the_same_bits(five):
    grid, points = five
    expected = np.array([grid(point) for point in points])
    columns = tuple(np.ascontiguousarray(c) for c in points.T)
    assert len(_core.available_kernels()) >= 1
    for kernels in _core.available_kernels():
        for threads in (1, 2, 7):
            assert grid._evaluate(points, threads, kernels)[0].tobytes() == expected.tobytes()
    for found in (
        grid(points),
        grid(points, threads=2),
        grid(columns),
        grid(np.asfortranarray(points)),
        grid(points.reshape(50, 100, 5)).reshape(-1, 3),
        grid(np.repeat(points, 2, axis=0)[::2]),
        grid(points.tolist()),
        grid.evaluate(points).values,
        grid(points, out=np.empty((5000, 3))),
    ):
        assert found.tobytes() == expected.tobytes()
    assert grid(points[::-1]).tobytes() == expected[::-1].tobytes()


def test_a_sweep_is_the_outer_product(five):
    grid, points = five
    values = [column[:4] for column in points.T]
    mesh = np.stack(np.meshgrid(*values, indexing="ij"), axis=-1)
    assert grid.sweep(*values).shape == (4, 4, 4, 4, 4, 3)
    assert grid.sweep(*values, threads=3).tobytes() == grid(mesh).tobytes()
    out = np.empty((4, 4, 4, 4, 4, 3))
    assert grid.sweep(*values, out=out) is out


def test_shapes(small):
    assert isinstance(small([0.5, 12]), float)
    assert small((0.5, 12)) == small([0.5, 12]) == small(np.array([0.5, 12.0]))
    assert small([[0.5, 12]]).shape == (1,)
    assert small(np.zeros((0, 2))).shape == (0,)
    assert small(np.full((4, 3, 2), [1.0, 10.0])).shape == (4, 3)
    assert small((np.array([0.0, 1.0]), 15)).tolist() == [1.5, 3.5]
    assert small((np.array([[0.0], [1.0]]), np.array([10, 15, 20]))).tolist() == [[1.0, 1.5, 2.0], [3.0, 3.5, 4.0]]
    several = on.Grid([[0, 1]], [[1, 2], [3, 4]])
    assert several([0.5]).tolist() == [2.0, 3.0]
    assert several([[0.5], [1.0]]).tolist() == [[2.0, 3.0], [3.0, 4.0]]


def test_other_number_types_and_odd_strides(small):
    points = np.array([[0.5, 12], [3, 20], [1, 10]])
    expected = small(points)
    single = points.astype(np.float32)
    assert small(single).tolist() == small(single.astype(float)).tolist()
    assert small(points.astype(">f8")).tolist() == expected.tolist()
    assert small(points[:, ::-1][:, ::-1]).tolist() == expected.tolist()
    packed = np.zeros(3, dtype=[("skip", "u1"), ("point", "f8", 2)])  # unaligned
    packed["point"] = points
    assert small(packed["point"]).tolist() == expected.tolist()
    assert small(np.array([[3, 20]])).tolist() == [8.0]
    masked = np.ma.array(points, mask=False)
    assert small(masked).tolist() == expected.tolist()


def test_no_copy_of_contiguous_doubles(five):
    import tracemalloc

    grid, points = five
    out = np.empty((5000, 3))
    columns = tuple(np.ascontiguousarray(c) for c in points.T)
    for given_points in (points, columns):
        grid(given_points, out=out)
        tracemalloc.start()
        grid(given_points, out=out)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert peak < 8 * 5000  # one column


def test_refusals_carry_their_fields(small):
    with pytest.raises(on.Refused, match="axis 'x': 5 is outside 0 to 3") as caught:
        small([5, 10])
    error = caught.value
    assert (error.why, error.about, error.axis, error.value, error.lower, error.upper) == ("outside", "axis", 0, 5.0, 0.0, 3.0)
    assert error.node is None
    with pytest.raises(on.Refused, match="axis 'y': nan") as caught:
        small((1, np.nan))
    assert caught.value.why == "not_finite"
    with pytest.raises(on.Refused):
        small([5, 10], out=np.empty(()))


def test_a_reason_that_somebody_wrote_over_is_no_index(small):
    result = small.evaluate([[5.0, 10.0]])
    result.reasons.setflags(write=True)
    for why, axis, node, text in ((3, -1, 10**9, "blank node$"), (2, 77, -1, "^a value: 5 is outside 0 to 3$")):
        result.reasons["why"], result.reasons["axis"], result.reasons["node"] = why, axis, node
        with pytest.raises(on.Refused, match=text):
            raise result.reason(0)


def test_in_arrays_nan_stands_where_the_reason_is():
    marks = [["printed", "printed"], ["blank", "printed"], ["inferred", "beyond_limit"]]
    grid = on.Grid({"x": [0, 1, 3], "y": [10, 20]}, [[1, 2], [np.nan, 4], [5, 8]], outside={"y": "hold"}, marks=marks)
    points = [[0, 15], [0.5, 15], [5, 15], [1, 20], [3, 15], [3, 10], [3, 5], [0, np.inf]]
    result = grid.evaluate(points)
    why = ["none", "blank", "outside", "none", "beyond_limit", "none", "none", "not_finite"]
    assert result.why.tolist() == why
    assert (np.isnan(result.values) == (result.why != "none")).all()
    assert (np.isnan(result.values) == result.refused).all()
    assert np.isnan(grid(points)).tolist() == result.refused.tolist()
    assert result.footing.tolist() == ["inside"] * 5 + ["inferred", "held+inferred", "inside"]
    assert result.held.tolist() == [False] * 6 + [True, False]
    assert result.reasons["node"].tolist() == [-1, 2, -1, -1, 5, -1, -1, -1]
    assert result.reason(0) is None
    assert str(result.reason(1)) == "the cell needs a blank node (x 1, y 10)"
    assert str(result.reason(4)) == "the cell needs a node beyond a limit (x 3, y 20)"
    assert result.reason(2).upper == 3.0
    assert repr(result) == "Evaluated(8 points, 4 refused)"
    assert np.isnan(grid.values[1, 0]) and np.isnan(grid.values[2, 1])
    assert grid.marks.tolist() == marks


def test_edge_policies():
    def at(x, outside):
        return on.Grid([[0, 1, 3]], [0, 2, 3], outside=outside)([x])

    assert at(5, "hold") == 3.0
    assert at(5, ("extend", 2)) == 4.0
    assert at(-1, ("extend", np.inf)) == -2.0
    with pytest.raises(on.Refused):
        at(5.1, ("extend", 2))
    assert on.Grid([[0, 1]], [0, 1], outside=("extend", 1)).evaluate([[1.5], [1]]).extended.tolist() == [True, False]


def test_gradient_cell_and_solve(small):
    gradient = small.gradient([1, 15])
    assert gradient.value == 3.5
    assert gradient.slope.tolist() == pytest.approx([1.5, 0.1])
    assert small.gradient([1, 15], side="lower").slope[0] == pytest.approx(2.0)
    assert small.gradient([3, 15]).side == ("lower", "upper")
    cell = small.cell([2, 10])
    assert (cell.lower, cell.t) == ((1, 0), (0.5, 0.0))
    assert cell.nodes.tolist() == [[1, 0], [2, 0]] and cell.weights.tolist() == [0.5, 0.5]
    assert small.solve([0, 10], "x", 4.0).intervals == [(2.0, 2.0)]
    assert small.solve([0, 10], 0, 9.0).intervals == []
    several = on.Grid([[0, 1]], [[1, 2], [3, 6]])
    assert several.gradient([0.5]).slope.tolist() == [[2.0, 4.0]]
    assert several.solve([0], 0, 3.0, output=1).intervals == [(0.25, 0.25)]


def test_copies_and_pickles(five):
    grid, points = five
    marked = on.Grid({"x": [0, 1]}, [1, 2], outside=("extend", 0.5), marks=["printed", "inferred"])
    for original, where in ((grid, points), (marked, [[0.5], [1.5]])):
        for other in (copy.copy(original), copy.deepcopy(original), pickle.loads(pickle.dumps(original))):
            assert repr(other) == repr(original)
            assert other(where).tobytes() == original(where).tobytes()
            assert other.evaluate(where).footing.tolist() == original.evaluate(where).footing.tolist()
            assert other.outside == original.outside


def test_what_it_shows(small):
    assert repr(small) == "Grid(x 0 to 3 (3), y 10 to 20 (2); 1 output; outside: refuse)"
    assert repr(on.Grid([[2]], [[1, 2]], outside=("extend", 3))) == "Grid(axis 0 2; 2 outputs; outside: extend by 3)"
    assert small.names == ("x", "y")
    assert small.axes["y"].tolist() == [10.0, 20.0]
    assert small.outside == {"x": "refuse", "y": "refuse"}
    assert small.values.tolist() == [[1, 2], [3, 4], [5, 8]]
    with pytest.raises(ValueError):
        small.values[0, 0] = 9.0
    values = on.Grid([[0, 1]], [5, 6]).values  # outlives its grid
    assert values.tolist() == [5.0, 6.0]


@pytest.mark.parametrize(
    "build, text",
    [
        (lambda: on.Grid([[0, 1, 1]], [1, 2, 3]), "axis 'axis 0': breakpoint 2 repeats the one before it: '1'"),
        (lambda: on.Grid({"odb": [1, 0]}, [1, 2]), "axis 'odb': breakpoint 1 lies below the one before it: '0'"),
        (lambda: on.Grid([[0, np.nan]], [1, 2]), "breakpoint 1 is not a finite number: 'nan'"),
        (lambda: on.Grid([], 1.0), "a grid cannot have this many axes: '0'"),
        (lambda: on.Grid([[0]] * 7, np.zeros([1] * 7)), "a grid cannot have this many axes: '7'"),
        (lambda: on.Grid([[0, 1]], np.zeros((2, 9))), "a grid cannot have this many outputs: '9'"),
        (lambda: on.Grid([[0, 1]], [1, 2, 3]), r"values of this shape do not fit the axes: '\(3,\)'; accepted: \(2\) or"),
        (lambda: on.Grid([[0, 1]], [1, np.nan]), "output 0 of node 1 is not a finite number: 'nan'"),
        (lambda: on.Grid([[0, 1]], [1, 2], outside="clamp"), "there is no such policy: 'clamp'; accepted: \"refuse\""),
        (lambda: on.Grid([[0, 1]], [1, 2], outside=("extend", -1)), "cannot be extended by this limit: '-1'"),
        (lambda: on.Grid([[0, 1]], [1, 2], outside={"odb": "hold"}), "there is no such axis: 'odb'; accepted: axis 0"),
        (lambda: on.Grid([[0, 1]], [1, 2], names=["a", "b"]), "the names do not fit the axes: '2'; accepted: 1"),
        (lambda: on.Grid([[0, 1]], [1, 2], marks=["printed", "wet"]), "there is no such mark: 'wet'; accepted: printed"),
        (lambda: on.Grid([[0, 1]], [1, 2], marks=["dry"]), r"the marks do not fit the axes: '\(1,\)'"),
        (lambda: on.Grid([5.0], [1]), "an axis is not a row of numbers: '5.0'"),
    ],
)
def test_what_a_grid_is_not_built_from(build, text):
    with pytest.raises(on.InputError, match=text):
        build()


@pytest.mark.parametrize(
    "call, text",
    [
        (lambda g: g([1, 2, 3]), r"do not have 2 coordinates: '\(3,\)'"),
        (lambda g: g(5.0), "do not have 2 coordinates"),
        (lambda g: g((1, 2, 3)), "this many columns are not points of 2 coordinates: '3'"),
        (lambda g: g((np.zeros(2), np.zeros(3))), "column 1 does not broadcast"),
        (lambda g: g(np.ones((4, 2)), out=np.empty(3)), r"out has the wrong shape: '\(3,\)'; accepted: \[4\]"),
        (lambda g: g(np.ones((4, 2)), out=np.empty(4, np.float32)), "out cannot take the values"),
        (lambda g: g(np.ones((4, 2)), out=np.empty(8)[::2]), "out cannot take the values"),
        (lambda g: g.sweep([0, 1]), "a sweep has the wrong number of axes: '1'; accepted: 2"),
        (lambda g: g.gradient([1, 10], side="left"), "there is no such side: 'left'"),
        (lambda g: g.gradient([[1, 10], [1, 10]]), "one point at a time: '2'"),
        (lambda g: g.solve([1, 10], "z", 1.0), "there is no such axis: 'z'; accepted: x, y"),
        (lambda g: g.solve([1, 10], 2, 1.0), "there is no such axis: '2'; accepted: 0 to 1"),
        (lambda g: g.solve([1, 10], -1, 1.0), "there is no such axis: '-1'; accepted: 0 to 1"),
        (lambda g: g.solve([1, 10], 0, 1.0, output=7), "there is no such output: '7'; accepted: 0 to 0"),
    ],
)
def test_what_a_grid_is_not_asked(call, text, small):
    with pytest.raises(on.InputError, match=text):
        call(small)


def test_threads_of_the_caller_share_a_grid(five):
    grid, points = five
    expected = grid(points).tobytes()
    found = [None] * 4

    def work(i):
        found[i] = all(grid(points, threads=1 + i % 2).tobytes() == expected for _ in range(20))

    threads = [threading.Thread(target=work, args=(i,)) for i in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [True] * 4


@given(st.lists(st.floats(-1e6, 1e6), min_size=2, max_size=40, unique=True), st.floats(0, 1), st.data())
def test_any_axis_any_point(breakpoints, fraction, data):
    breakpoints = sorted(breakpoints)
    values = data.draw(st.lists(st.floats(-1e6, 1e6), min_size=len(breakpoints), max_size=len(breakpoints)))
    x = breakpoints[0] + fraction * (breakpoints[-1] - breakpoints[0])
    if np.min(np.diff(breakpoints)) < 1e-300:  # refused: the inverse width is not finite
        return
    grid = on.Grid([breakpoints], values, outside="hold")
    found = grid([x])
    # numpy.interp is the same rule in one dimension.
    assert found == pytest.approx(np.interp(x, breakpoints, values), rel=1e-9, abs=1e-9 * max(map(abs, values), default=0.0))
    i = min(np.searchsorted(breakpoints, x, side="right"), len(breakpoints) - 1)
    lower, upper = sorted((values[i - 1], values[i]))
    slack = 4e-16 * (abs(lower) + abs(upper))
    assert lower - slack <= found <= upper + slack


def long_batch(grid):
    points = np.full((12_000_000, 1), 0.5)
    return np.full(len(points), -1.0), lambda out: grid(points, out=out)


def long_sweep(grid):
    return np.full(60_000_000, -1.0), lambda out: grid.sweep(np.full(len(out), 0.5), out=out)


@pytest.mark.parametrize("long", [long_batch, long_sweep])
def test_an_interrupt_ends_long_work(long):
    """It is heard before all is done: what had not been reached stays as it was."""
    out, work = long(on.Grid({"x": [0, 1]}, [1.0, 2.0]))

    def interrupt():
        while out[0] == -1.0:  # until work is under way, however busy the machine
            time.sleep(0.001)
        signal.raise_signal(signal.SIGINT)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)  # a run in the background ignores interrupts
    try:
        for _ in range(10):  # all may be done before the interrupt comes
            out[:] = -1.0
            soon = threading.Thread(target=interrupt, daemon=True)
            soon.start()
            with pytest.raises(KeyboardInterrupt):
                try:
                    work(out)
                finally:
                    soon.join()
            if out[-1] == -1.0:
                break
    finally:
        signal.signal(signal.SIGINT, before)
    assert out[-1] == -1.0
