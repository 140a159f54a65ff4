#include <algorithm>

#include "offnominal/files.hpp"
#include "page.hpp"

namespace offnominal {
namespace files {
namespace {

/// `fan: 365 W per 1000 scfm`, `fan: 420 W`, or a list of both.
TableFan read_fan(const Fields& fields, const Item& item) {
    TableFan fan;
    const auto add = [&](const Item& typed) {
        Measured value;
        // A power per airflow has a slash or a 'per' in its unit; everything else is read as a power.
        if (const Complaint c = read_quantity(fields.text(typed, "fan"), Dimension::fan_ratio, value); !c) {
            fan.per_airflow.si += value.si;
        } else {
            const Complaint power = read_quantity(typed.text, Dimension::power, value);
            if (power) fields.refuse(typed, fields.path("fan") + ": " + power.problem, "420 W, or 365 W per 1000 scfm");
            fan.power.si += value.si;
        }
    };
    if (item.kind == Item::Kind::list)
        for (const Item& typed : item.values) add(typed);
    else
        add(item);
    return fan;
}

Basis read_basis(const Document& document, const Item& item, const std::string& where) {
    const Fields fields(document, item, where,
                        {"capacity", "fan", "airflow", "standard_pound", "power", "sensible_at", "sensible_slope",
                         "elevation", "tolerance"});
    Basis basis;
    basis.capacity = fields.choice(
        "capacity", CapacityBasis::unknown,
        {{"gross", CapacityBasis::gross}, {"net", CapacityBasis::net}, {"unknown", CapacityBasis::unknown}});
    basis.airflow = fields.choice("airflow", AirflowBasis::unknown,
                                  {{"standard", AirflowBasis::standard}, {"unknown", AirflowBasis::unknown}});
    basis.standard_pound = fields.choice("standard_pound", Pound::unknown,
                                         {{"dry", Pound::dry}, {"moist", Pound::moist}, {"unknown", Pound::unknown}});
    basis.power = fields.choice("power", PowerBasis::unknown,
                                {{"compressor", PowerBasis::compressor},
                                 {"outdoor unit", PowerBasis::outdoor_unit},
                                 {"system", PowerBasis::system},
                                 {"unknown", PowerBasis::unknown}});
    if (const Item* fan = fields.find("fan")) {
        if (basis.capacity != CapacityBasis::net)
            fields.refuse(*fan, fields.path("fan") + ": a fan, but the capacity is not net",
                          "capacity: net, or no fan");
        basis.fan = read_fan(fields, *fan);
    } else if (basis.capacity == CapacityBasis::net) {
        fields.missing("fan", "the fan in the net capacity: 365 W per 1000 scfm, or 420 W");
    }
    basis.sensible_at = fields.quantity<Dimension::temperature>("sensible_at");
    basis.sensible_slope = fields.quantity<Dimension::sensible_slope>("sensible_slope");
    basis.elevation = fields.quantity<Dimension::length>("elevation");
    basis.tolerance = fields.ratio("tolerance");
    if (basis.tolerance && !(*basis.tolerance >= 0.0 && *basis.tolerance < 0.5))
        fields.refuse(*fields.find("tolerance"), fields.path("tolerance") + ": not a tolerance", "5 %, or 0.05");
    return basis;
}

/// `cooling: {basis: ..., stages: {high: ..., low: ...}}`
std::vector<Stage> read_cooling(const Document& document, const Item& item, const std::string& folder,
                                const std::string& where, Basis& basis) {
    const Fields fields(document, item, where, {"basis", "stages"});
    if (const Item* typed = fields.find("basis")) basis = read_basis(document, *typed, fields.path("basis"));
    const std::string path = fields.path("stages");
    const Item& stages = fields.need("stages", "a name and a table for each stage");
    if (stages.kind != Item::Kind::map) fields.refuse(stages, path + ": not a map of stages", "high: {file: name.csv}");
    std::vector<Stage> out;
    for (std::size_t i = 0; i < stages.keys.size(); ++i) {
        const std::string& name = stages.keys[i].text;
        out.push_back({name, read_stage(document, stages.values[i], folder, path + ": " + name, basis)});
    }
    return out;
}

Match read_match(const Document& document, const std::string& name, const Item& item, const std::string& folder,
                 Basis basis) {
    const Fields fields(document, item, "matches: " + name,
                        {"reference", "total", "power", "bypass", "airflow", "fan", "cooling"});
    Match match;
    match.name = name;
    match.reference = fields.flag("reference", false);
    match.fan = fields.choice("fan", FanPosition::unknown,
                              {{"draw-through", FanPosition::draw_through},
                               {"blow-through", FanPosition::blow_through},
                               {"unknown", FanPosition::unknown}});
    match.airflow = fields.range<Dimension::airflow>("airflow");
    match.bypass = fields.ratio("bypass");
    const auto total = fields.ratio("total"), power = fields.ratio("power");
    const Item* pages = fields.find("cooling");
    if (pages != nullptr) match.stages = read_cooling(document, *pages, folder, fields.path("cooling"), basis);

    const int kinds = (match.reference ? 1 : 0) + (total || power ? 1 : 0) + (pages != nullptr ? 1 : 0);
    const std::string accepted = "one of: reference: true; total and power factors; cooling with pages of its own";
    if (kinds != 1)
        fields.refuse(
            item,
            "matches: " + name + (kinds == 0 ? ": nothing says how it differs" : ": two ways to say how it differs"),
            accepted);
    if (total || power) {
        if (!total) fields.missing("total", "the factor on total capacity, such as 0.965");
        if (!power) fields.missing("power", "the factor on power; 1 if the page prints none");
        match.factors = {*total, *power};
    }
    return match;
}

void read_line_set(const Document& document, const Item& item, const std::string& folder, SystemParts& parts) {
    const Fields fields(document, item, "line_set", {"reference", "lift", "cooling"});
    LineTable::Limits limits;
    if (const auto lift = fields.range<Dimension::length>("lift")) limits = {lift->first, lift->second};
    if (const Item* typed = fields.find("reference")) {
        const Fields line(document, *typed, "line_set: reference", {"length", "suction", "liquid"});
        const auto length =
            line.quantity<Dimension::length>(line.need("length", "the rated length, such as 25 ft"), "length");
        const auto suction =
            line.quantity<Dimension::length>(line.need("suction", "the rated size, such as 7/8 in"), "suction");
        (void)line.quantity<Dimension::length>("liquid");  // checked; no answer depends on it
        parts.reference_line = LineSet::of(length, suction);
    }
    if (const Item* table = fields.find("cooling"))
        parts.line_set = read_line_table(document, *table, folder, "line_set: cooling", limits);
    else if (fields.find("lift") != nullptr)
        fields.missing("cooling", "the table that the lift limits belong to");
}

void read_altitude(const Document& document, const Item& item, const std::string& folder, SystemParts& parts) {
    const Fields fields(document, item, "altitude", {"equal", "cooling"});
    const Item& equal = fields.need("equal", "mass: the factors are printed for equal mass flow (standard airflow)");
    if (fields.text(equal, "equal") == "volume")
        fields.refuse(
            equal,
            "altitude: factors for equal volume flow: a page is entered with standard airflow, which is a mass "
            "flow, so thin air would count twice",
            "mass, with factors printed for equal mass flow");
    fields.need_word("equal", "mass");
    parts.altitude = read_altitude_table(document, fields.need("cooling", "a table of elevation, total, power"), folder,
                                         "altitude: cooling");
}

void read_blower(const Document& document, const Item& item, const std::string& folder, SystemParts& parts) {
    const Fields fields(document, item, "blower", {"motor", "includes", "air", "table", "file"});
    BlowerTable::Basis basis;
    basis.motor = fields.choice("motor", BlowerMotor::unknown,
                                {{"fixed speed", BlowerMotor::fixed_speed},
                                 {"constant torque", BlowerMotor::constant_torque},
                                 {"constant airflow", BlowerMotor::constant_airflow},
                                 {"unknown", BlowerMotor::unknown}});
    basis.includes = fields.text("includes");
    basis.standard_air = fields.choice("air", false, {{"standard", true}, {"unknown", false}});
    parts.blower = read_blower_table(fields, folder, basis);
}

System read_system(const Document& document, const std::string& folder) {
    const Fields fields(document, document.root, {},
                        {"offnominal", "name", "nominal", "refrigerant", "source", "cooling", "matches", "line_set",
                         "altitude", "blower"});
    fields.need_word("offnominal", "system/1");
    SystemParts parts;
    parts.name = fields.text(fields.need("name", "a name for the system"), "name");
    parts.nominal = fields.text("nominal");
    parts.refrigerant = fields.text("refrigerant");
    if (const Item* item = fields.find("source")) {
        const Fields source(document, *item, "source", {"document", "revision", "page"});
        parts.source = {source.text("document"), source.text("revision"), source.text("page")};
    }
    Basis basis;
    if (const Item* item = fields.find("cooling"))
        parts.cooling = read_cooling(document, *item, folder, "cooling", basis);
    if (const Item* item = fields.find("matches")) {
        if (item->kind != Item::Kind::map)
            fields.refuse(*item, "matches: not a map of indoor units", "indoor A: {reference: true}");
        for (std::size_t i = 0; i < item->keys.size(); ++i)
            parts.matches.push_back(read_match(document, item->keys[i].text, item->values[i], folder, basis));
    }
    if (const Item* item = fields.find("line_set")) read_line_set(document, *item, folder, parts);
    if (const Item* item = fields.find("altitude")) read_altitude(document, *item, folder, parts);
    if (const Item* item = fields.find("blower")) read_blower(document, *item, folder, parts);
    return placed(document, document.root, [&] { return System(std::move(parts)); });
}

}  // namespace
}  // namespace files

System load_system(const std::string& path) {
    const std::size_t slash = path.find_last_of('/');
    const std::string folder =
        slash == std::string::npos ? std::string() : path.substr(0, std::max<std::size_t>(slash, 1));
    return files::read_system(files::parse_tree(files::Text::from_file(path)), folder);
}

System parse_system(std::string_view text, const std::string& name, const std::string& folder) {
    return files::read_system(files::parse_tree(files::Text::from_string(text, name)), folder);
}

}  // namespace offnominal
