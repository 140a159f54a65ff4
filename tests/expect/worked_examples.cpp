// The project's own worked examples (invented unit, handbook equations in IP form), recomputed here by the SI
// equations. The two published equation sets differ by up to 0.1 %, so IP figures are met within 0.15 %.
#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unit_a.hpp"

using namespace unit_a;

namespace {
constexpr double ip = 0.0015;
double MBh_of(Power p) { return in(p, units::MBh); }
}  // namespace

TEST_CASE("example 1: expected at sea level") {
    const Expected e = expect(system(), Site::sea_level(), example_1());
    CHECK(near(MBh_of(e.gross_total), 33.95, relative(1e-9)));  // weights 0.6, 0.5, 0.5: plain arithmetic
    CHECK(near(MBh_of(e.total_capacity), 32.52, relative(ip)));
    CHECK(near(MBh_of(*e.sensible_capacity), 22.95, relative(ip)));
    CHECK(near(e.sensible_capacity->si / e.total_capacity.si, 0.7059, relative(ip)));
    CHECK(near(e.power->si, 2384.0, relative(1e-12)));
    CHECK(near(e.system_power->si, 2804.0, relative(1e-12)));
    CHECK(near(in(e.total_capacity, units::Btu_h) / e.system_power->si, 11.60, relative(ip)));
    CHECK(near(*e.bypass, 0.11, relative(1e-12)));
    // Leaving state. The example takes the split by k = 1.10 (18.97 degF); ours closes with the enthalpy and is 0.2 %
    // larger, the known distance between the two constants in print.
    CHECK(near(in(e.leaving->dry_bulb, units::degF), 57.03, relative(ip)));
    CHECK(near(in(e.leaving->wet_bulb, units::degF), 55.29, relative(ip)));
    CHECK(near(e.leaving->relative_humidity, 0.8990, relative(0.002)));
    CHECK(near(in(e.leaving->split, units::delta_degF), 18.97 * 1.0017, relative(ip)));
    CHECK(e.footing == Footing::inside);
}

TEST_CASE("example 1: the entering-dry-bulb step is k x scfm x (1 - BF) x difference") {
    const Expected e = expect(system(), Site::sea_level(), example_1());
    double before = 0, after = 0;
    for (const Step& s : e.ledger)
        if (s.kind == Step::Kind::entering_dry_bulb) before = s.before, after = s.after;
    CHECK(near(MBh_of(Power{before}), 28.695, relative(1e-9)));  // the example prints 28.70
    CHECK(near(MBh_of(Power{after - before}), -1.10 * 1.1 * 0.89 * 4, relative(1e-9)));
}

TEST_CASE("example 3: what the air handler can move is off the page in thin air, where 1,120 cfm are 902 scfm") {
    Conditions c = example_1();
    c.entering_humidity = air::relative_humidity(0.55);
    c.airflow = AirflowReading::actual(1120_cfm, air::Place::return_air);
    CHECK(try_expect(system(), Site::sea_level(), c));
    const auto high = try_expect(system(), Site::at_elevation(5000_ft), c);
    REQUIRE_FALSE(high);
    CHECK(high.reason().why == Why::outside);
    CHECK(high.reason().about == About::standard_airflow);
    CHECK(near(units::scfm.from_si(high.reason().value), 901.7, relative(ip)));
    CHECK(near(units::scfm.from_si(high.reason().lower), 1000.0, relative(1e-9)));
}

TEST_CASE("example 8: airflow for a wanted net sensible lies where the example found it") {
    Conditions c = example_1();
    c.airflow = AirflowReading::standard(Airflow{cfm(1153)});
    const Expected e = expect(system(), Site::sea_level(), c);
    CHECK(near(MBh_of(*e.sensible_capacity), 23.5, relative(ip)));
    CHECK(near(MBh_of(e.total_capacity), 32.79, relative(ip)));
}

TEST_CASE("example 10: dry knee") {
    // 1200 scfm, 95 degF: total 32.5 + 0.60 (EWB - 63); sensible at 80 degF as the example states it, 32.19 - 1.2175
    // (EWB - 63).
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(95)};
    p.airflow = {cfm(1200)};
    p.entering_wet_bulb = {degF(59), degF(63), degF(67)};
    const auto line = [](double ewb) {
        PrintedNode n{MBh(32.5 + 0.60 * (ewb - 63)), MBh(32.19 - 1.2175 * (ewb - 63)), kW(2.5), 0.12, Mark::printed};
        return n;
    };
    p.nodes = {{MBh(32.4), MBh(32.4), kW(2.5), 0.12, Mark::dry}, line(63), line(67)};
    p.has_sensible = p.has_power = p.has_bypass = true;
    const System s = system(basis(), p);
    Conditions c = example_1();
    c.outdoor_dry_bulb = 95_degF;
    c.airflow = AirflowReading::standard(1200_cfm);
    c.boundary = Boundary::coil;
    c.entering_humidity = air::wet_bulb(61_degF);

    c.entering_dry_bulb = 80_degF;
    CHECK(near(in(*expect(s, Site::sea_level(), c).knee, units::degF), 62.83, relative(0.0001)));
    c.entering_dry_bulb = 84_degF;
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(near(in(*e.knee, units::degF), 65.39, relative(0.0001)));
    CHECK(near(MBh_of(e.total_capacity), 33.93, relative(ip)));
    CHECK(e.total_capacity.si == e.sensible_capacity->si);
    CHECK(has(e.footing, Footing::dry));
}

TEST_CASE("example 12: factor chain, and a net table turned gross and back") {
    Match b{"indoor B", false, {0.97 * 0.985, 1.0}, std::nullopt, std::nullopt, FanPosition::draw_through, {}};
    Conditions c = example_1();
    c.match = "indoor B";
    const Expected chained = expect(system(basis(), page(), {b}), Site::sea_level(), c);
    CHECK(near(MBh_of(chained.gross_total), 32.44, relative(ip)));
    CHECK(near(MBh_of(chained.total_capacity), 31.00, relative(ip)));

    // A net table of 32.30 MBh at 1100 scfm with the default coil-only fan (441 W, 1,505 Btu/h per 1000 scfm).
    Basis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.per_airflow = from(441, units::W_1000scfm);
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(91)};
    p.airflow = {cfm(1100)};
    p.entering_wet_bulb = {degF(65)};
    p.nodes = {{MBh(32.30), MBh(24.0), kW(2.4), 0.11, Mark::printed}};
    p.has_sensible = p.has_power = p.has_bypass = true;
    const Expected e = expect(system(net, p), Site::sea_level(), example_1());
    CHECK(near(MBh_of(e.gross_total), 33.96, relative(ip)));
    CHECK(near(MBh_of(e.total_capacity), 32.52, relative(ip)));
}
