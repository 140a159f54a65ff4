#include "offnominal/field/compare.hpp"

#include <algorithm>
#include <cmath>

#include "given.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal {
namespace {

/// Sums of products of deviations from the means.
struct Together {
    double xx = 0.0, xy = 0.0, yy = 0.0;
};

Together together(const std::vector<double>& x, const std::vector<double>& y) {
    double mean_x = 0.0, mean_y = 0.0;
    const double n = static_cast<double>(x.size());
    for (std::size_t i = 0; i < x.size(); ++i) {
        mean_x += (x[i] - x[0]) / n;
        mean_y += (y[i] - y[0]) / n;
    }
    Together out;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double dx = x[i] - x[0] - mean_x, dy = y[i] - y[0] - mean_y;
        out.xx += dx * dx;
        out.xy += dx * dy;
        out.yy += dy * dy;
    }
    return out;
}

ProbeFinding judged(const ProbeComparison& c, const ProbeCriteria& criteria) {
    const double apart = std::abs(c.offset.value), factor = coverage_factor(c.offset.degrees_of_freedom);
    const double allowed = 2.0 * std::hypot(criteria.first, criteria.second, c.offset.standard);  // NaN: not known
    if (apart > allowed) return ProbeFinding::out_of_tolerance;
    if (std::abs(c.drift) > std::max(criteria.agreement, factor * c.drift_standard)) return ProbeFinding::drifts;
    if (factor * c.offset.standard > criteria.agreement || std::abs(c.drift) > criteria.agreement)
        return ProbeFinding::too_short;
    return apart <= criteria.agreement ? ProbeFinding::agree : ProbeFinding::apart;
}

void check_accuracy(double standard, const char* which) {
    if (!std::isnan(standard) && !(standard > 0.0 && std::isfinite(standard)))
        throw InputError({}, std::string(which) + " probe: not a standard uncertainty", logs::text_of(standard),
                         "above 0");
}

}  // namespace

ProbeCriteria ProbeCriteria::of(Dimension dimension) {
    ProbeCriteria out;
    if (dimension == Dimension::temperature)
        out.agreement = practice::side_by_side_wet_bulb.si;
    else if (dimension == Dimension::ratio)
        out.agreement = practice::side_by_side_relative_humidity;
    else
        throw InputError({}, "no agreement is usual for two probes of this", std::string(name(dimension)),
                         "temperature, ratio; else an agreement of your own");
    return out;
}

ProbeComparison compare_probes(const std::vector<double>& times, const std::vector<double>& first,
                               const std::vector<double>& second, const ProbeCriteria& criteria) {
    logs::check_same_length(first.size(), "first", second.size(), "second");
    logs::check_same_length(times.size(), "times", first.size(), "first");
    logs::check_readings(first, "first", 10);
    logs::check_readings(second, "second", 10);
    logs::check_times(times);
    if (!(criteria.agreement > 0.0 && std::isfinite(criteria.agreement)))
        throw InputError({}, "agreement: not a greatest offset", logs::text_of(criteria.agreement), "above 0");
    check_accuracy(criteria.first, "first");
    check_accuracy(criteria.second, "second");

    std::vector<double> difference;
    for (std::size_t i = 0; i < first.size(); ++i) difference.push_back(second[i] - first[i]);
    ProbeComparison out;
    const Together in_time = together(times, difference), logs = together(first, second);
    const double slope = in_time.xy / in_time.xx, span = times.back() - times.front();
    std::vector<double> rest;  // beside the drift
    for (std::size_t i = 0; i < times.size(); ++i) rest.push_back(difference[i] - slope * (times[i] - times[0]));
    // A drift that means nothing is a part of the noise; one that means something is not: then what is left beside it
    // tells how well the mean is known, and the drift counts on its own.
    const SeriesMean beside = mean_of(rest);
    const double n = static_cast<double>(beside.samples);
    out.drift = slope * span;
    out.drift_standard = beside.deviation * std::sqrt(n / beside.effective_samples / in_time.xx) * span;
    out.offset = mean_of(difference);
    out.log_correlation = logs.xy / std::sqrt(logs.xx * logs.yy);
    out.finding = judged(out, criteria);

    const ProbeAdvice advice = row_of(out.finding)->advice;
    const double left = advice == ProbeAdvice::accept ? out.offset.value : 0.0;
    // A difference that moves evenly over a range deviates by that over the square root of 12.
    out.own = std::hypot(out.offset.standard, out.drift / std::sqrt(12.0), left);
    if (advice != ProbeAdvice::replace && !std::isnan(criteria.first))
        out.correlation = criteria.first / std::hypot(criteria.first, out.own);
    return out;
}

}  // namespace offnominal
