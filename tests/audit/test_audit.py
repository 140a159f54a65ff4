"""The audit from Python and from the command: suspects with place and reason, questions, leave-one-out errors."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import offnominal as on
from offnominal import audit_file

CHECKOUT = Path(__file__).resolve().parents[2]
ALDER = CHECKOUT / "tables/demo/alder.yaml"
RIGHT = "95    1000     67    34.0   24.9      2.51   0.10"


def mistyped(folder, right, wrong):
    """The demo system with one error typed into its high stage; its path, and the line of the error."""
    text = ALDER.read_text(encoding="utf-8")
    rows = [n for n, line in enumerate(text.splitlines(), start=1) if line.split() == right.split()]
    assert len(rows) == 1
    lines = text.splitlines(keepends=True)
    line = lines[rows[0] - 1]
    lines[rows[0] - 1] = line[: len(line) - len(line.lstrip())] + wrong + "\n"
    path = folder / "typed.yaml"
    path.write_text("".join(lines), encoding="utf-8")
    for name in ("alder-low.csv", "alder-blower.csv"):
        (folder / name).write_text((ALDER.parent / name).read_text(encoding="utf-8"), encoding="utf-8")
    return path, rows[0]


def command(*arguments):
    return subprocess.run([sys.executable, "-m", "offnominal", "audit", *map(str, arguments)], capture_output=True, text=True)


def test_a_clean_system_has_no_suspects_but_questions():
    pages = on.load(ALDER).audit(units="IP")
    assert [(page.mode, page.frost, page.stage) for page in pages] == [
        ("cooling", "", "high"),
        ("cooling", "", "low"),
        ("heating", "instantaneous", "high"),
        ("heating", "integrated", "high"),
    ]
    assert all(page.suspects == () for page in pages)
    assert pages[0].nodes == 59
    sensible_at = next(q for q in pages[0].questions if q.about == "sensible_at")
    assert next(iter(sensible_at.hypotheses)) == sensible_at.stated == "80 degF"
    assert sensible_at.decisive
    total = next(one for one in pages[0].leave_one_out if (one.axis, one.column) == ("airflow", "total"))
    assert abs(total.worst) < 0.01 and total.nodes == 12


@pytest.mark.parametrize("units, unit, implied", [("IP", "Btu/h", 24_900), ("SI", "W", 7_297)])
def test_a_typo_is_found_with_its_place(tmp_path, units, unit, implied):
    path, line = mistyped(tmp_path, RIGHT, RIGHT.replace("24.9", "29.4"))
    first = on.load(path).audit(units=units)[0].suspects[0]
    assert (first.column, first.line, first.typed, first.guess) == ("sensible", line, "29.4", "24.9")
    assert first.file.endswith("typed.yaml")
    assert first.slip == "swapped_digits"
    assert {"neighbours", "leaving_air", "bypass"} <= set(first.checks)
    assert first.unit == unit
    assert first.implied == pytest.approx(implied, rel=0.002)
    assert first.score > 20
    assert "leave the coil" in first.why and "two digits swapped" in first.text


def test_a_label_mistyped_is_one_suspect(tmp_path):
    text = ALDER.read_text(encoding="utf-8")
    high, rest = text.split("    low: {file", 1)
    path = tmp_path / "typed.yaml"
    path.write_text(re.sub(r"(?m)^(        )105 ", r"\g<1>150 ", high) + "    low: {file" + rest, encoding="utf-8")
    for name in ("alder-low.csv", "alder-blower.csv"):
        (tmp_path / name).write_text((ALDER.parent / name).read_text(encoding="utf-8"), encoding="utf-8")
    high, low, *_ = on.load(path).audit(units="IP")
    (suspect,) = high.suspects
    assert (suspect.column, suspect.typed, suspect.guess, suspect.slip) == ("odb", "150", "105", "swapped_digits")
    assert len(suspect.block) == 12 and suspect.node is None and suspect.checks == ("axis",)
    assert suspect.implied == pytest.approx(105) and suspect.unit == "degF"
    assert "odb 150 degF, 12 nodes, implied 105 degF" in suspect.text
    assert low.suspects == ()
    assert suspect.apply() == text
    assert path.read_text(encoding="utf-8") != text  # nothing is written


def test_a_correction_is_applied_when_asked(tmp_path):
    path, line = mistyped(tmp_path, RIGHT, RIGHT.replace("24.9", "29.4"))
    typed = path.read_text(encoding="utf-8")
    suspect = on.load(path).audit(units="IP")[0].suspects[0]
    assert suspect.cell == "odb 95 degF, airflow 1000 scfm, ewb 67 degF"
    assert suspect.apply() == suspect.apply(typed) == typed.replace(RIGHT.replace("24.9", "29.4"), RIGHT)
    with pytest.raises(on.InputError, match="not the text that was audited"):
        suspect.apply(typed.replace("29.4 ", "29.3 "))


def test_a_refused_file_is_audited(tmp_path):
    path, line = mistyped(tmp_path, RIGHT, RIGHT.replace("34.0", "3.40"))
    with pytest.raises(on.InputError):
        on.load(path)
    high, low, *_ = audit_file(path, units="IP")
    assert (high.suspects[0].line, high.suspects[0].column, high.suspects[0].guess) == (line, "total", "34.0")
    assert low.suspects == ()


def test_the_command(tmp_path):
    path, line = mistyped(tmp_path, RIGHT, RIGHT.replace("24.9", "29.4"))
    done = command(path)
    assert done.returncode == 0, done.stderr  # audited: suspects are no failure
    assert f"typed.yaml:{line}:" in done.stdout
    assert re.search(r"sensible 29\.4 MBh, implied 24\.\d+ MBh: 24\.9 with two digits swapped\?", done.stdout)
    assert "questions: asked, not assumed" in done.stdout
    assert "leave one out" in done.stdout
    assert "low stage: no suspects (60 nodes)" in done.stdout
    missing = command(tmp_path / "nothing.yaml")
    assert missing.returncode == 2 and "nothing.yaml" in missing.stderr


def test_units_are_given():
    with pytest.raises(TypeError):
        on.load(ALDER).audit()
    with pytest.raises(ValueError, match="accepted: 'IP' or 'SI'"):
        on.load(ALDER).audit(units="imperial")
