"""Makes the demo files beside this script: the heat pump "Alder three-ton, invented" and two visits to it.

    python3 make_alder.py [FOLDER]      # writes into FOLDER, or beside this script

Everything here is INVENTED for demonstration: no such machine, maker, library or technician exists. The numbers come
from a small coil-and-compressor model, so that they hang together as a real page does, and are rounded as print rounds.

The model (degF, MBh, scfm, lb/h; air by the I-P equations of ASHRAE Fundamentals, chapter 1):

- Coil. Airflow V gives m = 4.5 V lb/h of dry air and a bypass factor BF = exp(-2.303 n (V/1000)^-0.45), n = 1. The air
  that touches the coil leaves saturated at the apparatus dew point:  T = m (1 - BF) (h_entering - h_saturated(ADP)).
  Where saturation at the apparatus dew point would hold more moisture than the entering air, the coil is dry and T is
  all sensible. The refrigerant evaporates at Te = ADP - 0.25 d T, d = 1.
- Compressor. It condenses at Tc = outdoor dry bulb + 0.50 (T + 3.412 kW). With x = Te - 45 and y = Tc - 115 it gives
  T = 33.4 s (1 + 0.021 x + 0.0001 x^2 - 0.0080 y)  and draws  kW = 2.28 c (1 + 0.0135 y + 0.00006 y^2 + 0.0005 x).
  High stage s = 1, c = 1, outdoor fan 0.20 kW; low stage s = 0.70, c = 0.68, outdoor fan 0.13 kW.
- Indoor unit B is smaller: n = 0.85, d = 1.25.
- The suction line costs 0.5 degF of saturation temperature in the reference line, in proportion to its length and to
  (inside diameter)^-4.8; a longer or thinner line takes the difference off Te.
- Heating. The same compressor evaporates at Te = outdoor dry bulb - 4 - 0.30 T and condenses at the Tc at which the indoor
  coil, 4.5 V (1 - BF) 0.240 (Tc - entering dry bulb) / 1000, takes all its heat T + 3.412 kW. Frost and defrost take a
  share of that, 0.02 + 0.10 exp(-((outdoor - 33) / 7)^2) up to 45 degF, and 0.15 of that share of the power.
"""

import math
import sys
from pathlib import Path

SEA_LEVEL = 14.696  # psia
BTU_H_PER_W = 3.412142

# ---------------------------------------------------------------------------------------------- moist air, I-P


def station_pressure(feet):
    return SEA_LEVEL * (1 - 6.8754e-6 * feet) ** 5.2559


def saturation_pressure(t):
    """Over water, psia; t in degF from 32 up."""
    k = t + 459.67
    return math.exp(-1.0440397e4 / k - 11.294650 - 0.027022355 * k + 1.2890360e-5 * k * k
                    - 2.4780681e-9 * k**3 + 6.5459673 * math.log(k))


def ratio_from_vapour(vapour, pressure):
    return 0.621945 * vapour / (pressure - vapour)


def saturation_ratio(t, pressure):
    return ratio_from_vapour(saturation_pressure(t), pressure)


def enthalpy(t, ratio):
    return 0.240 * t + ratio * (1061 + 0.444 * t)


def ratio_from_wet_bulb(t, wet, pressure):
    return ((1093 - 0.556 * wet) * saturation_ratio(wet, pressure) - 0.240 * (t - wet)) / (1093 + 0.444 * t - wet)


def volume(t, ratio, pressure):
    """ft3 per lb of dry air."""
    return 0.370486 * (t + 459.67) * (1 + 1.607858 * ratio) / pressure


def bisect(function, low, high):
    """The zero of a function that falls from positive to negative."""
    while low < (middle := 0.5 * (low + high)) < high:  # until no number lies between them
        low, high = (middle, high) if function(middle) > 0 else (low, middle)
    return middle


# ---------------------------------------------------------------------------------------------------- the machine

STAGES = {"high": {"capacity": 1.00, "power": 1.00, "fan": 0.20}, "low": {"capacity": 0.70, "power": 0.68, "fan": 0.13}}
INDOOR = {"A": {"transfer": 1.00, "approach": 1.00}, "B": {"transfer": 0.85, "approach": 1.25}}


def bypass_factor(airflow, indoor):
    return math.exp(-2.303 * INDOOR[indoor]["transfer"] * (airflow / 1000) ** -0.45)


