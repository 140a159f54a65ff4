// An audit reads the axes first: a label that is wrong is one suspect with what was meant, and no cell under it is one.
#include "../../src/audit/labels.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include "../support/near.hpp"
#include "offnominal/audit.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;

namespace {

struct TypedAxis {
    PageAxis axis;
    const char* role;
    std::vector<double> PrintedPage::*labels;
    Unit unit;
};
const std::vector<TypedAxis>& demo_axes() {
    static const std::vector<TypedAxis> axes{
        {PageAxis::outdoor_dry_bulb, "odb", &PrintedPage::outdoor_dry_bulb, units::degF},
        {PageAxis::airflow, "airflow", &PrintedPage::airflow, units::scfm},
        {PageAxis::humidity, "ewb", &PrintedPage::entering_wet_bulb, units::degF}};
    return axes;
}

/// The demo's pages, built in code.
const RatingTable& table(std::size_t stage) {
    static const System alder = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return alder.parts().cooling[stage].table;
}
PrintedPage clean(std::size_t stage = 0) {
    PrintedPage out = table(stage).page();
    out.typed.clear();
    out.places.clear();
    return out;
}
Audit audited(const PrintedPage& page, std::size_t stage = 0) { return audit(table(stage).basis(), page); }

/// The page with one label typed otherwise: the reader sorts what was typed. `nodes` gets the block.
PrintedPage mislabelled(const PrintedPage& page, const TypedAxis& axis, std::size_t label, const std::string& typed,
                        std::vector<std::size_t>& nodes) {
    PrintedPage out = page;
    std::vector<double>& labels = out.*axis.labels;
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < labels.size(); ++i)
        order.emplace_back(i == label ? axis.unit.to_si(std::strtod(typed.c_str(), nullptr)) : labels[i], i);
    std::sort(order.begin(), order.end());
    const PageShape shape(page);
    nodes.clear();
    for (std::size_t i = 0; i < labels.size(); ++i) labels[i] = order[i].first;
    for (std::size_t n = 0; n < shape.nodes(); ++n) {
        const std::size_t from = order[shape.index(n, axis.axis)].second;
        out.nodes[n] = page.nodes[shape.moved(n, axis.axis, from)];
        if (from == label) nodes.push_back(n);
    }
    return out;
}
PrintedPage mislabelled(const PrintedPage& page, const TypedAxis& axis, const char* right, const std::string& typed,
                        std::vector<std::size_t>& nodes) {
    const auto& labels = page.*axis.labels;
    std::size_t i = 0;
    while (brief(axis.unit.from_si(labels[i])) != right) ++i;
    return mislabelled(page, axis, i, typed, nodes);
}

}  // namespace

TEST_CASE("a label mistyped is the first suspect and the only one, with the likely value") {
    struct Case {
        std::size_t axis;
        const char *right, *typed;
        Slip slip;
    };
    for (const Case& c : {Case{0, "105", "150", Slip::swapped_digits}, Case{0, "85", "58", Slip::swapped_digits},
                          Case{0, "95", "99", Slip::doubled_digit}, Case{0, "95", "35", Slip::unit},
                          Case{0, "95", "9.5", Slip::decimal_point}, Case{1, "800", "880", Slip::doubled_digit},
                          Case{1, "1000", "1100", Slip::doubled_digit}, Case{1, "1000", "472", Slip::unit},
                          Case{1, "1200", "2100", Slip::swapped_digits}, Case{2, "67", "76", Slip::swapped_digits},
                          Case{2, "67", "19.4", Slip::unit}, Case{2, "63", "33", Slip::doubled_digit}}) {
        CAPTURE(c.typed);
        const TypedAxis& axis = demo_axes()[c.axis];
        std::vector<std::size_t> nodes;
        const Audit a = audited(mislabelled(clean(), axis, c.right, c.typed, nodes));
        REQUIRE(a.suspects.size() == 1);
        const Suspect& s = a.suspects[0];
        CHECK(s.column == axis.role);
        CHECK(s.typed == c.typed);
        CHECK(s.guess == c.right);
        CHECK(s.slip == c.slip);
        CHECK(s.block == nodes);
        CHECK(!s.node);
        CHECK(s.checks == Checks(Check::axis));
        CHECK(near(axis.unit.from_si(*s.implied), std::strtod(c.right, nullptr), absolute(1e-9)));
    }
    std::vector<std::size_t> nodes;
    const Audit a = audited(mislabelled(clean(), demo_axes()[0], "105", "150", nodes));
    CHECK(describe(a.suspects[0]) == "odb 150 degF, 12 nodes, implied 105 degF: 105 with two digits swapped?");
    CHECK(why(a.suspects[0]) == "the numbers under this label belong elsewhere");
}

