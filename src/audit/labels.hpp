/// @file
/// The labels on the axes of a page, judged before any cell: which of them stand at numbers that belong elsewhere.
///
/// Assumptions about one axis are held against each other: that all is right; that one label was mistyped by some slip;
/// that the numbers of two blocks were exchanged; that one block is another one once more. Each has its likelihood
/// (label_model.hpp), what it costs in irregular steps and in physics (a wet bulb above the dry bulb, dry rows above
/// wet ones), and how seldom such a slip is. The best is put right, and the page looked at again.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "label_model.hpp"
#include "label_slips.hpp"

namespace offnominal::detail {

/// An axis as an audit of labels sees it. A label has two numbers where the axis is one of pairs: wet bulb, dry bulb.
struct LabelAxis {
    std::vector<std::string> roles;  ///< of its numbers: `odb`; of pairs `ewb` and `edb`
    std::vector<Unit> units;
    std::vector<std::vector<double>> labels;      ///< for each number: of every label, SI
    std::vector<std::vector<std::string>> texts;  ///< likewise, as typed
    double (*coordinate)(double) = nullptr;       ///< of a number
    double least = -1e300, greatest = 1e300;      ///< SI: what such a label can be
    bool printed = true;                          ///< not made by a multiplier row
    bool regular = true;                          ///< such labels have equal steps and round numbers

    [[nodiscard]] std::size_t size() const noexcept { return labels.front().size(); }
};

/// A label that is wrong.
struct WrongLabel {
    std::size_t axis = 0, number = 0, label = 0;
    std::optional<std::size_t> other;  ///< of exchanged and repeated blocks
    Slip slip = Slip::none;
    std::string text;    ///< what was meant
    double meant = 0.0;  ///< SI
    double gain = 0.0;   ///< how much likelier the page is so, as a logarithm
};

/// What of two numbers' order contradicts physics: nodes at label `a` that cannot lie above nodes at label `b`.
struct Contradictions {
    std::size_t axis = 0;
    std::vector<std::vector<double>> above;  ///< [a][b]: how many lines, if the label of a is above that of b
};

class LabelAudit {
   public:
    LabelAudit(std::vector<LabelAxis> axes, std::vector<std::vector<std::size_t>> index,
               std::vector<LabelColumn> columns, std::vector<Contradictions> contradictions = {})
        : axes_(std::move(axes)),
          contradictions_(std::move(contradictions)),
          model_(index, sizes(axes_), coordinates(axes_), std::move(columns)),
          index_(std::move(index)) {}

    /// The wrong labels, each with those before it put right.
    [[nodiscard]] std::vector<WrongLabel> run() {
        std::vector<WrongLabel> out;
        find_repeated(out);
        while (out.size() < most) {
            std::optional<WrongLabel> best = best_change();
            if (!best) break;
            put_right(*best);
            out.push_back(*best);
        }
        return out;
    }
    [[nodiscard]] const std::vector<LabelAxis>& axes() const noexcept { return axes_; }
    [[nodiscard]] const LabelModel& model() const noexcept { return model_; }

   private:
    static constexpr std::size_t most = 4;  ///< beyond that it is not the labels
    static constexpr double notable = 2.0;  ///< a gain of less is no news: odds of 7 to 1

