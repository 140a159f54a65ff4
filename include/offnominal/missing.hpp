/// @file
/// What a question still lacks, all of it at once, for forms. Compiled: link `offnominal::core`.
#pragma once

#include <string>
#include <vector>

#include "offnominal/conditions.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// One thing that keeps a question from an answer, and what would be accepted.
struct Missing {
    Reason reason;  ///< `about` is the quantity, and `why` mostly `Why::not_given`; what was given and cannot be is
                    ///< here too
    /// Of a number, SI: what the system covers. Where a stage or a match is still open, over all that it may be.
    /// Without a bound infinite. Of an airflow it is the standard airflow, whatever the reading means.
    double lower = -real::infinity;
    double upper = real::infinity;
    std::vector<std::string> words;  ///< of a choice: each that would do
};

/// Everything that keeps `try_expect` from an answer, as far as it can be told before the rest is there; nothing where
/// it answers. What is missing is found by asking: each reason is noted, filled with something that would do, and the
/// question asked again, so that this and `try_expect` cannot disagree. What depends on a choice that is not made yet
/// is asked as if it were made plainly: without the fan (`Boundary::coil`), by the reference line, with the first of
/// matches and stages.
[[nodiscard]] std::vector<Missing> missing(const System& system, const Site& site, const Conditions& conditions);

}  // namespace offnominal
