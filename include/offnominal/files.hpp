/// @file
/// Reading system and visit files (YAML). Compiled: link `offnominal::files`, which also holds `available_kernels` and
/// `fastest_columns`. `offnominal.hpp` leaves this header out.
#pragma once

#include <string>
#include <string_view>

#include "offnominal/field/visit.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// Reads a system file. Tables named in it are looked for beside it.
/// @throws InputError with file, line, column, the text and what would be accepted.
[[nodiscard]] System load_system(const std::string& path);

/// Reads a system from text. `name` stands for the file in messages; tables are looked for in `folder`.
[[nodiscard]] System parse_system(std::string_view text, const std::string& name, const std::string& folder = ".");

/// Reads a visit file. Does not read the system it names.
[[nodiscard]] Visit load_visit(const std::string& path);

/// Reads a visit from text (YAML, of which JSON is a part).
[[nodiscard]] Visit parse_visit(std::string_view text, const std::string& name);

}  // namespace offnominal
