// Pages of every shape with something wrong in them: what the reader says, and where.
#include "texts.hpp"

using namespace offnominal;
using texts::of_page;
using texts::of_system;

namespace {

const std::string axes_head = "offnominal: system/1\nname: t\ncooling:\n";

/// One stage in lines 7 and following, its lines indented by six blanks.
std::string of_stage(const std::string& lines, const std::string& basis = "airflow: standard, sensible_at: 80 degF") {
    return of_system("offnominal: system/1\nname: t\ncooling:\n  basis: {capacity: gross, " + basis +
                     "}\n  stages:\n    full:\n" + lines);
}

/// The same with a table of these rows, in lines 8 and following, from column 9.
std::string of_table(std::initializer_list<std::string_view> rows, const std::string& basis = "airflow: standard") {
    std::string lines = "      table: |\n";
    for (const std::string_view row : rows) lines += "        " + std::string(row) + "\n";
    return of_stage(lines, basis);
}

bool has(const std::string& text, std::string_view part) {
    const bool found = text.find(part) != std::string::npos;
    if (!found) MESSAGE(text);
    return found;
}

}  // namespace

TEST_CASE("a footnote that lost its minus sign") {
    CHECK(
        of_page("sensible_at:", "sensible_correction: 1 + bypass, sensible_at:") ==
        "page.yaml:4:68: cooling: basis: sensible_correction: the minus sign was lost in print: air that bypasses the "
        "coil is not cooled: '1 + bypass'; accepted: 1 - bypass");
    CHECK(has(of_page("sensible_at:", "sensible_correction: bypass, sensible_at:"),
              "sensible_correction: not the accepted word: 'bypass'; accepted: 1 - bypass"));
    CHECK(of_page("sensible_at:", "sensible_correction: 1 - bypass, sensible_at:") == "no complaint");
}

TEST_CASE("entering dry bulbs") {
    CHECK(of_table({"odb airflow ewb edb total sensible", "degF scfm degF degF MBh MBh", "95 1000 67 75 34.0 20.0"},
                   "airflow: standard, sensible_at: 80 degF") ==
          "page.yaml:10:20: another entering dry bulb than sensible_at: '75'; accepted: the same, or one of them");
    CHECK(
        of_stage("      edb: 75 degF\n      table: |\n        odb airflow ewb total\n        degF scfm degF MBh\n"
                 "        95 1000 67 34.0\n") ==
        "page.yaml:7:12: cooling: stages: full: edb: another entering dry bulb than sensible_at: '75 degF'; accepted: "
        "the same, or one of them");
    CHECK(
        of_table({"odb airflow ewb edb total sensible@75 sensible@80", "degF scfm degF degF MBh MBh MBh",
                  "95 1000 67 75 34.0 20.0 24.9"}) ==
        "page.yaml:8:35: cooling: stages: full: an entering dry bulb in the name of a column: 'sensible@75'; accepted: "
        "a column edb (or edb: 80 degF), or sensible@75, not both");
    CHECK(of_table({"odb airflow ewb total sensible sensible@80", "degF scfm degF MBh MBh MBh",
                    "95 1000 67 34.0 20.0 24.9"}) ==
          "page.yaml:8:40: cooling: stages: full: a column with @ beside one without: 'sensible@80'; accepted: one "
          "column, or one for each value: sensible@75  sensible@80");
    CHECK(has(of_table({"odb airflow ewb total sensible@80 sensible@80.0", "degF scfm degF MBh MBh MBh",
                        "95 1000 67 34.0 20.0 24.9"}),
              "page.yaml:8:43: cooling: stages: full: a column given twice: 'sensible@80.0'"));
    CHECK(has(of_table({"odb airflow ewb total sensible@warm", "degF scfm degF MBh MBh", "95 1000 67 34.0 20.0"}),
              "behind the @: not a number: 'sensible@warm'; accepted: sensible@75, in the unit of the other "
              "temperatures"));
    CHECK(has(of_table({"odb airflow ewb total@80", "degF scfm degF MBh", "95 1000 67 34.0"}),
              "page.yaml:8:25: cooling: stages: full: a column for one value of an axis: 'total@80'; accepted: total"));
    CHECK(
        has(of_table({"odb airflow ewb total sensible@75 sensible@80", "degF scfm degF MBh MBh kW",
                      "95 1000 67 34.0 20.0 24.9"}),
            "page.yaml:9:32: cooling: stages: full: 'sensible@80' in another unit than 'sensible@75': 'kW'; accepted: "
            "MBh"));
    CHECK(has(of_table({"odb airflow ewb total sensible@75 sensible@80 split@85",
                        "degF scfm degF MBh MBh MBh delta_degF", "95 1000 67 34.0 20.0 24.9 22"}),
              "page.yaml:8:55: cooling: stages: full: no column 'sensible' for this value: 'split@85'"));
}

