// "Unit A": the invented two-by-two-by-two page of the worked examples (gross, standard air, sensible at 80 degF), and
// what tests need to ask it. Numbers computed for the project, no maker's.
#pragma once

#include "offnominal/expect.hpp"
#include "offnominal/field/deliver.hpp"

namespace unit_a {
using namespace offnominal;
using namespace offnominal::literals;

inline double degF(double t) { return units::degF.to_si(t); }
inline double MBh(double q) { return units::MBh.to_si(q); }
inline double kW(double q) { return units::kW.to_si(q); }
inline double cfm(double v) { return units::cfm.to_si(v); }

inline PrintedNode node(double total, double sensible, double power, double bypass) {
    return {MBh(total), MBh(sensible), kW(power), bypass, total == sensible ? Mark::dry : Mark::printed};
}

inline Basis basis() {
    Basis b;
    b.capacity = CapacityBasis::gross;
    b.airflow = AirflowBasis::standard;
    b.standard_pound = Pound::dry;
    b.power = PowerBasis::outdoor_unit;
    b.sensible_at = 80_degF;
    b.sensible_slope = from(1.10, units::Btu_h_cfm_degF);
    b.elevation = 0_ft;
    return b;
}

inline PrintedPage page() {
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(85), degF(95)};
    p.airflow = {cfm(1000), cfm(1200)};
    p.entering_wet_bulb = {degF(63), degF(67)};
    p.nodes = {node(33.3, 29.9, 2.19, 0.10), node(35.8, 25.7, 2.23, 0.10), node(34.3, 33.0, 2.19, 0.12),
               node(36.9, 28.1, 2.23, 0.12), node(31.5, 29.1, 2.48, 0.10), node(33.9, 24.9, 2.52, 0.10),
               node(32.5, 32.2, 2.48, 0.12), node(34.9, 27.3, 2.52, 0.12)};
    p.has_sensible = p.has_power = p.has_bypass = true;
    p.total_step = p.sensible_step = MBh(0.1);
    p.power_step = kW(0.01);
    return p;
}

inline System system(Basis b = basis(), PrintedPage p = page(), std::vector<Match> matches = {}) {
    SystemParts parts;
    parts.name = "Unit A, invented";
    parts.cooling.push_back({"full", RatingTable(b, std::move(p))});
    parts.matches = std::move(matches);
    return System(std::move(parts));
}

/// Example 1's question: 91 degF outdoor, 76/65 degF entering, 1100 scfm, 420 W of indoor fan, net.
inline Conditions example_1() {
    Conditions c;
    c.stage = "full";
    c.outdoor_dry_bulb = 91_degF;
    c.entering_dry_bulb = 76_degF;
    c.entering_humidity = air::wet_bulb(65_degF);
    c.airflow = AirflowReading::standard(1100_cfm);
    c.boundary = Boundary::coil_and_fan;
    c.fan_power = 420_W;
    return c;
}

/// Example 2's readings: relative-humidity probes, 1,120 cfm actual at return.
inline Readings example_2() {
    Readings r;
    r.return_dry_bulb = 76_degF;
    r.return_humidity = air::relative_humidity(0.55);
    r.supply_dry_bulb = Temperature{degF(57.2)};
    r.supply_humidity = air::relative_humidity(0.92);
    r.airflow = AirflowReading::actual(1120_cfm, air::Place::return_air);
    return r;
}

}  // namespace unit_a
