// The project's own worked example 7 (invented readings and unit), and the published example of conformity
// probabilities.
#include <doctest/doctest.h>

#include "../support/example_7.hpp"
#include "../support/near.hpp"
#include "offnominal/report.hpp"

using namespace unit_a;

namespace {
/// The example's probability follows from the example's ratio and relative uncertainty, and ours from ours.
void check_probability(const Proof& p, double limit, double relative_u, double printed) {
    CHECK(near(probability_at_least(limit, 0.9206, relative_u * 0.9206), printed, absolute(0.0005)));
    CHECK(near(p.probability, probability_at_least(limit, *p.ratio, p.ratio_u), absolute(0.01)));
}
}  // namespace

TEST_CASE("example 7: ratio, contributions, joint uncertainty") {
    const Proof p = prove(exact_page(), example_7());
    CHECK(near(in(p.expected->total_capacity, units::MBh), 32.33, relative(0.0015)));
    CHECK(near(*p.ratio, 0.9206, relative(0.0015)));
    // Contributions to ln delivered | ln expected | ratio, percent, as the example prints them (two decimals,
    // derivatives; ours are half differences over +-1 standard uncertainty, and the page has kinks: within 0.06).
    const struct {
        Input input;
        double delivered, expected, ratio;
    } printed[] = {{Input::return_dry_bulb, 3.57, 0.55, 3.02},  {Input::return_humidity, 4.34, 0.66, 3.68},
                   {Input::supply_dry_bulb, -3.50, 0.0, -3.50}, {Input::supply_humidity, -2.71, 0.0, -2.71},
                   {Input::airflow, 3.50, 0.60, 2.90},          {Input::outdoor_dry_bulb, 0.0, -0.29, 0.29}};
    for (const auto& row : printed) {
        CAPTURE(name(row.input));
        const BudgetLine& line = line_of(p, row.input);
        CHECK(near(100 * line.delivered, row.delivered, absolute(0.06)));
        CHECK(near(100 * line.expected, row.expected, absolute(0.06)));
        CHECK(near(100 * line.ratio, row.ratio, absolute(0.06)));
    }
    CHECK(near(by_inputs(p), 0.0712, absolute(0.5e-4)));
    CHECK(near(2 * by_inputs(p) * as_read(p), 0.131, absolute(0.0005)));
    CHECK(near(p.ratio_u / *p.ratio, by_inputs(p), relative(0.01)));  // by draws, and with how an axis of two bends
    check_probability(p, 0.90, 0.0712, 0.623);
    CHECK(p.outcome == Outcome::undecided);
}

TEST_CASE("example 7: with a 2.5 percent page, and after side-by-side comparison") {
    Basis b = basis();
    b.tolerance = 0.05;  // coverage factor 2
    PrintedPage sharp = page();
    sharp.total_step = 0.0;
    CHECK(near(std::hypot(by_inputs(prove(system(b, sharp), example_7())), 0.025), 0.0755, relative(0.01)));

    Visit v = example_7();
    v.of(Input::return_dry_bulb).standard = v.of(Input::supply_dry_bulb).standard = 0.15 / 1.8;
    v.of(Input::return_humidity).standard = v.of(Input::supply_humidity).standard = 0.007;
    const Proof p = prove(exact_page(), v);
    CHECK(near(by_inputs(p), 0.0427, absolute(0.5e-4)));
    CHECK(near(2 * by_inputs(p) * as_read(p), 0.0787, absolute(0.5e-4)));
    check_probability(p, 0.90, 0.0427, 0.700);
    v.limit = 0.85;
    const Proof q = prove(exact_page(), v);
    check_probability(q, 0.85, 0.0427, 0.964);
    CHECK(q.outcome == Outcome::meets);
}

