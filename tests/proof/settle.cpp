// What would settle a proof, against simulation: what was read is read again, many times over, each time through
// `prove` itself. Visits are invented.
#include "offnominal/proof/settle.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <functional>
#include <random>

#include "../support/example_7.hpp"
#include "../support/near.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

Settling promised(const std::vector<Settling>& all, Remedy remedy) {
    for (const Settling& one : all)
        if (one.remedy == remedy) return one;
    throw std::logic_error("not promised");
}

double& reading(Visit& v, Input input) {
    switch (input) {
        case Input::return_dry_bulb:
            return v.readings.return_dry_bulb.si;
        case Input::return_humidity:
            return v.readings.return_humidity.value;
        case Input::supply_dry_bulb:
            return v.readings.supply_dry_bulb.si;
        case Input::supply_humidity:
            return v.readings.supply_humidity.value;
        case Input::outdoor_dry_bulb:
            return v.outdoor_dry_bulb.si;
        default:
            return v.readings.airflow.si;
    }
}

/// Errors drawn as a visit states them.
class Dice {
   public:
    double draw(const Uncertain& u) {
        return u.standard * (u.shape == Shape::rectangular ? std::sqrt(3.0) * even_(random_) : normal_(random_));
    }

   private:
    std::mt19937_64 random_{20100};
    std::normal_distribution<double> normal_;
    std::uniform_real_distribution<double> even_{-1.0, 1.0};
};

constexpr std::array inputs{Input::return_dry_bulb, Input::return_humidity, Input::supply_dry_bulb,
                            Input::supply_humidity, Input::airflow,         Input::outdoor_dry_bulb};

/// What is read by another instrument: true value and its own error.
void read_anew(Visit& v, const Visit& truth, Input input, Dice& dice) {
    const double error = dice.draw(v.of(input)), is = reading(const_cast<Visit&>(truth), input);
    reading(v, input) = input == Input::airflow ? is * (1.0 + error / is) : is + error;
}

/// A way to measure better, as somebody does it: the instruments of the visit that will be, and their readings.
struct Doing {
    Remedy remedy;
    std::function<void(Visit&)> instruments;
    std::function<void(Visit&, const Visit& truth, Dice&)> read;
};

Uncertain expanded(double standard) {
    Uncertain u;
    u.standard = standard;
    return u;
}
Uncertain limits(double half) {
    Uncertain u = expanded(half / std::sqrt(3.0));
    u.shape = Shape::rectangular;
    return u;
}

/// Shares of outcomes where the truth is any that the readings leave open, and is then read better. What a suspect
/// capped counts as what it would be without: what is promised is about uncertainty alone.
Settling simulated(const System& system, const Visit& visit, const Doing& doing, int draws) {
    Dice dice;
    Settling out;
    for (int i = 0; i < draws; ++i) {
        Visit truth = visit;
        for (const Input input : inputs) {
            const double error = dice.draw(visit.of(input));
            double& is = reading(truth, input);
            is = input == Input::airflow ? is / (1.0 + error / is) : is - error;
        }
        Visit v = visit;
        doing.instruments(v);
        doing.read(v, truth, dice);
        const Proof p = prove(system, v);
        const Outcome outcome = p.uncapped.value_or(p.outcome);
        out.meets += outcome == Outcome::meets || outcome == Outcome::implausible ? 1.0 / draws : 0.0;
        out.falls_short += outcome == Outcome::falls_short ? 1.0 / draws : 0.0;
    }
    return out;
}

struct Pair {
    Input first, second;
    double own;  ///< standard uncertainty left between the two once they were compared
    const char* what;
};
const Pair pairs[] = {{Input::return_dry_bulb, Input::supply_dry_bulb, 0.15 / 1.8, "thermometer"},
                      {Input::return_humidity, Input::supply_humidity, 0.007, "hygrometer"}};

