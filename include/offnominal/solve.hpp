/// @file
/// Questions asked backwards: where, along one number that `expect` asks for, something told has a value.
///
/// Whole answers of `expect` are asked, so every derate, the dry-coil rule and the page's edges count. They are looked
/// at in 13 places evenly over the range and at every breakpoint of the pages and tables along it. Between two of these
/// a page is mostly a straight line, which is then the answer; where it bends (derates, the dry-coil rule) the place is
/// closed in between brackets, those of many questions together. Two places closer together than such neighbours are
/// found where the way between them turns back at a place that was looked at. Of a stretch that keeps the value, as a
/// dry coil its ratio of sensible, the ends are told.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "offnominal/expect/batch.hpp"

namespace offnominal {

/// Questions to one system: of each, where a number has to stand for something told to have a value.
struct SolveBatch {
    ExpectBatch asked;      ///< all that holds; of the number that is varied nothing but the unit is looked at
    std::size_t first = 0;  ///< row of its columns; places are told of questions counted from there
    std::size_t rows = 1;
    Slot vary = Slot::outdoor_dry_bulb;
    double low = 0.0, high = 0.0;  ///< the range, in that number's unit
    std::size_t of = 0;            ///< what is told: a line of `told_of<ExpectedValues>`, ...
    std::size_t over = 0;          ///< ... over another one; the same again: alone
    Unit of_unit, over_unit;       ///< of those
    Column equals;                 ///< what it should be, in that unit
    /// ... or as a function of the place, such as a load that goes with outdoor temperature: fills `out`. Then `equals`
    /// is not looked at, and there is one thread.
    void (*line)(void* context, std::span<const double> places, double* out) = nullptr;
    void* context = nullptr;
};

/// The places, in the unit of what is varied.
struct Solved {
    std::vector<std::size_t> first;  ///< of each question where its places begin in `places`; and the end of the last
    std::vector<double> places;      ///< rising, question by question
    /// Of each question the place that comes nearest, its first solution where there is one; what is told there, and by
    /// how much that is more than it should be. NaN where nothing is answered.
    std::vector<double> best, reached, off;
    std::vector<Reason> reason;  ///< none where anything was answered, else why the middle of the range was not

    [[nodiscard]] std::span<const double> of(std::size_t question) const noexcept {
        return std::span(places).subspan(first[question], first[question + 1] - first[question]);
    }
};

/// @throws InputError for a range that is none, or a number that the mode does not tell
[[nodiscard]] Solved solve(const System& system, const SolveBatch& batch, std::size_t threads = 1);

}  // namespace offnominal
