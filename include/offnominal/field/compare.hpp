/// @file
/// Two probes held side by side in one air stream: how far they are apart, and what to do about it.
#pragma once

#include <cstdint>
#include <limits>
#include <string_view>
#include <vector>

#include "offnominal/field/mean.hpp"
#include "offnominal/units.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// What to do with two probes that were compared.
enum class ProbeAdvice : std::uint8_t { accept, apply, replace };
template <>
inline constexpr Word<ProbeAdvice> words_of<ProbeAdvice>[] = {
    {ProbeAdvice::accept, "accept"}, {ProbeAdvice::apply, "apply"}, {ProbeAdvice::replace, "replace"}};

/// Why.
enum class ProbeFinding : std::uint8_t { agree, apart, too_short, drifts, out_of_tolerance };
/// A word, the advice that follows, and a sentence.
struct ProbeFindingWords {
    ProbeFinding value;
    std::string_view word;
    ProbeAdvice advice;
    std::string_view text;
};
template <>
inline constexpr ProbeFindingWords words_of<ProbeFinding>[] = {
    {ProbeFinding::agree, "agree", ProbeAdvice::accept, "they agree: use both as they are"},
    {ProbeFinding::apart, "apart", ProbeAdvice::apply,
     "they are apart by a steady amount: subtract the offset from the second"},
    {ProbeFinding::too_short, "too_short", ProbeAdvice::replace,
     "the offset is not known well enough to apply: compare for longer, or replace one"},
    {ProbeFinding::drifts, "drifts", ProbeAdvice::replace,
     "they drift apart while they are compared: let them settle and compare again, or replace one"},
    {ProbeFinding::out_of_tolerance, "out_of_tolerance", ProbeAdvice::replace,
     "they are further apart than both of their accuracies allow: one of them is wrong; replace or calibrate"},
};

/// Two probes, compared. All in SI, as differences: second less first.
struct ProbeComparison {
    SeriesMean offset;
    double drift = 0.0;            ///< of the difference, over the whole comparison
    double drift_standard = 0.0;   ///< standard uncertainty of the drift
    double log_correlation = 0.0;  ///< of the two logs: whether they saw the same air move; NaN where one never moves
    double own = 0.0;              ///< standard uncertainty left between the two once the advice is followed
    /// The shared part of their errors, for `SideBySide::correlation`: u / sqrt(u^2 + own^2), where u is the standard
    /// uncertainty of the first, to which the second was corrected (JCGM 100:2008, F.1.2.3). NaN where that is not
    /// known, or the advice is to replace.
    double correlation = std::numeric_limits<double>::quiet_NaN();
    ProbeFinding finding = ProbeFinding::agree;
};

/// What two probes are held to.
struct ProbeCriteria {
    double agreement = 0.0;                                   ///< greatest offset of two that agree, and greatest drift
    double first = std::numeric_limits<double>::quiet_NaN();  ///< standard uncertainty of the first; NaN: not known
    double second = std::numeric_limits<double>::quiet_NaN();  ///< likewise

    /// By practice: 0.3 delta_degF, 1 point of relative humidity (`practice.hpp`).
    /// @throws InputError for another dimension: then the agreement is the caller's to say
    [[nodiscard]] static ProbeCriteria of(Dimension dimension);
};

/// Compares two logs of readings taken at the same times.
///
///  - They drift if the drift over the comparison is more than `agreement`, and more than its 95 % interval.
///  - The comparison is too short if the offset's 95 % interval is wider than `agreement` on either side.
///  - Otherwise they agree if their offset is no more than `agreement`, and are apart if it is more.
///  - Where both accuracies are known, an offset of more than twice their root sum of squares is out of tolerance
///    (the normalised error E_n of ISO/IEC 17043, from memory).
///
/// @param times  seconds, rising; evenly spaced readings are assumed for the uncertainties
/// @throws InputError for fewer than ten readings, lists of unlike length, times that do not rise
[[nodiscard]] ProbeComparison compare_probes(const std::vector<double>& times, const std::vector<double>& first,
                                             const std::vector<double>& second, const ProbeCriteria& criteria);

}  // namespace offnominal
