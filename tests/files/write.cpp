// What is written reads back to the very same thing, every double bit for bit.
#include <cmath>
#include <numbers>
#include <random>

#include "offnominal/collate.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

void check_same_extras(const std::vector<ExtraColumn>& a, const std::vector<ExtraColumn>& b) {
    REQUIRE(a.size() == b.size());
    for (std::size_t e = 0; e < a.size(); ++e) {
        CHECK(a[e].name == b[e].name);
        CHECK(a[e].unit.name == b[e].unit.name);
        REQUIRE(a[e].values.size() == b[e].values.size());
        for (std::size_t n = 0; n < a[e].values.size(); ++n) CHECK(same(a[e].values[n], b[e].values[n]));
    }
}

void check_same_axes_and_nodes(const PrintedPage& a, const PrintedPage& b) {
    CHECK(a.outdoor_dry_bulb == b.outdoor_dry_bulb);
    CHECK(a.airflow == b.airflow);
    CHECK(a.entering_wet_bulb == b.entering_wet_bulb);
    CHECK(a.relative_humidity == b.relative_humidity);
    CHECK(a.pairs == b.pairs);
    CHECK(a.pairs_are_points == b.pairs_are_points);
    CHECK(a.entering_dry_bulb == b.entering_dry_bulb);
    CHECK(a.pressure == b.pressure);
    CHECK(a.has_sensible == b.has_sensible);
    CHECK(a.has_power == b.has_power);
    CHECK(a.has_bypass == b.has_bypass);
    CHECK(a.airflow_multiplied == b.airflow_multiplied);
    CHECK(a.infer == b.infer);
    REQUIRE(a.nodes.size() == b.nodes.size());
    for (std::size_t n = 0; n < a.nodes.size(); ++n) {
        const PrintedNode &x = a.nodes[n], &y = b.nodes[n];
        CHECK(x.mark == y.mark);
        if (x.mark != Mark::printed && x.mark != Mark::dry) continue;
        CHECK(x.total == y.total);
        CHECK(x.sensible == y.sensible);
        CHECK(x.power == y.power);
        CHECK(x.bypass == y.bypass);
    }
    check_same_extras(a.extras, b.extras);
}

/// The texts of a role, and nothing for a node without one.
std::vector<std::string> texts_of(const std::vector<TypedColumn>& typed, const std::string& role) {
    for (const TypedColumn& column : typed) {
        if (column.role != role) continue;
        std::vector<std::string> out = column.texts;
        for (std::string& text : out)
            if (text == "-") text.clear();
        return out;
    }
    return {};
}

void check_typed(const std::vector<TypedColumn>& a, const std::vector<TypedColumn>& b) {
    for (const TypedColumn& column : a) {
        INFO(column.role);
        CHECK(texts_of(a, column.role) == texts_of(b, column.role));
    }
    CHECK(a.size() == b.size());
}

/// A typed page comes back with its texts, and with the steps they show.
void check_same(const PrintedPage& a, const PrintedPage& b) {
    check_same_axes_and_nodes(a, b);
    CHECK(a.total_step == b.total_step);
    CHECK(a.sensible_step == b.sensible_step);
    CHECK(a.power_step == b.power_step);
    check_typed(a.typed, b.typed);
}

System cycle(const System& system) { return parse_system(write_system(system), "written.yaml", "no-folder"); }

/// Reads, writes and reads a system; writing again gives the same text.
void check_cycle(const System& system) {
    const std::string text = write_system(system);
    INFO(text);
    const System back = parse_system(text, "written.yaml", "no-folder");
    CHECK(write_system(back) == text);
    CHECK(back == system);
    REQUIRE(back.parts().cooling.size() == system.parts().cooling.size());
    for (std::size_t s = 0; s < system.parts().cooling.size(); ++s) {
        const Stage &a = system.parts().cooling[s], &b = back.parts().cooling[s];
        CHECK(a.name == b.name);
        CHECK(a.speed == b.speed);
        check_same(a.table.page(), b.table.page());
    }
}

std::string page_text(const std::string& basis, const std::string& rest) {
    return "offnominal: system/1\nname: t\ncooling:\n  basis: {" + basis + "}\n" + rest;
}

/// "Unit A" of texts.hpp as if it had been built in code.
PrintedPage unit_page() {
    PrintedPage page = parse_system(texts::page, "page.yaml").parts().cooling[0].table.page();
    page.typed.clear();
    page.places.clear();
    return page;
}
Basis unit_basis() { return parse_system(texts::page, "page.yaml").parts().cooling[0].table.basis(); }

System of(PrintedPage page, Basis basis) {
    SystemParts parts;
    parts.name = "built in code";
    parts.cooling.push_back({"full", RatingTable(std::move(basis), std::move(page))});
    return System(std::move(parts));
}

}  // namespace

