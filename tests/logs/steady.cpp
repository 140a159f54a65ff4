// When readings count: the earliest steady window, second by second and held against plain sums over every window.
#include "offnominal/field/steady.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "../support/near.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

constexpr std::size_t at(Signal signal) { return static_cast<std::size_t>(signal); }

/// A machine in cooling: split, enthalpy difference and supply humidity ratio, which settle at `pace` from the start.
Signals settling(double time, double pace, double ripple = 0.0) {
    Signals out;
    out.fill(NAN);
    const double left = std::exp(-time / pace);
    out[at(Signal::split)] = 10.5 - 4.0 * left + ripple;
    out[at(Signal::enthalpy_difference)] = 15000.0 - 9000.0 * left + 500.0 * ripple;
    out[at(Signal::supply_humidity_ratio)] = 0.0092 + 0.002 * left;
    return out;
}

struct Run {
    std::vector<double> times;
    std::vector<Signals> signals;

    void add(double time, const Signals& s) {
        times.push_back(time);
        signals.push_back(s);
    }
};

Run run_of(double pace, double step, double until) {
    Run out;
    for (double t = 0.0; t <= until; t += step) out.add(t, settling(t, pace));
    return out;
}

SteadyCriteria started() {
    SteadyCriteria c;
    c.least_running = Duration{0.0};
    return c;
}

/// Drift and range of one signal over a window, by the definitions.
struct Plain {
    double drift, range, mean;
};
Plain plainly(const Run& run, std::size_t first, std::size_t last, Signal signal) {
    long double n = 0, t = 0, x = 0, tt = 0, tx = 0;
    double least = INFINITY, greatest = -INFINITY;
    for (std::size_t i = first; i <= last; ++i) n += 1, t += run.times[i], x += run.signals[i][at(signal)];
    for (std::size_t i = first; i <= last; ++i) {
        const double value = run.signals[i][at(signal)];
        tt += (run.times[i] - t / n) * (run.times[i] - t / n);
        tx += (run.times[i] - t / n) * (value - x / n);
        least = std::min(least, value);
        greatest = std::max(greatest, value);
    }
    return {static_cast<double>(tx / tt) * (run.times[last] - run.times[first]), greatest - least,
            static_cast<double>(x / n)};
}

}  // namespace

TEST_CASE("a steady machine: the first window that began 15 minutes after the start") {
    const Run run = run_of(60.0, 1.0, 3600.0);
    const SteadySearch found = steady_window(run.times, run.signals);
    CHECK(found.window.steady());
    CHECK(found.window.begin == 900.0);
    CHECK(found.window.end == 1500.0);
    CHECK(found.window.samples == 601);
    CHECK(found.wait.si == 0.0);
    CHECK(near(found.window.of[at(Signal::split)].mean, 10.5, absolute(1e-5)));
    CHECK(std::isnan(found.window.of[at(Signal::power)].mean));

    SUBCASE("it had run before") {
        CHECK(steady_window(run.times, run.signals, {}, {}, Duration{600.0}).window.begin == 300.0);
    }
    SUBCASE("it was changed") {
        const SteadySearch later = steady_window(run.times, run.signals, {1200.0});
        CHECK(later.window.begin == 2100.0);
    }
    SUBCASE("the valve swings every five minutes, so three swings take longer than ten minutes") {
        SteadyCriteria c;
        c.valve_swing = Duration{300.0};
        CHECK(steady_window(run.times, run.signals, {}, c).window.end == 1800.0);
    }
}

TEST_CASE("moisture settles last: no window until its drift is within the limit") {
    const Run run = run_of(400.0, 5.0, 7200.0);
    const SteadySearch found = steady_window(run.times, run.signals, {}, started());
    REQUIRE(found.window.steady());
    CHECK(found.window.begin > 900.0);
    for (const Signal signal : {Signal::split, Signal::enthalpy_difference, Signal::supply_humidity_ratio}) {
        const SignalSpan& of = found.window.of[at(signal)];
        CHECK(std::abs(of.drift) <= of.greatest_drift);
        CHECK(of.range <= of.greatest_range);
    }
}