def compressor(evaporating, outdoor, capacity, stage):
    """Capacity it would give (MBh), its power (kW) and condensing temperature while it rejects the heat of `capacity`."""
    x, kw = evaporating - 45, 2.0
    for _ in range(60):
        condensing = outdoor + 0.50 * (capacity + BTU_H_PER_W * kw)
        y = condensing - 115
        kw = 2.28 * STAGES[stage]["power"] * (1 + 0.0135 * y + 0.00006 * y * y + 0.0005 * x)
    return 33.4 * STAGES[stage]["capacity"] * (1 + 0.021 * x + 0.0001 * x * x - 0.0080 * y), kw, condensing


def machine(outdoor, airflow, dry, ratio, *, stage="high", indoor="A", line_drop=0.0, pressure=SEA_LEVEL):
    """Gross total and sensible (MBh), power of the outdoor unit (kW), condensing temperature; whether the coil is dry."""
    through = 4.5 * airflow * (1 - bypass_factor(airflow, indoor)) / 1000
    entering = enthalpy(dry, ratio)

    def coil(adp):
        saturated = saturation_ratio(adp, pressure)
        if saturated >= ratio:
            sensible = through * (0.240 + 0.444 * ratio) * (dry - adp)
            return sensible, sensible, True
        return through * (entering - enthalpy(adp, saturated)), through * (0.240 + 0.444 * saturated) * (dry - adp), False

    def at(adp):
        total = coil(adp)[0]
        return compressor(adp - 0.25 * INDOOR[indoor]["approach"] * total - line_drop, outdoor, total, stage), total

    adp = bisect(lambda t: at(t)[1] - at(t)[0][0], 33.0, dry)
    total, sensible, is_dry = coil(adp)
    (_, kw, condensing), _ = at(adp)
    return {"total": total, "sensible": sensible, "dry": is_dry, "condensing": condensing,
            "power": kw + STAGES[stage]["fan"]}


def printed(outdoor, airflow, wet, **more):
    """At the page's conditions: 80 degF entering, sea level."""
    return machine(outdoor, airflow, 80.0, ratio_from_wet_bulb(80.0, wet, SEA_LEVEL), **more)


def heat_pump(outdoor, airflow, dry, *, stage="high", integrated=False):
    """Gross heating capacity (MBh) and power of the outdoor unit (kW)."""
    scale, through = STAGES[stage], 4.5 * airflow * (1 - bypass_factor(airflow, "A")) / 1000

    def at(condensing):
        y, lifted = condensing - 115, 20.0
        for _ in range(60):
            x = outdoor - 4 - 0.30 * lifted - 45
            lifted = 33.4 * scale["capacity"] * (1 + 0.021 * x + 0.0001 * x * x - 0.0080 * y)
        kw = 2.28 * scale["power"] * (1 + 0.0135 * y + 0.00006 * y * y + 0.0005 * x)
        return lifted + BTU_H_PER_W * kw, kw

    condensing = bisect(lambda t: at(t)[0] - through * 0.240 * (t - dry), dry, 200.0)
    capacity, kw = at(condensing)
    frost = 0.02 + 0.10 * math.exp(-(((outdoor - 33) / 7) ** 2)) if integrated and outdoor <= 45 else 0.0
    return {"capacity": capacity * (1 - frost), "power": (kw + scale["fan"]) * (1 - 0.15 * frost)}


# ------------------------------------------------------------------------------------------------------ the pages

OUTDOOR = (75, 85, 95, 105, 115)
WET_BULB = (59, 63, 67, 71)
AIRFLOW = {"high": (800, 1000, 1200), "low": (600, 800, 1000)}
CONDENSING_LIMIT = 137  # degF; above it the page is blank


def page(stage):
    for outdoor in OUTDOOR:
        for airflow in AIRFLOW[stage]:
            for wet in WET_BULB:
                point = printed(outdoor, airflow, wet, stage=stage)
                head = [str(outdoor), str(airflow), str(wet)]
                if point["condensing"] > CONDENSING_LIMIT:
                    yield [*head, "-", "-", "-", "-"]
                    continue
                total, sensible = f"{point['total']:.1f}", f"{point['sensible']:.1f}"
                dry = "d" if sensible == total else ""
                yield [*head, total, sensible + dry, f"{point['power']:.2f}", f"{bypass_factor(airflow, 'A'):.2f}"]


PAGE_HEAD = [["odb", "airflow", "ewb", "total", "sensible", "power", "bypass"],
             ["degF", "scfm", "degF", "MBh", "MBh", "kW", "1"]]

