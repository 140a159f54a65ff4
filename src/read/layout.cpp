#include "read/layout.hpp"

#include <algorithm>
#include <limits>

#include "offnominal/air.hpp"
#include "ranges.hpp"

namespace offnominal::files {
namespace {

constexpr auto no_number = std::numeric_limits<double>::quiet_NaN();

}  // namespace

std::size_t TypedAxis::index(const Row& row) const {
    switch (kind) {
        case Kind::column:
            return static_cast<std::size_t>(ranges::lower_bound(values, value(row, column)) - values.begin());
        case Kind::pairs:
            return numbers.at({value(row, column), value(row, second)});
        case Kind::absent:
        case Kind::one_value:
        case Kind::columns:
            break;
    }
    return 0;
}

TypedAxis axis_of(const Fields& fields, const Table& table, const Role& role) {
    TypedAxis axis;
    axis.role = role.name;
    axis.column = table.column(role.name);
    if (axis.column >= 0) {
        axis.kind = TypedAxis::Kind::column;
        axis.unit = table[axis.column].unit;
    }
    if (const Item* typed = fields.find(role.name)) {
        if (axis.column >= 0)
            fields.refuse(*typed, fields.path(role.name) + ": beside a column of that name",
                          "the column, or one value for all of it");
        const Measured one = fields.measured(*typed, role.name, role.dimension, role.other);
        axis.kind = TypedAxis::Kind::one_value;
        axis.unit = one.unit;
        axis.values = {one.si};
        axis.texts = {one.text};
    }
    return axis;
}

TypedAxis axis_of_pairs(const Table& table, int first, int second) {
    TypedAxis axis;
    axis.kind = TypedAxis::Kind::pairs;
    axis.role = table[first].role.name;
    axis.column = first;
    axis.second = second;
    axis.unit = table[first].unit;
    return axis;
}

TypedAxis axis_of_columns(const Table& table, std::string_view role, std::string_view name, const Unit& unit) {
    TypedAxis axis;
    axis.kind = TypedAxis::Kind::columns;
    axis.role = name;
    axis.unit = unit;
    for (const Table::Column& column : table.columns())
        if (column.role.name == role && column.at) axis.at.push_back(*column.at);
    ranges::sort(axis.at);
    for (const double at : axis.at) axis.values.push_back(unit.to_si(at));
    axis.texts.resize(axis.at.size());
    for (std::size_t c = 0; c < table.columns().size(); ++c) {
        const Table::Column& column = table.columns()[c];
        if (!column.at) continue;
        const auto found = ranges::find(axis.at, *column.at);
        if (found == axis.at.end())
            table.refuse(static_cast<int>(c), "no column '" + std::string(role) + "' for this value",
                         "one of the values of " + std::string(role));
        axis.texts[static_cast<std::size_t>(found - axis.at.begin())] = column.name.substr(column.name.find('@') + 1);
    }
    return axis;
}

std::vector<double> standard_airflows(const TypedAxis& axis) {
    std::vector<double> out = axis.values;
    if (axis.unit.dimension == Dimension::mass_flow)
        for (double& flow : out) flow = air::si::standard_from_dry_mass(flow);
    return out;
}

Layout::Layout(const Table& table, std::vector<TypedAxis> axes, std::string hint)
    : table_(table), axes_(std::move(axes)), hint_(std::move(hint)) {
    collect();
    order();
}

void Layout::collect() {
    for (TypedAxis& axis : axes_) {
        if (axis.kind == TypedAxis::Kind::column) {
            axis.values.reserve(table_.rows().size());
            for (const Row& row : table_.rows()) axis.values.push_back(value(row, axis.column));
            ranges::sort(axis.values);
            axis.values.erase(std::unique(axis.values.begin(), axis.values.end()), axis.values.end());
        } else if (axis.kind == TypedAxis::Kind::pairs) {
            for (const Row& row : table_.rows()) {
                const std::pair pair{value(row, axis.column), value(row, axis.second)};
                if (!axis.numbers.emplace(pair, axis.pairs.size()).second) continue;
                axis.values.push_back(static_cast<double>(axis.pairs.size()));
                axis.pairs.push_back(pair);
            }
        }
        if (axis.size() > table_.budget().limits().breakpoints)
            table_.budget().refuse(&Limits::breakpoints, table_.place(), std::string(axis.role));
    }
}

/// The first node of a row; where an axis of Kind::columns adds others, they follow.
std::uint64_t Layout::number(const Row& row) const {
    std::uint64_t n = 0;
    for (const TypedAxis& axis : axes_) n = n * axis.size() + axis.index(row);
    return n;
}

/// Nodes sorted by number must count 0, 1, 2, ... to the number of combinations.
void Layout::order() {
    std::uint64_t combinations = 1, stride = 1;
    std::size_t along = 1;  // the values of an axis of Kind::columns
    for (const TypedAxis& axis : axes_) {
        if (axis.size() > (std::uint64_t{1} << 62) / combinations) {
            refuse_lone_value();
            throw InputError(table_.place(), "no row for most combinations of the axes", {},
                             accepted("a row for each combination of the axes"));
        }
        combinations *= axis.size();
        stride *= axis.size();
        if (axis.kind != TypedAxis::Kind::columns) continue;
        along = axis.size();
        stride = 1;
    }
    if (!table_.budget().take(&Limits::nodes, table_.rows().size() * along))
        table_.budget().refuse(&Limits::nodes, table_.place());
    std::vector<std::pair<std::uint64_t, Node>> sorted;
    sorted.reserve(table_.rows().size() * along);
    for (const Row& row : table_.rows()) {
        const std::uint64_t first = number(row);
        for (std::size_t at = 0; at < along; ++at) sorted.push_back({first + at * stride, {&row, at}});
    }
    ranges::stable_sort(sorted, {}, [](const auto& pair) { return pair.first; });
    for (std::size_t i = 1; i < sorted.size(); ++i)
        if (sorted[i].first == sorted[i - 1].first)
            table_.refuse(
                *sorted[i].second.row, "a second row for " + worded(sorted[i].first),
                "one row for each combination; the first is in line " + std::to_string(sorted[i - 1].second.row->line));
    for (std::uint64_t i = 0; i < combinations; ++i)
        if (i >= sorted.size() || sorted[i].first != i) refuse_hole(i, i == 0 ? nullptr : sorted[i - 1].second.row);
    nodes_.reserve(sorted.size());
    for (const auto& [number, node] : sorted) nodes_.push_back(node);
}

std::string Layout::accepted(std::string text) const { return hint_.empty() ? text : text + "; " + hint_; }

void Layout::refuse_hole(std::uint64_t hole, const Row* before) const {
    refuse_lone_value();
    const std::string problem = "no row for " + worded(hole);
    const std::string wanted = accepted("a row for each combination of the axes, with - where the page is blank");
    if (before == nullptr) throw InputError(table_.place(), problem, {}, wanted);
    table_.refuse(*before, problem + ", which would follow this one", wanted);
}

/// A mistyped axis value (58 for 85) makes a hole for every other combination. It is best shown where it stands: a
/// value in one row only, on an axis whose other values stand in many.
void Layout::refuse_lone_value() const {
    for (const TypedAxis& axis : axes_) {
        if (axis.values.size() < 2 || axis.column < 0) continue;
        std::vector<const Row*> last(axis.values.size());
        std::vector<std::size_t> count(axis.values.size());
        for (const Row& row : table_.rows()) {
            last[axis.index(row)] = &row;
            ++count[axis.index(row)];
        }
        if (*ranges::max_element(count) < 3) continue;
        const auto lone = ranges::find(count, 1u);
        if (lone == count.end()) continue;
        const std::string role(table_[axis.column].role.name);
        table_.refuse(*last[static_cast<std::size_t>(lone - count.begin())], axis.column,
                      axis.second < 0 ? role + " has this value in one row only" : "this pair stands in one row only",
                      accepted("the values of the page; a row for each combination of the axes"));
    }
}

/// `odb 95 degF, airflow 1000 scfm, ewb 63 degF`
std::string Layout::worded(std::uint64_t number) const {
    std::string out;
    std::vector<std::size_t> index(axes_.size());
    for (std::size_t i = axes_.size(); i-- > 0; number /= axes_[i].size())
        index[i] = static_cast<std::size_t>(number % axes_[i].size());
    const auto add = [&](int column, double si) { out += (out.empty() ? "" : ", ") + worded(column, si); };
    for (std::size_t i = 0; i < axes_.size(); ++i) {
        const TypedAxis& axis = axes_[i];
        if (axis.kind == TypedAxis::Kind::column) add(axis.column, axis.values[index[i]]);
        if (axis.kind != TypedAxis::Kind::pairs) continue;
        add(axis.column, axis.pairs[index[i]].first);
        add(axis.second, axis.pairs[index[i]].second);
    }
    return out;
}

/// `odb 95 degF`
std::string Layout::worded(int column, double si) const {
    const auto row = ranges::find_if(table_.rows(), [&](const Row& r) { return value(r, column) == si; });
    return std::string(table_[column].role.name) + " " + table_.worded(cell(*row, column), column);
}

std::vector<int> Layout::columns(std::string_view role) const {
    const auto of_columns = ranges::find(axes_, TypedAxis::Kind::columns, &TypedAxis::kind);
    if (of_columns == axes_.end()) return {table_.column(role)};
    std::vector<int> out(of_columns->size(), -1);
    for (std::size_t c = 0; c < table_.columns().size(); ++c) {
        const Table::Column& column = table_.columns()[c];
        if (column.role.name != role) continue;
        for (std::size_t i = 0; i < out.size(); ++i)
            if (!column.at || *column.at == of_columns->at[i]) out[i] = static_cast<int>(c);
    }
    return out;
}

std::vector<InputError::Place> Layout::places() const {
    std::vector<InputError::Place> out;
    out.reserve(nodes_.size());
    for (const Node& node : nodes_) out.push_back(table_.place(*node.row));
    return out;
}

std::vector<TypedColumn> Layout::typed() const {
    std::vector<TypedColumn> out;
    const auto add = [&](std::string_view role, const Unit& unit, const auto& text_of) {
        TypedColumn& column = out.emplace_back(TypedColumn{std::string(role), unit, {}});
        column.texts.reserve(nodes_.size());
        for (const Node& node : nodes_) column.texts.emplace_back(text_of(node));
    };
    for (const TypedAxis& axis : axes_)
        if (!axis.texts.empty())  // one value, or one a column
            add(axis.role, axis.unit,
                [&](const Node& node) -> std::string_view { return axis.texts[node.at % axis.size()]; });
    for (const Table::Column& column : table_.columns()) {
        if (table_.columns().data() + table_.column(column.role.name) != &column) continue;  // another of the same role
        const std::vector<int> own = columns(column.role.name);
        add(column.role.name, column.unit, [&](const Node& node) {
            const int c = own[node.at % own.size()];
            return c < 0 ? std::string_view() : cell(*node.row, c).text;
        });
    }
    return out;
}

std::vector<ExtraColumn> Layout::extras() const {
    std::vector<ExtraColumn> out;
    for (const Table::Column& column : table_.columns()) {
        const int first = table_.column(column.role.name);
        if (column.role.kind != Role::Kind::extra || table_.columns().data() + first != &column) continue;
        ExtraColumn& extra = out.emplace_back();
        extra.name = column.role.name;
        extra.unit = column.unit;
        const std::vector<int> own = columns(column.role.name);
        extra.step = table_.step_of(own);
        extra.values.reserve(nodes_.size());
        for (const Node& node : nodes_) {
            const int c = own[node.at % own.size()];
            const bool printed = c >= 0 && cell(*node.row, c).state == Cell::State::number;
            extra.values.push_back(printed ? value(*node.row, c) : no_number);
        }
    }
    return out;
}

}  // namespace offnominal::files
