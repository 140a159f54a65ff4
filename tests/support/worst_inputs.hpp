// For each limit of reading the dearest input that was found, with exactly so many of what the limit counts, 16 MiB at
// most; and what reading it costs. tests/files/limits.cpp holds the memory, benchmarks/limits.cpp shows the time too.
#pragma once

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>

#include "offnominal/files.hpp"
#include "offnominal/standard205.hpp"

namespace worst {

using offnominal::Limits;

constexpr std::size_t mebibyte = std::size_t{1} << 20, greatest_input = 16 * mebibyte;

struct Input {
    std::string text;
    std::string side = {};  ///< the table that a system names
};

// Parts of inputs.

inline std::string times(std::size_t count, std::string_view text) {
    std::string out;
    out.reserve(count * text.size());
    while (count-- > 0) out += text;
    return out;
}
/// A text of so many bytes.
inline std::string filled(std::string text, std::size_t bytes, char with) {
    text.resize(bytes, with);
    return text;
}
/// A name or number of so many digits: each another one.
inline std::string digits(std::size_t value, std::size_t count) {
    const std::string out = std::to_string(value);
    return std::string(count - out.size(), '0') + out;
}

inline const std::string head = "offnominal: system/1\nname: x\n";
/// The name of the side table, as long as one may be: each of its nodes knows it.
inline const std::string side = filled("side", 196, '_') + ".csv";
/// A system with a stage for each `count`, all of one side table.
inline std::string stages(std::size_t count, std::string_view more = {}) {
    std::string out =
        head + "cooling:\n  basis: {capacity: net, fan: 365 W per 1000 scfm, airflow: standard}\n  stages:\n";
    for (std::size_t i = 0; i < count; ++i)
        out += "    s" + std::to_string(i) + ":\n      file: " + side + "\n" + std::string(more);
    return out;
}
/// A full table of a page. Its entering dry bulbs stand in rows, or, `at` so many, in the names of columns.
struct Page {
    std::size_t outdoor = 1, airflow = 1, wet_bulb = 1, dry_bulb = 1, at = 0;
    std::size_t width = 0;  ///< of a number of an axis, which is kept as typed for each node
    bool has_airflow = true;
    bool has_all = false;  ///< every column that there is
};
inline std::string table(const Page& page) {
    const auto number = [](std::size_t hundredths, std::size_t width) {
        std::string text = digits(hundredths, 5);
        text.insert(3, ".");
        return filled(text, std::max(text.size(), width), '0');
    };
    const bool dry = page.dry_bulb > 1;
    std::string names, units, all;
    const auto column = [&](std::string_view name, std::string_view unit) {
        for (const auto& [line, word] : {std::pair(&names, name), {&units, unit}})
            line->append(line->empty() ? "" : ",").append(word);
    };
    column("odb", "degF");
    if (page.has_airflow) column("airflow", "scfm");
    column("ewb", "degF");
    if (dry) column("edb", "degF");
    column("total", "MBh");
    for (std::size_t k = 0; k < page.at; ++k) column("sensible@" + number(6000 + 10 * k, page.width), "MBh");
    if (page.has_all)
        for (const auto& [name, unit, value] : {std::array{"pressure", "kPa", "101.325"},
                                                {"power", "kW", "3"},
                                                {"bypass", "1", "0.1"},
                                                {"split", "delta_degF", "20"},
                                                {"latent", "MBh", "9"},
                                                {"suction_pressure", "psig", "130"},
                                                {"liquid_pressure", "psig", "400"},
                                                {"amps", "A", "9"},
                                                {"eer", "Btu/Wh", "9"},
                                                {"cop", "W/W", "3"}}) {
            column(name, unit);
            all.append(",").append(value);
        }
    std::string out = names + "\n" + units + "\n";
    for (std::size_t i = 0; i < page.outdoor; ++i)
        for (std::size_t j = 0; j < page.airflow; ++j)
            for (std::size_t k = 0; k < page.wet_bulb; ++k)
                for (std::size_t l = 0; l < page.dry_bulb; ++l) {
                    out += number(6000 + 5 * i, page.width);
                    if (page.has_airflow) out += "," + std::to_string(800 + j);
                    out += "," + number(4500 + 2 * k, page.width);
                    if (dry) out += "," + number(7600 + 5 * l, page.width);
                    out += "," + number(4000 + k - i, 0);
                    for (std::size_t m = 0; m < page.at; ++m) out += "," + number(1000 + 10 * m, 0);
                    out += all + "\n";
                }
    return out;
}
/// A log of readings: `columns` of them beside the time.
inline std::string log(std::size_t columns, std::size_t rows, std::string_view cell, std::size_t most = greatest_input,
                       std::size_t name = 5) {
    std::string out = "time (s)", row;
    for (std::size_t k = 0; k < columns; ++k) {
        out += ",c" + digits(k, name - 1) + " (degF)";
        row += "," + std::string(cell);
    }
    out += "\n";
    for (std::size_t i = 0; i < rows && out.size() + row.size() + 9 < most; ++i) out += std::to_string(i) + row + "\n";
    return out;
}

/// A representation with a map of so many outdoor dry bulbs, humidities and dry bulbs; `more` keys, and `among` its
/// texts.
inline std::string representation(const std::array<std::size_t, 3>& grid, std::string_view more = {},
                                  std::size_t among = 0) {
    const auto rising = [](std::size_t count, std::size_t first, std::size_t step, std::size_t point) {
        std::string out;
        for (std::size_t i = 0; i < count; ++i)
            out += (i == 0 ? "" : ",") + digits(first + step * i, point + 4).insert(point, ".");
        return out;
    };
    const auto same = [&](std::string_view value) {
        return std::string(value) + times(grid[0] * grid[1] * grid[2] - 1, "," + std::string(value));
    };
    std::string out =
        R"({"metadata":{"data_model":"ASHRAE_205","schema":"RS0004","schema_version":"1.0.0","id":"123e4567-e89b-12d3-a456-426614174000",)"
        R"("data_timestamp":"2026-01-01T00:00Z","data_version":1)";
    for (std::size_t i = 0; i < among; ++i) out += ",\"" + digits(i, 200) + "\":1";
    out +=
        R"(},"performance":{"performance_map_cooling":{"grid_variables":{"outdoor_coil_entering_dry_bulb_temperature":[)" +
        rising(grid[0], 2'900'000, 10, 3);
    out += R"(],"indoor_coil_entering_relative_humidity":[)" + rising(grid[1], 100, 1, 1);
    out += R"(],"indoor_coil_entering_dry_bulb_temperature":[)" + rising(grid[2], 2'900'000, 10, 3);
    out +=
        R"(],"indoor_coil_air_mass_flow_rate":[0.5],"compressor_sequence_number":[1],"ambient_absolute_air_pressure":[101325]},"lookup_variables":{)";
    out += R"("gross_total_capacity":[)" + same("9000") + R"(],"gross_sensible_capacity":[)" + same("7000") +
           R"(],"gross_power":[)" + same("2500");
    return out + R"(]}},"compressor_speed_control_type":"DISCRETE","cycling_degradation_coefficient":0.25})" +
           std::string(more) + "}";
}

enum class Kind { system, log, representation };

struct Case {
    std::size_t Limits::*limit;
    std::string_view what;
    Kind kind;
    Input (*make)(std::size_t count);
    /// Where 16 MiB cannot reach the limit, or not in whole parts: the most that they can; 0: the limit as it is.
    std::size_t narrowed = 0;

