// What a machine delivers, and the proof.
#include <array>
#include <filesystem>
#include <memory>
#include <vector>

#include "common.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
#include "offnominal/report.hpp"

namespace binding {
namespace {

using Column = py::array_t<double, py::array::forcecast>;

air::Humidity::Kind humidity_kind(const std::string& text) {
    using Kind = air::Humidity::Kind;
    if (text == "wet_bulb") return Kind::wet_bulb;
    if (text == "relative_humidity") return Kind::relative_humidity;
    if (text == "humidity_ratio") return Kind::humidity_ratio;
    if (text == "dew_point") return Kind::dew_point;
    throw py::value_error("humidity: '" + text +
                          "'; accepted: 'wet_bulb', 'relative_humidity', 'humidity_ratio', 'dew_point'");
}

/// What is told of a delivered capacity, SI.
constexpr std::array delivered_names{
    "total_capacity", "sensible_capacity", "latent_capacity", "mass_flow",       "standard_airflow",
    "split",          "sensible_ratio",    "condensate_flow", "return_wet_bulb", "supply_wet_bulb"};
std::array<double, delivered_names.size()> delivered_values(const Delivered& d) {
    return {d.total_capacity.si,
            d.sensible_capacity.si,
            d.latent_capacity.si,
            d.mass_flow.si,
            d.standard_airflow.si,
            d.split.si,
            d.sensible_ratio.value_or(nan),
            d.condensate_flow.si,
            air::wet_bulb(d.return_air).si,
            air::wet_bulb(d.supply_air).si};
}

/// Rows of readings in SI to rows of capacities in SI. Columns have one value or one per row.
py::dict deliver_many(py::ssize_t rows, const std::string& return_kind, const std::string& supply_kind,
                      const std::string& airflow_kind, bool by_pressure, const std::string& split_name, bool condensate,
                      const std::string& fan, const std::vector<Column>& columns) {
    Readings base;
    base.return_humidity.kind = humidity_kind(return_kind);
    base.supply_humidity.kind = humidity_kind(supply_kind);
    base.airflow = airflow_meaning(airflow_kind);
    if (split_name == "ashrae37")
        base.split = Split::ashrae37;
    else if (split_name != "enthalpy")
        throw py::value_error("split: '" + split_name + "'; accepted: 'enthalpy', 'ashrae37'");
    base.condensate = condensate;
    if (fan == "draw-through")
        base.fan = FanPosition::draw_through;
    else if (fan == "blow-through")
        base.fan = FanPosition::blow_through;
    else if (!fan.empty())
        throw py::value_error("fan: '" + fan + "'; accepted: 'draw-through', 'blow-through'");

    if (columns.size() != 7) throw py::value_error("seven columns are wanted");
    std::array<const double*, 7> in{};
    std::array<py::ssize_t, 7> step{};
    for (std::size_t k = 0; k < 7; ++k) {
        if (columns[k].ndim() != 1 || (columns[k].size() != 1 && columns[k].size() != rows))
            throw py::value_error("columns of one value or one per row are wanted");
        in[k] = columns[k].data();
        step[k] = columns[k].size() == 1 ? 0 : columns[k].strides(0) / static_cast<py::ssize_t>(sizeof(double));
    }
    std::vector<py::array_t<double>> results;
    std::array<double*, delivered_names.size()> out{};
    for (std::size_t k = 0; k < delivered_names.size(); ++k) {
        results.emplace_back(rows);
        out[k] = results.back().mutable_data();
    }
    py::array_t<std::uint64_t> notes(rows);
    auto* notes_data = notes.mutable_data();
    std::vector<Reason> reasons(static_cast<std::size_t>(rows));
    {
        py::gil_scoped_release release;
        for (py::ssize_t i = 0; i < rows; ++i) {
            const auto cell = [&](std::size_t k) { return in[k][i * step[k]]; };
            Readings r = base;
            r.return_dry_bulb.si = cell(0);
            r.return_humidity.value = cell(1);
            r.supply_dry_bulb.si = cell(2);
            r.supply_humidity.value = cell(3);
            r.airflow.si = cell(4);
            r.fan_power.si = cell(6);
            const auto answer =
                try_deliver(r, by_pressure ? Site::at_pressure({cell(5)}) : Site::at_elevation({cell(5)}));
            reasons[static_cast<std::size_t>(i)] = answer.reason();
            notes_data[i] = answer->notes.bits();
            if (answer) {
                const auto values = delivered_values(*answer);
                for (std::size_t k = 0; k < values.size(); ++k) out[k][i] = values[k];
            } else {
                for (double* column : out) column[i] = nan;
            }
        }
    }
    py::dict result;
    for (std::size_t k = 0; k < delivered_names.size(); ++k) result[delivered_names[k]] = results[k];
    py::array_t<std::uint8_t> why(rows), about(rows);
    for (py::ssize_t i = 0; i < rows; ++i) {
        why.mutable_data()[i] = static_cast<std::uint8_t>(reasons[static_cast<std::size_t>(i)].why);
        about.mutable_data()[i] = static_cast<std::uint8_t>(reasons[static_cast<std::size_t>(i)].about);
    }
    result["why"] = why;
    result["about"] = about;
    result["notes"] = notes;
    result["raise"] = py::cpp_function([reasons](const std::string& units) {
        const UnitSystem system = CallerUnits::of(units).system;
        for (const Reason& r : reasons)
            if (!r.none()) raise_refused(r, explain(r, system), system);
    });
    return result;
}

/// One proof with the system and visit it is of.
struct OneProof {
    System system;
    std::shared_ptr<const Visit> visit;
    Proof p;
};

OneProof prove_one(const System& system, const std::shared_ptr<Visit>& visit) {
    return {system, visit, prove(system, *visit)};
}

py::list budget_of(const OneProof& self) {
    py::list out;
    for (const BudgetLine& line : self.p.budget) {
        py::dict entry;
        entry["input"] = std::string(name(line.input));
        entry["standard_uncertainty_si"] = line.standard;
        entry["delivered"] = line.delivered;
        entry["expected"] = line.expected;
        entry["ratio"] = line.ratio;
        entry["power_ratio"] = line.power_ratio;
        entry["share"] = line.share;
        out.append(entry);
    }
    return out;
}

py::list nearest_of(const OneProof& self) {
    const auto& stages = self.system.stages(self.system.match(self.visit->match));
    py::list out;
    for (const StageFit& fit : self.p.nearest) {
        py::dict entry;
        entry["stage"] = stages[static_cast<std::size_t>(fit.stage)].name;
        entry["ratio"] = fit.ratio;
        entry["power_ratio"] = fit.power_ratio;
        entry["reason"] = std::string(name(fit.reason.why));
        out.append(entry);
    }
    return out;
}

/// A figure of a comparison, or None where there is none.
template <std::optional<Comparison> Proof::*Which, double Comparison::*Figure>
std::optional<double> figure_of(const OneProof& self) {
    const std::optional<Comparison>& comparison = self.p.*Which;
    return comparison ? std::optional((*comparison).*Figure) : std::nullopt;
}

/// The same of an efficiency in the caller's unit.
template <double Comparison::*Figure>
std::optional<double> efficiency_in(const OneProof& self, const std::string& caller) {
    const auto si = figure_of<&Proof::efficiency, Figure>(self);
    const Unit unit = CallerUnits::of(caller).system == UnitSystem::IP ? units::Btu_Wh : units::W_W;
    return si ? std::optional(unit.from_si(*si)) : std::nullopt;
}

}  // namespace
}  // namespace binding

