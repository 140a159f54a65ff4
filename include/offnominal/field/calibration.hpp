/// @file
/// Calibrations hold for a time.
#pragma once

#include <string>
#include <string_view>

#include "offnominal/detail/contract.hpp"

namespace offnominal {

/// When an instrument was calibrated, and for how long that holds.
struct Calibration {
    std::string date;  ///< `2026-06-01`
    int months = 12;
};

/// A calibration on some day.
struct CalibrationState {
    std::string due;    ///< the last day on which it holds, `2027-06-01`
    int days_left = 0;  ///< until then; below 0 once it has expired
    int days_held = 0;  ///< from the calibration until `due`

    [[nodiscard]] bool expired() const noexcept { return days_left < 0; }
    /// What an expired instrument's stated uncertainty is multiplied by: the square root of the time since its
    /// calibration over the time that held, as of an error that wanders at random (common practice, no source). 1 while
    /// it holds.
    [[nodiscard]] double widening() const noexcept;
};

/// Whether a calibration still holds.
/// @param calibrated  the day of it, `2026-06-01`
/// @param months      how long it holds; from 31 January one month leads to the last day of February
/// @param on          the day of the visit
/// @throws InputError for what is no such day, months not from 1 to 120, a visit before the calibration
[[nodiscard]] CalibrationState calibration_on(std::string_view on, std::string_view calibrated, int months);

/// @throws InputError, which names `what`, for what is no day, `2026-06-01`
void check_day(std::string_view text, const char* what);

/// What a report says of it; empty where it holds for the next 30 days.
[[nodiscard]] std::string calibration_note(std::string_view instrument, const CalibrationState& state);

}  // namespace offnominal
