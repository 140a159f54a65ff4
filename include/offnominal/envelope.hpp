/// @file
/// The published region of a system's pages, for forms that limit entries. Compiled: link `offnominal::core`.
#pragma once

#include <cstddef>
#include <string>
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
    bool heating = false;          ///< else cooling
    Frost frost = Frost::unknown;  ///< of a heating page
};

/// The published region of every page.
[[nodiscard]] std::vector<Envelope> envelope(const System& system);

}  // namespace offnominal
