/// @file
/// Line sets: one of an installation or of a page's rating, and a system's tables of factors.
#pragma once

#include <string>

#include "offnominal/system.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// A line by its `length`, or by its `tubing` and `fittings`, and its `suction` size.
[[nodiscard]] LineSet read_line(const Fields& fields);

/// `line_set` of a system: its reference line, limits of lift, factors in cooling and in heating.
void read_line_set(const Document& document, const Item& item, SystemParts& parts);

}  // namespace offnominal::files
