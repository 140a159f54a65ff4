// Good visit files: what is typed is what is held.
#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "../support/near.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/report.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;

TEST_CASE("a report tells what was read as it was typed, with its place and instruments") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    Visit visit = load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml");
    const auto told = [&] { return report(system, visit, prove(system, visit), UnitSystem::SI); };
    CHECK(told().find("\nremarks: invented for demonstration; clean filter, doors shut\n") != std::string::npos);
    CHECK(told().find("\nread, as typed\n"
                      "  site: elevation 4690 ft, note from the map\n"
                      "  airflow: 1190 cfm, at return, instrument flow grid\n"
                      "  outdoor: dry bulb 91.0 degF, instrument outdoor probe\n"
                      "  power: 2370 W, instrument clamp meter, of outdoor unit\n"
                      "  return: dry bulb 76.6 degF, instrument return probe, relative humidity 55.0 %\n"
                      "  supply: dry bulb 58.4 degF, instrument supply probe, relative humidity 86.4 %\n"
                      "  fan power: 420 W, instrument clamp meter\n"
                      "  instrument clamp meter: power limits 3 %\n") != std::string::npos);
    visit.typed.clear();  // as one made in code
    CHECK(told().find("as typed") == std::string::npos);
}

TEST_CASE("the demo visit holds what its file says") {
    const Visit visit = load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml");
    CHECK(visit.name == "Library, reading room (invented)");
    CHECK(visit.system_file == "alder.yaml");
    CHECK(visit.date == "2026-07-14");
    CHECK(visit.remarks.starts_with("invented for demonstration"));
    CHECK(*visit.site.pressure() == air::pressure_at(4690_ft).si);
    CHECK(visit.stage == "high");
    CHECK(visit.match == "indoor A");
    CHECK_FALSE(visit.line_set->is_reference);
    CHECK(visit.line_set->equivalent_length == 50_ft);
    CHECK(visit.line_set->suction == 0.75_in);
    CHECK(visit.line_set->lift == 0_ft);
    CHECK(visit.boundary == Boundary::coil_and_fan);
    CHECK(visit.fan_power == 420_W);
    CHECK(visit.outside == Outside::refuse);
    CHECK_FALSE(visit.infer);
    CHECK(visit.limit == 0.90);
    CHECK(visit.confidence == 0.95);
    CHECK(visit.steady == true);

    CHECK(visit.outdoor_dry_bulb == 91_degF);
    const Readings& r = visit.readings;
    CHECK(r.return_dry_bulb == 76.6_degF);
    CHECK(r.return_humidity.kind == air::Humidity::Kind::relative_humidity);
    CHECK(r.return_humidity.value == 0.55);
    CHECK(r.supply_dry_bulb == 58.4_degF);
    CHECK(r.supply_humidity.value == (86.4_percent).si);
    CHECK(r.airflow.kind == AirflowReading::Kind::actual);
    CHECK(r.airflow.place == air::Place::return_air);
    CHECK(r.airflow.si == (1190_cfm).si);
    CHECK(r.split == Split::enthalpy);
    CHECK_FALSE(r.condensate);

    // JCGM 100:2008: limits / sqrt(3) (4.3.7), expanded / 2 (4.3.3)
    CHECK(visit.of(Input::return_dry_bulb).standard == (0.4_delta_degF).si / std::sqrt(3.0));
    CHECK(visit.of(Input::return_dry_bulb).instrument == "return probe");
    CHECK(visit.of(Input::supply_humidity).standard == 0.02 / std::sqrt(3.0));
    CHECK(visit.of(Input::supply_humidity).instrument == "supply probe");
    CHECK(visit.of(Input::airflow).standard == 0.07 * (1190_cfm).si / 2.0);
    CHECK(visit.of(Input::outdoor_dry_bulb).standard == (1.0_delta_degF).si / std::sqrt(3.0));
    CHECK(near(visit.of(Input::fan_power).standard, 0.03 * 420.0 / std::sqrt(3.0), relative(1e-15)));
    CHECK(visit.of(Input::pressure).standard == 0.0);
    CHECK(visit.of(Input::pressure).instrument.empty());

    REQUIRE(visit.power);
    CHECK(visit.power->of == PowerBasis::outdoor_unit);
    CHECK(visit.power->value == 2370_W);
    CHECK(near(visit.of(Input::power).standard, 0.03 * 2370.0 / std::sqrt(3.0), relative(1e-15)));
    CHECK(visit.of(Input::power).instrument == "clamp meter");
    CHECK_FALSE(visit.speed);
    CHECK_FALSE(visit.speed_held);
    CHECK(visit.side_by_side.empty());
}

