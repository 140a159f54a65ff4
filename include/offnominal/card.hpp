/// @file
/// The target card of a test day: what a machine should deliver over outdoor dry bulb and entering wet bulb, to take
/// along, what each cell of it leans on, and what to bring to be able to decide.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "offnominal/conditions.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

namespace detail {
inline namespace OFFNOMINAL_ISA {
/// The line of `told_of<ExpectedValues>` of that name; where there is none, this does not compile.
consteval const Told<ExpectedValues>& line_on_card(std::string_view name) {
    const Told<ExpectedValues>* line = told_of<ExpectedValues>;
    while (line->name != name) ++line;
    return *line;
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {
/// What a card tells of each cell, in this order.
inline constexpr const Told<ExpectedValues>* told_on_card[] = {
    &detail::line_on_card("total_capacity"), &detail::line_on_card("sensible_capacity"),
    &detail::line_on_card("split"),          &detail::line_on_card("leaving_wet_bulb"),
    &detail::line_on_card("power"),
};
}  // namespace OFFNOMINAL_ISA

/// What a machine should deliver on a test day.
struct TargetCard {
    static constexpr std::size_t most_cells = 400;

    struct Cell {
        Reason reason;                      ///< why there is no answer, if there is none
        Footing footing = Footing::inside;  ///< what it leans on: more than what is printed there, where not `inside`
        Notes notes;                        ///< what was unknown or assumed
        std::array<double, 5> numbers{};    ///< by `told_on_card`, SI; NaN where there is none
    };
    std::vector<Temperature> outdoor_dry_bulb;   ///< rows
    std::vector<Temperature> entering_wet_bulb;  ///< columns
    std::vector<Cell> cells;                     ///< row by row
    Notes notes;                                 ///< of any cell
    Reason reason;                               ///< why no cell has an answer: that of the first; none where one has
    Conditions first;                            ///< what the first was asked: `explain` makes words of `reason` by it
    std::optional<Plan> plan;                    ///< with a forecast

    [[nodiscard]] const Cell& at(std::size_t row, std::size_t column) const noexcept {
        return cells[row * entering_wet_bulb.size() + column];
    }
};
static_assert(std::size(told_on_card) == TargetCard::Cell{}.numbers.size());

/// Works a card out: every number is that of `expect`.
///
/// @param asked              what holds for all cells, in cooling: this installation
/// @param outdoor_dry_bulb   rows; empty: what the page prints
/// @param entering_wet_bulb  columns; empty: what the page prints
/// @param forecast           a visit with the instruments that will be brought, as `plan` takes it; null: none is
/// planned
/// @throws InputError for a question of heating, a temperature that is none, an axis that is neither given nor on the
///         page, more than `most_cells`, a forecast of another stage, speed, boundary or installation; and as `plan`
[[nodiscard]] TargetCard target_card(const System& system, const Site& site, Conditions asked,
                                     std::vector<Temperature> outdoor_dry_bulb = {},
                                     std::vector<Temperature> entering_wet_bulb = {}, const Visit* forecast = nullptr);

}  // namespace offnominal
