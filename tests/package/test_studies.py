"""Ten studies as an engineer would write them, each in eight lines at most: that is counted, and what they come to is looked at.

What is given stands in capitals and is not counted: an invented machine, visit, fleet and year, and a pasted page.
"""

import ast
import inspect
import textwrap
from pathlib import Path

import numpy as np
import pytest

import offnominal as on

TABLES = Path(__file__).resolve().parents[2] / "tables"
SYSTEM = on.load(TABLES / "demo/alder.yaml")
VISIT = TABLES / "demo/library-visit.yaml"
REVISED = on.parse(
    (TABLES / "demo/alder.yaml").read_text().replace("95    1000     67    34.0", "95    1000     67    34.4"),
    folder=TABLES / "demo",
)
PASTED = (TABLES / "corpus/maple-document.txt").read_text(encoding="utf-8")
BASIS = {"capacity": "gross", "airflow": "standard", "standard_pound": "dry", "power": "outdoor unit", "elevation": "0 ft", "sensible_at": "80 degF"}  # fmt: skip
DAY = dict(units="IP", outdoor_dry_bulb=95, entering_dry_bulb=78, entering_wet_bulb=65, airflow=1100, airflow_basis="standard",
           elevation=1000, stage="high", match="indoor A", line_set={"length": 50, "suction": 7 / 8, "lift": 0}, boundary="coil")  # fmt: skip
HOUR = np.arange(8760)
WEATHER = {"outdoor_dry_bulb": 62 - 25 * np.cos(2 * np.pi * HOUR / 8760) - 11 * np.cos(2 * np.pi * HOUR / 24)}
FLEET = {"installer": np.array(["north", "north", "south"]), "outdoor_dry_bulb": np.array([91.0, 93, 88]),
         "supply_dry_bulb": np.array([58.4, 62.0, 57.1]), "airflow": np.array([1190.0, 1180, 1205])}  # fmt: skip


def given(*names):
    """The day without some of its arguments."""
    return {name: value for name, value in DAY.items() if name not in names}


def study_map(tmp_path):
    from offnominal import pictures

    fixed = given("outdoor_dry_bulb", "entering_wet_bulb")
    swept = SYSTEM.sweep(**fixed, axes={"outdoor_dry_bulb": range(75, 116, 5), "entering_wet_bulb": range(59, 72, 2)})
    swept.total_capacity.to_pandas().to_csv(tmp_path / "map.csv")
    across = dict(x=("outdoor_dry_bulb", 70, 120), y=("entering_wet_bulb", 57, 73))
    pictures.capacity(SYSTEM, **across, **fixed, at=(95, 65)).figure.savefig(tmp_path / "map.png")
    return swept


def study_year():
    cooling = {"load": {"balance": 65, "design": 95, "load": 30000}, "stage": ["low", "high"]}
    fixed = given("outdoor_dry_bulb", "stage", "airflow")
    held = {"outdoor_dry_bulb": ("hold", 20)}
    return SYSTEM.year(WEATHER, cooling=cooling, airflow={"low": 800, "high": 1100}, outside=held, **fixed)


def study_line():
    line = {"lift": 10, "liquid": 3 / 8, "beyond": "model"}
    axes = {"line_length": (25, 50, 80, 120), "line_suction": (3 / 4, 7 / 8)}
    swept = SYSTEM.sweep(**{**DAY, "line_set": line}, axes=axes, columns=("total_capacity", "uncertainty"))
    return 1 - swept.total_capacity / SYSTEM.expect(**{**DAY, "line_set": "reference"}).total_capacity


def study_altitude():
    swept = SYSTEM.sweep(**given("elevation"), axes={"elevation": range(0, 8001, 1000)})
    return swept[["total_capacity", "sensible_capacity", "power", "uncertainty"]].to_pandas()


def study_monte_carlo():
    ratio = SYSTEM.monte_carlo(VISIT, 20000)
    return np.quantile(ratio, (0.025, 0.5, 0.975)), np.mean(ratio >= 0.90)


def study_fleet():
    proved = SYSTEM.prove_many(FLEET, VISIT, units="IP")
    survey = on.survey(SYSTEM, FLEET, VISIT, units="IP", by="installer")
    return proved["outcome"], survey.report()


