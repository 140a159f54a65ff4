"""The kernels are headers, compiled with flags that are not ours: their bits must not move with any of them."""

import pathlib
import shutil
import subprocess

import pytest

HERE = pathlib.Path(__file__).parent
INCLUDE = HERE.parents[1] / "include"
PROGRAM = """
#include "golden.hpp"
int main() { return golden::compute() == golden::expected ? 0 : 1; }
"""
# What the processor must have for a program compiled at each setting.
NEEDS = {"x86-64": [], "x86-64-v3": ["avx2", "fma"], "x86-64-v4": ["avx512f", "avx512dq", "avx512vl", "avx512bw"], "native": []}


def runs_here(march):
    try:
        flags = pathlib.Path("/proc/cpuinfo").read_text().split()
    except OSError:
        return march == "native"
    return all(need in flags for need in NEEDS[march])


@pytest.mark.parametrize("optimise", ["-O1", "-O3"])
@pytest.mark.parametrize("march", NEEDS)
@pytest.mark.parametrize("compiler", ["g++", "clang++"])
def test_bits_do_not_move_with_a_consumers_flags(compiler, march, optimise, tmp_path):
    if shutil.which(compiler) is None:
        pytest.skip(f"no {compiler}")
    if not runs_here(march):
        pytest.skip(f"this processor does not run {march}")
    source = tmp_path / "bits.cpp"
    source.write_text(PROGRAM)
    program = tmp_path / "bits"
    flags = ["-std=c++20", optimise, f"-march={march}", f"-I{INCLUDE}", f"-I{HERE}"]  # contraction as the compiler likes it
    subprocess.run([compiler, *flags, str(source), "-o", str(program)], check=True)
    assert subprocess.run([str(program)]).returncode == 0
