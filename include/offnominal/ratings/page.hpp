/// @file
/// A page of expanded ratings as plain data: as printed, as built, and as read.
#pragma once

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/grid/grid.hpp"
#include "offnominal/ratings/basis.hpp"

namespace offnominal {

/// What to do past the edge of a page. Nothing but `refuse` happens unless asked.
enum class Outside : std::uint8_t {
    refuse,
    hold,    ///< take the value at the edge, at most 2 % of the axis' span away
    extend,  ///< continue the edge cell, at most 2 % of the axis' span
};
template <>
inline constexpr Word<Outside> words_of<Outside>[] = {
    {Outside::refuse, "refuse"}, {Outside::hold, "hold"}, {Outside::extend, "extend"}};

namespace detail {
/// Continue the edge cell without limit: for the sensitivities of a proof, never for an answer. It is no enumerator, so
/// that a question which holds it is refused.
inline constexpr Outside follow = static_cast<Outside>(3);
}  // namespace detail

/// One node as printed, SI.
struct PrintedNode {
    double total = 0.0;         ///< W
    double sensible = 0.0;      ///< W, at the reference dry bulb
    double power = 0.0;         ///< W
    double bypass = 0.0;        ///< bypass factor
    Mark mark = Mark::printed;  ///< printed, dry, blank or beyond_limit
};

/// Entering dry and wet bulb printed as one pair (75/63): they cannot be told apart into axes.
struct IndoorPair {
    double dry_bulb = 0.0;  ///< degC
    double wet_bulb = 0.0;  ///< degC
    friend bool operator==(const IndoorPair&, const IndoorPair&) = default;
};

/// A column of a service sheet that no capacity comes from (split, pressures, amps, efficiency): kept and interpolated.
struct ExtraColumn {
    std::string name;            ///< its role: `split`, `suction_pressure`, ...
    Unit unit;                   ///< as printed
    std::vector<double> values;  ///< SI, one for each node; NaN where blank
    double step = 0.0;           ///< SI: one unit in the last printed place
};

/// A column as it was typed: one text for each node.
struct TypedColumn {
    std::string role;
    Unit unit;
    std::vector<std::string> texts;
};

/// A quantity as somebody typed it, with its unit, and the key it stands under: `site: elevation`, `4690 ft`. It is
/// written so again, as long as it still says the number.
struct TypedText {
    std::string key, text;
    [[nodiscard]] friend bool operator==(const TypedText&, const TypedText&) = default;
};
using TypedTexts = std::vector<TypedText>;

/// What was typed under a key, or nothing.
[[nodiscard]] inline const std::string* text_of(const TypedTexts& typed, std::string_view key) noexcept {
    for (const TypedText& one : typed)
        if (one.key == key) return &one.text;
    return nullptr;
}

/// A page as typed: breakpoints in SI; nodes row-major over (outdoor dry bulb, airflow, humidity, entering dry bulb,
/// station pressure), the last fastest. The humidity axis is one of wet bulb, relative humidity and pairs. The last two
/// axes are empty on most pages: then sensible holds at `Basis::sensible_at`, and the page at `Basis::elevation`.
struct PrintedPage {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    std::vector<double> outdoor_dry_bulb;   ///< degC
    std::vector<double> airflow;            ///< m3/s of standard air; one value if the page has no airflow column
    std::vector<double> entering_wet_bulb;  ///< degC; or
    std::vector<double> relative_humidity;  ///< fraction, at the entering dry bulb and the page's pressure; or
    std::vector<IndoorPair> pairs;          ///< a path, in the page's order
    bool pairs_are_points = false;          ///< the maker does not say that one may read between the pairs
    std::vector<double> entering_dry_bulb;  ///< degC: two or more, if sensible is printed at several
    std::vector<double> pressure;           ///< Pa: two or more, if the page is printed for several
    std::vector<PrintedNode> nodes;
    bool has_sensible = false;
    bool has_power = false;
    bool has_bypass = false;
    /// W: one unit in the last printed place; 0 for a page that was never printed. Where it is not given it is taken
    /// from the numbers (`printed_step`), so that no page is surer of itself for not saying how it was rounded.
    double total_step = not_given;
    double sensible_step = not_given;       ///< W
    double power_step = not_given;          ///< W
    std::vector<InputError::Place> places;  ///< where each node was typed, for messages; may be empty
    std::vector<ExtraColumn> extras;
    std::vector<TypedColumn> typed;            ///< may be empty: a page built in code was never typed
    std::vector<TypedColumn> airflow_factors;  ///< of the multiplier row, as typed: one text for each airflow
    bool airflow_multiplied = false;           ///< the airflow axis comes from a multiplier row
    bool infer = false;  ///< whoever typed the page allows inferred values where it leaves entering dry bulbs blank
};

/// The breakpoints of the humidity axis: wet bulbs, relative humidities, or the numbers of the pairs.
[[nodiscard]] inline std::vector<double> humidity_breakpoints(const PrintedPage& page) {
    if (!page.relative_humidity.empty()) return page.relative_humidity;
    if (page.pairs.empty()) return page.entering_wet_bulb;
    std::vector<double> out(page.pairs.size());
    for (int place = 0; double& x : out) x = place++;
    return out;
}

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// W: the greatest last place in which all numbers of a column can have been printed, in W, Btu/h or multiples of ten
/// of them, and never finer than they were; at most 1 % of the least, since pages print three digits. 0 for numbers
/// with more than six: such a column was never printed.
[[nodiscard]] inline double printed_step(const std::vector<double>& values) {
    double out = 0.0;
    if (values.empty()) return out;
    const auto [least, greatest] = std::minmax_element(values.begin(), values.end());
    if (!(*greatest > 0.0)) return out;
    for (const Unit& unit : {units::W, units::Btu_h})
        for (double step = 1e6; unit.to_si(step) >= 1e-6 * *greatest; step /= 10.0) {
            const auto is_whole = [&](double value) {
                const double steps = unit.from_si(value) / step;
                return std::abs(steps - real::round(steps)) <= 1e-9 * steps;
            };
            if (unit.to_si(step) > 0.01 * *least || !std::all_of(values.begin(), values.end(), is_whole)) continue;
            out = (std::max)(out, unit.to_si(step));
            break;
        }
    return out;
}

/// Takes a step that was not given from the numbers of the nodes that have some. @throws InputError for one below zero
template <class Node>
void give_step(double& step, const std::vector<Node>& nodes, double Node::*member) {
    if (step < 0.0)
        detail::raise(InputError({}, "a printed step below zero", number_text(step),
                                 "the value of the last place, 0 for a column that was never printed"));
    if (!real::is_nan(step)) return;
    std::vector<double> values;
    for (const Node& node : nodes)
        if (node.mark == Mark::printed || node.mark == Mark::dry) values.push_back(node.*member);
    step = printed_step(values);
}

/// The page with all of its steps.
[[nodiscard]] inline PrintedPage with_steps(PrintedPage page) {
    give_step(page.total_step, page.nodes, &PrintedNode::total);
    give_step(page.sensible_step, page.nodes, &PrintedNode::sensible);
    give_step(page.power_step, page.nodes, &PrintedNode::power);
    return page;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END

namespace offnominal {

/// What a page says at one condition, gross, before any derate.
struct PageReading {
    double total = 0.0;     ///< W, on the wet line
    double sensible = 0.0;  ///< W, uncapped, at the reference dry bulb
    double power = 0.0;     ///< W
    double bypass = 0.0;
    double dry_offset = 0.0;    ///< W: printed dry total less what the dry-coil rule gives there, interpolated
    double power_offset = 0.0;  ///< W: likewise of power
    double inferred = 0.0;      ///< share of inferred nodes in the answer
    bool filled = false;        ///< leans on an entering dry bulb that the page leaves blank
    Footing footing = Footing::inside;
};

/// How well a page is known at one condition, standard uncertainties of the total in W.
struct PageUncertainty {
    double resolution = 0.0;     ///< from the last printed place: half a step, rectangular (JCGM 100, F.2.2.1)
    double interpolation = 0.0;  ///< from the page's own curvature between nodes
    bool curvature_known = true;
};

/// What a page is turned into when it is checked.
struct BuiltPage {
    /// Over the axes the page has: total, sensible, power, bypass; on a page with dry nodes also the dry offsets of
    /// total and power, and 1 at inferred nodes (0 elsewhere); on a page with blank entering dry bulbs also 1 where
    /// they were filled. An answer leans on such a node exactly where that is not 0. The marks hold blanks only.
    Grid grid;
    /// Per axis of the page: root mean square of second derivative over total, per axis unit squared.
    std::array<double, 5> curvature{};
    /// The extra columns, each over the same axes.
    std::vector<Grid> extras;
    /// The page prints no bypass factor, and `grid` holds what its own wet numbers say of it, by airflow.
    bool bypass_inferred = false;
};

}  // namespace offnominal
