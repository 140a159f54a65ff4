// Proofs of heating: visits made from a page, so that the ratio is known; what is no steady heating; auxiliary heat;
// pages with frost in them.
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "../support/heating_page.hpp"
#include "../support/near.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/causes.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/report.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// Readings of a machine that delivers `share` of the page at 1100 scfm and 70 degF, with `auxiliary` between the
/// probes.
Visit heating_visit(double share, Temperature outdoor = 47_degF, Power auxiliary = 0_W,
                    const System& system = heating_page::system(), Frost frost = Frost::instantaneous) {
    Visit v;
    v.readings.mode = Mode::heating;
    v.site = Site::at(0_ft, air::pressure_at(0_ft));
    v.stage = "full";
    v.boundary = Boundary::coil_and_fan;
    v.fan_power = 420_W;
    v.outdoor_dry_bulb = outdoor;
    v.readings.return_dry_bulb = 70_degF;
    v.readings.return_humidity = air::relative_humidity(0.30);
    v.readings.airflow = AirflowReading::standard(1100_cfm);
    v.readings.auxiliary_heat = auxiliary;
    v.defrost_free = true;
    v.steady = true;
    v.limit = 0.90;
    Conditions c = heating_page::question();
    c.frost = frost;
    c.outdoor_dry_bulb = outdoor;
    c.entering_dry_bulb = 70_degF;
    const Expected e = expect(system, v.site, c);
    const air::State in = air::state(70_degF, v.readings.return_humidity, Pressure{*v.site.pressure()});
    const double heat = share * e.total_capacity.si + auxiliary.si,
                 per_degree = e.mass_flow.si * (1006.0 + 1860.0 * in.humidity_ratio.si);
    v.readings.supply_dry_bulb = Temperature{in.dry_bulb.si + heat / per_degree};
    v.of(Input::return_dry_bulb) = v.of(Input::supply_dry_bulb) = {0.15, {}, {}, Shape::normal};
    v.of(Input::return_humidity).standard = 0.02;
    v.of(Input::airflow).standard = 0.025 * v.readings.airflow.si;
    v.of(Input::outdoor_dry_bulb).standard = 0.3;
    v.of(Input::pressure).standard = 100.0;
    v.of(Input::fan_power).standard = 8.0;
    return v;
}

double as_read_heating(const Proof& p) { return p.delivered.total_capacity.si / p.expected->total_capacity.si; }

Reason refused(const Visit& v, const System& system = heating_page::system()) {
    try {
        (void)prove(system, v);
    } catch (const Refused& r) {
        return r.reason();
    }
    return {};
}

double frost_factor(const Proof& p) {
    for (const Step& step : p.expected->ledger)
        if (step.kind == Step::Kind::frost && step.of == Step::Of::total) return step.factor;
    return 1.0;
}

double share_of(const Proof& p, Input input) {
    for (const BudgetLine& line : p.budget)
        if (line.input == input) return line.share;
    return -1.0;
}

}  // namespace

// Worked example 5 of the project's trade notes: 20.5 degC, 30 %, 560 L/s, 5,000 ft (1,524 m), 35.9 degC leaving.
TEST_CASE("deliver, heating: example 5, read in the return and in the supply") {
    Readings r;
    r.mode = Mode::heating;
    r.return_dry_bulb = Temperature{20.5};
    r.return_humidity = air::relative_humidity(0.30);
    r.supply_dry_bulb = Temperature{35.9};
    r.airflow = AirflowReading::actual(Airflow{0.560}, air::Place::return_air);
    r.auxiliary_heat = 0_W;
    const Site site = Site::at_elevation(Length{1524.0});
    const Delivered d = deliver(r, site);
    CHECK(near(d.total_capacity.si, 8689.0, relative(1e-3)));
    CHECK(d.mode == Mode::heating);
    CHECK(d.sensible_capacity == d.total_capacity);
    CHECK(d.latent_capacity == 0_W);
    CHECK(d.supply_air.humidity_ratio == d.return_air.humidity_ratio);
    CHECK(near(d.split.si, -15.4, absolute(1e-12)));
    r.airflow.place = air::Place::supply_air;
    CHECK(near(deliver(r, site).total_capacity.si, 8256.0, relative(1e-3)));
    r.auxiliary_heat = 1000_W;
    CHECK(near(deliver(r, site).total_capacity.si, 8256.0 - 1000.0, relative(1e-3)));
    r.auxiliary_heat.si = Readings::not_given;
    CHECK(try_deliver(r, site).reason() == Reason{Why::not_given, About::auxiliary_heat, -1, -1, 0, 0, 0});
    r.auxiliary_heat.si = -1.0;
    CHECK(try_deliver(r, site).reason().why == Why::outside);
}

