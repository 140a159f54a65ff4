#include "write_page.hpp"

#include <algorithm>
#include <limits>

#include "offnominal/ratings/shape.hpp"

namespace offnominal::files {
namespace {

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
