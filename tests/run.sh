#!/usr/bin/env bash
# Installs what is missing, builds, and runs every test: the C++ tests compiled by g++, by clang++, and by g++ with the
# address, undefined-behaviour and thread sanitizers; the consumer projects; then the Python tests.
set -euo pipefail

# The thread sanitizer of g++ 12 fails where the kernel spreads addresses widely: run without that, where allowed.
if [[ ! -v OFFNOMINAL_FIXED_ADDRESSES ]] && setarch -R true 2>/dev/null; then
    OFFNOMINAL_FIXED_ADDRESSES=1 exec setarch -R bash "$0" "$@"
fi
source "$(dirname "$0")/../python/setup.sh"

need_build doctest-dev clang libbenchmark-dev
need_python pytest hypothesis scipy psychrolib CoolProp pint mypy

# configure NAME OPTION...: a build in .build/NAME
configure() {
    say "building .build/$1"
    cmake -S . -B ".build/$1" --log-level=WARNING "${@:2}"
    cmake --build ".build/$1" -j "$(nproc)"
}
run_ctest() { ctest --test-dir ".build/$1" -j "$(nproc)" --output-on-failure "${@:2}"; }

# Warnings are judged without sanitizers, which bring false ones.
sanitize() {
    configure "$1" --compile-no-warning-as-error -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g -fsanitize=$2 -fno-sanitize-recover=all"
    run_ctest "$1" -LE consumer
}

configure tests -DOFFNOMINAL_PYTHON=ON -DPython_EXECUTABLE="$venv/bin/python" -DOFFNOMINAL_BENCHMARKS=ON
cmake --build .build/tests -j "$(nproc)" --target all_verify_interface_header_sets
configure clang -DCMAKE_CXX_COMPILER=clang++
run_ctest clang -LE consumer
sanitize address address,undefined
sanitize thread thread

run_ctest tests
PYTHONPATH=.build/tests/python python -m pytest tests
