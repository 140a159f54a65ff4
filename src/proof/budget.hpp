/// @file
/// First order: what each input's doubt does to the ratios (JCGM 100:2008), and the budget of that.
#pragma once

#include <algorithm>
#include <cmath>

#include "inputs.hpp"

namespace offnominal::detail {

/// Half the relative change of both sides and their ratios when each input moves by +-1 standard uncertainty, by
/// `Input` (JCGM 100:2008, 5.1.3 note 2): a page has kinks, and a derivative sees only one side of them.
struct Effects {
    Contributions delivered{}, expected{};
    Contributions ratio{}, sensible{}, power{};
    /// Second order: what moving both ways leaves in the ratios, relative.
    Contributions ratio_bend{}, sensible_bend{};
    bool known = true;  ///< false: an input leads both ways where there is no answer
};

/// The effects about `centre`, where both sides are `base`. Past the page's edge the edge cell is followed, so that a
/// reading near an edge keeps both sides; one-sided where only one side has an answer.
[[nodiscard]] inline Effects effects_of(const ProofModel& model, const KnownInputs& known,
                                        const ProofModel::Inputs& centre, const Sides& base, Notes& notes) noexcept {
    Effects out;
    std::array<ProofModel::Inputs, 2 * input_count> moved;
    std::array<std::optional<Sides>, 2 * input_count> ends;
    std::size_t count = 0;
    const auto moves = [&](std::size_t i) {
        return standard_of(known[i]) != 0.0 && static_cast<Input>(i) != Input::power;
    };
    for (std::size_t i = 0; i < input_count; ++i) {
        if (!moves(i)) continue;
        for (const double sign : {-1.0, 1.0}) {
            moved[count] = centre;
            moved[count++][i] += sign * standard_of(known[i]);
        }
    }
    model.sides({moved.data(), count}, ends);
    count = 0;
    for (std::size_t i = 0; i < input_count; ++i) {
        const double u = standard_of(known[i]);
        if (u == 0.0) continue;
        if (static_cast<Input>(i) == Input::power) {
            out.power[i] = u / centre[i];
            continue;
        }
        Sides end[2] = {base, base};
        double reach = 0.0;  // how many steps of u lie between the two ends used
        for (Sides& side : end)
            if (const auto& s = ends[count++]) {
                side = *s;
                reach += 1.0;
            }
        if (reach < 2.0) notes.add(Note::one_sided);
        if (reach == 0.0) {
            out.known = false;
            return out;
        }
        const auto slope = [&](double low, double high, double middle) { return (high - low) / (reach * middle); };
        out.delivered[i] = slope(end[0].delivered, end[1].delivered, base.delivered);
        out.expected[i] = slope(end[0].expected, end[1].expected, base.expected);
        out.ratio[i] = slope(end[0].ratio(), end[1].ratio(), base.ratio());
        out.sensible[i] = slope(end[0].sensible_ratio(), end[1].sensible_ratio(), base.sensible_ratio());
        out.power[i] = slope(1.0 / end[0].expected_power, 1.0 / end[1].expected_power, 1.0 / base.expected_power);
        const auto bend = [&](double low, double high, double middle, double effect) {
            // An error of gain: what is there is the reading over 1 + error, which bends by its square.
            return (reach == 2.0 ? 0.5 * (low + high) / middle - 1.0 : 0.0) +
                   (known[i].gain ? effect * u / centre[i] : 0.0);
        };
        out.ratio_bend[i] = bend(end[0].ratio(), end[1].ratio(), base.ratio(), out.ratio[i]);
        out.sensible_bend[i] =
            bend(end[0].sensible_ratio(), end[1].sensible_ratio(), base.sensible_ratio(), out.sensible[i]);
        for (double* effect : {&out.sensible[i], &out.sensible_bend[i], &out.power[i]})
            if (!std::isfinite(*effect)) *effect = 0.0;
    }
    return out;
}

/// What was read, as far as it is known, what both sides make of it, and what its errors do to them.
struct Taken {
    KnownInputs known{};
    ProofModel::Inputs centre{};  ///< as read; of a humidity near saturation its mean
    std::optional<Sides> base;
    Effects effects;  ///< where there is a base

