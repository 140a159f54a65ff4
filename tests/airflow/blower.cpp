// Blower tables and the fan law.
#include "offnominal/airflow/blower.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "../support/near.hpp"
#include "offnominal/explain.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

BlowerTable tap_of_example_11(BlowerMotor motor = BlowerMotor::fixed_speed) {
    return BlowerTable({{"low", 0.7_in_wc, 1010_cfm, 330_W},
                        {"low", 0.5_in_wc, 1130_cfm, 350_W},
                        {"low", 0.6_in_wc, 1075_cfm, 340_W},
                        {"high", 0.2_in_wc, 1400_cfm, 500_W},
                        {"high", 0.4_in_wc, 1300_cfm, 520_W},
                        {"high", 0.6_in_wc, {}, {}, Mark::blank}},
                       {motor, "wet coil, no filter", true});
}

std::string complaint(std::vector<BlowerTable::Row> rows) {
    try {
        BlowerTable(std::move(rows), {});
    } catch (const InputError& error) {
        return error.what();
    }
    return "no complaint";
}

/// A tap of five printed pressures, invented, and a blank past its limit.
BlowerTable curved(BlowerMotor motor = BlowerMotor::fixed_speed, BlowerTable::Basis basis = {}) {
    basis.motor = motor;
    return BlowerTable({{"1", 0.1_in_wc, 1400_cfm, 500_W},
                        {"1", 0.2_in_wc, 1380_cfm, 520_W},
                        {"1", 0.3_in_wc, 1340_cfm, 535_W},
                        {"1", 0.5_in_wc, 1200_cfm, 550_W},
                        {"1", 0.6_in_wc, 1050_cfm, 552_W},
                        {"1", 0.7_in_wc, {}, {}, Mark::blank}},
                       basis);
}

}  // namespace

TEST_CASE("a blower at 5,000 ft") {
    // The project's worked example 11 (invented blower; I-P psychrometrics, so SI agrees to 0.1 %): 76 degF 55 % at
    // 5,000 ft, measured 0.52 in. w.c.; blow-through, the fan breathes return air.
    const BlowerTable blower = tap_of_example_11();
    const air::State return_air = air::state(76_degF, air::relative_humidity(0.55), air::pressure_at(5000_ft));
    const double sigma = fan_density_ratio(return_air);
    CHECK(near(sigma, 0.8153, absolute(0.00005)));
    const auto point = blower.at("low", 0.52_in_wc, sigma);
    REQUIRE(point);
    CHECK(near(in(point->airflow, units::cfm), 1050.0, absolute(0.5)));
    CHECK_FALSE(point->law_assumed);
    const MassFlow dry = air::dry_mass_flow(point->airflow, return_air);
    CHECK(near(in(air::standard_airflow(dry, return_air.humidity_ratio), units::scfm), 856.4, absolute(0.05)));
    CHECK(near(in(air::standard_airflow(dry), units::scfm), 845.7, absolute(0.05)));
    // Power: read at the same entry, times sigma.
    CHECK(near(point->power.si, sigma * (340.0 - 10.0 * (0.52 / sigma - 0.6) / 0.1), relative(1e-12)));

    // Draw-through: it breathes air leaving the coil, sigma 0.846.
    CHECK(near(in(blower.at("low", 0.52_in_wc, 0.846)->airflow, units::cfm), 1065.0, absolute(0.5)));
}

TEST_CASE("in standard air the page is read as it stands") {
    const BlowerTable blower = tap_of_example_11(BlowerMotor::constant_torque);
    const auto point = blower.at("low", 0.6_in_wc, 1.0);
    REQUIRE(point);
    CHECK(point->airflow == 1075_cfm);
    CHECK(point->power == 340_W);
    CHECK_FALSE(point->law_assumed);
    CHECK(blower.at("low", 0.5_in_wc, 0.9)->law_assumed);  // such a motor does not follow the fan law
}

