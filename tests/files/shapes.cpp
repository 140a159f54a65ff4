// Every shape of printed page, small and invented: what is typed is what the page holds, and it prints back as typed.
#include <algorithm>
#include <cmath>
#include <vector>

#include "../support/near.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;
using texts::page_of;
using texts::table_of;

namespace {

System system_with(const std::string& cooling) {
    return parse_system("offnominal: system/1\nname: t\ncooling:\n" + cooling, "t.yaml");
}

/// One stage, `full`, whose lines are indented by six blanks.
System stage(const std::string& lines, const std::string& basis = "airflow: standard, sensible_at: 80 degF") {
    return system_with("  basis: {capacity: gross, " + basis + "}\n  stages:\n    full:\n" + lines);
}

using Texts = std::vector<std::string>;

Texts typed(const PrintedPage& page, std::string_view role) {
    const auto column = std::ranges::find(page.typed, role, &TypedColumn::role);
    REQUIRE_MESSAGE(column != page.typed.end(), std::string(role));
    CHECK(std::ranges::count(page.typed, role, &TypedColumn::role) == 1);
    return column->texts;
}
std::string_view unit(const PrintedPage& page, std::string_view role) {
    return std::ranges::find(page.typed, role, &TypedColumn::role)->unit.name;
}
const ExtraColumn& extra(const PrintedPage& page, std::string_view name) {
    const auto column = std::ranges::find(page.extras, name, &ExtraColumn::name);
    REQUIRE(column != page.extras.end());
    return *column;
}

std::vector<Mark> marks(const PrintedPage& page) {
    std::vector<Mark> out;
    for (const PrintedNode& node : page.nodes) out.push_back(node.mark);
    return out;
}
std::vector<double> in_MBh(const PrintedPage& page, double PrintedNode::*output) {
    std::vector<double> out;
    for (const PrintedNode& node : page.nodes) out.push_back(std::round(units::MBh.from_si(node.*output) * 1e6) / 1e6);
    return out;
}
std::vector<double> degF(std::initializer_list<double> values) {
    std::vector<double> out;
    for (const double v : values) out.push_back(units::degF.to_si(v));
    return out;
}

bool same_nodes(const PrintedPage& a, const PrintedPage& b) {
    return std::ranges::equal(a.nodes, b.nodes, [](const PrintedNode& x, const PrintedNode& y) {
        return x.total == y.total && x.sensible == y.sensible && x.power == y.power && x.bypass == y.bypass &&
               x.mark == y.mark;
    });
}

const std::string long_form =
    "      table: |\n"
    "        odb airflow ewb edb total sensible power\n"
    "        degF scfm degF degF MBh MBh kW\n"
    "        95 1000 59 70 29.9 21.8 2.44\n"
    "        95 1000 59 75 29.9 26.7 2.44\n"
    "        95 1000 59 80 29.9 29.9d 2.44\n"
    "        95 1000 67 70 34.0 - 2.52   # printed blank\n"
    "        95 1000 67 75 34.0 20.0 2.52\n"
    "        95 1000 67 80 34.0 24.9 2.52\n"
    "        95 1000 72 70 36.9 - 2.55   # colder than its wet bulb\n"
    "        95 1000 72 75 36.9 14.9 2.55\n"
    "        95 1000 72 80 36.9 19.80 2.55\n";

}  // namespace

