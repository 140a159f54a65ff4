/// @file
/// A printed table, typed as a `|` block or as a CSV file: role names, units under them, rows in any order.
///
/// `#` begins a comment; `-` is a printed blank, `x` a place past the maker's operating limit, a number with `d` behind
/// it is dry on the page. In blocks blanks stand between the columns, in CSV files commas.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "fields.hpp"

namespace offnominal::files {

/// What a column may be.
struct Role {
    enum class Kind : std::uint8_t { key, axis, output };

    std::string_view name;
    Dimension dimension;
    Kind kind = Kind::output;
    bool required = true;
    bool may_be_dry = false;  ///< takes the `d` suffix
};

struct Cell {
    enum class State : std::uint8_t { number, dry, blank, beyond_limit };

    State state = State::number;
    double si = 0.0;
    std::string_view text;  ///< as typed
    int byte = 0;           ///< in its line, from 0
};

struct Row {
    int line = 1;
    std::vector<Cell> cells;  ///< one for each column, in the order of the columns
};

class Table {
   public:
    struct Column {
        Role role;
        Unit unit;
        int decimals = 0;  ///< the most that any of its numbers is printed with
    };

    /// A table typed in the file itself. `document` must live as long as the table.
    /// @param where  the table's path for messages
    /// @throws InputError for unknown or missing columns, unknown units, rows that do not fit or are blank in some
    ///         outputs only
    [[nodiscard]] static Table from_block(const Document& document, const Item& block, const std::string& where,
                                          std::span<const Role> roles);
    /// A CSV file in `folder`; `name` is the value that names it. As above.
    [[nodiscard]] static Table from_file(const Document& document, const Item& name, const std::string& folder,
                                         const std::string& where, std::span<const Role> roles);

    [[nodiscard]] const std::vector<Column>& columns() const noexcept { return columns_; }
    [[nodiscard]] const std::vector<Row>& rows() const noexcept { return rows_; }
    /// The number of the column with that role, or -1.
    [[nodiscard]] int column(std::string_view role) const noexcept;
    /// One unit in the last printed place of a column, SI.
    [[nodiscard]] double step(int column) const;
    /// `95 degF`, as typed.
    [[nodiscard]] std::string worded(const Cell& cell, int column) const;

    [[nodiscard]] InputError::Place place() const { return head_; }
    [[nodiscard]] InputError::Place place(const Row& row) const { return place(row.line, row.cells.front()); }
    [[noreturn]] void refuse(const Row& row, const std::string& problem, const std::string& accepted) const;
    [[noreturn]] void refuse(const Row& row, int column, const std::string& problem, const std::string& accepted) const;

   private:
    explicit Table(const Text& text) : text_(&text) {}
    [[nodiscard]] InputError::Place place(int line, const Cell& cell) const;

    void read_lines(std::span<const Row> lines, const std::string& where, std::span<const Role> roles);
    void read_head(const Row& names, const Row& units, const std::string& where, std::span<const Role> roles);
    void read_row(Row row);
    void read_cell(Cell& cell, int column, int line);
    void join_fractions(std::vector<Cell>& words) const;

    const Text* text_;                         ///< the document's, or `csv_`
    std::shared_ptr<const Text> csv_;          ///< of a table in a file of its own
    std::optional<InputError::Place> string_;  ///< of a table in a quoted string, whose rows have no lines of their own
    InputError::Place head_;
    std::vector<Column> columns_;
    std::vector<Row> rows_;
};

}  // namespace offnominal::files
