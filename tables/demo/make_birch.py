"""Makes the demo file beside this script: the variable-speed air conditioner "Birch three-ton, invented".

    python3 make_birch.py [FOLDER]      # writes into FOLDER, or beside this script

Everything here is INVENTED for demonstration: no such machine or maker exists. The page is laid out as service sheets often
are: a block for each compressor speed with its own airflow, total once a row, sensible at several entering dry bulbs, and a
multiplier row for other airflows. The numbers come from the coil and compressor of make_alder.py, with the compressor scaled
by its speed. Invented besides (degF, psig, kW): liquid pressure 390 + 6.0 (condensing temperature - 115); outdoor amps at
230 V and a power factor of 0.97.
"""

import sys
from pathlib import Path

import make_alder
from make_alder import SEA_LEVEL, block, bypass_factor, machine, ratio_from_wet_bulb

SPEEDS = {"minimum": 25, "rated": 60, "maximum": 90}  # Hz
# Printed at the middle one. The ranges overlap, so that one can read between two blocks at an airflow that both have.
AIRFLOW = {"minimum": (400, 600, 850), "rated": (800, 1000, 1200), "maximum": (900, 1150, 1350)}
OUTDOOR = {"minimum": (65, 75, 85, 95), "rated": (75, 85, 95, 105, 115), "maximum": (85, 95, 105, 115)}
WET_BULB = (63, 67, 71)
DRY_BULB = (70, 75, 80, 85)
CONDENSING_LIMIT = 143  # degF; above it the compressor slows down

# Power rises faster than speed: the share of the compressor, then that of the fan.
for name, speed in SPEEDS.items():
    share = speed / 60
    make_alder.STAGES[name] = {"capacity": share**0.92, "power": share**1.06, "fan": 0.05 + 0.15 * share**2}


def printed(speed, outdoor, airflow, dry, wet):
    return machine(outdoor, airflow, dry, ratio_from_wet_bulb(dry, wet, SEA_LEVEL), stage=speed)


def page(speed):
    airflow = AIRFLOW[speed][1]
    for outdoor in OUTDOOR[speed]:
        for wet in WET_BULB:
            at_80 = printed(speed, outdoor, airflow, 80, wet)
            head = [str(outdoor), str(wet)]
            if at_80["condensing"] > CONDENSING_LIMIT:
                yield [*head, *("x" * 4), *("x" * len(DRY_BULB))]
                continue
            total = f"{at_80['total']:.1f}"
            sensible = []
            for dry in DRY_BULB:
                if dry <= wet:
                    sensible.append("-")
                    continue
                figure = f"{min(printed(speed, outdoor, airflow, dry, wet)['sensible'], float(total)):.1f}"
                sensible.append(figure + ("d" if figure == total else ""))
            amps = 1000 * at_80["power"] / (230 * 0.97)
            yield [*head, total, *sensible, f"{at_80['power']:.2f}", f"{390 + 6.0 * (at_80['condensing'] - 115):.0f}",
                   f"{amps:.1f}"]


PAGE_HEAD = [["odb", "ewb", "total", *(f"sensible@{dry}" for dry in DRY_BULB), "power", "liquid_pressure", "amps"],
             ["degF", "degF", "MBh", *["MBh"] * len(DRY_BULB), "kW", "psig", "A"]]


def airflow_factors(speed):
    """At 95 degF outdoors, 80 / 67 degF entering."""
    middle = printed(speed, 95, AIRFLOW[speed][1], 80, 67)
    for airflow in AIRFLOW[speed]:
        point = printed(speed, 95, airflow, 80, 67)
        yield [str(airflow), *(f"{point[k] / middle[k]:.3f}" for k in ("total", "sensible", "power"))]


FACTORS_HEAD = [["airflow", "total", "sensible", "power"], ["scfm", "1", "1", "1"]]


def stage(speed):
    return f"""\
    {speed}:
      speed: {SPEEDS[speed]} Hz
      bypass: {bypass_factor(AIRFLOW[speed][1], "A"):.2f}
      airflow_factors: |
{block(FACTORS_HEAD, airflow_factors(speed), 8)}
      table: |
{block(PAGE_HEAD, page(speed), 8)}
"""


def system_file():
    return f"""\
# Birch three-ton, a variable-speed air conditioner INVENTED for demonstration: no such machine exists. Made by make_birch.py,
# which states the model behind the numbers; change that and run it again.
offnominal: system/1
name: Birch three-ton, invented
nominal: 3 ton                     # a label; no answer ever comes from it
refrigerant: R-410A
source: {{document: invented for demonstration, revision: A, page: 12}}
cooling:
  modulation: continuous           # the maker says that one may read between the blocks, where the speed is known
  basis:
    capacity: gross                # without the indoor fan's heat
    airflow: standard
    standard_pound: dry            # 0.075 lb of dry air per cubic foot
    power: outdoor unit            # compressor, outdoor fan, controls
    elevation: 0 ft
    tolerance: 5 %                 # the maker's, on total capacity
  stages:
    # sensible@75: at 75 degF entering dry bulb;  d: dry there, total = sensible;  -: blank on the page;  x: past the limit
{"".join(stage(speed) for speed in SPEEDS)}matches:
  indoor A: {{reference: true, fan: draw-through}}
"""


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    (folder / "birch.yaml").write_text(system_file(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
