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

/// One page at fixed outdoor dry bulb, airflow and entering dry bulb, as a function of its humidity axis. SI.
struct GrossChain {
    const RatingTable* table = nullptr;
    double pressure = 0.0;       ///< Pa, station
    double page_pressure = 0.0;  ///< Pa, that the page is printed for; the station's if it has an axis of pressures
    double mass_flow = 0.0;      ///< kg/s dry air
    double page_flow = 0.0;      ///< m3/s by the page's pound
    double outdoor = 0.0;        ///< degC
    double dry_bulb = 0.0;       ///< degC, entering the coil
    Outside outside = Outside::refuse;
    Factors match, line, altitude;
    std::optional<double> match_bypass;

    /// What the page says at one humidity, and what each step makes of it.
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
        Point wet;  ///< at the humidity asked for, before the rule
        double total = 0.0, sensible = 0.0, power = 0.0;
        std::optional<double> knee;  ///< on a dry coil, where on the humidity axis it would turn wet
        double inferred = 0.0;       ///< greatest share of inferred nodes
        bool filled = false;         ///< leans on an entering dry bulb that the page leaves blank
        Footing footing = Footing::inside;
    };

    [[nodiscard]] double factor() const noexcept { return match.total * line.total * altitude.total; }
    [[nodiscard]] bool along_pairs() const noexcept { return table->humidity() == HumidityAxis::pairs; }
    /// Whether the page prints sensible at the very dry bulb asked for: at several, or with each pair.
    [[nodiscard]] bool own_dry_bulbs() const noexcept {
        return along_pairs() || table->has(PageAxis::entering_dry_bulb);
    }
    /// degC: the dry bulb that the page's sensible is read at.
    [[nodiscard]] double reference() const noexcept {
        return own_dry_bulbs() ? dry_bulb : table->basis().sensible_at->si;
    }
    [[nodiscard]] PagePoint page_point(double humidity) const noexcept {
        return {{outdoor, page_flow, humidity, dry_bulb, pressure}};
    }

    /// The wet bulb, degC, at a place on the humidity axis.
    [[nodiscard]] double wet_bulb_at(double humidity) const noexcept {
        const PrintedPage& page = table->page();
        switch (table->humidity()) {
            case HumidityAxis::wet_bulb:
                return humidity;
            case HumidityAxis::relative_humidity:
                return air::si::wet_bulb(dry_bulb, ratio_at(humidity, page_pressure), page_pressure);
            case HumidityAxis::pairs:
                break;
        }
        const auto low = std::min(static_cast<std::size_t>(std::max(humidity, 0.0)), page.pairs.size() - 1);
        const auto high = std::min(low + 1, page.pairs.size() - 1);
        const double a = page.pairs[low].wet_bulb, b = page.pairs[high].wet_bulb;
        return a + (humidity - static_cast<double>(low)) * (b - a);
    }

    /// Humidity ratio at the reference dry bulb and some pressure, for a place on the humidity axis.
    [[nodiscard]] double ratio_at(double humidity, double at_pressure) const noexcept {
        if (table->humidity() == HumidityAxis::relative_humidity && at_pressure == page_pressure)
            return air::si::humidity_ratio(humidity * air::si::saturation_pressure(dry_bulb), at_pressure);
        return air::si::humidity_ratio_from_wet_bulb(reference(), wet_bulb_at(humidity), at_pressure);
    }

    /// Where air entering the coil stands on the page's humidity axis. A page of relative humidities is entered with
    /// the one that has the same wet bulb at the page's pressure: it is the wet bulb that tracks what a coil can take.
    [[nodiscard]] Answer<double> place_on_axis(const air::State& air, double wet_bulb) const noexcept;

    /// The chain at one place on the humidity axis, dry-coil rule not yet applied.
    [[nodiscard]] Answer<Point> at(double humidity) const noexcept {
        const auto read = read_page(*table, page_point(humidity), outside);
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
        const auto coil = sensible_for_total(out, humidity);
        if (!coil) return coil.reason();
        out.coil = *coil;
        if (dry_bulb == reference()) {
            out.sensible = out.coil;
        } else if (out.bypass > 0.0) {
            out.sensible = out.coil + slope(humidity) * (1.0 - out.bypass) * (dry_bulb - reference());
        } else {
            out.no_sensible = Reason{Why::no_output, About::bypass, -1, -1, 0, 0, 0};
        }
        return out;
    }

    /// The chain at one place on the humidity axis, dry-coil rule applied.
    [[nodiscard]] Answer<Result> resolve(double humidity) const noexcept {
        const auto wet = at(humidity);
        if (!wet) return wet.reason();
        Result out{*wet,         wet->total,         wet->sensible,    wet->power,
                   std::nullopt, wet->page.inferred, wet->page.filled, wet->page.footing};
        if (!wet->no_sensible.none()) return out;
        if (along_pairs()) {  // no axis to find a knee on: sensible is what the page's total allows
            if (!(wet->sensible < wet->total)) {
                out.sensible = out.total;
                out.footing |= Footing::dry;
            }
            return out;
        }
        if (wet->sensible > wet->total) {
            const auto excess = [this](double x) noexcept -> Answer<double> {
                const auto point = at(x);
                if (!point) return point.reason();
                return point->sensible - point->total;
            };
            const auto page = table->breakpoints(PageAxis::humidity);
            const auto knee = derates::knee(excess, humidity, wet->sensible - wet->total, page, highest_humidity());
            if (!knee) return named(knee.reason());
            const auto there = at(*knee);
            if (!there) return there.reason();
            out.total = out.sensible = there->total;
            out.power = there->power;
            out.knee = *knee;
            out.inferred = std::max(out.inferred, there->page.inferred);
            out.filled = out.filled || there->page.filled;
            out.footing |= there->page.footing | Footing::dry;
        }
        // So that the printed totals of dry nodes come back; never below the wet line. It moves wet answers as well as
        // dry ones, so nothing jumps at the knee.
        const double moved = std::max(wet->total, out.total + wet->page.dry_offset * factor());
        out.sensible += moved - out.total;
        out.total = moved;
        out.power += wet->page.power_offset * match.power * line.power * altitude.power;
        return out;
    }

   private:
    /// Sensible at the reference dry bulb for the changed total, pressure or coil. Printed sensible is the anchor: the
    /// coil model supplies only the difference between the page's situation and this one.
    [[nodiscard]] Answer<double> sensible_for_total(Point& out, double humidity) const noexcept {
        const bool changed = factor() != 1.0 || pressure != page_pressure || out.bypass != out.page.bypass;
        if (!changed) return out.page.sensible;
        if (!table->page().has_bypass) {
            out.scaled = true;
            return out.page.sensible * factor();
        }
        const double w_here = ratio_at(humidity, pressure), w_page = ratio_at(humidity, page_pressure);
        const auto here = derates::coil_sensible({reference(), w_here, pressure, mass_flow}, out.total, out.bypass);
        if (!here) return here.reason();
        const auto there =
            derates::coil_sensible({reference(), w_page, page_pressure, mass_flow}, out.page.total, out.page.bypass);
        if (!there) return there.reason();
        return out.page.sensible + (*here - *there);
    }

    /// Sensible per kelvin of entering dry bulb before bypass.
    [[nodiscard]] double slope(double humidity) const noexcept {
        const Basis& basis = table->basis();
        if (basis.sensible_slope) return basis.sensible_slope->si * page_flow;
        return mass_flow * air::si::moist_heat_capacity(ratio_at(humidity, pressure));
    }

    [[nodiscard]] double highest_humidity() const noexcept {
        const auto page = table->breakpoints(PageAxis::humidity);
        const double saturated = table->humidity() == HumidityAxis::relative_humidity ? 1.0 : dry_bulb;
        switch (outside) {
            case Outside::follow:
                return saturated;
            case Outside::extend:
                return std::min(saturated, page.back() + reach(page));
            default:
                return std::min(saturated, page.back());
        }
    }

    /// A reason about the knee in the words of the page's humidity axis.
    [[nodiscard]] Reason named(Reason reason) const noexcept {
        if (reason.why == Why::no_knee) reason.about = about(PageAxis::humidity, table->humidity());
        return reason;
    }
};

