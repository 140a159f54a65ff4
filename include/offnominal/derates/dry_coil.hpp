/// @file
/// The dry-coil rule: where sensible would exceed total the coil is dry, wet bulb stops mattering, and the answer is
/// total = sensible at the wet bulb where the two meet (the knee).
///
/// Source: as the notes of printed expanded ratings state it for dry columns, and the physics behind it: a dry coil's
/// capacity depends on entering dry bulb alone, so it equals the wet coil's at the wet bulb where latent vanishes. The
/// same rule stands in the specification of the HVAC BESTEST dry-coil cases (NREL/TP-550-30152, E100 to E120).
#pragma once

#include <cstdlib>
#include <span>

#include "offnominal/answer.hpp"
#include "offnominal/detail/contract.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::derates {
inline namespace OFFNOMINAL_ISA {

/// The wet bulb above `from` where sensible - total changes sign.
///
/// @param excess  sensible less total (W) as a function of entering wet bulb (degC): `Answer<double>(double)`; falling.
/// @param from    where the coil is dry: excess(from) = `excess_from` > 0.
/// @param breakpoints  wet bulbs of the page: between two of them `excess` is smooth.
/// @param last    the highest wet bulb to look at (the entering dry bulb, or the page's edge).
/// @return the knee, a reason of `excess`, or Why::no_knee.
template <class Excess>
[[nodiscard]] Answer<double> knee(const Excess& excess, double from, double excess_from,
                                  std::span<const double> breakpoints, double last) noexcept {
    double lo = from, f_lo = excess_from, hi = from, f_hi = excess_from;
    std::size_t next = 0;
    while (f_hi > 0.0) {
        lo = hi;
        f_lo = f_hi;
        while (next < breakpoints.size() && breakpoints[next] <= lo) ++next;
        if (!(lo < last))
            return Reason{Why::no_knee, About::entering_wet_bulb, -1, -1, from, breakpoints.front(), last};
        hi = next < breakpoints.size() && breakpoints[next] < last ? breakpoints[next] : last;
        const auto f = excess(hi);
        if (!f) return f.reason();
        f_hi = *f;
    }
    // False position with halving of the stale end (Illinois): the function is nearly straight within a cell, so two or
    // three steps meet the tolerance; the count is only a bound.
    int stale = 0;
    for (int step = 0; step < 100 && hi - lo > 1e-11 && f_hi < 0.0; ++step) {
        double x = lo + (hi - lo) * (f_lo / (f_lo - f_hi));
        if (!(x > lo && x < hi)) x = 0.5 * (lo + hi);
        const auto f = excess(x);
        if (!f) return f.reason();
        if (std::abs(*f) <= 1e-9) return x;  // a nanowatt
        if (*f > 0.0) {
            lo = x;
            f_lo = *f;
            if (stale == 1) f_hi *= 0.5;
            stale = 1;
        } else {
            hi = x;
            f_hi = *f;
            if (stale == -1) f_lo *= 0.5;
            stale = -1;
        }
    }
    return hi;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::derates
OFFNOMINAL_EXACT_END