TEST_CASE("joint uncertainty is smaller than the naive sum, because inputs are shared") {
    const Proof p = prove(exact_page(), example_7());
    double delivered = 0, expected = 0;
    for (const BudgetLine& line : p.budget)
        delivered += line.delivered * line.delivered, expected += line.expected * line.expected;
    CHECK(near(std::sqrt(delivered), 0.0796, absolute(0.5e-4)));
    CHECK(near(std::sqrt(delivered + expected), 0.0804, absolute(1e-4)));
    CHECK(p.ratio_u / *p.ratio < std::sqrt(delivered + expected));
}

TEST_CASE(
    "conformity probabilities as JCGM 106:2012 defines them (clause 7, inputs from memory, see "
    "gum_jcgm106_examples.yaml)") {
    CHECK(near(1 - probability_at_least(-5.40, -5.47, 0.05), 0.91924, relative(1e-5)));
    CHECK(near(probability_at_least(490, 509.7, 8.6), 0.98901, relative(1e-5)));
    CHECK(near(probability_at_least(12.5, 13.6, 1.8) - probability_at_least(16.3, 13.6, 1.8), 0.66263, absolute(5e-6)));
    const double r[] = {0.0, 0.5, 0.82, 1.0, 1.25}, pc[] = {0.5, 0.841345, 0.949497, 0.977250, 0.993790};
    for (int i = 0; i < 5; ++i) CHECK(near(probability_at_least(0, 2 * r[i], 1), pc[i], relative(1e-6)));
}

TEST_CASE("global risks of a rule, as JCGM 106:2012 defines them (clause 9.5, see gum_jcgm106_examples.yaml)") {
    // Two limits 0.2 either side of nominal, made to 0.12, measured to 0.04, with guard bands of w.
    const struct {
        double w, consumer, producer;
    } shared[] = {{0.00, 0.018942, 0.037208},
                  {0.04, 0.004334, 0.114657},
                  {0.08, 0.000469, 0.247670},
                  {-0.04, 0.044898, 0.007097}};
    for (const auto& row : shared) {
        CAPTURE(row.w);
        const Interval accepted{-0.2 + row.w, 0.2 - row.w};
        const GlobalRisks risks = global_risks({-0.2, 0.2}, accepted, accepted, {0.0, 0.12}, 0.04);
        CHECK(near(risks.consumer, row.consumer, absolute(0.6e-6)));
        CHECK(near(risks.producer, row.producer, absolute(0.6e-6)));
    }
    // False accepts by the share in tolerance, limits 1 either side, measured four times as well as made; percent.
    const double in_tolerance[] = {0.6, 0.7, 0.8, 0.9, 0.95, 0.99},
                 z[] = {0.8416212335729143, 1.0364333894937896, 1.2815515655446004,
                        1.6448536269514722, 1.9599639845400545, 2.5758293035489004},
                 printed[] = {4.83860326, 3.92234109, 2.85583037, 1.59995312, 0.87100925, 0.19991684};
    for (std::size_t i = 0; i < 6; ++i) {
        CAPTURE(in_tolerance[i]);
        const double made = 1.0 / z[i];
        const GlobalRisks risks = global_risks({-1.0, 1.0}, {-1.0, 1.0}, {-1.0, 1.0}, {0.0, made}, 0.25 * made);
        // The suite prints its own quadrature, which is 1e-6 low at 0.95 (SciPy: 0.87101019).
        CHECK(near(100.0 * risks.consumer, printed[i], relative(1.2e-6)));
    }
    CHECK_THROWS_AS((void)global_risks({0.9}, {0.9}, {0.9}, {1.0, 0.0}, 0.1), InputError);
    CHECK_THROWS_AS((void)global_risks({0.9}, {0.9}, {0.9}, {1.0, 0.1}, 0.0), InputError);
}