/// As `practice` has it, in the words of whoever types a visit.
const Doing doings[] = {
    {Remedy::dry_bulbs,
     [](Visit& v) {
         for (const Input i : {Input::return_dry_bulb, Input::supply_dry_bulb}) v.of(i) = limits(0.2);
     },
     [](Visit& v, const Visit& truth, Dice& dice) {
         for (const Input i : {Input::return_dry_bulb, Input::supply_dry_bulb}) read_anew(v, truth, i, dice);
     }},
    {Remedy::humidities,
     [](Visit& v) {
         for (const Input i : {Input::return_humidity, Input::supply_humidity}) v.of(i) = limits(0.015);
     },
     [](Visit& v, const Visit& truth, Dice& dice) {
         for (const Input i : {Input::return_humidity, Input::supply_humidity}) read_anew(v, truth, i, dice);
     }},
    {Remedy::better_airflow, [](Visit& v) { v.of(Input::airflow) = expanded(0.025 * v.readings.airflow.si); },
     [](Visit& v, const Visit& truth, Dice& dice) { read_anew(v, truth, Input::airflow, dice); }},
    {Remedy::second_airflow,
     [](Visit& v) {
         const double q = v.readings.airflow.si, u = v.of(Input::airflow).standard;
         v.of(Input::airflow) = expanded(u * 0.035 * q / std::hypot(u, 0.035 * q));
     },
     [](Visit& v, const Visit& truth, Dice& dice) {
         // The standard uncertainty of the mean tells that of the first: 1/u^2 - 1/u2^2.
         const double q = v.readings.airflow.si, u2 = 0.035 * q, u = v.of(Input::airflow).standard;
         const double weight = 1.0 - u * u / (u2 * u2);
         const double second = truth.readings.airflow.si * (1.0 + dice.draw(expanded(0.035)));
         v.readings.airflow.si = weight * q + (1.0 - weight) * second;
     }},
    {Remedy::side_by_side,
     [](Visit& v) {
         // The supply probe is as good as the return probe and what is left between the two; they share the former.
         for (const Pair& pair : pairs) {
             const double u = v.of(pair.first).standard, both = std::hypot(u, pair.own);
             v.of(pair.first).instrument = std::string("return ") + pair.what;
             v.of(pair.second) = expanded(both);
             v.of(pair.second).instrument = std::string("supply ") + pair.what;
             v.side_by_side.push_back({v.of(pair.first).instrument, v.of(pair.second).instrument, u / both});
         }
     },
     [](Visit& v, const Visit& truth, Dice& dice) {
         Visit is = truth;
         for (const Pair& pair : pairs)
             reading(v, pair.second) = reading(is, pair.second) + reading(v, pair.first) - reading(is, pair.first) +
                                       dice.draw(expanded(pair.own));
     }},
};

/// Reads again `draws` times, and holds the promise to three standard deviations of a share of that many.
void check_promise(const System& system, const Visit& visit, const Doing& doing, int draws) {
    CAPTURE(name(doing.remedy));
    const Settling told = promised(settle(visit, prove(system, visit)), doing.remedy),
                   is = simulated(system, visit, doing, draws);
    const double deviation = std::sqrt(0.25 / draws);
    CHECK(near(is.meets, told.meets, absolute(3.0 * deviation)));
    CHECK(near(is.falls_short, told.falls_short, absolute(3.0 * deviation)));
}

const Doing& doing(Remedy remedy) {
    for (const Doing& one : doings)
        if (one.remedy == remedy) return one;
    throw std::logic_error("nobody does that");
}

}  // namespace

TEST_CASE("what a remedy promises is what reading again brings: good instruments") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    visit.of(Input::return_dry_bulb).standard = visit.of(Input::supply_dry_bulb).standard = 0.12;
    visit.of(Input::return_humidity).standard = 0.009;
    visit.of(Input::supply_humidity).standard = 0.0105;
    visit.of(Input::airflow).standard = 0.026 * visit.readings.airflow.si;
    for (const double limit : {0.87, 0.95}) {
        visit.limit = limit;
        for (const Remedy remedy : {Remedy::side_by_side, Remedy::second_airflow})
            check_promise(system, visit, doing(remedy), 1000);
    }
}

