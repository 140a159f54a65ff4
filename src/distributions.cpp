#include "distributions.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

namespace offnominal::distributions {

using boost::math::chi_squared, boost::math::normal, boost::math::students_t;

double normal_below(double x, double mean, double standard) { return cdf(normal(mean, standard), x); }
double normal_above(double x, double mean, double standard) { return cdf(complement(normal(mean, standard), x)); }
double normal_density(double x, double mean, double standard) { return pdf(normal(mean, standard), x); }
double normal_quantile(double chance) { return quantile(normal(), chance); }
double chi_squared_above(double x, int degrees) {
    if (degrees > 3) return cdf(complement(chi_squared(degrees), x));
    const double half = 0.5 * x;
    if (degrees == 2) return std::exp(-half);
    const double of_one = std::erfc(std::sqrt(half));
    return degrees == 1 ? of_one : of_one + std::sqrt(half) * (2.0 * std::numbers::inv_sqrtpi) * std::exp(-half);
}
double student_quantile(double chance, double degrees) { return quantile(students_t(degrees), chance); }

}  // namespace offnominal::distributions
