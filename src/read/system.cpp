#include <array>
#include <vector>

#include "offnominal/files.hpp"
#include "offnominal/standard205.hpp"
#include "ranges.hpp"
#include "read/basis.hpp"
#include "read/beside.hpp"
#include "read/heating.hpp"
#include "read/line_set.hpp"
#include "read/page.hpp"
#include "read/table.hpp"

namespace offnominal {
namespace files {
namespace {

/// What `cooling` says of the system as a whole.
struct Speeds {
    std::optional<Modulation> modulation;
    std::optional<Unit> unit;
};

/// A speed must be in the unit of all others, and another than theirs.
void check_speed(const Fields& stage, const Measured& speed, const std::vector<Stage>& others, Speeds& speeds) {
    const Item& item = *stage.find("speed");
    if (speeds.unit && speeds.unit->name != speed.unit.name)
        stage.refuse(item, stage.path("speed") + ": another unit than the other speeds",
                     std::string(speeds.unit->name));
    speeds.unit = speed.unit;
    for (const Stage& other : others)
        if (other.speed == speed.si)
            stage.refuse(item, stage.path("speed") + ": the speed of stage '" + other.name + "'",
                         "a speed of its own for each stage");
}

/// `cooling: {basis: ..., modulation: ..., stages: {high: ..., low: ...}}`, of the system or of a match.
std::vector<Stage> read_cooling(const Document& document, const Item& item, const std::string& where, Basis& basis,
                                Speeds& speeds) {
    const Fields fields(document, item, where, {"basis", "modulation", "stages"});
    if (const Item* typed = fields.find("basis")) basis = read_basis(document, *typed, fields.path("basis"));
    if (const Item* typed = fields.find("modulation")) {
        const auto said = fields.choice<Modulation>(*typed, "modulation");
        if (speeds.modulation && *speeds.modulation != said)
            fields.refuse(*typed, fields.path("modulation") + ": not that of the system", "the same, or none here");
        speeds.modulation = said;
    }
    const std::string path = fields.path("stages");
    const Item& stages = fields.need("stages", "a name and a table for each stage");
    if (stages.kind != Item::Kind::map) fields.refuse(stages, path + ": not a map of stages", "high: {file: name.csv}");
    std::vector<Stage> out;
    for (std::size_t i = 0; i < stages.keys.size(); ++i) {
        const std::string& name = stages.keys[i].text;
        const std::string stage_path = path + ": " + shortened(name);
        const Fields stage = stage_fields(document, stages.values[i], stage_path);
        const auto speed = read_speed(stage);
        if (speed && !speeds.modulation)
            fields.missing("modulation",
                           "staged, variable (speeds that are not to be interpolated), or continuous if "
                           "the maker says that they may be");
        if (speed) check_speed(stage, *speed, out, speeds);
        if (!speed && speeds.modulation == Modulation::continuous)
            stage.missing("speed", "the speed of every stage of a continuous compressor, such as 25 Hz");
        out.push_back({name, read_stage(stage, stage_path, basis), speed ? std::optional(speed->si) : std::nullopt});
    }
    return out;
}

Match read_match(const Document& document, const std::string& name, const Item& item, Basis basis, Speeds& speeds) {
    const std::string path = "matches: " + shortened(name);
    const Fields fields(document, item, path, {"reference", "total", "power", "bypass", "airflow", "fan", "cooling"});
    Match match;
    match.name = name;
    match.reference = fields.flag("reference", false);
    match.fan = fields.choice("fan", FanPosition::unknown);
    match.airflow = fields.range<Dimension::airflow>("airflow");
    match.bypass = fields.ratio("bypass");
    const auto total = fields.ratio("total"), power = fields.ratio("power");
    const Item* pages = fields.find("cooling");
    if (pages != nullptr) match.stages = read_cooling(document, *pages, fields.path("cooling"), basis, speeds);

    const int kinds = (match.reference ? 1 : 0) + (total || power ? 1 : 0) + (pages != nullptr ? 1 : 0);
    const std::string accepted = "one of: reference: true; total and power factors; cooling with pages of its own";
    if (kinds != 1)
        fields.refuse(item, path + (kinds == 0 ? ": nothing says how it differs" : ": two ways to say how it differs"),
                      accepted);
    if (total || power) {
        if (!total) fields.missing("total", "the factor on total capacity, such as 0.965");
        if (!power) fields.missing("power", "the factor on power; 1 if the page prints none");
        match.factors = {*total, *power};
    }
    return match;
}

std::vector<AltitudeTable::Row> read_altitude_rows(const Document& document, const Item& item,
                                                   const std::string& where) {
    static constexpr Role roles[]{Role{"elevation", Dimension::length, Role::Kind::axis},
                                  Role{"total", Dimension::ratio}, Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, where, roles);
    const int elevation = table.column("elevation"), total = table.column("total"), power = table.column("power");
    std::vector<AltitudeTable::Row> rows;
    for (const Row& row : table.rows()) {
        if (mark_of(cell(row, total)) != Mark::printed)
            table.refuse(row, "a blank row in the altitude table", "rows with numbers; leave out what is not printed");
        rows.push_back({Length{value(row, elevation)}, value(row, total), value(row, power)});
    }
    ranges::stable_sort(rows, {}, [](const AltitudeTable::Row& row) { return row.elevation.si; });
    return rows;
}

void read_altitude(const Document& document, const Item& item, SystemParts& parts) {
    const Fields fields(document, item, "altitude", {"equal", "cooling"});
    const Item& equal = fields.need("equal", "mass: the factors are printed for equal mass flow (standard airflow)");
    const auto means = fields.choice<AltitudeFactor>(equal, "equal");
    const Item& table = fields.need("cooling", "a table of elevation, total, power");
    const auto rows = read_altitude_rows(document, table, "altitude: cooling");
    const Item& meant = means == AltitudeFactor::equal_mass ? table : equal;  // what a complaint is about
    parts.altitude = placed(document, meant, [&] { return AltitudeTable(rows, means); });
}

BlowerTable read_blower_table(const Fields& fields, BlowerTable::Basis basis) {
    static constexpr Role roles[]{Role{"tap", Dimension::ratio, Role::Kind::key},
                                  Role{"static", Dimension::pressure, Role::Kind::axis},
                                  Role{"airflow", Dimension::airflow}, Role{"power", Dimension::power}};
    const Table table = read_table(fields, "blower", roles);
    const int tap = table.column("tap"), pressure = table.column("static"), airflow = table.column("airflow"),
              power = table.column("power");
    if (table[airflow].unit.standard_air)
        throw InputError(table.place(), "blower: standard airflow, where a blower moves actual airflow", "scfm",
                         "cfm, L/s, m3/s, m3/h");
    std::vector<BlowerTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({std::string(cell(row, tap).text), Pressure{value(row, pressure)}, Airflow{value(row, airflow)},
                        Power{value(row, power)}, mark_of(cell(row, airflow))});
    return placed(fields.document(), fields.map(), [&] { return BlowerTable(std::move(rows), std::move(basis)); });
}

void read_blower(const Document& document, const Item& item, SystemParts& parts) {
    const Fields fields(document, item, "blower", {"motor", "includes", "air", "greatest_static", "table", "file"});
    BlowerTable::Basis basis;
    basis.motor = fields.choice("motor", BlowerMotor::unknown);
    basis.includes = fields.text("includes");
    basis.standard_air = fields.choice("air", "unknown", "standard");
    basis.greatest_static = fields.quantity<Dimension::pressure>("greatest_static");
    parts.blower = read_blower_table(fields, basis);
}

System read_system(const Document& document) {
    check_kind(document, FileKind::system);
    const Fields fields(document, document.root, {},
                        {"offnominal", "name", "nominal", "refrigerant", "source", "cooling", "heating", "matches",
                         "line_set", "altitude", "blower"});
    SystemParts parts;
    parts.name = fields.text(fields.need("name", "a name for the system"), "name");
    parts.nominal = fields.text("nominal");
    parts.refrigerant = fields.text("refrigerant");
    if (const Item* item = fields.find("source")) {
        const Fields source(document, *item, "source", {"document", "revision", "page", "transcriber", "checker"});
        parts.source = {source.text("document"), source.text("revision"), source.text("page"),
                        source.text("transcriber"), source.text("checker")};
    }
    Basis basis;
    Speeds speeds;
    if (const Item* item = fields.find("cooling"))
        parts.cooling = read_cooling(document, *item, "cooling", basis, speeds);
    if (const Item* item = fields.find("matches")) {
        if (item->kind != Item::Kind::map)
            fields.refuse(*item, "matches: not a map of indoor units", "indoor A: {reference: true}");
        for (std::size_t i = 0; i < item->keys.size(); ++i)
            parts.matches.push_back(read_match(document, item->keys[i].text, item->values[i], basis, speeds));
    }
    if (speeds.modulation) parts.modulation = *speeds.modulation;
    if (const Item* item = fields.find("heating")) read_heating(document, *item, parts, speeds.unit);
    if (speeds.unit) parts.speed_unit = *speeds.unit;
    if (const Item* item = fields.find("line_set")) read_line_set(document, *item, parts);
    if (const Item* item = fields.find("altitude")) read_altitude(document, *item, parts);
    if (const Item* item = fields.find("blower")) read_blower(document, *item, parts);
    parts.typed = texts_of(document.root);
    return placed(document, document.root, [&] { return System(std::move(parts)); });
}

// The cooling pages of a system file without building them: what an audit needs of a page that a table would refuse.

/// `cooling`, of the system or of a match; what does not matter to a page is left for `load_system` to read.
void add_cooling(const Document& document, const Item& item, const std::string& where, const std::string& match,
                 Basis& basis, std::vector<PageOfFile>& out) {
    const Fields fields(document, item, where, {"basis", "modulation", "stages"});
    if (const Item* typed = fields.find("basis")) basis = read_basis(document, *typed, fields.path("basis"));
    const Item& stages = fields.need("stages", "a name and a table for each stage");
    if (stages.kind != Item::Kind::map)
        fields.refuse(stages, fields.path("stages") + ": not a map of stages", "high: {file: name.csv}");
    for (std::size_t i = 0; i < stages.keys.size(); ++i) {
        const std::string path = fields.path("stages") + ": " + shortened(stages.keys[i].text);
        const Fields stage = stage_fields(document, stages.values[i], path);
        const auto speed = read_speed(stage);
        TypedPage page = read_page(stage, path, basis);
        out.push_back({stages.keys[i].text, match, std::move(page.basis), std::move(page.page)});
        if (speed) out.back().speed = speed->si, out.back().speed_unit = speed->unit;
    }
}

const Item* find(const Item& map, const std::string& key) {
    for (std::size_t i = 0; map.kind == Item::Kind::map && i < map.keys.size(); ++i)
        if (map.keys[i].text == key) return &map.values[i];
    return nullptr;
}

}  // namespace
}  // namespace files

std::string file_beside(const std::string& path, const std::string& name) {
    const std::string folder = files::folder_of(path), beside = files::path_beside(folder, name);
    if (beside.empty())
        throw InputError({path}, "not the name of a file beside this one", files::shortened(name),
                         "the name of one there, such as alder.yaml");
    files::check_beside(folder, beside);
    return beside;
}

namespace {

/// The bytes of a system file. A representation may have more of them than what people type.
std::string system_bytes(const std::string& path, const Limits& limits) {
    std::string bytes = files::file_bytes(path, limits.file_bytes);
    if (bytes.size() > limits.file_bytes && standard205::is_representation(bytes))
        bytes = files::file_bytes(path, limits.representation_bytes);
    return bytes;
}

System parse(std::string_view text, const std::string& name, const files::Beside& beside, const Limits& limits) {
    if (standard205::is_representation(text)) return standard205::parse_any(text, name, limits);
    files::Budget budget(limits);
    return files::read_system(files::parse_tree(files::Text::from_string(text, name, budget), budget, beside));
}

}  // namespace

System load_system(const std::string& path, const Limits& limits) {
    return parse_system(system_bytes(path, limits), path, files::folder_of(path), limits);
}

System parse_system(std::string_view text, const std::string& name, const std::string& folder, const Limits& limits) {
    return parse(text, name, files::Beside(folder), limits);
}
System parse_system(std::string_view text, const std::string& name, const TextBeside& beside, const Limits& limits) {
    return parse(text, name, files::Beside(beside), limits);
}

System load_system(std::istream& from, const std::string& name, const TextBeside& beside, const Limits& limits) {
    const std::size_t most = std::max(limits.file_bytes, limits.representation_bytes);
    return parse_system(files::stream_bytes(from, name, most), name, beside, limits);
}

PagesOfFile load_pages(const std::string& path, const Limits& limits) {
    using namespace files;
    const std::string bytes = system_bytes(path, limits);
    if (standard205::is_representation(bytes)) return pages_of(standard205::parse_any(bytes, path, limits));
    Budget budget(limits);
    const std::string folder = folder_of(path);
    const Beside beside(folder);
    const Document document = parse_tree(Text::from_string(bytes, path, budget), budget, beside);
    check_kind(document, FileKind::system);
    PagesOfFile out;
    Basis basis;
    if (const Item* cooling = find(document.root, "cooling"))
        add_cooling(document, *cooling, "cooling", {}, basis, out.cooling);
    if (const Item* matches = find(document.root, "matches"))
        for (std::size_t i = 0; matches->kind == Item::Kind::map && i < matches->keys.size(); ++i) {
            Basis own = basis;
            const std::string& name = matches->keys[i].text;
            if (const Item* cooling = find(matches->values[i], "cooling"))
                add_cooling(document, *cooling, "matches: " + shortened(name) + ": cooling", name, own, out.cooling);
        }
    if (out.cooling.empty()) document.refuse(document.root, "no cooling page", "a system file with cooling: stages");
    if (const Item* heating = find(document.root, "heating")) out.heating = read_heating_pages(document, *heating);
    return out;
}

PagesOfFile pages_of(const System& system) {
    const SystemParts& parts = system.parts();
    PagesOfFile out;
    const auto add = [&](const std::vector<Stage>& stages, const std::string& match) {
        for (const Stage& s : stages)
            out.cooling.push_back({s.name, match, s.table.basis(), s.table.page(), s.speed, parts.speed_unit});
    };
    add(parts.cooling, {});
    for (const Match& match : parts.matches) add(match.stages, match.name);
    for (const HeatingStage& s : parts.heating)
        out.heating.push_back({s.name, s.frost, s.table.basis(), s.table.page(), s.speed, parts.speed_unit});
    return out;
}

}  // namespace offnominal
