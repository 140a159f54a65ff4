/// @file
/// The gross part of an expected capacity: from the page through every factor to the dry-coil rule.
#pragma once

#include <algorithm>
#include <optional>

#include "offnominal/air.hpp"
#include "offnominal/derates/coil.hpp"
#include "offnominal/derates/dry_coil.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/ratings/rating_table.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// One page at fixed outdoor dry bulb, airflow and entering dry bulb, as a function of entering wet bulb. SI.
struct GrossChain {
    const RatingTable* table = nullptr;
    double pressure = 0.0;       ///< Pa, station
    double page_pressure = 0.0;  ///< Pa, at the elevation the page is printed for
    double mass_flow = 0.0;      ///< kg/s dry air
    double page_flow = 0.0;      ///< m3/s by the page's pound
    double outdoor = 0.0;        ///< degC
    double dry_bulb = 0.0;       ///< degC, entering the coil
    Outside outside = Outside::refuse;
    Factors match, line, altitude;
    std::optional<double> match_bypass;

    /// What the page says at one wet bulb, and what each step makes of it.
    struct Point {
        Reading page;
        double total = 0.0;     ///< W, wet line after all factors
        double power = 0.0;     ///< W, after all factors
        double bypass = 0.0;    ///< of the matched coil
        double coil = 0.0;      ///< W, sensible for the changed total, still at the reference dry bulb
        double sensible = 0.0;  ///< W, uncapped, at the entering dry bulb
        bool scaled = false;    ///< no bypass factor: sensible scaled with total
        Reason no_sensible;     ///< why there is no sensible
    };

    /// A point after the dry-coil rule.
    struct Result {
        Point wet;  ///< at the wet bulb asked for, before the rule
        double total = 0.0, sensible = 0.0, power = 0.0;
        std::optional<double> knee;  ///< degC, on a dry coil
        Footing footing = Footing::inside;
    };

    [[nodiscard]] double factor() const noexcept { return match.total * line.total * altitude.total; }

    /// The chain at one wet bulb, dry-coil rule not yet applied.
    [[nodiscard]] Answer<Point> at(double wet_bulb) const noexcept {
        const auto read = read_page(*table, outdoor, page_flow, wet_bulb, outside);
        if (!read) return read.reason();
        Point out;
        out.page = *read;
        out.total = out.page.total * match.total * line.total * altitude.total;  // one by one, as the ledger shows it
        out.power = out.page.power * match.power * line.power * altitude.power;
        out.bypass = match_bypass ? *match_bypass : out.page.bypass;
        if (!table->page().has_sensible) {
            out.no_sensible = Reason{Why::no_output, About::sensible_capacity, -1, -1, 0, 0, 0};
            return out;
        }
        const auto coil = sensible_for_total(out, wet_bulb);
        if (!coil) return coil.reason();
        out.coil = *coil;
        const double reference = table->basis().sensible_at->si;
        if (dry_bulb == reference) {
            out.sensible = out.coil;
        } else if (out.bypass > 0.0) {
            out.sensible = out.coil + slope(wet_bulb) * (1.0 - out.bypass) * (dry_bulb - reference);
        } else {
            out.no_sensible = Reason{Why::no_output, About::bypass, -1, -1, 0, 0, 0};
        }
        return out;
    }

    /// The chain at one wet bulb, dry-coil rule applied.
    [[nodiscard]] Answer<Result> resolve(double wet_bulb) const noexcept {
        const auto wet = at(wet_bulb);
        if (!wet) return wet.reason();
        Result out{*wet, wet->total, wet->sensible, wet->power, std::nullopt, wet->page.footing};
        if (!wet->no_sensible.none()) return out;
        if (wet->sensible > wet->total) {
            const auto excess = [this](double x) noexcept -> Answer<double> {
                const auto point = at(x);
                if (!point) return point.reason();
                return point->sensible - point->total;
            };
            const auto page = table->breakpoints(RatingTable::entering_wet_bulb);
            const auto knee = derates::knee(excess, wet_bulb, wet->sensible - wet->total, page, highest_wet_bulb());
            if (!knee) return knee.reason();
            const auto there = at(*knee);
            if (!there) return there.reason();
            out.total = out.sensible = there->total;
            out.power = there->power;
            out.knee = *knee;
            out.footing |= there->page.footing | Footing::dry;
        }
        // So that the printed totals of dry nodes come back; never below the wet line. It moves wet answers as well as
        // dry ones, so nothing jumps at the knee.
        const double moved = std::max(wet->total, out.total + wet->page.dry_offset * factor());
        out.sensible += moved - out.total;
        out.total = moved;
        return out;
    }

   private:
    /// Sensible at the reference dry bulb for the changed total, pressure or coil. Printed sensible is the anchor: the
    /// coil model supplies only the difference between the page's situation and this one.
    [[nodiscard]] Answer<double> sensible_for_total(Point& out, double wet_bulb) const noexcept {
        const bool changed = factor() != 1.0 || pressure != page_pressure || out.bypass != out.page.bypass;
        if (!changed) return out.page.sensible;
        if (!table->page().has_bypass) {
            out.scaled = true;
            return out.page.sensible * factor();
        }
        const double reference = table->basis().sensible_at->si;
        const double w_here = air::si::humidity_ratio_from_wet_bulb(reference, wet_bulb, pressure);
        const double w_page = air::si::humidity_ratio_from_wet_bulb(reference, wet_bulb, page_pressure);
        const auto here = derates::coil_sensible({reference, w_here, pressure, mass_flow}, out.total, out.bypass);
        if (!here) return here.reason();
        const auto there =
            derates::coil_sensible({reference, w_page, page_pressure, mass_flow}, out.page.total, out.page.bypass);
        if (!there) return there.reason();
        return out.page.sensible + (*here - *there);
    }

    /// Sensible per kelvin of entering dry bulb before bypass: the page's printed constant, or where it prints none the
    /// moist heat capacity of the entering air (0.2 % apart).
    [[nodiscard]] double slope(double wet_bulb) const noexcept {
        const Basis& basis = table->basis();
        if (basis.sensible_slope) return basis.sensible_slope->si * page_flow;
        const double w = air::si::humidity_ratio_from_wet_bulb(basis.sensible_at->si, wet_bulb, pressure);
        return mass_flow * air::si::moist_heat_capacity(w);
    }

    [[nodiscard]] double highest_wet_bulb() const noexcept {
        const auto page = table->breakpoints(RatingTable::entering_wet_bulb);
        switch (outside) {
            case Outside::follow:
                return dry_bulb;
            case Outside::extend:
                return std::min(dry_bulb, page.back() + 0.02 * (page.back() - page.front()));
            default:
                return std::min(dry_bulb, page.back());
        }
    }
};

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
