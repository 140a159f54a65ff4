#include "distribution.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <numeric>

#include "distributions.hpp"
#include "offnominal/errors.hpp"

namespace offnominal::detail {
namespace {

/// Generating vector of an extensible rank-1 lattice in base 2 (Cools, Kuo, Nuyens 2006, as published in their Magic
/// Point Shop; from memory, and held against plain draws in tests/proof/distribution.cpp).
constexpr std::array<std::uint32_t, Draws::most_dimensions> lattice{
    1,      182667, 469891, 498753, 110745, 446247, 250185, 118627, 245333, 283199,
    408519, 391023, 246327, 126539, 399185, 461527, 300343, 69681,  516695, 436179};

constexpr double middle_of(std::size_t level) noexcept {
    return (static_cast<double>(level) + 0.5) / static_cast<double>(Draws::count);
}

/// The standard normal quantile in the middle of each level.
const std::array<double, Draws::count>& normal_scores() {
    static const std::array<double, Draws::count> scores = [] {
        std::array<double, Draws::count> out{};
        for (std::size_t i = 0; i < Draws::count; ++i) out[i] = distributions::normal_quantile(middle_of(i));
        return out;
    }();
    return scores;
}

using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

Eigen::Map<const Rows> matrix_of(std::span<const double> numbers) {
    const auto n = static_cast<Eigen::Index>(std::lround(std::sqrt(static_cast<double>(numbers.size()))));
    return {numbers.data(), n, n};
}

/// Factor F of a correlation matrix, F F' = matrix.
Eigen::MatrixXd factor_of(const Eigen::MatrixXd& matrix) {
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(matrix);
    // Semidefinite matrices, such as one probe with itself, have eigenvalues of 0 to within rounding.
    if (eigen.info() != Eigen::Success || eigen.eigenvalues().minCoeff() < -1e-9)
        throw InputError({}, "correlations that cannot be", {},
                         "instruments that each share an error with a third share one with each other");
    const Eigen::MatrixXd scaled = eigen.eigenvectors() * eigen.eigenvalues().cwiseMax(0.0).cwiseSqrt().asDiagonal();
    return scaled.lazyProduct(eigen.eigenvectors().transpose());  // small: blocks for large ones are long to compile
}

}  // namespace

std::array<std::uint32_t, 4> philox(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key) noexcept {
    for (int round = 0; round < 10; ++round) {
        const std::uint64_t a = std::uint64_t{0xD2511F53} * counter[0], b = std::uint64_t{0xCD9E8D57} * counter[2];
        counter = {static_cast<std::uint32_t>(b >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
                   static_cast<std::uint32_t>(a >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
        key[0] += 0x9E3779B9;
        key[1] += 0xBB67AE85;
    }
    return counter;
}

std::uint64_t seed_of(std::span<const double> numbers) noexcept {
    std::uint64_t seed = 0xcbf29ce484222325;
    for (const double number : numbers) {
        std::uint64_t bits = 0;
        std::memcpy(&bits, &number, sizeof bits);
        for (int byte = 0; byte < 8; ++byte, bits >>= 8) seed = (seed ^ (bits & 0xff)) * 0x100000001b3;
    }
    return seed;
}

void check_correlations(std::span<const double> matrix) { (void)factor_of(matrix_of(matrix)); }

double mean_of(const Known& k) noexcept {
    return k.estimate + k.saturated * (0.5 * (k.saturated_from + k.saturated_to) - k.estimate);
}

double standard_of(const Known& k) noexcept {
    if (k.saturated == 0.0) return k.standard;
    const double mean = mean_of(k), width = k.saturated_to - k.saturated_from;
    const auto square = [](double x) { return x * x; };
    return std::sqrt((1.0 - k.saturated) * (square(k.standard) + square(k.estimate - mean)) +
                     k.saturated * (width * width / 12.0 + square(0.5 * (k.saturated_from + k.saturated_to) - mean)));
}

Draws::Draws(std::span<const Known> known, std::span<const double> correlation, std::uint64_t seed)
    : known_(known.begin(), known.end()),
      correlated_(static_cast<std::size_t>(std::lround(std::sqrt(static_cast<double>(correlation.size()))))),
      mix_(correlation.size()),
      alone_(known.size(), 1) {
    const auto n = static_cast<Eigen::Index>(correlated_);
    const auto matrix = matrix_of(correlation);
    Eigen::Map<Rows>(mix_.data(), n, n) = factor_of(matrix);
    for (Eigen::Index i = 0; i < n; ++i)
        alone_[static_cast<std::size_t>(i)] = (matrix.row(i).array() != 0.0).count() == 1;
    for (std::size_t d = 0; d < most_dimensions; ++d) {
        const auto words = philox({static_cast<std::uint32_t>(d), 0, 0, 0},
                                  {static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)});
        shift_[d] = words[0];
    }
    (void)normal_scores();
}

std::size_t Draws::level(std::size_t draw, std::size_t dimension) const noexcept {
    return (draw * lattice[dimension] + shift_[dimension]) % count;
}

void Draws::at(std::size_t draw, std::span<double> values) const noexcept {
    const auto& scores = normal_scores();
    std::array<double, most_dimensions> score{};
    for (std::size_t i = 0; i < known_.size(); ++i) score[i] = scores[level(draw, i)];
    for (std::size_t i = 0; i < known_.size(); ++i) {
        const Known& k = known_[i];
        double z = score[i];
        double u = middle_of(level(draw, i));  // the same, as a probability
        if (!alone_[i]) {
            z = 0.0;
            for (std::size_t j = 0; j < correlated_; ++j) z += mix_[i * correlated_ + j] * score[j];
            if (k.shape == Shape::rectangular) u = 0.5 * std::erfc(-z / std::sqrt(2.0));
        }
        const double error =
            k.shape == Shape::rectangular ? k.standard * std::sqrt(3.0) * (2.0 * u - 1.0) : k.standard * z;
        values[i] = k.gain ? k.estimate / std::max(0.1, 1.0 + error / k.estimate) : k.estimate + error;
        if (k.saturated > 0.0) {
            // One more dimension says whether the reading is saturated, and where the quantity then stands.
            const double chance = middle_of(level(draw, most_dimensions - 1));
            if (chance < k.saturated)
                values[i] = k.saturated_from + chance / k.saturated * (k.saturated_to - k.saturated_from);
        }
    }
}

Spread spread_of(std::span<const double> values, std::span<const double> weights) {
    std::vector<std::size_t> order(values.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
    Spread out;
    double all = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        all += weights[i];
        out.mean += weights[i] * values[i];
    }
    out.mean /= all;
    double variance = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i)
        variance += weights[i] * (values[i] - out.mean) * (values[i] - out.mean);
    out.standard = std::sqrt(variance / all);
    const auto quantile_at = [&](double share) {
        double below = 0.0;
        for (const std::size_t i : order)
            if ((below += weights[i]) >= share * all) return values[i];
        return values[order.back()];
    };
    out.low = quantile_at(0.025);
    out.high = quantile_at(0.975);
    return out;
}

double NearNormal::past_parabola(double z) const noexcept {
    return kurtosis / 24.0 * (z * z * z - 3.0 * z) + cubic * z * z * z;
}

Spread NearNormal::spread() const noexcept {
    const auto at = [&](double z) { return mean + standard * (z + skewness / 6.0 * (z * z - 1.0) + past_parabola(z)); };
    constexpr double half = 1.959963984540054;  // of a 95 % interval
    return {mean, standard, at(-half), at(half)};
}

double NearNormal::probability_at_least(double limit) const {
    if (!(standard > 0.0)) return mean >= limit ? 1.0 : 0.0;
    const double lean = skewness / 6.0, off = (limit - mean) / standard + lean, under_root = 1.0 + 4.0 * lean * off;
    // Past the parabola's vertex there is nothing.
    if (!(under_root > 0.0)) return lean > 0.0 ? 1.0 : 0.0;
    double z = 2.0 * off / (1.0 + std::sqrt(under_root));
    for (int step = 0; step < 3; ++step) {  // Newton's, from the parabola's own
        const double slope = 1.0 + 2.0 * lean * z + kurtosis / 8.0 * (z * z - 1.0) + 3.0 * cubic * z * z;
        z -= (z + lean * z * z + past_parabola(z) - off) / std::max(0.5, slope);
    }
    return 0.5 * std::erfc(z / std::sqrt(2.0));
}

double share_at_least(double limit, std::span<const double> values, std::span<const double> weights) {
    double all = 0.0, above = 0.0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        all += weights[i];
        if (values[i] >= limit) above += weights[i];
    }
    return above / all;
}

}  // namespace offnominal::detail
