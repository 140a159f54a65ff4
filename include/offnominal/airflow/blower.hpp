/// @file
/// Blower tables: what a fan moves, and draws, against the static pressure outside its cabinet. Compiled: link
/// `offnominal::core`.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/grid/grid.hpp"

namespace offnominal {

/// How a blower is driven, which decides what it does in thin air.
enum class BlowerMotor : std::uint8_t {
    unknown,
    fixed_speed,       ///< a speed tap: the fan law holds
    constant_torque,   ///< speeds up in thin air
    constant_airflow,  ///< corrects towards its set airflow, by an estimate made in standard air
};
template <>
inline constexpr Word<BlowerMotor> words_of<BlowerMotor>[] = {{BlowerMotor::unknown, "unknown"},
                                                              {BlowerMotor::fixed_speed, "fixed speed"},
                                                              {BlowerMotor::constant_torque, "constant torque"},
                                                              {BlowerMotor::constant_airflow, "constant airflow"}};

/// What may stand in the air's way beside the fan, inside the boundary that a static pressure is external to, or
/// outside.
enum class Component : std::uint8_t { filter, wet_coil, dry_coil, heater };
template <>
inline constexpr Word<Component> words_of<Component>[] = {{Component::filter, "filter"},
                                                          {Component::wet_coil, "wet coil"},
                                                          {Component::dry_coil, "dry coil"},
                                                          {Component::heater, "heater"}};

/// What a text such as `wet coil, no filter` says of a component; nothing where it is silent. A coil is either wet or
/// dry: a wet coil says no to a dry one, and `no coil` to both.
[[nodiscard]] std::optional<bool> says(std::string_view includes, Component component);
/// The first part of such a text that names no component, so that a slip does not pass for something said; empty if all
/// do. `coil` alone is either coil.
[[nodiscard]] std::string_view not_a_component(std::string_view includes);
inline constexpr const char* accepted_includes =
    "filter, wet coil, dry coil, coil, heater, each with or without `no`, separated by commas";

/// Density of air over that of standard air (0.075 lb/ft3; vapour included): the fan law's sigma. Take it where the fan
/// breathes: return air in blow-through, air leaving the coil in draw-through.
[[nodiscard]] double fan_density_ratio(const air::State& at) noexcept;

/// What a blower does at one external static pressure.
struct BlowerPoint {
    Airflow airflow;  ///< actual, at the density where the fan breathes
    Power power;      ///< electric
    /// The air is not standard air, and the motor is not known to follow the fan law that was used.
    bool law_assumed = false;
    /// What that costs: standard uncertainty of the airflow, as a share of it. 0 where the law holds.
    double law_u = 0.0;
};

/// What a duct system takes: one point of its curve, read in the air that flows. Elsewhere the static pressure goes
/// with a power of the airflow: 2 where fittings rule, less in smooth straight duct.
struct DuctCurve {
    Airflow airflow;
    Pressure external_static;
    double exponent = 2.0;
};

/// Where a blower and a duct system meet.
struct OperatingPoint {
    Pressure external_static;
    BlowerPoint blower;
};

/// The page of one blower: for each tap (or profile) a row of external static pressures with actual airflow and power.
/// A place that is blank on the page, as past the limit of a constant-airflow motor, has no answer.
///
/// From four printed pressures on, numbers lie on a monotone curve through the printed ones (piecewise cubic Hermite;
/// Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300; slopes at the ends by three points): it bends as a fan
/// does, and makes no hump that is not printed. Between fewer it is a straight line. A blank ends a curve.
class BlowerTable {
   public:
    struct Row {
        std::string tap;
        Pressure external_static;
        Airflow airflow;  ///< actual, in standard air
        Power power;
        Mark mark = Mark::printed;
    };

    /// What the page says of itself.
    struct Basis {
        BlowerMotor motor = BlowerMotor::unknown;
        std::string includes;       ///< components whose pressure drop the page holds already: `wet coil, no filter`
        bool standard_air = false;  ///< printed for standard air; if the page does not say, it is taken so
        std::optional<Pressure> greatest_static = std::nullopt;  ///< past which the maker allows no operation
    };

    BlowerTable() = default;

    /// Rows in any order.
    /// @throws InputError for `includes` of what is no component, no rows, two rows of one tap for one pressure, a
    /// pressure below zero, an airflow or a
    ///         power that is not positive, any of them past any fan, a greatest static pressure that is not above zero
    BlowerTable(std::vector<Row> rows, Basis basis);

    [[nodiscard]] bool empty() const noexcept { return taps_.empty(); }
    [[nodiscard]] const Basis& basis() const noexcept { return basis_; }
    [[nodiscard]] std::vector<std::string> taps() const;
    /// The rows as they were given, by tap and rising pressure. Where one is blank its airflow and power are 0.
    [[nodiscard]] std::vector<Row> rows() const;
    [[nodiscard]] bool has_tap(std::string_view name) const noexcept { return find(name) != nullptr; }

    /// What tap `tap` does against a *measured* external static pressure, the components in `basis().includes` counted
    /// as the page counts them.
    ///
    /// By the fan law a fan at fixed speed moves the same volume in thin air, against a pressure and with a power in
    /// proportion to density: the page is entered at pressure / `density_ratio`, airflow is read as it stands, power is
    /// multiplied by `density_ratio`. (Fan laws: ASHRAE Handbook, HVAC Systems and Equipment, chapter Fans; from
    /// memory.)
    ///
    /// A motor under control does otherwise. At constant torque a fan speeds up until it meets the same torque, which
    /// in thin air takes 1 / sqrt(sigma) times the speed and moves as much more volume; a control for constant airflow
    /// that goes by speed and torque, and takes the air for standard, holds the mass, 1 / sigma times the volume (both
    /// by the fan laws). How far a given control goes is not printed: the law's volume is told, and from it to the
    /// motor's own any is as likely (over the square root of 3: `BlowerPoint::law_u`). So it is with an unknown motor.
    ///
    /// @param density_ratio  see `fan_density_ratio`; 1 in standard air
    /// @return Why::outside past the printed pressures and Why::beyond_limit past the greatest static pressure, with
    ///         bounds in terms of the measured pressure; Why::blank or Why::beyond_limit where the page has no number;
    ///         Why::unknown_tap; Why::not_finite for what is no number, or a density ratio of no air (below 0.01,
    ///         above 100)
    [[nodiscard]] Answer<BlowerPoint> at(std::string_view tap, Pressure external_static, double density_ratio) const;

    /// Where tap `tap` and a duct system meet.
    /// @return Why::outside where they meet past the printed pressures, with the pressure that the duct would take
    ///         there; otherwise as `at`
    [[nodiscard]] Answer<OperatingPoint> at(std::string_view tap, const DuctCurve& duct, double density_ratio) const;

   private:
    struct Tap {
        std::string name;
        Grid rows;
    };

    [[nodiscard]] const Tap* find(std::string_view name) const noexcept;

    static void check(const Row& row, const std::vector<double>& pressures);

    std::vector<Tap> taps_;
    Basis basis_;
};

}  // namespace offnominal
