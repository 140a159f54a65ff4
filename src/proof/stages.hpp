/// @file
/// Which stage do the readings look like? For a compressor whose speed is not known, and for a stage mixed up.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "model.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal::detail {

/// How far a ratio is from 1, the same for a half and a double: 1 at a ratio of 1, and growing.
[[nodiscard]] inline double distance(double ratio) noexcept { return ratio < 1.0 ? 1.0 / ratio : ratio; }

/// Power tells stages apart better than capacity, which faults lower.
[[nodiscard]] inline double distance(const StageFit& fit) noexcept {
    if (fit.power_ratio) return distance(*fit.power_ratio);
    return fit.ratio && *fit.ratio > 0.0 ? distance(*fit.ratio) : HUGE_VAL;
}

/// The readings against every stage, best fit first. The ratio is answered as the visit allows. Power depends little on
/// airflow and on how dry the coil is, and another stage's page often ends before this one's airflow: it is a hint.
/// Without `ratios` a ratio is told only where there is none of power, which is enough for the order.
[[nodiscard]] inline std::vector<StageFit> stage_fits(const ProofModel& model, const Delivered& delivered,
                                                      bool ratios) {
    std::vector<StageFit> out;
    for_each_page(model.system(), model.visit(), [&](std::int16_t index, const auto& page) {
        const ProofModel other = model.against(AskedPage{page.name});
        StageFit fit;
        fit.stage = index;
        if (model.visit().power) {
            const auto sides = other.sides(model.base());
            if (sides && sides->expected_power > 0.0)
                fit.power_ratio = model.visit().power->value.si / sides->expected_power;
        }
        if (ratios || !fit.power_ratio) {
            const auto expected = other.expected(model.base(), delivered, model.visit().outside);
            if (expected)
                fit.ratio = delivered.total_capacity.si / expected->total_capacity.si;
            else
                fit.reason = expected.reason();
        }
        out.push_back(fit);
    });
    std::stable_sort(out.begin(), out.end(),
                     [](const StageFit& a, const StageFit& b) { return distance(a) < distance(b); });
    return out;
}

/// Whether measured power is far from the page of the stage that was asked for.
[[nodiscard]] inline bool power_off_its_stage(const ProofModel& model) noexcept {
    if (!model.visit().power || model.asked().stage.empty()) return false;
    const auto own = model.sides(model.base());
    return own && own->expected_power > 0.0 &&
           distance(model.visit().power->value.si / own->expected_power) - 1.0 > practice::power_of_same_stage;
}

/// Whether it is, and much nearer to another's.
[[nodiscard]] inline bool power_of_another_stage(const ProofModel& model, const std::vector<StageFit>& fits) noexcept {
    if (fits.empty() || !fits.front().power_ratio) return false;
    std::int16_t asked = -1;
    for_each_page(model.system(), model.visit(), [&](std::int16_t index, const auto& page) {
        if (page.name == model.asked().stage) asked = index;
    });
    for (const StageFit& fit : fits) {
        if (fit.stage != asked || !fit.power_ratio) continue;
        const double off = distance(*fit.power_ratio) - 1.0;
        return off > practice::power_of_same_stage && distance(*fits.front().power_ratio) - 1.0 < 0.5 * off;
    }
    return false;
}

}  // namespace offnominal::detail
