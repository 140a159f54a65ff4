/// @file
/// Judges virtual visits three ways, and counts who was right.
#pragma once

#include <array>
#include <atomic>
#include <exception>
#include <optional>
#include <thread>
#include <vector>

#include "bound.hpp"

namespace trial {

using offnominal::Outcome;
using offnominal::Proof;
using offnominal::Visit;

/// What became of one visit.
struct Result {
    double ratio = 0.0;    ///< the true one
    std::size_t make = 0;  ///< which of the makes
    bool told = false;     ///< a ratio was told
    double read = 0.0;     ///< ... this one
    double u95 = 0.0;      ///< ... give or take this
    double low = 0.0;      ///< the interval that is said to hold the true one with 95 %
    double high = 0.0;
    double joint = 0.0;  ///< the ratio by all that was read, where the proof tells one; else `read`
    double joint_u = 0.0;
    double probability = 0.5;    ///< that the true ratio reaches the limit
    double page_u = 0.0;         ///< relative standard uncertainty of the expected side alone
    double bend = 0.0;           ///< what the proof adds to a straight reading of the page, as a share of it
    double bound_chance = 0.5;   ///< by `Bound`: that the true ratio reaches 0.90
    double bound_airflow = 0.0;  ///< by `Bound`: how much speaks for a wrong airflow
    /// By `Bound`, without power and with it: how much speaks for 1.00 over the limit, and for 0.80.
    std::array<double, 2> bound_sound{}, bound_weak{};
    bool off_page = false;       ///< no proof, because the page has no answer there
    bool refused = false;        ///< an error instead of a proof
    bool noticed = false;        ///< something was said that an honest visit is not told
    bool names_airflow = false;  ///< the airflow is what it suspects
    bool honest_told = true;     ///< of a slip: the visit had a ratio before
    Outcome outcome = Outcome::not_comparable;
    Outcome uncapped = Outcome::not_comparable;      ///< what it would be, but for what contradicts
    Outcome naive = Outcome::not_comparable;         ///< the reading against the limit, nothing else
    Outcome uncorrelated = Outcome::not_comparable;  ///< as if the two sides' errors had nothing in common

