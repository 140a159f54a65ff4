/// @file
/// An expected cooling capacity, in three parts: the frame (page, factors, pressure: the same for many questions), the
/// point (one question's numbers through all steps), and the telling (ledger, uncertainty, notes).
#pragma once

#include <cmath>

#include "offnominal/expect/cooling_frame.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

inline Reason CoolingFrame::question(const Conditions& c, CoolingQuestion& out) const noexcept {
    if (std::isnan(c.outdoor_dry_bulb.si)) return not_given(About::outdoor_dry_bulb);
    if (std::isnan(c.entering_dry_bulb.si)) return not_given(About::entering_dry_bulb);
    if (std::isnan(c.entering_humidity.value)) return not_given(About::entering_wet_bulb);
    const auto entering = air::try_state(c.entering_dry_bulb, c.entering_humidity, Pressure{chain.pressure});
    if (!entering) return entering.reason();
    // A wet bulb given as such enters the page as given, so that a page's own wet bulb meets its node.
    const double wet_bulb = c.entering_humidity.kind == air::Humidity::Kind::wet_bulb
                                ? std::min(c.entering_humidity.value, c.entering_dry_bulb.si)
                                : air::si::wet_bulb(entering->dry_bulb.si, entering->humidity_ratio.si, chain.pressure);
    return question(c.outdoor_dry_bulb.si, *entering, wet_bulb, c.fan_power.si, c.airflow, out);
}

inline Reason CoolingFrame::question(double outdoor, const air::State& entering, double wet_bulb, double fan_power,
                                     const AirflowReading& airflow, CoolingQuestion& out) const noexcept {
    if (std::isnan(outdoor)) return not_given(About::outdoor_dry_bulb);
    out = {outdoor, entering, wet_bulb, 0.0, airflow};
    if (boundary == Boundary::coil_and_fan) {
        if (std::isnan(fan_power)) return not_given(About::fan_power);
        if (!(fan_power >= 0.0 && std::isfinite(fan_power)))
            return {Why::outside, About::fan_power, -1, -1, fan_power, 0.0, HUGE_VAL};
        out.fan_heat = fan_power;
    }
    return {};
}

inline Reason CoolingFrame::at(const CoolingQuestion& q, double mass_flow, CoolingPoint& out) const noexcept {
    GrossChain c;
    if (const Reason reason = enter(q, mass_flow, c, out); !reason.none()) return reason;
    if (const Reason reason = c.at(out.humidity, out.gross.wet); !reason.none()) return reason;
    return conclude(q, c, out);
}

inline Reason CoolingFrame::enter(const CoolingQuestion& q, double mass_flow, GrossChain& c,
                                  CoolingPoint& out) const noexcept {
    c = chain;
    // Air entering the coil: in blow-through the fan has warmed it at constant humidity ratio.
    air::State coil_air = q.entering;
    out.coil_wet_bulb = q.wet_bulb;
    if (blow_through && q.fan_heat > 0.0) {
        coil_air = warmed(q.entering, q.fan_heat, mass_flow);
        out.coil_wet_bulb = air::si::wet_bulb(coil_air.dry_bulb.si, coil_air.humidity_ratio.si, c.pressure);
    }
    const double moist = table().basis().standard_pound == Pound::moist ? 1.0 + coil_air.humidity_ratio.si : 1.0;
    out.mass_flow = c.mass_flow = mass_flow;
    out.page_flow = c.page_flow = own_flow ? *own_flow : air::si::standard_from_dry_mass(mass_flow * moist);
    if (page_blow_through) {  // the page's wet and dry bulbs stand before its own fan: only the difference of the fans
                              // counts
        coil_air = warmed(coil_air, -table().basis().fan.heat(out.page_flow), mass_flow);
        out.coil_wet_bulb = coil_air.dry_bulb.si == q.entering.dry_bulb.si
                                ? q.wet_bulb
                                : air::si::wet_bulb(coil_air.dry_bulb.si, coil_air.humidity_ratio.si, c.pressure);
    }
    out.coil_dry_bulb = c.dry_bulb = coil_air.dry_bulb.si;
    if (const auto& at = table().basis().sensible_at; at && std::abs(c.dry_bulb - at->si) <= 1e-9) c.dry_bulb = at->si;
    c.outdoor = q.outdoor;
    if (match != nullptr && match->airflow && c.outside != Outside::follow) {
        const auto& [least, most] = *match->airflow;
        const double near = 1e-9 * most.si;  // unit conversion must not miss a bound
        if (c.page_flow < least.si - near || c.page_flow > most.si + near)
            return {Why::outside, About::standard_airflow, -1, -1, c.page_flow, least.si, most.si};
    }
    const auto humidity = c.place_on_axis(coil_air, out.coil_wet_bulb);
    if (!humidity) return humidity.reason();
    out.humidity = *humidity;
    return {};
}

