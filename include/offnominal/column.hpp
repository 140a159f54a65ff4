/// @file
/// The columns of a batch: numbers in any unit of the table, and keys.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string_view>
#include <utility>

#include "offnominal/kind.hpp"
#include "offnominal/units.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// A column of numbers in some unit: one for each row, or (step 0) one for all.
struct Column {
    const double* data = nullptr;
    std::ptrdiff_t step = 0;
    Unit unit;

    [[nodiscard]] OFFNOMINAL_INLINE double si(std::size_t row) const noexcept {
        return unit.to_si(data[static_cast<std::ptrdiff_t>(row) * step]);
    }
    /// The same; NaN (not given) where there is no column.
    [[nodiscard]] OFFNOMINAL_INLINE double given(std::size_t row) const noexcept {
        return data == nullptr ? std::numeric_limits<double>::quiet_NaN() : si(row);
    }
    /// Rows from `first` on, as `given` has them.
    OFFNOMINAL_INLINE void given(std::size_t first, std::span<double> out) const noexcept {
        if (data == nullptr) return std::fill(out.begin(), out.end(), std::numeric_limits<double>::quiet_NaN());
        if (step == 0) return std::fill(out.begin(), out.end(), si(0));
        if (step != 1) {
            for (std::size_t i = 0; i < out.size(); ++i) out[i] = si(first + i);
            return;
        }
        const double* const from = data + first;  // one after the other: vector code
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = unit.to_si(from[i]);
    }
};

/// A column of keys: numbers into a list of names, one for each row, or (step 0) one for all.
struct KeyColumn {
    std::span<const std::string_view> names;
    const std::int32_t* code = nullptr;
    std::ptrdiff_t step = 0;

    /// The code of a row; -1 without a column.
    [[nodiscard]] std::int32_t at(std::size_t row) const noexcept {
        return code == nullptr ? -1 : code[static_cast<std::ptrdiff_t>(row) * step];
    }
    /// The name of a row; empty (not given) without a column or for a code that is none.
    [[nodiscard]] std::string_view name(std::size_t row) const noexcept {
        const std::int32_t c = at(row);
        return c >= 0 && static_cast<std::size_t>(c) < names.size() ? names[static_cast<std::size_t>(c)]
                                                                    : std::string_view{};
    }
};

/// A column to be filled, or (null) not wanted. NaN stands where there is no answer.
struct OutColumn {
    double* data = nullptr;
    Unit unit;
};

/// A column for each number that is told of a T.
template <class T>
using ToldColumns = std::array<OutColumn, std::size(told_of<T>)>;

namespace detail {
inline namespace OFFNOMINAL_ISA {
/// Fills the columns that are wanted from rows `first` on: NaN where a row has no answer.
template <class T, class Columns>
void write_columns(const Columns& columns, std::size_t first, const T* told, std::size_t rows,
                   const bool* answered) noexcept {
    const bool all = std::all_of(answered, answered + rows, [](bool a) noexcept { return a; });
    const auto write = [&]<std::size_t K>() noexcept {
        const OutColumn& column = columns[K];
        if (column.data == nullptr) return;
        constexpr auto of = told_of<T>[K].of;
        double* const out = column.data + first;
        const bool scaled = column.unit.times != 1.0 || column.unit.over != 1.0;
        // Unscaled the same without a division: one pass.
        const double offset = scaled ? 0.0 : column.unit.offset;
        for (std::size_t i = 0; i < rows; ++i) out[i] = of(told[i]) + offset;
        if (scaled)
            for (std::size_t i = 0; i < rows; ++i) out[i] = column.unit.from_si(out[i]);
        if (!all)
            for (std::size_t i = 0; i < rows; ++i)
                if (!answered[i]) out[i] = std::numeric_limits<double>::quiet_NaN();
    };
    [&]<std::size_t... K>(std::index_sequence<K...>) noexcept { (write.template operator()<K>(), ...); }
    (std::make_index_sequence<std::size(told_of<T>)>());
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail
}  // namespace offnominal
OFFNOMINAL_EXACT_END
