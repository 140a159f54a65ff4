// Before the visit: choosing, whose figures are those of `expect` at the design point, and questions backwards (more of
// them in tests/solve); the worked example's page is "Unit A", invented.
#include "offnominal/choose.hpp"

#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unit_a.hpp"
#include "offnominal/files.hpp"
#include "offnominal/solve.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// Worked example 1's state, as a design point.
DesignLoad design(double sensible_MBh, double latent_MBh) {
    DesignLoad load;
    load.sensible.si = unit_a::MBh(sensible_MBh);
    load.latent.si = unit_a::MBh(latent_MBh);
    load.outdoor_dry_bulb = 91_degF;
    load.entering_dry_bulb = 76_degF;
    load.entering_humidity = air::wet_bulb(65_degF);
    load.site = Site::sea_level();
    return load;
}

ChooseBy at_airflows(std::initializer_list<double> scfm) {
    ChooseBy by;
    for (const double flow : scfm) by.airflows.push_back(StandardAirflow{unit_a::cfm(flow)});
    by.line_set.reset();
    return by;
}

std::vector<Choice> chosen(const System& system, const DesignLoad& load, const ChooseBy& by = {}) {
    const System* const systems[] = {&system};
    return choose(systems, load, by);
}

const System& alder_system() {
    static const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return system;
}

DesignLoad alder_design() {
    DesignLoad load;
    load.total.si = unit_a::MBh(31.0);
    load.sensible.si = unit_a::MBh(23.0);
    load.outdoor_dry_bulb = 95_degF;
    load.entering_dry_bulb = 75_degF;
    load.entering_humidity = air::wet_bulb(63_degF);
    load.heating.si = unit_a::MBh(40.0);
    load.heating_outdoor_dry_bulb = 17_degF;
    load.site = Site::at_elevation(1000_ft);
    return load;
}

}  // namespace

TEST_CASE("choose: each figure is what expect says at the design point") {
    const System system = unit_a::system();
    for (const Choice& one : chosen(system, design(23.0, 8.0), at_airflows({1000.0, 1100.0, 1200.0}))) {
        Conditions c;
        c.stage = "full";
        c.outdoor_dry_bulb = 91_degF;
        c.entering_dry_bulb = 76_degF;
        c.entering_humidity = air::wet_bulb(65_degF);
        c.airflow = AirflowReading::standard(Airflow{one.airflow.si});
        c.boundary = Boundary::coil_and_fan;
        c.fan_power = one.fan_power;
        const Expected e = expect(system, Site::sea_level(), c);
        CHECK(one.total.si == e.total_capacity.si);
        CHECK(one.sensible.si == e.sensible_capacity->si);
        CHECK(near(one.total_u, e.uncertainty.combined() / e.total_capacity.si, relative(1e-12)));
        CHECK(near(one.total_over, e.total_capacity.si / unit_a::MBh(31.0), relative(1e-12)));
        // Half of the latent capacity to spare counts as sensible (ACCA Manual S, from memory).
        const double spare = std::max(0.0, e.latent_capacity->si - unit_a::MBh(8.0));
        CHECK(near(one.credited.si, e.sensible_capacity->si + 0.5 * spare, relative(1e-12)));
    }
}

TEST_CASE("choose: those that fit come first, then by how near total is to its load") {
    const auto found = chosen(alder_system(), alder_design());
    REQUIRE(found.size() > 7);
    bool misfits = false;
    double off = 0.0;
    for (const Choice& one : found) {
        if (one.misfit != Misfit::none && !misfits) {
            misfits = true;
            off = 0.0;
        }
        CHECK(misfits == (one.misfit != Misfit::none));
        if (one.misfit == Misfit::no_answer) continue;
        CHECK(std::abs(one.total_over - 1.0) >= off);
        off = std::abs(one.total_over - 1.0);
        CHECK(one.fits >= 0.0);
        CHECK(one.fits <= 1.0);
    }
    CHECK(found.front().misfit == Misfit::none);
    CHECK(found.front().fits > 0.5);
}

