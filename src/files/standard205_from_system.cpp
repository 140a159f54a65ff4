// A system as a representation.
#include <charconv>
#include <cmath>

#include "standard205_layout.hpp"

namespace offnominal::files {
namespace {

using standard205::Variable;

std::vector<double> kelvin(const std::vector<double>& celsius) {
    std::vector<double> out;
    for (const double x : celsius) out.push_back(units::kelvin.from_si(x));
    return out;
}

/// A number as somebody would have typed it, where conversion has only moved its last bits.
double tidied(double value, int digits, double within) {
    char text[40];
    const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::general, digits).ptr;
    double out = value;
    std::from_chars(text, end, out);
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
        if (!parts_.line_set.empty()) leave_out("line-set table");
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
        const Layout layout(map);
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
        const Layout layout(map);
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
        const Layout layout(map);
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

Representation to_representation(const System& system) { return files::RepresentationMaker(system).make(); }

}  // namespace offnominal::standard205
