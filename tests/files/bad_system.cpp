// Bad system files: each complaint by its text, with line and column.
#include "texts.hpp"

using namespace offnominal;
using texts::of_page;
using texts::of_system;

TEST_CASE("the page the changes are made to is good") { CHECK(of_system(texts::page) == "no complaint"); }

TEST_CASE("a duplicate node") {
    CHECK(of_page("85    1000     67", "85.0  1000     63") ==
          "page.yaml:11:9: a second row for odb 85 degF, airflow 1000 scfm, ewb 63 degF: '85.0  1000     63    35.8   "
          "25.7      "
          "2.23   0.10'; accepted: one row for each combination; the first is in line 10");
}

TEST_CASE("a hole") {
    const std::string accepted = "; accepted: a row for each combination of the axes, with - where the page is blank";
    CHECK(of_page("        85    1200     63    34.3   33.0      2.19   0.12\n", "") ==
          "page.yaml:11:9: no row for odb 85 degF, airflow 1200 scfm, ewb 63 degF, which would follow this one: '85    "
          "1000     "
          "67    35.8   25.7      2.23   0.10'" +
              accepted);
    CHECK(of_page("        85    1000     63    33.3   29.9      2.19   0.10\n", "") ==
          "page.yaml:8:9: no row for odb 85 degF, airflow 1000 scfm, ewb 63 degF" + accepted);
}

TEST_CASE("a mistyped axis value is shown where it stands, not as the holes it makes") {
    CHECK(of_page("95    1000     67", "59    1000     67") ==
          "page.yaml:15:9: odb has this value in one row only: '59'; accepted: the values of the page; a row for each "
          "combination of the axes");
    CHECK(of_page("1200     67    34.9", "1020     67    34.9")
              .starts_with("page.yaml:17:15: airflow has this value in one row only: '1020'"));
}

TEST_CASE("numbers") {
    const std::string number = "; accepted: a number such as 33.5; - for a printed blank; x past the operating limit";
    CHECK(of_page("33.3", "33,3") ==
          "page.yaml:10:30: column 'total': a comma in a number: '33,3'; accepted: a point before the decimals, and "
          "nothing "
          "between thousands");
    CHECK(of_page("1000     63    33.3", "1,000    63    33.3")
              .starts_with("page.yaml:10:15: column 'airflow': a comma in a number: '1,000'"));
    for (const char* text :
         {"nan", "inf", "-inf", "0x1F", "33.3.1", "33..3", "1e", "e5", "--3", "3-", "O.5", "NaN", ".", "+"}) {
        CAPTURE(text);
        CHECK(of_page("33.3", text) ==
              "page.yaml:10:30: column 'total': not a number: '" + std::string(text) + "'" + number);
    }
    CHECK(of_page("33.3", "1e306") ==
          "page.yaml:10:30: column 'total': a number too large or too small to hold: '1e306'; accepted: a number such "
          "as 33.5");
    CHECK(of_page("33.3", "1e999")
              .starts_with("page.yaml:10:30: column 'total': a number too large or too small to hold: '1e999'"));
    for (const char* text : {"0e-2147483647", "0e-2147483648", "0e401", "33.3e-401"}) {  // as decimals: without end
        CAPTURE(text);
        CHECK(of_page("33.3", text).find("a number too large or too small to hold: '") != std::string::npos);
    }
    // A page keeps it as typed for every node: 1,000 digits of one airflow were half a gigabyte.
    const std::string digits = "33." + std::string(37, '0');
    CHECK(of_page("33.3", digits) == "no complaint");
    CHECK(of_page("33.3", digits + "0").find("column 'total': a number of more than 40 characters: '33.000") !=
          std::string::npos);
    CHECK(of_page("29.9", "29.9e") ==
          "page.yaml:10:37: column 'sensible': not a number: '29.9e'" + number + "; 30.8d for a dry coil");
    CHECK(of_page("85    1000     63", "7/8   1000     63") ==
          "page.yaml:10:9: column 'odb': not a number: '7/8'; accepted: a number such as 33.5");
    CHECK(of_page("85    1000     63", "-     1000     63") ==
          "page.yaml:10:9: column 'odb': not a number: '-'; accepted: a number such as 33.5");
}

