// What must hold whatever the page: refusals by name, boundaries, fan position, airflow by any route, order,
// determinism.
#include <doctest/doctest.h>

#include <random>

#include "../support/dry_page.hpp"
#include "../support/near.hpp"
#include "offnominal/demo.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/files.hpp"
#include "offnominal/missing.hpp"
#include "offnominal/report.hpp"

using namespace unit_a;

TEST_CASE("what is not given is refused by name, with what would be right") {
    Match a{"indoor A", true, {}, {}, std::pair{Airflow{cfm(1000)}, Airflow{cfm(1150)}}, FanPosition::draw_through, {}};
    const System s = system(basis(), page(), {a});
    const auto text = [&](auto change) {
        Conditions c = example_1();
        c.match = "indoor A";
        change(c);
        const auto answer = try_expect(s, Site::sea_level(), c);
        return answer ? std::string("answered") : explain(answer.reason(), s, c, UnitSystem::IP);
    };
    CHECK(text([](Conditions&) {}) == "answered");
    CHECK(text([](Conditions& c) { c.stage = "high"; }) == "the system has no such stage: 'high'; it has full");
    CHECK(text([](Conditions& c) { c.stage = ""; }) == "stage is not given, and there is no default; it has full");
    CHECK(text([](Conditions& c) { c.match = "indoor Z"; }) ==
          "the system lists no such match: 'indoor Z'; it lists indoor A");
    CHECK(text([](Conditions& c) { c.match = ""; }) ==
          "match is not given, and there is no default; the system lists indoor A");
    CHECK(text([](Conditions& c) { c.boundary = Boundary::not_given; }) ==
          "boundary is not given, and there is no default: coil (gross), or coil+fan (net)");
    CHECK(text([](Conditions& c) { c.fan_power = Power{NAN}; }) == "fan power is not given, and there is no default");
    CHECK(text([](Conditions& c) { c.airflow = {}; }) ==
          "airflow is not given, and there is no default: standard, or actual at return, supply or fan");
    CHECK(text([](Conditions& c) { c.outdoor_dry_bulb = Temperature{NAN}; }) ==
          "outdoor dry bulb is not given, and there is no default");
    CHECK(text([](Conditions& c) { c.entering_humidity = air::wet_bulb(78_degF); }) ==
          "entering wet bulb 78 degF is past saturation; at most 76 degF");
    CHECK(text([](Conditions& c) { c.outdoor_dry_bulb = 102_degF; }) ==
          "outdoor dry bulb 102 degF is outside 85 degF to 95 degF");
    CHECK(text([](Conditions& c) { c.airflow.si = cfm(1180); }) ==
          "standard airflow 1180 scfm is outside 1000 scfm to 1150 scfm");
    CHECK(text([](Conditions& c) { c.line_set = LineSet::of(30_ft, Length{0.022}); }) ==
          "a line set is given, but the system has no line-set table; give the reference line; `beyond: model` beside "
          "the length asks for a model's answer");
    CHECK(try_expect(s, Site::not_given(), example_1()).reason() == Reason{Why::not_given, About::elevation});
    CHECK(explain(Site::at(5000_ft, Pressure{101325}).pressure().reason(), UnitSystem::IP)
              .find("reduced to sea level?") != std::string::npos);
}

