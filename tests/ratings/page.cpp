// A page gives its own numbers back, refuses to contradict itself, and turns dry where it should.
#include <doctest/doctest.h>

#include "../support/dry_page.hpp"
#include "../support/heating_page.hpp"
#include "../support/near.hpp"
#include "offnominal/files.hpp"
#include "offnominal/ratings/rows.hpp"

using namespace unit_a;

namespace {
std::string problem_of(PrintedPage p, Basis b = basis()) {
    try {
        RatingTable table(b, std::move(p));
    } catch (const InputError& e) {
        return e.what();
    }
    return "accepted";
}
}  // namespace

TEST_CASE("with every factor at 1 the page's numbers come back at its nodes, wet and dry") {
    for (const PrintedPage& p : {page(), dry_page()}) {
        const System s = system(basis(), p);
        std::size_t n = 0;
        for (const double odb : p.outdoor_dry_bulb)
            for (const double flow : p.airflow)
                for (const double ewb : p.entering_wet_bulb) {
                    Conditions c = dry_question(80, 60);
                    c.outdoor_dry_bulb.si = odb;
                    c.airflow.si = flow;
                    c.entering_humidity.value = ewb;
                    const Expected e = expect(s, Site::sea_level(), c);
                    const PrintedNode& node = p.nodes[n++];
                    if (node.mark == Mark::dry) {  // by way of the dry-coil rule: to rounding
                        CHECK(near(e.total_capacity.si, node.total, relative(1e-10)));
                        CHECK(e.sensible_capacity->si == e.total_capacity.si);
                        CHECK(near(e.power->si, node.power, relative(1e-10)));
                        CHECK(e.footing == (Footing::dry | Footing::wet_line));
                    } else {  // bit for bit
                        CHECK(e.total_capacity.si == node.total);
                        CHECK(e.sensible_capacity->si == node.sensible);
                        CHECK(e.power->si == node.power);
                        CHECK(e.footing == Footing::inside);
                    }
                }
    }
}

TEST_CASE("a page built without its printed steps is no surer of itself than one with them") {
    const double not_given = PrintedPage::not_given;
    PrintedPage p = page();
    p.total_step = p.sensible_step = p.power_step = not_given;
    const PrintedPage told = RatingTable(basis(), p).page();
    PrintedPage wrong = page();
    wrong.power_step = -1.0;
    CHECK_THROWS_WITH_AS(RatingTable(basis(), wrong), doctest::Contains("a printed step below zero"), InputError);
    CHECK(near(told.total_step, MBh(0.1), relative(1e-12)));
    CHECK(near(told.sensible_step, MBh(0.1), relative(1e-12)));
    CHECK(near(told.power_step, kW(0.01), relative(1e-12)));
    const auto doubt = [](const PrintedPage& of) {
        return expect(system(basis(), of), Site::sea_level(), example_1()).uncertainty.resolution;
    };
    CHECK(near(doubt(p), doubt(page()), relative(1e-12)));
    CHECK(doubt(p) > 0.0);
    p.total_step = 0.0;  // never printed, and said so
    CHECK(doubt(p) == 0.0);
    // Whole watts; numbers with all their digits; round numbers, of which a page prints three digits at least.
    CHECK(detail::printed_step({10234.0, 11001.0}) == 1.0);
    CHECK(detail::printed_step({10234.123456789, 11001.987654321}) == 0.0);
    CHECK(near(detail::printed_step({MBh(30.0)}), MBh(0.1), relative(1e-12)));
    CHECK(detail::printed_step({}) == 0.0);

    HeatingPage h = heating_page::page();
    const HeatingTable printed(heating_page::basis(), h);
    h.capacity_step = h.power_step = not_given;
    const HeatingTable built(heating_page::basis(), h);
    CHECK(near(built.page().capacity_step, printed.page().capacity_step, relative(1e-12)));
    CHECK(near(built.page().power_step, printed.page().power_step, relative(1e-12)));
}

