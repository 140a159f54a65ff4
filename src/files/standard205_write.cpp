#include <algorithm>
#include <cmath>

#include "standard205.hpp"

namespace offnominal::files {
namespace {

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
        if (found != performance.end() && found->is_string() && in_.capabilities.size() == 1 &&
            found->get<std::string>() == in_.capabilities.front())
            return;
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
            else if (key.measure == Measure::sequence)
                object[std::string(key.name)] = numbers_of(variable->values);
            else
                object[std::string(key.name)] = variable->values;
        }
    }

    const Representation& in_;
    JsonDocument document_;
};

}  // namespace
}  // namespace offnominal::files

namespace offnominal::standard205 {

std::string write_representation(const Representation& representation, Format format) {
    const files::Json tree = files::Composer(representation).take();
    files::JsonDocument document{representation.name, tree, {}};
    (void)files::take_representation(document);  // nothing is written that would not be read
    return format == Format::json ? files::json_text(tree) : files::cbor_bytes(tree);
}

}  // namespace offnominal::standard205