TEST_CASE("what stands between a run and its steady window is named, in order") {
    const Run run = run_of(400.0, 5.0, 1200.0);
    CHECK(steady_window(run.times, run.signals).window.why == Unsteady::running);
    const SteadySearch found = steady_window(run.times, run.signals, {}, started());
    CHECK(found.window.why == Unsteady::drift);
    CHECK(found.window.signal == Signal::split);
    const Run brief = run_of(10.0, 5.0, 300.0);
    CHECK(steady_window(brief.times, brief.signals, {}, started()).window.why == Unsteady::window);
    CHECK(steady_window(brief.times, brief.signals, {}, started()).wait.si == 300.0);
    Run wild = run_of(10.0, 5.0, 1200.0);
    for (std::size_t i = 0; i < wild.times.size(); ++i) wild.signals[i][at(Signal::split)] += i % 2 == 0 ? 0.6 : -0.6;
    CHECK(steady_window(wild.times, wild.signals, {}, started()).window.why == Unsteady::range);
}

TEST_CASE("the wait that is foretold is about the wait there is") {
    for (const double pace : {300.0, 500.0, 800.0}) {
        const Run run = run_of(pace, 2.0, 4.0 * 3600.0);
        const SteadySearch whole = steady_window(run.times, run.signals, {}, started());
        REQUIRE(whole.window.steady());
        const Run part = run_of(pace, 2.0, 900.0);
        const SteadySearch early = steady_window(part.times, part.signals, {}, started());
        REQUIRE_FALSE(early.window.steady());
        CAPTURE(pace);
        CHECK(near(900.0 + early.wait.si, whole.window.end, relative(0.10)));
    }
}

TEST_CASE("second by second and all at once: drift, range and mean of every window as the definitions have them") {
    std::mt19937_64 random(3);
    std::normal_distribution<double> noise(0.0, 0.05);
    std::uniform_real_distribution<double> pause(0.6, 8.0);
    for (const double epoch : {0.0, 1.78e9}) {
        Run run;
        for (double t = 0.0; t < 6000.0; t += pause(random)) run.add(epoch + t, settling(t, 700.0, noise(random)));
        SteadyWatch watch(started());
        std::size_t first = 0, steady_at = 0;
        for (std::size_t i = 0; i < run.times.size(); ++i) {
            const SteadyWindow& window = watch.add(run.times[i], run.signals[i]);
            while (run.times[first + 1] <= run.times[i] - 600.0) ++first;
            REQUIRE(window.begin == run.times[first]);
            REQUIRE(window.samples == i - first + 1);
            if (window.steady() && steady_at == 0) steady_at = i;
            if (i == first || i % 7 != 0) continue;
            for (const Signal signal : {Signal::split, Signal::enthalpy_difference, Signal::supply_humidity_ratio}) {
                const Plain plain = plainly(run, first, i, signal);
                const SignalSpan& of = window.of[at(signal)];
                REQUIRE(near(of.mean, plain.mean, relative(1e-13)));
                REQUIRE(near(of.drift, plain.drift, absolute(1e-12 * std::abs(plain.mean))));
                REQUIRE(of.range == plain.range);
            }
        }
        REQUIRE(steady_at > 0);
        const SteadySearch found = steady_window(run.times, run.signals, {}, started());
        CHECK(found.window.end == run.times[steady_at]);
        CHECK(found.window.steady());
    }
}

TEST_CASE("a watch that has run for a month is as exact as a new one") {
    SteadyWatch old(started()), fresh(started());
    std::mt19937_64 random(5);
    std::normal_distribution<double> noise(0.0, 0.02);
    for (int i = 0; i < 300000; ++i) {
        const double t = 1e9 + 10.0 * i;
        const Signals s = settling(1e6, 100.0, noise(random));
        (void)old.add(t, s);
        if (i >= 300000 - 61) (void)fresh.add(t, s);
    }
    REQUIRE(old.window().samples == fresh.window().samples);
    for (const Signal signal : {Signal::split, Signal::enthalpy_difference}) {
        CHECK(near(old.window().of[at(signal)].drift, fresh.window().of[at(signal)].drift, absolute(1e-9)));
        CHECK(near(old.window().of[at(signal)].mean, fresh.window().of[at(signal)].mean, relative(1e-14)));
    }
}

