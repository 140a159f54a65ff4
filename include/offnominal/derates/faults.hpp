/// @file
/// What a fault of the refrigerant circuit does to total capacity and power: published models of single faults.
///
/// For hypotheses about a machine that falls short (`proof/causes.hpp`) and for what-ifs. Never a part of an expected
/// capacity: that is of a sound machine.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>

#include "offnominal/derates/line_set.hpp"
#include "offnominal/words.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace derates {

/// Faults with a published model of capacity and of energy input ratio.
enum class CircuitFault : std::uint8_t {
    split_undercharge,         ///< share of the charge missing
    split_outdoor_airflow,     ///< share of the outdoor airflow lost
    packaged_undercharge,      ///< share of the charge missing
    packaged_overcharge,       ///< share of charge too much
    packaged_outdoor_airflow,  ///< share of the outdoor airflow lost
    packaged_indoor_airflow,   ///< share of the indoor airflow lost
    packaged_liquid_line,      ///< fault ratio as the source defines it
    packaged_noncondensables,  ///< fault ratio as the source defines it
};
}  // namespace derates

template <>
inline constexpr Word<derates::CircuitFault> words_of<derates::CircuitFault>[] = {
    {derates::CircuitFault::split_undercharge, "split_undercharge"},
    {derates::CircuitFault::split_outdoor_airflow, "split_outdoor_airflow"},
    {derates::CircuitFault::packaged_undercharge, "packaged_undercharge"},
    {derates::CircuitFault::packaged_overcharge, "packaged_overcharge"},
    {derates::CircuitFault::packaged_outdoor_airflow, "packaged_outdoor_airflow"},
    {derates::CircuitFault::packaged_indoor_airflow, "packaged_indoor_airflow"},
    {derates::CircuitFault::packaged_liquid_line, "packaged_liquid_line"},
    {derates::CircuitFault::packaged_noncondensables, "packaged_noncondensables"}};

