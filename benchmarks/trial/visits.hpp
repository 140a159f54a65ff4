/// @file
/// One virtual visit: a machine whose true ratio is known, in true air, and what the instruments read of it.
///
/// The true ratio is what the machine delivers over what it should. By the yardstick of the make that is what a sound
/// machine of this kind delivers, which itself differs from its maker's page within his tolerance, one machine from the
/// next (normal; the tolerance is two standard deviations). The page errs by itself besides.
#pragma once

#include <cmath>
#include <limits>

#include "../../src/look_up.hpp"
#include "kits.hpp"
#include "offnominal/proof.hpp"
#include "pages.hpp"
#include "situations.hpp"

namespace trial {

using offnominal::Yardstick;

/// A row of the trial: so many visits of one kind.
struct Row {
    const Situation* situation;
    const Kit* kit;
    double ratio;  ///< the true one; NaN: drawn from 0.70 to 1.10 for each visit
    int visits;
    Yardstick yardstick = Yardstick::make;
};

struct VisitCase {
    const Make* make;
    double ratio;  ///< the truth
    offnominal::Visit visit;
    std::optional<offnominal::Visit> clean;  ///< of a slip: the visit as it should have been typed
};

/// True air and true machine.
struct Truth {
    double p, t, W, outdoor, scfm, fan, supply_t, supply_W, power, heater;
    offnominal::Boundary boundary;

