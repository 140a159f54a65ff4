// Grid for Python: arrays in and out without copies where they are float64. The friendly part is offnominal/_grid.py.
#include "offnominal/grid.hpp"

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/grid/threads.hpp"
#include "parts.hpp"

namespace py = pybind11;

namespace {

using namespace offnominal;
using Doubles = py::array_t<double, py::array::forcecast>;

constexpr std::size_t worth_releasing = 256;  // points; below, giving the GIL away costs more than the work

[[noreturn]] void refuse_input(const std::string& problem, const std::string& text, const std::string& accepted) {
    throw InputError({}, problem, text, accepted);
}

std::string shape_text(const py::array& array) { return py::str(array.attr("shape")); }

/// The points of a call: where their columns stand, their leading shape, and what keeps them alive.
struct Given {
    Points points{0, 0};
    std::vector<py::ssize_t> shape;
    std::vector<py::object> alive;
};

bool aligned(const py::array& array) {
    bool out = reinterpret_cast<std::uintptr_t>(array.data()) % alignof(double) == 0;
    for (py::ssize_t d = 0; d < array.ndim(); ++d) out = out && array.strides(d) % py::ssize_t{sizeof(double)} == 0;
    return out;
}

/// An array whose dimensions but the last `kept` can be walked with one step.
bool walkable(const py::array& array, py::ssize_t kept) {
    for (py::ssize_t d = 0; d + 1 < array.ndim() - kept; ++d)
        if (array.strides(d) != array.strides(d + 1) * array.shape(d + 1)) return false;
    return aligned(array);
}

Doubles as_doubles(const py::handle& object, py::ssize_t kept) {
    Doubles array = Doubles::ensure(object);
    if (!array) {
        PyErr_Clear();
        refuse_input("these are not numbers", py::str(py::type::of(object)), "numbers, or an array of them");
    }
    if (walkable(array, kept)) return array;
    return Doubles(py::array(array.attr("copy")("C")));
}

/// Whether points are numbers without labels or units: then no Python has to look at them.
bool bare(const py::handle& object) {
    static const PyTypeObject* const ndarray =
        Py_TYPE(py::array_t<double>(0).ptr());  // no class made from it: a masked array, say
    if (PyFloat_Check(object.ptr()) || PyLong_CheckExact(object.ptr())) return true;
    if (Py_TYPE(object.ptr()) == ndarray) {
        const char kind = py::reinterpret_borrow<py::array>(object).dtype().kind();
        return kind == 'f' || kind == 'i' || kind == 'u';
    }
    if (!PyTuple_CheckExact(object.ptr()) && !PyList_CheckExact(object.ptr())) return false;
    for (const py::handle& one : py::reinterpret_borrow<py::sequence>(object))
        if (!bare(one)) return false;
    return true;
}

/// Points as one array, coordinates last.
Given from_array(const py::handle& object, std::size_t rank) {
    Given out;
    const Doubles array = as_doubles(object, 1);
    const py::ssize_t dims = array.ndim();
    if (dims == 0 || array.shape(dims - 1) != static_cast<py::ssize_t>(rank))
        refuse_input("points of this shape do not have " + std::to_string(rank) + " coordinates", shape_text(array),
                     "(..., " + std::to_string(rank) + "), or a tuple of " + std::to_string(rank) + " columns");
    std::size_t count = 1;
    for (py::ssize_t d = 0; d + 1 < dims; ++d) {
        out.shape.push_back(array.shape(d));
        count *= static_cast<std::size_t>(array.shape(d));
    }
    out.points = Points(rank, count);
    const py::ssize_t size = sizeof(double);
    for (std::size_t k = 0; k < rank; ++k)
        out.points.set_column(k, array.data() + static_cast<py::ssize_t>(k) * (array.strides(dims - 1) / size),
                              dims > 1 ? array.strides(dims - 2) / size : 0);
    out.alive.push_back(array);
    return out;
}

/// Points as columns that broadcast against each other.
Given from_columns(const py::tuple& columns, std::size_t rank) {
    if (columns.size() != rank)
        refuse_input("this many columns are not points of " + std::to_string(rank) + " coordinates",
                     std::to_string(columns.size()), std::to_string(rank) + " columns");
    Given out;
    std::vector<Doubles> arrays;
    for (const py::handle& column : columns) {
        arrays.push_back(as_doubles(column, 0));
        const py::array& a = arrays.back();
        const auto dims = static_cast<std::size_t>(a.ndim());
        if (dims > out.shape.size()) out.shape.insert(out.shape.begin(), dims - out.shape.size(), 1);
        for (std::size_t d = 0; d < dims; ++d) {
            py::ssize_t& mine = out.shape[out.shape.size() - dims + d];
            const py::ssize_t its = a.shape(static_cast<py::ssize_t>(d));
            if (mine == 1) mine = its;
            if (its != 1 && its != mine)
                refuse_input(
                    "column " + std::to_string(arrays.size() - 1) + " does not broadcast against those before it",
                    shape_text(a), "shapes that broadcast");
        }
    }
    std::size_t count = 1;
    for (const py::ssize_t n : out.shape) count *= static_cast<std::size_t>(n);
    out.points = Points(rank, count);
    for (std::size_t k = 0; k < rank; ++k) {
        Doubles array = arrays[k];
        const bool whole = static_cast<std::size_t>(array.ndim()) == out.shape.size() &&
                           static_cast<std::size_t>(array.size()) == count;
        if (array.size() != 1 && !whole) {
            const py::object spread = py::module_::import("numpy").attr("broadcast_to")(array, py::cast(out.shape));
            array = as_doubles(spread, 0);
        }
        const bool one = array.size() == 1 || array.ndim() == 0;
        out.points.set_column(k, array.data(),
                              one ? 0 : array.strides(array.ndim() - 1) / static_cast<py::ssize_t>(sizeof(double)));
        out.alive.push_back(array);
    }
    return out;
}

class GridObject {
   public:
    GridObject(std::vector<Axis> axes, std::vector<double> values, std::size_t outputs, std::vector<Mark> marks,
               bool squeeze)
        : grid_(std::move(axes), std::move(values), outputs, std::move(marks)), squeeze_(squeeze) {}

