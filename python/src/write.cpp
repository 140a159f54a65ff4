// Systems and visits as text, the pages of a system as plain data, and two systems held against each other.
#include <algorithm>
#include <memory>
#include <vector>

#include "common.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/files.hpp"
#include "read/beside.hpp"
#include "text/yaml.hpp"

namespace binding {
namespace {

/// A key as Python spells it: `rated_total`.
std::string spelled(std::string key) {
    for (std::size_t at = 0; (at = key.find(": ")) != std::string::npos;) key.replace(at, 2, "_");
    std::ranges::replace(key, ' ', '_');
    return key;
}

py::dict page_of(const PageColumns& page, const CallerUnits& caller) {
    py::dict out, columns, typed, basis;
    py::list axes, marks, places;
    out["mode"] = page.frost ? "heating" : "cooling";
    out["frost"] = page.frost ? py::object(py::str(std::string(name(*page.frost)))) : py::object(py::none());
    out["stage"] = page.stage;
    out["match"] = page.match;
    out["speed"] = page.speed;
    out["infer"] = page.infer;
    out["multiplied"] = page.multiplied;
    for (const PageColumns::Axis& axis : page.axes) {
        const Unit unit = unit_of_role({}, axis.dimension, caller);
        py::list values;
        for (std::size_t i = 0; i < axis.size(); ++i) {
            const auto at = [&](std::size_t role) { return unit.from_si(axis.values[role][i]); };
            if (axis.roles.size() == 1)
                values.append(at(0));
            else
                values.append(py::make_tuple(at(0), at(1)));
        }
        axes.append(py::make_tuple(spelled(axis.name), values, std::string(unit.name)));
    }
    for (const PageColumns::Column& column : page.columns) {
        const Unit unit = unit_of_role(column.role, column.unit.dimension, caller);
        py::array_t<double> values(static_cast<py::ssize_t>(column.values.size()));
        std::ranges::transform(column.values, values.mutable_data(), [&](double x) { return unit.from_si(x); });
        columns[py::str(column.role)] = py::make_tuple(values, std::string(unit.name), unit.from_si(column.step));
    }
    for (const TypedColumn& column : page.typed)
        typed[py::str(column.role)] = py::make_tuple(column.texts, std::string(column.unit.name));
    for (const Mark mark : page.marks) marks.append(std::string(name(mark)));
    for (const InputError::Place& place : page.places)
        places.append(py::make_tuple(place.file, place.line, place.column));
    for (const Fact& fact : page.basis) {
        const std::string key = fact.path.substr(fact.path.find(": ") + 2);
        py::object value = py::none();
        if (fact.si)
            value = py::float_(unit_of_role(key, fact.dimension, caller).from_si(*fact.si));
        else if (!fact.text.empty())
            value = py::str(fact.text);
        basis[py::str(spelled(key))] = value;
    }
    out["axes"] = axes;
    out["columns"] = columns;
    out["typed"] = typed;
    out["marks"] = marks;
    out["places"] = places;
    out["basis"] = basis;
    out["notes"] = notes_list(page.notes);
    return out;
}

py::list page_list(const System& system, const std::string& units) {
    const CallerUnits& caller = CallerUnits::of(units);
    py::list out;
    for (const PageColumns& page : page_columns(system)) out.append(page_of(page, caller));
    return out;
}

/// What `offnominal.collation` words: differences, counts, and columns in different units.
py::tuple collated(const System& first, const System& second) {
    const Collation found = collate(first, second);
    const auto place = [](const InputError::Place& p) { return py::make_tuple(p.file, p.line, p.column); };
    py::list differences, units;
    for (const Difference& d : found.differences)
        differences.append(py::make_tuple(std::string(name(d.kind)), d.page, d.where, d.column, d.first, d.second,
                                          d.percent, place(d.first_place), place(d.second_place)));
    for (const Collation::Units& u : found.units)
        units.append(py::make_tuple(u.role, u.first, u.second, u.first_is_coarser));
    return py::make_tuple(differences, found.nodes, found.nodes_same, found.only_first, found.only_second, units);
}

/// A tree of a file as dicts, lists and texts.
py::object tree_of(const files::Item& item) {
    using Kind = files::Item::Kind;
    if (item.kind == Kind::null) return py::none();
    if (item.kind == Kind::scalar) return py::str(item.text);
    if (item.kind == Kind::list) {
        py::list out;
        for (const files::Item& one : item.values) out.append(tree_of(one));
        return out;
    }
    py::dict out;
    for (std::size_t k = 0; k < item.keys.size(); ++k) out[py::str(item.keys[k].text)] = tree_of(item.values[k]);
    return out;
}

py::object visit_tree(const std::shared_ptr<Visit>& visit) {
    files::Budget budget{Limits{}};
    const std::string folder;
    const files::Beside beside(folder);
    return tree_of(
        files::parse_tree(files::Text::from_string(write_visit(*visit), "<visit>", budget), budget, beside).root);
}

}  // namespace
}  // namespace binding

void bind_write(pybind11::module_& m) {
    using namespace binding;
    m.def("write_system", &write_system, py::arg("system"));
    m.def(
        "write_visit", [](const std::shared_ptr<Visit>& visit) { return write_visit(*visit); }, py::arg("visit"));
    // What a visit says whichever way it was typed: 0.90 is 0.9.
    m.def(
        "visit_content",
        [](const std::shared_ptr<Visit>& visit) {
            Visit plain = *visit;
            plain.typed.clear();
            return write_visit(plain);
        },
        py::arg("visit"));
    m.def("visit_tree", &visit_tree, py::arg("visit"));
    m.def("pages", &page_list, py::arg("system"), py::arg("units"));
    m.def("collate", &collated, py::arg("first"), py::arg("second"));
}
