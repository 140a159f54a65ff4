/// @file
/// How a printed page is checked and turned into its grid. Runs once, when a table is built; may throw.
/// Included by rating_table.hpp alone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/ratings/page.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Builds one page; lives as long as the constructor that uses it.
class PageBuilder {
   public:
    PageBuilder(const Basis& basis, const PrintedPage& page) : basis_(basis), page_(page) { check(); }
    [[nodiscard]] BuiltPage built() const { return {grid(), curvature()}; }

   private:
    [[nodiscard]] std::size_t number(std::size_t i, std::size_t j, std::size_t k) const noexcept {
        return (i * page_.airflow.size() + j) * page_.entering_wet_bulb.size() + k;
    }
    [[nodiscard]] bool has_dry() const noexcept {
        return std::any_of(page_.nodes.begin(), page_.nodes.end(),
                           [](const PrintedNode& n) { return n.mark == Mark::dry; });
    }
    [[noreturn]] void refuse_node(std::size_t node, const std::string& problem, const std::string& accepted) const {
        throw InputError(node < page_.places.size() ? page_.places[node] : InputError::Place{}, problem, {}, accepted);
    }

    /// A node without the fan of a net page: the table's own fan added back.
    [[nodiscard]] PrintedNode gross(std::size_t i, std::size_t j, std::size_t k) const noexcept {
        PrintedNode node = page_.nodes[number(i, j, k)];
        const double fan = basis_.capacity == CapacityBasis::net ? basis_.fan.heat(page_.airflow[j]) : 0.0;
        node.total += fan;
        node.sensible += fan;
        return node;
    }

    /// The wet line of one outdoor dry bulb and airflow: through its lowest wet node, with a slope for each output.
    struct WetLine {
        double wet_bulb;
        PrintedNode node;
        double total_slope, sensible_slope, power_slope;  // per K of wet bulb

        [[nodiscard]] PrintedNode at(double x) const noexcept {
            PrintedNode out = node;
            out.total += total_slope * (x - wet_bulb);
            out.sensible += sensible_slope * (x - wet_bulb);
            out.power += power_slope * (x - wet_bulb);
            return out;
        }
    };

    /// A node of a line on the way down: its total, sensible less total, and the total where the two meet at or above
    /// it.
    struct Crossing {
        double total, excess, knee_total;
    };

    void check() const;
    void check_units() const;
    void check_dry_below_wet(std::size_t i, std::size_t j) const;
    [[nodiscard]] std::optional<WetLine> own_line(std::size_t i, std::size_t j) const;
    [[nodiscard]] std::optional<WetLine> wet_line(std::size_t i, std::size_t j) const;
    [[nodiscard]] Grid grid() const;
    [[nodiscard]] std::array<double, 3> curvature() const noexcept;

    const Basis& basis_;
    const PrintedPage& page_;
};

inline void PageBuilder::check() const {
    const std::size_t expected = page_.outdoor_dry_bulb.size() * page_.airflow.size() * page_.entering_wet_bulb.size();
    if (page_.nodes.size() != expected)
        throw InputError({}, "the page has " + std::to_string(page_.nodes.size()) + " nodes", {},
                         std::to_string(expected) + " nodes, one for each combination of the axes");
    for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
        const PrintedNode& node = page_.nodes[n];
        if (node.mark == Mark::blank || node.mark == Mark::beyond_limit) continue;
        if (!(node.total > 0.0))
            refuse_node(n, "total capacity must be positive", "a capacity, or - where the page is blank");
        if (page_.has_sensible && !(node.sensible > 0.0))
            refuse_node(n, "sensible capacity must be positive", "a capacity");
        if (page_.has_sensible && node.sensible > node.total)
            refuse_node(n, "sensible capacity above total capacity", "sensible at most total");
        if (page_.has_sensible && (node.mark == Mark::dry) != (node.sensible == node.total))
            refuse_node(n, "a node is dry exactly where sensible equals total",
                        "30.8 30.8d, or a sensible below total");
        if (page_.has_power && !(node.power > 0.0)) refuse_node(n, "power must be positive", "a power");
        if (page_.has_bypass && !(node.bypass > 0.0 && node.bypass < 1.0))
            refuse_node(n, "bypass factor must lie between 0 and 1", "0.03 to 0.30 for usual coils");
    }
    check_units();
    if (basis_.capacity == CapacityBasis::net && basis_.fan.power.si == 0.0 && basis_.fan.per_airflow.si == 0.0)
        throw InputError({}, "a net table must name its fan", {}, "fan: 365 W per 1000 scfm, or fan: 420 W");
    if (page_.has_sensible && !basis_.sensible_at)
        throw InputError({}, "the sensible column needs the entering dry bulb it is printed for", {},
                         "sensible_at: 80 degF");
}

