/// @file
/// What a machine should deliver under given conditions.
///
/// The order of the steps is fixed: air states at station pressure; airflow to dry-air mass; stage and match select the page
/// (net pages were turned gross at their nodes when built); wet-line total, uncapped sensible, power and bypass between the
/// nodes; match, line-set and altitude factors on gross total; sensible for the changed total by the matched coil; entering
/// dry bulb; the dry-coil rule last in gross; fan heat to the boundary; leaving state; uncertainty.
#pragma once

#include "offnominal/conditions.hpp"
#include "offnominal/expect/gross_chain.hpp"
#include "offnominal/expect/words.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/expect/air_stream.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// A question whose keys, states and factors are known: what is left is a function of the mass flow of dry air.
struct CoolingQuestion {
    const Conditions* conditions = nullptr;
    const Match* match = nullptr;
    std::int16_t match_index = -1, stage_index = -1;
    air::State entering;    ///< at the boundary
    double wet_bulb = 0.0;  ///< degC, entering at the boundary
    double fan_heat = 0.0;  ///< W inside the boundary
    bool blow_through = false;
    bool altitude_assumed = false;
    Notes notes;
    GrossChain chain;  ///< mass flow and coil state still to be set

    [[nodiscard]] Answer<Expected> at(double mass_flow) const noexcept;
    [[nodiscard]] Answer<double> mass_flow() const noexcept;

   private:
    void write_factors(Ledger& ledger, const GrossChain& c, const GrossChain::Point& wet) const noexcept;
    void set_uncertainty(Expected& e, const GrossChain& c, const GrossChain::Result& gross, double read_at) const noexcept;
};

/// Gathers everything about a question that does not depend on the mass flow.
[[nodiscard]] inline Answer<CoolingQuestion> cooling_question(const System& system, const Site& site, const Conditions& c) noexcept {
    const auto not_given = [](About about) { return Reason{Why::not_given, about, -1, -1, 0, 0, 0}; };
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    if (std::isnan(c.outdoor_dry_bulb.si)) return not_given(About::outdoor_dry_bulb);
    if (std::isnan(c.entering_dry_bulb.si)) return not_given(About::entering_dry_bulb);
    if (std::isnan(c.entering_humidity.value)) return not_given(About::entering_wet_bulb);
    if (c.boundary == Boundary::not_given) return not_given(About::boundary);

    CoolingQuestion q;
    q.conditions = &c;
    const auto entering = air::try_state(c.entering_dry_bulb, c.entering_humidity, Pressure{*pressure});
    if (!entering) return entering.reason();
    q.entering = *entering;
    if (entering->saturated_within_tolerance) q.notes.add(Note::saturated_entering);
    // A wet bulb given as such enters the page as given, so that a page's own wet bulb meets its node.
    q.wet_bulb = c.entering_humidity.kind == air::Humidity::Kind::wet_bulb
                     ? std::min(c.entering_humidity.value, c.entering_dry_bulb.si)
                     : air::si::wet_bulb(entering->dry_bulb.si, entering->humidity_ratio.si, *pressure);

    const SystemParts& parts = system.parts();
    if (!c.match.empty()) {
        q.match = system.match(c.match);
        if (q.match == nullptr) return Reason{Why::unknown_match, About::match, -1, -1, 0, 0, 0};
    } else if (!parts.matches.empty()) {
        return not_given(About::match);
    }
    if (c.stage.empty()) return not_given(About::stage);
    const Stage* stage = system.stage(c.stage, q.match);
    if (stage == nullptr) return Reason{Why::unknown_stage, About::stage, -1, -1, 0, 0, 0};
    const Basis& basis = stage->table.basis();

    const auto& stages = q.match != nullptr && !q.match->stages.empty() ? q.match->stages : parts.cooling;
    q.stage_index = static_cast<std::int16_t>(stage - stages.data());
    if (q.match != nullptr) q.match_index = static_cast<std::int16_t>(q.match - parts.matches.data());

    GrossChain& chain = q.chain;
    chain.table = &stage->table;
    chain.pressure = *pressure;
    chain.page_pressure = air::si::pressure_at_elevation(basis.elevation ? basis.elevation->si : 0.0);
    chain.outdoor = c.outdoor_dry_bulb.si;
    chain.outside = c.outside;
    if (q.match != nullptr && q.match->stages.empty()) {
        chain.match = q.match->factors;
        chain.match_bypass = q.match->bypass;
    }
    if (!parts.line_set.empty()) {
        if (!c.line_set) return not_given(About::line_set);
        const auto line = parts.line_set.at(*c.line_set);
        if (!line) return line.reason();
        chain.line = *line;
    } else {
        if (c.line_set && !c.line_set->is_reference) return Reason{Why::no_line_table, About::line_set, -1, -1, 0, 0, 0};
        q.notes.add(Note::line_set_unknown);
    }
    if (!parts.altitude.empty()) {
        const auto altitude = parts.altitude.at(site.elevation());
        if (!altitude) return altitude.reason();
        chain.altitude = *altitude;
    } else {
        q.altitude_assumed = true;
        if (std::abs(chain.pressure / chain.page_pressure - 1.0) > 0.01) q.notes.add(Note::altitude_assumed);
    }

    if (c.boundary == Boundary::coil_and_fan) {
        if (std::isnan(c.fan_power.si)) return not_given(About::fan_power);
        if (!(c.fan_power.si >= 0.0)) return Reason{Why::outside, About::fan_power, -1, -1, c.fan_power.si, 0.0, HUGE_VAL};
        q.fan_heat = c.fan_power.si;
        const FanPosition position = q.match != nullptr ? q.match->fan : FanPosition::unknown;
        q.blow_through = position == FanPosition::blow_through;
        if (position == FanPosition::unknown) q.notes.add(Note::fan_position_unknown);
    }
    if (!basis.elevation) q.notes.add(Note::elevation_unknown);
    if (basis.capacity == CapacityBasis::unknown) q.notes.add(Note::capacity_basis_unknown);
    if (basis.airflow == AirflowBasis::unknown) q.notes.add(Note::airflow_basis_unknown);
    if (basis.standard_pound == Pound::unknown) q.notes.add(Note::pound_unknown);
    if (basis.power == PowerBasis::unknown && stage->table.page().has_power) q.notes.add(Note::power_basis_unknown);
    return q;
}