TEST_CASE("files of the demo and of the BESTEST unit come back as they were typed") {
    for (const std::string file :
         {OFFNOMINAL_TABLES_DIR "/demo/alder.yaml", OFFNOMINAL_PUBLISHED_DIR "/hvac_bestest_v1.yaml"})
        check_cycle(load_system(file));
    const std::string text = write_system(load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml"));
    for (const char* line :
         {"\nsource: {document: invented for demonstration, revision: A, page: 4}\n", "\n    tolerance: 5 %\n",
          "\n        85    1000     63    33.5   29.8      2.19   0.10\n",
          "\n        115   1200     71    -      -         -      -\n",
          "\n        95    1000     59    30.8   30.8d     2.45   0.10\n",
          "\n  indoor B: {total: 0.965, power: 0.991, bypass: 0.14, airflow: [800 scfm, 1150 scfm], "
          "fan: blow-through}\n",
          "\n  reference: {length: 25 ft, suction: 7/8 in, liquid: 3/8 in}\n", "\n  lift: [-50 ft, 50 ft]\n",
          "\n    50      3/4      0.978  0.994\n", "\n    50      5/8      -      -\n",
          "\n    80      3/4      0.960  0.990\n", "\n    4    0.5     1205     480\n"})
        CHECK_MESSAGE(text.find(line) != std::string::npos, line);
}

TEST_CASE("every shape of a page comes back as it was typed") {
    const std::string gross = "capacity: gross, airflow: standard, power: outdoor unit";
    const std::string shapes[] = {
        // sensible per entering dry bulb, a blank where that is below the wet bulb
        page_text(gross + ", elevation: 100 m", R"(  stages:
    full:
      infer: true
      airflow: 1000 scfm
      table: |
        odb   ewb   total  sensible@75  sensible@80  power  split@75  amps
        degF  degF  MBh    MBh          MBh          kW     delta_degF A
        85    63    33.3   24.50        29.9         2.19   21.2      9.1
        85    77    39.0   -            19.0         2.29   -         9.9
        95    63    31.5   23.70        29.1         2.48   20.1      -
        95    77    37.1   -            18.1         2.58   -         11.1
)"),
        // pairs, a point each, at one outdoor dry bulb
        page_text(gross, R"(  stages:
    full:
      indoor: points
      odb: 35.0 degC
      airflow: 0.50 m3/s
      table: |
        edb   ewb   total  sensible  power
        degC  degC  kW     kW        kW
        27    19.0  10.1   7.6       2.9
        22    15    8.9    7.60      2.8
        32    23    11.2   7.4       3.0
)"),
        // ratios: of the rated total, of total, of the rated power; per cent
        page_text(gross + ", sensible_at: 80 degF, sensible_ratio_of: total, rated: {total: 36.0 MBh, power: 2.60 kW}",
                  R"(  stages:
    full:
      airflow: 1050 scfm
      table: |
        odb   ewb   total  sensible  power
        degF  degF  %      1         1
        85    59    95.5   1.00d     0.85
        85    63    98.5   0.885     0.856
        85    67    104.0  0.74      0.861
        95    59    89.5   1.00      0.98
        95    63    93.5   0.905     0.985
        95    67    100.0  0.745     1.000
)"),
        // a multiplier row for airflow
        page_text(gross + ", sensible_at: 80 degF", R"(  stages:
    full:
      bypass: 0.10
      airflow_factors: |
        airflow  total  sensible  power
        scfm     1      1         1
        800      0.960  0.905     0.99
        1000     1.000  1.000     1.00
        1200     1.030  1.090     1.01
      table: |
        odb   ewb   total  sensible  power
        degF  degF  MBh    MBh       kW
        85    59    32.2   32.2d     2.16
        85    63    33.5   31.8      2.19
        85    67    35.8   25.6      2.22
        115   67    -      -         -
        115   63    28.3   27.6      3.12
        115   59    x      x         x
)"),
        // relative humidity and mass flow; two pressures
        page_text("capacity: gross, sensible_at: 26.7 degC", R"(  stages:
    full:
      odb: 35 degC
      edb: 26.7 degC
      table: |
        airflow  rh   total  sensible
        kg/s     %    kW     kW
        0.50     40   8.9    7.1
        0.50     50   9.5    6.5
        0.60     40   9.1    7.6
        0.60     50   9.8    7.0
)"),
        page_text("capacity: gross, airflow: standard", R"(  stages:
    full:
      odb: 35 degC
      airflow: 0.50 m3/s
      table: |
        pressure  edb   rh    total  sensible
        kPa       degC  1     kW     kW
        101.3     24    0.40  8.6    6.9
        101.3     24    0.50  9.1    6.1
        101.3     28    0.40  9.9    7.9
        101.3     28    0.50  10.6   6.9
        84.0      24    0.40  8.4    6.2
        84.0      24    0.50  8.9    5.5
        84.0      28    0.40  9.7    7.1
        84.0      28    0.50  10.3   6.2
)"),
        // speeds, each with an airflow of its own; a service sheet; a net page with a fan of two parts
        page_text(
            "capacity: net, fan: [20 W, 365 W per 1000 scfm], power: system, certified: {total: 33.0 MBh, airflow: "
            "1050 scfm, fan: 400 W}",
            R"(  modulation: continuous
  stages:
    minimum:
      speed: 25 Hz
      airflow: 600 scfm
      table: |
        odb   ewb   total  power  suction_pressure  liquid_pressure  eer
        degF  degF  MBh    kW     psig              kPa              Btu/Wh
        85    63    15.3   0.90   140               2500             17.0
        95    63    14.5   1.02   143               2710             14.2
    maximum:
      speed: 3600 rpm
      airflow: 1200 scfm
      table: |
        odb   ewb   total  power  suction_pressure  liquid_pressure  eer
        degF  degF  MBh    kW     psig              kPa              Btu/Wh
        85    63    35.3   2.90   120               2600             12.2
        95    63    33.5   3.32   122               -                10.1
)"),
    };
    for (const std::string& text : shapes) {
        INFO(text);
        // Speeds are in one unit.
        check_cycle(parse_system(text.find("rpm") == std::string::npos ? text : texts::with(text, "3600 rpm", "60 Hz"),
                                 "shape.yaml"));
    }
}

TEST_CASE("heating pages, multiplier rows and defrost corrections come back") {
    const System system = parse_system(R"(offnominal: system/1
name: heat pump
heating:
  basis: {capacity: net, fan: 400 W, airflow: standard, power: outdoor unit, printed_at: 70 degF, outdoor_humidity: 75 %}
  instantaneous:
    stages:
      high:
        airflow_factors: |
          airflow  capacity  power
          scfm     1         1
          1000     0.980     1.03
          1200     1.000     1.00
        edb_factors: |
          edb   capacity  power
          degF  1         1
          60    1.030     0.93
          70    1.000     1.00
          75    0.985     1.04
        table: |
          odb   capacity  power  rise        suction_pressure
          degF  MBh       kW     delta_degF  psig
          17    20.6      2.20   15.5        60.1
          47    34.2      2.61   25.4        110
          -13   x         x      -           -
  integrated:
    stages:
      high:
        airflow: 1200 scfm
        table: |
          odb   capacity  power
          degF  MBh       kW
          17    19.7      2.19
          35    25.9      2.41
          47    34.2      2.61
  defrost: |
    odb   rh    capacity  power
    degC  1     1         1
    -10   0.7   0.95      0.99
    -10   0.9   0.93      0.99
    5     0.7   0.98      1.00
    5     0.9   0.91      0.98
)",
                                       "heating.yaml");
    const std::string text = write_system(system);
    INFO(text);
    const System back = parse_system(text, "written.yaml");
    CHECK(write_system(back) == text);
    REQUIRE(back.parts().heating.size() == 2);
    for (std::size_t s = 0; s < 2; ++s) {
        const HeatingStage &a = system.parts().heating[s], &b = back.parts().heating[s];
        CHECK(a.frost == b.frost);
        const HeatingPage &x = a.table.page(), &y = b.table.page();
        CHECK(x.outdoor_dry_bulb == y.outdoor_dry_bulb);
        CHECK(x.airflow == y.airflow);
        CHECK(x.entering_dry_bulb == y.entering_dry_bulb);
        CHECK(x.dry_bulb_multiplied == y.dry_bulb_multiplied);
        CHECK(x.capacity_step == y.capacity_step);
        CHECK(x.power_step == y.power_step);
        REQUIRE(x.nodes.size() == y.nodes.size());
        for (std::size_t n = 0; n < x.nodes.size(); ++n) {
            CHECK(x.nodes[n].mark == y.nodes[n].mark);
            CHECK(x.nodes[n].capacity == y.nodes[n].capacity);
            CHECK(x.nodes[n].power == y.nodes[n].power);
        }
        check_same_extras(x.extras, y.extras);
        check_typed(x.typed, y.typed);
    }
    CHECK(back.parts().heating[0].table.basis().outdoor_relative_humidity == 0.75);
    REQUIRE(back.parts().defrost);
    CHECK(back.parts().defrost->pages()[0].nodes[3].capacity == 0.91);
}

