/// @file
/// What a line set costs where the maker prints no factor: friction in its gas line, what that loses in saturation
/// temperature, what the compressor loses by it, and how the system settles; and whether the liquid still reaches the
/// valve as liquid. Only the difference to the line that a printed number belongs to counts.
///
/// Friction: Darcy and Weisbach with Colebrook's factor (J. Inst. Civ. Eng. 11, 1939), drawn copper. The gas is taken
/// as saturated in cooling: the 5 to 10 K of superheat it has lower its flow and its density, which nearly cancel.
#pragma once

#include <algorithm>
#include <string_view>

#include "offnominal/air/elementary.hpp"
#include "offnominal/derates/fittings.hpp"
#include "offnominal/derates/refrigerant_curves.hpp"
#include "offnominal/detail/contract.hpp"
#include "offnominal/detail/real.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::derates {

inline constexpr double coldest_curve = -20.0;  ///< degC, where the refrigerants' curves begin
inline constexpr double hottest_curve = 60.0;   ///< degC, where they end

/// A straight tube, SI.
struct Tube {
    double length = 0.0;
    double bore = 0.0;
};

/// The lines whose losses are compared, and what flows in them. SI.
struct LineRun {
    const Refrigerant* refrigerant = nullptr;  ///< nullptr: not known, or nothing is asked of it
    bool modelled = false;                     ///< the gas line's loss counts; else no more than its liquid is judged
    Tube gas;                                  ///< the installed gas line: suction in cooling, hot gas in heating
    Tube anchor;                               ///< the gas line that the printed number belongs to
    bool anchor_assumed = false;               ///< the page does not say which line that is
    double lift = 0.0;                         ///< of the installed line: outdoor unit above (+); NaN if unknown
    double liquid_bore = 0.0;                  ///< NaN if unknown
    double length_uncertainty = 0.0;           ///< standard, m, of the installed gas line: its fittings
};

/// What a line set does to a printed capacity.
struct LineLoss {
    double factor = 1.0;       ///< on gross capacity, never above 1
    double uncertainty = 0.0;  ///< standard, of that factor
    double saturation = 0.0;   ///< K of saturation temperature lost in the installed gas line, at the anchor's flow
};

