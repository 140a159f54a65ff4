// Bad visit files: each complaint by its text, with line and column.
#include "texts.hpp"

using offnominal::parse_visit;
using texts::of_changed_visit;
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
    CHECK(of_changed_visit("55 %", "55") == place + "not a relative humidity: '55'" + accepted);
    CHECK(of_changed_visit("55 %", "0.55 %") == place + "not a relative humidity: '0.55 %'" + accepted);
    CHECK(of_changed_visit("55 %", "101 %") == place + "outside 0 to 100 %: '101 %'" + accepted);
    CHECK(of_changed_visit("55 %", "-1 %") == place + "outside 0 to 100 %: '-1 %'" + accepted);
    CHECK(of_changed_visit("55 %", "0.55") == "no complaint");
    CHECK(of_changed_visit("55 %", "55%") == "no complaint");
    CHECK(parse_visit(texts::with(texts::visit, "55 %", "55%"), "v").readings.return_humidity.value == 0.55);
    CHECK(of_changed_visit("57.2 degF", "57.2degF").find("no space between number and unit: '57.2degF'") !=
          std::string::npos);
}

TEST_CASE("elevation missing") {
    CHECK(of_changed_visit("{elevation: 0 ft}", "{note: at sea}") ==
          "visit.yaml:4:7: site: elevation is missing; accepted: elevation, such as 4690 ft, or pressure at the site, "
          "such as "
          "12.4 psia; there is no default");
    CHECK(of_changed_visit("site: {elevation: 0 ft}\n", "") ==
          "visit.yaml:1:1: site is missing; accepted: site: {elevation: 4690 ft}, or pressure: the station pressure; "
          "there is no default");
    CHECK(of_changed_visit("0 ft", "0")
              .starts_with("visit.yaml:4:19: site: elevation: a number without a unit: '0'; accepted: m, mm, ft, in"));
    CHECK(of_changed_visit("0 ft", "5000 ft, pressure: 29.92 inHg") ==
          "visit.yaml:4:38: site: pressure and elevation are more than 5 % apart: '29.92 inHg'; accepted: station "
          "pressure: what "
          "a barometer shows there, not the weather service's, reduced to sea level");
    CHECK(of_changed_visit("0 ft", "50000 ft").starts_with("visit.yaml:4:19: site: no such place: '50000 ft'"));
}

TEST_CASE("airflow without a basis") {
    CHECK(of_changed_visit(", at: return", "") ==
          "visit.yaml:13:12: readings: airflow: at is missing; accepted: at: return, supply or fan, where it was read; "
          "or basis: "
          "standard; there is no default");
    CHECK(of_changed_visit("at: return", "basis: standard") == "no complaint");
    CHECK(of_changed_visit("1120 cfm, at: return", "1120 scfm") == "no complaint");
    CHECK(of_changed_visit("at: return", "at: return, basis: standard") ==
          "visit.yaml:13:49: readings: airflow: both a place and a basis: 'standard'; accepted: at for actual airflow, "
          "basis: "
          "standard for standard airflow");
    CHECK(of_changed_visit("1120 cfm", "1120 scfm") ==
          "visit.yaml:13:20: readings: airflow: standard airflow has no place: '1120 scfm'; accepted: cfm with a "
          "place, or scfm without");
    CHECK(of_changed_visit("at: return", "at: grille") ==
          "visit.yaml:13:34: readings: airflow: at: not one of the accepted words: 'grille'; accepted: return, supply, "
          "fan");
    CHECK(of_changed_visit("1120 cfm", "0 cfm")
              .starts_with("visit.yaml:13:20: readings: airflow: value: not above zero: '0 cfm'"));
}

