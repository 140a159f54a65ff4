// The C interface, from C++: the same bits as the library itself, nothing thrown, nothing allocated where it says so.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstring>
#include <fstream>
#include <iterator>
#include <limits>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "../../src/web/description.hpp"
#include "../support/allocations.hpp"
#include "../support/near.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/files.hpp"
#include "offnominal/offnominal.h"
#include "offnominal/proof.hpp"

using namespace offnominal;

namespace {

const std::string demo = OFFNOMINAL_TABLES_DIR "/demo/";
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

template <class Handle, void (*release)(Handle*)>
struct Freed {
    void operator()(Handle* handle) const { release(handle); }
};
using HeldSystem = std::unique_ptr<offnominal_system, Freed<offnominal_system, offnominal_system_free>>;
using HeldVisit = std::unique_ptr<offnominal_visit, Freed<offnominal_visit, offnominal_visit_free>>;
using HeldProof = std::unique_ptr<offnominal_proof, Freed<offnominal_proof, offnominal_proof_free>>;

struct Failure : offnominal_error {
    Failure() : offnominal_error{} { struct_size = sizeof(offnominal_error); }
};
template <class S>
S sized() {
    S out{};
    out.struct_size = sizeof out;
    return out;
}

HeldSystem alder() {
    offnominal_system* out = nullptr;
    Failure error;
    REQUIRE_MESSAGE(offnominal_system_load((demo + "alder.yaml").c_str(), &out, &error) == OFFNOMINAL_OK,
                    error.message);
    return HeldSystem(out);
}

offnominal_conditions question() {
    offnominal_conditions c;
    offnominal_conditions_init(&c, sizeof c);
    c.boundary = OFFNOMINAL_BOUNDARY_COIL_FAN;
    c.stage = "high";
    c.match = "indoor A";
    c.line_set = OFFNOMINAL_LINE_SET_REFERENCE;
    c.outdoor_dry_bulb = 91;
    c.entering_dry_bulb = 76;
    c.entering_wet_bulb = 65;
    c.airflow = 1100;
    c.airflow_is = OFFNOMINAL_AIRFLOW_STANDARD;
    c.elevation = 0;
    c.fan_power = 420;
    return c;
}
offnominal_readings readings() {
    offnominal_readings r;
    offnominal_readings_init(&r, sizeof r);
    r.return_dry_bulb = 76;
    r.return_relative_humidity = 0.55;
    r.supply_dry_bulb = 57.2;
    r.supply_relative_humidity = 0.92;
    r.airflow = 1120;
    r.airflow_is = OFFNOMINAL_AIRFLOW_ACTUAL;
    r.airflow_at = OFFNOMINAL_PLACE_RETURN;
    r.elevation = 0;
    return r;
}

/// The same question, as C++ asks it.
Conditions conditions() {
    Conditions c;
    c.boundary = Boundary::coil_and_fan;
    c.stage = "high";
    c.match = "indoor A";
    c.line_set = LineSet::reference();
    c.outdoor_dry_bulb.si = units::degF.to_si(91);
    c.entering_dry_bulb.si = units::degF.to_si(76);
    c.entering_humidity = air::wet_bulb(Temperature{units::degF.to_si(65)});
    c.airflow = AirflowReading::standard(Airflow{units::cfm.to_si(1100)});
    c.fan_power.si = 420;
    return c;
}

}  // namespace

TEST_CASE("the header, and what the package for browsers has of it, are made from the one description") {
    const auto check = [](const std::string& file, const std::string& made) {
        std::ifstream in(OFFNOMINAL_INCLUDE_DIR "/" + file);
        const std::string committed{std::istreambuf_iterator<char>(in), {}};
        CHECK_MESSAGE(committed == made, file << " is an older one; DEVELOPERS.md says how to make it");
    };
    check("offnominal/quantities.h", c::header_text());
    check("../src/web/package/quantities.js", web::script_text());
    check("../src/web/package/quantities.d.ts", web::types_text());
}

TEST_CASE("one question has the bits of the library itself") {
    const HeldSystem system = alder();
    const System itself = load_system(demo + "alder.yaml");
    const Expected expected = expect(itself, Site::sea_level(), conditions());
    const offnominal_conditions c = question();
    for (const int units : {OFFNOMINAL_UNITS_SI, OFFNOMINAL_UNITS_IP}) {
        offnominal_conditions asked = c;
        if (units == OFFNOMINAL_UNITS_SI) {
            asked.outdoor_dry_bulb = units::degF.to_si(91);
            asked.entering_dry_bulb = units::degF.to_si(76);
            asked.entering_wet_bulb = units::degF.to_si(65);
            asked.airflow = units::cfm.to_si(1100);
        }
        auto answer = sized<offnominal_expected>();
        Failure error;
        REQUIRE_MESSAGE(offnominal_expect(system.get(), units, &asked, &answer, &error) == OFFNOMINAL_OK,
                        error.message);
        const UnitSystem u = units == OFFNOMINAL_UNITS_IP ? UnitSystem::IP : UnitSystem::SI;
        const double* number = &answer.total_capacity;
        for (const auto& line : told_of<ExpectedValues>) {
            INFO(line.name);
            const double value =
                applies(line.modes, Mode::cooling) ? unit_of(line.kind, u).from_si(line.of(expected)) : not_a_number;
            CHECK((*number == value || (std::isnan(*number) && std::isnan(value))));
            ++number;
        }
        CHECK(answer.uncertainty_tolerance == unit_of(Kind::capacity, u).from_si(expected.uncertainty.tolerance));
        CHECK(answer.boundary == OFFNOMINAL_BOUNDARY_COIL_FAN);
        CHECK(answer.power_basis == OFFNOMINAL_POWER_BASIS_OUTDOOR_UNIT);
        CHECK(answer.reason.why == OFFNOMINAL_WHY_NONE);
        CHECK(std::memcmp(answer.notes, &expected.notes, sizeof answer.notes) == 0);
    }
    std::array<offnominal_ledger_step, 30> steps;
    std::size_t count = 0;
    REQUIRE(offnominal_ledger(system.get(), OFFNOMINAL_UNITS_SI, &c, nullptr, 0, &count, nullptr) ==
            OFFNOMINAL_REFUSED);
    REQUIRE(offnominal_ledger(system.get(), OFFNOMINAL_UNITS_IP, &c, steps.data(), 2, &count, nullptr) ==
            OFFNOMINAL_OK);
    CHECK(count == expected.ledger.size());
    CHECK(steps[1].of == OFFNOMINAL_STEP_OF_SENSIBLE);
    CHECK(steps[1].after == units::Btu_h.from_si(expected.ledger[1].after));
}

