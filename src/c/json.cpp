#include "c/json.hpp"

#include "c/tree.hpp"
#include "offnominal/explain.hpp"

namespace offnominal::c {
namespace {

/// A bound, in a unit; null where there is none.
Tree bound(double si, const Unit& unit) { return std::isfinite(si) ? Tree(unit.from_si(si)) : Tree(); }

}  // namespace

std::string json_of(const System& system, const Expected& expected, UnitSystem units) {
    Tree out = heading<ExpectedValues>("Expected", expected.mode, units);
    add(out, system, expected, units);
    return text_of(out);
}

std::string json_of(const Delivered& delivered, UnitSystem units) {
    Tree out = heading<Delivered>("Delivered", delivered.mode, units);
    add(out, delivered, units);
    return text_of(out);
}

std::string json_of(const std::vector<Missing>& missing, UnitSystem units) {
    Tree out = Tree::array();
    for (const Missing& one : missing) {
        const Reason& r = one.reason;
        const Unit unit = shown_unit(known(r.about) ? r.about : About::nothing, units);
        const bool has_value = r.why != Why::not_given && std::isfinite(r.value);
        out.push_back({{"about", word(r.about)},
                       {"why", word(r.why)},
                       {"value", has_value ? Tree(unit.from_si(r.value)) : Tree()},
                       {"lower", bound(one.lower, unit)},
                       {"upper", bound(one.upper, unit)},
                       {"unit", std::string(unit.name)},
                       {"words", one.words},
                       {"text", explain(r, units)}});
    }
    return text_of(out);
}

std::string json_of(const std::vector<Envelope>& pages, const Coverage& coverage, UnitSystem units) {
    const Unit &length = unit_of(Kind::length, units), &tubing = unit_of(Kind::tubing, units),
               &airflow = unit_of(Kind::airflow, units);
    Tree out, listed = Tree::array(), lines = Tree::array(), matches = Tree::array();
    for (const Envelope& page : pages) {
        Tree axes = Tree::object(), blanks = Tree::array();
        const auto in_units = [&](const Envelope::Range& axis, double si) { return axis.unit(units).from_si(si); };
        for (const Envelope::Range& axis : page.axes) {
            Tree& breakpoints = axes[std::string(name(axis.about))] = Tree::array();
            for (const double x : axis.breakpoints) breakpoints.push_back(in_units(axis, x));
        }
        for (const std::vector<double>& at : page.blank_at) {
            Tree& node = blanks.push_back(Tree::array());
            for (std::size_t k = 0; k < at.size(); ++k) node.push_back(in_units(page.axes[k], at[k]));
        }
        listed.push_back({{"mode", page.heating ? "heating" : "cooling"},
                          {"frost", page.heating ? word(page.frost) : Tree()},
                          {"stage", page.stage},
                          {"match", page.match},
                          {"nodes", page.nodes},
                          {"axes", std::move(axes)},
                          {"blank_at", std::move(blanks)}});
    }
    for (const Coverage::Lines& line : coverage.lines) {
        Tree lengths = Tree::array();
        for (const Length one : line.lengths) lengths.push_back(length.from_si(one.si));
        lines.push_back(
            {{"mode", word(line.mode)}, {"suction", tubing.from_si(line.suction.si)}, {"lengths", lengths}});
    }
    for (const Coverage::MatchAirflow& match : coverage.airflow)
        matches.push_back({{"match", match.match},
                           {"least", airflow.from_si(match.least.si)},
                           {"greatest", airflow.from_si(match.greatest.si)}});
    out["units"] = word(units);
    out["pages"] = std::move(listed);
    out["lines"] = std::move(lines);
    out["lift"] =
        std::vector{bound(coverage.lift.least_lift.si, length), bound(coverage.lift.greatest_lift.si, length)};
    out["airflow"] = std::move(matches);
    if (const auto& span = coverage.elevation)
        out["elevation"] = std::vector{length.from_si(span->first.si), length.from_si(span->second.si)};
    else
        out["elevation"] = Tree();
    return text_of(out);
}

}  // namespace offnominal::c
