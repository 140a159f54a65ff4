// Good system files: what is typed is what is held.
#include <algorithm>
#include <fstream>
#include <random>
#include <sstream>
#include <vector>

#include "../support/near.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/envelope.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;
using texts::page_of;

namespace {

const PrintedNode& node(const PrintedPage& page, std::size_t i, std::size_t j, std::size_t k) {
    return page.nodes[(i * page.airflow.size() + j) * page.entering_wet_bulb.size() + k];
}

System table(const std::string& rows) {
    return parse_system(
        "offnominal: system/1\nname: t\ncooling:\n  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF}\n"
        "  stages:\n    full:\n" +
            rows,
        "t.yaml");
}

}  // namespace

TEST_CASE("the demo system holds what its files print") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const SystemParts& parts = system.parts();
    CHECK(parts.name == "Alder three-ton, invented");
    CHECK(parts.nominal == "3 ton");
    CHECK(parts.refrigerant == "R-410A");
    CHECK(parts.source.document == "invented for demonstration");
    CHECK(parts.source.revision == "A");
    CHECK(parts.source.page == "4");
    CHECK(system.stage_names() == std::vector<std::string>{"high", "low"});

    const Basis& basis = system.stage("low", nullptr)->table.basis();
    CHECK(basis.capacity == CapacityBasis::gross);
    CHECK(basis.airflow == AirflowBasis::standard);
    CHECK(basis.standard_pound == Pound::dry);
    CHECK(basis.power == PowerBasis::outdoor_unit);
    CHECK(basis.sensible_at == 80_degF);
    CHECK(basis.sensible_slope->si == units::Btu_h_cfm_degF.to_si(1.10));
    CHECK(basis.elevation == 0_ft);
    CHECK(basis.tolerance == 0.05);

    const PrintedPage& high = page_of(system, "high");
    CHECK(high.outdoor_dry_bulb == std::vector{units::degF.to_si(75), units::degF.to_si(85), units::degF.to_si(95),
                                               units::degF.to_si(105), units::degF.to_si(115)});
    CHECK(high.airflow == std::vector{(800_cfm).si, (1000_cfm).si, (1200_cfm).si});
    CHECK(high.entering_wet_bulb == std::vector{(59_degF).si, (63_degF).si, (67_degF).si, (71_degF).si});
    REQUIRE(high.nodes.size() == 60);
    CHECK(high.has_sensible);
    CHECK(high.has_power);
    CHECK(high.has_bypass);
    CHECK(near(high.total_step, (0.1_MBh).si, relative(1e-15)));
    CHECK(near(high.power_step, 10.0, relative(1e-15)));

    // The figures that the stated model gives at 80 degF entering: 85/1000/63, 95/1000/59 (dry), 95/1200/67, low
    // 95/800/67.
    const auto is = [](const PrintedNode& n, double total, double sensible, double kilowatts, double bypass,
                       Mark mark) {
        CHECK(n.total == units::MBh.to_si(total));
        CHECK(n.sensible == units::MBh.to_si(sensible));
        CHECK(n.power == units::kW.to_si(kilowatts));
        CHECK(n.bypass == bypass);
        CHECK(n.mark == mark);
    };
    is(node(high, 1, 1, 1), 33.5, 29.8, 2.19, 0.10, Mark::printed);
    is(node(high, 2, 1, 0), 30.8, 30.8, 2.45, 0.10, Mark::dry);
    is(node(high, 2, 2, 2), 35.0, 27.3, 2.53, 0.12, Mark::printed);
    is(node(page_of(system, "low"), 2, 1, 2), 26.2, 19.8, 1.59, 0.08, Mark::printed);
    CHECK(std::ranges::count(high.nodes, Mark::blank, &PrintedNode::mark) == 1);
    CHECK(node(high, 4, 2, 3).mark == Mark::blank);
    CHECK(high.places[0].file.ends_with("alder.yaml"));
    CHECK(page_of(system, "low").places[0].file.ends_with("demo/alder-low.csv"));
    CHECK(page_of(system, "low").places[0].line == 4);

    REQUIRE(system.match_names() == std::vector<std::string>{"indoor A", "indoor B"});
    CHECK(system.match("indoor A")->reference);
    CHECK(system.match("indoor A")->fan == FanPosition::draw_through);
    const Match& b = *system.match("indoor B");
    CHECK(b.factors.total == 0.965);
    CHECK(b.factors.power == 0.991);
    CHECK(b.bypass == 0.14);
    CHECK(b.fan == FanPosition::blow_through);
    CHECK(b.airflow->first == 800_cfm);
    CHECK(b.airflow->second == 1150_cfm);

    CHECK(parts.reference_line->equivalent_length == 25_ft);
    CHECK(parts.reference_line->suction.si == units::in.to_si(0.875));
    CHECK(parts.line_set.limits().least_lift.si == units::ft.to_si(-50));
    CHECK(parts.line_set.suction_sizes().size() == 3);
    const auto line = parts.line_set.at(LineSet::of(50_ft, 0.75_in));
    REQUIRE(line);
    CHECK(line->total == 0.978);
    CHECK(line->power == 0.994);
    CHECK(parts.line_set.at(LineSet::of(50_ft, 0.625_in)).reason().why == Why::blank);
    CHECK(parts.altitude.empty());

    CHECK(parts.blower.taps() == std::vector<std::string>{"1", "2", "3", "4", "5"});
    CHECK(parts.blower.basis().motor == BlowerMotor::constant_torque);
    CHECK(parts.blower.basis().includes == "wet coil, no filter");
    CHECK(parts.blower.basis().standard_air);
    const auto blown = parts.blower.at("4", 0.5_in_wc, 1.0);
    REQUIRE(blown);
    CHECK(blown->airflow == 1205_cfm);
    CHECK(blown->power == 480_W);
    CHECK(parts.blower.at("5", 0.8_in_wc, 1.0).reason().why == Why::blank);
}

