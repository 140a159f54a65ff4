/// @file
/// What changed between two visits to one machine. What is off in both alike is off in neither's favour: an instrument
/// that reads high reads high twice, and the maker's tolerance is this machine's own.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <optional>
#include <string>

#include "offnominal/proof.hpp"

namespace offnominal {

/// By first order (JCGM 100:2008, 5.2): errors of one instrument in both visits go together as a visit says of its
/// instruments (`Uncertain::correlation`), those of two that were compared likewise; of the page only the maker's
/// tolerance cancels, since two days stand at two places of it.
struct Change {
    double ratio = 0.0;    ///< the later ratio of total over the earlier one
    double ratio_u = 0.0;  ///< its standard uncertainty
    double apart_u = 0.0;  ///< what that would be if the two visits shared nothing
    double less = 0.0;     ///< probability that the machine delivers less than it did
};

/// What tells two installations apart, in words: `"match"`, `"indoor A"`, `"indoor B"`.
struct UnlikeInstallations {
    std::string what, first, second;
};
/// Whether two visits cannot be to one machine as it is installed: two matches, two line sets (lengths within a tenth,
/// suction lines within 1 mm and lifts within 1 m are one), two sites (elevations within 30 m, else station pressures
/// within 5 %, as the weather moves them). What only one of them says tells nothing; nor do names, which are free.
[[nodiscard]] std::optional<UnlikeInstallations> unlike_installations(const Visit& first, const Visit& second);
/// @throws InputError where `unlike_installations` finds something
void check_one_machine(const Visit& earlier, const Visit& later);

/// @return the reason of the one that has no ratio
/// @throws InputError where the visits are of unlike modes, or cannot be to one machine
[[nodiscard]] Answer<Change> change(const System& system, const Visit& earlier, const Proof& before, const Visit& later,
                                    const Proof& after);

}  // namespace offnominal
