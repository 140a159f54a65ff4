/// @file
/// A heating page as an audit sees it: a cooling page without humidity, whose total is the heating capacity.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "offnominal/ratings/heating.hpp"
#include "offnominal/ratings/page.hpp"

namespace offnominal::detail {

/// `from` gets the node of the heating page that each node is. What multiplier rows made is left out: nobody typed it.
[[nodiscard]] inline PrintedPage as_printed_page(const HeatingPage& heating, std::vector<std::size_t>& from) {
    const std::vector<double>&odb = heating.outdoor_dry_bulb, &flow = heating.airflow, &edb = heating.entering_dry_bulb;
    const std::size_t flows = std::max<std::size_t>(flow.size(), 1), dry_bulbs = std::max<std::size_t>(edb.size(), 1);
    // The printed one of multiplied values is the one whose factors are 1, which was typed.
    std::size_t at_flow = 0, at_dry_bulb = 0;
    for (const TypedColumn& column : heating.typed)
        if (column.role == "capacity")
            for (std::size_t n = 0; n < column.texts.size(); ++n)
                if (!column.texts[n].empty()) at_flow = n / dry_bulbs % flows, at_dry_bulb = n % dry_bulbs;
    PrintedPage out;
    out.outdoor_dry_bulb = odb;
    out.airflow = heating.airflow_multiplied ? std::vector{flow[at_flow]} : flow;
    out.entering_wet_bulb = {0.0};
    if (!heating.dry_bulb_multiplied && edb.size() > 1) out.entering_dry_bulb = edb;
    out.has_power = heating.has_power;
    out.total_step = heating.capacity_step;
    out.power_step = heating.power_step;
    for (std::size_t n = 0; n < heating.nodes.size(); ++n) {
        if (heating.airflow_multiplied && n / dry_bulbs % flows != at_flow) continue;
        if (heating.dry_bulb_multiplied && n % dry_bulbs != at_dry_bulb) continue;
        const HeatingNode& node = heating.nodes[n];
        out.nodes.push_back({node.capacity, 0.0, node.power, 0.0, node.mark});
        if (n < heating.places.size()) out.places.push_back(heating.places[n]);
        from.push_back(n);
    }
    for (TypedColumn column : heating.typed) {
        if (column.texts.size() != heating.nodes.size()) continue;
        std::vector<std::string> texts;
        for (const std::size_t n : from) texts.push_back(std::move(column.texts[n]));
        column.texts = std::move(texts);
        if (column.role == "capacity") column.role = "total";
        out.typed.push_back(std::move(column));
    }
    for (ExtraColumn extra : heating.extras) {
        if (extra.values.size() != heating.nodes.size()) continue;
        std::vector<double> values;
        for (const std::size_t n : from) values.push_back(extra.values[n]);
        extra.values = std::move(values);
        out.extras.push_back(std::move(extra));
    }
    return out;
}

}  // namespace offnominal::detail
