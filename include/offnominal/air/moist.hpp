/// @file
/// Moist air as a mixture of two ideal gases: humidity ratio, enthalpy, volume, station pressure, mixing.
///
/// `double` in SI throughout: t in degC, p and pw (vapour pressure) in Pa, W in kg vapour per kg dry air, h in J and v
/// in m3 per kg dry air. No function checks its arguments; the typed face (`state.hpp`) does.
///
/// Source: ASHRAE Handbook - Fundamentals (2017), chapter 1, SI equations; the number stands beside each.
#pragma once

#include "offnominal/air/saturation.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {

/// A state of moist air without its pressure, in plain doubles.
struct Point {
    double t = 0.0;  ///< dry bulb, degC
    double W = 0.0;  ///< humidity ratio, kg/kg
};

/// What a relative humidity below the triple point is relative to.
enum class Over : unsigned char {
    ashrae,  ///< ice, as the Handbook has it
    water,   ///< supercooled water, as relative-humidity sensors have it
};

}  // namespace offnominal::air

namespace offnominal::air::inline OFFNOMINAL_ISA::si {

inline constexpr double mass_ratio = 0.621945;         ///< molar mass of water over that of dry air (eq. 20)
inline constexpr double cp_air = 1006.0;               ///< dry air, J/kg/K (eq. 30)
inline constexpr double cp_vapour = 1860.0;            ///< water vapour, J/kg/K (eq. 30)
inline constexpr double heat_of_vapour = 2501000.0;    ///< vapour over liquid, both at 0 degC, J/kg (eq. 30)
inline constexpr double standard_pressure = 101325.0;  ///< Pa

/// Humidity ratio from vapour pressure (eq. 20).
[[nodiscard]] constexpr double humidity_ratio(double pw, double p) noexcept { return mass_ratio * pw / (p - pw); }

/// Vapour pressure from humidity ratio (eq. 20, turned round).
[[nodiscard]] constexpr double vapour_pressure(double W, double p) noexcept { return p * W / (mass_ratio + W); }

/// Humidity ratio of saturated air, over ice below the triple point (eq. 20). Meaningless where water would boil.
[[nodiscard]] constexpr double saturation_humidity_ratio(double t, double p) noexcept {
    return humidity_ratio(saturation_pressure(t), p);
}

/// Relative humidity as a fraction: vapour pressure over saturation pressure (eq. 22).
[[nodiscard]] constexpr double relative_humidity(double t, double W, double p, Over over = Over::ashrae) noexcept {
    return vapour_pressure(W, p) / (over == Over::water ? saturation_pressure_water(t) : saturation_pressure(t));
}

/// Heat capacity of the moist air that holds one kilogram of dry air, J/K: what its enthalpy gains a kelvin.
[[nodiscard]] constexpr double moist_heat_capacity(double W) noexcept { return cp_air + cp_vapour * W; }

/// Enthalpy of water vapour at `t` over liquid at 0 degC, J/kg: what enthalpy gains a kilogram of vapour.
[[nodiscard]] constexpr double vapour_enthalpy(double t) noexcept { return heat_of_vapour + cp_vapour * t; }

/// Enthalpy over dry air and liquid water at 0 degC (eq. 30). In IP it is counted from dry air at 0 degF:
/// `units::Btu_lb_of_air`.
[[nodiscard]] constexpr double enthalpy(double t, double W) noexcept { return cp_air * t + W * vapour_enthalpy(t); }

/// Dry bulb from enthalpy and humidity ratio.
[[nodiscard]] constexpr double dry_bulb_from_enthalpy(double h, double W) noexcept {
    return (h - heat_of_vapour * W) / moist_heat_capacity(W);
}

/// Humidity ratio from dry bulb and enthalpy.
[[nodiscard]] constexpr double humidity_ratio_from_enthalpy(double t, double h) noexcept {
    return (h - cp_air * t) / vapour_enthalpy(t);
}

/// Volume of the moist air that holds one kilogram of dry air (eq. 26).
[[nodiscard]] constexpr double volume(double t, double W, double p) noexcept {
    return 287.042 * (t + kelvin) * (1.0 + 1.607858 * W) / p;
}

/// Mass of moist air per volume, kg/m3 (eq. 11).
[[nodiscard]] constexpr double density_moist(double t, double W, double p) noexcept {
    return (1.0 + W) / volume(t, W, p);
}

/// Pressure of the standard atmosphere at `z` m, -5000 to 11000 m (eq. 3).
[[nodiscard]] constexpr double pressure_at_elevation(double z) noexcept {
    return standard_pressure * elementary::exp(5.2559 * elementary::log(1.0 - 2.25577e-5 * z));
}

/// Elevation at which the standard atmosphere has pressure `p`, m (eq. 3, turned round).
[[nodiscard]] constexpr double elevation_at_pressure(double p) noexcept {
    return (1.0 - elementary::exp(elementary::log(p / standard_pressure) / 5.2559)) / 2.25577e-5;
}

/// Temperature of the standard atmosphere at `z` m, degC (eq. 4).
[[nodiscard]] constexpr double standard_temperature(double z) noexcept { return 15.0 - 0.0065 * z; }

/// Two streams of dry-air mass `m1` and `m2` mixed without heat or water added: humidity ratio and
/// enthalpy are conserved. At equal pressure and humidity below saturation; a mixture past saturation would be fog.
[[nodiscard]] constexpr Point mix(double m1, Point a, double m2, Point b) noexcept {
    const double m = m1 + m2;
    const double W = (m1 * a.W + m2 * b.W) / m;
    const double h = (m1 * enthalpy(a.t, a.W) + m2 * enthalpy(b.t, b.W)) / m;
    return {dry_bulb_from_enthalpy(h, W), W};
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA::si
OFFNOMINAL_EXACT_END
