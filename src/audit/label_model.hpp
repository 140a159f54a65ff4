/// @file
/// How well the numbers of a page fit the labels on its axes: the likelihood of every column under an assumption about
/// the labels.
///
/// A label that is wrong puts a whole block of right numbers in the wrong place. So it is not seen cell by cell; it is
/// seen by asking where a block belongs. The logarithm of a column is taken as a polynomial of third degree in the
/// labels whose coefficients are known roughly beforehand, as those of any air conditioner are (outdoor heat costs
/// capacity and power, airflow helps sensible more than total, ...), plus something of its own in every block, plus the
/// scatter of single cells. All of it is normal, so that the chance of the printed numbers under any labels is one
/// formula (Bishop, Pattern Recognition and Machine Learning, 2006, section 3.5.1), and only the moved blocks' part of
/// its sums has to be made again. Knowing slopes beforehand lets an axis of three labels, or two, say something too.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/air/elementary.hpp"

namespace offnominal::detail {

/// What is known beforehand of the logarithm of a column along a coordinate: its slope, the standard deviation of that,
/// of the coefficient of the square, and that coefficient. Common practice, no source; wide enough for machines that
/// are unlike.
struct Tendency {
    double slope = 0.0, spread = 0.0, curvature = 0.0, bend = 0.0;
};

/// A coordinate of an axis: a value for each of its labels, scaled so that an axis spans about -1 to 1.
struct LabelCoordinate {
    std::size_t axis = 0;  ///< of the model
    std::vector<double> at;
};

/// A column of a page: logarithms of the numbers, and which of them count.
struct LabelColumn {
    std::string role;
    std::vector<Tendency> tendencies;  ///< one for each coordinate
    std::vector<double> y;
    std::vector<char> in;
    double least_scatter = 0.0;  ///< of the rounding
    double own = 0.004;          ///< what a block may have of its own, as what a polynomial misses of it
    double scatter = 0.0;        ///< of single cells about a smooth page: found from the page, whatever its labels
    double counted = 0.0;        ///< the same, with what a polynomial misses of a cell
};

/// Blocks of an axis with other labels than those of the model: for each the label's number and its coordinates.
struct MovedBlock {
    std::size_t label = 0;
    std::vector<double> at;  ///< one for each coordinate of the axis
};

class LabelModel {
   public:
    /// @param index  for each axis the label's number of every node
    LabelModel(std::vector<std::vector<std::size_t>> index, std::vector<std::size_t> sizes,
               std::vector<LabelCoordinate> coordinates, std::vector<LabelColumn> columns)
        : index_(std::move(index)),
          sizes_(std::move(sizes)),
          coordinates_(std::move(coordinates)),
          columns_(std::move(columns)) {
        make_terms();
        for (LabelColumn& c : columns_) find_scatter(c);
        sum();
    }

    [[nodiscard]] const std::vector<LabelColumn>& columns() const noexcept { return columns_; }
    [[nodiscard]] const std::vector<LabelCoordinate>& coordinates() const noexcept { return coordinates_; }

    /// Minus the logarithm of the likelihood, by column, with some blocks of an axis elsewhere, or (`out`) taken out.
    [[nodiscard]] std::vector<double> cost(std::size_t axis, std::span<const MovedBlock> moved) const {
        std::vector<Sums> sums = sums_;
        for (const MovedBlock& block : moved) add_block(sums, axis, block.label, {}, -1.0);
        for (const MovedBlock& block : moved) add_block(sums, axis, block.label, block.at, 1.0);
        return costs(sums);
    }
    [[nodiscard]] std::vector<double> cost() const { return costs(sums_); }
    [[nodiscard]] std::vector<double> cost_without(std::size_t axis, std::size_t label) const {
        std::vector<Sums> sums = sums_;
        add_block(sums, axis, label, {}, -1.0);
        return costs(sums);
    }
    /// Puts blocks elsewhere for good.
    void move(std::size_t axis, std::span<const MovedBlock> moved) {
        for (const MovedBlock& block : moved) {
            std::size_t k = 0;
            for (LabelCoordinate& c : coordinates_)
                if (c.axis == axis) c.at[block.label] = block.at[k++];
        }
        sum();
    }
    /// Takes a block out for good.
    void take_out(std::size_t axis, std::size_t label) {
        for (LabelColumn& c : columns_)
            for (std::size_t n = 0; n < c.in.size(); ++n)
                if (index_[axis][n] == label) c.in[n] = 0;
        sum();
    }
    [[nodiscard]] std::size_t index(std::size_t axis, std::size_t node) const { return index_[axis][node]; }

