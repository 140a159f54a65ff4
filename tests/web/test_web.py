"""The package for browsers gives the digits of the others, and its page works on a phone, by keyboard and without a network.

Needs emscripten, node, the sources of yaml-cpp (need_source of python/setup.sh) and, for the page, Chromium.
"""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from c_interface import STRUCTS
from chromium import Chromium

import offnominal as on
from offnominal import _display

pytestmark = pytest.mark.compiles

CHECKOUT = Path(__file__).resolve().parents[2]
CONFORMANCE = CHECKOUT / "tests/conformance"
DEMO = CHECKOUT / "tables/demo"
FILES = [DEMO / name for name in ("alder.yaml", "alder-low.csv", "alder-blower.csv")]
VISIT = DEMO / "library-visit.yaml"
YAML_CPP = CHECKOUT / ".build/sources/yaml-cpp"
BUILD = CHECKOUT / ".build/tests-web"
ASKED = dict(
    outdoor_dry_bulb=91.0, entering_dry_bulb=76.0, entering_wet_bulb=65.0, airflow=1100.0, elevation=0.0, fan_power=420.0
)
CHOSEN = dict(boundary="coil+fan", stage="high", match="indoor A", line_set="reference")
SIZES = {"phone": (390, 844), "desktop": (1280, 900)}


@pytest.fixture(scope="module")
def package():
    """The folder that npm takes. At -O1: what it costs to compile, not what it tells, is all that differs."""
    for program in ("emcmake", "node", "ninja"):
        if shutil.which(program) is None:
            pytest.skip(f"no {program}")
    if not YAML_CPP.is_dir():
        pytest.skip("no sources of yaml-cpp")
    configure = ["emcmake", "cmake", "-S", CHECKOUT / "src/web", "-B", BUILD, "-G", "Ninja", f"-DYAML_CPP_SOURCE={YAML_CPP}"]
    # A build type to which the library adds no level of its own, as it does to a release.
    level = ["-Wno-dev", "-DCMAKE_BUILD_TYPE=MinSizeRel", "-DCMAKE_CXX_FLAGS_MINSIZEREL=-O1 -DNDEBUG"]
    for command in ([*configure, *level], ["cmake", "--build", BUILD, "-j2"]):
        done = subprocess.run(command, capture_output=True, text=True)
        assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-4000:]
    return BUILD / "package"


@pytest.fixture(scope="module")
def system():
    return on.load(DEMO / "alder.yaml")


@pytest.fixture(scope="module")
def expected(system):
    return system.expect(units="IP", airflow_basis="standard", **CHOSEN, **ASKED)


@pytest.fixture(scope="module")
def proof(system):
    return system.prove(VISIT, units="IP")


def target_card(system, **axes):
    question = {name: value for name, value in ASKED.items() if name not in ("outdoor_dry_bulb", "entering_wet_bulb")}
    return system.target_card(units="IP", airflow_basis="standard", **CHOSEN, **question, **axes)


def in_node(package, script, *arguments):
    """What a script prints, as JSON, after `load` and a system of the demo, `alder`."""
    before = """
        import { readFileSync } from "node:fs";
        import { basename } from "node:path";
        const { load, Refused, InputError } = await import(process.argv[1]);
        const text = (path) => readFileSync(path, "utf8");
        const offnominal = await load();
        const tell = (value) => console.log(JSON.stringify(value));
        const refused = (work) => { try { work(); } catch (error) { return { ...error, name: error.name, message: error.message }; } };
    """
    command = ["node", "--input-type=module", "-e", before + script, package / "offnominal.js", *arguments]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


ALDER = (
    "const alder = offnominal.system(Object.fromEntries(process.argv.slice(2, 5).map((path) => [basename(path), text(path)])));"
)


def test_the_same_digits_as_native(package):
    runner = [sys.executable, CONFORMANCE / "run.py", "--by", f"node {CHECKOUT / 'tests/web/ours.mjs'} {package}"]
    said = subprocess.run(runner, capture_output=True, text=True).stdout.splitlines()
    assert re.fullmatch(r"\d+ questions, \d+ numbers: the same", said[0]), said
    assert [line.split()[-1] for line in said[1:]] == ["air"]  # of which the C interface has none


