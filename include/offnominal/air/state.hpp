/// @file
/// A state of moist air: made from dry bulb, one measure of humidity and the station pressure, checked once, then
/// asked.
///
///     const auto state = air::state(76_degF, air::relative_humidity(0.55), air::pressure_at(4690_ft));
///     in(air::wet_bulb(state), units::degF);
#pragma once

#include <algorithm>
#include <cstdlib>
#include <limits>

#include "offnominal/air/solve.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/errors.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {

/// One measure of humidity, together with which it is. Made by the functions below.
struct Humidity {
    enum class Kind : unsigned char { wet_bulb, relative_humidity, humidity_ratio, dew_point, enthalpy };

    Kind kind = Kind::wet_bulb;
    double value = std::numeric_limits<double>::quiet_NaN();  ///< SI; not given until it is
    Over over = Over::ashrae;                                 ///< for relative humidity
};

}  // namespace offnominal::air

template <>
inline constexpr offnominal::Word<offnominal::air::Humidity::Kind>
    offnominal::words_of<offnominal::air::Humidity::Kind>[] = {
        {offnominal::air::Humidity::Kind::wet_bulb, "wet_bulb"},
        {offnominal::air::Humidity::Kind::relative_humidity, "relative_humidity"},
        {offnominal::air::Humidity::Kind::humidity_ratio, "humidity_ratio"},
        {offnominal::air::Humidity::Kind::dew_point, "dew_point"},
        {offnominal::air::Humidity::Kind::enthalpy, "enthalpy"}};

namespace offnominal::air {

/// A measured wet bulb; below 0 degC the wick is ice.
[[nodiscard]] constexpr Humidity wet_bulb(Temperature value) noexcept { return {Humidity::Kind::wet_bulb, value.si}; }
/// A relative humidity, as a fraction: 0.55, not 55.
[[nodiscard]] constexpr Humidity relative_humidity(double fraction, Over over = Over::ashrae) noexcept {
    return {Humidity::Kind::relative_humidity, fraction, over};
}
[[nodiscard]] constexpr Humidity relative_humidity(Ratio value, Over over = Over::ashrae) noexcept {
    return relative_humidity(value.si, over);
}
[[nodiscard]] constexpr Humidity humidity_ratio(HumidityRatio value) noexcept {
    return {Humidity::Kind::humidity_ratio, value.si};
}
/// A dew point; below the triple point a frost point.
[[nodiscard]] constexpr Humidity dew_point(Temperature value) noexcept { return {Humidity::Kind::dew_point, value.si}; }
[[nodiscard]] constexpr Humidity enthalpy(SpecificEnthalpy value) noexcept {
    return {Humidity::Kind::enthalpy, value.si};
}

/// A state of moist air. One that `try_state` gave lies in the domain and holds no more vapour than saturation allows.
struct State {
    Temperature dry_bulb;
    HumidityRatio humidity_ratio;
    Pressure pressure;
    /// The wet bulb given was above the dry bulb by no more than two probes disagree: taken as saturated.
    bool saturated_within_tolerance = false;
};

/// Where the equations are used.
inline constexpr double least_dry_bulb = -60.0;     ///< degC
inline constexpr double greatest_dry_bulb = 90.0;   ///< degC
inline constexpr double least_pressure = 50e3;      ///< Pa
inline constexpr double greatest_pressure = 110e3;  ///< Pa
inline constexpr double least_dew_point = -100.0;   ///< degC, the limit of the saturation equation

/// A wet bulb above the dry bulb by no more than this (0.2 delta_degF, in K) is taken as saturated (common practice, no
/// source).
inline constexpr double wet_bulb_tolerance = 0.2 / 1.8;

}  // namespace offnominal::air

