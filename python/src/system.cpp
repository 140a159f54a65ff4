// A system, and what it should deliver: one question at a time, or columns of them with the GIL released.
#include <vector>

#include "common.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/expect/extras.hpp"
#include "offnominal/expect/heating.hpp"
#include "offnominal/files.hpp"
#include "offnominal/report.hpp"

namespace binding {
namespace {

/// What the questions of one call have in common: a batch without its columns, and the units of the answers.
struct Call {
    const CallerUnits* units = nullptr;
    ExpectBatch batch;
};

Call make_call(const std::string& units, const std::string& humidity, const std::string& airflow,
               const std::string& place_of_air, const std::string& line, const std::string& boundary,
               const std::string& outside, bool infer) {
    Call call;
    call.units = &CallerUnits::of(units);
    const CallerUnits& u = *call.units;
    ExpectBatch& batch = call.batch;
    batch.humidity_kind = humidity_kind(humidity);
    const AirflowReading flow = airflow_meaning(airflow);
    batch.airflow_kind = flow.kind;
    batch.airflow_place = flow.place;
    batch.by_pressure = choose<bool>("site", place_of_air, {{"elevation", false}, {"pressure", true}});
    using Line = ExpectBatch::Line;
    batch.line =
        choose<Line>("line_set", line, {{"", Line::not_given}, {"reference", Line::reference}, {"given", Line::given}});
    batch.boundary = boundary_named(boundary);
    batch.outside = outside_named(outside);
    batch.infer = infer;

    batch.outdoor_dry_bulb.unit = batch.entering_dry_bulb.unit = u.temperature;
    batch.humidity.unit = humidity_unit(batch.humidity_kind, u);
    batch.airflow.unit = flow.kind == AirflowReading::Kind::dry_mass ? u.mass_flow : u.airflow;
    batch.place.unit = batch.by_pressure ? u.pressure : u.length;
    batch.fan_power.unit = units::W;
    batch.line_length.unit = batch.line_lift.unit = u.length;
    batch.line_suction.unit = u.tubing;
    return call;
}

/// The columns of numbers, in the order Python gives them.
constexpr std::size_t number_columns = 10;
std::array<Column*, number_columns> columns_of(ExpectBatch& batch) {
    return {&batch.outdoor_dry_bulb, &batch.entering_dry_bulb, &batch.humidity,     &batch.airflow,   &batch.place,
            &batch.fan_power,        &batch.line_length,       &batch.line_suction, &batch.line_lift, &batch.speed};
}

py::object number_or_none(const std::optional<Power>& power, const Unit& unit) {
    return power ? py::object(py::float_(unit.from_si(power->si))) : py::object(py::none());
}

OneExpected expect_one(const System& system, const Call& call, std::string_view stage, std::string_view match,
                       const std::array<double, number_columns>& numbers) {
    ExpectBatch batch = call.batch;
    batch.speed.unit = system.parts().speed_unit;
    const std::int32_t only = 0;
    batch.stage = {{&stage, 1}, &only, 0};
    batch.match = {{&match, 1}, &only, 0};
    const auto columns = columns_of(batch);
    for (std::size_t k = 0; k < columns.size(); ++k) columns[k]->data = &numbers[k];
    const Conditions c = batch.conditions(0);
    const auto answer = try_expect(system, batch.site(0), c);
    const UnitSystem in = call.units->system;
    if (!answer) raise_refused(answer.reason(), explain(answer.reason(), system, c, in), in);
    return {system, *answer, call.units};
}

py::dict expect_many(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
                     const Codes& stage, const std::vector<std::string>& matches, const Codes& match,
                     const std::array<Numbers, number_columns>& numbers) {
    ExpectBatch batch = call.batch;
    batch.speed.unit = system.parts().speed_unit;
    const std::vector<std::string_view> stage_names(stages.begin(), stages.end());
    const std::vector<std::string_view> match_names(matches.begin(), matches.end());
    batch.stage = {stage_names, stage.data(), step_of(stage, rows)};
    batch.match = {match_names, match.data(), step_of(match, rows)};
    const auto in = columns_of(batch);
    for (std::size_t k = 0; k < in.size(); ++k) {
        in[k]->data = numbers[k].data();
        in[k]->step = step_of(numbers[k], rows);
    }

    const CallerUnits& u = *call.units;
    py::dict result;
    const auto column = [&]<class T>(const char* name, T*) {
        py::array_t<T> array(rows);
        result[name] = array;
        return array.mutable_data();
    };
    const auto numbers_out = [&](const char* name, const Unit& unit) {
        return OutColumn{column(name, static_cast<double*>(nullptr)), unit};
    };
    ExpectColumns out;
    out.total_capacity = numbers_out("total_capacity", u.capacity);
    out.sensible_capacity = numbers_out("sensible_capacity", u.capacity);
    out.latent_capacity = numbers_out("latent_capacity", u.capacity);
    out.power = numbers_out("power", units::W);
    out.system_power = numbers_out("system_power", units::W);
    out.leaving_dry_bulb = numbers_out("leaving_dry_bulb", u.temperature);
    out.leaving_wet_bulb = numbers_out("leaving_wet_bulb", u.temperature);
    out.leaving_relative_humidity = numbers_out("leaving_relative_humidity", units::one);
    out.split = numbers_out("split", u.difference);
    out.uncertainty = numbers_out("uncertainty", u.capacity);
    out.standard_airflow = numbers_out("standard_airflow", u.airflow);
    out.mass_flow = numbers_out("mass_flow", u.mass_flow);
    out.bypass = numbers_out("bypass", units::one);
    auto* footing = column("footing", static_cast<std::uint8_t*>(nullptr));
    auto* why = column("why", static_cast<std::uint8_t*>(nullptr));
    auto* about = column("about", static_cast<std::uint8_t*>(nullptr));
    auto* notes = column("notes", static_cast<std::uint64_t*>(nullptr));
    {
        const py::gil_scoped_release release;
        const auto count = static_cast<std::size_t>(rows);
        std::vector<Reason> reasons(count);
        std::vector<Footing> footings(count);
        std::vector<Notes> all_notes(count);
        out.reason = reasons.data();
        out.footing = footings.data();
        out.notes = all_notes.data();
        expect_rows(system, batch, 0, count, out, air::fastest_columns(), fastest_kernels());
        for (std::size_t i = 0; i < count; ++i) {
            why[i] = static_cast<std::uint8_t>(reasons[i].why);
            about[i] = static_cast<std::uint8_t>(reasons[i].about);
            footing[i] = static_cast<std::uint8_t>(footings[i]);
            notes[i] = all_notes[i].bits();
        }
    }
    return result;
}

py::list envelope_of(const System& system, const std::string& units) {
    const CallerUnits& u = CallerUnits::of(units);
    py::list out;
    for (const Envelope& page : system.envelope()) {
        py::dict axes;
        for (const Envelope::Range& axis : page.axes) {
            const Unit& unit = axis.dimension == Dimension::airflow    ? u.airflow
                               : axis.dimension == Dimension::pressure ? u.pressure
                               : axis.dimension == Dimension::ratio    ? offnominal::units::one
                                                                       : u.temperature;
            py::list breakpoints;
            for (const double x : axis.breakpoints) breakpoints.append(unit.from_si(x));
            std::string name = axis.name;
            std::replace(name.begin(), name.end(), ' ', '_');
            axes[py::str(name)] = breakpoints;
        }
        py::dict entry;
        entry["mode"] = page.heating ? "heating" : "cooling";
        entry["frost"] = page.heating ? std::string(name(page.frost)) : std::string();
        entry["stage"] = page.stage;
        entry["match"] = page.match;
        entry["axes"] = axes;
        entry["nodes"] = page.nodes;
        entry["blanks"] = page.blanks;
        out.append(entry);
    }
    return out;
}

py::dict extras_of(const OneExpected& self) {
    py::dict out;
    for (const Extra& extra : extras(self.system, self.e)) {
        py::dict entry;
        entry["value"] = extra.value ? py::object(py::float_(extra.unit.from_si(*extra.value))) : py::none();
        entry["unit"] = std::string(extra.unit.name);
        entry["reason"] = std::string(name(extra.value.reason().why));
        out[py::str(std::string(extra.name))] = entry;
    }
    return out;
}

py::list ledger_of(const OneExpected& self) {
    static constexpr std::array of_names{"total", "sensible", "power"};
    py::list out;
    for (const Step& step : self.e.ledger.steps()) {
        const Unit& unit = step.of == Step::Of::power ? units::W : self.units->capacity;
        py::dict entry;
        entry["step"] = std::string(name(step.kind));
        entry["of"] = of_names[static_cast<std::size_t>(step.of)];
        entry["factor"] = step.factor;
        entry["before"] = unit.from_si(step.before);
        entry["after"] = unit.from_si(step.after);
        out.append(entry);
    }
    return out;
}

}  // namespace
}  // namespace binding

