/// @file
/// Where an output reaches a target along one axis.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/grid/view.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// One stretch of an axis on which an output equals the target: a point (lower == upper), or a flat run.
struct Crossing {
    double lower = 0.0;
    double upper = 0.0;
};

/// What `solve` found.
struct Crossings {
    std::size_t count = 0;         ///< all of them, even if the caller's span holds fewer
    std::size_t hidden_cells = 0;  ///< cells that could not be searched because they lean on a blank node
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] inline Answer<Crossings> solve_along(const GridView& view, std::span<const double> point,
                                                   std::size_t axis, std::size_t output, double target,
                                                   std::span<Crossing> out) noexcept {
    const GridData& grid = view.data();
    if (point.size() != view.rank() || view.rank() == 0) return wrong_rank(grid, point.size());
    if (axis >= view.rank())
        return Reason{Why::outside, About::axis, -1, -1, static_cast<double>(axis), 0.0, grid.rank - 1.0};
    if (output >= view.outputs())
        return Reason{Why::no_output, About::nothing, -1, -1, static_cast<double>(output), 0.0, grid.outputs - 1.0};
    if (!real::is_finite(target)) return Reason{Why::not_finite, About::nothing, -1, -1, target};

    const AxisData& a = grid.axis[axis];
    const double* b = a.numbers;
    const std::int64_t last = a.size - 1;
    double x[max_rank];
    for (std::size_t k = 0; k < view.rank(); ++k) x[k] = k == axis ? b[0] : point[k];
    Admitted in;
    if (const Reason reason = admit(grid, x, in); !reason.none()) return reason;

    const auto at_breakpoint = [&](std::int64_t i) {  // NaN where there is no answer
        in.x[axis] = b[i];
        double values[max_outputs];
        return evaluate_point(grid, in.x, values) ? values[output] : not_a_number;
    };
    Crossings found;
    bool open = false;  // the last crossing ends where the next piece starts, which may lengthen it
    const auto add = [&](double lower, double upper) {
        if (!open) ++found.count;
        if (found.count > out.size()) return;
        if (!open) out[found.count - 1].lower = lower;
        out[found.count - 1].upper = upper;
    };
    // The line through (x0, f0) and (x1, f1), on the stretch from `from` to `to`.
    const auto piece = [&](double x0, double f0, double x1, double f1, double from, double to) {
        if (f0 == target && f1 == target) {
            add(from, to);
            open = true;
            return;
        }
        double r = f0 == target ? x0 : f1 == target ? x1 : x0 + (x1 - x0) * ((target - f0) / (f1 - f0));
        if ((f0 < target) != (f1 < target)) r = real::fmin(real::fmax(r, x0), x1);  // between them, rounding or not
        if (r >= from && r <= to) add(r, r);
        open = r == to;
    };

    double f0 = at_breakpoint(0);
    if (last == 0) {
        if (f0 == target) add(b[0], b[0]);
        if (!real::is_finite(f0)) found.hidden_cells = 1;
    }
    for (std::int64_t i = 0; i < last; ++i) {
        const double f1 = at_breakpoint(i + 1);
        const double from = i == 0 && a.clamp_lower < b[0] ? a.clamp_lower : b[i];
        const double to = i + 1 == last && a.clamp_upper > b[last] ? a.clamp_upper : b[i + 1];
        if (real::is_finite(f0) && real::is_finite(f1)) {
            piece(b[i], f0, b[i + 1], f1, from, to);
        } else {
            ++found.hidden_cells;
            if (f0 == target) add(b[i], b[i]);  // its own node still counts
            open = false;
            if (f1 == target) add(b[i + 1], b[i + 1]);
            open = f1 == target;
        }
        f0 = f1;
    }
    return found;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// All places along `axis` where `output` reaches `target`, the other coordinates being those of `point`, in ascending
/// order. Between breakpoints the output is linear along an axis, so this is exact up to the rounding of one division.
/// @param out takes as many as fit
[[nodiscard]] OFFNOMINAL_INLINE Answer<Crossings> solve(const GridView& view, std::span<const double> point,
                                                        std::size_t axis, std::size_t output, double target,
                                                        std::span<Crossing> out) noexcept {
    return detail::solve_along(view, point, axis, output, target, out);
}

}  // namespace offnominal
OFFNOMINAL_EXACT_END
