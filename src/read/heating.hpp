/// @file
/// `heating:` of a system file: instantaneous, integrated and unknown pages by stage, and a defrost table.
#pragma once

#include <optional>
#include <string>

#include "offnominal/files.hpp"
#include "offnominal/system.hpp"
#include "text/yaml.hpp"

namespace offnominal::files {

/// Fills `SystemParts::heating` and `SystemParts::defrost`.
/// @param speed_unit  of the speeds read so far; that of the first speed here, if there was none
/// @throws InputError with the place
void read_heating(const Document& document, const Item& item, SystemParts& parts, std::optional<Unit>& speed_unit);

/// The pages of `heating`, as typed: what an audit needs of a page that a table would refuse.
[[nodiscard]] std::vector<HeatingPageOfFile> read_heating_pages(const Document& document, const Item& item);

}  // namespace offnominal::files
