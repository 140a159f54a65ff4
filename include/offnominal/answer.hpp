/// @file
/// What comes back from a question: a value or a reason, what the value stands on, what was unknown or assumed, and the
/// ordered steps behind it. All of it is plain data; words are made only when something is printed (`explain.hpp`).
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

#include "offnominal/units.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// Why there is no answer.
enum class Why : std::uint8_t {
    none,              ///< there is an answer
    not_finite,        ///< an input is NaN or infinite
    outside,           ///< a value lies outside what is covered; `lower` and `upper` are the bounds
    blank,             ///< the cell needs a node that is blank on the page
    beyond_limit,      ///< the cell needs a node past the maker's operating limit
    near_dry,          ///< below the reference dry bulb, next to a node that is dry on the page
    no_wet_line,       ///< a dry node with too few wet neighbours to build the wet line from
    no_knee,           ///< the coil is dry, and the wet bulb at which it would turn wet lies outside the table
    supersaturated,    ///< a moist-air state would hold more vapour than saturation allows
    boiling,           ///< saturation would reach the station pressure: no such moist air
    unknown_stage,     ///< the system has no such stage
    unknown_match,     ///< the system has no such indoor match
    unknown_line,      ///< the line-set table has no such suction size
    no_line_table,     ///< a line set is given but the system has no line-set table
    not_given,         ///< a needed input was not given
    contradictory,     ///< two inputs say different things
    no_output,         ///< the table does not print this output
    no_coil_state,     ///< no apparatus dew point explains this capacity: bypass factor, airflow or total do not fit
    no_flow,           ///< an airflow that is not above zero
    wrong_mode,        ///< the air gains heat where it should lose it: wrong mode, or swapped probes
    small_difference,  ///< dry-bulb split too small for a ratio
    not_steady,        ///< readings not taken in steady state, or too soon after a start
    basis_unknown,     ///< gross or net unknown: nothing to compare with
    no_sensitivity,    ///< an input's effect on the ratio cannot be told: its uncertainty reaches where there is no
                       ///< answer
    no_expected,       ///< the fan's heat takes all of the expected capacity
    off_path,          ///< the page prints pairs of dry and wet bulb, and this pair is not among them nor between two
    not_continuous,    ///< a speed between two blocks, but the maker does not say that they may be interpolated
    speed_not_held,    ///< a variable-speed compressor that was not held at the speed it is compared with
    unlike_basis,      ///< two powers or efficiencies that do not include the same things
    not_inferred,      ///< needs a node that could be inferred, which was not asked for
};
template <>
inline constexpr Word<Why> words_of<Why>[] = {
    {Why::none, "none"},
    {Why::not_finite, "not_finite"},
    {Why::outside, "outside"},
    {Why::blank, "blank"},
    {Why::beyond_limit, "beyond_limit"},
    {Why::near_dry, "near_dry"},
    {Why::no_wet_line, "no_wet_line"},
    {Why::no_knee, "no_knee"},
    {Why::supersaturated, "supersaturated"},
    {Why::boiling, "boiling"},
    {Why::unknown_stage, "unknown_stage"},
    {Why::unknown_match, "unknown_match"},
    {Why::unknown_line, "unknown_line"},
    {Why::no_line_table, "no_line_table"},
    {Why::not_given, "not_given"},
    {Why::contradictory, "contradictory"},
    {Why::no_output, "no_output"},
    {Why::no_coil_state, "no_coil_state"},
    {Why::no_flow, "no_flow"},
    {Why::wrong_mode, "wrong_mode"},
    {Why::small_difference, "small_difference"},
    {Why::not_steady, "not_steady"},
    {Why::basis_unknown, "basis_unknown"},
    {Why::no_sensitivity, "no_sensitivity"},
    {Why::no_expected, "no_expected"},
    {Why::off_path, "off_path"},
    {Why::not_continuous, "not_continuous"},
    {Why::speed_not_held, "speed_not_held"},
    {Why::unlike_basis, "unlike_basis"},
    {Why::not_inferred, "not_inferred"},
};

