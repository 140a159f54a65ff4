"""Compilers, libraries and flags that are not ours: what of ours they take, and without a warning."""

import os
import pathlib
import re
import shutil
import subprocess
from concurrent.futures import ThreadPoolExecutor

import pytest
from c_interface import CORE_FUNCTIONS

pytestmark = pytest.mark.compiles

TESTS = pathlib.Path(__file__).parents[1]
INCLUDE = TESTS.parent / "include"
HEADERS = sorted(path.relative_to(INCLUDE) for path in INCLUDE.rglob("*.hpp"))
EVERY_HEADER = "".join(f'#include "{name}"\n' for name in HEADERS)
USE = """
double use(const offnominal::System& system, const offnominal::Visit& visit, const offnominal::Conditions& conditions,
           const offnominal::ExpectBatch& batch, const offnominal::ExpectColumns& columns) {
    double out = offnominal::deliver(visit.readings, visit.site).total_capacity.si;
    if (const auto e = offnominal::try_expect(system, visit.site, conditions)) out += e->uncertainty.combined();
    expect_rows(system, batch, 0, 100, columns);
    return out;
}
"""
STRICT = "-Wall -Wextra -Wconversion -Wshadow -Wpedantic -Wold-style-cast -Wdouble-promotion -Werror"


def compile_it(compiler, flags, folder, source):
    if shutil.which(compiler) is None:
        pytest.skip(f"no {compiler}")
    unit = folder / "unit.cpp"
    unit.write_text(source)
    subprocess.run(
        [compiler, "-std=c++20", *flags.split(), f"-I{INCLUDE}", "-c", str(unit), "-o", str(folder / "unit.o")], check=True
    )


@pytest.mark.parametrize("compiler, flags", [("g++", "-O3"), ("clang++", "-O0")])
def test_a_strict_program_sees_no_warning(compiler, flags, tmp_path):
    """g++ at -O3 also sees what it believes of strings that were joined, in headers of the system too."""
    compile_it(compiler, f"{flags} {STRICT}", tmp_path, EVERY_HEADER + USE)


def test_windows_and_its_header(tmp_path):
    compile_it("x86_64-w64-mingw32-g++-posix", f"-O0 {STRICT}", tmp_path, "#include <windows.h>\n" + EVERY_HEADER + USE)


ON_WINDOWS = """
#define OFFNOMINAL_C_CORE
#include <windows.h>
#include "offnominal/offnominal.h"
int main(void) {
    offnominal_conditions question;
    offnominal_expected answer = {sizeof answer};
    offnominal_conditions_init(&question, sizeof question);
    return offnominal_expect(NULL, OFFNOMINAL_UNITS_IP, &question, &answer, NULL);
}
"""


@pytest.mark.skipif("OFFNOMINAL_EVERY_PLATFORM" not in os.environ, reason="a minute of a processor")
def test_the_c_library_of_windows_is_linked_and_exports_what_ours_does(tmp_path):
    """There is no Windows to run it on."""
    compiler = "x86_64-w64-mingw32-g++-posix"
    for program in (compiler, "x86_64-w64-mingw32-objdump"):
        if shutil.which(program) is None:
            pytest.skip(f"no {program}")
    source = TESTS.parent / "src"
    for name in ("boost", "eigen3", "nlohmann"):  # headers alone: what else is there is of this machine
        (tmp_path / name).symlink_to(f"/usr/include/{name}")
    patterns = "*.cpp airflow/*.cpp embed/bytes.cpp kernels/baseline.cpp kernels/choose.cpp report/[emr]*.cpp solve/*.cpp c/interface.cpp c/json.cpp"
    files = [file for pattern in patterns.split() for file in sorted(source.glob(pattern))]
    places = [f"-I{place}" for place in (source, INCLUDE, tmp_path, tmp_path / "eigen3")]
    flags = ["-std=c++20", "-O0", "-ffp-contract=off", "-fvisibility=hidden", "-DOFFNOMINAL_C_BUILDS", *places]

    def compiled(number):
        made = tmp_path / f"{number}.o"
        subprocess.run([compiler, *flags, "-c", files[number], "-o", made], check=True)
        return made

    with ThreadPoolExecutor(2) as pool:
        objects = [*pool.map(compiled, range(len(files)))]
    library = tmp_path / "offnominal_c_core.dll"
    subprocess.run([compiler, "-shared", "-static", *objects, "-o", library, f"-Wl,--out-implib,{library}.a"], check=True)
    (tmp_path / "app.c").write_text(ON_WINDOWS)
    linked = [compiler.replace("g++", "gcc"), f"-I{INCLUDE}", tmp_path / "app.c", f"{library}.a", "-o", tmp_path / "app.exe"]
    subprocess.run(linked, check=True)
    told = subprocess.run(["x86_64-w64-mingw32-objdump", "-p", library], check=True, capture_output=True, text=True).stdout
    assert re.findall(r"^\t\[ *\d+\] (\w+)$", told, re.M) == CORE_FUNCTIONS


