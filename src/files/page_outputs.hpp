/// @file
/// The outputs of a cooling page: its nodes in watts, whatever they are printed in, and the airflows of a multiplier
/// row.
#pragma once

#include <string>

#include "layout.hpp"
#include "multipliers.hpp"

namespace offnominal::files {

/// The nodes of a page, its steps, marks, extra columns and texts. Ratios become watts here, with all their digits.
/// @throws InputError for a ratio of something that is not declared, and for cells that contradict one another
void fill_outputs(const Fields& fields, const Table& table, const Layout& layout, Basis& basis, PrintedPage& page);

/// The `airflow_factors` of a stage for a page printed at one airflow, or at one that only they name.
[[nodiscard]] Multipliers read_airflow_factors(const Fields& fields, const Item& item, const std::string& folder,
                                               const PrintedPage& page);

/// The page at the airflows of its multiplier row. A dry node stays dry: the sensible it was capped from is not known.
/// The bypass factor stays as printed; extra columns and texts stay with the airflow they were printed at.
void multiply_airflow(const Multipliers& factors, Basis& basis, PrintedPage& page);

}  // namespace offnominal::files
