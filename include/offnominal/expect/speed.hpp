/// @file
/// A variable-speed compressor at a known speed: between the answers of the two pages next to it, where the maker says
/// that one may. Whole answers are interpolated, not pages: each page has its own airflow, limits and coil.
#pragma once

#include <cstdlib>

#include "offnominal/detail/real.hpp"
#include "offnominal/expect/frame.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] constexpr double between(double lower, double upper, double t) noexcept {
    return lower + t * (upper - lower);
}

/// The pages at or next to a speed, and how far it lies towards the upper one.
struct SpeedBracket {
    const Stage* lower = nullptr;
    const Stage* upper = nullptr;
    double t = 0.0;
};

/// Why::unknown_stage for stages without speeds, outside past the slowest and fastest, not_continuous between two that
/// may not be interpolated.
[[nodiscard]] inline Answer<SpeedBracket> speed_bracket(const System& system, const Match* match,
                                                        double speed) noexcept {
    if (!real::is_finite(speed)) return Reason{Why::not_finite, About::speed, -1, -1, 0, 0, 0};
    SpeedBracket out;
    double slowest = real::infinity, fastest = -real::infinity;
    for (const Stage& stage : system.stages(match)) {
        if (!stage.speed) continue;
        const double s = *stage.speed;
        slowest = real::fmin(slowest, s);
        fastest = real::fmax(fastest, s);
        const double slack = 1e-9 * s;  // unit conversion must not miss a speed
        if (s <= speed + slack && (out.lower == nullptr || s > *out.lower->speed)) out.lower = &stage;
        if (s >= speed - slack && (out.upper == nullptr || s < *out.upper->speed)) out.upper = &stage;
    }
    if (fastest < slowest) return Reason{Why::unknown_stage, About::speed, -1, -1, speed, 0, 0};
    if (out.lower == nullptr || out.upper == nullptr)
        return Reason{Why::outside, About::speed, -1, -1, speed, slowest, fastest};
    if (out.lower == out.upper) return out;
    if (system.parts().modulation != Modulation::continuous)
        return Reason{Why::not_continuous, About::speed, -1, -1, speed, *out.lower->speed, *out.upper->speed};
    out.t = (speed - *out.lower->speed) / (*out.upper->speed - *out.lower->speed);
    return out;
}

/// Two frames of one question.
struct SpeedFrames {
    Frame lower, upper;
    double t = 0.0;

    /// The airflow a page is read at: its own where it is printed at one only, else what flows.
    [[nodiscard]] static double flow(const Frame& frame, double flowing) noexcept {
        return frame.own_flow ? *frame.own_flow : flowing;
    }

    /// Both points, and between them. Pages printed at one airflow each are read there; what flows must then be what
    /// lies between those airflows, within 2 % (common practice, no source).
    struct Points {
        AnswerNumbers lower, upper, between;
    };
    [[nodiscard]] Reason at(const Situation& q, double mass_flow, Points& points) const noexcept {
        const double flowing = air::si::standard_from_dry_mass(mass_flow);
        const double low = flow(lower, flowing), high = flow(upper, flowing);
        const double due = detail::between(low, high, t);
        if (lower.chain.outside.all != follow && std::abs(flowing - due) > 0.02 * due)
            return {Why::outside, About::standard_airflow, -1, -1, flowing, 0.98 * due, 1.02 * due};
        // What flows over the coil at the page's airflow; a page of moist pounds differs by the vapour, 1 %.
        AnswerNumbers &a = points.lower, &b = points.upper, &out = points.between;
        if (const Reason reason = lower.at(q, air::si::dry_mass_from_standard(low), a); !reason.none()) return reason;
        if (const Reason reason = upper.at(q, air::si::dry_mass_from_standard(high), b); !reason.none()) return reason;
        out = a;
        out.lower = {a.gross.total, a.gross.sensible, a.gross.power, true};
        out.mass_flow = mass_flow;
        out.gross.total = detail::between(a.gross.total, b.gross.total, t);
        out.gross.sensible = detail::between(a.gross.sensible, b.gross.sensible, t);
        out.gross.power = detail::between(a.gross.power, b.gross.power, t);
        out.gross.footing |= b.gross.footing;
        out.gross.filled = a.gross.filled || b.gross.filled;
        if (!b.has_sensible()) out.gross.wet.no_sensible = b.gross.wet.no_sensible;
        out.total = detail::between(a.total, b.total, t);
        out.sensible = detail::between(a.sensible, b.sensible, t);
        return {};
    }
};

