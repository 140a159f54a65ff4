/// @file
/// An expected heating capacity: the question, the answer, and the steps between them. See heating.hpp.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string_view>

#include "offnominal/conditions.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// One question to `expect_heating`. What is not given is NaN, empty or `not_given`, and refused, but for the
/// humidities: entering humidity is needed only for an actual airflow, a page by the moist pound, and the leaving air;
/// outdoor humidity only for a defrost table.
struct HeatingConditions {
    static constexpr double not_given = Conditions::not_given;

    std::string_view stage;
    Frost frost = Frost::unknown;  ///< instantaneous or integrated: there is no default
    std::string_view match;        ///< may stay empty only for a system that lists no matches
    Temperature outdoor_dry_bulb{not_given};
    double outdoor_relative_humidity = not_given;  ///< fraction
    Temperature entering_dry_bulb{not_given};      ///< at the boundary
    air::Humidity entering_humidity = air::relative_humidity(not_given);
    AirflowReading airflow{};
    Boundary boundary = Boundary::not_given;
    Power fan_power{not_given};       ///< indoor fan; needed for coil_and_fan, and not used for coil
    Power auxiliary_heat{not_given};  ///< electric or fuel; 0 W says that it is off. Never part of the capacity
    Outside outside = Outside::refuse;
};

/// What a machine should deliver in heating, without its auxiliary heat.
struct ExpectedHeating {
    std::int16_t page = -1;        ///< index into `SystemParts::heating`
    std::int16_t match = -1;       ///< index of the match, or -1
    Frost frost = Frost::unknown;  ///< of `capacity`: as asked, or unknown where the page does not say
    bool defrost_table = false;    ///< integrated by the defrost table, from an instantaneous page
    Temperature outdoor_dry_bulb;
    Temperature entering_dry_bulb;  ///< at the boundary
    Boundary boundary = Boundary::not_given;
    PowerBasis power_basis = PowerBasis::unknown;

    Power capacity;                     ///< at `boundary`
    Power gross_capacity;               ///< at the coil
    std::optional<Power> power;         ///< as the page prints it (`power_basis`); empty: see `no_power`
    std::optional<Power> system_power;  ///< with the indoor fan, where the page prints outdoor-unit power
    std::optional<double> cop;  ///< capacity over power where both stand at the same boundary; empty: see `no_cop`
    std::optional<LeavingAir> leaving;   ///< before any auxiliary heater; empty: see `no_leaving`
    Power auxiliary_heat;                ///< as given
    double defrost_time_fraction = 0.0;  ///< by the defrost table

    MassFlow mass_flow;        ///< dry air
    Airflow standard_airflow;  ///< by the page's own pound: where the page was entered

    ExpectedUncertainty uncertainty;
    Footing footing = Footing::inside;
    Notes notes;
    Ledger ledger;  ///< capacity stands as `Step::Of::total`

    Reason no_power, no_cop, no_leaving;  ///< why a part is missing

    /// Temperature rise of the air, where there is leaving air.
    [[nodiscard]] OFFNOMINAL_INLINE TemperatureDifference rise() const noexcept {
        return leaving ? -leaving->split : TemperatureDifference{};
    }
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

/// The page that answers for a stage and a kind of heating, or nothing. Instantaneous for integrated only with a
/// defrost table between them; a page of unknown kind only where there is none of the kind asked for (a note says so).
struct HeatingChoice {
    const HeatingStage* page = nullptr;
    bool defrosts = false;
};
[[nodiscard]] inline HeatingChoice heating_page(const System& system, std::string_view stage, Frost frost) noexcept {
    if (const HeatingStage* page = system.heating_stage(stage, frost)) return {page, false};
    if (frost == Frost::integrated && system.parts().defrost)
        if (const HeatingStage* page = system.heating_stage(stage, Frost::instantaneous)) return {page, true};
    return {system.heating_stage(stage, Frost::unknown), false};
}

/// One heating question on its way through the steps. SI.
class HeatingRun {
   public:
    [[nodiscard]] static Answer<HeatingRun> begin(const System& system, const Site& site,
                                                  const HeatingConditions& c) noexcept {
        HeatingRun run;
        if (const Reason reason = run.find_page(system, c); !reason.none()) return reason;
        if (const Reason reason = run.find_air(site, c); !reason.none()) return reason;
        if (const Reason reason = run.find_frost(system, c); !reason.none()) return reason;
        return run;
    }

    [[nodiscard]] Answer<ExpectedHeating> answer() const noexcept {
        const auto m = mass_flow();
        if (!m) return m.reason();
        const auto at_coil = gross(*m);
        if (!at_coil) return at_coil.reason();
        ExpectedHeating out;
        tell(*m, *at_coil, out);
        return out;
    }