TEST_CASE("A: sensible at one entering dry bulb, with the correction of the footnote") {
    const auto at = [](const char* more) {
        return parse_system(texts::with(texts::page, "sensible_at: 80 degF", more), "a");
    };
    const System system =
        at("sensible_at: 80 degF, sensible_correction: 1 - bypass, "
           "sensible_slope: 1.08 Btu/h/cfm/delta_degF");
    const PrintedPage& page = page_of(system);
    CHECK(page.entering_dry_bulb.empty());
    CHECK(page.nodes.size() == 8);
    CHECK(typed(page, "total") == Texts{"33.3", "35.8", "34.3", "36.9", "31.5", "33.9", "32.5", "34.9"});
    CHECK(typed(page, "bypass") == Texts{"0.10", "0.10", "0.12", "0.12", "0.10", "0.10", "0.12", "0.12"});
    CHECK(typed(page, "odb") == Texts{"85", "85", "85", "85", "95", "95", "95", "95"});
    CHECK(unit(page, "airflow") == "scfm");
    CHECK(unit(page, "power") == "kW");

    // The entering dry bulb of the page as a key or a column of one value, instead of in the basis.
    const System key = parse_system(
        texts::with(texts::with(texts::page, ", sensible_at: 80 degF", ""), "table: |", "edb: 80 degF\n      table: |"),
        "a");
    CHECK(table_of(key).basis().sensible_at == 80_degF);
    CHECK(page_of(key).entering_dry_bulb.empty());
    CHECK(same_nodes(page_of(key), page));
    CHECK(typed(page_of(key), "edb") == Texts(8, "80"));
}

TEST_CASE("B: sensible at several entering dry bulbs, in a column or in columns") {
    const System in_column = stage(long_form, "airflow: standard");
    const PrintedPage& page = page_of(in_column);
    CHECK(page.outdoor_dry_bulb == degF({95}));
    CHECK(page.entering_wet_bulb == degF({59, 67, 72}));
    CHECK(page.entering_dry_bulb == degF({70, 75, 80}));
    CHECK(page.pressure.empty());
    CHECK(marks(page) == std::vector{Mark::printed, Mark::printed, Mark::dry, Mark::blank, Mark::printed, Mark::printed,
                                     Mark::blank, Mark::printed, Mark::printed});
    CHECK(page.nodes[4].total == (34.0_MBh).si);
    CHECK(page.nodes[4].sensible == (20.0_MBh).si);
    CHECK(page.nodes[4].power == 2520.0);
    CHECK(page.nodes[2].sensible == page.nodes[2].total);
    CHECK(near(page.sensible_step, (0.01_MBh).si, relative(1e-15)));
    const Texts sensible{"21.8", "26.7", "29.9d", "-", "20.0", "24.9", "-", "14.9", "19.80"};
    CHECK(typed(page, "sensible") == sensible);
    CHECK(typed(page, "edb") == Texts{"70", "75", "80", "70", "75", "80", "70", "75", "80"});
    CHECK_FALSE(page.infer);

    // As printed: once the total, then a column for each entering dry bulb, here not in rising order.
    const std::string as_printed =
        "      infer: true\n"
        "      table: |\n"
        "        odb airflow ewb total sensible@75 sensible@70 sensible@80 power\n"
        "        degF scfm degF MBh MBh MBh MBh kW\n"
        "        95 1000 72 36.9 14.9 - 19.80 2.55\n"
        "        95 1000 59 29.9 26.7 21.8 29.9d 2.44\n"
        "        95 1000 67 34.0 20.0 - 24.9 2.52\n";
    const System in_columns = stage(as_printed, "airflow: standard");
    const PrintedPage& same = page_of(in_columns);
    CHECK(same.entering_dry_bulb == page.entering_dry_bulb);
    CHECK(same_nodes(same, page));
    CHECK(same.sensible_step == page.sensible_step);
    CHECK(typed(same, "sensible") == sensible);
    CHECK(typed(same, "edb") == typed(page, "edb"));
    CHECK(typed(same, "total") == typed(page, "total"));
    CHECK(unit(same, "edb") == "degF");
    CHECK(same.places[0].line == 12);
    CHECK(same.infer);

    // One such column is a page at one entering dry bulb.
    const System one = stage(
        "      table: |\n"
        "        odb airflow ewb total sensible@80\n"
        "        degF scfm degF MBh MBh\n"
        "        95 1000 67 34.0 24.9\n",
        "airflow: standard");
    CHECK(page_of(one).entering_dry_bulb.empty());
    CHECK(table_of(one).basis().sensible_at == 80_degF);
    CHECK(typed(page_of(one), "edb") == Texts{"80"});

    // The numbers are in the unit of the wet bulb, whatever the outdoor temperature is in.
    const System mixed = stage(
        "      table: |\n"
        "        odb airflow ewb total sensible@24 sensible@27\n"
        "        degF scfm degC MBh MBh MBh\n"
        "        95 1000 19.4 34.0 20.0 24.9\n",
        "airflow: standard");
    CHECK(page_of(mixed).entering_dry_bulb == std::vector{24.0, 27.0});
}

