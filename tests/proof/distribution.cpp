// The distribution of a ratio: draws and first order against published figures, and against each other.
#include "../../src/proof/distribution.hpp"

#include <doctest/doctest.h>

#include <numeric>

#include "../../src/proof/evidence.hpp"
#include "../../src/proof/inputs.hpp"
#include "../support/example_7.hpp"
#include "../support/near.hpp"

using namespace unit_a;
using offnominal::detail::Draws;
using offnominal::detail::Known;

namespace {

/// What draws say of `f` of these quantities, none of which go together.
template <std::size_t N>
detail::Spread spread(const std::array<Known, N>& known, double (*f)(const std::array<double, N>&)) {
    std::array<double, N * N> identity{};
    for (std::size_t i = 0; i < N; ++i) identity[i * N + i] = 1.0;
    // Of sixteen seeds, since a 95 % interval of 4096 draws is good to 0.03 standard deviations.
    std::vector<double> values;
    for (std::uint64_t seed = 1; seed <= 16; ++seed) {
        const Draws draws(known, identity, seed);
        std::array<double, N> x{};
        for (std::size_t i = 0; i < Draws::count; ++i) {
            draws.at(i, x);
            values.push_back(f(x));
        }
    }
    return detail::spread_of(values, std::vector<double>(values.size(), 1.0));
}
double sum_of_four(const std::array<double, 4>& x) { return x[0] + x[1] + x[2] + x[3]; }

}  // namespace

TEST_CASE("Philox 4x32-10 gives the words that its authors print (Random123 known answers, from memory)") {
    using Words = std::array<std::uint32_t, 4>;
    CHECK(detail::philox({0, 0, 0, 0}, {0, 0}) == Words{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8});
    constexpr std::uint32_t all = 0xffffffff;
    CHECK(detail::philox({all, all, all, all}, {all, all}) == Words{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd});
    CHECK(detail::philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}) ==
          Words{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1});
}

TEST_CASE("JCGM 101:2008, 9.2: the sum of four, normal and rectangular (published/gum_jcgm106_examples.yaml)") {
    const auto normal = spread(std::array<Known, 4>{{{0, 1}, {0, 1}, {0, 1}, {0, 1}}}, sum_of_four);
    CHECK(near(normal.standard, 2.0, absolute(0.005)));
    CHECK(near(normal.mean, 0.0, absolute(0.005)));
    CHECK(near(normal.low, -3.92, absolute(0.02)));
    CHECK(near(normal.high, 3.92, absolute(0.02)));
    constexpr Shape flat = Shape::rectangular;
    const auto rectangular =
        spread(std::array<Known, 4>{{{0, 1, flat}, {0, 1, flat}, {0, 1, flat}, {0, 1, flat}}}, sum_of_four);
    CHECK(near(rectangular.standard, 2.0, absolute(0.005)));
    CHECK(near(rectangular.low, -3.88, absolute(0.02)));
    CHECK(near(rectangular.high, 3.88, absolute(0.02)));
}

TEST_CASE("JCGM 100:2008, H.2: resistance and impedance of correlated readings (published/gum_jcgm106_examples.yaml)") {
    const std::array<Known, 3> known{{{4.999, 0.0032}, {0.019661, 0.0000095}, {1.04446, 0.00075}}};
    const std::array<double, 9> correlation{1, -0.36, 0.86, -0.36, 1, -0.65, 0.86, -0.65, 1};
    const Draws draws(known, correlation, 7);
    std::vector<double> r, x, z, ones(Draws::count, 1.0);
    std::array<double, 3> at{};
    for (std::size_t i = 0; i < Draws::count; ++i) {
        draws.at(i, at);
        r.push_back(at[0] * std::cos(at[2]) / at[1]);
        x.push_back(at[0] * std::sin(at[2]) / at[1]);
        z.push_back(at[0] / at[1]);
    }
    const auto of_r = detail::spread_of(r, ones), of_x = detail::spread_of(x, ones), of_z = detail::spread_of(z, ones);
    CHECK(near(of_r.mean, 127.732, absolute(0.001)));
    CHECK(near(of_x.mean, 219.847, absolute(0.002)));
    CHECK(near(of_z.mean, 254.260, absolute(0.002)));
    CHECK(near(of_r.standard, 0.0699787, relative(0.01)));
    CHECK(near(of_x.standard, 0.2957168, relative(0.01)));
    CHECK(near(of_z.standard, 0.2366030, relative(0.01)));
}

