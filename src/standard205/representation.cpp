#include <algorithm>
#include <cmath>
#include <fstream>

#include "standard205/keys.hpp"
#include "standard205/layout.hpp"
#include "text/budget.hpp"
#include "text/raw.hpp"

namespace offnominal::files {
namespace {

using standard205::Variable;

/// The shortest text that reads back as the same number.
std::string number(double value) { return Json(value).dump(); }

/// What is wrong with a number of a measure; empty if nothing is. `accepted` says what would be right.
struct Wrong {
    std::string problem;
    std::string accepted;
};

Wrong judge_pressure(double value) {
    if (value >= air::least_pressure && value <= air::greatest_pressure) return {};
    const std::string accepted = "a station pressure in Pa, 50000 to 110000";
    for (const Unit& unit : {units::kPa, units::hPa, units::psia, units::inHg})
        if (const double pascals = unit.to_si(value);
            pascals >= air::least_pressure && pascals <= air::greatest_pressure)
            return {"a station pressure no place has", accepted + "; if these are " + std::string(unit.name) + ": " +
                                                           number(std::round(pascals * 1000.0) / 1000.0) + " Pa"};
    return {"a station pressure no place has", accepted};
}

/// The ranges of the standard, narrowed to what can be: its ">= 0" lets degrees Celsius pass for kelvin, and
/// kilopascals for pascals.
Wrong judge(NumberKind measure, double value) {
    switch (measure) {
        case NumberKind::temperature:
            if (value >= 150.0 && value <= 400.0) return {};
            if (value >= -100.0 && value < 126.85)
                return {"a temperature no machine runs at",
                        "a temperature in K; if this is in degC: " + number(std::round((value + 273.15) * 1e6) / 1e6) +
                            " K"};
            return {"a temperature no machine runs at", "a temperature in K, 150 to 400"};
        case NumberKind::fraction:
            if (value >= 0.0 && value <= 1.0) return {};
            if (value > 1.0 && value <= 100.0)
                return {"above 1", "a fraction from 0 to 1; if this is in percent: " + number(value / 100.0)};
            return {"not a fraction", "a fraction from 0 to 1"};
        case NumberKind::mass_flow:
            if (value >= 0.0) return {};
            return {"below zero", "a mass flow in kg/s, 0 or more"};
        case NumberKind::sequence:
            if (value >= 1.0 && value <= 1e6 && value == std::floor(value)) return {};
            return {"not a sequence number", "a whole number from 1, the lowest capacity, upwards"};
        case NumberKind::pressure:
            return judge_pressure(value);
        case NumberKind::power:
            if (value >= 0.0) return {};
            return {"below zero", "W, 0 or more"};
        case NumberKind::factor:
            if (value >= 0.0) return {};
            return {"below zero", "a factor, 0 or more"};
    }
    return {};
}

std::string_view unit_of(NumberKind measure) {
    static constexpr std::array words{"K", "a fraction", "kg/s", "whole numbers from 1", "Pa", "W", "a factor"};
    return words[static_cast<std::size_t>(measure)];
}

std::string joined(std::string_view path, std::string_view key) {
    return path.empty() ? std::string(key) : std::string(path) + "." + std::string(key);
}

/// What a document names as capabilities: a list, or one word. Of anything else there are none.
std::vector<std::string> capabilities_of(const Json& value) {
    std::vector<std::string> out;
    if (value.is_string()) out.push_back(value.get<std::string>());
    if (value.is_array())
        for (const Json& word : value) out.push_back(text_of(word));
    return out;
}

class Reader {
   public:
    Reader(JsonDocument& document, const Limits& limits) : document_(document), limits_(limits) {}