TEST_CASE("clocks that start elsewhere find the same window") {
    const Run run = run_of(500.0, 4.0, 7200.0);
    const SteadySearch found = steady_window(run.times, run.signals);
    for (const double shift : {-5e4, 3.5, 1.7e9}) {
        Run other = run;
        for (double& t : other.times) t += shift;
        const SteadySearch again = steady_window(other.times, other.signals);
        CHECK(again.window.begin - shift == found.window.begin);
        CHECK(again.window.steady());
    }
}

TEST_CASE("a thermostat that cycles, a defrost and a gap each start the count again (traps 30, 35)") {
    Run run = run_of(30.0, 5.0, 5400.0);
    SUBCASE("the split falls away") {
        for (std::size_t i = 0; i < run.times.size(); ++i)
            if (run.times[i] >= 1000.0 && run.times[i] <= 1200.0) run.signals[i][at(Signal::split)] = 0.5;
        CHECK(steady_window(run.times, run.signals).window.begin == 2100.0);
    }
    SUBCASE("heating: supply warmer than return counts, colder is a defrost") {
        SteadyCriteria c;
        c.mode = Mode::heating;
        c.watched = {true};
        for (std::size_t i = 0; i < run.times.size(); ++i)
            run.signals[i][at(Signal::split)] *= run.times[i] >= 1000.0 && run.times[i] <= 1200.0 ? 1.0 : -1.0;
        CHECK(steady_window(run.times, run.signals, {}, c).window.begin == 2100.0);
    }
    SUBCASE("a gap of more than three minutes") {
        Run gap;
        for (std::size_t i = 0; i < run.times.size(); ++i)
            if (!(run.times[i] > 1000.0 && run.times[i] < 1200.0)) gap.add(run.times[i], run.signals[i]);
        CHECK(steady_window(gap.times, gap.signals).window.begin == 2100.0);
    }
    SUBCASE("a missing reading is no gap, and counts for nothing") {
        run.signals[250][at(Signal::supply_humidity_ratio)] = NAN;
        const SteadySearch found = steady_window(run.times, run.signals);
        CHECK(found.window.begin == 900.0);
        CHECK(found.window.samples == 120);
    }
}

TEST_CASE("other signals are watched where they are asked for") {
    Run run = run_of(30.0, 5.0, 3600.0);
    for (std::size_t i = 0; i < run.times.size(); ++i)
        run.signals[i][at(Signal::outdoor_dry_bulb)] =
            33.0 + (run.times[i] > 1000.0 && run.times[i] < 1010.0 ? 1.3 : 0.0);
    CHECK(steady_window(run.times, run.signals).window.begin == 900.0);
    SteadyCriteria c;
    c.watched[at(Signal::outdoor_dry_bulb)] = true;
    const SteadySearch found = steady_window(run.times, run.signals, {}, c);
    CHECK(found.window.begin == 1010.0);
    const Run part{{run.times.begin(), run.times.begin() + 310}, {run.signals.begin(), run.signals.begin() + 310}};
    const SteadySearch early = steady_window(part.times, part.signals, {}, c);
    CHECK(early.window.why == Unsteady::range);
    CHECK(early.window.signal == Signal::outdoor_dry_bulb);
    CHECK(part.times.back() + early.wait.si + 5.0 == found.window.end);
}

TEST_CASE("the signals of the air are those of deliver") {
    Readings r;
    r.return_dry_bulb = 76_degF;
    r.return_humidity = air::relative_humidity(0.55);
    r.supply_dry_bulb = 57.2_degF;
    r.supply_humidity = air::relative_humidity(0.92);
    r.airflow = AirflowReading::actual(1120_cfm, air::Place::return_air);
    const Site site = Site::at_elevation(0_ft);
    const Signals s = try_signals(r, site).value();
    const Delivered d = deliver(r, site);
    CHECK(s[at(Signal::split)] == d.split.si);
    CHECK(near(s[at(Signal::enthalpy_difference)] * d.mass_flow.si, d.total_capacity.si, relative(1e-12)));
    CHECK(s[at(Signal::supply_humidity_ratio)] == d.supply_air.humidity_ratio.si);
    CHECK(s[at(Signal::return_wet_bulb)] == d.return_wet_bulb.si);
    CHECK(std::isnan(s[at(Signal::power)]));
    r.return_humidity = air::wet_bulb(80_degF);
    CHECK(try_signals(r, site).reason().about == About::return_wet_bulb);
    r.return_dry_bulb.si = NAN;
    CHECK(try_signals(r, site).reason().why == Why::not_given);
}

