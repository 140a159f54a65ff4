/// @file
/// The mean of a series of readings with its uncertainty, degrees of freedom, and the factor to a coverage interval.
#pragma once

#include <cstddef>
#include <vector>

#include "offnominal/detail/contract.hpp"
#include "offnominal/detail/real.hpp"

namespace offnominal {

/// A part of a combined uncertainty: evaluated from repeated readings (type A) with their degrees of freedom, or from
/// what is known otherwise (type B), commonly with infinitely many (JCGM 100:2008, G.4.3).
struct UncertaintyPart {
    double standard = 0.0;  ///< coverage factor 1
    double degrees_of_freedom = real::infinity;
};

/// The mean of readings taken one after the other, evenly in time.
///
/// Such readings are not independent: air and probe have a memory, and a metering valve swings. They tell as much as
/// `effective_samples` independent ones would, n / (1 + 2 sum of (1 - k/n) r_k) with r_k the correlation of readings k
/// apart (Bayley and Hammersley 1946, J. R. Stat. Soc. Suppl. 8, 184). It is taken twice, and the smaller counts:
///  - the sum of the r_k up to the first that is not positive (Zieba and Ramza 2011, Metrol. Meas. Syst. 18, 529);
///  - r_1 alone, as of a process with one time constant, n (1 - r_1) / (1 + r_1), after its bias was taken out:
///    r_1 + (1 + 4 r_1) / n (Marriott and Pope 1954, Biometrika 41, 390).
/// The standard uncertainty of the mean is s sqrt((n - 1) / (n (n_eff - 1))), where s is the experimental standard
/// deviation, with n_eff - 1 degrees of freedom. All three from memory; `tests/logs/mean.cpp` measures what the
/// interval covers.
struct SeriesMean {
    double value = 0.0;
    double standard = 0.0;  ///< of the mean, type A
    double degrees_of_freedom = 0.0;
    double effective_samples = 0.0;  ///< 2 to `samples`
    double deviation = 0.0;          ///< experimental standard deviation of one reading
    std::size_t samples = 0;

    [[nodiscard]] UncertaintyPart part() const noexcept { return {standard, degrees_of_freedom}; }
};

/// The mean of a series. Readings that never move have a standard uncertainty of 0: what a display rounds away is part
/// of the instrument's own uncertainty.
/// @throws InputError for fewer than two readings, or one that is not finite, by its number
[[nodiscard]] SeriesMean mean_of(const std::vector<double>& readings);

/// Independent parts together: root sum of squares, with the effective degrees of freedom of Welch and Satterthwaite
/// (JCGM 100:2008, equation G.2b).
/// @throws InputError for a standard uncertainty below 0, or degrees of freedom not above 0, by its number
[[nodiscard]] UncertaintyPart combined(const std::vector<UncertaintyPart>& parts);

/// The factor by which a standard uncertainty covers `probability`: Student's t (JCGM 100:2008, G.3). Degrees of
/// freedom need not be whole.
/// @throws InputError where degrees of freedom are not above 0 or the probability is not between 0 and 1
[[nodiscard]] double coverage_factor(double degrees_of_freedom, double probability = 0.95);

}  // namespace offnominal
