// A batch answers with the very bits of one question at a time, whatever its rows mix.
#include "offnominal/expect/batch.hpp"

#include <doctest/doctest.h>

#include <random>
#include <thread>
#include <vector>

#include "../support/doubles.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;

namespace {

constexpr std::size_t rows = 1000;

/// Rows of everything at once: both stages, three matches (one unknown), elevations, lines, air in and out of order.
struct Questions {
    std::vector<std::string_view> stages{"high", "low"}, matches{"indoor A", "indoor B", "none such"};
    std::vector<std::int32_t> stage, match;
    std::vector<double> outdoor, entering, wet_bulb, airflow, elevation, pressure, fan, length, suction, lift;

    explicit Questions(unsigned seed) {
        std::mt19937 random(seed);
        const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
        for (std::size_t i = 0; i < rows; ++i) {
            stage.push_back(uniform(0, 1) < 0.6 ? 0 : 1);
            match.push_back(static_cast<std::int32_t>(uniform(0, 2.05)));
            outdoor.push_back(uniform(70, 120));
            entering.push_back(uniform(70, 90));
            wet_bulb.push_back(uniform(57, 74));
            airflow.push_back(uniform(580, 1250));
            elevation.push_back(i % 3 == 0 ? 0.0 : uniform(0, 9000));
            // By a barometer too, or alone; some of them more than 5 % away.
            const double there = air::si::pressure_at_elevation(units::ft.to_si(elevation.back()));
            pressure.push_back(i % 4 != 1 ? std::numeric_limits<double>::quiet_NaN()
                                          : there * (0.96 + 0.0001 * static_cast<double>(i % 997)));
            if (i % 8 == 1) elevation.back() = std::numeric_limits<double>::quiet_NaN();
            fan.push_back(uniform(0, 1) < 0.02 ? -1.0 : uniform(200, 600));
            length.push_back(uniform(20, 90));
            suction.push_back(uniform(0, 1) < 0.5 ? 0.75 : 0.875);
            lift.push_back(uniform(-30, 30));
        }
        outdoor[7] = entering[8] = wet_bulb[9] = airflow[10] = fan[11] = elevation[12] =
            std::numeric_limits<double>::quiet_NaN();
        airflow[13] = 0.0;
    }

    [[nodiscard]] ExpectBatch batch(AirflowReading::Kind kind, air::Place at, ExpectBatch::Line line) const {
        ExpectBatch b;
        b.stage = {stages, stage.data(), 1};
        b.match = {matches, match.data(), 1};
        b[Slot::outdoor_dry_bulb] = {outdoor.data(), 1, units::degF};
        b[Slot::entering_dry_bulb] = {entering.data(), 1, units::degF};
        b[Slot::entering_humidity] = {wet_bulb.data(), 1, units::degF};
        b[Slot::airflow] = {airflow.data(), 1, units::cfm};
        b[Slot::elevation] = {elevation.data(), 1, units::ft};
        b[Slot::pressure] = {pressure.data(), 1, units::Pa};
        b[Slot::fan_power] = {fan.data(), 1, units::W};
        b[Slot::line_length] = {length.data(), 1, units::ft};
        b[Slot::line_suction] = {suction.data(), 1, units::in};
        b[Slot::line_lift] = {lift.data(), 1, units::ft};
        b.values.airflow.kind = kind;
        b.values.airflow.place = at;
        b.line = line;
        b.values.boundary = Boundary::coil_and_fan;
        b.values.infer = true;
        return b;
    }
};

constexpr std::size_t told = std::size(told_of<ExpectedValues>);

struct Answers {
    std::array<std::vector<double>, told> numbers;
    std::vector<Reason> reason = std::vector<Reason>(rows);
    std::vector<Footing> footing = std::vector<Footing>(rows);
    std::vector<Notes> notes = std::vector<Notes>(rows);

    Answers() { numbers.fill(std::vector<double>(rows, -1.0)); }
    [[nodiscard]] ExpectColumns columns() {
        ExpectColumns c;
        for (std::size_t k = 0; k < told; ++k) c.numbers[k] = {numbers[k].data(), units::one};
        c.reason = reason.data();
        c.footing = footing.data();
        c.notes = notes.data();
        return c;
    }
};

std::array<double, told> one_by_one(const Expected& e) {
    std::array<double, told> out{};
    for (std::size_t k = 0; k < told; ++k) out[k] = told_of<ExpectedValues>[k].of(e);
    return out;
}

}  // namespace

