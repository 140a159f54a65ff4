/// @file
/// What a fuzzer feeds: each takes any bytes. Nothing but an InputError or a reason may come of them, what is answered
/// is finite, and what is written reads back.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>
#include <string_view>

#include "offnominal/collate.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/report.hpp"
#include "offnominal/standard205.hpp"

namespace fuzz {

using namespace offnominal;

inline void must(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "fuzz: not so: %s\n", what);
    std::abort();
}

inline void finite(double value) { must(std::isfinite(value), "an answer is finite"); }

/// The demo's machine, which any question is asked of.
inline const System& machine() {
    static const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return system;
}

inline void ask(const System& system, const Site& site, const Conditions& conditions) {
    const auto expected = try_expect(system, site, conditions);
    if (!expected) {
        must(!explain(expected.reason(), system, conditions, UnitSystem::SI).empty(), "a reason has words");
        return;
    }
    finite(expected->total_capacity.si);
    finite(expected->uncertainty.combined());
}

/// Conditions and a site made of raw doubles, the first byte their choices.
inline void question(std::string_view bytes) {
    std::array<double, 16> x{};
    const std::size_t choice = bytes.empty() ? 0 : static_cast<unsigned char>(bytes[0]);
    bytes.remove_prefix(std::min<std::size_t>(bytes.size(), 1));
    std::memcpy(x.data(), bytes.data(), std::min(bytes.size(), sizeof x));
    Conditions c;
    c.mode = (choice & 1) != 0 ? Mode::heating : Mode::cooling;
    const auto& stages = machine().parts();
    c.stage = (choice & 2) != 0 || c.mode == Mode::cooling ? stages.cooling[(choice >> 1) % stages.cooling.size()].name
                                                           : "high";
    c.match = (choice & 4) != 0 ? "indoor A" : "indoor B";
    c.outdoor_dry_bulb.si = x[0];
    c.entering_dry_bulb.si = x[1];
    const auto kind = static_cast<air::Humidity::Kind>((choice >> 3) % 4);
    c.entering_humidity.kind = kind;
    c.entering_humidity.value = x[2];
    c.airflow = (choice & 32) != 0 ? AirflowReading::standard(Airflow{x[3]})
                                   : AirflowReading::actual(Airflow{x[3]}, air::Place::return_air);
    c.line_set = (choice & 64) != 0 ? LineSet::reference() : LineSet::of(Length{x[4]}, Length{x[5]});
    c.boundary = (choice & 128) != 0 ? Boundary::coil : Boundary::coil_and_fan;
    c.fan_power.si = x[6];
    const Site site = x[8] > 0.0 ? Site::at_pressure(Pressure{x[8]}) : Site::at_elevation(Length{x[7]});
    for (const Outside outside : {Outside::refuse, Outside::hold, Outside::extend}) {
        c.outside = outside;
        ask(machine(), site, c);
    }
    Readings r;
    r.mode = c.mode;
    r.return_dry_bulb.si = x[1];
    r.return_humidity = c.entering_humidity;
    r.supply_dry_bulb.si = x[9];
    r.supply_humidity = {kind, x[10]};
    r.airflow = c.airflow;
    r.fan_power.si = x[6];
    r.auxiliary_heat.si = x[11];
    if (const auto delivered = try_deliver(r, site)) {
        finite(delivered->total_capacity.si);
        finite(delivered->mass_flow.si);
    }
}

/// File to system to file: `write_system` reads back what it wrote, and throws where a number moved.
inline void system(std::string_view bytes) {
    const System read = parse_system(bytes, "fuzz", "");
    for (const Stage& stage : read.parts().cooling) {
        const PrintedPage& page = stage.table.page();
        const auto middle = [](const std::vector<double>& axis) { return 0.5 * (axis.front() + axis.back()); };
        Conditions c;
        c.stage = stage.name;
        c.outdoor_dry_bulb.si = middle(page.outdoor_dry_bulb);
        c.airflow = AirflowReading::standard(Airflow{middle(page.airflow)});
        c.entering_dry_bulb.si = 26.0;
        c.entering_humidity = air::relative_humidity(0.5);
        c.line_set = LineSet::reference();
        c.boundary = Boundary::coil;
        ask(read, Site::sea_level(), c);
    }
    try {
        (void)write_system(read);
    } catch (const InputError& error) {  // what no file can say
        must(!error.problem().empty(), "an error says what is wrong");
    }
}

inline void visit(std::string_view bytes) {
    const Visit read = parse_visit(bytes, "fuzz", "");
    try {
        const Proof proof = prove(machine(), read);
        if (proof.ratio) finite(*proof.ratio);
        must(!report(machine(), read, proof, UnitSystem::IP).empty(), "a proof has a report");
    } catch (const Refused&) {
    } catch (const InputError&) {
    }
    const std::string text = write_visit(read);
    must(write_visit(parse_visit(text, "again", "")) == text, "a visit that is written reads back");
}

inline void log(std::string_view bytes) {
    LogFormat format;
    format.flaws = LogFormat::Flaws::leave_out;
    const Log read = parse_log(bytes, "fuzz", format);
    for (std::size_t i = 0; i < read.times.size(); ++i) finite(read.times[i]);
    for (const Series& series : read.series) {
        must(series.values.size() == read.times.size(), "a column has a value for each row");
        for (const double value : series.values) must(!std::isinf(value), "a reading is finite or missing");
    }
}

inline void representation(std::string_view bytes) {
    const auto read = standard205::parse_representation(bytes, "fuzz");
    for (const auto format : {standard205::Format::json, standard205::Format::cbor}) {
        const std::string text = standard205::write_representation(read, format);
        must(standard205::write_representation(standard205::parse_representation(text, "again"), format) == text,
             "a representation that is written reads back");
    }
    (void)standard205::to_system(read);
}

struct Target {
    const char* name;
    void (*run)(std::string_view bytes);
};
inline constexpr Target targets[] = {{"system", &system},
                                     {"visit", &visit},
                                     {"log", &log},
                                     {"representation", &representation},
                                     {"question", &question}};

/// Runs one; an InputError or a refusal is an answer.
inline void feed(const Target& target, std::string_view bytes) {
    try {
        target.run(bytes);
    } catch (const InputError& error) {
        must(std::string_view(error.what()).size() < 2000, "an error is short");
    } catch (const Refused&) {
    }
}

}  // namespace fuzz
