/// @file
/// The metadata of a page from the keys of a file; the parts that cooling and heating pages share.
#pragma once

#include <optional>
#include <string>

#include "offnominal/ratings/basis.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

[[nodiscard]] CapacityBasis read_capacity_basis(const Fields& fields);  ///< `capacity`
[[nodiscard]] AirflowBasis read_airflow_basis(const Fields& fields);    ///< `airflow`
[[nodiscard]] Pound read_standard_pound(const Fields& fields);          ///< `standard_pound`
[[nodiscard]] PowerBasis read_power_basis(const Fields& fields);        ///< `power`
/// `fan`, which a net capacity must have and no other may.
[[nodiscard]] TableFan read_table_fan(const Fields& fields, CapacityBasis capacity);
/// `tolerance`, as a fraction.
[[nodiscard]] std::optional<double> read_tolerance(const Fields& fields);

/// `speed` of a stage, in Hz, rpm or %.
[[nodiscard]] std::optional<Measured> read_speed(const Fields& fields);

/// `cooling: basis`.
[[nodiscard]] Basis read_basis(const Document& document, const Item& item, const std::string& where);

}  // namespace offnominal::files