TEST_CASE("blanks among entering dry bulbs") {
    const std::string partly = "a row that is blank in some columns only: ";
    // Alone only where there is an axis of entering dry bulbs, and not at all of them.
    CHECK(has(of_table({"odb airflow ewb total sensible", "degF scfm degF MBh MBh", "95 1000 67 34.0 -"}),
              "page.yaml:10:9: " + partly + "'95 1000 67 34.0 -'"));
    CHECK(has(of_table({"odb airflow ewb total sensible@75 sensible@80", "degF scfm degF MBh MBh MBh",
                        "95 1000 63 31.8 24.0 29.1", "95 1000 67 34.0 - -"}),
              "page.yaml:11:9: " + partly));
    CHECK(has(of_table({"odb airflow ewb total sensible@75 sensible@80", "degF scfm degF MBh MBh MBh",
                        "95 1000 63 31.8 24.0 29.1", "95 1000 67 - - 24.9"}),
              "page.yaml:11:9: " + partly));
    CHECK(has(
        of_table({"odb airflow ewb total amps", "degF scfm degF MBh A", "95 1000 63 31.8 11.0", "95 1000 67 - 11.4"}),
        "page.yaml:11:9: " + partly));
    CHECK(has(of_table({"odb airflow ewb edb total sensible", "degF scfm degF degF MBh MBh", "95 1000 72 70 36.9 14.0",
                        "95 1000 72 80 36.9 19.8"}),
              "page.yaml:10:9: a number where the entering wet bulb is above the entering dry bulb"));
}

TEST_CASE("pairs") {
    const std::string head = "odb airflow edb ewb total sensible", units = "degF scfm degF degF MBh MBh";
    const std::string incomplete = of_table({head, units, "95 1000 75 63 32.0 24.0", "95 1000 80 67 34.0 24.9"});
    CHECK(
        incomplete ==
        "page.yaml:10:9: no row for odb 95 degF, airflow 1000 scfm, ewb 63 degF, edb 80 degF, which would follow this "
        "one: '95 1000 75 63 32.0 24.0'; accepted: a row for each combination of the axes, with - where the page is "
        "blank; indoor: path, where edb and ewb are printed as pairs (75/63, 80/67)");

    const auto indoor = [&](const std::string& word, std::initializer_list<std::string_view> rows) {
        std::string lines = "      indoor: " + word + "\n      table: |\n";
        for (const std::string_view row : rows) lines += "        " + std::string(row) + "\n";
        return of_stage(lines, "airflow: standard");
    };
    CHECK(indoor("path", {head, units, "95 1000 75 63 32.0 24.0", "95 1000 80 67 34.0 24.9"}) == "no complaint");
    CHECK(has(indoor("line", {head, units, "95 1000 75 63 32.0 24.0"}),
              "page.yaml:7:15: cooling: stages: full: indoor: not one of the accepted words: 'line'; accepted: path, "
              "points"));
    CHECK(has(
        indoor("path", {head, units, "85 1000 75 63 33.0 24.0", "85 1000 80 67 35.0 24.9", "95 1000 75 63 32.0 24.0"}),
        "page.yaml:13:9: no row for odb 95 degF, airflow 1000 scfm, edb 80 degF, ewb 67 degF, which would follow "
        "this one"));
    CHECK(has(indoor("path", {head, units, "95 1000 75 63 32.0 24.0", "95 1000 75 63 32.1 24.1"}),
              "page.yaml:12:9: a second row for odb 95 degF, airflow 1000 scfm, edb 75 degF, ewb 63 degF"));
    // Three places for the same pair: a mistyped one is shown where it stands.
    CHECK(has(indoor("path", {head, units, "75 1000 80 67 36.0 25.9", "85 1000 80 67 35.0 24.9",
                              "95 1000 80 67 34.0 24.9", "105 1000 80 76 33.0 24.0"}),
              "page.yaml:14:18: this pair stands in one row only: '80'"));
    CHECK(has(indoor("points", {head, units, "95 1000 63 75 32.0 24.0"}),
              "page.yaml:11:20: a wet bulb above the dry bulb of its pair: '75'; accepted: edb and ewb as in 80 67"));
    std::string many =
        "      indoor: path\n      table: |\n        odb airflow edb ewb total\n        degF scfm degF degF MBh\n";
    for (int i = 0; i < 1001; ++i) many += "        95 1000 80 " + std::to_string(50000 + i) + "e-3 34.0\n";
    CHECK(has(of_stage(many), "page.yaml:9:9: more than 1,000 values along one axis: 'edb'"));
    CHECK(has(indoor("path", {"odb airflow ewb total", "degF scfm degF MBh", "95 1000 67 34.0"}),
              "page.yaml:7:15: cooling: stages: full: indoor: the page has no pairs: 'path'; accepted: columns edb and "
              "ewb"));
}