    [[nodiscard]] bool covered() const noexcept { return ratio >= low && ratio <= high; }
    [[nodiscard]] bool joint_covered() const noexcept { return std::abs(joint - ratio) <= 2.0 * joint_u; }
};

/// A proof, or nothing where the library refused the visit.
[[nodiscard]] inline std::optional<Proof> proof_of(const offnominal::System& system, const Visit& visit) {
    try {
        return prove(system, visit);
    } catch (const offnominal::Refused&) {
    } catch (const offnominal::InputError&) {
    }
    return std::nullopt;
}

/// The naive rule: delivered over expected, page and readings believed, edges and dry corners read through.
[[nodiscard]] inline Outcome naive_verdict(const Make& make, const Visit& visit) {
    using namespace offnominal;
    Readings readings = visit.readings;
    readings.fan = make.layout.fan;
    readings.fan_power = visit.fan_power;
    const auto delivered = try_deliver(readings, visit.site);
    if (!delivered) return Outcome::not_comparable;
    const auto expected = by_finger(make, visit, readings, delivered->mass_flow);
    if (!expected) return Outcome::not_comparable;
    return delivered->total_capacity.si / expected->total_capacity.si >= *visit.limit ? Outcome::meets
                                                                                      : Outcome::falls_short;
}

/// The same proof with the uncertainties of delivered and of expected taken as independent.
[[nodiscard]] inline Outcome uncorrelated_verdict(const Proof& proof) {
    if (!proof.ratio) return Outcome::not_comparable;
    double variance = proof.expected_u * proof.expected_u;
    for (const offnominal::BudgetLine& line : proof.budget)
        variance += line.delivered * line.delivered + line.expected * line.expected;
    const double probability =
        offnominal::probability_at_least(proof.limit, *proof.ratio, *proof.ratio * std::sqrt(variance));
    if (probability >= proof.confidence) return Outcome::meets;
    return probability <= 1.0 - proof.confidence ? Outcome::falls_short : Outcome::undecided;
}

/// Whether there is no proof for no other reason than that the page has no answer there.
[[nodiscard]] inline bool is_off_page(const Proof& proof) {
    using offnominal::Why;
    if (proof.outcome != Outcome::not_comparable) return false;
    for (const Why why : {Why::outside, Why::blank, Why::beyond_limit, Why::no_wet_line, Why::no_knee,
                          Why::no_coil_state, Why::not_inferred})
        if (proof.reason.why == why) return true;
    return false;
}

/// Whether a proof says that something does not fit.
[[nodiscard]] inline bool objects(const Proof& proof) {
    if (proof.outcome == Outcome::not_comparable) return !is_off_page(proof);
    return proof.outcome == Outcome::implausible || proof.suspect != offnominal::About::nothing ||
           proof.notes.has(offnominal::Note::other_stage);
}

/// Whether a slip was answered otherwise than the honest visit, in the lines that are printed if nothing more is asked
/// for: no proof, an objection, or a note beside the verdict.
[[nodiscard]] inline bool notices_slip(const std::optional<Proof>& proof, const Proof& honest) {
    if (!proof || proof->outcome == Outcome::not_comparable || objects(*proof)) return true;
    for (const offnominal::Note note : offnominal::told_with_verdict)
        if (proof->notes.has(note) && !honest.notes.has(note)) return true;
    return false;
}

[[nodiscard]] inline Result judge(const VisitCase& v, const Kit& kit) {
    Result result;
    result.ratio = v.ratio;
    const auto proof = proof_of(v.make->system, v.visit);
    result.naive = naive_verdict(*v.make, v.visit);
    result.refused = !proof;
    if (proof) {
        result.outcome = proof->outcome;
        result.uncapped = proof->uncapped.value_or(proof->outcome);
        result.uncorrelated = uncorrelated_verdict(*proof);
        result.told = proof->ratio.has_value();
        result.read = proof->ratio.value_or(0.0);
        result.u95 = proof->ratio_u95;
        result.probability = proof->probability;
        result.page_u = proof->expected_u;
        result.bend = proof->bend;
        result.low = proof->ratio_low;
        result.high = proof->ratio_high;
        result.joint = proof->joint_ratio.value_or(result.read);
        result.joint_u = proof->joint_ratio ? proof->joint_u : proof->ratio_u;
        result.off_page = is_off_page(*proof);
        if (proof->ratio) {
            const Bound bound(v, kit, *proof);
            result.bound_chance = bound.chance(proof->limit);
            result.bound_airflow = bound.wrong_airflow();
            const Bound blind(v, kit, *proof, false);
            result.bound_sound = {blind.evidence(1.00, proof->limit), bound.evidence(1.00, proof->limit)};
            result.bound_weak = {blind.evidence(0.80, proof->limit), bound.evidence(0.80, proof->limit)};
            result.names_airflow = proof->suspect == offnominal::About::airflow;
        }
    }
    if (v.clean) {
        const auto honest = proof_of(v.make->system, *v.clean);
        result.honest_told = honest && honest->ratio;
        result.noticed = honest && notices_slip(proof, *honest);
    } else {
        result.noticed = !proof || objects(*proof);
    }
    return result;
}

/// All visits of a row, in order. The numbers are the same whatever the number of threads.
/// @param number  of the row: part of the seed
[[nodiscard]] inline std::vector<Result> run(const std::vector<Make>& makes, const Row& row, std::uint64_t seed,
                                             std::uint64_t number, unsigned threads) {
    constexpr int block = 16;
    std::vector<Result> results(static_cast<std::size_t>(row.visits));
    std::atomic<int> next{0};
    std::atomic_flag failed;
    std::exception_ptr failure;
    const auto work = [&] {
        try {
            for (int first = next.fetch_add(block); first < row.visits; first = next.fetch_add(block))
                for (int i = first; i < std::min(first + block, row.visits); ++i) {
                    const VisitCase v = visit_of(makes, row, seed, number, i);
                    Result result = judge(v, *row.kit);
                    result.make = static_cast<std::size_t>(v.make - makes.data());
                    results[static_cast<std::size_t>(i)] = result;
                }
        } catch (...) {
            if (!failed.test_and_set()) failure = std::current_exception();
        }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < threads; ++t) others.emplace_back(work);
    work();
    for (std::thread& thread : others) thread.join();
    if (failure) std::rethrow_exception(failure);
    return results;
}

/// A share of visits, and how far chance alone may move it: the half width of its 95 % interval (Wilson 1927).
struct Share {
    int hits = 0, of = 0;

    [[nodiscard]] double value() const noexcept { return of == 0 ? 0.0 : static_cast<double>(hits) / of; }
    [[nodiscard]] double half_width() const noexcept {
        if (of == 0) return 0.0;
        constexpr double z = 1.96;
        const double n = of, p = value();
        return z / (1.0 + z * z / n) * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    }
};

/// How many of the results have a property, among those that have another.
template <class Has, class Among>
[[nodiscard]] Share share(const std::vector<Result>& results, Has&& has, Among&& among) {
    Share out;
    for (const Result& r : results)
        if (among(r)) {
            ++out.of;
            out.hits += has(r) ? 1 : 0;
        }
    return out;
}
template <class Has>
[[nodiscard]] Share share(const std::vector<Result>& results, Has&& has) {
    return share(results, has, [](const Result&) { return true; });
}

}  // namespace trial
