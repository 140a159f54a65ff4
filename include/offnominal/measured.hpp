/// @file
/// A measured number with its standard uncertainty.
#pragma once

#include <limits>

#include "offnominal/units.hpp"

namespace offnominal {

/// A measured number with its standard uncertainty. Neither has a default.
template <Dimension D>
struct Measured {
    /// What two of them are apart by, and so what an uncertainty is measured in.
    static constexpr Dimension apart = D == Dimension::temperature ? Dimension::temperature_difference : D;

    Quantity<D> value{std::numeric_limits<double>::quiet_NaN()};
    Quantity<apart> standard{std::numeric_limits<double>::quiet_NaN()};
};

}  // namespace offnominal
