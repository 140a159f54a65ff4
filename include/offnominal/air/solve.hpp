/// @file
/// Temperatures that have no closed form: wet bulb, apparatus dew point, dew point.
///
/// All three ask where saturated air balances a line: the temperature T with ps / (p - ps) A(T) = L(T), where A and L
/// are linear in T. Written without a division, so that nothing is lost for dry, cold or near-boiling air,
///
///     G(T) = A(T) ps(T) - (p - ps(T)) L(T) = 0.
///
/// A start and two Halley steps (third order) solve it; the number of steps is fixed, so there is no limit to run into.
/// | after                                                     | greatest error over the domain, K |
/// |-----------------------------------------------------------|-----------------------------------|
/// | the start, a polynomial in enthalpy and pressure          | 0.66                              |
/// | one step with ln ps as a quartic in t, good to 1.3e-4     | 3.2e-3                            |
/// | one step with ps itself                                   | 4e-12                             |
///
/// Domain: -60..90 degC, 50..110 kPa, humidity ratio from 0 to saturation or to where water boils.
/// tests/air/wet_bulb.cpp bounds the last row over a dense grid, against bisection in extended precision.
///
/// Everything is straight-line code, so that a loop over many states vectorises the same sequence.
#pragma once

#include "offnominal/air/moist.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {

/// What is on the wet bulb, where the published equations allow both.
///
/// The equations change at 0 degC wet bulb from water to ice, and there the heat of fusion lets them overlap: for a
/// band of humidity (33 to 37 % at 5 degC and sea level) the same air has two roots, water at or above 0 degC and ice
/// below, 0.73 K apart at most at sea level, 0.86 K from 75 kPa up, 1.03 K at 50 kPa. Outside the band one root exists,
/// and both settings return it. No air of the domain is without a root.
enum class Wick : unsigned char {
    wet,     ///< liquid unless it must freeze: the root at or above 0 degC where both exist
    frozen,  ///< ice if it can be: the root below 0 degC where both exist
};

}  // namespace offnominal::air

