/// @file
/// Many visits of a kind at once: columns in, columns out, the same bits as `prove` gives one by one.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "offnominal/column.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/settle.hpp"

namespace offnominal {

/// The numbers of a visit, each a column of a table; the inputs of a proof first, as `Input` has them.
enum class VisitSlot : std::uint8_t {
    return_dry_bulb,
    return_humidity,
    supply_dry_bulb,
    supply_humidity,
    airflow,
    outdoor_dry_bulb,
    pressure,
    fan_power,
    power,
    auxiliary_heat,
    elevation,
    line_length,
    line_suction,
    line_lift,
    line_liquid,
    speed,
};
inline constexpr std::size_t visit_slots = 16;
static_assert(static_cast<std::size_t>(VisitSlot::auxiliary_heat) == static_cast<std::size_t>(Input::auxiliary_heat));

namespace detail {
/// The slot of a reading that `deliver` asks for.
[[nodiscard]] constexpr VisitSlot visit_slot(const Asked<ReadingSlot>& asked) noexcept {
    switch (asked.slot) {
        case ReadingSlot::return_dry_bulb:
            return VisitSlot::return_dry_bulb;
        case ReadingSlot::return_humidity:
            return VisitSlot::return_humidity;
        case ReadingSlot::supply_dry_bulb:
            return VisitSlot::supply_dry_bulb;
        case ReadingSlot::supply_humidity:
            return VisitSlot::supply_humidity;
        case ReadingSlot::airflow:
            return VisitSlot::airflow;
        case ReadingSlot::elevation:
            return VisitSlot::elevation;
        case ReadingSlot::pressure:
            return VisitSlot::pressure;
        case ReadingSlot::fan_power:
            return VisitSlot::fan_power;
        case ReadingSlot::auxiliary_heat:
            break;
    }
    return VisitSlot::auxiliary_heat;
}

/// What a visit holds besides what `deliver` asks for.
inline constexpr Asked<VisitSlot> asked_of_prove_alone[] = {
    {"outdoor_dry_bulb", Kind::temperature, VisitSlot::outdoor_dry_bulb, Modes::both, "outdoor dry bulb"},
    {"power", Kind::electric_power, VisitSlot::power, Modes::both,
     "of what the visit's meter was around; may be empty: not measured"},
    {"line_length", Kind::length, VisitSlot::line_length, Modes::both,
     "equivalent length of the line set; its tubing's where the visit tells fittings apart"},
    {"line_suction", Kind::tubing, VisitSlot::line_suction, Modes::both, "size of its suction line"},
    {"line_lift", Kind::length, VisitSlot::line_lift, Modes::both,
     "how far the outdoor unit stands above the indoor one; may be empty: unknown"},
    {"line_liquid", Kind::tubing, VisitSlot::line_liquid, Modes::both,
     "size of its liquid line; may be empty: unknown"},
    {"speed", Kind::speed, VisitSlot::speed, Modes::both, "of a variable-speed compressor; may be empty"},
};
}  // namespace detail

/// Every number that a table of visits may hold, by the column's name: what `deliver` asks for, and more.
inline constexpr auto asked_of_prove = [] {
    std::array<Asked<VisitSlot>, std::size(asked_of_deliver) + std::size(detail::asked_of_prove_alone)> out;
    std::size_t k = 0;
    for (const auto& line : asked_of_deliver)
        out[k++] = {line.name, line.kind, detail::visit_slot(line), line.modes, line.meaning};
    for (const auto& line : detail::asked_of_prove_alone) out[k++] = line;
    return out;
}();

namespace detail {
/// The column that is due where one is named after another measure of humidity than the visit's instrument reads; empty
/// where it may stand.
[[nodiscard]] std::string column_due(const Asked<VisitSlot>& column, const Visit& visit);
}  // namespace detail

/// Visits to machines of one system, made with the same instruments and judged alike.
struct VisitBatch {
    const Visit& visit;  ///< what no column says; its measures of humidity and airflow, and its instruments, are all's
    KeyColumn stage, match;                     ///< without a column: the visit's
    std::array<Column, visit_slots> numbers{};  ///< likewise. NaN is not given: no row takes the visit's number instead
    /// `first_order` takes no draws, also where first order alone does not hold: for a look at many, not for a verdict.
    Method most = Method::draws;

    [[nodiscard]] const Column& operator[](VisitSlot slot) const noexcept {
        return numbers[static_cast<std::size_t>(slot)];
    }
    [[nodiscard]] Column& operator[](VisitSlot slot) noexcept { return numbers[static_cast<std::size_t>(slot)]; }
};

/// What stands in the place of a word (an enumerator's number) where a row has none.
inline constexpr std::int16_t no_word = -1;

/// Proofs of a batch, row by row. A null column is not wanted.
struct ProofColumns {
    ToldColumns<Proof> numbers;
    std::array<double*, input_count> share{};  ///< by `Input`: its share of the ratio's variance
    Reason* reason = nullptr;                  ///< must be there: why there is no ratio
    std::int16_t* outcome = nullptr;           ///< `Outcome`; none where `prove` refuses the visit: see the reason
    std::int16_t* suspect = nullptr;           ///< `About`
    std::int16_t* method = nullptr;            ///< `Method`; none without a ratio
    std::int16_t* next = nullptr;              ///< `Remedy` that is most likely to settle an undecided proof, if any is
    Notes* notes = nullptr;
};

/// Proves the visits of a batch. What `prove` throws for a visit's own readings is its row's reason.
///
/// @param threads  how many work on it; the bits do not depend on it
/// @throws InputError, Refused for what is wrong with all of them: the limit, the instruments, ways to find the airflow
///         (which no table holds), a column for what the visit does not have
void prove_many(const System& system, const VisitBatch& batch, std::size_t rows, const ProofColumns& out,
                std::size_t threads = 1);

}  // namespace offnominal
