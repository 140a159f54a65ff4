#include "write/page.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string_view>
#include <vector>

#include "offnominal/ratings/shape.hpp"

namespace offnominal::files {
namespace {

[[noreturn]] void refuse(const std::string& stage, const std::string& problem, const std::string& text,
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
        refuse(stage, "column '" + role + "' is not in steps of what the page says is its last printed place",
               number_text(step), "numbers rounded to that, or 0 for a column that was never printed");
    return out;
}

/// The column of an axis: `index(node)` is the node's place on it.
template <class Index>
OutColumn axis_column(const char* role, const std::vector<double>& breakpoints, Dimension dimension, bool standard_air,
                      std::size_t nodes, const Index& index) {
    const ColumnText texts = column_text(breakpoints, units_for(dimension, standard_air));
    OutColumn out{role, {texts.unit, {}}};
    out.text.texts.reserve(nodes);
    for (std::size_t n = 0; n < nodes; ++n) out.text.texts.push_back(texts.texts[index(n)]);
    return out;
}
/// `x` where a page is beyond its limit.
template <class Nodes>
void mark_limits(OutColumn& column, const Nodes& nodes) {
    for (std::size_t n = 0; n < column.text.texts.size(); ++n)
        if (nodes[n].mark == Mark::beyond_limit) column.text.texts[n] = "x";
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
    const char* role;
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
        return *std::ranges::find(page_.columns, role, &OutColumn::role);
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
            refuse(page_.stage, "no " + std::string(axis_.key) + " give its nodes", {},
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
            return std::ranges::all_of(products, [&](const auto& p) { return p.first * factor == p.second; });
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
        const auto column = std::ranges::find(columns, role, &OutColumn::role);
        if (column == columns.end()) continue;
        const std::vector<std::string>& texts = column->text.texts;
        if (std::ranges::any_of(texts, [&](const std::string& text) { return text != texts.front(); })) continue;
        if (texts.front() == "-") continue;
        const std::string_view unit = column->text.unit.name;
        file.pair(role, unit == "1" ? texts.front() : texts.front() + " " + std::string(unit));
        columns.erase(column);
    }
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) file.table(row->first, row->second);
    file.table("table", table_of(columns));
}

// Pages.

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

bool is_number(Mark mark) { return mark == Mark::printed || mark == Mark::dry; }

template <class Nodes, class Node>
std::vector<double> values_of(const Nodes& nodes, double Node::*member) {
    std::vector<double> out;
    for (const Node& node : nodes) out.push_back(is_number(node.mark) ? node.*member : nan);
    return out;
}

/// Units for electric power, those it is printed in first.
std::vector<Unit> power_units() { return {units::W, units::kW, units::Btu_h, units::MBh}; }

/// The unit of an extra column, or else another of its kind.
std::vector<Unit> extra_units(const ExtraColumn& extra) {
    std::vector<Unit> out = units_for(extra.unit.dimension);
    out.insert(out.begin(), extra.unit);
    return out;
}

/// Makes the texts of a cooling page that was never typed, or whose typed texts do not say what it holds.
class CoolingTexts {
   public:
    explicit CoolingTexts(const Stage& stage)
        : stage_(stage.name), page_(stage.table.page()), basis_(stage.table.basis()), shape_(page_) {}

    [[nodiscard]] std::vector<OutColumn> columns() {
        add_axes();
        const OutColumn total =
            add("total", values_of(page_.nodes, &PrintedNode::total), units_for(Dimension::power), page_.total_step);
        if (page_.has_sensible) {
            if (basis_.sensible_ratio_of == SensibleRatioOf::not_a_ratio)
                add_sensible(total.text.unit);
            else
                add_sensible_ratio();
            for (std::size_t n = 0; n < page_.nodes.size(); ++n)
                if (page_.nodes[n].mark == Mark::dry) columns_.back().text.texts[n] += 'd';
        }
        if (page_.has_power) add("power", values_of(page_.nodes, &PrintedNode::power), power_units(), page_.power_step);
        if (page_.has_bypass) add_bypass();
        for (const ExtraColumn& extra : page_.extras)
            columns_.push_back(made_column(stage_, extra.name, extra.values, extra_units(extra), extra.step));
        return std::move(columns_);
    }

   private:
    OutColumn add(const char* role, const std::vector<double>& si, const std::vector<Unit>& units, double step) {
        if (page_.airflow_multiplied) step = 0.0;  // that of a product, which no text shows
        OutColumn& column = columns_.emplace_back(made_column(stage_, role, si, units, step));
        mark_limits(column, page_.nodes);
        return column;
    }

