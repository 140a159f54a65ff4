"""The C interface from another language, by ctypes; and what a program that was compiled with it relies on."""

import ctypes
import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from c_interface import CORE_FUNCTIONS, ENUMERATORS, FUNCTIONS, STRUCTS, layout, rust, sized

import offnominal as on
from offnominal._system import PAST
from questions import COOLING, READINGS

CHECKOUT = Path(__file__).resolve().parents[2]
DEMO = CHECKOUT / "tables/demo"
LIBRARY = Path(on.__file__).parents[2] / "src/liboffnominal_c.so"  # of the build tree that the package is in
CORE = LIBRARY.with_name("liboffnominal_c_core.so")
IP = ENUMERATORS["OFFNOMINAL_UNITS_IP"]
OK, REFUSED = ENUMERATORS["OFFNOMINAL_OK"], ENUMERATORS["OFFNOMINAL_REFUSED"]


@pytest.fixture(scope="module")
def c():
    library = ctypes.CDLL(str(LIBRARY))
    for name in ("offnominal_word", "offnominal_note_text", "offnominal_system_name", "offnominal_cautions"):
        getattr(library, name).restype = ctypes.c_char_p
    library.offnominal_text_free.argtypes = [ctypes.c_void_p]
    return library


def call(function, *arguments):
    """Calls what can fail, and wants it to succeed."""
    error = sized("error")
    assert function(*arguments, ctypes.byref(error)) == OK, error.message.decode()


def text_of(c, function, *arguments):
    text = ctypes.c_void_p()
    call(function, *arguments, ctypes.byref(text))
    out = ctypes.string_at(text).decode()
    c.offnominal_text_free(text)
    return out


def made(function, *arguments):
    handle = ctypes.c_void_p()
    call(function, *arguments, ctypes.byref(handle))
    return handle


@pytest.fixture(scope="module")
def alder(c):
    system = made(c.offnominal_system_load, str(DEMO / "alder.yaml").encode())
    yield system
    c.offnominal_system_free(system)


def question(c):
    conditions = STRUCTS["offnominal_conditions"]()
    c.offnominal_conditions_init(ctypes.byref(conditions), ctypes.sizeof(conditions))
    conditions.boundary = ENUMERATORS["OFFNOMINAL_BOUNDARY_COIL"]
    conditions.line_set = ENUMERATORS["OFFNOMINAL_LINE_SET_REFERENCE"]
    conditions.airflow_is = ENUMERATORS["OFFNOMINAL_AIRFLOW_STANDARD"]
    conditions.stage, conditions.match = b"high", b"indoor A"
    numbers(conditions, COOLING)
    return conditions


def numbers(struct, given):
    for name, value in given.items():
        if isinstance(value, float):
            setattr(struct, name, value)


def test_what_came_since_is_told_by_macros():
    """Each macro names functions that are there; what an earlier version had not is in one of them."""
    text = (CHECKOUT / "include/offnominal/version.hpp").read_text(encoding="utf-8")
    rows = re.findall(r"#define OFFNOMINAL_HAS_(\w+) 1 +/\* (.*) \*/", text)
    told = {name for _, what in rows for name in re.findall(r"offnominal_\w+", what)}
    assert len(rows) == len(dict(rows)) > 9 and told <= set(FUNCTIONS)
    assert {name for name in FUNCTIONS if re.search("solve|causes|seasons|revised|choose|card|beside|prove_batch", name)} <= told


