// The look-up that is compiled once is that of the headers.
#include "offnominal/look_up.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "offnominal/demo.hpp"
#include "offnominal/expect.hpp"

using namespace offnominal;

TEST_CASE("the look-up that is compiled has the bits of the headers', and their reasons") {
    const System system = demo_system();
    Conditions c;
    c.stage = system.parts().cooling.front().name;
    c.match = "indoor A";
    c.entering_dry_bulb.si = 25.0;
    c.boundary = Boundary::coil;
    c.line_set = LineSet::reference();
    int answers = 0, refusals = 0;
    for (double outdoor = 20.0; outdoor < 55.0; outdoor += 0.7)
        for (const double wet_bulb : {14.0, 17.3, 21.9, 26.0}) {
            c.outdoor_dry_bulb.si = outdoor;
            c.entering_humidity = air::wet_bulb(Temperature{wet_bulb});
            c.airflow = AirflowReading::standard(Airflow{0.45 + 0.003 * outdoor});
            const auto here = try_expect(system, Site::at_elevation(Length{400.0}), c);
            const auto there = look_up(system, Site::at_elevation(Length{400.0}), c);
            CHECK(here.reason() == there.reason());
            REQUIRE(static_cast<bool>(here) == static_cast<bool>(there));
            ++(here ? answers : refusals);
            if (!here) continue;
            for (const auto& row : told_of<ExpectedValues>) {
                CAPTURE(row.name);
                const double due = row.of(*here), told = row.of(*there);
                CHECK((told == due || (std::isnan(told) && std::isnan(due))));
            }
            CHECK(here->uncertainty.combined() == there->uncertainty.combined());
            CHECK(here->notes == there->notes);
        }
    CHECK(answers > 20);
    CHECK(refusals > 20);
}