TEST_CASE("what a remedy promises is what reading again brings: usual instruments") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    check_promise(system, visit, doing(Remedy::side_by_side), 400);
    visit.limit = 0.86;
    for (const Remedy remedy : {Remedy::dry_bulbs, Remedy::humidities, Remedy::better_airflow})
        check_promise(system, visit, doing(remedy), 400);
}

TEST_CASE("what a remedy promises is what reading again brings: sensible is judged, or both") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    const Proof proof = prove(system, visit);
    visit.judge = Judge::both;
    visit.limit = 0.88;
    visit.sensible_limit = proof.sensible->ratio - 0.03;
    check_promise(system, visit, doing(Remedy::side_by_side), 400);
    visit.judge = Judge::sensible;
    check_promise(system, visit, doing(Remedy::side_by_side), 400);
}

TEST_CASE("remedies come best first, and everything together is as sure as can be") {
    const System system = unit_a::exact_page();
    const Visit visit = unit_a::example_7();
    const Proof proof = prove(system, visit);
    const auto all = settle(visit, proof);
    REQUIRE(all.size() >= 5);
    for (std::size_t i = 2; i < all.size(); ++i) CHECK(all[i - 2].decided() >= all[i - 1].decided());
    CHECK(all.back().remedy == Remedy::everything);
    for (const Settling& one : all) {
        CHECK(one.decided() >= 0.0);
        CHECK(one.decided() <= 1.0);
        CHECK(one.ratio_u >= all.back().ratio_u);
        CHECK(one.decided() <= all.back().decided());
        CHECK(one.ratio_u < proof.ratio_u);
        CHECK(one.remedy != Remedy::barometer);  // what counts as exact cannot be bettered
    }
    // By hand, of the contributions of domain example 7, percent: one probe's error at both places, and what is left.
    const double dry = std::hypot(3.02 - 3.50, 3.50 * 0.15 / 0.35),
                 wet = std::hypot(3.68 - 2.71 * 1.25 / 1.5, 2.71 * 0.7 / 1.5);
    const double own = 100.0 * proof.expected_u, other = std::hypot(2.90, 0.29);
    const Settling compared = promised(all, Remedy::side_by_side);
    CHECK(near(100.0 * compared.ratio_u / *proof.ratio, std::sqrt(dry * dry + wet * wet + own * own + other * other),
               absolute(0.06)));
}

TEST_CASE("a barometer takes the weather out of the ratio, as far as it says") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    visit.site = Site::at_elevation(1200_ft);
    for (Uncertain& u : visit.uncertainty) u.standard *= 0.1;  // beside the usual ones it would be lost
    visit.of(Input::pressure) = {};
    visit.limit = *prove(system, visit).ratio;
    const Proof proof = prove(system, visit);
    REQUIRE(proof.notes.has(Note::weather_in_pressure));
    const Settling told = promised(settle(visit, proof), Remedy::barometer);
    visit.site = Site::at(1200_ft, air::pressure_at(1200_ft));
    visit.of(Input::pressure).standard = practice::good_barometer;
    const Proof with = prove(system, visit);
    CHECK(with.ratio_u < proof.ratio_u);
    CHECK(near(told.ratio_u, with.ratio_u, relative(0.005)));
}

TEST_CASE("a longer window makes less of what scatters, and only of that") {
    const System system = unit_a::exact_page();
    const Visit visit = unit_a::example_7();
    const Proof proof = prove(system, visit);
    for (const Settling& one : settle(visit, proof)) CHECK(one.remedy != Remedy::longer_window);
    // All that is uncertain of an airflow scatters: four times the window halves it, and the mean goes on from there.
    TypeA type_a{};
    const auto airflow = static_cast<std::size_t>(Input::airflow);
    type_a[airflow] = visit.of(Input::airflow).standard;
    const Settling told = promised(settle(visit, proof, type_a), Remedy::longer_window);
    const double c = *proof.ratio * unit_a::line_of(proof, Input::airflow).ratio;
    double squares = proof.expected_u * proof.expected_u;
    for (const BudgetLine& line : proof.budget) squares += line.ratio * line.ratio;
    const double now = *proof.ratio * std::sqrt(squares), then = std::sqrt(now * now - 0.75 * c * c);
    CHECK(near(told.ratio_u, then, relative(1e-9)));
    // What it will tell has the variance that it takes away.
    const double z = 1.6448536269514722, spread = std::sqrt(0.75) * std::abs(c);
    CHECK(near(told.meets, probability_at_least(visit.limit.value() + z * then, *proof.ratio, spread), relative(1e-6)));
    // Another instrument reads the same restless air: with all of it in the scatter, nothing is better.
    for (const Settling& one : settle(visit, proof, type_a)) CHECK(one.remedy != Remedy::better_airflow);
    type_a[airflow] *= 1.01;
    CHECK_THROWS_WITH_AS((void)settle(visit, proof, type_a), doctest::Contains("type A part of airflow"), InputError);
}

