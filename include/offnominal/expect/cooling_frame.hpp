/// @file
/// What many questions to one cooling page have in common: page, factors, pressure, fan. What is asked of a frame
/// stands in cooling.hpp, which is the header to include.
#pragma once

#include <cmath>

#include "offnominal/conditions.hpp"
#include "offnominal/expect/gross_chain.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// One question's numbers, SI.
struct CoolingQuestion {
    double outdoor = 0.0;   ///< degC
    air::State entering;    ///< at the boundary
    double wet_bulb = 0.0;  ///< degC, entering at the boundary
    double fan_heat = 0.0;  ///< W inside the boundary
    AirflowReading airflow;
};

/// One question's answer before it is told.
struct CoolingPoint {
    GrossChain::Result gross;
    double mass_flow = 0.0;      ///< kg/s dry air
    double page_flow = 0.0;      ///< m3/s by the page's pound
    double coil_dry_bulb = 0.0;  ///< degC
    double coil_wet_bulb = 0.0;  ///< degC
    double humidity = 0.0;       ///< where the page's humidity axis was entered
    /// Between two speeds: gross total, sensible and power of the lower one, which `gross` held before.
    struct LowerSpeed {
        double total = 0.0, sensible = 0.0, power = 0.0;
        bool applies = false;
    };
    LowerSpeed lower;
    double total = 0.0;     ///< W at the boundary
    double sensible = 0.0;  ///< W at the boundary, if the page has one

    [[nodiscard]] bool has_sensible() const noexcept { return gross.wet.no_sensible.none(); }
};

/// What is told of a point besides its numbers.
struct Told {
    ExpectedUncertainty uncertainty;
    Notes notes;
};

/// What many questions to one page have in common.
struct CoolingFrame {
    const Match* match = nullptr;
    std::int16_t match_index = -1, stage_index = -1;
    Boundary boundary = Boundary::not_given;
    FanPosition fan = FanPosition::unknown;
    bool blow_through = false;  ///< the fan warms the coil's air inside the boundary
    bool page_blow_through =
        false;  ///< a net page printed for a blow-through unit: entered with air before its own fan
    bool altitude_assumed = false;
    bool infer = false;
    std::optional<double> own_flow;  ///< m3/s: the one airflow a speed's page is printed at, read whatever flows
    Notes notes;
    GrossChain chain;  ///< all but mass flow, outdoor and coil air

    [[nodiscard]] const RatingTable& table() const noexcept { return *chain.table; }

    /// The numbers of a question, its air checked. @return why not
    [[nodiscard]] Reason question(const Conditions& c, CoolingQuestion& out) const noexcept;
    /// The same for air that is known to be in order.
    [[nodiscard]] Reason question(double outdoor, const air::State& entering, double wet_bulb, double fan_power,
                                  const AirflowReading& airflow, CoolingQuestion& out) const noexcept;
    /// Mass flow of dry air (kg/s).
    [[nodiscard]] Answer<double> mass_flow(const CoolingQuestion& q) const noexcept;
    /// All steps, for one mass flow. @return why not
    [[nodiscard]] Reason at(const CoolingQuestion& q, double mass_flow, CoolingPoint& out) const noexcept;
    /// The steps before the page is read: where the chain is entered.
    [[nodiscard]] Reason enter(const CoolingQuestion& q, double mass_flow, GrossChain& c,
                               CoolingPoint& out) const noexcept;
    /// The steps after the chain has given `out.gross.wet`.
    [[nodiscard]] Reason conclude(const CoolingQuestion& q, const GrossChain& c, CoolingPoint& out) const noexcept;
    /// The answer with everything it stands on.
    void tell(const CoolingQuestion& q, const CoolingPoint& point, Expected& e) const noexcept;
    /// The part of it that batches tell too, but for what the leaving air adds.
    void told(const CoolingQuestion& q, const CoolingPoint& point, Told& out) const noexcept;
    /// Whether the page's power, with the indoor fan's, is that of the system.
    [[nodiscard]] bool adds_fan_power() const noexcept {
        return table().basis().power == PowerBasis::outdoor_unit && boundary == Boundary::coil_and_fan;
    }

