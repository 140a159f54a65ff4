// Doubles that tests of several files need.
#pragma once

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

inline constexpr double infinity = std::numeric_limits<double>::infinity();
inline constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

inline bool same_bits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }
/// NaN has many bits.
inline bool same_or_nan(double a, double b) { return same_bits(a, b) || (std::isnan(a) && std::isnan(b)); }
