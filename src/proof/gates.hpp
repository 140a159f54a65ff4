/// @file
/// What must hold before any ratio: the machine cools or heats as the visit says, no defrost is in the readings,
/// nothing was typed that no machine has, the barometer fits the elevation. And what casts doubt without ruling a ratio
/// out.
#pragma once

#include <cmath>

#include "model.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal::detail {

/// How far the barometer is off what the elevation asks for, as a share of it; 0 where only one of the two is given.
[[nodiscard]] inline double barometer_off(const Site& site) noexcept {
    const auto elevation = site.given_elevation();
    const auto pressure = site.given_pressure();
    if (!elevation || !pressure) return 0.0;
    return pressure->si / air::si::pressure_at_elevation(elevation->si) - 1.0;
}

[[nodiscard]] inline Reason outside_range(About about, double value, double lower, double upper) noexcept {
    if (value >= lower && value <= upper) return {};
    return {Why::implausible, about, -1, -1, value, lower, upper};
}

[[nodiscard]] inline Reason why_not_cooling(const Delivered& delivered) noexcept {
    const auto plain = [](Why why) { return Reason{why, About::nothing, -1, -1, 0, 0, 0}; };
    // Also where the supply is so dry that it holds less heat: no coil warms air and cools it.
    if (!(delivered.total_capacity.si > 0.0) || delivered.split.si < 0.0) return plain(Why::wrong_mode);
    if (delivered.notes.has(Note::small_split)) return plain(Why::small_difference);
    const Reason split = outside_range(About::dry_bulb_split, delivered.split.si, 0.0, practice::greatest_split.si);
    if (!split.none()) return split;
    return outside_range(About::supply_dry_bulb, delivered.supply_air.dry_bulb.si, practice::least_supply_dry_bulb.si,
                         delivered.return_air.dry_bulb.si);
}

[[nodiscard]] inline Reason why_not_heating(const Delivered& delivered) noexcept {
    const auto of_rise = [](Why why) { return Reason{why, About::rise, -1, -1, 0, 0, 0}; };
    const double rise = -delivered.split.si, own = delivered.total_capacity.si, auxiliary = delivered.auxiliary_heat.si;
    if (rise < 0.0) return of_rise(Why::wrong_mode);
    if (delivered.notes.has(Note::small_split)) return of_rise(Why::small_difference);
    if (!(own > 0.0)) return {Why::implausible, About::auxiliary_heat, -1, -1, auxiliary, 0.0, own + auxiliary};
    return outside_range(About::rise, rise * own / (own + auxiliary), 0.0, practice::greatest_rise.si);
}

/// Why the window is none of steady heating: a defrost in it, or nobody says.
[[nodiscard]] inline Reason why_defrost(const Visit& visit) noexcept {
    const auto of_defrost = [](Why why) { return Reason{why, About::defrost, -1, -1, 0, 0, 0}; };
    if ((visit.defrost_free && !*visit.defrost_free) ||
        (visit.since_defrost && *visit.since_defrost < practice::least_since_defrost))
        return of_defrost(Why::defrosting);
    return visit.defrost_free || visit.since_defrost ? Reason{} : of_defrost(Why::not_given);
}

/// Why the readings themselves allow no ratio, whatever the page says.
[[nodiscard]] inline Reason why_no_ratio(const Visit& visit, const Delivered& delivered) noexcept {
    const auto plain = [](Why why) { return Reason{why, About::nothing, -1, -1, 0, 0, 0}; };
    if (visit.steady && !*visit.steady) return plain(Why::not_steady);
    if (visit.running && *visit.running < practice::least_running) return plain(Why::not_steady);
    const bool heats = visit.mode() == Mode::heating;
    if (heats)
        if (const Reason r = why_defrost(visit); !r.none()) return r;
    if (std::abs(barometer_off(visit.site)) > practice::impossible_barometer) {
        const double p = air::si::pressure_at_elevation(visit.site.elevation());
        return {Why::contradictory,
                About::pressure,
                -1,
                -1,
                visit.site.given_pressure()->si,
                (1.0 - practice::impossible_barometer) * p,
                (1.0 + practice::impossible_barometer) * p};
    }
    if (const Reason r = heats ? why_not_heating(delivered) : why_not_cooling(delivered); !r.none()) return r;
    if (visit.boundary != Boundary::coil_and_fan) return {};
    const double flow = delivered.standard_airflow.si;
    return outside_range(About::fan_power, visit.fan_power.si, practice::least_fan_power * flow,
                         practice::greatest_fan_power * flow);
}

/// Why the readings fit no machine of the page's size, W.
[[nodiscard]] inline Reason why_not_this_size(const Delivered& delivered, double size) noexcept {
    const double cfm = units::cfm.from_si(delivered.standard_airflow.si), tons = units::ton.from_si(size);
    return outside_range(
        About::airflow_per_ton, cfm / tons, practice::least_scfm_per_ton,
        delivered.mode == Mode::heating ? practice::greatest_scfm_per_ton_heating : practice::greatest_scfm_per_ton);
}

/// Why the power that was read is none of a machine of the page's size, W. Of a heater beside it nothing is known.
[[nodiscard]] inline Reason why_not_this_power(const Visit& visit, double size) noexcept {
    const bool heater = visit.auxiliary_unknown || visit.readings.auxiliary_heat.si > 0.0;
    if (!visit.power || (heater && visit.power->of == PowerBasis::system)) return {};
    return outside_range(About::power, visit.power->value.si, practice::least_power * size,
                         practice::greatest_power * size);
}

/// What the visit leaves unsaid or unchecked.
[[nodiscard]] inline Notes notes_of(const System& system, const Visit& visit, const Delivered& delivered) noexcept {
    Notes notes = delivered.notes;
    const auto note = [&notes](Note n, bool holds) {
        if (holds) notes.add(n);
    };
    note(Note::steadiness_unknown, !visit.steady && !visit.running);
    note(Note::short_run, (visit.running && *visit.running < practice::settled_running) ||
                              (visit.since_defrost && *visit.since_defrost < practice::settled_since_defrost));
    note(Note::pressure_unchecked, visit.site.pressure_only());
    note(Note::barometer_far, std::abs(barometer_off(visit.site)) > practice::far_barometer);
    const auto elevation = visit.site.given_elevation();
    note(Note::sea_level_unchecked,
         elevation && std::abs(elevation->si) <= practice::looks_untold.si && !visit.site.given_pressure());
    note(Note::speed_unknown, system.parts().modulation != Modulation::staged && !visit.speed_held);
    note(Note::condensate_taken, visit.readings.condensate && visit.mode() == Mode::cooling);
    note(Note::probes_astride_fan, visit.boundary == Boundary::coil && visit.fan_power.si > 0.0);
    return notes;
}

}  // namespace offnominal::detail
