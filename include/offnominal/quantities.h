/* The enumerations and structs of offnominal.h. Written from the one description of every quantity in the
   library: not to be edited. DEVELOPERS.md ("The C interface") says how it is made. */
#ifndef OFFNOMINAL_QUANTITIES_H
#define OFFNOMINAL_QUANTITIES_H

#include <stddef.h>
#include <stdint.h>

enum offnominal_units {
    OFFNOMINAL_UNITS_IP = 0,
    OFFNOMINAL_UNITS_SI = 1,
};

enum offnominal_mode {
    OFFNOMINAL_MODE_COOLING = 0,
    OFFNOMINAL_MODE_HEATING = 1,
};

enum offnominal_boundary {
    OFFNOMINAL_BOUNDARY_NOT_GIVEN = 0,
    OFFNOMINAL_BOUNDARY_COIL = 1,
    OFFNOMINAL_BOUNDARY_COIL_FAN = 2,
};

enum offnominal_outside {
    OFFNOMINAL_OUTSIDE_REFUSE = 0,
    OFFNOMINAL_OUTSIDE_HOLD = 1,
    OFFNOMINAL_OUTSIDE_EXTEND = 2,
};

enum offnominal_frost {
    OFFNOMINAL_FROST_UNKNOWN = 0,
    OFFNOMINAL_FROST_INSTANTANEOUS = 1,
    OFFNOMINAL_FROST_INTEGRATED = 2,
};

enum offnominal_airflow {
    OFFNOMINAL_AIRFLOW_NOT_GIVEN = 0,
    OFFNOMINAL_AIRFLOW_STANDARD = 1,
    OFFNOMINAL_AIRFLOW_ACTUAL = 2,
    OFFNOMINAL_AIRFLOW_DRY_MASS = 3,
};

enum offnominal_place {
    OFFNOMINAL_PLACE_RETURN = 0,
    OFFNOMINAL_PLACE_SUPPLY = 1,
    OFFNOMINAL_PLACE_FAN = 2,
};

enum offnominal_line_set {
    OFFNOMINAL_LINE_SET_NOT_GIVEN = 0,
    OFFNOMINAL_LINE_SET_REFERENCE = 1,
    OFFNOMINAL_LINE_SET_GIVEN = 2,
    OFFNOMINAL_LINE_SET_MODELLED = 3,
};

enum offnominal_fan {
    OFFNOMINAL_FAN_UNKNOWN = 0,
    OFFNOMINAL_FAN_DRAW_THROUGH = 1,
    OFFNOMINAL_FAN_BLOW_THROUGH = 2,
};

enum offnominal_split {
    OFFNOMINAL_SPLIT_ENTHALPY = 0,
    OFFNOMINAL_SPLIT_ASHRAE37 = 1,
};

enum offnominal_power_basis {
    OFFNOMINAL_POWER_BASIS_UNKNOWN = 0,
    OFFNOMINAL_POWER_BASIS_COMPRESSOR = 1,
    OFFNOMINAL_POWER_BASIS_OUTDOOR_UNIT = 2,
    OFFNOMINAL_POWER_BASIS_SYSTEM = 3,
};

enum offnominal_why {
    OFFNOMINAL_WHY_NONE = 0, /**< there is an answer */
    OFFNOMINAL_WHY_NOT_FINITE = 1, /**< {what} is not a finite number */
    OFFNOMINAL_WHY_OUTSIDE = 2, /**< {what} {value} is outside {lower} to {upper} */
    OFFNOMINAL_WHY_BLANK = 3, /**< the page is blank in a node this answer needs */
    OFFNOMINAL_WHY_BEYOND_LIMIT = 4, /**< this answer needs a node past the maker's operating limit */
    OFFNOMINAL_WHY_NO_WET_LINE = 5, /**< next to a dry node with too few wet nodes above it: no wet line can be built */
    OFFNOMINAL_WHY_NO_KNEE = 6, /**< the coil is dry, and the {what} at which it would turn wet lies above {upper} */
    OFFNOMINAL_WHY_SUPERSATURATED = 7, /**< {what} {value} is past saturation; at most {upper} */
    OFFNOMINAL_WHY_BOILING = 8, /**< saturated vapour would reach the station pressure at {what} {value} */
    OFFNOMINAL_WHY_UNKNOWN_STAGE = 9, /**< the system has no such stage */
    OFFNOMINAL_WHY_UNKNOWN_MATCH = 10, /**< the system lists no such match */
    OFFNOMINAL_WHY_UNKNOWN_LINE = 11, /**< suction size {value} is not in the line-set table */
    OFFNOMINAL_WHY_NO_LINE_TABLE = 12, /**< a line set is given, but the system has no line-set table; give the reference line */
    OFFNOMINAL_WHY_NOT_GIVEN = 13, /**< {what} is not given, and there is no default */
    OFFNOMINAL_WHY_CONTRADICTORY = 14, /**< {what}: two inputs say different things */
    OFFNOMINAL_WHY_NO_OUTPUT = 15, /**< the page does not print {what} */
    OFFNOMINAL_WHY_NO_COIL_STATE = 16, /**< no apparatus dew point explains total capacity {value} at this airflow and bypass factor */
    OFFNOMINAL_WHY_NO_FLOW = 17, /**< {what} {value} must be above zero */
    OFFNOMINAL_WHY_WRONG_MODE = 18, /**< supply is warmer than return, or holds more heat: wrong mode, or swapped probes */
    OFFNOMINAL_WHY_SMALL_DIFFERENCE = 19, /**< dry-bulb split is below 3 degF: too small for a ratio, only the absolute capacities mean something */
    OFFNOMINAL_WHY_NOT_STEADY = 20, /**< the readings were not taken in steady state, or less than 15 minutes after a start */
    OFFNOMINAL_WHY_BASIS_UNKNOWN = 21, /**< the page does not say whether it is gross or net: nothing to compare with */
    OFFNOMINAL_WHY_NO_SENSITIVITY = 22, /**< what an input's uncertainty does to the ratio cannot be told: both ways it leads where there is no answer */
    OFFNOMINAL_WHY_NO_EXPECTED = 23, /**< the indoor fan's heat takes all of the expected capacity: check the fan power */
    OFFNOMINAL_WHY_OFF_PATH = 24, /**< the page prints pairs of dry and wet bulb, and {value} wet bulb is not on the way between two of them */
    OFFNOMINAL_WHY_NOT_CONTINUOUS = 25, /**< a speed between two blocks of the page, which does not say that they may be interpolated; give a stage */
    OFFNOMINAL_WHY_SPEED_NOT_HELD = 26, /**< a variable-speed compressor that was not held at a known speed: use the maker's test mode */
    OFFNOMINAL_WHY_UNLIKE_BASIS = 27, /**< {what}: the two do not include the same things */
    OFFNOMINAL_WHY_NOT_INFERRED = 28, /**< needs a node that the page leaves blank; ask for inferred values (infer) to get an estimate */
    OFFNOMINAL_WHY_UNKNOWN_CHOICE = 29, /**< {what}: number {value} is none of its choices */
    OFFNOMINAL_WHY_NO_LINE_MODEL = 30, /**< the line-set model holds for R-22, R-32, R-134a, R-290, R-410A and R-454B, and the system's refrigerant is none of them */
    OFFNOMINAL_WHY_UNKNOWN_TAP = 31, /**< the blower's page has no such tap */
    OFFNOMINAL_WHY_IMPLAUSIBLE = 32, /**< {what} {value} is not what a machine of this size has, {lower} to {upper}: a slip, a wrong unit, or an instrument astray */
    OFFNOMINAL_WHY_DEFROSTING = 33, /**< a defrost in the window of the readings, or less than 10 minutes before it: what was read is no steady heating */
};

