"""The Python package as a package: version, exceptions, type stubs, docstrings."""

import copy
import importlib
import inspect
import os
import pickle
import pkgutil
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import offnominal
from offnominal import _core, _stubs

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = Path(offnominal.__file__).parent


def test_version_is_the_header_s():
    header = (CHECKOUT / "include/offnominal/version.hpp").read_text(encoding="utf-8")
    assert offnominal.__version__ == ".".join(re.findall(r"#define OFFNOMINAL_VERSION_\w+ (\d+)", header))


REFUSED = offnominal.Refused(
    "outdoor dry bulb 130 degF is outside 65..115 degF",
    why="outside",
    about="outdoor_dry_bulb",
    axis=0,
    value=54.4,
    lower=18.3,
    upper=46.1,
)
INPUT_ERROR = offnominal.InputError(
    "alder.yaml:3:9: unknown unit", file="alder.yaml", line=3, column=9, problem="unknown unit", text="tons", accepted="ton"
)


MISSING = offnominal.errors.MissingFile("birch.yaml: there is no such file", "birch.yaml")


@pytest.mark.parametrize("error", [REFUSED, INPUT_ERROR, MISSING], ids=lambda error: type(error).__name__)
@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda e: pickle.loads(pickle.dumps(e))])
def test_exceptions_travel_with_their_fields(error, again):
    other = again(error)
    assert type(other) is type(error) and str(other) == str(error) and vars(other) == vars(error)
    assert isinstance(other, offnominal.Error) and isinstance(other, ValueError)
    assert type(type(error).__new__(type(error))) is type(error)  # so Dask's workers restore it


@pytest.mark.parametrize("load", [offnominal.load, offnominal.Visit, offnominal.standard205.read])
def test_a_missing_file_is_python_s_own_error_too(load, tmp_path):
    path = str(tmp_path / "no-such.yaml")
    with pytest.raises(
        FileNotFoundError, match="no-such.yaml: there is no such file; accepted: the path of a readable file"
    ) as caught:
        load(path)
    assert isinstance(caught.value, offnominal.InputError)
    assert caught.value.filename == caught.value.file == path and caught.value.errno == 2
    with pytest.raises(offnominal.InputError) as caught:
        load(str(tmp_path))  # a folder
    assert not isinstance(caught.value, FileNotFoundError)


# pybind11's classes have a metaclass and an __init__ of its own; what of _core no caller meets has no stub. What is cached takes anything,
# to a type checker.
ALLOWED = r"""
offnominal\._core\.(?!(Expected|Delivered)\b).*
offnominal\._core\.(Expected|Delivered)(\.__init__)?
offnominal\._grid\.Grid
offnominal\._system\.System
offnominal\._solve\._fixed_names
offnominal\._system\._written
offnominal\._visit\.Visit
"""


def test_stubs_say_what_there_is(tmp_path):
    allowlist = tmp_path / "allowed"
    allowlist.write_text(ALLOWED)
    environment = {**os.environ, "MYPY_CACHE_DIR": str(tmp_path)}
    environment |= dict.fromkeys(("PYTHONPATH", "MYPYPATH"), str(PACKAGE.parent))
    command = [sys.executable, "-m", "mypy.stubtest", "offnominal", "--concise", "--allowlist", str(allowlist)]
    command += ["--mypy-config-file", str(CHECKOUT / "python/pyproject.toml")]
    result = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True)
    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize("file", [_stubs.PACKAGE, *_stubs.STUBS])
def test_stubs_tell_what_the_list_tells(file):
    """Mend them by: python -m offnominal._stubs python/offnominal"""
    text = (PACKAGE / file).read_text(encoding="utf-8")
    assert _stubs.updated(file, text) == text


def test_a_type_checker_knows_every_word_of_a_proof():
    assert {*offnominal.Proof._words} <= {*offnominal.Proof.__annotations__}


def public(namespace):
    """Name and object of everything public in a module or class of ours, and in what that holds."""
    for name, value in vars(namespace).items():
        if not name.startswith("_"):
            yield f"{namespace.__name__}.{name}", value
            if inspect.isclass(value):
                yield from public(value)