    Representation take() {
        if (!document_.root.is_object())
            document_.refuse({}, "not an object", shown(document_.root), "metadata, description and performance");
        out_.name = document_.name;
        unknown_keys({}, document_.root, {"metadata", "description", keys::performance});
        if (Json* metadata = section(document_.root, {}, "metadata", true))
            texts(*metadata, "metadata", keys::metadata, out_.metadata);
        if (Json* description = section(document_.root, {}, "description", false)) {
            unknown_keys("description", *description, {keys::product_information});
            if (Json* product = section(*description, "description", keys::product_information, false))
                texts(*product, "description.product_information", keys::product, out_.product);
        }
        Json* performance = find(document_.root, keys::performance);
        if (performance == nullptr || !performance->is_object())
            document_.refuse({}, "no performance", {}, "a representation of Standard 205: metadata, performance");
        take_performance(*performance);
        out_.frame = document_.root.dump();
        return std::move(out_);
    }

   private:
    static Json* find(Json& object, std::string_view key) {
        const auto found = object.find(std::string(key));
        return found == object.end() ? nullptr : &*found;
    }
    void depart(const std::string& key, const std::string& problem, std::string asked) {
        if (out_.departures.size() == limits_.departures)
            document_.refuse(key, more_than(limits_, &Limits::departures), {}, within_limits);
        out_.departures.push_back({detail::visible(key), detail::visible(problem), std::move(asked)});
    }
    void unknown_keys(const std::string& path, const Json& object, std::initializer_list<std::string_view> known) {
        unknown_keys(path, object,
                     [&](std::string_view key) { return std::find(known.begin(), known.end(), key) != known.end(); });
    }
    template <class Known>
    void unknown_keys(const std::string& path, const Json& object, const Known& known) {
        for (const auto& [key, value] : object.items())
            if (!known(key)) depart(joined(path, key), "not a key of the standard; kept as it is", "no such key");
    }
    /// An object that is there, or nullptr.
    Json* section(Json& object, const std::string& path, std::string_view key, bool required) {
        Json* value = find(object, key);
        if (value != nullptr && value->is_object()) return value;
        if (value != nullptr || required)
            depart(joined(path, key), value == nullptr ? "missing" : "not an object", "an object");
        return nullptr;
    }

    template <class T, std::size_t N>
    void texts(const Json& object, const std::string& path, const std::array<keys::TextKey<T>, N>& known, T& out) {
        unknown_keys(path, object, [&](std::string_view key) {
            return std::any_of(known.begin(), known.end(), [&](const auto& k) { return k.name == key; });
        });
        for (const auto& key : known) {
            const std::string where = joined(path, key.name);
            const auto found = object.find(std::string(key.name));
            if (found == object.end()) {
                if (key.required) depart(where, "missing", key.value.empty() ? "text" : std::string(key.value));
                continue;
            }
            out.*key.member = text_of(*found);
            if (!found->is_string() && !(found->is_number() && key.name == "data_version"))
                depart(where, "not text: " + shown(*found), "text");
            else if (!key.value.empty() && out.*key.member != key.value)
                depart(where, "another one: " + shown(*found), std::string(key.value));
        }
    }

