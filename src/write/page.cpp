#include "write/page.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string_view>
#include <type_traits>
#include <vector>

#include "collate/pages.hpp"
#include "ranges.hpp"
#include "text/number.hpp"

namespace offnominal::files {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

[[noreturn]] void refuse_stage(const std::string& stage, const std::string& problem, const std::string& text,
                               const std::string& accepted) {
    throw InputError({}, "stage '" + stage + "' cannot be written: " + problem, text, accepted);
}

// Tables: columns of texts, values that hold for all of a page, multiplier rows.

/// A column and its texts, one for each node.
struct OutColumn {
    std::string role;
    ColumnText text;
};

/// The texts a page was typed with, in the order of its columns; `-` where it has none.
std::vector<OutColumn> typed_columns(const std::vector<TypedColumn>& typed, std::size_t nodes) {
    std::vector<OutColumn> out;
    for (const TypedColumn& column : typed) {
        std::vector<std::string>& texts =
            out.emplace_back(OutColumn{column.role, {column.unit, column.texts}}).text.texts;
        texts.resize(nodes);
        for (std::string& text : texts)
            if (text.empty()) text = "-";
    }
    return out;
}

/// A column made from numbers, SI, with NaN where it is blank. `step`: see `column_text`; 0 if it was never printed.
/// @param stage  its name for messages
/// @throws InputError for numbers that are not in such steps
OutColumn made_column(const std::string& stage, const std::string& role, const std::vector<double>& si,
                      const std::vector<Unit>& units, double step) {
    OutColumn out{role, step > 0.0 ? column_text(si, units, step) : column_text(si, units)};
    if (out.text.texts.empty())
        refuse_stage(stage, "column '" + role + "' is not in steps of what the page says is its last printed place",
                     number_text(step), "numbers rounded to that, or 0 for a column that was never printed");
    return out;
}

/// The column of an axis: `index(node)` is the node's place on it.
template <class Index>
OutColumn axis_column(const std::string& role, const std::vector<double>& breakpoints, Dimension dimension,
                      bool standard_air, std::size_t nodes, const Index& index) {
    const ColumnText texts = column_text(breakpoints, units_for(dimension, standard_air));
    OutColumn out{role, {texts.unit, {}}};
    out.text.texts.reserve(nodes);
    for (std::size_t n = 0; n < nodes; ++n) out.text.texts.push_back(texts.texts[index(n)]);
    return out;
}
/// `x` where a page is beyond its limit.
void mark_limits(OutColumn& column, const std::vector<Mark>& marks) {
    for (std::size_t n = 0; n < marks.size(); ++n)
        if (marks[n] == Mark::beyond_limit) column.text.texts[n] = "x";
}

/// Their names, units and texts, row by row.
TableText table_of(const std::vector<OutColumn>& columns) {
    const std::size_t nodes = columns.front().text.texts.size();
    TableText rows(nodes + 2);
    for (const OutColumn& column : columns) {
        rows[0].push_back(column.role);
        rows[1].emplace_back(column.text.unit.name);
        for (std::size_t n = 0; n < nodes; ++n) rows[n + 2].push_back(column.text.texts[n]);
    }
    return rows;
}

/// An output that multiplier rows have factors for.
struct FactorOutput {
    std::string role;
    std::vector<double> values;    ///< NaN at nodes that say nothing of the factor
    std::vector<double> at_least;  ///< what the product must reach at such nodes; NaN or empty where that is open
};

/// An axis that comes from a multiplier row.
struct MultiplierAxis {
    const char* role;
    const char* key;  ///< of the row
    std::size_t stride;
    std::size_t size;
    std::vector<TypedColumn> typed;  ///< the factors as typed; empty: they are to be found
};

/// Writes what stands beside the table of a page, and the table.
struct PageTable {
    std::string stage;  ///< its name for messages
    std::vector<OutColumn> columns;
    std::size_t nodes = 0;
    std::vector<std::string_view> may_be_one;  ///< roles of columns that may be one value for all of the page
    std::vector<MultiplierAxis> multiplied;    ///< in the order in which they are multiplied
    std::vector<FactorOutput> outputs;         ///< of the multiplier rows

