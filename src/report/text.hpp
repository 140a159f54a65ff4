/// @file
/// What reports are put together from.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

#include "offnominal/airflow/determine.hpp"
#include "offnominal/report.hpp"

namespace offnominal::detail {

[[nodiscard]] inline std::string padded(std::string text, std::size_t width, bool right = false) {
    if (text.size() < width) text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

/// A word as it stands in a sentence: `dry_bulb_split` as "dry bulb split".
[[nodiscard]] inline std::string spaced(std::string_view word) {
    std::string out(word);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

/// A quantity as a report writes it: in the unit and with the decimals of its kind.
[[nodiscard]] inline std::string number(Kind kind, double si, UnitSystem system) {
    const KindWords& k = row_of_kind(kind);
    return fixed(shown_unit(kind, system).from_si(si), system == UnitSystem::SI ? k.decimals_si : k.decimals_ip);
}
[[nodiscard]] inline std::string with_unit(Kind kind, double si, UnitSystem system) {
    return number(kind, si, system) + " " + std::string(shown_unit(kind, system).name);
}

[[nodiscard]] inline std::string percent(double fraction, int decimals = 1) {
    return fixed(100.0 * fraction, decimals) + " %";
}

/// A chance in whole percent; never 0 or 100, since nothing is sure.
[[nodiscard]] inline std::string chance_words(double probability) {
    if (probability < 0.005) return "under 1 %";
    if (probability > 0.995) return "over 99 %";
    return percent(probability, 0);
}

/// How an airflow was found, such as `the blower table, tap 4`.
[[nodiscard]] std::string how_found(const DeterminedAirflow& determined);

/// An expected capacity: the target, what it stands on, its ledger.
[[nodiscard]] std::string expected_words(const System& system, const Expected& e, UnitSystem units);

[[nodiscard]] inline std::string notes_words(const std::vector<std::string>& notes) {
    if (notes.empty()) return {};
    std::string out = "notes\n";
    for (const std::string& note : notes) out += "  - " + note + "\n";
    return out;
}

}  // namespace offnominal::detail