    static std::vector<std::size_t> sizes(const std::vector<LabelAxis>& axes) {
        std::vector<std::size_t> out;
        for (const LabelAxis& a : axes) out.push_back(a.size());
        return out;
    }
    static std::vector<LabelCoordinate> coordinates(const std::vector<LabelAxis>& axes) {
        std::vector<LabelCoordinate> out;
        for (std::size_t a = 0; a < axes.size(); ++a)
            for (const std::vector<double>& labels : axes[a].labels) {
                LabelCoordinate c{a, {}};
                for (const double x : labels) c.at.push_back(axes[a].coordinate(x));
                out.push_back(std::move(c));
            }
        return out;
    }
    static double total(const std::vector<double>& costs) {
        double out = 0.0;
        for (const double c : costs) out += c;
        return out;
    }
    [[nodiscard]] static std::vector<double> in_unit(const LabelAxis& axis, std::size_t number) {
        std::vector<double> out;
        for (const double x : axis.labels[number]) out.push_back(axis.units[number].from_si(x));
        return out;
    }
    /// What labels cost by themselves, whatever the numbers under them.
    [[nodiscard]] double own_cost(std::size_t a, std::size_t number, const std::vector<double>& labels) const {
        const LabelAxis& axis = axes_[a];
        std::vector<double> typed;
        double out = 0.0;
        for (const double x : labels) {
            typed.push_back(axis.units[number].from_si(x));
            if (number == 0 && (x < axis.least || x > axis.greatest)) out += 5.0;
        }
        if (axis.roles.size() > 1) return out;  // pairs have no steps
        if (axis.regular) out += irregularity(typed, axis.units[number]);
        for (const Contradictions& c : contradictions_) {
            if (c.axis != a) continue;
            double lines = 0.0;
            for (std::size_t i = 0; i < labels.size(); ++i)
                for (std::size_t j = 0; j < labels.size(); ++j)
                    if (labels[i] > labels[j]) lines += c.above[i][j];
            out += std::min(30.0, 3.0 * lines);
        }
        return out;
    }

    [[nodiscard]] std::optional<WrongLabel> best_change() {
        std::optional<WrongLabel> best;
        const double now = total(model_.cost());
        for (std::size_t a = 0; a < axes_.size(); ++a) {
            const LabelAxis& axis = axes_[a];
            if (!axis.printed || axis.size() < 2) continue;
            for (std::size_t number = 0; number < axis.labels.size(); ++number) {
                const double own = own_cost(a, number, axis.labels[number]);
                for (std::size_t i = 0; i < axis.size(); ++i) try_label(a, number, i, now + own, best);
            }
            for (std::size_t i = 0; i < axis.size(); ++i)
                for (std::size_t j = 0; j < i; ++j) try_exchange(a, i, j, now, best);
        }
        return best;
    }

    [[nodiscard]] std::vector<double> coordinates_at(std::size_t a, std::size_t label) const {
        std::vector<double> out;
        for (const std::vector<double>& labels : axes_[a].labels) out.push_back(axes_[a].coordinate(labels[label]));
        return out;
    }
    void take(std::optional<WrongLabel>& best, WrongLabel one) const {
        if (one.gain > notable && (!best || one.gain > best->gain)) best = std::move(one);
    }

    /// The mean step of an axis: a label that is off by little of it was rounded so.
    [[nodiscard]] static double step(const std::vector<double>& labels) {
        const auto [low, high] = std::minmax_element(labels.begin(), labels.end());
        return (*high - *low) / static_cast<double>(labels.size() - 1);
    }

    void try_label(std::size_t a, std::size_t number, std::size_t i, double now, std::optional<WrongLabel>& best) {
        const LabelAxis& axis = axes_[a];
        std::vector<double> others = in_unit(axis, number);
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        const double typed_si = axis.labels[number][i];
        const auto typed = number_of(axis.texts[number][i]);
        if (!typed) return;
        for (const MeantLabel& meant : meant_labels(axis.texts[number][i], others, axis.units[number].dimension)) {
            const double value = *number_of(meant.text);
            const double si = axis.units[number].dimension == Dimension::temperature ? axis.units[number].to_si(value)
                                                                                     : typed_si * value / *typed;
            if (!std::isfinite(si) || si < axis.least || si > axis.greatest) continue;
            const bool taken = std::any_of(axis.labels[number].begin(), axis.labels[number].end(), [&](double x) {
                return std::abs(x - si) <=
                       1e-6 * std::max(1.0, std::abs(si)) *
                           (axis.units[number].dimension == Dimension::temperature ? 1.0 : std::abs(si));
            });
            if (taken && axis.labels.size() == 1) continue;
            std::vector<double> labels = axis.labels[number];
            labels[i] = si;
            double own = own_cost(a, number, labels);
            if (meant.slip == Slip::wrong_digit && std::abs(si - typed_si) < 0.05 * step(axis.labels[number]))
                own += 5.0;
            MovedBlock moved{i, coordinates_at(a, i)};
            moved.at[number] = axis.coordinate(si);
            const double cost = total(model_.cost(a, std::span(&moved, 1))) + own + meant.cost;
            take(best, {a, number, i, std::nullopt, meant.slip, meant.text, si, now - cost});
        }
    }

