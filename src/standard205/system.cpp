// A representation as a system, and a system as a representation.
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <vector>

#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/text.hpp"
#include "standard205/keys.hpp"
#include "standard205/layout.hpp"
#include "text/budget.hpp"

namespace offnominal::files {
namespace {

using standard205::Variable;

/// Visits a page's nodes in their order (the last axis of `names` fastest) and gives each one's number in the look-up
/// arrays.
template <std::size_t N, class Visit>
void each_node(const MapLayout& layout, const std::array<std::string_view, N>& names, std::size_t first, Visit visit) {
    std::array<std::size_t, N> size{}, stride{}, at{};
    std::size_t nodes = 1;
    for (std::size_t k = 0; k < N; ++k) {
        size[k] = layout.size(names[k]);
        stride[k] = layout.stride(names[k]);
        nodes *= size[k];
    }
    std::size_t point = first;
    for (std::size_t n = 0; n < nodes; ++n) {
        visit(point);
        for (std::size_t k = N; k-- > 0;) {
            point += stride[k];
            if (++at[k] < size[k]) break;
            point -= size[k] * stride[k];
            at[k] = 0;
        }
    }
}

constexpr std::array<std::string_view, 5> cooling_nodes{keys::outdoor_dry_bulb, keys::airflow, keys::entering_humidity,
                                                        keys::entering_dry_bulb, keys::station_pressure};
constexpr std::array<std::string_view, 3> heating_nodes{keys::outdoor_dry_bulb, keys::airflow, keys::entering_dry_bulb};
constexpr std::array<std::string_view, 2> defrost_nodes{keys::outdoor_dry_bulb, keys::outdoor_humidity};

std::vector<double> celsius(const std::vector<double>& kelvin) {
    std::vector<double> out;
    for (const double x : kelvin) out.push_back(units::kelvin.to_si(x));
    return out;
}

/// Makes a system of a representation.
class SystemMaker {
   public:
    explicit SystemMaker(const Representation& in) : in_(in) {}

    System make() {
        SystemParts parts;
        parts.name = name();
        parts.refrigerant = in_.product.refrigerant;
        parts.source.document = in_.metadata.data_source.empty() ? in_.metadata.description : in_.metadata.data_source;
        parts.source.revision = in_.metadata.data_version;
        parts.source.page =
            in_.metadata.schema + (in_.metadata.schema_version.empty() ? "" : " ") + in_.metadata.schema_version;
        parts.modulation = in_.speed_control == "CONTINUOUS" ? Modulation::variable : Modulation::staged;
        for (std::string* text :
             {&parts.name, &parts.refrigerant, &parts.source.document, &parts.source.revision, &parts.source.page})
            *text = detail::visible(*text);  // JSON can hold any character
        if (in_.cooling) add_cooling(parts, *in_.cooling, "performance_map_cooling");
        if (in_.heating) add_heating(parts, *in_.heating, "performance_map_heating");
        if (in_.defrost_correction) add_defrost(parts, *in_.defrost_correction, "performance_map_defrost_correction");
        if (parts.cooling.empty() && parts.heating.empty())
            refuse("performance", "neither a cooling nor a heating map", "one of them");
        return System(std::move(parts));
    }

   private:
    [[noreturn]] void refuse(const std::string& where, const std::string& problem, const std::string& accepted) const {
        throw InputError({in_.name, 0, 0}, where + ": " + problem, {}, accepted);
    }
    const std::vector<double>& need(const Map& map, std::string_view key, const std::string& where) const {
        const auto* values = map.find(key);
        if (values == nullptr) refuse(where, "no " + std::string(key), "the variables of the standard");
        return *values;
    }
    [[nodiscard]] std::string name() const {
        const ProductInformation& p = in_.product;
        std::string out;
        for (const std::string* word : {&p.outdoor_unit_manufacturer, &p.outdoor_unit_model_number,
                                        &p.indoor_unit_manufacturer, &p.indoor_unit_model_number})
            if (!word->empty()) out += (out.empty() ? "" : " ") + *word;
        if (!out.empty()) return out;
        return in_.metadata.description.empty() ? in_.name : in_.metadata.description;
    }

    /// Calls `page(name, first)` for each sequence number: its name, and where its values begin.
    template <class Page>
    void each_stage(const Map& map, const std::string& otherwise, Page page) const {
        const MapLayout layout(map);
        const auto& numbers = layout.values(keys::sequence_number);
        if (numbers.empty()) page(otherwise, std::size_t{0});
        for (std::size_t s = 0; s < numbers.size(); ++s)
            page(std::to_string(std::lround(numbers[s])), s * layout.stride(keys::sequence_number));
    }