TEST_CASE("the power that the demo visit was given is what its page expects to within its doubt") {
    const std::string folder = OFFNOMINAL_TABLES_DIR "/demo/";
    const Proof p = prove(load_system(folder + "alder.yaml"), load_visit(folder + "library-visit.yaml"));
    REQUIRE(p.power);
    CHECK(std::abs(p.power->ratio - 1.0) < p.power->ratio_u95);
    CHECK(p.nearest.empty());
}

TEST_CASE("each measure of humidity, with the instrument's figure for that measure") {
    const auto typed = [](const std::string& reading, const std::string& spec) {
        return parse_visit(texts::with(texts::with(texts::visit, "relative_humidity: 55 %", reading), "{limits: 2 %}}",
                                       "{limits: 2 %}, " + spec + "}"),
                           "v");
    };
    const Visit wet = typed("wet_bulb: 65 degF", "wet_bulb: {standard: 0.2 K}");
    CHECK(wet.readings.return_humidity.kind == air::Humidity::Kind::wet_bulb);
    CHECK(wet.readings.return_humidity.value == (65_degF).si);
    CHECK(wet.of(Input::return_humidity).standard == 0.2);
    CHECK(wet.of(Input::supply_humidity).standard == 0.02 / std::sqrt(3.0));
    const Visit dew = typed("dew_point: 15 degC", "dew_point: {expanded: 0.9 delta_degC, coverage: 3}");
    CHECK(dew.readings.return_humidity.kind == air::Humidity::Kind::dew_point);
    CHECK(near(dew.of(Input::return_humidity).standard, 0.3, relative(1e-15)));
    const Visit ratio = typed("humidity_ratio: 10 g/kg", "humidity_ratio: {standard: 2 %}");
    CHECK(ratio.readings.return_humidity.kind == air::Humidity::Kind::humidity_ratio);
    CHECK(ratio.readings.return_humidity.value == 0.01);
    CHECK(near(ratio.of(Input::return_humidity).standard, 2e-4, relative(1e-15)));
}

