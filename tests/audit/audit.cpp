// An audit names the cell that was mistyped, says what is implied and why, and keeps silent on a clean page.
#include "offnominal/audit.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <tuple>

#include "../../src/audit/auditor.hpp"
#include "../../src/audit/slips.hpp"
#include "../support/dry_page.hpp"
#include "../support/near.hpp"
#include "offnominal/audit.hpp"
#include "offnominal/files.hpp"

using namespace unit_a;

namespace {

struct Demo {
    Basis basis;
    PrintedPage page;

    [[nodiscard]] std::size_t node(double odb, double flow, double ewb) const {
        const auto at = [](const std::vector<double>& x, double value) {
            std::size_t i = 0;
            while (std::abs(x[i] - value) > 1e-6) ++i;
            return i;
        };
        return (at(page.outdoor_dry_bulb, degF(odb)) * page.airflow.size() + at(page.airflow, cfm(flow))) *
                   page.entering_wet_bulb.size() +
               at(page.entering_wet_bulb, degF(ewb));
    }
    PrintedNode& at(double odb, double flow, double ewb) { return page.nodes[node(odb, flow, ewb)]; }
    [[nodiscard]] Audit audit() const { return offnominal::audit(basis, page); }
};

const System& alder() {
    static const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return system;
}
Demo demo(std::size_t stage = 0) {
    const RatingTable& table = alder().parts().cooling[stage].table;
    Demo out{table.basis(), table.page()};
    out.page.typed.clear();  // the tests change numbers, not texts
    return out;
}
/// The demo's page with a column computed from the others.
Demo with_extra(const char* role, Unit unit, double step, double (*compute)(const PrintedNode&, double airflow)) {
    Demo d = demo();
    const PageShape shape(d.page);
    ExtraColumn extra{role, unit, {}, unit.times / unit.over * step};
    for (std::size_t n = 0; n < shape.nodes(); ++n) {
        const bool has = d.page.nodes[n].mark == Mark::printed || d.page.nodes[n].mark == Mark::dry;
        const double exact = has ? compute(d.page.nodes[n], shape.value(n, PageAxis::airflow)) : std::nan("");
        extra.values.push_back(unit.to_si(std::round(unit.from_si(exact) / step) * step));
    }
    d.page.extras = {extra};
    return d;
}
double split_of(const PrintedNode& n, double airflow) {
    return n.sensible / (units::Btu_h_cfm_degF.to_si(1.10) * airflow);
}

/// The first suspect is that cell.
void check_first(const Audit& a, std::size_t node, const char* column) {
    REQUIRE(!a.suspects.empty());
    CHECK(a.suspects[0].node == node);
    CHECK(a.suspects[0].column == column);
}

const Question& question(const Audit& a, Question::About about, Question::By by) {
    for (const Question& q : a.questions)
        if (q.about == about && q.by == by) return q;
    FAIL("not asked");
    return a.questions[0];
}

}  // namespace

TEST_CASE("example 13 of the worked examples: 24.9 typed as 29.4, which RatingTable cannot refuse") {
    PrintedPage p = page();
    p.nodes[5].sensible = MBh(29.4);
    p.places.assign(8, {});
    p.places[5] = {"unit-a.yaml", 12, 5};
    const Audit a = audit(RatingTable(basis(), p));
    check_first(a, 5, "sensible");
    const Suspect& s = a.suspects[0];
    CHECK(s.checks.has(Check::leaving_air));
    CHECK(s.checks.has(Check::bypass));
    CHECK(s.slip == Slip::swapped_digits);
    CHECK(s.guess == "24.9");
    CHECK(s.typed == "29.4");
    CHECK(near(in(Power{*s.implied}, units::MBh), 24.9, absolute(0.05)));
    CHECK(describe(s).find("unit-a.yaml:12:5: sensible 29.4 MBh, implied 24.") == 0);
    CHECK(describe(s).find(": 24.9 with two digits swapped?") != std::string::npos);
    CHECK(why(s).find("cannot leave the coil") != std::string::npos);
    CHECK(a.suspects.size() == 1);

    // The air that would leave: 93.2 % as printed right, past saturation as typed.
    const PrintedPage right = page();
    const PageShape shape(right);
    const Basis b = basis();
    const detail::PageAir air(b, right, shape);
    CHECK(near(*air.leaving_humidity(5, MBh(33.9), MBh(24.9)), 0.932, absolute(0.0005)));
    CHECK(*air.leaving_humidity(5, MBh(33.9), MBh(29.4)) > 1.0);
}

