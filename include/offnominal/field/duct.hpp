/// @file
/// The mean over a duct in which air of different states flows side by side.
#pragma once

#include <cstddef>
#include <vector>

#include "offnominal/detail/contract.hpp"

namespace offnominal {

/// A mean over the probes of a duct.
struct DuctMean {
    double value = 0.0;               ///< each probe by its share of the velocity, where velocities are given
    double spread = 0.0;              ///< greatest less least
    double standard = 0.0;            ///< of the mean: of the spread over the duct, the velocities and the instrument
    double degrees_of_freedom = 0.0;  ///< effective
    std::size_t probes = 0;
    bool few = false;  ///< fewer than the five that a stratified duct takes (common practice, no source)
};

/// The mean of what probes at different places of one cross-section read.
///
/// The places are taken as a sample of the cross-section: the standard uncertainty of the mean is
/// sqrt(n / (n - 1) sum of w_i^2 (x_i - mean)^2), which is s / sqrt(n) where all weigh the same (JCGM 100:2008, 4.2.3;
/// with weights Cochran 1977, Sampling Techniques, 6.4, from memory), with n - 1 degrees of freedom.
///
/// @param velocities  of the air at each probe, any unit; empty: all the same
/// @param velocity_uncertainty  standard uncertainty of each velocity beside the others, as a share of it
/// @param shared  standard uncertainty that all probes share: of one instrument carried round, or one calibration
/// @throws InputError for fewer than two probes, velocities that are not above 0, unlike numbers of both
[[nodiscard]] DuctMean duct_mean(const std::vector<double>& readings, const std::vector<double>& velocities = {},
                                 double velocity_uncertainty = 0.0, double shared = 0.0);

}  // namespace offnominal