    /// @throws InputError if no factors give the page
    void write(YamlFile& file) &&;
};

/// The multiplier row of one axis: its factors give the nodes elsewhere on the axis from those where the page is
/// printed, bit for bit.
class MultiplierRow {
   public:
    /// @param nodes  those that the row makes
    MultiplierRow(const PageTable& page, const MultiplierAxis& axis, const std::vector<std::size_t>& nodes)
        : page_(page), axis_(axis), nodes_(nodes) {
        if (axis_.typed.empty())
            find();
        else
            take();
    }

    /// The nodes that are printed themselves.
    [[nodiscard]] std::vector<std::size_t> printed() const {
        std::vector<std::size_t> out;
        for (const std::size_t n : nodes_)
            if (index(n) == printed_) out.push_back(n);
        return out;
    }

    [[nodiscard]] TableText table() const {
        const OutColumn& values = column(axis_.role);
        TableText out{{axis_.role}, {std::string(values.text.unit.name)}};
        out.resize(axis_.size + 2);
        for (const std::size_t n : nodes_)
            if (std::vector<std::string>& row = out[index(n) + 2]; row.empty()) row.push_back(values.text.texts[n]);
        for (const OutColumn& factor : factors_) {
            out[0].push_back(factor.role);
            out[1].emplace_back(factor.text.unit.name);
            for (std::size_t a = 0; a < axis_.size; ++a) out[a + 2].push_back(factor.text.texts[a]);
        }
        return out;
    }

   private:
    [[nodiscard]] std::size_t index(std::size_t node) const { return node / axis_.stride % axis_.size; }
    [[nodiscard]] const OutColumn& column(std::string_view role) const {
        return *ranges::find(page_.columns, role, &OutColumn::role);
    }

    /// The factors as typed; the page is printed where its own texts stand.
    void take() {
        factors_ = typed_columns(axis_.typed, axis_.size);
        const std::vector<std::string>& texts = column(page_.outputs.front().role).text.texts;
        for (const std::size_t n : nodes_)
            if (texts[n] != "-") printed_ = index(n);
    }

    /// The factors that are shortest; that is how the value is found that the page is printed at.
    void find() {
        std::size_t least = none;
        for (std::size_t at = 0; at < axis_.size; ++at) {
            std::vector<OutColumn> tried;
            std::size_t size = 0;
            for (const FactorOutput& output : page_.outputs) {
                OutColumn& factor = tried.emplace_back(OutColumn{output.role, {units::one, {}}});
                for (std::size_t to = 0; to < axis_.size; ++to) {
                    const std::string& text =
                        factor.text.texts.emplace_back(to == at ? "1" : factor_text(output, at, to));
                    size = text.empty() || size == none ? none : size + text.size();
                }
            }
            if (size >= least) continue;
            least = size;
            printed_ = at;
            factors_ = std::move(tried);
        }
        if (factors_.empty())
            refuse_stage(page_.stage, "no " + std::string(axis_.key) + " give its nodes", {},
                         "a page that such factors make");
    }

    [[nodiscard]] std::string factor_text(const FactorOutput& output, std::size_t at, std::size_t to) const {
        std::vector<std::pair<double, double>> products;
        double least = 1.0;
        for (const std::size_t n : nodes_) {
            if (index(n) != to) continue;
            const double from = output.values[n - to * axis_.stride + at * axis_.stride];
            if (std::isnan(from)) continue;
            if (!std::isnan(output.values[n]))
                products.emplace_back(from, output.values[n]);
            else if (!output.at_least.empty() && !std::isnan(output.at_least[n]))
                least = std::max(least, output.at_least[n] / from);
        }
        if (products.empty()) return number_text(std::ceil(least * 1000.0) / 1000.0);
        return number_text(products.front().second / products.front().first, [&](double factor) {
            return ranges::all_of(products, [&](const auto& p) { return p.first * factor == p.second; });
        });
    }

    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    const PageTable& page_;
    const MultiplierAxis& axis_;
    const std::vector<std::size_t>& nodes_;
    std::size_t printed_ = 0;
    std::vector<OutColumn> factors_;
};

void PageTable::write(YamlFile& file) && {
    std::vector<std::pair<const char*, TableText>> rows;
    std::vector<std::size_t> kept(nodes);
    for (std::size_t n = 0; n < nodes; ++n) kept[n] = n;
    for (auto axis = multiplied.rbegin(); axis != multiplied.rend(); ++axis) {
        const MultiplierRow row(*this, *axis, kept);
        rows.emplace_back(axis->key, row.table());
        kept = row.printed();
    }
    for (OutColumn& column : columns) {
        std::vector<std::string> texts;
        texts.reserve(kept.size());
        for (const std::size_t n : kept) texts.push_back(std::move(column.text.texts[n]));
        column.text.texts = std::move(texts);
    }
    for (const std::string_view role : may_be_one) {
        const auto column = ranges::find(columns, role, &OutColumn::role);
        if (column == columns.end()) continue;
        const std::vector<std::string>& texts = column->text.texts;
        if (ranges::any_of(texts, [&](const std::string& text) { return text != texts.front(); })) continue;
        if (texts.front() == "-") continue;
        const std::string_view unit = column->text.unit.name;
        file.pair(role, unit == "1" ? texts.front() : texts.front() + " " + std::string(unit));
        columns.erase(column);
    }
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) file.table(row->first, row->second);
    file.table("table", table_of(columns));
}

