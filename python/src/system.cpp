// A system: what it is, and the files it comes from.
#include <algorithm>
#include <bit>
#include <cmath>

#include "common.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/files.hpp"
#include "told.hpp"

namespace binding {
namespace {

py::list envelope_of(const System& system, const std::string& units) {
    const UnitSystem caller = CallerUnits::of(units).system;
    py::list out;
    for (const Envelope& page : envelope(system)) {
        py::dict axes;
        for (const Envelope::Range& axis : page.axes) {
            const Unit& unit = axis.unit(caller);
            py::list breakpoints;
            for (const double x : axis.breakpoints) breakpoints.append(unit.from_si(x));
            std::string name = axis.name;
            std::replace(name.begin(), name.end(), ' ', '_');
            axes[py::str(name)] = breakpoints;
        }
        py::dict entry;
        entry["mode"] = page.heating ? "heating" : "cooling";
        entry["frost"] = page.heating ? std::string(name(page.frost)) : std::string();
        entry["stage"] = page.stage;
        entry["match"] = page.match;
        entry["axes"] = axes;
        entry["nodes"] = page.nodes;
        entry["blanks"] = page.blanks;
        out.append(entry);
    }
    return out;
}

/// What a system covers beside its pages.
py::dict coverage_of(const System& system, const std::string& units) {
    const UnitSystem caller = CallerUnits::of(units).system;
    const auto number = [caller](Kind kind, double si) {
        return std::isfinite(si) ? py::object(py::float_(unit_of(kind, caller).from_si(si))) : py::none();
    };
    const auto pair = [&](Kind kind, double least, double greatest) {
        return py::make_tuple(number(kind, least), number(kind, greatest));
    };
    const Coverage covered = coverage(system);
    py::list lines;
    for (const Coverage::Lines& line : covered.lines) {
        py::list lengths;
        for (const Length length : line.lengths) lengths.append(number(Kind::length, length.si));
        py::dict entry;
        entry["mode"] = std::string(name(line.mode));
        entry["suction"] = number(Kind::tubing, line.suction.si);
        entry["lengths"] = lengths;
        lines.append(entry);
    }
    py::dict out, airflow;
    for (const Coverage::MatchAirflow& match : covered.airflow)
        airflow[py::str(match.match)] = pair(Kind::airflow, match.least.si, match.greatest.si);
    out["lines"] = lines;
    out["lift"] = pair(Kind::length, covered.lift.least_lift.si, covered.lift.greatest_lift.si);
    out["airflow"] = airflow;
    out["elevation"] = covered.elevation
                           ? py::object(pair(Kind::length, covered.elevation->first.si, covered.elevation->second.si))
                           : py::none();
    return out;
}

/// The stages with heating pages, and the kinds each prints.
py::dict heating_stages_of(const System& system) {
    py::dict out;
    for (const std::string& stage : system.heating_stage_names()) {
        py::list kinds;
        for (const HeatingStage& page : system.parts().heating)
            if (page.name == stage) kinds.append(std::string(name(page.frost)));
        out[py::str(stage)] = kinds;
    }
    return out;
}

}  // namespace
}  // namespace binding

void bind_system(pybind11::module_& m) {
    using namespace binding;
    py::class_<System> system(m, "System");

    system.def(py::init<const System&>())
        .def_property_readonly("name", &System::name)
        .def_property_readonly("nominal", [](const System& s) { return s.parts().nominal; })
        .def_property_readonly("refrigerant", [](const System& s) { return s.parts().refrigerant; })
        .def_property_readonly("source",
                               [](const System& s) {
                                   py::dict out;
                                   out["document"] = s.parts().source.document;
                                   out["revision"] = s.parts().source.revision;
                                   out["page"] = s.parts().source.page;
                                   out["transcriber"] = s.parts().source.transcriber;
                                   out["checker"] = s.parts().source.checker;
                                   return out;
                               })
        .def_property_readonly("stages", &System::stage_names)
        .def_property_readonly("matches", &System::match_names)
        .def_property_readonly("speed_unit", [](const System& s) { return std::string(s.parts().speed_unit.name); })
        .def_property_readonly("speeds",
                               [](const System& s) {
                                   py::dict out;
                                   for (const Stage& stage : s.parts().cooling)
                                       if (stage.speed)
                                           out[py::str(stage.name)] = s.parts().speed_unit.from_si(*stage.speed);
                                   return out;
                               })
        .def("envelope", &envelope_of, py::arg("units"))
        .def("coverage", &coverage_of, py::arg("units"))
        .def_property_readonly("heating_stages", &heating_stages_of);

    m.def(
        "load_system", [](const std::string& path) { return load_system(path); }, py::arg("path"));
    m.def("system_to_bytes", [](const System& s) { return py::bytes(system_to_bytes(s)); });
    m.def("system_from_bytes", [](const py::bytes& data) {
        const std::string_view bytes = data;
        return system_from_bytes({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()});
    });
    m.def("file_beside",
          [](const std::string& path, const std::string& name) { return path_object(file_beside(path, name)); });
    m.def(
        "parse_system",
        [](const std::string& text, const std::string& name, const std::string& folder) {
            return parse_system(text, name, folder);
        },
        py::arg("text"), py::arg("name"), py::arg("folder"));
    PYBIND11_NUMPY_DTYPE(PackedNotes, first, second);
    m.def("describe_notes", [](std::uint64_t first, std::uint64_t second) {
        return notes_list(std::bit_cast<Notes>(PackedNotes{first, second}));
    });
    m.def("describe_footing", [](std::uint8_t bits) { return describe(static_cast<Footing>(bits)); });
    py::list spellings;  // of units on pages: name, spellings, whether there are thousands of it
    for (const UnitSpellings& row : unit_spellings())
        if (row.on_pages) spellings.append(py::make_tuple(row.unit, row.spellings, row.is_whole));
    m.attr("unit_spellings") = py::tuple(spellings);
    m.attr("why_names") = all_words<Why>();
    m.attr("about_names") = all_words<About>();
    py::list about_units;  // of the numbers of a reason, in IP; in SI they are SI
    for (const auto& row : words_of<About>) {
        const Unit& unit = shown_unit(row.value, UnitSystem::IP);
        about_units.append(py::make_tuple(unit.times, unit.over, unit.offset));
    }
    m.attr("about_units") = about_units;
}
