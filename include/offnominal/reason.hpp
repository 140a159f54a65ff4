/// @file
/// Why there is no answer, as plain data: what, about what, which value, what would be right.
#pragma once

#include <cstdint>
#include <string_view>

#include "offnominal/units.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// Why there is no answer.
enum class Why : std::uint8_t {
    none,              ///< there is an answer
    not_finite,        ///< an input is NaN or infinite
    outside,           ///< a value lies outside what is covered; `lower` and `upper` are the bounds
    blank,             ///< the cell needs a node that is blank on the page
    beyond_limit,      ///< the cell needs a node past the maker's operating limit
    no_wet_line,       ///< a dry node with too few wet neighbours to build the wet line from
    no_knee,           ///< the coil is dry, and the wet bulb at which it would turn wet lies outside the table
    supersaturated,    ///< a moist-air state would hold more vapour than saturation allows
    boiling,           ///< saturation would reach the station pressure: no such moist air
    unknown_stage,     ///< the system has no such stage
    unknown_match,     ///< the system has no such indoor match
    unknown_line,      ///< the line-set table has no such suction size
    no_line_table,     ///< a line set is given but the system has no line-set table
    not_given,         ///< a needed input was not given
    contradictory,     ///< two inputs say different things
    no_output,         ///< the table does not print this output
    no_coil_state,     ///< no apparatus dew point explains this capacity: bypass factor, airflow or total do not fit
    no_flow,           ///< an airflow that is not above zero
    wrong_mode,        ///< the air gains heat where it should lose it: wrong mode, or swapped probes
    small_difference,  ///< dry-bulb split too small for a ratio
    not_steady,        ///< readings not taken in steady state, or too soon after a start
    basis_unknown,     ///< gross or net unknown: nothing to compare with
    no_sensitivity,    ///< an input's effect on the ratio cannot be told: its uncertainty reaches where there is no
                       ///< answer
    no_expected,       ///< the fan's heat takes all of the expected capacity
    off_path,          ///< the page prints pairs of dry and wet bulb, and this pair is not among them nor between two
    not_continuous,    ///< a speed between two blocks, but the maker does not say that they may be interpolated
    speed_not_held,    ///< a variable-speed compressor that was not held at the speed it is compared with
    unlike_basis,      ///< two powers or efficiencies that do not include the same things
    not_inferred,      ///< needs a node that could be inferred, which was not asked for
    unknown_choice,    ///< a choice that is no enumerator, such as `static_cast<Boundary>(7)`
    no_line_model,     ///< the line-set model does not hold for the system's refrigerant
    unknown_tap,       ///< the blower's page has no such tap
    implausible,       ///< a reading that no machine of this size has: a slip of the pen, a unit or an instrument
    defrosting,        ///< heating: a defrost in the window of the readings, or shortly before it
};
/// A reason's name in records and its sentence, in which `{what}` is the subject and `{value}`, `{lower}` and `{upper}`
/// are the numbers.
struct WhyWords {
    Why value;
    std::string_view word, text;
};
template <>
inline constexpr WhyWords words_of<Why>[] = {
    {Why::none, "none", "there is an answer"},
    {Why::not_finite, "not_finite", "{what} is not a finite number"},
    {Why::outside, "outside", "{what} {value} is outside {lower} to {upper}"},
    {Why::blank, "blank", "the page is blank in a node this answer needs"},
    {Why::beyond_limit, "beyond_limit", "this answer needs a node past the maker's operating limit"},
    {Why::no_wet_line, "no_wet_line", "next to a dry node with too few wet nodes above it: no wet line can be built"},
    {Why::no_knee, "no_knee", "the coil is dry, and the {what} at which it would turn wet lies above {upper}"},
    {Why::supersaturated, "supersaturated", "{what} {value} is past saturation; at most {upper}"},
    {Why::boiling, "boiling", "saturated vapour would reach the station pressure at {what} {value}"},
    {Why::unknown_stage, "unknown_stage", "the system has no such stage"},
    {Why::unknown_match, "unknown_match", "the system lists no such match"},
    {Why::unknown_line, "unknown_line", "suction size {value} is not in the line-set table"},
    {Why::no_line_table, "no_line_table",
     "a line set is given, but the system has no line-set table; give the reference line"},
    {Why::not_given, "not_given", "{what} is not given, and there is no default"},
    {Why::contradictory, "contradictory", "{what}: two inputs say different things"},
    {Why::no_output, "no_output", "the page does not print {what}"},
    {Why::no_coil_state, "no_coil_state",
     "no apparatus dew point explains total capacity {value} at this airflow and bypass factor"},
    {Why::no_flow, "no_flow", "{what} {value} must be above zero"},
    {Why::wrong_mode, "wrong_mode", "supply is warmer than return, or holds more heat: wrong mode, or swapped probes"},
    {Why::small_difference, "small_difference",
     "dry-bulb split is below 3 degF: too small for a ratio, only the absolute capacities mean something"},
    {Why::not_steady, "not_steady",
     "the readings were not taken in steady state, or less than 15 minutes after a start"},
    {Why::basis_unknown, "basis_unknown", "the page does not say whether it is gross or net: nothing to compare with"},
    {Why::no_sensitivity, "no_sensitivity",
     "what an input's uncertainty does to the ratio cannot be told: both ways it leads where there is no answer"},
    {Why::no_expected, "no_expected", "the indoor fan's heat takes all of the expected capacity: check the fan power"},
    {Why::off_path, "off_path",
     "the page prints pairs of dry and wet bulb, and {value} wet bulb is not on the way between two of them"},
    {Why::not_continuous, "not_continuous",
     "a speed between two blocks of the page, which does not say that they may be interpolated; give a stage"},
    {Why::speed_not_held, "speed_not_held",
     "a variable-speed compressor that was not held at a known speed: use the maker's test mode"},
    {Why::unlike_basis, "unlike_basis", "{what}: the two do not include the same things"},
    {Why::not_inferred, "not_inferred",
     "needs a node that the page leaves blank; ask for inferred values (infer) to get an estimate"},
    {Why::unknown_choice, "unknown_choice", "{what}: number {value} is none of its choices"},
    {Why::no_line_model, "no_line_model",
     "the line-set model holds for R-22, R-32, R-134a, R-290, R-410A and R-454B, and the system's refrigerant is none "
     "of them"},
    {Why::unknown_tap, "unknown_tap", "the blower's page has no such tap"},
    {Why::implausible, "implausible",
     "{what} {value} is not what a machine of this size has, {lower} to {upper}: a slip, a wrong unit, or an "
     "instrument "
     "astray"},
    {Why::defrosting, "defrosting",
     "a defrost in the window of the readings, or less than 10 minutes before it: what was read is no steady heating"},
};

