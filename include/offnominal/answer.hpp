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
constexpr Footing operator|(Footing a, Footing b) noexcept {
    return static_cast<Footing>(static_cast<unsigned>(a) | static_cast<unsigned>(b));
}
constexpr Footing& operator|=(Footing& a, Footing b) noexcept { return a = a | b; }
[[nodiscard]] constexpr bool has(Footing all, Footing one) noexcept {
    return (static_cast<unsigned>(all) & static_cast<unsigned>(one)) != 0;
}

/// Consequences of what is unknown or assumed; each is worded by `describe(note)` in `explain.hpp`.
enum class Note : std::uint64_t {
    pound_unknown = 1u << 0,        ///< standard pound taken as dry air
    power_basis_unknown = 1u << 1,  ///< power is not comparable with a measured power
    elevation_unknown = 1u << 2,    ///< table taken as printed for sea level
    altitude_assumed = 1u << 3,     ///< no published altitude factor: total factor 1 with extra uncertainty
    sensible_scaled = 1u << 4,     ///< no bypass factor: sensible scaled with total instead of recomputed from the coil
    dryness_unknown = 1u << 5,     ///< no sensible on the page: the dry-coil rule could not be applied
    tolerance_unknown = 1u << 6,   ///< maker's tolerance unknown: none is in the uncertainty
    match_factor = 1u << 7,        ///< a match factor holds at its rating point; used across the map
    saturated_entering = 1u << 8,  ///< wet bulb a little above dry bulb, within tolerance: taken as saturated
    power_of_dry_coil = 1u << 9,   ///< power taken where the coil turns wet
    leaving_impossible = 1u << 10,     ///< the page implies a leaving state past saturation
    interpolation_unknown = 1u << 11,  ///< an axis with fewer than three values: its curvature cannot be judged
    fan_position_unknown = 1u << 12,   ///< indoor fan taken as draw-through
    negative_capacity = 1u << 13,      ///< supply is warmer (in enthalpy) than return: wrong mode or swapped probes
    negative_latent = 1u << 14,        ///< supply is wetter than return: re-evaporation, outdoor air, or swapped probes
    sensible_above_total = 1u << 15,   ///< measured sensible exceeds total
    near_saturation = 1u << 16,        ///< a humidity reading above 97 %: such sensors saturate after a wet coil
    small_split = 1u << 17,            ///< dry-bulb difference below 3 delta degF: relative uncertainty explodes
    one_sided = 1u << 18,              ///< a sensitivity was taken on one side, where the other has no answer
    capacity_basis_unknown = 1u << 19,  ///< gross or net is unknown: taken as gross
    airflow_basis_unknown = 1u << 20,   ///< the table's airflow taken as standard airflow
    line_set_unknown = 1u << 21,        ///< the system prints no line-set table: no line-set factor
    steadiness_unknown = 1u << 22,   ///< the visit does not say whether the readings were steady, nor how long it ran
    uncertainty_missing = 1u << 23,  ///< a reading without a stated uncertainty counts as exact
    pressure_unchecked = 1u << 25,   ///< station pressure given without an elevation to check it by
    first_order_only = 1u << 26,     ///< ratio uncertain by more than 25 % of itself: first order no longer holds
    saturated_probe = 1u << 27,      ///< humidity probe near saturation: taken as 95 to 100 %, and condemns nothing
    short_run = 1u << 24,            ///< ran at least 15 minutes before the readings, but not 20
    airflow_multiplier = 1u << 28,   ///< airflow by the page's own multiplier row, printed for one rating point
    dry_bulb_multiplier = 1u << 29,  ///< entering dry bulb by the page's own multiplier row
    reference_line_unknown = 1u << 30,  ///< a line-set table, but the line the page is rated with is not stated
    inferred_dry_bulb = 1u << 31,       ///< sensible at a blank entering dry bulb inferred by the bypass-factor line
    sensible_lower_bound = 1ull << 32,  ///< sensible capped at total on the page: no less than this
    along_pairs = 1ull << 33,           ///< read along the page's pairs, where the dry-coil rule has no axis to move on
    between_speeds = 1ull << 34,        ///< between two speeds, as the maker allows
    frost_in_page = 1ull << 35,         ///< integrated heating: frost and defrost are in it; a steady test is not
    frost_unknown = 1ull << 36,         ///< the page does not say whether heating is instantaneous or integrated
    outdoor_humidity_unknown = 1ull << 37,  ///< outdoor humidity of a heating page unknown
    speed_unknown = 1ull << 38,             ///< a variable-speed system without a word on how its speed was held
    no_heating_factors = 1ull << 39,        ///< match, line-set or altitude factors printed for cooling: not applied
    other_stage = 1ull << 40,               ///< measured power fits the page of another stage much better
    weather_in_pressure = 1ull << 41,       ///< station pressure from the elevation alone: uncertain by the weather
};

/// How many notes there are: the bits from 0 on.
inline constexpr unsigned note_count = 42;

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
