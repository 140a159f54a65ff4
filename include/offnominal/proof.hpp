/// @file
/// Does the machine deliver what it should? The ratio of delivered to expected total at one boundary, its joint
/// uncertainty, and a decision against a limit.
///
/// Return state and airflow enter both sides. So the ratio is propagated as a whole, twice:
///  - First order, for the budget: each input is moved by its standard uncertainty, up and down, through *both* sides,
///    and half the change of the ratio is that input's contribution (JCGM 100:2008, 5.1.3 note 2); contributions of
///    inputs read by one instrument, or by two that were compared side by side, add with their correlation (5.2). The
///    expected side's own terms join in quadrature.
///    For the decision it takes the skew too: all inputs are moved together, two standard uncertainties either way,
///    where the ratio moves most for its odds, and the ratio counts as a parabola between. What that leaves out (kinks,
///    the edges of a rectangular input that outweighs the rest) is told in standard uncertainties. Up to an eighth at
///    the ends of the 95 % interval it decides alone; chances by both then agree to 0.02, and to 0.01 with usual
///    instruments.
///  - By draws, for the decision of the others, such as beside saturation: 4096 of them (JCGM 101:2008), normal,
///    rectangular where an instrument states limits, never past saturation, and about what a sound machine leaves where
///    a supply probe is wetted. Where 512 of them tell the verdict by four standard deviations, they are enough. The
///    same visit gives the same digits.
///
/// The decision follows JCGM 106:2012, clause 7: the probability that the true ratio is at least the limit. Where the
/// coil's bypass factor ties sensible to total and the two agree, the ratio of both is told too; where what was read
/// contradicts itself, or fits another stage, nothing is passed and nothing failed, and `Proof::suspect` says what to
/// look at.
///
/// Heating goes the same way. A test on site sees a running machine without frost, so it is held against instantaneous
/// pages; an integrated one has its frost taken out first, at a cost. The air gains sensible heat alone: one ratio, and
/// auxiliary heat, whose state the visit must say, is subtracted with its own uncertainty.
///
/// Where electric power was measured, it and the efficiency stand beside the page's: only where the two include the
/// same things.
///
/// A second capacity of the visit is held against the air's: beyond 6 %, and beyond twice the uncertainty of their
/// difference, nothing is passed and nothing failed. That they agree makes no verdict surer.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

#include "offnominal/airflow/determine.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/visit.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/proof/conformity.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

enum class Outcome : std::uint8_t {
    meets,           ///< the probability of reaching the limit is at least the confidence asked for
    falls_short,     ///< ... is at most one less that confidence
    undecided,       ///< in between
    implausible,     ///< the probability that the true ratio is above 1.10 is at least the confidence: a measuring
                     ///< error, not a superb unit
    not_comparable,  ///< no ratio: `Proof::reason` says why
};
template <>
inline constexpr Word<Outcome> words_of<Outcome>[] = {{Outcome::meets, "meets"},
                                                      {Outcome::falls_short, "falls_short"},
                                                      {Outcome::undecided, "undecided"},
                                                      {Outcome::implausible, "implausible"},
                                                      {Outcome::not_comparable, "not_comparable"}};

/// What the probability was taken from.
enum class Method : std::uint8_t { first_order, draws };
template <>
inline constexpr Word<Method> words_of<Method>[] = {{Method::first_order, "first_order"}, {Method::draws, "draws"}};

/// One line of the uncertainty budget. Contributions are relative: what a rise by one standard uncertainty does.
struct BudgetLine {
    Input input = Input::airflow;
    double standard = 0.0;     ///< standard uncertainty of the input, SI
    double delivered = 0.0;    ///< relative change of delivered total
    double expected = 0.0;     ///< relative change of expected total
    double ratio = 0.0;        ///< relative change of the ratio
    double sensible = 0.0;     ///< relative change of the ratio of sensible; 0 where there is none
    double power_ratio = 0.0;  ///< relative change of measured over expected power; 0 where the two are not compared
    double share = 0.0;        ///< of the ratio's variance; inputs that share errors share what they do together
};