TEST_CASE("B: sensible heat ratios become capacities with all their digits") {
    const System system = stage(
        "      table: |\n"
        "        odb airflow ewb total sensible@75 sensible@80\n"
        "        degF scfm degF MBh 1 1\n"
        "        95 1000 59 29.9 0.89 1.00\n"
        "        95 1000 67 34.0 0.59 0.73\n",
        "airflow: standard, sensible_ratio_of: total");
    const PrintedPage& page = page_of(system);
    CHECK(page.nodes[2].sensible == 0.59 * (34.0_MBh).si);
    CHECK(marks(page) == std::vector{Mark::printed, Mark::dry, Mark::printed, Mark::printed});
    CHECK(page.nodes[1].sensible == page.nodes[1].total);
    CHECK(table_of(system).basis().sensible_ratio_of == SensibleRatioOf::total);
    CHECK(typed(page, "sensible") == Texts{"0.89", "1.00", "0.59", "0.73"});
    CHECK(unit(page, "sensible") == "1");
    // 0.01 of 34.0 MBh, and 0.1 MBh of the total through the greatest ratio, 1.
    CHECK(near(page.sensible_step, units::MBh.to_si(std::hypot(0.34, 0.1)), relative(1e-12)));

    // Said of all stages, it does not touch a column in units of power.
    const System other = stage(texts::page.substr(texts::page.find("      table")),
                               "airflow: standard, sensible_at: 80 degF, sensible_ratio_of: total");
    CHECK(table_of(other).basis().sensible_ratio_of == SensibleRatioOf::not_a_ratio);
    CHECK(page_of(other).nodes[0].sensible == (29.9_MBh).si);
}

TEST_CASE("C: pairs of dry and wet bulb stay pairs") {
    const auto pairs = [](const std::string& indoor) {
        return stage("      airflow: 1000 scfm\n      indoor: " + indoor +
                         "\n"
                         "      table: |\n"
                         "        edb ewb odb total sensible power\n"
                         "        degF degF degF MBh MBh kW\n"
                         "        70 59 95 29.9 21.8 2.44\n"
                         "        80 67 85 35.8 25.7 2.23\n"
                         "        75 63 95 32.0 24.0 2.47\n"
                         "        80 67 95 34.0 24.9 2.52\n"
                         "        70 59 85 31.5 22.4 2.17\n"
                         "        75 63 85 33.7 24.7 2.20\n",
                     "airflow: standard");
    };
    const System path = pairs("path");
    const PrintedPage& page = page_of(path);
    CHECK(page.pairs == std::vector<IndoorPair>{
                            {(70_degF).si, (59_degF).si}, {(80_degF).si, (67_degF).si}, {(75_degF).si, (63_degF).si}});
    CHECK(page.entering_wet_bulb.empty());
    CHECK(page.entering_dry_bulb.empty());
    CHECK_FALSE(page.pairs_are_points);
    CHECK(in_MBh(page, &PrintedNode::total) == std::vector{31.5, 35.8, 33.7, 29.9, 34.0, 32.0});
    CHECK(typed(page, "edb") == Texts{"70", "80", "75", "70", "80", "75"});
    CHECK(typed(page, "ewb") == Texts{"59", "67", "63", "59", "67", "63"});
    CHECK(page_of(pairs("points")).pairs_are_points);
}

