#include "page.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace offnominal::files {
namespace {

/// An axis of a page: the values that stand in a column, sorted, or one value for all of the page.
struct PageAxis {
    int column = -1;
    std::vector<double> values;
    std::string one_value;  ///< as typed, where the page has no column

    [[nodiscard]] std::size_t index(const Row& row) const {
        if (column < 0) return 0;
        const double si = row.cells[static_cast<std::size_t>(column)].si;
        return static_cast<std::size_t>(std::lower_bound(values.begin(), values.end(), si) - values.begin());
    }
};

/// The rows of a page in the order of its nodes.
class Layout {
   public:
    /// @throws InputError for a combination that stands twice or not at all
    Layout(const Table& table, std::array<PageAxis, 3> axes) : table_(table), axes_(std::move(axes)) {
        for (PageAxis& axis : axes_) {
            if (axis.column < 0) continue;
            for (const Row& row : table.rows())
                axis.values.push_back(row.cells[static_cast<std::size_t>(axis.column)].si);
            std::ranges::sort(axis.values);
            axis.values.erase(std::unique(axis.values.begin(), axis.values.end()), axis.values.end());
        }
        order();
    }

    [[nodiscard]] const PageAxis& axis(std::size_t i) const noexcept { return axes_[i]; }
    [[nodiscard]] const std::vector<const Row*>& nodes() const noexcept { return nodes_; }

   private:
    [[nodiscard]] std::uint64_t node(const Row& row) const {
        std::uint64_t n = 0;
        for (const PageAxis& axis : axes_) n = n * axis.values.size() + axis.index(row);
        return n;
    }

    /// Rows sorted by node must count 0, 1, 2, ... to the number of combinations.
    void order() {
        std::vector<std::pair<std::uint64_t, const Row*>> sorted;
        for (const Row& row : table_.rows()) sorted.emplace_back(node(row), &row);
        std::ranges::stable_sort(sorted, {}, [](const auto& pair) { return pair.first; });
        for (std::size_t i = 1; i < sorted.size(); ++i)
            if (sorted[i].first == sorted[i - 1].first)
                table_.refuse(
                    *sorted[i].second, "a second row for " + worded(sorted[i].first),
                    "one row for each combination; the first is in line " + std::to_string(sorted[i - 1].second->line));
        std::uint64_t combinations = 1;
        for (const PageAxis& axis : axes_) combinations *= axis.values.size();
        for (std::uint64_t i = 0; i < combinations; ++i)
            if (i >= sorted.size() || sorted[i].first != i) refuse_hole(i, i == 0 ? nullptr : sorted[i - 1].second);
        for (const auto& [number, row] : sorted) nodes_.push_back(row);
    }

    [[noreturn]] void refuse_hole(std::uint64_t hole, const Row* before) const {
        refuse_lone_value();
        const std::string problem = "no row for " + worded(hole);
        const std::string accepted = "a row for each combination of the axes, with - where the page is blank";
        if (before == nullptr) throw InputError(table_.place(), problem, {}, accepted);
        table_.refuse(*before, problem + ", which would follow this one", accepted);
    }

    /// A mistyped axis value (58 for 85) makes a hole for every other combination. It is best shown where it stands: a
    /// value in one row only, on an axis whose other values stand in many.
    void refuse_lone_value() const {
        for (const PageAxis& axis : axes_) {
            if (axis.values.size() < 2) continue;
            std::vector<const Row*> last(axis.values.size());
            std::vector<std::size_t> count(axis.values.size());
            for (const Row& row : table_.rows()) {
                last[axis.index(row)] = &row;
                ++count[axis.index(row)];
            }
            if (*std::ranges::max_element(count) < 3) continue;
            const auto lone = std::ranges::find(count, 1u);
            if (lone == count.end()) continue;
            const Row& row = *last[static_cast<std::size_t>(lone - count.begin())];
            const std::string& role = name(axis.column);
            table_.refuse(row, axis.column, role + " has this value in one row only",
                          "the values of the page; a row for each combination of the axes");
        }
    }

    [[nodiscard]] std::string name(int column) const {
        return std::string(table_.columns()[static_cast<std::size_t>(column)].role.name);
    }

    /// `odb 95 degF, airflow 1000 scfm, ewb 63 degF`
    [[nodiscard]] std::string worded(std::uint64_t number) const {
        std::string out;
        std::array<std::size_t, 3> index{};
        for (std::size_t i = 3; i-- > 0; number /= axes_[i].values.size())
            index[i] = static_cast<std::size_t>(number % axes_[i].values.size());
        for (std::size_t i = 0; i < 3; ++i) {
            const PageAxis& axis = axes_[i];
            if (axis.column < 0) continue;
            const double si = axis.values[index[i]];
            const auto row = std::ranges::find_if(
                table_.rows(), [&](const Row& r) { return r.cells[static_cast<std::size_t>(axis.column)].si == si; });
            if (!out.empty()) out += ", ";
            out +=
                name(axis.column) + " " + table_.worded(row->cells[static_cast<std::size_t>(axis.column)], axis.column);
        }
        return out;
    }

