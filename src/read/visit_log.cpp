#include "read/visit_log.hpp"

#include <algorithm>
#include <cmath>

#include "offnominal/explain.hpp"
#include "read/beside.hpp"

namespace offnominal::files {
namespace {

/// A flaw as a report lists it.
std::string flaw_words(const std::string& file, const LogFlaw& flaw) {
    return file + ", line " + std::to_string(flaw.line) + ", column " + std::to_string(flaw.column) + ": " +
           flaw.problem + (flaw.text.empty() ? "" : ": '" + flaw.text + "'");
}

/// Of `2026-07-14 15:15:00`.
constexpr std::size_t visit_day = 10;

/// Two clocks on one machine, and a defrost that is told by the minute.
constexpr double same_time = 120.0;

}  // namespace

VisitLog::VisitLog(const Document& document, const Item& item) : document_(document) {
    const auto add = [&](const Item& one) {
        if (one.kind == Item::Kind::scalar) {
            files_.push_back({&one, one.text, {}});
            return;
        }
        const Fields fields(document, one, "readings: log",
                            {"file", "date_order", "flaws", "clock_ahead", "valve_swing"});
        const Item& file = fields.need("file", "the name of a CSV file beside the visit, run.csv");
        LogFormat format;
        format.date_order = fields.choice("date_order", format.date_order);
        format.flaws = fields.choice("flaws", format.flaws);
        format.clock_ahead = fields.quantity<Dimension::duration>("clock_ahead").value_or(format.clock_ahead);
        files_.push_back({&file, fields.text(file, "file"), format});
        const Duration swing = fields.quantity<Dimension::duration>("valve_swing").value_or(Duration{0.0});
        if (!(swing.si >= 0.0))
            fields.refuse(*fields.find("valve_swing"), "readings: log: valve_swing: below zero",
                          "the time from one crest to the next, such as 3 min");
        valve_swing_ = std::max(valve_swing_, swing);
    };
    if (item.kind != Item::Kind::list)
        add(item);
    else
        for (const Item& one : item.values) add(one);
    if (files_.empty()) document.refuse(item, "readings: log: an empty list", "the name of a CSV file, run.csv");
}

std::vector<std::string> VisitLog::names() const {
    std::vector<std::string> out;
    for (const File& file : files_) out.push_back(file.name);
    return out;
}

void VisitLog::open(Visit& visit) {
    const Item& where = *files_.front().item;
    if (visit.steady)
        document_.refuse(where, "steady: the log tells that", "no steady, where readings are taken from a log");
    std::vector<Log> logs;
    LogWindow taken;
    for (const File& file : files_) {
        const std::string path = document_.beside->none() ? std::string() : document_.beside->path(file.name);
        if (path.empty())
            document_.refuse(*file.item, "readings: log: not the name of a file beside this one",
                             "a name such as run.csv");
        logs.push_back(placed(document_, *file.item, [&] {
            return read_log(document_.beside->open(path, *document_.budget), file.format, *document_.budget);
        }));
        for (const LogFlaw& flaw : logs.back().flaws) taken.flaws.push_back(flaw_words(file.name, flaw));
    }
    log_ = placed(document_, where, [&] { return aligned(logs); });
    SteadyCriteria criteria;
    criteria.mode = visit.mode();
    criteria.valve_swing = valve_swing_;
    LogSignals of;
    taken.search = placed(document_, where, [&] {
        of = signals_of(*log_, visit.site, criteria);
        return steady_window(log_->times, of.signals, of.changes, of.criteria, visit.running.value_or(Duration{0.0}));
    });
    taken.dated = log_->dated;
    begin_ = taken.search.window.begin;
    end_ = taken.search.window.end;
    check_date(visit);
    check_stage(visit);
    take_defrosts(of.defrosts, visit);
    visit.steady = taken.search.window.steady();
    // From the last change that the log tells, or as long as it ran before the log and in it.
    if (visit.running) visit.running->si += begin_ - log_->times.front();
    for (const double change : of.changes)
        if (change <= begin_) visit.running = Duration{begin_ - change};
    visit.log_window = std::move(taken);
}

void VisitLog::refuse(const std::string& problem, const std::string& accepted) const {
    document_.refuse(*files_.front().item, "readings: log: " + problem, accepted);
}

void VisitLog::check_date(const Visit& visit) const {
    if (!log_->dated || visit.date.empty()) return;
    const auto day = [](double time) { return moment_words(time, true).substr(0, visit_day); };
    const double east = log_->zoned ? 14.0 * 3600.0 : 0.0, west = log_->zoned ? 12.0 * 3600.0 : 0.0;  // any clock's day
    if (visit.date < day(begin_ - west) || visit.date > day(end_ + east))
        refuse("its readings are of " + day(begin_) + ", the visit is of " + visit.date,
               "the log of that day; or date: " + day(begin_));
}

void VisitLog::check_stage(const Visit& visit) const {
    const WordSeries* stage = log_->find_words("stage");
    if (stage == nullptr || visit.stage.empty()) return;
    for (std::size_t row = 0; row < log_->times.size(); ++row) {
        const std::string& word = stage->words[row];
        if (log_->times[row] < begin_ || log_->times[row] > end_ || word.empty() || word == visit.stage) continue;
        refuse("its stage is " + word + " at " + moment_words(log_->times[row], log_->dated) + ", the visit's is " +
                   visit.stage,
               "the stage that ran in both; another heading, where the log calls stages by other words");
    }
}

void VisitLog::take_defrosts(const std::vector<double>& defrosts, Visit& visit) const {
    if (visit.mode() != Mode::heating || log_->find_words("defrost") == nullptr) return;
    std::optional<double> last;  // as far as the log tells; its rows are in order
    for (const double at : defrosts)
        if (at <= end_) last = at;
    const double since = begin_ - last.value_or(log_->times.front());  // without one, it is longer ago than that
    const std::string when = last ? "a defrost at " + moment_words(*last, log_->dated)
                                  : "no defrost from " + moment_words(log_->times.front(), log_->dated) + " on";
    if (visit.defrost_free && *visit.defrost_free && last && since < practice::least_since_defrost.si)
        refuse("it shows " + when + ", the visit says defrost_free", "no defrost_free; the log tells it");
    if (visit.since_defrost) {
        const double said = visit.since_defrost->si;
        if (last ? std::abs(said - since) > same_time : said < since - same_time)
            refuse("it shows " + when + ", the visit's since_defrost is " + brief(said / 60.0, 3) + " min",
                   last ? "since_defrost: " + brief(std::max(since, 0.0) / 60.0, 3) + " min, or none: the log tells it"
                        : "a longer since_defrost, or none: the log tells it");
        return;
    }
    if (visit.defrost_free) return;
    if (last && since >= 0.0)
        visit.since_defrost = Duration{since};
    else if (last || since >= practice::least_since_defrost.si)
        visit.defrost_free = !last;
}

VisitLog::Mean VisitLog::mean(const Item& item, const std::string& column, Dimension dimension, Visit& visit) {
    if (!log_) open(visit);
    const SeriesMean of = placed(document_, item, [&] { return mean_within(*log_, column, begin_, end_); });
    const Unit& unit = log_->find(column)->unit;
    if (unit.dimension != dimension)
        document_.refuse(item, "the log's column " + column + " is in " + std::string(unit.name),
                         "a unit of " + std::string(name(dimension)));
    return {of, unit};
}

}  // namespace offnominal::files
