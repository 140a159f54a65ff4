/// @file
/// Elevation: the maker's factors at equal *mass* flow, or a stated correction where the maker prints none.
///
/// Three things get called an altitude factor (`AltitudeFactor`). A page is entered with standard airflow, that is with
/// mass flow, so factors at equal mass flow are what is missing. Those at equal volume flow hold the lighter air over
/// the coil a second time, and a density ratio is no capacity at all: neither is accepted. Factors at equal volume flow
/// are not converted either: what less air costs would have to be divided out of them, 1.8 to 3.6 % at 5,000 ft by the
/// usual exponents of airflow (0.1 to 0.2; common practice, no source) and more on dry rows, and they do not say at
/// which airflow and air they hold. Whoever knows that can divide by what the page itself gives; the complaint says
/// how.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/derates/line_set.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// What a printed altitude factor is. Only the first derates a page that is entered with standard airflow.
enum class AltitudeFactor : std::uint8_t {
    equal_mass,    ///< capacity over that at sea level at equal mass flow, that is at equal standard airflow
    equal_volume,  ///< the same at equal actual airflow: it holds what lighter air takes from the coil too
    density,       ///< density of air over standard density: of fans and of airflow, not of capacity
};
template <>
inline constexpr Word<AltitudeFactor> words_of<AltitudeFactor>[] = {
    {AltitudeFactor::equal_mass, "mass"},
    {AltitudeFactor::equal_volume, "volume"},
    {AltitudeFactor::density, "density"},
};

/// A maker's elevation factors at equal mass flow.
class AltitudeTable {
   public:
    struct Row {
        Length elevation;
        double total = 1.0;
        double power = 1.0;
    };

    AltitudeTable() = default;
    /// @throws InputError for fewer than two rows or rows not in rising order; for factors that are not at equal mass
    /// flow, or that are not what they are said to be: totals that follow the density of air.
    OFFNOMINAL_INLINE explicit AltitudeTable(const std::vector<Row>& rows,
                                             AltitudeFactor means = AltitudeFactor::equal_mass)
        : grid_(build(rows, means)) {}

    [[nodiscard]] bool empty() const noexcept { return !grid_; }
    /// The rows as they were given.
    [[nodiscard]] std::vector<Row> rows() const {
        std::vector<Row> out;
        for (std::size_t i = 0; !empty() && i < grid_->nodes(); ++i)
            out.push_back({Length{grid_->breakpoints(0)[i]}, grid_->value(i, 0), grid_->value(i, 1)});
        return out;
    }

    /// Factors at an elevation in m, or Why::outside. An elevation that comes from a barometer alone lies below sea
    /// level at the sea on a fine day: then the first row holds down to where the standard atmosphere's pressure is 2 %
    /// above the row's own (from 0 ft down to -545 ft). Its factors are there for thin air; what is left out is 0.2 %
    /// for 4 % in 5,000 ft.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<Factors> at(double elevation, bool by_barometer = false) const noexcept {
        if (!grid_) return Reason{Why::not_given, About::elevation, -1, -1, 0, 0, 0};
        const double first = grid_->breakpoints(0).front();
        const bool held = by_barometer && elevation < first &&
                          air::si::pressure_at_elevation(elevation) <= 1.02 * air::si::pressure_at_elevation(first);
        const double point[1] = {held ? first : elevation};
        const auto found = grid_->at(point);
        if (!found) {
            Reason reason = found.reason();
            reason.about = About::elevation;
            return reason;
        }
        return Factors{found->value[0], found->value[1]};
    }

   private:
    /// @throws InputError for factors that a page may not be derated by, as said or by their size
    OFFNOMINAL_INLINE static void check(const std::vector<Row>& rows, AltitudeFactor means) {
        const std::string accepted =
            "mass, with factors printed for equal mass flow (standard airflow); where none are printed, leave "
            "the table out: a stated correction takes its place";
        if (means == AltitudeFactor::equal_volume)
            detail::raise(InputError(
                {},
                "altitude: factors for equal volume flow: a page is entered with standard airflow, which is "
                "a mass flow, so thin air would count twice",
                std::string(name(means)),
                accepted + "; or mass, with each factor divided by what less air does on the page itself: its "
                           "total at the density of that elevation over standard density times the rated "
                           "airflow, over its total at the rated airflow"));
        if (means != AltitudeFactor::equal_mass)
            detail::raise(
                InputError({},
                           "altitude: the density of air over standard density is no factor of capacity: it turns "
                           "actual airflow into standard airflow, which is done already, so thin air would count twice",
                           std::string(name(means)), accepted));
        for (const Row& row : rows) {
            const double p = air::si::pressure_at_elevation(row.elevation.si) / air::si::standard_pressure;
            // Density falls as pressure, or at the standard atmosphere's temperatures as its 0.81th power; no machine
            // loses half as much at equal mass flow (common practice, no source). Lower down they lie too close.
            const double density = air::elementary::exp(0.81 * air::elementary::log(p));
            if (p < 0.9 && row.total >= p - 0.02 && row.total <= density + 0.02)
                detail::raise(
                    InputError({},
                               "altitude: a total that falls as the density of air does: that is a density ratio, or a "
                               "factor at equal volume flow, and thin air would count twice",
                               std::to_string(row.total), accepted));
        }
    }
    OFFNOMINAL_INLINE static Grid build(const std::vector<Row>& rows, AltitudeFactor means) {
        check(rows, means);
        if (rows.size() < 2)
            detail::raise(InputError({}, "the altitude table needs two rows or more", {}, "elevation, total, power"));
        std::vector<double> elevations, values;
        for (const Row& row : rows) {
            for (const double f : {row.total, row.power})
                if (!(f >= 0.5 && f <= 1.5))
                    detail::raise(
                        InputError({}, "an altitude factor of " + std::to_string(f), {}, "a factor from 0.5 to 1.5"));
            elevations.push_back(row.elevation.si);
            for (const double value : {row.total, row.power}) values.push_back(value);
        }
        return Grid({Axis("elevation", elevations)}, values, 2);
    }

    std::optional<Grid> grid_;
};

