/// @file
/// Reading and writing system and visit files (YAML). Compiled: link `offnominal::files`, which also holds
/// `available_kernels` and `fastest_columns`. `offnominal.hpp` leaves this header out.
#pragma once

#include <functional>
#include <iosfwd>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/field/series.hpp"
#include "offnominal/field/visit.hpp"
#include "offnominal/limits.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

struct SizingLimits;

/// How the trade spells a unit besides its own name, in lower case: `btuh|btu/hr`. A reader takes these too, whatever
/// their case; what may be two units (`psi`) stands with neither. Common practice, no source.
struct UnitSpellings {
    std::string_view unit, spellings;
    /// Machines have thousands of it and never thousandths: `1,200 cfm` is 1200.
    bool is_whole = false;
    bool on_pages = true;  ///< pages of ratings are printed in it
};
[[nodiscard]] std::span<const UnitSpellings> unit_spellings() noexcept;

/// The text of a file that another one names, for a program that has its texts elsewhere than in a folder: in an
/// archive, a database, a program. It is asked by the name as typed, which leads out of no folder; nothing: there is
/// none of that name. What it throws comes out of the reading.
using TextBeside = std::function<std::optional<std::string>(const std::string& name)>;

/// Reads a system file, or a Standard 205 representation (see `standard205.hpp`, which also tells its departures).
/// Tables named in it are looked for beside it.
/// @throws InputError with file, line, column, the text and what would be accepted.
[[nodiscard]] System load_system(const std::string& path, const Limits& limits = {});

/// Reads a system from text. `name` stands for the file in messages; tables are looked for in `folder`, and where that
/// is empty nowhere: no file is opened.
[[nodiscard]] System parse_system(std::string_view text, const std::string& name, const std::string& folder = ".",
                                  const Limits& limits = {});
/// The same, with the tables that it names out of `beside`; without a function there are none.
[[nodiscard]] System parse_system(std::string_view text, const std::string& name, const TextBeside& beside,
                                  const Limits& limits = {});
/// The same out of a stream, which is read to its end or to the limit.
[[nodiscard]] System load_system(std::istream& from, const std::string& name, const TextBeside& beside = {},
                                 const Limits& limits = {});

/// The path of a file that another one names, as a visit names its system: a plain file of the same folder or below it.
/// @throws InputError for a name that leads elsewhere, a link, a pipe, a device
[[nodiscard]] std::string file_beside(const std::string& path, const std::string& name);

/// A cooling page of a file, as typed: read, but not checked against itself.
struct PageOfFile {
    std::string stage;
    std::string match;  ///< empty: the system's own page
    Basis basis;
    PrintedPage page;
    std::optional<double> speed = std::nullopt;  ///< of a variable-speed compressor, SI of `speed_unit`
    Unit speed_unit = units::one;
};
/// A heating page of a file, likewise.
struct HeatingPageOfFile {
    std::string stage;
    Frost frost = Frost::unknown;
    HeatingBasis basis;
    HeatingPage page;
    std::optional<double> speed = std::nullopt;  ///< as `PageOfFile::speed`
    Unit speed_unit = units::one;
};
struct PagesOfFile {
    std::vector<PageOfFile> cooling;
    std::vector<HeatingPageOfFile> heating;
};
/// Reads the pages of a system file only, for an audit: pages that `load_system` refuses because they contradict
/// themselves too. @throws InputError for what cannot be read at all
[[nodiscard]] PagesOfFile load_pages(const std::string& path, const Limits& limits = {});
/// The pages of a system.
[[nodiscard]] PagesOfFile pages_of(const System& system);

/// Reads a visit file, and the logs beside it that its readings are taken from. Does not read the system it names.
[[nodiscard]] Visit load_visit(const std::string& path, const Limits& limits = {});

/// Reads a visit from text (YAML, of which JSON is a part). Logs that its readings are taken from are looked for in
/// `folder`, and where that is empty nowhere.
[[nodiscard]] Visit parse_visit(std::string_view text, const std::string& name, const std::string& folder = ".",
                                const Limits& limits = {});
/// The same, with those logs out of `beside`; without a function there are none.
[[nodiscard]] Visit parse_visit(std::string_view text, const std::string& name, const TextBeside& beside,
                                const Limits& limits = {});

