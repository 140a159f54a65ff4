"""The trade's spellings, in one place: of columns, of stages, of blanks and footnote marks. Those of units are C++'s.

They are for pasted print; files take those of units too. What is written is always the role's name and the unit's name of
`units.hpp`. Spellings are in lower case, words apart by one blank; where one may mean two things it stands in a table of its own, with both, and is asked
about. Common practice, no source.
"""

from offnominal import _core

COOLING = ("odb", "airflow", "ewb", "rh", "edb", "pressure", "total", "sensible", "power", "bypass")
HEATING = ("odb", "airflow", "edb", "capacity", "power")
COOLING_EXTRAS = ("split", "latent", "suction_pressure", "liquid_pressure", "amps", "eer", "cop")
HEATING_EXTRAS = ("rise", "cop", "suction_pressure", "liquid_pressure", "amps")
# What a column may be, by mode; where that is not known (None) of either.
OF_MODE: dict[str | None, tuple[str, ...]] = {"cooling": (*COOLING, *COOLING_EXTRAS), "heating": (*HEATING, *HEATING_EXTRAS)}
OF_MODE[None] = (*OF_MODE["cooling"], *OF_MODE["heating"])
AXES = ("odb", "airflow", "ewb", "rh", "edb", "pressure")


def _by_spelling(table):
    return {spelling: name for name, spellings in table.items() for spelling in spellings.split("|")}


ROLES = _by_spelling({
    "odb": "odb|outdoor db|outdoor dry bulb|outdoor temp|outdoor temperature|outdoor temperatures|outdoor air temp|"
    "outdoor air temperature|outdoor air|outdoor ambient|outdoor ambient temp|outdoor ambient temperature|outdoor|od db|od temp|"
    "oat|ambient|ambient temp|ambient temperature|condenser entering air|condenser entering air temperature|condenser air|"
    "outdoor air dry bulb|outdoor dry bulb temperature|outdoor db temperature|air entering condenser",
    "airflow": "airflow|air flow|indoor airflow|cfm|scfm|indoor cfm|evaporator cfm|evap cfm|supply cfm|supply airflow|air volume|"
    "indoor air flow|evaporator airflow",
    "ewb": "ewb|iwb|entering wb|entering wet bulb|entering wet bulb temperature|ent wb|indoor wb|indoor wet bulb|id wb|"
    "evaporator wb|return wb|return wet bulb|entering indoor wet bulb|entering air wb|entering air wet bulb|eat wb|iat wb|eawb|"
    "indoor entering wet bulb|indoor entering wb|indoor air wb",
    "edb": "edb|idb|entering db|entering dry bulb|entering dry bulb temperature|ent db|indoor db|indoor dry bulb|id db|return db|"
    "return dry bulb|entering indoor dry bulb|entering air db|entering air dry bulb|eat db|iat db|eadb|indoor entering dry bulb|"
    "indoor entering db|indoor air db",
    "edb/ewb": "edb/ewb|entering db/wb|indoor db/wb|entering air db/wb|eat db/wb|ent db/wb|return db/wb|indoor edb/ewb|db/wb",
    "ewb/edb": "ewb/edb|entering wb/db|indoor wb/db|entering air wb/db|eat wb/db|ent wb/db|return wb/db|wb/db",
    "rh": "rh|indoor rh|relative humidity|entering rh",
    "pressure": "station pressure|barometer|barometric pressure",
    "total": "total|tc|thc|total cap|total capacity|total cooling|total cooling capacity|tot cap|tot|total heat",
    "sensible": "sensible|sc|shc|sens|sens cap|sensible cap|sensible capacity|sensible cooling|sensible cooling capacity|"
    "sensible heat|s/t|shr|sensible heat ratio|sensible ratio|s/t ratio|sensible to total ratio",
    "power": "power|kw|input kw|kw input|power input|input power|input|watts|input watts|power kw|electrical input",
    "bypass": "bypass|bf|bypass factor|coil bypass factor",
    "split": "split|delta t|temp split|temperature split|air temperature drop",
    "latent": "latent|lc|latent cap|latent capacity",
    "suction_pressure": "suction pressure|suction press|suct press|suct pressure|suction psig|suct psig",
    "liquid_pressure": "liquid pressure|liquid press|liq press|liq pressure|liquid psig|liq psig",
    "amps": "amps|unit amps|outdoor amps|od amps|outdoor unit amps",
    "eer": "eer",
    "cop": "cop",
    "capacity": "heating capacity|heating cap|htg cap|htg capacity|heat capacity|hc|heating output|total heating capacity|"
    "integrated heating capacity|instantaneous heating capacity",
    "rise": "temperature rise|temp rise|rise|air temperature rise",
    "speed": "compressor speed|speed|frequency|compressor frequency",
})  # fmt: skip
# Where a heading is itself the name of a unit.
UNIT_OF_WORDING = {
    "cfm": "cfm", "indoor cfm": "cfm", "evaporator cfm": "cfm", "evap cfm": "cfm", "supply cfm": "cfm", "scfm": "scfm", "kw": "kW",
    "input kw": "kW", "kw input": "kW", "power kw": "kW", "watts": "W", "input watts": "W", "suction psig": "psig",
    "suct psig": "psig", "liquid psig": "psig", "liq psig": "psig", "s/t": "1", "shr": "1", "sensible heat ratio": "1",
    "sensible ratio": "1", "s/t ratio": "1", "sensible to total ratio": "1", "amps": "A", "unit amps": "A", "outdoor amps": "A",
    "od amps": "A", "outdoor unit amps": "A", "bf": "1", "bypass": "1", "bypass factor": "1", "coil bypass factor": "1",
}  # fmt: skip
RATIOS_OF_TOTAL = ("s/t", "shr", "sensible heat ratio", "s/t ratio", "sensible to total ratio")
# Headings that say too little on their own, with what they may mean.
VAGUE = {
    "db": "odb or edb", "dry bulb": "odb or edb", "wb": "ewb, or the outdoor wet bulb, which is no role",
    "wet bulb": "ewb, or the outdoor wet bulb, which is no role", "temp": "odb or edb", "temperature": "odb or edb",
    "cap": "total or sensible", "capacity": "total or sensible", "capacities": "total or sensible",
    "cooling capacity": "total or sensible", "cooling capacities": "total or sensible", "entering air": "edb or ewb",
    "entering": "edb or ewb", "indoor": "edb or ewb", "return": "edb or ewb", "air": "odb or edb", "entering temperature":
    "edb or ewb", "entering air temperature": "edb or ewb", "entering indoor air": "edb or ewb", "indoor air": "edb or ewb",
    "ratio": "a ratio of what", "output": "total or sensible", "heat": "total or sensible",
}  # fmt: skip
CAPACITY = ("capacity", "capacities", "cap", "output", "heat")  # of a heating page there is but one
# Headings that may mean two things whatever else stands with them.
AMBIGUOUS = {
    "suction": "suction_pressure, or a temperature", "comp kw": "power, of the compressor: --power compressor",
    "compressor kw": "power, of the compressor: --power compressor",
    "compressor power": "power, of the compressor: --power compressor", "total kw": "total capacity, or total power",
    "system kw": "power, of the system: --power system", "unit kw": "power; say of what: --power 'outdoor unit'",
    "outdoor wb": "the outdoor wet bulb, which is no role", "outdoor wet bulb": "the outdoor wet bulb, which is no role",
    "psi": "psig or psia", "°": "degF or degC",
}  # fmt: skip

