/// @file
/// Questions to a grid at one point, on plain data: value, cell, gradient, and the reasons why not.
#pragma once

#include <cstddef>
#include <span>

#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/grid/cell.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/kernel.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// A point as the kernels want it: accepted, clamped, and what that did to the footing.
struct Admitted {
    double x[max_rank];
    Footing footing;
};

[[nodiscard]] inline Reason wrong_rank(const GridData& grid, std::size_t given) noexcept {
    const auto rank = static_cast<std::size_t>(grid.rank);
    if (given < rank) return {Why::not_given, About::axis, static_cast<std::int16_t>(given)};
    return {Why::contradictory, About::axis, static_cast<std::int16_t>(rank)};
}

/// Applies the edge policies. @return the first axis' reason to refuse
[[nodiscard]] OFFNOMINAL_NOINLINE inline Reason admit(const GridData& grid, const double* point,
                                                      Admitted& out) noexcept {
    out.footing = Footing::inside;
    for (int k = 0; k < grid.rank; ++k) {
        const AxisData& axis = grid.axis[k];
        const double x = point[k];
        const auto number = static_cast<std::int16_t>(k);
        if (!real::is_finite(x))
            return {Why::not_finite, About::axis, number, -1, x, axis.accept_lower, axis.accept_upper};
        if (x < axis.accept_lower || x > axis.accept_upper)
            return {Why::outside, About::axis, number, -1, x, axis.accept_lower, axis.accept_upper};
        const double clamped = x < axis.clamp_lower ? axis.clamp_lower : x > axis.clamp_upper ? axis.clamp_upper : x;
        if (clamped != x) out.footing |= Footing::held;
        if (clamped < axis.numbers[0] || clamped > axis.numbers[axis.size - 1]) out.footing |= Footing::extended;
        out.x[k] = clamped;
    }
    return {};
}

/// The cell of an admitted point.
[[nodiscard]] inline Cell cell_of(const GridData& grid, const Admitted& point) noexcept {
    Cell cell;
    cell.footing = point.footing;
    for (std::size_t k = 0; k < static_cast<std::size_t>(grid.rank); ++k) {
        const AxisData& axis = grid.axis[k];
        const std::int64_t i = cell_number(axis, point.x[k]);
        const std::int64_t step = axis.stride / grid.outputs;
        cell.lower[k] = i;
        cell.t[k] = (point.x[k] - axis.numbers[i]) * axis.numbers[axis.size + i];
        cell.node += i * step;
        if (cell.t[k] == 0.0) continue;
        cell.step[static_cast<std::size_t>(cell.open_axes)] = step;
        cell.open[static_cast<std::size_t>(cell.open_axes)] = cell.t[k];
        ++cell.open_axes;
    }
    return cell;
}

/// Why a value is not finite: the first corner that has no number, or else numbers too large to interpolate.
[[nodiscard]] OFFNOMINAL_NOINLINE inline Reason why_not_finite(const GridData& grid, const Admitted& point) noexcept {
    const Cell cell = cell_of(grid, point);
    for (std::size_t i = 0; grid.marks != nullptr && i < cell.corners(); ++i) {
        const std::int64_t node = cell.corner(i).node;
        const Mark mark = grid.marks[node];
        if (mark == Mark::blank || mark == Mark::beyond_limit)
            return {mark == Mark::blank ? Why::blank : Why::beyond_limit, About::nothing, -1,
                    static_cast<std::int32_t>(node)};
    }
    return {Why::not_finite, About::nothing};
}

[[nodiscard]] inline bool leans_on_inferred(const GridData& grid, const Admitted& point) noexcept {
    const Cell cell = cell_of(grid, point);
    for (std::size_t i = 0; i < cell.corners(); ++i)
        if (grid.marks[cell.corner(i).node] == Mark::inferred) return true;
    return false;
}

/// The value at a point that is not inside, or leans on a node without a number, or on an inferred one.
[[nodiscard]] OFFNOMINAL_NOINLINE inline Reason value_with_care(const GridData& grid, const double* point,
                                                                GridValue& out) noexcept {
    Admitted in;
    if (const Reason reason = admit(grid, point, in); !reason.none()) return reason;
    if (!evaluate_point(grid, in.x, out.value.data())) return why_not_finite(grid, in);
    out.footing = in.footing;
    if (grid.has_inferred && leans_on_inferred(grid, in)) out.footing |= Footing::inferred;
    return {};
}

