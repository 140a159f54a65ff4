/// @file
/// The axes of a cooling page: outdoor dry bulb, airflow, humidity, entering dry bulb, station pressure.
#pragma once

#include <vector>

#include "layout.hpp"

namespace offnominal::files {

/// The axes of a page as typed, in the order of its nodes; absent ones included.
/// @throws InputError where keys and columns contradict one another
[[nodiscard]] std::vector<TypedAxis> cooling_axes(const Fields& fields, const Table& table);

/// What to say beside a hole, where the page may be one of pairs.
[[nodiscard]] std::string hint_of_pairs(const std::vector<TypedAxis>& axes);

/// The breakpoints of a page in the library's own measures, and what they say of the basis: an entering dry bulb that
/// is one for all of the page is that of the sensible column, a station pressure the page's elevation, and relative
/// humidities at one entering dry bulb are wet bulbs.
void fill_axes(const Fields& fields, const Table& table, const Layout& layout, Basis& basis, PrintedPage& page);

}  // namespace offnominal::files
