// Pages of other shapes than the worked examples': entering dry bulbs, relative humidities, station pressures, pairs.
// All invented. Unit A's numbers where they serve, so that hand-computed cases can be followed.
#include <doctest/doctest.h>

#include "../support/dry_page.hpp"
#include "../support/near.hpp"
#include "../support/wet_line.hpp"
#include "offnominal/expect/slopes.hpp"
#include "offnominal/report.hpp"

using namespace unit_a;

namespace {
constexpr double dry_bulbs[] = {75, 80, 85};
double at_dry_bulb(double sensible, double bypass, double edb) {  // the footnote of unit A, MBh
    return sensible + 1.10e-3 * 1000 * (1 - bypass) * (edb - 80);
}

/// One outdoor dry bulb, one airflow; wet bulbs 59 to 71 by dry bulbs 75 to 85 degF; where sensible reaches total the
/// page prints total. 71 over 75 degF is left blank if asked.
PrintedPage by_dry_bulb(bool blank = false) {
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(95)};
    p.airflow = {cfm(1000)};
    p.entering_wet_bulb = {degF(59), degF(63), degF(67), degF(71)};
    for (const double edb : dry_bulbs) p.entering_dry_bulb.push_back(degF(edb));
    const double total[] = {29.7, 31.8, 34.0, 36.4}, sensible[] = {33.3, 29.1, 24.9, 20.7};
    for (int k = 0; k < 4; ++k)
        for (const double edb : dry_bulbs) {
            const double s = std::min(at_dry_bulb(sensible[k], 0.10, edb), total[k]);
            p.nodes.push_back(node(total[k], s, 2.5, 0.10));
            if (blank && k == 3 && edb == 75) p.nodes.back() = {0, 0, 0, 0, Mark::blank};
        }
    p.has_sensible = p.has_power = p.has_bypass = true;
    p.total_step = p.sensible_step = MBh(0.1);
    return p;
}
Basis no_reference() {
    Basis b = basis();
    b.sensible_at.reset();
    return b;
}
Conditions gross(double odb, double edb, double ewb, double flow) {
    Conditions c;
    c.stage = "full";
    c.outdoor_dry_bulb = Temperature{degF(odb)};
    c.entering_dry_bulb = Temperature{degF(edb)};
    c.entering_humidity = air::wet_bulb(Temperature{degF(ewb)});
    c.airflow = AirflowReading::standard(Airflow{cfm(flow)});
    c.boundary = Boundary::coil;
    return c;
}
}  // namespace

TEST_CASE("sensible at several entering dry bulbs: every node comes back bit for bit, wet and dry") {
    const PrintedPage page = by_dry_bulb();
    const System s = system(no_reference(), page);
    const PageShape shape(page);
    for (std::size_t n = 0; n < page.nodes.size(); ++n) {
        Conditions c = gross(95, 0, 0, 1000);
        c.entering_dry_bulb = Temperature{shape.value(n, PageAxis::entering_dry_bulb)};
        c.entering_humidity = air::wet_bulb(Temperature{shape.value(n, PageAxis::humidity)});
        const Expected e = expect(s, Site::sea_level(), c);
        CAPTURE(n);
        CHECK(e.total_capacity.si == page.nodes[n].total);
        CHECK(e.sensible_capacity->si == page.nodes[n].sensible);
    }
}

TEST_CASE("between dry bulbs of a wet cell the footnote line is met, with no reference dry bulb to correct from") {
    const System printed = system(no_reference(), by_dry_bulb());
    PrintedPage one = by_dry_bulb();
    one.entering_dry_bulb.clear();
    one.nodes.clear();
    const double total[] = {29.7, 31.8, 34.0, 36.4}, sensible[] = {29.7, 29.1, 24.9, 20.7};
    for (int k = 0; k < 4; ++k) one.nodes.push_back(node(total[k], sensible[k], 2.5, 0.10));
    const System footnote = system(basis(), one);
    for (const double ewb : {67.0, 68.5, 71.0})
        for (const double edb : {76.0, 78.5, 80.0, 83.0}) {
            const Expected a = expect(printed, Site::sea_level(), gross(95, edb, ewb, 1000));
            const Expected b = expect(footnote, Site::sea_level(), gross(95, edb, ewb, 1000));
            CHECK(near(a.total_capacity.si, b.total_capacity.si, relative(1e-12)));
            CHECK(near(a.sensible_capacity->si, b.sensible_capacity->si, relative(1e-12)));
            CHECK(a.footing == Footing::inside);
        }
}