TEST_CASE("a question backwards gives places that the question itself confirms, the nearest, or a reason") {
    const HeldSystem system = alder();
    offnominal_conditions asked = question();
    const auto total_at = [&](double outdoor) {
        offnominal_conditions c = asked;
        c.outdoor_dry_bulb = outdoor;
        auto answer = sized<offnominal_expected>();
        REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &answer, nullptr) == OFFNOMINAL_OK);
        return answer.total_capacity;
    };
    const double wanted = total_at(97.25);
    auto solution = sized<offnominal_solution>();
    double place = 0.0;
    Failure error;
    const auto solve = [&](const char* vary, double low, double high, const char* of, double equals) {
        return offnominal_solve(system.get(), OFFNOMINAL_UNITS_IP, &asked, vary, low, high, of, nullptr, equals, &place,
                                1, &solution, &error);
    };
    REQUIRE(solve("outdoor_dry_bulb", 75, 115, "total_capacity", wanted) == OFFNOMINAL_OK);
    CHECK(solution.count == 1);
    CHECK(near(place, 97.25, relative(1e-10)));
    CHECK(solution.best == place);
    CHECK(near(solution.off, 0.0, absolute(1e-9 * wanted)));
    REQUIRE(solve("outdoor_dry_bulb", 75, 115, "total_capacity", 2 * wanted) == OFFNOMINAL_OK);
    CHECK(solution.count == 0);
    CHECK(solution.reached == total_at(75));
    CHECK(solution.off == solution.reached - 2 * wanted);
    CHECK(solve("outdoor_dry_bulb", 120, 140, "total_capacity", wanted) == OFFNOMINAL_REFUSED);
    CHECK(error.reason.about == OFFNOMINAL_ABOUT_OUTDOOR_DRY_BULB);
    CHECK(solve("outdoor_dry_bulb", 115, 75, "total_capacity", wanted) == OFFNOMINAL_INPUT);
    CHECK(solve("outdoor", 75, 115, "total_capacity", wanted) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(std::string(error.message).starts_with("vary: 'outdoor'; accepted: outdoor_dry_bulb, entering_dry_bulb, "));
    CHECK(std::string(error.text) == "outdoor");
    CHECK(solve(nullptr, 75, 115, "total_capacity", wanted) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(solve("outdoor_dry_bulb", 75, 115, "capacity", wanted) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(std::string(error.message).starts_with("of: 'capacity'; accepted: total_capacity, "));
    CHECK(solve("outdoor_dry_bulb", 75, 115, "cop", 3.0) == OFFNOMINAL_BAD_ARGUMENT);  // a number of heating
    for (const std::int32_t no_mode : {-1, 2, 40, 300}) {
        asked.mode = no_mode;
        CHECK(solve("outdoor_dry_bulb", 75, 115, "total_capacity", wanted) == OFFNOMINAL_REFUSED);
        CHECK(error.reason.about == OFFNOMINAL_ABOUT_MODE);
    }
    asked.mode = OFFNOMINAL_MODE_COOLING;
    asked.entering_wet_bulb = std::nan("");  // varied, it need not be given
    CHECK(solve("entering_wet_bulb", 60, 70, "total_capacity", wanted) == OFFNOMINAL_OK);
}

TEST_CASE("questions backwards have the bits of one by one, each its places and then NaN") {
    const HeldSystem system = alder();
    constexpr std::size_t rows = 150, room = 2;
    std::vector<double> entering(rows), airflow(rows), equals(rows), places(rows * room), best(rows), off(rows);
    std::vector<offnominal_reason> reasons(rows);
    std::vector<std::size_t> counts(rows);
    for (std::size_t i = 0; i < rows; ++i) {
        entering[i] = 55.0 + 0.15 * static_cast<double>(i);
        airflow[i] = 700.0 + 5.0 * static_cast<double>(i);
        equals[i] = 20000.0 + 150.0 * static_cast<double>(i) + (i % 3 == 0 ? 40000.0 : 0.0);
    }
    auto in = sized<offnominal_condition_columns>();
    in.entering_wet_bulb = entering.data();
    in.airflow = airflow.data();
    auto out = sized<offnominal_solution_columns>();
    out.reasons = reasons.data();
    out.counts = counts.data();
    out.best = best.data();
    out.off = off.data();
    offnominal_conditions c = question();
    Failure error;
    const auto solve = [&] {
        return offnominal_solve_batch(system.get(), OFFNOMINAL_UNITS_IP, &c, &in, rows, "outdoor_dry_bulb", 75, 115,
                                      "total_capacity", nullptr, equals.data(), places.data(), room, &out, &error);
    };
    REQUIRE_MESSAGE(solve() == OFFNOMINAL_OK, error.message);
    std::array<int, 3> seen{};  // refused, without a place, with one
    for (std::size_t i = 0; i < rows; ++i) {
        INFO(i);
        c.entering_wet_bulb = entering[i];
        c.airflow = airflow[i];
        auto one = sized<offnominal_solution>();
        double place = not_a_number;
        const int status = offnominal_solve(system.get(), OFFNOMINAL_UNITS_IP, &c, "outdoor_dry_bulb", 75, 115,
                                            "total_capacity", nullptr, equals[i], &place, 1, &one, &error);
        CHECK((status == OFFNOMINAL_OK) == (reasons[i].why == OFFNOMINAL_WHY_NONE));
        if (status == OFFNOMINAL_REFUSED) CHECK(std::memcmp(&error.reason, &reasons[i], sizeof reasons[i]) == 0);
        CHECK(one.count == counts[i]);
        CHECK(std::memcmp(&one.best, &best[i], sizeof one.best) == 0);
        CHECK(std::memcmp(&one.off, &off[i], sizeof one.off) == 0);
        CHECK(std::memcmp(&place, &places[room * i], sizeof place) == 0);
        CHECK(std::isnan(places[room * i + 1]));
        ++seen[status == OFFNOMINAL_REFUSED ? 0 : one.count == 0 ? 1 : 2];
    }
    INFO(seen[0], " refused, ", seen[1], " without a place, ", seen[2], " with one");
    CHECK(std::min({seen[0], seen[1], seen[2]}) > 5);
    out.reasons = nullptr;
    CHECK(solve() == OFFNOMINAL_BAD_ARGUMENT);
}

TEST_CASE("a batch has the bits of one by one, and every row a number or a reason") {
    const HeldSystem system = alder();
    constexpr std::size_t rows = 500;
    std::vector<double> outdoor(rows), airflow(rows), total(rows), leaving(rows), cop(rows, 0.0);
    std::vector<offnominal_reason> reasons(rows);
    std::vector<std::uint64_t> notes(2 * rows);
    std::vector<std::uint8_t> footing(rows);
    for (std::size_t i = 0; i < rows; ++i) {
        outdoor[i] = 70.0 + 0.1 * static_cast<double>(i);
        airflow[i] = 780.0 + static_cast<double>(i);
    }
    auto in = sized<offnominal_condition_columns>();
    in.outdoor_dry_bulb = outdoor.data();
    in.airflow = airflow.data();
    auto out = sized<offnominal_expected_columns>();
    out.reasons = reasons.data();
    out.notes = notes.data();
    out.footing = footing.data();
    out.total_capacity = total.data();
    out.leaving_wet_bulb = leaving.data();
    out.cop = cop.data();
    offnominal_conditions c = question();
    Failure error;
    REQUIRE_MESSAGE(
        offnominal_expect_batch(system.get(), OFFNOMINAL_UNITS_IP, &c, &in, rows, &out, &error) == OFFNOMINAL_OK,
        error.message);
    std::size_t refused = 0;
    for (std::size_t i = 0; i < rows; ++i) {
        INFO(i);
        c.outdoor_dry_bulb = outdoor[i];
        c.airflow = airflow[i];
        auto one = sized<offnominal_expected>();
        const int status = offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &one, nullptr);
        CHECK(status == (reasons[i].why == OFFNOMINAL_WHY_NONE ? OFFNOMINAL_OK : OFFNOMINAL_REFUSED));
        CHECK(std::memcmp(&one.reason, &reasons[i], sizeof one.reason) == 0);
        CHECK(std::isnan(total[i]) == (status == OFFNOMINAL_REFUSED));
        CHECK(std::isnan(cop[i]));  // a number of heating
        refused += status == OFFNOMINAL_REFUSED ? 1 : 0;
        if (status != OFFNOMINAL_OK) continue;
        CHECK(std::memcmp(&one.total_capacity, &total[i], sizeof total[i]) == 0);
        CHECK(std::memcmp(&one.leaving_wet_bulb, &leaving[i], sizeof leaving[i]) == 0);
        CHECK(std::memcmp(one.notes, &notes[2 * i], sizeof one.notes) == 0);
        CHECK(one.footing == footing[i]);
    }
    CHECK(refused > 50);
    CHECK(refused < rows - 50);
    out.reasons = nullptr;
    CHECK(offnominal_expect_batch(system.get(), OFFNOMINAL_UNITS_IP, &c, &in, rows, &out, &error) ==
          OFFNOMINAL_BAD_ARGUMENT);
    CHECK(std::string(error.message) == "expected: no column of reasons");
}

TEST_CASE("fittings of a line are counted, or said to be uncounted, and what is no count is refused") {
    const HeldSystem system = alder();
    const System itself = load_system(demo + "alder.yaml");
    Conditions own = conditions();
    offnominal_conditions c = question();
    c.line_set = OFFNOMINAL_LINE_SET_GIVEN;
    c.length = 46;
    c.suction = 0.875;
    c.lift = 0;
    const LineSet tubing =
        LineSet::of(Length{units::ft.to_si(46)}, Length{units::in.to_si(0.875)}, Length{units::ft.to_si(0)});
    Fittings some;
    some[Fitting::elbow] = 4;
    auto answer = sized<offnominal_expected>();
    for (const int are : {0, 1, 2}) {
        c.fittings_are = are;
        c.fittings[OFFNOMINAL_FITTING_ELBOW] = 4;
        own.line_set = are == 0 ? tubing : tubing.with(are == 1 ? some : Fittings::uncounted());
        const double due = expect(itself, Site::sea_level(), own).total_capacity.si;
        REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &answer, nullptr) == OFFNOMINAL_OK);
        CHECK(answer.total_capacity == units::Btu_h.from_si(due));
    }
    for (const auto& [are, count] : {std::pair{3, 4}, std::pair{1, -1}, std::pair{1, 1001}}) {
        c.fittings_are = are;
        c.fittings[OFFNOMINAL_FITTING_ELBOW] = count;
        CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &answer, nullptr) == OFFNOMINAL_REFUSED);
        CHECK(answer.reason.about == OFFNOMINAL_ABOUT_LINE_SET);
    }
}

