"""The same unit at 5,000 ft: the fan moves the same cubic feet of thinner air. What is left of the capacity, and through which steps?

Alder is an invented machine.

It prints:

    total capacity     32,949.4  31,413.0 Btu/h      -4.7 %
    sensible capacity  25,807.1  21,638.6 Btu/h      -16.2 %
    power               2,390.5   2,467.4 W          +3.2 %
    split                  20.2      20.4 delta_degF +0.9 %
    step               factor  total  sensible  power
    page                       33350     26731   2372
    altitude model     0.9849  32846             2467
    coil                                 24985
    entering dry bulb                    23072
    fan heat                   31413     21639
"""

import offnominal as on

DAY = dict(units="IP", stage="high", match="indoor A", outdoor_dry_bulb=91, entering_dry_bulb=78, entering_wet_bulb=65,
           airflow=1200, airflow_at="return", line_set="reference", boundary="coil+fan", fan_power=420)  # fmt: skip

system = on.load(on.demo_file("alder.yaml"))
sea, high = (system.expect(**DAY, elevation=elevation) for elevation in (0, 5000))
for name in ("total_capacity", "sensible_capacity", "power", "split"):
    low, up = getattr(sea, name), getattr(high, name)
    print(f"{name.replace('_', ' '):18}{low:9,.1f} {up:9,.1f} {sea.fields[name]:11}{100 * (up / low - 1):+.1f} %")
print(high.ledger)