    const Grid& grid() const { return grid_; }
    bool squeeze() const { return squeeze_; }

    [[nodiscard]] Given given(const py::handle& points) const {
        if (py::isinstance<py::tuple>(points))
            return from_columns(py::reinterpret_borrow<py::tuple>(points), grid_.rank());
        return from_array(points, grid_.rank());
    }

    /// An array for results of this leading shape, or the caller's own.
    [[nodiscard]] py::array_t<double> room(std::vector<py::ssize_t> shape, const py::object& out) const {
        if (!squeeze_) shape.push_back(static_cast<py::ssize_t>(grid_.outputs()));
        if (out.is_none()) return py::array_t<double>(shape);
        if (!py::isinstance<py::array_t<double, py::array::c_style>>(out))
            refuse_input("out cannot take the values", py::str(py::type::of(out)), "a C-contiguous float64 array");
        auto array = py::reinterpret_borrow<py::array_t<double>>(out);
        bool fits = array.ndim() == static_cast<py::ssize_t>(shape.size());
        for (std::size_t d = 0; fits && d < shape.size(); ++d)
            fits = array.shape(static_cast<py::ssize_t>(d)) == shape[d];
        if (!fits) refuse_input("out has the wrong shape", shape_text(array), py::str(py::cast(shape)));
        if (!array.writeable() || !aligned(array))
            refuse_input("out cannot be written to", "", "a writable, aligned array");
        return array;
    }

    [[noreturn]] void refuse(const Reason& reason) const { throw Refused(reason, explain(reason)); }

