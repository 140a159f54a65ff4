// Logs as loggers write them: time stamps, headings with units, what is missing or cannot be, several clocks.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "../support/near.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// A log of two rows with these time stamps; gives the time from one to the other.
double apart(const std::string& first, const std::string& second, const LogFormat& format = {}) {
    const Log log = parse_log("time,power (W)\n" + first + ",400\n" + second + ",410\n", "log.csv", format);
    return log.times.at(1) - log.times.at(0);
}

void refused(const std::string& text, const std::string& message, const LogFormat& format = {}) {
    CAPTURE(text);
    CHECK_THROWS_WITH_AS((void)parse_log(text, "log.csv", format), message.c_str(), InputError);
}

const std::string head = "time (s),return dry bulb (degF)\n";

}  // namespace

TEST_CASE("a log: what stands above the heading, units, words, and what is missing") {
    const Log log = parse_log(
        "Logger 7, serial 1234\n"
        "Date,Time,Return Dry-Bulb (\xc2\xb0"
        "F),Supply RH [%RH],stage,#1 (kW)\n"
        "2026-07-14,15:03:00,76.1,91.5,high,2.41\n"
        "2026-07-14,15:03:30,76.0,,high,2.40\n"
        "2026-07-14,15:04:00,NaN,91.7,low,\"2.39\"\n",
        "log.csv");
    CHECK(log.preamble == "Logger 7, serial 1234\n");
    REQUIRE(log.times.size() == 3);
    CHECK(log.dated);
    CHECK(log.times[0] == 1784041380.0);  // 2026-07-14 15:03 UTC, by another calendar
    CHECK(log.times[2] - log.times[0] == 60.0);
    REQUIRE(log.find("return_dry_bulb"));
    CHECK(near(log.find("return_dry_bulb")->values[0], (76.1 - 32) / 1.8, relative(1e-14)));
    CHECK(log.find("return_dry_bulb")->unit.name == "degF");
    CHECK(std::isnan(log.find("return_dry_bulb")->values[2]));
    REQUIRE(log.find("supply_rh"));
    CHECK(log.find("supply_rh")->values[0] == 0.915);
    REQUIRE(log.find("1"));
    CHECK(log.find("1")->values[2] == 2390.0);
    REQUIRE(log.find_words("stage"));
    CHECK(log.find_words("stage")->words[2] == "low");
    REQUIRE(log.flaws.size() == 2);
    CHECK(log.flaws[0].line == 4);
    CHECK(log.flaws[0].problem == "supply_rh: missing");
    CHECK(log.flaws[1].line == 5);
    CHECK(log.flaws[1].column == 21);
    CHECK(log.flaws[1].text == "NaN");
}

TEST_CASE("time stamps in their usual forms") {
    CHECK(apart("2026-07-14T15:03:22", "2026-07-14T15:03:23") == 1.0);
    CHECK(apart("2026-07-14 23:59:30", "2026-07-15 00:00:30") == 60.0);
    CHECK(apart("2026/07/14 15:03", "2026/07/14 15:04") == 60.0);
    CHECK(near(apart("2026-07-14T15:03:22.25Z", "2026-07-14T15:03:22.75Z"), 0.5, absolute(1e-6)));
    CHECK(apart("2026-07-14T15:03:22+02:00", "2026-07-14T09:03:32-0400") == 10.0);
    CHECK(apart("11:59:59 AM", "12:00:00 PM") == 1.0);
    CHECK(apart("12:00:00 am", "1:00:00 am") == 3600.0);
    LogFormat american, european;
    american.date_order = LogFormat::DateOrder::month_first;
    european.date_order = LogFormat::DateOrder::day_first;
    CHECK(apart("7/8/2026 3:03:22 PM", "7/9/2026 3:03:22 PM", american) == 86400.0);
    CHECK(apart("7/8/2026 15:03:22", "7/9/26 15:03:22", european) == 31 * 86400.0);
    CHECK(parse_log("elapsed,time (min)\na,0\nb,1.5\n", "log.csv").times[1] == 90.0);
}

