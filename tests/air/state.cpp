// The typed face: five measures of humidity make the same state, and what is refused, with which fields.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>

#include "../support/doubles.hpp"
#include "../support/near.hpp"
#include "offnominal/air.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

const Pressure sea_level{101325.0};

Reason refused(Temperature dry_bulb, const air::Humidity& humidity, Pressure p = sea_level) {
    return air::try_state(dry_bulb, humidity, p).reason();
}

void check_reason(const Reason& r, Why why, About about) {
    CHECK(r.why == why);
    CHECK(r.about == about);
}

}  // namespace

TEST_CASE("a state made from any one measure of humidity answers with all the others") {
    std::mt19937_64 random(3);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    for (int i = 0; i < 20'000; ++i) {
        const Temperature t{-60.0 + 150.0 * share(random)};
        const Pressure p{50e3 + 60e3 * share(random)};
        const double most = std::min(1.0, 0.98 * p.si / air::si::saturation_pressure(t.si));
        const double rh = most * (0.001 + 0.999 * share(random));
        const auto s = air::state(t, air::relative_humidity(rh), p);
        CAPTURE(t.si);
        CAPTURE(p.si);
        CAPTURE(rh);
        CHECK(s.dry_bulb == t);
        CHECK(s.pressure == p);
        CHECK(near(air::relative_humidity(s).si, rh, relative(1e-13)));
        CHECK(air::dew_point(s)->si <= air::wet_bulb(s).si + 1e-9);
        CHECK(air::wet_bulb(s).si <= t.si);

        const auto same = [&](const air::Humidity& humidity, double relative) {
            const auto again = air::try_state(t, humidity, p);
            REQUIRE(again);
            const double W = s.humidity_ratio.si;
            CHECK(std::abs(again->humidity_ratio.si - W) <= relative * W * (1.0 + W) + 1e-15);
        };
        same(air::humidity_ratio(s.humidity_ratio), 0.0);
        same(air::enthalpy(air::enthalpy(s)), 1e-12);
        same(air::dew_point(*air::dew_point(s)), 2e-11);
        // A wet bulb of cold air says little about its vapour: what counts there is the kelvin, not the humidity ratio.
        const auto by_wet_bulb = air::try_state(t, air::wet_bulb(air::wet_bulb(s)), p);
        REQUIRE(by_wet_bulb);
        CHECK(near(air::wet_bulb(*by_wet_bulb).si, air::wet_bulb(s).si, absolute(1e-9)));
        CHECK_FALSE(by_wet_bulb->saturated_within_tolerance);
        // Over water the same vapour reads lower below the triple point, and the same above.
        const double over_water = air::relative_humidity(s, air::Over::water).si;
        same(air::relative_humidity(over_water, air::Over::water), 1e-13);
        CHECK((t.si < 0.0 ? over_water < rh : t.si < 0.01 || over_water == air::relative_humidity(s).si));
    }
}

TEST_CASE("the sensor's convention below freezing: 90 % over water is past 90 % over ice (trap 32)") {
    // Ratio of the two saturation pressures at -10 degC, ASHRAE eq. 5 and 6: 286.5 / 259.9 Pa.
    const auto s = air::state(Temperature{-10.0}, air::relative_humidity(0.90, air::Over::water), sea_level);
    CHECK(near(air::relative_humidity(s).si, 0.90 * 286.5 / 259.9, relative(4e-4)));
    const Reason r = refused(Temperature{-10.0}, air::relative_humidity(0.95, air::Over::water));
    check_reason(r, Why::supersaturated, About::relative_humidity);
    CHECK(near(r.upper, 259.9 / 286.5, relative(4e-4)));
}