TEST_CASE("the BESTEST map is the published file of it, entered with the published mass flow") {
    const System system = load_system(OFFNOMINAL_PUBLISHED_DIR "/hvac_bestest_v1.yaml");
    const PrintedPage& page = page_of(system, "full");
    std::ifstream csv(OFFNOMINAL_PUBLISHED_DIR "/hvac_bestest_v1_map_from_fit.csv");
    std::string line;
    std::size_t rows = 0;
    while (std::getline(csv, line)) {
        double odb, ewb, gross, net, compressor;
        char comma;
        if (!(std::istringstream(line) >> odb >> comma >> ewb >> comma >> gross >> comma >> net >> comma >> compressor))
            continue;
        ++rows;
        const auto i = std::ranges::find(page.outdoor_dry_bulb, odb) - page.outdoor_dry_bulb.begin();
        const auto k = std::ranges::find(page.entering_wet_bulb, ewb) - page.entering_wet_bulb.begin();
        REQUIRE(i < 4);
        REQUIRE(k < 4);
        const PrintedNode& n = node(page, static_cast<std::size_t>(i), 0, static_cast<std::size_t>(k));
        CHECK(n.total == gross);
        CHECK(n.power == compressor);
    }
    CHECK(rows == 16);
    CHECK(page.nodes.size() == 16);
    CHECK_FALSE(page.has_sensible);
    CHECK(system.stage("full", nullptr)->table.basis().power == PowerBasis::compressor);
    // 0.5117 kg/s (hvac_bestest_v1_equipment.yaml), to the digits given there.
    CHECK(near(air::si::dry_mass_from_standard(page.airflow.at(0)), 0.5117, relative(1e-5)));
}