TEST_CASE("choose: what does not fit says which limit it misses") {
    const System system = unit_a::system();
    const auto first = [&](const DesignLoad& load) { return chosen(system, load, at_airflows({1100.0})).front(); };
    CHECK(first(design(30.0, 10.0)).misfit == Misfit::total_low);
    CHECK(first(design(18.0, 6.0)).misfit == Misfit::total_high);
    CHECK(first(design(30.0, 3.0)).misfit == Misfit::sensible_low);
    CHECK(first(design(20.0, 12.5)).misfit == Misfit::latent_low);
    CHECK(first(design(27.5, 5.0)).misfit == Misfit::latent_high);
    DesignLoad hot = design(23.0, 8.0);
    hot.outdoor_dry_bulb = 120_degF;
    const Choice none = first(hot);
    CHECK(none.misfit == Misfit::no_answer);
    CHECK(none.reason.why == Why::outside);
    CHECK(none.reason.about == About::outdoor_dry_bulb);
}

TEST_CASE("choose: published limits by kind of machine (test_choose.py holds them against the file they are from)") {
    const SizingLimits *newer = limits_named("manual_s_2014"), *older = limits_named("manual_s_2004"),
                       *star = limits_named("energy_star_v3");
    REQUIRE((newer != nullptr && older != nullptr && star != nullptr));
    CHECK(newer->of(MachineKind::single_speed, false).least == 0.90);
    CHECK(newer->of(MachineKind::single_speed, false).most == 1.15);
    CHECK(newer->of(MachineKind::two_speed, false).most == 1.20);
    CHECK(newer->of(MachineKind::variable_speed, false).most == 1.30);
    CHECK(newer->latent.least == 1.00);
    CHECK(newer->latent.most == 1.50);
    CHECK(newer->sensible.least == 0.90);
    CHECK(older->of(MachineKind::single_speed, false).most == 1.15);
    CHECK(older->of(MachineKind::single_speed, true).most == 1.25);
    CHECK(star->of(MachineKind::two_speed, false).least == 0.95);
    CHECK(star->of(MachineKind::two_speed, false).most == 1.15);
    CHECK(star->of(MachineKind::two_speed, true).most == 1.25);
    CHECK(limits_named("rule_of_thumb") == nullptr);
    // Condition B: of a heat pump 15000 Btu/h above the load, whatever its kind; of an air conditioner as it was.
    const SizingLimits& cold = *limits_named("manual_s_2014_condition_b");
    const Power load = from(30.0, units::MBh);
    CHECK(near(cold.of(MachineKind::single_speed, true, load).most, 1.5, relative(1e-12)));
    CHECK(cold.of(MachineKind::two_speed, true, load).least == 0.90);
    CHECK(cold.of(MachineKind::single_speed, false, load).most == 1.15);
    DesignLoad small = alder_design();
    small.heating.si = small.heating_outdoor_dry_bulb.si = DesignLoad::not_given;
    small.total.si = unit_a::MBh(23.0);
    small.sensible.si = unit_a::MBh(16.0);
    CHECK(chosen(alder_system(), small).front().misfit != Misfit::none);
    ChooseBy by;
    by.limits = cold;
    by.limits.latent.most = real::infinity;
    CHECK(chosen(alder_system(), small, by).front().misfit == Misfit::none);
}

TEST_CASE("choose: a machine is as large as its top stage, at every airflow") {
    DesignLoad load = alder_design();
    load.heating.si = load.heating_outdoor_dry_bulb.si = DesignLoad::not_given;
    load.total.si = unit_a::MBh(22.5);
    load.sensible.si = unit_a::MBh(16.0);
    for (const ChooseBy& by : {ChooseBy{}, at_airflows({600.0, 700.0, 1000.0})}) {
        ChooseBy rated = by;
        rated.line_set = LineSet::reference();
        const auto found = chosen(alder_system(), load, rated);
        for (const Choice& one : found) {
            CHECK(one.misfit != Misfit::none);  // low alone would do; high is 1.27 of the load and more
            REQUIRE(one.stage >= 0);
            const Match& match = alder_system().parts().matches[static_cast<std::size_t>(one.match)];
            CHECK(alder_system().stages(&match)[static_cast<std::size_t>(one.stage)].name == "high");
            if (one.misfit == Misfit::no_answer) CHECK(one.reason.about == About::standard_airflow);
        }
        CHECK(std::isnan(found.front().airflow_from.si));
    }
    // Where the top stage has no answer the machine has none: the stage below it does not stand for it.
    SystemParts parts = unit_a::system().parts();
    PrintedPage page = unit_a::page();
    page.outdoor_dry_bulb = {units::degF.to_si(110.0), units::degF.to_si(120.0)};
    for (PrintedNode& node : page.nodes) node.total *= 1.2;
    parts.cooling.push_back({"high", RatingTable(unit_a::basis(), std::move(page))});
    const Choice one = chosen(System(std::move(parts)), design(23.0, 8.0), at_airflows({1100.0})).front();
    CHECK((one.stage == 1 && one.misfit == Misfit::no_answer && one.reason.about == About::outdoor_dry_bulb));
}