TEST_CASE("simple acceptance decides by what is more likely than not, and says how often that is wrong") {
    Visit v = example_7();
    const Proof guarded = prove(exact_page(), v);
    CHECK(guarded.outcome == Outcome::undecided);
    CHECK_FALSE(guarded.risk);
    CHECK(near(guarded.guard_band, 1.6448536 * guarded.ratio_u, relative(1e-6)));  // r = 0.82 of U (8.3.2)
    v.acceptance = Acceptance::simple;
    const Proof simple = prove(exact_page(), v);
    CHECK(simple.outcome == Outcome::meets);
    CHECK(simple.probability == guarded.probability);
    CHECK(*simple.risk == 1.0 - simple.probability);
    CHECK(simple.guard_band == 0.0);
    CHECK_FALSE(simple.global);
    const std::string told = report(exact_page(), v, simple, UnitSystem::IP);
    CHECK(told.find(
              "(Simple acceptance, as the visit asks: more likely than not is enough; this verdict is wrong with") !=
          std::string::npos);
    CHECK(told.find("specific risk: chance that it was passed and falls short (the consumer's): ") !=
          std::string::npos);
    v.limit = 0.95;
    v.population = Population{0.93, 0.08};
    const Proof weak = prove(exact_page(), v);
    CHECK(weak.outcome == Outcome::falls_short);
    CHECK(*weak.risk == weak.probability);
    REQUIRE(weak.global);
    const GlobalRisks by_hand = global_risks({0.95}, {0.95}, {0.95}, *v.population, weak.ratio_u);
    CHECK(weak.global->consumer == by_hand.consumer);
    CHECK(weak.global->producer == by_hand.producer);
    v.acceptance = Acceptance::guarded;
    const Proof guards = prove(exact_page(), v);
    CHECK(guards.global->consumer < 0.3 * by_hand.consumer);
    CHECK(guards.global->producer < 0.3 * by_hand.producer);
    CHECK(report(exact_page(), v, guards, UnitSystem::IP)
              .find("global risk, of all machines that the visit says it is") != std::string::npos);
    v.population->standard = 0.0;
    CHECK_THROWS_AS((void)prove(exact_page(), v), InputError);
}

TEST_CASE("the decision follows limit, confidence and ratio") {
    Visit v = example_7();
    for (const Input i : {Input::return_dry_bulb, Input::supply_dry_bulb, Input::return_humidity,
                          Input::supply_humidity, Input::airflow})
        v.of(i).standard *= 0.1;
    v.limit = 0.90;
    CHECK(prove(exact_page(), v).outcome == Outcome::meets);
    v.limit = 0.95;
    CHECK(prove(exact_page(), v).outcome == Outcome::falls_short);
    v.readings.airflow.si *= 1.25;  // out of the page: not comparable, with the reason
    CHECK(prove(exact_page(), v).outcome == Outcome::not_comparable);
    CHECK(prove(exact_page(), v).reason.about == About::standard_airflow);
    v = example_7();
    v.readings.supply_dry_bulb = 54_degF;
    for (Uncertain& u : v.uncertainty) u.standard *= 0.1;
    CHECK(*prove(exact_page(), v).ratio > 1.10);
    CHECK(prove(exact_page(), v).outcome == Outcome::implausible);
    for (Uncertain& u : v.uncertainty) u.standard *= 20;  // the same ratio within its doubt is no longer implausible
    CHECK(prove(exact_page(), v).outcome != Outcome::implausible);
}

TEST_CASE("no ratio where there is none to be had (traps 35, 41)") {
    const auto reason = [](const Visit& v) {
        const Proof p = prove(exact_page(), v);
        CHECK(p.outcome == Outcome::not_comparable);
        CHECK_FALSE(p.ratio);
        return p.reason.why;
    };
    Visit v = example_7();
    v.steady = false;
    CHECK(reason(v) == Why::not_steady);
    v = example_7();
    v.running = from(14, units::minute);
    CHECK(reason(v) == Why::not_steady);
    v.running = from(16, units::minute);
    CHECK(prove(exact_page(), v).notes.has(Note::short_run));
    v.running = from(25, units::minute);
    CHECK_FALSE(prove(exact_page(), v).notes.has(Note::short_run));
    v = example_7();
    std::swap(v.readings.return_dry_bulb, v.readings.supply_dry_bulb);
    v.readings.return_humidity = air::relative_humidity(0.92);
    v.readings.supply_humidity = air::relative_humidity(0.55);
    v.outside = Outside::hold;
    CHECK(reason(v) == Why::wrong_mode);
    v = example_7();
    v.readings.supply_dry_bulb = 74_degF;
    v.readings.supply_humidity = air::relative_humidity(0.5);
    CHECK(reason(v) == Why::small_difference);
    v = example_7();
    v.fan_power = Power{20000.0};  // W: a kilowatt too many
    CHECK(reason(v) == Why::implausible);
}

