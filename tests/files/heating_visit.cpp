// Visits to a machine that heats: what their files say, what only one of the modes has, and the way back to text.
#include <cmath>

#include "../support/near.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {
Visit changed_heating(std::string_view from, std::string_view to) {
    return parse_visit(texts::with(texts::heating_visit, from, to), "visit.yaml");
}
std::string heating_complaint(std::string_view from, std::string_view to) {
    return texts::complaint([&] { (void)changed_heating(from, to); });
}
}  // namespace

TEST_CASE("a heating visit holds what its file says") {
    const Visit v = parse_visit(texts::heating_visit, "visit.yaml");
    CHECK(v.mode() == Mode::heating);
    CHECK(v.readings.auxiliary_heat == 0_W);
    CHECK_FALSE(v.auxiliary_unknown);
    CHECK(v.defrost_free == true);
    CHECK_FALSE(v.since_defrost);
    CHECK(v.readings.supply_dry_bulb == 98_degF);
    CHECK(std::isnan(v.readings.supply_humidity.value));
    CHECK(v.of(Input::supply_humidity).instrument.empty());
    CHECK(v.of(Input::return_humidity).instrument == "probe");
    CHECK(parse_visit(texts::visit, "visit.yaml").mode() == Mode::cooling);

    const Visit metered = changed_heating("auxiliary_heat: off", "auxiliary_heat: {value: 4.8 kW, instrument: clamp}");
    CHECK(metered.readings.auxiliary_heat == 4800_W);
    CHECK(near(metered.of(Input::auxiliary_heat).standard, 0.03 * 4800.0 / std::sqrt(3.0), relative(1e-15)));
    CHECK(changed_heating("auxiliary_heat: off", "auxiliary_heat: 4800 W").readings.auxiliary_heat == 4800_W);
    CHECK(changed_heating("auxiliary_heat: off", "auxiliary_heat: false").readings.auxiliary_heat == 0_W);
    const Visit unknown = changed_heating("auxiliary_heat: off", "auxiliary_heat: unknown");
    CHECK(unknown.auxiliary_unknown);
    CHECK(std::isnan(unknown.readings.auxiliary_heat.si));
    CHECK(changed_heating("defrost_free: true", "since_defrost: 25 min").since_defrost == Duration{1500.0});
    CHECK(changed_heating("defrost_free: true", "defrost_free: no").defrost_free == false);
    CHECK_FALSE(changed_heating("defrost_free: true", "").defrost_free);
    CHECK(std::isnan(changed_heating(", relative_humidity: 30 %", "").readings.return_humidity.value));
}

TEST_CASE("what only one of the modes has is refused in the other") {
    CHECK(
        heating_complaint("auxiliary_heat: off\n", "") ==
        "visit.yaml:1:1: auxiliary_heat is missing; accepted: off, its power between the probes, such as {value: 4800 "
        "W, instrument: clamp meter}, or unknown; there is no default");
    CHECK(heating_complaint("auxiliary_heat: off", "auxiliary_heat: on")
              .starts_with("visit.yaml:9:17: auxiliary_heat: "));
    CHECK(heating_complaint("auxiliary_heat: off", "auxiliary_heat: -5 W") ==
          "visit.yaml:9:17: auxiliary_heat: below zero: '-5 W'; accepted: off, or a power");
    CHECK(heating_complaint("mode: heating", "mode: cooling") ==
          "visit.yaml:9:17: auxiliary_heat: for heating only: 'off'; accepted: mode: heating");
    CHECK(
        heating_complaint("mode: heating", "mode: warm").starts_with("visit.yaml:5:7: mode: not one of the accepted"));
    CHECK(heating_complaint("limit: 0.90", "limit: 0.90\ncondensate: yes") ==
          "visit.yaml:12:13: condensate: for cooling only: 'yes'; accepted: nothing: all of heating is sensible");
    CHECK(heating_complaint("limit: 0.90", "limit: 0.90\njudge: both") ==
          "visit.yaml:12:8: judge: heating is sensible, so there is one ratio: 'both'; accepted: total");
    CHECK(heating_complaint("98 degF", "98 degF, relative_humidity: 12 %").find("unknown key: 'relative_humidity'") !=
          std::string::npos);
    CHECK(heating_complaint("defrost_free: true", "since_defrost: -5 min") ==
          "visit.yaml:10:16: since_defrost: a time that has passed, below zero: '-5 min'; accepted: zero or more, such "
          "as 25 min");
    CHECK(heating_complaint("limit: 0.90", "limit: 0.90\nrunning: -5 min")
              .find("running: a time that has passed, below zero: '-5 min'") != std::string::npos);
    CHECK(texts::complaint([] {
              (void)parse_visit(texts::with(texts::visit, "limit: 0.90", "limit: 0.90\nsince_defrost: 20 min"),
                                "visit.yaml");
          }) == "visit.yaml:9:16: since_defrost: for heating only: '20 min'; accepted: mode: heating");
}

