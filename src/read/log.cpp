#include <algorithm>
#include <array>
#include <limits>
#include <optional>

#include "offnominal/files.hpp"
#include "read/table.hpp"
#include "read/visit_log.hpp"
#include "text/stamp.hpp"

namespace offnominal::files {
namespace {

/// What a reading may be, by how its name ends.
struct Possible {
    std::string_view ending;
    Dimension dimension;
    double least, greatest;  ///< SI
};
constexpr double no_bound = std::numeric_limits<double>::infinity();
constexpr Possible possible[] = {
    {"dry_bulb", Dimension::temperature, air::least_dry_bulb, air::greatest_dry_bulb},
    {"wet_bulb", Dimension::temperature, air::least_dry_bulb, air::greatest_dry_bulb},
    {"dew_point", Dimension::temperature, air::least_dew_point, air::greatest_dry_bulb},
    {"relative_humidity", Dimension::ratio, 0.0, 1.0},
    {"humidity_ratio", Dimension::humidity_ratio, 0.0, 1.0},
    {"external_static", Dimension::pressure, -no_bound, no_bound},
    {"pressure", Dimension::pressure, air::least_pressure, air::greatest_pressure},
    {"power", Dimension::power, 0.0, no_bound},
    {"airflow", Dimension::airflow, 0.0, no_bound},
};

/// `Return Dry-Bulb` as `return_dry_bulb`.
std::string plain_name(std::string_view typed) {
    std::string out;
    for (const char c : typed) {
        const bool upper = c >= 'A' && c <= 'Z';
        const bool kept =
            upper || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
        if (kept)
            out += upper ? static_cast<char>(c - 'A' + 'a') : c;
        else if (!out.empty() && out.back() != '_')
            out += '_';
    }
    if (out.ends_with('_')) out.pop_back();
    return out;
}

/// How loggers spell what has one spelling here.
std::string_view own_spelling(std::string_view unit) {
    constexpr std::pair<std::string_view, std::string_view> spelled[] = {{"\xc2\xb0"
                                                                          "F",
                                                                          "degF"},
                                                                         {"F", "degF"},
                                                                         {"\xc2\xb0"
                                                                          "C",
                                                                          "degC"},
                                                                         {"C", "degC"},
                                                                         {"%RH", "%"},
                                                                         {"sec", "s"}};
    for (const auto& [theirs, ours] : spelled)
        if (unit == theirs) return ours;
    return unit;
}

/// What a cell holds where a reading is missing.
bool is_missing(std::string_view text) {
    constexpr std::string_view words[] = {"", "-", "--", "---", "nan", "NaN", "NAN", "NA", "N/A", "null", "OL"};
    return std::find(std::begin(words), std::end(words), text) != std::end(words);
}

/// One column of the heading: `return dry bulb (degF)`.
struct LogColumn {
    std::string name;
    std::string_view unit;  ///< empty: none
    int byte = 0;           ///< of the unit, or of the name
};

LogColumn read_heading(const Cell& cell) {
    LogColumn out{plain_name(cell.text), {}, cell.byte};
    const std::size_t open = cell.text.find_last_of("([");
    if (cell.text.empty() || (cell.text.back() != ')' && cell.text.back() != ']') || open == std::string_view::npos)
        return out;
    out.name = plain_name(cell.text.substr(0, open));
    out.unit = trimmed(cell.text.substr(open + 1, cell.text.size() - open - 2));
    out.byte = cell.byte + static_cast<int>(open) + 1;
    return out;
}

bool is_time(const std::string& name) {
    for (const char* one : {"time", "timestamp", "time_stamp", "date_time", "datetime", "date"})
        if (name == one) return true;
    return false;
}

class LogReader {
   public:
    LogReader(const Text& text, const LogFormat& format, Budget& budget)
        : text_(text), format_(format), budget_(budget) {
        log_.name = text.name();
    }

    Log read() {
        int line = 1;
        while (!read_head(line)) ++line;
        for (++line; line <= text_.lines(); ++line) {
            const std::vector<Cell> cells = csv_fields(text_, line, budget_, true);
            if (!cells.empty()) read_row(line, cells);
        }
        if (log_.times.empty()) refuse(text_.lines(), 0, "no readings below the heading", {}, "a row for each reading");
        return std::move(log_);
    }

   private:
    [[noreturn]] void refuse(int line, int byte, const std::string& problem, std::string_view text,
                             const std::string& accepted) const {
        throw InputError(text_.place(line, byte), problem, shortened(text), accepted);
    }

