/// @file
/// How an expected capacity moves with one condition, on one side: at a breakpoint of the page and at the wet bulb
/// where a coil turns dry the two sides differ, and a slope across such a kink would be neither.
#pragma once

#include <optional>

#include "offnominal/expect.hpp"

namespace offnominal {

/// The condition a slope is taken along; the others stay, entering wet bulb too when entering dry bulb moves.
enum class Along : std::uint8_t { outdoor_dry_bulb, entering_dry_bulb, entering_wet_bulb, airflow };
template <>
inline constexpr Word<Along> words_of<Along>[] = {{Along::outdoor_dry_bulb, "outdoor_dry_bulb"},
                                                  {Along::entering_dry_bulb, "entering_dry_bulb"},
                                                  {Along::entering_wet_bulb, "entering_wet_bulb"},
                                                  {Along::airflow, "airflow"}};

/// Slopes in W per K, or per unit of the airflow as given (m3/s, kg/s).
struct Slopes {
    double total = 0.0;
    std::optional<double> sensible;
    std::optional<double> power;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// Slopes of the capacities at the boundary and of power, or a reason; that of `try_expect` where the answer, or its
/// neighbour on that side, has one. Three answers, one-sided, second order: the slope a kelvin's thousandth away is the
/// same within a cell of the page, so the error is rounding (relative 1e-8).
[[nodiscard]] inline Answer<Slopes> try_slopes(const System& system, const Site& site, const Conditions& asked,
                                               Along along, Side side) noexcept {
    if (!known(along)) return detail::no_choice(About::axis, along);
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    Conditions conditions = asked;
    if (conditions.entering_humidity.kind != air::Humidity::Kind::wet_bulb) {
        const auto air =
            air::try_state(conditions.entering_dry_bulb, conditions.entering_humidity, Pressure{*pressure});
        if (!air) return air.reason();
        conditions.entering_humidity = air::wet_bulb(air::wet_bulb(*air));
    }
    const double size = along == Along::airflow ? 1e-5 * conditions.airflow.si : 1e-3;  // K
    const double step = side == Side::upper ? size : -size;
    const auto moved = [&](double by) noexcept {
        Conditions c = conditions;
        switch (along) {
            case Along::outdoor_dry_bulb:
                c.outdoor_dry_bulb.si += by;
                break;
            case Along::entering_dry_bulb:
                c.entering_dry_bulb.si += by;
                break;
            case Along::entering_wet_bulb:
                c.entering_humidity.value += by;
                break;
            case Along::airflow:
                c.airflow.si += by;
                break;
        }
        return try_expect(system, site, c);
    };
    const auto here = moved(0.0), once = moved(step), twice = moved(2.0 * step);
    for (const auto* answer : {&here, &once, &twice})
        if (!*answer) return answer->reason();
    const auto slope = [&](double a, double b, double c) { return (4.0 * b - 3.0 * a - c) / (2.0 * step); };
    const auto slope_of = [&](std::optional<Power> ExpectedValues::*quantity) -> std::optional<double> {
        const auto &a = (*here).*quantity, &b = (*once).*quantity, &c = (*twice).*quantity;
        if (!a || !b || !c) return std::nullopt;
        return slope(a->si, b->si, c->si);
    };
    return Slopes{slope(here->total_capacity.si, once->total_capacity.si, twice->total_capacity.si),
                  slope_of(&Expected::sensible_capacity), slope_of(&Expected::power)};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
