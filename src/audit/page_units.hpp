/// @file
/// Whole columns and axes in another unit: found before anything else, because nothing can be held against them.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/ratings/shape.hpp"
#include "page_air.hpp"
#include "page_columns.hpp"

namespace offnominal::detail {

/// The unit of the same measure that is `factor` times as large.
[[nodiscard]] inline std::optional<Unit> unit_by_factor(const Unit& unit, double factor) {
    for (const Unit& other : units::all) {
        if (other.dimension != unit.dimension) continue;
        const double ratio = (other.times / other.over) / (unit.times / unit.over);
        if (std::abs(ratio / factor - 1.0) < 2e-3) return other;
    }
    return std::nullopt;
}

/// The member of a node that a column holds.
[[nodiscard]] inline double PrintedNode::*member_of(std::string_view role) noexcept {
    if (role == "total" || role == "capacity") return &PrintedNode::total;
    if (role == "sensible") return &PrintedNode::sensible;
    if (role == "power") return &PrintedNode::power;
    return role == "bypass" ? &PrintedNode::bypass : nullptr;
}

/// The page with a column's numbers multiplied.
inline void multiply_column(PrintedPage& page, std::string_view role, double factor) {
    double PrintedNode::*const member = member_of(role);
    if (member == nullptr) return;
    for (PrintedNode& node : page.nodes) node.*member *= factor;
    if (role == "total") page.total_step *= factor;
    if (role == "sensible") page.sensible_step *= factor;
    if (role == "power") page.power_step *= factor;
    for (TypedColumn& column : page.typed)
        if (column.role == role)
            if (const auto unit = unit_by_factor(column.unit, factor)) column.unit = *unit;
}

/// Share of the wet nodes from which no such air can leave: past saturation, or from a wet coil too dry.
[[nodiscard]] inline double share_of_impossible_air(const Basis& basis, const PrintedPage& page) {
    const PageShape shape(page);
    const PageAir air(basis, page, shape);
    std::size_t wet = 0, impossible = 0;
    for (std::size_t n = 0; n < shape.nodes(); ++n) {
        const PrintedNode& node = page.nodes[n];
        if (node.mark != Mark::printed || !(node.total > 0.0) || node.sensible > 0.9 * node.total) continue;
        const auto humidity = air.leaving_humidity(n, node.total, node.sensible);
        if (!humidity) continue;
        ++wet;
        impossible += *humidity > 1.02 || *humidity < 0.75 ? 1 : 0;
    }
    return wet < 4 ? 0.0 : static_cast<double>(impossible) / static_cast<double>(wet);
}

/// The middle of total over airflow, Btu/h per cfm.
[[nodiscard]] inline double typical_per_airflow(const PrintedPage& page) {
    const PageShape shape(page);
    std::vector<double> out;
    for (std::size_t n = 0; n < shape.nodes(); ++n)
        if (page.nodes[n].total > 0.0 && shape.value(n, PageAxis::airflow) > 0.0)
            out.push_back(units::Btu_h.from_si(page.nodes[n].total) /
                          units::cfm.from_si(shape.value(n, PageAxis::airflow)));
    if (out.empty()) return 0.0;
    const auto middle = out.begin() + static_cast<std::ptrdiff_t>(out.size() / 2);
    std::nth_element(out.begin(), middle, out.end());
    return *middle;
}

/// The factor by which a whole airflow axis would be right (cfm, L/s and m3/h for one another): where as typed a page
/// has hardly a usual airflow for its capacity and much of its air could not leave the coil, and so it has and could
/// (common practice, no source).
[[nodiscard]] inline std::optional<double> airflow_factor(const Basis& basis, const PrintedPage& page) {
    const double per_airflow = typical_per_airflow(page);
    if (!page.has_sensible || (per_airflow > 20.0 && per_airflow < 58.0)) return std::nullopt;
    if (share_of_impossible_air(basis, page) < 0.3) return std::nullopt;
    for (const double factor : {units::L_s.to_si(1.0) / units::cfm.to_si(1.0), 3.6, units::cfm.to_si(1.0) * 3600.0})
        for (const double f : {factor, 1.0 / factor}) {
            if (per_airflow / f < 24.0 || per_airflow / f > 46.0) continue;
            PrintedPage other = page;
            for (double& flow : other.airflow) flow *= f;
            if (share_of_impossible_air(basis, other) < 0.1) return f;
        }
    return std::nullopt;
}

}  // namespace offnominal::detail
