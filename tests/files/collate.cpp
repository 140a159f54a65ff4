// Two systems held against each other: every key and every number that differs is found, and nothing else is.
#include "offnominal/collate.hpp"

#include <tuple>

#include "../support/near.hpp"
#include "offnominal/standard205.hpp"
#include "texts.hpp"

using namespace offnominal;

namespace {

/// A system that says everything a file can say.
const std::string full = R"(offnominal: system/1
name: all of it
nominal: 3 ton
refrigerant: R-410A
source: {document: invented, revision: A, page: 4, transcriber: N. N., checker: M. M.}
cooling:
  basis: {capacity: net, fan: [20 W, 365 W per 1000 scfm], airflow: standard, standard_pound: dry, power: outdoor unit, sensible_at: 80 degF, sensible_slope: 1.10 Btu/h/cfm/degF, sensible_ratio_of: total, rated: {total: 36 MBh}, certified: {total: 33.0 MBh, airflow: 1050 scfm, fan: 400 W}, elevation: 0 ft, tolerance: 5 %}
  modulation: variable
  stages:
    full:
      speed: 60 Hz
      table: |
        odb   airflow  ewb   total  sensible  power  bypass  amps
        degF  scfm     degF  MBh    1         kW     1       A
        85    1000     63    33.3   0.90      2.19   0.10    8
        85    1000     67    35.8   0.72      2.23   0.11    8
        95    1000     63    31.5   1.00d     2.48   0.10    9
        95    1000     67    -      -         -      -       -
matches:
  A: {reference: true, fan: draw-through}
  B: {total: 0.965, power: 0.99, bypass: 0.14, airflow: [900 scfm, 1150 scfm], fan: blow-through}
heating:
  basis: {capacity: gross, airflow: standard, power: system, printed_at: 70 degF, outdoor_humidity: 75 %, elevation: 10 ft, tolerance: 4 %}
  instantaneous:
    stages:
      high:
        airflow: 1000 scfm
        table: |
          odb   capacity  power
          degF  MBh       kW
          17    20.6      2.20
          47    34.2      2.61
  defrost: |
    odb   rh  capacity  power  time
    degF  %   1         1      1
    35    80  0.91      0.985  0.05
    47    80  1.00      1.000  0.00
line_set:
  reference: {length: 25 ft, suction: 7/8 in}
  lift: [-50 ft, 60 ft]
  cooling: |
    length  suction  total  power
    ft      in       1      1
    25      7/8      1.000  1.000
    50      7/8      0.990  0.998
  heating: |
    length  suction  capacity  power
    ft      in       1         1
    25      7/8      1.000     1.000
    50      7/8      0.995     0.999
altitude:
  equal: mass
  cooling: |
    elevation  total  power
    ft         1      1
    0          1.00   1.00
    5000       0.97   1.04
blower:
  motor: fixed speed
  includes: wet coil
  air: standard
  greatest_static: 0.8 in_wc
  table: |
    tap  static  airflow  power
    1    in_wc   cfm      W
    low  0.2     1000     300
    low  0.5     900      320
)";

System system_of(const std::string& text) { return parse_system(text, "full.yaml"); }

std::string path(const Difference& d) {
    std::string out;
    for (const std::string& part : {d.page, d.where, d.column})
        if (!part.empty()) out += (out.empty() ? "" : ": ") + part;
    return out;
}

}  // namespace

