/// @file
/// Reasons in words. The only place where they are worded; nothing here is on a hot path.
#pragma once

#include <string>
#include <string_view>

#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/reason.hpp"
#include "offnominal/units.hpp"

namespace offnominal {

/// The unit a reason's `value`, `lower` and `upper` are shown in; `both` counts as SI.
[[nodiscard]] constexpr Unit shown_unit(About about, UnitSystem system) noexcept {
    return system == UnitSystem::IP ? row_of(about)->ip : row_of(about)->si;
}

/// `value` with `decimals` decimals.
[[nodiscard]] inline std::string fixed(double value, int decimals) {
    std::string out = detail::fixed_text(value, decimals);
    return !out.empty() && out.size() <= 64 ? out : "out of range";
}

/// `value` with at most `digits` significant digits and no trailing zeros.
[[nodiscard]] inline std::string brief(double value, int digits = 6) { return detail::rounded_text(value, digits); }

inline namespace OFFNOMINAL_ISA {

/// An SI value in one unit, or in both: "95 degF (35 degC)".
[[nodiscard]] inline std::string shown(double si, About about, UnitSystem system) {
    if (real::is_infinite(si)) return si > 0.0 ? "no upper bound" : "no lower bound";
    const auto with = [si](const Unit& unit) {
        return brief(unit.from_si(si))
            .append(unit.name == "1" ? "" : " ")
            .append(unit.name == "1" ? "" : units::in_plain_degrees(unit).name);
    };
    const Subject& s = known(about) ? *row_of(about) : *row_of(About::nothing);
    if (system != UnitSystem::both || s.ip.name == s.si.name) return with(system == UnitSystem::SI ? s.si : s.ip);
    return with(s.ip).append(" (").append(with(s.si)).append(")");
}

/// The sentence for a reason: that of its kind, or one that fits its subject better.
[[nodiscard]] constexpr std::string_view sentence(const Reason& r) noexcept {
    bool humidity = r.about == About::relative_humidity || r.about == About::outdoor_relative_humidity;
    for (const About air : {About::entering_dry_bulb, About::return_dry_bulb, About::supply_dry_bulb})
        humidity = humidity || r.about == detail::about_air(air, About::relative_humidity);
    if (r.why == Why::outside && humidity && r.value > 1.0)
        return "{what} {value} is above 1: it is a fraction (0.55, not 55)";
    if (r.why == Why::outside && r.upper == real::infinity)
        return "{what} {value} is below the least accepted, {lower}";
    if (r.why == Why::unknown_tap && r.about == About::airflow)
        return "there is no blower table of this indoor unit: it is printed for the reference one";
    if (r.why == Why::blank && r.about == About::line_length) return "the line-set table is blank there: not allowed";
    if (r.why == Why::contradictory && r.about == About::lift)
        return "lift {value} is more than the line's own length, {upper}";
    if (r.about == About::external_static && (r.why == Why::blank || r.why == Why::beyond_limit) && r.upper > 0.0)
        return "{what} {value} is above the greatest that the blower's page allows, {upper}";
    if (r.why == Why::supersaturated && r.about == About::leaving_air)
        return "the capacities imply leaving air past saturation";
    if (r.why == Why::contradictory && r.about == About::pressure)
        return "station pressure {value} does not fit the elevation, which asks for {lower} to {upper}; is it reduced "
               "to "
               "sea level?";
    if (r.why == Why::wrong_mode && r.about == About::rise)
        return "supply is colder than return: wrong mode, or swapped probes";
    if (r.why == Why::small_difference && r.about == About::rise)
        return "temperature rise is below 3 degF: too small for a ratio, only the absolute capacity means something";
    if (r.why == Why::implausible && r.about == About::auxiliary_heat)
        return "{what} {value} is more than all the heat that the air gained, {upper}: a slip, a wrong unit, or a "
               "heater outside the probes";
    if (r.why == Why::basis_unknown && r.about == About::power)
        return "the page does not say what its power includes: nothing to compare with";
    if (r.why == Why::off_path && r.lower > -real::infinity)
        return "the page prints pairs of dry and wet bulb, and {value} wet bulb is not on the way between two of them; "
               "at this dry bulb it would be {lower}";
    const WhyWords* row = row_of(r.why);
    return row == nullptr ? "unknown reason" : row->text;
}

/// A reason in words: what, which value, what would be right.
[[nodiscard]] inline std::string explain(const Reason& r, UnitSystem system = UnitSystem::both) {
    std::string out;
    for (std::string_view rest = sentence(r); !rest.empty();) {
        const std::size_t open = rest.find('{');
        out.append(rest.substr(0, open));
        if (open == std::string_view::npos) break;
        const std::size_t close = rest.find('}');
        const std::string_view key = rest.substr(open + 1, close - open - 1);
        if (key == "what" && r.about == About::axis)
            out.append("axis ").append(std::to_string(r.axis));
        else if (key == "what")
            out.append(known(r.about) ? row_of(r.about)->words : "unknown subject");
        else
            out.append(shown(key == "value" ? r.value : key == "lower" ? r.lower : r.upper, r.about, system));
        rest.remove_prefix(close + 1);
    }
    return out;
}

}  // namespace OFFNOMINAL_ISA

}  // namespace offnominal
