/// @file
/// The trade's own figures for ways to find an airflow. All of them: common practice, no source.
#pragma once

#include "offnominal/units.hpp"

namespace offnominal::practice {

// What a way of finding airflow is good for beside its readings: standard uncertainties, as a share of the airflow.
inline constexpr double blower_table = 0.06;    ///< a clean fan and wheel about its page; 10 to 15 % at 95 %
inline constexpr double mixed_electric = 0.03;  ///< electric heat: air mixed, probes out of sight of the elements
inline constexpr double mixed_fuel = 0.06;      ///< a fuel heat exchanger: layers in the supply, losses of the case
inline constexpr double traverse = 0.035;       ///< a straight run, points by rule; 5 to 10 % at 95 %
inline constexpr double flow_grid = 0.03;   ///< a calibrated plate in the filter's place; 7 % at 95 % with its gauges
inline constexpr double known_drop = 0.05;  ///< a coil or filter as clean as when its point was read
inline constexpr double hood = 0.05;        ///< a hood's back pressure, and leaks that never reach it
inline constexpr double condensate = 0.05;  ///< water that stays, or is carried over

/// A manometer of which nothing is said, each reading.
inline constexpr Pressure poor_manometer{0.02 * units::in_wc.times};
/// Static pressure read across nobody says which components.
inline constexpr Pressure unsaid_boundary{0.05 * units::in_wc.times};
/// A length of duct by tape, a share of it.
inline constexpr double poor_length = 0.01;
/// Exponent of airflow over the drop of a filter or coil: between turbulent 0.5 and a laminar share.
inline constexpr double drop_exponent = 0.55, drop_exponent_u = 0.03;
/// A furnace's steady efficiency of which only the plate is known.
inline constexpr double poor_efficiency = 0.03;
/// Of two ways to find one airflow: they disagree where a difference as large has less than this chance.
inline constexpr double disagreeing = 0.05;

}  // namespace offnominal::practice
