// What the bindings of system, deliver and prove share: the caller's units, refusals in the caller's units, notes as
// lists.
#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <limits>
#include <string>

#include "offnominal/expected.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/system.hpp"

namespace binding {

namespace py = pybind11;
using namespace offnominal;

/// The units of Python's "IP" and "SI".
struct CallerUnits {
    UnitSystem system;
    Unit temperature, difference, airflow, capacity, length, tubing, pressure, mass_flow, enthalpy, volume;

    static const CallerUnits& of(const std::string& name) {
        static constexpr CallerUnits ip{UnitSystem::IP, units::degF,   units::delta_degF, units::cfm,
                                        units::Btu_h,   units::ft,     units::in,         units::psia,
                                        units::lb_h,    units::Btu_lb, units::ft3_lb};
        static constexpr CallerUnits si{UnitSystem::SI, units::degC, units::delta_degC, units::m3_s,
                                        units::W,       units::m,    units::m,          units::Pa,
                                        units::kg_s,    units::J_kg, units::m3_kg};
        if (name == "IP") return ip;
        if (name == "SI") return si;
        throw py::value_error("units: '" + name + "'; accepted: 'IP' or 'SI'");
    }
};

/// Raises offnominal.Refused with its numbers in the caller's units.
[[noreturn]] inline void raise_refused(const Reason& r, const std::string& text, UnitSystem system) {
    const auto number = [&](double si) {
        return system == UnitSystem::SI ? si : shown_unit(r.about, system).from_si(si);
    };
    const auto index = [](int i) { return i < 0 ? py::object(py::none()) : py::object(py::int_(i)); };
    const py::object type = py::module_::import("offnominal.errors").attr("Refused");
    const py::object error = type(text, std::string(name(r.why)), std::string(name(r.about)), index(r.axis),
                                  index(r.node), number(r.value), number(r.lower), number(r.upper));
    PyErr_SetObject(type.ptr(), error.ptr());
    throw py::error_already_set();
}

inline py::list notes_list(Notes notes) {
    py::list out;
    for (const std::string& note : describe(notes)) out.append(note);
    return out;
}

/// One expected capacity with the units it is asked in.
struct OneExpected {
    System system;
    Expected e;
    const CallerUnits* units;
};

inline constexpr double nan = std::numeric_limits<double>::quiet_NaN();

}  // namespace binding
