/// @file
/// Pages and their metadata as they are typed.
#pragma once

#include "offnominal/system.hpp"
#include "text/number.hpp"
#include "text/yaml.hpp"

namespace offnominal::files {

[[nodiscard]] YamlFile::Pairs basis_pairs(const Basis& basis);
[[nodiscard]] YamlFile::Pairs basis_pairs(const HeatingBasis& basis);

/// The keys and the table of one stage.
/// @param as_typed  with the texts it was typed with; else with texts made from its numbers
/// @throws InputError for a page that no table can hold
/// @param common  what the file says of all of its stages: what it leaves open is said beside the table
void write_stage(YamlFile& file, const Stage& stage, const Basis& common, const Unit& speed_unit, bool as_typed);
void write_stage(YamlFile& file, const HeatingStage& stage, const HeatingBasis& common, const Unit& speed_unit,
                 bool as_typed);

void write_defrost(YamlFile& file, const DefrostTable& table);

}  // namespace offnominal::files
