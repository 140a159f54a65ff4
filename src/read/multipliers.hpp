/// @file
/// Multiplier rows: a page printed at one value of an axis, with factors on its outputs for other values.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "read/layout.hpp"

namespace offnominal::files {

/// Factors on the outputs of a page over one axis; 1 where the page itself is printed.
struct Multipliers {
    struct Factor {
        std::vector<double> values;  ///< one for each value of the axis; empty if the page does not print them
        double step = 0.0;           ///< one unit in the last printed place
    };

    TypedColumn typed;                       ///< the axis as typed: one text for each value
    std::vector<TypedColumn> typed_factors;  ///< likewise, of the factors that there are
    std::vector<double> values;              ///< SI, rising; airflow as standard airflow
    std::size_t printed = 0;                 ///< which of them the page is printed at
    std::vector<Factor> factors;             ///< in the order of the outputs asked for
};

/// Reads a table of the axis and of factors: `airflow total sensible power`, with the row of the page's own value,
/// whose factors are all 1.
/// @param axis     the role of the axis
/// @param outputs  ratios that may stand there; those that must are `required`
/// @param at       the value the page is printed at, SI, if it says so; otherwise the row of ones does
/// @param nodes    of the page, each of which every row but the printed one repeats
/// @throws InputError for a factor outside 0.2 to 2, or if there is no such row
[[nodiscard]] Multipliers read_multipliers(const Document& document, const Item& item, const std::string& where,
                                           const Role& axis, std::span<const Role> outputs, std::optional<double> at,
                                           std::size_t nodes);

/// The printed step of a product: that of the number times the factor, and that of the factor times the number.
[[nodiscard]] double step_of_product(double step, double factor, double step_of_factor, double number);

}  // namespace offnominal::files
