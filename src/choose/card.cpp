#include "offnominal/card.hpp"

#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "offnominal/look_up.hpp"
#include "offnominal/proof/change.hpp"

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

/// Refuses a forecast of another test than the card's, whose chances would stand on it as the card's own. What only one
/// of them says tells nothing.
void check_forecast(const Site& site, const Conditions& asked, const Visit& forecast) {
    const auto check = [&](const std::string& what, const std::string& of_card, const std::string& of_visit) {
        if (!of_card.empty() && !of_visit.empty() && of_card != of_visit)
            throw InputError({}, "forecast: " + what + " of '" + forecast.name + "'", of_visit,
                             of_card + ", as the card says");
    };
    const auto word = [](auto choice) { return std::string(name(choice)); };
    check("mode", word(asked.mode), word(forecast.mode()));
    check("stage", asked.stage, forecast.stage);
    if (asked.boundary != Boundary::not_given && forecast.boundary != Boundary::not_given)
        check("boundary", word(asked.boundary), word(forecast.boundary));
    if (asked.speed.given() && forecast.speed && std::abs(forecast.speed->si - asked.speed.si) > 0.01 * asked.speed.si)
        check("speed", brief(asked.speed.si), brief(forecast.speed->si));
    Visit card;
    card.match = asked.match;
    card.line_set = asked.line_set;
    card.site = site;
    if (const auto unlike = unlike_installations(card, forecast)) check(unlike->what, unlike->first, unlike->second);
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

    if (forecast != nullptr) check_forecast(site, asked, *forecast);
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