TEST_CASE("two that share an error already are not compared again") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    for (const Input i :
         {Input::return_dry_bulb, Input::return_humidity, Input::supply_dry_bulb, Input::supply_humidity})
        visit.of(i).instrument = "one probe";
    for (const Settling& one : settle(visit, prove(system, visit))) CHECK(one.remedy != Remedy::side_by_side);
}

TEST_CASE("nothing is to be settled where better readings are not what lacks") {
    const System system = unit_a::exact_page();
    Visit visit = unit_a::example_7();
    visit.limit = 0.5;
    REQUIRE(prove(system, visit).outcome == Outcome::meets);
    CHECK(settle(visit, prove(system, visit)).empty());
    visit.limit = 0.9;
    visit.steady = false;
    CHECK(settle(visit, prove(system, visit)).empty());
}

TEST_CASE("a plan knows the chances before anybody drives there") {
    const System system = unit_a::exact_page();
    Visit forecast = unit_a::example_7();
    forecast.readings.supply_dry_bulb.si = Readings::not_given;  // not read yet
    forecast.readings.supply_humidity.value = Readings::not_given;
    const Plan planned = plan(system, forecast);
    REQUIRE(planned.reason.none());
    CHECK(near(*planned.proof.ratio, 1.0, absolute(0.003)));  // the mean by draws; as read it is 1
    CHECK(near(unit_a::as_read(planned.proof), 1.0, relative(1e-6)));
    // Worked example 7: expected net total 32.33 MBh.
    CHECK(near(in(planned.proof.expected->total_capacity, units::MBh), 32.33, relative(0.0015)));
    REQUIRE(planned.chances.size() == 3);
    const PlannedChance &sound = planned.chances[0], &at_limit = planned.chances[1], &poor = planned.chances[2];
    CHECK(sound.true_ratio == 1.0);
    CHECK(at_limit.true_ratio == 0.9);
    CHECK(poor.true_ratio == 0.85);
    // At the limit either decision has 5 %, by what confidence means.
    CHECK(near(at_limit.meets, 0.05, absolute(1e-9)));
    CHECK(near(at_limit.falls_short, 0.05, absolute(1e-9)));
    CHECK(sound.meets > 0.1);
    CHECK(sound.falls_short < 0.01);
    CHECK(poor.falls_short > poor.meets);
    // Better instruments, better chances, and what the plan promised of them.
    const Settling better = promised(planned.remedies, Remedy::humidities);
    forecast.of(Input::return_humidity) = forecast.of(Input::supply_humidity) = limits(0.015);
    const PlannedChance bettered = plan(system, forecast).chances[0];
    CHECK(bettered.meets > sound.meets);
    CHECK(near(bettered.meets, better.meets, absolute(1e-3)));
    CHECK(near(bettered.ratio_u, better.ratio_u, relative(1e-3)));
    forecast.outdoor_dry_bulb = 130_degF;
    const Plan hot = plan(system, forecast);
    CHECK(hot.reason.why == Why::outside);
    CHECK(hot.reason.about == About::outdoor_dry_bulb);
    CHECK(hot.chances.empty());
    CHECK(hot.remedies.empty());
    forecast.readings.return_dry_bulb.si = Readings::not_given;
    CHECK_THROWS_AS((void)plan(system, forecast), Refused);
}
