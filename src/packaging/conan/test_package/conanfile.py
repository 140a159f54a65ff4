"""Builds consumers of the package, the same as of an install tree, and runs them."""

from pathlib import Path

from conan import ConanFile
from conan.tools.build import can_run
from conan.tools.cmake import CMake, cmake_layout


class Consumer(ConanFile):
    settings = "os", "arch", "compiler", "build_type"
    generators = "CMakeDeps", "CMakeToolchain"

    def requirements(self):
        self.requires(self.tested_reference_str)

    def layout(self):
        cmake_layout(self)

    @property
    def consumer(self):
        return "c" if self.dependencies["offnominal"].options.get_safe("c") else "headers"

    def build(self):
        cmake = CMake(self)
        cmake.configure(build_script_folder=str(Path(self.recipe_folder).parents[3] / "tests/consumers" / self.consumer))
        cmake.build()

    def test(self):
        if can_run(self):
            self.run(str(Path(self.build_folder) / "consumer"), env="conanrun")