inline Answer<Expected> CoolingQuestion::at(double mass_flow) const noexcept {
    GrossChain c = chain;
    const RatingTable& table = *c.table;
    Expected e;
    e.notes = notes;

    // Air entering the coil: in blow-through the fan has warmed it at constant humidity ratio.
    air::State coil_air = entering;
    double coil_wet_bulb = wet_bulb;
    if (blow_through && fan_heat > 0.0) {
        coil_air = warmed(entering, fan_heat, mass_flow);
        coil_wet_bulb = air::si::wet_bulb(coil_air.dry_bulb.si, coil_air.humidity_ratio.si, c.pressure);
    }
    const double moist = table.basis().standard_pound == Pound::moist ? 1.0 + coil_air.humidity_ratio.si : 1.0;
    c.mass_flow = mass_flow;
    c.page_flow = air::si::standard_from_dry_mass(mass_flow * moist);
    c.dry_bulb = coil_air.dry_bulb.si;
    if (match != nullptr && match->airflow && c.outside != Outside::follow) {
        const auto& [least, most] = *match->airflow;
        if (c.page_flow < least.si || c.page_flow > most.si)
            return Reason{Why::outside, About::standard_airflow, -1, -1, c.page_flow, least.si, most.si};
    }

    const auto gross = c.resolve(coil_wet_bulb);
    if (!gross) return gross.reason();
    const GrossChain::Point& wet = gross->wet;
    const bool has_sensible = wet.no_sensible.none();
    if (has(gross->footing, Footing::inferred) && !conditions->infer && table.basis().sensible_at &&
        c.dry_bulb < table.basis().sensible_at->si - 1e-9)
        return Reason{Why::near_dry, About::entering_dry_bulb, -1, -1, c.dry_bulb, table.basis().sensible_at->si, HUGE_VAL};

    e.footing = gross->footing;
    write_factors(e.ledger, c, wet);
    if (gross->knee) {
        e.knee = Temperature{*gross->knee};
        e.notes.add(Note::power_of_dry_coil);
        e.ledger.add({Step::Kind::dry_coil, Step::Of::total, -1, 1.0, wet.total, gross->total});
        e.ledger.add({Step::Kind::dry_coil, Step::Of::sensible, -1, 1.0, wet.sensible, gross->sensible});
    }
    if (!has_sensible) e.notes.add(Note::dryness_unknown);
    if (wet.scaled) e.notes.add(Note::sensible_scaled);
    set_uncertainty(e, c, *gross, gross->knee ? *gross->knee : coil_wet_bulb);

    const double total = gross->total - fan_heat, sensible = gross->sensible - fan_heat;
    if (fan_heat > 0.0) {
        e.ledger.add({Step::Kind::fan_heat, Step::Of::total, -1, 1.0, gross->total, total});
        if (has_sensible) e.ledger.add({Step::Kind::fan_heat, Step::Of::sensible, -1, 1.0, gross->sensible, sensible});
    }

    e.stage = stage_index;
    e.match = match_index;
    e.outdoor_dry_bulb = conditions->outdoor_dry_bulb;
    e.boundary = conditions->boundary;
    e.power_basis = table.basis().power;
    e.gross_total = {gross->total};
    e.total_capacity = {total};
    e.bypass = wet.bypass;
    e.mass_flow = {mass_flow};
    e.standard_airflow = {c.page_flow};
    e.coil_dry_bulb = coil_air.dry_bulb;
    e.coil_wet_bulb = {coil_wet_bulb};
    if (table.page().has_power) {
        e.power = Power{gross->power};
        if (e.power_basis == PowerBasis::outdoor_unit && e.boundary == Boundary::coil_and_fan)
            e.system_power = Power{gross->power + fan_heat};
    } else {
        e.no_power = {Why::no_output, About::power, -1, -1, 0, 0, 0};
    }
    e.no_sensible = e.no_leaving = wet.no_sensible;
    if (!has_sensible) return e;
    e.sensible_capacity = Power{sensible};
    e.latent_capacity = Power{total - sensible};
    const auto leaving = leaving_air(entering, mass_flow, total, sensible);
    if (leaving) {
        e.leaving = *leaving;
    } else {
        e.no_leaving = leaving.reason();
        e.notes.add(Note::leaving_impossible);
    }
    return e;
}

