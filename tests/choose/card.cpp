// The target card: worked example 1 on it, and every cell asked of `expect` one by one, with its own members.
#include "offnominal/card.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "../support/example_7.hpp"
#include "../support/near.hpp"
#include "../support/unit_a.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

std::vector<Temperature> degF(std::initializer_list<double> values) {
    std::vector<Temperature> out;
    for (const double x : values) out.push_back(from(x, units::degF));
    return out;
}

/// A table each of what a cell should hold, in the order of `told_on_card`.
std::array<double, 5> members_of(const Expected& e) {
    const auto of = [](const auto& quantity) { return quantity ? quantity->si : std::nan(""); };
    return {e.total_capacity.si, of(e.sensible_capacity), e.leaving ? e.leaving->split.si : std::nan(""),
            e.leaving ? e.leaving->wet_bulb.si : std::nan(""), of(e.power)};
}

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

}  // namespace

TEST_CASE("card: worked example 1 is one of its cells") {
    // 34.3 x 0.95 and so on by hand: tests/expect/worked_examples.cpp has where each figure stands in the example.
    const TargetCard card =
        target_card(unit_a::system(), Site::sea_level(), unit_a::example_1(), degF({85, 91}), degF({63, 65, 67}));
    REQUIRE(card.cells.size() == 6);
    const TargetCard::Cell& cell = card.at(1, 1);
    CHECK(near(cell.numbers[0], unit_a::MBh(32.52), relative(0.0015)));
    CHECK(near(cell.numbers[1], unit_a::MBh(22.95), relative(0.0015)));
    CHECK(near(cell.numbers[2], 18.97 * 1.0017 / 1.8, relative(0.0015)));
    CHECK(near(cell.numbers[3], unit_a::degF(55.29), relative(0.0015)));
    CHECK(near(cell.numbers[4], 2384.0, relative(1e-12)));
    CHECK(cell.footing == Footing::inside);
    CHECK_FALSE(card.plan);
}

TEST_CASE("card: every cell is what expect says there, by brute force over the grid") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const Site site = Site::at_elevation(4690_ft);
    Conditions asked = unit_a::example_1();
    asked.stage = "high";
    asked.match = "indoor B";
    asked.line_set = LineSet::reference();
    asked.outside = Outside::hold;
    const auto outdoor = degF({74.5, 88, 95, 113, 140}), wet_bulbs = degF({55, 58.7, 59, 61.3, 63, 66, 70.9, 75});
    const TargetCard card = target_card(system, site, asked, outdoor, wet_bulbs);
    REQUIRE(card.cells.size() == outdoor.size() * wet_bulbs.size());
    std::size_t answered = 0, leaning = 0;
    Notes notes;
    for (std::size_t i = 0; i < outdoor.size(); ++i)
        for (std::size_t j = 0; j < wet_bulbs.size(); ++j) {
            asked.outdoor_dry_bulb = outdoor[i];
            asked.entering_humidity = air::wet_bulb(wet_bulbs[j]);
            const auto alone = try_expect(system, site, asked);
            const TargetCard::Cell& cell = card.at(i, j);
            CHECK(cell.reason == alone.reason());
            for (const double number : cell.numbers) CHECK(std::isnan(number) <= !alone);
            if (!alone) continue;
            ++answered;
            leaning += cell.footing != Footing::inside;
            const auto numbers = members_of(*alone);
            for (std::size_t k = 0; k < numbers.size(); ++k)
                CHECK_MESSAGE(same(cell.numbers[k], numbers[k]), told_on_card[k]->name);
            CHECK(cell.footing == alone->footing);
            CHECK(cell.notes == alone->notes);
            notes.add(alone->notes);
        }
    CHECK(card.notes == notes);
    CHECK(card.reason.none());
    CHECK(0 < leaning);
    CHECK(leaning < answered);
    CHECK(answered < card.cells.size());
}

