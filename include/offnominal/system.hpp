/// @file
/// A matched system: the pages of its stages, its indoor matches, its line-set and altitude tables.
#pragma once

#include <algorithm>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/airflow/blower.hpp"
#include "offnominal/derates/altitude.hpp"
#include "offnominal/derates/defrost.hpp"
#include "offnominal/derates/line_set.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/heating_table.hpp"
#include "offnominal/ratings/rating_table.hpp"

namespace offnominal {

/// The page of one operating stage. Stages are keys, never an axis: nothing interpolates between them, but for the
/// speeds of a compressor whose maker says so (`Modulation::continuous`).
struct Stage {
    std::string name;
    RatingTable table;
    std::optional<double> speed = std::nullopt;  ///< of a variable-speed compressor, SI of `SystemParts::speed_unit`
};

/// What may lie between the stages.
enum class Modulation : std::uint8_t {
    staged,      ///< nothing: the compressor runs in stages
    variable,    ///< speeds, but the maker does not say that the blocks may be interpolated
    continuous,  ///< speeds, and the blocks may be interpolated where the speed is given
};
template <>
inline constexpr Word<Modulation> words_of<Modulation>[] = {
    {Modulation::staged, "staged"}, {Modulation::variable, "variable"}, {Modulation::continuous, "continuous"}};

/// A heating page of one operating stage: instantaneous and integrated pages of a stage are two entries, never one.
struct HeatingStage {
    std::string name;
    Frost frost = Frost::unknown;
    HeatingTable table;
    std::optional<double> speed = std::nullopt;  ///< as `Stage::speed`
};

/// An indoor unit listed for the outdoor unit: either factors on the system's pages, or pages of its own.
struct Match {
    std::string name;
    bool reference = false;        ///< the combination the system's pages are printed for: factors 1
    Factors factors;               ///< on gross total and on power
    std::optional<double> bypass;  ///< bypass factor of this coil, if it differs from the page's
    std::optional<std::pair<Airflow, Airflow>> airflow;  ///< standard airflow this match allows
    FanPosition fan = FanPosition::unknown;
    std::vector<Stage> stages;  ///< pages of its own; then no factor applies
};

/// Where the numbers come from.
struct Source {
    std::string document;
    std::string revision;
    std::string page;
    std::string transcriber{};  ///< who typed it
    std::string checker{};      ///< who held it against the print
};

/// Everything a system is built from. Filled by a file reader or by hand.
struct SystemParts {
    std::string name;
    std::string nominal;  ///< a label; no answer comes from it
    std::string refrigerant;
    Source source;
    std::vector<Stage> cooling;
    std::vector<HeatingStage> heating;    ///< printed for the reference match
    std::optional<DefrostTable> defrost;  ///< turns instantaneous heating into integrated
    Modulation modulation = Modulation::staged;
    Unit speed_unit = units::one;  ///< of the stages' speeds: 1 or %, Hz, rpm
    std::vector<Match> matches;
    LineTable line_set;                     ///< factors in cooling
    LineTable heating_line_set;             ///< factors in heating, on capacity and power
    std::optional<LineSet> reference_line;  ///< what the pages are rated with
    AltitudeTable altitude;
    BlowerTable blower;  ///< of the reference indoor unit
    TypedTexts typed;    ///< what stands beside the pages, as typed; empty for a system built in code

    [[nodiscard]] const LineTable& lines(Mode mode) const noexcept {
        return mode == Mode::heating ? heating_line_set : line_set;
    }
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {
/// @throws InputError for a line-set table that gives the line its pages are rated with another factor than 1, or whose
/// limits of lift are not those of the other mode's
inline void check_line_tables(const SystemParts& parts) {
    for (const LineTable* table : {&parts.line_set, &parts.heating_line_set}) {
        if (!parts.reference_line || table->empty()) continue;
        const auto rated = table->at(*parts.reference_line);
        if (rated && std::abs(rated->total - 1.0) > 0.0005)
            detail::raise(InputError(
                {}, "the line-set table gives its own reference line a factor of " + std::to_string(rated->total), {},
                "1.000 at the reference line"));
    }
    const LineTable::Limits &cools = parts.line_set.limits(), &heats = parts.heating_line_set.limits();
    if (!parts.line_set.empty() && !parts.heating_line_set.empty() &&
        (cools.least_lift != heats.least_lift || cools.greatest_lift != heats.greatest_lift))
        detail::raise(InputError({}, "line-set tables of cooling and heating with unlike limits of lift", {},
                                 "one pair of limits: the line is the same"));
}
}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END

namespace offnominal {

/// A checked, immutable system; look-ups are thread-safe. A copy has pages of its own: hand a system on by reference.
/// One that was moved from has no stage and refuses every question.
class System {
   public:
    /// @throws InputError for no stage, two stages or matches of one name, a match with both factors and pages of its
    /// own.
    OFFNOMINAL_INLINE explicit System(SystemParts parts) : parts_(checked(std::move(parts))) {
        detail::check_line_tables(parts_);
    }