TEST_CASE("with dry nodes on an entering-dry-bulb axis total is continuous, and never under the wet line") {
    const System s = system(no_reference(), by_dry_bulb());
    for (const double edb : {76.0, 79.0, 80.0, 84.0}) {
        double last = 0.0, last_sensible = 0.0;
        for (int i = 0; i <= 1200; ++i) {
            const double ewb = 59 + 0.01 * i;
            const Expected e = expect(s, Site::sea_level(), gross(95, edb, ewb, 1000));
            CHECK(e.total_capacity.si >= wet_line_total(e) - 1e-9);
            CHECK(e.sensible_capacity->si <= e.total_capacity.si + 1e-9);
            if (i > 0) CHECK(near(e.total_capacity.si, last, absolute(MBh(0.02))));
            if (i > 0) CHECK(near(e.sensible_capacity->si, last_sensible, absolute(MBh(0.03))));
            last = e.total_capacity.si;
            last_sensible = e.sensible_capacity->si;
        }
    }
}

TEST_CASE("a blank entering dry bulb: refused, or inferred along the bypass-factor line on request") {
    const System s = system(no_reference(), by_dry_bulb(true));
    Conditions c = gross(95, 78, 70, 1000);  // leans on the blank node over 75/71
    const auto refused = try_expect(s, Site::sea_level(), c);
    REQUIRE_FALSE(refused);
    CHECK(refused.reason().why == Why::not_inferred);
    CHECK(refused.reason().about == About::entering_dry_bulb);
    c.infer = true;
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(has(e.footing, Footing::inferred));
    CHECK(e.notes.has(Note::inferred_dry_bulb));
    // The line between the two dry bulbs that are printed goes straight on: by hand 20.7 - 0.99 x 5 = 15.75 MBh.
    const Expected whole = expect(system(no_reference(), by_dry_bulb()), Site::sea_level(), c);
    CHECK(near(e.sensible_capacity->si, whole.sensible_capacity->si, relative(1e-12)));
    CHECK(e.uncertainty.inferred > 0.0);
    // Without weight it does not matter.
    CHECK(try_expect(s, Site::sea_level(), gross(95, 80, 71, 1000)));
    CHECK(try_expect(s, Site::sea_level(), gross(95, 77, 67, 1000)));
    // Whoever typed the page may allow it once for all.
    PrintedPage allowed = by_dry_bulb(true);
    allowed.infer = true;
    c.infer = false;
    CHECK(try_expect(system(no_reference(), allowed), Site::sea_level(), c));
}

TEST_CASE("a page of relative humidities is met at its nodes, and entered at altitude by the wet bulb") {
    PrintedPage p = by_dry_bulb();
    p.entering_wet_bulb.clear();
    p.relative_humidity = {0.40, 0.50, 0.60, 0.70};
    p.entering_dry_bulb = {degF(75), degF(80)};
    p.nodes.clear();
    for (int k = 0; k < 4; ++k)
        for (const double edb : {75.0, 80.0})
            p.nodes.push_back(node(29.0 + 1.6 * k + 0.2 * (edb - 75), 24.0 - 2.5 * k + 0.9 * (edb - 75), 2.5, 0.10));
    const System s = system(no_reference(), p);
    Conditions c = gross(95, 80, 0, 1000);
    for (int k = 0; k < 4; ++k) {
        c.entering_humidity = air::relative_humidity(p.relative_humidity[static_cast<std::size_t>(k)]);
        const Expected e = expect(s, Site::sea_level(), c);
        CHECK(e.total_capacity.si == p.nodes[static_cast<std::size_t>(2 * k + 1)].total);
        CHECK(e.sensible_capacity->si == p.nodes[static_cast<std::size_t>(2 * k + 1)].sensible);
    }
    c.entering_humidity = air::wet_bulb(Temperature{degF(67)});
    const double here = expect(s, Site::at_elevation(5000_ft), c).gross_total.si;
    // Entered at the place of sea level; what thin air does comes after.
    const double thin = derates::altitude_effect(air::pressure_at(5000_ft).si / 101325.0, false).total;
    CHECK(here == expect(s, Site::sea_level(), c).gross_total.si * thin);
    c.entering_humidity = air::relative_humidity(0.80);
    const auto outside = try_expect(s, Site::sea_level(), c);
    CHECK(outside.reason().about == About::entering_relative_humidity);
    CHECK(explain(s, expect(s, Site::sea_level(), gross(95, 80, 67, 1000)), UnitSystem::IP)
              .find("entering relative humidity") != std::string::npos);
}

