// Where memory ends, at whichever request, there is an answer or std::bad_alloc, and from C the status that says so;
// nothing is lost or half made, and afterwards all works as before. That nothing leaks is for the run under a sanitizer
// to see.
#include <doctest/doctest.h>

#include <array>
#include <string>
#include <utility>

#include "../files/texts.hpp"
#include "../support/allocations.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/files.hpp"
#include "offnominal/grid/threads.hpp"
#include "offnominal/missing.hpp"
#include "offnominal/offnominal.h"
#include "offnominal/proof.hpp"
#include "offnominal/report.hpp"
#include "offnominal/standard205.hpp"

using namespace offnominal;

namespace {

/// A representation, most of which is missing.
const std::string small =
    R"({"metadata": {"schema": "RS0004", "of_ours": {"longer": ["than", "a string that stands in place"]}},
        "performance": {"performance_capabilities": ["COOLING"], "compressor_speed_control_type": "DISCRETE"}})";

Conditions in_the_page() {
    Conditions c;
    c.stage = "full";
    c.boundary = Boundary::coil;
    c.outdoor_dry_bulb.si = 32.0;
    c.entering_dry_bulb.si = 26.0;
    c.entering_humidity = air::relative_humidity(0.5);
    c.airflow = AirflowReading::standard(Airflow{0.5});
    c.line_set = LineSet::reference();
    return c;
}

/// The work gives the same each time that it gives anything.
template <class Work>
void same_or_none(const char* what, const Work& work) {
    CAPTURE(what);
    const std::string due = work();
    const long failed = test::with_failing_memory([&] { return work() == due; });
    CHECK(failed > 0);
    CHECK(work() == due);
}

/// A call of C that makes a text.
template <class Call>
void text_or_none(const char* what, const Call& call) {
    CAPTURE(what);
    const auto work = [&] {
        char* text = nullptr;
        offnominal_error error{};
        error.struct_size = sizeof error;
        const int status = call(&text, &error);
        if (status != OFFNOMINAL_OK) {
            const bool as_due = status == OFFNOMINAL_NO_MEMORY && text == nullptr && error.message[0] != 0;
            if (!as_due) test::fail_allocation(0);
            REQUIRE(as_due);
            return false;
        }
        const bool whole = text != nullptr && text[0] != 0;
        offnominal_text_free(text);
        return whole;
    };
    REQUIRE(work());
    CHECK(test::with_failing_memory(work) > 0);
    CHECK(work());
}

/// A call of C that makes a handle.
template <class Handle, class Call>
void handle_or_none(const char* what, void (*release)(Handle*), const Call& call) {
    CAPTURE(what);
    const auto work = [&] {
        Handle* made = nullptr;
        const int status = call(&made);
        const bool as_due =
            status == OFFNOMINAL_OK ? made != nullptr : status == OFFNOMINAL_NO_MEMORY && made == nullptr;
        if (!as_due) test::fail_allocation(0);
        REQUIRE(as_due);
        release(made);
        return status == OFFNOMINAL_OK;
    };
    REQUIRE(work());
    CHECK(test::with_failing_memory(work) > 0);
    CHECK(work());
}

}  // namespace

TEST_CASE("systems as bytes are read where they stand") {
    for (const char* of : {"/demo/alder.yaml", "/demo/birch.yaml", "/corpus/juniper.yaml"}) {
        CAPTURE(of);
        const std::string bytes = system_to_bytes(load_system(texts::tables + of));
        const auto read = [](const std::string& from) {
            offnominal_system* system = nullptr;
            (void)test::largest_allocation();
            const int32_t status = offnominal_system_from_bytes(from.data(), from.size(), &system, nullptr);
            const std::size_t largest = test::largest_allocation();
            offnominal_system_free(system);
            return std::pair(status, largest);
        };
        const auto [status, largest] = read(bytes);
        CHECK(status == OFFNOMINAL_OK);
        CHECK(largest < bytes.size());  // pages of their own, one after another: never all that was given
        std::string damaged = bytes;
        damaged.back() ^= 1;
        const auto [refused, words] = read(damaged);
        CHECK(refused == OFFNOMINAL_INPUT);
        CHECK(words < 300);  // all of it was read for its checksum, and nothing was kept but words
    }
}

