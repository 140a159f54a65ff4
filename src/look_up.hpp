/// @file
/// The headers' look-up, compiled once, as the library itself asks it: it is some 250 KB of code to each source that
/// calls it. Programs ask `offnominal/look_up.hpp`.
#pragma once

#include <cstddef>

#include "offnominal/expect/batch.hpp"

namespace offnominal::detail {

/// `try_expect`, also of a question that may follow the page's edge cells.
[[nodiscard]] Answer<Expected> look_up(const System& system, const Site& site, const Question& question) noexcept;
/// `expect_rows`, with the machine's fastest kernels.
void look_up_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                  const ExpectColumns& out) noexcept;

}  // namespace offnominal::detail