def test_it_tells_what_python_tells(package, system, expected, proof):
    question = json.dumps({**ASKED, **CHOSEN, "airflow_is": "standard"})
    script = ALDER + "const asked = JSON.parse(process.argv[5]);"
    script += 'const proof = alder.prove("IP", text(process.argv[6]));'
    script += 'tell([offnominal.version, alder.expect("IP", asked), alder.report("IP", asked), proof, alder.stages("heating"), alder.matches,'
    script += ' alder.missing("SI", {}).map((one) => one.about), alder.coverage("IP").pages.length, alder.audit()[0].text])'
    told = in_node(package, script, *FILES, question, VISIT)
    version, answer, report, proved, stages, matches, missing, pages, audit = told
    assert version == on.__version__
    assert answer == json.loads(expected.to_json()) and report == expected.report()
    texts, text = proved.pop("texts"), proved.pop("report")
    assert proved == json.loads(proof.to_json()) and texts == proof.record().data["texts"] and text == proof.report(units="IP")
    assert stages == list(system.heating_stages) and matches == list(system.matches)
    assert "outdoor_dry_bulb" in missing and pages == len(system.envelope(units="IP"))
    assert on.audit_file(FILES[0], units="IP")[0].report().endswith(f": {audit}")
    # Nothing is told that the types do not know.
    types = "".join(
        (CHECKOUT / f"src/web/package/{name}.d.ts").read_text(encoding="utf-8") for name in ("offnominal", "quantities")
    )
    told = [
        *answer,
        *answer["ledger"][0],
        *proved,
        *proved["expected"],
        *proved["delivered"],
        *proved["budget"][0],
    ]
    assert [name for name in told if not re.search(rf"\b{name}\??:", types)] == []


def test_many_at_once_backwards_and_a_choice(package, system):
    design = dict(total_load=30000, sensible_load=23000, outdoor_dry_bulb=95, entering_dry_bulb=77, elevation=0)
    design |= dict(heating_load=30000, heating_outdoor_dry_bulb=17, entering_relative_humidity=0.5)
    columns = dict(outdoor_dry_bulb=[85, 120, 95.5], entering_wet_bulb=[62, 65, 67])
    backwards = dict(vary="outdoor_dry_bulb", between=[75, 115], of="total_capacity", equals=33000)
    line = dict(length=75, suction=0.75, lift=0)
    limits = {"source": "ours, edition 3", "total": [0.9, 1.3], "heat_pump": [0.5, 0.9], "sensible": 0.8, "latent": 0.5}
    own = dict(line, line_set="given", limits=limits, spare_latent=False, airflows=[900, 1000], frost="instantaneous")
    given = dict(
        asked={**ASKED, **CHOSEN, "airflow_is": "standard"}, columns=columns, backwards=backwards, design=design, own=own
    )
    script = (
        ALDER
        + """
        const { asked, columns, backwards, design, own } = JSON.parse(process.argv[5]);
        const { reasons, ...numbers } = alder.expectBatch("IP", asked, columns);
        const lists = Object.fromEntries(Object.entries(numbers).map(([name, column]) => [name, [...column]]));
        tell([reasons, lists, alder.expectBatch("IP", asked, { airflow: [] }, ["power"]), alder.solve("IP", asked, backwards),
            alder.solve("IP", asked, { ...backwards, of: "sensible_capacity", over: "total_capacity", equals: 0.75 }),
            offnominal.choose("IP", [alder], design), offnominal.choose("IP", [alder], { ...design, ...own }),
            [refused(() => alder.expectBatch("IP", asked, { airflow: [1, 2], elevation: [0] })), refused(() => alder.expectBatch("IP", asked, columns, ["notes"])),
            refused(() => alder.solve("IP", asked, { ...backwards, vary: "stage" })), refused(() => offnominal.choose("IP", [alder], { load: 1 })),
            refused(() => offnominal.choose("IP", [alder], { ...design, airflows: 900 })),
            refused(() => alder.solve("IP", asked, { ...backwards, between: [175, 215] }))].map((error) => error.message)])"""
    )
    reasons, numbers, none, places, ratio, choices, changed, wrong = in_node(package, script, *FILES, json.dumps(given))
    question = {**CHOSEN, **ASKED, "airflow_basis": "standard"}
    batch = system.expect(units="IP", **{**question, **columns})
    assert [reason and reason["why"] for reason in reasons] == [None, "outside", None]
    due = {name: [x if x == x else None for x in getattr(batch, name)] for name in batch.fields}
    assert numbers == {name: due.get(name, [None] * 3) for name in numbers} and due.keys() <= numbers.keys()  # heating tells more
    assert none == {"reasons": [], "power": {}}
    del question["outdoor_dry_bulb"]
    for told, of, equals in ((places, "total_capacity", 33000), (ratio, ("sensible_capacity", "total_capacity"), 0.75)):
        due = system.solve(units="IP", **{**backwards, "of": of, "equals": equals}, **question)
        assert told == {"places": list(due.solutions), "best": due.best, "reached": due.reached, "off": due.off}
    # The chance that one fits is of the compiled part, whose numbers agree to 1e-12 where another library tells the error function.
    for told, given in (
        (choices, {}),
        (changed, dict(line_set=line, limits=limits, spare_latent=False, airflow=[900, 1000], frost="instantaneous")),
    ):
        due = on.choose(system, units="IP", **given, **design)
        assert [{**one, "fits": None} for one in told] == [one._asdict() | {"fits": None} for one in due]
        assert [one["fits"] for one in told] == pytest.approx([one.fits for one in due], rel=1e-12, abs=0)
    mistakes = (
        "elevation has 1 rows of 2",
        "accepted: total_",
        "accepted: outdoor_",
        "accepted: limits, ",
        "accepted: a list of numbers",
        "195 degF is outside",
    )
    assert all(part in said for part, said in zip(mistakes, wrong))
    types = (CHECKOUT / "src/web/package/offnominal.d.ts").read_text(encoding="utf-8")
    assert [name for name in choices[0] if not re.search(rf"\b{name}: ", types)] == []


