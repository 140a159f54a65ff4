/// @file
/// The coil model that splits a total into sensible and latent.
///
/// A coil of bypass factor BF cools the share (1 - BF) of its air to the apparatus dew point (saturated) and lets the
/// rest pass. At given total, airflow and entering air that fixes the apparatus dew point, and with it sensible:
///     h_adp = h_e - total / (m (1 - BF)),   sensible = m (1 - BF) (cp_a + cp_v W_adp) (t_e - t_adp).
/// The moist heat capacity is taken at the apparatus dew point, so sensible and latent close exactly with total.
/// Source: bypass-factor method, ASHRAE Handbook Fundamentals ch. 1 (moist-air processes) and any cooling-coil text;
/// the closing split follows from the handbook's enthalpy equation.
#pragma once

#include <optional>

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {
inline namespace OFFNOMINAL_ISA {

/// Air entering a coil, SI.
struct CoilAir {
    double dry_bulb = 0.0;        ///< degC
    double humidity_ratio = 0.0;  ///< kg/kg
    double pressure = 0.0;        ///< Pa, station
    double mass_flow = 0.0;       ///< kg/s dry air
};

/// Enthalpy (J/kg) of saturated air at the apparatus dew point of a coil that gives `total` (W) with bypass factor
/// `bypass`, or Why::no_coil_state.
[[nodiscard]] inline Answer<double> apparatus_enthalpy(const CoilAir& air, double total, double bypass) noexcept {
    const double through = air.mass_flow * (1.0 - bypass);
    const double h = si::enthalpy(air.dry_bulb, air.humidity_ratio) - total / through;
    // Apparatus dew points below -40 degC or above the entering air are no coil's: the inputs do not fit together.
    if (through > 0.0 && h > si::enthalpy(-40.0, 0.0) && total > 0.0) return h;
    return Reason{Why::no_coil_state, About::total_capacity, -1, -1, total, 0.0, 0.0};
}

/// Sensible capacity (W, uncapped) of a wet coil with this apparatus dew point and bypass factor.
[[nodiscard]] inline double coil_sensible(const CoilAir& air, double bypass, const Point& apparatus) noexcept {
    const double through = air.mass_flow * (1.0 - bypass);
    return through * (si::enthalpy(air.dry_bulb, apparatus.W) - si::enthalpy(apparatus.t, apparatus.W));
}

/// Saturated air of an enthalpy.
[[nodiscard]] inline Point saturated(double enthalpy, double pressure) noexcept {
    const double t = si::saturation_temperature_from_enthalpy(enthalpy, pressure);
    return {t, si::saturation_humidity_ratio(t, pressure)};
}

/// Sensible capacity (W, uncapped) of a wet coil that gives `total` (W) with bypass factor `bypass`.
[[nodiscard]] inline Answer<double> coil_sensible(const CoilAir& air, double total, double bypass) noexcept {
    const auto h = apparatus_enthalpy(air, total, bypass);
    if (!h) return h.reason();
    return coil_sensible(air, bypass, saturated(*h, air.pressure));
}

/// The bypass factor with which a wet coil gives this `total` and `sensible` (W): where the line through entering and
/// leaving air meets saturation (the same source). Nothing where no factor of 0.002 to 0.5 does: such a coil is dry, or
/// the numbers do not fit together.
[[nodiscard]] inline std::optional<double> bypass_factor(const CoilAir& air, double total, double sensible) noexcept {
    // The more air passes by, the colder the rest must be, and the more of the load is latent.
    const auto too_dry = [&](double bypass) noexcept {
        const auto there = coil_sensible(air, total, bypass);
        return there && *there >= sensible;
    };
    double low = 0.002, high = 0.5;
    if (!too_dry(low) || too_dry(high)) return std::nullopt;
    while (high - low > 1e-12) {
        const double middle = 0.5 * (low + high);
        (too_dry(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::air
OFFNOMINAL_EXACT_END
