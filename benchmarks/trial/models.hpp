/// @file
/// The machines of the trial: three models of coil and compressor that are unlike one another, and unlike the way a
/// page is read. Each says what a sound machine of its kind takes from the air and what power it draws, in any air, at
/// any airflow, outdoor temperature and elevation; and what air leaves its coil when it takes a given heat.
///
/// All three are invented. Moist air is offnominal's own, which is proven elsewhere; nothing else here is.
#pragma once

#include <algorithm>
#include <cmath>
#include <memory>

#include "offnominal/air.hpp"
#include "offnominal/units.hpp"

namespace trial {

namespace moist = offnominal::air::si;
using offnominal::air::Point;

/// Air that enters a coil: dry bulb in degC, humidity ratio, station pressure in Pa.
struct Entering {
    double t, W, p;
    [[nodiscard]] double enthalpy() const noexcept { return moist::enthalpy(t, W); }
};

/// What a coil takes from the air, and what the outdoor unit draws, in W.
struct Running {
    double total, power;
};

enum class Runs { high, low };

class Machine {
   public:
    virtual ~Machine() = default;

    /// A sound machine. @param m  kg/s of dry air; @param outdoor  degC
    [[nodiscard]] virtual Running sound(Runs stage, const Entering& in, double m, double outdoor) const = 0;

    /// The air that leaves the coil when it takes `total` from it, as a weak machine's coil may too.
    /// @param surface  of this coil, over what its maker meant: 1, and a few percent off in one machine or another
    [[nodiscard]] virtual Point leaving(const Entering& in, double m, double total, double surface) const = 0;

    /// A sound machine that heats, without frost: what the air takes from it, and what the outdoor unit draws.
    [[nodiscard]] virtual Running heats(Runs stage, const Entering& in, double m, double outdoor) const = 0;

    /// The bypass factor that a maker would print, or 0.
    [[nodiscard]] virtual double bypass(double) const { return 0.0; }
};

/// Dry air's mass flow of so many cfm of standard air.
[[nodiscard]] inline double mass_of_scfm(double scfm) noexcept {
    return moist::dry_mass_from_standard(offnominal::units::cfm.to_si(scfm));
}

/// Where `f` crosses zero between `low` and `high`, to `close` of zero, by the Illinois rule (a secant that keeps both
/// sides).
template <class F>
[[nodiscard]] double crossing(double low, double high, double close, F&& f) {
    double at_low = f(low), at_high = f(high), x = high;
    for (int pass = 0, side = 0; pass < 60; ++pass) {
        x = (low * at_high - high * at_low) / (at_high - at_low);
        const double y = f(x);
        if (std::abs(y) < close) break;
        if ((y > 0.0) == (at_high > 0.0)) {
            high = x, at_high = y;
            if (side == 1) at_low *= 0.5;
            side = 1;
        } else {
            low = x, at_low = y;
            if (side == -1) at_high *= 0.5;
            side = -1;
        }
    }
    return x;
}

/// Air cooled at a surface of one temperature that a share `bypass` of it never touches. A surface above the dew point
/// takes no water.
[[nodiscard]] inline Point past_surface(const Entering& in, double m, double total, double bypass) noexcept {
    const double left = in.enthalpy() - total / m;
    const double t = moist::saturation_temperature_from_enthalpy(in.enthalpy() - total / (m * (1.0 - bypass)), in.p);
    const double saturated = moist::saturation_humidity_ratio(t, in.p);
    if (saturated >= in.W) return {moist::dry_bulb_from_enthalpy(left, in.W), in.W};
    const double W = saturated + bypass * (in.W - saturated);
    return {moist::dry_bulb_from_enthalpy(left, W), W};
}

/// How much warmer outdoor air seems to a condenser that gets less of it by weight.
[[nodiscard]] inline double thin_air(double p) noexcept { return 1.0 - p / moist::standard_pressure; }

/// 1. A coil with a bypass factor and one apparatus dew point, a refrigerant side of fixed resistance, and a compressor
/// given as makers of compressors give them: second-degree polynomials of evaporating and outdoor temperature.
class BypassMachine final : public Machine {
   public:
    explicit BypassMachine(double tons)
        : rated_flow_(mass_of_scfm(400.0 * tons)), rated_(offnominal::units::ton.to_si(tons)) {
        const double wanted = rated_;
        resistance_ = 6.0 / wanted;  // K/W: the surface is 6 K above the refrigerant at the rated point
        // 95 degF outdoors, 80 / 67 degF entering.
        const Entering rated{80.0 / 1.8 - 32.0 / 1.8, 0.01117, moist::standard_pressure};
        scale_ = wanted;
        for (int pass = 0; pass < 20; ++pass) scale_ *= wanted / sound(Runs::high, rated, rated_flow_, 35.0).total;
    }

