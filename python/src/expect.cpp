// What a system should deliver, in cooling and in heating: one question at a time, or columns of them with the GIL
// released.
#include "offnominal/expect.hpp"

#include <map>
#include <sstream>
#include <vector>

#include "look_up.hpp"
#include "offnominal/card.hpp"
#include "offnominal/expect/extras.hpp"
#include "offnominal/files.hpp"
#include "offnominal/grid/threads.hpp"
#include "offnominal/missing.hpp"
#include "offnominal/report.hpp"
#include "offnominal/solve.hpp"
#include "told.hpp"

namespace binding {
namespace {

/// What the questions of one call have in common: a batch without its columns, and the units of question and answer.
struct Call {
    UnitSystem units = UnitSystem::IP;
    ExpectBatch batch;
    std::array<Kind, slot_count> kinds{};  ///< of the numbers, by slot
    std::vector<std::string> words;        ///< that it was made of, in order
    std::vector<bool> flags;               ///< infer, airflow_effect
    std::vector<double> hold;              ///< SI: outdoor_dry_bulb, line_length, entering_wet_bulb

    [[nodiscard]] ExpectBatch with(const System& system) const {
        ExpectBatch out = batch;
        out[Slot::speed].unit = system.parts().speed_unit;
        return out;
    }
};

/// Of a line: nothing, `unknown`, or how many there are of each, `4,0,0,0,1,0`.
std::optional<Fittings> fittings_of(const std::string& text) {
    if (text.empty()) return std::nullopt;
    if (text == "unknown") return Fittings::uncounted();
    Fittings out;
    std::istringstream numbers(text);
    char comma = 0;
    for (std::uint16_t& count : out.counts) numbers >> count >> comma;
    return out;
}

Call make_call(const std::string& units, const std::string& mode, const std::string& humidity,
               const std::string& airflow, const std::string& line, const std::string& fittings,
               const std::string& boundary, const std::string& outside, const std::string& frost, bool infer,
               bool airflow_effect, double hold_outdoor, double hold_line, double extend_wet_bulb) {
    Call call;
    call.words = {units, mode, humidity, airflow, line, fittings, boundary, outside, frost};
    call.flags = {infer, airflow_effect};
    call.hold = {hold_outdoor, hold_line, extend_wet_bulb};
    call.units = CallerUnits::of(units).system;
    ExpectBatch& batch = call.batch;
    ConditionValues& values = batch.values;
    values.mode = choose<Mode>("mode", mode);
    values.entering_humidity.kind = humidity_kind(humidity);
    values.airflow = airflow_meaning(airflow);
    values.boundary = boundary_named(boundary);
    values.outside = outside_named(outside);
    values.hold = {TemperatureDifference{hold_outdoor}, Length{hold_line}, TemperatureDifference{extend_wet_bulb}};
    values.infer = infer;
    values.airflow_effect = airflow_effect;
    values.frost = frost.empty() ? Frost::unknown : choose<Frost>("frost", frost);
    batch.line = choose<ExpectBatch::Line>("line_set", line);
    batch.fittings = fittings_of(fittings);

    call.kinds = kinds_of_slots<slot_count>(asked_of_expect, [&](const Asked<Slot>& asked) {
        return asked.slot != Slot::entering_humidity || asked.name == "entering_" + humidity;
    });
    if (values.airflow.kind == AirflowReading::Kind::dry_mass)
        call.kinds[static_cast<std::size_t>(Slot::airflow)] = Kind::mass_flow;
    for (std::size_t k = 0; k < slot_count; ++k) batch.numbers[k].unit = unit_of(call.kinds[k], call.units);
    return call;
}

/// One expected capacity with its system and the units it was asked in.
OneExpected expect_one(const py::object& py_system, const py::object& py_call, const std::string& stage,
                       const std::string& match, const std::array<double, slot_count>& numbers) {
    const auto& system = py_system.cast<const System&>();
    const auto& call = py_call.cast<const Call&>();
    ExpectBatch batch = call.with(system);
    for (std::size_t k = 0; k < slot_count; ++k) batch.numbers[k].data = &numbers[k];
    const Conditions c{batch.values_of(0), stage, match};
    const auto answer = offnominal::detail::look_up(system, batch.site(0), c);
    if (!answer) raise_refused(answer.reason(), explain(answer.reason(), system, c, call.units), call.units);
    return {py_system, *answer, call.units, {py_call, stage, match, numbers}};
}

/// Everything that a question lacks.
py::list missing_of(const System& system, const Call& call, const std::string& stage, const std::string& match,
                    const std::array<double, slot_count>& numbers) {
    ExpectBatch batch = call.with(system);
    for (std::size_t k = 0; k < slot_count; ++k) batch.numbers[k].data = &numbers[k];
    const Conditions c{batch.values_of(0), stage, match};
    py::list out;
    for (const Missing& one : missing(system, batch.site(0), c)) {
        const Reason& r = one.reason;
        const Unit unit = shown_unit(r.about, call.units);
        const auto number = [&](double si) {
            return std::isfinite(si) ? py::object(py::float_(unit.from_si(si))) : py::none();
        };
        py::dict entry;
        entry["about"] = std::string(name(r.about));
        entry["why"] = std::string(name(r.why));
        entry["value"] = r.why == Why::not_given ? py::none() : number(r.value);
        entry["lower"] = number(one.lower);
        entry["upper"] = number(one.upper);
        entry["unit"] = std::string(unit.name);
        entry["words"] = one.words;
        entry["text"] = explain(r, system, c, call.units);
        out.append(entry);
    }
    return out;
}

/// A target card: its rows and columns, a row of numbers for each cell, and its words.
py::dict target_card_of(const System& system, const Call& call, const std::string& stage, const std::string& match,
                        const std::array<double, slot_count>& numbers, const std::vector<double>& outdoor_dry_bulb,
                        const std::vector<double>& entering_wet_bulb, const py::object& forecast) {
    ExpectBatch batch = call.with(system);
    for (std::size_t k = 0; k < slot_count; ++k) batch.numbers[k].data = &numbers[k];
    const Unit& degrees = unit_of(Kind::temperature, call.units);
    const auto given = [&](const std::vector<double>& values) {
        std::vector<Temperature> out;
        for (const double x : values) out.push_back(Temperature{degrees.to_si(x)});
        return out;
    };
    const auto told = [&](const std::vector<Temperature>& values) {
        py::list out;
        for (const Temperature one : values) out.append(degrees.from_si(one.si));
        return out;
    };
    // Cast here: in a signature a class that is bound later would show its C++ name.
    const auto visit = forecast.is_none() ? nullptr : forecast.cast<std::shared_ptr<Visit>>();
    const TargetCard card = target_card(system, batch.site(0), {batch.values_of(0), stage, match},
                                        given(outdoor_dry_bulb), given(entering_wet_bulb), visit.get());
    if (!card.reason.none())
        raise_refused(card.reason, explain(card.reason, system, card.first, call.units), call.units);
    py::dict columns, out;
    for (std::size_t k = 0; k < std::size(told_on_card); ++k) {
        const Unit& unit = unit_of(told_on_card[k]->kind, call.units);
        py::list column;
        for (const TargetCard::Cell& cell : card.cells) column.append(unit.from_si(cell.numbers[k]));
        columns[py::str(std::string(told_on_card[k]->name))] = column;
    }
    py::list footing, reason;
    for (const TargetCard::Cell& cell : card.cells) {
        footing.append(describe(cell.footing));
        reason.append(std::string(name(cell.reason.why)));
    }
    out["outdoor_dry_bulb"] = told(card.outdoor_dry_bulb);
    out["entering_wet_bulb"] = told(card.entering_wet_bulb);
    out["numbers"] = columns;
    out["footing"] = footing;
    out["reason"] = reason;
    out["notes"] = describe(card.notes);
    out["plan"] = py::none();
    if (card.plan) {
        const PlanTexts texts = plan_texts(*card.plan);
        out["plan"] = py::make_tuple(chances_of(*card.plan), texts.chances, texts.remedies);
    }
    return out;
}

/// Many questions of one call, and what their columns point at.
struct Rows {
    std::vector<std::string_view> stage_names, match_names;
    std::array<double, slot_count> ones{};
    ExpectBatch batch;