TEST_CASE("choose: the airflows that fit are told, and are where every limit is kept") {
    DesignLoad load = alder_design();
    load.heating.si = load.heating_outdoor_dry_bulb.si = DesignLoad::not_given;
    const System hazel = load_system(OFFNOMINAL_TABLES_DIR "/corpus/hazel.yaml");
    const auto found = chosen(hazel, load);  // none of seven fits; the way between two of them does
    const Choice& first = found.front();
    REQUIRE(found.size() == 8);
    CHECK(first.misfit == Misfit::none);
    const double from = first.airflow_from.si, to = first.airflow_to.si;
    REQUIRE(from < to);
    CHECK(near(first.airflow.si, 0.5 * (from + to), relative(1e-12)));
    CHECK(from < units::cfm.to_si(940.0));
    CHECK(to > units::cfm.to_si(970.0));
    for (const Choice& one : found) CHECK((one.airflow_from.si == from && one.airflow_to.si == to));
    // By a scan, and no farther than to a hundredth of a cfm.
    const double step = units::cfm.to_si(1.0), small = 0.01 * step;
    ChooseBy by;
    for (double x = from + small; x < to - small; x += step) by.airflows.push_back(StandardAirflow{x});
    for (const Choice& one : chosen(hazel, load, by)) CHECK(one.misfit == Misfit::none);
    by.airflows = {StandardAirflow{from - small}, StandardAirflow{to + small}};
    for (const Choice& one : chosen(hazel, load, by)) CHECK(one.misfit != Misfit::none);
    // Of loads that no airflow meets there is none.
    load.sensible.si = 0.95 * load.total.si;
    for (const Choice& one : chosen(hazel, load)) CHECK(std::isnan(one.airflow_from.si));
}

TEST_CASE("choose: the chance to fit has latent in it, as sure as total and sensible leave it") {
    const System system = unit_a::system();
    const Choice now = chosen(system, design(23.0, 8.0), at_airflows({1100.0})).front();
    CHECK(near(now.sensible_u, std::sqrt(now.total_u * now.total_u + 4e-4), relative(1e-12)));
    const double share = 0.02 * now.sensible.si / now.latent.si;
    CHECK(near(now.latent_u, std::sqrt(now.total_u * now.total_u + share * share), relative(1e-12)));
    CHECK(now.footing == Footing::inside);
    ChooseBy by = at_airflows({1100.0});
    by.spare_latent = false;
    by.limits.sensible = {};
    for (SizingLimits::Range* const one : {by.limits.total, by.limits.heat_pump})
        for (int k = 0; k < 3; ++k) one[k] = {};
    by.limits.latent = {1.0};
    for (const double over : {1.0, 1.025, 0.97, 1.1}) {
        const Choice one = chosen(system, design(23.0, now.latent.si / over / unit_a::MBh(1.0)), by).front();
        CHECK(near(one.fits, 0.5 * std::erfc((1.0 / over - 1.0) / one.latent_u / std::sqrt(2.0)), absolute(2e-4)));
    }
    // All limits together, against draws of the two errors.
    by = at_airflows({1100.0});
    by.limits.latent = {1.0, 1.15};
    const DesignLoad load = design(now.sensible.si / unit_a::MBh(0.91), now.latent.si / unit_a::MBh(1.05));
    const double loads[] = {load.sensible.si, load.latent.si};
    const Choice one = chosen(system, load, by).front();
    int kept = 0;
    constexpr int side = 600;
    const auto quantile = [](int i) {  // by bisection: of a normal variable
        double low = -6.0, high = 6.0;
        for (int k = 0; k < 50; ++k) {
            const double x = 0.5 * (low + high);
            (0.5 * std::erfc(-x / std::sqrt(2.0)) < (i + 0.5) / side ? low : high) = x;
        }
        return low;
    };
    std::vector<double> z;
    for (int i = 0; i < side; ++i) z.push_back(quantile(i));
    for (const double page : z)
        for (const double own : z) {
            const double total = one.total.si * (1.0 + one.total_u * page),
                         sensible = one.sensible.si * (1.0 + one.total_u * page + 0.02 * own),
                         latent = total - sensible, credited = sensible + 0.5 * std::max(0.0, latent - loads[1]),
                         over = total / (loads[0] + loads[1]);
            kept += over >= 0.90 && over <= 1.15 && credited >= 0.90 * loads[0] && latent >= loads[1] &&
                    latent <= 1.15 * loads[1];
        }
    CHECK(near(one.fits, kept / double(side * side), absolute(3e-3)));
    CHECK(one.fits < 0.95);
    // A limit of the most of sensible is one.
    by.limits = sizing_limits[0];
    by.limits.sensible.most = 0.9;
    CHECK(chosen(system, design(23.0, 8.0), by).front().misfit == Misfit::sensible_high);
}

