#include "offnominal/card.hpp"

#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "offnominal/look_up.hpp"

namespace offnominal {
namespace {

/// Rows or columns: what was given, or what the page of a question prints.
std::vector<Temperature> places(std::vector<Temperature> given, const System& system, const Conditions& asked,
                                PageAxis axis, const char* name) {
    for (const Temperature one : given)
        if (!std::isfinite(one.si)) throw InputError({}, name, brief(one.si), "one number or more, all finite");
    if (!given.empty()) return given;
    const Match* const match = system.match(asked.match);
    const Stage* stage = system.stage(asked.stage, match);  // none where a speed is given: those of any page then
    if (stage == nullptr && !system.stages(match).empty()) stage = &system.stages(match).front();
    if (stage != nullptr && (axis != PageAxis::humidity || stage->table.humidity() == HumidityAxis::wet_bulb))
        for (const double si : stage->table.breakpoints(axis)) given.push_back(Temperature{si});
    if (given.empty())
        throw InputError({}, std::string(name) + " is not given, and the page has no such axis", {},
                         "a list of numbers");
    return given;
}

}  // namespace

TargetCard target_card(const System& system, const Site& site, Conditions asked,
                       std::vector<Temperature> outdoor_dry_bulb, std::vector<Temperature> entering_wet_bulb,
                       const Visit* forecast) {
    if (asked.mode != Mode::cooling)
        throw InputError({}, "target card: mode", std::string(name(asked.mode)), "cooling");
    TargetCard out;
    out.outdoor_dry_bulb =
        places(std::move(outdoor_dry_bulb), system, asked, PageAxis::outdoor_dry_bulb, "outdoor_dry_bulb");
    out.entering_wet_bulb =
        places(std::move(entering_wet_bulb), system, asked, PageAxis::humidity, "entering_wet_bulb");
    const std::size_t rows = out.outdoor_dry_bulb.size(), columns = out.entering_wet_bulb.size();
    if (rows > TargetCard::most_cells || columns > TargetCard::most_cells || rows * columns > TargetCard::most_cells)
        throw InputError({}, "target card: " + std::to_string(rows) + " by " + std::to_string(columns) + " cells", {},
                         std::to_string(TargetCard::most_cells) + " in all");

    bool answered = false;
    for (const Temperature outdoor : out.outdoor_dry_bulb)
        for (const Temperature wet_bulb : out.entering_wet_bulb) {
            asked.outdoor_dry_bulb = outdoor;
            asked.entering_humidity = air::wet_bulb(wet_bulb);
            if (out.cells.empty()) out.first = asked;
            TargetCard::Cell& cell = out.cells.emplace_back();
            cell.numbers.fill(std::numeric_limits<double>::quiet_NaN());
            const auto answer = look_up(system, site, asked);
            cell.reason = answer.reason();
            if (!answer) continue;
            answered = true;
            cell.footing = answer->footing;
            cell.notes = answer->notes;
            out.notes.add(cell.notes);
            for (std::size_t k = 0; k < cell.numbers.size(); ++k) cell.numbers[k] = told_on_card[k]->of(*answer);
        }
    if (!answered) out.reason = out.cells.front().reason;
    if (forecast != nullptr) out.plan = plan(system, *forecast);
    return out;
}

}  // namespace offnominal
