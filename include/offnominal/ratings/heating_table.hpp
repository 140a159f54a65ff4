/// @file
/// One page of heating ratings: a grid over outdoor dry bulb, standard airflow and entering dry bulb.
///
/// Inside, capacity is gross, without the indoor fan's heat: in heating a net page prints that heat *in*, so gross =
/// net less fan. Whether a page is instantaneous or integrated is not the page's to say but the key under which a
/// system holds it (`Frost`); nothing here turns the one into the other.
#pragma once

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/edges.hpp"
#include "offnominal/ratings/heating.hpp"
#include "offnominal/ratings/rating_table.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// The axes of a heating page, in the order of its nodes and of its grid.
enum class HeatingAxis : std::uint8_t { outdoor_dry_bulb, airflow, entering_dry_bulb };
inline constexpr std::size_t heating_axes = 3;
/// What they are among the axes of all pages.
inline constexpr std::array heating_page_axes{PageAxis::outdoor_dry_bulb, PageAxis::airflow,
                                              PageAxis::entering_dry_bulb};

/// What a heating page is turned into when it is checked.
struct BuiltHeating {
    Grid grid;                                     ///< gross capacity and power, W
    std::vector<Grid> extras;                      ///< one for each extra column
    std::array<double, heating_axes> curvature{};  ///< as `BuiltPage::curvature`
};

/// What a heating page says at one condition, gross, before any step.
struct HeatingReading {
    double capacity = 0.0;  ///< W
    double power = 0.0;     ///< W; 0 where the page prints none
    Footing footing = Footing::inside;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Checks one heating page and turns it into its grid; lives as long as the constructor that uses it.
class HeatingBuilder {
   public:
    HeatingBuilder(const HeatingBasis& basis, const HeatingPage& page)
        : basis_(basis), page_(page), axes_{page.outdoor_dry_bulb, page.airflow, page.entering_dry_bulb} {
        check_axes();
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) check_node(n);
        check_basis();
        for (const ExtraColumn& extra : page_.extras) check_extra(extra);
    }

    [[nodiscard]] BuiltHeating built() const {
        BuiltHeating out{grid(), {}, {}};
        for (const ExtraColumn& extra : page_.extras) out.extras.push_back(extra_grid(extra));
        for (std::size_t axis = 0; axis < heating_axes; ++axis) out.curvature[axis] = curvature(axis);
        return out;
    }

   private:
    [[noreturn]] static void refuse(const std::string& problem, const std::string& text, const std::string& accepted) {
        detail::raise(InputError({}, problem, text, accepted));
    }
    [[noreturn]] void refuse_node(std::size_t n, const std::string& problem, const std::string& accepted) const {
        detail::raise(
            InputError(n < page_.places.size() ? page_.places[n] : InputError::Place{}, problem, {}, accepted));
    }
    [[nodiscard]] std::size_t stride(std::size_t axis) const noexcept {
        std::size_t out = 1;
        while (++axis < heating_axes) out *= axes_[axis].size();
        return out;
    }
    [[nodiscard]] double airflow(std::size_t n) const noexcept {
        return page_.airflow[n / stride(1) % page_.airflow.size()];
    }
    /// The fan's heat in a printed capacity, W.
    [[nodiscard]] double fan(std::size_t n) const noexcept {
        return basis_.capacity == CapacityBasis::net ? basis_.fan.heat(airflow(n)) : 0.0;
    }

    void check_axes() const {
        std::size_t expected = 1;
        for (std::size_t axis = 0; axis < heating_axes; ++axis) {
            if (axes_[axis].empty())
                refuse("a heating page without one of its axes", {},
                       "breakpoints of " + axis_name(heating_page_axes[axis]) +
                           (axis == 2 ? ", or printed_at: 70 degF" : ""));
            expected *= axes_[axis].size();
        }
        if (page_.nodes.size() != expected)
            refuse("the heating page has " + std::to_string(page_.nodes.size()) + " nodes", {},
                   std::to_string(expected) + " nodes, one for each combination of the axes");
        if (!(*std::min_element(page_.airflow.begin(), page_.airflow.end()) > 0.0))
            refuse("an airflow that is not above zero", {}, "standard airflow, such as 1000 scfm");
    }

