// Means of readings that follow each other, and what their intervals cover.
#include "offnominal/field/mean.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "../support/near.hpp"
#include "offnominal/errors.hpp"

using namespace offnominal;

namespace {

/// A process with one time constant: each reading keeps `memory` of the last.
std::vector<double> with_memory(std::mt19937_64& random, double memory, std::size_t n) {
    std::normal_distribution<double> normal;
    std::vector<double> out{normal(random) / std::sqrt(1.0 - memory * memory)};
    while (out.size() < n) out.push_back(memory * out.back() + normal(random));
    return out;
}

}  // namespace

TEST_CASE("JCGM 100:2008, G.4.1: three relative uncertainties, their effective degrees of freedom, and U95") {
    const UncertaintyPart together =
        combined(std::vector<UncertaintyPart>{{0.25, 9}, {0.57, 4}, {0.82, 14}});  // percent
    CHECK(near(together.standard, 1.03, absolute(0.005)));
    CHECK(near(together.degrees_of_freedom, 19.0, absolute(0.05)));
    CHECK(near(coverage_factor(together.degrees_of_freedom), 2.09, absolute(0.005)));
    CHECK(near(coverage_factor(together.degrees_of_freedom) * together.standard, 2.2, absolute(0.05)));
}

TEST_CASE("JCGM 100:2008, H.1: the comparator of the end gauge, and the whole, unrounded as another package has them") {
    const UncertaintyPart comparator = combined(std::vector<UncertaintyPart>{{5.8, 24}, {3.9, 5}, {6.7, 8}});
    CHECK(near(comparator.standard, 9.68194195397, relative(1e-11)));
    CHECK(near(comparator.degrees_of_freedom, 25.4472507774, relative(1e-11)));
    const UncertaintyPart length =
        combined(std::vector<UncertaintyPart>{{25, 18}, comparator, {2.88675134595, 50}, {16.5988202392, 2}});
    CHECK(near(length.standard, 31.6637674111, relative(1e-10)));
    CHECK(near(length.degrees_of_freedom, 16.7521475092, relative(1e-10)));
    CHECK(near(coverage_factor(16, 0.99), 2.92, absolute(0.005)));
}

TEST_CASE("an instrument's own uncertainty, known without readings, adds no doubt of its own") {
    const UncertaintyPart together =
        combined(std::vector<UncertaintyPart>{{0.57, 9}, {0.25, std::numeric_limits<double>::infinity()}});
    CHECK(near(together.degrees_of_freedom, 12.8, absolute(0.05)));  // a course's example
    CHECK(near(coverage_factor(std::numeric_limits<double>::infinity()), 1.959964, absolute(5e-7)));
    CHECK(combined(std::vector<UncertaintyPart>{}).standard == 0.0);
    CHECK(std::isinf(combined(std::vector<UncertaintyPart>{{0.0, 3}}).degrees_of_freedom));
    CHECK(near(combined(std::vector<UncertaintyPart>{{1e-200, 4}}).degrees_of_freedom, 4.0, relative(1e-12)));
}

TEST_CASE("the 95 % interval of a mean covers 93 to 97 %, whatever the memory of the readings") {
    std::mt19937_64 random(20260726);
    struct Case {
        double memory;
        std::size_t n;
    };
    for (const Case& one :
         {Case{0.0, 30}, {0.3, 60}, {0.6, 60}, {0.8, 60}, {0.0, 600}, {0.6, 600}, {0.9, 600}, {0.95, 600}}) {
        const double memory = one.memory;
        const std::size_t n = one.n;
        CAPTURE(memory);
        CAPTURE(n);
        constexpr int runs = 3000;
        int covered = 0;
        for (int run = 0; run < runs; ++run) {
            const SeriesMean m = mean_of(with_memory(random, memory, n));
            covered += std::abs(m.value) <= coverage_factor(m.degrees_of_freedom) * m.standard;
        }
        CHECK(covered >= 0.93 * runs);
        CHECK(covered <= 0.97 * runs);
    }
}

TEST_CASE("readings with a memory tell as much as fewer without") {
    std::mt19937_64 random(7);
    const SeriesMean m = mean_of(with_memory(random, 0.9, 20000));
    CHECK(near(m.effective_samples, 20000.0 * 0.1 / 1.9, relative(0.15)));
    CHECK(m.samples == 20000);
    const SeriesMean fresh = mean_of(with_memory(random, 0.0, 20000));
    CHECK(fresh.effective_samples > 18000.0);
    CHECK(near(fresh.standard, fresh.deviation / std::sqrt(fresh.effective_samples), relative(1e-3)));
}

TEST_CASE("shift and scale go through a mean") {
    std::mt19937_64 random(11);
    const std::vector<double> x = with_memory(random, 0.7, 300);
    const SeriesMean m = mean_of(x);
    for (const double scale : {1e-6, -3.0, 1e6}) {
        for (const double shift : {0.0, 25.0, -1e5}) {
            std::vector<double> y = x;
            for (double& one : y) one = shift + scale * one;
            const SeriesMean other = mean_of(y);
            // Readings of 1e5 that move by 1e-6 have lost the digits.
            const double lost = std::abs(shift) * 1e-14 / std::abs(scale);
            CHECK(near(other.value, shift + scale * m.value, absolute(1e-13 * (std::abs(shift) + std::abs(scale)))));
            CHECK(near(other.standard, std::abs(scale) * m.standard, relative(1e-11 + lost)));
            CHECK(near(other.effective_samples, m.effective_samples, relative(1e-10 + lost)));
        }
    }
}

TEST_CASE("two readings are enough, and say how little they are") {
    const SeriesMean m = mean_of({20.0, 20.4});
    CHECK(near(m.value, 20.2, relative(1e-15)));
    CHECK(near(m.standard, 0.2, relative(1e-12)));
    CHECK(m.degrees_of_freedom == 1.0);
    const SeriesMean flat = mean_of({20.0, 20.0, 20.0});
    CHECK(flat.value == 20.0);
    CHECK(flat.standard == 0.0);
    CHECK(flat.degrees_of_freedom == 2.0);
}

TEST_CASE("what no mean is made of is named") {
    CHECK_THROWS_WITH_AS((void)mean_of({20.0}), "readings: too few: '1'; accepted: at least 2", InputError);
    CHECK_THROWS_WITH_AS((void)mean_of({20.0, NAN, 21.0}),
                         "readings 2: not a number: 'nan'; accepted: a finite number; leave out what is missing",
                         InputError);
    CHECK_THROWS_WITH_AS((void)combined({{1.0, 4}, {-1.0, 4}}),
                         "part 2: not a standard uncertainty: '-1'; accepted: 0 or more", InputError);
    CHECK_THROWS_WITH_AS((void)combined({{1.0, 0}}),
                         "part 1: not degrees of freedom: '0'; accepted: above 0; infinite where there is no doubt",
                         InputError);
    CHECK_THROWS_WITH_AS((void)coverage_factor(-1.0), "not degrees of freedom: '-1'; accepted: above 0", InputError);
    CHECK_THROWS_WITH_AS((void)coverage_factor(5.0, 95.0),
                         "not a probability of coverage: '95'; accepted: between 0 and 1", InputError);
}
