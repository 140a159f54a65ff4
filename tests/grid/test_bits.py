"""The kernels are headers, compiled with flags that are not ours: their bits and the layout of their types must not move."""

import functools
import pathlib
import shutil
import subprocess

import pytest

pytestmark = pytest.mark.compiles

HERE = pathlib.Path(__file__).parent
INCLUDE = HERE.parents[1] / "include"
PROGRAM = """
#include "bits.hpp"
int main() {
    std::printf("%llx\\n", static_cast<unsigned long long>(test::digest()));
    test::print_layout();
}
"""
# What the processor must have for a program compiled at each setting.
NEEDS = {
    "x86-64": [],
    "x86-64-v3": ["avx2", "fma"],
    "x86-64-v4": ["avx512f", "avx512dq", "avx512vl", "avx512bw"],
    "x86-64 -mavx512f": ["avx512f"],  # g++ then contracts without defining __FMA__
    "native": [],
}
PLAIN = "-O2 -DOFFNOMINAL_PLAIN_LANES"  # the loops that stand in where a compiler has no vector types


def runs_here(march):
    try:
        flags = pathlib.Path("/proc/cpuinfo").read_text().split()
    except OSError:
        return march == "native"
    return all(need in flags for need in NEEDS[march])


@pytest.fixture(scope="module")
def output(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bits")
    (folder / "bits.cpp").write_text(PROGRAM)

    @functools.cache
    def run(compiler, march, flags):
        program = folder / "-".join([compiler, *march.split(), *flags.split()])
        options = [
            "-std=c++20",
            *f"-march={march} {flags}".split(),
            f"-I{INCLUDE}",
            f"-I{HERE}",
        ]  # contraction as the compiler likes it
        subprocess.run([compiler, *options, str(folder / "bits.cpp"), "-o", str(program), "-pthread"], check=True)
        return subprocess.run([str(program)], check=True, capture_output=True, text=True).stdout

    return run


@pytest.mark.parametrize("march, flags", [(march, "-O3") for march in NEEDS] + [("native", "-O1"), ("native", PLAIN)])
@pytest.mark.parametrize("compiler", ["g++", "clang++"])
def test_bits_and_layouts_do_not_move_with_a_consumers_flags(compiler, march, flags, output):
    if shutil.which(compiler) is None:
        pytest.skip(f"no {compiler}")
    if not runs_here(march):
        pytest.skip(f"this processor does not run {march}")
    assert output(compiler, march, flags) == output("g++", "x86-64", "-O3")
