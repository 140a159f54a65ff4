#include "chances.hpp"

#include <cmath>
#include <vector>

#include "distributions.hpp"
#include "ranges.hpp"

namespace offnominal::detail {
namespace {

constexpr Yardstick yardsticks[]{Yardstick::make, Yardstick::page};

/// What the inputs leave of the logarithm of total once the coil's tie to sensible is known (JCGM 100 and a condition:
/// the best estimate of one of two correlated quantities, given what is known of the other).
struct Tied {
    double shift = 0.0;     ///< of the logarithm
    double variance = 0.0;  ///< relative
};
Tied tie(const Sources& s, double slope) {
    const LogRatios& at = s.logs;
    Contributions off{};
    for (std::size_t i = 0; i < input_count; ++i) off[i] = s.effects.sensible[i] - slope * s.effects.ratio[i];
    const double variance = covariance(s.correlations, s.effects.ratio, s.effects.ratio),
                 shared = covariance(s.correlations, s.effects.ratio, off), u = tie_uncertainty(at.total),
                 of_off = covariance(s.correlations, off, off) + u * u;
    return {-shared / of_off * (at.sensible - slope * at.total), std::max(0.0, variance - shared * shared / of_off)};
}

/// One ratio by first order, and what that leaves out.
class OneRatio {
   public:
    /// @param more  relative standard uncertainty of the ratio besides what was read and the page's own
    OneRatio(const Sources& s, double (Sides::*ratio)() const noexcept, const Contributions& effect,
             const Contributions& bend, double more)
        : at_((s.base.*ratio)()), variance_(std::max(0.0, covariance(s.correlations, effect, effect))), more_(more) {
        for (const double b : bend) {
            shift_ += b;
            kinks_ += std::abs(b);
        }
        for (std::size_t i = 0; i < input_count; ++i)
            if (s.known[i].shape == Shape::rectangular) flat_ += effect[i] * effect[i] * effect[i] * effect[i];
        if (variance_ > 0.0) move_together(s, ratio, effect);
    }

    /// Its distribution, where the page's own terms are uncertain by `own`. They divide the ratio.
    [[nodiscard]] NearNormal with(double own) const noexcept {
        const double o = own * own + more_ * more_, u = std::sqrt(variance_ + o);
        // Second and third order along the way on which inputs and own terms move the ratio most, at given odds.
        const double along = variance_ * bend_ + o * (variance_ + o),
                     third = variance_ * std::sqrt(variance_) * cubic_ + o * along;
        const double mean = at_ * (1.0 + shift_ + o);
        if (!(u > 0.0)) return {mean, 0.0};
        return {mean, at_ * u, 6.0 * along / (u * u * u), -1.2 * flat_ / (u * u * u * u), third / (u * u * u * u)};
    }
    /// What is left out: the edges of a rectangular input that outweighs the rest (a fifth of the cube of its share of
    /// the variance, as draws of the sum of it and a normal one bear out), kinks, and as much as what is no parabola,
    /// since only its cubic is known.
    [[nodiscard]] double left_out(double own) const noexcept {
        const double v = variance_ + own * own + more_ * more_, u = std::sqrt(v);
        return u > 0.0 ? 0.2 * flat_ / (v * v) * std::sqrt(flat_) / v + (0.5 * kinks_ + astray_) / u : 0.0;
    }

   private:
    /// Moves all inputs together, two standard uncertainties either way, where the ratio is the most for its odds (the
    /// direction of the design point of first-order reliability: Hasofer and Lind, J. Eng. Mech. Div. ASCE 100, 1974).
    void move_together(const Sources& s, double (Sides::*ratio)() const noexcept, const Contributions& effect) {
        constexpr double far = 2.0;
        const double u = std::sqrt(variance_);
        std::array<ProofModel::Inputs, 2> moved{s.centre, s.centre};
        Contributions with{};
        for (const auto& [i, j, r] : s.correlations.pairs()) with[i] += r * effect[j];
        for (std::size_t i = 0; i < input_count; ++i) {
            const double off = far * with[i] / u * standard_of(s.known[i]);
            if (off == 0.0) continue;
            for (std::size_t side = 0; side < 2; ++side) {
                const double error = side == 0 ? -off : off, x = s.centre[i];
                moved[side][i] = s.known[i].gain ? x / std::max(0.1, 1.0 - error / x) : x + error;
            }
        }
        std::array<std::optional<Sides>, 2> ends;
        s.model.sides(moved, ends);
        if (!ends[0] || !ends[1]) {
            astray_ = HUGE_VAL;
            return;
        }
        const double low = ((*ends[0]).*ratio)() / at_, high = ((*ends[1]).*ratio)() / at_;
        bend_ = (0.5 * (low + high) - 1.0) / (far * far);
        const double off = 0.5 * (high - low) - far * u;
        cubic_ = off / (far * far * far);
        astray_ = std::abs(off);
        if (!std::isfinite(bend_ + cubic_)) astray_ = HUGE_VAL;
    }

