/// @file
/// Saturation pressure of water vapour over ice and over liquid water.
///
/// Source: ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 5 (over ice, -100 to 0 degC) and 6 (over liquid
/// water, 0 to 200 degC); after R. W. Hyland and A. Wexler, ASHRAE Transactions 89(2A), 1983.
///
/// The two curves differ by 1e-4 at 0 degC and by 6e-9 at the triple point, 0.01 degC. `saturation_pressure` changes
/// from ice to water at the triple point, where they meet, so that it is increasing and has an inverse; at 0 degC it
/// would jump.
///
/// Rounding: the arguments of the exponential are sums of terms near 40, so results carry about 2e-14 of relative
/// error, a thousandth of a nanokelvin in the temperatures solved from them.
#pragma once

#include "offnominal/air/elementary.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air::inline OFFNOMINAL_ISA::si {

inline constexpr double kelvin = 273.15;      ///< 0 degC in K
inline constexpr double triple_point = 0.01;  ///< degC

/// ln p = over / T + c0 + c1 T + c2 T^2 + c3 T^3 + c4 T^4 + log ln T, p in Pa and T in K.
struct SaturationCurve {
    double over, c0, c1, c2, c3, c4, log;
};
inline constexpr SaturationCurve over_ice{-5.6745359e3, 6.3925247,      -9.6778430e-3, 6.2215701e-7,
                                          2.0747825e-9, -9.4840240e-13, 4.1635019};
inline constexpr SaturationCurve over_water{-5.8002206e3,  1.3914993, -4.8640239e-2, 4.1764768e-5,
                                            -1.4452093e-8, 0.0,       6.5459673};

/// A saturation pressure and its first two derivatives in temperature (Pa, Pa/K, Pa/K^2).
struct SaturationPoint {
    double p, dp, d2p;
};

/// Point of a curve at `t` degC.
[[nodiscard]] constexpr SaturationPoint saturation_point(const SaturationCurve& c, double t) noexcept {
    constexpr double ln_kelvin = elementary::log(kelvin);
    const double T = t + kelvin;
    const double u = 1.0 / T;
    const double s = t / (T + kelvin);  // ln(T / 273.15) = 2 artanh(s), |s| <= 0.27 from -100 to 200 degC
    const double ln_T = ln_kelvin + s * (2.0 + elementary::artanh_tail(s * s));
    const double ln_p = (c.over * u + c.log * ln_T) + (c.c0 + T * (c.c1 + T * (c.c2 + T * (c.c3 + T * c.c4))));
    const double slope = (c.c1 + T * (2.0 * c.c2 + T * (3.0 * c.c3 + T * (4.0 * c.c4)))) + u * (c.log - c.over * u);
    const double bend = (2.0 * c.c2 + T * (6.0 * c.c3 + T * (12.0 * c.c4))) - u * u * (c.log - 2.0 * c.over * u);
    const double p = elementary::exp(ln_p);
    return {p, p * slope, p * (slope * slope + bend)};
}

/// Saturation pressure over ice, `t` from -100 degC to the triple point.
[[nodiscard]] constexpr double saturation_pressure_ice(double t) noexcept { return saturation_point(over_ice, t).p; }

/// Saturation pressure over liquid water, `t` 0 to 200 degC; below 0 degC it is the extension to supercooled water,
/// which the convention of relative-humidity sensors asks for.
[[nodiscard]] constexpr double saturation_pressure_water(double t) noexcept {
    return saturation_point(over_water, t).p;
}

/// Saturation pressure: over ice below the triple point, over liquid water from there on.
[[nodiscard]] constexpr double saturation_pressure(double t) noexcept {
    return saturation_point(t < triple_point ? over_ice : over_water, t).p;
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA::si
OFFNOMINAL_EXACT_END
