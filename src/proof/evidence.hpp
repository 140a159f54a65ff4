/// @file
/// What was read, held together: does it fit this machine, at any capacity; does it fit a sound one, on this stage or
/// another; and which reading, if it were off by more than it may be, would explain what does not fit.
///
/// A generalized least squares of the logarithms of measured over expected total, sensible and power: each is moved by
/// errors of the inputs, which they share, and by terms of their own. What is left over has a chi-square.
///
/// Split, efficiency and leaving wet bulb have no residual of their own: it would be the same readings twice. Split is
/// sensible over airflow, efficiency total over power, on both sides. The air that leaves has two numbers: its enthalpy
/// is that which entered less total over airflow, its dry bulb that which entered less sensible over airflow and heat
/// capacity. So where a machine delivers what it should, both supplies are one, whatever the inputs; and what an error
/// does to the difference of their wet bulbs is a sum of what it does to total and to sensible, but for terms of second
/// order (tests/proof/evidence.cpp takes the rank).
#pragma once

#include <array>
#include <optional>
#include <span>

#include "budget.hpp"
#include "offnominal/air/coil.hpp"

namespace offnominal::detail {

/// Something that should be 0, what each input's error moves it by, and what else does: terms of its own.
struct Residual {
    static constexpr std::size_t terms = 4;
    double value = 0.0;
    Contributions effect{};
    std::array<double, terms> own{};  ///< standard uncertainties, each shared with the same place of other residuals
};

/// The few that are told of a visit.
class Residuals {
   public:
    void add(const Residual& one) noexcept { of_[count_++] = one; }
    operator std::span<const Residual>() const noexcept { return {of_.data(), count_}; }
    [[nodiscard]] std::size_t size() const noexcept { return count_; }
    [[nodiscard]] Residual& operator[](std::size_t i) noexcept { return of_[i]; }

   private:
    std::array<Residual, 3> of_{};  // of total, sensible, power
    std::size_t count_ = 0;
};

/// How well residuals fit what they are uncertain by.
struct Fit {
    double chi_square = 0.0;
    int degrees = 0;
    double probability = 1.0;  ///< of a chi-square at least as large
};
[[nodiscard]] Fit fit(std::span<const Residual> residuals, const Correlations& correlations);
/// The input that explains most, if its error is let free; of those that explain it about alike, the one that needs the
/// least error for what it may be off by.
[[nodiscard]] Input most_telling(std::span<const Residual> residuals, const Correlations& correlations);

/// Readings that are wrong, by a sound machine, against any fault at the readings as they are.
struct WrongReadings {
    struct Way {
        double evidence = 0.0;     ///< twice the logarithm of the two likelihoods' ratio
        double probability = 0.0;  ///< how well the best of it fits: of a chi-square at least as large
    };
    Way high_airflow, low_airflow;  ///< read too high, too low
    Way dry_wick;                   ///< supply wet bulb too high
};
/// By how many of its standard uncertainties a reading may be too high.
struct TooHigh {
    double least = 0.0, most = 0.0;
};
/// A coil of this bypass factor ties sensible to total: relative change of sensible for one of total, at the same air
/// and airflow. Nothing on a dry coil, where the two are one.
inline constexpr double usual_bypass = 0.1;
[[nodiscard]] inline air::CoilAir coil_air(const Delivered& delivered, const Expected& e) noexcept {
    return {e.coil_dry_bulb.si, delivered.return_air.humidity_ratio.si, delivered.return_air.pressure.si,
            e.mass_flow.si};
}
[[nodiscard]] std::optional<double> coil_slope(const Delivered& delivered, const Expected& expected) noexcept;

/// How much is known of that tie: 1.5 % of sensible, the page's own print and reading, and a fifth of what total is
/// off, since faults spread differently over a coil (common practice, no source).
[[nodiscard]] inline double tie_uncertainty(double log_total) noexcept { return std::hypot(0.015, 0.2 * log_total); }

/// How far a sound machine's power may be off its page by itself, relative standard uncertainty (common practice, no
/// source).
inline constexpr double power_of_sound_machine = 0.02;

/// Logarithms of measured over expected. NaN: not told.
struct LogRatios {
    double total = 0.0, sensible = 0.0, power = 0.0;
};
[[nodiscard]] LogRatios log_ratios(const ProofModel& model, const Sides& sides) noexcept;

/// What a sound machine leaves: total, sensible and power, as far as they are told. `own` is the page's relative
/// uncertainty, `own_power` that of its power.
[[nodiscard]] Residuals sound_machine(const LogRatios& ratios, const Effects& effects, double own, double own_power,
                                      double more = 0.0);

/// A sound machine whose airflow is off by 12 to 28 %, one way or the other, or whose supply wet bulb is too high,
/// against any capacity from 0.6 to 1.1 of the expected one at what was read, whose power falls by up to 0.6 of what
/// capacity lacks, or, with one fault of four that take less than 0.12, rises by 0.5 to 2 of it (refrigerant-side
/// faults, and outdoor-side ones, which draw 10 to 20 % more for 5 to 10 % of capacity; common practice, no source).
/// Each likelihood is averaged over what is possible. Without power nothing tells an airflow from a fault: a coil moves
/// total and sensible alike. A dry wick moves total alone, so there the tie of sensible must be known.
///
/// @param slope     as of `coil_slope`; without it sensible tells nothing
/// @param relative_u  relative standard uncertainty of the airflow
/// @param dry_wick  by how much such a wick would show too high; nothing where no supply wet bulb was read
[[nodiscard]] WrongReadings weigh_readings(LogRatios ratios, const Effects& effects, double own, double own_power,
                                           std::optional<double> slope, double relative_u,
                                           const std::optional<TooHigh>& dry_wick, const Correlations& correlations);

/// What any capacity leaves: the coil's tie, and power, which faults move by a tenth either way.
[[nodiscard]] Residuals any_capacity(const LogRatios& ratios, const Effects& effects, std::optional<double> slope,
                                     double own_power);

}  // namespace offnominal::detail