def test_the_target_card_is_that_of_python(package, system, tmp_path):
    forecast = tmp_path / "forecast.yaml"  # of the card's installation
    text = VISIT.read_text(encoding="utf-8").replace("4690 ft", "0 ft")
    forecast.write_text(text.replace("{length: 50 ft, suction: 3/4 in, lift: 0 ft}", "reference"), encoding="utf-8")
    axes = dict(outdoor_dry_bulb=[85, 95, 130], entering_wet_bulb=[59, 65])
    asked = {**ASKED, **CHOSEN, "airflow_is": "standard"}
    script = (
        ALDER
        + """
        const { asked, axes } = JSON.parse(process.argv[5]);
        tell([alder.card("IP", asked), alder.card("IP", asked, { ...axes, forecast: text(process.argv[6]) }),
            [refused(() => alder.card("IP", asked, { outdoor_dry_bulb: [130] })), refused(() => alder.card("IP", asked, { entering_wet_bulb: [] })),
            refused(() => alder.card("IP", { ...asked, mode: "heating" }))].map((error) => error.message)])"""
    )
    printed, planned, wrong = in_node(package, script, *FILES, json.dumps(dict(asked=asked, axes=axes)), forecast)
    for told, due in ((printed, target_card(system)), (planned, target_card(system, **axes, forecast=forecast))):
        assert told == json.loads(json.dumps(due.to_dict()))
    assert planned["bring"] and {cell["reason"] for cell in planned["cells"]} == {"none", "outside"}
    mistakes = ("130 degF is outside", "entering_wet_bulb: an empty list", "cooling")
    assert all(part in said for part, said in zip(mistakes, wrong)), wrong
    types = (CHECKOUT / "src/web/package/offnominal.d.ts").read_text(encoding="utf-8")
    types = types.partition("export interface CardAxes")[2].partition("export interface Design")[0]
    assert [
        name for name in (*planned["cells"][0], "notes", "decides", "bring") if not re.search(rf'\b{name}(: |")', types)
    ] == []