/// What a reason is about. A grid knows only the number of its axis; the floors above name it.
enum class About : std::uint8_t {
    nothing,
    axis,  ///< axis number `Reason::axis` of a grid
    outdoor_dry_bulb,
    entering_dry_bulb,
    entering_wet_bulb,
    dry_bulb,
    wet_bulb,
    relative_humidity,
    humidity_ratio,
    dew_point,
    enthalpy,
    pressure,
    elevation,
    airflow,
    standard_airflow,
    line_set,
    line_length,
    lift,
    suction_size,
    fan_power,
    fan_position,
    boundary,
    stage,
    match,
    total_capacity,
    sensible_capacity,
    power,
    bypass,
    return_air,
    supply_air,
    leaving_air,
    site,
    limit,
    external_static,
    speed,
    indoor_pair,
    efficiency,
    outdoor_humidity,
    heating_capacity,
    frost,  ///< instantaneous or integrated heating
    auxiliary_heat,
};
/// How a subject is named in records, what it is called in a sentence, and the units it is shown in.
struct Subject {
    About value;
    std::string_view word, words;
    Unit ip, si;
};
template <>
inline constexpr Subject words_of<About>[] = {
    {About::nothing, "nothing", "", units::one, units::one},
    {About::axis, "axis", "the axis", units::one, units::one},
    {About::outdoor_dry_bulb, "outdoor_dry_bulb", "outdoor dry bulb", units::degF, units::degC},
    {About::entering_dry_bulb, "entering_dry_bulb", "entering dry bulb", units::degF, units::degC},
    {About::entering_wet_bulb, "entering_wet_bulb", "entering wet bulb", units::degF, units::degC},
    {About::dry_bulb, "dry_bulb", "dry bulb", units::degF, units::degC},
    {About::wet_bulb, "wet_bulb", "wet bulb", units::degF, units::degC},
    {About::relative_humidity, "relative_humidity", "relative humidity", units::one, units::one},
    {About::humidity_ratio, "humidity_ratio", "humidity ratio", units::lb_lb, units::kg_kg},
    {About::dew_point, "dew_point", "dew point", units::degF, units::degC},
    {About::enthalpy, "enthalpy", "enthalpy", units::Btu_lb_of_air, units::J_kg},
    {About::pressure, "pressure", "station pressure", units::psia, units::Pa},
    {About::elevation, "elevation", "elevation", units::ft, units::m},
    {About::airflow, "airflow", "airflow", units::cfm, units::m3_s},
    {About::standard_airflow, "standard_airflow", "standard airflow", units::scfm, units::m3_s},
    {About::line_set, "line_set", "line set", units::one, units::one},
    {About::line_length, "line_length", "equivalent line length", units::ft, units::m},
    {About::lift, "lift", "lift", units::ft, units::m},
    {About::suction_size, "suction_size", "suction size", units::in, units::mm},
    {About::fan_power, "fan_power", "fan power", units::W, units::W},
    {About::fan_position, "fan_position", "fan position", units::one, units::one},
    {About::boundary, "boundary", "boundary", units::one, units::one},
    {About::stage, "stage", "stage", units::one, units::one},
    {About::match, "match", "match", units::one, units::one},
    {About::total_capacity, "total_capacity", "total capacity", units::Btu_h, units::W},
    {About::sensible_capacity, "sensible_capacity", "sensible capacity", units::Btu_h, units::W},
    {About::power, "power", "power", units::W, units::W},
    {About::bypass, "bypass", "bypass factor", units::one, units::one},
    {About::return_air, "return_air", "return air", units::one, units::one},
    {About::supply_air, "supply_air", "supply air", units::one, units::one},
    {About::leaving_air, "leaving_air", "leaving air", units::degF, units::degC},
    {About::site, "site", "site", units::one, units::one},
    {About::limit, "limit", "limit", units::one, units::one},
    {About::external_static, "external_static", "external static pressure", units::in_wc, units::Pa},
    {About::speed, "speed", "compressor speed", units::one, units::one},
    {About::indoor_pair, "indoor_pair", "the pair of entering dry and wet bulb", units::degF, units::degC},
    {About::efficiency, "efficiency", "efficiency", units::Btu_Wh, units::W_W},
    {About::outdoor_humidity, "outdoor_humidity", "outdoor relative humidity", units::one, units::one},
    {About::heating_capacity, "heating_capacity", "heating capacity", units::Btu_h, units::W},
    {About::frost, "frost", "the kind of heating, instantaneous or integrated,", units::one, units::one},
    {About::auxiliary_heat, "auxiliary_heat", "auxiliary heat", units::W, units::W},
};

