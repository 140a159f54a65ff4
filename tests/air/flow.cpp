// Airflow: standard and actual by way of dry mass; and the worked examples of an air-enthalpy test (computed by hand
// for this project from the published equations; the figures in IP come from the IP equations, which differ by up to
// 0.1 %).
#include <doctest/doctest.h>

#include <cmath>

#include "../support/near.hpp"
#include "offnominal/air.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

// Within half a unit of the last printed digit.
void check_printed(double value, double printed, double unit) { CHECK(near(value, printed, absolute(0.5001 * unit))); }
// Within 0.15 %, the tolerance between the two equation sets.
void check_ip(double value, double printed) { CHECK(near(value, printed, relative(0.0015))); }
double btu_lb(const air::State& s) { return in(air::enthalpy(s), units::Btu_lb_of_air); }

}  // namespace

TEST_CASE("standard air is 0.075 lb/ft3, of dry or of moist air") {
    const StandardAirflow flow = 1000_scfm;
    CHECK(near(in(air::dry_mass_flow(flow), units::lb_h), 4500.0, relative(1e-14)));
    CHECK(near(in(air::standard_airflow(air::dry_mass_flow(flow)), units::scfm), 1000.0, relative(1e-14)));
    const HumidityRatio W{0.0113};
    CHECK(near(in(air::dry_mass_flow(flow, W), units::lb_h), 4500.0 / 1.0113, relative(1e-14)));
    CHECK(near(in(air::standard_airflow(air::dry_mass_flow(flow, W), W), units::scfm), 1000.0, relative(1e-14)));
    CHECK(near(air::si::standard_density, 1.2014, relative(1e-4)));
}

TEST_CASE("an actual airflow is the same dry mass at every place along the duct") {
    const auto p = air::pressure_at(0_ft);
    const auto back = air::state(76_degF, air::relative_humidity(0.55), p);
    const auto supply = air::state(57.2_degF, air::relative_humidity(0.92), p);
    const Airflow at_return = 1120_cfm;
    const Airflow at_supply = air::actual_airflow(at_return, back, supply);
    CHECK(near(air::dry_mass_flow(at_supply, supply).si, air::dry_mass_flow(at_return, back).si, relative(1e-14)));
    CHECK(near(air::actual_airflow(at_supply, supply, back).si, at_return.si, relative(1e-14)));
    CHECK(near(1.0 - at_supply / at_return, 0.037, absolute(0.0005)));  // about 4 % between return and supply density
}

TEST_CASE("worked example, IP, sea level: 76 degF 55 % to 57.2 degF 92 %, 1120 cfm at return") {
    const auto p = air::pressure_at(0_ft);
    const auto s1 = air::state(76_degF, air::relative_humidity(0.55), p);
    const auto s2 = air::state(57.2_degF, air::relative_humidity(0.92), p);
    check_ip(s1.humidity_ratio.si, 0.01053);
    check_ip(s2.humidity_ratio.si, 0.009161);
    check_ip(btu_lb(s1), 29.76);
    check_ip(btu_lb(s2), 23.68);
    check_ip(in(air::volume(s1), units::ft3_lb), 13.73);
    check_ip(in(air::wet_bulb(s1), units::degF), 64.80);
    const MassFlow m = air::dry_mass_flow(1120_cfm, s1);
    check_ip(in(m, units::lb_h), 4893.0);
    check_ip(in(air::standard_airflow(m), units::scfm), 1087.0);
    check_ip(m.si * (air::enthalpy(s1) - air::enthalpy(s2)).si / units::MBh.to_si(1.0), 29.76);
}

TEST_CASE("worked example, IP, 5000 ft: the same readings") {
    const auto p = air::pressure_at(5000_ft);
    const auto s1 = air::state(76_degF, air::relative_humidity(0.55), p);
    const auto s2 = air::state(57.2_degF, air::relative_humidity(0.92), p);
    check_ip(btu_lb(s1), 32.14);
    check_ip(btu_lb(s2), 25.72);
    check_ip(in(air::volume(s1), units::ft3_lb), 16.56);
    const MassFlow m = air::dry_mass_flow(1120_cfm, s1);
    check_ip(in(m, units::lb_h), 4058.0);
    check_ip(in(air::standard_airflow(m), units::scfm), 901.7);
    check_printed(m.si * (air::enthalpy(s1) - air::enthalpy(s2)).si, 7630.0, 1.0);
}

TEST_CASE("worked example, SI, sea level, dry and wet bulbs") {
    const auto s1 = air::state(24.5_degC, air::wet_bulb(18.2_degC), Pressure{101325.0});
    const auto s2 = air::state(13.6_degC, air::wet_bulb(12.9_degC), Pressure{101325.0});
    check_printed(s1.humidity_ratio.si, 0.01047, 1e-5);
    check_printed(s2.humidity_ratio.si, 0.008980, 1e-6);
    check_printed(air::enthalpy(s1).si / 1000.0, 51.32, 0.01);
    check_printed(air::enthalpy(s2).si / 1000.0, 36.37, 0.01);
    check_printed(air::volume(s1).si, 0.8574, 1e-4);
    const MassFlow m = air::dry_mass_flow(520_L_s, s1);
    check_printed(m.si, 0.6065, 1e-4);
    check_printed(m.si * (air::enthalpy(s1) - air::enthalpy(s2)).si / 1000.0, 9.068, 1e-3);
}

TEST_CASE("worked example, SI, heating at 1524 m") {
    const auto p = air::pressure_at(1524_m);
    check_printed(p.si / 1000.0, 84.31, 0.01);
    const auto s = air::state(20.5_degC, air::relative_humidity(0.30), p);
    check_printed(s.humidity_ratio.si, 0.005385, 1e-6);
    check_printed(air::volume(s).si, 1.008, 1e-3);
    const MassFlow m = air::dry_mass_flow(560_L_s, s);
    check_printed(m.si, 0.5553, 1e-4);
    check_printed(m.si * air::si::moist_heat_capacity(s.humidity_ratio.si) * (35.9 - 20.5) / 1000.0, 8.689, 1e-3);
}

TEST_CASE("worked example: density at 5000 ft") {
    const auto s = air::state(76_degF, air::relative_humidity(0.55), air::pressure_at(5000_ft));
    const double rho = (1.0 + s.humidity_ratio.si) / air::volume(s).si;  // kg/m3
    check_ip(rho * units::ft3_lb.to_si(1.0), 0.06115);
    check_ip(rho / air::si::standard_density, 0.8153);
}
