"""The proof against packages that know nothing of it: `uncertainties` and SciPy. Visits are invented.

Here the two sides of a proof are `on.deliver` and `System.expect`, asked on their own; what is propagated through them is the visit's stated
uncertainties, by somebody else's code.
"""

import functools
from pathlib import Path

import numpy as np
import pytest
import uncertainties
from scipy import optimize

import offnominal as on

DEMO = Path(__file__).parents[2] / "tables/demo"
SYSTEM = on.load(DEMO / "alder.yaml")

# By input of a budget: what was read, in SI.
READ = {
    "return_dry_bulb": 25.0,
    "return_humidity": 0.52,
    "supply_dry_bulb": 14.6,
    "supply_humidity": 0.84,
    "airflow": 0.52,
    "outdoor_dry_bulb": 33.0,
    "pressure": 97000.0,
    "fan_power": 400.0,
}
EXACT = {"return_dry_bulb": 0.02, "return_humidity": 0.001, "supply_dry_bulb": 0.02, "supply_humidity": 0.001, "airflow": 0.001}
GOOD = {"return_dry_bulb": 0.10, "return_humidity": 0.006, "supply_dry_bulb": 0.10, "supply_humidity": 0.007, "airflow": 0.02}
OTHERS = {"outdoor_dry_bulb": 0.15, "pressure": 60.0, "fan_power": 4.0}


def visit(standard, correlation=None, read=READ, **more):
    """A visit with these standard uncertainties; the airflow's is relative."""
    probes = {}
    for place in ("return", "supply"):
        probes[f"{place} probe"] = {
            "dry_bulb": {"standard": f"{standard[f'{place}_dry_bulb']!r} delta_degC"},
            "relative_humidity": {"standard": f"{standard[f'{place}_humidity']!r}"},
        }
    if correlation is not None:
        probes["supply probe"]["side_by_side"] = {"with": "return probe", "correlation": correlation}

    def air(place):
        dry_bulb, humidity = read[f"{place}_dry_bulb"], read[f"{place}_humidity"]
        return {"dry_bulb": f"{dry_bulb!r} degC", "relative_humidity": humidity, "instrument": f"{place} probe"}

    return {
        "offnominal": "visit/1",
        "site": {"pressure": f"{read['pressure']!r} Pa", "instrument": "barometer"},
        "stage": "high",
        "match": "indoor A",
        "line_set": "reference",
        "boundary": "coil+fan",
        "fan_power": {"value": f"{read['fan_power']!r} W", "instrument": "meter"},
        "steady": True,
        "limit": 0.95,
        "readings": {
            "outdoor": {"dry_bulb": f"{read['outdoor_dry_bulb']!r} degC", "instrument": "outdoor probe"},
            "return": air("return"),
            "supply": air("supply"),
            "airflow": {"value": f"{read['airflow']!r} m3/s", "at": "return", "instrument": "flow grid"},
        },
        "instruments": {
            **probes,
            "outdoor probe": {"dry_bulb": {"standard": f"{OTHERS['outdoor_dry_bulb']!r} delta_degC"}},
            "barometer": {"pressure": {"standard": f"{OTHERS['pressure']!r} Pa"}},
            "meter": {"power": {"standard": f"{OTHERS['fan_power']!r} W"}},
            "flow grid": {"airflow": {"standard": f"{100 * standard['airflow']!r} %"}},
        },
        **more,
    }


def in_si(standard, read=READ):
    """Standard uncertainties by input, SI."""
    return {**standard, "airflow": standard["airflow"] * read["airflow"], **OTHERS}


def sides(return_dry_bulb, return_humidity, supply_dry_bulb, supply_humidity, airflow, outdoor_dry_bulb, pressure, fan_power):
    """Ratios of total and of sensible: numbers, or arrays of them."""
    delivered = on.deliver(
        units="SI",
        return_dry_bulb=return_dry_bulb,
        return_relative_humidity=return_humidity,
        supply_dry_bulb=supply_dry_bulb,
        supply_relative_humidity=supply_humidity,
        airflow=airflow,
        airflow_at="return",
        pressure=pressure,
    )
    expected = SYSTEM.expect(
        units="SI",
        stage="high",
        match="indoor A",
        line_set="reference",
        outdoor_dry_bulb=outdoor_dry_bulb,
        entering_dry_bulb=return_dry_bulb,
        entering_relative_humidity=return_humidity,
        airflow=delivered.mass_flow,
        airflow_basis="dry_mass",
        pressure=pressure,
        boundary="coil+fan",
        fan_power=fan_power,
    )
    return delivered.total_capacity / expected.total_capacity, delivered.sensible_capacity / expected.sensible_capacity


