#include "offnominal/field/second_capacity.hpp"

#include <cmath>

#include "distributions.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {
namespace {

[[noreturn]] void refuse_number(const std::string& what, double value, const char* accepted) {
    if (std::isnan(value)) throw InputError({}, what + ": not given, and there is no default", {}, accepted);
    throw InputError({}, what, brief(value), accepted);
}

void check_above_zero(const std::string& what, double value, const char* accepted) {
    if (!(value > 0.0 && std::isfinite(value))) refuse_number(what, value, accepted);
}
void check_number(const std::string& what, double value, const char* accepted) {
    if (!std::isfinite(value)) refuse_number(what, value, accepted);
}
void check_standard(const std::string& of, double value) {
    if (!(value >= 0.0 && std::isfinite(value)))
        refuse_number("standard uncertainty of " + of, value, "zero or more, in the unit of the reading");
}

double squared(double x) noexcept { return x * x; }

}  // namespace

SecondCapacity capacity_by_refrigerant(const RefrigerantReadings& r) {
    check_above_zero("refrigerant flow", r.flow.value.si, "above zero");
    check_number("enthalpy of the liquid", r.liquid.value.si, "of the liquid before the expansion valve");
    check_number("enthalpy of the vapour", r.vapour.value.si, "of the vapour leaving the indoor coil");
    check_standard("refrigerant flow", r.flow.standard.si);
    check_standard("the enthalpy of the liquid", r.liquid.standard.si);
    check_standard("the enthalpy of the vapour", r.vapour.standard.si);
    const double flow = r.flow.value.si, rise = r.vapour.value.si - r.liquid.value.si;
    if (!(rise > 0.0))
        throw InputError({}, "the vapour holds no more heat than the liquid", brief(rise) + " J/kg",
                         "the two the other way round; both counted from one zero");
    return {SecondMethod::refrigerant, Boundary::coil, Power{flow * rise},
            Power{std::sqrt(squared(rise * r.flow.standard.si) + squared(flow * r.liquid.standard.si) +
                            squared(flow * r.vapour.standard.si))}};
}

SecondCapacity capacity_by_condenser(const CondenserReadings& r, const Site& site) {
    check_number("outdoor air: entering dry bulb", r.entering_dry_bulb.value.si,
                 "of the air entering the outdoor unit");
    check_number("outdoor air: leaving dry bulb", r.leaving_dry_bulb.value.si, "of the air leaving the outdoor unit");
    check_standard("the entering dry bulb", r.entering_dry_bulb.standard.si);
    check_standard("the leaving dry bulb", r.leaving_dry_bulb.standard.si);
    check_standard("the outdoor airflow", r.airflow_standard);
    check_above_zero("power", r.power.value.si, "above zero");
    check_standard("power", r.power.standard.si);
    if (r.power_of != PowerBasis::outdoor_unit && r.power_of != PowerBasis::system)
        throw InputError({}, "power of " + std::string(name(r.power_of)) + " does not close the balance", {},
                         "outdoor unit, whose air carries its fan's heat too, or system");
    if (!(r.leaving_dry_bulb.value.si > r.entering_dry_bulb.value.si))
        throw InputError({}, "outdoor air leaves no warmer than it entered",
                         brief(r.leaving_dry_bulb.value.si) + " degC", "a machine that cools rejects heat outdoors");
    const auto pressure = site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    const air::State air = air::state(r.entering_dry_bulb.value, r.humidity, Pressure{*pressure});

    const auto rejected = [&](double entering, double leaving, double airflow) {
        const double w = air.humidity_ratio.si;
        const bool leaves = r.airflow.place != air::Place::return_air;
        AirflowReading reading = r.airflow;
        reading.si = airflow;
        const auto flow = detail::dry_mass_flow(
            reading, air::State{Temperature{leaves ? leaving : entering}, air.humidity_ratio, air.pressure});
        if (!flow) throw Refused(flow.reason(), explain(flow.reason()));
        return *flow * (air::si::enthalpy(leaving, w) - air::si::enthalpy(entering, w));
    };
    const double t1 = r.entering_dry_bulb.value.si, t2 = r.leaving_dry_bulb.value.si, flow = r.airflow.si;
    const double u1 = r.entering_dry_bulb.standard.si, u2 = r.leaving_dry_bulb.standard.si, uf = r.airflow_standard;
    const double heat = rejected(t1, t2, flow);
    // Half of what moving up and down does (JCGM 100:2008, 5.1.3 note 2). Heat is in proportion to airflow.
    const double variance = squared(0.5 * (rejected(t1 + u1, t2, flow) - rejected(t1 - u1, t2, flow))) +
                            squared(0.5 * (rejected(t1, t2 + u2, flow) - rejected(t1, t2 - u2, flow))) +
                            squared(heat * uf / flow) + squared(r.power.standard.si);
    const double cooling = heat - r.power.value.si;
    if (!(cooling > 0.0))
        throw InputError({}, "the outdoor air takes away less than the power", brief(heat) + " W",
                         "more than " + brief(r.power.value.si) + " W; check the outdoor airflow");
    return {SecondMethod::condenser, r.power_of == PowerBasis::system ? Boundary::coil_and_fan : Boundary::coil,
            Power{cooling}, Power{std::sqrt(variance)}};
}