   private:
    struct Gross {
        HeatingReading page;
        double page_flow = 0.0;  ///< m3/s
        double capacity = 0.0;   ///< W, frost in it
        double power = 0.0;      ///< W
    };

    [[nodiscard]] static constexpr Reason about(Why why, About what) noexcept { return {why, what, -1, -1, 0, 0, 0}; }
    /// Nothing, or why `value` is no power that can be.
    [[nodiscard]] static Reason check_power(About what, double value) noexcept {
        if (std::isnan(value)) return about(Why::not_given, what);
        if (value >= 0.0 && std::isfinite(value)) return {};
        return {Why::outside, what, -1, -1, value, 0.0, HUGE_VAL};
    }

    /// What the question is about: its match and its page.
    [[nodiscard]] Reason find_page(const System& system, const HeatingConditions& c) noexcept {
        const SystemParts& parts = system.parts();
        if (parts.heating.empty()) return about(Why::no_output, About::heating_capacity);
        if (c.boundary == Boundary::not_given) return about(Why::not_given, About::boundary);
        if (c.frost == Frost::unknown) return about(Why::not_given, About::frost);
        if (!c.match.empty()) {
            match_ = system.match(c.match);
            if (match_ == nullptr) return about(Why::unknown_match, About::match);
            match_index_ = static_cast<std::int16_t>(match_ - parts.matches.data());
        } else if (!parts.matches.empty()) {
            return about(Why::not_given, About::match);
        }
        if (c.stage.empty()) return about(Why::not_given, About::stage);
        const auto [stage, defrosts] = heating_page(system, c.stage, c.frost);
        stage_ = stage;
        defrosts_ = defrosts;
        if (stage_ == nullptr) {
            for (const HeatingStage& other : parts.heating)
                if (other.name == c.stage) return about(Why::no_output, About::frost);
            return about(Why::unknown_stage, About::stage);
        }
        page_index_ = static_cast<std::int16_t>(stage_ - parts.heating.data());
        has_cooling_factors_ = !parts.line_set.empty() || !parts.altitude.empty() || is_other_match();
        c_ = c;
        return {};
    }

    [[nodiscard]] Reason find_air(const Site& site, const HeatingConditions& c) noexcept {
        const auto pressure = site.pressure();
        if (!pressure) return pressure.reason();
        if (std::isnan(c.outdoor_dry_bulb.si)) return about(Why::not_given, About::outdoor_dry_bulb);
        if (std::isnan(c.entering_dry_bulb.si)) return about(Why::not_given, About::entering_dry_bulb);
        if (const Reason reason = check_power(About::auxiliary_heat, c.auxiliary_heat.si); !reason.none())
            return reason;
        if (c.boundary == Boundary::coil_and_fan) {
            if (const Reason reason = check_power(About::fan_power, c.fan_power.si); !reason.none()) return reason;
            fan_heat_ = c.fan_power.si;
        }
        has_humidity_ = !std::isnan(c.entering_humidity.value);
        const bool needs_humidity =
            c.airflow.kind == AirflowReading::Kind::actual || basis().standard_pound == Pound::moist;
        if (needs_humidity && !has_humidity_) return about(Why::not_given, About::relative_humidity);
        const auto entering = air::try_state(
            c.entering_dry_bulb, has_humidity_ ? c.entering_humidity : air::humidity_ratio(HumidityRatio{0.0}),
            Pressure{*pressure});
        if (!entering) return entering.reason();
        entering_ = *entering;
        return {};
    }

    [[nodiscard]] Reason find_frost(const System& system, const HeatingConditions& c) noexcept {
        const double rh = c.outdoor_relative_humidity;
        if (!std::isnan(rh) && !(rh >= 0.0 && rh <= 1.0))
            return {Why::outside, About::outdoor_humidity, -1, -1, rh, 0.0, 1.0};
        if (!defrosts_) return {};
        if (std::isnan(rh)) return about(Why::not_given, About::outdoor_humidity);
        defrost_ = &*system.parts().defrost;
        const auto read = defrost(c.outside);
        if (!read) return read.reason();
        frost_ = *read;
        return {};
    }

    [[nodiscard]] Answer<DefrostReading> defrost(Outside outside) const noexcept {
        return defrost_->at(c_.stage, c_.outdoor_dry_bulb.si, c_.outdoor_relative_humidity, outside);
    }

    [[nodiscard]] const HeatingBasis& basis() const noexcept { return stage_->table.basis(); }
    [[nodiscard]] bool is_other_match() const noexcept { return match_ != nullptr && !match_->reference; }

