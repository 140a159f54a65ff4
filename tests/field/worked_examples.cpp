// The project's own worked examples 2 to 5 (invented readings, handbook equations). SI ones to the printed digits, IP
// ones within 0.15 %: the two published equation sets differ by up to 0.1 %.
#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unit_a.hpp"

using namespace unit_a;

namespace {
constexpr double ip = 0.0015;
double MBh_of(Power p) { return in(p, units::MBh); }
/// `value` printed with that many decimals reads as `printed`.
void check_digits(double value, double printed, int decimals) {
    CHECK(near(value, printed, absolute(0.5001 * std::pow(10.0, -decimals))));
}
}  // namespace

TEST_CASE("example 2: relative-humidity probes at sea level") {
    const Delivered d = deliver(example_2(), Site::sea_level());
    CHECK(near(MBh_of(d.total_capacity), 29.76, relative(ip)));
    CHECK(near(MBh_of(d.latent_capacity), 7.308, relative(ip)));
    CHECK(near(MBh_of(d.sensible_capacity), 22.45, relative(ip)));
    CHECK(near(*d.sensible_ratio, 0.7544, relative(ip)));
    CHECK(near(in(d.mass_flow, units::lb_h), 4893, relative(ip)));
    CHECK(near(in(d.standard_airflow, units::scfm), 1087, relative(ip)));
    CHECK(near(in(air::wet_bulb(d.return_air), units::degF), 64.80, relative(ip)));
    CHECK(near(in(d.condensate_flow, units::lb_h), 6.676, relative(ip)));
    CHECK(near(d.return_air.humidity_ratio.si, 0.01053, relative(ip)));
    CHECK(near(d.supply_air.humidity_ratio.si, 0.009161, relative(ip)));
    check_digits(d.total_capacity.si / 1000, 8.730, 3);  // the same example in SI
}

TEST_CASE("example 3: the same readings at 5,000 ft") {
    const Delivered d = deliver(example_2(), Site::at_elevation(5000_ft));
    CHECK(near(MBh_of(d.total_capacity), 26.01, relative(ip)));
    CHECK(near(MBh_of(d.latent_capacity), 7.330, relative(ip)));
    CHECK(near(*d.sensible_ratio, 0.7182, relative(ip)));
    CHECK(near(in(d.mass_flow, units::lb_h), 4058, relative(ip)));
    CHECK(near(in(d.standard_airflow, units::scfm), 901.7, relative(ip)));
    CHECK(near(in(air::pressure_at(5000_ft), units::psia), 12.23, relative(ip)));
    const Delivered as_if_at_sea = deliver(example_2(), Site::sea_level());
    CHECK(near(as_if_at_sea.total_capacity.si / d.total_capacity.si, 1.1441, relative(ip)));
    check_digits(d.total_capacity.si / 1000, 7.630, 3);  // SI redo
}

TEST_CASE("example 4: SI, dry-bulb and wet-bulb probes") {
    Readings r;
    r.return_dry_bulb = Temperature{24.5};
    r.return_humidity = air::wet_bulb(Temperature{18.2});
    r.supply_dry_bulb = Temperature{13.6};
    r.supply_humidity = air::wet_bulb(Temperature{12.9});
    r.airflow = AirflowReading::actual(520_L_s, air::Place::return_air);
    const Delivered d = deliver(r, Site::sea_level());
    check_digits(d.return_air.humidity_ratio.si, 0.01047, 5);
    check_digits(d.supply_air.humidity_ratio.si, 0.008980, 6);
    check_digits(air::enthalpy(d.return_air).si / 1000, 51.32, 2);
    check_digits(air::enthalpy(d.supply_air).si / 1000, 36.37, 2);
    check_digits(air::volume(d.return_air).si, 0.8574, 4);
    check_digits(d.mass_flow.si, 0.6065, 4);
    check_digits(d.total_capacity.si / 1000, 9.068, 3);
    check_digits(d.sensible_capacity.si / 1000, 6.761, 3);
}

TEST_CASE("sensible and latent close exactly with total by enthalpy") {
    const Delivered d = deliver(example_2(), Site::at_elevation(3000_ft));
    CHECK(near(d.sensible_capacity.si + d.latent_capacity.si, d.total_capacity.si, relative(1e-13)));
}

