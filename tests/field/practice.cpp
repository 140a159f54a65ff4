// The trade's own figures (common practice, no source): stated once, and kept by the invented demo.
#include "offnominal/field/practice.hpp"

#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;
using namespace offnominal::literals;

TEST_CASE("350 to 400 cfm per ton: the middle of the demo's page is usual for its nominal three tons") {
    CHECK(practice::usual_airflow(1100_cfm, 3_ton));
    CHECK(practice::usual_airflow(1060_cfm, 3_ton));
    CHECK(practice::usual_airflow(1190_cfm, 3_ton));
    CHECK_FALSE(practice::usual_airflow(1000_cfm, 3_ton));
    CHECK_FALSE(practice::usual_airflow(1250_cfm, 3_ton));
    const System s = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const auto& flows = s.parts().cooling[0].table.page().airflow;
    CHECK(practice::usual_airflow(Airflow{0.5 * (flows[flows.size() - 2] + flows.back())}, 3_ton));
}

TEST_CASE("probes side by side agree within 0.3 degF wet bulb and 1 point of relative humidity") {
    CHECK(practice::probes_agree(0.29_delta_degF, 0.009));
    CHECK(practice::probes_agree(-0.29_delta_degF, -0.009));
    CHECK_FALSE(practice::probes_agree(0.31_delta_degF, 0.0));
    CHECK_FALSE(practice::probes_agree(0.0_delta_degF, 0.011));
}

TEST_CASE("at least 15, better 20 minutes, the demo visit ran longer") {
    CHECK(in(practice::least_running, units::minute) == 15);
    CHECK(in(practice::settled_running, units::minute) == 20);
    const Visit v = load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml");
    REQUIRE(v.running);
    CHECK(*v.running >= practice::settled_running);
}

TEST_CASE("a constant-airflow blower holds its airflow from about 0.1 to 1.0 in. w.c.") {
    CHECK(near(in(practice::least_held_static, units::in_wc), 0.1, relative(1e-12)));
    CHECK(near(in(practice::greatest_held_static, units::in_wc), 1.0, relative(1e-12)));
}