    /// Bounds for slips of unit or of a decimal place (3.412, 12, 1000, 10): 100 Btu/h per cfm would warm air by
    /// 93 delta_degF. Wide, for small speeds in the cold (common practice, no source).
    void check_node(std::size_t n) const {
        const HeatingNode& node = page_.nodes[n];
        if (node.mark == Mark::dry || node.mark == Mark::inferred)
            refuse_node(n, "a heating node marked dry or inferred", "printed, blank or beyond_limit");
        if (node.mark != Mark::printed) return;
        constexpr double per_flow = units::Btu_h.to_si(1.0) / units::cfm.to_si(1.0);
        const double flow = airflow(n);
        if (!(node.capacity > 0.0 && real::is_finite(node.capacity)))
            refuse_node(n, "heating capacity must be positive", "a capacity, or - where the page is blank");
        if (node.capacity < 3.0 * per_flow * flow || node.capacity > 100.0 * per_flow * flow)
            refuse_node(n, "heating capacity does not fit the airflow: wrong unit or a digit too many or too few?",
                        "3 to 100 Btu/h per cfm, such as 34 MBh at 1000 scfm");
        if (!(node.capacity - fan(n) > 0.0))
            refuse_node(n, "the fan of the net page gives all of the heating capacity", "a capacity above the fan's");
        if (!page_.has_power) return;
        if (!(node.power > 0.0 && real::is_finite(node.power))) refuse_node(n, "power must be positive", "a power");
        if (node.power > node.capacity)
            refuse_node(n, "power above heating capacity: columns exchanged, or a wrong unit?",
                        "at most the capacity in the same unit, such as 2.61 kW for 34 MBh");
        if (node.power < 0.02 * node.capacity)
            refuse_node(n, "power does not fit the heating capacity: wrong unit or a digit too few?",
                        "2 to 100 % of capacity in the same unit, such as 2.61 kW for 34 MBh");
    }

    void check_basis() const {
        const auto number = [](double value) { return number_text(value); };
        if (basis_.capacity == CapacityBasis::net && basis_.fan.power.si == 0.0 && basis_.fan.per_airflow.si == 0.0)
            refuse("a net table must name its fan", {}, "fan: 365 W per 1000 scfm, or fan: 420 W");
        if (!(basis_.fan.power.si >= 0.0 && basis_.fan.per_airflow.si >= 0.0))
            refuse("the table's fan", number(basis_.fan.power.si + basis_.fan.per_airflow.si), "a power above zero");
        if (basis_.printed_at &&
            std::find_if(page_.entering_dry_bulb.begin(), page_.entering_dry_bulb.end(), [this](double x) {
                return std::abs(x - basis_.printed_at->si) <= 1e-9;
            }) == page_.entering_dry_bulb.end())
            refuse("the entering dry bulb a heating page is printed at is not one of its own",
                   number(basis_.printed_at->si), "one of the page's entering dry bulbs, degC");
        if (const auto& rh = basis_.outdoor_relative_humidity; rh && !(*rh > 0.0 && *rh <= 1.0))
            refuse("the outdoor relative humidity of a heating page", number(*rh), "a fraction above 0, such as 75 %");
        if (basis_.elevation && !(basis_.elevation->si >= -500.0 && basis_.elevation->si <= 5000.0))
            refuse("the page's elevation", number(basis_.elevation->si), "-500 to 5000 m");
        if (basis_.tolerance && !(*basis_.tolerance >= 0.0 && *basis_.tolerance < 0.5))
            refuse("the maker's tolerance", number(*basis_.tolerance), "0 to 50 %, such as 5 %");
    }

    void check_extra(const ExtraColumn& extra) const {
        if (extra.values.size() != page_.nodes.size())
            refuse("column '" + extra.name + "' has " + std::to_string(extra.values.size()) + " values", {},
                   "one for each node, NaN where blank");
        if (std::any_of(extra.values.begin(), extra.values.end(), [](double v) { return real::is_infinite(v); }))
            refuse("column '" + extra.name + "' holds an infinity", {}, "finite numbers, or NaN");
    }

