/// @file
/// The coil model that splits a changed total into sensible and latent.
///
/// A coil of bypass factor BF cools the share (1 - BF) of its air to the apparatus dew point (saturated) and lets the
/// rest pass. At given total, airflow and entering air that fixes the apparatus dew point, and with it sensible:
///     h_adp = h_e - total / (m (1 - BF)),   sensible = m (1 - BF) (cp_a + cp_v W_adp) (t_e - t_adp).
/// The moist heat capacity is taken at the apparatus dew point, so sensible and latent close exactly with total.
/// Source: bypass-factor method, ASHRAE Handbook Fundamentals ch. 1 (moist-air processes) and any cooling-coil text;
/// the closing split follows from the handbook's enthalpy equation.
#pragma once

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::derates {
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
    const double h = air::si::enthalpy(air.dry_bulb, air.humidity_ratio) - total / through;
    // Apparatus dew points below -40 degC or above the entering air are no coil's: the inputs do not fit together.
    if (through > 0.0 && h > air::si::enthalpy(-40.0, 0.0) && total > 0.0) return h;
    return Reason{Why::no_coil_state, About::total_capacity, -1, -1, total, 0.0, 0.0};
}

/// Sensible capacity (W, uncapped) of a wet coil with this apparatus dew point and bypass factor.
[[nodiscard]] inline double coil_sensible(const CoilAir& air, double bypass, const air::Point& apparatus) noexcept {
    const double through = air.mass_flow * (1.0 - bypass);
    return through * (air::si::enthalpy(air.dry_bulb, apparatus.W) - air::si::enthalpy(apparatus.t, apparatus.W));
}

/// Saturated air of an enthalpy.
[[nodiscard]] inline air::Point saturated(double enthalpy, double pressure) noexcept {
    const double t = air::si::saturation_temperature_from_enthalpy(enthalpy, pressure);
    return {t, air::si::saturation_humidity_ratio(t, pressure)};
}

/// Sensible capacity (W, uncapped) of a wet coil that gives `total` (W) with bypass factor `bypass`.
[[nodiscard]] inline Answer<double> coil_sensible(const CoilAir& air, double total, double bypass) noexcept {
    const auto h = apparatus_enthalpy(air, total, bypass);
    if (!h) return h.reason();
    return coil_sensible(air, bypass, saturated(*h, air.pressure));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
