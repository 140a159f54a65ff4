// Limits of size: published ones by their name, or a caller's own as JSON.
#include <algorithm>
#include <iterator>

#include "offnominal/choose.hpp"
#include "offnominal/files.hpp"
#include "ranges.hpp"
#include "text/json.hpp"

namespace offnominal {
namespace files {
namespace {

constexpr std::string_view own_limits =
    "source, total, heat_pump, sensible and latent: a text, and of each the least, or the least and the most";

SizingLimits::Range range_of(const JsonDocument& document, const std::string& key) {
    const Json& given = document.root[key];
    SizingLimits::Range out;
    const auto number = [](const Json& value, double& to) {
        if (value.is_number()) to = value.get<double>();
        return value.is_number();
    };
    const bool is_range = given.is_array() && given.size() == 2
                              ? number(given[0], out.least) && number(given[1], out.most)
                              : number(given, out.least);
    if (!is_range || !(0.0 <= out.least && out.least <= out.most))
        document.refuse(key, "no range", detail::shortened(given.dump()),
                        "the least, or the least and the most: 0.9, or [0.9, 1.15]");
    return out;
}

/// The same of every kind of machine.
SizingLimits own_limits_of(const JsonDocument& document) {
    const Json& root = document.root;
    constexpr std::string_view keys[] = {"source", "total", "heat_pump", "sensible", "latent"};
    for (const auto& [key, value] : root.items())
        if (ranges::find(keys, key) == std::end(keys))
            document.refuse({}, "an unknown key", key, std::string(own_limits));
    for (const std::string_view key : keys)
        if (key != "heat_pump" && !root.contains(key))
            document.refuse(std::string(key), "missing", {}, std::string(own_limits));
    if (!root["source"].is_string())
        document.refuse("source", "no text", shown(root["source"]), "where the limits are from");
    SizingLimits out{"own", "the caller's own", {}, {}, range_of(document, "sensible"), range_of(document, "latent")};
    const SizingLimits::Range total = range_of(document, "total");
    std::fill(std::begin(out.total), std::end(out.total), total);
    std::fill(std::begin(out.heat_pump), std::end(out.heat_pump),
              root.contains("heat_pump") ? range_of(document, "heat_pump") : total);
    return out;
}

}  // namespace
}  // namespace files

SizingLimits parse_sizing_limits(std::string_view limits) {
    if (const SizingLimits* const published = limits_named(limits)) return *published;
    const std::size_t first = limits.find_first_not_of(" \t\r\n");
    if (first != std::string_view::npos && limits[first] == '{')
        return files::own_limits_of(files::parse_json(limits, "limits"));
    std::string accepted;
    for (const SizingLimits& one : sizing_limits) accepted += std::string(one.name) + ", ";
    throw InputError({}, "limits", detail::shortened(limits),
                     accepted + "or a JSON object of " + std::string(files::own_limits));
}

}  // namespace offnominal
