/// @file
/// A printed table, typed as a `|` block or as a CSV file: role names, units under them, rows in any order.
///
/// `#` begins a comment; `-` is a printed blank, `x` a place past the maker's operating limit, a number with `d` behind
/// it is dry on the page. In blocks blanks stand between the columns, in CSV files commas. One output may stand in
/// several columns, `sensible@75  sensible@80`: as printed, for several values of an axis that has no column of its
/// own.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/grid/grid.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// What a column may be.
struct Role {
    enum class Kind : std::uint8_t {
        key,
        axis,
        output,
        extra,  ///< kept beside the outputs; may be blank anywhere
    };

    std::string_view name;
    Dimension dimension;
    Kind kind = Kind::output;
    bool required = true;
    bool may_be_dry = false;      ///< takes the `d` suffix
    bool may_be_blank = false;    ///< an output that may be blank where the others of its row are not
    bool may_be_at = false;       ///< may stand in several columns, `sensible@75`
    Dimension other = dimension;  ///< what its unit may also measure
};

struct Cell {
    enum class State : std::uint8_t { number, dry, blank, beyond_limit };

    State state = State::number;
    double si = 0.0;
    std::string_view text;  ///< as typed
    int byte = 0;           ///< in its line, from 0
};

/// Fields of a line of a CSV file, without the quotes around them and, if it is a table's and no log's, what follows a
/// `#`. A line of empty fields has none.
[[nodiscard]] std::vector<Cell> csv_fields(const Text& text, int number, Budget& budget, bool is_log = false);

struct Row {
    int line = 1;
    std::vector<Cell> cells;  ///< one for each column, in the order of the columns
};

class Table {
   public:
    struct Column {
        Role role;
        Unit unit;
        std::string_view name;     ///< as typed: the role, or `sensible@75`
        std::optional<double> at;  ///< the 75 of that, in a unit that the table does not know
        int decimals = 0;          ///< the most that any of its numbers is printed with
    };

    /// A table typed in the file itself. `document` must live as long as the table.
    /// @param where  the table's path for messages
    /// @throws InputError for unknown or missing columns, unknown units, rows that do not fit or are blank in some
    ///         outputs only
    [[nodiscard]] static Table from_block(const Document& document, const Item& block, const std::string& where,
                                          std::span<const Role> roles);
    /// A CSV file beside the document; `name` is the value that names it. As above.
    [[nodiscard]] static Table from_file(const Document& document, const Item& name, const std::string& where,
                                         std::span<const Role> roles);

    [[nodiscard]] const std::vector<Column>& columns() const noexcept { return columns_; }
    [[nodiscard]] const Column& operator[](int column) const noexcept {
        return columns_[static_cast<std::size_t>(column)];
    }
    [[nodiscard]] const std::vector<Row>& rows() const noexcept { return rows_; }
    /// The number of the first column with that role, or -1.
    [[nodiscard]] int column(std::string_view role) const noexcept;
    /// The same for a column that must be there. @throws InputError at the head
    [[nodiscard]] int need(std::string_view role) const;
    /// One unit in the last printed place of a column, SI. Where all powers of a column are whole tens or hundreds, and
    /// too many of them differ for that to be chance, it is that: 33,500 Btu/h is print of 100 Btu/h.
    [[nodiscard]] double step(int column) const;
    /// The same of an output in several columns: their least, as a column's is that of its longest number. -1 is no
    /// column.
    [[nodiscard]] double step_of(std::span<const int> columns) const;
    /// `95 degF`, as typed.
    [[nodiscard]] std::string worded(const Cell& cell, int column) const;

    [[nodiscard]] Budget& budget() const noexcept { return *budget_; }
    [[nodiscard]] InputError::Place place() const { return head_; }
    [[nodiscard]] InputError::Place place(const Row& row) const { return place(row.line, row.cells.front()); }
    [[noreturn]] void refuse(const Row& row, const std::string& problem, const std::string& accepted) const;
    [[noreturn]] void refuse(const Row& row, int column, const std::string& problem, const std::string& accepted) const;
    /// At the name of a column.
    [[noreturn]] void refuse(int column, const std::string& problem, const std::string& accepted) const;
    [[noreturn]] void refuse_partly_blank(const Row& row) const;

   private:
    /// The power of ten that the whole numbers of a column are multiples of.
    [[nodiscard]] double whole_step(int column) const;
    Table(const Text& text, Budget& budget) : text_(&text), budget_(&budget) {}
    [[nodiscard]] InputError::Place place(int line, const Cell& cell) const;

    void read_lines(std::vector<Row> lines, const std::string& where, std::span<const Role> roles);
    void read_head(const Row& units, std::span<const Role> roles);
    void read_name(const Cell& name, std::span<const Role> roles);
    void read_row(Row row);
    void read_cell(Cell& cell, int column, int line);
    void join_fractions(std::vector<Cell>& words) const;

    const Text* text_;  ///< the document's, or `csv_`
    Budget* budget_;
    std::shared_ptr<const Text> csv_;  ///< of a table in a file of its own
    std::optional<InputError::Place>
        quoted_at_;  ///< of a table in a quoted string, whose rows have no lines of their own
    InputError::Place head_;
    std::string where_;
    std::vector<std::string_view> roles_;  ///< the names of all that was asked for
    Row names_;
    std::vector<Column> columns_;
    std::vector<Row> rows_;
};

/// The `table: |` or the `file: name.csv` of a map.
[[nodiscard]] Table read_table(const Fields& fields, const std::string& where, std::span<const Role> roles);
/// A table that is a block, or a map with `table` or `file`.
[[nodiscard]] Table read_table(const Document& document, const Item& item, const std::string& where,
                               std::span<const Role> roles);

inline const Cell& cell(const Row& row, int column) { return row.cells[static_cast<std::size_t>(column)]; }

/// The number of a cell, SI; of a column that is not there, `fallback`.
inline double value(const Row& row, int column, double fallback = 0.0) {
    return column < 0 ? fallback : cell(row, column).si;
}

[[nodiscard]] Mark mark_of(const Cell& cell);

}  // namespace offnominal::files
