/// @file
/// One chain for cooling and heating. A *frame* is what many questions share: page, factors, pressure, fan, all settled
/// once. A *situation* is what one question adds: its air and airflow. Both give the *numbers* of an answer, which are
/// then told: what each stands on, its uncertainty, its ledger.
///
/// The steps come in parts (`enter`, the page, `conclude`, `tell`), so that a batch can take each with all rows.
#pragma once

#include <cstdlib>

#include "offnominal/conditions.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/expect/cooling.hpp"
#include "offnominal/expect/heating.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] constexpr Reason plain_reason(Why why, About about) noexcept { return {why, about, -1, -1, 0, 0, 0}; }
[[nodiscard]] constexpr Reason not_given(About about) noexcept { return plain_reason(Why::not_given, about); }

/// Standard uncertainty of a multiplier row used across a page, as a share of total: printed for its rating point, to a
/// percent (common practice, no source; tests/expect/one_airflow.cpp holds it against unlike machines).
inline constexpr double multiplier_row = 0.01;

/// What one question adds to its frame, SI.
struct Situation {
    double outdoor = 0.0;   ///< degC
    air::State entering;    ///< at the boundary
    double wet_bulb = 0.0;  ///< degC, entering at the boundary; cooling
    double fan_heat = 0.0;  ///< W inside the boundary
    AirflowReading airflow;

    // heating
    About missing_humidity = About::nothing;  ///< the measure that was asked by and not given
    double auxiliary_heat = 0.0;              ///< W
    double outdoor_humidity = 0.0;            ///< fraction
    DefrostReading frost;
};

/// One answer before it is told.
struct AnswerNumbers {
    Gross gross;
    double mass_flow = 0.0;      ///< kg/s dry air
    double page_flow = 0.0;      ///< m3/s by the page's pound
    double flow_ratio = 1.0;     ///< what flows over that, where the page is printed at one airflow
    double coil_dry_bulb = 0.0;  ///< degC
    double coil_wet_bulb = 0.0;  ///< degC
    double humidity = 0.0;       ///< where the page's humidity axis was entered
    /// K that the coil's dry bulb stands beside the one that the page is read at: beside its pairs; in heating past its
    /// entering dry bulbs, by a blow-through fan's heat.
    double beside = 0.0;
    /// Between two speeds: gross total, sensible and power of the lower one, which `gross` held before.
    struct LowerSpeed {
        double total = 0.0, sensible = 0.0, power = 0.0;
        bool applies = false;
    };
    LowerSpeed lower;
    double total = 0.0;     ///< W at the boundary
    double sensible = 0.0;  ///< W at the boundary, if there is one

    [[nodiscard]] bool has_sensible() const noexcept { return gross.wet.no_sensible.none(); }
};

/// What many questions to one page have in common.
struct Frame {
    Mode mode = Mode::cooling;
    const Match* match = nullptr;
    std::int16_t match_index = -1, stage_index = -1;
    Boundary boundary = Boundary::not_given;
    FanPosition fan = FanPosition::unknown;
    PowerBasis power_basis = PowerBasis::unknown;
    bool has_power = false;
    bool moist_pound = false;   ///< the page's standard air is by the pound of moist air
    bool blow_through = false;  ///< the fan warms the coil's air inside the boundary
    /// A net page printed for a blow-through unit: entered with air before its own fan.
    bool page_blow_through = false;
    bool altitude_assumed = false;
    double altitude_doubt = 0.0;  ///< relative standard uncertainty of what is assumed
    int multiplied = 0;           ///< how many rows of multipliers the page has
    bool line_in_doubt = false;   ///< the line set may cost a total some certainty: see `doubt_of_line`
    bool infer = false;
    bool airflow_effect = false;        ///< what flows besides `own_flow` counts, by published curves
    std::optional<double> tolerance;    ///< the maker's
    std::optional<double> own_flow;     ///< m3/s: the one airflow a page is printed at, read whatever flows
    double line_continued = 0.0;        ///< how far a held line factor lies from the edge cell continued
    double line_uncertainty = 0.0;      ///< relative, standard: of a printed line-set factor, for the line's fittings
    Footing footing = Footing::inside;  ///< of the line set
    Notes notes;
    CoolingChain chain;  ///< all but mass flow, outdoor and coil air; in heating pressures and edges alone
    HeatingChain heating;

    [[nodiscard]] bool heats() const noexcept { return mode == Mode::heating; }
    [[nodiscard]] const RatingTable& table() const noexcept { return *chain.table; }
    [[nodiscard]] const Grid& grid() const noexcept { return heats() ? heating.page->table.grid() : table().grid(); }

    /// Keeps a page's one airflow, where another may flow.
    void take_own_flow(const ConditionValues& c, const std::vector<double>& page_flows) noexcept {
        airflow_effect = c.airflow_effect && page_flows.size() == 1;
        if (airflow_effect) own_flow = page_flows.front();
    }
    /// Whether a fan warms the coil's air, inside the boundary or on a net page.
    void take_fan(const System& system, CapacityBasis printed) noexcept {
        blow_through = boundary == Boundary::coil_and_fan && fan == FanPosition::blow_through;
        page_blow_through = printed == CapacityBasis::net && system.page_fan(match) == FanPosition::blow_through;
    }
    /// Takes what thin air does where no factor is printed for it.
    void assume_altitude() noexcept {
        altitude_assumed = true;
        const double ratio = chain.pressure / chain.page_pressure;
        chain.altitude = derates::altitude_effect(ratio, heats());
        altitude_doubt = derates::altitude_uncertainty(ratio, heats());
    }
    /// Continues the edge cells of a page by wet bulb so many K past it.
    void continue_wet_bulbs(double kelvin) noexcept {
        const auto& axes = table().axes();
        for (std::size_t k = 0; k < axes.size(); ++k)
            if (axes[k] == PageAxis::humidity && table().humidity() == HumidityAxis::wet_bulb &&
                table().breakpoints(axes[k]).size() > 1 && kelvin > 0.0) {
                chain.outside.wet_bulb = kelvin + 1e-9;  // unit conversion must not miss it
                chain.outside.wet_bulb_axis = k;
            }
    }
    /// What a question adds, its air checked. @return why not
    [[nodiscard]] Reason situation(const ConditionValues& c, Situation& out) const noexcept;
    /// The same in cooling for air that is known to be in order.
    [[nodiscard]] Reason situation(double outdoor, const air::State& entering, double wet_bulb, double fan_power,
                                   const AirflowReading& airflow, Situation& out) const noexcept;
    /// Mass flow of dry air (kg/s).
    [[nodiscard]] Answer<double> mass_flow(const Situation& q) const noexcept;
    /// All steps, for one mass flow. @return why not
    [[nodiscard]] Reason at(const Situation& q, double mass_flow, AnswerNumbers& out) const noexcept;
    /// The steps before the page is read: where it is entered. `c` is a copy of `chain`, or one that a question has
    /// entered before.
    [[nodiscard]] Reason enter(const Situation& q, double mass_flow, CoolingChain& c,
                               AnswerNumbers& out) const noexcept;
    /// Where the page is entered along its grid's axes.
    [[nodiscard]] PagePoint entered(const Situation& q, const CoolingChain& c, const AnswerNumbers& p) const noexcept {
        if (heats()) return {{q.outdoor, p.page_flow, 0.0, p.coil_dry_bulb - p.beside, chain.pressure}};
        return c.page_point(p.humidity);
    }
    /// The steps after the page was read into `out.gross.wet`. `found`: as of `CoolingChain::resolve`.
    [[nodiscard]] Reason conclude(const Situation& q, const CoolingChain& c, AnswerNumbers& out,
                                  FoundKnee* found = nullptr) const noexcept;
    /// The answer, but for its leaving air and its doubt.
    void tell(const Situation& q, const AnswerNumbers& p, ExpectedValues& e) const noexcept;
    /// Whether there is leaving air to speak of, and then what it would be; `can_leave` tells whether it can.
    [[nodiscard]] bool leaving(const Situation& q, const AnswerNumbers& p, air::State& out) const noexcept;
    /// The answer with its leaving air, the steps behind it, and why a part is missing.
    void tell(const Situation& q, const AnswerNumbers& p, Expected& e) const noexcept;
    /// Uncertainty and notes of an answer.
    void doubt(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u, Notes& out) const noexcept;