// Pages.

/// Makes the texts of a page that was never typed, or whose typed texts do not say what it holds.
class PageTexts {
   public:
    /// @param basis  of a cooling page, whose sensible may be a ratio; else nullptr
    PageTexts(const PageColumns& page, bool standard_air, const Basis* basis)
        : page_(page), standard_air_(standard_air), basis_(basis) {}

    [[nodiscard]] std::vector<OutColumn> columns() {
        const std::size_t nodes = page_.marks.size();
        for (std::size_t i = 0; i < page_.axes.size(); ++i)
            for (std::size_t k = 0; k < page_.axes[i].roles.size(); ++k)
                columns_.push_back(axis_column(page_.axes[i].roles[k], page_.axes[i].values[k], page_.axes[i].dimension,
                                               standard_air_, nodes, [&](std::size_t n) { return page_.index(n, i); }));
        for (const PageColumns::Column& column : page_.columns) {
            if (column.role == "total" || column.role == "capacity")
                add(column, units_for(Dimension::power));
            else if (column.role == "sensible")
                add_sensible(column);
            else if (column.role == "power")
                add(column, {units::W, units::kW, units::Btu_h, units::MBh});  // those it is printed in first
            else if (column.role == "bypass")
                add_bypass(column);
            else
                add_extra(column);
        }
        return std::move(columns_);
    }

   private:
    void add(const PageColumns::Column& column, const std::vector<Unit>& units) {
        // The printed step of a product is one that no text shows.
        columns_.push_back(
            made_column(page_.stage, column.role, column.values, units, page_.multiplied ? 0.0 : column.step));
        mark_limits(columns_.back(), page_.marks);
    }

    /// In the unit it was printed in, or else another of its kind.
    void add_extra(const PageColumns::Column& column) {
        std::vector<Unit> units = units_for(column.unit.dimension);
        units.insert(units.begin(), column.unit);
        columns_.push_back(made_column(page_.stage, column.role, column.values, units, column.step));
    }

    void add_sensible(const PageColumns::Column& column) {
        const OutColumn& total = *ranges::find(columns_, "total", &OutColumn::role);
        if (basis_->sensible_ratio_of == SensibleRatioOf::not_a_ratio) {
            // In the unit of total where that can be: then a dry node is equal as typed.
            const std::vector<Unit> own{total.text.unit};
            const ColumnText text =
                column.step > 0.0 ? column_text(column.values, own, column.step) : column_text(column.values, own);
            add(column, text.texts.empty() ? units_for(Dimension::power) : own);
        } else {
            add_sensible_ratio(column);
        }
        for (std::size_t n = 0; n < page_.marks.size(); ++n)
            if (page_.marks[n] == Mark::dry) columns_.back().text.texts[n] += 'd';
    }

    /// Ratios whose products with what they are ratios of are the sensibles, bit for bit.
    void add_sensible_ratio(const PageColumns::Column& sensible) {
        const std::vector<double>& totals = page_.columns.front().values;
        OutColumn column{"sensible", {units::one, {}}};
        for (std::size_t n = 0; n < totals.size(); ++n) {
            const double whole = basis_->sensible_ratio_of == SensibleRatioOf::total ? totals[n]
                                 : basis_->sensible_ratio_of == SensibleRatioOf::rated_total
                                     ? basis_->rated.total.si
                                     : basis_->rated.sensible.si;
            const double value = sensible.values[n];
            std::string text = "-";
            if (!std::isnan(value))
                text = number_text(value / whole, [&](double ratio) { return ratio * whole == value; });
            if (text.empty())
                refuse_stage(page_.stage, "a sensible that no ratio gives", number_text(value),
                             "SensibleRatioOf::not_a_ratio");
            column.text.texts.push_back(text);
        }
        mark_limits(column, page_.marks);
        columns_.push_back(std::move(column));
    }

