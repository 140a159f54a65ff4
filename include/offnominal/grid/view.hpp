/// @file
/// A grid that owns nothing.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/detail/contract.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/grid/axis.hpp"
#include "offnominal/grid/cell.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/query.hpp"

namespace offnominal {

namespace detail {
/// A product of sizes; the greatest number there is where it would wrap around.
[[nodiscard]] constexpr std::size_t product(std::size_t a, std::size_t b) noexcept {
    return b != 0 && a > SIZE_MAX / b ? SIZE_MAX : a * b;
}
}  // namespace detail

/// Several outputs over up to six axes, multilinear between nodes; a view of numbers that stand elsewhere and must
/// outlive it, such as a `Grid` or a table embedded in a program. Cheap to copy; every question is noexcept,
/// allocation-free and thread-safe.
///
/// At a node the answer is the stored double, bit for bit. A corner without weight never matters. A corner with weight
/// that is blank or beyond a limit is a reason that names it. What happens past the end of an axis is the axis' edge
/// policy.
class GridView {
   public:
    /// Doubles that must be readable after the last value: kernels load whole vectors.
    static constexpr std::size_t slack = static_cast<std::size_t>(detail::slack);

    /// A grid without axes: every question is refused.
    GridView() = default;

    /// @param axes one to six
    /// @param values the outputs of each node side by side, nodes row-major over the axes, then `slack` doubles of any
    /// value;
    ///        NaN in each output of a node that is blank or beyond a limit, finite in all others
    /// @param outputs one to eight
    /// @param marks one per node; none at all means all printed
    /// @throws InputError saying which of this is not so, with index and value
    OFFNOMINAL_INLINE GridView(std::span<const Axis> axes, std::span<const double> values, std::size_t outputs,
                               std::span<const Mark> marks = {}) {
        lay(axes.data(), axes.size(), values.data(), values.size(), outputs, marks.data(), marks.size());
        for (std::size_t k = 0; k < rank(); ++k) detail::set_edge(data_.axis[k], axes[k].edge());
    }

    /// The outputs at a point, one coordinate per axis.
    /// Reasons: not_finite and outside (about the axis), blank and beyond_limit (with the node), not_given and
    /// contradictory (too few or too many coordinates), not_finite about nothing (numbers too large to interpolate).
    [[nodiscard]] OFFNOMINAL_INLINE Answer<GridValue> at(std::span<const double> point) const noexcept {
        return detail::value_at(data_, point);
    }

    /// The cell and the corners a point leans on, whatever their marks.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<Cell> cell(std::span<const double> point) const noexcept {
        return detail::cell_at(data_, point);
    }

    /// The outputs and their derivatives along each axis; at a breakpoint those on the given side. A blank node that
    /// only a derivative needs is a reason too; the other side may have an answer.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<GridGradient> gradient(std::span<const double> point,
                                                                  Side side = Side::upper) const noexcept {
        return detail::gradient_at(data_, point, side);
    }

    /// The same numbers with another edge policy on every axis, or on one.
    [[nodiscard]] OFFNOMINAL_INLINE GridView with_edges(Edge edge) const noexcept {
        GridView out = *this;
        for (std::size_t k = 0; k < rank(); ++k) detail::set_edge(out.data_.axis[k], edge);
        return out;
    }
    [[nodiscard]] OFFNOMINAL_INLINE GridView with_edge(std::size_t axis, Edge edge) const noexcept {
        GridView out = *this;
        if (axis < rank()) detail::set_edge(out.data_.axis[axis], edge);
        return out;
    }

    [[nodiscard]] std::size_t rank() const noexcept { return static_cast<std::size_t>(data_.rank); }
    [[nodiscard]] std::size_t outputs() const noexcept { return static_cast<std::size_t>(data_.outputs); }
    [[nodiscard]] std::size_t nodes() const noexcept { return static_cast<std::size_t>(data_.nodes); }
    [[nodiscard]] std::span<const double> breakpoints(std::size_t axis) const noexcept {
        return {data_.axis[axis].numbers, static_cast<std::size_t>(data_.axis[axis].size)};
    }

    /// Nodes from one node to the next along an axis.
    [[nodiscard]] std::size_t stride(std::size_t axis) const noexcept {
        return static_cast<std::size_t>(data_.axis[axis].stride / data_.outputs);
    }
    /// Row-major number of the node with these indices.
    [[nodiscard]] std::size_t number(std::span<const std::size_t> index) const noexcept {
        std::size_t out = 0;
        for (std::size_t k = 0; k < rank(); ++k) out += index[k] * stride(k);
        return out;
    }
    /// Indices of the node with this number.
    [[nodiscard]] std::array<std::size_t, max_rank> index(std::size_t number) const noexcept {
        std::array<std::size_t, max_rank> out{};
        for (std::size_t k = 0; k < rank(); ++k) {
            out[k] = number / stride(k);
            number %= stride(k);
        }
        return out;
    }
    /// A stored number; NaN at a blank node or one beyond a limit.
    [[nodiscard]] double value(std::size_t node, std::size_t output) const noexcept {
        return data_.values[node * outputs() + output];
    }
    [[nodiscard]] Mark mark(std::size_t node) const noexcept {
        return data_.marks == nullptr ? Mark::printed : data_.marks[node];
    }
    /// All stored numbers, row-major over the axes, outputs last.
    [[nodiscard]] std::span<const double> values() const noexcept { return {data_.values, nodes() * outputs()}; }

    /// The plain data that kernels take.
    [[nodiscard]] const detail::GridData& data() const noexcept { return data_; }

   private:
    friend class Grid;

    /// Everything but the edges. @throws InputError
    void lay(const Axis* axes, std::size_t rank, const double* values, std::size_t size, std::size_t outputs,
             const Mark* marks, std::size_t marked);

    /// The same numbers where a copy has them.
    void move_to(const std::vector<Axis>& axes, const std::vector<double>& values,
                 const std::vector<Mark>& marks) noexcept {
        for (std::size_t k = 0; k < axes.size(); ++k) data_.axis[k].numbers = axes[k].numbers_.data();
        data_.values = values.data();
        data_.marks = marks.empty() ? nullptr : marks.data();
    }

    detail::GridData data_{};
};

