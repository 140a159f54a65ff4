#include "offnominal/field/steady.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "given.hpp"
#include "offnominal/field/practice.hpp"

namespace offnominal {
namespace {

/// No forecast reaches further than this (common practice, no source).
constexpr double longest_wait = 2.0 * 3600.0;
/// Readings closer than this over a whole window are refused: their ring would have no bound.
constexpr double closest_readings = 0.5;

std::size_t slot_of(Signal signal) { return static_cast<std::size_t>(signal); }

/// Whether all that is watched was read.
bool all_read(const Signals& signals, const SteadyCriteria& criteria) {
    for (std::size_t k = 0; k < signal_count; ++k)
        if (criteria.watched[k] && !std::isfinite(signals[k])) return false;
    return true;
}

void check_steady_limit(double limit, std::string_view signal, const char* what) {
    if (!(limit > 0.0))
        throw InputError({}, std::string(signal) + ": not a greatest " + what, logs::text_of(limit), "above 0");
}

void check_steady_duration(Duration value, const char* what, double least) {
    if (!std::isfinite(value.si) || value.si < least)
        throw InputError({}, std::string(what) + ": not such a duration", logs::text_of(value.si) + " s",
                         "at least " + logs::text_of(least) + " s");
}

}  // namespace

Answer<Signals> try_signals(const Readings& r, const Site& site) noexcept {
    const auto pressure = site.pressure();
    if (!pressure) return pressure.reason();
    const Pressure p{*pressure};
    if (std::isnan(r.return_dry_bulb.si)) return Reason{Why::not_given, About::return_dry_bulb};
    if (std::isnan(r.supply_dry_bulb.si)) return Reason{Why::not_given, About::supply_dry_bulb};
    Signals out;
    out.fill(Readings::not_given);
    const double t1 = r.return_dry_bulb.si, t2 = r.supply_dry_bulb.si;
    out[slot_of(Signal::return_dry_bulb)] = t1;
    out[slot_of(Signal::split)] = t1 - t2;
    double h1 = Readings::not_given, h2 = Readings::not_given;
    if (!std::isnan(r.return_humidity.value)) {
        const auto in = air::try_state(r.return_dry_bulb, r.return_humidity, p);
        if (!in) return detail::about_air(About::return_dry_bulb, in.reason());
        h1 = air::enthalpy(*in).si;
        out[slot_of(Signal::return_wet_bulb)] = air::wet_bulb(*in).si;
    }
    if (!std::isnan(r.supply_humidity.value)) {
        const auto from = air::try_state(r.supply_dry_bulb, r.supply_humidity, p);
        if (!from) return detail::about_air(About::supply_dry_bulb, from.reason());
        h2 = air::enthalpy(*from).si;
        out[slot_of(Signal::supply_humidity_ratio)] = from->humidity_ratio.si;
    }
    out[slot_of(Signal::enthalpy_difference)] = h1 - h2;
    return out;
}

Duration SteadyCriteria::span() const noexcept { return Duration{std::max(window.si, 3.0 * valve_swing.si)}; }

SteadyWatch::SteadyWatch(const SteadyCriteria& criteria, Duration running)
    : criteria_(criteria), running_before_(running.si) {
    check_steady_duration(criteria.window, "window", 10.0);
    check_steady_duration(criteria.valve_swing, "valve swing", 0.0);
    check_steady_duration(criteria.least_running, "least running", 0.0);
    check_steady_duration(criteria.longest_gap, "longest gap", 1.0);
    check_steady_duration(running, "running", 0.0);
    if (!known(criteria.mode)) throw InputError({}, "mode: not one of the modes", {}, accepted_words<Mode>());
    if (!criteria.watched[slot_of(Signal::split)])
        throw InputError({}, "watched: without the split", {}, "the split, and others beside it");
    for (const SignalWords& signal : words_of<Signal>) {
        const SteadyLimit& limit = criteria.limits[slot_of(signal.value)];
        check_steady_limit(limit.drift, signal.word, "drift");
        check_steady_limit(limit.range, signal.word, "range");
    }
    const double most = criteria.span().si / closest_readings;
    if (most > 1e6)
        throw InputError({}, "window: too long to watch", logs::text_of(criteria.span().si) + " s", "5 days at most");
    ring_.resize(static_cast<std::size_t>(most) + 2);
}

SteadyWatch::Run SteadyWatch::run_of(const Entry& entry) const noexcept {
    Run out;
    out.samples = 1;
    out.time = entry.time - origin_;
    for (std::size_t k = 0; k < signal_count; ++k) {
        const double x = entry.signals[k];
        out.of[k] = {x, 0.0, x, x};
    }
    return out;
}

SteadyWatch::Run SteadyWatch::joined(const Run& a, const Run& b) noexcept {
    if (a.samples == 0) return b;
    if (b.samples == 0) return a;
    Run out;
    out.samples = a.samples + b.samples;
    const double na = static_cast<double>(a.samples), nb = static_cast<double>(b.samples), n = na + nb;
    const double apart = b.time - a.time, share = nb / n, weight = na * share;
    out.time = a.time + share * apart;
    out.time_square = a.time_square + b.time_square + weight * apart * apart;
    for (std::size_t k = 0; k < signal_count; ++k) {
        const Sums &x = a.of[k], &y = b.of[k];
        const double step = y.mean - x.mean;
        out.of[k] = {x.mean + share * step, x.with_time + y.with_time + weight * apart * step,
                     std::min(x.least, y.least), std::max(x.greatest, y.greatest)};
    }
    return out;
}

/// Where the older run is used up, the newer one becomes the older.
void SteadyWatch::drop_oldest() noexcept {
    if (older_ == 0) {
        Run onward;
        for (std::size_t i = size_; i-- > 0;) entry(i).onward = onward = joined(run_of(entry(i)), onward);
        older_ = size_;
        newer_ = {};
    }
    first_ = (first_ + 1) % ring_.size();
    --size_;
    --older_;
}

void SteadyWatch::change(double time) {
    if (!std::isfinite(time)) throw InputError({}, "time of a change: not a number", logs::text_of(time), "seconds");
    since_ = begun_ ? std::max(since_, time) : time;
    if (!begun_) running_before_ = 0.0;
    begun_ = true;
    judge();
}

const SteadyWindow& SteadyWatch::add(double time, const Signals& signals) {
    if (!std::isfinite(time)) throw InputError({}, "time of a reading: not a number", logs::text_of(time), "seconds");
    if (window_.samples > 0 && !(time > last_))
        throw InputError({}, "time of a reading: not after the one before", logs::text_of(time),
                         "above " + logs::text_of(last_));
    if (!begun_) {
        since_ = time - running_before_;
        begun_ = true;
    }
    if (!all_read(signals, criteria_)) return window_;
    if (window_.samples == 0) origin_ = time;
    if (size_ > 0 && time - last_ > criteria_.longest_gap.si) {
        size_ = older_ = 0;
        newer_ = {};
        since_ = time;
    }
    // A machine that is off, in the wrong mode or defrosting.
    const double split = signals[slot_of(Signal::split)];
    if ((criteria_.mode == Mode::heating ? -split : split) < practice::least_split.si) since_ = time;

    last_ = time;
    while (size_ > 1 && entry(1).time <= time - criteria_.span().si) drop_oldest();
    if (size_ == ring_.size())
        throw InputError({}, "readings less than half a second apart", logs::text_of(time),
                         "means over a second or more");
    entry(size_++) = {time, signals, {}};
    newer_ = joined(newer_, run_of(entry(size_ - 1)));
    judge();
    return window_;
}

void SteadyWatch::judge() noexcept {
    window_ = {};
    if (size_ == 0) return;
    const Run all = joined(older_ > 0 ? entry(0).onward : Run{}, newer_);
    window_.begin = entry(0).time;
    window_.end = last_;
    window_.samples = size_;
    window_.why = Unsteady::none;
    const auto fails = [&](Unsteady why, Signal signal) {
        if (window_.why != Unsteady::none) return;
        window_.why = why;
        window_.signal = signal;
    };
    if (window_.begin < since_ + criteria_.least_running.si) fails(Unsteady::running, Signal::split);
    if (window_.end - window_.begin < criteria_.span().si) fails(Unsteady::window, Signal::split);
    for (const SignalWords& signal : words_of<Signal>) {
        const std::size_t k = slot_of(signal.value);
        if (!criteria_.watched[k]) continue;
        const SteadyLimit& limit = criteria_.limits[k];
        const Sums& sums = all.of[k];
        const double unit = limit.of_mean ? std::abs(sums.mean) : 1.0;
        SignalSpan& of = window_.of[k];
        of.mean = sums.mean;
        of.drift = size_ > 1 ? sums.with_time / all.time_square * (window_.end - window_.begin) : 0.0;
        of.range = sums.greatest - sums.least;
        of.greatest_drift = limit.drift * unit;
        of.greatest_range = limit.range * unit;
        if (std::abs(of.drift) > of.greatest_drift) fails(Unsteady::drift, signal.value);
        if (of.range > of.greatest_range) fails(Unsteady::range, signal.value);
    }
}

/// Of the line through the readings of one signal between two times.
double SteadyWatch::slope(double from, double to, std::size_t signal) const noexcept {
    Run run;
    for (std::size_t i = 0; i < size_; ++i)
        if (entry(i).time >= from && entry(i).time <= to) run = joined(run, run_of(entry(i)));
    return run.samples > 1 ? run.of[signal].with_time / run.time_square : 0.0;
}

Duration SteadyWatch::wait() const {
    const double span = criteria_.span().si, least = criteria_.least_running.si;
    if (window_.steady()) return Duration{0.0};
    if (size_ == 0) return Duration{(begun_ ? 0.0 : -std::min(running_before_, least)) + least + span};
    double out = std::max({since_ + least + span - last_, window_.begin + span - last_, 0.0});
    if (window_.end - window_.begin < span) return Duration{out};
    const double middle = 0.5 * (window_.begin + window_.end);
    for (std::size_t k = 0; k < signal_count; ++k) {
        const SignalSpan& of = window_.of[k];
        const double drift = std::abs(of.drift);
        if (drift > of.greatest_drift) {
            const double kept = slope(middle, window_.end, k) / slope(window_.begin, middle, k);
            const bool fades = kept > 0.0 && kept < 0.95;
            out = std::max(out, fades ? 0.5 * span * std::log(drift / of.greatest_drift) / -std::log(kept) : span);
        } else if (of.range > of.greatest_range) {  // until what stands out has left the window
            std::size_t newest = 0;
            const double centre = of.mean;
            for (std::size_t i = 0; i < size_; ++i)
                if (std::abs(entry(i).signals[k] - centre) > 0.5 * of.greatest_range) newest = i;
            out = std::max(out, entry(newest).time - window_.begin);
        }
    }
    return Duration{std::min(out, longest_wait)};
}

SteadySearch steady_window(const std::vector<double>& times, const std::vector<Signals>& signals,
                           const std::vector<double>& changes, const SteadyCriteria& criteria, Duration running) {
    logs::check_same_length(times.size(), "times", signals.size(), "signals");
    logs::check_times(times);
    if (!changes.empty()) logs::check_readings(changes, "changes", 1);
    std::vector<double> due = changes;
    std::sort(due.begin(), due.end());
    SteadyWatch watch(criteria, running);
    std::size_t next = 0;
    for (std::size_t i = 0; i < times.size(); ++i) {
        while (next < due.size() && due[next] <= times[i]) watch.change(due[next++]);
        if (watch.add(times[i], signals[i]).steady()) break;
    }
    return {watch.window(), watch.wait()};
}

Duration valve_swing(const std::vector<double>& times, const std::vector<double>& readings, double least) {
    logs::check_same_length(times.size(), "times", readings.size(), "readings");
    logs::check_times(times);
    logs::check_readings(readings, "readings", 1);
    if (!(least > 0.0)) throw InputError({}, "not a least swing", logs::text_of(least), "above 0");
    double first = 0.0, last = 0.0;
    std::size_t crests = 0, top = 0, bottom = 0;
    bool rising = true, from_trough = false;  // what came before the first trough is no crest
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i] > readings[top]) top = i;
        if (readings[i] < readings[bottom]) bottom = i;
        if (rising && readings[top] - readings[i] >= least) {
            if (from_trough) {
                last = times[top];
                if (crests++ == 0) first = last;
            }
            rising = false;
            bottom = i;
        } else if (!rising && readings[i] - readings[bottom] >= least) {
            rising = from_trough = true;
            top = i;
        }
    }
    return Duration{crests < 3 ? 0.0 : (last - first) / static_cast<double>(crests - 1)};
}

}  // namespace offnominal