[[nodiscard]] inline ExpectedUncertainty between(const ExpectedUncertainty& a, const ExpectedUncertainty& b,
                                                 double t) noexcept {
    return {between(a.resolution, b.resolution, t), between(a.interpolation, b.interpolation, t),
            between(a.outside, b.outside, t),       between(a.inferred, b.inferred, t),
            between(a.match, b.match, t),           between(a.line, b.line, t),
            between(a.altitude, b.altitude, t),     between(a.airflow, b.airflow, t),
            between(a.multiplier, b.multiplier, t), between(a.tolerance, b.tolerance, t)};
}

/// `try_expect` at a speed. @return why not
[[nodiscard]] inline Reason expect_at_speed(const System& system, const Site& site, const Question& asked,
                                            Expected& e) noexcept {
    const Speed& speed = asked.values.speed;
    if (!asked.stage.empty() || asked.values.mode != Mode::cooling)
        return {Why::contradictory, About::speed, -1, -1, speed.si, 0, 0};
    const Match* match = asked.match.empty() ? nullptr : system.match(asked.match);
    if (match == nullptr && !asked.match.empty()) return plain_reason(Why::unknown_match, About::match);
    const auto bracket = speed_bracket(system, match, speed.si);
    if (!bracket) return bracket.reason();
    if (Speed::measure(speed.unit) != Speed::measure(system.parts().speed_unit))
        return {Why::unlike_basis, About::speed, -1, -1, speed.si, 0, 0};

    ConditionValues values = asked.values;
    values.speed = {};
    const auto frame_of = [&](const Stage& stage, Frame& frame) noexcept {
        return find_frame(system, site, {values, stage.name, asked.match, asked.outside}, frame);
    };
    SpeedFrames frames{{}, {}, bracket->t};
    Frame &low = frames.lower, &high = frames.upper;
    if (const Reason reason = frame_of(*bracket->lower, low); !reason.none()) return reason;
    if (const Reason reason = frame_of(*bracket->upper, high); !reason.none()) return reason;
    Situation situation;
    if (const Reason reason = low.situation(values, situation); !reason.none()) return reason;
    if (bracket->lower == bracket->upper) {  // at a speed that is printed
        const auto mass_flow = low.mass_flow(situation);
        if (!mass_flow) return mass_flow.reason();
        AnswerNumbers numbers;
        if (const Reason reason = low.at(situation, *mass_flow, numbers); !reason.none()) return reason;
        low.tell(situation, numbers, e);
        return {};
    }

    for (Frame* frame : {&low, &high}) {
        frame->airflow_effect = false;  // each is read at its own airflow
        if (const auto& flows = frame->table().page().airflow; flows.size() == 1) frame->own_flow = flows.front();
    }
    SpeedFrames::Points points;
    const auto mass_flow = settled_mass_flow(low, situation, [&](double m, AnswerNumbers& out) noexcept {
        const Reason reason = frames.at(situation, m, points);
        out = points.between;
        return reason;
    });
    if (!mass_flow) return mass_flow.reason();
    if (const Reason reason = frames.at(situation, *mass_flow, points); !reason.none()) return reason;
    low.tell(situation, points.between, e);
    ExpectedUncertainty a, b;
    Notes low_notes, high_notes;
    low.doubt(situation, points.lower, a, low_notes);
    high.doubt(situation, points.upper, b, high_notes);
    e.uncertainty = between(a, b, bracket->t);
    e.notes.add(high_notes);
    e.notes.add(Note::between_speeds);
    const double bypass = between(points.lower.gross.wet.bypass, points.upper.gross.wet.bypass, bracket->t);
    e.bypass = bypass > 0.0 ? std::optional(bypass) : std::nullopt;
    e.standard_airflow.si = between(points.lower.page_flow, points.upper.page_flow, bracket->t);
    e.upper_stage = high.stage_index;
    e.between = bracket->t;
    return {};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
