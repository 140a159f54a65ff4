/// @file
/// Elevation: the maker's factor at equal *mass* flow, or the stated assumption where the maker prints none.
///
/// A page is entered with standard airflow, that is with mass flow. A factor printed for equal *volume* flow already
/// holds the thinner air and would count it twice, so such a table is not accepted (files refuse it by name).
#pragma once

#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/derates/line_set.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// A maker's elevation factors at equal mass flow.
class AltitudeTable {
   public:
    struct Row {
        Length elevation;
        double total = 1.0;
        double power = 1.0;
    };

    AltitudeTable() = default;
    /// @throws InputError for fewer than two rows or rows not in rising order.
    OFFNOMINAL_INLINE explicit AltitudeTable(const std::vector<Row>& rows) : grid_(build(rows)) {}

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
    OFFNOMINAL_INLINE static Grid build(const std::vector<Row>& rows) {
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
/// Relative standard uncertainty of total where no altitude factor is published: 2 % at a pressure ratio of 0.83 (5,000
/// ft), in proportion below and above. Common practice, no source (3 to 5 % at coverage factor 2).
[[nodiscard]] constexpr double altitude_uncertainty(double pressure_ratio) noexcept {
    const double thin = pressure_ratio < 1.0 ? 1.0 - pressure_ratio : pressure_ratio - 1.0;
    return 0.02 * thin / (1.0 - 0.8321);
}
}  // namespace OFFNOMINAL_ISA
}  // namespace derates

}  // namespace offnominal
OFFNOMINAL_EXACT_END