enum offnominal_about {
    OFFNOMINAL_ABOUT_NOTHING = 0,
    OFFNOMINAL_ABOUT_AXIS = 1,
    OFFNOMINAL_ABOUT_OUTDOOR_DRY_BULB = 2,
    OFFNOMINAL_ABOUT_DRY_BULB = 3,
    OFFNOMINAL_ABOUT_WET_BULB = 4,
    OFFNOMINAL_ABOUT_RELATIVE_HUMIDITY = 5,
    OFFNOMINAL_ABOUT_HUMIDITY_RATIO = 6,
    OFFNOMINAL_ABOUT_DEW_POINT = 7,
    OFFNOMINAL_ABOUT_ENTHALPY = 8,
    OFFNOMINAL_ABOUT_ENTERING_DRY_BULB = 9,
    OFFNOMINAL_ABOUT_ENTERING_WET_BULB = 10,
    OFFNOMINAL_ABOUT_ENTERING_RELATIVE_HUMIDITY = 11,
    OFFNOMINAL_ABOUT_ENTERING_HUMIDITY_RATIO = 12,
    OFFNOMINAL_ABOUT_ENTERING_DEW_POINT = 13,
    OFFNOMINAL_ABOUT_ENTERING_ENTHALPY = 14,
    OFFNOMINAL_ABOUT_RETURN_DRY_BULB = 15,
    OFFNOMINAL_ABOUT_RETURN_WET_BULB = 16,
    OFFNOMINAL_ABOUT_RETURN_RELATIVE_HUMIDITY = 17,
    OFFNOMINAL_ABOUT_RETURN_HUMIDITY_RATIO = 18,
    OFFNOMINAL_ABOUT_RETURN_DEW_POINT = 19,
    OFFNOMINAL_ABOUT_RETURN_ENTHALPY = 20,
    OFFNOMINAL_ABOUT_SUPPLY_DRY_BULB = 21,
    OFFNOMINAL_ABOUT_SUPPLY_WET_BULB = 22,
    OFFNOMINAL_ABOUT_SUPPLY_RELATIVE_HUMIDITY = 23,
    OFFNOMINAL_ABOUT_SUPPLY_HUMIDITY_RATIO = 24,
    OFFNOMINAL_ABOUT_SUPPLY_DEW_POINT = 25,
    OFFNOMINAL_ABOUT_SUPPLY_ENTHALPY = 26,
    OFFNOMINAL_ABOUT_PRESSURE = 27,
    OFFNOMINAL_ABOUT_ELEVATION = 28,
    OFFNOMINAL_ABOUT_AIRFLOW = 29,
    OFFNOMINAL_ABOUT_STANDARD_AIRFLOW = 30,
    OFFNOMINAL_ABOUT_LINE_SET = 31,
    OFFNOMINAL_ABOUT_LINE_LENGTH = 32,
    OFFNOMINAL_ABOUT_LIFT = 33,
    OFFNOMINAL_ABOUT_SUCTION_SIZE = 34,
    OFFNOMINAL_ABOUT_LIQUID_SIZE = 35,
    OFFNOMINAL_ABOUT_SUCTION_LOSS = 36,
    OFFNOMINAL_ABOUT_FAN_POWER = 37,
    OFFNOMINAL_ABOUT_FAN_POSITION = 38,
    OFFNOMINAL_ABOUT_BOUNDARY = 39,
    OFFNOMINAL_ABOUT_STAGE = 40,
    OFFNOMINAL_ABOUT_MATCH = 41,
    OFFNOMINAL_ABOUT_TOTAL_CAPACITY = 42,
    OFFNOMINAL_ABOUT_SENSIBLE_CAPACITY = 43,
    OFFNOMINAL_ABOUT_POWER = 44,
    OFFNOMINAL_ABOUT_BYPASS = 45,
    OFFNOMINAL_ABOUT_LEAVING_AIR = 46,
    OFFNOMINAL_ABOUT_SITE = 47,
    OFFNOMINAL_ABOUT_LIMIT = 48,
    OFFNOMINAL_ABOUT_EXTERNAL_STATIC = 49,
    OFFNOMINAL_ABOUT_SPEED = 50,
    OFFNOMINAL_ABOUT_INDOOR_PAIR = 51,
    OFFNOMINAL_ABOUT_EFFICIENCY = 52,
    OFFNOMINAL_ABOUT_OUTDOOR_RELATIVE_HUMIDITY = 53,
    OFFNOMINAL_ABOUT_HEATING_CAPACITY = 54,
    OFFNOMINAL_ABOUT_FROST = 55,
    OFFNOMINAL_ABOUT_AUXILIARY_HEAT = 56,
    OFFNOMINAL_ABOUT_MODE = 57,
    OFFNOMINAL_ABOUT_OUTSIDE = 58,
    OFFNOMINAL_ABOUT_HUMIDITY = 59,
    OFFNOMINAL_ABOUT_SPLIT = 60,
    OFFNOMINAL_ABOUT_DRY_BULB_SPLIT = 61,
    OFFNOMINAL_ABOUT_AIRFLOW_PER_TON = 62,
    OFFNOMINAL_ABOUT_RISE = 63,
    OFFNOMINAL_ABOUT_DEFROST = 64,
    OFFNOMINAL_ABOUT_HELD_OUTDOOR = 65,
    OFFNOMINAL_ABOUT_HELD_LINE = 66,
    OFFNOMINAL_ABOUT_EXTENDED_WET_BULB = 67,
};

enum offnominal_footing {
    OFFNOMINAL_FOOTING_INSIDE = 0,
    OFFNOMINAL_FOOTING_HELD = 1,
    OFFNOMINAL_FOOTING_EXTENDED = 2,
    OFFNOMINAL_FOOTING_INFERRED = 4,
    OFFNOMINAL_FOOTING_DRY = 8,
    OFFNOMINAL_FOOTING_WET_LINE = 16,
    OFFNOMINAL_FOOTING_MODELLED = 32,
};

