/// @file
/// Pages of either kind as axes and columns, and one held against another.
#pragma once

#include <string_view>

#include "offnominal/collate.hpp"

namespace offnominal::files {

/// @param typed  what stands beside the pages of the system, as typed
[[nodiscard]] PageColumns columns_of(const Stage& stage, const std::string& match = {}, const TypedTexts& typed = {});
[[nodiscard]] PageColumns columns_of(const HeatingStage& stage, const TypedTexts& typed = {});

/// What a page says of itself.
/// @param match  whose page it is; empty: the system's own
[[nodiscard]] std::vector<Fact> facts_of(const Basis& basis, const TypedTexts& typed = {},
                                         const std::string& match = {});
[[nodiscard]] std::vector<Fact> facts_of(const HeatingBasis& basis, const TypedTexts& typed = {});

/// Adds what the facts of the second say differently.
/// @param page  what they are of; empty for a whole system
void collate_facts(const std::vector<Fact>& first, const std::vector<Fact>& second, const std::string& page,
                   Sameness sameness, std::vector<Difference>& out);
/// The same for a page and everything it says of itself.
void collate_pages(const PageColumns& first, const PageColumns& second, Sameness sameness, Collation& out);

/// The difference of two written forms in words, for the one who cannot write it: `high: basis: elevation`.
[[nodiscard]] std::string shown(const Difference& difference);

}  // namespace offnominal::files
