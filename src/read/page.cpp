#include "read/page.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "offnominal/air.hpp"
#include "ranges.hpp"
#include "read/multipliers.hpp"
#include "read/roles.hpp"

namespace offnominal::files {
namespace {

// Axes: outdoor dry bulb, airflow, humidity, entering dry bulb, station pressure.

using Kind = TypedAxis::Kind;

/// Converting units is the only way in which two typed values that mean the same differ.
bool nearly(double a, double b) { return std::abs(a - b) <= 1e-9 * std::max(std::abs(a), 1.0); }

/// Refuses a value of an axis where it was typed.
[[noreturn]] void refuse_value(const Fields& fields, const Table& table, const TypedAxis& axis, double si,
                               const std::string& problem, const std::string& accepted) {
    if (axis.kind == Kind::one_value)
        fields.refuse(*fields.find(axis.role), fields.path(axis.role) + ": " + problem, accepted);
    if (axis.kind == Kind::columns) table.refuse(table.column(roles::sensible.name), problem, accepted);
    const auto row = ranges::find_if(table.rows(), [&](const Row& r) { return value(r, axis.column) == si; });
    table.refuse(*row, axis.column, problem, accepted);
}

/// `sensible@75` says 75 in the unit of the page's other indoor temperatures, or else of the outdoor ones.
TypedAxis dry_bulbs_of_columns(const Table& table, const TypedAxis& wet_bulb, const TypedAxis& outdoor) {
    const Unit unit = wet_bulb.kind != Kind::absent && wet_bulb.unit.dimension == Dimension::temperature ? wet_bulb.unit
                      : outdoor.kind != Kind::absent                                                     ? outdoor.unit
                                                                                                         : units::degC;
    return axis_of_columns(table, roles::sensible.name, roles::edb.name, unit);
}

void check_humidities(const Fields& fields, const Table& table, const TypedAxis& axis) {
    const bool percent = axis.unit.name == units::percent.name;
    for (const double rh : axis.values) {
        if (percent && rh > 0.0 && rh < 0.0105)
            refuse_value(fields, table, axis, rh, "a relative humidity of about 1 %: was it a fraction?",
                         "per cent, such as 55, or the unit 1");
        if (rh >= 0.0 && rh <= 1.0) continue;
        refuse_value(fields, table, axis, rh, "not a relative humidity",
                     percent ? "0 to 100 %" : "a fraction from 0 to 1, or the unit %");
    }
}

void check_pressures(const Fields& fields, const Table& table, const TypedAxis& axis) {
    for (const double p : axis.values)
        if (!(p >= air::least_pressure && p <= air::greatest_pressure))
            refuse_value(fields, table, axis, p, "not the pressure of a place: a wrong unit?",
                         "50 to 110 kPa, as an absolute pressure");
}

void check_pairs(const Table& table, const TypedAxis& axis) {
    for (const Row& row : table.rows())
        if (value(row, axis.second) > value(row, axis.column))
            table.refuse(row, axis.second, "a wet bulb above the dry bulb of its pair", "edb and ewb as in 80 67");
}

/// One entering dry bulb for all of the page is what its sensible column is printed for.
void read_sensible_at(const Fields& fields, const Table& table, const TypedAxis& edb, Basis& basis) {
    const double si = edb.values.front();
    if (basis.sensible_at && !nearly(basis.sensible_at->si, si))
        refuse_value(fields, table, edb, si, "another entering dry bulb than sensible_at", "the same, or one of them");
    basis.sensible_at = Temperature{si};
}

/// One station pressure for all of the page is that of its elevation.
void read_elevation(const Fields& fields, const Table& table, const TypedAxis& pressure, Basis& basis) {
    const double si = pressure.values.front();
    if (!basis.elevation) {
        basis.elevation = Length{air::si::elevation_at_pressure(si)};
    } else if (std::abs(air::si::pressure_at_elevation(basis.elevation->si) / si - 1.0) > 0.005) {
        refuse_value(fields, table, pressure, si, "not the pressure at the page's elevation",
                     "a pressure within 0.5 % of it, or one of them");
    }
}

/// Wet bulbs for relative humidities at the one entering dry bulb and pressure of the page.
std::vector<double> wet_bulbs(const Fields& fields, const Table& table, const TypedAxis& humidity, const Basis& basis) {
    if (!basis.sensible_at)
        refuse_value(fields, table, humidity, humidity.values.front(),
                     "a relative humidity without the entering dry bulb it is printed for",
                     "a column edb, or edb: 80 degF, or sensible_at: 80 degF");
    const Pressure pressure{basis.elevation ? air::si::pressure_at_elevation(basis.elevation->si)
                                            : air::si::standard_pressure};
    std::vector<double> out;
    for (const double rh : humidity.values) {
        const auto state = air::try_state(*basis.sensible_at, air::relative_humidity(rh), pressure);
        if (!state)
            refuse_value(fields, table, humidity, rh, "no moist air has this humidity at the page's entering dry bulb",
                         "the relative humidities and the entering dry bulb of the page");
        out.push_back(air::wet_bulb(*state).si);
    }
    return out;
}

std::vector<TypedAxis> cooling_axes(const Fields& fields, const Table& table) {
    const TypedAxis outdoor = axis_of(fields, table, roles::odb), airflow = axis_of(fields, table, roles::airflow),
                    ewb = axis_of(fields, table, roles::ewb), rh = axis_of(fields, table, roles::rh),
                    pressure = axis_of(fields, table, roles::pressure);
    TypedAxis edb = axis_of(fields, table, roles::edb);

    if (ewb.kind == Kind::absent && rh.kind == Kind::absent) (void)table.need(roles::ewb.name);
    if (ewb.kind != Kind::absent && rh.kind != Kind::absent) {
        const std::string problem = "a relative humidity beside a wet bulb", accepted = "one of ewb and rh";
        if (rh.column >= 0) table.refuse(rh.column, problem, accepted);
        fields.refuse(*fields.find(rh.role), fields.path(rh.role) + ": " + problem, accepted);
    }
    const auto at = ranges::find_if(table.columns(), [](const Table::Column& c) { return c.at.has_value(); });
    if (at != table.columns().end()) {
        if (edb.kind != Kind::absent)
            table.refuse(static_cast<int>(at - table.columns().begin()), "an entering dry bulb in the name of a column",
                         "a column edb (or edb: 80 degF), or sensible@75, not both");
        edb = dry_bulbs_of_columns(table, ewb.kind != Kind::absent ? ewb : rh, outdoor);
    }
    const Item* indoor = fields.find("indoor");
    if (indoor == nullptr) return {outdoor, airflow, ewb.kind == Kind::absent ? rh : ewb, edb, pressure};
    if (edb.kind != Kind::column || ewb.kind != Kind::column)
        fields.refuse(*indoor, fields.path("indoor") + ": the page has no pairs", "columns edb and ewb");
    return {outdoor, airflow, axis_of_pairs(table, edb.column, ewb.column), TypedAxis{}, pressure};
}

std::string hint_of_pairs(const std::vector<TypedAxis>& axes) {
    const bool both = axes[2].role == roles::ewb.name && axes[2].kind == Kind::column && axes[3].kind == Kind::column;
    return both ? "indoor: path, where edb and ewb are printed as pairs (75/63, 80/67)" : std::string();
}

void fill_axes(const Fields& fields, const Table& table, const Layout& layout, Basis& basis, PrintedPage& page) {
    const TypedAxis &outdoor = layout.axis(0), &airflow = layout.axis(1), &humidity = layout.axis(2),
                    &edb = layout.axis(3), &pressure = layout.axis(4);
    page.outdoor_dry_bulb = outdoor.values;
    page.airflow = standard_airflows(airflow);
    // The unit may say what the page does not.
    const bool mass_flow = airflow.unit.dimension == Dimension::mass_flow;
    if (airflow.unit.standard_air || mass_flow) basis.airflow = AirflowBasis::standard;
    if (mass_flow && basis.standard_pound == Pound::unknown) basis.standard_pound = Pound::dry;

    if (edb.values.size() == 1) read_sensible_at(fields, table, edb, basis);
    if (edb.values.size() > 1) page.entering_dry_bulb = edb.values;
    check_pressures(fields, table, pressure);
    if (pressure.values.size() == 1) read_elevation(fields, table, pressure, basis);
    if (pressure.values.size() > 1) page.pressure = pressure.values;

    if (humidity.kind == Kind::pairs) {
        check_pairs(table, humidity);
        for (const auto& [dry, wet] : humidity.pairs) page.pairs.push_back({dry, wet});
        page.pairs_are_points = fields.choice("indoor", "path", "points");
    } else if (humidity.role == roles::rh.name) {
        check_humidities(fields, table, humidity);
        if (edb.values.size() > 1) {
            page.relative_humidity = humidity.values;
        } else if (pressure.values.size() > 1) {
            refuse_value(fields, table, humidity, humidity.values.front(),
                         "relative humidities at one entering dry bulb, for several pressures",
                         "wet bulbs, or a page for each pressure");
        } else {
            page.entering_wet_bulb = wet_bulbs(fields, table, humidity, basis);
        }
    } else {
        page.entering_wet_bulb = humidity.values;
    }
}

// Outputs: nodes in watts, whatever they are printed in.

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
        return ranges::all_of(columns_, [&](int c) { return is_blank(cell(row, c)); });
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

Multipliers read_airflow_factors(const Fields& fields, const Item& item, const PrintedPage& page) {
    const std::string where = fields.path("airflow_factors");
    if (page.airflow.size() > 1)
        fields.refuse(item, where + ": the page prints several airflows itself", "a page printed at one airflow");
    const auto factor = [](std::string_view name, bool printed) {
        return Role{name, Dimension::ratio, Role::Kind::output, printed};
    };
    std::vector<Role> outputs{factor("total", true)};
    if (page.has_sensible) outputs.push_back(factor("sensible", true));
    if (page.has_power) outputs.push_back(factor("power", true));
    return read_multipliers(fields.document(), item, where, roles::airflow, outputs,
                            page.airflow.empty() ? std::nullopt : std::optional(page.airflow.front()),
                            page.nodes.size());
}

/// A node at an airflow with factors.
PrintedNode multiplied(PrintedNode node, double total, double sensible, double power) {
    if (!is_printed(node)) return node;
    node.total *= total;
    node.power *= power;
    node.sensible = node.mark == Mark::dry ? node.total : std::min(node.sensible * sensible, node.total);
    if (node.sensible == node.total) node.mark = Mark::dry;
    return node;
}

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
        const bool is_axis = ranges::find(axes, column.role, &Role::name) != axes.end();
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

/// The table of a stage. What stands beside it needs no column.
Table cooling_table(const Fields& fields, const std::string& where) {
    std::vector<Role> all{roles::odb,      roles::airflow, roles::ewb,      roles::rh,    roles::edb,
                          roles::pressure, roles::total,   roles::sensible, roles::power, roles::bypass};
    all.insert(all.end(), roles::extras.begin(), roles::extras.end());
    for (Role& role : all) role.required = role.required && fields.find(role.name) == nullptr;
    if (fields.find("airflow_factors") != nullptr) all[1].required = false;
    return read_table(fields, where, all);
}

/// Typed text with its page; shows the row of a node that the library complains about.
class PageReader {
   public:
    PageReader(const Fields& fields, const std::string& where, Basis basis)
        : fields_(fields), table_(cooling_table(fields, where)), typed_{std::move(basis), {}} {
        std::vector<TypedAxis> axes = cooling_axes(fields_, table_);
        const std::string hint = hint_of_pairs(axes);
        const Layout layout(table_, std::move(axes), hint);
        PrintedPage& page = typed_.page;
        fill_axes(fields_, table_, layout, typed_.basis, page);
        fill_outputs(fields_, table_, layout, typed_.basis, page);
        if (const Item* factors = fields_.find("airflow_factors"))
            multiply_airflow(read_airflow_factors(fields_, *factors, page), typed_.basis, page);
        page.infer = fields_.flag("infer", false);
        if (fields_.flag("exact", false)) {
            page.total_step = page.sensible_step = page.power_step = 0.0;
            for (ExtraColumn& extra : page.extras) extra.step = 0.0;
        }
    }

    [[nodiscard]] TypedPage take() && { return std::move(typed_); }

    [[nodiscard]] RatingTable build() && {
        try {
            return placed(fields_.document(), fields_.map(),
                          [&] { return RatingTable(typed_.basis, std::move(typed_.page)); });
        } catch (const InputError& error) {
            if (error.text().empty())
                for (const Row& row : table_.rows())
                    if (row.line == error.line() && table_.place(row).file == error.file())
                        table_.refuse(row, error.problem(), error.accepted());
            throw;
        }
    }

   private:
    const Fields& fields_;
    Table table_;
    TypedPage typed_;
};

}  // namespace

Fields stage_fields(const Document& document, const Item& item, const std::string& where) {
    return {document,
            item,
            where,
            {"table", "file", "odb", "airflow", "ewb", "rh", "edb", "pressure", "bypass", "airflow_factors", "indoor",
             "infer", "exact", "speed"}};
}

TypedPage read_page(const Fields& fields, const std::string& where, Basis basis) {
    return PageReader(fields, where, std::move(basis)).take();
}

RatingTable read_stage(const Fields& fields, const std::string& where, Basis basis) {
    return PageReader(fields, where, std::move(basis)).build();
}

}  // namespace offnominal::files
