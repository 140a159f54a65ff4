/// @file
/// Choosing: which machine, indoor unit, airflow and blower setting meets design loads at design conditions.
///
/// What is compared is what a combination delivers *at the design point* (never its nominal size), by `expect`: total,
/// sensible and latent capacity at the boundary of coil and fan, each against its load and against limits of a stated
/// edition, with its own uncertainty, so that "fits" near a limit says how surely. Where latent capacity is to spare,
/// half of what is left over counts as sensible, as practice has it: a room that gets drier air is kept a little
/// drier (ACCA Manual S, from memory).
///
/// Size is that of the top stage, the one with the greatest total: a lower stage that meets a load makes no small
/// machine of a large one. At an airflow that the top stage's page does not have there is no answer.
///
/// Heat pumps: the outdoor temperature at which capacity and load meet, and the heat that is missing at design.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/detail/real.hpp"
#include "offnominal/expect.hpp"

namespace offnominal {

/// Design loads and the conditions they are for. What is not given is NaN.
struct DesignLoad {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    Power total{not_given}, sensible{not_given}, latent{not_given};  ///< of cooling; two of them, or three that add up
    Temperature outdoor_dry_bulb{not_given};
    Temperature entering_dry_bulb{not_given};
    air::Humidity entering_humidity = air::wet_bulb(Temperature{not_given});

    Power heating{not_given};  ///< at `heating_outdoor_dry_bulb`; left out where there is none to judge
    Temperature heating_outdoor_dry_bulb{not_given};
    Temperature heating_entering_dry_bulb{from(70.0, units::degF)};
    /// Of the heating capacity that counts. Unknown: integrated where the page has it, else instantaneous. Integrated
    /// where neither the page has it nor a defrost table makes it: by the frost model of the US regulation
    /// (`derates::regulatory_frost`), from what the page has at 17 and 47 degF.
    Frost heating_frost = Frost::unknown;
    double heating_outdoor_relative_humidity = 0.7;  ///< for a defrost table (common practice, no source)
    /// Outdoors, where the heating load is gone (common practice, no source).
    Temperature no_heating_load{from(65.0, units::degF)};

    Site site = Site::not_given();
};

/// What kind of machine a size is limited for.
enum class MachineKind : std::uint8_t { single_speed, two_speed, variable_speed };
template <>
inline constexpr Word<MachineKind> words_of<MachineKind>[] = {{MachineKind::single_speed, "single_speed"},
                                                              {MachineKind::two_speed, "two_speed"},
                                                              {MachineKind::variable_speed, "variable_speed"}};

/// Limits of size: capacity at design over load. The top stage of a machine is held against them.
struct SizingLimits {
    struct Range {
        double least = 0.0, most = real::infinity;
        [[nodiscard]] constexpr bool holds(double x) const noexcept { return least <= x && x <= most; }
    };
    std::string_view name, source;
    Range total[3];      ///< by `MachineKind`, of an air conditioner
    Range heat_pump[3];  ///< the same of a heat pump
    Range sensible, latent;
    Power heat_pump_above{0.0};  ///< where it is not 0: the most of a heat pump, above the load instead of by a share

