/// @file
/// Systems as bytes: constant data of a program, which needs no file, and no reader of files, at run time. Compiled:
/// link `offnominal::core`.
///
/// In CMake `offnominal_embed(app alder.yaml)` writes the bytes when `app` is built, and a header `alder.hpp` that
/// declares `const offnominal::System& embedded::alder()`.
#pragma once

#include <span>
#include <string>

#include "offnominal/system.hpp"

namespace offnominal {

/// A system as bytes, with a version and a checksum; the same on every machine. They hold all of it, what was typed
/// beside its tables too, but not where in which file that was.
/// @throws InputError for a unit that is none of the table of units
[[nodiscard]] std::string system_to_bytes(const System& system);

/// The system of such bytes, which are read where they stand and never copied as they are; nothing of them is needed
/// afterwards. Of each page the numbers are laid out anew, as look-ups want them: with the derived columns, blanks and
/// inferred nodes that the bytes do not hold. It is checked as one read from a file is.
/// @throws InputError for bytes that are none, of a later version, damaged, or made up to say what no system can
[[nodiscard]] System system_from_bytes(std::span<const unsigned char> bytes);

}  // namespace offnominal
