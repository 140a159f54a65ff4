"""Which of a hundred machines deliver, and whose work is it? A table of visits proved row by row, and counted.

Machines, installers and readings are invented: of one installer's machines a fifth deliver less than the others.

It prints:

    100 visits: 70 meets, 7 falls short, 23 undecided
    ratio of delivered to expected total: mean 1.024, eight tenths from 0.910 to 1.138
    by installer:
      north  50 visits, ratio 1.056; 39 meets, 11 undecided
      south  50 visits, ratio 0.993; 31 meets, 7 falls short, 12 undecided
    what makes the ratios uncertain (part of the variance, mean of all with a ratio):
       38 %  return probe
       22 %  supply probe
       21 %  page
       19 %  flow grid
"""

import numpy as np

import offnominal as on

RANDOM = np.random.default_rng(12)
INSTALLER = np.array(["north", "south"])[np.arange(100) % 2]
VISITS = {
    "installer": INSTALLER,
    "outdoor_dry_bulb": RANDOM.normal(92.0, 3.0, 100),
    "return_dry_bulb": RANDOM.normal(76.5, 0.5, 100),
    "return_relative_humidity": RANDOM.normal(0.54, 0.01, 100),
    "supply_dry_bulb": RANDOM.normal(57.0, 0.3, 100) + np.where((INSTALLER == "south") & (RANDOM.random(100) < 0.2), 4.0, 0.0),
    "supply_relative_humidity": RANDOM.normal(0.87, 0.01, 100),
    "airflow": RANDOM.normal(1200.0, 30.0, 100),
}

system = on.load(on.demo_file("alder.yaml"))
survey = on.survey(system, VISITS, on.demo_file("library-visit.yaml"), units="IP", by="installer")
print(survey.report(), end="")