TEST_CASE("choose: example 6: the balance points by the regulation's frost and steady, the kind and the reason told") {
    SystemParts parts = unit_a::system().parts();
    HeatingPage page;
    page.outdoor_dry_bulb = {units::degF.to_si(10.0), units::degF.to_si(17.0), units::degF.to_si(47.0)};
    page.airflow = {unit_a::cfm(1000.0), unit_a::cfm(1200.0)};
    page.entering_dry_bulb = {units::degF.to_si(70.0)};
    for (const double at : {20.6 - 13.6 * 7.0 / 30.0, 20.6, 34.2})
        for (int i = 0; i < 2; ++i) page.nodes.push_back({unit_a::MBh(at), 0.0, Mark::printed});
    page.capacity_step = 0.0;
    HeatingBasis basis;
    basis.capacity = CapacityBasis::gross;
    basis.airflow = AirflowBasis::standard;
    basis.standard_pound = Pound::dry;
    basis.printed_at = 70_degF;
    basis.elevation = 0_ft;
    parts.heating.push_back({"full", Frost::instantaneous, HeatingTable(basis, std::move(page))});
    const System system(std::move(parts));
    DesignLoad load = design(23.0, 8.0);
    load.heating.si = unit_a::MBh(32.0);
    load.heating_outdoor_dry_bulb = 10_degF;
    load.no_heating_load = 62_degF;
    const auto asked = [&](Frost frost) {
        load.heating_frost = frost;
        ChooseBy by = at_airflows({1100.0});
        by.fan_power_per_airflow = 0.0;
        return chosen(system, load, by).front();
    };
    const auto balance = [](const Choice& one) { return units::degF.from_si(one.balance_point.si); };
    const Choice frosted = asked(Frost::integrated), steady = asked(Frost::instantaneous), any = asked(Frost::unknown);
    CHECK(near(balance(frosted), 24.80, absolute(0.005)));
    CHECK(near(balance(steady), 23.64, absolute(0.005)));
    CHECK((frosted.frost == Frost::integrated && frosted.frost_by_model && frosted.no_heating.none()));
    CHECK((steady.frost == Frost::instantaneous && !steady.frost_by_model));
    CHECK((any.frost == Frost::instantaneous && any.balance_point.si == steady.balance_point.si));
    load.heating_outdoor_dry_bulb = Temperature{-40.0};
    const Choice cold = asked(Frost::unknown);
    CHECK((std::isnan(cold.heating.si) && cold.no_heating.about == About::outdoor_dry_bulb));
    load.heating_outdoor_dry_bulb = 10_degF;
    load.heating.si = unit_a::MBh(300.0);  // they would meet past the page
    const Choice large = asked(Frost::unknown);
    CHECK((large.heating.si > 0.0 && std::isnan(large.balance_point.si)));
    CHECK(large.no_heating.about == About::outdoor_dry_bulb);
}

TEST_CASE("choose: a heat pump's balance point lies on load line and capacity") {
    for (const Choice& one : chosen(alder_system(), alder_design())) {
        if (one.misfit == Misfit::no_answer || std::isnan(one.balance_point.si)) continue;
        const DesignLoad load = alder_design();
        DesignLoad there = load;
        there.heating_outdoor_dry_bulb = one.balance_point;
        const double share = (load.no_heating_load.si - one.balance_point.si) /
                             (load.no_heating_load.si - load.heating_outdoor_dry_bulb.si);
        there.heating.si = load.heating.si * share;
        ChooseBy by;
        by.airflows = {one.airflow};
        for (const Choice& again : chosen(alder_system(), there, by))
            if (again.match == one.match) CHECK(near(again.heating.si, there.heating.si, relative(1e-6)));
        CHECK(near(one.auxiliary.si, load.heating.si - one.heating.si, absolute(1e-6)));
    }
}

