/// @file
/// How the rows of a typed table lie on the axes of a page: rows and columns in any order become nodes in one.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/ratings/page.hpp"
#include "read/table.hpp"

namespace offnominal::files {

/// One axis of a page.
struct TypedAxis {
    enum class Kind : std::uint8_t {
        absent,     ///< the page has no such axis: one value that nobody states
        one_value,  ///< one value for all of the page, which stands beside the table
        column,     ///< the values that stand in a column
        pairs,      ///< pairs of values in two columns
        columns,    ///< an output has a column for each value: `sensible@75  sensible@80`
    };

    Kind kind = Kind::absent;
    std::string_view role;
    int column = -1;             ///< of an axis in a column; the first of pairs
    int second = -1;             ///< the second column of pairs
    Unit unit = units::one;      ///< as typed
    std::vector<double> values;  ///< SI, rising; of pairs 0, 1, ... in the order in which they first stand in the table
    std::vector<std::string> texts;                            ///< of one value and of columns: the numbers as typed
    std::vector<double> at;                                    ///< of columns: the numbers behind the @, in `unit`
    std::vector<std::pair<double, double>> pairs;              ///< SI
    std::map<std::pair<double, double>, std::size_t> numbers;  ///< of the pairs

    /// How many nodes lie along it.
    [[nodiscard]] std::size_t size() const noexcept { return values.empty() ? 1 : values.size(); }
    /// Where a row lies on it.
    [[nodiscard]] std::size_t index(const Row& row) const;
};

/// The axis `role` of a page: its column, or the one value of that key in `fields`, or absent.
/// @throws InputError if there are both, or if the value cannot be read
[[nodiscard]] TypedAxis axis_of(const Fields& fields, const Table& table, const Role& role);
/// The axis made of the pairs in two columns.
[[nodiscard]] TypedAxis axis_of_pairs(const Table& table, int first, int second);

/// The axis `name` made of the columns `role@number`, the numbers in `unit`.
/// @throws InputError for another role with a number that `role` does not have
[[nodiscard]] TypedAxis axis_of_columns(const Table& table, std::string_view role, std::string_view name,
                                        const Unit& unit);

/// The values of an airflow axis as standard airflow: m3/s, where the page gives mass flow by that of its own standard
/// air (which is a mass flow by another name).
[[nodiscard]] std::vector<double> standard_airflows(const TypedAxis& axis);

/// The rows of a page in the order of its nodes: row-major over the axes, the last fastest.
class Layout {
   public:
    struct Node {
        const Row* row = nullptr;
        std::size_t at = 0;  ///< which value of an axis of Kind::columns
    };

    /// Fills in the values of the axes. `table` must live as long as the layout.
    /// @param hint  follows what would be accepted where rows are missing; may be empty
    /// @throws InputError for a combination that stands twice or not at all
    Layout(const Table& table, std::vector<TypedAxis> axes, std::string hint = {});

    [[nodiscard]] const TypedAxis& axis(std::size_t i) const noexcept { return axes_[i]; }
    [[nodiscard]] const std::vector<Node>& nodes() const noexcept { return nodes_; }
    /// The columns of a role, one for each `Node::at`: the same where it has one column for all, -1 where it has none.
    [[nodiscard]] std::vector<int> columns(std::string_view role) const;

    /// Where each node was typed.
    [[nodiscard]] std::vector<InputError::Place> places() const;
    /// Every column as typed, axes given as one value included.
    [[nodiscard]] std::vector<TypedColumn> typed() const;
    /// The columns that no capacity comes from.
    [[nodiscard]] std::vector<ExtraColumn> extras() const;

   private:
    [[nodiscard]] std::uint64_t number(const Row& row) const;
    void collect();
    void order();
    [[nodiscard]] std::string accepted(std::string text) const;
    [[noreturn]] void refuse_hole(std::uint64_t hole, const Row* before) const;
    void refuse_lone_value() const;
    [[nodiscard]] std::string worded(std::uint64_t number) const;
    [[nodiscard]] std::string worded(int column, double si) const;
    const Table& table_;
    std::vector<TypedAxis> axes_;
    std::string hint_;
    std::vector<Node> nodes_;
};

}  // namespace offnominal::files