TEST_CASE("stage, boundary or limit missing") {
    CHECK(of_changed_visit("stage: full\n", "") ==
          "visit.yaml:1:1: stage is missing; accepted: the stage that ran; there is no default");
    CHECK(of_changed_visit("boundary: coil+fan\n", "") ==
          "visit.yaml:1:1: boundary is missing; accepted: coil, coil+fan; there is no default");
    CHECK(of_changed_visit("coil+fan", "cabinet") ==
          "visit.yaml:6:11: boundary: not one of the accepted words: 'cabinet'; accepted: coil, coil+fan");
    CHECK(of_changed_visit("limit: 0.90\n", "") ==
          "visit.yaml:1:1: limit is missing; accepted: the least accepted ratio of delivered to expected, such as "
          "0.90; there is no default");
    CHECK(of_changed_visit("limit: 0.90", "limit:") ==
          "visit.yaml:8:1: limit has no value; accepted: the least accepted ratio of delivered to expected, such as "
          "0.90; there is no default");
    CHECK(of_changed_visit("limit: 0.90", "limit: 90") ==
          "visit.yaml:8:8: limit: not a ratio to judge by: '90'; accepted: 0.90, or 90 %; at most 1.10, above which a "
          "ratio is "
          "implausible");
    CHECK(of_changed_visit("limit: 0.90", "limit: 0.9 %") ==
          "visit.yaml:8:8: limit: not a ratio to judge by: '0.9 %'; accepted: 0.90, or 90 %; at most 1.10, above which "
          "a ratio is "
          "implausible");
    CHECK(of_changed_visit("limit: 0.90", "limit: 0,90") ==
          "visit.yaml:8:8: limit: a comma in a number: '0,90'; accepted: a point before the decimals, and nothing "
          "between thousands");
    CHECK(of_changed_visit("fan_power: 420 W\n", "") ==
          "visit.yaml:1:1: fan_power is missing; accepted: the indoor fan's power, such as 420 W: boundary coil+fan "
          "needs it");
}

TEST_CASE("a comma for a point inside braces makes a key of the rest") {
    CHECK(of_changed_visit("0 ft", "0,5 ft") ==
          "visit.yaml:4:21: site: unknown key: '5 ft'; accepted: a point before decimals, not a comma; between braces "
          "nothing between thousands");
}

TEST_CASE("a date is a day of the calendar") {
    const auto of_date = [](const char* typed) {
        return of_changed_visit("limit: 0.90", "limit: 0.90\ndate: " + std::string(typed));
    };
    for (const char* bad : {"yesterday", "7/14/2026", "2026-02-30", "2026-7-4", "14 July 2026"})
        CHECK(of_date(bad) == "visit.yaml:9:7: date: not a day: '" + std::string(bad) +
                                  "'; accepted: year, month and day, such as 2026-06-01");
    CHECK(of_date("2026-07-14") == "no complaint");
}

TEST_CASE("open places are all told at once") {
    CHECK(of_changed_visit("limit: 0.90", "limit:\ndate:\njudge: # total\nconfidence: 0.9") ==
          "visit.yaml:8:1: limit has no value; accepted: the least accepted ratio of delivered to expected, such as "
          "0.90; "
          "there is no default. Open too: date (line 9), judge (line 10): fill them in, or leave out what may go");
}

TEST_CASE("readings") {
    CHECK(of_changed_visit("dry_bulb: 91 degF", "dry_bulb: 910 degF") ==
          "visit.yaml:10:23: readings: outdoor: dry_bulb: not a temperature of air around a machine: '910 degF'; "
          "accepted: -60 to "
          "90 degC (-76 to 194 degF)");
    CHECK(of_changed_visit("dry_bulb: 91 degF", "dry_bulb: .nan")
              .find("readings: outdoor: dry_bulb: not a number: '.nan'") != std::string::npos);
    CHECK(of_changed_visit("relative_humidity: 55 %, ", "") ==
          "visit.yaml:11:11: readings: return: relative_humidity is missing; accepted: one of relative_humidity, "
          "wet_bulb, "
          "dew_point, humidity_ratio");
    CHECK(of_changed_visit("relative_humidity: 55 %", "relative_humidity: 55 %, wet_bulb: 65 degF")
              .starts_with("visit.yaml:11:66: readings: return: wet_bulb: a second measure of humidity: '65 degF'"));
    CHECK(of_changed_visit("  supply:", "  suply:") ==
          "visit.yaml:12:3: readings: unknown key: 'suply'; accepted: log, scatter, outdoor, return, supply, airflow, "
          "power; "
          "nearest: supply");
}

