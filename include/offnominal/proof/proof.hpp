/// @file
/// What a proof says, as plain data.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "offnominal/expected.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/visit.hpp"

namespace offnominal {

enum class Outcome : std::uint8_t {
    meets,           ///< the probability of reaching the limit is at least the confidence asked for
    falls_short,     ///< ... is at most one less that confidence
    undecided,       ///< in between
    implausible,     ///< ratio above 1.10 and above 1 by more than its expanded uncertainty: a measuring error, not a
                     ///< superb unit
    not_comparable,  ///< no ratio: `Proof::reason` says why
};

/// One line of the uncertainty budget. Contributions are relative: what a rise by one standard uncertainty does.
struct BudgetLine {
    Input input = Input::airflow;
    double standard = 0.0;     ///< standard uncertainty of the input, SI
    double delivered = 0.0;    ///< relative change of delivered total
    double expected = 0.0;     ///< relative change of expected total
    double ratio = 0.0;        ///< relative change of the ratio
    double power_ratio = 0.0;  ///< relative change of measured over expected power; 0 where the two are not compared
    double share = 0.0;        ///< of the ratio's variance (covariances split evenly); may be negative with correlation
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
    std::int16_t stage = -1;            ///< index of the page, as `Expected::stage`
    std::optional<double> ratio;        ///< delivered over this stage's expected total; empty: see `reason`
    std::optional<double> power_ratio;  ///< measured over this stage's expected power, where the two are alike
    Reason reason;                      ///< why the page has no answer
};

/// The proof of one visit.
struct Proof {
    Outcome outcome = Outcome::not_comparable;
    Reason reason;                ///< why not comparable
    std::optional<double> ratio;  ///< delivered total / expected total
    double ratio_u = 0.0;         ///< standard uncertainty of the ratio
    double ratio_u95 = 0.0;       ///< expanded, coverage factor 2 (about 95 %)
    double probability = 0.0;     ///< that the true ratio is at least the limit
    double limit = 0.0;
    double confidence = 0.0;
    std::array<BudgetLine, input_count> budget{};  ///< largest share first
    double expected_u = 0.0;                       ///< relative standard uncertainty of the expected side's own terms
    double expected_share = 0.0;                   ///< their share of the ratio's variance
    std::optional<Comparison> power;               ///< W; empty: see `no_power`
    std::optional<Comparison> efficiency;  ///< W/W, total at the boundary per power of `power`; empty: see `no_power`
    Reason no_power;                       ///< no ratio, no power measured, or not the same things in it
    std::vector<StageFit> nearest;  ///< the stages, best fit first: where which one ran (or at which speed) is in doubt
    Delivered delivered;
    std::optional<Expected> expected;  ///< empty where the page has no answer
    Notes notes;
};

}  // namespace offnominal
