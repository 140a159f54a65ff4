/// @file
/// What a system covers, for forms that limit entries: the published region of its pages, and the limits beside them.
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/kind.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// The published region of one page.
struct Envelope {
    struct Range {
        std::string name;
        Dimension dimension;
        std::vector<double> breakpoints;  ///< SI
        About about = About::nothing;     ///< what it is, as reasons name it

        /// The unit in which a caller of that system gives and takes it.
        [[nodiscard]] const Unit& unit(UnitSystem system) const noexcept {
            const Kind kind = dimension == Dimension::airflow    ? Kind::airflow
                              : dimension == Dimension::pressure ? Kind::pressure
                              : dimension == Dimension::ratio    ? Kind::ratio
                                                                 : Kind::temperature;
            return unit_of(kind, system);
        }
    };
    std::string stage;
    std::string match;  ///< empty: the system's own page
    std::vector<Range> axes;
    std::size_t blanks = 0;  ///< nodes without data
    std::size_t nodes = 0;
    bool heating = false;                         ///< else cooling
    Frost frost = Frost::unknown;                 ///< of a heating page
    std::vector<std::vector<double>> blank_at{};  ///< SI: where those nodes are, a number for each axis
};

/// The published region of every page.
[[nodiscard]] std::vector<Envelope> envelope(const System& system);

/// What a system covers beside its pages.
struct Coverage {
    /// Lines of one suction size, as the line-set table of a mode has them.
    struct Lines {
        Mode mode = Mode::cooling;
        Length suction;
        std::vector<Length> lengths;  ///< rising; those that are printed blank, which are not allowed, left out
    };
    /// Standard airflow of an indoor match: its own bounds where it has some, and of its pages.
    struct MatchAirflow {
        std::string match;
        Airflow least, greatest;
    };
    std::vector<Lines> lines;
    LineTable::Limits lift;                                ///< infinite where none is printed
    std::vector<MatchAirflow> airflow;                     ///< in cooling
    std::optional<std::pair<Length, Length>> elevation{};  ///< of the altitude table, where there is one
};
[[nodiscard]] Coverage coverage(const System& system);

}  // namespace offnominal