    void add_axes() {
        const auto axis = [&](const char* role, PageAxis of, Dimension dimension, bool standard_air = false) {
            columns_.push_back(axis_column(role, shape_.breakpoints(of), dimension, standard_air, page_.nodes.size(),
                                           [&](std::size_t n) { return shape_.index(n, of); }));
        };
        axis("odb", PageAxis::outdoor_dry_bulb, Dimension::temperature);
        axis("airflow", PageAxis::airflow, Dimension::airflow, basis_.airflow == AirflowBasis::standard);
        if (!page_.pairs.empty()) add_pairs();
        if (!page_.entering_wet_bulb.empty()) axis("ewb", PageAxis::humidity, Dimension::temperature);
        if (!page_.relative_humidity.empty()) axis("rh", PageAxis::humidity, Dimension::ratio);
        if (!page_.entering_dry_bulb.empty()) axis("edb", PageAxis::entering_dry_bulb, Dimension::temperature);
        if (!page_.pressure.empty()) axis("pressure", PageAxis::pressure, Dimension::pressure);
    }

    void add_pairs() {
        std::vector<double> dry, wet;
        for (const IndoorPair& pair : page_.pairs) {
            dry.push_back(pair.dry_bulb);
            wet.push_back(pair.wet_bulb);
        }
        const auto place = [&](std::size_t n) { return shape_.index(n, PageAxis::humidity); };
        columns_.push_back(axis_column("edb", dry, Dimension::temperature, false, page_.nodes.size(), place));
        columns_.push_back(axis_column("ewb", wet, Dimension::temperature, false, page_.nodes.size(), place));
    }

    /// In the unit of total where that can be: then a dry node is equal as typed.
    void add_sensible(const Unit& unit_of_total) {
        const std::vector<double> si = values_of(page_.nodes, &PrintedNode::sensible);
        std::vector<Unit> units{unit_of_total};
        const bool fits =
            !(page_.sensible_step > 0.0 ? column_text(si, units, page_.sensible_step) : column_text(si, units))
                 .texts.empty();
        add("sensible", si, fits ? units : units_for(Dimension::power), page_.sensible_step);
    }

    /// Ratios whose products with what they are ratios of are the sensibles, bit for bit.
    void add_sensible_ratio() {
        OutColumn column{"sensible", {units::one, {}}};
        for (const PrintedNode& node : page_.nodes) {
            const double whole = basis_.sensible_ratio_of == SensibleRatioOf::total         ? node.total
                                 : basis_.sensible_ratio_of == SensibleRatioOf::rated_total ? basis_.rated.total.si
                                                                                            : basis_.rated.sensible.si;
            std::string text = "-";
            if (is_number(node.mark))
                text = number_text(node.sensible / whole, [&](double ratio) { return ratio * whole == node.sensible; });
            if (text.empty())
                throw InputError({}, "stage '" + stage_ + "' cannot be written: a sensible that no ratio gives",
                                 number_text(node.sensible), "SensibleRatioOf::not_a_ratio");
            column.text.texts.push_back(text);
        }
        mark_limits(column, page_.nodes);
        columns_.push_back(std::move(column));
    }

    /// One for all of the page stands beside the table, so at blank nodes too.
    void add_bypass() {
        std::vector<double> si = values_of(page_.nodes, &PrintedNode::bypass);
        const auto first = std::ranges::find_if(si, [](double v) { return v == v; });
        const double one = first == si.end() ? nan : *first;
        const bool is_one = std::ranges::all_of(si, [&](double v) { return v == one || v != v; }) && one == one;
        if (is_one) std::ranges::fill(si, one);
        columns_.push_back(made_column(stage_, "bypass", si, {units::one}, 0.0));
        if (!is_one) mark_limits(columns_.back(), page_.nodes);
    }

