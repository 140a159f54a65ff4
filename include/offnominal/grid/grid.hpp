/// @file
/// A grid that owns its numbers.
#pragma once

#include <cstddef>
#include <limits>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/grid/axis.hpp"
#include "offnominal/grid/view.hpp"

namespace offnominal {

/// Here, because `grid/data.hpp` includes nothing of the library's.
template <>
inline constexpr Word<Mark> words_of<Mark>[] = {{Mark::printed, "printed"},
                                                {Mark::dry, "dry"},
                                                {Mark::inferred, "inferred"},
                                                {Mark::blank, "blank"},
                                                {Mark::beyond_limit, "beyond_limit"}};

/// Several outputs over up to six axes, multilinear between nodes. Checked once, in the constructor; immutable
/// afterwards. What it answers, and how, is said at `GridView`.
class Grid {
   public:
    /// A grid without axes: every question is refused.
    Grid() = default;

    /// @param axes one to six
    /// @param values the outputs of each node side by side, nodes row-major over the axes; at nodes marked blank or
    ///        beyond_limit of any value (kept as NaN), finite at all others
    /// @param outputs one to eight
    /// @param marks one per node; none at all means all printed
    /// @throws InputError saying which of this is not so, with index and value
    OFFNOMINAL_INLINE Grid(std::vector<Axis> axes, std::vector<double> values, std::size_t outputs,
                           std::vector<Mark> marks = {})
        : axes_(std::move(axes)), values_(std::move(values)), marks_(std::move(marks)) {
        prepare_values(outputs);
        view_.lay(axes_.data(), axes_.size(), values_.data(), values_.size(), outputs, marks_.data(), marks_.size());
        for (std::size_t k = 0; k < axes_.size(); ++k) detail::set_edge(view_.data_.axis[k], axes_[k].edge());
    }

    Grid(const Grid& other) : axes_(other.axes_), values_(other.values_), marks_(other.marks_), view_(other.view_) {
        if (!axes_.empty()) view_.move_to(axes_, values_, marks_);
    }
    Grid(Grid&& other) noexcept { swap(other); }
    Grid& operator=(Grid other) noexcept {
        swap(other);
        return *this;
    }
    ~Grid() = default;

    [[nodiscard]] const GridView& view() const noexcept { return view_; }
    [[nodiscard]] const std::vector<Axis>& axes() const noexcept { return axes_; }

    // The questions of its view.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<GridValue> at(std::span<const double> point) const noexcept {
        return view_.at(point);
    }
    [[nodiscard]] OFFNOMINAL_INLINE Answer<Cell> cell(std::span<const double> point) const noexcept {
        return view_.cell(point);
    }
    [[nodiscard]] OFFNOMINAL_INLINE Answer<GridGradient> gradient(std::span<const double> point,
                                                                  Side side = Side::upper) const noexcept {
        return view_.gradient(point, side);
    }
    [[nodiscard]] OFFNOMINAL_INLINE GridView with_edges(Edge edge) const noexcept { return view_.with_edges(edge); }
    [[nodiscard]] OFFNOMINAL_INLINE GridView with_edge(std::size_t axis, Edge edge) const noexcept {
        return view_.with_edge(axis, edge);
    }
    [[nodiscard]] std::size_t rank() const noexcept { return view_.rank(); }
    [[nodiscard]] std::size_t outputs() const noexcept { return view_.outputs(); }
    [[nodiscard]] std::size_t nodes() const noexcept { return view_.nodes(); }
    [[nodiscard]] std::span<const double> breakpoints(std::size_t axis) const noexcept {
        return view_.breakpoints(axis);
    }
    [[nodiscard]] std::size_t stride(std::size_t axis) const noexcept { return view_.stride(axis); }
    [[nodiscard]] std::size_t number(std::span<const std::size_t> index) const noexcept { return view_.number(index); }
    [[nodiscard]] std::array<std::size_t, max_rank> index(std::size_t number) const noexcept {
        return view_.index(number);
    }
    [[nodiscard]] double value(std::size_t node, std::size_t output) const noexcept {
        return view_.value(node, output);
    }
    [[nodiscard]] Mark mark(std::size_t node) const noexcept { return view_.mark(node); }
    [[nodiscard]] std::span<const double> values() const noexcept { return view_.values(); }

   private:
    /// Blanks to NaN, and slack. @throws InputError
    void prepare_values(std::size_t outputs) {
        std::size_t nodes = 1;
        for (const Axis& axis : axes_) nodes = detail::product(nodes, axis.breakpoints().size());
        const std::size_t size = detail::product(nodes, outputs);
        if (values_.size() != size)
            detail::raise(InputError({},
                                     "a grid of " + std::to_string(nodes) + " nodes with " + std::to_string(outputs) +
                                         " outputs cannot have this many values",
                                     std::to_string(values_.size()), std::to_string(size)));
        for (std::size_t node = 0; node < marks_.size() && node < nodes; ++node)
            if (marks_[node] == Mark::blank || marks_[node] == Mark::beyond_limit)
                for (std::size_t j = 0; j < outputs; ++j)
                    values_[node * outputs + j] = std::numeric_limits<double>::quiet_NaN();
        values_.reserve(values_.size() + GridView::slack);
        for (std::size_t i = 0; i < GridView::slack; ++i) values_.push_back(0.0);
    }

    void swap(Grid& other) noexcept {  // buffers move with their vectors, so the views stay right
        axes_.swap(other.axes_);
        values_.swap(other.values_);
        marks_.swap(other.marks_);
        std::swap(view_, other.view_);
    }

    std::vector<Axis> axes_;
    std::vector<double> values_;
    std::vector<Mark> marks_;
    GridView view_;
};

}  // namespace offnominal
