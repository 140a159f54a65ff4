// `heating:` of a system file: kinds and stages, multiplier rows expanded at the nodes, defrost tables, complaints.
#include <algorithm>

#include "../support/near.hpp"
#include "offnominal/expect.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

const std::string system_text = R"(offnominal: system/1
name: heat pump, invented
heating:
  basis: {capacity: gross, power: outdoor unit, printed_at: 70 degF, outdoor_humidity: 75 %}
  instantaneous:
    stages:
      full:
        table: |
          odb   airflow  capacity  power  rise        suction_pressure
          degF  scfm     MBh       kW     delta_degF  psig
          47    1000     34.2      2.61   31.1        101
          47    1200     34.9      2.52   26.4        -
          17    1000     20.6      2.20   18.7        58
          17    1200     -         -      -           -
        edb_factors: |
          edb   capacity  power
          degF  1         1
          60    1.030     0.92
          70    1.000     1.00
          80    0.970     1.09
  integrated:
    stages:
      full:
        airflow: 1000 scfm
        table: |
          odb   capacity
          degF  MBh
          17    20.6
          35    25.9
          47    34.2
        airflow_factors: |
          airflow  capacity
          scfm     %
          800      97.0
          1000     100.0
          1200     102.1
        edb_factors: |
          edb   capacity
          degF  1
          70    1.000
          80    0.970
)";

std::string of_changed_system(std::string_view from, std::string_view to) {
    return texts::of_system(texts::with(system_text, from, to));
}
const HeatingTable& table(const System& s, std::string_view stage, Frost frost) {
    return s.heating_stage(stage, frost)->table;
}
const TypedColumn& typed(const HeatingPage& page, std::string_view role) {
    return *std::ranges::find(page.typed, role, &TypedColumn::role);
}

}  // namespace

TEST_CASE("a heating page with a multiplier row for entering dry bulb, expanded at its nodes") {
    const System s = parse_system(system_text, "a");
    CHECK(s.heating_stage_names() == std::vector<std::string>{"full"});
    CHECK(s.stage_names().empty());
    const HeatingTable& t = table(s, "full", Frost::instantaneous);
    CHECK(t.basis().capacity == CapacityBasis::gross);
    CHECK(t.basis().airflow == AirflowBasis::standard);  // the unit says so
    CHECK(t.basis().power == PowerBasis::outdoor_unit);
    CHECK(t.basis().printed_at == 70_degF);
    CHECK(t.basis().outdoor_relative_humidity == 0.75);
    CHECK(t.basis().standard_pound == Pound::unknown);

    const HeatingPage& p = t.page();
    CHECK(p.outdoor_dry_bulb == std::vector{(17_degF).si, (47_degF).si});
    CHECK(p.airflow == std::vector{(1000_cfm).si, (1200_cfm).si});
    CHECK(p.entering_dry_bulb == std::vector{(60_degF).si, (70_degF).si, (80_degF).si});
    REQUIRE(p.nodes.size() == 12);
    CHECK(p.has_power);
    CHECK(p.dry_bulb_multiplied);
    CHECK_FALSE(p.airflow_multiplied);
    // Row-major over outdoor dry bulb, airflow, entering dry bulb; the printed number itself where the factor is 1.
    CHECK(p.nodes[1].capacity == (20.6_MBh).si);
    CHECK(p.nodes[0].capacity == (20.6_MBh).si * 1.03);
    CHECK(p.nodes[8].capacity == (34.2_MBh).si * 0.97);
    CHECK(p.nodes[8].power == (2.61_kW).si * 1.09);
    for (const std::size_t n : {3u, 4u, 5u}) CHECK(p.nodes[n].mark == Mark::blank);
    // The step of a product: that of the number, and that of the factor times the largest number.
    CHECK(near(p.capacity_step, std::hypot((0.1_MBh).si, 0.001 * (34.9_MBh).si), relative(1e-12)));
    // Extras belong to the printed rows; texts stay as typed.
    REQUIRE(p.extras.size() == 2);
    CHECK(p.extras[0].name == "rise");
    CHECK(p.extras[0].values[1] == (18.7_delta_degF).si);
    CHECK(std::isnan(p.extras[0].values[0]));
    CHECK(p.extras[1].unit.name == "psig");
    CHECK(std::isnan(p.extras[1].values[10]));
    CHECK(typed(p, "capacity").texts[1] == "20.6");
    CHECK(typed(p, "capacity").texts[0].empty());
    CHECK(typed(p, "capacity").texts[4] == "-");
    CHECK(typed(p, "edb").texts[2] == "80");
    CHECK(typed(p, "odb").texts[2] == "17");
    CHECK(p.places.size() == 12);
    CHECK(p.places[0].line == 13);
}