TEST_CASE("a page built in code is written with the shortest numbers that read back") {
    const System system = of(unit_page(), unit_basis());
    const std::string text = write_system(system);
    INFO(text);
    check_same_axes_and_nodes(unit_page(), cycle(system).parts().cooling[0].table.page());
    CHECK(text.find("        degF  scfm     degF  MBh    MBh       kW     1\n") != std::string::npos);
    CHECK(text.find("        95    1000     63    31.5   29.1      2.48   0.10\n") != std::string::npos);

    // The printed step is kept by decimals and unit: 100 W are 0.1 kW.
    PrintedPage coarse = unit_page();
    for (PrintedNode& node : coarse.nodes) {
        node.total = 100.0 * std::round(node.total / 100.0);
        node.sensible = 100.0 * std::round(node.sensible / 100.0);
    }
    coarse.total_step = coarse.sensible_step = 100.0;
    const PrintedPage read = cycle(of(coarse, unit_basis())).parts().cooling[0].table.page();
    check_same_axes_and_nodes(coarse, read);
    CHECK(read.total_step == 100.0);

    // A step that the numbers do not keep to is no printed place.
    coarse.total_step = 1000.0;
    CHECK(texts::complaint([&] { (void)write_system(of(coarse, unit_basis())); })
              .find("stage 'full' cannot be written: column 'total' is not in steps of what the page says is its last "
                    "printed place: '1000'") != std::string::npos);
}