void bind_field(pybind11::module_& m) {
    using namespace binding;
    py::class_<Visit, std::shared_ptr<Visit>> visit(m, "Visit");
    py::class_<OneProof> proof(m, "Proof");

    m.def("deliver_many", &deliver_many);

    visit.def_readonly("name", &Visit::name)
        .def_readonly("system_file", &Visit::system_file)
        .def_readonly("date", &Visit::date);
    m.def(
        "load_visit", [](const std::string& path) { return std::make_shared<Visit>(load_visit(path)); },
        py::arg("path"));
    m.def(
        "parse_visit",
        [](const std::string& text, const std::string& name) {
            try {
                auto read = std::make_shared<Visit>(parse_visit(text, name));
                VisitPlaces& p = read->places;
                p.stage = p.match = p.line_set = p.speed = {name, 0, 0};
                return read;
            } catch (const InputError& error) {  // the text was made of a dict, which has keys and no lines
                throw InputError({error.file()}, error.problem(), error.text(), error.accepted());
            }
        },
        py::arg("text"), py::arg("name"));
    m.def("prove", &prove_one, py::arg("system"), py::arg("visit"));

    proof.def_property_readonly("outcome", [](const OneProof& x) { return std::string(name(x.p.outcome)); })
        .def_property_readonly("ratio", [](const OneProof& x) { return x.p.ratio; })
        .def_property_readonly("ratio_u",
                               [](const OneProof& x) { return x.p.ratio ? std::optional(x.p.ratio_u) : std::nullopt; })
        .def_property_readonly(
            "ratio_u95", [](const OneProof& x) { return x.p.ratio ? std::optional(x.p.ratio_u95) : std::nullopt; })
        .def_property_readonly(
            "probability", [](const OneProof& x) { return x.p.ratio ? std::optional(x.p.probability) : std::nullopt; })
        .def_property_readonly("limit", [](const OneProof& x) { return x.p.limit; })
        .def_property_readonly("confidence", [](const OneProof& x) { return x.p.confidence; })
        .def_property_readonly("reason", [](const OneProof& x) { return std::string(name(x.p.reason.why)); })
        .def_property_readonly("budget", &budget_of)
        .def_property_readonly("power", &figure_of<&Proof::power, &Comparison::measured>)
        .def_property_readonly("expected_power", &figure_of<&Proof::power, &Comparison::expected>)
        .def_property_readonly("power_ratio", &figure_of<&Proof::power, &Comparison::ratio>)
        .def_property_readonly("power_ratio_u", &figure_of<&Proof::power, &Comparison::ratio_u>)
        .def_property_readonly("power_ratio_u95", &figure_of<&Proof::power, &Comparison::ratio_u95>)
        .def_property_readonly("efficiency_ratio", &figure_of<&Proof::efficiency, &Comparison::ratio>)
        .def_property_readonly("efficiency_ratio_u", &figure_of<&Proof::efficiency, &Comparison::ratio_u>)
        .def_property_readonly("efficiency_ratio_u95", &figure_of<&Proof::efficiency, &Comparison::ratio_u95>)
        .def("efficiency", &efficiency_in<&Comparison::measured>)
        .def("expected_efficiency", &efficiency_in<&Comparison::expected>)
        .def_property_readonly("no_power", [](const OneProof& x) { return std::string(name(x.p.no_power.why)); })
        .def_property_readonly("nearest", &nearest_of)
        .def_property_readonly("expected_u", [](const OneProof& x) { return x.p.expected_u; })
        .def_property_readonly("expected_share", [](const OneProof& x) { return x.p.expected_share; })
        .def_property_readonly("notes", [](const OneProof& x) { return notes_list(x.p.notes); })
        .def("expected",
             [](const OneProof& x, const std::string& units) {
                 return x.p.expected ? std::optional(OneExpected{x.system, *x.p.expected, &CallerUnits::of(units)})
                                     : std::nullopt;
             })
        .def("delivered",
             [](const OneProof& x) {
                 py::dict out;
                 const auto values = delivered_values(x.p.delivered);
                 for (std::size_t k = 0; k < values.size(); ++k) out[delivered_names[k]] = values[k];
                 out["notes"] = x.p.delivered.notes.bits();
                 return out;
             })
        .def(
            "report",
            [](const OneProof& x, const std::string& units) {
                return report(x.system, *x.visit, x.p, CallerUnits::of(units).system);
            },
            py::arg("units"));
}