TEST_CASE("a batch has the bits of one question at a time, in any range and on threads") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const Questions q(20261125);
    using Kind = AirflowReading::Kind;
    int answered = 0, refused = 0;
    for (const auto& [kind, at] :
         {std::pair{Kind::standard, air::Place::return_air}, std::pair{Kind::actual, air::Place::return_air},
          std::pair{Kind::actual, air::Place::supply_air}})
        for (const auto line : {ExpectBatch::Line::reference, ExpectBatch::Line::given}) {
            const ExpectBatch batch = q.batch(kind, at, line);
            Answers whole, parts, threads;
            expect_rows(system, batch, 0, rows, whole.columns());
            for (std::size_t first = 0; first < rows; first += 37)
                expect_rows(system, batch, first, std::min(rows, first + 37), parts.columns());
            std::thread other([&] { expect_rows(system, batch, 0, 501, threads.columns()); });
            expect_rows(system, batch, 501, rows, threads.columns(), air::fastest_columns(), fastest_kernels());
            other.join();
            for (std::size_t i = 0; i < rows; ++i) {
                const auto answer = try_expect(system, batch.site(i), batch.conditions(i));
                CAPTURE(i);
                for (const Answers* a : {&whole, &parts, &threads}) {
                    REQUIRE(a->reason[i] == answer.reason());
                    if (!answer) {
                        for (const auto& column : a->numbers) REQUIRE(std::isnan(column[i]));
                        continue;
                    }
                    const auto expected = one_by_one(*answer);
                    for (std::size_t k = 0; k < expected.size(); ++k)
                        REQUIRE(same_or_nan(a->numbers[k][i], expected[k]));
                    REQUIRE(a->footing[i] == answer->footing);
                    REQUIRE(a->notes[i] == answer->notes);
                }
                ++(answer ? answered : refused);
            }
        }
    CHECK(answered > 1000);
    CHECK(refused > 1000);
}

TEST_CASE("rows that go to and fro between frames, few or many, have the bits of one question at a time") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const Questions q(7);
    const double fan = 420.0;
    for (const unsigned sites : {1u, 2u, 3u, 8u, 9u, 70u, 200u}) {
        CAPTURE(sites);
        ExpectBatch batch =
            q.batch(AirflowReading::Kind::standard, air::Place::return_air, ExpectBatch::Line::reference);
        std::mt19937 random(sites);
        std::vector<double> elevation(rows);
        for (double& one : elevation) one = 20.0 * static_cast<double>(random() % sites);
        batch[Slot::elevation] = {elevation.data(), 1, units::ft};
        batch[Slot::pressure] = {};
        batch[Slot::fan_power] = {&fan, 0, units::W};
        Answers found;
        expect_rows(system, batch, 0, rows, found.columns(), air::fastest_columns(), fastest_kernels());
        for (std::size_t i = 0; i < rows; ++i) {
            const auto answer = try_expect(system, batch.site(i), batch.conditions(i));
            CAPTURE(i);
            REQUIRE(found.reason[i] == answer.reason());
            if (!answer) continue;
            const auto expected = one_by_one(*answer);
            for (std::size_t k = 0; k < expected.size(); ++k) REQUIRE(same_or_nan(found.numbers[k][i], expected[k]));
            REQUIRE(found.footing[i] == answer->footing);
            REQUIRE(found.notes[i] == answer->notes);
        }
    }
}

