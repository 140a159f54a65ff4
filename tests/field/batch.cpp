// A batch of readings answers with the very bits of one at a time.
#include <doctest/doctest.h>

#include <cstring>
#include <random>
#include <vector>

#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
#include "offnominal/grid/kernels.hpp"

using namespace offnominal;

TEST_CASE("rows of readings have the bits of one at a time, on the fastest loops too") {
    constexpr std::size_t rows = 500, told = std::size(told_of<Delivered>);
    std::mt19937 random(11);
    const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
    std::array<std::vector<double>, reading_slots> in;
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    for (std::size_t i = 0; i < rows; ++i) {  // elevation, barometer, or both; a barometer may be far off
        const double feet = uniform(0, 9000);
        const double barometer = uniform(0.97, 1.06) * air::si::pressure_at_elevation(units::ft.to_si(feet));
        const double row[] = {uniform(65, 90),
                              uniform(0.2, 1.01),
                              uniform(45, 75),
                              uniform(0.4, 1.0),
                              uniform(-50, 2000),
                              i % 4 == 1 ? none : feet,
                              i % 2 == 0 ? none : units::psia.from_si(barometer),
                              uniform(-20, 600),
                              0.0};
        static_assert(std::size(row) == reading_slots);
        for (std::size_t k = 0; k < reading_slots; ++k) in[k].push_back(row[k]);
    }
    in[0][3] = in[2][4] = in[5][6] = none;
    DeliverBatch batch;
    batch.readings.return_humidity = batch.readings.supply_humidity = air::relative_humidity(0.0);
    batch.readings.airflow = AirflowReading::actual(Airflow{}, air::Place::fan);
    batch.readings.fan = FanPosition::draw_through;
    batch.readings.condensate = true;
    const Unit unit[] = {units::degF, units::one,  units::degF, units::one, units::cfm,
                         units::ft,   units::psia, units::W,    units::W};
    for (std::size_t k = 0; k < reading_slots; ++k) batch.numbers[k] = {in[k].data(), 1, unit[k]};
    std::array<std::vector<double>, told> numbers;
    std::vector<Reason> reason(rows);
    std::vector<Notes> notes(rows);
    DeliverColumns out;
    for (std::size_t k = 0; k < told; ++k) {
        numbers[k].assign(rows, -1.0);
        out.numbers[k] = {numbers[k].data(), units::one};
    }
    out.reason = reason.data();
    out.notes = notes.data();
    for (const air::ColumnKernels* air : {&air::si::own_columns, &air::fastest_columns()}) {
        deliver_rows(batch, 0, rows, out, *air);
        int answered = 0;
        for (std::size_t i = 0; i < rows; ++i) {
            const auto alone = try_deliver(batch.readings_of(i), batch.site(i));
            REQUIRE(reason[i] == alone.reason());
            CHECK(notes[i] == (alone ? alone->notes : Notes{}));
            if (alone) ++answered;
            for (std::size_t k = 0; k < told; ++k) {
                const double one = alone ? told_of<Delivered>[k].of(*alone) : std::numeric_limits<double>::quiet_NaN();
                REQUIRE_MESSAGE((std::memcmp(&numbers[k][i], &one, sizeof one) == 0 ||
                                 (std::isnan(numbers[k][i]) && std::isnan(one))),
                                told_of<Delivered>[k].name);
            }
        }
        CHECK(answered > 200);
        CHECK(answered < 490);
    }
}