TEST_CASE(
    "every dry node of the demo's pages gives its printed total back, though the rule alone would miss some by 12 W") {
    const System s = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    int dry = 0;
    for (const Stage& stage : s.parts().cooling) {
        const PrintedPage& p = stage.table.page();
        std::size_t n = 0;
        for (const double odb : p.outdoor_dry_bulb)
            for (const double flow : p.airflow)
                for (const double ewb : p.entering_wet_bulb) {
                    const PrintedNode& node = p.nodes[n++];
                    if (node.mark != Mark::dry) continue;
                    Conditions c = dry_question(80, 60);
                    c.stage = stage.name;
                    c.match = "indoor A";
                    c.line_set = LineSet::reference();
                    c.outdoor_dry_bulb.si = odb;
                    c.airflow.si = flow;
                    c.entering_humidity.value = ewb;
                    const Expected e = expect(s, Site::sea_level(), c);
                    CHECK(near(e.total_capacity.si, node.total, relative(1e-10)));
                    CHECK(near(e.sensible_capacity->si, node.total, relative(1e-10)));
                    ++dry;
                }
    }
    CHECK(dry > 10);
}

TEST_CASE("a node is met from degC as well as from degF") {
    const System s = system();
    Conditions c = dry_question(80, 63);
    c.outdoor_dry_bulb = Temperature{35.0};
    c.entering_dry_bulb = Temperature{80.0 / 1.8 - 32 / 1.8};
    c.entering_humidity = air::wet_bulb(Temperature{63.0 / 1.8 - 32.0 / 1.8});
    CHECK(expect(s, Site::sea_level(), c).gross_total.si == MBh(31.5));
}

TEST_CASE("total is continuous across the knee, constant below it, and never under the wet line") {
    const System s = system(basis(), dry_page());
    for (const double edb : {80.0, 82.0, 84.0}) {
        double last = 0, at_dry_end = 0;
        for (int i = 0; i <= 1200; ++i) {
            const double ewb = 59.0 + 0.01 * i;
            const Expected e = expect(s, Site::sea_level(), dry_question(edb, ewb));
            const double total = in(e.total_capacity, units::MBh);
            CHECK(e.sensible_capacity->si <= e.total_capacity.si);
            if (i > 0) CHECK(near(total, last, absolute(0.01)));  // 0.01 degF of wet bulb is worth 0.006 MBh
            if (e.knee) {
                if (i == 0) at_dry_end = total;
                CHECK(near(total, at_dry_end, absolute(0.15)));  // flat but for the page's own dry number, 0.1 MBh away
                for (const Step& step : e.ledger)                // before the rule: the wet line
                    if (step.kind == Step::Kind::dry_coil && step.of == Step::Of::total)
                        CHECK(step.after >= step.before);
            }
            last = total;
        }
    }
}

TEST_CASE("below the reference dry bulb next to a dry node an answer costs certainty by the node's share") {
    const System s = system(basis(), dry_page());
    const Expected e = expect(s, Site::sea_level(), dry_question(76, 61));
    CHECK(e.footing == Footing::wet_line);
    CHECK(near(in(e.total_capacity, units::MBh), 30.70, relative(1e-9)));
    // By hand: half the weight is on the dry node.
    CHECK(near(e.uncertainty.inferred, 0.006 * std::sqrt(0.5) * e.gross_total.si, relative(1e-9)));
    // Away from the dry node nothing is inferred.
    CHECK(expect(s, Site::sea_level(), dry_question(76, 64)).footing == Footing::inside);
}

TEST_CASE("a dry node with one wet node above it takes the slopes of the nearest outdoor dry bulb") {
    PrintedPage p = dry_page();
    p.outdoor_dry_bulb = {degF(95), degF(115)};
    p.nodes.insert(p.nodes.end(), {node(28.0, 28.0, 3.10, 0.10),
                                   node(28.3, 27.6, 3.11, 0.10),
                                   {0, 0, 0, 0, Mark::blank},
                                   {0, 0, 0, 0, Mark::blank}});
    const System s = system(basis(), p);
    Conditions c = dry_question(80, 61);
    c.outdoor_dry_bulb = 115_degF;
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(e.footing == (Footing::dry | Footing::wet_line));
    // Slopes of 95 degF: total 0.55, sensible -1.05 MBh per degF. They meet 0.7 / 1.60 = 0.4375 degF below 63.
    CHECK(near(in(*e.knee, units::degF), 63 - 0.4375, relative(1e-6)));
    c.entering_humidity = air::wet_bulb(59_degF);  // the page's own dry total comes back all the same
    CHECK(near(in(expect(s, Site::sea_level(), c).total_capacity, units::MBh), 28.0, relative(1e-10)));
}

TEST_CASE("a dry node with no way to a wet line is refused") {
    PrintedPage p = dry_page();
    p.nodes[1] = node(31.3, 31.3, 2.46, 0.10);
    p.nodes[2] = node(33.0, 33.0, 2.46, 0.10);
    CHECK(try_expect(system(basis(), p), Site::sea_level(), dry_question(80, 61)).reason().why == Why::no_wet_line);
    CHECK(expect(system(basis(), p), Site::sea_level(), dry_question(80, 71)).total_capacity.si == MBh(36.4));
}

