// The grid against the plain way and the floors, by Google Benchmark. Times are nanoseconds a point (a call, for single
// calls). Run:  benchmark_grid --benchmark_repetitions=7 --benchmark_report_aggregates_only=true
#include "offnominal/grid.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <map>
#include <memory>
#include <random>
#include <string>
#include <tuple>
#include <vector>

#include "floor.hpp"
#include "offnominal/grid/threads.hpp"
#include "single.hpp"

using namespace offnominal;

namespace {

/// A table with points and room for answers. Sizes as in the published measurements: 5x4x3x3x2.
struct Case {
    std::vector<long> sizes;
    std::vector<double> breakpoints, values, points, columns, out;
    Grid grid;
    FloorTable table{};
    std::unique_ptr<void, void (*)(void*)> floor{nullptr, phase_floor_delete};
    std::size_t count;

    Case(std::vector<long> shape, std::size_t outputs, std::size_t points_count, bool sorted)
        : sizes(std::move(shape)), count(points_count) {
        std::mt19937_64 random(7);
        const auto unit = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
        std::vector<Axis> axes;
        std::size_t nodes = 1;
        for (const long n : sizes) {
            std::vector<double> b{unit()};
            while (b.size() < static_cast<std::size_t>(n)) b.push_back(b.back() + 0.5 + unit());
            breakpoints.insert(breakpoints.end(), b.begin(), b.end());
            axes.emplace_back("axis", b);
            nodes *= b.size();
        }
        for (std::size_t i = 0; i < nodes * outputs; ++i) values.push_back(1.0 + unit());
        grid = Grid(axes, values, outputs);
        const std::size_t rank = sizes.size();
        std::vector<std::vector<double>> rows(count);
        for (auto& row : rows)
            for (std::size_t k = 0; k < rank; ++k) {
                const auto b = grid.breakpoints(k);
                row.push_back(b.front() + unit() * (b.back() - b.front()));
            }
        if (sorted) std::sort(rows.begin(), rows.end());
        columns.resize(rank * count);
        for (std::size_t i = 0; i < count; ++i)
            for (std::size_t k = 0; k < rank; ++k) {
                points.push_back(rows[i][k]);
                columns[k * count + i] = rows[i][k];
            }
        out.resize(count * outputs + 8);
        table = {static_cast<int>(rank), static_cast<int>(outputs), sizes.data(), breakpoints.data(), values.data()};
        if (rank >= 2) floor.reset(phase_floor_new(&table));
        check();
    }

    /// Everything that is timed must answer alike.
    void check() {
        const auto n = static_cast<long>(std::min<std::size_t>(count, 640));
        const std::size_t size = static_cast<std::size_t>(n) * grid.outputs();
        std::vector<double> expected(size), found(size + 8), some(static_cast<std::size_t>(n) * grid.rank());
        floor_naive(&table, points.data(), n, expected.data());
        const auto compare = [&](std::size_t whole, const char* what) {
            for (std::size_t i = 0; i < whole; ++i)
                if (!(std::abs(found[i] - expected[i]) < 1e-13)) {
                    std::fprintf(stderr, "%s answers differently\n", what);
                    std::exit(1);
                }
        };
        evaluate(grid.view(), Points::rows({points.data(), static_cast<std::size_t>(n) * grid.rank()}, grid.rank()),
                 std::span(found).first(size), {}, {}, {fastest_kernels()});
        compare(size, "the grid");
        if (floor == nullptr) return;
        for (std::size_t k = 0; k < grid.rank(); ++k)
            std::copy_n(columns.data() + k * count, n, some.data() + k * static_cast<std::size_t>(n));
        phase_floor(floor.get(), some.data(), n, found.data());
        compare(static_cast<std::size_t>(n / 64 * 64) * grid.outputs(), "the phase floor");
    }

