// What each identity_*.cpp offers.
#pragma once

#include <array>
#include <cstddef>

#include "offnominal/grid/view.hpp"

namespace test {

using Layout = std::array<std::size_t, 17>;
using Compute = void(const offnominal::GridView& view, const double* rows, std::size_t count, double* out);

Compute compute_baseline, compute_avx2, compute_avx512, compute_plain;
Layout layout_baseline(), layout_avx2(), layout_avx512(), layout_plain();

}  // namespace test