TEST_CASE("heating: readings made from the page give their ratio back") {
    for (const double share : {1.0, 0.8}) {
        const Proof p = prove(heating_page::system(), heating_visit(share));
        REQUIRE(p.ratio);
        CHECK(near(as_read_heating(p), share, relative(1e-12)));
        CHECK(near(*p.ratio, share, absolute(0.05 * p.ratio_u)));
        CHECK(p.expected->mode == Mode::heating);
        CHECK(p.expected->frost == Frost::instantaneous);
        REQUIRE(p.split);
        CHECK(near(p.split->measured, -p.delivered.split.si, relative(1e-12)));
        CHECK(near(p.split->ratio, share, relative(2e-3)));  // moist heat capacity by two roundings of its constants
        CHECK_FALSE(p.sensible);
        CHECK_FALSE(p.joint_ratio);
        CHECK_FALSE(p.notes.has(Note::frost_on_coil));
        CHECK(share_of(p, Input::supply_humidity) == 0.0);
        CHECK(share_of(p, Input::auxiliary_heat) == 0.0);
    }
    CHECK(prove(heating_page::system(), heating_visit(1.0)).outcome == Outcome::meets);
    CHECK(prove(heating_page::system(), heating_visit(0.8)).outcome == Outcome::falls_short);
    CHECK(prove(heating_page::system(), heating_visit(1.3)).outcome == Outcome::implausible);
}

TEST_CASE("heating: by draws as by first order") {
    Visit v = heating_visit(0.97);
    const Proof first = prove(heating_page::system(), v);
    CHECK(first.method == Method::first_order);
    v.of(Input::airflow).standard = 0.10 * v.readings.airflow.si;
    v.of(Input::airflow).shape = Shape::rectangular;
    const Proof drawn = prove(heating_page::system(), v);
    CHECK(drawn.method == Method::draws);
    // As first order has it, but for the mean: an error of gain makes it a hundredth larger, the airflow's variance.
    double squares = drawn.expected_u * drawn.expected_u;
    for (const BudgetLine& line : drawn.budget) squares += line.ratio * line.ratio;
    CHECK(near(*drawn.ratio, 0.97 * 1.01, absolute(0.005)));
    CHECK(near(drawn.ratio_u / *drawn.ratio, std::sqrt(squares), relative(0.03)));
}

TEST_CASE("heating: supply colder than return is the wrong mode, and a small rise is none") {
    Visit v = heating_visit(1.0);
    v.readings.supply_dry_bulb = 52_degF;
    Proof p = prove(heating_page::system(), v);
    CHECK(p.reason == Reason{Why::wrong_mode, About::rise, -1, -1, 0, 0, 0});
    CHECK(p.outcome == Outcome::not_comparable);
    CHECK(explain(p.reason) == "supply is colder than return: wrong mode, or swapped probes");
    v.readings.supply_dry_bulb = 72_degF;
    CHECK(prove(heating_page::system(), v).reason.why == Why::small_difference);
    v.readings.supply_dry_bulb = 140_degF;
    p = prove(heating_page::system(), v);
    CHECK(p.reason.why == Why::implausible);
    CHECK(p.reason.about == About::rise);
    // A heater's part of the rise is no machine's: the same supply with 12 kW in it is.
    v.readings.auxiliary_heat = 12000_W;
    CHECK(prove(heating_page::system(), v).reason.about != About::rise);
}

TEST_CASE("heating: slips that cooling's gates catch too") {
    Visit v = heating_visit(1.0);
    v.steady = false;
    CHECK(prove(heating_page::system(), v).reason.why == Why::not_steady);
    v = heating_visit(1.0);
    v.fan_power = Power{0.42};
    CHECK(prove(heating_page::system(), v).reason.about == About::fan_power);
    v = heating_visit(1.0);
    v.site = Site::at(1300_ft, Pressure{air::pressure_at(1300_ft).si * 1.047});
    CHECK(prove(heating_page::system(), v).reason.about == About::pressure);
    v = heating_visit(1.0);
    v.readings.airflow.si *= 2.5;
    CHECK(prove(heating_page::system(), v).reason.about == About::standard_airflow);
    HeatingPage small = heating_page::page(0.2);  // 1100 scfm for 0.57 tons
    small.has_power = false;
    const System system = heating_page::system(heating_page::basis(), small);
    CHECK(prove(system, heating_visit(1.0, 47_degF, 0_W, system)).reason.about == About::airflow_per_ton);
}

TEST_CASE("heating: outdoor air above the page has no answer there") {
    Visit v = heating_visit(1.0);
    v.outdoor_dry_bulb = 58_degF;
    const Proof p = prove(heating_page::system(), v);
    CHECK(p.reason.why == Why::outside);
    CHECK(p.reason.about == About::outdoor_dry_bulb);
    v.outdoor_dry_bulb = 47.4_degF;  // within 2 % of the axis
    v.outside = Outside::extend;
    CHECK(prove(heating_page::system(), v).ratio);
}