TEST_CASE("rows and columns in any order make the same page") {
    const System in_order = parse_system(texts::page, "a");
    const PrintedPage& expected = page_of(in_order, "full");
    std::vector<std::vector<std::string>> cells;
    std::istringstream lines(texts::page.substr(texts::page.find("        odb")));
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        cells.emplace_back();
        for (std::string word; words >> word;) cells.back().push_back(word);
    }
    std::mt19937 random(20240607);
    const auto shuffle = [&](auto first, auto last) {  // std::shuffle differs between libraries
        for (auto n = last - first; n > 1; --n)
            std::iter_swap(first + (n - 1), first + static_cast<decltype(n)>(random() % static_cast<unsigned>(n)));
    };
    for (int round = 0; round < 20; ++round) {
        std::vector<std::size_t> columns{0, 1, 2, 3, 4, 5, 6};
        shuffle(columns.begin(), columns.end());
        shuffle(cells.begin() + 2, cells.end());
        std::string rows = "      table: |\n";
        for (const auto& row : cells) {
            rows += "       ";
            for (const std::size_t c : columns) rows += " " + row[c];
            rows += "   # checked\n\n";
        }
        const System shuffled = table(rows);
        const PrintedPage& page = page_of(shuffled, "full");
        CHECK(page.outdoor_dry_bulb == expected.outdoor_dry_bulb);
        CHECK(page.airflow == expected.airflow);
        CHECK(page.entering_wet_bulb == expected.entering_wet_bulb);
        REQUIRE(page.nodes.size() == expected.nodes.size());
        for (std::size_t n = 0; n < page.nodes.size(); ++n) {
            CHECK(page.nodes[n].total == expected.nodes[n].total);
            CHECK(page.nodes[n].sensible == expected.nodes[n].sensible);
            CHECK(page.nodes[n].power == expected.nodes[n].power);
            CHECK(page.nodes[n].bypass == expected.nodes[n].bypass);
        }
    }
}

TEST_CASE("blank, beyond the limit, dry by its mark, dry by its numbers") {
    const System system = table(
        "      table: |\n"
        "        odb airflow ewb total sensible\n"
        "        degF scfm degF MBh Btu/h\n"
        "        95 1000 59 30.8 30800d\n"  // in two units, equal as far as the print goes
        "        95 1000 63 31.8 29100\n"
        "        95 1000 67 34.0 24900\n"
        "        105 1000 59 29.4 29400\n"  // equal without the mark
        "        105 1000 63 30.0 28300\n"
        "        105 1000 67 32.3 24200\n"
        "        115 1000 59 - -\n"
        "        115 1000 63 28.3 27600\n"
        "        115 1000 67 x x\n");
    const PrintedPage& page = page_of(system, "full");
    const std::vector<Mark> marks{Mark::dry,     Mark::printed, Mark::printed, Mark::dry,         Mark::printed,
                                  Mark::printed, Mark::blank,   Mark::printed, Mark::beyond_limit};
    REQUIRE(page.nodes.size() == marks.size());
    for (std::size_t n = 0; n < marks.size(); ++n) {
        CAPTURE(n);
        CHECK(page.nodes[n].mark == marks[n]);
    }
    CHECK(page.nodes[0].sensible == page.nodes[0].total);
    CHECK(near(page.total_step, (0.1_MBh).si, relative(1e-15)));
    CHECK(near(page.sensible_step, (100_Btu_h).si, relative(1e-15)));  // whole hundreds
    CHECK_FALSE(page.has_power);
    CHECK_FALSE(page.has_bypass);
}

TEST_CASE("one value for all of the page may stand beside the table") {
    const System system = table(
        "      airflow: 900 scfm\n"
        "      odb: 95 degF\n"
        "      bypass: 0.11\n"
        "      table: |\n"
        "        ewb total power\n"
        "        degF MBh kW\n"
        "        63 31.8 2.47\n"
        "        67 34.0 2.51\n");
    const PrintedPage& page = page_of(system, "full");
    CHECK(page.airflow == std::vector{(900_cfm).si});
    CHECK(page.outdoor_dry_bulb == std::vector{(95_degF).si});
    CHECK(page.nodes.at(1).total == (34.0_MBh).si);
    CHECK(page.has_bypass);
    CHECK(page.nodes.at(1).bypass == 0.11);
}

