"""The documentation site is made without a warning, and has everything that the package shows."""

import html
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import offnominal as on
from offnominal.__main__ import _COMMANDS

pytestmark = pytest.mark.compiles
pytest.importorskip("sphinx")

CHECKOUT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """Its pages by name, without tags."""
    folder = tmp_path_factory.mktemp("site")
    environment = {**os.environ, "PYTHONPATH": str(Path(on.__file__).parents[1]), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-d", str(folder / "kept")]
    command += [str(CHECKOUT / "python/docs"), str(folder / "html")]
    done = subprocess.run(command, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    pages = {path.stem: path.read_text(encoding="utf-8") for path in (folder / "html").glob("*.html")}
    for name, page in pages.items():
        assert not re.findall(r'(?:src|href)="https?:', page), f"{name} asks for something elsewhere"
    return {
        name: html.unescape(re.sub("</?(dt|dd|p|div)[^>]*>|<[^>]*>", lambda tag: " " if tag[1] else "", page))
        for name, page in pages.items()
    }


def test_every_name_is_there(site):
    modules = {name for name in on.__all__ if type(getattr(on, name)) is type(on)}
    for name in set(on.__all__) - modules - {"__version__"}:
        assert re.search(rf"offnominal\.{name}\b", site["python"]), name
    for module in modules - {"errors"}:
        for name in getattr(on, module).__all__:
            assert f"offnominal.{module}.{name}" in site["python"]


def test_every_example_and_every_command_is_there(site):
    for path in (CHECKOUT / "python/examples").glob("*.py"):
        assert path.read_text(encoding="utf-8").split('"""')[1].partition("?")[0].partition(":")[0] in site["examples"], path.name
    for command in _COMMANDS:
        assert f"usage: offnominal {command} " in site["command"]


def test_the_file_of_a_record_is_described_whole(site):
    record = on.load(on.demo_file("alder.yaml")).prove(on.demo_file("library-visit.yaml"), units="IP").record()
    described = set(re.findall(r"\w+", site["record"]))
    assert set(record.data) | set(record.data["texts"]) | set(record.data["visit"]) <= described
