/// @file
/// The columns of a service sheet that no capacity comes from (split, pressures, amps, efficiency), read where an
/// expected capacity was. They hold for the page's own line length, charge and fan: no derate is applied to them.
#pragma once

#include <string_view>
#include <vector>

#include "offnominal/expect/words.hpp"

namespace offnominal {

/// One such column at one condition.
struct Extra {
    std::string_view name;  ///< its role: `split`, `suction_pressure`, ...
    Unit unit;              ///< as printed
    Answer<double> value;   ///< SI; Why::blank where the page has none
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// The extra columns of the page that `expected` was read from, between its nodes. Between two speeds: of the lower
/// one.
[[nodiscard]] inline std::vector<Extra> extras(const System& system, const Expected& expected) {
    const RatingTable& table = page_of(system, expected).table;
    std::vector<Extra> out;
    for (std::size_t i = 0; i < table.page().extras.size(); ++i) {
        const ExtraColumn& column = table.page().extras[i];
        out.push_back({column.name, column.unit, detail::read_extra(table, i, expected.entered)});
    }
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
