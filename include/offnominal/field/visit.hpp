/// @file
/// One visit: where, with which instruments, what was read, and the limit to judge by.
#pragma once

#include <cmath>
#include <optional>
#include <string>

#include "offnominal/conditions.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

/// A standard uncertainty with the words it was stated in. Conversions: JCGM 100:2008, 4.3.7 (limits: rectangular,
/// divide by the square root of 3) and 4.3.3 (expanded: divide by the coverage factor).
struct Uncertain {
    double standard = 0.0;  ///< SI, coverage factor 1
    std::string instrument;
    /// Correlation of this input's error with that of the same quantity read by the same instrument (JCGM 100, 5.2).
    /// Zero unless the visit states it: a probe carried from return to supply shares its calibration error with itself.
    double correlation = 0.0;
};

/// The inputs of a proof that carry uncertainty, in the order of the budget.
enum class Input : std::uint8_t {
    return_dry_bulb,
    return_humidity,
    supply_dry_bulb,
    supply_humidity,
    airflow,
    outdoor_dry_bulb,
    pressure,
    fan_power,
};
inline constexpr std::size_t input_count = 8;

/// One set of readings with everything needed to recompute its proof.
struct Visit {
    std::string name;
    std::string system_file;  ///< as written in the visit; relative to it
    std::string date;         ///< as written
    std::string remarks;

    Site site = Site::not_given();
    std::string stage;
    std::string match;
    std::optional<LineSet> line_set;
    Boundary boundary = Boundary::not_given;
    Readings readings;
    Temperature outdoor_dry_bulb{Conditions::not_given};
    Power fan_power{Conditions::not_given};
    Outside outside = Outside::refuse;
    bool infer = false;

    std::array<Uncertain, input_count> uncertainty;  ///< by `Input`
    [[nodiscard]] const Uncertain& of(Input input) const noexcept {
        return uncertainty[static_cast<std::size_t>(input)];
    }
    [[nodiscard]] Uncertain& of(Input input) noexcept { return uncertainty[static_cast<std::size_t>(input)]; }

    std::optional<double> limit;      ///< least ratio of delivered to expected that is accepted; no default
    double confidence = 0.95;         ///< probability that `meets` asks for
    std::optional<bool> steady;       ///< whether the readings were taken in steady state; unknown if not said
    std::optional<Duration> running;  ///< from the last start or change to the readings
};

}  // namespace offnominal