inline Reason CoolingFrame::conclude(const CoolingQuestion& q, const GrossChain& c, CoolingPoint& out) const noexcept {
    GrossChain::Result& gross = out.gross;
    if (const Reason reason = c.resolve(out.humidity, gross); !reason.none()) return reason;
    if (!infer)
        if (const Reason reason = needs_asking(c, gross); !reason.none()) return reason;
    out.total = gross.total - q.fan_heat;
    if (!(out.total > 0.0)) return {Why::no_expected, About::fan_power, -1, -1, q.fan_heat, 0.0, gross.total};
    out.sensible = gross.sensible - q.fan_heat;
    return {};
}

inline Reason CoolingFrame::needs_asking(const GrossChain& c, const GrossChain::Result& gross) noexcept {
    if (gross.filled) return {Why::not_inferred, About::entering_dry_bulb, -1, -1, c.dry_bulb, 0.0, 0.0};
    if (!has(gross.footing, Footing::inferred)) return {};
    // Between a wet and a dry pair lies the knee, and the page does not say where.
    const bool between = c.along_pairs() && gross.inferred < 1.0;
    const bool below = !c.own_dry_bulbs() && c.dry_bulb < c.reference() - 1e-9;
    if (!between && !below) return {};
    return {Why::near_dry, About::entering_dry_bulb, -1, -1, c.dry_bulb, c.reference(), HUGE_VAL};
}

/// Mass flow of dry air where `at(m, point)` answers a question at mass flow m, or says why not. An airflow read in the
/// supply, or at a draw-through fan, is at the density of air that depends on the answer: a few passes settle it, since
/// density moves by a few percent only.
template <class At>
[[nodiscard]] Answer<double> settled_mass_flow(const CoolingQuestion& q, FanPosition fan, const At& at) noexcept {
    auto m = dry_mass_flow(q.airflow, q.entering);
    const bool read_at_fan = q.airflow.kind == AirflowReading::Kind::actual && q.airflow.place == air::Place::fan;
    if (read_at_fan && fan == FanPosition::unknown) return not_given(About::fan_position);
    const bool at_fan = read_at_fan && fan == FanPosition::draw_through;
    const bool depends =
        q.airflow.kind == AirflowReading::Kind::actual && (q.airflow.place == air::Place::supply_air || at_fan);
    if (!m || !depends) return m;
    CoolingPoint point;
    for (int pass = 0; pass < 40; ++pass) {
        if (const Reason reason = at(*m, point); !reason.none()) return reason;
        if (!point.has_sensible()) return point.gross.wet.no_sensible;
        const air::State leaving = leaving_state(q.entering, *m, point.total, point.sensible);
        if (const Reason reason = can_leave(leaving); !reason.none()) return reason;
        const auto next = dry_mass_flow(q.airflow, at_fan ? warmed(leaving, -q.fan_heat, *m) : leaving);
        if (!next) return next;
        const double change = std::abs(*next - *m);
        m = next;
        if (change <= 1e-14 * *next) break;
    }
    return m;
}

inline Answer<double> CoolingFrame::mass_flow(const CoolingQuestion& q) const noexcept {
    return settled_mass_flow(q, fan, [&](double m, CoolingPoint& out) noexcept { return at(q, m, out); });
}

