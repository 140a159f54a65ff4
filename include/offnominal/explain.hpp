/// @file
/// Words for reasons, notes and footings. The only place where they are worded; nothing here is on a hot path.
#pragma once

#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/units.hpp"

namespace offnominal {

/// The unit a reason's `value`, `lower` and `upper` are shown in; `both` counts as SI.
[[nodiscard]] constexpr Unit shown_unit(About about, UnitSystem system) noexcept {
    return system == UnitSystem::IP ? row_of(about)->ip : row_of(about)->si;
}

/// `value` with `decimals` decimals.
[[nodiscard]] inline std::string fixed(double value, int decimals) {
    char buffer[64];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals);
    return end.ec == std::errc{} ? std::string(buffer, end.ptr) : std::string("out of range");
}

/// `value` with at most `digits` significant digits and no trailing zeros.
[[nodiscard]] inline std::string brief(double value, int digits = 6) {
    char buffer[64];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::general, digits);
    return {buffer, end.ptr};
}

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// An SI value in one unit, or in both: "95 degF (35 degC)".
[[nodiscard]] inline std::string shown(double si, About about, UnitSystem system) {
    if (std::isinf(si)) return si > 0.0 ? "no upper bound" : "no lower bound";
    const auto with = [si](const Unit& unit) {
        return brief(unit.from_si(si)) + (unit.name == "1" ? "" : " " + std::string(unit.name));
    };
    const Subject& s = *row_of(about);
    if (system != UnitSystem::both || s.ip.name == s.si.name) return with(system == UnitSystem::SI ? s.si : s.ip);
    return with(s.ip) + " (" + with(s.si) + ")";
}

/// A reason in words: what, which value, what would be right.
[[nodiscard]] inline std::string explain(const Reason& r, UnitSystem system = UnitSystem::both) {
    const std::string what =
        r.about == About::axis ? "axis " + std::to_string(r.axis) : std::string(row_of(r.about)->words);
    const auto value = [&](double si) { return shown(si, r.about, system); };
    const std::string range = value(r.lower) + " to " + value(r.upper);
    switch (r.why) {
        case Why::none:
            return "there is an answer";
        case Why::not_finite:
            return what + " is not a finite number";
        case Why::outside:
            if ((r.about == About::relative_humidity || r.about == About::outdoor_humidity) && r.value > 1.0)
                return what + " " + value(r.value) + " is above 1: it is a fraction (0.55, not 55)";
            if (std::isinf(r.upper))
                return what + " " + value(r.value) + " is below the least accepted, " + value(r.lower);
            return what + " " + value(r.value) + " is outside " + range;
        case Why::blank:
            return r.about == About::line_length ? "the line-set table is blank there: not allowed"
                                                 : "the page is blank in a node this answer needs";
        case Why::beyond_limit:
            return "this answer needs a node past the maker's operating limit";
        case Why::near_dry:
            return "entering dry bulb " + value(r.value) + " is below the " + value(r.lower) +
                   " the sensible column is printed for, next to a node that is dry on the page; ask for inferred "
                   "values (infer) to get an estimate";
        case Why::no_wet_line:
            return "next to a dry node with too few wet nodes above it: no wet line can be built";
        case Why::no_knee:
            return "the coil is dry, and the " + what + " at which it would turn wet lies above " + value(r.upper);
        case Why::supersaturated:
            if (r.about == About::leaving_air) return "the capacities imply leaving air past saturation";
            return what + " " + value(r.value) + " is past saturation; at most " + value(r.upper);
        case Why::boiling:
            return "saturated vapour would reach the station pressure at " + what + " " + value(r.value);
        case Why::unknown_stage:
            return "the system has no such stage";
        case Why::unknown_match:
            return "the system lists no such match";
        case Why::unknown_line:
            return "suction size " + value(r.value) + " is not in the line-set table";
        case Why::no_line_table:
            return "a line set is given, but the system has no line-set table; give the reference line";
        case Why::not_given:
            return what + " is not given, and there is no default";
        case Why::contradictory:
            if (r.about == About::pressure)
                return "station pressure " + value(r.value) + " does not fit the elevation, which asks for " + range +
                       "; is it reduced to sea level?";
            return what + ": two inputs say different things";
        case Why::no_output:
            return "the page does not print " + what;
        case Why::no_coil_state:
            return "no apparatus dew point explains total capacity " + value(r.value) +
                   " at this airflow and bypass factor";
        case Why::no_flow:
            return what + " " + value(r.value) + " must be above zero";
        case Why::wrong_mode:
            return "supply holds more heat than return: wrong mode, or swapped probes";
        case Why::small_difference:
            return "dry-bulb split is below 3 delta_degF: too small for a ratio, only the absolute capacities mean "
                   "something";
        case Why::not_steady:
            return "the readings were not taken in steady state, or less than 15 minutes after a start";
        case Why::basis_unknown:
            if (r.about == About::power)
                return "the page does not say what its power includes: nothing to compare with";
            return "the page does not say whether it is gross or net: nothing to compare with";
        case Why::no_sensitivity:
            return "what an input's uncertainty does to the ratio cannot be told: both ways it leads where there is no "
                   "answer";
        case Why::no_expected:
            return "the indoor fan's heat takes all of the expected capacity: check the fan power";
        case Why::off_path:
            return "the page prints pairs of dry and wet bulb, and " + value(r.value) +
                   " wet bulb is not on the way between two of them" +
                   (std::isinf(r.lower) ? "" : "; at this dry bulb it would be " + value(r.lower));
        case Why::not_continuous:
            return "a speed between two blocks of the page, which does not say that they may be interpolated; give a "
                   "stage";
        case Why::speed_not_held:
            return "a variable-speed compressor that was not held at a known speed: use the maker's test mode";
        case Why::unlike_basis:
            return what + ": the two do not include the same things";
        case Why::not_inferred:
            return "needs a node that the page leaves blank; ask for inferred values (infer) to get an estimate";
    }
    return "unknown reason";
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END

namespace offnominal {

/// A note in words.
[[nodiscard]] constexpr std::string_view describe(Note note) noexcept {
    const NoteWords* row = row_of(note);
    return row == nullptr ? std::string_view() : row->text;
}

/// All notes in words, in a fixed order.
[[nodiscard]] inline std::vector<std::string> describe(Notes notes) {
    std::vector<std::string> out;
    for (const NoteWords& note : words_of<Note>)
        if (notes.has(note.value)) out.emplace_back(note.text);
    return out;
}

/// A footing in words: "inside", or "inferred, dry".
[[nodiscard]] inline std::string describe(Footing footing) {
    if (footing == Footing::inside) return std::string(name(footing));
    std::string out;
    for (const auto& [one, word] : words_of<Footing>)
        if (has(footing, one)) out.append(out.empty() ? "" : ", ").append(word);
    return out;
}

}  // namespace offnominal