enum offnominal_note {
    OFFNOMINAL_NOTE_POUND_UNKNOWN = 0, /**< standard pound of the page unknown: taken as dry air (moist would move airflow 1 to 1.3 %) */
    OFFNOMINAL_NOTE_POWER_BASIS_UNKNOWN = 1, /**< power basis of the page unknown: not comparable with a measured power */
    OFFNOMINAL_NOTE_ELEVATION_UNKNOWN = 2, /**< elevation of the page unknown: taken as printed for sea level */
    OFFNOMINAL_NOTE_ALTITUDE_ASSUMED = 3, /**< no published altitude factor: at equal mass flow total and power were corrected for thin air at the outdoor coil, at 5,000 ft by -1.5 and +4 % in cooling, -2.2 and -1.2 % in heating, with extra uncertainty */
    OFFNOMINAL_NOTE_SENSIBLE_SCALED = 4, /**< page prints no bypass factor: sensible scaled with total instead of split by the coil */
    OFFNOMINAL_NOTE_DRYNESS_UNKNOWN = 5, /**< no sensible available: the dry-coil rule was not applied */
    OFFNOMINAL_NOTE_TOLERANCE_UNKNOWN = 6, /**< maker's tolerance unknown: none is in the uncertainty */
    OFFNOMINAL_NOTE_MATCH_FACTOR = 7, /**< match factor used across the map: 2 % standard uncertainty (common practice, no source) */
    OFFNOMINAL_NOTE_SATURATED_ENTERING = 8, /**< wet bulb a little above dry bulb: taken as saturated */
    OFFNOMINAL_NOTE_POWER_OF_DRY_COIL = 9, /**< dry coil: total, sensible and power taken where the coil would turn wet, and moved as the page's own dry nodes say */
    OFFNOMINAL_NOTE_LEAVING_IMPOSSIBLE = 10, /**< the page implies leaving air past saturation: suspect the page or the airflow */
    OFFNOMINAL_NOTE_INTERPOLATION_UNKNOWN = 11, /**< an axis with two values only: its interpolation error cannot be judged */
    OFFNOMINAL_NOTE_FAN_POSITION_UNKNOWN = 12, /**< fan position unknown: taken as draw-through; what the warmth of a blow-through fan would change is in the uncertainty (in heating 0.3 %/degF of capacity: common practice, no source) */
    OFFNOMINAL_NOTE_NEGATIVE_CAPACITY = 13, /**< supply holds more heat than return: wrong mode, or swapped probes */
    OFFNOMINAL_NOTE_NEGATIVE_LATENT = 14, /**< supply is wetter than return: water re-evaporating, outdoor air, or swapped probes */
    OFFNOMINAL_NOTE_SENSIBLE_ABOVE_TOTAL = 15, /**< sensible exceeds total: dry coil within the uncertainty, or a humidity probe astray */
    OFFNOMINAL_NOTE_NEAR_SATURATION = 16, /**< supply above 97 % relative humidity: humidity probes saturate after a wet coil */
    OFFNOMINAL_NOTE_SMALL_SPLIT = 17, /**< dry-bulb split below 3 degF: relative uncertainty is large */
    OFFNOMINAL_NOTE_ONE_SIDED = 18, /**< a sensitivity was taken on one side, where the other has no answer */
    OFFNOMINAL_NOTE_CAPACITY_BASIS_UNKNOWN = 19, /**< gross or net unknown: taken as gross */
    OFFNOMINAL_NOTE_AIRFLOW_BASIS_UNKNOWN = 20, /**< airflow basis of the page unknown: taken as standard airflow */
    OFFNOMINAL_NOTE_LINE_SET_UNKNOWN = 21, /**< no line-set table: no line-set factor */
    OFFNOMINAL_NOTE_STEADINESS_UNKNOWN = 22, /**< nobody says that it ran steadily (steady: true, or running: 25 min): let it run at least 15 to 20 minutes first (common practice, no source), as a machine that has just started reads other than it is */
    OFFNOMINAL_NOTE_UNCERTAINTY_MISSING = 23, /**< a reading without a stated uncertainty, or with none at all: taken to be as uncertain as a poor instrument's (common practice, no source), never as exact */
    OFFNOMINAL_NOTE_SHORT_RUN = 24, /**< less than 20 minutes of running before the readings, or since the last defrost (common practice, no source) */
    OFFNOMINAL_NOTE_PRESSURE_UNCHECKED = 25, /**< station pressure without an elevation to check it by: is it what a barometer at the machine reads, and not reduced to sea level? */
    OFFNOMINAL_NOTE_SATURATED_PROBE = 26, /**< supply humidity probe near saturation: the coil may have wetted it, surely where it reads 97 %; its air is then taken to stand from 5 points below what a sound machine leaves to 3 above, or from 83 to 100 % where the page does not tell that (common practice, no source), and the ratio follows; a wet bulb or dew point in the supply does away with it */
    OFFNOMINAL_NOTE_AIRFLOW_MULTIPLIER = 27, /**< airflow by the page's multiplier row, printed for its rating point and used across the page */
    OFFNOMINAL_NOTE_DRY_BULB_MULTIPLIER = 28, /**< entering dry bulb by the page's multiplier row, printed for its rating point and used across the page */
    OFFNOMINAL_NOTE_REFERENCE_LINE_UNKNOWN = 29, /**< the line the page is rated with is unknown: line-set factors taken as printed; a model of other lines starts from 25 ft of the same size, as rating tests use (from memory), with all that costs as uncertainty */
    OFFNOMINAL_NOTE_INFERRED_DRY_BULB = 30, /**< sensible at an entering dry bulb the page leaves blank: inferred, linear in entering dry bulb by the bypass factor */
    OFFNOMINAL_NOTE_SENSIBLE_LOWER_BOUND = 31, /**< sensible is capped at total on the page: a lower bound */
    OFFNOMINAL_NOTE_ALONG_PAIRS = 32, /**< read along the page's pairs of dry and wet bulb: no dry-coil rule can be applied on them */
    OFFNOMINAL_NOTE_BETWEEN_SPEEDS = 33, /**< between two compressor speeds, as the maker allows */
    OFFNOMINAL_NOTE_FROST_IN_PAGE = 34, /**< integrated heating capacity: frost and defrost are in it, so a steady test reads higher */
    OFFNOMINAL_NOTE_FROST_UNKNOWN = 35, /**< page does not say whether heating is instantaneous or integrated */
    OFFNOMINAL_NOTE_OUTDOOR_HUMIDITY_UNKNOWN = 36, /**< outdoor humidity of the heating page unknown: frost cannot be judged */
    OFFNOMINAL_NOTE_SPEED_UNKNOWN = 37, /**< variable-speed system: how its speed was held is not stated */
    OFFNOMINAL_NOTE_NO_HEATING_FACTORS = 38, /**< what is printed for cooling alone, of match, line-set and altitude factors, was not applied to heating */
    OFFNOMINAL_NOTE_OTHER_STAGE = 39, /**< what was read fits another stage or speed much better: which one ran? */
    OFFNOMINAL_NOTE_WEATHER_IN_PRESSURE = 40, /**< station pressure from the elevation alone: standard uncertainty of 1 % for the weather (common practice, no source); a barometer at the machine does away with it */
    OFFNOMINAL_NOTE_TOLERANCE_ASSUMED = 41, /**< maker's tolerance unknown: 5 % assumed, coverage factor 2, which is what AHRI 210/240 lets a published rating differ */
    OFFNOMINAL_NOTE_CURVATURE_ASSUMED = 42, /**< an axis with two values only: how the page bends between them was taken from what such pages do (common practice, no source) */
    OFFNOMINAL_NOTE_MULTIPLIER_ASSUMED = 43, /**< a multiplier row used across the page: 1 % standard uncertainty (common practice, no source) */
    OFFNOMINAL_NOTE_ONE_INSTRUMENT = 44, /**< one instrument read the same quantity at two places: half of its variance was taken as shared (common practice, no source); `correlation` under that instrument says another share */
    OFFNOMINAL_NOTE_CONDENSATE_TAKEN = 45, /**< the condensate's heat was taken off the delivered total, 0.4 to 0.8 %, which rated pages do not do: the ratio is low by that */
    OFFNOMINAL_NOTE_PROBES_ASTRIDE_FAN = 46, /**< boundary coil, yet a fan power is given: do the probes stand astride the fan? Then the boundary is coil+fan, and a shortfall by the fan's heat is none */
    OFFNOMINAL_NOTE_SEA_LEVEL_UNCHECKED = 47, /**< elevation within 10 ft of 0 and no barometer: is the site at sea level? Every 1,000 ft forgotten adds 2.7 % to the ratio */
    OFFNOMINAL_NOTE_SATURATED_SUPPLY = 48, /**< supply wet bulb or dew point above its dry bulb by no more than the instruments' uncertainty: taken as saturated */
    OFFNOMINAL_NOTE_BAROMETER_FAR = 49, /**< the barometer is 1.5 to 3 % off what the elevation asks for, which weather does on few days: is it reduced to sea level, or the elevation wrong? */
    OFFNOMINAL_NOTE_WET_SUPPLY = 50, /**< supply wetter than return beyond the probes' uncertainty: swapped or failing humidity probes, water re-evaporating, or outdoor air between the probes */
    OFFNOMINAL_NOTE_AIRFLOW_SUSPECT = 51, /**< power is on target, and another airflow than the one read would explain capacity and split alike: measure the airflow a second way */
    OFFNOMINAL_NOTE_READING_SUSPECT = 52, /**< total, sensible and power do not fit together for any capacity of this machine: one of the readings is astray */
    OFFNOMINAL_NOTE_JOINED = 53, /**< sensible agrees with total: a coil of this bypass factor ties the two together (apparatus dew point on the saturation curve; 1.5 % standard uncertainty and a fifth of the shortfall, common practice, no source) */
    OFFNOMINAL_NOTE_BYPASS_INFERRED = 54, /**< the page prints no bypass factor: sensible is found by the one that its own wet numbers have (apparatus dew point), good to about 1 % */
    OFFNOMINAL_NOTE_AIRFLOW_EFFECT = 55, /**< the page is printed at one airflow: what another one does is by published curves of residential machines (NREL/TP-5500-56354) */
    OFFNOMINAL_NOTE_FROST_TAKEN_OUT = 56, /**< instantaneous heating from a page that prints integrated: its frost was taken out again, by the system's defrost table or else by the model of the US regulation; half of it is standard uncertainty (common practice, no source) */
    OFFNOMINAL_NOTE_FROST_ON_COIL = 57, /**< outdoors it is 17 to 45 degF, where frost grows on the coil between defrosts and lowers what is read, by nothing to 4 % (common practice, no source), in proportion less where the last defrost is said to be under half an hour ago: half of that less is expected, and nothing passes that would not without frost; a steady test is read soon after the coil is clear */
    OFFNOMINAL_NOTE_AUXILIARY_UNKNOWN = 58, /**< nobody knows whether auxiliary heat was on: what was delivered may hold it, so nothing is passed or failed */
    OFFNOMINAL_NOTE_HUMIDITY_ASSUMED = 59, /**< humidity of the return air not read: taken as 35 % relative humidity, anywhere from 5 to 65 % (common practice, no source); it moves the mass of an actual airflow and the heat capacity of the air, against each other */
    OFFNOMINAL_NOTE_LINE_MODELLED = 60, /**< line set not in the maker's table: what it costs beyond the printed one is a model's (friction, lift, heat, compressor and coil; standard uncertainty of a third of that cost and more), power is left as printed; without the liquid line's size its friction is not judged */
    OFFNOMINAL_NOTE_LIFT_UNKNOWN = 61, /**< lift of the line set not given, and it is not 0: whether it is allowed, and whether liquid reaches the valve, is open (1 % standard uncertainty, common practice, no source) */
    OFFNOMINAL_NOTE_SUBCOOLING_LOST = 62, /**< what the liquid line rises and its friction take more subcooling than the usual 10 degF: gas may come to the valve, and then no line-set factor holds (5 % standard uncertainty, common practice, no source) */
    OFFNOMINAL_NOTE_BLOWER_LAW_ASSUMED = 63, /**< blower in air that is not standard, and its motor does not keep to the fan law: airflow by that law, uncertain by what such a motor may do otherwise */
    OFFNOMINAL_NOTE_STATIC_BOUNDARY_ASSUMED = 64, /**< which components stood between the two static taps is not said: taken as the blower table counts them, 0.05 in. w.c. standard uncertainty (common practice, no source) */
    OFFNOMINAL_NOTE_AIRFLOWS_DISAGREE = 65, /**< the ways by which airflow was determined disagree by more than their uncertainties explain: find out which is astray; until then the airflow is as uncertain as they are apart */
    OFFNOMINAL_NOTE_BESIDE_PAIRS = 66, /**< beside the page's pairs of dry and wet bulb: total and power read where they have this wet bulb, which a wet coil follows, with 0.05 %/degF of standard uncertainty; sensible by the bypass factor, where there is one */
    OFFNOMINAL_NOTE_PREHEAT_ASSUMED = 67, /**< a blow-through fan warms the coil's air past the entering dry bulbs that the heating page prints: -0.3 %/degF of capacity, +0.85 %/degF of power (common practice, no source), with 0.1 %/degF of standard uncertainty */
    OFFNOMINAL_NOTE_CALIBRATION_EXPIRED = 68, /**< an instrument's calibration has expired: what it states is widened by the square root of the time since over the time it held (common practice, no source) */
    OFFNOMINAL_NOTE_OUTDOOR_HELD = 69, /**< outdoors it is past the page, whose edge was held as asked: the truth is taken to lie anywhere between that and the page's last step continued */
    OFFNOMINAL_NOTE_LINE_HELD = 70, /**< the line set is past the lengths of the maker's table, whose edge was held as asked: the truth is taken to lie anywhere between that factor and the table's last step continued */
    OFFNOMINAL_NOTE_FITTINGS_COUNTED = 71, /**< fittings of the line set as straight tubing: elbow 30 bores, long_elbow 20, elbow_45 16, return_bend 50, tee_run 20, tee_branch 60 (ASHRAE Handbook - Refrigeration, from memory), each known to a quarter (standard; common practice, no source) */
    OFFNOMINAL_NOTE_FITTINGS_UNCOUNTED = 72, /**< fittings of the line set not counted, and they are not none: its equivalent length taken anywhere from the tubing's to half as long again, a quarter longer in the mean (common practice, no source) */
    OFFNOMINAL_NOTE_CAPACITIES_DISAGREE = 73, /**< the second capacity and the air's are further apart than 6 % (ANSI/ASHRAE 37, from memory) and than twice what they are uncertain by: one of the two is wrong */
    OFFNOMINAL_NOTE_WICK_SUSPECT = 74, /**< total is low where sensible and power are not: so looks a sound machine whose supply wick is half dry; wet it, and read again */
};

