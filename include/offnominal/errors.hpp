/// @file
/// What is thrown: `Refused` where there is no answer, `InputError` where a file, or an object being built, is not what
/// it should be. A program compiled with -fno-exceptions asks the faces that do not throw (`try_expect`, `try_deliver`,
/// ...); where it builds what cannot be, or takes the value of an answer that has none, it ends by std::terminate.
#pragma once

#ifndef __cpp_exceptions
#include <exception>
#endif
#include <cstddef>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

#include "offnominal/reason.hpp"

namespace offnominal {

namespace detail {
/// Bytes of the character of UTF-8 that begins there (RFC 3629); 0 where none does.
[[nodiscard]] inline std::size_t character_at(std::string_view text, std::size_t i) noexcept {
    const auto byte = [&](std::size_t k) { return i + k < text.size() ? static_cast<unsigned char>(text[i + k]) : 0u; };
    const unsigned a = byte(0), b = byte(1);
    const std::size_t length = a < 0x80 ? 1 : a < 0xc2 ? 0 : a < 0xe0 ? 2 : a < 0xf0 ? 3 : a < 0xf5 ? 4 : 0;
    for (std::size_t k = 1; k < length; ++k)
        if ((byte(k) & 0xc0) != 0x80) return 0;
    const bool none =
        (a == 0xe0 && b < 0xa0) || (a == 0xed && b > 0x9f) || (a == 0xf0 && b < 0x90) || (a == 0xf4 && b > 0x8f);
    return none ? 0 : length;  // a longer way to write one, half of one, or past the last
}

/// A text that may go to a terminal: what shows nothing there, turns a line round or is no UTF-8, as `\x1b`. All of a
/// message that quotes a file goes through here.
[[nodiscard]] inline std::string visible(std::string_view text) {
    std::string out;
    const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
    for (std::size_t i = 0; i < text.size();) {
        const unsigned a = byte(i), b = byte(i + 1), c = byte(i + 2);
        const std::size_t length = character_at(text, i);
        const bool mark = a == 0xe2 && ((b == 0x80 && c >= 0xaa && c <= 0xae) || (b == 0x81 && c >= 0xa6 && c <= 0xa9));
        const bool hides = length == 0 || a < 0x20 || a == 0x7f || (a == 0xc2 && b < 0xa0) || mark;
        const std::size_t end = i + (length == 0 ? 1 : length);
        if (!hides) out.append(text, i, length);
        for (std::size_t k = i; hides && k < end; ++k)
            for (const char shown : {'\\', 'x', "0123456789abcdef"[byte(k) >> 4], "0123456789abcdef"[byte(k) & 15u]})
                out += shown;
        i = end;
    }
    return out;
}

/// A text cut to a length that fits a message.
[[nodiscard]] inline std::string shortened(std::string_view text) {
    constexpr std::string_view more = "...";
    constexpr std::size_t longest = 80;
    if (text.size() <= longest + more.size()) return std::string(text);
    std::size_t cut = longest;
    while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xc0) == 0x80) --cut;  // not inside a character
    return std::string(text.substr(0, cut)).append(more);
}
}  // namespace detail

/// Base of the library's exceptions.
class Error : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// There is no answer; `reason` says why, as data. Thrown by the convenience faces (`expect`, `air::state`, ...) only.
class Refused : public Error {
   public:
    Refused(Reason reason, const std::string& text) : Error(text), reason_(reason) {}
    [[nodiscard]] const Reason& reason() const noexcept { return reason_; }

   private:
    Reason reason_;
};

/// A file, or an object being built, is not what it should be.
class InputError : public Error {
   public:
    /// Where in a file. Lines and columns count from 1; 0 means unknown.
    struct Place {
        std::string file;
        int line = 0;
        int column = 0;
    };

    InputError(Place place, std::string problem, std::string text = {}, std::string accepted = {})
        : Error(compose(place, problem, text, accepted)),
          place_(std::move(place)),
          problem_(std::move(problem)),
          text_(std::move(text)),
          accepted_(std::move(accepted)) {}

    [[nodiscard]] const std::string& file() const noexcept { return place_.file; }
    [[nodiscard]] int line() const noexcept { return place_.line; }
    [[nodiscard]] int column() const noexcept { return place_.column; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }  ///< what is wrong
    /// The offending text, as typed; of a long one the message has the first 80 characters.
    [[nodiscard]] const std::string& text() const noexcept { return text_; }
    [[nodiscard]] const std::string& accepted() const noexcept { return accepted_; }  ///< what would be right

   private:
    [[gnu::cold]] static std::string compose(const Place& place, const std::string& problem, const std::string& text,
                                             const std::string& accepted) {
        std::string out = place.file;
        // append, not `"text" + string`: in that, g++ 12 sees overlaps that are not there (GCC bug 105651)
        if (place.line > 0) out.append(out.empty() ? "line " : ":").append(std::to_string(place.line));
        if (place.line > 0 && place.column > 0) out.append(":").append(std::to_string(place.column));
        if (!out.empty()) out.append(": ");
        out.append(problem);
        if (!text.empty()) out.append(": '").append(detail::shortened(text)).append("'");
        if (!accepted.empty()) out.append("; accepted: ").append(accepted);
        return detail::visible(out);
    }

    Place place_;
    std::string problem_;
    std::string text_;
    std::string accepted_;
};

/// There is no such file.
class MissingFile : public InputError {
    using InputError::InputError;
};

namespace detail {
/// Throws, where there are exceptions.
template <class E>
[[noreturn]] void raise(const E& error) {
#ifdef __cpp_exceptions
    throw error;
#else
    (void)error;
    std::terminate();
#endif
}
}  // namespace detail

}  // namespace offnominal