TEST_CASE("one change is one difference, by its key, with what each of the two says") {
    const System first = system_of(full);
    CHECK(differences(first, first).empty());
    CHECK(first == system_of(full));
    struct Change {
        const char *from, *to, *path, *first, *second;
    };
    const std::string at = "full: odb 85 degF, airflow 1000 scfm, ewb 63 degF";
    for (const Change& c : std::initializer_list<Change>{
             {"nominal: 3 ton", "nominal: 4 ton", "nominal", "3 ton", "4 ton"},
             {"R-410A", "R-32", "refrigerant", "R-410A", "R-32"},
             {"page: 4", "page: 5", "source: page", "4", "5"},
             {"[20 W", "[30 W", "full: basis: fan: power", "20 W", "30 W"},
             {"365 W per", "375 W per", "full: basis: fan: power per airflow", "365 W per 1000 scfm",
              "375 W per 1000 scfm"},
             {"standard_pound: dry", "standard_pound: moist", "full: basis: standard_pound", "dry", "moist"},
             {"power: outdoor unit", "power: compressor", "full: basis: power", "outdoor unit", "compressor"},
             {"sensible_at: 80 degF", "sensible_at: 81 degF", "full: basis: sensible_at", "80 degF", "81 degF"},
             {"1.10 Btu/h", "1.08 Btu/h", "full: basis: sensible_slope", "1.10 Btu/h/cfm/degF", "1.08 Btu/h/cfm/degF"},
             {"{total: 36 MBh}", "{total: 37 MBh}", "full: basis: rated: total", "36 MBh", "37 MBh"},
             {"total: 33.0 MBh", "total: 33.5 MBh", "full: basis: certified: total", "33.0 MBh", "33.5 MBh"},
             {"airflow: 1050 scfm", "airflow: 1060 scfm", "full: basis: certified: airflow", "1050 scfm", "1060 scfm"},
             {"fan: 400 W", "fan: 410 W", "full: basis: certified: fan", "400 W", "410 W"},
             {", elevation: 0 ft", "", "full: basis: elevation", "0 ft", ""},
             {"tolerance: 5 %", "tolerance: 6 %", "full: basis: tolerance", "5 %", "6 %"},
             {"modulation: variable", "modulation: staged", "cooling: modulation", "variable", "staged"},
             {"60 Hz", "50 Hz", "full: speed", "60", "50"},
             {"0.10    8", "0.12    8", "bypass", "0.10", "0.12"},
             {"0.10    8", "0.10    7", "amps", "8 A", "7 A"},
             {"35.8   0.72", "35.8   0.71", "full: odb 85 degF, airflow 1000 scfm, ewb 67 degF: sensible", "0.72",
              "0.71"},
             {"A: {reference: true, ", "A: {reference: true, bypass: 0.1, ", "matches: A: bypass", "", "0.1"},
             {"total: 0.965", "total: 0.956", "matches: B: total", "0.965", "0.956"},
             {"power: 0.99,", "power: 0.98,", "matches: B: power", "0.99", "0.98"},
             {"bypass: 0.14", "bypass: 0.15", "matches: B: bypass", "0.14", "0.15"},
             {"[900 scfm", "[800 scfm", "matches: B: least airflow", "900 scfm", "800 scfm"},
             {"1150 scfm]", "1160 scfm]", "matches: B: greatest airflow", "1150 scfm", "1160 scfm"},
             {"fan: blow-through", "fan: unknown", "matches: B: fan", "blow-through", "unknown"},
             {"outdoor_humidity: 75 %", "outdoor_humidity: 70 %", "outdoor_humidity", "75 %", "70 %"},
             {"elevation: 10 ft", "elevation: 20 ft", "high: basis: elevation", "10 ft", "20 ft"},
             {"34.2      2.61", "34.2      2.62", "heating, instantaneous: high: odb 47 degF", "2.61 kW", "2.62 kW"},
             {"0.91      0.985", "0.92      0.985", "heating: defrost: odb 35 degF, rh 80 %: capacity", "0.91", "0.92"},
             {"0.985  0.05", "0.985  0.06", "heating: defrost: odb 35 degF, rh 80 %: time", "0.05", "0.06"},
             {"reference: {length: 25 ft", "reference: {length: 26 ft", "line_set: reference: length", "25 ft",
              "26 ft"},
             {"suction: 7/8 in", "suction: 3/4 in", "line_set: reference: suction", "7/8 in", "3/4 in"},
             {"[-50 ft", "[-40 ft", "line_set: least lift", "-50 ft", "-40 ft"},
             {"60 ft]", "70 ft]", "line_set: greatest lift", "60 ft", "70 ft"},
             {"0.990  0.998", "0.980  0.998", "line_set: length 50 ft, suction 7/8 in: total", "0.99", "0.98"},
             {"0.990  0.998", "0.990  0.997", "line_set: length 50 ft, suction 7/8 in: power", "0.998", "0.997"},
             {"0.995     0.999", "0.994     0.999", "line_set: heating: length 50 ft, suction 7/8 in: capacity",
              "0.995", "0.994"},
             {"0.995     0.999", "0.995     0.998", "line_set: heating: length 50 ft, suction 7/8 in: power", "0.999",
              "0.998"},
             {"0.97   1.04", "0.96   1.04", "altitude: elevation 1524 m: total", "0.97", "0.96"},
             {"fixed speed", "constant torque", "blower: motor", "fixed speed", "constant torque"},
             {"wet coil", "dry coil", "blower: includes", "wet coil", "dry coil"},
             {"air: standard", "air: unknown", "blower: air", "standard", "unknown"},
             {"greatest_static: 0.8", "greatest_static: 0.7", "blower: greatest_static", "0.8 in_wc", "0.7 in_wc"},
             {"900      320", "910      320", "blower: tap low, static 0.5 in_wc: airflow", "900 cfm", "910 cfm"},
             {"900      320", "900      330", "blower: tap low, static 0.5 in_wc: power", "320 W", "330 W"},
         }) {
        CAPTURE(std::string(c.to));
        const System second = system_of(texts::with(full, c.from, c.to));
        for (const Sameness sameness : {Sameness::print, Sameness::bits}) {
            const auto found = differences(first, second, sameness);
            REQUIRE(found.size() == 1);
            CHECK(path(found[0]).find(c.path) != std::string::npos);
            CHECK(found[0].first == c.first);
            CHECK(found[0].second == c.second);
        }
        CHECK_FALSE(first == second);
    }
    const auto found = differences(first, system_of(texts::with(full, "0.10    8", "0.10    7")));
    CHECK(path(found[0]) == at + ": amps");
    CHECK(near(*found[0].percent, -12.5, relative(1e-12)));
    CHECK(found[0].first_place.file == "full.yaml");
    CHECK(found[0].first_place.line == 15);
    CHECK(found[0].second_place.column == 9);
}