TEST_CASE("times that cannot be are named (trap 43)") {
    const auto stamp = [](const std::string& text, const std::string& message) {
        refused("time,power (W)\n" + text + ",400\n",
                "log.csv:2:1: " + message +
                    "; accepted: 2026-07-14T15:03:22, 2026-07-14 15:03:22, 15:03:22, or numbers under time (s)");
    };
    stamp("12", "not a time stamp: '12'");
    stamp("2026-02-30 12:00", "no day of the calendar: '2026-02-30 12:00'");
    stamp("25:00:00", "no time of the clock: '25:00:00'");
    stamp("13:00 PM", "no time of the clock: '13:00 PM'");
    stamp("2026-07-14", "not a time stamp: '2026-07-14'");
    stamp("2026-07-14 12:00:00 CEST", "not a time stamp: '2026-07-14 12:00:00 CEST'");
    refused("time,power (W)\n7/8/2026 12:00,400\n",
            "log.csv:2:1: a date of which nobody says whether its month or its day comes first: '7/8/2026 12:00'; "
            "accepted: "
            "2026-07-14, or a date order beside the file: month first, day first");
    refused("time,power (W)\n2026-07-14 12:00,400\n12:01,401\n",
            "log.csv:3:1: a time stamp unlike the first: '12:01'; accepted: all with a date and a zone, or none");
    refused(head + "10,76\n9,76\n",
            "log.csv:3:1: a time before that of the row above: '9'; accepted: times that rise, each once; past "
            "midnight with "
            "their date");
    refused(head + "10,76\n10,76\n",
            "log.csv:3:1: the same time as the row above: '10'; accepted: times that rise, each once; past midnight "
            "with their "
            "date");
    refused(head + "10,76\nten,76\n", "log.csv:3:1: not a number: 'ten'; accepted: a number such as 33.5");
}

TEST_CASE("readings that cannot be are named, or left out and listed (trap 43)") {
    const std::string absurd = head + "10,76\n11,761\n12,err\n13,76,5\n12.5,77\n13,76\n";
    refused(absurd, "log.csv:3:4: return_dry_bulb: a reading that cannot be: '761'; accepted: -76 to 194 degF");
    LogFormat lenient;
    lenient.flaws = LogFormat::Flaws::leave_out;
    const Log log = parse_log(absurd, "log.csv", lenient);
    CHECK(log.times == std::vector<double>{10, 11, 12, 12.5, 13});
    CHECK(std::isnan(log.series[0].values[1]));
    CHECK(log.series[0].values[3] == 25.0);
    REQUIRE(log.flaws.size() == 3);
    CHECK(log.flaws[1].text == "err");
    CHECK(log.flaws[2].line == 5);
    CHECK(log.flaws[2].problem == "3 values under 2 columns");
    refused(head + "10,err\n", "log.csv:2:4: return_dry_bulb: not a number: 'err'; accepted: a number such as 33.5");
    refused("time (s),supply relative humidity (1)\n1,92\n",
            "log.csv:2:3: supply_relative_humidity: a reading that cannot be: '92'; accepted: 0 to 1 1");
}

TEST_CASE("headings that cannot be are named") {
    refused("power (W)\n400\n",
            "log.csv: no heading with a column for the time; accepted: time, timestamp, date time, date and time, or "
            "time (s)");
    refused("time;power (W)\n1;400\n",
            "log.csv:1:1: semicolons between the columns: 'time;power (W)'; accepted: commas between them, and a point "
            "before "
            "decimals");
    refused("time (s),return dry bulb\n1,76\n",
            "log.csv:1:10: a column of numbers without a unit: 'return dry bulb'; accepted: return dry bulb (unit)");
    refused("time (s),return dry bulb (W)\n1,76\n",
            "log.csv:1:27: a unit of a power where a temperature is due: 'W'; accepted: degC, degF, K");
    refused("time (s),x (furlong)\n1,76\n",
            "log.csv:1:13: unknown unit: 'furlong'; accepted: a unit of the table of units");
    refused("time (s),x (W),X (kW)\n1,7,6\n",
            "log.csv:1:16: a column given twice: 'X (kW)'; accepted: each column once");
    refused("time (s),,x (W)\n1,7,6\n",
            "log.csv:1:10: a column without a name; accepted: a name and a unit: return dry bulb (degF)");
    refused("date,x (W)\n2026-07-14,7\n", "log.csv:1:1: a date without a time: 'date'; accepted: date and time");
    refused("time (s),timestamp\n1,2\n", "log.csv:1:10: a second column for the time: 'timestamp'; accepted: one");
    refused(head, "log.csv:2:1: no readings below the heading; accepted: a row for each reading");
    CHECK_THROWS_AS((void)load_log("no-such.csv"), MissingFile);
}

