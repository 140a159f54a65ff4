/// @file
/// How a checked page is turned into its grid. Runs once, when a table is built; may throw.
/// Included by rating_table.hpp alone.
#pragma once

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/air.hpp"
#include "offnominal/air/coil.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/check.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Sensible per kelvin of entering dry bulb before bypass, W/K: the page's printed constant, or where it prints none
/// the moist heat capacity of the entering air (0.2 % apart).
[[nodiscard]] inline double sensible_slope(const Basis& basis, double flow, double humidity_ratio) noexcept {
    if (basis.sensible_slope) return basis.sensible_slope->si * flow;
    return air::si::dry_mass_from_standard(flow) * air::si::moist_heat_capacity(humidity_ratio);
}

/// Pa: the station pressure a page is printed for; sea level where it does not say.
[[nodiscard]] inline double printed_pressure(const Basis& basis) noexcept {
    return air::si::pressure_at_elevation(basis.elevation ? basis.elevation->si : 0.0);
}

/// degC: the entering dry bulb of a node; nothing if the page does not say.
[[nodiscard]] inline std::optional<double> node_dry_bulb(const Basis& basis, const PrintedPage& page,
                                                         const PageShape& shape, std::size_t n) noexcept {
    if (!page.pairs.empty()) return page.pairs[shape.index(n, PageAxis::humidity)].dry_bulb;
    if (shape.has(PageAxis::entering_dry_bulb)) return shape.value(n, PageAxis::entering_dry_bulb);
    if (basis.sensible_at) return basis.sensible_at->si;
    return std::nullopt;
}

/// The air that enters the coil at a node, at another entering dry bulb than the page states if one is given (degC).
[[nodiscard]] inline std::optional<air::CoilAir> node_air(const Basis& basis, const PrintedPage& page,
                                                          const PageShape& shape, std::size_t n,
                                                          std::optional<double> dry_bulb = {}) noexcept {
    if (!dry_bulb) dry_bulb = node_dry_bulb(basis, page, shape, n);
    if (!dry_bulb) return std::nullopt;
    const double t = *dry_bulb, humidity = shape.value(n, PageAxis::humidity);
    const double p = shape.has(PageAxis::pressure) ? shape.value(n, PageAxis::pressure) : printed_pressure(basis);
    double W = 0.0;
    switch (humidity_axis(page)) {
        case HumidityAxis::wet_bulb:
            W = air::si::humidity_ratio_from_wet_bulb(t, (std::min)(humidity, t), p);
            break;
        case HumidityAxis::relative_humidity:
            W = air::si::humidity_ratio(humidity * air::si::saturation_pressure(t), p);
            break;
        case HumidityAxis::pairs:
            W = air::si::humidity_ratio_from_wet_bulb(t, page.pairs[shape.index(n, PageAxis::humidity)].wet_bulb, p);
    }
    const double flow = shape.value(n, PageAxis::airflow);
    const double mass = basis.standard_pound == Pound::moist ? air::si::dry_mass_from_moist_standard(flow, W)
                                                             : air::si::dry_mass_from_standard(flow);
    if (!(W > 0.0) || !(mass > 0.0)) return std::nullopt;
    return air::CoilAir{t, W, p, mass};
}

/// Builds one page; lives as long as the constructor that uses it.
class PageBuilder {
   public:
    PageBuilder(const Basis& basis, const PrintedPage& page) : basis_(basis), page_(page), shape_(page) {
        PageCheck(basis, page, shape_).run();
    }
    [[nodiscard]] BuiltPage built() const {
        const std::vector<double> bypass = inferred_bypass();
        return {grid(bypass), curvature(), extras(), !bypass.empty()};
    }

