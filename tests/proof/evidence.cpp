// What the joint least squares of a proof need not be told, because it is told already.
#include <doctest/doctest.h>

#include "../support/example_7.hpp"
#include "../support/near.hpp"

using namespace unit_a;

namespace {

constexpr std::array moved_inputs{Input::return_dry_bulb, Input::return_humidity, Input::supply_dry_bulb,
                                  Input::supply_humidity, Input::airflow,         Input::outdoor_dry_bulb,
                                  Input::pressure,        Input::fan_power};
using ByInput = std::array<double, moved_inputs.size()>;

double dot(const ByInput& a, const ByInput& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
    return sum;
}

/// What a standard uncertainty of each input does to what was read over, or less, what was expected.
struct Design {
    ByInput total{}, sensible{}, split{}, wet_bulb{}, power{}, efficiency{};
};

Design design_of(const System& system, const Visit& visit) {
    const auto sides = [&](Input input, double sign) {
        Visit v = visit;
        Readings& r = v.readings;
        const double off = sign * v.of(input).standard;
        if (input == Input::return_dry_bulb) r.return_dry_bulb.si += off;
        if (input == Input::return_humidity) r.return_humidity.value += off;
        if (input == Input::supply_dry_bulb) r.supply_dry_bulb.si += off;
        if (input == Input::supply_humidity) r.supply_humidity.value += off;
        if (input == Input::airflow) r.airflow.si += off;
        if (input == Input::outdoor_dry_bulb) v.outdoor_dry_bulb.si += off;
        if (input == Input::pressure) v.site = Site::at_pressure(Pressure{*v.site.pressure() + off});
        if (input == Input::fan_power) v.fan_power.si += off;
        const Proof p = prove(system, v);
        const Expected& e = *p.expected;
        const Delivered& d = p.delivered;
        return std::array{std::log(d.total_capacity.si / e.total_capacity.si),
                          std::log(d.sensible_capacity.si / e.sensible_capacity->si),
                          std::log(p.split->ratio),
                          air::wet_bulb(d.supply_air).si - e.leaving->wet_bulb.si,
                          std::log(p.power->ratio),
                          std::log(p.efficiency->ratio)};
    };
    Design out;
    for (std::size_t i = 0; i < moved_inputs.size(); ++i) {
        const auto high = sides(moved_inputs[i], 1.0), low = sides(moved_inputs[i], -1.0);
        ByInput* const columns[]{&out.total, &out.sensible, &out.split, &out.wet_bulb, &out.power, &out.efficiency};
        for (std::size_t k = 0; k < std::size(columns); ++k) (*columns[k])[i] = 0.5 * (high[k] - low[k]);
    }
    return out;
}

/// The part of `row` that no sum of `a` and `b` has, as a share of it.
double left_of(const ByInput& row, const ByInput& a, const ByInput& b) {
    const double aa = dot(a, a), ab = dot(a, b), bb = dot(b, b), ra = dot(row, a), rb = dot(row, b),
                 determinant = aa * bb - ab * ab, x = (ra * bb - rb * ab) / determinant,
                 y = (rb * aa - ra * ab) / determinant;
    ByInput rest = row;
    for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= x * a[i] + y * b[i];
    return std::sqrt(dot(rest, rest) / dot(row, row));
}

/// Small steps, so that what bends is no matter; a barometer and a fan's meter of their own.
Visit in_small_steps(Visit v) {
    v.of(Input::pressure).standard = 0.005 * *v.site.pressure();
    v.of(Input::fan_power).standard = 0.03 * v.fan_power.si;
    for (Uncertain& u : v.uncertainty) u.standard *= 0.02;
    v.power = PowerReading{PowerBasis::outdoor_unit, 2400_W};
    v.of(Input::power).standard = 0.01 * 2400.0;
    return v;
}

}  // namespace

TEST_CASE(
    "leaving wet bulb, split and efficiency are total, sensible and power over again: the design has no more rank") {
    // A machine as the page has it: the supply leaves as it is expected to.
    Visit v = in_small_steps(example_7());
    for (int i = 0; i < 5; ++i) {
        const auto leaving = *prove(exact_page(), v).expected->leaving;
        v.readings.supply_dry_bulb = leaving.dry_bulb;
        v.readings.supply_humidity = air::relative_humidity(leaving.relative_humidity);
    }
    const Design sound = design_of(exact_page(), v);
    CHECK(left_of(sound.sensible, sound.total, sound.power) > 0.3);  // these are three
    CHECK(left_of(sound.wet_bulb, sound.total, sound.sensible) < 0.001);
    CHECK(left_of(sound.split, sound.sensible, sound.total) < 0.001);
    CHECK(left_of(sound.efficiency, sound.total, sound.power) < 1e-6);
    // The supply's humidity moves wet bulb and total alike, and neither of the others.
    constexpr std::size_t humidity = 3;
    CHECK(std::abs(sound.sensible[humidity]) < 0.03 * std::abs(sound.total[humidity]));
    // Of a weak machine what is left is of second order: half as weak, half as much.
    const auto left_of_weak = [&](double warmer) {
        Visit weak = v;
        weak.readings.supply_dry_bulb.si += warmer;
        const Design design = design_of(exact_page(), weak);
        CHECK(left_of(design.split, design.sensible, design.total) < 0.05);
        return left_of(design.wet_bulb, design.total, design.sensible);
    };
    const double weak = left_of_weak(1.5);
    CHECK(weak < 0.12);
    CHECK(near(left_of_weak(0.75), 0.5 * weak, relative(0.1)));
}