TEST_CASE("past the printed pressures there is no answer, with bounds as they would be measured") {
    const BlowerTable blower = tap_of_example_11();
    const auto beyond = blower.at("low", 0.65_in_wc, 0.8);  // enters at 0.8125
    REQUIRE_FALSE(beyond);
    CHECK(beyond.reason().why == Why::outside);
    CHECK(beyond.reason().about == About::external_static);
    CHECK(near(beyond.reason().value, (0.65_in_wc).si, relative(1e-14)));
    CHECK(near(beyond.reason().upper, (0.7_in_wc).si * 0.8, relative(1e-14)));
    CHECK(near(beyond.reason().lower, (0.5_in_wc).si * 0.8, relative(1e-14)));
    CHECK(blower.at("low", 0.3_in_wc, 1.0).reason().why == Why::outside);
    CHECK(blower.at("high", 0.5_in_wc, 1.0).reason().why == Why::blank);
    CHECK(blower.at("high", 0.4_in_wc, 1.0)->airflow == 1300_cfm);
}

TEST_CASE("what is no question") {
    const BlowerTable blower = tap_of_example_11();
    CHECK(blower.has_tap("low"));
    CHECK_FALSE(blower.has_tap("medium"));
    CHECK(blower.at("medium", 0.5_in_wc, 1.0).reason().why == Why::unknown_tap);
    const Pressure nothing{std::numeric_limits<double>::quiet_NaN()};
    CHECK(blower.at("low", nothing, 1.0).reason().why == Why::not_finite);
    for (const double sigma : {0.0, -1.0, std::numeric_limits<double>::infinity(),
                               std::numeric_limits<double>::quiet_NaN(), 1e-310, 1e300}) {
        CHECK(blower.at("low", 0.6_in_wc, sigma).reason().why == Why::not_finite);
        CHECK(blower.at("low", DuctCurve{1000_cfm, 0.6_in_wc}, sigma).reason().why == Why::not_finite);
    }
    CHECK(BlowerTable().empty());
    CHECK(BlowerTable().at("low", 0.5_in_wc, 1.0).reason().why == Why::unknown_tap);
}

TEST_CASE("a blower table checks itself") {
    CHECK(complaint({}) == "the blower table has no rows; accepted: tap, static, airflow, power");
    CHECK(complaint({{"1", 0.5_in_wc, 1000_cfm, 300_W}, {"1", 0.5_in_wc, 990_cfm, 300_W}}) ==
          "tap 1 of the blower table: two rows for the same external static pressure; accepted: one row");
    // Nearer than any print: its slope would be infinite.
    CHECK(complaint({{"1", 0.5_in_wc, 1000_cfm, 300_W}, {"1", (0.5_in_wc) + Pressure{1e-9}, 990_cfm, 300_W}})
              .find("two rows for the same external static pressure") != std::string::npos);
    CHECK(complaint({{"1", Pressure{1e300}, 1000_cfm, 300_W}}).find("a pressure past any fan") != std::string::npos);
    CHECK(complaint({{"1", 0.5_in_wc, Airflow{1e300}, 300_W}}).find("an airflow past any fan") != std::string::npos);
    CHECK(complaint({{"1", 0.5_in_wc, 1000_cfm, Power{1e300}}}).find("a power past any fan") != std::string::npos);
    CHECK(complaint({{"1", Pressure{-1.0}, 1000_cfm, 300_W}}) ==
          "tap 1 of the blower table: an external static pressure below zero; accepted: zero or more");
    CHECK(complaint({{"1", 0.5_in_wc, 0_cfm, 300_W}}) ==
          "tap 1 of the blower table: an airflow that is not positive; accepted: an airflow, or - where the page is "
          "blank");
}

