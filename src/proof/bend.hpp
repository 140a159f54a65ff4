/// @file
/// What straight reading between a page's nodes leaves out.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <type_traits>

#include "offnominal/expect/words.hpp"
#include "offnominal/ratings/rating_table.hpp"

namespace offnominal::detail {

/// As shares of gross total: what a curve through the page's neighbouring values has more than the straight line, and
/// the standard uncertainty that is left (instead of `ExpectedUncertainty::interpolation`).
struct Bend {
    double more = 0.0, left = 0.0;
};

/// The second derivative of total over total, along an axis between two of its breakpoints.
struct SecondDerivative {
    double value = 0.0;
    bool one_sign = true;
    double rounding = 0.0;  ///< standard uncertainty, of the last printed place
};

/// A cooling page's gross total where it is entered. A line extended past a dry node is straight by construction, and
/// tells nothing.
struct CoolingTotals {
    const RatingTable& table;

    [[nodiscard]] std::span<const PageAxis> axes() const noexcept { return table.axes(); }
    [[nodiscard]] std::span<const double> breakpoints(std::size_t axis) const noexcept {
        return table.grid().breakpoints(axis);
    }
    [[nodiscard]] double step() const noexcept { return table.page().total_step; }
    [[nodiscard]] double half_curvature(std::size_t axis) const noexcept { return table.print(axis).half_curvature; }
    [[nodiscard]] std::optional<double> total(const PagePoint& where) const noexcept {
        PageReading reading;
        if (!read_page(table, where, Outside::hold, reading).none() || has(reading.footing, Footing::wet_line) ||
            reading.filled)
            return std::nullopt;
        return reading.total;
    }
};

/// The same of a heating page.
struct HeatingTotals {
    const HeatingTable& table;

    [[nodiscard]] std::span<const PageAxis> axes() const noexcept { return heating_page_axes; }
    [[nodiscard]] std::span<const double> breakpoints(std::size_t axis) const noexcept {
        return table.grid().breakpoints(axis);
    }
    [[nodiscard]] double step() const noexcept { return table.page().capacity_step; }
    [[nodiscard]] double half_curvature(std::size_t axis) const noexcept { return 0.5 * table.built().curvature[axis]; }
    [[nodiscard]] std::optional<double> total(const PagePoint& where) const noexcept {
        const auto read = read_heating(table, where[PageAxis::outdoor_dry_bulb], where[PageAxis::airflow],
                                       where[PageAxis::entering_dry_bulb], Outside::hold);
        return read ? std::optional(read->capacity) : std::nullopt;
    }
};

/// By the second difference about one breakpoint, with the other axes where the page is entered.
template <class Totals>
[[nodiscard]] std::optional<SecondDerivative> second_difference(const Totals& page, std::size_t axis, PagePoint where,
                                                                std::size_t middle) noexcept {
    const auto x = page.breakpoints(axis);
    if (middle < 1 || middle + 1 >= x.size()) return std::nullopt;
    double total[3];
    for (std::size_t i = 0; i < 3; ++i) {
        where[page.axes()[axis]] = x[middle - 1 + i];
        const auto read = page.total(where);
        if (!read) return std::nullopt;
        total[i] = *read;
    }
    const double left = 1.0 / (x[middle] - x[middle - 1]), right = 1.0 / (x[middle + 1] - x[middle]);
    const double over = 2.0 / (x[middle + 1] - x[middle - 1]) / total[1];
    return SecondDerivative{over * ((total[2] - total[1]) * right - (total[1] - total[0]) * left), true,
                            over * root_of_squares({left, left + right, right}) * page.step() / std::sqrt(12.0)};
}

/// By the one or two second differences about a cell. Next to dry nodes, by the nearest wet ones.
template <class Totals>
[[nodiscard]] std::optional<SecondDerivative> second_derivative(const Totals& page, std::size_t axis,
                                                                const PagePoint& where, std::size_t cell,
                                                                double t) noexcept {
    const auto about_cell = [&](const PagePoint& at) -> std::optional<SecondDerivative> {
        const auto low = second_difference(page, axis, at, cell), high = second_difference(page, axis, at, cell + 1);
        if (!low || !high) return low ? low : high;
        return SecondDerivative{low->value + t * (high->value - low->value), low->value * high->value > 0.0,
                                std::max(low->rounding, high->rounding)};
    };
    if (const auto own = about_cell(where)) return own;
    if constexpr (std::is_same_v<Totals, CoolingTotals>) {
        const RatingTable& table = page.table;
        if (table.axes()[axis] == PageAxis::humidity) return second_difference(page, axis, where, cell + 2);
        if (table.humidity() == HumidityAxis::pairs) return std::nullopt;
        for (const double wetter : table.breakpoints(PageAxis::humidity)) {
            if (wetter <= where[PageAxis::humidity]) continue;
            PagePoint there = where;
            there[PageAxis::humidity] = wetter;
            if (const auto wet = about_cell(there)) return wet;
        }
    }
    return std::nullopt;
}

/// The bend of a page where it is entered: along each axis that prints three values or more and whose own differences
/// tell the sign. Half of what is taken is left as standard uncertainty, for a curve is no parabola; where the sign is
/// not told, what curvature the page has elsewhere.
/// @param pairs  the humidity axis is one of pairs, along which nothing bends
template <class Totals>
[[nodiscard]] Bend bend_at(const Totals& page, const PagePoint& entered, bool pairs = false) noexcept {
    double more = 0.0, known = 0.0, unknown = 0.0;
    for (std::size_t axis = 0; axis < page.axes().size(); ++axis) {
        const auto x = page.breakpoints(axis);
        if (x.size() < 2) continue;
        const double at = std::clamp(entered[page.axes()[axis]], x.front(), x.back());
        const auto above = static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), at) - x.begin());
        const std::size_t cell = std::min(above - 1, x.size() - 2);
        const double width = x[cell + 1] - x[cell], t = (at - x[cell]) / width;
        const double lever = 0.5 * t * (1.0 - t) * width * width;
        const bool tells = x.size() > 2 && !(pairs && page.axes()[axis] == PageAxis::humidity);
        const auto second = tells ? second_derivative(page, axis, entered, cell, t) : std::nullopt;
        if (second && second->one_sign && std::abs(second->value) > second->rounding) {
            more -= lever * second->value;
            known = std::hypot(known, lever * 0.5 * second->value, lever * second->rounding);
        } else {
            unknown += lever * 2.0 * page.half_curvature(axis);
        }
    }
    return Bend{more, std::hypot(known, unknown)};
}

/// The bend of the page that an expected capacity was read from. Integrated heating dips where coils frost, which is no
/// bend.
[[nodiscard]] inline std::optional<Bend> bend_of(const System& system, const Expected& e) noexcept {
    if (e.mode == Mode::heating) {
        if (e.frost != Frost::instantaneous || e.notes.has(Note::frost_taken_out)) return std::nullopt;
        return bend_at(HeatingTotals{heating_page_of(system, e).table}, e.entered);
    }
    if (e.upper_stage >= 0 || has(e.footing, Footing::dry)) return std::nullopt;
    const RatingTable& table = page_of(system, e).table;
    PageReading read;
    if (!read_page(table, e.entered, Outside::hold, read).none() || !(read.total > 0.0)) return std::nullopt;
    return bend_at(CoolingTotals{table}, e.entered, table.humidity() == HumidityAxis::pairs);
}

}  // namespace offnominal::detail
