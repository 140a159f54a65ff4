#include "offnominal/field/series.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>

#include "given.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {
namespace {

/// Where a series stands at a time: at the reading before or on it, and how far towards the next.
struct Between {
    std::size_t before = 0;
    double share = 0.0;
};

Between between(const std::vector<double>& times, double time) {
    const auto after = std::upper_bound(times.begin(), times.end(), time);
    const std::size_t before = static_cast<std::size_t>(after - times.begin()) - 1;
    if (times[before] == time) return {before, 0.0};
    return {before, (time - times[before]) / (times[before + 1] - times[before])};
}

/// The usual time from one row to the next.
double usual_step(const Log& log) {
    std::vector<double> steps;
    for (std::size_t i = 1; i < log.times.size(); ++i) steps.push_back(log.times[i] - log.times[i - 1]);
    if (steps.empty()) return 0.0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

/// A column's reading of one row; NaN without a column.
double reading(const Series* series, std::size_t row) {
    return series == nullptr ? Readings::not_given : series->values[row];
}

/// One side's measure of humidity.
struct HumidityColumn {
    const Series* series = nullptr;
    air::Humidity::Kind kind = air::Humidity::Kind::wet_bulb;
};

HumidityColumn humidity_of(const Log& log, const std::string& side) {
    HumidityColumn out;
    for (const auto& measure : words_of<air::Humidity::Kind>) {
        const Series* found = log.find(side + "_" + std::string(measure.word));
        if (found == nullptr) continue;
        if (out.series != nullptr)
            throw InputError({log.name}, "two measures of one humidity", out.series->name + ", " + found->name,
                             "one of them");
        out = {found, measure.value};
    }
    return out;
}

/// Such a column. @throws InputError with those there are
const Series& needed(const Log& log, std::string_view name) {
    if (const Series* found = log.find(name)) return *found;
    std::string have;
    for (const Series& series : log.series) have += (have.empty() ? "" : ", ") + series.name;
    throw InputError({log.name}, "no such column", std::string(name), have);
}

bool defrosts(const Log& log, const std::string& word, std::size_t row) {
    for (const char* on : {"on", "1", "yes", "true"})
        if (word == on) return true;
    for (const char* off : {"off", "0", "no", "false", ""})
        if (word == off) return false;
    throw InputError({log.name}, logs::numbered("row", row) + ": defrost", word, "on, off, 1, 0, yes, no, true, false");
}

template <class Columns>
auto found_in(const Columns& columns, std::string_view name) {
    const auto at = std::find_if(columns.begin(), columns.end(), [&](const auto& one) { return one.name == name; });
    return at == columns.end() ? nullptr : &*at;
}

}  // namespace

const Series* Log::find(std::string_view column) const noexcept { return found_in(series, column); }
const WordSeries* Log::find_words(std::string_view column) const noexcept { return found_in(words, column); }

std::string moment_words(double time, bool dated) {
    if (!dated) return brief(time, 7) + " s";
    using namespace std::chrono;
    const sys_seconds at{seconds(std::llround(time))};
    const sys_days day = floor<days>(at);
    const year_month_day date{day};
    const hh_mm_ss clock{at - day};
    std::array<char, 32> out{};
    const int size = std::snprintf(
        out.data(), out.size(), "%04d-%02u-%02u %02d:%02d:%02d", static_cast<int>(date.year()),
        static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), static_cast<int>(clock.hours().count()),
        static_cast<int>(clock.minutes().count()), static_cast<int>(clock.seconds().count()));
    return std::string(out.data(), static_cast<std::size_t>(size));
}