TEST_CASE("card: what the page prints is its default, of a match with pages of its own theirs") {
    PrintedPage own = unit_a::page();
    own.outdoor_dry_bulb = {unit_a::degF(80), unit_a::degF(100)};
    Match match;
    match.name = "own";
    match.stages.push_back({"full", RatingTable(unit_a::basis(), own)});
    Match reference;
    reference.name = "reference";
    reference.reference = true;
    const System system = unit_a::system(unit_a::basis(), unit_a::page(), {reference, match});
    Conditions asked = unit_a::example_1();
    for (const auto& [name, lower, upper] : {std::tuple{"reference", 85, 95}, {"own", 80, 100}}) {
        asked.match = name;
        const TargetCard card = target_card(system, Site::sea_level(), asked);
        REQUIRE(card.outdoor_dry_bulb.size() == 2);
        CHECK(card.outdoor_dry_bulb[0].si == unit_a::degF(lower));
        CHECK(card.outdoor_dry_bulb[1].si == unit_a::degF(upper));
        REQUIRE(card.entering_wet_bulb.size() == 2);
        CHECK(card.entering_wet_bulb[0].si == unit_a::degF(63));
        CHECK(card.reason.none());
    }
}

TEST_CASE("card: a forecast brings its plan, which says what to bring") {
    const System system = unit_a::exact_page();
    Visit forecast = unit_a::example_7();
    forecast.readings.supply_dry_bulb.si = Readings::not_given;
    forecast.readings.supply_humidity.value = Readings::not_given;
    const TargetCard card = target_card(system, Site::sea_level(), unit_a::example_1(), {}, {}, &forecast);
    const Plan alone = plan(system, forecast);
    REQUIRE(card.plan);
    REQUIRE(card.plan->chances.size() == 3);
    for (std::size_t k = 0; k < 3; ++k) CHECK(card.plan->chances[k].meets == alone.chances[k].meets);
    CHECK(card.plan->remedies.size() == alone.remedies.size());
    CHECK(card.plan->remedies.size() > 3);
    Visit elsewhere = forecast;
    elsewhere.site = Site::at_elevation(4690_ft);
    CHECK_THROWS_WITH_AS((void)target_card(system, Site::sea_level(), unit_a::example_1(), {}, {}, &elsewhere),
                         doctest::Contains("forecast: elevation of '"), InputError);
    Visit slower = forecast;
    slower.stage = "low";
    CHECK_THROWS_WITH_AS((void)target_card(system, Site::sea_level(), unit_a::example_1(), {}, {}, &slower),
                         doctest::Contains("'low'; accepted: full, as the card says"), InputError);
}

TEST_CASE("card: what is refused, by name, and a question that is none has its reason") {
    const System system = unit_a::system();
    const auto problem = [&](const Conditions& asked, const std::vector<Temperature>& outdoor,
                             const std::vector<Temperature>& wet_bulb) -> std::string {
        try {
            (void)target_card(system, Site::sea_level(), asked, outdoor, wet_bulb);
        } catch (const InputError& error) {
            return error.what();
        }
        return "nothing";
    };
    Conditions asked = unit_a::example_1();
    CHECK(problem(asked, degF({NAN}), {}) == "outdoor_dry_bulb: 'nan'; accepted: one number or more, all finite");
    CHECK(problem(asked, std::vector(21, Temperature{30.0}), std::vector(21, Temperature{18.0})) ==
          "target card: 21 by 21 cells; accepted: 400 in all");
    CHECK(problem(asked, std::vector(20, Temperature{30.0}), std::vector(20, Temperature{18.0})) == "nothing");
    asked.mode = Mode::heating;
    CHECK(problem(asked, {}, {}) == "target card: mode: 'heating'; accepted: cooling");
    asked.mode = Mode::cooling;
    asked.stage = "none such";
    const TargetCard none = target_card(system, Site::sea_level(), asked);
    CHECK(none.reason.why == Why::unknown_stage);
    CHECK(none.cells.size() == 4);

    PrintedPage humid = unit_a::page();  // pairs of relative humidity: no wet bulb to go by
    humid.relative_humidity = {0.4, 0.6};
    humid.entering_wet_bulb.clear();
    humid.entering_dry_bulb = {unit_a::degF(76), unit_a::degF(80)};
    humid.nodes.clear();
    for (const PrintedNode& node : unit_a::page().nodes) humid.nodes.insert(humid.nodes.end(), 2, node);
    Basis own_dry_bulbs = unit_a::basis();
    own_dry_bulbs.sensible_at.reset();
    const System by_humidity = unit_a::system(own_dry_bulbs, humid);
    CHECK_THROWS_WITH_AS((void)target_card(by_humidity, Site::sea_level(), unit_a::example_1()),
                         "entering_wet_bulb is not given, and the page has no such axis; accepted: a list of numbers",
                         InputError);
}
