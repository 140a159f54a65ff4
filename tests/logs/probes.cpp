// Probes side by side, probes across a duct, and calibrations that expire.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <utility>

#include "../support/near.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/field/calibration.hpp"
#include "offnominal/field/compare.hpp"
#include "offnominal/field/duct.hpp"
#include "offnominal/field/visit.hpp"

using namespace offnominal;

namespace {

/// Five minutes of two probes in one stream that wanders by itself.
struct Compared {
    std::vector<double> times, first, second;
};
Compared compared(double offset, double drift = 0.0, double noise = 0.03, std::uint64_t seed = 1, std::size_t n = 150) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    Compared out;
    double air = 24.0;
    for (std::size_t i = 0; i < n; ++i) {
        air += 0.02 * normal(random);
        const double share = static_cast<double>(i) / static_cast<double>(n - 1);
        out.times.push_back(2.0 * static_cast<double>(i));
        out.first.push_back(air + noise * normal(random));
        out.second.push_back(air + offset + drift * (share - 0.5) + noise * normal(random));
    }
    return out;
}
ProbeComparison judged(const Compared& c, double first = NAN, double second = NAN) {
    ProbeCriteria criteria = ProbeCriteria::of(Dimension::temperature);
    criteria.first = first;
    criteria.second = second;
    return compare_probes(c.times, c.first, c.second, criteria);
}

}  // namespace

TEST_CASE("two probes that agree are used as they are, two that are steadily apart are corrected") {
    const ProbeComparison close = judged(compared(0.1));
    CHECK(close.finding == ProbeFinding::agree);
    CHECK(near(close.offset.value, 0.1, absolute(0.01)));
    CHECK(close.log_correlation > 0.5);
    const ProbeComparison apart = judged(compared(0.4));
    CHECK(apart.finding == ProbeFinding::apart);
    CHECK(row_of(apart.finding)->advice == ProbeAdvice::apply);
    CHECK(near(apart.offset.value, 0.4, absolute(0.01)));
    CHECK(apart.own < close.own);  // once the offset is applied, none is left
}

TEST_CASE("a pair is replaced where it drifts, is too noisy to tell, or is further apart than both may be") {
    CHECK(judged(compared(0.0, 0.5)).finding == ProbeFinding::drifts);
    CHECK(judged(compared(0.9, 0.0, 2.0, 3, 20)).finding == ProbeFinding::too_short);
    CHECK(judged(compared(0.6), 0.12, 0.12).finding == ProbeFinding::out_of_tolerance);
    CHECK(judged(compared(0.3), 0.12, 0.12).finding == ProbeFinding::apart);
    for (const auto& row : words_of<ProbeFinding>) CHECK_FALSE(row.text.empty());
    CHECK(std::isnan(judged(compared(0.6), 0.12, 0.12).correlation));
}

TEST_CASE("what two corrected probes share is the error of what they were corrected to") {
    const ProbeComparison c = judged(compared(0.4), 0.2, 0.2);
    REQUIRE(c.finding == ProbeFinding::apart);
    CHECK(near(c.correlation, 0.2 / std::hypot(0.2, c.own), relative(1e-15)));
    CHECK(c.correlation > 0.95);
    SideBySide said;
    said.correlation = c.correlation;
    CHECK(said.correlation <= 1.0);
    // As they are, the offset that was left in is their own.
    const ProbeComparison left = judged(compared(0.15), 0.2, 0.2);
    REQUIRE(left.finding == ProbeFinding::agree);
    CHECK(left.correlation < c.correlation);
    CHECK(std::isnan(judged(compared(0.1)).correlation));
}

TEST_CASE("the offset's interval covers it, and the drift's covers that") {
    int offset = 0, drift = 0;
    constexpr int runs = 1000;
    for (int run = 0; run < runs; ++run) {
        const ProbeComparison c = judged(compared(0.4, 0.05, 0.05, 100 + static_cast<std::uint64_t>(run)));
        offset += std::abs(c.offset.value - 0.4) <= coverage_factor(c.offset.degrees_of_freedom) * c.offset.standard;
        drift += std::abs(c.drift - 0.05) <= coverage_factor(c.offset.degrees_of_freedom) * c.drift_standard;
    }
    CHECK(offset >= 0.93 * runs);
    CHECK(drift >= 0.93 * runs);
    CHECK(drift <= 0.98 * runs);
}

TEST_CASE("which probe is first turns the signs and nothing else, and another zero turns nothing") {
    Compared c = compared(0.25, 0.08);
    const ProbeComparison one = judged(c);
    std::swap(c.first, c.second);
    const ProbeComparison other = judged(c);
    CHECK(near(other.offset.value, -one.offset.value, relative(1e-12)));
    CHECK(near(other.drift, -one.drift, relative(1e-9)));
    CHECK(near(other.log_correlation, one.log_correlation, relative(1e-12)));
    for (double& x : c.first) x += 273.15;
    for (double& x : c.second) x += 273.15;
    CHECK(near(judged(c).offset.value, other.offset.value, relative(1e-10)));
}

