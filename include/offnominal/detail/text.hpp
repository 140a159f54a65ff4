/// @file
/// Texts of messages, put together cheaply (a chain of `+` on strings costs a compiler more than all else in a header),
/// and numbers to and from text.
#pragma once

#include <charconv>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#ifndef __cpp_lib_to_chars  // libc++ before 20 reads no double
#include <locale>
#include <sstream>
#endif

namespace offnominal::detail {

/// The parts, one after the other.
[[nodiscard]] inline std::string text(std::initializer_list<std::string_view> parts) {
    std::string out;
    for (const std::string_view part : parts) out.append(part.data(), part.size());
    return out;
}

/// A number for a message: the shortest text that reads back as the same double.
[[nodiscard]] inline std::string number_text(double value) {
    char buffer[32];
    return std::string(buffer, std::to_chars(buffer, buffer + sizeof buffer, value).ptr);
}

/// The double nearest to a text that is a number from its first character to its last (`-12.5`, `1e3`), whatever the
/// locale; nothing of any other text, or of a number that no double holds.
[[nodiscard]] inline std::optional<double> number_of(std::string_view text) {
    double out = 0.0;
#ifdef __cpp_lib_to_chars
    const auto [at, error] = std::from_chars(text.data(), text.data() + text.size(), out);
    if (error != std::errc{} || at != text.data() + text.size()) return {};
#else
    std::istringstream in{std::string(text)};
    in.imbue(std::locale::classic());
    if (text.starts_with('+') || !(in >> std::noskipws >> out) || in.peek() != std::char_traits<char>::eof()) return {};
#endif
    return out;
}

}  // namespace offnominal::detail