TEST_CASE("a page of station pressures needs no altitude assumption") {
    PrintedPage p = by_dry_bulb();
    p.pressure = {85e3, 101325.0};
    std::vector<PrintedNode> nodes;
    for (const PrintedNode& n : p.nodes)
        for (const double factor : {0.95, 1.0}) {
            nodes.push_back({n.total * factor, n.sensible * factor, n.power, n.bypass, n.mark});
        }
    p.nodes = nodes;
    const System s = system(no_reference(), p);
    const Conditions c = gross(95, 80, 67, 1000);
    CHECK(expect(s, Site::at_pressure(Pressure{85e3}), c).total_capacity.si == p.nodes[14].total);
    CHECK(expect(s, Site::at_pressure(Pressure{101325.0}), c).total_capacity.si == p.nodes[15].total);
    const Expected middle = expect(s, Site::at_pressure(Pressure{93162.5}), c);
    CHECK(near(middle.total_capacity.si, MBh(34.0) * 0.975, relative(1e-12)));
    CHECK(middle.uncertainty.altitude == 0.0);
    CHECK_FALSE(middle.notes.has(Note::altitude_assumed));
    const auto high = try_expect(s, Site::at_pressure(Pressure{80e3}), c);
    CHECK(high.reason().about == About::pressure);
}