    /// Whether the page's power, with the indoor fan's, is that of the system.
    [[nodiscard]] bool adds_fan_power() const noexcept {
        return power_basis == PowerBasis::outdoor_unit && boundary == Boundary::coil_and_fan;
    }
    /// Air where an actual airflow was read: in the supply, or at a draw-through fan. @return why there is none
    [[nodiscard]] Reason supply_air(const Situation& q, const AnswerNumbers& p, double mass_flow, bool at_fan,
                                    air::State& out) const noexcept;

   private:
    [[nodiscard]] Reason fan_heat(double fan_power, Situation& out) const noexcept;
    void take_airflow(double ratio, CoolingChain& c) const noexcept;
    /// All factors on total.
    [[nodiscard]] double factor(const AnswerNumbers& p) const noexcept {
        return chain.factor(p.gross.wet) * derates::airflow_effect(p.flow_ratio, heats()).total;
    }
    [[nodiscard]] CoolingChain chain_of(const Situation& q, const AnswerNumbers& p) const noexcept;
    void tell_heating(const Situation& q, const AnswerNumbers& p, bool with_fan, ExpectedValues& e) const noexcept;
    [[nodiscard]] Reason why_no_cop(const AnswerNumbers& p) const noexcept;
    void doubt_of_cooling(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u,
                          Notes& out) const noexcept;
    void doubt_of_heating(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u,
                          Notes& out) const noexcept;
    [[nodiscard]] std::optional<double> distance_of_edges(const PagePoint& entered) const noexcept;
    /// The edges of a page that is held where the answer was.
    [[nodiscard]] Edges held() const noexcept {
        Edges out = chain.outside;
        out.all = Outside::hold;
        return out;
    }
    [[nodiscard]] double held_outdoor(const Situation& q, Notes& out) const noexcept;
    [[nodiscard]] double width_outside(const Situation& q, double capacity, std::optional<double> distance,
                                       Notes& out) const noexcept;
    [[nodiscard]] double depth_of_knee(const Situation& q, const AnswerNumbers& p) const noexcept;
    [[nodiscard]] double doubt_near_dry(const Situation& q, const AnswerNumbers& p) const noexcept;
    [[nodiscard]] double doubt_of_fan(const Situation& q, const AnswerNumbers& p) const noexcept;
    [[nodiscard]] double doubt_of_line(const Situation& q, const AnswerNumbers& p, Notes& out) const noexcept;
    [[nodiscard]] double doubt_of_fittings(const Situation& q, const AnswerNumbers& p) const noexcept;
    void find_heating_loss(const Situation& q, ChainPoint& wet) const noexcept;
    void tell_ledger(const Situation& q, const AnswerNumbers& p, Ledger& ledger) const noexcept;
    void tell_page(const Situation& q, const AnswerNumbers& p, Ledger& ledger) const noexcept;
    void tell_pressure(Ledger& ledger) const noexcept;
    /// Total and power on their way through a ledger's factors.
    struct Factored {
        double total = 0.0, power = 0.0;
    };
    void tell_factors(Step::Kind kind, const Factors& f, std::int16_t source, Factored& at,
                      Ledger& ledger) const noexcept;
    void tell_cooling_steps(const AnswerNumbers& p, const AnswerNumbers::LowerSpeed& gross,
                            Ledger& ledger) const noexcept;
};

/// Whether a copper line of that outside diameter (m) is one the model knows: 1/4 to 2 1/8 in. @return why not
[[nodiscard]] constexpr Reason check_tube(About about, double outside) noexcept {
    constexpr double least = 0.0063, most = 0.0541;
    if (outside >= least && outside <= most) return {};
    return {Why::outside, about, -1, -1, outside, least, most};
}

/// The lines that the model compares: the installed one, and that of a printed row, or the page's own. @return why not
[[nodiscard]] inline Reason find_line_run(const SystemParts& parts, const LineSet& line,
                                          const std::optional<LineTable::Row>& printed, Frame& f) noexcept {
    derates::LineRun& run = f.chain.run;
    if (run.refrigerant == nullptr) return plain_reason(Why::no_line_model, About::line_set);
    const double length = line.equivalent_length.si;
    constexpr double longest = 100.0;  // m, beyond which nothing was compared
    if (!(length >= 0.0 && length <= longest)) return {Why::outside, About::line_length, -1, -1, length, 0.0, longest};
    if (const Reason reason = check_tube(About::suction_size, line.suction.si); !reason.none()) return reason;
    constexpr double rating_length = 25.0 * 0.3048;  // of 10 CFR 430, subpart B, appendix M1 (from memory)
    LineSet anchor = LineSet::of(Length{rating_length}, line.suction);
    if (printed)
        anchor = LineSet::of(printed->length, printed->suction);
    else if (parts.reference_line)
        anchor = *parts.reference_line;
    else
        run.anchor_assumed = true;
    if (run.anchor_assumed) f.notes.add(Note::reference_line_unknown);
    run.modelled = true;
    f.footing |= Footing::modelled;
    run.anchor = {anchor.equivalent_length.si, derates::bore_of(anchor.suction.si)};
    f.notes.add(Note::line_modelled);
    return {};
}

/// What the line set does: the maker's factors, and where it is asked for a model beyond them, or the last of them
/// held.
/// @return why not
[[nodiscard]] inline Reason find_line(const SystemParts& parts, const std::optional<LineSet>& given, Length hold,
                                      Frame& f) noexcept {
    const LineTable& table = parts.lines(f.mode);
    const bool has_table = !table.empty();
    if (has_table && !given) return not_given(About::line_set);
    if (has_table && !parts.reference_line) f.notes.add(Note::reference_line_unknown);
    if (!has_table && !f.heats()) f.notes.add(Note::line_set_unknown);
    if (!given || given->is_reference) return {};

    const LineSet& line = *given;
    const bool model = line.beyond == BeyondTable::model;
    if (f.heats() && !has_table && !model) {
        f.notes.add(Note::no_heating_factors);
        return {};
    }
    if (!has_table && !model) return plain_reason(Why::no_line_table, About::line_set);
    if (const Reason reason = why_no_line(line); !reason.none()) return reason;
    derates::LineRun& run = f.chain.run;
    run.refrigerant = derates::refrigerant_named(parts.refrigerant);
    run.gas = {line.equivalent_length.si, derates::bore_of(line.suction.si)};
    run.lift = line.lift.si;
    run.liquid_bore = derates::bore_of(line.liquid.si);
    run.length_uncertainty = line.length_uncertainty();
    if (line.fittings) f.notes.add(line.fittings->counted ? Note::fittings_counted : Note::fittings_uncounted);
    if (!real::is_nan(line.liquid.si))
        if (const Reason reason = check_tube(About::liquid_size, line.liquid.si); !reason.none()) return reason;

    if (real::is_nan(run.lift) && (!has_table || table.lift_matters(line.longest()))) f.notes.add(Note::lift_unknown);
    if (!has_table) return find_line_run(parts, line, std::nullopt, f);
    const auto printed = table.at(line);
    if (printed) {
        f.chain.line = *printed;
        f.line_uncertainty = table.doubt_of_length(line) / printed->total;
        return {};
    }
    const Reason& refused = printed.reason();
    const bool longer = refused.why == Why::outside && refused.about == About::line_length;
    if (longer && !model && hold.si > 0.0)
        if (const auto held = table.held(line, hold)) {
            f.chain.line = held->factors;
            f.line_continued = held->continued;
            f.line_uncertainty = table.doubt_of_length(line) / held->factors.total;
            f.footing |= Footing::held;
            f.notes.add(Note::line_held);
            return {};
        }
    if (!model || !(longer || refused.why == Why::unknown_line)) return refused;
    const auto nearest = table.nearest(line);
    if (nearest && nearest->mark != Mark::printed) return plain_reason(Why::blank, About::line_length);
    if (nearest) f.chain.line = {nearest->total, nearest->power};
    return find_line_run(parts, line, nearest, f);
}

