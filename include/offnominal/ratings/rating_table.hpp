/// @file
/// One page of expanded cooling ratings: a grid over outdoor dry bulb, standard airflow and entering wet bulb.
///
/// Inside, the page is turned into two lines the dry-coil rule can work with: the *wet line* (gross total as if the
/// coil were wet) and the *uncapped sensible* at the reference dry bulb. Where the page is wet these are the printed
/// numbers. A node that prints sensible = total is dry: its total is the dry capacity at the reference dry bulb, not a
/// point of the wet line. There both lines are extended along entering wet bulb from the two lowest wet nodes and
/// marked `inferred` (quadratic extension was tried and is no better: second differences of a page printed to 0.1 MBh
/// are mostly rounding). What the page prints at a dry node is kept as an offset from the dry-coil rule's answer there
/// (or, where the rule would call the node wet, the lines are bent to it), so that the page's number comes back at the
/// page's conditions.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <utility>

#include "offnominal/ratings/build.hpp"
#include "offnominal/ratings/page.hpp"

namespace offnominal {

/// A checked page, immutable. `read_page` looks things up in it.
class RatingTable {
   public:
    enum AxisNumber : std::int8_t { outdoor_dry_bulb = 0, airflow = 1, entering_wet_bulb = 2 };

    /// @throws InputError naming the node when the page contradicts itself: sizes that do not match, a sensible above
    ///         total, a dry node above a wet one, a non-positive total, a bypass factor outside (0, 1).
    OFFNOMINAL_INLINE RatingTable(Basis basis, PrintedPage page)
        : basis_(basis), page_(std::move(page)), built_(detail::build_page(basis_, page_)) {}

    [[nodiscard]] const Basis& basis() const noexcept { return basis_; }
    [[nodiscard]] const PrintedPage& page() const noexcept { return page_; }
    [[nodiscard]] const Grid& grid() const noexcept { return built_.grid; }
    [[nodiscard]] const BuiltPage& built() const noexcept { return built_; }
    [[nodiscard]] std::span<const double> breakpoints(AxisNumber axis) const noexcept {
        return axis == outdoor_dry_bulb ? page_.outdoor_dry_bulb
               : axis == airflow        ? page_.airflow
                                        : page_.entering_wet_bulb;
    }

   private:
    Basis basis_;
    PrintedPage page_;
    BuiltPage built_;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// A query within 1e-9 of the span of a breakpoint is that breakpoint: unit conversion must not miss a node.
[[nodiscard]] inline double snapped(double value, std::span<const double> breakpoints) noexcept {
    const double span =
        breakpoints.size() > 1 ? breakpoints.back() - breakpoints.front() : std::abs(breakpoints.front());
    for (const double b : breakpoints)
        if (std::abs(value - b) <= 1e-9 * span) return b;
    return value;
}

/// The page's grid with the edges asked for.
[[nodiscard]] inline GridView with_outside(const RatingTable& table, Outside outside) noexcept {
    GridView view = table.grid().view();
    switch (outside) {
        case Outside::refuse:
            return view;
        case Outside::hold:
            return view.with_edges(Edge::hold());
        case Outside::follow:
            return view.with_edges(Edge::extend(HUGE_VAL));
        case Outside::extend:
            break;
    }
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto x = view.breakpoints(axis);
        view = view.with_edge(axis, Edge::extend(0.02 * (x.back() - x.front())));
    }
    return view;
}

/// Why a point cannot even be held: more than 2 % of an axis' span past its edge (nothing asked for there is meant).
[[nodiscard]] inline Reason too_far(const RatingTable& table, const std::array<double, 3>& point) noexcept {
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto x = table.grid().breakpoints(axis);
        const double reach = 0.02 * (x.size() > 1 ? x.back() - x.front() : std::abs(x.front()));
        if (point[axis] < x.front() - reach || point[axis] > x.back() + reach)
            return {Why::outside,      About::axis,     static_cast<std::int8_t>(axis), -1, point[axis],
                    x.front() - reach, x.back() + reach};
    }
    return {};
}

/// A grid's reason in this floor's words.
[[nodiscard]] inline Reason page_reason(const RatingTable& table, Reason reason) noexcept {
    constexpr std::array abouts{About::outdoor_dry_bulb, About::standard_airflow, About::entering_wet_bulb};
    if (reason.about == About::axis && reason.axis >= 0 && reason.axis < 3)
        reason.about = abouts[static_cast<std::size_t>(reason.axis)];
    if (reason.why == Why::blank && reason.node >= 0 &&
        table.page().nodes[static_cast<std::size_t>(reason.node)].mark == Mark::dry)
        reason.why = Why::no_wet_line;
    return reason;
}

/// Reads the page: outdoor dry bulb and entering wet bulb in degC, airflow in m3/s of the page's own standard air.
[[nodiscard]] inline Answer<Reading> read_page(const RatingTable& table, double odb, double flow, double ewb,
                                               Outside outside) noexcept {
    using Axis = RatingTable::AxisNumber;
    const std::array<double, 3> point{snapped(odb, table.breakpoints(Axis::outdoor_dry_bulb)),
                                      snapped(flow, table.breakpoints(Axis::airflow)),
                                      snapped(ewb, table.breakpoints(Axis::entering_wet_bulb))};
    if (outside == Outside::hold)
        if (const Reason far = too_far(table, point); !far.none()) return page_reason(table, far);
    const auto found = outside == Outside::refuse ? table.grid().at(point) : with_outside(table, outside).at(point);
    if (!found) return page_reason(table, found.reason());
    const auto& v = found->value;
    const Footing inferred = v[5] != 0.0 ? Footing::inferred : Footing::inside;
    return Reading{v[0], v[1], v[2], v[3], v[4], found->footing | inferred};
}

/// The page's own uncertainty where it was read; `total` (W) is what was read there.
[[nodiscard]] inline PageUncertainty page_uncertainty(const RatingTable& table, double odb, double flow, double ewb,
                                                      double total) noexcept {
    const std::array<double, 3> point{odb, flow, ewb};
    PageUncertainty out;
    double squares = 1.0;  // sum over corners of the weight squared, which factors by axis
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto x = table.breakpoints(static_cast<RatingTable::AxisNumber>(axis));
        if (x.size() < 2) continue;
        std::size_t i = 0;
        while (i + 2 < x.size() && point[axis] >= x[i + 1]) ++i;
        const double width = x[i + 1] - x[i];
        const double t = std::clamp((point[axis] - x[i]) / width, 0.0, 1.0);
        squares *= t * t + (1.0 - t) * (1.0 - t);
        if (x.size() < 3 && t > 0.0 && t < 1.0) out.curvature_known = false;
        out.interpolation += 0.5 * t * (1.0 - t) * width * width * table.built().curvature[axis] * total;
    }
    out.resolution = table.page().total_step * std::sqrt(squares / 12.0);
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