TEST_CASE("pairs of dry and wet bulb: met at the pairs, read on the way between two, by wet bulb beside it") {
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(85), degF(95)};
    p.airflow = {cfm(1000)};
    p.pairs = {{degF(75), degF(63)}, {degF(80), degF(67)}, {degF(85), degF(71)}};
    p.nodes = {node(33.5, 24.9, 2.2, 0.1), node(35.8, 25.6, 2.2, 0.1), node(38.2, 26.3, 2.3, 0.1),
               node(31.8, 24.1, 2.5, 0.1), node(34.0, 24.9, 2.5, 0.1), node(36.4, 25.6, 2.6, 0.1)};
    p.has_sensible = p.has_power = p.has_bypass = true;
    const System s = system(no_reference(), p);
    CHECK(expect(s, Site::sea_level(), gross(95, 80, 67, 1000)).total_capacity.si == p.nodes[4].total);
    const Expected e = expect(s, Site::sea_level(), gross(90, 77.5, 65, 1000));  // by hand: means of four
    CHECK(near(e.total_capacity.si, MBh((33.5 + 35.8 + 31.8 + 34.0) / 4), relative(1e-12)));
    CHECK(near(e.sensible_capacity->si, MBh((24.9 + 25.6 + 24.1 + 24.9) / 4), relative(1e-12)));
    CHECK(e.notes.has(Note::along_pairs));
    // Beside the pairs total and power are those at this wet bulb; sensible moves by the bypass factor, here 3 degF.
    const Expected beside = expect(s, Site::sea_level(), gross(90, 80.5, 65, 1000));
    CHECK(near(beside.total_capacity.si, e.total_capacity.si, relative(1e-12)));
    CHECK(near(beside.power->si, e.power->si, relative(1e-12)));
    const double moved = no_reference().sensible_slope->si * cfm(1000) * 0.9 * 3.0 / 1.8;
    CHECK(near(beside.sensible_capacity->si, e.sensible_capacity->si + moved, relative(1e-9)));
    CHECK(beside.notes.has(Note::beside_pairs));
    CHECK_FALSE(e.notes.has(Note::beside_pairs));
    CHECK(near(beside.uncertainty.inferred, 0.0005 * 3.0 * beside.total_capacity.si, relative(0.001)));
    CHECK(expect(s, Site::sea_level(), gross(90, 78, 65, 1000)).notes.has(Note::beside_pairs));
    // Where the coil may be dry, too far away, and past the last pair there is no answer.
    const auto dry_there = try_expect(s, Site::sea_level(), gross(90, 84, 64, 1000));
    REQUIRE_FALSE(dry_there);
    CHECK(dry_there.reason().why == Why::off_path);
    CHECK(near(dry_there.reason().lower, degF(70.2), relative(1e-12)));  // what it would be at 84 degF
    CHECK(std::isinf(try_expect(s, Site::sea_level(), gross(90, 66.5, 65, 1000)).reason().upper));
    CHECK(explain(dry_there.reason(), s, gross(90, 84, 64, 1000), UnitSystem::IP).find("(nearest: ") !=
          std::string::npos);
    const Conditions small_step = gross(90, 77.6, 64.8, 1000);  // of a proof's input: as the answer itself
    const auto stepped = detail::answer_to(s, Site::sea_level(), {small_step, detail::follow});
    REQUIRE(stepped);
    CHECK(stepped->total_capacity.si == expect(s, Site::sea_level(), small_step).total_capacity.si);
    CHECK(try_expect(s, Site::sea_level(), gross(90, 86, 72, 1000)).reason().why == Why::off_path);  // past the last
    p.has_bypass = false;
    for (PrintedNode& node : p.nodes) node.bypass = 0.0;
    p.has_sensible = false;
    CHECK(try_expect(system(no_reference(), p), Site::sea_level(), gross(90, 78, 65, 1000)).reason().why ==
          Why::off_path);
    p.has_bypass = p.has_sensible = true;
    for (PrintedNode& node : p.nodes) node.bypass = 0.1;
    CHECK(try_expect(s, Site::sea_level(), gross(90, 77.5, 65.09, 1000)));  // within 0.1 delta_degF
    p.pairs_are_points = true;
    const System points = system(no_reference(), p);
    CHECK(try_expect(points, Site::sea_level(), gross(90, 80, 67, 1000)));
    CHECK(try_expect(points, Site::sea_level(), gross(90, 77.5, 65, 1000)).reason().why == Why::off_path);
    // A dry pair is answered where it stands; on the way to a wet one less surely: the knee lies between, unsaid.
    p.pairs_are_points = false;
    p.nodes[0] = node(25.0, 25.0, 2.2, 0.1);
    p.nodes[3] = node(24.2, 24.2, 2.5, 0.1);
    const System dry = system(no_reference(), p);
    const Expected there = expect(dry, Site::sea_level(), gross(90, 75, 63, 1000));
    CHECK(there.sensible_capacity->si == there.total_capacity.si);
    CHECK(there.notes.has(Note::sensible_lower_bound));
    const Expected between = expect(dry, Site::sea_level(), gross(90, 77, 64.6, 1000));
    CHECK(has(between.footing, Footing::wet_line));
    CHECK(between.notes.has(Note::sensible_lower_bound));
    CHECK(between.uncertainty.inferred > 0.0);
}

