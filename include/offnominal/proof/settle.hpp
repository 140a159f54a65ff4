/// @file
/// What would settle an undecided proof, and what a visit can decide before anybody drives there.
///
/// With a better measurement the ratio will be read anew, and be surer. Neither is known yet, but how far the new ratio
/// may stand from the present one is: a remedy turns the errors e of the readings into errors e', some of them new, and
/// moves the ratio by the effect of e' - e, whose variance follows from what is known of both (preposterior analysis;
/// Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961, chapter 5, from memory). The chance that it then
/// stands far enough on either side of the limit, by the rule of JCGM 106:2012, clause 7, is the chance of a decision.
///
/// By first order, from the budget of a proof: nothing is proved again. Contradictions,
/// which cap a verdict, are not foreseen.
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <array>
#include <cstdint>
#include <numbers>
#include <string_view>
#include <vector>

#include "offnominal/proof.hpp"

namespace offnominal {

/// What better measurements bring, standard uncertainties; the words of remedies name the same figures. A good
/// instrument has limits of 0.2 K (ISO 5151 asks that of a laboratory, from memory), 0.3 K outdoors, 1.5 points, 1 hPa,
/// 1 % of a humidity ratio, 2 % of a power; an airflow expanded uncertainties of 7 % by a second method and of 5 % by
/// the best instrument. Two probes that were compared side by side and corrected keep `compared_*` between them. All of
/// them common practice, no source.
namespace practice {
inline constexpr double good_temperature = 0.2 / std::numbers::sqrt3;          ///< K
inline constexpr double good_outdoor_dry_bulb = 0.3 / std::numbers::sqrt3;     ///< K
inline constexpr double good_relative_humidity = 0.015 / std::numbers::sqrt3;  ///< fraction
inline constexpr double good_humidity_ratio = 0.01 / std::numbers::sqrt3;      ///< of the reading
inline constexpr double good_barometer = 100.0 / std::numbers::sqrt3;          ///< Pa
inline constexpr double good_power = 0.02 / std::numbers::sqrt3;               ///< of the reading
inline constexpr double second_airflow = 0.035, good_airflow = 0.025;          ///< of the reading
inline constexpr double compared_temperature = 0.15 / 1.8;                     ///< K
inline constexpr double compared_relative_humidity = 0.007;                    ///< fraction
inline constexpr double compared_humidity_ratio = 0.005;                       ///< of the reading
}  // namespace practice

/// What can be done to be surer, in the order in which one would.
enum class Remedy : std::uint8_t {
    dry_bulbs,       ///< both are read with better thermometers
    humidities,      ///< both are read with better instruments
    side_by_side,    ///< the supply probe is corrected to the return probe, in dry bulb and in humidity
    better_airflow,  ///< the airflow is read with a better instrument
    second_airflow,  ///< it is read in another way too, and the mean taken, weighted by what each is good for
    outdoor,
    barometer,
    fan_meter,
    auxiliary_off,
    longer_window,  ///< the readings go on for three times as long again, and the mean is taken of all
    everything,     ///< all of these
};
/// A word, and what to do in a sentence.
struct RemedyWords {
    Remedy value;
    std::string_view word, text;
};
template <>
inline constexpr RemedyWords words_of<Remedy>[] = {
    {Remedy::dry_bulbs, "dry_bulbs", "read both dry bulbs with thermometers good to 0.4 degF (0.2 K)"},
    {Remedy::humidities, "humidities",
     "read both humidities with instruments good to 1.5 points of relative humidity or, near saturation, as wet bulbs "
     "to 0.4 degF (0.2 K)"},
    {Remedy::side_by_side, "side_by_side",
     "hold both probes side by side in the return air for ten minutes, correct the supply probe until they agree, and "
     "say so (side_by_side)"},
    {Remedy::better_airflow, "better_airflow",
     "measure the airflow to 5 %: by plenum pressure matching, or with a powered hood"},
    {Remedy::second_airflow, "second_airflow",
     "measure the airflow a second way, good to 7 % (such as a flow grid), and take the weighted mean"},
    {Remedy::outdoor, "outdoor",
     "read the outdoor air in shade, where it enters the outdoor coil, with a thermometer good to 0.5 degF (0.3 K)"},
    {Remedy::barometer, "barometer", "read a barometer good to 0.015 psi (1 hPa) at the machine"},
    {Remedy::fan_meter, "fan_meter", "measure the indoor fan's power to 2 %"},
    {Remedy::auxiliary_off, "auxiliary_off", "switch the auxiliary heat off, and read again"},
    {Remedy::longer_window, "longer_window", "read for four times as long, while it runs steadily, and take the means"},
    {Remedy::everything, "everything", "take all of these remedies together"},
};

/// What one remedy promises.
struct Settling {
    Remedy remedy = Remedy::everything;
    double ratio_u = 0.0;      ///< standard uncertainty of the ratio of total with it
    double meets = 0.0;        ///< chance that the proof then meets its limit
    double falls_short = 0.0;  ///< chance that it then falls short

    [[nodiscard]] OFFNOMINAL_INLINE double decided() const noexcept { return meets + falls_short; }
};

/// Of the standard uncertainty of each input, by `Input`: the part that comes from its readings' own scatter over the
/// window (type A, `SeriesMean::standard`), SI. 0: what the visit says of it (`Uncertain::scatter`), if anything.
using TypeA = std::array<double, input_count>;

/// What would settle a proof of this visit: single remedies first, those most likely to, then all of them together.
/// What makes what is judged no surer is left out.
///
/// @param type_a  what a longer window can make less; the visit's own uncertainties hold it already
/// @throws InputError for a part that is below 0, or greater than the whole
/// @return nothing where there is nothing to settle: the proof is decided, has no ratio, or is undecided for another
///         reason than uncertainty (`Proof::suspect`, a speed that nobody held)
[[nodiscard]] std::vector<Settling> settle(const Visit& visit, const Proof& proof, const TypeA& type_a = {});

/// The remedy to take next: the likeliest to settle it by itself, or all of them where none is; null where neither is
/// worth doing.
[[nodiscard]] const Settling* best_of(const std::vector<Settling>& remedies) noexcept;

/// What a visit would say of a machine of which one knows the truth.
struct PlannedChance {
    double true_ratio = 0.0;  ///< of total and of sensible
    double ratio_u = 0.0;     ///< standard uncertainty of the ratio of total that will be read
    double meets = 0.0;       ///< chances of both outcomes; what is left is undecided
    double falls_short = 0.0;

    [[nodiscard]] OFFNOMINAL_INLINE double decided() const noexcept { return meets + falls_short; }
};

/// What a visit can decide.
struct Plan {
    Visit visit;    ///< the forecast with the supply air of a sound machine
    Proof proof;    ///< of that: what is expected, the budget
    Reason reason;  ///< why there will be no ratio: outside the page, no sensible to tell the supply air by, ...
    /// A sound machine, one at the limit, one 15 % short; empty where there will be no ratio.
    std::vector<PlannedChance> chances;
    /// What would make a visit to a sound machine surer, as of `settle`.
    std::vector<Settling> remedies;
};

/// Plans a visit.
///
/// @param forecast  with what is forecast for outdoor and return air, the airflow it will be, and the instruments. Of
///                  the supply only the measure of humidity and the instruments count, and power does not.
/// @throws as `prove`
[[nodiscard]] Plan plan(const System& system, const Visit& forecast);

}  // namespace offnominal