TEST_CASE("blocks exchanged and blocks repeated are one suspect") {
    for (const TypedAxis& axis : demo_axes()) {
        PrintedPage page = clean();
        const PageShape shape(page);
        for (std::size_t n = 0; n < shape.nodes(); ++n)
            if (shape.index(n, axis.axis) == 1) std::swap(page.nodes[n], page.nodes[shape.moved(n, axis.axis, 2)]);
        Audit a = audited(page);
        REQUIRE(a.suspects.size() == 1);
        CHECK(a.suspects[0].slip == Slip::exchanged_blocks);
        CHECK(a.suspects[0].column == axis.role);
        CHECK(describe(a.suspects[0]).find("their numbers exchanged with those of") != std::string::npos);

        page = clean();
        for (std::size_t n = 0; n < shape.nodes(); ++n)
            if (shape.index(n, axis.axis) == 1) page.nodes[n] = page.nodes[shape.moved(n, axis.axis, 2)];
        a = audited(page);
        REQUIRE(!a.suspects.empty());
        const Suspect& s = a.suspects[0];
        CHECK(s.slip == Slip::repeated_block);
        CHECK(s.column == axis.role);
        // Which of the two is the copy is the better guess the more labels are left.
        const std::size_t which = shape.index(s.block.front(), axis.axis);
        CHECK((which == 1 || (which == 2 && axis.axis == PageAxis::airflow)));
        CHECK(s.other == brief(axis.unit.from_si((page.*axis.labels)[3 - which])));
        CHECK(!s.implied);
    }
}

TEST_CASE("two labels mistyped are two suspects, and a cell is found beside them") {
    std::vector<std::size_t> nodes;
    PrintedPage page = mislabelled(clean(), demo_axes()[0], "105", "150", nodes);
    page = mislabelled(page, demo_axes()[1], "800", "880", nodes);
    Audit a = audited(page);
    REQUIRE(a.suspects.size() == 2);
    CHECK(std::min(a.suspects[0].guess, a.suspects[1].guess) == "105");
    CHECK(std::max(a.suspects[0].guess, a.suspects[1].guess) == "800");

    page = mislabelled(clean(), demo_axes()[0], "85", "58", nodes);
    page.nodes[nodes[2]].power *= 1.1;
    a = audited(page);
    REQUIRE(a.suspects.size() == 2);
    CHECK(a.suspects[0].guess == "85");
    CHECK(a.suspects[1].column == "power");
    CHECK(a.suspects[1].node == nodes[2]);
}

// A floor under recall: benchmarks/audit.cpp measures it on more pages.
TEST_CASE("nearly every label of the demo, mistyped by digits, is the first suspect") {
    int seeded = 0, found = 0;
    for (std::size_t stage = 0; stage < 2; ++stage)
        for (const TypedAxis& axis : demo_axes()) {
            const PrintedPage page = clean(stage);
            const std::vector<double>& labels = page.*axis.labels;
            for (std::size_t i = 0; i < labels.size(); ++i) {
                const std::string right = brief(axis.unit.from_si(labels[i]));
                for (std::size_t k = 0; k + 1 < right.size(); ++k)
                    for (const int way : {0, 1, 2}) {
                        std::string typed = right;
                        if (way == 0) std::swap(typed[k], typed[k + 1]);
                        if (way == 1) typed[k] = typed[k + 1];
                        if (way == 2) typed[k + 1] = typed[k];
                        const double si = axis.unit.to_si(std::strtod(typed.c_str(), nullptr));
                        const bool taken = std::any_of(labels.begin(), labels.end(),
                                                       [&](double x) { return std::abs(x - si) < 1e-6; });
                        if (taken || typed[0] == '0') continue;  // no error, or one that the reader refuses
                        std::vector<std::size_t> nodes;
                        const Audit a = audited(mislabelled(page, axis, i, typed, nodes), stage);
                        CAPTURE(typed);
                        ++seeded;
                        const bool first =
                            !a.suspects.empty() && a.suspects[0].block == nodes && a.suspects[0].guess == right;
                        CHECK_MESSAGE(first, axis.role, " ", right, " typed ", typed);
                        found += first;
                    }
            }
        }
    CHECK(seeded > 60);
    CHECK(found >= 0.98 * seeded);
}

