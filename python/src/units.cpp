// The table of units, for Python.
#include "offnominal/units.hpp"

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <string>

namespace py = pybind11;
using offnominal::Unit;

namespace {

const Unit& find(const std::string& wanted) {
    for (const Unit& unit : offnominal::units::all)
        if (unit.name == wanted) return unit;
    std::string known;
    for (const Unit& unit : offnominal::units::all) known += (known.empty() ? "" : ", ") + std::string(unit.name);
    throw py::value_error("unknown unit '" + wanted + "'; accepted: " + known);
}

}  // namespace

void bind_units(py::module_& m) {
    py::dict table;
    for (const Unit& u : offnominal::units::all)
        table[py::str(std::string(u.name))] = py::make_tuple(std::string(name(u.dimension)), u.times, u.over, u.offset);
    m.attr("units") = table;
    const Unit& enthalpy = offnominal::units::Btu_lb_of_air;
    m.attr("enthalpy_of_air_ip") =
        py::make_tuple(std::string(name(enthalpy.dimension)), enthalpy.times, enthalpy.over, enthalpy.offset);

    // By the unit's one accepted spelling; floats to a float, arrays to an array.
    const auto bind = [&m](const char* name, auto convert) {
        m.def(name, [convert](const std::string& unit, const py::object& value) {
            const Unit& u = find(unit);
            return py::vectorize([&u, convert](double x) { return convert(u, x); })(value);
        });
    };
    bind("unit_to_si", [](const Unit& unit, double value) { return unit.to_si(value); });
    bind("unit_from_si", [](const Unit& unit, double si) { return unit.from_si(si); });
}
