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

/// Rows of nodes that are contracted before the first of them is expanded: one just stored could not be read at once.
inline constexpr std::int64_t rows_ahead = 16;

/// Doubles of workspace that `sweep_points` needs: what is left of the grid after each axis but the last.
OFFNOMINAL_INLINE std::int64_t sweep_work(const GridData& grid) noexcept {
    std::int64_t doubles = 0;
    for (int k = 0; k < grid.rank - 1; ++k)
        doubles += (grid.axis[k].stride + slack) * (k == grid.rank - 2 ? rows_ahead : 1);
    return doubles;
}

/// What is left of `nodes` after an axis of `left` doubles a node, at value number q of that axis.
OFFNOMINAL_INLINE const double* sweep_contract(const SweepAxisData& axis, std::int64_t q, std::int64_t left,
                                               const double* nodes, double* work) noexcept {
    const double* lower = nodes + axis.base[q];
    if (axis.t[q] == 0.0) return lower;
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
    return work;
}

/// The last axis: a row of `axis.count` points from a row of nodes, `Vectors` vectors of `Width` outputs each. Unless
/// Exact, writes up to a vector beyond, where the next row goes.
template <int Width, int Vectors, bool Exact>
OFFNOMINAL_INLINE void sweep_row(const SweepAxisData& axis, const double* nodes, int outputs, double* out) noexcept {
    const double* const ts = axis.t;  // copies: the compiler must take it that `out` might overwrite the originals
    const std::int64_t* const bases = axis.base;
    const std::int64_t* const steps = axis.step;
    const std::int64_t count = axis.count;
    for (std::int64_t q = 0; q < count;) {
        // Points in one cell share what the step is taken from: values of an axis mostly come in order.
        const std::int64_t base = bases[q], step = steps[q];
        Reals<Width> a[Vectors], fall[Vectors];
        OFFNOMINAL_UNROLL
        for (int c = 0; c < Vectors; ++c) {
            load(a[c], nodes + base + c * Width);
            load(fall[c], nodes + base + step + c * Width);
            fall[c] = a[c] - fall[c];
        }
        do {
            Reals<Width> t;
            splat(t, ts[q]);
            double values[Vectors * Width];
            OFFNOMINAL_UNROLL
            for (int c = 0; c < Vectors; ++c) store((Exact ? values : out) + c * Width, a[c] - t * fall[c]);
            for (int j = 0; Exact && j < outputs; ++j) out[j] = values[j];
            out += outputs;
            ++q;
        } while (q < count && bases[q] == base && steps[q] == step);
    }
}

/// The last axis of `count` rows, the last of which may be exact.
template <int Width, int Vectors>
OFFNOMINAL_NOINLINE inline void sweep_rows(const SweepAxisData& axis, const double* const* nodes, std::int64_t count,
                                           int outputs, bool exact, double* out) noexcept {
    const std::int64_t loose = count - (exact ? 1 : 0);
    for (std::int64_t r = 0; r < loose; ++r, out += axis.count * outputs)
        sweep_row<Width, Vectors, false>(axis, nodes[r], outputs, out);
    if (exact) sweep_row<Width, Vectors, true>(axis, nodes[loose], outputs, out);
}

/// Whether `count` numbers are finite and so small that two steps between such, at a t likewise small, end finite.
OFFNOMINAL_INLINE bool all_tame(const double* numbers, std::int64_t count) noexcept {
    return all_finite(numbers, count, 1e208);  // its product with a number larger than 1.8e100 is infinite
}

/// A sweep on its way: where the next value goes, where the last one ends, how many points had no answer, and whether
/// every t of the last two axes is tame.
struct SweepState {
    double* out;
    const double* end;
    std::int64_t missing;
    bool tame;
};

/// Contracts axis `k` and those after it, at values `first` to `last` of axis `k`. `nodes` is what is left of the grid.
inline void sweep_axis(const GridData& grid, const SweepAxisData* axes, int k, std::int64_t first, std::int64_t last,
                       const double* nodes, double* work, SweepState& state) noexcept {
    const std::int64_t left = grid.axis[k].stride;
    if (k < grid.rank - 2) {
        for (std::int64_t q = first; q < last; ++q) {
            const double* rest = sweep_contract(axes[k], q, left, nodes, work);
            sweep_axis(grid, axes, k + 1, 0, axes[k + 1].count, rest, work + left + slack, state);
        }
        return;
    }
    const SweepAxisData whole = axes[grid.rank - 1];
    const SweepAxisData axis =
        grid.rank > 1 ? whole : SweepAxisData{whole.t + first, whole.base + first, whole.step + first, last - first};
    const int outputs = grid.outputs;
    double* const start = state.out;
    // Nodes are looked at only where they are fewer than the values: else the values are.
    const std::int64_t node_values = grid.axis[k].size * left;
    const std::int64_t point_values = (last - first) * (grid.rank > 1 ? whole.count : 1) * outputs;
    const bool tame = state.tame && node_values <= point_values && all_tame(nodes, node_values);
    while (first < last) {
        const double* rows[rows_ahead] = {nodes};
        std::int64_t count = 0;
        if (grid.rank > 1)
            for (; count < rows_ahead && first < last; ++count, ++first)
                rows[count] = sweep_contract(axes[k], first, left, nodes, work + count * (left + slack));
        else
            count = 1, first = last;
        double* const out = state.out;
        state.out += count * axis.count * outputs;
        const bool exact = state.out == state.end;
        constexpr int half = lanes < 4 ? lanes : 4;
        if (outputs <= 2)
            sweep_rows<2, 1>(axis, rows, count, outputs, exact, out);
        else if (outputs <= 4)
            sweep_rows<half, 4 / half>(axis, rows, count, outputs, exact, out);
        else
            sweep_rows<half, 8 / half>(axis, rows, count, outputs, exact, out);
    }
    // Asked of all points of the last two axes at once (short rows would not pay), where the nodes do not tell.
    if (!tame && !all_finite(start, state.out - start))
        state.missing += mark_missing(start, outputs, (state.out - start) / outputs);
}

/// The values at all combinations of axis values, of the first axis only those from `first` to `last` (exclusive):
/// row-major, outputs last; nothing is written beyond. NaN in all outputs where there is no answer. @return how many
/// points have none
inline std::int64_t sweep_points(const GridData& grid, const SweepAxisData* axes, std::int64_t first, std::int64_t last,
                                 double* work, double* out) noexcept {
    std::int64_t size = (last - first) * grid.outputs;
    for (int k = 1; k < grid.rank; ++k) size *= axes[k].count;
    if (size <= 0) return 0;
    SweepState state{out, out + size, 0, true};
    for (int k = grid.rank > 1 ? grid.rank - 2 : 0; k < grid.rank; ++k)
        state.tame = state.tame && all_tame(axes[k].t, axes[k].count);
    sweep_axis(grid, axes, 0, first, last, grid.values, work, state);
    return state.missing;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
