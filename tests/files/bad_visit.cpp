// Bad visit files: each complaint by its text, with line and column.
#include "texts.hpp"

using texts::of_change;
using texts::of_visit;

TEST_CASE("the visit the changes are made to is good") { CHECK(of_visit(texts::visit) == "no complaint"); }

TEST_CASE("wet bulb above dry bulb") {
    const std::string wet = texts::with(texts::visit, "relative_humidity: {limits: 2 %}",
                                        "wet_bulb: {limits: 0.5 delta_degF}, relative_humidity: {limits: 2 %}");
    const auto typed = [&](const std::string& bulb) {
        return of_visit(texts::with(wet, "relative_humidity: 55 %", "wet_bulb: " + bulb));
    };
    CHECK(typed("77 degF") ==
          "visit.yaml:11:41: readings: return: wet_bulb: above the dry bulb: '77 degF'; accepted: at most the dry "
          "bulb; were the two swapped?");
    CHECK(typed("76.1 degF") == "no complaint");  // two probes disagree by as much: taken as saturated, with a note
    CHECK(typed("65 degF") == "no complaint");
}

TEST_CASE("relative humidity 55 for 0.55, and the other way round") {
    const std::string place = "visit.yaml:11:50: readings: return: relative_humidity: ",
                      accepted = "; accepted: 55 %, or 0.55";
    CHECK(of_change("55 %", "55") == place + "not a relative humidity: '55'" + accepted);
    CHECK(of_change("55 %", "0.55 %") == place + "not a relative humidity: '0.55 %'" + accepted);
    CHECK(of_change("55 %", "101 %") == place + "outside 0 to 100 %: '101 %'" + accepted);
    CHECK(of_change("55 %", "-1 %") == place + "outside 0 to 100 %: '-1 %'" + accepted);
    CHECK(of_change("55 %", "0.55") == "no complaint");
    CHECK(of_change("55 %", "55%") == place + "no space between number and unit: '55%'; accepted: 55 %");
}

TEST_CASE("elevation missing") {
    CHECK(of_change("{elevation: 0 ft}", "{note: at sea}") ==
          "visit.yaml:4:7: site: elevation is missing; accepted: elevation, such as 4690 ft, or pressure at the site, "
          "such as "
          "12.4 psia; there is no default");
    CHECK(of_change("site: {elevation: 0 ft}\n", "") ==
          "visit.yaml:1:1: site is missing; accepted: site: {elevation: 4690 ft}, or pressure: the station pressure; "
          "there is no default");
    CHECK(of_change("0 ft", "0")
              .starts_with("visit.yaml:4:19: site: elevation: a number without a unit: '0'; accepted: m, mm, ft, in"));
    CHECK(of_change("0 ft", "5000 ft, pressure: 29.92 inHg") ==
          "visit.yaml:4:38: site: pressure and elevation are more than 5 % apart: '29.92 inHg'; accepted: station "
          "pressure: what "
          "a barometer shows there, not the weather service's, reduced to sea level");
    CHECK(of_change("0 ft", "50000 ft").starts_with("visit.yaml:4:19: site: no such place: '50000 ft'"));
}

TEST_CASE("airflow without a basis") {
    CHECK(of_change(", at: return", "") ==
          "visit.yaml:13:12: readings: airflow: at is missing; accepted: at: return, supply or fan, where it was read; "
          "or basis: "
          "standard; there is no default");
    CHECK(of_change("at: return", "basis: standard") == "no complaint");
    CHECK(of_change("1120 cfm, at: return", "1120 scfm") == "no complaint");
    CHECK(of_change("at: return", "at: return, basis: standard") ==
          "visit.yaml:13:49: readings: airflow: both a place and a basis: 'standard'; accepted: at for actual airflow, "
          "basis: "
          "standard for standard airflow");
    CHECK(of_change("1120 cfm", "1120 scfm") ==
          "visit.yaml:13:20: readings: airflow: standard airflow has no place: '1120 scfm'; accepted: cfm with a "
          "place, or scfm without");
    CHECK(of_change("at: return", "at: grille") ==
          "visit.yaml:13:34: readings: airflow: at: not one of the accepted words: 'grille'; accepted: return, supply, "
          "fan");
    CHECK(of_change("1120 cfm", "0 cfm")
              .starts_with("visit.yaml:13:20: readings: airflow: value: not above zero: '0 cfm'"));
}

