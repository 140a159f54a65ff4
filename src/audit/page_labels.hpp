/// @file
/// The labels of a cooling page: what is known of its axes beforehand, and the page put right.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "auditor.hpp"
#include "labels.hpp"
#include "offnominal/ratings/shape.hpp"

namespace offnominal::detail {

// Coordinates. Airflow and pressure act by their ratios.
[[nodiscard]] inline double by_outdoor(double t) { return (t - 35.0) / 10.0; }
[[nodiscard]] inline double by_cold_outdoor(double t) { return (t - 5.0) / 10.0; }
[[nodiscard]] inline double by_airflow(double v) { return air::elementary::log(std::max(v, 1e-6) / 0.5); }
[[nodiscard]] inline double by_wet_bulb(double t) { return (t - 19.0) / 3.0; }
[[nodiscard]] inline double by_relative_humidity(double rh) { return (rh - 0.5) / 0.1; }
[[nodiscard]] inline double by_dry_bulb(double t) { return (t - 26.0) / 4.0; }
[[nodiscard]] inline double by_pressure(double p) { return air::elementary::log(std::max(p, 1.0) / 101325.0) / 0.2; }

/// The axes of a page by the names of their columns.
struct NamedAxis {
    PageAxis axis;
    const char* role;
};
inline constexpr NamedAxis named_axes[] = {{PageAxis::outdoor_dry_bulb, "odb"},  {PageAxis::airflow, "airflow"},
                                           {PageAxis::humidity, "ewb"},          {PageAxis::humidity, "rh"},
                                           {PageAxis::entering_dry_bulb, "edb"}, {PageAxis::pressure, "pressure"}};

/// What an output does along an axis (common practice, no source).
[[nodiscard]] inline Tendency tendency(const std::string& role, PageAxis axis, PageOf of) {
    using enum PageAxis;
    const bool heating = of != PageOf::cooling;
    if (axis == pressure) return {0.0, 0.1, 0.05};
    if (role == "sensible") {
        if (axis == outdoor_dry_bulb) return {-0.04, 0.04, 0.02};
        if (axis == airflow) return {0.5, 0.2, 0.12};
        return axis == humidity ? Tendency{-0.2, 0.12, 0.06} : Tendency{0.25, 0.12, 0.06};
    }
    if (role == "power") {
        if (axis == outdoor_dry_bulb) return heating ? Tendency{0.1, 0.1, 0.04} : Tendency{0.2, 0.08, 0.03};
        if (axis == airflow) return heating ? Tendency{-0.25, 0.2, 0.1} : Tendency{0.03, 0.1, 0.05};
        if (axis == humidity) return {0.02, 0.04, 0.015};
        return heating ? Tendency{0.08, 0.06, 0.02} : Tendency{0.0, 0.03, 0.015};
    }
    if (axis == outdoor_dry_bulb) return heating ? Tendency{0.25, 0.1, 0.05} : Tendency{-0.09, 0.05, 0.015};
    if (axis == airflow) return heating ? Tendency{0.08, 0.08, 0.06} : Tendency{0.2, 0.12, 0.06, -0.06};
    if (axis == humidity) return {0.09, 0.04, 0.015};
    return heating ? Tendency{-0.03, 0.04, 0.02} : Tendency{0.0, 0.05, 0.02};
}

/// The labels of one axis with their texts: typed, or as they would be.
inline void add_labels(LabelAxis& axis, const std::vector<TypedColumn>& typed, const std::string& role,
                       const std::vector<double>& labels, const std::vector<std::size_t>& index,
                       std::initializer_list<Unit> units) {
    std::vector<std::string> texts(labels.size());
    Unit unit = shortest_unit(labels, units);
    for (const TypedColumn& column : typed) {
        if (column.role != role || column.texts.size() != index.size()) continue;
        unit = column.unit;
        for (std::size_t n = 0; n < index.size(); ++n) texts[index[n]] = column.texts[n];
    }
    for (std::size_t i = 0; i < labels.size(); ++i)
        if (!number_of(texts[i])) texts[i] = brief(unit.from_si(labels[i]), 9);
    axis.roles.push_back(role);
    axis.units.push_back(unit);
    axis.labels.push_back(labels);
    axis.texts.push_back(std::move(texts));
}

/// The labels of a page.
class PageLabels {
   public:
    PageLabels(const Basis& basis, const PrintedPage& page, PageOf of)
        : basis_(basis), page_(page), of_(of), shape_(page) {}