TEST_CASE("a heating page printed at one airflow and one entering dry bulb, with both multiplier rows") {
    const System s = parse_system(system_text, "a");
    const HeatingPage& p = table(s, "full", Frost::integrated).page();
    CHECK(p.airflow.size() == 3);
    CHECK(p.entering_dry_bulb.size() == 2);
    REQUIRE(p.nodes.size() == 18);
    CHECK(p.airflow_multiplied);
    CHECK(p.dry_bulb_multiplied);
    CHECK_FALSE(p.has_power);
    CHECK(p.nodes[2].capacity == (20.6_MBh).si);                  // 17 degF, 1000 scfm, 70 degF
    CHECK(p.nodes[0].capacity == (20.6_MBh).si * 0.97);           // 800 scfm
    CHECK(p.nodes[17].capacity == (34.2_MBh).si * 1.021 * 0.97);  // 47 degF, 1200 scfm, 80 degF
    CHECK(p.nodes[8].capacity == (25.9_MBh).si);
    CHECK(p.airflow_factors.at(0).texts == std::vector<std::string>{"97.0", "100.0", "102.1"});
    CHECK(p.edb_factors.at(0).texts == std::vector<std::string>{"1.000", "0.970"});
    CHECK(typed(p, "airflow").texts == std::vector<std::string>{"800", "800", "1000", "1000", "1200", "1200", "800",
                                                                "800", "1000", "1000", "1200", "1200", "800", "800",
                                                                "1000", "1000", "1200", "1200"});
}

TEST_CASE("what a heating page may leave out") {
    // One entering dry bulb for all of the page: from the basis, beside the table, or a column.
    const auto dry_bulbs = [](const std::string& basis, const std::string& beside, const std::string& columns) {
        const System s =
            parse_system("offnominal: system/1\nname: t\nheating:\n  basis: {" + basis +
                             "}\n  unknown:\n    stages:\n      one:\n" + beside + "        table: |\n" + columns,
                         "t.yaml");
        return table(s, "one", Frost::unknown).page().entering_dry_bulb;
    };
    const std::string rows =
        "          odb airflow capacity\n          degC L/s kW\n          7 500 9.1\n          -8 500 6.0\n";
    CHECK(dry_bulbs("printed_at: 20 degC", "", rows) == std::vector{20.0});
    CHECK(dry_bulbs("capacity: gross", "        edb: 21 degC\n", rows) == std::vector{21.0});
    CHECK(dry_bulbs("capacity: gross", "",
                    "          odb edb airflow capacity\n          degC degC kg/s kW\n          7 20 0.6 9.1\n"
                    "          7 22 0.6 9.0\n") == std::vector{20.0, 22.0});
    CHECK_THROWS_WITH_AS(
        (void)dry_bulbs("capacity: gross", "", rows),
        "t.yaml:8:9: heating: unknown: stages: one: edb is missing; accepted: the entering dry bulb the "
        "page is printed at: a column edb, edb_factors, or printed_at: 70 degF in the basis",
        InputError);
}

TEST_CASE("complaints about a heating page say where and what would do") {
    CHECK(of_changed_system("printed_at: 70 degF", "printed_at: 68 degF") ==
          "page.yaml:16:11: no row for the value the page is printed at; accepted: a row with the factors 1 for the "
          "value "
          "the page is printed at");
    CHECK(
        of_changed_system("20.6      2.20 ", "20.6      22.0 ").find("page.yaml:13:11: power above heating capacity") ==
        0);
    CHECK(of_changed_system("20.6      2.20 ", "206       2.20 ")
              .find("page.yaml:13:11: heating capacity does not fit") == 0);
    CHECK(of_changed_system("20.6      2.20   18.7", "-         2.20   18.7")
              .find("page.yaml:13:11: a row that is blank in some") == 0);
    CHECK(of_changed_system("  integrated:", "  averaged:").find("page.yaml:21:3: heating: unknown key: 'averaged'") ==
          0);
    CHECK(of_changed_system("1.030     0.92", "103       0.92").find("page.yaml:18:17: not a factor: '103'") == 0);
    CHECK(of_changed_system("80    0.970     1.09", "80    0.970     -")
              .find("a row that is blank in some columns only") != std::string::npos);
    CHECK(of_changed_system("        airflow: 1000 scfm\n", "").find("no complaint") == 0);  // the row of ones says it
    CHECK(of_changed_system("outdoor_humidity: 75 %", "outdoor_humidity: 75").find("not a relative humidity: '75'") !=
          std::string::npos);
    CHECK(of_changed_system("          17    20.6\n", "").find("no complaint") == 0);
    CHECK(of_changed_system("          17    1000     20.6      2.20   18.7        58\n", "")
              .find("no row for odb 17 degF, airflow 1000 scfm") != std::string::npos);
    CHECK(of_changed_system("        airflow_factors: |\n          airflow  capacity\n          scfm     %\n",
                            "        airflow_factors: |\n          airflow  capacity  power\n          scfm     %  1\n")
              .find("unknown column: 'power'; accepted: airflow, capacity") != std::string::npos);
    CHECK(texts::of_system("offnominal: system/1\nname: t\nheating: {basis: {}}\n")
              .find("page.yaml:3:10: heating: instantaneous is missing") == 0);
    CHECK(of_changed_system("capacity: gross,", "capacity: net,").find("heating: basis: fan is missing") !=
          std::string::npos);
}