TEST_CASE("clean pages raise no suspect") {
    for (const Stage& stage : alder().parts().cooling) CHECK(audit(stage.table).suspects.empty());
    const System published = load_system(OFFNOMINAL_PUBLISHED_DIR "/hvac_bestest_v1.yaml");
    CHECK(audit(published.parts().cooling[0].table).suspects.empty());
    CHECK(audit(basis(), page()).suspects.empty());
    CHECK(audit(basis(), dry_page()).suspects.empty());
    CHECK(with_extra("split", units::delta_degF, 0.1, split_of).audit().suspects.empty());
}

TEST_CASE("zero and negative numbers: a blank, a minus too many") {
    Demo d = demo();
    d.at(95, 1000, 67).power = 0.0;
    Audit a = d.audit();
    check_first(a, d.node(95, 1000, 67), "power");
    CHECK(a.suspects[0].checks.has(Check::positive));
    CHECK(a.suspects[0].slip == Slip::blank_as_zero);
    d = demo();
    d.at(105, 1200, 71).total = MBh(-35.5);
    a = d.audit();
    check_first(a, d.node(105, 1200, 71), "total");
    CHECK(a.suspects[0].slip == Slip::sign);
    CHECK(a.suspects[0].guess == "35.5");
}

TEST_CASE("a cell off its column's surface, by the slip that explains it") {
    struct Case {
        double typed;
        Slip slip;
        const char* guess;
    };
    for (const Case& c : {Case{38.5, Slip::swapped_digits, "35.8"}, Case{3.58, Slip::decimal_point, "35.8"},
                          Case{358.0, Slip::decimal_point, "35.8"}, Case{38.2, Slip::neighbour, "35.8"}}) {
        Demo d = demo();
        d.at(85, 1000, 67).total = MBh(c.typed);
        const Audit a = d.audit();
        check_first(a, d.node(85, 1000, 67), "total");
        CHECK(a.suspects[0].checks.has(Check::neighbours));
        CHECK(a.suspects[0].slip == c.slip);
        CHECK(a.suspects[0].guess == c.guess);
    }
    Demo d = demo();
    d.at(85, 1000, 67).total = units::Btu_h.to_si(35.8e3 / 3.412142);
    CHECK(d.audit().suspects[0].node == d.node(85, 1000, 67));
}

TEST_CASE("slips in a text are undone one at a time") {
    const auto guess = [](const char* typed, double implied) {
        const auto g = detail::SlipSearch(typed, implied, 0.1, 0.1).best();
        return std::string(name(g.slip)) + " " + g.meant;
    };
    CHECK(guess("29.4", 24.9) == "swapped_digits 24.9");
    CHECK(guess("4.9", 24.9) == "dropped_digit 24.9");
    CHECK(guess("224.9", 24.9) == "extra_digit 24.9");
    CHECK(guess("249", 24.9) == "decimal_point 24.9");
    CHECK(guess("2.49", 24.9) == "decimal_point 24.9");
    CHECK(guess("-24.9", 24.9) == "sign 24.9");
    CHECK(guess("74.9d", 24.9) == "wrong_digit 24.9");
    CHECK(guess("85.00", 24.91) == "unit 24.911");
    CHECK(guess("24.9", 31.7) == "none ");
    CHECK(guess("26.8", 26.18) == "wrong_digit 26.2");  // not 26.18 with a digit dropped: the column prints one decimal
}