TEST_CASE("D: ratios to a rated point") {
    const auto ratios = [](const std::string& of, const std::string& rows) {
        return stage("      airflow: 1200 scfm\n      table: |\n        odb ewb total sensible power\n" + rows,
                     "airflow: standard, sensible_at: 80 degF, sensible_ratio_of: " + of +
                         ", rated: {total: 36.0 MBh, sensible: 27.4 MBh, power: 2.60 kW}");
    };
    const System system = ratios("rated sensible",
                                 "        degF degF 1 1 %\n"
                                 "        85 63 0.985 1.080 83.0\n"
                                 "        85 67 1.060 0.930 84.5\n"
                                 "        95 63 0.930 1.050 98.0\n"
                                 "        95 67 1.000 0.905 100.0\n");
    const PrintedPage& page = page_of(system);
    const double rated = (36.0_MBh).si;
    CHECK(page.nodes[0].total == 0.985 * rated);
    CHECK(page.nodes[0].sensible == 1.080 * (27.4_MBh).si);
    CHECK(page.nodes[1].power == 0.845 * 2600.0);
    CHECK(page.nodes[3].total == rated);
    CHECK(near(page.total_step, 0.001 * rated, relative(1e-15)));
    CHECK(near(page.sensible_step, (0.0274_MBh).si, relative(1e-15)));
    CHECK(near(page.power_step, 2.6, relative(1e-15)));
    CHECK(typed(page, "power") == Texts{"83.0", "84.5", "98.0", "100.0"});
    CHECK(table_of(system).basis().rated.sensible == 27.4_MBh);

    const System of_total = ratios("rated total",
                                   "        degF degF 1 1 kW\n"
                                   "        95 59 0.860 0.860 2.55\n"  // equal as printed: dry
                                   "        95 63 0.930 0.800 2.55\n"
                                   "        95 67 1.000 0.690 2.60\n");
    CHECK(page_of(of_total).nodes[1].sensible == 0.800 * rated);
    CHECK(page_of(of_total).nodes[0].mark == Mark::dry);
    CHECK(page_of(of_total).nodes[0].power == 2550.0);

    // 0.860 of 36.0 and 1.130 of 27.4 MBh are 30.96 and 30.962: equal as far as the print goes, if it says so.
    const System said = ratios("rated sensible",
                               "        degF degF 1 1 kW\n"
                               "        95 59 0.860 1.130d 2.55\n"
                               "        95 67 1.000 0.905 2.60\n");
    CHECK(page_of(said).nodes[0].mark == Mark::dry);
    CHECK(page_of(said).nodes[0].sensible == page_of(said).nodes[0].total);
}

TEST_CASE("E: a service sheet keeps its other columns") {
    const System system = stage(
        "      airflow: 1000 scfm\n"
        "      ewb: 67 degF\n"
        "      table: |\n"
        "        odb total sensible power split suction_pressure liquid_pressure amps eer latent cop\n"
        "        degF MBh MBh kW delta_degF psig psia A Btu/Wh MBh W/W\n"
        "        85 35.8 25.7 2.23 23.4 141 330.5 9.8 16.1 10.1 -\n"
        "        95 33.9 24.9 2.52 22.6 144 - 11.0 13.5 9.0 3.94\n"
        "        105 - - - - - - - - - x\n");
    const PrintedPage& page = page_of(system);
    REQUIRE(page.extras.size() == 7);
    const ExtraColumn& split = extra(page, "split");
    CHECK(split.values[0] == units::delta_degF.to_si(23.4));
    CHECK(near(split.step, units::delta_degF.to_si(0.1), relative(1e-15)));
    CHECK(split.unit.dimension == Dimension::temperature_difference);
    CHECK(extra(page, "suction_pressure").unit.dimension == Dimension::gauge_pressure);
    CHECK(extra(page, "suction_pressure").values[1] == units::psig.to_si(144));
    const ExtraColumn& liquid = extra(page, "liquid_pressure");
    CHECK(liquid.unit.dimension == Dimension::pressure);
    CHECK(liquid.values[0] == units::psia.to_si(330.5));
    CHECK(std::isnan(liquid.values[1]));
    CHECK(std::isnan(liquid.values[2]));
    CHECK(extra(page, "amps").values[1] == 11.0);
    CHECK(extra(page, "eer").values[0] == units::Btu_Wh.to_si(16.1));
    CHECK(extra(page, "latent").values[1] == (9.0_MBh).si);
    CHECK(std::isnan(extra(page, "cop").values[0]));
    CHECK(page.nodes[1].mark == Mark::printed);
    CHECK(page.nodes[2].mark == Mark::blank);
    CHECK(typed(page, "liquid_pressure") == Texts{"330.5", "-", "-"});
    CHECK(typed(page, "cop") == Texts{"-", "3.94", "x"});

    // A split belongs to an entering dry bulb, as sensible does; it may be printed at one of several.
    const System at = stage(
        "      table: |\n"
        "        odb airflow ewb total sensible@75 sensible@80 split@80 amps\n"
        "        degF scfm degF MBh MBh MBh delta_degF A\n"
        "        95 1000 67 34.0 20.0 24.9 22.6 11.0\n",
        "airflow: standard");
    CHECK(std::isnan(extra(page_of(at), "split").values[0]));
    CHECK(extra(page_of(at), "split").values[1] == units::delta_degF.to_si(22.6));
    CHECK(extra(page_of(at), "amps").values == std::vector{11.0, 11.0});
    CHECK(typed(page_of(at), "split") == Texts{"", "22.6"});
}