    [[nodiscard]] std::string explain(const Reason& reason) const {
        const auto number = [](double v) { return detail::number_text(v); };
        // A reason may come from an array that anybody could have written to.
        const bool has_axis = reason.axis >= 0 && static_cast<std::size_t>(reason.axis) < grid_.rank();
        const bool has_node = reason.node >= 0 && static_cast<std::size_t>(reason.node) < grid_.nodes();
        const std::string axis =
            has_axis ? "axis '" + grid_.axes()[static_cast<std::size_t>(reason.axis)].name() + "'" : "a value";
        if (reason.why == Why::outside)
            return axis + ": " + number(reason.value) + " is outside " + number(reason.lower) + " to " +
                   number(reason.upper);
        if (reason.why == Why::not_finite && reason.about == About::axis) return axis + ": " + number(reason.value);
        if (reason.why == Why::not_finite) return "the numbers of this cell are too large to interpolate";
        std::string text =
            reason.why == Why::blank ? "the cell needs a blank node" : "the cell needs a node beyond a limit";
        if (!has_node) return text;
        text += " (";
        const auto index = grid_.index(static_cast<std::size_t>(reason.node));
        for (std::size_t k = 0; k < grid_.rank(); ++k)
            text += (k > 0 ? ", " : "") + grid_.axes()[k].name() + " " + number(grid_.breakpoints(k)[index[k]]);
        return text + ")";
    }

    static py::object call(const py::object& grid, const py::object& points, const py::object& out,
                           const py::object& threads) {
        if (!bare(points)) return grid.attr("_call_dressed")(points, out, threads);
        return grid.cast<const GridObject&>().call_bare(points, out, threads);
    }

    py::object call_bare(const py::object& points, const py::object& out, const py::object& threads) const {
        const BatchOptions options = options_of(threads);
        // One point given as an array: no copies, no shapes.
        if (out.is_none() && py::isinstance<py::array_t<double, py::array::c_style>>(points)) {
            const auto array = py::reinterpret_borrow<py::array_t<double>>(points);
            if (array.ndim() == 1 && static_cast<std::size_t>(array.shape(0)) == grid_.rank())
                return one({array.data(), grid_.rank()});
        }
        const Given given_points = given(points);
        if (given_points.shape.empty() && out.is_none()) {
            std::array<double, max_rank> x{};
            for (std::size_t k = 0; k < grid_.rank(); ++k) x[k] = given_points.points(0, k);
            return one({x.data(), grid_.rank()});
        }
        const py::array_t<double> values = room(given_points.shape, out);
        run(given_points.points, values, {}, {}, options);
        if (given_points.shape.empty() && values.data()[0] != values.data()[0]) {
            std::array<double, max_rank> x{};
            for (std::size_t k = 0; k < grid_.rank(); ++k) x[k] = given_points.points(0, k);
            return one({x.data(), grid_.rank()});  // refuses
        }
        return values;
    }

    /// (values, reasons, footing), each with the leading shape of the points.
    py::tuple evaluate_all(const py::object& points, const py::object& threads,
                           const std::optional<std::string>& kernels) const {
        const Given given_points = given(points);
        const py::array_t<double> values = room(given_points.shape, py::none());
        const py::array_t<Reason> reasons(given_points.shape);
        const py::array_t<std::uint8_t> footing(given_points.shape);
        const std::size_t count = given_points.points.size();
        BatchOptions options = options_of(threads);
        if (kernels) {
            options.kernels = {};
            for (const Kernels& one : available_kernels())
                if (one.name() == *kernels) options.kernels = one;
            if (options.kernels.table() == nullptr)
                refuse_input("there are no such kernels here", *kernels, "one of available_kernels()");
        }
        run(given_points.points, values, {const_cast<Reason*>(reasons.data()), count},
            {reinterpret_cast<Footing*>(const_cast<std::uint8_t*>(footing.data())), count}, options);
        return py::make_tuple(values, reasons, footing);
    }