enum offnominal_step {
    OFFNOMINAL_STEP_PAGE = 0,
    OFFNOMINAL_STEP_NET_TO_GROSS = 1,
    OFFNOMINAL_STEP_WET_LINE = 2,
    OFFNOMINAL_STEP_FAN_PREHEAT = 3,
    OFFNOMINAL_STEP_MATCH = 4,
    OFFNOMINAL_STEP_LINE_SET = 5,
    OFFNOMINAL_STEP_LINE_MODEL = 6,
    OFFNOMINAL_STEP_STATION_PRESSURE = 7,
    OFFNOMINAL_STEP_ALTITUDE = 8,
    OFFNOMINAL_STEP_ALTITUDE_MODEL = 9,
    OFFNOMINAL_STEP_AIRFLOW = 10,
    OFFNOMINAL_STEP_COIL = 11,
    OFFNOMINAL_STEP_ENTERING_DRY_BULB = 12,
    OFFNOMINAL_STEP_DRY_COIL = 13,
    OFFNOMINAL_STEP_FAN_HEAT = 14,
    OFFNOMINAL_STEP_SPEED = 15,
    OFFNOMINAL_STEP_FROST = 16,
};

enum offnominal_step_of {
    OFFNOMINAL_STEP_OF_TOTAL = 0,
    OFFNOMINAL_STEP_OF_SENSIBLE = 1,
    OFFNOMINAL_STEP_OF_POWER = 2,
    OFFNOMINAL_STEP_OF_PRESSURE = 3,
    OFFNOMINAL_STEP_OF_DRY_BULB = 4,
    OFFNOMINAL_STEP_OF_WET_BULB = 5,
};

