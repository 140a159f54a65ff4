/// @file
/// What a page of expanded ratings means: the metadata without which its numbers cannot be compared with anything.
#pragma once

#include <optional>

#include "offnominal/answer.hpp"
#include "offnominal/units.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// Whether the indoor fan's heat is in a printed capacity.
enum class CapacityBasis : std::uint8_t {
    unknown,
    gross,  ///< without fan heat
    net,    ///< fan heat subtracted in cooling
};
template <>
inline constexpr Word<CapacityBasis> words_of<CapacityBasis>[] = {
    {CapacityBasis::unknown, "unknown"}, {CapacityBasis::gross, "gross"}, {CapacityBasis::net, "net"}};

/// What a printed power includes.
enum class PowerBasis : std::uint8_t {
    unknown,
    compressor,
    outdoor_unit,  ///< compressor, outdoor fan, controls
    system,        ///< outdoor unit and indoor fan
};
template <>
inline constexpr Word<PowerBasis> words_of<PowerBasis>[] = {{PowerBasis::unknown, "unknown"},
                                                            {PowerBasis::compressor, "compressor"},
                                                            {PowerBasis::outdoor_unit, "outdoor unit"},
                                                            {PowerBasis::system, "system"}};

/// Which pound of air makes standard air: 0.075 lb per cubic foot of dry air, or of moist air (1 to 1.3 % apart).
enum class Pound : std::uint8_t { unknown, dry, moist };
template <>
inline constexpr Word<Pound> words_of<Pound>[] = {
    {Pound::unknown, "unknown"}, {Pound::dry, "dry"}, {Pound::moist, "moist"}};

/// What a printed airflow means.
enum class AirflowBasis : std::uint8_t { unknown, standard };
template <>
inline constexpr Word<AirflowBasis> words_of<AirflowBasis>[] = {{AirflowBasis::unknown, "unknown"},
                                                                {AirflowBasis::standard, "standard"}};

/// Where the indoor fan stands.
enum class FanPosition : std::uint8_t {
    unknown,
    draw_through,  ///< after the coil: the coil sees return air
    blow_through,  ///< before the coil: the coil sees return air warmed by the fan
};
template <>
inline constexpr Word<FanPosition> words_of<FanPosition>[] = {{FanPosition::unknown, "unknown"},
                                                              {FanPosition::draw_through, "draw-through"},
                                                              {FanPosition::blow_through, "blow-through"}};

/// The boundary a capacity is taken at.
enum class Boundary : std::uint8_t {
    not_given,
    coil,          ///< gross: air entering and leaving the coil
    coil_and_fan,  ///< net: the indoor fan's heat inside
};
template <>
inline constexpr Word<Boundary> words_of<Boundary>[] = {
    {Boundary::not_given, ""}, {Boundary::coil, "coil"}, {Boundary::coil_and_fan, "coil+fan"}};

namespace detail {
inline namespace OFFNOMINAL_ISA {
[[nodiscard]] constexpr double fan_heat(double power, double per_airflow, double airflow) noexcept {
    return power + per_airflow * airflow;
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// The fan assumed in a net table: a fixed power, a power per airflow, or both.
struct TableFan {
    Power power{0.0};
    FanRatio per_airflow{0.0};

    [[nodiscard]] OFFNOMINAL_INLINE constexpr double heat(double airflow) const noexcept {
        return detail::fan_heat(power.si, per_airflow.si, airflow);
    }
};

/// What a sensible column printed as a ratio is a ratio of.
enum class SensibleRatioOf : std::uint8_t {
    not_a_ratio,
    total,           ///< of the total beside it: the sensible heat ratio S/T
    rated_total,     ///< of the total at the rated point
    rated_sensible,  ///< of the sensible at the rated point
};
template <>
inline constexpr Word<SensibleRatioOf> words_of<SensibleRatioOf>[] = {
    {SensibleRatioOf::not_a_ratio, ""},
    {SensibleRatioOf::total, "total"},
    {SensibleRatioOf::rated_total, "rated total"},
    {SensibleRatioOf::rated_sensible, "rated sensible"}};

/// The rated point that a ratio page is relative to; 0 where not given.
struct RatedPoint {
    Power total{0.0};
    Power sensible{0.0};
    Power power{0.0};
};

/// A certified net rating that a page can be held against: at 95 degF outdoors, 80 / 67 degF entering (10 CFR 430,
/// subpart B, appendix M1, test A).
struct CertifiedRating {
    Power net_total{0.0};
    Airflow airflow{0.0};  ///< standard
    Power fan_power{0.0};  ///< of the indoor fan in the rating
};

/// The metadata of a page. What the maker does not say stays `unknown` or empty, and answers carry the consequence.
struct Basis {
    CapacityBasis capacity = CapacityBasis::unknown;
    AirflowBasis airflow = AirflowBasis::unknown;
    Pound standard_pound = Pound::unknown;
    PowerBasis power = PowerBasis::unknown;
    TableFan fan;                                 ///< of a net table
    std::optional<Temperature> sensible_at;       ///< entering dry bulb of the sensible column
    std::optional<SensibleSlope> sensible_slope;  ///< printed constant of the entering-dry-bulb correction
    std::optional<Length> elevation;              ///< elevation the page is printed for
    std::optional<double> tolerance;  ///< maker's tolerance on total capacity, coverage factor 2, as a fraction
    SensibleRatioOf sensible_ratio_of = SensibleRatioOf::not_a_ratio;  ///< how the sensible column was printed
    RatedPoint rated;                                                  ///< of a ratio page
    std::optional<CertifiedRating> certified;                          ///< for the audit
};

/// What follows from what the metadata of a cooling or heating page leaves unsaid.
/// @param has_power  whether the page prints power
/// @param one_elevation  false for a page that is itself entered with station pressure
template <class AnyBasis>
[[nodiscard]] constexpr Notes basis_notes(const AnyBasis& basis, bool has_power, bool one_elevation = true) noexcept {
    Notes out;
    if (!basis.elevation && one_elevation) out.add(Note::elevation_unknown);
    if (basis.capacity == CapacityBasis::unknown) out.add(Note::capacity_basis_unknown);
    if (basis.airflow == AirflowBasis::unknown) out.add(Note::airflow_basis_unknown);
    if (basis.standard_pound == Pound::unknown) out.add(Note::pound_unknown);
    if (basis.power == PowerBasis::unknown && has_power) out.add(Note::power_basis_unknown);
    if (!basis.tolerance) out.add(Note::tolerance_unknown);
    return out;
}

}  // namespace offnominal
OFFNOMINAL_EXACT_END
