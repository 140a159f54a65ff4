#include "read/heating.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <vector>

#include "ranges.hpp"
#include "read/basis.hpp"
#include "read/multipliers.hpp"
#include "read/roles.hpp"

namespace offnominal::files {
namespace {

constexpr Role heating_capacity{"capacity", Dimension::power};
constexpr Role heating_power{"power", Dimension::power, Role::Kind::output, false};
constexpr std::array<Role, 5> extras{roles::extra("rise", Dimension::temperature_difference),
                                     roles::extra("cop", Dimension::efficiency), roles::gauge("suction_pressure"),
                                     roles::gauge("liquid_pressure"), roles::extra("amps", Dimension::current)};

/// The table of a stage. What stands beside it, or comes from a multiplier row, needs no column.
Table heating_table(const Fields& fields, const std::string& where) {
    std::vector<Role> all{roles::odb, roles::airflow, roles::edb, heating_capacity, heating_power};
    all.insert(all.end(), extras.begin(), extras.end());
    all[0].required = fields.find("odb") == nullptr;
    all[1].required = fields.find("airflow") == nullptr && fields.find("airflow_factors") == nullptr;
    return read_table(fields, where, all);
}

/// Every run of `inner` values of a page, once for each value of an axis: `of(value, index on the axis)`.
template <class T, class Of>
std::vector<T> spread(const std::vector<T>& from, std::size_t inner, std::size_t size, const Of& of) {
    std::vector<T> out;
    out.reserve(from.size() * size);
    for (std::size_t first = 0; first < from.size(); first += inner)
        for (std::size_t a = 0; a < size; ++a)
            for (std::size_t i = first; i < first + inner; ++i) out.push_back(of(from[i], a));
    return out;
}

/// A page printed at one value of an axis, times the factors for other values, at the nodes.
void multiply(const Multipliers& factors, std::size_t inner, HeatingPage& page) {
    const std::size_t size = factors.values.size();
    const Multipliers::Factor &on_capacity = factors.factors[0], &on_power = factors.factors[1];
    const auto most = [&](double HeatingNode::*output) {
        double out = 0.0;
        for (const HeatingNode& node : page.nodes) out = std::max(out, node.*output);
        return out;
    };
    page.capacity_step = step_of_product(page.capacity_step, 1.0, on_capacity.step, most(&HeatingNode::capacity));
    if (page.has_power)
        page.power_step = step_of_product(page.power_step, 1.0, on_power.step, most(&HeatingNode::power));

    page.nodes = spread(page.nodes, inner, size, [&](HeatingNode node, std::size_t a) {
        if (a == factors.printed) return node;
        node.capacity *= on_capacity.values[a];
        if (page.has_power) node.power *= on_power.values[a];
        return node;
    });
    page.places = spread(page.places, inner, size, [](const InputError::Place& place, std::size_t) { return place; });
    for (ExtraColumn& extra : page.extras)
        extra.values = spread(extra.values, inner, size, [&](double v, std::size_t a) {
            return a == factors.printed ? v : std::numeric_limits<double>::quiet_NaN();
        });
    std::erase_if(page.typed, [&](const TypedColumn& column) { return column.role == factors.typed.role; });
    for (TypedColumn& column : page.typed) {
        constexpr std::array axes{roles::odb.name, roles::airflow.name, roles::edb.name};
        const bool is_axis = ranges::find(axes, column.role) != axes.end();
        column.texts = spread(column.texts, inner, size, [&](const std::string& text, std::size_t a) {
            return is_axis || a == factors.printed ? text : std::string();
        });
    }
    TypedColumn& axis = page.typed.emplace_back(factors.typed);
    axis.texts.clear();
    for (std::size_t n = 0; n < page.nodes.size(); ++n) axis.texts.push_back(factors.typed.texts[n / inner % size]);
}

/// Reads one page.
class HeatingReader {
   public:
    HeatingReader(const Document& document, const Item& item, const std::string& where, HeatingBasis basis)
        : fields_(document, item, where,
                  {"table", "file", "odb", "airflow", "edb", "airflow_factors", "edb_factors", "exact", "speed"}),
          table_(heating_table(fields_, where)),
          basis_(std::move(basis)) {
        const Layout layout(table_, {axis_of(fields_, table_, roles::odb), axis_of(fields_, table_, roles::airflow),
                                     axis_of(fields_, table_, roles::edb)});
        if (layout.axis(1).unit.standard_air) basis_.airflow = AirflowBasis::standard;
        page_.outdoor_dry_bulb = layout.axis(0).values;
        page_.airflow = standard_airflows(layout.axis(1));
        page_.entering_dry_bulb = layout.axis(2).values;
        if (page_.entering_dry_bulb.empty() && basis_.printed_at) page_.entering_dry_bulb = {basis_.printed_at->si};
        fill_nodes(layout);
        multiply_airflow();
        multiply_dry_bulb();
        if (fields_.flag("exact", false)) {
            page_.capacity_step = page_.power_step = 0.0;
            for (ExtraColumn& extra : page_.extras) extra.step = 0.0;
        }
    }

