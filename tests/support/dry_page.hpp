// An invented page with dry nodes at the low wet bulbs: one outdoor dry bulb, one airflow, four wet bulbs.
#pragma once

#include "unit_a.hpp"

namespace unit_a {

/// 95 degF, 1000 scfm: dry at 59, wet at 63, 67, 71 degF.
inline PrintedPage dry_page() {
    PrintedPage p;
    p.outdoor_dry_bulb = {degF(95)};
    p.airflow = {cfm(1000)};
    p.entering_wet_bulb = {degF(59), degF(63), degF(67), degF(71)};
    p.nodes = {node(30.8, 30.8, 2.45, 0.10), node(31.8, 29.1, 2.46, 0.10), node(34.0, 24.9, 2.50, 0.10),
               node(36.4, 20.7, 2.54, 0.10)};
    p.has_sensible = p.has_power = p.has_bypass = true;
    p.total_step = p.sensible_step = MBh(0.1);
    p.power_step = kW(0.01);
    return p;
}

/// Gross, at the page's own airflow and outdoor dry bulb.
inline Conditions dry_question(double edb, double ewb) {
    Conditions c;
    c.stage = "full";
    c.outdoor_dry_bulb = 95_degF;
    c.entering_dry_bulb = Temperature{degF(edb)};
    c.entering_humidity = air::wet_bulb(Temperature{degF(ewb)});
    c.airflow = AirflowReading::standard(1000_cfm);
    c.boundary = Boundary::coil;
    return c;
}

}  // namespace unit_a