TEST_CASE("instruments") {
    CHECK(
        of_changed_visit("instrument: grid", "instrument: gird") ==
        "visit.yaml:13:54: readings: airflow: instrument: not described under 'instruments': 'gird'; accepted: probe, "
        "grid; nearest: grid");
    CHECK(of_changed_visit(", instrument: grid", "") ==
          "visit.yaml:13:12: readings: airflow: instrument is missing; accepted: the name of an instrument that "
          "'instruments' "
          "describes; a reading without one has no uncertainty");
    CHECK(of_changed_visit("instrument: grid", "instrument: probe") ==
          "visit.yaml:13:54: readings: airflow: instrument: 'instruments' does not say how good it is at airflow: "
          "'probe'; "
          "accepted: airflow: {limits: ...} under that instrument");
    CHECK(of_changed_visit("0.6 delta_degF", "0.6 G") ==
          "visit.yaml:15:30: instruments: probe: dry_bulb: limits: not a unit of a temperature difference: '0.6 G'; "
          "accepted: degC, degF, K");
    CHECK(of_changed_visit("76 degF", "76 delta_degF")
              .find("a unit of a temperature difference where a temperature is due") != std::string::npos);
    CHECK(of_changed_visit("{limits: 2 %}", "{limits: 2}") ==
          "visit.yaml:15:75: instruments: probe: relative_humidity: limits: not a limit of relative humidity: '2'; "
          "accepted: 2 %, or 0.02");
    CHECK(of_changed_visit("{expanded: 7 %}", "{expanded: 7}") ==
          "visit.yaml:16:30: instruments: grid: airflow: expanded: a number without a unit: '7'; accepted: 7 % of the "
          "reading, or a unit");
    CHECK(of_changed_visit("{expanded: 7 %}", "{expanded: 7 %, standard: 3 %}")
              .starts_with("visit.yaml:16:45: instruments: grid: airflow: standard: a second way to say it: '3 %'"));
    CHECK(of_changed_visit("{expanded: 7 %}", "{coverage: 2}") ==
          "visit.yaml:16:19: instruments: grid: airflow: limits is missing; accepted: limits, expanded (95 %, coverage "
          "factor 2) or standard");
    CHECK(of_changed_visit("{expanded: 7 %}", "{expanded: -7 %}")
              .starts_with("visit.yaml:16:30: instruments: grid: airflow: expanded: below zero: '-7 %'"));
    CHECK(of_changed_visit("grid: {airflow: {expanded: 7 %}}", "grid: {airflow: {expanded: 7 %}, correlation: 2}")
              .starts_with("visit.yaml:16:49: instruments: grid: correlation: not a correlation: '2'"));
}

TEST_CASE("measured power") {
    const auto with_power = [](const std::string& power) {
        return of_changed_visit("instruments:", "  power: " + power + "\ninstruments:");
    };
    CHECK(with_power("{value: 2380 W, instrument: probe}") ==
          "visit.yaml:14:10: readings: power: of is missing; accepted: what the meter was around: compressor, outdoor "
          "unit or system; there is no default");
    CHECK(with_power("{value: 2380 W, of: outdoor, instrument: probe}") ==
          "visit.yaml:14:30: readings: power: of: not one of the accepted words: 'outdoor'; accepted: compressor, "
          "outdoor unit, system");
    CHECK(with_power("{value: 2380, of: system, instrument: probe}")
              .starts_with("visit.yaml:14:18: readings: power: value: a number without a unit: '2380'"));
    CHECK(with_power("{value: 0 W, of: system, instrument: probe}")
              .starts_with("visit.yaml:14:18: readings: power: value: below one watt: '0 W'"));
    CHECK(with_power("{value: 2380 W, of: system, instrument: probe}")
              .starts_with("visit.yaml:14:50: readings: power: instrument: 'instruments' does not say how good it is "
                           "at power: 'probe'"));
    CHECK(with_power("{value: 2380 W, of: system}")
              .starts_with("visit.yaml:14:10: readings: power: instrument is missing"));
}

