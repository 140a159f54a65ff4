"""The demo files are what the scripts beside them make."""

import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "tables" / "demo"
SCRIPTS = {
    "make_alder.py": ["alder.yaml", "alder-low.csv", "alder-blower.csv", "library-visit.yaml", "library-heating-visit.yaml"],
    "make_birch.py": ["birch.yaml"],
}
FILES = [(script, name) for script, names in SCRIPTS.items() for name in names]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    def run(script):
        folder = tmp_path_factory.mktemp("demo")
        subprocess.run([sys.executable, "-B", str(DEMO / script), str(folder)], check=True)
        return folder

    return {script: run(script) for script in SCRIPTS}


@pytest.mark.parametrize("script, name", FILES)
def test_committed_file_is_the_script_s(made, script, name):
    assert (DEMO / name).read_bytes() == (made[script] / name).read_bytes()


@pytest.mark.parametrize("script", SCRIPTS)
def test_the_script_makes_nothing_else(made, script):
    assert sorted(path.name for path in made[script].iterdir()) == sorted(SCRIPTS[script])


@pytest.mark.parametrize("script, name", FILES)
def test_each_file_says_that_it_is_invented(script, name):
    head = (DEMO / name).read_text(encoding="utf-8").splitlines()[:2]
    assert "INVENTED for demonstration" in "".join(head)
