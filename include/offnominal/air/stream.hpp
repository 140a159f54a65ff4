/// @file
/// A stream of moist air: an airflow and what it means, how much dry air flows, and what heat does to it. Shared by
/// `expect` and `deliver`.
#pragma once

#include "offnominal/air/flow.hpp"
#include "offnominal/air/state.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// An airflow together with what it means. There is no default airflow and no default meaning.
struct AirflowReading {
    enum class Kind : std::uint8_t { not_given, standard, actual, dry_mass };

    /// Standard airflow: 0.075 lb of dry air per cubic foot, told in scfm or, as the trade does, in cfm.
    [[nodiscard]] OFFNOMINAL_INLINE static constexpr AirflowReading standard(Airflow flow) noexcept {
        return {Kind::standard, flow.si, {}};
    }
    [[nodiscard]] OFFNOMINAL_INLINE static constexpr AirflowReading standard(StandardAirflow flow) noexcept {
        return {Kind::standard, flow.si, {}};
    }
    /// Actual volume flow at the density of one place; scfm is none.
    [[nodiscard]] OFFNOMINAL_INLINE static constexpr AirflowReading actual(Airflow flow, air::Place place) noexcept {
        return {Kind::actual, flow.si, place};
    }
    /// Mass flow of dry air.
    [[nodiscard]] OFFNOMINAL_INLINE static constexpr AirflowReading dry_mass(MassFlow flow) noexcept {
        return {Kind::dry_mass, flow.si, {}};
    }

    Kind kind = Kind::not_given;
    double si = 0.0;  ///< m3/s, or kg/s for dry_mass
    air::Place place = air::Place::return_air;
};
template <>
inline constexpr Word<AirflowReading::Kind> words_of<AirflowReading::Kind>[] = {
    {AirflowReading::Kind::not_given, ""},
    {AirflowReading::Kind::standard, "standard"},
    {AirflowReading::Kind::actual, "actual"},
    {AirflowReading::Kind::dry_mass, "dry_mass"}};

namespace detail {
/// Nothing, or which choice of an airflow is no enumerator.
[[nodiscard]] constexpr Reason unknown_choice(const AirflowReading& airflow) noexcept {
    if (!known(airflow.kind)) return no_choice(About::airflow, airflow.kind);
    if (!known(airflow.place)) return no_choice(About::airflow, airflow.place);
    return {};
}
}  // namespace detail

/// Air leaving the boundary.
struct LeavingAir {
    Temperature dry_bulb;
    Temperature wet_bulb;
    HumidityRatio humidity_ratio;
    double relative_humidity = 0.0;  ///< fraction
    TemperatureDifference split;     ///< entering less leaving dry bulb
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Nothing, or why `value` is no power that can be.
[[nodiscard]] inline Reason check_power(About about, double value) noexcept {
    if (real::is_nan(value)) return {Why::not_given, about, -1, -1, 0, 0, 0};
    if (value >= 0.0 && real::is_finite(value)) return {};
    return {Why::outside, about, -1, -1, value, 0.0, real::infinity};
}

/// Past any duct, m3/s or kg/s: whatever is computed of an airflow below it is finite.
inline constexpr double greatest_airflow = 1e6;

/// Mass flow of dry air (kg/s). An actual airflow counts at the density of `there`, the air where it was read.
[[nodiscard]] inline Answer<double> dry_mass_flow(const AirflowReading& flow, const air::State& there) noexcept {
    if (flow.kind == AirflowReading::Kind::not_given || real::is_nan(flow.si))
        return Reason{Why::not_given, About::airflow, -1, -1, 0, 0, 0};
    if (!real::is_finite(flow.si)) return Reason{Why::not_finite, About::airflow, -1, -1, 0, 0, 0};
    if (!(flow.si > 0.0)) return Reason{Why::no_flow, About::airflow, -1, -1, flow.si, 0, 0};
    if (flow.si > greatest_airflow)  // no duct carries it
        return Reason{Why::outside, About::airflow, -1, -1, flow.si, 0.0, greatest_airflow};
    switch (flow.kind) {
        case AirflowReading::Kind::dry_mass:
            return flow.si;
        case AirflowReading::Kind::standard:
            return air::si::dry_mass_from_standard(flow.si);
        default:
            return flow.si / air::si::volume(there.dry_bulb.si, there.humidity_ratio.si, there.pressure.si);
    }
}

/// `state` with heat (W, may be negative) added at constant humidity ratio.
[[nodiscard]] inline air::State warmed(const air::State& state, double heat, double mass_flow) noexcept {
    air::State out = state;
    out.dry_bulb.si += heat / (mass_flow * air::si::moist_heat_capacity(state.humidity_ratio.si));
    return out;
}

/// Dry bulb and humidity ratio of the air that leaves when `total` and `sensible` (W) are taken from `mass_flow` (kg/s
/// dry air) of entering air, by the same split that closes with the enthalpy difference. Not yet checked: `can_leave`
/// does.
[[nodiscard]] inline air::State leaving_state(const air::State& entering, double mass_flow, double total,
                                              double sensible) noexcept {
    const double t1 = entering.dry_bulb.si;
    const double w2 = entering.humidity_ratio.si - (total - sensible) / (mass_flow * air::si::vapour_enthalpy(t1));
    const double t2 = t1 - sensible / (mass_flow * air::si::moist_heat_capacity(w2));
    return {Temperature{t2}, HumidityRatio{w2}, entering.pressure};
}

/// Whether leaving air lies in the domain; that it is below saturation is left to ask.
[[nodiscard]] inline bool leaves_in_domain(const air::State& leaving) noexcept {
    const double t = leaving.dry_bulb.si;
    return leaving.humidity_ratio.si >= 0.0 && t >= air::least_dry_bulb && t <= air::greatest_dry_bulb;
}

/// Whether such air can be: nothing, or Why::supersaturated.
[[nodiscard]] inline Reason can_leave(const air::State& leaving) noexcept {
    const double t = leaving.dry_bulb.si;
    if (leaves_in_domain(leaving) &&
        leaving.humidity_ratio.si <= air::si::saturation_humidity_ratio(t, leaving.pressure.si))
        return {};
    return {Why::supersaturated, About::leaving_air, -1, -1, t, 0, 0};
}

/// What is told of leaving air.
[[nodiscard]] inline LeavingAir leaving_air(const air::State& entering, const air::State& leaving) noexcept {
    return {leaving.dry_bulb, air::wet_bulb(leaving), leaving.humidity_ratio, air::relative_humidity(leaving).si,
            entering.dry_bulb - leaving.dry_bulb};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

}  // namespace offnominal
OFFNOMINAL_EXACT_END
