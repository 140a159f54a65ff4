// The derate steps one by one: line-set and altitude tables, the coil model, the dry-coil rule.
#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unit_a.hpp"

using namespace unit_a;

namespace {
LineTable lines() {
    const auto row = [](double length, double suction, double total, double power) {
        return LineTable::Row{from(length, units::ft), from(suction, units::in), total, power, Mark::printed};
    };
    std::vector<LineTable::Row> rows{row(25, 0.875, 1.0, 1.0), row(80, 0.875, 0.978, 1.004), row(25, 0.75, 0.995, 1.0),
                                     row(80, 0.75, 0.962, 1.006)};
    rows.push_back({150_ft, 0.75_in, 1, 1, Mark::blank});
    return LineTable(rows, {-50_ft, 50_ft});
}
LineSet line(double length, double suction, double lift = 0) {
    return LineSet::of(from(length, units::ft), from(suction, units::in), from(lift, units::ft));
}
}  // namespace

TEST_CASE("line-set factors: printed ones as printed, lengths between interpolated, blanks not allowed") {
    const LineTable table = lines();
    CHECK(table.at(LineSet::reference())->total == 1.0);
    CHECK(table.at(line(80, 0.75))->total == 0.962);
    CHECK(table.at(line(80, 0.75))->power == 1.006);
    CHECK(near(table.at(line(52.5, 0.875))->total, 0.989, relative(1e-12)));
    CHECK(table.at(line(120, 0.75)).reason().why == Why::blank);
    CHECK(explain(table.at(line(90, 0.875)).reason(), UnitSystem::IP) ==
          "equivalent line length 90 ft is outside 25 ft to 80 ft");
    CHECK(explain(table.at(line(30, 0.625)).reason(), UnitSystem::IP) ==
          "suction size 0.625 in is not in the line-set table");
    CHECK(explain(table.at(line(70, 0.75, 60)).reason(), UnitSystem::IP) == "lift 60 ft is outside -50 ft to 50 ft");
    CHECK(explain(table.at(line(NAN, 0.75)).reason()) ==
          "equivalent line length is not given, and there is no default");
    // Not the first size there is.
    CHECK(explain(table.at(line(25, NAN)).reason()) == "suction size is not given, and there is no default");
    CHECK(table.at(line(INFINITY, 0.75)).reason().why == Why::not_finite);
    CHECK_THROWS_AS(LineTable({}, {}), InputError);
    CHECK_THROWS_AS(LineTable({{1_m, 1_m, 1, 1, Mark::printed}, {1_m, 1_m, 1, 1, Mark::printed}}, {}), InputError);
    CHECK_THROWS_AS(LineTable({{1_m, 1_m, 96.2, 1, Mark::printed}}, {}), InputError);
}

TEST_CASE("a system with a line-set table needs the line, one without refuses any but the reference") {
    SystemParts parts;
    parts.cooling.push_back({"full", RatingTable(basis(), page())});
    parts.line_set = lines();
    const System s(parts);
    Conditions c = example_1();
    CHECK_THROWS_WITH_AS(
        (void)expect(s, Site::sea_level(), c),
        "line set is not given, and there is no default: reference, or equivalent length, suction size and lift",
        Refused);
    c.line_set = line(80, 0.75);
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(near(in(e.gross_total, units::MBh), 33.95 * 0.962, relative(1e-9)));
    CHECK(near(e.power->si, 2384.0 * 1.006, relative(1e-12)));
    CHECK(try_expect(system(), Site::sea_level(), c).reason().why == Why::no_line_table);
}

TEST_CASE("altitude factors from a maker's table, or assumed and said so") {
    SystemParts parts;
    parts.cooling.push_back({"full", RatingTable(basis(), page())});
    const System without(parts);
    parts.altitude = AltitudeTable({{0_ft, 1.0, 1.0}, {5000_ft, 0.98, 1.04}});
    const System with(parts);
    const Site high = Site::at_elevation(2500_ft);
    const Expected e = expect(with, high, example_1());
    CHECK(near(in(e.gross_total, units::MBh), 33.95 * 0.99, relative(1e-9)));
    CHECK(near(e.power->si, 2384.0 * 1.02, relative(1e-9)));
    CHECK(e.uncertainty.altitude == 0.0);
    // Without one, the stated correction by hand: 0.9129 of standard pressure at 2,500 ft (U.S. Standard Atmosphere
    // 1976).
    const Expected assumed = expect(without, high, example_1());
    CHECK(near(in(assumed.gross_total, units::MBh), 33.95 * (1.0 - 0.09 * 0.0871), relative(1e-4)));
    CHECK(near(assumed.power->si, 2384.0 * (1.0 + 0.24 * 0.0871), relative(1e-4)));
    CHECK(assumed.notes.has(Note::altitude_assumed));
    CHECK(near(assumed.uncertainty.altitude / assumed.gross_total.si, 0.09 * 0.0871, relative(1e-3)));
    CHECK(explain(try_expect(with, Site::at_elevation(6000_ft), example_1()).reason(), UnitSystem::IP) ==
          "elevation 6000 ft is outside 0 ft to 5000 ft");
}

