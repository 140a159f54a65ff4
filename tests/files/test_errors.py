"""What is wrong with a file, as Python tells it."""

import os
import pickle
import shutil
import sys
from pathlib import Path

import numpy as np
import pytest

import offnominal as on
from offnominal.__main__ import main
from offnominal import audit_file

SYSTEM = "offnominal: system/1\nname: A\ncooling: {stages: {full: {file: none.csv}}}\n"


DEMO = Path(__file__).resolve().parents[2] / "tables/demo"


def audit(path):
    return audit_file(path, units="IP")


@pytest.mark.parametrize("read", [on.load, on.Visit, audit, on.standard205.read], ids=lambda read: read.__name__)
def test_a_missing_file_is_an_input_error_and_a_file_not_found_error(read, tmp_path):
    path = str(tmp_path / "none.yaml")
    with pytest.raises(FileNotFoundError) as caught:
        read(path)
    error = caught.value
    assert isinstance(error, on.InputError) and error.file == error.filename == path and error.errno == 2
    assert (
        str(error) == f"{path}: there is no such file; accepted: the path of a readable file"
        and error.problem == "there is no such file"
    )
    again = pickle.loads(pickle.dumps(error))
    assert (type(again), str(again), again.filename, again.accepted) == (type(error), str(error), path, error.accepted)


def test_what_is_no_path_is_told():
    for read in (on.load, on.Visit, audit, on.standard205.read):
        with pytest.raises(TypeError, match="path: None is no path; accepted: str, bytes or os.PathLike"):
            read(None)


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are bytes on Linux, whatever they are")
def test_a_file_whose_name_is_not_utf_8_is_read(tmp_path, capsys):
    shutil.copytree(DEMO, tmp_path, dirs_exist_ok=True)
    for name in ("alder", "library-visit"):
        (tmp_path / f"{name}.yaml").rename(tmp_path / f"{name}\udcff.yaml")
    alder, visit = str(tmp_path / "alder\udcff.yaml"), str(tmp_path / "library-visit\udcff.yaml")
    assert on.load(alder).prove(visit, units="IP").outcome == "undecided"
    assert main(["audit", alder]) == 0
    assert main(["prove", visit, "--system", alder, "--units", "IP"]) == 4
    (tmp_path / "alder.yaml").write_text("offnominal: system/1\n")
    assert main(["prove", visit, "--units", "IP"]) == 2  # the system beside it, which is none
    assert f"{tmp_path}/alder.yaml:" in capsys.readouterr().err
    for read in (on.load, on.Visit, audit, on.standard205.read):
        with pytest.raises(FileNotFoundError, match=r"b\\xffd.yaml: there is no such file"):
            read("b\udcffd.yaml")
        with pytest.raises(on.InputError, match=r"^half a character: '\\ud800'; accepted: text that can be written as UTF-8$"):
            read("b\ud800d.yaml")
    with pytest.raises(on.InputError, match=r"^half a character: '\\ud800'; accepted: text that can be written as UTF-8$"):
        on.transcribe("b\ud800d.yaml", name="A")


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are bytes on Linux, whatever they are")
def test_in_a_folder_whose_name_is_not_utf_8_all_is_read_and_written(tmp_path, capsys, monkeypatch):
    folder = tmp_path / "d\udcffir"
    shutil.copytree(DEMO, folder)
    (folder / "table.csv").write_text("fan_power\n400\n420\n")
    (folder / "log.csv").write_text("time (s),supply dry bulb (degF)\n" + "".join(f"{5 * k},57\n" for k in range(9)))
    (folder / "page.txt").write_text(
        "odb,airflow,ewb,total\ndegF,scfm,degF,MBh\n85,1000,63,33\n85,1000,67,35\n95,1000,63,31\n95,1000,67,33\n"
    )

    for form in (str, os.fsencode):  # as Python has it, and the bytes themselves

        def place(name):
            return form(folder / name)

        alder, text = on.load(place("alder.yaml")), (folder / "alder.yaml").read_text()
        assert on.parse(text, folder=place("")) == alder
        assert len(audit(place("alder.yaml"))) == 4 and len(on.collate(place("alder.yaml"), alder).differences) == 0
        proof = alder.prove(place("library-visit.yaml"), units="IP")
        new = form.__name__
        alder.write(place(f"{new}-system.yaml"))
        on.Visit(place("library-visit.yaml")).write(place(f"{new}-visit.yaml"))
        proof.record().write(place(f"{new}.html"))
        assert on.read_record(place(f"{new}.json")).recompute() == []
        assert on.load(place(f"{new}-system.yaml")) == alder
        assert on.read_log(place("log.csv"), units="IP").name.endswith("d\udcffir/log.csv")
        on.transcribe(folder / "page.txt", name="A").write(place(f"{new}-page.yaml"))
        assert on.load(place(f"{new}-page.yaml")).name == "A"
        with pytest.raises(FileNotFoundError, match=r"d\\xffir/none.yaml: there is no such file"):
            on.load(place("none.yaml"))

    monkeypatch.chdir(folder.parent)
    visit, table, page = (str(folder / name) for name in ("library-visit.yaml", "table.csv", "page.txt"))
    for asked, status in {
        ("prove", visit): 4,  # with the system that it names, beside it
        ("prove", "d\udcffir/library-visit.yaml"): 4,
        ("prove", visit, "--record", str(folder / "kept.html")): 4,
        ("recompute", str(folder / "kept.json")): 0,
        ("plan", visit): 0,
        ("causes", visit): 0,
        ("seasons", visit, visit): 0,
        ("survey", table, "--visit", visit): 0,
        ("revised", str(folder / "alder.yaml"), str(folder / "alder.yaml"), table, "--visit", visit): 0,
        ("audit", str(folder / "alder.yaml")): 0,
        ("transcribe", page, "--name", "A"): 0,
    }.items():
        units = ["--units", "IP"] if asked[0] in ("prove", "plan", "causes", "survey", "revised") else []
        assert main([*asked, *units]) == status, (asked, capsys.readouterr().err)
    for name in ("a\ud800.yaml", b"none"):  # half a character that stands for no byte; bytes of no file
        with pytest.raises(on.InputError):
            on.load(name)