TEST_CASE("what a technician may write in other ways") {
    const auto change = [](std::string_view from, std::string_view to) {
        return parse_visit(texts::with(texts::visit, from, to), "v");
    };
    CHECK(change("55 %", "0.55").readings.return_humidity.value == 0.55);
    CHECK(change("limit: 0.90", "limit: 90 %").limit == 0.90);
    CHECK(change("limit: 0.90", "limit: 0.90\nsteady: no").steady == false);
    CHECK_FALSE(change("limit: 0.90", "limit: 0.90").steady.has_value());
    CHECK(change("limit: 0.90", "limit: 0.90\nsplit: ashrae37\ncondensate: yes").readings.split == Split::ashrae37);
    CHECK(change("limit: 0.90", "limit: 0.90\ncondensate: yes").readings.condensate);
    CHECK(change("limit: 0.90", "limit: 0.90\noutside: extend\ninfer: true").outside == Outside::extend);
    CHECK(change("limit: 0.90", "limit: 0.90\nline_set: reference").line_set->is_reference);
    // The tubing and its fittings, in place of a length that has them in it; written back as it was said.
    for (const auto& [typed, counts] :
         {std::pair{"{tubing: 46 ft, fittings: {elbow: 4, tee_branch: 1}, suction: 3/4 in}", std::pair{4, 1}},
          std::pair{"{tubing: 46 ft, fittings: none, suction: 3/4 in}", std::pair{0, 0}},
          std::pair{"{tubing: 46 ft, fittings: unknown, suction: 3/4 in}", std::pair{-1, -1}}}) {
        const Visit tubed = change("limit: 0.90", std::string("limit: 0.90\nline_set: ") + typed);
        REQUIRE(tubed.line_set->fittings);
        CHECK(tubed.line_set->tubing == 46_ft);
        CHECK(tubed.line_set->fittings->counted == (counts.first >= 0));
        if (counts.first >= 0) CHECK((*tubed.line_set->fittings)[Fitting::elbow] == counts.first);
        if (counts.first >= 0) CHECK((*tubed.line_set->fittings)[Fitting::tee_branch] == counts.second);
        CHECK(write_visit(tubed).find(std::string("line_set: ") + typed) != std::string::npos);
    }
    CHECK_FALSE(change("limit: 0.90", "limit: 0.90\nline_set: {tubing: 46 ft, suction: 3/4 in}")
                    .line_set->fittings->counted);  // left out they are not none
    const auto refused = [](const std::string& line) {
        return texts::of_changed_visit("limit: 0.90", "limit: 0.90\nline_set: " + line);
    };
    CHECK(refused("{length: 50 ft, tubing: 46 ft, suction: 3/4 in}").find("tubing: beside a length") !=
          std::string::npos);
    CHECK(refused("{length: 50 ft, fittings: {elbow: 2}, suction: 3/4 in}").find("which has them in it") !=
          std::string::npos);
    CHECK(refused("{tubing: 50 ft, fittings: {bend: 2}, suction: 3/4 in}").find("no such fitting: 'bend'") !=
          std::string::npos);
    CHECK(refused("{tubing: 50 ft, fittings: 4, suction: 3/4 in}").find("no count of fittings: '4'") !=
          std::string::npos);
    CHECK(refused("{tubing: 50 ft, fittings: {elbow: 2.5}, suction: 3/4 in}").find("no whole number from 0 to 1000") !=
          std::string::npos);
    CHECK(change("limit: 0.90", "limit: 0.90\nmatch:").match.empty());
    CHECK(change("at: return", "at: fan").readings.airflow.place == air::Place::fan);
    CHECK(change("1120 cfm, at: return", "1120 cfm, basis: standard").readings.airflow.kind ==
          AirflowReading::Kind::standard);
    CHECK(change("1120 cfm, at: return", "1120 scfm").readings.airflow.kind == AirflowReading::Kind::standard);
    CHECK(change("boundary: coil+fan\nfan_power: 420 W", "boundary: coil").boundary == Boundary::coil);
}

TEST_CASE("station pressure by a barometer, and by elevation with a stated doubt") {
    const std::string with_barometer =
        texts::with(texts::visit, "  grid:", "  barometer: {pressure: {limits: 0.5 %}}\n  grid:");
    const auto site = [&](const std::string& text) {
        return parse_visit(texts::with(with_barometer, "{elevation: 0 ft}", text), "v");
    };
    const Visit measured = site("{pressure: 84.3 kPa, instrument: barometer}");
    CHECK(*measured.site.pressure() == 84300.0);
    CHECK(near(measured.of(Input::pressure).standard, 0.005 * 84300.0 / std::sqrt(3.0), relative(1e-15)));
    const Visit both = site("{elevation: 5000 ft, pressure: 84.0 kPa}");
    CHECK(*both.site.pressure() == 84000.0);
    const Visit from_map = site("{elevation: 5000 ft, instrument: barometer}");
    CHECK(near(from_map.of(Input::pressure).standard, 0.005 * *from_map.site.pressure() / std::sqrt(3.0),
               relative(1e-15)));
}

