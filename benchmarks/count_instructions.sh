#!/usr/bin/env bash
# Instructions of one look-up (5 axes, 3 outputs), by callgrind: the difference of two runs, so that nothing else counts.
# Usage: count_instructions.sh BUILD_FOLDER. Fails where a count has grown by more than 2 % over what g++ 12 gave when it was last
# looked at; a lower one is to be written down here. Valgrind knows no AVX-512, and reports none of its features.
set -euo pipefail
program=$1/benchmarks/one_look_up
count() {
    valgrind --tool=callgrind --callgrind-out-file=/dev/null "$program" "$1" "$2" 2>&1 >/dev/null | sed -n 's/.*Collected : //p'
}
declare -A known=([single]=724 [baseline]=496 [avx2]=225)
status=0
for way in single baseline avx2; do
    few=$(count "$way" 10) many=$(count "$way" 60)
    found=$(((many - few) / 50000))
    echo "$way: $found instructions a point, ${known[$way]} when last looked at"
    if ((found * 100 > known[$way] * 102)); then status=1; fi
done
exit "$status"