/// What a reason is about. A grid knows only the number of its axis; the floors above name it.
enum class About : std::uint8_t {
    nothing,
    axis,  ///< axis number `Reason::axis` of a grid
    outdoor_dry_bulb,
    dry_bulb,  ///< of air that is the only one; the measures of named air follow, in the same order
    wet_bulb,
    relative_humidity,
    humidity_ratio,
    dew_point,
    enthalpy,
    entering_dry_bulb,
    entering_wet_bulb,
    entering_relative_humidity,
    entering_humidity_ratio,
    entering_dew_point,
    entering_enthalpy,
    return_dry_bulb,
    return_wet_bulb,
    return_relative_humidity,
    return_humidity_ratio,
    return_dew_point,
    return_enthalpy,
    supply_dry_bulb,
    supply_wet_bulb,
    supply_relative_humidity,
    supply_humidity_ratio,
    supply_dew_point,
    supply_enthalpy,
    pressure,
    elevation,
    airflow,
    standard_airflow,
    line_set,
    line_length,
    lift,
    suction_size,
    liquid_size,
    suction_loss,  ///< K of saturation temperature
    fan_power,
    fan_position,
    boundary,
    stage,
    match,
    total_capacity,
    sensible_capacity,
    power,
    bypass,
    leaving_air,
    site,
    limit,
    external_static,
    speed,
    indoor_pair,
    efficiency,
    outdoor_relative_humidity,
    heating_capacity,
    frost,  ///< instantaneous or integrated heating
    auxiliary_heat,
    mode,
    outside,   ///< what to do past the edge of a page
    humidity,  ///< which measure of it
    split,     ///< how sensible and latent are told apart
    dry_bulb_split,
    airflow_per_ton,    ///< standard cfm per ton of the page's gross capacity
    rise,               ///< of dry bulb, supply less return
    defrost,            ///< whether one fell into the window of the readings
    held_outdoor,       ///< how far past a page its outdoor edge is held
    held_line,          ///< how far past a line-set table its last length is held
    extended_wet_bulb,  ///< how far past a page's wet bulbs its edge cell is continued
};
/// How a subject is named in records, what it is called in a sentence, and the units it is shown in.
struct Subject {
    About value;
    std::string_view word, words;
    Unit ip, si;
};
template <>
inline constexpr Subject words_of<About>[] = {
    {About::nothing, "nothing", "", units::one, units::one},
    {About::axis, "axis", "the axis", units::one, units::one},
    {About::outdoor_dry_bulb, "outdoor_dry_bulb", "outdoor dry bulb", units::degF, units::degC},
    {About::dry_bulb, "dry_bulb", "dry bulb", units::degF, units::degC},
    {About::wet_bulb, "wet_bulb", "wet bulb", units::degF, units::degC},
    {About::relative_humidity, "relative_humidity", "relative humidity", units::one, units::one},
    {About::humidity_ratio, "humidity_ratio", "humidity ratio", units::lb_lb, units::kg_kg},
    {About::dew_point, "dew_point", "dew point", units::degF, units::degC},
    {About::enthalpy, "enthalpy", "enthalpy", units::Btu_lb_of_air, units::J_kg},
    {About::entering_dry_bulb, "entering_dry_bulb", "entering dry bulb", units::degF, units::degC},
    {About::entering_wet_bulb, "entering_wet_bulb", "entering wet bulb", units::degF, units::degC},
    {About::entering_relative_humidity, "entering_relative_humidity", "entering relative humidity", units::one,
     units::one},
    {About::entering_humidity_ratio, "entering_humidity_ratio", "entering humidity ratio", units::lb_lb, units::kg_kg},
    {About::entering_dew_point, "entering_dew_point", "entering dew point", units::degF, units::degC},
    {About::entering_enthalpy, "entering_enthalpy", "entering enthalpy", units::Btu_lb_of_air, units::J_kg},
    {About::return_dry_bulb, "return_dry_bulb", "return dry bulb", units::degF, units::degC},
    {About::return_wet_bulb, "return_wet_bulb", "return wet bulb", units::degF, units::degC},
    {About::return_relative_humidity, "return_relative_humidity", "return relative humidity", units::one, units::one},
    {About::return_humidity_ratio, "return_humidity_ratio", "return humidity ratio", units::lb_lb, units::kg_kg},
    {About::return_dew_point, "return_dew_point", "return dew point", units::degF, units::degC},
    {About::return_enthalpy, "return_enthalpy", "return enthalpy", units::Btu_lb_of_air, units::J_kg},
    {About::supply_dry_bulb, "supply_dry_bulb", "supply dry bulb", units::degF, units::degC},
    {About::supply_wet_bulb, "supply_wet_bulb", "supply wet bulb", units::degF, units::degC},
    {About::supply_relative_humidity, "supply_relative_humidity", "supply relative humidity", units::one, units::one},
    {About::supply_humidity_ratio, "supply_humidity_ratio", "supply humidity ratio", units::lb_lb, units::kg_kg},
    {About::supply_dew_point, "supply_dew_point", "supply dew point", units::degF, units::degC},
    {About::supply_enthalpy, "supply_enthalpy", "supply enthalpy", units::Btu_lb_of_air, units::J_kg},
    {About::pressure, "pressure", "station pressure", units::psia, units::Pa},
    {About::elevation, "elevation", "elevation", units::ft, units::m},
    {About::airflow, "airflow", "airflow", units::cfm, units::m3_s},
    {About::standard_airflow, "standard_airflow", "standard airflow", units::scfm, units::m3_s},
    {About::line_set, "line_set", "line set", units::one, units::one},
    {About::line_length, "line_length", "equivalent line length", units::ft, units::m},
    {About::lift, "lift", "lift", units::ft, units::m},
    {About::suction_size, "suction_size", "suction size", units::in, units::mm},
    {About::liquid_size, "liquid_size", "liquid size", units::in, units::mm},
    {About::suction_loss, "suction_loss", "the line's loss of saturation temperature", units::delta_degF,
     units::delta_degC},
    {About::fan_power, "fan_power", "fan power", units::W, units::W},
    {About::fan_position, "fan_position", "fan position", units::one, units::one},
    {About::boundary, "boundary", "boundary", units::one, units::one},
    {About::stage, "stage", "stage", units::one, units::one},
    {About::match, "match", "match", units::one, units::one},
    {About::total_capacity, "total_capacity", "total capacity", units::Btu_h, units::W},
    {About::sensible_capacity, "sensible_capacity", "sensible capacity", units::Btu_h, units::W},
    {About::power, "power", "power", units::W, units::W},
    {About::bypass, "bypass", "bypass factor", units::one, units::one},
    {About::leaving_air, "leaving_air", "leaving air", units::degF, units::degC},
    {About::site, "site", "site", units::one, units::one},
    {About::limit, "limit", "limit", units::one, units::one},
    {About::external_static, "external_static", "external static pressure", units::in_wc, units::Pa},
    {About::speed, "speed", "compressor speed", units::one, units::one},
    {About::indoor_pair, "indoor_pair", "pair of dry and wet bulb", units::degF, units::degC},
    {About::efficiency, "efficiency", "efficiency", units::Btu_Wh, units::W_W},
    {About::outdoor_relative_humidity, "outdoor_relative_humidity", "outdoor relative humidity", units::one,
     units::one},
    {About::heating_capacity, "heating_capacity", "heating capacity", units::Btu_h, units::W},
    {About::frost, "frost", "the kind of heating, instantaneous or integrated,", units::one, units::one},
    {About::auxiliary_heat, "auxiliary_heat", "auxiliary heat", units::W, units::W},
    {About::mode, "mode", "mode", units::one, units::one},
    {About::outside, "outside", "what to do outside the page", units::one, units::one},
    {About::humidity, "humidity", "the measure of humidity", units::one, units::one},
    {About::split, "split", "the split of sensible and latent", units::one, units::one},
    {About::dry_bulb_split, "dry_bulb_split", "dry-bulb split", units::delta_degF, units::delta_degC},
    {About::airflow_per_ton, "airflow_per_ton", "standard airflow in cfm per ton", units::one, units::one},
    {About::rise, "rise", "temperature rise", units::delta_degF, units::delta_degC},
    {About::defrost, "defrost", "whether a defrost fell into the readings (defrost_free, since_defrost)", units::one,
     units::one},
    {About::held_outdoor, "held_outdoor", "how far past the page its outdoor edge is held", units::delta_degF,
     units::delta_degC},
    {About::held_line, "held_line", "how far past the line-set table its last length is held", units::ft, units::m},
    {About::extended_wet_bulb, "extended_wet_bulb", "how far past the page's wet bulbs its edge cell is continued",
     units::delta_degF, units::delta_degC},
};

