"""A target before the gauges come out: what should this machine deliver at noon, and how much does the forecast matter?

The forecast says 93 degF, give or take 3; the house is at 76 degF and half of saturation. Alder is an invented machine.

It prints:

    90 degF outdoors: 31,011 Btu/h +- 5 %, split 20.3 degF
    93 degF outdoors: 30,498 Btu/h +- 5 %, split 20.1 degF
    96 degF outdoors: 29,976 Btu/h +- 5 %, split 19.9 degF
"""

import offnominal as on

HOUSE = dict(entering_dry_bulb=76, entering_relative_humidity=0.50, airflow=1150, airflow_at="return", elevation=650)
MACHINE = dict(units="IP", stage="high", match="indoor A", line_set={"length": 50, "suction": 0.75, "lift": 0},
               boundary="coil+fan", fan_power=420)  # fmt: skip

system = on.load(on.demo_file("alder.yaml"))
for outdoor in (90, 93, 96):
    noon = system.expect(**MACHINE, **HOUSE, outdoor_dry_bulb=outdoor)
    own = 100 * noon.uncertainty / noon.total_capacity
    print(f"{outdoor} degF outdoors: {noon.total_capacity:,.0f} Btu/h +- {2 * own:.0f} %, split {noon.split:.1f} degF")
