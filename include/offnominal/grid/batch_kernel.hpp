/// @file
/// The multilinear kernel over a batch, on plain data. How it is laid out is said in `kernel.hpp`.
#pragma once

#include <cstdint>

#include "offnominal/grid/data.hpp"
#include "offnominal/grid/kernel.hpp"
#include "offnominal/grid/lanes.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Points in a block: what the search leaves behind stays in the first-level cache.
inline constexpr int block_size = 64;

/// The places of a block of points. Where an edge policy refuses, t is NaN on that axis, and so will the value be.
struct Block {
    double t[max_rank][block_size];
    std::int64_t step[max_rank][block_size];
    std::int64_t base[block_size];
};

/// Searches one axis for a block of points whose coordinates start at x, `x_step` doubles apart. Inner breakpoints (all
/// but the two ends) are counted: that many compares beat any search up to 30. Their number is a parameter so that
/// short axes keep all of them in registers; -1 takes it from the axis.
template <int Inner>
OFFNOMINAL_NOINLINE inline void locate_axis(const AxisData& axis, const double* x, std::int64_t x_step, double* t_out,
                                            std::int64_t* step_out, std::int64_t* base) noexcept {
    const double* b = axis.numbers;
    const double* inverse = b + axis.size;
    const std::int64_t last = axis.size - 1;
    Reals<lanes> accept_lower, accept_upper, clamp_lower, clamp_upper, b_first, b_last, inverse_first, nan;
    splat(accept_lower, axis.accept_lower);
    splat(accept_upper, axis.accept_upper);
    splat(clamp_lower, axis.clamp_lower);
    splat(clamp_upper, axis.clamp_upper);
    splat(b_first, b[0]);
    splat(b_last, b[last]);
    splat(inverse_first, inverse[0]);
    splat(nan, not_a_number);
    Ints<lanes> stride, end;
    splat(stride, axis.stride);
    splat(end, axis.stride * last);
    Reals<lanes> bs[Inner > 0 ? Inner : 1], inverses[Inner > 0 ? Inner : 1];
    OFFNOMINAL_UNROLL
    for (int j = 0; j < Inner; ++j) {
        splat(bs[j], b[j + 1]);
        splat(inverses[j], inverse[j + 1]);
    }

    for (int i = 0; i < block_size; i += lanes) {
        Reals<lanes> v;
        if (x_step == 1)
            load(v, x + i);
        else
            load_apart(v, x + i * x_step, x_step);
        const Ints<lanes> accepted = (v >= accept_lower) & (v <= accept_upper);
        Reals<lanes> clamped = clamp_lower;  // a NaN too becomes the lower end
        select(clamped, v > clamp_lower, v);
        select(clamped, clamped > clamp_upper, clamp_upper);

        Reals<lanes> lower = b_first, scale = inverse_first;
        Ints<lanes> offset{};
        const auto pass = [&](const Reals<lanes>& bj, const Reals<lanes>& sj) noexcept {
            const Ints<lanes> above = clamped >= bj;
            select(lower, above, bj);
            select(scale, above, sj);
            offset = offset + (above & stride);
        };
        if constexpr (Inner >= 0) {
            OFFNOMINAL_UNROLL
            for (int j = 0; j < Inner; ++j) pass(bs[j], inverses[j]);
        } else {
            for (std::int64_t j = 1; j < last; ++j) {
                splat(bs[0], b[j]);
                splat(inverses[0], inverse[j]);
                pass(bs[0], inverses[0]);
            }
        }
        const Ints<lanes> at_last = clamped == b_last;
        select(lower, at_last, b_last);  // t becomes 0, whatever the scale
        select(offset, at_last, end);

        const Reals<lanes> t = (clamped - lower) * scale;
        store(step_out + i, (t != Reals<lanes>{}) & stride);
        Reals<lanes> checked = nan;
        select(checked, accepted, t);
        store(t_out + i, checked);
        Ints<lanes> sum;
        load(sum, base + i);
        store(base + i, sum + offset);
    }
}

