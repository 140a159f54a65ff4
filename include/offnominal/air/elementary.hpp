/// @file
/// Exponential and logarithm whose bits do not depend on the C library, the compiler or the instruction set.
///
/// Both are straight-line code (no branch, no table) made of + - * / and moves of bits, so that a loop over many values
/// vectorises the very sequence that a single call runs. Coefficients are the exact fractions of the Taylor series: no
/// fit.
///
/// Accuracy measured against quadruple precision (tests/air/elementary.cpp bounds it in extended precision):
/// | function | domain of the claim         | greatest error |
/// |----------|-----------------------------|----------------|
/// | exp      | -708 <= x <= 709            | 0.9 ulp        |
/// | log      | positive normal numbers     | 0.9 ulp        |
///
/// Sources: argument reductions as in W. J. Cody and W. Waite, Software Manual for the Elementary Functions (1980);
/// rounding to an integer by adding 1.5 * 2^52; log by the series of 2 artanh(f / (2 + f)).
#pragma once

#include <cstdint>

#include "offnominal/detail/contract.hpp"
#include "offnominal/units.hpp"

// __builtin_bit_cast (g++, clang, MSVC) rather than std::bit_cast: the compiled kernels may leave no library function
// behind, and libc++ before 14 has none.
OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air::inline OFFNOMINAL_ISA::elementary {

inline constexpr double ln2_high = 0x1.62e42fefa0000p-1;  ///< ln 2 to 39 bits: its product with an exponent is exact
inline constexpr double ln2_low = 0x1.cf79abc9e3b39p-40;  ///< ln 2 - ln2_high

/// e^x for -708 <= x <= 709. Outside that, meaningless but finite or infinite; NaN for NaN.
[[nodiscard]] constexpr double exp(double x) noexcept {
    constexpr double log2_e = 0x1.71547652b82fep+0;
    constexpr double round = 0x1.8p+52;  // the sum's low bits hold the nearest integer

    // x = k ln 2 + r, |r| <= 0.347, with r = high - low to more than double precision.
    const double shifted = x * log2_e + round;
    const double k = shifted - round;
    const double high = x - k * ln2_high;
    const double low = k * ln2_low;
    const double r = high - low;

    // e^r - 1 - r = r^2 (1/2! + r/3! + ... + r^11/13!), summed in pairs so that the additions overlap.
    const double r2 = r * r;
    const double r4 = r2 * r2;
    const double p0 = (1.0 / 2 + r * (1.0 / 6)) + r2 * (1.0 / 24 + r * (1.0 / 120));
    const double p4 = (1.0 / 720 + r * (1.0 / 5040)) + r2 * (1.0 / 40320 + r * (1.0 / 362880));
    const double p8 = (1.0 / 3628800 + r * (1.0 / 39916800)) + r2 * (1.0 / 479001600 + r * (1.0 / 6227020800));
    const double tail = r2 * (p0 + r4 * (p4 + r4 * p8));
    const double e_r = 1.0 + (high + (tail - low));

    const auto exponent = (__builtin_bit_cast(std::uint64_t, shifted) + 1023u) << 52;
    return e_r * __builtin_bit_cast(double, exponent);
}

/// (2 artanh(s) - 2 s) / s as a series in z = s^2, through s^21 / 21: below 1e-16 for |s| <= 0.17, 1e-14 for |s| <=
/// 0.27.
[[nodiscard]] constexpr double artanh_tail(double z) noexcept {
    const double z2 = z * z;
    const double z4 = z2 * z2;
    const double r0 = (2.0 / 3 + z * (2.0 / 5)) + z2 * (2.0 / 7 + z * (2.0 / 9));
    const double r4 = (2.0 / 11 + z * (2.0 / 13)) + z2 * (2.0 / 15 + z * (2.0 / 17));
    const double r8 = 2.0 / 19 + z * (2.0 / 21);
    return z * (r0 + z4 * (r4 + z4 * r8));
}

/// Natural logarithm of a positive normal number. Outside that, meaningless.
[[nodiscard]] constexpr double log(double x) noexcept {
    constexpr std::uint64_t root_half = 0x3fe6a09e667f3bcd;  // bits of sqrt(1/2)
    constexpr std::uint64_t bias = std::uint64_t{1023} << 52;
    constexpr std::uint64_t mantissa = (std::uint64_t{1} << 52) - 1;
    constexpr double two_52 = 0x1p+52;

    // x = 2^k (1 + f), sqrt(1/2) <= 1 + f < sqrt(2); k becomes a double by way of the bits of 2^52 + k + 1023.
    const std::uint64_t offset = __builtin_bit_cast(std::uint64_t, x) - root_half + bias;
    const double k =
        __builtin_bit_cast(double, (offset >> 52) | __builtin_bit_cast(std::uint64_t, two_52)) - (two_52 + 1023.0);
    const double f = __builtin_bit_cast(double, (offset & mantissa) + root_half) - 1.0;

    // ln(1 + f) = 2 artanh(s), s = f / (2 + f), written so that f carries the leading bits: with 2 s = f - s f and
    // s f = f^2/2 - s f^2/2 it is f - f^2/2 + s (f^2/2 + tail).
    const double s = f / (2.0 + f);
    const double half_square = 0.5 * f * f;
    return k * ln2_high - ((half_square - (s * (half_square + artanh_tail(s * s)) + k * ln2_low)) - f);
}

}  // namespace offnominal::air::inline OFFNOMINAL_ISA::elementary
OFFNOMINAL_EXACT_END