    double at_ = 0.0;        ///< as read
    double variance_ = 0.0;  ///< relative, of the inputs
    double more_ = 0.0;
    double shift_ = 0.0, kinks_ = 0.0, flat_ = 0.0;
    double bend_ = 0.0;    ///< relative, at one standard uncertainty of the inputs together
    double cubic_ = 0.0;   ///< likewise, of third order: through both ends, at two
    double astray_ = 0.0;  ///< relative, at two: what the ratio is off what each input does alone
};

/// Values of the ratios by draws, by yardstick.
using Drawn = std::array<std::vector<double>, 2>;

/// @param clear    of total if no frost has grown; empty where none does
/// @param weights  how well a draw's sensible goes with its total, by the coil's tie
Ratios told_by_draws(const Sources& s, const Drawn& total, const Drawn& clear, const Drawn& sensible,
                     const std::vector<double>& ones, const std::vector<double>& weights) {
    double sum = 0.0, squares = 0.0;
    for (const double weight : weights) {
        sum += weight;
        squares += weight * weight;
    }
    const bool joined = s.slope && sum * sum > 100.0 * squares;  // enough draws carry the weight

    Ratios out;
    out.method = Method::draws;
    const auto& asked = total[static_cast<std::size_t>(s.yardstick)];
    out.total = spread_of(asked, ones);
    if (joined) out.joint = spread_of(asked, weights);
    for (const Yardstick yardstick : yardsticks) {
        const auto y = static_cast<std::size_t>(yardstick);
        const std::vector<double>& surely = s.own.frost > 0.0 ? clear[y] : total[y];
        out.chances[y] = {share_at_least(s.limit, total[y], ones), share_at_least(s.limit, surely, ones),
                          share_at_least(s.sensible_limit, sensible[y], ones),
                          share_at_least(implausible_ratio, surely, ones)};
    }
    return out;
}

/// With how few draws one looks first.
constexpr std::size_t few_draws = 512;

/// Whether so many draws tell a verdict that all of them would: no chance stands within four standard deviations of
/// what it is held against, as plain draws would scatter, and those of a lattice scatter less.
bool is_decided(const Ratios& ratios, const Visit& visit, std::size_t draws) {
    const double needed = chance_needed(visit.acceptance, visit.confidence);
    return ranges::all_of(ratios.chances, [&](const Chances& chances) {
        const auto far_from = [&](double chance, double held_against) {
            return std::abs(chance - held_against) >
                   4.0 * std::sqrt(held_against * (1.0 - held_against) / static_cast<double>(draws));
        };
        const double chance = judged(chances, visit);
        return far_from(chance, needed) && far_from(chance, 1.0 - needed) &&
               far_from(chances.implausible, visit.confidence);
    });
}

}  // namespace

double guard_factor(Acceptance acceptance, double confidence) {
    return distributions::normal_quantile(chance_needed(acceptance, confidence));
}

Ratios ratios_by_first_order(const Sources& s) {
    Ratios out;
    const bool by_sensible = s.model.visit().judge != Judge::total;
    const OneRatio total(s, &Sides::ratio, s.effects.ratio, s.effects.ratio_bend, 0.0);
    std::optional<OneRatio> sensible;
    if (by_sensible)
        sensible.emplace(s, &Sides::sensible_ratio, s.effects.sensible, s.effects.sensible_bend, s.own.sensible);
    const double asked = s.own.of(s.yardstick);
    out.total = total.with(asked).spread();
    if (s.slope) {
        const Tied tied = tie(s, *s.slope);
        const double joint = out.total.mean * std::exp(tied.shift);
        out.joint = NearNormal{joint, joint * std::sqrt(tied.variance + asked * asked)}.spread();
    }
    if (is_bounded(s.model.visit(), s.known)) out.left_out = HUGE_VAL;
    for (const Yardstick yardstick : yardsticks) {
        const double own = s.own.of(yardstick);
        const NearNormal clear = total.with(s.own.without_frost(yardstick));
        const double held = 1.0 - s.own.held_back;  // frost's mean is in the ratio
        Chances& chances = out.chances[static_cast<std::size_t>(yardstick)];
        chances.total = total.with(own).probability_at_least(s.limit);
        chances.clear = s.own.frost > 0.0 ? clear.probability_at_least(s.limit / held) : chances.total;
        chances.implausible = clear.probability_at_least(implausible_ratio / held);
        out.left_out = std::max(out.left_out, total.left_out(own));
        if (!sensible) continue;
        chances.sensible = sensible->with(own).probability_at_least(s.sensible_limit);
        out.left_out = std::max(out.left_out, sensible->left_out(own));
    }
    return out;
}

namespace {

/// What one draw takes off the page.
struct DrawnPage {
    double reading = 0.0, outside = 0.0, make = 0.0, sensible = 0.0, frost = 0.0;  ///< relative
    [[nodiscard]] double by(Yardstick yardstick) const noexcept {
        const double page = (1.0 + reading) * (1.0 + outside) * (1.0 + frost);
        return yardstick == Yardstick::make ? page * (1.0 + make) : page;
    }
};

/// Hands over both sides and the page of each draw that has an answer, until `enough` says so after the first few;
/// another round has other draws.
template <class Enough, class Take>
void for_each_draw(const Sources& s, std::uint64_t round, const Enough& enough, const Take& take) {
    // The inputs that are in a capacity, as the power is not; then the page's own terms.
    std::vector<std::size_t> drawn;
    for (const auto& row : words_of<Input>)
        if (row.value != Input::power &&
            (row.value != Input::auxiliary_heat || applies(row.value, s.model.visit().mode())))
            drawn.push_back(static_cast<std::size_t>(row.value));
    const std::size_t inputs = drawn.size();
    std::vector<Known> known;
    std::vector<double> correlations;
    for (const std::size_t i : drawn) {
        known.push_back(s.known[i]);
        for (const std::size_t j : drawn) correlations.push_back(s.correlations[i * input_count + j]);
    }
    known.push_back({0.0, s.own.reading});
    known.push_back({0.0, s.own.outside, Shape::rectangular});
    known.push_back({0.0, s.own.make});
    if (s.own.sensible > 0.0 || s.own.frost > 0.0) known.push_back({0.0, s.own.sensible});
    if (s.own.frost > 0.0) known.push_back({0.0, s.own.frost, Shape::rectangular});
    std::vector<double> content(correlations.begin(), correlations.end());
    for (const Known& k : known) content.insert(content.end(), {k.estimate, k.standard});
    const Draws draws(known, correlations, seed_of(content) + round);

    const std::size_t width = inputs + 5;
    std::vector<double> block(ProofModel::block * width);  // the last of a draw stay 0 where they are not drawn
    std::vector<ProofModel::Inputs> x(ProofModel::block, s.centre);
    std::vector<std::optional<Sides>> both(ProofModel::block);
    static_assert(few_draws % ProofModel::block == 0 && Draws::count % few_draws == 0);
    for (std::size_t draw = 0; draw < Draws::count; ++draw) {
        const std::size_t at = draw % ProofModel::block;
        if (draw == few_draws && enough()) return;
        if (at == 0) {
            for (std::size_t k = 0; k < ProofModel::block; ++k) {
                const std::span<double> value(block.data() + k * width, width);
                // Every eighth first: they are a lattice too.
                constexpr std::size_t stride = Draws::count / few_draws;
                draws.at((draw + k) % few_draws * stride + (draw + k) / few_draws, value);
                for (std::size_t i = 0; i < inputs; ++i) x[k][drawn[i]] = value[i];
            }
            s.model.sides(x, both);
        }
        const auto& sides = both[at];
        if (!sides) continue;  // no such air: what cannot be has no part in the distribution
        const double* const own = block.data() + at * width + inputs;
        take(*sides, DrawnPage{own[0], own[1], own[2], own[3], own[4]});
    }
}

}  // namespace

std::optional<Ratios> ratios_by_draws(const Sources& s) {
    Drawn total, clear, sensible;
    std::vector<double> ones, weights;
    for (std::vector<double>* values : {&total[0], &total[1], &sensible[0], &sensible[1], &ones, &weights})
        values->reserve(Draws::count);
    std::optional<Ratios> few;
    const auto enough = [&] {
        if (ones.size() < Draws::count / 64) return false;
        few = told_by_draws(s, total, clear, sensible, ones, weights);
        if (!is_decided(*few, s.model.visit(), ones.size())) few.reset();
        return few.has_value();
    };
    for_each_draw(s, 0, enough, [&](const Sides& sides, const DrawnPage& page) {
        const double ratio = sides.ratio(), of_sensible = sides.sensible_ratio() / (1.0 + page.sensible);
        for (const Yardstick yardstick : yardsticks) {
            const double own = page.by(yardstick);
            total[static_cast<std::size_t>(yardstick)].push_back(ratio / own);
            if (s.own.frost > 0.0)
                clear[static_cast<std::size_t>(yardstick)].push_back(ratio / own * (1.0 + page.frost) *
                                                                     (1.0 - s.own.held_back));
            sensible[static_cast<std::size_t>(yardstick)].push_back(of_sensible / own);
        }
        ones.push_back(1.0);
        double weight = 1.0;
        if (s.slope) {
            weight = 0.0;
            if (ratio > 0.0 && of_sensible > 0.0) {
                const double log_total = std::log(ratio), u = tie_uncertainty(log_total),
                             z = (std::log(of_sensible) - *s.slope * log_total) / u;
                weight = std::exp(-0.5 * z * z) / u;
            }
        }
        weights.push_back(weight);
    });
    if (few) return few;
    if (ones.size() < Draws::count / 8) return std::nullopt;
    return told_by_draws(s, total, clear, sensible, ones, weights);
}

std::vector<double> drawn_ratios(const Sources& s, std::size_t count) {
    std::vector<double> out;
    out.reserve(count + Draws::count);
    const std::size_t rounds = 8 * (count / Draws::count + 1);  // where most draws are of no such air, fewer are told
    for (std::size_t round = 0; out.size() < count && round < rounds; ++round)
        for_each_draw(
            s, round, [] { return false; },
            [&](const Sides& sides, const DrawnPage& page) { out.push_back(sides.ratio() / page.by(s.yardstick)); });
    if (out.size() > count) out.resize(count);
    return out;
}

}  // namespace offnominal::detail
