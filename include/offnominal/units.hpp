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

/// A number in SI together with what it measures. Trivially copied, the size of a `double`. Made by a literal
/// (`91_degF`), by `from(91.0, units::degF)`, or, where the number is known to be in SI, by name: `Temperature{32.8}`.
template <Dimension D>
struct Quantity {
    static constexpr Dimension dimension = D;
    double si = 0.0;

    constexpr Quantity() noexcept = default;
    OFFNOMINAL_INLINE constexpr explicit Quantity(double value) noexcept : si(value) {}

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
    return Quantity<D>{a.si + b.si};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator-(Quantity<D> a, Quantity<D> b) noexcept
    requires(D != Dimension::temperature) {
    return Quantity<D>{a.si - b.si};
}
/// Not for temperatures: -40_degF would turn 40 degF round 0 degC. Write `from(-40.0, units::degF)`.
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator-(Quantity<D> a) noexcept requires(D != Dimension::temperature) {
    return Quantity<D>{-a.si};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr Quantity<D> operator*(Quantity<D> a, double factor) noexcept
    requires(D != Dimension::temperature) {
    return Quantity<D>{a.si * factor};
}
template <Dimension D>
OFFNOMINAL_INLINE constexpr double operator/(Quantity<D> a, Quantity<D> b) noexcept
    requires(D != Dimension::temperature) {
    return a.si / b.si;
}
OFFNOMINAL_INLINE constexpr Temperature operator+(Temperature t, TemperatureDifference d) noexcept {
    return Temperature{t.si + d.si};
}
OFFNOMINAL_INLINE constexpr Temperature operator-(Temperature t, TemperatureDifference d) noexcept {
    return Temperature{t.si - d.si};
}
OFFNOMINAL_INLINE constexpr TemperatureDifference operator-(Temperature a, Temperature b) noexcept {
    return TemperatureDifference{a.si - b.si};
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
/// and `over` is always 1, so each direction rounds once (and once more for the offset). What chooses a unit at run
/// time (a column, a file, Python) holds a `Unit`; the units of the table are `UnitOf` their dimension.
struct Unit {
    std::string_view name;
    Dimension dimension = Dimension::ratio;
    double times = 1.0;
    double over = 1.0;
    double offset = 0.0;
    bool standard_air = false;  ///< the unit itself says "standard air" (scfm, W per 1000 scfm)

    [[nodiscard]] OFFNOMINAL_INLINE constexpr double to_si(double value) const noexcept {
        return detail::to_si(value, times, over, offset);
    }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr double from_si(double si) const noexcept {
        return detail::from_si(si, times, over, offset);
    }
};

/// A unit that carries its dimension in its type.
template <Dimension D>
struct UnitOf : Unit {
    constexpr UnitOf(std::string_view spelling, double factor = 1.0, double divisor = 1.0, double zero = 0.0) noexcept
        : Unit{spelling, D, factor, divisor, zero} {}
};

/// Standard airflow as scfm says it: a mass flow in disguise, which no actual airflow can be made of.
struct StandardAirflow {
    double si = 0.0;  ///< m3/s of 0.075 lb/ft3

    constexpr StandardAirflow() noexcept = default;
    OFFNOMINAL_INLINE constexpr explicit StandardAirflow(double value) noexcept : si(value) {}
    OFFNOMINAL_INLINE constexpr explicit StandardAirflow(Airflow told) noexcept : si(told.si) {}
    friend constexpr auto operator<=>(StandardAirflow, StandardAirflow) = default;
};
/// A unit of airflow that says "standard air" itself.
struct StandardAirflowUnit : Unit {
    constexpr StandardAirflowUnit(std::string_view spelling, double factor) noexcept
        : Unit{spelling, Dimension::airflow, factor, 1.0, 0.0, true} {}
};

namespace detail {
inline constexpr double foot = 0.3048;
inline constexpr double cubic_foot = foot * foot * foot;
inline constexpr double pound = 0.45359237;
inline constexpr double btu = 1055.05585262;
}  // namespace detail

/// The table of units: a closed list, one spelling each.
namespace units {
inline constexpr UnitOf<Dimension::ratio> one{"1"};
inline constexpr UnitOf<Dimension::ratio> percent{"%", 1.0, 100.0};

inline constexpr UnitOf<Dimension::temperature> degC{"degC"};
inline constexpr UnitOf<Dimension::temperature> degF{"degF", 1.0, 1.8, 32.0};
inline constexpr UnitOf<Dimension::temperature> kelvin{"K", 1.0, 1.0, 273.15};
inline constexpr UnitOf<Dimension::temperature_difference> delta_degC{"delta_degC"};
inline constexpr UnitOf<Dimension::temperature_difference> delta_degF{"delta_degF", 1.0, 1.8};

inline constexpr UnitOf<Dimension::power> W{"W"};
inline constexpr UnitOf<Dimension::power> kW{"kW", 1000.0};
inline constexpr UnitOf<Dimension::power> Btu_h{"Btu/h", detail::btu / 3600.0};
inline constexpr UnitOf<Dimension::power> MBh{"MBh", detail::btu / 3.6};  ///< thousand Btu/h
inline constexpr UnitOf<Dimension::power> ton{"ton", detail::btu / 0.3};  ///< 12,000 Btu/h

inline constexpr UnitOf<Dimension::airflow> m3_s{"m3/s"};
inline constexpr UnitOf<Dimension::airflow> m3_h{"m3/h", 1.0, 3600.0};
inline constexpr UnitOf<Dimension::airflow> L_s{"L/s", 1.0, 1000.0};
inline constexpr UnitOf<Dimension::airflow> cfm{"cfm", detail::cubic_foot / 60.0};
inline constexpr StandardAirflowUnit scfm{"scfm", detail::cubic_foot / 60.0};

inline constexpr UnitOf<Dimension::mass_flow> kg_s{"kg/s"};
inline constexpr UnitOf<Dimension::mass_flow> lb_h{"lb/h", detail::pound / 3600.0};

inline constexpr UnitOf<Dimension::pressure> Pa{"Pa"};
inline constexpr UnitOf<Dimension::pressure> kPa{"kPa", 1000.0};
inline constexpr UnitOf<Dimension::pressure> hPa{"hPa", 100.0};
inline constexpr UnitOf<Dimension::pressure> psia{"psia", 6894.757293168361};
inline constexpr UnitOf<Dimension::pressure> inHg{"inHg", 3386.389};
inline constexpr UnitOf<Dimension::pressure> in_wc{"in_wc", 249.08891};

inline constexpr UnitOf<Dimension::length> m{"m"};
inline constexpr UnitOf<Dimension::length> mm{"mm", 1.0, 1000.0};
inline constexpr UnitOf<Dimension::length> ft{"ft", detail::foot};
inline constexpr UnitOf<Dimension::length> in{"in", 0.0254};

inline constexpr UnitOf<Dimension::humidity_ratio> kg_kg{"kg/kg"};
inline constexpr UnitOf<Dimension::humidity_ratio> lb_lb{"lb/lb"};
inline constexpr UnitOf<Dimension::humidity_ratio> g_kg{"g/kg", 1.0, 1000.0};
inline constexpr UnitOf<Dimension::humidity_ratio> gr_lb{"gr/lb", 1.0, 7000.0};  ///< grains per pound

inline constexpr UnitOf<Dimension::specific_enthalpy> J_kg{"J/kg"};
inline constexpr UnitOf<Dimension::specific_enthalpy> kJ_kg{"kJ/kg", 1000.0};
inline constexpr UnitOf<Dimension::specific_enthalpy> Btu_lb{"Btu/lb", 2326.0};
/// Enthalpy of moist air as IP tables and charts count it: from dry air at 0 degF, where SI counts from 0 degC (heat
/// capacity 1006 J/kg/K). Not in `all`: between two states the difference is in Btu_lb, and a file says which it means
/// by its key.
inline constexpr UnitOf<Dimension::specific_enthalpy> Btu_lb_of_air{"Btu/lb", 2326.0, 1.0,
                                                                    1006.0 * (32.0 / 1.8) / 2326.0};

inline constexpr UnitOf<Dimension::specific_volume> m3_kg{"m3/kg"};
inline constexpr UnitOf<Dimension::specific_volume> ft3_lb{"ft3/lb", detail::cubic_foot / detail::pound};

inline constexpr UnitOf<Dimension::sensible_slope> W_m3s_K{"W/(m3/s)/K"};
inline constexpr UnitOf<Dimension::sensible_slope> W_Ls_K{"W/(L/s)/K", 1000.0};
inline constexpr UnitOf<Dimension::sensible_slope> Btu_h_cfm_degF{
    "Btu/h/cfm/delta_degF", detail::btu / 3600.0 / (detail::cubic_foot / 60.0) * 1.8};

inline constexpr UnitOf<Dimension::fan_ratio> W_m3s{"W/(m3/s)"};
inline constexpr UnitOf<Dimension::fan_ratio> W_cfm{"W/cfm", 1.0, detail::cubic_foot / 60.0};
inline constexpr UnitOf<Dimension::fan_ratio> W_1000scfm = [] {
    UnitOf<Dimension::fan_ratio> unit{"W per 1000 scfm", 1.0, detail::cubic_foot / 0.06};
    unit.standard_air = true;
    return unit;
}();

inline constexpr UnitOf<Dimension::duration> s{"s"};
inline constexpr UnitOf<Dimension::duration> minute{"min", 60.0};
inline constexpr UnitOf<Dimension::duration> hour{"h", 3600.0};

inline constexpr UnitOf<Dimension::gauge_pressure> psig{"psig", 6894.757293168361};
inline constexpr UnitOf<Dimension::gauge_pressure> kPag{"kPag", 1000.0};
inline constexpr UnitOf<Dimension::current> A{"A"};
inline constexpr UnitOf<Dimension::frequency> Hz{"Hz"};
inline constexpr UnitOf<Dimension::frequency> rpm{"rpm", 1.0, 60.0};
inline constexpr UnitOf<Dimension::efficiency> W_W{"W/W"};
inline constexpr UnitOf<Dimension::efficiency> Btu_Wh{"Btu/Wh", detail::btu / 3600.0};

// clang-format off
inline constexpr Unit all[] = {
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

/// A unit as files and messages spell it: a difference of temperatures is in plain degrees, as people say it.
[[nodiscard]] constexpr Unit in_plain_degrees(Unit unit) noexcept {
    constexpr std::string_view plain[] = {"degC", "degF", "Btu/h/cfm/degF"};
    constexpr Unit listed[] = {delta_degC, delta_degF, Btu_h_cfm_degF};
    for (int i = 0; i < 3; ++i)
        if (unit.name == listed[i].name) unit.name = plain[i];
    return unit;
}
}  // namespace units

/// A quantity from a number and a unit, which says what it measures: `from(33.9, units::MBh)` is a Power.
template <Dimension D>
[[nodiscard]] OFFNOMINAL_INLINE constexpr Quantity<D> from(double value, const UnitOf<D>& unit) noexcept {
    return Quantity<D>{unit.to_si(value)};
}
[[nodiscard]] OFFNOMINAL_INLINE constexpr StandardAirflow from(double value, const StandardAirflowUnit& unit) noexcept {
    return StandardAirflow{unit.to_si(value)};
}

/// The number of a quantity in a unit of the same dimension: `in(power, units::MBh)`.
template <Dimension D>
[[nodiscard]] OFFNOMINAL_INLINE constexpr double in(Quantity<D> quantity, const UnitOf<D>& unit) noexcept {
    return unit.from_si(quantity.si);
}
[[nodiscard]] OFFNOMINAL_INLINE constexpr double in(StandardAirflow flow, const StandardAirflowUnit& unit) noexcept {
    return unit.from_si(flow.si);
}
[[nodiscard]] OFFNOMINAL_INLINE constexpr double in(StandardAirflow flow,
                                                    const UnitOf<Dimension::airflow>& unit) noexcept {
    return unit.from_si(flow.si);  // L/s or cfm of standard air
}

/// Literals: `95_degF`, `1100_cfm`, `33.9_MBh`, `4690_ft`.
namespace literals {
// constexpr, not consteval: clang 14 leaves calls to consteval operators behind that nothing defines.
#define OFFNOMINAL_LITERAL(unit)                                                        \
    OFFNOMINAL_INLINE constexpr auto operator""_##unit(long double v) noexcept {        \
        return from(static_cast<double>(v), units::unit);                               \
    }                                                                                   \
    OFFNOMINAL_INLINE constexpr auto operator""_##unit(unsigned long long v) noexcept { \
        return from(static_cast<double>(v), units::unit);                               \
    }
OFFNOMINAL_LITERAL(degC)
OFFNOMINAL_LITERAL(degF)
OFFNOMINAL_LITERAL(delta_degC)
OFFNOMINAL_LITERAL(delta_degF)
OFFNOMINAL_LITERAL(W)
OFFNOMINAL_LITERAL(kW)
OFFNOMINAL_LITERAL(Btu_h)
OFFNOMINAL_LITERAL(MBh)
OFFNOMINAL_LITERAL(ton)
OFFNOMINAL_LITERAL(m3_s)
OFFNOMINAL_LITERAL(m3_h)
OFFNOMINAL_LITERAL(L_s)
OFFNOMINAL_LITERAL(cfm)
OFFNOMINAL_LITERAL(scfm)
OFFNOMINAL_LITERAL(kg_s)
OFFNOMINAL_LITERAL(lb_h)
OFFNOMINAL_LITERAL(Pa)
OFFNOMINAL_LITERAL(kPa)
OFFNOMINAL_LITERAL(hPa)
OFFNOMINAL_LITERAL(psia)
OFFNOMINAL_LITERAL(inHg)
OFFNOMINAL_LITERAL(in_wc)
OFFNOMINAL_LITERAL(m)
OFFNOMINAL_LITERAL(mm)
OFFNOMINAL_LITERAL(ft)
OFFNOMINAL_LITERAL(in)
OFFNOMINAL_LITERAL(percent)
OFFNOMINAL_LITERAL(Hz)
OFFNOMINAL_LITERAL(rpm)
#undef OFFNOMINAL_LITERAL
}  // namespace literals

}  // namespace offnominal
OFFNOMINAL_EXACT_END
