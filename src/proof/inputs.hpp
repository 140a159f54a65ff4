/// @file
/// What is known of each input of a proof: how far off it may be, and which errors go together.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>

#include "bend.hpp"
#include "distribution.hpp"
#include "model.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal::detail {

/// By `Input`.
using KnownInputs = std::array<Known, input_count>;
/// Contributions by `Input`.
using Contributions = std::array<double, input_count>;
/// Correlation of the inputs, row by row. Few are correlated with any but themselves: those stand by themselves too.
class Correlations {
   public:
    struct Pair {
        std::uint8_t first = 0, second = 0;
        double correlation = 0.0;
    };
    /// Of each two once; covariances are summed in that order.
    void add(std::size_t i, std::size_t j, double correlation) noexcept {
        matrix_[i * input_count + j] = correlation;
        if (correlation != 0.0)
            pairs_[count_++] = {static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(j), correlation};
    }
    [[nodiscard]] double operator[](std::size_t i) const noexcept { return matrix_[i]; }
    [[nodiscard]] std::span<const double> matrix() const noexcept { return matrix_; }
    /// Those that are not 0, row by row, each with itself among them.
    [[nodiscard]] std::span<const Pair> pairs() const noexcept { return {pairs_.data(), count_}; }

   private:
    std::array<double, input_count * input_count> matrix_{};
    std::array<Pair, input_count * input_count> pairs_{};
    std::size_t count_ = 0;
};

/// Standard uncertainty of a reading of which nothing is said: a poor instrument's.
[[nodiscard]] inline double poor_uncertainty(const Visit& visit, Input input, double reading) noexcept {
    const auto of_humidity = [reading](air::Humidity::Kind kind) {
        switch (kind) {
            case air::Humidity::Kind::relative_humidity:
                return practice::poor_relative_humidity;
            case air::Humidity::Kind::wet_bulb:
                return practice::poor_wet_bulb;
            case air::Humidity::Kind::dew_point:
                return practice::poor_dew_point;
            default:
                return practice::poor_share * std::abs(reading);
        }
    };
    switch (input) {
        case Input::return_dry_bulb:
        case Input::supply_dry_bulb:
            return practice::poor_dry_bulb;
        case Input::return_humidity:
            return of_humidity(visit.readings.return_humidity.kind);
        case Input::supply_humidity:
            return of_humidity(visit.readings.supply_humidity.kind);
        case Input::airflow:
            return practice::poor_share * reading;
        case Input::outdoor_dry_bulb:
            return practice::poor_outdoor_dry_bulb;
        case Input::pressure:
            return practice::poor_barometer * reading;
        case Input::fan_power:
        case Input::power:
        case Input::auxiliary_heat:
            break;
    }
    return practice::poor_power * reading;
}

/// Chance that a supply humidity probe is saturated.
[[nodiscard]] inline double chance_saturated(const Visit& visit) noexcept {
    const air::Humidity& h = visit.readings.supply_humidity;
    if (h.kind != air::Humidity::Kind::relative_humidity) return 0.0;
    return std::clamp((h.value - practice::least_saturated) / (practice::surely_saturated - practice::least_saturated),
                      0.0, 1.0);
}

/// What the readings' own scatter leaves of their mean: a standard uncertainty that covers 95 % at the usual factor.
[[nodiscard]] inline double scatter_of(const Uncertain& u) {
    if (!(u.scatter.standard > 0.0)) return 0.0;
    return u.scatter.standard * coverage_factor(u.scatter.degrees_of_freedom) /
           coverage_factor(std::numeric_limits<double>::infinity());
}

/// What is known of the air at a wetted supply probe.
inline void put_after_coil(const Expected& e, Known& k) noexcept {
    k.saturated_from = practice::least_after_wet_coil;
    k.saturated_to = 1.0;
    if (!e.leaving) return;
    const double sound = std::min(1.0, e.leaving->relative_humidity);
    k.saturated_from = sound - practice::below_sound_coil;
    k.saturated_to = std::min(1.0, sound + practice::above_sound_coil);
}

[[nodiscard]] inline Known known_of(const ProofModel& model, Input input, const Expected& e, Notes& notes) {
    const Visit& visit = model.visit();
    Known k;
    k.estimate = model.base()[static_cast<std::size_t>(input)];
    // Not given, or not used: an input that both sides do without.
    if (!std::isfinite(k.estimate) || (input == Input::fan_power && visit.boundary == Boundary::coil)) return k;
    if (input == Input::auxiliary_heat && k.estimate == 0.0) return k;  // off, or unknown, which no number tells
    if (input == Input::return_humidity && model.notes().has(Note::humidity_assumed)) {
        k.standard = practice::heated_relative_humidity_limits / std::sqrt(3.0);
        k.shape = Shape::rectangular;
        return k;
    }
    k.standard = visit.of(input).standard;
    k.shape = visit.of(input).shape;
    if (k.standard == 0.0) {
        if (input == Input::pressure && !visit.site.given_pressure()) {
            notes.add(Note::weather_in_pressure);
            k.standard = practice::weather_in_pressure * k.estimate;
        } else {
            notes.add(Note::uncertainty_missing);
            k.standard = poor_uncertainty(visit, input, k.estimate);
        }
    }
    // An interval of 95 % is as wide as Student's t makes it.
    if (const double scatter = scatter_of(visit.of(input)); scatter > 0.0) {
        if (scatter > k.standard) k.shape = Shape::normal;
        k.standard = std::hypot(k.standard, scatter);
    }
    k.gain = (input == Input::airflow || input == Input::power || input == Input::fan_power ||
              input == Input::auxiliary_heat) &&
             k.estimate > 0.0;
    if (input == Input::supply_humidity) {
        k.saturated = chance_saturated(visit);
        if (k.saturated > 0.0) {
            put_after_coil(e, k);
            notes.add(Note::saturated_probe);
        }
    }
    return k;
}

