/// @file
/// How good the instruments of a visit are.
#pragma once

#include <cmath>
#include <functional>
#include <map>
#include <string>

#include "offnominal/field/visit.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// What an instrument can be good at.
struct Measure {
    std::string_view name;
    Dimension dimension;  ///< of the quantity's error
    bool share;           ///< may be stated in percent of the reading
};

inline constexpr Measure measures[] = {
    {"dry_bulb", Dimension::temperature_difference, false},
    {"relative_humidity", Dimension::ratio, false},
    {"wet_bulb", Dimension::temperature_difference, false},
    {"dew_point", Dimension::temperature_difference, false},
    {"humidity_ratio", Dimension::humidity_ratio, true},
    {"airflow", Dimension::airflow, true},
    {"power", Dimension::power, true},
    {"pressure", Dimension::pressure, true},
};

/// How far off an instrument is in one quantity: in the quantity's own unit, or as a share of the reading.
struct Spec {
    double standard = 0.0;  ///< coverage factor 1
    bool of_reading = false;

    [[nodiscard]] double at(double reading) const { return of_reading ? standard * std::abs(reading) : standard; }
};

struct Instrument {
    std::map<std::string, Spec, std::less<>> specs;  ///< by quantity: `dry_bulb`, `airflow`, ...
    double correlation = 0.0;                        ///< of its errors in two readings of one quantity
};

using Instruments = std::map<std::string, Instrument, std::less<>>;

/// `return probe: {dry_bulb: {limits: 0.5 delta_degF}, correlation: 0.5}` and so on. With
/// `side_by_side: {with: supply probe, correlation: 0.8}` for two that were compared and corrected to agree.
[[nodiscard]] Instruments read_instruments(const Document& document, const Item& item,
                                           std::vector<SideBySide>& side_by_side);

}  // namespace offnominal::files
