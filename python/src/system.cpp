// A system, and what it should deliver: one question at a time, or columns of them with the GIL released.
#include <vector>

#include "common.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof/report.hpp"

namespace binding {
namespace {

/// One question in the caller's units, as numbers and codes.
struct Row {
    std::string_view stage, match;
    double outdoor_dry_bulb = nan, entering_dry_bulb = nan, humidity = nan, airflow = nan, place = nan, fan_power = nan;
    double line_length = nan, line_suction = nan, line_lift = nan;
};

/// What the rows of one call have in common.
struct Call {
    const CallerUnits* units = nullptr;
    air::Humidity::Kind humidity = air::Humidity::Kind::wet_bulb;
    AirflowReading::Kind airflow = AirflowReading::Kind::not_given;
    air::Place airflow_place = air::Place::return_air;
    bool by_pressure = false;
    enum class Line { not_given, reference, given } line = Line::not_given;
    Boundary boundary = Boundary::not_given;
    Outside outside = Outside::refuse;
    bool infer = false;
};

template <class T, std::size_t N>
T choose(const std::string& what, const std::string& text, const std::pair<const char*, T> (&accepted)[N]) {
    std::string list;
    for (const auto& [word, value] : accepted) {
        if (text == word) return value;
        if (*word == '\0') continue;  // "not given", which nobody types
        list += (list.empty() ? "'" : ", '") + std::string(word) + "'";
    }
    throw py::value_error(what + ": '" + text + "'; accepted: " + list);
}

Call make_call(const std::string& units, const std::string& humidity, const std::string& airflow,
               const std::string& place_of_air, const std::string& line, const std::string& boundary,
               const std::string& outside, bool infer) {
    using Kind = air::Humidity::Kind;
    Call call;
    call.units = &CallerUnits::of(units);
    call.humidity = choose<Kind>("humidity", humidity,
                                 {{"wet_bulb", Kind::wet_bulb},
                                  {"relative_humidity", Kind::relative_humidity},
                                  {"humidity_ratio", Kind::humidity_ratio},
                                  {"dew_point", Kind::dew_point}});
    struct Flow {
        AirflowReading::Kind kind;
        air::Place place;
    };
    const Flow flow = choose<Flow>("airflow", airflow,
                                   {{"", {AirflowReading::Kind::not_given, air::Place::return_air}},
                                    {"standard", {AirflowReading::Kind::standard, air::Place::return_air}},
                                    {"dry_mass", {AirflowReading::Kind::dry_mass, air::Place::return_air}},
                                    {"return", {AirflowReading::Kind::actual, air::Place::return_air}},
                                    {"supply", {AirflowReading::Kind::actual, air::Place::supply_air}},
                                    {"fan", {AirflowReading::Kind::actual, air::Place::fan}}});
    call.airflow = flow.kind;
    call.airflow_place = flow.place;
    call.by_pressure = choose<bool>("site", place_of_air, {{"elevation", false}, {"pressure", true}});
    call.line = choose<Call::Line>(
        "line_set", line,
        {{"", Call::Line::not_given}, {"reference", Call::Line::reference}, {"given", Call::Line::given}});
    call.boundary =
        choose<Boundary>("boundary", boundary,
                         {{"", Boundary::not_given}, {"coil", Boundary::coil}, {"coil+fan", Boundary::coil_and_fan}});
    call.outside = choose<Outside>("outside", outside,
                                   {{"refuse", Outside::refuse}, {"hold", Outside::hold}, {"extend", Outside::extend}});
    call.infer = infer;
    return call;
}

Conditions conditions_of(const Call& call, const Row& row) noexcept {
    const CallerUnits& u = *call.units;
    Conditions c;
    c.stage = row.stage;
    c.match = row.match;
    c.outdoor_dry_bulb.si = u.temperature.to_si(row.outdoor_dry_bulb);
    c.entering_dry_bulb.si = u.temperature.to_si(row.entering_dry_bulb);
    const bool is_temperature =
        call.humidity == air::Humidity::Kind::wet_bulb || call.humidity == air::Humidity::Kind::dew_point;
    c.entering_humidity = {call.humidity, is_temperature ? u.temperature.to_si(row.humidity) : row.humidity, {}};
    const Unit& flow_unit = call.airflow == AirflowReading::Kind::dry_mass ? u.mass_flow : u.airflow;
    c.airflow = {call.airflow, flow_unit.to_si(row.airflow), call.airflow_place};
    if (call.line == Call::Line::reference) c.line_set = LineSet::reference();
    if (call.line == Call::Line::given)
        c.line_set = LineSet::of({u.length.to_si(row.line_length)}, {u.tubing.to_si(row.line_suction)},
                                 {u.length.to_si(row.line_lift)});
    c.boundary = call.boundary;
    c.fan_power.si = row.fan_power;
    c.outside = call.outside;
    c.infer = call.infer;
    return c;
}

Site site_of(const Call& call, double place) noexcept {
    if (call.by_pressure) return Site::at_pressure({call.units->pressure.to_si(place)});
    return Site::at_elevation({call.units->length.to_si(place)});
}

py::object number_or_none(const std::optional<Power>& power, const Unit& unit) {
    return power ? py::object(py::float_(unit.from_si(power->si))) : py::object(py::none());
}

OneExpected expect_one(const System& system, const Call& call, const Row& row) {
    const Conditions c = conditions_of(call, row);
    const auto answer = try_expect(system, site_of(call, row.place), c);
    if (!answer)
        raise_refused(answer.reason(), explain(answer.reason(), system, c, call.units->system), call.units->system);
    return {system, *answer, call.units};
}

using Column = py::array_t<double, py::array::forcecast>;
using Codes = py::array_t<std::int32_t, py::array::forcecast>;

/// A column of one value, or of one per row.
template <class T>
struct View {
    explicit View(const py::array_t<T, py::array::forcecast>& array, py::ssize_t rows, const char* what)
        : data(array.data()), step(array.size() == 1 ? 0 : 1) {
        if (array.ndim() != 1 || (array.size() != 1 && array.size() != rows) ||
            (array.size() > 1 && array.strides(0) != sizeof(T)))
            throw py::value_error(std::string(what) + ": a contiguous column of one value or one per row is wanted");
    }
    T operator[](py::ssize_t i) const noexcept { return data[i * step]; }
    const T* data;
    py::ssize_t step;
};

py::dict expect_many(const System& system, const Call& call, py::ssize_t rows, const std::vector<std::string>& stages,
                     const Codes& stage, const std::vector<std::string>& matches, const Codes& match,
                     const Column& outdoor, const Column& entering, const Column& humidity, const Column& airflow,
                     const Column& place, const Column& fan_power, const Column& length, const Column& suction,
                     const Column& lift) {
    const View<std::int32_t> stage_of(stage, rows, "stage"), match_of(match, rows, "match");
    const View<double> odb(outdoor, rows, "outdoor_dry_bulb"), edb(entering, rows, "entering_dry_bulb"),
        hum(humidity, rows, "humidity"), flow(airflow, rows, "airflow"), at(place, rows, "site"),
        fan(fan_power, rows, "fan_power"), len(length, rows, "line length"), suc(suction, rows, "suction"),
        lif(lift, rows, "lift");

    enum Out {
        total,
        sensible,
        latent,
        power,
        system_power,
        leave_db,
        leave_wb,
        leave_rh,
        split,
        uncertainty,
        standard,
        mass,
        bypass,
        outs
    };
    static constexpr std::array names{
        "total_capacity", "sensible_capacity", "latent_capacity",  "power",
        "system_power",   "leaving_dry_bulb",  "leaving_wet_bulb", "leaving_relative_humidity",
        "split",          "uncertainty",       "standard_airflow", "mass_flow",
        "bypass"};
    static_assert(names.size() == outs);
    std::vector<py::array_t<double>> columns;
    std::array<double*, outs> out{};
    for (std::size_t k = 0; k < outs; ++k) {
        columns.emplace_back(rows);
        out[k] = columns.back().mutable_data();
    }
    py::array_t<std::uint8_t> footing(rows), why(rows), about(rows);
    py::array_t<std::uint32_t> notes(rows);
    auto *footing_data = footing.mutable_data(), *why_data = why.mutable_data(), *about_data = about.mutable_data();
    auto* notes_data = notes.mutable_data();
    {
        py::gil_scoped_release release;
        const CallerUnits& u = *call.units;
        for (py::ssize_t i = 0; i < rows; ++i) {
            const Row row{stages[static_cast<std::size_t>(stage_of[i])],
                          matches[static_cast<std::size_t>(match_of[i])],
                          odb[i],
                          edb[i],
                          hum[i],
                          flow[i],
                          at[i],
                          fan[i],
                          len[i],
                          suc[i],
                          lif[i]};
            const auto answer = try_expect(system, site_of(call, row.place), conditions_of(call, row));
            const Expected& e = *answer;
            const bool ok = static_cast<bool>(answer);
            why_data[i] = static_cast<std::uint8_t>(answer.reason().why);
            about_data[i] = static_cast<std::uint8_t>(answer.reason().about);
            footing_data[i] = static_cast<std::uint8_t>(e.footing);
            notes_data[i] = e.notes.bits();
            const auto set = [&](Out column, bool has, double value) { out[column][i] = ok && has ? value : nan; };
            const auto of = [](const std::optional<Power>& p) { return p ? p->si : nan; };
            set(total, true, u.capacity.from_si(e.total_capacity.si));
            set(sensible, true, u.capacity.from_si(of(e.sensible_capacity)));
            set(latent, true, u.capacity.from_si(of(e.latent_capacity)));
            set(power, true, of(e.power));
            set(system_power, true, of(e.system_power));
            const LeavingAir leaving = e.leaving.value_or(LeavingAir{});
            const bool leaves = e.leaving.has_value();
            set(leave_db, leaves, u.temperature.from_si(leaving.dry_bulb.si));
            set(leave_wb, leaves, u.temperature.from_si(leaving.wet_bulb.si));
            set(leave_rh, leaves, leaving.relative_humidity);
            set(split, leaves, u.difference.from_si(leaving.split.si));
            set(uncertainty, true, u.capacity.from_si(e.uncertainty.combined()));
            set(standard, true, u.airflow.from_si(e.standard_airflow.si));
            set(mass, true, u.mass_flow.from_si(e.mass_flow.si));
            set(bypass, true, e.bypass);
        }
    }
    py::dict result;
    for (std::size_t k = 0; k < outs; ++k) result[names[k]] = columns[k];
    result["footing"] = footing;
    result["why"] = why;
    result["about"] = about;
    result["notes"] = notes;
    return result;
}

py::list envelope_of(const System& system, const std::string& units) {
    const CallerUnits& u = CallerUnits::of(units);
    py::list out;
    for (const Envelope& page : system.envelope()) {
        py::dict axes;
        for (const Envelope::Range& axis : page.axes) {
            const Unit& unit = axis.dimension == Dimension::airflow ? u.airflow : u.temperature;
            py::list breakpoints;
            for (const double x : axis.breakpoints) breakpoints.append(unit.from_si(x));
            std::string name = axis.name;
            std::replace(name.begin(), name.end(), ' ', '_');
            axes[py::str(name)] = breakpoints;
        }
        py::dict entry;
        entry["stage"] = page.stage;
        entry["match"] = page.match;
        entry["axes"] = axes;
        entry["nodes"] = page.nodes;
        entry["blanks"] = page.blanks;
        out.append(entry);
    }
    return out;
}

py::list ledger_of(const OneExpected& self) {
    static constexpr std::array of_names{"total", "sensible", "power"};
    py::list out;
    for (const Step& step : self.e.ledger.steps()) {
        const Unit& unit = step.of == Step::Of::power ? units::W : self.units->capacity;
        py::dict entry;
        entry["step"] = std::string(detail::words(step.kind));
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
                                   return out;
                               })
        .def_property_readonly("stages", &System::stage_names)
        .def_property_readonly("matches", &System::match_names)
        .def("envelope", &envelope_of, py::arg("units"))
        .def("expect_one",
             [](const System& s, const Call& c, std::string_view stage, std::string_view match, double odb, double edb,
                double humidity, double airflow, double place, double fan_power, double length, double suction,
                double lift) {
                 return expect_one(
                     s, c, {stage, match, odb, edb, humidity, airflow, place, fan_power, length, suction, lift});
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
        out["match"] = unit.from_si(x.e.uncertainty.match);
        out["altitude"] = unit.from_si(x.e.uncertainty.altitude);
        out["tolerance"] = unit.from_si(x.e.uncertainty.tolerance);
        return out;
    });
    quantity("footing", [](const OneExpected& x) { return describe(x.e.footing); });
    quantity("notes", [](const OneExpected& x) { return notes_list(x.e.notes); });
    quantity("ledger", &ledger_of);
    expected.def("explain", [](const OneExpected& x) { return explain(x.system, x.e, x.units->system); })
        .def("report", [](const OneExpected& x) { return report(x.system, x.e, x.units->system); });

    m.def("load_system", &load_system, py::arg("path"));
    m.def(
        "parse_system",
        [](const std::string& text, const std::string& name, const std::string& folder) {
            return parse_system(text, name, folder);
        },
        py::arg("text"), py::arg("name"), py::arg("folder"));
    m.def("describe_notes", [](std::uint32_t bits) {
        Notes notes;
        for (unsigned bit = 0; bit < 32; ++bit)
            if ((bits >> bit & 1u) != 0) notes.add(static_cast<Note>(1u << bit));
        return notes_list(notes);
    });
    m.def("describe_footing", [](std::uint8_t bits) { return describe(static_cast<Footing>(bits)); });
    py::list why_names;
    for (int w = 0; w <= static_cast<int>(Why::basis_unknown); ++w)
        why_names.append(std::string(name(static_cast<Why>(w))));
    m.attr("why_names") = why_names;
    py::list about_names;
    for (int a = 0; a <= static_cast<int>(About::external_static); ++a)
        about_names.append(std::string(name(static_cast<About>(a))));
    m.attr("about_names") = about_names;
}
