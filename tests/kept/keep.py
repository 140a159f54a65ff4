"""Keeps what this version answers and writes: python tests/kept/keep.py, which makes the folder of the version's major and minor number.

While a version is in development its folder may be made again. Once it is out, it never is: DEVELOPERS.md, "What is kept".
"""

import json
import math
import shutil
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
CHECKOUT = HERE.parents[1]
sys.path.insert(0, str(CHECKOUT / "tests/conformance"))

import make  # noqa: E402
import offnominal as on  # noqa: E402

VISITS = {"library-visit": "IP", "library-heating-visit": "SI", "log-visit": "IP"}


def log():
    """An invented run of 40 minutes, a row each half minute: it cools down for twenty, then swings a little."""
    lines = [
        "time (s),outdoor dry bulb (degF),return dry bulb (degF),return relative humidity (%),supply dry bulb (degF),airflow (cfm)"
    ]
    for i in range(81):
        late, swing = max(0.0, 1 - i / 40), math.sin(2.0 * i)
        values = (91 + 0.1 * swing, 76.6 + 0.05 * swing, 55.0, 58.4 + 8 * late + 0.1 * swing, 1190 + 4 * swing)
        lines.append(",".join([str(30 * i), *(f"{value:.1f}" for value in values)]))
    return "\n".join(lines) + "\n"


def log_visit(text):
    """The visit to the library, with the log's readings."""
    for typed, by in (
        ("name: Library, reading room", "name: Library, logged"),
        ("steady: true\n", ""),
        ("running: 25 min                    # from the last start to the readings\n", ""),
        ("readings:\n", "readings:\n  log: run.csv\n"),
        ("dry_bulb: 91.0 degF", "dry_bulb: log"),
        ("dry_bulb: 76.6 degF, relative_humidity: 55.0 %", "dry_bulb: log, relative_humidity: log"),
        ("dry_bulb: 58.4 degF", "dry_bulb: log"),
        ("value: 1190 cfm", "value: log"),
    ):
        assert typed in text, typed
        text = text.replace(typed, by, 1)
    return text


def questions(writer, folder):
    """Questions to both machines, some of each kind."""
    for name in ("alder", "birch"):
        path = folder / f"{name}.yaml"
        system = on.load(path)
        for k, page in enumerate(system.envelope(units="IP")):
            heats = page["mode"] == "heating"
            ways = make.HEATING_WAYS if heats else make.COOLING_WAYS
            for turn, way in enumerate(ways[k % 2 :: 2]):
                more = {"stage": page["stage"], "match": system.matches[turn % len(system.matches)]}
                if name == "alder" and not heats:
                    more["line_set"] = make.LINES[way["units"]][turn % 3]
                if heats:
                    more.update(mode="heating", frost=page["frost"], auxiliary_heat=0)
                make.ask_page(
                    writer, path, page, way, 12, more, f"{name}, {page['mode']}, {page['stage']}, {page['frost']}, {turn}", heats
                )
    readings = dict(units="IP", airflow_at="return", elevation=4690)
    columns = {"return_dry_bulb": 76.6, "return_relative_humidity": 0.55, "supply_dry_bulb": [55.0, 58.4, 61.5],
               "supply_relative_humidity": [0.93, 0.864, 0.8], "airflow": 1190}  # fmt: skip
    writer.group("deliver", "deliver", readings, columns)
    writer.group(
        "moist air",
        "air",
        dict(units="SI", pressure=95000),
        {"dry_bulb": [-20, 0, 25, 40], "relative_humidity": [0.9, 0.5, 0.5, 0.2]},
    )
    for visit, units in list(VISITS.items())[:2]:
        text = make.visit_of(visit)
        warmer = ["57 degF", "60 degF"] if "heating" not in visit else ["97 degF", "101 degF"]
        writer.group(
            visit, "prove", {"units": units, "visit": text}, {"visit.readings.supply.dry_bulb": warmer}, folder / "alder.yaml"
        )


def main(folder=HERE / ".".join(on.__version__.split(".")[:2])):
    folder.mkdir(exist_ok=True)
    for name in (
        "alder.yaml",
        "alder-low.csv",
        "alder-blower.csv",
        "birch.yaml",
        "library-visit.yaml",
        "library-heating-visit.yaml",
    ):
        shutil.copy(CHECKOUT / "tables/demo" / name, folder)
    (folder / "run.csv").write_text(log(), encoding="utf-8")
    typed = (folder / "library-visit.yaml").read_text(encoding="utf-8")
    (folder / "log-visit.yaml").write_text(log_visit(typed), encoding="utf-8")
    writer = make.Writer("answers")
    questions(writer, folder)
    writer.write(folder, beside=folder)
    system = on.load(folder / "alder.yaml")
    (folder / "alder.bytes").write_bytes(system.to_bytes())
    for visit, units in VISITS.items():
        record = system.prove(folder / f"{visit}.yaml", units=units).record()
        (folder / f"{visit}.record.json").write_text(record.json, encoding="utf-8")
        print(visit, record.data["proof"]["outcome"], json.dumps(record.data["proof"]["ratio"]))


if __name__ == "__main__":
    main()
