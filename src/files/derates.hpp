/// @file
/// Line-set, altitude and blower tables from typed ones.
#pragma once

#include <string>

#include "offnominal/airflow/blower.hpp"
#include "offnominal/derates/altitude.hpp"
#include "offnominal/derates/line_set.hpp"
#include "table.hpp"

namespace offnominal::files {

[[nodiscard]] LineTable read_line_table(const Document& document, const Item& item, const std::string& folder,
                                        const std::string& where, LineTable::Limits limits);

[[nodiscard]] AltitudeTable read_altitude_table(const Document& document, const Item& item, const std::string& folder,
                                                const std::string& where);

/// The table of `blower: {table: | ...}` or `{file: name.csv}`, whose other keys the caller has read into `basis`.
[[nodiscard]] BlowerTable read_blower_table(const Fields& fields, const std::string& folder, BlowerTable::Basis basis);

}  // namespace offnominal::files
