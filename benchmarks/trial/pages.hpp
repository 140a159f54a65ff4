/// @file
/// The pages of the trial: each machine printed as makers print, rounded, with a low and a high stage. So the page's
/// own errors are real: rounding, the straight reading between nodes, dry corners, sea level printed and mountains
/// visited, and makers' machines that differ from print.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "models.hpp"
#include "offnominal/system.hpp"

namespace trial {

/// How a maker prints.
struct Layout {
    std::vector<double> outdoor;   ///< degF
    std::vector<double> per_ton;   ///< scfm per nominal ton, high stage
    std::vector<double> wet_bulb;  ///< degF
    std::vector<double> dry_bulb;  ///< degF: where sensible is printed; one or several
    offnominal::FanPosition fan;
    double net_fan = 0.0;             ///< W per 1000 scfm in a net page; 0: a gross page
    std::optional<double> tolerance;  ///< the maker's, coverage factor 2
    bool airflow_row = false;         ///< airflow by a row of multipliers of the rated point
};

/// One make of machine: what it truly does, and what its maker prints.
struct Make {
    std::string name;
    double tons;
    Layout layout;
    std::shared_ptr<const Machine> machine;
    offnominal::System system;
    double tolerance;  ///< of single machines about the page, coverage factor 2
};

inline constexpr double low_airflow = 0.75;  ///< of a page's low stage, over its high stage

inline double degC(double degF) { return offnominal::units::degF.to_si(degF); }
inline double cfm(double v) { return offnominal::units::cfm.to_si(v); }

/// Prints one stage.
[[nodiscard]] inline offnominal::PrintedPage printed(const Machine& machine, double tons, const Layout& layout,
                                                     Runs stage) {
    using namespace offnominal;
    const double total_step = units::MBh.to_si(0.1), power_step = units::kW.to_si(0.01);
    const auto mbh = [](double watts) { return units::MBh.to_si(std::round(units::MBh.from_si(watts) * 10.0) / 10.0); };
    const auto kw = [](double watts) { return units::kW.to_si(std::round(units::kW.from_si(watts) * 100.0) / 100.0); };
    PrintedPage page;
    page.has_sensible = page.has_power = true;
    page.total_step = page.sensible_step = total_step;
    page.power_step = power_step;
    for (const double t : layout.outdoor) page.outdoor_dry_bulb.push_back(degC(t));
    for (const double v : layout.per_ton)
        page.airflow.push_back(cfm(std::round(v * tons * (stage == Runs::high ? 1.0 : low_airflow) / 5.0) * 5.0));
    for (const double t : layout.wet_bulb) page.entering_wet_bulb.push_back(degC(t));
    if (layout.dry_bulb.size() > 1)
        for (const double t : layout.dry_bulb) page.entering_dry_bulb.push_back(degC(t));
    page.has_bypass = layout.dry_bulb.size() == 1 && machine.bypass(mass_of_scfm(400.0 * tons)) > 0.0;

    // What the machine takes and draws where a maker prints it. A row of multipliers holds for the rated point, and is
    // used all over the page.
    struct Printed {
        double total, sensible, power;
    };
    const auto at = [&](double outdoor, double flow, double wet, double dry) -> Printed {
        const double m = moist::dry_mass_from_standard(flow), p = moist::standard_pressure;
        const Entering in{dry, moist::humidity_ratio_from_wet_bulb(dry, wet, p), p};
        const Running runs = machine.sound(stage, in, m, outdoor);
        const Point out = machine.leaving(in, m, runs.total, 1.0);
        return {runs.total, m * moist::moist_heat_capacity(out.W) * (dry - out.t), runs.power};
    };
    const double rated_flow = page.airflow[page.airflow.size() / 2];
    const Printed rated = at(degC(95), rated_flow, degC(67), degC(80));
    page.airflow_multiplied = layout.airflow_row;
    const auto node_at = [&](double outdoor, double flow, double wet, double dry) -> Printed {
        if (!layout.airflow_row) return at(outdoor, flow, wet, dry);
        const Printed base = at(outdoor, rated_flow, wet, dry), row = at(degC(95), flow, degC(67), degC(80));
        const auto factor = [](double one, double other) { return std::round(100.0 * one / other) / 100.0; };
        const double total = mbh(base.total) * factor(row.total, rated.total);
        return {total, std::min(total, mbh(base.sensible) * factor(row.sensible, rated.sensible)),
                kw(base.power) * factor(row.power, rated.power)};
    };

    for (const double outdoor : page.outdoor_dry_bulb)
        for (const double flow : page.airflow)
            for (const double wet : page.entering_wet_bulb)
                for (const double dry_degF : layout.dry_bulb) {
                    const double dry = degC(dry_degF), m = moist::dry_mass_from_standard(flow);
                    PrintedNode& node = page.nodes.emplace_back();
                    if (wet > dry - 1.0) {
                        node.mark = Mark::blank;
                        continue;
                    }
                    const Printed takes = node_at(outdoor, flow, wet, dry);
                    const double fan = units::W_1000scfm.to_si(layout.net_fan) * flow;
                    node.total = mbh(takes.total - fan);
                    node.sensible = std::min(node.total, mbh(takes.sensible - fan));
                    node.power = kw(takes.power);
                    node.bypass = page.has_bypass ? std::round(machine.bypass(m) * 100.0) / 100.0 : 0.0;
                    if (node.sensible == node.total) node.mark = Mark::dry;
                }
    return page;
}

/// Prints one stage of heating: instantaneous, gross.
[[nodiscard]] inline offnominal::HeatingPage printed_heating(const Machine& machine, double tons, const Layout& layout,
                                                             Runs stage) {
    using namespace offnominal;
    HeatingPage page;
    page.has_power = true;
    page.capacity_step = units::MBh.to_si(0.1);
    page.power_step = units::kW.to_si(0.01);
    const auto rounded = [](double x, double step) { return std::round(x / step) * step; };
    for (const double t : {5.0, 17.0, 27.0, 37.0, 47.0, 62.0}) page.outdoor_dry_bulb.push_back(degC(t));
    for (const double v : layout.per_ton)
        page.airflow.push_back(cfm(std::round(v * tons * (stage == Runs::high ? 1.0 : low_airflow) / 5.0) * 5.0));
    for (const double t : {60.0, 70.0, 80.0}) page.entering_dry_bulb.push_back(degC(t));
    for (const double outdoor : page.outdoor_dry_bulb)
        for (const double flow : page.airflow)
            for (const double dry : page.entering_dry_bulb) {
                const double p = moist::standard_pressure;
                const Running runs =
                    machine.heats(stage, {dry, 0.005, p}, moist::dry_mass_from_standard(flow), outdoor);
                page.nodes.push_back({rounded(runs.total, page.capacity_step), rounded(runs.power, page.power_step)});
            }
    return page;
}

[[nodiscard]] inline offnominal::HeatingBasis heating_basis_of(const Layout& layout) {
    using namespace offnominal;
    HeatingBasis basis;
    basis.capacity = CapacityBasis::gross;
    basis.airflow = AirflowBasis::standard;
    basis.standard_pound = Pound::dry;
    basis.power = PowerBasis::outdoor_unit;
    basis.elevation = Length{0.0};
    basis.tolerance = layout.tolerance;
    return basis;
}

[[nodiscard]] inline offnominal::Basis basis_of(const Layout& layout) {
    using namespace offnominal;
    Basis basis;
    basis.capacity = layout.net_fan > 0.0 ? CapacityBasis::net : CapacityBasis::gross;
    basis.airflow = AirflowBasis::standard;
    basis.standard_pound = Pound::dry;
    basis.power = PowerBasis::outdoor_unit;
    basis.fan.per_airflow.si = units::W_1000scfm.to_si(layout.net_fan);
    if (layout.dry_bulb.size() == 1) {
        basis.sensible_at = Temperature{degC(layout.dry_bulb.front())};
        basis.sensible_slope = from(1.10, units::Btu_h_cfm_degF);
    }
    basis.elevation = Length{0.0};
    basis.tolerance = layout.tolerance;
    return basis;
}

[[nodiscard]] inline Make make(std::string name, double tons, std::shared_ptr<const Machine> machine, Layout layout) {
    offnominal::SystemParts parts;
    parts.name = name + ", invented";
    for (const Runs stage : {Runs::high, Runs::low})
        parts.cooling.push_back({stage == Runs::high ? "high" : "low",
                                 offnominal::RatingTable(basis_of(layout), printed(*machine, tons, layout, stage))});
    for (const Runs stage : {Runs::high, Runs::low})
        parts.heating.push_back(
            {stage == Runs::high ? "high" : "low", offnominal::Frost::instantaneous,
             offnominal::HeatingTable(heating_basis_of(layout), printed_heating(*machine, tons, layout, stage))});
    offnominal::Match& match = parts.matches.emplace_back();
    match.name = "indoor";
    match.reference = true;
    match.fan = layout.fan;
    const double tolerance = layout.tolerance.value_or(0.05);
    return {std::move(name), tons, std::move(layout), std::move(machine), offnominal::System(std::move(parts)),
            tolerance};
}

/// The makes of the trial.
[[nodiscard]] inline std::vector<Make> all_makes() {
    using offnominal::FanPosition;
    const std::vector<double> outdoor{75, 85, 95, 105, 115};
    std::vector<Make> makes;
    makes.push_back(
        make("bypass coil, three tons", 3.0, std::make_shared<BypassMachine>(3.0),
             {outdoor, {300, 400, 500}, {59, 63, 67, 71}, {80}, FanPosition::draw_through, 0.0, 0.05, false}));
    makes.push_back(make("enthalpy coil, four tons", 4.0, std::make_shared<EnthalpyMachine>(4.0),
                         {outdoor,
                          {300, 350, 400, 450, 500},
                          {57, 62, 67, 72},
                          {70, 75, 80, 85},
                          FanPosition::draw_through,
                          365.0,
                          0.05,
                          false}));
    makes.push_back(
        make("fitted curves, two and a half tons", 2.5, std::make_shared<CurveMachine>(2.5),
             {outdoor, {300, 400, 500}, {57, 62, 67, 72}, {80}, FanPosition::blow_through, 0.0, std::nullopt, false}));
    return makes;
}

/// The same machines, none differing from its page, printed another way: what a reader loses by that way of printing.
template <class Change>
[[nodiscard]] std::vector<Make> reprinted(Change&& change) {
    std::vector<Make> makes;
    for (const Make& as_it_is : all_makes()) {
        Layout layout = as_it_is.layout;
        layout.tolerance = 0.0;
        change(layout);
        makes.push_back(make(as_it_is.name, as_it_is.tons, as_it_is.machine, std::move(layout)));
    }
    return makes;
}

}  // namespace trial