/// Slips of unit or of a decimal place (3.412, 12, 1000, 10) that no air conditioner could explain. Wide bounds, for
/// splits and small packaged units (common practice, no source).
inline void PageBuilder::check_units() const {
    constexpr double least = units::Btu_h.to_si(10.0) / units::cfm.to_si(1.0);
    constexpr double greatest = units::Btu_h.to_si(150.0) / units::cfm.to_si(1.0);
    for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
        const PrintedNode& node = page_.nodes[n];
        if (node.mark == Mark::blank || node.mark == Mark::beyond_limit) continue;
        const double flow = page_.airflow[n / page_.entering_wet_bulb.size() % page_.airflow.size()];
        if (node.total < least * flow || node.total > greatest * flow)
            refuse_node(n, "total capacity does not fit the airflow: wrong unit or a digit too many or too few?",
                        "10 to 150 Btu/h per cfm, such as 35 MBh at 1000 scfm");
        if (page_.has_power && (node.power < 0.02 * node.total || node.power > node.total))
            refuse_node(n, "power does not fit the capacity: wrong unit or a digit too many or too few?",
                        "2 to 100 % of total capacity in the same unit, such as 2.45 kW for 35 MBh");
    }
    if (page_.has_sensible && basis_.sensible_at && basis_.sensible_at->si < page_.entering_wet_bulb.front())
        throw InputError({}, "the sensible column is printed for an entering dry bulb below every entering wet bulb",
                         {}, "sensible_at: 80 degF");
    const auto refuse_basis = [](const char* problem, double value, const char* accepted) {
        throw InputError({}, problem, std::to_string(value), accepted);
    };
    if (basis_.elevation && !(basis_.elevation->si >= -500.0 && basis_.elevation->si <= 5000.0))
        refuse_basis("the page's elevation", basis_.elevation->si, "-500 to 5000 m");
    if (basis_.sensible_at && !(basis_.sensible_at->si >= 10.0 && basis_.sensible_at->si <= 50.0))
        refuse_basis("the entering dry bulb of the sensible column", basis_.sensible_at->si,
                     "10 to 50 degC, such as 80 degF");
    if (basis_.tolerance && !(*basis_.tolerance >= 0.0 && *basis_.tolerance < 0.5))
        refuse_basis("the maker's tolerance", *basis_.tolerance, "0 to 50 %, such as 5 %");
    if (!(basis_.fan.power.si >= 0.0 && basis_.fan.per_airflow.si >= 0.0))
        refuse_basis("the table's fan", basis_.fan.power.si + basis_.fan.per_airflow.si, "a power above zero");
    if (basis_.sensible_slope) {
        const double slope = units::Btu_h_cfm_degF.from_si(basis_.sensible_slope->si);
        if (!(slope >= 1.0 && slope <= 1.2))
            throw InputError({}, "a sensible slope no air has", std::to_string(slope),
                             "1.08 to 1.10 Btu/h/cfm/delta_degF");
    }
}

inline void PageBuilder::check_dry_below_wet(std::size_t i, std::size_t j) const {
    bool wet = false;
    for (std::size_t k = 0; k < page_.entering_wet_bulb.size(); ++k) {
        const Mark mark = page_.nodes[number(i, j, k)].mark;
        wet = wet || mark == Mark::printed;
        if (mark == Mark::dry && wet)
            refuse_node(number(i, j, k), "dry at a higher wet bulb than a wet node of the same line",
                        "dry nodes below the wet ones");
    }
}

/// The line through the two lowest wet nodes, if there are two and total gains on sensible with wet bulb.
inline std::optional<PageBuilder::WetLine> PageBuilder::own_line(std::size_t i, std::size_t j) const {
    const auto& ewb = page_.entering_wet_bulb;
    std::optional<std::size_t> first;
    for (std::size_t k = 0; k < ewb.size(); ++k) {
        if (page_.nodes[number(i, j, k)].mark != Mark::printed) continue;
        if (!first) {
            first = k;
            continue;
        }
        const PrintedNode a = gross(i, j, *first), b = gross(i, j, k);
        const double width = ewb[k] - ewb[*first];
        const WetLine line{ewb[*first], a, (b.total - a.total) / width, (b.sensible - a.sensible) / width,
                           (b.power - a.power) / width};
        if (line.total_slope > line.sensible_slope) return line;
        return std::nullopt;
    }
    return std::nullopt;
}

