/// @file
/// The keys at the top of a visit file, each once and in a file's order: for who reads a visit and for who tells what
/// it says.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <string_view>
#include <tuple>

#include "offnominal/field/visit.hpp"

namespace offnominal::files {

/// A key whose value is one member of a visit: a text, a word, yes or no, or a quantity. Where it is not given, the
/// member is that of `Visit()`.
template <class Member>
struct PlainKey {
    std::string_view word;
    Member of;  ///< the member of a visit, given the visit
    std::optional<Mode> only{};

    constexpr PlainKey(std::string_view typed, Member member, std::optional<Mode> mode = {})
        : word(typed), of(member), only(mode) {}
};

template <std::size_t N>
struct KeyText {
    char text[N];
    constexpr KeyText(const char (&typed)[N]) { std::copy_n(typed, N, text); }
};
/// A key that is read and told by functions of its own, which take this type.
template <KeyText typed>
struct OwnKey {
    static constexpr std::string_view word{typed.text, sizeof(typed.text) - 1};
    std::optional<Mode> only{};
};

#define OFFNOMINAL_MEMBER(member) \
    [](auto& visit) -> auto& { return visit.member; }
inline constexpr std::tuple visit_keys{
    OwnKey<"offnominal">{},
    PlainKey{"name", OFFNOMINAL_MEMBER(name)},
    PlainKey{"system", OFFNOMINAL_MEMBER(system_file)},
    OwnKey<"date">{},
    PlainKey{"remarks", OFFNOMINAL_MEMBER(remarks)},
    OwnKey<"site">{},
    OwnKey<"mode">{},
    PlainKey{"stage", OFFNOMINAL_MEMBER(stage)},
    OwnKey<"speed">{},
    PlainKey{"speed_held", OFFNOMINAL_MEMBER(speed_held)},
    PlainKey{"match", OFFNOMINAL_MEMBER(match)},
    OwnKey<"line_set">{},
    OwnKey<"boundary">{},
    OwnKey<"fan_power">{},
    OwnKey<"auxiliary_heat">{Mode::heating},
    PlainKey{"defrost_free", OFFNOMINAL_MEMBER(defrost_free), Mode::heating},
    PlainKey{"since_defrost", OFFNOMINAL_MEMBER(since_defrost), Mode::heating},
    PlainKey{"outside", OFFNOMINAL_MEMBER(outside)},
    PlainKey{"infer", OFFNOMINAL_MEMBER(infer)},
    PlainKey{"steady", OFFNOMINAL_MEMBER(steady)},
    PlainKey{"running", OFFNOMINAL_MEMBER(running)},
    PlainKey{"split", OFFNOMINAL_MEMBER(readings.split), Mode::cooling},
    PlainKey{"condensate", OFFNOMINAL_MEMBER(readings.condensate), Mode::cooling},
    OwnKey<"limit">{},
    OwnKey<"confidence">{},
    PlainKey{"acceptance", OFFNOMINAL_MEMBER(acceptance)},
    OwnKey<"population">{},
    OwnKey<"judge">{},
    OwnKey<"sensible_limit">{Mode::cooling},
    PlainKey{"yardstick", OFFNOMINAL_MEMBER(yardstick)},
    OwnKey<"readings">{},
    OwnKey<"second_capacity">{},
    OwnKey<"instruments">{},
};
#undef OFFNOMINAL_MEMBER

/// Calls `f` with each key.
template <class F>
void for_each_visit_key(F&& f) {
    std::apply([&](const auto&... key) { (f(key), ...); }, visit_keys);
}

}  // namespace offnominal::files