def test_between_visits(package, system):
    """A visit a year later with warmer supply air, and a page that prints less."""
    first = VISIT.read_text(encoding="utf-8")
    later = first.replace("date: 2026-07-14", "date: 2027-07-14").replace("dry_bulb: 58.4 degF", "dry_bulb: 60.4 degF")
    script = (
        ALDER
        + """
        const [first, later] = JSON.parse(process.argv[5]);
        const columns = { supply_dry_bulb: [58.4, 60.4, 57, -500] };
        const other = offnominal.system({ "other.yaml": process.argv[6] });
        tell([alder.seasons([later, first]), alder.seasons([first]), alder.revised(other, "IP", first, columns),
            alder.revised(alder, "IP", first, columns),
            [refused(() => alder.seasons([])), refused(() => alder.seasons([first.replace("date: 2026-07-14", "")])),
            refused(() => alder.revised(other, "IP", first, { airflow: [1], power: [] }))].map((error) => error.message)])"""
    )
    other = system.write().replace("tolerance: 5 %", "tolerance: 2 %")
    other = re.sub(r"^( +85 +1200 +(?:63|67) +)(\d+)", lambda row: f"{row[1]}{int(row[2]) + 1}", other, flags=re.M)
    assert other != system.write()
    told, alone, revised, same, wrong = in_node(package, script, *FILES, json.dumps([first, later]), other)
    proofs = [system.prove(on.Visit.parse(text), units="IP") for text in (first, later)]
    due = on.seasons(proofs)
    assert [one["date"] for one in told["seasons"]] == ["2026-07-14", "2027-07-14"] and len(alone["seasons"]) == 1
    for one, expected in zip(told["seasons"], due):
        assert [one[name] for name in ("mode", "date", "name", "outcome", "ratio", "ratio_u")] == list(expected[:6])
    change = due[1].since_last
    assert told["seasons"][1]["since_last"] == {name: getattr(change, name) for name in change._fields}
    assert told["seasons"][0]["since_last"] is None
    table = {"supply_dry_bulb": [58.4, 60.4, 57.0, -500.0]}
    found = on.revised(on.parse(other), system, table, on.Visit.parse(first), units="IP")
    assert (revised["visits"], revised["moved"]) == (found.visits, found.moved) and found.moved
    assert [(one["row"], one["before"], one["after"]) for one in revised["flips"]] == [
        (one.row, one.before, one.after) for one in found.flips
    ]
    assert same == {"told": "Revised", "visits": 4, "moved": 0, "flips": []}
    assert all(part in said for part, said in zip(("proofs: none", "date", "power has 0 rows of 1"), wrong)), wrong
    types = (CHECKOUT / "src/web/package/offnominal.d.ts").read_text(encoding="utf-8")
    assert [
        name for name in (*told["seasons"][0], *told["seasons"][1]["since_last"], *revised) if f" {name}: " not in types
    ] == []


