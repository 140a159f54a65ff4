/// @file
/// A list of few things that never allocates.
#pragma once

#include <cstddef>
#include <type_traits>

namespace offnominal {

/// Up to N of a T, a range. One more than N is not taken. They are made as they are added: to make all the steps of a
/// ledger first would take a twelfth of a question.
template <class T, std::size_t N>
class ShortList {
    static_assert(std::is_trivially_copyable_v<T>);

   public:
    static constexpr std::size_t capacity = N;

    constexpr ShortList() noexcept {}

    constexpr void add(const T& one) noexcept {
        if (size_ < N) all_[size_++] = one;
    }
    [[nodiscard]] constexpr std::size_t size() const noexcept { return size_; }
    [[nodiscard]] constexpr const T* data() const noexcept { return all_; }
    [[nodiscard]] constexpr const T* begin() const noexcept { return all_; }
    [[nodiscard]] constexpr const T* end() const noexcept { return all_ + size_; }
    [[nodiscard]] constexpr const T& operator[](std::size_t i) const noexcept { return all_[i]; }

   private:
    union {
        T all_[N];
    };
    std::size_t size_ = 0;
};

}  // namespace offnominal