inline void CoolingFrame::tell(const CoolingQuestion& q, const CoolingPoint& point, Expected& e) const noexcept {
    const GrossChain::Point& wet = point.gross.wet;
    Told grounds;
    told(q, point, grounds);
    e.uncertainty = grounds.uncertainty;
    e.notes = grounds.notes;
    e.footing = point.gross.footing;
    e.stage = stage_index;
    e.match = match_index;
    e.outdoor_dry_bulb = {q.outdoor};
    e.boundary = boundary;
    e.power_basis = table().basis().power;
    e.gross_total = {point.gross.total};
    e.total_capacity = {point.total};
    e.bypass = wet.bypass;
    e.mass_flow = {point.mass_flow};
    e.standard_airflow = {point.page_flow};
    e.coil_dry_bulb = {point.coil_dry_bulb};
    e.coil_wet_bulb = {point.coil_wet_bulb};
    const GrossChain c = chain_of(q, point);
    e.entered = c.page_point(point.humidity);
    if (point.gross.knee) e.knee = Temperature{c.wet_bulb_at(*point.gross.knee)};
    tell_ledger(e.ledger, q, point);
    if (table().page().has_power) {
        e.power = Power{point.gross.power};
        if (adds_fan_power()) e.system_power = Power{point.gross.power + q.fan_heat};
    } else {
        e.no_power = {Why::no_output, About::power, -1, -1, 0, 0, 0};
    }
    e.no_sensible = e.no_leaving = wet.no_sensible;
    if (!point.has_sensible()) return;
    e.sensible_capacity = Power{point.sensible};
    e.latent_capacity = Power{point.total - point.sensible};
    const air::State leaving = leaving_state(q.entering, point.mass_flow, point.total, point.sensible);
    e.no_leaving = can_leave(leaving);
    if (e.no_leaving.none())
        e.leaving = leaving_air(q.entering, leaving);
    else
        e.notes.add(Note::leaving_impossible);
}

inline GrossChain CoolingFrame::chain_of(const CoolingQuestion& q, const CoolingPoint& point) const noexcept {
    GrossChain c = chain;
    c.mass_flow = point.mass_flow;
    c.page_flow = point.page_flow;
    c.outdoor = q.outdoor;
    c.dry_bulb = point.coil_dry_bulb;
    return c;
}

inline void CoolingFrame::told(const CoolingQuestion& q, const CoolingPoint& point, Told& out) const noexcept {
    out = {{}, notes};
    if (q.entering.saturated_within_tolerance) out.notes.add(Note::saturated_entering);
    if (point.gross.knee) out.notes.add(Note::power_of_dry_coil);
    if (point.gross.wet.scaled) out.notes.add(Note::sensible_scaled);
    if (!point.has_sensible()) out.notes.add(Note::dryness_unknown);

    if (point.gross.filled) out.notes.add(Note::inferred_dry_bulb);
    if (chain.along_pairs() && has(point.gross.footing, Footing::dry)) out.notes.add(Note::sensible_lower_bound);

    const double total = point.gross.total;
    const double humidity = point.gross.knee ? *point.gross.knee : point.humidity;
    const PagePoint entered{{q.outdoor, point.page_flow, humidity, point.coil_dry_bulb, chain.pressure}};
    const PageUncertainty page = page_uncertainty(table(), entered, point.gross.wet.page.total);
    if (!page.curvature_known) out.notes.add(Note::interpolation_unknown);
    const double factor = chain.factor();
    out.uncertainty.resolution = page.resolution * factor;
    out.uncertainty.interpolation = page.interpolation * factor;
    out.uncertainty.outside = outside_uncertainty(entered, point);
    if (has(point.gross.footing, Footing::inferred)) out.uncertainty.inferred = 0.006 * total;
    if (notes.has(Note::match_factor)) out.uncertainty.match = 0.02 * total;
    if (altitude_assumed)
        out.uncertainty.altitude = derates::altitude_uncertainty(chain.pressure / chain.page_pressure) * total;
    if (table().basis().tolerance) out.uncertainty.tolerance = 0.5 * *table().basis().tolerance * total;
}