    /// `Table(basis, page)`; a complaint about a node is told by its place in the look-up arrays.
    template <class Table, class TableBasis, class Page>
    Table built(const TableBasis& basis, Page page, const std::vector<std::size_t>& from, const std::string& where,
                const std::string& stage) const {
        try {
            return Table(basis, page);
        } catch (const InputError&) {  // once more, with the nodes numbered
            for (std::size_t n = 0; n < from.size(); ++n) page.places.push_back({{}, static_cast<int>(n) + 1, 0});
        }
        try {
            return Table(basis, std::move(page));
        } catch (const InputError& error) {
            const std::string point =
                error.line() > 0 ? "[" + std::to_string(from[static_cast<std::size_t>(error.line() - 1)]) + "]" : "";
            throw InputError({in_.name, 0, 0},
                             where + point + ", compressor sequence number " + stage + ": " + error.problem(),
                             error.text(), error.accepted());
        }
    }

    /// What the standard says of the air mass flow does not tell dry from moist air: the pound stays unknown.
    static std::vector<double> standard_airflow(const std::vector<double>& mass_flow) {
        std::vector<double> out;
        for (const double m : mass_flow) out.push_back(air::si::standard_from_dry_mass(m));
        return out;
    }
    /// NORMAL alone is steady operation. Of a list that is short, all are alike.
    static bool is_normal(const Map& map, std::size_t point) {
        if (map.operation_state.empty()) return true;
        return map.operation_state[std::min(point, map.operation_state.size() - 1)] == keys::normal;
    }
    static Mark mark(const Map& map, std::size_t point, double capacity) {
        if (!is_normal(map, point)) return Mark::beyond_limit;
        return capacity > 0.0 ? Mark::printed : Mark::blank;
    }

    void add_cooling(SystemParts& parts, const Map& map, const std::string& where) const {
        Basis basis;
        basis.capacity = CapacityBasis::gross;
        basis.airflow = AirflowBasis::standard;
        basis.power = PowerBasis::outdoor_unit;
        PrintedPage page;
        page.total_step = page.sensible_step = page.power_step = 0.0;  // a map was never printed
        page.outdoor_dry_bulb = celsius(need(map, keys::outdoor_dry_bulb, where));
        page.airflow = standard_airflow(need(map, keys::airflow, where));
        set_indoor(map, where, basis, page);
        const auto& total = need(map, keys::total, where);
        const auto *sensible = map.find(keys::sensible), *power = map.find(keys::gross_power);
        page.has_sensible = sensible != nullptr;
        page.has_power = power != nullptr;
        each_stage(map, "1", [&](const std::string& stage, std::size_t first) {
            std::vector<std::size_t> from;
            page.nodes.clear();
            each_node(MapLayout(map), cooling_nodes, first, [&](std::size_t i) {
                PrintedNode node{total[i], sensible != nullptr ? (*sensible)[i] : 0.0,
                                 power != nullptr ? (*power)[i] : 0.0, 0.0, mark(map, i, total[i])};
                // Equal but for rounding is equal.
                if (sensible != nullptr && node.mark == Mark::printed &&
                    (std::abs(node.sensible - node.total) <= 1e-9 * node.total || is_dry_above_total(map, i))) {
                    node.sensible = node.total;
                    node.mark = Mark::dry;
                }
                page.nodes.push_back(node);
                from.push_back(i);
            });
            parts.cooling.push_back({stage, built<RatingTable>(basis, page, from, where, stage)});
        });
    }

    /// Humidity, entering dry bulb and pressure: axes, or single values that become part of the basis.
    void set_indoor(const Map& map, const std::string& where, Basis& basis, PrintedPage& page) const {
        const auto& humidity = need(map, keys::entering_humidity, where);
        const auto entering = celsius(need(map, keys::entering_dry_bulb, where));
        const auto* pressure = map.find(keys::station_pressure);
        if (pressure != nullptr && pressure->size() > 1) page.pressure = *pressure;
        if (pressure != nullptr && pressure->size() == 1)
            basis.elevation = Length{air::si::elevation_at_pressure(pressure->front())};
        if (entering.size() > 1) {
            page.entering_dry_bulb = entering;
            page.relative_humidity = humidity;
            return;
        }
        if (pressure == nullptr || pressure->size() > 1)
            refuse(where, "one entering dry bulb, but not one station pressure",
                   "two entering dry bulbs or more, or one pressure to turn relative humidities into wet bulbs at");
        basis.sensible_at = Temperature{entering.front()};
        for (const double rh : humidity) {
            const auto state =
                air::try_state(*basis.sensible_at, air::relative_humidity(rh), Pressure{pressure->front()});
            if (!state)
                refuse(where, "relative humidity " + shown(Json(rh)) + ": " + explain(state.reason()),
                       "a state of moist air");
            page.entering_wet_bulb.push_back(air::wet_bulb(*state).si);
        }
    }

