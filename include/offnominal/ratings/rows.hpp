/// @file
/// Pages written in code, row by row, as they are printed:
///
///     const RatingTable table(basis, page_of(print_IP, {// degF, scfm, degF, MBh, MBh, kW
///                                                       {85, 1000, 63, 33.3, 29.9, 2.19},
///                                                       {85, 1000, 67, 35.8, 25.7, 2.23},
///                                                       ...}));
///
/// How finely a page is printed is taken from its numbers (`detail::printed_step`): 33.3 and 35.8 MBh are printed to
/// 0.1 MBh. Where all of a column happen to end in 0, say it: `page.total_step`.
#pragma once

#include <algorithm>
#include <array>
#include <initializer_list>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/heating.hpp"
#include "offnominal/ratings/page.hpp"

namespace offnominal {

/// The units in which a page is printed.
struct PrintUnits {
    UnitOf<Dimension::temperature> temperature;
    Unit airflow;  ///< of standard air
    UnitOf<Dimension::power> capacity;
    UnitOf<Dimension::power> power;
};
inline constexpr PrintUnits print_IP{units::degF, units::scfm, units::MBh, units::kW};
inline constexpr PrintUnits print_SI{units::degC, units::L_s, units::kW, units::kW};

/// A row of a cooling page. A column that the page does not have is left out of all rows; a row that is blank on the
/// page ends with its wet bulb: `{115, 1200, 71}`. Total equal to sensible says that the coil is dry there.
struct PageRow {
    static constexpr double blank = std::numeric_limits<double>::quiet_NaN();

    double outdoor_dry_bulb = blank;
    double airflow = blank;
    double entering_wet_bulb = blank;
    double total = blank;
    double sensible = blank;
    double power = blank;
    double bypass = blank;
};

/// A row of a heating page; one that is blank on the page ends with its airflow.
struct HeatingRow {
    static constexpr double blank = PageRow::blank;

