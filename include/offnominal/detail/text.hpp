/// @file
/// Texts of messages, put together cheaply (a chain of `+` on strings costs a compiler more than all else in a header),
/// and the word that was meant.
#pragma once

#include <algorithm>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace offnominal::detail {

/// The parts, one after the other.
[[nodiscard]] inline std::string text(std::initializer_list<std::string_view> parts) {
    std::string out;
    for (const std::string_view part : parts) out.append(part.data(), part.size());
    return out;
}

[[nodiscard]] constexpr char lower(char c) noexcept {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}
[[nodiscard]] inline std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = lower(c);
    return out;
}

/// Edits (insert, delete, replace, swap neighbours) that turn one word into the other.
[[nodiscard]] inline std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before, last(b.size() + 1), now(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        now[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            now[j] = (std::min)({last[j] + 1, now[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0u : 1u)});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                now[j] = (std::min)(now[j], before[j - 2] + 1);
        }
        before = std::exchange(last, now);
    }
    return last[b.size()];
}

/// The accepted word that was probably meant, whatever its case, or nothing.
template <class Words>
[[nodiscard]] std::string_view nearest(const Words& accepted, std::string_view typed) {
    const std::string folded = lower(typed.substr(0, 64));
    std::string_view best;
    std::size_t least = 1 + (std::min<std::size_t>)(3, folded.size() / 3 + 1);  // longer words may be further off
    for (const std::string_view word : accepted) {
        const std::size_t distance = edits(lower(word), folded);
        if (distance < least && distance < word.size()) {
            least = distance;
            best = word;
        }
    }
    return best;
}

}  // namespace offnominal::detail
