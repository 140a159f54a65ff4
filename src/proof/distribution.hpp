/// @file
/// The distribution of what is made of uncertain quantities: JCGM 101:2008, by draws.
///
/// Draws are the points of a rank-1 lattice, shifted in each dimension by a counter-based generator that is seeded with
/// the numbers themselves: the same visit gives the same digits, and each quantity is stratified evenly, so that 4096
/// draws tell a probability to about 0.001.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "offnominal/field/visit.hpp"

namespace offnominal::detail {

/// Philox 4x32-10: four random words for each counter and key (Salmon, Moraes, Dror, Shaw, SC 2011).
[[nodiscard]] std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter,
                                                  std::array<std::uint32_t, 2> key) noexcept;

/// A seed of these numbers, bit by bit (FNV-1a, 64 bits).
[[nodiscard]] std::uint64_t seed_of(std::span<const double> numbers) noexcept;

/// What is known of a quantity.
struct Known {
    double estimate = 0.0;
    double standard = 0.0;  ///< 0: it counts as exact
    Shape shape = Shape::normal;
    /// The error is one of gain, a share of what is there: reading = true (1 + error).
    bool gain = false;
    /// Chance that the reading says no more than `saturated_from` to `saturated_to`.
    double saturated = 0.0;
    double saturated_from = 0.0, saturated_to = 0.0;
};

/// @throws InputError where no quantities can be correlated like that
void check_correlations(std::span<const double> matrix);

/// Standard deviation of a quantity, and its mean.
[[nodiscard]] double mean_of(const Known& known) noexcept;
[[nodiscard]] double standard_of(const Known& known) noexcept;

/// Draws of quantities that may be correlated.
class Draws {
   public:
    static constexpr std::size_t count = 4096;
    static constexpr std::size_t most_dimensions = 20;

    /// @param correlation  row by row; only quantities with a row of their own need stand in it, first ones first
    /// @throws InputError where no quantities can be correlated like that
    Draws(std::span<const Known> known, std::span<const double> correlation, std::uint64_t seed);

    /// The values of one draw, by quantity.
    void at(std::size_t draw, std::span<double> values) const noexcept;

   private:
    [[nodiscard]] std::size_t level(std::size_t draw, std::size_t dimension) const noexcept;

    std::vector<Known> known_;
    std::size_t correlated_ = 0;  ///< how many quantities stand in the matrix
    std::vector<double> mix_;     ///< row by row: normal scores that are correlated, of those that are not
    std::vector<char> alone_;     ///< by quantity: nothing to mix
    std::array<std::uint32_t, most_dimensions> shift_{};
};

/// What draws say of a quantity. Weights need not add up to one.
struct Spread {
    double mean = 0.0;
    double standard = 0.0;
    double low = 0.0, high = 0.0;  ///< probabilistically symmetric 95 % interval
};
[[nodiscard]] Spread spread_of(std::span<const double> values, std::span<const double> weights);

/// A quantity that is nearly normal: mean + standard (z + skewness (z^2 - 1) / 6 + kurtosis (z^3 - 3 z) / 24 + cubic
/// z^3), with z a standard normal variable (the first terms of Cornish and Fisher 1938, from memory). A parabola of z
/// is met without the terms of second order that these have besides; what is no parabola is the cubic.
struct NearNormal {
    double mean = 0.0;
    double standard = 0.0;
    double skewness = 0.0, kurtosis = 0.0;  ///< excess kurtosis: rectangular inputs have less than none
    double cubic = 0.0;                     ///< a quotient bends more on one side than its parabola, less on the other

    [[nodiscard]] Spread spread() const noexcept;
    [[nodiscard]] double probability_at_least(double limit) const;

   private:
    [[nodiscard]] double past_parabola(double z) const noexcept;
};

/// The weight of the values that are at least `limit`, of all.
[[nodiscard]] double share_at_least(double limit, std::span<const double> values, std::span<const double> weights);

}  // namespace offnominal::detail
