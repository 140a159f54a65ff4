/// @file
/// Kinds of numbers: what a quantity is in "IP" and in "SI", asked, told and printed. The one home of both unit
/// systems: bindings, batches, reasons, reports and records take their units from here.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "offnominal/detail/contract.hpp"
#include "offnominal/units.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// Units a text is worded in. `both` gives IP with SI in brackets.
enum class UnitSystem : std::uint8_t { IP, SI, both };
template <>
inline constexpr Word<UnitSystem> words_of<UnitSystem>[] = {
    {UnitSystem::IP, "IP"}, {UnitSystem::SI, "SI"}, {UnitSystem::both, ""}};

/// What kind of number a quantity is. Two kinds may share a dimension: capacities are Btu/h in IP, electric power is W.
enum class Kind : std::uint8_t {
    ratio,
    temperature,
    temperature_difference,
    airflow,
    mass_flow,
    capacity,
    electric_power,
    length,
    tubing,
    pressure,
    static_pressure,
    enthalpy,             ///< of moist air: in IP counted from dry air at 0 degF, in SI from dry air at 0 degC
    enthalpy_difference,  ///< between two states
    humidity_ratio,
    volume,
    efficiency,
    speed,  ///< of a compressor: in the system's own unit
};

/// A kind of number: its units where a caller gives or takes it, and how a text shows it.
struct KindWords {
    Kind value;
    std::string_view word;
    Unit ip, si;
    Unit shown_ip, shown_si;
    int decimals_ip = 0, decimals_si = 0;  ///< of a report
};

namespace detail {
// Nobody says delta on a roof: a difference is shown in plain degrees.
inline constexpr Unit plain_degF{"degF", Dimension::temperature_difference, 1.0, 1.8};
inline constexpr Unit plain_degC{"degC", Dimension::temperature_difference};
}  // namespace detail

template <>
inline constexpr KindWords words_of<Kind>[] = {
    {Kind::ratio, "ratio", units::one, units::one, units::one, units::one, 3, 3},
    {Kind::temperature, "temperature", units::degF, units::degC, units::degF, units::degC, 1, 1},
    {Kind::temperature_difference, "temperature_difference", units::delta_degF, units::delta_degC, detail::plain_degF,
     detail::plain_degC, 1, 1},
    {Kind::airflow, "airflow", units::cfm, units::m3_s, units::cfm, units::L_s},
    {Kind::mass_flow, "mass_flow", units::lb_h, units::kg_s, units::lb_h, units::kg_s, 0, 4},
    {Kind::capacity, "capacity", units::Btu_h, units::W, units::Btu_h, units::W},
    {Kind::electric_power, "electric_power", units::W, units::W, units::W, units::W},
    {Kind::length, "length", units::ft, units::m, units::ft, units::m},
    {Kind::tubing, "tubing", units::in, units::m, units::in, units::mm, 3, 1},
    {Kind::pressure, "pressure", units::psia, units::Pa, units::psia, units::Pa, 2, 0},
    {Kind::static_pressure, "static_pressure", units::in_wc, units::Pa, units::in_wc, units::Pa, 2, 0},
    {Kind::enthalpy, "enthalpy", units::Btu_lb_of_air, units::J_kg, units::Btu_lb_of_air, units::J_kg, 2, 0},
    {Kind::enthalpy_difference, "enthalpy_difference", units::Btu_lb, units::J_kg, units::Btu_lb, units::J_kg, 2, 0},
    {Kind::humidity_ratio, "humidity_ratio", units::lb_lb, units::kg_kg, units::lb_lb, units::kg_kg, 5, 5},
    {Kind::volume, "volume", units::ft3_lb, units::m3_kg, units::ft3_lb, units::m3_kg, 2, 4},
    {Kind::efficiency, "efficiency", units::Btu_Wh, units::W_W, units::Btu_Wh, units::W_W, 2, 2},
    {Kind::speed, "speed", units::one, units::one, units::one, units::one, 2, 2},
};

/// The row of a kind.
[[nodiscard]] constexpr const KindWords& row_of_kind(Kind kind) noexcept {
    return words_of<Kind>[static_cast<std::size_t>(kind)];
}
/// The unit a caller of that system gives and takes; `both` counts as IP.
[[nodiscard]] constexpr const Unit& unit_of(Kind kind, UnitSystem system) noexcept {
    return system == UnitSystem::SI ? row_of_kind(kind).si : row_of_kind(kind).ip;
}
/// The unit a text shows; `both` counts as IP.
[[nodiscard]] constexpr const Unit& shown_unit(Kind kind, UnitSystem system) noexcept {
    return system == UnitSystem::SI ? row_of_kind(kind).shown_si : row_of_kind(kind).shown_ip;
}

/// The modes a quantity belongs to.
enum class Mode : std::uint8_t { cooling, heating };
template <>
inline constexpr Word<Mode> words_of<Mode>[] = {{Mode::cooling, "cooling"}, {Mode::heating, "heating"}};

enum class Modes : std::uint8_t { cooling = 1, heating = 2, both = 3 };
[[nodiscard]] constexpr bool applies(Modes modes, Mode mode) noexcept {
    const auto at = static_cast<unsigned>(mode);  // of a mode that is none there is nothing
    return at < std::size(words_of<Mode>) && ((static_cast<unsigned>(modes) >> at) & 1u) != 0;
}

/// One number that is told of a T: from one list of these come batch columns, Python properties, records, labels.
template <class T>
struct Told {
    std::string_view name;    ///< `leaving_dry_bulb`
    Kind kind = Kind::ratio;  ///< hence its units
    Modes modes = Modes::both;
    std::string_view meaning;                   ///< one sentence
    double (*of)(const T&) noexcept = nullptr;  ///< SI; NaN where there is none
};
inline namespace OFFNOMINAL_ISA {  // for what the lines compute
/// The list of what is told of a T, in the order of columns.
template <class T>
inline constexpr void* told_of = nullptr;
}  // namespace OFFNOMINAL_ISA

/// One number that is asked for, by the argument's name. Arguments of one slot are alternatives: they fill one column.
template <class Slot>
struct Asked {
    std::string_view name;
    Kind kind = Kind::ratio;
    Slot slot{};
    Modes modes = Modes::both;
    std::string_view meaning;
};

}  // namespace offnominal
