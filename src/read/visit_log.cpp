#include "read/visit_log.hpp"

#include "read/beside.hpp"

namespace offnominal::files {

VisitLog::VisitLog(const Document& document, const Item& item) : document_(document) {
    const auto add = [&](const Item& one) {
        if (one.kind == Item::Kind::scalar) {
            files_.push_back({&one, one.text, {}});
            return;
        }
        const Fields fields(document, one, "readings: log", {"file", "date_order", "flaws", "clock_ahead"});
        const Item& file = fields.need("file", "the name of a CSV file beside the visit, run.csv");
        LogFormat format;
        format.date_order = fields.choice("date_order", format.date_order);
        format.flaws = fields.choice("flaws", format.flaws);
        format.clock_ahead = fields.quantity<Dimension::duration>("clock_ahead").value_or(format.clock_ahead);
        files_.push_back({&file, fields.text(file, "file"), format});
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
    for (const File& file : files_) {
        const std::string path = document_.beside->none() ? std::string() : document_.beside->path(file.name);
        if (path.empty())
            document_.refuse(*file.item, "readings: log: not the name of a file beside this one",
                             "a name such as run.csv");
        logs.push_back(placed(document_, *file.item, [&] {
            return read_log(document_.beside->open(path, *document_.budget), file.format, *document_.budget);
        }));
    }
    log_ = placed(document_, where, [&] { return aligned(logs); });
    SteadyCriteria criteria;
    criteria.mode = visit.mode();
    const auto [window, changes] = placed(document_, where, [&] {
        const LogSignals of = signals_of(*log_, visit.site, criteria);
        return std::pair(
            steady_window(log_->times, of.signals, of.changes, of.criteria, visit.running.value_or(Duration{0.0}))
                .window,
            of.changes);
    });
    begin_ = window.begin;
    end_ = window.end;
    visit.steady = window.steady();
    // From the last change that the log tells, or as long as it ran before the log and in it.
    if (visit.running) visit.running->si += begin_ - log_->times.front();
    for (const double change : changes)
        if (change <= begin_) visit.running = Duration{begin_ - change};
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
