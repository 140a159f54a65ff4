// Asks a fixed set of questions of systems given as bytes, and prints how many were asked, how many answered, and one
// number made of every bit of the answers: the same wherever it was compiled, and for whatever processor.
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "../grid/bits.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/field/deliver.hpp"

using namespace offnominal;

// The same questions whatever the flags.
OFFNOMINAL_EXACT_BEGIN
namespace {

/// FNV-1a over the bits of numbers. A NaN is one number: which of its bits a processor sets is its own affair.
class Hash {
   public:
    void add(std::uint64_t bits) {
        for (int byte = 0; byte < 64; byte += 8) value_ = (value_ ^ ((bits >> byte) & 0xff)) * 1099511628211u;
    }
    void add(double x) { add(std::isnan(x) ? ~std::uint64_t{0} : __builtin_bit_cast(std::uint64_t, x)); }
    void add(const Reason& r) {
        add(static_cast<std::uint64_t>(r.why) << 8 | static_cast<std::uint64_t>(r.about));
        for (const double x : {r.value, r.lower, r.upper}) add(x);
    }
    void add(const Notes& notes) {
        for (const auto& row : words_of<Note>) add(std::uint64_t{notes.has(row.value)});
    }
    [[nodiscard]] std::uint64_t value() const { return value_; }

   private:
    std::uint64_t value_ = 14695981039346656037u;
};

/// Steps of a linear congruential generator; numbers made from them are exact but for one rounding.
class Steps {
   public:
    std::uint64_t below(std::uint64_t n) {
        state_ = state_ * 6364136223846793005u + 1442695040888963407u;
        return (state_ >> 33) % n;
    }
    double between(double low, double high) { return low + (high - low) * static_cast<double>(below(4096)) * 0x1p-12; }
    template <class T>
    const T& one_of(const std::vector<T>& all) {
        return all[static_cast<std::size_t>(below(all.size()))];
    }