Log aligned(const std::vector<Log>& logs, Duration longest_gap) {
    if (logs.empty()) throw InputError({}, "no logs", {}, "one or more");
    const Log* base = &logs.front();
    double begin = -HUGE_VAL, end = HUGE_VAL;
    for (const Log& log : logs) {
        logs::check_times(log.times);
        if (usual_step(log) > usual_step(*base)) base = &log;
        begin = std::max(begin, log.times.front());
        end = std::min(end, log.times.back());
    }
    if (begin > end)
        throw InputError({logs.back().name}, "no time in common with the other logs", {},
                         "logs of one run; by how much a clock is ahead");
    Log out;
    for (const Log& log : logs) {
        out.name += (out.name.empty() ? "" : ", ") + log.name;
        out.flaws.insert(out.flaws.end(), log.flaws.begin(), log.flaws.end());
    }
    out.dated = base->dated;
    out.zoned = base->zoned;
    for (const double time : base->times)
        if (time >= begin && time <= end) out.times.push_back(time);
    for (const Log& log : logs) {
        const auto once = [&](const std::string& column) {
            if (out.find(column) != nullptr || out.find_words(column) != nullptr)
                throw InputError({log.name}, "a column of another log too", column, "each column in one log");
        };
        for (const Series& from : log.series) {
            once(from.name);
            Series& to = out.series.emplace_back(Series{from.name, from.unit, {}});
            for (const double time : out.times) {
                const Between at = between(log.times, time);
                const double before = from.values[at.before];
                if (at.share == 0.0)
                    to.values.push_back(before);
                else if (log.times[at.before + 1] - log.times[at.before] > longest_gap.si)
                    to.values.push_back(Readings::not_given);
                else
                    to.values.push_back(before + at.share * (from.values[at.before + 1] - before));
            }
        }
        for (const WordSeries& from : log.words) {
            once(from.name);
            WordSeries& to = out.words.emplace_back(WordSeries{from.name, {}});
            for (const double time : out.times) to.words.push_back(from.words[between(log.times, time).before]);
        }
    }
    return out;
}

LogSignals signals_of(const Log& log, const Site& site, const SteadyCriteria& criteria) {
    const Series &warm = needed(log, "return_dry_bulb"), &cold = needed(log, "supply_dry_bulb");
    const HumidityColumn in = humidity_of(log, "return"), from = humidity_of(log, "supply");
    struct Beside {
        Signal signal;
        const Series* series;
    };
    const Beside beside[] = {{Signal::outdoor_dry_bulb, log.find("outdoor_dry_bulb")},
                             {Signal::external_static, log.find("external_static")},
                             {Signal::power, log.find("power")}};
    LogSignals out;
    out.criteria = criteria;
    const auto watch = [&](Signal signal, bool given) {
        out.criteria.watched[static_cast<std::size_t>(signal)] = given;
    };
    watch(Signal::split, true);
    watch(Signal::return_dry_bulb, true);
    watch(Signal::return_wet_bulb, in.series != nullptr);
    watch(Signal::supply_humidity_ratio, from.series != nullptr);
    watch(Signal::enthalpy_difference, in.series != nullptr && from.series != nullptr);
    for (const auto& [signal, series] : beside) watch(signal, series != nullptr);

    Readings r;
    for (std::size_t row = 0; row < log.times.size(); ++row) {
        Signals signals;
        signals.fill(Readings::not_given);
        r.return_dry_bulb.si = warm.values[row];
        r.supply_dry_bulb.si = cold.values[row];
        r.return_humidity = {in.kind, reading(in.series, row), air::Over::ashrae};
        r.supply_humidity = {from.kind, reading(from.series, row), air::Over::ashrae};
        if (!std::isnan(r.return_dry_bulb.si) && !std::isnan(r.supply_dry_bulb.si)) {
            const auto found = try_signals(r, site);
            if (!found)
                throw InputError({log.name},
                                 logs::numbered("row", row) + ": " + explain(found.reason(), UnitSystem::both));
            signals = *found;
        }
        for (const auto& [signal, series] : beside) signals[static_cast<std::size_t>(signal)] = reading(series, row);
        out.signals.push_back(signals);
    }
    if (const WordSeries* stage = log.find_words("stage"))
        for (std::size_t row = 1; row < log.times.size(); ++row)
            if (stage->words[row] != stage->words[row - 1]) out.changes.push_back(log.times[row]);
    if (const WordSeries* defrost = log.find_words("defrost"))
        for (std::size_t row = 0; row < log.times.size(); ++row)
            if (defrosts(log, defrost->words[row], row)) out.defrosts.push_back(log.times[row]);
    out.changes.insert(out.changes.end(), out.defrosts.begin(), out.defrosts.end());
    return out;
}

SeriesMean mean_within(const Log& log, std::string_view column, double begin, double end) {
    const Series& series = needed(log, column);
    std::vector<double> readings;
    for (std::size_t row = 0; row < log.times.size(); ++row)
        if (log.times[row] >= begin && log.times[row] <= end && !std::isnan(series.values[row]))
            readings.push_back(series.values[row]);
    return mean_of(readings);
}

SteadySearch steady_window(const Log& log, const Site& site, const SteadyCriteria& criteria, Duration running) {
    const LogSignals of = signals_of(log, site, criteria);
    return steady_window(log.times, of.signals, of.changes, of.criteria, running);
}

}  // namespace offnominal