TEST_CASE("F: the blocks of a variable-speed compressor, each with its own axes") {
    const auto blocks = [](const std::string& modulation, const std::string& least, const std::string& greatest) {
        return system_with("  modulation: " + modulation +
                           "\n"
                           "  basis: {capacity: gross, sensible_at: 80 degF}\n"
                           "  stages:\n"
                           "    minimum:\n      speed: " +
                           least +
                           "\n"
                           "      airflow: 500 scfm\n"
                           "      table: |\n"
                           "        odb ewb total sensible power\n        degF degF MBh MBh kW\n"
                           "        75 67 14.2 10.8 0.71\n        95 67 13.1 10.3 0.92\n"
                           "    maximum:\n      speed: " +
                           greatest +
                           "\n"
                           "      airflow: 1250 scfm\n"
                           "      table: |\n"
                           "        odb ewb total sensible power\n        degF degF MBh MBh kW\n"
                           "        85 67 40.1 29.9 3.05\n        95 67 38.2 29.2 3.40\n        105 67 x x x\n");
    };
    const System system = blocks("continuous", "25 Hz", "90 Hz");
    CHECK(system.parts().modulation == Modulation::continuous);
    CHECK(system.parts().speed_unit.name == "Hz");
    CHECK(system.stage("minimum", nullptr)->speed == 25.0);
    CHECK(system.stage("maximum", nullptr)->speed == 90.0);
    CHECK(page_of(system, "minimum").airflow == std::vector{(500_cfm).si});
    CHECK(page_of(system, "maximum").outdoor_dry_bulb == degF({85, 95, 105}));
    CHECK(page_of(system, "maximum").nodes[2].mark == Mark::beyond_limit);

    const System variable = blocks("variable", "30 %", "100 %");
    CHECK(variable.parts().modulation == Modulation::variable);
    CHECK(variable.parts().speed_unit.name == "%");
    CHECK(variable.stage("minimum", nullptr)->speed == 0.3);
    CHECK(blocks("staged", "1800 rpm", "4500 rpm").stage("maximum", nullptr)->speed == 75.0);

    const System none = parse_system(texts::page, "a");
    CHECK(none.parts().modulation == Modulation::staged);
    CHECK_FALSE(none.stage("full", nullptr)->speed.has_value());
}