TEST_CASE("the wrong sign along an axis is named") {
    Demo d = demo();
    d.at(95, 1000, 67).total = MBh(36.9);  // above 85 degF, and above 71 degF wet bulb
    const Audit a = d.audit();
    check_first(a, d.node(95, 1000, 67), "total");
    CHECK(a.suspects[0].checks.has(Check::trend));
}

TEST_CASE("sensible above total, or below 40 % of it: the one that is off its surface is named") {
    Demo d = demo();
    d.at(95, 800, 63).sensible = MBh(35.8);
    Audit a = d.audit();
    check_first(a, d.node(95, 800, 63), "sensible");
    CHECK(a.suspects[0].checks.has(Check::sensible_ratio));
    d = demo();
    d.at(95, 800, 63).total = MBh(20.5);
    a = d.audit();
    check_first(a, d.node(95, 800, 63), "total");
    CHECK(a.suspects[0].checks.has(Check::sensible_ratio));
}

TEST_CASE("dry where the page is wet, and two numbers on a dry node") {
    Demo d = demo();
    d.at(95, 1000, 63) = d.at(95, 1000, 59);
    Audit a = d.audit();
    check_first(a, d.node(95, 1000, 63), "row");
    CHECK(a.suspects[0].checks.has(Check::dryness));
    CHECK(a.suspects[0].slip == Slip::repeated_row);
    CHECK(a.suspects[0].source == d.node(95, 1000, 59));
    d = demo();
    d.at(105, 1000, 59).sensible = MBh(24.9);  // 29.4d
    a = d.audit();
    check_first(a, d.node(105, 1000, 59), "sensible");
    CHECK(a.suspects[0].checks.has(Check::dryness));
    CHECK(a.suspects.size() == 1);
    d = demo();
    d.at(105, 1000, 59).total = MBh(24.9);
    a = d.audit();
    check_first(a, d.node(105, 1000, 59), "total");
    CHECK(a.suspects.size() == 1);
}

TEST_CASE("a bypass factor that is not its airflow's") {
    Demo d = demo();
    d.at(85, 1000, 67).bypass = 0.12;
    const Audit a = d.audit();
    check_first(a, d.node(85, 1000, 67), "bypass");
    CHECK(near(*a.suspects[0].implied, 0.10, relative(1e-12)));
    CHECK(a.suspects[0].slip == Slip::neighbour);
}

TEST_CASE("a repeated row, and rows off by one") {
    Demo d = demo();
    d.at(85, 800, 67) = d.at(85, 800, 71);
    Audit a = d.audit();
    check_first(a, d.node(85, 800, 67), "row");
    CHECK(a.suspects[0].slip == Slip::repeated_row);
    CHECK(describe(a.suspects[0]).find("replaced by a neighbour's row") != std::string::npos);
    d = demo();
    for (const double ewb : {59.0, 63.0, 67.0}) d.at(85, 800, ewb) = d.at(85, 800, ewb + 4.0);  // 71 stays: twice
    a = d.audit();
    std::size_t found = 0;
    for (std::size_t i = 0; i < 3 && i < a.suspects.size(); ++i)
        if (a.suspects[i].column == "row" &&
            (a.suspects[i].slip == Slip::shifted_row || a.suspects[i].slip == Slip::repeated_row))
            ++found;
    CHECK(found == 3);
}

