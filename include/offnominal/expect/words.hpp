/// @file
/// An expected capacity in words: its reasons with the system's own names, and its ledger as a table that can be
/// followed with a finger on the page.
#pragma once

#include <string>

#include "offnominal/conditions.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

[[nodiscard]] constexpr std::string_view name(Boundary boundary) noexcept {
    return boundary == Boundary::coil ? "coil" : boundary == Boundary::coil_and_fan ? "coil+fan" : "not given";
}
[[nodiscard]] constexpr std::string_view name(PowerBasis basis) noexcept {
    constexpr std::array names{"unknown", "compressor", "outdoor unit", "system"};
    return names[static_cast<std::size_t>(basis)];
}

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] inline std::string listed(const std::vector<std::string>& names) {
    std::string out;
    for (const std::string& n : names) out += (out.empty() ? "" : ", ") + n;
    return out;
}

[[nodiscard]] inline std::string padded(std::string text, std::size_t width, bool right = false) {
    if (text.size() < width) text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

/// How quantities are written in a text: unit and decimals.
struct Style {
    explicit Style(UnitSystem system)
        : ip(system != UnitSystem::SI),
          temperature(ip ? units::degF : units::degC),
          difference(ip ? units::delta_degF : units::delta_degC),
          capacity(ip ? units::Btu_h : units::W),
          airflow(ip ? units::cfm : units::L_s),
          length(ip ? units::ft : units::m) {}

    bool ip;
    Unit temperature, difference, capacity, airflow, length;

    [[nodiscard]] static std::string with(double si, const Unit& unit, int decimals) {
        return fixed(unit.from_si(si), decimals) + " " + std::string(unit.name);
    }
    [[nodiscard]] std::string of(Temperature t) const { return with(t.si, temperature, 1); }
    [[nodiscard]] std::string of(TemperatureDifference d) const { return with(d.si, difference, 1); }
    [[nodiscard]] std::string of_capacity(Power p) const { return with(p.si, capacity, 0); }
    [[nodiscard]] std::string standard(Airflow a) const { return with(a.si, airflow, 0) + " standard air"; }
};

[[nodiscard]] constexpr std::string_view words(Step::Kind kind) noexcept {
    constexpr std::array names{"page",     "net to gross", "match", "line set", "altitude", "coil", "entering dry bulb",
                               "dry coil", "fan heat",     "speed", "frost"};
    return names[static_cast<std::size_t>(kind)];
}

[[nodiscard]] inline std::string axis_name(const RatingTable& table, std::size_t axis) {
    return table.grid().axes()[axis].name();
}

/// The unit an axis is shown in; relative humidities in %.
[[nodiscard]] inline Unit axis_unit(const RatingTable& table, std::size_t axis, UnitSystem units) {
    const Style style(units);
    switch (table.axes()[axis]) {
        case PageAxis::airflow:
            return style.airflow;
        case PageAxis::pressure:
            return style.ip ? offnominal::units::psia : offnominal::units::kPa;
        case PageAxis::humidity:
            return table.humidity() == HumidityAxis::wet_bulb ? style.temperature : offnominal::units::percent;
        default:
            return style.temperature;
    }
}

/// A breakpoint of an axis, `95 degF`; of the axis of pairs, `75/63 degF`.
[[nodiscard]] inline std::string breakpoint(const RatingTable& table, std::size_t axis, std::size_t i,
                                            UnitSystem units) {
    if (table.axes()[axis] == PageAxis::humidity && table.humidity() == HumidityAxis::pairs) {
        const Unit& t = Style(units).temperature;
        const IndoorPair& pair = table.page().pairs[i];
        return brief(t.from_si(pair.dry_bulb)) + "/" + brief(t.from_si(pair.wet_bulb)) + " " + std::string(t.name);
    }
    const Unit unit = axis_unit(table, axis, units);
    return brief(unit.from_si(table.grid().breakpoints(axis)[i])) + " " + std::string(unit.name);
}

/// Where a page was entered along one axis: `  outdoor dry bulb      91.0 degF, between 85 and 95 at 0.600`.
[[nodiscard]] inline std::string entered_axis(const RatingTable& table, std::size_t axis, double entered,
                                              UnitSystem units) {
    const auto x = table.grid().breakpoints(axis);
    std::size_t i = 0;
    while (i + 2 < x.size() && entered >= x[i + 1]) ++i;
    std::string out = "  " + padded(axis_name(table, axis), 18) + " ";
    const double t = x.size() > 1 ? (entered - x[i]) / (x[i + 1] - x[i]) : 0.0;
    if (table.axes()[axis] == PageAxis::humidity && table.humidity() == HumidityAxis::pairs) {
        out += breakpoint(table, axis, i, units);
        if (x.size() > 1) out += " to " + breakpoint(table, axis, i + 1, units) + " at " + fixed(t, 3);
        return out + "\n";
    }
    const Unit unit = axis_unit(table, axis, units);
    out += padded(fixed(unit.from_si(entered), 1), 7, true) + " " + std::string(unit.name);
    if (x.size() > 1)
        out +=
            ", between " + brief(unit.from_si(x[i])) + " and " + brief(unit.from_si(x[i + 1])) + " at " + fixed(t, 3);
    return out + "\n";
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// A reason of `try_expect` in words, with the names the system has.
[[nodiscard]] inline std::string explain(const Reason& reason, const System& system, const Conditions& conditions,
                                         UnitSystem units = UnitSystem::both) {
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
        return text + ": '" + std::string(conditions.match) + "'; " +
               (system.match_names().empty() ? "it lists none, so leave it out"
                                             : "it lists " + detail::listed(system.match_names()));
    if (reason.about == About::match && reason.why == Why::not_given)
        return text + "; the system lists " + detail::listed(system.match_names());
    if (reason.about == About::stage) {
        std::vector<std::string> names;
        for (const Stage& stage : system.stages(system.match(conditions.match))) names.push_back(stage.name);
        if (names.empty()) return "the system has no cooling page";
        const std::string which = reason.why == Why::unknown_stage ? ": '" + std::string(conditions.stage) + "'" : "";
        return text + which + "; it has " + detail::listed(names);
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
    if (reason.about == About::airflow && reason.why == Why::not_given)
        return text + ": standard, or actual at return, supply or fan";
    if (reason.why == Why::unknown_line) {
        std::vector<std::string> sizes;
        for (const Length& size : system.parts().line_set.suction_sizes())
            sizes.push_back(shown(size.si, About::suction_size, units));
        return text + ", which has " + detail::listed(sizes);
    }
    return text;
}

/// The page an expected capacity was read from.
[[nodiscard]] inline const Stage& page_of(const System& system, const Expected& e) {
    const Match* match = e.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(e.match)];
    return system.stages(match)[static_cast<std::size_t>(e.stage)];
}

/// The page of the higher speed, where the answer lies between two.
[[nodiscard]] inline const Stage& upper_page_of(const System& system, const Expected& e) {
    const Match* match = e.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(e.match)];
    return system.stages(match)[static_cast<std::size_t>(e.upper_stage)];
}

/// The ledger of an expected capacity: where the page was entered, the cell, and every step with what it left.
[[nodiscard]] inline std::string explain(const System& system, const Expected& e, UnitSystem units) {
    using detail::padded;
    const detail::Style style(units);
    const Stage& page = page_of(system, e);
    const SystemParts& parts = system.parts();
    std::string out = "page: " + page.name + " stage";
    if (e.match >= 0) out += ", " + parts.matches[static_cast<std::size_t>(e.match)].name;
    if (!parts.source.document.empty())
        out += " (" + parts.source.document + (parts.source.page.empty() ? "" : ", page " + parts.source.page) + ")";
    out += "\n";

    for (std::size_t axis = 0; axis < page.table.axes().size(); ++axis)
        out += detail::entered_axis(page.table, axis, e.entered[page.table.axes()[axis]], units);

    const std::string unit(style.capacity.name);
    out += "  " + padded("step", 30) + padded("factor", 9, true) + padded("total " + unit, 14, true) +
           padded("sensible " + unit, 17, true) + padded("power W", 10, true) + "\n";
    const auto steps = e.ledger.steps();
    for (std::size_t s = 0; s < steps.size();) {
        const Step::Kind kind = steps[s].kind;
        std::array<std::string, 3> cell;
        std::string factor, what(detail::words(kind));
        for (; s < steps.size() && steps[s].kind == kind; ++s) {
            const Step& step = steps[s];
            const Unit& u = step.of == Step::Of::power ? units::W : style.capacity;
            cell[static_cast<std::size_t>(step.of)] = fixed(u.from_si(step.after), 0);
            if (step.of == Step::Of::total && step.factor != 1.0) factor = fixed(step.factor, 4);
        }
        if (kind == Step::Kind::match) what += " " + parts.matches[static_cast<std::size_t>(e.match)].name;
        if (kind == Step::Kind::dry_coil && e.knee) what += ", turns wet at " + style.of(*e.knee);
        if (kind == Step::Kind::speed)
            what += ", " + fixed(e.between, 3) + " of the way to " + upper_page_of(system, e).name;
        if (kind == Step::Kind::coil) what += ", bypass " + fixed(e.bypass, 3);
        out += "  " + padded(what, 30) + padded(factor, 9, true) + padded(cell[0], 14, true) +
               padded(cell[1], 17, true) + padded(cell[2], 10, true) + "\n";
    }
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
