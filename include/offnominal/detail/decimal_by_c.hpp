/// @file
/// Decimals to the bit where the C++ library has none of its own: libc++ before 20, so phones, macOS and the browser.
/// By the C library, which rounds correctly there, whatever the locale.
#pragma once

#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "offnominal/detail/contract.hpp"
#include "offnominal/detail/real.hpp"

namespace offnominal::detail::by_c {

[[nodiscard]] constexpr bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }

/// What printf makes of `value` by %e, %f or %g, with a point where the locale has something else.
[[nodiscard]] inline std::string printed(char notation, int precision, double value) {
    char buffer[700];
    const int length = notation == 'e'   ? std::snprintf(buffer, sizeof buffer, "%.*e", precision, value)
                       : notation == 'f' ? std::snprintf(buffer, sizeof buffer, "%.*f", precision, value)
                                         : std::snprintf(buffer, sizeof buffer, "%.*g", precision, value);
    if (length < 0 || static_cast<std::size_t>(length) >= sizeof buffer) return {};
    std::string out;
    bool pointed = !real::is_finite(value);
    for (const char* c = buffer; *c != '\0'; ++c)
        if (is_digit(*c) || *c == '-' || *c == '+' || *c == 'e' || !real::is_finite(value))
            out += *c;
        else if (!std::exchange(pointed, true))
            out += '.';
    return out;
}

[[nodiscard]] inline std::optional<double> number_of(std::string_view text) {
    std::size_t at = text.starts_with('-') ? 1 : 0;
    bool digits = false, not_zero = false;
    const auto skip_digits = [&] {
        const std::size_t from = at;
        for (; at < text.size() && is_digit(text[at]); ++at) not_zero = not_zero || text[at] != '0';
        return at > from;
    };
    digits = skip_digits();
    const std::size_t point = at;
    if (at < text.size() && text[at] == '.') {
        ++at;
        digits = skip_digits() || digits;
    }
    const bool zero = !not_zero;
    if (digits && at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        ++at;
        if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
        digits = skip_digits();
    }
    if (!digits || at != text.size()) return {};

    std::string local(text);  // as this locale writes it
    if (point < text.size() && text[point] == '.') {
        char half[16];
        const int length = std::snprintf(half, sizeof half, "%.1f", 0.5);  // 0.5 or 0,5
        local.replace(point, 1, half + 1, static_cast<std::size_t>(length - 2));
    }
    const double out = std::strtod(local.c_str(), nullptr);
    if (real::is_infinite(out) || (out == 0.0 && !zero)) return {};
    return out;
}

/// The shortest digits that read back as `value`, laid out in full, or with an exponent where that is shorter.
[[nodiscard]] inline std::string shortest(double value, bool always_in_full) {
    if (!real::is_finite(value)) return printed('g', 6, value);
    std::string text;
    for (int decimals = 0; decimals <= 16; ++decimals) {
        text = printed('e', decimals, value);
        if (number_of(text) == value) break;
        // The digits nearest to a power of two may belong to its neighbour below, and those after them to itself.
        char& last = text[text.find('e') - 1];
        if (last == '9') continue;
        ++last;
        if (number_of(text) == value) break;
    }
    const std::size_t e = text.find('e');
    const int exponent = std::atoi(text.c_str() + e + 1);
    const std::string sign = text.starts_with('-') ? "-" : "";
    std::string digits;
    for (const char c : text.substr(0, e))
        if (is_digit(c)) digits += c;
    const int count = static_cast<int>(digits.size());

    std::string in_full;
    if (exponent < 0)
        in_full = sign + "0." + std::string(static_cast<std::size_t>(-exponent - 1), '0') + digits;
    else if (exponent >= count - 1)
        in_full = printed('f', 0, value);
    else
        in_full = sign + digits.insert(static_cast<std::size_t>(exponent) + 1, ".");
    return always_in_full || in_full.size() <= text.size() ? in_full : text;
}

}  // namespace offnominal::detail::by_c
