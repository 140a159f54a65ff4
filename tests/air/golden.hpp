// Bits of every kernel over a fixed set of states, folded into one number. The same on any compiler, instruction set
// and optimisation: bits.cpp checks it in the test executable, test_bits.py in programs compiled with other flags.
#pragma once

#include <bit>
#include <cstdint>

#include "offnominal/air.hpp"

namespace golden {

inline constexpr std::uint64_t expected = 2602994224673802346u;

class Hash {  // FNV-1a
   public:
    void add(double x) {
        const auto bits = std::bit_cast<std::uint64_t>(x);
        for (int byte = 0; byte < 64; byte += 8) value_ = (value_ ^ ((bits >> byte) & 0xff)) * 1099511628211u;
    }
    [[nodiscard]] std::uint64_t value() const { return value_; }

   private:
    std::uint64_t value_ = 14695981039346656037u;
};

/// Steps of a linear congruential generator; every number made from them is exact, so that this file's own arithmetic
/// has no bits to lose.
class Steps {
   public:
    /// A multiple of 2^-10 from `low` to `high`.
    double between(int low, int high) {
        state_ = state_ * 6364136223846793005u + 1442695040888963407u;
        const auto span = static_cast<std::uint64_t>(high - low) << 10;
        return low + static_cast<double>((state_ >> 33) % span) * 0x1p-10;
    }

   private:
    std::uint64_t state_ = 42;
};

inline std::uint64_t compute() {
    namespace si = offnominal::air::si;
    using offnominal::air::Over;
    using offnominal::air::Wick;
    Hash hash;
    Steps steps;
    for (int i = 0; i < 50'000; ++i) {
        const double t = steps.between(-60, 90), p = steps.between(50'000, 110'000), share = steps.between(0, 1);
        const double z = steps.between(-500, 9000);
        hash.add(si::pressure_at_elevation(z));
        hash.add(si::elevation_at_pressure(p));
        hash.add(si::saturation_pressure_water(t));
        const double ps = si::saturation_pressure(t);
        hash.add(ps);
        if (ps >= p) continue;
        const double W = si::humidity_ratio(share * ps, p), h = si::enthalpy(t, W);
        const double wet = si::wet_bulb(t, W, p), frozen = si::wet_bulb(t, W, p, Wick::frozen);
        for (const double x : {W, h, wet, frozen, si::humidity_ratio_from_wet_bulb(t, wet, p), si::volume(t, W, p),
                               si::density_moist(t, W, p), si::relative_humidity(t, W, p, Over::water),
                               si::dew_point(si::vapour_pressure(W, p) + 0.0078125), si::dry_bulb_from_enthalpy(h, W),
                               si::humidity_ratio_from_enthalpy(t, h), si::saturation_temperature_from_enthalpy(h, p)})
            hash.add(x);
        const auto mixed = si::mix(1.0, {t, W}, 2.0, {0.5 * t, 0.25 * W});
        hash.add(mixed.t);
        hash.add(mixed.W);
    }
    return hash.value();
}

}  // namespace golden