    [[nodiscard]] std::span<double> values_out() { return {out.data(), count * grid.outputs()}; }
};

Case& get(const std::vector<long>& sizes, std::size_t outputs, std::size_t count, bool sorted) {
    static std::map<std::tuple<std::vector<long>, std::size_t, std::size_t, bool>, std::unique_ptr<Case>> cases;
    if (cases.size() > 12) cases.clear();
    auto& found = cases[{sizes, outputs, count, sorted}];
    if (!found) found = std::make_unique<Case>(sizes, outputs, count, sorted);
    return *found;
}

using Body = std::function<void(Case&)>;

void add(const std::string& name, const std::vector<long>& sizes, std::size_t outputs, std::size_t count, bool sorted,
         const Body& body, bool threads = false) {
    // One thread is timed by its own time, which other work on the machine disturbs least; several by the clock on the
    // wall.
    auto* registered = benchmark::RegisterBenchmark(name.c_str(), [=](benchmark::State& state) {
        Case& one = get(sizes, outputs, count, sorted);
        for (auto _ : state) {
            body(one);
            benchmark::ClobberMemory();
        }
        state.counters["per_point"] = benchmark::Counter(
            static_cast<double>(count), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
    });
    if (threads) registered->UseRealTime();
}

Body ours(Kernels kernels, unsigned threads = 1) {
    return [=](Case& c) {
        evaluate(c.grid.view(), Points::rows(c.points, c.grid.rank()), c.values_out(), {}, {},
                 on_threads(threads, kernels));
    };
}

Body ours_by_columns(Kernels kernels) {
    return [=](Case& c) {
        std::array<std::span<const double>, max_rank> columns;
        for (std::size_t k = 0; k < c.grid.rank(); ++k) columns[k] = {c.columns.data() + k * c.count, c.count};
        evaluate(c.grid.view(), Points::columns(std::span(columns).first(c.grid.rank())), c.values_out(), {}, {},
                 {kernels});
    };
}

const std::vector<long> shape{5, 4, 3, 3, 2, 3};
std::vector<long> of_rank(std::size_t rank) {
    return {shape.begin(), shape.begin() + static_cast<std::ptrdiff_t>(rank)};
}

void add_all() {
    const Body naive = [](Case& c) {
        floor_naive(&c.table, c.points.data(), static_cast<long>(c.count), c.out.data());
    };
    const Body phase = [](Case& c) {
        phase_floor(c.floor.get(), c.columns.data(), static_cast<long>(c.count), c.out.data());
    };
    const Body stream = [](Case& c) {
        bandwidth_floor(c.points.data(), static_cast<long>(c.count), static_cast<int>(c.grid.rank()),
                        static_cast<int>(c.grid.outputs()), c.out.data());
    };
    for (const bool sorted : {false, true})
        for (const std::size_t count : {std::size_t{128}, std::size_t{10'000}, std::size_t{1'000'000}}) {
            const std::string where = "/rank 5/outputs 3/" + std::to_string(count) + (sorted ? "/sorted" : "/random");
            add("naive" + where, of_rank(5), 3, count, sorted, naive);
            add("phase floor" + where, of_rank(5), 3, count, sorted, phase);
            add("bandwidth floor" + where, of_rank(5), 3, count, sorted, stream);
            for (const Kernels& kernels : available_kernels())
                add("grid " + std::string(kernels.name()) + where, of_rank(5), 3, count, sorted, ours(kernels));
            add("grid columns" + where, of_rank(5), 3, count, sorted, ours_by_columns(fastest_kernels()));
            if (count >= 10'000)
                add("grid two threads" + where, of_rank(5), 3, count, sorted, ours(fastest_kernels(), 2), true);
        }
    add("grid one thread/rank 5/outputs 3/100000", of_rank(5), 3, 100'000, false, ours(fastest_kernels()), true);
    add("grid two threads/rank 5/outputs 3/100000", of_rank(5), 3, 100'000, false, ours(fastest_kernels(), 2), true);
    for (std::size_t rank = 2; rank <= 6; ++rank)
        for (const std::size_t outputs : {1u, 3u, 4u}) {
            const std::string where =
                "/rank " + std::to_string(rank) + "/outputs " + std::to_string(outputs) + "/10000";
            add("naive" + where, of_rank(rank), outputs, 10'000, false, naive);
            add("phase floor" + where, of_rank(rank), outputs, 10'000, false, phase);
            add("grid" + where, of_rank(rank), outputs, 10'000, false, ours(fastest_kernels()));
        }
    add("naive/30720 nodes", {12, 10, 8, 8, 4}, 3, 10'000, false, naive);
    add("grid/30720 nodes", {12, 10, 8, 8, 4}, 3, 10'000, false, ours(fastest_kernels()));
    for (const long n : {5L, 8L, 16L, 32L, 64L, 128L, 1024L})
        add("grid/rank 1/" + std::to_string(n) + " breakpoints", {n}, 1, 10'000, false, ours(fastest_kernels()));
}

// One look-up through the public API; what is timed is compiled for this machine (single.cpp) or for any (baseline).
void single(benchmark::State& state, bool dependent, bool native) {
    Case& one = get(of_rank(static_cast<std::size_t>(state.range(0))), 3, 10'000, false);
    const auto run = native ? (dependent ? single_dependent_native : single_independent_native)
                            : (dependent ? single_dependent_baseline : single_independent_baseline);
    for (auto _ : state) benchmark::DoNotOptimize(run(one.grid.view(), one.points.data(), one.count));
    state.counters["per_point"] = benchmark::Counter(
        static_cast<double>(one.count), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK_CAPTURE(single, independent native, false, true)->Arg(3)->Arg(4)->Arg(5);
BENCHMARK_CAPTURE(single, dependent native, true, true)->Arg(3)->Arg(4)->Arg(5);
BENCHMARK_CAPTURE(single, independent baseline, false, false)->Arg(3)->Arg(4)->Arg(5);
BENCHMARK_CAPTURE(single, dependent baseline, true, false)->Arg(3)->Arg(4)->Arg(5);

void sweeping(benchmark::State& state, std::size_t outputs, bool floor, unsigned threads) {
    Case& one = get(of_rank(5), outputs, 64, false);
    const std::array<std::size_t, 5> counts{20, 20, 10, 25, static_cast<std::size_t>(state.range(0))};
    std::array<std::vector<double>, 5> values;
    std::array<std::span<const double>, 5> spans;
    std::size_t size = 1;
    for (std::size_t k = 0; k < 5; ++k) {
        const auto b = one.grid.breakpoints(k);
        for (std::size_t q = 0; q < counts[k]; ++q)
            values[k].push_back(b.front() + (b.back() - b.front()) * (static_cast<double>(q) + 0.5) /
                                                static_cast<double>(counts[k]));
        spans[k] = values[k];
        size *= counts[k];
    }
    std::vector<double> out(size * outputs);
    for (auto _ : state) {
        if (floor)
            write_floor(out.data(), static_cast<long>(out.size()));
        else
            sweep(one.grid.view(), spans, out, on_threads(threads, fastest_kernels()));
        benchmark::ClobberMemory();
    }
    state.counters["per_point"] = benchmark::Counter(
        static_cast<double>(size), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK_CAPTURE(sweeping, write floor outputs 1, 1, true, 1)->Arg(10)->Arg(100);
BENCHMARK_CAPTURE(sweeping, sweep outputs 1, 1, false, 1)->Arg(10)->Arg(100);
BENCHMARK_CAPTURE(sweeping, write floor outputs 3, 3, true, 1)->Arg(10)->Arg(100);
BENCHMARK_CAPTURE(sweeping, sweep outputs 3, 3, false, 1)->Arg(10)->Arg(100);
BENCHMARK_CAPTURE(sweeping, sweep outputs 3 two threads, 3, false, 2)->Arg(10)->UseRealTime();

}  // namespace

int main(int argc, char** argv) {
    std::printf("clock %.2f GHz, kernels %s\n", clock_rate(), std::string(fastest_kernels().name()).c_str());
    add_all();
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 1;
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