    [[nodiscard]] Limits limits() const {
        Limits out;
        if (narrowed != 0) out.*limit = narrowed;
        return out;
    }
    void read(const Input& input) const {
        const auto beside = [&](const std::string& name) -> std::optional<std::string> {
            return name == side ? std::optional(input.side) : std::nullopt;
        };
        switch (kind) {
            case Kind::system:
                (void)offnominal::parse_system(input.text, "s.yaml", beside, limits());
                break;
            case Kind::log:
                (void)offnominal::parse_log(input.text, "l.csv", {.flaws = offnominal::LogFormat::Flaws::leave_out},
                                            limits());
                break;
            case Kind::representation:
                (void)offnominal::standard205::parse_representation(input.text, "r.json", limits());
                break;
        }
    }
};

constexpr Case cases[] = {
    {&Limits::file_bytes, "a log of small numbers", Kind::log,
     [](std::size_t n) -> Input { return {filled(log(1, 1'700'000, "7", n), n, ' ')}; }},
    {&Limits::yaml_bytes, "one word", Kind::system,
     [](std::size_t n) -> Input { return {filled(head + "notes: ", n, 'a')}; }},
    {&Limits::all_bytes, "a table of two stages, in numbers of many digits", Kind::system,
     [](std::size_t n) -> Input {
         std::string text = stages(2);
         if ((n - text.size()) % 2 == 1) text += "\n";
         return {text, filled(table({.outdoor = 300, .wet_bulb = 333, .width = 40}), (n - text.size()) / 2, '#')};
     }},
    {&Limits::lines, "a word in many lines", Kind::system,
     [](std::size_t n) -> Input { return {head + "notes: a\n" + times(n - 4, " a\n")}; }},
    {&Limits::marks, "brackets", Kind::system,
     [](std::size_t n) -> Input { return {head + "notes: " + times(n - 3, "[")}; }},
    {&Limits::depth, "lists in lists", Kind::system,
     [](std::size_t n) -> Input {
         return {head + "notes: [" + times(3'200, times(30, "[") + times(30, "]") + ", ") + times(n - 2, "[") +
                 times(n - 2, "]") + "]\n"};
     }},
    {&Limits::values, "indoor units", Kind::system,
     [](std::size_t n) -> Input {
         std::string text = stages(1) + "matches:\n";
         for (std::size_t i = 0; i < (n - 23 + 5) / 6; ++i)
             text += "  m" + std::to_string(i) + ": {total: 0.9, power: 0.9}\n";
         return {text, table({.outdoor = 2, .wet_bulb = 2})};
     },
     99'995},
    {&Limits::key_bytes, "keys that differ at their end", Kind::system,
     [](std::size_t n) -> Input {
         std::string text = head + "notes:\n";
         for (std::size_t i = 0; i < 40'000; ++i) text += " " + digits(i, 200) + ": a\n";
         return {text + " " + digits(40'000, n) + ": a\n"};
     }},
    {&Limits::columns, "a column for each dry bulb", Kind::system,
     [](std::size_t n) -> Input {
         return {stages(1), table({.outdoor = 50, .wet_bulb = 66, .at = n - 4, .width = 40})};
     }},
    {&Limits::log_columns, "a log of as many readings as fit", Kind::log,
     [](std::size_t n) -> Input { return {log(n - 1, 3'990, "7.1")}; }},
    {&Limits::rows, "a table with every column", Kind::system,
     [](std::size_t n) -> Input {
         const std::string rows =
             table({.outdoor = 1'000, .wet_bulb = 200, .width = 15, .has_airflow = false, .has_all = true});
         return {stages(1, "      airflow: 1000 scfm\n"), rows + times(n - 200'000, "1\n")};
     }},
    {&Limits::cells, "a log", Kind::log,
     [](std::size_t n) -> Input {
         return {log(7, 499'998, "7") + "499998" + times(n - 8 * 499'999 - 2, ",7") + "\n"};
     }},
    {&Limits::flaws, "a log without a number, in columns of long names", Kind::log,
     [](std::size_t n) -> Input {
         const std::string cell = filled("nonsense", n < 500'000 ? 20 : 25, 'x');
         return {log(2, n / 2, cell, 2 * greatest_input, 190) + (n % 2 == 0 ? "" : "999999,7," + cell + "\n")};
     }},
    {&Limits::factor_rows, "a page of nodes that are typed with many digits, at each of its airflows", Kind::system,
     [](std::size_t n) -> Input {
         std::string factors = "      airflow_factors: |\n        airflow total\n        scfm 1\n";
         for (std::size_t i = 0; i < n; ++i)
             factors += "        " + std::to_string(800 + i) + " " + (i == 0 ? "1" : "0.9") + "\n";
         return {stages(1, factors), table({.outdoor = 44, .wet_bulb = 45, .width = 40, .has_airflow = false})};
     }},
    {&Limits::breakpoints, "dry bulbs", Kind::system,
     [](std::size_t n) -> Input {
         return {stages(1), table({.outdoor = 9, .airflow = 2, .wet_bulb = 11, .dry_bulb = n})};
     }},
    {&Limits::nodes, "a page with every column, some for two dry bulbs", Kind::system,
     [](std::size_t n) -> Input {
         const std::string one =
             "    one:\n      table: |\n        odb airflow ewb total\n        degF scfm degF MBh\n        95 1000 67 "
             "36\n";
         return {stages(1) + times(n % 2, one),
                 table({.outdoor = 500, .wet_bulb = n / 1'000, .at = 2, .width = 25, .has_all = true})};
     }},
    {&Limits::representation_bytes, "numbers", Kind::representation,
     [](std::size_t n) -> Input { return {filled("{\"a\": [" + times(n / 2 - 10, "0,") + "0]}", n, ' ')}; },
     greatest_input},
    {&Limits::representation_values, "numbers of a byte, in CBOR", Kind::representation,
     [](std::size_t n) -> Input {
         return {
             "\xa1\x61"
             "a\x9f" +
             std::string(n - 2, '\0') + "\xff"};
     },
     greatest_input - 3},
    {&Limits::object_keys, "keys that differ at their end", Kind::representation,
     [](std::size_t n) -> Input {
         std::string text = "{\"a\": [";
         for (std::size_t k = 0; k < 98; ++k) {
             text += k == 0 ? "{" : ", {";
             for (std::size_t i = 0; i < (k < 97 ? 1'000 : n); ++i)
                 text += (i == 0 ? "\"" : ",\"") + digits(i, 160) + "\":1";
             text += "}";
         }
         return {text + "]}"};
     }},
    {&Limits::points, "a map, of which a system is made", Kind::system,
     [](std::size_t n) -> Input {
         return {representation({(n + 9'999) / 10'000, 100, 100})};
     }},
    {&Limits::departures, "keys that the standard has not", Kind::representation,
     [](std::size_t n) -> Input {
         std::string more;
         for (std::size_t i = 0; i < n - 507; ++i) more += ",\"" + digits(i, 200) + "\":1";
         return {representation({2, 2, 2}, more, 500)};
     }},
};

[[nodiscard]] inline std::string_view counts_of(const Case& one) {
    return std::find_if(std::begin(offnominal::limit_rows), std::end(offnominal::limit_rows),
                        [&](const offnominal::LimitRow& row) { return row.most == one.limit; })
        ->counts;
}

/// What a process of its own took.
struct Cost {
    std::string said;        ///< the complaint, if any
    double seconds = 0.0;    ///< of a processor
    double megabytes = 0.0;  ///< at most, the input among them
};
template <class Work>
Cost cost_of(const Work& work) {
    int ends[2];
    if (pipe(ends) != 0) std::abort();
    const pid_t child = fork();
    if (child < 0) std::abort();
    if (child == 0) {
        std::string said;
        try {
            work();
        } catch (const std::exception& error) {
            said = error.what();
        }
        said.resize(std::min<std::size_t>(said.size(), 4'000));
        _exit(write(ends[1], said.data(), said.size()) == static_cast<ssize_t>(said.size()) ? 0 : 1);
    }
    close(ends[1]);
    Cost out;
    char some[4'096];
    for (ssize_t got = 0; (got = ::read(ends[0], some, sizeof some)) > 0;)
        out.said.append(some, static_cast<std::size_t>(got));
    close(ends[0]);
    int status = 0;
    rusage used{};
    wait4(child, &status, 0, &used);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) out.said = "the process ended without a word";
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    out.seconds = seconds(used.ru_utime) + seconds(used.ru_stime);
    out.megabytes = static_cast<double>(used.ru_maxrss) * 1024.0 / 1e6;
    return out;
}

}  // namespace worst