TEST_CASE("a choice that is no enumerator is refused, one by one and in a batch") {
    const auto check = [](About about, auto change) {
        Conditions c = example_1();
        change(c);
        const Reason reason = try_expect(system(), Site::sea_level(), c).reason();
        CHECK(reason.why == Why::unknown_choice);
        CHECK(reason.about == about);
        CHECK_THROWS_AS((void)expect(system(), Site::sea_level(), c), Refused);
        // The same question as a batch of one.
        const double numbers[] = {
            c.outdoor_dry_bulb.si, c.entering_dry_bulb.si, c.entering_humidity.value, c.airflow.si, 0.0,
            c.fan_power.si};
        const std::string_view stage[] = {c.stage}, match[] = {c.match};
        const std::int32_t first = 0;
        ExpectBatch batch;
        batch.values = c;
        batch.stage = {stage, &first, 0};
        batch.match = {match, &first, 0};
        for (std::size_t k = 0; k < std::size(numbers); ++k) batch.numbers[k] = {&numbers[k], 0, Unit{}};
        Reason told;
        ExpectColumns out;
        out.reason = &told;
        const System s = system();
        expect_rows(s, batch, 0, 1, out);
        CHECK(told == reason);
    };
    check(About::boundary, [](Conditions& c) { c.boundary = static_cast<Boundary>(7); });
    check(About::mode, [](Conditions& c) { c.mode = static_cast<Mode>(7); });
    check(About::frost, [](Conditions& c) { c.frost = static_cast<Frost>(7); });
    check(About::outside, [](Conditions& c) { c.outside = static_cast<Outside>(7); });
    check(About::outside, [](Conditions& c) { c.outside = detail::follow; });
    check(About::airflow, [](Conditions& c) { c.airflow.kind = static_cast<AirflowReading::Kind>(7); });
    check(About::airflow, [](Conditions& c) { c.airflow.place = static_cast<air::Place>(7); });
    check(About::humidity, [](Conditions& c) { c.entering_humidity.kind = static_cast<air::Humidity::Kind>(7); });
    CHECK(explain(Reason{Why::unknown_choice, About::boundary, -1, -1, 7, 0, 0}) ==
          "boundary: number 7 is none of its choices");

    const auto of_readings = [](About about, auto change) {
        Readings r = example_2();
        change(r);
        const Reason reason = try_deliver(r, Site::sea_level()).reason();
        CHECK(reason.why == Why::unknown_choice);
        CHECK(reason.about == about);
        DeliverBatch batch;
        batch.readings = r;
        DeliverColumns out;
        Reason told;
        out.reason = &told;
        deliver_rows(batch, 0, 1, out);
        CHECK(told == reason);
    };
    of_readings(About::split, [](Readings& r) { r.split = static_cast<Split>(7); });
    of_readings(About::fan_position, [](Readings& r) { r.fan = static_cast<FanPosition>(7); });
    of_readings(About::airflow, [](Readings& r) { r.airflow.kind = static_cast<AirflowReading::Kind>(7); });
    of_readings(About::humidity, [](Readings& r) { r.supply_humidity.kind = static_cast<air::Humidity::Kind>(7); });
}

TEST_CASE("a system that was moved from has no stage, and can be assigned to") {
    System one = system();
    const double total = expect(one, Site::sea_level(), example_1()).total_capacity.si;
    std::vector<System> kept;
    kept.push_back(std::move(one));
    CHECK(try_expect(one, Site::sea_level(), example_1()).reason().about == About::stage);
    CHECK(expect(kept.front(), Site::sea_level(), example_1()).total_capacity.si == total);
    one = kept.front();
    CHECK(expect(one, Site::sea_level(), example_1()).total_capacity.si == total);
}

TEST_CASE("net is gross less the fan, all of it sensible") {
    Conditions c = example_1();
    const Expected net = expect(system(), Site::sea_level(), c);
    c.boundary = Boundary::coil;
    const Expected gross = expect(system(), Site::sea_level(), c);
    CHECK(near(gross.total_capacity.si - net.total_capacity.si, 420.0, relative(1e-12)));
    CHECK(near(gross.sensible_capacity->si - net.sensible_capacity->si, 420.0, relative(1e-11)));
    CHECK(near(gross.latent_capacity->si, net.latent_capacity->si, relative(1e-12)));
}