def test_readings_and_visits_at_once(package, system):
    readings = dict(
        mode="cooling", return_dry_bulb=76, return_relative_humidity=0.55, supply_relative_humidity=0.92, airflow=1120
    )
    readings |= dict(airflow_is="actual", airflow_at="return", elevation=0)
    columns = dict(supply_dry_bulb=[57.2, 300, 55])
    visits = dict(outdoor_dry_bulb=[80, 130, 95], supply_dry_bulb=[56.5, 57, -500])
    wanted = ["ratio", "probability", "share_of_airflow"]
    script = (
        ALDER
        + """
        const { readings, columns, visits, wanted } = JSON.parse(process.argv[5]);
        const visit = text(process.argv[6]);
        const lists = (told) => Object.fromEntries(Object.entries(told).map(([name, column]) => [name, [...column]]));
        tell([lists(offnominal.deliverBatch("IP", readings, columns)), offnominal.deliver("IP", { ...readings, supply_dry_bulb: 55 }),
            lists(alder.proveBatch("IP", visit, visits, wanted)), Object.keys(alder.proveBatch("IP", visit, visits)),
            [refused(() => alder.proveBatch("IP", visit, { return_dew_point: [50] })), refused(() => alder.proveBatch("IP", visit, visits, ["next"])),
            refused(() => offnominal.deliverBatch("IP", readings, { power: [1] }))].map((error) => error.message)])"""
    )
    given = json.dumps(dict(readings=readings, columns=columns, visits=visits, wanted=wanted))
    delivered, one, proved, usual, wrong = in_node(package, script, *FILES, given, VISIT)
    assert [reason and reason["about"] for reason in delivered["reasons"]] == [None, "supply_dry_bulb", None]
    told = set(one) & set(delivered) - {"notes"}
    assert {name: delivered[name][2] for name in told} == {name: one[name] for name in told} and "total_capacity" in told
    due = system.prove_many(visits, VISIT, units="IP", columns=wanted)
    for name in wanted:
        assert proved[name] == [x if x == x else None for x in due[name]]
    for name in ("outcome", "suspect", "method", "next"):
        assert [word or "" for word in proved[name]] == ["" if word is None else word for word in due[name]]
    assert proved["ratio"][0] > 0.9 and [reason and reason["why"] for reason in proved["reasons"]] == [None, "outside", "outside"]
    assert usual == ["reasons", "outcome", "suspect", "method", "next", "ratio", "ratio_u", "probability"]
    mistakes = ("accepted: return_relative_humidity", "accepted: share_of_return_dry_bulb, ", "accepted: return_dry_bulb, ")
    assert all(part in said for part, said in zip(mistakes, wrong)), wrong


def logged(folder):
    """The demo's visit with its air out of a log beside it: both files."""
    text = VISIT.read_text(encoding="utf-8")
    for typed, by in (
        ("{dry_bulb: 76.6 degF, relative_humidity: 55.0 %", "{dry_bulb: log, relative_humidity: log"),
        ("{dry_bulb: 58.4 degF, relative_humidity: 86.4 %", "{dry_bulb: log, relative_humidity: log"),
        ("readings:\n", "readings:\n  log: run.csv\n"),
        ("steady: true\n", ""),
    ):
        assert text.count(typed) == 1
        text = text.replace(typed, by)
    names = ("return dry bulb (degF)", "return relative humidity (%)", "supply dry bulb (degF)", "supply relative humidity (%)")
    rows = [f"{30 * i},{76.6 + 0.1 * (i % 3 - 1):.1f},55,{58.4 + 0.05 * (i % 3 - 1):.2f},86.4" for i in range(81)]
    visit, log = folder / "logged.yaml", folder / "run.csv"
    visit.write_text(text, encoding="utf-8")
    log.write_text("\n".join([",".join(["time (s)", *names]), *rows, ""]), encoding="utf-8")
    return visit, log


def test_what_a_text_names_comes_out_of_an_object_or_a_function(package, system, tmp_path):
    visit, log = logged(tmp_path)
    script = """
        const [alder, low, blower, visit, log, demo] = process.argv.slice(2).map(text);
        const rest = { "alder-low.csv": low, "alder-blower.csv": new TextEncoder().encode(blower) };
        const asked = [];
        const beside = (name) => (asked.push(name), { ...rest, "run.csv": log }[name]);
        const whole = offnominal.system({ "alder.yaml": alder, ...rest });
        const both = offnominal.system({ "alder.yaml": alder, "alder-low.csv": low }, beside);
        const nested = offnominal.system({ "alder.yaml": alder }, (name) => (whole.prove("IP", visit, beside), rest[name]));
        const proved = [whole.prove("IP", { "logged.yaml": visit, "run.csv": log }), both.prove("IP", visit, beside), nested.prove("IP", { visit }, beside)];
        const batch = whole.proveBatch("IP", visit, { outdoor_dry_bulb: [95, 91] }, ["ratio"], beside);
        tell([proved, [...batch.ratio], asked, [
            refused(() => whole.prove("IP", visit)), refused(() => whole.prove("IP", { visit, "run.csv": "time" })),
            refused(() => offnominal.system({ "a.yaml": alder }, () => null)), refused(() => both.prove("IP", visit, () => { throw new Error("no archive"); })),
            refused(() => both.prove("IP", visit, async () => log)), refused(() => offnominal.system({ "a.yaml": alder.replace("alder-low.csv", "../low.csv") }, beside)),
        ].map((error) => [error.name, error.message]), whole.prove("IP", demo).outcome])"""
    (one, *others), ratios, asked, wrong, outcome = in_node(package, script, *FILES, visit, log, VISIT)
    due = system.prove(visit, units="IP")
    one.pop("texts"), one.pop("report")
    assert one == json.loads(due.to_json()) and outcome == system.prove(VISIT, units="IP").outcome
    assert [other["ratio"] for other in others] == [one["ratio"]] * 2 and ratios[1] == one["ratio"]
    assert asked == ["alder-blower.csv", "run.csv", "run.csv", "run.csv", "run.csv", "run.csv"]
    kinds, said = zip(*wrong)
    assert kinds == ("InputError", "InputError", "InputError", "Error", "TypeError", "InputError")
    parts = (
        "run.csv: there is no such text",
        "run.csv:1:",
        "alder-low.csv: there is no such text",
        "no archive",
        "accepted: a string or a Uint8Array",
        "../low.csv",
    )
    assert all(part in one for part, one in zip(parts, said)), said


