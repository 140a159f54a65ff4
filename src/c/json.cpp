#include "c/json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "offnominal/expect/extras.hpp"
#include "offnominal/report.hpp"

namespace offnominal::c {
namespace {

using Tree = nlohmann::ordered_json;

std::string text_of(const Tree& tree) {
    return tree.dump(-1, ' ', false, Tree::error_handler_t::replace);  // a path may be no UTF-8
}

Tree number(double si, const Unit& unit) { return std::isnan(si) ? Tree() : Tree(unit.from_si(si)); }
template <Worded E>
Tree word(E value) {
    return std::string(name(value));
}
template <class T>
Tree or_null(const std::optional<T>& value) {
    return value ? Tree(*value) : Tree();
}

/// What is told of a T, with what it is and its units first.
template <class T>
Tree heading(std::string_view what, Mode mode, UnitSystem units, bool of_any_mode = false) {
    Tree out, fields = Tree::object();
    out["told"] = std::string(what);
    out["units"] = word(units);
    for (const Told<T>& line : told_of<T>)
        if (of_any_mode || applies(line.modes, mode))
            fields[std::string(line.name)] = std::string(unit_of(line.kind, units).name);
    out["fields"] = std::move(fields);
    return out;
}
template <class T>
void add_numbers(Tree& out, const T& from, Mode mode, UnitSystem units, bool of_any_mode = false) {
    for (const Told<T>& line : told_of<T>)
        if (of_any_mode || applies(line.modes, mode))
            out[std::string(line.name)] = number(line.of(from), unit_of(line.kind, units));
}

void add(Tree& out, const System& system, const Expected& e, UnitSystem units) {
    add_numbers<ExpectedValues>(out, e, e.mode, units);
    out["mode"] = word(e.mode);
    out["boundary"] = word(e.boundary);
    out["frost"] = e.mode == Mode::heating ? word(e.frost) : Tree();
    out["power_basis"] = word(e.power_basis);
    out["footing"] = describe(e.footing);
    out["notes"] = describe(e.notes);
    Tree parts = Tree::object(), columns = Tree::object(), ledger = Tree::array();
    add_numbers(parts, e.uncertainty, e.mode, units);
    if (e.mode == Mode::cooling)
        for (const Extra& extra : extras(system, e))
            columns[std::string(extra.name)] = {
                {"value", extra.value ? Tree(extra.unit.from_si(*extra.value)) : Tree()},
                {"unit", std::string(extra.unit.name)},
                {"reason", word(extra.value.reason().why)}};
    for (const Step& step : e.ledger) {
        const Unit& unit = unit_of(row_of(step.of)->kind, units);
        ledger.push_back({{"step", word(step.kind)},
                          {"of", word(step.of)},
                          {"factor", step.factor},
                          {"before", unit.from_si(step.before)},
                          {"after", unit.from_si(step.after)}});
    }
    out["uncertainty_parts"] = std::move(parts);
    out["extras"] = std::move(columns);
    out["ledger"] = std::move(ledger);
}

void add(Tree& out, const Delivered& d, UnitSystem units) {
    add_numbers(out, d, d.mode, units);
    out["mode"] = word(d.mode);
    out["notes"] = describe(d.notes);
}

/// One page's audit.
Tree audit_of(const std::string& stage, const std::string& match, std::string_view frost, const Audit& audit) {
    Tree suspects = Tree::array(), questions = Tree::array();
    for (const Suspect& s : audit.suspects)
        suspects.push_back({{"column", s.column},
                            {"cell", s.cell},
                            {"file", s.place.file},
                            {"line", s.place.line},
                            {"place_column", s.place.column},
                            {"typed", s.typed},
                            {"guess", s.guess},
                            {"checks", names(s.checks)},
                            {"slip", std::string(name(s.slip))},
                            {"score", s.score},
                            {"text", describe(s)}});
    for (const Question& q : audit.questions) questions.push_back(describe(q));
    return {{"stage", stage},
            {"match", match},
            {"mode", frost.empty() ? "cooling" : "heating"},
            {"frost", std::string(frost)},
            {"nodes", audit.nodes},
            {"suspects", std::move(suspects)},
            {"questions", std::move(questions)},
            {"text", report(audit)}};
}

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

std::string json_of(const System& system, const Visit& visit, const Proof& p, UnitSystem units) {
    Tree out = heading<Proof>("Proof", visit.mode(), units, true);
    add_numbers(out, p, visit.mode(), units, true);
    out["outcome"] = word(p.outcome);
    out["reason"] = word(p.reason.why);
    out["about"] = word(p.reason.about);
    out["suspect"] = word(p.suspect);
    out["uncapped"] = p.uncapped ? word(*p.uncapped) : Tree();
    out["other_outcome"] = word(p.other_outcome);
    out["method"] = word(p.method);
    out["judge"] = word(p.judge);
    out["yardstick"] = word(p.yardstick);
    out["acceptance"] = word(p.acceptance);
    out["no_power"] = word(p.no_power.why);
    out["notes"] = describe(p.notes);
    Tree nearest = Tree::array(), budget = Tree::array();
    for (const StageFit& fit : p.nearest) {
        nearest.push_back({{"stage", stage_name(system, visit, fit.stage)},
                           {"ratio", or_null(fit.ratio)},
                           {"power_ratio", or_null(fit.power_ratio)},
                           {"reason", word(fit.reason.why)}});
    }
    for (const BudgetLine& line : p.budget)
        if (p.ratio && applies(line.input, visit.mode()))
            budget.push_back({{"input", word(line.input)},
                              {"standard_uncertainty_si", line.standard},
                              {"delivered", line.delivered},
                              {"expected", line.expected},
                              {"ratio", line.ratio},
                              {"sensible", line.sensible},
                              {"power_ratio", line.power_ratio},
                              {"share", line.share}});
    out["nearest"] = std::move(nearest);
    out["budget"] = std::move(budget);
    Tree expected;
    if (p.expected) add(expected, system, *p.expected, units);
    Tree delivered;
    add(delivered, p.delivered, units);
    out["expected"] = std::move(expected);
    out["delivered"] = std::move(delivered);
    return text_of(out);
}

std::string json_of(const std::vector<PageOfFile>& pages, const std::vector<HeatingPageOfFile>& heating) {
    Tree out = Tree::array();
    for (const PageOfFile& page : pages)
        out.push_back(audit_of(page.stage, page.match, {}, audit(page.basis, page.page)));
    for (const HeatingPageOfFile& page : heating)
        out.push_back(audit_of(page.stage, {}, name(page.frost), audit(page.basis, page.page, page.frost)));
    return text_of(out);
}

}  // namespace offnominal::c
