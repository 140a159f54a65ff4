// Worked example 7 (invented): example 2's readings held against Unit A at 91 degF outdoors.
#pragma once

#include <cmath>

#include "offnominal/proof.hpp"
#include "unit_a.hpp"

namespace unit_a {

inline Visit example_7() {
    Visit v;
    v.site = Site::at(0_ft, air::pressure_at(0_ft));  // a barometer that counts as exact, as the example takes it
    v.stage = "full";
    v.boundary = Boundary::coil_and_fan;
    v.readings = example_2();
    v.outdoor_dry_bulb = 91_degF;
    v.fan_power = 420_W;
    v.limit = 0.90;
    v.steady = true;
    v.of(Input::return_dry_bulb).standard = (from(0.35, units::delta_degF)).si;
    v.of(Input::supply_dry_bulb).standard = v.of(Input::return_dry_bulb).standard;
    v.of(Input::return_humidity).standard = 0.0125;
    v.of(Input::supply_humidity).standard = 0.015;
    v.of(Input::airflow).standard = 0.035 * v.readings.airflow.si;
    v.of(Input::outdoor_dry_bulb).standard = 0.5 / 1.8;
    // Counted as exact, as the example does; 0 would say that nothing is known.
    v.of(Input::pressure).standard = v.of(Input::fan_power).standard = v.of(Input::power).standard = 1e-6;
    return v;
}

inline const BudgetLine& line_of(const Proof& p, Input input) {
    for (const BudgetLine& line : p.budget)
        if (line.input == input) return line;
    throw std::logic_error("no such line");
}

/// Relative standard uncertainty of the ratio by the inputs alone, none of which go together: first order, as the
/// example has it.
inline double by_inputs(const Proof& p) {
    double squares = 0.0;
    for (const BudgetLine& line : p.budget) squares += line.ratio * line.ratio;
    return std::sqrt(squares);
}
/// The ratio as the two sides stand; `Proof::ratio` is the mean of its distribution.
inline double as_read(const Proof& p) { return p.delivered.total_capacity.si / p.expected->total_capacity.si; }

/// The example page with a stated tolerance of 0 and exact numbers: only the inputs' uncertainties, as in the example.
inline PrintedPage sharp_page() {
    PrintedPage p = page();
    p.total_step = p.power_step = 0.0;
    return p;
}
inline Basis exact_basis() {
    Basis b = basis();
    b.tolerance = 0.0;
    return b;
}
inline System exact_page() { return system(exact_basis(), sharp_page()); }

}  // namespace unit_a
