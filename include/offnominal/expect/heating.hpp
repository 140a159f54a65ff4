/// @file
/// What a machine should deliver in heating.
///
/// The order of the steps: air states at station pressure; airflow to dry-air mass, then to the page's own standard
/// airflow; the page of the stage and of the *kind of heating asked for*; gross capacity and power between its nodes
/// (net pages were turned gross when built); a defrost table's factors, where integrated heating is asked for and only
/// an instantaneous page and such a table exist; the indoor fan's heat, which heating *gains*; leaving state;
/// uncertainty.
///
/// Match, line-set and altitude factors of a system are printed for cooling: none is applied here, and a note says so.
/// The page is entered with the dry bulb entering at the boundary: in a blow-through unit the coil's air is warmer by
/// the fan (420 W at 1100 scfm: 1.2 delta_degF), which moves heating capacity by less than 0.5 %.
#pragma once

#include "offnominal/expect/heating_run.hpp"
#include "offnominal/expect/heating_words.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// What the system should deliver in heating, or a reason. Thread-safe, allocation-free.
///
/// Beside the reasons that `try_expect` has: Why::no_output about heating capacity (no heating page), or about frost
/// (the stage has a page, but none of the kind asked for: they are never converted silently); Why::not_given about
/// frost, auxiliary heat, or a humidity that is needed.
[[nodiscard]] inline Answer<ExpectedHeating> try_expect_heating(const System& system, const Site& site,
                                                                const HeatingConditions& conditions) noexcept {
    const auto run = detail::HeatingRun::begin(system, site, conditions);
    if (!run) return run.reason();
    return run->answer();
}

/// As `try_expect_heating`. @throws Refused, worded with the system's own names, where that has a reason.
[[nodiscard]] inline ExpectedHeating expect_heating(const System& system, const Site& site,
                                                    const HeatingConditions& conditions) {
    const auto answer = try_expect_heating(system, site, conditions);
    if (!answer) throw Refused(answer.reason(), explain(answer.reason(), system, conditions));
    return *answer;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
