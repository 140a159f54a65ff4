/// @file
/// What the tables of cooling and heating pages have in common when they are written: columns of texts, values that
/// hold for all of a page, multiplier rows.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/ratings/page.hpp"
#include "write.hpp"

namespace offnominal::files {

/// A column and its texts, one for each node.
struct OutColumn {
    std::string role;
    ColumnText text;
};

/// The texts a page was typed with, in the order of its columns; `-` where it has none.
[[nodiscard]] std::vector<OutColumn> typed_columns(const std::vector<TypedColumn>& typed, std::size_t nodes);

/// A column made from numbers, SI, with NaN where it is blank. `step`: see `column_text`; 0 if it was never printed.
/// @param stage  its name for messages
/// @throws InputError for numbers that are not in such steps
[[nodiscard]] OutColumn made_column(const std::string& stage, const std::string& role, const std::vector<double>& si,
                                    const std::vector<Unit>& units, double step);
/// The column of an axis: `index(node)` is the node's place on it.
template <class Index>
[[nodiscard]] OutColumn axis_column(const char* role, const std::vector<double>& breakpoints, Dimension dimension,
                                    bool standard_air, std::size_t nodes, const Index& index) {
    const ColumnText texts = column_text(breakpoints, units_for(dimension, standard_air));
    OutColumn out{role, {texts.unit, {}}};
    out.text.texts.reserve(nodes);
    for (std::size_t n = 0; n < nodes; ++n) out.text.texts.push_back(texts.texts[index(n)]);
    return out;
}
/// `x` where a page is beyond its limit.
template <class Nodes>
void mark_limits(OutColumn& column, const Nodes& nodes) {
    for (std::size_t n = 0; n < column.text.texts.size(); ++n)
        if (nodes[n].mark == Mark::beyond_limit) column.text.texts[n] = "x";
}

/// Their names, units and texts, row by row.
[[nodiscard]] TableText table_of(const std::vector<OutColumn>& columns);

/// An output that multiplier rows have factors for.
struct FactorOutput {
    const char* role;
    std::vector<double> values;    ///< NaN at nodes that say nothing of the factor
    std::vector<double> at_least;  ///< what the product must reach at such nodes; NaN or empty where that is open
};

/// An axis that comes from a multiplier row.
struct MultiplierAxis {
    const char* role;
    const char* key;  ///< of the row
    std::size_t stride;
    std::size_t size;
    std::vector<TypedColumn> typed;  ///< the factors as typed; empty: they are to be found
};

/// Writes what stands beside the table of a page, and the table.
struct PageTable {
    std::string stage;  ///< its name for messages
    std::vector<OutColumn> columns;
    std::size_t nodes = 0;
    std::vector<std::string_view> may_be_one;  ///< roles of columns that may be one value for all of the page
    std::vector<MultiplierAxis> multiplied;    ///< in the order in which they are multiplied
    std::vector<FactorOutput> outputs;         ///< of the multiplier rows

    /// @throws InputError if no factors give the page
    void write(YamlFile& file) &&;
};

}  // namespace offnominal::files
