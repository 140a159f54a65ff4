// The audit of printed pages, as plain dictionaries; offnominal/_audit.py makes classes of them.
#include "offnominal/audit.hpp"

#include <optional>
#include <tuple>
#include <vector>

#include "common.hpp"
#include "offnominal/audit.hpp"
#include "offnominal/files.hpp"

namespace binding {
namespace {

template <class T>
py::object or_none(const std::optional<T>& value) {
    return value ? py::cast(*value) : py::object(py::none());
}

py::dict suspect_dict(const Suspect& s, const CallerUnits& caller) {
    const Unit unit = unit_of_role(s.column, s.unit.dimension, caller);
    py::dict out;
    out["column"] = s.column;
    out["node"] = or_none(s.node);
    out["block"] = s.block;
    out["other"] = s.other;
    out["file"] = s.place.file;
    out["line"] = s.place.line;
    out["place_column"] = s.place.column;
    out["typed"] = s.typed;
    out["unit"] = std::string(unit.name);
    out["printed"] = unit.from_si(s.printed);
    out["implied"] = s.implied ? py::object(py::float_(unit.from_si(*s.implied))) : py::object(py::none());
    out["checks"] = names(s.checks);
    out["slip"] = std::string(name(s.slip));
    out["guess"] = s.guess;
    out["score"] = s.score;
    out["cell"] = s.cell;
    py::list edits;
    for (const Edit& e : s.edits) edits.append(py::make_tuple(e.line, e.column, e.typed, e.meant, e.unit));
    out["_edits"] = py::tuple(edits);
    out["why"] = why(s);
    out["text"] = describe(s);
    return out;
}

py::dict question_dict(const Question& q) {
    static constexpr std::array about{"capacity", "power", "sensible_at", "certified"};
    py::dict out, hypotheses;
    for (const Question::Hypothesis& h : q.hypotheses) hypotheses[py::str(h.name)] = h.misfit;
    out["about"] = about[static_cast<std::size_t>(q.about)];
    out["stated"] = q.stated;
    out["hypotheses"] = hypotheses;
    out["decisive"] = q.decisive;
    out["nodes"] = q.nodes;
    out["text"] = describe(q);
    return out;
}

py::dict leave_one_out_dict(const LeaveOneOut& l) {
    static constexpr std::array axes{"outdoor_dry_bulb", "airflow", "humidity", "entering_dry_bulb", "pressure"};
    py::dict out;
    out["axis"] = axes[static_cast<std::size_t>(l.axis)];
    out["column"] = l.column;
    out["rms"] = l.rms;
    out["worst"] = l.worst;
    out["nodes"] = l.nodes;
    return out;
}

py::dict page_dict(const std::string& stage, const std::string& match, const std::string& frost, const Audit& audit,
                   const CallerUnits& caller) {
    py::list suspects, questions, leave_one_out;
    for (const Suspect& s : audit.suspects) suspects.append(suspect_dict(s, caller));
    for (const Question& q : audit.questions) questions.append(question_dict(q));
    for (const LeaveOneOut& l : audit.leave_one_out) leave_one_out.append(leave_one_out_dict(l));
    py::dict entry;
    entry["stage"] = stage;
    entry["match"] = match;
    entry["mode"] = frost.empty() ? "cooling" : "heating";
    entry["frost"] = frost;
    entry["nodes"] = audit.nodes;
    entry["suspects"] = suspects;
    entry["questions"] = questions;
    entry["leave_one_out"] = leave_one_out;
    entry["text"] = report(audit);
    return entry;
}

/// Adds what is suspect of the speeds of a variable-speed compressor to its pages: first, as a label is.
/// @param group  pages of one group have one compressor between them
template <class Page, class Group>
void add_speeds(const std::vector<Page>& pages, const Group& group, std::vector<Audit>& audits) {
    for (std::size_t first = 0; first < pages.size(); ++first) {
        std::vector<std::size_t> members;
        std::vector<double> speeds;
        std::vector<decltype(Page::page)> printed;
        for (std::size_t i = 0; i < pages.size(); ++i) {
            if (!pages[i].speed || group(pages[i]) != group(pages[first])) continue;
            members.push_back(i);
            speeds.push_back(*pages[i].speed);
            printed.push_back(pages[i].page);
        }
        if (members.empty() || members.front() != first) continue;
        const auto found = audit_speeds(speeds, pages[first].speed_unit, printed);
        for (std::size_t k = 0; k < members.size(); ++k)
            if (found[k]) audits[members[k]].suspects.insert(audits[members[k]].suspects.begin(), *found[k]);
    }
}

/// @param told  called with the share of the pages that is done, unless it is None
py::list audit_pages(const PagesOfFile& of, const std::string& units, const py::object& told) {
    const std::vector<PageOfFile>& pages = of.cooling;
    const std::vector<HeatingPageOfFile>& heating = of.heating;
    const CallerUnits& caller = CallerUnits::of(units);
    std::vector<Audit> cooling, heated;
    const auto audit_next = [&](const auto& one) {
        {
            const py::gil_scoped_release release;
            one();
        }
        hear_interrupts();
        if (!told.is_none())
            told(static_cast<double>(cooling.size() + heated.size()) /
                 static_cast<double>(pages.size() + heating.size()));
    };
    for (const PageOfFile& page : pages) audit_next([&] { cooling.push_back(audit(page.basis, page.page)); });
    for (const HeatingPageOfFile& page : heating)
        audit_next([&] { heated.push_back(audit(page.basis, page.page, page.frost)); });
    {
        const py::gil_scoped_release release;
        add_speeds(
            pages, [](const PageOfFile& page) { return page.match; }, cooling);
        add_speeds(
            heating, [](const HeatingPageOfFile& page) { return page.frost; }, heated);
    }
    py::list out;
    for (std::size_t i = 0; i < pages.size(); ++i)
        out.append(page_dict(pages[i].stage, pages[i].match, {}, cooling[i], caller));
    for (std::size_t i = 0; i < heating.size(); ++i)
        out.append(page_dict(heating[i].stage, {}, std::string(name(heating[i].frost)), heated[i], caller));
    return out;
}

/// The text of a file with a suspect put right; `edits` as they were told.
std::string apply_edits(const std::vector<std::tuple<int, std::string, std::string, std::string, bool>>& edits,
                        const std::string& file, int line, const std::string& typed, const std::string& text) {
    Suspect suspect;
    suspect.place = {file, line, 0};
    suspect.typed = typed;
    for (const auto& [at, column, was, meant, unit] : edits) suspect.edits.push_back({at, column, was, meant, unit});
    return suspect.apply(text);
}

}  // namespace
}  // namespace binding

void bind_audit(pybind11::module_& m) {
    using namespace binding;
    m.def("audit_system",
          [](const System& s, const std::string& units) { return audit_pages(pages_of(s), units, py::none()); });
    m.def(
        "audit_file",
        [](const std::string& path, const std::string& units, const py::object& told) {
            return audit_pages(load_pages(path), units, told);
        },
        py::arg("path"), py::arg("units"), py::arg("told") = py::none());
    m.def("audit_apply", &apply_edits);
}