/// Past the edge the truth is taken to lie between the held and the extended answer, anywhere (rectangular).
inline double CoolingFrame::outside_uncertainty(const PagePoint& entered, const CoolingPoint& point) const noexcept {
    if (!has(point.gross.footing, Footing::held | Footing::extended)) return 0.0;
    Reading held, extended;
    if (!read_page(table(), entered, Outside::hold, held).none() ||
        !read_page(table(), entered, Outside::follow, extended).none())
        return 0.0;
    return std::abs(held.total - extended.total) * chain.factor() / std::sqrt(3.0);
}

inline void CoolingFrame::tell_ledger(Ledger& ledger, const CoolingQuestion& q,
                                      const CoolingPoint& point) const noexcept {
    using Kind = Step::Kind;
    using Of = Step::Of;
    const GrossChain::Point& wet = point.gross.wet;
    double total = wet.page.total, power = wet.page.power;
    const CoolingPoint::LowerSpeed gross =
        point.lower.applies ? point.lower
                            : CoolingPoint::LowerSpeed{point.gross.total, point.gross.sensible, point.gross.power};
    const bool has_power = table().page().has_power;
    ledger.add({Kind::page, Of::total, -1, 1.0, total, total});
    if (table().page().has_sensible)
        ledger.add({Kind::page, Of::sensible, -1, 1.0, wet.page.sensible, wet.page.sensible});
    if (has_power) ledger.add({Kind::page, Of::power, -1, 1.0, power, power});
    const auto apply = [&](Kind kind, const Factors& f, std::int16_t source) {
        if (f.total != 1.0) ledger.add({kind, Of::total, source, f.total, total, total * f.total});
        if (f.power != 1.0 && has_power) ledger.add({kind, Of::power, source, f.power, power, power * f.power});
        total *= f.total;
        power *= f.power;
    };
    apply(Kind::match, chain.match, match_index);
    apply(Kind::line_set, chain.line, -1);
    apply(Kind::altitude, chain.altitude, -1);
    if (point.has_sensible()) {
        if (wet.coil != wet.page.sensible) ledger.add({Kind::coil, Of::sensible, -1, 1.0, wet.page.sensible, wet.coil});
        if (wet.sensible != wet.coil)
            ledger.add({Kind::entering_dry_bulb, Of::sensible, -1, 1.0, wet.coil, wet.sensible});
        if (point.gross.knee || gross.total != wet.total ||
            gross.power != wet.power) {  // the rule, or a dry node's own offset
            ledger.add({Kind::dry_coil, Of::total, -1, 1.0, wet.total, gross.total});
            ledger.add({Kind::dry_coil, Of::sensible, -1, 1.0, wet.sensible, gross.sensible});
            if (has_power) ledger.add({Kind::dry_coil, Of::power, -1, 1.0, wet.power, gross.power});
        }
    }
    if (point.lower.applies) {
        ledger.add({Kind::speed, Of::total, -1, 1.0, gross.total, point.gross.total});
        if (point.has_sensible())
            ledger.add({Kind::speed, Of::sensible, -1, 1.0, gross.sensible, point.gross.sensible});
        if (has_power) ledger.add({Kind::speed, Of::power, -1, 1.0, gross.power, point.gross.power});
    }
    if (!(q.fan_heat > 0.0)) return;
    ledger.add({Kind::fan_heat, Of::total, -1, 1.0, point.gross.total, point.total});
    if (point.has_sensible()) ledger.add({Kind::fan_heat, Of::sensible, -1, 1.0, point.gross.sensible, point.sensible});
}

/// `try_expect` at a stage.
[[nodiscard]] inline Answer<Expected> expect_at_stage(const System& system, const Site& site,
                                                      const Conditions& conditions) noexcept {
    Answer<Expected> out;
    CoolingFrame frame;
    CoolingQuestion question;
    CoolingPoint point;
    Reason reason = find_frame(system, site, conditions, frame);
    if (reason.none()) reason = frame.question(conditions, question);
    if (reason.none()) {
        const auto mass_flow = frame.mass_flow(question);
        reason = mass_flow ? frame.at(question, *mass_flow, point) : mass_flow.reason();
    }
    if (reason.none())
        frame.tell(question, point, out.building());
    else
        out.refuse(reason);
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
