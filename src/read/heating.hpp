/// @file
/// `heating:` of a system file: instantaneous, integrated and unknown pages by stage, and a defrost table.
#pragma once

#include <optional>
#include <string>

#include "offnominal/system.hpp"
#include "text/yaml.hpp"

namespace offnominal::files {

/// Fills `SystemParts::heating` and `SystemParts::defrost`.
/// @param speed_unit  of the speeds read so far; that of the first speed here, if there was none
/// @throws InputError with the place
void read_heating(const Document& document, const Item& item, const std::string& folder, SystemParts& parts,
                  std::optional<Unit>& speed_unit);

}  // namespace offnominal::files