namespace offnominal::air::inline OFFNOMINAL_ISA::si {

/// The psychrometer equations 33 (water, wet bulb at or above 0 degC) and 35 (ice, below) as one form:
/// (heat + heat_slope t*) Ws* - cp_air (t - t*) = W (heat + cp_vapour t - condensed t*), t* the wet bulb.
struct WickEquation {
    double heat;        ///< J/kg
    double heat_slope;  ///< J/kg/K
    double condensed;   ///< heat capacity of the water or ice on the wick, J/kg/K
};
inline constexpr WickEquation water_wick{2501000.0, -2326.0, 4186.0};
inline constexpr WickEquation ice_wick{2830000.0, -240.0, 2100.0};

/// Where saturated air balances a line: ps (A + L) = p L with A = A0 + A1 T and L = L0 - L1 T.
struct Balance {
    double A0, A1, L0, L1, p;
};

/// One Halley step from `t` on G, where the saturation curve passes through `s`.
[[nodiscard]] constexpr double halley(const Balance& b, const SaturationPoint& s, double t) noexcept {
    const double L = b.L0 - b.L1 * t;
    const double sum = b.A0 + b.A1 * t + L;
    const double G = sum * s.p - b.p * L;
    const double dG = sum * s.dp + (b.A1 - b.L1) * s.p + b.p * b.L1;
    const double d2G = sum * s.d2p + 2.0 * (b.A1 - b.L1) * s.dp;
    return t - 2.0 * G * dG / (2.0 * dG * dG - G * d2G);
}

/// ln ps as a quartic in t, only to come near a root: least greatest error 6e-5 (ice, from -62 degC) and 1.3e-4 (water,
/// to 102 degC).
struct CoarseCurve {
    double c0, c1, c2, c3, c4;
};
inline constexpr CoarseCurve coarse_ice{6.4153193, 0.082310725, -3.0918556e-4, 8.8335742e-7, -7.2769135e-9};
inline constexpr CoarseCurve coarse_water{6.4155446, 0.072584625, -2.9326815e-4, 9.7088977e-7, -1.8522825e-9};

[[nodiscard]] constexpr SaturationPoint coarse_point(const CoarseCurve& c, double t) noexcept {
    const double p = elementary::exp(c.c0 + t * (c.c1 + t * (c.c2 + t * (c.c3 + t * c.c4))));
    const double slope = c.c1 + t * (2.0 * c.c2 + t * (3.0 * c.c3 + t * (4.0 * c.c4)));
    const double bend = 2.0 * c.c2 + t * (6.0 * c.c3 + t * (12.0 * c.c4));
    return {p, p * slope, p * (slope * slope + bend)};
}

/// The curve that holds the root: over ice below the triple point.
[[nodiscard]] constexpr bool over_water_at_root(const Balance& b) noexcept {
    constexpr double ps = saturation_pressure_water(triple_point);
    const double L = b.L0 - b.L1 * triple_point;
    return (b.A0 + b.A1 * triple_point + L) * ps <= b.p * L;
}

/// Solves a balance whose L0 is an enthalpy and A0 a heat of vaporisation times `mass_ratio`.
[[nodiscard]] constexpr double solve(const Balance& b) noexcept {
    const bool water = over_water_at_root(b);
    const double q = b.p * 1e-5;
    // Water: in the logarithm of the vapour pressure that would carry all of L0. Ice: in L0 itself, nearly linear
    // there. Fitted to the roots over the domain for the least greatest error, 0.39 and 0.66 K; no answer depends on
    // the digits.
    const double x = elementary::log(b.p * b.L0 / (b.L0 + b.A0));
    const double y = b.L0 * 1e-5;
    const double from_water =
        (-3.453 + 217.6 * q) + x * ((-13.1 - 70.21 * q) + x * ((2.358 + 7.201 * q) + x * (-0.03799 - 0.2396 * q)));
    const double from_ice =
        (-11.82 + 5.589 * q) + y * ((45.21 + 21.29 * q) + y * ((-66.31 + 21.8 * q) + y * (-12.28 + 3.062 * q)));
    const double start = water ? from_water : from_ice;
    const CoarseCurve coarse = water ? coarse_water : coarse_ice;
    const SaturationCurve curve = water ? over_water : over_ice;
    const double first = halley(b, coarse_point(coarse, start), start);
    return halley(b, saturation_point(curve, first), first);
}

/// Humidity ratio from a measured wet bulb (eq. 33; below 0 degC eq. 35, over ice). Negative when no air is that dry.
[[nodiscard]] constexpr double humidity_ratio_from_wet_bulb(double t, double wet_bulb, double p) noexcept {
    const WickEquation e = wet_bulb < 0.0 ? ice_wick : water_wick;
    const double Ws = saturation_humidity_ratio(wet_bulb, p);
    return ((e.heat + e.heat_slope * wet_bulb) * Ws - cp_air * (t - wet_bulb)) /
           (e.heat + cp_vapour * t - e.condensed * wet_bulb);
}

/// Wet bulb. `W` from 0 to saturation; see the table of the domain above.
[[nodiscard]] constexpr double wet_bulb(double t, double W, double p, Wick wick = Wick::wet) noexcept {
    // At t* = 0 the equations say: enthalpy (with the wick's own heat) equals heat times Ws(0). Each is increasing in
    // t*, so comparing the two sides tells whether a root lies at or above 0 (water) and whether one lies below (ice).
    constexpr double ps0 = saturation_pressure(0.0);
    const double Ws0 = humidity_ratio(ps0, p);
    const double dry = cp_air * t + W * (cp_vapour * t);
    const bool can_be_wet = dry + W * water_wick.heat >= water_wick.heat * Ws0;
    const bool can_be_ice = dry + W * ice_wick.heat < ice_wick.heat * Ws0;
    const bool ice = wick == Wick::frozen ? can_be_ice : !can_be_wet;
    const WickEquation e{ice ? ice_wick.heat : water_wick.heat, ice ? ice_wick.heat_slope : water_wick.heat_slope,
                         ice ? ice_wick.condensed : water_wick.condensed};
    return solve({.A0 = mass_ratio * e.heat,
                  .A1 = mass_ratio * e.heat_slope,
                  .L0 = dry + W * e.heat,
                  .L1 = cp_air + W * e.condensed,
                  .p = p});
}

/// Temperature at which saturated air has enthalpy `h`: the apparatus dew point. From -60 degC to where water boils.
[[nodiscard]] constexpr double saturation_temperature_from_enthalpy(double h, double p) noexcept {
    return solve({.A0 = mass_ratio * heat_of_vapour, .A1 = mass_ratio * cp_vapour, .L0 = h, .L1 = cp_air, .p = p});
}

/// Dew point of vapour pressure `pw`, below the triple point the frost point; -100 to 101 degC (0.0014 Pa to 105 kPa).
[[nodiscard]] constexpr double dew_point(double pw) noexcept {
    const bool water = pw > saturation_pressure_ice(triple_point);
    // The start is within 0.0012 K, and G is ps - pw: one step leaves less than rounding.
    const double x = elementary::log(pw);
    const double from_water =
        -75.7093 + x * (14.4276 + x * (-1.518 + x * (0.255618 + x * (-0.0162861 + x * 0.000526381))));
    const double from_ice =
        -60.5777 + x * (7.35322 + x * (0.252045 + x * (0.00876369 + x * (0.000341536 + x * 1.26439e-5))));
    const double start = water ? from_water : from_ice;
    const SaturationCurve curve = water ? over_water : over_ice;
    return halley({.A0 = 0.0, .A1 = 0.0, .L0 = 1.0, .L1 = 0.0, .p = pw}, saturation_point(curve, start), start);
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA::si
OFFNOMINAL_EXACT_END