    void add_heating(SystemParts& parts, const Map& map, const std::string& where) const {
        HeatingBasis basis;
        basis.capacity = CapacityBasis::gross;
        basis.airflow = AirflowBasis::standard;
        basis.power = PowerBasis::outdoor_unit;
        HeatingPage page;
        page.capacity_step = page.power_step = 0.0;
        page.outdoor_dry_bulb = celsius(need(map, keys::outdoor_dry_bulb, where));
        page.airflow = standard_airflow(need(map, keys::airflow, where));
        page.entering_dry_bulb = celsius(need(map, keys::entering_dry_bulb, where));
        if (page.entering_dry_bulb.size() == 1) basis.printed_at = Temperature{page.entering_dry_bulb.front()};
        const auto& capacity = need(map, keys::heating_capacity, where);
        const auto* power = map.find(keys::heating_power);
        page.has_power = power != nullptr;
        each_stage(map, "1", [&](const std::string& stage, std::size_t first) {
            std::vector<std::size_t> from;
            page.nodes.clear();
            each_node(MapLayout(map), heating_nodes, first, [&](std::size_t i) {
                page.nodes.push_back({capacity[i], power != nullptr ? (*power)[i] : 0.0, mark(map, i, capacity[i])});
                from.push_back(i);
            });
            parts.heating.push_back(
                {stage, Frost::instantaneous, built<HeatingTable>(basis, page, from, where, stage)});
        });
    }

    void add_defrost(SystemParts& parts, const Map& map, const std::string& where) const {
        DefrostTable::Page page;
        page.outdoor_dry_bulb = celsius(need(map, keys::outdoor_dry_bulb, where));
        page.outdoor_relative_humidity = need(map, keys::outdoor_humidity, where);
        const auto& capacity = need(map, keys::capacity_factor, where);
        const auto& power = need(map, keys::power_factor, where);
        const auto& time = need(map, keys::defrost_time, where);
        std::vector<DefrostTable::Page> pages;
        each_stage(map, {}, [&](const std::string& stage, std::size_t first) {
            page.stage = stage;
            page.nodes.clear();
            each_node(MapLayout(map), defrost_nodes, first, [&](std::size_t i) {
                page.nodes.push_back({capacity[i], power[i], time[i]});
            });
            pages.push_back(page);
        });
        try {
            parts.defrost = DefrostTable(std::move(pages));
        } catch (const InputError& error) {
            throw InputError({in_.name, 0, 0}, where + ": " + error.problem(), error.text(), error.accepted());
        }
    }

    const Representation& in_;
};

std::vector<double> kelvin(const std::vector<double>& celsius) {
    std::vector<double> out;
    for (const double x : celsius) out.push_back(units::kelvin.from_si(x));
    return out;
}

/// A number as somebody would have typed it, where conversion has only moved its last bits.
double tidied(double value, int digits, double within) {
    const double out = detail::number_of(detail::rounded_text(value, digits)).value_or(value);
    return std::abs(out - value) <= within * std::abs(value) ? out : value;
}

/// Makes a representation of a system.
class RepresentationMaker {
   public:
    explicit RepresentationMaker(const System& system) : parts_(system.parts()) {}