TEST_CASE("several loggers: one clock, the rows of the slowest, numbers between readings") {
    LogFormat ahead;
    ahead.clock_ahead = Duration{30.0};
    const Log slow =
        parse_log("time,outdoor dry bulb (degC)\n12:00:00,30\n12:01:00,32\n12:02:00,34\n12:03:00,34\n", "out.csv");
    const Log fast = parse_log(
        "time,supply dry bulb (degC),stage\n12:01:00,13,high\n12:01:50,14,high\n12:02:40,15,low\n12:07:00,16,low\n",
        "in.csv", ahead);
    const Log log = aligned({slow, fast}, Duration{90.0});
    REQUIRE(log.times.size() == 3);  // 12:01 to 12:03; the fast one began at 12:00:30
    CHECK(log.times[0] == 12 * 3600 + 60);
    CHECK(log.find("outdoor_dry_bulb")->values == std::vector<double>{32, 34, 34});
    CHECK(near(log.find("supply_dry_bulb")->values[0], 13.6, relative(1e-14)));
    CHECK(near(log.find("supply_dry_bulb")->values[1], 14.8, relative(1e-14)));
    CHECK(std::isnan(log.find("supply_dry_bulb")->values[2]));  // 4 minutes without a reading
    CHECK(log.find_words("stage")->words == std::vector<std::string>{"high", "high", "low"});
    CHECK_THROWS_WITH_AS((void)aligned({slow, slow}),
                         "out.csv: a column of another log too: 'outdoor_dry_bulb'; accepted: each column in one log",
                         InputError);
    const Log later = parse_log("time,x (W)\n13:00:00,1\n", "late.csv");
    CHECK_THROWS_WITH_AS(
        (void)aligned({slow, later}),
        "late.csv: no time in common with the other logs; accepted: logs of one run; by how much a clock is ahead",
        InputError);
    CHECK_THROWS_WITH_AS((void)aligned({}), "no logs; accepted: one or more", InputError);
}

TEST_CASE("the steady window of a log, with stage and defrost") {
    std::string text =
        "time (s),return dry bulb (degF),return relative humidity (%),supply dry bulb (degF),supply relative humidity "
        "(%),outdoor dry bulb (degF),stage,defrost\n";
    for (int t = 0; t <= 3600; t += 10)
        text += std::to_string(t) + ",76,55,57.2,92,91," + (t < 600 ? "low" : "high") + (t == 1000 ? ",1\n" : ",0\n");
    const Log log = parse_log(text, "log.csv");
    const SteadySearch found = steady_window(log, Site::at_elevation(0_ft));
    CHECK(found.window.steady());
    CHECK(found.window.begin == 1900.0);
    CHECK(found.window.of[static_cast<std::size_t>(Signal::outdoor_dry_bulb)].mean == (91_degF).si);
    CHECK(near(found.window.of[static_cast<std::size_t>(Signal::return_wet_bulb)].mean, (64.80 - 32) / 1.8,
               absolute(0.005)));

    Log gap = log;
    gap.series[4].values[200] = NAN;
    gap.series[4].values[201] += 0.2;
    const SeriesMean outdoors = mean_within(gap, "outdoor_dry_bulb", found.window.begin, found.window.end);
    CHECK(outdoors.samples == found.window.samples - 1);
    CHECK(near(outdoors.value, (91_degF).si + 0.2 / 60.0, relative(1e-12)));

    Log odd = log;
    odd.words[1].words[3] = "maybe";
    CHECK_THROWS_WITH_AS((void)steady_window(odd, Site::at_elevation(0_ft)),
                         "log.csv: row 4: defrost: 'maybe'; accepted: on, off, 1, 0, yes, no, true, false", InputError);
    odd = log;
    odd.series[0].name = "room";
    CHECK_THROWS_WITH_AS((void)steady_window(odd, Site::at_elevation(0_ft)),
                         "log.csv: no such column: 'return_dry_bulb'; accepted: room, return_relative_humidity, "
                         "supply_dry_bulb, supply_relative_humidity, outdoor_dry_bulb",
                         InputError);
    odd = log;
    odd.series[4].name = "supply_dew_point";
    CHECK_THROWS_AS((void)steady_window(odd, Site::at_elevation(0_ft)), InputError);
    odd = log;
    odd.series[1].values[2] = 1.2;
    CHECK_THROWS_WITH_AS((void)steady_window(odd, Site::at_elevation(0_ft)), doctest::Contains("log.csv: row 3: "),
                         InputError);
}
