"""Every fenced block of README.md is true. What a block's language promises:

console
    Lines that start with ``$ `` are commands, run one after another in a folder that looks like the checkout (what they
    write does not reach it); the lines that follow are exactly what the command prints. A backslash continues a command.
    A command with nothing after it must succeed. Of ``bash python/demo.sh``, standard output is compared: its progress
    differs from run to run. ``bash tests/run.sh`` is not run, because it runs this.
cpp
    A whole program, compiled and linked as the first ``cmake`` block says.
c
    A whole program, compiled as C11 and linked to the installed shared library.
python
    A program that may use the names of the ``python`` blocks before it.
text
    What the ``cpp``, ``c`` or ``python`` block before it prints.
cmake
    How a project uses the library: builds the first ``cpp`` block, named as the executable's source.
yaml
    A whole file that the library reads; or, if the first line is ``# path``, an excerpt of that file.
(none)
    A picture; not looked into.

In expected output and excerpts a line ``...`` stands for any lines.
"""

import difflib
import functools
import os
import re
import subprocess
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.compiles

CHECKOUT = Path(__file__).resolve().parents[2]
README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
VENV = CHECKOUT / ".build/venv"
DEMO = "bash python/demo.sh"
# Those of browsers are tests/web's to run, and so are blocks of js.
NOT_RUN = {
    "bash tests/run.sh",
    "emcmake cmake -S src/web -B .build/web -DYAML_CPP_SOURCE=.build/sources/yaml-cpp",
    "cmake --build .build/web",
}


class Block:
    def __init__(self, match):
        self.language, self.body = match["language"], match["body"]
        self.line = README.count("\n", 0, match.start()) + 1

    def __repr__(self):
        return f"{self.language or 'picture'}, line {self.line}"


BLOCKS = [Block(m) for m in re.finditer(r"^```(?P<language>\S*)\n(?P<body>.*?)^```$", README, re.M | re.S)]


def of(language):
    blocks = [block for block in BLOCKS if block.language == language]
    return pytest.mark.parametrize("block", blocks, ids=repr)


def printed_after(block):
    """The expected output of a block: the text block right after it, if there is one."""
    following = BLOCKS[BLOCKS.index(block) + 1 :][:1]
    return following[0].body if following and following[0].language == "text" else None


def pattern(expected):
    lines = expected.rstrip("\n").split("\n")
    return "".join("(?:.*\n)*" if line == "..." else re.escape(line + "\n") for line in lines)


def check(expected, actual):
    if not re.fullmatch(pattern(expected), actual.rstrip("\n") + "\n"):
        difference = difflib.unified_diff(expected.splitlines(), actual.splitlines(), "README.md", "now", lineterm="")
        pytest.fail("\n".join(difference), pytrace=False)


def run(command, cwd, stderr=subprocess.STDOUT):
    """Runs as someone would after python/demo.sh, with the package that it installed."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment["PATH"] = f"{VENV / 'bin'}{os.pathsep}{environment['PATH']}"
    return subprocess.run(
        command, cwd=cwd, env=environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=stderr, text=True
    )


def succeed(command, cwd):
    result = run(command, cwd)
    assert result.returncode == 0, result.stdout
    return result.stdout


@pytest.fixture(scope="session")
def demo():
    """What the demo prints. Running it also builds and installs the Python package."""
    result = run(DEMO.split(), CHECKOUT, stderr=subprocess.PIPE)
    assert result.returncode == 0, result.stderr
    return result.stdout


@pytest.fixture
def scratch(tmp_path):
    """A folder that looks like the checkout."""
    for path in CHECKOUT.iterdir():
        if not path.name.startswith("."):
            (tmp_path / path.name).symlink_to(path)
    return tmp_path


@pytest.fixture(scope="session")
def prefix(tmp_path_factory):
    """Where the library is installed."""
    folder = tmp_path_factory.mktemp("prefix")
    succeed(["cmake", "--install", str(CHECKOUT / ".build/tests"), "--prefix", str(folder)], CHECKOUT)
    return folder


@pytest.fixture(scope="session")
def build(prefix, tmp_path_factory):
    """Builds a README program the README's way, once; gives its executable."""

    @functools.cache
    def built(cmake, program):
        ((executable, source),) = re.findall(r"add_executable\((\w+)\s+(\w+\.cpp)\)", cmake)
        folder = tmp_path_factory.mktemp("cpp") / "project"
        folder.mkdir()
        (folder / source).write_text(program)
        (folder / "offnominal").symlink_to(CHECKOUT)
        if "project(" not in cmake:
            cmake = "cmake_minimum_required(VERSION 3.25)\nproject(readme LANGUAGES CXX)\n" + cmake
        (folder / "CMakeLists.txt").write_text(cmake)
        succeed(["cmake", "-S", ".", "-B", "build", f"-DCMAKE_PREFIX_PATH={prefix}"], folder)
        succeed(["cmake", "--build", "build"], folder)
        return folder / "build" / executable

    return built


def first(language):
    return next(block.body for block in BLOCKS if block.language == language)


