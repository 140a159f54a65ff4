/// @file
/// One axis of a grid: its breakpoints, and what happens past its ends.
#pragma once

#include <cfloat>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/detail/contract.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/detail/text.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/grid/data.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

namespace detail {

inline namespace OFFNOMINAL_ISA {

/// @throws InputError naming the axis, the index and the value: see `Axis`
inline void check_breakpoints(const std::string& name, const std::vector<double>& x) {
    if (x.empty()) detail::raise(InputError({}, "axis '" + name + "' has no breakpoints", {}, "at least one"));
    for (std::size_t i = 0; i < x.size(); ++i) {
        const auto refuse = [&](const std::string& problem, const std::string& accepted) {
            detail::raise(InputError({}, "axis '" + name + "': breakpoint " + std::to_string(i) + " " + problem,
                                     number_text(x[i]), accepted));
        };
        if (!real::is_finite(x[i])) refuse("is not a finite number", "finite numbers");
        if (i == 0) continue;
        const std::string above = "strictly increasing breakpoints; the one before is " + number_text(x[i - 1]);
        if (x[i] == x[i - 1]) refuse("repeats the one before it", above);
        if (x[i] < x[i - 1]) refuse("lies below the one before it", above);
        const double width = x[i] - x[i - 1];
        if (!real::is_finite(width) || !real::is_finite(1.0 / width))
            refuse("lies too close to the one before it, or too far from it", above);
    }
}

/// 1 / (upper - lower), rounded so that (x - lower) times it never passes 1 for x up to `upper`.
inline double inverse_width(double lower, double upper) noexcept {
    const double width = upper - lower;
    double inverse = 1.0 / width;
    while (width * inverse > 1.0) inverse = real::next_after(inverse, 0.0);
    return inverse;
}

/// The numbers of an axis: its breakpoints, checked, then the inverse width of the cell above each (0 for the last).
inline std::vector<double> axis_numbers(const std::string& name, std::vector<double> x) {
    check_breakpoints(name, x);
    const std::size_t size = x.size();
    x.reserve(2 * size);
    for (std::size_t i = 0; i < size; ++i) x.push_back(i + 1 < size ? inverse_width(x[i], x[i + 1]) : 0.0);
    return x;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// What happens to a query past either end of an axis. Both ends belong to the axis (closed), whatever the policy.
class Edge {
   public:
    enum class Kind : std::uint8_t {
        refuse,  ///< there is no answer: Why::outside
        hold,    ///< the answer at the end, with Footing::held
        extend,  ///< the end cell continued linearly, with Footing::extended; past the limit there is no answer
    };

    static constexpr Edge refuse() noexcept { return Edge(Kind::refuse, 0.0); }
    static constexpr Edge hold() noexcept { return Edge(Kind::hold, 0.0); }

    /// @param limit how far past either end, in units of the axis; infinity means without limit
    /// @throws InputError if the limit is negative or NaN
    static Edge extend(double limit) {
        if (!(limit >= 0.0))
            detail::raise(InputError({}, "an axis cannot be extended by this limit", detail::number_text(limit),
                                     "zero, a positive number or infinity"));
        return Edge(Kind::extend, limit);
    }

    [[nodiscard]] OFFNOMINAL_INLINE constexpr Kind kind() const noexcept { return kind_; }
    /// How far past either end `extend` reaches; 0 for the other policies.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr double limit() const noexcept { return limit_; }
    friend constexpr bool operator==(const Edge&, const Edge&) = default;

   private:
    constexpr Edge(Kind kind, double limit) noexcept : kind_(kind), limit_(limit) {}

    Kind kind_;
    double limit_;
};

/// A name, strictly increasing finite breakpoints, and an edge policy. Checked once, here; immutable afterwards.
///
/// One breakpoint is an axis too: under `refuse` a query must equal it, under `hold` everything is held at it, and
/// `extend` has no cell to continue, so it refuses like `refuse`.
class Axis {
   public:
    /// @throws InputError naming the axis, the index and the value if there is no breakpoint, one is not finite, or one
    ///         does not lie above the one before it by a distance whose reciprocal is finite
    OFFNOMINAL_INLINE Axis(std::string name, std::vector<double> breakpoints, Edge edge = Edge::refuse())
        : name_(std::move(name)),
          numbers_(detail::axis_numbers(name_, std::move(breakpoints))),
          size_(numbers_.size() / 2),
          edge_(edge) {}

    [[nodiscard]] OFFNOMINAL_INLINE const std::string& name() const noexcept { return name_; }
    [[nodiscard]] OFFNOMINAL_INLINE std::span<const double> breakpoints() const noexcept {
        return {numbers_.data(), size_};
    }
    [[nodiscard]] OFFNOMINAL_INLINE Edge edge() const noexcept { return edge_; }

   private:
    friend class GridView;
    friend class Grid;

    std::string name_;
    std::vector<double> numbers_;  ///< see `detail::axis_numbers`
    std::size_t size_;
    Edge edge_;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// An edge policy as the four numbers it comes down to.
inline void set_edge(AxisData& axis, Edge edge) noexcept {
    const double first = axis.numbers[0], last = axis.numbers[axis.size - 1];
    const bool extends = edge.kind() == Edge::Kind::extend && axis.size > 1;
    const double reach = extends ? edge.limit() : 0.0;
    axis.clamp_lower = real::fmax(first - reach, -DBL_MAX);
    axis.clamp_upper = real::fmin(last + reach, DBL_MAX);
    const bool hold = edge.kind() == Edge::Kind::hold;
    axis.accept_lower = hold ? -DBL_MAX : axis.clamp_lower;
    axis.accept_upper = hold ? DBL_MAX : axis.clamp_upper;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

}  // namespace offnominal
OFFNOMINAL_EXACT_END
