#include "collate/visit.hpp"

#include <cmath>
#include <tuple>

#include "collate/pages.hpp"
#include "offnominal/files.hpp"
#include "ranges.hpp"
#include "text/number.hpp"
#include "text/yaml.hpp"

namespace offnominal {
namespace files {
namespace {

[[noreturn]] void refuse(const std::string& problem, const std::string& text, const std::string& accepted) {
    throw InputError({}, "a visit that no file can hold: " + problem, text, accepted);
}

/// Refuses what a visit made in code may hold, and a file has no words for.
void check(const Visit& visit) {
    static_assert(input_count == 10);  // each is told by `said_of` and looked at here
    const Readings& r = visit.readings;
    if (name(visit.outside).empty()) refuse("outside: not one of the accepted words", {}, accepted_words<Outside>());
    if (visit.line_set && name(visit.line_set->beyond).empty())
        refuse("line_set: beyond: not one of the accepted words", {}, accepted_words<BeyondTable>());
    if (r.airflow.kind == AirflowReading::Kind::dry_mass)
        refuse("airflow as mass flow", {}, "an actual or a standard airflow");
    const std::vector<UseOf> uses = uses_of(visit);
    for (const UseOf& use : uses) {
        if (use.quantity == "enthalpy")
            refuse("humidity by enthalpy", {}, "relative humidity, wet bulb, dew point or humidity ratio");
        if (std::isnan(use.reading)) refuse("a reading that was not given", use.quantity, "a number");
        if (use.instrument.empty())
            refuse("a reading without an instrument", use.quantity, "a name in Uncertain::instrument");
        for (const UseOf& other : uses)
            if (other.instrument == use.instrument &&
                visit.of(other.input).correlation != visit.of(use.input).correlation)
                refuse("two correlations of instrument '" + use.instrument + "'", {}, "one for each instrument");
    }
    const auto of = [&](Input input) { return visit.of(input).instrument; };
    for (const auto& [dry_bulb, humidity, where] :
         {std::tuple{Input::return_dry_bulb, Input::return_humidity, "return"},
          std::tuple{Input::supply_dry_bulb, Input::supply_humidity, "supply"}})
        if (of(dry_bulb) != of(humidity) && ranges::find(uses, humidity, &UseOf::input) != uses.end())
            refuse("two instruments in the " + std::string(where) + " air", of(humidity),
                   "one name for both of its readings");
}

/// The keys of a file as they nest.
struct Node {
    std::string key, text;
    std::vector<Node> inner;

    Node& at(const std::string& name) {
        const auto found = ranges::find(inner, name, &Node::key);
        return found != inner.end() ? *found : inner.emplace_back(Node{name, {}, {}});
    }
    [[nodiscard]] std::string flow() const {
        if (inner.empty()) return text.empty() ? "{}" : yaml_text(text, true);
        if (inner.front().key == "0") {  // a list
            std::string out;
            for (const Node& node : inner) out += (out.empty() ? "[" : ", ") + node.flow();
            return out + "]";
        }
        YamlFile::Pairs pairs;
        for (const Node& node : inner) pairs.emplace_back(yaml_text(node.key, true), node.flow());
        return flow_text(pairs);
    }
};

std::string file_of(const Visit& visit) {
    Node root;
    for (const Said& said : said_of(visit, false)) {
        Node* node = &root;
        for (const std::string& key : said.keys) node = &node->at(key);
        node->text = said.fact.text;
        if (said.keys.front() == "instruments" && said.keys.size() == 4 && said.keys[3].empty())
            refuse("instrument '" + said.keys[1] + "' is differently good at " + said.keys[2], {},
                   "one uncertainty for each quantity of an instrument, or two instruments");
    }
    YamlFile file;
    file.pair("offnominal", "visit/1");
    for (const Node& node : root.inner) {
        if (node.key == "readings" || node.key == "instruments") {
            file.open(node.key);
            for (const Node& line : node.inner) file.pair(yaml_text(line.key), line.flow());
            file.close();
        } else {
            file.pair(node.key, node.inner.empty() ? yaml_text(node.text) : node.flow());
        }
    }
    return file.text();
}

}  // namespace
}  // namespace files

std::string write_visit(const Visit& visit) {
    files::check(visit);
    const std::string text = files::file_of(visit);
    std::vector<Difference> lost;
    try {
        lost = differences(visit, parse_visit(text, {}));
    } catch (const InputError& error) {
        files::refuse(error.problem(), error.text(), error.accepted());
    }
    if (!lost.empty())
        files::refuse(files::shown(lost.front()) + ": it would not read back as it is", {},
                      "what a visit file can say");
    return text;
}

}  // namespace offnominal