    py::object sweep_all(const py::sequence& coordinates, const py::object& out, const py::object& threads) const {
        std::vector<py::array_t<double, py::array::c_style | py::array::forcecast>> arrays;
        std::vector<std::span<const double>> spans;
        std::vector<py::ssize_t> shape;
        for (const py::handle& one : coordinates) {
            arrays.emplace_back(py::reinterpret_borrow<py::object>(one));
            if (arrays.back().ndim() > 1)
                refuse_input("a sweep takes one row of values per axis", shape_text(arrays.back()), "(n,) or a number");
            spans.emplace_back(arrays.back().data(), static_cast<std::size_t>(arrays.back().size()));
            shape.push_back(arrays.back().size());
        }
        if (spans.size() != grid_.rank())
            refuse_input("a sweep has the wrong number of axes", std::to_string(spans.size()),
                         std::to_string(grid_.rank()));
        const py::array_t<double> values = room(shape, out);
        const std::span<double> to(const_cast<double*>(values.data()), static_cast<std::size_t>(values.size()));
        const BatchOptions options = options_of(threads);
        const std::span<const double> first_axis = spans[0];
        const std::size_t rest = to.size() / std::max<std::size_t>(1, first_axis.size()),
                          short_enough = binding::rows_at_once * grid_.outputs() / std::max<std::size_t>(1, rest);
        binding::in_parts(first_axis.size(), std::max<std::size_t>(1, short_enough) * std::max(1u, options.threads),
                          [&](std::size_t first, std::size_t last) {
                              spans[0] = first_axis.subspan(first, last - first);
                              sweep(grid_.view(), spans, to.subspan(first * rest, (last - first) * rest), options);
                          });
        return values;
    }

    py::tuple gradient_at(const py::object& point, bool upper) const {
        const auto x = single(point);
        const auto found = grid_.gradient({x.data(), grid_.rank()}, upper ? Side::upper : Side::lower);
        if (!found) refuse(found.reason());
        const auto rank = static_cast<py::ssize_t>(grid_.rank()), outputs = static_cast<py::ssize_t>(grid_.outputs());
        py::array_t<double> slope(squeeze_ ? std::vector<py::ssize_t>{rank} : std::vector<py::ssize_t>{rank, outputs});
        py::tuple sides(rank);
        for (py::ssize_t k = 0; k < rank; ++k) {
            const auto axis = static_cast<std::size_t>(k);
            std::copy_n(found->slope[axis].data(), outputs, slope.mutable_data() + k * outputs);
            sides[axis] = found->side[axis] == Side::upper ? "upper" : "lower";
        }
        return py::make_tuple(outputs_of(found->value.data()), slope, sides);
    }

    py::tuple cell_at(const py::object& point) const {
        const auto x = single(point);
        const auto found = grid_.cell({x.data(), grid_.rank()});
        if (!found) refuse(found.reason());
        const std::size_t rank = grid_.rank(), corners = found->corners();
        py::array_t<std::int64_t> nodes(
            std::vector<py::ssize_t>{static_cast<py::ssize_t>(corners), static_cast<py::ssize_t>(rank)});
        py::array_t<double> weights(static_cast<py::ssize_t>(corners));
        for (std::size_t i = 0; i < corners; ++i) {
            const Corner corner = found->corner(i);
            const auto index = grid_.index(static_cast<std::size_t>(corner.node));
            std::copy_n(index.data(), rank, nodes.mutable_data() + i * rank);
            weights.mutable_data()[i] = corner.weight;
        }
        py::tuple lower(rank), t(rank);
        for (std::size_t k = 0; k < rank; ++k) {
            lower[k] = found->lower[k];
            t[k] = found->t[k];
        }
        return py::make_tuple(lower, t, nodes, weights, static_cast<int>(found->footing));
    }

