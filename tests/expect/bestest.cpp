// HVAC BESTEST volume 1 (Neymark and Judkoff 2002, NREL/TP-550-30152; the same cases in ANSI/ASHRAE Standard 140): the
// quasi-analytical full-load points of the wet-coil cases, from three solvers, against the reconstructed map read as a
// system file. The map is rebuilt from published least-squares fits, not the printed table; see the headers of
// tests/published/hvac_bestest_v1*.
#include <doctest/doctest.h>

#include <set>

#include "../support/csv.hpp"
#include "../support/near.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;

namespace {

Conditions question(const System& s, double odb, double edb, double ewb) {
    Conditions c;
    c.stage = s.parts().cooling[0].name;
    if (!s.parts().matches.empty()) c.match = s.parts().matches[0].name;
    c.outdoor_dry_bulb = Temperature{odb};
    c.entering_dry_bulb = Temperature{edb};
    c.entering_humidity = air::wet_bulb(Temperature{ewb});
    c.airflow = AirflowReading::standard(Airflow{s.parts().cooling[0].table.page().airflow[0]});
    c.boundary = Boundary::coil;
    return c;
}

/// The published fit (linest_2001 in hvac_bestest_v1_equipment.yaml), degC to W.
double fit_total(double ewb, double odb) {
    constexpr double k[] = {0.43863482, 0.04259180, 0.00015024, 0.00100248, -0.00003314, -0.00046664};
    return 8181 * (k[0] + k[1] * ewb + k[2] * ewb * ewb + k[3] * odb + k[4] * odb * odb + k[5] * ewb * odb);
}
}  // namespace

TEST_CASE("the wet-coil full-load points of three solvers are met") {
    const System s = load_system(published + "/hvac_bestest_v1.yaml");
    const std::set<std::string> wet{"E150", "E160", "E185", "E200"};
    int met = 0;
    for (const CsvRow& row : csv_rows(published + "/hvac_bestest_v1_steady_points_derived.csv")) {
        if (!wet.contains(row.at("case"))) continue;
        CAPTURE(row.at("case") + " " + row.at("solver"));
        const auto number = [&](const char* column) { return std::stod(row.at(column)); };
        const Expected e = expect(s, Site::sea_level(), question(s, number("ODB_C"), number("EDB_C"), number("EWB_C")));
        CHECK(near(e.total_capacity.si, number("gross_total_W"), relative(0.003)));
        CHECK(near(e.power->si, number("compressor_W"), relative(0.005)));
        CHECK(e.power_basis == PowerBasis::compressor);
        CHECK(e.notes.has(Note::dryness_unknown));
        ++met;
    }
    CHECK(met == 12);
}

TEST_CASE("between the outdoor nodes the published fit is met") {
    const System s = load_system(published + "/hvac_bestest_v1.yaml");
    for (const double odb : {29.4, 32.2, 35.0, 37.8, 40.6, 43.3, 46.1})
        for (const double ewb : {15.0, 16.1, 17.2, 18.3, 19.4, 20.5, 21.7}) {
            const Expected e = expect(s, Site::sea_level(), question(s, odb, 26.7, ewb));
            CHECK(near(e.total_capacity.si, fit_total(ewb, odb), relative(0.003)));
        }
}
