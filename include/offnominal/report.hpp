/// @file
/// Expected capacities and proofs in words: what was expected and why, what is delivered, whether it passes, and what
/// the doubt consists of. Compiled: link `offnominal::core`.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "offnominal/expected.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/causes.hpp"
#include "offnominal/proof/settle.hpp"

namespace offnominal {

/// Short cautions for whoever acts on a text of this library.
inline constexpr std::string_view cautions =
    "cautions\n"
    "  This is an estimate. It certifies nothing, and it must never control or override equipment or a safety device.\n"
    "  Only people licensed for the work there open equipment; local code and the maker's instructions come first.\n"
    "  Electricity stays after switch-off (capacitors): lock out, prove dead. Fans start without warning.\n"
    "  Refrigerant: high pressure, frostbite, suffocation, and some of it burns: no flames, ventilate, certified "
    "handlers.\n";

/// The ledger of an expected capacity: where the page was entered, the cell, and every step with what it left. It can
/// be followed with a finger on the page.
[[nodiscard]] std::string explain(const System& system, const Expected& expected, UnitSystem units);

/// An expected capacity as a text: the target, its ledger, notes, cautions.
[[nodiscard]] std::string report(const System& system, const Expected& expected, UnitSystem units);

/// What a proof says in sentences, part by part.
struct ProofTexts {
    std::string verdict;                ///< Five lines: the outcome, the ratio, the chance, why, and what to do next.
    std::vector<std::string> settling;  ///< What would settle it, best first, and what that promises.
    std::vector<std::string> notes;     ///< What doubts the readings first.
};
[[nodiscard]] ProofTexts proof_texts(const Visit& visit, const Proof& proof, UnitSystem units);

/// A proof as a text: expected with its ledger, delivered, ratio and decision, budget, notes, cautions.
[[nodiscard]] std::string report(const System& system, const Visit& visit, const Proof& proof, UnitSystem units);

/// The name of one of a visit's stages, by its number as `StageFit` and `LikelyCause` tell it.
[[nodiscard]] inline const std::string& stage_name(const System& system, const Visit& visit, std::int16_t stage) {
    const auto at = static_cast<std::size_t>(stage);
    return visit.mode() == Mode::heating ? system.parts().heating[at].name
                                         : system.stages(system.match(visit.match))[at].name;
}

/// What one hypothesis says, and how severe it would be.
[[nodiscard]] std::string words_for(const System& system, const Visit& visit, const LikelyCause& cause,
                                    UnitSystem units);

/// Likely causes as a text: the first five, and what tells them apart.
[[nodiscard]] std::string report(const System& system, const Visit& visit, const Causes& causes, UnitSystem units);

/// What a plan says in sentences; nothing where there will be no ratio.
struct PlanTexts {
    std::vector<std::string> chances;   ///< How such a visit would end, by what the machine truly delivers.
    std::vector<std::string> remedies;  ///< What would make it surer, best first, and what that promises.
};
[[nodiscard]] PlanTexts plan_texts(const Plan& plan);

/// A plan as a text: the chances, what would make it surer, expected with its ledger, budget, notes, cautions.
[[nodiscard]] std::string report(const System& system, const Plan& plan, UnitSystem units);

}  // namespace offnominal