TEST_CASE("in blow-through the coil sees the fan's heat: 420 W at 1100 scfm is +1.18 degF and +0.39 degF wet bulb") {
    Match blow{"blow", true, {}, {}, {}, FanPosition::blow_through, {}},
        draw{"draw", false, {}, {}, {}, FanPosition::draw_through, {}};
    const System s = system(basis(), page(), {blow, draw});
    Conditions c = example_1();
    c.match = "blow";
    const Expected b = expect(s, Site::sea_level(), c);
    c.match = "draw";
    const Expected d = expect(s, Site::sea_level(), c);
    // By PsychroLib 2.5, heating 76/65 degF at 1,100 scfm with 420 W: 1.1816 degF of dry bulb, 0.3890 of wet bulb.
    CHECK(near(in(b.coil_dry_bulb - c.entering_dry_bulb, units::delta_degF), 1.1816, absolute(0.0005)));
    CHECK(near(in(b.coil_wet_bulb - 65_degF, units::delta_degF), 0.3890, absolute(0.0005)));
    // Ignoring it costs 0.7 % of gross total (0.389 degF along the page's 0.615 MBh a degF of wet bulb) and 3.6 % of
    // net sensible.
    CHECK(near(b.gross_total.si / d.gross_total.si - 1, 0.3890 * 0.615 / 33.95, relative(0.002)));
    CHECK(near(b.sensible_capacity->si / d.sensible_capacity->si - 1, 0.036, absolute(0.0005)));
}

TEST_CASE("one airflow, told four ways, gives one answer") {
    const Site site = Site::at_elevation(1000_ft);
    Conditions c = example_1();
    const Expected by_standard = expect(system(), site, c);
    c.airflow = AirflowReading::dry_mass(by_standard.mass_flow);
    CHECK(expect(system(), site, c).total_capacity.si == by_standard.total_capacity.si);
    const air::State in = air::state(76_degF, air::wet_bulb(65_degF), air::pressure_at(1000_ft));
    c.airflow = AirflowReading::actual(air::actual_airflow(by_standard.mass_flow, in), air::Place::return_air);
    CHECK(near(expect(system(), site, c).total_capacity.si, by_standard.total_capacity.si, relative(1e-12)));
    air::State out = in;
    out.dry_bulb = by_standard.leaving->dry_bulb;
    out.humidity_ratio = by_standard.leaving->humidity_ratio;
    c.airflow = AirflowReading::actual(air::actual_airflow(by_standard.mass_flow, out), air::Place::supply_air);
    CHECK(near(expect(system(), site, c).total_capacity.si, by_standard.total_capacity.si, relative(1e-12)));
}

TEST_CASE("the expected leaving state, measured, is delivered: expect and deliver close") {
    std::mt19937 random(20261125);
    std::uniform_real_distribution<double> u(0, 1);
    for (int i = 0; i < 300; ++i) {
        Conditions c = example_1();
        c.outdoor_dry_bulb = Temperature{degF(85 + 10 * u(random))};
        c.entering_dry_bulb = Temperature{degF(72 + 12 * u(random))};
        c.entering_humidity = air::wet_bulb(Temperature{degF(63 + 4 * u(random))});
        c.airflow = AirflowReading::standard(Airflow{cfm(1000 + 200 * u(random))});
        const Site site = Site::at_elevation(Length{2000 * u(random)});
        const auto answer = try_expect(system(), site, c);
        if (!answer) {
            CHECK(answer.reason().why == Why::no_knee);
            continue;
        }
        if (!answer->leaving) continue;
        Readings r;
        r.return_dry_bulb = c.entering_dry_bulb;
        r.return_humidity = c.entering_humidity;
        r.supply_dry_bulb = answer->leaving->dry_bulb;
        r.supply_humidity = air::humidity_ratio(answer->leaving->humidity_ratio);
        r.airflow = AirflowReading::dry_mass(answer->mass_flow);
        const Delivered d = deliver(r, site);
        CHECK(near(d.total_capacity.si, answer->total_capacity.si, relative(1e-10)));
        CHECK(near(d.sensible_capacity.si, answer->sensible_capacity->si, relative(1e-10)));
        // The ledger's last total is the answer.
        double last = 0;
        for (const Step& s : answer->ledger)
            if (s.of == Step::Of::total) last = s.after;
        CHECK(last == answer->total_capacity.si);
    }
}

