/// @file
/// What is told, as JSON: the same names, units and words as `to_json` of the Python package gives.
#pragma once

#include <string>

#include "offnominal/audit.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof.hpp"

namespace offnominal::c {

[[nodiscard]] std::string json_of(const System& system, const Expected& expected, UnitSystem units);
[[nodiscard]] std::string json_of(const Delivered& delivered, UnitSystem units);
[[nodiscard]] std::string json_of(const System& system, const Visit& visit, const Proof& proof, UnitSystem units);
/// The audits of pages, a list.
[[nodiscard]] std::string json_of(const std::vector<PageOfFile>& pages, const std::vector<HeatingPageOfFile>& heating);

}  // namespace offnominal::c