TEST_CASE("a whole column in another unit") {
    Demo d = demo();
    for (PrintedNode& n : d.page.nodes) n.total *= 3.412142, n.sensible *= 3.412142;
    d.page.total_step *= 3.412142;
    Audit a = d.audit();
    REQUIRE(!a.suspects.empty());
    CHECK(!a.suspects[0].node);
    CHECK(a.suspects[0].column == "total");
    CHECK(a.suspects[0].checks.has(Check::unit));
    CHECK(a.suspects[0].slip == Slip::unit);
    d = demo();
    for (PrintedNode& n : d.page.nodes) n.power *= 1000.0;
    d.page.power_step *= 1000.0;
    a = d.audit();
    CHECK(a.suspects[0].column == "power");
    CHECK(near(*a.suspects[0].implied, kW(1.87), relative(1e-12)));
}

TEST_CASE("printed checksums: split, EER, latent, the column that is wrong is named, not the one computed from it") {
    Demo d = with_extra("split", units::delta_degF, 0.1, split_of);
    const std::size_t n = d.node(95, 1000, 67);
    d.page.extras[0].values[n] = units::delta_degF.to_si(26.2);  // 22.6
    Audit a = d.audit();
    check_first(a, n, "split");
    CHECK(a.suspects[0].checks.has(Check::checksum));
    CHECK(a.suspects[0].guess == "22.6");
    d = with_extra("split", units::delta_degF, 0.1, split_of);
    d.page.nodes[n].sensible = MBh(29.4);
    a = d.audit();
    check_first(a, n, "sensible");
    CHECK(a.suspects.size() == 1);

    d = with_extra("eer", units::Btu_Wh, 0.1, [](const PrintedNode& p, double) { return p.total / p.power; });
    CHECK(d.audit().suspects.empty());
    d.page.extras[0].values[n] *= 1.04;
    check_first(d.audit(), n, "eer");
    a = d.audit();
    const Question& power = question(a, Question::About::power, Question::By::efficiency);
    CHECK(power.hypotheses[0].name == "total over power as printed");
    CHECK(power.decisive);

    d = with_extra("latent", units::MBh, 0.1, [](const PrintedNode& p, double) { return p.total - p.sensible; });
    CHECK(d.audit().suspects.empty());
    d.page.extras[0].values[n] += MBh(0.5);
    check_first(d.audit(), n, "latent");
}

TEST_CASE("questions: gross or net, entering dry bulb of sensible, certified rating") {
    Demo d = demo();
    d.basis.sensible_at = 75_degF;  // the page is printed for 80
    d.basis.capacity = CapacityBasis::unknown;
    d.basis.certified = CertifiedRating{Power{MBh(33.6)}, 1200_cfm, 420_W};  // 35.0 less 1.43 MBh
    Audit a = d.audit();
    const Question& at = question(a, Question::About::sensible_at, Question::By::coil);
    CHECK(at.hypotheses[0].name == "80 degF");
    CHECK(at.stated == "75 degF");
    CHECK(at.decisive);
    CHECK(describe(at).find("the page says 75 degF") != std::string::npos);
    const Question& rated = question(a, Question::About::certified, Question::By::rating);
    CHECK(rated.hypotheses[0].name == "gross");
    CHECK(near(rated.hypotheses[0].misfit, 0.0, absolute(0.002)));
    d.basis.sensible_at = 80_degF;
    const Audit stated = d.audit();
    const Question& capacity = question(stated, Question::About::capacity, Question::By::coil);
    CHECK(capacity.hypotheses[0].name == "gross");
    CHECK(capacity.decisive);

    // The same machine printed net.
    const PageShape shape(d.page);
    for (std::size_t n = 0; n < shape.nodes(); ++n) {
        const double heat = units::W_1000scfm.to_si(365.0) * shape.value(n, PageAxis::airflow);
        d.page.nodes[n].total -= heat;
        d.page.nodes[n].sensible -= heat;
    }
    a = d.audit();
    CHECK(question(a, Question::About::capacity, Question::By::coil).hypotheses[0].name == "net");
}

