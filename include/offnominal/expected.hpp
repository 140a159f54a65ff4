/// @file
/// The answer of `expect`: what a machine should deliver, and everything that number stands on.
#pragma once

#include <cmath>
#include <cstdint>
#include <initializer_list>
#include <optional>

#include "offnominal/air/stream.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/detail/contract.hpp"
#include "offnominal/ratings/shape.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {
[[nodiscard]] inline double root_of_squares(std::initializer_list<double> terms) noexcept {
    double sum = 0.0;
    for (const double term : terms) sum += term * term;
    return std::sqrt(sum);
}
}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END

namespace offnominal {

/// What the expected total itself is uncertain by: standard uncertainties in W, taken as independent. Not in here: the
/// uncertainty of the conditions, which `prove` carries through both sides.
struct ExpectedUncertainty {
    double resolution = 0.0;     ///< last printed place
    double interpolation = 0.0;  ///< the page's curvature between nodes
    double outside = 0.0;        ///< held or extended: rectangular over the distance between the two answers
    double inferred = 0.0;       ///< next to dry nodes: 0.6 %, from up to 1 % seen against the demo's generating model
    double match = 0.0;          ///< a match factor used across the map: 2 % (common practice, no source)
    double altitude = 0.0;       ///< no published altitude factor (common practice, no source)
    double tolerance = 0.0;      ///< the maker's, where the file states it

    [[nodiscard]] OFFNOMINAL_INLINE double combined() const noexcept {
        return detail::root_of_squares({resolution, interpolation, outside, inferred, match, altitude, tolerance});
    }
};

/// What a machine should deliver. Capacities are at `boundary`; latent is total less sensible.
struct Expected {
    std::int16_t stage = -1;  ///< index of the page: into the match's own stages where it has them, else the system's
    std::int16_t match = -1;  ///< index of the match, or -1
    std::int16_t upper_stage = -1;  ///< between two speeds: the stage above `stage`
    double between = 0.0;           ///< how far towards it, 0 to 1
    Temperature outdoor_dry_bulb;
    Boundary boundary = Boundary::not_given;
    PowerBasis power_basis = PowerBasis::unknown;

    Power total_capacity;
    std::optional<Power> sensible_capacity;  ///< empty: see `no_sensible`
    std::optional<Power> latent_capacity;
    std::optional<Power> power;         ///< as the page prints it (`power_basis`); empty: see `no_power`
    std::optional<Power> system_power;  ///< with the indoor fan, where the page prints outdoor-unit power
    std::optional<LeavingAir> leaving;  ///< empty: see `no_leaving`

    Power gross_total;          ///< at the coil
    double bypass = 0.0;        ///< bypass factor of the matched coil; 0 if the page prints none
    MassFlow mass_flow;         ///< dry air
    Airflow standard_airflow;   ///< by the page's own pound: where the page was entered
    Temperature coil_dry_bulb;  ///< air entering the coil
    Temperature coil_wet_bulb;
    PagePoint entered;                ///< where the page was entered, before any knee
    std::optional<Temperature> knee;  ///< on a dry coil: the wet bulb at which it would turn wet

    ExpectedUncertainty uncertainty;
    Footing footing = Footing::inside;
    Notes notes;
    Ledger ledger;

    Reason no_sensible, no_power, no_leaving;  ///< why a part is missing
};

}  // namespace offnominal
