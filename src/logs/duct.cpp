#include "offnominal/field/duct.hpp"

#include <algorithm>
#include <cmath>

#include "given.hpp"
#include "offnominal/field/mean.hpp"

namespace offnominal {
namespace {

void check_duct_uncertainty(double value, const char* what) {
    if (!std::isfinite(value) || value < 0.0)
        throw InputError({}, std::string(what) + ": not a standard uncertainty", logs::text_of(value), "0 or more");
}

}  // namespace

DuctMean duct_mean(const std::vector<double>& readings, const std::vector<double>& velocities,
                   double velocity_uncertainty, double shared) {
    logs::check_readings(readings, "readings", 2);
    const std::size_t n = readings.size();
    if (!velocities.empty()) {
        logs::check_same_length(n, "readings", velocities.size(), "velocities");
        for (std::size_t i = 0; i < n; ++i)
            if (!(velocities[i] > 0.0 && std::isfinite(velocities[i])))
                throw InputError({}, logs::numbered("velocities", i) + ": not a velocity", logs::text_of(velocities[i]),
                                 "above 0; air that flows back is no part of a mean");
    }
    check_duct_uncertainty(velocity_uncertainty, "velocity uncertainty");
    check_duct_uncertainty(shared, "shared");

    double all = 0.0, sum = 0.0;
    const auto weight = [&](std::size_t i) { return velocities.empty() ? 1.0 : velocities[i]; };
    for (std::size_t i = 0; i < n; ++i) {
        all += weight(i);
        sum += weight(i) * (readings[i] - readings[0]);
    }
    DuctMean out;
    out.value = readings[0] + sum / all;
    double squares = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double deviation = weight(i) / all * (readings[i] - out.value);
        squares += deviation * deviation;
    }
    const double places = static_cast<double>(n);
    const auto [least, greatest] = std::minmax_element(readings.begin(), readings.end());
    out.spread = *greatest - *least;
    out.probes = n;
    out.few = n < 5;
    const UncertaintyPart whole = combined({{std::sqrt(squares * places / (places - 1.0)), places - 1.0},
                                            {velocities.empty() ? 0.0 : velocity_uncertainty * std::sqrt(squares)},
                                            {shared}});
    out.standard = whole.standard;
    out.degrees_of_freedom = whole.degrees_of_freedom;
    return out;
}

}  // namespace offnominal
