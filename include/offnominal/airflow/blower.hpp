/// @file
/// Blower tables: what a fan moves, and draws, against the static pressure outside its cabinet.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/grid.hpp"

namespace offnominal {

/// How a blower is driven, which decides what it does in thin air.
enum class BlowerMotor : std::uint8_t {
    unknown,
    fixed_speed,       ///< a speed tap: the fan law holds
    constant_torque,   ///< speeds up in thin air
    constant_airflow,  ///< corrects towards its set airflow, by an estimate made in standard air
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// Density of air over that of standard air (0.075 lb/ft3; vapour included): the fan law's sigma. Take it where the fan
/// breathes: return air in blow-through, air leaving the coil in draw-through.
[[nodiscard]] inline double fan_density_ratio(const air::State& at) noexcept {
    return air::si::density_moist(at.dry_bulb.si, at.humidity_ratio.si, at.pressure.si) / air::si::standard_density;
}

}  // namespace OFFNOMINAL_ISA

/// What a blower does at one external static pressure.
struct BlowerPoint {
    Airflow airflow;  ///< actual, at the density where the fan breathes
    Power power;      ///< electric
    /// The air is not standard air, and the motor is not known to follow the fan law that was used.
    bool law_assumed = false;
};

/// The page of one blower: for each tap (or profile) a row of external static pressures with actual airflow and power.
/// A place that is blank on the page, as past the limit of a constant-airflow motor, has no answer.
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
    };

    BlowerTable() = default;

    /// @throws InputError for no rows, two rows of one tap for one pressure, a pressure below zero, an airflow or a
    ///         power that is not positive.
    OFFNOMINAL_INLINE BlowerTable(std::vector<Row> rows, Basis basis) : basis_(std::move(basis)) {
        if (rows.empty()) throw InputError({}, "the blower table has no rows", {}, "tap, static, airflow, power");
        std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
            return a.tap != b.tap ? a.tap < b.tap : a.external_static.si < b.external_static.si;
        });
        for (std::size_t first = 0, last = 0; first < rows.size(); first = last) {
            std::vector<double> pressures, values;
            std::vector<Mark> marks;
            for (; last < rows.size() && rows[last].tap == rows[first].tap; ++last) {
                const Row& row = rows[last];
                check(row, pressures);
                pressures.push_back(row.external_static.si);
                values.insert(values.end(), {row.airflow.si, row.power.si});
                marks.push_back(row.mark);
            }
            taps_.push_back({rows[first].tap, Grid({Axis("external static", pressures)}, values, 2, marks)});
        }
    }

    [[nodiscard]] bool empty() const noexcept { return taps_.empty(); }
    [[nodiscard]] const Basis& basis() const noexcept { return basis_; }
    [[nodiscard]] std::vector<std::string> taps() const {
        std::vector<std::string> out;
        for (const Tap& tap : taps_) out.push_back(tap.name);
        return out;
    }
    /// The rows as they were given, by tap and rising pressure. Where one is blank its airflow and power are 0.
    [[nodiscard]] std::vector<Row> rows() const {
        std::vector<Row> out;
        for (const Tap& tap : taps_)
            for (std::size_t i = 0; i < tap.rows.nodes(); ++i) {
                Row row{tap.name, {tap.rows.breakpoints(0)[i]}, {0.0}, {0.0}, tap.rows.mark(i)};
                if (row.mark == Mark::printed) {
                    row.airflow = {tap.rows.value(i, 0)};
                    row.power = {tap.rows.value(i, 1)};
                }
                out.push_back(std::move(row));
            }
        return out;
    }
    [[nodiscard]] bool has_tap(std::string_view name) const noexcept { return find(name) != nullptr; }

    /// What tap `tap` does against a *measured* external static pressure, the components in `basis().includes` counted
    /// as the page counts them.
    ///
    /// By the fan law a fan at fixed speed moves the same volume in thin air, against a pressure and with a power in
    /// proportion to density: the page is entered at pressure / `density_ratio`, airflow is read as it stands, power is
    /// multiplied by `density_ratio`. (Fan laws: ASHRAE Handbook, HVAC Systems and Equipment, chapter Fans; from
    /// memory.)
    ///
    /// @param density_ratio  see `fan_density_ratio`; 1 in standard air
    /// @return Why::outside past the printed pressures, with the bounds in terms of the measured pressure; Why::blank
    /// or
    ///         Why::beyond_limit where the page has no number; Why::not_given for a tap that the page does not have.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<BlowerPoint> at(std::string_view tap, Pressure external_static,
                                                           double density_ratio) const noexcept {
        const double sigma = density_ratio;
        const Tap* found_tap = find(tap);
        if (found_tap == nullptr) return Reason{Why::not_given, About::external_static, -1, -1, 0, 0, 0};
        if (!std::isfinite(external_static.si) || !std::isfinite(sigma) || !(sigma > 0.0))
            return Reason{Why::not_finite, About::external_static, -1, -1, 0, 0, 0};
        const double point[1] = {external_static.si / sigma};
        const auto found = found_tap->rows.at(point);
        if (!found) {
            Reason reason = found.reason();
            reason.about = About::external_static;
            if (reason.why == Why::outside) {
                reason.value *= sigma;
                reason.lower *= sigma;
                reason.upper *= sigma;
            }
            return reason;
        }
        return BlowerPoint{
            {found->value[0]}, {found->value[1] * sigma}, sigma != 1.0 && basis_.motor != BlowerMotor::fixed_speed};
    }

   private:
    struct Tap {
        std::string name;
        Grid rows;
    };

    [[nodiscard]] const Tap* find(std::string_view name) const noexcept {
        for (const Tap& tap : taps_)
            if (tap.name == name) return &tap;
        return nullptr;
    }

    static void check(const Row& row, const std::vector<double>& pressures) {
        const auto refuse = [&](const char* problem, const char* accepted) {
            throw InputError({}, std::string("tap ") + row.tap + " of the blower table: " + problem, {}, accepted);
        };
        if (!(row.external_static.si >= 0.0)) refuse("an external static pressure below zero", "zero or more");
        if (!pressures.empty() && pressures.back() == row.external_static.si)
            refuse("two rows for the same external static pressure", "one row");
        if (row.mark != Mark::printed) return;
        if (!(row.airflow.si > 0.0))
            refuse("an airflow that is not positive", "an airflow, or - where the page is blank");
        if (!(row.power.si > 0.0)) refuse("a power that is not positive", "a power, or - where the page is blank");
    }

    std::vector<Tap> taps_;
    Basis basis_;
};

}  // namespace offnominal
OFFNOMINAL_EXACT_END