    /// The stage's speed, if it has one: in the unit of all others.
    [[nodiscard]] std::optional<double> speed(std::optional<Unit>& unit) const {
        const auto typed = read_speed(fields_);
        if (!typed) return std::nullopt;
        if (unit && unit->name != typed->unit.name)
            fields_.refuse(*fields_.find("speed"), fields_.path("speed") + ": another unit than the other speeds",
                           std::string(unit->name));
        unit = typed->unit;
        return typed->si;
    }

    /// As typed, not checked against itself.
    [[nodiscard]] std::pair<HeatingBasis, HeatingPage> take() && { return {std::move(basis_), std::move(page_)}; }

    [[nodiscard]] HeatingTable build() && {
        try {
            return placed(fields_.document(), fields_.map(), [&] { return HeatingTable(basis_, std::move(page_)); });
        } catch (const InputError& error) {  // of a node: show its row
            if (error.text().empty())
                for (const Row& row : table_.rows())
                    if (row.line == error.line() && table_.place(row).file == error.file())
                        table_.refuse(row, error.problem(), error.accepted());
            throw;
        }
    }

   private:
    void fill_nodes(const Layout& layout) {
        const int c = table_.column(heating_capacity.name), p = table_.column(heating_power.name);
        page_.has_power = p >= 0;
        page_.capacity_step = table_.step(c);
        if (page_.has_power) page_.power_step = table_.step(p);
        page_.nodes.reserve(layout.nodes().size());
        for (const Layout::Node& at : layout.nodes()) {
            const Mark mark = mark_of(cell(*at.row, c));
            const bool printed = mark == Mark::printed;
            page_.nodes.push_back({printed ? value(*at.row, c) : 0.0, printed ? value(*at.row, p) : 0.0, mark});
        }
        page_.extras = layout.extras();
        page_.places = layout.places();
        page_.typed = layout.typed();
    }

    /// `key`, the factors along an axis that the page prints at one value only, if it is there.
    [[nodiscard]] std::optional<Multipliers> factors(const char* key, const Role& axis, const char* what,
                                                     const std::vector<double>& values) {
        const Item* item = fields_.find(key);
        if (item == nullptr) return std::nullopt;
        if (values.size() > 1)
            fields_.refuse(*item, fields_.path(key) + ": the page prints several " + what + " itself",
                           std::string("a page printed at one of the ") + what);
        const std::array outputs{
            Role{heating_capacity.name, Dimension::ratio},
            Role{heating_power.name, Dimension::ratio, Role::Kind::output, page_.has_power},
        };
        return read_multipliers(fields_.document(), *item, fields_.path(key), axis,
                                std::span(outputs).first(page_.has_power ? 2 : 1),
                                values.empty() ? std::nullopt : std::optional(values.front()), page_.nodes.size());
    }

    void multiply_airflow() {
        auto found = factors("airflow_factors", roles::airflow, "airflows", page_.airflow);
        if (!found) return;
        found->factors.resize(2);
        multiply(*found, page_.nodes.size() / page_.outdoor_dry_bulb.size(), page_);
        if (found->typed.unit.standard_air) basis_.airflow = AirflowBasis::standard;
        page_.airflow = std::move(found->values);
        page_.airflow_multiplied = true;
        page_.airflow_factors = std::move(found->typed_factors);
    }

    void multiply_dry_bulb() {
        auto found = factors("edb_factors", roles::edb, "entering dry bulbs", page_.entering_dry_bulb);
        if (found) {
            found->factors.resize(2);
            multiply(*found, 1, page_);
            page_.entering_dry_bulb = std::move(found->values);
            page_.dry_bulb_multiplied = true;
            page_.edb_factors = std::move(found->typed_factors);
        }
        if (page_.entering_dry_bulb.empty())
            fields_.missing("edb",
                            "the entering dry bulb the page is printed at: a column edb, edb_factors, or printed_at: "
                            "70 degF in the basis");
    }