TEST_CASE("any doubles come back from a page that was never printed") {
    std::mt19937 random(4);
    const auto within = [&](double a, double b) { return std::uniform_real_distribution(a, b)(random); };
    for (int trial = 0; trial < 50; ++trial) {
        PrintedPage page = unit_page();
        page.total_step = page.sensible_step = page.power_step = 0.0;
        const double size = within(0.8, 1.2);
        for (PrintedNode& node : page.nodes) {
            node.total *= size * within(0.999, 1.001);
            node.sensible = trial % 2 == 0 ? units::MBh.to_si(within(20, 30)) * size : node.sensible * size * 0.98;
            node.power *= within(0.9, 1.1);
            node.bypass = within(0.03, 0.3);
        }
        page.outdoor_dry_bulb = {within(20, 30), within(31, 40)};
        page.airflow = {within(0.40, 0.45), within(0.5, 0.6)};
        Basis basis = unit_basis();
        basis.elevation = Length{within(-100, 3000)};
        basis.tolerance = within(0.0, 0.1);
        basis.sensible_slope = SensibleSlope{units::Btu_h_cfm_degF.to_si(within(1.08, 1.10))};
        const System back = cycle(of(page, basis));
        check_same_axes_and_nodes(page, back.parts().cooling[0].table.page());
        CHECK(back.parts().cooling[0].table.basis().elevation == basis.elevation);
        CHECK(back.parts().cooling[0].table.basis().tolerance == basis.tolerance);
        CHECK(back.parts().cooling[0].table.basis().sensible_slope == basis.sensible_slope);
    }
}

TEST_CASE("texts that no longer say what the page holds are not written") {
    PrintedPage page = parse_system(texts::page, "page.yaml").parts().cooling[0].table.page();
    page.nodes[0].total = units::MBh.to_si(33.4);
    const Basis basis = parse_system(texts::page, "page.yaml").parts().cooling[0].table.basis();
    const System back = cycle(of(page, basis));
    check_same_axes_and_nodes(page, back.parts().cooling[0].table.page());
    CHECK(write_system(back).find("        85    1000     63    33.4   29.9 ") != std::string::npos);
}

TEST_CASE("matches with pages of their own, altitude and blower tables come back") {
    SystemParts parts = parse_system(texts::page, "page.yaml").parts();
    Match own;
    own.name = "indoor: C, #2";
    own.fan = FanPosition::blow_through;
    own.stages = parts.cooling;
    own.stages[0].name = "~";
    parts.matches.push_back(own);
    parts.matches.push_back({"A", true, {}, {}, {}, FanPosition::unknown, {}});
    parts.altitude = AltitudeTable({{0_m, 1.0, 1.0}, {1500_m, 0.97, 1.025}});
    parts.line_set = LineTable({{50_ft, 0.875_in, 0.99, 1.0}, {7.5_m, 0.0223_m, 1.0, 1.0}}, {});
    parts.blower =
        BlowerTable({{"low", 0.1_in_wc, 900_cfm, 200_W}, {"low", 0.9_in_wc, {}, {}, Mark::beyond_limit}}, {});
    const System system(parts);
    const std::string text = write_system(system);
    INFO(text);
    CHECK(text.find("\n  \"indoor: C, #2\":\n") != std::string::npos);
    CHECK(text.find("\n        \"~\":\n") != std::string::npos);
    const System back = parse_system(text, "written.yaml");
    const Match* match = back.match("indoor: C, #2");
    REQUIRE(match != nullptr);
    CHECK(match->fan == FanPosition::blow_through);
    check_same(match->stages[0].table.page(), own.stages[0].table.page());
    CHECK(back.match("A")->reference);
    CHECK(back.parts().altitude.at(1500.0)->power == 1.025);
    CHECK(back.parts().line_set.rows()[0].length == 50_ft);
    CHECK(back.parts().blower.at("low", 0.9_in_wc, 1.0).reason().why == Why::beyond_limit);
    CHECK(back.parts().blower.at("low", 0.1_in_wc, 1.0)->airflow == 900_cfm);

    BlowerTable::Basis basis;
    basis.greatest_static = 0.9_in_wc;
    parts.blower = BlowerTable({{"low", 0.1_in_wc, 900_cfm, 200_W}}, basis);
    CHECK(parse_system(write_system(System(parts)), "written.yaml").parts().blower.basis().greatest_static ==
          0.9_in_wc);

    parts.blower = BlowerTable({{"tap 4", 0.1_in_wc, 900_cfm, 200_W}}, {});
    CHECK(texts::complaint([&] {
              (void)write_system(System(parts));
          }).find("the name of a blower tap: 'tap 4'; accepted: a name without blanks and #") != std::string::npos);
}

