/// @file
/// JSON and CBOR into a tree that keeps the order of keys, and back. Used for Standard 205 representations.
///
/// Refused: what is not well-formed, duplicate keys, numbers that are not finite, tags and byte strings of CBOR, and
/// what is past a limit. No exception of the JSON library leaves here.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "offnominal/errors.hpp"
#include "offnominal/limits.hpp"

namespace offnominal::files {

using Json = nlohmann::ordered_json;

/// Empties a tree without asking for memory. The library's own destructor asks for some, and where there is none it
/// ends the program.
void dismantle(Json& tree) noexcept;

/// A tree and its name. Errors name the path of a key, `a.b[2].c`: nobody reads such a file line by line.
struct JsonDocument {
    std::string name;
    Json root;

    ~JsonDocument() { dismantle(root); }

    /// Throws an InputError at `path`.
    [[noreturn]] void refuse(const std::string& path, const std::string& problem, const std::string& text,
                             const std::string& accepted) const;
};

[[nodiscard]] bool is_cbor(std::string_view bytes) noexcept;

/// @throws InputError
[[nodiscard]] JsonDocument parse_json(std::string_view bytes, const std::string& name, const Limits& limits = {});

/// Objects one key a line, arrays on one line; numbers by their shortest text.
[[nodiscard]] std::string json_text(const Json& tree);
[[nodiscard]] std::string cbor_bytes(const Json& tree);

/// A value as JSON text, cut to a length that fits a message.
[[nodiscard]] std::string shown(const Json& value);

}  // namespace offnominal::files
