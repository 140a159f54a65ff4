// The three unlike models of coil and compressor of the trial (benchmarks/trial), asked and answered side by side.
#pragma once

#include <algorithm>
#include <random>
#include <utility>
#include <vector>

#include "../../benchmarks/trial/pages.hpp"
#include "offnominal/expect.hpp"

namespace unlike {

using namespace offnominal;

/// The machines printed at 80 degF entering dry bulb, gross; at one airflow per ton, if one is given.
inline std::vector<trial::Make> machines(double per_ton = 0.0) {
    return trial::reprinted([per_ton](trial::Layout& l) {
        if (per_ton > 0.0) l.per_ton = {per_ton};
        l.dry_bulb = {80};
        l.net_fan = 0.0;
        l.fan = FanPosition::draw_through;
    });
}

/// The same machine with its pages changed: `change` gives a page for a basis and a page.
template <class Change>
System with_pages(const trial::Make& make, Change&& change) {
    SystemParts parts = make.system.parts();
    for (Stage& stage : parts.cooling) {
        Basis basis = stage.table.basis();
        PrintedPage page = stage.table.page();
        change(basis, page);
        stage.table = RatingTable(basis, std::move(page));
    }
    return System(std::move(parts));
}

/// A question to the high stage, at the coil: degF, cfm of standard air.
struct Question {
    double outdoor = 95.0, airflow = 0.0, wet_bulb = 67.0, dry_bulb = 80.0;

    [[nodiscard]] Conditions conditions() const {
        Conditions c;
        c.stage = "high";
        c.match = "indoor";
        c.outdoor_dry_bulb = from(outdoor, units::degF);
        c.entering_dry_bulb = from(dry_bulb, units::degF);
        c.entering_humidity = air::wet_bulb(from(wet_bulb, units::degF));
        c.airflow = AirflowReading::standard(from(airflow, units::cfm));
        c.boundary = Boundary::coil;
        return c;
    }
};

/// What the machine itself does: W; sensible may be more than total where the model's coil is dry.
struct Truth {
    double total = 0.0, sensible = 0.0, power = 0.0;
};
inline Truth truth(const trial::Make& make, const Question& q, double p = air::si::standard_pressure) {
    const double t = trial::degC(q.dry_bulb), m = trial::mass_of_scfm(q.airflow);
    const trial::Entering in{t, air::si::humidity_ratio_from_wet_bulb(t, trial::degC(q.wet_bulb), p), p};
    const auto [total, power] = make.machine->sound(trial::Runs::high, in, m, trial::degC(q.outdoor));
    const air::Point out = make.machine->leaving(in, m, total, 1.0);
    return {total, m * air::si::moist_heat_capacity(out.W) * (t - out.t), power};
}

/// Numbers anywhere between two, the same in every run.
class Anywhere {
   public:
    explicit Anywhere(unsigned seed) : random_(seed) {}
    [[nodiscard]] double operator()(double from, double to) {
        return std::uniform_real_distribution<double>(from, to)(random_);
    }

   private:
    std::mt19937_64 random_;
};

}  // namespace unlike
