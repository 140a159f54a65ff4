"""No global state, and no lock where a look-up runs: what the compiled libraries can write to, and where they may wait, is listed here with its
reason. A symbol that is not listed is a mistake, or belongs here."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

import offnominal as on

TREE = Path(on.__file__).parents[2] / "src"  # of the build tree that the package is in
ARCHIVES = [TREE / "liboffnominal_core.a", TREE / "liboffnominal_files.a"]
LIBRARIES = [*ARCHIVES, TREE / "liboffnominal_c.so"]  # the last with all of the C interface in it
OURS = {
    "offnominal::available_kernels()::count": "what this processor can run, found out once",
    "offnominal::detail::(anonymous namespace)::normal_scores()::scores": "the quantiles that draws are made of, computed once",
    "offnominal::files::MapLayout::values(": "an empty column to refer to",
    "offnominal::files::(anonymous namespace)::SystemWriter::said(": "an empty text to refer to",
    "offnominal::heating_page_axes": "a constant: g++ 12 puts an array whose type is deduced among what may be written",
}
THEIRS = {
    r"std::__ioinit": "the standard streams, opened before anything else",
    r"boost::math::.*(::function|::initializer)": "names of functions for messages; tables filled before main",
    r"Eigen::internal::manage_caching_sizes": "sizes of the processor's caches, found out once",
    r"DW\.ref\.|typeinfo|__dso_handle|__TMC_END__|completed\.\d+|__cpu_": "of the compiler",
}
# Objects that may wait for another thread.
WAITS = {
    "choose.cpp.o": "what is found out once, on the first call",
    "distribution.cpp.o": "the table of draws, on the first call",
    "proof.cpp.o": "Eigen's sizes of caches, on the first call",
    "standard205.cpp.o": "an empty column, on the first call",
    "write.cpp.o": "an empty text, on the first call",
}
LOCK = re.compile(r"guard_acquire|mutex|rwlock|pthread_cond|condition_variable|call_once|pthread_once|sem_wait|futex|spin_lock")

pytestmark = pytest.mark.skipif(shutil.which("objdump") is None, reason="no objdump")


def told_by(*command):
    return subprocess.run(list(map(str, command)), check=True, capture_output=True, text=True).stdout.splitlines()


def writable(library):
    """The names of what stands in a section that stays writable."""
    for line in told_by("objdump", "--syms", "--demangle", library):
        symbol = re.match(r"[0-9a-f]+ (.{7}) (\.t?(?:data|bss)\S*)\s+[0-9a-f]+\s+(?:\.hidden )?(.*)", line)
        if symbol and symbol[1][-1] == "O" and not symbol[2].startswith(".data.rel.ro"):
            yield symbol[3].removeprefix("guard variable for ")


@pytest.mark.parametrize("library", LIBRARIES, ids=lambda path: path.name)
def test_nothing_else_can_be_written(library):
    theirs = re.compile("|".join(THEIRS))
    found = {name for name in writable(library) if not name.startswith(tuple(OURS)) and not theirs.match(name)}
    assert found == set()


@pytest.mark.parametrize("library", ARCHIVES, ids=lambda path: path.name)
def test_nothing_else_waits(library):
    waiting = {line.split(":")[-2] for line in told_by("nm", "-A", "-u", library) if LOCK.search(line)}
    assert waiting <= set(WAITS)


def test_a_look_up_waits_for_nobody():
    """The C interface's own object has every look-up of the headers in it: single ones and batches."""
    (object_file,) = TREE.glob("CMakeFiles/offnominal_c*/**/offnominal_c_core_objects.cpp.o")
    undefined = told_by("nm", "-u", object_file)
    assert any("load_system" in line or "system_from_bytes" in line for line in undefined)  # it is that object
    assert [line for line in undefined if LOCK.search(line)] == []


@pytest.mark.compiles
def test_the_tests_can_see(tmp_path):
    """A counter and a lock of ours would be found."""
    if shutil.which("g++") is None:
        pytest.skip("no g++")
    source, made = tmp_path / "state.cpp", tmp_path / "state.o"
    source.write_text(
        "#include <mutex>\nnamespace offnominal { std::mutex m; int asked = 0;\n"
        "const int table[] = {1, 2};\n"
        "int next() { const std::lock_guard l(m); return asked += table[asked % 2]; } }\n"
    )
    subprocess.run(["g++", "-std=c++20", "-O2", "-fPIC", "-c", source, "-o", made], check=True)
    assert sorted(writable(made)) == ["offnominal::asked", "offnominal::m"]
    assert any(LOCK.search(line) for line in told_by("nm", "-u", made))
