// Systems and pages as plain keys, axes and columns.
#include "collate/pages.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "offnominal/ratings/shape.hpp"
#include "text/number.hpp"

namespace offnominal {
namespace files {
namespace {

constexpr double absent = std::numeric_limits<double>::quiet_NaN();

bool has_number(Mark mark) { return mark == Mark::printed || mark == Mark::dry; }

/// Facts as they are collected, all under one path.
class FactList {
   public:
    /// @param files  where a file has these keys, the likeliest first
    explicit FactList(const TypedTexts& typed, std::string path = {}, std::vector<std::string> files = {})
        : typed_(&typed), path_(std::move(path)), files_(std::move(files)) {
        if (files_.empty()) files_ = {path_};
    }

    void word(std::string_view key, std::string_view text) { add(key, std::string(text), std::nullopt, {}); }
    void flag(std::string_view key, bool value) { word(key, value ? "yes" : "no"); }
    /// @param typed_as  the keys a file may have it under, if not `key`
    void number(std::string_view key, std::optional<double> si, Dimension dimension, bool standard_air = false,
                std::initializer_list<std::string_view> typed_as = {}) {
        const bool given = si && !std::isnan(*si);
        const std::string* typed = given ? typed_text(key, *si, dimension, typed_as) : nullptr;
        add(key, given ? quantity_text(typed, *si, dimension, standard_air) : std::string(), si, dimension);
    }
    template <Dimension D>
    void number(std::string_view key, const std::optional<Quantity<D>>& value, bool standard_air = false,
                std::initializer_list<std::string_view> typed_as = {}) {
        number(key, value ? std::optional(value->si) : std::nullopt, D, standard_air, typed_as);
    }
    /// A plain number.
    void ratio(std::string_view key, std::optional<double> value) {
        const bool given = value && !std::isnan(*value);
        const std::string* typed = given ? typed_text(key, *value, Dimension::ratio, {}) : nullptr;
        add(key, typed != nullptr ? *typed : given ? number_text(*value) : std::string(), value, Dimension::ratio);
    }
    /// A size of tubing.
    void size(std::string_view key, Length size) {
        const std::string* typed = typed_text(key, size.si, Dimension::length, {});
        const ColumnText made = tubing_text({&size.si, 1});
        add(key, typed != nullptr ? *typed : made.texts[0] + " " + std::string(made.unit.name), size.si,
            Dimension::length);
    }

    /// One number of the head of a row.
    struct Coordinate {
        std::string name;
        std::string text;                         ///< as it is told
        std::optional<double> si = std::nullopt;  ///< by which it is found again, whatever the unit
    };
    static Coordinate at(const char* name, double si, Dimension dimension) {
        return {name, quantity_text(si, dimension), si};
    }
    static Coordinate at(const char* name, std::string word) { return {name, std::move(word)}; }
    /// The facts under a row of a table; they are matched by their coordinates, whatever the unit.
    void row(const std::vector<Coordinate>& head) {
        row_ = row_key_ = {};
        for (const Coordinate& c : head) {
            row_ += (row_.empty() ? "" : ", ") + c.name + " " + c.text;
            row_key_ += c.name + " " + (c.si ? rounded_text(*c.si, 6) : c.text) + " ";
        }
    }

    [[nodiscard]] std::vector<Fact> take() && { return std::move(facts_); }
    void append(FactList other) {
        facts_.insert(facts_.end(), std::move_iterator(other.facts_.begin()), std::move_iterator(other.facts_.end()));
    }

   private:
    /// The text a number was typed with, if it still says it.
    [[nodiscard]] const std::string* typed_text(std::string_view key, double si, Dimension dimension,
                                                std::initializer_list<std::string_view> typed_as) const {
        const std::string_view own[] = {key};
        const std::span<const std::string_view> keys =
            typed_as.size() == 0 ? std::span(own) : std::span(typed_as.begin(), typed_as.end());
        for (const std::string& file : files_)
            for (const std::string_view as : keys) {
                const std::string* found = text_of(*typed_, file + (file.empty() ? "" : ": ") + std::string(as));
                Measured read;
                if (found != nullptr && row_.empty() && !read_quantity(*found, dimension, read) && read.si == si)
                    return found;
            }
        return nullptr;
    }
    void add(std::string_view key, std::string text, std::optional<double> si, Dimension dimension) {
        const auto joined = [&](const std::string& row) {
            std::string out = path_;
            for (const std::string_view part : {std::string_view(row), key})
                if (!part.empty()) out.append(out.empty() ? "" : ": ").append(part);
            return out;
        };
        facts_.push_back({joined(row_), joined(row_key_), std::move(text), si, dimension});
    }