    Running sound(Runs stage, const Entering& in, double m, double outdoor) const override {
        const double seems = outdoor + 22.0 * thin_air(in.p);
        const double surface = crossing(-15.0, in.t, 1e-6, [&](double t) {
            const double taken = at_surface(in, m, t);
            return taken - compressor(stage, t - resistance_ * taken, seems);
        });
        const double total = at_surface(in, m, surface);
        return {total, power(stage, surface - resistance_ * total, seems)};
    }

    Point leaving(const Entering& in, double m, double total, double surface) const override {
        return past_surface(in, m, total, std::pow(bypass(m), surface));
    }

    /// Polynomials of both temperatures again, and a weak power of the airflow.
    Running heats(Runs stage, const Entering& in, double m, double outdoor) const override {
        const double o = outdoor - 8.33, t = in.t - 21.1, size = (stage == Runs::high ? 1.0 : 0.67) * rated_;
        const double heat = size * (0.98 + 0.0262 * o + 0.00013 * o * o - 0.0052 * t - 0.00006 * o * t) *
                            std::pow(m / rated_flow_, 0.09) * (1.0 - 0.10 * thin_air(in.p));
        return {heat, 0.262 * size * (1.0 + 0.0048 * o + 0.0185 * t) * std::pow(m / rated_flow_, -0.12)};
    }

    double bypass(double m) const override { return std::exp(-2.45 * std::pow(m / rated_flow_, -0.55)); }

   private:
    /// Heat taken at a surface of `t`; from a dry coil only the sensible.
    double at_surface(const Entering& in, double m, double t) const noexcept {
        const double W = moist::saturation_humidity_ratio(t, in.p);
        const double h = W < in.W ? moist::enthalpy(t, W) : moist::enthalpy(t, in.W);
        return m * (1.0 - bypass(m)) * (in.enthalpy() - h);
    }
    double compressor(Runs stage, double evaporating, double outdoor) const noexcept {
        const double e = evaporating - 6.0, o = outdoor - 35.0;
        const double share = stage == Runs::high ? 1.0 : 0.66;
        return share * scale_ * (1.0 + 0.034 * e + 0.00032 * e * e - 0.0098 * o - 0.00006 * o * o - 0.00022 * e * o);
    }
    double power(Runs stage, double evaporating, double outdoor) const noexcept {
        const double e = evaporating - 6.0, o = outdoor - 35.0;
        const double share = stage == Runs::high ? 1.0 : 0.61;
        return share * scale_ * 0.232 * (1.0 + 0.002 * e + 0.0205 * o + 0.00021 * o * o - 0.00025 * e * o);
    }

    double rated_flow_, rated_, resistance_, scale_ = 0.0;
};

/// 2. A coil of effectiveness and number of transfer units, driven by enthalpy where it is wet and by temperature where
/// it is dry, with the border between the two where the surface reaches the dew point (the air passes a dry part, then
/// a wet one); a compressor of swept volume and volumetric efficiency; a condenser whose effectiveness and air mass
/// give the condensing temperature. Its refrigerant is invented, near a common one.
class EnthalpyMachine final : public Machine {
   public:
    explicit EnthalpyMachine(double tons) : rated_flow_(mass_of_scfm(400.0 * tons)) {
        const double wanted = offnominal::units::ton.to_si(tons);
        outside_ = 2.0 * rated_flow_ * moist::cp_air;
        inside_ = 5.5 * rated_flow_ * moist::cp_air;
        condenser_ = wanted * 1.24 / 13.5;  // W/K: condenses about 13.5 K above outdoor air
        swept_ = wanted / 5.5e6;
        const Entering rated{26.67, 0.01117, moist::standard_pressure};
        for (int pass = 0; pass < 40; ++pass) swept_ *= wanted / sound(Runs::high, rated, rated_flow_, 35.0).total;
    }

    Running sound(Runs stage, const Entering& in, double m, double outdoor) const override {
        const double evaporating = crossing(-15.0, in.t, 1e-6, [&](double t) {
            return heat(in, m, cooled(in, m, t, 1.0)) - compressor(stage, t, outdoor, in.p).total;
        });
        return compressor(stage, evaporating, outdoor, in.p);
    }

    Point leaving(const Entering& in, double m, double total, double surface) const override {
        const double evaporating =
            crossing(-35.0, in.t, 1e-6, [&](double t) { return heat(in, m, cooled(in, m, t, surface)) - total; });
        return cooled(in, m, evaporating, surface);
    }