TEST_CASE("between printed pressures a monotone curve") {
    const BlowerTable blower = curved();
    double last = 1401.0;
    for (double in_wc = 0.1; in_wc < 0.6; in_wc += 0.01) {
        const double cfm = in(blower.at("1", from(in_wc, units::in_wc), 1.0)->airflow, units::cfm);
        CHECK(cfm < last);
        last = cfm;
    }
    // SciPy 1.17's PchipInterpolator over the same five points, cfm and W.
    const auto at = [&](double in_wc) { return *blower.at("1", from(in_wc, units::in_wc), 1.0); };
    CHECK(near(in(at(0.13).airflow, units::cfm), 1395.89, relative(1e-12)));
    CHECK(near(in(at(0.4).airflow, units::cfm), 1282.515479876161, relative(1e-12)));
    CHECK(near(in(at(0.57).airflow, units::cfm), 1102.1031578947368, relative(1e-12)));
    CHECK(near(at(0.4).power.si, 544.3543956043956, relative(1e-12)));
    for (const BlowerTable::Row& row : blower.rows())  // what is printed comes back
        if (row.mark == Mark::printed) CHECK(blower.at("1", row.external_static, 1.0)->airflow == row.airflow);
}

TEST_CASE("a static limit is refused by name") {
    BlowerTable::Basis basis;
    basis.greatest_static = 0.5_in_wc;
    const auto refused = curved(BlowerMotor::fixed_speed, basis).at("1", 0.55_in_wc, 1.0);
    REQUIRE_FALSE(refused);
    CHECK(refused.reason().why == Why::beyond_limit);
    CHECK(explain(refused.reason(), UnitSystem::IP) ==
          "external static pressure 0.55 in_wc is above the greatest that the blower's page allows, 0.5 in_wc");
    CHECK(curved(BlowerMotor::fixed_speed, basis).at("1", 0.5_in_wc, 1.0)->airflow == 1200_cfm);
    // In thin air the limit is met at a lower measured pressure.
    CHECK(curved(BlowerMotor::fixed_speed, basis).at("1", 0.45_in_wc, 0.85).reason().why == Why::beyond_limit);
    // Past the last printed number of a tap: its own limit.
    const auto blank = curved().at("1", 0.65_in_wc, 1.0);
    CHECK(blank.reason().why == Why::blank);
    CHECK(explain(blank.reason(), UnitSystem::IP) ==
          "external static pressure 0.65 in_wc is above the greatest that the blower's page allows, 0.6 in_wc");
    basis.greatest_static = Pressure{0.0};
    CHECK_THROWS_AS(curved(BlowerMotor::fixed_speed, basis), InputError);
}

TEST_CASE("what a motor under control may do in thin air is uncertain") {
    // By the fan laws, at sigma 0.81: constant torque 1/0.9 times the speed, constant airflow 1/0.81 times the volume.
    const auto u = [](BlowerMotor motor, double sigma) { return curved(motor).at("1", 0.3_in_wc, sigma)->law_u; };
    CHECK(u(BlowerMotor::fixed_speed, 0.81) == 0.0);
    CHECK(near(u(BlowerMotor::constant_torque, 0.81), (1.0 / 0.9 - 1.0) / std::sqrt(3.0), relative(1e-12)));
    CHECK(near(u(BlowerMotor::constant_airflow, 0.81), (1.0 / 0.81 - 1.0) / std::sqrt(3.0), relative(1e-12)));
    CHECK(u(BlowerMotor::unknown, 0.81) == u(BlowerMotor::constant_airflow, 0.81));
    CHECK(u(BlowerMotor::constant_airflow, 1.0) == 0.0);
}

