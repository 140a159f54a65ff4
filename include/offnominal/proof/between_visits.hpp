/// @file
/// Between visits: season to season at one machine, and what a revised page makes of decisions that were taken.
///
/// Which places of a page changed `collate` tells, of `offnominal::files`.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "offnominal/proof/change.hpp"
#include "offnominal/proof/many.hpp"

namespace offnominal {

/// A visit and its proof.
struct ProvedVisit {
    const Visit& visit;
    const Proof& proof;
};

/// One visit among those before it in its mode. What is off in both alike is left out of a change, as `change` has it.
struct Season {
    std::size_t visit = 0;              ///< which of those that were given
    std::optional<Change> since_last;   ///< since the one before that has a ratio; none where there is none to compare
    std::optional<Change> since_first;  ///< since the first that has one
};

/// Visits to one machine: cooling first, then heating, each by date. Cooling is compared with cooling alone.
///
/// @throws InputError for no visit, one without a date, or two that cannot be to one machine
[[nodiscard]] std::vector<Season> seasons(const System& system, std::span<const ProvedVisit> visits);

/// A visit whose outcome is another by a revised page.
struct Flip {
    std::size_t row = 0;
    std::int16_t before = no_word, after = no_word;  ///< `Outcome`; `no_word` where the visit has none
    double ratio_before = 0.0, ratio_after = 0.0;    ///< NaN where there is none
    /// What the page expects of that day, the revision over the first, about: a ratio falls as much as that rises.
    double expected = 0.0;
    Why reason_before = Why::none, reason_after = Why::none;  ///< why there is no ratio
};
/// In words what `Flip` and `ProofColumns` have as a number.
[[nodiscard]] inline std::string_view outcome_of_row(std::int16_t outcome) noexcept {
    return outcome == no_word ? "no answer" : name(static_cast<Outcome>(outcome));
}

struct Revised {
    std::size_t visits = 0;
    std::size_t moved = 0;  ///< whose ratio, probability, outcome or reason is another one: they read what changed
    std::vector<Flip> flips;
};

/// What a revision makes of visits that were proved by both pages.
///
/// @param before, after  with the columns ratio, probability, outcome and reason
/// @throws InputError where one of these is missing
[[nodiscard]] Revised revised(const ProofColumns& before, const ProofColumns& after, std::size_t rows);

/// The same of visits that are still to be proved.
///
/// @throws as `prove_many`
[[nodiscard]] Revised revised(const System& before, const System& after, const VisitBatch& batch, std::size_t rows,
                              std::size_t threads = 1);

}  // namespace offnominal
