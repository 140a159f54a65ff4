#include "read/instrument.hpp"

#include <algorithm>
#include <numbers>

namespace offnominal::files {
namespace {

/// `{limits: 0.5 delta_degF}`, `{expanded: 7 %}`, `{standard: ...}`. Conversions: JCGM 100:2008, 4.3.7 (limits: every
/// value within is as likely, so divide by the square root of 3) and 4.3.3 (expanded: divide by the coverage factor).
Spec read_spec(const Fields& instrument, const Item& item, const Measure& measure) {
    const Fields fields(instrument.document(), item, instrument.path(measure.name),
                        {"limits", "expanded", "standard", "coverage"});
    static constexpr std::string_view ways[] = {"limits", "expanded", "standard"};
    const Item* typed = nullptr;
    std::string_view way;
    for (const std::string_view one : ways)
        if (const Item* found = fields.find(one)) {
            if (typed != nullptr)
                fields.refuse(*found, fields.path(one) + ": a second way to say it",
                              "one of limits, expanded, standard");
            typed = found;
            way = one;
        }
    if (typed == nullptr) fields.missing("limits", "limits, expanded (95 %, coverage factor 2) or standard");
    double coverage = 2.0;
    if (const Item* k = fields.find("coverage")) {
        coverage = fields.measured(*k, "coverage", Dimension::ratio).si;
        if (way != "expanded" || !(coverage >= 1.0 && coverage <= 5.0))
            fields.refuse(*k, fields.path("coverage") + ": not a coverage factor of an expanded uncertainty",
                          "1 to 5, beside expanded");
    }
    Spec spec;
    Measured share;
    if (measure.share && !read_quantity(fields.text(*typed, way), Dimension::ratio, share)) {
        if (share.unit.name != "%")
            fields.refuse(*typed, fields.path(way) + ": a number without a unit", "7 % of the reading, or a unit");
        spec = {share.si, true};
    } else {
        spec.standard = fields.measured(*typed, way, measure.dimension).si;
    }
    if (!(spec.standard >= 0.0)) fields.refuse(*typed, fields.path(way) + ": below zero", "zero or more");
    if (measure.name == "relative_humidity" && spec.standard > 0.3)
        fields.refuse(*typed, fields.path(way) + ": not a limit of relative humidity", "2 %, or 0.02");
    // A slip of 100 makes false certainty: 0.02 % where 2 %, or 0.02, is meant.
    if (measure.name == "relative_humidity" && spec.standard > 0.0 && spec.standard < 0.001)
        fields.refuse(*typed, fields.path(way) + ": better than any humidity probe", "2 %, or 0.02");
    if (spec.of_reading && spec.standard > 1.0)
        fields.refuse(*typed, fields.path(way) + ": more than the reading itself", "7 %");
    spec.standard /= way == "limits" ? std::numbers::sqrt3 : way == "expanded" ? coverage : 1.0;
    return spec;
}

double read_correlation(const Fields& fields, const Item& typed) {
    const double correlation = fields.measured(typed, "correlation", Dimension::ratio).si;
    if (!(correlation >= 0.0 && correlation <= 1.0))
        fields.refuse(typed, fields.path("correlation") + ": not a correlation", "0 to 1");
    return correlation;
}

/// `side_by_side` of the instrument `name`, among all of `instruments`. One of the two says it.
void read_side_by_side(const Document& document, const Item& item, const std::string& name,
                       const Instruments& instruments, std::vector<SideBySide>& out) {
    const Fields fields(document, item, "instruments: " + name + ": side_by_side", {"with", "correlation"});
    const Item& with = fields.need("with", "the name of the other instrument");
    const std::string other = fields.text(with, "with");
    std::vector<std::string_view> others;
    for (const auto& [known, spec] : instruments)
        if (known != name) others.push_back(known);
    if (std::find(others.begin(), others.end(), other) == others.end())
        fields.refuse(with, fields.path("with") + ": not another instrument of this visit", listed(others, other));
    for (const SideBySide& pair : out)
        if (pair.first == other && pair.second == name)
            fields.refuse(with, fields.path("with") + ": '" + other + "' already says so",
                          "side_by_side at one of them");
    const Item& correlation =
        fields.need("correlation", "the share of the two's variance that they have in common, 0 to 1, such as 0.8");
    out.push_back({name, other, read_correlation(fields, correlation)});
}

}  // namespace

Instruments read_instruments(const Document& document, const Item& item, std::vector<SideBySide>& side_by_side) {
    if (item.kind != Item::Kind::map)
        document.refuse(item, "instruments: not a map of instruments",
                        "return probe: {dry_bulb: {limits: 0.5 delta_degF}}");
    Instruments out;
    for (std::size_t i = 0; i < item.keys.size(); ++i) {
        const Fields fields(document, item.values[i], "instruments: " + item.keys[i].text,
                            {"dry_bulb", "relative_humidity", "wet_bulb", "dew_point", "humidity_ratio", "airflow",
                             "power", "pressure", "correlation", "side_by_side"});
        Instrument instrument;
        for (const Measure& measure : measures)
            if (const Item* typed = fields.find(measure.name))
                instrument.specs.emplace(measure.name, read_spec(fields, *typed, measure));
        if (const Item* typed = fields.find("correlation")) instrument.correlation = read_correlation(fields, *typed);
        out.emplace(item.keys[i].text, std::move(instrument));
    }
    for (std::size_t i = 0; i < item.keys.size(); ++i)
        for (std::size_t k = 0; k < item.values[i].keys.size(); ++k)
            if (item.values[i].keys[k].text == "side_by_side")
                read_side_by_side(document, item.values[i].values[k], item.keys[i].text, out, side_by_side);
    return out;
}

}  // namespace offnominal::files