TEST_CASE(
    "JCGM 100:2008, H.2 by first order, unrounded as another package has them (published/gum_jcgm106_examples.yaml)") {
    const double v = 4.999, i = 0.019661, phi = 1.04446, u_v = 0.0032, u_i = 0.0000095, u_phi = 0.00075;
    detail::Correlations k;
    for (std::size_t n = 0; n < input_count; ++n) k.add(n, n, 1.0);
    const auto share = [&](std::size_t a, std::size_t b, double r) {
        k.add(a, b, r);
        k.add(b, a, r);
    };
    share(0, 1, -0.36);
    share(0, 2, 0.86);
    share(1, 2, -0.65);
    const double r = v * std::cos(phi) / i, x = v * std::sin(phi) / i, z = v / i;
    // What each does, by its standard uncertainty.
    const detail::Contributions of_r{r * u_v / v, -r * u_i / i, -x * u_phi}, of_x{x * u_v / v, -x * u_i / i, r * u_phi},
        of_z{z * u_v / v, -z * u_i / i, 0.0};
    const auto u = [&](const detail::Contributions& c) { return std::sqrt(detail::covariance(k, c, c)); };
    CHECK(near(r, 127.73217, absolute(5e-6)));
    CHECK(near(x, 219.84651, absolute(5e-6)));
    CHECK(near(z, 254.25970, absolute(5e-6)));
    CHECK(near(u(of_r), 0.0699787279884, relative(1e-11)));
    CHECK(near(u(of_x), 0.295716826846, relative(1e-11)));
    CHECK(near(u(of_z), 0.236602971835, relative(1e-11)));
    CHECK(near(detail::covariance(k, of_r, of_x) / (u(of_r) * u(of_x)), -0.591484610819, absolute(1e-11)));
    CHECK(near(detail::covariance(k, of_x, of_z) / (u(of_x) * u(of_z)), 0.992797472722, absolute(1e-11)));
    CHECK(near(detail::covariance(k, of_r, of_z) / (u(of_r) * u(of_z)), -0.490623905441, absolute(1e-11)));
}

TEST_CASE("the chance of a chi-square, of one to three degrees of freedom (scipy.stats.chi2.sf)") {
    detail::Residuals residuals;
    for (const double expected : {0.317310507862914, 0.367879441171442, 0.391625176271089}) {
        detail::Residual one{1.0, {}, {}};
        one.own[residuals.size()] = 1.0;
        residuals.add(one);
        const detail::Fit fit = detail::fit(residuals, detail::Correlations());
        CHECK(near(fit.chi_square, static_cast<double>(residuals.size()), relative(1e-14)));
        CHECK(near(fit.probability, expected, relative(1e-13)));
    }
}

TEST_CASE("correlations that cannot be are refused, one probe with itself is not") {
    const std::array<double, 9> cannot{1, 0.9, 0, 0.9, 1, 0.9, 0, 0.9, 1}, same{1, 1, 1, 1, 1, 1, 1, 1, 1};
    CHECK_THROWS_AS(detail::check_correlations(cannot), InputError);
    CHECK_NOTHROW(detail::check_correlations(same));
    Visit v = example_7();
    v.of(Input::return_dry_bulb).instrument = "a";
    v.of(Input::supply_dry_bulb).instrument = "b";
    v.of(Input::outdoor_dry_bulb).instrument = "c";
    v.side_by_side = {{"a", "b", 0.9}, {"b", "c", 0.9}, {"a", "c", 0.0}};
    CHECK_THROWS_WITH_AS((void)prove(exact_page(), v), doctest::Contains("correlations that cannot be"), InputError);
}