TEST_CASE("what is no factor at equal mass flow is refused, said or by its size: thin air would count twice") {
    const auto complaint = [](const std::vector<AltitudeTable::Row>& rows, AltitudeFactor means) -> std::string {
        try {
            (void)AltitudeTable(rows, means);
        } catch (const InputError& error) {
            return error.what();
        }
        return "no complaint";
    };
    const std::vector<AltitudeTable::Row> mass{{0_ft, 1.0, 1.0}, {5000_ft, 0.97, 1.04}, {8000_ft, 0.95, 1.06}};
    CHECK(complaint(mass, AltitudeFactor::equal_mass) == "no complaint");
    CHECK(complaint(mass, AltitudeFactor::equal_volume).find("factors for equal volume flow") != std::string::npos);
    CHECK(complaint(mass, AltitudeFactor::density).find("no factor of capacity") != std::string::npos);
    // 0.832 and 0.743 are the densities (U.S. Standard Atmosphere 1976, pressure alone), 0.862 that by temperature too.
    CHECK(complaint({{0_ft, 1.0, 1.0}, {5000_ft, 0.83, 1.0}}, AltitudeFactor::equal_mass)
              .find("a total that falls as the density of air does") != std::string::npos);
    CHECK(complaint({{0_ft, 1.0, 1.0}, {5000_ft, 0.862, 1.0}, {8000_ft, 0.786, 1.0}}, AltitudeFactor::equal_mass)
              .find("a total that falls as the density of air does") != std::string::npos);
}

TEST_CASE("a fine day at sea level is not below an altitude table that starts there") {
    const AltitudeTable table({{0_ft, 1.0, 1.0}, {5000_ft, 0.98, 1.04}});
    const auto by_barometer = [&](double kPa) {
        return table.at(Site::at_pressure(Pressure{1000 * kPa}).elevation(), true);
    };
    for (const double kPa : {101.325, 102.0, 103.3}) {
        REQUIRE(by_barometer(kPa));
        CHECK(by_barometer(kPa)->total == 1.0);
    }
    const auto far = by_barometer(103.4);  // 2 % above the standard atmosphere's is 103.35 kPa
    CHECK(far.reason().why == Why::outside);
    CHECK(far.reason().about == About::elevation);
    // The same on a table that starts higher up, and not past its end.
    const AltitudeTable plateau({{2000_ft, 0.99, 1.01}, {5000_ft, 0.98, 1.04}});
    CHECK(plateau.at((1500_ft).si, true)->total == 0.99);
    CHECK_FALSE(plateau.at((1500_ft).si));  // an elevation that was given is not held
    CHECK_FALSE(plateau.at((1300_ft).si, true));
    CHECK(AltitudeTable().at(0.0).reason().why == Why::not_given);
    CHECK_FALSE(plateau.at((5010_ft).si));
    CHECK_FALSE(plateau.at(std::numeric_limits<double>::quiet_NaN()));
}

TEST_CASE(
    "at 5,000 ft sensible read as it stands would be about 5 percent high on a wet coil (common practice, no source)") {
    // The coil model at station pressure gives less sensible for the same total, airflow mass and wet bulb: air there
    // holds more moisture at the same temperature.
    SystemParts parts;
    parts.cooling.push_back({"full", RatingTable(basis(), page())});
    parts.altitude = AltitudeTable({{0_ft, 1.0, 1.0}, {8000_ft, 1.0, 1.0}});
    const System same_total(std::move(parts));
    const Conditions c = example_1();
    const double low = expect(same_total, Site::sea_level(), c).sensible_capacity->si;
    const double high = expect(same_total, Site::at_elevation(5000_ft), c).sensible_capacity->si;
    CHECK(low / high > 1.03);
    CHECK(low / high < 1.08);
}

TEST_CASE("domain check of the printed slope: 1.10 and the moist heat capacity are 0.2 percent apart") {
    const double printed = basis().sensible_slope->si;
    const double moist = air::si::standard_density * air::si::moist_heat_capacity(0.0092);
    CHECK(near(printed / moist, 1.0, relative(0.003)));
}

TEST_CASE("the knee is where sensible meets total, found in whichever cell it lies") {
    const double breakpoints[] = {10, 12, 14, 16};
    for (const double root : {10.5, 11.999, 12.0, 13.3, 15.9}) {
        const auto excess = [&](double x) -> Answer<double> { return (root - x) * (3 + 0.2 * x); };
        const auto knee = derates::knee(excess, 9.0, *excess(9.0), breakpoints, 16.0);
        REQUIRE(knee);
        CHECK(near(*knee, root, relative(1e-10)));
    }
    const auto never = [](double) -> Answer<double> { return 1.0; };
    CHECK(derates::knee(never, 9.0, 1.0, breakpoints, 16.0).reason().why == Why::no_knee);
    const auto refuses = [](double) -> Answer<double> { return Reason{Why::blank}; };
    CHECK(derates::knee(refuses, 9.0, 1.0, breakpoints, 16.0).reason().why == Why::blank);
}

TEST_CASE("a match keeps its own bypass factor: a coil with more bypass gives less sensible at the same total") {
    Match same{"A", true, {}, std::nullopt, std::nullopt, FanPosition::draw_through, {}};
    Match wide{"B", false, {}, 0.20, std::nullopt, FanPosition::draw_through, {}};
    const System s = system(basis(), page(), {same, wide});
    Conditions c = example_1();
    c.match = "A";
    const Expected a = expect(s, Site::sea_level(), c);
    c.match = "B";
    const Expected b = expect(s, Site::sea_level(), c);
    CHECK(a.total_capacity.si == b.total_capacity.si);
    CHECK(b.sensible_capacity->si < a.sensible_capacity->si);
    CHECK(b.notes.has(Note::match_factor));
    CHECK(near(b.uncertainty.match, 0.02 * b.gross_total.si, relative(1e-12)));
    CHECK(a.uncertainty.match == 0.0);
}
