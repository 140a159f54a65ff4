/// @file
/// What files and Python call the readings of each way to determine an airflow. A tuple of members is dear to compile:
/// so it stands beside who goes through it, and not with the ways.
#pragma once

#include <string_view>
#include <tuple>

#include "offnominal/airflow/determine.hpp"

namespace offnominal {

/// A name that files and Python give to a member, and what to type for it.
template <class Member>
struct InputName {
    std::string_view key;
    Member member;
    std::string_view such_as;
    bool needed = true;
};
template <class Member>
InputName(std::string_view, Member, std::string_view) -> InputName<Member>;
template <class Member>
InputName(std::string_view, Member, std::string_view, bool) -> InputName<Member>;

/// The readings of a way by name: the one list for files and Python.
template <class T>
inline constexpr void* inputs_of = nullptr;
template <>
inline constexpr std::tuple inputs_of<AirflowShown>{InputName{"value", &AirflowShown::value, "1190 cfm"},
                                                    InputName{"standard", &AirflowShown::standard, "true", false}};
template <>
inline constexpr std::tuple inputs_of<BlowerReading>{
    InputName{"tap", &BlowerReading::tap, "the tap or profile that ran"},
    InputName{"static", &BlowerReading::external_static, "0.52 in_wc"},
    InputName{"includes", &BlowerReading::includes, "wet coil, no filter", false},
    InputName{"drops", &BlowerReading::drops, "{filter: 0.12 in_wc}", false}};
template <>
inline constexpr std::tuple inputs_of<TemperatureRise>{
    InputName{"power", &TemperatureRise::power, "9.8 kW", false},
    InputName{"input", &TemperatureRise::input, "60000 Btu/h", false},
    InputName{"efficiency", &TemperatureRise::efficiency, "80 %", false},
    InputName{"entering", &TemperatureRise::entering, "70 degF"},
    InputName{"leaving", &TemperatureRise::leaving, "100 degF"}};
template <>
inline constexpr std::tuple inputs_of<Traverse>{
    InputName{"velocity_pressures", &Traverse::velocity_pressures, "[0.04 in_wc, 0.05 in_wc]"},
    InputName{"width", &Traverse::width, "20 in", false}, InputName{"height", &Traverse::height, "12 in", false},
    InputName{"diameter", &Traverse::diameter, "14 in", false}};
template <>
inline constexpr std::tuple inputs_of<FlowGrid>{
    InputName{"rated", &FlowGrid::rated, "1000 cfm"}, InputName{"rated_drop", &FlowGrid::rated_drop, "0.16 in_wc"},
    InputName{"drop", &FlowGrid::drop, "0.2 in_wc"},
    InputName{"static_without", &FlowGrid::static_without, "0.30 in_wc", false},
    InputName{"static_with", &FlowGrid::static_with, "0.26 in_wc", false}};
template <>
inline constexpr std::tuple inputs_of<KnownDrop>{
    InputName{"known", &KnownDrop::known, "1200 cfm"}, InputName{"known_drop", &KnownDrop::known_drop, "0.25 in_wc"},
    InputName{"drop", &KnownDrop::drop, "0.22 in_wc"}, InputName{"exponent", &KnownDrop::exponent, "0.55", false}};
template <>
inline constexpr std::tuple inputs_of<Hood>{InputName{"registers", &Hood::registers, "[120 cfm, 95 cfm]"}};
template <>
inline constexpr std::tuple inputs_of<CondensateBalance>{
    InputName{"water", &CondensateBalance::water, "7 lb/h"},
    InputName{"entering", &CondensateBalance::entering, "0.0105 lb/lb"},
    InputName{"leaving", &CondensateBalance::leaving, "0.0092 lb/lb"}};

}  // namespace offnominal
