/// @file
/// Numbers and units as people type them, read and written, and the nearest accepted word to a mistyped one.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/units.hpp"
#include "text/raw.hpp"

namespace offnominal::files {

/// What is wrong with a text, and what would be right; `problem` is empty if nothing is.
struct Complaint {
    std::string problem;
    std::string accepted;

    [[nodiscard]] explicit operator bool() const noexcept { return !problem.empty(); }
};

/// The problem of a text that is something else altogether.
inline constexpr std::string_view not_a_number = "not a number";

/// A number and how many decimals it was printed with.
struct Number {
    double value = 0.0;
    int decimals = 0;
};

/// Reads `-12.50`, `+3`, `1e3`; with `fractions` also `7/8`, `1 1/8`, `1-1/8`. Nothing else may stand in `text`.
[[nodiscard]] Complaint read_number(std::string_view text, bool fractions, Number& out);

/// A number with its unit, in SI.
struct Measured {
    double si = 0.0;
    Unit unit;
    std::string text;  ///< the number as typed
};

/// Reads `25 ft`, `55 %`; a bare number only where `wanted` is a ratio.
[[nodiscard]] Complaint read_quantity(std::string_view text, Dimension wanted, Measured& out);

/// The unit `name` for `wanted`, or a complaint that lists the units that would do.
[[nodiscard]] Complaint read_unit(std::string_view name, Dimension wanted, Unit& out);
/// The same for a place where either of two dimensions will do. Where the unit is close to one of `wanted`, the
/// complaint is about that alone.
[[nodiscard]] Complaint read_unit(std::string_view name, Dimension wanted, Dimension other, Unit& out);

/// The number in SI, or a complaint where that is too large to hold.
[[nodiscard]] Complaint to_si(const Number& number, const Unit& unit, double& out);

/// `a, b, c`, followed by `; nearest: b` if one of them is close to `typed`.
[[nodiscard]] std::string listed(std::span<const std::string_view> accepted, std::string_view typed);

// Texts that read back to the very same double.

/// The shortest decimal text of a number, without an exponent where people would use none.
[[nodiscard]] std::string number_text(double value);

/// A number to so many digits, for messages.
[[nodiscard]] std::string rounded_text(double value, int digits);

/// The shortest text near `value` of which `reads_back(number)` is true; empty if there is none.
[[nodiscard]] std::string number_text(double value, const std::function<bool(double)>& reads_back);

/// The shortest text of a number in a unit that reads back to `si`, bit for bit; empty if there is none (in SI there
/// always is one).
[[nodiscard]] std::string number_text(double si, const Unit& unit);

/// The units a file may use for `dimension`, SI first. For an airflow `standard_air` chooses between scfm and cfm.
[[nodiscard]] std::vector<Unit> units_for(Dimension dimension, bool standard_air = false);

/// `7/8 in`, `25 ft`: in the unit whose text is shortest.
[[nodiscard]] std::string quantity_text(double si, Dimension dimension, bool standard_air = false);

/// The text a quantity was typed with, as long as it still reads as `si`; else its shortest.
[[nodiscard]] std::string quantity_text(const std::string* typed, double si, Dimension dimension,
                                        bool standard_air = false);

/// Numbers of one column in one unit.
struct ColumnText {
    Unit unit;
    std::vector<std::string> texts;  ///< `-` for NaN
};

/// Numbers in the unit whose texts are shortest.
[[nodiscard]] ColumnText column_text(std::span<const double> si, std::span<const Unit> units);
/// The same with `step` (SI, above 0) as one unit in the last printed place; without texts if no unit has such numbers.
[[nodiscard]] ColumnText column_text(std::span<const double> si, std::span<const Unit> units, double step);
/// Sizes of tubing: as fractions of an inch where they are such.
[[nodiscard]] ColumnText tubing_text(std::span<const double> si);

}  // namespace offnominal::files