TEST_CASE("words are quoted where YAML would read them as something else") {
    SystemParts parts = parse_system(texts::page, "page.yaml").parts();
    for (const std::string name : {"",         " ",     "plain",   "two words", "a: b",      "a:",     ":a",
                                   "a #b",     "#a",    "a#b",     "- a",       "-1",        "a ",     " a",
                                   "'a'",      "\"a\"", "a\"b\\c", "\\",        "[a]",       "{a: b}", "a, b",
                                   "~",        "null",  "true",    "1.0",       "%a",        "@a",     "`a`",
                                   "*a",       "&a",    "!a",      "|",         ">",         "?",      "? a",
                                   "a\nb\n",   "a\tb",  "---",     "...",       "Büro 3 °C", "機械",   "\U0001F321 hot",
                                   "a\u00a0b", "\u2028"}) {
        INFO(name);
        parts.name = name;
        parts.source = {name, name, "[" + name + "]", name, {}};
        parts.cooling[0].name = name;
        const System back = cycle(System(parts));
        CHECK(back.name() == name);
        CHECK(back.parts().source.document == name);
        CHECK(back.parts().source.page == "[" + name + "]");
        CHECK(back.parts().source.transcriber == name);
        CHECK(back.stage_names()[0] == name);
    }
    for (const std::string& name : {std::string("a\0b", 3), std::string("\a"), std::string("\xff"), std::string("\xc3"),
                                    std::string("\xef\xbb\xbf"), std::string("a\rb"), std::string("\u202e")}) {
        parts.name = name;
        CHECK(texts::complaint([&] { (void)write_system(System(parts)); }).find("a text that no file can hold") == 0);
    }
}

TEST_CASE("stages that say unlike things of themselves share a file as far as their tables can tell") {
    SystemParts parts = parse_system(texts::page, "page.yaml").parts();
    Basis basis = unit_basis();
    basis.airflow = AirflowBasis::unknown;
    basis.sensible_at = 75_degF;
    parts.cooling.push_back({"other", RatingTable(basis, unit_page())});
    const System back = cycle(System(parts));
    CHECK(back.parts().cooling[0].table.basis().sensible_at == 80_degF);
    CHECK(back.parts().cooling[0].table.basis().airflow == AirflowBasis::standard);
    CHECK(back.parts().cooling[1].table.basis().sensible_at == 75_degF);
    CHECK(back.parts().cooling[1].table.basis().airflow == AirflowBasis::unknown);
    basis.capacity = CapacityBasis::unknown;
    parts.cooling[1] = {"other", RatingTable(basis, unit_page())};
    CHECK(texts::complaint([&] { (void)write_system(System(parts)); }) ==
          "a system that no file can hold: stage 'other': basis: capacity; accepted: what a system file can say");
}