TEST_CASE("a valve's swing is the time from crest to crest") {
    std::vector<double> times, readings;
    for (int i = 0; i < 900; ++i) {
        times.push_back(2.0 * i);
        readings.push_back(13.0 + 0.4 * std::sin(2.0 * 3.14159265358979 * times.back() / 170.0) + 0.01 * (i % 3));
    }
    CHECK(near(valve_swing(times, readings, 0.3).si, 170.0, relative(0.02)));
    CHECK(valve_swing(times, readings, 2.0).si == 0.0);
    CHECK_THROWS_WITH_AS((void)valve_swing(times, readings, 0.0), "not a least swing: '0'; accepted: above 0",
                         InputError);
}

TEST_CASE("what cannot be watched is named") {
    SteadyWatch watch;
    (void)watch.add(10.0, settling(0.0, 1.0));
    CHECK_THROWS_WITH_AS((void)watch.add(10.0, settling(0.0, 1.0)),
                         "time of a reading: not after the one before: '10'; accepted: above 10", InputError);
    CHECK_THROWS_WITH_AS((void)watch.add(NAN, settling(0.0, 1.0)),
                         "time of a reading: not a number: 'nan'; accepted: seconds", InputError);
    CHECK_THROWS_WITH_AS(watch.change(INFINITY), "time of a change: not a number: 'inf'; accepted: seconds",
                         InputError);
    CHECK_THROWS_WITH_AS((void)steady_window({1.0, 3.0, 2.0}, std::vector<Signals>(3)),
                         "times 3: before the one before: '2'; accepted: times that rise, each once", InputError);
    CHECK_THROWS_WITH_AS((void)steady_window({1.0, 2.0, 2.0}, std::vector<Signals>(3)),
                         "times 3: the same as the one before: '2'; accepted: times that rise, each once", InputError);
    CHECK_THROWS_WITH_AS((void)steady_window({1.0, 2.0}, std::vector<Signals>(3)),
                         "times and signals: unlike in number: '2 and 3'; accepted: one of each at each time",
                         InputError);
    const auto refused = [](auto&& spoil, const std::string& message) {
        SteadyCriteria c;
        spoil(c);
        CHECK_THROWS_WITH_AS(SteadyWatch{c}, message.c_str(), InputError);
    };
    refused([](SteadyCriteria& c) { c.window = Duration{0.0}; },
            "window: not such a duration: '0 s'; accepted: at least 10 s");
    refused([](SteadyCriteria& c) { c.window = Duration{1e7}; },
            "window: too long to watch: '10000000 s'; accepted: 5 days at most");
    refused([](SteadyCriteria& c) { c.valve_swing = Duration{-1.0}; },
            "valve swing: not such a duration: '-1 s'; accepted: at least 0 s");
    refused([](SteadyCriteria& c) { c.watched = {}; },
            "watched: without the split; accepted: the split, and others beside it");
    refused([](SteadyCriteria& c) { c.limits[0].drift = -1.0; },
            "split: not a greatest drift: '-1'; accepted: above 0");
    refused([](SteadyCriteria& c) { c.mode = static_cast<Mode>(7); },
            "mode: not one of the modes; accepted: cooling, heating");
    SteadyWatch fast;
    CHECK_THROWS_WITH_AS(
        [&] {
            for (int i = 0; i < 7000; ++i) (void)fast.add(0.1 * i, settling(0.1 * i, 1.0));
        }(),
        "readings less than half a second apart: '120.2'; accepted: means over a second or more", InputError);
}
