#include <cmath>
#include <limits>
#include <map>

#include "collate/pages.hpp"
#include "offnominal/files.hpp"
#include "ranges.hpp"
#include "text/number.hpp"
#include "write/page.hpp"

namespace offnominal {
namespace files {
namespace {

using Pairs = YamlFile::Pairs;

[[noreturn]] void refuse_system(const std::string& problem, const std::string& text, const std::string& accepted) {
    throw InputError({}, "a system that no file can hold: " + problem, text, accepted);
}

/// The first of what came back otherwise; empty if nothing did.
/// @param steps  whether last printed places count
std::string lost(const std::vector<Difference>& differences, bool steps) {
    for (const Difference& difference : differences)
        if (steps || difference.kind != Difference::Kind::digits) return shown(difference);
    return {};
}

/// What all pages say of themselves. Where they differ, columns and values beside the tables say it.
Basis common_basis(const std::vector<Stage>& stages) {
    Basis out = stages.front().table.basis();
    for (const Stage& stage : stages) {
        const Basis& basis = stage.table.basis();
        if (basis.airflow != out.airflow) out.airflow = AirflowBasis::unknown;
        if (basis.standard_pound != out.standard_pound) out.standard_pound = Pound::unknown;
        if (basis.sensible_at != out.sensible_at) out.sensible_at.reset();
        if (basis.elevation != out.elevation) out.elevation.reset();
        if (out.sensible_ratio_of == SensibleRatioOf::not_a_ratio) out.sensible_ratio_of = basis.sensible_ratio_of;
    }
    return out;
}

class SystemWriter {
   public:
    /// @param as_typed  tables that are no pages are written with the texts they were typed with
    SystemWriter(const System& system, bool as_typed) : parts_(system.parts()), as_typed_(as_typed) {
        for (Fact& fact : facts(system)) said_.emplace(std::move(fact.path), std::move(fact.text));
    }

    std::string write() {
        file_.pair("offnominal", "system/1");
        file_.pair("name", yaml_text(parts_.name));
        if (!parts_.nominal.empty()) file_.pair("nominal", yaml_text(parts_.nominal));
        if (!parts_.refrigerant.empty()) file_.pair("refrigerant", yaml_text(parts_.refrigerant));
        write_source();
        Basis basis;
        if (!parts_.cooling.empty()) {
            basis = common_basis(parts_.cooling);
            write_cooling(parts_.cooling, basis, nullptr, {});
        }
        if (!parts_.heating.empty()) write_heating();
        if (!parts_.matches.empty()) {
            file_.open("matches");
            for (const Match& match : parts_.matches) write_match(match, basis);
            file_.close();
        }
        write_line_set();
        if (!parts_.altitude.empty()) write_altitude();
        if (!parts_.blower.empty()) write_blower();
        return file_.text();
    }

   private:
    /// What `facts` says under a path; empty if nothing.
    [[nodiscard]] const std::string& said(const std::string& path) const {
        static const std::string nothing;
        const auto found = said_.find(path);
        return found == said_.end() ? nothing : found->second;
    }
    void add_said(Pairs& pairs, const std::string& path, const std::string& key) const {
        if (const std::string& text = said(path + ": " + key); !text.empty()) pairs.emplace_back(key, text);
    }
    /// `[900 scfm, 1150 scfm]`
    [[nodiscard]] std::string range(const std::string& least, const std::string& greatest) const {
        return "[" + said(least) + ", " + said(greatest) + "]";
    }
    /// Writes a table with the text it was typed with, if there is one.
    bool write_typed(const std::string& key, const std::string& path) {
        const std::string* typed = text_of(parts_.typed, path);
        if (!as_typed_ || typed == nullptr || typed->find('\n') == std::string::npos) return false;
        file_.block(key, *typed);
        return true;
    }

    void write_source() {
        Pairs source;
        for (const char* key : {"document", "revision", "page", "transcriber", "checker"})
            if (const std::string& text = said(std::string("source: ") + key); !text.empty())
                source.emplace_back(key, yaml_text(text, true));
        file_.flow("source", source);
    }

    /// @param outer  the basis that holds if this says none
    void write_cooling(const std::vector<Stage>& stages, const Basis& basis, const Basis* outer,
                       const std::string& match) {
        file_.open("cooling");
        if (outer == nullptr || basis_pairs(facts_of(basis)) != basis_pairs(facts_of(*outer)))
            file_.map("basis", basis_pairs(facts_of(basis, parts_.typed, match)));
        const bool has_speeds = ranges::any_of(stages, [](const Stage& stage) { return stage.speed.has_value(); });
        if (parts_.modulation != Modulation::staged || has_speeds) file_.pair("modulation", name(parts_.modulation));
        file_.open("stages");
        for (const Stage& stage : stages) write_stage(stage, basis);
        file_.close();
        file_.close();
    }