def correlations(between_probes):
    """The matrix in the order of READ: the two dry bulbs share, and the two humidities."""
    out = np.eye(len(READ))
    for a, b in ((0, 2), (1, 3)):
        out[a, b] = out[b, a] = between_probes or 0.0
    return out


@pytest.mark.parametrize("correlation", [None, 0.8])
def test_first_order_is_that_of_the_uncertainties_package(correlation):
    """At uncertainties so small that half a difference over +-u and a derivative are one; the demo's page is wet and smooth here."""
    proof = SYSTEM.prove(visit(EXACT, correlation))
    assert proof.method == "first_order"
    standard = in_si(EXACT)
    covariance = correlations(correlation) * np.outer(list(standard.values()), list(standard.values()))
    read = uncertainties.correlated_values(list(READ.values()), covariance)
    # Total is held against a curve through the page's values, which `expect` reads by straight lines.
    assert 0.0 < abs(proof.bend) < 0.005
    for which, ratio, u, curve in (
        (0, proof.ratio, proof.ratio_u, 1.0 + proof.bend),
        (1, proof.sensible_ratio, proof.sensible_ratio_u, 1.0),
    ):
        theirs = uncertainties.wrap(lambda *x: sides(*x)[which] / curve)(*read)  # noqa: B023
        # The mean of a quotient is above the quotient, by the variance of what divides; that of what was read is 3e-6 here.
        assert ratio == pytest.approx(theirs.n * (1.0 + proof.expected_u**2 if which == 0 else 1.0), rel=1e-12 if which else 5e-6)
        own = proof.expected_u * theirs.n
        assert (u**2 - own**2) ** 0.5 == pytest.approx(theirs.s, rel=1e-3)


def test_every_line_of_the_budget_is_that_of_the_uncertainties_package():
    proof = SYSTEM.prove(visit(EXACT))
    standard = in_si(EXACT)
    read = {name: uncertainties.ufloat(value, standard[name]) for name, value in READ.items()}
    theirs = uncertainties.wrap(lambda *x: sides(*x)[0])(*read.values())
    parts = {variable: part for variable, part in theirs.error_components().items()}
    for line in proof.budget:
        if line["input"] == "power":
            continue
        assert line["standard_uncertainty_si"] == pytest.approx(standard[line["input"]], rel=1e-12)
        part = parts[read[line["input"]]] / theirs.n
        assert abs(line["ratio"]) == pytest.approx(part, rel=0.002, abs=1e-6)
        own = proof.expected_u**2
        assert line["share"] == pytest.approx(part**2 / ((theirs.s / theirs.n) ** 2 + own), abs=0.002)


@pytest.mark.parametrize("correlation", [None, 0.8])
@pytest.mark.parametrize("supply_humidity", [0.855, 0.87])
def test_total_and_sensible_together_are_a_least_squares_of_scipy(correlation, supply_humidity):
    """All errors of the readings at once, against the tie of the coil: SciPy finds the errors, which a proof never asks for.

    The tie's slope is the one number that a proof does not tell: one slope must explain both the joint ratio and its uncertainty.
    """
    proof = SYSTEM.prove(visit(GOOD, correlation, {**READ, "supply_humidity": supply_humidity}), units="SI")
    assert proof.method == "first_order" and proof.joint_ratio is not None
    lines = {line["input"]: line for line in proof.budget}
    of_total, of_sensible = (np.array([lines[name][what] for name in READ]) for what in ("ratio", "sensible"))
    as_read = proof.delivered.total_capacity / proof.expected.total_capacity / (1.0 + proof.bend)
    total, sensible = np.log(as_read), np.log(proof.sensible_ratio)
    whiten = np.linalg.inv(np.linalg.cholesky(correlations(correlation)))
    u_tie = np.hypot(0.015, 0.2 * total)  # of sensible, as a proof's notes say

    def fitted(slope):
        def residuals(error):  # in standard uncertainties
            off = sensible - of_sensible @ error - slope * (total - of_total @ error)
            return np.append(whiten @ error, off / u_tie)

        fit = optimize.least_squares(residuals, np.zeros(len(READ)), xtol=1e-14, ftol=1e-14, gtol=1e-14)
        variance = of_total @ np.linalg.inv(fit.jac.T @ fit.jac) @ of_total
        return proof.ratio * np.exp(-of_total @ fit.x), np.sqrt(variance + proof.expected_u**2)

    def off(slope):  # the two figures that it must explain, in parts of the second
        ratio, relative_u = fitted(slope)
        return np.hypot(ratio - proof.joint_ratio, ratio * relative_u - proof.joint_u) / proof.joint_u

    near = min(np.linspace(0.1, 1.0, 91), key=off)
    best = optimize.minimize_scalar(off, bounds=(near - 0.02, near + 0.02), method="bounded", options={"xatol": 1e-12})
    assert off(best.x) < 1e-6