TEST_CASE("G: a short table with an airflow multiplier row") {
    const auto short_table = [](const std::string& beside) {
        return stage(beside +
                         "      airflow_factors: |\n"
                         "        airflow total sensible power\n"
                         "        scfm 1 1 1\n"
                         "        1350 1.015 1.055 1.010\n"
                         "        1200 1.000 1.000 1.000\n"
                         "        1050 0.98 0.940 0.990\n"
                         "      table: |\n"
                         "        odb ewb total sensible power amps\n"
                         "        degF degF MBh MBh kW A\n"
                         "        95 59 32.1 32.1 2.50 11.0\n"
                         "        95 63 33.0 32.5 2.52 11.1\n"
                         "        95 67 34.9 27.3 2.53 11.2\n"
                         "        105 59 30.1 30.1 2.79 12.0\n"
                         "        105 63 31.0 30.3 2.81 12.1\n"
                         "        105 67 - - - -\n",
                     "sensible_at: 80 degF");
    };
    const System system = short_table("      airflow: 1200 scfm\n");
    const PrintedPage& page = page_of(system);
    CHECK(page.airflow == std::vector{(1050_cfm).si, (1200_cfm).si, (1350_cfm).si});
    CHECK(page.airflow_multiplied);
    CHECK(table_of(system).basis().airflow == AirflowBasis::standard);
    REQUIRE(page.nodes.size() == 18);
    const auto at = [&](std::size_t i, std::size_t j, std::size_t k) { return page.nodes[(i * 3 + j) * 3 + k]; };
    CHECK(at(0, 1, 2).total == (34.9_MBh).si);
    CHECK(at(0, 0, 2).total == (34.9_MBh).si * 0.98);
    CHECK(at(0, 0, 2).sensible == (27.3_MBh).si * 0.94);
    CHECK(at(0, 2, 2).power == units::kW.to_si(2.53) * 1.01);
    // Dry stays dry: what its sensible was before it was capped nobody knows. A wet node that would pass its total is
    // capped at it.
    CHECK(at(0, 0, 0).mark == Mark::dry);
    CHECK(at(0, 0, 0).sensible == (32.1_MBh).si * 0.98);
    CHECK(at(0, 0, 1).mark == Mark::printed);
    CHECK(at(0, 2, 1).mark == Mark::dry);
    CHECK(at(0, 2, 1).sensible == (33.0_MBh).si * 1.015);
    CHECK(at(1, 0, 2).mark == Mark::blank);
    // 0.1 MBh of the page and 0.001 of a factor on 34.9 MBh.
    CHECK(near(page.total_step, units::MBh.to_si(std::hypot(0.1, 0.001 * 34.9)), relative(1e-12)));
    // What was typed stays with the airflow it was typed for.
    CHECK(typed(page, "airflow") == Texts{"1050", "1050", "1050", "1200", "1200", "1200", "1350", "1350", "1350",
                                          "1050", "1050", "1050", "1200", "1200", "1200", "1350", "1350", "1350"});
    CHECK(typed(page, "total")[4] == "33.0");
    CHECK(typed(page, "total")[1].empty());
    CHECK(typed(page, "ewb")[1] == "63");
    CHECK(extra(page, "amps").values[4] == 11.1);
    CHECK(std::isnan(extra(page, "amps").values[1]));

    // The row of ones is the airflow of a page that does not say it.
    const System silent = short_table("");
    CHECK(page_of(silent).airflow == page.airflow);
    CHECK(same_nodes(page_of(silent), page));
    CHECK_FALSE(page_of(parse_system(texts::page, "a")).airflow_multiplied);
}