HEATING_HEAD = [["odb", "airflow", "capacity", "power"], ["degF", "scfm", "MBh", "kW"]]
INTEGRATED_HEAD = [["odb", "capacity", "power"], ["degF", "MBh", "kW"]]
HEATING_RATING = {"outdoor": 47, "airflow": 1200, "dry": 70}


def heating_page():
    """Instantaneous, high stage, 70 degF entering."""
    for outdoor in (5, 17, 27, 37, 47, 57, 65):
        for airflow in AIRFLOW["high"]:
            point = heat_pump(outdoor, airflow, 70)
            yield [str(outdoor), str(airflow), f"{point['capacity']:.1f}", f"{point['power']:.2f}"]


def integrated_page():
    """Integrated, high stage, 70 degF entering, 1200 scfm."""
    for outdoor in (5, 17, 25, 30, 35, 40, 45, 47, 57, 65):
        point = heat_pump(outdoor, 1200, 70, integrated=True)
        yield [str(outdoor), f"{point['capacity']:.1f}", f"{point['power']:.2f}"]


def heating_factors(name, values):
    """A multiplier row: factors at the rating point for other values of one condition."""
    reference = heat_pump(**HEATING_RATING)
    for value in values:
        point = heat_pump(**{**HEATING_RATING, name: value})
        yield [str(value), *(f"{point[k] / reference[k]:.3f}" for k in ("capacity", "power"))]


def factor_block(name, unit, key, values):
    return block([[key, "capacity", "power"], [unit, "1", "1"]], heating_factors(name, values), 10)


INSIDE_DIAMETER = {"5/8": 0.545, "3/4": 0.666, "7/8": 0.785}  # in, type ACR copper
REFERENCE_LINE = (25, "7/8")


def line_drop(feet, size):
    """Saturation temperature lost, degF, above that of the reference line."""
    relative = feet / REFERENCE_LINE[0] * (INSIDE_DIAMETER[size] / INSIDE_DIAMETER[REFERENCE_LINE[1]]) ** -4.8
    return 0.5 * (relative - 1)


RATING = {"outdoor": 95, "airflow": 1200, "wet": 67}


def line_table():
    reference = printed(**RATING)
    for size in INSIDE_DIAMETER:
        for feet in (15, 25, 50, 80):
            drop = line_drop(feet, size)
            if drop > 5:  # the oil would not come back: not allowed
                yield [str(feet), size, "-", "-"]
                continue
            point = printed(**RATING, line_drop=drop)
            yield [str(feet), size, *(f"{point[k] / reference[k]:.3f}" for k in ("total", "power"))]


def blower_table():
    """A constant-torque blower: airflow sags and power climbs with external static pressure; no figure past its limit."""
    for tap, free_airflow in enumerate((880, 1020, 1160, 1300, 1430), start=1):
        for tenths in range(1, 10):
            static = tenths / 10
            airflow = free_airflow * (1 - 0.10 * static - 0.09 * static**2)
            power = 0.29 * airflow * (free_airflow / 1300) ** 1.6 * (1 + 0.75 * static)
            if tap == 5 and static > 0.75:
                yield [str(tap), f"{static:.1f}", "-", "-"]
            else:
                yield [str(tap), f"{static:.1f}", f"{5 * round(airflow / 5)}", f"{5 * round(power / 5)}"]


def block(head, rows, indent):
    """Columns of a `|` block, aligned."""
    rows = [*head, *rows]
    widths = [max(len(row[i]) for row in rows) for i in range(len(head[0]))]
    return "\n".join(" " * indent + "  ".join(cell.ljust(w) for cell, w in zip(row, widths)).rstrip() for row in rows)


def csv(comment, head, rows):
    return "\n".join([f"# {comment}", *(",".join(row) for row in [*head, *rows])]) + "\n"