TEST_CASE("ratios") {
    const std::string rated = "airflow: standard, sensible_at: 80 degF, rated: {total: 36.0 MBh}";
    const std::string head = "odb airflow ewb total sensible power";
    CHECK(has(of_table({head, "degF scfm degF 1 MBh kW", "95 1000 67 0.97 24.9 2.52"},
                       "airflow: standard, sensible_at: 80 degF"),
              "page.yaml:8:25: cooling: stages: full: a ratio, but the rated value it is relative to is not given: "
              "'total'; accepted: a unit of power under the column, or basis: rated: {total: 36.0 MBh}"));
    CHECK(has(of_table({head, "degF scfm degF 1 1 kW", "95 1000 67 0.97 0.73 2.52"}, rated),
              "page.yaml:8:31: cooling: stages: full: a ratio of sensible capacity to what?: 'sensible'; accepted: "
              "basis: sensible_ratio_of: total, rated total or rated sensible"));
    CHECK(
        has(of_table({head, "degF scfm degF 1 1 kW", "95 1000 67 0.97 0.91 2.52"},
                     rated + ", sensible_ratio_of: rated sensible"),
            "a ratio, but the rated value it is relative to is not given: 'sensible'; accepted: a unit of power under "
            "the column, or basis: rated: {sensible: 27.4 MBh}"));
    CHECK(has(of_table({head, "degF scfm degF 1 MBh %", "95 1000 67 0.97 24.9 98"}, rated),
              "relative to is not given: 'power'"));
    CHECK(
        of_table({head, "degF scfm degF 1 MBh kW", "95 1000 67 34.0 24.9 2.52"}, rated) ==
        "page.yaml:10:20: not a ratio to the rated value: was it a capacity?: '34.0'; accepted: 0.2 to 2, or a unit of "
        "power under the column");
    CHECK(has(of_table({head, "degF scfm degF % MBh kW", "95 1000 67 0.97 24.9 2.52"}, rated),
              "page.yaml:10:20: not a ratio to the rated value: was it a fraction?: '0.97'"));
    CHECK(has(
        of_table({head, "degF scfm degF MBh MBh 1", "95 1000 67 34.0 24.9 2.52"},
                 "airflow: standard, sensible_at: 80 degF, rated: {power: 2.6 kW}"),
        "page.yaml:10:30: not a ratio to the rated value: was it a power?: '2.52'; accepted: 0.05 to 2, or a unit"));
    const std::string of_total = "airflow: standard, sensible_at: 80 degF, sensible_ratio_of: total";
    CHECK(has(of_table({head, "degF scfm degF MBh 1 kW", "95 1000 67 34.0 24.9 2.52"}, of_total),
              "page.yaml:10:9: sensible capacity above total capacity: '95 1000 67 34.0 24.9 2.52'"));
    CHECK(has(of_table({head, "degF scfm degF MBh 1 kW", "95 1000 59 30.8 0.99d 2.52"}, of_total),
              "page.yaml:10:25: marked dry, but it is not the total: '0.99d'; accepted: 1.00d"));
    CHECK(
        has(of_page("sensible_at:", "sensible_ratio_of: rated, sensible_at:"),
            "sensible_ratio_of: not one of the accepted words: 'rated'; accepted: total, rated total, rated sensible"));
    CHECK(has(of_page("sensible_at:", "rated: {total: 0 MBh}, sensible_at:"),
              "cooling: basis: rated: total: not above zero: '0 MBh'"));
    CHECK(has(of_page("sensible_at:", "certified: {total: 33 MBh}, sensible_at:"),
              "cooling: basis: certified: airflow is missing; accepted: the standard airflow of the rating"));
}