    const Table& table_;
    std::array<PageAxis, 3> axes_;
    std::vector<const Row*> nodes_;
};

Mark mark_of(const Cell& cell) {
    switch (cell.state) {
        case Cell::State::blank:
            return Mark::blank;
        case Cell::State::beyond_limit:
            return Mark::beyond_limit;
        case Cell::State::dry:
            return Mark::dry;
        case Cell::State::number:
            break;
    }
    return Mark::printed;
}

/// A cell that one row may not have.
double value(const Row& row, int column, double fallback = 0.0) {
    return column < 0 ? fallback : row.cells[static_cast<std::size_t>(column)].si;
}

/// The page says dry by its `d`, or by printing sensible equal to total.
void read_dryness(const Table& table, const Row& row, int total, int sensible, PrintedNode& node) {
    const bool said = row.cells[static_cast<std::size_t>(sensible)].state == Cell::State::dry;
    // Equal as printed; in two units, equal as far as the print goes.
    const auto unit = [&](int c) { return table.columns()[static_cast<std::size_t>(c)].unit.name; };
    const double near = unit(total) == unit(sensible) ? 0.0 : 0.501 * (table.step(total) + table.step(sensible));
    if (said && std::abs(node.sensible - node.total) > near)
        table.refuse(row, sensible, "marked dry, but it is not the total",
                     "total = sensible on a dry coil, as in 30.8 30.8d");
    if (said) node.sensible = node.total;
    if (node.sensible == node.total) node.mark = Mark::dry;
}

/// The `table: |` or the `file: name.csv` of a map.
Table read_table(const Fields& fields, const std::string& folder, const std::string& where,
                 std::span<const Role> roles) {
    const Item *block = fields.find("table"), *file = fields.find("file");
    if (block != nullptr && file != nullptr)
        fields.refuse(*file, fields.path("file") + ": beside a table", "a table or a file");
    if (file != nullptr) return Table::from_file(fields.document(), *file, folder, where, roles);
    if (block == nullptr) fields.missing("table", "table: | with the rows below it, or file: name.csv");
    return Table::from_block(fields.document(), *block, where, roles);
}

/// A table that is a block, or a map with one.
Table read_table(const Document& document, const Item& item, const std::string& folder, const std::string& where,
                 std::span<const Role> roles) {
    if (item.kind != Item::Kind::map) return Table::from_block(document, item, where, roles);
    return read_table(Fields(document, item, where, {"table", "file"}), folder, where, roles);
}

}  // namespace

RatingTable read_stage(const Document& document, const Item& item, const std::string& folder, const std::string& where,
                       Basis basis) {
    const Fields fields(document, item, where, {"table", "file", "odb", "airflow", "ewb", "bypass"});
    std::array roles{Role{"odb", Dimension::temperature, Role::Kind::axis},
                     Role{"airflow", Dimension::airflow, Role::Kind::axis},
                     Role{"ewb", Dimension::temperature, Role::Kind::axis},
                     Role{"total", Dimension::power},
                     Role{"sensible", Dimension::power, Role::Kind::output, false, true},
                     Role{"power", Dimension::power, Role::Kind::output, false},
                     Role{"bypass", Dimension::ratio, Role::Kind::output, false}};
    for (Role& role : roles) role.required = role.required && fields.find(role.name) == nullptr;
    const Table table = read_table(fields, folder, where, roles);

    // One value for all of the page, where it has no such column.
    const auto constant = [&](std::string_view role, Dimension dimension) -> std::optional<Measured> {
        const Item* typed = fields.find(role);
        if (typed == nullptr) return std::nullopt;
        if (table.column(role) >= 0)
            fields.refuse(*typed, fields.path(role) + ": beside a column of that name",
                          "the column, or one value for all of it");
        return fields.measured(*typed, role, dimension);
    };
    std::array<PageAxis, 3> axes;
    for (std::size_t i = 0; i < 3; ++i) {
        axes[i].column = table.column(roles[i].name);
        const auto one = constant(roles[i].name, roles[i].dimension);
        if (one) axes[i].values = {one->si};
        // The unit may say what the page does not.
        const Unit unit = one ? one->unit : table.columns()[static_cast<std::size_t>(axes[i].column)].unit;
        if (unit.standard_air) basis.airflow = AirflowBasis::standard;
    }
    const auto bypass = constant("bypass", Dimension::ratio);

    const Layout layout(table, std::move(axes));
    const int total = table.column("total"), sensible = table.column("sensible"), power = table.column("power"),
              bypass_column = table.column("bypass");
    PrintedPage page;
    page.outdoor_dry_bulb = layout.axis(0).values;
    page.airflow = layout.axis(1).values;
    page.entering_wet_bulb = layout.axis(2).values;
    page.has_sensible = sensible >= 0;
    page.has_power = power >= 0;
    page.has_bypass = bypass_column >= 0 || bypass;
    page.total_step = table.step(total);
    if (page.has_sensible) page.sensible_step = table.step(sensible);
    if (page.has_power) page.power_step = table.step(power);
    for (const Row* row : layout.nodes()) {
        PrintedNode node;
        node.mark = mark_of(row->cells[static_cast<std::size_t>(total)]);
        if (node.mark == Mark::printed) {
            node.total = value(*row, total);
            node.sensible = value(*row, sensible);
            node.power = value(*row, power);
            node.bypass = value(*row, bypass_column, bypass ? bypass->si : 0.0);
            if (page.has_sensible) read_dryness(table, *row, total, sensible, node);
        }
        page.nodes.push_back(node);
        page.places.push_back(table.place(*row));
    }
    try {
        return placed(document, item, [&] { return RatingTable(basis, std::move(page)); });
    } catch (const InputError& error) {  // of a node: show its row
        for (const Row* row : layout.nodes())
            if (error.text().empty() && row->line == error.line() && table.place(*row).file == error.file())
                table.refuse(*row, error.problem(), error.accepted());
        throw;
    }
}

