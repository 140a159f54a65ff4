"""The house rules that a machine can check."""

import re
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
INCLUDE = CHECKOUT / "include/offnominal"
TOP = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "include", "src", "python", "tests", "tables", "benchmarks"}

# From the ground up: a header includes none of a floor above its own.
FLOORS = [
    "detail",
    "version",
    "words",
    "units",
    "measured",
    "kind",
    "column",
    "reason",
    "errors",
    "explain",
    "answer",
    "air",
    "grid",
    "ratings",
    "derates",
    "audit",
    "airflow",
    "site",
    "conditions",
    "system",
    "demo",
    "envelope",
    "expected",
    "look_up",
    "expect",
    "missing",
    "field",
    "proof",
    "report",
    "choose",
    "card",
    "solve",
    "embedded",
    "limits",
    "collate",
    "files",
    "standard205",
    "offnominal",
]

HEADERS = sorted(path.relative_to(INCLUDE) for path in INCLUDE.rglob("*.?pp"))
SUFFIXES = {".hpp", ".ipp", ".cpp", ".h", ".c", ".py", ".pyi", ".sh", ".md", ".txt", ".cmake", ".toml", ".yaml"}
TEXTS = sorted(
    path
    for name in TOP
    for path in [CHECKOUT / name, *(CHECKOUT / name).rglob("*")]
    if path.suffix in SUFFIXES and path.is_file()
)


def floor(header):
    return FLOORS.index(re.split(r"[/.]", str(header))[0])


def included(header):
    return re.findall(r'^#include ["<]([^">]+)[">]', (INCLUDE / header).read_text(encoding="utf-8"), re.M)


def test_top_level():
    assert {path.name for path in CHECKOUT.iterdir() if not path.name.startswith(".")} == TOP


@pytest.mark.parametrize("header", HEADERS, ids=str)
def test_header(header):
    """Says what it is for, and needs no library but the standard one and what stands below it."""
    text = (INCLUDE / header).read_text(encoding="utf-8")
    assert re.search("^/// @file\n/// [A-Z]", text, re.M)
    assert not re.search(r"^using namespace", text, re.M)
    for name in included(header):
        if name.startswith("offnominal/"):
            assert floor(name.removeprefix("offnominal/")) <= floor(header), f"includes {name}, which stands above it"
        else:
            assert re.fullmatch("[a-z_]+", name), f"includes {name}, which is not C++'s own"


@pytest.mark.parametrize("folder", ["include", "src"])
def test_the_library_prints_nothing(folder):
    printing = r"#include <(iostream|print)>|\bstd::(cout|cerr|clog)\b|\bprintf\("
    assert [
        path for path in TEXTS if path.is_relative_to(CHECKOUT / folder) and re.search(printing, path.read_text(encoding="utf-8"))
    ] == []


def test_each_floor_has_its_tests():
    floors = {path.name for path in [*INCLUDE.iterdir(), *(CHECKOUT / "src").iterdir()] if path.is_dir()}
    of_files = {"text", "read", "write", "collate", "standard205", "embed"}  # tests/files
    assert floors - of_files - {"cmake", "detail", "kernels", "packaging", "report"} <= {
        path.name for path in (CHECKOUT / "tests").iterdir()
    }


def reached_from(header):
    """The library's headers that one brings in, itself too."""
    reached, todo = set(), [str(header)]
    while todo:
        name = todo.pop()
        if name not in reached:
            reached.add(name)
            todo += [other.removeprefix("offnominal/") for other in included(name) if other.startswith("offnominal/")]
    return reached


def test_umbrella_has_every_header_or_names_it():
    """What the umbrella does not reach, it names."""
    umbrella = (INCLUDE / "offnominal.hpp").read_text(encoding="utf-8")
    left_out = {str(header) for header in HEADERS} - reached_from("offnominal.hpp")
    assert [name for name in left_out if f"`{name}`" not in umbrella] == []


def test_no_header_that_computes_can_be_compiled_with_fast_math():
    """`detail/contract.hpp` stops the compiler (tests/air/test_bits.py); these have no arithmetic to protect."""
    without = {str(header) for header in HEADERS if "detail/contract.hpp" not in reached_from(header)}
    assert without == {"detail/short_list.hpp", "detail/text.hpp", "grid/data.hpp", "limits.hpp", "version.hpp", "words.hpp"}


def test_sources_ask_no_standard_library_for_what_some_lack():
    """libc++ before 15 has no std::ranges (src/ranges.hpp has what we use), before 14 no std::bit_cast."""
    for path in [*(CHECKOUT / "include").rglob("*.?pp"), *(CHECKOUT / "src").rglob("*.?pp")]:
        code = re.sub("//.*", "", path.read_text(encoding="utf-8"))
        assert not re.search(r"std::(ranges::|views::|bit_cast|jthread|format\b)", code), path


def test_headers_ask_no_library_for_mathematics():
    """Its last bit would be the library's own, and <cmath> takes long to compile: what has one right answer is in
    detail/real.hpp, the rest in air/elementary.hpp and `root_of_squares`."""
    for path in (CHECKOUT / "include").rglob("*.?pp"):
        code = re.sub("//.*", "", path.read_text(encoding="utf-8"))
        assert path.name == "real.hpp" or not re.search(r"<(cmath|math\.h)>", code), path


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: str(path.relative_to(CHECKOUT)))
def test_text(path):
    """Nothing is left to do, and nothing points into one person's machine."""
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\b(TO" r"DO|FIX" r"ME|XX" r"X)\b", text)
    assert not re.search(r"(?<![\w.])/(home|root|tmp|Users)/", text)


def test_tolerances_say_whether_they_are_relative_or_absolute():
    """doctest's own allows epsilon x (1 + |value|): at small values a check that cannot fail. See tests/support/near.hpp."""
    assert [
        path for path in TEXTS if path.suffix in {".cpp", ".hpp"} and re.search(r"\bApprox\b", path.read_text(encoding="utf-8"))
    ] == []


@pytest.mark.parametrize("path", sorted((CHECKOUT / "tests").rglob("*.cpp")), ids=lambda path: path.name)
def test_no_semicolon_in_the_name_of_a_test(path):
    """The discovery of tests splits names there, and each half matches nothing."""
    assert re.findall(r'TEST_CASE\([^)]*;[^)]*"\)', path.read_text(encoding="utf-8")) == []
