/// @file
/// From typed tables to what the library is built from: the page of a stage, line-set, altitude and blower tables.
#pragma once

#include <string>

#include "offnominal/airflow/blower.hpp"
#include "offnominal/derates/altitude.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/ratings/rating_table.hpp"
#include "table.hpp"

namespace offnominal::files {

/// A stage: `{table: | ...}` or `{file: name.csv}`, with `odb`, `airflow`, `ewb` or `bypass` beside it where the page
/// has no such column but one value for all of it.
[[nodiscard]] RatingTable read_stage(const Document& document, const Item& item, const std::string& folder,
                                     const std::string& where, Basis basis);

[[nodiscard]] LineTable read_line_table(const Document& document, const Item& item, const std::string& folder,
                                        const std::string& where, LineTable::Limits limits);

[[nodiscard]] AltitudeTable read_altitude_table(const Document& document, const Item& item, const std::string& folder,
                                                const std::string& where);

/// The table of `blower: {table: | ...}` or `{file: name.csv}`, whose other keys the caller has read into `basis`.
[[nodiscard]] BlowerTable read_blower_table(const Fields& fields, const std::string& folder, BlowerTable::Basis basis);

}  // namespace offnominal::files