def test_the_design_is_that_of_c():
    """Which is written by hand there too."""
    members = [name for name, _ in STRUCTS["offnominal_design"]._fields_]
    script = (CHECKOUT / "src/web/package/offnominal.js").read_text(encoding="utf-8").partition("  design: layout(")[2]
    types = (CHECKOUT / "src/web/package/offnominal.d.ts").read_text(encoding="utf-8").partition("export interface Design {")[2]
    filled = dict.fromkeys(re.findall(r'"(\w+)"', script.partition("  ]),\n};")[0]))  # an enumeration is told twice
    assert ["struct_size", *(name for name in filled if name not in ("const char*", "double", "int32_t", "size_t"))] == [
        name for name in members if name != "char"
    ]
    # How many airflows there are, a list knows.
    assert re.findall(r"(\w+)\?:", types.partition("}")[0]) == [name for name in members[1:] if name != "airflow_count"]


def test_what_is_wrong_is_told_as_data(package):
    script = (
        ALDER
        + """
        const hot = { outdoor_dry_bulb: 120, entering_dry_bulb: 76, entering_wet_bulb: 65, airflow: 1100, airflow_is: "standard", elevation: 0,
            boundary: "coil", stage: "high", match: "indoor A", line_set: "reference" };
        tell([refused(() => alder.expect("IP", hot)), refused(() => offnominal.system({ "a.yaml": "name: A\\ncooling: [1, 2" })),
            refused(() => offnominal.system({ "a.yaml": text(process.argv[2]) })), refused(() => alder.expect("IP", { boundry: "coil" })),
            refused(() => alder.expect("IP", { boundary: "fan" })), refused(() => alder.expect("IP", { airflow: "1100" })),
            refused(() => alder.expect("metric", hot))])"""
    )
    hot, broken, alone, *mistakes = in_node(package, script, *FILES)
    assert hot["name"] == "Refused" and hot["message"] == "outdoor dry bulb 120 degF is outside 75 degF to 115 degF"
    assert hot["reason"] == {"why": "outside", "about": "outdoor_dry_bulb", "value": 120, "lower": 75, "upper": 115}
    assert broken["name"] == "InputError" and (broken["file"], broken["line"]) == ("a.yaml", 2) and "YAML" in broken["accepted"]
    assert alone["name"] == "InputError" and "alder-low.csv" in alone["message"]
    assert all("accepted: " in one["message"] for one in mistakes)
    assert 'boundary: "fan"; accepted: coil, coil+fan' == mistakes[1]["message"]


def test_the_readme_says_what_it_prints(package):
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    program, printed = re.search(r"^```js\n(.*?)^```\n\n```text\n(.*?)^```$", readme, re.M | re.S).groups()
    program = program.replace('"offnominal"', json.dumps(str(package / "offnominal.js")))
    command = ["node", "--input-type=module", "-e", program]
    assert subprocess.run(command, capture_output=True, text=True, cwd=CHECKOUT).stdout == printed


