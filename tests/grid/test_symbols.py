"""What a consumer's translation unit leaves for the linker to merge.

The library is headers. A program may be linked from translation units compiled for several instruction sets, and of a weak symbol
(an inline function, a template) the linker keeps one copy for all of them. So one that computes, or calls what does, must stand in
the inline namespace of its instruction set; whatever else is weak may do no floating-point arithmetic.
"""

import pathlib
import re
import shutil
import subprocess

import pytest

pytestmark = pytest.mark.compiles

INCLUDE = pathlib.Path(__file__).parents[2] / "include"
CONTRACT = "offnominal/detail/contract.hpp"
EVERY_HEADER = "".join(f'#include "{header.relative_to(INCLUDE)}"\n' for header in sorted(INCLUDE.rglob("*.hpp")))
USE = """
using namespace offnominal;
double use(const System& system, const Visit& visit, const Conditions& conditions,
           const ExpectBatch& batch, const ExpectColumns& columns, Temperature t, Power p, const UnitOf<Dimension::power>& unit) {
    double out = in(t + (t - t), units::degF) + in(p + p - p * 2.0, unit) + p / p + in(-p, unit);
    out += in(from(out, unit), units::W);
    if (const auto e = try_expect(system, visit.site, conditions)) out += e->uncertainty.combined();
    expect_rows(system, batch, 0, 100, columns);
    out += deliver(visit.readings, visit.site).total_capacity.si;
    out += static_cast<double>(report(system, visit, prove(system, visit), UnitSystem::both).size());
    for (const Stage& stage : system.parts().cooling) out += static_cast<double>(report(audit(stage.table)).size());
    return out;
}
"""
LABEL = re.compile(r"(_\w+)[\w.]*:")  # whatever a compiler splits off a function belongs to it
ARITHMETIC = re.compile(r"\tv?((?:add|sub|mul|div|sqrt|hadd|hsub|addsub)[sp][sd]|fn?m(?:add|sub)\w+)\s")
OF_AN_INSTRUCTION_SET = re.compile(r"_Z\w*\d+isa_\w+")


def compiled(compiler, flags, folder, source):
    """The assembly of a translation unit."""
    if shutil.which(compiler) is None:
        pytest.skip(f"no {compiler}")
    if subprocess.run([compiler, "-dumpmachine"], capture_output=True, text=True).stdout.split("-")[0] != "x86_64":
        pytest.skip("not an x86-64 machine")
    unit = folder / "unit.cpp"
    unit.write_text(source)
    command = [compiler, "-std=c++20", *flags, f"-I{folder}", f"-I{INCLUDE}", "-S", str(unit), "-o", "-"]
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout


def traps(assembly, always_inlined=()):
    """Weak functions outside the namespaces: what they compute, and whom they call inside."""
    weak = set(re.findall(r"^\t\.weak\t(\w+)", assembly, re.MULTILINE)) - set(always_inlined)
    outside = {symbol for symbol in weak if not OF_AN_INSTRUCTION_SET.match(symbol)}
    assert len(outside) > 20 and len(weak) > len(outside) + 20  # both kinds are there
    found = {}
    inside = None
    for line in assembly.splitlines():
        if label := LABEL.match(line):
            inside = label[1]
        elif line.startswith("\t.size\t"):
            inside = None
        elif inside in outside and not line.startswith("\t."):
            found.setdefault(inside, set()).update(ARITHMETIC.findall(line), OF_AN_INSTRUCTION_SET.findall(line))
    return {symbol: what for symbol, what in found.items() if what}


@pytest.mark.parametrize("flags", ["-O0", "-O0 -mavx2 -mfma"])
def test_every_inline_function_that_computes_stands_in_the_namespace_of_its_instruction_set(flags, tmp_path):
    # Emitted though nothing calls them: also functions that are always inlined, which never are else. They are marked.
    marked = tmp_path / CONTRACT
    marked.parent.mkdir(parents=True)
    before = (INCLUDE / CONTRACT).read_text()
    marked.write_text(before.replace("[[gnu::always_inline]]", '[[gnu::always_inline, gnu::visibility("hidden")]]'))
    assert marked.read_text() != before
    assembly = compiled("g++", [*flags.split(), "-fkeep-inline-functions"], tmp_path, EVERY_HEADER + USE)
    always_inlined = re.findall(r"^\t\.hidden\t(\w+)", assembly, re.MULTILINE)
    found = traps(assembly, always_inlined)
    assert {symbol: what for symbol, what in found.items() if "10offnominal" in symbol} == {}  # else the standard library's


@pytest.mark.parametrize("compiler, flags", [("g++", "-O2 -mavx2 -mfma"), ("clang++", "-O0 -mavx2 -mfma")])
def test_what_a_consumer_leaves_behind_outside_the_namespaces_does_not_compute(compiler, flags, tmp_path):
    assembly = compiled(compiler, flags.split(), tmp_path, EVERY_HEADER + USE)
    assert traps(assembly) == {}


@pytest.mark.parametrize("compiler", ["g++", "clang++"])
def test_each_instruction_set_has_a_namespace_of_its_own(compiler, tmp_path):
    source = f'#include "{CONTRACT}"\ninline namespace OFFNOMINAL_ISA {{ int here; }}\n'
    names = {
        "-march=x86-64": "isa_baseline",
        "-march=x86-64-v2": "isa_sse4_2",
        "-mavx": "isa_avx",
        "-mavx2": "isa_avx2",
        "-mavx2 -mfma": "isa_avx2_fma",
        "-mavx2 -mbmi2": "isa_avx2_bmi2",
        "-march=x86-64-v3": "isa_avx2_fma_bmi2",
        "-mavx512f -mfma": "isa_avx512f_fma",
        "-march=x86-64-v4": "isa_avx512vl_fma_bmi2",
    }
    found = {
        flags: re.findall(r"^_ZN\d+(\w+)4hereE:", compiled(compiler, flags.split(), tmp_path, source), re.MULTILINE)
        for flags in names
    }
    assert found == {flags: [name] for flags, name in names.items()}