    /// The wrong labels as suspects, the most suspect first. `page` gets the page with them put right, and `from` the
    /// node of the printed page that each of its nodes is.
    [[nodiscard]] std::vector<Suspect> suspects(PrintedPage& page, std::vector<std::size_t>& from) {
        page = page_;
        from.resize(shape_.nodes());
        std::iota(from.begin(), from.end(), std::size_t{0});
        std::vector<std::vector<std::size_t>> index;
        std::vector<LabelAxis> axes = label_axes(index);
        if (axes.empty()) return {};
        std::vector<Suspect> out = other_units(axes);
        const bool converted = !out.empty();
        std::vector<LabelColumn> columns = label_columns();
        LabelAudit audit(std::move(axes), index, std::move(columns), contradictions());
        for (const LabelColumn& c : audit.model().columns())
            (c.role == "total" ? rough_.total : c.role == "sensible" ? rough_.sensible : rough_.power) = c.scatter;
        std::vector<WrongLabel> found = audit.run();
        std::stable_sort(found.begin(), found.end(),
                         [](const WrongLabel& a, const WrongLabel& b) { return a.gain > b.gain; });
        for (const WrongLabel& wrong : found) out.push_back(suspect(wrong, audit.axes()));
        if (converted || !found.empty()) put_right(found, audit.axes(), page, from);
        return out;
    }

    /// Found with the labels.
    [[nodiscard]] const PageRoughness& roughness() const noexcept { return rough_; }

   private:
    /// Axes with several labels, in the order of the page's; their numbers in `axes_`.
    [[nodiscard]] std::vector<LabelAxis> label_axes(std::vector<std::vector<std::size_t>>& index) {
        using enum PageAxis;
        std::vector<LabelAxis> out;
        const auto add = [&](PageAxis a, const char* role, double (*coordinate)(double), double least, double greatest,
                             std::initializer_list<Unit> units) {
            if (shape_.size(a) < 2) return;
            index.emplace_back(shape_.nodes());
            for (std::size_t n = 0; n < shape_.nodes(); ++n) index.back()[n] = shape_.index(n, a);
            LabelAxis& axis = out.emplace_back();
            axes_.push_back(a);
            axis.coordinate = coordinate;
            axis.least = least;
            axis.greatest = greatest;
            axis.printed = a != airflow || !page_.airflow_multiplied;
            if (a == humidity && !page_.pairs.empty()) {
                std::vector<double> wet, dry;
                for (const IndoorPair& pair : page_.pairs) wet.push_back(pair.wet_bulb), dry.push_back(pair.dry_bulb);
                add_labels(axis, page_.typed, "ewb", wet, index.back(), units);
                add_labels(axis, page_.typed, "edb", dry, index.back(), units);
                return;
            }
            add_labels(axis, page_.typed, role, shape_.breakpoints(a), index.back(), units);
        };
        const auto temperatures = {Unit(units::degF), Unit(units::degC)};
        if (of_ != PageOf::cooling)
            add(outdoor_dry_bulb, "odb", by_cold_outdoor, -40.0, 30.0, temperatures);
        else
            add(outdoor_dry_bulb, "odb", by_outdoor, 5.0, 60.0, temperatures);
        add(airflow, "airflow", by_airflow, 0.02, 20.0, {Unit(units::scfm), Unit(units::m3_s), Unit(units::L_s)});
        if (humidity_axis(page_) == HumidityAxis::relative_humidity)
            add(humidity, "rh", by_relative_humidity, 0.0, 1.0, {Unit(units::percent), Unit(units::one)});
        else  // no wet bulb is above the dry bulb
            add(humidity, "ewb", by_wet_bulb, 3.0,
                page_.entering_dry_bulb.empty() && basis_.sensible_at ? basis_.sensible_at->si + 0.2 : 35.0,
                temperatures);
        add(entering_dry_bulb, "edb", by_dry_bulb, 10.0, 55.0, temperatures);
        add(pressure, "pressure", by_pressure, 50e3, 110e3, {Unit(units::psia), Unit(units::Pa)});
        return out;
    }

    [[nodiscard]] std::vector<LabelColumn> label_columns() const {
        const auto tendencies = [&](const std::string& role) {
            std::vector<Tendency> out;
            for (const PageAxis a : axes_) {
                out.push_back(tendency(role, a, of_));
                if (a == PageAxis::humidity && !page_.pairs.empty())  // of a pair's dry bulb
                    out.push_back(tendency(role, PageAxis::entering_dry_bulb, of_));
            }
            return out;
        };
        std::vector<LabelColumn> out;
        const auto add = [&](const char* role, double step, double PrintedNode::*member) {
            LabelColumn& c = out.emplace_back();
            c.role = role;
            c.tendencies = tendencies(role);
            if (c.role == "sensible") c.own = 0.01;
            if (of_ == PageOf::heating_with_frost) c.own = c.role == "total" ? 0.06 : 0.03;
            std::vector<double> sizes;
            for (const PrintedNode& node : page_.nodes) {
                const double value = node.*member;
                const bool printed = node.mark == Mark::printed || node.mark == Mark::dry;
                const bool usable = printed && value > 0.0 && value < most_counted;
                c.y.push_back(usable ? air::elementary::log(value) : std::numeric_limits<double>::quiet_NaN());
                c.in.push_back(usable && node.mark == Mark::printed);
                if (usable) sizes.push_back(value);
            }
            if (sizes.empty()) {
                out.pop_back();
                return;
            }
            const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
            std::nth_element(sizes.begin(), middle, sizes.end());
            c.least_scatter = std::isfinite(step) ? step / *middle / std::sqrt(12.0) : 0.0;
        };
        add("total", page_.total_step, &PrintedNode::total);
        if (page_.has_sensible) add("sensible", page_.sensible_step, &PrintedNode::sensible);
        if (page_.has_power) add("power", page_.power_step, &PrintedNode::power);
        return out;
    }