    [[nodiscard]] double mass_flow() const noexcept { return mass_of_scfm(scfm); }
    [[nodiscard]] double actual_airflow() const noexcept { return mass_flow() * moist::volume(t, W, p); }
};

[[nodiscard]] inline bool is_slip(Secret secret) noexcept { return secret >= Secret::slip_supply_warmer; }

/// The day: air inside the page, by a margin that an ordinary error does not cross, or close to one of its edges.
inline void draw_day(const Make& make, const Situation& s, double elevation, Chance& chance, Truth& truth) {
    using offnominal::units::degF;
    truth.p = moist::pressure_at_elevation(elevation) * (1.0 + weather * chance.normal());
    truth.outdoor = degC(chance.within(s.outdoor));
    truth.scfm = chance.within(s.airflow) * make.tons;
    const Layout& page = make.layout;
    const int edge = s.near_edge ? static_cast<int>(6.0 * chance.share()) : -1;
    const double inside = chance.share();  // how far, of an instrument's error
    if (edge == 0) truth.outdoor = degC(page.outdoor.front() + inside);
    if (edge == 1) truth.outdoor = degC(page.outdoor.back() - inside);
    if (edge == 2) truth.scfm = page.per_ton.front() * make.tons * (1.0 + 0.05 * inside);
    if (edge == 3) truth.scfm = page.per_ton.back() * make.tons * (1.0 - 0.05 * inside);
    const double margin = 1.5;  // degF of wet bulb
    for (int attempt = 0; attempt < 1000; ++attempt) {
        truth.t = degC(chance.within(s.dry_bulb));
        if (edge == 4 || edge == 5) {
            const double wet = edge == 4 ? page.wet_bulb.front() + inside : page.wet_bulb.back() - inside;
            truth.t = degC(edge == 4 ? 74.0 : 82.0);
            truth.W = moist::humidity_ratio_from_wet_bulb(truth.t, degC(wet), truth.p);
            return;
        }
        const double pw = chance.within(s.relative_humidity) * moist::saturation_pressure(truth.t);
        truth.W = moist::humidity_ratio(pw, truth.p);
        if (s.heats) return;
        const double wet = degF.from_si(moist::wet_bulb(truth.t, truth.W, truth.p));
        if (wet > page.wet_bulb.front() + margin && wet < page.wet_bulb.back() - margin) return;
    }
}

/// What a fault that takes `lost` of the capacity does to the power: refrigerant-side faults draw less, outdoor-side
/// ones more (domain knowledge: 10 to 20 % more for 5 to 10 % of capacity).
[[nodiscard]] inline double power_of_fault(double lost, const Situation& s, Chance& chance) noexcept {
    if (s.power_by_loss) return 1.0 + lost * chance.within(*s.power_by_loss);
    const bool outdoor_side = chance.happens(0.25) && lost > 0.0 && lost < 0.12;
    return 1.0 + lost * chance.within(outdoor_side ? Range{0.5, 2.0} : Range{-0.6, 0.0});
}

/// The machine at work in that air.
inline void run_machine(const Make& make, const Situation& s, Runs stage, double ratio, Yardstick yardstick,
                        Chance& chance, Truth& truth) {
    using offnominal::Boundary;
    const double m = truth.mass_flow();
    truth.boundary = chance.happens(0.15) ? Boundary::coil : Boundary::coil_and_fan;
    truth.fan = chance.within({0.35, 0.50}) / cfm(1.0) * truth.actual_airflow();
    const bool blown = make.layout.fan == offnominal::FanPosition::blow_through;
    const bool net = truth.boundary == Boundary::coil_and_fan;
    Entering in{truth.t, truth.W, truth.p};
    if (blown && net) in.t += truth.fan / (m * moist::moist_heat_capacity(in.W));
    const Running sound = make.machine->sound(stage, in, m, truth.outdoor);
    const double fan_heat = net ? truth.fan : 0.0;
    const double own = 1.0 + (yardstick == Yardstick::make ? 0.5 * make.tolerance * chance.normal() : 0.0);
    const double delivered = ratio * own * (sound.total - fan_heat);
    const Point out = make.machine->leaving(in, m, delivered + fan_heat, std::exp(0.05 * chance.normal()));
    truth.supply_t = out.t;
    truth.supply_W = std::min(out.W, moist::saturation_humidity_ratio(out.t, truth.p));
    if (net && !blown) truth.supply_t += truth.fan / (m * moist::moist_heat_capacity(truth.supply_W));
    truth.power = sound.power * (1.0 + 0.02 * chance.normal()) * power_of_fault(1.0 - ratio, s, chance);
}

/// The machine that heats in that air. Frost takes up to 4 % of a machine that runs below 40 degF.
inline void heat_room(const Make& make, const Situation& s, Runs stage, double ratio, Yardstick yardstick,
                      Chance& chance, Truth& truth) {
    using offnominal::Boundary;
    const double m = truth.mass_flow(), cp = moist::moist_heat_capacity(truth.W);
    truth.boundary = chance.happens(0.15) ? Boundary::coil : Boundary::coil_and_fan;
    truth.fan = chance.within({0.35, 0.50}) / cfm(1.0) * truth.actual_airflow();
    const bool blown = make.layout.fan == offnominal::FanPosition::blow_through;
    const bool net = truth.boundary == Boundary::coil_and_fan;
    Entering in{truth.t, truth.W, truth.p};
    if (blown && net) in.t += truth.fan / (m * cp);
    const Running sound = make.machine->heats(stage, in, m, truth.outdoor);
    const double own = 1.0 + (yardstick == Yardstick::make ? 0.5 * make.tolerance * chance.normal() : 0.0);
    const double frost = s.frosts && truth.outdoor < degC(40.0) ? chance.within({0.0, 0.04}) : 0.0;
    const double delivered = ratio * own * (1.0 - frost) * (sound.total + (net ? truth.fan : 0.0));
    truth.heater = chance.happens(s.heater) ? 5000.0 : 0.0;
    truth.supply_t = truth.t + (delivered + truth.heater) / (m * cp);
    truth.supply_W = truth.W;
    truth.power = sound.power * (1.0 + 0.02 * chance.normal()) * power_of_fault(1.0 - ratio, s, chance);
}

/// Writes what the instruments read, and what they say of themselves.
class Reader {
   public:
    Reader(const Truth& truth, const Situation& situation, const Kit& kit, Chance& chance, offnominal::Visit& visit)
        : truth_(truth), situation_(situation), kit_(kit), chance_(chance), visit_(visit) {}