TEST_CASE("compressor speed") {
    const auto at = [](const std::string& speed) {
        return of_changed_visit("stage: full", "stage: full\nspeed: " + speed);
    };
    CHECK(at("45") ==
          "visit.yaml:6:8: speed: a number without a unit: '45'; accepted: such as 45 Hz, 2700 rpm or 60 %");
    CHECK(at("0 Hz").starts_with("visit.yaml:6:8: speed: not a compressor's: '0 Hz'"));
    CHECK(at("6000 Hz").starts_with("visit.yaml:6:8: speed: not a compressor's: '6000 Hz'"));
    CHECK(at("45 %") == "no complaint");
    CHECK(at("45 degF").starts_with("visit.yaml:6:8: speed: "));
    CHECK(of_changed_visit("stage: full", "speed_held: yes") ==
          "visit.yaml:1:1: stage is missing; accepted: the stage that ran; there is no default");
    CHECK(of_changed_visit("stage: full", "stage: full\nspeed_held: perhaps")
              .starts_with("visit.yaml:6:13: speed_held: not one of the accepted words: 'perhaps'"));
}

TEST_CASE("calibrations") {
    const auto said = [](const std::string& words, const std::string& date = "date: 2026-07-28\n") {
        const std::string probe = texts::with(texts::visit, "  probe: {", "  probe: {" + words + ", ");
        return texts::of_visit(texts::with(probe, "site: {", date + "site: {"));
    };
    CHECK(said("calibrated: 2025-06-01, calibration_valid: 12 months") == "no complaint");
    CHECK(said("calibrated: 2025-06-01, calibration_valid: 1 month") == "no complaint");
    CHECK(said("calibrated: 2025-06-01") ==
          "visit.yaml:16:10: instruments: probe: calibration_valid is missing; accepted: how long it holds, such as 12 "
          "months");
    CHECK(said("calibration_valid: 12 months").find("instruments: probe: calibrated is missing") != std::string::npos);
    CHECK(said("calibrated: 2025-06-31, calibration_valid: 12 months") ==
          "visit.yaml:16:23: calibrated: not a day: '2025-06-31'; accepted: year, month and day, such as 2026-06-01");
    CHECK(said("calibrated: 2027-06-01, calibration_valid: 12 months") ==
          "visit.yaml:16:23: calibrated after the visit: '2027-06-01'; accepted: on or before 2026-07-28");
    CHECK(said("calibrated: 2025-06-01, calibration_valid: 12 months", "") ==
          "visit.yaml:15:23: instruments: probe: calibrated: the visit says no date to hold it against: '2025-06-01'; "
          "accepted: date: 2026-07-28, at the top of the visit");
    for (const char* months : {"12", "1.5 months", "a month", "12 months old", "months"})
        CHECK(said(std::string("calibrated: 2025-06-01, calibration_valid: ") + months)
                  .starts_with("visit.yaml:16:54: instruments: probe: calibration_valid: not a number of months: '"));
    CHECK(said("calibrated: 2025-06-01, calibration_valid: 0 months")
              .starts_with("visit.yaml:16:23: months a calibration holds: '0'; accepted: 1 to 120"));
}

