#include "c/json.hpp"
#include "c/tree.hpp"
#include "offnominal/audit.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/report.hpp"

namespace offnominal::c {
namespace {

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
    out["second_capacity"] = p.second ? Tree{{"agreement", word(p.second->agreement)},
                                             {"difference", p.second->difference},
                                             {"difference_u", p.second->difference_u},
                                             {"probability", p.second->probability}}
                                      : Tree();
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

std::string texts_of(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    const ProofTexts texts = proof_texts(visit, proof, units);
    Tree out;
    out["verdict"] = texts.verdict;
    out["settling"] = texts.settling;
    out["causes"] =
        asks_for_causes(proof) ? report(system, visit, causes_of(system, visit, proof), units) : std::string();
    out["notes"] = texts.notes;
    out["cautions"] = std::string(cautions);
    return text_of(out);
}

std::string json_of(const System& system, const Visit& visit, const Causes& causes, UnitSystem units) {
    Tree out, likely = Tree::array(), checks = Tree::array();
    for (const LikelyCause& one : causes.likely)
        likely.push_back(
            {{"cause", word(one.cause)},
             {"text", words_for(system, visit, one, units)},
             {"probability", one.probability},
             {"severity", one.severity},
             {"severity_low", one.severity_low},
             {"severity_high", one.severity_high},
             {"input", one.input ? word(*one.input) : Tree()},
             {"stage", one.stage >= 0 ? Tree(stage_name(system, visit, one.stage)) : Tree()},
             {"match",
              one.match >= 0 ? Tree(system.parts().matches[static_cast<std::size_t>(one.match)].name) : Tree()},
             {"total", one.total},
             {"sensible", one.sensible},
             {"power", one.power},
             {"fit", one.fit},
             {"support", word(one.support)},
             {"also", one.also ? word(*one.also) : Tree()},
             {"also_severity", one.also ? Tree(one.also_severity) : Tree()},
             {"also_low", one.also ? Tree(one.also_low) : Tree()},
             {"also_high", one.also ? Tree(one.also_high) : Tree()},
             {"or_input", one.or_input ? word(*one.or_input) : Tree()}});
    for (const NextCheck& one : causes.checks)
        checks.push_back({{"check", word(one.check)},
                          {"text", std::string(row_of(one.check)->text)},
                          {"minutes", row_of(one.check)->minutes},
                          {"gain", one.gain},
                          {"first", one.first}});
    out["told"] = "Causes";
    out["reason"] = word(causes.reason.why);
    out["first"] = causes.first;
    out["others"] = causes.others;
    out["two_at_once"] = causes.two_at_once;
    out["likely"] = std::move(likely);
    out["checks"] = std::move(checks);
    return text_of(out);
}

std::string json_of(std::span<const ProvedVisit> visits, const std::vector<Season>& seasons) {
    Tree out, list = Tree::array();
    const auto told = [](const std::optional<Change>& change) {
        return change ? Tree({{"ratio", change->ratio},
                              {"ratio_u", change->ratio_u},
                              {"apart_u", change->apart_u},
                              {"less", change->less}})
                      : Tree();
    };
    for (const Season& one : seasons) {
        const auto& [visit, proof] = visits[one.visit];
        list.push_back({{"mode", word(visit.mode())},
                        {"date", visit.date},
                        {"name", visit.name},
                        {"outcome", word(proof.outcome)},
                        {"ratio", or_null(proof.ratio)},
                        {"ratio_u", proof.ratio ? Tree(proof.ratio_u) : Tree()},
                        {"since_last", told(one.since_last)},
                        {"since_first", told(one.since_first)},
                        {"stage", visit.stage}});
    }
    out["told"] = "Seasons";
    out["seasons"] = std::move(list);
    return text_of(out);
}

std::string json_of(const Revised& revised) {
    Tree out, flips = Tree::array();
    const auto number = [](double x) { return std::isnan(x) ? Tree() : Tree(x); };
    for (const Flip& one : revised.flips)
        flips.push_back({{"row", one.row},
                         {"before", outcome_of_row(one.before)},
                         {"after", outcome_of_row(one.after)},
                         {"ratio_before", number(one.ratio_before)},
                         {"ratio_after", number(one.ratio_after)},
                         {"expected", number(one.expected)},
                         {"reason_before", word(one.reason_before)},
                         {"reason_after", word(one.reason_after)}});
    out["told"] = "Revised";
    out["visits"] = revised.visits;
    out["moved"] = revised.moved;
    out["flips"] = std::move(flips);
    return text_of(out);
}

std::string json_of(std::span<const System* const> systems, const std::vector<Choice>& choices, UnitSystem units) {
    Tree out = Tree::array();
    const auto told = [units](Kind kind, double si) { return number(si, unit_of(kind, units)); };
    for (const Choice& one : choices) {
        const System& system = *systems[one.system];
        const Match* const match =
            one.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(one.match)];
        const bool has_stage = one.stage >= 0;
        out.push_back({{"system", system.name()},
                       {"match", one.match < 0 ? std::string() : match->name},
                       {"stage", has_stage ? system.stages(match)[static_cast<std::size_t>(one.stage)].name : ""},
                       {"tap", one.tap},
                       {"airflow", told(Kind::airflow, one.airflow.si)},
                       {"fan_power", told(Kind::electric_power, one.fan_power.si)},
                       {"misfit", word(one.misfit)},
                       {"why", one.misfit == Misfit::no_answer ? explain(one.reason, units) : std::string()},
                       {"total", told(Kind::capacity, one.total.si)},
                       {"sensible", told(Kind::capacity, one.sensible.si)},
                       {"latent", told(Kind::capacity, one.latent.si)},
                       {"credited", told(Kind::capacity, one.credited.si)},
                       {"total_u", one.total_u},
                       {"total_over", one.total_over},
                       {"sensible_over", one.sensible_over},
                       {"latent_over", one.latent_over},
                       {"fits", one.fits},
                       {"heating", told(Kind::capacity, one.heating.si)},
                       {"balance_point", told(Kind::temperature, one.balance_point.si)},
                       {"auxiliary", told(Kind::capacity, one.auxiliary.si)},
                       {"sensible_u", number(one.sensible_u, units::one)},
                       {"latent_u", number(one.latent_u, units::one)},
                       {"footing", describe(one.footing)},
                       {"airflow_from", told(Kind::airflow, one.airflow_from.si)},
                       {"airflow_to", told(Kind::airflow, one.airflow_to.si)},
                       {"frost", one.frost == Frost::unknown ? Tree(std::string()) : word(one.frost)},
                       {"frost_by_model", one.frost_by_model},
                       {"no_heating", one.no_heating.none() ? std::string() : explain(one.no_heating, units)}});
    }
    return text_of(out);
}

std::string json_of(const TargetCard& card, UnitSystem units) {
    Tree out, fields = Tree::object(), cells = Tree::array();
    const Unit& degrees = unit_of(Kind::temperature, units);
    for (const char* const axis : {"outdoor_dry_bulb", "entering_wet_bulb"}) fields[axis] = std::string(degrees.name);
    for (const auto* const line : told_on_card) fields[line->name] = std::string(unit_of(line->kind, units).name);
    for (std::size_t i = 0; i < card.outdoor_dry_bulb.size(); ++i)
        for (std::size_t j = 0; j < card.entering_wet_bulb.size(); ++j) {
            const TargetCard::Cell& cell = card.at(i, j);
            Tree& told = cells.push_back({{"outdoor_dry_bulb", degrees.from_si(card.outdoor_dry_bulb[i].si)},
                                          {"entering_wet_bulb", degrees.from_si(card.entering_wet_bulb[j].si)}});
            for (std::size_t k = 0; k < cell.numbers.size(); ++k)
                told[told_on_card[k]->name] = number(cell.numbers[k], unit_of(told_on_card[k]->kind, units));
            told["footing"] = describe(cell.footing);
            told["reason"] = word(cell.reason.why);
        }
    const PlanTexts texts = card.plan ? plan_texts(*card.plan) : PlanTexts{};
    out["told"] = "TargetCard";
    out["units"] = word(units);
    out["fields"] = std::move(fields);
    out["cells"] = std::move(cells);
    out["notes"] = describe(card.notes);
    out["decides"] = texts.chances;
    out["bring"] = texts.remedies;
    return text_of(out);
}

std::string json_of(const PagesOfFile& pages) {
    Tree out = Tree::array();
    for (const PageOfFile& page : pages.cooling)
        out.push_back(audit_of(page.stage, page.match, {}, audit(page.basis, page.page)));
    for (const HeatingPageOfFile& page : pages.heating)
        out.push_back(audit_of(page.stage, {}, name(page.frost), audit(page.basis, page.page, page.frost)));
    return text_of(out);
}

}  // namespace offnominal::c
