/// @file
/// How likely the ratios reach their limits: by first order, or by draws.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include "evidence.hpp"
#include "offnominal/proof/conformity.hpp"

namespace offnominal::detail {

/// Probabilities by one yardstick.
struct Chances {
    double total = 0.0;        ///< that the ratio of total reaches its limit
    double clear = 0.0;        ///< the same if no frost has grown, which is never more
    double sensible = 0.0;     ///< that of sensible
    double implausible = 0.0;  ///< that the ratio of total is above 1.10, if no frost has grown
};

/// Of what is judged: total, sensible, or the lesser of both. Whether frost has grown is no matter of chance: in dry
/// air it does not for hours. So a verdict must hold either way, and where that turns it there is none; simple
/// acceptance goes by what is most likely.
[[nodiscard]] inline double judged(const Chances& chances, const Visit& visit) noexcept {
    const double total =
        visit.acceptance == Acceptance::simple ? chances.total : std::max(chances.clear, std::min(0.5, chances.total));
    return visit.judge == Judge::total      ? total
           : visit.judge == Judge::sensible ? chances.sensible
                                            : std::min(total, chances.sensible);
}

/// How probable what is judged must be to pass; to fail it is as improbable. Simple acceptance asks for what is more
/// likely than not.
[[nodiscard]] inline double chance_needed(Acceptance acceptance, double confidence) noexcept {
    return acceptance == Acceptance::simple ? 0.5 : confidence;
}
/// The same in standard uncertainties between limit and reading: the guard band (JCGM 106:2012, 8.3.2).
[[nodiscard]] double guard_factor(Acceptance acceptance, double confidence);

struct Ratios {
    Method method = Method::first_order;
    /// How far what first order leaves out may move an end of the interval, in standard uncertainties.
    double left_out = 0.0;
    Spread total;
    std::optional<Spread> joint;     ///< total where sensible is used too
    std::array<Chances, 2> chances;  ///< by `Yardstick`
};

/// What the ratios are taken from.
struct Sources {
    const ProofModel& model;
    const KnownInputs& known;
    const Correlations& correlations;
    const ProofModel::Inputs& centre;
    const Sides& base;      ///< at the centre
    const LogRatios& logs;  ///< of those
    const Effects& effects;
    const OwnTerms& own;
    /// The coil's tie, where sensible agrees with total. The ratio that both give together is told; it does not decide:
    /// it takes a thirtieth off the uncertainty, and at low ratios reads half a percent high (benchmarks/trial).
    std::optional<double> slope;
    double limit = 0.0, sensible_limit = 0.0;
    Yardstick yardstick = Yardstick::make;
};

/// Where first order leaves out no more than that it decides alone.
inline constexpr double most_left_out = 0.125;

/// By what each input does, and by how the ratio bends where all of them move together.
[[nodiscard]] Ratios ratios_by_first_order(const Sources& s);
/// Empty where too few draws have an answer. @throws InputError where the inputs cannot be correlated as they are said
/// to be
[[nodiscard]] std::optional<Ratios> ratios_by_draws(const Sources& s);
/// So many draws of the ratio of total, the first of them those of `ratios_by_draws`.
[[nodiscard]] std::vector<double> drawn_ratios(const Sources& s, std::size_t count);

}  // namespace offnominal::detail
