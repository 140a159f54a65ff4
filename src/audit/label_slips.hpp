/// @file
/// What may have been meant by a label on an axis, and how regular the labels of an axis are.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/audit.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/text.hpp"
#include "offnominal/explain.hpp"

namespace offnominal::detail {

/// What may have been meant by a typed label. `cost`: how much less often that happens than that all is right, as a
/// negative logarithm.
struct MeantLabel {
    Slip slip = Slip::none;
    std::string text;
    double cost = 0.0;
};

/// Every label that a single slip can have made the typed one out of.
/// @param others  the other labels of the axis, in the same unit
[[nodiscard]] inline std::vector<MeantLabel> meant_labels(const std::string& typed, const std::vector<double>& others,
                                                          Dimension dimension) {
    std::vector<MeantLabel> out;
    std::set<std::string> seen{typed};
    const auto value = number_of(typed);
    if (!value) return out;
    const auto offer = [&](Slip slip, const std::string& text, double cost) {
        const auto meant = number_of(text);
        if (!meant || text.back() == '.' || (text.size() > 1 && text[0] == '0' && text[1] != '.')) return;
        if (std::abs(*meant - *value) <= 1e-9 * std::abs(*value) || !seen.insert(text).second) return;
        out.push_back({slip, text, cost});
    };
    const auto digit = [&](std::size_t i) { return i < typed.size() && typed[i] >= '0' && typed[i] <= '9'; };
    for (std::size_t i = 0; i + 1 < typed.size(); ++i) {
        const std::size_t j = typed[i + 1] == '.' ? i + 2 : i + 1;
        if (!digit(i) || !digit(j)) continue;
        std::string text(typed);
        std::swap(text[i], text[j]);
        offer(Slip::swapped_digits, text, 4.0);
    }
    // Another unit. Whoever converts also rounds: what fits the steps of the other labels comes first.
    std::vector<std::pair<double, double>> units;  // a factor and what is added
    if (dimension == Dimension::temperature) units = {{1.8, 32.0}, {1.0 / 1.8, -32.0 / 1.8}};
    if (dimension == Dimension::airflow)
        units = {{2.118880, 0.0}, {1.0 / 2.118880, 0.0}, {1.699011, 0.0}, {1.0 / 1.699011, 0.0},
                 {3.6, 0.0},      {1.0 / 3.6, 0.0}};
    std::size_t point = typed.find('.');
    const double last =
        point == std::string::npos ? 1.0 : std::pow(10.0, -static_cast<double>(typed.size() - point - 1));
    for (const auto& [factor, added] : units) {
        const double meant = *value * factor + added, rounding = 0.51 * last * factor + 1e-6;
        for (const double whole : {100.0, 50.0, 25.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.1}) {
            const double round = std::round(meant / whole) * whole;
            if (std::abs(round - meant) > std::max(rounding, 0.001 * std::abs(meant))) continue;
            offer(Slip::unit, brief(round), 5.0);
        }
        for (std::size_t i = 0; i + 1 < others.size(); ++i)
            for (const double next :
                 {2.0 * others[i] - others[i + 1], 2.0 * others[i + 1] - others[i], 0.5 * (others[i] + others[i + 1])})
                if (std::abs(next - meant) <= rounding) offer(Slip::unit, brief(next), 6.0);
    }
    for (const double factor : {10.0, 100.0, 0.1, 0.01}) offer(Slip::decimal_point, brief(*value * factor), 6.0);
    for (std::size_t i = 0; i < typed.size(); ++i) {
        if (!digit(i)) continue;
        const bool doubled = (i > 0 && typed[i] == typed[i - 1]) || (i + 1 < typed.size() && typed[i] == typed[i + 1]);
        offer(Slip::extra_digit, std::string(typed).erase(i, 1), doubled ? 5.0 : 7.0);
        for (char c = '0'; c <= '9'; ++c) {
            std::string text(typed);
            text[i] = c;
            offer(doubled ? Slip::doubled_digit : Slip::wrong_digit, text, doubled ? 5.0 : 7.0);
        }
    }
    for (std::size_t i = 0; i <= typed.size(); ++i)
        for (char c = '0'; c <= '9'; ++c) {
            const bool doubled = (i > 0 && typed[i - 1] == c) || (i < typed.size() && typed[i] == c);
            offer(Slip::dropped_digit, std::string(typed).insert(i, 1, c), doubled ? 6.0 : 8.0);
        }
    return out;
}

/// How irregular the labels of an axis are, as a negative logarithm: 0 for equal steps.
[[nodiscard]] inline double irregularity(std::vector<double> labels) {
    if (labels.size() < 3) return 0.0;
    std::sort(labels.begin(), labels.end());
    const double span = labels.back() - labels.front(), close = 1e-6 * span;
    const auto common = [close](double a, double b) {  // the greatest common measure
        a = std::abs(a), b = std::abs(b);
        while (b > close) {
            const double rest = a - std::floor(a / b) * b;
            a = b;
            b = rest > b - close ? 0.0 : rest;
        }
        return a;
    };
    double out = 0.0;
    bool equal = true;
    for (std::size_t i = 1; i + 1 < labels.size(); ++i)
        equal = equal && std::abs(labels[i + 1] - 2.0 * labels[i] + labels[i - 1]) <= close;
    if (!equal) out += labels.size() > 3 ? 6.0 : 5.0;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        double measure = 0.0;
        const double from = labels[i == 0 ? 1 : 0];
        for (std::size_t j = 0; j < labels.size(); ++j)
            if (j != i) measure = common(measure, labels[j] - from);
        const double steps = (labels[i] - from) / measure;
        if (std::abs(steps - std::round(steps)) > 1e-4) out += 2.0;
        const std::string text = fixed(labels[i], 1);
        const auto digits = text.find_last_not_of(".0");
        if (digits != std::string::npos) out += 1.5 * static_cast<double>(digits);
    }
    return out;
}

/// The same of labels in a unit. Whole degrees Fahrenheit that were converted have no equal steps in Celsius.
[[nodiscard]] inline double irregularity(const std::vector<double>& labels, const Unit& unit) {
    const double out = irregularity(labels);
    if (out == 0.0 || unit.dimension != Dimension::temperature || unit.name == units::degF.name) return out;
    std::vector<double> fahrenheit;
    for (const double x : labels) {
        const double f = units::degF.from_si(unit.to_si(x));
        fahrenheit.push_back(std::abs(f - std::round(f)) <= 0.0901 ? std::round(f) : f);
    }
    return std::min(out, irregularity(fahrenheit));
}

}  // namespace offnominal::detail
