#include <algorithm>
#include <cmath>

#include "offnominal/derates/faults.hpp"
#include "text.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// What a number of a severity or of a reading's error is, as it is told.
std::string share_words(double share) { return percent(share, 0); }

std::string error_words(const Visit& visit, Input input, double si, UnitSystem units) {
    const Readings& r = visit.readings;
    const auto kelvin = [&] { return with_unit(Kind::temperature_difference, si, units); };
    const auto humidity = [&](const air::Humidity& h) {
        switch (h.kind) {
            case air::Humidity::Kind::relative_humidity:
                return fixed(100.0 * si, 1) + " points";
            case air::Humidity::Kind::wet_bulb:
            case air::Humidity::Kind::dew_point:
                return kelvin();
            default:
                return share_words(si / h.value);
        }
    };
    switch (input) {
        case Input::return_dry_bulb:
        case Input::supply_dry_bulb:
        case Input::outdoor_dry_bulb:
            return kelvin();
        case Input::return_humidity:
            return humidity(r.return_humidity);
        case Input::supply_humidity:
            return humidity(r.supply_humidity);
        case Input::airflow:
            if (visit.airflow_by.empty()) return share_words(si / r.airflow.si);
            return with_unit(Kind::airflow, si, units);  // found: the visit reads none
        case Input::pressure:
            return with_unit(Kind::pressure, si, units);
        case Input::fan_power:
        case Input::power:
        case Input::auxiliary_heat:
            break;
    }
    return with_unit(Kind::electric_power, si, units);
}

std::string severity_words(const Visit& visit, const LikelyCause& one, Cause cause, double severity, double low,
                           double high, UnitSystem units) {
    if (cause == Cause::reading && one.input) {
        const auto stands = [&](Input input, bool above) {
            return spaced(name(input)) + " stands about " + error_words(visit, input, std::abs(severity), units) +
                   (above ? " above" : " below") + " the truth";
        };
        // Dry bulbs, of which one that reads high does what the other does that reads low.
        return stands(*one.input, severity > 0.0) +
               (one.or_input ? ", or " + stands(*one.or_input, !(severity > 0.0)) : std::string());
    }
    if (row_of(cause)->severity.empty() || severity == 0.0) return {};
    const bool charge = cause == Cause::charge_low || cause == Cause::charge_high;
    return "about " + share_words(severity) + " " + std::string(row_of(cause)->severity) + " (" +
           fixed(100.0 * low, 0) + " to " + share_words(high) + ")" +
           (charge && severity > derates::greatest_charge
                ? ", past the " + share_words(derates::greatest_charge) + " that models were made for"
                : "");
}

std::string_view support_words(Support support) noexcept {
    switch (support) {
        case Support::published:
            return "published models";
        case Support::page:
            return "the maker's page";
        case Support::physics:
            return "physics of air and readings";
        case Support::practice:
            break;
    }
    return "a direction only, common practice without a source";
}

}  // namespace

std::string words_for(const System& system, const Visit& visit, const LikelyCause& one, UnitSystem units) {
    std::string out = (one.also ? "both " : "") + std::string(row_of(one.cause)->text);
    if (one.stage >= 0) out += ": " + stage_name(system, visit, one.stage);
    if (one.match >= 0) out += ": " + system.parts().matches[static_cast<std::size_t>(one.match)].name;
    const auto add = [&](const std::string& severity) { out += severity.empty() ? "" : ": " + severity; };
    add(severity_words(visit, one, one.cause, one.severity, one.severity_low, one.severity_high, units));
    if (!one.also) return out;
    out += ", and " + std::string(row_of(*one.also)->text);
    add(severity_words(visit, one, *one.also, one.also_severity, one.also_low, one.also_high, units));
    return out;
}

std::string report(const System& system, const Visit& visit, const Causes& causes, UnitSystem units) {
    if (causes.likely.empty()) return "likely causes: none to tell: " + explain(causes.reason, units) + "\n";
    std::string out = "likely causes: hypotheses, no verdict\n";
    if (!causes.reason.none()) out += "  There is no ratio: " + explain(causes.reason, units) + ".\n";
    constexpr std::size_t most = 5;
    double told = 0.0;
    for (std::size_t i = 0; i < std::min(most, causes.likely.size()); ++i) {
        const LikelyCause& one = causes.likely[i];
        told += one.probability;
        out += "  " + padded(chance_words(one.probability), 9, true) + "  " + words_for(system, visit, one, units);
        if (one.cause != Cause::nothing_wrong) out += " (by " + std::string(support_words(one.support)) + ")";
        out += "\n";
    }
    if (1.0 - told >= 0.005) out += "  " + padded(chance_words(1.0 - told), 9, true) + "  others\n";
    out += causes.two_at_once
               ? "  No single one of them fits what was read: two at once are likelier, or one that is not listed.\n"
               : "  Two at once are possible.\n";
    constexpr double felt = 0.005;
    std::string next;
    int listed = 0;
    for (const NextCheck& one : causes.checks) {
        constexpr int few = 3;
        if (one.first < causes.first + felt || ++listed > few) continue;
        next += "  " + std::string(row_of(one.check)->text) + ": about " + fixed(row_of(one.check)->minutes, 0) +
                " min, right first then " + chance_words(one.first) + "\n";
    }
    if (!next.empty()) out += "to tell them apart (right first now " + chance_words(causes.first) + "), next\n" + next;
    return out;
}

}  // namespace offnominal