enum offnominal_outcome {
    OFFNOMINAL_OUTCOME_MEETS = 0,
    OFFNOMINAL_OUTCOME_FALLS_SHORT = 1,
    OFFNOMINAL_OUTCOME_UNDECIDED = 2,
    OFFNOMINAL_OUTCOME_IMPLAUSIBLE = 3,
    OFFNOMINAL_OUTCOME_NOT_COMPARABLE = 4,
};

enum offnominal_judge {
    OFFNOMINAL_JUDGE_TOTAL = 0,
    OFFNOMINAL_JUDGE_SENSIBLE = 1,
    OFFNOMINAL_JUDGE_BOTH = 2,
};

enum offnominal_yardstick {
    OFFNOMINAL_YARDSTICK_MAKE = 0,
    OFFNOMINAL_YARDSTICK_PAGE = 1,
};

enum offnominal_method {
    OFFNOMINAL_METHOD_FIRST_ORDER = 0,
    OFFNOMINAL_METHOD_DRAWS = 1,
};

enum offnominal_acceptance {
    OFFNOMINAL_ACCEPTANCE_GUARDED = 0,
    OFFNOMINAL_ACCEPTANCE_SIMPLE = 1,
};

enum offnominal_fitting {
    OFFNOMINAL_FITTING_ELBOW = 0,
    OFFNOMINAL_FITTING_LONG_ELBOW = 1,
    OFFNOMINAL_FITTING_ELBOW_45 = 2,
    OFFNOMINAL_FITTING_RETURN_BEND = 3,
    OFFNOMINAL_FITTING_TEE_RUN = 4,
    OFFNOMINAL_FITTING_TEE_BRANCH = 5,
};

enum offnominal_remedy {
    OFFNOMINAL_REMEDY_DRY_BULBS = 0, /**< read both dry bulbs with thermometers good to 0.4 degF (0.2 K) */
    OFFNOMINAL_REMEDY_HUMIDITIES = 1, /**< read both humidities with instruments good to 1.5 points of relative humidity or, near saturation, as wet bulbs to 0.4 degF (0.2 K) */
    OFFNOMINAL_REMEDY_SIDE_BY_SIDE = 2, /**< hold both probes side by side in the return air for ten minutes, correct the supply probe until they agree, and say so (side_by_side) */
    OFFNOMINAL_REMEDY_BETTER_AIRFLOW = 3, /**< measure the airflow to 5 %: by plenum pressure matching, or with a powered hood */
    OFFNOMINAL_REMEDY_SECOND_AIRFLOW = 4, /**< measure the airflow a second way, good to 7 % (such as a flow grid), and take the weighted mean */
    OFFNOMINAL_REMEDY_OUTDOOR = 5, /**< read the outdoor air in shade, where it enters the outdoor coil, with a thermometer good to 0.5 degF (0.3 K) */
    OFFNOMINAL_REMEDY_BAROMETER = 6, /**< read a barometer good to 0.015 psi (1 hPa) at the machine */
    OFFNOMINAL_REMEDY_FAN_METER = 7, /**< measure the indoor fan's power to 2 % */
    OFFNOMINAL_REMEDY_AUXILIARY_OFF = 8, /**< switch the auxiliary heat off, and read again */
    OFFNOMINAL_REMEDY_LONGER_WINDOW = 9, /**< read for four times as long, while it runs steadily, and take the means */
    OFFNOMINAL_REMEDY_EVERYTHING = 10, /**< take all of these remedies together */
};

