#include <Eigen/Dense>
#include <cmath>

#include "distributions.hpp"
#include "offnominal/airflow/determine.hpp"
#include "offnominal/airflow/practice.hpp"
#include "offnominal/errors.hpp"

namespace offnominal {
namespace {

/// What two ways have in common, as shares of the airflow.
double common_part(const DeterminedAirflow& a, const DeterminedAirflow& b) noexcept {
    double sum = 0.0;
    for (const AirflowTerm& x : a.terms)
        for (const AirflowTerm& y : b.terms)
            if (!x.source.empty() && x.source == y.source) sum += x.effect * y.effect * std::min(x.shared, y.shared);
    return sum;
}

}  // namespace

CombinedAirflow combined(std::span<const DeterminedAirflow> ways) {
    if (ways.empty()) throw InputError({}, "no airflow to combine", {}, "one way or more");
    const auto n = static_cast<Eigen::Index>(ways.size());
    Eigen::VectorXd logs(n);
    Eigen::MatrixXd covariance(n, n);
    CombinedAirflow out;
    for (Eigen::Index i = 0; i < n; ++i) {
        const DeterminedAirflow& way = ways[static_cast<std::size_t>(i)];
        if (!(way.mass_flow.si > 0.0 && way.u >= 0.0)) throw InputError({}, "an airflow that is not above zero");
        logs[i] = std::log(way.mass_flow.si);
        out.notes.add(way.notes);
        for (Eigen::Index j = 0; j < n; ++j)
            covariance(i, j) = i == j ? way.u * way.u : common_part(way, ways[static_cast<std::size_t>(j)]);
    }
    if (n == 1) {
        out.airflow = ways[0].airflow;
        out.mass_flow = ways[0].mass_flow;
        out.u = ways[0].u;
        out.weights = {1.0};
        return out;
    }
    const Eigen::LDLT<Eigen::MatrixXd> solver(covariance);
    const double scale = covariance.diagonal().maxCoeff();
    constexpr double exact = 1e-18;  // of a variance: nobody reads an airflow to a billionth
    if (!(solver.info() == Eigen::Success && scale > exact && solver.vectorD().minCoeff() > 1e-9 * scale))
        throw InputError({}, "two ways to find the airflow share every source of error, or have none", {},
                         "ways that differ in more than their number");
    const Eigen::VectorXd ones = Eigen::VectorXd::Ones(n), weights = solver.solve(ones);
    const double weight = weights.sum();
    const double mean = weights.dot(logs) / weight;
    const Eigen::VectorXd off = logs - mean * ones;
    out.chi_squared = off.dot(solver.solve(off));
    out.degrees = static_cast<int>(n) - 1;
    out.chance = distributions::chi_squared_above(out.chi_squared, out.degrees);
    out.agree = out.chance >= practice::disagreeing;
    out.u = std::sqrt(1.0 / weight);
    if (!out.agree) {
        out.u *= std::sqrt(out.chi_squared / out.degrees);
        out.notes.add(Note::airflows_disagree);
    }
    (off.array().abs() / covariance.diagonal().array().sqrt()).maxCoeff(&out.farthest);
    for (Eigen::Index i = 0; i < n; ++i) out.weights.push_back(weights[i] / weight);
    out.mass_flow.si = std::exp(mean);
    out.airflow = air::standard_airflow(out.mass_flow);
    return out;
}

}  // namespace offnominal