TEST_CASE("choose: at an external static pressure each blower setting is a choice, and one it cannot meet says so") {
    ChooseBy by;
    by.external_static = from(0.5, units::in_wc);
    const auto found = chosen(alder_system(), alder_design(), by);
    for (const Choice& one : found) {
        const bool own = alder_system().parts().matches[static_cast<std::size_t>(one.match)].reference;
        CHECK(one.tap.empty() == !own);  // the table is of the reference indoor unit
        CHECK((own || one.reason.why == Why::unknown_tap));
    }
    by.external_static = from(5.0, units::in_wc);
    for (const Choice& one : chosen(alder_system(), alder_design(), by)) {
        CHECK(one.misfit == Misfit::no_answer);
        CHECK_FALSE(one.reason.none());
    }
}

TEST_CASE("choose: loads that do not add up, or are missing, are refused by name") {
    const System system = unit_a::system();
    DesignLoad load = design(23.0, 8.0);
    load.total.si = unit_a::MBh(40.0);
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("do not add up"), const InputError&);
    load = design(23.0, 8.0);
    load.latent.si = DesignLoad::not_given;
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("two of total"), const InputError&);
    load = design(23.0, 8.0);
    load.entering_humidity = air::wet_bulb(Temperature{DesignLoad::not_given});
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("entering humidity"), const InputError&);
    CHECK_THROWS_AS((void)chosen(system, design(-1.0, 8.0)), const InputError&);
    load = design(23.0, 0.0);
    load.total.si = load.sensible.si = 1e-300;  // what a machine has over it is past every number
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("1 W or more"), const InputError&);
    CHECK_THROWS_AS((void)chosen(system, design(23.0, 8.0), at_airflows({-5.0})), const InputError&);
    CHECK_THROWS_WITH_AS((void)choose({}, design(23.0, 8.0)), doctest::Contains("systems: none"), const InputError&);
    ChooseBy both = at_airflows({1000.0});
    both.external_static = from(0.5, units::in_wc);
    CHECK_THROWS_WITH_AS((void)chosen(system, design(23.0, 8.0), both), doctest::Contains("one of the two"),
                         const InputError&);
    both = {};
    both.external_static = Pressure{DesignLoad::not_given};
    CHECK_THROWS_WITH_AS((void)chosen(system, design(23.0, 8.0), both), doctest::Contains("external static"),
                         const InputError&);
    load = design(23.0, 8.0);
    load.heating_outdoor_dry_bulb = 17_degF;
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("without a heating load"), const InputError&);
    load.heating.si = real::infinity;
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("heating load"), const InputError&);
    load = design(23.0, 8.0);
    load.entering_humidity = air::wet_bulb(80_degF);
    CHECK_THROWS_WITH_AS((void)chosen(system, load), doctest::Contains("entering air at design"), const Refused&);
    // In the caller's units alone.
    load = design(23.0, 8.0);
    load.total.si = unit_a::MBh(40.0);
    ChooseBy by;
    by.units = UnitSystem::IP;
    CHECK_THROWS_WITH_AS((void)chosen(system, load, by), doctest::Contains("'40000 Btu/h, 23000 Btu/h, 8000 Btu/h'"),
                         const InputError&);
}

TEST_CASE("choose: a chance near a limit is about a half") {
    const System system = unit_a::system();
    const auto at_limit = [&](double over) {
        DesignLoad load = design(1.0, 1.0);
        const Choice now = chosen(system, design(23.0, 8.0), at_airflows({1100.0})).front();
        load.total.si = now.total.si / 1.15 * over;
        load.sensible.si = now.sensible.si / 1.15 * over;
        load.latent.si = DesignLoad::not_given;
        ChooseBy by = at_airflows({1100.0});
        by.limits.latent = {};
        return chosen(system, load, by).front();
    };
    CHECK(near(at_limit(1.0).fits, 0.5, absolute(0.02)));
    CHECK(at_limit(1.10).fits > 0.99);
    CHECK(at_limit(0.92).fits < 0.02);
}