TEST_CASE("a refusal has its fields and its words") {
    const HeldSystem system = alder();
    offnominal_conditions c = question();
    auto answer = sized<offnominal_expected>();
    Failure error;
    const auto refusal = [&] {
        CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &answer, &error) == OFFNOMINAL_REFUSED);
        CHECK(error.status == OFFNOMINAL_REFUSED);
        CHECK(std::memcmp(&error.reason, &answer.reason, sizeof error.reason) == 0);
        CHECK(std::isnan(answer.total_capacity));
        CHECK(std::isnan(answer.uncertainty_match));
        return std::string(error.message);
    };
    c.outdoor_dry_bulb = 120;
    CHECK(refusal() == "outdoor dry bulb 120 degF is outside 75 degF to 115 degF");
    CHECK(answer.reason.why == OFFNOMINAL_WHY_OUTSIDE);
    CHECK(answer.reason.about == OFFNOMINAL_ABOUT_OUTDOOR_DRY_BULB);
    CHECK(near(answer.reason.value, 120.0, relative(1e-14)));
    CHECK(answer.reason.upper == 115);
    char* text = nullptr;
    REQUIRE(offnominal_reason_text(OFFNOMINAL_UNITS_IP, &answer.reason, &text, nullptr) == OFFNOMINAL_OK);
    CHECK(text == std::string(error.message));
    offnominal_text_free(text);

    c = question();
    c.elevation = not_a_number;
    CHECK(refusal() == "elevation is not given, and there is no default");
    c = question();
    c.entering_relative_humidity = 0.5;
    CHECK(refusal() == "entering wet bulb: two inputs say different things");
    c = question();
    c.airflow_is = OFFNOMINAL_AIRFLOW_ACTUAL;  // where?
    CHECK(refusal() == "airflow is not given, and there is no default: standard, or actual at return, supply or fan");
    c = question();
    c.stage = nullptr;
    CHECK(refusal() == "stage is not given, and there is no default; it has high, low");
    c = question();
    c.boundary = 256 + OFFNOMINAL_BOUNDARY_COIL;  // is not taken for what its last byte says
    CHECK(refusal() == "boundary: number 255 is none of its choices: coil (gross), or coil+fan (net)");
    c = question();
    c.line_set = -1;
    CHECK(refusal() == "line set: number 255 is none of its choices");
}

