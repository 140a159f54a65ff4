// The project's own worked examples (invented unit, handbook equations in IP form), recomputed here by the SI
// equations. The two published equation sets differ by up to 0.1 %, so IP figures are met within 0.15 %.
#include <doctest/doctest.h>

#include "../support/unit_a.hpp"

using namespace unit_a;

namespace {
constexpr double ip = 0.0015;
double MBh_of(Power p) { return in(p, units::MBh); }
}  // namespace

TEST_CASE("example 1: expected at sea level") {
    const Expected e = expect(system(), Site::sea_level(), example_1());
    CHECK(MBh_of(e.gross_total) == doctest::Approx(33.95).epsilon(1e-9));  // weights 0.6, 0.5, 0.5: plain arithmetic
    CHECK(MBh_of(e.total_capacity) == doctest::Approx(32.52).epsilon(ip));
    CHECK(MBh_of(*e.sensible_capacity) == doctest::Approx(22.95).epsilon(ip));
    CHECK(e.sensible_capacity->si / e.total_capacity.si == doctest::Approx(0.7059).epsilon(ip));
    CHECK(e.power->si == doctest::Approx(2384.0).epsilon(1e-12));
    CHECK(e.system_power->si == doctest::Approx(2804.0).epsilon(1e-12));
    CHECK(in(e.total_capacity, units::Btu_h) / e.system_power->si == doctest::Approx(11.60).epsilon(ip));
    CHECK(e.bypass == doctest::Approx(0.11).epsilon(1e-12));
    // Leaving state. The example takes the split by k = 1.10 (18.97 degF); ours closes with the enthalpy and is 0.2 %
    // larger, the known distance between the two constants in print.
    CHECK(in(e.leaving->dry_bulb, units::degF) == doctest::Approx(57.03).epsilon(ip));
    CHECK(in(e.leaving->wet_bulb, units::degF) == doctest::Approx(55.29).epsilon(ip));
    CHECK(e.leaving->relative_humidity == doctest::Approx(0.8990).epsilon(0.002));
    CHECK(in(e.leaving->split, units::delta_degF) == doctest::Approx(18.97 * 1.0017).epsilon(ip));
    CHECK(e.footing == Footing::inside);
}

TEST_CASE("example 1: the entering-dry-bulb step is k x scfm x (1 - BF) x difference") {
    const Expected e = expect(system(), Site::sea_level(), example_1());
    double before = 0, after = 0;
    for (const Step& s : e.ledger.steps())
        if (s.kind == Step::Kind::entering_dry_bulb) before = s.before, after = s.after;
    CHECK(MBh_of(Power{before}) == doctest::Approx(28.695).epsilon(1e-9));  // the example prints 28.70
    CHECK(MBh_of(Power{after - before}) == doctest::Approx(-1.10 * 1.1 * 0.89 * 4).epsilon(1e-9));
}

TEST_CASE("example 8: airflow for a wanted net sensible lies where the example found it") {
    Conditions c = example_1();
    c.airflow = AirflowReading::standard(Airflow{cfm(1153)});
    const Expected e = expect(system(), Site::sea_level(), c);
    CHECK(MBh_of(*e.sensible_capacity) == doctest::Approx(23.5).epsilon(ip));
    CHECK(MBh_of(e.total_capacity) == doctest::Approx(32.79).epsilon(ip));
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
    CHECK(in(*expect(s, Site::sea_level(), c).knee, units::degF) == doctest::Approx(62.83).epsilon(0.0001));
    c.entering_dry_bulb = 84_degF;
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(in(*e.knee, units::degF) == doctest::Approx(65.39).epsilon(0.0001));
    CHECK(MBh_of(e.total_capacity) == doctest::Approx(33.93).epsilon(ip));
    CHECK(e.total_capacity.si == e.sensible_capacity->si);
    CHECK(has(e.footing, Footing::dry));
}

TEST_CASE("example 12: factor chain, and a net table turned gross and back") {
    Match b{"indoor B", false, {0.97 * 0.985, 1.0}, std::nullopt, std::nullopt, FanPosition::draw_through, {}};
    Conditions c = example_1();
    c.match = "indoor B";
    const Expected chained = expect(system(basis(), page(), {b}), Site::sea_level(), c);
    CHECK(MBh_of(chained.gross_total) == doctest::Approx(32.44).epsilon(ip));
    CHECK(MBh_of(chained.total_capacity) == doctest::Approx(31.00).epsilon(ip));

    // A net table of 32.30 MBh at 1100 scfm with the default coil-only fan (441 W, 1,505 Btu/h per 1000 scfm).
    Basis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.per_airflow = from<Dimension::fan_ratio>(441, units::W_1000scfm);
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(91)};
    p.airflow = {cfm(1100)};
    p.entering_wet_bulb = {degF(65)};
    p.nodes = {{MBh(32.30), MBh(24.0), kW(2.4), 0.11, Mark::printed}};
    p.has_sensible = p.has_power = p.has_bypass = true;
    const Expected e = expect(system(net, p), Site::sea_level(), example_1());
    CHECK(MBh_of(e.gross_total) == doctest::Approx(33.96).epsilon(ip));
    CHECK(MBh_of(e.total_capacity) == doctest::Approx(32.52).epsilon(ip));
}
