/// @file
/// Line set: the maker's factor on total capacity and power for the tubing between indoor and outdoor unit.
#pragma once

#include <algorithm>
#include <cstdlib>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/derates/fittings.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/grid/grid.hpp"

namespace offnominal {

/// What to do about a line that the maker's table does not hold.
enum class BeyondTable : std::uint8_t {
    refuse,
    model,  ///< what it costs beyond the nearest printed one by `derates/line_loss.hpp`, said and with its uncertainty
};
template <>
inline constexpr Word<BeyondTable> words_of<BeyondTable>[] = {{BeyondTable::refuse, "refuse"},
                                                              {BeyondTable::model, "model"}};

/// The line set of an installation.
struct LineSet {
    static constexpr Length unknown{std::numeric_limits<double>::quiet_NaN()};

    /// The line the page is rated with: factor 1.
    [[nodiscard]] static constexpr LineSet reference() noexcept { return LineSet{true, {}, {}, {}}; }
    /// A line of equivalent length (tubing plus fittings), suction diameter, lift: outdoor unit above (+) or below (-),
    /// and liquid diameter. A lift or a liquid line that is left out is unknown, not 0.
    [[nodiscard]] static constexpr LineSet of(Length equivalent_length, Length suction, Length lift = unknown,
                                              Length liquid = unknown) noexcept {
        return LineSet{false, equivalent_length, suction, lift, liquid};
    }
    /// The same line, where its length is the tubing's alone: with its fittings.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr LineSet with(const Fittings& of_line) const noexcept {
        LineSet line = *this;
        line.tubing = equivalent_length;
        line.fittings = of_line;
        line.equivalent_length.si = derates::fitted(line.tubing.si, suction.si, of_line).length;
        return line;
    }
    /// The same line, with a model where the maker's table does not hold it.
    [[nodiscard]] constexpr LineSet modelled() const noexcept {
        LineSet line = *this;
        line.beyond = BeyondTable::model;
        return line;
    }

    bool is_reference = false;
    Length equivalent_length;
    Length suction;
    Length lift;
    Length liquid = unknown;  ///< outside diameter; no factor depends on it, but whether liquid reaches the valve does
    BeyondTable beyond = BeyondTable::refuse;
    Length tubing = unknown;                          ///< where fittings are told apart, the tubing's own length
    std::optional<Fittings> fittings = std::nullopt;  ///< of the gas line; nothing: `equivalent_length` has them in it

    /// How long the tubing is at most: what a lift can be.
    [[nodiscard]] constexpr Length longest() const noexcept { return fittings ? tubing : equivalent_length; }
    /// Standard uncertainty of the equivalent length, m: its fittings'.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr double length_uncertainty() const noexcept {
        return fittings ? derates::fitted(tubing.si, suction.si, *fittings).uncertainty : 0.0;
    }
};

