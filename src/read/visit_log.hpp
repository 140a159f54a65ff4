/// @file
/// Reading logs, and the log that a visit's readings are taken from.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "offnominal/files.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// As `load_log` does, within what is left of a load.
[[nodiscard]] Log read_log(const Text& text, const LogFormat& format, Budget& budget);

/// `log: run.csv`, `log: {file: run.csv, date_order: month first, valve_swing: 3 min}`, or a list of these: the files
/// by name. They are opened when the first reading says `log`, for its mean over the earliest steady window, or where
/// none is steady over the last one.
class VisitLog {
   public:
    VisitLog(const Document& document, const Item& item);

    [[nodiscard]] std::vector<std::string> names() const;
    [[nodiscard]] bool opened() const noexcept { return log_.has_value(); }

    /// The mean of a column, and the unit that the logger wrote it in. The first sets what the visit says of
    /// steadiness.
    struct Mean {
        SeriesMean of;
        Unit unit;
    };
    /// @param item  the `log` of a reading, for complaints
    [[nodiscard]] Mean mean(const Item& item, const std::string& column, Dimension dimension, Visit& visit);

   private:
    struct File {
        const Item* item;
        std::string name;
        LogFormat format;
    };
    void open(Visit& visit);
    /// What the log tells of the visit beside its readings, held against what the visit says.
    void check_stage(const Visit& visit) const;
    void check_date(const Visit& visit) const;
    void take_defrosts(const std::vector<double>& defrosts, Visit& visit) const;
    [[noreturn]] void refuse(const std::string& problem, const std::string& accepted) const;

    const Document& document_;
    std::vector<File> files_;
    Duration valve_swing_{0.0};
    std::optional<Log> log_;
    double begin_ = 0.0, end_ = 0.0;
};

}  // namespace offnominal::files