    /// Temperatures none of which can be one, and all of which would be in the other unit: the whole axis.
    [[nodiscard]] std::vector<Suspect> other_units(std::vector<LabelAxis>& axes) const {
        std::vector<Suspect> out;
        for (LabelAxis& axis : axes) {
            const Unit unit = axis.units.front();
            if (axis.roles.size() > 1 || unit.dimension != Dimension::temperature) continue;
            const Unit other = unit.name == units::degF.name ? Unit(units::degC) : Unit(units::degF);
            const auto possible = [&](double si) { return si >= axis.least && si <= axis.greatest; };
            std::vector<double> converted;
            for (const double si : axis.labels.front()) converted.push_back(other.to_si(unit.from_si(si)));
            if (std::any_of(axis.labels.front().begin(), axis.labels.front().end(), possible)) continue;
            if (!std::all_of(converted.begin(), converted.end(), possible)) continue;
            Suspect& s = out.emplace_back();
            s.column = axis.roles.front();
            s.place = page_.places.empty() ? InputError::Place{} : page_.places.front();
            s.typed = axis.texts.front().front();
            s.unit = unit;
            s.printed = axis.labels.front().front();
            s.implied = converted.front();
            s.checks.add(Check::unit);
            s.slip = Slip::unit;
            s.guess = other.name;
            s.score = 1000.0;
            if (s.place.line > 0) s.edits.push_back({s.place.line, s.column, std::string(unit.name), s.guess, true});
            axis.labels.front() = std::move(converted);
            axis.units.front() = other;
        }
        return out;
    }

    /// Dry rows do not lie above wet ones of their line; no wet bulb lies above its dry bulb.
    [[nodiscard]] std::vector<Contradictions> contradictions() const {
        const auto at = std::find(axes_.begin(), axes_.end(), PageAxis::humidity);
        if (at == axes_.end() || humidity_axis(page_) == HumidityAxis::pairs) return {};
        Contradictions out;
        out.axis = static_cast<std::size_t>(at - axes_.begin());
        const std::size_t size = shape_.size(PageAxis::humidity);
        out.above.assign(size, std::vector<double>(size, 0.0));
        for (std::size_t n = 0; n < shape_.nodes(); ++n)
            for (std::size_t j = 0; page_.nodes[n].mark == Mark::dry && j < size; ++j)
                if (page_.nodes[shape_.moved(n, PageAxis::humidity, j)].mark == Mark::printed)
                    out.above[shape_.index(n, PageAxis::humidity)][j] += 1.0;
        return {out};
    }

