// Airflow determined: all numbers in SI, the units are Python's. The readings of a way come as a dict, by the names of
// `inputs_of`: of one number (value, standard uncertainty, instrument), of several (values, standard uncertainty,
// instrument).
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "airflow/inputs.hpp"
#include "offnominal/airflow/determine.hpp"
#include "offnominal/report.hpp"
#include "offnominal/site.hpp"
#include "told.hpp"

namespace binding {
namespace {

template <Dimension D>
void take(const py::handle& given, InstrumentReading<D>& out) {
    const auto [value, standard, instrument] = given.cast<std::tuple<double, double, std::string>>();
    out.value.si = value;
    out.standard.si = standard;
    out.instrument = instrument;
}
template <Dimension D>
void take(const py::handle& given, InstrumentReadings<D>& out) {
    const auto [values, standard, instrument] = given.cast<std::tuple<std::vector<double>, double, std::string>>();
    for (const double value : values) out.values.emplace_back(value);
    out.standard.si = standard;
    out.instrument = instrument;
}
void take(const py::handle& given, bool& out) { out = given.cast<bool>(); }
void take(const py::handle& given, std::string& out) { out = given.cast<std::string>(); }
void take(const py::handle& given, std::vector<ComponentDrop>& out) {
    for (const auto& [component, drop] : given.cast<py::dict>()) {
        ComponentDrop& one = out.emplace_back();
        one.component = choose<Component>("drops", component.cast<std::string>());
        take(drop, one.drop);
    }
}

/// The readings of the way called `method`.
template <class T>
bool readings_of(const std::string& method, const py::dict& given, AirflowReadBy& out) {
    if (method != name(T::method)) return false;
    T readings;
    std::apply(
        [&](const auto&... input) {
            const auto one = [&](const auto& in) {
                const py::str key(in.key.data(), in.key.size());
                if (given.contains(key)) take(given[key], readings.*in.member);
            };
            (one(input), ...);
        },
        inputs_of<T>);
    out = std::move(readings);
    return true;
}

/// Dry bulb, the kind and number of a humidity, elevation and pressure (NaN where not given), uncertainty of the
/// density.
using Air = std::tuple<double, std::string, double, double, double, double>;

FlowingAir air_of(const Air& given) {
    const auto& [dry_bulb, humidity, value, elevation, station, density_u] = given;
    const auto pressure = Site::at(Length{elevation}, Pressure{station}).pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    return {air::state(Temperature{dry_bulb}, {humidity_kind(humidity), value}, Pressure{*pressure}), density_u};
}

const BlowerTable& blower_of(const System* system) {
    static const BlowerTable none;
    return system == nullptr ? none : system->parts().blower;
}

DeterminedAirflow determined(const System* system, const std::string& method, const py::dict& given, const Air& air) {
    AirflowReadBy by;
    const bool found = [&]<class... T>(std::type_identity<std::variant<T...>>) {
        return (readings_of<T>(method, given, by) || ...);
    }(std::type_identity<AirflowReadBy>());
    if (!found) throw py::value_error("method: '" + method + "'; accepted: " + accepted_words<AirflowMethod>("'"));
    return airflow_by(by, blower_of(system), air_of(air));
}

using Terms = std::vector<std::tuple<std::string, double, std::string, double>>;

py::tuple told_airflow(const DeterminedAirflow& d) {
    Terms terms;
    for (const AirflowTerm& t : d.terms) terms.emplace_back(t.what, t.effect, t.source, t.shared);
    return py::make_tuple(std::string(name(d.method)), d.by, d.mass_flow.si, d.airflow.si, d.actual.si, d.u, terms,
                          d.power ? d.power->si : nan, notes_list(d.notes));
}

py::tuple combined_airflow(const std::vector<std::tuple<double, double, Terms>>& given) {
    std::vector<DeterminedAirflow> ways;
    for (const auto& [mass_flow, u, terms] : given) {
        DeterminedAirflow& way = ways.emplace_back();
        way.mass_flow.si = mass_flow;
        way.airflow = air::standard_airflow(way.mass_flow);
        way.u = u;
        for (const auto& [what, effect, source, shared] : terms) way.terms.push_back({what, effect, source, shared});
    }
    const CombinedAirflow c = combined(ways);
    return py::make_tuple(c.mass_flow.si, c.airflow.si, c.u, c.chi_squared, c.degrees, c.chance, c.agree, c.farthest,
                          c.weights, notes_list(c.notes));
}

/// Where a tap of the system's blower meets a duct: external static pressure, actual airflow, power, its uncertainty.
py::tuple operating_point(const System& system, const std::string& tap, double airflow, double external_static,
                          double exponent, const Air& air) {
    const FlowingAir breathed = air_of(air);
    const BlowerTable& blower = blower_of(&system);
    const double sigma = fan_density_ratio(breathed.state);
    const auto point = blower.at(tap, DuctCurve{Airflow{airflow}, Pressure{external_static}, exponent}, sigma);
    if (!point) throw Refused(point.reason(), explain(point.reason(), blower, tap));
    Notes notes;
    if (point->blower.law_assumed) notes.add(Note::blower_law_assumed);
    const MassFlow mass = air::dry_mass_flow(point->blower.airflow, breathed.state);
    return py::make_tuple(point->external_static.si, point->blower.airflow.si, air::standard_airflow(mass).si,
                          point->blower.power.si, notes_list(notes));
}

}  // namespace
}  // namespace binding

void bind_airflow(pybind11::module_& m) {
    using namespace binding;
    m.def("airflow_by", [](const System* system, const std::string& method, const py::dict& given, const Air& air) {
        return told_airflow(determined(system, method, given, air));
    });
    m.def("airflow_report", [](const System* system, const std::string& method, const py::dict& given, const Air& air,
                               const std::string& units) {
        return report(determined(system, method, given, air), CallerUnits::of(units).system);
    });
    m.def("combined_airflow", &combined_airflow);
    m.def("operating_point", &operating_point);
    m.def("traverse_points", [](const std::string& rule, bool round, int points) {
        return traverse_points(choose<TraverseRule>("rule", rule), round, points);
    });
    m.def("blower_taps", [](const System& system) { return system.parts().blower.taps(); });
    m.attr("component_words") = all_words<Component>();
}