TEST_CASE("a defrost in the window, or nobody who says that there was none, allows no ratio (trap 30)") {
    const auto reason = [](std::optional<bool> free, std::optional<Duration> since) {
        Visit v = heating_visit(1.0);
        v.defrost_free = free;
        v.since_defrost = since;
        return prove(heating_page::system(), v).reason;
    };
    CHECK(reason({}, {}) == Reason{Why::not_given, About::defrost, -1, -1, 0, 0, 0});
    CHECK(reason(false, {}).why == Why::defrosting);
    CHECK(reason(false, Duration{60.0 * 30}).why == Why::defrosting);
    CHECK(reason({}, Duration{60.0 * 5}).why == Why::defrosting);
    CHECK(reason(true, Duration{60.0 * 5}).why == Why::defrosting);
    CHECK(reason({}, Duration{60.0 * 12}).none());
    CHECK(reason(true, {}).none());
    Visit v = heating_visit(1.0);
    v.since_defrost = Duration{60.0 * 12};
    CHECK(prove(heating_page::system(), v).notes.has(Note::short_run));
    v.since_defrost = Duration{60.0 * 25};
    CHECK_FALSE(prove(heating_page::system(), v).notes.has(Note::short_run));
    // A time below zero is none, for the frost least of all; nor is one that is no number.
    for (const double seconds : {-1.0, -600.0, double(NAN), double(INFINITY)}) {
        v.since_defrost = Duration{seconds};
        CHECK_THROWS_AS((void)prove(heating_page::system(), v), InputError);
        v.since_defrost.reset();
        v.running = Duration{seconds};
        CHECK_THROWS_AS((void)prove(heating_page::system(), v), InputError);
        v.running.reset();
    }
}

TEST_CASE("causes when heating: faults of which no model is published are hypotheses by their direction, and said so") {
    const System system = heating_page::system();
    const Visit v = heating_visit(0.75);
    const Proof proof = prove(system, v);
    REQUIRE(proof.ratio.has_value());
    std::string told;
    for (const LikelyCause& one : causes_of(system, v, proof).likely) {
        if (one.also) continue;
        told += std::string(name(one.cause)) + ":" + std::string(name(one.support)) + " ";
    }
    CAPTURE(told);
    for (const char* one : {"outdoor_airflow:practice", "liquid_restriction:practice", "charge_low:published"})
        CHECK(told.find(one) != std::string::npos);
}

TEST_CASE("causes of no ratio in heating: swapped probes, a rise or a heater that no machine has") {
    const System system = heating_page::system();
    const auto first = [&](const Visit& v, double least, double most) {
        const Proof proof = prove(system, v);
        CHECK_FALSE(proof.ratio);
        CHECK(asks_for_causes(proof));
        const Causes found = causes_of(system, v, proof);
        REQUIRE_FALSE(found.likely.empty());
        CHECK(found.likely.front().severity >= least);
        CHECK(found.likely.front().severity <= most);
        return found.likely.front();
    };
    Visit swapped = heating_visit(0.97);
    std::swap(swapped.readings.return_dry_bulb, swapped.readings.supply_dry_bulb);
    CHECK(first(swapped, 0.95, 0.99).cause == Cause::swapped);
    Visit hot = heating_visit(1.0);
    hot.readings.supply_dry_bulb.si += 40.0;
    CHECK(first(hot, 10.0, 60.0).input == Input::supply_dry_bulb);
    Visit heater = heating_visit(1.0);
    heater.readings.auxiliary_heat = 12000_W;
    CHECK(first(heater, 100.0, 12000.0).input == Input::auxiliary_heat);
}

TEST_CASE("auxiliary heat is subtracted with its own uncertainty (trap 40)") {
    const Proof off = prove(heating_page::system(), heating_visit(0.95));
    Visit v = heating_visit(0.95, 47_degF, 5000_W);
    v.of(Input::auxiliary_heat).standard = 0.02 * 5000.0;
    const Proof metered = prove(heating_page::system(), v);
    REQUIRE(metered.ratio);
    CHECK(near(as_read_heating(metered), 0.95, relative(1e-12)));
    CHECK(metered.delivered.auxiliary_heat == 5000_W);
    // 100 W of uncertainty on the 9.9 kW that are left, and rise and airflow weigh on 14.9 kW for 9.9.
    CHECK(metered.ratio_u > 1.2 * off.ratio_u);
    for (const BudgetLine& line : metered.budget)
        if (line.input == Input::auxiliary_heat)
            CHECK(near(line.ratio, -100.0 / metered.delivered.total_capacity.si, relative(1e-9)));
    CHECK(metered.split);
    CHECK(near(metered.split->ratio, 0.95, relative(2e-3)));

    // Believed off while it was on: the ratio says so.
    v.readings.auxiliary_heat = 0_W;
    CHECK(prove(heating_page::system(), v).outcome == Outcome::implausible);
}