namespace detail {
inline namespace OFFNOMINAL_ISA {
/// Nothing, or why a line is none: a length or a size that is not given, a number that is infinite, a lift of more than
/// the whole length.
[[nodiscard]] constexpr Reason why_no_line(const LineSet& line) noexcept {
    if (line.is_reference) return {};
    const double lift = line.lift.si, length = line.longest().si;
    if (real::is_nan(line.equivalent_length.si)) return {Why::not_given, About::line_length, -1, -1, 0, 0, 0};
    if (real::is_nan(line.suction.si)) return {Why::not_given, About::suction_size, -1, -1, 0, 0, 0};
    if (!real::is_finite(line.equivalent_length.si) || !real::is_finite(line.suction.si) || real::is_infinite(lift))
        return {Why::not_finite, About::line_set, -1, -1, 0, 0, 0};
    const double most = (1.0 + 1e-9) * length;  // unit conversion must not miss it
    if (lift > most || lift < -most) return {Why::contradictory, About::lift, -1, -1, lift, -length, length};
    return {};
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// What a derate step does: factors on gross total and on power.
struct Factors {
    double total = 1.0;
    double power = 1.0;
};

/// The maker's line-set table: for each suction size a row of lengths with factors. A blank is *not allowed*, not 1.
class LineTable {
   public:
    struct Row {
        Length length;
        Length suction;
        double total = 1.0;
        double power = 1.0;
        Mark mark = Mark::printed;
    };
    struct Limits {
        Length least_lift{-real::infinity};
        Length greatest_lift{real::infinity};
    };

    LineTable() = default;

    /// @throws InputError for an empty table, two rows for one length and size, or a factor outside 0.5 to 1.2.
    OFFNOMINAL_INLINE LineTable(std::vector<Row> rows, Limits limits) : limits_(limits) {
        if (rows.empty())
            detail::raise(InputError({}, "the line-set table has no rows", {}, "length, suction, total, power"));
        std::sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
            return a.suction.si != b.suction.si ? a.suction.si < b.suction.si : a.length.si < b.length.si;
        });
        for (std::size_t first = 0; first < rows.size();) {
            std::size_t last = first;
            std::vector<double> lengths, values;
            std::vector<Mark> marks;
            for (; last < rows.size() && rows[last].suction.si == rows[first].suction.si; ++last) {
                const Row& row = rows[last];
                if (!lengths.empty() && lengths.back() == row.length.si)
                    detail::raise(InputError({}, "two rows for the same length and suction size in the line-set table",
                                             {}, "one row"));
                for (const double f : {row.total, row.power})
                    if (row.mark == Mark::printed && !(f >= 0.5 && f <= 1.2))
                        detail::raise(InputError({}, "a line-set factor of " + std::to_string(f), {},
                                                 "a factor from 0.5 to 1.2"));
                lengths.push_back(row.length.si);
                for (const double value : {row.total, row.power}) values.push_back(value);
                marks.push_back(row.mark);
            }
            sizes_.push_back({rows[first].suction, Grid({Axis("line length", lengths)}, values, 2, marks)});
            first = last;
        }
    }

    [[nodiscard]] bool empty() const noexcept { return sizes_.empty(); }
    [[nodiscard]] const Limits& limits() const noexcept { return limits_; }
    /// The rows as they were given, by rising size and length. Where one is blank its factors are 1.
    [[nodiscard]] std::vector<Row> rows() const {
        std::vector<Row> out;
        for (const Size& size : sizes_)
            for (std::size_t i = 0; i < size.factors.nodes(); ++i) {
                Row row{Length{size.factors.breakpoints(0)[i]}, size.suction, 1.0, 1.0, size.factors.mark(i)};
                if (row.mark == Mark::printed) {
                    row.total = size.factors.value(i, 0);
                    row.power = size.factors.value(i, 1);
                }
                out.push_back(row);
            }
        return out;
    }
    [[nodiscard]] std::vector<Length> suction_sizes() const {
        std::vector<Length> out;
        for (const Size& size : sizes_) out.push_back(size.suction);
        return out;
    }

    /// The printed row of a line's suction size that is nearest to its length, with `length`; a blank one (not allowed)
    /// if it is blank, nothing for another size.
    [[nodiscard]] OFFNOMINAL_INLINE std::optional<Row> nearest(const LineSet& line) const noexcept {
        for (const Size& size : sizes_) {
            if (!(std::abs(size.suction.si - line.suction.si) <= 1e-6)) continue;
            const auto lengths = size.factors.breakpoints(0);
            std::size_t node = 0;
            for (std::size_t i = 1; i < lengths.size(); ++i)
                if (std::abs(lengths[i] - line.equivalent_length.si) <
                    std::abs(lengths[node] - line.equivalent_length.si))
                    node = i;
            return Row{Length{lengths[node]}, size.suction, size.factors.value(node, 0), size.factors.value(node, 1),
                       size.factors.mark(node)};
        }
        return std::nullopt;
    }
    /// Past the lengths printed for a line's size: the factors of the nearest, where that is no farther than `reach`,
    /// and how far its total lies from that of the edge cell continued. Nothing for a size with one length, which tells
    /// no slope, or where the nearest is blank (not allowed).
    struct Held {
        Factors factors;
        double continued = 0.0;
    };
    [[nodiscard]] OFFNOMINAL_INLINE std::optional<Held> held(const LineSet& line, Length reach) const noexcept {
        for (const Size& size : sizes_) {
            if (!(std::abs(size.suction.si - line.suction.si) <= 1e-6) || size.factors.nodes() < 2) continue;
            const auto lengths = size.factors.breakpoints(0);
            const double point[1] = {line.equivalent_length.si};
            const double beyond = (std::max)(lengths.front() - point[0], point[0] - lengths.back());
            if (!(beyond <= reach.si + 1e-9)) continue;  // unit conversion must not miss it
            const GridView& view = size.factors.view();
            const auto edge = view.with_edges(Edge::hold()).at(point),
                       further = view.with_edges(Edge::extend(real::infinity)).at(point);
            if (edge && further)
                return Held{{edge->value[0], edge->value[1]}, std::abs(edge->value[0] - further->value[0])};
        }
        return std::nullopt;
    }
    /// Whether a line of that length could break a printed limit on lift, whichever way it goes; or none is printed.
    [[nodiscard]] OFFNOMINAL_INLINE bool lift_matters(Length length) const noexcept {
        return !(length.si <= limits_.greatest_lift.si && length.si <= -limits_.least_lift.si) ||
               limits_.greatest_lift.si > (std::numeric_limits<double>::max)();
    }

    /// Factors for a line, or why there are none: an unlisted suction size, a length outside the row or where the page
    /// is blank (not allowed), a lift past the limits or of more than the line's length.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<Factors> at(const LineSet& line) const noexcept {
        if (line.is_reference) return Factors{};
        if (const Reason reason = detail::why_no_line(line); !reason.none()) return reason;
        const double lift = line.lift.si, length = line.equivalent_length.si;
        if (lift < limits_.least_lift.si || lift > limits_.greatest_lift.si)
            return Reason{Why::outside, About::lift, -1, -1, lift, limits_.least_lift.si, limits_.greatest_lift.si};
        for (const Size& size : sizes_) {
            if (!(std::abs(size.suction.si - line.suction.si) <= 1e-6)) continue;
            const double point[1] = {length};
            const auto found = size.factors.at(point);
            if (!found) {
                Reason reason = found.reason();
                reason.about = About::line_length;
                return reason;
            }
            return Factors{found->value[0], found->value[1]};
        }
        return Reason{Why::unknown_line,
                      About::suction_size,
                      -1,
                      -1,
                      line.suction.si,
                      sizes_.empty() ? 0.0 : sizes_.front().suction.si,
                      sizes_.empty() ? 0.0 : sizes_.back().suction.si};
    }

    /// How uncertain a line's total factor is (standard) because its equivalent length is: half of what the factor
    /// changes over one standard uncertainty to either side, past an end of the row what the other side changes. Where
    /// the row has neither, 0.1 % a foot, which is steeper than such tables are (common practice, no source).
    [[nodiscard]] OFFNOMINAL_INLINE double doubt_of_length(const LineSet& line) const noexcept {
        const double u = line.length_uncertainty();
        if (!(u > 0.0)) return 0.0;
        constexpr double steep = 0.001 / 0.3048;
        const auto here = at(line);
        if (!here) return steep * u;
        double sum = 0.0;
        int sides = 0;
        for (const double by : {-u, u}) {
            LineSet moved = line;
            moved.equivalent_length.si += by;
            moved.lift = LineSet::unknown;
            const auto there = at(moved);
            if (!there) continue;
            sum += std::abs(there->total - here->total);
            ++sides;
        }
        return sides == 0 ? steep * u : sum / sides;
    }

   private:
    struct Size {
        Length suction;
        Grid factors;
    };
    std::vector<Size> sizes_;
    Limits limits_;
};

}  // namespace offnominal