def system_file():
    airflow_b = 1000
    a = printed(RATING["outdoor"], airflow_b, RATING["wet"])
    b = printed(RATING["outdoor"], airflow_b, RATING["wet"], indoor="B")
    return f"""\
# Alder three-ton, a two-stage heat pump INVENTED for demonstration: no such machine exists. Made by make_alder.py, which
# states the model behind the numbers; change that and run it again.
offnominal: system/1
name: Alder three-ton, invented
nominal: 3 ton                     # a label; no answer ever comes from it
refrigerant: R-410A
source: {{document: invented for demonstration, revision: A, page: 4}}
cooling:
  basis:
    capacity: gross                # without the indoor fan's heat
    airflow: standard
    standard_pound: dry            # 0.075 lb of dry air per cubic foot
    power: outdoor unit            # compressor, outdoor fan, controls
    sensible_at: 80 degF           # entering dry bulb of the sensible column
    sensible_slope: 1.10 Btu/h/cfm/degF
    elevation: 0 ft
    tolerance: 5 %                 # the maker's, on total capacity
  stages:
    high:
      # d: dry on the page, total = sensible;  -: blank on the page
      table: |
{block(PAGE_HEAD, page("high"), 8)}
    low: {{file: alder-low.csv}}
heating:                           # for indoor A
  basis:
    capacity: gross
    airflow: standard
    standard_pound: dry
    power: outdoor unit
    printed_at: 70 degF            # entering dry bulb
    outdoor_humidity: 75 %
    elevation: 0 ft
    tolerance: 5 %
  instantaneous:                   # a running machine without frost: what a test on site sees
    stages:
      high:
        table: |
{block(HEATING_HEAD, heating_page(), 10)}
        edb_factors: |
{factor_block("dry", "degF", "edb", (60, 65, 70, 75, 80))}
  integrated:                      # averaged over frost build-up and defrost
    stages:
      high:
        airflow: 1200 scfm
        table: |
{block(INTEGRATED_HEAD, integrated_page(), 10)}
        airflow_factors: |
{factor_block("airflow", "scfm", "airflow", (800, 1000, 1200))}
        edb_factors: |
{factor_block("dry", "degF", "edb", (60, 65, 70, 75, 80))}
matches:
  indoor A: {{reference: true, fan: draw-through}}
  # Against indoor A at {RATING["outdoor"]} degF outdoors, {RATING["wet"]} degF wet bulb, {airflow_b} scfm.
  indoor B: {{total: {b["total"] / a["total"]:.3f}, power: {b["power"] / a["power"]:.3f}, \
bypass: {bypass_factor(airflow_b, "B"):.2f}, airflow: [800 scfm, 1150 scfm], fan: blow-through}}
line_set:
  reference: {{length: 25 ft, suction: 7/8 in, liquid: 3/8 in}}
  lift: [-50 ft, 50 ft]            # outdoor unit above: positive
  cooling: |
{block([["length", "suction", "total", "power"], ["ft", "in", "1", "1"]], line_table(), 4)}
blower:
  motor: constant torque
  includes: wet coil, no filter    # what the printed static pressure already holds
  air: standard
  file: alder-blower.csv
"""


# ----------------------------------------------------------------------------------------------------- the visits


def visit_file():
    feet, outdoor, dry, humidity = 4690, 91.0, 76.6, 0.550
    actual, fan_watts, share = 1190, 420, 0.93
    pressure = station_pressure(feet)
    ratio = ratio_from_vapour(humidity * saturation_pressure(dry), pressure)
    mass = 60 * actual / volume(dry, ratio, pressure)
    healthy = machine(outdoor, mass / 4.5, dry, ratio, line_drop=line_drop(50, "3/4"), pressure=pressure)

    # The machine gives `share` of that. Draw-through: the fan's heat comes after the coil, inside the probes.
    net = share * healthy["total"] * 1000 - BTU_H_PER_W * fan_watts
    latent = share * (healthy["total"] - healthy["sensible"]) * 1000
    supply_ratio = ratio - latent / (mass * (1061 + 0.444 * dry))
    supply_dry = dry - (net - latent) / (mass * (0.240 + 0.444 * supply_ratio))
    vapour = pressure * supply_ratio / (0.621945 + supply_ratio)
    supply_humidity = vapour / saturation_pressure(supply_dry)
    return f"""\
# A visit to a one-storey library at 4,690 ft. INVENTED for demonstration: no such library, visit or reading exists. Made
# by make_alder.py: the readings are what its model gives there for a machine that delivers {100 * share:.0f} % of its capacity, rounded
# as the instruments would show them.
offnominal: visit/1
name: Library, reading room (invented)
system: alder.yaml
date: 2026-07-14
remarks: invented for demonstration; clean filter, doors shut
site: {{elevation: 4690 ft, note: from the map}}
stage: high
match: indoor A
line_set: {{length: 50 ft, suction: 3/4 in, lift: 0 ft}}
boundary: coil+fan                 # the supply probe stands after the fan
fan_power: {{value: {fan_watts} W, instrument: clamp meter}}
steady: true
running: 25 min                    # from the last start to the readings
limit: 0.90                        # least ratio of delivered to expected that the contract accepts
readings:
  outdoor: {{dry_bulb: {outdoor:.1f} degF, instrument: outdoor probe}}
  return: {{dry_bulb: {dry:.1f} degF, relative_humidity: {100 * humidity:.1f} %, instrument: return probe}}
  supply: {{dry_bulb: {supply_dry:.1f} degF, relative_humidity: {100 * supply_humidity:.1f} %, instrument: supply probe}}
  airflow: {{value: {actual} cfm, at: return, instrument: flow grid}}
  power: {{value: {10 * round(100 * healthy["power"])} W, of: outdoor unit, instrument: clamp meter}}
instruments:                       # limits: never further off than that; expanded: 95 %, coverage factor 2
  outdoor probe: {{dry_bulb: {{limits: 1.0 degF}}}}
  return probe: {{dry_bulb: {{limits: 0.4 degF}}, relative_humidity: {{limits: 2 %}}}}
  supply probe: {{dry_bulb: {{limits: 0.4 degF}}, relative_humidity: {{limits: 2 %}}}}
  flow grid: {{airflow: {{expanded: 7 %}}}}
  clamp meter: {{power: {{limits: 3 %}}}}
"""


