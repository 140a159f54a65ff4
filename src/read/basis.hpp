/// @file
/// The metadata of cooling and heating pages from the keys of a file.
#pragma once

#include <optional>
#include <string>

#include "offnominal/ratings/basis.hpp"
#include "offnominal/ratings/heating.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// `speed` of a stage, in Hz, rpm or %.
[[nodiscard]] std::optional<Measured> read_speed(const Fields& fields);

/// `cooling: basis`, and `heating: basis`.
[[nodiscard]] Basis read_basis(const Document& document, const Item& item, const std::string& where);
[[nodiscard]] HeatingBasis read_heating_basis(const Document& document, const Item& item);

}  // namespace offnominal::files