TEST_CASE("a blower meets a duct system") {
    const BlowerTable blower = curved();
    // A duct that takes 0.3 in. w.c. at 1340 cfm meets the fan there.
    const auto met = blower.at("1", DuctCurve{1340_cfm, 0.3_in_wc}, 1.0);
    REQUIRE(met);
    CHECK(near(met->external_static.si, (0.3_in_wc).si, relative(1e-12)));
    CHECK(near(met->blower.airflow.si, (1340_cfm).si, relative(1e-12)));
    // Elsewhere both curves hold.
    const DuctCurve duct{1000_cfm, 0.25_in_wc, 1.9};
    const auto other = blower.at("1", duct, 0.9);
    REQUIRE(other);
    CHECK(near(other->external_static.si,
               0.25 * std::pow(in(other->blower.airflow, units::cfm) / 1000.0, 1.9) * units::in_wc.times,
               relative(1e-12)));
    CHECK(near(blower.at("1", other->external_static, 0.9)->airflow.si, other->blower.airflow.si, relative(1e-12)));
    // A choked duct meets the fan past its limit, a free one below the first printed pressure.
    const auto choked = blower.at("1", DuctCurve{1000_cfm, 0.9_in_wc}, 1.0);
    CHECK(choked.reason().why == Why::outside);
    CHECK(choked.reason().value > choked.reason().upper);
    const auto free = blower.at("1", DuctCurve{1000_cfm, 0.02_in_wc}, 1.0);
    CHECK(free.reason().value < free.reason().lower);
    CHECK(blower.at("1", DuctCurve{0_cfm, 0.3_in_wc}, 1.0).reason().why == Why::no_flow);
    CHECK(blower.at("1", DuctCurve{1000_cfm, Pressure{0.0}}, 1.0).reason().why == Why::not_finite);
    CHECK(blower.at("2", duct, 1.0).reason().why == Why::unknown_tap);
}

TEST_CASE("a duct of any numbers meets the blower at a finite point, or there is a reason") {
    // Found by the sanitizer: an infinite pressure within the bracket made the search ask for what is no number.
    const BlowerTable blower = curved();
    const double absurd[] = {1e-300, 1e-9, 0.4, 2.0, 50.0, 1e4, 1e300};
    int met = 0;
    for (const double airflow : absurd)
        for (const double pressure : absurd)
            for (const double exponent : absurd)
                for (const double sigma : {1e-9, 0.8, 1.0, 1e9}) {
                    CAPTURE(airflow);
                    CAPTURE(pressure);
                    CAPTURE(exponent);
                    CAPTURE(sigma);
                    const auto found = blower.at("1", DuctCurve{Airflow{airflow}, Pressure{pressure}, exponent}, sigma);
                    if (!found) continue;
                    ++met;
                    CHECK(std::isfinite(found->external_static.si));
                    CHECK(std::isfinite(found->blower.airflow.si));
                    CHECK(std::isfinite(found->blower.power.si));
                }
    CHECK(met > 10);
    // Within what the fan moves, so steep that one side of the bracket is past all numbers.
    const auto steep = blower.at("1", DuctCurve{1380_cfm, 0.2_in_wc, 1e300}, 1.0);
    REQUIRE(steep);
    CHECK(near(steep->external_static.si, (0.2_in_wc).si, relative(1e-6)));
}

TEST_CASE("what a table includes, in its own words") {
    CHECK(says("wet coil, no filter", Component::wet_coil) == true);
    CHECK(says("wet coil, no filter", Component::dry_coil) == false);
    CHECK(says("wet coil, no filter", Component::filter) == false);
    CHECK(says("wet coil, no filter", Component::heater) == std::nullopt);
    CHECK(says("filter, no coil,heater", Component::wet_coil) == false);
    CHECK(says("filter, no coil,heater", Component::heater) == true);
    CHECK(says("", Component::filter) == std::nullopt);
    CHECK(says("no dry coil", Component::wet_coil) == std::nullopt);
    CHECK(not_a_component("filter, no coil,heater").empty());
    CHECK(not_a_component("wet coil, no fliter") == "fliter");
    CHECK_THROWS_AS(BlowerTable({{"1", 0.3_in_wc, 1000_cfm, 300_W}}, {BlowerMotor::unknown, "wet coil, fliter"}),
                    InputError);
}
