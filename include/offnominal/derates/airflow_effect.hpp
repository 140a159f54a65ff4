/// @file
/// What another airflow does to a page that is printed at one: published curves of residential machines.
///
/// Capacity and input per capacity are polynomials of the airflow over the page's (FF), 1 at FF = 1:
///     f(FF) = a1 + a2 FF + a3 FF^2.
/// Source: Cutler, Winkler, Kruis, Christensen, Brandemuehl 2013, NREL/TP-5500-56354, single speed (as found in public
/// government code: tests/published/cutler_airflow_curves.yaml). The bypass factor follows from a coil of so many
/// transfer units, which go with 1 / FF: BF = BF_page^(1 / FF) (common practice, no source).
#pragma once

#include "offnominal/air.hpp"
#include "offnominal/derates/line_set.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::derates {

/// The curves are used for airflows between these shares of the page's: the least value they were checked at, and a
/// little more than the greatest.
inline constexpr double least_airflow = 0.6, greatest_airflow = 1.2;

/// A relative standard uncertainty of total for each unit of airflow off the page's. Three unlike models of coil and
/// compressor are off by more than twice that in under 5 % of cases (tests/expect/one_airflow.cpp).
inline constexpr double airflow_uncertainty = 0.035;

inline namespace OFFNOMINAL_ISA {

/// Factors of total and power at an airflow of `ratio` times the page's; exactly 1 at 1.
[[nodiscard]] constexpr Factors airflow_effect(double ratio, bool heating) noexcept {
    if (ratio == 1.0) return {};
    struct Curve {
        double a1, a2, a3;
        constexpr double at(double x) const noexcept { return a1 + x * (a2 + x * a3); }
    };
    constexpr Curve cooling_capacity{0.718664047, 0.41797409, -0.136638137},
        cooling_input{1.143487507, -0.13943972, -0.004047787}, heating_capacity{0.694045465, 0.474207981, -0.168253446},
        heating_input{2.185418751, -1.942827919, 0.757409168};
    const double total = heating ? heating_capacity.at(ratio) : cooling_capacity.at(ratio);
    return {total, total * (heating ? heating_input.at(ratio) : cooling_input.at(ratio))};
}

/// The bypass factor of a coil at `ratio` times the airflow at which it has `bypass`.
[[nodiscard]] inline double bypass_at(double ratio, double bypass) noexcept {
    if (ratio == 1.0 || !(bypass > 0.0)) return bypass;
    return air::elementary::exp(air::elementary::log(bypass) / ratio);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
