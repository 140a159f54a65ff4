// What a system should deliver in heating: one question at a time, or rows of them with the GIL released.
#include "offnominal/expect/heating.hpp"

#include <vector>

#include "common.hpp"
#include "offnominal/report.hpp"

namespace binding {
namespace {

/// Units and meanings that the questions of one call share.
struct HeatingCall {
    const CallerUnits* units = nullptr;
    air::Humidity::Kind humidity = air::Humidity::Kind::relative_humidity;
    AirflowReading airflow;
    bool by_pressure = false;
    Boundary boundary = Boundary::not_given;
    Outside outside = Outside::refuse;
    Frost frost = Frost::unknown;

    HeatingCall(const std::string& caller, const std::string& humidity_word, const std::string& airflow_word,
                const std::string& site, const std::string& boundary_word, const std::string& outside_word,
                const std::string& frost_word)
        : units(&CallerUnits::of(caller)),
          humidity(humidity_kind(humidity_word)),
          airflow(airflow_meaning(airflow_word)),
          by_pressure(choose<bool>("site", site, {{"elevation", false}, {"pressure", true}})),
          boundary(boundary_named(boundary_word)),
          outside(outside_named(outside_word)),
          frost(choose<Frost>(
              "frost", frost_word,
              {{"", Frost::unknown}, {"instantaneous", Frost::instantaneous}, {"integrated", Frost::integrated}})) {}
};

/// The numbers of one question, in the order Python gives them.
enum Input {
    outdoor_dry_bulb,
    entering_dry_bulb,
    entering_humidity,
    airflow,
    place,
    fan_power,
    auxiliary_heat,
    outdoor_humidity,
    inputs
};
using Row = std::array<double, inputs>;

HeatingConditions conditions_of(const HeatingCall& call, std::string_view stage, std::string_view match, const Row& x) {
    const CallerUnits& u = *call.units;
    HeatingConditions c;
    c.stage = stage;
    c.match = match;
    c.frost = call.frost;
    c.outdoor_dry_bulb.si = u.temperature.to_si(x[outdoor_dry_bulb]);
    c.outdoor_relative_humidity = x[outdoor_humidity];
    c.entering_dry_bulb.si = u.temperature.to_si(x[entering_dry_bulb]);
    c.entering_humidity = {call.humidity, humidity_unit(call.humidity, u).to_si(x[entering_humidity]), {}};
    c.airflow = call.airflow;
    c.airflow.si = (c.airflow.kind == AirflowReading::Kind::dry_mass ? u.mass_flow : u.airflow).to_si(x[airflow]);
    c.boundary = call.boundary;
    c.fan_power.si = x[fan_power];
    c.auxiliary_heat.si = x[auxiliary_heat];
    c.outside = call.outside;
    return c;
}
Site site_of(const HeatingCall& call, const Row& x) {
    if (call.by_pressure) return Site::at_pressure({call.units->pressure.to_si(x[place])});
    return Site::at_elevation({call.units->length.to_si(x[place])});
}

/// One expected heating capacity with the units it is asked in.
struct OneHeating {
    System system;
    ExpectedHeating e;
    const CallerUnits* units;
};

OneHeating expect_one(const System& system, const HeatingCall& call, std::string_view stage, std::string_view match,
                      const Row& numbers) {
    const HeatingConditions c = conditions_of(call, stage, match, numbers);
    const auto answer = try_expect_heating(system, site_of(call, numbers), c);
    const UnitSystem in = call.units->system;
    if (!answer) raise_refused(answer.reason(), explain(answer.reason(), system, c, in), in);
    return {system, *answer, call.units};
}

/// The numbers of an answer that a batch tells, with their units; NaN where a part is missing.
struct Told {
    const char* name;
    Unit CallerUnits::*unit;  ///< null: the SI unit
    double (*si)(const ExpectedHeating&);
};
double power_or_nan(const std::optional<Power>& power) { return power ? power->si : nan; }
const Told told[] = {
    {"capacity", &CallerUnits::capacity, [](const ExpectedHeating& e) { return e.capacity.si; }},
    {"gross_capacity", &CallerUnits::capacity, [](const ExpectedHeating& e) { return e.gross_capacity.si; }},
    {"power", nullptr, [](const ExpectedHeating& e) { return power_or_nan(e.power); }},
    {"system_power", nullptr, [](const ExpectedHeating& e) { return power_or_nan(e.system_power); }},
    {"cop", nullptr, [](const ExpectedHeating& e) { return e.cop ? *e.cop : nan; }},
    {"leaving_dry_bulb", &CallerUnits::temperature,
     [](const ExpectedHeating& e) { return e.leaving ? e.leaving->dry_bulb.si : nan; }},
    {"leaving_wet_bulb", &CallerUnits::temperature,
     [](const ExpectedHeating& e) { return e.leaving ? e.leaving->wet_bulb.si : nan; }},
    {"leaving_relative_humidity", nullptr,
     [](const ExpectedHeating& e) { return e.leaving ? e.leaving->relative_humidity : nan; }},
    {"rise", &CallerUnits::difference, [](const ExpectedHeating& e) { return e.leaving ? e.rise().si : nan; }},
    {"uncertainty", &CallerUnits::capacity, [](const ExpectedHeating& e) { return e.uncertainty.combined(); }},
    {"standard_airflow", &CallerUnits::airflow, [](const ExpectedHeating& e) { return e.standard_airflow.si; }},
    {"mass_flow", &CallerUnits::mass_flow, [](const ExpectedHeating& e) { return e.mass_flow.si; }},
};
double in_unit(const Told& what, const ExpectedHeating& e, const CallerUnits& units) {
    const double si = what.si(e);
    return what.unit == nullptr ? si : (units.*what.unit).from_si(si);
}

py::dict expect_many(const System& system, const HeatingCall& call, py::ssize_t rows,
                     const std::vector<std::string>& stages, const Codes& stage,
                     const std::vector<std::string>& matches, const Codes& match,
                     const std::array<Numbers, inputs>& numbers) {
    py::dict result;
    const auto column = [&]<class T>(const char* name, T*) {
        py::array_t<T> array(rows);
        result[name] = array;
        return array.mutable_data();
    };
    std::vector<double*> out;
    for (const Told& what : told) out.push_back(column(what.name, static_cast<double*>(nullptr)));
    auto* footing = column("footing", static_cast<std::uint8_t*>(nullptr));
    auto* why = column("why", static_cast<std::uint8_t*>(nullptr));
    auto* about = column("about", static_cast<std::uint8_t*>(nullptr));
    auto* notes = column("notes", static_cast<std::uint64_t*>(nullptr));
    std::array<const double*, inputs> in;
    std::array<py::ssize_t, inputs> step;
    for (std::size_t k = 0; k < inputs; ++k) {
        in[k] = numbers[k].data();
        step[k] = step_of(numbers[k], rows);
    }
    const std::int32_t *stage_code = stage.data(), *match_code = match.data();
    const py::ssize_t stage_step = step_of(stage, rows), match_step = step_of(match, rows);

    const py::gil_scoped_release release;
    for (py::ssize_t row = 0; row < rows; ++row) {
        Row x;
        for (std::size_t k = 0; k < inputs; ++k) x[k] = in[k][row * step[k]];
        const auto& its_stage = stages[static_cast<std::size_t>(stage_code[row * stage_step])];
        const auto& its_match = matches[static_cast<std::size_t>(match_code[row * match_step])];
        const auto e = try_expect_heating(system, site_of(call, x), conditions_of(call, its_stage, its_match, x));
        for (std::size_t k = 0; k < out.size(); ++k) out[k][row] = e ? in_unit(told[k], *e, *call.units) : nan;
        why[row] = static_cast<std::uint8_t>(e.reason().why);
        about[row] = static_cast<std::uint8_t>(e.reason().about);
        footing[row] = static_cast<std::uint8_t>(e ? e->footing : Footing::inside);
        notes[row] = e ? e->notes.bits() : 0;
    }
    return result;
}

py::list ledger_of(const OneHeating& self) {
    py::list out;
    for (const Step& step : self.e.ledger.steps()) {
        const bool is_power = step.of == Step::Of::power;
        const Unit& unit = is_power ? units::W : self.units->capacity;
        py::dict entry;
        entry["step"] = std::string(name(step.kind));
        entry["of"] = is_power ? "power" : "capacity";
        entry["factor"] = step.factor;
        entry["before"] = unit.from_si(step.before);
        entry["after"] = unit.from_si(step.after);
        out.append(entry);
    }
    return out;
}

py::dict stages_of(const System& system) {
    py::dict out;
    for (const std::string& stage : system.heating_stage_names()) {
        py::list kinds;
        for (const HeatingStage& page : system.parts().heating)
            if (page.name == stage) kinds.append(std::string(name(page.frost)));
        out[py::str(stage)] = kinds;
    }
    return out;
}

}  // namespace
}  // namespace binding