    Representation make() {
        out_.name = parts_.name;
        out_.metadata.data_model = "ASHRAE_205";
        out_.metadata.schema = "RS0004";
        out_.metadata.schema_version = "2.0.0";
        out_.metadata.description = parts_.name;
        out_.metadata.data_source = parts_.source.document;
        out_.metadata.data_version = parts_.source.revision;
        out_.product.refrigerant = parts_.refrigerant;
        out_.speed_control = parts_.modulation == Modulation::staged ? "DISCRETE" : "CONTINUOUS";
        if (!parts_.cooling.empty()) make_cooling();
        std::vector<const HeatingStage*> frost_free;
        for (const HeatingStage& stage : parts_.heating) {
            if (stage.frost == Frost::instantaneous)
                frost_free.push_back(&stage);
            else
                leave_out("heating pages that are not frost-free");
        }
        if (!frost_free.empty()) make_heating(frost_free);
        if (parts_.defrost) make_defrost();
        if (out_.capabilities.empty())
            refuse("no page of the system's own that the standard has a map for",
                   "cooling, or instantaneous heating pages");
        for (const Stage& stage : parts_.cooling) {
            const RatingTable& table = stage.table;
            if (table.page().has_bypass) leave_out("bypass factors");
            if (!table.page().extras.empty()) leave_out("extra columns");
            if (table.basis().sensible_slope) leave_out("the printed sensible slope");
            if (table.basis().tolerance) leave_out("the maker's tolerance");
            if (stage.speed) leave_out("compressor speeds");
        }
        if (!parts_.matches.empty()) leave_out("indoor matches");
        if (!parts_.line_set.empty() || !parts_.heating_line_set.empty()) leave_out("line-set table");
        if (!parts_.altitude.empty()) leave_out("altitude table");
        if (!parts_.blower.empty()) leave_out("blower table");
        for (const std::string& what : left_out_)
            out_.metadata.notes += (&what == &left_out_.front() ? "Left out: " : ", ") + what;
        // Says what the standard asks for and a system does not hold.
        out_.departures = standard205::parse_representation(
                              standard205::write_representation(out_, standard205::Format::cbor), out_.name)
                              .departures;
        return std::move(out_);
    }

   private:
    [[noreturn]] void refuse(const std::string& problem, const std::string& accepted) const {
        throw InputError({}, "'" + parts_.name + "' as a Standard 205 representation: " + problem, {}, accepted);
    }
    void leave_out(const std::string& what) {
        if (std::find(left_out_.begin(), left_out_.end(), what) == left_out_.end()) left_out_.push_back(what);
    }

    /// Pages in the order of their sequence numbers: stages named by numbers keep them, others go by rising capacity.
    template <class Page>
    struct Numbered {
        double number;
        const Page* page;
    };
    template <class Page, class Capacity>
    std::vector<Numbered<Page>> numbered(std::vector<const Page*> pages, const Capacity& capacity) {
        std::vector<Numbered<Page>> out;
        for (const Page* page : pages) {
            int number = 0;
            const char* end = page->name.data() + page->name.size();
            const auto read = std::from_chars(page->name.data(), end, number);
            out.push_back({read.ec == std::errc() && read.ptr == end && number >= 1 ? number : 0.0, page});
        }
        const auto by_number = [](const auto& a, const auto& b) { return a.number < b.number; };
        if (std::all_of(out.begin(), out.end(), [](const auto& n) { return n.number > 0.0; })) {
            std::sort(out.begin(), out.end(), by_number);
            return out;
        }
        std::stable_sort(out.begin(), out.end(),
                         [&](const auto& a, const auto& b) { return capacity(*a.page) < capacity(*b.page); });
        std::string names;
        for (std::size_t i = 0; i < out.size(); ++i) {
            out[i].number = static_cast<double>(i) + 1.0;
            names += (i == 0 ? "" : ", ") + std::to_string(i + 1) + " " + out[i].page->name;
        }
        const std::string note = "Sequence numbers: " + names + ". ";
        if (out_.metadata.notes.find(note) == std::string::npos) out_.metadata.notes += note;
        return out;
    }
    template <class Page>
    static Variable sequence(const std::vector<Numbered<Page>>& pages) {
        Variable out{std::string(keys::sequence_number), {}};
        for (const auto& page : pages) out.values.push_back(page.number);
        return out;
    }
    static Variable mass_flow(const std::vector<double>& airflow) {
        Variable out{std::string(keys::airflow), {}};
        for (const double flow : airflow)
            out.values.push_back(tidied(air::si::dry_mass_from_standard(flow), 12, 1e-14));
        return out;
    }
    template <class TableBasis>
    void check_basis(const std::string& stage, const TableBasis& basis, bool has_power) const {
        const std::string where = "stage '" + stage + "': ";
        if (basis.capacity != CapacityBasis::gross)
            refuse(where + "capacity is not gross", "pages without the indoor fan's heat");
        if (basis.airflow != AirflowBasis::standard)
            refuse(where + "airflow is not known to be standard", "airflow: standard");
        if (!has_power || basis.power != PowerBasis::outdoor_unit)
            refuse(where + "no power of the outdoor unit", "power: outdoor unit");
    }
    void check_mark(const std::string& stage, Mark mark) const {
        if (mark == Mark::blank || mark == Mark::beyond_limit)
            refuse("stage '" + stage + "': a node without a number, which a map cannot hold", "pages without blanks");
    }