TEST_CASE("auxiliary heat: its state must be said, what is not known decides nothing, and more than all is a slip") {
    Visit v = heating_visit(1.0);
    v.readings.auxiliary_heat.si = Readings::not_given;
    CHECK(refused(v) == Reason{Why::not_given, About::auxiliary_heat, -1, -1, 0, 0, 0});
    v.auxiliary_unknown = true;
    for (const double limit : {0.5, 0.9, 1.1}) {
        v.limit = limit;
        const Proof p = prove(heating_page::system(), v);
        CHECK(p.outcome == Outcome::undecided);
        CHECK(p.other_outcome == Outcome::undecided);
        CHECK(p.notes.has(Note::auxiliary_unknown));
        CHECK(p.ratio);
    }
    v = heating_visit(1.0);
    v.readings.auxiliary_heat = 15000_W;
    const Proof p = prove(heating_page::system(), v);
    CHECK(p.reason.why == Why::implausible);
    CHECK(p.reason.about == About::auxiliary_heat);
    CHECK(explain(p.reason).starts_with("auxiliary heat 15000 W is more than all the heat that the air gained, "));
}

TEST_CASE("a meter around the auxiliary heat too tells no power of the machine") {
    Visit v = heating_visit(1.0, 47_degF, 3000_W);
    const System system = heating_page::system();
    const double power = prove(system, v).expected->power->si;
    v.power = PowerReading{PowerBasis::outdoor_unit, Power{power}};
    v.of(Input::power).standard = 0.02 * power;
    const Proof alone = prove(system, v);
    REQUIRE(alone.power);
    CHECK(near(alone.power->ratio, 1.0, relative(1e-12)));
    REQUIRE(alone.efficiency);
    CHECK(near(alone.efficiency->ratio, 1.0, relative(1e-9)));
    v.power = PowerReading{PowerBasis::system, Power{power + 3420.0}};
    const Proof around = prove(system, v);
    CHECK_FALSE(around.power);
    CHECK(around.no_power.why == Why::unlike_basis);
    v.readings.auxiliary_heat = 0_W;
    v.readings.supply_dry_bulb = heating_visit(1.0).readings.supply_dry_bulb;
    v.power->value.si = power + 420.0;
    CHECK(prove(system, v).power);
}

TEST_CASE("an integrated page has its frost taken out again, at a cost (trap 31)") {
    // The regulation's machine of worked example 6 at 35 degF: 28.76 steady, 25.88 integrated; 2.446 and 2.409 kW.
    HeatingPage page = heating_page::page();
    for (HeatingNode& node : page.nodes) {
        const auto n = static_cast<std::size_t>(&node - page.nodes.data());
        if (n / 6 != 1) continue;  // the middle of the three outdoor dry bulbs
        node.capacity *= 0.90;
        node.power *= 0.985;
    }
    const System integrated = heating_page::system(heating_page::basis(), page, Frost::integrated);
    const System instantaneous = heating_page::system();
    Visit v = heating_visit(1.0, 35_degF);
    const Proof p = prove(integrated, v), clean = prove(instantaneous, v);
    REQUIRE(p.ratio);
    CHECK(near(as_read_heating(p), 1.0, relative(1e-9)));
    CHECK(p.expected->frost == Frost::instantaneous);
    CHECK(has(p.expected->footing, Footing::inferred));
    CHECK(p.notes.has(Note::frost_taken_out));
    CHECK_FALSE(p.notes.has(Note::frost_in_page));
    CHECK(near(p.expected->power->si, clean.expected->power->si, relative(1e-9)));
    // Half of the tenth that was taken out, beside what a fan of unknown position leaves open on either page.
    CHECK(near(p.expected->uncertainty.inferred,
               std::hypot(0.05 * p.expected->gross_total.si, clean.expected->uncertainty.inferred), relative(1e-9)));
    CHECK(p.expected_u > clean.expected_u);
    CHECK(p.notes.has(Note::frost_on_coil));
    CHECK(clean.notes.has(Note::frost_on_coil));

    // Where the model takes nothing, nothing is put back; at 45 degF it steps.
    v.outdoor_dry_bulb = 17_degF;
    CHECK(near(prove(integrated, v).expected->uncertainty.inferred,
               prove(instantaneous, v).expected->uncertainty.inferred, relative(1e-9)));
    const auto factor = [](double degF) { return derates::regulatory_factors(Temperature{units::degF.to_si(degF)}); };
    CHECK(near(factor(35).capacity, 0.90, relative(1e-12)));
    CHECK(near(factor(35).power, 0.985, relative(1e-12)));
    CHECK(factor(17).capacity == 1.0);
    CHECK(factor(45).capacity == 1.0);
    CHECK(factor(60).capacity == 1.0);
    CHECK(factor(44.999).capacity < 0.88);
    CHECK(near(factor(29).capacity, 24.12 / 26.04, absolute(0.001)));  // worked example 6

    // The library never does so unasked.
    Conditions c = heating_page::question();
    CHECK(try_expect(integrated, v.site, c).reason().about == About::frost);
    c.infer = true;
    CHECK(try_expect(integrated, v.site, c));
}