    [[nodiscard]] const SystemParts& parts() const noexcept { return parts_; }
    [[nodiscard]] const std::string& name() const noexcept { return parts_.name; }

    /// The match of that name, or nothing.
    [[nodiscard]] const Match* match(std::string_view name) const noexcept {
        for (const Match& m : parts_.matches)
            if (m.name == name) return &m;
        return nullptr;
    }
    /// The pages that hold for a match: its own where it has them, else the system's.
    [[nodiscard]] const std::vector<Stage>& stages(const Match* match) const noexcept {
        return match != nullptr && !match->stages.empty() ? match->stages : parts_.cooling;
    }
    /// Where the fan stands that a match's pages were printed with: its own where it has pages, else the reference
    /// match's.
    [[nodiscard]] FanPosition page_fan(const Match* match) const noexcept {
        if (match != nullptr && !match->stages.empty()) return match->fan;
        for (const Match& m : parts_.matches)
            if (m.reference) return m.fan;
        return FanPosition::unknown;
    }
    /// The stage of that name among them, or nothing.
    [[nodiscard]] const Stage* stage(std::string_view name, const Match* match) const noexcept {
        for (const Stage& s : stages(match))
            if (s.name == name) return &s;
        return nullptr;
    }

    /// The heating page of that stage and kind, or nothing.
    [[nodiscard]] const HeatingStage* heating_stage(std::string_view name, Frost frost) const noexcept {
        for (const HeatingStage& s : parts_.heating)
            if (s.frost == frost && s.name == name) return &s;
        return nullptr;
    }

    [[nodiscard]] std::vector<std::string> stage_names() const {
        std::vector<std::string> out;
        for (const Stage& s : parts_.cooling) out.push_back(s.name);
        return out;
    }
    /// Stages with a heating page of any kind, each once.
    [[nodiscard]] std::vector<std::string> heating_stage_names() const {
        std::vector<std::string> out;
        for (const HeatingStage& s : parts_.heating)
            if (std::find(out.begin(), out.end(), s.name) == out.end()) out.push_back(s.name);
        return out;
    }
    [[nodiscard]] std::vector<std::string> match_names() const {
        std::vector<std::string> out;
        for (const Match& m : parts_.matches) out.push_back(m.name);
        return out;
    }