TEST_CASE("units") {
    CHECK(of_page("degF  scfm     degF  MBh    MBh ", "degF  scfm     degF  MBX    MBh ") ==
          "page.yaml:9:30: cooling: stages: full: column 'total': not a unit of a power: 'MBX'; accepted: W, kW, "
          "Btu/h, MBh, "
          "ton; nearest: MBh");
    CHECK(of_page("degF  scfm ", "G     scfm ") ==
          "page.yaml:9:9: cooling: stages: full: column 'odb': not a unit of a temperature: 'G'; accepted: degC, degF, "
          "K");
    CHECK(of_page("scfm     degF  MBh", "scfm     kW    MBh") ==
          "page.yaml:9:24: cooling: stages: full: column 'ewb': a unit of a power where a temperature is due: 'kW'; "
          "accepted: "
          "degC, degF, K");
    CHECK(of_page("kW     1\n", "kW\n") ==
          "page.yaml:9:9: cooling: stages: full: 6 units under 7 columns: 'degF  scfm     degF  MBh    MBh       kW'; "
          "accepted: "
          "one unit under each column; 1 for a ratio");
    CHECK(of_page("80 degF", "80") ==
          "page.yaml:4:60: cooling: basis: sensible_at: a number without a unit: '80'; accepted: degC, degF, K");
    CHECK(of_page("80 degF", "80degF") ==
          "page.yaml:4:60: cooling: basis: sensible_at: no space between number and unit: '80degF'; accepted: 80 degF");
    CHECK(
        of_page("80 degF", "80 psi") ==
        "page.yaml:4:60: cooling: basis: sensible_at: not a unit of a temperature: '80 psi'; accepted: degC, degF, K");
    CHECK(of_page("80 degF", "warm") ==
          "page.yaml:4:60: cooling: basis: sensible_at: not a number: 'warm'; accepted: a number, a space and a unit: "
          "degC, degF, K");
}

TEST_CASE("rows that do not fit") {
    CHECK(of_page("33.3   29.9      2.19   0.10", "33.3   29.9      2.19") ==
          "page.yaml:10:9: 6 values under 7 columns: '85    1000     63    33.3   29.9      2.19'; accepted: one value "
          "for each "
          "column; - for a printed blank");
    CHECK(of_page("33.3   29.9      2.19", "33.3   -         2.19") ==
          "page.yaml:10:9: a row that is blank in some columns only: '85    1000     63    33.3   -         2.19   "
          "0.10'; "
          "accepted: all of its outputs, or - (or x) for all of them");
    CHECK(of_page("33.3   29.9      2.19   0.10", "-      -         x      -")
              .starts_with("page.yaml:10:9: a row that is blank in some columns only"));
    CHECK(of_page("29.9 ", "29.9d") ==
          "page.yaml:10:37: marked dry, but it is not the total: '29.9d'; accepted: total = sensible on a dry coil, as "
          "in 30.8 30.8d");
    CHECK(of_page("29.9 ", "39.9 ") ==
          "page.yaml:10:9: sensible capacity above total capacity: '85    1000     63    33.3   39.9      2.19   "
          "0.10'; accepted: "
          "sensible at most total");
    CHECK(of_page("0.10", "1.10").starts_with("page.yaml:10:9: bypass factor must lie between 0 and 1: '85 "));
}

TEST_CASE("columns") {
    CHECK(
        of_page("airflow  ewb", "airflwo  ewb") ==
        "page.yaml:8:15: cooling: stages: full: unknown column: 'airflwo'; accepted: odb, airflow, ewb, rh, edb, "
        "pressure, total, "
        "sensible, power, bypass, split, latent, suction_pressure, liquid_pressure, amps, eer, cop; nearest: airflow");
    CHECK(of_page("odb   airflow", "odb   odb    ") ==
          "page.yaml:8:15: cooling: stages: full: a column given twice: 'odb'; accepted: each column once");
    CHECK(of_page("table: |", "ewb: 67 degF\n      table: |") ==
          "page.yaml:7:12: cooling: stages: full: ewb: beside a column of that name: '67 degF'; accepted: the column, "
          "or one "
          "value for all of it");
    const std::string head = texts::page.substr(0, texts::page.find("        odb"));
    CHECK(of_system(head + "        odb ewb total\n        degF degF MBh\n        95 67 34.0\n") ==
          "page.yaml:8:9: cooling: stages: full: no column 'airflow': 'odb ewb total'; accepted: odb, airflow, ewb, "
          "rh, edb, pressure, total, "
          "sensible, power, bypass, split, latent, suction_pressure, liquid_pressure, amps, eer, cop");
    CHECK(of_system(head + "        # nothing yet\n")
              .starts_with(
                  "page.yaml:7:14: cooling: stages: full: the table has no rows; accepted: a line of odb, airflow,"));
}