TEST_CASE("how a ratio is accepted, and among which machines") {
    const auto said = [](const std::string& words) { return of_changed_visit("limit: 0.90", "limit: 0.90\n" + words); };
    CHECK(said("acceptance: simple") == "no complaint");
    CHECK(said("acceptance: guarded\nconfidence: 0.9") == "no complaint");
    CHECK(said("acceptance: shared") ==
          "visit.yaml:9:13: acceptance: not one of the accepted words: 'shared'; accepted: guarded, simple; nearest: "
          "guarded");
    CHECK(said("population: {mean: 0.93, standard: 8 %}") == "no complaint");
    CHECK(said("population: {mean: 0.93}")
              .starts_with("visit.yaml:9:13: population: standard is missing; accepted: their standard deviation"));
    CHECK(said("population: {mean: 93, standard: 0.08}")
              .starts_with("visit.yaml:9:20: population: mean: not of ratios: '93'"));
}

TEST_CASE("a second capacity says by what it was found, what it is of, and how sure it is") {
    const auto said = [](const std::string& words) {
        return of_changed_visit("limit: 0.90", "limit: 0.90\nsecond_capacity: {" + words + "}");
    };
    CHECK(said("by: refrigerant, total: 34.2 MBh, boundary: coil, standard: 2 %") == "no complaint");
    CHECK(said("by: condenser, total: 9.8 kW, boundary: coil+fan, standard: 0.04") == "no complaint");
    CHECK(said("by: condensate, water: 6.7 lb/h, standard: 3 %") == "no complaint");
    CHECK(said("by: guess, total: 34.2 MBh") ==
          "visit.yaml:9:23: second_capacity: by: not one of the accepted words: 'guess'; accepted: refrigerant, "
          "condenser, condensate");
    CHECK(said("total: 34.2 MBh").starts_with("visit.yaml:9:18: second_capacity: by is missing; accepted: "));
    CHECK(said("by: refrigerant, total: 34.2 MBh, standard: 2 %")
              .starts_with("visit.yaml:9:18: second_capacity: boundary is missing; accepted: coil, coil+fan"));
    CHECK(said("by: refrigerant, total: 34.2 MBh, boundary: coil")
              .starts_with("visit.yaml:9:18: second_capacity: standard is missing; accepted: its standard"));
    CHECK(said("by: refrigerant, total: 0 MBh, boundary: coil, standard: 2 %") ==
          "visit.yaml:9:43: second_capacity: total: not above zero: '0 MBh'; accepted: above zero");
    CHECK(said("by: refrigerant, total: 34.2 MBh, boundary: coil, standard: 200 %") ==
          "visit.yaml:9:79: second_capacity: standard: not a share of the capacity: '200 %'; accepted: 2 %, or 0.02");
    CHECK(said("by: condensate, total: 34.2 MBh, standard: 3 %") ==
          "visit.yaml:9:42: second_capacity: total: not by condensate: '34.2 MBh'; accepted: water: the condensate, "
          "such as 6.7 lb/h");
    CHECK(said("by: refrigerant, water: 6.7 lb/h, standard: 3 %") ==
          "visit.yaml:9:43: second_capacity: water: not by refrigerant: '6.7 lb/h'; accepted: total and boundary");
    CHECK(of_visit(
              texts::with(texts::with(texts::visit, "limit: 0.90",
                                      "limit: 0.90\nsecond_capacity: {by: condensate, water: 6.7 lb/h, standard: 3 %}"),
                          "airflow: {value: 1120 cfm, at: return, instrument: grid}",
                          "airflow: {condensate: {water: {value: 7 lb/h, standard: 0.2 lb/h}, entering: 0.0105 "
                          "lb/lb, leaving: 0.0092 lb/lb}}")) ==
          "visit.yaml:9:23: second_capacity: by: as the airflow was found: 'condensate'; accepted: refrigerant, "
          "condenser, "
          "or an airflow by another way: water cannot bear itself out");
    CHECK(of_visit(texts::with(texts::heating_visit, "auxiliary_heat: off",
                               "auxiliary_heat: off\nsecond_capacity: {by: condenser, total: 9 kW, boundary: coil, "
                               "standard: 2 %}"))
              .starts_with("visit.yaml:10:23: second_capacity: by: of cooling: 'condenser'; accepted: refrigerant: "));
    // The fan's heat lies between two boundaries: what it is must be known.
    CHECK(of_changed_visit("boundary: coil+fan\nfan_power: 420 W\n",
                           "boundary: coil\nsecond_capacity: {by: refrigerant, total: 34.2 MBh, boundary: coil+fan, "
                           "standard: 2 %}\n")
              .find("fan_power is missing; accepted: the indoor fan's power, such as 420 W: its heat lies between") !=
          std::string::npos);
}

