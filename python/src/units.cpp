// The tables of units, of kinds and of words, for Python.
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <algorithm>
#include <string>
#include <vector>

#include "offnominal/airflow/determine.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/detail/text.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
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

/// The words that an argument may be: those of its enumeration, but for what nobody types.
template <offnominal::Worded E>
py::tuple typed_words(std::initializer_list<std::string_view> but = {"unknown"}) {
    py::list out;
    for (const auto& row : offnominal::words_of<E>)
        if (!row.word.empty() && std::find(but.begin(), but.end(), row.word) == but.end())
            out.append(std::string(row.word));
    return py::tuple(out);
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
    py::dict words;
    words["units"] = typed_words<offnominal::UnitSystem>();
    words["mode"] = typed_words<offnominal::Mode>();
    words["boundary"] = typed_words<offnominal::Boundary>();
    words["outside"] = typed_words<offnominal::Outside>();
    words["frost"] = typed_words<offnominal::Frost>();
    words["fan"] = typed_words<offnominal::FanPosition>();
    words["split"] = typed_words<offnominal::Split>();
    words["airflow_at"] = typed_words<offnominal::air::Place>();
    words["airflow_basis"] = typed_words<offnominal::AirflowReading::Kind>({"actual"});
    words["date_order"] = typed_words<offnominal::LogFormat::DateOrder>();
    words["fitting"] = typed_words<offnominal::Fitting>();
    words["flaws"] = typed_words<offnominal::LogFormat::Flaws>();
    words["traverse_rule"] = typed_words<offnominal::TraverseRule>();
    m.attr("words") = words;

    m.def(
        "nearest",
        [](const std::string& typed, const std::vector<std::string>& accepted, bool surely) {
            using offnominal::detail::edits, offnominal::detail::lower;
            const std::string near_by(offnominal::detail::nearest(accepted, typed));
            const bool is_sure = edits(lower(near_by), lower(typed)) <= typed.size() / 6;
            return surely && !is_sure ? std::string() : near_by;
        },
        py::arg("typed"), py::arg("accepted"), py::arg("surely") = false,
        "The accepted word that was probably meant, or nothing; with surely hardly another: where typed may be a word "
        "of its own.");

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