TEST_CASE("where the airflow was read matters as much as density does") {
    Readings r = example_2();
    const Delivered at_return = deliver(r, Site::sea_level());
    r.airflow.place = air::Place::supply_air;
    const Delivered at_supply = deliver(r, Site::sea_level());
    const double v1 = air::volume(at_return.return_air).si, v2 = air::volume(at_return.supply_air).si;
    CHECK(near(at_supply.mass_flow.si / at_return.mass_flow.si, v1 / v2, relative(1e-12)));
    r.airflow.place = air::Place::fan;
    CHECK(try_deliver(r, Site::sea_level()).reason().why == Why::not_given);  // which side of the coil?
    r.fan = FanPosition::blow_through;
    CHECK(deliver(r, Site::sea_level()).mass_flow.si == at_return.mass_flow.si);
    r.fan = FanPosition::draw_through;
    CHECK(try_deliver(r, Site::sea_level()).reason().about == About::fan_power);  // no default
    r.fan_power = 0_W;
    CHECK(deliver(r, Site::sea_level()).mass_flow.si == at_supply.mass_flow.si);
    r.fan_power = 420_W;  // the air at the fan is colder than the supply by the fan's own heat
    const double colder = deliver(r, Site::sea_level()).mass_flow.si / at_supply.mass_flow.si;
    CHECK(colder > 1.001);
    CHECK(colder < 1.004);
}

TEST_CASE("the condensate term is 0.4 to 0.8 percent of total here, and off by default") {
    Readings r = example_2();
    const double without = deliver(r, Site::sea_level()).total_capacity.si;
    r.condensate = true;
    const double with = deliver(r, Site::sea_level()).total_capacity.si;
    CHECK((without - with) / without > 0.004);
    CHECK((without - with) / without < 0.008);
}

TEST_CASE("raw answers are not clamped: swapped probes, wet supply (traps 9, 10)") {
    Readings r = example_2();
    std::swap(r.return_dry_bulb, r.supply_dry_bulb);
    std::swap(r.return_humidity, r.supply_humidity);
    const Delivered swapped = deliver(r, Site::sea_level());
    CHECK(swapped.total_capacity.si < 0);
    CHECK(swapped.notes.has(Note::negative_capacity));
    CHECK_FALSE(swapped.notes.has(Note::sensible_above_total));  // less negative is no dry coil

    r = example_2();
    r.supply_humidity = air::relative_humidity(0.98);
    r.supply_dry_bulb = 62_degF;
    const Delivered wet = deliver(r, Site::sea_level());
    CHECK(wet.latent_capacity.si < 0);
    CHECK(wet.notes.has(Note::negative_latent));
    CHECK(wet.notes.has(Note::sensible_above_total));
    CHECK(wet.notes.has(Note::near_saturation));
}

TEST_CASE("what was not given is refused by name") {
    const auto why = [](const Readings& r) { return try_deliver(r, Site::sea_level()).reason(); };
    Readings r = example_2();
    r.airflow = {};
    CHECK(explain(why(r)) == "airflow is not given, and there is no default");
    r = example_2();
    r.airflow.si = 0;
    CHECK(explain(why(r), UnitSystem::IP) == "airflow 0 cfm must be above zero");
    r = example_2();
    r.supply_dry_bulb = {};
    r.supply_dry_bulb.si = Readings::not_given;
    CHECK(why(r).about == About::supply_dry_bulb);
    r = example_2();
    r.supply_humidity = air::Humidity{};
    CHECK(explain(why(r)) == "supply wet bulb is not given, and there is no default");
    r.supply_humidity.kind = air::Humidity::Kind::dew_point;
    CHECK(why(r).about == About::supply_dew_point);
    r = example_2();
    r.supply_humidity = air::relative_humidity(1.2);
    CHECK(name(why(r).about) == "supply_relative_humidity");
    r.return_dry_bulb = Temperature{100.0};
    CHECK(name(why(r).about) == "return_dry_bulb");
    r = example_2();
    r.return_humidity = air::relative_humidity(55.0);
    CHECK(explain(why(r)) == "return relative humidity 55 is above 1: it is a fraction (0.55, not 55)");
    r = example_2();
    r.return_humidity = air::wet_bulb(78_degF);
    CHECK(explain(why(r), UnitSystem::IP) == "return wet bulb 78 degF is past saturation; at most 76 degF");
    CHECK(try_deliver(example_2(), Site::not_given()).reason().about == About::elevation);
    CHECK_THROWS_AS((void)deliver(r, Site::sea_level()), Refused);
}
