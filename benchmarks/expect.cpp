// Moist air against the published bisection, and whole expected capacities, by Google Benchmark. Times are nanoseconds
// a point. Run:  benchmark_expect --benchmark_repetitions=7 --benchmark_report_aggregates_only=true
#include "offnominal/expect.hpp"

#include <benchmark/benchmark.h>

#include <cmath>
#include <random>
#include <vector>

#include "offnominal/air/columns.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;

namespace {

constexpr std::size_t count = 10000;

/// States from -10 to 50 degC, 2 to 100 % relative humidity, 75 to 105 kPa.
struct Air {
    std::vector<double> t, w, p, out;
    Air() : out(count) {
        std::mt19937_64 random(5);
        const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
        for (std::size_t i = 0; i < count; ++i) {
            t.push_back(uniform(-10, 50));
            p.push_back(uniform(75e3, 105e3));
            w.push_back(air::si::humidity_ratio(uniform(0.02, 1.0) * air::si::saturation_pressure(t.back()), p.back()));
        }
    }
};

/// The loop that ASHRAE's equations are commonly published with: bisection from dew point to dry bulb, here to 0.001 K,
/// with the C library's exponential and logarithm and no power function.
double saturation_by_libm(double t) {
    const double T = t + 273.15;
    if (t <= 0.01)
        return std::exp(-5.6745359e3 / T + 6.3925247 - 9.677843e-3 * T + 6.2215701e-7 * T * T +
                        2.0747825e-9 * T * T * T - 9.484024e-13 * T * T * T * T + 4.1635019 * std::log(T));
    return std::exp(-5.8002206e3 / T + 1.3914993 - 4.8640239e-2 * T + 4.1764768e-5 * T * T - 1.4452093e-8 * T * T * T +
                    6.5459673 * std::log(T));
}
double bisection(double t, double w, double p) {
    double low = air::si::dew_point(air::si::vapour_pressure(w, p)), high = t, middle = 0.5 * (low + high);
    while (high - low > 0.001) {
        const double ps = saturation_by_libm(middle), ws = 0.621945 * ps / (p - ps);
        const double found =
            middle >= 0 ? ((2501.0 - 2.326 * middle) * ws - 1.006 * (t - middle)) / (2501.0 + 1.86 * t - 4.186 * middle)
                        : ((2830.0 - 0.24 * middle) * ws - 1.006 * (t - middle)) / (2830.0 + 1.86 * t - 2.1 * middle);
        (found > w ? high : low) = middle;
        middle = 0.5 * (low + high);
    }
    return middle;
}

void points(benchmark::State& state, std::size_t each) {
    state.counters["ns/point"] = benchmark::Counter(
        static_cast<double>(each) * 1e-9, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

template <class F>
void one_by_one(benchmark::State& state, F wet_bulb) {
    Air a;
    for (auto _ : state) {
        for (std::size_t i = 0; i < count; ++i) a.out[i] = wet_bulb(a.t[i], a.w[i], a.p[i]);
        benchmark::DoNotOptimize(a.out.data());
    }
    points(state, count);
}
void wet_bulb_bisection(benchmark::State& state) {
    one_by_one(state, [](double t, double w, double p) { return bisection(t, w, p); });
}
void wet_bulb_one_by_one(benchmark::State& state) {
    one_by_one(state, [](double t, double w, double p) { return air::si::wet_bulb(t, w, p); });
}
void wet_bulb_columns(benchmark::State& state) {
    Air a;
    for (auto _ : state) {
        air::fastest_columns().wet_bulbs(count, a.t.data(), a.w.data(), a.p.data(), a.out.data());
        benchmark::DoNotOptimize(a.out.data());
    }
    points(state, count);
}

/// Wet-coil questions to the demo machine in its high stage, at sea level or at 4,690 ft.
struct Questions {
    System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    std::vector<double> outdoor, entering, wet_bulb, flow;
    double fan = 420.0, elevation;
    std::int32_t only = 0;
    std::string_view stage = "high", match = "indoor A";
    ExpectBatch batch;
    std::vector<std::vector<double>> numbers{13, std::vector<double>(count)};
    std::vector<Reason> reason = std::vector<Reason>(count);
    std::vector<Footing> footing = std::vector<Footing>(count);
    std::vector<Notes> notes = std::vector<Notes>(count);
    ExpectColumns out;

    explicit Questions(double feet) : elevation(feet) {
        std::mt19937_64 random(9);
        const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
        for (std::size_t i = 0; i < count; ++i) {
            outdoor.push_back(uniform(75, 115));
            entering.push_back(uniform(76, 82));
            wet_bulb.push_back(uniform(67, 71));
            flow.push_back(uniform(800, 1000));
        }
        batch.stage = {{&stage, 1}, &only, 0};
        batch.match = {{&match, 1}, &only, 0};
        batch[Slot::outdoor_dry_bulb] = {outdoor.data(), 1, units::degF};
        batch[Slot::entering_dry_bulb] = {entering.data(), 1, units::degF};
        batch[Slot::entering_humidity] = {wet_bulb.data(), 1, units::degF};
        batch[Slot::airflow] = {flow.data(), 1, units::cfm};
        batch[Slot::elevation] = {&elevation, 0, units::ft};
        batch[Slot::fan_power] = {&fan, 0, units::W};
        batch.values.airflow.kind = AirflowReading::Kind::standard;
        batch.line = ExpectBatch::Line::reference;
        batch.values.boundary = Boundary::coil_and_fan;
        OutColumn* const all[] = {&out["total_capacity"],
                                  &out["sensible_capacity"],
                                  &out["latent_capacity"],
                                  &out["power"],
                                  &out["system_power"],
                                  &out["leaving_dry_bulb"],
                                  &out["leaving_wet_bulb"],
                                  &out["leaving_relative_humidity"],
                                  &out["split"],
                                  &out["uncertainty"],
                                  &out["standard_airflow"],
                                  &out["mass_flow"],
                                  &out["bypass"]};
        for (std::size_t k = 0; k < numbers.size(); ++k) *all[k] = {numbers[k].data(), units::one};
        out.reason = reason.data();
        out.footing = footing.data();
        out.notes = notes.data();
    }
};

void expect_one_by_one(benchmark::State& state) {
    const Questions q(static_cast<double>(state.range(0)));
    std::vector<Conditions> conditions;
    for (std::size_t i = 0; i < count; ++i) conditions.push_back(q.batch.conditions(i));
    for (auto _ : state)
        for (const Conditions& c : conditions) {
            const auto answer = try_expect(q.system, q.batch.site(0), c);
            benchmark::DoNotOptimize(&answer);
        }
    points(state, count);
}
void expect_batch(benchmark::State& state) {
    Questions q(static_cast<double>(state.range(0)));
    for (auto _ : state) {
        expect_rows(q.system, q.batch, 0, count, q.out, air::fastest_columns(), fastest_kernels());
        benchmark::DoNotOptimize(q.numbers[0].data());
    }
    points(state, count);
}

BENCHMARK(wet_bulb_bisection);
BENCHMARK(wet_bulb_one_by_one);
BENCHMARK(wet_bulb_columns);
BENCHMARK(expect_one_by_one)->ArgName("feet")->Arg(0)->Arg(4690);
BENCHMARK(expect_batch)->ArgName("feet")->Arg(0)->Arg(4690);

}  // namespace

BENCHMARK_MAIN();
