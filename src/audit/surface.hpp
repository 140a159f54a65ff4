/// @file
/// A smooth surface through one column of a page, and how far each node stands off it: the heart of the audit.
///
/// A printed column is a smooth function of its axes, rounded. It is fitted by least squares with a polynomial of low
/// degree over all axes at once (products of Legendre polynomials on axes scaled to -1..1), and each node is judged by
/// the surface that the *other* nodes make: its deleted residual over the spread of that prediction (externally
/// studentised residual; Cook and Weisberg, Residuals and Influence in Regression, 1982, sections 2.1 and 2.2). For one
/// wrong node that is the likelihood ratio test, whatever the size of the error. The node that stands out most is taken
/// out and the rest fitted again, until none stands out; a second start by least absolute residuals, with what is far
/// off left out, sees through several wrong nodes that cover for one another.
///
/// Which degree: the one whose deleted residuals are least, by a loss that grows like a logarithm, so that a wrong node
/// cannot buy itself a degree. Own small linear algebra: bits must not depend on the instruction set.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <span>
#include <vector>

#include "offnominal/air/elementary.hpp"

namespace offnominal::detail {

/// Where the nodes of a page lie, each coordinate scaled to -1..1. What does not vary is no coordinate.
class Coordinates {
   public:
    static constexpr std::size_t most = 6;
    using Point = std::array<double, most>;

    /// @param values  for each coordinate one value a node; at most six
    explicit Coordinates(const std::vector<std::vector<double>>& values) {
        for (const std::vector<double>& x : values) {
            number_.push_back(most);
            if (x.empty() || rank_ == most) continue;
            const auto [low, high] = std::minmax_element(x.begin(), x.end());
            if (!(*low < *high)) continue;
            number_.back() = rank_;
            points_.resize(x.size());
            const double middle = 0.5 * (*low + *high), half = 0.5 * (*high - *low);
            for (std::size_t n = 0; n < x.size(); ++n) points_[n][rank_] = (x[n] - middle) / half;
            ++rank_;
        }
    }
    [[nodiscard]] std::size_t rank() const noexcept { return rank_; }
    [[nodiscard]] const Point& operator[](std::size_t node) const noexcept {
        return points_.empty() ? none_ : points_[node];
    }
    /// Which coordinate the values given as number `i` became; `most` if none.
    [[nodiscard]] std::size_t number(std::size_t i) const noexcept { return number_[i]; }
    /// How many different values a coordinate takes among some nodes.
    [[nodiscard]] std::size_t levels(std::size_t coordinate, std::span<const std::size_t> nodes) const {
        std::vector<double> seen;
        for (const std::size_t n : nodes) seen.push_back((*this)[n][coordinate]);
        std::sort(seen.begin(), seen.end());
        return static_cast<std::size_t>(std::unique(seen.begin(), seen.end()) - seen.begin());
    }

   private:
    std::vector<Point> points_;
    std::vector<std::size_t> number_;
    Point none_{};
    std::size_t rank_ = 0;
};

/// The terms of a polynomial: a degree for each coordinate.
class Terms {
   public:
    using Degrees = std::array<std::uint8_t, Coordinates::most>;

    /// All terms of total degree up to `total`, of degree up to `each` in one coordinate, and no more in any coordinate
    /// than its levels among the nodes can carry.
    Terms(const Coordinates& at, std::span<const std::size_t> nodes, int total, int each) : rank_(at.rank()) {
        std::array<int, Coordinates::most> limit{};
        for (std::size_t c = 0; c < rank_; ++c)
            limit[c] = std::max(0, std::min(each, static_cast<int>(at.levels(c, nodes)) - 1));
        Degrees d{};
        for (std::size_t c = 0; c < d.size();) {
            if (sum(d) <= total) terms_.push_back(d);
            for (c = 0; c < d.size() && d[c] == limit[c]; ++c) d[c] = 0;
            if (c < d.size()) ++d[c];
        }
        // What cannot be told from lower degrees is left out: the lower come first.
        std::stable_sort(terms_.begin(), terms_.end(),
                         [](const Degrees& x, const Degrees& y) { return sum(x) < sum(y); });
    }
    [[nodiscard]] std::size_t size() const noexcept { return terms_.size(); }

    /// Every term at a point.
    void evaluate(const Coordinates::Point& x, std::vector<double>& out) const {
        std::array<std::array<double, 5>, Coordinates::most> p;
        for (std::size_t c = 0; c < rank_; ++c) {
            p[c][0] = 1.0;
            p[c][1] = x[c];
            for (int k = 2; k < 5; ++k)
                p[c][static_cast<std::size_t>(k)] = ((2 * k - 1) * x[c] * p[c][static_cast<std::size_t>(k - 1)] -
                                                     (k - 1) * p[c][static_cast<std::size_t>(k - 2)]) /
                                                    k;
        }
        out.assign(terms_.size(), 1.0);
        for (std::size_t t = 0; t < terms_.size(); ++t)
            for (std::size_t c = 0; c < rank_; ++c) out[t] *= p[c][terms_[t][c]];
    }
    friend bool operator==(const Terms& a, const Terms& b) noexcept { return a.terms_ == b.terms_; }

