/// @file
/// Pages and their metadata as they are typed.
#pragma once

#include "offnominal/collate.hpp"
#include "text/yaml.hpp"

namespace offnominal::files {

/// What a page says of itself (`facts_of`), as pairs under `basis:`.
[[nodiscard]] YamlFile::Pairs basis_pairs(const std::vector<Fact>& facts);

/// The keys and the table of one stage.
/// @param common    what the file says of all of its stages: what it leaves open is said beside the table
/// @param as_typed  with the texts it was typed with; else with texts made from its numbers
/// @throws InputError for a page that no table can hold
template <class AnyStage, class AnyBasis>
void write_stage(YamlFile& file, const AnyStage& stage, const AnyBasis& common, const Unit& speed_unit, bool as_typed);

void write_defrost(YamlFile& file, const DefrostTable& table);

}  // namespace offnominal::files
