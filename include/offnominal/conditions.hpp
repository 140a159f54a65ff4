/// @file
/// The question: under which conditions, at which boundary.
#pragma once

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>

#include "offnominal/air.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/ratings/basis.hpp"
#include "offnominal/ratings/heating.hpp"

namespace offnominal {

/// A compressor's speed, and the unit it was told in: a drive's Hz and a shaft's rpm are different measures, poles
/// apart, and % is of the fastest.
struct Speed {
    double si = std::numeric_limits<double>::quiet_NaN();
    Unit unit = units::one;

    /// `Speed::of(45, units::Hz)`, `Speed::of(60, units::percent)`
    [[nodiscard]] OFFNOMINAL_INLINE static Speed of(double value, const Unit& unit) noexcept {
        return {unit.to_si(value), unit};
    }
    [[nodiscard]] bool given() const noexcept { return si == si; }
    /// What it is a measure of, to compare with another's: Hz, rpm, or % for any ratio.
    [[nodiscard]] static std::string_view measure(const Unit& unit) noexcept {
        return unit.dimension == Dimension::ratio ? "%" : unit.name;
    }
};

/// How far past the edge of one axis alone there is an answer, whatever holds past the others. It costs certainty, the
/// more the farther (`ExpectedUncertainty::outside`).
struct Hold {
    TemperatureDifference outdoor_dry_bulb{0.0};  ///< that of the edge: past a page's, and a defrost table's
    Length line_length{0.0};                      ///< that of the edge: past those that the line-set table prints
    /// The edge cell continued, past a page's wet bulbs: many coils turn dry below the lowest that is printed.
    /// (`Outside::hold` holds it there.)
    TemperatureDifference entering_wet_bulb{0.0};

    /// The farthest that this was compared with machines (tests/expect/test_held_edges.py).
    static constexpr TemperatureDifference greatest_outdoor{25.0};
    static constexpr Length greatest_line{30.0};
    static constexpr TemperatureDifference greatest_wet_bulb{3.0};
};

/// A question but for its names. What is not given is NaN, empty or `not_given`, and refused where it is needed.
struct ConditionValues {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    Mode mode = Mode::cooling;
    Speed speed;  ///< instead of a stage: of a continuous compressor; cooling
    Temperature outdoor_dry_bulb{not_given};
    Temperature entering_dry_bulb{not_given};
    /// In heating needed only for an actual airflow, a page by the moist pound, and the leaving air.
    air::Humidity entering_humidity = air::wet_bulb(Temperature{not_given});
    AirflowReading airflow{};
    /// Must be given for a system with a line-set table for the mode. Heating without one counts a modelled line alone.
    std::optional<LineSet> line_set;
    Boundary boundary = Boundary::not_given;
    Power fan_power{not_given};  ///< indoor fan; needed for coil_and_fan, and not used for coil

    Frost frost = Frost::unknown;                  ///< heating: instantaneous or integrated, there is no default
    double outdoor_relative_humidity = not_given;  ///< heating: fraction, needed for a defrost table
    Power auxiliary_heat{
        not_given};  ///< heating: electric or fuel; 0 W says that it is off. Never part of the capacity

    Outside outside = Outside::refuse;  ///< past the edge of the page
    Hold hold;
    /// Allow inferred values: in cooling where the page leaves an entering dry bulb blank, in heating instantaneous
    /// ones from an integrated page, by taking its frost out again.
    bool infer = false;
    /// Where the page is printed at one airflow, allow 0.6 to 1.2 of it, by published curves of residential machines.
    bool airflow_effect = false;
};

/// One question to `expect`. Entering air is the air entering at the boundary: the coil's for Boundary::coil, the
/// return air of coil and fan together for Boundary::coil_and_fan.
struct Conditions : ConditionValues {
    std::string stage;
    std::string match;  ///< may stay empty only for a system that lists no matches
};

namespace detail {
/// The same with names that live elsewhere, for as long as the question takes.
struct Question {
    const ConditionValues& values;
    std::string_view stage, match;
    Outside outside;  ///< as in `values`; or `follow`, which no caller can ask for

