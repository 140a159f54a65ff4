/// @file
/// The gross part of an expected heating capacity: a page of the kind asked for, and where only an instantaneous page
/// and a defrost table exist, that table's factors. Where only an integrated page exists, and inferred values are asked
/// for, its frost is taken out again.
///
/// A line set's factors are those that are printed for heating; what it costs beyond them is modelled where that is
/// asked for. Match and altitude factors of a system, and line-set factors where there are none for heating, are
/// printed for cooling: they are not applied here, and a note says so. Thin air is corrected for as in cooling.
/// In a blow-through unit the coil's air is warmer by the fan (420 W at 1100 scfm: 1.2 delta_degF), and the page is
/// entered there. Where it prints no such entering dry bulb, but the one at the boundary, a stated slope takes its
/// place.
#pragma once

#include <string_view>

#include "offnominal/expect/cooling.hpp"
#include "offnominal/system.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// One heating page, and what turns its capacity into the kind asked for.
struct HeatingChain {
    const HeatingStage* page = nullptr;
    const DefrostTable* defrost = nullptr;  ///< where one kind comes from a page of the other
    bool back = false;                      ///< instantaneous heating from an integrated page

    /// Whether integrated heating comes from an instantaneous page.
    [[nodiscard]] bool integrates() const noexcept { return defrost != nullptr && !back; }
    /// The kind of heating that is answered.
    [[nodiscard]] Frost kind() const noexcept {
        return back ? Frost::instantaneous : defrost != nullptr ? Frost::integrated : page->frost;
    }

    /// What frost does at some outdoor air, on the way from the page to the kind asked for; nothing where they are one.
    [[nodiscard]] Answer<DefrostReading> frost(double outdoor, double relative_humidity, Edges outside) const noexcept {
        if (back) return without_frost(outdoor, outside);
        if (defrost == nullptr) return DefrostReading{};
        return defrost->at(page->name, outdoor, relative_humidity, outside);
    }
    /// What takes the frost out of an integrated page: the system's defrost table at the humidity that the page is
    /// printed for, or else the regulation's model.
    [[nodiscard]] Answer<DefrostReading> without_frost(double outdoor, Edges outside) const noexcept {
        DefrostReading out{derates::regulatory_factors(Temperature{outdoor})};
        if (defrost != nullptr) {
            const auto found =
                defrost->at(page->name, outdoor, *page->table.basis().outdoor_relative_humidity, outside);
            if (!found) return found.reason();
            out = *found;
        }
        if (!(out.factors.capacity > 0.0 && out.factors.power > 0.0))
            return Reason{Why::no_output, About::frost, -1, -1, 0, 0, 0};
        out.factors = {1.0 / out.factors.capacity, 1.0 / out.factors.power, 0.0};
        out.footing |= Footing::inferred;
        return out;
    }

    /// K that the page cannot follow air which a fan has warmed (degC) from what enters the boundary: past its entering
    /// dry bulbs, where what enters is among them.
    [[nodiscard]] double beside(double warmed, double entering, Edges outside) const noexcept {
        const auto printed = dry_bulbs();
        const auto among = [&](double t) noexcept { return t >= printed.front() - 1e-9 && t <= printed.back() + 1e-9; };
        if (among(warmed) || !(among(entering) || outside.all == follow)) return 0.0;
        return warmed - std::clamp(warmed, printed.front(), printed.back());
    }
    [[nodiscard]] std::span<const double> dry_bulbs() const noexcept {
        return page->table.breakpoints(HeatingAxis::entering_dry_bulb);
    }
    /// What so much warmer air at the coil does: -0.3 %/degF of capacity and +0.85 %/degF of power, where pages print
    /// 0.2 to 0.4 and 0.7 to 1 (common practice, no source).
    [[nodiscard]] static Factors preheat(double kelvin) noexcept {
        return {1.0 - 0.003 * 1.8 * kelvin, 1.0 + 0.0085 * 1.8 * kelvin};
    }
    static constexpr double preheat_uncertainty = 0.001 * 1.8;  ///< of capacity per K, standard

    /// Reads the page. @return why not
    [[nodiscard]] Reason read(double outdoor, double flow, double dry_bulb, Edges outside,
                              PageReading& out) const noexcept {
        const auto found = read_heating(page->table, outdoor, flow, dry_bulb, outside);
        if (!found) return found.reason();
        take(found->capacity, found->power, found->footing, out);
        return {};
    }
    static void take(double capacity, double power, Footing footing, PageReading& out) noexcept {
        out = {};
        out.total = capacity;
        out.power = power;
        out.footing = footing;
    }

    /// The steps after `out.wet.page` was read and `out.wet.line` found. @return why not
    [[nodiscard]] static Reason resolve(double beside, const Factors& line, const Factors& altitude,
                                        const Factors& airflow, const DefrostReading& frost, Gross& out) noexcept {
        ChainPoint& wet = out.wet;
        const Factors warmer = preheat(beside);
        wet.total = wet.page.total * warmer.total * line.total * wet.line.factor * altitude.total * airflow.total;
        wet.power = wet.page.power * warmer.power * line.power * altitude.power * airflow.power;
        wet.scaled = false;
        wet.no_sensible = {Why::no_output, About::sensible_capacity, -1, -1, 0, 0, 0};
        out.total = wet.total * frost.factors.capacity;
        out.power = wet.power * frost.factors.power;
        out.sensible = 0.0;
        out.knee.reset();
        out.inferred = 0.0;
        out.filled = false;
        out.footing = wet.page.footing | frost.footing;
        if (out.total > 0.0) return {};
        return {Why::no_output, About::heating_capacity, -1, -1, 0, 0, 0};  // all of it goes to defrost
    }
};

/// The page that answers for a stage and a kind of heating, or nothing. Instantaneous for integrated only with a
/// defrost table between them, and integrated for instantaneous only where inferred values are asked for; a page of
/// unknown kind only where there is none of the kind asked for (a note says so).
[[nodiscard]] inline HeatingChain heating_chain(const System& system, std::string_view stage, Frost frost,
                                                bool infer = false) noexcept {
    if (const HeatingStage* page = system.heating_stage(stage, frost)) return {page, nullptr};
    if (frost == Frost::integrated && system.parts().defrost)
        if (const HeatingStage* page = system.heating_stage(stage, Frost::instantaneous))
            return {page, &*system.parts().defrost};
    if (frost == Frost::instantaneous && infer)
        if (const HeatingStage* page = system.heating_stage(stage, Frost::integrated)) {
            const auto& table = system.parts().defrost;
            const bool by_table = table && page->table.basis().outdoor_relative_humidity && table->holds(stage);
            return {page, by_table ? &*table : nullptr, true};
        }
    return {system.heating_stage(stage, Frost::unknown), nullptr};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