    void read() {
        using namespace offnominal;
        visit_.boundary = truth_.boundary;
        if (situation_.heats) {
            visit_.readings.mode = Mode::heating;
            visit_.defrost_free = true;
            const double heater = shown(truth_.heater * (1.0 + kit_.power.error(chance_)), 10.0);
            visit_.readings.auxiliary_heat.si = heater;
            if (heater > 0.0) state(Input::auxiliary_heat, "heater's meter", kit_.power, heater);
        }
        probes();
        outdoor();
        airflow();
        // Between the probes at the coil there is no fan, and nobody reads its power.
        const double fan = shown(truth_.fan * (1.0 + kit_.power.error(chance_)), 1.0);
        if (visit_.boundary == Boundary::coil_and_fan) {
            visit_.fan_power.si = visit_.readings.fan_power.si = fan;
            state(Input::fan_power, "fan's meter", kit_.power, fan);
        }
        const double power = shown(truth_.power * (1.0 + kit_.power.error(chance_)), 10.0);
        if (chance_.happens(situation_.power_read)) {
            visit_.power = PowerReading{PowerBasis::outdoor_unit, Power{power}};
            state(Input::power, "outdoor unit's meter", kit_.power, power);
        }
    }

    void site(double elevation) {
        using namespace offnominal;
        const double pressure = truth_.p + limits(barometer_limits).error(chance_);
        if (kit_.barometer) {
            visit_.site = Site::at(Length{elevation}, Pressure{pressure});
            state(Input::pressure, "barometer", limits(barometer_limits));
        } else {
            visit_.site = Site::at_elevation(Length{elevation});
        }
    }

   private:
    /// What the instrument says of itself; `times` the reading, where it says a share of that.
    void state(offnominal::Input input, const char* instrument, const Stated& stated, double times = 1.0) {
        offnominal::Uncertain& said = visit_.of(input);
        said.standard = stated.standard() * times;
        said.instrument = instrument;
        said.shape = stated.as == Stated::As::limits ? offnominal::Shape::rectangular : offnominal::Shape::normal;
    }
    /// As the instrument shows it.
    double shown(double x, double step) const { return kit_.rounds ? std::round(x / step) * step : x; }
    double tenth(double t) const {
        return kit_.rounds ? degC(std::round(10.0 * offnominal::units::degF.from_si(t)) / 10.0) : t;
    }

    void probes() {
        using namespace offnominal;
        const Secret secret = situation_.secret;
        const auto three = [&](const Stated& stated) {
            return (chance_.happens(0.5) ? 3.0 : -3.0) * stated.standard();
        };
        // One probe carried from return to supply takes most of its error along.
        const double shared = secret == Secret::slip_one_probe ? 0.8 : kit_.shared;
        TwoErrors dry = errors(kit_.dry_bulb, shared, chance_);
        if (secret == Secret::dry_bulb_astray) (chance_.happens(0.5) ? dry.first : dry.second) = three(kit_.dry_bulb);
        Readings& r = visit_.readings;
        r.return_dry_bulb.si = tenth(truth_.t + dry.first);
        r.supply_dry_bulb.si = tenth(truth_.supply_t + dry.second);
        const Stated& stated = situation_.wet_bulbs ? kit_.wet_bulb : kit_.relative_humidity;
        TwoErrors wet = errors(stated, shared, chance_);
        if (secret == Secret::humidity_astray) (chance_.happens(0.5) ? wet.first : wet.second) = three(stated);
        if (situation_.wet_bulbs) {
            const auto shown_by = [&](double t, double W, bool half_dry) {
                const double is = moist::wet_bulb(t, W, truth_.p);
                return half_dry ? is + chance_.within({0.30, 0.60}) * (t - is) : is;
            };
            const double in = shown_by(truth_.t, truth_.W, secret == Secret::return_wick_dry);
            const double out = shown_by(truth_.supply_t, truth_.supply_W, secret == Secret::supply_wick_dry);
            r.return_humidity = air::wet_bulb(Temperature{tenth(in + wet.first)});
            r.supply_humidity = air::wet_bulb(
                Temperature{situation_.wet_above_dry > 0.0 ? r.supply_dry_bulb.si + situation_.wet_above_dry
                                                           : std::min(r.supply_dry_bulb.si, tenth(out + wet.second))});
        } else {
            const double in = moist::relative_humidity(truth_.t, truth_.W, truth_.p);
            const double out = secret == Secret::supply_probe_wet
                                   ? chance_.within({0.97, 1.0})
                                   : wet.second + moist::relative_humidity(truth_.supply_t, truth_.supply_W, truth_.p);
            r.return_humidity = air::relative_humidity(std::clamp(shown(in + wet.first, 0.001), 0.0, 1.0));
            if (!situation_.heats) r.supply_humidity = air::relative_humidity(std::clamp(shown(out, 0.001), 0.0, 1.0));
        }
        state(Input::return_dry_bulb, "return probe", kit_.dry_bulb);
        state(Input::supply_dry_bulb, "supply probe", kit_.dry_bulb);
        state(Input::return_humidity, "return probe", stated);
        if (!situation_.heats) state(Input::supply_humidity, "supply probe", stated);
        if (kit_.shared > 0.0) visit_.side_by_side = {{"return probe", "supply probe", kit_.shared}};
    }