    void make_cooling() {
        std::vector<const Stage*> pages;
        for (const Stage& stage : parts_.cooling) pages.push_back(&stage);
        const auto stages = numbered(pages, [](const Stage& s) { return s.table.page().nodes.front().total; });
        const PrintedPage& page = stages.front().page->table.page();
        const Basis& basis = stages.front().page->table.basis();
        for (const auto& [number, stage] : stages) {
            const PrintedPage& other = stage->table.page();
            check_basis(stage->name, stage->table.basis(), other.has_power);
            if (!other.has_sensible)
                refuse("stage '" + stage->name + "': no sensible capacity", "total, sensible, power");
            const bool same = other.outdoor_dry_bulb == page.outdoor_dry_bulb && other.airflow == page.airflow &&
                              other.entering_wet_bulb == page.entering_wet_bulb && other.pairs == page.pairs &&
                              other.relative_humidity == page.relative_humidity &&
                              other.entering_dry_bulb == page.entering_dry_bulb && other.pressure == page.pressure &&
                              stage->table.basis().sensible_at == basis.sensible_at;
            if (!same)
                refuse("stage '" + stage->name + "' is printed over other axes than stage '" +
                           stages.front().page->name + "'",
                       "all stages over the same axes: a map has one grid");
            for (const PrintedNode& node : other.nodes) check_mark(stage->name, node.mark);
        }
        Map map;
        set_grid(page, basis, sequence(stages), map);
        const std::size_t points = map.points();
        for (const auto key : {keys::total, keys::sensible, keys::gross_power})
            map.lookup.push_back({std::string(key), std::vector<double>(points)});
        map.operation_state.assign(points, std::string(keys::normal));
        const MapLayout layout(map);
        for (std::size_t s = 0; s < stages.size(); ++s) {
            auto node = stages[s].page->table.page().nodes.begin();
            each_node(layout, cooling_nodes, s * layout.stride(keys::sequence_number), [&](std::size_t i) {
                map.lookup[0].values[i] = node->total;
                map.lookup[1].values[i] = node->sensible;
                map.lookup[2].values[i] = node->power;
                ++node;
            });
        }
        out_.capabilities.push_back("COOLING");
        out_.cooling = std::move(map);
    }

    void set_grid(const PrintedPage& page, const Basis& basis, Variable sequence_numbers, Map& map) const {
        std::vector<double> pressure = page.pressure;
        if (pressure.empty()) {
            if (!basis.elevation) refuse("no pressure", "a pressure axis, or the elevation of the pages");
            pressure.push_back(tidied(air::si::pressure_at_elevation(basis.elevation->si), 12, 1e-14));
        }
        std::vector<double> humidity = page.relative_humidity, entering = page.entering_dry_bulb;
        if (!page.pairs.empty())
            refuse("pairs of dry and wet bulb", "a relative-humidity and an entering-dry-bulb axis");
        if (humidity.empty()) {
            if (!entering.empty())
                refuse("no relative humidity: several entering dry bulbs over wet bulbs",
                       "a relative-humidity axis, or sensible printed at one entering dry bulb");
            if (!basis.sensible_at) refuse("no entering dry bulb", "an entering-dry-bulb axis, or sensible_at");
            if (pressure.size() > 1)
                refuse("wet bulbs at several pressures", "a relative-humidity axis, or one pressure");
            entering.push_back(basis.sensible_at->si);
            for (const double wet_bulb : page.entering_wet_bulb) {
                const auto state = air::try_state(*basis.sensible_at, air::wet_bulb(Temperature{wet_bulb}),
                                                  Pressure{pressure.front()});
                if (!state)
                    refuse("an entering wet bulb: " + explain(state.reason()), "wet bulbs below the entering dry bulb");
                humidity.push_back(std::min(1.0, tidied(air::relative_humidity(*state).si, 9, 1e-11)));
            }
        }
        map.grid = {{std::string(keys::outdoor_dry_bulb), kelvin(page.outdoor_dry_bulb)},
                    {std::string(keys::entering_humidity), humidity},
                    {std::string(keys::entering_dry_bulb), kelvin(entering)},
                    mass_flow(page.airflow),
                    std::move(sequence_numbers),
                    {std::string(keys::station_pressure), pressure}};
    }

