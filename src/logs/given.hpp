/// @file
/// Arguments that are lists of readings, checked: every complaint names the reading by its number, from 1.
#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"

namespace offnominal::logs {

/// A number as a message shows it.
inline std::string text_of(double value) { return brief(value, 9); }

/// `reading 17`
inline std::string numbered(const char* what, std::size_t i) { return what + (" " + std::to_string(i + 1)); }

/// @throws InputError for fewer than `least`, or one that is not finite
inline void check_readings(const std::vector<double>& readings, const char* what, std::size_t least) {
    if (readings.size() < least)
        throw InputError({}, std::string(what) + ": too few", std::to_string(readings.size()),
                         "at least " + std::to_string(least));
    for (std::size_t i = 0; i < readings.size(); ++i)
        if (!std::isfinite(readings[i]))
            throw InputError({}, numbered(what, i) + ": not a number", text_of(readings[i]),
                             "a finite number; leave out what is missing");
}

/// @throws InputError where two lists that belong together differ in length
inline void check_same_length(std::size_t a, const char* what_a, std::size_t b, const char* what_b) {
    if (a != b)
        throw InputError({}, std::string(what_a) + " and " + what_b + ": unlike in number",
                         std::to_string(a) + " and " + std::to_string(b), "one of each at each time");
}

/// @throws InputError for times that do not rise
inline void check_times(const std::vector<double>& times) {
    check_readings(times, "times", 1);
    for (std::size_t i = 1; i < times.size(); ++i)
        if (!(times[i] > times[i - 1]))
            throw InputError({},
                             numbered("times", i) + (times[i] == times[i - 1] ? ": the same as the one before"
                                                                              : ": before the one before"),
                             text_of(times[i]), "times that rise, each once");
}

}  // namespace offnominal::logs