/// Finds a cooling page and its factors.
[[nodiscard]] inline Reason find_cooling(const System& system, const Site& site, const Question& c, Frame& f) noexcept {
    const SystemParts& parts = system.parts();
    const ConditionValues& v = c.values;
    const Stage* stage = system.stage(c.stage, f.match);
    if (stage == nullptr) return plain_reason(Why::unknown_stage, About::stage);
    f.stage_index = static_cast<std::int16_t>(stage - system.stages(f.match).data());
    const Basis& basis = stage->table.basis();
    const PrintedPage& page = stage->table.page();
    f.power_basis = basis.power;
    f.has_power = page.has_power;
    f.moist_pound = basis.standard_pound == Pound::moist;
    f.tolerance = basis.tolerance;

    CoolingChain& chain = f.chain;
    chain.table = &stage->table;
    const bool has_pressures = stage->table.has(PageAxis::pressure);
    chain.page_pressure = has_pressures ? chain.pressure : stage->table.pressure();
    if (f.match != nullptr && f.match->stages.empty()) {
        chain.match = f.match->factors;
        chain.match_bypass = f.match->bypass;
        if (!f.match->reference) f.notes.add(Note::match_factor);
    }
    if (const Reason reason = find_line(parts, v.line_set, v.hold.line_length, f); !reason.none()) return reason;
    if (has_pressures) {
        // The page itself is entered with station pressure: nothing is left to derate.
    } else if (!parts.altitude.empty()) {
        const auto altitude = parts.altitude.at(site.elevation(), site.pressure_only());
        if (!altitude) return altitude.reason();
        chain.altitude = *altitude;
        if (basis.elevation && basis.elevation->si != 0.0) {  // factors count from sea level: its own it holds already
            const auto own = parts.altitude.at(basis.elevation->si);
            if (!own) return own.reason();
            chain.altitude = {altitude->total / own->total, altitude->power / own->power};
        }
    } else {
        f.assume_altitude();
    }
    f.infer = v.infer || page.infer;
    f.take_own_flow(v, page.airflow);
    f.take_fan(system, basis.capacity);
    if (f.boundary == Boundary::coil_and_fan && f.fan == FanPosition::unknown) f.notes.add(Note::fan_position_unknown);
    f.notes.add(basis_notes(basis, page.has_power, !has_pressures));
    if (page.airflow_multiplied) f.notes.add(Note::airflow_multiplier);
    f.multiplied = page.airflow_multiplied ? 1 : 0;
    if (chain.along_pairs()) f.notes.add(Note::along_pairs);
    return {};
}

/// Finds a heating page of the kind asked for.
[[nodiscard]] inline Reason find_heating(const System& system, const Question& c, Frame& f) noexcept {
    const SystemParts& parts = system.parts();
    f.heating = heating_chain(system, c.stage, c.values.frost, c.values.infer);
    if (f.heating.page == nullptr) {
        for (const HeatingStage& other : parts.heating)
            if (other.name == c.stage) return plain_reason(Why::no_output, About::frost);
        return plain_reason(Why::unknown_stage, About::stage);
    }
    f.stage_index = static_cast<std::int16_t>(f.heating.page - parts.heating.data());
    const HeatingBasis& basis = f.heating.page->table.basis();
    const HeatingPage& page = f.heating.page->table.page();
    f.power_basis = basis.power;
    f.has_power = page.has_power;
    f.moist_pound = basis.standard_pound == Pound::moist;
    f.tolerance = basis.tolerance;
    f.chain.page_pressure = air::si::pressure_at_elevation(basis.elevation ? basis.elevation->si : 0.0);
    f.assume_altitude();
    const bool other_match = f.match != nullptr && !f.match->reference;
    const auto note = [&f](Note n, bool holds) noexcept {
        if (holds) f.notes.add(n);
    };
    note(Note::no_heating_factors,
         (!parts.line_set.empty() && parts.heating_line_set.empty()) || !parts.altitude.empty() || other_match);
    if (const Reason reason = find_line(parts, c.values.line_set, c.values.hold.line_length, f); !reason.none())
        return reason;
    const Frost frost = f.heating.kind();
    note(Note::frost_taken_out, f.heating.back);
    note(Note::frost_in_page, frost == Frost::integrated);
    note(Note::frost_unknown, frost == Frost::unknown);
    note(Note::outdoor_humidity_unknown, !basis.outdoor_relative_humidity && f.heating.defrost == nullptr);
    f.take_own_flow(c.values, page.airflow);
    f.take_fan(system, basis.capacity);
    note(Note::fan_position_unknown, f.boundary == Boundary::coil_and_fan && f.fan == FanPosition::unknown);
    note(Note::airflow_multiplier, page.airflow_multiplied);
    note(Note::dry_bulb_multiplier, page.dry_bulb_multiplied);
    f.multiplied = (page.airflow_multiplied ? 1 : 0) + (page.dry_bulb_multiplied ? 1 : 0);
    f.notes.add(basis_notes(basis, page.has_power));
    return {};
}

/// Finds page and factors. Does not look at the numbers of the question. @return why not
[[nodiscard]] inline Reason find_frame(const System& system, const Site& site, const Question& c, Frame& f) noexcept {
    const ConditionValues& v = c.values;
    if (const Reason reason = unknown_choice(v); !reason.none()) return reason;
    if (v.speed.given()) return {Why::contradictory, About::speed, -1, -1, v.speed.si, 0, 0};
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    const SystemParts& parts = system.parts();
    f = {};
    f.mode = v.mode;
    f.boundary = v.boundary;
    f.chain.pressure = *pressure;
    f.chain.outside = c.outside == follow ? Edges(follow) : Edges(c.outside, v.hold.outdoor_dry_bulb.si);
    if (f.heats() && parts.heating.empty()) return plain_reason(Why::no_output, About::heating_capacity);
    if (v.boundary == Boundary::not_given) return not_given(About::boundary);
    if (f.heats() && v.frost == Frost::unknown) return not_given(About::frost);
    if (!c.match.empty()) {
        f.match = system.match(c.match);
        if (f.match == nullptr) return plain_reason(Why::unknown_match, About::match);
        f.match_index = static_cast<std::int16_t>(f.match - parts.matches.data());
        f.fan = f.match->fan;
    } else if (!parts.matches.empty()) {
        return not_given(About::match);
    }
    if (c.stage.empty()) return not_given(About::stage);
    if (const Reason reason = f.heats() ? find_heating(system, c, f) : find_cooling(system, site, c, f); !reason.none())
        return reason;
    if (f.grid().breakpoints(0).size() < 2) f.chain.outside.outdoor = 0.0;  // one outdoor dry bulb tells no slope
    if (!f.heats() && c.outside != follow) f.continue_wet_bulbs(v.hold.entering_wet_bulb.si);
    if (f.altitude_assumed && std::abs(f.chain.pressure / f.chain.page_pressure - 1.0) > 0.01)
        f.notes.add(Note::altitude_assumed);
    f.line_in_doubt = f.chain.run.refrigerant != nullptr || f.line_uncertainty > 0.0 || f.notes.has(Note::lift_unknown);
    return {};
}

inline Reason Frame::fan_heat(double fan_power, Situation& out) const noexcept {
    out.fan_heat = 0.0;
    if (boundary != Boundary::coil_and_fan) return {};
    if (const Reason reason = check_power(About::fan_power, fan_power); !reason.none()) return reason;
    out.fan_heat = fan_power;
    return {};
}