TEST_CASE("what is not wanted is not written, and a column of one value serves all rows") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const Questions q(3);
    ExpectBatch batch = q.batch(AirflowReading::Kind::standard, air::Place::return_air, ExpectBatch::Line::reference);
    const std::int32_t high = 0;
    const double sea_level = 0.0, fan = 420.0;
    batch.stage = {q.stages, &high, 0};
    batch.match = {q.matches, &high, 0};
    batch[Slot::elevation] = {&sea_level, 0, units::ft};
    batch[Slot::fan_power] = {&fan, 0, units::W};
    std::vector<double> total(rows);
    std::vector<Reason> reason(rows);
    ExpectColumns out;
    out["total_capacity"] = {total.data(), units::MBh};
    out.reason = reason.data();
    expect_rows(system, batch, 0, rows, out);
    for (std::size_t i = 0; i < rows; ++i) {
        const auto answer = try_expect(system, batch.site(i), batch.conditions(i));
        CHECK(reason[i] == answer.reason());
        if (answer) CHECK(same_or_nan(total[i], in(answer->total_capacity, units::MBh)));
    }
    // Each by itself: what it alone needs is worked out.
    for (std::size_t k = 0; k < out.numbers.size(); ++k) {
        const Told<ExpectedValues>& line = told_of<ExpectedValues>[k];
        std::vector<double> found(rows);
        ExpectColumns one;
        one.numbers[k] = {found.data(), units::one};
        one.reason = reason.data();
        expect_rows(system, batch, 0, rows, one);
        for (std::size_t i = 0; i < rows; ++i)
            if (const auto answer = try_expect(system, batch.site(i), batch.conditions(i)))
                CHECK(same_or_nan(found[i], line.of(*answer)));
    }
}

TEST_CASE("columns that are not there are not given") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    ExpectBatch batch;
    batch.values.boundary = Boundary::coil;
    Reason reason;
    ExpectColumns out;
    out.reason = &reason;
    expect_rows(system, batch, 0, 1, out);
    CHECK(reason == Reason{Why::not_given, About::elevation});
    const double sea_level = 0.0;
    batch[Slot::elevation] = {&sea_level, 0, units::ft};
    expect_rows(system, batch, 0, 1, out);
    CHECK(reason.why == Why::not_given);
    CHECK(reason == try_expect(system, batch.site(0), batch.conditions(0)).reason());
}

TEST_CASE("in heating too a batch has the bits of one question at a time") {
    const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    const Questions q(17);
    std::vector<double> outdoor, entering, humidity, rh;
    std::mt19937 random(4);
    const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
    for (std::size_t i = 0; i < rows; ++i) {
        outdoor.push_back(uniform(0, 52));
        entering.push_back(uniform(58, 82));
        humidity.push_back(i % 5 == 0 ? std::numeric_limits<double>::quiet_NaN() : uniform(0.1, 0.6));
        rh.push_back(uniform(0, 1.02));
    }
    const double off = 0.0;
    int answered = 0, refused = 0;
    for (const Frost frost : {Frost::instantaneous, Frost::integrated})
        for (const Outside outside : {Outside::refuse, Outside::hold, Outside::extend})
            for (const auto place : {air::Place::return_air, air::Place::supply_air, air::Place::fan}) {
                ExpectBatch batch = q.batch(AirflowReading::Kind::actual, place, ExpectBatch::Line::not_given);
                batch.values.mode = Mode::heating;
                batch.values.frost = frost;
                batch.values.outside = outside;
                batch.values.entering_humidity = air::relative_humidity(0.0);
                batch[Slot::outdoor_dry_bulb] = {outdoor.data(), 1, units::degF};
                batch[Slot::entering_dry_bulb] = {entering.data(), 1, units::degF};
                batch[Slot::entering_humidity] = {humidity.data(), 1, units::one};
                batch[Slot::outdoor_humidity] = {rh.data(), 1, units::one};
                batch[Slot::auxiliary_heat] = {&off, 0, units::W};
                Answers answers;
                expect_rows(system, batch, 0, rows, answers.columns(), air::fastest_columns(), fastest_kernels());
                for (std::size_t i = 0; i < rows; ++i) {
                    const auto answer = try_expect(system, batch.site(i), batch.conditions(i));
                    REQUIRE(answers.reason[i] == answer.reason());
                    ++(answer ? answered : refused);
                    if (!answer) continue;
                    CHECK(answers.footing[i] == answer->footing);
                    CHECK(answers.notes[i] == answer->notes);
                    const auto alone = one_by_one(*answer);
                    for (std::size_t k = 0; k < told; ++k)
                        REQUIRE_MESSAGE(same_bits(answers.numbers[k][i], alone[k]), told_of<ExpectedValues>[k].name);
                }
            }
    CHECK(answered > 1000);
    CHECK(refused > 1000);
}
