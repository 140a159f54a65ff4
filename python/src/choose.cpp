// Choosing: loads and conditions in SI, choices as columns in SI.
#include "offnominal/choose.hpp"

#include <array>
#include <iterator>
#include <map>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "common.hpp"
#include "offnominal/files.hpp"

namespace binding {
namespace {

/// What was given, by name; NaN (not given) otherwise.
class Given {
   public:
    explicit Given(const std::map<std::string, double>& numbers) : numbers_(numbers) {}
    [[nodiscard]] double operator[](const char* name) const {
        const auto found = numbers_.find(name);
        return found == numbers_.end() ? DesignLoad::not_given : found->second;
    }
    void over(const char* name, double& default_value) const {
        if (const double given = (*this)[name]; given == given) default_value = given;
    }

   private:
    const std::map<std::string, double>& numbers_;
};

/// Every number that is told of a choice, SI.
constexpr std::pair<const char*, double (*)(const Choice&)> numbers_of_choice[] = {
    {"airflow", [](const Choice& c) { return c.airflow.si; }},
    {"fan_power", [](const Choice& c) { return c.fan_power.si; }},
    {"total", [](const Choice& c) { return c.total.si; }},
    {"sensible", [](const Choice& c) { return c.sensible.si; }},
    {"latent", [](const Choice& c) { return c.latent.si; }},
    {"credited", [](const Choice& c) { return c.credited.si; }},
    {"total_u", [](const Choice& c) { return c.total_u; }},
    {"total_over", [](const Choice& c) { return c.total_over; }},
    {"sensible_over", [](const Choice& c) { return c.sensible_over; }},
    {"latent_over", [](const Choice& c) { return c.latent_over; }},
    {"fits", [](const Choice& c) { return c.fits; }},
    {"heating", [](const Choice& c) { return c.heating.si; }},
    {"balance_point", [](const Choice& c) { return c.balance_point.si; }},
    {"auxiliary", [](const Choice& c) { return c.auxiliary.si; }},
    {"sensible_u", [](const Choice& c) { return c.sensible_u; }},
    {"latent_u", [](const Choice& c) { return c.latent_u; }},
    {"airflow_from", [](const Choice& c) { return c.airflow_from.si; }},
    {"airflow_to", [](const Choice& c) { return c.airflow_to.si; }},
};

/// Choices as columns by name: lists of words, arrays of numbers.
py::dict columns_of(const std::vector<const System*>& systems, const std::vector<Choice>& choices, UnitSystem units) {
    std::unordered_map<std::string_view, py::str> made;  // one object for each word
    const auto word = [&](std::string_view text) {
        const auto [at, is_new] = made.try_emplace(text);
        if (is_new) at->second = py::str(std::string(text));
        return at->second;
    };
    std::vector<py::str> names, misfits;
    std::vector<std::vector<py::str>> matches;
    for (const System* system : systems) {
        names.push_back(word(system->name()));
        for (auto& of = matches.emplace_back(); const Match& match : system->parts().matches)
            of.push_back(word(match.name));
    }
    for (const auto& row : words_of<Misfit>) misfits.push_back(word(row.word));
    const auto stage = [](const System& system, const Choice& one) -> std::string_view {
        if (one.stage < 0) return {};
        const Match* match = one.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(one.match)];
        return system.stages(match)[static_cast<std::size_t>(one.stage)].name;
    };
    const py::str none = word({});
    const std::size_t size = choices.size();
    constexpr const char* words[] = {"system", "match",   "stage", "tap",       "misfit",
                                     "why",    "footing", "frost", "no_heating"};
    std::array<py::list, std::size(words)> lists;
    for (py::list& list : lists) list = py::list(size);
    std::array<py::array_t<double>, std::size(numbers_of_choice)> columns;
    std::array<double*, std::size(numbers_of_choice)> at;
    for (std::size_t n = 0; n < columns.size(); ++n) {
        columns[n] = py::array_t<double>(static_cast<py::ssize_t>(size));
        at[n] = columns[n].mutable_data();
    }
    py::list by_model(size);
    for (std::size_t k = 0; k < size; ++k) {
        const Choice& one = choices[k];
        by_model[k] = py::bool_(one.frost_by_model);
        const py::str told[] = {
            names[one.system],
            one.match < 0 ? none : matches[one.system][static_cast<std::size_t>(one.match)],
            word(stage(*systems[one.system], one)),
            one.tap.empty() ? none : word(one.tap),
            misfits[static_cast<std::size_t>(one.misfit)],
            one.misfit == Misfit::no_answer ? py::str(explain(one.reason, units)) : none,
            one.footing == Footing::inside ? word(name(Footing::inside)) : py::str(describe(one.footing)),
            one.frost == Frost::unknown ? none : word(name(one.frost)),
            one.no_heating.none() ? none : py::str(explain(one.no_heating, units))};
        for (std::size_t n = 0; n < lists.size(); ++n) lists[n][k] = told[n];
        for (std::size_t n = 0; n < at.size(); ++n) at[n][k] = numbers_of_choice[n].second(one);
    }
    py::dict out;
    for (std::size_t n = 0; n < lists.size(); ++n) out[words[n]] = lists[n];
    for (std::size_t n = 0; n < at.size(); ++n) out[numbers_of_choice[n].first] = columns[n];
    out["frost_by_model"] = by_model;
    return out;
}

py::dict choose_columns(const std::vector<const System*>& systems, const std::map<std::string, double>& numbers,
                        const std::string& humidity, const std::vector<double>& airflows, const std::string& limits,
                        bool spare_latent, const std::string& line, const std::string& frost,
                        const std::string& units) {
    const Given given(numbers);
    DesignLoad load;
    load.total.si = given["total_load"];
    load.sensible.si = given["sensible_load"];
    load.latent.si = given["latent_load"];
    load.outdoor_dry_bulb.si = given["outdoor_dry_bulb"];
    load.entering_dry_bulb.si = given["entering_dry_bulb"];
    load.entering_humidity = {humidity_kind(humidity), given["humidity"]};
    load.heating.si = given["heating_load"];
    load.heating_outdoor_dry_bulb.si = given["heating_outdoor_dry_bulb"];
    given.over("heating_entering_dry_bulb", load.heating_entering_dry_bulb.si);
    given.over("no_heating_load", load.no_heating_load.si);
    if (!frost.empty()) load.heating_frost = binding::choose<Frost>("frost", frost);
    load.site = Site::at(Length{given["elevation"]}, Pressure{given["pressure"]});
    ChooseBy by;
    by.limits = parse_sizing_limits(limits);
    if (line != "reference") {
        by.line_set = LineSet::of(Length{given["line_length"]}, Length{given["line_suction"]},
                                  Length{given["line_lift"]}, Length{given["line_liquid"]});
        if (line == "modelled") by.line_set = by.line_set->modelled();
    }
    by.spare_latent = spare_latent;
    by.units = CallerUnits::of(units).system;
    for (const double flow : airflows) by.airflows.push_back(StandardAirflow{flow});
    if (const double pressure = given["external_static"]; pressure == pressure) by.external_static = Pressure{pressure};
    std::vector<Choice> choices;
    {
        const py::gil_scoped_release release;
        choices = offnominal::choose(systems, load, by);
    }
    return columns_of(systems, choices, by.units);
}

}  // namespace

}  // namespace binding

void bind_choose(pybind11::module_& m) {
    using namespace binding;
    py::dict limits;
    for (const SizingLimits& one : sizing_limits) limits[py::str(std::string(one.name))] = std::string(one.source);
    m.attr("sizing_limits") = limits;
    // For the test that holds them against the file they are from.
    m.def(
        "limits_of",
        [](const std::string& name) {
            const SizingLimits of = parse_sizing_limits(name);
            const auto range = [](const SizingLimits::Range& one) { return py::make_tuple(one.least, one.most); };
            py::list total, heat_pump;
            for (const SizingLimits::Range& one : of.total) total.append(range(one));
            for (const SizingLimits::Range& one : of.heat_pump) heat_pump.append(range(one));
            py::dict out;
            out["total"] = total;
            out["heat_pump"] = heat_pump;
            out["sensible"] = range(of.sensible);
            out["latent"] = range(of.latent);
            out["heat_pump_above"] = of.heat_pump_above.si;
            return out;
        },
        py::arg("name"));
    m.def("choose", &choose_columns, py::arg("systems"), py::arg("numbers"), py::arg("humidity"), py::arg("airflows"),
          py::arg("limits"), py::arg("spare_latent"), py::arg("line"), py::arg("frost"), py::arg("units"));
}
