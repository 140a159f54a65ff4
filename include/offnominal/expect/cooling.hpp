/// @file
/// The gross part of an expected cooling capacity: from the page through every factor to the dry-coil rule.
#pragma once

#include <algorithm>
#include <array>
#include <optional>

#include "offnominal/air.hpp"
#include "offnominal/air/coil.hpp"
#include "offnominal/derates/airflow_effect.hpp"
#include "offnominal/derates/dry_coil.hpp"
#include "offnominal/derates/line_loss.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/rating_table.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// What a page says, and what each step makes of it. In heating there are fewer steps: `total` is the capacity.
struct ChainPoint {
    PageReading page;
    double total = 0.0;      ///< W, wet line after all factors
    double power = 0.0;      ///< W, after all factors
    derates::LineLoss line;  ///< a modelled line set's, beyond what is printed
    double bypass = 0.0;     ///< of the matched coil
    double coil = 0.0;       ///< W, sensible for the changed total, still at the reference dry bulb
    double sensible = 0.0;   ///< W, uncapped, at the entering dry bulb
    bool scaled = false;     ///< no bypass factor: sensible scaled with total
    bool by_bypass = false;  ///< sensible leans on the page's bypass factor
    Reason no_sensible;      ///< why there is no sensible
};

/// A gross answer: a point after its last step.
struct Gross {
    ChainPoint wet;  ///< at the humidity asked for, before the dry-coil rule
    double total = 0.0, sensible = 0.0, power = 0.0;
    std::optional<double> knee;  ///< on a dry coil, where on the humidity axis it would turn wet
    double inferred = 0.0;       ///< greatest share of inferred nodes
    bool filled = false;         ///< leans on an entering dry bulb that the page leaves blank
    Footing footing = Footing::inside;
};

/// A knee that was found, for whoever looks at one question at many humidities, from moist air to dry, at every
/// breakpoint of the page among them: it stands between the last place where the coil was wet and the first where it
/// is dry, and below it is the same. It may be closed in otherwise than `derates::knee` would from each place, so that
/// such looks have not the bits of `expect`.
struct FoundKnee {
    std::array<double, 5> of{};  ///< outdoor, airflow by volume and by mass, entering dry bulb, where a line is
                                 ///< modelled wet bulb
    double wet = real::infinity, excess = 0.0;  ///< the last place where the coil was wet; sensible less total there
    double knee = -real::infinity;              ///< the coil is dry below
    ChainPoint there;
};