def heating_visit_file():
    feet, outdoor, dry, humidity = 4690, 40.0, 69.4, 0.320
    actual, fan_watts, share = 1190, 420, 1.00
    pressure = station_pressure(feet)
    ratio = ratio_from_vapour(humidity * saturation_pressure(dry), pressure)
    mass = 60 * actual / volume(dry, ratio, pressure)
    healthy = heat_pump(outdoor, mass / 4.5, dry)

    # The machine gives `share` of that. Draw-through: the fan's heat comes after the coil, inside the probes.
    net = share * healthy["capacity"] * 1000 + BTU_H_PER_W * fan_watts
    supply_dry = dry + net / (mass * (0.240 + 0.444 * ratio))
    return f"""\
# The same library in winter, the machine heating. INVENTED for demonstration: no such library, visit or reading exists. Made
# by make_alder.py: the readings are what its model gives there for a machine that delivers {100 * share:.0f} % of its capacity without
# frost, rounded as the instruments would show them.
offnominal: visit/1
name: Library, reading room, heating (invented)
system: alder.yaml
date: 2026-01-20
remarks: invented for demonstration; clean filter, doors shut, outdoor coil clear
site: {{elevation: 4690 ft, note: from the map}}
mode: heating
stage: high
match: indoor A
boundary: coil+fan                 # the supply probe stands after the fan
fan_power: {{value: {fan_watts} W, instrument: clamp meter}}
auxiliary_heat: off                # breaker of the electric heater open; or its power between the probes, or unknown
since_defrost: 25 min              # from the end of the last defrost to the readings; or defrost_free: true
steady: true
running: 40 min
limit: 0.85                        # least ratio of delivered to expected that the contract accepts
readings:
  outdoor: {{dry_bulb: {outdoor:.1f} degF, instrument: outdoor probe}}
  return: {{dry_bulb: {dry:.1f} degF, relative_humidity: {100 * humidity:.1f} %, instrument: return probe}}
  supply: {{dry_bulb: {supply_dry:.1f} degF, instrument: supply probe}}  # heated air keeps its moisture
  airflow: {{value: {actual} cfm, at: return, instrument: flow grid}}
  power: {{value: {10 * round(100 * healthy["power"])} W, of: outdoor unit, instrument: clamp meter}}
instruments:                       # limits: never further off than that; expanded: 95 %, coverage factor 2
  outdoor probe: {{dry_bulb: {{limits: 1.0 degF}}}}
  return probe: {{dry_bulb: {{limits: 0.4 degF}}, relative_humidity: {{limits: 2 %}}}}
  supply probe: {{dry_bulb: {{limits: 0.4 degF}}}}
  flow grid: {{airflow: {{expanded: 7 %}}}}
  clamp meter: {{power: {{limits: 3 %}}}}
"""


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    note = "Alder three-ton, INVENTED for demonstration; made by make_alder.py."
    files = {
        "alder.yaml": system_file(),
        "alder-low.csv": csv(f"{note} Low stage; d: dry on the page.", PAGE_HEAD, page("low")),
        "alder-blower.csv": csv(f"{note} Blower by tap.",
                                [["tap", "static", "airflow", "power"], ["1", "in_wc", "cfm", "W"]], blower_table()),
        "library-visit.yaml": visit_file(),
        "library-heating-visit.yaml": heating_visit_file(),
    }
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
