/// @file
/// An expected heating capacity in words: its reasons with the system's own names, and its ledger.
#pragma once

#include <string>

#include "offnominal/expect/heating_run.hpp"
#include "offnominal/expect/words.hpp"

namespace offnominal {

[[nodiscard]] constexpr std::string_view name(Frost frost) noexcept {
    constexpr std::array names{"unknown", "instantaneous", "integrated"};
    return names[static_cast<std::size_t>(frost)];
}

}  // namespace offnominal

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

/// The ledger of an expected heating capacity: where the page was entered, and every step with what it left.
[[nodiscard]] inline std::string explain(const System& system, const ExpectedHeating& e, UnitSystem units) {
    using detail::padded;
    const detail::Style style(units);
    const SystemParts& parts = system.parts();
    const HeatingStage& page = parts.heating[static_cast<std::size_t>(e.page)];
    std::string out = "page: " + page.name + " stage, " + std::string(name(page.frost)) + " heating";
    if (e.match >= 0) out += ", " + parts.matches[static_cast<std::size_t>(e.match)].name;
    if (!parts.source.document.empty())
        out += " (" + parts.source.document + (parts.source.page.empty() ? "" : ", page " + parts.source.page) + ")";
    out += "\n";

    const std::array<double, heating_axes> entered{e.outdoor_dry_bulb.si, e.standard_airflow.si,
                                                   e.entering_dry_bulb.si};
    for (std::size_t axis = 0; axis < heating_axes; ++axis) {
        const auto x = page.table.grid().breakpoints(axis);
        const Unit& unit = axis == 1 ? style.airflow : style.temperature;
        std::size_t i = 0;
        while (i + 2 < x.size() && entered[axis] >= x[i + 1]) ++i;
        out += "  " + padded(page.table.grid().axes()[axis].name(), 18) +
               padded(fixed(unit.from_si(entered[axis]), 1), 8, true) + " " + std::string(unit.name);
        if (x.size() > 1)
            out += ", between " + brief(unit.from_si(x[i])) + " and " + brief(unit.from_si(x[i + 1])) + " at " +
                   fixed((entered[axis] - x[i]) / (x[i + 1] - x[i]), 3);
        out += "\n";
    }

    out += "  " + padded("step", 30) + padded("factor", 9, true) +
           padded("capacity " + std::string(style.capacity.name), 17, true) + padded("power W", 10, true) + "\n";
    const auto steps = e.ledger.steps();
    for (std::size_t s = 0; s < steps.size();) {
        const Step::Kind kind = steps[s].kind;
        std::string factor, capacity, power;
        for (; s < steps.size() && steps[s].kind == kind; ++s) {
            const Step& step = steps[s];
            const bool is_power = step.of == Step::Of::power;
            (is_power ? power : capacity) = fixed((is_power ? units::W : style.capacity).from_si(step.after), 0);
            if (!is_power && step.factor != 1.0) factor = fixed(step.factor, 4);
        }
        out += "  " + padded(std::string(detail::words(kind)), 30) + padded(factor, 9, true) +
               padded(capacity, 17, true) + padded(power, 10, true) + "\n";
    }
    return out;
}

}  // namespace OFFNOMINAL_ISA

namespace detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] inline std::string expected_words(const System& system, const ExpectedHeating& e, UnitSystem units) {
    const Style style(units);
    std::string out = "expected at " + std::string(name(e.boundary)) + ": " + style.of_capacity(e.capacity) + " of " +
                      (e.frost == Frost::unknown ? "" : std::string(name(e.frost)) + " ") + "heating";
    if (e.auxiliary_heat.si > 0.0)
        out += ", without " + Style::with(e.auxiliary_heat.si, units::W, 0) + " of auxiliary heat";
    out += "\n";
    if (e.power) {
        out += "  power " + Style::with(e.power->si, units::W, 0) + " (" + std::string(name(e.power_basis)) + ")";
        if (e.system_power) out += ", with indoor fan " + Style::with(e.system_power->si, units::W, 0);
        if (e.cop) out += ", COP " + fixed(*e.cop, 2);
        out += "\n";
    }
    if (e.leaving) out += "  leaving " + style.of(e.leaving->dry_bulb) + " dry bulb, rise " + style.of(e.rise()) + "\n";
    out += "  footing: " + describe(e.footing) + "; own standard uncertainty " +
           fixed(100.0 * e.uncertainty.combined() / e.capacity.si, 1) + " %\n";
    return out + explain(system, e, units);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail
}  // namespace offnominal
OFFNOMINAL_EXACT_END