TEST_CASE("stage, boundary or limit missing") {
    CHECK(of_change("stage: full\n", "") ==
          "visit.yaml:1:1: stage is missing; accepted: the stage that ran; there is no default");
    CHECK(of_change("boundary: coil+fan\n", "") ==
          "visit.yaml:1:1: boundary is missing; accepted: coil, coil+fan; there is no default");
    CHECK(of_change("coil+fan", "cabinet") ==
          "visit.yaml:6:11: boundary: not one of the accepted words: 'cabinet'; accepted: coil, coil+fan");
    CHECK(of_change("limit: 0.90\n", "") ==
          "visit.yaml:1:1: limit is missing; accepted: the least accepted ratio of delivered to expected, such as "
          "0.90; there is no default");
    CHECK(of_change("limit: 0.90", "limit:") ==
          "visit.yaml:8:1: limit has no value; accepted: the least accepted ratio of delivered to expected, such as "
          "0.90; there is no default");
    CHECK(of_change("limit: 0.90", "limit: 90") ==
          "visit.yaml:8:8: limit: not a ratio to judge by: '90'; accepted: 0.90, or 90 %");
    CHECK(of_change("limit: 0.90", "limit: 0,90") ==
          "visit.yaml:8:8: limit: a comma in a number: '0,90'; accepted: a point before the decimals, and nothing "
          "between thousands");
    CHECK(of_change("fan_power: 420 W\n", "") ==
          "visit.yaml:1:1: fan_power is missing; accepted: the indoor fan's power, such as 420 W: boundary coil+fan "
          "needs it");
}

TEST_CASE("a comma for a point inside braces makes a key of the rest") {
    CHECK(of_change("0 ft", "0,5 ft") ==
          "visit.yaml:4:21: site: unknown key: '5 ft'; accepted: a point before decimals, not a comma");
}

TEST_CASE("readings") {
    CHECK(of_change("dry_bulb: 91 degF", "dry_bulb: 910 degF") ==
          "visit.yaml:10:23: readings: outdoor: dry_bulb: not a temperature of air around a machine: '910 degF'; "
          "accepted: -60 to "
          "90 degC (-76 to 194 degF)");
    CHECK(of_change("dry_bulb: 91 degF", "dry_bulb: .nan").find("readings: outdoor: dry_bulb: not a number: '.nan'") !=
          std::string::npos);
    CHECK(of_change("relative_humidity: 55 %, ", "") ==
          "visit.yaml:11:11: readings: return: relative_humidity is missing; accepted: one of relative_humidity, "
          "wet_bulb, "
          "dew_point, humidity_ratio");
    CHECK(of_change("relative_humidity: 55 %", "relative_humidity: 55 %, wet_bulb: 65 degF")
              .starts_with("visit.yaml:11:66: readings: return: wet_bulb: a second measure of humidity: '65 degF'"));
    CHECK(
        of_change("  supply:", "  suply:") ==
        "visit.yaml:12:3: readings: unknown key: 'suply'; accepted: outdoor, return, supply, airflow; nearest: supply");
}

TEST_CASE("instruments") {
    CHECK(of_change("instrument: grid", "instrument: gird") ==
          "visit.yaml:13:54: readings: airflow: instrument: not described under 'instruments': 'gird'; accepted: grid, "
          "probe; nearest: grid");
    CHECK(of_change(", instrument: grid", "") ==
          "visit.yaml:13:12: readings: airflow: instrument is missing; accepted: the name of an instrument that "
          "'instruments' "
          "describes; a reading without one has no uncertainty");
    CHECK(of_change("instrument: grid", "instrument: probe") ==
          "visit.yaml:13:54: readings: airflow: instrument: 'instruments' does not say how good it is at airflow: "
          "'probe'; "
          "accepted: airflow: {limits: ...} under that instrument");
    CHECK(of_change("0.6 delta_degF", "0.6 degF") ==
          "visit.yaml:15:30: instruments: probe: dry_bulb: limits: a unit of a temperature where a temperature "
          "difference is "
          "due: '0.6 degF'; accepted: delta_degC, delta_degF, K; nearest: delta_degF");
    CHECK(of_change("{limits: 2 %}", "{limits: 2}") ==
          "visit.yaml:15:75: instruments: probe: relative_humidity: limits: not a limit of relative humidity: '2'; "
          "accepted: 2 %, or 0.02");
    CHECK(of_change("{expanded: 7 %}", "{expanded: 7}") ==
          "visit.yaml:16:30: instruments: grid: airflow: expanded: a number without a unit: '7'; accepted: 7 % of the "
          "reading, or a unit");
    CHECK(of_change("{expanded: 7 %}", "{expanded: 7 %, standard: 3 %}")
              .starts_with("visit.yaml:16:45: instruments: grid: airflow: standard: a second way to say it: '3 %'"));
    CHECK(of_change("{expanded: 7 %}", "{coverage: 2}") ==
          "visit.yaml:16:19: instruments: grid: airflow: limits is missing; accepted: limits, expanded (95 %, coverage "
          "factor 2) or standard");
    CHECK(of_change("{expanded: 7 %}", "{expanded: -7 %}")
              .starts_with("visit.yaml:16:30: instruments: grid: airflow: expanded: below zero: '-7 %'"));
    CHECK(of_change("grid: {airflow: {expanded: 7 %}}", "grid: {airflow: {expanded: 7 %}, correlation: 2}")
              .starts_with("visit.yaml:16:49: instruments: grid: correlation: not a correlation: '2'"));
}