    [[nodiscard]] std::vector<Axis> grid_axes() const {
        std::vector<Axis> out;
        for (std::size_t axis = 0; axis < heating_axes; ++axis)
            out.push_back(Axis(axis_name(heating_page_axes[axis]), axes_[axis]));
        return out;
    }

    [[nodiscard]] Grid grid() const {
        std::vector<double> values;
        std::vector<Mark> marks;
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            const HeatingNode& node = page_.nodes[n];
            for (const double value : {node.capacity - fan(n), page_.has_power ? node.power : 0.0})
                values.push_back(value);
            marks.push_back(node.mark);
        }
        return Grid(grid_axes(), std::move(values), 2, std::move(marks));
    }

    [[nodiscard]] Grid extra_grid(const ExtraColumn& extra) const {
        std::vector<Mark> marks;
        for (std::size_t n = 0; n < extra.values.size(); ++n)
            marks.push_back(page_.nodes[n].mark != Mark::printed ? page_.nodes[n].mark
                            : real::is_nan(extra.values[n])      ? Mark::blank
                                                                 : Mark::printed);
        return Grid(grid_axes(), extra.values, 1, std::move(marks));
    }

    /// Root mean square of second derivative over capacity along one axis.
    [[nodiscard]] double curvature(std::size_t axis) const noexcept {
        const auto& x = axes_[axis];
        const std::size_t step = stride(axis);
        double sum = 0.0;
        int count = 0;
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            const std::size_t i = n / step % x.size();
            if (i == 0 || i + 1 >= x.size()) continue;
            const HeatingNode &low = page_.nodes[n - step], &mid = page_.nodes[n], &high = page_.nodes[n + step];
            if (low.mark != Mark::printed || mid.mark != Mark::printed || high.mark != Mark::printed) continue;
            const double left = (mid.capacity - low.capacity) / (x[i] - x[i - 1]);
            const double right = (high.capacity - mid.capacity) / (x[i + 1] - x[i]);
            const double second = 2.0 * (right - left) / (x[i + 1] - x[i - 1]) / mid.capacity;
            sum += second * second;
            ++count;
        }
        return count > 0 ? real::sqrt(sum / count) : 0.0;
    }

    const HeatingBasis& basis_;
    const HeatingPage& page_;
    std::array<std::vector<double>, heating_axes> axes_;
};

/// The page with all of its steps.
[[nodiscard]] inline HeatingPage with_steps(HeatingPage page) {
    give_step(page.capacity_step, page.nodes, &HeatingNode::capacity);
    give_step(page.power_step, page.nodes, &HeatingNode::power);
    return page;
}