/// Mass flow of dry air. An airflow read in the supply, or at a draw-through fan, is at the density of air that depends on
/// the answer: a few passes settle it, since density moves by a few percent only.
inline Answer<double> CoolingQuestion::mass_flow() const noexcept {
    const AirflowReading& flow = conditions->airflow;
    auto m = dry_mass_flow(flow, entering);
    const bool depends = flow.kind == AirflowReading::Kind::actual &&
                         (flow.place == air::Place::supply_air || (flow.place == air::Place::fan && !blow_through));
    if (!m || !depends) return m;
    for (int pass = 0; pass < 40; ++pass) {
        const auto e = at(*m);
        if (!e) return e.reason();
        if (!e->leaving) return e->no_leaving;
        air::State there = entering;
        there.dry_bulb = e->leaving->dry_bulb;
        there.humidity_ratio = e->leaving->humidity_ratio;
        if (flow.place == air::Place::fan) there = warmed(there, -fan_heat, *m);  // before the fan's own heat
        const auto next = dry_mass_flow(flow, there);
        if (!next) return next;
        const double change = std::abs(*next - *m);
        m = next;
        if (change <= 1e-14 * *next) break;
    }
    return m;
}

inline void CoolingQuestion::write_factors(Ledger& ledger, const GrossChain& c, const GrossChain::Point& wet) const noexcept {
    using Kind = Step::Kind;
    using Of = Step::Of;
    double total = wet.page.total, power = wet.page.power;
    const bool has_power = c.table->page().has_power;
    ledger.add({Kind::page, Of::total, -1, 1.0, total, total});
    if (c.table->page().has_sensible) ledger.add({Kind::page, Of::sensible, -1, 1.0, wet.page.sensible, wet.page.sensible});
    if (has_power) ledger.add({Kind::page, Of::power, -1, 1.0, power, power});
    const auto apply = [&](Kind kind, const Factors& f, std::int16_t source) {
        if (f.total != 1.0) ledger.add({kind, Of::total, source, f.total, total, total * f.total});
        if (f.power != 1.0 && has_power) ledger.add({kind, Of::power, source, f.power, power, power * f.power});
        total *= f.total;
        power *= f.power;
    };
    apply(Kind::match, c.match, match_index);
    apply(Kind::line_set, c.line, -1);
    apply(Kind::altitude, c.altitude, -1);
    if (!wet.no_sensible.none()) return;
    if (wet.coil != wet.page.sensible) ledger.add({Kind::coil, Of::sensible, -1, 1.0, wet.page.sensible, wet.coil});
    if (wet.sensible != wet.coil) ledger.add({Kind::entering_dry_bulb, Of::sensible, -1, 1.0, wet.coil, wet.sensible});
}

inline void CoolingQuestion::set_uncertainty(Expected& e, const GrossChain& c, const GrossChain::Result& gross,
                                             double read_at) const noexcept {
    const PageUncertainty page = page_uncertainty(*c.table, c.outdoor, c.page_flow, read_at, gross.wet.page.total);
    e.uncertainty.resolution = page.resolution * c.factor();
    e.uncertainty.interpolation = page.interpolation * c.factor();
    if (!page.curvature_known) e.notes.add(Note::interpolation_unknown);
    if (match != nullptr && !match->reference && match->stages.empty()) {
        e.uncertainty.match = 0.02 * gross.total;
        e.notes.add(Note::match_factor);
    }
    if (altitude_assumed) e.uncertainty.altitude = derates::altitude_uncertainty(c.pressure / c.page_pressure) * gross.total;
    if (c.table->basis().tolerance)
        e.uncertainty.tolerance = 0.5 * *c.table->basis().tolerance * gross.total;
    else
        e.notes.add(Note::tolerance_unknown);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// What the system should deliver, or a reason. Thread-safe, allocation-free; the same bits alone or in a batch.
[[nodiscard]] inline Answer<Expected> try_expect(const System& system, const Site& site, const Conditions& conditions) noexcept {
    const auto question = detail::cooling_question(system, site, conditions);
    if (!question) return question.reason();
    const auto mass_flow = question->mass_flow();
    if (!mass_flow) return mass_flow.reason();
    return question->at(*mass_flow);
}

/// As `try_expect`. @throws Refused, worded with the system's own names, where that has a reason.
[[nodiscard]] inline Expected expect(const System& system, const Site& site, const Conditions& conditions) {
    const auto answer = try_expect(system, site, conditions);
    if (!answer) throw Refused(answer.reason(), explain(answer.reason(), system, conditions));
    return *answer;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