    void take_performance(Json& performance) {
        unknown_keys("performance", performance, [](std::string_view key) {
            using namespace keys;
            for (const auto known :
                 {capabilities, speed_control, cooling_degradation, heating_degradation, older_degradation, scaling})
                if (key == known) return true;
            return std::any_of(maps.begin(), maps.end(), [&](const MapKey& map) { return map.name == key; });
        });
        take_capabilities(find(performance, keys::capabilities));
        if (const Json* type = find(performance, keys::speed_control)) {
            out_.speed_control = text_of(*type);
            if (out_.speed_control != "DISCRETE" && out_.speed_control != "CONTINUOUS")
                depart(joined("performance", keys::speed_control), "not one of the words: " + shown(*type),
                       "DISCRETE or CONTINUOUS");
        } else {
            depart(joined("performance", keys::speed_control), "missing", "DISCRETE or CONTINUOUS");
        }
        out_.cooling_cycling_degradation_coefficient = degradation(performance, keys::cooling_degradation);
        out_.heating_cycling_degradation_coefficient = degradation(performance, keys::heating_degradation);
        if (const auto older = degradation(performance, keys::older_degradation)) {
            depart(joined("performance", keys::older_degradation), "an older name of the key",
                   std::string(keys::cooling_degradation));
            if (!out_.cooling_cycling_degradation_coefficient) out_.cooling_cycling_degradation_coefficient = older;
        }
        asked_for("COOLING", keys::cooling_degradation, out_.cooling_cycling_degradation_coefficient.has_value());
        asked_for("HEATING", keys::heating_degradation, out_.heating_cycling_degradation_coefficient.has_value());
        if (const Json* scaling = find(performance, keys::scaling)) out_.scaling = scaling->dump();
        for (const MapKey& map : keys::maps) {
            Json* value = find(performance, map.name);
            if (value != nullptr)
                out_.*map.member = take_map(*value, joined("performance", map.name), map);
            else if (map.required)
                depart(joined("performance", map.name), "missing", "a performance map");
            asked_for(map.capability, map.name, value != nullptr);
            if (value != nullptr && !map.capability.empty() && !is_capable(map.capability))
                depart(joined("performance", keys::capabilities), "does not name a map that is there",
                       std::string(map.capability));
        }
    }
    void take_capabilities(const Json* value) {
        const std::string path = joined("performance", keys::capabilities), asked = "a list of COOLING, HEATING";
        if (value == nullptr) return depart(path, "missing", asked);
        if (value->is_string()) depart(path, "one word, not a list: " + shown(*value), asked);
        out_.capabilities = capabilities_of(*value);
        if (out_.capabilities.empty()) depart(path, "no capability", asked);
        for (const std::string& word : out_.capabilities)
            if (word != "COOLING" && word != "HEATING")
                depart(path, "not one of the words: " + shown(Json(word)), asked);
    }
    [[nodiscard]] bool is_capable(std::string_view capability) const {
        return std::find(out_.capabilities.begin(), out_.capabilities.end(), capability) != out_.capabilities.end();
    }
    void asked_for(std::string_view capability, std::string_view key, bool there) {
        if (!there && !capability.empty() && is_capable(capability))
            depart(joined("performance", key), "missing",
                   "this key where the capabilities name " + std::string(capability));
    }
    std::optional<double> degradation(Json& performance, std::string_view key) {
        const Json* value = find(performance, key);
        if (value == nullptr) return std::nullopt;
        const auto out = value->is_number() ? value->get<double>() : -1.0;
        if (!(out >= 0.0 && out < 1.0))
            document_.refuse(joined("performance", key), "not a cycling degradation coefficient", shown(*value),
                             "a number from 0 to below 1, such as 0.25");
        return out;
    }

    Map take_map(Json& value, const std::string& path, const MapKey& key) {
        const auto need = [&](std::string_view name) -> Json& {
            Json* found = value.is_object() ? find(value, name) : nullptr;
            if (found == nullptr || !found->is_object())
                document_.refuse(path, "no " + std::string(name), {}, "grid_variables and lookup_variables");
            return *found;
        };
        Json& grid = need(keys::grid_variables);
        Json& lookup = need(keys::lookup_variables);
        unknown_keys(path, value, {keys::grid_variables, keys::lookup_variables});
        Map map;
        take_grid(grid, joined(path, keys::grid_variables), key, map);
        take_lookup(lookup, joined(path, keys::lookup_variables), key, map);
        return map;
    }

    void take_grid(Json& grid, const std::string& path, const MapKey& key, Map& map) {
        std::vector<std::string_view> in_file;
        for (const auto& [name, values] : grid.items()) {
            const bool known = std::any_of(key.grid.begin(), key.grid.end(),
                                           [&, n = std::string_view(name)](const NumberKey& k) { return k.name == n; });
            if (known) {
                in_file.push_back(name);
                continue;
            }
            depart(joined(path, name), "not a key of the standard; kept as it is", "no such key");
            if (values.is_array() && values.size() > 1)
                document_.refuse(
                    joined(path, name), "an unknown grid variable of several values", {},
                    "the grid variables of the standard: nothing says where in the look-up arrays this one runs");
        }
        std::vector<std::string_view> in_order;
        std::size_t points = 1;
        for (const NumberKey& number : key.grid) {
            Json* values = find(grid, number.name);
            if (values == nullptr) {
                depart(joined(path, number.name), "missing", "values in " + std::string(unit_of(number.measure)));
                continue;
            }
            in_order.push_back(number.name);
            map.grid.push_back(take_numbers(*values, joined(path, number.name), number));
            const auto& x = map.grid.back().values;
            if (x.empty()) document_.refuse(joined(path, number.name), "no values", {}, "one value or more");
            for (std::size_t i = 1; i < x.size(); ++i)
                if (!(x[i] > x[i - 1]))
                    document_.refuse(at(joined(path, number.name), i), "not above the value before",
                                     files::number(x[i]), "rising values, each once");
            if (x.size() > limits_.points / points)
                document_.refuse(path, more_than(limits_, &Limits::points), {}, within_limits);
            points *= x.size();
        }
        if (in_file != in_order)
            depart(path,
                   "keys in another order than the standard's; the look-up arrays are read in the standard's order",
                   "the order of the standard, in which the arrays run");
    }