# As files take them too.
UNITS = _by_spelling({name: spellings for name, spellings, _ in _core.unit_spellings})
DIFFERENCES = {"degF": "delta_degF", "degC": "delta_degC"}  # of a split or a rise
UNITS_OF_AXIS = {
    "degF": ("odb", "ewb", "edb"), "degC": ("odb", "ewb", "edb"), "cfm": ("airflow",), "scfm": ("airflow",), "L/s": ("airflow",),
    "m3/h": ("airflow",), "m3/s": ("airflow",), "kg/s": ("airflow",), "lb/h": ("airflow",), "%": ("rh", "speed"), "Hz": ("speed",),
    "rpm": ("speed",), "kPa": ("pressure",), "psia": ("pressure",), "inHg": ("pressure",),
}  # fmt: skip
UNITS_OF_AIRFLOW = tuple(unit for unit, axes in UNITS_OF_AXIS.items() if axes == ("airflow",))
# Units in which a machine has thousands and never thousandths.
WHOLE = tuple(name for name, _, is_whole in _core.unit_spellings if is_whole)

STAGES = _by_spelling({
    "low": "low stage|low speed|low capacity stage",
    "high": "high stage|high speed",
    "first stage": "first stage|1st stage|stage 1",
    "second stage": "second stage|2nd stage|stage 2",
    "minimum": "minimum speed|min speed|minimum compressor speed",
    "intermediate": "intermediate speed|int speed|intermediate compressor speed",
    "rated": "rated speed|nominal speed|rated compressor speed",
    "maximum": "maximum speed|max speed|maximum compressor speed",
})  # fmt: skip
MODES = {"cooling": "cooling", "heating": "heating", "htg": "heating", "clg": "cooling"}
SAYS = {"gross": ("capacity", "gross"), "net": ("capacity", "net")}
FACTORS = ("multiplier", "multipliers", "correction factor", "correction factors", "factor", "factors", "correction", "corrections",
           "capacity multiplier", "capacity multipliers", "multiplying factors", "adjustment factors")  # fmt: skip
FILLERS = frozenset(("at", "@", "of", "the", "for", ":", "=", ",", "-", "and", "in", "with", "data", "performance", "ratings",
                     "rating", "table", "side"))  # fmt: skip

BLANKS = ("-", "--", "---", "----", "\u2013", "\u2014", "n/a", "na", "n.a.", "\u2014\u2014", "...")  # a printed blank
MARK_WORDS = ("dry", "blank", "limit", "ignore")  # what a footnote mark may be said to mean
