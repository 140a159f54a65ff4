/// @file
/// What a machine delivers: the air-enthalpy method.
///
/// Total is mass flow of dry air times enthalpy difference. Sensible and latent follow one of two published ways:
///  - `enthalpy`: sensible = m (1006 + 1860 W2)(t1 - t2), latent = m (W1 - W2)(2 501 000 + 1860 t1). Both come from the
///    moist-air enthalpy equation (ASHRAE Handbook Fundamentals ch. 1), so they add up to total exactly.
///  - `ashrae37`: sensible = m (0.24 + 0.444 W1 Btu/lb degF)(t1 - t2), latent = m (W1 - W2) x 1060 Btu/lb (ANSI/ASHRAE
///  37-2009,
///    7.3.3). Their sum is a little below the enthalpy difference on a wet coil.
/// The condensate leaves as liquid; its enthalpy m (W1 - W2) h_f (0.4 to 0.8 % of total) is left out, as rating
/// standards do, unless asked for.
#pragma once

#include <cmath>

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/ratings/basis.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

enum class Split : std::uint8_t { enthalpy, ashrae37 };

/// What the probes read.
struct Readings {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    Temperature return_dry_bulb{not_given};
    air::Humidity return_humidity = air::wet_bulb(Temperature{not_given});
    Temperature supply_dry_bulb{not_given};
    air::Humidity supply_humidity = air::wet_bulb(Temperature{not_given});
    AirflowReading airflow{};
    Split split = Split::enthalpy;
    bool condensate = false;                 ///< subtract the condensate's enthalpy from total and latent
    FanPosition fan = FanPosition::unknown;  ///< needed only for an airflow read at the fan
    Power fan_power{not_given};              ///< likewise: in draw-through the fan breathes supply air less this heat
};

/// What a machine delivers, raw: nothing is clamped.
struct Delivered {
    Power total_capacity;
    Power sensible_capacity;
    Power latent_capacity;
    MassFlow mass_flow;                    ///< dry air
    Airflow standard_airflow;              ///< by the dry pound
    TemperatureDifference split;           ///< return less supply dry bulb
    std::optional<double> sensible_ratio;  ///< sensible / total; empty where total is too small for a ratio
    MassFlow condensate_flow;              ///< water leaving the air, kg/s
    air::State return_air;
    air::State supply_air;
    Notes notes;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// @return what is delivered, or a reason: a state that cannot be, an airflow not given or not positive.
[[nodiscard]] inline Answer<Delivered> try_deliver(const Readings& r, const Site& site) noexcept {
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    const Pressure p{*pressure};
    const auto state = [&](Temperature dry_bulb, const air::Humidity& humidity, About about) -> Answer<air::State> {
        if (std::isnan(dry_bulb.si)) return Reason{Why::not_given, about, -1, -1, 0, 0, 0};
        return air::try_state(dry_bulb, humidity, p);
    };
    const auto in = state(r.return_dry_bulb, r.return_humidity, About::return_air);
    if (!in) return in.reason();
    const auto out = state(r.supply_dry_bulb, r.supply_humidity, About::supply_air);
    if (!out) return out.reason();

    // Where the airflow was read. A draw-through fan breathes supply air less the fan's own heat, which takes a mass
    // flow: the heat moves density by about 0.2 %, so four passes are exact.
    const bool at_fan = r.airflow.kind == AirflowReading::Kind::actual && r.airflow.place == air::Place::fan;
    if (at_fan && r.fan == FanPosition::unknown) return Reason{Why::not_given, About::fan_position, -1, -1, 0, 0, 0};
    if (at_fan && r.fan == FanPosition::draw_through) {
        if (std::isnan(r.fan_power.si)) return Reason{Why::not_given, About::fan_power, -1, -1, 0, 0, 0};
        if (!(r.fan_power.si >= 0.0))
            return Reason{Why::outside, About::fan_power, -1, -1, r.fan_power.si, 0.0, HUGE_VAL};
    }
    const bool at_supply = r.airflow.place == air::Place::supply_air || (at_fan && r.fan == FanPosition::draw_through);
    auto flow = detail::dry_mass_flow(r.airflow, at_supply ? *out : *in);
    for (int pass = 0; flow && at_fan && at_supply && pass < 4; ++pass)
        flow = detail::dry_mass_flow(r.airflow, detail::warmed(*out, -r.fan_power.si, *flow));
    if (!flow) return flow.reason();
    const double m = *flow;
    const double t1 = in->dry_bulb.si, t2 = out->dry_bulb.si, w1 = in->humidity_ratio.si, w2 = out->humidity_ratio.si;

    Delivered d;
    double total = m * (air::si::enthalpy(t1, w1) - air::si::enthalpy(t2, w2));
    double sensible, latent;
    if (r.split == Split::enthalpy) {
        sensible = m * (air::si::enthalpy(t1, w2) - air::si::enthalpy(t2, w2));
        latent = m * (air::si::enthalpy(t1, w1) - air::si::enthalpy(t1, w2));
    } else {
        constexpr double btu_lb_degF = 2326.0 * 1.8;  // J/(kg K)
        sensible = m * (0.24 + 0.444 * w1) * btu_lb_degF * (t1 - t2);
        latent = m * (w1 - w2) * 1060.0 * 2326.0;
    }
    if (r.condensate) {
        // Liquid water at the leaving dry bulb: 4186 J/(kg K), ASHRAE Handbook Fundamentals ch. 1.
        const double liquid = m * (w1 - w2) * 4186.0 * t2;
        total -= liquid;
        latent -= liquid;
    }
    d.total_capacity = {total};
    d.sensible_capacity = {sensible};
    d.latent_capacity = {latent};
    d.mass_flow = {m};
    d.standard_airflow = {air::si::standard_from_dry_mass(m)};
    d.split = in->dry_bulb - out->dry_bulb;
    d.condensate_flow = {m * (w1 - w2)};
    d.return_air = *in;
    d.supply_air = *out;
    if (std::abs(total) > 1e-6 * m * 1e5) d.sensible_ratio = sensible / total;  // 1e5 J/kg: an enthalpy's own size
    if (total < 0.0) d.notes.add(Note::negative_capacity);
    if (latent < 0.0) d.notes.add(Note::negative_latent);
    if (sensible > total) d.notes.add(Note::sensible_above_total);
    if (std::abs(t1 - t2) < 3.0 / 1.8) d.notes.add(Note::small_split);
    if (air::si::relative_humidity(t2, w2, p.si) > 0.97) d.notes.add(Note::near_saturation);
    return d;
}

/// As `try_deliver`. @throws Refused where that has a reason.
[[nodiscard]] inline Delivered deliver(const Readings& readings, const Site& site) {
    const auto answer = try_deliver(readings, site);
    if (!answer) throw Refused(answer.reason(), explain(answer.reason()));
    return *answer;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