TEST_CASE("the same page in SI") {
    const System system = table(
        "      table: |\n"
        "        odb airflow ewb total sensible power\n"
        "        degC L/s K kW W W\n"
        "        35 472 292.55 9.97 7300 2510\n");
    const PrintedPage& page = page_of(system, "full");
    CHECK(page.outdoor_dry_bulb.at(0) == 35.0);
    CHECK(page.airflow.at(0) == 0.472);
    CHECK(near(page.entering_wet_bulb.at(0), 19.4, relative(1e-14)));
    CHECK(page.nodes.at(0).total == 9970.0);
    CHECK(page.total_step == 10.0);
    CHECK(page.sensible_step == 1.0);
    CHECK(page.nodes.at(0).sensible == 7300.0);
}

TEST_CASE("a page in whole hundreds is known to a hundred: the step is the power of ten that all its numbers share") {
    const auto steps = [](std::string_view from = {}, std::string_view to = {}) {
        std::string text = texts::page;
        for (const auto& [printed, whole] : {std::pair{"MBh    MBh       kW", "Btu/h  Btu/h     W "},
                                             std::pair{"33.3   29.9      2.19", "33300 29900 2190"},
                                             std::pair{"35.8   25.7      2.23", "35800 25700 2230"},
                                             std::pair{"34.3   33.0      2.19", "34300 33000 2190"},
                                             std::pair{"36.9   28.1      2.23", "36900 28100 2230"},
                                             std::pair{"31.5   29.1      2.48", "31500 29100 2480"},
                                             std::pair{"33.9   24.9      2.52", "33900 24900 2520"},
                                             std::pair{"32.5   32.2      2.48", "32500 32200 2480"},
                                             std::pair{"34.9   27.3      2.52", "34900 27300 2520"}})
            text = texts::with(text, printed, whole);
        const System system = parse_system(texts::with(text, from, to), "page.yaml");
        const PrintedPage page = texts::page_of(system);
        CHECK(differences(parse_system(write_system(system), "written.yaml"), system, Sameness::bits).empty());
        return std::array{in(Power{page.total_step}, units::Btu_h), in(Power{page.sensible_step}, units::Btu_h),
                          page.power_step};
    };
    const auto close = [](const std::array<double, 3>& found, const std::array<double, 3>& due) {
        for (std::size_t i = 0; i < 3; ++i) CHECK(near(found[i], due[i], relative(1e-12)));
    };
    close(steps(), {100.0, 100.0, 10.0});
    close(steps("33300", "33350"), {10.0, 100.0, 10.0});
    close(steps("33300", "33301"), {1.0, 100.0, 10.0});
    close(steps("33300 29900 2190", "33300 29900 2190.0"), {100.0, 100.0, 0.1});
    // Three numbers that end in a nought may do so by chance.
    const auto few = parse_system(
        "offnominal: system/1\nname: few\ncooling:\n  basis: {sensible_at: 80 degF}\n  stages:\n    full:\n      "
        "table: |\n"
        "        odb airflow ewb total\n        degF scfm degF Btu/h\n        85 1000 63 33300\n        85 1000 67 "
        "35800\n"
        "        95 1000 63 31500\n        95 1000 67 31500\n",
        "few");
    CHECK(near(in(Power{texts::page_of(few).total_step}, units::Btu_h), 1.0, relative(1e-12)));
}

TEST_CASE("a unit of standard air says what the basis leaves out") {
    const auto basis = [](const char* unit) {
        const System system =
            parse_system(texts::with(texts::with(texts::page, "airflow: standard, ", ""), "scfm", unit), "a");
        return system.stage("full", nullptr)->table.basis().airflow;
    };
    CHECK(basis("scfm") == AirflowBasis::standard);
    CHECK(basis("cfm") == AirflowBasis::unknown);
}

TEST_CASE("a net table names its fan") {
    const auto fan = [](const std::string& text) {
        return parse_system(texts::with(texts::page, "capacity: gross", "capacity: net, fan: " + text), "a")
            .stage("full", nullptr)
            ->table.basis()
            .fan;
    };
    CHECK(fan("420 W").power == 420_W);
    CHECK(fan("420 W").per_airflow.si == 0.0);
    CHECK(near(fan("365 W per 1000 scfm").heat((1000_cfm).si), 365.0, relative(1e-15)));
    CHECK(near(fan("[20 W, 0.365 W/cfm]").heat((1000_cfm).si), 385.0, relative(1e-15)));
}