MODULES = [
    offnominal,
    *(
        importlib.import_module(f"offnominal.{module.name}")
        for module in pkgutil.iter_modules([str(PACKAGE)])
        if module.name not in ("__main__", "_core", "_cells", "_heading", "_long", "_numbers", "_pasted", "_sections", "_wording")
    ),
]
PUBLIC = {
    name: value
    for module in MODULES
    for name, value in public(module)
    if (inspect.isclass(value) or inspect.isfunction(value)) and value.__module__.startswith("offnominal")
}


@pytest.mark.parametrize("name", PUBLIC)
def test_everything_public_has_a_docstring(name):
    assert inspect.getdoc(PUBLIC[name])


def test_every_argument_and_every_attribute_is_told_of():
    """`help` names each argument of what is called, and each number or word that is told, at its own place or at its class's."""
    shown = {name: getattr(offnominal, name) for name in offnominal.__all__}
    for module in (offnominal.air, offnominal.airflow, offnominal.pictures, offnominal.second_capacity, offnominal.standard205):
        shown |= {f"{module.__name__}.{name}": getattr(module, name) for name in module.__all__}
    for name, value in list(shown.items()):
        if inspect.isclass(value):
            shown |= {f"{name}.{one}": of for one, of in inspect.getmembers(value, inspect.isfunction) if one[0] != "_"}
    silent = []
    for name, value in shown.items():
        words = set(re.findall(r"\w+", inspect.getdoc(value) or ""))
        if inspect.isfunction(value):
            silent += [f"{name}({one})" for one in inspect.signature(value).parameters if one not in words | {"self"}]
        elif inspect.isclass(value):
            kept = inspect.getmembers(value, lambda one: isinstance(one, property) and not one.__doc__)
            silent += [f"{name}.{one}" for one, _ in kept if one[0] != "_" and one not in words]
    assert len(shown) > 150 and silent == []


def test_no_docstring_shows_a_cpp_name():
    """pybind11 puts one into a signature whose type is registered too late."""
    assert [name for name, value in public(_core) if "::" in (getattr(value, "__doc__", None) or "")] == []


def test_only_what_people_use_is_shown():
    """Modules that nobody uses by name are private; what is shown is typed and listed."""
    shown = {module.name for module in pkgutil.iter_modules([str(PACKAGE)]) if not module.name.startswith("_")}
    assert shown == set(offnominal._MODULES) <= set(offnominal.__all__)
    assert sorted(offnominal.__all__) == offnominal.__all__ and all(hasattr(offnominal, name) for name in offnominal.__all__)
    assert (PACKAGE / "py.typed").exists()


def test_names_that_are_found_when_they_are_used_are_names_like_any():
    """In a fresh Python each, where nothing else has used them yet."""
    for code in (
        "import offnominal as on; assert set(on.__all__) <= set(dir(on)); on.pictures.verdict",
        "from offnominal import *; Year, survey, air.state, __version__",
        "import pydoc, offnominal; text = pydoc.plain(pydoc.render_doc(offnominal)); assert 'class Proof(' in text and 'prove_many(' in text",
        "import offnominal as on, pickle; assert pickle.loads(pickle.dumps(on.Survey)) is on.Survey and not hasattr(on, 'load_all')",
    ):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
    with pytest.raises(ImportError, match="cannot import name 'prov'"):
        from offnominal import prov  # type: ignore[attr-defined]


@pytest.mark.skipif(sys.platform != "linux" or shutil.which("readelf") is None, reason="looks at the module by readelf")
@pytest.mark.parametrize("module", [Path(_core.__file__), PACKAGE.parents[1] / "src/liboffnominal_c.so"], ids=["Python", "C"])
def test_what_is_loaded_is_hardened(module):
    """Tables of addresses are filled at loading and cannot be written afterwards; where files are read, stacks and copies are watched."""
    told = subprocess.run(["readelf", "-dlW", "--dyn-syms", module], check=True, capture_output=True, text=True).stdout
    assert "GNU_RELRO" in told and "BIND_NOW" in told and re.search(r"GNU_STACK .* RW +0x", told)
    assert "__stack_chk_fail@" in told and re.search(r" __\w+_chk@", told)


@pytest.mark.skipif(sys.platform != "linux" or shutil.which("nm") is None, reason="looks at the module by nm")
def test_the_module_exports_nothing_else():
    symbols = subprocess.run(["nm", "-D", "--defined-only", _core.__file__], check=True, capture_output=True, text=True).stdout
    assert [line.split()[-1] for line in symbols.splitlines()] == ["PyInit__core"]
