// Another airflow than the one a page is printed at, against three unlike models of coil and compressor
// (benchmarks/trial), and against the published curves themselves.
#include <doctest/doctest.h>

#include "../support/heating_page.hpp"
#include "../support/near.hpp"
#include "../support/unlike_machines.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

Conditions one_airflow_question(const unlike::Question& q) {
    Conditions c = q.conditions();
    c.airflow_effect = true;
    return c;
}

}  // namespace

TEST_CASE("one airflow: the published curves (published/cutler_airflow_curves.yaml, NREL/TP-5500-56354)") {
    const struct {
        double ratio, capacity, input, heating, heating_input;
    } rows[] = {{0.60, 0.92026, 1.05837, 0.91800, 1.29239},
                {0.75, 0.95529, 1.03663, 0.95506, 1.15434},
                {0.85, 0.97522, 1.02204, 0.97556, 1.08124},
                {1.00, 1.00000, 1.00000, 1.00000, 1.00000},
                {1.15, 1.01863, 0.97778, 1.01687, 0.95284}};
    for (const auto& row : rows) {
        const Factors cools = derates::airflow_effect(row.ratio, false),
                      heats = derates::airflow_effect(row.ratio, true);
        CHECK(near(cools.total, row.capacity, absolute(5.1e-6)));
        CHECK(near(cools.power / cools.total, row.input, absolute(5.1e-6)));
        CHECK(near(heats.total, row.heating, absolute(5.1e-6)));
        CHECK(near(heats.power / heats.total, row.heating_input, absolute(5.1e-6)));
    }
}

TEST_CASE("one airflow: the page's own answer is untouched, and another one is refused unless asked for") {
    const trial::Make make = unlike::machines(400).front();
    Conditions c = one_airflow_question({95, 1200});
    const Expected there = expect(make.system, Site::sea_level(), c);
    c.airflow_effect = false;
    CHECK(expect(make.system, Site::sea_level(), c).total_capacity.si == there.total_capacity.si);
    CHECK(expect(make.system, Site::sea_level(), c).sensible_capacity->si == there.sensible_capacity->si);
    CHECK_FALSE(there.notes.has(Note::airflow_effect));
    CHECK(there.uncertainty.airflow == 0.0);

    c.airflow = AirflowReading::standard(1080_cfm);
    CHECK(try_expect(make.system, Site::sea_level(), c).reason().why == Why::outside);
    c.airflow_effect = true;
    const Expected e = expect(make.system, Site::sea_level(), c);
    CHECK(e.notes.has(Note::airflow_effect));
    const Factors by_hand = derates::airflow_effect(0.9, false);
    CHECK(near(e.total_capacity.si, there.total_capacity.si * by_hand.total, relative(1e-9)));
    CHECK(near(e.power->si, there.power->si * by_hand.power, relative(1e-9)));
    CHECK(near(e.uncertainty.airflow, 0.0035 * e.gross_total.si, relative(1e-9)));
    CHECK(near(in(e.standard_airflow, units::scfm), 1080.0, relative(1e-9)));
    int steps = 0;
    for (const Step& step : e.ledger)
        if (step.kind == Step::Kind::airflow) ++steps;
    CHECK(steps == 2);  // total and power

    for (const double far : {0.59, 1.21}) {
        c.airflow = AirflowReading::standard(from(1200.0 * far, units::cfm));
        const auto refused = try_expect(make.system, Site::sea_level(), c);
        CHECK(refused.reason().why == Why::outside);
        CHECK(near(refused.reason().lower, from(720.0, units::cfm).si, relative(1e-12)));
        CHECK(near(refused.reason().upper, from(1440.0, units::cfm).si, relative(1e-12)));
    }
    // A page of several airflows is read between them.
    const trial::Make several = trial::all_makes().front();
    CHECK_FALSE(
        expect(several.system, Site::sea_level(), one_airflow_question({95, 1111})).notes.has(Note::airflow_effect));
}

