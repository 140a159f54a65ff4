// A visit that says how its airflow was found.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "../support/near.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/report.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// The demo's visit with another airflow, and a manometer and a meter among its instruments. Invented.
std::string visit_with(const std::string& airflow) {
    return "offnominal: visit/1\nname: invented\nsite: {elevation: 4690 ft}\nstage: high\nmatch: indoor A\n"
           "line_set: {length: 50 ft, suction: 3/4 in, lift: 0 ft}\nboundary: coil+fan\n"
           "fan_power: {value: 420 W, instrument: meter}\nsteady: true\nrunning: 25 min\nlimit: 0.90\nreadings:\n"
           "  outdoor: {dry_bulb: 91.0 degF, instrument: outdoor probe}\n"
           "  return: {dry_bulb: 76.6 degF, relative_humidity: 55.0 %, instrument: return probe}\n"
           "  supply: {dry_bulb: 58.4 degF, relative_humidity: 86.4 %, instrument: supply probe}\n"
           "  airflow: " +
           airflow +
           "\n  power: {value: 2370 W, of: outdoor unit, instrument: meter}\n"
           "instruments:\n"
           "  outdoor probe: {dry_bulb: {limits: 1.0 degF}}\n"
           "  return probe: {dry_bulb: {limits: 0.4 degF}, relative_humidity: {limits: 2 %}}\n"
           "  supply probe: {dry_bulb: {limits: 0.4 degF}, relative_humidity: {limits: 2 %}}\n"
           "  flow grid: {airflow: {expanded: 7 %}}\n"
           "  manometer: {pressure: {limits: 0.01 in_wc}}\n"
           "  meter: {power: {limits: 3 %}, dry_bulb: {limits: 0.5 degF}}\n";
}

const System& alder() {
    static const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return system;
}

Proof proof_with(const std::string& airflow) { return prove(alder(), parse_visit(visit_with(airflow), "visit.yaml")); }

std::string visit_refusal(const std::string& airflow) {
    try {
        (void)proof_with(airflow);
    } catch (const Error& error) {
        return error.what();
    }
    return "no complaint";
}

constexpr const char* by_blower =
    "{blower: {tap: 4, static: 0.35 in_wc, includes: 'wet coil, no filter', instrument: manometer}}";
constexpr const char* by_heat =
    "{temperature_rise: {power: 9400 W, entering: 70 degF, leaving: 99.0 degF, instrument: meter}}";

}  // namespace

TEST_CASE("a visit names the blower's tap and static: the proof finds the airflow (trap 14)") {
    const Visit visit = parse_visit(visit_with(by_blower), "visit.yaml");
    REQUIRE(visit.airflow_by.size() == 1);
    const auto& reading = std::get<BlowerReading>(visit.airflow_by[0].by);
    CHECK(reading.tap == "4");
    CHECK(reading.external_static.instrument == "manometer");
    CHECK(near(reading.external_static.standard.si, 0.01 * units::in_wc.times / std::sqrt(3.0), relative(1e-12)));
    CHECK(visit.airflow_by[0].at == air::Place::fan);

    const Proof proof = prove(alder(), visit);
    REQUIRE(proof.airflow);
    REQUIRE(proof.ratio);
    // Draw-through: the fan breathes supply air. By hand through the library's own parts.
    const FlowingAir supply{proof.delivered.supply_air};
    const DeterminedAirflow alone = airflow_by(reading, alder().parts().blower, supply);
    CHECK(proof.airflow->airflow == alone.airflow);
    CHECK(near(proof.delivered.standard_airflow.si, alone.airflow.si, relative(1e-12)));
    // A proof with that airflow and uncertainty typed in is the same.
    Visit typed = visit;
    typed.airflow_by.clear();
    typed.readings.airflow = AirflowReading::standard(alone.airflow);
    typed.of(Input::airflow).standard = alone.u * alone.airflow.si;
    CHECK(*prove(alder(), typed).ratio == *proof.ratio);
    CHECK(prove(alder(), typed).ratio_u == proof.ratio_u);
    CHECK(proof.notes.has(Note::blower_law_assumed));

    const std::string text = report(alder(), visit, proof, UnitSystem::IP);
    INFO(text);
    CHECK(text.find("\nairflow: ") != std::string::npos);
    CHECK(text.find(", by the blower table, tap 4; ") != std::string::npos);
    CHECK(text.find(" of the ratio's variance\n") != std::string::npos);
}

