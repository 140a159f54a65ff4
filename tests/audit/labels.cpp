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