   private:
    /// The chain of one point.
    [[nodiscard]] GrossChain chain_of(const CoolingQuestion& q, const CoolingPoint& point) const noexcept;
    [[nodiscard]] double outside_uncertainty(const PagePoint& entered, const CoolingPoint& point) const noexcept;
    /// Why an answer that leans on inferred nodes must be asked for.
    [[nodiscard]] static Reason needs_asking(const GrossChain& c, const GrossChain::Result& gross) noexcept;
    void tell_ledger(Ledger& ledger, const CoolingQuestion& q, const CoolingPoint& point) const noexcept;
};

[[nodiscard]] constexpr Reason not_given(About about) noexcept { return {Why::not_given, about, -1, -1, 0, 0, 0}; }

/// Finds page and factors. Does not look at the numbers of the question. @return why not
[[nodiscard]] inline Reason find_frame(const System& system, const Site& site, const Conditions& c,
                                       CoolingFrame& f) noexcept {
    if (!std::isnan(c.speed)) return {Why::contradictory, About::speed, -1, -1, c.speed, 0, 0};
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    if (c.boundary == Boundary::not_given) return not_given(About::boundary);
    const SystemParts& parts = system.parts();

    f = {};
    if (!c.match.empty()) {
        f.match = system.match(c.match);
        if (f.match == nullptr) return {Why::unknown_match, About::match, -1, -1, 0, 0, 0};
        f.match_index = static_cast<std::int16_t>(f.match - parts.matches.data());
    } else if (!parts.matches.empty()) {
        return not_given(About::match);
    }
    if (c.stage.empty()) return not_given(About::stage);
    const Stage* stage = system.stage(c.stage, f.match);
    if (stage == nullptr) return {Why::unknown_stage, About::stage, -1, -1, 0, 0, 0};
    f.stage_index = static_cast<std::int16_t>(stage - system.stages(f.match).data());
    const Basis& basis = stage->table.basis();

    GrossChain& chain = f.chain;
    chain.table = &stage->table;
    chain.pressure = *pressure;
    const bool has_pressures = stage->table.has(PageAxis::pressure);
    chain.page_pressure = has_pressures ? chain.pressure : stage->table.pressure();
    chain.outside = c.outside;
    if (f.match != nullptr && f.match->stages.empty()) {
        chain.match = f.match->factors;
        chain.match_bypass = f.match->bypass;
    }
    if (!parts.line_set.empty()) {
        if (!c.line_set) return not_given(About::line_set);
        const auto line = parts.line_set.at(*c.line_set);
        if (!line) return line.reason();
        chain.line = *line;
        if (!parts.reference_line) f.notes.add(Note::reference_line_unknown);
    } else {
        if (c.line_set && !c.line_set->is_reference) return {Why::no_line_table, About::line_set, -1, -1, 0, 0, 0};
        f.notes.add(Note::line_set_unknown);
    }
    if (has_pressures) {
        // The page itself is entered with station pressure: nothing is left to derate.
    } else if (!parts.altitude.empty()) {
        const auto altitude = parts.altitude.at(site.elevation(), site.pressure_only());
        if (!altitude) return altitude.reason();
        chain.altitude = *altitude;
    } else {
        f.altitude_assumed = true;
        if (std::abs(chain.pressure / chain.page_pressure - 1.0) > 0.01) f.notes.add(Note::altitude_assumed);
    }

    f.boundary = c.boundary;
    f.infer = c.infer || stage->table.page().infer;
    if (basis.capacity == CapacityBasis::net)
        f.page_blow_through = system.page_fan(f.match) == FanPosition::blow_through;
    if (f.match != nullptr) f.fan = f.match->fan;
    if (c.boundary == Boundary::coil_and_fan) {
        f.blow_through = f.fan == FanPosition::blow_through;
        if (f.fan == FanPosition::unknown) f.notes.add(Note::fan_position_unknown);
    }
    f.notes.add(basis_notes(basis, stage->table.page().has_power, !has_pressures));
    if (stage->table.page().airflow_multiplied) f.notes.add(Note::airflow_multiplier);
    if (chain.along_pairs()) f.notes.add(Note::along_pairs);
    if (f.match != nullptr && !f.match->reference && f.match->stages.empty()) f.notes.add(Note::match_factor);
    return {};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