/// A measured quantity beside the expected one.
struct Comparison {
    double measured = 0.0;   ///< SI
    double expected = 0.0;   ///< SI
    double ratio = 0.0;      ///< measured / expected
    double ratio_u = 0.0;    ///< standard uncertainty of the ratio
    double ratio_u95 = 0.0;  ///< expanded, coverage factor 2 (about 95 %)
};

/// How the readings stand to one stage of the system: a hint which one ran, not a proof.
struct StageFit {
    std::int16_t stage = -1;            ///< index of the page, as `Expected::stage` of the visit's mode
    std::optional<double> ratio;        ///< delivered over this stage's expected total; empty: see `reason`
    std::optional<double> power_ratio;  ///< measured over this stage's expected power, where the two are alike
    Reason reason;                      ///< why the page has no answer
};

/// The proof of one visit.
struct Proof {
    Outcome outcome = Outcome::not_comparable;
    Reason reason;                    ///< why not comparable
    About suspect = About::nothing;   ///< what to look at where something contradicts: stage, airflow, a probe, ...
    std::optional<Outcome> uncapped;  ///< what the outcome would be but for the suspect
    std::optional<double> ratio;      ///< delivered total / expected total: the mean of its distribution
    double ratio_u = 0.0;             ///< standard uncertainty of the ratio
    double ratio_u95 = 0.0;           ///< expanded, coverage factor 2 (about 95 %)
    double ratio_low = 0.0;           ///< interval that holds the true ratio with 95 %
    double ratio_high = 0.0;
    std::optional<double> joint_ratio;                ///< the same, where sensible is used too
    double joint_u = 0.0;                             ///< standard uncertainty of that
    double probability = 0.0;                         ///< that what is judged reaches its limit; of both, the lesser
    double other_probability = 0.0;                   ///< the same by the other yardstick
    Outcome other_outcome = Outcome::not_comparable;  ///< by the other yardstick
    Method method = Method::first_order;
    Judge judge = Judge::total;
    Yardstick yardstick = Yardstick::make;
    double limit = 0.0;
    double sensible_limit = 0.0;
    double confidence = 0.0;
    Acceptance acceptance = Acceptance::guarded;
    double guard_band = 0.0;             ///< how far past its limit total must be read, about; 0: simple acceptance
    std::optional<double> risk;          ///< specific: chance that the verdict is wrong, where there is one
    std::optional<GlobalRisks> global;   ///< of total, over the machines that the visit says it is one of
    std::optional<Comparison> sensible;  ///< sensible capacity, W; empty where the page has none
    std::optional<Comparison> split;     ///< dry-bulb split at the airflow that was read, and over its uncertainty, K;
                                         ///< in heating the rise, by the machine itself
    std::array<BudgetLine, input_count> budget{};  ///< largest share first
    double expected_u = 0.0;                       ///< relative standard uncertainty of the expected side's own terms
    double expected_share = 0.0;                   ///< their share of the ratio's variance
    double bend = 0.0;   ///< what straight reading between the page's nodes leaves out of total, as a share of it: the
                         ///< ratio is held against expected total and this
    double frost = 0.0;  ///< what frost on the outdoor coil is taken to hold back of expected total, in the mean, as a
                         ///< share of it; so much less is expected
    std::optional<Comparison> power;       ///< W; empty: see `no_power`
    std::optional<Comparison> efficiency;  ///< W/W, total at the boundary per power of `power`; empty: see `no_power`
    Reason no_power;                       ///< no ratio, no power measured, or not the same things in it
    std::optional<TwoMethods> second;  ///< a second capacity beside the air's; empty without one, or without a ratio
    std::vector<StageFit> nearest;  ///< the stages, best fit first: where which one ran (or at which speed) is in doubt
    std::vector<DeterminedAirflow> airflow_by;  ///< each way by which a visit found its airflow; none: it was read
    std::optional<CombinedAirflow> airflow;     ///< what they make together
    Delivered delivered;
    std::optional<Expected> expected;  ///< empty where the page has no answer
    Notes notes;
};

/// What may undo a verdict while nothing that was read contradicts it: told with the verdict, as it stands or falls
/// with these.
inline constexpr Note told_with_verdict[] = {
    Note::steadiness_unknown, Note::probes_astride_fan, Note::sea_level_unchecked, Note::barometer_far,
    Note::pressure_unchecked, Note::condensate_taken,   Note::uncertainty_missing, Note::one_instrument};