TEST_CASE("a page without sensible, without bypass, of unknown metadata: answered in part, and said so") {
    Basis unknown;
    PrintedPage p = page();
    p.has_sensible = p.has_bypass = p.has_power = false;
    const Expected e = expect(system(unknown, p), Site::sea_level(), example_1());
    CHECK_FALSE(e.sensible_capacity);
    CHECK_FALSE(e.leaving);
    CHECK_FALSE(e.power);
    CHECK(e.no_sensible.why == Why::no_output);
    for (const Note n : {Note::capacity_basis_unknown, Note::airflow_basis_unknown, Note::pound_unknown,
                         Note::elevation_unknown, Note::dryness_unknown, Note::tolerance_unknown})
        CHECK(e.notes.has(n));

    // Without a bypass factor, and gross or net unknown, so that none can be found either.
    Basis neither = basis();
    neither.capacity = CapacityBasis::unknown;
    p = page();
    p.has_bypass = false;
    for (PrintedNode& n : p.nodes) n.bypass = 0;
    Conditions c = dry_question(80, 65);
    const Expected at_reference = expect(system(neither, p), Site::sea_level(), c);
    CHECK(at_reference.sensible_capacity);
    c.entering_dry_bulb = 76_degF;  // off the reference dry bulb a bypass factor is needed
    CHECK(expect(system(neither, p), Site::sea_level(), c).no_sensible.about == About::bypass);
    c = dry_question(80, 65);
    const Expected high = expect(system(neither, p), Site::at_elevation(3000_ft), c);
    CHECK(high.notes.has(Note::sensible_scaled));
}

TEST_CASE("a page of moist pounds is entered at more standard airflow") {
    Basis b = basis();
    b.standard_pound = Pound::moist;
    const Expected moist = expect(system(b), Site::sea_level(), example_1());
    const Expected dry = expect(system(), Site::sea_level(), example_1());
    const double w = air::state(76_degF, air::wet_bulb(65_degF), air::pressure_at(0_ft)).humidity_ratio.si;
    CHECK(near(moist.standard_airflow.si / dry.standard_airflow.si, 1 + w, relative(1e-12)));
}

TEST_CASE("the envelope can be asked for") {
    const auto pages = envelope(system());
    REQUIRE(pages.size() == 1);
    CHECK(pages[0].stage == "full");
    CHECK(pages[0].axes[0].breakpoints == page().outdoor_dry_bulb);
    CHECK(pages[0].nodes == 8);
    CHECK(pages[0].blanks == 0);
}

TEST_CASE("what a system covers: axes as enumerators, blanks, lines, airflows of matches, elevations") {
    const System alder = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const auto high = envelope(alder)[0];
    REQUIRE(high.blank_at.size() == high.blanks);
    REQUIRE(high.blanks == 1);
    CHECK(high.blank_at[0] == std::vector{degF(115), cfm(1200), degF(71)});
    CHECK(high.axes[0].about == About::outdoor_dry_bulb);
    CHECK(high.axes[1].about == About::standard_airflow);
    CHECK(high.axes[2].about == About::entering_wet_bulb);
    const Coverage covered = coverage(alder);
    REQUIRE(covered.lines.size() == 3);
    CHECK(covered.lines[0].suction == Length{0.625 * 0.0254});
    CHECK(covered.lines[0].lengths == std::vector{15_ft, 25_ft});  // 50 and 80 ft are blank: not allowed
    CHECK(covered.lines[2].lengths.back() == 80_ft);
    CHECK(covered.lift.greatest_lift == 50_ft);
    REQUIRE(covered.airflow.size() == 2);
    CHECK(covered.airflow[0].least.si == cfm(600));      // of the low stage
    CHECK(covered.airflow[1].greatest.si == cfm(1150));  // of indoor B, whose pages are the system's
    CHECK(!covered.elevation);
}