TEST_CASE("humidity axes") {
    const auto rh = [](const std::string& unit, const std::string& value, const std::string& basis) {
        return of_table({"odb airflow rh total", "degF scfm " + unit + " MBh", "95 1000 " + value + " 34.0"}, basis);
    };
    const std::string at_80 = "airflow: standard, sensible_at: 80 degF";
    CHECK(rh("%", "50", at_80) == "no complaint");
    CHECK(rh("1", "55", at_80) ==
          "page.yaml:10:17: not a relative humidity: '55'; accepted: a fraction from 0 to 1, or the unit %");
    CHECK(rh("%", "0.55", at_80) ==
          "page.yaml:10:17: a relative humidity of about 1 %: was it a fraction?: '0.55'; accepted: per cent, such as "
          "55, or the unit 1");
    CHECK(has(rh("%", "-5", at_80), "page.yaml:10:17: not a relative humidity: '-5'; accepted: 0 to 100 %"));
    CHECK(has(rh("%", "50", "airflow: standard"),
              "page.yaml:10:17: a relative humidity without the entering dry bulb it is printed for: '50'"));
    CHECK(
        has(of_table({"odb airflow rh ewb total", "degF scfm % degF MBh", "95 1000 50 67 34.0"}, at_80),
            "page.yaml:8:21: cooling: stages: full: a relative humidity beside a wet bulb: 'rh'; accepted: one of ewb "
            "and rh"));
    CHECK(has(of_stage("      rh: 50 %\n      ewb: 67 degF\n      table: |\n        odb airflow total\n"
                       "        degF scfm MBh\n        95 1000 34.0\n"),
              "page.yaml:7:11: cooling: stages: full: rh: a relative humidity beside a wet bulb: '50 %'"));
    CHECK(has(of_table({"odb airflow total", "degF scfm MBh", "95 1000 34.0"}, at_80),
              "page.yaml:8:9: cooling: stages: full: no column 'ewb'"));
}

TEST_CASE("station pressures and mass flows") {
    const std::string at_80 = "airflow: standard, sensible_at: 80 degF";
    CHECK(
        of_table({"odb airflow ewb pressure total", "degF scfm degF Pa MBh", "95 1000 67 101.3 34.0"}) ==
        "page.yaml:10:20: not the pressure of a place: a wrong unit?: '101.3'; accepted: 50 to 110 kPa, as an absolute "
        "pressure");
    CHECK(has(of_table({"odb airflow ewb pressure total", "degF scfm degF kPa MBh", "95 1000 67 84.3 34.0"},
                       "airflow: standard, elevation: 0 ft"),
              "page.yaml:10:20: not the pressure at the page's elevation: '84.3'"));
    CHECK(has(of_table({"odb airflow rh pressure total", "degF scfm % kPa MBh", "95 1000 50 84.3 33.0",
                        "95 1000 50 101.3 34.0"},
                       at_80),
              "page.yaml:10:17: relative humidities at one entering dry bulb, for several pressures: '50'"));
    CHECK(has(of_table({"odb airflow ewb total", "degF kg/sec degF MBh", "95 0.57 67 34.0"}),
              "page.yaml:9:14: cooling: stages: full: column 'airflow': not a unit of an airflow or a mass flow: "
              "'kg/sec'; accepted: m3/s, m3/h, L/s, cfm, scfm, kg/s, lb/h; nearest: kg/s"));
    CHECK(has(of_table({"odb airflow ewb total liquid_pressure", "degF scfm degF MBh psi", "95 1000 67 34.0 330"}),
              "column 'liquid_pressure': not a unit of a gauge pressure"));
}

TEST_CASE("speeds") {
    const auto speeds = [](const std::string& modulation, const std::string& low, const std::string& high) {
        const std::string rows =
            "      table: |\n        odb airflow ewb total\n        degF scfm degF MBh\n"
            "        95 1000 67 34.0\n";
        return of_system(axes_head + modulation +
                         "  basis: {capacity: gross, airflow: standard}\n  stages:\n    low:\n" + low + rows +
                         "    high:\n" + high + rows);
    };
    const std::string variable = "  modulation: variable\n", continuous = "  modulation: continuous\n";
    CHECK(speeds(variable, "      speed: 25 Hz\n", "") == "no complaint");
    CHECK(
        has(speeds(continuous, "      speed: 25 Hz\n", ""),
            "cooling: stages: high: speed is missing; accepted: the speed of every stage of a continuous compressor"));
    CHECK(has(speeds("", "      speed: 25 Hz\n", ""),
              "cooling: modulation is missing; accepted: staged, variable (speeds that are not to be interpolated), or "
              "continuous if the maker says that they may be"));
    CHECK(
        has(speeds(continuous, "      speed: 25 Hz\n", "      speed: 5400 rpm\n"),
            "page.yaml:14:14: cooling: stages: high: speed: another unit than the other speeds: '5400 rpm'; accepted: "
            "Hz"));
    CHECK(has(speeds(continuous, "      speed: 25 Hz\n", "      speed: 25.0 Hz\n"),
              "cooling: stages: high: speed: the speed of stage 'low': '25.0 Hz'"));
    CHECK(has(speeds(variable, "      speed: 25\n", ""),
              "page.yaml:8:14: cooling: stages: low: speed: a number without a unit: '25'; accepted: Hz, rpm"));
    CHECK(has(speeds(variable, "      speed: 0 Hz\n", ""), "cooling: stages: low: speed: not above zero: '0 Hz'"));
    CHECK(has(speeds("  modulation: inverter\n", "", ""),
              "page.yaml:4:15: cooling: modulation: not one of the accepted words: 'inverter'; accepted: staged, "
              "variable, continuous"));
}

