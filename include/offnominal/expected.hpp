/// @file
/// The answer of `expect`: what a machine should deliver, and everything that number stands on.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>

#include "offnominal/air/stream.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/ratings/heating.hpp"
#include "offnominal/ratings/shape.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {
[[nodiscard]] inline double root_of_squares(std::initializer_list<double> terms) noexcept {
    double sum = 0.0;
    for (const double term : terms) sum += term * term;
    return real::sqrt(sum);
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// What the expected total itself is uncertain by: standard uncertainties in W, taken as independent. Not in here: the
/// uncertainty of the conditions, which `prove` carries through both sides.
struct ExpectedUncertainty {
    double resolution = 0.0;     ///< last printed place
    double interpolation = 0.0;  ///< the page's curvature between nodes
    double outside = 0.0;        ///< held or extended: rectangular, over `Frame::width_outside`
    double inferred = 0.0;       ///< next to dry nodes, by their share: see `Frame::doubt_near_dry`; beside a page's
                                 ///< pairs; in heating half of the frost that was taken out of an integrated page
    double match = 0.0;          ///< a match factor used across the map: 2 % (common practice, no source)
    double line = 0.0;           ///< a modelled line set, an unknown lift, liquid that may not reach the valve
    double altitude = 0.0;       ///< no published altitude factor: what the correction in its place leaves open
    double airflow = 0.0;        ///< another airflow than the page's one: 3.5 % for each unit of it
    double multiplier = 0.0;     ///< a row of multipliers used across the page: 1 % each (common practice, no source)
    double tolerance = 0.0;      ///< the maker's, where the file states it

    [[nodiscard]] OFFNOMINAL_INLINE double combined() const noexcept {
        return detail::root_of_squares(
            {resolution, interpolation, outside, inferred, match, line, altitude, airflow, tolerance, multiplier});
    }
};

/// The parts of that uncertainty.
template <>
inline constexpr Told<ExpectedUncertainty> told_of<ExpectedUncertainty>[] = {
    {"resolution", Kind::capacity, Modes::both, "last printed place",
     [](const auto& u) noexcept { return u.resolution; }},
    {"interpolation", Kind::capacity, Modes::both, "the page's curvature between nodes",
     [](const auto& u) noexcept { return u.interpolation; }},
    {"outside", Kind::capacity, Modes::both, "held or extended past an edge",
     [](const auto& u) noexcept { return u.outside; }},
    {"inferred", Kind::capacity, Modes::both,
     "next to dry nodes; in heating by the frost taken out of an integrated page",
     [](const auto& u) noexcept { return u.inferred; }},
    {"match", Kind::capacity, Modes::both, "a match factor used across the map",
     [](const auto& u) noexcept { return u.match; }},
    {"line", Kind::capacity, Modes::both, "a modelled line set, an unknown lift, liquid that may not reach the valve",
     [](const auto& u) noexcept { return u.line; }},
    {"altitude", Kind::capacity, Modes::both, "no published altitude factor",
     [](const auto& u) noexcept { return u.altitude; }},
    {"airflow", Kind::capacity, Modes::both, "another airflow than the one the page is printed at",
     [](const auto& u) noexcept { return u.airflow; }},
    {"tolerance", Kind::capacity, Modes::both, "the maker's tolerance",
     [](const auto& u) noexcept { return u.tolerance; }},
    {"multiplier", Kind::capacity, Modes::both, "a row of multipliers used across the page",
     [](const auto& u) noexcept { return u.multiplier; }},
};

/// What a machine should deliver, but for the steps that led there. Capacities are at `boundary`, without any auxiliary
/// heat; latent is total less sensible.
struct ExpectedValues {
    Mode mode = Mode::cooling;
    Frost frost = Frost::unknown;  ///< heating: of the capacity, as asked, or unknown where the page does not say
    Boundary boundary = Boundary::not_given;
    PowerBasis power_basis = PowerBasis::unknown;
    bool defrost_table = false;  ///< heating: integrated by the defrost table, from an instantaneous page
    Footing footing = Footing::inside;
    std::int16_t stage = -1;  ///< index of the page: into the match's own stages where it has them, else the system's;
                              ///< in heating into `SystemParts::heating`
    std::int16_t match = -1;  ///< index of the match, or -1
    Temperature outdoor_dry_bulb;
    Temperature entering_dry_bulb;  ///< at the boundary

    Power total_capacity;
    std::optional<Power> sensible_capacity;  ///< cooling; empty: see `no_sensible`
    std::optional<Power> latent_capacity;
    std::optional<Power> power;         ///< as the page prints it (`power_basis`); empty: see `no_power`
    std::optional<Power> system_power;  ///< with the indoor fan, where the page prints outdoor-unit power
    std::optional<double> cop;  ///< heating: capacity over power where both stand at one boundary; empty: see `no_cop`
    std::optional<LeavingAir> leaving;  ///< before any auxiliary heater; empty: see `no_leaving`

    Power gross_total;                   ///< at the coil
    std::optional<double> bypass;        ///< bypass factor of the matched coil, printed or found from wet numbers
    MassFlow mass_flow;                  ///< dry air
    StandardAirflow standard_airflow;    ///< by the page's own pound
    std::optional<Temperature> knee;     ///< on a dry coil: the wet bulb at which it would turn wet
    Power auxiliary_heat;                ///< heating: as given
    double defrost_time_fraction = 0.0;  ///< heating: by the defrost table

    ExpectedUncertainty uncertainty;
    Notes notes;
};

/// What a machine should deliver.
struct Expected : ExpectedValues {
    std::int16_t upper_stage = -1;  ///< between two speeds: the stage above `stage`
    double between = 0.0;           ///< how far towards it, 0 to 1
    Temperature coil_dry_bulb;      ///< air entering the coil
    Temperature coil_wet_bulb;
    PagePoint entered;  ///< where the page was entered, before any knee

    Ledger ledger;                                     ///< heating capacity stands as `Step::Of::total`
    Reason no_sensible, no_power, no_cop, no_leaving;  ///< why a part is missing
};

namespace detail {
inline constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
template <class T>
[[nodiscard]] OFFNOMINAL_INLINE constexpr double si_of(const std::optional<T>& quantity) noexcept {
    return quantity ? quantity->si : nothing;
}
[[nodiscard]] OFFNOMINAL_INLINE constexpr double si_of(const std::optional<double>& ratio) noexcept {
    return ratio ? *ratio : nothing;
}
/// A number of the leaving air.
template <auto Member>
[[nodiscard]] OFFNOMINAL_INLINE constexpr double leaving_of(const ExpectedValues& e) noexcept {
    if (!e.leaving) return nothing;
    if constexpr (requires { ((*e.leaving).*Member).si; })
        return ((*e.leaving).*Member).si;
    else
        return (*e.leaving).*Member;
}
}  // namespace detail

/// Every number that is told of an expected capacity. A batch has a column for each, in this order.
template <>
inline constexpr Told<ExpectedValues> told_of<ExpectedValues>[] = {
    {"total_capacity", Kind::capacity, Modes::both, "total capacity at the boundary; in heating all of it is sensible",
     [](const ExpectedValues& e) noexcept { return e.total_capacity.si; }},
    {"sensible_capacity", Kind::capacity, Modes::cooling, "sensible capacity at the boundary",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.sensible_capacity); }},
    {"latent_capacity", Kind::capacity, Modes::cooling, "total less sensible",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.latent_capacity); }},
    {"power", Kind::electric_power, Modes::both, "electric power as the page prints it (power_basis)",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.power); }},
    {"system_power", Kind::electric_power, Modes::both, "outdoor unit and indoor fan",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.system_power); }},
    {"cop", Kind::ratio, Modes::heating, "capacity over power, where both stand at one boundary",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.cop); }},
    {"leaving_dry_bulb", Kind::temperature, Modes::both, "dry bulb leaving the boundary",
     detail::leaving_of<&LeavingAir::dry_bulb>},
    {"leaving_wet_bulb", Kind::temperature, Modes::both, "wet bulb leaving the boundary",
     detail::leaving_of<&LeavingAir::wet_bulb>},
    {"leaving_relative_humidity", Kind::ratio, Modes::both, "fraction",
     detail::leaving_of<&LeavingAir::relative_humidity>},
    {"split", Kind::temperature_difference, Modes::cooling, "entering less leaving dry bulb",
     detail::leaving_of<&LeavingAir::split>},
    {"rise", Kind::temperature_difference, Modes::heating, "leaving less entering dry bulb",
     [](const ExpectedValues& e) noexcept { return -detail::leaving_of<&LeavingAir::split>(e); }},
    {"gross_total", Kind::capacity, Modes::both, "total capacity at the coil",
     [](const ExpectedValues& e) noexcept { return e.gross_total.si; }},
    {"uncertainty", Kind::capacity, Modes::both, "standard uncertainty of the total by page and factors alone",
     [](const ExpectedValues& e) noexcept { return e.uncertainty.combined(); }},
    {"standard_airflow", Kind::airflow, Modes::both, "by the page's own pound",
     [](const ExpectedValues& e) noexcept { return e.standard_airflow.si; }},
    {"mass_flow", Kind::mass_flow, Modes::both, "dry air",
     [](const ExpectedValues& e) noexcept { return e.mass_flow.si; }},
    {"bypass", Kind::ratio, Modes::cooling, "bypass factor of the matched coil",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.bypass); }},
    {"knee", Kind::temperature, Modes::cooling, "on a dry coil: the wet bulb at which it would turn wet",
     [](const ExpectedValues& e) noexcept { return detail::si_of(e.knee); }},
    {"defrost_time_fraction", Kind::ratio, Modes::heating, "share of the time spent defrosting, by the defrost table",
     [](const ExpectedValues& e) noexcept { return e.defrost_time_fraction; }},
    {"auxiliary_heat", Kind::electric_power, Modes::heating, "as given; never part of the capacity",
     [](const ExpectedValues& e) noexcept { return e.auxiliary_heat.si; }},
};

}  // namespace offnominal
OFFNOMINAL_EXACT_END