inline void GridView::lay(const Axis* axes, std::size_t rank, const double* values, std::size_t size,
                          std::size_t outputs, const Mark* marks, std::size_t marked) {
    const auto refuse = [](const std::string& problem, const std::string& text, const std::string& accepted) {
        detail::raise(InputError({}, problem, text, accepted));
    };
    if (rank == 0 || rank > static_cast<std::size_t>(max_rank))
        refuse("a grid cannot have this many axes", std::to_string(rank), "1 to 6");
    if (outputs == 0 || outputs > static_cast<std::size_t>(max_outputs))
        refuse("a grid cannot have this many outputs", std::to_string(outputs), "1 to 8");
    std::size_t nodes = 1;
    for (std::size_t k = 0; k < rank; ++k) {
        if (axes[k].size_ > static_cast<std::size_t>(INT32_MAX) / nodes)
            refuse("a grid cannot have this many nodes", "more than " + std::to_string(INT32_MAX),
                   "2147483647 or fewer");
        nodes *= axes[k].size_;
    }
    if (size < nodes * outputs + slack)
        refuse("a view of " + std::to_string(nodes) + " nodes with " + std::to_string(outputs) +
                   " outputs has too few values",
               std::to_string(size), std::to_string(nodes * outputs) + " and " + std::to_string(slack) + " of slack");
    if (marked != 0 && marked != nodes)
        refuse("a grid of " + std::to_string(nodes) + " nodes cannot have this many marks", std::to_string(marked),
               "one for each node, or none");

    for (std::size_t node = 0; node < nodes; ++node) {
        const Mark mark = marked == 0 ? Mark::printed : marks[node];
        if (mark > Mark::beyond_limit)
            refuse("node " + std::to_string(node) + " has no such mark", std::to_string(static_cast<int>(mark)),
                   "a Mark");
        const bool missing = mark == Mark::blank || mark == Mark::beyond_limit;
        for (std::size_t j = 0; j < outputs; ++j) {
            const double v = values[node * outputs + j];
            const std::string where = "output " + std::to_string(j) + " of node " + std::to_string(node);
            if (missing && !real::is_nan(v))
                refuse(where + ", which is blank or beyond a limit, is a number", detail::number_text(v), "NaN");
            if (!missing && !real::is_finite(v))
                refuse(where + " is not a finite number", detail::number_text(v),
                       "finite numbers, or a mark that says why not");
        }
        data_.has_inferred = data_.has_inferred || mark == Mark::inferred;
    }

    data_.values = values;
    data_.marks = marked == 0 ? nullptr : marks;
    data_.nodes = static_cast<std::int64_t>(nodes);
    data_.rank = static_cast<std::int32_t>(rank);
    data_.outputs = static_cast<std::int32_t>(outputs);
    std::int64_t stride = data_.outputs;
    for (std::size_t k = rank; k-- > 0;) {
        const auto breakpoints = static_cast<std::int64_t>(axes[k].size_);
        data_.axis[k] = {axes[k].numbers_.data(), breakpoints, stride, 0.0, 0.0, 0.0, 0.0};
        stride *= breakpoints;
    }
}

}  // namespace offnominal
