/// @file
/// What of a page was printed, and not made by its multiplier row.
#pragma once

#include <utility>
#include <vector>

#include "offnominal/ratings/shape.hpp"

namespace offnominal::detail {

/// A page whose airflow axis comes from a multiplier row, cut down to the airflow it is printed at: nobody typed the
/// rest. `from` gets the node of the whole page that each node of the part is.
[[nodiscard]] inline PrintedPage printed_part(const PrintedPage& page, std::vector<std::size_t>& from) {
    const PageShape shape(page);
    std::size_t at = 0;
    for (const TypedColumn& column : page.typed)
        if (column.role == "total")
            for (std::size_t n = 0; n < column.texts.size(); ++n)
                if (!column.texts[n].empty()) at = shape.index(n, PageAxis::airflow);
    PrintedPage out = page;
    out.airflow = {page.airflow[at]};
    out.airflow_multiplied = false;
    for (std::size_t n = 0; n < shape.nodes(); ++n)
        if (shape.index(n, PageAxis::airflow) == at) from.push_back(n);
    const auto keep = [&from](auto& list) {
        if (list.empty()) return;
        auto part = list;
        part.clear();
        for (const std::size_t n : from) part.push_back(list[n]);
        list = std::move(part);
    };
    keep(out.nodes);
    keep(out.places);
    for (ExtraColumn& extra : out.extras) keep(extra.values);
    for (TypedColumn& column : out.typed) keep(column.texts);
    return out;
}

}  // namespace offnominal::detail