TEST_CASE("keys and words") {
    CHECK(of_page("cooling:", "coolign:") ==
          "page.yaml:3:1: unknown key: 'coolign'; accepted: offnominal, name, nominal, refrigerant, source, cooling, "
          "heating, matches, "
          "line_set, altitude, blower; nearest: cooling");
    CHECK(of_page("capacity: gross", "capacty: gross")
              .starts_with("page.yaml:4:11: cooling: basis: unknown key: 'capacty'; accepted: capacity, fan, "));
    CHECK(of_page("gross", "Gross") ==
          "page.yaml:4:21: cooling: basis: capacity: not one of the accepted words: 'Gross'; accepted: unknown, "
          "gross, net; nearest: gross");
    CHECK(of_page("system/1", "page/1") ==
          "page.yaml:1:13: offnominal: not the accepted word: 'page/1'; accepted: system/1");
    CHECK(of_page("system/1", "system/2") ==
          "page.yaml:1:13: offnominal: a format that this version does not read: 'system/2'; accepted: system/1 (a "
          "newer format needs a newer offnominal)");
    CHECK(texts::of_changed_visit("visit/1", "visit/12") ==
          "visit.yaml:1:13: offnominal: a format that this version does not read: 'visit/12'; accepted: visit/1 (a "
          "newer format needs a newer offnominal)");
    CHECK(of_page("offnominal: system/1\n", "") ==
          "page.yaml:1:1: offnominal is missing; accepted: offnominal: system/1");
    CHECK(of_page("name: Unit A, invented", "name:") ==
          "page.yaml:2:1: name has no value; accepted: a name for the system");
    CHECK(of_page("name: Unit A, invented", "name: [a]") ==
          "page.yaml:2:7: name: not a text or a number; accepted: one value");
}

TEST_CASE("a basis that contradicts itself") {
    CHECK(of_page("capacity: gross", "capacity: net") ==
          "page.yaml:4:10: cooling: basis: fan is missing; accepted: the fan in the net capacity: 365 W per 1000 scfm, "
          "or 420 W");
    CHECK(of_page("capacity: gross", "capacity: gross, fan: 420 W") ==
          "page.yaml:4:33: cooling: basis: fan: a fan, but the capacity is not net: '420 W'; accepted: capacity: net, "
          "or no fan");
    CHECK(of_page("capacity: gross", "capacity: net, fan: 365 W per 1000 cfm") ==
          "page.yaml:4:31: cooling: basis: fan: not a unit of a power: '365 W per 1000 cfm'; accepted: 420 W, or 365 W "
          "per 1000 scfm");
    CHECK(of_page(", sensible_at: 80 degF", "") ==
          "page.yaml:7:7: the sensible column needs the entering dry bulb it is printed for; accepted: sensible_at: 80 "
          "degF");
    CHECK(of_page("capacity: gross", "capacity: gross, tolerance: 5") ==
          "page.yaml:4:39: cooling: basis: tolerance: not a tolerance: '5'; accepted: 5 %, or 0.05");
}

TEST_CASE("files beside the system") {
    const std::string other = texts::page.substr(0, texts::page.find("    full:"));
    CHECK(of_system(other + "    full: {file: low.csv}\n") ==
          "page.yaml:6:18: no-folder/low.csv: there is no such file; accepted: the path of a readable file");
    for (const char* name : {"/etc/passwd", "../low.csv", "a\\\\b.csv"}) {
        CAPTURE(name);
        CHECK(of_system(other + "    full: {file: \"" + name + "\"}\n")
                  .starts_with("page.yaml:6:18: cooling: stages: full: not the name of a file beside this one: '"));
    }
    CHECK(of_system(other + "    full: {odb: 95 degF}\n") ==
          "page.yaml:6:11: cooling: stages: full: table is missing; accepted: table: | with the rows below it, or "
          "file: name.csv");
}

TEST_CASE("matches") {
    const auto match = [](const std::string& text) { return of_system(texts::page + "matches:\n  B: " + text + "\n"); };
    const std::string accepted =
        "; accepted: one of: reference: true; total and power factors; cooling with pages of its own";
    CHECK(match("{reference: true}") == "no complaint");
    CHECK(match("{fan: blow-through}") == "page.yaml:19:6: matches: B: nothing says how it differs" + accepted);
    CHECK(match("{reference: true, total: 0.97, power: 1}") ==
          "page.yaml:19:6: matches: B: two ways to say how it differs" + accepted);
    CHECK(match("{total: 0.97}") ==
          "page.yaml:19:6: matches: B: power is missing; accepted: the factor on power; 1 if the page prints none");
    CHECK(match("{total: 9.7, power: 1}").find("a match factor of 9.7") != std::string::npos);
    CHECK(match("{reference: true, fan: draw through}") ==
          "page.yaml:19:29: matches: B: fan: not one of the accepted words: 'draw through'; accepted: unknown, "
          "draw-through, blow-through; nearest: draw-through");
    CHECK(match("{reference: true, airflow: [1150 scfm, 900 scfm]}") ==
          "page.yaml:19:33: matches: B: airflow: the first is above the second; accepted: [least, greatest]");
    CHECK(match("{reference: true, airflow: 900 scfm}") ==
          "page.yaml:19:33: matches: B: airflow: not a list of two: '900 scfm'; accepted: [least, greatest]");
}