TEST_CASE("leave one out: the middle of a parabola, by hand") {
    Demo d{basis(), {}};
    d.page.outdoor_dry_bulb = {degF(85), degF(95), degF(105)};
    d.page.airflow = {cfm(1000)};
    d.page.entering_wet_bulb = {degF(67)};
    d.page.nodes = {node(36.0, 25.0, 2.2, 0.1), node(34.0, 24.0, 2.5, 0.1), node(31.0, 23.0, 2.9, 0.1)};
    d.page.total_step = MBh(0.1);
    const Audit a = d.audit();
    REQUIRE(a.leave_one_out.size() == 1);
    CHECK(a.leave_one_out[0].axis == PageAxis::outdoor_dry_bulb);
    CHECK(near(a.leave_one_out[0].worst, 33.5 / 34.0 - 1.0, relative(1e-12)));
    CHECK(a.suspects.empty());
}

TEST_CASE("entering dry bulbs: a total that stands once for its row is one suspect") {
    Demo d = demo();
    const PrintedPage from = d.page;
    d.page.entering_dry_bulb = {degF(80), degF(84)};
    d.page.nodes.clear();
    d.page.places.clear();
    d.page.typed.clear();
    const PageShape shape(from);
    for (std::size_t n = 0; n < from.nodes.size(); ++n)
        for (const double above : {0.0, 4.0 / 1.8}) {
            PrintedNode node = from.nodes[n];
            const double slope = units::Btu_h_cfm_degF.to_si(1.10) * shape.value(n, PageAxis::airflow);
            node.sensible = std::min(node.total, node.sensible + slope * (1.0 - node.bypass) * above);
            node.sensible = std::round(node.sensible / MBh(0.1)) * MBh(0.1);
            if (std::abs(node.sensible - node.total) < 1.0) node.sensible = node.total;
            if (node.mark == Mark::printed && node.sensible == node.total) node.mark = Mark::dry;
            d.page.nodes.push_back(node);
        }
    CHECK(d.audit().suspects.empty());
    const std::size_t n = 2 * d.node(95, 800, 71);
    for (const std::size_t m : {n, n + 1}) d.page.nodes[m].total = MBh(31.5);  // 35.1
    const Audit a = d.audit();
    check_first(a, n, "total");
    for (std::size_t i = 1; i < a.suspects.size(); ++i) CHECK(a.suspects[i].column != "total");
}

TEST_CASE("pairs of dry and wet bulb are audited along both temperatures") {
    Demo d = demo();
    const std::vector<double> wet = d.page.entering_wet_bulb;
    for (const double w : wet) d.page.pairs.push_back({degF(80), w});
    d.page.entering_wet_bulb.clear();
    CHECK(d.audit().suspects.empty());
    d.page.nodes[9].power = kW(9.13);
    check_first(d.audit(), 9, "power");
}

TEST_CASE("a refused page is audited, one without its nodes is not") {
    PrintedPage p = page();
    p.nodes[3].sensible = MBh(82.1);  // 28.1: above total
    CHECK_THROWS_AS(RatingTable(basis(), p), InputError);
    check_first(audit(basis(), p), 3, "sensible");
    p.nodes.pop_back();
    CHECK_THROWS_AS((void)audit(basis(), p), InputError);
}

TEST_CASE("numbers that are none do not upset an audit") {
    for (const double bad : {HUGE_VAL, -HUGE_VAL, std::nan(""), 1e300, -1e300, 0.0})
        for (const auto member :
             {&PrintedNode::total, &PrintedNode::sensible, &PrintedNode::power, &PrintedNode::bypass}) {
            Demo d = demo();
            d.at(95, 1000, 67).*member = bad;
            d.at(95, 1000, 59).*member = bad;
            for (const Suspect& s : d.audit().suspects) {
                CHECK(std::isfinite(s.score));
                if (s.implied) CHECK(std::isfinite(*s.implied));
            }
        }
    Demo d = demo();
    for (PrintedNode& n : d.page.nodes) n.mark = Mark::blank;
    CHECK(d.audit().suspects.empty());
    for (PrintedNode& n : d.page.nodes) n = PrintedNode{};
    (void)d.audit();
}