TEST_CASE("refused: not finite, outside the domain") {
    const auto half = air::relative_humidity(0.5);
    for (const double bad : {not_a_number, infinity, -infinity}) {
        check_reason(refused(Temperature{bad}, half), Why::not_finite, About::dry_bulb);
        check_reason(refused(20_degC, half, Pressure{bad}), Why::not_finite, About::pressure);
        check_reason(refused(20_degC, air::wet_bulb(Temperature{bad})), Why::not_finite, About::wet_bulb);
        check_reason(refused(20_degC, air::relative_humidity(bad)), Why::not_finite, About::relative_humidity);
        check_reason(refused(20_degC, air::humidity_ratio(HumidityRatio{bad})), Why::not_finite, About::humidity_ratio);
        check_reason(refused(20_degC, air::dew_point(Temperature{bad})), Why::not_finite, About::dew_point);
        check_reason(refused(20_degC, air::enthalpy(SpecificEnthalpy{bad})), Why::not_finite, About::enthalpy);
    }
    CHECK(refused(Temperature{90.1}, half) == Reason{Why::outside, About::dry_bulb, -1, -1, 90.1, -60.0, 90.0});
    CHECK(refused(Temperature{-60.1}, half) == Reason{Why::outside, About::dry_bulb, -1, -1, -60.1, -60.0, 90.0});
    CHECK(refused(20_degC, half, 49_kPa) == Reason{Why::outside, About::pressure, -1, -1, 49e3, 50e3, 110e3});
    CHECK(refused(20_degC, half, 111_kPa) == Reason{Why::outside, About::pressure, -1, -1, 111e3, 50e3, 110e3});
    CHECK(air::try_state(Temperature{-60.0}, half, 50_kPa));
    CHECK(air::try_state(90_degC, half, 110_kPa));
    CHECK(air::try_state(20_degC, air::relative_humidity(0.0), sea_level));
    CHECK(air::try_state(20_degC, air::relative_humidity(1.0), sea_level));
}

TEST_CASE("refused: relative humidity in percent, and anything above 1") {
    CHECK(refused(76_degF, air::relative_humidity(55.0)) ==
          Reason{Why::outside, About::relative_humidity, -1, -1, 55.0, 0.0, 1.0});
    CHECK(refused(76_degF, air::relative_humidity(1.03)).why == Why::outside);
    CHECK(refused(76_degF, air::relative_humidity(-0.01)).why == Why::outside);
    CHECK_THROWS_WITH_AS((void)air::state(76_degF, air::relative_humidity(55.0), sea_level),
                         doctest::Contains("0.55, not 55"), Refused);
}

TEST_CASE("a wet bulb a little above the dry bulb is taken as saturated and says so, further above it is refused") {
    const auto s = air::state(76_degF, air::wet_bulb(76.19_degF), sea_level);
    CHECK(s.saturated_within_tolerance);
    CHECK(s.humidity_ratio.si == air::si::saturation_humidity_ratio(s.dry_bulb.si, sea_level.si));
    CHECK_FALSE(air::state(76_degF, air::wet_bulb(76_degF), sea_level).saturated_within_tolerance);

    const Reason r = refused(76_degF, air::wet_bulb(76.21_degF));
    check_reason(r, Why::supersaturated, About::wet_bulb);
    CHECK(r.upper == (76_degF).si);
    CHECK_THROWS_WITH_AS((void)air::state(76_degF, air::wet_bulb(80_degF), sea_level),
                         doctest::Contains("wet bulb 80 degF"), Refused);
}

TEST_CASE("a wet bulb lower than dry air could have is refused, with the lowest there is") {
    const Reason r = refused(76_degF, air::wet_bulb(40_degF));
    check_reason(r, Why::outside, About::wet_bulb);
    CHECK(r.lower == air::si::wet_bulb((76_degF).si, 0.0, sea_level.si));
    const auto driest = air::state(76_degF, air::wet_bulb(Temperature{r.lower}), sea_level);
    CHECK(driest.humidity_ratio.si < 1e-9);
    CHECK(refused(76_degF, air::wet_bulb(Temperature{r.lower - 1e-3})).why == Why::outside);
    for (const double far : {-50.0, -99.0, -200.0, -400.0, -1e300})
        check_reason(refused(76_degF, air::wet_bulb(Temperature{far})), Why::outside, About::wet_bulb);

    // At 10 degC dry air has a root on either wick: the lowest is told for the wick that was asked about.
    const Reason wet = refused(10_degC, air::wet_bulb(0_degC)),
                 frozen = refused(10_degC, air::wet_bulb(Temperature{-1.0}));
    CHECK(wet.lower == air::si::wet_bulb(10.0, 0.0, sea_level.si));
    CHECK(frozen.lower == air::si::wet_bulb(10.0, 0.0, sea_level.si, air::Wick::frozen));
    CHECK(wet.lower > 0.0);
    CHECK(frozen.lower < 0.0);
    for (const double lower : {wet.lower, frozen.lower})
        CHECK(air::try_state(10_degC, air::wet_bulb(Temperature{lower + 1e-6}), sea_level));
}

