// What a machine should deliver in heating: the page at its nodes, the kinds kept apart, what closes with what.
#include <doctest/doctest.h>

#include "../support/heating_page.hpp"
#include "../support/near.hpp"
#include "../support/unit_a.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/report.hpp"

namespace heating_page {

namespace {
/// `question()` with one change.
template <class Change>
Conditions with(Change change) {
    Conditions c = question();
    change(c);
    return c;
}
template <class Change>
Reason refused(Change change, const System& s = heating_page::system(), const Site& site = Site::sea_level()) {
    return try_expect(s, site, with(change)).reason();
}
template <class Change>
std::string refusal(Change change, const System& s = heating_page::system()) {
    try {
        (void)expect(s, Site::sea_level(), with(change));
    } catch (const Refused& error) {
        return error.what();
    }
    return "an answer";
}

/// Instantaneous at full, integrated (a tenth less) at full, of unknown kind at low; with the alternatives of a system.
SystemParts parts() {
    SystemParts p;
    p.name = "kinds";
    p.heating.push_back({"full", Frost::integrated, HeatingTable(basis(), page(0.9))});
    p.heating.push_back({"full", Frost::instantaneous, HeatingTable(basis(), page())});
    p.heating.push_back({"low", Frost::unknown, HeatingTable(basis(), page(0.7))});
    return p;
}
DefrostTable defrost() {
    return DefrostTable(
        {{{},
          {-8.0, 0.0, 7.0},
          {0.6, 0.9},
          {{1, 1, 0}, {0.96, 0.99, 0.03}, {0.96, 0.985, 0.03}, {0.88, 0.96, 0.09}, {1, 1, 0}, {1, 1, 0}}}});
}
}  // namespace

TEST_CASE("heating: at a node, at the coil, the answer is the printed number") {
    const HeatingPage printed = page();
    const System s = heating_page::system();
    std::size_t n = 0;
    for (const double odb : {17.0, 35.0, 47.0})
        for (const double flow : {1000.0, 1200.0})
            for (const double edb : {60.0, 70.0, 80.0}) {
                const auto e = expect(s, Site::sea_level(), with([&](Conditions& c) {
                                          c.boundary = Boundary::coil;
                                          c.outdoor_dry_bulb.si = degF(odb);
                                          c.entering_dry_bulb.si = degF(edb);
                                          c.airflow = AirflowReading::standard(Airflow{scfm(flow)});
                                      }));
                CHECK(e.total_capacity.si == printed.nodes[n].capacity);
                CHECK(e.gross_total == e.total_capacity);
                CHECK(e.power->si == printed.nodes[n].power);
                CHECK(*e.cop == printed.nodes[n].capacity / printed.nodes[n].power);
                ++n;
            }
}

TEST_CASE("heating: the fan's heat is gained, net pages lose theirs at the nodes, and both close") {
    const Power fan = 420_W;
    HeatingBasis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.per_airflow = from(365, units::W_1000scfm);
    HeatingPage net_page = page();
    for (std::size_t n = 0; n < net_page.nodes.size(); ++n)
        net_page.nodes[n].capacity += net.fan.heat(net_page.airflow[n / 3 % 2]);
    const auto gross = expect(heating_page::system(), Site::sea_level(), question());
    const auto from_net = expect(heating_page::system(net, net_page), Site::sea_level(), question());
    CHECK(gross.total_capacity.si == gross.gross_total.si + fan.si);
    CHECK(near(from_net.total_capacity.si, gross.total_capacity.si, relative(1e-13)));
    CHECK(gross.system_power->si == gross.power->si + fan.si);
    CHECK(*gross.cop == gross.total_capacity / *gross.system_power);

    const auto& steps = gross.ledger;
    REQUIRE(steps.size() == 3);
    CHECK(steps[0].after == gross.gross_total.si);
    CHECK(steps[1].after == gross.power->si);
    CHECK(steps[2].kind == Step::Kind::fan_heat);
    CHECK(steps[2].after == gross.total_capacity.si);
}

TEST_CASE("heating: leaving air closes with capacity, with expect's other side, and knows nothing of auxiliary heat") {
    for (const double elevation : {0.0, 5000.0}) {
        const Site site = Site::at_elevation(from(elevation, units::ft));
        const auto e = expect(heating_page::system(), site, question());
        REQUIRE(e.leaving);
        const double w = e.leaving->humidity_ratio.si;
        CHECK(near(e.mass_flow.si * (1006.0 + 1860.0 * w) * (-e.leaving->split.si), e.total_capacity.si,
                   relative(1e-12)));
        CHECK(near(e.leaving->dry_bulb.si - question().entering_dry_bulb.si, (-e.leaving->split.si), relative(1e-12)));
        const auto warm = expect(heating_page::system(), site, with([](auto& c) { c.auxiliary_heat = 5_kW; }));
        CHECK(warm.total_capacity == e.total_capacity);
        CHECK(warm.leaving->dry_bulb == e.leaving->dry_bulb);
        CHECK(warm.auxiliary_heat == 5_kW);
    }
    // Actual airflow in the supply, or at a draw-through fan: the same machine by the air that leaves.
    SystemParts p = parts();
    p.matches.push_back({.name = "A",
                         .reference = true,
                         .factors = {},
                         .bypass = {},
                         .airflow = {},
                         .fan = FanPosition::draw_through,
                         .stages = {}});
    const System s(p);
    const auto e = expect(s, Site::sea_level(), with([](auto& c) { c.match = "A"; }));
    const air::State leaving{e.leaving->dry_bulb, e.leaving->humidity_ratio, air::pressure_at(0_ft)};
    const auto at = [&](air::Place place, const air::State& there) {
        const Airflow flow{e.mass_flow.si * air::volume(there).si};
        return expect(s, Site::sea_level(), with([&](auto& c) {
                          c.match = "A";
                          c.airflow = AirflowReading::actual(flow, place);
                      }));
    };
    CHECK(near(at(air::Place::supply_air, leaving).total_capacity.si, e.total_capacity.si, relative(1e-12)));
    const air::State before_fan = detail::warmed(leaving, -420.0, e.mass_flow.si);
    CHECK(near(at(air::Place::fan, before_fan).mass_flow.si, e.mass_flow.si, relative(1e-12)));
    CHECK(refused([](auto& c) { c.airflow = AirflowReading::actual(1100_cfm, air::Place::fan); }).about ==
          About::fan_position);
}

TEST_CASE("heating: a blow-through fan warms the coil's air, along the page's axis or by a stated slope") {
    const auto at = [](const HeatingBasis& b, const HeatingPage& page, FanPosition fan) {
        SystemParts p;
        p.name = "invented";
        p.heating.push_back({"full", Frost::instantaneous, HeatingTable(b, page)});
        p.matches.push_back({"A", true, {}, {}, {}, fan, {}});
        return System(std::move(p));
    };
    const auto ask = [&](const System& s, auto change) {
        return try_expect(s, Site::sea_level(), with([&](auto& c) {
                              c.match = "A";
                              change(c);
                          }));
    };
    const auto unchanged = [](Conditions&) {};
    const System behind = at(basis(), page(), FanPosition::draw_through),
                 before = at(basis(), page(), FanPosition::blow_through);
    const auto drawn = ask(behind, unchanged), blown = ask(before, unchanged);
    REQUIRE(drawn);
    REQUIRE(blown);
    const double warmer =
        blown->coil_dry_bulb.si - question().entering_dry_bulb.si;  // 420 W in 1,100 scfm, from memory
    CHECK(near(warmer * 1.8, 1.2, relative(0.02)));
    CHECK(drawn->coil_dry_bulb == question().entering_dry_bulb);
    // What enters the coil is what the page is asked for; the fan's heat then counts as before.
    const auto by_hand = ask(behind, [&](auto& c) { c.entering_dry_bulb.si += warmer; });
    CHECK(near(blown->gross_total.si, by_hand->gross_total.si, relative(1e-12)));
    CHECK(near(blown->power->si, by_hand->power->si, relative(1e-12)));
    CHECK(near(blown->total_capacity.si, blown->gross_total.si + 420.0, relative(1e-12)));
    CHECK(blown->gross_total.si < drawn->gross_total.si);
    CHECK_FALSE(blown->notes.has(Note::preheat_assumed));
    CHECK(ask(before, [](auto& c) { c.boundary = Boundary::coil; })->gross_total ==
          ask(behind, unchanged)->gross_total);

    // A page printed at 70 degF alone answers there, by the slope; at another entering dry bulb it refuses as before.
    HeatingPage one = page();
    one.entering_dry_bulb = {degF(70)};
    one.nodes.clear();
    for (std::size_t n = 1; n < page().nodes.size(); n += 3) one.nodes.push_back(page().nodes[n]);
    const System single = at(basis(), one, FanPosition::blow_through);
    const auto room = [](auto& c) { c.entering_dry_bulb = 70_degF; };
    const auto e = ask(single, room), printed = ask(at(basis(), one, FanPosition::draw_through), room);
    REQUIRE(e);
    CHECK(near(e->gross_total.si, printed->gross_total.si * (1.0 - 0.003 * 1.8 * warmer), relative(1e-4)));
    CHECK(near(e->power->si, printed->power->si * (1.0 + 0.0085 * 1.8 * warmer), relative(1e-4)));
    CHECK(e->notes.has(Note::preheat_assumed));
    CHECK(near(e->uncertainty.inferred, 0.001 * 1.8 * warmer * e->gross_total.si, relative(0.01)));
    CHECK(near(e->gross_total.si, ask(before, room)->gross_total.si, relative(0.001)));  // as its axis has it
    double last = 0.0;
    for (const Step& step : e->ledger)
        if (step.of == Step::Of::total) {
            if (last != 0.0) CHECK(near(step.before, last, relative(1e-12)));
            last = step.after;
        }
    CHECK(near(last, e->total_capacity.si, relative(1e-12)));
    CHECK(ask(single, [](auto& c) { c.entering_dry_bulb = 66_degF; }).reason().about == About::entering_dry_bulb);
    // At the top of an axis likewise.
    const auto top = ask(before, [](auto& c) { c.entering_dry_bulb = 80_degF; });
    REQUIRE(top);
    CHECK(top->notes.has(Note::preheat_assumed));

    // A net page of a blow-through unit stands before its own fan: only the difference of the two fans counts.
    HeatingBasis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.power = 420_W;
    const auto own = ask(at(net, page(), FanPosition::blow_through), unchanged);
    const auto as_printed = ask(at(net, page(), FanPosition::draw_through), unchanged);
    CHECK(near(own->total_capacity.si, as_printed->total_capacity.si, relative(1e-9)));
    CHECK(near(own->coil_dry_bulb.si, question().entering_dry_bulb.si, relative(1e-9)));
}

// Worked example 5 of the project's trade notes: 20.5 degC, 30 %, 560 L/s at return, 5,000 ft, 35.9 degC leaving: 8.689
// kW delivered. A machine of which that capacity is expected warms the air as much: its page, printed for sea level,
// holds what thin air takes (derates/altitude.hpp).
TEST_CASE("heating: example 5, expected by the equation that delivered") {
    const auto in_state = air::state(20.5_degC, air::relative_humidity(0.30), air::pressure_at(5000_ft));
    const double m =
        air::si::dry_mass_from_actual(0.560, in_state.dry_bulb.si, in_state.humidity_ratio.si, in_state.pressure.si);
    CHECK(near(detail::warmed(in_state, 8689.0, m).dry_bulb.si, 35.9, relative(0.0003)));

    HeatingPage one = page();
    const double thin = 1.0 - air::pressure_at(5000_ft).si / 101325.0, at_sea = 8689.0 / (1.0 - 0.13 * thin);
    for (HeatingNode& node : one.nodes) node = {at_sea, 2500.0, Mark::printed};
    one.airflow = {0.4, 0.6};
    Conditions c = question();
    c.entering_dry_bulb = 20.5_degC;
    c.entering_humidity = air::relative_humidity(0.30);
    c.airflow = AirflowReading::actual(560_L_s, air::Place::return_air);
    c.boundary = Boundary::coil;
    const auto e = expect(heating_page::system(basis(), one), Site::at_elevation(5000_ft), c);
    CHECK(near(e.mass_flow.si, 0.5553, relative(0.0002)));
    CHECK(near(e.leaving->dry_bulb.si, 35.9, relative(0.0003)));
    CHECK(e.notes.has(Note::altitude_assumed));
    CHECK(near(e.total_capacity.si, 8689.0, relative(1e-12)));
    CHECK(near(e.power->si, 2500.0 * (1.0 - 0.07 * thin), relative(1e-12)));
    CHECK(near(e.uncertainty.altitude, 0.06 * thin * 8689, relative(1e-12)));
}

TEST_CASE("heating: instantaneous and integrated are kept apart") {
    const System s(parts());
    const auto ask = [&](Frost frost, std::string_view stage = "full") {
        return expect(s, Site::sea_level(), with([&](auto& c) {
                          c.frost = frost;
                          c.stage = stage;
                      }));
    };
    // both rounded to 0.1 MBh
    CHECK(near(ask(Frost::integrated).gross_total / ask(Frost::instantaneous).gross_total, 0.9, relative(0.005)));
    CHECK(ask(Frost::integrated).notes.has(Note::frost_in_page));
    CHECK_FALSE(ask(Frost::instantaneous).notes.has(Note::frost_in_page));
    for (const Frost frost : {Frost::instantaneous, Frost::integrated}) {
        CHECK(ask(frost, "low").frost == Frost::unknown);
        CHECK(ask(frost, "low").notes.has(Note::frost_unknown));
        CHECK_FALSE(ask(frost, "low").notes.has(Note::frost_in_page));
        CHECK(ask(frost).frost == frost);
    }
    CHECK(
        refusal([](auto& c) { c.frost = Frost::integrated; }) ==
        "the page does not print integrated heating for stage 'full', and one kind is never turned into the other; it "
        "prints instantaneous");
    CHECK(refused([](auto& c) { c.frost = Frost::unknown; }).about == About::frost);

    SystemParts twins = parts();
    twins.heating.push_back(twins.heating.front());
    CHECK_THROWS_AS(System{twins}, InputError);
}

TEST_CASE("heating: a defrost table makes integrated of instantaneous, as a step of its own") {
    SystemParts p = parts();
    p.heating.erase(p.heating.begin());
    p.defrost = defrost();
    const System s(p);
    const auto ask = [&](double odb, double rh, Frost frost = Frost::integrated) {
        return try_expect(s, Site::sea_level(), with([&](auto& c) {
                              c.outdoor_dry_bulb.si = odb;
                              c.outdoor_relative_humidity = rh;
                              c.frost = frost;
                              c.boundary = Boundary::coil;
                          }));
    };
    const auto steady = ask(0, 0.9, Frost::instantaneous), e = ask(0, 0.9);
    REQUIRE(e);
    CHECK(e->total_capacity.si == steady->total_capacity.si * 0.88);
    CHECK(e->power->si == steady->power->si * 0.96);
    CHECK(e->defrost_time_fraction == 0.09);
    CHECK(e->defrost_table);
    CHECK(e->frost == Frost::integrated);
    CHECK(e->notes.has(Note::frost_in_page));
    CHECK(e->ledger[2].kind == Step::Kind::frost);
    CHECK(e->ledger[2].before == steady->total_capacity.si);
    CHECK(e->ledger[2].after == e->total_capacity.si);
    CHECK(steady->ledger.size() == 2);
    CHECK(ask(7, 0.8)->total_capacity == ask(7, 0.8, Frost::instantaneous)->total_capacity);  // factor 1
    CHECK(ask(0, NAN).reason().about == About::outdoor_relative_humidity);
    CHECK(explain(ask(0, 90).reason()) == "outdoor relative humidity 90 is above 1: it is a fraction (0.55, not 55)");
    CHECK(ask(8, 0.8).reason().why == Why::outside);
    // Neither a page that is printed integrated nor one of unknown kind is corrected again.
    SystemParts both = parts();
    both.defrost = defrost();
    const auto printed = expect(System(both), Site::sea_level(), with([](auto& c) {
                                    c.frost = Frost::integrated;
                                    c.outdoor_relative_humidity = 0.9;
                                }));
    CHECK_FALSE(printed.defrost_table);
    CHECK(printed.ledger.size() == 3);
    CHECK_FALSE(expect(s, Site::sea_level(), with([](auto& c) {
                           c.frost = Frost::integrated;
                           c.stage = "low";
                       }))
                    .defrost_table);
    both.defrost = DefrostTable({{"turbo", {0.0}, {0.9}, {{}}}});
    CHECK_THROWS_AS(System{both}, InputError);
}

TEST_CASE("heating: a line-set table printed for heating is read as cooling's is, and refused where it cannot be") {
    SystemParts p = parts();
    p.refrigerant = "R-410A";
    p.cooling.push_back({"full", RatingTable(unit_a::basis(), unit_a::page())});
    const LineTable::Limits limits{-50_ft, 50_ft};
    p.line_set = LineTable({{25_ft, 0.875_in, 1.0, 1.0}, {80_ft, 0.875_in, 0.978, 1.004}}, limits);
    const System cooling_alone(p);
    p.heating_line_set = LineTable({{25_ft, 0.875_in, 1.0, 1.0},
                                    {80_ft, 0.875_in, 0.990, 0.996},
                                    {25_ft, 0.75_in, 1.0, 1.0},
                                    {80_ft, 0.75_in, 1.0, 1.0, Mark::blank}},
                                   limits);
    const System s(p);
    const auto by = [](const LineSet& line) { return [line](auto& c) { c.line_set = line; }; };
    const LineSet long_line = LineSet::of(52.5_ft, 0.875_in, 0_ft);
    const Expected rated = expect(s, Site::sea_level(), with(by(LineSet::reference()))),
                   e = expect(s, Site::sea_level(), with(by(long_line)));
    CHECK(near(e.gross_total.si, 0.995 * rated.gross_total.si, relative(1e-12)));
    CHECK(near(e.power->si, 0.998 * rated.power->si, relative(1e-12)));
    CHECK_FALSE(e.notes.has(Note::no_heating_factors));
    std::vector<std::pair<std::string, double>> steps;
    for (const Step& step : e.ledger)
        if (step.kind == Step::Kind::line_set) steps.emplace_back(name(step.of), step.factor);
    REQUIRE(steps.size() == 2);
    CHECK(steps[0].first == "total");
    CHECK(near(steps[0].second, 0.995, relative(1e-12)));
    CHECK(near(steps[1].second, 0.998, relative(1e-12)));
    CHECK(near(e.ledger[e.ledger.size() - 1].before, e.gross_total.si, relative(1e-12)));
    // Where none is printed for heating, cooling's are not taken for it.
    const Expected none = expect(cooling_alone, Site::sea_level(), with(by(long_line)));
    CHECK(none.gross_total == rated.gross_total);
    CHECK(none.notes.has(Note::no_heating_factors));
    // What the table does not hold.
    CHECK(refused([](auto&) {}, s).about == About::line_set);
    CHECK(refused(by(LineSet::of(80_ft, 0.75_in, 0_ft)), s).why == Why::blank);
    CHECK(refused(by(LineSet::of(60_ft, 0.875_in, 55_ft)), s).about == About::lift);
    CHECK(refusal(by(LineSet::of(50_ft, 0.625_in, 0_ft)), s) ==
          "suction size 0.625 in (15.875 mm) is not in the line-set table, which has 0.75 in (19.05 mm), 0.875 in "
          "(22.225 "
          "mm); `beyond: model` beside the length asks for a model's answer");
    CHECK(refused(by(LineSet::of(110_ft, 0.875_in, 0_ft)), s).about == About::line_length);
    // Past it a model goes on from its nearest row; a lift left out costs what it costs in cooling.
    const Expected past = expect(s, Site::sea_level(), with(by(LineSet::of(110_ft, 0.875_in, 0_ft).modelled())));
    CHECK(past.gross_total.si < 0.990 * rated.gross_total.si);
    CHECK(past.gross_total.si > 0.980 * rated.gross_total.si);
    CHECK(near(past.power->si, 0.996 * rated.power->si, relative(1e-12)));
    CHECK(near(expect(s, Site::sea_level(), with(by(LineSet::of(60_ft, 0.875_in)))).uncertainty.line,
               0.01 * 0.9936363636 * rated.gross_total.si, relative(1e-6)));
    // One line has one pair of limits, and its own rating is 1 in both modes.
    p.heating_line_set = LineTable(p.heating_line_set.rows(), {-40_ft, 50_ft});
    CHECK_THROWS_WITH_AS(System{p},
                         "line-set tables of cooling and heating with unlike limits of lift; accepted: one pair of "
                         "limits: the line is the same",
                         InputError);
    p.heating_line_set = LineTable({{25_ft, 0.875_in, 0.99, 1.0}}, limits);
    p.reference_line = LineSet::of(25_ft, 0.875_in);
    CHECK_THROWS_AS(System{p}, InputError);
}

TEST_CASE("heating: factors printed for cooling are not applied, and their absence is said and costs certainty") {
    SystemParts p = parts();
    p.cooling.push_back({"full", RatingTable(unit_a::basis(), unit_a::page())});
    p.matches.resize(2);
    p.matches[0].name = "A";
    p.matches[0].reference = true;
    p.matches[1].name = "B";
    p.matches[1].factors = {0.94, 1.0};
    p.matches[1].airflow = {{900_cfm, 1150_cfm}};
    const System s(p);
    const auto ask = [&](std::string_view match) {
        return expect(s, Site::sea_level(), with([&](auto& c) { c.match = match; }));
    };
    CHECK(ask("A").total_capacity == ask("B").total_capacity);
    CHECK_FALSE(ask("A").notes.has(Note::no_heating_factors));
    CHECK(ask("B").notes.has(Note::no_heating_factors));
    CHECK(ask("A").uncertainty.match == 0.0);
    CHECK(near(ask("B").uncertainty.match, std::sqrt(0.02 * 0.02 + 0.06 * 0.06 / 3) * ask("B").gross_total.si,
               relative(1e-12)));
    CHECK(refused(
              [](auto& c) {
                  c.match = "B";
                  c.airflow = AirflowReading::standard(1160_cfm);
              },
              s)
              .about == About::standard_airflow);
    CHECK(refusal([](auto& c) { c.match = "C"; }, s) == "the system lists no such match: 'C'; it lists A, B");
    CHECK(refused([](auto&) {}, s).about == About::match);
    const auto pages = envelope(s);
    CHECK(pages.size() == 4);
    CHECK(pages[1].heating);
    CHECK(pages[1].frost == Frost::integrated);
    CHECK(pages[1].axes[2].breakpoints.size() == 3);
    CHECK(s.heating_stage_names() == std::vector<std::string>{"full", "low"});
    // A system with heating pages alone is one; asked for cooling it has no stage.
    CHECK(try_expect(heating_page::system(), Site::sea_level(), unit_a::example_1()).reason().why ==
          Why::unknown_stage);
    CHECK(refusal([](auto&) {}, unit_a::system()) == "the system has no heating page");
}

TEST_CASE("heating: what is not given is refused, each by name") {
    const auto lacks = [](auto change, About about) {
        const Reason reason = refused(change);
        CHECK(reason.why == Why::not_given);
        CHECK(reason.about == about);
    };
    lacks([](auto& c) { c.stage = ""; }, About::stage);
    lacks([](auto& c) { c.outdoor_dry_bulb.si = NAN; }, About::outdoor_dry_bulb);
    lacks([](auto& c) { c.entering_dry_bulb.si = NAN; }, About::entering_dry_bulb);
    lacks([](auto& c) { c.airflow = {}; }, About::airflow);
    lacks([](auto& c) { c.boundary = Boundary::not_given; }, About::boundary);
    lacks([](auto& c) { c.fan_power.si = NAN; }, About::fan_power);
    lacks([](auto& c) { c.auxiliary_heat.si = NAN; }, About::auxiliary_heat);
    CHECK(refused([](auto&) {}, heating_page::system(), Site::not_given()).about == About::elevation);
    CHECK(refused([](auto& c) { c.auxiliary_heat.si = -1000; }).why == Why::outside);
    CHECK(refused([](auto& c) { c.fan_power.si = HUGE_VAL; }).why == Why::outside);
    CHECK(refusal([](auto& c) { c.stage = "turbo"; }) ==
          "the system has no such stage: 'turbo'; in heating it has full");
    CHECK(refusal([](auto& c) { c.outdoor_dry_bulb = 60_degF; }).find("outdoor dry bulb 60 degF") == 0);
    CHECK(refusal([](auto& c) { c.auxiliary_heat.si = NAN; }) ==
          "auxiliary heat is not given, and there is no default: 0 W says that it is off");
    HeatingPage blank = page();
    blank.nodes[0] = {0, 0, Mark::blank};
    CHECK(refusal(
              [](auto& c) {
                  c.outdoor_dry_bulb = 18_degF;
                  c.entering_dry_bulb = 61_degF;
              },
              heating_page::system(basis(), blank))
              .find("(outdoor dry bulb 17 degF (-8.33333 degC), standard airflow 1000 scfm") != std::string::npos);

    // Humidity is needed where it matters, and only there.
    const auto dry = [](auto& c) { c.entering_humidity.value = NAN; };
    const auto e = expect(heating_page::system(), Site::sea_level(), with(dry));
    CHECK(e.total_capacity == expect(heating_page::system(), Site::sea_level(), question()).total_capacity);
    CHECK_FALSE(e.leaving);
    CHECK(e.no_leaving.about == About::entering_relative_humidity);
    CHECK(std::isnan(detail::leaving_of<&LeavingAir::split>(e)));  // so there is no rise in a batch either
    lacks(
        [&](auto& c) {
            dry(c);
            c.airflow = AirflowReading::actual(1100_cfm, air::Place::return_air);
        },
        About::entering_relative_humidity);
    HeatingBasis moist = basis();
    moist.standard_pound = Pound::moist;
    CHECK(refused(dry, heating_page::system(moist)).about == About::entering_relative_humidity);
    const auto by_moist = expect(heating_page::system(moist), Site::sea_level(), question());
    CHECK(near(by_moist.standard_airflow.si, e.standard_airflow.si * (1 + by_moist.leaving->humidity_ratio.si),
               relative(1e-12)));
}

TEST_CASE("heating: a fan that may stand in blow-through is noted, and costs what its warmth would change") {
    const auto with_fan = [](FanPosition fan) {
        SystemParts p = parts();
        p.matches = {{"A", true, {}, {}, {}, fan, {}}};
        return System(p);
    };
    const auto ask = [&](FanPosition fan, Boundary boundary = Boundary::coil_and_fan) {
        return expect(with_fan(fan), Site::sea_level(), with([&](auto& c) {
                          c.match = "A";
                          c.boundary = boundary;
                      }));
    };
    const Expected known = ask(FanPosition::draw_through), unknown = ask(FanPosition::unknown);
    CHECK_FALSE(known.notes.has(Note::fan_position_unknown));
    CHECK(unknown.notes.has(Note::fan_position_unknown));
    CHECK(unknown.total_capacity == known.total_capacity);
    // 420 W in 1100 scfm warm the coil's air by 1.20 delta_degF at this humidity, 0.3 % of capacity for each: either
    // place as likely.
    CHECK(near(unknown.uncertainty.inferred / unknown.gross_total.si, 0.003 * 1.20 / std::sqrt(2.0), relative(0.01)));
    CHECK(known.uncertainty.inferred == 0.0);
    CHECK_FALSE(ask(FanPosition::unknown, Boundary::coil).notes.has(Note::fan_position_unknown));
    CHECK(ask(FanPosition::unknown, Boundary::coil).uncertainty.inferred == 0.0);
}

TEST_CASE("heating: what the page does not say has its consequence, what it says has none") {
    const auto notes = [](const HeatingBasis& b, const HeatingPage& p = page()) {
        return expect(heating_page::system(b, p), Site::sea_level(), question()).notes;
    };
    Notes two_airflows;
    two_airflows.add(Note::interpolation_unknown);
    two_airflows.add(Note::fan_position_unknown);
    CHECK(notes(basis()) == two_airflows);
    const Notes all = notes(HeatingBasis{});
    for (const Note note :
         {Note::capacity_basis_unknown, Note::airflow_basis_unknown, Note::pound_unknown, Note::power_basis_unknown,
          Note::elevation_unknown, Note::tolerance_unknown, Note::outdoor_humidity_unknown})
        CHECK(all.has(note));
    HeatingPage multiplied = page();
    multiplied.airflow_multiplied = multiplied.dry_bulb_multiplied = true;
    CHECK(notes(basis(), multiplied).has(Note::airflow_multiplier));
    CHECK(notes(basis(), multiplied).has(Note::dry_bulb_multiplier));

    const auto cop = [](PowerBasis power, Boundary boundary) {
        HeatingBasis b = basis();
        b.power = power;
        return expect(heating_page::system(b), Site::sea_level(), with([&](auto& c) { c.boundary = boundary; }));
    };
    CHECK(cop(PowerBasis::system, Boundary::coil_and_fan).cop);
    CHECK_FALSE(cop(PowerBasis::system, Boundary::coil_and_fan).system_power);
    CHECK(cop(PowerBasis::system, Boundary::coil).no_cop.why == Why::unlike_basis);
    CHECK(cop(PowerBasis::compressor, Boundary::coil).no_cop.why == Why::unlike_basis);
    CHECK_FALSE(cop(PowerBasis::unknown, Boundary::coil).cop);
    HeatingPage no_power = page();
    no_power.has_power = false;
    const auto bare = expect(heating_page::system(basis(), no_power), Site::sea_level(), question());
    CHECK_FALSE(bare.power);
    CHECK(bare.no_cop.why == Why::no_output);
}

TEST_CASE("heating: past the edge costs certainty, words tell the whole answer") {
    const auto at = [](double odb, Outside outside) {
        return expect(heating_page::system(), Site::sea_level(), with([&](auto& c) {
                          c.outdoor_dry_bulb.si = degF(odb);
                          c.outside = outside;
                      }));
    };
    for (const Outside outside : {Outside::hold, Outside::extend}) {
        CHECK(at(47.5, outside).uncertainty.outside > 0.0);
        CHECK(at(47.5, outside).uncertainty.combined() > at(47, outside).uncertainty.combined());
    }
    CHECK(near(at(29, Outside::refuse).uncertainty.tolerance, 0.025 * at(29, Outside::refuse).gross_total.si,
               relative(1e-12)));
    const System s(parts());
    Conditions c = question();
    c.auxiliary_heat = 5_kW;
    const std::string text = report(s, expect(s, Site::sea_level(), c), UnitSystem::IP);
    const std::size_t from = text.find("expected at");
    CHECK(text.substr(from, text.find("notes\n") - from) ==
          "expected at coil+fan: 28180 Btu/h of instantaneous heating, without 5000 W of auxiliary heat\n"
          "  power 2289 W (outdoor unit), with indoor fan 2709 W, COP 3.05\n"
          "  leaving 89.5 degF dry bulb, rise 23.5 degF\n"
          "  footing: inside; own standard uncertainty 2.4 %\n"
          "page: full stage, instantaneous heating\n"
          "  outdoor dry bulb      29.0 degF, between 17 and 35 at 0.667\n"
          "  standard airflow    1100.0 cfm, between 1000 and 1200 at 0.500\n"
          "  entering dry bulb     66.0 degF, between 60 and 70 at 0.600\n"
          "  step                             factor   capacity Btu/h   power W\n"
          "  page                                               26747      2289\n"
          "  fan heat                                           28180\n");
}

}  // namespace heating_page
