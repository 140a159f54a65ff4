#include "evidence.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <vector>

#include "offnominal/air/coil.hpp"

namespace offnominal::detail {
namespace {

/// Which term of `Residual::own` is whose: the page's total, which its sensible shares; sensible's; power's.
enum OwnTerm : std::size_t { of_page, of_sensible, of_power, of_hint };

double tail_of(double chi_square, int degrees) {
    if (degrees < 1 || !(chi_square > 0.0)) return 1.0;
    return cdf(complement(boost::math::chi_squared(degrees), chi_square));
}

using Small = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, input_count>;
using SmallVector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 4, 1>;

struct System4 {
    SmallVector values, weighted;  ///< residuals, and the inverse of their covariance times them
    Small effects;                 ///< residual by input
    Eigen::LDLT<Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 4, 4>> covariance;

    System4(std::span<const Residual> residuals, const Correlations& correlations) {
        const auto n = static_cast<Eigen::Index>(residuals.size());
        values.resize(n);
        effects.resize(n, input_count);
        Small own(n, Residual::terms);
        for (Eigen::Index r = 0; r < n; ++r) {
            const Residual& residual = residuals[static_cast<std::size_t>(r)];
            values[r] = residual.value;
            for (std::size_t i = 0; i < input_count; ++i) effects(r, static_cast<Eigen::Index>(i)) = residual.effect[i];
            for (std::size_t i = 0; i < Residual::terms; ++i) own(r, static_cast<Eigen::Index>(i)) = residual.own[i];
        }
        using Rows = Eigen::Matrix<double, input_count, input_count, Eigen::RowMajor>;
        const Eigen::Map<const Rows> k(correlations.data());
        covariance.compute(effects * k * effects.transpose() + own * own.transpose());
        weighted = covariance.solve(values);
    }
    [[nodiscard]] double chi_square() const { return values.dot(weighted); }
    /// How far off one input would be, and the chi-square that this explains.
    [[nodiscard]] std::pair<double, double> freed(std::size_t input) const {
        const SmallVector d = effects.col(static_cast<Eigen::Index>(input));
        const double curvature = d.dot(covariance.solve(d));
        if (!(curvature > 0.0)) return {0.0, 0.0};
        const double along = d.dot(weighted);
        return {along / curvature, along * along / curvature};
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
    const double all = system.chi_square();
    double left = all;
    for (std::size_t i = 0; i < input_count; ++i) {
        const double without = all - system.freed(i).second;
        if (without >= left) continue;
        out = static_cast<Input>(i);
        left = without;
    }
    return out;
}

Fit fit_without(Input input, std::span<const Residual> residuals, const Correlations& correlations) {
    Fit out;
    if (residuals.empty()) return out;
    const System4 system(residuals, correlations);
    const auto [off, explained] = system.freed(static_cast<std::size_t>(input));
    out.off = off;
    out.chi_square = system.chi_square() - explained;
    out.degrees = static_cast<int>(residuals.size()) - 1;
    out.probability = tail_of(out.chi_square, out.degrees);
    return out;
}

std::optional<double> coil_slope(const Delivered& delivered, const Expected& e) noexcept {
    if (!e.sensible_capacity || has(e.footing, Footing::dry)) return std::nullopt;
    const double total = e.total_capacity.si, sensible = e.sensible_capacity->si;
    if (!(sensible > 0.0 && sensible < 0.99 * total)) return std::nullopt;
    const air::CoilAir air{e.coil_dry_bulb.si, delivered.return_air.humidity_ratio.si, delivered.return_air.pressure.si,
                           e.mass_flow.si};
    // From the page's total to the one delivered, or at least 5 % of the way: saturation bends.
    constexpr double usual_bypass = 0.1;
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

std::vector<Residual> sound_machine(const LogRatios& ratios, const Effects& effects, double own, double own_power,
                                    double more) {
    std::vector<Residual> out;
    out.push_back({ratios.total, effects.ratio, {own, 0.0, 0.0, more}});
    if (std::isfinite(ratios.sensible)) out.push_back({ratios.sensible, effects.sensible, {own, 0.02, 0.0, more}});
    if (std::isfinite(ratios.power))
        out.push_back({ratios.power, effects.power, {0.0, 0.0, std::hypot(own_power, more), 0.0}});
    return out;
}

std::vector<Residual> any_capacity(const LogRatios& ratios, const Effects& effects, std::optional<double> slope,
                                   double own_power) {
    std::vector<Residual> out;
    if (slope && std::isfinite(ratios.sensible)) {
        Residual tie{ratios.sensible - *slope * ratios.total, {}, {0.0, tie_uncertainty(ratios.total), 0.0, 0.0}};
        for (std::size_t i = 0; i < input_count; ++i) tie.effect[i] = effects.sensible[i] - *slope * effects.ratio[i];
        out.push_back(tie);
    }
    if (std::isfinite(ratios.power))
        out.push_back({ratios.power, effects.power, {0.0, 0.0, std::hypot(own_power, 0.1), 0.0}});
    return out;
}

}  // namespace offnominal::detail
