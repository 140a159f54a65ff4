"""When may the readings be taken? A logger's readings, looked at as they come in, until a window of them is steady.

The log is invented: a machine that starts hot and settles over ten minutes, read every ten seconds.

It prints:

    steady from 900 s to 1500 s, 61 readings
      split: mean 18.92 delta_degF, drift 0.1864 (at most 0.3), range 0.4382 (at most 2)
      return_dry_bulb: mean 76.5 degF, drift -0.0008608, range 0.1999 (at most 2)
"""

import numpy as np

import offnominal as on

SECONDS = np.arange(0.0, 2400.0, 10.0)
SUPPLY = 57.5 + 9.0 * np.exp(-SECONDS / 240.0) + 0.1 * np.sin(SECONDS)
RETURN = 76.5 + 0.1 * np.cos(SECONDS)

watch = on.SteadyWatch(units="IP", elevation=650)
for seconds, supply, entering in zip(SECONDS, SUPPLY, RETURN):
    watch.add(seconds, return_dry_bulb=entering, supply_dry_bulb=supply)
    if watch.window.steady:
        break
print(watch.window.report("IP"), end="")
