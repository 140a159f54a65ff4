"""Files are written as a whole or not at all, replace nothing unasked, and whoever writes a file's name does not choose another's."""

import errno
import io
import os
import pathlib
import stat
import sys
import tempfile

import pytest

import offnominal as on
from offnominal import _cells, _transcription, _write, standard205
from offnominal.__main__ import main

DEMO = pathlib.Path(on.__file__).parent / "demo"


def test_a_file_is_there_whole_or_not_at_all(tmp_path, monkeypatch):
    path = tmp_path / "x.txt"

    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="No space"):
            _write.write_new(path, "new")
        assert list(tmp_path.iterdir()) == []
    path.write_text("old")
    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="No space"):
            _write.write_new(path, "new", force=True)
    assert [one.name for one in tmp_path.iterdir()] == ["x.txt"] and path.read_text() == "old"
    with pytest.raises(FileExistsError, match="is there already; force replaces it"):
        _write.write_new(path, "new")
    assert path.read_text() == "old"
    with pytest.raises(ValueError, match="in the middle"), _write.new_file(tmp_path / "y.txt") as file:
        file.write(b"half")
        raise ValueError("in the middle")
    assert [one.name for one in tmp_path.iterdir()] == ["x.txt"]


@pytest.mark.parametrize("there", [False, True])
def test_whichever_call_fails_the_file_is_whole_and_nothing_is_left(tmp_path, monkeypatch, there):
    """The n-th call to the system fails, for every n until none does."""
    path = tmp_path / "x.txt"
    names = ("open", "lstat", "fchmod", "write", "fsync", "link", "replace")

    class Disk(io.FileIO):  # what `open` makes of a handle
        def write(self, data):
            return os.write(self.fileno(), data)

    def attempt(n):
        """Whether the n-th of the calls was made."""
        made = 0

        def failing(real):
            def call(*arguments, **more):
                nonlocal made
                made += 1
                if made == n:
                    raise OSError(errno.EIO, "Input/output error")
                return real(*arguments, **more)

            return call

        with monkeypatch.context() as disk:
            disk.setattr(_write, "open", lambda handle, mode: io.BufferedWriter(Disk(handle, mode)), raising=False)
            for name in names:
                disk.setattr(os, name, failing(getattr(os, name)))
            try:
                _write.write_new(path, "new", force=there)
            except OSError:
                assert made >= n
        return made >= n

    n = 1
    while True:
        if there:
            path.write_text("old")
        else:
            path.unlink(missing_ok=True)
        more = attempt(n)
        assert {one.name for one in tmp_path.iterdir()} <= {"x.txt"}
        held = path.read_text() if path.exists() else None
        assert held in ("new", "old" if there else None)
        if not more:
            break
        n += 1
    assert held == "new" and n > 6


@pytest.mark.skipif(os.name != "posix", reason="modes, links and pipes of POSIX")
def test_the_mode_is_kept_and_only_plain_files_are_replaced(tmp_path, monkeypatch):
    path, other = tmp_path / "x.txt", tmp_path / "other.txt"
    monkeypatch.setattr(os, "umask", lambda mask: pytest.fail("the umask is the process's, and other threads make files too"))
    _write.write_new(path, "one")
    other.write_text("mine")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(other.stat().st_mode)
    for mode in (0o600, 0o664, 0o400):
        path.chmod(mode)
        _write.write_new(path, b"two", force=True)
        assert stat.S_IMODE(path.stat().st_mode) == mode and path.read_bytes() == b"two"
    (tmp_path / "link").symlink_to(other)
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    for name in ("link", "dangling", "pipe", "folder"):
        with pytest.raises(FileExistsError, match="is there already"):
            _write.write_new(tmp_path / name, "x")
        with pytest.raises(FileExistsError, match="no plain file; accepted: another name"):
            _write.write_new(tmp_path / name, "x", force=True)
    assert (tmp_path / "link").is_symlink() and other.read_text() == "mine"


