/// @file
/// What is told, as JSON: the same names, units and words as `to_json` of the Python package gives.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "offnominal/audit.hpp"
#include "offnominal/card.hpp"
#include "offnominal/choose.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/files.hpp"
#include "offnominal/missing.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/between_visits.hpp"
#include "offnominal/proof/causes.hpp"

namespace offnominal::c {

[[nodiscard]] std::string json_of(const System& system, const Expected& expected, UnitSystem units);
[[nodiscard]] std::string json_of(const Delivered& delivered, UnitSystem units);
[[nodiscard]] std::string json_of(const System& system, const Visit& visit, const Proof& proof, UnitSystem units);
[[nodiscard]] std::string json_of(const System& system, const Visit& visit, const Causes& causes, UnitSystem units);
/// What a proof says in sentences.
[[nodiscard]] std::string texts_of(const System& system, const Visit& visit, const Proof& proof, UnitSystem units);
[[nodiscard]] std::string json_of(std::span<const ProvedVisit> visits, const std::vector<Season>& seasons);
[[nodiscard]] std::string json_of(const Revised& revised);
/// Choices, a list.
[[nodiscard]] std::string json_of(std::span<const System* const> systems, const std::vector<Choice>& choices,
                                  UnitSystem units);
[[nodiscard]] std::string json_of(const TargetCard& card, UnitSystem units);
/// What a question lacks, a list.
[[nodiscard]] std::string json_of(const std::vector<Missing>& missing, UnitSystem units);
/// What a system covers: its pages, lines, matches and elevations.
[[nodiscard]] std::string json_of(const std::vector<Envelope>& pages, const Coverage& coverage, UnitSystem units);
/// The audits of pages, a list.
[[nodiscard]] std::string json_of(const PagesOfFile& pages);

}  // namespace offnominal::c
