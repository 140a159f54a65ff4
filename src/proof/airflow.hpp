/// @file
/// The airflow of a visit that names ways to find it.
#pragma once

#include <algorithm>
#include <cmath>

#include "model.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/proof.hpp"

namespace offnominal::detail {

/// A visit with its airflow found: as standard airflow, so that no place matters, with what all ways together are good
/// for. What they share with the visit's own probes (a density, and condensate its humidities) is left out: it is
/// small, and against the ratio's own dependence on those, so that leaving it out makes no proof surer.
/// @throws as `airflow_by` and `combined`; Refused for air that cannot be
[[nodiscard]] inline Visit with_airflow(const System& system, const Visit& visit, Pressure pressure, Proof& proof) {
    const Readings& r = visit.readings;
    const auto state = [&](Temperature dry_bulb, const air::Humidity& humidity, About about) {
        const auto out = air::try_state(dry_bulb, humidity, pressure);
        if (!out) throw Refused(about_air(about, out.reason()), explain(about_air(about, out.reason())));
        return *out;
    };
    FlowingAir in_return{state(r.return_dry_bulb, return_humidity_of(visit), About::return_dry_bulb)};
    // Heated air keeps its moisture, and nobody reads its humidity.
    const air::Humidity supplied =
        visit.mode() == Mode::heating ? air::humidity_ratio(in_return.state.humidity_ratio) : r.supply_humidity;
    FlowingAir in_supply{state(r.supply_dry_bulb, supplied, About::supply_dry_bulb)};
    const double barometer = visit.of(Input::pressure).standard;
    if (visit.site.given_pressure() && barometer > 0.0)
        in_return.density_u = in_supply.density_u = barometer / pressure.si;
    const Match* match = system.match(visit.match);
    const FanPosition fan = match == nullptr ? FanPosition::unknown : match->fan;
    for (const AirflowFinding& finding : visit.airflow_by) {
        const bool at_fan = finding.at == air::Place::fan;
        if (at_fan && fan == FanPosition::unknown) proof.notes.add(Note::fan_position_unknown);
        const bool supply = finding.at == air::Place::supply_air || (at_fan && fan != FanPosition::blow_through);
        proof.airflow_by.push_back(airflow_by(finding.by, system.parts().blower, supply ? in_supply : in_return));
    }
    proof.airflow = combined(proof.airflow_by);
    proof.notes.add(proof.airflow->notes);
    Visit out = visit;
    out.readings.airflow = AirflowReading::standard(proof.airflow->airflow);
    out.of(Input::airflow) = {proof.airflow->u * proof.airflow->airflow.si, {}, {}, Shape::normal};
    return out;
}

}  // namespace offnominal::detail