    [[nodiscard]] Suspect suspect(const WrongLabel& wrong, const std::vector<LabelAxis>& put_right) const {
        const PageAxis a = axes_[wrong.axis];
        const LabelAxis& axis = put_right[wrong.axis];
        Suspect out;
        out.column = axis.roles[wrong.number];
        out.unit = axis.units[wrong.number];
        out.slip = wrong.slip;
        out.checks.add(Check::axis);
        out.score = std::sqrt(2.0 * wrong.gain);
        for (std::size_t n = 0; n < shape_.nodes(); ++n)
            if (shape_.index(n, a) == wrong.label) out.block.push_back(n);
        const std::size_t first = out.block.front();
        const auto place = [&](std::size_t n) {
            return n < page_.places.size() ? page_.places[n] : InputError::Place{};
        };
        out.place = place(first);
        out.printed = label(wrong, wrong.label);
        out.typed = text(wrong, axis, wrong.label);
        if (wrong.slip != Slip::repeated_block) {
            out.implied = wrong.meant;
            out.guess = wrong.text;
        }
        if (wrong.other) {
            out.source = shape_.moved(first, a, *wrong.other);
            out.other = text(wrong, axis, *wrong.other);
        }
        add_edits(wrong, axis, out);
        return out;
    }
    /// Rows come in any order, so that exchanged numbers are put right by exchanging their labels.
    void add_edits(const WrongLabel& wrong, const LabelAxis& axis, Suspect& out) const {
        if (out.guess.empty()) return;
        std::vector<int> lines;  // several nodes may stand in one row
        const auto add = [&](std::size_t label, const std::string& typed, const std::string& meant) {
            for (std::size_t n = 0; n < page_.places.size(); ++n) {
                const int line = page_.places[n].line;
                if (shape_.index(n, axes_[wrong.axis]) != label || line == 0) continue;
                if (std::find(lines.begin(), lines.end(), line) != lines.end()) continue;
                lines.push_back(line);
                out.edits.push_back({line, out.column, typed, meant, false});
            }
        };
        add(wrong.label, out.typed, out.guess);
        if (wrong.slip == Slip::exchanged_blocks) add(*wrong.other, text(wrong, axis, *wrong.other), out.typed);
    }
    /// A label as printed.
    [[nodiscard]] double label(const WrongLabel& wrong, std::size_t i) const {
        const PageAxis a = axes_[wrong.axis];
        if (a != PageAxis::humidity || page_.pairs.empty()) return shape_.breakpoints(a)[i];
        return wrong.number == 0 ? page_.pairs[i].wet_bulb : page_.pairs[i].dry_bulb;
    }
    [[nodiscard]] std::string text(const WrongLabel& wrong, const LabelAxis& axis, std::size_t i) const {
        for (const TypedColumn& column : page_.typed)
            if (column.role == axis.roles[wrong.number] && column.texts.size() == shape_.nodes())
                for (std::size_t n = 0; n < shape_.nodes(); ++n)
                    if (shape_.index(n, axes_[wrong.axis]) == i) return column.texts[n];
        return brief(axis.units[wrong.number].from_si(label(wrong, i)), 9);
    }

    /// The page with its labels put right, in rising order; of a repeated block nothing is known.
    void put_right(const std::vector<WrongLabel>& found, const std::vector<LabelAxis>& axes, PrintedPage& page,
                   std::vector<std::size_t>& from) const {
        for (const WrongLabel& wrong : found)
            for (std::size_t n = 0; wrong.slip == Slip::repeated_block && n < shape_.nodes(); ++n) {
                if (shape_.index(n, axes_[wrong.axis]) != wrong.label) continue;
                page.nodes[n] = {};
                page.nodes[n].mark = Mark::blank;
                for (ExtraColumn& extra : page.extras)
                    if (n < extra.values.size()) extra.values[n] = std::numeric_limits<double>::quiet_NaN();
            }
        for (std::size_t a = 0; a < axes.size(); ++a) {
            const PageAxis which = axes_[a];
            if (which == PageAxis::humidity && !page_.pairs.empty()) {
                for (std::size_t i = 0; i < page.pairs.size(); ++i)
                    page.pairs[i] = {axes[a].labels[1][i], axes[a].labels[0][i]};
                continue;
            }
            sort_axis(which, axes[a].labels.front(), page, from);
        }
    }

   public:
    /// Gives an axis other labels, and sorts the nodes by them.
    static void sort_axis(PageAxis axis, const std::vector<double>& labels, PrintedPage& page,
                          std::vector<std::size_t>& from) {
        const PageShape shape(page);
        std::vector<std::size_t> order(labels.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t i, std::size_t j) { return labels[i] < labels[j]; });
        std::vector<double>& x = axis_of(page, axis);
        for (std::size_t i = 0; i < order.size(); ++i) x[i] = labels[order[i]];
        const auto sort = [&](auto& list) {
            if (list.size() != shape.nodes()) return;
            auto sorted = list;
            for (std::size_t n = 0; n < list.size(); ++n)
                sorted[n] = list[shape.moved(n, axis, order[shape.index(n, axis)])];
            list = std::move(sorted);
        };
        sort(page.nodes);
        sort(page.places);
        sort(from);
        for (ExtraColumn& extra : page.extras) sort(extra.values);
        for (TypedColumn& column : page.typed) sort(column.texts);
    }
    [[nodiscard]] static std::vector<double>& axis_of(PrintedPage& page, PageAxis axis) {
        switch (axis) {
            case PageAxis::outdoor_dry_bulb:
                return page.outdoor_dry_bulb;
            case PageAxis::airflow:
                return page.airflow;
            case PageAxis::humidity:
                return page.relative_humidity.empty() ? page.entering_wet_bulb : page.relative_humidity;
            case PageAxis::entering_dry_bulb:
                return page.entering_dry_bulb;
            case PageAxis::pressure:
                break;
        }
        return page.pressure;
    }

   private:
    const Basis& basis_;
    const PrintedPage& page_;
    PageOf of_;
    PageShape shape_;
    std::vector<PageAxis> axes_;
    PageRoughness rough_;
};

}  // namespace offnominal::detail
