/// @file
/// Time stamps as loggers write them.
#pragma once

#include <string_view>

#include "offnominal/files.hpp"
#include "text/number.hpp"

namespace offnominal::files {

/// A time, and what it counts from.
struct Stamp {
    double seconds = 0.0;  ///< from the start of 1970 by the date written, else from midnight
    bool has_date = false;
    bool has_zone = false;  ///< then the seconds are of UTC
};

/// The problem of a date that can be read in two ways.
inline constexpr std::string_view unknown_order =
    "a date of which nobody says whether its month or its day comes first";

/// Reads `2026-07-14T15:03:22.5-05:00`, `2026-07-14 15:03`, `7/14/2026 3:03:22 PM` where `order` says what comes first,
/// `15:03:22`.
[[nodiscard]] Complaint read_stamp(std::string_view text, LogFormat::DateOrder order, Stamp& out);

}  // namespace offnominal::files