    const std::string& stage_;
    const PrintedPage& page_;
    const Basis& basis_;
    PageShape shape_;
    std::vector<OutColumn> columns_;
};

std::vector<OutColumn> made_columns(const HeatingStage& stage) {
    const HeatingPage& page = stage.table.page();
    const bool standard = stage.table.basis().airflow == AirflowBasis::standard;
    const std::size_t nodes = page.nodes.size(), dry_bulbs = page.entering_dry_bulb.size(),
                      airflows = page.airflow.size();
    std::vector<OutColumn> out;
    out.push_back(axis_column("odb", page.outdoor_dry_bulb, Dimension::temperature, false, nodes,
                              [&](std::size_t n) { return n / dry_bulbs / airflows; }));
    out.push_back(axis_column("airflow", page.airflow, Dimension::airflow, standard, nodes,
                              [&](std::size_t n) { return n / dry_bulbs % airflows; }));
    out.push_back(axis_column("edb", page.entering_dry_bulb, Dimension::temperature, false, nodes,
                              [&](std::size_t n) { return n % dry_bulbs; }));
    const bool is_product = page.airflow_multiplied || page.dry_bulb_multiplied;
    out.push_back(made_column(stage.name, "capacity", values_of(page.nodes, &HeatingNode::capacity),
                              units_for(Dimension::power), is_product ? 0.0 : page.capacity_step));
    mark_limits(out.back(), page.nodes);
    if (page.has_power) {
        out.push_back(made_column(stage.name, "power", values_of(page.nodes, &HeatingNode::power), power_units(),
                                  is_product ? 0.0 : page.power_step));
        mark_limits(out.back(), page.nodes);
    }
    for (const ExtraColumn& extra : page.extras)
        out.push_back(made_column(stage.name, extra.name, extra.values, extra_units(extra), extra.step));
    return out;
}

/// `speed: 25 Hz`, in the unit of the system's speeds, which is no bare number.
void write_speed(YamlFile& file, const std::optional<double>& si, const Unit& unit) {
    if (!si) return;
    std::vector<Unit> units{unit.dimension == Dimension::ratio ? units::percent : unit};
    if (number_text(*si, units.front()).empty()) units = units_for(Dimension::frequency);
    const ColumnText text = column_text({&*si, 1}, units);
    file.pair("speed", text.texts.front() + " " + std::string(text.unit.name));
}

const char* word(CapacityBasis b) {
    return b == CapacityBasis::gross ? "gross" : b == CapacityBasis::net ? "net" : "unknown";
}
const char* word(AirflowBasis b) { return b == AirflowBasis::standard ? "standard" : "unknown"; }
const char* word(Pound p) { return p == Pound::dry ? "dry" : p == Pound::moist ? "moist" : "unknown"; }
const char* word(PowerBasis b) {
    return b == PowerBasis::compressor     ? "compressor"
           : b == PowerBasis::outdoor_unit ? "outdoor unit"
           : b == PowerBasis::system       ? "system"
                                           : "unknown";
}

std::string fan_text(const TableFan& fan) {
    const std::string power = quantity_text(fan.power.si, Dimension::power);
    const std::string ratio = quantity_text(fan.per_airflow.si, Dimension::fan_ratio);
    if (fan.per_airflow.si == 0.0) return power;
    return fan.power.si == 0.0 ? ratio : "[" + power + ", " + ratio + "]";
}

/// The words that cooling and heating share; of what is not known the file says so.
template <class AnyBasis>
YamlFile::Pairs shared_pairs(const AnyBasis& basis) {
    YamlFile::Pairs out{{"capacity", word(basis.capacity)}};
    if (basis.capacity == CapacityBasis::net) out.emplace_back("fan", fan_text(basis.fan));
    out.emplace_back("airflow", word(basis.airflow));
    out.emplace_back("standard_pound", word(basis.standard_pound));
    out.emplace_back("power", word(basis.power));
    return out;
}

template <Dimension D>
void add(YamlFile::Pairs& pairs, const char* key, const std::optional<Quantity<D>>& value) {
    if (value) pairs.emplace_back(key, quantity_text(value->si, D));
}

}  // namespace

YamlFile::Pairs basis_pairs(const Basis& basis) {
    YamlFile::Pairs out = shared_pairs(basis);
    add(out, "sensible_at", basis.sensible_at);
    add(out, "sensible_slope", basis.sensible_slope);
    static constexpr const char* ratio_of[] = {"", "total", "rated total", "rated sensible"};
    if (basis.sensible_ratio_of != SensibleRatioOf::not_a_ratio)
        out.emplace_back("sensible_ratio_of", ratio_of[static_cast<std::size_t>(basis.sensible_ratio_of)]);
    YamlFile::Pairs rated;
    for (const auto& [key, value] : {std::pair{"total", basis.rated.total}, std::pair{"sensible", basis.rated.sensible},
                                     std::pair{"power", basis.rated.power}})
        if (value.si > 0.0) rated.emplace_back(key, quantity_text(value.si, Dimension::power));
    if (!rated.empty()) out.emplace_back("rated", flow_text(rated));
    if (const auto& c = basis.certified)
        out.emplace_back("certified", flow_text({{"total", quantity_text(c->net_total.si, Dimension::power)},
                                                 {"airflow", quantity_text(c->airflow.si, Dimension::airflow, true)},
                                                 {"fan", quantity_text(c->fan_power.si, Dimension::power)}}));
    add(out, "elevation", basis.elevation);
    if (basis.tolerance) out.emplace_back("tolerance", quantity_text(*basis.tolerance, Dimension::ratio));
    return out;
}