/// Where a dry and a wet bulb (degC) stand among a page's pairs: the number of the pair, or a place between two
/// neighbours. Why::off_path if they are neither; 0.1 delta_degF of wet bulb is allowed (common practice, no source).
/// With `follow` the nearest place, however far off: what the page does not know has no slope.
[[nodiscard]] inline Answer<double> place_along_pairs(const PrintedPage& page, double dry_bulb, double wet_bulb,
                                                      bool follow = false) noexcept {
    constexpr double allowed = 0.1 / 1.8;
    // Bounds: the wet bulb of the path at this dry bulb, infinite where it has none.
    Reason nearest{Why::off_path, About::indoor_pair, -1, -1, wet_bulb, HUGE_VAL, HUGE_VAL};
    double least = HUGE_VAL, place = 0.0;
    for (std::size_t i = 0; i < page.pairs.size(); ++i) {
        const IndoorPair& a = page.pairs[i];
        double t = 0.0, off = std::max(std::abs(a.wet_bulb - wet_bulb), std::abs(a.dry_bulb - dry_bulb));
        if (off <= 1e-9) return static_cast<double>(i);
        if (!page.pairs_are_points && i + 1 < page.pairs.size()) {
            // The nearest place of the way to the next pair.
            const IndoorPair& b = page.pairs[i + 1];
            const double dx = b.dry_bulb - a.dry_bulb, dy = b.wet_bulb - a.wet_bulb;
            t = std::clamp(((dry_bulb - a.dry_bulb) * dx + (wet_bulb - a.wet_bulb) * dy) / (dx * dx + dy * dy), 0.0,
                           1.0);
            off = std::max(std::abs(a.wet_bulb + t * dy - wet_bulb), std::abs(a.dry_bulb + t * dx - dry_bulb));
        }
        if (!page.pairs_are_points && i + 1 < page.pairs.size()) {  // what it would be at this very dry bulb
            const IndoorPair& b = page.pairs[i + 1];
            const double along = (dry_bulb - a.dry_bulb) / (b.dry_bulb - a.dry_bulb);
            const double wet = a.wet_bulb + along * (b.wet_bulb - a.wet_bulb);
            if (along >= 0.0 && along <= 1.0 && !(std::abs(nearest.lower - wet_bulb) <= std::abs(wet - wet_bulb)))
                nearest.lower = nearest.upper = wet;
        }
        if (off >= least) continue;
        least = off;
        nearest.node = static_cast<std::int32_t>(i);
        place = static_cast<double>(i) + t;
    }
    if (follow || least <= allowed) return place;
    return nearest;
}

inline Answer<double> GrossChain::place_on_axis(const air::State& air, double wet_bulb) const noexcept {
    if (along_pairs()) return place_along_pairs(table->page(), dry_bulb, wet_bulb, outside == Outside::follow);
    if (table->humidity() == HumidityAxis::wet_bulb) return wet_bulb;
    const double w = pressure == page_pressure
                         ? air.humidity_ratio.si
                         : air::si::humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, page_pressure);
    return std::min(air::si::relative_humidity(dry_bulb, w, page_pressure), 1.0);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
