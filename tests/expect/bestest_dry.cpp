// HVAC BESTEST volume 1, the dry-coil cases E100, E110 and E120 (Neymark and Judkoff 2002, NREL/TP-550-30152; the same
// cases in ANSI/ASHRAE Standard 140), by the dry-coil rule: three solvers' full-load capacity, within 1 %.
//
// The map holds wet-coil totals from published fits (see tests/published/hvac_bestest_v1.yaml). Its sensible column was
// not at hand; it is made here from the coil's bypass factor, 0.049 (from memory, see hvac_bestest_v1_equipment.yaml),
// at 22.2 degC entering. What that factor does to the answer is checked below: from 0.03 to 0.07 it moves the totals by
// 0.7 to 0.9 %, and at 0.049 they are 0.45 to 0.68 % above the solvers'. The knees of E100 and E110 lie under the
// map's lowest wet bulb (15.0 degC), as the specification foresees: the edge cell is followed there, as a proof would.
#include <doctest/doctest.h>

#include "../support/csv.hpp"
#include "../support/near.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;

namespace {

System with_sensible(double bypass) {
    const System map = load_system(published + "/hvac_bestest_v1.yaml");
    const RatingTable& wet = map.parts().cooling[0].table;
    Basis basis = wet.basis();
    PrintedPage page = wet.page();
    basis.sensible_at = Temperature{22.2};
    page.has_sensible = page.has_bypass = true;
    const PageShape shape(page);
    for (std::size_t n = 0; n < page.nodes.size(); ++n) {
        const double ewb = shape.value(n, PageAxis::humidity), p = 101325.0;
        const air::CoilAir air{22.2, air::si::humidity_ratio_from_wet_bulb(22.2, ewb, p), p,
                               air::si::dry_mass_from_standard(page.airflow[0])};
        page.nodes[n].sensible = *air::coil_sensible(air, page.nodes[n].total, bypass);
        page.nodes[n].bypass = bypass;
    }
    SystemParts parts;
    parts.name = map.name();
    parts.cooling.push_back({"full", RatingTable(basis, page)});
    return System(std::move(parts));
}

/// A degree drier than where the case's coil turns wet: the rule must lead back there.
Expected dry_answer(const System& s, double odb, double edb, double knee) {
    Conditions c;
    c.stage = "full";
    c.outdoor_dry_bulb = Temperature{odb};
    c.entering_dry_bulb = Temperature{edb};
    c.entering_humidity = air::wet_bulb(Temperature{knee - 1.0});
    c.airflow = AirflowReading::standard(Airflow{s.parts().cooling[0].table.page().airflow[0]});
    c.boundary = Boundary::coil;
    return detail::answer_to(s, Site::sea_level(), {c, detail::follow}).value();
}
}  // namespace

TEST_CASE("the dry-coil cases of three solvers are met by the dry-coil rule within 1 percent") {
    const System s = with_sensible(0.049), less = with_sensible(0.03), more = with_sensible(0.07);
    int met = 0;
    for (const CsvRow& row : csv_rows(published + "/hvac_bestest_v1_steady_points_derived.csv")) {
        const std::string name = row.at("case");
        if (name != "E100" && name != "E110" && name != "E120") continue;
        const auto number = [&](const char* column) { return std::stod(row.at(column)); };
        const Expected e = dry_answer(s, number("ODB_C"), number("EDB_C"), number("EWB_C"));
        CAPTURE(name + " " + row.at("solver"));
        CHECK(has(e.footing, Footing::dry));
        CHECK(near(e.total_capacity.si, number("gross_total_W"), relative(0.01)));
        CHECK(e.sensible_capacity->si == e.total_capacity.si);
        CHECK(near(e.power->si, number("compressor_W"), relative(0.01)));
        CHECK(near(e.knee->si, number("EWB_C"), absolute(0.25)));  // K: 1 % of total on this wet line, 3.7 % a kelvin
        // The bypass factor is from memory. From 0.03 to 0.07 it moves these totals by this much and no more:
        const double low = dry_answer(less, number("ODB_C"), number("EDB_C"), number("EWB_C")).total_capacity.si;
        const double high = dry_answer(more, number("ODB_C"), number("EDB_C"), number("EWB_C")).total_capacity.si;
        INFO(name << ": total " << e.total_capacity.si << " W, " << low << " W at 0.03, " << high << " W at 0.07; knee "
                  << e.knee->si);
        CHECK(near(high, low, relative(0.0095)));
        CHECK(std::abs(high / low - 1.0) > 0.005);
        ++met;
    }
    CHECK(met == 9);
}