TEST_CASE("what may have been meant by a label") {
    const auto offered = [](const char* typed, const char* meant, Dimension dimension) {
        for (const detail::MeantLabel& one : detail::meant_labels(typed, {75.0, 85.0, 95.0}, dimension))
            if (one.text == meant) return std::string(name(one.slip));
        return std::string();
    };
    CHECK(offered("150", "105", Dimension::temperature) == "swapped_digits");
    CHECK(offered("880", "800", Dimension::airflow) == "doubled_digit");
    CHECK(offered("35", "95", Dimension::temperature) == "unit");
    CHECK(offered("19.4", "67", Dimension::temperature) == "unit");
    CHECK(offered("472", "1000", Dimension::airflow) == "unit");
    CHECK(offered("1699", "1000", Dimension::airflow) == "unit");
    CHECK(offered("9.5", "95", Dimension::temperature) == "decimal_point");
    CHECK(offered("10", "105", Dimension::temperature) == "dropped_digit");
    CHECK(offered("95", "95", Dimension::temperature).empty());
    CHECK(offered("-", "95", Dimension::temperature).empty());
}

TEST_CASE("equal steps cost nothing, a label off them does") {
    CHECK(detail::irregularity({75, 85, 95, 105, 150}) > detail::irregularity({75, 85, 95, 105, 115}) + 5.0);
    CHECK(detail::irregularity({800, 1000, 1220}) > detail::irregularity({800, 1000, 1200}) + 5.0);
    CHECK(detail::irregularity({880, 1040, 1200}) > detail::irregularity({800, 1000, 1200}));
    // Whole degrees Fahrenheit in Celsius are regular too.
    CHECK(detail::irregularity({29.4, 35.0, 40.6, 46.1}, units::degC) <
          detail::irregularity({29.4, 35.0, 40.6, 41.6}, units::degC) - 5.0);
    CHECK(detail::irregularity({95, 105}) == 0.0);
}

TEST_CASE("a whole axis or column in another unit is one suspect, and the rest is audited by it") {
    PrintedPage page = clean();
    for (double& t : page.outdoor_dry_bulb) t = units::degF.from_si(t);  // the numbers in degF under degC
    Audit a = audited(page);
    REQUIRE(a.suspects.size() == 1);
    CHECK(a.suspects[0].column == "odb");
    CHECK(a.suspects[0].checks == Checks(Check::unit));
    CHECK(a.suspects[0].guess == "degF");

    page = clean();
    for (double& flow : page.airflow) flow *= units::L_s.to_si(1.0) / units::cfm.to_si(1.0);
    a = audited(page);
    REQUIRE(a.suspects.size() == 1);
    CHECK(a.suspects[0].column == "airflow");
    CHECK(near(*a.suspects[0].implied, units::scfm.to_si(800.0), relative(1e-9)));

    page = clean();
    for (PrintedNode& node : page.nodes) node.power *= 1000.0;
    page.power_step *= 1000.0;
    page.nodes[14].total *= 1.2;
    a = audited(page);
    REQUIRE(a.suspects.size() == 2);
    CHECK(a.suspects[0].column == "power");
    CHECK(a.suspects[1].column == "total");
    CHECK(a.suspects[1].node == 14);

    // MBh under kW.
    page = clean();
    for (PrintedNode& node : page.nodes) node.total *= 3.412142, node.sensible *= 3.412142;
    page.total_step *= 3.412142;
    page.sensible_step *= 3.412142;
    a = audited(page);
    REQUIRE(a.suspects.size() == 2);
    CHECK(std::min(a.suspects[0].column, a.suspects[1].column) == "sensible");
    CHECK(std::max(a.suspects[0].column, a.suspects[1].column) == "total");
}

TEST_CASE("a suspect is put right in a page, when asked") {
    std::vector<std::size_t> nodes;
    const auto same = [](const PrintedPage& a, const PrintedPage& b) {
        for (std::size_t n = 0; n < a.nodes.size(); ++n)
            if (a.nodes[n].total != b.nodes[n].total || a.nodes[n].power != b.nodes[n].power) return false;
        for (std::size_t i = 0; i < a.outdoor_dry_bulb.size(); ++i)
            if (!near(a.outdoor_dry_bulb[i], b.outdoor_dry_bulb[i], absolute(1e-9))) return false;
        return a.airflow == b.airflow;
    };
    PrintedPage page = mislabelled(clean(), demo_axes()[0], "105", "150", nodes);
    CHECK(!same(page, clean()));
    CHECK(same(audited(page).suspects[0].apply(page), clean()));

    page = clean();
    const PageShape shape(page);
    for (std::size_t n = 0; n < shape.nodes(); ++n)
        if (shape.index(n, PageAxis::outdoor_dry_bulb) == 1)
            std::swap(page.nodes[n], page.nodes[shape.moved(n, PageAxis::outdoor_dry_bulb, 3)]);
    CHECK(same(audited(page).suspects[0].apply(page), clean()));

    page = clean();
    page.nodes[14].total = units::MBh.to_si(38.5);  // 35.8, of a wet node between others
    const double right = clean().nodes[14].total;
    page.nodes[14].total = right * 10.0;
    page = audited(page).suspects[0].apply(page);
    CHECK(near(page.nodes[14].total, right, relative(1e-9)));

    Suspect nobody_knows;
    nobody_knows.node = 3;
    nobody_knows.column = "total";
    CHECK_THROWS_AS((void)nobody_knows.apply(clean()), InputError);
    CHECK_THROWS_AS((void)nobody_knows.apply("text"), InputError);
}

