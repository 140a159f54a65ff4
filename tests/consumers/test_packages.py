"""The recipes in src/packaging: each is run as far as it goes here, and what it makes is used by a small program."""

import json
import os
import pathlib
import re
import shutil
import subprocess

import pytest

import offnominal as on

CHECKOUT = pathlib.Path(__file__).resolve().parents[2]
PACKAGING = CHECKOUT / "src/packaging"
CONSUMERS = CHECKOUT / "tests/consumers"
HAVE = os.environ | {"CMAKE_GENERATOR": "Ninja"}


def run(*command, **options):
    done = subprocess.run([str(part) for part in command], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, **options)
    assert done.returncode == 0, done.stdout[-5000:]
    return done.stdout


def need(*programs):
    for program in programs:
        if shutil.which(program) is None:
            pytest.skip(f"no {program}")


def test_version_is_the_header_s():
    """Where it has to be written again; the recipe for Conan reads the header."""
    changelog = (PACKAGING / "debian/changelog").read_text(encoding="utf-8")
    control = (PACKAGING / "debian/control").read_text(encoding="utf-8")
    assert re.match(r"offnominal \((.*?)\)", changelog)[1] == on.__version__
    assert json.loads((PACKAGING / "vcpkg/vcpkg.json").read_text(encoding="utf-8"))["version"] == on.__version__
    shared = "liboffnominal" + on.__version__.rpartition(".")[0]
    assert re.findall(r"^Package: (lib\w+[\d.]+)$", control, re.M) == [shared]
    assert (PACKAGING / f"debian/{shared}.install").exists()


@pytest.mark.parametrize("recipe", ["conan/conanfile.py", "vcpkg/portfile.cmake", "debian/rules"])
def test_options_are_those_of_the_build(recipe):
    known = set(re.findall(r"^option\((\w+)", (CHECKOUT / "CMakeLists.txt").read_text(encoding="utf-8"), re.M))
    text = (PACKAGING / recipe).read_text(encoding="utf-8")
    named = set(re.findall(r"(?:\b|-D)(OFFNOMINAL_[A-Z]+)\b", text)) - {"OFFNOMINAL_VERSION", "OFFNOMINAL_CMAKE"}
    assert "OFFNOMINAL_TESTS" in named and named <= known
    parts = {"OFFNOMINAL_CORE", "OFFNOMINAL_FILES", "OFFNOMINAL_C"}
    if recipe.startswith("vcpkg"):
        manifest = json.loads((PACKAGING / "vcpkg/vcpkg.json").read_text(encoding="utf-8"))
        assert parts <= named and set(manifest["features"]) == set(manifest["default-features"]) == {"core", "files", "c"}
    if recipe.startswith("conan"):
        assert '("core", "files", "c")' in text


@pytest.fixture(scope="module")
def debian(tmp_path_factory):
    """The source package, and what is in the binary ones, in folders of their names."""
    need("dpkg-buildpackage", "dh", "ninja")
    folder = tmp_path_factory.mktemp("debian")
    copy = folder / "offnominal"
    for name in ("include", "src"):
        shutil.copytree(CHECKOUT / name, copy / name)
    for name in ("CMakeLists.txt", "LICENSE"):
        shutil.copy(CHECKOUT / name, copy)
    shutil.copytree(PACKAGING / "debian", copy / "debian")
    run("dpkg-source", "-b", copy, cwd=folder)
    shutil.rmtree(copy)
    run("dpkg-source", "-x", f"offnominal_{on.__version__}.dsc", copy, cwd=folder)
    # With the options of the tests in place of Debian's, so that a compiler cache knows each object.
    options = {f"DEB_{name}FLAGS_SET": "" for name in ("C", "CXX", "CPP")} | {"OFFNOMINAL_CMAKE": "-DOFFNOMINAL_WARNINGS=ON"}
    options |= {"DEB_BUILD_OPTIONS": "noautodbgsym", "CCACHE_BASEDIR": str(copy)}
    if shutil.which("ccache"):  # debhelper gives the build a home of its own
        options["CCACHE_DIR"] = run("ccache", "--get-config", "cache_dir").strip()
    run("dpkg-buildpackage", "-b", "-us", "-uc", cwd=copy, env=HAVE | options)
    for package in folder.glob("*.deb"):
        run("dpkg", "-x", package, folder / package.name.partition("_")[0])
    return folder


