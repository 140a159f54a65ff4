/// @file
/// When readings count: the earliest steady window of a run, all at once or second by second.
///
///     SteadyWatch watch;                                        // split, enthalpy difference, supply humidity ratio
///     for (each second) if (watch.add(time, signals).steady()) ...
///
/// A window is the latest readings that together span `SteadyCriteria::span()`. It is steady if it began at least
/// `least_running` after the last start or change, and each watched signal drifts and ranges no further than its limit.
/// Drift is the slope of a straight line through the window (least squares) times its span: a slow slope passes a test
/// of the spread and is still worth several percent. Range is greatest less least.
///
/// A start or change is what the caller says (`SteadyWatch::change`: another stage, thermostat, defrost), a split of
/// less than 3 delta_degF in the direction of the mode (off, wrong mode, defrost), and a gap of more than
/// `longest_gap`, in which nobody knows what happened.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string_view>
#include <vector>

#include "offnominal/detail/real.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/words.hpp"

namespace offnominal {

/// What is watched. The first three say that the machine itself is steady, the others what it works with.
enum class Signal : std::uint8_t {
    split,                  ///< return less supply dry bulb
    enthalpy_difference,    ///< return less supply
    supply_humidity_ratio,  ///< settles last
    return_dry_bulb,
    return_wet_bulb,
    outdoor_dry_bulb,
    external_static,
    power,
};
/// A signal, and what kind of number it and a change of it is.
struct SignalWords {
    Signal value;
    std::string_view word;
    Kind kind, change;
};
template <>
inline constexpr SignalWords words_of<Signal>[] = {
    {Signal::split, "split", Kind::temperature_difference, Kind::temperature_difference},
    {Signal::enthalpy_difference, "enthalpy_difference", Kind::enthalpy_difference, Kind::enthalpy_difference},
    {Signal::supply_humidity_ratio, "supply_humidity_ratio", Kind::humidity_ratio, Kind::humidity_ratio},
    {Signal::return_dry_bulb, "return_dry_bulb", Kind::temperature, Kind::temperature_difference},
    {Signal::return_wet_bulb, "return_wet_bulb", Kind::temperature, Kind::temperature_difference},
    {Signal::outdoor_dry_bulb, "outdoor_dry_bulb", Kind::temperature, Kind::temperature_difference},
    {Signal::external_static, "external_static", Kind::static_pressure, Kind::static_pressure},
    {Signal::power, "power", Kind::electric_power, Kind::electric_power}};
inline constexpr std::size_t signal_count = 8;

/// One reading of every signal, SI, by `Signal`; NaN for what is not given.
using Signals = std::array<double, signal_count>;

/// The signals of the air on both sides; outdoor dry bulb, external static and power are the caller's to set.
/// @return a state that cannot be, or a dry bulb that is not given, as a reason
[[nodiscard]] Answer<Signals> try_signals(const Readings& readings, const Site& site) noexcept;

/// How far a signal may go within a window: in its own unit, or as a share of its mean.
struct SteadyLimit {
    double drift = real::infinity;
    double range = real::infinity;
    bool of_mean = false;
    std::string_view source = {};
};
/// The limits, by `Signal`, with where each comes from.
inline constexpr std::array<SteadyLimit, signal_count> steady_limits = {{
    {0.3 / 1.8, 2.0 / 1.8, false, "drift 0.3, range 2.0 delta_degF: common practice, no source"},
    {0.01, 0.10, true, "drift 1 %, range 10 % of the mean: common practice, no source"},
    {0.01, 0.05, true, "drift 1 %, range 5 % of the mean: common practice, no source"},
    {real::infinity, 2.0 / 1.8, false,
     "range 2.0 delta_degF: test tolerance of ANSI/ASHRAE 37 and 10 CFR 430 appendix M1, from memory"},
    {real::infinity, 1.0 / 1.8, false,
     "range 1.0 delta_degF: test tolerance of ANSI/ASHRAE 37 and 10 CFR 430 appendix M1, from memory"},
    {real::infinity, 2.0 / 1.8, false,
     "range 2.0 delta_degF: test tolerance of ANSI/ASHRAE 37 and 10 CFR 430 appendix M1, from memory"},
    {real::infinity, 0.04 * units::in_wc.times, false, "within 0.02 in_wc: common practice, no source"},
    {real::infinity, 0.04, true, "within 2 %: common practice, no source"},
}};

/// What counts as steady.
struct SteadyCriteria {
    Duration window{10.0 * 60.0};  ///< least span; 5 to 10 minutes (common practice, no source)
    Duration valve_swing{0.0};     ///< period in which the metering valve swings, if it does: a window spans three
    Duration least_running = practice::least_running;
    /// A compressor that stops stays off for about three minutes at least (common practice, no source): a shorter gap
    /// hides no stop.
    Duration longest_gap{3.0 * 60.0};
    Mode mode = Mode::cooling;
    std::array<SteadyLimit, signal_count> limits = steady_limits;
    /// A reading that lacks one of these is left out. Heating has no moisture to watch: split alone will do there.
    std::array<bool, signal_count> watched = {true, true, true};