inline Reason Frame::situation(const ConditionValues& c, Situation& out) const noexcept {
    if (real::is_nan(c.outdoor_dry_bulb.si)) return not_given(About::outdoor_dry_bulb);
    if (real::is_nan(c.entering_dry_bulb.si)) return not_given(About::entering_dry_bulb);
    const bool has_humidity = !real::is_nan(c.entering_humidity.value);
    const About humidity = about_air(About::entering_dry_bulb, air::detail::about(c.entering_humidity.kind));
    if (heats()) {
        if (const Reason reason = check_power(About::auxiliary_heat, c.auxiliary_heat.si); !reason.none())
            return reason;
        if (const Reason reason = fan_heat(c.fan_power.si, out); !reason.none()) return reason;
        const bool needs_humidity = c.airflow.kind == AirflowReading::Kind::actual || moist_pound;
        if (needs_humidity && !has_humidity) return not_given(humidity);
    } else if (!has_humidity) {
        return not_given(humidity);
    }
    const auto entering = air::try_state(c.entering_dry_bulb,
                                         has_humidity ? c.entering_humidity : air::humidity_ratio(HumidityRatio{0.0}),
                                         Pressure{chain.pressure});
    if (!entering) return about_air(About::entering_dry_bulb, entering.reason());
    if (!heats()) {
        // A wet bulb given as such enters the page as given, so that a page's own wet bulb meets its node.
        const double wet_bulb =
            c.entering_humidity.kind == air::Humidity::Kind::wet_bulb
                ? (std::min)(c.entering_humidity.value, c.entering_dry_bulb.si)
                : air::si::wet_bulb(entering->dry_bulb.si, entering->humidity_ratio.si, chain.pressure);
        return situation(c.outdoor_dry_bulb.si, *entering, wet_bulb, c.fan_power.si, c.airflow, out);
    }
    out.outdoor = c.outdoor_dry_bulb.si;
    out.entering = *entering;
    out.airflow = c.airflow;
    out.missing_humidity = has_humidity ? About::nothing : humidity;
    out.auxiliary_heat = c.auxiliary_heat.si;
    const double rh = out.outdoor_humidity = c.outdoor_relative_humidity;
    if (!real::is_nan(rh) && !(rh >= 0.0 && rh <= 1.0))
        return {Why::outside, About::outdoor_relative_humidity, -1, -1, rh, 0.0, 1.0};
    if (heating.integrates() && real::is_nan(rh)) return not_given(About::outdoor_relative_humidity);
    const auto frost = heating.frost(out.outdoor, rh, chain.outside);
    if (!frost) return frost.reason();
    out.frost = *frost;
    return {};
}

inline Reason Frame::situation(double outdoor, const air::State& entering, double wet_bulb, double fan_power,
                               const AirflowReading& airflow, Situation& out) const noexcept {
    if (real::is_nan(outdoor)) return not_given(About::outdoor_dry_bulb);
    out.outdoor = outdoor;
    out.entering = entering;
    out.wet_bulb = wet_bulb;
    out.airflow = airflow;
    return fan_heat(fan_power, out);
}

inline Reason Frame::at(const Situation& q, double mass_flow, AnswerNumbers& out) const noexcept {
    CoolingChain c = chain;
    if (const Reason reason = enter(q, mass_flow, c, out); !reason.none()) return reason;
    const Reason reason = heats() ? heating.read(q.outdoor, out.page_flow, out.coil_dry_bulb - out.beside,
                                                 chain.outside, out.gross.wet.page)
                                  : c.at(out.humidity, out.gross.wet);
    return reason.none() ? conclude(q, c, out) : reason;
}

inline void Frame::take_airflow(double ratio, CoolingChain& c) const noexcept {
    c.flow_ratio = ratio;
    c.airflow = derates::airflow_effect(ratio, heats());
}

inline Reason Frame::enter(const Situation& q, double mass_flow, CoolingChain& c, AnswerNumbers& out) const noexcept {
    // Air entering the coil: in blow-through the fan has warmed it at constant humidity ratio.
    air::State coil_air = q.entering;
    out.coil_wet_bulb = q.wet_bulb;
    if (blow_through && q.fan_heat > 0.0) {
        coil_air = warmed(q.entering, q.fan_heat, mass_flow);
        if (!heats())
            out.coil_wet_bulb = air::si::wet_bulb(coil_air.dry_bulb.si, coil_air.humidity_ratio.si, c.pressure);
    }
    const double moist = moist_pound ? 1.0 + coil_air.humidity_ratio.si : 1.0;
    out.mass_flow = c.mass_flow = mass_flow;
    const double flowing = air::si::standard_from_dry_mass(mass_flow * moist);
    out.page_flow = c.page_flow = own_flow ? *own_flow : flowing;
    out.flow_ratio = 1.0;
    if (airflow_effect) {
        const double ratio = flowing / *own_flow;
        if (std::abs(ratio - 1.0) > 1e-9) out.flow_ratio = ratio;  // unit conversion must not miss the page's airflow
        constexpr double least = derates::least_airflow, greatest = derates::greatest_airflow;
        if (c.outside.all != follow && !(ratio >= least && ratio <= greatest))
            return {Why::outside, About::standard_airflow, -1, -1, flowing, least * *own_flow, greatest * *own_flow};
        take_airflow(out.flow_ratio, c);
    }
    if (page_blow_through) {  // the page's wet and dry bulbs stand before its own fan: only the difference of the fans
                              // counts
        const TableFan& own = heats() ? heating.page->table.basis().fan : table().basis().fan;
        coil_air = warmed(coil_air, -own.heat(out.page_flow), mass_flow);
        if (!heats())
            out.coil_wet_bulb = coil_air.dry_bulb.si == q.entering.dry_bulb.si
                                    ? q.wet_bulb
                                    : air::si::wet_bulb(coil_air.dry_bulb.si, coil_air.humidity_ratio.si, c.pressure);
    }
    out.coil_dry_bulb = c.dry_bulb = coil_air.dry_bulb.si;
    c.coil_wet_bulb = out.coil_wet_bulb;
    c.outdoor = q.outdoor;
    c.beside = 0.0;
    if (match != nullptr && match->airflow && c.outside.all != follow) {
        const auto& [least, most] = *match->airflow;
        const double slack = 1e-9 * most.si;  // unit conversion must not miss a bound
        const double flow = c.page_flow * out.flow_ratio;
        if (flow < least.si - slack || flow > most.si + slack)
            return {Why::outside, About::standard_airflow, -1, -1, flow, least.si, most.si};
    }
    out.beside = 0.0;
    if (heats()) {
        if (out.coil_dry_bulb != q.entering.dry_bulb.si)
            out.beside = heating.beside(out.coil_dry_bulb, q.entering.dry_bulb.si, c.outside);
        return {};
    }
    if (const auto& at = table().basis().sensible_at; at && std::abs(c.dry_bulb - at->si) <= 1e-9) c.dry_bulb = at->si;
    const auto humidity = c.place_on_axis(coil_air, out.coil_wet_bulb);
    if (!humidity) return humidity.reason();
    out.humidity = *humidity;
    out.beside = c.beside;
    return {};
}

/// Why an answer that leans on inferred nodes must be asked for.
[[nodiscard]] inline Reason needs_asking(const CoolingChain& c, const Gross& gross) noexcept {
    if (!gross.filled) return {};
    return {Why::not_inferred, About::entering_dry_bulb, -1, -1, c.dry_bulb, 0.0, 0.0};
}

/// What a modelled line set costs in heating.
inline void Frame::find_heating_loss(const Situation& q, ChainPoint& wet) const noexcept {
    wet.line = {};
    if (chain.run.modelled)
        wet.line = derates::heating_loss(chain.run, wet.page.total * chain.line.total,
                                         derates::heating_condensing(q.entering.dry_bulb.si), q.outdoor);
}