def study_tornado():
    by = dict(outdoor_dry_bulb=2, entering_wet_bulb=1, entering_dry_bulb=2, airflow=55, elevation=500, line_length=20)
    return SYSTEM.sensitivities(by=by, **DAY)


def study_inverse():
    load = dict(vary="airflow", between=(800, 1200), of="sensible_capacity", equals=24500)
    hot = dict(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=lambda outdoor: 1000 * (outdoor - 65))
    return SYSTEM.solve(**load, **given("airflow")), SYSTEM.solve(**hot, **given("outdoor_dry_bulb"))


def study_revisions():
    changed = on.collate(SYSTEM, REVISED)
    before, after = (system.prove(VISIT) for system in (SYSTEM, REVISED))
    return changed.differences, (before.ratio, after.ratio), (before.outcome, after.outcome)


def study_transcribe(tmp_path):
    done = on.transcribe(PASTED, name="Maple", basis=BASIS, values={"bypass": "0.12"}, fill_down=["odb", "airflow"], marks={"¹": "dry"})  # fmt: skip
    done.write(tmp_path / "maple.yaml")
    return on.load(tmp_path / "maple.yaml").audit(units="IP")


STUDIES = {name: of for name, of in globals().items() if name.startswith("study_")}


@pytest.mark.parametrize("name", STUDIES)
def test_a_study_takes_eight_lines_at_most(name):
    body = ast.parse(textwrap.dedent(inspect.getsource(STUDIES[name]))).body[0].body
    lines = sum(one.end_lineno - one.lineno + 1 for one in body if not isinstance(one, (ast.Import, ast.ImportFrom)))
    assert 1 <= lines <= 8


def test_there_are_ten():
    assert len(STUDIES) == 10


def test_a_map(tmp_path):
    pytest.importorskip("matplotlib").use("agg")
    pytest.importorskip("xarray")
    swept = study_map(tmp_path)
    assert swept.sizes == {"outdoor_dry_bulb": 9, "entering_wet_bulb": 7}
    assert (tmp_path / "map.csv").stat().st_size > 500 and (tmp_path / "map.png").stat().st_size > 5000


def test_a_year():
    told = study_year().summary["cooling"]
    assert told["hours"] == sum(told["footing"].values()) > 2000 and told["footing"]["held"] > 100 and told["energy"] > 0


def test_a_line_and_an_altitude():
    pytest.importorskip("xarray")
    lost = study_line()
    assert (lost.diff("line_length") > 0).all() and (lost.sel(line_suction=3 / 4) > lost.sel(line_suction=7 / 8)).all()
    frame = study_altitude()
    assert frame["total_capacity"].is_monotonic_decreasing and frame["uncertainty"].iloc[-1] > frame["uncertainty"].iloc[0]


def test_a_monte_carlo_and_a_fleet():
    (low, middle, high), passes = study_monte_carlo()
    assert low < middle < high and middle == pytest.approx(SYSTEM.prove(VISIT).ratio, abs=0.01) and 0.5 < passes < 1
    outcomes, report = study_fleet()
    assert outcomes.tolist()[1] == "falls_short" and "north" in report


def test_a_tornado():
    found = study_tornado()
    changes = [abs(row["total_capacity_change"]) for row in found.rows[1:]]
    assert len(changes) == 12 and max(changes[:2]) == max(changes) and next(iter(found.cases)).startswith("entering_wet_bulb")
    widest = [max(changes[k : k + 2]) for k in range(0, 12, 2)]
    assert widest == sorted(widest, reverse=True)
    for wrong in ({"airflow": 0}, {"pressure": 1}, {"match": 1}):
        with pytest.raises(ValueError, match="by: "):
            SYSTEM.sensitivities(by=wrong, **DAY)


def test_questions_backwards():
    airflow, balance = study_inverse()
    assert airflow.count == balance.count == 1
    assert SYSTEM.expect(**{**DAY, "airflow": airflow.solutions[0]}).sensible_capacity == pytest.approx(24500, rel=1e-10)


def test_revisions():
    differences, (before, after), _ = study_revisions()
    assert len(differences) == 1 and "95" in differences[0].where and differences[0].first_place
    assert before != after


def test_a_transcription(tmp_path):
    (audited,) = study_transcribe(tmp_path)
    assert not audited.suspects