TEST_CASE("line set, altitude, blower") {
    const std::string lines = texts::page + "line_set:\n  cooling: |\n    length suction total power\n    ft in 1 1\n";
    CHECK(of_system(lines + "    25 7/8 1.000 1.000\n    80 1 1/8 0.99 1.00\n") == "no complaint");
    CHECK(of_system(lines + "    25 7/8 1.000 1.000\n    25 0.875 0.99 1.00\n") ==
          "page.yaml:19:12: two rows for the same length and suction size in the line-set table; accepted: one row");
    CHECK(of_system(lines + "    25 7/0 1.000 1.000\n") ==
          "page.yaml:22:8: column 'suction': not a number: '7/0'; accepted: a number such as 33.5");
    CHECK(of_system(lines + "    25 7/8 10 1.000\n").find("a line-set factor of 10") != std::string::npos);

    const std::string altitude =
        "altitude:\n  equal: mass\n  cooling: |\n    elevation total power\n    ft 1 1\n    0 1.00 1.00\n    5000 0.98 "
        "1.04\n";
    CHECK(of_system(texts::page + altitude) == "no complaint");
    const std::string accepted =
        "; accepted: mass, with factors printed for equal mass flow (standard airflow); where none are printed, leave "
        "the table out: a stated correction takes its place";
    CHECK(of_system(texts::page + texts::with(altitude, "mass", "volume")) ==
          "page.yaml:19:10: altitude: factors for equal volume flow: a page is entered with standard airflow, which is "
          "a mass flow, so thin air would count twice: 'volume'" +
              accepted +
              "; or mass, with each factor divided by what less air does on the page itself: its total at the density "
              "of that elevation over standard density times the rated airflow, over its total at the rated airflow");
    CHECK(of_system(texts::page + texts::with(altitude, "mass", "density")) ==
          "page.yaml:19:10: altitude: the density of air over standard density is no factor of capacity: it turns "
          "actual airflow into standard airflow, which is done already, so thin air would count twice: 'density'" +
              accepted);
    CHECK(of_system(texts::page + texts::with(altitude, "5000 0.98", "5000 0.83"))
              .starts_with("page.yaml:20:12: altitude: a total that falls as the density of air does"));
    CHECK(of_system(texts::page + texts::with(altitude, "mass", "sea level")) ==
          "page.yaml:19:10: altitude: equal: not one of the accepted words: 'sea level'; accepted: mass, volume, "
          "density");
    CHECK(of_system(texts::page + texts::with(altitude, "  equal: mass\n", "")) ==
          "page.yaml:19:3: altitude: equal is missing; accepted: mass: the factors are printed for equal mass flow "
          "(standard airflow)");
    CHECK(of_system(texts::page + texts::with(altitude, "5000 0.98 1.04", "5000 - -")) ==
          "page.yaml:24:5: a blank row in the altitude table: '5000 - -'; accepted: rows with numbers; leave out what "
          "is not printed");

    const std::string blower =
        "blower:\n  motor: fixed speed\n  table: |\n    tap static airflow power\n    1 in_wc cfm W\n    low 0.5 1000 "
        "300\n";
    CHECK(of_system(texts::page + blower) == "no complaint");
    CHECK(of_system(texts::page + texts::with(blower, "cfm", "scfm")) ==
          "page.yaml:21:5: blower: standard airflow, where a blower moves actual airflow: 'scfm'; accepted: cfm, L/s, "
          "m3/s, m3/h");
    CHECK(of_system(texts::page + texts::with(blower, "  table", "  greatest_static: 0 in_wc\n  table")) ==
          "page.yaml:19:3: the blower's greatest static pressure is not above zero; accepted: 0.8 in_wc");
    CHECK(of_system(texts::page + texts::with(blower, "300", "0")) ==
          "page.yaml:19:3: tap low of the blower table: a power that is not positive; accepted: a power, or - where "
          "the page is blank");
}

TEST_CASE("nothing to answer from") {
    CHECK(of_system("offnominal: system/1\nname: empty\n") ==
          "page.yaml:1:1: the system has no stage; accepted: cooling: stages");
    CHECK(of_system("offnominal: system/1\nname: empty\ncooling: {stages: []}\n") ==
          "page.yaml:3:19: cooling: stages: not a map of stages; accepted: high: {file: name.csv}");
}