TEST_CASE("a visit comes back, and says how good its instruments are in the words it was told in") {
    const std::string demo = write_visit(load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml"));
    INFO(demo);
    for (const char* line :
         {"\nline_set: {length: 50 ft, suction: 3/4 in, lift: 0 ft}\n",
          "\nfan_power: {value: 420 W, instrument: clamp meter}\n", "\nrunning: 25 min\n", "\nlimit: 0.90\n",
          "\n  supply: {dry_bulb: 58.4 degF, relative_humidity: 86.4 %, instrument: supply probe}\n",
          "\n  airflow: {value: 1190 cfm, at: return, instrument: flow grid}\n",
          "\n  return probe: {dry_bulb: {limits: 0.4 degF}, relative_humidity: {limits: 2 %}}\n",
          "\n  flow grid: {airflow: {expanded: 7 %}}\n"})
        CHECK_MESSAGE(demo.find(line) != std::string::npos, line);
    CHECK(write_visit(parse_visit(demo, "written.yaml")) == demo);
    CHECK(demo.find("\n  outdoor: {dry_bulb: 91.0 degF, instrument: outdoor probe}\n") != std::string::npos);
    CHECK(demo.find("\nsite: {elevation: 4690 ft, note: from the map}\n") != std::string::npos);

    const std::pair<const char*, const char*> changes[] = {
        {"name: kitchen", "name: \"kitchen: #2\"\nremarks: |\n  two\n  lines"},
        {"stage: full", "stage: full\nmatch: A, B\nline_set: reference\noutside: extend\ninfer: true"},
        {"site: {elevation: 0 ft}", "site: {elevation: 100 m, pressure: 100.1 kPa, instrument: grid}"},
        {"grid: {airflow: {expanded: 7 %}}",
         "grid: {airflow: {standard: 12 cfm}, pressure: {limits: 0.5 %}, correlation: 0.5}"},
        {"relative_humidity: 55 %", "relative_humidity: 0.010"},
        {"relative_humidity: 92 %", "wet_bulb: 55.5 degF"},
        {"1120 cfm, at: return", "1120 scfm"},
        {"limit: 0.90", "limit: 0.90\nconfidence: 0.9\nsteady: false\nrunning: 1 h\nsplit: ashrae37\ncondensate: true"},
        {"boundary: coil+fan\nfan_power: 420 W", "boundary: coil"},
        {"stage: full", "speed: 2700 rpm\nspeed_held: true"},
        {"readings:\n", "readings:\n  power: {value: 2380 W, of: outdoor unit, instrument: clamp}\n"},
        {"  probe: {",
         "  other: {}\n  third: {side_by_side: {with: probe, correlation: 0.8}}\n  probe: {side_by_side: {with: other, "
         "correlation: 80 %}, "},
    };
    for (const auto& [from, to] : changes) {
        std::string text = texts::with(texts::visit, from, to);
        if (std::string_view(to).starts_with("site"))
            text = texts::with(text, "7 %}}", "7 %}, pressure: {limits: 0.2 kPa}}");
        if (std::string_view(to).starts_with("readings"))
            text = texts::with(text, "instruments:\n", "instruments:\n  clamp: {power: {limits: 1 %}}\n");
        if (std::string_view(to).starts_with("wet"))
            text = texts::with(text, "probe: {", "probe: {wet_bulb: {limits: 0.3 K}, ");
        INFO(text);
        const Visit visit = parse_visit(text, "visit.yaml");
        const std::string written = write_visit(visit);
        INFO(written);
        const Visit back = parse_visit(written, "written.yaml");
        CHECK(back == visit);
        CHECK(back.typed == visit.typed);
        CHECK(back.instruments.size() == visit.instruments.size());
        CHECK(back.name == visit.name);
        CHECK(back.remarks == visit.remarks);
        CHECK(back.match == visit.match);
        CHECK(back.outside == visit.outside);
        CHECK(back.confidence == visit.confidence);
        CHECK(back.site.given_pressure() == visit.site.given_pressure());
        CHECK(back.readings.return_humidity.value == visit.readings.return_humidity.value);
        CHECK(back.readings.supply_humidity.kind == visit.readings.supply_humidity.kind);
        CHECK(back.readings.airflow.kind == visit.readings.airflow.kind);
        CHECK(back.readings.split == visit.readings.split);
        CHECK(back.speed_held == visit.speed_held);
        CHECK(back.speed.value_or(Speed{0.0, units::one}).si == visit.speed.value_or(Speed{0.0, units::one}).si);
        CHECK(back.power.value_or(PowerReading{}).of == visit.power.value_or(PowerReading{}).of);
        CHECK(back.side_by_side.size() == visit.side_by_side.size());
        for (std::size_t i = 0; i < input_count; ++i) {
            CHECK(back.uncertainty[i].standard == visit.uncertainty[i].standard);
            CHECK(back.uncertainty[i].instrument == visit.uncertainty[i].instrument);
            CHECK(back.uncertainty[i].correlation == visit.uncertainty[i].correlation);
        }
    }
}

TEST_CASE(
    "a visit keeps what was typed: units, digits, every instrument, the note, and what was changed in code is told "
    "anew") {
    const std::string text = R"(offnominal: visit/1
name: Kueche
date: 2026-07-14
site: {elevation: 1430 m, pressure: 853 hPa, instrument: barometer, note: third floor}
stage: full
line_set: {length: 15.0 m, suction: 22 mm, lift: -2.50 m}
boundary: coil+fan
fan_power: {value: 0.420 kW, instrument: meter}
steady: true
running: 0.5 h
limit: 90 %
confidence: 95 %
acceptance: simple
population: {mean: 0.930, standard: 8 %}
readings:
  log: [run.csv, other run.csv]
  outdoor: {dry_bulb: 95 degF, instrument: probe}
  return: {dry_bulb: 24.50 degC, relative_humidity: 0.550, instrument: probe}
  supply: {dry_bulb: 14.0 degC, wet_bulb: 13.2 degC, instrument: other}
  airflow: {value: 1850 m3/h, at: supply, instrument: hood}
  power: {value: 2.40 kW, of: outdoor unit, instrument: meter}
  scatter: {return_humidity: {standard: 0.40 %, degrees_of_freedom: 12.5}, airflow: {standard: 10.0 m3/h}}
second_capacity: {by: refrigerant, total: 9.80 kW, boundary: coil, standard: 2.0 %}
instruments:
  probe: {dry_bulb: {limits: 0.50 degC}, relative_humidity: {expanded: 3.0 %, coverage: 2}}
  other: {dry_bulb: {standard: 0.2 K}, wet_bulb: {limits: 0.4 delta_degF}, side_by_side: {with: probe, correlation: 80 %}}
  barometer: {pressure: {limits: 1 hPa}}
  hood: {airflow: {expanded: 5.0 %, coverage: 3}}
  meter: {power: {limits: 1 %}}
  spare: {dry_bulb: {limits: 1 K}, airflow: {limits: 20 L/s}, correlation: 0.50, calibrated: 2025-06-01, calibration_valid: 12 months}
)";
    const Visit visit = parse_visit(text, "visit.yaml");
    CHECK(write_visit(visit) == text);
    Visit changed = visit;
    changed.readings.return_dry_bulb = Temperature{25.0};
    SecondReading& second = changed.second_capacity.emplace();
    second.by = SecondMethod::condensate;
    second.water.si = 0.001;
    second.standard = 0.03;
    changed.fan_power = changed.readings.fan_power = Power{400.0};
    changed.of(Input::fan_power).standard = units::percent.to_si(1.0) / std::numbers::sqrt3 * 400.0;
    changed.of(Input::return_dry_bulb).standard = changed.of(Input::outdoor_dry_bulb).standard = 0.25;
    changed.of(Input::return_dry_bulb).shape = changed.of(Input::outdoor_dry_bulb).shape = Shape::normal;
    CHECK_FALSE(changed == visit);
    const std::string written = write_visit(changed);
    CHECK(parse_visit(written, "written.yaml") == changed);
    for (const char* line :
         {"\n  return: {dry_bulb: 25 degC, relative_humidity: 0.550, instrument: probe}\n",
          "\nfan_power: {value: 400 W, instrument: meter}\n",
          "\nsecond_capacity: {by: condensate, water: 0.001 kg/s, standard: 0.03}\n",
          "\n  probe: {dry_bulb: {expanded: 0.5 degC}, relative_humidity: {expanded: 3.0 %, coverage: 2}}\n"})
        CHECK_MESSAGE(written.find(line) != std::string::npos, written);
}

