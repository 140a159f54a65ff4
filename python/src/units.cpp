// The table of units, for Python.
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>

#include <string>

#include "offnominal/kind.hpp"

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
    // Kinds of numbers: the unit of each in IP and in SI.
    py::dict kinds;
    for (const auto& kind : offnominal::words_of<offnominal::Kind>) {
        const auto row = [](const Unit& u) { return py::make_tuple(std::string(u.name), u.times, u.over, u.offset); };
        kinds[py::str(std::string(kind.word))] = py::make_tuple(row(kind.ip), row(kind.si));
    }
    m.attr("kinds") = kinds;

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