/// Nothing, or that the line is too small or long for the model.
[[nodiscard]] constexpr Reason check_line_loss(const derates::LineLoss& line) noexcept {
    constexpr double most = derates::greatest_saturation_loss;
    if (line.saturation <= most) return {};
    return {Why::outside, About::suction_loss, -1, -1, line.saturation, 0.0, most};
}

inline Reason Frame::conclude(const Situation& q, const CoolingChain& c, AnswerNumbers& out,
                              FoundKnee* found) const noexcept {
    Gross& gross = out.gross;
    if (heats()) find_heating_loss(q, gross.wet);
    if (chain.run.modelled)
        if (const Reason reason = check_line_loss(gross.wet.line); !reason.none()) return reason;
    if (heats()) {
        if (const Reason reason = HeatingChain::resolve(out.beside, c.line, c.altitude, c.airflow, q.frost, gross);
            !reason.none())
            return reason;
        gross.footing |= footing;
        out.total = gross.total + q.fan_heat;
        return {};
    }
    if (c.beside != 0.0)
        if (const Reason reason = c.check_beside(gross.wet); !reason.none()) return reason;
    if (const Reason reason = c.resolve(out.humidity, gross, found); !reason.none()) return reason;
    gross.footing |= footing;
    if (!infer)
        if (const Reason reason = needs_asking(c, gross); !reason.none()) return reason;
    out.total = gross.total - q.fan_heat;
    if (!(out.total > 0.0)) return {Why::no_expected, About::fan_power, -1, -1, q.fan_heat, 0.0, gross.total};
    out.sensible = gross.sensible - q.fan_heat;
    return {};
}

inline Reason Frame::supply_air(const Situation& q, const AnswerNumbers& p, double mass_flow, bool at_fan,
                                air::State& out) const noexcept {
    if (heats()) {
        out = warmed(q.entering, p.gross.total + (at_fan ? 0.0 : q.fan_heat), mass_flow);
        return {};
    }
    if (!p.has_sensible()) return p.gross.wet.no_sensible;
    const air::State leaving = leaving_state(q.entering, mass_flow, p.total, p.sensible);
    out = at_fan ? warmed(leaving, -q.fan_heat, mass_flow) : leaving;
    return can_leave(leaving);
}

/// Mass flow of dry air where `at(m, numbers)` answers a question at mass flow m, or says why not. An airflow read in
/// the supply, or at a draw-through fan, is at the density of air that depends on the answer: a few passes settle it,
/// since density moves by a few percent only.
template <class At>
[[nodiscard]] Answer<double> settled_mass_flow(const Frame& frame, const Situation& q, const At& at) noexcept {
    if (q.airflow.kind != AirflowReading::Kind::actual) return dry_mass_flow(q.airflow, q.entering);
    auto m = dry_mass_flow(q.airflow, q.entering);
    if (!m) return m;
    const bool read_at_fan = q.airflow.place == air::Place::fan;
    if (read_at_fan && frame.fan == FanPosition::unknown) return not_given(About::fan_position);
    const bool at_fan = read_at_fan && frame.fan == FanPosition::draw_through;
    if (q.airflow.place != air::Place::supply_air && !at_fan) return m;
    AnswerNumbers numbers;
    air::State there;
    for (int pass = 0; pass < 40; ++pass) {
        if (const Reason reason = at(*m, numbers); !reason.none()) return reason;
        if (const Reason reason = frame.supply_air(q, numbers, *m, at_fan, there); !reason.none()) return reason;
        const auto next = dry_mass_flow(q.airflow, there);
        if (!next) return next;
        const double change = std::abs(*next - *m);
        m = next;
        if (change <= 1e-14 * *next) break;
    }
    return m;
}

inline Answer<double> Frame::mass_flow(const Situation& q) const noexcept {
    return settled_mass_flow(*this, q, [&](double m, AnswerNumbers& out) noexcept { return at(q, m, out); });
}

inline CoolingChain Frame::chain_of(const Situation& q, const AnswerNumbers& p) const noexcept {
    CoolingChain c = chain;
    c.mass_flow = p.mass_flow;
    c.page_flow = p.page_flow;
    take_airflow(p.flow_ratio, c);
    c.outdoor = q.outdoor;
    c.dry_bulb = p.coil_dry_bulb;
    c.coil_wet_bulb = p.coil_wet_bulb;
    c.beside = p.beside;
    return c;
}

/// A coefficient of performance stands on one boundary: gross over the outdoor unit at the coil, net over the system
/// with the fan.
inline Reason Frame::why_no_cop(const AnswerNumbers& p) const noexcept {
    if (!has_power || !(p.gross.power > 0.0)) return plain_reason(Why::no_output, About::power);
    const bool alike = power_basis == PowerBasis::outdoor_unit ||
                       (power_basis == PowerBasis::system && boundary == Boundary::coil_and_fan);
    return alike ? Reason{} : plain_reason(Why::unlike_basis, About::efficiency);
}

inline void Frame::tell(const Situation& q, const AnswerNumbers& p, ExpectedValues& e) const noexcept {
    const bool has_sensible = p.has_sensible(), with_fan = has_power && adds_fan_power();
    const auto power_if = [](bool holds, double si) noexcept {
        return holds ? std::optional(Power{si}) : std::nullopt;
    };
    e.mode = mode;
    e.stage = stage_index;
    e.match = match_index;
    e.boundary = boundary;
    e.power_basis = power_basis;
    e.footing = p.gross.footing;
    e.outdoor_dry_bulb.si = q.outdoor;
    e.entering_dry_bulb = q.entering.dry_bulb;
    e.total_capacity.si = p.total;
    e.sensible_capacity = power_if(has_sensible, p.sensible);
    e.latent_capacity = power_if(has_sensible, p.total - p.sensible);
    e.power = power_if(has_power, p.gross.power);
    e.system_power = power_if(with_fan, p.gross.power + q.fan_heat);
    e.leaving.reset();
    e.gross_total.si = p.gross.total;
    e.mass_flow.si = p.mass_flow;
    e.standard_airflow.si = p.page_flow * p.flow_ratio;
    e.knee.reset();
    if (heats()) return tell_heating(q, p, with_fan, e);
    e.bypass = p.gross.wet.bypass > 0.0 ? std::optional(p.gross.wet.bypass) : std::nullopt;
    if (p.gross.knee) e.knee = Temperature{chain_of(q, p).wet_bulb_at(*p.gross.knee)};
}

/// What only heating tells.
inline void Frame::tell_heating(const Situation& q, const AnswerNumbers& p, bool with_fan,
                                ExpectedValues& e) const noexcept {
    e.frost = heating.kind();
    e.defrost_table = heating.integrates();
    e.auxiliary_heat.si = q.auxiliary_heat;
    e.defrost_time_fraction = q.frost.factors.time_fraction;
    e.bypass.reset();
    e.cop.reset();
    if (why_no_cop(p).none()) e.cop = p.total / (with_fan ? p.gross.power + q.fan_heat : p.gross.power);
}

inline bool Frame::leaving(const Situation& q, const AnswerNumbers& p, air::State& out) const noexcept {
    if (heats() ? q.missing_humidity != About::nothing : !p.has_sensible()) return false;
    out = heats() ? warmed(q.entering, p.total, p.mass_flow)
                  : leaving_state(q.entering, p.mass_flow, p.total, p.sensible);
    return true;
}