/// Why there is no answer, as plain data: 32 bytes, no text. `explain(reason)` in `explain.hpp` puts it into words.
struct Reason {
    Why why = Why::none;
    About about = About::nothing;
    std::int8_t axis = -1;   ///< axis of the grid concerned, or -1
    std::int32_t node = -1;  ///< row-major number of the grid node concerned, or -1
    double value = 0.0;      ///< offending value (SI)
    double lower = 0.0;      ///< least value that would be accepted (SI)
    double upper = 0.0;      ///< greatest value that would be accepted (SI)

    [[nodiscard]] constexpr bool none() const noexcept { return why == Why::none; }
    friend constexpr bool operator==(const Reason&, const Reason&) = default;
};

/// A value or a reason. Never throws, never allocates.
template <class T>
class Answer {
   public:
    constexpr Answer(const T& value) noexcept : value_(value) {}
    /// An answer to be built in place, by `building()` or `refuse()`: copying a large value costs more than many a
    /// question.
    constexpr Answer() noexcept = default;
    constexpr Answer(const Reason& reason) noexcept : reason_(reason) {}

    [[nodiscard]] constexpr explicit operator bool() const noexcept { return reason_.none(); }
    [[nodiscard]] constexpr const T& operator*() const noexcept { return value_; }
    [[nodiscard]] constexpr const T* operator->() const noexcept { return &value_; }
    [[nodiscard]] constexpr const Reason& reason() const noexcept { return reason_; }

    [[nodiscard]] constexpr T& building() noexcept { return value_; }
    constexpr void refuse(const Reason& reason) noexcept { reason_ = reason; }

   private:
    T value_{};
    Reason reason_{};
};

/// What an answer stands on. `inside` is the absence of the others; several may hold at once.
enum class Footing : std::uint8_t {
    inside = 0,
    held = 1,      ///< a value past an edge was held at the edge, as asked
    extended = 2,  ///< a value past an edge was reached by extending the edge cell, as asked
    inferred = 4,  ///< a node with weight was not printed but inferred
    dry = 8,       ///< the coil is dry: the dry-coil rule gave the answer
};
template <>
inline constexpr Word<Footing> words_of<Footing>[] = {
    {Footing::inside, "inside"},     {Footing::held, "held"}, {Footing::extended, "extended"},
    {Footing::inferred, "inferred"}, {Footing::dry, "dry"},
};
constexpr Footing operator|(Footing a, Footing b) noexcept {
    return static_cast<Footing>(static_cast<unsigned>(a) | static_cast<unsigned>(b));
}
constexpr Footing& operator|=(Footing& a, Footing b) noexcept { return a = a | b; }
[[nodiscard]] constexpr bool has(Footing all, Footing one) noexcept {
    return (static_cast<unsigned>(all) & static_cast<unsigned>(one)) != 0;
}

