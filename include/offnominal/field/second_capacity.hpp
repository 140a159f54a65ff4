/// @file
/// A second capacity, by a method that does not share the first one's errors: refrigerant flow times enthalpy
/// difference, the heat that the outdoor unit rejects less its power, or the water that leaves the coil. Two methods
/// that agree within 6 % prove each other (ANSI/ASHRAE 37; AHRI 210/240 and 10 CFR 430 subpart B appendix M1 ask for
/// the same; the figure and that it is a share of the first method's are from memory).
///
/// Each input carries its standard uncertainty; what a rise of it by that much does to the capacity adds in quadrature
/// (JCGM 100:2008, 5.1.2): the inputs of one method here are read by different instruments. State limits as a
/// rectangular distribution does, divided by the square root of 3 (4.3.7).
///
/// Compiled: link `offnominal::core`.
#pragma once

#include <cstdint>
#include <limits>
#include <string>

#include "offnominal/air.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/measured.hpp"
#include "offnominal/ratings/basis.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

/// How a second capacity was found.
enum class SecondMethod : std::uint8_t { refrigerant, condenser, condensate };
template <>
inline constexpr Word<SecondMethod> words_of<SecondMethod>[] = {{SecondMethod::refrigerant, "refrigerant"},
                                                                {SecondMethod::condenser, "condenser"},
                                                                {SecondMethod::condensate, "condensate"}};

/// Refrigerant enthalpy method, in cooling and in heating. Enthalpies are the caller's, of pressure and temperature at
/// the indoor coil; only their difference counts, so any zero will do.
struct RefrigerantReadings {
    Measured<Dimension::mass_flow> flow;  ///< of refrigerant
    Measured<Dimension::specific_enthalpy> liquid,
        vapour;  ///< entering and leaving the indoor coil; in heating the other way
};

/// Condenser balance, of cooling: what the outdoor air takes away is what the indoor coil took up and the power that
/// drove it. A machine that heats takes water or frost from the outdoor air, which its dry bulbs do not tell.
struct CondenserReadings {
    Measured<Dimension::temperature> entering_dry_bulb, leaving_dry_bulb;  ///< of the outdoor air
    /// Of the entering air, taken as exact: ten points of it move the capacity by 0.3 %.
    air::Humidity humidity = air::wet_bulb(Temperature{std::numeric_limits<double>::quiet_NaN()});
    /// `return_air` is the air that enters, `supply_air` the air that leaves. The fan breathes what leaves the coil:
    /// `fan` is `supply_air`.
    AirflowReading airflow{};
    double airflow_standard =
        std::numeric_limits<double>::quiet_NaN();  ///< standard uncertainty, in the unit of `airflow`
    /// Of the outdoor unit, whose air carries its fan's heat too, for the coil's capacity; of the whole system for that
    /// of coil and fan.
    Measured<Dimension::power> power;
    PowerBasis power_of = PowerBasis::unknown;
};

/// Condensate, weighed over a time. The coil must have been wet and steady from long before: it holds water of its own.
struct CondensateReadings {
    double mass = std::numeric_limits<double>::quiet_NaN();           ///< kg
    double mass_standard = std::numeric_limits<double>::quiet_NaN();  ///< kg: scale, and what stays in pan and hose
    Measured<Dimension::duration> time;
};

/// A capacity by a second method.
struct SecondCapacity {
    SecondMethod method = SecondMethod::refrigerant;
    Boundary boundary = Boundary::coil;  ///< what it is the capacity of
    Power total_capacity;
    /// Standard uncertainty; by condensate that of the water alone, whose latent capacity stands beside the air's own
    /// sensible.
    Power total_u;
};

/// @return the capacity of the coil (gross)
/// @throws InputError where a number is missing or cannot be
[[nodiscard]] SecondCapacity capacity_by_refrigerant(const RefrigerantReadings& readings);

/// @return the capacity of the coil, or of coil and fan, as `power_of` says
/// @throws InputError where a number is missing or cannot be; Refused where the air cannot be
[[nodiscard]] SecondCapacity capacity_by_condenser(const CondenserReadings& readings, const Site& site);

/// @param delivered  what the air gave up; the water that was weighed takes the place of what its humidities tell
/// @param boundary  of `delivered`
/// @throws InputError where a number is missing or cannot be, or the coil was dry
[[nodiscard]] SecondCapacity capacity_by_condensate(const CondensateReadings& readings, const Delivered& delivered,
                                                    Boundary boundary);

/// How far two methods may be apart, as a share of the first (ANSI/ASHRAE 37, from memory).
inline constexpr double two_methods_agree = 0.06;

enum class Agreement : std::uint8_t {
    agrees,       ///< within 6 %
    unclear,      ///< further apart, but no further than twice the standard uncertainty of their difference
    contradicts,  ///< further apart than that: one of the two is wrong
};
template <>
inline constexpr Word<Agreement> words_of<Agreement>[] = {
    {Agreement::agrees, "agrees"}, {Agreement::unclear, "unclear"}, {Agreement::contradicts, "contradicts"}};

/// A second capacity beside the air's.
struct TwoMethods {
    Agreement agreement = Agreement::unclear;
    double difference = 0.0;    ///< (second - first) / first
    double difference_u = 0.0;  ///< its standard uncertainty
    double probability = 0.0;   ///< that the true capacities are within 6 %, from the two readings alone
};

/// Holds a second capacity against the air's at one boundary.
///
/// @param fan_power  indoor fan, whose heat is the difference between the two boundaries, taken from cooling and added
///                   to heating; needed where they are not alike
/// @param total_u  standard uncertainty of the air's total; beside condensate of its latent alone, since both share the
///                 sensible
/// @throws InputError where a number is missing or cannot be, or nothing was delivered
[[nodiscard]] TwoMethods compare(const Delivered& delivered, Boundary boundary, Power total_u,
                                 const SecondCapacity& second,
                                 Power fan_power = Power{std::numeric_limits<double>::quiet_NaN()});

}  // namespace offnominal