    void take_lookup(Json& lookup, const std::string& path, const MapKey& key, Map& map) {
        unknown_keys(path, lookup, [&](std::string_view name) {
            return (key.has_state && name == keys::operation_state) ||
                   std::any_of(key.lookup.begin(), key.lookup.end(),
                               [&](const NumberKey& k) { return k.name == name; });
        });
        const std::size_t points = map.points();
        const std::string wanted = std::to_string(points) + " values, the product of the grid variables";
        for (const NumberKey& number : key.lookup) {
            const std::string where = joined(path, number.name);
            Json* values = find(lookup, number.name);
            if (values == nullptr) {
                depart(where, "missing", "values in " + std::string(unit_of(number.measure)));
                continue;
            }
            if (values->is_array() && values->size() != points)
                document_.refuse(where, std::to_string(values->size()) + " values, so that some would shift", {},
                                 wanted);
            map.lookup.push_back(take_numbers(*values, where, number));
        }
        if (key.has_state) take_states(find(lookup, keys::operation_state), path, wanted, map);
        compare_capacities(path, map);
    }

    void take_states(Json* value, const std::string& path, const std::string& wanted, Map& map) {
        const std::string where = joined(path, keys::operation_state);
        if (value == nullptr) return depart(where, "missing", "a word for each point, such as NORMAL");
        if (!value->is_array()) document_.refuse(where, "not a list", shown(*value), "a word for each point");
        map.operation_state.reserve(value->size());
        for (const Json& word : *value) {
            if (!word.is_string())
                document_.refuse(at(where, map.operation_state.size()), "not a word", shown(word), "NORMAL");
            map.operation_state.push_back(word.get<std::string>());
        }
        if (map.operation_state.size() != map.points()) {
            const std::string problem = std::to_string(map.operation_state.size()) + " values";
            const auto& states = map.operation_state;
            if (std::any_of(states.begin(), states.end(), [&](const auto& state) { return state != states.front(); }))
                document_.refuse(where, problem + ", so that some would shift", {}, wanted);
            depart(where, problem + "; all are the same, so the numbers can be used", wanted);
        }
        Json::array_t().swap(value->get_ref<Json::array_t&>());
    }

    Variable take_numbers(Json& value, const std::string& path, const NumberKey& key) {
        if (!value.is_array())
            document_.refuse(path, "not a list", shown(value),
                             "a list of numbers in " + std::string(unit_of(key.measure)));
        Variable out{std::string(key.name), {}};
        out.values.reserve(value.size());
        for (const Json& item : value) {
            if (!item.is_number())
                document_.refuse(at(path, out.values.size()), "not a number", shown(item),
                                 "a number in " + std::string(unit_of(key.measure)));
            const auto x = item.get<double>();
            if (const Wrong wrong = judge(key.measure, x); !wrong.problem.empty())
                document_.refuse(at(path, out.values.size()), wrong.problem, shown(item), wrong.accepted);
            out.values.push_back(x);
        }
        Json::array_t().swap(value.get_ref<Json::array_t&>());
        return out;
    }
    static std::string at(const std::string& path, std::size_t index) {
        return path + "[" + std::to_string(index) + "]";
    }