TEST_CASE("a caller's mistake is told, and does no harm") {
    const HeldSystem system = alder();
    const offnominal_conditions c = question();
    auto answer = sized<offnominal_expected>();
    Failure error;
    const auto mistake = [&](int status) {
        CHECK(status == OFFNOMINAL_BAD_ARGUMENT);
        CHECK(error.status == OFFNOMINAL_BAD_ARGUMENT);
        return std::string(error.message);
    };
    CHECK(mistake(offnominal_expect(nullptr, 0, &c, &answer, &error)) == "system: a null pointer");
    CHECK(mistake(offnominal_expect(system.get(), 2, &c, &answer, &error)) ==
          "units: neither OFFNOMINAL_UNITS_IP nor OFFNOMINAL_UNITS_SI");
    CHECK(mistake(offnominal_expect(system.get(), 0, nullptr, &answer, &error)) ==
          "conditions: a null pointer, or of another size");
    CHECK(mistake(offnominal_expect(system.get(), 0, &c, nullptr, &error)) ==
          "expected: a null pointer, or of another size");
    offnominal_conditions halved = c;
    halved.struct_size = offsetof(offnominal_conditions, match) + 4;  // it ends inside a pointer
    CHECK(mistake(offnominal_expect(system.get(), 0, &halved, &answer, &error)) ==
          "conditions: a null pointer, or of another size");
    answer.struct_size = sizeof answer + 8;
    CHECK(mistake(offnominal_expect(system.get(), 0, &c, &answer, &error)) ==
          "expected: a null pointer, or of another size");
    CHECK(mistake(offnominal_system_load(nullptr, nullptr, &error)) == "no place for the handle: a null pointer");
    offnominal_system* none = reinterpret_cast<offnominal_system*>(&answer);
    CHECK(mistake(offnominal_system_load(nullptr, &none, &error)) == "path: a null pointer");
    CHECK(none == nullptr);
    CHECK(mistake(offnominal_prove(system.get(), nullptr, nullptr, &error)) ==
          "no place for the handle: a null pointer");
    offnominal_system_free(nullptr);
    offnominal_visit_free(nullptr);
    offnominal_proof_free(nullptr);
    offnominal_text_free(nullptr);
    CHECK(offnominal_stage_count(nullptr, OFFNOMINAL_MODE_COOLING) == 0);
    CHECK(offnominal_word(-1, 0) == nullptr);
    CHECK(offnominal_word(OFFNOMINAL_ENUMERATION_WHY, 1000) == nullptr);
}

TEST_CASE("a caller with an older header gives and gets what it knows") {
    const HeldSystem system = alder();
    offnominal_conditions c = question();
    auto whole = sized<offnominal_expected>();
    REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &whole, nullptr) == OFFNOMINAL_OK);
    c.struct_size = offsetof(offnominal_conditions, auxiliary_heat);
    c.auxiliary_heat = -1.0;  // beyond what it says it has: not read
    auto part = sized<offnominal_expected>();
    part.struct_size = offsetof(offnominal_expected, uncertainty_tolerance);
    part.uncertainty_tolerance = -7.0;  // likewise: not written
    REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &part, nullptr) == OFFNOMINAL_OK);
    CHECK(part.total_capacity == whole.total_capacity);
    CHECK(part.uncertainty_tolerance == -7.0);
    CHECK(part.struct_size == offsetof(offnominal_expected, uncertainty_tolerance));
}