    Question(const ConditionValues& v, std::string_view s, std::string_view m, Outside o) noexcept
        : values(v), stage(s), match(m), outside(o) {}
    Question(const ConditionValues& v, std::string_view s, std::string_view m) noexcept
        : Question(v, s, m, v.outside) {}
    Question(const Conditions& c, Outside o) noexcept : Question(c, c.stage, c.match, o) {}
    Question(const Conditions& c) noexcept : Question(c, c.outside) {}
};

/// Nothing, or which choice of a question is none: `static_cast<Boundary>(7)`.
[[nodiscard]] constexpr Reason unknown_choice(const ConditionValues& c) noexcept {
    if (!known(c.mode)) return no_choice(About::mode, c.mode);
    if (!known(c.boundary)) return no_choice(About::boundary, c.boundary);
    if (!known(c.frost)) return no_choice(About::frost, c.frost);
    if (!known(c.outside)) return no_choice(About::outside, c.outside);
    constexpr double outdoor = Hold::greatest_outdoor.si * (1.0 + 1e-9),  // unit conversion must not miss it
        line = Hold::greatest_line.si * (1.0 + 1e-9), wet_bulb = Hold::greatest_wet_bulb.si * (1.0 + 1e-9);
    if (const double x = c.hold.outdoor_dry_bulb.si; !(x >= 0.0 && x <= outdoor))
        return {Why::outside, About::held_outdoor, -1, -1, x, 0.0, Hold::greatest_outdoor.si};
    if (const double x = c.hold.line_length.si; !(x >= 0.0 && x <= line))
        return {Why::outside, About::held_line, -1, -1, x, 0.0, Hold::greatest_line.si};
    if (const double x = c.hold.entering_wet_bulb.si; !(x >= 0.0 && x <= wet_bulb))
        return {Why::outside, About::extended_wet_bulb, -1, -1, x, 0.0, Hold::greatest_wet_bulb.si};
    if (c.line_set && !known(c.line_set->beyond)) return no_choice(About::line_set, c.line_set->beyond);
    if (!known(c.entering_humidity.kind)) return no_choice(About::humidity, c.entering_humidity.kind);
    return unknown_choice(c.airflow);
}
}  // namespace detail

/// The numbers of a question, each a column of a batch.
enum class Slot : std::uint8_t {
    outdoor_dry_bulb,
    entering_dry_bulb,
    entering_humidity,
    airflow,
    elevation,
    pressure,
    fan_power,
    line_length,
    line_suction,
    line_lift,
    line_liquid,
    speed,
    outdoor_humidity,
    auxiliary_heat,
};
inline constexpr std::size_t slot_count = 14;

/// Every number that `expect` asks for, by the argument's name.
inline constexpr Asked<Slot> asked_of_expect[] = {
    {"outdoor_dry_bulb", Kind::temperature, Slot::outdoor_dry_bulb, Modes::both, "outdoor dry bulb"},
    {"entering_dry_bulb", Kind::temperature, Slot::entering_dry_bulb, Modes::both, "dry bulb entering at the boundary"},
    {"entering_wet_bulb", Kind::temperature, Slot::entering_humidity, Modes::both, "wet bulb entering at the boundary"},
    {"entering_relative_humidity", Kind::ratio, Slot::entering_humidity, Modes::both, "fraction"},
    {"entering_humidity_ratio", Kind::humidity_ratio, Slot::entering_humidity, Modes::both, "vapour per dry air"},
    {"entering_dew_point", Kind::temperature, Slot::entering_humidity, Modes::both, "dew point"},
    {"airflow", Kind::airflow, Slot::airflow, Modes::both, "airflow, with what it means; as dry_mass a mass flow"},
    {"elevation", Kind::length, Slot::elevation, Modes::both, "elevation of the site"},
    {"pressure", Kind::pressure, Slot::pressure, Modes::both, "station pressure"},
    {"fan_power", Kind::electric_power, Slot::fan_power, Modes::both, "indoor fan"},
    {"length", Kind::length, Slot::line_length, Modes::both,
     "equivalent length of the line set; its tubing's beside fittings"},
    {"suction", Kind::tubing, Slot::line_suction, Modes::both, "size of its suction line"},
    {"lift", Kind::length, Slot::line_lift, Modes::both, "how far the outdoor unit stands above the indoor one"},
    {"liquid", Kind::tubing, Slot::line_liquid, Modes::both, "size of its liquid line"},
    {"speed", Kind::speed, Slot::speed, Modes::cooling, "compressor speed, instead of a stage"},
    {"outdoor_relative_humidity", Kind::ratio, Slot::outdoor_humidity, Modes::heating, "fraction, for a defrost table"},
    {"auxiliary_heat", Kind::electric_power, Slot::auxiliary_heat, Modes::heating, "heat beside the machine, 0 if off"},
};

}  // namespace offnominal