/// The wet line; where only one node of it is wet (the page is blank above), with the slopes of the nearest outdoor dry
/// bulb at the same airflow that has two: they hardly change with outdoor dry bulb.
inline std::optional<PageBuilder::WetLine> PageBuilder::wet_line(std::size_t i, std::size_t j) const {
    if (const auto own = own_line(i, j)) return own;
    const auto& ewb = page_.entering_wet_bulb;
    const auto& odb = page_.outdoor_dry_bulb;
    for (std::size_t k = 0; k < ewb.size(); ++k) {
        if (page_.nodes[number(i, j, k)].mark != Mark::printed) continue;
        std::optional<WetLine> nearest;
        double distance = HUGE_VAL;
        for (std::size_t other = 0; other < odb.size(); ++other) {
            const auto line = own_line(other, j);
            if (!line || std::abs(odb[other] - odb[i]) >= distance) continue;
            distance = std::abs(odb[other] - odb[i]);
            nearest = line;
        }
        if (!nearest) return std::nullopt;
        nearest->wet_bulb = ewb[k];
        nearest->node = gross(i, j, k);
        return nearest;
    }
    return std::nullopt;
}

inline Grid PageBuilder::grid() const {
    const auto& ewb = page_.entering_wet_bulb;
    const bool has_offsets = has_dry();
    const std::size_t outputs = has_offsets ? 6 : 4;
    std::vector<double> values(page_.nodes.size() * outputs, std::numeric_limits<double>::quiet_NaN());
    std::vector<Mark> marks(page_.nodes.size(), Mark::blank);
    const auto store = [&](std::size_t n, const PrintedNode& node, double offset, double inferred) {
        const std::array<double, 6> out{node.total, node.sensible, node.power, node.bypass, offset, inferred};
        std::copy_n(out.begin(), outputs, values.begin() + static_cast<std::ptrdiff_t>(n * outputs));
        marks[n] = Mark::printed;
    };

    for (std::size_t i = 0; i < page_.outdoor_dry_bulb.size(); ++i)
        for (std::size_t j = 0; j < page_.airflow.size(); ++j) {
            check_dry_below_wet(i, j);
            const auto line = wet_line(i, j);
            std::optional<Crossing> above;  // the next node up, where it has data
            for (std::size_t k = ewb.size(); k-- > 0;) {
                const std::size_t n = number(i, j, k);
                PrintedNode node = gross(i, j, k);
                if (node.mark == Mark::beyond_limit) marks[n] = Mark::beyond_limit;
                if (node.mark == Mark::printed) {
                    store(n, node, 0.0, 0.0);
                    above = Crossing{node.total, node.sensible - node.total, node.total};
                }
                if (node.mark != Mark::dry || !line)
                    continue;  // a dry node without a line stays blank: Why::no_wet_line

                // What the page prints less what the dry-coil rule gives there stays with the node, as an offset. Where
                // the rule would call the node wet, or the page prints less than the wet line, the lines bend to the
                // page.
                const double printed = node.total;
                node = line->at(ewb[k]);
                double offset = 0.0, excess = node.sensible - node.total, knee_total = printed;
                if (excess > 0.0 && printed > node.total && above) {
                    knee_total = above->excess > 0.0
                                     ? above->knee_total
                                     : node.total + excess / (excess - above->excess) * (above->total - node.total);
                    offset = printed - knee_total;
                } else {
                    node.total = node.sensible = printed;
                    excess = 0.0;
                }
                store(n, node, offset, 1.0);
                above = Crossing{node.total, excess, knee_total};
            }
        }
    std::vector<Axis> axes{Axis("outdoor dry bulb", page_.outdoor_dry_bulb), Axis("standard airflow", page_.airflow),
                           Axis("entering wet bulb", page_.entering_wet_bulb)};
    return Grid(std::move(axes), std::move(values), outputs, std::move(marks));
}

inline std::array<double, 3> PageBuilder::curvature() const noexcept {
    std::array<double, 3> out{};
    const std::array<const std::vector<double>*, 3> axes{&page_.outdoor_dry_bulb, &page_.airflow,
                                                         &page_.entering_wet_bulb};
    const std::array<std::size_t, 3> stride{axes[1]->size() * axes[2]->size(), axes[2]->size(), 1};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::vector<double>& x = *axes[axis];
        double sum = 0.0;
        int count = 0;
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            const std::size_t at = n / stride[axis] % x.size();
            if (at == 0 || at + 1 >= x.size()) continue;
            const PrintedNode &a = page_.nodes[n - stride[axis]], &b = page_.nodes[n],
                              &c = page_.nodes[n + stride[axis]];
            if (a.mark != Mark::printed || b.mark != Mark::printed || c.mark != Mark::printed) continue;
            const double left = (b.total - a.total) / (x[at] - x[at - 1]);
            const double right = (c.total - b.total) / (x[at + 1] - x[at]);
            const double second = 2.0 * (right - left) / (x[at + 1] - x[at - 1]) / b.total;
            sum += second * second;
            ++count;
        }
        out[axis] = count > 0 ? std::sqrt(sum / count) : 0.0;
    }
    return out;
}

[[nodiscard]] inline BuiltPage build_page(const Basis& basis, const PrintedPage& page) {
    return PageBuilder(basis, page).built();
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