def test_every_block_is_of_a_known_kind():
    assert len(re.findall("```", README)) == 2 * len(BLOCKS)
    assert {block.language for block in BLOCKS} <= {"console", "cpp", "c", "python", "text", "cmake", "yaml", "js", ""}
    before = [BLOCKS[i - 1].language for i, block in enumerate(BLOCKS) if block.language == "text" and i > 0]
    assert set(before) <= {"cpp", "c", "python", "js"}, "a text block that is nobody's output"
    assert f"$ {DEMO}\n" in README and "$ bash tests/run.sh\n" in README


@of("console")
def test_console(block, scratch, demo):
    commands = re.split(r"^\$ ", block.body, flags=re.M)
    assert commands[0] == ""
    for entry in commands[1:]:
        command, expected = re.fullmatch(r"((?:[^\n]*\\\n)*[^\n]*\n)(.*)", entry, re.S).groups()
        command = command.rstrip("\n")
        if command in NOT_RUN:
            continue
        if not expected.strip():
            demo if command == DEMO else succeed(["bash", "-c", command], scratch)
        else:
            check(expected, demo if command == DEMO else run(["bash", "-c", command], scratch).stdout)


@pytest.fixture(scope="module")
def wheel(demo, tmp_path_factory):
    """The package as it is published, by what the demo has compiled: with what it needs inside, for every Linux of that age."""
    folder = tmp_path_factory.mktemp("wheel")
    build_dir = f"--config-settings=build-dir={CHECKOUT / '.build/wheel'}"
    succeed(["pip", "wheel", "--no-build-isolation", "--no-deps", build_dir, "-w", folder, CHECKOUT / "python"], CHECKOUT)
    (made,) = folder.glob("*.whl")
    assert "manylinux" in succeed(["auditwheel", "repair", "-w", folder / "repaired", made], CHECKOUT)
    (repaired,) = (folder / "repaired").glob("*.whl")
    return repaired


def test_wheel_is_of_a_published_kind_and_holds_what_a_user_needs(wheel):
    assert re.fullmatch(r"offnominal-[\d.]+-cp3\d+-cp3\d+-manylinux_2_\d+_(x86_64|aarch64)\.whl", wheel.name), wheel.name
    assert wheel.stat().st_size <= 3e6  # DEVELOPERS.md states what it was
    inside = set(zipfile.ZipFile(wheel).namelist())
    assert {"offnominal/py.typed", "offnominal/_core.pyi", "offnominal/__init__.pyi", "offnominal/demo/alder.yaml"} <= inside
    assert any(name.startswith("offnominal.libs/libyaml-cpp") for name in inside)
    assert any(name.endswith("licenses/LICENSE") for name in inside)


def test_oldest_numpy_gives_the_same_digits(wheel, scratch, demo):
    """A record made with the NumPy of the tests is recomputed with the oldest that is allowed, and the demo told again."""
    succeed(["pip", "install", "--no-deps", "--target", scratch / "old", wheel, "numpy==1.23.5"], scratch)
    record = ["prove", "tables/demo/library-visit.yaml", "--units", "IP", "--record", "record.html"]
    run(["offnominal", *record], scratch)
    old = [VENV / "bin/python", "-c", f"import sys; sys.path.insert(0, {str(scratch / 'old')!r}); import numpy; "
           "assert numpy.__version__ == '1.23.5'; from offnominal.__main__ import main; sys.exit(main(sys.argv[1:]))"]  # fmt: skip
    assert "the same digits" in succeed([*old, "recompute", "record.json"], scratch)
    assert run([*old, "demo"], scratch).stdout == demo


@of("cpp")
def test_cpp(block, scratch, build):
    program = build(first("cmake"), block.body)
    output = succeed([program], scratch)
    check(printed_after(block) or "", output)


@of("c")
def test_c(block, scratch, prefix, tmp_path_factory):
    folder = tmp_path_factory.mktemp("c")
    (folder / "program.c").write_text(block.body)
    (library,) = prefix.rglob("liboffnominal_c.so")
    flags = ["-std=c11", "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", f"-I{prefix / 'include'}"]
    link = [f"-L{library.parent}", f"-Wl,-rpath,{library.parent}", "-loffnominal_c"]
    succeed(["cc", *flags, "program.c", "-o", "program", *link], folder)
    check(printed_after(block) or "", succeed([folder / "program"], scratch))


@of("cmake")
def test_cmake(block, build):
    build(block.body, first("cpp"))


QUIETLY = "import contextlib, io\nwith contextlib.redirect_stdout(io.StringIO()):\n    exec({!r})\n"


@of("python")
def test_python(block, scratch, demo):
    before = "".join(other.body for other in BLOCKS[: BLOCKS.index(block)] if other.language == "python")
    program = QUIETLY.format(before) + block.body
    check(printed_after(block) or "", succeed(["python", "-c", program], scratch))


@of("yaml")
def test_yaml(block, scratch, demo):
    excerpt = re.match(r"# (\S+\.yaml)\n", block.body)
    path = scratch / (excerpt[1] if excerpt else "block.yaml")
    if excerpt:
        assert re.search(pattern(block.body[excerpt.end() :]), path.read_text(encoding="utf-8"))
    else:
        path.write_text(block.body)
    read = "_core.load_visit" if "offnominal: visit/" in path.read_text(encoding="utf-8") else "load"
    succeed(["python", "-c", f"import offnominal; offnominal.{read}({str(path)!r})"], scratch)
