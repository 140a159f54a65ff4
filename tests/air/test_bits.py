"""The kernels are headers, compiled with flags that are not ours: their bits must not move with any of them."""

import pathlib
import shutil
import subprocess

import pytest

pytestmark = pytest.mark.compiles

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


def bits_move(compiler, flags, folder):
    if shutil.which(compiler) is None:
        pytest.skip(f"no {compiler}")
    source, program = folder / "bits.cpp", folder / "bits"
    source.write_text(PROGRAM)
    subprocess.run([compiler, "-std=c++20", *flags, f"-I{INCLUDE}", f"-I{HERE}", str(source), "-o", str(program)], check=True)
    return subprocess.run([str(program)]).returncode != 0


@pytest.mark.parametrize("optimise", ["-O1", "-O3"])
@pytest.mark.parametrize("march", NEEDS)
@pytest.mark.parametrize("compiler", ["g++", "clang++"])
def test_bits_do_not_move_with_a_consumers_flags(compiler, march, optimise, tmp_path):
    if not runs_here(march):
        pytest.skip(f"this processor does not run {march}")
    assert not bits_move(compiler, [optimise, f"-march={march}"], tmp_path)  # contraction as the compiler likes it


# What lets a compiler compute another formula than the one written. g++ says so, and the headers stop; clang++ says so of finite
# checks only, and the rest is undone where the headers compute.
@pytest.mark.parametrize(
    "flags",
    [
        "-ffast-math",
        "-Ofast",
        "-ffinite-math-only",
        "-ffast-math -fno-finite-math-only",
        "-funsafe-math-optimizations",
        "-fassociative-math -fno-signed-zeros -fno-trapping-math",
        "-freciprocal-math",
        "-fno-signed-zeros",
        "-fsingle-precision-constant",
    ],
)
def test_no_header_compiles_where_the_compiler_may_change_a_formula(flags):
    def stopped(compiler):
        command = [compiler, "-std=c++20", *flags.split(), "-E", "-x", "c++", str(INCLUDE / "offnominal/detail/contract.hpp")]
        return "offnominal needs IEEE arithmetic" in subprocess.run(command, capture_output=True, text=True).stderr

    assert stopped("g++")
    if flags in ("-ffast-math", "-Ofast", "-ffinite-math-only") and shutil.which("clang++"):
        assert stopped("clang++")


@pytest.mark.parametrize("flags", ["-O2 -funsafe-math-optimizations", "-O3 -ffast-math -fno-finite-math-only -ffp-contract=on"])
def test_bits_do_not_move_with_what_clang_does_not_tell_of(flags, tmp_path):
    assert not bits_move("clang++", flags.split(), tmp_path)