SecondCapacity capacity_by_condensate(const CondensateReadings& r, const Delivered& delivered, Boundary boundary) {
    check_above_zero("condensate", r.mass, "the water that left the coil, above zero; a dry coil has no such check");
    check_standard("condensate", r.mass_standard);
    check_above_zero("time over which condensate was weighed", r.time.value.si, "above zero");
    check_standard("the time", r.time.standard.si);
    check_above_zero("delivered sensible capacity", delivered.sensible_capacity.si, "above zero: a machine that cools");
    // The vapour's whole enthalpy at the return dry bulb. The rest of total is the air's own sensible, whatever the
    // rule by which that was split off.
    const double vapour = air::si::enthalpy(delivered.return_air.dry_bulb.si, 1.0) -
                          air::si::enthalpy(delivered.return_air.dry_bulb.si, 0.0);
    const double rate = r.mass / r.time.value.si, latent = rate * vapour;
    return {SecondMethod::condensate, boundary,
            Power{delivered.total_capacity.si + (rate - delivered.condensate_flow.si) * vapour},
            Power{latent * std::hypot(r.mass_standard / r.mass, r.time.standard.si / r.time.value.si)}};
}

TwoMethods compare(const Delivered& delivered, Boundary boundary, Power total_u, const SecondCapacity& second,
                   Power fan_power) {
    const double first = delivered.total_capacity.si;
    check_above_zero("delivered total capacity", first, "above zero");
    check_standard("the air's capacity", total_u.si);
    for (const Boundary which : {boundary, second.boundary})
        if (which != Boundary::coil && which != Boundary::coil_and_fan)
            throw InputError({}, "boundary: not given", {}, "coil, coil+fan");
    double other = second.total_capacity.si;
    if (boundary != second.boundary) {
        if (!(fan_power.si >= 0.0 && std::isfinite(fan_power.si)))
            refuse_number("indoor fan power", fan_power.si,
                          "zero or more: one capacity is of the coil, the other of coil and fan");
        const bool gains = (boundary == Boundary::coil) == (delivered.mode == Mode::cooling);
        other += gains ? fan_power.si : -fan_power.si;
    }
    TwoMethods out;
    out.difference = (other - first) / first;
    out.difference_u = std::hypot(second.total_u.si / first, other / first * total_u.si / first);
    const double off = std::abs(out.difference);
    out.agreement = off <= two_methods_agree        ? Agreement::agrees
                    : off <= 2.0 * out.difference_u ? Agreement::unclear
                                                    : Agreement::contradicts;
    if (out.difference_u > 0.0) {
        const auto below = [&](double limit) {
            return distributions::normal_below(limit, out.difference, out.difference_u);
        };
        out.probability = below(two_methods_agree) - below(-two_methods_agree);
    } else {
        out.probability = off <= two_methods_agree ? 1.0 : 0.0;
    }
    return out;
}

}  // namespace offnominal