[[nodiscard]] inline KnownInputs known_inputs(const ProofModel& model, const Expected& e, Notes& notes) {
    KnownInputs out;
    for (std::size_t i = 0; i < input_count; ++i) out[i] = known_of(model, static_cast<Input>(i), e, notes);
    return out;
}

/// Whether an input is bounded so near its reading that a normal distribution is none of its: a humidity that may stand
/// past saturation, or a probe that may be saturated.
[[nodiscard]] inline bool is_bounded(const Visit& visit, const KnownInputs& known) noexcept {
    const auto reach = [](const Known& k) {
        return (k.shape == Shape::rectangular ? std::sqrt(3.0) : 3.0) * k.standard;
    };
    const auto near_saturation = [&](const air::Humidity& h, Input humidity, Input dry_bulb) {
        const Known &of_humidity = known[static_cast<std::size_t>(humidity)],
                    &of_dry_bulb = known[static_cast<std::size_t>(dry_bulb)];
        if (h.kind == air::Humidity::Kind::relative_humidity) return h.value + reach(of_humidity) > 1.0;
        if (h.kind == air::Humidity::Kind::humidity_ratio) return true;  // how near, only a state tells
        const double both = 3.0 * std::hypot(of_humidity.standard, of_dry_bulb.standard);
        return h.value + std::min(both, reach(of_humidity) + reach(of_dry_bulb)) > of_dry_bulb.estimate;
    };
    return near_saturation(visit.readings.return_humidity, Input::return_humidity, Input::return_dry_bulb) ||
           near_saturation(visit.readings.supply_humidity, Input::supply_humidity, Input::supply_dry_bulb) ||
           known[static_cast<std::size_t>(Input::supply_humidity)].saturated > 0.0;
}

/// The quantity an input reads, with others of its kind: dry bulb; humidity, if measured alike; power. 0: like no
/// other.
[[nodiscard]] inline int quantity_of(const Visit& visit, std::size_t i) noexcept {
    constexpr std::array quantity{1, 2, 1, 2, 0, 1, 0, 3, 3, 3};  // by Input
    static_assert(quantity.size() == input_count);
    const bool alike = visit.readings.return_humidity.kind == visit.readings.supply_humidity.kind;
    return quantity[i] == 2 && !alike ? 0 : quantity[i];
}

/// The correlation of two instruments' errors: of one with itself, or of two that were compared side by side.
[[nodiscard]] inline double correlation_of(const Visit& visit, const Uncertain& a, const Uncertain& b,
                                           Notes& notes) noexcept {
    if (a.instrument.empty() || b.instrument.empty()) return 0.0;
    if (a.instrument == b.instrument) {
        if (!a.correlation || !b.correlation) notes.add(Note::one_instrument);
        return std::min(a.correlation.value_or(practice::shared_by_one_instrument),
                        b.correlation.value_or(practice::shared_by_one_instrument));
    }
    for (const SideBySide& pair : visit.side_by_side)
        if ((pair.first == a.instrument && pair.second == b.instrument) ||
            (pair.first == b.instrument && pair.second == a.instrument))
            return pair.correlation;
    return 0.0;
}

[[nodiscard]] inline Correlations correlations_of(const Visit& visit, Notes& notes) noexcept {
    Correlations out;
    Notes unheard;  // of powers: they are in no capacity
    for (std::size_t i = 0; i < input_count; ++i)
        for (std::size_t j = 0; j < input_count; ++j) {
            const int quantity = quantity_of(visit, i);
            const bool alike = quantity != 0 && quantity == quantity_of(visit, j);
            out.add(i, j,
                    i == j   ? 1.0
                    : !alike ? 0.0
                             : correlation_of(visit, visit.uncertainty[i], visit.uncertainty[j],
                                              quantity == 3 ? unheard : notes));
        }
    return out;
}

/// Covariance of two things, by what a rise of each input by its standard uncertainty does to them.
[[nodiscard]] inline double covariance(const Correlations& correlations, const Contributions& a,
                                       const Contributions& b) noexcept {
    double sum = 0.0;
    for (const auto& [i, j, r] : correlations.pairs())
        if (a[i] != 0.0) sum += a[i] * r * b[j];
    return sum;
}