TEST_CASE("multiplier rows") {
    const auto factors = [](const std::string& beside, std::initializer_list<std::string_view> rows,
                            const std::string& table =
                                "odb ewb total power\n        degF degF MBh kW\n        95 67 34.9 "
                                "2.53\n") {
        std::string lines = "      airflow_factors: |\n";
        for (const std::string_view row : rows) lines += "        " + std::string(row) + "\n";
        return of_stage(beside + lines + "      table: |\n        " + table, "airflow: standard");
    };
    const std::string_view head = "airflow total power", units = "scfm 1 1";
    CHECK(factors("", {head, units, "1050 0.98 0.99", "1200 1 1"}) == "no complaint");
    CHECK(
        factors("", {head, units, "1050 0.98 0.99", "1200 1.01 1"}) ==
        "page.yaml:8:9: no row for the value the page is printed at; accepted: a row with the factors 1 for the value "
        "the page is printed at");
    CHECK(factors("      airflow: 1200 scfm\n", {head, units, "1050 0.98 0.99", "1200 1.01 1"}) ==
          "page.yaml:12:9: factors for the value the page is printed at that are not 1: '1200 1.01 1'; accepted: a row "
          "with the factors 1 for the value the page is printed at");
    CHECK(has(factors("      airflow: 1100 scfm\n", {head, units, "1050 0.98 0.99", "1200 1 1"}),
              "no row for the value the page is printed at"));
    CHECK(has(factors("", {head, units, "1050 1 1", "1200 1 1"}),
              "page.yaml:11:9: a second row with the factors 1: which is the page printed at?"));
    CHECK(has(factors("", {head, units, "1050 9.8 0.99", "1200 1 1"}),
              "page.yaml:10:14: not a factor: '9.8'; accepted: a factor from 0.2 to 2"));
    CHECK(has(factors("", {head, units, "1050 - -", "1200 1 1"}), "page.yaml:10:14: not a factor: '-'"));
    CHECK(has(factors("", {head, units, "1200 0.98 0.99", "1200 1 1"}),
              "page.yaml:11:9: a second row for airflow 1200 scfm"));
    CHECK(has(factors("", {"airflow total", "scfm 1", "1200 1"}),
              "page.yaml:8:9: cooling: stages: full: airflow_factors: no column 'power': 'airflow total'; accepted: "
              "airflow, total, power"));
    CHECK(has(factors("", {"airflow total power sensible", "scfm 1 1 1", "1200 1 1 1"}),
              "unknown column: 'sensible'; accepted: airflow, total, power"));
    CHECK(has(factors("", {head, units, "1200 1 1"},
                      "odb airflow ewb total power\n        degF scfm degF MBh kW\n        95 1000 67 33.9 2.52\n"
                      "        95 1200 67 34.9 2.53\n"),
              "page.yaml:7:24: cooling: stages: full: airflow_factors: the page prints several airflows itself"));
    std::string many = "      airflow_factors: |\n        airflow total\n        scfm 1\n";
    for (int i = 0; i < 101; ++i) many += "        " + std::to_string(1000 + i) + " 1.0\n";
    CHECK(has(of_stage(many + "      table: |\n        odb ewb total\n        degF degF MBh\n        95 67 34.9\n"),
              "page.yaml:110:9: more than 100 rows of factors"));
}

TEST_CASE("no more columns than a page can have") {
    std::string head = "odb airflow ewb total", units = "degF scfm degF MBh", row = "95 1000 67 34.0";
    for (int i = 0; i < 61; ++i) {
        head += " sensible@" + std::to_string(i);
        units += " MBh";
        row += " 20.0";
    }
    CHECK(has(of_table({head, units, row}), "more than 64 columns in a table: 'sensible@60'"));
}
