/// @file
/// The instruments of the trial: how far off they say they are, and, drawn by chance, how far off they are.
#pragma once

#include <array>
#include <cmath>

#include "chance.hpp"
#include "offnominal/units.hpp"

namespace trial {

/// A stated accuracy, as data sheets state it: limits that are never passed, or a half width for 95 %.
struct Stated {
    enum class As { limits, expanded } as;
    double half;

    /// JCGM 100:2008, 4.3.7 and 4.3.3.
    [[nodiscard]] double standard() const noexcept { return as == As::limits ? half / std::sqrt(3.0) : half / 2.0; }
    /// An error in keeping with what is stated.
    [[nodiscard]] double error(Chance& chance) const noexcept {
        return as == As::limits ? chance.within({-half, half}) : standard() * chance.normal();
    }
};

[[nodiscard]] constexpr Stated limits(double half) noexcept { return {Stated::As::limits, half}; }
[[nodiscard]] constexpr Stated expanded(double half) noexcept { return {Stated::As::expanded, half}; }

/// A technician's bag. Temperatures in K, relative humidity as a fraction, the rest as shares of the reading.
struct Kit {
    const char* name;
    Stated dry_bulb, relative_humidity, wet_bulb, airflow, outdoor, power;
    bool barometer;      ///< else the elevation stands for the pressure
    double shared;       ///< of the variance of return and supply probe, after a comparison side by side
    bool rounds = true;  ///< shows tenths of a degree and of a percent, whole cfm and watts
};

inline constexpr double barometer_limits = 50.0;  ///< Pa
inline constexpr double weather = 0.007;          ///< of station pressure about its elevation's, standard deviation

inline constexpr std::array kits{
    // Probes compared side by side, a flow grid with a second method beside it, a barometer.
    Kit{"good", expanded(0.3 / 1.8), expanded(0.014), expanded(0.3 / 1.8), expanded(0.05), limits(0.5 / 1.8),
        limits(0.015), true, 0.5},
    // The instruments of the demo visit.
    Kit{"usual", limits(0.4 / 1.8), limits(0.02), limits(0.5 / 1.8), expanded(0.07), limits(1.0 / 1.8), limits(0.03),
        false, 0.0},
    // Cheap probes, an airflow from a blower table.
    Kit{"poor", limits(1.0 / 1.8), limits(0.03), limits(1.0 / 1.8), expanded(0.15), limits(2.0 / 1.8), limits(0.05),
        false, 0.0},
};

/// The usual kit made better in one way each, and in all.
inline constexpr Kit with(Kit kit, const char* name, double shared, Stated airflow, bool barometer) {
    kit.name = name;
    kit.shared = shared;
    kit.airflow = airflow;
    kit.barometer = barometer;
    return kit;
}
inline constexpr std::array better_kits{
    with(kits[1], "usual, probes compared side by side", 0.7, expanded(0.07), false),
    with(kits[1], "usual, airflow by two methods", 0.0, expanded(0.045), false),
    with(kits[1], "usual, both, and a barometer", 0.7, expanded(0.045), true),
};

/// What no instrument is: off by next to nothing, to every digit. What is left of an error is then the page's.
inline constexpr Kit exact{"exact",      limits(1e-6), limits(1e-6), limits(1e-6), limits(1e-6),
                           limits(1e-6), limits(1e-6), true,         0.0,          false};

/// Errors of two probes that share part of their variance.
struct TwoErrors {
    double first, second;
};
[[nodiscard]] inline TwoErrors errors(const Stated& stated, double shared, Chance& chance) noexcept {
    if (shared == 0.0) {
        const double first = stated.error(chance);
        return {first, stated.error(chance)};
    }
    const double common = std::sqrt(shared) * chance.normal(), own = std::sqrt(1.0 - shared), u = stated.standard();
    const double first = u * (common + own * chance.normal());
    return {first, u * (common + own * chance.normal())};
}

}  // namespace trial
