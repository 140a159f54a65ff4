/// @file
/// Texts that read back to what was meant: words to the very same words, numbers to the very same double.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/units.hpp"

namespace offnominal::files {

/// A text as a YAML scalar: as it stands where that reads back, else in quotes. Inside `{}` and `[]` (`in_flow`) more
/// needs quotes.
/// @throws InputError for control characters but tab and line end, and for what is not UTF-8
[[nodiscard]] std::string yaml_text(std::string_view text, bool in_flow = false);

/// The shortest decimal text of a number, without an exponent where people would use none.
[[nodiscard]] std::string number_text(double value);

/// The shortest text near `value` of which `reads_back(number)` is true; empty if there is none.
[[nodiscard]] std::string number_text(double value, const std::function<bool(double)>& reads_back);

/// The shortest text of a number in a unit that reads back to `si`, bit for bit; empty if there is none (in SI there
/// always is one).
[[nodiscard]] std::string number_text(double si, const Unit& unit);

/// The units a file may use for `dimension`, SI first. For an airflow `standard_air` chooses between scfm and cfm.
[[nodiscard]] std::vector<Unit> units_for(Dimension dimension, bool standard_air = false);

/// `7/8 in`, `25 ft`: in the unit whose text is shortest.
[[nodiscard]] std::string quantity_text(double si, Dimension dimension, bool standard_air = false);

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

/// Rows of a `|` table, first their names and units.
using TableText = std::vector<std::vector<std::string>>;

/// A YAML file as it grows, line by line. Values are texts that are right already: from `yaml_text` and the like.
class YamlFile {
   public:
    using Pairs = std::vector<std::pair<std::string, std::string>>;

    void pair(std::string_view key, std::string_view value);
    /// `key: {a: b, c: d}`; nothing without pairs.
    void flow(std::string_view key, const Pairs& pairs);
    /// The same with each pair in a line of its own.
    void map(std::string_view key, const Pairs& pairs);
    /// `key: |` and the rows, their columns aligned.
    void table(std::string_view key, const TableText& rows);
    void open(std::string_view key);
    void close() { --depth_; }

    [[nodiscard]] const std::string& text() const noexcept { return text_; }

   private:
    void begin(std::string_view key);

    std::string text_;
    int depth_ = 0;
};

/// `{a: b, c: d}`
[[nodiscard]] std::string flow_text(const YamlFile::Pairs& pairs);

}  // namespace offnominal::files