/// Searches one axis for one coordinate.
OFFNOMINAL_INLINE void locate_one(const AxisData& axis, double x, double& t, std::int64_t& step,
                                  std::int64_t& base) noexcept {
    double clamped = x > axis.clamp_lower ? x : axis.clamp_lower;
    clamped = clamped > axis.clamp_upper ? axis.clamp_upper : clamped;
    const std::int64_t cell = cell_number(axis, clamped);
    t = (clamped - axis.numbers[cell]) * axis.numbers[axis.size + cell];
    step = t != 0.0 ? axis.stride : 0;
    base = cell * axis.stride;
    if (!(x >= axis.accept_lower && x <= axis.accept_upper)) t = not_a_number;
}

/// The same as `locate_axis` for a long axis, one point after the other by bisection.
OFFNOMINAL_NOINLINE inline void locate_long_axis(const AxisData& axis, const double* x, std::int64_t x_step,
                                                 double* t_out, std::int64_t* step_out, std::int64_t* base) noexcept {
    for (int i = 0; i < block_size; ++i) {
        std::int64_t offset = 0;
        locate_one(axis, x[i * x_step], t_out[i], step_out[i], offset);
        base[i] += offset;
    }
}

/// Finds the places of `block_size` points, the first of which is number `start`.
OFFNOMINAL_NOINLINE inline void locate_block(const GridData& grid, const PointData& points, std::int64_t start,
                                             Block& block) noexcept {
    const Ints<lanes> zero{};
    for (int i = 0; i < block_size; i += lanes) store(block.base + i, zero);
    for (int k = 0; k < grid.rank; ++k) {
        const AxisData& axis = grid.axis[k];
        const double* x = points.column[k] + start * points.step[k];
        const auto locate_with = [&](auto* locate) noexcept {
            locate(axis, x, points.step[k], block.t[k], block.step[k], block.base);
        };
        switch (axis.size) {
            case 1:
            case 2:
                locate_with(locate_axis<0>);
                break;
            case 3:
                locate_with(locate_axis<1>);
                break;
            case 4:
                locate_with(locate_axis<2>);
                break;
            case 5:
                locate_with(locate_axis<3>);
                break;
            case 6:
                locate_with(locate_axis<4>);
                break;
            default:
                locate_with(axis.size <= 32 ? locate_axis<-1> : locate_long_axis);
        }
    }
}

/// Collapses the leading axes of the cells of `count` places, Vectors vectors of Width doubles each, and leaves the
/// pairs of nodes they collapse to. The last axis is a pass of its own, so that no point waits for the end of another.
template <int Rank, int Width>
OFFNOMINAL_NOINLINE inline void collapse_block(const GridData& grid, const Block& block, int count,
                                               double* pairs) noexcept {
    const double* const values = grid.values;
    const int doubles = 2 * grid.outputs;
    for (int i = 0; i < count; ++i, pairs += pair_size) {
        Reals<Width> t[Rank];
        std::int64_t step[Rank];
        OFFNOMINAL_UNROLL
        for (int k = 0; k < Rank - 1; ++k) {
            splat(t[k], block.t[k][i]);
            step[k] = block.step[k][i];
        }
        const double* p = values + block.base[i];
        int c = 0;
        do {
            Reals<Width> v;
            collapse<Rank - 1>(v, p + c, step, t);
            store(pairs + c, v);
            c += Width;
        } while (c < doubles);
    }
}

/// Takes the last step, from pairs of nodes to outputs. Writes up to a vector beyond the last row.
template <int Width>
OFFNOMINAL_NOINLINE inline void part_block(const double* pairs, const double* t, const std::int64_t* step, int outputs,
                                           int count, double* out) noexcept {
    for (int i = 0; i < count; ++i, pairs += pair_size, out += outputs) {
        Reals<Width> last_t;
        splat(last_t, t[i]);
        const double* upper = pairs + step[i];
        int c = 0;
        do {
            Reals<Width> a, b;
            load(a, pairs + c);
            load(b, upper + c);
            lerp(a, b, last_t);
            store(out + c, a);
            c += Width;
        } while (c < outputs);
    }
}

