/// @file
/// The situations of the trial: where a machine stands, what the day is like, and what goes wrong that nobody knows of.
#pragma once

#include <optional>

#include "chance.hpp"

namespace trial {

/// What the visit does not know of.
enum class Secret {
    none,
    low_stage_said_high,  ///< the low stage ran, the visit says the high one
    high_stage_said_low,
    airflow_reads_high,  ///< by 15 to 20 %, from an instrument that says it is much better
    airflow_reads_low,
    supply_probe_wet,  ///< a humidity probe wetted by the coil: shows 97 to 100 %, whatever the air
    dry_bulb_astray,   ///< one probe reads three standard uncertainties too far, either way
    humidity_astray,   ///< likewise
    airflow_wild,      ///< an airflow known to +-20 % only, and stated so: honest
    return_wick_dry,   ///< half dry: the wet bulb shows 30 to 60 % of the way to the dry bulb
    supply_wick_dry,   ///< likewise
    // Slips of the hand: see `issue` for what each is.
    slip_supply_warmer,
    slip_swapped,
    slip_fan_kilowatts,
    slip_no_limits,
    slip_barometer_at_sea,
    slip_condensate,
    slip_boundary,
    slip_elevation_zero,
    slip_airflow_litres,
    slip_outdoor_celsius,
    slip_one_probe,
};

struct Situation {
    const char* name;
    Secret secret = Secret::none;
    Range elevation{0.0, 1500.0};  ///< ft
    Range outdoor{78.0, 112.0};    ///< degF
    Range dry_bulb{71.0, 80.0};    ///< degF, of the return air
    Range relative_humidity{0.42, 0.60};
    Range airflow{350.0, 435.0};  ///< scfm per ton
    double power_read = 1.0;      ///< share of visits that read the outdoor unit's power
    bool wet_bulbs = false;       ///< read in place of relative humidities
    bool near_edge = false;       ///< one of the page's edges is as near as an instrument's error
    double wet_above_dry = 0.0;   ///< K: the supply's wet bulb reads above its dry bulb, honestly
    bool heats = false;
    double heater = 0.0;  ///< share of heating visits in which an auxiliary heater runs, metered
    bool frosts = false;  ///< frost has grown since the last defrost, as far as it may
    /// What a fault does to the power, as a share of what it takes of the capacity, where that is of another law than
    /// the one the judge's priors were written by.
    std::optional<Range> power_by_loss{};
};

}  // namespace trial