TEST_CASE("what readings scatter by, and logs that do not tell") {
    const auto said = [](const std::string& words) {
        return of_changed_visit("  outdoor: {", words + "\n  outdoor: {");
    };
    CHECK(said("  scatter: {airflow: {standard: 5 cfm, degrees_of_freedom: 7}}") == "no complaint");
    CHECK(said("  scatter: {return_humidity: {standard: 0.4 %}}") == "no complaint");
    CHECK(said("  scatter: {return_humidity: {standard: 0.1 delta_degF}}").starts_with("visit.yaml:10:41: "));
    CHECK(said("  scatter: {airflow: {standard: -5 cfm}}")
              .starts_with("visit.yaml:10:33: readings: scatter: airflow: standard: below zero"));
    CHECK(said("  scatter: {airflow: {standard: 5 degF}}").starts_with("visit.yaml:10:33: "));
    CHECK(said("  scatter: {airflow: {standard: 5 cfm, degrees_of_freedom: 0}}")
              .starts_with("visit.yaml:10:60: readings: scatter: airflow: degrees_of_freedom: not above zero: '0'"));
    CHECK(of_changed_visit("dry_bulb: 91 degF", "dry_bulb: log") ==
          "visit.yaml:10:23: readings: outdoor: dry_bulb: no log is named: 'log'; accepted: readings: log: run.csv");
    CHECK(said("  log: run.csv") == "no complaint");  // none of its readings is asked for
    CHECK(said("  log: []").find("readings: log: an empty list") != std::string::npos);
    const std::string from_none = texts::with(texts::visit, "dry_bulb: 91 degF", "dry_bulb: log");
    CHECK(texts::of_visit(texts::with(from_none, "  outdoor: {", "  log: none-such.csv\n  outdoor: {"))
              .find("none-such.csv") != std::string::npos);
}

TEST_CASE("side by side") {
    const auto said = [](const std::string& words) {
        return of_changed_visit("  grid: {airflow",
                                "  other: {dry_bulb: {limits: 1 K}, side_by_side: " + words + "}\n  grid: {airflow");
    };
    CHECK(said("{with: probe, correlation: 0.8}") == "no complaint");
    CHECK(said("{with: prob, correlation: 0.8}") ==
          "visit.yaml:16:57: instruments: other: side_by_side: with: not another instrument of this visit: 'prob'; "
          "accepted: probe, grid; nearest: probe");
    CHECK(said("{with: other, correlation: 0.8}")
              .starts_with("visit.yaml:16:57: instruments: other: side_by_side: with: not another instrument"));
    CHECK(
        said("{with: probe}") ==
        "visit.yaml:16:50: instruments: other: side_by_side: correlation is missing; accepted: the share of the two's "
        "variance that they have in common, 0 to 1, such as 0.8");
    CHECK(
        said("{with: probe, correlation: 1.2}")
            .starts_with("visit.yaml:16:77: instruments: other: side_by_side: correlation: not a correlation: '1.2'"));
    CHECK(
        of_changed_visit("  grid: {airflow",
                         "  other: {side_by_side: {with: grid, correlation: 0.5}}\n  grid: {side_by_side: "
                         "{with: other, correlation: 0.6}, airflow")
            .starts_with("visit.yaml:17:31: instruments: grid: side_by_side: with: 'other' already says so: 'other'"));
}