LineTable read_line_table(const Document& document, const Item& item, const std::string& folder,
                          const std::string& where, LineTable::Limits limits) {
    static constexpr std::array roles{Role{"length", Dimension::length, Role::Kind::axis},
                                      Role{"suction", Dimension::length, Role::Kind::axis},
                                      Role{"total", Dimension::ratio}, Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, folder, where, roles);
    const int length = table.column("length"), suction = table.column("suction"), total = table.column("total"),
              power = table.column("power");
    std::vector<LineTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({{value(row, length)},
                        {value(row, suction)},
                        value(row, total),
                        value(row, power),
                        mark_of(row.cells[static_cast<std::size_t>(total)])});
    return placed(document, item, [&] { return LineTable(std::move(rows), limits); });
}

AltitudeTable read_altitude_table(const Document& document, const Item& item, const std::string& folder,
                                  const std::string& where) {
    static constexpr std::array roles{Role{"elevation", Dimension::length, Role::Kind::axis},
                                      Role{"total", Dimension::ratio}, Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, folder, where, roles);
    const int elevation = table.column("elevation"), total = table.column("total"), power = table.column("power");
    std::vector<AltitudeTable::Row> rows;
    for (const Row& row : table.rows()) {
        if (mark_of(row.cells[static_cast<std::size_t>(total)]) != Mark::printed)
            table.refuse(row, "a blank row in the altitude table", "rows with numbers; leave out what is not printed");
        rows.push_back({{value(row, elevation)}, value(row, total), value(row, power)});
    }
    std::ranges::stable_sort(rows, {}, [](const AltitudeTable::Row& row) { return row.elevation.si; });
    return placed(document, item, [&] { return AltitudeTable(rows); });
}

BlowerTable read_blower_table(const Fields& fields, const std::string& folder, BlowerTable::Basis basis) {
    static constexpr std::array roles{Role{"tap", Dimension::ratio, Role::Kind::key},
                                      Role{"static", Dimension::pressure, Role::Kind::axis},
                                      Role{"airflow", Dimension::airflow}, Role{"power", Dimension::power}};
    const Table table = read_table(fields, folder, "blower", roles);
    const int tap = table.column("tap"), pressure = table.column("static"), airflow = table.column("airflow"),
              power = table.column("power");
    if (table.columns()[static_cast<std::size_t>(airflow)].unit.standard_air)
        throw InputError(table.place(), "blower: standard airflow, where a blower moves actual airflow", "scfm",
                         "cfm, L/s, m3/s, m3/h");
    std::vector<BlowerTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({std::string(row.cells[static_cast<std::size_t>(tap)].text),
                        {value(row, pressure)},
                        {value(row, airflow)},
                        {value(row, power)},
                        mark_of(row.cells[static_cast<std::size_t>(airflow)])});
    return placed(fields.document(), fields.map(), [&] { return BlowerTable(std::move(rows), std::move(basis)); });
}

}  // namespace offnominal::files