    Rows(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
         const Codes& stage, const std::vector<std::string>& matches, const Codes& match, const py::tuple& numbers)
        : stage_names(stages.begin(), stages.end()),
          match_names(matches.begin(), matches.end()),
          batch(call.with(system)) {
        batch.stage = {stage_names, stage.data(), step_of(stage, rows)};
        batch.match = {match_names, match.data(), step_of(match, rows)};
        point_at(batch.numbers, numbers, ones, rows);
        // A column of nothing at all is none: it is not looked at row by row.
        if (Column& speed = batch[Slot::speed]; speed.step == 0 && std::isnan(speed.data[0])) speed.data = nullptr;
    }
    Rows(const Rows&) = delete;
};

py::dict expect_many(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
                     const Codes& stage, const std::vector<std::string>& matches, const Codes& match,
                     const py::tuple& numbers, const std::vector<std::string>& columns_told, const py::dict& given,
                     bool notes, std::size_t threads) {
    Rows asked(system, call, rows, stages, stage, matches, match, numbers);
    ExpectBatch& batch = asked.batch;
    Columns columns(
        rows, sizeof(double) * std::size(told_of<ExpectedValues>) + sizeof(Reason) + sizeof(Notes) + sizeof(Footing));
    ExpectColumns out;
    out.numbers = columns.add_told<ExpectedValues>(batch.values.mode, call.units, columns_told, given);
    out.reason = columns.add<Reason>("reasons");
    static_assert(sizeof(Footing) == sizeof(std::uint8_t));
    out.footing = reinterpret_cast<Footing*>(columns.add<std::uint8_t>("footing"));
    if (notes) out.notes = reinterpret_cast<Notes*>(columns.add<PackedNotes>("notes"));
    in_parts(static_cast<std::size_t>(rows), rows_at_once * std::max<std::size_t>(threads, 1),
             [&](std::size_t begin, std::size_t end) {
                 const auto work = [&](std::size_t, std::size_t first, std::size_t last) noexcept {
                     offnominal::detail::look_up_rows(system, batch, begin + first, begin + last, out);
                 };
                 detail::run_on_threads(end - begin, threads, 4096, offnominal::detail::RangeTask(work));
             });
    return columns.arrays();
}

/// Where along one number something told has a value: places (a row each, NaN past the last), the nearest, what is
/// reached there, and why there is nothing. `equals` is a column, or a function of an array of places.
py::tuple solve_many(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
                     const Codes& stage, const std::vector<std::string>& matches, const Codes& match,
                     const py::tuple& numbers, const std::string& vary, double low, double high, const std::string& of,
                     const std::string& over, const py::object& equals, std::size_t threads) {
    Rows asked(system, call, rows, stages, stage, matches, match, numbers);
    SolveBatch batch;
    batch.asked = asked.batch;
    batch.rows = static_cast<std::size_t>(rows);
    for (const Asked<Slot>& line : asked_of_expect)
        if (line.name == vary) batch.vary = line.slot;
    batch.low = low;
    batch.high = high;
    const auto number = [](const std::string& name) {
        std::size_t k = 0;
        while (k < std::size(told_of<ExpectedValues>) && told_of<ExpectedValues>[k].name != name) ++k;
        return k;
    };
    batch.of = number(of);
    batch.over = number(over);
    const auto unit = [&](std::size_t k) {
        return k < std::size(told_of<ExpectedValues>) ? unit_of(told_of<ExpectedValues>[k].kind, call.units) : Unit{};
    };
    batch.of_unit = unit(batch.of);
    batch.over_unit = unit(batch.over);

    const auto count = static_cast<std::size_t>(rows);
    py::array_t<double> best(rows), reached(rows), off(rows);
    py::array_t<std::int32_t> why(rows);
    std::vector<Solved> parts;
    std::size_t most = 0;
    double *const best_at = best.mutable_data(), *const reached_at = reached.mutable_data(),
                  *const off_at = off.mutable_data();
    std::int32_t* const why_at = why.mutable_data();
    const auto answer = [&](std::size_t first, std::size_t last) {
        SolveBatch part = batch;
        part.first = first;
        part.rows = last - first;
        const Solved& solved = parts.emplace_back(offnominal::solve(system, part, threads));
        std::copy(solved.best.begin(), solved.best.end(), best_at + first);
        std::copy(solved.reached.begin(), solved.reached.end(), reached_at + first);
        std::copy(solved.off.begin(), solved.off.end(), off_at + first);
        for (std::size_t i = 0; i < part.rows; ++i) {
            why_at[first + i] = static_cast<std::int32_t>(solved.reason[i].why);
            most = std::max(most, solved.of(i).size());
        }
    };
    if (PyCallable_Check(equals.ptr()) != 0) {
        batch.context = equals.ptr();
        batch.line = [](void* context, std::span<const double> places, double* out) {
            const auto line = py::reinterpret_borrow<py::function>(static_cast<PyObject*>(context));
            const auto size = static_cast<py::ssize_t>(places.size());
            const py::array_t<double, py::array::forcecast> due(line(py::array_t<double>(size, places.data())));
            if (due.size() != 1 && due.size() != size)
                throw py::value_error("equals: a function of an array of places gives one number for each");
            const double* const from = due.data();
            for (std::size_t i = 0; i < places.size(); ++i) out[i] = from[due.size() == 1 ? 0 : i];
            hear_interrupts();
        };
        answer(0, count);  // one question, or many: the interpreter is needed throughout
    } else {
        const py::array_t<double, py::array::forcecast> column(equals);  // throws what Python makes of no numbers
        batch.equals = {column.data(), step_of(column, rows), batch.of_unit};
        constexpr std::size_t at_once = std::size_t{1} << 13;  // a fraction of a second
        in_parts(count, at_once * std::max<std::size_t>(threads, 1), answer);
    }
    py::array_t<double> places({count, most});
    double* row = places.mutable_data();
    for (const Solved& part : parts)
        for (std::size_t i = 0; i < part.best.size(); ++i, row += most)
            std::fill(std::copy(part.of(i).begin(), part.of(i).end(), row), row + most, nan);
    return py::make_tuple(places, best, reached, off, why);
}

/// What single answers say besides their numbers, of many: parts of the uncertainty, extra columns of the pages, and
/// what stands after each step of a ledger; NaN where a row has none.
py::dict expect_parts(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
                      const Codes& stage, const std::vector<std::string>& matches, const Codes& match,
                      const py::tuple& numbers) {
    Rows asked(system, call, rows, stages, stage, matches, match, numbers);
    ExpectBatch& batch = asked.batch;

    using Numbers = std::vector<double>;
    const auto count = static_cast<std::size_t>(rows);
    const auto of_row = [count](auto& parts, const auto& key, std::size_t row) -> double& {
        Numbers& column = parts[key];
        if (column.empty()) column.assign(count, std::nan(""));
        return column[row];
    };
    std::map<std::size_t, Numbers> uncertainty;
    std::map<std::pair<Step::Kind, Step::Of>, Numbers> ledger;
    std::map<std::pair<std::string, std::string>, Numbers> extra;
    {
        const py::gil_scoped_release release;
        for (std::size_t row = 0; row < count; ++row) {
            const auto answer = offnominal::detail::look_up(system, batch.site(row), batch.conditions(row));
            if (!answer) continue;
            const Expected& e = *answer;
            for (std::size_t k = 0; k < std::size(told_of<ExpectedUncertainty>); ++k)
                if (const auto& part = told_of<ExpectedUncertainty>[k]; applies(part.modes, e.mode))
                    of_row(uncertainty, k, row) = unit_of(part.kind, call.units).from_si(part.of(e.uncertainty));
            for (const Step& step : e.ledger)
                of_row(ledger, std::pair(step.kind, step.of), row) =
                    unit_of(row_of(step.of)->kind, call.units).from_si(step.after);
            if (e.mode == Mode::heating) continue;
            for (const Extra& one : extras(system, e))
                if (one.value)
                    of_row(extra, std::pair(std::string(one.name), std::string(one.unit.name)), row) =
                        one.unit.from_si(*one.value);
        }
    }
    const auto array_of = [rows](const Numbers& column) { return py::array_t<double>(rows, column.data()); };
    py::dict parts, steps, more, out;
    for (const auto& [k, column] : uncertainty)
        parts[py::str(std::string(told_of<ExpectedUncertainty>[k].name))] = array_of(column);
    for (const auto& [key, column] : ledger)
        steps[py::make_tuple(std::string(name(key.first)), std::string(name(key.second)))] = array_of(column);
    for (const auto& [key, column] : extra) {
        py::dict entry;
        entry["value"] = array_of(column);
        entry["unit"] = key.second;
        more[py::str(key.first)] = entry;
    }
    out["uncertainty_parts"] = parts;
    out["ledger"] = steps;
    out["extras"] = more;
    return out;
}

py::dict extras_of(const OneExpected& self) {
    py::dict out;
    if (self.e.mode == Mode::heating) return out;
    for (const Extra& extra : extras(self.of(), self.e)) {
        py::dict entry;
        entry["value"] = extra.value ? py::object(py::float_(extra.unit.from_si(*extra.value))) : py::none();
        entry["unit"] = std::string(extra.unit.name);
        entry["reason"] = std::string(name(extra.value.reason().why));
        out[py::str(std::string(extra.name))] = entry;
    }
    return out;
}

py::list ledger_of(const OneExpected& self) {
    py::list out;
    for (const Step& step : self.e.ledger) {
        const Unit& unit = unit_of(row_of(step.of)->kind, self.units);
        py::dict entry;
        entry["step"] = std::string(name(step.kind));
        entry["of"] = std::string(name(step.of));
        entry["factor"] = step.factor;
        entry["before"] = unit.from_si(step.before);
        entry["after"] = unit.from_si(step.after);
        out.append(entry);
    }
    return out;
}

py::dict uncertainty_parts_of(const OneExpected& self) {
    py::dict out;
    for (const auto& part : told_of<ExpectedUncertainty>)
        if (applies(part.modes, self.e.mode))
            out[py::str(std::string(part.name))] = unit_of(part.kind, self.units).from_si(part.of(self.e.uncertainty));
    return out;
}

std::string repr_of_expected(const OneExpected& x) {
    const Unit& unit = unit_of(Kind::capacity, x.units);
    const auto capacity = [&](const std::optional<Power>& p) {
        return p ? brief(unit.from_si(p->si)) : std::string("none");
    };
    std::string out = "<Expected at " + std::string(name(x.e.boundary)) + ": ";
    if (x.e.mode == Mode::heating)
        out += std::string(name(x.e.frost)) + " heating " + capacity(x.e.total_capacity);
    else
        out += "total " + capacity(x.e.total_capacity) + ", sensible " + capacity(x.e.sensible_capacity);
    return out + " " + std::string(unit.name) + ", " + describe(x.e.footing) + ">";
}

}  // namespace
}  // namespace binding