   private:
    static constexpr double missed = 0.004;  ///< by a polynomial, of a cell of a page of 60

    struct Term {
        std::array<std::uint8_t, 6> degree{};
    };
    /// The sums of a column that its likelihood is made of.
    struct Sums {
        std::vector<double> xx, xy;
        double yy = 0.0, count = 0.0;
    };

    void make_terms() {
        const std::size_t rank = coordinates_.size();
        std::array<int, 6> d{};
        const int most = rank > 3 ? 2 : 3;
        for (std::size_t c = 0;;) {
            int total = 0, kinds = 0;
            for (const int one : d) total += one, kinds += one > 0 ? 1 : 0;
            if (total <= most || (total == 3 && kinds == 1)) {
                Term t;
                for (std::size_t k = 0; k < rank; ++k) t.degree[k] = static_cast<std::uint8_t>(d[k]);
                terms_.push_back(t);
            }
            for (c = 0; c < rank && d[c] == 3; ++c) d[c] = 0;
            if (c >= rank) break;
            ++d[c];
        }
        width_ = terms_.size();
        for (const std::size_t size : sizes_) {
            first_.push_back(width_);
            width_ += size;
        }
    }

    /// The polynomial's terms at a node, with the coordinates of one axis elsewhere if there are some in `at`.
    void evaluate(std::size_t n, std::size_t axis, std::span<const double> at, std::vector<double>& row) const {
        std::array<double, 6> x{};
        std::size_t k = 0;
        for (std::size_t c = 0; c < coordinates_.size(); ++c) {
            const LabelCoordinate& one = coordinates_[c];
            x[c] = one.axis == axis && !at.empty() ? at[k++] : one.at[index_[one.axis][n]];
        }
        row.assign(terms_.size(), 1.0);
        for (std::size_t t = 0; t < terms_.size(); ++t) {
            double& one = row[t];
            for (std::size_t c = 0; c < coordinates_.size(); ++c)
                for (int d = terms_[t].degree[c]; d > 0; --d) one *= x[c];
        }
    }

    /// Adds a node's part (or takes it off) to the sums; its own block effects are ones at the ends of the row.
    void add(Sums& s, const std::vector<double>& row, std::size_t n, double y, double weight) const {
        const std::size_t p = terms_.size();
        const double* const x = row.data();  // a row at a time: these loops are most of an audit
        for (std::size_t i = 0; i < p; ++i) {
            const double w = weight * row[i];
            double* const xx = &s.xx[i * width_];
            s.xy[i] += w * y;
            for (std::size_t j = 0; j <= i; ++j) xx[j] += w * x[j];
        }
        for (std::size_t a = 0; a < sizes_.size(); ++a) {
            const std::size_t i = first_[a] + index_[a][n];
            double* const xx = &s.xx[i * width_];
            s.xy[i] += weight * y;
            for (std::size_t j = 0; j < p; ++j) xx[j] += weight * x[j];
            for (std::size_t b = 0; b <= a; ++b) xx[first_[b] + index_[b][n]] += weight;
        }
        s.yy += weight * y * y;
        s.count += weight;
    }
    [[nodiscard]] Sums empty() const {
        Sums s;
        s.xx.assign(width_ * width_, 0.0);
        s.xy.assign(width_, 0.0);
        return s;
    }
    void sum() {
        sums_.assign(columns_.size(), empty());
        std::vector<double> row;
        for (std::size_t n = 0; n < nodes(); ++n) {
            evaluate(n, 0, {}, row);
            for (std::size_t c = 0; c < columns_.size(); ++c)
                if (columns_[c].in[n]) add(sums_[c], row, n, columns_[c].y[n], 1.0);
        }
    }
    [[nodiscard]] std::size_t nodes() const noexcept { return columns_.empty() ? 0 : columns_.front().y.size(); }

