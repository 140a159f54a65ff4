/// @file
/// What a page does past its edges, for any grid: the policies of `Outside` in the grid's own terms.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <span>

#include "offnominal/detail/real.hpp"
#include "offnominal/grid/grid.hpp"
#include "offnominal/ratings/page.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Numbers within 1e-9 of the span of a breakpoint become that breakpoint: unit conversion must not miss a node.
inline void snap(std::span<double> values, std::span<const double> breakpoints) noexcept {
    const double span =
        breakpoints.size() > 1 ? breakpoints.back() - breakpoints.front() : std::abs(breakpoints.front());
    const double slack = 1e-9 * span;
    for (const double b : breakpoints)
        for (double& value : values) value = std::abs(value - b) <= slack ? b : value;
}
[[nodiscard]] inline double snapped(double value, std::span<const double> breakpoints) noexcept {
    snap({&value, 1}, breakpoints);
    return value;
}

/// What holds past the edges of a grid whose first axis is the outdoor dry bulb, as that of every page and defrost
/// table is.
struct Edges {
    Outside all = Outside::refuse;  ///< of every axis
    double outdoor = 0.0;           ///< K past the outdoor dry bulbs that their edge is held all the same
    double wet_bulb = 0.0;          ///< K past the wet bulbs that the edge cell is continued, or held as `all` says
    std::size_t wet_bulb_axis = 0;  ///< of the page, where `wet_bulb` is more than 0

    constexpr Edges(Outside every_axis = Outside::refuse, double outdoor_held = 0.0) noexcept
        : all(every_axis), outdoor(outdoor_held) {}
    [[nodiscard]] constexpr bool refuse() const noexcept {
        return all == Outside::refuse && outdoor == 0.0 && wet_bulb == 0.0;
    }
};

/// How far past either end of an axis `hold` and `extend` reach: 2 % of its span; of the value itself where it has one.
[[nodiscard]] inline double reach(std::span<const double> x) noexcept {
    return 0.02 * (x.size() > 1 ? x.back() - x.front() : std::abs(x.front()));
}

/// A grid with the edges asked for.
[[nodiscard]] inline GridView with_outside(const GridView& grid, Edges edges) noexcept {
    if (edges.refuse()) return grid;
    if (edges.all == Outside::hold) return grid.with_edges(Edge::hold());
    GridView out = grid;
    for (std::size_t axis = 0; axis < out.rank() && edges.all != Outside::refuse; ++axis) {
        const auto x = out.breakpoints(axis);
        if (edges.all == Outside::extend)
            out = out.with_edge(axis, Edge::extend(reach(x)));
        else  // `follow`: an axis of one breakpoint has no edge cell to follow: it tells no slope
            out = out.with_edge(axis, x.size() == 1 ? Edge::hold() : Edge::extend(real::infinity));
    }
    // Where all is extended or followed, the wider reach counts.
    if (edges.wet_bulb > 0.0 && edges.all != follow)
        out = out.with_edge(
            edges.wet_bulb_axis,
            Edge::extend((std::max)(edges.wet_bulb,
                                    edges.all == Outside::extend ? reach(out.breakpoints(edges.wet_bulb_axis)) : 0.0)));
    return edges.outdoor > 0.0 ? out.with_edge(0, Edge::hold()) : out;
}

/// Why a point cannot even be held: more than 2 % of an axis' span past its edge (nothing asked for there is meant), or
/// than was asked for.
[[nodiscard]] inline Reason too_far(const GridView& grid, std::span<const double> point, Edges edges) noexcept {
    for (std::size_t axis = 0; axis < point.size(); ++axis) {
        const bool outdoor = axis == 0 && edges.outdoor > 0.0;
        if (!outdoor && edges.all != Outside::hold) continue;  // the grid's own edge refuses
        const auto x = grid.breakpoints(axis);
        double held = outdoor ? edges.outdoor + 1e-9 : reach(x);  // unit conversion must not miss it
        if (edges.wet_bulb > 0.0 && axis == edges.wet_bulb_axis) held = (std::max)(held, edges.wet_bulb);
        const double least = x.front() - held, greatest = x.back() + held;
        if (point[axis] < least || point[axis] > greatest)
            return {Why::outside, About::axis, static_cast<std::int16_t>(axis), -1, point[axis], least, greatest};
    }
    return {};
}

/// Whether a point lies past no edge: then they do not matter.
[[nodiscard]] inline bool is_inside(const GridView& grid, std::span<const double> point) noexcept {
    for (std::size_t axis = 0; axis < point.size(); ++axis) {
        const auto x = grid.breakpoints(axis);
        if (!(point[axis] >= x.front() && point[axis] <= x.back())) return false;
    }
    return true;
}

/// The outputs of a grid at a point, edges as asked; reasons about the axis.
[[nodiscard]] inline Answer<GridValue> read_grid(const Grid& grid, std::span<const double> point,
                                                 Edges edges) noexcept {
    if (edges.refuse() || is_inside(grid.view(), point)) return grid.at(point);
    if (const Reason beyond = too_far(grid.view(), point, edges); !beyond.none()) return beyond;
    return with_outside(grid.view(), edges).at(point);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