inline void Frame::tell(const Situation& q, const AnswerNumbers& p, Expected& e) const noexcept {
    tell(q, p, static_cast<ExpectedValues&>(e));
    doubt(q, p, e.uncertainty, e.notes);
    e.coil_dry_bulb.si = p.coil_dry_bulb;
    e.coil_wet_bulb.si = p.coil_wet_bulb;
    e.entered = heats() ? entered(q, chain, p)
                        : PagePoint{{q.outdoor, p.page_flow, p.humidity, p.coil_dry_bulb, chain.pressure}};
    tell_ledger(q, p, e.ledger);
    e.no_sensible = p.gross.wet.no_sensible;
    e.no_power = has_power ? Reason{} : plain_reason(Why::no_output, About::power);
    e.no_cop = heats() ? why_no_cop(p) : plain_reason(Why::no_output, About::efficiency);
    air::State out;
    if (!leaving(q, p, out)) {
        e.no_leaving = heats() ? not_given(q.missing_humidity) : p.gross.wet.no_sensible;
        return;
    }
    e.no_leaving = can_leave(out);
    if (e.no_leaving.none())
        e.leaving = leaving_air(q.entering, out);
    else if (!heats())
        e.notes.add(Note::leaving_impossible);
}

inline void Frame::doubt(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u,
                         Notes& out) const noexcept {
    out = notes;
    u = {};
    if (q.entering.saturated_within_tolerance) out.add(Note::saturated_entering);
    const double total = p.gross.total;
    u.altitude = altitude_doubt * total;
    if (tolerance) u.tolerance = 0.5 * *tolerance * total;
    if (multiplied > 0) u.multiplier = multiplier_row * real::sqrt(static_cast<double>(multiplied)) * p.total;
    if (p.flow_ratio != 1.0) {
        u.airflow = derates::airflow_uncertainty * std::abs(p.flow_ratio - 1.0) * total;
        out.add(Note::airflow_effect);
    }
    heats() ? doubt_of_heating(q, p, u, out) : doubt_of_cooling(q, p, u, out);
}

/// Relative standard uncertainty of total for what is uncertain of a line set's equivalent length.
inline double Frame::doubt_of_fittings(const Situation& q, const AnswerNumbers& p) const noexcept {
    const derates::LineRun& run = chain.run;
    if (!run.modelled || run.length_uncertainty == 0.0) return line_uncertainty;
    const auto factor = [&](double longer) noexcept {
        derates::LineRun other = run;
        other.gas.length = (std::max)(0.0, run.gas.length + longer);
        const double printed = p.gross.wet.page.total * chain.match.total * chain.line.total;
        const derates::LineLoss loss =
            heats()
                ? derates::heating_loss(other, printed, derates::heating_condensing(q.entering.dry_bulb.si), q.outdoor)
                : derates::cooling_loss(other, printed, derates::evaporating(p.coil_wet_bulb),
                                        derates::condensing(q.outdoor), q.outdoor);
        return loss.factor;
    };
    return std::abs(factor(run.length_uncertainty) - factor(-run.length_uncertainty)) / (2.0 * p.gross.wet.line.factor);
}

/// W that total is uncertain by for the line set: the model's own, its fittings, an unknown lift, liquid that may not
/// reach the valve.
inline double Frame::doubt_of_line(const Situation& q, const AnswerNumbers& p, Notes& out) const noexcept {
    const derates::LineRun& run = chain.run;
    const Gross& gross = p.gross;
    double open = notes.has(Note::lift_unknown) ? 0.01 : 0.0, lost = 0.0;
    // Liquid runs to the indoor unit in cooling, to the outdoor unit in heating.
    const double rise = heats() ? run.lift : -run.lift;
    if (run.refrigerant != nullptr && (rise > 0.0 || run.liquid_bore > 0.0)) {
        const double at =
            heats() ? derates::heating_condensing(q.entering.dry_bulb.si) : derates::condensing(q.outdoor);
        const double flow = heats() ? derates::heating_flow(*run.refrigerant, gross.wet.total, at)
                                    : derates::cooling_flow(*run.refrigerant, gross.wet.total,
                                                            derates::evaporating(p.coil_wet_bulb), at);
        const double taken = derates::subcooling_lost(run, flow, rise, at);
        if (taken > derates::usual_subcooling) {
            out.add(Note::subcooling_lost);
            lost = 0.05;
        }
    }
    const double fittings = doubt_of_fittings(q, p);
    if (!run.modelled && open == 0.0 && lost == 0.0 && fittings == 0.0) return 0.0;
    return gross.total * root_of_squares({gross.wet.line.uncertainty / gross.wet.line.factor, open, lost, fittings});
}

/// K by which the air outdoors is past the page, where its edge is held for that; and says so.
inline double Frame::held_outdoor(const Situation& q, Notes& out) const noexcept {
    const auto x = grid().breakpoints(0);  // the first axis of every page
    const double beyond = (std::max)(x.front() - q.outdoor, q.outdoor - x.back());
    if (chain.outside.outdoor == 0.0 || !(beyond > 0.0)) return 0.0;
    out.add(Note::outdoor_held);
    return beyond;
}

/// Past the edge the truth is taken to lie anywhere (rectangular) between the held and the extended answer. Where the
/// outdoor edge is held farther, what the page's own curvature may take it off the extended one is added. The invented
/// machines of tables/ are off by more than twice that standard uncertainty in less than 5 % of cases, up to 45 degF
/// past their pages (tests/expect/test_held_edges.py). `capacity` (W) is what was read; nothing was extended where that
/// cannot be.
inline double Frame::width_outside(const Situation& q, double capacity, std::optional<double> distance,
                                   Notes& out) const noexcept {
    const double beyond = held_outdoor(q, out);
    if (beyond == 0.0) return distance.value_or(0.0);
    if (!distance)
        return 0.02 * beyond * capacity;  // 1 %/degF, more than any page's slope (common practice, no source)
    const auto x = grid().breakpoints(0);
    const double step = q.outdoor < x.front() ? x[1] - x[0] : x[x.size() - 1] - x[x.size() - 2];
    double curvature = heats() ? heating.page->table.built().curvature[0] : table().built().curvature[0];
    if (x.size() < 3) {
        out.add(Note::curvature_assumed);
        curvature = heats() ? 5e-4 : 1.3e-4;  // per K squared (common practice, no source)
    }
    return *distance + 0.5 * curvature * beyond * (beyond + step) * capacity;
}

/// How far a page's held and extended answers are apart.
inline std::optional<double> Frame::distance_of_edges(const PagePoint& entered) const noexcept {
    PageReading held, extended;
    if (!read_page(table(), entered, this->held(), held).none() ||
        !read_page(table(), entered, follow, extended).none())
        return std::nullopt;
    return std::abs(held.total - extended.total);
}

/// Between a wet and a dry pair lies the knee, and the page does not say where. On its wet side the truth follows the
/// wet line, on its dry side it hardly moves: it lies below the straight way between the two, by this much at most.
inline double Frame::depth_of_knee(const Situation& q, const AnswerNumbers& p) const noexcept {
    const std::vector<IndoorPair>& pairs = table().page().pairs;
    const double low = real::floor(p.humidity);
    if (low == p.humidity) return 0.0;
    const auto read = [&](double pair, PageReading& out) noexcept {
        return read_page(table(), {{q.outdoor, p.page_flow, pair, p.coil_dry_bulb, chain.pressure}}, chain.outside, out)
            .none();
    };
    PageReading wet, dry, next;
    if (!read(low, wet) || !read(low + 1.0, dry)) return 0.0;
    double at_wet = low, at_dry = low + 1.0;
    if (wet.inferred > dry.inferred) {
        std::swap(wet, dry);
        std::swap(at_wet, at_dry);
    }
    const double to_dry = std::abs(p.humidity - at_wet), fall = (std::max)(0.0, wet.total - dry.total);
    double above_line = fall;
    if (const double beyond = 2.0 * at_wet - at_dry;
        beyond >= 0.0 && beyond < static_cast<double>(pairs.size()) && read(beyond, next)) {
        const auto wet_bulb = [&](double pair) noexcept { return pairs[static_cast<std::size_t>(pair)].wet_bulb; };
        if (const double width = wet_bulb(beyond) - wet_bulb(at_wet); width != 0.0)
            above_line = (std::max)(
                0.0, dry.total - wet.total - (next.total - wet.total) / width * (wet_bulb(at_dry) - wet_bulb(at_wet)));
    }
    return (std::min)(to_dry * above_line, (1.0 - to_dry) * fall);
}