    /// The same compressor the other way round: it evaporates below outdoor air and condenses above the room's.
    Running heats(Runs stage, const Entering& in, double m, double outdoor) const override {
        const double swept = swept_ * (stage == Runs::high ? 1.0 : 0.64), cp = moist::moist_heat_capacity(in.W);
        const double touched = 1.0 - std::exp(-1.6 * std::pow(m / rated_flow_, -0.5));
        const double evaporator = 0.8 * condenser_ * std::pow(in.p / moist::standard_pressure, 0.75);
        Running out{};
        double evaporating = outdoor - 8.0, condensing = in.t + 20.0;
        for (int pass = 0; pass < 40; ++pass) {
            const Running cycle = this->cycle(swept, evaporating, condensing);
            out = {cycle.total + 0.93 * cycle.power, cycle.power};  // the shell loses a little
            evaporating = 0.5 * (evaporating + outdoor - cycle.total / evaporator);
            condensing = 0.5 * (condensing + in.t + out.total / (touched * m * cp));
        }
        out.power += 150.0;
        return out;
    }

   private:
    static double heat(const Entering& in, double m, const Point& out) noexcept {
        return m * (in.enthalpy() - moist::enthalpy(out.t, out.W));
    }

    /// The air that leaves when the refrigerant evaporates at `cold` all along the coil.
    Point cooled(const Entering& in, double m, double cold, double surface) const noexcept {
        const double cp = moist::moist_heat_capacity(in.W);
        const double outside = surface * outside_ * std::pow(m / rated_flow_, 0.5);
        const double both = 1.0 / (1.0 / outside + 1.0 / inside_), units = both / (m * cp);
        const double dew = moist::dew_point(moist::vapour_pressure(in.W, in.p));
        // The air's temperature where the surface reaches its dew point, and the share of the coil before that.
        const double border = cold + (dew - cold) * inside_ / both;
        double dry = 0.0;
        if (dew <= cold)
            dry = 1.0;
        else if (border < in.t)
            dry = std::min(1.0, std::log((in.t - cold) / (border - cold)) / units);
        const double t = cold + (in.t - cold) * std::exp(-units * dry);
        if (dry >= 1.0) return {t, in.W};

        const double h = moist::enthalpy(t, in.W), coldest = saturated(cold, in.p);
        const double slope = (saturated(dew, in.p) - coldest) / (dew - cold);
        const double wet = (1.0 - dry) / (slope / inside_ + cp / outside) / m;
        const double left = coldest + (h - coldest) * std::exp(-wet);
        const double air_side = (1.0 - dry) * outside / (m * cp);
        // The surface as the air feels it (Braun, Klein and Mitchell, ASHRAE Transactions 95(2), 1989; from memory).
        const double felt =
            moist::saturation_temperature_from_enthalpy(h - (h - left) / (1.0 - std::exp(-air_side)), in.p);
        const double leaves = felt + (t - felt) * std::exp(-air_side);
        return {leaves, std::min(in.W, moist::humidity_ratio_from_enthalpy(leaves, left))};
    }
    static double saturated(double t, double p) noexcept {
        return moist::enthalpy(t, moist::saturation_humidity_ratio(t, p));
    }

    Running compressor(Runs stage, double evaporating, double outdoor, double p) const noexcept {
        const double swept = swept_ * (stage == Runs::high ? 1.0 : 0.64);
        // A fan moves volume: thin air carries less heat away, and takes less of it from the fins.
        const double condenser = condenser_ * std::pow(p / moist::standard_pressure, 0.75);
        double condensing = outdoor + 13.0;
        Running out{};
        for (int pass = 0; pass < 12; ++pass) {
            out = cycle(swept, evaporating, condensing);
            condensing = outdoor + (out.total + out.power) / condenser;
        }
        out.power += 0.012 * std::max(0.0, out.total) + 90.0;  // the outdoor fan and controls
        return out;
    }
    /// What the evaporator takes in, and the compressor draws.
    static Running cycle(double swept, double evaporating, double condensing) noexcept {
        const double low = pressure(evaporating), ratio = std::max(1.05, pressure(condensing) / low);
        const double vapour = low / (8.314 / 0.0726 * (evaporating + 278.15) * 0.85);  // kg/m3, 5 K superheat
        const double flow = vapour * swept * (1.02 - 0.045 * (std::pow(ratio, 0.9) - 1.0));
        const double effect = 167e3 + 350.0 * (evaporating - 7.0) - 1650.0 * (condensing - 6.0 - 35.0);
        const double work = 11.0 * low / vapour * (std::pow(ratio, 1.0 / 11.0) - 1.0);
        const double efficiency = std::max(0.5, 0.72 - 0.012 * (ratio - 2.8) * (ratio - 2.8));
        return {flow * effect, flow * work / efficiency};
    }
    /// Saturation pressure of the invented refrigerant, Pa.
    static double pressure(double t) noexcept { return 1e3 * std::exp(15.390 - 2378.6 / (t + 273.15)); }