TEST_CASE("a ragged page: by hand where all corners are printed, refused where one is not") {
    // 115 degF over 71 degF is dashed out, as light commercial pages do; three of the four cells are whole.
    PrintedPage p = page();
    p.outdoor_dry_bulb = {degF(95), degF(105), degF(115)};
    p.airflow = {cfm(1000)};
    p.entering_wet_bulb = {degF(63), degF(67), degF(71)};
    p.nodes = {node(31.8, 29.1, 2.5, 0.1), node(34.0, 24.9, 2.5, 0.1), node(36.4, 20.7, 2.5, 0.1),
               node(30.0, 28.3, 2.8, 0.1), node(32.3, 24.2, 2.8, 0.1), node(34.6, 20.1, 2.8, 0.1),
               node(28.3, 27.6, 3.1, 0.1), node(30.5, 23.6, 3.1, 0.1), {0, 0, 0, 0, Mark::blank}};
    const System s = system(basis(), p);
    // (1/4, 3/4) into the cell of 105..115 by 63..67: 0.75(0.25 30.0 + 0.75 32.3) + 0.25(0.25 28.3 + 0.75 30.5).
    const double by_hand = 0.75 * (0.25 * 30.0 + 0.75 * 32.3) + 0.25 * (0.25 * 28.3 + 0.75 * 30.5);
    CHECK(near(expect(s, Site::sea_level(), gross(107.5, 80, 66, 1000)).total_capacity.si, MBh(by_hand),
               relative(1e-12)));
    const auto hole = try_expect(s, Site::sea_level(), gross(107.5, 80, 68, 1000));
    REQUIRE_FALSE(hole);
    CHECK(hole.reason().why == Why::blank);
    CHECK(hole.reason().node == 8);
    // on its edge, from either side
    CHECK(near(expect(s, Site::sea_level(), gross(105, 80, 69, 1000)).total_capacity.si, MBh(0.5 * (32.3 + 34.6)),
               relative(1e-12)));
    CHECK(near(expect(s, Site::sea_level(), gross(110, 80, 67, 1000)).total_capacity.si, MBh(0.5 * (32.3 + 30.5)),
               relative(1e-12)));
}

TEST_CASE("extra columns are kept and read between the nodes") {
    PrintedPage p = page();
    p.extras.push_back({"split", units::delta_degF, {}, 0.0});
    for (std::size_t n = 0; n < p.nodes.size(); ++n) p.extras[0].values.push_back(10.0 + static_cast<double>(n));
    p.extras[0].values[7] = std::numeric_limits<double>::quiet_NaN();
    const RatingTable table(basis(), p);
    const PagePoint node{{degF(85), cfm(1200), degF(67)}}, middle{{degF(85), cfm(1100), degF(65)}},
        blank{{degF(95), cfm(1200), degF(66)}};
    CHECK(*detail::read_extra(table, 0, node) == 13.0);
    CHECK(near(*detail::read_extra(table, 0, middle), 11.5, relative(1e-14)));
    CHECK(detail::read_extra(table, 0, blank).reason().why == Why::blank);
}

TEST_CASE("pages that cannot be are refused, each with what would be right") {
    const auto problem = [](auto change, Basis b = no_reference()) {
        PrintedPage p = by_dry_bulb();
        change(p);
        try {
            (void)RatingTable(b, p);
        } catch (const InputError& e) {
            return std::string(e.what());
        }
        return std::string();
    };
    CHECK(problem([](PrintedPage&) {}).empty());
    CHECK(problem([](PrintedPage& p) { p.relative_humidity = {0.5}; }).find("two humidity axes") != std::string::npos);
    CHECK(problem([](PrintedPage& p) { p.entering_dry_bulb = {degF(80)}; }).find("one entering dry bulb only") !=
          std::string::npos);
    CHECK(problem([](PrintedPage& p) { p.entering_dry_bulb[0] = degF(70); }).find("no air is wetter than saturated") !=
          std::string::npos);
    CHECK(problem([](PrintedPage& p) {
              p.entering_wet_bulb.clear();
              p.relative_humidity = {0.4, 0.5, 0.6, 70};
          }).find("0.55, not 55") != std::string::npos);
    CHECK(problem([](PrintedPage& p) {
              for (std::size_t n = 0; n < p.nodes.size(); n += 3) std::swap(p.nodes[n], p.nodes[n + 1]);
          }).find("columns swapped") != std::string::npos);
    CHECK(problem([](PrintedPage& p) {
              p.extras.push_back({"liquid_pressure", units::psig, std::vector<double>(12, units::psig.to_si(-300)), 0});
          }).find("below vacuum") != std::string::npos);
    CHECK(problem([](PrintedPage& p) { p.pressure = {81.273, 101.325}; }).find("in Pa") != std::string::npos);
    CHECK(problem([](PrintedPage& p) {
              p.extras.push_back({"amps", units::A, {1.0}, 0.1});
          }).find("one for each node") != std::string::npos);
    CHECK(problem([](PrintedPage& p) { p.entering_wet_bulb[1] = p.entering_wet_bulb[0]; }).find("repeats") !=
          std::string::npos);
    CHECK(problem([](PrintedPage& p) { p.airflow[0] = std::nan(""); }) != "");
}