TEST_CASE("limit and boundary have no default, unknown keys are refused with what there is") {
    Visit v = example_7();
    v.limit.reset();
    CHECK_THROWS_WITH_AS((void)prove(exact_page(), v), "limit is not given, and there is no default", Refused);
    v = example_7();
    v.boundary = Boundary::not_given;
    CHECK_THROWS_WITH_AS((void)prove(exact_page(), v),
                         "boundary is not given, and there is no default: coil (gross), or coil+fan (net)", Refused);
    v = example_7();
    v.stage = "turbo";
    CHECK_THROWS_WITH_AS((void)prove(exact_page(), v), "the system has no such stage: 'turbo'; it has full", Refused);
}

TEST_CASE("an error common to both probes nearly cancels for dry bulb, not for humidity") {
    Visit v = example_7();
    v.of(Input::return_dry_bulb).instrument = v.of(Input::supply_dry_bulb).instrument = "one probe";
    v.of(Input::return_dry_bulb).correlation = v.of(Input::supply_dry_bulb).correlation = 1.0;
    const Proof p = prove(exact_page(), v);
    const double c1 = line_of(p, Input::return_dry_bulb).ratio, c2 = line_of(p, Input::supply_dry_bulb).ratio;
    double rest = 0;
    for (const BudgetLine& line : p.budget)
        if (line.input != Input::return_dry_bulb && line.input != Input::supply_dry_bulb)
            rest += line.ratio * line.ratio;
    CHECK(near(p.ratio_u / *p.ratio, std::sqrt((c1 + c2) * (c1 + c2) + rest), relative(0.02)));
    double share = p.expected_share;
    for (const BudgetLine& line : p.budget) share += line.share;
    CHECK(near(share, 1.0, relative(1e-12)));
}

TEST_CASE("single errors move the ratio as the example says") {
    const auto ratio = [](const Visit& v) { return *prove(exact_page(), v).ratio; };
    const double base = ratio(example_7());
    Visit v = example_7();  // return wet bulb +1 degF at fixed dry bulb: +10.5 %
    const double wb = air::wet_bulb(air::state(76_degF, air::relative_humidity(0.55), air::pressure_at(0_ft))).si;
    v.readings.return_humidity = air::wet_bulb(Temperature{wb + 1 / 1.8});
    CHECK(near(ratio(v) / base - 1, 0.105, relative(0.02)));
    v = example_7();  // supply dry bulb +1 degF: -10.1 %
    v.readings.supply_dry_bulb.si += 1 / 1.8;
    CHECK(near(ratio(v) / base - 1, -0.101, relative(0.02)));
    v = example_7();  // both dry bulbs +1 degF: -1.4 %
    v.readings.return_dry_bulb.si += 1 / 1.8;
    v.readings.supply_dry_bulb.si += 1 / 1.8;
    CHECK(near(ratio(v) / base - 1, -0.014, relative(0.05)));
    v = example_7();  // both humidities +3 points: +3.4 %
    v.readings.return_humidity.value += 0.03;
    v.readings.supply_humidity.value += 0.03;
    // As read: a supply of 95 % may be a wetted probe's, which the mean of the ratio's distribution holds too.
    CHECK(near(as_read(prove(exact_page(), v)) / as_read(prove(exact_page(), example_7())) - 1, 0.034, relative(0.05)));
    v = example_7();  // airflow 10 % low: -8.4 %; 978 scfm is past this page's 1000, so its edge cell is continued
    v.readings.airflow.si *= 0.9;
    PrintedPage wide = exact_page().parts().cooling[0].table.page();
    const std::size_t step = wide.nodes.size() / 4;  // airflow is the second axis: 2 outdoor dry bulbs, 2 airflows
    wide.airflow[0] = cfm(900);
    for (std::size_t low = 0; low < wide.nodes.size(); low += 2 * step)
        for (std::size_t n = low; n < low + step; ++n) {
            PrintedNode& at = wide.nodes[n];
            const PrintedNode& next = wide.nodes[n + step];
            at.total += 0.5 * (at.total - next.total);
            at.sensible += 0.5 * (at.sensible - next.sensible);
        }
    CHECK(near(*prove(system(basis(), wide), v).ratio / base - 1, -0.084, relative(0.02)));
}

