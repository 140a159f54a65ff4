// A representation as a system.
#include <cmath>

#include "standard205_layout.hpp"

namespace offnominal::files {
namespace {

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
        const Layout layout(map);
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
            each_node(Layout(map), cooling_nodes, first, [&](std::size_t i) {
                PrintedNode node{total[i], sensible != nullptr ? (*sensible)[i] : 0.0,
                                 power != nullptr ? (*power)[i] : 0.0, 0.0, mark(map, i, total[i])};
                // Equal but for rounding is equal.
                if (sensible != nullptr && node.mark == Mark::printed &&
                    std::abs(node.sensible - node.total) <= 1e-9 * node.total) {
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
            each_node(Layout(map), heating_nodes, first, [&](std::size_t i) {
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
            each_node(Layout(map), defrost_nodes, first, [&](std::size_t i) {
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

}  // namespace
}  // namespace offnominal::files

namespace offnominal::standard205 {

System to_system(const Representation& representation) { return files::SystemMaker(representation).make(); }

}  // namespace offnominal::standard205