    /// One for all of the page stands beside the table, so at blank nodes too.
    void add_bypass(const PageColumns::Column& column) {
        std::vector<double> si = column.values;
        const auto first = ranges::find_if(si, [](double v) { return v == v; });
        const bool is_one = first != si.end() && ranges::all_of(si, [&](double v) { return v == *first || v != v; });
        if (is_one) std::fill(si.begin(), si.end(), double{*first});
        columns_.push_back(made_column(page_.stage, column.role, si, {units::one}, 0.0));
        if (!is_one) mark_limits(columns_.back(), page_.marks);
    }

    const PageColumns& page_;
    bool standard_air_;
    const Basis* basis_;
    std::vector<OutColumn> columns_;
};

/// `speed: 25 Hz`, in the unit of the system's speeds, which is no bare number.
void write_speed(YamlFile& file, const std::optional<double>& si, const Unit& unit) {
    if (!si) return;
    std::vector<Unit> units{unit.dimension == Dimension::ratio ? units::percent : unit};
    if (number_text(*si, units.front()).empty()) units = units_for(Dimension::frequency);
    const ColumnText text = column_text({&*si, 1}, units);
    file.pair("speed", text.texts.front() + " " + std::string(text.unit.name));
}

/// A page with the factors along an axis that comes from a multiplier row.
void add_multiplied(PageTable& table, const PageColumns& page, const char* role, const char* key,
                    const std::vector<TypedColumn>& typed) {
    std::size_t stride = 1;
    for (auto axis = page.axes.rbegin(); axis->roles.front() != role; ++axis) stride *= axis->size();
    const auto axis = ranges::find_if(page.axes, [&](const auto& a) { return a.roles.front() == role; });
    table.multiplied.push_back({role, key, stride, axis->size(), typed});
}

/// Its outputs, as far as they say something of the factors.
void add_outputs(PageTable& table, const PageColumns& page) {
    for (const PageColumns::Column& column : page.columns) {
        static constexpr std::array<std::string_view, 4> outputs{"total", "sensible", "capacity", "power"};
        if (ranges::find(outputs, column.role) == outputs.end()) continue;
        FactorOutput& output = table.outputs.emplace_back(FactorOutput{column.role, column.values, {}});
        if (column.role != "sensible") continue;
        // Where total cuts the sensible, the factor on sensible is any that is large enough.
        output.at_least = page.columns.front().values;
        for (std::size_t n = 0; n < page.marks.size(); ++n)
            if (page.marks[n] == Mark::dry) output.values[n] = nan;
    }
}

}  // namespace

YamlFile::Pairs basis_pairs(const std::vector<Fact>& facts) {
    YamlFile::Pairs out;
    std::vector<std::string> fan;
    YamlFile::Pairs inner;
    std::string outer;
    const auto close = [&] {
        if (!inner.empty()) out.emplace_back(outer, flow_text(inner));
        inner.clear();
    };
    bool net = false;
    for (const Fact& fact : facts) {
        const std::string key = fact.path.substr(std::string_view("basis: ").size());
        const std::size_t colon = key.find(": ");
        if (key == "capacity") net = fact.text == name(CapacityBasis::net);
        if (key.starts_with("fan: ")) {
            if (net && fact.si != 0.0) fan.push_back(fact.text);
            if (net && key == "fan: power per airflow") {
                if (fan.empty()) fan.push_back(quantity_text(0.0, Dimension::power));
                out.emplace_back("fan", fan.size() == 1 ? fan[0] : "[" + fan[0] + ", " + fan[1] + "]");
            }
        } else if (fact.text.empty() || fact.text == "not a ratio") {
            continue;
        } else if (colon != std::string::npos) {
            if (outer != key.substr(0, colon)) close();
            outer = key.substr(0, colon);
            inner.emplace_back(key.substr(colon + 2), fact.text);
        } else {
            close();
            out.emplace_back(key, fact.text);
        }
    }
    close();
    return out;
}