YamlFile::Pairs basis_pairs(const HeatingBasis& basis) {
    YamlFile::Pairs out = shared_pairs(basis);
    add(out, "printed_at", basis.printed_at);
    if (const auto& rh = basis.outdoor_relative_humidity)
        out.emplace_back("outdoor_humidity", quantity_text(*rh, Dimension::ratio));
    add(out, "elevation", basis.elevation);
    if (basis.tolerance) out.emplace_back("tolerance", quantity_text(*basis.tolerance, Dimension::ratio));
    return out;
}

void write_stage(YamlFile& file, const Stage& stage, const Basis& common, const Unit& speed_unit, bool as_typed) {
    const PrintedPage& page = stage.table.page();
    const PageShape shape(page);
    const auto typed_factors = [&](const auto& texts) { return as_typed ? texts : std::vector<TypedColumn>(); };
    PageTable table;
    table.stage = stage.name;
    table.columns = as_typed ? typed_columns(page.typed, page.nodes.size()) : CoolingTexts(stage).columns();
    table.nodes = page.nodes.size();
    const Basis& basis = stage.table.basis();
    const bool has_dry_bulbs = std::ranges::find(table.columns, "edb", &OutColumn::role) != table.columns.end();
    if (basis.sensible_at && !common.sensible_at && !has_dry_bulbs)
        table.columns.push_back(axis_column("edb", {basis.sensible_at->si}, Dimension::temperature, false, table.nodes,
                                            [](std::size_t) { return std::size_t{0}; }));
    table.may_be_one = {"odb", "airflow", "pressure", "bypass"};
    if (page.pairs.empty()) table.may_be_one.insert(table.may_be_one.end(), {"ewb", "rh", "edb"});
    if (page.airflow_multiplied) {
        table.multiplied = {{"airflow", "airflow_factors", shape.stride(PageAxis::airflow), page.airflow.size(),
                             typed_factors(page.airflow_factors)}};
        table.outputs.push_back({"total", values_of(page.nodes, &PrintedNode::total), {}});
        if (page.has_sensible) {
            // Where total cuts the sensible, the factor on sensible is any that is large enough.
            FactorOutput& sensible = table.outputs.emplace_back();
            sensible = {"sensible", values_of(page.nodes, &PrintedNode::sensible),
                        values_of(page.nodes, &PrintedNode::total)};
            for (std::size_t n = 0; n < page.nodes.size(); ++n)
                if (page.nodes[n].mark == Mark::dry) sensible.values[n] = nan;
        }
        if (page.has_power) table.outputs.push_back({"power", values_of(page.nodes, &PrintedNode::power), {}});
    }
    file.open(yaml_text(stage.name));
    write_speed(file, stage.speed, speed_unit);
    if (!page.pairs.empty()) file.pair("indoor", page.pairs_are_points ? "points" : "path");
    if (page.infer) file.pair("infer", "true");
    std::move(table).write(file);
    file.close();
}

void write_stage(YamlFile& file, const HeatingStage& stage, const HeatingBasis&, const Unit& speed_unit,
                 bool as_typed) {
    const HeatingPage& page = stage.table.page();
    const auto typed_factors = [&](const auto& texts) { return as_typed ? texts : std::vector<TypedColumn>(); };
    PageTable table;
    table.stage = stage.name;
    table.columns = as_typed ? typed_columns(page.typed, page.nodes.size()) : made_columns(stage);
    table.nodes = page.nodes.size();
    table.may_be_one = {"odb", "airflow", "edb"};
    const std::size_t dry_bulbs = page.entering_dry_bulb.size();
    if (page.airflow_multiplied)
        table.multiplied.push_back(
            {"airflow", "airflow_factors", dry_bulbs, page.airflow.size(), typed_factors(page.airflow_factors)});
    if (page.dry_bulb_multiplied)
        table.multiplied.push_back({"edb", "edb_factors", 1, dry_bulbs, typed_factors(page.edb_factors)});
    table.outputs.push_back({"capacity", values_of(page.nodes, &HeatingNode::capacity), {}});
    if (page.has_power) table.outputs.push_back({"power", values_of(page.nodes, &HeatingNode::power), {}});
    file.open(yaml_text(stage.name));
    write_speed(file, stage.speed, speed_unit);
    std::move(table).write(file);
    file.close();
}

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
        if (std::ranges::any_of(page.nodes, [](const DefrostFactors& f) { return f.time_fraction != 0.0; }))
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
