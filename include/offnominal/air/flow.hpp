/// @file
/// Airflow: actual at some place, standard, and the dry-air mass that both stand for.
///
/// A fan moves volume, a coil cools mass. Actual airflow is volume at the density of the place where it was read;
/// standard airflow is a mass flow in disguise, volume at 0.075 lb/ft3 whatever the air. Which pound that is, of dry
/// air or of moist air, moves it by 1 to 1.3 % in a cooled house. Everything here goes by way of the mass flow of dry
/// air, which alone is the same at every place along the duct.
#pragma once

#include "offnominal/air/state.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {

/// Where an actual airflow was read.
enum class Place : unsigned char { return_air, supply_air, fan };

}  // namespace offnominal::air

template <>
inline constexpr offnominal::Word<offnominal::air::Place> offnominal::words_of<offnominal::air::Place>[] = {
    {offnominal::air::Place::return_air, "return"},
    {offnominal::air::Place::supply_air, "supply"},
    {offnominal::air::Place::fan, "fan"}};

namespace offnominal::air::inline OFFNOMINAL_ISA {
namespace si {

/// Density of standard air: 0.075 lb/ft3 exactly, in kg/m3.
inline constexpr double standard_density = 0.075 * offnominal::detail::pound / offnominal::detail::cubic_foot;

/// Dry-air mass flow (kg/s) of standard airflow (m3/s) by the pound of dry air.
[[nodiscard]] constexpr double dry_mass_from_standard(double flow) noexcept { return flow * standard_density; }
/// The same by the pound of moist air.
[[nodiscard]] constexpr double dry_mass_from_moist_standard(double flow, double W) noexcept {
    return flow * standard_density / (1.0 + W);
}
/// Dry-air mass flow of an actual airflow (m3/s).
[[nodiscard]] constexpr double dry_mass_from_actual(double flow, double t, double W, double p) noexcept {
    return flow / volume(t, W, p);
}

/// Standard airflow (m3/s) by the pound of dry air, of a dry-air mass flow (kg/s).
[[nodiscard]] constexpr double standard_from_dry_mass(double mass_flow) noexcept {
    return mass_flow / standard_density;
}
/// The same by the pound of moist air.
[[nodiscard]] constexpr double moist_standard_from_dry_mass(double mass_flow, double W) noexcept {
    return mass_flow * (1.0 + W) / standard_density;
}
/// Actual airflow (m3/s) of a dry-air mass flow.
[[nodiscard]] constexpr double actual_from_dry_mass(double mass_flow, double t, double W, double p) noexcept {
    return mass_flow * volume(t, W, p);
}

}  // namespace si

/// Dry-air mass flow of an actual airflow read in air of this state.
[[nodiscard]] constexpr MassFlow dry_mass_flow(Airflow actual, const State& there) noexcept {
    return MassFlow{si::dry_mass_from_actual(actual.si, there.dry_bulb.si, there.humidity_ratio.si, there.pressure.si)};
}
/// Dry-air mass flow of standard airflow by the pound of dry air.
[[nodiscard]] constexpr MassFlow dry_mass_flow(StandardAirflow standard) noexcept {
    return MassFlow{si::dry_mass_from_standard(standard.si)};
}
/// Dry-air mass flow of standard airflow by the pound of moist air of this humidity.
[[nodiscard]] constexpr MassFlow dry_mass_flow(StandardAirflow standard, HumidityRatio moist_pound) noexcept {
    return MassFlow{si::dry_mass_from_moist_standard(standard.si, moist_pound.si)};
}

/// Actual airflow of a dry-air mass flow in air of this state.
[[nodiscard]] constexpr Airflow actual_airflow(MassFlow dry_air, const State& there) noexcept {
    return Airflow{si::actual_from_dry_mass(dry_air.si, there.dry_bulb.si, there.humidity_ratio.si, there.pressure.si)};
}
/// Actual airflow at `there` of an actual airflow read at `here`: the same dry air at another density.
[[nodiscard]] constexpr Airflow actual_airflow(Airflow actual, const State& here, const State& there) noexcept {
    return actual_airflow(dry_mass_flow(actual, here), there);
}
/// Standard airflow by the pound of dry air.
[[nodiscard]] constexpr StandardAirflow standard_airflow(MassFlow dry_air) noexcept {
    return StandardAirflow{si::standard_from_dry_mass(dry_air.si)};
}
/// Standard airflow by the pound of moist air of this humidity.
[[nodiscard]] constexpr StandardAirflow standard_airflow(MassFlow dry_air, HumidityRatio moist_pound) noexcept {
    return StandardAirflow{si::moist_standard_from_dry_mass(dry_air.si, moist_pound.si)};
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA
OFFNOMINAL_EXACT_END
