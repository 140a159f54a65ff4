// Bypass factors that a page does not print, found from its own wet numbers, against three unlike models of coil and
// compressor (benchmarks/trial): sensible capacity away from the page's dry bulb.
#include <doctest/doctest.h>

#include <random>

#include "../../benchmarks/trial/pages.hpp"
#include "../support/near.hpp"
#include "offnominal/expect.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// A machine's page printed at 80 degF in steps of so many MBh, its bypass factors left out.
System without_bypass(const trial::Make& make, double step) {
    SystemParts parts = make.system.parts();
    const auto printed = [&](double watts) {
        return units::MBh.to_si(std::round(units::MBh.from_si(watts) / step) * step);
    };
    for (Stage& stage : parts.cooling) {
        PrintedPage page = stage.table.page();
        page.has_bypass = false;
        page.total_step = page.sensible_step = units::MBh.to_si(step);
        for (PrintedNode& node : page.nodes) {
            node.bypass = 0.0;
            if (node.mark != Mark::printed && node.mark != Mark::dry) continue;
            node.total = printed(node.total);
            node.sensible = std::min(node.total, printed(node.sensible));
            node.mark = node.sensible == node.total ? Mark::dry : Mark::printed;
        }
        stage.table = RatingTable(stage.table.basis(), std::move(page));
    }
    return System(std::move(parts));
}

std::vector<trial::Make> bypass_makes() {
    return trial::reprinted([](trial::Layout& l) {
        l.dry_bulb = {80};
        l.net_fan = 0.0;
        l.fan = FanPosition::draw_through;
    });
}

}  // namespace

TEST_CASE("bypass not printed: sensible away from the page's dry bulb is within 1 percent of unlike coils") {
    for (const double step : {0.1, 0.5})
        for (const trial::Make& make : bypass_makes()) {
            CAPTURE(make.name);
            CAPTURE(step);
            const System system = without_bypass(make, step);
            CHECK(system.parts().cooling.front().table.built().bypass_inferred);
            std::mt19937_64 random(12);
            const auto between = [&](double a, double b) {
                return std::uniform_real_distribution<double>(a, b)(random);
            };
            double squares = 0.0, worst = 0.0;
            int asked = 0;
            while (asked < 800) {
                const double dry = between(70, 86), wet = between(60, std::min(dry - 4, 71.0)),
                             outdoor = between(75, 115),
                             flow = between(make.layout.per_ton.front(), make.layout.per_ton.back()) * make.tons;
                Conditions c;
                c.stage = "high";
                c.match = "indoor";
                c.outdoor_dry_bulb = from(outdoor, units::degF);
                c.entering_dry_bulb = from(dry, units::degF);
                c.entering_humidity = air::wet_bulb(from(wet, units::degF));
                c.airflow = AirflowReading::standard(from(flow, units::cfm));
                c.boundary = Boundary::coil;
                const Expected e = expect(system, Site::sea_level(), c);
                if (has(e.footing, Footing::wet_line | Footing::dry)) continue;
                ++asked;
                CHECK(e.notes.has(Note::bypass_inferred));
                const double t = e.entering_dry_bulb.si, p = air::si::standard_pressure, m = trial::mass_of_scfm(flow);
                const trial::Entering in{t, air::si::humidity_ratio_from_wet_bulb(t, from(wet, units::degF).si, p), p};
                const double total = make.machine->sound(trial::Runs::high, in, m, e.outdoor_dry_bulb.si).total;
                const air::Point out = make.machine->leaving(in, m, total, 1.0);
                const double truth = m * air::si::moist_heat_capacity(out.W) * (t - out.t);
                const double error = e.sensible_capacity->si / truth - 1.0;
                squares += error * error;
                worst = std::max(worst, std::abs(error));
            }
            CHECK(std::sqrt(squares / asked) < 0.01);
            CHECK(worst < 0.025);
        }
}

TEST_CASE("bypass not printed: where it is, the numbers say what the page says") {
    // The first machine is a coil of this very model: what its wet nodes say is what its maker prints, to two places.
    const trial::Make make = bypass_makes().front();
    const System system = without_bypass(make, 0.1);
    const RatingTable &printed = make.system.parts().cooling.front().table,
                      &inferred = system.parts().cooling.front().table;
    for (const double flow : printed.page().airflow) {
        const PagePoint at{{trial::degC(95), flow, trial::degC(67), trial::degC(80), air::si::standard_pressure}};
        PageReading a, b;
        REQUIRE(detail::read_page(printed, at, Outside::refuse, a).none());
        REQUIRE(detail::read_page(inferred, at, Outside::refuse, b).none());
        CHECK(near(b.bypass, a.bypass, absolute(0.01)));
    }
}

TEST_CASE("bypass not printed: a page answers at its own dry bulb as before, and says nothing of it") {
    const trial::Make make = bypass_makes().back();
    const System system = without_bypass(make, 0.1);
    Conditions c;
    c.stage = "high";
    c.match = "indoor";
    c.outdoor_dry_bulb = 95_degF;
    c.entering_dry_bulb = 80_degF;
    c.entering_humidity = air::wet_bulb(67_degF);
    c.boundary = Boundary::coil;
    c.airflow = AirflowReading::standard(1000_cfm);
    const Expected e = expect(system, Site::sea_level(), c), with = expect(make.system, Site::sea_level(), c);
    CHECK(e.sensible_capacity->si == with.sensible_capacity->si);
    CHECK_FALSE(e.notes.has(Note::bypass_inferred));
    // Nor where it cannot be found: a page that may be gross or net.
    SystemParts parts = system.parts();
    for (Stage& stage : parts.cooling) {
        Basis basis = stage.table.basis();
        basis.capacity = CapacityBasis::unknown;
        stage.table = RatingTable(basis, stage.table.page());
    }
    c.entering_dry_bulb = 76_degF;
    CHECK(expect(System(std::move(parts)), Site::sea_level(), c).no_sensible.about == About::bypass);
}