TEST_CASE("everything missing from a question is told at once, with what would be accepted") {
    const System alder = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const auto find = [](const std::vector<Missing>& list, About about) {
        for (const Missing& one : list)
            if (one.reason.about == about) return one;
        FAIL("not told: " << name(about));
        return Missing{};
    };
    const auto nothing = missing(alder, Site::not_given(), {});
    CHECK(nothing.size() == 9);
    for (const Missing& one : nothing) CHECK(one.reason.why == Why::not_given);
    CHECK(find(nothing, About::boundary).words == std::vector<std::string>{"coil", "coil+fan"});
    CHECK(find(nothing, About::match).words == std::vector<std::string>{"indoor A", "indoor B"});
    CHECK(find(nothing, About::stage).words == std::vector<std::string>{"high", "low"});
    CHECK(find(nothing, About::line_set).words == std::vector<std::string>{"reference"});
    CHECK(find(nothing, About::outdoor_dry_bulb).lower == degF(75));
    CHECK(find(nothing, About::outdoor_dry_bulb).upper == degF(115));
    CHECK(find(nothing, About::entering_wet_bulb).upper == degF(71));
    CHECK(find(nothing, About::airflow).words == std::vector<std::string>{"standard", "actual", "dry_mass"});
    CHECK(find(nothing, About::elevation).lower < -600.0);  // 110 kPa
    CHECK(find(nothing, About::entering_dry_bulb).upper == HUGE_VAL);

    Conditions c;
    c.mode = Mode::heating;
    c.stage = "high";
    const auto heating = missing(alder, Site::sea_level(), c);
    CHECK(find(heating, About::frost).words == std::vector<std::string>{"instantaneous", "integrated"});
    CHECK(find(heating, About::auxiliary_heat).lower == 0.0);
    CHECK(find(heating, About::outdoor_dry_bulb).lower == degF(5));

    c = example_1();
    c.match = "indoor B";
    c.stage = "hihg";
    c.line_set = LineSet::reference();
    c.airflow = AirflowReading::standard(1180_cfm);
    c.outdoor_dry_bulb = 60_degF;
    c.fan_power = Power{NAN};
    const auto wrong = missing(alder, Site::sea_level(), c);
    CHECK(wrong.size() == 4);
    CHECK(find(wrong, About::stage).reason.why == Why::unknown_stage);
    CHECK(find(wrong, About::fan_power).lower == 0.0);
    CHECK(find(wrong, About::fan_power).upper == HUGE_VAL);
    CHECK(find(wrong, About::outdoor_dry_bulb).reason.why == Why::outside);
    CHECK(find(wrong, About::standard_airflow).upper == cfm(1150));
}

TEST_CASE("nothing is missing exactly where there is an answer, whatever is left out or wrong") {
    const System s = demo_system();
    std::mt19937 random(13);
    const auto maybe = [&random](double value) { return random() % 4 == 0 ? NAN : value; };
    int answered = 0;
    for (int i = 0; i < 2000; ++i) {
        Conditions c;
        if (random() % 5 != 0) c.stage = random() % 9 == 0 ? "no such" : "high";
        if (random() % 5 != 0) c.match = random() % 9 == 0 ? "no such" : "indoor A";
        c.outdoor_dry_bulb.si = maybe(20.0 + static_cast<double>(random() % 30));
        c.entering_dry_bulb.si = maybe(22.0 + static_cast<double>(random() % 8));
        c.entering_humidity = air::relative_humidity(maybe(0.4 + 0.05 * static_cast<double>(random() % 6)));
        c.boundary = static_cast<Boundary>(random() % 4);
        c.fan_power.si = maybe(300.0);
        if (random() % 4 != 0)
            c.airflow = AirflowReading::standard(Airflow{maybe(0.4 + 0.03 * static_cast<double>(random() % 6))});
        const Site site = Site::at_elevation(Length{maybe(100.0)});
        const bool answers = static_cast<bool>(try_expect(s, site, c));
        CHECK(missing(s, site, c).empty() == answers);
        answered += answers ? 1 : 0;
    }
    CHECK(answered > 30);
}

