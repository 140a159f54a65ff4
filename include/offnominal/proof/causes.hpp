/// @file
/// Likely causes of what a proof found: hypotheses ranked by how well each explains all that was read. Never a verdict.
///
/// Each hypothesis predicts, at each severity, how far measured over expected total, sensible and power should stand
/// from 1: a fault of the machine by published models of single faults, a wrong stage or match by the page itself, a
/// wrong reading by what that reading does to both sides. What was read is held against all of them by its joint
/// covariance, the proof's own, and Bayes' rule weighs them by stated priors, which a caller may replace. Two faults at
/// once are possible: pairs of a machine's faults, and of one of these with a wrong reading, are hypotheses of their
/// own, the effects of both together (as factors, common practice, no source); and where no single cause fits, that is
/// said.
///
/// What a check would tell, and so which to do next, is how often the cause then ranked first is the true one, and the
/// mutual information of its result and the causes (MacKay, Information Theory, Inference, and Learning Algorithms,
/// 2003, chapter 8, from memory).
///
/// A low indoor airflow that was read is no cause here: the target is taken at it. One that was not read right is
/// `Cause::reading` of the airflow.
///
/// Where the readings rule a ratio out by what they are (swapped probes, the other mode, a slip), there is nothing to
/// hold hypotheses against. Then those that the reason names are ranked: by their priors, and by whether all is well
/// once each is put right.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "offnominal/proof.hpp"

namespace offnominal {

enum class Cause : std::uint8_t {
    nothing_wrong,  ///< a sound machine, read rightly: what is off is within what everything is uncertain by
    charge_low,
    charge_high,
    outdoor_airflow,
    liquid_restriction,
    noncondensables,
    compressor,
    return_leak,
    stage,
    match,
    line_set,
    boundary,
    reading,     ///< one reading is off by more than it may be: `LikelyCause::input`
    swapped,     ///< the probes, or of two probes only the humidities
    other_mode,  ///< only where the readings allow no ratio
    elevation,   ///< likewise
};

/// What stands behind a hypothesis' predictions.
enum class Support : std::uint8_t {
    published,  ///< models of single faults, `derates/faults.hpp`
    page,       ///< the maker's own figures
    physics,    ///< what air and readings do
    practice,   ///< a direction only: common practice, no source
};
template <>
inline constexpr Word<Support> words_of<Support>[] = {{Support::published, "published"},
                                                      {Support::page, "page"},
                                                      {Support::physics, "physics"},
                                                      {Support::practice, "practice"}};

/// A word, what it is in a sentence, what stands behind it, and how probable it is before anything was read (common
/// practice, no source). Where stages, matches or readings share a cause, its prior is theirs together.
struct CauseWords {
    Cause value;
    std::string_view word, text;
    Support support;
    double prior;
    std::string_view severity;  ///< what `LikelyCause::severity` is a share of; empty: nothing
};
template <>
inline constexpr CauseWords words_of<Cause>[] = {
    {Cause::nothing_wrong, "nothing_wrong", "nothing wrong: all of it lies within what is uncertain", Support::page,
     0.45, ""},
    {Cause::charge_low, "charge_low", "too little refrigerant", Support::published, 0.14, "of the charge missing"},
    {Cause::charge_high, "charge_high", "too much refrigerant", Support::published, 0.04, "of the charge too much"},
    {Cause::outdoor_airflow, "outdoor_airflow", "too little air through the outdoor coil (dirt, obstacles, its fan)",
     Support::published, 0.06, "of the outdoor airflow lost"},
    {Cause::liquid_restriction, "liquid_restriction", "a restriction in the liquid line or the metering device",
     Support::published, 0.025, "on the published model's scale"},
    {Cause::noncondensables, "noncondensables", "air or another gas in the refrigerant", Support::published, 0.015,
     "on the published model's scale"},
    {Cause::compressor, "compressor", "a compressor that pumps less than it should", Support::practice, 0.02,
     "of the capacity lost"},
    {Cause::return_leak, "return_leak", "air from outside drawn in behind the return probe", Support::physics, 0.04,
     "of the airflow drawn in"},
    {Cause::stage, "stage", "another stage ran", Support::page, 0.04, ""},
    {Cause::match, "match", "another indoor unit is installed", Support::page, 0.02, ""},
    {Cause::line_set, "line_set", "another line set is installed", Support::page, 0.01, ""},
    {Cause::boundary, "boundary", "the probes stand on another side of the fan than the visit says", Support::physics,
     0.02, ""},
    {Cause::reading, "reading", "a reading is off by more than it may be", Support::physics, 0.12, ""},
    {Cause::swapped, "swapped", "return and supply are swapped", Support::physics, 0.01,
     "of the expected capacity, once put right"},
    {Cause::other_mode, "other_mode", "the machine runs in the other mode than the visit says", Support::physics, 0.005,
     "of the expected capacity, once put right"},
    {Cause::elevation, "elevation", "the elevation is not the site's", Support::physics, 0.01,
     "of the expected capacity, once put right"},
};
inline constexpr std::size_t cause_count = std::size(words_of<Cause>);

/// How probable each cause is before anything was read: any numbers, which are divided by their sum.
struct CausePriors {
    /// By `Cause`. Of a visit that contradicts itself, by a coil boundary and a fan's power, `boundary` counts 25
    /// times.
    std::array<double, cause_count> of{};
    /// Of a reading that is off, which: by `Input`.
    std::array<double, input_count> reading{0.08, 0.12, 0.08, 0.2, 0.35, 0.07, 0.03, 0.02, 0.05, 0.05};
    /// Of two at once, all pairs together: a share of the sum of `of` (common practice, no source); each by the product
    /// of its causes' own.
    double two_at_once = 0.03;

