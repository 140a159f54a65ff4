/// @file
/// What does not come back as it was: written texts are read again, and compared with what was to be written.
#pragma once

#include <string>

#include "offnominal/system.hpp"

namespace offnominal::files {

[[nodiscard]] bool same_basis(const Basis& a, const Basis& b);
[[nodiscard]] bool same_basis(const HeatingBasis& a, const HeatingBasis& b);

/// What of `a` is another in `b`, in a word; empty if nothing is. Numbers must be equal bit for bit.
/// @param was_typed  the last printed places too: those of numbers that were never printed are what their texts show
[[nodiscard]] std::string difference(const Stage& a, const Stage& b, bool was_typed);
[[nodiscard]] std::string difference(const HeatingStage& a, const HeatingStage& b, bool was_typed);
[[nodiscard]] std::string difference(const SystemParts& a, const SystemParts& b);

}  // namespace offnominal::files
