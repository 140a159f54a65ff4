"""The C interface as its two headers declare it, for ctypes. `python tests/support/c_interface.py` prints its layout, tests/c/abi.txt."""

import ctypes
import re
from pathlib import Path

INCLUDE = Path(__file__).resolve().parents[2] / "include/offnominal"
_PLAIN = {
    "size_t": ctypes.c_size_t,
    "uint8_t": ctypes.c_uint8,
    "int16_t": ctypes.c_int16,
    "int32_t": ctypes.c_int32,
    "uint64_t": ctypes.c_uint64,
    "double": ctypes.c_double,
    "char": ctypes.c_char,
}


def _text(name):
    """A header without comments and preprocessor lines."""
    text = re.sub(r"/\*.*?\*/", "", (INCLUDE / name).read_text(encoding="utf-8"), flags=re.S)
    return re.sub(r"^#.*$", "", text, flags=re.M)


_TEXT = _text("quantities.h") + _text("offnominal.h")
_FUNCTION = r"OFFNOMINAL_API [\w\s]*?\**\s*(offnominal_\w+)\("
FUNCTIONS = re.findall(_FUNCTION, _TEXT)
# Those that offnominal::c_core leaves out.
_WITH_FILES = re.findall(r"#ifndef OFFNOMINAL_C_CORE(.*?)#endif", (INCLUDE / "offnominal.h").read_text(encoding="utf-8"), re.S)
CORE_FUNCTIONS = sorted(set(FUNCTIONS) - set(re.findall(_FUNCTION, "".join(_WITH_FILES))))
ENUMERATORS = {}
ENUMERATIONS = {}
for _name, _body in re.findall(r"enum (offnominal_\w+) \{(.*?)\}", _TEXT, re.S):
    ENUMERATIONS[_name], _next = {}, 0
    for _word, _number in re.findall(r"(OFFNOMINAL_\w+)(?: = (\d+))?", _body):
        _next = int(_number or _next)
        ENUMERATIONS[_name][_word] = ENUMERATORS[_word] = _next
        _next += 1

STRUCTS = {}


def _member(declaration):
    """The members of one declaration: (name, type)."""
    const, name, rest = re.fullmatch(r"(const )?(\w+)(.*)", declaration.strip(), re.S).groups()
    for one in rest.split(","):
        stars, member, count = re.fullmatch(r"\s*(\**)\s*(\w+)(?:\[(\d+)\])?", one).groups()
        kind = STRUCTS.get(name) or _PLAIN[name]
        if stars:
            kind = ctypes.c_char_p if kind is ctypes.c_char else ctypes.POINTER(kind)
        yield member, kind * int(count) if count else kind


for _name, _body in re.findall(r"typedef struct (offnominal_\w+) \{(.*?)\}", _TEXT, re.S):
    _fields = [field for line in _body.split(";") if line.strip() for field in _member(line)]
    STRUCTS[_name] = type(_name, (ctypes.Structure,), {"_fields_": _fields})


def sized(name, **values):
    """A struct that knows its size."""
    return STRUCTS["offnominal_" + name](struct_size=ctypes.sizeof(STRUCTS["offnominal_" + name]), **values)


def layout():
    """What a program was compiled with, line by line: the version, functions, structs with the place of each member, enumerators."""
    version = re.findall(r"VERSION_(?:MAJOR|MINOR) (\d+)", (INCLUDE / "version.hpp").read_text(encoding="utf-8"))
    yield f"version {'.'.join(version)}"
    for name in sorted(FUNCTIONS):
        yield f"function {name}"
    for name, struct in STRUCTS.items():
        yield f"struct {name}, {ctypes.sizeof(struct)} bytes"
        for member, _ in struct._fields_:
            yield f"  {getattr(struct, member).offset} {member}"
    for name, words in ENUMERATIONS.items():
        yield f"enum {name}"
        for word, number in words.items():
            yield f"  {number} {word}"


def _rust_type(kind):
    if kind is ctypes.c_char_p:
        return "*const std::os::raw::c_char"
    if issubclass(kind, ctypes.Array):
        return f"[{_rust_type(kind._type_)}; {kind._length_}]"
    if issubclass(kind, ctypes._Pointer):
        return f"*mut {_rust_type(kind._type_)}"
    if issubclass(kind, ctypes.Structure):
        return kind.__name__
    if kind is ctypes.c_char:
        return "std::os::raw::c_char"
    if kind is ctypes.c_double:
        return "f64"
    sign = "u" if kind(-1).value > 0 else "i"
    return "usize" if kind is ctypes.c_size_t else f"{sign}{8 * ctypes.sizeof(kind)}"


def rust(functions):
    """Declarations for Rust: every struct and enumerator, and some functions, by name with their arguments in Rust."""
    yield "#[allow(non_camel_case_types)] #[repr(C)] pub struct offnominal_system { _opaque: [u8; 0] }"
    for name, struct in STRUCTS.items():
        members = ", ".join(f"pub r#{member}: {_rust_type(kind)}" for member, kind in struct._fields_)
        yield f"#[allow(non_camel_case_types, dead_code)] #[repr(C)] pub struct {name} {{ {members} }}"
    for word, number in ENUMERATORS.items():
        yield f"#[allow(dead_code)] pub const {word}: i32 = {number};"
    yield '#[link(name = "offnominal_c")] extern "C" {'
    for name, arguments in functions.items():
        yield f"    pub fn {name}{arguments};"
    yield "}"


if __name__ == "__main__":
    print(*layout(), sep="\n")