/** Every enumeration, for offnominal_word(). */
enum offnominal_enumeration {
    OFFNOMINAL_ENUMERATION_UNITS,
    OFFNOMINAL_ENUMERATION_MODE,
    OFFNOMINAL_ENUMERATION_BOUNDARY,
    OFFNOMINAL_ENUMERATION_OUTSIDE,
    OFFNOMINAL_ENUMERATION_FROST,
    OFFNOMINAL_ENUMERATION_AIRFLOW,
    OFFNOMINAL_ENUMERATION_PLACE,
    OFFNOMINAL_ENUMERATION_LINE_SET,
    OFFNOMINAL_ENUMERATION_FAN,
    OFFNOMINAL_ENUMERATION_SPLIT,
    OFFNOMINAL_ENUMERATION_POWER_BASIS,
    OFFNOMINAL_ENUMERATION_WHY,
    OFFNOMINAL_ENUMERATION_ABOUT,
    OFFNOMINAL_ENUMERATION_FOOTING,
    OFFNOMINAL_ENUMERATION_NOTE,
    OFFNOMINAL_ENUMERATION_STEP,
    OFFNOMINAL_ENUMERATION_STEP_OF,
    OFFNOMINAL_ENUMERATION_OUTCOME,
    OFFNOMINAL_ENUMERATION_JUDGE,
    OFFNOMINAL_ENUMERATION_YARDSTICK,
    OFFNOMINAL_ENUMERATION_METHOD,
    OFFNOMINAL_ENUMERATION_ACCEPTANCE,
    OFFNOMINAL_ENUMERATION_FITTING,
    OFFNOMINAL_ENUMERATION_REMEDY,
};

/** Why there is no answer, as plain data: what, about what, which value, what would be accepted. Numbers are in the
    caller's units. */
typedef struct offnominal_reason {
    uint8_t why;   /**< enum offnominal_why; 0: there is an answer */
    uint8_t about; /**< enum offnominal_about */
    int16_t axis;  /**< of a page, or -1 */
    int32_t node;  /**< of a page, or -1 */
    double value, lower, upper;
} offnominal_reason;

/** One step of the ledger behind an expected capacity. */
typedef struct offnominal_ledger_step {
    int32_t kind;         /**< enum offnominal_step: what was done */
    int32_t of;           /**< enum offnominal_step_of: to which quantity */
    double factor;        /**< multiplier; 1 where the step adds an amount */
    double before, after; /**< in the caller's units */
} offnominal_ledger_step;

/** A question to expect. offnominal_conditions_init() fills it with what is not given: NaN, NULL, 0. */
typedef struct offnominal_conditions {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** enum offnominal_mode */
    int32_t mode;
    /** enum offnominal_boundary; there is no default */
    int32_t boundary;
    /** enum offnominal_outside: what to do past the edge of a page */
    int32_t outside;
    /** heating: enum offnominal_frost; there is no default */
    int32_t frost;
    /** enum offnominal_airflow: what the airflow means; there is no default */
    int32_t airflow_is;
    /** enum offnominal_place, of an actual airflow; -1: not given */
    int32_t airflow_at;
    /** enum offnominal_line_set; with GIVEN and MODELLED its length, suction, lift and liquid count */
    int32_t line_set;
    /** 0 or 1: allow inferred values */
    int32_t infer;
    /** 0 or 1: allow another airflow than the page's only one */
    int32_t airflow_effect;
    /** 0: length has its fittings in it; 1: it is the tubing's, and they are counted below; 2: nobody counted them */
    int32_t fittings_are;
    /** of each enum offnominal_fitting */
    int32_t fittings[6];
    /** NULL: not given */
    const char* stage;
    /** NULL: not given */
    const char* match;
    /** how far past a page its outdoor edge is held, whatever `outside` says; 0: it is not; delta_degF or delta_degC */
    double hold_outdoor_dry_bulb;
    /** how far past the line-set table its last length is held; ft or m */
    double hold_line_length;
    /** outdoor dry bulb; degF or degC */
    double outdoor_dry_bulb;
    /** dry bulb entering at the boundary; degF or degC */
    double entering_dry_bulb;
    /** wet bulb entering at the boundary; degF or degC */
    double entering_wet_bulb;
    /** fraction */
    double entering_relative_humidity;
    /** vapour per dry air; lb/lb or kg/kg */
    double entering_humidity_ratio;
    /** dew point; degF or degC */
    double entering_dew_point;
    /** airflow, with what it means; as dry_mass a mass flow; cfm or m3/s */
    double airflow;
    /** elevation of the site; ft or m */
    double elevation;
    /** station pressure; psia or Pa */
    double pressure;
    /** indoor fan; W */
    double fan_power;
    /** equivalent length of the line set; its tubing's beside fittings; ft or m */
    double length;
    /** size of its suction line; in or m */
    double suction;
    /** how far the outdoor unit stands above the indoor one; ft or m */
    double lift;
    /** size of its liquid line; in or m */
    double liquid;
    /** cooling: compressor speed, instead of a stage; in the system's own unit */
    double speed;
    /** heating: fraction, for a defrost table */
    double outdoor_relative_humidity;
    /** heating: heat beside the machine, 0 if off; W */
    double auxiliary_heat;
    /** how far past the page's wet bulbs its edge cell is continued; delta_degF or delta_degC, 3 K at most */
    double extend_entering_wet_bulb;
} offnominal_conditions;

/** Columns of a batch of questions; NULL where the number of offnominal_conditions holds for all rows. */
typedef struct offnominal_condition_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    const double* outdoor_dry_bulb;
    const double* entering_dry_bulb;
    const double* entering_wet_bulb;
    const double* entering_relative_humidity;
    const double* entering_humidity_ratio;
    const double* entering_dew_point;
    const double* airflow;
    const double* elevation;
    const double* pressure;
    const double* fan_power;
    const double* length;
    const double* suction;
    const double* lift;
    const double* liquid;
    const double* speed;
    const double* outdoor_relative_humidity;
    const double* auxiliary_heat;
} offnominal_condition_columns;

/** What the probes read. offnominal_readings_init() fills it with what is not given: NaN, 0. */
typedef struct offnominal_readings {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** enum offnominal_mode */
    int32_t mode;
    /** enum offnominal_airflow: what the airflow means; there is no default */
    int32_t airflow_is;
    /** enum offnominal_place, of an actual airflow; -1: not given */
    int32_t airflow_at;
    /** enum offnominal_fan: where it stands, for an airflow read at the fan */
    int32_t fan;
    /** cooling: enum offnominal_split: how sensible and latent are told apart */
    int32_t split;
    /** 0 or 1; cooling: subtract the condensate's heat */
    int32_t condensate;
    /** dry bulb in the return; degF or degC */
    double return_dry_bulb;
    /** wet bulb in the return; degF or degC */
    double return_wet_bulb;
    /** fraction */
    double return_relative_humidity;
    /** vapour per dry air; lb/lb or kg/kg */
    double return_humidity_ratio;
    /** dew point in the return; degF or degC */
    double return_dew_point;
    /** dry bulb in the supply; degF or degC */
    double supply_dry_bulb;
    /** cooling: wet bulb in the supply; degF or degC */
    double supply_wet_bulb;
    /** cooling: fraction */
    double supply_relative_humidity;
    /** cooling: vapour per dry air; lb/lb or kg/kg */
    double supply_humidity_ratio;
    /** cooling: dew point in the supply; degF or degC */
    double supply_dew_point;
    /** airflow, with what it means; as dry_mass a mass flow; cfm or m3/s */
    double airflow;
    /** elevation of the site; ft or m */
    double elevation;
    /** station pressure; psia or Pa */
    double pressure;
    /** indoor fan; W */
    double fan_power;
    /** heating: heat beside the machine, between the probes; 0 if off; W */
    double auxiliary_heat;
} offnominal_readings;

