#include "offnominal/field/mean.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "distributions.hpp"
#include "given.hpp"

namespace offnominal {
namespace {

/// 1 + 2 sum of (1 - k/n) r_k up to the first r_k that is not positive; and r_1.
struct Memory {
    double times = 1.0;
    double first = 0.0;
};

Memory memory_of(const std::vector<double>& deviations, double squares) {
    const std::size_t n = deviations.size();
    Memory out;
    for (std::size_t k = 1; k < n; ++k) {
        double products = 0.0;
        for (std::size_t i = k; i < n; ++i) products += deviations[i - k] * deviations[i];
        const double r = products / squares;
        if (k == 1) out.first = r;
        if (!(r > 0.0)) break;
        out.times += 2.0 * (1.0 - static_cast<double>(k) / static_cast<double>(n)) * r;
    }
    return out;
}

}  // namespace

SeriesMean mean_of(const std::vector<double>& readings) {
    logs::check_readings(readings, "readings", 2);
    const double n = static_cast<double>(readings.size());
    SeriesMean out;
    out.samples = readings.size();
    // A second pass takes out what the first left over by rounding.
    const double origin = readings.front();
    double sum = 0.0, rest = 0.0, squares = 0.0;
    for (const double x : readings) sum += x - origin;
    for (const double x : readings) rest += (x - origin) - sum / n;
    out.value = origin + sum / n + rest / n;
    std::vector<double> deviations;
    deviations.reserve(readings.size());
    for (const double x : readings) deviations.push_back(x - out.value);
    for (const double d : deviations) squares += d * d;
    const auto [least, greatest] = std::minmax_element(readings.begin(), readings.end());
    if (*least == *greatest) {
        out.value = *least;
        out.effective_samples = n;
        out.degrees_of_freedom = n - 1.0;
        return out;
    }
    const Memory memory = memory_of(deviations, squares);
    const double r = std::clamp(memory.first + (1.0 + 4.0 * memory.first) / n, 0.0, 1.0);
    out.effective_samples = std::clamp(std::min(n / memory.times, n * (1.0 - r) / (1.0 + r)), 2.0, n);
    out.degrees_of_freedom = out.effective_samples - 1.0;
    out.deviation = std::sqrt(squares / (n - 1.0));
    out.standard = std::sqrt(squares / (n * out.degrees_of_freedom));
    return out;
}

UncertaintyPart combined(const std::vector<UncertaintyPart>& parts) {
    double greatest = 0.0;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (!std::isfinite(parts[i].standard) || parts[i].standard < 0.0)
            throw InputError({}, logs::numbered("part", i) + ": not a standard uncertainty",
                             logs::text_of(parts[i].standard), "0 or more");
        if (!(parts[i].degrees_of_freedom > 0.0))
            throw InputError({}, logs::numbered("part", i) + ": not degrees of freedom",
                             logs::text_of(parts[i].degrees_of_freedom), "above 0; infinite where there is no doubt");
        greatest = std::max(greatest, parts[i].standard);
    }
    if (greatest == 0.0) return {};
    double squares = 0.0, fourths = 0.0;  // as shares of the greatest, which cannot overflow
    for (const UncertaintyPart& part : parts) {
        const double square = (part.standard / greatest) * (part.standard / greatest);
        squares += square;
        fourths += square * square / part.degrees_of_freedom;
    }
    return {greatest * std::sqrt(squares), squares * squares / fourths};
}

double coverage_factor(double degrees_of_freedom, double probability) {
    if (!(degrees_of_freedom > 0.0))
        throw InputError({}, "not degrees of freedom", logs::text_of(degrees_of_freedom), "above 0");
    if (!(probability > 0.0 && probability < 1.0))
        throw InputError({}, "not a probability of coverage", logs::text_of(probability), "between 0 and 1");
    const double upper = 0.5 + 0.5 * probability;
    if (std::isinf(degrees_of_freedom)) return distributions::normal_quantile(upper);
    return distributions::student_quantile(upper, degrees_of_freedom);
}

}  // namespace offnominal
