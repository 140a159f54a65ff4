/// @file
/// What loggers kept: readings over time, of one logger or of several on one clock.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/field/mean.hpp"
#include "offnominal/field/steady.hpp"
#include "offnominal/site.hpp"
#include "offnominal/units.hpp"

namespace offnominal {

/// One column of numbers: `return_dry_bulb`. SI; NaN where a reading is missing.
struct Series {
    std::string name;
    Unit unit;  ///< as the logger wrote it
    std::vector<double> values;
};

/// One column of words, such as the stage.
struct WordSeries {
    std::string name;
    std::vector<std::string> words;
};

/// A reading that is missing or was left out, with its place in the file.
struct LogFlaw {
    int line = 0, column = 0;
    std::string text;  ///< as the logger wrote it
    std::string problem;
};

/// The rows of a log, by time.
struct Log {
    std::string name;           ///< of the file
    std::string preamble;       ///< what stood above the heading
    std::vector<double> times;  ///< seconds: from 1970 if `dated`, else from midnight or the logger's own start
    bool dated = false;
    bool zoned = false;          ///< and of UTC, as its stamps have a zone
    std::vector<Series> series;  ///< each as long as `times`
    std::vector<WordSeries> words;
    std::vector<LogFlaw> flaws;

    /// The column of that name, or nullptr.
    [[nodiscard]] const Series* find(std::string_view column) const noexcept;
    [[nodiscard]] const WordSeries* find_words(std::string_view column) const noexcept;
};

/// What a visit's readings were taken of, where they are means of its logs: the earliest steady window, or the last
/// one.
struct LogWindow {
    SteadySearch search;
    bool dated = false;              ///< its times are from 1970
    std::vector<std::string> flaws;  ///< readings that are missing or were left out: file, line, column, what and why
};

/// A time of a log in words: "2026-07-14 15:15:00", or "900 s" where it has no dates.
[[nodiscard]] std::string moment_words(double time, bool dated);

/// Several loggers on one clock: the rows of the one that reads least often, while all of them ran. Numbers of the
/// others are interpolated between the readings before and after, unless those are more than `longest_gap` apart;
/// words are those that held.
/// @throws InputError for logs that have no time in common, or a column of one name twice
[[nodiscard]] Log aligned(const std::vector<Log>& logs, Duration longest_gap = SteadyCriteria{}.longest_gap);

/// What a `SteadyWatch` needs of a log.
struct LogSignals {
    std::vector<Signals> signals;  ///< for each row
    std::vector<double> changes;   ///< another word for `stage`, and every row with `defrost`
    std::vector<double> defrosts;  ///< the latter alone
    SteadyCriteria criteria;       ///< those given, with all that the log has as watched
};

/// The signals of a log. It has `return_dry_bulb` and `supply_dry_bulb`, and may have one measure of humidity of each
/// (`return_wet_bulb`, `return_relative_humidity`, `return_humidity_ratio`, `return_dew_point`), `outdoor_dry_bulb`,
/// `external_static`, `power`, and the words `stage` and `defrost` (`on` or `off`, `1` or `0`).
/// @throws InputError for a column that must be there, two measures of one humidity, a state of air that cannot be by
///         its row, another word for a defrost
[[nodiscard]] LogSignals signals_of(const Log& log, const Site& site, const SteadyCriteria& criteria = {});

/// The mean of a column from one time to another, both included, without what is missing.
/// @throws InputError for a column that the log does not have, and as `mean_of`
[[nodiscard]] SeriesMean mean_within(const Log& log, std::string_view column, double begin, double end);

/// The earliest steady window of a log.
[[nodiscard]] SteadySearch steady_window(const Log& log, const Site& site, const SteadyCriteria& criteria = {},
                                         Duration running = Duration{0.0});

}  // namespace offnominal