TEST_CASE("a probe carried from return to supply shares its error as far as the visit says") {
    const Visit visit = parse_visit(texts::with(texts::visit, "probe: {dry", "probe: {correlation: 0.5, dry"), "v");
    for (const Input input :
         {Input::return_dry_bulb, Input::supply_dry_bulb, Input::return_humidity, Input::supply_humidity})
        CHECK(visit.of(input).correlation == 0.5);
    CHECK_FALSE(visit.of(Input::airflow).correlation);
    CHECK_FALSE(parse_visit(texts::visit, "v").of(Input::return_dry_bulb).correlation);
}

TEST_CASE("probes compared side by side, and by how much of their error they are one") {
    const std::string two =
        texts::with(texts::with(texts::visit, "  grid: {airflow",
                                "  other: {dry_bulb: {limits: 0.6 K}, relative_humidity: {limits: 2 %},\n"
                                "          side_by_side: {with: probe, correlation: 80 %}}\n  grid: {airflow"),
                    "92 %, instrument: probe", "92 %, instrument: other");
    const Visit visit = parse_visit(two, "v");
    CHECK(visit.of(Input::supply_dry_bulb).instrument == "other");
    REQUIRE(visit.side_by_side.size() == 1);
    CHECK(visit.side_by_side[0].first == "other");
    CHECK(visit.side_by_side[0].second == "probe");
    CHECK(visit.side_by_side[0].correlation == 0.8);
}

TEST_CASE("power says what it is of, speed says in which measure") {
    const auto with_power = [](const std::string& power) {
        return parse_visit(
            texts::with(texts::with(texts::visit, "instruments:", "  power: " + power + "\ninstruments:"),
                        "  grid: {airflow", "  clamp: {power: {limits: 2 %}}\n  grid: {airflow"),
            "v");
    };
    const Visit visit = with_power("{value: 2.38 kW, of: system, instrument: clamp}");
    CHECK(visit.power->value == 2380_W);
    CHECK(visit.power->of == PowerBasis::system);
    CHECK(near(visit.of(Input::power).standard, 0.02 * 2380 / std::sqrt(3.0), relative(1e-15)));
    CHECK(with_power("{value: 2380 W, of: compressor, instrument: clamp}").power->of == PowerBasis::compressor);

    const auto at = [](const std::string& speed) {
        return parse_visit(texts::with(texts::visit, "stage: full", "stage: full\n" + speed), "v");
    };
    CHECK(at("speed: 45 Hz").speed->si == 45.0);
    CHECK(at("speed: 2700 rpm").speed->si == 45.0);
    CHECK(at("speed: 2700 rpm").speed->unit.name == "rpm");
    CHECK(at("speed: 60 %\nspeed_held: yes").speed->si == 0.6);
    CHECK(at("speed_held: yes").speed_held == true);
    // Whoever gives a speed, or knows that none was held, need not name a stage.
    CHECK(parse_visit(texts::with(texts::visit, "stage: full", "speed: 45 Hz"), "v").stage.empty());
    CHECK(parse_visit(texts::with(texts::visit, "stage: full", "speed_held: no"), "v").speed_held == false);
}