   private:
    static int sum(const Degrees& d) noexcept { return std::accumulate(d.begin(), d.end(), 0); }

    std::size_t rank_;
    std::vector<Degrees> terms_;
};

/// Weighted least squares by normal equations (the terms are nearly orthogonal on a grid).
class LeastSquares {
   public:
    void fit(const std::vector<std::vector<double>>& rows, std::span<const double> y, std::span<const double> weight);
    [[nodiscard]] double value(const std::vector<double>& row) const noexcept {
        double sum = 0.0;
        for (std::size_t i = 0; i < row.size(); ++i) sum += row[i] * beta_[i];
        return sum;
    }
    /// row' (X' W X)^-1 row.
    [[nodiscard]] double leverage(const std::vector<double>& row) const;
    /// How many terms the nodes could tell apart.
    [[nodiscard]] std::size_t used() const noexcept { return used_; }

   private:
    [[nodiscard]] double& l(std::size_t i, std::size_t j) noexcept { return l_[i * size_ + j]; }
    [[nodiscard]] double l(std::size_t i, std::size_t j) const noexcept { return l_[i * size_ + j]; }

    std::size_t size_ = 0, used_ = 0;
    std::vector<double> l_, beta_;  ///< lower triangle; a diagonal of 0 where a term cannot be told from others
};

inline void LeastSquares::fit(const std::vector<std::vector<double>>& rows, std::span<const double> y,
                              std::span<const double> weight) {
    size_ = rows.empty() ? 0 : rows.front().size();
    l_.assign(size_ * size_, 0.0);
    beta_.assign(size_, 0.0);
    for (std::size_t n = 0; n < rows.size(); ++n) {
        if (weight[n] == 0.0) continue;
        const double* const x = rows[n].data();  // a row at a time: these loops are most of an audit
        for (std::size_t i = 0; i < size_; ++i) {
            const double w = weight[n] * x[i];
            double* const li = &l(i, 0);
            beta_[i] += w * y[n];
            for (std::size_t j = 0; j <= i; ++j) li[j] += w * x[j];
        }
    }
    used_ = 0;
    for (std::size_t j = 0; j < size_; ++j) {
        const double whole = l(j, j);
        const double* const lj = &l(j, 0);
        for (std::size_t k = 0; k < j; ++k) l(j, j) -= lj[k] * lj[k];
        const bool told_apart = l(j, j) > 1e-9 * whole;
        l(j, j) = told_apart ? std::sqrt(l(j, j)) : 0.0;
        used_ += told_apart ? 1 : 0;
        for (std::size_t i = j + 1; i < size_; ++i) {
            double* const li = &l(i, 0);
            for (std::size_t k = 0; k < j; ++k) li[j] -= li[k] * lj[k];
            li[j] = told_apart ? li[j] / lj[j] : 0.0;
        }
    }
    for (std::size_t i = 0; i < size_; ++i) {
        for (std::size_t k = 0; k < i; ++k) beta_[i] -= l(i, k) * beta_[k];
        beta_[i] = l(i, i) > 0.0 ? beta_[i] / l(i, i) : 0.0;
    }
    for (std::size_t i = size_; i-- > 0;) {
        for (std::size_t k = i + 1; k < size_; ++k) beta_[i] -= l(k, i) * beta_[k];
        beta_[i] = l(i, i) > 0.0 ? beta_[i] / l(i, i) : 0.0;
    }
}

inline double LeastSquares::leverage(const std::vector<double>& row) const {
    std::vector<double> z(row);
    double sum = 0.0;
    for (std::size_t i = 0; i < size_; ++i) {
        for (std::size_t k = 0; k < i; ++k) z[i] -= l(i, k) * z[k];
        z[i] = l(i, i) > 0.0 ? z[i] / l(i, i) : 0.0;
        sum += z[i] * z[i];
    }
    return sum;
}

/// What the other nodes say about one.
struct Judged {
    bool known = false;      ///< whether they say anything
    double implied = 0.0;    ///< what they imply
    double deviation = 0.0;  ///< printed less implied
    double spread = 0.0;     ///< standard deviation of that, were nothing wrong