/** Columns of a batch of readings; NULL where the number of offnominal_readings holds for all rows. */
typedef struct offnominal_reading_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    const double* return_dry_bulb;
    const double* return_wet_bulb;
    const double* return_relative_humidity;
    const double* return_humidity_ratio;
    const double* return_dew_point;
    const double* supply_dry_bulb;
    const double* supply_wet_bulb;
    const double* supply_relative_humidity;
    const double* supply_humidity_ratio;
    const double* supply_dew_point;
    const double* airflow;
    const double* elevation;
    const double* pressure;
    const double* fan_power;
    const double* auxiliary_heat;
} offnominal_reading_columns;

/** What a machine should deliver. NaN: there is none. */
typedef struct offnominal_expected {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** why there is no answer */
    offnominal_reason reason;
    /** why there is no sensible capacity, power, COP, leaving air */
    offnominal_reason no_sensible, no_power, no_cop, no_leaving;
    /** sets of bits: 1 << (note % 64) of notes[note / 64], enum offnominal_note */
    uint64_t notes[2];
    /** bits of enum offnominal_footing: what the answer stands on */
    int32_t footing;
    /** enum offnominal_mode */
    int32_t mode;
    /** enum offnominal_boundary */
    int32_t boundary;
    /** heating: enum offnominal_frost */
    int32_t frost;
    /** enum offnominal_power_basis: what `power` includes */
    int32_t power_basis;
    int32_t unused;
    /** total capacity at the boundary; in heating all of it is sensible; Btu/h or W */
    double total_capacity;
    /** cooling: sensible capacity at the boundary; Btu/h or W */
    double sensible_capacity;
    /** cooling: total less sensible; Btu/h or W */
    double latent_capacity;
    /** electric power as the page prints it (power_basis); W */
    double power;
    /** outdoor unit and indoor fan; W */
    double system_power;
    /** heating: capacity over power, where both stand at one boundary */
    double cop;
    /** dry bulb leaving the boundary; degF or degC */
    double leaving_dry_bulb;
    /** wet bulb leaving the boundary; degF or degC */
    double leaving_wet_bulb;
    /** fraction */
    double leaving_relative_humidity;
    /** cooling: entering less leaving dry bulb; delta_degF or delta_degC */
    double split;
    /** heating: leaving less entering dry bulb; delta_degF or delta_degC */
    double rise;
    /** total capacity at the coil; Btu/h or W */
    double gross_total;
    /** standard uncertainty of the total by page and factors alone; Btu/h or W */
    double uncertainty;
    /** by the page's own pound; cfm or m3/s */
    double standard_airflow;
    /** dry air; lb/h or kg/s */
    double mass_flow;
    /** cooling: bypass factor of the matched coil */
    double bypass;
    /** cooling: on a dry coil: the wet bulb at which it would turn wet; degF or degC */
    double knee;
    /** heating: share of the time spent defrosting, by the defrost table */
    double defrost_time_fraction;
    /** heating: as given; never part of the capacity; W */
    double auxiliary_heat;
    /** last printed place; Btu/h or W */
    double uncertainty_resolution;
    /** the page's curvature between nodes; Btu/h or W */
    double uncertainty_interpolation;
    /** held or extended past an edge; Btu/h or W */
    double uncertainty_outside;
    /** next to dry nodes; in heating by the frost taken out of an integrated page; Btu/h or W */
    double uncertainty_inferred;
    /** a match factor used across the map; Btu/h or W */
    double uncertainty_match;
    /** a modelled line set, an unknown lift, liquid that may not reach the valve; Btu/h or W */
    double uncertainty_line;
    /** no published altitude factor; Btu/h or W */
    double uncertainty_altitude;
    /** another airflow than the one the page is printed at; Btu/h or W */
    double uncertainty_airflow;
    /** the maker's tolerance; Btu/h or W */
    double uncertainty_tolerance;
    /** a row of multipliers used across the page; Btu/h or W */
    double uncertainty_multiplier;
} offnominal_expected;

/** Answers to a batch of questions: columns to be filled, NULL where not wanted. */
typedef struct offnominal_expected_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** must be there */
    offnominal_reason* reasons;
    /** two for each row, as offnominal_expected.notes */
    uint64_t* notes;
    uint8_t* footing;
    double* total_capacity;
    double* sensible_capacity;
    double* latent_capacity;
    double* power;
    double* system_power;
    double* cop;
    double* leaving_dry_bulb;
    double* leaving_wet_bulb;
    double* leaving_relative_humidity;
    double* split;
    double* rise;
    double* gross_total;
    double* uncertainty;
    double* standard_airflow;
    double* mass_flow;
    double* bypass;
    double* knee;
    double* defrost_time_fraction;
    double* auxiliary_heat;
} offnominal_expected_columns;

/** What a machine delivers, raw: nothing is clamped. NaN: there is none. */
typedef struct offnominal_delivered {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** why there is no answer */
    offnominal_reason reason;
    /** as offnominal_expected.notes */
    uint64_t notes[2];
    /** enum offnominal_mode */
    int32_t mode;
    int32_t unused;
    /** mass flow times enthalpy difference; in heating less any auxiliary heat; Btu/h or W */
    double total_capacity;
    /** cooling: of the dry-bulb difference; Btu/h or W */
    double sensible_capacity;
    /** cooling: of the humidity difference; Btu/h or W */
    double latent_capacity;
    /** dry air; lb/h or kg/s */
    double mass_flow;
    /** at 0.075 lb of dry air per cubic foot; cfm or m3/s */
    double standard_airflow;
    /** cooling: return less supply dry bulb; delta_degF or delta_degC */
    double split;
    /** heating: supply less return dry bulb, auxiliary heat's part included; delta_degF or delta_degC */
    double rise;
    /** cooling: sensible over total; none where total is too small for a ratio */
    double sensible_ratio;
    /** cooling: water leaving the air; lb/h or kg/s */
    double condensate_flow;
    /** of the return air; degF or degC */
    double return_wet_bulb;
    /** of the supply air; degF or degC */
    double supply_wet_bulb;
    /** heating: as given; not in the capacity; W */
    double auxiliary_heat;
} offnominal_delivered;

/** Answers to a batch of readings: columns to be filled, NULL where not wanted. */
typedef struct offnominal_delivered_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** must be there */
    offnominal_reason* reasons;
    /** two for each row, as offnominal_expected.notes */
    uint64_t* notes;
    double* total_capacity;
    double* sensible_capacity;
    double* latent_capacity;
    double* mass_flow;
    double* standard_airflow;
    double* split;
    double* rise;
    double* sensible_ratio;
    double* condensate_flow;
    double* return_wet_bulb;
    double* supply_wet_bulb;
    double* auxiliary_heat;
} offnominal_delivered_columns;