TEST_CASE("H: airflow with its bypass factor, operating limits and dry columns, in long form") {
    const System system = stage(
        "      table: |\n"
        "        airflow ewb bypass odb total sensible power\n"
        "        m3/s degC % degC kW kW kW\n"
        "        1.20 16 6 35 22.1 22.1 5.90\n"
        "        1.20 19 6 35 24.0 19.1 6.00\n"
        "        1.20 22 6 35 26.3 15.2 6.10\n"
        "        1.60 16 9 35 23.4 23.4 6.00\n"
        "        1.60 19 9 35 24.9 21.9 6.05\n"
        "        1.60 22 9 35 27.1 16.8 6.15\n"
        "        1.20 16 6 46 20.0 20.0d 7.10\n"
        "        1.20 19 6 46 21.7 18.1 7.20\n"
        "        1.20 22 x 46 x x x\n"
        "        1.60 16 9 46 21.0 21.0 7.20\n"
        "        1.60 19 9 46 22.5 21.1 7.25\n"
        "        1.60 22 x 46 x x x\n",
        "airflow: standard, sensible_at: 27 degC, power: compressor");
    const PrintedPage& page = page_of(system);
    CHECK(page.has_bypass);
    CHECK(page.nodes[1].bypass == 0.06);
    CHECK(page.nodes[4].bypass == 0.09);
    CHECK(marks(page) == std::vector{Mark::dry, Mark::printed, Mark::printed, Mark::dry, Mark::printed, Mark::printed,
                                     Mark::dry, Mark::printed, Mark::beyond_limit, Mark::dry, Mark::printed,
                                     Mark::beyond_limit});
    CHECK(typed(page, "bypass")[8] == "x");
    CHECK(typed(page, "sensible")[6] == "20.0d");
}

TEST_CASE("relative humidity at one entering dry bulb is a wet bulb") {
    const auto page = [](const std::string& basis, const std::string& humidity) {
        return stage("      airflow: 1000 scfm\n      odb: 95 degF\n" + humidity, "airflow: standard" + basis);
    };
    const std::string rows =
        "      table: |\n        rh total sensible\n        % MBh MBh\n        60 34.9 22.0\n"
        "        40 31.2 28.0\n        50 33.0 25.2\n";
    // By PsychroLib 2.5.0 (SI), GetTWetBulbFromRelHum of 80 degF and 40 % at 14.696 psia and at 5,000 ft; good to 0.001
    // degC.
    const System sea_level = page(", sensible_at: 80 degF", rows),
                 high = page(", elevation: 5000 ft", "      edb: 80 degF\n" + rows);
    const auto in_degF = [](const System& system, std::size_t i) {
        return units::degF.from_si(page_of(system).entering_wet_bulb.at(i));
    };
    CHECK(page_of(sea_level).relative_humidity.empty());
    CHECK(near(in_degF(sea_level, 0), 63.489, absolute(0.0018)));
    CHECK(near(in_degF(high, 0), 62.455, absolute(0.0018)));
    CHECK(typed(page_of(sea_level), "rh") == Texts{"40", "50", "60"});
    CHECK(in_MBh(page_of(sea_level), &PrintedNode::total) == std::vector{31.2, 33.0, 34.9});

    // At several entering dry bulbs it stays an axis of its own.
    const System grid = page("",
                             "      table: |\n        rh total sensible@75 sensible@80\n        1 MBh MBh MBh\n"
                             "        0.40 31.2 25.1 28.0\n        0.50 33.0 22.4 25.2\n");
    CHECK(page_of(grid).relative_humidity == std::vector{0.40, 0.50});
    CHECK(page_of(grid).entering_wet_bulb.empty());
    CHECK(page_of(grid).entering_dry_bulb == degF({75, 80}));
}

TEST_CASE("mass flow is standard airflow by the page's own pound") {
    const auto page = [](const std::string& pound) {
        return stage(
            "      airflow: 0.5117 kg/s\n"
            "      table: |\n        odb ewb total\n        degC degC W\n        35.0 19.4 8174\n",
            pound);
    };
    const System dry = page("sensible_at: 80 degF"), moist = page("standard_pound: moist");
    // 0.075 lb/ft3 is 1.201385 kg/m3.
    CHECK(near(page_of(dry).airflow.at(0), 0.5117 / 1.201385, relative(1e-6)));
    CHECK(table_of(dry).basis().airflow == AirflowBasis::standard);
    CHECK(table_of(dry).basis().standard_pound == Pound::dry);
    CHECK(page_of(moist).airflow == page_of(dry).airflow);
    CHECK(table_of(moist).basis().standard_pound == Pound::moist);
    CHECK(typed(page_of(dry), "airflow") == Texts{"0.5117"});
    CHECK(unit(page_of(dry), "airflow") == "kg/s");
    const System column =
        stage("      table: |\n        odb airflow ewb total\n        degF lb/h degF MBh\n        95 4500 67 34.0\n",
              "sensible_at: 80 degF");
    // 4,500 lb/h over 60 x 0.075 is 1,000 scfm.
    CHECK(near(page_of(column).airflow.at(0), (1000_cfm).si, relative(1e-14)));
}