   private:
    /// A node without the fan of a net page: the table's own fan added back.
    [[nodiscard]] PrintedNode gross(std::size_t n) const noexcept {
        PrintedNode node = page_.nodes[n];
        if (basis_.capacity != CapacityBasis::net) return node;
        const double fan = basis_.fan.heat(shape_.value(n, PageAxis::airflow));
        node.total += fan;
        node.sensible += fan;
        return node;
    }
    [[nodiscard]] bool is(std::size_t n, Mark mark) const noexcept { return page_.nodes[n].mark == mark; }
    [[nodiscard]] bool any(Mark mark) const noexcept {
        return std::any_of(page_.nodes.begin(), page_.nodes.end(),
                           [mark](const PrintedNode& n) { return n.mark == mark; });
    }

    /// The wet line along the humidity axis: through its lowest wet node, with a slope for each output.
    struct WetLine {
        double humidity;
        PrintedNode node;
        double total_slope, sensible_slope, power_slope;  // per unit of the humidity axis

        [[nodiscard]] PrintedNode at(double x) const noexcept {
            PrintedNode out = node;
            out.total += total_slope * (x - humidity);
            out.sensible += sensible_slope * (x - humidity);
            out.power += power_slope * (x - humidity);
            return out;
        }
    };
    /// A node of a line on the way down: its total and power, sensible less total, and total and power where the two
    /// meet at or above it.
    struct Crossing {
        double total, power, excess, knee_total, knee_power;
    };
    /// What the grid holds of one node.
    struct Stored {
        PrintedNode node;
        double offset = 0.0;        ///< printed dry total less what the dry-coil rule gives there
        double power_offset = 0.0;  ///< and power likewise
        double inferred = 0.0;      ///< 1 where the lines were extended
        double filled = 0.0;        ///< 1 where the page leaves an entering dry bulb blank
        bool has = false;
    };

    [[nodiscard]] std::optional<WetLine> own_line(std::size_t lowest) const;
    [[nodiscard]] std::optional<WetLine> wet_line(std::size_t lowest) const;
    [[nodiscard]] std::optional<PrintedNode> moved_dry_bulb(std::size_t n) const;
    [[nodiscard]] std::optional<double> slope_between_dry_bulbs(std::size_t n, std::size_t from) const;
    void build_line(std::size_t lowest, std::vector<Stored>& out) const;
    [[nodiscard]] Stored dry_node(std::size_t n, PrintedNode line, const std::optional<Crossing>& above,
                                  Crossing& here) const noexcept;
    [[nodiscard]] std::vector<double> inferred_bypass() const;
    [[nodiscard]] Grid grid(const std::vector<double>& bypass) const;
    [[nodiscard]] std::vector<Axis> axes() const;
    [[nodiscard]] std::array<double, page_axes> curvature() const noexcept;
    [[nodiscard]] std::vector<Grid> extras() const;

    const Basis& basis_;
    const PrintedPage& page_;
    PageShape shape_;
};

/// The line through the two lowest wet nodes above node `lowest`, if there are two and total gains on sensible with
/// humidity.
inline std::optional<PageBuilder::WetLine> PageBuilder::own_line(std::size_t lowest) const {
    const std::size_t stride = shape_.stride(PageAxis::humidity);
    const auto& x = shape_.breakpoints(PageAxis::humidity);
    std::optional<std::size_t> first;
    for (std::size_t k = 0; k < x.size(); ++k) {
        if (!is(lowest + k * stride, Mark::printed)) continue;
        if (!first) {
            first = k;
            continue;
        }
        const PrintedNode a = gross(lowest + *first * stride), b = gross(lowest + k * stride);
        const double width = x[k] - x[*first];
        const WetLine line{x[*first], a, (b.total - a.total) / width, (b.sensible - a.sensible) / width,
                           (b.power - a.power) / width};
        if (line.total_slope > line.sensible_slope) return line;
        return std::nullopt;
    }
    return std::nullopt;
}

