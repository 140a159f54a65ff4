/// @file
/// Numbers by chance that are the same on every machine and in every order: each visit draws from a stream of its own,
/// keyed by the seed, the row of the trial and the visit's number.
#pragma once

#include <cmath>
#include <cstdint>

namespace trial {

struct Range {
    double low, high;
};

class Chance {
   public:
    Chance(std::uint64_t seed, std::uint64_t row, std::uint64_t visit) noexcept
        : state_(mixed(mixed(mixed(seed) ^ row) ^ visit)) {}

    /// Above 0 and below 1.
    double share() noexcept { return (static_cast<double>(next() >> 11) + 0.5) * 0x1p-53; }
    double within(Range range) noexcept { return range.low + (range.high - range.low) * share(); }
    bool happens(double probability) noexcept { return share() < probability; }
    /// Of mean 0 and standard deviation 1 (Box and Muller 1958).
    double normal() noexcept {
        const double radius = std::sqrt(-2.0 * std::log(share()));
        return radius * std::cos(6.283185307179586 * share());
    }

   private:
    /// SplitMix64: G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014.
    static std::uint64_t mixed(std::uint64_t z) noexcept {
        z += 0x9e3779b97f4a7c15u;
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
        return z ^ (z >> 31);
    }
    std::uint64_t next() noexcept { return mixed(state_ += 0x9e3779b97f4a7c15u); }

    std::uint64_t state_;
};

}  // namespace trial
