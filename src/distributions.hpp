/// @file
/// Boost.Math's distributions, compiled once: where they are asked, one number of one of them is wanted.
#pragma once

namespace offnominal::distributions {

/// Chance that a normal variable lies at `x` or below. Standard deviations above zero; so in what follows.
[[nodiscard]] double normal_below(double x, double mean = 0.0, double standard = 1.0);
/// Chance that it lies above: of small ones no digit is lost.
[[nodiscard]] double normal_above(double x, double mean = 0.0, double standard = 1.0);
[[nodiscard]] double normal_density(double x, double mean = 0.0, double standard = 1.0);
/// What a standard normal variable stays below with a chance between 0 and 1.
[[nodiscard]] double normal_quantile(double chance);
/// Chance that chi-square of so many degrees of freedom, one or more, lies above `x`, zero or more. Of up to three,
/// which a proof of thousands asks for each time, in closed form (Abramowitz and Stegun, 26.4.4 and 26.4.5).
[[nodiscard]] double chi_squared_above(double x, int degrees);
/// What Student's t of so many degrees of freedom, above zero, stays below with a chance between 0 and 1.
[[nodiscard]] double student_quantile(double chance, double degrees);

}  // namespace offnominal::distributions
