#!/usr/bin/env bash
# Instructions of one look-up (5 axes, 3 outputs), by callgrind: the difference of two runs, so that nothing else counts.
# Usage: count_instructions.sh BUILD_FOLDER. Valgrind knows no AVX-512, and reports none of its features.
set -euo pipefail
program=$1/benchmarks/one_look_up
count() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$program" "$1" "$2" 2>&1 >/dev/null | sed -n 's/.*Collected : //p'
}
for way in single baseline avx2; do
    few=$(count "$way" 10) many=$(count "$way" 60)
    echo "$way: $(((many - few) / 50000)) instructions a point"
done