TEST_CASE("memory that ends, in C++") {
    if (!test::allocation_can_fail()) return;
    const System system = parse_system(texts::page, "page");
    const Visit visit = parse_visit(texts::visit, "visit");
    const Conditions c = in_the_page();
    Conditions wrong = c;
    wrong.stage = "none of its stages, and longer than a string holds in place";
    const std::string bytes = system_to_bytes(system);
    same_or_none("parse_system", [] { return parse_system(texts::page, "page").parts().name; });
    same_or_none("parse_visit", [] { return parse_visit(texts::visit, "visit").name; });
    same_or_none("write_system", [&] { return write_system(system); });
    same_or_none("write_visit", [&] { return write_visit(visit); });
    same_or_none("system_to_bytes", [&] { return system_to_bytes(system); });
    same_or_none("system_from_bytes", [&] {
        return system_from_bytes({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()}).parts().name;
    });
    same_or_none("report of an expectation",
                 [&] { return report(system, expect(system, Site::sea_level(), c), UnitSystem::SI); });
    same_or_none("refusal", [&] {
        try {
            (void)expect(system, Site::sea_level(), wrong);
        } catch (const Refused& refused) {
            return std::string(refused.what());
        }
        return std::string();
    });
    same_or_none("prove", [&] { return report(system, visit, prove(system, visit), UnitSystem::IP); });
    const auto representation = standard205::parse_representation(small, "small");
    for (const auto format : {standard205::Format::json, standard205::Format::cbor}) {
        const std::string text = standard205::write_representation(representation, format);
        same_or_none("write_representation", [&] { return standard205::write_representation(representation, format); });
        same_or_none("parse_representation", [&] { return standard205::parse_representation(text, "again").frame; });
    }
}

TEST_CASE("memory that ends, in a batch on threads: those that cannot start leave their rows to the others") {
    if (!test::allocation_can_fail()) return;
    std::array<int, 100> done{};
    const auto work = [&](std::size_t, std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) ++done[i];
    };
    for (long n = 1; n < 12; ++n) {
        done = {};
        test::fail_allocation(n);
        offnominal::detail::run_on_threads(done.size(), 4, 8, offnominal::detail::RangeTask(work));
        test::fail_allocation(0);
        CAPTURE(n);
        for (const int times : done) CHECK(times == 1);
    }
}

