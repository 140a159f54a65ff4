/// @file
/// The ways by which a visit found its airflow, one or several.
#pragma once

#include <vector>

#include "offnominal/field/visit.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// Whether `airflow:` of a visit names ways to find it; else it is a number.
[[nodiscard]] bool names_ways(const Item& airflow);

/// `{blower: {tap: 4, static: 0.52 in_wc, instrument: manometer}}`, or a list of such, among which may stand
/// `{value: 1190 cfm, at: return, instrument: flow grid}`. A reading is a number with its unit, or a map of `value`
/// with `instrument` or `standard`, its standard uncertainty. An instrument beside the readings is that of each reading
/// of a quantity that it is described for.
[[nodiscard]] std::vector<AirflowFinding> read_airflow_ways(const Document& document, const Item& airflow,
                                                            const std::vector<Instrument>& instruments);

}  // namespace offnominal::files