TEST_CASE("a defrost table takes out what it put in, at the humidity that the page is printed for") {
    const auto with_table = [](Frost frost, HeatingPage page, std::optional<double> humidity) {
        SystemParts parts;
        parts.name = "invented";
        HeatingBasis basis = heating_page::basis();
        basis.outdoor_relative_humidity = humidity;
        parts.heating.push_back({"full", frost, HeatingTable(basis, std::move(page))});
        parts.defrost = DefrostTable({{{},
                                       {units::degF.to_si(17), units::degF.to_si(47)},
                                       {0.5, 1.0},
                                       {{1.0, 1.0, 0.0}, {0.8, 0.9, 0.1}, {1.0, 1.0, 0.0}, {0.8, 0.9, 0.1}}}});
        return System(std::move(parts));
    };
    const Visit v = heating_visit(1.0, 35_degF);
    // At 75 %: halfway between no loss and a fifth.
    const Proof p = prove(with_table(Frost::integrated, heating_page::page(0.9), 0.75), v);
    REQUIRE(p.ratio);
    CHECK(near(as_read_heating(p), 1.0, relative(1e-2)));  // the page's own last place
    CHECK(near(frost_factor(p), 1.0 / 0.9, relative(1e-12)));
    // Of a page that does not say its humidity, the table says nothing: the regulation's model does.
    const Proof model = prove(with_table(Frost::integrated, heating_page::page(0.9), {}), v);
    CHECK(near(frost_factor(model), 1.0 / 0.9, relative(1e-12)));
    CHECK(frost_factor(prove(with_table(Frost::instantaneous, heating_page::page(), 0.75), v)) == 1.0);
}

TEST_CASE("a page that does not say its kind costs uncertainty where coils frost") {
    const System unknown = heating_page::system(heating_page::basis(), heating_page::page(), Frost::unknown);
    const Proof cold = prove(unknown, heating_visit(1.0, 35_degF)), mild = prove(unknown, heating_visit(1.0, 47_degF));
    REQUIRE(cold.ratio);
    CHECK(cold.notes.has(Note::frost_unknown));
    CHECK(cold.expected_u > 0.055);
    CHECK(mild.expected_u < 0.03);
}

TEST_CASE("frost only ever lowers: less is expected, and the doubt is about that") {
    const System page = heating_page::system();
    const Proof clear = prove(page, heating_visit(1.0, 47_degF)), frosted = prove(page, heating_visit(1.0, 30_degF));
    CHECK(clear.frost == 0.0);
    CHECK(near(frosted.frost, 0.02 * frosted.expected->gross_total.si / frosted.expected->total_capacity.si,
               relative(1e-12)));
    // Nothing to 4 %: what is read of a machine whose coil froze halfway is all of it.
    CHECK(
        near(*frosted.ratio, as_read_heating(frosted) / (1.0 + frosted.bend) / (1.0 - frosted.frost), relative(3e-3)));
    CHECK(near(prove(page, heating_visit(1.0 - frosted.frost, 30_degF)).ratio.value(), 1.0 / (1.0 + frosted.bend),
               relative(3e-3)));
    // Rectangular, 2 % to either side of the mean: no more than what an uncertainty both ways was.
    const auto own = [](const Proof& p) { return p.expected_u * p.expected_u; };
    CHECK(own(frosted) - own(clear) < 0.02 * 0.02);
    CHECK(own(frosted) - own(clear) > 0.010 * 0.010);
    CHECK(frosted.notes.has(Note::frost_on_coil));
}

