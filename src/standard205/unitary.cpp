// A unitary system (RS0002): its direct-expansion system is a representation of its own, its fan (RS0003) with motor
// (RS0005) and drive (RS0006) becomes a blower table.
#include <algorithm>
#include <cmath>

#include "offnominal/detail/text.hpp"
#include "standard205/keys.hpp"
#include "text/budget.hpp"

namespace offnominal::files {
namespace {

using standard205::UnitarySystem;

class UnitaryReader {
   public:
    UnitaryReader(JsonDocument& document, const Limits& limits) : document_(document), limits_(limits) {}

    UnitarySystem take() {
        if (schema_of(document_.root) != keys::unitary_schema)
            document_.refuse("metadata.schema", "not a unitary system", schema_of(document_.root),
                             std::string(keys::unitary_schema));
        Json* performance = part(document_.root, {"performance"});
        Json* system = performance == nullptr ? nullptr : part(*performance, {"dx_system_representation"});
        if (system == nullptr)
            document_.refuse(system_path, "missing", {}, "a representation of a direct-expansion system, RS0004");
        JsonDocument inner{document_.name + ": " + system_path, std::move(*system)};
        out_.system = take_representation(inner, limits_);
        out_.indoor_unit = detail::visible(out_.system.product.indoor_unit_model_number);
        if (out_.indoor_unit.empty()) out_.indoor_unit = "indoor unit";
        take_position(*performance);
        if (const Json* fan = part(*performance, {"indoor_fan_representation", "fan_representation"}))
            take_fan(*fan);
        else
            depart("performance.indoor_fan_representation", "missing: no blower table", "a fan, RS0003");
        return std::move(out_);
    }

   private:
    static constexpr const char* system_path = "performance.dx_system_representation";
    static constexpr const char* fan_path = "performance.indoor_fan_representation.performance";

    void depart(const std::string& key, const std::string& problem, const char* asked) {
        if (out_.departures.size() == limits_.departures)
            document_.refuse(key, more_than(limits_, &Limits::departures), {}, within_limits);
        out_.departures.push_back({key, problem, asked});
    }
    /// The first object of these names.
    template <class J>
    static J* part(J& object, std::initializer_list<const char*> names) {
        for (const char* name : names)
            if (const auto found = object.find(name); found != object.end() && found->is_object()) return &*found;
        return nullptr;
    }
    static std::string word_of(const Json& object, std::initializer_list<const char*> names) {
        for (const char* name : names)
            if (const auto found = object.find(name); found != object.end() && found->is_string())
                return found->get<std::string>();
        return {};
    }

    void take_position(const Json& performance) {
        const std::string word = word_of(performance, {"indoor_fan_position", "fan_position"});
        if (word == "DRAW_THROUGH")
            out_.fan = FanPosition::draw_through;
        else if (word == "BLOW_THROUGH")
            out_.fan = FanPosition::blow_through;
        else
            depart("performance.fan_position", word.empty() ? "missing" : "another word: " + detail::visible(word),
                   "DRAW_THROUGH, BLOW_THROUGH");
    }

    /// Numbers of a list, each above zero (or not below).
    std::vector<double> numbers(const Json& object, const std::string& path, const char* key, bool zero = false) {
        const std::string where = path + "." + key;
        const auto found = object.find(key);
        if (found == object.end() || !found->is_array() || found->empty())
            document_.refuse(where, found == object.end() ? "missing" : "not a list of numbers", {},
                             "a list of numbers");
        if (found->size() > limits_.points)
            document_.refuse(where, more_than(limits_, &Limits::points), {}, within_limits);
        std::vector<double> out;
        for (const Json& item : *found) {
            const double x = item.is_number() ? item.get<double>() : std::nan("");
            if (!(zero ? x >= 0.0 : x > 0.0) || !std::isfinite(x))
                document_.refuse(where + "[" + std::to_string(out.size()) + "]", "no such number", shown(item),
                                 zero ? "a number, 0 or more" : "a number above 0");
            out.push_back(x);
        }
        return out;
    }

