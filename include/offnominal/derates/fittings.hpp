/// @file
/// Bends and branches of a line set, each as the length of straight tubing that drags as much.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "offnominal/detail/contract.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// A fitting of a gas line.
enum class Fitting : std::uint8_t { elbow, long_elbow, elbow_45, return_bend, tee_run, tee_branch };
/// A fitting and its equivalent length, in bores of the line. ASHRAE Handbook - Refrigeration, ch. 1, table 'Fitting
/// Losses in Equivalent Feet of Pipe', for copper from 3/4 to 2 in within a fifth (from memory).
struct FittingWords {
    Fitting value;
    std::string_view word;
    double bores;
};
template <>
inline constexpr FittingWords words_of<Fitting>[] = {
    {Fitting::elbow, "elbow", 30.0},            // 90 degrees, short radius
    {Fitting::long_elbow, "long_elbow", 20.0},  // 90 degrees, radius of 1.5 bores and more, or tubing bent by a tool
    {Fitting::elbow_45, "elbow_45", 16.0},     {Fitting::return_bend, "return_bend", 50.0},
    {Fitting::tee_run, "tee_run", 20.0},  // straight through
    {Fitting::tee_branch, "tee_branch", 60.0},
};

/// How many fittings of each kind a line has; or that nobody counted them, which is not none.
struct Fittings {
    std::array<std::uint16_t, std::size(words_of<Fitting>)> counts{};
    bool counted = true;

    [[nodiscard]] static constexpr Fittings uncounted() noexcept { return {{}, false}; }
    [[nodiscard]] constexpr bool none() const noexcept { return *this == Fittings{}; }
    [[nodiscard]] constexpr std::uint16_t& operator[](Fitting f) noexcept {
        return counts[static_cast<std::size_t>(f)];
    }
    [[nodiscard]] constexpr std::uint16_t operator[](Fitting f) const noexcept {
        return counts[static_cast<std::size_t>(f)];
    }
    friend constexpr bool operator==(const Fittings&, const Fittings&) = default;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::derates {
inline namespace OFFNOMINAL_ISA {

/// The bore (m) of a copper tube that is sold by its outside diameter (m): walls of ASTM B280, 0.030 in at 3/8 to 0.070
/// in at 2 1/8, as a straight line below 7/8 and one above (within 0.003 in; from memory).
[[nodiscard]] constexpr double bore_of(double outside) noexcept {
    constexpr double inch = 0.0254, knee = 0.875 * inch;
    const double wall = 0.045 * inch + (outside - knee) * (outside < knee ? 0.03 : 0.02);
    return outside - 2.0 * wall;
}

/// A length and its standard uncertainty, m.
struct FittedLength {
    double length = 0.0, uncertainty = 0.0;
};

/// The equivalent length of tubing (m) of an outside diameter (m) with its fittings. What tables and makers state for
/// one fitting differs by a quarter (standard; common practice, no source). Fittings that nobody counted add anything
/// from nothing to half the tubing's length, which is what designers first take for them (common practice, no source).
[[nodiscard]] constexpr FittedLength fitted(double tubing, double outside, const Fittings& fittings) noexcept {
    if (!fittings.counted) return {1.25 * tubing, 0.25 / 1.7320508075688772 * tubing};
    double bores = 0.0;
    for (const FittingWords& fitting : words_of<Fitting>) bores += fitting.bores * fittings[fitting.value];
    const double added = bores * bore_of(outside);
    return {tubing + added, 0.25 * added};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