/// The wet line; where only one node of it is wet (the page is blank above), with the slopes of the nearest outdoor dry
/// bulb, all else equal, that has two: they hardly change with outdoor dry bulb.
inline std::optional<PageBuilder::WetLine> PageBuilder::wet_line(std::size_t lowest) const {
    if (const auto own = own_line(lowest)) return own;
    const auto& x = shape_.breakpoints(PageAxis::humidity);
    const auto& odb = shape_.breakpoints(PageAxis::outdoor_dry_bulb);
    const std::size_t here = shape_.index(lowest, PageAxis::outdoor_dry_bulb);
    for (std::size_t k = 0; k < x.size(); ++k) {
        const std::size_t n = lowest + k * shape_.stride(PageAxis::humidity);
        if (!is(n, Mark::printed)) continue;
        std::optional<WetLine> nearest;
        double distance = real::infinity;
        for (std::size_t other = 0; other < odb.size(); ++other) {
            const auto line = own_line(shape_.moved(lowest, PageAxis::outdoor_dry_bulb, other));
            if (!line || std::abs(odb[other] - odb[here]) >= distance) continue;
            distance = std::abs(odb[other] - odb[here]);
            nearest = line;
        }
        if (!nearest) return std::nullopt;
        nearest->humidity = x[k];
        nearest->node = gross(n);
        return nearest;
    }
    return std::nullopt;
}

/// Sensible per kelvin of entering dry bulb at the wet bulb of node `n`: between two wet nodes there, or by the bypass
/// factor.
inline std::optional<double> PageBuilder::slope_between_dry_bulbs(std::size_t n, std::size_t from) const {
    const auto& edb = shape_.breakpoints(PageAxis::entering_dry_bulb);
    const std::size_t l = shape_.index(from, PageAxis::entering_dry_bulb);
    for (const std::size_t other : {l + 1, l - 1}) {  // l - 1 wraps round below the first: past the end
        if (other >= edb.size()) continue;
        const std::size_t m = shape_.moved(from, PageAxis::entering_dry_bulb, other);
        if (is(m, Mark::printed)) return (gross(m).sensible - gross(from).sensible) / (edb[other] - edb[l]);
    }
    if (!page_.has_bypass) return std::nullopt;
    const double p = shape_.has(PageAxis::pressure) ? shape_.value(n, PageAxis::pressure) : printed_pressure(basis_);
    const double w = air::si::humidity_ratio_from_wet_bulb(edb[l], shape_.value(n, PageAxis::humidity), p);
    return sensible_slope(basis_, shape_.value(n, PageAxis::airflow), w) * (1.0 - page_.nodes[from].bypass);
}

/// A node from the nearest wet one at the same wet bulb: while the coil is wet, entering dry bulb moves sensible alone,
/// along a straight line.
inline std::optional<PrintedNode> PageBuilder::moved_dry_bulb(std::size_t n) const {
    if (!shape_.has(PageAxis::entering_dry_bulb) || humidity_axis(page_) != HumidityAxis::wet_bulb) return std::nullopt;
    const auto& edb = shape_.breakpoints(PageAxis::entering_dry_bulb);
    const double here = shape_.value(n, PageAxis::entering_dry_bulb);
    std::optional<std::size_t> nearest;
    for (std::size_t l = 0; l < edb.size(); ++l) {
        const std::size_t m = shape_.moved(n, PageAxis::entering_dry_bulb, l);
        if (is(m, Mark::printed) &&
            (!nearest ||
             std::abs(edb[l] - here) < std::abs(shape_.value(*nearest, PageAxis::entering_dry_bulb) - here)))
            nearest = m;
    }
    if (!nearest) return std::nullopt;
    const auto slope = slope_between_dry_bulbs(n, *nearest);
    if (!slope) return std::nullopt;
    PrintedNode out = gross(*nearest);
    out.sensible += *slope * (here - shape_.value(*nearest, PageAxis::entering_dry_bulb));
    return out;
}