[[nodiscard]] inline BuiltHeating build_heating(const HeatingBasis& basis, const HeatingPage& page) {
    return HeatingBuilder(basis, page).built();
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// A checked heating page, immutable. `read_heating` looks things up in it.
class HeatingTable {
   public:
    /// @throws InputError naming the node when the page contradicts itself: sizes that do not match, a capacity or
    /// power
    ///         that is not positive, power above capacity, slips of unit, a net page without a fan, an entering dry
    ///         bulb of the basis that is none of the page's.
    OFFNOMINAL_INLINE HeatingTable(HeatingBasis basis, HeatingPage page)
        : basis_(basis), page_(detail::with_steps(std::move(page))), built_(detail::build_heating(basis_, page_)) {}

    [[nodiscard]] const HeatingBasis& basis() const noexcept { return basis_; }
    [[nodiscard]] const HeatingPage& page() const noexcept { return page_; }
    [[nodiscard]] const Grid& grid() const noexcept { return built_.grid; }
    [[nodiscard]] const BuiltHeating& built() const noexcept { return built_; }
    [[nodiscard]] std::span<const double> breakpoints(HeatingAxis axis) const noexcept {
        return built_.grid.breakpoints(static_cast<std::size_t>(axis));
    }

   private:
    HeatingBasis basis_;
    HeatingPage page_;
    BuiltHeating built_;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Where a heating page is entered: outdoor dry bulb (degC), airflow (m3/s of the page's own standard air), entering
/// dry bulb (degC); a value at a breakpoint is that breakpoint.
[[nodiscard]] inline std::array<double, heating_axes> heating_point(const HeatingTable& table, double odb, double flow,
                                                                    double edb) noexcept {
    return {snapped(odb, table.breakpoints(HeatingAxis::outdoor_dry_bulb)),
            snapped(flow, table.breakpoints(HeatingAxis::airflow)),
            snapped(edb, table.breakpoints(HeatingAxis::entering_dry_bulb))};
}

/// A grid's reason in this floor's words.
[[nodiscard]] inline Reason heating_reason(Reason reason) noexcept {
    if (reason.about == About::axis && reason.axis >= 0 && reason.axis < 3)
        reason.about = about(heating_page_axes[static_cast<std::size_t>(reason.axis)], HumidityAxis::wet_bulb);
    return reason;
}

/// Reads a heating page.
[[nodiscard]] inline Answer<HeatingReading> read_heating(const HeatingTable& table, double odb, double flow, double edb,
                                                         Edges outside) noexcept {
    const auto found = read_grid(table.grid(), heating_point(table, odb, flow, edb), outside);
    if (!found) return heating_reason(found.reason());
    return HeatingReading{found->value[0], found->value[1], found->footing};
}

/// The fan's heat in the capacity that a page prints where it is read, between its nodes; 0 on a gross page. To be
/// asked where `read_heating` has an answer.
[[nodiscard]] inline double printed_fan(const HeatingTable& table, double odb, double flow, double edb,
                                        Edges outside) noexcept {
    if (table.basis().capacity != CapacityBasis::net) return 0.0;
    const GridView grid = with_outside(table.grid().view(), outside);
    const auto cell = grid.cell(heating_point(table, odb, flow, edb));
    double out = 0.0;
    for (std::size_t i = 0; cell && i < cell->corners(); ++i) {
        const Corner corner = cell->corner(i);
        const auto n = static_cast<std::size_t>(corner.node);
        out += corner.weight *
               table.basis().fan.heat(grid.breakpoints(1)[n / grid.stride(1) % grid.breakpoints(1).size()]);
    }
    return out;
}

/// Reads one extra column of a heating page.
[[nodiscard]] inline Answer<double> read_heating_extra(const HeatingTable& table, std::size_t column, double odb,
                                                       double flow, double edb) noexcept {
    const auto found = table.built().extras[column].at(heating_point(table, odb, flow, edb));
    if (!found) return heating_reason(found.reason());
    return found->value[0];
}

/// The page's own uncertainty where it was read; `capacity` (W) is what was read there. Nodes along an axis that a
/// multiplier row made are one printed number, rounded once.
[[nodiscard]] inline PageUncertainty heating_uncertainty(const HeatingTable& table, double odb, double flow, double edb,
                                                         double capacity) noexcept {
    const HeatingPage& page = table.page();
    const auto point = heating_point(table, odb, flow, edb);
    const std::array<bool, heating_axes> multiplied{false, page.airflow_multiplied, page.dry_bulb_multiplied};
    PageUncertainty out;
    double squares = 1.0;  // sum over corners of the weight squared, which factors by axis
    for (std::size_t axis = 0; axis < heating_axes; ++axis) {
        const auto x = table.grid().breakpoints(axis);
        if (x.size() < 2) continue;
        std::size_t i = 0;
        while (i + 2 < x.size() && point[axis] >= x[i + 1]) ++i;
        const double width = x[i + 1] - x[i];
        const double t = std::clamp((point[axis] - x[i]) / width, 0.0, 1.0);
        if (!multiplied[axis]) squares *= t * t + (1.0 - t) * (1.0 - t);
        if (x.size() < 3 && t > 0.0 && t < 1.0) out.curvature_known = false;
        out.interpolation += 0.5 * t * (1.0 - t) * width * width * table.built().curvature[axis] * capacity;
    }
    out.resolution = page.capacity_step * real::sqrt(squares / 12.0);
    return out;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

}  // namespace offnominal
OFFNOMINAL_EXACT_END
