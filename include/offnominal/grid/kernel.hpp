/// @file
/// The multilinear kernels, on plain data: search the cell, collapse it, at one point and over batches.
///
/// One point: for each axis a cell (lower node) and t in it; then a + t (b - a) along axis 0, axis 1, ... the last
/// axis, in this order always, so that every face gives the same bits.
///
/// How it is laid out, and why:
/// - A node's outputs stand side by side, and the two nodes of a cell along the last axis are neighbours: 2 x outputs
/// doubles
///   that are one to eight vectors. All leading axes are collapsed on these whole vectors; only the last step parts
///   them.
/// - Where t is 0 the step to the upper corner is 0 too: both corners are the same node, which then comes out bit for
/// bit,
///   and a neighbour without weight (blank, or past the last node) is never looked at. The last breakpoint of an axis
///   is the lower end of a cell of no width. So nodes need no branch.
/// - A batch goes by blocks of 64 points: first the search, across points; then the collapse, point by point. The
/// search
///   is a function of its own: inlined, it costs the collapse its registers.
/// - Inverse widths are stored, and rounded so that t never passes 1 inside a cell.
#pragma once

#include <cstdint>

#include "offnominal/grid/data.hpp"
#include "offnominal/grid/lanes.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// The number of the cell with x: the last breakpoint at or below x, the first if there is none; the last one only for
/// x equal to it. No branch depends on x.
OFFNOMINAL_INLINE std::int64_t cell_number(const AxisData& axis, double x) noexcept {
    const double* b = axis.numbers;
    const std::int64_t last = axis.size - 1;
    std::int64_t i = 0;
    if (axis.size <= 32) {
        for (std::int64_t j = 1; j < last; ++j) i += x >= b[j] ? 1 : 0;
    } else {
        for (std::int64_t left = last; left > 1;) {
            const std::int64_t half = left / 2;
            i += b[i + half] <= x ? half : 0;
            left -= half;
        }
    }
    return x == b[last] ? last : i;
}

/// A point's place in a grid.
struct Place {
    double t[max_rank];           ///< position in the cell, per axis
    std::int64_t step[max_rank];  ///< doubles to the upper corner; 0 where t is 0
    std::int64_t base;            ///< doubles to the lowest corner
};

/// Finds the place of a point whose coordinates are accepted and clamped.
template <int Rank>
OFFNOMINAL_INLINE void locate(const GridData& grid, const double* point, Place& place) noexcept {
    place.base = 0;
    for (int k = 0; k < Rank; ++k) {
        const AxisData& axis = grid.axis[k];
        const std::int64_t i = cell_number(axis, point[k]);
        place.t[k] = (point[k] - axis.numbers[i]) * axis.numbers[axis.size + i];
        place.step[k] = place.t[k] == 0.0 ? 0 : axis.stride;
        place.base += i * axis.stride;
    }
}

/// Collapses the first Axes axes of the cell at p, one vector of outputs wide.
template <int Axes, class Vector>
OFFNOMINAL_INLINE void collapse(Vector& out, const double* p, const std::int64_t* step, const Vector* t) noexcept {
    if constexpr (Axes == 0) {
        load(out, p);
    } else {
        Vector upper;
        collapse<Axes - 1>(out, p, step, t);
        collapse<Axes - 1>(upper, p + step[Axes - 1], step, t);
        lerp(out, upper, t[Axes - 1]);
    }
}

/// Room for a collapsed pair of nodes, and for what whole vectors read and write beyond it.
struct Pair {
    double value[2 * max_outputs + 8] = {};
};

/// The value at a place: `outputs` doubles to `out`, rounded up to whole vectors of at most 4.
template <int Rank>
OFFNOMINAL_INLINE void evaluate_place(const GridData& grid, const Place& place, Pair& room, double* out) noexcept {
    double* pair = room.value;
    constexpr int tail = lanes < 4 ? lanes : 4;
    Reals<lanes> t[Rank];
    for (int k = 0; k < Rank - 1; ++k) splat(t[k], place.t[k]);
    for (int c = 0; c < 2 * grid.outputs; c += lanes) {
        Reals<lanes> v;
        collapse<Rank - 1>(v, grid.values + place.base + c, place.step, t);
        store(pair + c, v);
    }
    const double* upper = pair + place.step[Rank - 1];
    Reals<tail> last_t;
    splat(last_t, place.t[Rank - 1]);
    for (int c = 0; c < grid.outputs; c += tail) {
        Reals<tail> a, b;
        load(a, pair + c);
        load(b, upper + c);
        lerp(a, b, last_t);
        store(out + c, a);
    }
}

/// Whether `count` doubles are all finite.
OFFNOMINAL_INLINE bool all_finite(const double* values, int count) noexcept {
    constexpr int chains = 4;
    Reals<lanes> sum[chains] = {};  // stays 0 unless something is infinite or NaN
    int i = 0;
    for (; i + chains * lanes <= count; i += chains * lanes)
        for (int c = 0; c < chains; ++c) {
            Reals<lanes> v;
            load(v, values + i + c * lanes);
            sum[c] = sum[c] + (v - v);
        }
    double rest = 0.0;
    for (; i < count; ++i) rest += values[i] - values[i];
    const Reals<lanes> total = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    for (int j = 0; j < lanes; ++j) rest += total[j];
    return rest == 0.0;
}

template <int Rank>
OFFNOMINAL_NOINLINE inline void evaluate_point_of(const GridData& grid, const double* point, double* out) noexcept {
    Place place;
    locate<Rank>(grid, point, place);
    Pair room;
    evaluate_place<Rank>(grid, place, room, out);
}

/// The value at one accepted and clamped point. `out` has room for max_outputs doubles.
OFFNOMINAL_INLINE void evaluate_point(const GridData& grid, const double* point, double* out) noexcept {
    switch (grid.rank) {
        case 1:
            return evaluate_point_of<1>(grid, point, out);
        case 2:
            return evaluate_point_of<2>(grid, point, out);
        case 3:
            return evaluate_point_of<3>(grid, point, out);
        case 4:
            return evaluate_point_of<4>(grid, point, out);
        case 5:
            return evaluate_point_of<5>(grid, point, out);
        default:
            return evaluate_point_of<6>(grid, point, out);
    }
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