TEST_CASE("memory that ends, in C") {
    if (!test::allocation_can_fail()) return;
    const std::string bytes = system_to_bytes(parse_system(texts::page, "page"));
    handle_or_none<offnominal_system>("offnominal_system_parse", offnominal_system_free, [](auto** out) {
        return offnominal_system_parse(texts::page.data(), texts::page.size(), nullptr, nullptr, out, nullptr);
    });
    handle_or_none<offnominal_system>("offnominal_system_from_bytes", offnominal_system_free, [&](auto** out) {
        return offnominal_system_from_bytes(bytes.data(), bytes.size(), out, nullptr);
    });
    handle_or_none<offnominal_visit>("offnominal_visit_parse", offnominal_visit_free, [](auto** out) {
        return offnominal_visit_parse(texts::visit.data(), texts::visit.size(), nullptr, out, nullptr);
    });

    offnominal_system* system = nullptr;
    offnominal_visit* visit = nullptr;
    offnominal_proof* proof = nullptr;
    REQUIRE(offnominal_system_from_bytes(bytes.data(), bytes.size(), &system, nullptr) == OFFNOMINAL_OK);
    const std::string dated = texts::with(texts::visit, "name: kitchen\n", "name: kitchen\ndate: 2026-07-14\n");
    REQUIRE(offnominal_visit_parse(dated.data(), dated.size(), nullptr, &visit, nullptr) == OFFNOMINAL_OK);
    handle_or_none<offnominal_proof>("offnominal_prove", offnominal_proof_free,
                                     [&](auto** out) { return offnominal_prove(system, visit, out, nullptr); });
    REQUIRE(offnominal_prove(system, visit, &proof, nullptr) == OFFNOMINAL_OK);

    offnominal_conditions question;
    offnominal_conditions_init(&question, sizeof question);
    question.boundary = OFFNOMINAL_BOUNDARY_COIL;
    question.stage = "full";
    question.line_set = OFFNOMINAL_LINE_SET_REFERENCE;
    question.outdoor_dry_bulb = 90;
    question.entering_dry_bulb = 78;
    question.entering_wet_bulb = 65;
    question.airflow = 1100;
    question.airflow_is = OFFNOMINAL_AIRFLOW_STANDARD;
    question.elevation = 0;
    offnominal_readings readings;
    offnominal_readings_init(&readings, sizeof readings);
    readings.return_dry_bulb = 76;
    readings.return_relative_humidity = 0.55;
    readings.supply_dry_bulb = 57.2;
    readings.supply_relative_humidity = 0.92;
    readings.airflow = 1120;
    readings.airflow_is = OFFNOMINAL_AIRFLOW_STANDARD;
    readings.elevation = 0;
    offnominal_design design;
    offnominal_design_init(&design, sizeof design);
    design.total_load = 30000;
    design.sensible_load = 22000;
    design.outdoor_dry_bulb = 90;
    design.entering_dry_bulb = 78;
    design.entering_wet_bulb = 65;
    design.elevation = 0;

    constexpr std::int32_t ip = OFFNOMINAL_UNITS_IP;
    text_or_none("coverage", [&](auto... out) { return offnominal_coverage(system, ip, out...); });
    text_or_none("expect_json", [&](auto... out) { return offnominal_expect_json(system, ip, &question, out...); });
    text_or_none("expect_report", [&](auto... out) { return offnominal_expect_report(system, ip, &question, out...); });
    text_or_none("deliver_json", [&](auto... out) { return offnominal_deliver_json(ip, &readings, out...); });
    text_or_none("proof_json", [&](auto... out) { return offnominal_proof_json(proof, ip, out...); });
    text_or_none("proof_report", [&](auto... out) { return offnominal_proof_report(proof, ip, out...); });
    text_or_none("proof_causes", [&](auto... out) { return offnominal_proof_causes(proof, ip, out...); });
    const offnominal_proof* const twice[] = {proof, proof};
    text_or_none("seasons", [&](auto... out) { return offnominal_seasons(twice, 2, out...); });
    text_or_none("revised",
                 [&](auto... out) { return offnominal_revised(system, system, ip, visit, nullptr, 2, out...); });
    const offnominal_system* const one = system;
    text_or_none("choose", [&](auto... out) { return offnominal_choose(&one, 1, ip, &design, out...); });
    text_or_none("card", [&](auto... out) {
        return offnominal_card(system, ip, &question, nullptr, 0, nullptr, 0, nullptr, out...);
    });
    text_or_none("audit", [&](auto... out) { return offnominal_audit(system, out...); });
    question.stage = nullptr;
    text_or_none("missing", [&](auto... out) { return offnominal_missing(system, ip, &question, out...); });

    // A refusal is one without memory for its words too.
    offnominal_expected answer{};
    answer.struct_size = sizeof answer;
    offnominal_error error{};
    error.struct_size = sizeof error;
    const long failed = test::with_failing_memory([&] {
        const int status = offnominal_expect(system, ip, &question, &answer, &error);
        const bool as_due = status == OFFNOMINAL_REFUSED || status == OFFNOMINAL_NO_MEMORY;
        if (!as_due) test::fail_allocation(0);
        REQUIRE(as_due);
        return status == OFFNOMINAL_REFUSED;
    });
    CHECK(failed > 0);

    offnominal_proof_free(proof);
    offnominal_visit_free(visit);
    offnominal_system_free(system);
}