TEST_CASE("nobody knows whether frost has grown: what passes passes without it, what falls short does so with it") {
    const System page = heating_page::system();
    const auto at = [&](double share, std::optional<Duration> since, Acceptance acceptance = Acceptance::guarded) {
        Visit v = heating_visit(share, 30_degF);
        v.since_defrost = since;
        v.acceptance = acceptance;
        return prove(page, v);
    };
    // Between the two chances there is a stretch of readings, about as wide as frost takes in the mean, that is even.
    int even = 0;
    double last = 0.0;
    for (int i = 0; i <= 200; ++i) {
        const Proof p = at(0.80 + 0.001 * i, {});
        const double with = probability_at_least(p.limit, *p.ratio, p.ratio_u),
                     clear = probability_at_least(
                         p.limit / (1.0 - p.frost), *p.ratio,
                         *p.ratio * std::sqrt(p.ratio_u * p.ratio_u / (*p.ratio * *p.ratio) - p.frost * p.frost / 3.0));
        // Plain normal ones, which do not lean as the ratio does: that is 0.0105 at most.
        CHECK(near(p.probability, std::clamp(0.5, clear, with), absolute(0.011)));
        CHECK(p.probability >= last);
        last = p.probability;
        even += p.probability == 0.5 ? 1 : 0;
    }
    CHECK(even >= 10);
    CHECK(even <= 30);
    // Simple acceptance goes by what is most likely.
    const Proof simple = at(0.89, {}, Acceptance::simple);
    CHECK(simple.probability > 0.5);
    CHECK(simple.outcome == Outcome::meets);
    CHECK(at(0.89, {}).probability == 0.5);
    // Soon after a defrost less can have grown, in proportion; after half an hour all of it.
    CHECK(near(at(1.0, Duration{15.0 * 60.0}).frost, 0.5 * at(1.0, {}).frost, relative(1e-12)));
    CHECK(at(1.0, Duration{30.0 * 60.0}).frost == at(1.0, {}).frost);
    CHECK(at(1.0, Duration{90.0 * 60.0}).frost == at(1.0, {}).frost);
}

TEST_CASE("a heating page that bends is read along its curve, unless it has frost in it") {
    // Capacity bends upwards over outdoor temperature: straight lines between its values lie above it.
    HeatingPage page = heating_page::page();
    const double first = page.outdoor_dry_bulb.front();
    const std::size_t each = page.nodes.size() / page.outdoor_dry_bulb.size();
    for (std::size_t i = 0; i < page.nodes.size(); ++i) {
        const double t = page.outdoor_dry_bulb[i / each] - first;
        page.nodes[i].capacity = 6000.0 + 100.0 * t + 1.5 * t * t;
        page.nodes[i].power = 2500.0;
    }
    page.capacity_step = 1.0;
    const double between =
        0.5 * (page.outdoor_dry_bulb[page.outdoor_dry_bulb.size() - 2] + page.outdoor_dry_bulb.back());
    const System curved = heating_page::system(heating_page::basis(), page, Frost::instantaneous);
    const Proof p = prove(curved, heating_visit(1.0, Temperature{between}, 0_W, curved));
    REQUIRE(p.ratio);
    const double t = between - first, lacks = (6000.0 + 100.0 * t + 1.5 * t * t) / p.expected->gross_total.si - 1.0;
    CHECK(lacks < -0.001);
    const double gross = p.expected->gross_total.si / p.expected->total_capacity.si;
    const double of_airflow =
        practice::bend_of_airflow * 100.0 * 100.0 / (1100.0 * 1100.0);  // between its two airflows
    CHECK(near(p.bend / gross - of_airflow, lacks, relative(0.25)));
    const System dips = heating_page::system(heating_page::basis(), page, Frost::integrated);
    const Proof integrated = prove(dips, heating_visit(1.0, Temperature{between}, 0_W, curved));
    CHECK(near(integrated.bend * integrated.expected->total_capacity.si / integrated.expected->gross_total.si,
               of_airflow, relative(1e-6)));
}

TEST_CASE("humidity of the return may stay unread in heating") {
    for (const bool actual : {false, true}) {
        Visit v = heating_visit(1.0);
        if (actual) v.readings.airflow = AirflowReading::actual(1100_cfm, air::Place::return_air);
        v.of(Input::airflow).standard = 0.025 * v.readings.airflow.si;
        const Proof read = prove(heating_page::system(), v);
        v.readings.return_humidity = Readings{}.return_humidity;
        v.of(Input::return_humidity) = {};
        const Proof unread = prove(heating_page::system(), v);
        REQUIRE(unread.ratio);
        CHECK(unread.notes.has(Note::humidity_assumed));
        CHECK_FALSE(unread.notes.has(Note::uncertainty_missing));
        CHECK(near(*unread.ratio, *read.ratio, relative(3e-3)));
        CHECK(unread.ratio_u > read.ratio_u);
        CHECK(unread.ratio_u < 1.05 * read.ratio_u);
    }
}