/// Consequences of what is unknown or assumed. What each says stands in its words.
enum class Note : std::uint64_t {
    pound_unknown = 1ull << 0,
    power_basis_unknown = 1ull << 1,
    elevation_unknown = 1ull << 2,
    altitude_assumed = 1ull << 3,
    sensible_scaled = 1ull << 4,
    dryness_unknown = 1ull << 5,
    tolerance_unknown = 1ull << 6,
    match_factor = 1ull << 7,
    saturated_entering = 1ull << 8,
    power_of_dry_coil = 1ull << 9,
    leaving_impossible = 1ull << 10,
    interpolation_unknown = 1ull << 11,
    fan_position_unknown = 1ull << 12,
    negative_capacity = 1ull << 13,
    negative_latent = 1ull << 14,
    sensible_above_total = 1ull << 15,
    near_saturation = 1ull << 16,
    small_split = 1ull << 17,
    one_sided = 1ull << 18,
    capacity_basis_unknown = 1ull << 19,
    airflow_basis_unknown = 1ull << 20,
    line_set_unknown = 1ull << 21,
    steadiness_unknown = 1ull << 22,
    uncertainty_missing = 1ull << 23,
    short_run = 1ull << 24,
    pressure_unchecked = 1ull << 25,
    first_order_only = 1ull << 26,
    saturated_probe = 1ull << 27,
    airflow_multiplier = 1ull << 28,
    dry_bulb_multiplier = 1ull << 29,
    reference_line_unknown = 1ull << 30,
    inferred_dry_bulb = 1ull << 31,
    sensible_lower_bound = 1ull << 32,
    along_pairs = 1ull << 33,
    between_speeds = 1ull << 34,
    frost_in_page = 1ull << 35,
    frost_unknown = 1ull << 36,
    outdoor_humidity_unknown = 1ull << 37,
    speed_unknown = 1ull << 38,
    no_heating_factors = 1ull << 39,
    other_stage = 1ull << 40,
    weather_in_pressure = 1ull << 41,
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
     "no published altitude factor: total taken as printed at equal mass flow, with extra uncertainty; power is "
     "commonly 3 to 5 % higher at 5,000 ft (common practice, no source)"},
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
    {Note::fan_position_unknown, "fan_position_unknown", "fan position unknown: taken as draw-through"},
    {Note::negative_capacity, "negative_capacity", "supply holds more heat than return: wrong mode, or swapped probes"},
    {Note::negative_latent, "negative_latent",
     "supply is wetter than return: water re-evaporating, outdoor air, or swapped probes"},
    {Note::sensible_above_total, "sensible_above_total",
     "sensible exceeds total: dry coil within the uncertainty, or a humidity probe astray"},
    {Note::near_saturation, "near_saturation",
     "supply above 97 % relative humidity: humidity probes saturate after a wet coil"},
    {Note::small_split, "small_split", "dry-bulb split below 3 delta_degF: relative uncertainty is large"},
    {Note::one_sided, "one_sided", "a sensitivity was taken on one side, where the other has no answer"},
    {Note::capacity_basis_unknown, "capacity_basis_unknown", "gross or net unknown: taken as gross"},
    {Note::airflow_basis_unknown, "airflow_basis_unknown",
     "airflow basis of the page unknown: taken as standard airflow"},
    {Note::line_set_unknown, "line_set_unknown", "no line-set table: no line-set factor"},
    {Note::steadiness_unknown, "steadiness_unknown",
     "the visit does not say whether the readings were steady: let it run at least 15 to 20 minutes first (common "
     "practice, no source)"},
    {Note::uncertainty_missing, "uncertainty_missing", "a reading without a stated uncertainty was taken as exact"},
    {Note::short_run, "short_run", "less than 20 minutes of running before the readings (common practice, no source)"},
    {Note::pressure_unchecked, "pressure_unchecked",
     "station pressure without an elevation to check it by: is it what a barometer at the machine reads, and not "
     "reduced to sea level?"},
    {Note::first_order_only, "first_order_only",
     "the ratio is uncertain by more than a quarter of itself: these first-order figures no longer hold"},
    {Note::saturated_probe, "saturated_probe",
     "supply humidity probe near saturation, where it says no more than 95 to 100 %: a shortfall cannot be told from "
     "it; read a wet bulb or dew point"},
    {Note::airflow_multiplier, "airflow_multiplier",
     "airflow by the page's multiplier row, printed for its rating point and used across the page"},
    {Note::dry_bulb_multiplier, "dry_bulb_multiplier",
     "entering dry bulb by the page's multiplier row, printed for its rating point and used across the page"},
    {Note::reference_line_unknown, "reference_line_unknown",
     "the line the page is rated with is unknown: line-set factors taken as printed"},
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
     "match, line-set and altitude factors are printed for cooling: none was applied to heating"},
    {Note::other_stage, "other_stage", "the measured power fits another stage much better: which stage ran?"},
    {Note::weather_in_pressure, "weather_in_pressure",
     "station pressure from the elevation alone: standard uncertainty of 1 % for the weather (common practice, no "
     "source); a barometer at the machine does away with it"},
};

/// A set of notes.
class Notes {
   public:
    constexpr void add(Note note) noexcept { bits_ |= static_cast<std::uint64_t>(note); }
    constexpr void add(Notes notes) noexcept { bits_ |= notes.bits_; }
    [[nodiscard]] constexpr bool has(Note note) const noexcept {
        return (bits_ & static_cast<std::uint64_t>(note)) != 0;
    }
    [[nodiscard]] constexpr bool empty() const noexcept { return bits_ == 0; }
    [[nodiscard]] constexpr std::uint64_t bits() const noexcept { return bits_; }
    friend constexpr bool operator==(Notes, Notes) = default;

   private:
    std::uint64_t bits_ = 0;
};