TEST_CASE("refused: more vapour than saturation allows, or less than none (trap 34)") {
    const double W = air::si::saturation_humidity_ratio(20.0, sea_level.si);
    CHECK(refused(20_degC, air::humidity_ratio(HumidityRatio{W * 1.001})) ==
          Reason{Why::supersaturated, About::humidity_ratio, -1, -1, W * 1.001, 0.0, W});
    CHECK(refused(20_degC, air::humidity_ratio(HumidityRatio{-1e-6})) ==
          Reason{Why::outside, About::humidity_ratio, -1, -1, -1e-6, 0.0, W});
    CHECK(refused(20_degC, air::dew_point(20.1_degC)) ==
          Reason{Why::supersaturated, About::dew_point, -1, -1, 20.1, -100.0, 20.0});
    CHECK(refused(20_degC, air::dew_point(Temperature{-101.0})).why == Why::outside);
    const Reason wet = refused(20_degC, air::enthalpy(SpecificEnthalpy{60e3}));
    check_reason(wet, Why::supersaturated, About::enthalpy);
    CHECK(wet.lower == air::si::enthalpy(20.0, 0.0));
    CHECK(wet.upper == air::si::enthalpy(20.0, W));
    check_reason(refused(20_degC, air::enthalpy(SpecificEnthalpy{20e3})), Why::outside, About::enthalpy);
}

TEST_CASE("refused: vapour pressure that would reach the station pressure") {
    const Temperature hot{89.0};
    const Pressure low{55e3};  // water boils at 83.7 degC
    const double boiling = air::si::dew_point(low.si);
    const Reason by_rh = refused(hot, air::relative_humidity(0.99), low);
    check_reason(by_rh, Why::boiling, About::relative_humidity);
    CHECK(air::try_state(hot, air::relative_humidity(by_rh.upper * 0.999), low));
    check_reason(refused(hot, air::dew_point(86_degC), low), Why::boiling, About::dew_point);
    const Reason by_wet_bulb = refused(hot, air::wet_bulb(86_degC), low);
    check_reason(by_wet_bulb, Why::boiling, About::wet_bulb);
    CHECK(by_wet_bulb.upper == boiling);
    // Short of boiling any humidity ratio is air.
    const auto steam = air::try_state(hot, air::humidity_ratio(HumidityRatio{50.0}), low);
    REQUIRE(steam);
    CHECK(air::wet_bulb(*steam).si < boiling);
    CHECK(air::vapour_pressure(*steam).si < low.si);
}

