/// @file
/// How good the instruments of a visit are.
#pragma once

#include <cmath>
#include <functional>
#include <map>
#include <string>

#include "fields.hpp"

namespace offnominal::files {

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

/// `return probe: {dry_bulb: {limits: 0.5 delta_degF}, correlation: 0.5}` and so on.
[[nodiscard]] Instruments read_instruments(const Document& document, const Item& item);

}  // namespace offnominal::files