TEST_CASE("a variable-speed compressor: blocks, and between them only where the maker and the question say so") {
    const auto block = [](double flow, double scale, double first_odb) {
        PrintedPage p;
        p.outdoor_dry_bulb = {degF(first_odb), degF(95)};
        p.airflow = {cfm(flow)};
        p.entering_wet_bulb = {degF(63), degF(67)};
        p.nodes = {
            node(33.3 * scale, 29.0 * scale, 2.2 * scale, 0.1), node(35.8 * scale, 25.7 * scale, 2.2 * scale, 0.1),
            node(31.5 * scale, 28.0 * scale, 2.5 * scale, 0.1), node(33.9 * scale, 24.9 * scale, 2.5 * scale, 0.1)};
        p.has_sensible = p.has_power = p.has_bypass = true;
        return p;
    };
    SystemParts parts;
    Basis stated = basis();
    stated.tolerance = 0.05;
    parts.cooling.push_back({"minimum", RatingTable(stated, block(500, 0.4, 65)), 20.0});
    parts.cooling.push_back({"rated", RatingTable(stated, block(1000, 1.0, 85)), 60.0});
    parts.modulation = Modulation::continuous;
    parts.speed_unit = units::Hz;
    const System continuous(parts);
    SystemParts unlike = parts;  // between a page with power and one without there is none to tell
    Basis compressor = basis();
    compressor.power = PowerBasis::compressor;
    unlike.cooling[1].table = RatingTable(compressor, block(1000, 1.0, 85));
    CHECK_THROWS_AS((void)System(unlike), InputError);
    parts.modulation = Modulation::variable;
    const System blocks(parts);

    Conditions c = gross(90, 80, 65, 700);
    c.stage = {};
    c.speed = Speed::of(36.0, units::Hz);  // 0.4 of the way, and so is 700 scfm
    const Expected e = expect(continuous, Site::sea_level(), c);
    Conditions low = gross(90, 80, 65, 500), high = gross(90, 80, 65, 1000);
    low.stage = "minimum";
    high.stage = "rated";
    const Expected a = expect(continuous, Site::sea_level(), low), b = expect(continuous, Site::sea_level(), high);
    CHECK(near(e.total_capacity.si, 0.6 * a.total_capacity.si + 0.4 * b.total_capacity.si, relative(1e-12)));
    CHECK(
        near(e.sensible_capacity->si, 0.6 * a.sensible_capacity->si + 0.4 * b.sensible_capacity->si, relative(1e-12)));
    CHECK(near(e.power->si, 0.6 * a.power->si + 0.4 * b.power->si, relative(1e-12)));
    CHECK(e.notes.has(Note::between_speeds));
    CHECK(e.ledger.end()[-1].after == e.power->si);
    for (const auto& part : told_of<ExpectedUncertainty>) {  // each part lies between its own two
        CAPTURE(part.name);
        CHECK(
            near(part.of(e.uncertainty), 0.6 * part.of(a.uncertainty) + 0.4 * part.of(b.uncertainty), relative(1e-12)));
    }
    CHECK(e.uncertainty.tolerance > 0.0);
    CHECK(explain(continuous, e, UnitSystem::IP).find("speed, 0.400 of the way to rated") != std::string::npos);
    // Leaving air closes with what flows, not with what either page was printed at.
    CHECK(near(e.leaving->split.si,
               e.sensible_capacity->si / (e.mass_flow.si * air::si::moist_heat_capacity(e.leaving->humidity_ratio.si)),
               relative(1e-12)));

    const auto refused = [&](const System& s, const Conditions& q) {
        return try_expect(s, Site::sea_level(), q).reason();
    };
    CHECK(refused(blocks, c).why == Why::not_continuous);
    c.speed = Speed::of(60.0, units::Hz);
    c.airflow = AirflowReading::standard(1000_cfm);
    CHECK(expect(blocks, Site::sea_level(), c).total_capacity.si == b.total_capacity.si);  // a printed speed is a stage
    c.speed = Speed::of(61.0, units::Hz);
    CHECK(refused(continuous, c).why == Why::outside);
    CHECK(refused(continuous, c).upper == 60.0);
    c.speed = Speed::of(36.0, units::Hz);
    CHECK(refused(continuous, c).about == About::standard_airflow);  // 1000 scfm is not that speed's airflow
    c.stage = "rated";
    CHECK(refused(continuous, c).why == Why::contradictory);
    c = gross(70, 80, 65, 700);  // the rated block begins at 85 degF outdoors
    c.stage = {};
    c.speed = Speed::of(36.0, units::Hz);
    CHECK(refused(continuous, c).about == About::outdoor_dry_bulb);
    CHECK(refused(system(), c).why == Why::unknown_stage);
}

