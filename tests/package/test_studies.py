"""Ten studies as an engineer would write them, whole: what they import stands in one line, and eight more do it at most.

That is counted, and what they come to is looked at. Each is run in a folder that has what an engineer would have: files of an invented
machine and its revised page, a visit to it, a fleet's readings, a year of weather, and a page as it was pasted.
"""

import shutil
import sys
from pathlib import Path

import numpy as np
import pytest

import offnominal as on

TABLES = Path(__file__).resolve().parents[2] / "tables"

# fmt: off
STUDIES = {
    "map": """
import offnominal as on
system = on.load("alder.yaml")
day = dict(units="IP", stage="high", match="indoor A", line_set="reference", entering_dry_bulb=78, airflow=1100, airflow_basis="standard",
           elevation=1000, boundary="coil")
swept = system.sweep(axes={"outdoor_dry_bulb": range(75, 116, 5), "entering_wet_bulb": range(59, 72, 2)}, **day)
swept.total_capacity.to_pandas().to_csv("map.csv")
drawn = on.pictures.capacity(system, x=("outdoor_dry_bulb", 70, 120), y=("entering_wet_bulb", 57, 73), at=(95, 65), **day)
drawn.figure.savefig("map.png")
""",
    "year": """
import offnominal as on
indoors = dict(entering_dry_bulb=76, entering_wet_bulb=64, airflow={"low": 800, "high": 1100}, fan_power={"low": 200, "high": 420})
load = {"balance": 65, "design": 95, "load": 30000}
year = on.load("alder.yaml").year("weather.csv", units="IP", match="indoor A", line_set="reference", airflow_basis="standard", elevation=1000,
                                  boundary="coil+fan", cooling={"load": load}, outside={"outdoor_dry_bulb": ("hold", 20)}, **indoors)
""",
    "line": """
import offnominal as on
system = on.load("alder.yaml")
day = dict(units="IP", stage="high", match="indoor A", outdoor_dry_bulb=95, entering_dry_bulb=78, entering_wet_bulb=65, airflow=1100,
           airflow_basis="standard", elevation=0, boundary="coil")
axes = {"line_length": [25, 50, 80, 120], "line_suction": [3 / 4, 7 / 8]}
swept = system.sweep(axes=axes, line_set={"lift": 10, "liquid": 3 / 8, "beyond": "model"}, **day)
lost = 1 - swept.total_capacity / system.expect(line_set="reference", **day).total_capacity
""",
    "altitude": """
import offnominal as on
day = dict(units="IP", stage="high", match="indoor A", line_set="reference", outdoor_dry_bulb=95, entering_dry_bulb=78, entering_wet_bulb=65,
           airflow=1100, airflow_basis="standard", boundary="coil")
frame = on.load("alder.yaml").sweep(axes={"elevation": range(0, 8001, 1000)}, **day).to_pandas()
""",
    "monte_carlo": """
import numpy as np, offnominal as on
ratio = on.load("alder.yaml").monte_carlo("library-visit.yaml", 20000)
low, middle, high, passes = *np.quantile(ratio, [0.025, 0.5, 0.975]), np.mean(ratio >= 0.90)
""",
    "fleet": """
import pandas as pd, offnominal as on
system, fleet = on.load("alder.yaml"), pd.read_csv("fleet.csv")
proved = system.prove_many(fleet, "library-visit.yaml", units="IP")
report = on.survey(system, fleet, "library-visit.yaml", units="IP", by="installer").report()
""",
    "tornado": """
import offnominal as on
day = dict(units="IP", stage="high", match="indoor A", line_set={"length": 50, "suction": 7 / 8, "lift": 0}, outdoor_dry_bulb=95,
           entering_dry_bulb=78, entering_wet_bulb=65, airflow=1100, airflow_basis="standard", elevation=1000, boundary="coil")
by = dict(outdoor_dry_bulb=2, entering_wet_bulb=1, entering_dry_bulb=2, airflow=55, elevation=500, line_length=20)
found = on.load("alder.yaml").sensitivities(by=by, **day)
""",
    "inverse": """
import offnominal as on
system = on.load("alder.yaml")
day = dict(units="IP", stage="high", match="indoor A", line_set="reference", entering_dry_bulb=76, entering_wet_bulb=64,
           airflow_basis="standard", elevation=1000, boundary="coil")
flow = system.solve(vary="airflow", between=(800, 1200), of="sensible_capacity", equals=24000, outdoor_dry_bulb=95, **day)
balance = system.solve(vary="outdoor_dry_bulb", between=(75, 115), of="total_capacity", equals=lambda t: 1000 * (t - 65), airflow=1100, **day)
""",
    "revisions": """
import offnominal as on
before, after = on.load("alder.yaml"), on.load("alder-revised.yaml")
places = on.collate(before, after).differences
proofs = [system.prove("library-visit.yaml", units="IP") for system in (before, after)]
""",
    "transcribe": """
import offnominal as on
pasted = open("maple-document.txt", encoding="utf-8").read()
basis = {"capacity": "gross", "airflow": "standard", "standard_pound": "dry", "power": "outdoor unit", "elevation": "0 ft", "sensible_at": "80 degF"}
done = on.transcribe(pasted, name="Maple", basis=basis, values={"bypass": "0.12"}, fill_down=["odb", "airflow"], marks={"¹": "dry"})
done.write("maple.yaml")
audited = on.load("maple.yaml").audit(units="IP")
""",
}
# fmt: on