    [[nodiscard]] double score() const noexcept { return known ? std::abs(deviation) / spread : 0.0; }
};

/// See the file's comment.
class Surface {
   public:
    /// A deviation of less than this many spreads, or than this many steps of the print, is no news: a page has
    /// hundreds of cells, and what a polynomial misses has long tails.
    static constexpr double notable_spreads = 4.0, notable_steps = 1.5;

    /// No surface: nothing is known.
    Surface() = default;
    /// @param values  one for each node of the page
    /// @param nodes   those that belong to the surface
    /// @param step    one unit in the last printed place
    /// @param roughness  what cells of this page scatter about any smooth surface, as a share of themselves: no surface
    ///                   is taken to know a cell better, however closely it happens to pass the others
    Surface(const Coordinates& at, std::span<const double> values, std::vector<std::size_t> nodes, double step,
            double roughness = 0.0);

    /// What the surface says of a node, a node of its own being left out; of any other as if `value` stood there.
    [[nodiscard]] Judged judge(std::size_t node, double value) const;
    /// The surface itself, anywhere; 0 where there is none.
    [[nodiscard]] double value(const Coordinates::Point& point) const;
    [[nodiscard]] bool known() const noexcept { return !best_.empty(); }
    [[nodiscard]] bool notable(const Judged& j) const noexcept {
        return j.score() > notable_spreads && std::abs(j.deviation) > notable_steps * step_;
    }
    [[nodiscard]] double step() const noexcept { return step_; }

   private:
    struct Fit {
        Fit(const Coordinates& at, Terms t, std::span<const std::size_t> nodes)
            : terms(std::move(t)), rows(nodes.size()) {
            for (std::size_t i = 0; i < nodes.size(); ++i) terms.evaluate(at[nodes[i]], rows[i]);
        }
        Terms terms;
        std::vector<std::vector<double>> rows;
        std::vector<double> weight;  ///< 1 of a node that is in, 0 of one that was taken out
        LeastSquares squares;
        std::size_t in = 0;
        double sum = 0.0;  ///< of squared residuals
    };

    void solve(Fit& fit) const;
    /// A member left out, or as it is.
    [[nodiscard]] Judged judge(const Fit& fit, const std::vector<double>& row, double value, bool in) const;
    void take_out(Fit& fit) const;
    void start_absolute(Fit& fit) const;
    void put_back(Fit& fit) const;
    [[nodiscard]] double loss(const Fit& fit) const;

