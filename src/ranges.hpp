/// @file
/// The algorithms over whole ranges that our sources use: libc++ before 15 has none of std::ranges.
#pragma once

#include <algorithm>
#include <functional>
#include <iterator>

namespace offnominal::ranges {

template <class Range, class Value, class Projection = std::identity>
[[nodiscard]] constexpr auto find(Range&& range, const Value& value, Projection of = {}) {
    return std::find_if(std::begin(range), std::end(range),
                        [&](const auto& one) { return std::invoke(of, one) == value; });
}
template <class Range, class Predicate>
[[nodiscard]] constexpr auto find_if(Range&& range, Predicate is) {
    return std::find_if(std::begin(range), std::end(range), [&](const auto& one) { return std::invoke(is, one); });
}
template <class Range, class Predicate>
[[nodiscard]] constexpr bool any_of(Range&& range, Predicate is) {
    return ranges::find_if(range, is) != std::end(range);
}
template <class Range, class Predicate>
[[nodiscard]] constexpr bool none_of(Range&& range, Predicate is) {
    return !ranges::any_of(range, is);
}
template <class Range, class Predicate>
[[nodiscard]] constexpr bool all_of(Range&& range, Predicate is) {
    return !ranges::any_of(range, [&](const auto& one) { return !std::invoke(is, one); });
}
template <class Range, class Value>
[[nodiscard]] constexpr auto lower_bound(Range&& range, const Value& value) {
    return std::lower_bound(std::begin(range), std::end(range), value);
}
template <class Range>
[[nodiscard]] constexpr auto min_element(Range&& range) {
    return std::min_element(std::begin(range), std::end(range));
}
template <class Range, class Projection = std::identity>
[[nodiscard]] constexpr auto max_element(Range&& range, Projection of = {}) {
    return std::max_element(std::begin(range), std::end(range),
                            [&](const auto& a, const auto& b) { return std::invoke(of, a) < std::invoke(of, b); });
}
template <class Range, class Order = std::less<>, class Projection = std::identity>
constexpr void sort(Range& range, Order before = {}, Projection of = {}) {
    std::sort(std::begin(range), std::end(range), [&](const auto& a, const auto& b) {
        return std::invoke(before, std::invoke(of, a), std::invoke(of, b));
    });
}
template <class Range, class Order = std::less<>, class Projection = std::identity>
void stable_sort(Range& range, Order before = {}, Projection of = {}) {
    std::stable_sort(std::begin(range), std::end(range), [&](const auto& a, const auto& b) {
        return std::invoke(before, std::invoke(of, a), std::invoke(of, b));
    });
}

}  // namespace offnominal::ranges
