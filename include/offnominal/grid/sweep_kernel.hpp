/// @file
/// The kernel over an outer product of axis values, on plain data.
///
/// The grid is contracted axis by axis, the first axis outermost, in the order in which a point is collapsed, so the
/// bits are those of `at`. What is left after each axis is a small table that stays in the first-level cache; the
/// points are never written down.
#pragma once

#include <cstdint>

#include "offnominal/grid/batch_kernel.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/lanes.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Doubles of workspace that `sweep_points` needs: what is left of the grid after each axis but the last.
OFFNOMINAL_INLINE std::int64_t sweep_work(const GridData& grid) noexcept {
    std::int64_t doubles = 0;
    for (int k = 0; k < grid.rank - 1; ++k) doubles += grid.axis[k].stride + slack;
    return doubles;
}

/// The last axis: a row of `axis.count` points from a row of nodes. Writes nothing beyond.
template <int Width>
OFFNOMINAL_NOINLINE inline void sweep_last_axis(const SweepAxisData& axis, const double* nodes, int outputs,
                                                double* out) noexcept {
    const auto point = [&](std::int64_t q, double* to) {
        const double* lower = nodes + axis.base[q];
        const double* upper = lower + axis.step[q];
        Reals<Width> t;
        splat(t, axis.t[q]);
        int c = 0;
        do {
            Reals<Width> a, b;
            load(a, lower + c);
            load(b, upper + c);
            lerp(a, b, t);
            store(to + c, a);
            c += Width;
        } while (c < outputs);
    };
    for (std::int64_t q = 0; q + 1 < axis.count; ++q, out += outputs) point(q, out);
    double row[max_outputs];
    point(axis.count - 1, row);
    for (int j = 0; j < outputs; ++j) out[j] = row[j];
}

/// Contracts axis `k` and those after it. `nodes` is what is left of the grid. @return points without an answer
inline std::int64_t sweep_axis(const GridData& grid, const SweepAxisData* axes, int k, std::int64_t first,
                               std::int64_t last, const double* nodes, double* work, double*& out) noexcept {
    const SweepAxisData& axis = axes[k];
    if (k == grid.rank - 1) {
        const SweepAxisData part{axis.t + first, axis.base + first, axis.step + first, last - first};
        const std::int64_t doubles = part.count * grid.outputs;
        if (grid.outputs <= 2)
            sweep_last_axis<2>(part, nodes, grid.outputs, out);
        else
            sweep_last_axis<(lanes < 4 ? lanes : 4)>(part, nodes, grid.outputs, out);
        std::int64_t missing = 0;
        if (!all_finite(out, doubles)) missing = mark_missing(out, grid.outputs, part.count);
        out += doubles;
        return missing;
    }
    std::int64_t missing = 0;
    const std::int64_t left = grid.axis[k].stride;
    for (std::int64_t q = first; q < last; ++q) {
        const double* lower = nodes + axis.base[q];
        const double* rest = lower;
        if (axis.t[q] != 0.0) {
            const double* upper = lower + axis.step[q];
            Reals<lanes> t;
            splat(t, axis.t[q]);
            for (std::int64_t i = 0; i < left; i += lanes) {
                Reals<lanes> a, b;
                load(a, lower + i);
                load(b, upper + i);
                lerp(a, b, t);
                store(work + i, a);
            }
            rest = work;
        }
        missing += sweep_axis(grid, axes, k + 1, 0, axes[k + 1].count, rest, work + left + slack, out);
    }
    return missing;
}

/// The values at all combinations of axis values, of the first axis only those from `first` to `last` (exclusive):
/// row-major, outputs last; nothing is written beyond. NaN in all outputs where there is no answer. @return how many
/// points have none
inline std::int64_t sweep_points(const GridData& grid, const SweepAxisData* axes, std::int64_t first, std::int64_t last,
                                 double* work, double* out) noexcept {
    for (int k = 0; k < grid.rank; ++k)
        if (axes[k].count == 0) return 0;
    if (first >= last) return 0;
    return sweep_axis(grid, axes, 0, first, last, grid.values, work, out);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