TEST_CASE("a match with pages of its own, with the system's basis or with another") {
    const std::string rows = texts::page.substr(texts::page.find("  stages:"));
    std::string own = "matches:\n  B:\n    cooling:\n";
    std::istringstream lines(rows);
    for (std::string line; std::getline(lines, line);) own += "    " + line + "\n";
    const System inherited = parse_system(texts::page + own, "a");
    REQUIRE(inherited.match("B")->stages.size() == 1);
    CHECK(inherited.stage("full", inherited.match("B"))->table.basis().sensible_at == 80_degF);

    const System other = parse_system(
        texts::page + texts::with(own, "    cooling:\n", "    cooling:\n      basis: {sensible_at: 75 degF}\n"), "a");
    CHECK(other.stage("full", other.match("B"))->table.basis().sensible_at == 75_degF);
    CHECK(other.stage("full", other.match("B"))->table.basis().capacity == CapacityBasis::unknown);
    CHECK(other.stage("full", nullptr)->table.basis().sensible_at == 80_degF);
    CHECK(envelope(other).size() == 2);
}

TEST_CASE("tubing in fractions of an inch, an altitude table in any order") {
    const System system = parse_system(texts::page +
                                           "line_set:\n"
                                           "  reference: {length: 25 ft, suction: 1 1/8 in, liquid: 3/8 in}\n"
                                           "  cooling: |\n"
                                           "    suction length total power\n"
                                           "    in ft 1 %\n"
                                           "    1 1/8  25  1.000  100.0\n"
                                           "    1-3/8  25  1.004  100.1\n"
                                           "    7/8    25  0.990  99.7\n"
                                           "altitude:\n"
                                           "  equal: mass\n"
                                           "  cooling: |\n"
                                           "    elevation total power\n"
                                           "    ft 1 1\n"
                                           "    5000 0.980 1.040\n"
                                           "    0    1.000 1.000\n",
                                       "a");
    const SystemParts& parts = system.parts();
    CHECK(parts.reference_line->suction == 1.125_in);
    CHECK(parts.line_set.at(LineSet::of(25_ft, 1.125_in))->total == 1.0);
    CHECK(parts.line_set.at(LineSet::of(25_ft, 1.375_in))->power == 1.001);
    CHECK(parts.line_set.at(LineSet::of(25_ft, 0.875_in))->total == 0.99);
    const auto high = parts.altitude.at((2500_ft).si);
    REQUIRE(high);
    CHECK(near(high->total, 0.99, relative(1e-12)));
}

TEST_CASE("JSON is YAML: a system as a program would send it") {
    const System system = parse_system(
        R"({"offnominal": "system/1", "name": "json", "refrigerant": null, "cooling": {"basis": {"capacity": "gross", "airflow":
"standard", "tolerance": 0.05}, "stages": {"full": {"table": "odb airflow ewb total\ndegF scfm degF MBh\n95 1000 63 31.8  # checked\n95 1000 67 34.0\n"}}},
"matches": {"A": {"reference": true}, "B": {"total": 0.97, "power": 1e0}}})",
        "sent");
    CHECK(page_of(system, "full").nodes.at(1).total == (34.0_MBh).si);
    CHECK(system.parts().refrigerant.empty());
    CHECK(system.match("B")->factors.total == 0.97);
    CHECK(
        texts::of_system(
            R"({"offnominal": "system/1", "name": "j", "cooling": {"stages": {"full": {"table": "odb ewb\ndegF degF\n1 2\n"}}}})") ==
        "page.yaml:1:82: cooling: stages: full: no column 'airflow': 'odb ewb'; accepted: odb, airflow, ewb, rh, edb, "
        "pressure, total, "
        "sensible, power, bypass, split, latent, suction_pressure, liquid_pressure, amps, eer, cop");
}
