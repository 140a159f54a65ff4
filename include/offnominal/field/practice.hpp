/// @file
/// The trade's own figures for a reading that counts. All of them: common practice, no source.
#pragma once

#include <cstdlib>

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

/// What an instrument is taken to be good for where nothing is said: a poor one. Standard uncertainties, SI.
inline constexpr double poor_dry_bulb = 1.0 / 1.8;          ///< K
inline constexpr double poor_outdoor_dry_bulb = 2.0 / 1.8;  ///< K
inline constexpr double poor_relative_humidity = 0.03;      ///< fraction
inline constexpr double poor_wet_bulb = 1.0 / 1.8;          ///< K
inline constexpr double poor_dew_point = 2.0 / 1.8;         ///< K
inline constexpr double poor_share = 0.10;                  ///< of the reading: airflow, humidity ratio
inline constexpr double poor_power = 0.05;                  ///< of the reading: power of the machine or of its fan
inline constexpr double poor_barometer = 0.005;             ///< of the reading

/// Of the variance of one instrument's error in one quantity, read at two places: the part both readings share.
inline constexpr double shared_by_one_instrument = 0.5;

/// A maker's tolerance where the page states none, coverage factor 2: AHRI 210/240 lets a published rating differ by 5
/// % (from memory).
inline constexpr double assumed_tolerance = 0.05;

/// How a page bends between two values of an axis where it prints no third: half of the second derivative of total over
/// total, per K squared of outdoor or entering air, either way.
inline constexpr double bend_of_temperature = 2.0e-4, bend_of_humidity = 6.0e-4;
/// The same along two airflows, per square of the change of airflow over airflow, and its standard uncertainty. More
/// air brings less and less: of residential machines 0.137 in cooling and 0.168 in heating (NREL/TP-5500-56354,
/// tests/published/cutler_airflow_curves.yaml), of capacities that rise by a power 0.1 to 0.2 of airflow 0.05 to 0.08.
inline constexpr double bend_of_airflow = 0.12, bend_of_airflow_u = 0.05;
/// Standard uncertainty of a sensible capacity found by a bypass factor that the page does not print, as a share of it:
/// against three unlike coils (tests/expect/bypass.cpp).
inline constexpr double inferred_bypass = 0.01;

/// A humidity probe after a wet coil may be wetted, and then shows saturation whatever the air. At the first reading it
/// may be, at the second it surely is; in between the chance is taken to rise in proportion.
inline constexpr double least_saturated = 0.94, surely_saturated = 0.97;
/// What is then known of its air: the relative humidity that a sound machine leaves there, so much less or more. Three
/// unlike coils, sound and weak, leave it by 1.5 points less to 1.5 more in 95 % of cases, and less as they dry
/// (benchmarks/trial). Where the page tells no leaving air: that it left a wet coil.
inline constexpr double below_sound_coil = 0.05, above_sound_coil = 0.03;
inline constexpr double least_after_wet_coil = 0.83;

/// A barometer against the elevation: past the first difference it is noted, past the second no weather does it.
inline constexpr double far_barometer = 0.015, impossible_barometer = 0.03;
/// An elevation so near sea level is as likely a zero that nobody looked up.
inline constexpr Length looks_untold{10.0 * units::ft.times};

/// What a machine that cools can read: its fan's power per standard airflow, W per m3/s (RESNET/ACCA 310 grades fans at
/// 0.45 and 0.58 W/cfm); standard cfm per ton of the page's gross capacity; dry-bulb split; supply dry bulb (colder,
/// the coil that it left freezes over).
inline constexpr double least_fan_power = 0.05 / units::cfm.times, greatest_fan_power = 1.2 / units::cfm.times;
inline constexpr double least_scfm_per_ton = 150.0, greatest_scfm_per_ton = 800.0;
inline constexpr TemperatureDifference greatest_split{40.0 / 1.8};
/// Below this split a difference of two probes says little; a machine that cools, or heats, has more.
inline constexpr TemperatureDifference least_split{3.0 / 1.8};
inline constexpr Temperature least_supply_dry_bulb{8.0 / 1.8};
/// Electric power per gross capacity of the page, W/W: 150 to 4,000 W per ton, an efficiency from 80 to 3 Btu/Wh.
inline constexpr double least_power = 150.0 / units::ton.times, greatest_power = 4000.0 / units::ton.times;

/// What a machine that heats can read: temperature rise by the machine itself; standard cfm per ton of the page's gross
/// heating capacity, of which cold outdoor air leaves half or less.
inline constexpr TemperatureDifference greatest_rise{55.0 / 1.8};
inline constexpr double greatest_scfm_per_ton_heating = 1600.0;
/// Relative humidity of return air in the heating season where it was not read, and how far it may be off.
inline constexpr double heated_relative_humidity = 0.35, heated_relative_humidity_limits = 0.30;
/// After a defrost the indoor air and the refrigerant settle: not before the first does a reading count, at the second
/// it surely does.
inline constexpr Duration least_since_defrost{10.0 * 60.0};
inline constexpr Duration settled_since_defrost{20.0 * 60.0};
/// Frost that has grown on the outdoor coil since its last defrost takes from nothing to this share of the capacity: it
/// never adds any. No control defrosts a coil sooner than after the second, so that less has grown before, in
/// proportion (common practice, no source).
inline constexpr double most_frost_on_coil = 0.04;
inline constexpr Duration soonest_defrost{30.0 * 60.0};
/// A page that does not say whether frost is in it, where coils frost: standard uncertainty, as a share of total; the
/// regulation's tenth, anywhere from none to all of it either way.
inline constexpr double unknown_frost = 0.10 / 1.7320508075688772;

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
