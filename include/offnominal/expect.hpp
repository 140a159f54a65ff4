/// @file
/// What a machine should deliver under given conditions.
///
/// The order of the steps is fixed: air states at station pressure; airflow to dry-air mass; stage and match select the
/// page (net pages were turned gross at their nodes when built); wet-line total, uncapped sensible, power and bypass
/// between the nodes; match, line-set and altitude factors on gross total; sensible for the changed total by the
/// matched coil; entering dry bulb; the dry-coil rule last in gross; fan heat to the boundary; leaving state;
/// uncertainty.
#pragma once

#include "offnominal/expect/frame.hpp"
#include "offnominal/expect/speed.hpp"
#include "offnominal/expect/words.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {
/// `try_expect`, for a question that may follow the page's edge cells as no caller can ask.
[[nodiscard]] inline Answer<Expected> answer_to(const System& system, const Site& site,
                                                const Question& question) noexcept {
    return Answer<Expected>::built([&](Expected& out) noexcept {
        return question.values.speed.given() ? expect_at_speed(system, site, question, out)
                                             : expect_at_stage(system, site, question, out);
    });
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// What the system should deliver, or a reason. Thread-safe, allocation-free; the same bits alone or in a batch.
///
/// In heating there are these reasons too: Why::no_output about heating capacity (no heating page), or about frost (the
/// stage has a page, but none of the kind asked for: they are never converted silently); Why::not_given about frost,
/// auxiliary heat, or a humidity that is needed.
[[nodiscard]] inline Answer<Expected> try_expect(const System& system, const Site& site,
                                                 const Conditions& conditions) noexcept {
    return detail::answer_to(system, site, conditions);
}

/// As `try_expect`. @throws Refused, worded with the system's own names, where that has a reason.
[[nodiscard]] inline Expected expect(const System& system, const Site& site, const Conditions& conditions) {
    const auto answer = try_expect(system, site, conditions);
    if (!answer) detail::raise(Refused(answer.reason(), explain(answer.reason(), system, conditions)));
    return *answer;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