    void make_heating(const std::vector<const HeatingStage*>& pages) {
        const auto stages =
            numbered(pages, [](const HeatingStage& s) { return s.table.page().nodes.front().capacity; });
        const HeatingPage& page = stages.front().page->table.page();
        for (const auto& [number, stage] : stages) {
            const HeatingPage& other = stage->table.page();
            check_basis(stage->name, stage->table.basis(), other.has_power);
            if (other.outdoor_dry_bulb != page.outdoor_dry_bulb || other.airflow != page.airflow ||
                other.entering_dry_bulb != page.entering_dry_bulb)
                refuse("heating stage '" + stage->name + "' is printed over other axes than stage '" +
                           stages.front().page->name + "'",
                       "all stages over the same axes: a map has one grid");
            for (const HeatingNode& node : other.nodes) check_mark(stage->name, node.mark);
        }
        Map map;
        map.grid = {{std::string(keys::outdoor_dry_bulb), kelvin(page.outdoor_dry_bulb)},
                    {std::string(keys::entering_dry_bulb), kelvin(page.entering_dry_bulb)},
                    mass_flow(page.airflow),
                    sequence(stages)};
        const std::size_t points = map.points();
        for (const auto key : {keys::heating_capacity, keys::heating_power})
            map.lookup.push_back({std::string(key), std::vector<double>(points)});
        map.operation_state.assign(points, std::string(keys::normal));
        const MapLayout layout(map);
        for (std::size_t s = 0; s < stages.size(); ++s) {
            auto node = stages[s].page->table.page().nodes.begin();
            each_node(layout, heating_nodes, s * layout.stride(keys::sequence_number), [&](std::size_t i) {
                map.lookup[0].values[i] = node->capacity;
                map.lookup[1].values[i] = node->power;
                ++node;
            });
            heating_numbers_.push_back({stages[s].page->name, stages[s].number});
        }
        out_.capabilities.push_back("HEATING");
        out_.heating = std::move(map);
    }

    void make_defrost() {
        const auto& pages = parts_.defrost->pages();
        Map map;
        Variable numbers{std::string(keys::sequence_number), {}};
        std::vector<const DefrostTable::Page*> chosen;
        for (const auto& [stage, number] : heating_numbers_) {
            const DefrostTable::Page* found = nullptr;
            for (const DefrostTable::Page& page : pages)
                if (page.stage == stage || (page.stage.empty() && found == nullptr)) found = &page;
            if (found == nullptr)
                refuse("no defrost correction for heating stage '" + stage + "'", "one for each stage");
            if (found->outdoor_dry_bulb != pages.front().outdoor_dry_bulb ||
                found->outdoor_relative_humidity != pages.front().outdoor_relative_humidity)
                refuse("defrost corrections over different axes", "all over the same axes: a map has one grid");
            chosen.push_back(found);
            numbers.values.push_back(number);
        }
        if (chosen.empty()) return leave_out("defrost correction without a frost-free heating page");
        map.grid = {{std::string(keys::outdoor_dry_bulb), kelvin(pages.front().outdoor_dry_bulb)},
                    {std::string(keys::outdoor_humidity), pages.front().outdoor_relative_humidity},
                    std::move(numbers)};
        for (const auto key : {keys::capacity_factor, keys::power_factor, keys::defrost_time})
            map.lookup.push_back({std::string(key), std::vector<double>(map.points())});
        const MapLayout layout(map);
        for (std::size_t s = 0; s < chosen.size(); ++s) {
            auto node = chosen[s]->nodes.begin();
            each_node(layout, defrost_nodes, s, [&](std::size_t i) {
                map.lookup[0].values[i] = node->capacity;
                map.lookup[1].values[i] = node->power;
                map.lookup[2].values[i] = node->time_fraction;
                ++node;
            });
        }
        out_.defrost_correction = std::move(map);
    }

    const SystemParts& parts_;
    Representation out_;
    std::vector<std::pair<std::string, double>> heating_numbers_;
    std::vector<std::string> left_out_;
};

}  // namespace
}  // namespace offnominal::files

namespace offnominal::standard205 {

System to_system(const Representation& representation, const Limits& limits) {
    std::size_t points = 0;
    for (const auto* map : {&representation.cooling, &representation.heating})
        if (*map) points += (*map)->points();
    if (points > limits.points)
        throw InputError({representation.name}, files::more_than(limits, &Limits::points), {}, files::within_limits);
    return files::SystemMaker(representation).make();
}

Representation to_representation(const System& system) { return files::RepresentationMaker(system).make(); }

}  // namespace offnominal::standard205