// A floor under recall: benchmarks/audit.cpp measures it.
TEST_CASE("every tenth cell of the demo raised by 4 % is the first suspect") {
    int seeded = 0, found = 0;
    for (std::size_t stage = 0; stage < 2; ++stage) {
        const Demo clean = demo(stage);
        for (std::size_t n = 3 * stage; n < clean.page.nodes.size(); n += 10)
            for (const auto& [column, member, step] :
                 {std::tuple{"total", &PrintedNode::total, clean.page.total_step},
                  std::tuple{"sensible", &PrintedNode::sensible, clean.page.sensible_step},
                  std::tuple{"power", &PrintedNode::power, clean.page.power_step}}) {
                Demo d = clean;
                PrintedNode& cell = d.page.nodes[n];
                if (cell.mark != Mark::printed && cell.mark != Mark::dry) continue;
                cell.*member += std::ceil(0.04 * cell.*member / step) * step;
                const Audit a = d.audit();
                ++seeded;
                found += !a.suspects.empty() && a.suspects[0].node == n && a.suspects[0].column == column;
            }
    }
    CHECK(seeded > 30);
    CHECK(found == seeded);
}

TEST_CASE("a surface gives a polynomial back, and judges a node by the others") {
    std::vector<double> x, y, z;
    std::vector<std::size_t> nodes;
    for (int i = 0; i < 5; ++i)
        for (int j = 0; j < 4; ++j) {
            x.push_back(80.0 + 10.0 * i);
            y.push_back(59.0 + 4.0 * j);
            z.push_back(100.0 - 2.0 * i + 3.0 * j - 0.25 * i * i + 0.5 * i * j);
            nodes.push_back(nodes.size());
        }
    const detail::Coordinates at({x, y});
    CHECK(at.rank() == 2);
    const double right = z[7];
    z[7] = 170.0;
    const detail::Surface surface(at, z, nodes, 0.01);
    const detail::Judged wrong = surface.judge(7, z[7]);
    CHECK(near(wrong.implied, right, relative(1e-9)));
    CHECK(surface.notable(wrong));
    for (const std::size_t n : nodes)
        if (n != 7) {
            CHECK(!surface.notable(surface.judge(n, z[n])));
            CHECK(near(surface.judge(n, z[n]).implied, z[n], relative(1e-9)));
        }
    CHECK(near(surface.value(at[7]), right, relative(1e-9)));
    // Too few nodes say nothing.
    CHECK(!detail::Surface(at, z, {0, 1, 2}, 0.01).judge(0, z[0]).known);
}

TEST_CASE("an audit in words") {
    Demo d = demo();
    d.at(95, 1000, 67).sensible = MBh(29.4);
    const std::string text = report(d.audit());
    CHECK(text.find("suspects: look at the print again (59 nodes)\n  1. ") == 0);
    CHECK(text.find("24.9 with two digits swapped?") != std::string::npos);
    CHECK(text.find("gross or net, by sensible by the coil's bypass factor: gross is off by 0.1") != std::string::npos);
    CHECK(text.find("total along airflow: 0.57 % root mean square") != std::string::npos);
    CHECK(report(demo().audit()).find("no suspects (59 nodes)\n") == 0);
}

TEST_CASE("a page of eight nodes with extra columns is audited at once, and is clean") {
    PrintedPage p = unit_a::page();
    for (const char* name : {"split", "suction_pressure"}) {
        p.extras.push_back({name, units::delta_degF, {}, units::delta_degF.to_si(0.1)});
        for (std::size_t n = 0; n < p.nodes.size(); ++n)
            p.extras.back().values.push_back(units::delta_degF.to_si(20.0 + 0.3 * static_cast<double>(n)));
    }
    p.extras[1].unit = units::psig;
    CHECK(audit(unit_a::basis(), p).nodes == 8);
}