TEST_CASE("print may be told in another order, with other digits and by other people, bits may not") {
    const System first = system_of(full);
    for (const auto& [from, to, path_of] :
         {std::tuple{"name: all of it", "name: something", "name"},
          std::tuple{"transcriber: N. N.", "transcriber: O. O.", "source: transcriber"},
          std::tuple{"checker: M. M.", "checker: O. O.", "source: checker"}}) {
        const System second = system_of(texts::with(full, from, to));
        CHECK(differences(first, second).empty());
        const auto found = differences(first, second, Sameness::bits);
        REQUIRE(found.size() == 1);
        CHECK(found[0].where == path_of);
    }
    // 33.3 and 33.30 say different things of how well the number is known.
    const System page = system_of(texts::page), more = system_of(texts::with(texts::page, "33.3 ", "33.30"));
    REQUIRE(differences(page, more).size() == 1);
    CHECK(differences(page, more)[0].kind == Difference::Kind::digits);
    REQUIRE(differences(page, more, Sameness::bits).size() == 1);
    CHECK(path(differences(page, more, Sameness::bits)[0]) == "full: last printed place: total");
    // The same to a few bits in another unit is the same to a reader, not to a machine.
    const System metric = system_of(texts::with(full, "5000       0.97", "5000.000001 0.97"));
    CHECK(differences(first, metric).empty());
    CHECK_FALSE(first == metric);
}

TEST_CASE("pages, columns and nodes that only one has") {
    const System first = system_of(texts::page);
    const auto kinds = [&](const std::string& second) {
        std::vector<std::string> out;
        for (const Difference& d : differences(first, system_of(second))) out.push_back(std::string(name(d.kind)));
        return out;
    };
    using Kinds = std::vector<std::string>;
    CHECK(kinds(texts::with(texts::page, "    full:", "    high:")) == Kinds{"page", "page"});
    std::string no_power = texts::page;
    for (const char* text :
         {"  power", "   kW  ", "   2.19", "   2.23", "   2.19", "   2.23", "   2.48", "   2.52", "   2.48", "   2.52"})
        no_power = texts::with(no_power, text, "");
    CHECK(kinds(no_power) == Kinds{"column"});
    const std::string upper = texts::page.substr(0, texts::page.find("        95    1000     63"));
    const Collation found =
        collate(first, system_of(upper + "        96    1000     63    31.5   29.1      2.48   0.10\n"
                                         "        96    1000     67    33.9   24.9      2.52   0.10\n"
                                         "        96    1200     63    32.5   32.2      2.48   0.12\n"
                                         "        96    1200     67    34.9   27.3      2.52   0.12\n"));
    CHECK(found.nodes == 4);
    CHECK(found.nodes_same == 4);
    CHECK(found.only_first == 4);
    CHECK(found.only_second == 4);
}

TEST_CASE("what is written is equal to what it was written from") {
    for (const std::string& text : {full, texts::page}) {
        const System system = system_of(text);
        CHECK(parse_system(write_system(system), "written.yaml") == system);
    }
    for (const std::string file :
         {OFFNOMINAL_TABLES_DIR "/demo/alder.yaml", OFFNOMINAL_TABLES_DIR "/demo/birch.yaml"}) {
        const System system = load_system(file);
        CHECK(parse_system(write_system(system), "written.yaml") == system);
    }
}
