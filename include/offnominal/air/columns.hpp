/// @file
/// Moist air by columns: the very functions of `solve.hpp` and `moist.hpp` in loops without branches, which a compiler
/// turns into vector code with the same bits. g++ needs -O3 -fno-trapping-math -fno-math-errno for that; the compiled
/// library has these loops once per instruction set.
#pragma once

#include <cstddef>

#include "offnominal/air/solve.hpp"

// All calls inlined, however large: a loop with a call in it is not vectorised.
#if defined(__GNUC__)
#define OFFNOMINAL_FLATTEN [[gnu::flatten]]
#else
#define OFFNOMINAL_FLATTEN
#endif

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::air {

/// The loops below as they were compiled for one instruction set. All give the same bits.
struct ColumnKernels {
    using TwoIn = void (*)(std::size_t n, const double*, const double*, double* out) noexcept;
    using ThreeIn = void (*)(std::size_t n, const double*, const double*, const double*, double* out) noexcept;

    ThreeIn wet_bulbs;
    ThreeIn humidity_ratios_from_wet_bulbs;
    TwoIn saturation_humidity_ratios;
    ThreeIn relative_humidities;
    TwoIn saturation_temperatures_from_enthalpies;
};

/// Those of the widest instruction set this machine has. In the compiled library.
[[nodiscard]] const ColumnKernels& fastest_columns() noexcept;

}  // namespace offnominal::air

namespace offnominal::air::inline OFFNOMINAL_ISA::si {

/// Wet bulbs of `n` states.
OFFNOMINAL_FLATTEN inline void wet_bulbs(std::size_t n, const double* t, const double* W, const double* p,
                                         double* out) noexcept {
    for (std::size_t i = 0; i < n; ++i) out[i] = wet_bulb(t[i], W[i], p[i]);
}

/// Humidity ratios from wet bulbs.
OFFNOMINAL_FLATTEN inline void humidity_ratios_from_wet_bulbs(std::size_t n, const double* t, const double* wet_bulb,
                                                              const double* p, double* out) noexcept {
    for (std::size_t i = 0; i < n; ++i) out[i] = humidity_ratio_from_wet_bulb(t[i], wet_bulb[i], p[i]);
}

/// Humidity ratios of saturated air.
OFFNOMINAL_FLATTEN inline void saturation_humidity_ratios(std::size_t n, const double* t, const double* p,
                                                          double* out) noexcept {
    for (std::size_t i = 0; i < n; ++i) out[i] = saturation_humidity_ratio(t[i], p[i]);
}

/// Relative humidities.
OFFNOMINAL_FLATTEN inline void relative_humidities(std::size_t n, const double* t, const double* W, const double* p,
                                                   double* out) noexcept {
    for (std::size_t i = 0; i < n; ++i) out[i] = relative_humidity(t[i], W[i], p[i]);
}

/// Temperatures at which saturated air has the enthalpies `h`.
OFFNOMINAL_FLATTEN inline void saturation_temperatures_from_enthalpies(std::size_t n, const double* h, const double* p,
                                                                       double* out) noexcept {
    for (std::size_t i = 0; i < n; ++i) out[i] = saturation_temperature_from_enthalpy(h[i], p[i]);
}

/// Those of the translation unit that uses them.
inline constexpr ColumnKernels own_columns{&wet_bulbs, &humidity_ratios_from_wet_bulbs, &saturation_humidity_ratios,
                                           &relative_humidities, &saturation_temperatures_from_enthalpies};

}  // namespace offnominal::air::inline OFFNOMINAL_ISA::si
OFFNOMINAL_EXACT_END
