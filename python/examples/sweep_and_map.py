"""A map of what a machine should deliver: a sweep over three conditions as labelled data, the best Btu per Wh on it
at either airflow, and a picture of two of the conditions.

Needs xarray and matplotlib. Alder is an invented machine.

It prints:

    1000    19.95
    1200    20.30
"""

import offnominal as on
from offnominal import pictures

FIXED = dict(units="IP", stage="high", match="indoor A", line_set="reference", airflow_basis="standard", elevation=0,
             entering_dry_bulb=80, boundary="coil")  # fmt: skip

system = on.load(on.demo_file("alder.yaml"))
axes = {"outdoor_dry_bulb": range(75, 116, 5), "entering_wet_bulb": range(59, 72, 2), "airflow": (1000, 1200)}
swept = system.sweep(**FIXED, axes=axes, columns=("total_capacity", "power"))
best = (swept.total_capacity / swept.power).max(("outdoor_dry_bulb", "entering_wet_bulb"))
print(best.round(2).to_pandas().to_string(header=False))
across = dict(x=("outdoor_dry_bulb", 70, 120), y=("entering_wet_bulb", 57, 73))
pictures.capacity(system, **across, **FIXED, airflow=1200, at=(95, 67)).figure.savefig("map.png")
