/// @file
/// Where the machine stands: its station pressure. There is no default elevation.
#pragma once

#include <cstdlib>
#include <limits>
#include <optional>

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/detail/real.hpp"

namespace offnominal {

/// A site, by elevation, by measured station pressure, or both (then pressure counts and elevation checks it). Station
/// pressure is what a barometer at the machine reads, not the weather service's figure reduced to sea level.
class Site {
   public:
    [[nodiscard]] static Site at_elevation(Length elevation) noexcept { return Site(elevation.si, unknown); }
    [[nodiscard]] static Site at_pressure(Pressure station) noexcept { return Site(unknown, station.si); }
    /// By both; what is NaN is not given.
    [[nodiscard]] static Site at(Length elevation, Pressure station) noexcept { return Site(elevation.si, station.si); }
    [[nodiscard]] static Site sea_level() noexcept { return Site(0.0, unknown); }
    [[nodiscard]] static Site not_given() noexcept { return Site(unknown, unknown); }

    /// Station pressure in Pa; Why::not_given without elevation and pressure, Why::contradictory where the two differ
    /// by more than 5 % (a pressure reduced to sea level), Why::outside past 50 to 110 kPa.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<double> pressure() const noexcept {
        const bool has_elevation = !real::is_nan(elevation_), has_pressure = !real::is_nan(pressure_);
        if (!has_elevation && !has_pressure) return Reason{Why::not_given, About::elevation, -1, -1, 0, 0, 0};
        const double from_elevation = has_elevation ? air::si::pressure_at_elevation(elevation_) : pressure_;
        const double p = has_pressure ? pressure_ : from_elevation;
        if (has_elevation && has_pressure && !(std::abs(p - from_elevation) <= 0.05 * from_elevation))
            return Reason{Why::contradictory, About::pressure, -1, -1, p, 0.95 * from_elevation, 1.05 * from_elevation};
        if (!(p >= 50e3 && p <= 110e3))
            return Reason{Why::outside,
                          has_pressure ? About::pressure : About::elevation,
                          -1,
                          -1,
                          has_pressure ? p : elevation_,
                          has_pressure ? 50e3 : air::si::elevation_at_pressure(110e3),
                          has_pressure ? 110e3 : air::si::elevation_at_pressure(50e3)};
        return p;
    }
    /// What the site was given by.
    [[nodiscard]] std::optional<Length> given_elevation() const noexcept {
        return real::is_nan(elevation_) ? std::nullopt : std::optional(Length{elevation_});
    }
    [[nodiscard]] std::optional<Pressure> given_pressure() const noexcept {
        return real::is_nan(pressure_) ? std::nullopt : std::optional(Pressure{pressure_});
    }
    /// Whether there is a pressure, and no elevation to check it by.
    [[nodiscard]] bool pressure_only() const noexcept { return real::is_nan(elevation_) && !real::is_nan(pressure_); }
    /// Elevation in m: as given, else the standard atmosphere's for the pressure.
    [[nodiscard]] OFFNOMINAL_INLINE double elevation() const noexcept {
        return real::is_nan(elevation_) ? air::si::elevation_at_pressure(pressure_) : elevation_;
    }

   private:
    static constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
    constexpr Site(double elevation, double pressure) noexcept : elevation_(elevation), pressure_(pressure) {}

    double elevation_;
    double pressure_;
};

}  // namespace offnominal
