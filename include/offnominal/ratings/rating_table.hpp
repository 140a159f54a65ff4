/// @file
/// One page of expanded cooling ratings: a grid over outdoor dry bulb, standard airflow, entering humidity and, where
/// the page prints them, entering dry bulb and station pressure.
///
/// Inside, the page is turned into two lines the dry-coil rule can work with: the *wet line* (gross total as if the
/// coil were wet) and the *uncapped sensible* at the reference dry bulb. Where the page is wet these are the printed
/// numbers. A node that prints sensible = total is dry: its total is the dry capacity at the reference dry bulb, not a
/// point of the wet line. There both lines are extended along entering wet bulb from the two lowest wet nodes and
/// marked `inferred` (quadratic extension was tried and is no better: second differences of a page printed to 0.1 MBh
/// are mostly rounding). What the page prints at a dry node is kept as an offset from the dry-coil rule's answer there
/// (or, where the rule would call the node wet, the lines are bent to it), so that the page's number comes back at the
/// page's conditions. Where the page prints sensible at several entering dry bulbs, a dry node is better known: from
/// the wet node beside it at the same wet bulb, along entering dry bulb.
///
/// Pairs of dry and wet bulb have no axis for such lines to run along: they are kept as printed.
#pragma once

#include <algorithm>
#include <array>
#include <span>
#include <utility>

#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/build.hpp"
#include "offnominal/ratings/edges.hpp"
#include "offnominal/ratings/page.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// A checked page, immutable. `read_page` looks things up in it.
class RatingTable {
   public:
    /// @throws InputError naming the node when the page contradicts itself: sizes that do not match, a sensible above
    ///         total, a dry node above a wet one, a non-positive total, a bypass factor outside (0, 1).
    OFFNOMINAL_INLINE RatingTable(Basis basis, PrintedPage page)
        : basis_(basis),
          page_(detail::with_steps(std::move(page))),
          built_(detail::build_page(basis_, page_)),
          humidity_(humidity_axis(page_)),
          pressure_(detail::printed_pressure(basis_)) {
        const PageShape shape(page_);
        for (std::size_t axis = 0; axis < page_axes; ++axis) {
            const auto which = static_cast<PageAxis>(axis);
            has_[axis] = shape.has(which);
            if (!has_[axis]) continue;
            const bool dry_bulb = which == PageAxis::entering_dry_bulb;
            prints_[axes_.size()] = {0.5 * built_.curvature[axis], dry_bulb || shape.size(which) > 2,
                                     !dry_bulb && !(which == PageAxis::airflow && page_.airflow_multiplied)};
            axes_.add(which);
        }
    }

    [[nodiscard]] const Basis& basis() const noexcept { return basis_; }
    [[nodiscard]] const PrintedPage& page() const noexcept { return page_; }
    [[nodiscard]] const Grid& grid() const noexcept { return built_.grid; }
    [[nodiscard]] const BuiltPage& built() const noexcept { return built_; }

    /// How an axis is printed, as far as uncertainty goes.
    struct Print {
        double half_curvature = 0.0;   ///< `BuiltPage::curvature`, halved
        bool curvature_known = false;  ///< three values or more
        bool rounded_each = false;     ///< each value is a number of its own, rounded on its own: not so one total
                                       ///< printed for several entering dry bulbs, or for a row of multipliers
    };
    /// In the order of the grid.
    [[nodiscard]] const Print& print(std::size_t axis) const noexcept { return prints_[axis]; }

    /// The axes the page has, in the order of its grid.
    [[nodiscard]] const ShortList<PageAxis, page_axes>& axes() const noexcept { return axes_; }
    [[nodiscard]] bool has(PageAxis axis) const noexcept { return has_[static_cast<std::size_t>(axis)]; }
    [[nodiscard]] HumidityAxis humidity() const noexcept { return humidity_; }
    /// Pa: the station pressure the page is printed for, where it has no axis of pressures.
    [[nodiscard]] double pressure() const noexcept { return pressure_; }
    /// Breakpoints of an axis the page has.
    [[nodiscard]] std::span<const double> breakpoints(PageAxis axis) const noexcept {
        return built_.grid.breakpoints(
            static_cast<std::size_t>(std::find(axes().begin(), axes().end(), axis) - axes().begin()));
    }

   private:
    Basis basis_;
    PrintedPage page_;
    BuiltPage built_;
    HumidityAxis humidity_;
    double pressure_;
    std::array<bool, page_axes> has_{};
    ShortList<PageAxis, page_axes> axes_;
    std::array<Print, page_axes> prints_{};
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Where a page is entered, on the axes its grid has.
struct GridPoint {
    std::array<double, page_axes> at{};
    std::size_t rank = 0;