TEST_CASE("two ways in a visit are combined, and the report says whether they agree") {
    const std::string both = std::string("[") + by_blower + ", " + by_heat + "]";
    const Visit visit = parse_visit(visit_with(both), "visit.yaml");
    const Proof proof = prove(alder(), visit);
    REQUIRE(proof.airflow_by.size() == 2);
    CHECK(proof.airflow->agree);
    CHECK(proof.airflow->u < std::min(proof.airflow_by[0].u, proof.airflow_by[1].u));
    CHECK(proof.ratio_u < proof_with(by_blower).ratio_u);
    const std::string text = report(alder(), visit, proof, UnitSystem::IP);
    INFO(text);
    CHECK(text.find("by the temperature rise of known heat\n  they agree (a chance of ") != std::string::npos);
}

TEST_CASE("what would settle a proof reckons with the airflow that was found") {
    const Visit visit = parse_visit(visit_with(by_blower), "visit.yaml");
    const Proof proof = prove(alder(), visit);
    Visit typed = visit;
    typed.airflow_by.clear();
    typed.readings.airflow = AirflowReading::standard(proof.airflow->airflow);
    typed.of(Input::airflow).standard = proof.airflow->u * proof.airflow->airflow.si;
    const auto found = settle(visit, proof), read = settle(typed, prove(alder(), typed));
    REQUIRE(found.size() == read.size());
    REQUIRE_FALSE(found.empty());
    for (std::size_t i = 0; i < found.size(); ++i) {
        CHECK(found[i].remedy == read[i].remedy);
        CHECK(near(found[i].ratio_u, read[i].ratio_u, relative(1e-12)));
    }
}

TEST_CASE("a heating visit names the way too") {
    std::string text =
        visit_with("{temperature_rise: {power: 9400 W, entering: 70 degF, leaving: 99.0 degF, instrument: meter}}");
    const auto put = [&](const std::string& from, const std::string& to) {
        REQUIRE(text.find(from) != std::string::npos);
        text.replace(text.find(from), from.size(), to);
    };
    put("stage: high\n", "mode: heating\nstage: high\nauxiliary_heat: 0 W\ndefrost_free: true\n");
    put("line_set: {length: 50 ft, suction: 3/4 in, lift: 0 ft}\n", "");
    put("outdoor: {dry_bulb: 91.0 degF", "outdoor: {dry_bulb: 50.0 degF");
    put("return: {dry_bulb: 76.6 degF, relative_humidity: 55.0 %",
        "return: {dry_bulb: 70.0 degF, relative_humidity: 35.0 %");
    put("supply: {dry_bulb: 58.4 degF, relative_humidity: 86.4 %", "supply: {dry_bulb: 100.0 degF");
    put(", relative_humidity: {limits: 2 %}}\n  flow grid", "}\n  flow grid");
    const Visit visit = parse_visit(text, "visit.yaml");
    const Proof proof = prove(alder(), visit);
    REQUIRE(proof.airflow);
    CHECK(near(proof.delivered.standard_airflow.si, proof.airflow->airflow.si, relative(1e-12)));
    CHECK(parse_visit(write_visit(visit), "written.yaml") == visit);
}

TEST_CASE("ways that disagree are named, and cap the verdict") {
    const std::string low = "{value: 700 cfm, at: return, instrument: flow grid}";
    const std::string apart = std::string("[") + by_heat + ", " + low + "]";
    const Visit visit = parse_visit(visit_with(apart), "visit.yaml");
    const Proof proof = prove(alder(), visit);
    CHECK_FALSE(proof.airflow->agree);
    CHECK(proof.notes.has(Note::airflows_disagree));
    CHECK(proof.outcome != Outcome::meets);
    CHECK(proof.outcome != Outcome::falls_short);
    if (proof.ratio) CHECK(proof.suspect == About::airflow);
    CHECK(report(alder(), visit, proof, UnitSystem::IP).find("they DISAGREE (a chance of under 1 %") !=
          std::string::npos);
}

