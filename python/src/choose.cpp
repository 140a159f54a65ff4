// Choosing: loads and conditions in SI, choices as rows in SI.
#include "offnominal/choose.hpp"

#include <map>

#include "common.hpp"

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

std::string stage_name(const System& system, const Choice& one) {
    if (one.stage < 0) return {};
    const Match* match = one.match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(one.match)];
    return system.stages(match)[static_cast<std::size_t>(one.stage)].name;
}

py::list choose_rows(const std::vector<const System*>& systems, const std::map<std::string, double>& numbers,
                     const std::string& humidity, const std::vector<double>& airflows, const std::string& limits,
                     bool spare_latent, bool reference_line) {
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
    load.site = Site::at(Length{given["elevation"]}, Pressure{given["pressure"]});
    ChooseBy by;
    const SizingLimits* const named = limits_named(limits);
    if (named == nullptr) {
        std::string accepted;
        for (const SizingLimits& one : sizing_limits)
            accepted += (accepted.empty() ? "'" : ", '") + std::string(one.name) + "'";
        throw py::value_error("limits: '" + limits + "'; accepted: " + accepted);
    }
    by.limits = *named;
    by.spare_latent = spare_latent;
    if (!reference_line) by.line_set.reset();
    for (const double flow : airflows) by.airflows.push_back(StandardAirflow{flow});
    if (const double pressure = given["external_static"]; pressure == pressure) by.external_static = Pressure{pressure};
    given.over("fan_power_per_airflow", by.fan_power_per_airflow);
    py::list out;
    for (const Choice& one : offnominal::choose(systems, load, by)) {
        const System& system = *systems[one.system];
        const Reason& why = one.misfit == Misfit::no_answer ? one.reason : Reason{};
        out.append(py::make_tuple(
            one.system,
            one.match < 0 ? std::string() : system.parts().matches[static_cast<std::size_t>(one.match)].name,
            stage_name(system, one), one.tap, one.airflow.si, one.fan_power.si, std::string(name(one.misfit)),
            std::string(name(why.why)), why.none() ? std::string() : explain(why, UnitSystem::both), one.total.si,
            one.sensible.si, one.latent.si, one.credited.si, one.total_u, one.total_over, one.sensible_over,
            one.latent_over, one.fits, one.heating.si, one.balance_point.si, one.auxiliary.si));
    }
    return out;
}

}  // namespace

}  // namespace binding

void bind_choose(pybind11::module_& m) {
    using namespace binding;
    py::dict limits;
    for (const SizingLimits& one : sizing_limits) limits[py::str(std::string(one.name))] = std::string(one.source);
    m.attr("sizing_limits") = limits;
    m.def("choose", &choose_rows, py::arg("systems"), py::arg("numbers"), py::arg("humidity"), py::arg("airflows"),
          py::arg("limits"), py::arg("spare_latent"), py::arg("reference_line"));
}