TEST_CASE("a system with twins, without stages, or with a factor on its own pages is refused") {
    SystemParts none;
    CHECK_THROWS_AS(System{none}, InputError);
    SystemParts twins;
    twins.cooling.push_back({"full", RatingTable(basis(), page())});
    twins.cooling.push_back({"full", RatingTable(basis(), page())});
    CHECK_THROWS_WITH_AS(System{twins}, "two stages of one name: 'full'; accepted: different names", InputError);
    SystemParts twice;
    twice.cooling.push_back({"full", RatingTable(basis(), page())});
    Match own{"own", false, {0.97, 1.0}, {}, {}, FanPosition::draw_through, {{"full", RatingTable(basis(), page())}}};
    twice.matches.push_back(own);
    CHECK_THROWS_AS(System{twice}, InputError);
}

TEST_CASE("a match's own page answers instead of the system's") {
    PrintedPage better = page();
    for (PrintedNode& n : better.nodes) n.total *= 1.02;
    SystemParts parts;
    parts.cooling.push_back({"full", RatingTable(basis(), page())});
    Match own{"own", false, {}, {}, {}, FanPosition::draw_through, {}};
    own.stages.push_back({"full", RatingTable(basis(), better)});
    parts.matches.push_back(own);
    Conditions c = example_1();
    c.match = "own";
    CHECK(near(expect(System(parts), Site::sea_level(), c).gross_total.si, 1.02 * MBh(33.95), relative(1e-12)));
}

TEST_CASE("the ledger in words can be followed on the page") {
    const Expected e = expect(system(), Site::sea_level(), example_1());
    CHECK(explain(system(), e, UnitSystem::IP) ==
          "page: full stage\n"
          "  outdoor dry bulb      91.0 degF, between 85 and 95 at 0.600\n"
          "  standard airflow    1100.0 cfm, between 1000 and 1200 at 0.500\n"
          "  entering wet bulb     65.0 degF, between 63 and 67 at 0.500\n"
          "  step                             factor   total Btu/h   sensible Btu/h   power W\n"
          "  page                                            33950            28695      2384\n"
          "  entering dry bulb                                                24387\n"
          "  fan heat                                        32517            22954\n");
}

TEST_CASE("the ledger of a dry node starts from what the page prints there") {
    const System s = system(basis(), dry_page());
    const Expected e = expect(s, Site::sea_level(), dry_question(80, 59));
    const auto& steps = e.ledger;
    CHECK(steps[0].kind == Step::Kind::page);
    CHECK(steps[0].after == MBh(30.8));
    CHECK(steps[1].after == MBh(30.8));
    CHECK(steps[2].after == kW(2.45));
    // By hand: two wet nodes extended straight, 4 degF down.
    CHECK(steps[3].kind == Step::Kind::wet_line);
    CHECK(steps[3].before == MBh(30.8));
    CHECK(near(steps[3].after, MBh(31.8 - 2.2), relative(1e-12)));
    CHECK(near(steps[4].after, MBh(29.1 + 4.2), relative(1e-12)));
    CHECK(near(steps[5].after, kW(2.46 - 0.04), relative(1e-12)));
    CHECK(steps[6].kind == Step::Kind::dry_coil);
    CHECK(near(steps[6].after, MBh(30.8), relative(1e-12)));
    // Half way to the wet node the page prints half of each.
    CHECK(near(expect(s, Site::sea_level(), dry_question(80, 61)).ledger[0].after, MBh((30.8 + 31.8) / 2),
               relative(1e-12)));
}