    /// Sensible above total passes the standard's ranges, but no coil does it. At dry points the map means a dry coil.
    void compare_capacities(const std::string& path, const Map& map) {
        const auto* total = map.find(keys::total);
        const auto* sensible = map.find(keys::sensible);
        if (total == nullptr || sensible == nullptr) return;
        std::size_t count = 0, dry = 0, first = 0;
        for (std::size_t i = total->size(); i-- > 0;)
            if ((*sensible)[i] > (*total)[i] * (1.0 + 1e-9)) {
                ++count;
                if (is_dry_above_total(map, i)) ++dry;
                first = i;
            }
        if (count > 0)
            depart(at(joined(path, keys::sensible), first),
                   "above total capacity, at " + std::to_string(count) + " of " + std::to_string(total->size()) +
                       " points" +
                       (dry > 0 ? ", " + std::to_string(dry) + " of them taken as a dry coil's, all sensible" : ""),
                   "at most total capacity");
    }

    JsonDocument& document_;
    const Limits& limits_;
    Representation out_;
};

/// Puts the members of a representation into the frame it was read with, or into an empty one.
class Composer {
   public:
    explicit Composer(const Representation& in) : in_(in), document_(parse_json(in.frame, in.name + ": frame")) {}

    Json take() {
        Json& root = document_.root;
        if (!root.is_object()) document_.refuse({}, "the frame is not an object", shown(root), "{}");
        if (holds(keys::metadata, in_.metadata)) set(child(root, "metadata"), keys::metadata, in_.metadata);
        if (holds(keys::product, in_.product))
            set(child(child(root, "description"), keys::product_information), keys::product, in_.product);
        Json& performance = child(root, keys::performance);
        set_capabilities(performance);
        set_text(performance, keys::speed_control, in_.speed_control);
        const bool older = performance.contains(std::string(keys::older_degradation)) &&
                           !performance.contains(std::string(keys::cooling_degradation));
        set_number(performance, older ? keys::older_degradation : keys::cooling_degradation,
                   in_.cooling_cycling_degradation_coefficient);
        set_number(performance, keys::heating_degradation, in_.heating_cycling_degradation_coefficient);
        if (in_.scaling.empty())
            performance.erase(std::string(keys::scaling));
        else
            performance[std::string(keys::scaling)] = parse_json(in_.scaling, in_.name + ": scaling").root;
        for (const MapKey& key : keys::maps) {
            if (const auto& map = in_.*key.member)
                set_map(child(performance, key.name), key, *map);
            else
                performance.erase(std::string(key.name));
        }
        return std::move(root);
    }

   private:
    static Json& child(Json& object, std::string_view key) {
        Json& value = object[std::string(key)];
        if (!value.is_object()) value = Json::object();
        return value;
    }
    template <class T, std::size_t N>
    static bool holds(const std::array<keys::TextKey<T>, N>& known, const T& from) {
        return std::any_of(known.begin(), known.end(), [&](const auto& key) { return !(from.*key.member).empty(); });
    }
    template <class T, std::size_t N>
    static void set(Json& object, const std::array<keys::TextKey<T>, N>& known, const T& from) {
        for (const auto& key : known) set_text(object, key.name, from.*key.member);
    }
    /// What already says the same stays as it was typed.
    static void set_text(Json& object, std::string_view key, const std::string& text) {
        const auto found = object.find(std::string(key));
        if ((found == object.end() ? std::string() : text_of(*found)) == text) return;
        if (text.empty())
            object.erase(std::string(key));
        else
            object[std::string(key)] = text;
    }
    static void set_number(Json& object, std::string_view key, const std::optional<double>& number) {
        if (!number) {
            object.erase(std::string(key));
            return;
        }
        const auto found = object.find(std::string(key));
        if (found == object.end() || !found->is_number() || found->get<double>() != *number)
            object[std::string(key)] = *number;
    }
    void set_capabilities(Json& performance) const {
        const auto found = performance.find(std::string(keys::capabilities));
        const auto said = found == performance.end() ? std::vector<std::string>() : capabilities_of(*found);
        if (said == in_.capabilities) return;  // stays as it was typed
        performance[std::string(keys::capabilities)] = in_.capabilities;
    }

