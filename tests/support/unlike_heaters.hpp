// Three unlike models of a heat pump that heats a house, in outdoor air of any pressure: what thin air does to them.
// All are invented. What they share is physics: an outdoor fan moves the same volume in any air, so that the mass it
// moves goes with pressure (perfect gas; pressure by elevation is the U.S. Standard Atmosphere's), and a coil's
// conductance to air goes with a power of that mass from 0.4 to 0.65 (finned coils; from memory).
#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "../../benchmarks/trial/models.hpp"

namespace unlike {

namespace moist = offnominal::air::si;

/// Air outdoors: degC, fraction, Pa.
struct OutdoorAir {
    double t, relative_humidity, p;
    [[nodiscard]] double density() const { return p / moist::standard_pressure; }  ///< over that at sea level
    [[nodiscard]] double humidity_ratio() const {
        return moist::humidity_ratio(relative_humidity * moist::saturation_pressure(t), p);
    }
    [[nodiscard]] double enthalpy() const { return moist::enthalpy(t, humidity_ratio()); }
};

/// Heat given to the house, electric power of the outdoor unit: W.
struct Heats {
    double capacity, power;
};

class Heater {
   public:
    virtual ~Heater() = default;
    /// Steady, without frost. @param m  kg/s of dry air indoors; @param indoor  degC entering
    [[nodiscard]] virtual Heats heats(const OutdoorAir& out, double m, double indoor) const = 0;

    static constexpr double rated = 10e3;  ///< W, about, at 47 degF outdoors and 70 degF indoors
    static constexpr double rated_flow = 0.65;
    /// K that the refrigerant condenses above the air it heats.
    [[nodiscard]] static double condenses_above(double heat, double m) {
        const double units = 1.5 * std::pow(m / rated_flow, -0.5);
        return heat / (m * moist::cp_air * (1.0 - std::exp(-units)));
    }
};

/// 1. An outdoor coil with a bypass factor whose surface takes water where it is below the dew point; a compressor by
/// straight lines of evaporating and condensing temperature.
class SurfaceHeater final : public Heater {
   public:
    [[nodiscard]] Heats heats(const OutdoorAir& out, double m, double indoor) const override {
        const double mass = 0.95 * out.density(), bypass = std::exp(-1.4 * std::pow(out.density(), -0.5));
        Heats found{};
        (void)trial::crossing(out.t - 40.0, out.t, 1e-6, [&](double surface) {
            const double W = std::min(out.humidity_ratio(), moist::saturation_humidity_ratio(surface, out.p));
            const double taken = mass * (1.0 - bypass) * (out.enthalpy() - moist::enthalpy(surface, W));
            found = compressor(surface - 2.5 * taken / 8e3, m, indoor);
            return taken - (found.capacity - found.power);
        });
        found.power += 200.0;
        return found;
    }

   private:
    static Heats compressor(double evaporating, double m, double indoor) {
        Heats out{rated, 0.25 * rated};
        for (int pass = 0; pass < 20; ++pass) {
            const double e = evaporating, c = indoor + condenses_above(out.capacity, m) - 43.0;
            out = {rated * std::max(0.05, 1.0 + 0.029 * e - 0.004 * c),
                   0.25 * rated * std::max(0.05, 1.0 + 0.006 * e + 0.019 * c)};
        }
        return out;
    }
};

/// 2. A dry outdoor coil of effectiveness and transfer units; a compressor of swept volume and volumetric efficiency
/// with an invented refrigerant, near a common one.
class SweptHeater final : public Heater {
   public:
    [[nodiscard]] Heats heats(const OutdoorAir& out, double m, double indoor) const override {
        const double mass = 1.1 * out.density();
        const double conductance = 1.0 / (1.0 / (2400.0 * std::pow(out.density(), 0.65)) + 1.0 / 5000.0);
        const double rate = mass * moist::cp_air, effective = rate * (1.0 - std::exp(-conductance / rate));
        Heats found{};
        (void)trial::crossing(out.t - 40.0, out.t - 0.5, 1e-6, [&](double evaporating) {
            found = compressor(evaporating, m, indoor);
            return effective * (out.t - evaporating) - (found.capacity - found.power);
        });
        found.power += 150.0;
        return found;
    }

   private:
    static double pressure(double t) { return 1e3 * std::exp(15.390 - 2378.6 / (t + 273.15)); }
    static Heats compressor(double evaporating, double m, double indoor) {
        const double low = pressure(evaporating);
        const double vapour = low / (8.314 / 0.0726 * (evaporating + 278.15) * 0.85);  // kg/m3, 5 K superheat
        Heats out{rated, 0.25 * rated};
        for (int pass = 0; pass < 30; ++pass) {
            const double condensing = indoor + condenses_above(out.capacity, m);
            const double ratio = std::max(1.05, pressure(condensing) / low);
            const double flow = vapour * 1.85e-3 * (1.02 - 0.045 * (std::pow(ratio, 0.9) - 1.0));
            const double effect = 167e3 + 350.0 * (evaporating - 7.0) - 1650.0 * (condensing - 6.0 - 35.0);
            const double work = 11.0 * low / vapour * (std::pow(ratio, 1.0 / 11.0) - 1.0) / 0.68;
            out = {flow * (effect + work), flow * work};
        }
        return out;
    }
};

/// 3. No coil and no compressor, but the straight lines between two rating points, at 17 and 47 degF, as the US
/// regulation has them (10 CFR 430, subpart B, appendix M1); thin air seems as much colder as an outdoor coil has to
/// stand farther below it, which stands 7 K below at 47 degF and less where it takes less.
class RatedHeater final : public Heater {
   public:
    [[nodiscard]] Heats heats(const OutdoorAir& out, double m, double indoor) const override {
        const auto share = [](double t) { return 0.60 + 0.40 * (t + 8.333) / (8.333 + 8.333); };
        const double colder = 7.0 * share(out.t) * (std::pow(out.density(), -0.8) - 1.0);
        const double on_way = (out.t - colder + 8.333) / (8.333 + 8.333), f = m / rated_flow;
        return {rated * share(out.t - colder) * (1.0 - 0.005 * (indoor - 21.1)) *
                    (0.694045465 + 0.474207981 * f - 0.168253446 * f * f),
                0.28 * rated * (0.84 + 0.16 * on_way) * (1.0 + 0.014 * (indoor - 21.1))};
    }
};

}  // namespace unlike
