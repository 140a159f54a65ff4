// Bypass factors that a page does not print, found from its own wet numbers, against three unlike models of coil and
// compressor (benchmarks/trial): sensible capacity away from the page's dry bulb.
#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unlike_machines.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// A machine's page printed at 80 degF in steps of so many MBh, its bypass factors left out.
System without_bypass(const trial::Make& make, double step) {
    const auto printed = [&](double watts) {
        return units::MBh.to_si(std::round(units::MBh.from_si(watts) / step) * step);
    };
    return unlike::with_pages(make, [&](Basis&, PrintedPage& page) {
        page.has_bypass = false;
        page.total_step = page.sensible_step = units::MBh.to_si(step);
        for (PrintedNode& node : page.nodes) {
            node.bypass = 0.0;
            if (node.mark != Mark::printed && node.mark != Mark::dry) continue;
            node.total = printed(node.total);
            node.sensible = std::min(node.total, printed(node.sensible));
            node.mark = node.sensible == node.total ? Mark::dry : Mark::printed;
        }
    });
}

}  // namespace

TEST_CASE("bypass not printed: sensible away from the page's dry bulb is within 1 percent of unlike coils") {
    for (const double step : {0.1, 0.5})
        for (const trial::Make& make : unlike::machines()) {
            CAPTURE(make.name);
            CAPTURE(step);
            const System system = without_bypass(make, step);
            CHECK(system.parts().cooling.front().table.built().bypass_inferred);
            unlike::Anywhere between(12);
            double squares = 0.0, worst = 0.0;
            int asked = 0;
            while (asked < 800) {
                const double dry = between(70, 86);
                const unlike::Question q{between(75, 115),
                                         between(make.layout.per_ton.front(), make.layout.per_ton.back()) * make.tons,
                                         between(60, std::min(dry - 4, 71.0)), dry};
                const Expected e = expect(system, Site::sea_level(), q.conditions());
                if (has(e.footing, Footing::wet_line | Footing::dry)) continue;
                ++asked;
                CHECK(e.notes.has(Note::bypass_inferred));
                const double error = e.sensible_capacity->si / unlike::truth(make, q).sensible - 1.0;
                squares += error * error;
                worst = std::max(worst, std::abs(error));
            }
            CHECK(std::sqrt(squares / asked) < 0.01);
            CHECK(worst < 0.025);
        }
}

TEST_CASE("bypass not printed: where it is, the numbers say what the page says") {
    // The first machine is a coil of this very model: what its wet nodes say is what its maker prints, to two places.
    const trial::Make make = unlike::machines().front();
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
    const trial::Make make = unlike::machines().back();
    const System system = without_bypass(make, 0.1);
    Conditions c = unlike::Question{95, 1000}.conditions();
    const Expected e = expect(system, Site::sea_level(), c), with = expect(make.system, Site::sea_level(), c);
    CHECK(e.sensible_capacity->si == with.sensible_capacity->si);
    CHECK_FALSE(e.notes.has(Note::bypass_inferred));
    // Nor where it cannot be found: a page that may be gross or net.
    const System unknown = unlike::with_pages(make, [](Basis& basis, PrintedPage& page) {
        basis.capacity = CapacityBasis::unknown;
        page.has_bypass = false;
        for (PrintedNode& node : page.nodes) node.bypass = 0.0;
    });
    c.entering_dry_bulb = 76_degF;
    CHECK(expect(unknown, Site::sea_level(), c).no_sensible.about == About::bypass);
}