    /// @param load  total, for `heat_pump_above`
    [[nodiscard]] Range of(MachineKind kind, bool heats, Power load = Power{real::infinity}) const noexcept;
};

/// Published limits, as data: tests/published/installation_limits.yaml has where each was seen. Any others may stand
/// in their place; `parse_sizing_limits` (`files.hpp`) reads them.
inline constexpr SizingLimits sizing_limits[] = {
    {"manual_s_2014",
     "ANSI/ACCA 2 Manual S - 2014, Table N2 (from memory)",
     {{0.90, 1.15}, {0.90, 1.20}, {0.90, 1.30}},
     {{0.90, 1.15}, {0.90, 1.20}, {0.90, 1.30}},
     {0.90},
     {1.00, 1.50}},
    {"manual_s_2014_condition_b",
     "ANSI/ACCA 2 Manual S - 2014, Table N2 (from memory); heat pumps by condition B, for cold or dry climates: load "
     "+ 15000 Btu/h",
     {{0.90, 1.15}, {0.90, 1.20}, {0.90, 1.30}},
     {{0.90}, {0.90}, {0.90}},
     {0.90},
     {1.00, 1.50},
     from(15.0, units::MBh)},
    {"manual_s_2004",
     "ACCA Manual S (2004), as referenced by the International Residential Code; it has the most alone, that the least "
     "is the load is common practice, no source",
     {{1.00, 1.15}, {1.00, 1.15}, {1.00, 1.15}},
     {{1.00, 1.25}, {1.00, 1.25}, {1.00, 1.25}},
     {1.00},
     {1.00}},
    {"energy_star_v3",
     "US EPA ENERGY STAR Certified Homes Version 3, HVAC rater checklist (Rev. 07); heat pumps in climate zones 4 to 8",
     {{0.95, 1.15}, {0.95, 1.15}, {0.95, 1.15}},
     {{0.95, 1.25}, {0.95, 1.25}, {0.95, 1.25}},
     {1.00},
     {1.00}},
};
/// The limits of that name, or null.
[[nodiscard]] constexpr const SizingLimits* limits_named(std::string_view name) noexcept {
    for (const SizingLimits& one : sizing_limits)
        if (one.name == name) return &one;
    return nullptr;
}

/// Why a combination does not fit; the first of these that holds.
enum class Misfit : std::uint8_t {
    none,
    no_answer,  ///< `Choice::reason`: outside the page, a static pressure the blower cannot meet, ...
    total_low,
    sensible_low,
    latent_low,
    total_high,
    latent_high,
    sensible_high,
};
template <>
inline constexpr Word<Misfit> words_of<Misfit>[] = {{Misfit::none, "none"},
                                                    {Misfit::no_answer, "no_answer"},
                                                    {Misfit::total_low, "total_low"},
                                                    {Misfit::sensible_low, "sensible_low"},
                                                    {Misfit::latent_low, "latent_low"},
                                                    {Misfit::total_high, "total_high"},
                                                    {Misfit::latent_high, "latent_high"},
                                                    {Misfit::sensible_high, "sensible_high"}};

/// How combinations are made and judged.
struct ChooseBy {
    SizingLimits limits = sizing_limits[0];
    bool spare_latent = true;  ///< half of the latent capacity to spare counts as sensible
    /// Airflows to try, standard air; none: seven across what the top stage's page and the match allow, and the middle
    /// of those that fit.
    std::vector<StandardAirflow> airflows;
    /// External static pressure that the ducts take: airflow and watts then come from the blower table, a tap each, and
    /// no airflows are given.
    std::optional<Pressure> external_static;
    /// Indoor fan's power per standard airflow where no blower table tells it, W per m3/s: 365 W per 1000 scfm (as
    /// tests/published/installation_limits.yaml has it of public simulation documents).
    double fan_power_per_airflow = 365.0 / units::cfm.to_si(1000.0);
    std::optional<LineSet> line_set = LineSet::reference();
    UnitSystem units = UnitSystem::both;  ///< of what is said where something is refused
};

/// One combination at the design point.
struct Choice {
    std::size_t system = 0;   ///< which of the systems that were given
    std::int16_t stage = -1;  ///< the top one, in the match's own stages where it has them
    std::int16_t match = -1;  ///< index of the match, or -1
    std::string tap;          ///< of the blower; empty where no table was asked
    StandardAirflow airflow;
    Power fan_power;
    Misfit misfit = Misfit::none;
    Reason reason;  ///< of `Misfit::no_answer`
    Power total{DesignLoad::not_given}, sensible{DesignLoad::not_given}, latent{DesignLoad::not_given};
    Power credited{DesignLoad::not_given};  ///< sensible with half of the latent capacity to spare
    /// Relative standard uncertainties. Sensible is as uncertain as total, and 2 % besides (common practice, no
    /// source); latent, what is left, is the surer of the one the less sure of the other. NaN of a coil that is dry.
    double total_u = 0.0, sensible_u = 0.0, latent_u = 0.0;
    double total_over = 0.0, sensible_over = 0.0, latent_over = 0.0;  ///< over their loads; sensible as credited
    double fits = 0.0;                  ///< chance that total, sensible and latent all lie within their limits
    Footing footing = Footing::inside;  ///< what the capacities lean on
    /// The airflows between which this system and match fit, their watts by `fan_power_per_airflow`, or those of the
    /// blower's settings on average: the widest such way. NaN where none fits.
    StandardAirflow airflow_from{DesignLoad::not_given}, airflow_to{DesignLoad::not_given};
    /// Heating, where there is a load and a page: capacity at design, W; degC outdoors where capacity meets load (NaN:
    /// it does at every temperature the page has); W that is missing at design.
    Power heating{DesignLoad::not_given};
    Temperature balance_point{DesignLoad::not_given};
    Power auxiliary{DesignLoad::not_given};
    Frost frost = Frost::unknown;  ///< the kind of all three
    bool frost_by_model = false;   ///< integrated by the frost model of the US regulation, not by the page
    Reason no_heating;             ///< why there is no heating, or no balance point, where it was asked for
};

/// Every combination of systems, matches and airflows or blower settings, those that fit first; among them, and among
/// the others, those nearest to the load in total.
///
/// @throws InputError for no system at all, loads that are missing, not positive or do not add up, a design condition
///         that is missing, an airflow or a static pressure that is none, airflows beside a static pressure
/// @throws Refused for no site, and for entering air that cannot be
[[nodiscard]] std::vector<Choice> choose(std::span<const System* const> systems, const DesignLoad& load,
                                         const ChooseBy& by = {});

}  // namespace offnominal
