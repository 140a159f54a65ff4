/// @file
/// Why there is no expected capacity, in words, with the system's own names.
#pragma once

#include <string>

#include "offnominal/detail/text.hpp"
#include "offnominal/expect/frame.hpp"
#include "offnominal/explain.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

/// `a, b, c`, followed by `; nearest: b` where one of them is close to what was typed.
[[nodiscard]] inline std::string listed(const std::vector<std::string>& names, std::string_view typed = {}) {
    std::string out;
    for (const std::string& n : names) out += (out.empty() ? "" : ", ") + n;
    const std::string_view meant = names.size() > 1 && !typed.empty() ? nearest(names, typed) : std::string_view();
    return meant.empty() ? out : text({out, "; nearest: ", meant});
}

[[nodiscard]] inline std::string axis_name(const RatingTable& table, std::size_t axis) {
    return table.grid().axes()[axis].name();
}

/// The unit an axis is shown in; relative humidities in %.
[[nodiscard]] inline Unit axis_unit(const RatingTable& table, std::size_t axis, UnitSystem units) {
    const bool ip = units != UnitSystem::SI;
    const Unit temperature = ip ? offnominal::units::degF : offnominal::units::degC;
    switch (table.axes()[axis]) {
        case PageAxis::airflow:
            return ip ? offnominal::units::cfm : offnominal::units::L_s;
        case PageAxis::pressure:
            return ip ? offnominal::units::psia : offnominal::units::kPa;
        case PageAxis::humidity:
            return table.humidity() == HumidityAxis::wet_bulb ? temperature : offnominal::units::percent;
        default:
            return temperature;
    }
}

/// A breakpoint of an axis, `95 degF`; of the axis of pairs, `75/63 degF`.
[[nodiscard]] inline std::string breakpoint(const RatingTable& table, std::size_t axis, std::size_t i,
                                            UnitSystem units) {
    if (table.axes()[axis] == PageAxis::humidity && table.humidity() == HumidityAxis::pairs) {
        const Unit t = units != UnitSystem::SI ? offnominal::units::degF : offnominal::units::degC;
        const IndoorPair& pair = table.page().pairs[i];
        return brief(t.from_si(pair.dry_bulb)) + "/" + brief(t.from_si(pair.wet_bulb)) + " " + std::string(t.name);
    }
    const Unit unit = axis_unit(table, axis, units);
    return brief(unit.from_si(table.grid().breakpoints(axis)[i])) + " " + std::string(unit.name);
}