    Taken(const ProofModel& model, const Expected& e, Notes& notes)
        : known(known_inputs(model, e, notes)), centre(model.base()) {
        for (std::size_t i = 0; i < input_count; ++i)
            if (known[i].saturated > 0.0) centre[i] = mean_of(known[i]);
        // A held answer is differenced along the followed edge like any other: what holding it costs is in its own
        // uncertainty.
        base = model.sides(centre);
        if (base) effects = effects_of(model, known, centre, *base, notes);
    }
    [[nodiscard]] bool known_well() const noexcept { return base && effects.known; }
};

/// Relative standard uncertainty of expected power: its own last printed place, and what total is uncertain by for
/// reading between nodes, past an edge, next to dry nodes, by a match factor, by the line set and by another airflow:
/// power runs straighter over a page than total does. The correction for thin air has an uncertainty of its own for
/// power. A maker's tolerance on power is not known.
[[nodiscard]] inline double expected_power_uncertainty(const System& system, const Expected& e) noexcept {
    const double printed = e.mode == Mode::heating ? heating_page_of(system, e).table.page().power_step
                                                   : page_of(system, e).table.page().power_step;
    const double step = printed / std::sqrt(12.0);
    const ExpectedUncertainty& u = e.uncertainty;
    const derates::ThinAir thin = derates::thin_air(e.mode == Mode::heating);
    const double altitude = u.altitude * thin.power_u / thin.total_u;
    const double shared =
        root_of_squares({u.interpolation, u.outside, u.inferred, u.match, u.line, altitude, u.airflow});
    return root_of_squares({step / e.power->si, shared / e.total_capacity.si});
}

[[nodiscard]] inline Comparison compare(double measured, double expected, double relative_u) noexcept {
    const double ratio = measured / expected;
    return {measured, expected, ratio, ratio * relative_u, 2.0 * (ratio * relative_u)};
}

/// Power and efficiency, where the proof's powers are alike. One input moves both ratios, so what it does to the
/// efficiency is the difference.
inline void compare_power(const ProofModel& model, const Effects& effects, const Correlations& correlations,
                          Proof& proof) noexcept {
    const Expected& e = *proof.expected;
    const auto expected = model.power(e);
    if (!expected) {
        proof.no_power = expected.reason();
        return;
    }
    Contributions efficiency{};
    for (std::size_t i = 0; i < input_count; ++i) efficiency[i] = effects.ratio[i] - effects.power[i];
    const double own = expected_power_uncertainty(model.system(), e), measured = model.visit().power->value.si;
    const auto u = [&](const Contributions& c, double more) {
        return std::sqrt(std::max(0.0, covariance(correlations, c, c)) + own * own + more * more);
    };
    proof.power = compare(measured, *expected, u(effects.power, 0.0));
    proof.efficiency = compare(proof.delivered.total_capacity.si / measured, e.total_capacity.si / *expected,
                               u(efficiency, proof.expected_u));
}

/// Sensible and split, or in heating the rise, beside the page's, at the airflow that was read and over its
/// uncertainty.
inline void compare_sensible(const Effects& effects, const Correlations& correlations, double own,
                             Proof& proof) noexcept {
    const Expected& e = *proof.expected;
    if (e.mode == Mode::heating) {
        // The rise is total over airflow, on both sides; a heater's part of it is left out of the measured one.
        const Delivered& d = proof.delivered;
        const double share = d.total_capacity.si / (d.total_capacity.si + d.auxiliary_heat.si);
        const double u = std::hypot(std::sqrt(std::max(0.0, covariance(correlations, effects.ratio, effects.ratio))),
                                    proof.expected_u);
        // What bends the page and frosts the coil is in the rise too.
        const double factor = (1.0 + proof.bend) * (1.0 - proof.frost);
        if (e.leaving) proof.split = compare(-d.split.si * share, -e.leaving->split.si * factor, u);
        return;
    }
    if (!e.sensible_capacity || !(e.sensible_capacity->si > 0.0)) return;
    const double read = std::sqrt(std::max(0.0, covariance(correlations, effects.sensible, effects.sensible)));
    const double u = std::hypot(std::hypot(read, proof.expected_u), own);
    proof.sensible = compare(proof.delivered.sensible_capacity.si, e.sensible_capacity->si, u);
    // Split is sensible over airflow, on both sides.
    if (e.leaving) proof.split = compare(proof.delivered.split.si, e.leaving->split.si, u);
}

/// The lines of the budget, largest share first. Inputs of one quantity may share errors; what they do together is
/// theirs in proportion to the square of what each does alone, so that no share is negative.
inline void fill_budget(const Visit& visit, const KnownInputs& known, const Effects& effects,
                        const Correlations& correlations, Proof& proof) noexcept {
    std::array<double, 4> together{}, alone{};
    for (std::size_t i = 0; i < input_count; ++i) {
        const auto quantity = static_cast<std::size_t>(quantity_of(visit, i));
        alone[quantity] += effects.ratio[i] * effects.ratio[i];
    }
    for (const auto& [i, j, r] : correlations.pairs())
        together[static_cast<std::size_t>(quantity_of(visit, i))] += effects.ratio[i] * r * effects.ratio[j];
    const double own = proof.expected_u * proof.expected_u;
    double variance = own;
    for (const double part : together) variance += std::max(0.0, part);
    for (std::size_t i = 0; i < input_count; ++i) {
        const auto quantity = static_cast<std::size_t>(quantity_of(visit, i));
        BudgetLine& line = proof.budget[i];
        line = {static_cast<Input>(i), standard_of(known[i]), effects.delivered[i], effects.expected[i],
                effects.ratio[i],      effects.sensible[i],   effects.power[i],     0.0};
        if (variance > 0.0 && alone[quantity] > 0.0)
            line.share =
                effects.ratio[i] * effects.ratio[i] / alone[quantity] * std::max(0.0, together[quantity]) / variance;
    }
    if (variance > 0.0) proof.expected_share = own / variance;
    std::sort(proof.budget.begin(), proof.budget.end(), [](const BudgetLine& x, const BudgetLine& y) {
        return x.share != y.share ? x.share > y.share : x.input < y.input;
    });
}

}  // namespace offnominal::detail