TEST_CASE("station pressure: one is the page's elevation, several are an axis") {
    const auto page = [](const std::string& basis, const std::string& more) {
        return stage("      airflow: 1000 scfm\n      odb: 95 degF\n" + more, "airflow: standard" + basis);
    };
    const std::string rows = "      table: |\n        ewb total\n        degF MBh\n        67 34.0\n";
    const System one = page("", "      pressure: 84.31 kPa\n" + rows);
    CHECK(page_of(one).pressure.empty());
    // ASHRAE Fundamentals 2017, chapter 1, table 1: 84.556 kPa at 1500 m, 79.495 kPa at 2000 m.
    CHECK(near(table_of(one).basis().elevation->si, 1524.0, absolute(0.5)));
    CHECK(table_of(page(", elevation: 5000 ft", "      pressure: 12.23 psia\n" + rows)).basis().elevation == 5000_ft);
    const System several = page("",
                                "      table: |\n        ewb pressure total\n        degF kPa MBh\n"
                                "        67 101.3 34.0\n        67 84.3 33.2\n");
    CHECK(page_of(several).pressure == std::vector{84300.0, 101300.0});
    CHECK(in_MBh(page_of(several), &PrintedNode::total) == std::vector{33.2, 34.0});
    CHECK(typed(page_of(several), "pressure") == Texts{"84.3", "101.3"});
}

TEST_CASE("what a certified rating and a rated point say is kept for the audit") {
    const System system = parse_system(
        texts::with(texts::page,
                    "sensible_at:", "certified: {total: 33.0 MBh, airflow: 1050 scfm, fan: 400 W}, sensible_at:"),
        "a");
    const auto& certified = table_of(system).basis().certified;
    REQUIRE(certified);
    CHECK(certified->net_total == 33.0_MBh);
    CHECK(certified->airflow == 1050_cfm);
    CHECK(certified->fan_power == 400_W);
    CHECK_FALSE(table_of(parse_system(texts::page, "a")).basis().certified);
}

TEST_CASE("the demo with blocks by speed holds what its file prints") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/birch.yaml");
    CHECK(system.parts().modulation == Modulation::continuous);
    CHECK(system.stage_names() == std::vector<std::string>{"minimum", "rated", "maximum"});
    const PrintedPage& page = page_of(system, "rated");
    CHECK(page.entering_dry_bulb == degF({70, 75, 80, 85}));
    CHECK(page.airflow == std::vector{(800_cfm).si, (1000_cfm).si, (1200_cfm).si});
    CHECK(page.airflow_multiplied);
    // 95 degF outdoors, 67 degF wet bulb, 75 degF dry bulb: at the page's own airflow, and by the row for 1,200 scfm.
    const auto at = [&](std::size_t flow) { return ((2 * 3 + flow) * 3 + 1) * 4 + 1; };
    CHECK(page.nodes[at(1)].total == (34.0_MBh).si);
    CHECK(page.nodes[at(1)].sensible == (19.9_MBh).si);
    CHECK(page.nodes[at(2)].sensible == (19.9_MBh).si * 1.096);
    CHECK(extra(page, "liquid_pressure").values[at(1)] == units::psig.to_si(396));
    CHECK(typed(page, "sensible")[at(1)] == "19.9");
    // 71 degF wet bulb at 70 degF dry bulb is blank; 63 at 85 is dry; the last block stops at its operating limit.
    CHECK(page.nodes[at(1) + 3].mark == Mark::blank);
    CHECK(page.nodes[at(1) - 2].mark == Mark::dry);
    CHECK(page_of(system, "maximum").nodes.back().mark == Mark::beyond_limit);
}