TEST_CASE("the knee past the top of the page is a reason") {
    PrintedPage p = page();
    const auto answer = try_expect(system(basis(), p), Site::sea_level(), [] {
        Conditions c = dry_question(110, 63);
        return c;
    }());
    CHECK(answer.reason().why == Why::no_knee);
}

TEST_CASE("past the edge: refuse, hold, extend, each by name") {
    const System s = system();
    Conditions c = dry_question(80, 65);
    c.outdoor_dry_bulb = Temperature{degF(95.15)};
    const auto refused = try_expect(s, Site::sea_level(), c);
    CHECK(explain(refused.reason(), UnitSystem::IP) == "outdoor dry bulb 95.15 degF is outside 85 degF to 95 degF");
    c.outside = Outside::hold;
    const Expected held = expect(s, Site::sea_level(), c);
    CHECK(held.footing == Footing::held);
    c.outside = Outside::extend;
    const Expected extended = expect(s, Site::sea_level(), c);
    CHECK(extended.footing == Footing::extended);
    CHECK(extended.total_capacity.si < held.total_capacity.si);
    c.outdoor_dry_bulb = Temperature{degF(95.3)};  // more than 2 % of the span
    CHECK(try_expect(s, Site::sea_level(), c).reason().why == Why::outside);
}

TEST_CASE("blank and limit nodes are reasons, and never matter without weight") {
    PrintedPage p = page();
    p.nodes[7] = {0, 0, 0, 0, Mark::blank};
    Conditions c = dry_question(80, 65);
    c.outdoor_dry_bulb = 90_degF;
    c.airflow = AirflowReading::standard(1100_cfm);
    CHECK(try_expect(system(basis(), p), Site::sea_level(), c).reason().why == Why::blank);
    c.outdoor_dry_bulb = 85_degF;
    CHECK(try_expect(system(basis(), p), Site::sea_level(), c));
    p.nodes[7].mark = Mark::beyond_limit;
    c.outdoor_dry_bulb = 90_degF;
    CHECK(try_expect(system(basis(), p), Site::sea_level(), c).reason().why == Why::beyond_limit);
}

TEST_CASE("a page that contradicts itself is refused, naming the node's place") {
    PrintedPage p = page();
    p.nodes[3].sensible = p.nodes[3].total * 1.01;
    p.places.assign(8, {});
    p.places[3] = {"page.yaml", 12, 34};
    CHECK(problem_of(p) == "page.yaml:12:34: sensible capacity above total capacity; accepted: sensible at most total");
    p = page();
    p.nodes.pop_back();
    CHECK(problem_of(p) == "the page has 7 nodes; accepted: 8 nodes, one for each combination of the axes");
    p = page();
    p.nodes[0].total = -1;
    CHECK(problem_of(p).find("total capacity must be positive") != std::string::npos);
    p = page();
    p.nodes[0].bypass = 1.1;
    CHECK(problem_of(p).find("bypass factor must lie between 0 and 1") != std::string::npos);
    p = dry_page();
    p.nodes[2] = node(34.0, 34.0, 2.5, 0.1);
    CHECK(problem_of(p).find("dry at a higher humidity than a wet node") != std::string::npos);
    Basis b = basis();
    b.capacity = CapacityBasis::net;
    CHECK(problem_of(page(), b).find("a net table must name its fan") != std::string::npos);
    b = basis();
    b.sensible_at.reset();
    CHECK(problem_of(page(), b).find("the sensible column needs the entering dry bulb") != std::string::npos);
    p = page();
    p.airflow = {cfm(1200), cfm(1000)};
    CHECK(problem_of(p) != "accepted");
}

TEST_CASE("the page's own uncertainty: printed step and curvature") {
    const RatingTable table(basis(), dry_page());
    const auto at = [&](double ewb) {
        return detail::page_uncertainty(table, PagePoint{{degF(95), cfm(1000), degF(ewb)}}, MBh(32));
    };
    // at a node: one rounding, rectangular
    CHECK(near(at(63).resolution, MBh(0.1) / std::sqrt(12.0), relative(1e-12)));
    // between two: their mean
    CHECK(near(at(65).resolution, MBh(0.1) / std::sqrt(12.0) / std::sqrt(2.0), relative(1e-12)));
    CHECK(at(63).interpolation == 0.0);
    CHECK(at(65).interpolation > 0.0);
    CHECK(at(65).interpolation < 0.01 * MBh(32));
    CHECK(at(65).curvature_known);
    const Expected e = expect(system(), Site::sea_level(), example_1());
    CHECK(e.notes.has(Note::interpolation_unknown));  // two values an axis
}