USUAL = {"return_dry_bulb": 0.13, "return_humidity": 0.0115, "supply_dry_bulb": 0.13, "supply_humidity": 0.0115, "airflow": 0.035}
FIRST_ORDER = [
    visit(USUAL, read={**READ, "airflow": 0.49}),
    visit(USUAL, 0.8, {**READ, "airflow": 0.49, "supply_dry_bulb": 16.5}),
    visit(GOOD),
    visit(GOOD, 0.8),
    visit(GOOD, read={**READ, "outdoor_dry_bulb": 40.0}),
    visit(GOOD, read={**READ, "return_humidity": 0.60, "supply_humidity": 0.90, "supply_dry_bulb": 15.2}),
    visit({**GOOD, "airflow": 0.03}, 0.5),
]


@functools.cache
def scores(count=200_000):
    return np.random.default_rng(101).standard_normal((count, len(READ) + 1))


@pytest.mark.parametrize("case", range(len(FIRST_ORDER)))
def test_where_first_order_decides_draws_say_the_same(case):
    """JCGM 101 by NumPy: with the skew, ends of the interval agree to a twentieth of u, chances to 0.005; more is promised of none."""
    asked = FIRST_ORDER[case]
    proof = SYSTEM.prove(asked)
    assert proof.method == "first_order"
    lines = {line["input"]: line["standard_uncertainty_si"] for line in proof.budget}
    side = asked["instruments"]["supply probe"].get("side_by_side", {"correlation": 0.0})
    mixed = scores()[:, :-1] @ np.linalg.cholesky(correlations(side["correlation"])).T
    readings = asked["readings"]
    read = {
        **READ,
        "outdoor_dry_bulb": float(readings["outdoor"]["dry_bulb"].split()[0]),
        "supply_dry_bulb": float(readings["supply"]["dry_bulb"].split()[0]),
        "return_humidity": readings["return"]["relative_humidity"],
        "supply_humidity": readings["supply"]["relative_humidity"],
        "airflow": float(readings["airflow"]["value"].split()[0]),
    }
    true = {name: value + lines[name] * mixed[:, i] for i, (name, value) in enumerate(read.items())}
    for name in ("airflow", "fan_power"):  # errors of gain
        true[name] = read[name] / (1.0 + lines[name] * mixed[:, list(READ).index(name)] / read[name])
    ratio = sides(**true)[0] / (1.0 + proof.bend) / (1.0 + proof.expected_u * scores()[:, -1])
    u = proof.ratio_u
    assert np.isfinite(ratio).all()
    assert proof.ratio == pytest.approx(ratio.mean(), abs=0.01 * u)
    assert u == pytest.approx(ratio.std(), rel=0.01)
    low, high = np.quantile(ratio, [0.025, 0.975])
    assert (proof.ratio_low, proof.ratio_high) == (pytest.approx(low, abs=0.05 * u), pytest.approx(high, abs=0.05 * u))
    for confidence in (0.05, 0.5, 0.95):  # where a verdict turns
        limit = np.quantile(ratio, 1.0 - confidence)
        assert SYSTEM.prove({**asked, "limit": float(limit)}).probability == pytest.approx(confidence, abs=0.005)