TEST_CASE("readings are taken from a log: means over its steady window, with what they scatter by") {
    // An invented run: 40 minutes, a row each 30 s; the first 20 it still cools down.
    const std::string file = "offnominal-test-visit-log.csv",
                      path = (std::filesystem::temp_directory_path() / file).string();
    const auto run = [&](double settles) {
        std::ofstream log(path);
        log << "time (s),outdoor dry bulb (degF),return dry bulb (degF),return relative humidity (%),supply dry bulb "
               "(degF),"
               "supply relative humidity (%),airflow (cfm),power (W)\n";
        for (int i = 0; i <= 80; ++i) {
            const double late = std::max(0.0, 1.0 - 30.0 * i / settles), swing = i % 3 - 1.0;
            log << 30 * i << "," << 91.0 + 0.1 * swing << ",76.0,55.0," << 57.2 + 8.0 * late + 0.05 * swing << ",92.0,"
                << 1120.0 + 4.0 * swing << "," << 2380.0 + 5.0 * swing << "\n";
        }
    };
    std::string text = texts::visit;
    for (const auto& [typed, by] : std::initializer_list<std::pair<const char*, const char*>>{
             {"dry_bulb: 91 degF", "dry_bulb: log"},
             {"dry_bulb: 76 degF, relative_humidity: 55 %", "dry_bulb: log, relative_humidity: log"},
             {"dry_bulb: 57.2 degF, relative_humidity: 92 %", "dry_bulb: log, relative_humidity: log"},
             {"value: 1120 cfm", "value: log"}})
        text = texts::with(text, typed, by);
    text = texts::with(text, "readings:\n", "readings:\n  log: " + file + "\n");
    const std::string folder = std::filesystem::temp_directory_path().string();
    const auto read = [&](const std::string& typed) { return parse_visit(typed, "visit.yaml", folder); };

    run(1200.0);
    const Visit visit = read(text);
    CHECK(visit.logs == std::vector<std::string>{file});
    CHECK(visit.steady == true);
    CHECK(parse_visit(text, "visit.yaml", [&](const std::string& name) {  // likewise out of a program
              std::ifstream log(folder + "/" + name);
              return std::string(std::istreambuf_iterator<char>(log), {});
          }) == visit);
    CHECK(near(visit.outdoor_dry_bulb.si, (91.0 - 32.0) / 1.8, absolute(0.02)));
    CHECK(near(visit.readings.supply_dry_bulb.si, (57.2 - 32.0) / 1.8, absolute(0.01)));
    CHECK(visit.readings.return_humidity.value == 0.55);
    CHECK(near(visit.readings.airflow.si, units::cfm.to_si(1120.0), relative(1e-3)));
    // What the instrument is good for stands beside what its readings scatter by.
    CHECK(near(visit.of(Input::airflow).standard, 0.035 * visit.readings.airflow.si, relative(1e-12)));
    CHECK(visit.of(Input::airflow).scatter.standard > 0.0);
    CHECK(visit.of(Input::airflow).scatter.degrees_of_freedom > 1.0);
    CHECK(visit.of(Input::return_dry_bulb).scatter.standard == 0.0);  // it never moves
    // Written, it stands alone: every number is told, and the log is a name.
    const std::string written = write_visit(visit);
    const Visit back = parse_visit(written, "elsewhere.yaml");
    CHECK(back == visit);
    CHECK(back.of(Input::airflow).scatter.standard == visit.of(Input::airflow).scatter.standard);

    run(3000.0);
    CHECK(read(text).steady == false);
    // How long it ran before is counted on; steadiness is not for typing.
    run(1200.0);
    const Visit ran = read(texts::with(text, "limit: 0.90", "limit: 0.90\nrunning: 20 min"));
    CHECK(ran.running->si >= 1200.0);
    CHECK(texts::complaint([&] {
              (void)read(texts::with(text, "limit: 0.90", "limit: 0.90\nsteady: true"));
          }).find("steady: the log tells that") != std::string::npos);
    CHECK(texts::complaint([&] {
              (void)read(texts::with(text, "supply: {dry_bulb: log, relative_humidity: log",
                                     "supply: {dry_bulb: log, wet_bulb: log"));
          }).find("no such column: 'supply_wet_bulb'") != std::string::npos);
    for (const char* elsewhere : {"/etc/run.csv", "../run.csv"})
        CHECK(texts::complaint([&] {
                  (void)read(texts::with(text, file, elsewhere));
              }).find("readings: log: not the name of a file beside this one") != std::string::npos);
    std::filesystem::remove(path);
}

