// Blower tables and the fan law.
#include "offnominal/airflow/blower.hpp"

#include <doctest/doctest.h>

#include <string>

#include "../support/near.hpp"

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
    CHECK(blower.at("medium", 0.5_in_wc, 1.0).reason().why == Why::not_given);
    const Pressure nothing{std::numeric_limits<double>::quiet_NaN()};
    CHECK(blower.at("low", nothing, 1.0).reason().why == Why::not_finite);
    for (const double sigma :
         {0.0, -1.0, std::numeric_limits<double>::infinity(), std::numeric_limits<double>::quiet_NaN()})
        CHECK(blower.at("low", 0.6_in_wc, sigma).reason().why == Why::not_finite);
    CHECK(BlowerTable().empty());
    CHECK(BlowerTable().at("low", 0.5_in_wc, 1.0).reason().why == Why::not_given);
}

TEST_CASE("a blower table checks itself") {
    CHECK(complaint({}) == "the blower table has no rows; accepted: tap, static, airflow, power");
    CHECK(complaint({{"1", 0.5_in_wc, 1000_cfm, 300_W}, {"1", 0.5_in_wc, 990_cfm, 300_W}}) ==
          "tap 1 of the blower table: two rows for the same external static pressure; accepted: one row");
    CHECK(complaint({{"1", Pressure{-1.0}, 1000_cfm, 300_W}}) ==
          "tap 1 of the blower table: an external static pressure below zero; accepted: zero or more");
    CHECK(complaint({{"1", 0.5_in_wc, 0_cfm, 300_W}}) ==
          "tap 1 of the blower table: an airflow that is not positive; accepted: an airflow, or - where the page is "
          "blank");
}