/// One step of a ledger: what was done to which quantity, by which factor or amount.
struct Step {
    enum class Kind : std::uint8_t {
        page,               ///< read between the nodes of the page
        net_to_gross,       ///< the table's own fan heat added back
        match,              ///< factor of the indoor match
        line_set,           ///< factor of the line set
        altitude,           ///< factor of the elevation
        coil,               ///< sensible recomputed by the coil's bypass factor for the changed total or pressure
        entering_dry_bulb,  ///< sensible moved from the reference dry bulb to the entering one
        dry_coil,           ///< the dry-coil rule
        fan_heat,           ///< indoor fan's heat, to reach the boundary
        speed,              ///< between the answers of two speeds
        frost,              ///< frost and defrost by the maker's defrost table
    };
    enum class Of : std::uint8_t { total, sensible, power };

    Kind kind = Kind::page;
    Of of = Of::total;
    std::int16_t source = -1;  ///< which match, line size, ... : an index into the system, or -1
    double factor = 1.0;       ///< multiplier, or NaN-free 1 where the step adds an amount (after - before)
    double before = 0.0;       ///< W
    double after = 0.0;        ///< W
};
template <>
inline constexpr Word<Step::Kind> words_of<Step::Kind>[] = {
    {Step::Kind::page, "page"},
    {Step::Kind::net_to_gross, "net to gross"},
    {Step::Kind::match, "match"},
    {Step::Kind::line_set, "line set"},
    {Step::Kind::altitude, "altitude"},
    {Step::Kind::coil, "coil"},
    {Step::Kind::entering_dry_bulb, "entering dry bulb"},
    {Step::Kind::dry_coil, "dry coil"},
    {Step::Kind::fan_heat, "fan heat"},
    {Step::Kind::speed, "speed"},
    {Step::Kind::frost, "frost"},
};
template <>
inline constexpr Word<Step::Of> words_of<Step::Of>[] = {
    {Step::Of::total, "total"},
    {Step::Of::sensible, "sensible"},
    {Step::Of::power, "power"},
};

/// The ordered steps behind an expected capacity. Fixed size: building one never allocates.
class Ledger {
   public:
    static constexpr std::size_t capacity = 16;

    constexpr void add(const Step& step) noexcept {
        if (size_ < capacity) steps_[size_++] = step;
    }
    [[nodiscard]] constexpr std::span<const Step> steps() const noexcept { return {steps_.data(), size_}; }

   private:
    std::array<Step, capacity> steps_{};
    std::size_t size_ = 0;
};

/// Base of the library's exceptions.
class Error : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// There is no answer; `reason` says why, as data. Thrown by the convenience faces (`expect`, `air::state`, ...) only.
class Refused : public Error {
   public:
    Refused(Reason reason, const std::string& text) : Error(text), reason_(reason) {}
    [[nodiscard]] const Reason& reason() const noexcept { return reason_; }

   private:
    Reason reason_;
};

/// A file, or an object being built, is not what it should be.
class InputError : public Error {
   public:
    /// Where in a file. Lines and columns count from 1; 0 means unknown.
    struct Place {
        std::string file;
        int line = 0;
        int column = 0;
    };

    InputError(Place place, std::string problem, std::string text = {}, std::string accepted = {})
        : Error(compose(place, problem, text, accepted)),
          place_(std::move(place)),
          problem_(std::move(problem)),
          text_(std::move(text)),
          accepted_(std::move(accepted)) {}

    [[nodiscard]] const std::string& file() const noexcept { return place_.file; }
    [[nodiscard]] int line() const noexcept { return place_.line; }
    [[nodiscard]] int column() const noexcept { return place_.column; }
    [[nodiscard]] const std::string& problem() const noexcept { return problem_; }    ///< what is wrong
    [[nodiscard]] const std::string& text() const noexcept { return text_; }          ///< the offending text, as typed
    [[nodiscard]] const std::string& accepted() const noexcept { return accepted_; }  ///< what would be right

   private:
    static std::string compose(const Place& place, const std::string& problem, const std::string& text,
                               const std::string& accepted) {
        std::string out = place.file;
        if (place.line > 0) out += (out.empty() ? "line " : ":") + std::to_string(place.line);
        if (place.line > 0 && place.column > 0) out += ":" + std::to_string(place.column);
        if (!out.empty()) out += ": ";
        out += problem;
        if (!text.empty()) out += ": '" + text + "'";
        if (!accepted.empty()) out += "; accepted: " + accepted;
        return out;
    }

    Place place_;
    std::string problem_;
    std::string text_;
    std::string accepted_;
};

/// There is no such file.
class MissingFile : public InputError {
    using InputError::InputError;
};

}  // namespace offnominal