TEST_CASE("heating: another stage is tried on what was read") {
    SystemParts parts;
    parts.name = "two stages, invented";
    HeatingPage low = heating_page::page(0.7);
    for (HeatingNode& node : low.nodes) node.power *= 0.62;
    parts.heating.push_back({"full", Frost::integrated, HeatingTable(heating_page::basis(), heating_page::page(0.95))});
    parts.heating.push_back({"full", Frost::instantaneous, HeatingTable(heating_page::basis(), heating_page::page())});
    parts.heating.push_back({"low", Frost::instantaneous, HeatingTable(heating_page::basis(), low)});
    const System system(std::move(parts));
    Visit v = heating_visit(1.0);
    v.stage = "low";
    v.limit = 0.90;
    const Expected at_low = *prove(system, v).expected;
    v = heating_visit(at_low.total_capacity.si / prove(system, heating_visit(1.0)).expected->total_capacity.si);
    v.power = PowerReading{PowerBasis::outdoor_unit, *at_low.power};
    v.of(Input::power).standard = 0.02 * at_low.power->si;
    const Proof p = prove(system, v);  // asked at full
    CHECK(p.outcome == Outcome::undecided);
    CHECK(p.suspect == About::stage);
    CHECK(p.uncapped == Outcome::falls_short);
    REQUIRE(p.nearest.size() == 2);  // each stage once
    CHECK(system.parts().heating[static_cast<std::size_t>(p.nearest[0].stage)].name == "low");
    CHECK(near(*p.nearest[0].power_ratio, 1.0, relative(1e-9)));
    CHECK(report(system, v, p, UnitSystem::IP).find("    low: total 1.0") != std::string::npos);
}

TEST_CASE("heating: an airflow read wrong is named where the power is a sound machine's") {
    HeatingPage wide = heating_page::page();  // so that no airflow that is read leaves it
    wide.airflow = {units::cfm.to_si(700.0), units::cfm.to_si(1500.0)};
    const System page = heating_page::system(heating_page::basis(), wide);
    const auto sound = [&] { return heating_visit(1.0, 47_degF, 0_W, page); };
    const auto read = [&](double times, double power) {
        Visit v = sound();
        v.readings.airflow.si *= times;
        v.of(Input::airflow).standard *= times;
        v.power = PowerReading{PowerBasis::outdoor_unit, Power{power * prove(page, sound()).expected->power->si}};
        v.of(Input::power).standard = 0.003 * v.power->value.si;
        return prove(page, v);
    };
    CHECK_FALSE(read(1.0, 1.0).notes.has(Note::airflow_suspect));
    const Proof high = read(1.24, 1.0), low = read(0.79, 1.0);
    CHECK(high.suspect == About::airflow);
    CHECK(low.suspect == About::airflow);
    CHECK(low.uncapped == Outcome::falls_short);
    // A fault takes power too, and a visit without power cannot tell.
    CHECK_FALSE(read(0.79, 0.93).notes.has(Note::airflow_suspect));
}

TEST_CASE("heating: probes astride the fan put a pass in doubt, not a shortfall") {
    Visit v = heating_visit(0.89);  // of coil and fan; of the coil alone it would be 0.93
    v.boundary = Boundary::coil;
    v.limit = 0.90;
    for (Input i : {Input::airflow, Input::return_dry_bulb, Input::supply_dry_bulb}) v.of(i).standard *= 0.05;
    v.yardstick = Yardstick::page;
    v.of(Input::outdoor_dry_bulb).standard = 0.01;
    const Proof p = prove(heating_page::system(), v);
    CHECK(p.notes.has(Note::probes_astride_fan));
    CHECK(p.outcome == Outcome::undecided);
    CHECK(p.uncapped == Outcome::meets);
    CHECK(p.suspect == About::boundary);
}

TEST_CASE("heating has one ratio, a page of its own, and no speed between two of them") {
    Visit v = heating_visit(1.0);
    v.judge = Judge::both;
    CHECK_THROWS_AS((void)prove(heating_page::system(), v), InputError);
    v.judge = Judge::total;
    v.stage = "half";
    CHECK(refused(v).why == Why::unknown_stage);
    v.stage = "full";
    v.readings.mode = static_cast<Mode>(7);
    CHECK_THROWS_AS((void)prove(heating_page::system(), v), InputError);
}

TEST_CASE("heating is planned and settled too") {
    const System system = heating_page::system();
    Visit forecast = heating_visit(1.0, 47_degF, 4000_W);
    const Temperature sound = forecast.readings.supply_dry_bulb;
    forecast.of(Input::auxiliary_heat).standard = 400.0;
    forecast.readings.supply_dry_bulb = 70_degF;
    const Plan planned = plan(system, forecast);
    REQUIRE(planned.chances.size() == 3);
    CHECK(near(planned.visit.readings.supply_dry_bulb.si, sound.si, absolute(0.02)));
    CHECK(planned.chances[0].meets > planned.chances[1].meets);
    Visit v = heating_visit(0.93, 47_degF, 4000_W);
    v.of(Input::auxiliary_heat).standard = 400.0;
    const Proof p = prove(system, v);
    CHECK(p.outcome == Outcome::undecided);
    const auto remedies = settle(v, p);
    CHECK(std::ranges::any_of(remedies, [](const Settling& s) { return s.remedy == Remedy::auxiliary_off; }));
    CHECK(std::ranges::none_of(remedies, [](const Settling& s) { return s.remedy == Remedy::humidities; }));
    v.auxiliary_unknown = true;
    CHECK(settle(v, prove(system, v)).empty());
}