TEST_CASE("slopes are one-sided at breakpoints and where the coil turns dry, and those of the grid in a wet cell") {
    const System s = system(basis(), dry_page());
    Conditions c = dry_question(80, 65);
    const auto slopes = [&](Along along, Side side) { return *try_slopes(s, Site::sea_level(), c, along, side); };
    CHECK(try_slopes(s, Site::sea_level(), c, static_cast<Along>(7), Side::upper).reason().why == Why::unknown_choice);
    const double degF_1 = units::delta_degF.to_si(1.0);
    // Wet, between nodes: by hand (34.0 - 31.8) / 4 and (24.9 - 29.1) / 4 MBh a degF, the same on both sides.
    for (const Side side : {Side::lower, Side::upper}) {
        CHECK(near(slopes(Along::entering_wet_bulb, side).total, MBh(0.55) / degF_1, relative(1e-7)));
        CHECK(near(*slopes(Along::entering_wet_bulb, side).sensible, MBh(-1.05) / degF_1, relative(1e-7)));
        CHECK(near(slopes(Along::entering_dry_bulb, side).total, 0.0, absolute(1e-6)));
        CHECK(near(*slopes(Along::entering_dry_bulb, side).sensible, MBh(1.10 * 0.9) / degF_1, relative(1e-7)));
    }
    // At a node: each side its own cell.
    c = dry_question(80, 67);
    CHECK(near(slopes(Along::entering_wet_bulb, Side::lower).total, MBh(0.55) / degF_1, relative(1e-7)));
    CHECK(near(slopes(Along::entering_wet_bulb, Side::upper).total, MBh(0.60) / degF_1, relative(1e-7)));
    // Where the coil turns dry: flat below, the wet slope above.
    c = dry_question(84, 65);
    const Expected dry = expect(s, Site::sea_level(), dry_question(84, 62));
    REQUIRE(dry.knee);
    c.entering_humidity = air::wet_bulb(*dry.knee);
    const double below = slopes(Along::entering_wet_bulb, Side::lower).total,
                 above = slopes(Along::entering_wet_bulb, Side::upper).total;
    CHECK(std::abs(below) < 0.2 * above);
    CHECK(near(above, MBh(0.55) / degF_1, relative(1e-7)));
    // Past the edge there is no slope.
    c = dry_question(80, 71);
    CHECK(try_slopes(s, Site::sea_level(), c, Along::entering_wet_bulb, Side::lower));
    CHECK(try_slopes(s, Site::sea_level(), c, Along::entering_wet_bulb, Side::upper).reason().why == Why::outside);
}

TEST_CASE("a page printed at one airflow: that airflow, one near it if asked, and a proof's small steps beside it") {
    const System s = system(basis(), dry_page());
    Conditions c = dry_question(80, 65);
    c.airflow = AirflowReading::standard(1015_cfm);
    CHECK(try_expect(s, Site::sea_level(), c).reason().about == About::standard_airflow);
    c.outside = Outside::hold;
    CHECK(has(expect(s, Site::sea_level(), c).footing, Footing::held));
    c.airflow = AirflowReading::standard(1035_cfm);
    CHECK(try_expect(s, Site::sea_level(), c).reason().why == Why::outside);
    CHECK(detail::answer_to(s, Site::sea_level(), {c, detail::follow}));
}
