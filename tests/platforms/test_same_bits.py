"""Other processors give the same bits: more than 100,000 questions to every shape of page, under emulation where need be.

In every run: what multiplies and adds in one step, by both compilers and with the standard library of LLVM, and two foreign processors:
that of most phones, and the one least like ours. All of them, 2 minutes of two processors:

    apt-get install g++-{aarch64,s390x,powerpc64}-linux-gnu g++-arm-linux-gnueabihf qemu-user-static libc++-dev libc++abi-dev
    OFFNOMINAL_EVERY_PLATFORM=1 python -m pytest tests/platforms
"""

import collections
import os
import pathlib
import re
import shutil
import subprocess

import pytest

import offnominal as on

pytestmark = pytest.mark.compiles

CHECKOUT = pathlib.Path(__file__).parents[2]
EMBED = pathlib.Path(on.__file__).parents[2] / "src/offnominal_embed"  # of the build tree that the package is in
SYSTEMS = sorted(
    file for folder in ("demo", "corpus") for file in CHECKOUT.glob(f"tables/{folder}/*.yaml") if "visit" not in file.name
)
SOURCES = [CHECKOUT / name for name in ("tests/support/same_bits.cpp", "src/embed/bytes.cpp", "src/airflow/blower.cpp")]
IN_EVERY_RUN = {
    "x86-64 with AVX2": "avx2 g++ -O1 -march=x86-64-v3",
    "x86-64 with AVX2 by clang, libc++": "avx2 clang++ -O1 -march=x86-64-v3 -stdlib=libc++",
    "ARM 64": "qemu-aarch64-static aarch64-linux-gnu-g++ -O1",
    "PowerPC 64, big-endian": "qemu-ppc64-static powerpc64-linux-gnu-g++ -O1",
}
BY_HAND = {
    "x86-64 with AVX-512": "avx512vl g++ -O3 -march=x86-64-v4",
    "x86-64 by clang": "sse2 clang++ -O3",
    "ARM 64, optimized": "qemu-aarch64-static aarch64-linux-gnu-g++ -O3",
    "ARM 64 by clang": "qemu-aarch64-static clang++ --target=aarch64-linux-gnu -O2",
    "ARM 32": "qemu-arm-static arm-linux-gnueabihf-g++ -O1",
    "ARM 32 with fused multiply-add": "qemu-arm-static arm-linux-gnueabihf-g++ -O2 -march=armv8-a -mfpu=neon-fp-armv8",
    "z/Architecture, big-endian": "qemu-s390x-static s390x-linux-gnu-g++ -O1",
}
PLATFORMS = IN_EVERY_RUN | (BY_HAND if "OFFNOMINAL_EVERY_PLATFORM" in os.environ else {})


@pytest.fixture(scope="module")
def systems(tmp_path_factory):
    """Every system as bytes."""
    folder = tmp_path_factory.mktemp("systems")
    for file in SYSTEMS:
        source = folder / f"{file.stem}.c"
        subprocess.run([EMBED, file, file.stem, "C", source], check=True)
        numbers = re.findall(r"\d+", source.read_text().partition("{")[2])
        source.with_suffix(".bin").write_bytes(bytes(map(int, numbers)))
    return sorted(folder.glob("*.bin"))


def told(runner, compiler, flags, folder, systems):
    program, unit = folder / "same_bits", folder / "unit.cpp"
    # As one: half of the time is what they have in common.
    unit.write_text("".join(f'#include "{source}"\n' for source in SOURCES))
    # What a distribution keeps there of Boost is headers, for any processor.
    places = [f"-I{CHECKOUT / 'include'}", f"-I{CHECKOUT / 'src'}", "-idirafter", "/usr/include"]
    subprocess.run([compiler, "-std=c++20", *flags, *places, unit, "-o", program], check=True)
    return subprocess.run([*runner, program, *systems], check=True, capture_output=True, text=True).stdout


@pytest.fixture(scope="module")
def expected(tmp_path_factory, systems):
    """What the plainest x86-64 tells."""
    out = told([], "g++", ["-O1", "-march=x86-64"], tmp_path_factory.mktemp("here"), systems)
    asked, answered, _ = out.split()
    assert int(asked) > 120_000 and int(answered) > 60_000
    return out


@pytest.mark.parametrize("platform", PLATFORMS)
def test_every_processor_gives_the_same_bits(platform, expected, systems, tmp_path):
    where, compiler, *flags = PLATFORMS[platform].split()
    for program in (compiler, *([where] if where.startswith("qemu") else [])):
        if shutil.which(program) is None:
            pytest.skip(f"no {program}")
    if not where.startswith("qemu"):
        if where not in pathlib.Path("/proc/cpuinfo").read_text().split():
            pytest.skip(f"this processor has no {where}")
        assert told([], compiler, flags, tmp_path, systems) == expected
    else:
        assert told([where], compiler, [*flags, "-static"], tmp_path, systems) == expected
    if platform == "ARM 64":
        computed_with = vectors(tmp_path / "same_bits", "aarch64-linux-gnu-objdump")
        assert {"fadd", "fsub", "fmul"} <= set(computed_with) and sum(computed_with.values()) > 100, computed_with
        assert "fmla" not in computed_with  # multiplied and added in one step the bits would be others


def vectors(program, objdump):
    """The instructions that compute two doubles at once in NEON's registers, and how often our functions have them."""
    if shutil.which(objdump) is None:
        pytest.skip(f"no {objdump}")
    ours = subprocess.run([objdump, "-d", "--no-show-raw-insn", program], check=True, capture_output=True, text=True).stdout
    functions = (text for text in ours.split("\n\n") if "10offnominal" in text.partition(">:")[0])
    return collections.Counter(found for text in functions for found in re.findall(r"\t(f[a-z]+)\tv\d+\.2d", text))


def test_no_memory_is_read_before_it_is_written(systems, tmp_path):
    """By the sanitizer of memory, which wants everything compiled with it: the headers need of libstdc++ templates alone, those too that it
    keeps compiled."""
    if shutil.which("clang++") is None:
        pytest.skip("no clang++")
    flags = ["-O0", "-g1", "-fsanitize=memory", "-D_GLIBCXX_EXTERN_TEMPLATE=0"]
    asked, answered, _ = told([], "clang++", flags, tmp_path, [file for file in systems if file.stem == "alder"]).split()
    assert int(asked) > 20_000 and int(answered) > 10_000
