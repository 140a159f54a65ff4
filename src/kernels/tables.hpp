// The kernel tables that `choose.cpp` chooses from.
#pragma once

#include "offnominal/air/columns.hpp"
#include "offnominal/grid/data.hpp"

namespace offnominal::detail {
extern const KernelTable kernels_baseline;
extern const KernelTable kernels_avx2;
extern const KernelTable kernels_avx512;
extern const air::ColumnKernels columns_baseline;
extern const air::ColumnKernels columns_avx2;
extern const air::ColumnKernels columns_avx512;
}  // namespace offnominal::detail
