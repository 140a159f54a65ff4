#include "page_outputs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "page_roles.hpp"

namespace offnominal::files {
namespace {

bool is_ratio(const Table& table, int column) {
    return column >= 0 && table[column].unit.dimension == Dimension::ratio;
}

bool is_printed(const PrintedNode& node) { return node.mark == Mark::printed || node.mark == Mark::dry; }

/// What the numbers of a column are multiplied by to be watts: 1, or the rated value they are ratios to.
double scale(const Table& table, int column, Power rated, const std::string& key) {
    if (!is_ratio(table, column)) return 1.0;
    if (!(rated.si > 0.0))
        table.refuse(column, "a ratio, but the rated value it is relative to is not given",
                     "a unit of power under the column, or basis: rated: {" + key + "}");
    return rated.si;
}

/// A capacity typed under the unit of a ratio would be one far from 1, and so would 0.97 typed under %.
void check_ratio(const Table& table, const Row& row, int column, double least, double greatest,
                 const std::string& range) {
    if (!is_ratio(table, column)) return;
    const double ratio = value(row, column);
    if (ratio >= least && ratio <= greatest) return;
    const bool is_total = column == table.column(roles::total.name);
    const std::string meant = ratio < least ? "fraction" : is_total ? "capacity" : "power";
    table.refuse(row, column, "not a ratio to the rated value: was it a " + meant + "?",
                 range + ", or a unit of power under the column");
}

/// The sensible column: where it stands, and how its numbers become watts.
class Sensible {
   public:
    Sensible(const Table& table, const Layout& layout, Basis& basis)
        : table_(table), columns_(layout.columns(roles::sensible.name)), first_(table.column(roles::sensible.name)) {
        SensibleRatioOf& of = basis.sensible_ratio_of;
        if (!is_ratio(table, first_)) of = SensibleRatioOf::not_a_ratio;  // said of the other stages
        if (is_ratio(table, first_) && of == SensibleRatioOf::not_a_ratio)
            table.refuse(first_, "a ratio of sensible capacity to what?",
                         "basis: sensible_ratio_of: total, rated total or rated sensible");
        of_total_ = of == SensibleRatioOf::total;
        if (of == SensibleRatioOf::rated_total) scale_ = scale(table, first_, basis.rated.total, "total: 36.0 MBh");
        if (of == SensibleRatioOf::rated_sensible)
            scale_ = scale(table, first_, basis.rated.sensible, "sensible: 27.4 MBh");
        const Unit &total = table[table.column(roles::total.name)].unit, &own = first_ < 0 ? total : table[first_].unit;
        like_total_ = of_total_ || (own.name == total.name && of != SensibleRatioOf::rated_sensible);
    }

    [[nodiscard]] bool printed() const noexcept { return first_ >= 0; }

    /// Every entering dry bulb of a row blank, but not the row.
    [[nodiscard]] bool all_blank(const Row& row) const {
        return std::ranges::all_of(columns_, [&](int c) { return is_blank(cell(row, c)); });
    }

    /// Sensible and mark of a node whose total is there.
    void read(const Layout::Node& at, double steps, PrintedNode& node) const {
        const int column = columns_[at.at];
        const Cell& typed = cell(*at.row, column);
        if (is_blank(typed)) {
            node.mark = mark_of(typed);
            return;
        }
        node.sensible = typed.si * (of_total_ ? node.total : scale_);
        // The page says dry by its `d`, or by printing sensible equal to total: equal as printed, or where the two are
        // printed differently, equal as far as the print goes.
        const bool said = typed.state == Cell::State::dry;
        if (said && std::abs(node.sensible - node.total) > (like_total_ ? 0.0 : 0.501 * steps))
            table_.refuse(*at.row, column, "marked dry, but it is not the total",
                          of_total_ ? "1.00d: total = sensible on a dry coil"
                                    : "total = sensible on a dry coil, as in 30.8 30.8d");
        if (said) node.sensible = node.total;
        if (node.sensible == node.total) node.mark = Mark::dry;
    }

