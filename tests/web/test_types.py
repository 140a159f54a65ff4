"""The types of the package for browsers, by TypeScript's own compiler: a program that uses all of it compiles, and what it marks as wrong does not.

Needs tsc (Debian's node-typescript).
"""

import shutil
import subprocess
from pathlib import Path

import pytest

import offnominal as on

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = CHECKOUT / "src/web/package"


@pytest.mark.compiles
@pytest.mark.skipif(shutil.which("tsc") is None, reason="no tsc")
def test_a_program_of_typescript(tmp_path):
    package = tmp_path / "node_modules/offnominal"
    package.mkdir(parents=True)
    for name in ("offnominal.d.ts", "quantities.d.ts"):
        shutil.copy(PACKAGE / name, package)
    told = (PACKAGE / "package.json.in").read_text(encoding="utf-8").replace("@VERSION@", on.__version__)
    (package / "package.json").write_text(told, encoding="utf-8")
    shutil.copy(Path(__file__).with_name("app.mts"), tmp_path)
    how = "--noEmit --strict --target es2022 --lib es2022,dom --module node16 --moduleResolution node16".split()
    done = subprocess.run(["tsc", *how, "app.mts"], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
