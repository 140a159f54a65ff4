/// @file
/// The normal distribution, with the same bits on every compiler and C library: `std::erfc` has each library's own.
#pragma once

#include <numbers>

#include "offnominal/air/elementary.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Complementary error function; relative error below 1e-14 as long as the result is a normal number (x <= 26.5), and 0
/// beyond. NaN for NaN.
///
/// Up to 1 by the series of positive terms for erf, DLMF 7.6.2: 2/sqrt(pi) e^(-x^2) sum of 2^n x^(2n+1) / (1 3 5 ...
/// (2n+1)). Above by the continued fraction of DLMF 7.9.1, whose terms are positive too, written as
/// e^(-x^2)/sqrt(pi) / (x + (1/2)/(x + (2/2)/(x + (3/2)/(x + ...)))) and evaluated backwards.
[[nodiscard]] inline double erfc(double x) noexcept {
    if (x < 0.0) return 2.0 - erfc(-x);
    if (x > 26.5) return 0.0;
    // x^2 = near^2 + rest, where near has half the bits, so that its square is exact.
    const double near = static_cast<double>(static_cast<float>(x));
    const double bell = air::elementary::exp(-near * near) * air::elementary::exp(-(x - near) * (x + near));
    if (x < 1.0) {
        double term = x, sum = x;
        for (int n = 1; n <= 25; ++n) {
            term *= 2.0 * x * x / (2 * n + 1);
            sum += term;
        }
        return 1.0 - 2.0 * std::numbers::inv_sqrtpi * bell * sum;
    }
    double fraction = x;
    for (int n = 160; n >= 1; --n) fraction = x + 0.5 * n / fraction;
    return std::numbers::inv_sqrtpi * bell / fraction;
}

/// Probability that a normal variable of mean `mean` and standard deviation `sigma` is at least `limit`.
[[nodiscard]] inline double probability_at_least(double limit, double mean, double sigma) noexcept {
    if (!(sigma > 0.0)) return mean >= limit ? 1.0 : 0.0;
    return 0.5 * erfc((limit - mean) / (sigma * std::numbers::sqrt2));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