TEST_CASE("the ledger of a net page starts from the printed net number, and its own fan is a row") {
    Basis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.per_airflow = from(365.0 / 1000.0, units::W_cfm);
    const System s = system(net, page());
    Conditions c = dry_question(80, 67);
    const auto at = [&](double flow) {
        c.airflow = AirflowReading::standard(Airflow{cfm(flow)});
        return expect(s, Site::sea_level(), c);
    };
    const Expected at_node = at(1000), e = at(1100);
    CHECK(at_node.ledger[0].after == MBh(33.9));
    CHECK(at_node.ledger[1].after == MBh(24.9));
    CHECK(near(e.ledger[0].after, MBh((33.9 + 34.9) / 2), relative(1e-12)));
    CHECK(e.ledger[3].kind == Step::Kind::net_to_gross);
    CHECK(e.ledger[3].before == e.ledger[0].after);
    CHECK(e.ledger[3].after == e.gross_total.si);
    CHECK(near(e.ledger[3].after - e.ledger[3].before, 1.1 * 365, relative(1e-10)));
    CHECK(near(e.ledger[4].after - e.ledger[4].before, 1.1 * 365, relative(1e-10)));
    // A dry node of a net page: net, gross, wet line.
    const Expected dry = expect(system(net, dry_page()), Site::sea_level(), dry_question(80, 59));
    const auto& steps = dry.ledger;
    CHECK(steps[0].after == MBh(30.8));
    CHECK(near(steps[3].after, MBh(30.8) + 365, relative(1e-12)));
    CHECK(steps[5].kind == Step::Kind::wet_line);
    CHECK(steps[5].before == steps[3].after);
    CHECK(near(steps[5].after, MBh(31.8 - 2.2) + 365, relative(1e-12)));
}

TEST_CASE("the fan's preheat, the station pressure and the correction for thin air are rows of the ledger") {
    const Match blow{"blow", true, {}, {}, {}, FanPosition::blow_through, {}};
    const System s = system(basis(), page(), {blow});
    Conditions c = example_1();
    c.match = "blow";
    const Expected e = expect(s, Site::at_elevation(5000_ft), c);
    const auto row = [&](Step::Kind kind, Step::Of of) {
        for (const Step& step : e.ledger)
            if (step.kind == kind && step.of == of) return step;
        FAIL("no such step");
        return Step{};
    };
    const Step warmed = row(Step::Kind::fan_preheat, Step::Of::dry_bulb);
    CHECK(warmed.before == c.entering_dry_bulb.si);
    CHECK(warmed.after == e.coil_dry_bulb.si);
    CHECK(row(Step::Kind::fan_preheat, Step::Of::wet_bulb).after == e.coil_wet_bulb.si);
    const Step pressure = row(Step::Kind::station_pressure, Step::Of::pressure);
    CHECK(pressure.before == 101325.0);
    CHECK(pressure.after == air::pressure_at(5000_ft).si);
    CHECK(row(Step::Kind::altitude_model, Step::Of::total).factor ==
          derates::altitude_effect(pressure.factor, false).total);
    CHECK(row(Step::Kind::altitude_model, Step::Of::power).factor ==
          derates::altitude_effect(pressure.factor, false).power);
    const std::string text = explain(s, e, UnitSystem::IP);
    CHECK(text.find("  fan preheat, 76.0 degF to 77.2 degF dry bulb, 65.0 degF to 65.3 degF wet bulb") !=
          std::string::npos);
    CHECK(text.find("  station pressure, 14.70 psia to 12.23 psia") != std::string::npos);
    CHECK(text.find("  altitude model                   0.9849         33643                       2484") !=
          std::string::npos);
    // At the page's own pressure, and with the fan behind the coil, there is nothing to say.
    for (const Step& step : expect(system(), Site::sea_level(), example_1()).ledger)
        CHECK((step.kind == Step::Kind::page || step.kind == Step::Kind::entering_dry_bulb ||
               step.kind == Step::Kind::fan_heat));
}

TEST_CASE("a net page of a blow-through unit gives its own numbers back: only the difference of the fans counts") {
    Basis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.power = 438_W;
    const Match own{"own", true, {}, {}, {}, FanPosition::blow_through, {}};
    const System s = system(net, page(), {own});
    Conditions c = dry_question(80, 67);
    c.match = "own";
    c.boundary = Boundary::coil_and_fan;
    c.fan_power = 438_W;
    const Expected e = expect(s, Site::sea_level(), c);
    CHECK(near(in(e.total_capacity, units::MBh), 33.9, relative(1e-9)));
    CHECK(near(in(*e.sensible_capacity, units::MBh), 24.9, relative(1e-6)));
    c.entering_humidity = air::wet_bulb(65_degF);
    const double rated = expect(s, Site::sea_level(), c).total_capacity.si;
    c.fan_power = 600_W;  // a bigger fan: less net, and warmer air at the coil
    CHECK(expect(s, Site::sea_level(), c).total_capacity.si < rated);
}

