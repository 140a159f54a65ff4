/// @file
/// How good the instruments of a visit are.
#pragma once

#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

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

/// What an error of a reading is measured in.
[[nodiscard]] Dimension scatter_dimension(const Visit& visit, Input input) noexcept;

/// A way to say how good an instrument is.
struct Way {
    std::string_view word;
    double
        divisor;  ///< what is said over this is a standard uncertainty (`expanded`: its coverage factor, 2 if not said)
    Shape shape;
};
/// JCGM 100:2008, 4.3.7 (limits: every value within is as likely) and 4.3.3.
inline constexpr Way ways[] = {{"limits", std::numbers::sqrt3, Shape::rectangular},
                               {"expanded", 2.0, Shape::normal},
                               {"standard", 1.0, Shape::normal}};

/// The standard uncertainty of a reading.
[[nodiscard]] inline double standard_at(const Accuracy& accuracy, double reading) {
    return accuracy.of_reading ? accuracy.standard * std::abs(reading) : accuracy.standard;
}

/// What a text says in one of these ways, or a complaint.
[[nodiscard]] Complaint read_accuracy(std::string_view typed, const Measure& measure, const Way& way, Accuracy& out);

/// `return probe: {dry_bulb: {limits: 0.5 degF}, correlation: 0.5}` and so on. With
/// `side_by_side: {with: supply probe, correlation: 0.8}` for two that were compared and corrected to agree, and
/// `calibrated: 2025-06-01, calibration_valid: 12 months`, on or before `date`.
[[nodiscard]] std::vector<Instrument> read_instruments(const Document& document, const Item& item,
                                                       const std::string& date, std::vector<SideBySide>& side_by_side);

}  // namespace offnominal::files