TEST_CASE("a design by an older header has the reference line and the credit, whatever stands behind it") {
    const HeldSystem system = alder();
    const offnominal_system* const one = system.get();
    const auto chosen = [&](const offnominal_design& design) {
        char* text = nullptr;
        Failure error;
        const int status = offnominal_choose(&one, 1, OFFNOMINAL_UNITS_IP, &design, &text, &error);
        const std::string out = status == OFFNOMINAL_OK ? text : std::to_string(status) + " " + error.message;
        offnominal_text_free(text);
        return out;
    };
    offnominal_design design;
    offnominal_design_init(&design, sizeof design);
    CHECK(std::isnan(design.liquid));
    CHECK(design.line_set == OFFNOMINAL_LINE_SET_REFERENCE);
    CHECK(design.spare_latent == 1);
    design.total_load = 30000;
    design.sensible_load = 23000;
    design.outdoor_dry_bulb = 95;
    design.entering_dry_bulb = 77;
    design.entering_wet_bulb = 65;
    design.elevation = 0;
    const std::string rated = chosen(design);
    REQUIRE(rated.find('[') == 0);
    design.line_set = OFFNOMINAL_LINE_SET_GIVEN;
    design.length = 75;
    design.suction = 0.75;
    design.lift = 0;
    design.spare_latent = 0;
    CHECK(chosen(design) != rated);
    design.struct_size = offsetof(offnominal_design, length);
    CHECK(chosen(design) == rated);
    // And it is filled no further.
    offnominal_design_init(&design, offsetof(offnominal_design, length));
    CHECK(design.length == 75);
    CHECK(design.line_set == OFFNOMINAL_LINE_SET_GIVEN);
    design.struct_size = sizeof design;
    for (const std::int32_t none : {static_cast<std::int32_t>(OFFNOMINAL_LINE_SET_NOT_GIVEN), -1, 4}) {
        design.line_set = none;
        CHECK(chosen(design).find("4 design: line_set: none of ") == 0);
    }
    design.line_set = OFFNOMINAL_LINE_SET_REFERENCE;
    // What came later: a measure of humidity, and airflows.
    offnominal_design_init(&design, sizeof design);
    CHECK(std::isnan(design.entering_humidity_ratio));
    CHECK(design.airflow_count == 0);
    design.total_load = 30000;
    design.sensible_load = 23000;
    design.outdoor_dry_bulb = 95;
    design.entering_dry_bulb = 77;
    design.entering_wet_bulb = 65;
    design.elevation = 0;
    design.entering_humidity_ratio = 0.0105;
    CHECK(chosen(design).find("4 design: more than one measure of humidity") == 0);
    const double flows[] = {900.0, 0.0};
    design.airflows = flows;
    design.airflow_count = 2;
    design.struct_size = offsetof(offnominal_design, entering_humidity_ratio);
    CHECK(chosen(design) == rated);
    design.struct_size = sizeof design;
    design.entering_humidity_ratio = std::nan("");
    CHECK(chosen(design).find("2 airflow: '0 scfm'") == 0);
    design.airflow_count = 1;
    CHECK(chosen(design).size() < rated.size());
    design.airflow_count = 0;
    CHECK(chosen(design) == rated);
    design.airflow_count = 1;
    design.airflows = nullptr;
    CHECK(chosen(design).find("4 design: airflows: a null pointer") == 0);
    design.airflow_count = 0;
    design.limits = "{\"source\": \"ours\", \"total\": [2, 1]}";
    CHECK(chosen(design).find("2 limits: ") == 0);
}

TEST_CASE("files and texts that are none") {
    Failure error;
    offnominal_system* system = nullptr;
    CHECK(offnominal_system_load("no-such.yaml", &system, &error) == OFFNOMINAL_NO_FILE);
    CHECK(std::string(error.file) == "no-such.yaml");
    const std::string text = "offnominal: system/1\nname: x\ncooling: {basis: 5}\n";
    CHECK(offnominal_system_parse(text.data(), text.size(), "page.yaml", nullptr, &system, &error) == OFFNOMINAL_INPUT);
    CHECK(error.line == 3);
    CHECK(std::string(error.file) == "page.yaml");
    CHECK(std::string(error.message).find("page.yaml:3:") == 0);
    CHECK(system == nullptr);
    // A text that is cut ends between two characters.
    std::string sharp = "offnominal: ";
    while (sharp.size() < 4000) sharp += "\xe2\x99\xaf";
    CHECK(offnominal_system_parse(sharp.data(), sharp.size(), sharp.c_str(), nullptr, &system, &error) ==
          OFFNOMINAL_INPUT);
    CHECK(std::strlen(error.file) == 255 - (255 - std::strlen("offnominal: ")) % 3);
    offnominal_visit* visit = nullptr;
    CHECK(offnominal_visit_parse("{", 1, nullptr, &visit, &error) == OFFNOMINAL_INPUT);
    CHECK(std::string(error.file) == "<text>");
}

TEST_CASE("what a text names comes out of a function") {
    const auto text_of = [](const std::string& name) {
        std::ifstream in(demo + name, std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(in), {});
    };
    struct Archive {
        std::string last;
        int asked = 0;
        bool empty = false;
    } archive;
    const auto beside = [](void* context, const char* name, std::size_t* size) -> const char* {
        auto& from = *static_cast<Archive*>(context);
        ++from.asked;
        if (from.empty) return nullptr;
        std::ifstream in(demo + name, std::ios::binary);
        from.last.assign(std::istreambuf_iterator<char>(in), {});
        *size = from.last.size();
        return from.last.data();
    };
    const std::string text = text_of("alder.yaml");
    const auto parse = [&](offnominal_text_beside by, offnominal_error* error) {
        offnominal_system* out = nullptr;
        const int32_t status =
            offnominal_system_parse_beside(text.data(), text.size(), "alder.yaml", by, &archive, &out, error);
        CHECK((status == OFFNOMINAL_OK) == (out != nullptr));
        return HeldSystem(out);
    };
    Failure error;
    const HeldSystem system = parse(beside, &error), loaded = alder();
    REQUIRE(system);
    CHECK(archive.asked == 2);
    const offnominal_conditions c = question();
    auto a = sized<offnominal_expected>(), b = sized<offnominal_expected>();
    REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &a, &error) == OFFNOMINAL_OK);
    REQUIRE(offnominal_expect(loaded.get(), OFFNOMINAL_UNITS_IP, &c, &b, &error) == OFFNOMINAL_OK);
    CHECK(std::memcmp(&a.total_capacity, &b.total_capacity, sizeof a.total_capacity) == 0);

    archive.empty = true;
    CHECK_FALSE(parse(beside, &error));
    CHECK(error.line == 84);
    CHECK(std::string(error.message).find("alder-low.csv: there is no such text") != std::string::npos);
    CHECK_FALSE(parse(nullptr, &error));

    const std::string visit = text_of("library-visit.yaml");
    offnominal_visit* read = nullptr;
    CHECK(offnominal_visit_parse_beside(visit.data(), visit.size(), nullptr, beside, &archive, &read, &error) ==
          OFFNOMINAL_OK);
    const HeldVisit held(read);
    CHECK(archive.asked == 3);  // it names no log
}