void bind_system(pybind11::module_& m) {
    using namespace binding;
    py::class_<System> system(m, "System");
    py::class_<OneExpected> expected(m, "Expected");
    py::class_<Call> call(m, "Call");

    call.def(py::init(&make_call), py::arg("units"), py::arg("humidity"), py::arg("airflow"), py::arg("site"),
             py::arg("line_set"), py::arg("boundary"), py::arg("outside"), py::arg("infer"));

    system.def_property_readonly("name", &System::name)
        .def_property_readonly("nominal", [](const System& s) { return s.parts().nominal; })
        .def_property_readonly("refrigerant", [](const System& s) { return s.parts().refrigerant; })
        .def_property_readonly("source",
                               [](const System& s) {
                                   py::dict out;
                                   out["document"] = s.parts().source.document;
                                   out["revision"] = s.parts().source.revision;
                                   out["page"] = s.parts().source.page;
                                   out["transcriber"] = s.parts().source.transcriber;
                                   out["checker"] = s.parts().source.checker;
                                   return out;
                               })
        .def_property_readonly("stages", &System::stage_names)
        .def_property_readonly("matches", &System::match_names)
        .def_property_readonly("speed_unit", [](const System& s) { return std::string(s.parts().speed_unit.name); })
        .def_property_readonly("speeds",
                               [](const System& s) {
                                   py::dict out;
                                   for (const Stage& stage : s.parts().cooling)
                                       if (stage.speed)
                                           out[py::str(stage.name)] = s.parts().speed_unit.from_si(*stage.speed);
                                   return out;
                               })
        .def("envelope", &envelope_of, py::arg("units"))
        .def("expect_one",
             [](const System& s, const Call& c, std::string_view stage, std::string_view match, double odb, double edb,
                double humidity, double airflow, double place, double fan_power, double length, double suction,
                double lift, double speed) {
                 return expect_one(s, c, stage, match,
                                   {odb, edb, humidity, airflow, place, fan_power, length, suction, lift, speed});
             })
        .def("expect_many", &expect_many);

    const auto quantity = [&expected](const char* name, auto get) { expected.def_property_readonly(name, get); };
    quantity("total_capacity", [](const OneExpected& x) { return x.units->capacity.from_si(x.e.total_capacity.si); });
    quantity("sensible_capacity",
             [](const OneExpected& x) { return number_or_none(x.e.sensible_capacity, x.units->capacity); });
    quantity("latent_capacity",
             [](const OneExpected& x) { return number_or_none(x.e.latent_capacity, x.units->capacity); });
    quantity("gross_total", [](const OneExpected& x) { return x.units->capacity.from_si(x.e.gross_total.si); });
    quantity("power", [](const OneExpected& x) { return number_or_none(x.e.power, units::W); });
    quantity("power_basis", [](const OneExpected& x) { return std::string(name(x.e.power_basis)); });
    quantity("system_power", [](const OneExpected& x) { return number_or_none(x.e.system_power, units::W); });
    quantity("boundary", [](const OneExpected& x) { return std::string(name(x.e.boundary)); });
    quantity("bypass", [](const OneExpected& x) { return x.e.bypass; });
    quantity("mass_flow", [](const OneExpected& x) { return x.units->mass_flow.from_si(x.e.mass_flow.si); });
    quantity("standard_airflow",
             [](const OneExpected& x) { return x.units->airflow.from_si(x.e.standard_airflow.si); });
    quantity("knee", [](const OneExpected& x) {
        return x.e.knee ? py::object(py::float_(x.units->temperature.from_si(x.e.knee->si))) : py::object(py::none());
    });
    const auto leaving = [&expected](const char* name, auto get) {
        expected.def_property_readonly(name, [get](const OneExpected& x) {
            return x.e.leaving ? py::object(py::float_(get(*x.units, *x.e.leaving))) : py::object(py::none());
        });
    };
    leaving("leaving_dry_bulb",
            [](const CallerUnits& u, const LeavingAir& a) { return u.temperature.from_si(a.dry_bulb.si); });
    leaving("leaving_wet_bulb",
            [](const CallerUnits& u, const LeavingAir& a) { return u.temperature.from_si(a.wet_bulb.si); });
    leaving("leaving_relative_humidity", [](const CallerUnits&, const LeavingAir& a) { return a.relative_humidity; });
    leaving("split", [](const CallerUnits& u, const LeavingAir& a) { return u.difference.from_si(a.split.si); });
    quantity("uncertainty", [](const OneExpected& x) { return x.units->capacity.from_si(x.e.uncertainty.combined()); });
    quantity("uncertainty_parts", [](const OneExpected& x) {
        const Unit& unit = x.units->capacity;
        py::dict out;
        out["resolution"] = unit.from_si(x.e.uncertainty.resolution);
        out["interpolation"] = unit.from_si(x.e.uncertainty.interpolation);
        out["outside"] = unit.from_si(x.e.uncertainty.outside);
        out["inferred"] = unit.from_si(x.e.uncertainty.inferred);
        out["match"] = unit.from_si(x.e.uncertainty.match);
        out["altitude"] = unit.from_si(x.e.uncertainty.altitude);
        out["tolerance"] = unit.from_si(x.e.uncertainty.tolerance);
        return out;
    });
    quantity("footing", [](const OneExpected& x) { return describe(x.e.footing); });
    quantity("notes", [](const OneExpected& x) { return notes_list(x.e.notes); });
    quantity("ledger", &ledger_of);
    expected.doc() = "What a system should deliver under one set of conditions, in the units it was asked in.";
    expected.def("__repr__", [](const OneExpected& x) {
        const Unit& unit = x.units->capacity;
        const auto capacity = [&](const std::optional<Power>& p) {
            return p ? brief(unit.from_si(p->si)) : std::string("none");
        };
        return "<Expected at " + std::string(name(x.e.boundary)) + ": total " + capacity(x.e.total_capacity) +
               ", sensible " + capacity(x.e.sensible_capacity) + " " + std::string(unit.name) + ", " +
               describe(x.e.footing) + ">";
    });
    quantity("extras", &extras_of);
    expected.def("explain", [](const OneExpected& x) { return explain(x.system, x.e, x.units->system); })
        .def("report", [](const OneExpected& x) { return report(x.system, x.e, x.units->system); });

    m.def("load_system", &load_system, py::arg("path"));
    m.def(
        "parse_system",
        [](const std::string& text, const std::string& name, const std::string& folder) {
            return parse_system(text, name, folder);
        },
        py::arg("text"), py::arg("name"), py::arg("folder"));
    m.def("describe_notes", [](std::uint64_t bits) {
        Notes notes;
        for (const NoteWords& note : words_of<Note>)
            if ((bits & static_cast<std::uint64_t>(note.value)) != 0) notes.add(note.value);
        return notes_list(notes);
    });
    m.def("describe_footing", [](std::uint8_t bits) { return describe(static_cast<Footing>(bits)); });
    m.attr("why_names") = all_words<Why>();
    m.attr("about_names") = all_words<About>();
}
