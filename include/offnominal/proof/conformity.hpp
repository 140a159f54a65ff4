/// @file
/// Conformity with a limit, and the risks of deciding it (JCGM 106:2012).
///
/// Compiled: link `offnominal::core`.
#pragma once

#include "offnominal/detail/real.hpp"
#include "offnominal/field/visit.hpp"

namespace offnominal {

/// A true ratio of delivered to expected above this is taken for a measuring error, and so it is no limit either.
inline constexpr double implausible_ratio = 1.10;

/// Probability that a normal variable of mean `mean` and standard deviation `sigma` is at least `limit` (JCGM 106:2012,
/// clause 7); 0 or 1 where sigma is 0.
[[nodiscard]] double probability_at_least(double limit, double mean, double sigma);

/// From one value to another, both included.
struct Interval {
    double low = -real::infinity, high = real::infinity;
};

/// Of all that is measured, before anything is read (JCGM 106:2012, 9.5): the share that does not conform and is
/// accepted, and the share that conforms and is rejected.
struct GlobalRisks {
    double consumer = 0.0, producer = 0.0;
};

/// @param tolerance  what conforms
/// @param accepted   readings that are accepted; the first argument's own interval is simple acceptance
/// @param rejected   readings between its ends are not rejected: wider than `accepted` where some are left undecided
/// @param measuring  standard uncertainty of a reading, normal
/// @throws InputError for standard deviations that are not above 0
[[nodiscard]] GlobalRisks global_risks(const Interval& tolerance, const Interval& accepted, const Interval& rejected,
                                       const Population& population, double measuring);

}  // namespace offnominal
