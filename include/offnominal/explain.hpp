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
#include "offnominal/units.hpp"

namespace offnominal {

/// Units a text is worded in. `both` gives IP with SI in brackets.
enum class UnitSystem : std::uint8_t { IP, SI, both };

/// The machine-readable name of an enumerator, as Python and records use it.
[[nodiscard]] constexpr std::string_view name(Why why) noexcept {
    constexpr std::array names{
        "none",         "not_finite",    "outside",          "blank",          "beyond_limit",  "near_dry",
        "no_wet_line",  "no_knee",       "supersaturated",   "boiling",        "unknown_stage", "unknown_match",
        "unknown_line", "no_line_table", "not_given",        "contradictory",  "no_output",     "no_coil_state",
        "no_flow",      "wrong_mode",    "small_difference", "not_steady",     "basis_unknown", "no_sensitivity",
        "no_expected",  "off_path",      "not_continuous",   "speed_not_held", "unlike_basis",  "not_inferred"};
    static_assert(names.size() == static_cast<std::size_t>(Why::not_inferred) + 1);
    return names[static_cast<std::size_t>(why)];
}

namespace detail {
/// How a subject is named, worded and shown.
struct Subject {
    std::string_view name, words;
    Unit ip, si;
};
inline constexpr Subject subjects[] = {
    {"nothing", "", units::one, units::one},
    {"axis", "the axis", units::one, units::one},
    {"outdoor_dry_bulb", "outdoor dry bulb", units::degF, units::degC},
    {"entering_dry_bulb", "entering dry bulb", units::degF, units::degC},
    {"entering_wet_bulb", "entering wet bulb", units::degF, units::degC},
    {"dry_bulb", "dry bulb", units::degF, units::degC},
    {"wet_bulb", "wet bulb", units::degF, units::degC},
    {"relative_humidity", "relative humidity", units::one, units::one},
    {"humidity_ratio", "humidity ratio", units::lb_lb, units::kg_kg},
    {"dew_point", "dew point", units::degF, units::degC},
    {"enthalpy", "enthalpy", units::Btu_lb_of_air, units::J_kg},
    {"pressure", "station pressure", units::psia, units::Pa},
    {"elevation", "elevation", units::ft, units::m},
    {"airflow", "airflow", units::cfm, units::m3_s},
    {"standard_airflow", "standard airflow", units::scfm, units::m3_s},
    {"line_set", "line set", units::one, units::one},
    {"line_length", "equivalent line length", units::ft, units::m},
    {"lift", "lift", units::ft, units::m},
    {"suction_size", "suction size", units::in, units::mm},
    {"fan_power", "fan power", units::W, units::W},
    {"fan_position", "fan position", units::one, units::one},
    {"boundary", "boundary", units::one, units::one},
    {"stage", "stage", units::one, units::one},
    {"match", "match", units::one, units::one},
    {"total_capacity", "total capacity", units::Btu_h, units::W},
    {"sensible_capacity", "sensible capacity", units::Btu_h, units::W},
    {"power", "power", units::W, units::W},
    {"bypass", "bypass factor", units::one, units::one},
    {"return_air", "return air", units::one, units::one},
    {"supply_air", "supply air", units::one, units::one},
    {"leaving_air", "leaving air", units::degF, units::degC},
    {"site", "site", units::one, units::one},
    {"limit", "limit", units::one, units::one},
    {"external_static", "external static pressure", units::in_wc, units::Pa},
    {"speed", "compressor speed", units::one, units::one},
    {"indoor_pair", "the pair of entering dry and wet bulb", units::degF, units::degC},
    {"efficiency", "efficiency", units::Btu_Wh, units::W_W},
    {"outdoor_humidity", "outdoor relative humidity", units::one, units::one},
    {"heating_capacity", "heating capacity", units::Btu_h, units::W},
    {"frost", "the kind of heating, instantaneous or integrated,", units::one, units::one},
    {"auxiliary_heat", "auxiliary heat", units::W, units::W},
};
static_assert(std::size(subjects) == static_cast<std::size_t>(About::auxiliary_heat) + 1);
[[nodiscard]] constexpr const Subject& subject(About about) noexcept {
    return subjects[static_cast<std::size_t>(about)];
}
}  // namespace detail

[[nodiscard]] constexpr std::string_view name(About about) noexcept { return detail::subject(about).name; }
/// The unit a reason's `value`, `lower` and `upper` are shown in; `both` counts as SI.
[[nodiscard]] constexpr Unit shown_unit(About about, UnitSystem system) noexcept {
    return system == UnitSystem::IP ? detail::subject(about).ip : detail::subject(about).si;
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
    const detail::Subject& s = detail::subject(about);
    if (system != UnitSystem::both || s.ip.name == s.si.name) return with(system == UnitSystem::SI ? s.si : s.ip);
    return with(s.ip) + " (" + with(s.si) + ")";
}

/// A reason in words: what, which value, what would be right.
[[nodiscard]] inline std::string explain(const Reason& r, UnitSystem system = UnitSystem::both) {
    const std::string what =
        r.about == About::axis ? "axis " + std::to_string(r.axis) : std::string(detail::subject(r.about).words);
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
    switch (note) {
        case Note::pound_unknown:
            return "standard pound of the page unknown: taken as dry air (moist would move airflow 1 to 1.3 %)";
        case Note::power_basis_unknown:
            return "power basis of the page unknown: not comparable with a measured power";
        case Note::elevation_unknown:
            return "elevation of the page unknown: taken as printed for sea level";
        case Note::altitude_assumed:
            return "no published altitude factor: total taken as printed at equal mass flow, with extra uncertainty; "
                   "power is "
                   "commonly 3 to 5 % higher at 5,000 ft (common practice, no source)";
        case Note::sensible_scaled:
            return "page prints no bypass factor: sensible scaled with total instead of split by the coil";
        case Note::dryness_unknown:
            return "no sensible available: the dry-coil rule was not applied";
        case Note::tolerance_unknown:
            return "maker's tolerance unknown: none is in the uncertainty";
        case Note::match_factor:
            return "match factor used across the map: 2 % standard uncertainty (common practice, no source)";
        case Note::saturated_entering:
            return "wet bulb a little above dry bulb: taken as saturated";
        case Note::power_of_dry_coil:
            return "dry coil: total, sensible and power taken where the coil would turn wet, and moved as the page's "
                   "own dry nodes say";
        case Note::leaving_impossible:
            return "the page implies leaving air past saturation: suspect the page or the airflow";
        case Note::interpolation_unknown:
            return "an axis with two values only: its interpolation error cannot be judged";
        case Note::fan_position_unknown:
            return "fan position unknown: taken as draw-through";
        case Note::negative_capacity:
            return "supply holds more heat than return: wrong mode, or swapped probes";
        case Note::negative_latent:
            return "supply is wetter than return: water re-evaporating, outdoor air, or swapped probes";
        case Note::sensible_above_total:
            return "sensible exceeds total: dry coil within the uncertainty, or a humidity probe astray";
        case Note::near_saturation:
            return "supply above 97 % relative humidity: humidity probes saturate after a wet coil";
        case Note::small_split:
            return "dry-bulb split below 3 delta_degF: relative uncertainty is large";
        case Note::one_sided:
            return "a sensitivity was taken on one side, where the other has no answer";
        case Note::capacity_basis_unknown:
            return "gross or net unknown: taken as gross";
        case Note::airflow_basis_unknown:
            return "airflow basis of the page unknown: taken as standard airflow";
        case Note::line_set_unknown:
            return "no line-set table: no line-set factor";
        case Note::steadiness_unknown:
            return "the visit does not say whether the readings were steady: let it run at least 15 to 20 minutes "
                   "first (common "
                   "practice, no source)";
        case Note::pressure_unchecked:
            return "station pressure without an elevation to check it by: is it what a barometer at the machine reads, "
                   "and not "
                   "reduced to sea level?";
        case Note::first_order_only:
            return "the ratio is uncertain by more than a quarter of itself: these first-order figures no longer hold";
        case Note::saturated_probe:
            return "supply humidity probe near saturation, where it says no more than 95 to 100 %: a shortfall cannot "
                   "be told from "
                   "it; read a wet bulb or dew point";
        case Note::short_run:
            return "less than 20 minutes of running before the readings (common practice, no source)";
        case Note::uncertainty_missing:
            return "a reading without a stated uncertainty was taken as exact";
        case Note::airflow_multiplier:
            return "airflow by the page's multiplier row, printed for its rating point and used across the page";
        case Note::dry_bulb_multiplier:
            return "entering dry bulb by the page's multiplier row, printed for its rating point and used across the "
                   "page";
        case Note::reference_line_unknown:
            return "the line the page is rated with is unknown: line-set factors taken as printed";
        case Note::inferred_dry_bulb:
            return "sensible at an entering dry bulb the page leaves blank: inferred, linear in entering dry bulb by "
                   "the bypass factor";
        case Note::sensible_lower_bound:
            return "sensible is capped at total on the page: a lower bound";
        case Note::along_pairs:
            return "read along the page's pairs of dry and wet bulb: no dry-coil rule can be applied on them";
        case Note::between_speeds:
            return "between two compressor speeds, as the maker allows";
        case Note::frost_in_page:
            return "integrated heating capacity: frost and defrost are in it, so a steady test reads higher";
        case Note::frost_unknown:
            return "page does not say whether heating is instantaneous or integrated";
        case Note::outdoor_humidity_unknown:
            return "outdoor humidity of the heating page unknown: frost cannot be judged";
        case Note::speed_unknown:
            return "variable-speed system: how its speed was held is not stated";
        case Note::no_heating_factors:
            return "match, line-set and altitude factors are printed for cooling: none was applied to heating";
        case Note::other_stage:
            return "the measured power fits another stage much better: which stage ran?";
        case Note::weather_in_pressure:
            return "station pressure from the elevation alone: standard uncertainty of 1 % for the weather (common "
                   "practice, no source); a barometer at the machine does away with it";
    }
    return "unknown note";
}

/// All notes in words, in a fixed order.
[[nodiscard]] inline std::vector<std::string> describe(Notes notes) {
    std::vector<std::string> out;
    for (unsigned bit = 0; bit < note_count; ++bit)
        if (const auto note = static_cast<Note>(1ull << bit); notes.has(note)) out.emplace_back(describe(note));
    return out;
}

/// A footing in words: "inside", or "inferred, dry".
[[nodiscard]] inline std::string describe(Footing footing) {
    if (footing == Footing::inside) return "inside";
    std::string out;
    const auto add = [&](Footing one, const char* word) {
        if (has(footing, one)) out += (out.empty() ? "" : ", ") + std::string(word);
    };
    add(Footing::held, "held");
    add(Footing::extended, "extended");
    add(Footing::inferred, "inferred");
    add(Footing::dry, "dry");
    return out;
}

}  // namespace offnominal
