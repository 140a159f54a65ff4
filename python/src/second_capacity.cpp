// Second capacities: all numbers in SI, the units are Python's.
#include "offnominal/field/second_capacity.hpp"

#include <array>
#include <string>

#include "told.hpp"

namespace binding {
namespace {

py::tuple told_capacity(const SecondCapacity& c) {
    return py::make_tuple(std::string(name(c.method)), std::string(name(c.boundary)), c.total_capacity.si,
                          c.total_u.si);
}

/// Flow, liquid, vapour, each with its standard uncertainty.
py::tuple second_by_refrigerant(const std::array<double, 6>& x) {
    RefrigerantReadings r;
    r.flow = {MassFlow{x[0]}, MassFlow{x[1]}};
    r.liquid = {SpecificEnthalpy{x[2]}, SpecificEnthalpy{x[3]}};
    r.vapour = {SpecificEnthalpy{x[4]}, SpecificEnthalpy{x[5]}};
    return told_capacity(capacity_by_refrigerant(r));
}

/// Entering and leaving dry bulb, airflow and power, each with its standard uncertainty; humidity; the site.
py::tuple second_by_condenser(const std::array<double, 8>& x, const std::string& humidity, double humidity_value,
                              const std::string& airflow, const std::string& power_of, double elevation,
                              double pressure) {
    CondenserReadings r;
    r.entering_dry_bulb = {Temperature{x[0]}, TemperatureDifference{x[1]}};
    r.leaving_dry_bulb = {Temperature{x[2]}, TemperatureDifference{x[3]}};
    r.humidity = {humidity_kind(humidity), humidity_value};
    r.airflow = airflow_meaning(airflow);
    r.airflow.si = x[4];
    r.airflow_standard = x[5];
    r.power = {Power{x[6]}, Power{x[7]}};
    r.power_of = choose<PowerBasis>("power_of", power_of);
    return told_capacity(capacity_by_condenser(r, Site::at(Length{elevation}, Pressure{pressure})));
}

/// Condensate flow and its standard uncertainty, sensible capacity, return dry bulb.
py::tuple second_by_condensate(const std::array<double, 4>& x, const std::string& boundary) {
    Delivered d;
    d.sensible_capacity.si = d.total_capacity.si = x[2];
    d.return_air.dry_bulb.si = x[3];
    return told_capacity(
        capacity_by_condensate({x[0], x[1], {Duration{1.0}, Duration{0.0}}}, d, boundary_named(boundary)));
}

/// Total and its standard uncertainty, fan power; the second total and its standard uncertainty.
py::tuple compare_second(const std::array<double, 5>& x, const std::string& boundary, const std::string& of_second) {
    Delivered d;
    d.total_capacity.si = x[0];
    const TwoMethods two =
        compare(d, boundary_named(boundary), Power{x[1]},
                {SecondMethod::refrigerant, boundary_named(of_second), Power{x[3]}, Power{x[4]}}, Power{x[2]});
    return py::make_tuple(std::string(name(two.agreement)), two.difference, two.difference_u, two.probability);
}

}  // namespace
}  // namespace binding

void bind_second_capacity(pybind11::module_& m) {
    using namespace binding;
    m.def("second_by_refrigerant", &second_by_refrigerant);
    m.def("second_by_condenser", &second_by_condenser);
    m.def("second_by_condensate", &second_by_condensate);
    m.def("compare_second", &compare_second);
}
