/// @file
/// Rows of multipliers: a factor for each airflow, or for each entering dry bulb.
///
/// A factor follows a power of the airflow, or an exponential of a temperature: its logarithm over the step from where
/// it is 1 is nearly the same all along a row, and is known roughly beforehand. Each factor is held against the others.
#pragma once

#include <algorithm>
#include <cmath>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "label_model.hpp"
#include "label_slips.hpp"
#include "offnominal/ratings/page.hpp"
#include "page_columns.hpp"
#include "slips.hpp"

namespace offnominal::detail {

/// By the name of an output: the slope of the logarithm of its factor, and the standard deviation of that. Of an
/// airflow along its logarithm, of a temperature a kelvin (common practice, no source).
struct RowTendency {
    const char* role;
    double slope, spread;
};
inline constexpr RowTendency cooling_powers[] = {{"total", 0.2, 0.12}, {"sensible", 0.5, 0.2}, {"power", 0.03, 0.1}};
inline constexpr RowTendency heating_powers[] = {{"capacity", 0.08, 0.08}, {"power", -0.25, 0.2}};
inline constexpr RowTendency dry_bulb_slopes[] = {{"capacity", -0.006, 0.008}, {"power", 0.015, 0.015}};

/// The suspects of a row, one for each factor that is more than four spreads off.
[[nodiscard]] inline std::vector<Suspect> row_suspects(const std::string& axis, const std::vector<double>& labels,
                                                       const std::vector<TypedColumn>& columns,
                                                       std::span<const RowTendency> tendencies,
                                                       const std::vector<TypedColumn>& typed) {
    std::vector<Suspect> out;
    Unit unit = axis == "airflow" ? shortest_unit(labels, {Unit(units::scfm), Unit(units::L_s)})
                                  : shortest_unit(labels, {Unit(units::degF), Unit(units::degC)});
    for (const TypedColumn& column : typed)
        if (column.role == axis && column.unit.dimension == unit.dimension) unit = column.unit;
    for (const TypedColumn& column : columns) {
        const auto known = std::find_if(tendencies.begin(), tendencies.end(),
                                        [&](const RowTendency& t) { return column.role == t.role; });
        if (known == tendencies.end() || column.texts.size() != labels.size()) continue;
        std::vector<double> factors;
        int decimals = 0;
        for (const std::string& text : column.texts) {
            factors.push_back(number_of(text).value_or(0.0));
            const auto point = text.find('.');
            if (point != std::string::npos) decimals = std::max(decimals, static_cast<int>(text.size() - point - 1));
        }
        const auto one = std::find(factors.begin(), factors.end(), 1.0);
        if (one == factors.end()) continue;
        const double from = labels[static_cast<std::size_t>(one - factors.begin())], last = std::pow(10.0, -decimals);
        const auto step = [&](std::size_t i) {
            return axis == "airflow" ? air::elementary::log(labels[i] / from) : labels[i] - from;
        };
        // The slope that the factors other than `left_out` have, and its spread.
        const auto slope_without = [&](std::size_t left_out) {
            double weight = 1.0 / (known->spread * known->spread), sum = weight * known->slope;
            for (std::size_t i = 0; i < factors.size(); ++i) {
                if (i == left_out || !(factors[i] > 0.0) || step(i) == 0.0) continue;
                // The slope itself changes along a row, by a fifth or so of what it may be.
                const double rounding = last / std::sqrt(12.0) / factors[i] / step(i),
                             w = 1.0 / (rounding * rounding + 0.04 * known->spread * known->spread);
                weight += w;
                sum += w * air::elementary::log(factors[i]) / step(i);
            }
            return std::pair(sum / weight, std::sqrt(1.0 / weight + 0.04 * known->spread * known->spread));
        };
        std::vector<Suspect> found;
        for (std::size_t i = 0; i < factors.size(); ++i) {
            if (!(factors[i] > 0.0) || step(i) == 0.0) continue;
            const auto [slope, spread] = slope_without(i);
            const double implied = air::elementary::exp(slope * step(i));
            const double off = std::hypot(spread * step(i) * implied, last / std::sqrt(12.0));
            const double score = std::abs(factors[i] - implied) / off;
            if (score < 4.0 || std::abs(factors[i] - implied) < 1.5 * last) continue;
            Suspect& s = found.emplace_back();
            s.column = column.role + " factor";
            s.cell = axis + " " + brief(unit.from_si(labels[i]), 5) + " " + std::string(unit.name);
            s.typed = column.texts[i];
            s.printed = factors[i];
            s.implied = implied;
            s.spread = off;
            s.checks.add(Check::neighbours);
            s.score = score;
            const Guess guess = SlipSearch(s.typed, implied, off, last).best();
            s.slip = guess.slip;
            s.guess = guess.meant;
        }
        if (found.empty()) continue;
        // One wrong factor puts the others in doubt: only the worst is named.
        out.push_back(*std::max_element(found.begin(), found.end(),
                                        [](const Suspect& a, const Suspect& b) { return a.score < b.score; }));
    }
    return out;
}

}  // namespace offnominal::detail