    /// A flaw that is named, and refused unless it may be left out.
    void note(int line, int byte, const std::string& problem, std::string_view text, const std::string& accepted) {
        if (format_.flaws == LogFormat::Flaws::refuse) refuse(line, byte, problem, text, accepted);
        list(line, byte, problem, text);
    }
    void list(int line, int byte, const std::string& problem, std::string_view text) {
        if (!budget_.take(&Limits::flaws, 1)) budget_.refuse(&Limits::flaws, text_.place(line, byte));
        log_.flaws.push_back({line, column_of(line, byte), shortened(text), problem});
    }

    /// As `Text::place` counts it, but from the flaw before: a line may be long, and full of flaws.
    int column_of(int line, int byte) {
        if (line != counted_line_ || byte < counted_byte_) counted_line_ = line, counted_byte_ = 0, counted_column_ = 1;
        const auto from = static_cast<std::size_t>(counted_byte_), to = static_cast<std::size_t>(byte);
        for (const char c : text_.line(line).substr(from, to - from))
            if ((static_cast<unsigned char>(c) & 0xc0) != 0x80) ++counted_column_;
        counted_byte_ = byte;
        return counted_column_;
    }

    /// Whether this line is the heading; what stands above it is kept.
    bool read_head(int line) {
        if (line > text_.lines())
            throw InputError({text_.name()}, "no heading with a column for the time", {},
                             "time, timestamp, date time, date and time, or time (s)");
        const std::vector<Cell> cells = csv_fields(text_, line, budget_, true);
        for (const Cell& cell : cells) columns_.push_back(read_heading(cell));
        if (std::none_of(columns_.begin(), columns_.end(), [](const LogColumn& c) { return is_time(c.name); })) {
            if (text_.line(line).find(';') != std::string_view::npos &&
                plain_name(text_.line(line)).find("time") != std::string::npos)
                refuse(line, 0, "semicolons between the columns", text_.line(line),
                       "commas between them, and a point before decimals");
            columns_.clear();
            log_.preamble.append(text_.line(line)).append("\n");
            return false;
        }
        for (std::size_t c = 0; c < columns_.size(); ++c) read_column(line, c, cells[c]);
        if (time_ < 0 && date_ >= 0)
            refuse(line, cells[static_cast<std::size_t>(date_)].byte, "a date without a time", "date", "date and time");
        return true;
    }

    void read_column(int line, std::size_t c, const Cell& cell) {
        const LogColumn& column = columns_[c];
        const int number = static_cast<int>(c);
        if (cell.text.size() > budget_.limits().key_bytes)  // every flaw of the column repeats it
            budget_.refuse(&Limits::key_bytes, text_.place(line, cell.byte), shortened(cell.text));
        if (column.name.empty()) {
            if (c + 1 == columns_.size()) return;  // a comma at the end
            refuse(line, cell.byte, "a column without a name", cell.text, "a name and a unit: return dry bulb (degF)");
        }
        for (std::size_t other = 0; other < c; ++other)
            if (columns_[other].name == column.name)
                refuse(line, cell.byte, "a column given twice", cell.text, "each column once");
        if (is_time(column.name)) {
            int& place = column.name == "date" ? date_ : time_;
            if (place >= 0) refuse(line, cell.byte, "a second column for the time", cell.text, "one");
            place = number;
            if (column.unit.empty()) return;
            Unit unit;
            if (const Complaint found = read_unit(own_spelling(column.unit), Dimension::duration, unit))
                refuse(line, column.byte, found.problem, column.unit, found.accepted);
            time_unit_ = unit;
            return;
        }
        const Possible* expected = nullptr;
        for (const Possible& one : possible)
            if (expected == nullptr && column.name.ends_with(one.ending)) expected = &one;
        if (column.unit.empty()) {
            if (expected != nullptr)
                refuse(line, cell.byte, "a column of numbers without a unit", cell.text,
                       std::string(cell.text) + " (unit)");
            kinds_.push_back({number, -1, static_cast<int>(log_.words.size()), nullptr});
            log_.words.push_back({column.name, {}});
            return;
        }
        Unit unit;
        const std::string_view spelled = own_spelling(column.unit);
        if (expected != nullptr) {
            if (const Complaint found = read_unit(spelled, expected->dimension, unit))
                refuse(line, column.byte, found.problem, column.unit, found.accepted);
        } else {
            const auto* const known = std::find_if(std::begin(units::all), std::end(units::all),
                                                   [&](const Unit& one) { return one.name == spelled; });
            if (known == std::end(units::all))
                refuse(line, column.byte, "unknown unit", column.unit, "a unit of the table of units");
            unit = *known;
        }
        kinds_.push_back({number, static_cast<int>(log_.series.size()), -1, expected});
        log_.series.push_back({column.name, unit, {}});
    }