TEST_CASE("solve: example 8: the airflow for a wanted net sensible, asked backwards") {
    const System system = unit_a::system();
    SolveBatch batch;
    batch.asked.values = unit_a::example_1();
    const std::string_view stages[] = {"full"};
    const std::int32_t only = 0;
    batch.asked.stage = {stages, &only, 0};
    const double outdoor = 91.0, dry_bulb = 76.0, wet_bulb = 65.0, sea_level = 0.0, fan = 420.0, wanted = 23.5;
    batch.asked[Slot::outdoor_dry_bulb] = {&outdoor, 0, units::degF};
    batch.asked[Slot::entering_dry_bulb] = {&dry_bulb, 0, units::degF};
    batch.asked[Slot::entering_humidity] = {&wet_bulb, 0, units::degF};
    batch.asked[Slot::elevation] = {&sea_level, 0, units::ft};
    batch.asked[Slot::fan_power] = {&fan, 0, units::W};
    batch.asked[Slot::airflow].unit = units::cfm;
    batch.vary = Slot::airflow;
    batch.low = 1000.0;
    batch.high = 1200.0;
    constexpr auto& told = told_of<ExpectedValues>;
    batch.of = batch.over =
        static_cast<std::size_t>(std::find_if(std::begin(told), std::end(told),
                                              [](const auto& one) { return one.name == "sensible_capacity"; }) -
                                 std::begin(told));
    batch.of_unit = units::MBh;
    batch.rows = 1;
    batch.equals = {&wanted, 0, units::MBh};
    const Solved found = solve(system, batch);
    REQUIRE(found.of(0).size() == 1);
    CHECK(near(found.of(0)[0], 1153.0, absolute(0.5)));
}

TEST_CASE("solve: by a line of the page with a finger, on threads, against a function, and what is refused") {
    const System system = unit_a::system();
    const Conditions c = unit_a::example_1();
    SolveBatch batch;
    batch.asked.values = c;
    const std::string_view stages[] = {"full"};
    const std::int32_t only = 0;
    batch.asked.stage = {stages, &only, 0};
    const double wet_bulb = 63.0, dry_bulb = 80.0, airflow = 1000.0, sea_level = 0.0, no_fan = 0.0;
    batch.asked.values.boundary = Boundary::coil;
    batch.asked[Slot::entering_dry_bulb] = {&dry_bulb, 0, units::degF};
    batch.asked[Slot::entering_humidity] = {&wet_bulb, 0, units::degF};
    batch.asked[Slot::airflow] = {&airflow, 0, units::cfm};
    batch.asked[Slot::elevation] = {&sea_level, 0, units::ft};
    batch.asked[Slot::fan_power] = {&no_fan, 0, units::one};
    batch.vary = Slot::outdoor_dry_bulb;
    batch.asked[Slot::outdoor_dry_bulb].unit = units::degF;
    batch.low = 80.0;
    batch.high = 100.0;
    batch.of_unit = units::MBh;
    // The page's total falls from 33.3 MBh at 85 degF to 31.5 at 95.
    std::vector<double> wanted(200, 32.4);
    wanted[0] = 33.3;
    wanted[1] = 34.0;
    wanted[199] = 31.0;
    batch.rows = wanted.size();
    batch.equals = {wanted.data(), 1, units::MBh};
    const Solved one = solve(system, batch), three = solve(system, batch, 3);
    CHECK(one.places == three.places);
    CHECK(one.first == three.first);
    REQUIRE(one.of(0).size() == 1);
    CHECK(near(one.of(0)[0], 85.0, relative(1e-12)));
    CHECK(one.of(1).empty());
    CHECK(near(one.best[1], 85.0, relative(1e-12)));
    CHECK(near(one.off[1], -0.7, relative(1e-12)));
    REQUIRE(one.of(100).size() == 1);
    CHECK(near(one.of(100)[0], 90.0, relative(1e-12)));
    SolveBatch last = batch;  // a part of the columns
    last.first = 150;
    last.rows = 50;
    const Solved part = solve(system, last);
    CHECK(part.best == std::vector<double>(one.best.begin() + 150, one.best.end()));
    CHECK(part.off[49] == one.off[199]);
    CHECK(near(one.off[199], 0.5, relative(1e-12)));

    batch.rows = 1;
    batch.line = [](void* load, std::span<const double> places, double* out) {
        for (std::size_t i = 0; i < places.size(); ++i) out[i] = *static_cast<double*>(load) * (places[i] - 60.0);
    };
    double load = 32.4 / 30.0;
    batch.context = &load;
    const Solved crossing = solve(system, batch);
    REQUIRE(crossing.of(0).size() == 1);
    CHECK(near(crossing.of(0)[0], 90.0, relative(1e-12)));

    batch.low = 96.0;  // past the page
    const Solved none = solve(system, batch);
    CHECK(std::isnan(none.best[0]));
    CHECK(none.reason[0].why == Why::outside);
    batch.low = 100.0;
    CHECK_THROWS_AS((void)solve(system, batch), InputError);
    batch.low = 80.0;
    batch.of = 5;  // cop, in heating alone
    CHECK_THROWS_AS((void)solve(system, batch), InputError);
    batch.of = 0;
    batch.asked.values.mode = static_cast<Mode>(200);
    CHECK_THROWS_AS((void)solve(system, batch), InputError);
}