TEST_CASE("an edge is held as far as is asked, as in C++") {
    const HeldSystem system = alder();
    offnominal_conditions c = question();
    auto held = sized<offnominal_expected>();
    Failure error;
    c.outdoor_dry_bulb = 125.0;
    CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &held, &error) == OFFNOMINAL_REFUSED);
    c.hold_outdoor_dry_bulb = 20.0;
    REQUIRE(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &held, &error) == OFFNOMINAL_OK);
    CHECK((held.footing & OFFNOMINAL_FOOTING_HELD) != 0);
    CHECK(held.uncertainty_outside > 0.0);
    c.hold_outdoor_dry_bulb = 50.0;  // 25 K at most
    CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &held, &error) == OFFNOMINAL_REFUSED);
    CHECK(error.reason.about == OFFNOMINAL_ABOUT_HELD_OUTDOOR);
    CHECK(near(error.reason.upper, 45.0, relative(1e-12)));
}

TEST_CASE("what a question lacks, and what a system covers, as JSON") {
    const HeldSystem system = alder();
    Failure error;
    char* json = nullptr;
    offnominal_conditions c = question();
    REQUIRE(offnominal_missing(system.get(), OFFNOMINAL_UNITS_IP, &c, &json, &error) == OFFNOMINAL_OK);
    CHECK(json == std::string("[]"));
    offnominal_text_free(json);
    c.stage = nullptr;
    c.outdoor_dry_bulb = 120.0;
    REQUIRE(offnominal_missing(system.get(), OFFNOMINAL_UNITS_IP, &c, &json, &error) == OFFNOMINAL_OK);
    CHECK(std::string(json).find(R"("about":"stage","why":"not_given","value":null)") != std::string::npos);
    CHECK(std::string(json).find(R"("words":["high","low"])") != std::string::npos);
    CHECK(std::string(json).find("outdoor dry bulb 120 degF is outside 75 degF to 115 degF") != std::string::npos);
    offnominal_text_free(json);
    REQUIRE(offnominal_coverage(system.get(), OFFNOMINAL_UNITS_SI, &json, &error) == OFFNOMINAL_OK);
    CHECK(std::string(json).find(R"("entering_wet_bulb":[15.0,)") != std::string::npos);
    offnominal_text_free(json);
}

TEST_CASE("a sentence can be translated: its template, and what its subject is called") {
    for (const WhyWords& row : words_of<Why>) {
        offnominal_reason reason{};
        reason.why = static_cast<std::uint8_t>(row.value);
        reason.lower = -HUGE_VAL;  // no pair is near
        CHECK(offnominal_reason_template(&reason) == row.text);
    }
    CHECK(offnominal_about_text(OFFNOMINAL_ABOUT_OUTDOOR_DRY_BULB) == std::string("outdoor dry bulb"));
    CHECK(offnominal_about_text(999) == nullptr);
    CHECK(offnominal_reason_template(nullptr) == nullptr);
}

TEST_CASE("a system from bytes is the one they were made of, and damaged bytes are refused") {
    const std::string bytes = system_to_bytes(load_system(demo + "alder.yaml"));
    offnominal_system* made = nullptr;
    Failure error;
    REQUIRE(offnominal_system_from_bytes(bytes.data(), bytes.size(), &made, &error) == OFFNOMINAL_OK);
    const HeldSystem embedded(made), read = alder();
    const offnominal_conditions c = question();
    auto a = sized<offnominal_expected>(), b = a;
    REQUIRE(offnominal_expect(embedded.get(), OFFNOMINAL_UNITS_IP, &c, &a, &error) == OFFNOMINAL_OK);
    REQUIRE(offnominal_expect(read.get(), OFFNOMINAL_UNITS_IP, &c, &b, &error) == OFFNOMINAL_OK);
    CHECK(std::memcmp(&a, &b, sizeof a) == 0);
    CHECK(offnominal_system_from_bytes(bytes.data(), bytes.size() - 1, &made, &error) == OFFNOMINAL_INPUT);
    CHECK(made == nullptr);
    CHECK(offnominal_system_from_bytes(nullptr, 0, &made, &error) == OFFNOMINAL_BAD_ARGUMENT);
}

TEST_CASE("a visit from memory opens no file: a log is refused before it is looked for") {
    std::ifstream in(demo + "library-visit.yaml");
    std::string text(std::istreambuf_iterator<char>(in), {});
    for (const auto& [from, to] : {std::pair<std::string, std::string>("steady: true\n", ""),
                                   {"  outdoor: {dry_bulb: 91.0 degF", "  log: run.csv\n  outdoor: {dry_bulb: log"}})
        text.replace(text.find(from), from.size(), to);
    offnominal_visit* visit = nullptr;
    Failure error;
    CHECK(offnominal_visit_parse(text.data(), text.size(), nullptr, &visit, &error) == OFFNOMINAL_INPUT);
    CHECK(std::string(error.message).find("not the name of a file beside this one") != std::string::npos);
}

TEST_CASE("what a system covers") {
    const HeldSystem system = alder();
    CHECK(std::string(offnominal_system_name(system.get())) == "Alder three-ton, invented");
    REQUIRE(offnominal_stage_count(system.get(), OFFNOMINAL_MODE_COOLING) == 2);
    CHECK(std::string(offnominal_stage_name(system.get(), OFFNOMINAL_MODE_COOLING, 1)) == "low");
    CHECK(offnominal_stage_name(system.get(), OFFNOMINAL_MODE_COOLING, 2) == nullptr);
    CHECK(std::string(offnominal_stage_name(system.get(), OFFNOMINAL_MODE_HEATING, 0)) == "high");
    CHECK(std::string(offnominal_match_name(system.get(), 0)) == "indoor A");
    REQUIRE(offnominal_page_count(system.get()) == 4);
    auto page = sized<offnominal_page>();
    REQUIRE(offnominal_page_read(system.get(), 0, &page, nullptr) == OFFNOMINAL_OK);
    CHECK(page.mode == OFFNOMINAL_MODE_COOLING);
    CHECK(std::string(page.stage) == "high");
    CHECK(page.nodes == 60);
    CHECK(page.blanks == 1);
    CHECK(page.axes == 3);
    CHECK(std::string(offnominal_axis_name(system.get(), 0, 0)) == "outdoor dry bulb");
    std::array<double, 3> breakpoints{};
    CHECK(offnominal_axis_breakpoints(system.get(), 0, 0, OFFNOMINAL_UNITS_IP, breakpoints.data(), 2) == 5);
    CHECK(breakpoints[0] == 75);
    CHECK(breakpoints[2] == 0);
    CHECK(offnominal_page_read(system.get(), 4, &page, nullptr) == OFFNOMINAL_BAD_ARGUMENT);
}