    const TypedTexts* typed_;
    std::string path_;
    std::vector<std::string> files_;
    std::string row_, row_key_;
    std::vector<Fact> facts_;
};

std::string listed_names(const auto& named) {
    std::string out;
    for (const auto& one : named) out += (out.empty() ? "" : ", ") + one.name;
    return out;
}

/// What cooling and heating pages share, in the order in which a file says it.
template <class AnyBasis>
FactList shared_facts(const AnyBasis& basis, const TypedTexts& typed, std::vector<std::string> files) {
    FactList out(typed, "basis", std::move(files));
    out.word("capacity", name(basis.capacity));
    out.number("fan: power", basis.fan.power.si, Dimension::power, false, {"fan", "fan: 0", "fan: 1"});
    out.number("fan: power per airflow", basis.fan.per_airflow.si, Dimension::fan_ratio, false,
               {"fan", "fan: 0", "fan: 1"});
    out.word("airflow", name(basis.airflow));
    out.word("standard_pound", name(basis.standard_pound));
    out.word("power", name(basis.power));
    return out;
}

template <class Nodes>
std::vector<double> values_of(const Nodes& nodes, auto member) {
    std::vector<double> out;
    out.reserve(nodes.size());
    for (const auto& node : nodes) out.push_back(has_number(node.mark) ? node.*member : absent);
    return out;
}

template <class Page>
void fill(PageColumns& out, const Page& page) {
    for (const ExtraColumn& extra : page.extras)
        out.columns.push_back({extra.name, extra.unit, extra.step, extra.values});
    for (const auto& node : page.nodes) out.marks.push_back(node.mark);
    out.typed = page.typed;
    out.places = page.places;
}

void add_axis(PageColumns& out, const char* name, const char* role, const std::vector<double>& values,
              Dimension dimension) {
    if (!values.empty()) out.axes.push_back({name, {role}, {values}, dimension});
}

}  // namespace

std::vector<Fact> facts_of(const Basis& basis, const TypedTexts& typed, const std::string& match) {
    FactList out = shared_facts(basis, typed, {"matches: " + match + ": cooling: basis", "cooling: basis"});
    out.number("sensible_at", basis.sensible_at);
    out.number("sensible_slope", basis.sensible_slope);
    const bool is_ratio = basis.sensible_ratio_of != SensibleRatioOf::not_a_ratio;
    out.word("sensible_ratio_of", is_ratio ? name(basis.sensible_ratio_of) : "not a ratio");
    const auto given = [](Power p) { return p.si > 0.0 ? std::optional(p) : std::nullopt; };
    out.number("rated: total", given(basis.rated.total));
    out.number("rated: sensible", given(basis.rated.sensible));
    out.number("rated: power", given(basis.rated.power));
    const CertifiedRating rating = basis.certified.value_or(CertifiedRating{});
    out.number("certified: total", given(rating.net_total));
    out.number("certified: airflow", basis.certified ? std::optional(rating.airflow) : std::nullopt, true);
    out.number("certified: fan", given(rating.fan_power));
    out.number("elevation", basis.elevation);
    out.number("tolerance", basis.tolerance, Dimension::ratio);
    return std::move(out).take();
}

std::vector<Fact> facts_of(const HeatingBasis& basis, const TypedTexts& typed) {
    FactList out = shared_facts(basis, typed, {"heating: basis"});
    out.number("printed_at", basis.printed_at);
    out.number("outdoor_humidity", basis.outdoor_relative_humidity, Dimension::ratio);
    out.number("elevation", basis.elevation);
    out.number("tolerance", basis.tolerance, Dimension::ratio);
    return std::move(out).take();
}

PageColumns columns_of(const Stage& stage, const std::string& match, const TypedTexts& typed) {
    const PrintedPage& page = stage.table.page();
    PageColumns out;
    out.match = match;
    out.stage = stage.name;
    out.speed = stage.speed;
    add_axis(out, "outdoor dry bulb", "odb", page.outdoor_dry_bulb, Dimension::temperature);
    add_axis(out, "standard airflow", "airflow", page.airflow, Dimension::airflow);
    add_axis(out, "entering wet bulb", "ewb", page.entering_wet_bulb, Dimension::temperature);
    add_axis(out, "entering relative humidity", "rh", page.relative_humidity, Dimension::ratio);
    if (!page.pairs.empty()) {
        PageColumns::Axis& pairs =
            out.axes.emplace_back(PageColumns::Axis{"indoor pair", {"edb", "ewb"}, {{}, {}}, Dimension::temperature});
        for (const IndoorPair& pair : page.pairs) {
            pairs.values[0].push_back(pair.dry_bulb);
            pairs.values[1].push_back(pair.wet_bulb);
        }
    }
    add_axis(out, "entering dry bulb", "edb", page.entering_dry_bulb, Dimension::temperature);
    add_axis(out, "station pressure", "pressure", page.pressure, Dimension::pressure);
    const auto add = [&](const char* role, const Unit& unit, double step, double PrintedNode::*member) {
        out.columns.push_back({role, unit, step, values_of(page.nodes, member)});
    };
    add("total", units::W, page.total_step, &PrintedNode::total);
    if (page.has_sensible) add("sensible", units::W, page.sensible_step, &PrintedNode::sensible);
    if (page.has_power) add("power", units::W, page.power_step, &PrintedNode::power);
    if (page.has_bypass) add("bypass", units::one, 0.0, &PrintedNode::bypass);
    fill(out, page);
    out.basis = facts_of(stage.table.basis(), typed, match);
    out.infer = page.infer;
    out.multiplied = page.airflow_multiplied;
    out.points = page.pairs_are_points;
    out.notes = basis_notes(stage.table.basis(), page.has_power, page.pressure.empty());
    if (!page.has_sensible) out.notes.add(Note::dryness_unknown);
    if (page.airflow_multiplied) out.notes.add(Note::airflow_multiplier);
    if (!page.pairs.empty()) out.notes.add(Note::along_pairs);
    return out;
}

PageColumns columns_of(const HeatingStage& stage, const TypedTexts& typed) {
    const HeatingPage& page = stage.table.page();
    PageColumns out;
    out.frost = stage.frost;
    out.stage = stage.name;
    out.speed = stage.speed;
    add_axis(out, "outdoor dry bulb", "odb", page.outdoor_dry_bulb, Dimension::temperature);
    add_axis(out, "standard airflow", "airflow", page.airflow, Dimension::airflow);
    add_axis(out, "entering dry bulb", "edb", page.entering_dry_bulb, Dimension::temperature);
    out.columns.push_back({"capacity", units::W, page.capacity_step, values_of(page.nodes, &HeatingNode::capacity)});
    if (page.has_power)
        out.columns.push_back({"power", units::W, page.power_step, values_of(page.nodes, &HeatingNode::power)});
    fill(out, page);
    out.basis = facts_of(stage.table.basis(), typed);
    out.multiplied = page.airflow_multiplied || page.dry_bulb_multiplied;
    out.notes = basis_notes(stage.table.basis(), page.has_power);
    if (stage.frost == Frost::unknown) out.notes.add(Note::frost_unknown);
    if (!stage.table.basis().outdoor_relative_humidity) out.notes.add(Note::outdoor_humidity_unknown);
    return out;
}

}  // namespace files

std::string PageColumns::label() const {
    std::string out = frost ? "heating, " + std::string(name(*frost)) : std::string();
    for (const std::string& part : {match, stage})
        if (!part.empty()) out += (out.empty() ? "" : ": ") + part;
    return out;
}

std::vector<PageColumns> page_columns(const System& system) {
    const SystemParts& parts = system.parts();
    std::vector<PageColumns> out;
    for (const Stage& stage : parts.cooling) out.push_back(files::columns_of(stage, {}, parts.typed));
    for (const Match& match : parts.matches)
        for (const Stage& stage : match.stages) out.push_back(files::columns_of(stage, match.name, parts.typed));
    for (const HeatingStage& stage : parts.heating) out.push_back(files::columns_of(stage, parts.typed));
    return out;
}

std::vector<Fact> facts(const System& system) {
    using files::FactList;
    const SystemParts& parts = system.parts();
    FactList out(parts.typed);
    out.word("name", parts.name);
    out.word("nominal", parts.nominal);
    out.word("refrigerant", parts.refrigerant);
    out.word("source: document", parts.source.document);
    out.word("source: revision", parts.source.revision);
    out.word("source: page", parts.source.page);
    out.word("source: transcriber", parts.source.transcriber);
    out.word("source: checker", parts.source.checker);
    out.word("cooling: modulation", name(parts.modulation));
    out.word("cooling: stages", files::listed_names(parts.cooling));
    out.word("speed unit", parts.speed_unit.name);
    for (const Frost frost : {Frost::instantaneous, Frost::integrated, Frost::unknown}) {
        std::vector<HeatingStage> stages;
        for (const HeatingStage& stage : parts.heating)
            if (stage.frost == frost) stages.push_back(stage);
        out.word("heating: " + std::string(name(frost)) + ": stages", files::listed_names(stages));
    }
    out.word("matches", files::listed_names(parts.matches));
    for (const Match& match : parts.matches) {
        FactList of(parts.typed, "matches: " + match.name);
        of.flag("reference", match.reference);
        of.ratio("total", match.factors.total);
        of.ratio("power", match.factors.power);
        of.ratio("bypass", match.bypass);
        of.number("least airflow", match.airflow ? std::optional(match.airflow->first) : std::nullopt, true,
                  {"airflow: 0"});
        of.number("greatest airflow", match.airflow ? std::optional(match.airflow->second) : std::nullopt, true,
                  {"airflow: 1"});
        of.word("fan", name(match.fan));
        of.word("stages", files::listed_names(match.stages));
        out.append(std::move(of));
    }
    const auto factors = [](FactList& of, const char* output, double total, double power, Mark mark) {
        of.ratio(output, files::has_number(mark) ? std::optional(total) : std::nullopt);
        of.ratio("power", files::has_number(mark) ? std::optional(power) : std::nullopt);
        of.word("mark", name(mark));
    };
    if (const auto& line = parts.reference_line) {
        out.number(line->fittings ? "line_set: reference: tubing" : "line_set: reference: length",
                   std::optional(line->longest()));
        out.size("line_set: reference: suction", line->suction);
        if (line->fittings && line->fittings->none()) out.word("line_set: reference: fittings", "none");
        for (const FittingWords& fitting : words_of<Fitting>)
            if (line->fittings && (*line->fittings)[fitting.value] != 0)
                out.ratio("line_set: reference: fittings: " + std::string(fitting.word),
                          (*line->fittings)[fitting.value]);
    }
    for (const Mode mode : {Mode::cooling, Mode::heating}) {
        const LineTable& table = parts.lines(mode);
        if (table.empty()) continue;
        const bool heats = mode == Mode::heating;
        if (!heats || parts.line_set.empty()) {  // both have the same limits
            FactList of(parts.typed, "line_set");
            const auto lift = [&of](const char* key, Length length, const char* typed_as) {
                of.number(key, std::isinf(length.si) ? std::nullopt : std::optional(length), false, {typed_as});
            };
            lift("least lift", table.limits().least_lift, "lift: 0");
            lift("greatest lift", table.limits().greatest_lift, "lift: 1");
            out.append(std::move(of));
        }
        FactList of(parts.typed, heats ? "line_set: heating" : "line_set");
        for (const LineTable::Row& row : table.rows()) {
            const files::ColumnText suction = files::tubing_text({&row.suction.si, 1});
            of.row({FactList::at("length", row.length.si, Dimension::length),
                    {"suction", suction.texts[0] + " " + std::string(suction.unit.name), row.suction.si}});
            factors(of, heats ? "capacity" : "total", row.total, row.power, row.mark);
        }
        out.append(std::move(of));
    }
    FactList altitude(parts.typed, "altitude");
    for (const AltitudeTable::Row& row : parts.altitude.rows()) {
        altitude.row({FactList::at("elevation", row.elevation.si, Dimension::length)});
        factors(altitude, "total", row.total, row.power, Mark::printed);
    }
    out.append(std::move(altitude));
    if (!parts.blower.empty()) {
        FactList of(parts.typed, "blower");
        of.word("motor", name(parts.blower.basis().motor));
        of.word("includes", parts.blower.basis().includes);
        of.word("air", parts.blower.basis().standard_air ? "standard" : "unknown");
        of.number("greatest_static", parts.blower.basis().greatest_static);
        for (const BlowerTable::Row& row : parts.blower.rows()) {
            of.row({FactList::at("tap", row.tap), FactList::at("static", row.external_static.si, Dimension::pressure)});
            const bool printed = files::has_number(row.mark);
            of.number("airflow", printed ? std::optional(row.airflow) : std::nullopt);
            of.number("power", printed ? std::optional(row.power) : std::nullopt);
            of.word("mark", name(row.mark));
        }
        out.append(std::move(of));
    }
    if (parts.defrost)
        for (const DefrostTable::Page& page : parts.defrost->pages()) {
            FactList of(parts.typed, "heating: defrost" + (page.stage.empty() ? "" : ": stages: " + page.stage));
            const std::size_t humidities = page.outdoor_relative_humidity.size();
            for (std::size_t n = 0; n < page.nodes.size(); ++n) {
                of.row({FactList::at("odb", page.outdoor_dry_bulb[n / humidities], Dimension::temperature),
                        FactList::at("rh", page.outdoor_relative_humidity[n % humidities], Dimension::ratio)});
                of.ratio("capacity", page.nodes[n].capacity);
                of.ratio("power", page.nodes[n].power);
                of.ratio("time", page.nodes[n].time_fraction);
            }
            out.append(std::move(of));
        }
    return std::move(out).take();
}

}  // namespace offnominal