def inside(folder):
    """Files and links, without the version's last number and the machine's name."""
    files = (path.relative_to(folder).as_posix() for path in folder.rglob("*") if not path.is_dir())
    return {re.sub(r"usr/lib/[\w-]+-[\w-]+/", "usr/lib/", name) for name in files}


@pytest.mark.compiles
def test_debian_packages_hold_what_they_say(debian):
    version, minor = on.__version__, on.__version__.rpartition(".")[0]
    shared, dev = debian / f"liboffnominal{minor}", debian / "liboffnominal-dev"
    libraries = {name for name in inside(shared) if "/lib/" in name}
    assert libraries == {f"usr/lib/liboffnominal_{name}.so.{number}" for name in ("c", "c_core") for number in (version, minor)}
    held = inside(dev)
    assert {f"usr/lib/liboffnominal_{name}.so" for name in ("c", "c_core")} <= held
    assert {f"usr/lib/liboffnominal_{name}.a" for name in ("core", "files", "c_static")} <= held
    headers = {f"usr/include/{path.relative_to(CHECKOUT / 'include').as_posix()}" for path in CHECKOUT.glob("include/**/*.*")}
    assert {name for name in held if name.startswith("usr/include/")} == headers
    assert {
        "usr/bin/offnominal_embed",
        "usr/lib/cmake/offnominal/offnominal-config.cmake",
        "usr/lib/pkgconfig/offnominal-c.pc",
    } <= held
    control = run("dpkg", "-f", next(debian.glob("liboffnominal0*.deb")))
    assert re.search(r"^Depends: .*libyaml-cpp", control, re.M) and "boost" not in control


@pytest.mark.compiles
@pytest.mark.parametrize("library", ["offnominal-c", "offnominal-c_core"])
def test_a_program_is_built_with_the_debian_packages(debian, library, tmp_path):
    """Unpacked in a folder, as a machine that has them installed."""
    need("cc", "pkg-config")
    root = tmp_path / "root"
    for package in debian.glob("*.deb"):
        run("dpkg", "-x", package, root)
    [descriptions] = root.glob("usr/lib/*/pkgconfig")
    environment = HAVE | {"PKG_CONFIG_PATH": str(descriptions), "LD_LIBRARY_PATH": str(descriptions.parent)}
    flags = run("pkg-config", "--cflags", "--libs", library, env=environment).split()
    assert any(str(root) in flag for flag in flags)
    source = tmp_path / "main.c"
    source.write_text(
        "#include <offnominal/offnominal.h>\nint main(void) { return offnominal_version() == OFFNOMINAL_VERSION ? 0 : 1; }\n"
    )
    run("cc", "-std=c11", source if library.endswith("core") else CONSUMERS / "c/main.c", *flags, "-o", tmp_path / "program")
    run(tmp_path / "program", env=environment)


PROFILE = """
[settings]
os=Linux
arch=x86_64
compiler=gcc
compiler.version=12
compiler.libcxx=libstdc++11
compiler.cppstd=20
build_type=Release
[conf]
tools.cmake.cmaketoolchain:generator=Ninja
tools.graph:skip_test=True
# No options of Conan's own for the compiler, and ours of the tests, so that a compiler cache knows each object.
tools.cmake.cmaketoolchain:enabled_blocks=["user_toolchain", "generic_system", "cppstd", "cmake_flags_init", "find_paths", "output_dirs", "variables", "extra_variables"]
tools.cmake.cmaketoolchain:extra_variables={"OFFNOMINAL_WARNINGS": "ON"}
[platform_requires]
boost/1.74.0
eigen/3.4.0
nlohmann_json/3.11.2
yaml-cpp/0.7.0
"""


