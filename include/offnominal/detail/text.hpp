/// @file
/// Texts of messages, put together cheaply: a chain of `+` on strings costs a compiler more than all else in a header.
#pragma once

#include <charconv>
#include <initializer_list>
#include <string>
#include <string_view>

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

}  // namespace offnominal::detail