    static void set_map(Json& object, const MapKey& key, const Map& map) {
        set_variables(child(object, keys::grid_variables), key.grid, map.grid);
        Json& lookup = child(object, keys::lookup_variables);
        set_variables(lookup, key.lookup, map.lookup);
        if (!map.operation_state.empty()) lookup[std::string(keys::operation_state)] = map.operation_state;
    }
    /// Whole numbers as such; what is none stays as it is, for the check that follows to refuse.
    static Json numbers_of(const std::vector<double>& values) {
        Json out = Json::array();
        for (const double v : values) {
            if (v >= 1.0 && v <= 1e6 && v == std::floor(v))
                out.push_back(static_cast<std::int64_t>(v));
            else
                out.push_back(v);
        }
        return out;
    }
    static void set_variables(Json& object, std::span<const NumberKey> known,
                              const std::vector<standard205::Variable>& variables) {
        for (const NumberKey& key : known) {
            const auto variable =
                std::find_if(variables.begin(), variables.end(), [&](const auto& v) { return v.name == key.name; });
            if (variable == variables.end())
                object.erase(std::string(key.name));
            else if (key.measure == NumberKind::sequence)
                object[std::string(key.name)] = numbers_of(variable->values);
            else
                object[std::string(key.name)] = variable->values;
        }
    }

    const Representation& in_;
    JsonDocument document_;
};

}  // namespace

JsonDocument parse_document(std::string_view bytes, const std::string& name, const Limits& limits) {
    if (bytes.size() > limits.representation_bytes)
        throw InputError({name}, more_than(limits, &Limits::representation_bytes), {}, within_limits);
    return parse_json(bytes, name, limits);
}

std::string schema_of(const Json& root) {
    const auto metadata = root.is_object() ? root.find("metadata") : root.end();
    if (!root.is_object() || metadata == root.end() || !metadata->is_object()) return {};
    const auto schema = metadata->find("schema");
    return schema != metadata->end() && schema->is_string() ? schema->get<std::string>() : std::string();
}

Representation take_representation(JsonDocument& document, const Limits& limits) {
    return Reader(document, limits).take();
}

}  // namespace offnominal::files

namespace offnominal::standard205 {

bool is_representation(std::string_view bytes) noexcept {
    if (files::is_cbor(bytes)) return true;
    if (bytes.starts_with("\xef\xbb\xbf")) bytes.remove_prefix(3);
    const std::size_t first = bytes.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos || bytes[first] != '{') return false;
    const auto has = [&](std::string_view key) { return bytes.find(key) != std::string_view::npos; };
    return !has("\"offnominal\"") && (has("\"metadata\"") || has("\"performance\""));
}

Representation parse_representation(std::string_view bytes, const std::string& name, const Limits& limits) {
    if (!files::is_cbor(bytes) && bytes.substr(0, 4096).find("offnominal: ") != std::string_view::npos)
        throw InputError({name}, "a system or visit file of our own where a Standard 205 representation is due", {},
                         "JSON or CBOR as the standard has it; our own files are read by load");
    auto document = files::parse_document(bytes, name, limits);
    if (files::schema_of(document.root) == files::keys::unitary_schema)
        document.refuse("metadata.schema", "a unitary system, whose parts are representations of their own",
                        std::string(files::keys::unitary_schema), "RS0004; load() reads the whole of a unitary system");
    return files::take_representation(document, limits);
}

Representation read_representation(const std::string& path, const Limits& limits) {
    return parse_representation(files::file_bytes(path, limits.representation_bytes), path, limits);
}

std::string write_representation(const Representation& representation, Format format) {
    const files::JsonDocument out{representation.name, files::Composer(representation).take()};
    files::JsonDocument again = out;
    (void)files::take_representation(again);  // nothing is written that would not be read
    return format == Format::json ? files::json_text(out.root) : files::cbor_bytes(out.root);
}

}  // namespace offnominal::standard205
