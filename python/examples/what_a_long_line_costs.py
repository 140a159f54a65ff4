"""What do 120 ft of line cost? The maker's table ends before that, so beyond it a model answers, and says so.

Alder is an invented machine, rated with 25 ft of 7/8 in suction line.

It prints:

     50 ft of 0.875 in: 34,755 Btu/h, 0.7 % less than rated (inside)
     50 ft of 0.750 in: 34,230 Btu/h, 2.2 % less than rated (inside)
    120 ft of 0.875 in: 34,217 Btu/h, 2.2 % less than rated (modelled)
    120 ft of 0.750 in: 33,198 Btu/h, 5.1 % less than rated (modelled)
"""

import offnominal as on

DAY = dict(units="IP", stage="high", match="indoor A", outdoor_dry_bulb=95, entering_dry_bulb=80, entering_wet_bulb=67,
           airflow=1200, airflow_basis="standard", elevation=0, boundary="coil")  # fmt: skip

system = on.load(on.demo_file("alder.yaml"))
rated = system.expect(**DAY, line_set="reference")
for length, suction in ((50, 7 / 8), (50, 3 / 4), (120, 7 / 8), (120, 3 / 4)):
    line = {"length": length, "suction": suction, "lift": 10, "liquid": 3 / 8, "beyond": "model"}
    long = system.expect(**DAY, line_set=line)
    lost = 100 * (1 - long.total_capacity / rated.total_capacity)
    print(
        f"{length:3.0f} ft of {suction:.3f} in: {long.total_capacity:,.0f} Btu/h, {lost:.1f} % less than rated ({long.footing})"
    )