    OFFNOMINAL_INLINE GridPoint(const RatingTable& table, const PagePoint& point) noexcept {
        const GridView& grid = table.grid().view();
        for (const PageAxis axis : table.axes()) {
            at[rank] = snapped(point[axis], grid.breakpoints(rank));
            ++rank;
        }
    }
    [[nodiscard]] std::span<const double> values() const noexcept { return {at.data(), rank}; }
};

/// A grid's reason in this floor's words.
[[nodiscard]] inline Reason page_reason(const RatingTable& table, Reason reason) noexcept {
    const auto axis = static_cast<std::size_t>(reason.axis);
    if (reason.about == About::axis && reason.axis >= 0 && axis < table.axes().size())
        reason.about = about(table.axes()[axis], table.humidity());
    return reason;
}

/// What the outputs of a page's grid mean; how many there are depends on what the page prints (`BuiltPage::grid`).
/// Written where it is wanted: a copy would wait for the numbers to reach the cache.
inline void take_reading(const double* v, std::size_t outputs, Footing footing, PageReading& out) noexcept {
    out.total = v[0];
    out.sensible = v[1];
    out.power = v[2];
    out.bypass = v[3];
    out.dry_offset = outputs > 4 ? v[4] : 0.0;
    out.power_offset = outputs > 4 ? v[5] : 0.0;
    out.inferred = outputs > 4 ? v[6] : 0.0;
    out.filled = outputs > 7 && v[7] != 0.0;
    out.footing = footing;
    if (out.filled) out.footing |= Footing::inferred;
    if (out.inferred != (out.filled ? v[7] : 0.0)) out.footing |= Footing::wet_line;
}

/// Reads the page. @return why not
[[nodiscard]] inline Reason read_page(const RatingTable& table, const PagePoint& where, Edges outside,
                                      PageReading& out) noexcept {
    const GridPoint point(table, where);
    const auto found = read_grid(table.grid(), point.values(), outside);
    if (found) {
        take_reading(found->value.data(), table.grid().outputs(), found->footing, out);
        return {};
    }
    Reason reason = page_reason(table, found.reason());
    if (reason.why == Why::blank && reason.node >= 0 &&
        table.page().nodes[static_cast<std::size_t>(reason.node)].mark == Mark::dry)
        reason.why = Why::no_wet_line;
    return reason;
}

/// What a page prints where it is read, between its nodes: a dry node's own numbers, and those of a net page net. A
/// node that is blank and was filled counts as what it was filled with.
struct Printed {
    double total = 0.0, sensible = 0.0, power = 0.0;  ///< W
    double fan = 0.0;                                 ///< W: of a net page, taken from total and sensible
};

/// To be asked where `read_page` has an answer.
[[nodiscard]] inline Printed printed_at(const RatingTable& table, const PagePoint& where, Edges outside) noexcept {
    Printed out;
    const GridPoint point(table, where);
    const GridView grid = with_outside(table.grid().view(), outside);
    const auto cell = grid.cell(point.values());
    if (!cell) return out;
    const PrintedPage& page = table.page();
    const Basis& basis = table.basis();
    for (std::size_t i = 0; i < cell->corners(); ++i) {
        const Corner corner = cell->corner(i);
        const auto n = static_cast<std::size_t>(corner.node);
        const PrintedNode& node = page.nodes[n];
        const double* const filled = grid.data().values + n * table.grid().outputs();
        const double flow = page.airflow[n / grid.stride(1) % page.airflow.size()];  // the second axis of every page
        const double fan = basis.capacity == CapacityBasis::net ? basis.fan.heat(flow) : 0.0;
        const bool prints = PageCheck::has_number(node);
        out.total += corner.weight * (prints ? node.total : filled[0] - fan);
        out.sensible += corner.weight * (prints ? node.sensible : filled[1] - fan);
        out.power += corner.weight * (prints ? node.power : filled[2]);
        out.fan += corner.weight * fan;
    }
    return out;
}

/// Reads one extra column.
[[nodiscard]] inline Answer<double> read_extra(const RatingTable& table, std::size_t column,
                                               const PagePoint& where) noexcept {
    const GridPoint point(table, where);
    const auto found = table.built().extras[column].at(point.values());
    if (!found) return page_reason(table, found.reason());
    return found->value[0];
}

/// The page's own uncertainty where it was read; `total` (W) is what was read there.
[[nodiscard]] inline PageUncertainty page_uncertainty(const RatingTable& table, const PagePoint& point,
                                                      double total) noexcept {
    PageUncertainty out;
    double squares = 1.0;  // sum over corners of the weight squared, which factors by axis
    const GridData& grid = table.grid().view().data();
    double bend = 0.0;  // of the total, over the total
    for (std::size_t k = 0; k < table.axes().size(); ++k) {
        const AxisData& along = grid.axis[k];
        if (along.size < 2) continue;
        const RatingTable::Print& print = table.print(k);
        const double at = point[table.axes()[k]];
        const double* const x = along.numbers + (std::min)(cell_number(along, at), along.size - 2);
        const double width = x[1] - x[0];
        const double t = std::clamp((at - x[0]) * x[along.size], 0.0, 1.0), rest = 1.0 - t;
        const double between = t * rest;
        if (print.rounded_each) squares *= t * t + rest * rest;
        if (!print.curvature_known && between > 0.0) out.curvature_known = false;
        bend += between * (width * width) * print.half_curvature;
    }
    out.interpolation = bend * total;
    constexpr double half_step =
        0.28867513459481288;  // standard uncertainty of a rounded number, in steps: 1 / sqrt(12)
    out.resolution = table.page().total_step * half_step * real::sqrt(squares);
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

}  // namespace offnominal
OFFNOMINAL_EXACT_END