    void add_block(std::vector<Sums>& sums, std::size_t axis, std::size_t label, std::span<const double> at,
                   double weight) const {
        std::vector<double> row;
        for (std::size_t n = 0; n < nodes(); ++n) {
            if (index_[axis][n] != label) continue;
            evaluate(n, axis, at, row);
            for (std::size_t c = 0; c < columns_.size(); ++c)
                if (columns_[c].in[n]) add(sums[c], row, n, columns_[c].y[n], weight);
        }
    }

    /// Prior mean and standard deviation of a coefficient.
    [[nodiscard]] std::pair<double, double> prior(const LabelColumn& column, std::size_t i, double block) const {
        if (i >= terms_.size()) return {0.0, block};
        int total = 0, kinds = 0;
        double curvature = 1.0;
        std::size_t last = 0;
        for (std::size_t c = 0; c < coordinates_.size(); ++c)
            if (terms_[i].degree[c] > 0) {
                total += terms_[i].degree[c];
                ++kinds;
                curvature = std::min(curvature, 2.0 * column.tendencies[c].curvature);
                last = c;
            }
        const Tendency& along = column.tendencies[last];
        if (total == 0) return {0.0, 30.0};
        if (total == 1) return {along.slope, along.spread};
        if (total == 2 && kinds == 1) return {along.bend, along.curvature};
        return {0.0, total == 2 ? curvature : curvature / 6.0};
    }

    /// Cholesky of the precision of the coefficients. @return the logarithm of its determinant
    double factor(const Sums& s, const LabelColumn& column, double scatter, double block,
                  std::vector<double>& l) const {
        const double per = 1.0 / (scatter * scatter);
        double log_determinant = 0.0;
        l.assign(width_ * width_, 0.0);
        for (std::size_t i = 0; i < width_; ++i) {
            const double sd = prior(column, i, block).second;
            const double* const xx = &s.xx[i * width_];
            double* const row = &l[i * width_];
            for (std::size_t j = 0; j <= i; ++j) {
                const double* const above = &l[j * width_];
                double sum = xx[j] * per + (i == j ? 1.0 / (sd * sd) : 0.0);
                for (std::size_t k = 0; k < j; ++k) sum -= row[k] * above[k];
                if (i == j) {
                    row[i] = std::sqrt(std::max(sum, 1e-12));
                    log_determinant += 2.0 * air::elementary::log(row[i]);
                } else {
                    row[j] = sum / above[j];
                }
            }
        }
        return log_determinant;
    }

    [[nodiscard]] std::vector<double> costs(const std::vector<Sums>& sums) const {
        std::vector<double> out, l, m(width_), b(width_);
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            const Sums& s = sums[c];
            const LabelColumn& column = columns_[c];
            const double per = 1.0 / (column.counted * column.counted);
            const double log_determinant = factor(s, column, column.counted, column.own, l);
            for (std::size_t i = 0; i < width_; ++i) m[i] = prior(column, i, column.own).first;
            double squares = s.yy;
            for (std::size_t i = 0; i < width_; ++i) {
                double fitted = 0.0;
                for (std::size_t j = 0; j < width_; ++j)
                    if (m[j] != 0.0) fitted += s.xx[std::max(i, j) * width_ + std::min(i, j)] * m[j];
                squares += m[i] * (fitted - 2.0 * s.xy[i]);
                b[i] = (s.xy[i] - fitted) * per;
            }
            double explained = 0.0;
            double* const solved = b.data();
            for (std::size_t i = 0; i < width_; ++i) {
                const double* const row = &l[i * width_];
                double sum = b[i];
                for (std::size_t k = 0; k < i; ++k) sum -= row[k] * solved[k];
                solved[i] = sum / row[i];
                explained += solved[i] * solved[i];
            }
            out.push_back(0.5 * (log_determinant + squares * per - explained - s.count * air::elementary::log(per)));
        }
        return out;
    }