    const Coordinates* at_ = nullptr;
    std::vector<std::size_t> nodes_;
    std::vector<double> y_;
    double step_ = 0.0, roughness_ = 0.0;
    std::vector<Fit> best_;  ///< none or one
};

inline Surface::Surface(const Coordinates& at, std::span<const double> values, std::vector<std::size_t> nodes,
                        double step, double roughness)
    : at_(&at), nodes_(std::move(nodes)), step_(step), roughness_(roughness) {
    for (const std::size_t n : nodes_) y_.push_back(values[n]);
    // Constant, linear, with products, quadratic, towards cubic, cubic, quartic.
    static constexpr std::array<std::array<int, 2>, 8> degrees{
        {{0, 0}, {1, 1}, {2, 1}, {2, 2}, {3, 2}, {3, 3}, {4, 2}, {4, 3}}};
    if (nodes_.size() < 4) return;
    double least = std::numeric_limits<double>::infinity();
    std::vector<Terms> tried;
    for (const auto& [total, each] : degrees) {
        const Terms terms(at, nodes_, total, each);
        if (terms.size() > 40 || nodes_.size() < terms.size() + 3) continue;
        if (std::find(tried.begin(), tried.end(), terms) != tried.end()) continue;
        tried.push_back(terms);
        for (const bool absolute : {false, true}) {
            Fit fit(at, terms, nodes_);
            fit.weight.assign(nodes_.size(), 1.0);
            if (absolute) start_absolute(fit);
            take_out(fit);
            put_back(fit);
            const double now = loss(fit);
            if (!(now < least)) continue;
            least = now;
            best_.assign(1, std::move(fit));
        }
    }
}

inline void Surface::solve(Fit& fit) const {
    fit.squares.fit(fit.rows, y_, fit.weight);
    fit.in = 0;
    fit.sum = 0.0;
    for (std::size_t i = 0; i < y_.size(); ++i) {
        if (fit.weight[i] == 0.0) continue;
        const double e = y_[i] - fit.squares.value(fit.rows[i]);
        fit.sum += e * e;
        ++fit.in;
    }
}

inline Judged Surface::judge(const Fit& fit, const std::vector<double>& row, double value, bool in) const {
    Judged out;
    const double rounding = step_ * step_ / 12.0;  // a rectangle of one step
    const double h = fit.squares.leverage(row), e = value - fit.squares.value(row);
    const double others = static_cast<double>(fit.in) - static_cast<double>(fit.squares.used()) - (in ? 1.0 : 0.0);
    if (!(others >= 1.0) || (in && h > 0.99)) return out;
    const double rest = std::max(in ? fit.sum - e * e / (1.0 - h) : fit.sum, 0.0) / others;
    // Few nodes do not know their own scatter: the rounding counts for two of them.
    const double variance = (rest * others + 2.0 * rounding) / (others + 2.0);
    out.known = true;
    out.deviation = in ? e / (1.0 - h) : e;
    out.implied = value - out.deviation;
    // Nor does their scatter follow a normal law: wider for few (5 spreads of Student's law, roughly).
    const double further = in ? 1.0 / (1.0 - h) : 1.0 + h;
    const double rough = roughness_ * std::min(std::abs(out.implied), std::abs(value)) * std::sqrt(further);
    out.spread = std::max((1.0 + 3.0 / (others + 2.0)) * std::sqrt(variance * further), rough);
    return out;
}

inline Judged Surface::judge(std::size_t node, double value) const {
    if (best_.empty()) return {};
    const Fit& fit = best_.front();
    const auto found = std::find(nodes_.begin(), nodes_.end(), node);
    if (found != nodes_.end()) {
        const auto i = static_cast<std::size_t>(found - nodes_.begin());
        if (y_[i] == value) return judge(fit, fit.rows[i], value, fit.weight[i] != 0.0);
    }
    std::vector<double> row;
    fit.terms.evaluate((*at_)[node], row);
    return judge(fit, row, value, false);
}

inline double Surface::value(const Coordinates::Point& point) const {
    if (best_.empty()) return 0.0;
    std::vector<double> row;
    best_.front().terms.evaluate(point, row);
    return best_.front().squares.value(row);
}

/// Takes out what stands off, the worst first. A quarter of the nodes at most: beyond that it is the surface that is
/// wrong.
inline void Surface::take_out(Fit& fit) const {
    for (solve(fit); y_.size() - fit.in < std::min<std::size_t>(y_.size() / 4, 40); solve(fit)) {
        std::size_t worst = y_.size();
        double most = 0.0;
        for (std::size_t i = 0; i < y_.size(); ++i) {
            if (fit.weight[i] == 0.0) continue;
            const Judged j = judge(fit, fit.rows[i], y_[i], true);
            if (!notable(j) || j.score() <= most) continue;
            most = j.score();
            worst = i;
        }
        if (worst == y_.size()) return;
        fit.weight[worst] = 0.0;
    }
}

/// Least absolute residuals by repeated weighting; then nodes that are far off are left out.
inline void Surface::start_absolute(Fit& fit) const {
    const double least = step_ > 0.0 ? 0.5 * step_ : 1e-300;
    std::vector<double> weight(y_.size(), 1.0), off(y_.size());
    for (int round = 0; round < 12; ++round) {
        fit.squares.fit(fit.rows, y_, weight);
        for (std::size_t i = 0; i < y_.size(); ++i) {
            const double e = std::abs(y_[i] - fit.squares.value(fit.rows[i]));
            off[i] = e <= 1e100 ? e : 1e100;  // so that a number far from any machine's does not leave NaNs behind
            weight[i] = 1.0 / std::max(off[i], least);
        }
    }
    std::vector<double> sorted(off);
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    const double far = std::max(6.0 * 1.4826 * *middle, notable_steps * step_);  // 1.4826: median to standard deviation
    std::size_t in = 0;
    for (const double o : off) in += o <= far ? 1 : 0;
    if (in < fit.terms.size() + 3) return;
    for (std::size_t i = 0; i < off.size(); ++i) fit.weight[i] = off[i] <= far ? 1.0 : 0.0;
}

/// Puts back what was taken out too early.
inline void Surface::put_back(Fit& fit) const {
    for (int round = 0; round < 5; ++round) {
        bool changed = false;
        for (std::size_t i = 0; i < y_.size(); ++i) {
            if (fit.weight[i] != 0.0 || notable(judge(fit, fit.rows[i], y_[i], false))) continue;
            fit.weight[i] = 1.0;
            changed = true;
        }
        if (!changed) return;
        take_out(fit);
    }
}

inline double Surface::loss(const Fit& fit) const {
    const double scale = step_ > 0.0 ? 0.5 * step_ : 1e-300;
    double sum = 0.0;
    for (std::size_t i = 0; i < y_.size(); ++i) {
        const Judged j = judge(fit, fit.rows[i], y_[i], fit.weight[i] != 0.0);
        // A surface that bends to reach a node says nothing about it: as bad as any error.
        const double off = j.known ? j.deviation / scale : 1e6;
        sum += air::elementary::log(1.0 + off * off);
    }
    return sum;
}

}  // namespace offnominal::detail
