"""Recipe for Conan 2, from a checkout: `conan create src/packaging/conan`.

Tried with Conan 2.34 where Boost, Eigen, yaml-cpp and nlohmann/json are those of the system (`[platform_requires]` of a profile: see
tests/consumers/test_packages.py). Not tried: the packages of those names that a Conan remote has.
"""

import re
from pathlib import Path

from conan import ConanFile
from conan.tools.build import check_min_cppstd
from conan.tools.cmake import CMake, CMakeDeps, CMakeToolchain, cmake_layout
from conan.tools.files import copy, load, rmdir


class Offnominal(ConanFile):
    name = "offnominal"
    description = "What a split air conditioner should deliver, what it does deliver, and the proof"
    license = "MIT"
    package_type = "library"
    settings = "os", "arch", "compiler", "build_type"
    # What is built besides the headers; an option of CMake each.
    options = {"core": [True, False], "files": [True, False], "c": [True, False], "shared": [True, False]}
    default_options = {"core": True, "files": True, "c": True, "shared": False, "boost/*:header_only": True}

    @property
    def checkout(self):
        return Path(self.recipe_folder).parents[2]

    def set_version(self):
        text = load(self, self.checkout / "include/offnominal/version.hpp")
        self.version = ".".join(re.findall(r"#define OFFNOMINAL_VERSION_(?:MAJOR|MINOR|PATCH) (\d+)", text))

    def export_sources(self):
        for pattern in ("CMakeLists.txt", "LICENSE", "include/*", "src/*"):
            copy(self, pattern, self.checkout, self.export_sources_folder, excludes=("src/web/*", "src/packaging/*"))

    def configure(self):
        if not self.options.core:  # the others stand on it
            del self.options.files, self.options.c, self.options.shared
            self.package_type = "header-library"

    def requirements(self):
        # Headers alone, inside our own sources: no consumer sees them.
        inside = dict(headers=True, libs=False, visible=False)
        if self.options.core:
            self.requires("boost/[>=1.74 <2]", **inside)
            self.requires("eigen/[>=3.4 <4]", **inside)
        if self.options.get_safe("files") or self.options.get_safe("c"):
            self.requires("nlohmann_json/[>=3.10 <4]", **inside)
        if self.options.get_safe("files"):
            self.requires("yaml-cpp/[>=0.7 <1]")

    def package_id(self):
        if not self.info.options.core:
            self.info.clear()

    def validate(self):
        check_min_cppstd(self, 20)

    def layout(self):
        cmake_layout(self)

    def generate(self):
        CMakeDeps(self).generate()
        toolchain = CMakeToolchain(self)
        toolchain.cache_variables["OFFNOMINAL_TESTS"] = False
        for name in ("core", "files", "c"):
            toolchain.cache_variables[f"OFFNOMINAL_{name.upper()}"] = bool(self.options.get_safe(name))
        toolchain.generate()

    def build(self):
        cmake = CMake(self)
        cmake.configure()
        cmake.build()

    def package(self):
        CMake(self).install()
        copy(self, "LICENSE", self.source_folder, Path(self.package_folder) / "licenses")
        rmdir(self, Path(self.package_folder) / "share")

    def package_info(self):
        # Targets are those of our own CMake package, components and offnominal_embed() with them.
        self.cpp_info.set_property("cmake_find_mode", "none")
        self.cpp_info.builddirs = ["lib/cmake/offnominal"]