TEST_CASE("limits of size are published ones by their name, or one's own as JSON") {
    for (const SizingLimits& published : sizing_limits) {
        const SizingLimits read = parse_sizing_limits(published.name);
        CHECK(read.name == published.name);
        CHECK(read.total[2].most == published.total[2].most);
    }
    const SizingLimits own =
        parse_sizing_limits(R"( {"source": "ours", "total": [0.95, 1.2], "sensible": 0.9, "latent": [1, 1.5]})");
    for (const MachineKind kind : {MachineKind::single_speed, MachineKind::two_speed, MachineKind::variable_speed})
        for (const bool heats : {false, true}) {
            CHECK(own.of(kind, heats).least == 0.95);
            CHECK(own.of(kind, heats).most == 1.2);
        }
    CHECK(own.sensible.least == 0.9);
    CHECK(own.sensible.most == real::infinity);
    CHECK(own.latent.most == 1.5);
    const SizingLimits heat_pump =
        parse_sizing_limits(R"({"source": "ours", "total": 1, "heat_pump": [0.9, 1.3], "sensible": 0.9, "latent": 1})");
    CHECK(heat_pump.of(MachineKind::two_speed, true).most == 1.3);
    CHECK(heat_pump.of(MachineKind::two_speed, false).most == real::infinity);
}

TEST_CASE("what are no limits of size is told by key, with what is accepted") {
    const auto said = [](std::string_view text) {
        try {
            (void)parse_sizing_limits(text);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("read");
    };
    const auto with = [&](std::string_view total) {
        return said("{\"source\": \"ours\", \"sensible\": 0.9, \"latent\": 1, \"total\": " + std::string(total) + "}");
    };
    REQUIRE(with("[0, 0]") == "read");
    for (const char* const none :
         {"[1.2, 0.9]", "[1]", "[1, 2, 3]", "[]", "-1", "[-1, 1]", "true", "\"1\"", "null", "{}", "[0.9, null]"}) {
        CAPTURE(none);
        CHECK(with(none).find("limits: total: no range: ") == 0);
        CHECK(with(none).find("accepted: the least, or the least and the most") != std::string::npos);
    }
    CHECK(with("1e999").find("limits: total: ") == std::string::npos);
    CHECK(with("1e999").find("limits:1:") == 0);
    CHECK(with("1, \"total\": 2").find("a key given twice") != std::string::npos);
    CHECK(with("1, \"totals\": 2").find("an unknown key: 'totals'") != std::string::npos);
    CHECK(said("{\"source\": \"ours\", \"total\": 1, \"sensible\": 1}").find("limits: latent: missing") == 0);
    CHECK(said("{\"source\": 5, \"total\": 1, \"sensible\": 1, \"latent\": 1}").find("limits: source: no text: ") == 0);
    CHECK(said("{\"source\": ").find("limits:1:") == 0);
    for (const char* const none : {"", "rule_of_thumb", "[1]", "manual_s_2014 "}) {
        CAPTURE(none);
        CHECK(said(none).find("accepted: manual_s_2014, manual_s_2014_condition_b, manual_s_2004, energy_star_v3, or a "
                              "JSON object of source") != std::string::npos);
    }
}
