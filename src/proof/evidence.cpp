#include "evidence.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

#include "distributions.hpp"
#include "ranges.hpp"

namespace offnominal::detail {
namespace {

/// Which term of `Residual::own` is whose: the page's total, which its sensible shares; sensible's; power's.
enum OwnTerm : std::size_t { of_page, of_sensible, of_power, of_hint };

double tail_of(double chi_square, int degrees) {
    if (degrees < 1 || !(chi_square > 0.0)) return 1.0;
    return distributions::chi_squared_above(chi_square, degrees);
}

using Small = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, input_count>;
using SmallVector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 4, 1>;

struct System4 {
    SmallVector values, weighted;  ///< residuals, and the inverse of their covariance times them
    Small effects;                 ///< residual by input
    using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, 4>;
    Eigen::LDLT<Square> covariance;

    System4(std::span<const Residual> residuals, const Correlations& correlations) {
        const auto n = static_cast<Eigen::Index>(residuals.size());
        values.resize(n);
        effects.resize(n, input_count);
        Square matrix(n, n);
        for (Eigen::Index r = 0; r < n; ++r) {
            const Residual& residual = residuals[static_cast<std::size_t>(r)];
            values[r] = residual.value;
            for (std::size_t i = 0; i < input_count; ++i) effects(r, static_cast<Eigen::Index>(i)) = residual.effect[i];
            for (Eigen::Index s = 0; s <= r; ++s) {
                const Residual& other = residuals[static_cast<std::size_t>(s)];
                double sum = detail::covariance(correlations, residual.effect, other.effect);
                for (std::size_t i = 0; i < Residual::terms; ++i) sum += residual.own[i] * other.own[i];
                matrix(r, s) = matrix(s, r) = sum;
            }
        }
        covariance.compute(matrix);
        weighted = covariance.solve(values);
    }
    [[nodiscard]] double chi_square() const { return values.dot(weighted); }
    struct Explained {
        double chi_square = 0.0, curvature = 0.0;
    };
    /// The chi-square that one input explains, if its error is let free. That error is the square root of chi-square
    /// over curvature, in standard uncertainties of the input.
    [[nodiscard]] Explained explained(std::size_t input) const {
        const SmallVector d = effects.col(static_cast<Eigen::Index>(input));
        const double curvature = d.dot(covariance.solve(d));
        if (!(curvature > 0.0)) return {};
        const double along = d.dot(weighted);
        return {along * along / curvature, curvature};
    }
};

}  // namespace

Fit fit(std::span<const Residual> residuals, const Correlations& correlations) {
    Fit out;
    if (residuals.empty()) return out;
    const System4 system(residuals, correlations);
    out.chi_square = system.chi_square();
    out.degrees = static_cast<int>(residuals.size());
    out.probability = tail_of(out.chi_square, out.degrees);
    return out;
}

Input most_telling(std::span<const Residual> residuals, const Correlations& correlations) {
    Input out = Input::airflow;
    if (residuals.empty()) return out;
    const System4 system(residuals, correlations);
    std::array<System4::Explained, input_count> by;
    double most = 0.0;
    for (std::size_t i = 0; i < input_count; ++i) {
        by[i] = system.explained(i);
        most = std::max(most, by[i].chi_square);
    }
    // Of those that explain all but as much as the best does, the one that needs the least error of its own: a reading
    // that explains a little more by an absurd error explains nothing.
    constexpr double as_much = 0.95;
    double least = HUGE_VAL;
    for (std::size_t i = 0; i < input_count; ++i) {
        if (!(by[i].chi_square > 0.0 && by[i].chi_square >= as_much * most)) continue;
        const double error = by[i].chi_square / by[i].curvature;
        if (!(error < least)) continue;
        out = static_cast<Input>(i);
        least = error;
    }
    return out;
}

std::optional<double> coil_slope(const Delivered& delivered, const Expected& e) noexcept {
    if (!e.sensible_capacity || has(e.footing, Footing::dry)) return std::nullopt;
    const double total = e.total_capacity.si, sensible = e.sensible_capacity->si;
    if (!(sensible > 0.0 && sensible < 0.99 * total)) return std::nullopt;
    const air::CoilAir air = coil_air(delivered, e);
    // From the page's total to the one delivered, or at least 5 % of the way: saturation bends.
    double ratio = std::clamp(delivered.total_capacity.si / total, 0.6, 1.2);
    if (std::abs(ratio - 1.0) < 0.05) ratio = 0.95;
    const double gross = e.gross_total.si, fan_heat = gross - total, bypass = e.bypass.value_or(usual_bypass);
    const auto at_page = air::coil_sensible(air, gross, bypass),
               there = air::coil_sensible(air, ratio * total + fan_heat, bypass);
    if (!at_page || !there) return std::nullopt;
    const double change = (*there - *at_page) / sensible;  // the page is the anchor: the coil tells differences only
    if (!(change > -0.9)) return std::nullopt;
    const double slope = std::log1p(change) / std::log(ratio);
    return slope > 0.1 && slope < 1.0 ? std::optional(slope) : std::nullopt;
}

LogRatios log_ratios(const ProofModel& model, const Sides& sides) noexcept {
    const auto& power = model.visit().power;
    return {std::log(sides.ratio()), sides.sensible_ratio() > 0.0 ? std::log(sides.sensible_ratio()) : Sides::not_told,
            power && sides.expected_power > 0.0 ? std::log(power->value.si / sides.expected_power) : Sides::not_told};
}

Residuals sound_machine(const LogRatios& ratios, const Effects& effects, double own, double own_power, double more) {
    Residuals out;
    out.add({ratios.total, effects.ratio, {own, 0.0, 0.0, more}});
    if (std::isfinite(ratios.sensible)) out.add({ratios.sensible, effects.sensible, {own, 0.02, 0.0, more}});
    if (std::isfinite(ratios.power))
        out.add({ratios.power, effects.power, {0.0, 0.0, std::hypot(own_power, more), 0.0}});
    return out;
}

WrongReadings weigh_readings(LogRatios ratios, const Effects& effects, double own, double own_power,
                             std::optional<double> slope, double relative_u, const std::optional<TooHigh>& dry_wick,
                             const Correlations& correlations) {
    constexpr int capacities = 21, powers = 4, sound_one = 16, by_outdoor_side = 4;  // 1.00; 0.90 to 0.975
    struct Faults {
        using Values = std::array<double, powers*(capacities + by_outdoor_side)>;
        Values capacity{}, power{};  ///< logarithms
        Values odds{};
    };
    static const auto faults = [] {
        constexpr double least = 0.6, step = 0.025, odds_of_outdoor_side = 0.25;
        Faults out;
        std::size_t n = 0;
        for (int i = 0; i < capacities; ++i) {
            const double ratio = least + step * i;
            const auto add = [&](double from, double to, double odds) {
                for (int k = 0; k < powers; ++k, ++n) {
                    out.capacity[n] = std::log(ratio);
                    out.power[n] = std::log1p((from + (to - from) * (k + 0.5) / powers) * (1.0 - ratio));
                    out.odds[n] = odds / (powers * capacities);
                }
            };
            const bool either_side = i < sound_one && i >= sound_one - by_outdoor_side;
            add(-0.6, 0.0, either_side ? 1.0 - odds_of_outdoor_side : 1.0);
            if (either_side) add(0.5, 2.0, odds_of_outdoor_side);
        }
        return out;
    }();
    const bool tied = slope && std::isfinite(ratios.sensible);
    const double tie = tied ? *slope : 0.0;
    if (!tied) ratios.sensible = Sides::not_told;
    const bool powered = std::isfinite(ratios.power);
    WrongReadings out;
    if (!powered && !(tied && dry_wick)) return out;
    auto sound = sound_machine(ratios, effects, own, own_power);
    if (tied) {  // what a machine is off its page, its coil ties too
        sound[1].own[of_page] *= tie;
        sound[1].own[of_sensible] = tie_uncertainty(0.0);
    }
    const System4 system(sound, correlations);
    const auto n = static_cast<Eigen::Index>(sound.size());
    using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, 4>;
    const Square weight = system.covariance.solve(Square::Identity(n, n));
    const double all = system.chi_square();

    // A fault of capacity c and power p takes c a + p b off the residuals, which leaves a quadratic in c and p.
    SmallVector a = SmallVector::Zero(n), b = SmallVector::Zero(n);
    a[0] = 1.0;
    if (tied) a[1] = tie;
    if (powered) b[n - 1] = 1.0;
    const double by_c = a.dot(system.weighted), by_p = b.dot(system.weighted), c_c = a.dot(weight * a),
                 c_p = a.dot(weight * b), p_p = b.dot(weight * b);
    using Values = Eigen::Map<const Eigen::ArrayXd>;
    const auto values = [](const Faults::Values& of) {
        return Values(of.data(), static_cast<Eigen::Index>(of.size()));
    };
    const Values c = values(faults.capacity), p = values(faults.power);
    const Eigen::ArrayXd chi_squares =
        all - 2.0 * (c * by_c + p * by_p) + c.square() * c_c + 2.0 * c * p * c_p + p.square() * p_p;
    const double nearest = chi_squares.minCoeff(),
                 fault = std::log((values(faults.odds) * (-0.5 * (chi_squares - nearest)).exp()).sum()) - 0.5 * nearest;

    // A reading too high by x of its standard uncertainties has moved the residuals by x times its effect.
    constexpr std::size_t steps = 8;
    using Ways = std::array<double, steps>;
    const auto too_high = [&](Input input, double least, double most) {
        const SmallVector off = system.effects.col(static_cast<Eigen::Index>(input));
        const double along = off.dot(system.weighted), curvature = off.dot(weight * off);
        Ways chi_square{};
        for (std::size_t i = 0; i < steps; ++i) {
            const double x = least + (most - least) * static_cast<double>(i) / (steps - 1);
            chi_square[i] = all - 2.0 * x * along + x * x * curvature;
        }
        return chi_square;
    };
    const auto weighed = [&](const Ways& way) {
        const double best = *ranges::min_element(way);
        double sum = 0.0;
        for (const double chi_square : way) sum += std::exp(-0.5 * (chi_square - best));
        const double mean = sum / static_cast<double>(steps);
        return WrongReadings::Way{2.0 * (std::log(mean) - 0.5 * best - fault), tail_of(best, static_cast<int>(n) - 1)};
    };
    if (powered) {
        constexpr double least_off = 0.1133, most_off = 0.25;  // logarithms of 1.12 and 1.28
        out.low_airflow = weighed(too_high(Input::airflow, -least_off / relative_u, -most_off / relative_u));
        out.high_airflow = weighed(too_high(Input::airflow, least_off / relative_u, most_off / relative_u));
    }
    if (tied && dry_wick) out.dry_wick = weighed(too_high(Input::supply_humidity, dry_wick->least, dry_wick->most));
    return out;
}

Residuals any_capacity(const LogRatios& ratios, const Effects& effects, std::optional<double> slope, double own_power) {
    Residuals out;
    if (slope && std::isfinite(ratios.sensible)) {
        Residual tie{ratios.sensible - *slope * ratios.total, {}, {0.0, tie_uncertainty(ratios.total), 0.0, 0.0}};
        for (std::size_t i = 0; i < input_count; ++i) tie.effect[i] = effects.sensible[i] - *slope * effects.ratio[i];
        out.add(tie);
    }
    if (std::isfinite(ratios.power))
        out.add({ratios.power, effects.power, {0.0, 0.0, std::hypot(own_power, 0.1), 0.0}});
    return out;
}

}  // namespace offnominal::detail
