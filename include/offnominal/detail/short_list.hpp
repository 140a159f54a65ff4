/// @file
/// A list of few things that never allocates.
#pragma once

#include <array>
#include <cstddef>

namespace offnominal {

/// Up to N of a T, a range. One more than N is not taken.
template <class T, std::size_t N>
class ShortList {
   public:
    static constexpr std::size_t capacity = N;

    constexpr void add(const T& one) noexcept {
        if (size_ < N) all_[size_++] = one;
    }
    [[nodiscard]] constexpr std::size_t size() const noexcept { return size_; }
    [[nodiscard]] constexpr const T* begin() const noexcept { return all_.data(); }
    [[nodiscard]] constexpr const T* end() const noexcept { return all_.data() + size_; }
    [[nodiscard]] constexpr const T& operator[](std::size_t i) const noexcept { return all_[i]; }

   private:
    std::array<T, N> all_{};
    std::size_t size_ = 0;
};

}  // namespace offnominal