    /// One unit in the last printed place, W.
    [[nodiscard]] double step(const PrintedPage& page) const {
        const double step = table_.step_of(columns_);
        if (!of_total_) return step * scale_;
        double total = 0.0, ratio = 0.0;
        for (const PrintedNode& node : page.nodes) {
            total = std::max(total, node.total);
            if (is_printed(node)) ratio = std::max(ratio, node.sensible / node.total);
        }
        return step_of_product(page.total_step, ratio, step, total);
    }

    /// The same before the totals are known, for a column that is not relative to them.
    [[nodiscard]] double own_step() const { return table_.step_of(columns_) * scale_; }

   private:
    [[nodiscard]] static bool is_blank(const Cell& cell) {
        return cell.state == Cell::State::blank || cell.state == Cell::State::beyond_limit;
    }

    const Table& table_;
    std::vector<int> columns_;
    int first_;
    double scale_ = 1.0;
    bool of_total_ = false;
    bool like_total_ = true;
};

}  // namespace

void fill_outputs(const Fields& fields, const Table& table, const Layout& layout, Basis& basis, PrintedPage& page) {
    const int total = table.column(roles::total.name), power = table.column(roles::power.name),
              bypass = table.column(roles::bypass.name);
    const TypedAxis one_bypass = axis_of(fields, table, roles::bypass);  // a column, or one value
    const Sensible sensible(table, layout, basis);
    const double total_scale = scale(table, total, basis.rated.total, "total: 36.0 MBh");
    const double power_scale = scale(table, power, basis.rated.power, "power: 2.60 kW");

    page.has_sensible = sensible.printed();
    page.has_power = power >= 0;
    page.has_bypass = one_bypass.kind != TypedAxis::Kind::absent;
    page.total_step = table.step(total) * total_scale;
    if (page.has_power) page.power_step = table.step(power) * power_scale;
    const double steps = page.has_sensible ? page.total_step + sensible.own_step() : 0.0;
    const double bypass_of_all = one_bypass.values.empty() ? 0.0 : one_bypass.values.front();

    page.nodes.reserve(layout.nodes().size());
    for (const Layout::Node& at : layout.nodes()) {
        const Row& row = *at.row;
        PrintedNode& node = page.nodes.emplace_back();
        node.mark = mark_of(cell(row, total));
        if (node.mark != Mark::printed) continue;
        check_ratio(table, row, total, 0.2, 2.0, "0.2 to 2");
        check_ratio(table, row, power, 0.05, 2.0, "0.05 to 2");
        node.total = value(row, total) * total_scale;
        node.power = value(row, power) * power_scale;
        node.bypass = value(row, bypass, bypass_of_all);
        if (!page.has_sensible) continue;
        sensible.read(at, steps, node);
        const bool has_dry_bulbs = page.entering_dry_bulb.size() > 1;
        if (!is_printed(node) &&
            (!has_dry_bulbs || (at.at == 0 && sensible.all_blank(row) && layout.axis(3).at.size() > 1)))
            table.refuse_partly_blank(row);
    }
    if (page.has_sensible) page.sensible_step = sensible.step(page);

    page.extras = layout.extras();
    page.places = layout.places();
    page.typed = layout.typed();
    if (one_bypass.kind == TypedAxis::Kind::one_value)
        page.typed.push_back({std::string(one_bypass.role), one_bypass.unit,
                              std::vector<std::string>(page.nodes.size(), one_bypass.texts.front())});
}

Multipliers read_airflow_factors(const Fields& fields, const Item& item, const std::string& folder,
                                 const PrintedPage& page) {
    const std::string where = fields.path("airflow_factors");
    if (page.airflow.size() > 1)
        fields.refuse(item, where + ": the page prints several airflows itself", "a page printed at one airflow");
    const auto factor = [](std::string_view name, bool printed) {
        return Role{name, Dimension::ratio, Role::Kind::output, printed};
    };
    std::vector<Role> outputs{factor("total", true)};
    if (page.has_sensible) outputs.push_back(factor("sensible", true));
    if (page.has_power) outputs.push_back(factor("power", true));
    return read_multipliers(fields.document(), item, folder, where, roles::airflow, outputs,
                            page.airflow.empty() ? std::nullopt : std::optional(page.airflow.front()));
}

namespace {

/// A node at an airflow with factors.
PrintedNode multiplied(PrintedNode node, double total, double sensible, double power) {
    if (!is_printed(node)) return node;
    node.total *= total;
    node.power *= power;
    node.sensible = node.mark == Mark::dry ? node.total : std::min(node.sensible * sensible, node.total);
    if (node.sensible == node.total) node.mark = Mark::dry;
    return node;
}

}  // namespace

void multiply_airflow(const Multipliers& factors, Basis& basis, PrintedPage& page) {
    const Multipliers::Factor& total = factors.factors[0];
    const Multipliers::Factor* const sensible = page.has_sensible ? &factors.factors[1] : nullptr;
    const Multipliers::Factor* const power = page.has_power ? &factors.factors.back() : nullptr;
    const auto most = [&](double PrintedNode::*output) {
        double out = 0.0;
        for (const PrintedNode& node : page.nodes) out = std::max(out, node.*output);
        return out;
    };
    page.total_step = step_of_product(page.total_step, 1.0, total.step, most(&PrintedNode::total));
    if (sensible != nullptr)
        page.sensible_step = step_of_product(page.sensible_step, 1.0, sensible->step, most(&PrintedNode::sensible));
    if (power != nullptr)
        page.power_step = step_of_product(page.power_step, 1.0, power->step, most(&PrintedNode::power));
    if (factors.typed.unit.standard_air) basis.airflow = AirflowBasis::standard;

    // The nodes of one outdoor dry bulb stand once for each airflow.
    const std::size_t inner = page.nodes.size() / page.outdoor_dry_bulb.size();
    const auto spread = [&](const auto& from, const auto& of) {
        std::decay_t<decltype(from)> out;
        out.reserve(from.size() * factors.values.size());
        for (std::size_t first = 0; first < from.size(); first += inner)
            for (std::size_t a = 0; a < factors.values.size(); ++a)
                for (std::size_t i = first; i < first + inner; ++i) out.push_back(of(from[i], a));
        return out;
    };
    page.nodes = spread(page.nodes, [&](const PrintedNode& node, std::size_t a) {
        if (a == factors.printed) return node;
        return multiplied(node, total.values[a], sensible == nullptr ? 1.0 : sensible->values[a],
                          power == nullptr ? 1.0 : power->values[a]);
    });
    page.places = spread(page.places, [](const InputError::Place& place, std::size_t) { return place; });
    for (ExtraColumn& extra : page.extras)
        extra.values = spread(extra.values, [&](double v, std::size_t a) {
            return a == factors.printed ? v : std::numeric_limits<double>::quiet_NaN();
        });
    std::erase_if(page.typed, [](const TypedColumn& column) { return column.role == roles::airflow.name; });
    for (TypedColumn& column : page.typed) {
        constexpr std::array axes{roles::odb, roles::ewb, roles::rh, roles::edb, roles::pressure};
        const bool is_axis = std::ranges::find(axes, column.role, &Role::name) != axes.end();
        column.texts = spread(column.texts, [&](const std::string& text, std::size_t a) {
            return is_axis || a == factors.printed ? text : std::string();
        });
    }
    TypedColumn& airflow = page.typed.emplace_back(factors.typed);
    airflow.texts.clear();
    for (std::size_t n = 0; n < page.nodes.size(); ++n)
        airflow.texts.push_back(factors.typed.texts[n / inner % factors.values.size()]);
    page.airflow = factors.values;
    page.airflow_multiplied = true;
    page.airflow_factors = factors.typed_factors;
}

}  // namespace offnominal::files
