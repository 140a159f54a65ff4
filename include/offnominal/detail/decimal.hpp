/// @file
/// Numbers read from decimals and written in them: rounded correctly, and the same in every locale.
#pragma once

#include <charconv>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

#ifndef __cpp_lib_to_chars
#include "offnominal/detail/decimal_by_c.hpp"
#endif

namespace offnominal::detail {

/// The double nearest to a text that is a number from its first character to its last (`-12.5`, `1e3`); nothing of any
/// other text (`+1`, `inf`), or of a number that no double holds.
[[nodiscard]] inline std::optional<double> number_of(std::string_view text) {
#ifdef __cpp_lib_to_chars
    double out = 0.0;
    if (text.empty() || !((text.back() >= '0' && text.back() <= '9') || text.back() == '.')) return {};  // inf, nan
    const auto [at, error] = std::from_chars(text.data(), text.data() + text.size(), out);
    if (error != std::errc{} || at != text.data() + text.size()) return {};
    return out;
#else
    return by_c::number_of(text);
#endif
}

#ifdef __cpp_lib_to_chars
template <class... Format>
[[nodiscard]] std::string written(double value, Format... format) {
    char out[700];  // in full, the longest double has 309 digits before the point
    const auto [end, error] = std::to_chars(out, out + sizeof out, value, format...);
    return error == std::errc{} ? std::string(out, end) : std::string();
}
#endif

/// The shortest text that reads back as the same double.
[[nodiscard]] inline std::string number_text(double value) {
#ifdef __cpp_lib_to_chars
    return written(value);
#else
    return by_c::shortest(value, false);
#endif
}

/// The same, without an exponent.
[[nodiscard]] inline std::string plain_text(double value) {
#ifdef __cpp_lib_to_chars
    return written(value, std::chars_format::fixed);
#else
    return by_c::shortest(value, true);
#endif
}

/// With so many decimals; empty for more of them than anyone needs.
[[nodiscard]] inline std::string fixed_text(double value, int decimals) {
#ifdef __cpp_lib_to_chars
    return written(value, std::chars_format::fixed, decimals);
#else
    return by_c::printed('f', decimals, value);
#endif
}

/// With at most so many significant digits, and no trailing zeros.
[[nodiscard]] inline std::string rounded_text(double value, int digits) {
#ifdef __cpp_lib_to_chars
    return written(value, std::chars_format::general, digits);
#else
    return by_c::printed('g', digits, value);
#endif
}

}  // namespace offnominal::detail