/** What a proof says. NaN: there is none. */
typedef struct offnominal_verdict {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** why there is no ratio */
    offnominal_reason reason;
    /** why power and efficiency are not compared */
    offnominal_reason no_power;
    /** as offnominal_expected.notes */
    uint64_t notes[2];
    /** enum offnominal_outcome */
    int32_t outcome;
    /** enum offnominal_about: what to look at where something contradicts; 0: nothing */
    int32_t suspect;
    /** enum offnominal_outcome: what the outcome would be but for the suspect; -1: the same */
    int32_t uncapped;
    /** enum offnominal_outcome, by the other yardstick */
    int32_t other_outcome;
    /** enum offnominal_judge: which ratio must reach its limit */
    int32_t judge;
    /** enum offnominal_yardstick: what the machine is held against */
    int32_t yardstick;
    /** enum offnominal_method: what the probability was taken from */
    int32_t method;
    /** enum offnominal_acceptance: how the ratio is accepted */
    int32_t acceptance;
    /** delivered total over expected total, at the visit's boundary */
    double ratio;
    /** its standard uncertainty */
    double ratio_u;
    /** expanded, coverage factor 2 (about 95 %) */
    double ratio_u95;
    /** interval that holds the true ratio with 95 %, from */
    double ratio_low;
    /** interval that holds the true ratio with 95 %, to */
    double ratio_high;
    /** the ratio by total and sensible together, where both are used */
    double joint_ratio;
    /** its standard uncertainty */
    double joint_u;
    /** that what is judged reaches its limit; of total and sensible, the lesser */
    double probability;
    /** the same by the other yardstick */
    double other_probability;
    /** least ratio that is accepted */
    double limit;
    /** the same of sensible, where it is judged */
    double sensible_limit;
    /** probability that `meets` asks for */
    double confidence;
    /** relative standard uncertainty of the expected side's own terms */
    double expected_u;
    /** their share of the ratio's variance */
    double expected_share;
    /** delivered over expected sensible */
    double sensible_ratio;
    /** its standard uncertainty */
    double sensible_ratio_u;
    /** expanded, coverage factor 2 */
    double sensible_ratio_u95;
    /** delivered split over the one expected at the airflow that was read; in heating of the rise */
    double split_ratio;
    /** its standard uncertainty, the airflow's included */
    double split_ratio_u;
    /** as measured, where the page's includes the same things; W */
    double power;
    /** the page's; W */
    double expected_power;
    /** measured over expected power */
    double power_ratio;
    /** its standard uncertainty */
    double power_ratio_u;
    /** expanded, coverage factor 2 */
    double power_ratio_u95;
    /** delivered total over measured power; Btu/Wh or W/W */
    double efficiency;
    /** expected total over expected power; Btu/Wh or W/W */
    double expected_efficiency;
    /** delivered over expected efficiency */
    double efficiency_ratio;
    /** its standard uncertainty */
    double efficiency_ratio_u;
    /** expanded, coverage factor 2 */
    double efficiency_ratio_u95;
    /** standard airflow that the ways of a visit find together; none where it was read; cfm or m3/s */
    double airflow_found;
    /** its relative standard uncertainty */
    double airflow_found_u;
    /** how far past its limit the ratio of total must be read, about */
    double guard_band;
    /** specific risk: chance that this verdict is wrong */
    double risk;
    /** global risk: share of all such machines that fall short and are passed */
    double consumer_risk;
    /** global risk: share of all such machines that reach the limit and are failed */
    double producer_risk;
    /** what straight reading between the page's nodes leaves out of expected total, as a share of it */
    double bend;
    /** what frost on the outdoor coil is taken to hold back of expected total, in the mean, as a share of it */
    double frost;
} offnominal_verdict;

/** Columns of a batch of visits; NULL where what the visit reads holds for all rows. */
typedef struct offnominal_visit_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    const double* return_dry_bulb;
    const double* return_wet_bulb;
    const double* return_relative_humidity;
    const double* return_humidity_ratio;
    const double* return_dew_point;
    const double* supply_dry_bulb;
    const double* supply_wet_bulb;
    const double* supply_relative_humidity;
    const double* supply_humidity_ratio;
    const double* supply_dew_point;
    const double* airflow;
    const double* elevation;
    const double* pressure;
    const double* fan_power;
    const double* auxiliary_heat;
    const double* outdoor_dry_bulb;
    const double* power;
    const double* line_length;
    const double* line_suction;
    const double* line_lift;
    const double* line_liquid;
    const double* speed;
} offnominal_visit_columns;

/** What the proofs of a batch of visits say: columns to be filled, NULL where not wanted. */
typedef struct offnominal_verdict_columns {
    /** sizeof of this struct, as the caller was compiled */
    size_t struct_size;
    /** must be there: why there is no ratio */
    offnominal_reason* reasons;
    /** two for each row, as offnominal_expected.notes */
    uint64_t* notes;
    /** enum offnominal_outcome; -1 where the visit is refused: its reason says why */
    int16_t* outcome;
    /** enum offnominal_about, as offnominal_verdict.suspect; -1 likewise */
    int16_t* suspect;
    /** enum offnominal_method; -1 where there is no ratio */
    int16_t* method;
    /** enum offnominal_remedy: what is most likely to settle an undecided proof; -1: nothing */
    int16_t* next;
    /** of the ratio's variance */
    double* share_of_return_dry_bulb;
    /** of the ratio's variance */
    double* share_of_return_humidity;
    /** of the ratio's variance */
    double* share_of_supply_dry_bulb;
    /** of the ratio's variance */
    double* share_of_supply_humidity;
    /** of the ratio's variance */
    double* share_of_airflow;
    /** of the ratio's variance */
    double* share_of_outdoor_dry_bulb;
    /** of the ratio's variance */
    double* share_of_pressure;
    /** of the ratio's variance */
    double* share_of_fan_power;
    /** of the ratio's variance */
    double* share_of_power;
    /** of the ratio's variance */
    double* share_of_auxiliary_heat;
    double* ratio;
    double* ratio_u;
    double* ratio_u95;
    double* ratio_low;
    double* ratio_high;
    double* joint_ratio;
    double* joint_u;
    double* probability;
    double* other_probability;
    double* limit;
    double* sensible_limit;
    double* confidence;
    double* expected_u;
    double* expected_share;
    double* sensible_ratio;
    double* sensible_ratio_u;
    double* sensible_ratio_u95;
    double* split_ratio;
    double* split_ratio_u;
    double* power;
    double* expected_power;
    double* power_ratio;
    double* power_ratio_u;
    double* power_ratio_u95;
    double* efficiency;
    double* expected_efficiency;
    double* efficiency_ratio;
    double* efficiency_ratio_u;
    double* efficiency_ratio_u95;
    double* airflow_found;
    double* airflow_found_u;
    double* guard_band;
    double* risk;
    double* consumer_risk;
    double* producer_risk;
    double* bend;
    double* frost;
} offnominal_verdict_columns;

#endif