    void take_fan(const Json& fan) {
        const Json* performance = part(fan, {"performance"});
        const Json* map =
            performance == nullptr ? nullptr : part(*performance, {"performance_map", "performance_map_discrete"});
        const Json* grid = map == nullptr ? nullptr : part(*map, {"grid_variables"});
        const Json* lookup = map == nullptr ? nullptr : part(*map, {"lookup_variables"});
        if (grid == nullptr || lookup == nullptr)
            return depart(fan_path, "no map of what the fan moves: no blower table", "performance_map");
        if (!grid->contains("speed_number"))
            return depart(std::string(fan_path) + ".performance_map.grid_variables",
                          "a fan of continuous speed, which has no taps: no blower table", "speed_number");
        if (performance->contains("drive_representation"))
            return depart(
                std::string(fan_path) + ".drive_representation",
                "the losses of an electronic drive are not read, so electric power is not known: no blower table",
                "a motor alone");
        const Json* motor = part(*performance, {"motor_representation"});
        if (motor == nullptr)
            return depart(std::string(fan_path) + ".motor_representation",
                          "missing, so electric power is not known: no blower table", "a motor, RS0005");
        take_table(*grid, *lookup, *motor, *performance);
    }

    void take_table(const Json& grid, const Json& lookup, const Json& motor, const Json& performance) {
        const std::string of_grid = std::string(fan_path) + ".performance_map.grid_variables",
                          of_lookup = std::string(fan_path) + ".performance_map.lookup_variables";
        const auto speeds = numbers(grid, of_grid, "speed_number"),
                   statics = numbers(grid, of_grid, "static_pressure_difference", true),
                   flows = numbers(lookup, of_lookup, "standard_air_volumetric_flow_rate", true),
                   shafts = numbers(lookup, of_lookup, "shaft_power", true);
        const auto rotations = lookup.contains("impeller_rotational_speed")
                                   ? numbers(lookup, of_lookup, "impeller_rotational_speed", true)
                                   : std::vector<double>(flows.size(), 0.0);
        for (const auto* list : {&flows, &shafts, &rotations})
            if (list->size() != speeds.size() * statics.size())
                document_.refuse(
                    of_lookup, std::to_string(list->size()) + " values, so that some would shift", {},
                    std::to_string(speeds.size() * statics.size()) + " values, the product of the grid variables");
        const Motor turns(*this, motor, performance);
        std::vector<BlowerTable::Row> rows;
        for (std::size_t s = 0; s < speeds.size(); ++s)
            for (std::size_t p = 0; p < statics.size(); ++p) {
                const std::size_t n = s * statics.size() + p;
                const bool moves = flows[n] > 0.0 && shafts[n] > 0.0;
                rows.push_back({std::to_string(std::lround(speeds[s])), Pressure{statics[p]},
                                Airflow{moves ? flows[n] : 0.0},
                                Power{moves ? turns.electric(shafts[n], rotations[n]) : 0.0},
                                moves ? Mark::printed : Mark::blank});
            }
        BlowerTable::Basis basis;
        basis.standard_air = true;
        basis.includes = includes_of(performance);
        try {
            out_.blower = BlowerTable(std::move(rows), std::move(basis));
        } catch (const InputError& error) {
            throw InputError({document_.name}, of_lookup + ": " + error.problem(), error.text(), error.accepted());
        }
    }

    /// What stands in the fan's own assembly, whose drop its map holds.
    std::string includes_of(const Json& performance) {
        std::string out;
        const auto found = performance.find("assembly_components");
        if (found == performance.end() || !found->is_array()) return out;
        static constexpr std::pair<std::string_view, std::string_view> known[]{
            {"COIL", "dry coil"}, {"FILTER", "filter"}, {"HEATER", "heater"}};
        for (const Json& item : *found) {
            const std::string type = item.is_object() ? word_of(item, {"component_type"}) : std::string();
            for (const auto& [theirs, ours] : known)
                if (type == theirs && out.find(ours) == std::string::npos)
                    out += (out.empty() ? "" : ", ") + std::string(ours);
        }
        return out;
    }

