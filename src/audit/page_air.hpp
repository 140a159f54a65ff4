/// @file
/// The air of a page's nodes: what enters the coil there, and what its numbers say of the air that leaves.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/air/coil.hpp"
#include "offnominal/ratings/rating_table.hpp"
#include "surface.hpp"

namespace offnominal::detail {

/// Coil physics at the nodes of a page. All capacities as printed: a net page's fan is added and taken off inside.
class PageAir {
   public:
    PageAir(const Basis& basis, const PrintedPage& page, const PageShape& shape)
        : basis_(basis), page_(page), shape_(shape) {}

    /// Another assumption about the page than its basis states.
    struct Assumed {
        std::optional<double> dry_bulb;  ///< degC, of the sensible column
        std::optional<double> fan;       ///< W per m3/s, of a net page (0: gross)
    };

    [[nodiscard]] std::optional<air::CoilAir> entering(std::size_t n, const Assumed& assumed = {}) const {
        return node_air(basis_, page_, shape_, n, assumed.dry_bulb);
    }
    /// W: what a net page has taken off.
    [[nodiscard]] double fan(std::size_t n, const Assumed& assumed = {}) const {
        const double flow = shape_.value(n, PageAxis::airflow);
        if (assumed.fan) return *assumed.fan * flow;
        return basis_.capacity == CapacityBasis::net ? basis_.fan.heat(flow) : 0.0;
    }

    /// Sensible of a wet coil that gives `total` with this bypass factor.
    [[nodiscard]] std::optional<double> sensible(std::size_t n, double total, double bypass,
                                                 const Assumed& assumed = {}) const {
        const auto air = entering(n, assumed);
        if (!air) return std::nullopt;
        const double heat = fan(n, assumed);
        const auto answer = air::coil_sensible(*air, total + heat, bypass);
        if (!answer) return std::nullopt;
        return *answer - heat;
    }
    /// Relative humidity of the air that leaves; above 1 where there is no such air.
    [[nodiscard]] std::optional<double> leaving_humidity(std::size_t n, double total, double sensible_capacity) const {
        const auto air = entering(n);
        if (!air) return std::nullopt;
        const double heat = fan(n);
        const double W = air->humidity_ratio -
                         (total - sensible_capacity) / (air->mass_flow * air::si::vapour_enthalpy(air->dry_bulb));
        const double t =
            air->dry_bulb - (sensible_capacity + heat) / (air->mass_flow * air::si::moist_heat_capacity(W));
        if (!(W > 0.0)) return 0.0;
        if (!(t > air::least_dry_bulb)) return 2.0;
        return air::si::relative_humidity(t, W, air->pressure);
    }

   private:
    const Basis& basis_;
    const PrintedPage& page_;
    const PageShape& shape_;
};

/// The coordinates of a page's nodes: its axes; of pairs both temperatures.
[[nodiscard]] inline Coordinates page_coordinates(const PrintedPage& page, const PageShape& shape, bool with_dry_bulb) {
    std::vector<std::vector<double>> values;
    for (std::size_t a = 0; a < page_axes; ++a) {
        const auto axis = static_cast<PageAxis>(a);
        if (axis == PageAxis::entering_dry_bulb && !with_dry_bulb) continue;
        std::vector<double> x(shape.nodes()), second;
        for (std::size_t n = 0; n < x.size(); ++n) {
            x[n] = shape.value(n, axis);
            if (axis != PageAxis::humidity || page.pairs.empty()) continue;
            const IndoorPair& pair = page.pairs[shape.index(n, axis)];
            x[n] = pair.wet_bulb;
            second.push_back(pair.dry_bulb);
        }
        values.push_back(std::move(x));
        values.push_back(std::move(second));
    }
    return Coordinates(values);
}

}  // namespace offnominal::detail