@pytest.mark.compiles
@pytest.mark.parametrize("options", [{"core": False}, {}], ids=["headers", "all"])
def test_a_package_of_conan(options, tmp_path):
    """With the system's libraries in place of Conan's, without a network."""
    need("conan", "ninja")
    (tmp_path / "profile").write_text(PROFILE)
    environment = HAVE | {"CONAN_HOME": str(tmp_path / "home"), "CCACHE_BASEDIR": str(tmp_path)}
    given = [f"-o=offnominal/*:{name}={value}" for name, value in options.items()]
    profile = [f"-pr:{where}={tmp_path / 'profile'}" for where in ("h", "b")]
    told = run(
        "conan",
        "create",
        PACKAGING / "conan",
        *given,
        *profile,
        "-c",
        f"tools.cmake.cmake_layout:test_folder={tmp_path / 'test'}",
        "--no-remote",
        env=environment,
    )
    assert f"offnominal/{on.__version__} (test package): Running test()" in told


# What vcpkg has under these names, as far as the port needs it.
VCPKG = r"""
cmake_minimum_required(VERSION 3.25)
function(vcpkg_check_features)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" OUT_FEATURE_OPTIONS FEATURES)
    while(arg_FEATURES)
        list(POP_FRONT arg_FEATURES feature option)
        if(feature IN_LIST FEATURES)
            list(APPEND options -D${option}=ON)
        else()
            list(APPEND options -D${option}=OFF)
        endif()
    endwhile()
    set(${arg_OUT_FEATURE_OPTIONS} ${options} PARENT_SCOPE)
endfunction()
function(vcpkg_cmake_configure)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" SOURCE_PATH OPTIONS)
    execute_process(COMMAND ${CMAKE_COMMAND} -S ${arg_SOURCE_PATH} -B ${BUILD} ${arg_OPTIONS}
        -DCMAKE_INSTALL_PREFIX=${CURRENT_PACKAGES_DIR} -DCMAKE_INSTALL_LIBDIR=lib COMMAND_ERROR_IS_FATAL ANY)
endfunction()
function(vcpkg_cmake_install)
    execute_process(COMMAND ${CMAKE_COMMAND} --build ${BUILD} --target install COMMAND_ERROR_IS_FATAL ANY)
endfunction()
function(vcpkg_cmake_config_fixup)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" CONFIG_PATH "")
    file(COPY ${CURRENT_PACKAGES_DIR}/${arg_CONFIG_PATH} DESTINATION ${CURRENT_PACKAGES_DIR}/share)
    set(targets ${CURRENT_PACKAGES_DIR}/share/offnominal/offnominal-headers-targets.cmake)  # one folder less deep
    file(READ ${targets} text)
    set(up [[get_filename_component(_IMPORT_PREFIX "${_IMPORT_PREFIX}" PATH)]])
    string(REPLACE "${up}\n${up}\n${up}" "${up}\n${up}" text "${text}")
    file(WRITE ${targets} "${text}")
endfunction()
function(vcpkg_fixup_pkgconfig)
endfunction()
function(vcpkg_install_copyright)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" "" FILE_LIST)
    file(COPY ${arg_FILE_LIST} DESTINATION ${CURRENT_PACKAGES_DIR}/share/offnominal)
endfunction()
include(${PORT}/portfile.cmake)
"""


@pytest.mark.compiles
def test_a_port_of_vcpkg(tmp_path):
    """Its steps for the headers, without vcpkg."""
    need("ninja")
    (tmp_path / "vcpkg.cmake").write_text(VCPKG)
    # vcpkg includes a port's file from scripts of its own: the folder of the file is the port's.
    packages = tmp_path / "packages"
    given = {"PORT": PACKAGING / "vcpkg", "BUILD": tmp_path / "build", "CURRENT_PACKAGES_DIR": packages, "FEATURES": ""}
    run("cmake", *(f"-D{name}={value}" for name, value in given.items()), "-P", tmp_path / "vcpkg.cmake", env=HAVE)
    run(
        "cmake",
        "-S",
        CONSUMERS / "headers",
        "-B",
        tmp_path / "consumer",
        f"-DCMAKE_PREFIX_PATH={packages}",  # not offnominal_DIR, which an unsuitable version would empty
        env=HAVE,
    )
    assert (packages / "share/offnominal/LICENSE").exists() and (packages / "include/offnominal/offnominal.hpp").exists()
