"""Which system, indoor unit and airflow carries the design day? Each at its conditions, not at the rating's, against the loads.

Alder and Birch are invented machines; the loads are those that a load calculation gave an invented house.

It prints:

    8 of 23 combinations fit
    Alder three-ton, invented, indoor B, 1,033 cfm: total 105 %, sensible 102 %, latent 139 % of the load; fits
    Alder three-ton, invented, indoor B, 1,063 cfm: total 106 %, sensible 103 %, latent 134 % of the load; fits
    Alder three-ton, invented, indoor B, 1,092 cfm: total 106 %, sensible 104 %, latent 128 % of the load; fits
    Alder three-ton, invented, indoor B, 1,150 cfm: total 106 %, sensible 106 %, latent 116 % of the load; fits
"""

import offnominal as on

systems = [on.load(on.demo_file(file)) for file in ("alder.yaml", "birch.yaml")]
choices = on.choose(systems, units="IP", outdoor_dry_bulb=102, entering_dry_bulb=75, entering_wet_bulb=63, elevation=1100,
                    total_load=27000, sensible_load=22500)  # fmt: skip
print(f"{len(choices.fitting)} of {len(choices)} combinations fit")
for one in choices[:4]:
    fits = "fits" if one.misfit == "none" else one.misfit.replace("_", " ")
    shares = f"total {100 * one.total_over:.0f} %, sensible {100 * one.sensible_over:.0f} %, latent {100 * one.latent_over:.0f} % of the load"
    print(f"{one.system}, {one.match}, {one.airflow:,.0f} cfm: {shares}; {fits}")