def test_half_a_character_in_a_text_or_a_word_is_told(capsys):
    alder = on.load(DEMO / "alder.yaml")
    question = dict(
        units="IP", stage="high", entering_dry_bulb=80, entering_wet_bulb=67, airflow=1000, airflow_basis="standard", elevation=0
    )
    question |= dict(line_set="reference", boundary="coil", outdoor_dry_bulb=95)
    for ask in (
        lambda half: on.parse(half),
        lambda half: on.parse("a: 1", half),
        lambda half: on.Visit.parse(half),
        lambda half: on.Visit({"name": half}),
        lambda half: on.standard205.parse(half),
        lambda half: alder.missing(units="IP", match=half),
        lambda half: alder.expect(**question, match=half),
        lambda half: alder.expect(**question, match=["indoor A", half]),
        lambda half: alder.solve(
            **question | {"match": half, "outdoor_dry_bulb": None},
            vary="outdoor_dry_bulb",
            between=(85, 105),
            of="power",
            equals=1,
        ),
    ):
        with pytest.raises(on.InputError, match=r"half a character: '\\udcff'; accepted: text that can be written as UTF-8"):
            ask("x: \udcff")
    options = [
        f"--{name.replace('_', '-')}={value}" for name, value in (question | {"stage": "hi\udcffgh", "match": "indoor A"}).items()
    ]
    assert main(["expect", str(DEMO / "alder.yaml"), *options]) == 2
    assert main(["audit", "b\ud800d.yaml"]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 2 and all("half a character: '\\ud" in one for one in said)


def test_numbers_past_those_of_the_machine_are_told():
    alder = on.load(DEMO / "alder.yaml")
    question = dict(units="IP", stage="high", entering_dry_bulb=80, entering_wet_bulb=67, airflow_basis="standard", elevation=0)
    question |= dict(line_set="reference", boundary="coil", outdoor_dry_bulb=95, match="indoor A")
    outside = {name: value for name, value in question.items() if name != "outdoor_dry_bulb"}
    readings = dict(units="IP", return_dry_bulb=75, return_wet_bulb=63, supply_dry_bulb=55, supply_wet_bulb=53, elevation=0)
    readings["airflow_basis"] = "standard"
    for large in (2**2000, 10**5000, [10**5000], np.array([2**2000]), -(10**400)):
        with pytest.raises(ValueError, match="^airflow: a number too large for a float; accepted: at most 1.8e308$"):
            alder.expect(**question, airflow=large)
        with pytest.raises(ValueError, match="^equals: a number too large for a float"):  # it ended the process
            alder.solve(**outside, airflow=1000, vary="outdoor_dry_bulb", between=(85, 105), of="power", equals=large)
        with pytest.raises(ValueError, match="^airflow: a number too large for a float"):
            on.deliver(**readings, airflow=large)
    for threads in (2**70, 1 << 17, 0, 1.0, True):
        with pytest.raises(ValueError, match="^threads: .*; accepted: a whole number from 1 to 65,536$"):
            alder.expect(**question, airflow=[1000], threads=threads)


def test_so_is_a_missing_table_with_the_place_that_names_it(tmp_path, capsys):
    path = tmp_path / "a.yaml"
    path.write_text(SYSTEM)
    with pytest.raises(FileNotFoundError) as caught:
        on.load(path)
    assert (caught.value.file, caught.value.line, caught.value.column) == (str(path), 3, 33)
    assert "none.csv: there is no such file" in caught.value.problem
    assert main(["audit", str(path)]) == 2
    assert f"offnominal: {path}:3:33: {tmp_path}/none.csv: there is no such file" in capsys.readouterr().err


def test_a_file_of_the_other_kind_is_told():
    with pytest.raises(
        on.InputError, match="a system where a visit is due: 'system/1'; accepted: a visit file; a system is loaded"
    ):
        on.Visit({"offnominal": "system/1"})
    with pytest.raises(
        on.InputError, match="a visit where a system is due: 'visit/1'; accepted: a system file; a visit goes to prove"
    ):
        on.parse("offnominal: visit/1\n")


def test_nothing_of_a_file_reaches_a_terminal_unseen(tmp_path, capsys):
    path = tmp_path / "a.yaml"
    path.write_text('offnominal: system/1\nname: "\\e[31mA"\n')
    assert main(["audit", str(path)]) == 2
    assert main(["transcribe", str(tmp_path / "\x1b[2J.txt"), "--name", "A"]) == 2
    page = tmp_path / "page.txt"
    page.write_text("odb,airflow,ewb,to\x1b[31mtal\ndegF,scfm,degF,MBh\n85,1000,63,33.3\n")
    assert main(["transcribe", str(page), "--name", "A"]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 3 and said.replace("\n", "").isprintable()