# The page.


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        pytest.skip("no chromium")
    out = Chromium(program, tmp_path_factory.mktemp("browser"))
    yield out
    out.close()


@pytest.fixture(params=SIZES)
def page(request, package, browser):
    """The page as it stands when it has been opened from a disk, without a network."""
    width, height = SIZES[request.param]
    browser.requests.clear(), browser.errors.clear()
    browser("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
    browser(
        "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=request.param == "phone"
    )
    browser("Page.navigate", url=(package / "index.html").as_uri())
    browser.until("document.getElementById('status')?.textContent.startsWith('Ready')")
    yield browser
    assert browser.errors == []
    page, *others = browser.requests
    assert page.startswith("file://") and all(url.startswith("data:") for url in others)


def text(page, of):
    return page.run(f"document.querySelector({json.dumps(of)}).textContent")


def choose(page, name, value):
    """What a person who picks it from the list does."""
    event = "dispatchEvent(new Event('change', { bubbles: true }))"
    page.run(f"(() => {{ const field = document.getElementById('field-{name}'); field.value = '{value}'; field.{event} }})()")


def enter(page, name, value):
    page.run(f"document.getElementById('field-{name}').select()")
    page("Input.insertText", text=value)
    page.press("Tab")


def give(page, field, *files):
    node = page("DOM.querySelector", nodeId=page("DOM.getDocument")["root"]["nodeId"], selector=f"#{field}")["nodeId"]
    page("DOM.setFileInputFiles", nodeId=node, files=list(map(str, files)))


def cells(page, of):
    rows = f"[...document.querySelectorAll('{of} tbody tr')]"
    return page.run(f"{rows}.map((row) => [...row.children].map((cell) => cell.textContent))")


def focused(page):
    return page.run("document.activeElement.id || document.activeElement.tagName.toLowerCase()")


def test_target_and_proof_on_the_page(page, system, expected, proof, tmp_path):
    give(page, "system-files", *FILES)
    page.until("document.getElementById('system-name').textContent")
    assert text(page, "#system-name") == "Read: Alder three-ton, invented."
    for name, value in (CHOSEN | {"airflow_is": "standard"}).items():
        choose(page, name, value)
    for name, value in ASKED.items():
        enter(page, "humidity" if name == "entering_wet_bulb" else name, f"{value:g}")
    page.run("document.querySelector('#conditions button').focus()")
    page.press("Enter", "\r")
    assert focused(page) == "target-title"
    assert text(page, "#target pre") == expected.report()
    assert cells(page, "#target > .wide") == _display.Ledger(json.loads(expected.to_json())["ledger"]).rows()
    assert text(page, "#target .verdict strong") == _display.number(expected.total_capacity, "Btu/h")

    card = target_card(system)
    page.run("document.querySelector('#target .card summary').click()")
    assert cells(page, "#target .card") == [row for *_, rows in card._tables() for row in rows]
    captions = "[...document.querySelectorAll('#target .card caption')].map((one) => one.textContent)"
    assert page.run(captions) == [heading for heading, *_ in card._tables()]
    said = page.run("[...document.querySelectorAll('#target .card > p')].map((one) => one.textContent)")
    assert page.run("[...document.querySelectorAll('#target .card li')].map((one) => one.textContent)") == list(card.notes)
    assert said == list(card._legend()) and said[0].startswith("* leans on more than what is printed there")
    assert page.run("document.documentElement.scrollWidth <= innerWidth")

    give(page, "visit-files", VISIT)
    page.until("!document.getElementById('proof').hidden")
    assert focused(page) == "proof-title" and text(page, "#status") == f"Proof: {proof.outcome}."
    assert text(page, "#proof pre") == proof.report(units="IP")
    told = json.loads(proof.to_json())
    shown = cells(page, "#proof")
    rows = [*_display.Ledger(told["expected"]["ledger"]).rows(), *_display.evidence(told, "cooling")]
    assert shown == [list(row) for row in (*rows, *(one["cells"] for one in _display.shares(told)))]
    cautions = [line.strip() for line in proof.record().data["texts"]["cautions"].splitlines()[1:]]
    assert page.run("[...document.querySelectorAll('#cautions li')].map((one) => one.textContent)") == cautions
    assert page.run("document.documentElement.scrollWidth <= innerWidth")

    # A visit and the log that it names, chosen together.
    visit, log = logged(tmp_path)
    give(page, "visit-files", log, visit)
    report = on.load(DEMO / "alder.yaml").prove(visit, units="IP").report(units="IP")
    page.until(f"document.querySelector('#proof pre').textContent === {json.dumps(report)}")


def test_by_keyboard_and_by_ear(page):
    """Every control is reached in the order in which it stands, says what it is, and is large enough for a thumb."""
    page.press("Tab")
    assert focused(page) == "system-files"
    page.run("document.getElementById('system-demo').focus()")
    page.press("Enter", "\r")
    assert focused(page) == "conditions-title"
    page.run("document.querySelector('#conditions button').focus()")
    page.press("Enter", "\r")
    assert focused(page) == "field-stage"  # the first that lacks something
    assert text(page, "#lacking").startswith("10 entries are still to be made")
    needed = page.run("document.getElementById('problem-outdoor_dry_bulb').textContent")
    assert needed == "needed"

    order = page.run(
        "[...document.querySelectorAll('#conditions input, #conditions select, #conditions button')].map((one) => one.id || 'button')"
    )
    page.run(f"document.getElementById('{order[0]}').focus()")
    reached = [focused(page)]
    for _ in order[1:]:
        page.press("Tab")
        reached.append(focused(page))
    assert reached == order and len(order) > 15
    controls = "[...document.querySelectorAll('button, select, textarea, input:not([type=checkbox])')]"
    assert page.run(f"{controls}.filter((one) => one.offsetHeight > 0 && one.offsetHeight < 44).map((one) => one.id)") == []
    assert page.run("document.documentElement.scrollWidth <= innerWidth")

    heard = page("Accessibility.getFullAXTree")["nodes"]
    heard = [(node["role"]["value"], node.get("name", {}).get("value", ""), node) for node in heard if not node["ignored"]]
    controls = [(role, name) for role, name, _ in heard if role in ("button", "combobox", "textbox", "checkbox")]
    assert len(controls) > 20 and all(name for _, name in controls)
    assert ("textbox", "outdoor dry bulb, degF") in controls and ("combobox", "capacity is meant at") in controls
    assert {"main", "status", "alert"} <= {role for role, _, _ in heard}
    assert [name for role, name, _ in heard if role == "heading"] == [
        "Target and proof",
        "Before you open anything",
        "1. The machine",
        "2. The conditions",
        "3. The visit",
    ]
    outdoors = next(node for _, name, node in heard if name == "outdoor dry bulb, degF")
    assert outdoors["description"]["value"] == "printed: 75 to 115 needed"
    assert {"name": "invalid", "value": {"type": "token", "value": "true"}} in outdoors["properties"]


def test_what_is_wrong_is_said_where_it_is(page):
    page.run("document.getElementById('system-text').value = 'name: A\\ncooling: [1, 2'")
    page.run("document.getElementById('system-paste').click()")
    assert text(page, "#system-problem").startswith("pasted text:2:")
    page.run("document.getElementById('system-demo').click()")
    assert text(page, "#system-problem") == ""
    enter(page, "outdoor_dry_bulb", "hot")
    page.run("document.querySelector('#conditions button').click()")
    assert text(page, "#problem-outdoor_dry_bulb") == "not a number"
    choose(page, "units", "SI")  # what was typed was in other units
    assert page.run("document.getElementById('field-outdoor_dry_bulb').value") == ""
    assert text(page, "label[for=field-outdoor_dry_bulb]") == "outdoor dry bulb, degC"
    page.run("document.getElementById('visit-text').value = 'stage: high'")
    page.run("document.getElementById('visit-paste').click()")
    assert text(page, "#visit-problem").startswith("pasted text:")
