#include "read/multipliers.hpp"

#include <cmath>

#include "ranges.hpp"

namespace offnominal::files {
namespace {

constexpr double least_factor = 0.2, greatest_factor = 2.0;

/// The row that is the page's own.
std::size_t printed_row(const Table& table, const Layout& layout, const Multipliers& all, std::optional<double> at) {
    const std::string accepted = "a row with the factors 1 for the value the page is printed at";
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < all.values.size(); ++i) {
        const bool ones = ranges::all_of(
            all.factors, [&](const Multipliers::Factor& f) { return f.values.empty() || f.values[i] == 1.0; });
        const bool here = at ? std::abs(all.values[i] - *at) <= 1e-9 * std::abs(*at) : ones;
        if (!here) continue;
        const Row& row = *layout.nodes()[i].row;
        if (!ones) table.refuse(row, "factors for the value the page is printed at that are not 1", accepted);
        if (found)
            table.refuse(row, "a second row with the factors 1: which is the page printed at?",
                         "the value of the page beside its table, as in airflow: 1200 scfm");
        found = i;
    }
    if (!found) throw InputError(table.place(), "no row for the value the page is printed at", {}, accepted);
    return *found;
}

}  // namespace

Multipliers read_multipliers(const Document& document, const Item& item, const std::string& where, const Role& axis,
                             std::span<const Role> outputs, std::optional<double> at, std::size_t nodes) {
    std::vector<Role> roles{axis};
    roles.front().required = true;
    roles.insert(roles.end(), outputs.begin(), outputs.end());
    const Table table = read_table(document, item, where, roles);
    if (const std::size_t most = table.budget().limits().factor_rows; table.rows().size() > most)
        table.budget().refuse(&Limits::factor_rows, table.place(table.rows()[most]));
    if (!table.budget().take(&Limits::nodes, nodes * (table.rows().size() - 1)))
        table.budget().refuse(&Limits::nodes, table.place());
    TypedAxis column;
    column.kind = TypedAxis::Kind::column;
    column.role = axis.name;
    column.column = table.column(axis.name);
    column.unit = table[column.column].unit;
    const Layout layout(table, {column});

    Multipliers out;
    out.values = standard_airflows(layout.axis(0));
    out.typed = {std::string(axis.name), column.unit, {}};
    for (const Layout::Node& node : layout.nodes()) out.typed.texts.emplace_back(cell(*node.row, column.column).text);
    for (const Role& role : outputs) {
        Multipliers::Factor& factor = out.factors.emplace_back();
        const int c = table.column(role.name);
        if (c < 0) continue;
        factor.step = table.step(c);
        TypedColumn& typed = out.typed_factors.emplace_back(TypedColumn{std::string(role.name), table[c].unit, {}});
        for (const Layout::Node& node : layout.nodes()) {
            const double f = value(*node.row, c);
            if (cell(*node.row, c).state != Cell::State::number || !(f >= least_factor && f <= greatest_factor))
                table.refuse(*node.row, c, "not a factor", "a factor from 0.2 to 2");
            factor.values.push_back(f);
            typed.texts.emplace_back(cell(*node.row, c).text);
        }
    }
    out.printed = printed_row(table, layout, out, at);
    return out;
}

double step_of_product(double step, double factor, double step_of_factor, double number) {
    const double a = step * factor, b = step_of_factor * number;
    return std::sqrt(a * a + b * b);
}

}  // namespace offnominal::files