    void try_exchange(std::size_t a, std::size_t i, std::size_t j, double now, std::optional<WrongLabel>& best) {
        const MovedBlock moved[] = {{i, coordinates_at(a, j)}, {j, coordinates_at(a, i)}};
        std::vector<double> labels = axes_[a].labels.front();
        const double own = own_cost(a, 0, labels);
        std::swap(labels[i], labels[j]);
        const double cost = total(model_.cost(a, moved)) + own_cost(a, 0, labels) - own + 6.0;
        take(best,
             {a, 0, i, j, Slip::exchanged_blocks, axes_[a].texts.front()[j], axes_[a].labels.front()[j], now - cost});
    }

    void put_right(const WrongLabel& wrong) {
        LabelAxis& axis = axes_[wrong.axis];
        if (wrong.slip == Slip::exchanged_blocks) {
            const MovedBlock moved[] = {{wrong.label, coordinates_at(wrong.axis, *wrong.other)},
                                        {*wrong.other, coordinates_at(wrong.axis, wrong.label)}};
            model_.move(wrong.axis, moved);
            for (std::vector<double>& labels : axis.labels) std::swap(labels[wrong.label], labels[*wrong.other]);
            for (std::vector<std::string>& texts : axis.texts) std::swap(texts[wrong.label], texts[*wrong.other]);
            return;
        }
        axis.labels[wrong.number][wrong.label] = wrong.meant;
        axis.texts[wrong.number][wrong.label] = wrong.text;
        const MovedBlock moved{wrong.label, coordinates_at(wrong.axis, wrong.label)};
        model_.move(wrong.axis, std::span(&moved, 1));
    }

    /// Blocks that are another block's numbers once more: of the two, the one where they do not belong.
    void find_repeated(std::vector<WrongLabel>& out) {
        for (std::size_t a = 0; a < axes_.size(); ++a) {
            if (!axes_[a].printed) continue;
            for (std::size_t i = 0; i < axes_[a].size(); ++i)
                for (std::size_t j = 0; j < i; ++j) {
                    if (!repeated(a, i, j)) continue;
                    const double without_i = total(model_.cost_without(a, i)),
                                 without_j = total(model_.cost_without(a, j));
                    const std::size_t wrong = without_i <= without_j ? i : j, right = wrong == i ? j : i;
                    out.push_back(
                        {a, 0, wrong, right, Slip::repeated_block, {}, 0.0, std::abs(without_i - without_j) + 10.0});
                    model_.take_out(a, wrong);
                }
        }
    }
    /// Whether two blocks print the same numbers in every column, and more of them than chance repeats.
    [[nodiscard]] bool repeated(std::size_t a, std::size_t i, std::size_t j) const {
        std::size_t alike = 0;
        const auto& at = index_[a];
        for (std::size_t n = 0; n < at.size(); ++n) {
            if (at[n] != i) continue;
            const std::size_t m = matching(n, a, j);
            for (const LabelColumn& c : model_.columns()) {
                if (std::isnan(c.y[n]) != std::isnan(c.y[m])) return false;
                if (std::isnan(c.y[n])) continue;
                if (c.y[n] != c.y[m]) return false;
                ++alike;
            }
        }
        return alike >= 6;
    }
    /// The node of another block that is like `n` in all other labels.
    [[nodiscard]] std::size_t matching(std::size_t n, std::size_t a, std::size_t label) const {
        std::size_t stride = 1;
        for (std::size_t b = axes_.size(); b-- > a + 1;) stride *= axes_[b].size();
        return n - index_[a][n] * stride + label * stride;
    }

    std::vector<LabelAxis> axes_;
    std::vector<Contradictions> contradictions_;
    LabelModel model_;
    std::vector<std::vector<std::size_t>> index_;
};

}  // namespace offnominal::detail
