"""What is wrong with a file, as Python tells it."""

import pickle

import pytest

import offnominal as on
from offnominal.__main__ import main
from offnominal import audit_file

SYSTEM = "offnominal: system/1\nname: A\ncooling: {stages: {full: {file: none.csv}}}\n"


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
    with pytest.raises(TypeError, match="path: None is no path; accepted: str or os.PathLike"):
        on.load(None)


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