    /// Pages by what they are; the basis is that of the first but for the airflow, which the units of the others say.
    void write_heating() {
        HeatingBasis basis = parts_.heating.front().table.basis();
        for (const HeatingStage& stage : parts_.heating)
            if (stage.table.basis().airflow != basis.airflow) basis.airflow = AirflowBasis::unknown;
        file_.open("heating");
        file_.map("basis", basis_pairs(facts_of(basis, parts_.typed)));
        for (const Frost frost : {Frost::instantaneous, Frost::integrated, Frost::unknown}) {
            if (ranges::find(parts_.heating, frost, &HeatingStage::frost) == parts_.heating.end()) continue;
            file_.open(name(frost));
            file_.open("stages");
            for (const HeatingStage& stage : parts_.heating)
                if (stage.frost == frost) write_stage(stage, basis);
            file_.close();
            file_.close();
        }
        if (parts_.defrost && !write_typed("defrost", "heating: defrost")) write_defrost(file_, *parts_.defrost);
        file_.close();
    }

    /// As it was typed if it was and its texts still say what it holds; else from its numbers.
    template <class AnyStage, class AnyBasis>
    void write_stage(const AnyStage& stage, const AnyBasis& basis) {
        const bool typed = !stage.table.page().typed.empty() && lost_in(stage, basis, true).empty();
        if (const std::string lost = typed ? std::string() : lost_in(stage, basis, false); !lost.empty())
            refuse_system("stage '" + stage.name + "': " + lost, {}, "what a system file can say");
        files::write_stage(file_, stage, basis, parts_.speed_unit, typed);
    }

    /// The last printed places of numbers that were never printed are what their texts show.
    static std::string lost(PageColumns stage, PageColumns read, bool as_typed) {
        stage.frost = read.frost;  // written alone, a heating page is of an unknown kind
        Collation found;
        collate_pages(stage, read, Sameness::bits, found);
        for (Difference& difference : found.differences) difference.page.clear();  // the message names the stage
        return files::lost(found.differences, as_typed);
    }
    static const Stage& only(const System& system, const Stage&) { return system.parts().cooling.front(); }
    static const HeatingStage& only(const System& system, const HeatingStage&) {
        return system.parts().heating.front();
    }
    static void open_alone(YamlFile& file, const Stage& stage, const Basis& basis) {
        file.open("cooling");
        file.map("basis", basis_pairs(facts_of(basis)));
        if (stage.speed) file.pair("modulation", "variable");
    }
    static void open_alone(YamlFile& file, const HeatingStage&, const HeatingBasis& basis) {
        file.open("heating");
        file.map("basis", basis_pairs(facts_of(basis)));
        file.open("unknown");
    }

    /// What of a stage does not come back as it was when it is written alone; empty if everything does.
    template <class AnyStage, class AnyBasis>
    [[nodiscard]] std::string lost_in(const AnyStage& stage, const AnyBasis& basis, bool as_typed) const {
        YamlFile alone;
        alone.pair("offnominal", "system/1");
        alone.pair("name", "alone");
        open_alone(alone, stage, basis);
        alone.open("stages");
        files::write_stage(alone, stage, basis, parts_.speed_unit, as_typed);
        try {
            const System read = parse_system(alone.text(), {});
            return lost(columns_of(stage), columns_of(only(read, stage)), as_typed);
        } catch (const InputError& error) {
            return error.problem() + (error.text().empty() ? "" : ": " + error.text());
        }
    }

    void write_match(const Match& match, const Basis& system) {
        const std::string path = "matches: " + match.name;
        Pairs pairs;
        if (match.reference) pairs.emplace_back("reference", "true");
        if (!match.reference && match.stages.empty()) {
            add_said(pairs, path, "total");
            add_said(pairs, path, "power");
        }
        add_said(pairs, path, "bypass");
        if (match.airflow) pairs.emplace_back("airflow", range(path + ": least airflow", path + ": greatest airflow"));
        if (match.fan != FanPosition::unknown) add_said(pairs, path, "fan");
        if (match.stages.empty()) {
            file_.flow(yaml_text(match.name), pairs);
            return;
        }
        file_.open(yaml_text(match.name));
        for (const auto& [key, value] : pairs) file_.pair(key, value);
        write_cooling(match.stages, common_basis(match.stages), &system, match.name);
        file_.close();
    }

    void write_line_set() {
        const LineTable &cools = parts_.line_set, &heats = parts_.heating_line_set;
        if (cools.empty() && heats.empty() && !parts_.reference_line) return;
        file_.open("line_set");
        if (parts_.reference_line) {
            Pairs pairs, fittings;
            add_said(pairs, "line_set: reference", "length");
            add_said(pairs, "line_set: reference", "tubing");
            add_said(pairs, "line_set: reference", "fittings");
            for (const FittingWords& fitting : words_of<Fitting>)
                add_said(fittings, "line_set: reference: fittings", std::string(fitting.word));
            if (!fittings.empty()) pairs.emplace_back("fittings", flow_text(fittings));
            add_said(pairs, "line_set: reference", "suction");
            // A system does not hold the liquid size: no answer depends on it.
            if (const std::string* liquid = text_of(parts_.typed, "line_set: reference: liquid"))
                pairs.emplace_back("liquid", yaml_text(*liquid, true));
            file_.flow("reference", pairs);
        }
        if (!cools.empty() || !heats.empty()) write_lift((cools.empty() ? heats : cools).limits());
        write_line_table("cooling", "total", cools);
        write_line_table("heating", "capacity", heats);
        file_.close();
    }