/// Where a dry and a wet bulb (degC) stand among a page's pairs: the number of the pair, or a place between two
/// neighbours. Why::off_path if they are neither; 0.1 delta_degF of wet bulb is allowed (common practice, no source).
/// With `nearest_place` the nearest one, however far off: what the page does not know has no slope.
[[nodiscard]] inline Answer<double> place_along_pairs(const PrintedPage& page, double dry_bulb, double wet_bulb,
                                                      bool nearest_place = false) noexcept {
    constexpr double allowed = 0.1 / 1.8;
    // Bounds: the wet bulb of the path at this dry bulb, infinite where it has none.
    Reason nearest{Why::off_path, About::indoor_pair, -1, -1, wet_bulb, real::infinity, real::infinity};
    double least = real::infinity, place = 0.0;
    for (std::size_t i = 0; i < page.pairs.size(); ++i) {
        const IndoorPair& a = page.pairs[i];
        double t = 0.0, off = (std::max)(std::abs(a.wet_bulb - wet_bulb), std::abs(a.dry_bulb - dry_bulb));
        if (off <= 1e-9) return static_cast<double>(i);
        if (!page.pairs_are_points && i + 1 < page.pairs.size()) {
            // The nearest place of the way to the next pair.
            const IndoorPair& b = page.pairs[i + 1];
            const double dx = b.dry_bulb - a.dry_bulb, dy = b.wet_bulb - a.wet_bulb;
            t = std::clamp(((dry_bulb - a.dry_bulb) * dx + (wet_bulb - a.wet_bulb) * dy) / (dx * dx + dy * dy), 0.0,
                           1.0);
            off = (std::max)(std::abs(a.wet_bulb + t * dy - wet_bulb), std::abs(a.dry_bulb + t * dx - dry_bulb));
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
    if (nearest_place || least <= allowed) return place;
    return nearest;
}

/// Where a page's pairs have a wet bulb (degC), nearest to a dry bulb: the number of a pair or a place between two
/// neighbours; and how far beside it the dry bulb stands, K. Infinitely far where they do not reach that wet bulb.
struct BesidePairs {
    double place = 0.0, beside = real::infinity;
};
[[nodiscard]] inline BesidePairs place_by_wet_bulb(const PrintedPage& page, double dry_bulb, double wet_bulb) noexcept {
    BesidePairs out;
    for (std::size_t i = 0; !page.pairs_are_points && i + 1 < page.pairs.size(); ++i) {
        const IndoorPair &a = page.pairs[i], &b = page.pairs[i + 1];
        const double rise = b.wet_bulb - a.wet_bulb, width = b.dry_bulb - a.dry_bulb;
        if (!((std::min)(a.wet_bulb, b.wet_bulb) <= wet_bulb && wet_bulb <= (std::max)(a.wet_bulb, b.wet_bulb)))
            continue;
        const double along = rise != 0.0 ? (wet_bulb - a.wet_bulb) / rise : (dry_bulb - a.dry_bulb) / width;
        const double t = std::clamp(along, 0.0, 1.0), beside = dry_bulb - (a.dry_bulb + t * width);
        if (std::abs(beside) < std::abs(out.beside)) out = {static_cast<double>(i) + t, beside};
    }
    return out;
}

/// Total and power of a wet coil follow its wet bulb alone: of three unlike models, total moves by no more than 0.09 %
/// for a degF of dry bulb while sensible stays below 0.9 of it (tests/expect/near_dry.cpp). A relative standard
/// uncertainty per K, and how far beside its pairs a page is read (K).
inline constexpr double beside_uncertainty = 0.0009, most_beside = 10.0 / 1.8;

/// One page at fixed outdoor dry bulb, airflow and entering dry bulb, as a function of its humidity axis. SI.
struct CoolingChain {
    const RatingTable* table = nullptr;
    double pressure = 0.0;       ///< Pa, station
    double page_pressure = 0.0;  ///< Pa, that the page is printed for; the station's if it has an axis of pressures
    double mass_flow = 0.0;      ///< kg/s dry air
    double page_flow = 0.0;      ///< m3/s by the page's pound
    double outdoor = 0.0;        ///< degC
    double dry_bulb = 0.0;       ///< degC, entering the coil
    double coil_wet_bulb = 0.0;  ///< degC, entering the coil: the evaporator is taken from it
    double beside = 0.0;         ///< K that the dry bulb stands beside the page's pairs, where they have this wet bulb
    Edges outside;
    Factors match, line, altitude;
    Factors airflow;          ///< of another airflow than the one the page is printed at
    double flow_ratio = 1.0;  ///< that airflow over the page's
    derates::LineRun run;     ///< of the line set
    std::optional<double> match_bypass;

    [[nodiscard]] double factor(const ChainPoint& point) const noexcept {
        return match.total * line.total * point.line.factor * altitude.total * airflow.total;
    }
    [[nodiscard]] bool along_pairs() const noexcept { return table->humidity() == HumidityAxis::pairs; }
    /// Whether the page prints sensible at the very dry bulb asked for: at several, or with each pair.
    [[nodiscard]] bool own_dry_bulbs() const noexcept {
        return along_pairs() || table->has(PageAxis::entering_dry_bulb);
    }
    /// degC: the dry bulb that the page's sensible is read at.
    [[nodiscard]] double reference() const noexcept {
        return own_dry_bulbs() ? dry_bulb - beside : table->basis().sensible_at->si;
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
        const auto low = (std::min)(static_cast<std::size_t>((std::max)(humidity, 0.0)), page.pairs.size() - 1);
        const auto high = (std::min)(low + 1, page.pairs.size() - 1);
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
    /// Beside a page's pairs it is entered where they have the wet bulb, and `beside` tells how far beside.
    [[nodiscard]] Answer<double> place_on_axis(const air::State& air, double wet_bulb) noexcept;

    /// The chain at one place on the humidity axis, dry-coil rule not yet applied. @return why not
    [[nodiscard]] Reason at(double humidity, ChainPoint& out) const noexcept {
        if (const Reason reason = read_page(*table, page_point(humidity), outside, out.page); !reason.none())
            return reason;
        Coil coil = derate(out);
        if (coil.air_needed) coil.here.humidity_ratio = ratio_at(humidity, pressure);
        if (coil.recomputed) {
            coil.page.humidity_ratio = ratio_at(humidity, page_pressure);
            if (const Reason reason = load_coil(out, coil); !reason.none()) return reason;
            coil.here.apparatus = air::saturated(coil.here.enthalpy, pressure);
            coil.page.apparatus = air::saturated(coil.page.enthalpy, page_pressure);
        }
        finish(coil, out);
        return {};
    }

    /// One side of the coil model, at the reference dry bulb.
    struct CoilSide {
        double humidity_ratio = 0.0;  ///< of entering air
        double enthalpy = 0.0;        ///< at the apparatus dew point
        air::Point apparatus;         ///< the apparatus dew point
    };
    /// What `at` works out of moist air. In steps, so that a batch can take each of them by columns.
    struct Coil {
        bool air_needed = false;  ///< `here.humidity_ratio`
        bool recomputed = false;  ///< all of it: sensible changes with total, pressure or coil
        CoilSide here, page;
    };

    /// The first step: factors on what the page says.
    [[nodiscard]] Coil derate(ChainPoint& out) const noexcept {
        Coil coil;
        out.line = {};
        if (run.modelled)
            out.line =
                derates::cooling_loss(run, out.page.total * match.total * line.total,
                                      derates::evaporating(coil_wet_bulb), derates::condensing(outdoor), outdoor);
        // One by one, as the ledger shows it.
        out.total = out.page.total * match.total * line.total * out.line.factor * altitude.total * airflow.total;
        out.power = out.page.power * match.power * line.power * altitude.power * airflow.power;
        out.bypass = derates::bypass_at(flow_ratio, match_bypass ? *match_bypass : out.page.bypass);
        out.scaled = out.by_bypass = false;
        out.no_sensible = {};
        if (!table->page().has_sensible) {
            out.no_sensible = Reason{Why::no_output, About::sensible_capacity, -1, -1, 0, 0, 0};
            return coil;
        }
        const bool changed =
            factor(out) != 1.0 || flow_ratio != 1.0 || pressure != page_pressure || out.bypass != out.page.bypass;
        coil.recomputed = changed && out.page.bypass > 0.0;
        if (flow_ratio != 1.0 && !coil.recomputed) {  // no coil to say how sensible moves with airflow
            out.no_sensible = Reason{Why::no_output, About::bypass, -1, -1, 0, 0, 0};
            return coil;
        }
        out.scaled = changed && !coil.recomputed;
        const bool moves = dry_bulb != reference() && out.bypass > 0.0;
        out.by_bypass = coil.recomputed || moves;
        coil.air_needed = coil.recomputed || (moves && !table->basis().sensible_slope);
        return coil;
    }

    /// The second: what the coil has to do, on both sides, from their humidity ratios.
    [[nodiscard]] Reason load_coil(const ChainPoint& out, Coil& coil) const noexcept {
        const auto here = air::apparatus_enthalpy(coil_air(coil.here), out.total, out.bypass);
        if (!here) return here.reason();
        const auto there = air::apparatus_enthalpy(page_air(coil.page), out.page.total, out.page.bypass);
        if (!there) return there.reason();
        coil.here.enthalpy = *here;
        coil.page.enthalpy = *there;
        return {};
    }

    /// The last: sensible. What the page prints is the anchor: the coil model supplies only the difference between the
    /// page's situation and this one.
    void finish(const Coil& coil, ChainPoint& out) const noexcept {
        if (!out.no_sensible.none()) return;
        out.coil = out.scaled ? out.page.sensible * factor(out) : out.page.sensible;
        if (coil.recomputed)
            out.coil += air::coil_sensible(coil_air(coil.here), out.bypass, coil.here.apparatus) -
                        air::coil_sensible(page_air(coil.page), out.page.bypass, coil.page.apparatus);
        const double reference_at = reference();
        if (dry_bulb == reference_at) {
            out.sensible = out.coil;
        } else if (out.bypass > 0.0) {
            out.sensible = out.coil + slope(coil.here.humidity_ratio) * (1.0 - out.bypass) * (dry_bulb - reference_at);
        } else if (along_pairs() && outside.all == follow) {
            out.sensible = out.coil;  // what the page does not know has no slope
        } else {
            out.no_sensible = Reason{Why::no_output, About::bypass, -1, -1, 0, 0, 0};
        }
    }

    /// Applies the dry-coil rule to `out.wet`, which `at` gave at this place on the humidity axis. @return why not
    /// @param found  of the same frame, to be used and filled; or null
    [[nodiscard]] Reason resolve(double humidity, Gross& out, FoundKnee* found = nullptr) const noexcept {
        const ChainPoint& wet = out.wet;
        out.total = wet.total;
        out.sensible = wet.sensible;
        out.power = wet.power;
        out.knee.reset();
        out.inferred = wet.page.inferred;
        out.filled = wet.page.filled;
        out.footing = wet.page.footing;
        if (!wet.no_sensible.none()) return {};
        if (along_pairs()) {  // no axis to find a knee on: sensible is what the page's total allows
            if (!(wet.sensible < wet.total)) {
                out.sensible = out.total;
                out.footing |= Footing::dry;
            }
            return {};
        }
        if (wet.sensible > wet.total) {
            if (const Reason reason = turn_dry(humidity, out, found); !reason.none()) return reason;
        } else if (found != nullptr) {
            found->of = knee_of();
            found->wet = humidity;
            found->excess = wet.sensible - wet.total;
            found->knee = -real::infinity;
        }
        // So that the printed totals of dry nodes come back; never below the wet line. It moves wet answers as well as
        // dry ones, so nothing jumps at the knee.
        const double moved = (std::max)(wet.total, out.total + wet.page.dry_offset * factor(wet));
        out.sensible += moved - out.total;
        out.total = moved;
        out.power += wet.page.power_offset * match.power * line.power * altitude.power * airflow.power;
        return {};
    }

    /// Nothing where the coil is wet at a dry bulb beside the page's pairs: none of them is dry, and what sensible
    /// would be there stays well below total, with the page's bypass factor or else one of 0.1 (common practice, no
    /// source).
    [[nodiscard]] OFFNOMINAL_NOINLINE Reason check_beside(const ChainPoint& wet) const noexcept {
        const double kept = 1.0 - (wet.bypass > 0.0 ? wet.bypass : 0.1);
        const double moved = wet.page.sensible * factor(wet) + mass_flow * air::si::cp_air * kept * beside;
        const double sensible = (std::max)(moved, wet.no_sensible.none() ? wet.sensible : 0.0);
        const bool wets = table->page().has_sensible && !(wet.page.inferred > 0.0) && sensible <= 0.9 * wet.total;
        if (wets || outside.all == follow) return {};
        return place_along_pairs(table->page(), dry_bulb, coil_wet_bulb).reason();
    }

   private:
    [[nodiscard]] Answer<double> place_by_pairs(double wet_bulb) noexcept;

    /// What the knee depends on in one frame.
    [[nodiscard]] std::array<double, 5> knee_of() const noexcept {
        return {outdoor, page_flow, mass_flow, dry_bulb, run.modelled ? coil_wet_bulb : 0.0};
    }

    /// The answer of a dry coil: that of the knee.
    [[nodiscard]] OFFNOMINAL_NOINLINE Reason turn_dry(double humidity, Gross& out, FoundKnee* found) const noexcept {
        FoundKnee own;
        FoundKnee& f = found == nullptr ? own : *found;
        const std::array of = knee_of();
        bool same = true;
        for (std::size_t k = 0; k < of.size(); ++k) same = same && f.of[k] == of[k];
        if (!same) f = FoundKnee{};
        f.of = of;
        if (!(humidity < f.knee))
            if (const Reason reason = find_knee(humidity, out, f); !reason.none()) return reason;
        const ChainPoint& there = f.there;
        out.total = out.sensible = there.total;
        out.power = there.power;
        out.knee = f.knee;
        out.inferred = (std::max)(out.inferred, there.page.inferred);
        out.filled = out.filled || there.page.filled;
        out.footing |= there.page.footing | Footing::dry;
        return {};
    }

    [[nodiscard]] Reason find_knee(double humidity, const Gross& dry, FoundKnee& out) const noexcept {
        double last = humidity;  // where `there` stands
        const auto excess = [&](double x) noexcept -> Answer<double> {
            if (x == out.wet) return out.excess;
            last = x;
            if (const Reason reason = at(x, out.there); !reason.none()) return reason;
            return out.there.sensible - out.there.total;
        };
        const bool near_wet = humidity < out.wet && out.wet < real::infinity;
        const auto page = near_wet ? std::span<const double>(&out.wet, 1) : table->breakpoints(PageAxis::humidity);
        const auto knee = derates::knee(excess, humidity, dry.wet.sensible - dry.wet.total, page,
                                        near_wet ? out.wet : highest_humidity());
        if (!knee) return named(knee.reason());
        if (last != *knee)
            if (const Reason reason = at(*knee, out.there); !reason.none()) return reason;
        out.knee = *knee;
        return {};
    }

    [[nodiscard]] air::CoilAir coil_air(const CoilSide& side) const noexcept {
        return {reference(), side.humidity_ratio, pressure, mass_flow};
    }
    [[nodiscard]] air::CoilAir page_air(const CoilSide& side) const noexcept {
        return {reference(), side.humidity_ratio, page_pressure, mass_flow / flow_ratio};
    }

    /// Sensible per kelvin of entering dry bulb before bypass.
    [[nodiscard]] double slope(double humidity_ratio) const noexcept {
        const Basis& basis = table->basis();
        if (basis.sensible_slope) return basis.sensible_slope->si * page_flow * flow_ratio;
        return mass_flow * air::si::moist_heat_capacity(humidity_ratio);
    }

    [[nodiscard]] double highest_humidity() const noexcept {
        const auto page = table->breakpoints(PageAxis::humidity);
        const double saturated = table->humidity() == HumidityAxis::relative_humidity ? 1.0 : dry_bulb;
        if (outside.all == follow) return saturated;
        const double extended = outside.all == Outside::extend ? reach(page) : 0.0;
        return (std::min)(saturated, page.back() + (std::max)(extended, outside.wet_bulb));
    }

    /// A reason about the knee in the words of the page's humidity axis.
    [[nodiscard]] Reason named(Reason reason) const noexcept {
        if (reason.why == Why::no_knee) reason.about = about(PageAxis::humidity, table->humidity());
        return reason;
    }
};

OFFNOMINAL_NOINLINE inline Answer<double> CoolingChain::place_by_pairs(double wet_bulb) noexcept {
    const PrintedPage& page = table->page();
    const auto along = place_along_pairs(page, dry_bulb, wet_bulb);
    if (along) return along;
    const BesidePairs by = place_by_wet_bulb(page, dry_bulb, wet_bulb);
    if (std::abs(by.beside) > most_beside)
        return outside.all == follow ? place_along_pairs(page, dry_bulb, wet_bulb, true) : along;
    beside = by.beside;
    return by.place;
}

inline Answer<double> CoolingChain::place_on_axis(const air::State& air, double wet_bulb) noexcept {
    if (along_pairs()) return place_by_pairs(wet_bulb);
    if (table->humidity() == HumidityAxis::wet_bulb) return wet_bulb;
    const double w = pressure == page_pressure
                         ? air.humidity_ratio.si
                         : air::si::humidity_ratio_from_wet_bulb(dry_bulb, wet_bulb, page_pressure);
    return (std::min)(air::si::relative_humidity(dry_bulb, w, page_pressure), 1.0);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