TEST_CASE("what else a log tells is held against the visit, and told") {
    // An invented run: an hour, a row each 30 s, into a file that is none.
    struct Run {
        std::string stamp = "time", first = "2026-07-14T15:", head, row;
        double settles = 600.0;
        int defrost_until = -1;  ///< row
    };
    const auto csv = [](const Run& run) {
        std::string out = run.stamp + ",outdoor dry bulb (degF),return dry bulb (degF),return relative humidity (%)," +
                          "supply dry bulb (degF),supply relative humidity (%)" + run.head +
                          (run.defrost_until < 0 ? "" : ",defrost") + "\n";
        for (int i = 0; i < 120; ++i) {
            const double late = std::max(0.0, 1.0 - 30.0 * i / run.settles), swing = i % 3 - 1.0;
            std::array<char, 160> line{};
            std::snprintf(line.data(), line.size(), "%s%02d:%02d,%.1f,76.0,55.0,%.2f,92.0", run.first.c_str(), i / 2,
                          30 * (i % 2), 91.0 + 0.1 * swing, 57.2 + 8.0 * late + 0.05 * swing);
            out += line.data() + run.row;
            if (run.defrost_until >= 0) out += i <= run.defrost_until ? ",on" : ",off";
            out += "\n";
        }
        return out;
    };
    const auto read = [&](const Run& run, const std::string& log = "run.csv", std::string_view more = {},
                          std::string text = texts::visit) {
        text = texts::with(text, "readings:\n", "readings:\n  log: " + log + "\n");
        text = texts::with(text, "dry_bulb: 76 degF", "dry_bulb: log");
        text = texts::with(text, "limit: 0.90", "limit: 0.90" + std::string(more));
        return parse_visit(text, "visit.yaml", [&](const std::string&) { return csv(run); });
    };
    const auto complaint = [&](const auto&... asked) { return texts::complaint([&] { (void)read(asked...); }); };
    const auto has = [](const std::string& text, std::string_view part) {
        INFO(text);
        CHECK(text.find(part) != std::string::npos);
    };

    const Visit v = read({});
    REQUIRE(v.log_window);
    CHECK(v.steady == true);
    CHECK(moment_words(v.log_window->search.window.begin, true).starts_with("2026-07-14 15:1"));
    CHECK(v.log_window->search.window.samples >= 20);
    // Another day's log; in UTC a day may begin or end elsewhere.
    CHECK(read({}, "run.csv", "\ndate: 2026-07-14").steady == true);
    has(complaint(Run{}, "run.csv", "\ndate: 2026-07-15"),
        "its readings are of 2026-07-14, the visit is of 2026-07-15");
    // Another stage than the visit's.
    Run stage;
    stage.head = ",stage";
    stage.row = ",low";
    has(complaint(stage), "its stage is low at 2026-07-14 15:");
    stage.row = ",full";
    CHECK(read(stage).steady == true);
    // The valve's swing lengthens the window.
    const Visit swings = read({}, "{file: run.csv, valve_swing: 5 min}");
    CHECK(swings.log_window->search.window.end - swings.log_window->search.window.begin >= 900.0);
    has(complaint(Run{}, "{file: run.csv, valve_swing: -5 min}"), "valve_swing: below zero");

    // A log that drifts says what, and how long to wait; both are in the first lines.
    Run drifts;
    drifts.settles = 6000.0;
    const Visit drifting = read(drifts, "run.csv", "", texts::with(texts::visit, "57.2 degF, rel", "log, rel"));
    CHECK(drifting.steady == false);
    const System system = parse_system(texts::page, "page.yaml");
    const std::string text = report(system, drifting, prove(system, drifting), UnitSystem::IP);
    has(text, ": split drifts too far over the window\n");
    has(text, "next: wait at least ");
    has(text, "  not steady from 2026-07-14 15:");
    has(text, " samples\n");
}

TEST_CASE("the samples that a visit's log lacks are told by row and column") {
    std::string csv = "time (s),return dry bulb (degF),return relative humidity (%),supply dry bulb (degF)\n";
    for (int i = 0; i < 80; ++i)
        csv += std::to_string(30 * i) + (i < 12 ? ",761" : i == 20 ? "," : ",76") + ",55,57.2\n";
    std::string text =
        texts::with(texts::visit, "readings:\n", "readings:\n  log: {file: run.csv, flaws: leave out}\n");
    text = texts::with(text, "dry_bulb: 76 degF", "dry_bulb: log");
    const Visit visit = parse_visit(text, "visit.yaml", [&](const std::string&) { return csv; });
    REQUIRE(visit.log_window);
    CHECK(visit.log_window->flaws.size() == 13);
    const System system = parse_system(texts::page, "page.yaml");
    const std::string said = report(system, visit, prove(system, visit), UnitSystem::IP);
    CHECK(said.find("  missing or left out: 13\n    run.csv, line 2, column 3: ") != std::string::npos);
    CHECK(said.find("'761'\n") != std::string::npos);
    CHECK(said.find("    and 3 more\n") != std::string::npos);
}

