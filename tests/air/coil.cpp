// The coil model.
#include "offnominal/air/coil.hpp"

#include <doctest/doctest.h>

#include "../support/near.hpp"

using namespace offnominal;

TEST_CASE("the coil model closes: sensible plus latent of its own leaving air is total") {
    for (const double total : {4000.0, 8000.0, 12000.0})
        for (const double bypass : {0.05, 0.12, 0.25})
            for (const double p : {101325.0, 84000.0}) {
                const double t = 26.0, m = 0.6, w = air::si::humidity_ratio_from_wet_bulb(t, 19.0, p);
                const auto sensible = air::coil_sensible({t, w, p, m}, total, bypass);
                REQUIRE(sensible);
                const double h_adp = air::si::enthalpy(t, w) - total / (m * (1 - bypass));
                const double adp = air::si::saturation_temperature_from_enthalpy(h_adp, p);
                const double w2 = bypass * w + (1 - bypass) * air::si::saturation_humidity_ratio(adp, p);
                const double latent = m * (w - w2) * air::si::vapour_enthalpy(t);
                CHECK(near(*sensible + latent, total, relative(1e-9)));
                const auto found = air::bypass_factor({t, w, p, m}, total, *sensible);
                REQUIRE(found);
                CHECK(near(*found, bypass, absolute(1e-8)));
            }
    CHECK_FALSE(air::bypass_factor({26, 0.01, 101325, 0.6}, 9000, 9000));  // dry
    CHECK_FALSE(air::bypass_factor({26, 0.01, 101325, 0.6}, 9000, -1));    // no coil's
    CHECK_FALSE(air::bypass_factor({26, 0.01, 101325, 0.0}, 9000, 6000));  // no air
    CHECK(air::coil_sensible({26, 0.01, 101325, 0.6}, 90000, 0.1).reason().why == Why::no_coil_state);
    CHECK(air::coil_sensible({26, 0.01, 101325, 0.6}, -1, 0.1).reason().why == Why::no_coil_state);
    CHECK(air::coil_sensible({26, 0.01, 101325, 0.0}, 8000, 0.1).reason().why == Why::no_coil_state);
}