/// A reason of `try_expect` about heating in words; empty where it is worded as in cooling.
[[nodiscard]] inline std::string explain_heating(const Reason& reason, const System& system, const Question& c,
                                                 UnitSystem units) {
    const std::string stages = "; in heating it has " + listed(system.heating_stage_names(), c.stage);
    if (reason.about == About::frost && reason.why == Why::no_output) {
        std::vector<std::string> kinds;
        for (const HeatingStage& stage : system.parts().heating)
            if (stage.name == c.stage) kinds.emplace_back(name(stage.frost));
        return "the page does not print " + std::string(name(c.values.frost)) + " heating for stage '" +
               shortened(c.stage) + "', and one kind is never turned into the other; it prints " + listed(kinds) +
               (c.values.frost == Frost::instantaneous ? "; ask for inferred values (infer) to take frost out again"
                                                       : "");
    }
    const std::string text = explain(reason, units);
    const HeatingStage* page = heating_chain(system, c.stage, c.values.frost).page;
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
        return text + ": '" + shortened(c.stage) + "'" + stages;
    if (reason.about == About::stage) return text + stages;
    if (reason.why == Why::no_output && reason.about == About::heating_capacity)
        return "the system has no heating page";
    if (reason.why != Why::not_given) return {};
    if (reason.about == About::auxiliary_heat) return text + ": 0 W says that it is off";
    if (reason.about >= About::entering_wet_bulb && reason.about <= About::entering_enthalpy)
        return "entering humidity is not given; an actual airflow, or a page by the moist pound, needs it";
    if (reason.about == About::outdoor_relative_humidity) return text + ": the defrost table needs it";
    return {};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// A reason of `try_expect` in words, with the names the system has.
[[nodiscard]] inline std::string explain(const Reason& reason, const System& system, const detail::Question& conditions,
                                         UnitSystem units = UnitSystem::both) {
    if (conditions.values.mode == Mode::heating)
        if (std::string text = detail::explain_heating(reason, system, conditions, units); !text.empty()) return text;
    std::string text = explain(reason, units);
    const Stage* read = system.stage(conditions.stage, system.match(conditions.match));
    if (reason.why == Why::off_path && read != nullptr) {
        const IndoorPair& pair = read->table.page().pairs[static_cast<std::size_t>(reason.node)];
        text += " (nearest: " + shown(pair.dry_bulb, About::entering_dry_bulb, units) + " dry, " +
                shown(pair.wet_bulb, About::entering_wet_bulb, units) + " wet bulb)";
    } else if (reason.node >= 0 && read != nullptr && reason.about != About::line_length) {
        const auto at = read->table.grid().view().index(static_cast<std::size_t>(reason.node));
        std::string place;
        for (std::size_t axis = 0; axis < read->table.axes().size(); ++axis)
            place += (axis > 0 ? ", " : "") + detail::axis_name(read->table, axis) + " " +
                     detail::breakpoint(read->table, axis, at[axis], units);
        text += " (" + place + ")";
    }
    if (reason.why == Why::unknown_match)
        return text + ": '" + detail::shortened(conditions.match) + "'; " +
               (system.match_names().empty() ? "it lists none, so leave it out"
                                             : "it lists " + detail::listed(system.match_names(), conditions.match));
    if (reason.about == About::match && reason.why == Why::not_given)
        return text + "; the system lists " + detail::listed(system.match_names());
    if (reason.about == About::stage) {
        std::vector<std::string> names;
        for (const Stage& stage : system.stages(system.match(conditions.match))) names.push_back(stage.name);
        if (names.empty()) return "the system has no cooling page";
        const std::string which =
            reason.why == Why::unknown_stage ? ": '" + detail::shortened(conditions.stage) + "'" : "";
        return text + which + "; it has " + detail::listed(names, conditions.stage);
    }
    if (reason.about == About::speed) {
        const Unit& unit = system.parts().speed_unit;
        std::string speeds;
        for (const Stage& stage : system.stages(system.match(conditions.match)))
            if (stage.speed)
                speeds += (speeds.empty() ? "" : ", ") + stage.name + " at " + brief(unit.from_si(*stage.speed)) +
                          (unit.name == "1" ? "" : " " + std::string(unit.name));
        return text + "; the system has " + (speeds.empty() ? "stages without speeds" : speeds);
    }
    if (reason.about == About::boundary) return text + ": coil (gross), or coil+fan (net)";
    if (reason.about == About::line_set && reason.why == Why::not_given)
        return text + ": reference, or equivalent length, suction size and lift";
    const bool longer = reason.why == Why::outside && reason.about == About::line_length;
    const auto& line = conditions.values.line_set;
    const bool asked = line && line->beyond == BeyondTable::model;
    const std::string modelled = asked ? "" : "; `beyond: model` beside the length asks for a model's answer";
    if (longer || reason.why == Why::no_line_table) return text + modelled;
    if (reason.why == Why::no_line_model) return text + ": '" + system.parts().refrigerant + "'";
    if (reason.about == About::airflow && reason.why == Why::not_given &&
        conditions.values.airflow.kind == AirflowReading::Kind::not_given)
        return text + ": standard, or actual at return, supply or fan";
    if (reason.why == Why::unknown_line) {
        std::vector<std::string> sizes;
        for (const Length& size : system.parts().lines(conditions.values.mode).suction_sizes())
            sizes.push_back(shown(size.si, About::suction_size, units));
        return text + ", which has " + detail::listed(sizes) + modelled;
    }
    return text;
}

/// The page an expected cooling capacity was read from.
[[nodiscard]] inline const Stage& page_of(const System& system, const ExpectedValues& e) {
    const Match* match = e.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(e.match)];
    return system.stages(match)[static_cast<std::size_t>(e.stage)];
}

/// The page an expected heating capacity was read from.
[[nodiscard]] inline const HeatingStage& heating_page_of(const System& system, const ExpectedValues& e) {
    return system.parts().heating[static_cast<std::size_t>(e.stage)];
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
