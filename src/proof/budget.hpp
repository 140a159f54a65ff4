/// @file
/// The joint uncertainty of a proof: what each input's doubt does to the ratios.
#pragma once

#include <algorithm>
#include <cmath>

#include "model.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal::detail {

/// What the sensitivities start from: both sides at the readings, the page's edge cell followed. Expected power is 0
/// where powers are not compared.
struct ProofBase {
    const Delivered& delivered;
    const Expected& expected;
    double power = 0.0;
};

/// Half the relative change of delivered, expected and their ratio when input `i` moves by +-u; one-sided where only
/// one side has an answer. Past the page's edge the edge cell is followed, so that a reading near an edge keeps both
/// sides.
[[nodiscard]] inline std::optional<BudgetLine> sensitivity(const ProofModel& model, std::size_t i, double u,
                                                           const ProofBase& base, Notes& notes) noexcept {
    BudgetLine line;
    line.input = static_cast<Input>(i);
    line.standard = u;
    if (u == 0.0) return line;
    if (line.input == Input::power) {
        if (base.power > 0.0) line.power_ratio = u / model.base()[i];
        return line;
    }
    double reach = 0.0;  // how many steps of u lie between the two ends used
    double delivered[2] = {base.delivered.total_capacity.si, base.delivered.total_capacity.si};
    double expected[2] = {base.expected.total_capacity.si, base.expected.total_capacity.si};
    double power[2] = {base.power, base.power};
    for (const int side : {0, 1}) {
        auto x = model.base();
        x[i] += side == 0 ? -u : u;
        const auto d = model.delivered(x);
        if (!d) continue;
        const auto e = model.expected(x, *d, follow);
        if (!e || !(e->total_capacity.si > 0.0)) continue;
        const auto p = model.power(*e);
        if (base.power > 0.0 && !p) continue;
        delivered[side] = d->total_capacity.si;
        expected[side] = e->total_capacity.si;
        if (base.power > 0.0) power[side] = *p;
        reach += 1.0;
    }
    if (reach < 2.0) notes.add(Note::one_sided);
    if (reach == 0.0) return std::nullopt;
    const double d0 = base.delivered.total_capacity.si, e0 = base.expected.total_capacity.si;
    line.delivered = (delivered[1] - delivered[0]) / (reach * d0);
    line.expected = (expected[1] - expected[0]) / (reach * e0);
    line.ratio = (delivered[1] / expected[1] - delivered[0] / expected[0]) / (reach * (d0 / e0));
    if (base.power > 0.0) line.power_ratio = (1.0 / power[1] - 1.0 / power[0]) * base.power / reach;
    return line;
}

/// The standard uncertainty of an input: as stated, but for two that hide more.
[[nodiscard]] inline double standard_uncertainty(const ProofModel& model, Input input, Notes& notes) noexcept {
    const std::size_t i = static_cast<std::size_t>(input);
    const Visit& visit = model.visit();
    if (!std::isfinite(model.base()[i])) return 0.0;
    const double stated = visit.of(input).standard;
    if (input == Input::supply_humidity && notes.has(Note::saturated_probe))
        return std::max(stated, 0.05 / std::sqrt(12.0));  // anywhere from 95 to 100 %
    if (stated > 0.0) return stated;
    if (input == Input::pressure && !visit.site.given_pressure()) {
        notes.add(Note::weather_in_pressure);
        return practice::weather_in_pressure * model.base()[i];
    }
    notes.add(Note::uncertainty_missing);
    return 0.0;
}

/// The stated correlation of two instruments: an instrument with itself, or two that were compared side by side.
[[nodiscard]] inline double correlation_of(const Visit& visit, const Uncertain& a, const Uncertain& b) noexcept {
    if (a.instrument.empty() || b.instrument.empty()) return 0.0;
    if (a.instrument == b.instrument) return std::min(a.correlation, b.correlation);
    for (const SideBySide& pair : visit.side_by_side)
        if ((pair.first == a.instrument && pair.second == b.instrument) ||
            (pair.first == b.instrument && pair.second == a.instrument))
            return pair.correlation;
    return 0.0;
}

/// How the errors of two inputs go together: as their instruments' do where both read one quantity (dry bulb; humidity,
/// if measured alike; power), else not at all.
[[nodiscard]] inline double correlation_of(const Visit& visit, std::size_t i, std::size_t j) noexcept {
    if (i == j) return 1.0;
    constexpr std::array quantity{1, 2, 1, 2, 0, 1, 0, 3, 3};  // by Input; 0: like no other
    static_assert(quantity.size() == input_count);
    if (quantity[i] == 0 || quantity[i] != quantity[j]) return 0.0;
    if (quantity[i] == 2 && visit.readings.return_humidity.kind != visit.readings.supply_humidity.kind) return 0.0;
    return correlation_of(visit, visit.uncertainty[i], visit.uncertainty[j]);
}

