// What the bindings of system, deliver and prove share: the caller's units, refusals in the caller's units, notes as
// lists.
#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <limits>
#include <string>

#include "offnominal/column.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/system.hpp"
#include "parts.hpp"

namespace binding {

namespace py = pybind11;
using namespace offnominal;

/// The units of Python's "IP" and "SI".
struct CallerUnits {
    UnitSystem system;
    Unit temperature, difference, airflow, capacity, length, tubing, pressure, mass_flow;

    static const CallerUnits& of(const std::string& name) {
        static constexpr auto all_of = [](UnitSystem s) {
            return CallerUnits{s,
                               unit_of(Kind::temperature, s),
                               unit_of(Kind::temperature_difference, s),
                               unit_of(Kind::airflow, s),
                               unit_of(Kind::capacity, s),
                               unit_of(Kind::length, s),
                               unit_of(Kind::tubing, s),
                               unit_of(Kind::pressure, s),
                               unit_of(Kind::mass_flow, s)};
        };
        static constexpr CallerUnits ip = all_of(UnitSystem::IP), si = all_of(UnitSystem::SI);
        if (name == "IP") return ip;
        if (name == "SI") return si;
        throw py::value_error("units: '" + name + "'; accepted: 'IP' or 'SI'");
    }
};

/// The caller's unit of an axis or a column of a page, or of what its basis states; electric power is in W in both.
inline Unit unit_of_role(const std::string& role, Dimension dimension, const CallerUnits& caller) {
    const bool ip = caller.system == UnitSystem::IP;
    switch (dimension) {
        case Dimension::power:
            return role.ends_with("power") || role.ends_with("fan") ? units::W : caller.capacity;
        case Dimension::temperature:
            return caller.temperature;
        case Dimension::temperature_difference:
            return caller.difference;
        case Dimension::airflow:
        case Dimension::mass_flow:  // an axis is standard airflow, whatever it was typed as
            return caller.airflow;
        case Dimension::length:
            return caller.length;
        case Dimension::pressure:
            return caller.pressure;
        case Dimension::gauge_pressure:
            return ip ? Unit{units::psig} : Unit{"Pa gauge", Dimension::gauge_pressure};
        case Dimension::efficiency:
            return ip && role == "eer" ? units::Btu_Wh : units::W_W;
        case Dimension::sensible_slope:
            return ip ? units::Btu_h_cfm_degF : units::W_m3s_K;
        case Dimension::fan_ratio:
            return ip ? units::W_cfm : units::W_m3s;
        case Dimension::current:
            return units::A;
        default:
            return units::one;
    }
}

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

/// The words of an enumeration, in the order of its numbers.
template <Worded E>
py::list all_words() {
    py::list out;
    for (const auto& row : words_of<E>) out.append(std::string(row.word));
    return out;
}

template <Worded E>
E choose(const std::string& what, const std::string& text) {
    if (const auto value = named<E>(text)) return *value;
    throw py::value_error(what + ": '" + text + "'; accepted: " + accepted_words<E>("'"));
}

/// One of a few words.
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

[[nodiscard]] inline air::Humidity::Kind humidity_kind(const std::string& word) {
    return choose<air::Humidity::Kind>("humidity", word);
}
/// What an airflow means, without its number: a place of actual airflow, or another kind.
[[nodiscard]] inline AirflowReading airflow_meaning(const std::string& word) {
    if (const auto place = named<air::Place>(word)) return {AirflowReading::Kind::actual, 0.0, *place};
    return {choose<AirflowReading::Kind>("airflow", word), 0.0, {}};
}
[[nodiscard]] inline Boundary boundary_named(const std::string& word) { return choose<Boundary>("boundary", word); }
[[nodiscard]] inline Outside outside_named(const std::string& word) { return choose<Outside>("outside", word); }

using Codes = py::array_t<std::int32_t, py::array::forcecast>;

/// Step of a column of one value, or of one per row.
template <class T>
[[nodiscard]] py::ssize_t step_of(const py::array_t<T, py::array::forcecast>& array, py::ssize_t rows) {
    const bool contiguous = array.size() <= 1 || array.strides(0) == static_cast<py::ssize_t>(sizeof(T));
    if (array.ndim() == 0) return 0;
    if (array.ndim() != 1 || (array.size() != 1 && array.size() != rows) || !contiguous)
        throw py::value_error("contiguous columns of one value or one per row are wanted");
    return array.size() == 1 ? 0 : 1;
}

/// Points columns at what Python gives for each: a float for all rows, or a flat array of one or of one for each row.
/// The floats are kept in `ones`; the arrays are kept by who calls.
template <std::size_t N>
void point_at(std::array<Column, N>& columns, const py::tuple& given, std::array<double, N>& ones, py::ssize_t rows) {
    if (given.size() != N) throw py::value_error("this many columns are not wanted");
    for (std::size_t k = 0; k < N; ++k) {
        const py::handle one = given[k];
        if (PyFloat_Check(one.ptr()) || PyLong_Check(one.ptr())) {
            ones[k] = one.cast<double>();
            columns[k].data = &ones[k];
        } else {
            if (!py::isinstance<py::array_t<double>>(one)) throw py::value_error("columns of doubles are wanted");
            const auto array = py::reinterpret_borrow<py::array_t<double, py::array::forcecast>>(one);
            columns[k].data = array.data();
            columns[k].step = step_of(array, rows);
        }
    }
}

/// The name of a file: where its bytes are not UTF-8, in Python's halves of characters.
inline py::object path_object(const std::string& path) {
    return py::reinterpret_steal<py::object>(
        PyUnicode_DecodeFSDefaultAndSize(path.data(), static_cast<Py_ssize_t>(path.size())));
}

/// What a single answer was made of: a call with its keys and numbers, or a proof.
template <std::size_t N>
struct Origin {
    py::object from;
    std::string stage, match;
    std::array<double, N> numbers{};
};

/// One expected capacity with its system (of Python) and the units it is asked in.
struct OneExpected {
    py::object system;
    Expected e;
    UnitSystem units;
    Origin<slot_count> origin;

    [[nodiscard]] const System& of() const { return system.cast<const System&>(); }
};

/// How a planned visit would end, of each machine.
inline py::list chances_of(const Plan& plan) {
    py::list out;
    for (const PlannedChance& one : plan.chances)
        out.append(py::make_tuple(one.true_ratio, one.ratio_u, one.meets, one.falls_short));
    return out;
}

inline constexpr double nan = std::numeric_limits<double>::quiet_NaN();

}  // namespace binding