/// What the page prints at a dry node less what the dry-coil rule gives there stays with the node, as an offset. Where
/// the rule would call the node wet, or the page prints less than the wet line, the lines bend to the page.
inline PageBuilder::Stored PageBuilder::dry_node(std::size_t n, PrintedNode line, const std::optional<Crossing>& above,
                                                 Crossing& here) const noexcept {
    const PrintedNode printed = gross(n);
    Stored out{line, 0.0, 0.0, 1.0, 0.0, true};
    double excess = line.sensible - line.total, knee_total = printed.total, knee_power = printed.power;
    if (excess > 0.0 && printed.total > line.total && above) {
        const double t = above->excess > 0.0 ? 1.0 : excess / (excess - above->excess);
        knee_total = above->excess > 0.0 ? above->knee_total : line.total + t * (above->total - line.total);
        knee_power = above->excess > 0.0 ? above->knee_power : line.power + t * (above->power - line.power);
        out.offset = printed.total - knee_total;
        out.power_offset = printed.power - knee_power;
    } else {
        out.node.total = out.node.sensible = printed.total;
        out.node.power = printed.power;
        excess = 0.0;
    }
    here = {out.node.total, out.node.power, excess, knee_total, knee_power};
    return out;
}

/// The nodes of one line along the humidity axis, from the top down.
inline void PageBuilder::build_line(std::size_t lowest, std::vector<Stored>& out) const {
    const auto& x = shape_.breakpoints(PageAxis::humidity);
    const auto line = wet_line(lowest);
    std::optional<Crossing> above;  // the next node up, where it has data
    for (std::size_t k = x.size(); k-- > 0;) {
        const std::size_t n = lowest + k * shape_.stride(PageAxis::humidity);
        if (is(n, Mark::printed)) {
            const PrintedNode node = gross(n);
            out[n] = {node, 0.0, 0.0, 0.0, 0.0, true};
            above = Crossing{node.total, node.power, node.sensible - node.total, node.total, node.power};
        } else if (is(n, Mark::dry)) {
            const auto moved = moved_dry_bulb(n);
            if (!moved && !line) continue;  // a dry node without a line stays blank: Why::no_wet_line
            Crossing here{};
            out[n] = dry_node(n, moved ? *moved : line->at(x[k]), above, here);
            above = here;
        } else if (is(n, Mark::blank)) {
            if (const auto moved = moved_dry_bulb(n)) out[n] = {*moved, 0.0, 0.0, 1.0, 1.0, true};
        }
    }
}

inline std::vector<Axis> PageBuilder::axes() const {
    std::vector<Axis> out;
    for (std::size_t axis = 0; axis < page_axes; ++axis) {
        const auto& x = shape_.breakpoints(static_cast<PageAxis>(axis));
        if (x.empty()) continue;
        std::string name = axis_name(static_cast<PageAxis>(axis), humidity_axis(page_));
        out.push_back(Axis(std::move(name), x));  // not emplaced: that would leave code outside this namespace
    }
    return out;
}

/// The bypass factor of each airflow, where the page prints none: the median of what its wet nodes say. None where none
/// can say: without sensible capacities, of a page that may be gross or net, or where no two wet nodes of an airflow
/// fit a coil. An airflow without them takes the nearest one's.
///
/// Sensible capacities that are found by them are within 1 % (root mean square; at worst 2.5 % where a page prints
/// whole half MBh) of those of three unlike coils from 70 to 86 degF: tests/expect/bypass.cpp.
inline std::vector<double> PageBuilder::inferred_bypass() const {
    if (!page_.has_sensible || page_.has_bypass || basis_.capacity == CapacityBasis::unknown) return {};
    std::vector<std::vector<double>> found(page_.airflow.size());
    for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
        if (!is(n, Mark::printed)) continue;
        const auto air = node_air(basis_, page_, shape_, n);
        if (!air) continue;
        const PrintedNode node = gross(n);
        if (const auto bypass = air::bypass_factor(*air, node.total, node.sensible))
            found[shape_.index(n, PageAxis::airflow)].push_back(*bypass);
    }
    std::vector<double> out(found.size(), 0.0);
    for (std::size_t k = 0; k < found.size(); ++k) {
        if (found[k].size() < 2) continue;
        const auto middle = found[k].begin() + static_cast<std::ptrdiff_t>(found[k].size() / 2);
        std::nth_element(found[k].begin(), middle, found[k].end());
        out[k] = *middle;
    }
    const std::vector<double> known = out;
    for (std::size_t k = 0; k < out.size(); ++k) {
        double distance = real::infinity;
        for (std::size_t other = 0; other < known.size(); ++other) {
            const double away = std::abs(page_.airflow[other] - page_.airflow[k]);
            if (known[other] == 0.0 || away >= distance) continue;
            distance = away;
            out[k] = known[other];
        }
        if (distance == real::infinity) return {};
    }
    return out;
}