namespace derates {

/// What is published of each `CircuitFault`, in its order: coefficients of `circuit_fault_effect`, and how the indoor
/// coil's heat transfer (UA) changes with the level (`heat_transfer_effect`).
struct CircuitFaultModel {
    struct Row {
        double c1, c2, c3, c4, c5, c6;
    };
    Row total, input;
    double transfer;
};
inline constexpr CircuitFaultModel circuit_fault_models[] = {
    {{-1.611900, -1.968100, 2.551400, -0.988030, 0.346750, 0.101090},
     {7.095800, -1.013200, -4.931900, 0.697880, 1.267700, -0.065184},
     -1.29},
    {{1.303700, -0.763560, -0.611170, -0.013457, -0.269110, 0.020726},
     {-4.586400, 5.708100, -1.516700, -0.138630, 1.218900, 0.070849},
     0.0},
    {{7.717900, -10.765000, 3.129000, -0.884030, 0.300430, -0.036993},
     {-5.741900, 8.670900, -4.410400, 1.248900, 1.209500, 0.360510},
     -1.39},
    {{-0.667351, 0.417386, 0.091732, 0.812637, -0.30102, -0.1014},
     {0.191888, -0.256732, -0.05316, -0.716681, 0.381224, 0.1241},
     -1.39},
    {{-2.216200, 5.631500, -3.119900, 0.224920, -0.762450, -0.072843},
     {-5.980600, 0.947900, 4.381600, -1.066700, 2.914200, 0.090476},
     0.0},
    {{-1.680856, 1.955241, 0.013734, 1.944498, -0.958203, -0.367406},
     {1.075997, -1.609711, 0.054396, -1.58432, 0.803225, 0.356159},
     -1.39},
    {{-1.020500, -3.289900, 3.660000, -1.911800, 0.031398, 0.064409},
     {1.403100, 3.792200, -5.343000, 3.022900, 1.697900, 0.121590},
     -1.32},
    {{-1.952000, 3.894600, -1.668500, -0.044405, -0.015189, -0.062296},
     {2.464800, -3.189800, 1.058200, 0.040316, -0.000329, -0.038164},
     0.373}};

/// The greatest share of charge missing or too much that `charge_effect` was made for.
inline constexpr double greatest_charge = 0.30;
/// The greatest level that each model was made for.
inline constexpr std::array<double, 8> greatest_fault{0.30, 0.50, 0.30, 0.30, 0.50, 0.50, 0.25, 0.80};

inline namespace OFFNOMINAL_ISA {

/// A wrong charge: factors of gross total and of compressor power.
///
/// Y = 1 + (a1 + a2 T_indoor + a3 T_outdoor + a4 F) F with F the charge off as a share of the right one (-0.1: a tenth
/// missing), degC entering both coils. Source: Domanski, Henderson, Payne 2014, NIST Technical Note 1848, coefficients
/// as coded in public government sources (tests/published/nist_tn1848_faults.yaml).
/// @param off  -0.4 to 0.4; beyond `greatest_charge` it extrapolates
[[nodiscard]] constexpr Factors charge_effect(double off, double indoor, double outdoor, bool heating) noexcept {
    struct Row {
        double a1, a2, a3, a4;
        [[nodiscard]] constexpr double at(double f, double inside, double outside) const noexcept {
            return 1.0 + (a1 + a2 * inside + a3 * outside + a4 * f) * f;
        }
    };
    struct Rows {
        Row total, power;
    };
    constexpr Rows rows[2][2] = {{{{-0.946, 0.0493, -0.00118, -1.15}, {-0.313, 0.0115, 0.00266, -0.116}},
                                  {{-0.163, 0.0114, -0.00021, -0.140}, {0.219, -0.00501, 0.000989, 0.284}}},
                                 {{{-0.0338595, 0.0, 0.0202827, -2.6226343}, {0.0615649, 0.0, 0.0044554, -0.2598507}},
                                  {{-0.0029514, 0.0, 0.0007379, -0.0064112}, {-0.0594134, 0.0, 0.0159205, 1.8872153}}}};
    const Rows& row = rows[heating ? 1 : 0][off > 0.0 ? 1 : 0];
    return {row.total.at(off, indoor, outdoor), row.power.at(off, indoor, outdoor)};
}

/// A fault of `CircuitFault` in cooling: factors of gross total and of power.
///
/// R = 1 + F (C1 + C2 (EWB / 273.15 + 1) + C3 (ODB / 273.15 + 1) + C4 F + C5 F^2 + C6 COP) for capacity and for energy
/// input ratio, degC, wet bulb entering the coil, each quantity held within the source's limits; power is the product.
/// Source: Cheung and Braun 2015, NREL/SR-5500-65030 (from memory), coefficients as coded in public government sources
/// (tests/published/nrel_dx_fault_models.yaml).
/// @param cop  rated gross coefficient of performance, W/W
[[nodiscard]] constexpr Factors circuit_fault_effect(CircuitFault fault, double level, double wet_bulb, double outdoor,
                                                     double cop) noexcept {
    const bool split = fault == CircuitFault::split_undercharge || fault == CircuitFault::split_outdoor_airflow;
    const double wet = std::clamp(wet_bulb, 12.8, 23.9), out = std::clamp(outdoor, 18.3, 46.1),
                 rated = split ? std::clamp(cop, 5.11, 7.06) : std::clamp(cop, 3.74, 4.69);
    const auto at = [&](const CircuitFaultModel::Row& c) {
        return 1.0 + level * (c.c1 + c.c2 * (wet / 273.15 + 1.0) + c.c3 * (out / 273.15 + 1.0) + c.c4 * level +
                              c.c5 * (level * level) + c.c6 * rated);
    };
    const CircuitFaultModel& model = circuit_fault_models[static_cast<std::size_t>(fault)];
    const double total = at(model.total);
    return {total, total * at(model.input)};
}

/// What a fault of `CircuitFault` leaves of the indoor coil's heat transfer (UA), which splits total into sensible and
/// latent: 1 at level 0. Source: as of `circuit_fault_effect`.
[[nodiscard]] constexpr double heat_transfer_effect(CircuitFault fault, double level) noexcept {
    return 1.0 + circuit_fault_models[static_cast<std::size_t>(fault)].transfer * level;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace derates
}  // namespace offnominal
OFFNOMINAL_EXACT_END
