/// @file
/// What comes back from a question: a value or a reason, what the value stands on, what was unknown or assumed, and the
/// ordered steps behind it. All of it is plain data; words are made only when something is printed.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/detail/short_list.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {

namespace detail {
inline namespace OFFNOMINAL_ISA {
[[noreturn]] inline void throw_refused(const Reason& reason) { detail::raise(Refused(reason, explain(reason))); }
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// A value or a reason; there is no answer that is neither. Making one never throws nor allocates. Of one that is still
/// to be thrown away (`*try_expect(...)`) the parts are handed out by value, so that a reference to them lives on.
template <class T>
class Answer {
   public:
    constexpr Answer(const T& value) noexcept : value_(value) {}
    constexpr Answer(const Reason& reason) noexcept : reason_(reason) {}
    /// An answer built where it is returned, since copying a large value costs more than many a question:
    /// `build(value)` fills the value and returns why there is none.
    template <class Build>
    [[nodiscard]] OFFNOMINAL_INLINE static constexpr Answer built(const Build& build) noexcept {
        return Answer(Built{}, build);
    }

    [[nodiscard]] constexpr explicit operator bool() const noexcept { return reason_.none(); }
    /// The value. @throws Refused where there is none; where the answer was asked before, that costs nothing.
    [[nodiscard]] OFFNOMINAL_INLINE constexpr const T& value() const& {
        if (!reason_.none()) detail::throw_refused(reason_);
        return value_;
    }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr T value() && {
        if (!reason_.none()) detail::throw_refused(reason_);
        return std::move(value_);
    }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr const T& operator*() const& { return value(); }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr T operator*() && { return std::move(*this).value(); }
    [[nodiscard]] OFFNOMINAL_INLINE constexpr const T* operator->() const { return &value(); }
    [[nodiscard]] constexpr const Reason& reason() const& noexcept { return reason_; }
    [[nodiscard]] constexpr Reason reason() && noexcept { return reason_; }

   private:
    struct Built {};
    /// Value first: the reason is made where it stays, by who fills the value.
    template <class Build>
    OFFNOMINAL_INLINE constexpr Answer(Built, const Build& build) noexcept : reason_(build(value_)) {}

    T value_{};
    Reason reason_{};
};

/// What an answer stands on. `inside` is the absence of the others; several may hold at once.
enum class Footing : std::uint8_t {
    inside = 0,
    held = 1,       ///< a value past an edge was held at the edge, as asked
    extended = 2,   ///< a value past an edge was reached by extending the edge cell, as asked
    inferred = 4,   ///< a node with weight was not printed but inferred
    dry = 8,        ///< the coil is dry: the dry-coil rule gave the answer
    wet_line = 16,  ///< a node with weight is dry on the page: the wet line was extended past the wet nodes
    modelled = 32,  ///< the line set is not in the maker's table: a model says what it costs, as asked
};
template <>
inline constexpr Word<Footing> words_of<Footing>[] = {
    {Footing::inside, "inside"},     {Footing::held, "held"}, {Footing::extended, "extended"},
    {Footing::inferred, "inferred"}, {Footing::dry, "dry"},   {Footing::wet_line, "wet line"},
    {Footing::modelled, "modelled"},
};
constexpr Footing operator|(Footing a, Footing b) noexcept {
    return static_cast<Footing>(static_cast<unsigned>(a) | static_cast<unsigned>(b));
}
constexpr Footing& operator|=(Footing& a, Footing b) noexcept { return a = a | b; }
[[nodiscard]] constexpr bool has(Footing all, Footing one) noexcept {
    return (static_cast<unsigned>(all) & static_cast<unsigned>(one)) != 0;
}

/// Consequences of what is unknown or assumed. What each says stands in its words.
enum class Note : std::uint8_t {
    pound_unknown,
    power_basis_unknown,
    elevation_unknown,
    altitude_assumed,
    sensible_scaled,
    dryness_unknown,
    tolerance_unknown,
    match_factor,
    saturated_entering,
    power_of_dry_coil,
    leaving_impossible,
    interpolation_unknown,
    fan_position_unknown,
    negative_capacity,
    negative_latent,
    sensible_above_total,
    near_saturation,
    small_split,
    one_sided,
    capacity_basis_unknown,
    airflow_basis_unknown,
    line_set_unknown,
    steadiness_unknown,
    uncertainty_missing,
    short_run,
    pressure_unchecked,
    saturated_probe,
    airflow_multiplier,
    dry_bulb_multiplier,
    reference_line_unknown,
    inferred_dry_bulb,
    sensible_lower_bound,
    along_pairs,
    between_speeds,
    frost_in_page,
    frost_unknown,
    outdoor_humidity_unknown,
    speed_unknown,
    no_heating_factors,
    other_stage,
    weather_in_pressure,
    tolerance_assumed,
    curvature_assumed,
    multiplier_assumed,
    one_instrument,
    condensate_taken,
    probes_astride_fan,
    sea_level_unchecked,
    saturated_supply,
    barometer_far,
    wet_supply,
    airflow_suspect,
    reading_suspect,
    joined,
    bypass_inferred,
    airflow_effect,
    frost_taken_out,
    frost_on_coil,
    auxiliary_unknown,
    humidity_assumed,
    line_modelled,
    lift_unknown,
    subcooling_lost,
    blower_law_assumed,
    static_boundary_assumed,
    airflows_disagree,
    beside_pairs,
    preheat_assumed,
    calibration_expired,
    outdoor_held,
    line_held,
    fittings_counted,
    fittings_uncounted,
    capacities_disagree,
    wick_suspect,
};
/// A note, and what it says.
struct NoteWords {
    Note value;
    std::string_view word, text;
};
template <>
inline constexpr NoteWords words_of<Note>[] = {
    {Note::pound_unknown, "pound_unknown",
     "standard pound of the page unknown: taken as dry air (moist would move airflow 1 to 1.3 %)"},
    {Note::power_basis_unknown, "power_basis_unknown",
     "power basis of the page unknown: not comparable with a measured power"},
    {Note::elevation_unknown, "elevation_unknown", "elevation of the page unknown: taken as printed for sea level"},
    {Note::altitude_assumed, "altitude_assumed",
     "no published altitude factor: at equal mass flow total and power were corrected for thin air at the outdoor "
     "coil, "
     "at 5,000 ft by -1.5 and +4 % in cooling, -2.2 and -1.2 % in heating, with extra uncertainty"},
    {Note::sensible_scaled, "sensible_scaled",
     "page prints no bypass factor: sensible scaled with total instead of split by the coil"},
    {Note::dryness_unknown, "dryness_unknown", "no sensible available: the dry-coil rule was not applied"},
    {Note::tolerance_unknown, "tolerance_unknown", "maker's tolerance unknown: none is in the uncertainty"},
    {Note::match_factor, "match_factor",
     "match factor used across the map: 2 % standard uncertainty (common practice, no source)"},
    {Note::saturated_entering, "saturated_entering", "wet bulb a little above dry bulb: taken as saturated"},
    {Note::power_of_dry_coil, "power_of_dry_coil",
     "dry coil: total, sensible and power taken where the coil would turn wet, and moved as the page's own dry nodes "
     "say"},
    {Note::leaving_impossible, "leaving_impossible",
     "the page implies leaving air past saturation: suspect the page or the airflow"},
    {Note::interpolation_unknown, "interpolation_unknown",
     "an axis with two values only: its interpolation error cannot be judged"},
    {Note::fan_position_unknown, "fan_position_unknown",
     "fan position unknown: taken as draw-through; what the warmth of a blow-through fan would change is in the "
     "uncertainty (in heating 0.3 %/degF of capacity: common practice, no source)"},
    {Note::negative_capacity, "negative_capacity", "supply holds more heat than return: wrong mode, or swapped probes"},
    {Note::negative_latent, "negative_latent",
     "supply is wetter than return: water re-evaporating, outdoor air, or swapped probes"},
    {Note::sensible_above_total, "sensible_above_total",
     "sensible exceeds total: dry coil within the uncertainty, or a humidity probe astray"},
    {Note::near_saturation, "near_saturation",
     "supply above 97 % relative humidity: humidity probes saturate after a wet coil"},
    {Note::small_split, "small_split", "dry-bulb split below 3 degF: relative uncertainty is large"},
    {Note::one_sided, "one_sided", "a sensitivity was taken on one side, where the other has no answer"},
    {Note::capacity_basis_unknown, "capacity_basis_unknown", "gross or net unknown: taken as gross"},
    {Note::airflow_basis_unknown, "airflow_basis_unknown",
     "airflow basis of the page unknown: taken as standard airflow"},
    {Note::line_set_unknown, "line_set_unknown", "no line-set table: no line-set factor"},
    {Note::steadiness_unknown, "steadiness_unknown",
     "nobody says that it ran steadily (steady: true, or running: 25 min): let it run at least 15 to 20 minutes first "
     "(common practice, no source), as a machine that has just started reads other than it is"},
    {Note::uncertainty_missing, "uncertainty_missing",
     "a reading without a stated uncertainty, or with none at all: taken to be as uncertain as a poor instrument's "
     "(common "
     "practice, no source), never as exact"},
    {Note::short_run, "short_run",
     "less than 20 minutes of running before the readings, or since the last defrost (common practice, no source)"},
    {Note::pressure_unchecked, "pressure_unchecked",
     "station pressure without an elevation to check it by: is it what a barometer at the machine reads, and not "
     "reduced to sea level?"},
    {Note::saturated_probe, "saturated_probe",
     "supply humidity probe near saturation: the coil may have wetted it, surely where it reads 97 %; its air is then "
     "taken to stand from 5 points below what a sound machine leaves to 3 above, or from 83 to 100 % where the page "
     "does "
     "not tell that (common practice, no source), and the ratio follows; a wet bulb or dew point in the supply does "
     "away "
     "with it"},
    {Note::airflow_multiplier, "airflow_multiplier",
     "airflow by the page's multiplier row, printed for its rating point and used across the page"},
    {Note::dry_bulb_multiplier, "dry_bulb_multiplier",
     "entering dry bulb by the page's multiplier row, printed for its rating point and used across the page"},
    {Note::reference_line_unknown, "reference_line_unknown",
     "the line the page is rated with is unknown: line-set factors taken as printed; a model of other lines starts "
     "from "
     "25 ft of the same size, as rating tests use (from memory), with all that costs as uncertainty"},
    {Note::inferred_dry_bulb, "inferred_dry_bulb",
     "sensible at an entering dry bulb the page leaves blank: inferred, linear in entering dry bulb by the bypass "
     "factor"},
    {Note::sensible_lower_bound, "sensible_lower_bound", "sensible is capped at total on the page: a lower bound"},
    {Note::along_pairs, "along_pairs",
     "read along the page's pairs of dry and wet bulb: no dry-coil rule can be applied on them"},
    {Note::between_speeds, "between_speeds", "between two compressor speeds, as the maker allows"},
    {Note::frost_in_page, "frost_in_page",
     "integrated heating capacity: frost and defrost are in it, so a steady test reads higher"},
    {Note::frost_unknown, "frost_unknown", "page does not say whether heating is instantaneous or integrated"},
    {Note::outdoor_humidity_unknown, "outdoor_humidity_unknown",
     "outdoor humidity of the heating page unknown: frost cannot be judged"},
    {Note::speed_unknown, "speed_unknown", "variable-speed system: how its speed was held is not stated"},
    {Note::no_heating_factors, "no_heating_factors",
     "what is printed for cooling alone, of match, line-set and altitude factors, was not applied to heating"},
    {Note::other_stage, "other_stage", "what was read fits another stage or speed much better: which one ran?"},
    {Note::weather_in_pressure, "weather_in_pressure",
     "station pressure from the elevation alone: standard uncertainty of 1 % for the weather (common practice, no "
     "source); a barometer at the machine does away with it"},
    {Note::tolerance_assumed, "tolerance_assumed",
     "maker's tolerance unknown: 5 % assumed, coverage factor 2, which is what AHRI 210/240 lets a published rating "
     "differ"},
    {Note::curvature_assumed, "curvature_assumed",
     "an axis with two values only: how the page bends between them was taken from what such pages do (common "
     "practice, "
     "no source)"},
    {Note::multiplier_assumed, "multiplier_assumed",
     "a multiplier row used across the page: 1 % standard uncertainty (common practice, no source)"},
    {Note::one_instrument, "one_instrument",
     "one instrument read the same quantity at two places: half of its variance was taken as shared (common practice, "
     "no "
     "source); `correlation` under that instrument says another share"},
    {Note::condensate_taken, "condensate_taken",
     "the condensate's heat was taken off the delivered total, 0.4 to 0.8 %, which rated pages do not do: the ratio is "
     "low by that"},
    {Note::probes_astride_fan, "probes_astride_fan",
     "boundary coil, yet a fan power is given: do the probes stand astride the fan? Then the boundary is coil+fan, and "
     "a "
     "shortfall by the fan's heat is none"},
    {Note::sea_level_unchecked, "sea_level_unchecked",
     "elevation within 10 ft of 0 and no barometer: is the site at sea level? Every 1,000 ft forgotten adds 2.7 % to "
     "the ratio"},
    {Note::saturated_supply, "saturated_supply",
     "supply wet bulb or dew point above its dry bulb by no more than the instruments' uncertainty: taken as "
     "saturated"},
    {Note::barometer_far, "barometer_far",
     "the barometer is 1.5 to 3 % off what the elevation asks for, which weather does on few days: is it reduced to "
     "sea "
     "level, or the elevation wrong?"},
    {Note::wet_supply, "wet_supply",
     "supply wetter than return beyond the probes' uncertainty: swapped or failing humidity probes, water "
     "re-evaporating, or outdoor air between the probes"},
    {Note::airflow_suspect, "airflow_suspect",
     "power is on target, and another airflow than the one read would explain capacity and split alike: measure the "
     "airflow a second way"},
    {Note::reading_suspect, "reading_suspect",
     "total, sensible and power do not fit together for any capacity of this machine: one of the readings is astray"},
    {Note::joined, "joined",
     "sensible agrees with total: a coil of this bypass factor ties the two together (apparatus dew point on the "
     "saturation curve; 1.5 % standard uncertainty and a fifth of the shortfall, common practice, no source)"},
    {Note::bypass_inferred, "bypass_inferred",
     "the page prints no bypass factor: sensible is found by the one that its own wet numbers have (apparatus dew "
     "point), good to about 1 %"},
    {Note::airflow_effect, "airflow_effect",
     "the page is printed at one airflow: what another one does is by published curves of residential machines "
     "(NREL/TP-5500-56354)"},
    {Note::frost_taken_out, "frost_taken_out",
     "instantaneous heating from a page that prints integrated: its frost was taken out again, by the system's defrost "
     "table or else by the model of the US regulation; half of it is standard uncertainty (common practice, no "
     "source)"},
    {Note::frost_on_coil, "frost_on_coil",
     "outdoors it is 17 to 45 degF, where frost grows on the coil between defrosts and lowers what is read, by nothing "
     "to 4 % (common practice, no source), in proportion less where the last defrost is said to be under half an hour "
     "ago: half of that less is expected, and nothing passes that would not without frost; a steady test is read soon "
     "after the coil is clear"},
    {Note::auxiliary_unknown, "auxiliary_unknown",
     "nobody knows whether auxiliary heat was on: what was delivered may hold it, so nothing is passed or failed"},
    {Note::humidity_assumed, "humidity_assumed",
     "humidity of the return air not read: taken as 35 % relative humidity, anywhere from 5 to 65 % (common practice, "
     "no source); it moves the mass of an actual airflow and the heat capacity of the air, against each other"},
    {Note::line_modelled, "line_modelled",
     "line set not in the maker's table: what it costs beyond the printed one is a model's (friction, lift, heat, "
     "compressor and coil; standard uncertainty of a third of that cost and more), power is left as printed; without "
     "the "
     "liquid line's size its friction is not judged"},
    {Note::lift_unknown, "lift_unknown",
     "lift of the line set not given, and it is not 0: whether it is allowed, and whether liquid reaches the valve, is "
     "open (1 % standard uncertainty, common practice, no source)"},
    {Note::subcooling_lost, "subcooling_lost",
     "what the liquid line rises and its friction take more subcooling than the usual 10 degF: gas may come to "
     "the "
     "valve, and then no line-set factor holds (5 % standard uncertainty, common practice, no source)"},
    {Note::blower_law_assumed, "blower_law_assumed",
     "blower in air that is not standard, and its motor does not keep to the fan law: airflow by that law, uncertain "
     "by "
     "what such a motor may do otherwise"},
    {Note::static_boundary_assumed, "static_boundary_assumed",
     "which components stood between the two static taps is not said: taken as the blower table counts them, 0.05 in. "
     "w.c. standard uncertainty (common practice, no source)"},
    {Note::airflows_disagree, "airflows_disagree",
     "the ways by which airflow was determined disagree by more than their uncertainties explain: find out which is "
     "astray; until then the airflow is as uncertain as they are apart"},
    {Note::beside_pairs, "beside_pairs",
     "beside the page's pairs of dry and wet bulb: total and power read where they have this wet bulb, which a wet "
     "coil "
     "follows, with 0.05 %/degF of standard uncertainty; sensible by the bypass factor, where there is one"},
    {Note::preheat_assumed, "preheat_assumed",
     "a blow-through fan warms the coil's air past the entering dry bulbs that the heating page prints: -0.3 %/degF of "
     "capacity, +0.85 %/degF of power (common practice, no source), with 0.1 %/degF of standard uncertainty"},
    {Note::calibration_expired, "calibration_expired",
     "an instrument's calibration has expired: what it states is widened by the square root of the time since over the "
     "time it held (common practice, no source)"},
    {Note::outdoor_held, "outdoor_held",
     "outdoors it is past the page, whose edge was held as asked: the truth is taken to lie anywhere between that and "
     "the page's last step continued"},
    {Note::line_held, "line_held",
     "the line set is past the lengths of the maker's table, whose edge was held as asked: the truth is taken to lie "
     "anywhere between that factor and the table's last step continued"},
    {Note::fittings_counted, "fittings_counted",
     "fittings of the line set as straight tubing: elbow 30 bores, long_elbow 20, elbow_45 16, return_bend 50, tee_run "
     "20, tee_branch 60 (ASHRAE Handbook - Refrigeration, from memory), each known to a quarter (standard; common "
     "practice, no source)"},
    {Note::fittings_uncounted, "fittings_uncounted",
     "fittings of the line set not counted, and they are not none: its equivalent length taken anywhere from the "
     "tubing's to half as long again, a quarter longer in the mean (common practice, no source)"},
    {Note::capacities_disagree, "capacities_disagree",
     "the second capacity and the air's are further apart than 6 % (ANSI/ASHRAE 37, from memory) and than twice what "
     "they are uncertain by: one of the two is wrong"},
    {Note::wick_suspect, "wick_suspect",
     "total is low where sensible and power are not: so looks a sound machine whose supply wick is half dry; wet it, "
     "and "
     "read again"},
};

/// A set of notes.
class Notes {
   public:
    constexpr void add(Note note) noexcept { word_of(note) |= bit_of(note); }
    constexpr void add(Notes notes) noexcept {
        for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= notes.words_[i];
    }
    [[nodiscard]] constexpr bool has(Note note) const noexcept {
        return (words_[static_cast<std::size_t>(note) / 64] & bit_of(note)) != 0;
    }
    [[nodiscard]] constexpr bool empty() const noexcept { return *this == Notes{}; }
    [[nodiscard]] constexpr Notes without(Note note) const noexcept {
        Notes rest = *this;
        rest.word_of(note) &= ~bit_of(note);
        return rest;
    }
    [[nodiscard]] constexpr Notes without(Notes notes) const noexcept {
        Notes rest = *this;
        for (std::size_t i = 0; i < words_.size(); ++i) rest.words_[i] &= ~notes.words_[i];
        return rest;
    }
    friend constexpr bool operator==(const Notes&, const Notes&) = default;

   private:
    [[nodiscard]] static constexpr std::uint64_t bit_of(Note note) noexcept {
        return std::uint64_t{1} << static_cast<unsigned>(note) % 64;
    }
    [[nodiscard]] constexpr std::uint64_t& word_of(Note note) noexcept {
        return words_[static_cast<std::size_t>(note) / 64];
    }

    std::array<std::uint64_t, 2> words_{};
};
static_assert(std::size(words_of<Note>) <= 128);

/// One step of a ledger: what was done to which quantity, by which factor or amount.
struct Step {
    enum class Kind : std::uint8_t {
        page,               ///< what the page prints, read between its nodes
        net_to_gross,       ///< the heat of a net page's own fan taken out of it
        wet_line,           ///< from what a dry node prints to the wet line extended past it
        fan_preheat,        ///< the air entering the coil, warmed by a blow-through fan (less a net page's own)
        match,              ///< factor of the indoor match
        line_set,           ///< factor of the line set
        line_model,         ///< what the line costs beyond the printed one, by derates/line_loss.hpp
        station_pressure,   ///< that of the page to that of the site: total per mass of air stays, sensible moves
        altitude,           ///< the maker's factor of the elevation
        altitude_model,     ///< where there is none: the correction of derates/altitude.hpp
        airflow,            ///< factor of another airflow than the one the page is printed at
        coil,               ///< sensible recomputed by the coil's bypass factor for the changed total or pressure
        entering_dry_bulb,  ///< sensible moved from the reference dry bulb to the entering one
        dry_coil,           ///< the dry-coil rule
        fan_heat,           ///< indoor fan's heat, to reach the boundary
        speed,              ///< between the answers of two speeds
        frost,              ///< frost and defrost by the maker's defrost table
    };
    enum class Of : std::uint8_t { total, sensible, power, pressure, dry_bulb, wet_bulb };

    Kind kind = Kind::page;
    Of of = Of::total;
    std::int16_t source = -1;  ///< which match, line size, ... : an index into the system, or -1
    double factor = 1.0;       ///< multiplier, or NaN-free 1 where the step adds an amount (after - before)
    double before = 0.0;       ///< SI
    double after = 0.0;        ///< SI
};
template <>
inline constexpr Word<Step::Kind> words_of<Step::Kind>[] = {
    {Step::Kind::page, "page"},
    {Step::Kind::net_to_gross, "net to gross"},
    {Step::Kind::wet_line, "wet line"},
    {Step::Kind::fan_preheat, "fan preheat"},
    {Step::Kind::match, "match"},
    {Step::Kind::line_set, "line set"},
    {Step::Kind::line_model, "line model"},
    {Step::Kind::station_pressure, "station pressure"},
    {Step::Kind::altitude, "altitude"},
    {Step::Kind::altitude_model, "altitude model"},
    {Step::Kind::airflow, "airflow"},
    {Step::Kind::coil, "coil"},
    {Step::Kind::entering_dry_bulb, "entering dry bulb"},
    {Step::Kind::dry_coil, "dry coil"},
    {Step::Kind::fan_heat, "fan heat"},
    {Step::Kind::speed, "speed"},
    {Step::Kind::frost, "frost"},
};
/// What a step is of, and what kind of number that is.
struct StepOfWords {
    Step::Of value;
    std::string_view word;
    Kind kind;
};
template <>
inline constexpr StepOfWords words_of<Step::Of>[] = {
    {Step::Of::total, "total", Kind::capacity},          {Step::Of::sensible, "sensible", Kind::capacity},
    {Step::Of::power, "power", Kind::electric_power},    {Step::Of::pressure, "pressure", Kind::pressure},
    {Step::Of::dry_bulb, "dry bulb", Kind::temperature}, {Step::Of::wet_bulb, "wet bulb", Kind::temperature},
};

/// The ordered steps behind an expected capacity, a range. Building one never allocates. Room for all there can be, 30:
/// page 3, net to gross 2, wet line 3, fan preheat 2, match 2, line set 2, line model, station pressure, altitude 2,
/// airflow 2, coil, entering dry bulb, dry coil 3, speed 3, fan heat 2.
using Ledger = ShortList<Step, 30>;

/// A note in words.
[[nodiscard]] constexpr std::string_view describe(Note note) noexcept {
    const NoteWords* row = row_of(note);
    return row == nullptr ? std::string_view() : row->text;
}

/// All notes in words, in a fixed order.
[[nodiscard]] inline std::vector<std::string> describe(Notes notes) {
    std::vector<std::string> out;
    for (const NoteWords& note : words_of<Note>)
        if (notes.has(note.value)) out.emplace_back(note.text);
    return out;
}

/// A footing in words: "inside", or "inferred, dry".
[[nodiscard]] inline std::string describe(Footing footing) {
    if (footing == Footing::inside) return std::string(name(footing));
    std::string out;
    for (const auto& [one, word] : words_of<Footing>)
        if (has(footing, one)) out.append(out.empty() ? "" : ", ").append(word);
    return out;
}

}  // namespace offnominal
