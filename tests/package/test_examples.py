"""The stories in python/examples: each runs, prints what it says that it prints, and is short."""

import ast
import inspect
import runpy
import textwrap
from pathlib import Path

import pytest

import offnominal as on

pytest.importorskip("matplotlib").use("agg")
pytest.importorskip("xarray")
pytest.importorskip("jinja2")

CHECKOUT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((CHECKOUT / "python/examples").glob("*.py"))
MADE = {"prove_a_visit.py": ["library.html", "library.json"], "sweep_and_map.py": ["map.png"]}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_an_example_does_what_it_says(path, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    runpy.run_path(str(path), run_name="__main__")
    story = inspect.cleandoc(ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))))
    promised = textwrap.dedent(story.partition("It prints:\n\n")[2])
    assert [line.rstrip() for line in capsys.readouterr().out.splitlines()] == promised.splitlines()
    assert sorted(file.name for file in tmp_path.iterdir()) == MADE.get(path.name, [])
    assert "invented" in story
    if "library.json" in MADE.get(path.name, []):
        assert on.read_record("library.json").recompute() == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_a_study_takes_eight_statements_at_most(path):
    """What is given, in capitals, does not count; what is imported neither."""
    given = (ast.Import, ast.ImportFrom, ast.Assign)
    study = [
        statement
        for top in ast.parse(path.read_text(encoding="utf-8")).body[1:]
        if not isinstance(top, given) or isinstance(top, ast.Assign) and not ast.unparse(top.targets[0]).isupper()
        for statement in ast.walk(top)
        if isinstance(statement, ast.stmt)
    ]
    assert 1 <= len(study) <= 8


def test_the_readme_tells_of_every_example():
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    for path in EXAMPLES:
        assert f"(python/examples/{path.name})" in readme