    void write_line_table(const char* key, const char* output, const LineTable& table) {
        if (table.empty() || write_typed(key, std::string("line_set: ") + key)) return;
        write_rows<LineTable::Row>(key, table.rows(),
                                   {{"length", units_for(Dimension::length), [](auto& r) { return r.length.si; }},
                                    {"suction", {}, [](auto& r) { return r.suction.si; }},
                                    {output, {units::one}, [](auto& r) { return r.total; }, true},
                                    {"power", {units::one}, [](auto& r) { return r.power; }, true}},
                                   [](auto& r) { return r.mark; });
    }

    void write_lift(const LineTable::Limits& limits) {
        const bool up = std::isinf(limits.greatest_lift.si), down = std::isinf(limits.least_lift.si);
        if (up != down) refuse_system("a limit on lift in one direction only", {}, "limits in both, or none");
        if (!up) file_.pair("lift", range("line_set: least lift", "line_set: greatest lift"));
    }

    void write_altitude() {
        file_.open("altitude");
        file_.pair("equal", "mass");
        if (!write_typed("cooling", "altitude: cooling"))
            write_rows<AltitudeTable::Row>(
                "cooling", parts_.altitude.rows(),
                {{"elevation", units_for(Dimension::length), [](auto& r) { return r.elevation.si; }},
                 {"total", {units::one}, [](auto& r) { return r.total; }},
                 {"power", {units::one}, [](auto& r) { return r.power; }}},
                [](auto&) { return Mark::printed; });
        file_.close();
    }

    void write_blower() {
        const BlowerTable::Basis& basis = parts_.blower.basis();
        file_.open("blower");
        file_.pair("motor", name(basis.motor));
        if (!basis.includes.empty()) file_.pair("includes", yaml_text(basis.includes));
        if (basis.standard_air) file_.pair("air", "standard");
        if (basis.greatest_static) file_.pair("greatest_static", said_.at("blower: greatest_static"));
        const std::vector<BlowerTable::Row> rows = parts_.blower.rows();
        for (const BlowerTable::Row& row : rows)
            if (row.tap.empty() || row.tap.find_first_of(" \t#\n") != std::string::npos)
                refuse_system("the name of a blower tap", row.tap, "a name without blanks and #");
        std::vector<std::string> taps{"tap", "1"};
        for (const BlowerTable::Row& row : rows) taps.push_back(row.tap);
        if (!write_typed("table", "blower: table"))
            write_rows<BlowerTable::Row>(
                "table", rows,
                {{"static", units_for(Dimension::pressure), [](auto& r) { return r.external_static.si; }},
                 {"airflow", units_for(Dimension::airflow), [](auto& r) { return r.airflow.si; }, true},
                 {"power", units_for(Dimension::power), [](auto& r) { return r.power.si; }, true}},
                [](auto& r) { return r.mark; }, taps);
        file_.close();
    }

    template <class Row>
    struct Column {
        const char* role;
        std::vector<Unit> units;  ///< none: sizes of tubing
        double (*get)(const Row&);
        bool is_output = false;
    };

    /// @param first  a column that holds no numbers, heading and all
    template <class Row>
    void write_rows(const char* key, const std::vector<Row>& rows, const std::vector<Column<Row>>& columns,
                    Mark (*mark)(const Row&), const std::vector<std::string>& first = {}) {
        TableText text(rows.size() + 2);
        for (std::size_t i = 0; i < first.size(); ++i) text[i].push_back(first[i]);
        for (const Column<Row>& column : columns) {
            std::vector<double> si;
            for (const Row& row : rows)
                si.push_back(column.is_output && mark(row) != Mark::printed ? std::numeric_limits<double>::quiet_NaN()
                                                                            : column.get(row));
            const ColumnText numbers = column.units.empty() ? tubing_text(si) : column_text(si, column.units);
            text[0].emplace_back(column.role);
            text[1].emplace_back(numbers.unit.name);
            for (std::size_t i = 0; i < rows.size(); ++i)
                text[i + 2].push_back(column.is_output && mark(rows[i]) == Mark::beyond_limit ? "x" : numbers.texts[i]);
        }
        file_.table(key, text);
    }

    const SystemParts& parts_;
    bool as_typed_;
    std::map<std::string, std::string> said_;
    YamlFile file_;
};

/// What does not come back as it was when a text is read again.
std::string lost_in(const System& system, const std::string& text) {
    try {
        return lost(differences(system, parse_system(text, {}), Sameness::bits), false);
    } catch (const InputError& error) {
        return error.problem() + (error.text().empty() ? "" : ": " + error.text());
    }
}

}  // namespace
}  // namespace files

std::string write_system(const System& system) {
    std::string text, lost;
    for (const bool as_typed : {true, false}) {  // a table that was changed since is not written as it was typed
        text = files::SystemWriter(system, as_typed).write();
        lost = files::lost_in(system, text);
        if (lost.empty()) return text;
    }
    files::refuse_system(lost + ": it would not read back as it is", {}, "what a system file can say");
}

}  // namespace offnominal
