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

/// The number of the cell with x: the last breakpoint at or below x, the first if there is none; the last breakpoint
/// only for x equal to it, unless the caller knows that x does not pass it. No branch depends on x.
template <bool Inside = false>
OFFNOMINAL_INLINE std::int64_t cell_number(const AxisData& axis, double x) noexcept {
    const double* b = axis.numbers;
    const std::int64_t last = axis.size - 1;
    std::int64_t i = 0;
    switch (axis.size) {  // counting the inner breakpoints beats any search of so few
        case 8:
            i += x >= b[6] ? 1 : 0;
            [[fallthrough]];
        case 7:
            i += x >= b[5] ? 1 : 0;
            [[fallthrough]];
        case 6:
            i += x >= b[4] ? 1 : 0;
            [[fallthrough]];
        case 5:
            i += x >= b[3] ? 1 : 0;
            [[fallthrough]];
        case 4:
            i += x >= b[2] ? 1 : 0;
            [[fallthrough]];
        case 3:
            i += x >= b[1] ? 1 : 0;
            [[fallthrough]];
        case 2:
        case 1:
            break;
        default:
            for (std::int64_t left = last; left > 1;) {
                const std::int64_t half = left / 2;
                i += b[i + half] <= x ? half : 0;
                left -= half;
            }
    }
    if constexpr (Inside) return i + (last > 0 && x >= b[last] ? 1 : 0);
    return x == b[last] ? last : i;
}

/// A point's place in a grid.
struct CellPosition {
    double t[max_rank];           ///< position in the cell, per axis
    std::int64_t step[max_rank];  ///< doubles to the upper corner; 0 where t is 0
    std::int64_t base;            ///< doubles to the lowest corner
};

/// Finds the place of a point whose coordinates are accepted and clamped; Inside means by the breakpoints' own range.
template <int Rank, bool Inside = false>
OFFNOMINAL_INLINE void locate(const GridData& grid, const double* point, CellPosition& place) noexcept {
    place.base = 0;
    OFFNOMINAL_UNROLL
    for (int k = 0; k < Rank; ++k) {
        const AxisData& axis = grid.axis[k];
        const std::int64_t i = cell_number<Inside>(axis, point[k]);
        const double t = (point[k] - axis.numbers[i]) * axis.numbers[axis.size + i];
        place.t[k] = t;
        place.step[k] = (Inside ? t > 0.0 : t != 0.0) ? axis.stride : 0;
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

/// Doubles of a collapsed pair of nodes.
inline constexpr int pair_size = 2 * max_outputs;

/// Outputs that a single point is worked out by at once. Both ends of the last axis are in registers of their own: no
/// number waits for another to reach the cache.
inline constexpr int single_width = lanes < 4 ? lanes : 4;

/// The value at a place, in `max_outputs` doubles: outputs the grid does not have are 0. @return whether all are finite
template <int Rank>
OFFNOMINAL_INLINE bool evaluate_place(const GridData& grid, const CellPosition& place, double* out) noexcept {
    Reals<single_width> t[Rank];
    OFFNOMINAL_UNROLL
    for (int k = 0; k < Rank; ++k) splat(t[k], place.t[k]);
    const double* p = grid.values + place.base;
    const auto collapse_at = [&](int c) noexcept {
        Reals<single_width> v;
        collapse<Rank>(v, p + c, place.step, t);
        store(out + c, v);
    };
    collapse_at(0);  // not in the loop: before one, a compiler works out all addresses, which takes longer than this
    int c = single_width;
    for (; c < grid.outputs; c += single_width) collapse_at(c);
    for (int j = grid.outputs; j < c; ++j) out[j] = 0.0;
    double sum = 0.0;  // stays 0 unless something is infinite or NaN
    for (int j = 0; j < grid.outputs; ++j) sum += out[j] - out[j];
    return sum == 0.0;
}

template <int Rank>
OFFNOMINAL_NOINLINE inline bool evaluate_point_of(const GridData& grid, const double* point, double* out) noexcept {
    CellPosition place;
    locate<Rank>(grid, point, place);
    return evaluate_place<Rank>(grid, place, out);
}

/// The value at one accepted and clamped point: `outputs` doubles. @return whether all are finite
OFFNOMINAL_INLINE bool evaluate_point(const GridData& grid, const double* point, double* out) noexcept {
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
