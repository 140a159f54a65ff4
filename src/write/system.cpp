#include <algorithm>
#include <cmath>
#include <limits>

#include "collate/pages.hpp"
#include "offnominal/files.hpp"
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
    explicit SystemWriter(const SystemParts& parts) : parts_(parts) {}

    std::string write() {
        file_.pair("offnominal", "system/1");
        file_.pair("name", yaml_text(parts_.name));
        if (!parts_.nominal.empty()) file_.pair("nominal", yaml_text(parts_.nominal));
        if (!parts_.refrigerant.empty()) file_.pair("refrigerant", yaml_text(parts_.refrigerant));
        write_source();
        Basis basis;
        if (!parts_.cooling.empty()) {
            basis = common_basis(parts_.cooling);
            write_cooling(parts_.cooling, basis, nullptr);
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
    void write_source() {
        Pairs source;
        for (const auto& [key, text] :
             {std::pair{"document", &parts_.source.document}, std::pair{"revision", &parts_.source.revision},
              std::pair{"page", &parts_.source.page}, std::pair{"transcriber", &parts_.source.transcriber},
              std::pair{"checker", &parts_.source.checker}})
            if (!text->empty()) source.emplace_back(key, yaml_text(*text, true));
        file_.flow("source", source);
    }

    /// @param outer  the basis that holds if this says none
    void write_cooling(const std::vector<Stage>& stages, const Basis& basis, const Basis* outer) {
        file_.open("cooling");
        const YamlFile::Pairs said = basis_pairs(facts_of(basis));
        if (outer == nullptr || said != basis_pairs(facts_of(*outer))) file_.map("basis", said);
        const bool has_speeds = std::ranges::any_of(stages, [](const Stage& stage) { return stage.speed.has_value(); });
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
        file_.map("basis", basis_pairs(facts_of(basis)));
        for (const Frost frost : {Frost::instantaneous, Frost::integrated, Frost::unknown}) {
            if (std::ranges::find(parts_.heating, frost, &HeatingStage::frost) == parts_.heating.end()) continue;
            file_.open(name(frost));
            file_.open("stages");
            for (const HeatingStage& stage : parts_.heating)
                if (stage.frost == frost) write_stage(stage, basis);
            file_.close();
            file_.close();
        }
        if (parts_.defrost) write_defrost(file_, *parts_.defrost);
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
        Pairs pairs;
        if (match.reference) pairs.emplace_back("reference", "true");
        if (!match.reference && match.stages.empty()) {
            pairs.emplace_back("total", number_text(match.factors.total));
            pairs.emplace_back("power", number_text(match.factors.power));
        }
        if (match.bypass) pairs.emplace_back("bypass", number_text(*match.bypass));
        if (match.airflow) {
            const double bounds[] = {match.airflow->first.si, match.airflow->second.si};
            const ColumnText text = column_text(bounds, units_for(Dimension::airflow, true));
            const std::string unit = " " + std::string(text.unit.name);
            pairs.emplace_back("airflow", "[" + text.texts[0] + unit + ", " + text.texts[1] + unit + "]");
        }
        if (match.fan != FanPosition::unknown) pairs.emplace_back("fan", name(match.fan));
        if (match.stages.empty()) {
            file_.flow(yaml_text(match.name), pairs);
            return;
        }
        file_.open(yaml_text(match.name));
        for (const auto& [key, value] : pairs) file_.pair(key, value);
        write_cooling(match.stages, common_basis(match.stages), &system);
        file_.close();
    }

    void write_line_set() {
        const LineTable& table = parts_.line_set;
        if (table.empty() && !parts_.reference_line) return;
        file_.open("line_set");
        if (const auto& line = parts_.reference_line)
            file_.flow("reference", {{"length", quantity_text(line->equivalent_length.si, Dimension::length)},
                                     {"suction", tubing(line->suction)}});
        if (!table.empty()) {
            write_lift(table.limits());
            write_rows<LineTable::Row>("cooling", table.rows(),
                                       {{"length", units_for(Dimension::length), [](auto& r) { return r.length.si; }},
                                        {"suction", {}, [](auto& r) { return r.suction.si; }},
                                        {"total", {units::one}, [](auto& r) { return r.total; }, true},
                                        {"power", {units::one}, [](auto& r) { return r.power; }, true}},
                                       [](auto& r) { return r.mark; });
        }
        file_.close();
    }

    void write_lift(const LineTable::Limits& limits) {
        const double bounds[] = {limits.least_lift.si, limits.greatest_lift.si};
        if (std::isinf(bounds[0]) && std::isinf(bounds[1])) return;
        if (std::isinf(bounds[0]) || std::isinf(bounds[1]))
            refuse_system("a limit on lift in one direction only", {}, "limits in both, or none");
        const ColumnText text = column_text(bounds, units_for(Dimension::length));
        const std::string unit = " " + std::string(text.unit.name);
        file_.pair("lift", "[" + text.texts[0] + unit + ", " + text.texts[1] + unit + "]");
    }

    static std::string tubing(Length size) {
        const ColumnText text = tubing_text({&size.si, 1});
        return text.texts.front() + " " + std::string(text.unit.name);
    }

    void write_altitude() {
        file_.open("altitude");
        file_.pair("equal", "mass");
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
        const std::vector<BlowerTable::Row> rows = parts_.blower.rows();
        for (const BlowerTable::Row& row : rows)
            if (row.tap.empty() || row.tap.find_first_of(" \t#\n") != std::string::npos)
                refuse_system("the name of a blower tap", row.tap, "a name without blanks and #");
        std::vector<std::string> taps{"tap", "1"};
        for (const BlowerTable::Row& row : rows) taps.push_back(row.tap);
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
    YamlFile file_;
};

}  // namespace
}  // namespace files

std::string write_system(const System& system) {
    const std::string text = files::SystemWriter(system.parts()).write();
    std::string lost;
    try {
        lost = files::lost(differences(system, parse_system(text, {}), Sameness::bits), false);
    } catch (const InputError& error) {
        files::refuse_system(error.problem(), error.text(), error.accepted());
    }
    if (!lost.empty())
        files::refuse_system(lost + ": it would not read back as it is", {}, "what a system file can say");
    return text;
}

}  // namespace offnominal
