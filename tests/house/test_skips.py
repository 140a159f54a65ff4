"""What the whole run may skip, and that nothing else is skipped there in silence (tests/conftest.py)."""

import os
import re
import subprocess
import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
CONFTEST = (TESTS / "conftest.py").read_text(encoding="utf-8")


def test_what_is_skipped_for_no_held_reason_fails_the_whole_run(tmp_path):
    (tmp_path / "conftest.py").write_text(CONFTEST)
    (tmp_path / "test_some.py").write_text(
        "import pytest\n"
        "def test_held(): pytest.skip('this processor does not run x86-64-v9')\n"
        "def test_other(): pytest.skip('no browser')\n"
        "@pytest.mark.skipif(True, reason='no compiler')\ndef test_marked(): pass\n"
        "@pytest.fixture\ndef library(): pytest.importorskip('no_such_library')\n"
        "def test_by_its_fixture(library): pass\n"
        "@pytest.mark.xfail\ndef test_that_may_fail(): assert False\n"
    )
    (tmp_path / "test_whole.py").write_text("import pytest\npytest.importorskip('no_such_other')\ndef test_one(): pass\n")

    def run(*files, **more):
        environment = {name: value for name, value in os.environ.items() if name != "OFFNOMINAL_HOLD_SKIPS"} | more
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *files]
        done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)
        return done.returncode, done.stdout

    status, told = run()
    assert status == 0 and "5 skipped, 1 xfailed" in told, told
    status, told = run("test_some.py", OFFNOMINAL_HOLD_SKIPS="1")
    assert status == 1 and "1 skipped, 1 xfailed" in told, told
    assert all(f"skipped: {one}" in told for one in ("no browser", "no compiler", "could not import 'no_such_library'")), told
    assert "x86-64-v9" not in told
    status, told = run("test_whole.py", OFFNOMINAL_HOLD_SKIPS="1")
    assert status != 0 and "skipped: could not import 'no_such_other'" in told, told


def test_every_held_reason_is_one_that_a_test_gives():
    held = re.findall(r'^    "(.*?)": "', CONFTEST.partition("MAY_BE_SKIPPED = {")[2].partition("}")[0], re.M)
    tests = "".join(path.read_text(encoding="utf-8") for path in TESTS.glob("*/test_*.py") if path != Path(__file__))
    assert held and [one for one in held if f'"{one}' not in tests] == []