def test_what_a_program_was_compiled_with():
    """Another layout needs another version: major or minor of version.hpp, and then tests/c/abi.txt written again. Members that
    are added at the end of a struct, functions and enumerators need no other version, but are written there too."""
    assert list(layout()) == (CHECKOUT / "tests/c/abi.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("library, functions", [(LIBRARY, FUNCTIONS), (CORE, CORE_FUNCTIONS)])
def test_only_the_interface_is_exported(library, functions):
    symbols = subprocess.run(["nm", "-D", "--defined-only", library], check=True, capture_output=True, text=True).stdout
    assert sorted(line.split()[-1] for line in symbols.splitlines()) == sorted(functions)


def test_what_the_core_needs(tmp_path):
    """No reader of files, and 1.5 MB at most."""
    subprocess.run(["strip", "-o", tmp_path / "core.so", CORE], check=True)
    assert (tmp_path / "core.so").stat().st_size <= 1.5e6
    needed = subprocess.run(["readelf", "-d", CORE], check=True, capture_output=True, text=True).stdout
    assert "libstdc++" in needed and "yaml" not in needed


def test_it_tells_what_python_tells(c, alder, tmp_path):
    system = on.load(DEMO / "alder.yaml")
    conditions = question(c)
    asked = system.expect(**COOLING)
    assert json.loads(text_of(c, c.offnominal_expect_json, alder, IP, ctypes.byref(conditions))) == json.loads(asked.to_json())
    assert text_of(c, c.offnominal_expect_report, alder, IP, ctypes.byref(conditions)) == asked.report()

    readings = STRUCTS["offnominal_readings"]()
    c.offnominal_readings_init(ctypes.byref(readings), ctypes.sizeof(readings))
    numbers(readings, READINGS)
    readings.airflow_is = ENUMERATORS["OFFNOMINAL_AIRFLOW_STANDARD"]
    told = text_of(c, c.offnominal_deliver_json, IP, ctypes.byref(readings))
    assert json.loads(told) == json.loads(on.deliver(**READINGS).to_json())

    text = (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    swapped = tmp_path / "swapped.yaml"  # its probes: no ratio, and causes of that
    swapped.write_text(text.replace("return:", "x:").replace("supply:", "return:").replace("x:", "supply:"), encoding="utf-8")
    for file in (DEMO / "library-visit.yaml", DEMO / "library-heating-visit.yaml", swapped):
        visit = made(c.offnominal_visit_load, str(file).encode())
        proof = made(c.offnominal_prove, alder, visit)
        c.offnominal_visit_free(visit)
        told = json.loads(text_of(c, c.offnominal_proof_json, proof, IP))
        proved = system.prove(file, units="IP")
        assert told == json.loads(proved.to_json())
        assert json.loads(text_of(c, c.offnominal_proof_causes, proof, IP)) == json.loads(json.dumps(proved.causes().to_dict()))
        assert json.loads(text_of(c, c.offnominal_proof_texts, proof, IP)) == proved.record().data["texts"]
        c.offnominal_proof_free(proof)
    assert c.offnominal_cautions().decode() == proved.record().data["texts"]["cautions"]


def test_what_lies_between_visits_is_what_python_tells(c, alder):
    text, system = (DEMO / "library-visit.yaml").read_text(encoding="utf-8"), on.load(DEMO / "alder.yaml")
    dates = "2027-07-02", "2026-07-14", "2028-07-01"
    texts = [
        text.replace("date: 2026-07-14", f"date: {date}").replace("58.4 degF", f"58.{k} degF") for k, date in enumerate(dates)
    ]
    visits = [made(c.offnominal_visit_parse, one.encode(), ctypes.c_size_t(len(one.encode())), b"visit") for one in texts]
    proofs = [made(c.offnominal_prove, alder, visit) for visit in visits]
    told = json.loads(text_of(c, c.offnominal_seasons, (ctypes.c_void_p * 3)(*proofs), ctypes.c_size_t(3)))
    found = on.seasons([system.prove(on.Visit.parse(one)) for one in texts])
    changes = ("since_last", "since_first")
    expected = [one._asdict() | {name: (was := getattr(one, name)) and was._asdict() for name in changes} for one in found]
    assert told == {"told": "Seasons", "seasons": expected} and expected[2]["since_last"] is not None

    table = {"supply_dry_bulb": [55.0 + 0.25 * k for k in range(40)]}
    columns = sized("visit_columns", supply_dry_bulb=(ctypes.c_double * 40)(*table["supply_dry_bulb"]))
    lower = (
        (DEMO / "alder.yaml")
        .read_text(encoding="utf-8")
        .replace("95    1000     67    34.0", "95    1000     67    32.0")
        .encode()
    )
    revision = made(c.offnominal_system_parse, lower, ctypes.c_size_t(len(lower)), b"revision.yaml", str(DEMO).encode())
    told = json.loads(
        text_of(c, c.offnominal_revised, alder, revision, IP, visits[1], ctypes.byref(columns), ctypes.c_size_t(40))
    )
    both = on.revised(
        system, on.parse(lower.decode(), name="revision.yaml", folder=DEMO), table, on.Visit.parse(texts[1]), units="IP"
    )
    assert told == {"told": "Revised", "visits": 40, "moved": both.moved, "flips": [one._asdict() for one in both.flips]}
    assert both.flips and both.moved

    error, nowhere = sized("error"), ctypes.byref(ctypes.c_void_p())
    other = made(c.offnominal_prove, revision, visits[0])
    for these, says in (([], b"none"), ([proofs[0], other], b"several systems"), ([proofs[0], None], b"null pointer")):
        status = c.offnominal_seasons((ctypes.c_void_p * 2)(*these), ctypes.c_size_t(len(these)), nowhere, ctypes.byref(error))
        assert status == ENUMERATORS["OFFNOMINAL_BAD_ARGUMENT"] and says in error.message
    for handle in (*proofs, other):
        c.offnominal_proof_free(handle)
    for handle in visits:
        c.offnominal_visit_free(handle)
    c.offnominal_system_free(revision)


def test_it_chooses_as_python_does(c, alder):
    design = dict(total_load=30000, sensible_load=23000, outdoor_dry_bulb=95, entering_dry_bulb=77, elevation=0)
    design |= dict(heating_load=30000, heating_outdoor_dry_bulb=17, entering_relative_humidity=0.5)
    struct = STRUCTS["offnominal_design"]()
    c.offnominal_design_init(ctypes.byref(struct), ctypes.sizeof(struct))
    numbers(struct, {name: float(value) for name, value in design.items()})
    systems = (ctypes.c_void_p * 1)(alder)
    told = json.loads(text_of(c, c.offnominal_choose, systems, ctypes.c_size_t(1), IP, ctypes.byref(struct)))
    choices = on.choose(on.load(DEMO / "alder.yaml"), units="IP", **design)
    assert [list(one) for one in told] == [list(choices[0]._fields)] * len(choices)
    assert [list(one.values()) for one in told] == [list(one) for one in choices]
    line = {"length": 75.0, "suction": 0.75, "lift": 0.0}
    own = {"source": "ours, edition 3", "total": [0.9, 1.3], "heat_pump": [0.5, 0.9], "sensible": 0.8, "latent": 0.5}
    struct.line_set = ENUMERATORS["OFFNOMINAL_LINE_SET_GIVEN"]
    struct.limits = json.dumps(own).encode()
    struct.spare_latent = 0
    numbers(struct, line)
    for liquid in (None, 0.375):
        line["liquid"] = liquid
        if liquid is not None:
            struct.liquid, struct.length = liquid, 140.0
            struct.line_set, line["length"], line["beyond"] = ENUMERATORS["OFFNOMINAL_LINE_SET_MODELLED"], 140, "model"
        told = json.loads(text_of(c, c.offnominal_choose, systems, ctypes.c_size_t(1), IP, ctypes.byref(struct)))
        changed = on.choose(on.load(DEMO / "alder.yaml"), units="IP", line_set=line, limits=own, spare_latent=False, **design)
        assert [list(one.values()) for one in told] == [list(one) for one in changed] != [list(one) for one in choices]
    # By a humidity ratio, at airflows of one's own.
    struct.entering_humidity_ratio, struct.entering_relative_humidity = 0.0105, float("nan")
    struct.airflows, struct.airflow_count = (ctypes.c_double * 2)(900, 1000), 2
    told = json.loads(text_of(c, c.offnominal_choose, systems, ctypes.c_size_t(1), IP, ctypes.byref(struct)))
    del design["entering_relative_humidity"]
    design |= dict(entering_humidity_ratio=0.0105, airflow=[900, 1000], line_set=line, limits=own, spare_latent=False)
    changed = on.choose(on.load(DEMO / "alder.yaml"), units="IP", **design)
    assert [list(one.values()) for one in told] == [list(one) for one in changed]
    assert {round(one["airflow"]) for one in told} == {900, 1000}
    struct.frost = ENUMERATORS["OFFNOMINAL_FROST_INSTANTANEOUS"]
    told = json.loads(text_of(c, c.offnominal_choose, systems, ctypes.c_size_t(1), IP, ctypes.byref(struct)))
    steady = on.choose(on.load(DEMO / "alder.yaml"), units="IP", frost="instantaneous", **design)
    assert [list(one.values()) for one in told] == [list(one) for one in steady] != [list(one) for one in changed]
    struct.heating_outdoor_dry_bulb, struct.frost = -40.0, ENUMERATORS["OFFNOMINAL_FROST_UNKNOWN"]
    told = json.loads(text_of(c, c.offnominal_choose, systems, ctypes.c_size_t(1), IP, ctypes.byref(struct)))
    assert all("outdoor dry bulb -40 degF is outside" in one["no_heating"] for one in told)
    struct.frost = 7
    assert c.offnominal_choose(
        systems, ctypes.c_size_t(1), IP, ctypes.byref(struct), ctypes.byref(ctypes.c_void_p()), ctypes.byref(sized("error"))
    )
    struct.frost = ENUMERATORS["OFFNOMINAL_FROST_UNKNOWN"]
    struct.limits = b"none such"
    error = sized("error")
    assert c.offnominal_choose(
        systems, ctypes.c_size_t(1), IP, ctypes.byref(struct), ctypes.byref(ctypes.c_void_p()), ctypes.byref(error)
    )
    assert error.status == ENUMERATORS["OFFNOMINAL_INPUT"] and error.accepted.startswith(b"manual_s_2014")


def test_its_card_is_that_of_python(c, alder):
    system, text = on.load(DEMO / "alder.yaml"), (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    for there, here in (
        ("4690 ft", "0 ft"),
        ("{length: 50 ft, suction: 3/4 in, lift: 0 ft}", "reference"),
        ("coil+fan ", "coil "),
    ):
        assert there in text
        text = text.replace(there, here)  # the installation of the card
    forecast, elsewhere = on.Visit.parse(text), (DEMO / "library-visit.yaml").read_bytes()
    conditions = question(c)
    fixed = {name: value for name, value in COOLING.items() if name not in ("outdoor_dry_bulb", "entering_wet_bulb")}
    visit = made(c.offnominal_visit_parse, text.encode(), ctypes.c_size_t(len(text.encode())), b"visit")
    for outdoor, wet_bulb, brought in (((85.0, 95.0, 130.0), (59.0, 65.0), visit), ((), (), None)):
        axes = []
        for values in (outdoor, wet_bulb):
            axes += [(ctypes.c_double * len(values))(*values) if values else None, ctypes.c_size_t(len(values))]
        told = json.loads(text_of(c, c.offnominal_card, alder, IP, ctypes.byref(conditions), *axes, brought))
        card = system.target_card(
            outdoor_dry_bulb=outdoor or None, entering_wet_bulb=wet_bulb or None, forecast=brought and forecast, **fixed
        )
        assert told == json.loads(json.dumps(card.to_dict()))
        assert len(told["bring"]) == len(card.bring) and bool(told["bring"]) == bool(brought)
    c.offnominal_visit_free(visit)
    visit = made(c.offnominal_visit_parse, elsewhere, ctypes.c_size_t(len(elsewhere)), b"visit")
    error = sized("error")
    asked = alder, IP, ctypes.byref(conditions), None, ctypes.c_size_t(0), None, ctypes.c_size_t(0), visit
    assert c.offnominal_card(*asked, ctypes.byref(ctypes.c_void_p()), ctypes.byref(error)) == ENUMERATORS["OFFNOMINAL_INPUT"]
    assert error.message.startswith(b"forecast: ")
    c.offnominal_visit_free(visit)
    hot = (ctypes.c_double * 1)(130.0)
    error = sized("error")
    asked = alder, IP, ctypes.byref(conditions), hot, ctypes.c_size_t(1), None, ctypes.c_size_t(0), None
    assert c.offnominal_card(*asked, ctypes.byref(ctypes.c_void_p()), ctypes.byref(error)) == ENUMERATORS["OFFNOMINAL_REFUSED"]
    assert b"130 degF" in error.message


def test_the_audit_of_a_file(c):
    path = DEMO / "birch.yaml"
    pages = json.loads(text_of(c, c.offnominal_audit_file, str(path).encode()))
    audits = on.audit_file(path, units="IP")
    assert len(pages) == len(audits)
    assert all(audit.report().endswith(": " + page["text"]) for page, audit in zip(pages, audits))


def test_a_refusal_from_another_language(c, alder):
    conditions, answer, error = question(c), sized("expected"), sized("error")
    conditions.outdoor_dry_bulb = 120
    status = c.offnominal_expect(alder, IP, ctypes.byref(conditions), ctypes.byref(answer), ctypes.byref(error))
    assert status == error.status == REFUSED
    assert error.message == b"outdoor dry bulb 120 degF is outside 75 degF to 115 degF"
    assert answer.total_capacity != answer.total_capacity
    assert c.offnominal_word(ENUMERATORS["OFFNOMINAL_ENUMERATION_ABOUT"], answer.reason.about) == b"outdoor_dry_bulb"
    assert c.offnominal_note_text(0).startswith(b"standard pound of the page unknown")


REFUSAL = "outdoor dry bulb 120 degF is outside 75 degF to 115 degF"


def built_and_run(command, program, tmp_path, **environment):
    environment = {**os.environ, "LD_LIBRARY_PATH": str(LIBRARY.parent), **environment}
    done = subprocess.run([*command], cwd=tmp_path, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    run = subprocess.run([program, DEMO / "alder.yaml"], env=environment, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    return run.stdout.splitlines()


@pytest.mark.compiles
@pytest.mark.skipif(shutil.which("rustc") is None, reason="no rustc on this machine")
def test_from_rust(tmp_path):
    functions = {
        "offnominal_system_load": "(path: *const std::os::raw::c_char, to: *mut *mut offnominal_system, e: *mut offnominal_error) -> i32",
        "offnominal_system_free": "(system: *mut offnominal_system)",
        "offnominal_conditions_init": "(question: *mut offnominal_conditions, size: usize)",
        "offnominal_expect": "(system: *const offnominal_system, units: i32, question: *const offnominal_conditions, "
        "answer: *mut offnominal_expected, error: *mut offnominal_error) -> i32",
    }
    (tmp_path / "bindings.rs").write_text("\n".join(rust(functions)))
    source = CHECKOUT / "tests/consumers/rust/main.rs"
    command = ["rustc", "--edition", "2021", "-D", "warnings", "-L", LIBRARY.parent, source, "-o", "program"]
    told = built_and_run(command, tmp_path / "program", tmp_path, BINDINGS=str(tmp_path))
    assert told == ["34000", REFUSAL]


@pytest.mark.compiles
@pytest.mark.skipif(shutil.which("go") is None, reason="no go on this machine")
def test_from_go(tmp_path):
    (tmp_path / "go.mod").write_text("module consumer\n")
    shutil.copy(CHECKOUT / "tests/consumers/go/main.go", tmp_path)
    flags = dict(CGO_ENABLED="1", CGO_CFLAGS=f"-I{CHECKOUT / 'include'}", CGO_LDFLAGS=f"-L{LIBRARY.parent} -loffnominal_c")
    told, refusal, choices = built_and_run(["go", "build", "-o", "program"], tmp_path / "program", tmp_path, **flags)
    assert json.loads(told)["total_capacity"] == pytest.approx(34000, rel=1e-12)
    assert refusal == REFUSAL
    design = dict(
        total_load=30000, sensible_load=23000, outdoor_dry_bulb=95, entering_dry_bulb=77, entering_wet_bulb=65, elevation=0
    )
    due = on.choose(on.load(DEMO / "alder.yaml"), units="IP", **design)
    assert [list(one.values()) for one in json.loads(choices)] == [list(one) for one in due]


def test_past_the_edges_of_the_axes_that_python_and_cpp_have():
    """Three lists, each in the words of its language: none of them has an axis, or a way, of its own."""
    members = [name for name, _ in STRUCTS["offnominal_conditions"]._fields_ if name.startswith(("hold_", "extend_"))]
    assert {name.partition("_")[2]: name.partition("_")[0] for name in members} == {axis: how for axis, (how, _) in PAST.items()}
    header = (CHECKOUT / "include/offnominal/conditions.hpp").read_text(encoding="utf-8")
    body = header.partition("struct Hold {")[2].partition("\n};")[0]
    assert re.findall(r"^    \w+ (\w+)\{0\.0\};", body, re.M) == list(PAST)
