/// @file
/// One visit: where, with which instruments, what was read, and the limit to judge by.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "offnominal/airflow/determine.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/field/calibration.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/mean.hpp"
#include "offnominal/field/second_capacity.hpp"
#include "offnominal/field/series.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

/// How an error is spread about the reading.
enum class Shape : std::uint8_t {
    normal,       ///< stated as expanded or standard uncertainty
    rectangular,  ///< stated as limits: anywhere within them, never outside
};
template <>
inline constexpr Word<Shape> words_of<Shape>[] = {{Shape::normal, "normal"}, {Shape::rectangular, "rectangular"}};

/// How far off a reading may be. Conversions to a standard uncertainty: JCGM 100:2008, 4.3.7 (limits: rectangular,
/// divide by the square root of 3) and 4.3.3 (expanded: divide by the coverage factor).
struct Uncertain {
    double standard = 0.0;  ///< SI, coverage factor 1; 0: not stated, and the trade's own figure is taken (`practice`)
    std::string instrument;
    /// Correlation of this input's error with that of the same quantity read by the same instrument (JCGM 100, 5.2): a
    /// probe carried from return to supply shares its calibration error with itself. Where the visit does not state it,
    /// `practice::shared_by_one_instrument`.
    std::optional<double> correlation;
    Shape shape = Shape::normal;
    /// What the readings' own scatter leaves of their mean, where that was taken over a window (type A); not in
    /// `standard`. Few degrees of freedom count by Student's t.
    UncertaintyPart scatter{};
};

/// How far a wet bulb or dew point may be read above the dry bulb of the same air, K: 0.2 degF, or twice the standard
/// uncertainty of their difference. Within it the air is saturated, beyond it the two were swapped.
/// Compiled: link `offnominal::core`.
[[nodiscard]] double saturation_slack(const Uncertain& dry_bulb, const Uncertain& humidity) noexcept;

/// How far off an instrument is in one quantity: in the quantity's own unit, or as a share of the reading.
struct Accuracy {
    std::string quantity;     ///< `dry_bulb`, `relative_humidity`, `airflow`, ...
    double standard = 0.0;    ///< SI, coverage factor 1
    bool of_reading = false;  ///< a share of the reading
    Shape shape = Shape::normal;
};

/// An instrument as a visit describes it.
struct Instrument {
    std::string name;
    std::vector<Accuracy> accuracies;
    std::optional<double> correlation;  ///< of its errors in two readings of one quantity
    /// Once it has expired, on the date of the visit, `CalibrationState::widening` makes every accuracy worse.
    std::optional<Calibration> calibration{};
};

/// Two instruments that were compared side by side, in one air stream, and corrected until they agree. What is left
/// over is their own; the rest they share: the error of what they were corrected to. `correlation` is the shared part
/// of the variance, u_shared^2 / (u_first u_second) (JCGM 100:2008, F.1.2.3), between readings of one quantity.
struct SideBySide {
    std::string first, second;  ///< names of instruments
    double correlation = 0.0;   ///< 0 to 1
};

/// The inputs of a proof that carry uncertainty, in the order of the budget.
enum class Input : std::uint8_t {
    return_dry_bulb,
    return_humidity,
    supply_dry_bulb,
    supply_humidity,
    airflow,
    outdoor_dry_bulb,
    pressure,
    fan_power,
    power,
    auxiliary_heat,  ///< heating
};
template <>
inline constexpr Word<Input> words_of<Input>[] = {{Input::return_dry_bulb, "return_dry_bulb"},
                                                  {Input::return_humidity, "return_humidity"},
                                                  {Input::supply_dry_bulb, "supply_dry_bulb"},
                                                  {Input::supply_humidity, "supply_humidity"},
                                                  {Input::airflow, "airflow"},
                                                  {Input::outdoor_dry_bulb, "outdoor_dry_bulb"},
                                                  {Input::pressure, "pressure"},
                                                  {Input::fan_power, "fan_power"},
                                                  {Input::power, "power"},
                                                  {Input::auxiliary_heat, "auxiliary_heat"}};
inline constexpr std::size_t input_count = 10;
/// Whether a mode has an input: heating is asked for no humidity in the supply, cooling for no auxiliary heat.
[[nodiscard]] constexpr bool applies(Input input, Mode mode) noexcept {
    return input != (mode == Mode::heating ? Input::supply_humidity : Input::auxiliary_heat);
}

/// What a delivered capacity is held against.
enum class Yardstick : std::uint8_t {
    make,  ///< a sound machine of this make: the page within the maker's tolerance
    page,  ///< the printed number itself: only reading and derating it is uncertain
};
template <>
inline constexpr Word<Yardstick> words_of<Yardstick>[] = {{Yardstick::make, "make"}, {Yardstick::page, "page"}};

/// Which ratio must reach its limit.
enum class Judge : std::uint8_t { total, sensible, both };
template <>
inline constexpr Word<Judge> words_of<Judge>[] = {
    {Judge::total, "total"}, {Judge::sensible, "sensible"}, {Judge::both, "both"}};