/// What it costs a total that nobody knows where the fan stands. Draw-through is taken; before the coil, as likely, the
/// fan's heat would enter it. Where the page does not tell what that would change, 1.5 % of total per degF of wet bulb
/// is taken (common practice, no source).
inline double Frame::doubt_of_fan(const Situation& q, const AnswerNumbers& p) const noexcept {
    if (!(q.fan_heat > 0.0)) return 0.0;
    const air::State warmer = warmed(q.entering, q.fan_heat, p.mass_flow);
    const double wet_bulb = air::si::wet_bulb(warmer.dry_bulb.si, warmer.humidity_ratio.si, chain.pressure);
    CoolingChain there = chain_of(q, p);
    there.dry_bulb = warmer.dry_bulb.si;
    there.coil_wet_bulb = wet_bulb;
    Gross out;
    if (const auto place = there.place_on_axis(warmer, wet_bulb))
        if (there.at(*place, out.wet).none() && there.resolve(*place, out).none())
            return std::abs(out.total - p.gross.total) / real::sqrt(2.0);
    return 0.015 * 1.8 * (wet_bulb - q.wet_bulb) * p.gross.total / real::sqrt(2.0);
}

/// What leaning on dry nodes costs a total. Its error grows with their share, up to a standard uncertainty of 0.6 %
/// where the dry-coil rule can be applied with a printed bypass factor, 1.2 % elsewhere. Where it cannot be applied,
/// the truth is besides taken to lie anywhere (rectangular) between what is told and where the page would have it:
/// without a sensible capacity here, at the dry bulb that it prints; between pairs, down to the knee. So unlike models
/// of coil and compressor are off by more than twice the standard uncertainty in under 5 % of cases
/// (tests/expect/near_dry.cpp).
inline double Frame::doubt_near_dry(const Situation& q, const AnswerNumbers& p) const noexcept {
    const Gross& gross = p.gross;
    const bool ruled = p.has_sensible() && !chain.along_pairs();
    double width = 0.0;
    if (chain.along_pairs()) {
        width = depth_of_knee(q, p) * factor(p);
    } else if (!ruled) {
        CoolingChain printed = chain_of(q, p);
        printed.dry_bulb = printed.reference();
        Gross there;
        if (printed.at(p.humidity, there.wet).none() && printed.resolve(p.humidity, there).none())
            width = std::abs(there.total - gross.total);
    }
    const double most = (ruled && !table().built().bypass_inferred ? 0.006 : 0.012) * gross.total;
    const double share = std::clamp(gross.inferred, 0.0, 1.0);  // past an edge it is extended as all is
    return root_of_squares({most * real::sqrt(share), width / real::sqrt(3.0)});
}

inline void Frame::doubt_of_cooling(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u,
                                    Notes& out) const noexcept {
    const Gross& gross = p.gross;
    if (gross.knee) out.add(Note::power_of_dry_coil);
    if (gross.wet.scaled) out.add(Note::sensible_scaled);
    if (gross.wet.by_bypass && table().built().bypass_inferred) out.add(Note::bypass_inferred);
    if (!p.has_sensible() && p.beside == 0.0) out.add(Note::dryness_unknown);
    if (gross.filled) out.add(Note::inferred_dry_bulb);
    if (chain.along_pairs() && has(gross.footing, Footing::dry | Footing::wet_line))
        out.add(Note::sensible_lower_bound);

    const double humidity = gross.knee ? *gross.knee : p.humidity;
    const PagePoint entered{{q.outdoor, p.page_flow, humidity, p.coil_dry_bulb, chain.pressure}};
    const PageUncertainty page = page_uncertainty(table(), entered, gross.wet.page.total);
    if (!page.curvature_known) out.add(Note::interpolation_unknown);
    const double factor = this->factor(p);
    if (line_in_doubt) u.line = doubt_of_line(q, p, out);
    u.resolution = page.resolution * factor;
    u.interpolation = page.interpolation * factor;
    if (has(gross.footing, Footing::held | Footing::extended)) {
        u.outside = width_outside(q, gross.wet.page.total, distance_of_edges(entered), out) * factor / real::sqrt(3.0);
        // A fifth more for what rounded factors leave of the last step's slope (common practice, no source).
        if (line_continued > 0.0)
            u.outside =
                root_of_squares({u.outside, 1.2 * line_continued / chain.line.total * gross.total / real::sqrt(3.0)});
    }
    if (has(gross.footing, Footing::inferred | Footing::wet_line)) u.inferred = doubt_near_dry(q, p);
    if (p.beside != 0.0) {
        out.add(Note::beside_pairs);
        u.inferred = root_of_squares({u.inferred, beside_uncertainty * p.beside * gross.total});
    }
    if (notes.has(Note::fan_position_unknown)) u.inferred = root_of_squares({u.inferred, doubt_of_fan(q, p)});
    if (notes.has(Note::match_factor)) u.match = 0.02 * gross.total;
}

inline void Frame::doubt_of_heating(const Situation& q, const AnswerNumbers& p, ExpectedUncertainty& u,
                                    Notes& out) const noexcept {
    const HeatingTable& page = heating.page->table;
    const double odb = q.outdoor, edb = p.coil_dry_bulb - p.beside, capacity = p.gross.wet.page.total;
    const double factor = q.frost.factors.capacity * this->factor(p) * HeatingChain::preheat(p.beside).total;
    if (line_in_doubt) u.line = doubt_of_line(q, p, out);
    const PageUncertainty own = heating_uncertainty(page, odb, p.page_flow, edb, capacity);
    if (!own.curvature_known) out.add(Note::interpolation_unknown);
    u.resolution = own.resolution * factor;
    u.interpolation = own.interpolation * factor;
    if (heating.back) u.inferred = 0.5 * (p.gross.total - p.gross.wet.total);
    if (p.beside != 0.0) {
        out.add(Note::preheat_assumed);
        u.inferred = root_of_squares({u.inferred, HeatingChain::preheat_uncertainty * p.beside * p.gross.total});
    }
    if (notes.has(Note::fan_position_unknown)) {  // either place is as likely
        const double warmer = warmed(q.entering, q.fan_heat, p.mass_flow).dry_bulb.si - q.entering.dry_bulb.si;
        u.inferred = root_of_squares(
            {u.inferred, (1.0 - HeatingChain::preheat(warmer).total) * p.gross.total / real::sqrt(2.0)});
    }
    constexpr Footing past = Footing::held | Footing::extended;
    if (has(p.gross.wet.page.footing, past)) {
        const auto held = read_heating(page, odb, p.page_flow, edb, this->held()),
                   extended = read_heating(page, odb, p.page_flow, edb, follow);
        std::optional<double> distance;
        if (held && extended) distance = std::abs(held->capacity - extended->capacity);
        u.outside = width_outside(q, capacity, distance, out) * factor / real::sqrt(3.0);
    }
    if (line_continued > 0.0)
        u.outside =
            root_of_squares({u.outside, 1.2 * line_continued / chain.line.total * p.gross.total / real::sqrt(3.0)});
    if (has(q.frost.footing, past)) {  // the defrost table likewise
        if (chain.outside.outdoor > 0.0) out.add(Note::outdoor_held);
        const auto held = heating.frost(odb, q.outdoor_humidity, this->held()),
                   extended = heating.frost(odb, q.outdoor_humidity, follow);
        if (held && extended)
            u.outside = root_of_squares(
                {u.outside, (held->factors.capacity - extended->factors.capacity) * capacity / real::sqrt(3.0)});
    }
    // Another match: no heating factor is printed. The truth is taken to lie between 1 and the cooling factor
    // (rectangular), and 2 % besides, as for a cooling factor used across the map (common practice, no source).
    if (match != nullptr && !match->reference)
        u.match = p.gross.total * root_of_squares({0.02, std::abs(1.0 - match->factors.total) / real::sqrt(3.0)});
}