TEST_CASE("what stands beside the pages of a system is written as it was typed, in the units of either system") {
    const std::string text = texts::page + R"(matches:
  A: {reference: true, bypass: 0.10}
  B: {total: 0.970, power: 1.00, airflow: [425 L/s, 1950 m3/h]}
line_set:
  reference: {length: 7.60 m, suction: 22 mm, liquid: 10 mm}
  lift: [-15 m, 15.0 m]
  cooling: |
    length  suction  total  power  # as printed
    m       mm       1      1
    7.6     22       1.000  1.000
    15      22       0.990  0.998
  heating: |
    length  suction  capacity  power  # as printed
    m       mm       1         1
    7.6     22       1.000     1.000
    15      22       0.995     0.999
altitude:
  equal: mass
  cooling: |
    elevation  total  power
    m          1      1
    0          1.00   1.00
    1500       0.97   1.04
blower:
  motor: fixed speed
  greatest_static: 1.50 hPa
  table: |
    tap  static  airflow  power
    1    hPa     L/s      W
    low  0.50    470      300
    low  1.25    425      320
)";
    const std::string typed = texts::with(
        texts::with(text, "sensible_at: 80 degF", "sensible_at: 80.0 degF, elevation: 300 m, tolerance: 0.050"),
        "{capacity: gross,", "{capacity: net, fan: [20.0 W, 0.80 W/cfm], sensible_slope: 1.10 Btu/h/cfm/degF,");
    const System system = parse_system(typed, "page.yaml");
    const std::string written = write_system(system);
    INFO(written);
    CHECK(parse_system(written, "written.yaml") == system);
    CHECK(written.ends_with(text.substr(text.find("matches:"))));
    for (const char* line :
         {"\n    fan: [20.0 W, 0.80 W/cfm]\n", "\n    sensible_at: 80.0 degF\n",
          "\n    sensible_slope: 1.10 Btu/h/cfm/degF\n", "\n    elevation: 300 m\n", "\n    tolerance: 0.050\n"})
        CHECK_MESSAGE(written.find(line) != std::string::npos, line);
    const System tubed = parse_system(
        texts::with(typed, "{length: 7.60 m,", "{tubing: 6.00 m, fittings: {elbow: 2, tee_run: 1},"), "page.yaml");
    CHECK(parse_system(write_system(tubed), "written.yaml") == tubed);
    CHECK(write_system(tubed).find("reference: {tubing: 6.00 m, fittings: {elbow: 2, tee_run: 1}, suction: 22 mm,") !=
          std::string::npos);
    CHECK(tubed.parts().reference_line->equivalent_length.si > 7.0);
    CHECK_FALSE(tubed == system);
    SystemParts parts = system.parts();  // one changed in code is told anew
    parts.heating_line_set = LineTable({{Length{7.6}, Length{0.022}, 1.0, 1.0}}, system.parts().line_set.limits());
    parts.altitude = AltitudeTable({{Length{0.0}, 1.0, 1.0}, {Length{1500.0}, 0.96, 1.04}});
    parts.matches[1].factors.total = 0.98;
    const System changed(parts);
    CHECK(parse_system(write_system(changed), "written.yaml") == changed);
    CHECK(write_system(changed).find("B: {total: 0.98, power: 1.00,") != std::string::npos);
}

