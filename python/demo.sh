#!/usr/bin/env bash
# Installs what is missing, builds offnominal into .build/venv, and runs the demo proof.
set -euo pipefail
source "$(dirname "$0")/setup.sh"

need_build
say "building"
python -m pip install --no-build-isolation --no-deps --config-settings=build-dir="$PWD/.build/wheel" ./python \
    >"$log" 2>&1 || fail "could not build: see $log"

offnominal demo
