/// @file
/// Many questions at once: columns in, columns out, in any units of the table, the same bits as one by one.
#pragma once

#include <algorithm>
#include <cstddef>

#include "offnominal/expect/block.hpp"
#include "offnominal/expect/columns.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// Answers rows `first` to `last` (not included) of a batch, with the bits of `try_expect`. Thread-safe: threads may
/// share a batch and take ranges of it.
///
/// @param air   loops over moist air; with the compiled library hand over its `air::fastest_columns()`
/// @param grid  kernels for the page; with the compiled library hand over its `fastest_kernels()`
inline void expect_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                        const ExpectColumns& out, const air::ColumnKernels& air = air::si::own_columns,
                        Kernels grid = {}) noexcept {
    detail::ExpectBlock block(system, batch, out, air, grid);
    for (; first < last; first += detail::ExpectBlock::size)
        block.work(first, std::min(detail::ExpectBlock::size, last - first));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
