// An invented heating page, 3 x 2 x 3 nodes: steady between the two points of the worked frost example (20.6 MBh at 17
// degF, 34.2 MBh at 47 degF), and what tests need to ask it. Numbers made for the project, no maker's.
#pragma once

#include <cmath>

#include "offnominal/expect.hpp"

namespace heating_page {
using namespace offnominal;
using namespace offnominal::literals;

inline double degF(double t) { return units::degF.to_si(t); }
inline double MBh(double q) { return units::MBh.to_si(q); }
inline double kW(double q) { return units::kW.to_si(q); }
inline double scfm(double v) { return units::scfm.to_si(v); }

inline HeatingBasis basis() {
    HeatingBasis b;
    b.capacity = CapacityBasis::gross;
    b.airflow = AirflowBasis::standard;
    b.standard_pound = Pound::dry;
    b.power = PowerBasis::outdoor_unit;
    b.printed_at = 70_degF;
    b.outdoor_relative_humidity = 0.75;
    b.elevation = 0_ft;
    b.tolerance = 0.05;
    return b;
}

/// As printed, to 0.1 MBh and 0.01 kW; `scale` for another kind of page.
inline HeatingPage page(double scale = 1.0) {
    HeatingPage p;
    p.outdoor_dry_bulb = {degF(17), degF(35), degF(47)};
    p.airflow = {scfm(1000), scfm(1200)};
    p.entering_dry_bulb = {degF(60), degF(70), degF(80)};
    for (const double odb : {17.0, 35.0, 47.0})
        for (const double flow : {1000.0, 1200.0})
            for (const double edb : {60.0, 70.0, 80.0}) {
                const double steady = 20.6 + (34.2 - 20.6) * (odb - 17) / 30, power = 2.20 + 0.41 * (odb - 17) / 30;
                const double capacity = scale * steady * (1 + 1.5e-4 * (flow - 1000)) * (1 - 0.003 * (edb - 70));
                p.nodes.push_back({MBh(std::round(10 * capacity) / 10),
                                   kW(std::round(100 * power * (1 + 0.008 * (edb - 70))) / 100), Mark::printed});
            }
    p.has_power = true;
    p.capacity_step = MBh(0.1);
    p.power_step = kW(0.01);
    return p;
}

inline System system(HeatingBasis b = basis(), HeatingPage p = page(), Frost frost = Frost::instantaneous) {
    SystemParts parts;
    parts.name = "Unit A in heating, invented";
    parts.heating.push_back({"full", frost, HeatingTable(b, std::move(p))});
    return System(std::move(parts));
}

inline Conditions question() {
    Conditions c;
    c.mode = Mode::heating;
    c.stage = "full";
    c.frost = Frost::instantaneous;
    c.outdoor_dry_bulb = 29_degF;
    c.entering_dry_bulb = 66_degF;
    c.entering_humidity = air::relative_humidity(0.35);
    c.airflow = AirflowReading::standard(1100_cfm);
    c.boundary = Boundary::coil_and_fan;
    c.fan_power = 420_W;
    c.auxiliary_heat = 0_W;
    return c;
}

}  // namespace heating_page
