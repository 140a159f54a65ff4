/// @file
/// What a grid answers with: values, the cell behind them, and their slopes.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "offnominal/answer.hpp"
#include "offnominal/detail/contract.hpp"
#include "offnominal/grid/data.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// The outputs at a point; those the grid does not have are 0.
struct GridValue {
    std::array<double, max_outputs> value{};
    Footing footing = Footing::inside;
};

/// One node that an answer leans on.
struct Corner {
    std::int64_t node = 0;  ///< row-major number
    double weight = 0.0;    ///< never 0; negative where a cell is extended
};

/// The cell behind an answer: per axis the lower node and the position t; and the corners that have weight.
struct Cell {
    std::array<std::int64_t, max_rank> lower{};  ///< index of the lower node, per axis; at a breakpoint, of that node
    std::array<double, max_rank> t{};            ///< position from the lower node (0) towards the next (1), per axis
    std::int64_t node = 0;                       ///< row-major number of the lowest corner
    std::array<std::int64_t, max_rank> step{};   ///< nodes to the upper corner, for each open axis (t other than 0)
    std::array<double, max_rank> open{};         ///< t of each open axis
    std::int8_t open_axes = 0;
    Footing footing = Footing::inside;  ///< held and extended only: the marks of the corners are not looked at

    /// How many corners have weight: 1 at a node, up to 64.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr std::size_t corners() const noexcept {
        return std::size_t{1} << open_axes;
    }

    /// The corner number i < corners(), in ascending order of node number; the weights of all add up to 1 within
    /// rounding.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr Corner corner(std::size_t i) const noexcept;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {
[[nodiscard]] constexpr Corner corner_of(const Cell& cell, std::size_t i) noexcept {
    Corner out{cell.node, 1.0};
    const auto open_axes = static_cast<std::size_t>(cell.open_axes);
    for (std::size_t a = 0; a < open_axes; ++a) {
        const bool upper = ((i >> (open_axes - 1 - a)) & 1u) != 0;
        out.node += upper ? cell.step[a] : 0;
        out.weight *= upper ? cell.open[a] : 1.0 - cell.open[a];
    }
    return out;
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

constexpr Corner Cell::corner(std::size_t i) const noexcept { return detail::corner_of(*this, i); }

/// On which side of a breakpoint a slope is taken.
enum class Side : std::uint8_t { lower, upper };

/// The outputs at a point and their derivatives along each axis. They are the derivatives of what `at` returns: 0 where
/// an axis holds its end or has one breakpoint only, one-sided at breakpoints.
struct GridGradient {
    std::array<double, max_outputs> value{};
    std::array<std::array<double, max_outputs>, max_rank> slope{};  ///< slope[axis][output]
    std::array<Side, max_rank> side{};  ///< side actually taken; at the end of an axis that refuses there is only one
    Footing footing = Footing::inside;
};

}  // namespace offnominal
OFFNOMINAL_EXACT_END
