"""Compilers, libraries and flags that are not ours: what of ours they take, and without a warning."""

import pathlib
import re
import shutil
import subprocess

import pytest

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
