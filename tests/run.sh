#!/usr/bin/env bash
# bash tests/run.sh         installs what is missing, builds, and runs every test, the fastest signal first: formatting and types;
#                           the C++ and Python tests; each header on its own; the C++ tests compiled by clang++, and by g++ with
#                           the address, undefined-behaviour and thread sanitizers; consumer projects, and every block of the README.
# bash tests/run.sh quick   for daily work: the first part, with g++, without the tests that run a compiler themselves.
#                           Where the tree is built, it compiles what has changed and takes a minute more.
set -euo pipefail

# The thread sanitizer of g++ 12 fails where the kernel spreads addresses widely: run without that, where allowed.
if [[ ! -v OFFNOMINAL_FIXED_ADDRESSES ]] && setarch -R true 2>/dev/null; then
    OFFNOMINAL_FIXED_ADDRESSES=1 exec setarch -R bash "$0" "$@"
fi
source "$(dirname "$0")/../python/setup.sh"
[[ $# == 0 || $* == quick ]] || fail "accepted: nothing, or quick"

need_build doctest-dev clang libbenchmark-dev
need_python pytest pytest-xdist hypothesis scipy psychrolib CoolProp pint pandas xarray polars pyarrow jinja2 matplotlib openpyxl uncertainties mypy pyyaml cbor2 \
    clang-format==14.0.6 ruff==0.17.6

# configure NAME OPTION...: a build tree .build/NAME;  build NAME [OPTION...]: builds it
configure() {
    say "building .build/$1"
    cmake -S . -B ".build/$1" --log-level=WARNING "${@:2}"
}
build() { cmake --build ".build/$1" -j "$(nproc)" "${@:2}"; }
run_ctest() { ctest --test-dir ".build/$1" -j "$(nproc)" --output-on-failure "${@:2}"; }
# A file of tests on each processor: what a file prepares (a wheel, a compiled program) is made once. The path is absolute, for tests
# that work in a folder of their own: those of the README install the package meanwhile.
run_pytest() { PYTHONPATH=$PWD/.build/tests/python python -m pytest tests -n "$(nproc)" --dist loadfile "$@"; }
# sanitize NAME WHAT LEVEL [OPTION...]: at the level that costs least with the tests it is for. Warnings are judged without, which
# brings none that are false.
sanitize() {
    configure "$1" --compile-no-warning-as-error -DCMAKE_BUILD_TYPE=Debug -DCMAKE_UNITY_BUILD=ON \
        -DCMAKE_CXX_FLAGS_DEBUG="$3 -g1 -fsanitize=$2 -fno-sanitize-recover=all"
    build "$1" "${@:4}"
}

say "looking at formatting and types"
# Compared here: clang-format 14 asked for a dry run also reports what it would not change.
loose=$(git ls-files '*.hpp' '*.ipp' '*.cpp' | while read -r file; do clang-format "$file" | cmp -s - "$file" || echo "$file"; done)
[[ -z $loose ]] || fail "not as clang-format -i would have it:" $loose
ruff format --config python/pyproject.toml --check --diff python tests benchmarks || fail "not as ruff format would have it"
mypy --config-file python/pyproject.toml

configure tests -DOFFNOMINAL_PYTHON=ON -DPython_EXECUTABLE="$venv/bin/python" -DOFFNOMINAL_BENCHMARKS=ON
build tests --target tests/all python/all
run_ctest tests -LE consumer
run_pytest -m "not compiles"
[[ $* != quick ]] || exit 0

build tests
configure clang -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_CXX_FLAGS_RELEASE="-O1 -DNDEBUG" -DCMAKE_UNITY_BUILD=ON
build clang
build clang --target all_verify_interface_header_sets
run_ctest clang -LE consumer
sanitize address address,undefined -O1
run_ctest address -LE consumer
sanitize thread thread -O0 --target test_grid test_expect  # the floors that start threads
run_ctest thread --no-tests=error -R '^(grid|expect):'

run_ctest tests -L consumer
run_pytest -m compiles