/// How a ratio is accepted (JCGM 106:2012, clause 8).
enum class Acceptance : std::uint8_t {
    guarded,  ///< a guard band on either side of the limit keeps the chance of a wrong verdict low
    simple,   ///< what is more likely than not: at the limit every second verdict is wrong
};
template <>
inline constexpr Word<Acceptance> words_of<Acceptance>[] = {{Acceptance::guarded, "guarded"},
                                                            {Acceptance::simple, "simple"}};

/// Machines of which the one visited is one: how their true ratios are spread, as a normal distribution.
struct Population {
    double mean = 0.0;
    double standard = 0.0;  ///< standard deviation
};

/// Electric power as it was measured, and what the meter was around: there is no default.
struct PowerReading {
    /// No machine runs on less, and what it delivers over its power stays finite; W.
    static constexpr double least = 1.0;

    PowerBasis of = PowerBasis::unknown;
    Power value{Conditions::not_given};

    [[nodiscard]] OFFNOMINAL_INLINE constexpr bool can_run_a_machine() const noexcept {
        return value.si >= least && real::is_finite(value.si);
    }
};

/// One way by which the airflow was found, and whose air flows there.
struct AirflowFinding {
    AirflowReadBy by;
    air::Place at = air::Place::return_air;
};

/// A second capacity of the same time, by a method that shares none of the air's errors: its total; or, by condensate,
/// the water that left the coil, which takes the place of what the humidities tell. In heating by refrigerant alone.
struct SecondReading {
    SecondMethod by = SecondMethod::refrigerant;
    Boundary boundary = Boundary::not_given;  ///< what the total is of; by condensate there is none
    Power total{Conditions::not_given};       ///< by refrigerant and condenser
    MassFlow water{Conditions::not_given};    ///< by condensate
    double standard = Conditions::not_given;  ///< standard uncertainty, as a share of the one that is given

    [[nodiscard]] constexpr bool is_weighed() const noexcept { return by == SecondMethod::condensate; }
};

/// Where the keys stand that only the system can judge; empty for a visit that was not read from a file.
struct VisitPlaces {
    InputError::Place stage, match, line_set, speed;
};

/// One set of readings with everything needed to recompute its proof.
struct Visit {
    std::string name;
    std::string system_file;  ///< as written in the visit; relative to it
    std::string date;         ///< as written
    std::string remarks;

    std::string site_note;
    Site site = Site::not_given();
    std::string stage;               ///< may stay empty where `speed` says it, or the speed was not held
    std::optional<Speed> speed;      ///< of a variable-speed compressor
    std::optional<bool> speed_held;  ///< by the maker's test mode or the like; unknown if not said
    std::string match;
    std::optional<LineSet> line_set;
    Boundary boundary = Boundary::not_given;
    Readings readings;  ///< its mode is the visit's
    /// Where the airflow was determined, by one way or several: then `readings` has none, and a proof finds it.
    std::vector<AirflowFinding> airflow_by;
    [[nodiscard]] Mode mode() const noexcept { return readings.mode; }
    Temperature outdoor_dry_bulb{Conditions::not_given};
    Power fan_power{Conditions::not_given};
    std::optional<PowerReading> power;
    std::optional<SecondReading> second_capacity;

    // heating
    bool auxiliary_unknown = false;         ///< nobody knows whether auxiliary heat was on: nothing is passed or failed
    std::optional<bool> defrost_free;       ///< no defrost in the window of the readings, nor shortly before
    std::optional<Duration> since_defrost;  ///< instead: from the end of the last defrost to the readings

    Outside outside = Outside::refuse;
    bool infer = false;

    std::array<Uncertain, input_count> uncertainty;  ///< by `Input`
    [[nodiscard]] const Uncertain& of(Input input) const noexcept {
        return uncertainty[static_cast<std::size_t>(input)];
    }
    [[nodiscard]] Uncertain& of(Input input) noexcept { return uncertainty[static_cast<std::size_t>(input)]; }

    std::optional<LogWindow> log_window;  ///< where readings are means of a log
    std::vector<std::string> logs;        ///< files that readings were taken from, as written; they are not read again
    std::vector<Instrument> instruments;  ///< those described, whether a reading names them or not
    std::vector<SideBySide> side_by_side;

    std::optional<double> limit;           ///< least ratio of delivered to expected that is accepted; no default
    std::optional<double> sensible_limit;  ///< the same of sensible, where it is judged; `limit` if not said
    Judge judge = Judge::total;
    Yardstick yardstick = Yardstick::make;
    double confidence = 0.95;  ///< probability that `meets` asks for, where acceptance is guarded
    Acceptance acceptance = Acceptance::guarded;
    std::optional<Population> population;  ///< for the risks over all of them; it decides nothing
    std::optional<bool> steady;            ///< whether the readings were taken in steady state; unknown if not said
    std::optional<Duration> running;       ///< from the last start or change to the readings

    TypedTexts typed;  ///< empty for a visit made in code
    VisitPlaces places;
};

}  // namespace offnominal
