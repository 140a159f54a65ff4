"""Which of two systems carries the design day? Both at its conditions, not at the rating's, against a load with its sensible part.

Alder and Birch are invented machines; the load is one that a load calculation gave an invented house.

It prints:

    Alder three-ton, invented: total 110 %, sensible 107 % of the load, 2,729 W; wet line
    Birch three-ton, invented: total 134 %, sensible 111 % of the load, 4,554 W; inside
"""

import offnominal as on

DAY = dict(units="IP", outdoor_dry_bulb=102, entering_dry_bulb=75, entering_wet_bulb=63, airflow_basis="standard", elevation=1100,
           boundary="coil+fan", match="indoor A")  # fmt: skip
CHOICE = {
    "alder.yaml": dict(stage="high", airflow=1200, fan_power=420, line_set="reference"),
    "birch.yaml": dict(stage="maximum", airflow=1000, fan_power=300),
}
LOAD = {"total_capacity": 27000, "sensible_capacity": 22500}

for file, own in CHOICE.items():
    system = on.load(on.demo_file(file))
    answer = system.expect(**DAY, **own)
    covers = {name: getattr(answer, name) / load for name, load in LOAD.items()}
    told = ", ".join(f"{name.partition('_')[0]} {100 * share:.0f} %" for name, share in covers.items())
    print(f"{system.name}: {told} of the load, {answer.power:,.0f} W; {answer.footing}")