TEST_CASE("a suspect is put right in the text it was typed in") {
    const std::string text =
        "      table: |\n"
        "        odb   total  sensible  power   # 95 is right\n"
        "        degF  MBh    MBh       kW\n"
        "        150   31.0   31.0d     2.80\n"
        "        95    34.0   29.4      2.51\n";
    Suspect s;
    s.edits = {{4, "odb", "150", "105", false}, {5, "sensible", "29.4", "24.9", false}, {4, "power", "kW", "W", true}};
    CHECK(s.apply(text) ==
          "      table: |\n"
          "        odb   total  sensible  power   # 95 is right\n"
          "        degF  MBh    MBh       W\n"
          "        105   31.0   31.0d     2.80\n"
          "        95    34.0   24.9      2.51\n");
    s.edits = {{2, "sensible@80", "24.9", "25.9", false}};
    CHECK(s.apply("odb,ewb,total,sensible@75,sensible@80\n95, 67,34.0,\"20.1\", 24.9\r\n") ==
          "odb,ewb,total,sensible@75,sensible@80\n95, 67,34.0,\"20.1\", 25.9\r\n");
    for (const char* other : {"", "odb total\ndegF MBh\n", "odb total sensible@80\n95 34.0 24.8\n"})
        CHECK_THROWS_AS((void)s.apply(other), InputError);
}

namespace {
const HeatingStage& heating(std::size_t i) {
    static const System alder = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return alder.parts().heating[i];
}
}  // namespace

namespace {
/// A variable-speed machine of the corpus: 30, 60 and 90 Hz.
struct Speeds {
    std::vector<double> speeds;
    std::vector<PrintedPage> pages;
};
Speeds speeds_of(const char* file) {
    const System system = load_system(std::string(OFFNOMINAL_TABLES_DIR "/") + file);
    Speeds out;
    const PagesOfFile pages = pages_of(system);
    for (const PageOfFile& page : pages.cooling)
        if (page.speed) out.speeds.push_back(*page.speed), out.pages.push_back(page.page);
    return out;
}
std::vector<std::string> suspects_of(const Speeds& s) {
    std::vector<std::string> out;
    for (const auto& suspect : audit_speeds(s.speeds, units::Hz, s.pages))
        out.push_back(suspect ? describe(*suspect) : std::string());
    return out;
}
}  // namespace

TEST_CASE("speeds are held against one another: mistyped, exchanged, and one page typed twice") {
    for (const char* file : {"corpus/olive.yaml", "demo/birch.yaml"}) {
        const Speeds right = speeds_of(file);
        REQUIRE(right.speeds.size() >= 2);
        for (const std::string& text : suspects_of(right)) CHECK(text.empty());
    }
    const Speeds right = speeds_of("corpus/olive.yaml");
    REQUIRE(right.speeds.size() == 3);
    // A label with digits wrong, swapped or dropped.
    for (const auto& [at, typed, meant] : {std::tuple{0u, 3.0, "30"}, std::tuple{0u, 80.0, "30"},
                                           std::tuple{1u, 600.0, "60"}, std::tuple{2u, 9.0, "90"}}) {
        Speeds wrong = right;
        wrong.speeds[at] = typed;
        const auto found = audit_speeds(wrong.speeds, units::Hz, wrong.pages);
        const double label = typed;  // clang 14 captures no part of a tuple
        CAPTURE(label);
        REQUIRE(found[at]);
        CHECK(found[at]->column == "speed");
        CHECK(found[at]->guess == meant);
        CHECK(found[at]->block.size() == right.pages[at].nodes.size());
        for (std::size_t other = 0; other < 3; ++other)
            if (other != at) CHECK_FALSE(found[other]);
    }
    Speeds exchanged = right;
    std::swap(exchanged.pages[0], exchanged.pages[1]);
    auto found = audit_speeds(exchanged.speeds, units::Hz, exchanged.pages);
    const auto& one = found[0] ? found[0] : found[1];
    REQUIRE(one);
    CHECK(one->slip == Slip::exchanged_blocks);
    CHECK_FALSE(found[2]);
    Speeds twice = right;
    twice.pages[2] = twice.pages[1];
    found = audit_speeds(twice.speeds, units::Hz, twice.pages);
    REQUIRE(found[2]);
    CHECK(found[2]->slip == Slip::repeated_block);
    CHECK(found[2]->other == "60");
    // Of two speeds, the order tells: a page of more capacity at the lower speed.
    Speeds two{{30.0, 60.0}, {right.pages[1], right.pages[0]}};
    found = audit_speeds(two.speeds, units::Hz, two.pages);
    CHECK((found[0] || found[1]));
    CHECK_THROWS_AS((void)audit_speeds(std::vector<double>{30.0}, units::Hz, right.pages), InputError);
    // Blocks that print other air are held against each other where they agree, and not at all where they do not.
    Speeds other = right;
    for (double& odb : other.pages[0].outdoor_dry_bulb) odb += 1.0;
    for (const std::string& text : suspects_of(other)) CHECK(text.empty());
}

