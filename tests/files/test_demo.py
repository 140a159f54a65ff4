"""The demo files are what the script beside them makes."""

import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "tables" / "demo"
FILES = ["alder.yaml", "alder-low.csv", "alder-blower.csv", "library-visit.yaml"]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, "-B", str(DEMO / "make_alder.py"), str(folder)], check=True)
    return folder


@pytest.mark.parametrize("name", FILES)
def test_committed_file_is_the_script_s(made, name):
    assert (DEMO / name).read_bytes() == (made / name).read_bytes()


def test_the_script_makes_nothing_else(made):
    assert sorted(path.name for path in made.iterdir()) == sorted(FILES)


@pytest.mark.parametrize("name", FILES)
def test_each_file_says_that_it_is_invented(name):
    assert "INVENTED for demonstration" in (DEMO / name).read_text(encoding="utf-8").splitlines()[0] + (
        DEMO / name
    ).read_text(encoding="utf-8").splitlines()[1]
