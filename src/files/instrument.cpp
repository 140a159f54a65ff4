#include "instrument.hpp"

#include <numbers>

namespace offnominal::files {
namespace {

struct Measure {
    std::string_view name;
    Dimension dimension;  ///< of the quantity's error
    bool share;           ///< may be stated in percent of the reading
};

constexpr Measure measures[] = {
    {"dry_bulb", Dimension::temperature_difference, false},
    {"relative_humidity", Dimension::ratio, false},
    {"wet_bulb", Dimension::temperature_difference, false},
    {"dew_point", Dimension::temperature_difference, false},
    {"humidity_ratio", Dimension::humidity_ratio, true},
    {"airflow", Dimension::airflow, true},
    {"power", Dimension::power, true},
    {"pressure", Dimension::pressure, true},
};

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

}  // namespace

Instruments read_instruments(const Document& document, const Item& item) {
    if (item.kind != Item::Kind::map)
        document.refuse(item, "instruments: not a map of instruments",
                        "return probe: {dry_bulb: {limits: 0.5 delta_degF}}");
    Instruments out;
    for (std::size_t i = 0; i < item.keys.size(); ++i) {
        const Fields fields(document, item.values[i], "instruments: " + item.keys[i].text,
                            {"dry_bulb", "relative_humidity", "wet_bulb", "dew_point", "humidity_ratio", "airflow",
                             "power", "pressure", "correlation"});
        Instrument instrument;
        for (const Measure& measure : measures)
            if (const Item* typed = fields.find(measure.name))
                instrument.specs.emplace(measure.name, read_spec(fields, *typed, measure));
        if (const Item* typed = fields.find("correlation")) {
            instrument.correlation = fields.measured(*typed, "correlation", Dimension::ratio).si;
            if (!(instrument.correlation >= 0.0 && instrument.correlation <= 1.0))
                fields.refuse(*typed, fields.path("correlation") + ": not a correlation", "0 to 1");
        }
        out.emplace(item.keys[i].text, std::move(instrument));
    }
    return out;
}

}  // namespace offnominal::files
