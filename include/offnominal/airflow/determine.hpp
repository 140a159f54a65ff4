/// @file
/// Airflow determined: by blower table, temperature rise, traverse, calibrated plate, a known drop, hood or condensate.
/// Each way gives a standard airflow with its standard uncertainty, source by source; several are tested against one
/// another and combined.
///
/// A reading carries its standard uncertainty; one without counts as a poor instrument's (a note), one of 0 as exact.
/// What a rise of it by that much does to the airflow is half of what moving it up and down does (JCGM 100:2008, 5.1.3
/// note 2). Readings by one instrument of one quantity are off together by a share of their variance (5.2).
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/airflow/blower.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/measured.hpp"

namespace offnominal {

/// What a reading was read by.
struct ReadBy {
    std::string instrument;        ///< two readings of one quantity by one instrument share errors; empty: by its own
    std::optional<double> shared;  ///< which share of the variance; `practice::shared_by_one_instrument` if not said
};

/// A reading, with its standard uncertainty and its instrument.
template <Dimension D>
struct InstrumentReading : Measured<D>, ReadBy {};

/// Readings of one quantity by one instrument: each with the same standard uncertainty, all off alike.
template <Dimension D>
struct InstrumentReadings : ReadBy {
    std::vector<Quantity<D>> values;
    Quantity<D> standard{std::numeric_limits<double>::quiet_NaN()};
};

/// A way to find an airflow.
enum class AirflowMethod : std::uint8_t {
    reading,
    blower,
    temperature_rise,
    traverse,
    flow_grid,
    drop,
    hood,
    condensate
};
/// Its word in files and Python, and in a sentence.
struct AirflowMethodWords {
    AirflowMethod value;
    std::string_view word, words;
};
template <>
inline constexpr AirflowMethodWords words_of<AirflowMethod>[] = {
    {AirflowMethod::reading, "reading", "an instrument's reading"},
    {AirflowMethod::blower, "blower", "the blower table"},
    {AirflowMethod::temperature_rise, "temperature_rise", "the temperature rise of known heat"},
    {AirflowMethod::traverse, "traverse", "a duct traverse"},
    {AirflowMethod::flow_grid, "flow_grid", "a calibrated plate"},
    {AirflowMethod::drop, "drop", "a known pressure drop"},
    {AirflowMethod::hood, "hood", "a hood over the registers"},
    {AirflowMethod::condensate, "condensate", "the condensate"}};

/// An airflow that an instrument shows.
struct AirflowShown {
    static constexpr AirflowMethod method = AirflowMethod::reading;
    InstrumentReading<Dimension::airflow> value;
    bool standard = false;  ///< standard airflow; else actual, where the air is
};

/// The drop of a component, at the airflow that ran: wet coil and dry coil are two.
struct ComponentDrop {
    Component component = Component::filter;
    InstrumentReading<Dimension::pressure> drop;
};

/// External static pressure against a blower table. (Fan laws: see `BlowerTable::at`.)
struct BlowerReading {
    static constexpr AirflowMethod method = AirflowMethod::blower;
    std::string tap;
    InstrumentReading<Dimension::pressure> external_static;
    /// What stood between the two places where it was read, beside the fan, in the words of the table's own `includes`:
    /// `filter, wet coil`. Where that differs from the table's, the component's drop is added (the table leaves it out)
    /// or subtracted (the table has it in). Where it is silent, it is taken as the table's, at a cost.
    std::string includes;
    std::vector<ComponentDrop> drops;
};

/// Known heat into the air, and how far it warms it: dry mass = heat / (enthalpy rise at one humidity). Electric heat:
/// everything the meter sees that ends in the air between the two probes, blower included where it stands between them.
/// Fuel: input x steady efficiency, and the blower's power beside it. The compressor must be off. (Energy balance; the
/// moist heat capacity of ASHRAE Handbook Fundamentals, chapter 1. The trade's cfm = 3.412 W / (1.08 rise) is the same
/// in standard air.)
struct TemperatureRise {
    static constexpr AirflowMethod method = AirflowMethod::temperature_rise;
    InstrumentReading<Dimension::power> power;       ///< electric, all of it into the air; 0 or not given beside fuel
    InstrumentReading<Dimension::power> input;       ///< of fuel
    InstrumentReading<Dimension::ratio> efficiency;  ///< steady, of that input
    InstrumentReading<Dimension::temperature> entering, leaving;
};

/// Velocity pressures at the points of a traverse: velocity = sqrt(2 p / density), and the mean of the *velocities*
/// times the area. (ANSI/ASHRAE 111, ISO 3966; V fpm = 1096.7 sqrt(p in. w.c. / (lb/ft3)).) The mean of the pressures
/// would read high.
struct Traverse {
    static constexpr AirflowMethod method = AirflowMethod::traverse;
    InstrumentReadings<Dimension::pressure> velocity_pressures;
    InstrumentReading<Dimension::length> width, height;  ///< inside, of a rectangular duct
    InstrumentReading<Dimension::length> diameter;       ///< inside, of a round one
};

/// A calibrated plate in the filter's place: airflow = rated x sqrt(drop / rated drop / sigma) x sqrt(static / static
/// with the plate in), the last because the plate takes airflow away. Supply static in both, at one place; leave both
/// out where the plate stays in. (Method of the calibrated plate, as common practice has it; no source.)
struct FlowGrid {
    static constexpr AirflowMethod method = AirflowMethod::flow_grid;
    InstrumentReading<Dimension::airflow> rated;        ///< at the rated drop in standard air
    InstrumentReading<Dimension::pressure> rated_drop;  ///< exact if not said
    InstrumentReading<Dimension::pressure> drop;
    InstrumentReading<Dimension::pressure> static_without, static_with;
};

/// The drop of a coil or filter against a point where airflow was known: airflow = known x (drop / known drop /
/// sigma)^exponent. The component must be as clean, and as wet, as it was. (Common practice, no source.)
struct KnownDrop {
    static constexpr AirflowMethod method = AirflowMethod::drop;
    InstrumentReading<Dimension::airflow> known;        ///< in standard air
    InstrumentReading<Dimension::pressure> known_drop;  ///< exact if not said
    InstrumentReading<Dimension::pressure> drop;
    InstrumentReading<Dimension::ratio> exponent;  ///< 0.55 if not given
};

/// A hood over every register, or every grille, of the system: their sum. What leaks from the ducts never reaches it.
struct Hood {
    static constexpr AirflowMethod method = AirflowMethod::hood;
    InstrumentReadings<Dimension::airflow> registers;  ///< actual, where the air is
};

/// Water that left the coil, and how much drier the air became: dry mass = water / (difference of humidity ratios). The
/// coil must have been wet and steady from long before. (Mass balance.)
struct CondensateBalance {
    static constexpr AirflowMethod method = AirflowMethod::condensate;
    InstrumentReading<Dimension::mass_flow> water;
    InstrumentReading<Dimension::humidity_ratio> entering, leaving;
};

/// One way as it was read.
using AirflowReadBy =
    std::variant<AirflowShown, BlowerReading, TemperatureRise, Traverse, FlowGrid, KnownDrop, Hood, CondensateBalance>;

/// The air where an airflow is determined: what the fan breathes, or what flows past the gauge.
struct FlowingAir {
    air::State state;
    /// Standard uncertainty of its density, as a share: pressure above all. Not stated: that of a pressure from the
    /// elevation alone.
    double density_u = std::numeric_limits<double>::quiet_NaN();
};

/// What one source of error does to an airflow: of two terms with one source, `shared` of the variance is in common.
struct AirflowTerm {
    std::string what;     ///< `static`, `density`, or the way itself
    double effect = 0.0;  ///< of a rise by its standard uncertainty, as a share of the airflow, with its sign
    std::string source;   ///< instrument and quantity, or `density`; empty: its own
    double shared = 0.0;
};

/// An airflow, and how it was found.
struct DeterminedAirflow {
    AirflowMethod method = AirflowMethod::reading;
    std::string by;           ///< such as the tap of a blower
    MassFlow mass_flow;       ///< dry air
    StandardAirflow airflow;  ///< by the dry pound
    Airflow actual;           ///< in the air where it was determined
    double u = 0.0;           ///< standard uncertainty, as a share
    std::vector<AirflowTerm> terms;
    std::optional<Power> power;  ///< of the fan, by a blower table
    Notes notes;
};

/// @param blower  of the system; only a blower reading asks for it
/// @throws InputError where a number is missing or cannot be; Refused where there is no answer, as by `BlowerTable::at`
[[nodiscard]] DeterminedAirflow airflow_by(const BlowerReading& reading, const BlowerTable& blower,
                                           const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const AirflowShown& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const TemperatureRise& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const Traverse& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const FlowGrid& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const KnownDrop& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const Hood& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const CondensateBalance& reading, const FlowingAir& air);
[[nodiscard]] DeterminedAirflow airflow_by(const AirflowReadBy& reading, const BlowerTable& blower,
                                           const FlowingAir& air);

/// How far from a wall, as a share of the inside dimension, the points of a traverse stand along one side or diameter.
enum class TraverseRule : std::uint8_t { equal_area, log_tchebycheff };
template <>
inline constexpr Word<TraverseRule> words_of<TraverseRule>[] = {{TraverseRule::equal_area, "equal_area"},
                                                                {TraverseRule::log_tchebycheff, "log_tchebycheff"}};
/// @param points  along one side of a rectangular duct, or one diameter of a round one
/// @throws InputError for a number of points that the rule has none for: equal areas 2 to 20, even in a round duct;
///         log-Tchebycheff 5, 6 or 7 along a side (under 30 in., to 36 in., above), 6, 8 or 10 along a diameter
[[nodiscard]] std::vector<double> traverse_points(TraverseRule rule, bool round, int points);

/// Several ways to find one airflow, held against one another.
struct CombinedAirflow {
    StandardAirflow airflow;
    MassFlow mass_flow;
    double u = 0.0;            ///< standard uncertainty, as a share; widened where they disagree
    double chi_squared = 0.0;  ///< about the combination; `degrees` degrees of freedom
    int degrees = 0;
    double chance = 1.0;          ///< of a chi-squared as large, were all of them right
    bool agree = true;            ///< the chance is 5 % or more
    std::size_t farthest = 0;     ///< which stands farthest from the combination, over its own uncertainty
    std::vector<double> weights;  ///< of each; they add up to 1
    Notes notes;
};

/// Combined in logarithms, since most errors are of gain, by inverse variance with their common parts
/// (`AirflowTerm::source`): generalised least squares. Disagreement by chi-squared is said (`agree`, a note) and widens
/// the uncertainty by the root of chi-squared over degrees of freedom (Birge, Phys. Rev. 40 (1932) 207, from memory).
/// @throws InputError for none, or for two that share every source of error
[[nodiscard]] CombinedAirflow combined(std::span<const DeterminedAirflow> ways);

/// Why a blower has no answer, with the taps that it has.
[[nodiscard]] std::string explain(const Reason& reason, const BlowerTable& blower, std::string_view tap,
                                  UnitSystem system = UnitSystem::both);

/// A determination as a text: the airflow, how it was found, and what it is uncertain by.
[[nodiscard]] std::string report(const DeterminedAirflow& determined, UnitSystem units);

}  // namespace offnominal