TEST_CASE("what was typed of an airflow is written back") {
    for (const std::string& airflow :
         {std::string(by_blower), std::string(by_heat), std::string("[") + by_blower + ", " + by_heat + "]",
          std::string(
              "{blower: {tap: 4, static: {value: 0.35 in_wc, standard: 2 Pa}, includes: filter, drops: {filter: "
              "{value: 0.1 in_wc, instrument: manometer}}, at: return}}"),
          std::string("{blower: {tap: 4, static: 0.35 in_wc}}"),
          std::string(
              "{traverse: {velocity_pressures: [0.04 in_wc, 0.05 in_wc, 0.06 in_wc], width: 20 in, height: {value: "
              "12 in, standard: 0.1 in}, at: supply, instrument: manometer}}"),
          std::string("{hood: {registers: {values: [400 cfm, 500 cfm], instrument: flow grid}, at: return}}"),
          std::string(
              "{flow_grid: {rated: 1000 cfm, rated_drop: 0.16 in_wc, drop: 0.2 in_wc, static_without: 0.3 in_wc, "
              "static_with: 0.26 in_wc, instrument: manometer}}"),
          std::string("{drop: {known: 1200 cfm, known_drop: 0.25 in_wc, drop: 0.22 in_wc, exponent: {value: 0.55, "
                      "standard: 0.02}, instrument: manometer}}"),
          std::string(
              "{condensate: {water: {value: 7 lb/h, standard: 0.2 lb/h}, entering: 0.0105 lb/lb, leaving: 0.0092 "
              "lb/lb}}"),
          std::string(
              "[{value: 1190 cfm, at: return, instrument: flow grid}, {value: 1000 scfm, instrument: flow grid}]")}) {
        CAPTURE(airflow);
        const Visit visit = parse_visit(visit_with(airflow), "visit.yaml");
        const std::string text = write_visit(visit);
        INFO(text);
        const Visit back = parse_visit(text, "written.yaml");
        CHECK(back == visit);
        CHECK(write_visit(back) == text);
        // Not equal to a visit with another way.
        CHECK_FALSE(parse_visit(visit_with("{blower: {tap: 3, static: 0.35 in_wc}}"), "visit.yaml") == visit);
    }
    // As typed: number, unit, and the instrument beside the readings.
    CHECK(write_visit(parse_visit(visit_with(by_heat), "visit.yaml"))
              .find(std::string("\n  airflow: ") + by_heat + "\n") != std::string::npos);
}

TEST_CASE(
    "a blower's profile is a condition of the test: another tap of one stage moves other air, none named is refused") {
    // A comfort or dehumidifying profile is a tap of its own: at the same static it moves less air, and the page is
    // entered with what it moves.
    const auto at_tap_of_visit = [](const char* tap) {
        return proof_with(std::string("{blower: {tap: ") + tap +
                          ", static: 0.35 in_wc, includes: 'wet coil, no filter', instrument: manometer}}");
    };
    const Proof full = at_tap_of_visit("4"), comfort = at_tap_of_visit("3");
    REQUIRE(full.airflow);
    REQUIRE(comfort.airflow);
    CHECK(comfort.airflow->airflow.si < 0.97 * full.airflow->airflow.si);
    CHECK(comfort.expected->standard_airflow.si < 0.97 * full.expected->standard_airflow.si);
    CHECK(comfort.delivered.total_capacity.si < 0.97 * full.delivered.total_capacity.si);
    CHECK(visit_refusal("{blower: {static: 0.35 in_wc}}").find("tap is missing") != std::string::npos);
}

TEST_CASE("what a visit may not say of its airflow") {
    CHECK(visit_refusal("{blower: {tap: 9, static: 0.35 in_wc}}").find("accepted: 1, 2, 3, 4, 5") != std::string::npos);
    CHECK(visit_refusal("{blower: {static: 0.35 in_wc}}").find("readings: airflow: blower: tap is missing") !=
          std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: 0.35}}").find("readings: airflow: blower: static") !=
          std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: 0.95 in_wc}}").find("external static pressure") !=
          std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: 0.35 in_wc, instrument: ruler}}").find("not described") !=
          std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: 0.35 in_wc, instrument: flow grid}}")
              .find("for none of these readings") != std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: 0.35 in_wc}, hood: {registers: [9 cfm], at: return}}")
              .find("more than the one way") != std::string::npos);
    CHECK(visit_refusal("{hood: {registers: [400 cfm]}}").find("readings: airflow: hood: at is missing") !=
          std::string::npos);
    CHECK(visit_refusal("{hood: {registers: 400 cfm, at: return}}").find("not a list of readings") !=
          std::string::npos);
    CHECK(visit_refusal("[]").find("an empty list") != std::string::npos);
    CHECK(visit_refusal("[{value: 1190 cfm, instrument: flow grid}]").find("at is missing") != std::string::npos);
    CHECK(visit_refusal("{temperature_rise: {power: 9400 W, entering: 70 degF, leaving: 70 degF}}").find("no warmer") !=
          std::string::npos);
    CHECK(visit_refusal("{blower: {tap: 4, static: {value: 0.35 in_wc, standard: 2 Pa, instrument: manometer}}}")
              .find("an instrument says it already") != std::string::npos);
}