   private:
    static void check_heating(const SystemParts& parts) {
        for (std::size_t i = 0; i < parts.heating.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (parts.heating[i].name == parts.heating[j].name && parts.heating[i].frost == parts.heating[j].frost)
                    detail::raise(InputError({}, "two heating pages of one kind and stage", parts.heating[i].name,
                                             "different names"));
        if (!parts.defrost) return;
        for (const DefrostTable::Page& page : parts.defrost->pages()) {
            const auto is_its = [&page](const HeatingStage& s) { return page.stage.empty() || s.name == page.stage; };
            if (std::none_of(parts.heating.begin(), parts.heating.end(), is_its))
                detail::raise(InputError({}, "a defrost correction for a stage without a heating page", page.stage,
                                         "the name of a heating stage, or none for all"));
        }
    }

    /// Speeds above zero, each once; on a continuous compressor one for every stage, and powers that can be told
    /// between two stages.
    static void check_speeds(const std::vector<Stage>& stages, Modulation modulation) {
        for (std::size_t i = 0; i < stages.size(); ++i) {
            const auto& speed = stages[i].speed;
            if (speed && !(*speed > 0.0 && real::is_finite(*speed)))
                detail::raise(InputError({}, "a speed that is not above zero", stages[i].name, "speed: 45 Hz"));
            for (std::size_t j = 0; speed && j < i; ++j)
                if (stages[j].speed == speed)
                    detail::raise(InputError({}, "two stages of one speed", stages[i].name, "different speeds"));
            if (modulation != Modulation::continuous) continue;
            if (!speed)
                detail::raise(InputError({}, "a stage of a continuous compressor without its speed", stages[i].name,
                                         "speed: 45 Hz"));
            const RatingTable &first = stages[0].table, &here = stages[i].table;
            if (first.page().has_power != here.page().has_power || first.basis().power != here.basis().power)
                detail::raise(
                    InputError({}, "stages of a continuous compressor whose powers do not include the same things",
                               stages[i].name, "one power basis for all of them, and a power column in all or none"));
        }
    }

    static SystemParts checked(SystemParts parts) {
        constexpr std::size_t most = 1000;  // a stage's number is kept in 16 bits, and nobody types as many
        for (const std::size_t count : {parts.cooling.size(), parts.matches.size(), parts.heating.size()})
            if (count > most)
                detail::raise(
                    InputError({}, "too many stages or matches", std::to_string(count), "1000 of each at most"));
        for (const Match& match : parts.matches)
            if (match.stages.size() > most)
                detail::raise(InputError({}, "too many stages", match.name, "1000 at most"));
        check_heating(parts);
        if (parts.cooling.empty() && parts.matches.empty() && parts.heating.empty())
            detail::raise(InputError({}, "the system has no stage", {}, "cooling: stages"));
        const auto no_twins = [](const auto& list, const char* what) {
            for (std::size_t i = 0; i < list.size(); ++i)
                for (std::size_t j = 0; j < i; ++j)
                    if (list[i].name == list[j].name)
                        detail::raise(InputError({}, std::string("two ") + what + " of one name", list[i].name,
                                                 "different names"));
        };
        no_twins(parts.cooling, "stages");
        no_twins(parts.matches, "matches");
        if (std::count_if(parts.matches.begin(), parts.matches.end(), [](const Match& m) { return m.reference; }) > 1)
            detail::raise(InputError({}, "two matches are the reference", {}, "one match the pages are printed for"));
        check_speeds(parts.cooling, parts.modulation);
        for (const Match& match : parts.matches) {
            no_twins(match.stages, "stages");
            check_speeds(match.stages, parts.modulation);
            if (!match.stages.empty() && (match.factors.total != 1.0 || match.factors.power != 1.0))
                detail::raise(InputError({}, "a match with pages of its own also has a factor, which would count twice",
                                         match.name, "factors, or pages of its own"));
            if (match.stages.empty() && parts.cooling.empty() && parts.heating.empty())
                detail::raise(InputError({}, "neither the system nor this match has a page", match.name,
                                         "pages for one of them"));
            if (!match.stages.empty() && match.bypass)
                detail::raise(
                    InputError({}, "a match with pages of its own also has a bypass factor, which its pages print",
                               match.name, "a bypass factor, or pages of its own"));
            if (match.reference && (match.factors.total != 1.0 || match.factors.power != 1.0))
                detail::raise(InputError({}, "the reference match has a factor", match.name, "factors of 1"));
            if (match.airflow && !(match.airflow->first < match.airflow->second))
                detail::raise(InputError({}, "airflow bounds of a match not in rising order", match.name,
                                         "[900 scfm, 1150 scfm]"));
            for (const double f : {match.factors.total, match.factors.power})
                if (!(f >= 0.5 && f <= 1.5))
                    detail::raise(InputError({}, "a match factor of " + std::to_string(f), match.name,
                                             "a factor from 0.5 to 1.5"));
            if (match.bypass && !(*match.bypass > 0.0 && *match.bypass < 1.0))
                detail::raise(InputError({}, "a bypass factor of " + std::to_string(*match.bypass), match.name,
                                         "between 0 and 1"));
        }
        return parts;
    }

    SystemParts parts_;
};

}  // namespace offnominal