def test_a_compiler_that_is_neither_gnu_nor_clang(tmp_path):
    """As far as it goes offline: the language of MSVC, and what headers do where it says that it is that."""
    used = {name for header in HEADERS for name in re.findall(r"#include (<\w+>)", (INCLUDE / header).read_text())}
    source = "".join(f"#include {name}\n" for name in sorted(used)) + "#undef __GNUC__\n#undef __clang__\n#define _MSC_VER 1930\n"
    ms = "-fms-extensions -fms-compatibility -fms-compatibility-version=19.30 -fdelayed-template-parsing"
    # The pragma that stops contraction is MSVC's own; its infinities are written as too large a number.
    flags = f"-O0 -stdlib=libc++ {ms} {STRICT} -Wno-unknown-pragmas -Wno-literal-range"
    compile_it("clang++", flags, tmp_path, source + EVERY_HEADER + USE)


def test_the_standard_library_of_llvm(tmp_path):
    """libc++ before 20 reads no double: by the C library it is read and written by the same digits."""
    decimals = (TESTS / "units/decimal.cpp").read_text()
    compile_it(
        "clang++", "-O0 -stdlib=libc++", tmp_path, EVERY_HEADER + USE + "#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN\n" + decimals
    )
    program = tmp_path / "decimals"
    subprocess.run(["clang++", "-stdlib=libc++", str(tmp_path / "unit.o"), "-o", str(program)], check=True)
    subprocess.run([str(program), "--minimal"], check=True)


MIXED = """
#include <cstdio>

#include "offnominal/demo.hpp"
#include "offnominal/expect.hpp"

using namespace offnominal;

double NAME() {
    const System system = demo_system();
    Conditions c;
    c.stage = "high";
    c.match = "indoor A";
    c.boundary = Boundary::coil;
    c.outdoor_dry_bulb.si = 33.0;
    c.entering_humidity = air::relative_humidity(0.5);
    c.airflow = AirflowReading::standard(Airflow{0.5});
    c.line_set = LineSet::reference();
    double out = 0.0;
    for (c.entering_dry_bulb.si = 24.0; c.entering_dry_bulb.si < 26.0; c.entering_dry_bulb.si += 0.1) {
        const Expected e = expect(system, Site::sea_level(), c);
        out += e.total_capacity.si + e.uncertainty.combined();
    }
    return out;
}
#ifdef IS_MAIN
double wide();
int main(int count, char**) { std::printf("%a", count > 1 ? wide() : plain()); }
#endif
"""


def test_a_program_for_two_instruction_sets(tmp_path):
    """Both tell the same bits; and where the plain objects come first to the linker, the plain part runs on a processor without the other's."""
    if "x86_64" not in subprocess.run(["g++", "-dumpmachine"], capture_output=True, text=True).stdout:
        pytest.skip("not an x86-64 machine")
    made = {}
    for name, flags in {"plain": "-O0 -DIS_MAIN", "wide": "-O1 -march=x86-64-v3"}.items():
        (tmp_path / name).mkdir()
        compile_it("g++", f"{flags} -DNAME={name}", tmp_path / name, MIXED)
        made[name] = tmp_path / name / "unit.o"
    runners = [[]] if "avx2" in pathlib.Path("/proc/cpuinfo").read_text().split() else []
    old = [[program, "-cpu", "Nehalem"] for program in ["qemu-x86_64-static"] if shutil.which(program)]
    told = set()
    for order in (["plain", "wide"], ["wide", "plain"]):
        program = tmp_path / order[0] / "program"
        subprocess.run(["g++", *(made[name] for name in order), "-o", program], check=True)
        for part in ([], ["wide"]):
            for runner in runners + (old if order[0] == "plain" and not part else []):
                told.add(subprocess.run([*runner, program, *part], check=True, capture_output=True, text=True).stdout)
    assert len(told) == 1 and float.fromhex(told.pop()) > 1e5