TEST_CASE("a heating visit is written as it was read") {
    CHECK(write_visit(parse_visit(texts::heating_visit, "visit.yaml")) == texts::heating_visit);
    for (const auto& change : std::initializer_list<std::pair<const char*, const char*>>{
             {"auxiliary_heat: off", "auxiliary_heat: unknown"},
             {"auxiliary_heat: off", "auxiliary_heat: {value: 4.80 kW, instrument: clamp}"},
             {"auxiliary_heat: off", "auxiliary_heat: 4.80 kW"},
             {"defrost_free: true", "since_defrost: 25 min"},
             {"defrost_free: true\n", ""},
             {", relative_humidity: 30 %", ""}}) {
        const std::string text = texts::with(texts::heating_visit, change.first, change.second);
        const Visit visit = parse_visit(text, "visit.yaml");
        CHECK_MESSAGE(write_visit(visit) == text, change.second);
        CHECK_FALSE(visit == parse_visit(texts::heating_visit, "visit.yaml"));
    }
    const std::string demo = write_visit(load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-heating-visit.yaml"));
    CHECK(write_visit(parse_visit(demo, "demo")) == demo);
}

TEST_CASE("the demo's heating visit meets its limit") {
    const std::string folder = OFFNOMINAL_TABLES_DIR "/demo/";
    const Proof p = prove(load_system(folder + "alder.yaml"), load_visit(folder + "library-heating-visit.yaml"));
    CHECK(p.outcome == Outcome::meets);
    REQUIRE(p.ratio);
    CHECK(std::abs(*p.ratio - 1.0) < p.ratio_u);
    REQUIRE(p.power);
    CHECK(std::abs(p.power->ratio - 1.0) < p.power->ratio_u95);
}

TEST_CASE("a log that tells defrosts says how long ago the last one was, and contradicts a visit that says otherwise") {
    const auto csv = [](int from, int to) {  // rows of a minute
        std::string out = "time (min),return dry bulb (degF),supply dry bulb (degF),defrost\n";
        for (int i = 0; i < 80; ++i)
            out += std::to_string(i) + ",70,98," + (i >= from && i <= to ? "on" : "off") + "\n";
        return out;
    };
    const auto read = [&](int from, int to, std::string_view said) {
        std::string text = texts::with(texts::heating_visit, "readings:\n", "readings:\n  log: run.csv\n");
        text = texts::with(text, "dry_bulb: 98 degF", "dry_bulb: log");
        text = texts::with(text, "defrost_free: true\n", said);
        return parse_visit(text, "visit.yaml", [&](const std::string&) { return csv(from, to); });
    };
    const auto complaint = [&](int from, int to, std::string_view said) {
        return texts::complaint([&] { (void)read(from, to, said); });
    };
    const Visit v = read(2, 6, "");
    REQUIRE(v.since_defrost);
    CHECK(v.steady == true);
    CHECK(v.since_defrost->si == v.log_window->search.window.begin - 360.0);
    CHECK(read(2, 6, "since_defrost: 16 min\n").steady == true);
    CHECK(complaint(2, 6, "since_defrost: 40 min\n").find("it shows a defrost at 360 s") != std::string::npos);
    CHECK_NOTHROW((void)read(75, 79, "defrost_free: true\n"));  // after the window
    // None in the log.
    CHECK(read(90, 90, "").defrost_free == true);
    CHECK(complaint(90, 90, "since_defrost: 5 min\n").find("no defrost from 0 s on") != std::string::npos);
    CHECK_NOTHROW((void)read(90, 90, "since_defrost: 50 min\n"));
    // No window is long enough after it.
    CHECK(read(70, 79, "").steady == true);
    const Visit late = read(5, 79, "");
    CHECK(late.steady == false);
    CHECK(late.defrost_free == false);
    CHECK(complaint(5, 79, "defrost_free: true\n").find("the visit says defrost_free") != std::string::npos);
}
