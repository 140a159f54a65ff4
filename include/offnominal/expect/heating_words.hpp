/// @file
/// Why there is no expected heating capacity, in words, with the system's own names.
#pragma once

#include <string>

#include "offnominal/expect/heating_run.hpp"
#include "offnominal/expect/words.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// A reason of `try_expect_heating` in words, with the names the system has.
[[nodiscard]] inline std::string explain(const Reason& reason, const System& system, const HeatingConditions& c,
                                         UnitSystem units = UnitSystem::both) {
    if (reason.about == About::frost && reason.why == Why::no_output) {
        std::vector<std::string> kinds;
        for (const HeatingStage& stage : system.parts().heating)
            if (stage.name == c.stage) kinds.emplace_back(name(stage.frost));
        return "the page does not print " + std::string(name(c.frost)) + " heating for stage '" + std::string(c.stage) +
               "', and one kind is never turned into the other; it prints " + detail::listed(kinds);
    }
    std::string text = explain(reason, units);
    const HeatingStage* page = detail::heating_page(system, c.stage, c.frost).page;
    if (reason.node >= 0 && page != nullptr) {
        const auto at = page->table.grid().view().index(static_cast<std::size_t>(reason.node));
        const auto there = [&](HeatingAxis axis, About about) {
            return shown(page->table.breakpoints(axis)[at[static_cast<std::size_t>(axis)]], about, units);
        };
        return text + " (outdoor dry bulb " + there(HeatingAxis::outdoor_dry_bulb, About::outdoor_dry_bulb) +
               ", standard airflow " + there(HeatingAxis::airflow, About::standard_airflow) + ", entering dry bulb " +
               there(HeatingAxis::entering_dry_bulb, About::entering_dry_bulb) + ")";
    }
    if (reason.about == About::stage && reason.why == Why::unknown_stage)
        return text + ": '" + std::string(c.stage) + "'; in heating it has " +
               detail::listed(system.heating_stage_names());
    if (reason.about == About::stage)
        return text + "; in heating it has " + detail::listed(system.heating_stage_names());
    if (reason.why == Why::no_output && reason.about == About::heating_capacity)
        return "the system has no heating page";
    if (reason.about == About::auxiliary_heat && reason.why == Why::not_given)
        return text + ": 0 W says that it is off";
    if (reason.about == About::relative_humidity && reason.why == Why::not_given)
        return "entering humidity is not given; an actual airflow, or a page by the moist pound, needs it";
    if (reason.about == About::outdoor_humidity && reason.why == Why::not_given)
        return text + ": the defrost table needs it";
    Conditions same;  // the rest is worded as in cooling
    same.stage = c.stage;
    same.match = c.match;
    return explain(reason, system, same, units);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