namespace offnominal::air::inline OFFNOMINAL_ISA {

namespace detail {

/// How far past a bound rounding may carry a value that stood on it: relative for humidity ratios, K for temperatures.
inline constexpr double rounding = 1e-9;

/// Whether a vapour pressure reaches the station pressure.
[[nodiscard]] constexpr bool boils(double pw, double p) noexcept { return pw >= p * (1.0 - rounding); }

[[nodiscard]] constexpr About about(Humidity::Kind kind) noexcept {
    switch (kind) {
        case Humidity::Kind::wet_bulb:
            return About::wet_bulb;
        case Humidity::Kind::relative_humidity:
            return About::relative_humidity;
        case Humidity::Kind::humidity_ratio:
            return About::humidity_ratio;
        case Humidity::Kind::dew_point:
            return About::dew_point;
        case Humidity::Kind::enthalpy:
            return About::enthalpy;
    }
    return About::nothing;
}

[[nodiscard]] constexpr Reason reason(Why why, About about, double value, double lower, double upper) noexcept {
    return {why, about, -1, -1, value, lower, upper};
}

/// Nothing, or why `value` is not a number from `lower` to `upper`.
[[nodiscard]] inline Reason check(About about, double value, double lower, double upper) noexcept {
    if (!real::is_finite(value)) return reason(Why::not_finite, about, 0.0, lower, upper);
    if (value < lower || value > upper) return reason(Why::outside, about, value, lower, upper);
    return {};
}

/// Humidity ratio of one measure of humidity, at a dry bulb and pressure that lie in the domain. `saturated` is set
/// where a wet bulb above the dry bulb was taken as saturated.
[[nodiscard]] inline Answer<double> humidity_ratio(double t, const Humidity& humidity, double p,
                                                   bool& saturated) noexcept {
    const About what = about(humidity.kind);
    const double x = humidity.value;
    if (!real::is_finite(x)) return check(what, x, 0.0, 0.0);

    const double ps = si::saturation_pressure(t);
    const bool can_saturate = !boils(ps, p);  // otherwise water boils before the air is saturated
    const double W_saturated = can_saturate ? si::humidity_ratio(ps, p) : real::infinity;

    switch (humidity.kind) {
        case Humidity::Kind::relative_humidity: {
            if (x < 0.0 || x > 1.0) return reason(Why::outside, what, x, 0.0, 1.0);
            const double reference = humidity.over == Over::water ? si::saturation_pressure_water(t) : ps;
            const double pw = x * reference;
            if (pw > ps) return reason(Why::supersaturated, what, x, 0.0, ps / reference);
            if (boils(pw, p)) return reason(Why::boiling, what, x, 0.0, p / reference);
            return si::humidity_ratio(pw, p);
        }
        case Humidity::Kind::humidity_ratio:
            if (x < 0.0) return reason(Why::outside, what, x, 0.0, W_saturated);
            if (x > W_saturated * (1.0 + rounding)) return reason(Why::supersaturated, what, x, 0.0, W_saturated);
            if (boils(si::vapour_pressure(x, p), p)) return reason(Why::boiling, what, x, 0.0, W_saturated);
            return (std::min)(x, W_saturated);
        case Humidity::Kind::enthalpy: {
            const double driest = si::enthalpy(t, 0.0),
                         wettest = can_saturate ? si::enthalpy(t, W_saturated) : real::infinity;
            const double W = si::humidity_ratio_from_enthalpy(t, x);
            if (W < -rounding * 1e-3) return reason(Why::outside, what, x, driest, wettest);
            if (W > W_saturated * (1.0 + rounding)) return reason(Why::supersaturated, what, x, driest, wettest);
            if (boils(si::vapour_pressure(W, p), p)) return reason(Why::boiling, what, x, driest, wettest);
            return std::clamp(W, 0.0, W_saturated);
        }
        case Humidity::Kind::dew_point: {
            if (x < least_dew_point) return reason(Why::outside, what, x, least_dew_point, t);
            if (x > t + rounding) return reason(Why::supersaturated, what, x, least_dew_point, t);
            const double pw = si::saturation_pressure((std::min)(x, t));
            if (boils(pw, p)) return reason(Why::boiling, what, x, least_dew_point, si::dew_point(p));
            return si::humidity_ratio(pw, p);
        }
        case Humidity::Kind::wet_bulb: {
            const auto refuse = [&](Why why, double upper) {
                const double driest = si::wet_bulb(t, 0.0, p, x < 0.0 ? Wick::frozen : Wick::wet);
                return reason(why, what, x, driest, upper);
            };
            if (x > t + wet_bulb_tolerance) return refuse(Why::supersaturated, t);
            if (x < least_dew_point) return refuse(Why::outside, t);  // past the saturation equation
            const double t_wet = (std::min)(x, t);
            if (boils(si::saturation_pressure(t_wet), p)) return refuse(Why::boiling, si::dew_point(p));
            const double W = si::humidity_ratio_from_wet_bulb(t, t_wet, p);
            if (W < -rounding * 1e-3) return refuse(Why::outside, t);
            saturated = x > t + rounding;
            return std::clamp(W, 0.0, W_saturated);
        }
    }
    return offnominal::detail::no_choice(About::humidity, humidity.kind);
}

}  // namespace detail

/// A state of moist air, or why there is none.
///
/// @param dry_bulb  -60 to 90 degC
/// @param humidity  one of wet bulb, relative humidity, humidity ratio, dew point, enthalpy
/// @param pressure  station pressure, 50 to 110 kPa; not the weather service's figure reduced to sea level
/// @return Why::not_finite; Why::outside with the bounds (a relative humidity of 55 too: it is a fraction);
/// Why::supersaturated
///         with the most that saturation allows; Why::boiling where the vapour pressure would reach the station
///         pressure.
[[nodiscard]] inline Answer<State> try_state(Temperature dry_bulb, const Humidity& humidity,
                                             Pressure pressure) noexcept {
    if (const Reason r = detail::check(About::dry_bulb, dry_bulb.si, least_dry_bulb, greatest_dry_bulb); !r.none())
        return r;
    if (const Reason r = detail::check(About::pressure, pressure.si, least_pressure, greatest_pressure); !r.none())
        return r;
    bool saturated = false;
    const auto W = detail::humidity_ratio(dry_bulb.si, humidity, pressure.si, saturated);
    if (!W) return W.reason();
    return State{dry_bulb, HumidityRatio{*W}, pressure, saturated};
}

/// As `try_state`. @throws Refused where that has a reason.
[[nodiscard]] inline State state(Temperature dry_bulb, const Humidity& humidity, Pressure pressure) {
    return try_state(dry_bulb, humidity, pressure).value();
}

/// Wet bulb; `wick` chooses where the published equations allow water and ice. Never above the dry bulb.
[[nodiscard]] inline Temperature wet_bulb(const State& s, Wick wick = Wick::wet) noexcept {
    return Temperature{
        (std::min)(si::wet_bulb(s.dry_bulb.si, s.humidity_ratio.si, s.pressure.si, wick), s.dry_bulb.si)};
}
/// Vapour pressure.
[[nodiscard]] inline Pressure vapour_pressure(const State& s) noexcept {
    return Pressure{si::vapour_pressure(s.humidity_ratio.si, s.pressure.si)};
}
/// Dew point (frost point below the triple point); Why::outside for air so dry that it lies below -100 degC. Never
/// above the dry bulb.
[[nodiscard]] inline Answer<Temperature> dew_point(const State& s) noexcept {
    constexpr double least = si::saturation_pressure(least_dew_point);
    const double pw = vapour_pressure(s).si;
    if (pw < least)
        return detail::reason(Why::outside, About::humidity_ratio, s.humidity_ratio.si,
                              si::humidity_ratio(least, s.pressure.si), real::infinity);
    return Temperature{(std::min)(si::dew_point(pw), s.dry_bulb.si)};
}
/// Relative humidity, over ice below the triple point unless asked for over water.
[[nodiscard]] inline Ratio relative_humidity(const State& s, Over over = Over::ashrae) noexcept {
    return Ratio{si::relative_humidity(s.dry_bulb.si, s.humidity_ratio.si, s.pressure.si, over)};
}
/// Enthalpy per mass of dry air, over dry air and liquid water at 0 degC.
[[nodiscard]] inline SpecificEnthalpy enthalpy(const State& s) noexcept {
    return SpecificEnthalpy{si::enthalpy(s.dry_bulb.si, s.humidity_ratio.si)};
}
/// Volume of moist air per mass of dry air.
[[nodiscard]] inline SpecificVolume volume(const State& s) noexcept {
    return SpecificVolume{si::volume(s.dry_bulb.si, s.humidity_ratio.si, s.pressure.si)};
}

/// Pressure of the standard atmosphere at an elevation from -5000 to 11000 m, the range of the equation.
[[nodiscard]] inline Answer<Pressure> try_pressure_at(Length elevation) noexcept {
    if (const Reason r = detail::check(About::elevation, elevation.si, -5000.0, 11000.0); !r.none()) return r;
    return Pressure{si::pressure_at_elevation(elevation.si)};
}
/// As `try_pressure_at`. @throws Refused where that has a reason.
[[nodiscard]] inline Pressure pressure_at(Length elevation) { return try_pressure_at(elevation).value(); }

/// Two streams mixed at one pressure without heat or water added; the masses are of dry air.
/// @return Why::contradictory where the pressures differ by more than 0.1 %, Why::no_flow for a mass that is not above
/// zero,
///         Why::supersaturated where the mixture would be fog.
[[nodiscard]] inline Answer<State> try_mix(MassFlow m1, const State& a, MassFlow m2, const State& b) noexcept {
    for (const MassFlow m : {m1, m2}) {
        if (!real::is_finite(m.si)) return detail::reason(Why::not_finite, About::airflow, 0.0, 0.0, 0.0);
        if (!(m.si > 0.0)) return detail::reason(Why::no_flow, About::airflow, m.si, 0.0, 0.0);
    }
    const double p = a.pressure.si;
    if (!(std::abs(b.pressure.si - p) <= 1e-3 * p))
        return detail::reason(Why::contradictory, About::pressure, b.pressure.si, 0.999 * p, 1.001 * p);
    const Point mixed =
        si::mix(m1.si, {a.dry_bulb.si, a.humidity_ratio.si}, m2.si, {b.dry_bulb.si, b.humidity_ratio.si});
    return try_state(Temperature{mixed.t}, humidity_ratio(HumidityRatio{mixed.W}), a.pressure);
}
/// As `try_mix`. @throws Refused where that has a reason.
[[nodiscard]] inline State mix(MassFlow m1, const State& a, MassFlow m2, const State& b) {
    return try_mix(m1, a, m2, b).value();
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA
OFFNOMINAL_EXACT_END