TEST_CASE("airflow at the fan: return air in blow-through at either boundary, and not without the fan's position") {
    const Match blow{"blow", true, {}, {}, {}, FanPosition::blow_through, {}},
        unknown{"unknown", false, {}, {}, {}, FanPosition::unknown, {}};
    const System s = system(basis(), page(), {blow, unknown});
    Conditions c = example_1();
    c.match = "blow";
    c.boundary = Boundary::coil;
    c.airflow = AirflowReading::actual(1120_cfm, air::Place::return_air);
    const double at_return = expect(s, Site::sea_level(), c).mass_flow.si;
    c.airflow.place = air::Place::fan;
    CHECK(expect(s, Site::sea_level(), c).mass_flow.si == at_return);
    c.match = "unknown";
    CHECK(try_expect(s, Site::sea_level(), c).reason() == Reason{Why::not_given, About::fan_position});
}

TEST_CASE("the ledger of a dry coil closes with total, sensible and power") {
    const Expected e = expect(system(basis(), dry_page()), Site::sea_level(), dry_question(84, 60));
    double last[3] = {};
    for (const Step& step : e.ledger) last[static_cast<std::size_t>(step.of)] = step.after;
    CHECK(last[0] == e.total_capacity.si);
    CHECK(last[1] == e.sensible_capacity->si);
    CHECK(last[2] == e.power->si);
}

TEST_CASE("a match's bounds are met, whatever the airflow was converted from") {
    for (int flow = 1001; flow < 1200; flow += 7) {
        const Match m{"m", true, {}, {}, std::pair{Airflow{cfm(900)}, Airflow{cfm(flow)}}, FanPosition::draw_through,
                      {}};
        Conditions c = example_1();
        c.match = "m";
        c.airflow = AirflowReading::standard(Airflow{cfm(flow)});
        CHECK(try_expect(system(basis(), page(), {m}), Site::sea_level(), c));
    }
}

TEST_CASE("without a bypass factor, a last bit of the reference dry bulb does not lose the sensible") {
    PrintedPage p = page();
    p.has_bypass = false;
    for (PrintedNode& n : p.nodes) n.bypass = 0;
    Conditions c = dry_question(80, 65);
    c.entering_dry_bulb.si = std::nextafter(c.entering_dry_bulb.si, 100.0);
    CHECK(expect(system(basis(), p), Site::sea_level(), c).sensible_capacity);
}

TEST_CASE("the outdoor edge and a line's length are held as far as asked, at a cost, and no farther") {
    Conditions c = example_1();
    const double last = page().outdoor_dry_bulb.back();
    c.outdoor_dry_bulb.si = last;
    const Expected edge = expect(system(), Site::sea_level(), c);
    c.outdoor_dry_bulb.si = last + 5.0;
    CHECK(try_expect(system(), Site::sea_level(), c).reason().why == Why::outside);
    c.hold.outdoor_dry_bulb.si = 5.0;
    const Expected held = expect(system(), Site::sea_level(), c);
    CHECK(held.total_capacity.si == edge.total_capacity.si);
    CHECK(has(held.footing, Footing::held));
    CHECK(held.notes.has(Note::outdoor_held));
    CHECK(held.uncertainty.outside > 0.0);
    c.outdoor_dry_bulb.si = last + 5.1;
    CHECK(try_expect(system(), Site::sea_level(), c).reason().about == About::outdoor_dry_bulb);
    for (const double far : {-1.0, 26.0, std::nan("")}) {
        c.hold = {TemperatureDifference{far}, Length{0.0}};
        CHECK(try_expect(system(), Site::sea_level(), c).reason().about == About::held_outdoor);
        c.hold = {TemperatureDifference{0.0}, Length{far < 0.0 ? far : 31.0}};
        CHECK(try_expect(system(), Site::sea_level(), c).reason().about == About::held_line);
    }
}
