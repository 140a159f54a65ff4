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

/// Sensible capacity (W, uncapped) of a wet coil that gives `total` (W) with bypass factor `bypass`.
[[nodiscard]] inline Answer<double> coil_sensible(const CoilAir& air, double total, double bypass) noexcept {
    const double through = air.mass_flow * (1.0 - bypass);
    const Reason impossible{Why::no_coil_state, About::total_capacity, -1, -1, total, 0.0, 0.0};
    if (!(through > 0.0)) return impossible;
    const double h_adp = air::si::enthalpy(air.dry_bulb, air.humidity_ratio) - total / through;
    // Apparatus dew points below -40 degC or above the entering air are no coil's: the inputs do not fit together.
    if (!(h_adp > air::si::enthalpy(-40.0, 0.0)) || !(total > 0.0)) return impossible;
    const double t_adp = air::si::saturation_temperature_from_enthalpy(h_adp, air.pressure);
    const double w_adp = air::si::saturation_humidity_ratio(t_adp, air.pressure);
    return through * (air::si::enthalpy(air.dry_bulb, w_adp) - air::si::enthalpy(t_adp, w_adp));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