    Fields fields_;
    Table table_;
    HeatingBasis basis_;
    HeatingPage page_;
};

/// The stages of a map `{stages: {high: ..., low: ...}}`, each handed to `read(name, item, where)`.
template <class Read>
void each_stage(const Fields& fields, const Read& read) {
    const std::string path = fields.path("stages");
    const Item& stages = fields.need("stages", "a name and a table for each stage");
    if (stages.kind != Item::Kind::map) fields.refuse(stages, path + ": not a map of stages", "high: {file: name.csv}");
    for (std::size_t i = 0; i < stages.keys.size(); ++i)
        read(stages.keys[i].text, stages.values[i], path + ": " + stages.keys[i].text);
}

DefrostTable::Page read_defrost_page(const Document& document, const Item& item, const std::string& where,
                                     std::string stage) {
    static constexpr Role all[]{roles::odb, Role{"rh", Dimension::ratio, Role::Kind::axis},
                                Role{"capacity", Dimension::ratio}, Role{"power", Dimension::ratio},
                                Role{"time", Dimension::ratio, Role::Kind::output, false}};
    const Table table = read_table(document, item, where, all);
    const auto column_axis = [&](const Role& role) {
        TypedAxis axis;
        axis.kind = TypedAxis::Kind::column;
        axis.role = role.name;
        axis.column = table.column(role.name);
        axis.unit = table[axis.column].unit;
        return axis;
    };
    const Layout layout(table, {column_axis(all[0]), column_axis(all[1])});
    const int on_capacity = table.column("capacity"), on_power = table.column("power"), time = table.column("time");
    DefrostTable::Page page{std::move(stage), layout.axis(0).values, layout.axis(1).values, {}};
    for (const Layout::Node& at : layout.nodes()) {
        if (mark_of(cell(*at.row, on_capacity)) != Mark::printed)
            table.refuse(*at.row, "a blank row in the defrost table", "factors for each outdoor condition");
        page.nodes.push_back({value(*at.row, on_capacity), value(*at.row, on_power), value(*at.row, time)});
    }
    return page;
}

/// `defrost:` for all stages (a table), or `{stages: {high: ..., low: ...}}`.
DefrostTable read_defrost(const Document& document, const Item& item) {
    std::vector<DefrostTable::Page> pages;
    const auto is_stages = [](const Item& key) { return key.text == "stages"; };
    if (item.kind == Item::Kind::map && ranges::any_of(item.keys, is_stages)) {
        const Fields fields(document, item, "heating: defrost", {"stages"});
        each_stage(fields, [&](const std::string& name, const Item& typed, const std::string& where) {
            pages.push_back(read_defrost_page(document, typed, where, name));
        });
    } else {
        pages.push_back(read_defrost_page(document, item, "heating: defrost", {}));
    }
    return placed(document, item, [&] { return DefrostTable(std::move(pages)); });
}

Fields heating_fields(const Document& document, const Item& item) {
    return {document, item, "heating", {"basis", "instantaneous", "integrated", "unknown", "defrost"}};
}

/// The pages of `heating`, each handed to `read(name, frost, reader)`.
template <class Read>
void each_page(const Document& document, const Item& item, const Read& read) {
    const Fields fields = heating_fields(document, item);
    HeatingBasis basis;
    if (const Item* typed = fields.find("basis")) basis = read_heating_basis(document, *typed);
    for (const auto& [key, frost] :
         {std::pair{"instantaneous", Frost::instantaneous}, std::pair{"integrated", Frost::integrated},
          std::pair{"unknown", Frost::unknown}}) {
        const Item* typed = fields.find(key);
        if (typed == nullptr) continue;
        const Fields kind(document, *typed, fields.path(key), {"stages"});
        each_stage(kind, [&, frost = frost](const std::string& name, const Item& stage, const std::string& where) {
            read(name, frost, HeatingReader(document, stage, where, basis));
        });
    }
}

}  // namespace

std::vector<HeatingPageOfFile> read_heating_pages(const Document& document, const Item& item) {
    std::vector<HeatingPageOfFile> out;
    each_page(document, item, [&](const std::string& name, Frost frost, HeatingReader reader) {
        std::optional<Unit> unit;
        const auto speed = reader.speed(unit);
        auto [basis, page] = std::move(reader).take();
        out.push_back({name, frost, std::move(basis), std::move(page), speed, unit.value_or(units::one)});
    });
    return out;
}

void read_heating(const Document& document, const Item& item, SystemParts& parts, std::optional<Unit>& speed_unit) {
    const Fields fields = heating_fields(document, item);
    each_page(document, item, [&](const std::string& name, Frost frost, HeatingReader reader) {
        const auto speed = reader.speed(speed_unit);
        parts.heating.push_back({name, frost, std::move(reader).build(), speed});
    });
    if (parts.heating.empty())
        fields.missing("instantaneous",
                       "stages under instantaneous, integrated, or unknown where the page does not say");
    if (const Item* typed = fields.find("defrost")) parts.defrost = read_defrost(document, *typed);
}

}  // namespace offnominal::files