    /// From the power of a fan's shaft to the electric power of its motor.
    class Motor {
       public:
        Motor(UnitaryReader& reader, const Json& motor, const Json& fan) {
            const std::string path = std::string(fan_path) + ".motor_representation.performance";
            const Json* performance = part(motor, {"performance"});
            const Json* map = performance == nullptr ? nullptr : part(*performance, {"performance_map"});
            const Json* grid = map == nullptr ? nullptr : part(*map, {"grid_variables"});
            const Json* lookup = map == nullptr ? nullptr : part(*map, {"lookup_variables"});
            if (grid == nullptr || lookup == nullptr)
                reader.document_.refuse(path, "no map of its efficiency", {}, "performance_map");
            std::vector<Axis> axes;
            axes.push_back(reader.axis(*grid, path, "shaft_power"));
            by_speed_ = grid->contains("shaft_rotational_speed");
            if (by_speed_) axes.push_back(reader.axis(*grid, path, "shaft_rotational_speed"));
            auto efficiency = reader.numbers(*lookup, path, "efficiency", true);
            std::size_t points = 1;
            for (const Axis& one : axes) points *= one.breakpoints().size();
            if (efficiency.size() != points)
                reader.document_.refuse(path + ".efficiency",
                                        std::to_string(efficiency.size()) + " values, so that some would shift", {},
                                        std::to_string(points) + " values, the product of the grid variables");
            for (double& share : efficiency) {
                if (share > 1.0) reader.document_.refuse(path + ".efficiency", "above 1", shown(share), "a fraction");
                share = std::max(share, 1e-3);  // of a motor that does nothing
            }
            efficiency_ = Grid(std::move(axes), std::move(efficiency), 1);
            const Json* drive = part(fan, {"mechanical_drive_representation"});
            if (drive == nullptr) return;  // on the motor's own shaft
            const Json* told = part(*drive, {"performance"});
            const auto number = [&](const char* key, double most, const char* accepted) {
                const auto found = told == nullptr ? drive->end() : told->find(key);
                const bool given = told != nullptr && found != told->end();
                const double x = given && found->is_number() ? found->get<double>() : std::nan("");
                if (!(x > 0.0 && x <= most))
                    reader.document_.refuse(
                        std::string(fan_path) + ".mechanical_drive_representation.performance." + key,
                        given ? "no such number" : "missing", given ? shown(*found) : std::string(), accepted);
                return x;
            };
            drive_ = number("efficiency", 1.0, "a fraction above 0, 1 at most");
            if (by_speed_) ratio_ = number("speed_ratio", 100.0, "the motor's speed over the fan's, above 0");
        }
        [[nodiscard]] double electric(double shaft, double rotation) const {
            const double at_motor = shaft / drive_;
            const std::array at{at_motor, rotation * ratio_};
            const auto share = efficiency_.with_edges(Edge::hold()).at({at.data(), by_speed_ ? 2u : 1u});
            return at_motor / share.value().value[0];
        }

       private:
        Grid efficiency_;
        bool by_speed_ = false;
        double drive_ = 1.0, ratio_ = 1.0;  ///< efficiency; motor's speed over the fan's
    };
    Axis axis(const Json& grid, const std::string& path, const char* key) {
        try {
            return Axis(key, numbers(grid, path, key, true));
        } catch (const InputError& error) {
            if (!error.file().empty()) throw;
            throw InputError({document_.name}, path + ": " + error.problem(), error.text(), error.accepted());
        }
    }

    JsonDocument& document_;
    const Limits& limits_;
    UnitarySystem out_;
};

}  // namespace
}  // namespace offnominal::files

namespace offnominal::standard205 {

UnitarySystem parse_unitary_system(std::string_view bytes, const std::string& name, const Limits& limits) {
    auto document = files::parse_document(bytes, name, limits);
    return files::UnitaryReader(document, limits).take();
}

System to_system(const UnitarySystem& unit, const Limits& limits) {
    SystemParts parts = to_system(unit.system, limits).parts();
    Match match;
    match.name = unit.indoor_unit;
    match.reference = true;
    match.fan = unit.fan;
    parts.matches = {std::move(match)};
    parts.blower = unit.blower;
    return System(std::move(parts));
}

System parse_any(std::string_view bytes, const std::string& name, const Limits& limits) {
    auto document = files::parse_document(bytes, name, limits);
    if (files::schema_of(document.root) == files::keys::unitary_schema)
        return to_system(files::UnitaryReader(document, limits).take(), limits);
    return to_system(files::take_representation(document, limits), limits);
}

}  // namespace offnominal::standard205
