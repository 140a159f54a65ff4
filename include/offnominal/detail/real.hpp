/// @file
/// What headers need to know of real numbers: functions that have one right answer to the last bit. `<cmath>` has many
/// more, with special functions that take a twentieth of the time to compile a look-up: it is included where the
/// compiler has no functions of its own. (`std::abs` is in `<cstdlib>` too.)
#pragma once

#include <limits>

#include "offnominal/detail/contract.hpp"

#if defined(__GNUC__)
#define OFFNOMINAL_REAL(function) __builtin_##function
#else
#include <cmath>
#define OFFNOMINAL_REAL(function) std::function
#endif

namespace offnominal::real {

inline constexpr double infinity = std::numeric_limits<double>::infinity();

OFFNOMINAL_INLINE constexpr bool is_nan(double x) noexcept { return OFFNOMINAL_REAL(isnan)(x); }
OFFNOMINAL_INLINE constexpr bool is_infinite(double x) noexcept { return OFFNOMINAL_REAL(isinf)(x); }
OFFNOMINAL_INLINE constexpr bool is_finite(double x) noexcept { return OFFNOMINAL_REAL(isfinite)(x); }
OFFNOMINAL_INLINE double sqrt(double x) noexcept { return OFFNOMINAL_REAL(sqrt)(x); }
OFFNOMINAL_INLINE double floor(double x) noexcept { return OFFNOMINAL_REAL(floor)(x); }
OFFNOMINAL_INLINE double round(double x) noexcept { return OFFNOMINAL_REAL(round)(x); }  ///< halves away from zero
OFFNOMINAL_INLINE double next_after(double x, double towards) noexcept {
    return OFFNOMINAL_REAL(nextafter)(x, towards);
}
/// The lesser and the greater of two; of a number and NaN the number.
OFFNOMINAL_INLINE double fmin(double a, double b) noexcept { return OFFNOMINAL_REAL(fmin)(a, b); }
OFFNOMINAL_INLINE double fmax(double a, double b) noexcept { return OFFNOMINAL_REAL(fmax)(a, b); }

}  // namespace offnominal::real

#undef OFFNOMINAL_REAL