inline Grid PageBuilder::grid(const std::vector<double>& bypass) const {
    std::vector<Stored> nodes(shape_.nodes());
    if (humidity_axis(page_) == HumidityAxis::pairs) {  // no axis for a wet line to run along: as printed
        for (std::size_t n = 0; n < nodes.size(); ++n)
            if (PageCheck::has_number(page_.nodes[n]))
                nodes[n] = {gross(n), 0.0, 0.0, is(n, Mark::dry) ? 1.0 : 0.0, 0.0, true};
    } else {
        for (std::size_t n = 0; n < nodes.size(); ++n)
            if (shape_.index(n, PageAxis::humidity) == 0) build_line(n, nodes);
    }
    const bool filled = std::any_of(nodes.begin(), nodes.end(), [](const Stored& s) { return s.filled != 0.0; });
    const std::size_t outputs = filled ? 8 : any(Mark::dry) ? 7 : 4;
    std::vector<double> values(nodes.size() * outputs, std::numeric_limits<double>::quiet_NaN());
    std::vector<Mark> marks(nodes.size(), Mark::blank);
    for (std::size_t n = 0; n < nodes.size(); ++n) {
        const Stored& s = nodes[n];
        if (is(n, Mark::beyond_limit)) marks[n] = Mark::beyond_limit;
        if (!s.has) continue;
        const double by = bypass.empty() ? s.node.bypass : bypass[shape_.index(n, PageAxis::airflow)];
        const std::array<double, 8> out{s.node.total, s.node.sensible, s.node.power, by,
                                        s.offset,     s.power_offset,  s.inferred,   s.filled};
        std::copy_n(out.begin(), outputs, values.begin() + static_cast<std::ptrdiff_t>(n * outputs));
        marks[n] = Mark::printed;
    }
    return Grid(axes(), std::move(values), outputs, std::move(marks));
}

inline std::array<double, page_axes> PageBuilder::curvature() const noexcept {
    std::array<double, page_axes> out{};
    for (std::size_t a = 0; a < page_axes; ++a) {
        const auto axis = static_cast<PageAxis>(a);
        const auto& x = shape_.breakpoints(axis);
        double sum = 0.0;
        int count = 0;
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            const std::size_t at = shape_.index(n, axis);
            if (at == 0 || at + 1 >= x.size()) continue;
            const PrintedNode &low = page_.nodes[n - shape_.stride(axis)], &mid = page_.nodes[n],
                              &high = page_.nodes[n + shape_.stride(axis)];
            if (low.mark != Mark::printed || mid.mark != Mark::printed || high.mark != Mark::printed) continue;
            const double left = (mid.total - low.total) / (x[at] - x[at - 1]);
            const double right = (high.total - mid.total) / (x[at + 1] - x[at]);
            const double second = 2.0 * (right - left) / (x[at + 1] - x[at - 1]) / mid.total;
            sum += second * second;
            ++count;
        }
        out[a] = count > 0 ? real::sqrt(sum / count) : 0.0;
    }
    return out;
}

/// One grid for each extra column: they are blank in places of their own.
inline std::vector<Grid> PageBuilder::extras() const {
    std::vector<Grid> out;
    for (const ExtraColumn& extra : page_.extras) {
        std::vector<Mark> marks(extra.values.size(), Mark::printed);
        for (std::size_t n = 0; n < marks.size(); ++n)
            if (real::is_nan(extra.values[n])) marks[n] = is(n, Mark::beyond_limit) ? Mark::beyond_limit : Mark::blank;
        out.push_back(Grid(axes(), extra.values, 1, std::move(marks)));
    }
    return out;
}

[[nodiscard]] inline BuiltPage build_page(const Basis& basis, const PrintedPage& page) {
    return PageBuilder(basis, page).built();
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
