#include "text/stamp.hpp"

#include <charconv>
#include <chrono>
#include <vector>

#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/text.hpp"

namespace offnominal::files {
namespace {

constexpr std::string_view stamp_example =
    "2026-07-14T15:03:22, 2026-07-14 15:03:22, 15:03:22, or numbers under time (s)";

Complaint no_stamp(std::string_view problem = "not a time stamp") {
    return {std::string(problem), std::string(stamp_example)};
}

/// Whole numbers with one of some signs between them: `15:03:22`. What follows the last stays in `text`.
std::vector<int> whole_numbers(std::string_view& text, std::string_view between) {
    std::vector<int> out;
    while (!text.empty()) {
        int number = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
        if (error != std::errc{} || number < 0 || end - text.data() > 4) break;
        out.push_back(number);
        text.remove_prefix(static_cast<std::size_t>(end - text.data()));
        if (text.size() < 2 || between.find(text[0]) == std::string_view::npos || text[1] < '0' || text[1] > '9') break;
        text.remove_prefix(1);
    }
    return out;
}

/// The date at the beginning of `text`, which loses it: days from 1970.
Complaint read_date(std::string_view& text, LogFormat::DateOrder order, double& days) {
    const std::vector<int> parts = whole_numbers(text, "-/.");
    if (parts.size() != 3) return no_stamp();
    int year = parts[0], month = parts[1], day = parts[2];
    if (year < 1000) {
        if (order == LogFormat::DateOrder::not_given)
            return {std::string(unknown_order), "2026-07-14, or a date order beside the file: month first, day first"};
        year = parts[2];
        const bool month_first = order == LogFormat::DateOrder::month_first;
        month = parts[month_first ? 0 : 1];
        day = parts[month_first ? 1 : 0];
    }
    if (year < 100) year += 2000;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok()) return no_stamp("no day of the calendar");
    days = static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count());
    return {};
}

/// `+02:00`, `-0500`, `Z`: seconds ahead of UTC.
bool read_zone(std::string_view text, double& ahead) {
    if (text == "Z" || text == "z") return true;
    if (text.empty() || (text[0] != '+' && text[0] != '-')) return false;
    const double sign = text[0] == '-' ? -1.0 : 1.0;
    text.remove_prefix(1);
    const bool short_form = text.size() == 4;
    const std::vector<int> parts = whole_numbers(text, ":");
    if (!text.empty() || parts.empty() || parts.size() > 2) return false;
    const int hours = short_form ? parts[0] / 100 : parts[0];
    const int minutes = short_form ? parts[0] % 100 : parts.size() == 2 ? parts[1] : 0;
    ahead = sign * (hours * 3600.0 + minutes * 60.0);
    return hours <= 14 && minutes < 60;
}

}  // namespace

Complaint read_stamp(std::string_view text, LogFormat::DateOrder order, Stamp& out) {
    out = {};
    text = trimmed(text);
    double days = 0.0, ahead = 0.0, fraction = 0.0;
    if (text.find_first_of("-/.") < text.find(':')) {
        if (Complaint c = read_date(text, order, days)) return c;
        out.has_date = true;
        if (text.empty() || (text[0] != 'T' && text[0] != ' ')) return no_stamp();
        text = trimmed(text.substr(1));
    }
    const std::vector<int> clock = whole_numbers(text, ":");
    if (clock.size() < 2 || clock.size() > 3) return no_stamp();
    if (clock.size() == 3 && text.size() > 1 && text[0] == '.') {
        const std::size_t digits = std::min(text.find_first_not_of("0123456789", 1), text.size());
        fraction = detail::number_of(text.substr(0, digits)).value_or(0.0);
        text.remove_prefix(digits);
    }
    text = trimmed(text);
    int hour = clock[0];
    if (const std::string_view half = text.substr(0, 2); half == "AM" || half == "PM" || half == "am" || half == "pm") {
        if (hour < 1 || hour > 12) return no_stamp("no time of the clock");
        hour = hour % 12 + (half[0] == 'P' || half[0] == 'p' ? 12 : 0);
        text = trimmed(text.substr(2));
    }
    if (!text.empty()) {
        if (!read_zone(text, ahead)) return no_stamp();
        out.has_zone = true;
    }
    const int second = clock.size() == 3 ? clock[2] : 0;
    if (hour > 23 || clock[1] > 59 || second > 59) return no_stamp("no time of the clock");
    out.seconds = days * 86400.0 + hour * 3600.0 + clock[1] * 60.0 + second + fraction - ahead;
    return {};
}

}  // namespace offnominal::files