@pytest.fixture
def folder(tmp_path, monkeypatch):
    shutil.copytree(TABLES / "demo", tmp_path, dirs_exist_ok=True)
    shutil.copy(TABLES / "corpus/maple-document.txt", tmp_path)
    text = (TABLES / "demo/alder.yaml").read_text(encoding="utf-8")
    (tmp_path / "alder-revised.yaml").write_text(
        text.replace("95    1000     67    34.0", "95    1000     67    34.4"), encoding="utf-8"
    )
    hour = np.arange(8760)
    weather = 62 - 25 * np.cos(2 * np.pi * hour / 8760) - 11 * np.cos(2 * np.pi * hour / 24)
    (tmp_path / "weather.csv").write_text("outdoor_dry_bulb\n" + "".join(f"{t:.1f}\n" for t in weather), encoding="utf-8")
    fleet = "installer,outdoor_dry_bulb,supply_dry_bulb,airflow\nnorth,91,58.4,1190\nnorth,93,62.0,1180\nsouth,88,57.1,1205\n"
    (tmp_path / "fleet.csv").write_text(fleet, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def done(request, folder):
    """What a study, which the test is named after, has found, by name."""
    for library in ("pandas", "xarray", "matplotlib"):
        pytest.importorskip(library)
    sys.modules["matplotlib"].use("agg")
    found = {}
    exec(compile(STUDIES[request.node.name.removeprefix("test_")], request.node.name, "exec"), found)
    return found


def test_each_takes_eight_lines_at_most_beside_its_imports():
    lines = {name: text.strip().splitlines() for name, text in STUDIES.items()}
    assert len(lines) == 10 and all(first.startswith("import ") for first, *_ in lines.values())
    assert {name: len(rest) for name, (_, *rest) in lines.items() if len(rest) > 8 or max(map(len, rest)) > 160} == {}


def test_map(done, folder):
    assert done["swept"].sizes == {"outdoor_dry_bulb": 9, "entering_wet_bulb": 7}
    assert (folder / "map.csv").stat().st_size > 500 and (folder / "map.png").stat().st_size > 5000


def test_year(done):
    told = done["year"].summary["cooling"]
    assert told["hours"] == sum(told["footing"].values()) > 2000 and told["footing"]["held"] > 100 and told["energy"] > 0


def test_line(done):
    lost = done["lost"]
    assert (lost.diff("line_length") > 0).all() and (lost.sel(line_suction=3 / 4) > lost.sel(line_suction=7 / 8)).all()


def test_altitude(done):
    frame = done["frame"].loc[:5000]
    assert frame["total_capacity"].is_monotonic_decreasing and frame["uncertainty"].iloc[-1] > frame["uncertainty"].iloc[0]


def test_monte_carlo(done):
    proof = on.load("alder.yaml").prove("library-visit.yaml")
    assert done["low"] < done["middle"] < done["high"] and done["middle"] == pytest.approx(proof.ratio, abs=0.01)
    assert done["passes"] == pytest.approx(proof.probability, abs=0.02)


def test_fleet(done):
    assert done["proved"]["outcome"].tolist()[1] == "falls_short" and "north" in done["report"]


def test_tornado(done):
    found = done["found"]
    changes = [abs(row["total_capacity_change"]) for row in found.rows[1:]]
    assert len(changes) == 12 and max(changes[:2]) == max(changes) and next(iter(found.cases)).startswith("entering_wet_bulb")
    widest = [max(changes[k : k + 2]) for k in range(0, 12, 2)]
    assert widest == sorted(widest, reverse=True)
    for wrong in ({"airflow": 0}, {"pressure": 1}, {"match": 1}):
        with pytest.raises(ValueError, match="by: "):
            on.load("alder.yaml").sensitivities(by=wrong, **done["day"])


def test_inverse(done):
    assert done["flow"].count == done["balance"].count == 1
    again = on.load("alder.yaml").expect(airflow=done["flow"].solutions[0], outdoor_dry_bulb=95, **done["day"])
    assert again.sensible_capacity == pytest.approx(24000, rel=1e-10)


def test_revisions(done):
    (place,), (before, after) = done["places"], done["proofs"]
    assert "95" in place.where and place.first_place and before.ratio != after.ratio


def test_transcribe(done):
    (audited,) = done["audited"]
    assert not audited.suspects