/// Fills the value at a point of a grid of this rank. No lambda: it must be part of `value_of`, not called by it.
template <int Rank>
struct FillValue {
    const GridData& grid;
    const double* point;

    OFFNOMINAL_INLINE Reason operator()(GridValue& out) const noexcept {
        bool inside = !grid.has_inferred;
        OFFNOMINAL_UNROLL
        for (int k = 0; k < Rank; ++k) {
            const AxisData& axis = grid.axis[k];
            inside = inside && point[k] >= axis.numbers[0] && point[k] <= axis.numbers[axis.size - 1];
        }
        if (inside) [[likely]] {
            CellPosition place;
            locate<Rank, true>(grid, point, place);
            if (evaluate_place<Rank>(grid, place, out.value.data())) [[likely]]
                return {};
        }
        return value_with_care(grid, point, out);
    }
};

/// Written where it is returned: a copy would wait for the numbers to reach the cache.
template <int Rank>
[[nodiscard]] OFFNOMINAL_NOINLINE inline Answer<GridValue> value_of(const GridData& grid,
                                                                    const double* point) noexcept {
    return Answer<GridValue>::built(FillValue<Rank>{grid, point});
}

[[nodiscard]] OFFNOMINAL_INLINE Answer<GridValue> value_at(const GridData& grid,
                                                           std::span<const double> point) noexcept {
    if (point.size() != static_cast<std::size_t>(grid.rank)) return wrong_rank(grid, point.size());
    switch (grid.rank) {
        case 1:
            return value_of<1>(grid, point.data());
        case 2:
            return value_of<2>(grid, point.data());
        case 3:
            return value_of<3>(grid, point.data());
        case 4:
            return value_of<4>(grid, point.data());
        case 5:
            return value_of<5>(grid, point.data());
        case 6:
            return value_of<6>(grid, point.data());
        default:
            return wrong_rank(grid, point.size());
    }
}

[[nodiscard]] inline Answer<Cell> cell_at(const GridData& grid, std::span<const double> point) noexcept {
    if (point.size() != static_cast<std::size_t>(grid.rank) || grid.rank == 0) return wrong_rank(grid, point.size());
    Admitted in;
    if (const Reason reason = admit(grid, point.data(), in); !reason.none()) return reason;
    return cell_of(grid, in);
}

/// Values and slopes. The slope along an axis is that of the cell it is taken in: the values at the cell's two ends,
/// both interpolated along the other axes, over the width.
[[nodiscard]] inline Answer<GridGradient> gradient_at(const GridData& grid, std::span<const double> point,
                                                      Side side) noexcept {
    const Answer<GridValue> value = value_at(grid, point);
    if (!value) return value.reason();
    Admitted in;
    static_cast<void>(admit(grid, point.data(), in));  // it was admitted just now
    GridGradient out{value->value, {}, {}, value->footing};
    for (std::size_t k = 0; k < static_cast<std::size_t>(grid.rank); ++k) {
        const AxisData& axis = grid.axis[k];
        const double* b = axis.numbers;
        const double x = in.x[k];
        const std::int64_t last = axis.size - 1;
        std::int64_t i = cell_number(axis, x);
        Side taken = side;
        if (last == 0 || point[k] != x) {  // one breakpoint, or held past an end
            out.side[k] = taken;
            continue;
        }
        if (x == b[i]) {  // at a breakpoint, which may be an end
            const bool outward = (taken == Side::upper && i == last) || (taken == Side::lower && i == 0);
            const bool held = axis.accept_lower < axis.clamp_lower;
            if (outward && held) {
                out.side[k] = taken;
                continue;
            }
            const bool refused = axis.accept_lower == b[0] && axis.accept_upper == b[last];
            if (outward && refused) taken = taken == Side::upper ? Side::lower : Side::upper;
            if (i == last || (taken == Side::lower && i > 0)) --i;
        }
        out.side[k] = taken;

        Admitted lower = in, upper = in;
        lower.x[k] = b[i];
        upper.x[k] = b[i + 1];
        double at_lower[max_outputs], at_upper[max_outputs];
        if (!evaluate_point(grid, lower.x, at_lower)) return why_not_finite(grid, lower);
        if (!evaluate_point(grid, upper.x, at_upper)) return why_not_finite(grid, upper);
        for (std::size_t j = 0; j < static_cast<std::size_t>(grid.outputs); ++j)
            out.slope[k][j] = (at_upper[j] - at_lower[j]) / (b[i + 1] - b[i]);
    }
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