    py::tuple solve_at(const py::object& point, const py::object& axis, const py::object& output, double target) const {
        const auto number = [](const char* problem, const py::object& given, std::size_t count) {
            const py::ssize_t whole =
                PyNumber_AsSsize_t(given.ptr(), nullptr);  // the greatest there is for any greater
            const bool is_whole = PyErr_Occurred() == nullptr;
            PyErr_Clear();
            if (!is_whole || whole < 0 || whole >= static_cast<py::ssize_t>(count))
                refuse_input(problem, py::str(py::module_::import("offnominal._texts").attr("in_words")(given)),
                             "0 to " + std::to_string(count - 1));
            return static_cast<std::size_t>(whole);
        };
        const std::size_t along = number("there is no such axis", axis, grid_.rank());
        const std::size_t of = number("there is no such output", output, grid_.outputs());
        const auto x = single(point);
        std::vector<Crossing> crossings(grid_.breakpoints(along).size() + 2);
        const auto found = solve(grid_.view(), {x.data(), grid_.rank()}, along, of, target, crossings);
        if (!found) refuse(found.reason());
        py::list out;
        for (std::size_t i = 0; i < found->count; ++i)
            out.append(py::make_tuple(crossings[i].lower, crossings[i].upper));
        return py::make_tuple(out, found->hidden_cells);
    }

   private:
    /// Batches on this many threads, which Python checks where they are not the 1 that is meant where none is given.
    [[nodiscard]] static BatchOptions options_of(const py::object& threads) {
        static PyObject* const one = PyLong_FromLong(1);  // the interpreter has one object for it
        if (threads.ptr() == one) return on_threads(1, fastest_kernels());
        py::module_::import("offnominal._units").attr("check_threads")(threads);
        return on_threads(threads.cast<unsigned>(), fastest_kernels());
    }

    [[nodiscard]] std::array<double, max_rank> single(const py::object& point) const {
        const Given given_point = given(point);
        if (given_point.points.size() != 1)
            refuse_input("one point at a time", std::to_string(given_point.points.size()), "1");
        std::array<double, max_rank> x{};
        for (std::size_t k = 0; k < grid_.rank(); ++k) x[k] = given_point.points(0, k);
        return x;
    }

    [[nodiscard]] py::object outputs_of(const double* values) const {
        if (squeeze_) return py::float_(values[0]);
        py::array_t<double> out(static_cast<py::ssize_t>(grid_.outputs()));
        std::copy_n(values, grid_.outputs(), out.mutable_data());
        return out;
    }

    [[nodiscard]] py::object one(std::span<const double> x) const {
        const auto found = grid_.at(x);
        if (!found) refuse(found.reason());
        return outputs_of(found->value.data());
    }

    void run(const Points& points, const py::array_t<double>& values, std::span<Reason> reasons,
             std::span<Footing> footing, const BatchOptions& options) const {
        const std::span<double> to(const_cast<double*>(values.data()), static_cast<std::size_t>(values.size()));
        if (points.size() < worth_releasing) {
            evaluate(grid_.view(), points, to, reasons, footing, options);
            return;
        }
        const auto part = [](const auto& span, std::size_t first, std::size_t count) {
            return span.empty() ? span : span.subspan(first, count);
        };
        binding::in_parts(points.size(), binding::rows_at_once * std::max(1u, options.threads),
                          [&](std::size_t first, std::size_t last) {
                              const std::size_t count = last - first, outputs = grid_.outputs();
                              evaluate(grid_.view(), points.part(first, count),
                                       part(to, first * outputs, count * outputs), part(reasons, first, count),
                                       part(footing, first, count), options);
                          });
    }