def test_a_representation_replaces_nothing_unasked(tmp_path):
    system = on.parse(
        "offnominal: system/1\nname: x\ncooling:\n  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF, "
        "elevation: 0 ft, power: outdoor unit}\n  stages:\n    high:\n      table: |\n        odb airflow ewb total sensible power\n"
        "        degF scfm degF MBh MBh kW\n        85 1000 63 33.3 29.8 2.2\n        95 1000 63 31.5 28.9 2.5\n"
    )
    representation, path = standard205.from_system(system), tmp_path / "unit.json"
    representation.write(path)
    before = path.read_bytes()
    path.write_text("mine")
    with pytest.raises(FileExistsError):
        representation.write(path)
    assert path.read_text() == "mine"
    representation.write(path, force=True)
    assert path.read_bytes() == before


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
def test_the_system_that_a_visit_names_is_a_plain_file_of_its_folder(tmp_path, capsys):
    folder = tmp_path / "case"
    folder.mkdir()
    secret = tmp_path / "secret.yaml"
    secret.write_text("a secret\n")
    visit = folder / "visit.yaml"
    text = (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    (folder / "link.yaml").symlink_to(secret)
    os.mkfifo(folder / "pipe.yaml")
    table = folder / "t.csv"
    table.write_text("date\n2026-07-14\n")
    for name in ("link.yaml", "pipe.yaml", "../secret.yaml", str(secret), "."):
        visit.write_text(text.replace("system: alder.yaml", f"system: {name}"), encoding="utf-8")
        for command in (["prove", str(visit)], ["survey", str(table), "--visit", str(visit)]):
            assert main([*command, "--units", "IP"]) == 2
            said = capsys.readouterr().err
            assert "not a plain file" in said or "not the name of a file beside this one" in said
            assert "a secret" not in said


def test_a_survey_that_fails_leaves_no_rows(tmp_path, capsys):
    table, rows = tmp_path / "t.csv", tmp_path / "rows.csv"
    table.write_text("date,airflow\n2026-07-14,1190\n2026-07-14\n")
    visit = str(DEMO / "library-visit.yaml")
    assert main(["survey", str(table), "--visit", visit, "--units", "IP", "--rows", str(rows)]) == 2
    assert [one.name for one in tmp_path.iterdir()] == ["t.csv"]
    rows.write_text("mine")
    assert main(["survey", str(table), "--visit", visit, "--units", "IP", "--rows", str(rows)]) == 2
    assert "is there already" in capsys.readouterr().err and rows.read_text() == "mine"


def test_what_was_pasted_is_kept_whole_wherever_it_can_be(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    pasted = "85 33.5 \u2103 \udcff\n" * 100  # as standard input hands on what is not UTF-8
    monkeypatch.setattr(sys, "stdin", io.StringIO(pasted))
    assert main(["transcribe", "-", "--name", "x"]) == 2
    (kept,) = tmp_path.iterdir()
    assert f"what was pasted is kept in {kept.name}" in capsys.readouterr().err
    assert kept.read_bytes() == pasted.encode(errors="surrogateescape")
    elsewhere = tmp_path / "temporary"
    elsewhere.mkdir()
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(elsewhere))
    real = _write.write_new

    def full(path, data, force=False):
        if os.path.dirname(path) == ".":
            raise OSError(errno.ENOSPC, "No space left on device")
        real(path, data, force)

    monkeypatch.setattr(_write, "write_new", full)
    monkeypatch.setattr(sys, "stdin", io.StringIO(pasted))
    assert main(["transcribe", "-", "--name", "x"]) == 2
    assert "could not be kept in .: No space left on device" in capsys.readouterr().err
    assert len(list(elsewhere.iterdir())) == 1
    monkeypatch.setattr(_write, "MOST_BYTES", 100)
    monkeypatch.setattr(sys, "stdin", io.StringIO("1" * 101))
    assert main(["transcribe", "-", "--name", "x"]) == 2
    assert "<pasted>: more than 100 characters" in capsys.readouterr().err


def test_a_file_that_is_held_whole_is_not_too_large(tmp_path, capsys):
    path = tmp_path / "x.json"
    path.write_text("[" * 100_000)
    with pytest.raises(on.InputError, match="not a record"):
        on.read_record(path)
    assert main(["recompute", str(path)]) == 2
    path.write_text("x" * 11)
    with pytest.raises(on.InputError, match="more than 10 bytes in a file"):
        _write.read_whole(path, 10)
    assert _write.read_whole(path, 11) == "x" * 11
    with pytest.raises(on.InputError, match="a line longer than any of a page; accepted: 20000 characters at most"):
        on.transcribe("odb total\n" + "1," * 10_001 + "\n", name="x")
    capsys.readouterr()


def test_a_head_that_cannot_be_meant_is_given_up(tmp_path):
    """Sixty columns under 25 lines of names, and runs that fit nowhere: ways to read them without end."""
    names = "  ".join(["total"] * 60) + "\n"
    with pytest.raises(on.InputError):
        on.transcribe(names * 25 + "  ".join(["1    "] * 60) + "\n", name="x")


def test_a_small_book_that_is_large_unpacked_is_refused(tmp_path, monkeypatch):
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    path = tmp_path / "x.xlsx"
    book.active["XFD1048576"] = 1
    book.save(path)
    with pytest.raises(on.InputError, match="a sheet of too many cells: '1048576 by 16384'"):
        on.transcribe(path, name="x")
    book = openpyxl.Workbook()
    book.active.cell(1000, 100).value = "total"
    book.save(path)
    with pytest.raises(on.InputError, match="no rows"):
        on.transcribe(path, name="x")
    book.active.cell(1001, 100).value = "total"
    book.save(path)
    with pytest.raises(on.InputError, match="a sheet of too many cells: '1001 by 100'; accepted: 100,000 cells at most"):
        on.transcribe(path, name="x")
    book = openpyxl.Workbook()
    book.active["A1"] = "total"
    book.active.merged_cells.add("A1:XFD1048576")
    monkeypatch.setattr(openpyxl.worksheet.worksheet.Worksheet, "_clean_merge_range", lambda *_: None, raising=False)
    book.save(path)
    monkeypatch.undo()
    with pytest.raises(on.InputError, match="merged areas of too many cells: '17,179,869,184'"):
        on.transcribe(path, name="x")
    monkeypatch.setattr(_cells, "MOST_BYTES", 100)
    with pytest.raises(on.InputError, match="a book that is larger than a page is; accepted: 100 bytes at most, unpacked"):
        on.transcribe(path, name="x")
    path.write_bytes(b"PK\x03\x04 nothing")
    with pytest.raises(on.InputError, match="not a spreadsheet that openpyxl can read"):
        on.transcribe(path, name="x")