namespace derates {
inline namespace OFFNOMINAL_ISA {
/// The stated correction, where no factor is printed: shares of total and power for each unit of pressure missing
/// from the page's, and their relative standard uncertainties.
///
/// A fan moves volume. At 5,000 ft (0.832 of standard pressure, U.S. Standard Atmosphere 1976) it moves 17 % less air
/// by mass; a finned coil's conductance falls with about the root of that, so what it exchanges per kelvin goes with
/// about the 0.76th power of pressure (1.5 transfer units; from memory), and an outdoor coil stands 15 % farther from
/// its air:
///  - In cooling a condenser 13 to 15 K above outdoor air stands 2.0 to 2.2 K higher, as if it were that much warmer:
///    printed pages lose 0.9 to 1.4 %/K of total and gain 1.5 to 2.7 %/K of power (common practice, no source). Against
///    it works the indoor coil: at one wet bulb thin air holds more heat per pound, so a wet coil takes 1 to 2 % more
///    per mass. A dry one does not, and the dry-coil rule at station pressure says so by itself.
///  - In heating the outdoor coil evaporates 0.5 to 1.2 K colder; pages lose 2 to 3 %/K of capacity, 0.7 to 1 %/K of
///  power.
/// Between them lie three unlike models of each (tests/expect/thin_air.cpp): with these shares they are off by more
/// than twice the uncertainty in under 5 % of cases from 2,000 to 8,000 ft, to either side. Of total in cooling the
/// uncertainty is the lower end of what common practice allows, 3 % at 5,000 ft and coverage factor 2.
struct ThinAir {
    double total, power, total_u, power_u;
};
[[nodiscard]] constexpr ThinAir thin_air(bool heating) noexcept {
    return heating ? ThinAir{-0.13, -0.07, 0.06, 0.04} : ThinAir{-0.09, 0.24, 0.09, 0.12};
}

/// The factors of the correction; exactly 1 at the page's own pressure, and above it as below.
[[nodiscard]] constexpr Factors altitude_effect(double pressure_ratio, bool heating) noexcept {
    const double thin = 1.0 - pressure_ratio;
    return {1.0 + thin_air(heating).total * thin, 1.0 + thin_air(heating).power * thin};
}

/// Relative standard uncertainty of total under the correction.
[[nodiscard]] constexpr double altitude_uncertainty(double pressure_ratio, bool heating) noexcept {
    return thin_air(heating).total_u * (pressure_ratio < 1.0 ? 1.0 - pressure_ratio : pressure_ratio - 1.0);
}
}  // namespace OFFNOMINAL_ISA
}  // namespace derates

}  // namespace offnominal
OFFNOMINAL_EXACT_END