namespace detail {
inline constexpr double no_number = std::numeric_limits<double>::quiet_NaN();
template <std::optional<Comparison> Proof::*Which, double Comparison::*Figure>
[[nodiscard]] constexpr double figure_of(const Proof& p) noexcept {
    return p.*Which ? (*(p.*Which)).*Figure : no_number;
}
template <double Proof::*Figure>
[[nodiscard]] constexpr double with_ratio(const Proof& p) noexcept {
    return p.ratio ? p.*Figure : no_number;
}
}  // namespace detail

/// Every number that is told of a proof.
template <>
inline constexpr Told<Proof> told_of<Proof>[] = {
    {"ratio", Kind::ratio, Modes::both, "delivered total over expected total, at the visit's boundary",
     [](const Proof& p) noexcept { return p.ratio ? *p.ratio : detail::no_number; }},
    {"ratio_u", Kind::ratio, Modes::both, "its standard uncertainty", detail::with_ratio<&Proof::ratio_u>},
    {"ratio_u95", Kind::ratio, Modes::both, "expanded, coverage factor 2 (about 95 %)",
     detail::with_ratio<&Proof::ratio_u95>},
    {"ratio_low", Kind::ratio, Modes::both, "interval that holds the true ratio with 95 %, from",
     detail::with_ratio<&Proof::ratio_low>},
    {"ratio_high", Kind::ratio, Modes::both, "interval that holds the true ratio with 95 %, to",
     detail::with_ratio<&Proof::ratio_high>},
    {"joint_ratio", Kind::ratio, Modes::both, "the ratio by total and sensible together, where both are used",
     [](const Proof& p) noexcept { return p.joint_ratio ? *p.joint_ratio : detail::no_number; }},
    {"joint_u", Kind::ratio, Modes::both, "its standard uncertainty",
     [](const Proof& p) noexcept { return p.joint_ratio ? p.joint_u : detail::no_number; }},
    {"probability", Kind::ratio, Modes::both,
     "that what is judged reaches its limit; of total and sensible, the lesser",
     detail::with_ratio<&Proof::probability>},
    {"other_probability", Kind::ratio, Modes::both, "the same by the other yardstick",
     detail::with_ratio<&Proof::other_probability>},
    {"limit", Kind::ratio, Modes::both, "least ratio that is accepted",
     [](const Proof& p) noexcept { return p.limit; }},
    {"sensible_limit", Kind::ratio, Modes::both, "the same of sensible, where it is judged",
     [](const Proof& p) noexcept { return p.sensible_limit; }},
    {"confidence", Kind::ratio, Modes::both, "probability that `meets` asks for",
     [](const Proof& p) noexcept { return p.confidence; }},
    {"expected_u", Kind::ratio, Modes::both, "relative standard uncertainty of the expected side's own terms",
     [](const Proof& p) noexcept { return p.expected_u; }},
    {"expected_share", Kind::ratio, Modes::both, "their share of the ratio's variance",
     [](const Proof& p) noexcept { return p.expected_share; }},
    {"sensible_ratio", Kind::ratio, Modes::both, "delivered over expected sensible",
     detail::figure_of<&Proof::sensible, &Comparison::ratio>},
    {"sensible_ratio_u", Kind::ratio, Modes::both, "its standard uncertainty",
     detail::figure_of<&Proof::sensible, &Comparison::ratio_u>},
    {"sensible_ratio_u95", Kind::ratio, Modes::both, "expanded, coverage factor 2",
     detail::figure_of<&Proof::sensible, &Comparison::ratio_u95>},
    {"split_ratio", Kind::ratio, Modes::both,
     "delivered split over the one expected at the airflow that was read; in heating of the rise",
     detail::figure_of<&Proof::split, &Comparison::ratio>},
    {"split_ratio_u", Kind::ratio, Modes::both, "its standard uncertainty, the airflow's included",
     detail::figure_of<&Proof::split, &Comparison::ratio_u>},
    {"power", Kind::electric_power, Modes::both, "as measured, where the page's includes the same things",
     detail::figure_of<&Proof::power, &Comparison::measured>},
    {"expected_power", Kind::electric_power, Modes::both, "the page's",
     detail::figure_of<&Proof::power, &Comparison::expected>},
    {"power_ratio", Kind::ratio, Modes::both, "measured over expected power",
     detail::figure_of<&Proof::power, &Comparison::ratio>},
    {"power_ratio_u", Kind::ratio, Modes::both, "its standard uncertainty",
     detail::figure_of<&Proof::power, &Comparison::ratio_u>},
    {"power_ratio_u95", Kind::ratio, Modes::both, "expanded, coverage factor 2",
     detail::figure_of<&Proof::power, &Comparison::ratio_u95>},
    {"efficiency", Kind::efficiency, Modes::both, "delivered total over measured power",
     detail::figure_of<&Proof::efficiency, &Comparison::measured>},
    {"expected_efficiency", Kind::efficiency, Modes::both, "expected total over expected power",
     detail::figure_of<&Proof::efficiency, &Comparison::expected>},
    {"efficiency_ratio", Kind::ratio, Modes::both, "delivered over expected efficiency",
     detail::figure_of<&Proof::efficiency, &Comparison::ratio>},
    {"efficiency_ratio_u", Kind::ratio, Modes::both, "its standard uncertainty",
     detail::figure_of<&Proof::efficiency, &Comparison::ratio_u>},
    {"efficiency_ratio_u95", Kind::ratio, Modes::both, "expanded, coverage factor 2",
     detail::figure_of<&Proof::efficiency, &Comparison::ratio_u95>},
    {"airflow_found", Kind::airflow, Modes::both,
     "standard airflow that the ways of a visit find together; none where it was read",
     [](const Proof& p) noexcept { return p.airflow ? p.airflow->airflow.si : detail::no_number; }},
    {"airflow_found_u", Kind::ratio, Modes::both, "its relative standard uncertainty",
     [](const Proof& p) noexcept { return p.airflow ? p.airflow->u : detail::no_number; }},
    {"guard_band", Kind::ratio, Modes::both, "how far past its limit the ratio of total must be read, about",
     detail::with_ratio<&Proof::guard_band>},
    {"risk", Kind::ratio, Modes::both, "specific risk: chance that this verdict is wrong",
     [](const Proof& p) noexcept { return p.risk.value_or(detail::no_number); }},
    {"consumer_risk", Kind::ratio, Modes::both,
     "global risk: share of all such machines that fall short and are passed",
     [](const Proof& p) noexcept { return p.global ? p.global->consumer : detail::no_number; }},
    {"producer_risk", Kind::ratio, Modes::both,
     "global risk: share of all such machines that reach the limit and are failed",
     [](const Proof& p) noexcept { return p.global ? p.global->producer : detail::no_number; }},
    {"bend", Kind::ratio, Modes::both,
     "what straight reading between the page's nodes leaves out of expected total, as a share of it",
     detail::with_ratio<&Proof::bend>},
    {"frost", Kind::ratio, Modes::both,
     "what frost on the outdoor coil is taken to hold back of expected total, in the mean, as a share of it",
     detail::with_ratio<&Proof::frost>},
};

/// Proves a visit.
///
/// @return the proof; where the page has no answer, or the readings allow no ratio, its outcome is `not_comparable`. A
///         variable-speed compressor that was not held at its speed has no ratio, only its fit to each stage
///         (`Proof::nearest`).
/// @throws Refused where something needed was not given (limit and boundary have no default), a key is unknown, or a
///         reading cannot be (a wet bulb above dry bulb); for keys of a visit that was read from a file an InputError
///         with their place.
[[nodiscard]] Proof prove(const System& system, const Visit& visit);

/// Draws of the true ratio of total, whatever method the proof decides by: its inputs by what their instruments state,
/// with what they share, and the page's own terms (JCGM 101:2008). The first 4096 are those of a proof by draws; the
/// same visit gives the same digits.
///
/// @return so many, or fewer where most are of air that cannot be
/// @throws as `prove`, and Refused where the proof has no ratio
[[nodiscard]] std::vector<double> monte_carlo(const System& system, const Visit& visit, std::size_t count);

}  // namespace offnominal
