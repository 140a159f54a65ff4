/// @file
/// Typed quantities, and the one table of units that C++, files and Python share.
///
/// Inside the library every number is a `double` in SI: degrees Celsius for temperatures, otherwise coherent SI (W,
/// m3/s, kg/s, Pa, m, J/kg, kg/kg). A `Quantity` keeps such a number together with what it measures, so that a
/// temperature cannot be handed over where a temperature *difference* is due. Units exist at the edge only: a literal,
/// a file, a Python call.
///
/// Sources of the factors: international foot, pound and inch (exact, 1959 agreement); Btu is the International Table
/// Btu (1055.05585262 J, ISO 31-4); conventional inch of water and of mercury as in NIST SP 811, appendix B.8.
#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <string_view>

#include "offnominal/detail/contract.hpp"
#include "offnominal/words.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// What a number measures.
enum class Dimension : std::uint8_t {
    ratio,                   ///< factors, fractions, relative humidity, bypass factor; SI: 1
    temperature,             ///< a point on a thermometer; SI: degC
    temperature_difference,  ///< a distance between two temperatures; SI: K
    power,                   ///< capacity or electric power; SI: W
    airflow,                 ///< volume flow of air; SI: m3/s
    mass_flow,               ///< mass flow of dry air; SI: kg/s
    pressure,                ///< SI: Pa
    length,                  ///< SI: m
    humidity_ratio,          ///< mass of vapour per mass of dry air; SI: kg/kg
    specific_enthalpy,       ///< per mass of dry air; SI: J/kg
    specific_volume,         ///< per mass of dry air; SI: m3/kg
    sensible_slope,          ///< sensible capacity per airflow and temperature difference; SI: W/(m3/s)/K
    fan_ratio,               ///< fan power per airflow; SI: W/(m3/s)
    duration,                ///< SI: s
    gauge_pressure,          ///< above the air around the gauge; SI: Pa
    current,                 ///< SI: A
    frequency,               ///< compressor speed; SI: 1/s
    efficiency,              ///< capacity per power, in or out of one unit; SI: W/W
};
/// A dimension's name, and what a value of it is called in a sentence.
struct DimensionWords {
    Dimension value;
    std::string_view word, words;
};
template <>
inline constexpr DimensionWords words_of<Dimension>[] = {
    {Dimension::ratio, "ratio", "a ratio"},
    {Dimension::temperature, "temperature", "a temperature"},
    {Dimension::temperature_difference, "temperature_difference", "a temperature difference"},
    {Dimension::power, "power", "a power"},
    {Dimension::airflow, "airflow", "an airflow"},
    {Dimension::mass_flow, "mass_flow", "a mass flow"},
    {Dimension::pressure, "pressure", "a pressure"},
    {Dimension::length, "length", "a length"},
    {Dimension::humidity_ratio, "humidity_ratio", "a humidity ratio"},
    {Dimension::specific_enthalpy, "specific_enthalpy", "a specific enthalpy"},
    {Dimension::specific_volume, "specific_volume", "a specific volume"},
    {Dimension::sensible_slope, "sensible_slope", "a sensible slope"},
    {Dimension::fan_ratio, "fan_ratio", "a fan power per airflow"},
    {Dimension::duration, "duration", "a duration"},
    {Dimension::gauge_pressure, "gauge_pressure", "a gauge pressure"},
    {Dimension::current, "current", "a current"},
    {Dimension::frequency, "frequency", "a speed"},
    {Dimension::efficiency, "efficiency", "an efficiency"},
};

/// A number in SI together with what it measures. Trivial, the size of a `double`.
template <Dimension D>
struct Quantity {
    static constexpr Dimension dimension = D;
    double si = 0.0;

    friend constexpr auto operator<=>(Quantity, Quantity) = default;
};

using Ratio = Quantity<Dimension::ratio>;
using Temperature = Quantity<Dimension::temperature>;
using TemperatureDifference = Quantity<Dimension::temperature_difference>;
using Power = Quantity<Dimension::power>;
using Airflow = Quantity<Dimension::airflow>;
using MassFlow = Quantity<Dimension::mass_flow>;
using Pressure = Quantity<Dimension::pressure>;
using Length = Quantity<Dimension::length>;
using HumidityRatio = Quantity<Dimension::humidity_ratio>;
using SpecificEnthalpy = Quantity<Dimension::specific_enthalpy>;
using SpecificVolume = Quantity<Dimension::specific_volume>;
using SensibleSlope = Quantity<Dimension::sensible_slope>;
using FanRatio = Quantity<Dimension::fan_ratio>;
using Duration = Quantity<Dimension::duration>;
using GaugePressure = Quantity<Dimension::gauge_pressure>;
using Current = Quantity<Dimension::current>;
using Frequency = Quantity<Dimension::frequency>;
using Efficiency = Quantity<Dimension::efficiency>;

