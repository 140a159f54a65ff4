/// @file
/// The columns of a page as an audit sees them: numbers, steps, texts, and what was found out about each cell.
#pragma once

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/audit.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/ratings/shape.hpp"
#include "surface.hpp"

namespace offnominal::detail {

/// No number of a page counts as more than this (SI): arithmetic stays finite, and no machine comes near.
inline constexpr double most_counted = 1e12;

/// One column of outputs.
struct AuditColumn {
    std::string role;
    Unit unit = units::one;
    double step = 0.0;           ///< SI
    std::vector<double> values;  ///< SI, one a node; NaN where nothing is printed
    const std::vector<std::string>* texts = nullptr;
    std::vector<Judged> judged;  ///< what the rest of the page implies
    std::vector<Checks> failed;
    std::vector<double> weight;     ///< score of a check that has no spread of its own
    std::vector<char> same_as_row;  ///< the cell stands once for several nodes, and this is not the first

    [[nodiscard]] bool has(std::size_t n) const noexcept { return !std::isnan(values[n]); }
    [[nodiscard]] bool notable(std::size_t n) const noexcept { return !failed[n].empty(); }
    [[nodiscard]] double score(std::size_t n) const noexcept { return std::max(judged[n].score(), weight[n]); }
    /// What should stand there, as far as anybody knows.
    [[nodiscard]] double cleaned(std::size_t n) const noexcept {
        return notable(n) && judged[n].known ? judged[n].implied : values[n];
    }
    [[nodiscard]] int decimals() const noexcept {
        int out = 0;
        for (double s = step * unit.over / unit.times; s < 0.99 && out < 6; s *= 10.0) ++out;
        return out;
    }
    [[nodiscard]] std::string shown(double si) const { return fixed(unit.from_si(si), decimals()); }
    [[nodiscard]] std::string text(std::size_t n) const {
        if (texts != nullptr && n < texts->size() && !(*texts)[n].empty()) return (*texts)[n];
        if (!has(n)) return "-";
        const std::string usual = shown(values[n]), all = brief(unit.from_si(values[n]));
        return all.size() > usual.size() ? all : usual;  // a mistyped number may have more places than the column
    }
};

/// The decimals that a column needs, at most six: a page built in code does not say.
[[nodiscard]] inline double inferred_step(const std::vector<double>& values, const Unit& unit) {
    double scale = 1.0;
    for (int decimals = 0; decimals < 6; ++decimals, scale *= 10.0) {
        const bool whole = std::all_of(values.begin(), values.end(), [&](double si) {
            const double x = unit.from_si(si) * scale;
            return std::isnan(x) || std::abs(x - std::round(x)) < 1e-6 * std::max(1.0, std::abs(x));
        });
        if (whole) break;
    }
    return unit.times / unit.over / scale;
}

[[nodiscard]] inline AuditColumn audit_column(const PrintedPage& page, std::string role, Unit unit, double step,
                                              std::vector<double> values) {
    AuditColumn out;
    out.role = std::move(role);
    out.unit = unit;
    for (const TypedColumn& typed : page.typed) {
        if (typed.role != out.role || typed.texts.size() != values.size()) continue;
        out.texts = &typed.texts;
        // A ratio column was turned into capacities when it was read: it is shown as those.
        if (typed.unit.dimension == unit.dimension || unit.dimension == Dimension::ratio) out.unit = typed.unit;
    }
    out.step = step > 0.0 ? step : inferred_step(values, out.unit);
    out.values = std::move(values);
    for (double& v : out.values) v = std::isnan(v) ? v : std::clamp(v, -most_counted, most_counted);
    out.judged.resize(out.values.size());
    out.failed.resize(out.values.size());
    out.weight.resize(out.values.size());
    out.same_as_row.resize(out.values.size());
    return out;
}

/// A unit in which the printed step is a power of ten: for pages built in code, whose typed units are not known.
[[nodiscard]] inline Unit unit_of_step(double step, const std::vector<double>& values) {
    for (const Unit& unit : {units::MBh, units::kW, units::Btu_h, units::W, units::ton}) {
        double s = step * unit.over / unit.times;
        while (s > 0.0 && s < 0.9) s *= 10.0;
        if (std::abs(s - 1.0) < 1e-6 || (step == 0.0 && inferred_step(values, unit) * unit.over / unit.times > 0.5e-3))
            return unit;
    }
    return units::W;
}

/// Total, sensible, power, bypass, then the extra columns; only those the page has, total always first.
[[nodiscard]] inline std::vector<AuditColumn> audit_columns(const PrintedPage& page) {
    std::vector<AuditColumn> out;
    const auto add = [&](const char* role, double step, bool is_power, auto get) {
        std::vector<double> values;
        for (const PrintedNode& node : page.nodes) {
            const bool has = node.mark == Mark::printed || node.mark == Mark::dry;
            values.push_back(has ? get(node) : std::numeric_limits<double>::quiet_NaN());
        }
        const Unit unit = is_power ? unit_of_step(step, values) : Unit{units::one};
        out.push_back(audit_column(page, role, unit, step, std::move(values)));
    };
    add("total", page.total_step, true, [](const PrintedNode& n) { return n.total; });
    if (page.has_sensible) add("sensible", page.sensible_step, true, [](const PrintedNode& n) { return n.sensible; });
    if (page.has_power) add("power", page.power_step, true, [](const PrintedNode& n) { return n.power; });
    if (page.has_bypass) add("bypass", 0.0, false, [](const PrintedNode& n) { return n.bypass; });
    for (const ExtraColumn& extra : page.extras)
        if (extra.values.size() == page.nodes.size())
            out.push_back(audit_column(page, extra.name, extra.unit, extra.step, extra.values));
    return out;
}

/// The unit in which labels of a page built in code are shortest.
[[nodiscard]] inline Unit shortest_unit(const std::vector<double>& labels, std::initializer_list<Unit> units) {
    const Unit* best = units.begin();
    std::size_t least = std::numeric_limits<std::size_t>::max();
    for (const Unit& unit : units) {
        std::size_t length = 0;
        for (const double x : labels) length += brief(unit.from_si(x), 9).size();
        if (length < least) least = length, best = &unit;
    }
    return *best;
}

/// `odb 95 degF, airflow 1000 scfm, ewb 67 degF`: where a node stands in print.
[[nodiscard]] inline std::string cell_name(const PrintedPage& page, const PageShape& shape, std::size_t n) {
    std::string out;
    const auto add = [&](const std::string& role, double si, std::initializer_list<Unit> units) {
        Unit unit = shortest_unit({si}, units);
        for (const TypedColumn& column : page.typed)
            if (column.role == role && column.unit.dimension == unit.dimension) unit = column.unit;
        out += (out.empty() ? "" : ", ") + role + " " + brief(unit.from_si(si), 5) +
               (unit.name == "1" ? "" : " " + std::string(unit.name));
    };
    const auto temperatures = {Unit(units::degF), Unit(units::degC)};
    for (std::size_t a = 0; a < page_axes; ++a) {
        using enum PageAxis;
        const auto axis = static_cast<PageAxis>(a);
        if (shape.size(axis) < 2) continue;  // no column of the table
        const double x = shape.value(n, axis);
        if (axis == outdoor_dry_bulb) add("odb", x, temperatures);
        if (axis == airflow) add("airflow", x, {Unit(units::scfm), Unit(units::L_s)});
        if (axis == entering_dry_bulb) add("edb", x, temperatures);
        if (axis == pressure) add("pressure", x, {Unit(units::psia), Unit(units::kPa)});
        if (axis != humidity) continue;
        if (!page.pairs.empty()) {
            add("edb", page.pairs[shape.index(n, axis)].dry_bulb, temperatures);
            add("ewb", page.pairs[shape.index(n, axis)].wet_bulb, temperatures);
        } else {
            const bool relative = humidity_axis(page) == HumidityAxis::relative_humidity;
            relative ? add("rh", x, {Unit(units::percent), Unit(units::one)}) : add("ewb", x, temperatures);
        }
    }
    return out;
}

}  // namespace offnominal::detail