TEST_CASE("a page written in rows is the one written in breakpoints and nodes, with the steps it is printed in") {
    const PrintedPage rows = page_of(print_IP, {{95, 1200, 67, 34.9, 27.3, 2.52, 0.12},  // in any order
                                                {85, 1000, 63, 33.3, 29.9, 2.19, 0.10},
                                                {85, 1000, 67, 35.8, 25.7, 2.23, 0.10},
                                                {85, 1200, 63, 34.3, 33.0, 2.19, 0.12},
                                                {85, 1200, 67, 36.9, 28.1, 2.23, 0.12},
                                                {95, 1000, 63, 31.5, 29.1, 2.48, 0.10},
                                                {95, 1000, 67, 33.9, 24.9, 2.52, 0.10},
                                                {95, 1200, 63, 32.5, 32.2, 2.48, 0.12}});
    const RatingTable written(basis(), rows), wanted(basis(), page());
    for (std::size_t n = 0; n < 8; ++n) {
        const PrintedNode &a = written.page().nodes[n], &b = wanted.page().nodes[n];
        CHECK((a.total == b.total && a.sensible == b.sensible && a.power == b.power && a.bypass == b.bypass));
        CHECK(a.mark == b.mark);
    }
    CHECK(near(written.page().total_step, wanted.page().total_step, relative(1e-12)));
    CHECK(near(written.page().power_step, wanted.page().power_step, relative(1e-12)));
    for (const PageAxis axis : {PageAxis::outdoor_dry_bulb, PageAxis::airflow, PageAxis::humidity})
        CHECK(std::ranges::equal(written.breakpoints(axis), wanted.breakpoints(axis)));
}

TEST_CASE("rows may be SI, blank, dry, or without a column, and say where they contradict themselves") {
    const PrintedPage p =
        page_of(print_SI, {{30, 500, 17, 9.5, 9.5}, {30, 500, 19, 10.1, 8.0}, {35, 500, 17, 9.0, 9.0}, {35, 500, 19}});
    CHECK(p.airflow == std::vector{units::L_s.to_si(500)});
    CHECK((p.has_sensible && !p.has_power && !p.has_bypass));
    CHECK(p.nodes[0].mark == Mark::dry);
    CHECK(p.nodes[1].total == 10100.0);
    CHECK(p.nodes[3].mark == Mark::blank);
    const auto complaint = [](std::initializer_list<PageRow> rows) -> std::string {
        try {
            (void)page_of(print_IP, rows);
        } catch (const InputError& e) {
            return e.what();
        }
        return "accepted";
    };
    CHECK(complaint({{95, 1000, 63, 31.5}, {95, 1000, 67, 33.9}, {105, 1000, 67, 32.0}}) ==
          "rows of a page that are not one for each combination of its conditions: '3 rows'; accepted: 4: each once, "
          "and one "
          "without data ends with its conditions");
    CHECK(complaint({{95, 1000, 63, 31.5}, {95, 1000, 67, 33.9}, {105, 1000, 67, 32.0}, {95, 1000, 63, 31.5}}) ==
          "a row of a page stands twice: '95, 1000, 63'; accepted: each combination of conditions once");
    CHECK(
        complaint({{95, 1000, 63, 31.5, 29.1}, {95, 1000, 67, 33.9}}).starts_with("a column of a page that some rows"));
    CHECK(complaint({{95, 1000, 63, PageRow::blank, 29.1}}).starts_with("a row of a page without a total"));
    CHECK(complaint({{95, 1000}}).starts_with("a row of a page without one of its conditions"));
}

TEST_CASE("a heating page of rows") {
    const HeatingPage p =
        heating_page_of(print_IP, 70_degF, {{17, 1000, 23.2, 1.85}, {47, 1000, 35.5, 2.22}, {5, 1000}});
    CHECK(p.outdoor_dry_bulb == std::vector{degF(5), degF(17), degF(47)});
    CHECK(p.entering_dry_bulb == std::vector{degF(70)});
    CHECK(p.nodes[0].mark == Mark::blank);
    CHECK(p.nodes[2].capacity == MBh(35.5));
    CHECK(p.nodes[2].power == kW(2.22));
}
