"""Airflow determined in several ways, each with its uncertainty, source by source; tested against one another and combined::

    from offnominal import airflow

    here = {"dry_bulb": 76, "relative_humidity": 0.55, "elevation": 4690}
    first = system.blower(units="IP", tap="4", static=0.52, static_u=0.01, includes="wet coil, no filter", **here)
    second = airflow.temperature_rise(units="IP", power=9800, power_u=100, entering=70, leaving=98, relative_humidity=0.3,
                                      elevation=4690)
    airflow.combine([first, second])

Each ``_u`` is a standard uncertainty: stated limits over the square root of 3. Left out, it is that of a poor instrument, and noted;
0 says exact. ``by`` names instruments: readings of one quantity by one instrument share half of their variance. What each way is good
for beside its readings is common practice (no source), as ``terms`` shows.

All of them take the air that flows, at the place where the airflow is determined: `dry_bulb`; one of `relative_humidity`,
`wet_bulb`, `dew_point`, `humidity_ratio`; `elevation`, station `pressure` or both. ``density_u`` is the standard uncertainty of its
density, a share: 0.01 if left out, the weather's in a pressure from the elevation alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from collections.abc import Mapping
from typing import NamedTuple

from offnominal import _core, _texts, _units

if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Any, Literal

__all__ = [
    "Combination",
    "Determination",
    "OperatingPoint",
    "Term",
    "combine",
    "condensate",
    "drop",
    "flow_grid",
    "hood",
    "reading",
    "temperature_rise",
    "traverse",
    "traverse_points",
]


class Term(NamedTuple):
    """What one source of error does to an airflow.

    Attributes
    ----------
    what : str
        The reading, ``"density"``, or ``"the method"``.
    effect : float
        Of a rise by its standard uncertainty, as a share of the airflow, with its sign.
    source : str
        What it shares with other terms: an instrument and a quantity, or ``"density"``; empty if nothing.
    shared : float
        The share of the variance that two terms of one source have in common.
    """

    what: str
    effect: float
    source: str
    shared: float


class Determination(NamedTuple):
    """An airflow, and how it was found.

    Attributes
    ----------
    method : str
        ``"blower"``, ``"temperature_rise"``, ...
    by : str
        What of it, such as the tap of a blower.
    airflow, airflow_u : float
        Standard airflow (0.075 lb of dry air per cubic foot), cfm or m3/s, and its standard uncertainty.
    actual : float
        In the air where it was determined.
    mass_flow : float
        Dry air, lb/h or kg/s.
    power : float or None
        W of the fan, by a blower table.
    terms : tuple of Term
    notes : tuple of str
    units : {"IP", "SI"}
    """

    method: str
    by: str
    airflow: float
    airflow_u: float
    actual: float
    mass_flow: float
    power: float | None
    terms: tuple[Term, ...]
    notes: tuple[str, ...]
    units: str


class OperatingPoint(NamedTuple):
    """Where a blower and a duct system meet.

    Attributes
    ----------
    external_static : float
        In. w.c. or Pa.
    actual, airflow : float
        Actual airflow where the fan breathes, and standard airflow.
    power : float
        W.
    notes : tuple of str
    """

    external_static: float
    actual: float
    airflow: float
    power: float
    notes: tuple[str, ...]


class Combination(NamedTuple):
    """Several ways to find one airflow, held against one another.

    Attributes
    ----------
    airflow, airflow_u : float
        Standard airflow and its standard uncertainty, which is widened where the ways disagree.
    mass_flow : float
        Dry air.
    chi_squared : float
        About the combination, with `degrees` degrees of freedom.
    degrees : int
    chance : float
        Of a chi-squared as large, were all of them right.
    agree : bool
        The chance is 5 % or more.
    farthest : int
        Which of them stands farthest off, over its own uncertainty.
    weights : tuple of float
    notes : tuple of str
    units : {"IP", "SI"}
    """

    airflow: float
    airflow_u: float
    mass_flow: float
    chi_squared: float
    degrees: int
    chance: float
    agree: bool
    farthest: int
    weights: tuple[float, ...]
    notes: tuple[str, ...]
    units: str


_APART = {"temperature": "temperature_difference"}


def _given(units, by, **readings):
    """The readings of a way as the compiled module takes them; of each its kind, value and standard uncertainty."""
    of, out = _units.si_of(units), {}
    for name, (kind, value, u) in readings.items():
        if value is None:
            continue
        instrument = by if isinstance(by, str) else (by or {}).get(name, "")
        u = of(_APART.get(kind, kind), f"{name}_u", u)
        if isinstance(value, (list, tuple)) or getattr(value, "ndim", 0):
            out[name] = [of(kind, name, one) for one in value], u, instrument
        else:
            out[name] = of(kind, name, value), u, instrument
    unknown = [] if by is None or isinstance(by, str) else [name for name in by if name not in readings]
    if unknown:
        raise ValueError(f"by: {unknown[0]!r}; accepted: {', '.join(readings)}")
    return out


def _air(
    units,
    *,
    dry_bulb,
    relative_humidity=None,
    wet_bulb=None,
    dew_point=None,
    humidity_ratio=None,
    elevation=None,
    pressure=None,
    density_u=None,
):
    """The air that flows, as the compiled module takes it."""
    of = _units.si_of(units)
    humidity, value = _units.exactly_one(
        "humidity", relative_humidity=relative_humidity, wet_bulb=wet_bulb, dew_point=dew_point, humidity_ratio=humidity_ratio
    )
    elevation, pressure = _units.site(elevation, pressure)
    kind = {"relative_humidity": "ratio", "humidity_ratio": "humidity_ratio"}.get(humidity, "temperature")
    value = of(kind, humidity, value)
    site = of("length", "elevation", elevation), of("pressure", "pressure", pressure)
    return of("temperature", "dry_bulb", dry_bulb), humidity, value, *site, of("ratio", "density_u", density_u)


def _drops(units, drops):
    """The drops of components: of each a number, or a number and its standard uncertainty."""
    of, out = _units.si_of(units), {}
    for component, drop in (drops or {}).items():
        _units.check_word("drops", component, _core.component_words)
        drop, u = drop if isinstance(drop, (tuple, list)) else (drop, None)
        out[component] = of("static_pressure", "drops", drop), of("static_pressure", "drops", u), ""
    return out


def _blower(units, tap, static, static_u, includes, drops, by):
    given = _given(units, by, static=("static_pressure", static, static_u))
    _texts.check(tap, "tap")
    given["tap"] = tap
    given["includes"] = includes
    given["drops"] = {name: (*drop[:2], given["static"][2]) for name, drop in _drops(units, drops).items()}
    return given


def _determine(units, method, given, air, system=None):
    method, of, mass_flow, flow, actual, u, terms, power, notes = _core.airflow_by(system, method, given, air)
    told = [_units.from_si(units, "airflow", x) for x in (flow, u * flow, actual)]
    mass_flow = _units.from_si(units, "mass_flow", mass_flow)
    terms = tuple(Term(*term) for term in terms)
    return Determination(method, of, *told, mass_flow, None if power != power else power, terms, tuple(notes), units)


def reading(
    *,
    units: Literal["IP", "SI"],
    airflow: Any,
    airflow_basis: Literal["standard"] | None = None,
    airflow_at: Literal["return", "supply", "fan"] | None = None,
    airflow_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """An airflow that an instrument shows.

    Parameters
    ----------
    units : {"IP", "SI"}
    airflow, airflow_u : float
        cfm, m3/s.
    airflow_basis : {"standard"}
    airflow_at : {"return", "supply", "fan"}
        Exactly one: standard airflow, or actual in the air given.
    by : str or dict, optional
        The instrument.
    **air
        The air that flows; see the module.

    Returns
    -------
    Determination
    """
    meaning = _units.meaning_of_airflow(airflow_basis, airflow_at)
    if meaning == "dry_mass":
        raise ValueError("airflow_basis: 'dry_mass'; accepted: 'standard'")
    instrument = by if by is None or isinstance(by, str) else {"value": by[name] for name in by if name == "airflow"}
    given = _given(units, instrument, value=("airflow", airflow, airflow_u))
    given["standard"] = meaning == "standard"
    return _determine(units, "reading", given, _air(units, **air))


def temperature_rise(
    *,
    units: Literal["IP", "SI"],
    entering: Any,
    leaving: Any,
    power: Any = None,
    input: Any = None,
    efficiency: Any = None,
    entering_u: Any = None,
    leaving_u: Any = None,
    power_u: Any = None,
    input_u: Any = None,
    efficiency_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """Known heat into the air, over how far it warms it: dry mass = heat / (enthalpy rise at one humidity).

    The compressor must be off, and the probes out of sight of what heats. (Energy balance; the moist heat capacity of ASHRAE
    Handbook Fundamentals, chapter 1. The trade's cfm = 3.412 W / (1.08 rise) is the same in standard air.)

    Parameters
    ----------
    units : {"IP", "SI"}
    entering, leaving : float
        Dry bulbs before and after the heat, degF or degC.
    power : float
        W: electric heat and all else the meter sees that ends in the air between the two probes, such as the blower.
    input, efficiency : float
        Of a fuel: Btu/h or W, and the steady efficiency, a fraction. `power` is then the blower's, or left out.
    entering_u, leaving_u, power_u, input_u, efficiency_u : float, optional
    by : str or dict, optional
        Instruments: ``{"entering": "probe 1", "leaving": "probe 1"}``.
    **air
        The air that flows; see the module. `dry_bulb` is `entering`.

    Returns
    -------
    Determination

    Raises
    ------
    InputError
        Where the air leaves no warmer than it entered, or a number is missing or cannot be.
    """
    given = _given(
        units,
        by,
        power=("electric_power", power, power_u),
        input=("capacity", input, input_u),
        efficiency=("ratio", efficiency, efficiency_u),
        entering=("temperature", entering, entering_u),
        leaving=("temperature", leaving, leaving_u),
    )
    return _determine(units, "temperature_rise", given, _air(units, **{"dry_bulb": entering, **air}))


def traverse(
    *,
    units: Literal["IP", "SI"],
    velocity_pressures: Any,
    width: Any = None,
    height: Any = None,
    diameter: Any = None,
    velocity_pressures_u: Any = None,
    width_u: Any = None,
    height_u: Any = None,
    diameter_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """Velocities at the points of a duct, averaged, times its area: velocity = sqrt(2 p / density).

    The mean of the pressures would read high. (ANSI/ASHRAE 111, ISO 3966.)

    Parameters
    ----------
    units : {"IP", "SI"}
    velocity_pressures : sequence of float
        In. w.c. or Pa, one for each point; see `traverse_points`.
    width, height : float
        Inside, in. or m, of a rectangular duct.
    diameter : float
        Inside, of a round one.
    velocity_pressures_u, width_u, height_u, diameter_u : float, optional
        Of each point, all off alike.
    by : str or dict, optional
    **air
        The air in the duct; see the module.

    Returns
    -------
    Determination
    """
    given = _given(
        units,
        by,
        velocity_pressures=("static_pressure", [*velocity_pressures], velocity_pressures_u),
        width=("tubing", width, width_u),
        height=("tubing", height, height_u),
        diameter=("tubing", diameter, diameter_u),
    )
    return _determine(units, "traverse", given, _air(units, **air))


def traverse_points(*, rule: Literal["equal_area", "log_tchebycheff"], points: int, round: bool = False) -> list[float]:
    """How far from one wall the points of a traverse stand, as shares of the inside dimension.

    Parameters
    ----------
    rule : {"equal_area", "log_tchebycheff"}
    points : int
        Along one side of a rectangular duct, or one diameter of a round one. Equal areas: 2 to 20, even in a round duct.
        Log-Tchebycheff: 5, 6 or 7 along a side (under 30 in., to 36 in., above), 6, 8 or 10 along a diameter.
    round : bool

    Returns
    -------
    list of float
    """
    _units.check_word("rule", rule, _core.words["traverse_rule"])
    _units.check_whole("points", points, 2, 20)
    return _core.traverse_points(rule, bool(round), points)


def flow_grid(
    *,
    units: Literal["IP", "SI"],
    rated: Any,
    rated_drop: Any,
    drop: Any,
    static_without: Any = None,
    static_with: Any = None,
    rated_u: Any = None,
    rated_drop_u: Any = None,
    drop_u: Any = None,
    static_without_u: Any = None,
    static_with_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """A calibrated plate in the filter's place: rated x sqrt(drop / rated drop / sigma) x sqrt(static without / static with it).

    The last factor because the plate takes airflow away: supply static in both, at one place. Left out, the plate stays in. (Common
    practice, no source.)

    Parameters
    ----------
    units : {"IP", "SI"}
    rated, rated_drop : float
        A point of the plate in standard air: cfm or m3/s, in. w.c. or Pa. Exact where no uncertainty is given.
    drop : float
    static_without, static_with : float
        Supply static pressure without the plate, as the machine runs, and with it.
    rated_u, rated_drop_u, drop_u, static_without_u, static_with_u : float, optional
    by : str or dict, optional
    **air
        The air through the plate; see the module.

    Returns
    -------
    Determination
    """
    given = _given(
        units,
        by,
        rated=("airflow", rated, rated_u),
        rated_drop=("static_pressure", rated_drop, rated_drop_u),
        drop=("static_pressure", drop, drop_u),
        static_without=("static_pressure", static_without, static_without_u),
        static_with=("static_pressure", static_with, static_with_u),
    )
    return _determine(units, "flow_grid", given, _air(units, **air))


def drop(
    *,
    units: Literal["IP", "SI"],
    known: Any,
    known_drop: Any,
    drop: Any,
    exponent: Any = None,
    known_u: Any = None,
    known_drop_u: Any = None,
    drop_u: Any = None,
    exponent_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """The drop of a coil or filter against a point where airflow was known: known x (drop / known drop / sigma)^exponent.

    It must be as clean, and as wet, as it was. (Common practice, no source.)

    Parameters
    ----------
    units : {"IP", "SI"}
    known, known_drop : float
        In standard air: cfm or m3/s, in. w.c. or Pa. Exact where no uncertainty is given.
    drop : float
    exponent : float, optional
        0.55 if left out, with a standard uncertainty of 0.03.
    known_u, known_drop_u, drop_u, exponent_u : float, optional
    by : str or dict, optional
    **air
        The air through it; see the module.

    Returns
    -------
    Determination
    """
    given = _given(
        units,
        by,
        known=("airflow", known, known_u),
        known_drop=("static_pressure", known_drop, known_drop_u),
        drop=("static_pressure", drop, drop_u),
        exponent=("ratio", exponent, exponent_u),
    )
    return _determine(units, "drop", given, _air(units, **air))


def hood(
    *, units: Literal["IP", "SI"], registers: Any, registers_u: Any = None, by: str | dict[str, str] | None = None, **air: Any
) -> Determination:
    """A hood over every register, or every grille, of the system: their sum. What leaks from the ducts never reaches it.

    Parameters
    ----------
    units : {"IP", "SI"}
    registers : sequence of float
        Actual airflow of each.
    registers_u : float, optional
        Of each, all off alike.
    by : str or dict, optional
    **air
        The air at the registers; see the module.

    Returns
    -------
    Determination
    """
    given = _given(units, by, registers=("airflow", [*registers], registers_u))
    return _determine(units, "hood", given, _air(units, **air))


def condensate(
    *,
    units: Literal["IP", "SI"],
    water: Any,
    entering_humidity_ratio: Any,
    leaving_humidity_ratio: Any,
    water_u: Any = None,
    entering_humidity_ratio_u: Any = None,
    leaving_humidity_ratio_u: Any = None,
    by: str | dict[str, str] | None = None,
    **air: Any,
) -> Determination:
    """Water that left the coil, over how much drier the air became: dry mass = water / (difference of humidity ratios).

    The coil must have been wet and steady from long before. (Mass balance.)

    Parameters
    ----------
    units : {"IP", "SI"}
    water : float
        lb/h or kg/s.
    entering_humidity_ratio, leaving_humidity_ratio : float
    water_u, entering_humidity_ratio_u, leaving_humidity_ratio_u : float, optional
    by : str or dict, optional
    **air
        The entering air; see the module. Its humidity is `entering_humidity_ratio`.

    Returns
    -------
    Determination
    """
    if isinstance(by, Mapping):
        by = {name.removesuffix("_humidity_ratio"): instrument for name, instrument in by.items()}
    given = _given(
        units,
        by,
        water=("mass_flow", water, water_u),
        entering=("humidity_ratio", entering_humidity_ratio, entering_humidity_ratio_u),
        leaving=("humidity_ratio", leaving_humidity_ratio, leaving_humidity_ratio_u),
    )
    return _determine(units, "condensate", given, _air(units, humidity_ratio=entering_humidity_ratio, **air))


def combine(determinations: Iterable[Determination]) -> Combination:
    """Tests several ways to find one airflow by chi-squared, and combines them by inverse variance.

    In logarithms, since most errors are of gain; what two of them share (`Term.source`) neither averages away nor counts as
    disagreement. Where they disagree, that is said, and the uncertainty widened by the root of chi-squared over its degrees of
    freedom (Birge, Phys. Rev. 40 (1932) 207, from memory).

    Parameters
    ----------
    determinations : sequence of Determination
        In one unit system.

    Returns
    -------
    Combination

    Raises
    ------
    InputError
        For none, or for two that share every source of error.
    """
    determinations = list(determinations)
    systems = {one.units for one in determinations} or {"IP"}
    if len(systems) > 1:
        raise ValueError("units: determinations in IP and in SI; accepted: one of them")
    (units,) = systems
    ways = []
    for one in determinations:
        ways.append((_units.to_si(units, "mass_flow", one.mass_flow), one.airflow_u / one.airflow, [*one.terms]))
    mass_flow, flow, u, *test, weights, notes = _core.combined_airflow(ways)
    told = [_units.from_si(units, "airflow", x) for x in (flow, u * flow)]
    notes = dict.fromkeys([note for one in determinations for note in one.notes] + notes)
    return Combination(*told, _units.from_si(units, "mass_flow", mass_flow), *test, tuple(weights), tuple(notes), units)
