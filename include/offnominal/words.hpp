/// @file
/// The words of enumerations. Each stands once, in a table next to its enumeration, and serves files, reports, Python
/// and the command: in and out.
///
///     enum class Boundary : std::uint8_t { not_given, coil, coil_and_fan };
///     template <>
///     inline constexpr Word<Boundary> words_of<Boundary>[] = {
///         {Boundary::not_given, ""}, {Boundary::coil, "coil"}, {Boundary::coil_and_fan, "coil+fan"}};
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace offnominal {

/// An enumerator and the word for it. An empty word is one that nobody types: what is not given.
template <class E>
struct Word {
    E value;
    std::string_view word;
};

/// The table of an enumeration: a row for each enumerator. A row has `value` and `word`, and may tell more.
template <class E>
inline constexpr void* words_of = nullptr;

template <class E>
concept Worded = requires {
    words_of<E>[0].word;
};

/// The row of an enumerator, or nullptr for a number that is none.
template <Worded E>
[[nodiscard]] constexpr const auto* row_of(E value) noexcept {
    for (const auto& row : words_of<E>)
        if (row.value == value) return &row;
    return static_cast<decltype(&words_of<E>[0])>(nullptr);
}

/// Whether `value` is an enumerator: `static_cast<Boundary>(7)` is not.
template <Worded E>
[[nodiscard]] constexpr bool known(E value) noexcept {
    constexpr std::size_t size = std::size(words_of<E>);
    constexpr bool counted = [] {  // 0, 1, 2, ...: then one comparison tells
        for (std::size_t i = 0; i < size; ++i)
            if (static_cast<std::size_t>(words_of<E>[i].value) != i) return false;
        return true;
    }();
    return counted ? static_cast<std::size_t>(value) < size : row_of(value) != nullptr;
}

/// The word of an enumerator; empty for a number that is none.
template <Worded E>
[[nodiscard]] constexpr std::string_view name(E value) noexcept {
    const auto* row = row_of(value);
    return row == nullptr ? std::string_view() : row->word;
}

/// The enumerator of a word, if there is one.
template <Worded E>
[[nodiscard]] constexpr std::optional<E> named(std::string_view word) noexcept {
    for (const auto& row : words_of<E>)
        if (row.word == word) return row.value;
    return std::nullopt;
}

/// The words that would be right, for a message: "coil, coil+fan". `quote` stands around each.
template <Worded E>
[[nodiscard]] std::string accepted_words(std::string_view quote = {}) {
    std::string out;
    for (const auto& row : words_of<E>)
        if (!row.word.empty()) out.append(out.empty() ? "" : ", ").append(quote).append(row.word).append(quote);
    return out;
}

}  // namespace offnominal