template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator+(Quantity<D> a, Quantity<D> b) noexcept
    requires(D != Dimension::temperature) {
    return {a.si + b.si};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator-(Quantity<D> a, Quantity<D> b) noexcept
    requires(D != Dimension::temperature) {
    return {a.si - b.si};
}
/// Not for temperatures: -40_degF would turn 40 degF round 0 degC. Write `from<Dimension::temperature>(-40,
/// units::degF)`.
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator-(Quantity<D> a) noexcept requires(D != Dimension::temperature) {
    return {-a.si};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator*(Quantity<D> a, double factor) noexcept
    requires(D != Dimension::temperature) {
    return {a.si * factor};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr double operator/(Quantity<D> a, Quantity<D> b) noexcept
    requires(D != Dimension::temperature) {
    return a.si / b.si;
}
OFFNOMINAL_INLINE constexpr Temperature operator+(Temperature t, TemperatureDifference d) noexcept {
    return {t.si + d.si};
}
OFFNOMINAL_INLINE constexpr Temperature operator-(Temperature t, TemperatureDifference d) noexcept {
    return {t.si - d.si};
}
OFFNOMINAL_INLINE constexpr TemperatureDifference operator-(Temperature a, Temperature b) noexcept {
    return {a.si - b.si};
}

namespace detail {
inline namespace OFFNOMINAL_ISA {
[[nodiscard]] constexpr double to_si(double value, double times, double over, double offset) noexcept {
    return (value - offset) * times / over;
}
[[nodiscard]] constexpr double from_si(double si, double times, double over, double offset) noexcept {
    return si * over / times + offset;
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// A unit by its one accepted spelling. SI = (value - offset) * times / over, and back by the inverse; one of `times`
/// and `over` is always 1, so each direction rounds once (and once more for the offset).
struct Unit {
    std::string_view name;
    Dimension dimension = Dimension::ratio;
    double times = 1.0;
    double over = 1.0;
    double offset = 0.0;
    bool standard_air = false;  ///< the unit itself says "standard air" (scfm)

    [[nodiscard]] OFFNOMINAL_INLINE constexpr double to_si(double value) const noexcept {
        return detail::to_si(value, times, over, offset);
    }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr double from_si(double si) const noexcept {
        return detail::from_si(si, times, over, offset);
    }
};

namespace detail {
inline constexpr double foot = 0.3048;
inline constexpr double cubic_foot = foot * foot * foot;
inline constexpr double pound = 0.45359237;
inline constexpr double btu = 1055.05585262;
}  // namespace detail

/// The table of units: a closed list, one spelling each.
namespace units {
inline constexpr Unit one{"1", Dimension::ratio};
inline constexpr Unit percent{"%", Dimension::ratio, 1.0, 100.0};

inline constexpr Unit degC{"degC", Dimension::temperature};
inline constexpr Unit degF{"degF", Dimension::temperature, 1.0, 1.8, 32.0};
inline constexpr Unit kelvin{"K", Dimension::temperature, 1.0, 1.0, 273.15};
inline constexpr Unit delta_degC{"delta_degC", Dimension::temperature_difference};
inline constexpr Unit delta_degF{"delta_degF", Dimension::temperature_difference, 1.0, 1.8};

inline constexpr Unit W{"W", Dimension::power};
inline constexpr Unit kW{"kW", Dimension::power, 1000.0};
inline constexpr Unit Btu_h{"Btu/h", Dimension::power, detail::btu / 3600.0};
inline constexpr Unit MBh{"MBh", Dimension::power, detail::btu / 3.6};  ///< thousand Btu/h
inline constexpr Unit ton{"ton", Dimension::power, detail::btu / 0.3};  ///< 12,000 Btu/h

inline constexpr Unit m3_s{"m3/s", Dimension::airflow};
inline constexpr Unit m3_h{"m3/h", Dimension::airflow, 1.0, 3600.0};
inline constexpr Unit L_s{"L/s", Dimension::airflow, 1.0, 1000.0};
inline constexpr Unit cfm{"cfm", Dimension::airflow, detail::cubic_foot / 60.0};
inline constexpr Unit scfm{"scfm", Dimension::airflow, detail::cubic_foot / 60.0, 1.0, 0.0, true};

inline constexpr Unit kg_s{"kg/s", Dimension::mass_flow};
inline constexpr Unit lb_h{"lb/h", Dimension::mass_flow, detail::pound / 3600.0};

inline constexpr Unit Pa{"Pa", Dimension::pressure};
inline constexpr Unit kPa{"kPa", Dimension::pressure, 1000.0};
inline constexpr Unit hPa{"hPa", Dimension::pressure, 100.0};
inline constexpr Unit psia{"psia", Dimension::pressure, 6894.757293168361};
inline constexpr Unit inHg{"inHg", Dimension::pressure, 3386.389};
inline constexpr Unit in_wc{"in_wc", Dimension::pressure, 249.08891};

inline constexpr Unit m{"m", Dimension::length};
inline constexpr Unit mm{"mm", Dimension::length, 1.0, 1000.0};
inline constexpr Unit ft{"ft", Dimension::length, detail::foot};
inline constexpr Unit in{"in", Dimension::length, 0.0254};

inline constexpr Unit kg_kg{"kg/kg", Dimension::humidity_ratio};
inline constexpr Unit lb_lb{"lb/lb", Dimension::humidity_ratio};
inline constexpr Unit g_kg{"g/kg", Dimension::humidity_ratio, 1.0, 1000.0};
inline constexpr Unit gr_lb{"gr/lb", Dimension::humidity_ratio, 1.0, 7000.0};  ///< grains per pound

inline constexpr Unit J_kg{"J/kg", Dimension::specific_enthalpy};
inline constexpr Unit kJ_kg{"kJ/kg", Dimension::specific_enthalpy, 1000.0};
inline constexpr Unit Btu_lb{"Btu/lb", Dimension::specific_enthalpy, 2326.0};
/// Enthalpy of moist air as IP tables and charts count it: from dry air at 0 degF, where SI counts from 0 degC (heat
/// capacity 1006 J/kg/K). Not in `all`: between two states the difference is in Btu_lb, and a file says which it means
/// by its key.
inline constexpr Unit Btu_lb_of_air{"Btu/lb", Dimension::specific_enthalpy, 2326.0, 1.0,
                                    1006.0 * (32.0 / 1.8) / 2326.0};

inline constexpr Unit m3_kg{"m3/kg", Dimension::specific_volume};
inline constexpr Unit ft3_lb{"ft3/lb", Dimension::specific_volume, detail::cubic_foot / detail::pound};

inline constexpr Unit W_m3s_K{"W/(m3/s)/K", Dimension::sensible_slope};
inline constexpr Unit W_Ls_K{"W/(L/s)/K", Dimension::sensible_slope, 1000.0};
inline constexpr Unit Btu_h_cfm_degF{"Btu/h/cfm/delta_degF", Dimension::sensible_slope,
                                     detail::btu / 3600.0 / (detail::cubic_foot / 60.0) * 1.8};

inline constexpr Unit W_m3s{"W/(m3/s)", Dimension::fan_ratio};
inline constexpr Unit W_cfm{"W/cfm", Dimension::fan_ratio, 1.0, detail::cubic_foot / 60.0};
inline constexpr Unit W_1000scfm{"W per 1000 scfm", Dimension::fan_ratio, 1.0, detail::cubic_foot / 0.06, 0.0, true};

inline constexpr Unit s{"s", Dimension::duration};
inline constexpr Unit minute{"min", Dimension::duration, 60.0};
inline constexpr Unit hour{"h", Dimension::duration, 3600.0};

inline constexpr Unit psig{"psig", Dimension::gauge_pressure, 6894.757293168361};
inline constexpr Unit kPag{"kPag", Dimension::gauge_pressure, 1000.0};
inline constexpr Unit A{"A", Dimension::current};
inline constexpr Unit Hz{"Hz", Dimension::frequency};
inline constexpr Unit rpm{"rpm", Dimension::frequency, 1.0, 60.0};
inline constexpr Unit W_W{"W/W", Dimension::efficiency};
inline constexpr Unit Btu_Wh{"Btu/Wh", Dimension::efficiency, detail::btu / 3600.0};

// clang-format off
inline constexpr std::array all{
    one,    percent, degC,    degF,   kelvin,         delta_degC, delta_degF, W,          kW,
    Btu_h,  MBh,     ton,     m3_s,   m3_h,           L_s,        cfm,        scfm,       kg_s,
    lb_h,   Pa,      kPa,     hPa,    psia,           inHg,       in_wc,      m,          mm,
    ft,     in,      kg_kg,   lb_lb,  g_kg,           gr_lb,      J_kg,       kJ_kg,      Btu_lb,
    m3_kg,  ft3_lb,  W_m3s_K, W_Ls_K, Btu_h_cfm_degF, W_m3s,      W_cfm,      W_1000scfm, s,
    minute, hour,    psig,    kPag,   A,              Hz,         rpm,        W_W,        Btu_Wh,
};
// clang-format on

/// The unit spelled `name`, for a value of dimension `wanted`; nothing if there is none. Temperature differences also
/// accept `K`, which names both a point and a difference.
[[nodiscard]] constexpr std::optional<Unit> find(std::string_view name, Dimension wanted) noexcept {
    if (wanted == Dimension::temperature_difference && name == "K") return delta_degC;
    for (const Unit& unit : all)
        if (unit.dimension == wanted && unit.name == name) return unit;
    return std::nullopt;
}
}  // namespace units

/// A quantity from a number and a unit: `from<Dimension::power>(33.9, units::MBh)`. The caller pairs them rightly;
/// files and Python go through `units::find`, which checks.
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> from(double value, const Unit& unit) noexcept {
    return {unit.to_si(value)};
}

/// The number of a quantity in a unit of the same dimension: `in(power, units::MBh)`.
template <Dimension D>
OFFNOMINAL_INLINE constexpr double in(Quantity<D> quantity, const Unit& unit) noexcept {
    return unit.from_si(quantity.si);
}

/// Literals: `95_degF`, `1100_cfm`, `33.9_MBh`, `4690_ft`.
namespace literals {
// constexpr, not consteval: clang 14 leaves calls to consteval operators behind that nothing defines.
#define OFFNOMINAL_LITERAL(suffix, D, unit)                                                      \
    OFFNOMINAL_INLINE constexpr Quantity<D> operator""_##suffix(long double v) noexcept {        \
        return {(unit).to_si(static_cast<double>(v))};                                           \
    }                                                                                            \
    OFFNOMINAL_INLINE constexpr Quantity<D> operator""_##suffix(unsigned long long v) noexcept { \
        return {(unit).to_si(static_cast<double>(v))};                                           \
    }
OFFNOMINAL_LITERAL(degC, Dimension::temperature, units::degC)
OFFNOMINAL_LITERAL(degF, Dimension::temperature, units::degF)
OFFNOMINAL_LITERAL(delta_degC, Dimension::temperature_difference, units::delta_degC)
OFFNOMINAL_LITERAL(delta_degF, Dimension::temperature_difference, units::delta_degF)
OFFNOMINAL_LITERAL(W, Dimension::power, units::W)
OFFNOMINAL_LITERAL(kW, Dimension::power, units::kW)
OFFNOMINAL_LITERAL(Btu_h, Dimension::power, units::Btu_h)
OFFNOMINAL_LITERAL(MBh, Dimension::power, units::MBh)
OFFNOMINAL_LITERAL(ton, Dimension::power, units::ton)
OFFNOMINAL_LITERAL(m3_s, Dimension::airflow, units::m3_s)
OFFNOMINAL_LITERAL(L_s, Dimension::airflow, units::L_s)
OFFNOMINAL_LITERAL(cfm, Dimension::airflow, units::cfm)
OFFNOMINAL_LITERAL(kg_s, Dimension::mass_flow, units::kg_s)
OFFNOMINAL_LITERAL(lb_h, Dimension::mass_flow, units::lb_h)
OFFNOMINAL_LITERAL(Pa, Dimension::pressure, units::Pa)
OFFNOMINAL_LITERAL(kPa, Dimension::pressure, units::kPa)
OFFNOMINAL_LITERAL(psia, Dimension::pressure, units::psia)
OFFNOMINAL_LITERAL(inHg, Dimension::pressure, units::inHg)
OFFNOMINAL_LITERAL(in_wc, Dimension::pressure, units::in_wc)
OFFNOMINAL_LITERAL(m, Dimension::length, units::m)
OFFNOMINAL_LITERAL(ft, Dimension::length, units::ft)
OFFNOMINAL_LITERAL(in, Dimension::length, units::in)
OFFNOMINAL_LITERAL(percent, Dimension::ratio, units::percent)
#undef OFFNOMINAL_LITERAL
}  // namespace literals

}  // namespace offnominal
OFFNOMINAL_EXACT_END