    /// The scatter of single cells, and which of them stand so far off that they are left out: where every block may
    /// have anything of its own, so that no label matters.
    void find_scatter(LabelColumn& c) {
        constexpr double usual = 0.005, free = 1.0;
        std::vector<std::vector<double>> rows(nodes());
        for (std::size_t n = 0; n < nodes(); ++n) evaluate(n, 0, {}, rows[n]);
        std::vector<double> weight(nodes(), 1.0), off(nodes()), l, b(width_);
        double scatter = std::max(usual, c.least_scatter);
        double count = 0.0;
        for (const char in : c.in) count += in;
        for (int round = 0; round < 8; ++round) {
            Sums s = empty();
            for (std::size_t n = 0; n < nodes(); ++n)
                if (c.in[n]) add(s, rows[n], n, c.y[n], weight[n]);
            (void)factor(s, c, scatter, free, l);
            for (std::size_t i = 0; i < width_; ++i) {
                const auto [mean, sd] = prior(c, i, free);
                b[i] = s.xy[i] / (scatter * scatter) + mean / (sd * sd);
            }
            for (std::size_t i = 0; i < width_; ++i) {
                for (std::size_t k = 0; k < i; ++k) b[i] -= l[i * width_ + k] * b[k];
                b[i] /= l[i * width_ + i];
            }
            for (std::size_t i = width_; i-- > 0;) {
                for (std::size_t k = i + 1; k < width_; ++k) b[i] -= l[k * width_ + i] * b[k];
                b[i] /= l[i * width_ + i];
            }
            std::vector<double> sizes;
            double known = 0.0;
            for (std::size_t n = 0; n < nodes(); ++n) {
                if (!c.in[n]) continue;
                double fitted = 0.0;
                for (std::size_t i = 0; i < terms_.size(); ++i) fitted += rows[n][i] * b[i];
                for (std::size_t a = 0; a < sizes_.size(); ++a) fitted += b[first_[a] + index_[a][n]];
                off[n] = c.y[n] - fitted;
                sizes.push_back(std::abs(off[n]));
                known += 1.0;
            }
            if (known < 1.0) break;
            // Every block takes a freedom of its own, and the polynomial its cross terms.
            double freedoms = 1.0;
            for (const std::size_t size : sizes_) freedoms += static_cast<double>(size) - 1.0;
            for (std::size_t t = 0; t < terms_.size(); ++t) {
                int kinds = 0;
                for (const std::uint8_t d : terms_[t].degree) kinds += d > 0 ? 1 : 0;
                freedoms += kinds > 1 ? 0.5 : 0.0;
            }
            const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
            std::nth_element(sizes.begin(), middle, sizes.end());
            const double left = std::max(known - freedoms, 0.0);
            const double seen = 1.4826 * *middle * std::sqrt(known / std::max(left, 0.25 * known));
            const double squares = (left * seen * seen + 4.0 * usual * usual) / (left + 4.0);
            scatter = std::max({std::sqrt(squares), c.least_scatter, 5e-4});
            for (std::size_t n = 0; n < nodes(); ++n) {
                const double far = off[n] / (3.0 * scatter);
                weight[n] = 1.0 / ((1.0 + far * far) * (1.0 + far * far));
            }
        }
        // What a polynomial misses is not scatter: neighbours share it, so that more cells do not know it better.
        c.scatter = scatter;
        c.counted = std::max(scatter, missed * std::sqrt(std::max(count / 60.0, 1.0)));
        for (std::size_t n = 0; n < nodes(); ++n)
            if (c.in[n] && std::abs(off[n]) > std::max(6.0 * scatter, 0.02)) c.in[n] = 0;
    }

    std::vector<std::vector<std::size_t>> index_;
    std::vector<std::size_t> sizes_;
    std::vector<LabelCoordinate> coordinates_;
    std::vector<LabelColumn> columns_;
    std::vector<Term> terms_;
    std::vector<std::size_t> first_;  ///< of each axis: the row of its first block
    std::size_t width_ = 0;
    std::vector<Sums> sums_;
};

}  // namespace offnominal::detail
