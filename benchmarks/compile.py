"""What including a header costs whoever compiles a file: processor seconds of an empty unit with it, beside a unit with the standard
headers alone that it brings.

    python benchmarks/compile.py [HEADER...]

The compiler is $CXX, or g++. Both units are compiled turn by turn, so that a slow minute meets both; the least of the runs is told, since
whatever disturbs one only adds to it.
"""

import os
import pathlib
import re
import resource
import subprocess
import sys
import tempfile

RUNS = 9
INCLUDE = pathlib.Path(__file__).resolve().parent.parent / "include"
COMPILER = os.environ.get("CXX", "g++")


def compiled(source, *options):
    """Processor seconds that it takes, and what the compiler writes as errors."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [COMPILER, "-std=c++20", "-O2", "-I", INCLUDE, *options, "-c", source], check=True, capture_output=True, text=True
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, done.stderr


def standard_headers(source):
    """The standard headers that our own include."""
    ours = re.findall(r"^\.+ (.*/offnominal/.*)$", compiled(source, "-H", "-o", os.devnull)[1], re.MULTILINE)
    text = "".join(pathlib.Path(header).read_text(encoding="utf-8") for header in ours)
    return sorted(set(re.findall(r"^#include (<\w+>)", text, re.MULTILINE)))


def main():
    """Print a row for each header."""
    print("| header | seconds | its standard headers alone | ratio |\n|---|---|---|---|")
    for header in sys.argv[1:] or ("units.hpp", "grid.hpp", "air.hpp", "expect.hpp", "offnominal.hpp"):
        with tempfile.TemporaryDirectory() as folder:
            whole, floor = (pathlib.Path(folder, name) for name in ("whole.cpp", "floor.cpp"))
            whole.write_text(f"#include <offnominal/{header}>\n", encoding="utf-8")
            floor.write_text("".join(f"#include {one}\n" for one in standard_headers(whole)), encoding="utf-8")
            runs = [[compiled(source, "-o", pathlib.Path(folder, "out.o"))[0] for source in (whole, floor)] for _ in range(RUNS)]
        seconds, least = (min(column) for column in zip(*runs, strict=True))
        print(f"| `{header}` | {seconds:.2f} | {least:.2f} | {seconds / least:.1f} |", flush=True)


if __name__ == "__main__":
    main()