/// Contributions by `Input`.
using Contributions = std::array<double, input_count>;

/// What each input adds to the variance; covariances split evenly.
[[nodiscard]] inline Contributions variance_parts(const Visit& visit, const Contributions& c) noexcept {
    Contributions part{};
    for (std::size_t i = 0; i < input_count; ++i)
        for (std::size_t j = 0; j < input_count; ++j) part[i] += c[i] * correlation_of(visit, i, j) * c[j];
    return part;
}

[[nodiscard]] inline double sum_of(const Contributions& parts) noexcept {
    double sum = 0.0;
    for (const double part : parts) sum += part;
    return std::max(0.0, sum);
}

/// Relative standard uncertainty of expected power: its own last printed place, and what total is uncertain by for
/// reading between nodes, past an edge, next to dry nodes, by a match factor and at an elevation. Power runs straighter
/// over a page than total does, and at 5,000 ft it is 3 to 5 % higher at most (common practice, no source). A maker's
/// tolerance on power is not known.
[[nodiscard]] inline double expected_power_uncertainty(const System& system, const Expected& e) noexcept {
    const double step = page_of(system, e).table.page().power_step / std::sqrt(12.0);
    const ExpectedUncertainty& u = e.uncertainty;
    const double shared = root_of_squares({u.interpolation, u.outside, u.inferred, u.match, u.altitude});
    return root_of_squares({step / e.power->si, shared / e.total_capacity.si});
}

[[nodiscard]] inline Comparison compare(double measured, double expected, double relative_u) noexcept {
    const double ratio = measured / expected;
    return {measured, expected, ratio, ratio * relative_u, 2.0 * (ratio * relative_u)};
}

/// Power and efficiency, where the proof's powers are alike. `capacity` and `power` hold what each input does to the
/// two ratios; one input moves both, so what it does to the efficiency is their difference.
inline void compare_power(const ProofModel& model, const Contributions& capacity, const Contributions& power,
                          Proof& proof) noexcept {
    const Expected& e = *proof.expected;
    const auto expected = model.power(e);
    if (!expected) {
        proof.no_power = expected.reason();
        return;
    }
    Contributions efficiency{};
    for (std::size_t i = 0; i < input_count; ++i) efficiency[i] = capacity[i] - power[i];
    const Visit& visit = model.visit();
    const double own = expected_power_uncertainty(model.system(), e), measured = visit.power->value.si;
    const double power_variance = sum_of(variance_parts(visit, power)) + own * own;
    proof.power = compare(measured, *expected, std::sqrt(power_variance));
    const double efficiency_variance =
        sum_of(variance_parts(visit, efficiency)) + own * own + proof.expected_u * proof.expected_u;
    proof.efficiency = compare(proof.delivered.total_capacity.si / measured, e.total_capacity.si / *expected,
                               std::sqrt(efficiency_variance));
}

/// Fills budget, ratios and uncertainties of a proof whose two sides are known; false where an input's effect cannot be
/// told.
[[nodiscard]] inline bool propagate(const ProofModel& model, Proof& proof) noexcept {
    const Delivered& d = proof.delivered;
    const Expected& e = *proof.expected;
    // A held answer is differenced along the followed edge like any other: what holding it costs is in its own
    // uncertainty.
    const auto followed = model.expected(model.base(), d, follow);
    if (!followed || !(followed->total_capacity.si > 0.0)) return false;
    const auto power = model.power(*followed);
    const ProofBase base{d, *followed, power ? *power : 0.0};
    Contributions capacity{}, of_power{};
    for (std::size_t i = 0; i < input_count; ++i) {
        const double u = standard_uncertainty(model, static_cast<Input>(i), proof.notes);
        const auto line = sensitivity(model, i, u, base, proof.notes);
        if (!line) return false;
        proof.budget[i] = *line;
        capacity[i] = line->ratio;
        of_power[i] = line->power_ratio;
    }
    const Contributions part = variance_parts(model.visit(), capacity);
    proof.expected_u = e.uncertainty.combined() / e.total_capacity.si;
    const double variance = sum_of(part) + proof.expected_u * proof.expected_u;

    proof.ratio = d.total_capacity.si / e.total_capacity.si;
    proof.ratio_u = *proof.ratio * std::sqrt(variance);
    proof.ratio_u95 = 2.0 * proof.ratio_u;
    compare_power(model, capacity, of_power, proof);
    if (variance > 0.0) {
        for (std::size_t i = 0; i < input_count; ++i) proof.budget[i].share = part[i] / variance;
        proof.expected_share = proof.expected_u * proof.expected_u / variance;
    }
    std::sort(proof.budget.begin(), proof.budget.end(), [](const BudgetLine& x, const BudgetLine& y) {
        return x.share != y.share ? x.share > y.share : x.input < y.input;
    });
    return true;
}

}  // namespace offnominal::detail