TEST_CASE("readings, and a proof that outlives its system and its visit") {
    auto d = sized<offnominal_delivered>();
    const offnominal_readings r = readings();
    REQUIRE(offnominal_deliver(OFFNOMINAL_UNITS_IP, &r, &d, nullptr) == OFFNOMINAL_OK);
    Readings same;
    same.return_dry_bulb.si = units::degF.to_si(76);
    same.return_humidity = {air::Humidity::Kind::relative_humidity, 0.55};
    same.supply_dry_bulb.si = units::degF.to_si(57.2);
    same.supply_humidity = {air::Humidity::Kind::relative_humidity, 0.92};
    same.airflow = AirflowReading::actual(Airflow{units::cfm.to_si(1120)}, air::Place::return_air);
    CHECK(d.total_capacity == units::Btu_h.from_si(deliver(same, Site::sea_level()).total_capacity.si));
    CHECK(std::isnan(d.auxiliary_heat));

    auto columns = sized<offnominal_reading_columns>();
    const std::array<double, 2> supply{57.2, 300.0};
    columns.supply_dry_bulb = supply.data();
    std::array<offnominal_reason, 2> reasons;
    std::array<double, 2> total{};
    auto out = sized<offnominal_delivered_columns>();
    out.reasons = reasons.data();
    out.total_capacity = total.data();
    REQUIRE(offnominal_deliver_batch(OFFNOMINAL_UNITS_IP, &r, &columns, 2, &out, nullptr) == OFFNOMINAL_OK);
    CHECK(total[0] == d.total_capacity);
    CHECK(std::isnan(total[1]));
    CHECK(reasons[1].about == OFFNOMINAL_ABOUT_SUPPLY_DRY_BULB);
    CHECK(near(reasons[1].value, 300.0, relative(1e-14)));

    offnominal_proof* made = nullptr;
    {
        const HeldSystem system = alder();
        offnominal_visit* read = nullptr;
        REQUIRE(offnominal_visit_load((demo + "library-visit.yaml").c_str(), &read, nullptr) == OFFNOMINAL_OK);
        const HeldVisit visit(read);
        REQUIRE(offnominal_prove(system.get(), visit.get(), &made, nullptr) == OFFNOMINAL_OK);
    }
    const HeldProof proof(made);
    const Proof itself = prove(load_system(demo + "alder.yaml"), load_visit(demo + "library-visit.yaml"));
    auto verdict = sized<offnominal_verdict>();
    REQUIRE(offnominal_proof_verdict(proof.get(), OFFNOMINAL_UNITS_IP, &verdict, nullptr) == OFFNOMINAL_OK);
    CHECK(verdict.outcome == OFFNOMINAL_OUTCOME_UNDECIDED);
    CHECK(verdict.ratio == itself.ratio);
    CHECK(verdict.probability == itself.probability);
    CHECK(verdict.uncapped == -1);
    CHECK(verdict.power == 2370);
    auto expected = sized<offnominal_expected>();
    REQUIRE(offnominal_proof_expected(proof.get(), OFFNOMINAL_UNITS_SI, &expected, nullptr) == OFFNOMINAL_OK);
    CHECK(expected.total_capacity == itself.expected->total_capacity.si);
    REQUIRE(offnominal_proof_delivered(proof.get(), OFFNOMINAL_UNITS_SI, &d, nullptr) == OFFNOMINAL_OK);
    CHECK(d.total_capacity == itself.delivered.total_capacity.si);
    char* text = nullptr;
    REQUIRE(offnominal_proof_report(proof.get(), OFFNOMINAL_UNITS_IP, &text, nullptr) == OFFNOMINAL_OK);
    CHECK(std::string(text).find("proof: undecided\n") == 0);
    offnominal_text_free(text);
}

