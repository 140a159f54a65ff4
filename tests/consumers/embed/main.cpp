#include <offnominal/expect.hpp>

#include "alder.hpp"

int main() {
    using namespace offnominal;
    using namespace offnominal::literals;
    Conditions c;
    c.stage = "high";
    c.match = "indoor A";
    c.line_set = LineSet::reference();
    c.outdoor_dry_bulb = 95_degF;
    c.entering_dry_bulb = 80_degF;
    c.entering_humidity = air::wet_bulb(67_degF);
    c.airflow = AirflowReading::standard(1000_cfm);
    c.boundary = Boundary::coil;
    const auto e = try_expect(embedded::alder(), Site::sea_level(), c);
    return e && e->total_capacity == from(34.0, units::MBh) ? 0 : 1;  // what the page prints
}