template <int Rank>
OFFNOMINAL_INLINE void evaluate_block(const GridData& grid, const Block& block, int count, double* out) noexcept {
    alignas(64) double pairs[block_size * pair_size + 8];
    constexpr int half = lanes < 4 ? lanes : 4;
    constexpr int two = 2;
    if (grid.outputs == 1)
        collapse_block<Rank, two>(grid, block, count, pairs);
    else if (grid.outputs == 2)
        collapse_block<Rank, half>(grid, block, count, pairs);
    else
        collapse_block<Rank, lanes>(grid, block, count, pairs);
    if (grid.outputs <= 2)
        part_block<two>(pairs, block.t[Rank - 1], block.step[Rank - 1], grid.outputs, count, out);
    else
        part_block<half>(pairs, block.t[Rank - 1], block.step[Rank - 1], grid.outputs, count, out);
}

OFFNOMINAL_INLINE void evaluate_block_of_rank(const GridData& grid, const Block& block, int count,
                                              double* out) noexcept {
    switch (grid.rank) {
        case 1:
            return evaluate_block<1>(grid, block, count, out);
        case 2:
            return evaluate_block<2>(grid, block, count, out);
        case 3:
            return evaluate_block<3>(grid, block, count, out);
        case 4:
            return evaluate_block<4>(grid, block, count, out);
        case 5:
            return evaluate_block<5>(grid, block, count, out);
        default:
            return evaluate_block<6>(grid, block, count, out);
    }
}

/// Whether `count` doubles are all finite, and still are when multiplied by `scale`.
OFFNOMINAL_INLINE bool all_finite(const double* values, std::int64_t count, double scale = 1.0) noexcept {
    constexpr int chains = 4;
    Reals<lanes> sum[chains] = {};  // stays 0 unless something is infinite or NaN
    Reals<lanes> by;
    splat(by, scale);
    std::int64_t i = 0;
    for (; i + chains * lanes <= count; i += chains * lanes)
        for (int c = 0; c < chains; ++c) {
            Reals<lanes> v;
            load(v, values + i + c * lanes);
            v = v * by;
            sum[c] = sum[c] + (v - v);
        }
    double rest = 0.0;
    for (; i < count; ++i) rest += values[i] * scale - values[i] * scale;
    const Reals<lanes> total = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    for (int j = 0; j < lanes; ++j) rest += total[j];
    return rest == 0.0;
}

/// Puts NaN into each output of every point that has one that is not finite. @return how many have
OFFNOMINAL_NOINLINE inline std::int64_t mark_missing(double* rows, int outputs, std::int64_t count) noexcept {
    std::int64_t missing = 0;
    for (std::int64_t i = 0; i < count; ++i, rows += outputs) {
        if (all_finite(rows, outputs)) continue;
        ++missing;
        for (int j = 0; j < outputs; ++j) rows[j] = not_a_number;
    }
    return missing;
}

/// The values at points `first` to `last` (exclusive): a row of `outputs` doubles each, the first at `out`; nothing is
/// written beyond. NaN in the whole row where there is no answer. @return how many have none
inline std::int64_t evaluate_points(const GridData& grid, const PointData& points, std::int64_t first,
                                    std::int64_t last, double* out) noexcept {
    Block block;
    std::int64_t missing = 0;
    const int outputs = grid.outputs;
    for (; last - first > block_size; first += block_size, out += block_size * outputs) {
        locate_block(grid, points, first, block);
        evaluate_block_of_rank(grid, block, block_size, out);
        if (!all_finite(out, block_size * outputs)) missing += mark_missing(out, outputs, block_size);
    }
    if (first >= last) return missing;
    // The last block: nothing may be read or written beyond its end.
    const int count = static_cast<int>(last - first);
    double x[max_rank][block_size];
    double rows[block_size * max_outputs + 8];
    PointData copy;
    for (int k = 0; k < grid.rank; ++k) {
        for (int i = 0; i < block_size; ++i) x[k][i] = points.column[k][(first + (i < count ? i : 0)) * points.step[k]];
        copy.column[k] = x[k];
        copy.step[k] = 1;
    }
    locate_block(grid, copy, 0, block);
    evaluate_block_of_rank(grid, block, count, rows);
    if (!all_finite(rows, count * outputs)) missing += mark_missing(rows, outputs, count);
    for (int i = 0; i < count * outputs; ++i) out[i] = rows[i];
    return missing;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
