/// @file
/// The trade's own figures for a reading that counts. All of them: common practice, no source.
#pragma once

#include <cmath>

#include "offnominal/units.hpp"

namespace offnominal::practice {

/// Airflow through the indoor coil, per nominal ton of cooling: 350 to 400 cfm.
inline constexpr double least_airflow_per_ton = 350.0 * units::cfm.times / units::ton.times;     ///< (m3/s)/W
inline constexpr double greatest_airflow_per_ton = 400.0 * units::cfm.times / units::ton.times;  ///< (m3/s)/W

/// Two probes held side by side in one air stream agree within 0.3 delta_degF of wet bulb and 1 point of relative
/// humidity.
inline constexpr TemperatureDifference side_by_side_wet_bulb{0.3 / 1.8};
inline constexpr double side_by_side_relative_humidity = 0.01;

/// Weather moves station pressure about what the elevation says: standard uncertainty, as a share of it.
inline constexpr double weather_in_pressure = 0.01;

/// Faults move the power of a machine by up to 20 %, another stage by more. So a power further off than this, while
/// another stage's page comes at least twice as near, says that another stage ran.
inline constexpr double power_of_same_stage = 0.15;

/// A machine runs at least 15 minutes, better 20, after a start or a change before a reading counts.
inline constexpr Duration least_running{15.0 * 60.0};
inline constexpr Duration settled_running{20.0 * 60.0};

/// A constant-airflow blower holds its airflow between about 0.1 and 1.0 inches of water column outside its cabinet.
inline constexpr Pressure least_held_static{0.1 * units::in_wc.times};
inline constexpr Pressure greatest_held_static{1.0 * units::in_wc.times};

/// Whether two probes that hang side by side agree; differences of either sign.
[[nodiscard]] inline bool probes_agree(TemperatureDifference wet_bulb, double relative_humidity) noexcept {
    return std::abs(wet_bulb.si) <= side_by_side_wet_bulb.si &&
           std::abs(relative_humidity) <= side_by_side_relative_humidity;
}

}  // namespace offnominal::practice

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::practice {
inline namespace OFFNOMINAL_ISA {
/// Whether a standard airflow is usual for a machine of this nominal capacity.
[[nodiscard]] constexpr bool usual_airflow(Airflow standard, Power nominal) noexcept {
    return standard.si >= least_airflow_per_ton * nominal.si && standard.si <= greatest_airflow_per_ton * nominal.si;
}
}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::practice
OFFNOMINAL_EXACT_END
