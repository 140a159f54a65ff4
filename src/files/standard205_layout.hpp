/// @file
/// How the flat arrays of a map run over its grid, and in which order the nodes of our pages visit them.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>
#include <vector>

#include "standard205.hpp"

namespace offnominal::files {

/// How the look-up arrays of a map run over its grid.
class Layout {
   public:
    explicit Layout(const Map& map) : map_(map) {}

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

/// Visits a page's nodes in their order (the last axis of `names` fastest) and gives each one's place in the look-up
/// arrays.
template <std::size_t N, class Visit>
void each_node(const Layout& layout, const std::array<std::string_view, N>& names, std::size_t first, Visit visit) {
    std::array<std::size_t, N> size{}, stride{}, at{};
    std::size_t nodes = 1;
    for (std::size_t k = 0; k < N; ++k) {
        size[k] = layout.size(names[k]);
        stride[k] = layout.stride(names[k]);
        nodes *= size[k];
    }
    std::size_t place = first;
    for (std::size_t n = 0; n < nodes; ++n) {
        visit(place);
        for (std::size_t k = N; k-- > 0;) {
            place += stride[k];
            if (++at[k] < size[k]) break;
            place -= size[k] * stride[k];
            at[k] = 0;
        }
    }
}

inline constexpr std::array<std::string_view, 5> cooling_nodes{
    keys::outdoor_dry_bulb, keys::airflow, keys::entering_humidity, keys::entering_dry_bulb, keys::station_pressure};
inline constexpr std::array<std::string_view, 3> heating_nodes{keys::outdoor_dry_bulb, keys::airflow,
                                                               keys::entering_dry_bulb};
inline constexpr std::array<std::string_view, 2> defrost_nodes{keys::outdoor_dry_bulb, keys::outdoor_humidity};

}  // namespace offnominal::files
