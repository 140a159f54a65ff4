"""What the compiled kernels leave for the linker to merge.

A kernel object is compiled for one instruction set and linked into programs that run on others. A weak symbol in it (an inline
function, a template) may be the copy that the linker keeps for the whole program. So every one must stand in the kernels' own
namespace.
"""

import pathlib
import shutil
import subprocess

import pytest

pytestmark = pytest.mark.compiles

ROOT = pathlib.Path(__file__).parents[2]
MARCH = {"baseline": "x86-64", "avx2": "x86-64-v3", "avx512": "x86-64-v4"}


@pytest.mark.parametrize("level", ["-O0", "-O3"])
@pytest.mark.parametrize("name", MARCH)
@pytest.mark.parametrize("compiler", ["g++", "clang++"])
def test_weak_symbols_stand_in_the_kernels_own_namespace(compiler, name, level, tmp_path):
    if shutil.which(compiler) is None or shutil.which("nm") is None:
        pytest.skip(f"no {compiler}, or no nm")
    if subprocess.run([compiler, "-dumpmachine"], capture_output=True, text=True).stdout.split("-")[0] != "x86_64":
        pytest.skip("not an x86-64 machine")
    made = tmp_path / "kernels.o"
    source = ROOT / "src" / "kernels" / f"{name}.cpp"
    flags = ["-std=c++20", level, f"-march={MARCH[name]}", "-ffp-contract=off", f"-I{ROOT / 'include'}"]
    subprocess.run([compiler, *flags, "-c", str(source), "-o", str(made)], check=True)
    listed = subprocess.run(["nm", "--demangle", str(made)], check=True, capture_output=True, text=True).stdout
    symbols = [line.split(maxsplit=1) if line[0] == " " else line.split(maxsplit=2)[1:] for line in listed.splitlines()]
    weak = [symbol for kind, symbol in symbols if kind in "WVuwv"]
    assert [symbol for symbol in weak if f"for_{name}::" not in symbol] == []
    # The table is there, and nothing is called that is not.
    assert f"offnominal::detail::kernels_{name}" in [symbol for _, symbol in symbols]
    allowed = {"memcpy", "memset", "__gxx_personality_v0", "__stack_chk_fail", "_GLOBAL_OFFSET_TABLE_"}
    assert {symbol for kind, symbol in symbols if kind == "U"} <= allowed
