/// @file
/// How a printed page is checked and turned into its grid. Runs once, when a table is built; may throw.
/// Included by rating_table.hpp alone.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
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
    [[nodiscard]] BuiltPage built() const { return {grid(), has_dry(), curvature()}; }

   private:
    [[nodiscard]] std::size_t number(std::size_t i, std::size_t j, std::size_t k) const noexcept {
        return (i * page_.airflow.size() + j) * page_.entering_wet_bulb.size() + k;
    }
    [[nodiscard]] bool has_dry() const noexcept {
        return std::any_of(page_.nodes.begin(), page_.nodes.end(), [](const PrintedNode& n) { return n.mark == Mark::dry; });
    }
    [[noreturn]] void refuse_node(std::size_t node, const std::string& problem, const std::string& accepted) const {
        throw InputError(node < page_.places.size() ? page_.places[node] : InputError::Place{}, problem, {}, accepted);
    }

    /// The point at wet bulb `x` of the line through two nodes; the bypass factor is the nearer node's (`a`).
    [[nodiscard]] static PrintedNode on_line(const PrintedNode& a, double xa, const PrintedNode& b, double xb, double x) noexcept {
        const double t = (x - xa) / (xb - xa);
        PrintedNode out = a;
        out.total += t * (b.total - a.total);
        out.sensible += t * (b.sensible - a.sensible);
        out.power += t * (b.power - a.power);
        return out;
    }

    void check() const;
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
        if (!(node.total > 0.0)) refuse_node(n, "total capacity must be positive", "a capacity, or - where the page is blank");
        if (page_.has_sensible && !(node.sensible > 0.0)) refuse_node(n, "sensible capacity must be positive", "a capacity");
        if (page_.has_sensible && node.sensible > node.total)
            refuse_node(n, "sensible capacity above total capacity", "sensible at most total");
        if (page_.has_sensible && (node.mark == Mark::dry) != (node.sensible == node.total))
            refuse_node(n, "a node is dry exactly where sensible equals total", "30.8 30.8d, or a sensible below total");
        if (page_.has_power && !(node.power > 0.0)) refuse_node(n, "power must be positive", "a power");
        if (page_.has_bypass && !(node.bypass > 0.0 && node.bypass < 1.0))
            refuse_node(n, "bypass factor must lie between 0 and 1", "0.03 to 0.30 for usual coils");
    }
    if (basis_.capacity == CapacityBasis::net && basis_.fan.power.si == 0.0 && basis_.fan.per_airflow.si == 0.0)
        throw InputError({}, "a net table must name its fan", {}, "fan: 365 W per 1000 scfm, or fan: 420 W");
    if (page_.has_sensible && !basis_.sensible_at)
        throw InputError({}, "the sensible column needs the entering dry bulb it is printed for", {}, "sensible_at: 80 degF");
}

inline Grid PageBuilder::grid() const {
    const std::size_t ni = page_.outdoor_dry_bulb.size(), nj = page_.airflow.size(), nk = page_.entering_wet_bulb.size();
    const auto& ewb = page_.entering_wet_bulb;
    const bool has_offsets = has_dry();
    const std::size_t outputs = has_offsets ? 5 : 4;

    std::vector<double> values(page_.nodes.size() * outputs);
    std::vector<Mark> marks(page_.nodes.size());
    for (std::size_t i = 0; i < ni; ++i)
        for (std::size_t j = 0; j < nj; ++j) {
            // Net to gross at the node, with the table's own fan.
            const double fan = basis_.capacity == CapacityBasis::net ? basis_.fan.heat(page_.airflow[j]) : 0.0;
            const auto gross = [&](std::size_t k) {
                PrintedNode node = page_.nodes[number(i, j, k)];
                node.total += fan;
                node.sensible += fan;
                return node;
            };
            // The two lowest wet nodes of this line carry the extension; a dry node above them is a contradiction.
            std::vector<std::size_t> wet;
            for (std::size_t k = 0; k < nk; ++k) {
                const Mark mark = page_.nodes[number(i, j, k)].mark;
                if (mark == Mark::printed) wet.push_back(k);
                if (mark == Mark::dry && !wet.empty())
                    refuse_node(number(i, j, k), "dry at a higher wet bulb than a wet node of the same line",
                                "dry nodes below the wet ones");
            }
            double offset_above = 0.0;    // of the next node up this line
            double offset_at_knee = 0.0;  // where plain interpolation of the offsets stands at the knee
            for (std::size_t k = nk; k-- > 0;) {
                const std::size_t n = number(i, j, k);
                PrintedNode node = gross(k);
                double offset = 0.0;
                if (node.mark == Mark::dry && wet.size() < 2) node.mark = Mark::blank;  // told apart by `translate`
                if (node.mark == Mark::dry) {
                    const PrintedNode a = gross(wet[0]), b = gross(wet[1]);
                    const double dry_total = node.total;
                    node = on_line(a, ewb[wet[0]], b, ewb[wet[1]], ewb[k]);
                    node.mark = Mark::inferred;
                    // Where the two lines meet is the dry-coil rule's answer at the reference dry bulb.
                    const double gap = a.total - a.sensible, closing = (b.total - b.sensible) - gap;
                    const double knee = ewb[wet[0]] - gap / closing * (ewb[wet[1]] - ewb[wet[0]]);
                    if (closing > 0.0 && knee > ewb[k]) {
                        const double miss = dry_total - on_line(a, ewb[wet[0]], b, ewb[wet[1]], knee).total;
                        // The offset counts from the knee. In the knee's own cell it has only the way from the node to
                        // the knee to grow; a node almost at the knee may keep a part of its miss.
                        const double way = (knee - ewb[k]) / (ewb[k + 1] - ewb[k]);
                        if (way < 1.0) {
                            offset = miss / std::max(way, 0.25) + offset_above;
                            offset_at_knee = offset + way * (offset_above - offset);
                        } else {
                            offset = miss + offset_at_knee;
                        }
                    }
                }
                offset_above = offset;
                double* out = values.data() + n * outputs;
                out[0] = node.total;
                out[1] = node.sensible;
                out[2] = node.power;
                out[3] = node.bypass;
                if (has_offsets) out[4] = offset;
                if (node.mark == Mark::blank || node.mark == Mark::beyond_limit)
                    std::fill_n(out, outputs, std::numeric_limits<double>::quiet_NaN());
                marks[n] = node.mark;
            }
        }
    std::vector<Axis> axes{Axis("outdoor dry bulb", page_.outdoor_dry_bulb), Axis("standard airflow", page_.airflow),
                           Axis("entering wet bulb", page_.entering_wet_bulb)};
    return Grid(std::move(axes), std::move(values), outputs, std::move(marks));
}

inline std::array<double, 3> PageBuilder::curvature() const noexcept {
    std::array<double, 3> out{};
    const std::array<const std::vector<double>*, 3> axes{&page_.outdoor_dry_bulb, &page_.airflow, &page_.entering_wet_bulb};
    const std::array<std::size_t, 3> stride{axes[1]->size() * axes[2]->size(), axes[2]->size(), 1};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const std::vector<double>& x = *axes[axis];
        double sum = 0.0;
        int count = 0;
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            const std::size_t at = n / stride[axis] % x.size();
            if (at == 0 || at + 1 >= x.size()) continue;
            const PrintedNode &a = page_.nodes[n - stride[axis]], &b = page_.nodes[n], &c = page_.nodes[n + stride[axis]];
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

[[nodiscard]] inline BuiltPage build_page(const Basis& basis, const PrintedPage& page) { return PageBuilder(basis, page).built(); }

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