/// Why there is no answer, as plain data: 32 bytes and no gap. `explain(reason)` in `explain.hpp` puts it into words.
struct Reason {
    Why why = Why::none;
    About about = About::nothing;
    std::int16_t axis = -1;  ///< axis of the grid concerned, or -1
    std::int32_t node = -1;  ///< row-major number of the grid node concerned, or -1
    double value = 0.0;      ///< offending value (SI)
    double lower = 0.0;      ///< least value that would be accepted (SI)
    double upper = 0.0;      ///< greatest value that would be accepted (SI)

    [[nodiscard]] constexpr bool none() const noexcept { return why == Why::none; }
    friend constexpr bool operator==(const Reason&, const Reason&) = default;
};

namespace detail {
/// The name of a measure where the air it is of is known, by its dry bulb: `wet_bulb` of the air of `return_dry_bulb`
/// is `return_wet_bulb`. What is no measure of air stays.
[[nodiscard]] constexpr About about_air(About dry_bulb, About measure) noexcept {
    const int place = static_cast<int>(measure) - static_cast<int>(About::dry_bulb);
    const int last = static_cast<int>(About::enthalpy) - static_cast<int>(About::dry_bulb);
    return place < 0 || place > last ? measure : static_cast<About>(static_cast<int>(dry_bulb) + place);
}
/// A reason about air that is the only one, where it is one of several.
[[nodiscard]] constexpr Reason about_air(About dry_bulb, Reason reason) noexcept {
    reason.about = about_air(dry_bulb, reason.about);
    return reason;
}

/// Why a value that is no enumerator is refused.
template <class E>
[[nodiscard]] constexpr Reason no_choice(About about, E value) noexcept {
    return {Why::unknown_choice, about, -1, -1, static_cast<double>(value), 0, 0};
}
}  // namespace detail

}  // namespace offnominal
