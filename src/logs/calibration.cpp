#include "offnominal/field/calibration.hpp"

#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdio>

#include "given.hpp"

namespace offnominal {
namespace {

/// Within so many days a report says that a calibration will expire (common practice, no source).
constexpr int soon = 30;

std::chrono::year_month_day read_day(std::string_view text, const char* what) {
    const auto refuse = [&] {
        throw InputError({}, std::string(what) + ": not a day", std::string(text),
                         "year, month and day, such as 2026-06-01");
    };
    const auto number = [&](std::size_t from, std::size_t size) {
        int out = 0;
        const char* const end = text.data() + from + size;
        const auto result = std::from_chars(text.data() + from, end, out);
        if (result.ec != std::errc{} || result.ptr != end || out < 0) refuse();
        return out;
    };
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') refuse();
    const std::chrono::year_month_day out{std::chrono::year(number(0, 4)),
                                          std::chrono::month(static_cast<unsigned>(number(5, 2))),
                                          std::chrono::day(static_cast<unsigned>(number(8, 2)))};
    if (!out.ok()) refuse();
    return out;
}

std::string text_of(std::chrono::year_month_day day) {
    char out[16];
    std::snprintf(out, sizeof out, "%04d-%02u-%02u", int{day.year()}, unsigned{day.month()}, unsigned{day.day()});
    return out;
}

std::string in_days(int days) { return std::to_string(days) + (days == 1 ? " day" : " days"); }

}  // namespace

CalibrationState calibration_on(std::string_view on, std::string_view calibrated, int months) {
    const auto from = read_day(calibrated, "calibrated"), visit = read_day(on, "day of the visit");
    if (months < 1 || months > 120)
        throw InputError({}, "months a calibration holds", std::to_string(months), "1 to 120");
    if (visit < from)
        throw InputError({}, "calibrated after the visit", std::string(calibrated), "on or before " + std::string(on));
    auto due = from + std::chrono::months(months);
    if (!due.ok()) due = due.year() / due.month() / std::chrono::last;
    const auto days = [](std::chrono::year_month_day a, std::chrono::year_month_day b) {
        return static_cast<int>((std::chrono::sys_days(b) - std::chrono::sys_days(a)).count());
    };
    return {text_of(due), days(visit, due), days(from, due)};
}

void check_day(std::string_view text, const char* what) { (void)read_day(text, what); }

double CalibrationState::widening() const noexcept {
    if (!expired() || days_held <= 0) return 1.0;
    return std::sqrt(static_cast<double>(days_held - days_left) / days_held);
}

std::string calibration_note(std::string_view instrument, const CalibrationState& state) {
    const std::string of = std::string(instrument) + ": calibration ";
    if (state.expired())
        return of + "expired on " + state.due + ", " + in_days(-state.days_left) +
               " before the visit: its stated accuracy is no longer vouched for";
    if (state.days_left > soon) return {};
    return of + "expires on " + state.due + ", " +
           (state.days_left == 0 ? "the day" : in_days(state.days_left) + " after the day") + " of the visit";
}

}  // namespace offnominal