    /// Mass flow of dry air. An airflow read in the supply, or at a draw-through fan, is at the density of air that
    /// depends on the answer: a few passes settle it.
    [[nodiscard]] Answer<double> mass_flow() const noexcept {
        auto m = dry_mass_flow(c_.airflow, entering_);
        if (!m || c_.airflow.kind != AirflowReading::Kind::actual) return m;
        const bool at_fan = c_.airflow.place == air::Place::fan;
        const FanPosition fan = match_ != nullptr ? match_->fan : FanPosition::unknown;
        if (at_fan && fan == FanPosition::unknown) return about(Why::not_given, About::fan_position);
        if (c_.airflow.place != air::Place::supply_air && !(at_fan && fan == FanPosition::draw_through)) return m;
        for (int pass = 0; pass < 40; ++pass) {
            const auto at_coil = gross(*m);
            if (!at_coil) return at_coil.reason();
            const double heat = at_coil->capacity + (at_fan ? 0.0 : fan_heat_);
            const auto next = dry_mass_flow(c_.airflow, warmed(entering_, heat, *m));
            if (!next) return next;
            const double change = std::abs(*next - *m);
            m = next;
            if (change <= 1e-14 * *next) break;
        }
        return m;
    }

    [[nodiscard]] Answer<Gross> gross(double mass_flow) const noexcept {
        const double moist = basis().standard_pound == Pound::moist ? 1.0 + entering_.humidity_ratio.si : 1.0;
        Gross out;
        out.page_flow = air::si::standard_from_dry_mass(mass_flow * moist);
        if (match_ != nullptr && match_->airflow) {
            const auto& [least, most] = *match_->airflow;
            const double near = 1e-9 * most.si;  // unit conversion must not miss a bound
            if (out.page_flow < least.si - near || out.page_flow > most.si + near)
                return Reason{Why::outside, About::standard_airflow, -1, -1, out.page_flow, least.si, most.si};
        }
        const auto found = read(out.page_flow, c_.outside);
        if (!found) return found.reason();
        out.page = *found;
        out.capacity = found->capacity * frost_.factors.capacity;
        out.power = found->power * frost_.factors.power;
        if (!(out.capacity > 0.0)) return about(Why::no_output, About::heating_capacity);  // all of it goes to defrost
        return out;
    }
    [[nodiscard]] Answer<HeatingReading> read(double page_flow, Outside outside) const noexcept {
        return read_heating(stage_->table, c_.outdoor_dry_bulb.si, page_flow, c_.entering_dry_bulb.si, outside);
    }

    void tell(double mass_flow, const Gross& at_coil, ExpectedHeating& e) const noexcept;
    void tell_power(const Gross& at_coil, ExpectedHeating& e) const noexcept;
    void tell_doubt(const Gross& at_coil, ExpectedHeating& e) const noexcept;
    void tell_ledger(const Gross& at_coil, Ledger& ledger) const noexcept;