TEST_CASE(
    "one airflow: unlike machines are off by more than 2 u in 5 percent at most, sensible by 4 percent at worst") {
    for (const double per_ton : {350.0, 400.0, 450.0})
        for (const trial::Make& make : unlike::machines(per_ton)) {
            CAPTURE(make.name);
            CAPTURE(per_ton);
            unlike::Anywhere between(77);
            int asked = 0, off = 0;
            double worst_sensible = 0.0;
            while (asked < 400) {
                const double dry = between(74, 82);
                const unlike::Question q{between(75, 115), between(0.6, 1.2) * per_ton * make.tons,
                                         between(62, std::min(71.0, dry - 5.0)), dry};
                const Expected e = expect(make.system, Site::sea_level(), one_airflow_question(q));
                if (has(e.footing, Footing::wet_line | Footing::dry)) continue;
                ++asked;
                const auto [total, sensible, power] = unlike::truth(make, q);
                if (std::abs(e.total_capacity.si - total) > 2.0 * e.uncertainty.combined()) ++off;
                worst_sensible = std::max(worst_sensible, std::abs(e.sensible_capacity->si / sensible - 1.0));
            }
            CHECK(off <= 20);
            CHECK(worst_sensible < 0.04);
        }
}

TEST_CASE("a row of multipliers, used across the page: unlike machines are off by more than 2 u in 5 percent at most") {
    for (const trial::Make& make : trial::reprinted([](trial::Layout& l) {
             l.dry_bulb = {80};
             l.net_fan = 0.0;
             l.fan = FanPosition::draw_through;
             l.airflow_row = true;
         })) {
        CAPTURE(make.name);
        unlike::Anywhere between(78);
        const std::vector<double> flows = make.system.parts().cooling[0].table.page().airflow;
        int asked = 0, off = 0;
        while (asked < 400) {
            const double dry = between(74, 82);
            const unlike::Question q{between(75, 115),
                                     between(units::cfm.from_si(flows.front()), units::cfm.from_si(flows.back())),
                                     between(62, std::min(71.0, dry - 5.0)), dry};
            const auto e = try_expect(make.system, Site::sea_level(), q.conditions());
            if (!e || has(e->footing, Footing::wet_line | Footing::dry)) continue;
            ++asked;
            CHECK(e->notes.has(Note::airflow_multiplier));
            CHECK(near(e->uncertainty.multiplier, 0.01 * e->total_capacity.si, relative(1e-12)));
            // The machine itself is meant, so that its maker's tolerance does not count.
            const double u = std::sqrt(std::pow(e->uncertainty.combined(), 2) - std::pow(e->uncertainty.tolerance, 2));
            if (std::abs(e->total_capacity.si - unlike::truth(make, q).total) > 2.0 * u) ++off;
        }
        CHECK(off <= 20);
    }
    CHECK(expect(trial::all_makes().front().system, Site::sea_level(), unlike::Question{95, 1200}.conditions())
              .uncertainty.multiplier == 0.0);
}

TEST_CASE("one airflow: heating has curves of its own, before its frost and fan") {
    HeatingPage page = heating_page::page();
    HeatingPage one = page;
    one.airflow = {heating_page::scfm(1000)};
    one.nodes.clear();
    for (std::size_t n = 0; n < page.nodes.size(); ++n)
        if (n / 3 % 2 == 0) one.nodes.push_back(page.nodes[n]);
    const System system = heating_page::system(heating_page::basis(), one);
    Conditions c = heating_page::question();
    c.boundary = Boundary::coil;
    CHECK(try_expect(system, Site::sea_level(), c).reason().why == Why::outside);
    c.airflow_effect = true;
    const Expected e = expect(system, Site::sea_level(), c);
    c.airflow = AirflowReading::standard(1000_cfm);
    const Expected there = expect(system, Site::sea_level(), c);
    const Factors by_hand = derates::airflow_effect(1.1, true);
    CHECK(near(e.total_capacity.si, there.total_capacity.si * by_hand.total, relative(1e-9)));
    CHECK(near(e.power->si, there.power->si * by_hand.power, relative(1e-9)));
    CHECK(e.notes.has(Note::airflow_effect));
    CHECK(e.uncertainty.airflow > 0.0);
    double last = 0.0;
    for (const Step& step : e.ledger)
        if (step.of == Step::Of::total) {
            if (last != 0.0) CHECK(near(step.before, last, relative(1e-12)));
            last = step.after;
        }
    CHECK(near(last, e.total_capacity.si, relative(1e-12)));
}
