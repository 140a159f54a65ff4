#include "read/instrument.hpp"

#include <algorithm>
#include <charconv>
#include <numbers>

namespace offnominal::files {
namespace {

/// `{limits: 0.5 degF}`, `{expanded: 7 %}`, `{standard: ...}`.
Accuracy read_accuracy(const Fields& instrument, const Item& item, const Measure& measure) {
    const Fields fields(instrument.document(), item, instrument.path(measure.name),
                        {"limits", "expanded", "standard", "coverage"});
    const Item* typed = nullptr;
    Way way{};
    for (const Way& one : ways)
        if (const Item* found = fields.find(one.word)) {
            if (typed != nullptr)
                fields.refuse(*found, fields.path(one.word) + ": a second way to say it",
                              "one of limits, expanded, standard");
            typed = found;
            way = one;
        }
    if (typed == nullptr) fields.missing("limits", "limits, expanded (95 %, coverage factor 2) or standard");
    if (const Item* k = fields.find("coverage")) {
        way.divisor = fields.measured(*k, "coverage", Dimension::ratio).si;
        if (way.word != "expanded" || !(way.divisor >= 1.0 && way.divisor <= 5.0))
            fields.refuse(*k, fields.path("coverage") + ": not a coverage factor of an expanded uncertainty",
                          "1 to 5, beside expanded");
    }
    Accuracy out;
    if (const Complaint c = files::read_accuracy(fields.text(*typed, way.word), measure, way, out))
        fields.refuse(*typed, fields.path(way.word) + ": " + c.problem, c.accepted);
    return out;
}

double read_correlation(const Fields& fields, const Item& typed) {
    const double correlation = fields.measured(typed, "correlation", Dimension::ratio).si;
    if (!(correlation >= 0.0 && correlation <= 1.0))
        fields.refuse(typed, fields.path("correlation") + ": not a correlation", "0 to 1");
    return correlation;
}

/// `side_by_side` of the instrument `name`, among all of `instruments`. One of the two says it.
void read_side_by_side(const Document& document, const Item& item, const std::string& name,
                       const std::vector<Instrument>& instruments, std::vector<SideBySide>& out) {
    const Fields fields(document, item, "instruments: " + name + ": side_by_side", {"with", "correlation"});
    const Item& with = fields.need("with", "the name of the other instrument");
    const std::string other = fields.text(with, "with");
    std::vector<std::string_view> others;
    for (const Instrument& known : instruments)
        if (known.name != name) others.push_back(known.name);
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

/// `calibrated: 2025-06-01, calibration_valid: 12 months`, before the date of the visit.
std::optional<Calibration> read_calibration(const Fields& instrument, const std::string& visit) {
    const Item *date = instrument.find("calibrated"), *valid = instrument.find("calibration_valid");
    if (date == nullptr && valid == nullptr) return std::nullopt;
    if (date == nullptr) instrument.missing("calibrated", "the day of the calibration: 2025-06-01");
    if (valid == nullptr) instrument.missing("calibration_valid", "how long it holds, such as 12 months");
    Calibration out{instrument.text(*date, "calibrated"), 0};
    const std::string typed = instrument.text(*valid, "calibration_valid");
    const std::size_t end = typed.find(" month");
    const auto result = std::from_chars(typed.data(), typed.data() + typed.size(), out.months);
    if (result.ec != std::errc{} || result.ptr != typed.data() + std::min(end, typed.size()) ||
        (typed.substr(std::min(end, typed.size())) != " months" && typed != "1 month"))
        instrument.refuse(*valid, instrument.path("calibration_valid") + ": not a number of months", "12 months");
    if (visit.empty())
        instrument.refuse(*date, instrument.path("calibrated") + ": the visit says no date to hold it against",
                          "date: 2026-07-28, at the top of the visit");
    (void)placed(instrument.document(), *date, [&] { return calibration_on(visit, out.date, out.months); });
    return out;
}

}  // namespace

Dimension scatter_dimension(const Visit& visit, Input input) noexcept {
    const auto of_humidity = [](air::Humidity::Kind kind) {
        return kind == air::Humidity::Kind::relative_humidity ? Dimension::ratio
               : kind == air::Humidity::Kind::humidity_ratio  ? Dimension::humidity_ratio
                                                              : Dimension::temperature_difference;
    };
    switch (input) {
        case Input::return_humidity:
            return of_humidity(visit.readings.return_humidity.kind);
        case Input::supply_humidity:
            return of_humidity(visit.readings.supply_humidity.kind);
        case Input::airflow:
            return Dimension::airflow;
        case Input::power:
            return Dimension::power;
        default:
            return Dimension::temperature_difference;
    }
}

Complaint read_accuracy(std::string_view typed, const Measure& measure, const Way& way, Accuracy& out) {
    out = {std::string(measure.name)};
    out.shape = way.shape;
    Measured stated;
    if (measure.share && !read_quantity(typed, Dimension::ratio, stated)) {
        if (stated.unit.name != "%") return {"a number without a unit", "7 % of the reading, or a unit"};
        out.of_reading = true;
    } else if (Complaint c = read_quantity(typed, measure.dimension, stated)) {
        return c;
    }
    if (!(stated.si >= 0.0)) return {"below zero", "zero or more"};
    const bool humidity = measure.name == "relative_humidity";
    if (humidity && stated.si > 0.3) return {"not a limit of relative humidity", "2 %, or 0.02"};
    // A slip of 100 makes false certainty: 0.02 % where 2 %, or 0.02, is meant.
    if (humidity && stated.si > 0.0 && stated.si < 0.001) return {"better than any humidity probe", "2 %, or 0.02"};
    if (out.of_reading && stated.si > 1.0) return {"more than the reading itself", "7 %"};
    out.standard = stated.si / way.divisor;
    return {};
}

std::vector<Instrument> read_instruments(const Document& document, const Item& item, const std::string& date,
                                         std::vector<SideBySide>& side_by_side) {
    if (item.kind != Item::Kind::map)
        document.refuse(item, "instruments: not a map of instruments", "return probe: {dry_bulb: {limits: 0.5 degF}}");
    std::vector<Instrument> out;
    for (std::size_t i = 0; i < item.keys.size(); ++i) {
        const Fields fields(document, item.values[i], "instruments: " + item.keys[i].text,
                            {"dry_bulb", "relative_humidity", "wet_bulb", "dew_point", "humidity_ratio", "airflow",
                             "power", "pressure", "correlation", "side_by_side", "calibrated", "calibration_valid"});
        Instrument instrument{item.keys[i].text, {}, {}};
        for (const Measure& measure : measures)
            if (const Item* typed = fields.find(measure.name))
                instrument.accuracies.push_back(read_accuracy(fields, *typed, measure));
        if (const Item* typed = fields.find("correlation")) instrument.correlation = read_correlation(fields, *typed);
        instrument.calibration = read_calibration(fields, date);
        out.push_back(std::move(instrument));
    }
    for (std::size_t i = 0; i < item.keys.size(); ++i)
        for (std::size_t k = 0; k < item.values[i].keys.size(); ++k)
            if (item.values[i].keys[k].text == "side_by_side")
                read_side_by_side(document, item.values[i].values[k], item.keys[i].text, out, side_by_side);
    return out;
}

}  // namespace offnominal::files