    double outdoor_dry_bulb = blank;
    double airflow = blank;
    double capacity = blank;
    double power = blank;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

/// The breakpoints of one column, rising, each once. @throws InputError for one that is no number
template <class Row>
[[nodiscard]] std::vector<double> breakpoints_of(std::initializer_list<Row> rows, double Row::*column,
                                                 const Unit& unit) {
    std::vector<double> out;
    for (const Row& row : rows) {
        if (!real::is_finite(row.*column))
            raise(InputError({}, "a row of a page without one of its conditions", number_text(row.*column),
                             "a number of each axis in each row"));
        out.push_back(unit.to_si(row.*column));
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

/// Puts rows of any order where they belong. `node` makes one of a row.
/// @throws InputError for a combination of conditions that is missing, or stands twice
template <class Node, class Row, std::size_t N, class Make>
[[nodiscard]] std::vector<Node> nodes_of(std::initializer_list<Row> rows,
                                         const std::array<std::pair<double Row::*, Unit>, N>& columns,
                                         const std::array<const std::vector<double>*, N>& axes, const Make& make) {
    std::size_t size = 1;
    for (const auto* axis : axes) size *= axis->size();
    if (size != rows.size())
        raise(InputError({}, "rows of a page that are not one for each combination of its conditions",
                         std::to_string(rows.size()) + " rows",
                         std::to_string(size) + ": each once, and one without data ends with its conditions"));
    std::vector<Node> out(size);
    std::vector<bool> there(size);
    for (const Row& row : rows) {
        std::size_t n = 0;
        std::string at;
        for (std::size_t a = 0; a < N; ++a) {
            const auto& [column, unit] = columns[a];
            const auto& x = *axes[a];
            n = n * x.size() +
                static_cast<std::size_t>(std::lower_bound(x.begin(), x.end(), unit.to_si(row.*column)) - x.begin());
            at += (at.empty() ? "" : ", ") + number_text(row.*column);
        }
        if (there[n]) raise(InputError({}, "a row of a page stands twice", at, "each combination of conditions once"));
        there[n] = true;
        out[n] = make(row, at);
    }
    return out;
}

/// Whether a page has a column: in all rows with data, or in none.
template <class Row>
[[nodiscard]] bool has_column(std::initializer_list<Row> rows, double Row::*column, double Row::*first) {
    bool some = false, all = true;
    for (const Row& row : rows) {
        if (real::is_nan(row.*first)) continue;
        const bool has = !real::is_nan(row.*column);
        some = some || has;
        all = all && has;
    }
    if (some && !all)
        raise(InputError({}, "a column of a page that some rows leave out", {},
                         "a number in every row with data, or in none"));
    return some;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// A cooling page of rows in any order.
/// @throws InputError for rows that are not one for each combination of conditions, or a column in some rows only
[[nodiscard]] inline PrintedPage page_of(const PrintUnits& print, std::initializer_list<PageRow> rows) {
    PrintedPage page;
    page.outdoor_dry_bulb = detail::breakpoints_of(rows, &PageRow::outdoor_dry_bulb, print.temperature);
    page.airflow = detail::breakpoints_of(rows, &PageRow::airflow, print.airflow);
    page.entering_wet_bulb = detail::breakpoints_of(rows, &PageRow::entering_wet_bulb, print.temperature);
    page.has_sensible = detail::has_column(rows, &PageRow::sensible, &PageRow::total);
    page.has_power = detail::has_column(rows, &PageRow::power, &PageRow::total);
    page.has_bypass = detail::has_column(rows, &PageRow::bypass, &PageRow::total);
    const std::array<std::pair<double PageRow::*, Unit>, 3> columns{{{&PageRow::outdoor_dry_bulb, print.temperature},
                                                                     {&PageRow::airflow, print.airflow},
                                                                     {&PageRow::entering_wet_bulb, print.temperature}}};
    const std::array<const std::vector<double>*, 3> axes{&page.outdoor_dry_bulb, &page.airflow,
                                                         &page.entering_wet_bulb};
    page.nodes = detail::nodes_of<PrintedNode>(rows, columns, axes, [&](const PageRow& row, const std::string& at) {
        PrintedNode out;
        out.mark = real::is_nan(row.total) ? Mark::blank : row.total == row.sensible ? Mark::dry : Mark::printed;
        if (out.mark == Mark::blank &&
            !(real::is_nan(row.sensible) && real::is_nan(row.power) && real::is_nan(row.bypass)))
            detail::raise(InputError({}, "a row of a page without a total", at, "all of its numbers, or none"));
        if (out.mark == Mark::blank) return out;
        out.total = print.capacity.to_si(row.total);
        if (page.has_sensible) out.sensible = print.capacity.to_si(row.sensible);
        if (page.has_power) out.power = print.power.to_si(row.power);
        if (page.has_bypass) out.bypass = row.bypass;
        return out;
    });
    return page;
}

/// A heating page of rows in any order, printed for one entering dry bulb. @throws InputError likewise
[[nodiscard]] inline HeatingPage heating_page_of(const PrintUnits& print, Temperature entering_dry_bulb,
                                                 std::initializer_list<HeatingRow> rows) {
    HeatingPage page;
    page.outdoor_dry_bulb = detail::breakpoints_of(rows, &HeatingRow::outdoor_dry_bulb, print.temperature);
    page.airflow = detail::breakpoints_of(rows, &HeatingRow::airflow, print.airflow);
    page.entering_dry_bulb = {entering_dry_bulb.si};
    page.has_power = detail::has_column(rows, &HeatingRow::power, &HeatingRow::capacity);
    const std::array<std::pair<double HeatingRow::*, Unit>, 2> columns{
        {{&HeatingRow::outdoor_dry_bulb, print.temperature}, {&HeatingRow::airflow, print.airflow}}};
    const std::array<const std::vector<double>*, 2> axes{&page.outdoor_dry_bulb, &page.airflow};
    page.nodes = detail::nodes_of<HeatingNode>(rows, columns, axes, [&](const HeatingRow& row, const std::string&) {
        HeatingNode out;
        if (real::is_nan(row.capacity)) out.mark = Mark::blank;
        if (out.mark == Mark::blank) return out;
        out.capacity = print.capacity.to_si(row.capacity);
        if (page.has_power) out.power = print.power.to_si(row.power);
        return out;
    });
    return page;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