    Grid grid_;
    bool squeeze_;  ///< values were given without a last dimension for outputs
};

GridObject make(const std::vector<std::string>& names, const std::vector<std::vector<double>>& breakpoints,
                const std::vector<std::pair<std::string, double>>& outside,
                const py::array_t<double, py::array::c_style | py::array::forcecast>& values,
                const std::optional<std::vector<std::uint8_t>>& marks) {
    std::vector<Axis> axes;
    for (std::size_t k = 0; k < names.size(); ++k) {
        const auto& [policy, limit] = outside.at(k);
        axes.emplace_back(names[k], breakpoints.at(k),
                          policy == "hold"     ? Edge::hold()
                          : policy == "extend" ? Edge::extend(limit)
                                               : Edge::refuse());
    }
    const std::size_t rank = axes.size();
    const auto dims = static_cast<std::size_t>(values.ndim());
    bool fits = dims == rank || dims == rank + 1;
    std::string expected;
    for (std::size_t k = 0; k < rank; ++k) {
        const auto size = static_cast<py::ssize_t>(axes[k].breakpoints().size());
        fits = fits && values.shape(static_cast<py::ssize_t>(k)) == size;
        expected += (k > 0 ? ", " : "") + std::to_string(size);
    }
    if (!fits)
        refuse_input("values of this shape do not fit the axes", shape_text(values),
                     "(" + expected + ") or (" + expected + ", outputs)");
    std::vector<Mark> own;
    if (marks)
        for (const std::uint8_t mark : *marks) own.push_back(static_cast<Mark>(mark));
    const std::size_t outputs = dims == rank ? 1 : static_cast<std::size_t>(values.shape(values.ndim() - 1));
    return GridObject(std::move(axes), std::vector<double>(values.data(), values.data() + values.size()), outputs,
                      std::move(own), dims == rank);
}

}  // namespace

void bind_grid(py::module_& m) {
    PYBIND11_NUMPY_DTYPE(Reason, why, about, axis, node, value, lower, upper);
    py::class_<GridObject>(m, "_Grid")
        .def(py::init(&make), py::arg("names"), py::arg("breakpoints"), py::arg("outside"), py::arg("values"),
             py::arg("marks") = py::none())
        .def("__call__", &GridObject::call, py::arg("points"), py::arg("out") = py::none(), py::arg("threads") = 1)
        .def("_call", &GridObject::call_bare, py::arg("points"), py::arg("out"), py::arg("threads"))
        .def("_evaluate", &GridObject::evaluate_all, py::arg("points"), py::arg("threads") = 1,
             py::arg("kernels") = py::none())
        .def("_sweep", &GridObject::sweep_all, py::arg("coordinates"), py::arg("out") = py::none(),
             py::arg("threads") = 1)
        .def("_gradient", &GridObject::gradient_at, py::arg("point"), py::arg("upper"))
        .def("_cell", &GridObject::cell_at, py::arg("point"))
        .def("_solve", &GridObject::solve_at, py::arg("point"), py::arg("axis"), py::arg("output"), py::arg("target"))
        .def("_explain",
             [](const GridObject& self, int why, int axis, int node, double value, double lower, double upper) {
                 const auto kind = static_cast<Why>(why);
                 return self.explain({kind, axis >= 0 ? About::axis : About::nothing, static_cast<std::int16_t>(axis),
                                      node, value, lower, upper});
             })
        .def_property_readonly("_values", [](const py::object& self) {
            const auto& object = self.cast<const GridObject&>();
            std::vector<py::ssize_t> shape;
            for (const Axis& axis : object.grid().axes())
                shape.push_back(static_cast<py::ssize_t>(axis.breakpoints().size()));
            if (!object.squeeze()) shape.push_back(static_cast<py::ssize_t>(object.grid().outputs()));
            py::array_t<double> view(shape, object.grid().values().data(), self);  // keeps the grid alive
            view.attr("setflags")(py::arg("write") = false);
            return view;
        });
    m.def(
        "available_kernels",
        [] {
            std::vector<std::string> names;
            for (const Kernels& kernels : available_kernels()) names.emplace_back(kernels.name());
            return names;
        },
        "Names of the instruction sets that batches can run on here, slowest first.");
}
