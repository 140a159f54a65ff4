// The kernel tables that `choose.cpp` chooses from.
#pragma once

#include "offnominal/grid/data.hpp"

namespace offnominal::detail {
extern const KernelTable kernels_baseline;
extern const KernelTable kernels_avx2;
extern const KernelTable kernels_avx512;
}  // namespace offnominal::detail