inline namespace OFFNOMINAL_ISA {

/// The refrigerant of that name, `R-410A`, `R410a`; or nothing.
[[nodiscard]] constexpr const Refrigerant* refrigerant_named(std::string_view name) noexcept {
    const auto same = [name](std::string_view known) noexcept {
        std::size_t at = 0;
        for (const char c : name) {
            if (c == '-' || c == ' ') continue;
            if (at < known.size() && known[at] == '-') ++at;
            const char upper = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
            const char due = at == known.size()                     ? '\0'
                             : known[at] >= 'a' && known[at] <= 'z' ? static_cast<char>(known[at] - 'a' + 'A')
                                                                    : known[at];
            if (upper != due) return false;
            ++at;
        }
        return at == known.size();
    };
    for (const Refrigerant& refrigerant : refrigerants)
        if (same(refrigerant.name)) return &refrigerant;
    return nullptr;
}

/// The polynomial of a curve at t, degC; held at its ends.
[[nodiscard]] constexpr double polynomial(const SaturationCurve& curve, double t) noexcept {
    const double x = (std::clamp(t, coldest_curve, hottest_curve) - 20.0) / 40.0;
    double sum = 0.0;
    for (int i = 7; i >= 0; --i) sum = sum * x + curve.coefficients[i];
    return sum;
}
/// A property that is kept by its logarithm, SI.
[[nodiscard]] constexpr double property(const SaturationCurve& curve, double t) noexcept {
    return air::elementary::exp(polynomial(curve, t));
}
/// The relative slope of such a property, 1/K.
[[nodiscard]] constexpr double relative_slope(const SaturationCurve& curve, double t) noexcept {
    const double x = (std::clamp(t, coldest_curve, hottest_curve) - 20.0) / 40.0;
    double sum = 0.0;
    for (int i = 7; i >= 1; --i) sum = sum * x + static_cast<double>(i) * curve.coefficients[i];
    return sum / 40.0;
}

/// Colebrook's friction factor (Darcy's, four times Fanning's) of turbulent flow.
[[nodiscard]] inline double colebrook(double reynolds, double relative_roughness) noexcept {
    constexpr double two_log10 = 2.0 / 2.302585092994046;  // 2 log10(y) = two_log10 ln(y)
    const double a = relative_roughness / 3.7, b = 2.51 / reynolds;
    double x = 7.0;  // 1 / sqrt(f), by Newton's method; it is 5 to 17
    for (int i = 0; i < 6; ++i) {
        const double inside = a + b * x;
        x -= (x + two_log10 * air::elementary::log(inside)) / (1.0 + two_log10 * b / inside);
    }
    return 1.0 / (x * x);
}

/// Darcy's friction factor: 64 / Re up to 2,000, Colebrook's from 4,000, in proportion between.
[[nodiscard]] inline double friction_factor(double reynolds, double relative_roughness) noexcept {
    if (!(reynolds > 0.0)) return 0.0;
    if (reynolds <= 2000.0) return 64.0 / reynolds;
    const double turbulent = colebrook(reynolds, relative_roughness);
    if (reynolds >= 4000.0) return turbulent;
    const double t = (reynolds - 2000.0) / 2000.0;
    return 64.0 / reynolds + t * (turbulent - 64.0 / reynolds);
}

/// Pressure lost to friction in a tube, Pa (Darcy and Weisbach). Drawn tubing: 1.5 micrometres of roughness.
[[nodiscard]] inline double friction(const Tube& tube, double mass_flow, double density, double viscosity) noexcept {
    constexpr double pi = 3.141592653589793, roughness = 1.5e-6;
    const double velocity = mass_flow / (density * 0.25 * pi * tube.bore * tube.bore);
    const double reynolds = density * velocity * tube.bore / viscosity;
    return friction_factor(reynolds, roughness / tube.bore) * (tube.length / tube.bore) *
           (0.5 * density * velocity * velocity);
}

inline constexpr double gravity = 9.80665;
/// K the liquid leaves the condenser below saturation: 10 delta_degF (common practice, no source).
inline constexpr double usual_subcooling = 10.0 / 1.8;
/// The greatest loss of saturation temperature the model answers for: 10 delta_degF. Design allows 2.
inline constexpr double greatest_saturation_loss = 10.0 / 1.8;

/// Evaporating temperature, degC, at an entering wet bulb: 10 K below. NISTIR 7350's machine had 8 to 9.4 K at 58.5
/// degF on a wet coil; 67 degF and 45 to 50 are 9 to 12 (common practice, no source).
[[nodiscard]] constexpr double evaporating(double wet_bulb) noexcept { return wet_bulb - 10.0; }
/// Condensing temperature, degC, in cooling: 11 K above the outdoor dry bulb. NISTIR 7350's machine had 10 K; older
/// ones 15 (common practice, no source).
[[nodiscard]] constexpr double condensing(double outdoor) noexcept { return outdoor + 11.0; }
/// Condensing temperature, degC, in heating: 20 K above the entering dry bulb (common practice, no source).
[[nodiscard]] constexpr double heating_condensing(double entering) noexcept { return entering + 20.0; }

/// kg/s that carry a cooling capacity (W): saturated vapour leaves, liquid enters as the condenser leaves it.
[[nodiscard]] inline double cooling_flow(const Refrigerant& r, double capacity, double evaporating,
                                         double condensing) noexcept {
    return capacity / (property(r.latent_heat, evaporating) + polynomial(r.liquid_enthalpy, evaporating) -
                       polynomial(r.liquid_enthalpy, condensing - usual_subcooling));
}
/// kg/s that carry a heating capacity (W): hot gas some 35 K above saturation holds a fifth more than latent heat.
[[nodiscard]] inline double heating_flow(const Refrigerant& r, double capacity, double condensing) noexcept {
    return capacity / (1.2 * property(r.latent_heat, condensing));
}

/// What a compressor's capacity becomes, at a fixed evaporating temperature, where its suction holds `ratio` of the
/// evaporating pressure: flow follows the suction's density, and volumetric efficiency a little. The exponent is that
/// of the handbook's table for R-22 (ASHRAE Handbook - Refrigeration, ch. 1; from memory).
inline constexpr double compressor_exponent = 1.04;
[[nodiscard]] inline double compressor_capacity(double ratio) noexcept {
    return air::elementary::exp(compressor_exponent * air::elementary::log(ratio));
}

/// What an evaporator gives up for each kelvin that it evaporates higher: 6.5 %, the slope of saturated air's enthalpy
/// at 45 degF over what it lies below that of 67 degF wet bulb (2.05 over 31.9 kJ/kg).
inline constexpr double coil_slope = 0.065;

/// What the system's capacity becomes by the same, and by gas that is thinner by `thinned`: the evaporator floats up
/// until coil and compressor agree, which gives about a third of the loss back.
[[nodiscard]] inline double system_capacity(const Refrigerant& r, double evaporating, double ratio,
                                            double thinned = 0.0) noexcept {
    const double compressor_slope = compressor_exponent * relative_slope(r.dew_pressure, evaporating);
    const double kept = coil_slope / (coil_slope + compressor_slope);
    return air::elementary::exp(kept * (compressor_exponent * air::elementary::log(ratio) +
                                        air::elementary::log(std::clamp(1.0 - thinned, 0.2, 2.0))));
}

/// W/(m K) through the insulation of a gas line: 13 to 19 mm of foam on 3/4 to 7/8 in (computed: 0.21 to 0.26; from
/// memory 0.04 W/(m K) of foam, 8 W/(m2 K) in still air).
inline constexpr double line_conductance = 0.22;

/// K by which saturation falls where pressure falls to `ratio` (rises, above 1: then negative).
[[nodiscard]] inline double saturation_loss(const Refrigerant& r, double t, double ratio) noexcept {
    const double wanted = polynomial(r.dew_pressure, t) + air::elementary::log(ratio);
    double at = t;
    for (int i = 0; i < 3; ++i) at -= (polynomial(r.dew_pressure, at) - wanted) / relative_slope(r.dew_pressure, at);
    return t - at;
}

/// Standard uncertainty of a modelled factor: 35 % of what friction and height cost (friction 20 %, evaporating
/// temperature 15 %, compressor and coil 10 % each), 50 % of what the line's heat costs. Where the page does not say
/// which line it was rated with, besides all that line costs, rectangular.
[[nodiscard]] inline double line_uncertainty(double friction, double heat, double assumed) noexcept {
    const double a = 0.35 * friction, b = 0.5 * heat, c = assumed / real::sqrt(3.0);
    return real::sqrt(a * a + b * b + c * c);
}

/// What the installed line makes of a cooling capacity (W) that holds with the anchor's, between an evaporating and a
/// condensing temperature, in surroundings of `around` (all degC). Heat that the gas takes up on its way thins it by
/// 1.3 times its share of the latent heat (1.0 to 1.65 times for the six refrigerants, by CoolProp). A shorter line
/// is never worth more than print.
[[nodiscard]] inline LineLoss cooling_loss(const LineRun& run, double capacity, double evaporating_at,
                                           double condensing_at, double around) noexcept {
    const Refrigerant& r = *run.refrigerant;
    const double flow = cooling_flow(r, capacity, evaporating_at, condensing_at);
    const double density = property(r.vapour_density, evaporating_at),
                 viscosity = property(r.vapour_viscosity, evaporating_at),
                 pressure = property(r.dew_pressure, evaporating_at);
    const double warmed = 1.3 * line_conductance * (std::max)(0.0, around - evaporating_at) /
                          property(r.latent_heat, evaporating_at);  // kg/s, for a metre
    const double riser = run.lift == run.lift ? density * gravity * run.lift : 0.0;
    const auto ratio = [&](double loss) noexcept { return std::clamp(1.0 - loss / pressure, 0.2, 2.0); };
    const double anchor_left = ratio(friction(run.anchor, flow, density, viscosity));
    const double anchor = system_capacity(r, evaporating_at, anchor_left, warmed * run.anchor.length / flow);
    const double first = ratio(friction(run.gas, flow, density, viscosity) + riser);
    double factor = 1.0, left = 1.0;
    for (int i = 0; i < 6; ++i) {  // at the flow that is left
        left = ratio(friction(run.gas, factor * flow, density, viscosity) + riser);
        factor = system_capacity(r, evaporating_at, left, warmed * run.gas.length / (factor * flow)) / anchor;
    }
    const double by_friction = 1.0 - system_capacity(r, evaporating_at, left / anchor_left), whole = 1.0 - factor;
    const double u = line_uncertainty(by_friction, whole - by_friction, run.anchor_assumed ? 1.0 - anchor : 0.0);
    return {(std::min)(factor, 1.0), (std::max)(u, 0.6 * (factor - 1.0)), saturation_loss(r, evaporating_at, first)};
}

/// The same of a heating capacity, at a condensing temperature. The line carries hot gas. Its loss raises the discharge
/// pressure: the compressor moves 0.45 % less for each delta_degF (the handbook's table again) but heats each pound
/// more; 0.5 % a kelvin is taken. Some 25 K above condensing it also loses heat, half of it outside the building
/// (common practice, no source).
[[nodiscard]] inline LineLoss heating_loss(const LineRun& run, double capacity, double condensing_at,
                                           double around) noexcept {
    const Refrigerant& r = *run.refrigerant;
    const double flow = heating_flow(r, capacity, condensing_at);
    const double density = property(r.vapour_density, condensing_at) / 1.2,
                 viscosity = property(r.vapour_viscosity, condensing_at),
                 pressure = property(r.dew_pressure, condensing_at);
    const double riser = run.lift == run.lift ? -density * gravity * run.lift : 0.0;
    const auto loss = [&](double of) noexcept {
        return -saturation_loss(r, condensing_at, std::clamp(1.0 + of / pressure, 0.5, 2.0));
    };
    const double lost =
        0.5 * line_conductance * (std::max)(0.0, condensing_at + 25.0 - around) / capacity;  // by a metre
    const double anchor = loss(friction(run.anchor, flow, density, viscosity));
    const double here = loss(friction(run.gas, flow, density, viscosity) + riser);
    const double heat = lost * (run.gas.length - run.anchor.length);
    const double by_friction = air::elementary::exp(-0.005 * (here - anchor));
    const double factor = by_friction * (1.0 - (std::min)(heat, 0.5));
    const double assumed = run.anchor_assumed ? 0.005 * anchor + lost * run.anchor.length : 0.0;
    const double u = line_uncertainty((1.0 - by_friction) / 0.6, heat, assumed);  // give or take half
    return {(std::min)(factor, 1.0), (std::max)(u, 0.6 * (factor - 1.0)), here};
}

/// K of subcooling that the liquid line takes: what it rises (m; NaN if unknown) and, where its bore is known,
/// friction. Above `usual_subcooling` gas comes to the valve, and no capacity factor holds.
[[nodiscard]] inline double subcooling_lost(const LineRun& run, double mass_flow, double rise,
                                            double condensing_at) noexcept {
    const Refrigerant& r = *run.refrigerant;
    const double density = property(r.liquid_density, condensing_at);
    double loss = rise == rise ? density * gravity * rise : 0.0;
    if (run.liquid_bore > 0.0)
        loss += friction({run.gas.length, run.liquid_bore}, mass_flow, density,
                         property(r.liquid_viscosity, condensing_at));
    return loss / (property(r.bubble_pressure, condensing_at) * relative_slope(r.bubble_pressure, condensing_at));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