TEST_CASE("steady: true and a machine that has just started contradict") {
    CHECK(texts::of_changed_visit("limit: 0.90", "limit: 0.90\nsteady: true\nrunning: 5 min")
              .find("running: too short for steady: true") != std::string::npos);
    CHECK_NOTHROW(
        (void)parse_visit(texts::with(texts::visit, "limit: 0.90", "limit: 0.90\nsteady: false\nrunning: 5 min"), "v"));
    CHECK_NOTHROW(
        (void)parse_visit(texts::with(texts::visit, "limit: 0.90", "limit: 0.90\nsteady: true\nrunning: 15 min"), "v"));
    CHECK(texts::of_changed_visit("limit: 0.90", "limit: 1.2").find("at most 1.10") != std::string::npos);
}

TEST_CASE("keys that only the system can judge are refused at their place in the visit") {
    const System page = parse_system(texts::page, "page.yaml");
    const auto proved = [&](std::string_view from, std::string_view to) {
        return texts::complaint(
            [&] { (void)prove(page, parse_visit(texts::with(texts::visit, from, to), "visit.yaml")); });
    };
    CHECK(proved("stage: full", "stage: fall") == "visit.yaml:5:8: the system has no such stage: 'fall'; it has full");
    CHECK(proved("stage: full", "stage: full\nmatch: coil B")
              .starts_with("visit.yaml:6:8: the system lists no such match: 'coil B'"));
    CHECK(
        proved("stage: full", "stage: full\nline_set: {length: 30 ft, suction: 3/4 in}") ==
        "visit.yaml:6:11: a line set is given, but the system has no line-set table; give the reference line; `beyond: "
        "model` beside the length asks for a model's answer");
    const System two =
        parse_system(texts::page + "matches:\n  A: {reference: true}\n  B: {total: 0.97, power: 0.97}\n", "page.yaml");
    CHECK(texts::complaint([&] { (void)prove(two, parse_visit(texts::visit, "visit.yaml")); }) ==
          "visit.yaml:1:1: match is not given, and there is no default; the system lists A, B");
}

TEST_CASE("JSON is YAML: a visit as a program would send it") {
    const Visit visit = parse_visit(
        R"({"offnominal": "visit/1", "name": "sent", "site": {"elevation": "4690 ft", "note": null}, "stage": "full", "boundary": "coil+fan",
"fan_power": {"value": "420 W"}, "limit": 0.9, "confidence": 0.95, "steady": true, "infer": false, "match": null,
"readings": {"outdoor": {"dry_bulb": "91 degF", "instrument": "p"}, "return": {"dry_bulb": "76 degF", "relative_humidity": 0.55, "instrument": "p"},
"supply": {"dry_bulb": "57.2 degF", "relative_humidity": "92 %", "instrument": "p"}, "airflow": {"value": "1120 cfm", "at": "return", "instrument": "g"}},
"instruments": {"p": {"dry_bulb": {"standard": "0.35 delta_degF"}, "relative_humidity": {"standard": 0.0125}}, "g": {"airflow": {"standard": "3.5 %"}}}})",
        "sent");
    CHECK(visit.limit == 0.9);
    CHECK(visit.match.empty());
    CHECK(visit.steady == true);
    CHECK(visit.readings.return_humidity.value == 0.55);
    CHECK(visit.of(Input::return_humidity).standard == 0.0125);
    CHECK(visit.of(Input::fan_power).standard == 0.0);
}
