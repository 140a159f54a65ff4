/// @file
/// What one load has taken of its limits.
#pragma once

#include <array>
#include <string>

#include "offnominal/errors.hpp"
#include "offnominal/limits.hpp"

namespace offnominal::files {

using Limit = std::size_t Limits::*;

/// What is wrong where a limit is passed: `more than 1,000 keys in one object`.
[[nodiscard]] std::string more_than(const Limits& limits, Limit limit);
inline constexpr const char* within_limits = "at most that: no printed page has nearly as much";

/// Lives as long as the load; all its files take of it.
class Budget {
   public:
    explicit Budget(const Limits& limits) : limits_(limits) {}

    [[nodiscard]] const Limits& limits() const noexcept { return limits_; }
    /// Takes so many of what is counted over the load; false where that is more than there is.
    [[nodiscard]] bool take(Limit limit, std::size_t count);
    /// Throws the InputError of a limit that is passed.
    [[noreturn]] void refuse(Limit limit, const InputError::Place& place, const std::string& text = {}) const;

   private:
    Limits limits_;
    std::array<std::size_t, std::size(limit_rows)> taken_{};
};

}  // namespace offnominal::files