    double rated_flow_, outside_, inside_, condenser_, swept_ = 0.0;
};

/// 3. No coil and no compressor at all, but fitted curves, as simulations of whole buildings use them: capacity and
/// input ratio of second degree in entering wet bulb and outdoor dry bulb (fits to the wet-coil map of HVAC BESTEST,
/// NREL/TP-550-30152, as in tests/published/hvac_bestest_v1_equipment.yaml), times one in the airflow (Cutler et al.,
/// NREL/TP-5500-56354). Its coil is found from the total by an apparatus dew point; where that is dry, the wet bulb is
/// raised until it just is not.
class CurveMachine final : public Machine {
   public:
    explicit CurveMachine(double tons)
        : rated_flow_(mass_of_scfm(375.0 * tons)), rated_(offnominal::units::ton.to_si(tons)) {}

    Running sound(Runs stage, const Entering& in, double m, double outdoor) const override {
        double W = in.W;
        const double driest = surface_of(in, m, total(stage, in, m, outdoor));
        if (driest > W)
            W = crossing(W, moist::saturation_humidity_ratio(in.t, in.p), 1e-10, [&](double x) {
                const Entering raised{in.t, x, in.p};
                return x - surface_of(raised, m, total(stage, raised, m, outdoor));
            });
        const Entering seen{in.t, W, in.p};
        const double q = total(stage, seen, m, outdoor), f = m / rated_flow_;
        const double input =
            curve({0.7712758, -0.02218018, 0.00074086, 0.01306849, 0.00039124, -0.00082052}, seen, outdoor) *
            (1.143487507 - 0.13943972 * f - 0.004047787 * f * f);
        return {q, q * input * (stage == Runs::high ? 0.252 : 0.232) * (1.0 + 0.25 * thin_air(in.p))};
    }

    Point leaving(const Entering& in, double m, double total, double surface) const override {
        return past_surface(in, m, total, std::pow(bypass(m), surface));
    }

    /// A cubic of outdoor dry bulb, as simulations of whole buildings use it (from memory).
    Running heats(Runs stage, const Entering& in, double m, double outdoor) const override {
        const double o = outdoor, f = m / rated_flow_, size = (stage == Runs::high ? 1.0 : 0.70) * rated_;
        const double heat = size * (0.758746 + o * (0.027626 + o * (0.000148716 + o * 0.0000034992))) *
                            (0.84 + 0.16 * f) * (1.0 - 0.004 * (in.t - 21.1)) * (1.0 - 0.12 * thin_air(in.p));
        const double input = 1.19248 - o * (0.0300438 - o * (0.00103745 - o * 0.000023328));
        return {heat, heat * 0.29 * input * (1.1 - 0.1 * f) * (1.0 + 0.02 * (in.t - 21.1))};
    }

    double bypass(double m) const override { return std::exp(-2.9 * rated_flow_ / m); }

   private:
    static double curve(const double (&c)[6], const Entering& in, double outdoor) noexcept {
        const double wet = moist::wet_bulb(in.t, in.W, in.p);
        return c[0] + wet * (c[1] + wet * c[2]) + outdoor * (c[3] + outdoor * c[4]) + c[5] * wet * outdoor;
    }
    double total(Runs stage, const Entering& in, double m, double outdoor) const noexcept {
        const double f = m / rated_flow_;
        return rated_ * (stage == Runs::high ? 1.0 : 0.70) *
               curve({0.43863482, 0.0425918, 0.00015024, 0.00100248, -0.00003314, -0.00046664}, in, outdoor) *
               (0.718664047 + 0.41797409 * f - 0.136638137 * f * f) * (1.0 - 0.20 * thin_air(in.p));
    }
    /// Humidity ratio at the apparatus dew point.
    double surface_of(const Entering& in, double m, double q) const noexcept {
        const double h = in.enthalpy() - q / (m * (1.0 - bypass(m)));
        return moist::saturation_humidity_ratio(moist::saturation_temperature_from_enthalpy(h, in.p), in.p);
    }

    double rated_flow_, rated_;
};

}  // namespace trial