    void read_row(int line, const std::vector<Cell>& cells) {
        if (cells.size() != columns_.size()) {
            note(line, 0,
                 std::to_string(cells.size()) + " values under " + std::to_string(columns_.size()) + " columns",
                 text_.line(line), "one value for each column, with a point before decimals");
            return;
        }
        double time = 0.0;
        const Cell& stamp = cells[static_cast<std::size_t>(time_)];
        if (!read_time(line, cells, time)) return;
        time -= format_.clock_ahead.si;
        if (!log_.times.empty() && !(time > log_.times.back())) {
            const bool same = time == log_.times.back();
            note(line, stamp.byte, same ? "the same time as the row above" : "a time before that of the row above",
                 stamp.text, "times that rise, each once; past midnight with their date");
            return;
        }
        log_.times.push_back(time);
        for (const auto& [column, series, words, expected] : kinds_) {
            const Cell& cell = cells[static_cast<std::size_t>(column)];
            if (words >= 0)
                log_.words[static_cast<std::size_t>(words)].words.emplace_back(cell.text);
            else
                log_.series[static_cast<std::size_t>(series)].values.push_back(
                    read_reading(line, cell, log_.series[static_cast<std::size_t>(series)], expected));
        }
    }

    bool read_time(int line, const std::vector<Cell>& cells, double& time) {
        const Cell& cell = cells[static_cast<std::size_t>(time_)];
        if (time_unit_) {
            Number number;
            Complaint found = read_number(cell.text, false, number);
            if (!found) found = to_si(number, *time_unit_, time);
            if (found) note(line, cell.byte, found.problem, cell.text, found.accepted);
            return !found;
        }
        std::string text(cell.text);
        if (date_ >= 0) text = std::string(cells[static_cast<std::size_t>(date_)].text) + " " + text;
        Stamp stamp;
        if (const Complaint found = read_stamp(text, format_.date_order, stamp)) {
            if (found.problem == unknown_order) refuse(line, cell.byte, found.problem, text, found.accepted);
            note(line, cell.byte, found.problem, text, found.accepted);
            return false;
        }
        if (log_.times.empty()) {
            first_ = stamp;
            log_.dated = stamp.has_date;
            log_.zoned = stamp.has_date && stamp.has_zone;
        }
        if (stamp.has_date != first_.has_date || stamp.has_zone != first_.has_zone) {
            note(line, cell.byte, "a time stamp unlike the first", text, "all with a date and a zone, or none");
            return false;
        }
        time = stamp.seconds;
        return true;
    }

    double read_reading(int line, const Cell& cell, const Series& series, const Possible* expected) {
        constexpr double missing = std::numeric_limits<double>::quiet_NaN();
        if (is_missing(cell.text)) {
            list(line, cell.byte, series.name + ": missing", cell.text);
            return missing;
        }
        Number number;
        double si = 0.0;
        Complaint found = read_number(cell.text, false, number);
        if (!found) found = to_si(number, series.unit, si);
        if (!found && expected != nullptr && !(si >= expected->least && si <= expected->greatest)) {
            const auto bound = [&](double at) { return rounded_text(series.unit.from_si(at), 5); };
            found = {"a reading that cannot be",
                     bound(expected->least) + " to " + bound(expected->greatest) + " " + std::string(series.unit.name)};
        }
        if (!found) return si;
        note(line, cell.byte, series.name + ": " + found.problem, cell.text, found.accepted);
        return missing;
    }

    /// Where the numbers or words of a column go.
    struct Goal {
        int column, series, words;
        const Possible* expected;
    };

    const Text& text_;
    const LogFormat& format_;
    Budget& budget_;
    int counted_line_ = 0, counted_byte_ = 0, counted_column_ = 1;
    Log log_;
    std::vector<LogColumn> columns_;
    std::vector<Goal> kinds_;
    int time_ = -1, date_ = -1;
    std::optional<Unit> time_unit_;
    Stamp first_;
};

}  // namespace

Log read_log(const Text& text, const LogFormat& format, Budget& budget) {
    return LogReader(text, format, budget).read();
}

}  // namespace offnominal::files

namespace offnominal {

Log load_log(const std::string& path, const LogFormat& format, const Limits& limits) {
    files::Budget budget(limits);
    return files::read_log(files::Text::from_file(path, budget), format, budget);
}

Log parse_log(std::string_view text, const std::string& name, const LogFormat& format, const Limits& limits) {
    files::Budget budget(limits);
    return files::read_log(files::Text::from_string(text, name, budget), format, budget);
}

}  // namespace offnominal
