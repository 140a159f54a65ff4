#include "offnominal/proof/conformity.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>

#include "distributions.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {

double probability_at_least(double limit, double mean, double sigma) {
    if (!(sigma > 0.0)) return mean >= limit ? 1.0 : 0.0;
    return distributions::normal_above(limit, mean, sigma);
}

GlobalRisks global_risks(const Interval& tolerance, const Interval& accepted, const Interval& rejected,
                         const Population& population, double measuring) {
    for (const double standard : {population.standard, measuring})
        if (!(standard > 0.0 && std::isfinite(standard)))
            throw InputError({}, "standard deviation", brief(standard), "above zero");
    const auto read_within = [measuring](const Interval& in, double truth) {
        const auto below = [&](double end) {
            return std::isinf(end) ? (end > 0.0 ? 1.0 : 0.0) : distributions::normal_below((end - truth) / measuring);
        };
        return below(in.high) - below(in.low);
    };
    // Beyond ten standard deviations there is nothing.
    const double least = population.mean - 10.0 * population.standard,
                 most = population.mean + 10.0 * population.standard;
    const auto over = [&](double from, double to, auto&& chance) {
        from = std::max(from, least);
        to = std::min(to, most);
        if (!(from < to)) return 0.0;
        return boost::math::quadrature::gauss_kronrod<double, 31>::integrate(
            [&](double truth) {
                return distributions::normal_density(truth, population.mean, population.standard) * chance(truth);
            },
            from, to, 12, 1e-10);
    };
    const auto accept = [&](double truth) { return read_within(accepted, truth); };
    const auto reject = [&](double truth) { return 1.0 - read_within(rejected, truth); };
    return {over(least, tolerance.low, accept) + over(tolerance.high, most, accept),
            over(tolerance.low, tolerance.high, reject)};
}

}  // namespace offnominal
