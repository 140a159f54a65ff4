// The index of the compiled module: each part is bound in the file of its name.
#include <pybind11/pybind11.h>

#include "offnominal/version.hpp"

namespace py = pybind11;

void bind_errors(py::module_& m);
void bind_units(py::module_& m);
void bind_air(py::module_& m);
void bind_grid(py::module_& m);
void bind_system(py::module_& m);
void bind_expect(py::module_& m);
void bind_field(py::module_& m);
void bind_many(py::module_& m);
void bind_choose(py::module_& m);
void bind_second_capacity(py::module_& m);
void bind_airflow(py::module_& m);
void bind_logs(py::module_& m);
void bind_audit(py::module_& m);
void bind_write(py::module_& m);
void bind_standard205(py::module_& m);

namespace {

/// An object whose `__init__` never ran (`Grid.__new__(Grid)`) has nothing in it: pybind11 would give its methods raw
/// memory, so it is made to ask here for that memory.
void refuse_unmade(const py::module_& m) {
    for (const auto& [name, object] : py::reinterpret_borrow<py::dict>(m.attr("__dict__")))
        if (PyType_Check(object.ptr()))
            if (auto* type = py::detail::get_type_info(reinterpret_cast<PyTypeObject*>(object.ptr())))
                type->operator_new = [](std::size_t) -> void* {
                    throw py::type_error("__init__ of this object was never called");
                };
}

}  // namespace

#define OFFNOMINAL_STRING_OF(x) #x
#define OFFNOMINAL_STRING(x) OFFNOMINAL_STRING_OF(x)

PYBIND11_MODULE(_core, m) {
    m.doc() = "The compiled part of offnominal.";
    m.attr("__version__") = OFFNOMINAL_STRING(OFFNOMINAL_VERSION_MAJOR) "." OFFNOMINAL_STRING(
        OFFNOMINAL_VERSION_MINOR) "." OFFNOMINAL_STRING(OFFNOMINAL_VERSION_PATCH);
    bind_errors(m);
    bind_units(m);
    bind_air(m);
    bind_grid(m);
    bind_system(m);
    bind_expect(m);
    bind_field(m);
    bind_many(m);
    bind_choose(m);
    bind_second_capacity(m);
    bind_airflow(m);
    bind_logs(m);
    bind_audit(m);
    bind_write(m);
    bind_standard205(m);
    refuse_unmade(m);
}