TEST_CASE("an input whose effect cannot be told leaves no certainty behind") {
    // One outdoor dry bulb only has numbers: moving it leads to blanks on either side.
    PrintedPage p = page();
    p.outdoor_dry_bulb = {degF(81), degF(91), degF(101)};
    std::vector<PrintedNode> nodes(12, PrintedNode{0, 0, 0, 0, Mark::blank});
    std::copy_n(p.nodes.begin(), 4, nodes.begin() + 4);
    p.nodes = nodes;
    const Proof proof = prove(system(basis(), p), example_7());
    CHECK(proof.outcome == Outcome::not_comparable);
    CHECK(proof.reason.why == Why::no_sensitivity);
}

TEST_CASE("a page printed at one airflow: the published curves take an airflow error's part out of the ratio") {
    PrintedPage p = page();
    p.airflow = {cfm(1000)};
    p.nodes = {p.nodes[0], p.nodes[1], p.nodes[4], p.nodes[5]};
    const Proof proof = prove(system(basis(), p), example_7());  // 1,087 scfm
    REQUIRE(proof.ratio);
    CHECK(proof.notes.has(Note::airflow_effect));
    CHECK(proof.expected->uncertainty.airflow > 0.0);
    const BudgetLine& airflow = line_of(proof, Input::airflow);
    // By hand, at 1.087 of the page's airflow: (0.41797 - 2 x 0.13664 x 1.087) / 1.0118 x 1.087, net of fan 0.13.
    CHECK(near(airflow.expected, 0.035 * 0.13, relative(0.1)));
    CHECK(near(airflow.ratio, airflow.delivered - airflow.expected, absolute(2e-4)));
}

TEST_CASE("a visit built in code is checked like one that was read") {
    const auto refused = [](auto change) {
        Visit v = example_7();
        change(v);
        CHECK_THROWS_AS((void)prove(exact_page(), v), InputError);
    };
    refused([](Visit& v) { v.limit = NAN; });
    refused([](Visit& v) { v.confidence = 0.3; });
    refused([](Visit& v) { v.of(Input::airflow).standard = NAN; });
    refused([](Visit& v) { v.of(Input::return_dry_bulb).correlation = 5.0; });
}

TEST_CASE("the report names what is suspected, not whatever else is noted") {
    const Visit visit = example_7();
    Proof p = prove(exact_page(), visit);
    p.outcome = Outcome::undecided;
    p.uncapped = Outcome::falls_short;
    p.notes.add(Note::probes_astride_fan);
    p.notes.add(Note::airflow_suspect);
    p.suspect = About::airflow;
    CHECK(report(exact_page(), visit, p, UnitSystem::IP).find("\n  why: power is on target") != std::string::npos);
    p.suspect = About::boundary;
    CHECK(report(exact_page(), visit, p, UnitSystem::IP).find("\n  why: power is on target") == std::string::npos);
}