TEST_CASE("comparisons that cannot be are named") {
    const ProbeCriteria of = ProbeCriteria::of(Dimension::ratio);
    const std::vector<double> ten(10, 0.5), nine(9, 0.5), times{1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    CHECK_THROWS_WITH_AS((void)compare_probes(times, ten, nine, of),
                         "first and second: unlike in number: '10 and 9'; accepted: one of each at each time",
                         InputError);
    CHECK_THROWS_WITH_AS((void)compare_probes({1, 2, 3, 4, 5, 6, 7, 8, 9}, nine, nine, of),
                         "first: too few: '9'; accepted: at least 10", InputError);
    CHECK_THROWS_WITH_AS((void)compare_probes(ten, ten, ten, of),
                         "times 2: the same as the one before: '0.5'; accepted: times that rise, each once",
                         InputError);
    CHECK_THROWS_WITH_AS((void)compare_probes(times, ten, ten, ProbeCriteria{}),
                         "agreement: not a greatest offset: '0'; accepted: above 0", InputError);
    ProbeCriteria exact = of;
    exact.second = 0.0;
    CHECK_THROWS_WITH_AS((void)compare_probes(times, ten, ten, exact),
                         "second probe: not a standard uncertainty: '0'; accepted: above 0", InputError);
    CHECK_THROWS_WITH_AS(
        (void)ProbeCriteria::of(Dimension::power),
        "no agreement is usual for two probes of this: 'power'; accepted: temperature, ratio; else an agreement of "
        "your own",
        InputError);
    const ProbeComparison still = compare_probes(times, ten, ten, of);
    CHECK(still.finding == ProbeFinding::agree);
    CHECK(std::isnan(still.log_correlation));
}

TEST_CASE("a stratified duct: mean, spread, and how well the mean is known") {
    const DuctMean m = duct_mean({13.1, 13.9, 14.4, 12.8, 13.3});
    CHECK(near(m.value, 13.5, relative(1e-15)));
    CHECK(near(m.spread, 1.6, relative(1e-14)));
    CHECK(near(m.standard, std::sqrt(1.66 / 4 / 5), relative(1e-12)));  // s / sqrt(n), by hand
    CHECK(near(m.degrees_of_freedom, 4.0, relative(1e-12)));
    CHECK_FALSE(m.few);
    CHECK(duct_mean({13.1, 13.9}).few);
}

TEST_CASE("faster air counts for more, and even velocities for nothing") {
    const std::vector<double> x{13.1, 13.9, 14.4, 12.8, 13.3};
    const DuctMean plain = duct_mean(x), even = duct_mean(x, {3, 3, 3, 3, 3});
    CHECK(near(even.value, plain.value, relative(1e-15)));
    CHECK(near(even.standard, plain.standard, relative(1e-14)));
    const DuctMean weighted = duct_mean({10.0, 20.0}, {3.0, 1.0});
    CHECK(weighted.value == 12.5);
    CHECK(near(weighted.standard, std::sqrt(2.0 * (0.5625 * 6.25 + 0.0625 * 56.25)), relative(1e-14)));
    CHECK(duct_mean(x, {1, 2, 3, 4, 5}, 0.2).standard > duct_mean(x, {1, 2, 3, 4, 5}).standard);
    const DuctMean shared = duct_mean(x, {}, 0.0, 0.3);
    CHECK(near(shared.standard, std::hypot(plain.standard, 0.3), relative(1e-14)));
    CHECK(shared.degrees_of_freedom > plain.degrees_of_freedom);
    CHECK_THROWS_WITH_AS((void)duct_mean({13.1}), "readings: too few: '1'; accepted: at least 2", InputError);
    CHECK_THROWS_WITH_AS(
        (void)duct_mean(x, {1, 2, -3, 4, 5}),
        "velocities 3: not a velocity: '-3'; accepted: above 0; air that flows back is no part of a mean", InputError);
    CHECK_THROWS_WITH_AS((void)duct_mean(x, {1, 2}),
                         "readings and velocities: unlike in number: '5 and 2'; accepted: one of each at each time",
                         InputError);
    CHECK_THROWS_WITH_AS((void)duct_mean(x, {}, 0.0, -1.0),
                         "shared: not a standard uncertainty: '-1'; accepted: 0 or more", InputError);
}

TEST_CASE("a calibration holds for its months, to the day") {
    const CalibrationState last = calibration_on("2026-06-01", "2025-06-01", 12);
    CHECK(last.due == "2026-06-01");
    CHECK(last.days_left == 0);
    CHECK_FALSE(last.expired());
    const CalibrationState over = calibration_on("2026-07-28", "2025-06-01", 12);
    CHECK(over.expired());
    CHECK(calibration_note("probe 1", over) ==
          "probe 1: calibration expired on 2026-06-01, 57 days before the visit: its stated accuracy is no longer "
          "vouched for");
    CHECK(calibration_note("probe 1", last) == "probe 1: calibration expires on 2026-06-01, the day of the visit");
    CHECK(calibration_note("probe 1", calibration_on("2026-05-31", "2025-06-01", 12)) ==
          "probe 1: calibration expires on 2026-06-01, 1 day after the day of the visit");
    CHECK(calibration_note("probe 1", calibration_on("2025-07-28", "2025-06-01", 12)).empty());
    CHECK(calibration_on("2024-02-01", "2024-01-31", 1).due == "2024-02-29");
}

TEST_CASE("days that are none are named") {
    CHECK_THROWS_WITH_AS((void)calibration_on("2026-02-30", "2025-06-01", 12),
                         "day of the visit: not a day: '2026-02-30'; accepted: year, month and day, such as 2026-06-01",
                         InputError);
    CHECK_THROWS_WITH_AS((void)calibration_on("2026-07-28", "6/1/2025", 12),
                         "calibrated: not a day: '6/1/2025'; accepted: year, month and day, such as 2026-06-01",
                         InputError);
    CHECK_THROWS_WITH_AS((void)calibration_on("2025-05-28", "2025-06-01", 12),
                         "calibrated after the visit: '2025-06-01'; accepted: on or before 2025-05-28", InputError);
    CHECK_THROWS_WITH_AS((void)calibration_on("2026-07-28", "2025-06-01", 0),
                         "months a calibration holds: '0'; accepted: 1 to 120", InputError);
}