   private:
    std::uint64_t state_ = 13;
};

struct Count {
    long asked = 0, answered = 0;
};

air::Humidity humidity(Steps& steps) {
    switch (steps.below(3)) {
        case 0:
            return air::wet_bulb(Temperature{steps.between(14.5, 22.0)});
        case 1:
            return air::relative_humidity(steps.between(0.35, 0.6));
        default:
            return air::dew_point(Temperature{steps.between(9.0, 16.0)});
    }
}

AirflowReading airflow(Steps& steps, double low, double high) {
    const double flow = steps.between(low, high);
    switch (steps.below(3)) {
        case 0:
            return AirflowReading::standard(StandardAirflow{flow});
        case 1:
            return AirflowReading::actual(Airflow{flow}, air::Place::return_air);
        default:
            return AirflowReading::dry_mass(MassFlow{1.2 * flow});
    }
}

/// From a little below the first breakpoint of an axis to a little above its last.
std::array<double, 2> around(const Stage& stage, PageAxis which, std::array<double, 2> else_) {
    for (std::size_t k = 0; k < stage.table.axes().size(); ++k)
        if (stage.table.axes()[k] == which) {
            const auto x = stage.table.grid().breakpoints(k);
            const double more = 0.02 * (x.back() - x.front());
            return {x.front() - more, x.back() + more};
        }
    return else_;
}

Conditions question(const System& system, Steps& steps) {
    Conditions c;
    const std::vector<std::string> matches = system.match_names();
    if (!matches.empty()) c.match = steps.one_of(matches);
    const bool heats = !system.parts().heating.empty() && steps.below(2) == 0;
    c.mode = heats ? Mode::heating : Mode::cooling;
    c.entering_dry_bulb = Temperature{heats ? steps.between(14.0, 26.0) : steps.between(22.5, 30.0)};
    c.entering_humidity = humidity(steps);
    const Stage& cools = steps.one_of(system.stages(system.match(c.match)));
    std::array<double, 2> flow = around(cools, PageAxis::airflow, {0.3, 0.7});
    std::array<double, 2> outdoor = around(cools, PageAxis::outdoor_dry_bulb, {20.0, 50.0});
    c.stage = cools.name;
    if (heats) {
        const HeatingStage& stage = steps.one_of(system.parts().heating);
        c.stage = stage.name;
        c.frost = stage.frost;
        outdoor = {-20.0, 20.0};
    } else if (steps.below(4) == 0 && cools.speed) {
        c.stage.clear();
        const Unit unit = steps.below(2) == 0 ? Unit(units::Hz) : Unit(units::percent);
        c.speed = Speed::of(steps.between(30.0, 90.0), unit);
    }
    c.airflow = airflow(steps, flow[0], flow[1]);
    c.outdoor_dry_bulb = Temperature{steps.between(outdoor[0], outdoor[1])};
    c.line_set = LineSet::reference();
    if (!system.parts().lines(c.mode).empty() && steps.below(2) == 0) {
        const Length length{steps.between(3.0, 40.0)}, lift{steps.between(-3.0, 3.0)};
        c.line_set = LineSet::of(length, Length{0.01905}, lift).modelled();
    }
    c.boundary = steps.below(2) == 0 ? Boundary::coil : Boundary::coil_and_fan;
    c.fan_power = Power{steps.between(100.0, 500.0)};
    c.outdoor_relative_humidity = steps.between(0.3, 1.0);
    c.auxiliary_heat = Power{0.0};
    c.outside = static_cast<Outside>(steps.below(3));
    c.infer = c.airflow_effect = true;
    return c;
}

Count ask(const System& system, Steps& steps, long times, Hash& hash) {
    Count count;
    for (; count.asked < times; ++count.asked) {
        const Site site = Site::at_elevation(Length{steps.between(0.0, 2200.0)});
        const auto answer = try_expect(system, site, question(system, steps));
        if (!answer) {
            hash.add(answer.reason());
            continue;
        }
        ++count.answered;
        for (const auto& row : told_of<ExpectedValues>) hash.add(row.of(*answer));
        for (const auto& row : told_of<ExpectedUncertainty>) hash.add(row.of(answer->uncertainty));
        hash.add(static_cast<std::uint64_t>(answer->footing));
        hash.add(answer->notes);
        for (const Step& step : answer->ledger) hash.add(step.after);
    }
    return count;
}

/// The same questions in columns, which go by loops of the page and of moist air.
Count ask_batches(const System& system, Steps& steps, long times, Hash& hash) {
    constexpr std::size_t rows = 300;
    Count count;
    while (count.asked < times) {
        const Conditions shared = question(system, steps);
        std::array<std::vector<double>, 5> in;
        for (std::size_t row = 0; row < rows; ++row) {
            const Conditions c = question(system, steps);
            in[0].push_back(c.outdoor_dry_bulb.si);
            in[1].push_back(c.entering_dry_bulb.si);
            in[2].push_back(steps.between(14.5, 22.0));
            in[3].push_back(c.airflow.si);
            in[4].push_back(steps.between(0.0, 2200.0));
        }
        ExpectBatch batch;
        batch.values = shared;
        batch.values.entering_humidity = air::wet_bulb(Temperature{0.0});
        const std::string_view stage[] = {shared.stage}, match[] = {shared.match};
        const std::int32_t first = 0;
        batch.stage = {stage, &first, 0};
        batch.match = {match, &first, 0};
        batch.line = ExpectBatch::Line::reference;
        const double fan = 300.0, auxiliary = 0.0, humid = 0.7;
        batch[Slot::outdoor_dry_bulb] = {in[0].data(), 1, units::one};
        batch[Slot::entering_dry_bulb] = {in[1].data(), 1, units::one};
        batch[Slot::entering_humidity] = {in[2].data(), 1, units::one};
        batch[Slot::airflow] = {in[3].data(), 1, units::one};
        batch[Slot::elevation] = {in[4].data(), 1, units::one};
        batch[Slot::fan_power] = {&fan, 0, units::one};
        batch[Slot::auxiliary_heat] = {&auxiliary, 0, units::one};
        batch[Slot::outdoor_humidity] = {&humid, 0, units::one};
        std::vector<Reason> reasons(rows);
        // Not written yet, so that the sanitizer of memory sees what a batch leaves out.
        std::vector<std::unique_ptr<double[]>> told;
        while (told.size() < std::size(told_of<ExpectedValues>)) told.emplace_back(new double[rows]);
        ExpectColumns out;
        out.reason = reasons.data();
        for (std::size_t k = 0; k < told.size(); ++k) out.numbers[k] = {told[k].get(), units::one};
        expect_rows(system, batch, 0, rows, out);
        for (std::size_t row = 0; row < rows; ++row) {
            hash.add(reasons[row]);
            count.answered += reasons[row].none() ? 1 : 0;
            for (const auto& column : told) hash.add(column[row]);
        }
        count.asked += static_cast<long>(rows);
    }
    return count;
}

Count read_probes(Steps& steps, long times, Hash& hash) {
    Count count;
    for (; count.asked < times; ++count.asked) {
        Readings r;
        r.mode = steps.below(3) == 0 ? Mode::heating : Mode::cooling;
        r.return_dry_bulb = Temperature{steps.between(18.0, 32.0)};
        r.return_humidity = humidity(steps);
        r.supply_dry_bulb = Temperature{steps.between(6.0, 20.0) + (r.mode == Mode::heating ? 24.0 : 0.0)};
        r.supply_humidity = air::relative_humidity(steps.between(0.6, 1.0));
        r.airflow = airflow(steps, 0.2, 0.9);
        r.split = static_cast<Split>(steps.below(2));
        r.condensate = steps.below(2) == 0;
        r.auxiliary_heat = Power{0.0};
        const auto answer = try_deliver(r, Site::at_elevation(Length{steps.between(0.0, 2200.0)}));
        if (!answer) {
            hash.add(answer.reason());
            continue;
        }
        ++count.answered;
        for (const auto& row : told_of<Delivered>) hash.add(row.of(*answer));
        hash.add(answer->notes);
    }
    return count;
}

}  // namespace
OFFNOMINAL_EXACT_END

int main(int given, char** paths) {
    Hash hash;
    Steps steps;
    Count all;
    const auto count = [&](Count one) {
        all.asked += one.asked;
        all.answered += one.answered;
    };
    for (int i = 1; i < given; ++i) {
        std::FILE* file = std::fopen(paths[i], "rb");
        if (file == nullptr) return 2;
        std::vector<unsigned char> bytes(1 << 20);
        bytes.resize(std::fread(bytes.data(), 1, bytes.size(), file));
        std::fclose(file);
        const System system = system_from_bytes(bytes);
        count(ask(system, steps, 7000, hash));
        count(ask_batches(system, steps, 3600, hash));
    }
    count(read_probes(steps, 12000, hash));
    hash.add(test::digest());
    std::printf("%ld %ld %016llx\n", all.asked, all.answered, static_cast<unsigned long long>(hash.value()));
    // A branch by which the sanitizer of memory sees whether any bit of all this was never written.
    return hash.value() == 0 ? 1 : 0;
}
