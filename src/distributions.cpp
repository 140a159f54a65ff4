#include "distributions.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

namespace offnominal::distributions {

using boost::math::chi_squared, boost::math::normal, boost::math::students_t;

double normal_below(double x, double mean, double standard) { return cdf(normal(mean, standard), x); }
double normal_above(double x, double mean, double standard) { return cdf(complement(normal(mean, standard), x)); }
double normal_density(double x, double mean, double standard) { return pdf(normal(mean, standard), x); }
double normal_quantile(double chance) { return quantile(normal(), chance); }
double chi_squared_above(double x, double degrees) { return cdf(complement(chi_squared(degrees), x)); }
double student_quantile(double chance, double degrees) { return quantile(students_t(degrees), chance); }

}  // namespace offnominal::distributions