    CausePriors() noexcept {
        for (const CauseWords& row : words_of<Cause>) of[static_cast<std::size_t>(row.value)] = row.prior;
    }
};

/// A quick look or one more reading that tells causes apart.
enum class CauseCheck : std::uint8_t {
    power,
    second_airflow,
    dry_bulbs_compared,
    humidities_compared,
    outdoor,
    barometer,
    stage,
    match,
    outdoor_unit,
    return_duct,
    subcooling,
    superheat,   ///< read with the subcooling, by the same gauges: never proposed by itself
    condensing,  ///< likewise
    probes,
};
/// A word, what to do, and how many minutes it takes (common practice, no source).
struct CauseCheckWords {
    CauseCheck value;
    std::string_view word, text;
    double minutes;
};
template <>
inline constexpr CauseCheckWords words_of<CauseCheck>[] = {
    {CauseCheck::power, "power", "measure the electric power of what the page prints, to 2 %", 10.0},
    {CauseCheck::second_airflow, "second_airflow", "measure the airflow a second way, good to 7 %", 30.0},
    {CauseCheck::dry_bulbs_compared, "dry_bulbs_compared",
     "hold both probes side by side in the return air for ten minutes, and compare their dry bulbs", 15.0},
    {CauseCheck::humidities_compared, "humidities_compared",
     "hold both probes side by side in the return air for ten minutes, and compare their humidities", 15.0},
    {CauseCheck::outdoor, "outdoor",
     "read the outdoor air in shade where it enters the outdoor coil, with a good probe", 5.0},
    {CauseCheck::barometer, "barometer", "read a barometer at the machine", 5.0},
    {CauseCheck::stage, "stage", "look which stage runs, and in which mode (thermostat, control board)", 5.0},
    {CauseCheck::match, "match", "read the data plates of both units, and measure the line set", 10.0},
    {CauseCheck::outdoor_unit, "outdoor_unit",
     "look whether the outdoor coil is clean and clear, and its fan runs right", 5.0},
    {CauseCheck::return_duct, "return_duct",
     "look for leaks and open panels between the return probe and the fan, and read the air at the coil", 20.0},
    {CauseCheck::subcooling, "subcooling",
     "with gauges, by somebody licensed to, all at one time: compare subcooling, superheat and condensing temperature "
     "with the maker's targets",
     25.0},
    {CauseCheck::superheat, "superheat", "with the gauges of the subcooling: compare superheat with the maker's target",
     25.0},
    {CauseCheck::condensing, "condensing",
     "with the gauges of the subcooling: compare the condensing temperature with the maker's", 25.0},
    {CauseCheck::probes, "probes", "look which probe stands in which air, and which of them is which in the readings",
     5.0},
};

/// What a check told since the visit.
struct CheckResult {
    CauseCheck check = CauseCheck::subcooling;
    /// `stage`, `match`, `outdoor_unit`, `return_duct`, `probes`: 1 where something is wrong, 0 where not.
    /// `subcooling`, `superheat`, `condensing`: K above the maker's target. Of readings how far the visit's stands
    /// above the better one: `second_airflow` as a share of it, `outdoor` K, `barometer` Pa; of both probes in the same
    /// air how far the supply's stands above the return's, K or in SI of their measure of humidity. Power that was
    /// measured since belongs into the visit.
    double value = 0.0;
};

/// One hypothesis, after all that was read.
struct LikelyCause {
    Cause cause = Cause::nothing_wrong;
    std::optional<Input> input;     ///< which reading, for `Cause::reading`
    std::optional<Input> or_input;  ///< another that would explain it too: of the probes' dry bulbs nothing here tells
                                    ///< which one is off. Severities are those of `input`, `probability` is of both
    std::int16_t stage = -1;        ///< which other stage ran, for `Cause::stage`: as `Expected::stage`
    std::int16_t match = -1;        ///< which other match, for `Cause::match`
    std::optional<Cause> also;      ///< a second one at the same time; `input` is its reading if it is `Cause::reading`
    double probability = 0.0;       ///< among all hypotheses
    double severity = 0.0;      ///< best estimate: a share of what `CauseWords::severity` says, 0 where there is none;
                                ///< of a reading how far it stands above the truth, SI
    double severity_low = 0.0;  ///< an interval that holds it with 95 %, if this is the cause
    double severity_high = 0.0;
    double also_severity = 0.0;  ///< of `also`, likewise
    double also_low = 0.0, also_high = 0.0;
    /// What stands behind its predictions; of two at once the weaker of both. By the cause, but a direction only where
    /// no model is published of it in the visit's mode.
    Support support = Support::published;
    double total = 1.0;     ///< measured over expected total that it predicts at that severity; 1 without a ratio
    double sensible = 1.0;  ///< the same of sensible
    double power = 1.0;     ///< the same of power
    double fit = 1.0;       ///< probability of readings, gauges among them, at least as far from what it predicts:
                            ///< small fits badly
};

/// What a check would bring.
struct NextCheck {
    CauseCheck check = CauseCheck::power;
    double gain = 0.0;   ///< expected information about the cause, bits
    double first = 0.0;  ///< chance that the cause then ranked first is the true one
};

/// Likely causes of one proof.
struct Causes {
    Reason reason;                    ///< why the proof has no ratio; then only what that reason names is ranked
    std::vector<LikelyCause> likely;  ///< most probable first; those below 0.1 % are left out
    double others = 0.0;              ///< what those have together
    double first = 0.0;               ///< chance that the first is the true one, as things stand
    bool two_at_once = false;         ///< no single cause fits: two at once are likelier, or one that is not listed
    std::vector<NextCheck> checks;    ///< what to do next: those that bring at least four fifths of what the best one
                                      ///< does, the quickest first; then the others
};

/// Whether a reason why there is no ratio names what may be wrong.
[[nodiscard]] inline bool names_causes(const Reason& reason) noexcept {
    return reason.why == Why::wrong_mode || reason.why == Why::implausible ||
           (reason.why == Why::contradictory && reason.about == About::pressure);
}

/// Whether there is something to explain: it falls short or is implausible, something contradicts itself, or what was
/// read is no machine's.
[[nodiscard]] inline bool asks_for_causes(const Proof& proof) noexcept {
    if (!proof.ratio) return names_causes(proof.reason);
    return proof.outcome == Outcome::falls_short || proof.outcome == Outcome::implausible ||
           proof.suspect != About::nothing;
}

/// Ranks the causes of what a proof found.
///
/// @param seen    what checks told since, each once
/// @param priors  in place of the stated ones
/// @throws InputError for a prior that is none, or a `CheckResult` that is told twice or that nothing can read
[[nodiscard]] Causes causes_of(const System& system, const Visit& visit, const Proof& proof,
                               std::span<const CheckResult> seen = {}, const CausePriors& priors = {});

}  // namespace offnominal
