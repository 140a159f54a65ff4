/// @file
/// How the look-up arrays of a map run over its grid, and where its coil is dry.
#pragma once

#include <algorithm>
#include <string_view>
#include <vector>

#include "standard205/keys.hpp"

namespace offnominal::files {

using standard205::Map;

/// How the look-up arrays of a map run over its grid.
class MapLayout {
   public:
    explicit MapLayout(const Map& map) : map_(map) {}

    /// The values of a grid variable; none if the map does not have it.
    [[nodiscard]] const std::vector<double>& values(std::string_view name) const {
        static const std::vector<double> none;
        const auto* found = map_.find(name);
        return found == nullptr ? none : *found;
    }
    /// How many steps there are along a grid variable: 1 if the map does not have it.
    [[nodiscard]] std::size_t size(std::string_view name) const {
        return std::max<std::size_t>(values(name).size(), 1);
    }
    /// From a value of a look-up array to the next along a grid variable.
    [[nodiscard]] std::size_t stride(std::string_view name) const {
        std::size_t out = 1;
        for (auto axis = map_.grid.rbegin(); axis != map_.grid.rend() && axis->name != name; ++axis)
            out *= axis->values.size();
        return out;
    }

   private:
    const Map& map_;
};

/// Whether a sensible capacity above total says that the coil is dry there: it does so at every lower relative humidity
/// too, and by no more than half of total. Maps made from curves have such points, since a curve of total does not know
/// that the coil has dried. Elsewhere sensible above total is an error.
[[nodiscard]] inline bool is_dry_above_total(const Map& map, std::size_t point) {
    const auto *total = map.find(keys::total), *sensible = map.find(keys::sensible);
    if (total == nullptr || sensible == nullptr) return false;
    const double above = (*sensible)[point] / (*total)[point];
    if (!(above > 1.0 + 1e-9 && above <= 1.5)) return false;
    const MapLayout layout(map);
    const std::size_t stride = layout.stride(keys::entering_humidity);
    for (std::size_t lower = point / stride % layout.size(keys::entering_humidity); lower > 0; --lower) {
        point -= stride;
        if (!((*sensible)[point] >= (*total)[point] * (1.0 - 1e-9))) return false;
    }
    return true;
}

}  // namespace offnominal::files