TEST_CASE("a share of two readings, and any standard uncertainty, come back bit for bit") {
    const std::string text =
        texts::with(texts::with(texts::with(texts::visit, "relative_humidity: 55 %", "humidity_ratio: 10.5 g/kg"),
                                "relative_humidity: 92 %", "humidity_ratio: 9.1 g/kg"),
                    "relative_humidity: {limits: 2 %}", "humidity_ratio: {limits: 3 %}");
    const Visit visit = parse_visit(text, "visit.yaml");
    const std::string written = write_visit(visit);
    CHECK(written.find("humidity_ratio: {limits: 3 %}") != std::string::npos);

    std::mt19937 random(5);
    Visit other = parse_visit(texts::visit, "visit.yaml");
    for (int trial = 0; trial < 100; ++trial) {
        const double standard = std::uniform_real_distribution(0.001, 0.5)(random);
        for (const Input input : {Input::return_dry_bulb, Input::supply_dry_bulb, Input::outdoor_dry_bulb})
            other.of(input).standard = standard, other.of(input).shape = Shape::normal;
        other.of(Input::airflow).standard = standard / 10.0;
        const Visit back = parse_visit(write_visit(other), "written.yaml");
        CHECK(back.of(Input::supply_dry_bulb).standard == standard);
        CHECK(back.of(Input::airflow).standard == standard / 10.0);
    }
}

TEST_CASE("a visit that no file can hold is refused, saying why") {
    const auto complaint = [](const auto& change) {
        Visit visit = parse_visit(texts::visit, "visit.yaml");
        change(visit);
        return texts::complaint([&] { (void)write_visit(visit); });
    };
    const std::string head = "a visit that no file can hold: ";
    CHECK(complaint([](Visit& v) { v.of(Input::airflow).instrument.clear(); }) ==
          head + "a reading without an instrument: 'airflow'; accepted: a name in Uncertain::instrument");
    CHECK(complaint([](Visit& v) { v.of(Input::return_humidity).instrument = "other"; }) ==
          head + "two instruments in the return air: 'other'; accepted: one name for both of its readings");
    CHECK(complaint([](Visit& v) {
              v.of(Input::supply_dry_bulb).standard = 0.123;
          }).find(head + "instrument 'probe' is differently good at dry_bulb") == 0);
    CHECK(complaint([](Visit& v) {
              v.of(Input::supply_dry_bulb).correlation = 0.5;
          }).find(head + "two correlations of instrument 'probe'") == 0);
    CHECK(complaint([](Visit& v) {
              v.readings.airflow = AirflowReading::dry_mass(0.5_kg_s);
          }).find(head + "airflow as mass flow") == 0);
    CHECK(complaint([](Visit& v) {
              v.readings.return_humidity = air::enthalpy(SpecificEnthalpy{50e3});
          }).find(head + "humidity by enthalpy") == 0);
    CHECK(complaint([](Visit& v) { v.outside = detail::follow; }).find(head + "outside: not one of") == 0);
    CHECK(complaint([](Visit& v) { v.limit.reset(); }).find(head + "limit is missing") == 0);
    CHECK(complaint([](Visit& v) { v.boundary = Boundary::not_given; }).find(head + "boundary is missing") == 0);
    CHECK(complaint([](Visit& v) {
              v.readings.fan = FanPosition::draw_through;
          }).find(head + "readings: fan: it would not") == 0);
    CHECK(complaint([](Visit& v) { v.stage = "\x01"; }).find("a text that no file can hold") == 0);
}