TEST_CASE("no answer is ever NaN or infinite: random and extreme input gives a sound state or a reason") {
    std::mt19937_64 random(4);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    const auto wild = [&](double low, double high) {
        const double u = share(random);
        if (u < 0.02) return not_a_number;
        if (u < 0.04) return infinity;
        if (u < 0.06) return -1e300;
        if (u < 0.08) return 1e300;
        if (u < 0.10) return 5e-324;
        return low + (high - low) * share(random);
    };
    long states = 0;
    for (int i = 0; i < 50'000; ++i) {
        const Temperature t{wild(-70.0, 100.0)};
        const Pressure p{wild(45e3, 115e3)};
        const air::Humidity humidity[] = {
            air::wet_bulb(Temperature{wild(-70.0, 100.0)}), air::relative_humidity(wild(-0.1, 1.1)),
            air::humidity_ratio(HumidityRatio{wild(-0.01, 0.1)}), air::dew_point(Temperature{wild(-110.0, 100.0)}),
            air::enthalpy(SpecificEnthalpy{wild(-70e3, 400e3)})};
        for (const air::Humidity& h : humidity) {
            const auto s = air::try_state(t, h, p);
            if (!s) continue;
            ++states;
            CAPTURE(t.si);
            CAPTURE(p.si);
            CAPTURE(s->humidity_ratio.si);
            for (const double x :
                 {air::wet_bulb(*s).si, air::wet_bulb(*s, air::Wick::frozen).si, air::enthalpy(*s).si,
                  air::volume(*s).si, air::relative_humidity(*s).si, air::vapour_pressure(*s).si, s->humidity_ratio.si})
                CHECK(std::isfinite(x));
            CHECK(air::relative_humidity(*s).si <= 1.0 + 1e-12);
            CHECK(s->humidity_ratio.si >= 0.0);
            if (const auto dew = air::dew_point(*s)) CHECK(std::isfinite(dew->si));
        }
    }
    CHECK(states > 10'000);
}

TEST_CASE("dry air has no dew point") {
    const auto dry = air::state(20_degC, air::relative_humidity(0.0), sea_level);
    check_reason(air::dew_point(dry).reason(), Why::outside, About::humidity_ratio);
    CHECK(air::wet_bulb(dry).si > 5.0);
}

TEST_CASE("monotone: more vapour means higher wet bulb, dew point, enthalpy and volume") {
    for (const Temperature t : {Temperature{-20.0}, 4_degC, 25_degC, 45_degC}) {
        auto last = air::state(t, air::relative_humidity(0.01), sea_level);
        for (double rh = 0.02; rh <= 1.0; rh += 0.01) {
            const auto next = air::state(t, air::relative_humidity(rh), sea_level);
            CHECK(air::wet_bulb(next) > air::wet_bulb(last));
            CHECK(*air::dew_point(next) > *air::dew_point(last));
            CHECK(air::enthalpy(next) > air::enthalpy(last));
            CHECK(air::volume(next) > air::volume(last));
            last = next;
        }
    }
}

TEST_CASE("mixing conserves mass, vapour and enthalpy, and refuses fog and unlike pressures") {
    const auto warm = air::state(32_degC, air::relative_humidity(0.4), sea_level);
    const auto cool = air::state(24_degC, air::relative_humidity(0.5), sea_level);
    const MassFlow m1{0.2}, m2{0.7};
    const auto s = air::mix(m1, warm, m2, cool);
    CHECK(
        near(0.9 * s.humidity_ratio.si, 0.2 * warm.humidity_ratio.si + 0.7 * cool.humidity_ratio.si, relative(1e-14)));
    CHECK(
        near(0.9 * air::enthalpy(s).si, 0.2 * air::enthalpy(warm).si + 0.7 * air::enthalpy(cool).si, relative(1e-14)));
    const auto same = air::mix(m1, warm, m2, warm);
    CHECK(near(same.dry_bulb.si, warm.dry_bulb.si, relative(1e-14)));

    const auto frost = air::state(Temperature{-15.0}, air::relative_humidity(1.0), sea_level);
    const auto steamy = air::state(30_degC, air::relative_humidity(1.0), sea_level);
    check_reason(air::try_mix(m1, frost, m1, steamy).reason(), Why::supersaturated, About::humidity_ratio);
    const auto high = air::state(24_degC, air::relative_humidity(0.5), 84_kPa);
    check_reason(air::try_mix(m1, warm, m1, high).reason(), Why::contradictory, About::pressure);
    check_reason(air::try_mix(MassFlow{0.0}, warm, m1, cool).reason(), Why::no_flow, About::airflow);
    check_reason(air::try_mix(MassFlow{not_a_number}, warm, m1, cool).reason(), Why::not_finite, About::airflow);
}

TEST_CASE("station pressure from elevation, and back") {
    CHECK(air::pressure_at(0_ft) == Pressure{101325.0});
    CHECK(near(in(air::pressure_at(5000_ft), units::psia), 12.23, absolute(0.005)));  // domain figure
    for (double z = -500.0; z <= 10000.0; z += 250.0)
        CHECK(near(air::si::elevation_at_pressure(air::pressure_at(Length{z}).si), z, relative(1e-11)));
    check_reason(air::try_pressure_at(Length{not_a_number}).reason(), Why::not_finite, About::elevation);
    check_reason(air::try_pressure_at(12000_m).reason(), Why::outside, About::elevation);
    CHECK_THROWS_AS((void)air::pressure_at(Length{-6000.0}), Refused);
}
