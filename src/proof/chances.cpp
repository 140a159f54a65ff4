#include "chances.hpp"

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <vector>

namespace offnominal::detail {
namespace {

constexpr std::array yardsticks{Yardstick::make, Yardstick::page};

Spread normal_spread(double mean, double standard) {
    constexpr double half = 1.959963984540054;  // of a 95 % interval
    return {mean, standard, mean - half * standard, mean + half * standard};
}

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

}  // namespace

double guard_factor(Acceptance acceptance, double confidence) {
    return quantile(boost::math::normal(), chance_needed(acceptance, confidence));
}

Ratios ratios_by_first_order(const Sources& s) {
    Ratios out;
    const double ratio = s.base.ratio(), sensible = s.base.sensible_ratio();
    const double of_inputs = std::max(0.0, covariance(s.correlations, s.effects.ratio, s.effects.ratio)),
                 of_sensible = std::max(0.0, covariance(s.correlations, s.effects.sensible, s.effects.sensible)) +
                               s.own.sensible * s.own.sensible;
    const double asked = s.own.of(s.yardstick);
    out.total = normal_spread(ratio, ratio * std::sqrt(of_inputs + asked * asked));
    if (s.slope) {
        const Tied tied = tie(s, *s.slope);
        const double joint = ratio * std::exp(tied.shift);
        out.joint = normal_spread(joint, joint * std::sqrt(tied.variance + asked * asked));
    }
    for (const Yardstick yardstick : yardsticks) {
        const double own = s.own.of(yardstick), u = ratio * std::sqrt(of_inputs + own * own);
        out.chances[static_cast<std::size_t>(yardstick)] = {
            probability_at_least(s.limit, ratio, u),
            probability_at_least(s.sensible_limit, sensible, sensible * std::sqrt(of_sensible + own * own)),
            probability_at_least(implausible_ratio, ratio, u)};
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

/// Hands over both sides and the page of each draw that has an answer; another round has other draws.
template <class Take>
void for_each_draw(const Sources& s, std::uint64_t round, const Take& take) {
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
    std::vector<double> block(ProofModel::block * width);  // the last of a draw stays 0 where it is not drawn
    std::vector<ProofModel::Inputs> x(ProofModel::block, s.centre);
    std::vector<std::optional<Sides>> both(ProofModel::block);
    static_assert(Draws::count % ProofModel::block == 0);
    for (std::size_t draw = 0; draw < Draws::count; ++draw) {
        const std::size_t at = draw % ProofModel::block;
        if (at == 0) {
            for (std::size_t k = 0; k < ProofModel::block; ++k) {
                const std::span<double> value(block.data() + k * width, width);
                draws.at(draw + k, value);
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
    // By yardstick; weights tell how well a draw's sensible goes with its total, by the coil's tie.
    std::array<std::vector<double>, 2> total, sensible;
    std::vector<double> ones, weights;
    for (std::vector<double>* values : {&total[0], &total[1], &sensible[0], &sensible[1], &ones, &weights})
        values->reserve(Draws::count);
    for_each_draw(s, 0, [&](const Sides& sides, const DrawnPage& page) {
        const double ratio = sides.ratio(), of_sensible = sides.sensible_ratio() / (1.0 + page.sensible);
        for (const Yardstick yardstick : yardsticks) {
            const double own = page.by(yardstick);
            total[static_cast<std::size_t>(yardstick)].push_back(ratio / own);
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
    if (ones.size() < Draws::count / 8) return std::nullopt;
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
        out.chances[y] = {share_at_least(s.limit, total[y], ones), share_at_least(s.sensible_limit, sensible[y], ones),
                          share_at_least(implausible_ratio, total[y], ones)};
    }
    return out;
}

std::vector<double> drawn_ratios(const Sources& s, std::size_t count) {
    std::vector<double> out;
    out.reserve(count + Draws::count);
    const std::size_t rounds = 8 * (count / Draws::count + 1);  // where most draws are of no such air, fewer are told
    for (std::size_t round = 0; out.size() < count && round < rounds; ++round)
        for_each_draw(s, round, [&](const Sides& sides, const DrawnPage& page) {
            out.push_back(sides.ratio() / page.by(s.yardstick));
        });
    if (out.size() > count) out.resize(count);
    return out;
}

}  // namespace offnominal::detail
