/// @file
/// The question: under which conditions, at which boundary.
#pragma once

#include <limits>
#include <string_view>

#include "offnominal/air.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/ratings/basis.hpp"
#include "offnominal/ratings/rating_table.hpp"

namespace offnominal {

/// One question to `expect`. Entering air is the air entering at the boundary: the coil's for Boundary::coil, the
/// return air of coil and fan together for Boundary::coil_and_fan. What is not given is NaN, empty or `not_given`, and
/// refused.
struct Conditions {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    std::string_view stage;
    double speed = not_given;  ///< instead of a stage: of a continuous compressor, SI of `SystemParts::speed_unit`
    std::string_view match;    ///< may stay empty only for a system that lists no matches
    Temperature outdoor_dry_bulb{not_given};
    Temperature entering_dry_bulb{not_given};
    air::Humidity entering_humidity = air::wet_bulb(Temperature{not_given});
    AirflowReading airflow{};
    std::optional<LineSet> line_set;  ///< must be given for a system with a line-set table
    Boundary boundary = Boundary::not_given;
    Power fan_power{not_given};  ///< indoor fan; needed for coil_and_fan, and not used for coil

    Outside outside = Outside::refuse;  ///< past the edge of the page
    bool infer = false;                 ///< allow inferred values below the reference dry bulb next to dry nodes
};

}  // namespace offnominal