    /// The span of a window: the longer of `window` and three swings of the valve.
    [[nodiscard]] Duration span() const noexcept;
};

/// Why a window is not steady; `none` if it is.
enum class Unsteady : std::uint8_t { none, running, window, drift, range };
/// A word, and a sentence.
struct UnsteadyWords {
    Unsteady value;
    std::string_view word, text;
};
template <>
inline constexpr UnsteadyWords words_of<Unsteady>[] = {
    {Unsteady::none, "none", "steady"},
    {Unsteady::running, "running", "too soon after a start or a change"},
    {Unsteady::window, "window", "not enough readings yet for a whole window"},
    {Unsteady::drift, "drift", "drifts too far over the window"},
    {Unsteady::range, "range", "ranges too far over the window"},
};

/// One signal over a window, SI; NaN for what is not watched.
struct SignalSpan {
    double mean = std::numeric_limits<double>::quiet_NaN();
    double drift = std::numeric_limits<double>::quiet_NaN();
    double range = std::numeric_limits<double>::quiet_NaN();
    double greatest_drift = real::infinity;  ///< the limits, of the mean where they are shares
    double greatest_range = real::infinity;
};

/// The latest window of a run. Times are in seconds, as the caller counts them.
struct SteadyWindow {
    Unsteady why = Unsteady::window;
    Signal signal = Signal::split;  ///< which drifts or ranges too far, the first in order
    double begin = 0.0, end = 0.0;
    std::size_t samples = 0;
    std::array<SignalSpan, signal_count> of;  ///< by `Signal`

    [[nodiscard]] bool steady() const noexcept { return why == Unsteady::none; }
};

/// Watches a run as it happens. A reading costs the same however long the run is (on average over a window: a few
/// hundred operations), and so does the memory: sums over two runs of readings that meet in the window, each kept about
/// its own mean and joined by the formulas of Chan, Golub and LeVeque (1979, Stanford STAN-CS-79-773), so that nothing
/// is ever subtracted again.
class SteadyWatch {
   public:
    /// @param running  how long the machine had run unchanged before the first reading
    /// @throws InputError for criteria that cannot be: a span of 0, a limit below 0, nothing watched
    explicit SteadyWatch(const SteadyCriteria& criteria = {}, Duration running = Duration{0.0});

    /// The machine started or was changed at this time, or is defrosting.
    void change(double time);
    /// Takes a reading. @throws InputError for a time that is not after the one before, or readings less than half a
    /// second apart over a whole window
    const SteadyWindow& add(double time, const Signals& signals);
    /// The window that ends at the latest reading.
    [[nodiscard]] const SteadyWindow& window() const noexcept { return window_; }
    /// How much longer at least, as far as the window can tell; 0 if it is steady. A drift that fades is taken as
    /// fading exponentially, at the pace at which the second half of the window drifts less than the first.
    [[nodiscard]] Duration wait() const;

    [[nodiscard]] const SteadyCriteria& criteria() const noexcept { return criteria_; }

   private:
    /// One signal over a run of readings.
    struct Sums {
        double mean = 0.0;
        double with_time = 0.0;  ///< sum of products of deviations from the means
        double least = 0.0, greatest = 0.0;
    };
    struct Run {
        std::size_t samples = 0;
        double time = 0.0;         ///< mean, from `origin_`
        double time_square = 0.0;  ///< sum of squares of deviations from it
        std::array<Sums, signal_count> of;
    };
    struct Entry {
        double time = 0.0;
        Signals signals{};
        Run onward;  ///< from this entry to the end of the older run
    };
    [[nodiscard]] Run run_of(const Entry& entry) const noexcept;
    [[nodiscard]] static Run joined(const Run& a, const Run& b) noexcept;

    [[nodiscard]] Entry& entry(std::size_t i) noexcept { return ring_[(first_ + i) % ring_.size()]; }
    [[nodiscard]] const Entry& entry(std::size_t i) const noexcept { return ring_[(first_ + i) % ring_.size()]; }
    void drop_oldest() noexcept;
    void judge() noexcept;
    [[nodiscard]] double slope(double from, double to, std::size_t signal) const noexcept;

    SteadyCriteria criteria_;
    double running_before_;
    double origin_ = 0.0;  ///< the first reading: a clock that counts from 1970 leaves few digits for a window
    double since_ = 0.0;   ///< the last start or change
    double last_ = 0.0;    ///< the latest reading, complete or not
    bool begun_ = false;
    std::vector<Entry> ring_;
    std::size_t first_ = 0, size_ = 0;
    std::size_t older_ = 0;  ///< of the older run, of which every entry knows its `onward`
    Run newer_;              ///< of the others
    SteadyWindow window_;
};

/// The earliest steady window of a series, or the last window and how long to wait.
struct SteadySearch {
    SteadyWindow window;
    Duration wait{0.0};
};

/// What a `SteadyWatch` says of a whole series: stops at the first steady window.
/// @param times     seconds, rising
/// @param changes   when the machine started, was changed, or was defrosting
/// @throws InputError as `SteadyWatch`, and for lists of unlike length
[[nodiscard]] SteadySearch steady_window(const std::vector<double>& times, const std::vector<Signals>& signals,
                                         const std::vector<double>& changes = {}, const SteadyCriteria& criteria = {},
                                         Duration running = Duration{0.0});

/// The period of a metering valve's swings in a series (of supply dry bulb, superheat or the like): the mean time from
/// one crest to the next, where a crest stands at least `least` above the troughs on both sides; 0 with fewer than
/// three crests.
[[nodiscard]] Duration valve_swing(const std::vector<double>& times, const std::vector<double>& readings, double least);

}  // namespace offnominal