TEST_CASE("a batch of visits has the bits of one by one, and every row a ratio or a reason") {
    const HeldSystem system = alder();
    const System itself = load_system(demo + "alder.yaml");
    Visit one = load_visit(demo + "library-visit.yaml");
    offnominal_visit* read = nullptr;
    REQUIRE(offnominal_visit_load((demo + "library-visit.yaml").c_str(), &read, nullptr) == OFFNOMINAL_OK);
    const HeldVisit visit(read);
    const std::array outdoor{80.0, 91.0, 99.5, 130.0, not_a_number, 95.0};
    const std::array supply{56.2, 57.2, 58.1, 57.0, 57.0, -500.0};
    constexpr std::size_t rows = outdoor.size();
    auto in = sized<offnominal_visit_columns>();
    in.outdoor_dry_bulb = outdoor.data();
    in.supply_dry_bulb = supply.data();
    std::array<offnominal_reason, rows> reasons{};
    std::array<std::uint64_t, 2 * rows> notes{};
    std::array<std::int16_t, rows> outcome{}, suspect{}, method{}, next{};
    std::array<double, rows> ratio{}, power{}, share{};
    auto out = sized<offnominal_verdict_columns>();
    out.reasons = reasons.data();
    out.notes = notes.data();
    out.outcome = outcome.data();
    out.suspect = suspect.data();
    out.method = method.data();
    out.next = next.data();
    out.ratio = ratio.data();
    out.expected_power = power.data();
    out.share_of_airflow = share.data();
    Failure error;
    const auto prove_rows = [&](std::int32_t units, const offnominal_visit_columns& columns) {
        return offnominal_prove_batch(system.get(), units, visit.get(), &columns, rows, &out, &error);
    };
    REQUIRE_MESSAGE(prove_rows(OFFNOMINAL_UNITS_IP, in) == OFFNOMINAL_OK, error.message);
    int ratios = 0;
    for (std::size_t i = 0; i < rows; ++i) {
        INFO(i);
        one.outdoor_dry_bulb.si = units::degF.to_si(outdoor[i]);
        one.readings.supply_dry_bulb.si = units::degF.to_si(supply[i]);
        CHECK(std::isnan(ratio[i]) == (reasons[i].why != OFFNOMINAL_WHY_NONE));
        Proof due;
        try {
            due = prove(itself, one);
        } catch (const Refused& refused) {
            CHECK(outcome[i] == -1);
            CHECK(method[i] == -1);
            CHECK(reasons[i].about == static_cast<std::uint8_t>(refused.reason().about));
            continue;
        }
        CHECK(outcome[i] == static_cast<int>(due.outcome));
        CHECK(suspect[i] == static_cast<int>(due.suspect));
        CHECK(reasons[i].why == static_cast<std::uint8_t>(due.reason.why));
        CHECK(std::memcmp(&due.notes, &notes[2 * i], sizeof due.notes) == 0);
        if (!due.ratio) continue;
        ++ratios;
        CHECK(ratio[i] == *due.ratio);
        CHECK(power[i] == detail::figure_of<&Proof::power, &Comparison::expected>(due));
        CHECK(method[i] == static_cast<int>(due.method));
        CHECK(share[i] > 0.0);
        CHECK(offnominal_word(OFFNOMINAL_ENUMERATION_OUTCOME, outcome[i]) == name(due.outcome));
    }
    CHECK(ratios == 3);
    CHECK(near(reasons[3].value, 130.0, relative(1e-14)));  // outdoors, in the units of the call
    // Without a column all rows are the visit itself, which allows the older header too: it ends after fewer columns.
    out.struct_size = offsetof(offnominal_verdict_columns, power);
    REQUIRE(offnominal_prove_batch(system.get(), OFFNOMINAL_UNITS_IP, visit.get(), nullptr, rows, &out, &error) ==
            OFFNOMINAL_OK);
    CHECK(ratio[0] == prove(itself, load_visit(demo + "library-visit.yaml")).ratio);
    CHECK(ratio[rows - 1] == ratio[0]);
    // What is wrong with all of them is told at once.
    auto other = sized<offnominal_visit_columns>();
    other.return_dew_point = outdoor.data();
    CHECK(prove_rows(OFFNOMINAL_UNITS_IP, other) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(std::string(error.accepted).find("return_") == 0);
    other = sized<offnominal_visit_columns>();
    other.auxiliary_heat = outdoor.data();  // of heating
    CHECK(prove_rows(OFFNOMINAL_UNITS_IP, other) == OFFNOMINAL_INPUT);
    CHECK(prove_rows(7, in) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(offnominal_prove_batch(system.get(), OFFNOMINAL_UNITS_IP, nullptr, &in, rows, &out, &error) ==
          OFFNOMINAL_BAD_ARGUMENT);
    out.reasons = nullptr;
    CHECK(prove_rows(OFFNOMINAL_UNITS_IP, in) == OFFNOMINAL_BAD_ARGUMENT);
    CHECK(std::string(error.message) == "verdicts: no column of reasons");
}

TEST_CASE("look-ups allocate nothing") {
    const HeldSystem system = alder();
    const offnominal_conditions c = question();
    const offnominal_readings r = readings();
    auto expected = sized<offnominal_expected>();
    auto delivered = sized<offnominal_delivered>();
    std::array<double, 300> outdoor{}, total{};
    std::array<offnominal_reason, 300> reasons;
    for (std::size_t i = 0; i < outdoor.size(); ++i) outdoor[i] = 70.0 + 0.2 * static_cast<double>(i);
    auto in = sized<offnominal_condition_columns>();
    in.outdoor_dry_bulb = outdoor.data();
    auto out = sized<offnominal_expected_columns>();
    out.reasons = reasons.data();
    out.total_capacity = total.data();
    offnominal_expect_batch(system.get(), OFFNOMINAL_UNITS_IP, &c, &in, 1, &out,
                            nullptr);  // what is found once is found
    const long before = test::allocations();
    offnominal_conditions hot = c;
    hot.outdoor_dry_bulb = 500;
    CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &expected, nullptr) == OFFNOMINAL_OK);
    CHECK(offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &hot, &expected, nullptr) == OFFNOMINAL_REFUSED);
    CHECK(offnominal_expect_batch(system.get(), OFFNOMINAL_UNITS_IP, &c, &in, outdoor.size(), &out, nullptr) ==
          OFFNOMINAL_OK);
    CHECK(offnominal_deliver(OFFNOMINAL_UNITS_IP, &r, &delivered, nullptr) == OFFNOMINAL_OK);
    CHECK(test::allocations() == before);
}

TEST_CASE("8 threads on one system get the same bits") {
    const HeldSystem system = alder();
    const auto run = [&](double first, std::vector<double>& totals) {
        offnominal_conditions c = question();
        auto answer = sized<offnominal_expected>();
        for (std::size_t i = 0; i < totals.size(); ++i) {
            c.outdoor_dry_bulb = first + 0.02 * static_cast<double>(i);
            c.stage = i % 2 == 0 ? "high" : "low";
            offnominal_expect(system.get(), OFFNOMINAL_UNITS_IP, &c, &answer, nullptr);
            totals[i] = answer.total_capacity;
        }
    };
    std::vector<double> alone(2500);
    run(70.0, alone);
    std::array<std::vector<double>, 8> together;
    std::vector<std::thread> threads;
    for (auto& totals : together) totals.resize(alone.size());
    for (auto& totals : together) threads.emplace_back([&] { run(70.0, totals); });
    for (std::thread& thread : threads) thread.join();
    for (const auto& totals : together)
        CHECK(std::memcmp(totals.data(), alone.data(), alone.size() * sizeof(double)) == 0);
}