/// The page's own terms of expected total, relative standard uncertainties.
struct OwnTerms {
    double reading = 0.0;  ///< reading and derating the page
    double outside = 0.0;  ///< past its edge; rectangular
    double frost = 0.0;    ///< on the outdoor coil, about its mean; rectangular
    double make = 0.0;  ///< a sound machine of this make about its page: the maker's tolerance, the last printed place
    double sensible = 0.0;  ///< of sensible besides: a bypass factor that is not printed
    // No uncertainties, but shares of total:
    double bend = 0.0;       ///< what straight reading leaves out of it
    double held_back = 0.0;  ///< what frost takes from it, in the mean

    /// What was promised is the number as printed.
    [[nodiscard]] double of(Yardstick yardstick) const noexcept { return std::hypot(without_frost(yardstick), frost); }
    [[nodiscard]] double without_frost(Yardstick yardstick) const noexcept {
        return root_of_squares({reading, outside, yardstick == Yardstick::make ? make : 0.0});
    }
    /// Expected total over the one that straight reading tells.
    [[nodiscard]] double factor() const noexcept { return (1.0 + bend) * (1.0 - held_back); }
};

/// How the axes of a page that have two values bend, as far as common practice tells: along airflows to a known side.
[[nodiscard]] inline Bend assumed_bend(const Grid& grid, std::span<const PageAxis> axes, bool by_wet_bulb,
                                       const PagePoint& entered) noexcept {
    Bend out;
    double either_way = 0.0;
    for (std::size_t k = 0; k < axes.size(); ++k) {
        const auto x = grid.breakpoints(k);
        if (x.size() != 2) continue;
        const PageAxis axis = axes[k];
        const double at = std::clamp(entered[axis], x[0], x[1]), lever = (at - x[0]) * (x[1] - at);
        if (axis == PageAxis::airflow)
            out = {practice::bend_of_airflow * lever / (at * at), practice::bend_of_airflow_u * lever / (at * at)};
        else if (axis == PageAxis::outdoor_dry_bulb)
            either_way += practice::bend_of_temperature * lever;
        else if (axis == PageAxis::humidity && by_wet_bulb)
            either_way += practice::bend_of_humidity * lever;
        // Entering dry bulb bends little while the coil is wet; other axes have no common practice.
    }
    out.left = std::hypot(out.left, either_way);
    return out;
}

[[nodiscard]] inline Bend assumed_bend(const RatingTable& table, const PagePoint& entered) noexcept {
    return assumed_bend(table.grid(), table.axes(), table.humidity() == HumidityAxis::wet_bulb, entered);
}

/// Relative standard uncertainty of expected total where frost holds back from nothing to twice its mean.
[[nodiscard]] inline double frost_uncertainty(double held_back) noexcept {
    return held_back / std::sqrt(3.0) / (1.0 - held_back);
}

/// What frost may have taken of a coil's capacity by the end of these readings, at the most.
[[nodiscard]] inline double most_frost(const Visit& visit) noexcept {
    if (!visit.since_defrost) return practice::most_frost_on_coil;
    return practice::most_frost_on_coil * std::min(1.0, *visit.since_defrost / practice::soonest_defrost);
}

[[nodiscard]] inline OwnTerms own_terms(const System& system, const Visit& visit, const Expected& e,
                                        Notes& notes) noexcept {
    const ExpectedUncertainty& u = e.uncertainty;
    const double total = e.total_capacity.si;
    OwnTerms out;
    const double gross = e.gross_total.si;
    double bend = 0.0, frost = 0.0;
    const bool heats = e.mode == Mode::heating;
    if (e.notes.has(Note::interpolation_unknown)) {
        const Bend assumed =
            heats ? assumed_bend(heating_page_of(system, e).table.grid(), heating_page_axes, false, e.entered)
                  : assumed_bend(page_of(system, e).table, e.entered);
        out.bend = assumed.more * gross / total;
        bend = assumed.left * gross;
        notes.add(Note::curvature_assumed);
    }
    if (u.multiplier > 0.0) notes.add(Note::multiplier_assumed);
    if (heats && derates::frosts(e.outdoor_dry_bulb)) {
        notes.add(Note::frost_on_coil);
        out.held_back = 0.5 * most_frost(visit) * gross / total;
        out.frost = frost_uncertainty(out.held_back);
        if (e.frost == Frost::unknown) frost = practice::unknown_frost * gross;
    }
    double interpolation = u.interpolation;
    if (const auto own = bend_of(system, e)) {
        out.bend += own->more * gross / total;
        interpolation = own->left * gross;
    }
    out.reading = root_of_squares(
                      {interpolation, u.inferred, u.match, u.line, u.altitude, u.airflow, bend, u.multiplier, frost}) /
                  total;
    out.outside = u.outside / total;
    if (e.notes.has(Note::bypass_inferred)) out.sensible = practice::inferred_bypass;
    const bool unknown = e.notes.has(Note::tolerance_unknown);
    const double tolerance = unknown ? 0.5 * practice::assumed_tolerance * gross / total : u.tolerance / total;
    out.make = std::hypot(tolerance, u.resolution / total);
    if (unknown) notes.add(Note::tolerance_assumed);
    return out;
}

}  // namespace offnominal::detail
