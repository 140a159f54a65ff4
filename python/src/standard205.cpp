// Standard 205 representations: read, told of their departures, made into systems, written.
#include "offnominal/standard205.hpp"

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

namespace py = pybind11;
using namespace offnominal;
using standard205::Format;
using standard205::Representation;

void bind_standard205(py::module_& m) {
    py::class_<Representation> representation(m, "Representation");
    representation.def_readonly("name", &Representation::name)
        .def_property_readonly("departures",
                               [](const Representation& r) {
                                   py::list out;
                                   for (const standard205::Departure& d : r.departures)
                                       out.append(py::make_tuple(d.key, d.problem, d.asked));
                                   return out;
                               })
        .def(
            "system", [](const Representation& r) { return standard205::to_system(r); },
            py::call_guard<py::gil_scoped_release>())
        .def("json",
             [](const Representation& r) {
                 const py::gil_scoped_release release;
                 return standard205::write_representation(r, Format::json);
             })
        .def("cbor", [](const Representation& r) {
            std::string out;
            {
                const py::gil_scoped_release release;
                out = standard205::write_representation(r, Format::cbor);
            }
            return py::bytes(out);
        });
    m.def(
        "read_representation", [](const std::string& path) { return standard205::read_representation(path); },
        py::arg("path"), py::call_guard<py::gil_scoped_release>());
    m.def(
        "parse_representation",
        [](const py::bytes& bytes, const std::string& name) {
            const std::string_view view = bytes;
            const py::gil_scoped_release release;
            return standard205::parse_representation(view, name);
        },
        py::arg("data"), py::arg("name"));
    m.def("representation_of", &standard205::to_representation, py::arg("system"),
          py::call_guard<py::gil_scoped_release>());
}