TEST_CASE("a heating stage may say its compressor speed, in the unit of all others") {
    const auto with_speeds = [](const std::string& one, const std::string& other) {
        return texts::with(texts::with(system_text, "        airflow: 1000 scfm\n",
                                       "        speed: " + one + "\n        airflow: 1000 scfm\n"),
                           "      full:\n        table", "      full:\n        speed: " + other + "\n        table");
    };
    const System s = parse_system(with_speeds("90 Hz", "60 Hz"), "a");
    CHECK(s.heating_stage("full", Frost::integrated)->speed == 90.0);
    CHECK(s.heating_stage("full", Frost::instantaneous)->speed == 60.0);
    CHECK(s.parts().speed_unit.name == "Hz");
    CHECK(texts::of_system(with_speeds("90 Hz", "60 %"))
              .find("speed: another unit than the other speeds: '90 Hz'; accepted: %") != std::string::npos);
}

TEST_CASE("a defrost table for all stages or for each") {
    const std::string rows =
        "odb rh capacity power time\n  degC 1 1 1 %\n  -8 0.6 0.99 1 1\n  -8 0.9 0.95 0.98 4\n  7 0.6 1 1 0\n  7 0.9 1 "
        "1 "
        "0\n";
    const auto indented = [](std::string text, const std::string& by) {
        for (std::size_t at = 0; (at = text.find("  ", at)) != std::string::npos; at += by.size())
            text.replace(at, 2, by);
        return by + text;
    };
    const System all = parse_system(system_text + "  defrost: |\n" + indented(rows, "    "), "a");
    REQUIRE(all.parts().defrost);
    CHECK(all.parts().defrost->at("full", -8.0, 0.9)->factors.capacity == 0.95);
    CHECK(all.parts().defrost->at("full", -8.0, 0.9)->factors.time_fraction == 0.04);
    const System one =
        parse_system(system_text + "  defrost:\n    stages:\n      full: |\n" + indented(rows, "        "), "a");
    CHECK(one.parts().defrost->pages()[0].stage == "full");
    CHECK(one.parts().defrost->pages()[0].outdoor_relative_humidity == std::vector{0.6, 0.9});
    CHECK(texts::of_system(system_text + "  defrost:\n    stages:\n      turbo: |\n" + indented(rows, "        "))
              .find("a defrost correction for a stage without a heating page: 'turbo'") != std::string::npos);
    CHECK(texts::of_system(system_text + "  defrost: |\n" + indented(texts::with(rows, "0.99 1 1", "1.99 1 1"), "    "))
              .find("a defrost factor on capacity: '1.99'") != std::string::npos);
    CHECK(texts::of_system(system_text + "  defrost: |\n" + indented(texts::with(rows, "0.95 0.98 4", "- - -"), "    "))
              .find("a blank row in the defrost table") != std::string::npos);
}

TEST_CASE("the demo in heating: printed numbers come back, frost takes its share, multiplier rows are told of") {
    const System s = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    Conditions c;
    c.mode = Mode::heating;
    c.stage = "high";
    c.match = "indoor A";
    c.frost = Frost::instantaneous;
    c.outdoor_dry_bulb = 17_degF;
    c.entering_dry_bulb = 70_degF;
    c.airflow = AirflowReading::standard(1000_cfm);
    c.boundary = Boundary::coil;
    c.auxiliary_heat = 0_W;
    const auto steady = expect(s, Site::sea_level(), c);
    CHECK(steady.total_capacity == 23.2_MBh);
    CHECK(steady.power == 1.85_kW);
    CHECK(steady.notes.has(Note::dry_bulb_multiplier));
    CHECK_FALSE(steady.notes.has(Note::airflow_multiplier));
    CHECK(steady.notes.has(Note::no_heating_factors));
    c.outdoor_dry_bulb = 35_degF;
    c.airflow = AirflowReading::standard(1200_cfm);
    const auto peak = expect(s, Site::sea_level(), c);
    c.frost = Frost::integrated;
    const auto integrated = expect(s, Site::sea_level(), c);
    CHECK(integrated.total_capacity == 27.2_MBh);
    CHECK(integrated.notes.has(Note::airflow_multiplier));
    CHECK(integrated.notes.has(Note::frost_in_page));
    const double share = integrated.total_capacity / peak.total_capacity;
    CHECK(share < 0.92);
    CHECK(share > 0.87);
}