/// The same for `plan`: of the supply air only the instrument need be said, with the measure of humidity where that is
/// not the return air's.
[[nodiscard]] Visit load_forecast(const std::string& path, const Limits& limits = {});
[[nodiscard]] Visit parse_forecast(std::string_view text, const std::string& name, const std::string& folder = ".",
                                   const Limits& limits = {});
[[nodiscard]] Visit parse_forecast(std::string_view text, const std::string& name, const TextBeside& beside,
                                   const Limits& limits = {});

/// Limits of size for `choose` (`choose.hpp`): published ones by their name, or one's own as JSON, `{"source": "our
/// own, 2026", "total": [0.95, 1.2], "heat_pump": [0.95, 1.3], "sensible": 0.9, "latent": [1, 1.5]}`: of each the
/// least, or the least and the most, of every kind of machine; `heat_pump` is as `total` where it is left out. What is
/// read of `source` is that there is one: the caller has the text.
/// @throws InputError for a name that is none, and for what is no such JSON
[[nodiscard]] SizingLimits parse_sizing_limits(std::string_view limits);

/// How to read a log. The heading of its CSV file names each column with its unit, `return dry bulb (degF)`; a column
/// without one is kept as words. Times stand in a column `time`, `timestamp` or `date time`, or in `date` and `time`:
/// ISO 8601 (`2026-07-14T15:03:22`, with or without zone), `7/14/2026 3:03:22 PM` where `date_order` says which comes
/// first, the clock alone (seconds from midnight), or numbers under `time (s)`, `time (min)`, `time (h)`. What stands
/// above the heading is kept as it is.
struct LogFormat {
    enum class DateOrder : std::uint8_t { not_given, month_first, day_first };
    /// What to do with a row that goes back in time or repeats one, and with a reading that cannot be. What is merely
    /// missing is listed either way.
    enum class Flaws : std::uint8_t { refuse, leave_out };

    DateOrder date_order = DateOrder::not_given;
    Flaws flaws = Flaws::refuse;
    Duration clock_ahead{0.0};  ///< of the clock that the other loggers keep
};
template <>
inline constexpr Word<LogFormat::DateOrder> words_of<LogFormat::DateOrder>[] = {
    {LogFormat::DateOrder::not_given, ""},
    {LogFormat::DateOrder::month_first, "month first"},
    {LogFormat::DateOrder::day_first, "day first"}};
template <>
inline constexpr Word<LogFormat::Flaws> words_of<LogFormat::Flaws>[] = {{LogFormat::Flaws::refuse, "refuse"},
                                                                        {LogFormat::Flaws::leave_out, "leave out"}};

/// Reads a logger's CSV file.
/// @throws InputError with line and column for what is no log, and as `LogFormat::flaws` says
[[nodiscard]] Log load_log(const std::string& path, const LogFormat& format = {}, const Limits& limits = {});
/// The same from text; `name` stands for the file in messages.
[[nodiscard]] Log parse_log(std::string_view text, const std::string& name, const LogFormat& format = {},
                            const Limits& limits = {});

/// A system as the text of a file, in the form that people type: reading it gives an equal system back, every number
/// bit for bit. What was typed is written as it was typed, in its own unit; what was built in code by the shortest
/// decimal numbers, in the units in which they are shortest. All tables stand in the one file.
///
/// Not kept: comments (but those in line-set, altitude and blower tables), and the order of keys and rows. A page that
/// was never printed (all steps 0, as of a Standard 205 file) says so: `exact: true`. Where only some of its columns
/// were, or a product made it, the last printed place becomes where the texts of its numbers end.
/// @throws InputError for what a file cannot say: control characters in a name, a page whose numbers are no multiples
///         of its printed steps, stages of one match with unlike metadata, a blower tap with a blank in its name.
[[nodiscard]] std::string write_system(const System& system);

/// A visit as the text of a file, likewise: with every instrument it describes and the note of its site. What an
/// instrument is good for, where it was not typed, is written in the words that are shortest (`limits: 0.4 degF`).
/// @throws InputError for what a file cannot say: a reading without the name of its instrument, an airflow given as
///         mass flow, one instrument with two uncertainties or correlations for one quantity.
[[nodiscard]] std::string write_visit(const Visit& visit);

}  // namespace offnominal