TEST_CASE("what better thermometers promise where frost may have grown is what reading again brings") {
    const System page = heating_page::system();
    for (const double share : {0.87, 0.95}) {
        Visit v = heating_visit(share, 30_degF);
        v.of(Input::return_dry_bulb).standard = v.of(Input::supply_dry_bulb).standard = 0.7;
        const Proof p = prove(page, v);
        REQUIRE(p.outcome == Outcome::undecided);
        const auto remedies = settle(v, p);
        const auto told = std::ranges::find(remedies, Remedy::dry_bulbs, &Settling::remedy);
        REQUIRE(told != remedies.end());
        std::mt19937_64 random{20100};
        std::normal_distribution<double> error;
        constexpr int draws = 2000;
        double meets = 0.0, falls_short = 0.0;
        Visit again = v;
        for (const Input i : {Input::return_dry_bulb, Input::supply_dry_bulb})
            again.of(i).standard = practice::good_temperature;
        const auto anew = [&](double read) {
            return read - 0.7 * error(random) + practice::good_temperature * error(random);
        };
        for (int i = 0; i < draws; ++i) {
            again.readings.return_dry_bulb.si = anew(v.readings.return_dry_bulb.si);
            again.readings.supply_dry_bulb.si = anew(v.readings.supply_dry_bulb.si);
            const Proof read = prove(page, again);
            const Outcome outcome = read.uncapped.value_or(read.outcome);
            meets += outcome == Outcome::meets ? 1.0 / draws : 0.0;
            falls_short += outcome == Outcome::falls_short ? 1.0 / draws : 0.0;
        }
        CHECK(near(meets, told->meets, absolute(3.0 * std::sqrt(0.25 / draws))));
        CHECK(near(falls_short, told->falls_short, absolute(3.0 * std::sqrt(0.25 / draws))));
    }
}

TEST_CASE("the report of a heating proof speaks of heating") {
    const System system = heating_page::system();
    Visit v = heating_visit(0.95, 35_degF, 2000_W);
    v.of(Input::auxiliary_heat).standard = 40.0;
    const std::string text = report(system, v, prove(system, v), UnitSystem::IP);
    for (const char* part : {"of heating, without 2000 W of auxiliary heat", "  rise ", "instantaneous heating",
                             "rise by the machine itself", "auxiliary heat  ", "frost grows on the coil"})
        CHECK_MESSAGE(text.find(part) != std::string::npos, part);
    for (const char* part : {"sensible 0", "latent", "split", "wet bulb"})
        CHECK_MESSAGE(text.find(part) == std::string::npos, part);
    v.defrost_free = false;
    CHECK(report(system, v, prove(system, v), UnitSystem::IP).find("next: wait until 20 minutes after a defrost") !=
          std::string::npos);
    v.defrost_free = true;
    v.auxiliary_unknown = true;
    CHECK(report(system, v, prove(system, v), UnitSystem::IP).find("next: switch the auxiliary heat off") !=
          std::string::npos);
}

TEST_CASE("heating: a second capacity by refrigerant, to which the fan's heat is added") {
    Visit v = heating_visit(0.95);
    const System system = heating_page::system();
    const Proof alone = prove(system, v);
    const double total = alone.delivered.total_capacity.si;
    v.second_capacity = SecondReading{SecondMethod::refrigerant, Boundary::coil, Power{total - 420.0}, {}, 0.02};
    const Proof same = prove(system, v);
    REQUIRE(same.second);
    CHECK(near(same.second->difference, 0.0, absolute(1e-9)));
    CHECK(same.outcome == alone.outcome);
    // The coil's capacity that was found for that of coil and fan.
    v.second_capacity->boundary = Boundary::coil_and_fan;
    CHECK(near(prove(system, v).second->difference, -420.0 / total, absolute(1e-9)));
    v.second_capacity->total.si = 1.4 * total;
    const Proof apart = prove(system, v);
    CHECK(apart.second->agreement == Agreement::contradicts);
    CHECK(apart.outcome == Outcome::undecided);
    CHECK(apart.suspect == About::total_capacity);
    // Outdoor air gives up water or frost, which its dry bulbs do not tell; a coil that heats sheds no water.
    for (const SecondMethod by : {SecondMethod::condenser, SecondMethod::condensate}) {
        v.second_capacity->by = by;
        v.second_capacity->water = MassFlow{0.001};
        CHECK_THROWS_WITH_AS((void)prove(system, v), doctest::Contains("second capacity: a method of cooling"),
                             InputError);
    }
}