inline void Frame::tell_ledger(const Situation& q, const AnswerNumbers& p, Ledger& ledger) const noexcept {
    const ChainPoint& wet = p.gross.wet;
    tell_page(q, p, ledger);
    if (!heats()) {
        const AnswerNumbers::LowerSpeed own{p.gross.total, p.gross.sensible, p.gross.power};
        tell_cooling_steps(p, p.lower.applies ? p.lower : own, ledger);
    } else {
        Factored at{wet.page.total, wet.page.power};
        tell_factors(Step::Kind::fan_preheat, HeatingChain::preheat(p.beside), -1, at, ledger);
        tell_factors(Step::Kind::line_set, chain.line, -1, at, ledger);
        if (chain.run.modelled)
            ledger.add(
                {Step::Kind::line_model, Step::Of::total, -1, wet.line.factor, at.total, at.total * wet.line.factor});
        at.total *= wet.line.factor;
        tell_pressure(ledger);
        tell_factors(Step::Kind::altitude_model, chain.altitude, -1, at, ledger);
        tell_factors(Step::Kind::airflow, derates::airflow_effect(p.flow_ratio, true), -1, at, ledger);
        const DefrostFactors& f = q.frost.factors;
        const bool frosts = heating.defrost != nullptr || heating.back;
        if (frosts) ledger.add({Step::Kind::frost, Step::Of::total, -1, f.capacity, wet.total, p.gross.total});
        if (frosts && has_power)
            ledger.add({Step::Kind::frost, Step::Of::power, -1, f.power, wet.power, p.gross.power});
    }
    if (!(q.fan_heat > 0.0)) return;
    ledger.add({Step::Kind::fan_heat, Step::Of::total, -1, 1.0, p.gross.total, p.total});
    if (p.has_sensible()) ledger.add({Step::Kind::fan_heat, Step::Of::sensible, -1, 1.0, p.gross.sensible, p.sensible});
}

/// From what the page prints to what the steps after it start from.
inline void Frame::tell_page(const Situation& q, const AnswerNumbers& p, Ledger& ledger) const noexcept {
    using Kind = Step::Kind;
    using Of = Step::Of;
    const PageReading& read = p.gross.wet.page;
    const std::int16_t source = heats() ? stage_index : std::int16_t{-1};
    const bool has_sensible = !heats() && table().page().has_sensible;
    const auto tell = [&](Kind kind, const Printed& from, const Printed& to) noexcept {
        ledger.add({kind, Of::total, source, 1.0, from.total, to.total});
        if (has_sensible) ledger.add({kind, Of::sensible, -1, 1.0, from.sensible, to.sensible});
        if (has_power && kind != Kind::net_to_gross) ledger.add({kind, Of::power, source, 1.0, from.power, to.power});
    };
    const Printed line{read.total, read.sensible, read.power};
    const bool net = heats() ? heating.page->table.basis().capacity == CapacityBasis::net
                             : table().basis().capacity == CapacityBasis::net;
    const bool leans = has(read.footing, Footing::wet_line) && !chain.along_pairs();
    Printed printed = line;
    if (heats() && net)
        printed.total +=
            printed_fan(heating.page->table, q.outdoor, p.page_flow, p.coil_dry_bulb - p.beside, chain.outside);
    else if (net || leans)
        printed = printed_at(table(), chain_of(q, p).page_point(p.humidity), chain.outside);
    tell(Kind::page, printed, printed);
    if (net) {
        const Printed gross{printed.total + printed.fan, printed.sensible + printed.fan, printed.power};
        tell(Kind::net_to_gross, printed, leans ? gross : line);
        printed = gross;
    }
    if (leans) tell(Kind::wet_line, printed, line);
    if (p.coil_dry_bulb == q.entering.dry_bulb.si) return;
    ledger.add({Kind::fan_preheat, Of::dry_bulb, -1, 1.0, q.entering.dry_bulb.si, p.coil_dry_bulb});
    if (!heats()) ledger.add({Kind::fan_preheat, Of::wet_bulb, -1, 1.0, q.wet_bulb, p.coil_wet_bulb});
}

/// What the site's pressure is beside the page's.
inline void Frame::tell_pressure(Ledger& ledger) const noexcept {
    const double page = chain.page_pressure;
    if (chain.pressure != page)
        ledger.add({Step::Kind::station_pressure, Step::Of::pressure, -1, chain.pressure / page, page, chain.pressure});
}

/// Total and power, each by its factor.
inline void Frame::tell_factors(Step::Kind kind, const Factors& f, std::int16_t source, Factored& at,
                                Ledger& ledger) const noexcept {
    const Factored before = at;
    at = {before.total * f.total, before.power * f.power};
    if (f.total != 1.0) ledger.add({kind, Step::Of::total, source, f.total, before.total, at.total});
    if (f.power != 1.0 && has_power) ledger.add({kind, Step::Of::power, source, f.power, before.power, at.power});
}

inline void Frame::tell_cooling_steps(const AnswerNumbers& p, const AnswerNumbers::LowerSpeed& gross,
                                      Ledger& ledger) const noexcept {
    using Kind = Step::Kind;
    using Of = Step::Of;
    const ChainPoint& wet = p.gross.wet;
    Factored at{wet.page.total, wet.page.power};
    tell_factors(Kind::match, chain.match, match_index, at, ledger);
    tell_factors(Kind::line_set, chain.line, -1, at, ledger);
    if (chain.run.modelled)
        ledger.add({Kind::line_model, Of::total, -1, wet.line.factor, at.total, at.total * wet.line.factor});
    at.total *= wet.line.factor;
    tell_pressure(ledger);
    tell_factors(altitude_assumed ? Kind::altitude_model : Kind::altitude, chain.altitude, -1, at, ledger);
    tell_factors(Kind::airflow, derates::airflow_effect(p.flow_ratio, false), -1, at, ledger);
    if (p.has_sensible()) {
        if (wet.coil != wet.page.sensible) ledger.add({Kind::coil, Of::sensible, -1, 1.0, wet.page.sensible, wet.coil});
        if (wet.sensible != wet.coil)
            ledger.add({Kind::entering_dry_bulb, Of::sensible, -1, 1.0, wet.coil, wet.sensible});
        if (p.gross.knee || gross.total != wet.total ||
            gross.power != wet.power) {  // the rule, or a dry node's own offset
            ledger.add({Kind::dry_coil, Of::total, -1, 1.0, wet.total, gross.total});
            ledger.add({Kind::dry_coil, Of::sensible, -1, 1.0, wet.sensible, gross.sensible});
            if (has_power) ledger.add({Kind::dry_coil, Of::power, -1, 1.0, wet.power, gross.power});
        }
    }
    if (!p.lower.applies) return;
    ledger.add({Kind::speed, Of::total, -1, 1.0, gross.total, p.gross.total});
    if (p.has_sensible()) ledger.add({Kind::speed, Of::sensible, -1, 1.0, gross.sensible, p.gross.sensible});
    if (has_power) ledger.add({Kind::speed, Of::power, -1, 1.0, gross.power, p.gross.power});
}

/// `try_expect` at a stage. @return why not
[[nodiscard]] inline Reason expect_at_stage(const System& system, const Site& site, const Question& question,
                                            Expected& out) noexcept {
    Frame frame;
    Situation situation;
    AnswerNumbers numbers;
    if (const Reason reason = find_frame(system, site, question, frame); !reason.none()) return reason;
    if (const Reason reason = frame.situation(question.values, situation); !reason.none()) return reason;
    const auto mass_flow = frame.mass_flow(situation);
    if (!mass_flow) return mass_flow.reason();
    if (const Reason reason = frame.at(situation, *mass_flow, numbers); !reason.none()) return reason;
    frame.tell(situation, numbers, out);
    return {};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
