#!/usr/bin/env bash
# Runs the targets one after the other, SECONDS each: ./run.sh SECONDS [TARGET...]
# What is found lies in artifacts/TARGET/, what was said of it in artifacts/TARGET.log.
set -euo pipefail
cd "$(dirname "$0")"
seconds=$1
shift
targets=("$@")
if [ $# -eq 0 ]; then
    targets=(lengths grammar album supplies style bags pieces command program repairs nest orders whole explain)
fi
export RUSTC_BOOTSTRAP=1
[ -n "${BUILT:-}" ] || cargo fuzz build --fuzz-dir . --sanitizer none
[ -d seeds ] || ./seeds.sh
for target in "${targets[@]}"; do
    # What was found before is tried first.
    mkdir -p "corpus/$target" "artifacts/$target" "seeds/$target" "found/$target"
    options=(-max_total_time="$seconds" -rss_limit_mb=2048 -timeout="${TIMEOUT:-20}" -print_final_stats=1
        -artifact_prefix="artifacts/$target/")
    case $target in
    # Drawn from bytes: a few hundred are a large album.
    program | repairs | nest | orders | whole | explain) options+=(-max_len=600 -len_control=0) ;;
    # Its answers would hide what libFuzzer says.
    command) options+=(-dict=seeds/words -max_len=2000 -close_fd_mask=1) ;;
    style | album) options+=(-dict=seeds/words -max_len=40000) ;;
    *) options+=(-dict=seeds/words -max_len=4000) ;;
    esac
    nice -n 19 "target/x86_64-unknown-linux-gnu/release/$target" "${options[@]}" \
        "corpus/$target" "seeds/$target" "found/$target" >> "artifacts/$target.log" 2>&1 || echo "$target: found something"
    grep -aE "cov:|number_of_executed_units" "artifacts/$target.log" | tail -n 2 || true
done