    void outdoor() {
        visit_.outdoor_dry_bulb.si = tenth(truth_.outdoor + kit_.outdoor.error(chance_));
        state(offnominal::Input::outdoor_dry_bulb, "outdoor probe", kit_.outdoor);
    }

    void airflow() {
        using namespace offnominal;
        const Stated stated = situation_.secret == Secret::airflow_wild ? limits(0.20) : kit_.airflow;
        double factor = 1.0 + stated.error(chance_);
        if (situation_.secret == Secret::airflow_reads_high) factor *= chance_.within({1.15, 1.20});
        if (situation_.secret == Secret::airflow_reads_low) factor *= chance_.within({0.80, 0.85});
        const bool standard = chance_.happens(0.3);
        const double flow = standard ? cfm(truth_.scfm) : truth_.actual_airflow();
        const Airflow read{shown(flow * factor, cfm(1.0))};
        visit_.readings.airflow =
            standard ? AirflowReading::standard(read) : AirflowReading::actual(read, air::Place::return_air);
        state(Input::airflow, "flow grid", stated, read.si);
    }

    const Truth& truth_;
    const Situation& situation_;
    const Kit& kit_;
    Chance& chance_;
    offnominal::Visit& visit_;
};

/// The slip that spoils an honest visit.
inline void slip(Secret secret, offnominal::Visit& v) {
    using namespace offnominal;
    Readings& r = v.readings;
    switch (secret) {
        case Secret::slip_supply_warmer:  // by 18 degF, and so dry that it holds less heat
            r.supply_dry_bulb.si = r.return_dry_bulb.si + 10.0;
            r.supply_humidity = air::relative_humidity(0.05);
            break;
        case Secret::slip_swapped:
            std::swap(r.return_dry_bulb, r.supply_dry_bulb);
            std::swap(r.return_humidity, r.supply_humidity);
            break;
        case Secret::slip_fan_kilowatts:  // 0.42 typed, in W
            v.fan_power.si /= 1000.0;
            r.fan_power = v.fan_power;
            break;
        case Secret::slip_no_limits:
            for (Uncertain& u : v.uncertainty) u.standard = 0.0;
            break;
        case Secret::slip_barometer_at_sea:  // the weather service's figure, reduced to sea level
            v.site = Site::at(*v.site.given_elevation(), Pressure{moist::standard_pressure});
            v.of(Input::pressure).standard = 30.0;
            break;
        case Secret::slip_condensate:  // subtracted here, but on no page
            r.condensate = true;
            break;
        case Secret::slip_boundary:  // the probes stand astride the fan
            v.boundary = Boundary::coil;
            break;
        case Secret::slip_elevation_zero:
            v.site = Site::sea_level();
            break;
        case Secret::slip_airflow_litres:  // L/s in the field for cfm
            r.airflow.si *= units::cfm.to_si(1.0) / units::L_s.to_si(1.0);
            v.of(Input::airflow).standard *= units::cfm.to_si(1.0) / units::L_s.to_si(1.0);
            break;
        case Secret::slip_outdoor_celsius:  // degC in the field for degF
            v.outdoor_dry_bulb.si = degC(v.outdoor_dry_bulb.si);
            break;
        case Secret::slip_one_probe:  // carried from return to supply, and nothing said of what that shares
            v.of(Input::supply_dry_bulb).instrument = v.of(Input::return_dry_bulb).instrument;
            v.of(Input::supply_humidity).instrument = v.of(Input::return_humidity).instrument;
            break;
        default:
            break;
    }
}

/// Visit number `i` of a row.
[[nodiscard]] inline VisitCase visit_of(const std::vector<Make>& makes, const Row& row, std::uint64_t seed,
                                        std::uint64_t number, int i) {
    Chance chance(seed, number, static_cast<std::uint64_t>(i));
    const Situation& s = *row.situation;
    VisitCase out{&makes[static_cast<std::size_t>(i) % makes.size()],
                  std::isnan(row.ratio) ? chance.within({0.70, 1.10}) : row.ratio,
                  {},
                  {}};
    const double elevation = std::round(chance.within(s.elevation)) * offnominal::detail::foot;
    Truth truth{};
    draw_day(*out.make, s, elevation, chance, truth);
    const bool on_low = s.secret == Secret::low_stage_said_high;
    // Most blowers slow down with the compressor.
    if (on_low && chance.happens(0.75)) truth.scfm *= chance.within({0.86, 0.95});
    if (s.heats)
        heat_room(*out.make, s, on_low ? Runs::low : Runs::high, out.ratio, row.yardstick, chance, truth);
    else
        run_machine(*out.make, s, on_low ? Runs::low : Runs::high, out.ratio, row.yardstick, chance, truth);
    if (s.secret == Secret::slip_boundary || s.secret == Secret::slip_fan_kilowatts)
        while (truth.boundary != offnominal::Boundary::coil_and_fan)
            run_machine(*out.make, s, Runs::high, out.ratio, row.yardstick, chance, truth);

    offnominal::Visit& v = out.visit;
    v.stage = s.secret == Secret::high_stage_said_low ? "low" : "high";
    v.match = "indoor";
    v.steady = true;
    v.running = offnominal::Duration{1500.0};
    v.limit = 0.90;
    v.yardstick = row.yardstick;
    Reader reader(truth, s, *row.kit, chance, v);
    reader.site(elevation);
    reader.read();
    if (is_slip(s.secret)) {
        out.clean = v;
        slip(s.secret, v);
    }
    return out;
}

/// What a finger on the page finds for what was read, steady.
[[nodiscard]] inline offnominal::Answer<offnominal::Expected> by_finger(const Make& make,
                                                                        const offnominal::Visit& visit,
                                                                        const offnominal::Readings& readings,
                                                                        offnominal::MassFlow mass_flow) {
    using namespace offnominal;
    Conditions c;
    c.mode = visit.mode();
    c.frost = Frost::instantaneous;
    c.auxiliary_heat = readings.auxiliary_heat;
    c.stage = visit.stage;
    c.match = visit.match;
    c.outdoor_dry_bulb = visit.outdoor_dry_bulb;
    c.entering_dry_bulb = readings.return_dry_bulb;
    c.entering_humidity = readings.return_humidity;
    c.airflow = AirflowReading::dry_mass(mass_flow);
    c.boundary = visit.boundary;
    c.fan_power = visit.fan_power;
    c.infer = true;
    return detail::look_up(make.system, visit.site, {c, detail::follow});
}

}  // namespace trial