void bind_expect(pybind11::module_& m) {
    using namespace binding;
    py::class_<OneExpected> expected(m, "Expected");
    py::class_<Call> call(m, "Call");

    call.def(py::init(&make_call), py::arg("units"), py::arg("mode"), py::arg("humidity"), py::arg("airflow"),
             py::arg("line_set"), py::arg("fittings"), py::arg("boundary"), py::arg("outside"), py::arg("frost"),
             py::arg("infer"), py::arg("airflow_effect"), py::arg("hold_outdoor"), py::arg("hold_line"),
             py::arg("extend_wet_bulb"));
    bind_call(call);

    m.def("expect_one", [](const py::object& s, const py::object& c, const std::string& stage, const std::string& match,
                           double odb, double edb, double humidity, double airflow, double elevation, double pressure,
                           double fan_power, double length, double suction, double lift, double liquid, double speed,
                           double outdoor_humidity, double auxiliary_heat) {
        return expect_one(s, c, stage, match,
                          {odb, edb, humidity, airflow, elevation, pressure, fan_power, length, suction, lift, liquid,
                           speed, outdoor_humidity, auxiliary_heat});
    });
    m.def("expect_many", &expect_many);
    m.def("expect_parts", &expect_parts);
    m.def("solve_many", &solve_many);
    m.def("missing", &missing_of);
    m.def("target_card", &target_card_of);
    m.attr("told_of_expected") = lines_of(told_of<ExpectedValues>);
    m.attr("asked_of_expect") = lines_of(asked_of_expect);

    bind_told<ExpectedValues>(
        expected, [](const OneExpected& x) { return std::pair<const ExpectedValues&, UnitSystem>(x.e, x.units); });
    expected.doc() = "What a system should deliver under one set of conditions, in the units it was asked in.";
    expected.def_property_readonly("mode", [](const OneExpected& x) { return std::string(name(x.e.mode)); })
        .def_property_readonly("units", [](const OneExpected& x) { return std::string(name(x.units)); })
        .def_property_readonly("boundary", [](const OneExpected& x) { return std::string(name(x.e.boundary)); })
        .def_property_readonly("power_basis", [](const OneExpected& x) { return std::string(name(x.e.power_basis)); })
        .def_property_readonly("frost",
                               [](const OneExpected& x) {
                                   return x.e.mode == Mode::heating ? py::object(py::str(std::string(name(x.e.frost))))
                                                                    : py::object(py::none());
                               })
        .def_property_readonly("uncertainty_parts", &uncertainty_parts_of)
        .def_property_readonly("footing", [](const OneExpected& x) { return describe(x.e.footing); })
        .def_property_readonly("notes", [](const OneExpected& x) { return notes_list(x.e.notes); })
        .def_property_readonly("ledger", &ledger_of)
        .def_property_readonly("extras", &extras_of)
        .def_property_readonly("system", [](const OneExpected& x) { return x.system; })
        .def_property_readonly("_origin", &origin_of<OneExpected>)
        .def("explain", [](const OneExpected& x) { return explain(x.of(), x.e, x.units); })
        .def("report", [](const OneExpected& x) { return report(x.of(), x.e, x.units); })
        .def("__repr__", &repr_of_expected);
}
