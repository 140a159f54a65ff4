// C++ exceptions become the classes of offnominal/errors.py, fields and all.
#include "offnominal/errors.hpp"

#include <pybind11/pybind11.h>

#include "offnominal/explain.hpp"

namespace py = pybind11;

namespace {

/// A text that may quote what is no UTF-8.
py::object text_of(const std::string& text) {
    return py::reinterpret_steal<py::object>(
        PyUnicode_DecodeUTF8(text.data(), static_cast<Py_ssize_t>(text.size()), "replace"));
}
py::object number_or_none(int number) { return number < 0 ? py::object(py::none()) : py::object(py::int_(number)); }

/// Sets the Python error `offnominal.errors.<type_name>(arguments...)`.
template <class... Arguments>
void set_error(const char* type_name, const Arguments&... arguments) {
    const py::object type = py::module_::import("offnominal.errors").attr(type_name);
    PyErr_SetObject(type.ptr(), type(arguments...).ptr());
}

void translate(std::exception_ptr pointer) {
    try {
        if (pointer) std::rethrow_exception(pointer);
    } catch (const offnominal::Refused& error) {
        const offnominal::Reason& r = error.reason();
        set_error("Refused", text_of(error.what()), std::string(name(r.why)), std::string(name(r.about)),
                  number_or_none(r.axis), number_or_none(r.node), r.value, r.lower, r.upper);
    } catch (const offnominal::InputError& error) {
        const bool missing = dynamic_cast<const offnominal::MissingFile*>(&error) != nullptr;
        set_error(missing ? "MissingFile" : "InputError", text_of(error.what()), text_of(error.file()), error.line(),
                  error.column(), text_of(error.problem()), text_of(error.text()), text_of(error.accepted()));
    }
}

}  // namespace

void bind_errors(py::module_& m) {
    py::register_local_exception_translator(&translate);
    m.def(
        "error_text",
        [](const std::string& file, int line, int column, const std::string& problem, const std::string& text,
           const std::string& accepted) {
            return std::string(offnominal::InputError({file, line, column}, problem, text, accepted).what());
        },
        "The words of an InputError.");
    m.def(
        "sentence",
        [](const std::string& why, const std::string& about, double value, double lower, double upper) {
            const auto what = offnominal::named<offnominal::Why>(why);
            const auto of = offnominal::named<offnominal::About>(about);
            if (!what || !of) throw py::value_error("no reason: " + why + " about " + about);
            return std::string(offnominal::sentence({*what, *of, -1, -1, value, lower, upper}));
        },
        "The sentence of a reason, before its fields are filled in.");
}