TEST_CASE("the same visit gives the same digits, and draws stop where few of them tell the verdict") {
    Visit v = example_7();
    v.of(Input::airflow).standard = 0.15 * v.readings.airflow.si;
    v.of(Input::airflow).shape = Shape::rectangular;  // outweighs the rest
    const Proof once = prove(exact_page(), v), again = prove(exact_page(), v);
    REQUIRE(once.method == Method::draws);
    CHECK(once.probability == again.probability);
    CHECK(once.ratio_low == again.ratio_low);
    v.limit = *once.ratio;
    const Proof open = prove(exact_page(), v);  // a chance of about a half leaves no doubt that it is open
    v.limit = *once.ratio - 1.5 * once.ratio_u;
    const Proof near_limit = prove(exact_page(), v);
    const auto of_512 = [](const Proof& p) { return std::fmod(512.0 * p.probability, 1.0) == 0.0; };
    CHECK(near(open.probability, 0.5, absolute(0.1)));
    CHECK(of_512(open));
    CHECK(near(near_limit.probability, 0.95, absolute(0.03)));
    CHECK_FALSE(of_512(near_limit));
    CHECK(near(*open.ratio, *near_limit.ratio, absolute(0.02 * once.ratio_u)));
    CHECK(near(open.ratio_u, near_limit.ratio_u, relative(0.02)));
    CHECK(near(open.ratio_low, near_limit.ratio_low, absolute(0.1 * once.ratio_u)));
}

TEST_CASE("an airflow error is one of gain: what flows is the reading over 1 + error, and the ratio leans up") {
    Visit v = example_7();
    for (Uncertain& u : v.uncertainty) u.standard = 1e-6;
    v.of(Input::airflow).standard = 0.10 * v.readings.airflow.si;
    const Proof p = prove(exact_page(), v);
    CHECK(*p.ratio > as_read(p) * 1.005);  // the mean of 1 / (1 + error) is 1 + u squared
    CHECK(p.ratio_high - *p.ratio > *p.ratio - p.ratio_low);
}

TEST_CASE("nearly normal: a quotient has its skew, and a rectangular quantity its flatness") {
    // 1 / (1 + v), v normal: what is at least 1 / (1 + x) is what is at most x.
    const double u = 0.07, mean = 1.0 + u * u, skewness = 6.0 * u;
    const detail::NearNormal quotient{mean, u, skewness, 0.0};
    for (const double z : {-2.0, -1.645, -1.0, 0.0, 1.0, 1.645, 2.0})
        CHECK(near(quotient.probability_at_least(1.0 / (1.0 + z * u)), 0.5 * std::erfc(-z / std::sqrt(2.0)),
                   absolute(0.003)));
    // Of poor instruments the parabola is off by 0.005 to 0.01; with a cubic, through the ends two standard
    // uncertainties either way, by less than 0.0005.
    const double poor = 0.12, low = 1.0 / (1.0 + 2.0 * poor), high = 1.0 / (1.0 - 2.0 * poor),
                 lean = 6.0 * (0.5 * (low + high) - 1.0) / 4.0 / poor,
                 third = (0.5 * (high - low) - 2.0 * poor) / 8.0 / poor;
    const detail::NearNormal parabola{1.0 + poor * poor, poor, lean}, cubic{1.0 + poor * poor, poor, lean, 0.0, third};
    for (const double z : {-1.645, 1.645}) {
        const double limit = 1.0 / (1.0 + z * poor), chance = 0.5 * std::erfc(-z / std::sqrt(2.0));
        CHECK(near(cubic.probability_at_least(limit), chance, absolute(0.0005)));
        CHECK(std::abs(parabola.probability_at_least(limit) - chance) > 0.003);
    }
    const double z95 = 1.959963984540054;
    CHECK(near(quotient.spread().low, 1.0 / (1.0 + z95 * u), absolute(0.04 * u)));
    CHECK(near(quotient.spread().high, 1.0 / (1.0 - z95 * u), absolute(0.07 * u)));
    // Half of the variance rectangular, half normal, against draws.
    const auto drawn = spread(
        std::array<Known, 2>{{{0, std::sqrt(0.5)}, {0, std::sqrt(0.5), Shape::rectangular}}},
        +[](const std::array<double, 2>& x) { return x[0] + x[1]; });
    const auto told = detail::NearNormal{0.0, 1.0, 0.0, -1.2 * 0.25}.spread();
    CHECK(near(told.high, drawn.high, absolute(0.03)));
    CHECK(near(told.low, drawn.low, absolute(0.03)));
    CHECK(detail::NearNormal{0.9, 0.0}.probability_at_least(0.9) == 1.0);
    CHECK(detail::NearNormal{0.9, 0.0}.probability_at_least(0.91) == 0.0);
    CHECK(quotient.probability_at_least(-10.0) == 1.0);
}