    HeatingConditions c_;
    const Match* match_ = nullptr;
    const HeatingStage* stage_ = nullptr;
    std::int16_t match_index_ = -1, page_index_ = -1;
    bool defrosts_ = false, has_humidity_ = false, has_cooling_factors_ = false;
    double fan_heat_ = 0.0;
    air::State entering_;
    DefrostReading frost_;
    const DefrostTable* defrost_ = nullptr;
};

inline void HeatingRun::tell(double mass_flow, const Gross& at_coil, ExpectedHeating& e) const noexcept {
    e.page = page_index_;
    e.match = match_index_;
    e.frost = defrosts_ ? Frost::integrated : stage_->frost;
    e.defrost_table = defrosts_;
    e.outdoor_dry_bulb = c_.outdoor_dry_bulb;
    e.entering_dry_bulb = c_.entering_dry_bulb;
    e.boundary = c_.boundary;
    e.gross_capacity = {at_coil.capacity};
    e.capacity = {at_coil.capacity + fan_heat_};
    e.auxiliary_heat = c_.auxiliary_heat;
    e.defrost_time_fraction = frost_.factors.time_fraction;
    e.mass_flow = {mass_flow};
    e.standard_airflow = {at_coil.page_flow};
    e.footing = at_coil.page.footing | frost_.footing;
    tell_power(at_coil, e);
    tell_doubt(at_coil, e);
    tell_ledger(at_coil, e.ledger);
    if (!has_humidity_) {
        e.no_leaving = about(Why::not_given, About::relative_humidity);
        return;
    }
    const air::State leaving = warmed(entering_, e.capacity.si, mass_flow);
    e.no_leaving = can_leave(leaving);
    if (e.no_leaving.none()) e.leaving = leaving_air(entering_, leaving);
}

/// A coefficient of performance stands on one boundary: gross over the outdoor unit at the coil, net over the system
/// with the fan.
inline void HeatingRun::tell_power(const Gross& at_coil, ExpectedHeating& e) const noexcept {
    e.power_basis = basis().power;
    if (!stage_->table.page().has_power) {
        e.no_power = e.no_cop = about(Why::no_output, About::power);
        return;
    }
    const bool with_fan = c_.boundary == Boundary::coil_and_fan;
    e.power = Power{at_coil.power};
    if (basis().power == PowerBasis::outdoor_unit && with_fan) e.system_power = Power{at_coil.power + fan_heat_};
    if (!(at_coil.power > 0.0))
        e.no_cop = about(Why::no_output, About::power);
    else if (basis().power == PowerBasis::outdoor_unit || (basis().power == PowerBasis::system && with_fan))
        e.cop = e.capacity / (e.system_power ? *e.system_power : *e.power);
    else
        e.no_cop = about(Why::unlike_basis, About::efficiency);
}

inline void HeatingRun::tell_doubt(const Gross& at_coil, ExpectedHeating& e) const noexcept {
    const HeatingPage& page = stage_->table.page();
    const HeatingBasis& b = basis();
    const double factor = frost_.factors.capacity, capacity = at_coil.capacity;
    const PageUncertainty own = heating_uncertainty(stage_->table, c_.outdoor_dry_bulb.si, at_coil.page_flow,
                                                    c_.entering_dry_bulb.si, at_coil.page.capacity);
    e.uncertainty.resolution = own.resolution * factor;
    e.uncertainty.interpolation = own.interpolation * factor;
    if (has(at_coil.page.footing, Footing::held | Footing::extended)) {
        // The truth is taken to lie between the held and the extended answer, anywhere (rectangular).
        const auto held = read(at_coil.page_flow, Outside::hold), extended = read(at_coil.page_flow, Outside::follow);
        if (held && extended)
            e.uncertainty.outside = std::abs(held->capacity - extended->capacity) * factor / std::sqrt(3.0);
    }
    if (has(frost_.footing, Footing::held | Footing::extended)) {  // the defrost table likewise
        const auto held = defrost(Outside::hold), extended = defrost(Outside::follow);
        if (held && extended)
            e.uncertainty.outside =
                root_of_squares({e.uncertainty.outside, (held->factors.capacity - extended->factors.capacity) *
                                                            at_coil.page.capacity / std::sqrt(3.0)});
    }
    // Another match: no heating factor is printed. The truth is taken to lie between 1 and the cooling factor
    // (rectangular), and 2 % besides, as for a cooling factor used across the map (common practice, no source).
    if (is_other_match())
        e.uncertainty.match =
            capacity * root_of_squares({0.02, std::abs(1.0 - match_->factors.total) / std::sqrt(3.0)});
    const double page_pressure = air::si::pressure_at_elevation(b.elevation ? b.elevation->si : 0.0);
    const double ratio = entering_.pressure.si / page_pressure;
    e.uncertainty.altitude = derates::altitude_uncertainty(ratio) * capacity;
    if (b.tolerance) e.uncertainty.tolerance = 0.5 * *b.tolerance * capacity;

    const auto note = [&e](Note n, bool holds) {
        if (holds) e.notes.add(n);
    };
    note(Note::altitude_assumed, std::abs(ratio - 1.0) > 0.01);
    note(Note::no_heating_factors, has_cooling_factors_);
    note(Note::frost_in_page, e.frost == Frost::integrated);
    note(Note::frost_unknown, e.frost == Frost::unknown);
    note(Note::outdoor_humidity_unknown, !b.outdoor_relative_humidity && !defrosts_);
    note(Note::airflow_multiplier, page.airflow_multiplied);
    note(Note::dry_bulb_multiplier, page.dry_bulb_multiplied);
    note(Note::interpolation_unknown, !own.curvature_known);
    e.notes.add(basis_notes(b, page.has_power));
    note(Note::saturated_entering, entering_.saturated_within_tolerance);
}

inline void HeatingRun::tell_ledger(const Gross& at_coil, Ledger& ledger) const noexcept {
    using Kind = Step::Kind;
    using Of = Step::Of;
    const bool has_power = stage_->table.page().has_power;
    const HeatingReading& page = at_coil.page;
    ledger.add({Kind::page, Of::total, page_index_, 1.0, page.capacity, page.capacity});
    if (has_power) ledger.add({Kind::page, Of::power, page_index_, 1.0, page.power, page.power});
    if (defrosts_) {
        ledger.add({Kind::frost, Of::total, -1, frost_.factors.capacity, page.capacity, at_coil.capacity});
        if (has_power) ledger.add({Kind::frost, Of::power, -1, frost_.factors.power, page.power, at_coil.power});
    }
    if (fan_heat_ > 0.0)
        ledger.add({Kind::fan_heat, Of::total, -1, 1.0, at_coil.capacity, at_coil.capacity + fan_heat_});
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

}  // namespace offnominal
OFFNOMINAL_EXACT_END