TEST_CASE("the corpus' machines, unlike any model of the audit, raise no suspect") {
    std::size_t nodes = 0;
    for (const char* machine : {"cedar", "hazel", "juniper", "larch", "maple", "olive", "pine", "rowan", "spruce"}) {
        CAPTURE(machine);
        const PagesOfFile pages = load_pages(std::string(OFFNOMINAL_TABLES_DIR "/corpus/") + machine + ".yaml");
        std::vector<Audit> audits;
        for (const PageOfFile& page : pages.cooling) audits.push_back(audit(page.basis, page.page));
        for (const HeatingPageOfFile& page : pages.heating) audits.push_back(audit(page.basis, page.page, page.frost));
        for (const Audit& a : audits) {
            CHECK(a.suspects.empty());
            nodes += a.nodes;
        }
    }
    CHECK(nodes > 300);
}

TEST_CASE("heating pages: clean ones are, cells and labels are found, multiplier rows too") {
    for (std::size_t i = 0; i < 2; ++i) CHECK(audit(heating(i).table, heating(i).frost).suspects.empty());
    const HeatingTable& table = heating(0).table;
    HeatingPage page = table.page();
    const std::size_t dry_bulbs = page.entering_dry_bulb.size(), flows = page.airflow.size();
    const std::size_t n = (3 * flows + 1) * dry_bulbs + 2;  // 37 degF, 1000 scfm, 70 degF: as printed
    page.nodes[n].capacity *= 1.1;
    for (TypedColumn& column : page.typed)
        if (column.role == "capacity") column.texts[n] = "34.1";
    Audit a = audit(table.basis(), page, Frost::instantaneous);
    REQUIRE(a.suspects.size() == 1);
    CHECK(a.suspects[0].column == "capacity");
    CHECK(a.suspects[0].node == n);
    CHECK(a.suspects[0].cell == "odb 37 degF, airflow 1000 scfm");

    page = table.page();  // 47 typed as 74: after 65
    std::vector<double>& odb = page.outdoor_dry_bulb;
    odb = {odb[0], odb[1], odb[2], odb[3], odb[5], odb[6], units::degF.to_si(74.0)};
    const std::size_t block = flows * dry_bulbs;
    const auto rotate = [&](auto& list) {
        if (list.size() == page.nodes.size())
            std::rotate(list.begin() + static_cast<std::ptrdiff_t>(4 * block),
                        list.begin() + static_cast<std::ptrdiff_t>(5 * block), list.end());
    };
    rotate(page.places);
    for (TypedColumn& column : page.typed) {
        rotate(column.texts);
        if (column.role == "odb")
            for (std::string& text : column.texts)
                if (text == "47") text = "74";
    }
    rotate(page.nodes);
    a = audit(table.basis(), page, Frost::instantaneous);
    REQUIRE(a.suspects.size() == 1);
    CHECK(a.suspects[0].column == "odb");
    CHECK(a.suspects[0].typed == "74");
    CHECK(a.suspects[0].guess == "47");

    page = table.page();
    page.edb_factors[0].texts[0] = "1.304";  // 1.034
    a = audit(table.basis(), page, Frost::instantaneous);
    REQUIRE(a.suspects.size() == 1);
    CHECK(a.suspects[0].column == "capacity factor");
    CHECK(a.suspects[0].cell == "edb 60 degF");
    CHECK(a.suspects[0].slip == Slip::swapped_digits);
    CHECK(a.suspects[0].guess == "1.034");
}