template <class AnyStage, class AnyBasis>
void write_stage(YamlFile& file, const AnyStage& stage, const AnyBasis& common, const Unit& speed_unit, bool as_typed) {
    const auto& page = stage.table.page();
    const AnyBasis& basis = stage.table.basis();
    const PageColumns plain = columns_of(stage);
    const Basis* ratios = nullptr;
    if constexpr (std::is_same_v<AnyBasis, Basis>) ratios = &basis;
    PageTable table;
    table.stage = stage.name;
    table.nodes = page.nodes.size();
    table.columns = as_typed ? typed_columns(page.typed, table.nodes)
                             : PageTexts(plain, basis.airflow == AirflowBasis::standard, ratios).columns();
    const auto factors = [&](const char* role, const char* key, const std::vector<TypedColumn>& typed) {
        add_multiplied(table, plain, role, key, as_typed ? typed : std::vector<TypedColumn>());
    };
    table.may_be_one = {"odb", "airflow", "pressure", "bypass"};
    if (page.airflow_multiplied) factors("airflow", "airflow_factors", page.airflow_factors);
    if constexpr (std::is_same_v<AnyBasis, Basis>) {
        const bool has_dry_bulbs = ranges::find(table.columns, "edb", &OutColumn::role) != table.columns.end();
        if (basis.sensible_at && !common.sensible_at && !has_dry_bulbs)
            table.columns.push_back(axis_column("edb", {basis.sensible_at->si}, Dimension::temperature, false,
                                                table.nodes, [](std::size_t) { return std::size_t{0}; }));
        if (page.pairs.empty()) table.may_be_one.insert(table.may_be_one.end(), {"ewb", "rh", "edb"});
    } else {
        if (page.dry_bulb_multiplied) factors("edb", "edb_factors", page.edb_factors);
        table.may_be_one.push_back("edb");
    }
    if (plain.multiplied) add_outputs(table, plain);
    file.open(yaml_text(stage.name));
    write_speed(file, stage.speed, speed_unit);
    if constexpr (std::is_same_v<AnyBasis, Basis>) {
        if (!page.pairs.empty()) file.pair("indoor", page.pairs_are_points ? "points" : "path");
        if (page.infer) file.pair("infer", "true");
    }
    if (!plain.multiplied && ranges::all_of(plain.columns, [](const auto& column) { return column.step == 0.0; }))
        file.pair("exact", "true");
    std::move(table).write(file);
    file.close();
}
template void write_stage(YamlFile&, const Stage&, const Basis&, const Unit&, bool);
template void write_stage(YamlFile&, const HeatingStage&, const HeatingBasis&, const Unit&, bool);

void write_defrost(YamlFile& file, const DefrostTable& defrost) {
    const auto write_page = [&](std::string_view key, const DefrostTable::Page& page) {
        const std::size_t humidities = page.outdoor_relative_humidity.size(), nodes = page.nodes.size();
        std::vector<OutColumn> columns;
        columns.push_back(axis_column("odb", page.outdoor_dry_bulb, Dimension::temperature, false, nodes,
                                      [&](std::size_t n) { return n / humidities; }));
        columns.push_back(axis_column("rh", page.outdoor_relative_humidity, Dimension::ratio, false, nodes,
                                      [&](std::size_t n) { return n % humidities; }));
        const auto output = [&](const char* role, double DefrostFactors::*member) {
            std::vector<double> values;
            for (const DefrostFactors& node : page.nodes) values.push_back(node.*member);
            columns.push_back(made_column(page.stage, role, values, {units::one}, 0.0));
        };
        output("capacity", &DefrostFactors::capacity);
        output("power", &DefrostFactors::power);
        if (ranges::any_of(page.nodes, [](const DefrostFactors& f) { return f.time_fraction != 0.0; }))
            output("time", &DefrostFactors::time_fraction);
        file.table(key, table_of(columns));
    };
    if (defrost.pages().size() == 1 && defrost.pages().front().stage.empty())
        return write_page("defrost", defrost.pages().front());
    file.open("defrost");
    file.open("stages");
    for (const DefrostTable::Page& page : defrost.pages()) write_page(yaml_text(page.stage), page);
    file.close();
    file.close();
}

}  // namespace offnominal::files
