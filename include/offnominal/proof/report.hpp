/// @file
/// A proof in words: what was expected and why, what is delivered, whether it passes, and what the doubt consists of.
#pragma once

#include <algorithm>
#include <string>

#include "offnominal/expect/heating.hpp"
#include "offnominal/proof/prove.hpp"

namespace offnominal {

[[nodiscard]] constexpr std::string_view name(Outcome outcome) noexcept {
    constexpr std::array names{"meets", "falls_short", "undecided", "implausible", "not_comparable"};
    return names[static_cast<std::size_t>(outcome)];
}
[[nodiscard]] constexpr std::string_view name(Input input) noexcept {
    constexpr std::array names{"return_dry_bulb", "return_humidity", "supply_dry_bulb",
                               "supply_humidity", "airflow",         "outdoor_dry_bulb",
                               "pressure",        "fan_power",       "power"};
    static_assert(names.size() == input_count);
    return names[static_cast<std::size_t>(input)];
}

/// Short cautions for whoever acts on a text of this library.
inline constexpr std::string_view cautions =
    "cautions\n"
    "  This is an estimate. It certifies nothing, and it must never control or override equipment or a safety device.\n"
    "  Only people licensed for the work there open equipment; local code and the maker's instructions come first.\n"
    "  Electricity stays after switch-off (capacitors): lock out, prove dead. Fans start without warning.\n"
    "  Refrigerant: high pressure, frostbite, suffocation, and some of it burns: no flames, ventilate, certified "
    "handlers.\n";

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

[[nodiscard]] inline std::string percent(double fraction, int decimals = 1) {
    return fixed(100.0 * fraction, decimals) + " %";
}

[[nodiscard]] inline std::string air_words(const air::State& state, const Style& style) {
    return style.of(state.dry_bulb) + " dry bulb, " + style.of(air::wet_bulb(state)) + " wet bulb, " +
           percent(air::relative_humidity(state).si) + " relative humidity";
}

[[nodiscard]] inline std::string expected_words(const System& system, const Expected& e, UnitSystem units) {
    const Style style(units);
    std::string out = "expected at " + std::string(name(e.boundary)) + ": total " + style.of_capacity(e.total_capacity);
    if (e.sensible_capacity)
        out += ", sensible " + style.of_capacity(*e.sensible_capacity) + ", latent " +
               style.of_capacity(*e.latent_capacity);
    out += "\n";
    if (e.power) {
        out += "  power " + Style::with(e.power->si, units::W, 0) + " (" + std::string(name(e.power_basis)) + ")";
        if (e.system_power) out += ", with indoor fan " + Style::with(e.system_power->si, units::W, 0);
        out += "\n";
    }
    if (e.leaving)
        out += "  leaving " + style.of(e.leaving->dry_bulb) + " dry bulb, " + style.of(e.leaving->wet_bulb) +
               " wet bulb, " + percent(e.leaving->relative_humidity) + " relative humidity, split " +
               style.of(e.leaving->split) + "\n";
    out += "  footing: " + describe(e.footing) + "; own standard uncertainty " +
           percent(e.uncertainty.combined() / e.total_capacity.si) + "\n";
    return out + explain(system, e, units);
}

[[nodiscard]] inline std::string notes_words(Notes notes) {
    if (notes.empty()) return {};
    std::string out = "notes\n";
    for (const std::string& note : describe(notes)) out += "  - " + note + "\n";
    return out;
}

[[nodiscard]] inline std::string delivered_words(const Delivered& d, UnitSystem units) {
    const Style style(units);
    std::string out = "delivered: total " + style.of_capacity(d.total_capacity) + ", sensible " +
                      style.of_capacity(d.sensible_capacity) + ", latent " + style.of_capacity(d.latent_capacity) +
                      "\n";
    out += "  return " + air_words(d.return_air, style) + "\n";
    out += "  supply " + air_words(d.supply_air, style) + "\n";
    out += "  split " + style.of(d.split) + ", " + style.standard(d.standard_airflow) + ", ";
    out += style.ip ? Style::with(d.mass_flow.si, units::lb_h, 0) : Style::with(d.mass_flow.si, units::kg_s, 4);
    return out + " of dry air\n";
}

[[nodiscard]] inline std::string words(Input input) {
    std::string out(name(input));
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

[[nodiscard]] inline std::string budget_words(const Proof& proof) {
    std::string out = "  " + padded("what moves the ratio (by its standard uncertainty)", 52) +
                      padded("delivered", 11, true) + padded("expected", 10, true) + padded("ratio", 8, true) +
                      padded("share", 8, true) + "\n";
    for (const BudgetLine& line : proof.budget) {
        if (line.standard == 0.0 || line.input == Input::power) continue;  // power is in no capacity
        const std::string what = words(line.input);
        out += "  " + padded(what, 52) + padded(percent(line.delivered, 2), 11, true) +
               padded(percent(line.expected, 2), 10, true) + padded(percent(line.ratio, 2), 8, true) +
               padded(percent(line.share, 0), 8, true) + "\n";
    }
    return out + "  " + padded("expected side's own: page, factors, altitude, tolerance", 52) + padded("", 11) +
           padded(percent(proof.expected_u, 2), 10, true) + padded(percent(proof.expected_u, 2), 8, true) +
           padded(percent(proof.expected_share, 0), 8, true) + "\n";
}

/// A ratio with its doubt: "ratio 0.987 +- 0.036".
[[nodiscard]] inline std::string ratio_words(double ratio, double u95) {
    return "ratio " + fixed(ratio, 3) + " +- " + fixed(u95, 3);
}

/// Power and efficiency beside the page's, or why not; nothing where no power was measured.
[[nodiscard]] inline std::string power_words(const System& system, const Visit& visit, const Proof& proof,
                                             UnitSystem units) {
    if (!visit.power) return {};
    const std::string of(name(visit.power->of)), measured = Style::with(visit.power->value.si, offnominal::units::W, 0);
    if (!proof.power) {
        std::string out = "  power " + measured + " measured of the " + of + ", not compared: ";
        if (proof.no_power == proof.reason) return out + "no ratio\n";
        out += explain(proof.no_power, units);
        if (proof.no_power.why == Why::unlike_basis)
            out += " (the page's is of the " + std::string(name(page_of(system, *proof.expected).table.basis().power)) +
                   ")";
        return out + "; nor is the efficiency\n";
    }
    const Comparison &power = *proof.power, &efficiency = *proof.efficiency;
    const Style style(units);
    const Unit unit = style.ip ? offnominal::units::Btu_Wh : offnominal::units::W_W;
    return "  power of the " + of + " " + measured + " measured, " +
           Style::with(power.expected, offnominal::units::W, 0) +
           " expected: " + ratio_words(power.ratio, power.ratio_u95) + "\n  efficiency " +
           Style::with(efficiency.measured, unit, 2) + " delivered, " + Style::with(efficiency.expected, unit, 2) +
           " expected: " + ratio_words(efficiency.ratio, efficiency.ratio_u95) + "\n";
}

/// How the readings stand to the stages, where that is in doubt.
[[nodiscard]] inline std::string nearest_words(const System& system, const Visit& visit, const Proof& proof,
                                               UnitSystem units) {
    std::string out;
    const SystemParts& parts = system.parts();
    const auto& stages = system.stages(system.match(visit.match));
    for (const StageFit& fit : proof.nearest) {
        const Stage& stage = stages[static_cast<std::size_t>(fit.stage)];
        out += "    " + stage.name;
        if (stage.speed)
            out +=
                " (" + brief(parts.speed_unit.from_si(*stage.speed)) + " " + std::string(parts.speed_unit.name) + ")";
        out += fit.ratio ? ": total " + fixed(*fit.ratio, 3) : ": no total (" + explain(fit.reason, units) + ")";
        if (fit.power_ratio) out += ", power " + fixed(*fit.power_ratio, 3);
        out += " of expected\n";
    }
    return out.empty() ? out : "  against each stage, best fit first (a hint, not a proof)\n" + out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// An expected capacity as a text: the target, its ledger, notes, cautions.
[[nodiscard]] inline std::string report(const System& system, const Expected& expected, UnitSystem units) {
    return system.name() + "\n" + detail::expected_words(system, expected, units) +
           detail::notes_words(expected.notes) + std::string(cautions);
}

/// The same in heating.
[[nodiscard]] inline std::string report(const System& system, const ExpectedHeating& expected, UnitSystem units) {
    return system.name() + "\n" + detail::expected_words(system, expected, units) +
           detail::notes_words(expected.notes) + std::string(cautions);
}

/// A proof as a text: expected with its ledger, delivered, ratio and decision, budget, notes, cautions.
[[nodiscard]] inline std::string report(const System& system, const Visit& visit, const Proof& proof,
                                        UnitSystem units) {
    using detail::percent;
    std::string out = (visit.name.empty() ? std::string("visit") : visit.name) +
                      (visit.date.empty() ? "" : ", " + visit.date) + "\n" + system.name() + "\n";
    if (proof.expected) out += detail::expected_words(system, *proof.expected, units);
    out += detail::delivered_words(proof.delivered, units);
    out += "proof: " + std::string(name(proof.outcome)) + "\n";
    if (proof.ratio) {
        out += "  ratio of delivered to expected total " + fixed(*proof.ratio, 3) + " +- " + fixed(proof.ratio_u95, 3) +
               " (coverage factor 2, about 95 %)\n";
        out += "  probability that the true ratio is at least " + fixed(proof.limit, 2) + ": " +
               fixed(proof.probability, 3) + "; meets from " + fixed(proof.confidence, 2) + ", falls short up to " +
               fixed(1.0 - proof.confidence, 2) + "\n";
        if (proof.expected && proof.expected->leaving)
            out += "  split " + detail::Style(units).of(proof.delivered.split) + " delivered, " +
                   detail::Style(units).of(proof.expected->leaving->split) + " expected (needs no airflow reading)\n";
        out += detail::budget_words(proof);
        if (proof.outcome == Outcome::undecided && !proof.notes.has(Note::speed_unknown))
            out += "  to decide, measure better first: " + detail::words(proof.budget.front().input) + "\n";
        if (proof.outcome == Outcome::implausible)
            out +=
                "  a ratio this far above 1 is far more often a measuring error than a superb machine: check airflow "
                "and probes\n";
    } else {
        out += "  no ratio: " + explain(proof.reason, units) + "\n";
    }
    out += detail::power_words(system, visit, proof, units);
    out += detail::nearest_words(system, visit, proof, units);
    if (proof.notes.has(Note::speed_unknown))
        out += "  to decide, hold the compressor by the maker's test mode, and say so: speed_held: true\n";
    return out + detail::notes_words(proof.notes) + std::string(cautions);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