void bind_heating(pybind11::module_& m) {
    using namespace binding;
    py::class_<OneHeating> expected(m, "ExpectedHeating");
    py::class_<HeatingCall> call(m, "HeatingCall");
    call.def(py::init<const std::string&, const std::string&, const std::string&, const std::string&,
                      const std::string&, const std::string&, const std::string&>(),
             py::arg("units"), py::arg("humidity"), py::arg("airflow"), py::arg("site"), py::arg("boundary"),
             py::arg("outside"), py::arg("frost"));

    m.def("heating_stages", &stages_of);
    m.def("expect_heating_one",
          [](const System& s, const HeatingCall& c, std::string_view stage, std::string_view match, double odb,
             double edb, double humidity, double flow, double where, double fan, double auxiliary, double rh) {
              return expect_one(s, c, stage, match, {odb, edb, humidity, flow, where, fan, auxiliary, rh});
          });
    m.def("expect_heating_many", &expect_many);

    for (const Told& what : told)
        expected.def_property_readonly(what.name, [&what](const OneHeating& x) {
            const double value = in_unit(what, x.e, *x.units);
            return std::isnan(value) ? py::object(py::none()) : py::object(py::float_(value));
        });
    expected.def_property_readonly("frost", [](const OneHeating& x) { return std::string(name(x.e.frost)); })
        .def_property_readonly("boundary", [](const OneHeating& x) { return std::string(name(x.e.boundary)); })
        .def_property_readonly("power_basis", [](const OneHeating& x) { return std::string(name(x.e.power_basis)); })
        .def_property_readonly("auxiliary_heat", [](const OneHeating& x) { return x.e.auxiliary_heat.si; })
        .def_property_readonly("defrost_time_fraction", [](const OneHeating& x) { return x.e.defrost_time_fraction; })
        .def_property_readonly("uncertainty_parts",
                               [](const OneHeating& x) {
                                   const ExpectedUncertainty& u = x.e.uncertainty;
                                   const Unit& unit = x.units->capacity;
                                   py::dict out;
                                   out["resolution"] = unit.from_si(u.resolution);
                                   out["interpolation"] = unit.from_si(u.interpolation);
                                   out["outside"] = unit.from_si(u.outside);
                                   out["match"] = unit.from_si(u.match);
                                   out["altitude"] = unit.from_si(u.altitude);
                                   out["tolerance"] = unit.from_si(u.tolerance);
                                   return out;
                               })
        .def_property_readonly("footing", [](const OneHeating& x) { return describe(x.e.footing); })
        .def_property_readonly("notes", [](const OneHeating& x) { return notes_list(x.e.notes); })
        .def_property_readonly("ledger", &ledger_of)
        .def("explain", [](const OneHeating& x) { return explain(x.system, x.e, x.units->system); })
        .def("report", [](const OneHeating& x) { return report(x.system, x.e, x.units->system); })
        .def("__repr__", [](const OneHeating& x) {
            const Unit& unit = x.units->capacity;
            return "<ExpectedHeating at " + std::string(name(x.e.boundary)) + ": " +
                   brief(unit.from_si(x.e.capacity.si)) + " " + std::string(unit.name) + ", " +
                   std::string(name(x.e.frost)) + ", " + describe(x.e.footing) + ">";
        });
    expected.doc() =
        "What a system should deliver in heating under one set of conditions, in the units it was asked in.";
}
